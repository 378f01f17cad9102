//! How each kind of sensor is read, and what only the builder can measure of it.

use quantity::maths;
use robot::{Interface, Robot, Sensor, SensorKind, Side};

use super::Source;
use super::lines::Lines;

/// 0 °C in K.
const FREEZING_K: f64 = 273.15;

/// What is written of a sensor.
pub(super) struct Written {
    /// What only the builder can measure: name, value, what it is.
    pub(super) constants: Vec<(String, i64, String)>,
    /// Lines of its function in C.
    pub(super) body: Vec<String>,
    /// What its function returns in Python; constants stand in the module `m`.
    pub(super) python: String,
    /// What it says of itself.
    pub(super) about: String,
    /// Whether the project can read it by itself.
    pub(super) known: bool,
}

/// What is written of each sensor.
pub(super) fn written(source: &Source<'_>, lines: &Lines) -> Vec<Written> {
    (source.robot.sensors.iter().enumerate())
        .map(|(k, s)| one(source.robot, lines, k, s))
        .collect()
}

/// What is to be said of sensors for which the project has no driver.
pub(super) fn remarks(source: &Source<'_>, written: &[Written]) -> Vec<String> {
    (source.robot.sensors.iter().zip(written))
        .filter(|(_, w)| !w.known)
        .map(|(sensor, _)| {
            format!(
                "No driver comes with the project for the sensor \"{}\" as it is wired: the file of the sensors \
                 marks where yours goes, and until then it reads nothing.",
                sensor.item.name
            )
        })
        .collect()
}

/// Name of a sensor in constants: `EDGE_LEFT`.
pub(super) fn word(lines: &Lines, k: usize) -> &str {
    let name = lines.sensors.get(k).map_or("", String::as_str);
    name.strip_prefix("SENSE_").unwrap_or(name)
}

/// How many sensors of that interface and kind come before number `k`.
pub(super) fn before(
    lines: &Lines,
    source: &[Sensor],
    k: usize,
    like: Interface,
    tof: bool,
) -> usize {
    let is = |i: usize| {
        lines.interfaces[i] == like
            && matches!(source[i].kind, SensorKind::TimeOfFlight { .. }) == tof
    };
    (0..k).filter(|i| is(*i)).count()
}

fn whole(x: f64) -> i64 {
    #[allow(
        clippy::cast_possible_truncation,
        reason = "rounded, and millimetres or millivolts"
    )]
    let n = x.round() as i64;
    n
}

fn one(robot: &Robot, lines: &Lines, k: usize, sensor: &Sensor) -> Written {
    use Interface as I;
    use SensorKind as K;
    let line = &lines.sensors[k];
    let word = word(lines, k);
    let interface = lines.interfaces[k];
    let mm = |m: f64| whole(m * 1000.0);
    let written = |about: &str,
                   body: &[String],
                   python: String,
                   constants: Vec<(String, i64, String)>| Written {
        constants,
        body: body.to_vec(),
        python,
        about: about.into(),
        known: true,
    };
    let constant =
        |tail: &str, value: i64, what: &str| (format!("{word}_{tail}"), value, what.to_owned());
    match (&sensor.kind, interface) {
        (K::Reflectance { .. }, I::Analogue) => written(
            "looks down: 0 is black, 1000 white",
            &[format!(
                "return brightness(measured_share({line}), {word}_BLACK, {word}_WHITE);"
            )],
            format!("brightness(board.measured_share({line}), m.{word}_BLACK, m.{word}_WHITE)"),
            vec![
                constant(
                    "BLACK",
                    900,
                    "over black, in per mille of full scale: `b` says it",
                ),
                constant("WHITE", 100, "over white"),
            ],
        ),
        (K::Reflectance { .. }, I::Digital) => written(
            "looks down, and tells only black from white",
            &[format!(
                "return board_is_high({line}) == ({word}_WHITE_IS_HIGH != 0) ? 1000 : 0;"
            )],
            format!("1000 if board.is_high({line}) == bool(m.{word}_WHITE_IS_HIGH) else 0"),
            vec![constant(
                "WHITE_IS_HIGH",
                0,
                "1 if its line is high over white",
            )],
        ),
        (
            K::Range {
                nearest, farthest, ..
            },
            I::Analogue,
        ) => {
            // Its voltage falls with the distance as slope / d + offset: full at the nearest, 12 % of that
            // at the farthest. What the part really gives is on its sheet, and is to be measured.
            let lead = robot.wiring.lead(&sensor.item.name);
            let full_mv = lead.and_then(|l| l.signal_v).unwrap_or(3.1) * 1000.0;
            let (near, far) = (nearest.si() * 1000.0, farthest.si() * 1000.0);
            let over = 1.0 / near - 1.0 / far;
            let slope = if over > 0.0 {
                0.88 * full_mv / over
            } else {
                0.0
            };
            written(
                "distance in mm by the angle of its light",
                &[
                    format!(
                        "return triangulated_mm(measured_mv({line}), {word}_SLOPE, {word}_OFFSET_MV,"
                    ),
                    format!("                       {word}_FARTHEST_MM);"),
                ],
                format!(
                    "triangulated_mm(board.measured_mv({line}), m.{word}_SLOPE, m.{word}_OFFSET_MV, m.{word}_FARTHEST_MM)"
                ),
                vec![
                    constant(
                        "SLOPE",
                        whole(slope),
                        "millivolts times millimetres: (U1 - U2) / (1/d1 - 1/d2)",
                    ),
                    constant(
                        "OFFSET_MV",
                        whole(full_mv - slope / near),
                        "U1 - slope / d1",
                    ),
                    constant("FARTHEST_MM", mm(farthest.si()), "farther is nothing"),
                ],
            )
        }
        (
            K::TimeOfFlight {
                nearest, farthest, ..
            },
            I::I2c,
        ) => {
            let eye = before(lines, &robot.sensors, k, I::I2c, true);
            written(
                "distance in mm by the time of light",
                &[format!(
                    "return within_mm(eye_mm(&eyes[{eye}]), {word}_NEAREST_MM, {word}_FARTHEST_MM);"
                )],
                format!("eyes[{eye}].read(m.{word}_NEAREST_MM, m.{word}_FARTHEST_MM)"),
                vec![
                    constant("NEAREST_MM", mm(nearest.si()), "nearer reads as this"),
                    constant("FARTHEST_MM", mm(farthest.si()), "farther is nothing"),
                ],
            )
        }
        (
            K::Ultrasonic {
                nearest,
                farthest,
                set_for,
                ..
            },
            I::TriggerEcho,
        ) => {
            let echo = before(lines, &robot.sensors, k, I::TriggerEcho, false);
            let speed = laws::sound::sound_m_s(set_for.si() - FREEZING_K);
            written(
                "distance in mm by the time of sound, in steps of about 20 mm",
                &[
                    format!("const uint16_t us = echo_us({echo});"),
                    format!("const uint32_t mm = (uint32_t)us * {word}_HALF_UM_PER_US / 1000;"),
                    format!(
                        "return within_mm(us == UINT16_MAX ? UINT16_MAX : (uint16_t)mm, {word}_NEAREST_MM,"
                    ),
                    format!("                 {word}_FARTHEST_MM);"),
                ],
                format!(
                    "echoes[{echo}].read(m.{word}_HALF_UM_PER_US, m.{word}_NEAREST_MM, m.{word}_FARTHEST_MM)"
                ),
                vec![
                    constant(
                        "HALF_UM_PER_US",
                        whole(speed * 500.0),
                        "half the speed of sound in m/s, times 1000 over 1000",
                    ),
                    constant("NEAREST_MM", mm(nearest.si()), "nearer reads as this"),
                    constant("FARTHEST_MM", mm(farthest.si()), "farther is nothing"),
                ],
            )
        }
        (K::Proximity { .. }, I::Digital) => written(
            "1 while it sees something",
            &[format!(
                "return board_is_high({line}) == ({word}_SEES_HIGH != 0) ? 1 : 0;"
            )],
            format!("1 if board.is_high({line}) == bool(m.{word}_SEES_HIGH) else 0"),
            vec![constant(
                "SEES_HIGH",
                0,
                "1 if its line is high while it sees something",
            )],
        ),
        (K::Contact { .. }, I::Digital) => written(
            "1 while it is touched",
            &[format!(
                "return board_is_high({line}) == ({word}_TOUCHED_HIGH != 0) ? 1 : 0;"
            )],
            format!("1 if board.is_high({line}) == bool(m.{word}_TOUCHED_HIGH) else 0"),
            vec![constant(
                "TOUCHED_HIGH",
                0,
                "1 if its line is high while touched; a switch to ground is low",
            )],
        ),
        (K::Current { .. }, I::Analogue) => written(
            "current of one side's motors in mA",
            &[
                format!(
                    "const uint32_t ma = (uint32_t)measured_mv({line}) * {word}_MA_PER_V / 1000;"
                ),
                "return ma > INT16_MAX ? INT16_MAX : (int16_t)ma;".into(),
            ],
            format!("min(board.measured_mv({line}) * m.{word}_MA_PER_V // 1000, 32767)"),
            vec![constant("MA_PER_V", 1000, "mA for each volt at the pin")],
        ),
        (K::WheelSpeed { side, counts, .. }, I::TwoLines) => {
            let j = before(lines, &robot.sensors, k, I::TwoLines, false);
            let way_m = maths::TAU * rolling_radius_m(robot, *side) / counts.si().max(1.0);
            written(
                "speed of one side's wheels in mm/s",
                &[format!("return wheel_speed({j}, {word}_UM_PER_EDGE);")],
                format!("encoders[{j}].read(m.{word}_UM_PER_EDGE)"),
                vec![constant(
                    "UM_PER_EDGE",
                    whole(way_m * 1e6),
                    "way of the wheel in micrometres from one edge of its tracks to the next; negative if it counts backward",
                )],
            )
        }
        (K::Tilt { .. }, I::I2c) => written(
            "nose up in tenths of a degree",
            &[format!(
                "return (int16_t)(mover_tilt({line}_data, {line}_clock) - {word}_LEVEL);"
            )],
            format!("mover.tilt() - m.{word}_LEVEL"),
            vec![constant("LEVEL", 0, "what it reads on a level table")],
        ),
        (K::TurnRate { .. }, I::I2c) => written(
            "turning to the left in tenths of a degree a second",
            &[format!(
                "return (int16_t)(mover_turn({line}_data, {line}_clock) - {word}_AT_REST);"
            )],
            format!("mover.turn() - m.{word}_AT_REST"),
            vec![constant(
                "AT_REST",
                0,
                "what it reads while it does not turn",
            )],
        ),
        (kind, _) => Written {
            constants: Vec::new(),
            body: vec![format!("return {};", blank(kind))],
            python: if blank(kind) == "0" { "0" } else { "NOTHING" }.into(),
            about: "no driver comes with the project for a sensor that talks like this".into(),
            known: false,
        },
    }
}

/// What a sensor reads that is not there.
pub(super) fn blank(kind: &SensorKind) -> &'static str {
    match kind {
        SensorKind::Range { .. }
        | SensorKind::TimeOfFlight { .. }
        | SensorKind::Ultrasonic { .. } => "SEES_NOTHING",
        _ => "0",
    }
}

/// Radius in m on which a side rolls: its first driven wheel, or the sprocket of its track.
fn rolling_radius_m(robot: &Robot, side: Side) -> f64 {
    let of_side = |motor: Option<usize>| {
        let motor = motor.and_then(|k| robot.motors.get(k));
        motor.is_some_and(|m| m.side == side)
    };
    let wheel = robot.wheels.iter().find(|w| of_side(w.motor));
    let track = robot.tracks.iter().find(|t| of_side(t.motor));
    (wheel.map(|w| w.radius.si()))
        .or(track.map(|t| t.radius.si()))
        .unwrap_or(0.0)
}
