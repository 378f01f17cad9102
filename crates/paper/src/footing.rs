//! How the robot stands: mass, centre, and what each support carries.
//!
//! Wheels, skids, the blade's corners and the lower corners of the body are springs of equal
//! stiffness under a rigid body; a spring can only push, so a support that would be pulled lifts
//! off. Small tilts: heights change linearly over the plan.

use glam::{DMat3, DVec2, DVec3};
use quantity::{Draws, maths::STANDARD_GRAVITY};
use robot::{Finding, MassProperties, Place, Robot, Severity};

/// How far in m the robot's weight squeezes supports that share it evenly: a tyre on which the
/// robot bobs at 60 Hz (g/ω²), as in the bout. It decides which nearly touching corner shares in.
const SQUEEZE_M: f64 = 6.9e-5;
/// Least share of the weight that should stand on driven wheels (common practice, no source).
const LEAST_DRIVEN_SHARE: f64 = 0.5;

/// What a support is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum SupportKind {
    /// A wheel with a motor: index into [`Robot::wheels`].
    DrivenWheel(usize),
    /// A wheel without a motor: index into [`Robot::wheels`].
    FreeWheel(usize),
    /// A skid: index into [`Robot::skids`].
    Skid(usize),
    /// An end of the blade's edge.
    Blade,
    /// A lower corner of the body.
    Body,
}

/// A point that can stand on the ring.
#[derive(Debug, Clone, PartialEq)]
pub struct Support {
    /// What it is.
    pub kind: SupportKind,
    /// Its name for people.
    pub name: String,
    /// Where it touches, in m in the design frame.
    pub at_m: DVec3,
    /// Friction on the ring while it slides, or grip just before, for a wheel.
    pub friction: f64,
    /// Load at rest in N.
    pub load_n: f64,
}

/// How the robot stands.
#[derive(Debug, Clone, PartialEq)]
pub struct Footing {
    /// Mass in kg.
    pub mass_kg: f64,
    /// Centre of mass in the design frame in m.
    pub centre_m: DVec3,
    /// Inertia about the centre of mass in kg·m².
    pub inertia_kg_m2: DMat3,
    /// Everything it can stand on, with the load at rest.
    pub supports: Vec<Support>,
    /// Share of the weight on driven wheels.
    pub driven_share: f64,
    /// Forward acceleration in m/s² above which the front lifts; infinite if it cannot.
    pub front_lifts_m_s2: f64,
    /// Forward acceleration in m/s² at which it rolls over backward.
    pub rolls_back_m_s2: f64,
    /// Slope in rad at which it tips over a side edge of its supports (left, right).
    pub tips_sideways_rad: [f64; 2],
}

/// Loads in N of supports at `at` (x, y, height above level ground, in m) under a weight whose
/// line of action passes through `centre`. None if the weight lies outside of what could carry it.
///
/// Equal springs of stiffness weight ÷ (n·`SQUEEZE_M`) that cannot pull. With the ground at
/// rest they are squeezed by d + a·x + b·y − z; the three unknowns follow from the balance of
/// force and of both moments, by Newton's method on the set of springs in touch (the energy is
/// convex, so the solution is the only one).
#[must_use]
pub fn loads(weight_n: f64, centre: DVec2, at: &[DVec3]) -> Option<Vec<f64>> {
    if at.len() < 3 || weight_n <= 0.0 {
        return None;
    }
    let stiffness = weight_n / (at.len() as f64 * SQUEEZE_M);
    let row = |p: &DVec3| DVec3::new(1.0, p.x, p.y);
    let aim = weight_n * DVec3::new(1.0, centre.x, centre.y);
    let deepest = at.iter().map(|p| p.z).fold(0.0, f64::max);
    // From all springs well squeezed, so that none is left out at the start.
    let mut plane = DVec3::new(deepest + SQUEEZE_M, 0.0, 0.0);
    for _ in 0..100 {
        let mut matrix = DMat3::ZERO;
        let mut force = DVec3::ZERO;
        for p in at {
            let squeeze = plane.dot(row(p)) - p.z;
            if squeeze > 0.0 {
                let r = row(p);
                matrix += DMat3::from_cols(r * r.x, r * r.y, r * r.z) * stiffness;
                force += r * (stiffness * squeeze);
            }
        }
        let off = aim - force;
        let determinant = matrix.determinant();
        let scale = stiffness * stiffness * stiffness;
        if !determinant.is_finite() || determinant.abs() < 1e-12 * scale * 1e-6 {
            return None;
        }
        let step = matrix.inverse() * off;
        if !step.is_finite() {
            return None;
        }
        plane += step;
        if off.abs().max_element() <= 1e-9 * weight_n {
            let push = |p: &DVec3| (stiffness * (plane.dot(row(p)) - p.z)).max(0.0);
            return Some(at.iter().map(push).collect());
        }
    }
    None
}

/// Points of `robot` that can stand on the ring, under `draws`, without loads.
pub(crate) fn supports(robot: &Robot, draws: &Draws) -> Vec<Support> {
    let mut all = Vec::new();
    let mut add = |kind, name: &str, at_m: DVec3, friction: f64| {
        all.push(Support {
            kind,
            name: name.to_owned(),
            at_m,
            friction,
            load_n: 0.0,
        });
    };
    for (i, w) in robot.wheels.iter().enumerate() {
        let n = &w.item.name;
        let [x, y, z] = [0, 1, 2].map(|k: usize| draws.of(&w.item.at[k], n));
        let at = DVec3::new(x, y, z - draws.of(&w.radius, n));
        let kind = if w.motor.is_some() {
            SupportKind::DrivenWheel(i)
        } else {
            SupportKind::FreeWheel(i)
        };
        let friction = if w.motor.is_some() {
            draws.of(&w.tyre.grip_peak, n)
        } else {
            draws.of(&w.tyre.rolling, n)
        };
        add(kind, n, at, friction);
    }
    for (i, s) in robot.skids.iter().enumerate() {
        let n = &s.item.name;
        let at = DVec3::from_array([0, 1, 2].map(|k: usize| draws.of(&s.contact[k], n)));
        add(SupportKind::Skid(i), n, at, draws.of(&s.friction, n));
    }
    if let Some(b) = &robot.blade {
        let n = &b.item.name;
        let half = 0.5 * draws.of(&b.width, n);
        for (side, y) in [("left", half), ("right", -half)] {
            let at = DVec3::new(
                draws.of(&b.tip_x, n),
                draws.of(&b.tip_y, n) + y,
                draws.of(&b.tip_height, n),
            );
            let name = format!("blade, {side} end");
            add(SupportKind::Blade, &name, at, draws.of(&b.friction, n));
        }
    }
    for p in &robot.hull {
        let low = draws.of(&p.from, &p.name);
        for c in &p.outline {
            let at = DVec3::new(c[0], c[1], low);
            add(
                SupportKind::Body,
                &p.name,
                at,
                draws.of(&p.friction, &p.name),
            );
        }
    }
    all
}

impl Footing {
    /// How `robot` stands under `draws`; none if nothing can carry it.
    #[must_use]
    pub fn of(robot: &Robot, draws: &Draws) -> Option<Self> {
        let MassProperties {
            mass_kg,
            centre_m,
            inertia_kg_m2,
        } = robot.mass_properties(draws);
        let weight_n = mass_kg * STANDARD_GRAVITY;
        let mut supports = supports(robot, draws);
        let at: Vec<DVec3> = supports.iter().map(|s| s.at_m).collect();
        let loads = loads(weight_n, centre_m.truncate(), &at)?;
        for (s, load_n) in supports.iter_mut().zip(&loads) {
            s.load_n = *load_n;
        }
        let mut footing = Self {
            mass_kg,
            centre_m,
            inertia_kg_m2,
            supports,
            driven_share: 0.0,
            front_lifts_m_s2: f64::INFINITY,
            rolls_back_m_s2: f64::INFINITY,
            tips_sideways_rad: [0.0; 2],
        };
        footing.driven_share = footing.driven_load_n() / weight_n;
        footing.tipping();
        Some(footing)
    }

    /// Load in N on the driven wheels at rest.
    #[must_use]
    pub fn driven_load_n(&self) -> f64 {
        let driven = |s: &&Support| matches!(s.kind, SupportKind::DrivenWheel(_));
        self.supports.iter().filter(driven).map(|s| s.load_n).sum()
    }

    /// x in m of the middle of the driven wheels' contacts; none without driven wheels.
    #[must_use]
    pub fn driven_axle_x_m(&self) -> Option<f64> {
        let driven = |s: &&Support| matches!(s.kind, SupportKind::DrivenWheel(_));
        let xs: Vec<f64> = self
            .supports
            .iter()
            .filter(driven)
            .map(|s| s.at_m.x)
            .collect();
        (!xs.is_empty()).then(|| xs.iter().sum::<f64>() / xs.len() as f64)
    }

    fn tipping(&mut self) {
        let (c, h) = (self.centre_m, self.centre_m.z.max(1e-6));
        let standing = || self.supports.iter().filter(|s| s.load_n > 0.0);
        let back = standing().map(|s| s.at_m.x).fold(f64::INFINITY, f64::min);
        let last = self
            .supports
            .iter()
            .map(|s| s.at_m.x)
            .fold(f64::INFINITY, f64::min);
        let left = standing()
            .map(|s| s.at_m.y)
            .fold(f64::NEG_INFINITY, f64::max);
        let right = standing().map(|s| s.at_m.y).fold(f64::INFINITY, f64::min);
        let slope = |base: f64| laws::tilt::tips_at_rad(base.max(0.0), h);
        let tips_sideways_rad = [slope(left - c.y), slope(c.y - right)];
        let limit = |x: f64| STANDARD_GRAVITY * laws::tilt::tips_at_g((c.x - x).max(0.0), h);
        let (front_lifts, rolls_back) = (limit(back), limit(last));
        self.tips_sideways_rad = tips_sideways_rad;
        self.front_lifts_m_s2 = front_lifts;
        self.rolls_back_m_s2 = rolls_back;
    }

    /// What is to be said about it. `push_n` is the most it pushes forward.
    pub(crate) fn findings(&self, robot: &Robot, push_n: f64) -> Vec<Finding> {
        let mut found = Vec::new();
        if self.driven_share < LEAST_DRIVEN_SHARE {
            found.push(Finding {
                name: "light-on-wheels",
                severity: Severity::Warning,
                what: format!(
                    "Only {:.0} % of the weight stands on the driven wheels.",
                    100.0 * self.driven_share
                ),
                why: format!(
                    "Grip is load on the driven wheels × friction: {:.2} N of {:.2} N presses on \
                     tyres, the rest drags on feet.",
                    self.driven_load_n(),
                    self.mass_kg * STANDARD_GRAVITY
                ),
                mend: "Move battery and ballast over the driven wheels, or the axle nearer to the \
                       centre of mass."
                    .into(),
                place: robot.wheels.first().map(|w| w.item.place.clone()),
            });
        }
        let acceleration = push_n / self.mass_kg;
        if acceleration > self.rolls_back_m_s2 {
            found.push(Finding {
                name: "tips-backward",
                severity: Severity::Warning,
                what: "Full effort from standstill rolls it over backward.".into(),
                why: format!(
                    "It accelerates with {acceleration:.1} m/s²; with its centre of mass {:.0} mm \
                     up and {:.0} mm ahead of its last support it rolls over above {:.1} m/s² \
                     (g × distance ÷ height).",
                    1e3 * self.centre_m.z,
                    1e3 * self.rolls_back_m_s2 * self.centre_m.z / STANDARD_GRAVITY,
                    self.rolls_back_m_s2
                ),
                mend: "Lower the centre of mass, move the axle back, or put a skid behind the \
                       wheels."
                    .into(),
                place: robot.wheels.first().map(|w| w.item.place.clone()),
            });
        }
        found
    }

    /// Said when there is no footing at all.
    pub(crate) fn missing(robot: &Robot) -> Finding {
        let c = robot.mass_properties(&Draws::nominal()).centre_m;
        Finding {
            name: "does-not-stand",
            severity: Severity::Fault,
            what: "It does not stand: its centre of mass lies outside of everything that touches \
                   the ring."
                .into(),
            why: format!(
                "The centre of mass is {:.0} mm ahead and {:.0} mm left of the middle; wheels, \
                 skids, blade and body must surround it.",
                1e3 * c.x,
                1e3 * c.y
            ),
            mend: "Add a skid or a blade that stands on the ring, or move heavy parts.".into(),
            place: Some(Place::whole(&robot.file)),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[track_caller]
    fn near(value: f64, expected: f64) {
        assert!(
            (value - expected).abs() <= 1e-3 * expected.abs(),
            "{value} for {expected}"
        );
    }

    fn at(points: &[[f64; 2]]) -> Vec<DVec3> {
        points.iter().map(|p| DVec3::new(p[0], p[1], 0.0)).collect()
    }

    /// 3 kg on four equal springs at (±60, ±50) mm, centre of mass at (12, −8) mm: the
    /// minimum-norm solution of the three balance equations (worked independently).
    #[test]
    fn four_equal_springs_share_as_the_balance_says() {
        let wheels = at(&[[0.06, 0.05], [0.06, -0.05], [-0.06, 0.05], [-0.06, -0.05]]);
        let n = loads(3.0 * STANDARD_GRAVITY, DVec2::new(0.012, -0.008), &wheels).unwrap();
        for (n, expected) in n.iter().zip([7.649, 10.003, 4.707, 7.061]) {
            near(*n, expected);
        }
        near(n.iter().sum(), 29.420);
    }

    /// The same on three contacts: statics alone decides.
    #[test]
    fn three_contacts_carry_what_statics_says() {
        let feet = at(&[[0.06, 0.05], [0.06, -0.05], [-0.06, 0.0]]);
        let n = loads(3.0 * STANDARD_GRAVITY, DVec2::new(0.012, -0.008), &feet).unwrap();
        for (n, expected) in n.iter().zip([6.472, 11.180, 11.768]) {
            near(*n, expected);
        }
    }

    #[test]
    fn a_spring_that_would_pull_lifts_off_and_the_rest_balance() {
        let wheels = at(&[[0.06, 0.05], [0.06, -0.05], [-0.06, 0.05], [-0.06, -0.05]]);
        let centre = DVec2::new(0.055, 0.03);
        let n = loads(10.0, centre, &wheels).unwrap();
        assert!(n.iter().all(|n| *n >= 0.0));
        assert!(n[3] == 0.0, "{n:?}");
        near(n.iter().sum(), 10.0);
        let moment: DVec3 = n.iter().zip(&wheels).map(|(n, p)| *n * *p).sum();
        near(moment.x, 10.0 * centre.x);
        near(moment.y, 10.0 * centre.y);
    }

    #[test]
    fn a_weight_outside_its_supports_has_no_footing() {
        let feet = at(&[[0.06, 0.05], [0.06, -0.05], [-0.06, 0.0]]);
        assert_eq!(loads(10.0, DVec2::new(0.07, 0.0), &feet), None);
        assert_eq!(loads(10.0, DVec2::new(0.0, 0.0), &feet[..2]), None);
    }

    #[test]
    fn a_corner_well_above_the_ring_carries_nothing() {
        let mut feet = at(&[[0.06, 0.05], [0.06, -0.05], [-0.06, 0.0]]);
        feet.push(DVec3::new(0.0, 0.0, 0.004));
        let n = loads(10.0, DVec2::new(0.0, 0.0), &feet).unwrap();
        assert!(n[3] == 0.0, "{n:?}");
    }
}
