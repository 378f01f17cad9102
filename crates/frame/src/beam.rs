//! One beam in its own axes: twelve degrees of freedom, the shifts along x, y, z and turns about
//! them at its first end, then at its second.
//!
//! Stiffness and mass are those of Przemieniecki, Theory of Matrix Structural Analysis (1968),
//! chapters 5 and 11, without the give in shear or with it (Φ = 12EI/κGAL²).

use crate::{Member, Section};

pub(crate) type Square12 = [[f64; 12]; 12];

/// Places in the twelve of the bending in a plane: shift and turn at both ends, and the sign that
/// turns have there.
const PLANE_XY: ([usize; 4], f64) = ([1, 5, 7, 11], 1.0);
const PLANE_XZ: ([usize; 4], f64) = ([2, 4, 8, 10], -1.0);

/// Two Φ, for bending in the planes xy and xz.
fn shear_give(member: &Member, length: f64) -> [f64; 2] {
    let (s, m) = (&member.section, &member.material);
    let phi = |moment: f64, area: f64| {
        if member.shear {
            12.0 * m.youngs_pa * moment / (m.shear_pa * area * length * length)
        } else {
            0.0
        }
    };
    [
        phi(s.about_z_m4, s.shear_y_m2),
        phi(s.about_y_m4, s.shear_z_m2),
    ]
}

fn planes(s: &Section, phi: [f64; 2]) -> [(([usize; 4], f64), f64, f64); 2] {
    [
        (PLANE_XY, s.about_z_m4, phi[0]),
        (PLANE_XZ, s.about_y_m4, phi[1]),
    ]
}

fn pair(k: &mut Square12, i: usize, j: usize, same: f64, cross: f64) {
    k[i][i] += same;
    k[j][j] += same;
    k[i][j] += cross;
    k[j][i] += cross;
}

/// Stiffness, N/m, N and N·m.
pub(crate) fn stiffness(member: &Member, length: f64) -> Square12 {
    let (s, m) = (&member.section, &member.material);
    let mut k = [[0.0; 12]; 12];
    let axial = m.youngs_pa * s.area_m2 / length;
    pair(&mut k, 0, 6, axial, -axial);
    let twist = m.shear_pa * s.torsion_m4 / length;
    pair(&mut k, 3, 9, twist, -twist);
    for ((at, sign), moment, phi) in planes(s, shear_give(member, length)) {
        let (l, q) = (length, sign);
        let c = m.youngs_pa * moment / (l * l * l * (1.0 + phi));
        let (near, far) = ((4.0 + phi) * l * l, (2.0 - phi) * l * l);
        let b = [
            [12.0, 6.0 * l * q, -12.0, 6.0 * l * q],
            [6.0 * l * q, near, -6.0 * l * q, far],
            [-12.0, -6.0 * l * q, 12.0, -6.0 * l * q],
            [6.0 * l * q, far, -6.0 * l * q, near],
        ];
        for (i, &p) in at.iter().enumerate() {
            for (j, &r) in at.iter().enumerate() {
                k[p][r] += c * b[i][j];
            }
        }
    }
    k
}

/// Shift and turn at the place s (0 to 1) for a unit of each of the four ends' movements of
/// bending in the plane xy, exact where nothing pulls between the ends.
pub(crate) fn bent(s: f64, length: f64, phi: f64) -> ([f64; 4], [f64; 4]) {
    let (l, s2, s3) = (length, s * s, s * s * s);
    let c = 1.0 / (1.0 + phi);
    let shift = [
        c * (1.0 - 3.0 * s2 + 2.0 * s3 + phi * (1.0 - s)),
        c * l * (s - 2.0 * s2 + s3 + phi / 2.0 * (s - s2)),
        c * (3.0 * s2 - 2.0 * s3 + phi * s),
        c * l * (-s2 + s3 - phi / 2.0 * (s - s2)),
    ];
    let turn = [
        c * 6.0 * (s2 - s) / l,
        c * (1.0 - 4.0 * s + 3.0 * s2 + phi * (1.0 - s)),
        -c * 6.0 * (s2 - s) / l,
        c * (3.0 * s2 - 2.0 * s + phi * s),
    ];
    (shift, turn)
}

/// Points and weights of Gauss's rule with four points on 0 to 1: exact for the sixth powers here.
const GAUSS: [(f64, f64); 4] = [
    (0.069_431_844_202_973_71, 0.173_927_422_568_726_93),
    (0.330_009_478_207_571_87, 0.326_072_577_431_273_07),
    (0.669_990_521_792_428_1, 0.326_072_577_431_273_07),
    (0.930_568_155_797_026_3, 0.173_927_422_568_726_93),
];

/// Consistent mass, kg, kg·m and kg·m². Slices resist turning only where the member gives in
/// shear: the two corrections are of one size, and beams after Euler and Bernoulli have neither.
pub(crate) fn mass(member: &Member, length: f64) -> Square12 {
    let (s, rho, l) = (&member.section, member.material.density_kg_m3, length);
    let mut m = [[0.0; 12]; 12];
    let line = rho * s.area_m2;
    pair(&mut m, 0, 6, line * l / 3.0, line * l / 6.0);
    let polar = rho * (s.about_y_m4 + s.about_z_m4) * l;
    pair(&mut m, 3, 9, polar / 3.0, polar / 6.0);
    for ((at, sign), moment, phi) in planes(s, shear_give(member, length)) {
        let turning = if member.shear { rho * moment } else { 0.0 };
        for (x, w) in GAUSS {
            let (shift, turn) = bent(x, l, phi);
            for (i, &p) in at.iter().enumerate() {
                for (j, &r) in at.iter().enumerate() {
                    // the turn's sign differs between the planes
                    let q = if (i + j) % 2 == 0 { 1.0 } else { sign };
                    m[p][r] +=
                        q * w * l * (line * shift[i] * shift[j] + turning * turn[i] * turn[j]);
                }
            }
        }
    }
    m
}

/// Forces and moments on the two ends' nodes that stand for an even load (N/m, own axes).
pub(crate) fn spread(length: f64, load: [f64; 3]) -> [f64; 12] {
    let (l, [x, y, z]) = (length, load);
    let (hx, hy, hz) = (x * l / 2.0, y * l / 2.0, z * l / 2.0);
    let (my, mz) = (z * l * l / 12.0, y * l * l / 12.0);
    [
        hx, hy, hz, 0.0, -my, mz, //
        hx, hy, hz, 0.0, my, -mz,
    ]
}

/// The same for a force (N, own axes) at the place s (0 to 1).
pub(crate) fn point(member: &Member, length: f64, s: f64, force: [f64; 3]) -> [f64; 12] {
    let mut f = [0.0; 12];
    f[0] = force[0] * (1.0 - s);
    f[6] = force[0] * s;
    let phi = shear_give(member, length);
    for (((at, sign), phi), pull) in [PLANE_XY, PLANE_XZ]
        .into_iter()
        .zip(phi)
        .zip([force[1], force[2]])
    {
        let (shift, _) = bent(s, length, phi);
        for (i, &p) in at.iter().enumerate() {
            f[p] += pull * shift[i] * if i % 2 == 1 { sign } else { 1.0 };
        }
    }
    f
}
