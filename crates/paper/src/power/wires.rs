//! Which wire and which fuse: what the file says held against what flows, and a proposal for the rest.

use laws::wire::{
    BLADE_A, OPENS_AT, RESETTABLE_A, area_m2, carries_a, gauge_for, rating_for, resistance_ohm,
};
use quantity::{Current, Figure, Length, Voltage, show_si};
use robot::{Finding, Gauge, Item, Robot, Severity, WireSize};

use super::currents::Stalled;

/// Thinner than this a wire breaks at its solder joint before it gets warm. Common practice, no source.
const THINNEST_AWG: u32 = 26;
/// Share of the pack's voltage that a proposed wire may lose there and back.
const MOST_DROP: f64 = 0.03;
/// Share from which the drop in a wire of the file is worth a word.
const LOSES: f64 = 0.05;
/// Wire that goes into plug, switch and bends, one way, m. Common practice, no source.
const SLACK_M: f64 = 0.05;

/// A pair of wires that carries motor current.
#[derive(Debug, Clone, PartialEq)]
pub struct Branch {
    /// What it feeds: `battery` or the name of a motor or gadget.
    pub to: String,
    /// Most current, everything stalled, A.
    pub stalled_a: f64,
    /// Current while it pushes, A.
    pub pushing_a: f64,
    /// Length one way, m.
    pub length_m: f64,
    /// Whether the file says that length.
    pub length_stated: bool,
    /// The wire: the file's or the one proposed. None: thicker than the table would be needed.
    pub gauge: Option<Gauge>,
    /// The wire in words, such as `22 AWG`.
    pub wire: String,
    /// Whether the file says it.
    pub wire_stated: bool,
    /// What that wire carries, A.
    pub carries_a: f64,
    /// What it loses there and back with everything stalled, V.
    pub drop_v: f64,
}

/// The fuse in the pack's lead.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Fuse {
    /// Its rating: the file's or the one proposed, A.
    pub rating_a: f64,
    /// Whether the file says it.
    pub stated: bool,
    /// Whether it closes again by itself.
    pub resets: bool,
    /// Current of the pack into a short, A.
    pub short_a: f64,
}

/// Way along the robot's axes between two things, with slack, m.
fn way_m(a: &Item, b: &Item) -> f64 {
    let along = a.at.iter().zip(&b.at).map(|(a, b)| (a.si() - b.si()).abs());
    SLACK_M + along.sum::<f64>()
}

/// A wire in words.
fn words(gauge: Option<Gauge>) -> String {
    match gauge {
        Some(Gauge::Awg(n)) => format!("{n} AWG"),
        Some(Gauge::AreaM2(a)) => format!("{:.2} mm²", 1e6 * a),
        None => "thicker than 10 AWG".into(),
    }
}

/// How a proposed wire is said in both ways it is sold.
#[must_use]
pub fn both_ways(gauge: Gauge) -> String {
    match gauge {
        Gauge::Awg(n) => format!("{n} AWG ({:.2} mm²)", 1e6 * area_m2(gauge)),
        Gauge::AreaM2(a) => format!("{:.2} mm²", 1e6 * a),
    }
}

/// What is to be wired.
struct Wanted<'a> {
    to: &'a str,
    stalled_a: f64,
    pushing_a: f64,
    /// What the wire must carry, A: the fuse before it, if there is one.
    carry_a: f64,
    said: Option<&'a WireSize>,
    length: Option<&'a Figure<Length>>,
    way_m: f64,
}

impl Wanted<'_> {
    fn branch(&self, open_v: f64) -> Branch {
        let length_m = self.length.map_or(self.way_m, Figure::si);
        let proposed = || {
            let thinnest = gauge_for(self.carry_a, 2.0 * length_m, MOST_DROP * open_v)?;
            Some(Gauge::Awg(thinnest.min(THINNEST_AWG)))
        };
        let gauge = self.said.map(|s| s.gauge).or_else(proposed);
        Branch {
            to: self.to.to_owned(),
            stalled_a: self.stalled_a,
            pushing_a: self.pushing_a,
            length_m,
            length_stated: self.length.is_some(),
            gauge,
            wire: self.said.map_or_else(|| words(gauge), |s| s.said.clone()),
            wire_stated: self.said.is_some(),
            carries_a: gauge.map_or(f64::INFINITY, carries_a),
            drop_v: gauge.map_or(0.0, |g| self.stalled_a * resistance_ohm(g, 2.0 * length_m)),
        }
    }
}

/// The fuse and the branches of `robot`: the pack's lead first, then motors, then gadgets. `share` is
/// the share of the motors' stall torque with which it pushes.
pub(super) fn plan(robot: &Robot, stalled: &Stalled, share: f64) -> (Option<Fuse>, Vec<Branch>) {
    let harness = &robot.wiring.harness;
    let short_a = stalled.open_v / robot.battery.resistance.si().max(1e-4);
    let series: &[f64] = if harness.fuse_resets {
        &RESETTABLE_A
    } else {
        &BLADE_A
    };
    let fuse = (harness.fuse.as_ref().map(Figure::si))
        .or_else(|| rating_for(series, stalled.pack_a))
        .map(|rating_a| Fuse {
            rating_a,
            stated: harness.fuse.is_some(),
            resets: harness.fuse_resets,
            short_a,
        });
    let lead = Wanted {
        to: "battery",
        stalled_a: stalled.pack_a,
        pushing_a: stalled.pushing_a(share),
        // A proposed fuse guards its wire; one of the file is held against the wire on its own.
        carry_a: (fuse.filter(|f| !f.stated)).map_or(stalled.pack_a, |f| f.rating_a),
        said: harness.battery_wire.as_ref(),
        length: harness.battery_length.as_ref(),
        way_m: way_m(&robot.battery.item, &robot.driver.item),
    };
    let mut all = vec![lead.branch(stalled.open_v)];
    let motor = |item: &Item, amperes: f64, share: f64| {
        Wanted {
            to: &item.name,
            stalled_a: amperes,
            pushing_a: amperes * share.clamp(0.0, 1.0),
            carry_a: amperes,
            said: harness.motor_wire.as_ref(),
            length: harness.motor_length.as_ref(),
            way_m: way_m(item, &robot.driver.item),
        }
        .branch(stalled.open_v)
    };
    let motors = robot.motors.iter().zip(&stalled.motors_a);
    all.extend(motors.map(|(m, a)| motor(&m.item, *a, share)));
    let gadgets = robot.gadgets.iter().zip(&stalled.gadgets_a);
    all.extend((gadgets.filter(|(g, _)| g.drive.is_some())).map(|(g, a)| motor(&g.item, *a, 0.0)));
    (fuse, all)
}

fn amperes(a: f64) -> String {
    show_si::<Current>(a)
}

fn volts(v: f64) -> String {
    show_si::<Voltage>(v)
}

/// What is to be said about wires and fuse that the file names.
pub(super) fn findings(
    robot: &Robot,
    stalled: &Stalled,
    fuse: Option<&Fuse>,
    branches: &[Branch],
) -> Vec<Finding> {
    let harness = &robot.wiring.harness;
    let mut found = Vec::new();
    let lead = branches.first();
    // The hungriest of the motors speaks for all that share its kind of wire.
    let motor = (branches.iter().skip(1)).max_by(|a, b| a.stalled_a.total_cmp(&b.stalled_a));
    for (branch, said, key) in [
        (lead, harness.battery_wire.as_ref(), "battery-wire"),
        (motor, harness.motor_wire.as_ref(), "motor-wire"),
    ] {
        if let (Some(branch), Some(said)) = (branch, said) {
            found.extend(thin(branch, said, key, stalled.open_v));
        }
    }
    if let (Some(fuse), Some(lead)) = (fuse.filter(|f| f.stated), lead) {
        found.extend(fuse_findings(robot, fuse, lead));
    }
    found
}

fn thin(branch: &Branch, said: &WireSize, key: &str, open_v: f64) -> Option<Finding> {
    let hot = branch.stalled_a > branch.carries_a;
    let lossy = branch.drop_v > LOSES * open_v;
    if !hot && !lossy {
        return None;
    }
    let better = gauge_for(branch.stalled_a, 2.0 * branch.length_m, MOST_DROP * open_v);
    let mend = better.map_or_else(
        || "Shorten it, or let two wires share the current.".to_owned(),
        |n| {
            let n = n.min(THINNEST_AWG);
            format!(
                "Take {} or thicker: {key} = \"{n} AWG\".",
                both_ways(Gauge::Awg(n))
            )
        },
    );
    let to = if key == "battery-wire" {
        "from the pack".to_owned()
    } else {
        format!("to \"{}\"", branch.to)
    };
    Some(Finding {
        name: "wire-thin",
        severity: Severity::Warning,
        what: if hot {
            format!(
                "The wire {to} ({}) is good for {}; at standstill it carries {}.",
                said.said,
                amperes(branch.carries_a),
                amperes(branch.stalled_a)
            )
        } else {
            format!(
                "The wire {to} ({}) loses {} of the pack's {}.",
                said.said,
                volts(branch.drop_v),
                volts(open_v)
            )
        },
        why: format!(
            "{:.0} mm there and as much back lose R·I = {} at {}; a single wire of that size in free \
             air inside an apparatus is good for {} by the handbook's table.",
            1e3 * branch.length_m,
            volts(branch.drop_v),
            amperes(branch.stalled_a),
            amperes(branch.carries_a)
        ),
        mend,
        place: Some(said.place.clone()),
    })
}

fn fuse_findings(robot: &Robot, fuse: &Fuse, lead: &Branch) -> Option<Finding> {
    let place = robot.wiring.harness.fuse_place.clone();
    let series: &[f64] = if fuse.resets { &RESETTABLE_A } else { &BLADE_A };
    let next = rating_for(series, lead.stalled_a);
    let proposed = next.map_or_else(
        || "Take one that holds the stall current.".to_owned(),
        |a| {
            let wire = gauge_for(a, 2.0 * lead.length_m, f64::INFINITY);
            let wire = wire.map_or_else(String::new, |n| {
                let thick = n.min(THINNEST_AWG);
                format!(" on a wire of {} or thicker", both_ways(Gauge::Awg(thick)))
            });
            format!("Take {}{wire}.", amperes(a))
        },
    );
    if fuse.rating_a < lead.pushing_a {
        return Some(Finding {
            name: "fuse-too-small",
            severity: Severity::Warning,
            what: format!(
                "A fuse of {} opens in a shove: pushing takes {} from the pack.",
                amperes(fuse.rating_a),
                amperes(lead.pushing_a)
            ),
            why: format!(
                "Board and sensors and the motors at the push that tyres and motors allow draw {}, with \
                 everything stalled {}; a fuse holds its rating and not much more.",
                amperes(lead.pushing_a),
                amperes(lead.stalled_a)
            ),
            mend: proposed,
            place,
        });
    }
    if fuse.rating_a > lead.carries_a && lead.wire_stated {
        return Some(Finding {
            name: "fuse-too-big",
            severity: Severity::Warning,
            what: format!(
                "A fuse of {} does not guard a wire that is good for {}.",
                amperes(fuse.rating_a),
                amperes(lead.carries_a)
            ),
            why: format!(
                "The wire from the pack ({}) gets hot from {} on; the fuse lets {} through for good and \
                 opens within seconds only from about {}.",
                lead.wire,
                amperes(lead.carries_a),
                amperes(fuse.rating_a),
                amperes(OPENS_AT * fuse.rating_a)
            ),
            mend: proposed,
            place,
        });
    }
    if fuse.short_a < OPENS_AT * fuse.rating_a {
        return Some(Finding {
            name: "fuse-too-big",
            severity: Severity::Warning,
            what: format!(
                "The pack cannot open a fuse of {}: into a short it gives {}.",
                amperes(fuse.rating_a),
                amperes(fuse.short_a)
            ),
            why: format!(
                "I = U/R = {} / {}; a fuse opens within seconds only from about twice its rating, {}.",
                volts(fuse.short_a * robot.battery.resistance.si()),
                show_si::<quantity::Resistance>(robot.battery.resistance.si()),
                amperes(OPENS_AT * fuse.rating_a)
            ),
            mend: proposed,
            place,
        });
    }
    None
}
