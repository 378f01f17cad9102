//! Motors, wheels, battery, driver, board.

use quantity::{
    AngularVelocity, Charge, Current, Figure, Force, Inertia, Length, Origin, Ratio, Resistance,
    ThermalResistance, Time, Torque, Voltage, maths,
};

use super::item::{Extent, item};
use super::whole;
use crate::parts_box::PartsBox;
use crate::reader::{Section, nearest};
use crate::{
    Battery, Board, Cooling, Driver, Idle, Item, Motor, Shape, Side, Surface, Tyre, Wheel, typical,
};

/// Reads all `[[motor]]` sections; `names` are what they are called, in order.
pub(crate) fn motors(
    root: &Section<'_>,
    parts: &PartsBox,
    extent: Option<&Extent>,
    names: &[String],
) -> Option<Vec<Motor>> {
    let mut motors = Vec::new();
    for mut section in root.tables("motor") {
        let kits = parts.back_up(&mut section, "motor").map(|e| e.kits.clone());
        motors.push(motor(&section, kits, extent, names));
        section.finish();
    }
    let motors = whole(motors)?;
    for (i, m) in motors.iter().enumerate() {
        let Some(other) = m.with else { continue };
        if other == i || motors[other].with.is_some() {
            let what = format!(
                "motor \"{}\" turns with \"{}\", which has no shaft of its own",
                m.item.name, motors[other].item.name
            );
            let expected = "with = the one motor whose shaft all of them turn";
            root.document()
                .log(&m.item.place.span, what, expected, None);
        }
    }
    Some(motors)
}

/// The motor of `names` that `key` names: none if nothing is said, nothing if there is no such.
#[allow(
    clippy::option_option,
    reason = "absent and broken are different things here"
)]
pub(crate) fn named_motor(
    section: &Section<'_>,
    key: &str,
    names: &[String],
) -> Option<Option<usize>> {
    let Some(name) = section.optional_text(key) else {
        return Some(None);
    };
    let index = names.iter().position(|m| *m == name);
    if index.is_none() && !section.document().has_unreadable_lines() {
        let suggestion = nearest(&name, names.iter().map(String::as_str));
        let suggestion = suggestion.map(|w| format!("{key} = \"{w}\""));
        let expected = if names.is_empty() {
            "the name of a [[motor]]".to_owned()
        } else {
            format!("the name of a [[motor]]: {}", names.join(", "))
        };
        section.complain_of(key, format!("no motor \"{name}\""), expected, suggestion);
    }
    index.map(Some)
}

/// Which channel of the driver `side` names.
pub(super) fn side(section: &Section<'_>) -> Option<Side> {
    section
        .choice("side", &["left", "right"])
        .map(|s| if s == "left" { Side::Left } else { Side::Right })
}

fn motor(
    section: &Section<'_>,
    kits: Option<Vec<String>>,
    extent: Option<&Extent>,
    names: &[String],
) -> Option<Motor> {
    let item = item(section, kits, extent, None);
    let side = side(section);
    let with = named_motor(section, "with", names);
    let line = line(section);
    let box_efficiency = section.typical_figure::<Ratio>("box-efficiency", typical::BOX_EFFICIENCY);
    share(section, "box-efficiency", box_efficiency.si());
    let cooling = cooling(section, item.as_ref());
    let line = line?;
    Some(Motor {
        item: item?,
        side: side?,
        with: with?,
        rated_voltage: line.rated_voltage,
        no_load_speed: line.no_load_speed,
        no_load_current: line.no_load_current,
        stall_torque: line.stall_torque,
        stall_current: line.stall_current,
        reflected_inertia: line.reflected_inertia,
        gear_ratio: line.gear_ratio,
        gear_efficiency: line.gear_efficiency,
        box_efficiency,
        cooling,
    })
}

/// What a data sheet says of a motor, and the gear behind it.
pub(crate) struct Line {
    pub(crate) rated_voltage: Figure<Voltage>,
    pub(crate) no_load_speed: Figure<AngularVelocity>,
    pub(crate) no_load_current: Figure<Current>,
    pub(crate) stall_torque: Figure<Torque>,
    pub(crate) stall_current: Figure<Current>,
    pub(crate) reflected_inertia: Figure<Inertia>,
    pub(crate) gear_ratio: Figure<Ratio>,
    pub(crate) gear_efficiency: Figure<Ratio>,
}

/// Reads the line of a motor and the gear behind it.
pub(crate) fn line(section: &Section<'_>) -> Option<Line> {
    let rated_voltage = section.figure::<Voltage>("rated-voltage");
    let no_load_speed = section.figure::<AngularVelocity>("no-load-speed");
    let stall_torque = section.figure::<Torque>("stall-torque").map(from_the_shop);
    let stall_current = section.figure::<Current>("stall-current");
    let free = stall_current.as_ref().map_or(0.0, Figure::si) * typical::FREE_CURRENT_SHARE;
    let no_load_current =
        section.typical_figure::<Current>("no-load-current", [free, 0.5 * free, 0.0]);
    let inertia = match (&stall_torque, &no_load_speed) {
        (Some(t), Some(w)) if w.si() > 0.0 => t.si() * typical::MOTOR_TIME_S / w.si(),
        _ => 0.0,
    };
    let reflected =
        section.typical_figure::<Inertia>("reflected-inertia", [inertia, 0.6 * inertia, 0.0]);
    let gear_ratio = one(section, "gear-ratio");
    let gear_efficiency = one(section, "gear-efficiency");
    share(section, "gear-efficiency", gear_efficiency.si());
    positive(
        section,
        "rated-voltage",
        rated_voltage.as_ref().map(Figure::si),
    );
    positive(
        section,
        "no-load-speed",
        no_load_speed.as_ref().map(Figure::si),
    );
    positive(
        section,
        "stall-torque",
        stall_torque.as_ref().map(Figure::si),
    );
    positive(
        section,
        "stall-current",
        stall_current.as_ref().map(Figure::si),
    );
    positive(section, "gear-ratio", Some(gear_ratio.si()));
    if let (Some(t), Some(w), Some(v), Some(i)) = (
        &stall_torque,
        &no_load_speed,
        &rated_voltage,
        &stall_current,
    ) {
        balanced(section, t.si() * w.si(), v.si() * i.si());
    }
    Some(Line {
        rated_voltage: rated_voltage?,
        no_load_speed: no_load_speed?,
        no_load_current,
        stall_torque: stall_torque?,
        stall_current: stall_current?,
        reflected_inertia: reflected,
        gear_ratio,
        gear_efficiency,
    })
}

/// Shares of what a stalled motor takes that torque times speed may come to. In a motor without losses
/// they are equal (torque and voltage constant are the same); gears and friction take their part, and
/// worms most of it. Sheets that round kindly are let pass.
const BALANCE: [f64; 2] = [0.01, 3.0];

/// Notes a motor that gives more than it takes, or next to nothing: a unit mistaken by a thousand in one
/// of its four figures.
fn balanced(section: &Section<'_>, gives: f64, takes: f64) {
    let share = gives / takes;
    if !(share.is_finite() && share > 0.0) || (BALANCE[0]..=BALANCE[1]).contains(&share) {
        return;
    }
    let watts = |x: f64| quantity::show_si::<quantity::Power>(x);
    section.complain_of(
        "stall-torque",
        format!(
            "stall torque × speed without load is {}, voltage × stall current {}",
            watts(gives),
            watts(takes)
        ),
        "the first a tenth of the second to about the same: one of the four has a wrong unit or digit",
        None,
    );
}

/// A stall torque written without a spread is a shop page's, which seldom measures it.
fn from_the_shop(torque: Figure<Torque>) -> Figure<Torque> {
    if torque.unsure() > 0.0 || torque.varies() > 0.0 {
        return torque;
    }
    let unsure = typical::SHOP_TORQUE_SHARE * torque.si().abs();
    torque.with_spread(unsure, 0.0)
}

/// A share that is exactly 1 where nothing is said.
pub(crate) fn one(section: &Section<'_>, key: &str) -> Figure<Ratio> {
    let path = format!("{}/{key}", section.path());
    section
        .optional_figure::<Ratio>(key)
        .unwrap_or_else(|| Figure::new(1.0, Origin::Stated, &path))
}

/// The thermal network of a motor; typical figures go with the size of its case, taken from its
/// mass.
pub(crate) fn cooling(section: &Section<'_>, item: Option<&Item>) -> Cooling {
    let mass_kg = item.map_or(typical::COOLING_MASS_KG, |i| i.mass.si().max(1e-4));
    let size = maths::pow(mass_kg / typical::COOLING_MASS_KG, 2.0 / 3.0);
    let scaled = |[si, unsure, varies]: typical::Typical, by: f64| [si * by, unsure * by, varies];
    let length = size.sqrt();
    let resistance = |key: &str, of: typical::Typical| {
        section.typical_figure::<ThermalResistance>(key, scaled(of, 1.0 / size))
    };
    let time = |key: &str, of: typical::Typical| {
        let figure = section.typical_figure::<Time>(key, scaled(of, length));
        positive(section, key, Some(figure.si()));
        figure
    };
    let cooling = Cooling {
        winding_to_case: resistance("winding-to-case", typical::WINDING_TO_CASE),
        case_to_air: resistance("case-to-air", typical::CASE_TO_AIR),
        winding_time: time("winding-time", typical::WINDING_TIME),
        case_time: time("case-time", typical::CASE_TIME),
    };
    positive(
        section,
        "winding-to-case",
        Some(cooling.winding_to_case.si()),
    );
    positive(section, "case-to-air", Some(cooling.case_to_air.si()));
    cooling
}

/// Notes a share that is not above 0 and at most 1.
fn share(section: &Section<'_>, key: &str, si: f64) {
    if !(si > 0.0 && si <= 1.0) {
        section.complain_of(
            key,
            format!("\"{key}\" is not a share"),
            "a share above 0 and at most 1 (100 %)",
            None,
        );
    }
}

/// Notes a figure that must be above zero and is not.
pub(crate) fn positive(section: &Section<'_>, key: &str, si: Option<f64>) {
    if si.is_some_and(|v| v <= 0.0) {
        section.complain_of(
            key,
            format!("\"{key}\" is not above zero"),
            "a value above zero",
            None,
        );
    }
}

/// Reads all `[[wheel]]` sections; `motors` are the names a wheel may be driven by.
pub(crate) fn wheels(
    root: &Section<'_>,
    parts: &PartsBox,
    extent: Option<&Extent>,
    motors: &[String],
) -> Option<Vec<Wheel>> {
    let mut wheels = Vec::new();
    for mut section in root.tables("wheel") {
        let kits = parts.back_up(&mut section, "wheel").map(|e| e.kits.clone());
        wheels.push(wheel(&section, kits, extent, motors));
        section.finish();
    }
    whole(wheels)
}

fn wheel(
    section: &Section<'_>,
    kits: Option<Vec<String>>,
    extent: Option<&Extent>,
    motors: &[String],
) -> Option<Wheel> {
    let diameter = section.figure::<Length>("diameter");
    positive(section, "diameter", diameter.as_ref().map(Figure::si));
    let radius = diameter.as_ref().map(half);
    // A diameter that was refused is no reason to ask for a height.
    let height = radius
        .clone()
        .unwrap_or_else(|| Figure::derived(0.0, "wheel/height"));
    let item = item(section, kits, extent, Some(&height));
    let width = section.figure::<Length>("width");
    let motor = named_motor(section, "motor", motors);
    let ratio = one(section, "ratio");
    positive(section, "ratio", Some(ratio.si()));
    let tyre = tyre(section, typical::ROLLING);
    let run_out = section.typical_figure::<Length>("run-out", typical::RUN_OUT);
    let (radius, width) = (radius?, width?);
    let mut item = item?;
    item.shape = Shape::CylinderAcross {
        radius: radius.clone(),
        width: width.clone(),
    };
    Some(Wheel {
        item,
        motor: motor?,
        ratio,
        radius,
        width,
        run_out,
        tyre: tyre?,
    })
}

/// Half of a length and of its spread: a radius from a diameter.
pub(crate) fn half(d: &Figure<Length>) -> Figure<Length> {
    let (unsure, varies) = (0.5 * d.unsure(), 0.5 * d.varies());
    d.clone().with_si(0.5 * d.si()).with_spread(unsure, varies)
}

/// Reads what a tyre or a belt is made of; `rolling` is its typical rolling resistance.
pub(crate) fn tyre(section: &Section<'_>, rolling: typical::Typical) -> Option<Tyre> {
    let peak = section.figure::<Ratio>("grip");
    positive(section, "grip", peak.as_ref().map(Figure::si));
    let p = peak.as_ref().map_or(1.0, Figure::si);
    let sliding = [
        p * typical::SLIDING_SHARE,
        p * typical::SLIDING_SHARE_UNSURE,
        0.0,
    ];
    let on = on_surfaces(section);
    Some(Tyre {
        compound: section
            .optional_text("compound")
            .unwrap_or_else(|| "unnamed".into()),
        grip_sliding: section.typical_figure::<Ratio>("sliding-grip", sliding),
        reference_load: section.typical_figure::<Force>("reference-load", typical::REFERENCE_LOAD),
        load_exponent: section.typical_figure::<Ratio>("load-exponent", typical::LOAD_EXPONENT),
        rolling: section.typical_figure::<Ratio>("rolling", rolling),
        adhesion: section.typical_figure::<Force>("adhesion", typical::ADHESION),
        dirt_loss: section.typical_figure::<Ratio>("dirt-loss", typical::DIRT_LOSS),
        dirt_length: section.typical_figure::<Length>("dirt-length", typical::DIRT_LENGTH),
        since_cleaned: section.typical_figure::<Length>("since-cleaned", typical::SINCE_CLEANED),
        on,
        grip_peak: peak?,
    })
}

/// Grips on other surfaces than painted board that are written, such as `on-steel`.
pub(crate) fn on_surfaces(section: &Section<'_>) -> Vec<(Surface, Figure<Ratio>)> {
    let written = |(name, surface): (&str, Surface)| {
        let key = format!("on-{name}");
        let figure = section.optional_figure::<Ratio>(&key)?;
        positive(section, &key, Some(figure.si()));
        Some((surface, figure))
    };
    Surface::ALL[1..]
        .iter()
        .copied()
        .filter_map(written)
        .collect()
}

/// A section that must be there once, backed up by the parts box.
fn single<'d, T>(
    root: &Section<'d>,
    parts: &'d PartsBox,
    key: &str,
    read: impl FnOnce(&Section<'_>, Option<Vec<String>>) -> Option<T>,
) -> Option<T> {
    let Some(mut section) = root.table(key) else {
        if root.own(key).is_none() {
            root.missing_section(key, "");
        }
        return None;
    };
    let kits = parts.back_up(&mut section, key).map(|e| e.kits.clone());
    let result = read(&section, kits);
    section.finish();
    result
}

/// Reads `[battery]`.
pub(crate) fn battery(
    root: &Section<'_>,
    parts: &PartsBox,
    extent: Option<&Extent>,
) -> Option<Battery> {
    single(root, parts, "battery", |section, kits| {
        section.acquaint(super::wiring::OF_A_BATTERY);
        let item = item(section, kits, extent, None);
        let voltage = section.figure::<Voltage>("voltage");
        let capacity = section.figure::<Charge>("capacity");
        let chemistry = section.text("chemistry");
        let resistance =
            section.typical_figure::<Resistance>("resistance", typical::PACK_RESISTANCE);
        positive(section, "voltage", voltage.as_ref().map(Figure::si));
        let charge = one(section, "charge");
        share(section, "charge", charge.si());
        Some(Battery {
            item: item?,
            chemistry: chemistry?,
            voltage: voltage?,
            resistance,
            capacity: capacity?,
            charge,
        })
    })
}

/// Reads `[driver]`.
pub(crate) fn driver(
    root: &Section<'_>,
    parts: &PartsBox,
    extent: Option<&Extent>,
) -> Option<Driver> {
    single(root, parts, "driver", |section, kits| {
        section.acquaint(super::wiring::OF_A_DRIVER);
        let item = item(section, kits, extent, None);
        let current_limit =
            section.typical_figure::<Current>("current-limit", typical::CURRENT_LIMIT);
        let resistance =
            section.typical_figure::<Resistance>("resistance", typical::DRIVER_RESISTANCE);
        let idle = if section.has("idle") {
            section.choice("idle", &["brake", "coast"])
        } else {
            Some("brake".to_owned())
        };
        Some(Driver {
            item: item?,
            current_limit,
            resistance,
            idle: if idle? == "coast" {
                Idle::Coast
            } else {
                Idle::Brake
            },
        })
    })
}

/// Reads `[board]`.
pub(crate) fn board(
    root: &Section<'_>,
    parts: &PartsBox,
    extent: Option<&Extent>,
) -> Option<Board> {
    single(root, parts, "board", |section, kits| {
        section.acquaint(super::wiring::OF_A_BOARD);
        let item = item(section, kits, extent, None);
        let loop_time = section.typical_figure::<Time>("loop-time", typical::LOOP_TIME);
        positive(section, "loop-time", Some(loop_time.si()));
        let output_delay = section.typical_figure::<Time>("output-delay", typical::OUTPUT_DELAY);
        let current = section.typical_figure::<Current>("current", typical::BOARD_CURRENT);
        Some(Board {
            item: item?,
            loop_time,
            output_delay,
            current,
            brown_out: section.optional_figure::<Voltage>("brown-out"),
            boot_time: section.typical_figure::<Time>("boot-time", typical::BOOT_TIME),
        })
    })
}
