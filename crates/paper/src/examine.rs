//! All analyses of one robot together.

use quantity::Draws;
use robot::{Finding, PartsBox, Robot, SensorKind, Severity};
use rules::Class;
use tactic::{Blind, Charge, Ports, Tactic};

use crate::doubts::{self, Doubt, bands_and_doubts};
use crate::frame::Held;
use crate::stopping::Context;
use crate::worth::{self, Reach, Worth};
use crate::{
    Answer, Approach, Band, Budget, Day, Drive, Edge, Footing, Guard, Heat, Lifting, Overlaps,
    Pair, Power, Search, Seen, Sight, SweepRow, Threshold, Tipping, Under, Unwatched, Way, opening,
    program, sides, sweep, toward, trade, unwatched,
};

/// A charge is a third of the ring's diameter: from put-down to the opponent, or from the middle
/// most of the way to the border. Common practice, no source.
const CHARGE_SHARE: f64 = 1.0 / 3.0;
/// Push of the motors below this share of the grip is said to be too little: nearer than that the
/// unknowns decide.
const CLOSE_TO_GRIP: f64 = 0.97;

/// One robot on paper.
#[derive(Debug, Clone, PartialEq)]
pub struct Paper {
    /// How it stands; none if it does not.
    pub footing: Option<Footing>,
    /// Which way it tips how easily; none if it does not stand.
    pub tipping: Option<Tipping>,
    /// Its drive at full effort; none if it does not stand.
    pub drive: Option<Drive>,
    /// Push, with what it may be off by, N.
    pub push_band_n: Option<Band>,
    /// Time of a charge, with what it may be off by, s.
    pub charge_band_s: Option<Band>,
    /// Speed that stops at the edge, with what it may be off by, m/s.
    pub safe_band_m_s: Option<Band>,
    /// What is not known well and widens these bands, what widens one of them most first.
    pub doubts: Vec<Doubt>,
    /// The edge; none if it does not stand.
    pub edge: Option<Edge>,
    /// The edge met otherwise than straight on; none without an edge sensor ahead.
    pub approach: Option<Approach>,
    /// What its edge sensors read, and how often its program takes that wrongly.
    pub thresholds: Vec<Threshold>,
    /// Times in which its program does not act on an edge sensor.
    pub unwatched: Vec<Unwatched>,
    /// How long each edge sensor takes to the motors.
    pub answers: Vec<Answer>,
    /// What it sees.
    pub sight: Sight,
    /// What it sees of opponents of several kinds.
    pub seen: Seen,
    /// How long it looks for the opponent.
    pub search: Search,
    /// Mass, price, current.
    pub budget: Budget,
    /// How hot the motors get over a day; none if it does not stand.
    pub heat: Option<Heat>,
    /// What can be reached from outside.
    pub guard: Guard,
    /// Parts and beams in each other's way.
    pub overlaps: Overlaps,
    /// Who gets under whom; none if it does not stand.
    pub under: Option<Under>,
    /// Its lifters and jacks; none if it does not stand.
    pub lifting: Option<Lifting>,
    /// What holds it together.
    pub frame: Held,
    /// Power and wiring.
    pub power: Power,
    /// What other wheels would give.
    pub wheels: Vec<SweepRow>,
    /// What other motors would give.
    pub motors: Vec<SweepRow>,
    /// What each sensor and gadget is good for.
    pub worth: Vec<Worth>,
    /// What every wheel with every motor of the parts box would give.
    pub pairs: Vec<Pair>,
    /// What is to be said, faults first.
    pub findings: Vec<Finding>,
}

/// An opponent within this many lengths of the robot stands in its way: no run-up there.
const NEAR_LENGTHS: f64 = 1.0;

struct Case<'a> {
    robot: &'a Robot,
    tactic: &'a Tactic,
    charge_m: f64,
    border_m: f64,
    read: Vec<String>,
}

fn effort(per_mille: i16) -> f64 {
    (f64::from(per_mille) / 1000.0).clamp(0.0, 1.0)
}

impl Case<'_> {
    fn drive(&self, footing: &Footing, effort: f64, draws: &Draws) -> Drive {
        Drive::of(self.robot, footing, effort, self.charge_m, draws)
    }

    /// Greatest speed from standstill at the end of any charge of the program: a third of the ring
    /// or as long as the step lasts, whichever comes first. What it does only with the opponent
    /// right in front is no charge.
    fn reached_m_s(&self, footing: &Footing, draws: &Draws) -> f64 {
        let near_mm = (1e3 * NEAR_LENGTHS * self.robot.footprint().length()).clamp(0.0, 3e4);
        #[allow(
            clippy::cast_possible_truncation,
            reason = "clamped to what fits just above"
        )]
        let charges = self.tactic.forward_charges(near_mm as i16);
        self.fastest_m_s(&charges, footing, draws)
    }

    /// Greatest speed from standstill at the end of any of these charges.
    fn fastest_m_s(&self, charges: &[Charge], footing: &Footing, draws: &Draws) -> f64 {
        charges
            .iter()
            .map(|c| {
                let longest_s = c.longest_ms.map(|ms| f64::from(ms) / 1e3);
                Drive::speed_after(
                    self.robot,
                    footing,
                    effort(c.effort),
                    self.charge_m,
                    longest_s,
                    draws,
                )
            })
            .fold(0.0, f64::max)
    }

    fn edge(&self, footing: &Footing, draws: &Draws) -> Edge {
        let [forward, backward] = self.ways(footing, draws, [true, true]);
        let reached_m_s = self.reached_m_s(footing, draws);
        Edge {
            forward,
            backward,
            reached_m_s,
            searching_m_s: self.fastest_m_s(&self.tactic.searching_charges(), footing, draws),
            reached_backward_m_s: self.fastest_m_s(&self.tactic.backward_charges(), footing, draws),
            border_m: self.border_m,
            reverses: self.tactic.most_effort_backward() > 0,
        }
    }

    /// Times in which the program does not act on an edge sensor.
    fn unwatched(&self, footing: &Footing, edge: &Edge, blind: &[Blind]) -> Vec<Unwatched> {
        let nominal = Draws::nominal();
        let [forward, backward] = [
            self.tactic.forward_charges(0),
            self.tactic.backward_charges(),
        ]
        .map(|charges| charges.iter().map(|c| effort(c.effort)).fold(0.0, f64::max));
        let bench = unwatched::Bench {
            robot: self.robot,
            footing,
            charge_m: self.charge_m,
            reached_m_s: [edge.reached_m_s, edge.reached_backward_m_s],
            hardest: [forward, backward],
        };
        let way = |sensor: &str, forward: bool| {
            let alone = Case {
                read: vec![sensor.to_owned()],
                ..*self
            };
            let [ahead, behind] = alone.ways(footing, &nominal, [forward, !forward]);
            ahead.or(behind)
        };
        bench.unwatched(blind, &way)
    }

    /// The ways forward and backward, those that are `wanted`.
    fn ways(&self, footing: &Footing, draws: &Draws, wanted: [bool; 2]) -> [Option<Way>; 2] {
        let backward = self.tactic.most_effort_backward();
        let reversing = self.drive(footing, effort(backward), draws);
        let context = Context {
            robot: self.robot,
            footing,
            reversing: &reversing,
            read: &self.read,
            border_m: self.border_m,
        };
        let way = |k: usize, sense| wanted[k].then(|| context.way(sense, draws)).flatten();
        [way(0, 1.0), way(1, -1.0)]
    }
}

/// Speed in m/s at which it can search: what stops at the edge, and no more than it drives.
fn search_m_s(drive: Option<&Drive>, edge: Option<&Edge>) -> f64 {
    let free = drive.map_or(0.0, |d| d.free_speed_m_s);
    let safe = edge.and_then(|e| e.forward.as_ref()).map(|w| w.safe_m_s);
    safe.map_or(free, |s| s.min(free))
}

/// Examines `robot` with its program for `class`; `parts` are what a sweep may choose from.
#[must_use]
pub fn examine(robot: &Robot, class: &Class, tactic: &Tactic, parts: &PartsBox) -> Paper {
    let ring = class.ring();
    let case = Case {
        robot,
        tactic,
        charge_m: CHARGE_SHARE * ring.diameter_m,
        border_m: ring.border_m,
        read: tactic.sensors_read(),
    };
    let nominal = Draws::nominal();
    let footing = Footing::of(robot, ring.surface, &nominal);
    let drive = footing.as_ref().map(|f| case.drive(f, 1.0, &nominal));
    let edge = footing.as_ref().map(|f| case.edge(f, &nominal));
    let ([push_band_n, charge_band_s, safe_band_m_s], doubts) = bands_and_doubts(robot, |draws| {
        let Some(f) = Footing::of(robot, ring.surface, draws) else {
            return [None; 3];
        };
        let d = case.drive(&f, 1.0, draws);
        let [forward, _] = case.ways(&f, draws, [true, false]);
        [
            Some(d.push_n),
            Some(d.charge_s),
            forward.map(|w| w.safe_m_s),
        ]
    });
    let sight = Sight::of(
        robot,
        &case.read,
        drive.as_ref().map_or(0.0, |d| d.spin_rad_s),
    );
    let tipping = footing.as_ref().map(Tipping::of);
    let approach = (footing.as_ref().zip(drive.as_ref()))
        .zip(edge.as_ref().and_then(|e| e.forward.as_ref()))
        .map(|((f, d), way)| Approach::of(robot, f, d, way, &case.read, ring.border_m));
    let thresholds = Threshold::of(robot, &ring, tactic);
    let edge_sensors: Vec<String> = (robot.sensors.iter())
        .filter(|s| matches!(s.kind, SensorKind::Reflectance { .. }))
        .map(|s| s.item.name.clone())
        .filter(|name| case.read.contains(name))
        .collect();
    let blind = tactic.blind(&edge_sensors, Ports::of(robot).rolling);
    let unwatched = (footing.as_ref().zip(edge.as_ref()))
        .map(|(f, e)| case.unwatched(f, e, &blind))
        .unwrap_or_default();
    let answers = unwatched::answers(robot, &case.read, &blind);
    let seen = Seen::of(robot, &case.read, &ring);
    let search = Search::of(
        robot,
        &sight.beams,
        ring.diameter_m,
        drive.as_ref().map_or(0.0, |d| d.spin_rad_s),
        search_m_s(drive.as_ref(), edge.as_ref()),
    );
    let still = Drive::none(case.charge_m);
    let budget = Budget::of(robot, class, drive.as_ref().unwrap_or(&still));
    let bench = sweep::Bench {
        robot,
        class,
        parts,
        charge_m: case.charge_m,
    };
    let wheels = sweep::wheels(&bench);
    let heat = (drive.as_ref()).and_then(|d| Heat::of(robot, d, Day::of(class), &nominal));
    let power = Power::of(robot, class, drive.as_ref());
    let under = (footing.as_ref().zip(drive.as_ref())).map(|(f, d)| Under::of(robot, f, d));
    let guard = Guard::of(robot);
    let overlaps = Overlaps::of(robot);
    let lifting = footing.as_ref().map(|f| Lifting::of(robot, f));
    let mut findings = power.findings(robot);
    match (&footing, &drive, &edge) {
        (Some(f), Some(d), Some(e)) => {
            findings.extend(f.findings(robot, d.push_n));
            findings.extend(d.findings(robot, &wheels));
            findings.extend(heat.and_then(|h| h.findings(robot, d)));
            findings.extend(d.turning.and_then(|t| t.findings(robot)));
            findings.extend(tipping.as_ref().and_then(|t| t.findings(robot, f, d)));
            findings.extend(e.findings(robot));
            findings.extend(unwatched::findings(&unwatched));
            let forward = approach.as_ref().zip(e.forward.as_ref());
            findings.extend(forward.and_then(|(a, way)| a.findings(robot, e, way)));
        }
        _ => findings.push(Footing::missing(robot)),
    }
    findings.extend(under.iter().flat_map(|u| u.findings(robot)));
    findings.extend(guard.findings());
    findings.extend(overlaps.findings(robot));
    findings.extend(lifting.iter().flat_map(Lifting::findings));
    findings.extend(thresholds.iter().flat_map(|t| t.findings(robot)));
    findings.extend(sight.findings(robot, tactic));
    findings.extend(seen.findings(robot, tactic));
    findings.extend(search.findings(tactic.searches_on_the_spot()));
    findings.extend(program::findings(robot, tactic));
    findings.extend(toward::findings(robot, tactic));
    findings.extend(opening::findings(robot, class, tactic));
    let worth = {
        let drive = drive.as_ref().unwrap_or(&still);
        let reach = Reach {
            speed_m_s: drive.free_speed_m_s,
            motor_a: drive.motor_stalled_a,
        };
        worth::worth(robot, tactic, reach)
    };
    findings.extend(worth::findings(robot, tactic, &worth));
    findings.extend(doubts::findings(robot));
    findings.extend(sides::findings(robot));
    let frame = Held::of(
        robot,
        parts.materials(),
        drive.as_ref().map_or(0.0, |d| d.push_n),
    );
    findings.extend(frame.findings(robot));
    let driven_share = footing.as_ref().map_or(1.0, |f| f.driven_share);
    findings.extend(budget.findings(robot, drive.as_ref().unwrap_or(&still), driven_share));
    findings.sort_by_key(|f: &Finding| f.severity);
    Paper {
        push_band_n,
        charge_band_s,
        safe_band_m_s,
        doubts,
        motors: sweep::motors(&bench),
        pairs: trade::pairs(&bench),
        tipping,
        approach,
        footing,
        drive,
        edge,
        thresholds,
        unwatched,
        answers,
        sight,
        seen,
        search,
        budget,
        heat,
        guard,
        overlaps,
        under,
        lifting,
        frame,
        power,
        wheels,
        worth,
        findings,
    }
}

impl Drive {
    /// The drive of a robot that cannot drive.
    fn none(charge_m: f64) -> Self {
        Self {
            motors_push_n: 0.0,
            unlimited_push_n: 0.0,
            grip_n: 0.0,
            sliding_n: 0.0,
            push_n: 0.0,
            free_speed_m_s: 0.0,
            stalled_v: 0.0,
            stalled_a: 0.0,
            motor_stalled_a: 0.0,
            charge_s: f64::INFINITY,
            charge_speed_m_s: 0.0,
            charge_m,
            spin_rad_s: 0.0,
            turning: None,
            drag_n: 0.0,
            groups: Vec::new(),
            line: Vec::new(),
        }
    }

    fn findings(&self, robot: &Robot, wheels: &[SweepRow]) -> Vec<Finding> {
        let mut found = Vec::new();
        if self.motors_push_n >= CLOSE_TO_GRIP * self.grip_n {
            return found;
        }
        let place = || robot.motors.first().map(|m| m.item.place.clone());
        if self.unlimited_push_n > 1.05 * self.motors_push_n {
            found.push(Finding {
                name: "driver-limits-push",
                severity: Severity::Warning,
                what: format!(
                    "The driver's current limit holds the push at {:.2} N; the tyres would hold \
                     {:.2} N.",
                    self.motors_push_n, self.grip_n
                ),
                why: format!(
                    "Stalled, a motor wants more than the {} the driver gives: without the limit \
                     the motors would push {:.2} N.",
                    quantity::show_si::<quantity::Current>(robot.driver.current_limit.si()),
                    self.unlimited_push_n
                ),
                mend: "Take a stronger driver, or smaller wheels.".into(),
                place: Some(robot.driver.item.place.clone()),
            });
            return found;
        }
        let better = wheels
            .iter()
            .filter(|w| !w.ours && w.push_n > 1.02 * self.push_n)
            .max_by(|a, b| (a.push_n - a.charge_s).total_cmp(&(b.push_n - b.charge_s)));
        let mend = better.map_or_else(
            || "Take a slower, stronger gear or a pack with less internal resistance.".to_owned(),
            |w| {
                let quicker = if w.charge_s < self.charge_s {
                    "and still covers"
                } else {
                    "but covers"
                };
                format!(
                    "Smaller wheels gear it down: {} ({}) push {:.2} N {quicker} the first {:.0} \
                     mm in {:.2} s instead of {:.2} s.",
                    w.title,
                    w.part,
                    w.push_n,
                    1e3 * self.charge_m,
                    w.charge_s,
                    self.charge_s
                )
            },
        );
        found.push(Finding {
            name: "motors-stall-first",
            severity: Severity::Warning,
            what: format!(
                "The motors stall at {:.2} N; the tyres would hold {:.2} N.",
                self.motors_push_n, self.grip_n
            ),
            why: format!(
                "Pushing at standstill, the motors draw {:.2} A and the pack sags from {:.2} V to \
                 {:.2} V. Push = torque ÷ wheel radius: {:.0} % of the grip is wasted.",
                self.stalled_a,
                robot.battery.voltage.si(),
                self.stalled_v,
                100.0 * (1.0 - self.motors_push_n / self.grip_n)
            ),
            mend,
            place: place(),
        });
        found
    }
}
