//! Push and run-up: wheel by wheel, and what other wheels with other motors would give.

use paper::{Drive, Pair};
use robot::Robot;
use serde::Serialize;

use super::Examined;
use super::sections::Section;
use crate::text::{Sheet, Table};

/// Pairs worth having that are told in text.
const ROWS: usize = 8;

/// What one motor shaft turns, at standstill.
#[derive(Debug, Clone, PartialEq, Serialize, schemars::JsonSchema)]
pub struct GroupLine {
    /// The motor.
    pub motor: String,
    /// What it turns.
    pub turns: Vec<String>,
    /// What the motor gives at the rims in N.
    pub motors_n: f64,
    /// What the tyres hold in N.
    pub grip_n: f64,
    /// Its part of the push in N.
    pub push_n: f64,
    /// Whether grip, not the motor, ends the push.
    pub slips: bool,
}

/// Push at a speed.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, schemars::JsonSchema)]
pub struct PushLine {
    /// Speed in m/s.
    pub speed_m_s: f64,
    /// What the motors give in N.
    pub motors_n: f64,
    /// Pack voltage in V.
    pub pack_v: f64,
    /// Pack current in A.
    pub pack_a: f64,
}

/// A wheel with a motor of the parts box.
#[derive(Debug, Clone, PartialEq, Serialize, schemars::JsonSchema)]
pub struct PairLine {
    /// The wheel.
    pub wheel: String,
    /// The motor.
    pub motor: String,
    /// Whether the robot has both.
    pub ours: bool,
    /// Push at full effort in N.
    pub push_n: f64,
    /// Time of a charge in s.
    pub charge_s: f64,
    /// Whether grip, not the motors, ends the push: a smaller wheel would push no harder.
    pub grip_ends_it: bool,
    /// Whether it pushes harder than everything that is quicker.
    pub best_trade: bool,
}

/// The heat of a day.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, schemars::JsonSchema)]
pub struct HeatLine {
    /// Current of the hottest motor while it pushes in A.
    pub pushing_a: f64,
    /// Rise of its winding over the air at the end of the hottest round in K.
    pub winding_k: f64,
    /// Share of its cold torque that it has left then.
    pub torque_left: f64,
}

/// Push and run-up.
#[derive(Debug, Clone, PartialEq, Serialize, schemars::JsonSchema)]
pub struct Pushing {
    /// Shaft by shaft.
    pub groups: Vec<GroupLine>,
    /// Push against speed.
    pub line: Vec<PushLine>,
    /// What the tyres hold in N.
    pub grip_n: f64,
    /// What they hold while they slide in N.
    pub sliding_n: f64,
    /// What rolling wheels and sliding feet hold it back with in N; the push leaves it out.
    pub drag_n: f64,
    /// Length of the charge in m.
    pub charge_m: f64,
    /// Every wheel with every motor of the parts box that fits, the quickest first.
    pub pairs: Vec<PairLine>,
    /// The heat of a day of rounds.
    pub heat: Option<HeatLine>,
}

fn groups(robot: &Robot, drive: &Drive) -> Vec<GroupLine> {
    let on = |k: usize| robot.motors[k].with.unwrap_or(k);
    let group = |g: &paper::GroupPush| {
        let wheels = robot.wheels.iter().map(|w| (w.motor, &w.item.name));
        let tracks = robot.tracks.iter().map(|t| (t.motor, &t.item.name));
        let turns = wheels.chain(tracks);
        GroupLine {
            motor: robot.motors[g.motor].item.name.clone(),
            turns: turns
                .filter(|(m, _)| m.is_some_and(|m| on(m) == g.motor))
                .map(|(_, name)| name.clone())
                .collect(),
            motors_n: g.motors_n,
            grip_n: g.grip_n,
            push_n: g.push_n,
            slips: g.slips(),
        }
    };
    drive.groups.iter().map(group).collect()
}

impl From<&Pair> for PairLine {
    fn from(p: &Pair) -> Self {
        Self {
            wheel: p.wheel.clone(),
            motor: p.motor.clone(),
            ours: p.ours,
            push_n: p.push_n,
            charge_s: p.charge_s,
            grip_ends_it: p.grip_ends_it(),
            best_trade: p.best_trade,
        }
    }
}

impl Section for Pushing {
    const TITLE: &'static str = "Push and run-up";

    fn of(e: &Examined<'_>) -> Option<Self> {
        let drive = e.paper.drive.as_ref()?;
        let line = |p: &paper::PushPoint| PushLine {
            speed_m_s: p.speed_m_s,
            motors_n: p.motors_n,
            pack_v: p.pack_v,
            pack_a: p.pack_a,
        };
        Some(Self {
            groups: groups(&e.setting.robot, drive),
            line: drive.line.iter().map(line).collect(),
            grip_n: drive.grip_n,
            sliding_n: drive.sliding_n,
            drag_n: drive.drag_n,
            charge_m: drive.charge_m,
            pairs: e.paper.pairs.iter().map(PairLine::from).collect(),
            heat: e.paper.heat.map(|h| HeatLine {
                pushing_a: h.pushing_a,
                winding_k: h.peak.winding_k,
                torque_left: h.left,
            }),
        })
    }

    fn text(&self, s: &mut Sheet) {
        let mut table = Table::new(&["Motor", "turns", "gives", "tyres hold", "push", "ended by"])
            .right(&[2, 3, 4]);
        for g in &self.groups {
            table.row([
                g.motor.clone(),
                g.turns.join(", "),
                format!("{:.2} N", g.motors_n),
                format!("{:.2} N", g.grip_n),
                format!("{:.2} N", g.push_n),
                if g.slips { "grip" } else { "motor" }.to_owned(),
            ]);
        }
        s.table(&table);
        s.paragraph(&format!(
            "Rolling wheels and sliding feet hold it back with {:.2} N, which the push above leaves out.",
            self.drag_n
        ));
        if let Some(h) = self.heat {
            s.paragraph(&format!(
                "Over a day of hard rounds the hottest winding rises {:.0} K over the air and keeps {:.0} % of \
                 its torque.",
                h.winding_k,
                100.0 * h.torque_left
            ));
        }
        let worth: Vec<&PairLine> = (self.pairs.iter())
            .filter(|p| p.best_trade || p.ours)
            .collect();
        if self.pairs.len() < 2 {
            return;
        }
        s.gap();
        s.paragraph(&format!(
            "Of {} pairs of a wheel and a motor from the parts box that fit, these push harder than everything \
             quicker over the first {:.0} mm:",
            self.pairs.len(),
            1e3 * self.charge_m
        ));
        let mut table =
            Table::new(&["Wheel", "Motor", "push", "time", "push ended by", ""]).right(&[2, 3]);
        for p in worth.iter().take(ROWS) {
            table.row([
                p.wheel.clone(),
                p.motor.clone(),
                format!("{:.2} N", p.push_n),
                format!("{:.2} s", p.charge_s),
                if p.grip_ends_it { "grip" } else { "motors" }.to_owned(),
                if p.ours { "yours" } else { "" }.to_owned(),
            ]);
        }
        s.table(&table);
    }
}
