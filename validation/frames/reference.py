"""Frames of beams by other means: deflections by PyNite, modes by scipy on matrices that are put
together here, sections by sectionproperties.

Reads lines from stdin, in SI:
    node X Y Z HOLD*6                 0 free, 1 fixed, else a spring's stiffness
    member A B E G RHO A IY IZ J UP*3 LINK*12
                                      0 rigid, -1 released, else a spring's stiffness; first end first
    lump NODE MASS OFFSET*3 INERTIA*3
    load NODE FORCE*3 MOMENT*3
    on MEMBER PLACE FORCE*3           at a share of the length
    spread MEMBER FORCE*3             for each metre
    pynite                            solve what was read with PyNite: six numbers for each node
    modes COUNT                       frequencies in Hz of what was read
    section KIND SIZE*                area, smaller and larger second moment, torsion constant
and prints one line for each of the last three; "pynite" and "modes" forget the frame.
"""

import sys

import numpy as np
import scipy.linalg


class Frame:
    def __init__(self):
        self.nodes, self.members, self.lumps = [], [], []
        self.loads, self.ons, self.spreads = [], [], []


def by_pynite(frame):
    """PyNite's y is the direction in which its members stand up; here that is z."""
    from Pynite import FEModel3D

    model = FEModel3D()
    for i, node in enumerate(frame.nodes):
        model.add_node(f"N{i}", *node[:3])
        holds = node[3:]
        model.def_support(f"N{i}", *[h == 1 for h in holds])
        for name, h in zip(("DX", "DY", "DZ", "RX", "RY", "RZ"), holds):
            if h not in (0, 1):
                model.def_support_spring(f"N{i}", name, h)
    for i, (a, b, e, g, rho, area, iy, iz, j, _, links) in enumerate(frame.members):
        model.add_material(f"m{i}", e, g, 0.3, rho)
        model.add_section(f"s{i}", area, iz, iy, j)
        model.add_member(f"M{i}", f"N{a}", f"N{b}", f"m{i}", f"s{i}")
        # Our y is its z and the other way round.
        order = [0, 2, 1, 3, 5, 4]
        released = [links[end * 6 + k] == -1 for end in (0, 1) for k in order]
        if any(released):
            model.def_releases(f"M{i}", *released)
    names = ("FX", "FY", "FZ", "MX", "MY", "MZ")
    for node, *pull in frame.loads:
        for name, p in zip(names, pull):
            model.add_node_load(f"N{node}", name, p)
    for member, place, *force in frame.ons:
        length = model.members[f"M{member}"].L()
        for name, p in zip(names, force):
            model.add_member_pt_load(f"M{member}", name, p, place * length)
    for member, *force in frame.spreads:
        for name, p in zip(names, force):
            model.add_member_dist_load(f"M{member}", name, p, p)
    model.analyze(check_statics=False)
    out = []
    for i in range(len(frame.nodes)):
        n = model.nodes[f"N{i}"]
        out += [getattr(n, d)["Combo 1"] for d in ("DX", "DY", "DZ", "RX", "RY", "RZ")]
    return out


def beam(e, g, rho, area, iy, iz, j, length):
    """Stiffness and consistent mass of a beam after Euler and Bernoulli, in its own axes, from the
    fourth-order shape polynomials integrated exactly."""
    k, m = np.zeros((12, 12)), np.zeros((12, 12))
    line = np.polynomial.Polynomial
    lin = [line([1, -1]), line([0, 1])]
    for at, stiff, mass in (((0, 6), e * area, rho * area), ((3, 9), g * j, rho * (iy + iz))):
        for a in range(2):
            for b in range(2):
                whole = (lin[a] * lin[b]).integ()
                slope = (lin[a].deriv() * lin[b].deriv()).integ()
                k[at[a], at[b]] += stiff / length * (slope(1) - slope(0))
                m[at[a], at[b]] += mass * length * (whole(1) - whole(0))
    for at, sign, inertia in (((1, 5, 7, 11), 1, iz), ((2, 4, 8, 10), -1, iy)):
        shapes = [
            line([1, 0, -3, 2]),
            sign * length * line([0, 1, -2, 1]),
            line([0, 0, 3, -2]),
            sign * length * line([0, 0, -1, 1]),
        ]
        for a in range(4):
            for b in range(4):
                bend = (shapes[a].deriv(2) * shapes[b].deriv(2)).integ()
                whole = (shapes[a] * shapes[b]).integ()
                k[at[a], at[b]] += e * inertia / length**3 * (bend(1) - bend(0))
                m[at[a], at[b]] += rho * area * length * (whole(1) - whole(0))
    return k, m


def matrices(frame):
    """Every member has twelve movements of its own, in its own axes. A joint's links decide which are
    the node's (through T) and which are free with a spring to the node's."""
    n = 6 * len(frame.nodes)
    own = sum(sum(link != 0 for link in m[-1]) for m in frame.members)
    size = n + own
    k, m = np.zeros((size, size)), np.zeros((size, size))
    new = n
    for a, b, e, g, rho, area, iy, iz, j, up, links in frame.members:
        p, q = np.array(frame.nodes[a][:3]), np.array(frame.nodes[b][:3])
        length = np.linalg.norm(q - p)
        x = (q - p) / length
        y = np.cross(up, x)
        y /= np.linalg.norm(y)
        axes = np.array([x, y, np.cross(x, y)])
        t = np.zeros((12, size))
        for end, node in enumerate((a, b)):
            for half in range(2):
                rows = slice(6 * end + 3 * half, 6 * end + 3 * half + 3)
                cols = slice(6 * node + 3 * half, 6 * node + 3 * half + 3)
                t[rows, cols] = axes
        for i, link in enumerate(links):
            if link != 0:
                gap = -t[i].copy()
                gap[new] = 1
                t[i] = 0
                t[i, new] = 1
                if link > 0:
                    k += link * np.outer(gap, gap)
                new += 1
        kk, mm = beam(e, g, rho, area, iy, iz, j, length)
        k += t.T @ kk @ t
        m += t.T @ mm @ t
    for node, mass, rx, ry, rz, *inertia in frame.lumps:
        cross = np.array([[0, -rz, ry], [rz, 0, -rx], [-ry, rx, 0]])
        # velocity of the centre of mass: v - r x w
        v = np.hstack([np.eye(3), -cross])
        w = np.hstack([np.zeros((3, 3)), np.eye(3)])
        s = slice(6 * node, 6 * node + 6)
        m[s, s] += mass * v.T @ v + w.T @ np.diag(inertia) @ w
    keep = []
    for i in range(size):
        hold = frame.nodes[i // 6][3 + i % 6] if i < n else 0
        if hold != 1:
            keep.append(i)
            k[i, i] += hold
    return k[np.ix_(keep, keep)], m[np.ix_(keep, keep)]


def by_scipy(frame, count):
    """M may be singular (a node with nothing but hinges has no inertia): solve M x = theta K x."""
    k, m = matrices(frame)
    theta = scipy.linalg.eigh(m, k, eigvals_only=True)[::-1][:count]
    return list(1 / np.sqrt(theta) / (2 * np.pi))


def section(kind, sizes):
    from sectionproperties.analysis import Section
    from sectionproperties.pre.library import primitive_sections, steel_sections

    s = sizes
    if kind == "rectangle":
        shape = primitive_sections.rectangular_section(d=s[1], b=s[0])
    elif kind == "tube":
        shape = steel_sections.rectangular_hollow_section(d=s[1], b=s[0], t=s[2], r_out=0, n_r=1)
    elif kind == "round":
        shape = primitive_sections.circular_section(d=s[0], n=256)
    elif kind == "pipe":
        shape = steel_sections.circular_hollow_section(d=s[0], t=s[1], n=256)
    elif kind == "angle":
        shape = steel_sections.angle_section(d=s[1], b=s[0], t=s[2], r_r=0, r_t=0, n_r=1)
    elif kind == "channel":
        shape = steel_sections.channel_section(d=s[0], b=s[1], t_f=s[2], t_w=s[2], r=0, n_r=1)
    elif kind == "tee":
        shape = steel_sections.tee_section(d=s[1], b=s[0], t_f=s[2], t_w=s[2], r=0, n_r=1)
    else:
        shape = steel_sections.i_section(d=s[1], b=s[0], t_f=s[2], t_w=s[2], r=0, n_r=1)
    shape.create_mesh(mesh_sizes=[s[-1] ** 2 / 40])
    got = Section(shape)
    got.calculate_geometric_properties()
    got.calculate_warping_properties()
    i11, i22 = got.get_ip()
    return [got.get_area(), min(i11, i22), max(i11, i22), got.get_j()]


def main():
    frame = Frame()
    for line in sys.stdin:
        word, *rest = line.split()
        if word == "section":
            got = section(rest[0], [float(x) for x in rest[1:]])
            print(*[repr(float(x)) for x in got])
            continue
        v = [float(x) for x in rest]
        if word == "node":
            frame.nodes.append(v)
        elif word == "member":
            frame.members.append([int(v[0]), int(v[1]), *v[2:9], v[9:12], v[12:24]])
        elif word == "lump":
            frame.lumps.append([int(v[0]), *v[1:]])
        elif word == "load":
            frame.loads.append([int(v[0]), *v[1:]])
        elif word == "on":
            frame.ons.append([int(v[0]), *v[1:]])
        elif word == "spread":
            frame.spreads.append([int(v[0]), *v[1:]])
        else:
            got = by_pynite(frame) if word == "pynite" else by_scipy(frame, int(v[0]))
            print(*[repr(float(x)) for x in got])
            frame = Frame()


main()
