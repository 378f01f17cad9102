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

/// How a plate's rim is held, which decides what a grid of strips must get right.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Rim {
    /// Held all round: EI = D b and GJ = D b with D = E t³/12(1 − ν²), the plate's equation of
    /// bending. Twist by itself is 1/(1 − ν) times too stiff.
    Held,
    /// Free for the most part, as a chassis: EI = E b t³/12 and GJ = G b t³/6, the plate's own
    /// twist and the bending of beams side by side. Where the rim is held all round it is too soft by
    /// about a fifth.
    Free,
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

    /// A strip of a plate that is modelled as a grid of strips in two directions, each as wide as
    /// they lie apart. A grid cannot have the plate's sideways strain at once with its twist, so it
    /// is made right for one of two cases; see [`Rim`]. Each direction has half of the area, so
    /// that mass counts once; shifts within the plane are therefore too easy.
    #[must_use]
    pub fn plate_strip(width_m: f64, thickness_m: f64, poisson: f64, rim: Rim) -> Self {
        let (b, t) = (width_m, thickness_m);
        let strip = b * t * t * t / 12.0;
        let plate = strip / (1.0 - poisson * poisson);
        let (bending, torsion) = match rim {
            Rim::Held => (plate, 2.0 * (1.0 + poisson) * plate),
            Rim::Free => (strip, 2.0 * strip),
        };
        Self {
            area_m2: b * t / 2.0,
            about_y_m4: bending,
            about_z_m4: t * b * b * b / 12.0,
            torsion_m4: torsion,
            torsion_m3: b * t * t / 3.0,
            ..Self::rectangle(b, t)
        }
    }

    /// A rectangular tube of even wall. Torsion by Bredt's formula for thin closed walls,
    /// J = 4 Am² t / s with the area Am inside the wall's middle line of length s: 5 % below the
    /// exact figure for walls of a tenth of the width (finite elements), less for thinner ones.
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
    /// and the ends of the strips (within 2.2 % of finite elements for walls of a tenth of the width); stress from torque is J over the
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

#[cfg(test)]
mod tests {
    use super::*;

    fn near(got: f64, want: f64, tolerance: f64) {
        assert!((got / want - 1.0).abs() <= tolerance, "{got} {want}");
    }

    /// J/ab³ of a rectangle: Oasys GSA documentation, "Rectangular sections", and the exact series
    /// (firm).
    #[test]
    fn rectangles_have_the_published_torsion_constants() {
        for (ratio, want) in [
            (1.0, 0.1406),
            (1.5, 0.1958),
            (2.0, 0.2287),
            (3.0, 0.2633),
            (5.0, 0.2913),
            (10.0, 0.3123),
            (1e5, 0.3333),
        ] {
            let got = Section::rectangle(ratio, 1.0).torsion_m4 / ratio;
            assert!((got - want).abs() < 1e-4, "{ratio}: {got} {want}");
            let turned = Section::rectangle(1.0, ratio).torsion_m4 / ratio;
            near(turned, got, 1e-15);
        }
    }

    /// Torsion modulus over a b²: 0.208 for a square, 0.246 at 2, 0.267 at 3, 1/3 for a narrow strip
    /// (Timoshenko and Goodier, Theory of Elasticity, table of section 109, from memory).
    #[test]
    fn rectangles_have_the_published_torsion_moduli() {
        for (ratio, want) in [(1.0, 0.208), (2.0, 0.246), (3.0, 0.267), (1e4, 0.3333)] {
            near(
                Section::rectangle(ratio, 1.0).torsion_m3 / ratio,
                want,
                2.5e-3,
            );
        }
    }

    /// 36 mm², 492 mm⁴, Bredt's 729 mm⁴ and Cowper's 0.44 for a square tube 10 × 10 × 1 mm.
    #[test]
    fn a_square_tube_has_its_known_figures() {
        let s = Section::rectangular_tube(10.0, 10.0, 1.0);
        near(s.area_m2, 36.0, 1e-12);
        near(s.about_y_m4, 492.0, 1e-12);
        near(s.torsion_m4, 729.0, 1e-12);
        near(s.shear_y_m2, 0.436 * 36.0, 2e-3);
    }

    /// Timoshenko's coefficients after Cowper with ν = 0.3: rectangle 0.850, circle 0.886, thin
    /// round tube 0.531.
    #[test]
    fn shear_areas_are_cowpers() {
        near(Section::rectangle(3.0, 2.0).shear_z_m2, 6.0 * 0.850, 1e-3);
        let bar = Section::round(2.0, 0.0);
        near(bar.shear_y_m2 / bar.area_m2, 0.886, 1e-3);
        let tube = Section::round(2.0, 1.999);
        near(tube.shear_y_m2 / tube.area_m2, 0.531, 2e-3);
    }

    /// An equal angle 20 × 20 × 2 by hand: legs 20 × 2 and 2 × 18, centroid 5.737 mm from the backs,
    /// 2880.1 mm⁴ about both drawn axes and a product of −1705.3, so 4585.3 and 1174.8.
    #[test]
    fn an_equal_angle_stands_on_its_corner() {
        let s = Section::angle(20.0, 20.0, 2.0);
        near(s.area_m2, 76.0, 1e-12);
        near(s.turn_rad.abs(), PI / 4.0, 1e-9);
        let (a, b) = (s.about_y_m4, s.about_z_m4);
        near(a.max(b), 4585.3, 1e-4);
        near(a.min(b), 1174.8, 1e-4);
        near(s.torsion_m4, 38.0 * 8.0 / 3.0, 1e-12);
    }

    #[test]
    fn open_sections_with_a_middle_keep_their_axes() {
        for s in [
            Section::channel(20.0, 10.0, 2.0),
            Section::tee(20.0, 30.0, 2.0),
            Section::double_tee(20.0, 30.0, 2.0),
        ] {
            assert!(s.turn_rad.abs() < 1e-15);
        }
        // An I by its outer box less the two voids.
        let s = Section::double_tee(20.0, 30.0, 2.0);
        let want = (20.0 * 27000.0 - 18.0 * 26.0 * 26.0 * 26.0) / 12.0;
        near(s.about_y_m4, want, 1e-12);
    }

    /// M/W of a rectangle; both moments meet at a corner, but not on a round bar.
    #[test]
    fn the_fibre_furthest_out_has_the_stress_of_the_formula() {
        let flat = Section::rectangle(2.0, 3.0);
        near(flat.fibre_pa(0.0, 9.0, 0.0), 9.0 / 3.0, 1e-12);
        near(flat.fibre_pa(6.0, 9.0, 4.0), 1.0 + 3.0 + 2.0, 1e-12);
        let bar = Section::round(2.0, 0.0);
        near(bar.fibre_pa(0.0, 3.0, 4.0), 5.0 / (PI / 4.0), 1e-12);
    }
}
