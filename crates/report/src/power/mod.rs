//! Power and wiring: the table to build from, currents, wires, fuse, supply, charge, cautions.

mod blocks;
#[cfg(test)]
mod tests;
mod text;

use paper::power::{Branch, Power, Way};
use robot::Robot;
use serde::Serialize;

use crate::check::{Banded, Examined, Section};
use crate::setting::Setting;
use crate::text::Sheet;

pub(crate) use blocks::{Block, ROW, tall};
pub(crate) use text::amperes;

/// One line between the controller and something.
#[derive(Debug, Clone, PartialEq, Serialize, schemars::JsonSchema)]
pub struct PinLine {
    /// What it belongs to: a name in the file, or `driver`.
    pub item: String,
    /// What it is, such as `pulses, left`.
    pub signal: String,
    /// `out` of the controller, `in`, or `both` on a bus.
    pub way: String,
    /// The pin, as printed on the board; none: none is left, or the board is not known.
    pub pin: Option<String>,
    /// What the chip's papers call it.
    pub port: Option<String>,
    /// Whether the robot file says so; else it is a proposal.
    pub stated: bool,
    /// Highest voltage it puts on the pin in V, where that is not the logic's.
    pub signal_v: Option<f64>,
    /// What to add or to mind.
    pub mind: Option<String>,
}

/// A pair of wires that carries motor current.
#[derive(Debug, Clone, PartialEq, Serialize, schemars::JsonSchema)]
pub struct WireLine {
    /// What it goes to: `battery`, a motor or a gadget.
    pub to: String,
    /// Its size, such as `22 AWG`.
    pub wire: String,
    /// Whether the robot file says so; else it is a proposal.
    pub stated: bool,
    /// Length one way in m.
    pub length_m: f64,
    /// Current with everything stalled in A.
    pub stalled_a: f64,
    /// Current while pushing in A.
    pub pushing_a: f64,
    /// What the wire is good for in A; none: thicker than the table.
    pub good_for_a: Option<f64>,
    /// What it loses there and back with everything stalled in V.
    pub drop_v: f64,
}

/// The fuse in the pack's lead.
#[derive(Debug, Clone, PartialEq, Serialize, schemars::JsonSchema)]
pub struct FuseLine {
    /// Its rating in A.
    pub rating_a: f64,
    /// Whether the robot file says so; else it is a proposal.
    pub stated: bool,
    /// Whether it closes again by itself.
    pub resettable: bool,
    /// What the pack gives into a short in A.
    pub short_a: f64,
}

/// The limits of a lithium pack.
#[derive(Debug, Clone, PartialEq, Serialize, schemars::JsonSchema)]
pub struct LithiumLine {
    /// Cells in series.
    pub cells: u32,
    /// Whether the robot file says so; else counted from the voltage.
    pub cells_stated: bool,
    /// Full, in V.
    pub full_v: f64,
    /// To store, in V.
    pub store_v: f64,
    /// End of discharging under load, in V.
    pub empty_v: f64,
    /// Charging current at 1C in A.
    pub charge_a: f64,
    /// What is in it when full, in J.
    pub energy_j: f64,
}

/// Power and wiring. SI units by name.
#[derive(Debug, Clone, PartialEq, Serialize, schemars::JsonSchema)]
pub struct PowerPart {
    /// The board the pins are of; none: not known.
    pub board: Option<String>,
    /// Whether the robot file names it; else it is a guess from the part.
    pub board_stated: bool,
    /// Part it is guessed from, where the robot file does not name it.
    pub board_from: Option<String>,
    /// The wiring table.
    pub pins: Vec<PinLine>,
    /// Wires that carry motor current, the pack's lead first.
    pub wires: Vec<WireLine>,
    /// The fuse; none: no usual one is big enough.
    pub fuse: Option<FuseLine>,
    /// Pack without load, V.
    pub open_v: f64,
    /// From the pack with every motor stalled at once, A.
    pub stalled_a: f64,
    /// Behind pack and lead then, V.
    pub stalled_v: Banded,
    /// From the pack while pushing, A.
    pub pushing_a: f64,
    /// Of board and sensors, A.
    pub idle_a: f64,
    /// Pin of the board the pack is wired to.
    pub fed_at: Option<String>,
    /// Logic supply with everything stalled, V.
    pub logic_v: Option<f64>,
    /// Voltage behind the lead below which the controller starts anew, V.
    pub resets_below_v: Option<f64>,
    /// Heat of a linear regulator on the board, W.
    pub regulator_w: f64,
    /// Charge of a hard round, A·s.
    pub round_c: f64,
    /// Hard rounds until a fifth of the charge is left.
    pub rounds: Option<f64>,
    /// Matches likewise.
    pub matches: Option<f64>,
    /// Time of full pushing likewise, s.
    pub pushing_s: Option<f64>,
    /// Limits of a lithium pack.
    pub lithium: Option<LithiumLine>,
    /// Start delay of the class, s; none: started by remote, or the board is not known.
    pub start_delay_s: Option<f64>,
    /// Time to program for it so that a fast clock keeps it, s.
    pub start_wait_s: Option<f64>,
}

/// The wiring of a robot, to build from.
#[derive(Debug, Clone, PartialEq, Serialize, schemars::JsonSchema)]
pub struct WiringPlan {
    /// `ringwright/wiring/1`.
    pub schema: String,
    /// The robot's name.
    pub robot: String,
    /// Its file.
    pub file: String,
    /// The class.
    pub class: String,
    /// Power and wiring.
    pub power: PowerPart,
    #[serde(skip)]
    #[schemars(skip)]
    command: String,
    #[serde(skip)]
    #[schemars(skip)]
    pub(crate) battery: [String; 2],
}

fn wire_line(b: &Branch) -> WireLine {
    WireLine {
        to: b.to.clone(),
        wire: b.wire.clone(),
        stated: b.wire_stated,
        length_m: b.length_m,
        stalled_a: b.stalled_a,
        pushing_a: b.pushing_a,
        good_for_a: b.carries_a.is_finite().then_some(b.carries_a),
        drop_v: b.drop_v,
    }
}

impl PowerPart {
    fn of(robot: &Robot, p: &Power) -> Self {
        let (s, supply, e) = (&p.stalled, &p.supply, &p.endurance);
        let band = supply.stalled_band_v;
        let pin = |r: &paper::power::PinRow| PinLine {
            item: r.line.item.clone(),
            signal: r.line.signal.to_owned(),
            way: match r.line.way {
                Way::Out => "out",
                Way::In => "in",
                Way::Both => "both",
            }
            .to_owned(),
            pin: r.pin.clone(),
            port: r.port.clone(),
            stated: r.stated,
            signal_v: r.line.signal_v,
            mind: r.mind.clone(),
        };
        Self {
            board: p.pins.board.clone(),
            board_stated: p.pins.board_stated,
            board_from: (robot.board.item.part.clone()).filter(|_| !p.pins.board_stated),
            pins: p.pins.rows.iter().map(pin).collect(),
            wires: p.branches.iter().map(wire_line).collect(),
            fuse: p.fuse.map(|f| FuseLine {
                rating_a: f.rating_a,
                stated: f.stated,
                resettable: f.resets,
                short_a: f.short_a,
            }),
            open_v: s.open_v,
            stalled_a: s.pack_a,
            stalled_v: Banded {
                nominal: s.volts,
                low: band.map_or(s.volts, |b| b.low),
                high: band.map_or(s.volts, |b| b.high),
            },
            pushing_a: p.pushing_a,
            idle_a: s.idle_a,
            fed_at: supply.feed.clone(),
            logic_v: supply.logic_v,
            resets_below_v: supply.resets_below_v,
            regulator_w: supply.regulator_w,
            round_c: e.round_c,
            rounds: e.rounds,
            matches: e.matches,
            pushing_s: e.pushing_s,
            lithium: p.lithium.map(|l| LithiumLine {
                cells: l.cells,
                cells_stated: l.cells_stated,
                full_v: l.full_v,
                store_v: l.store_v,
                empty_v: l.empty_v,
                charge_a: l.charge_a,
                energy_j: l.energy_j,
            }),
            start_delay_s: p.start_wait_s.map(|(rule, _)| rule),
            start_wait_s: p.start_wait_s.map(|(_, wait)| wait),
        }
    }
}

/// The pack in words: chemistry, then voltage and charge.
fn battery_words(robot: &Robot) -> [String; 2] {
    let b = &robot.battery;
    let volts = quantity::show_si::<quantity::Voltage>(b.voltage.si());
    let charge = quantity::show_si::<quantity::Charge>(b.capacity.si());
    [b.chemistry.clone(), format!("{volts}, {charge}")]
}

impl From<&Examined<'_>> for WiringPlan {
    fn from(e: &Examined<'_>) -> Self {
        let (setting, robot) = (e.setting, &e.setting.robot);
        Self {
            schema: "ringwright/wiring/1".into(),
            robot: robot.name.clone(),
            file: robot.file.clone(),
            class: setting.class.name.clone(),
            power: PowerPart::of(robot, &e.paper.power),
            command: setting.command("check"),
            battery: battery_words(robot),
        }
    }
}

impl WiringPlan {
    /// The wiring of the setting's robot.
    #[must_use]
    pub fn of(setting: &Setting) -> Self {
        Self::from(&Examined::of(setting))
    }

    /// As a picture.
    #[must_use]
    pub fn svg(&self) -> String {
        crate::pictures::wiring::drawn(self)
    }
}

impl Section for PowerPart {
    const TITLE: &'static str = "Pins";

    fn of(e: &Examined<'_>) -> Option<Self> {
        Some(Self::of(&e.setting.robot, &e.paper.power))
    }

    fn text(&self, s: &mut Sheet) {
        self.told(s);
    }
}
