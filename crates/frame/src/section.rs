//! Cross-sections of beams.
//!
//! Axes: y to the side and z up, through the centroid; a *width* goes along y, a *height* along z.
//! Shear areas are those of Cowper, "The shear coefficient in Timoshenko's beam theory", Journal of
//! Applied Mechanics 33 (1966) 335-340 (from memory; the square tube's 0.44 A is widely printed),
//! with Poisson's ratio 0.3; they change by a few hundredths between 0.2 and 0.4.

use quantity::maths::{PI, atan2, cos, exp, sin, tanh};

/// Where the fibres furthest out lie, from the centroid in m.
#[derive(Debug, Clone, PartialEq)]
pub enum Outline {
    /// Corners (y, z) of the section.
    Corners(Vec<[f64; 2]>),
    /// Round, of this radius.
    Round(f64),
}

/// A cross-section. Moments of area are about its principal axes.
#[derive(Debug, Clone, PartialEq)]
pub struct Section {
    /// Area A in m².
    pub area_m2: f64,
    /// Second moment of area about y in m⁴: resists bending in the plane of x and z.
    pub about_y_m4: f64,
    /// Second moment of area about z in m⁴: resists bending in the plane of x and y.
    pub about_z_m4: f64,
    /// Torsion constant J in m⁴.
    pub torsion_m4: f64,
    /// Torsion modulus in m³: torque over the largest shear stress that it makes.
    pub torsion_m3: f64,
    /// Area that carries shear along y, κA in m².
    pub shear_y_m2: f64,
    /// Area that carries shear along z, κA in m².
    pub shear_z_m2: f64,
    /// Angle in rad by which the principal y and z are turned about x from the drawn ones.
    pub turn_rad: f64,
    /// The fibres furthest out, in principal axes.
    pub outline: Outline,
}

const NU: f64 = 0.3;

fn square(x: f64) -> f64 {
    x * x
}

fn box_corners(width: f64, height: f64) -> Outline {
    let (y, z) = (width / 2.0, height / 2.0);
    Outline::Corners(vec![[y, z], [-y, z], [-y, -z], [y, -z]])
}

/// Torsion of a solid rectangle: J and torsion modulus by the series of Saint-Venant (Timoshenko
/// and Goodier, Theory of Elasticity, section 109, from memory), whose first rounded coefficients
/// every handbook prints.
fn rectangle_torsion(width: f64, height: f64) -> (f64, f64) {
    let (a, b) = (width.max(height), width.min(height));
    let (mut j, mut edge) = (0.0, 0.0);
    for k in 0..40 {
        let n = f64::from(2 * k + 1);
        let x = n * PI * a / (2.0 * b);
        j += tanh(x) / (n * n * n * n * n);
        // 1 / cosh x, without overflow
        let e = exp(-x);
        edge += 2.0 * e / (1.0 + e * e) / (n * n);
    }
    let pi5 = PI * PI * PI * PI * PI;
    let torsion = a * b * b * b * (1.0 / 3.0 - 64.0 * b / (pi5 * a) * j);
    let rise = 1.0 - 8.0 / (PI * PI) * edge;
    (torsion, torsion / (b * rise))
}

/// Cowper's κ for a thin-walled box bent so that walls of height h and thickness `t_web` carry the
/// shear and walls of width b and thickness `t_flange` the bending.
fn box_shear(b: f64, h: f64, t_flange: f64, t_web: f64) -> f64 {
    let m = b * t_flange / (h * t_web);
    let n = b / h;
    let over = (12.0 + 72.0 * m + 150.0 * m * m + 90.0 * m * m * m)
        + NU * (11.0 + 66.0 * m + 135.0 * m * m + 90.0 * m * m * m)
        + 10.0 * n * n * ((3.0 + NU) * m + 3.0 * m * m);
    10.0 * (1.0 + NU) * square(1.0 + 3.0 * m) / over
}

impl Section {
    /// A solid rectangle, also a strip of plate: a plate that is modelled by strips bends as
    /// beams side by side, which leaves out that it also bends across (stiffer by up to
    /// 1/(1 − ν²), about a tenth) and twists as a whole.
    #[must_use]
    pub fn rectangle(width_m: f64, height_m: f64) -> Self {
        let (b, h) = (width_m, height_m);
        let (torsion_m4, torsion_m3) = rectangle_torsion(b, h);
        let kappa = 10.0 * (1.0 + NU) / (12.0 + 11.0 * NU);
        Self {
            area_m2: b * h,
            about_y_m4: b * h * h * h / 12.0,
            about_z_m4: h * b * b * b / 12.0,
            torsion_m4,
            torsion_m3,
            shear_y_m2: kappa * b * h,
            shear_z_m2: kappa * b * h,
            turn_rad: 0.0,
            outline: box_corners(b, h),
        }
    }

    /// A rectangular tube of even wall. Torsion by Bredt's formula for thin closed walls,
    /// J = 4 Am² t / s with the area Am inside the wall's middle line of length s.
    #[must_use]
    pub fn rectangular_tube(width_m: f64, height_m: f64, wall_m: f64) -> Self {
        let (b, h, t) = (width_m, height_m, wall_m);
        let (bi, hi) = (b - 2.0 * t, h - 2.0 * t);
        let (bm, hm) = (b - t, h - t);
        let area = b * h - bi * hi;
        Self {
            area_m2: area,
            about_y_m4: (b * h * h * h - bi * hi * hi * hi) / 12.0,
            about_z_m4: (h * b * b * b - hi * bi * bi * bi) / 12.0,
            torsion_m4: 4.0 * square(bm * hm) * t / (2.0 * (bm + hm)),
            torsion_m3: 2.0 * bm * hm * t,
            shear_y_m2: area * box_shear(hm, bm, t, t),
            shear_z_m2: area * box_shear(bm, hm, t, t),
            turn_rad: 0.0,
            outline: box_corners(b, h),
        }
    }

    /// A round bar or, with an inner diameter above zero, a round tube.
    #[must_use]
    pub fn round(diameter_m: f64, inner_m: f64) -> Self {
        let (d, i) = (diameter_m, inner_m);
        let fourth = square(d * d) - square(i * i);
        let area = PI / 4.0 * (d * d - i * i);
        let m2 = square(i / d);
        let kappa = 6.0 * (1.0 + NU) * square(1.0 + m2)
            / ((7.0 + 6.0 * NU) * square(1.0 + m2) + (20.0 + 12.0 * NU) * m2);
        Self {
            area_m2: area,
            about_y_m4: PI / 64.0 * fourth,
            about_z_m4: PI / 64.0 * fourth,
            torsion_m4: PI / 32.0 * fourth,
            torsion_m3: PI / 16.0 * fourth / d,
            shear_y_m2: kappa * area,
            shear_z_m2: kappa * area,
            turn_rad: 0.0,
            outline: Outline::Round(d / 2.0),
        }
    }

    /// An angle: a leg of `width_m` along y at the bottom and one of `height_m` up z. See
    /// [`Section::open`].
    #[must_use]
    pub fn angle(width_m: f64, height_m: f64, wall_m: f64) -> Self {
        let (b, h, t) = (width_m, height_m, wall_m);
        Self::open(&[[b / 2.0, t / 2.0, b, t], [t / 2.0, (h + t) / 2.0, t, h - t]])
    }

    /// A channel, open at the top: a floor of `width_m` and two walls of `height_m`. See
    /// [`Section::open`].
    #[must_use]
    pub fn channel(width_m: f64, height_m: f64, wall_m: f64) -> Self {
        let (b, h, t) = (width_m, height_m, wall_m);
        let side = |y| [y, (h + t) / 2.0, t, h - t];
        Self::open(&[
            [0.0, t / 2.0, b, t],
            side((t - b) / 2.0),
            side((b - t) / 2.0),
        ])
    }

    /// A tee: a flange of `width_m` on top of a web, `height_m` high in all. See
    /// [`Section::open`].
    #[must_use]
    pub fn tee(width_m: f64, height_m: f64, wall_m: f64) -> Self {
        let (b, h, t) = (width_m, height_m, wall_m);
        Self::open(&[[0.0, h - t / 2.0, b, t], [0.0, (h - t) / 2.0, t, h - t]])
    }

    /// An I: flanges of `width_m` at top and bottom of a web, `height_m` high in all. See
    /// [`Section::open`].
    #[must_use]
    pub fn double_tee(width_m: f64, height_m: f64, wall_m: f64) -> Self {
        let (b, h, t) = (width_m, height_m, wall_m);
        Self::open(&[
            [0.0, t / 2.0, b, t],
            [0.0, h / 2.0, t, h - 2.0 * t],
            [0.0, h - t / 2.0, b, t],
        ])
    }

    /// Thin rectangles (centre y, centre z, width, height) that touch but do not overlap nor close
    /// a tube. Moments of area are exact. J = Σ b t³/3 leaves out the rounding where strips meet
    /// and the ends of the strips (a few hundredths up or down); stress from torque is J over the
    /// thickest strip. Shear goes through the strips that stand along it, 5/6 of their area. That
    /// the shear centre of an angle, channel or tee lies outside the centroid is left out: the
    /// twist under a load through the centroid is not seen, as if something held it.
    #[must_use]
    pub fn open(strips: &[[f64; 4]]) -> Self {
        let area: f64 = strips.iter().map(|[_, _, b, h]| b * h).sum();
        let mean = |of: fn(&[f64; 4]) -> f64| {
            strips.iter().map(|s| of(s) * s[2] * s[3]).sum::<f64>() / area
        };
        let (cy, cz) = (mean(|s| s[0]), mean(|s| s[1]));
        let (mut iyy, mut izz, mut iyz, mut j, mut thickest) = (0.0, 0.0, 0.0, 0.0, 0.0_f64);
        let (mut along_y, mut along_z) = (0.0, 0.0);
        for &[y, z, b, h] in strips {
            let (y, z, a) = (y - cy, z - cz, b * h);
            iyy += b * h * h * h / 12.0 + a * z * z;
            izz += h * b * b * b / 12.0 + a * y * y;
            iyz += a * y * z;
            let (long, thin) = (b.max(h), b.min(h));
            j += long * thin * thin * thin / 3.0;
            thickest = thickest.max(thin);
            if b >= h {
                along_y += a;
            } else {
                along_z += a;
            }
        }
        // Principal axes: y' and z' turned by φ about x so that the product of area vanishes.
        // Without a product the drawn axes are kept, also where the first moment is the smaller.
        let turn = if iyz.abs() <= 1e-12 * (iyy + izz) {
            0.0
        } else {
            0.5 * atan2(2.0 * iyz, izz - iyy)
        };
        let (c, s) = (cos(turn), sin(turn));
        let about_y = c * c * iyy + s * s * izz - 2.0 * s * c * iyz;
        let about_z = s * s * iyy + c * c * izz + 2.0 * s * c * iyz;
        let corners = strips
            .iter()
            .flat_map(|&[y, z, b, h]| {
                [(-1.0, -1.0), (1.0, -1.0), (1.0, 1.0), (-1.0, 1.0)].map(|(p, q)| {
                    let (y, z) = (y - cy + p * b / 2.0, z - cz + q * h / 2.0);
                    [c * y + s * z, c * z - s * y]
                })
            })
            .collect();
        // A shear area in turned axes: shear along y' flows through both families of strips.
        let mix = |cc: f64, ss: f64| {
            let share = |a: f64, w: f64| {
                if w < 1e-12 {
                    0.0
                } else {
                    w / a.max(1e-3 * area)
                }
            };
            5.0 / 6.0 / (share(along_y, cc) + share(along_z, ss))
        };
        Self {
            area_m2: area,
            about_y_m4: about_y,
            about_z_m4: about_z,
            torsion_m4: j,
            torsion_m3: j / thickest,
            shear_y_m2: mix(c * c, s * s),
            shear_z_m2: mix(s * s, c * c),
            turn_rad: turn,
            outline: Outline::Corners(corners),
        }
    }

    /// Stress in Pa of the fibre furthest from rest under an axial force N (N) and moments about
    /// the section's y and z (N·m): the largest |N/A + My z/Iy − Mz y/Iz| on the outline.
    #[must_use]
    pub fn fibre_pa(&self, axial_n: f64, about_y_n_m: f64, about_z_n_m: f64) -> f64 {
        let even = axial_n / self.area_m2;
        let (ky, kz) = (about_y_n_m / self.about_y_m4, about_z_n_m / self.about_z_m4);
        match &self.outline {
            Outline::Round(r) => even.abs() + r * (ky * ky + kz * kz).sqrt(),
            Outline::Corners(corners) => corners
                .iter()
                .map(|[y, z]| (even + ky * z - kz * y).abs())
                .fold(0.0, f64::max),
        }
    }
}
