//! Which figure that is not known well widens the bands on paper most.
//!
//! Two steps. The imagined robots of the bands show for nothing which figures a number goes with: the
//! slope of the number on the drawn figure, over all of them. The few that stand out there are then
//! moved one at a time, all others nominal, up and down by their half-width.

use quantity::{Draws, Origin};
use robot::{FigureLine, Finding, Robot, Severity};

use crate::Band;
use crate::band::imagined;

/// Figures that are moved one at a time for each number.
const LOOKED_AT: usize = 6;
/// Figures that are kept.
const KEPT: usize = 8;
/// A figure that would narrow no band by this share is not worth a word.
const LEAST: f64 = 0.01;

/// The numbers on paper whose bands matter most: push in N, time of a charge in s, speed in m/s that
/// stops at the edge.
pub(crate) type Numbers = [Option<f64>; 3];

/// What one unknown does to one number.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Sway {
    /// Change of the number when the figure is one half-width (19 to 1) higher, in its unit.
    pub change: f64,
    /// Share by which the band would narrow if the figure were known exactly: 1 − √(1 − (change ÷ half
    /// the band)²), for independent unknowns add as squares (JCGM 100:2008, 5.1; from memory).
    pub narrows: f64,
}

/// One figure that is not known well.
#[derive(Debug, Clone, PartialEq)]
pub struct Doubt {
    /// Its path in the files' terms.
    pub path: String,
    /// The figure with its unit.
    pub shown: String,
    /// Half-width of what is not known, with its unit.
    pub unsure_shown: String,
    /// Whether nobody said it at all: the typical value of its class was taken.
    pub guessed: bool,
    /// What it does to the push in N.
    pub push_n: Option<Sway>,
    /// What it does to the time of a charge in s.
    pub charge_s: Option<Sway>,
    /// What it does to the speed in m/s that stops at the edge.
    pub safe_m_s: Option<Sway>,
}

impl Doubt {
    /// Greatest share by which knowing it would narrow one of the bands.
    #[must_use]
    pub fn narrows(&self) -> f64 {
        let all = [self.push_n, self.charge_s, self.safe_m_s];
        all.iter().flatten().map(|s| s.narrows).fold(0.0, f64::max)
    }
}

/// The bands of the three numbers, and the unknowns of `robot` that widen them, the one that widens one
/// of them most first.
pub(crate) fn bands_and_doubts(
    robot: &Robot,
    numbers: impl Fn(&Draws) -> Numbers,
) -> ([Option<Band>; 3], Vec<Doubt>) {
    let robots: Vec<(Draws, Numbers)> = imagined().map(|d| (d, numbers(&d))).collect();
    let bands = [0, 1, 2].map(|k| Band::holding(robots.iter().filter_map(|(_, n)| n[k])));
    let unknown: Vec<FigureLine> = (robot.figures().into_iter())
        .filter(|f| f.unsure > 0.0)
        .collect();
    // Which of them stand out in any number.
    let mut looked_at: Vec<usize> = Vec::new();
    for k in 0..bands.len() {
        let mut slopes: Vec<(usize, f64)> = (unknown.iter().enumerate())
            .map(|(at, f)| (at, slope(&robots, &f.path, k).abs()))
            .filter(|s| s.1 > 0.0)
            .collect();
        slopes.sort_by(|a, b| b.1.total_cmp(&a.1).then(a.0.cmp(&b.0)));
        looked_at.extend(slopes.iter().take(LOOKED_AT).map(|s| s.0));
    }
    looked_at.sort_unstable();
    looked_at.dedup();
    let mut doubts: Vec<Doubt> = (looked_at.into_iter())
        .map(|at| doubt(&unknown[at], &bands, &numbers))
        .filter(|d| d.narrows() >= LEAST)
        .collect();
    doubts.sort_by(|a, b| {
        b.narrows()
            .total_cmp(&a.narrows())
            .then(a.path.cmp(&b.path))
    });
    doubts.truncate(KEPT);
    (bands, doubts)
}

/// Least-squares slope of number `k` on the standard normal drawn for the figure of this path.
fn slope(robots: &[(Draws, Numbers)], path: &str, k: usize) -> f64 {
    let (mut n, mut x, mut y, mut xx, mut xy) = (0.0, 0.0, 0.0, 0.0, 0.0);
    for (draws, numbers) in robots {
        let Some(number) = numbers[k].filter(|v| v.is_finite()) else {
            continue;
        };
        let z = draws.unknown(path);
        n += 1.0;
        x += z;
        y += number;
        xx += z * z;
        xy += z * number;
    }
    let spread = n * xx - x * x;
    if spread > 0.0 {
        (n * xy - x * y) / spread
    } else {
        0.0
    }
}

/// One figure moved by itself.
fn doubt(f: &FigureLine, bands: &[Option<Band>; 3], numbers: impl Fn(&Draws) -> Numbers) -> Doubt {
    let [more, less] = [1.0, -1.0].map(|by| numbers(&Draws::shifted(&f.path, by)));
    let sway = |k: usize| -> Option<Sway> {
        let change = 0.5 * (more[k]? - less[k]?);
        let half = bands[k]?.half_width();
        if !change.is_finite() || half <= 0.0 {
            return None;
        }
        let share = (change / half).abs().min(1.0);
        Some(Sway {
            change,
            narrows: 1.0 - (1.0 - share * share).sqrt(),
        })
    };
    Doubt {
        path: f.path.clone(),
        shown: f.shown.clone(),
        unsure_shown: f.unsure_shown.clone(),
        guessed: f.origin == Origin::Typical,
        push_n: sway(0),
        charge_s: sway(1),
        safe_m_s: sway(2),
    }
}

/// What is to be said of figures that are less well known than they look.
pub(crate) fn findings(robot: &Robot) -> Vec<Finding> {
    let Some(motor) = robot.motors.iter().find(|m| m.torque_is_from_a_shop()) else {
        return Vec::new();
    };
    let torque = &motor.stall_torque;
    let shown = |si: f64| quantity::show_si::<quantity::Torque>(si);
    vec![Finding {
        name: "torque-from-the-shop",
        severity: Severity::Note,
        what: format!(
            "The stall torque of \"{}\" is written without a spread: it is taken as {} ± {}.",
            motor.item.name,
            shown(torque.si()),
            shown(torque.unsure())
        ),
        why: "Shop pages seldom measure the torque at standstill; they draw it on from lower loads along \
              a straight line. Every push rests on it."
            .into(),
        mend: "Measure the pull at standstill with a luggage scale and write the torque with its +-, or \
               write how well you trust the page."
            .into(),
        place: Some(motor.item.place.clone()),
    }]
}
