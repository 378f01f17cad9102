"""Mass, centre and inertia of robots made of boxes and cylinders, by the meshes of trimesh.

Reads from stdin: a line "robot", then one line for each thing:
    box M X Y Z LENGTH WIDTH HEIGHT      a box of mass M with its middle there
    cylinder M X Y Z RADIUS WIDTH        a cylinder about the y axis
    point M X Y Z                        a small box, a micrometre long
all in kg and m. Prints a line for each robot: mass, centre (3), inertia about it: xx yy zz xy xz yz.
"""

import sys

import numpy
import trimesh

# A cylinder is a prism of so many sides: its inertia is off by (2 pi/n)^2/6, 4e-7.
SIDES = 4096


def thing(words):
    """The mesh of a thing, in its place, with the density that gives its mass."""
    kind, mass, place, shape = words[0], float(words[1]), words[2:5], [float(w) for w in words[5:]]
    if kind == "cylinder":
        mesh = trimesh.creation.cylinder(radius=shape[0], height=shape[1], sections=SIDES)
        # Its axis is z as made.
        mesh.apply_transform(trimesh.transformations.rotation_matrix(numpy.pi / 2, [1, 0, 0]))
    else:
        mesh = trimesh.creation.box(extents=shape if kind == "box" else [1e-6] * 3)
    mesh.apply_translation([float(w) for w in place])
    mesh.density = mass / mesh.volume
    return mesh


def told(meshes):
    """Mass properties of all meshes together."""
    mass = sum(m.mass for m in meshes)
    centre = sum(m.mass * m.center_mass for m in meshes) / mass
    inertia = numpy.zeros((3, 3))
    for m in meshes:
        # About the whole's centre: the package moves each tensor there by itself.
        frame = numpy.eye(4)
        frame[:3, 3] = centre
        inertia += m.moment_inertia_frame(frame)
    i = inertia
    numbers = [mass, *centre, i[0, 0], i[1, 1], i[2, 2], i[0, 1], i[0, 2], i[1, 2]]
    print(" ".join(repr(float(n)) for n in numbers))


def main():
    meshes = []
    for line in sys.stdin:
        words = line.split()
        if words == ["robot"]:
            if meshes:
                told(meshes)
            meshes = []
        elif words:
            meshes.append(thing(words))
    if meshes:
        told(meshes)


main()
