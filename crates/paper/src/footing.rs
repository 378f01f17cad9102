//! How the robot stands: mass, centre, and what each support carries.
//!
//! Wheels, the patches of tracks, skids, the blade's corners and the lower corners of the body are
//! springs under a rigid body (see `bearing`).

use glam::{DMat3, DVec2, DVec3};
use quantity::{Draws, maths::STANDARD_GRAVITY};
use robot::{Finding, MassProperties, Place, Robot, Severity, Surface};

use crate::bearing::{Load, Spring};

/// Rounds in which the pull of magnets and what their robot sinks under it come to agree: each leaves a
/// tenth of the error or less.
const SINKS: u32 = 12;
/// A track is as stiff as this many wheels, as in the bout.
const WHEELS_OF_A_TRACK: f64 = 2.0;
/// Least share of the weight that should stand on driven wheels (common practice, no source).
const LEAST_DRIVEN_SHARE: f64 = 0.5;
/// Share of the weight on the body from which it is said: less is within what lengths are off by.
const LEAST_ON_BODY: f64 = 0.02;

/// What a support is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum SupportKind {
    /// A wheel with a motor: index into [`Robot::wheels`].
    DrivenWheel(usize),
    /// A wheel without a motor: index into [`Robot::wheels`].
    FreeWheel(usize),
    /// A patch of a track with a motor: index into [`Robot::tracks`].
    DrivenTrack(usize),
    /// A patch of a track without a motor: index into [`Robot::tracks`].
    FreeTrack(usize),
    /// A skid: index into [`Robot::skids`].
    Skid(usize),
    /// An end of the blade's edge.
    Blade,
    /// A lower corner of the body.
    Body,
}

impl SupportKind {
    /// Whether a motor turns it.
    #[must_use]
    pub fn is_driven(self) -> bool {
        matches!(self, Self::DrivenWheel(_) | Self::DrivenTrack(_))
    }
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
    /// Stiffness as a multiple of a wheel's.
    pub stiffness: f64,
    /// Width of its tread in m, 0 without one.
    pub width_m: f64,
    /// Load at rest in N.
    pub load_n: f64,
}

impl Support {
    /// Share of a track that a patch of it stands for.
    pub(crate) fn share_of_track(&self) -> f64 {
        self.stiffness / WHEELS_OF_A_TRACK
    }

    fn is_tread(&self) -> bool {
        !matches!(
            self.kind,
            SupportKind::Skid(_) | SupportKind::Blade | SupportKind::Body
        )
    }

    pub(crate) fn spring(&self) -> Spring {
        Spring {
            at: self.at_m,
            stiffness: self.stiffness,
        }
    }
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
    /// What the ring's top is made of.
    pub surface: Surface,
    /// Where magnets pull it down, x and y in m, and how hard at rest, N; none where the ring is no
    /// steel.
    pub pulls: Vec<(DVec2, f64)>,
    /// Everything it can stand on, with the load at rest.
    pub supports: Vec<Support>,
    /// Share of what presses it down that stands on driven wheels.
    pub driven_share: f64,
    /// Forward acceleration in m/s² above which the front lifts; infinite if it cannot.
    pub front_lifts_m_s2: f64,
    /// Forward acceleration in m/s² at which it rolls over backward.
    pub rolls_back_m_s2: f64,
    /// Slope in rad at which it tips over a side edge of its supports (left, right).
    pub tips_sideways_rad: [f64; 2],
}

/// Points of `robot` that can stand on the ring, under `draws`, without loads.
pub(crate) fn supports(robot: &Robot, draws: &Draws) -> Vec<Support> {
    let mut all = Vec::new();
    let point = |kind, name: &str, at_m: DVec3, friction: f64| Support {
        kind,
        name: name.to_owned(),
        at_m,
        friction,
        stiffness: 1.0,
        width_m: 0.0,
        load_n: 0.0,
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
        all.push(Support {
            width_m: draws.of(&w.width, n),
            ..point(kind, n, at, friction)
        });
    }
    for (i, t) in robot.tracks.iter().enumerate() {
        let n = &t.item.name;
        let [x, y, z] = [0, 1, 2].map(|k: usize| draws.of(&t.item.at[k], n));
        let low = z - draws.of(&t.radius, n);
        let (kind, friction) = if t.motor.is_some() {
            (SupportKind::DrivenTrack(i), &t.tyre.grip_peak)
        } else {
            (SupportKind::FreeTrack(i), &t.tyre.rolling)
        };
        let length = draws.of(&t.length, n);
        for patch in t.patches() {
            let at = DVec3::new(x + patch.ahead * length, y, low);
            all.push(Support {
                stiffness: WHEELS_OF_A_TRACK * patch.share,
                width_m: draws.of(&t.width, n),
                ..point(kind, n, at, draws.of(friction, n))
            });
        }
    }
    for (i, s) in robot.skids.iter().enumerate() {
        let n = &s.item.name;
        let at = DVec3::from_array([0, 1, 2].map(|k: usize| draws.of(&s.contact[k], n)));
        all.push(point(SupportKind::Skid(i), n, at, s.drag(draws)));
    }
    for m in &robot.magnets {
        let n = &m.item.name;
        let [x, y] = [0, 1].map(|k: usize| draws.of(&m.item.at[k], n));
        let face = DVec3::new(x, y, draws.of(&m.gap, n));
        all.push(point(SupportKind::Body, n, face, draws.of(&m.friction, n)));
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
            let friction = draws.of(&b.friction, n);
            all.push(point(SupportKind::Blade, &name, at, friction));
        }
    }
    for p in &robot.hull {
        let low = draws.of(&p.from, &p.name);
        for c in &p.outline {
            let at = DVec3::new(c[0], c[1], low);
            let friction = draws.of(&p.friction, &p.name);
            all.push(point(SupportKind::Body, &p.name, at, friction));
        }
    }
    all
}

/// Where the magnets of `robot` pull and how hard, N, sunk by (d, a, b) of d + a·x + b·y.
fn pulls(robot: &Robot, draws: &Draws, sinks: DVec3) -> Vec<(DVec2, f64)> {
    let pull = |m: &robot::Magnet| {
        let n = &m.item.name;
        let at = DVec2::new(draws.of(&m.item.at[0], n), draws.of(&m.item.at[1], n));
        let gap = draws.of(&m.gap, n) - sinks.dot(DVec3::new(1.0, at.x, at.y));
        let touching = draws.of(&m.pull, n).max(0.0);
        let reach = draws.of(&m.reach, n).max(1e-5);
        (at, laws::magnet::pull_n(touching, reach, gap))
    };
    robot.magnets.iter().map(pull).collect()
}

/// Place of the first wheel or track in the file.
pub(crate) fn first_driven(robot: &Robot) -> Option<Place> {
    let wheels = robot.wheels.iter().map(|w| &w.item);
    let tracks = robot.tracks.iter().map(|t| &t.item);
    wheels.chain(tracks).next().map(|i| i.place.clone())
}

impl Footing {
    /// How `robot` stands on a ring of this `surface` under `draws`; none if nothing can carry it.
    #[must_use]
    pub fn of(robot: &Robot, surface: Surface, draws: &Draws) -> Option<Self> {
        let MassProperties {
            mass_kg,
            centre_m,
            inertia_kg_m2,
        } = robot.mass_properties(draws);
        let mut footing = Self {
            mass_kg,
            centre_m,
            inertia_kg_m2,
            surface,
            pulls: Vec::new(),
            supports: supports(robot, draws),
            driven_share: 0.0,
            front_lifts_m_s2: f64::INFINITY,
            rolls_back_m_s2: f64::INFINITY,
            tips_sideways_rad: [0.0; 2],
        };
        let springs: Vec<Spring> = footing.supports.iter().map(Support::spring).collect();
        // Counting every support softens each; by how much it sinks under a pull, only wheels and
        // tracks decide.
        let all: f64 = springs.iter().map(|s| s.stiffness).sum();
        let treads = footing.supports.iter().filter(|s| s.is_tread());
        let stiffer = treads.map(|s| s.stiffness).sum::<f64>() / all;
        let mut sinks = DVec3::ZERO;
        let rounds = if surface.is_steel() && !robot.magnets.is_empty() {
            SINKS
        } else {
            1
        };
        for _ in 0..rounds {
            if surface.is_steel() {
                footing.pulls = pulls(robot, draws, sinks);
            }
            let (loads, plane) = footing.load(|_| true).on(&springs)?;
            sinks = plane * stiffer;
            for (s, load_n) in footing.supports.iter_mut().zip(&loads) {
                s.load_n = *load_n;
            }
        }
        footing.driven_share = footing.driven_load_n() / footing.load(|_| true).whole_n;
        footing.tipping();
        Some(footing)
    }

    /// Weight and the magnets that `pull`, by where they are.
    pub(crate) fn load(&self, pull: impl Fn(DVec2) -> bool) -> Load {
        let weight_n = self.mass_kg * STANDARD_GRAVITY;
        let mut load = Load::of_weight(weight_n, self.centre_m.truncate());
        for (at, pull_n) in self.pulls.iter().filter(|p| pull(p.0)) {
            let whole_n = load.whole_n + pull_n;
            load.centre += (*at - load.centre) * (pull_n / whole_n);
            load.whole_n = whole_n;
        }
        load
    }

    /// What all magnets pull at rest, N.
    #[must_use]
    pub fn pull_n(&self) -> f64 {
        self.pulls.iter().map(|p| p.1).sum()
    }

    /// Load in N on the driven wheels at rest.
    #[must_use]
    pub fn driven_load_n(&self) -> f64 {
        let driven = self.supports.iter().filter(|s| s.kind.is_driven());
        driven.map(|s| s.load_n).sum()
    }

    /// x in m of the middle of the driven wheels' and tracks' contacts; none without any.
    #[must_use]
    pub fn driven_axle_x_m(&self) -> Option<f64> {
        let (mut sum, mut all) = (0.0, 0.0);
        for s in self.supports.iter().filter(|s| s.kind.is_driven()) {
            sum += s.stiffness * s.at_m.x;
            all += s.stiffness;
        }
        (all > 0.0).then(|| sum / all)
    }

    fn tipping(&mut self) {
        let h = self.centre_m.z.max(1e-6);
        // Magnets press on where they are: they count as weight with no inertia.
        let load = self.load(|_| true);
        let c = load.centre;
        let pressed = load.whole_n / load.weight_n;
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
        let slope = |base: f64| laws::tilt::tips_at_rad(pressed * base.max(0.0), h);
        let tips_sideways_rad = [slope(left - c.y), slope(c.y - right)];
        let limit =
            |x: f64| STANDARD_GRAVITY * laws::tilt::tips_at_g(pressed * (c.x - x).max(0.0), h);
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
                    self.load(|_| true).whole_n
                ),
                mend: "Move battery and ballast over the driven wheels, or the axle nearer to the \
                       centre of mass."
                    .into(),
                place: first_driven(robot),
            });
        }
        found.extend(self.on_its_body(robot));
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
                place: first_driven(robot),
            });
        }
        found
    }

    /// Said when part of the weight stands on lower corners of the body.
    fn on_its_body(&self, robot: &Robot) -> Option<Finding> {
        let on_body = self.supports.iter().filter(|s| s.kind == SupportKind::Body);
        let load_n: f64 = on_body.clone().map(|s| s.load_n).sum();
        let whole_n = self.load(|_| true).whole_n;
        if load_n <= LEAST_ON_BODY * whole_n {
            return None;
        }
        let mean_x = on_body.map(|s| s.load_n * s.at_m.x).sum::<f64>() / load_n;
        let end = if mean_x < self.centre_m.x {
            "back"
        } else {
            "front"
        };
        let blade = self
            .supports
            .iter()
            .filter(|s| s.kind == SupportKind::Blade);
        let nose_up = robot.blade.is_some() && blade.map(|s| s.load_n).sum::<f64>() <= 0.0;
        let nose = if nose_up {
            " The blade's edge is in the air: an opponent gets under it."
        } else {
            ""
        };
        let driven: Vec<f64> = (self.supports.iter())
            .filter(|s| s.kind.is_driven())
            .map(|s| s.at_m.x)
            .collect();
        let axle_m = driven.iter().sum::<f64>() / driven.len().max(1) as f64;
        let place = robot.hull.first().map(|h| h.place.clone());
        Some(Finding {
            name: "rests-on-body",
            severity: Severity::Warning,
            what: format!(
                "It rests on the {end} of its body: {:.0} % of its weight drags there.{nose}",
                100.0 * load_n / whole_n
            ),
            why: format!(
                "The centre of mass is {:.0} mm {} the driven wheels, and nothing that rolls or \
                 slides well stands beyond it: the robot leans until a lower edge of the body is on \
                 the ring, with {load_n:.2} N of {whole_n:.2} N.",
                1e3 * (self.centre_m.x - axle_m).abs(),
                if self.centre_m.x < axle_m {
                    "behind"
                } else {
                    "ahead of"
                },
            ),
            mend: format!(
                "Move the wheels or the heavy parts so that the centre of mass lies between what \
                 is to carry it, or put a skid under the {end}."
            ),
            place,
        })
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
