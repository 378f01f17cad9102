//! What other wheels and motors of the parts box would give, everything else left as it is.

use quantity::Draws;
use robot::{Entry, PartsBox, Robot, Surface};
use rules::Class;

use crate::{Drive, Footing};

/// Motors up to this many times as heavy as ours are looked at: others need another frame.
pub(crate) const HEAVIEST: f64 = 1.6;
/// Lighter ones than this share of ours belong to a smaller class of robots.
pub(crate) const LIGHTEST: f64 = 0.5;
/// Wheels between these multiples of our diameter fit without another frame.
pub(crate) const SIZES: [f64; 2] = [0.5, 1.6];

/// What one part would give.
#[derive(Debug, Clone, PartialEq)]
pub struct SweepRow {
    /// The part in the parts box.
    pub part: String,
    /// What it is, in words.
    pub title: String,
    /// Whether it is the one on the robot.
    pub ours: bool,
    /// What the motors give at standstill, N.
    pub motors_push_n: f64,
    /// What the tyres hold, N.
    pub grip_n: f64,
    /// The push at full effort, N: sliding tyres give less than they hold.
    pub push_n: f64,
    /// Time of the charge, s.
    pub charge_s: f64,
    /// Speed at its end, m/s.
    pub charge_speed_m_s: f64,
    /// Whether no other row pushes harder and charges quicker at once.
    pub best_trade: bool,
}

/// What a sweep may change, and the rules it must keep.
pub(crate) struct Bench<'a> {
    pub(crate) robot: &'a Robot,
    pub(crate) class: &'a Class,
    pub(crate) parts: &'a PartsBox,
    pub(crate) charge_m: f64,
}

impl Bench<'_> {
    /// Whether a change keeps the rules; a robot that breaks them already may break them still.
    pub(crate) fn allows(&self, changed: &Robot) -> bool {
        let legal = |r: &Robot| rules::inspect(r, self.class).legal();
        legal(changed) || !legal(self.robot)
    }
}

fn row(
    robot: &Robot,
    surface: Surface,
    entry: &Entry,
    ours: bool,
    charge_m: f64,
) -> Option<SweepRow> {
    let draws = Draws::nominal();
    let footing = Footing::of(robot, surface, &draws)?;
    let drive = Drive::of(robot, &footing, 1.0, charge_m, &draws);
    Some(SweepRow {
        part: entry.id.clone(),
        title: entry.title.clone(),
        ours,
        motors_push_n: drive.motors_push_n,
        grip_n: drive.grip_n,
        push_n: drive.push_n,
        charge_s: drive.charge_s,
        charge_speed_m_s: drive.charge_speed_m_s,
        best_trade: false,
    })
}

fn mark_best(rows: &mut [SweepRow]) {
    for k in 0..rows.len() {
        let (push, time) = (rows[k].push_n, rows[k].charge_s);
        let beaten = rows.iter().any(|r| {
            r.push_n >= push && r.charge_s <= time && (r.push_n > push || r.charge_s < time)
        });
        rows[k].best_trade = !beaten;
    }
}

/// Wheels of the same compound as the driven ones that keep the robot legal, by diameter.
pub(crate) fn wheels(bench: &Bench<'_>) -> Vec<SweepRow> {
    let &Bench {
        robot,
        parts,
        charge_m,
        class,
    } = bench;
    let surface = class.ring().surface;
    let Some(ours) = robot.wheels.iter().find(|w| w.motor.is_some()) else {
        return Vec::new();
    };
    let diameter = 2.0 * ours.radius.si();
    let mut found: Vec<(f64, SweepRow)> = Vec::new();
    for entry in parts.entries().iter().filter(|e| e.kind == "wheel") {
        let section = parts.section(entry);
        let Some(d) = section.optional_figure::<quantity::Length>("diameter") else {
            continue;
        };
        let share = d.si() / diameter;
        let same = section.optional_text("compound").as_ref() == Some(&ours.tyre.compound);
        if !same || !(SIZES[0]..=SIZES[1]).contains(&share) {
            continue;
        }
        let is_ours = ours.item.part.as_ref() == Some(&entry.id);
        let other = robot
            .with_driven_wheels(entry, parts)
            .filter(|r| bench.allows(r));
        if let Some(row) = other.and_then(|r| row(&r, surface, entry, is_ours, charge_m)) {
            found.push((d.si(), row));
        }
    }
    found.sort_by(|a, b| a.0.total_cmp(&b.0));
    let mut rows: Vec<SweepRow> = found.into_iter().map(|f| f.1).collect();
    mark_best(&mut rows);
    rows
}

/// Motors of about the same mass as ours that keep the robot legal, in the order of their push.
pub(crate) fn motors(bench: &Bench<'_>) -> Vec<SweepRow> {
    let &Bench {
        robot,
        parts,
        charge_m,
        class,
    } = bench;
    let surface = class.ring().surface;
    let Some(ours) = robot.motors.first() else {
        return Vec::new();
    };
    let mut rows: Vec<SweepRow> = parts
        .entries()
        .iter()
        .filter(|e| e.kind == "motor")
        .filter(|e| {
            let share = e.mass_kg / ours.item.mass.si();
            (LIGHTEST..=HEAVIEST).contains(&share)
        })
        .filter_map(|entry| {
            let is_ours = ours.item.part.as_ref() == Some(&entry.id);
            let other = robot
                .with_motors(entry, parts)
                .filter(|r| bench.allows(r))?;
            row(&other, surface, entry, is_ours, charge_m)
        })
        .collect();
    rows.sort_by(|a, b| a.push_n.total_cmp(&b.push_n).then(a.part.cmp(&b.part)));
    mark_best(&mut rows);
    rows
}
