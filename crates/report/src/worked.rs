//! The formulas of pages with the numbers of the reader's own robot put in.

use paper::Way;
use quantity::maths::STANDARD_GRAVITY;
use serde::Serialize;

use crate::check::{Examined, FindingLine};
use crate::topic::{Topic, topic_of};

/// One formula, worked.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, schemars::JsonSchema)]
pub struct WorkedLine {
    /// What is worked out.
    pub what: String,
    /// The formula with the numbers put in, and what comes out.
    pub worked: String,
}

/// A page's idea on one robot.
#[derive(Debug, Clone, PartialEq, Serialize, schemars::JsonSchema)]
pub struct OnRobot {
    /// The robot's name.
    pub robot: String,
    /// Its file.
    pub file: String,
    /// The formulas.
    pub worked: Vec<WorkedLine>,
    /// What the check found under the page's name.
    pub findings: Vec<FindingLine>,
}

impl OnRobot {
    /// What there is to say about a robot under the page `name`.
    pub(crate) fn of(name: &str, e: &Examined<'_>) -> Self {
        let findings = e.findings();
        Self {
            robot: e.setting.robot.name.clone(),
            file: e.setting.robot.file.clone(),
            worked: worked(name, e),
            findings: (findings.into_iter())
                .filter(|f| f.name == name)
                .map(FindingLine::from)
                .collect(),
        }
    }
}

fn line(what: &str, worked: String) -> WorkedLine {
    WorkedLine {
        what: what.to_owned(),
        worked,
    }
}

/// The formulas that belong to a page: first those of its very name, else those of its topic.
fn worked(name: &str, e: &Examined<'_>) -> Vec<WorkedLine> {
    match name {
        "edge-too-fast" | "edge-seen-too-late" | "no-edge-sensor-ahead" | "edge-ignored" => {
            border(e, true)
        }
        "edge-too-fast-backward" | "reversed-out" | "no-edge-sensor-behind" => border(e, false),
        "border-between-readings" | "edge-unseen" => between_looks(e),
        "border-waits" => answers(e),
        "ignored-too-long" => [border(e, true), unwatched(e)].concat(),
        "lifted" | "light-on-wheels" | "rests-on-body" | "downforce" | "does-not-stand" => {
            weight(e)
        }
        "tips-backward" | "tipped" => tipping(e),
        "grip" | "pushed-tyres-slid" | "gave-way" => [weight(e), grip(e)].concat(),
        "hard-to-turn" | "taken-from-side" => turning(e),
        "sag" | "brown-out" | "browns-out" => sag(e),
        "hot-motors" => heat(e),
        "over-mass" | "under-mass" | "mass-close" | "mass-unused" | "measure-mass" => mass(e),
        "never-saw" => sight(e),
        "pushed-motors-stalled" => [grip(e), sag(e)].concat(),
        "measure-centre" => weight(e),
        "measure-grip" => grip(e),
        "measure-torque" => push(e),
        _ => match topic_of(name) {
            Topic::Drive => push(e),
            Topic::Sight => sight(e),
            Topic::Standing => weight(e),
            Topic::Power => sag(e),
            Topic::Edge => border(e, true),
            Topic::Budget => mass(e),
            _ => Vec::new(),
        },
    }
}

fn way_lines(way: &Way, reached_m_s: f64) -> Vec<WorkedLine> {
    let needs = |v: f64| 1e3 * laws::braking::stopping_m(v, way.delay_s, way.deceleration_m_s2);
    let (v, a, t) = (reached_m_s, way.deceleration_m_s2, 1e3 * way.delay_s);
    let mut lines = vec![
        line(
            "room to stop in",
            format!(
                "border + lead of \"{}\" = {:.0} mm {} {:.0} mm = {:.0} mm",
                way.sensor,
                1e3 * (way.distance_m - way.lead_m),
                if way.lead_m < 0.0 { "−" } else { "+" },
                1e3 * way.lead_m.abs(),
                1e3 * way.distance_m
            ),
        ),
        line(
            "safe speed",
            format!("{:.2} m/s uses up just that", way.safe_m_s),
        ),
    ];
    // Where next to nothing brakes, a length says nothing.
    if needs(v) < 1e4 && a >= 0.1 {
        lines.push(line(
            "way it needs",
            format!(
                "v t + v² ÷ (2 a) = {v:.2} m/s × {t:.1} ms + ({v:.2} m/s)² ÷ (2 × {a:.1} m/s²) = \
                 {:.0} mm",
                needs(v)
            ),
        ));
    }
    lines
}

fn border(e: &Examined<'_>, forward: bool) -> Vec<WorkedLine> {
    let Some(edge) = &e.paper.edge else {
        return Vec::new();
    };
    let (way, reached) = if forward {
        (&edge.forward, edge.reached_m_s)
    } else {
        (&edge.backward, edge.reached_backward_m_s)
    };
    let there = if forward { "ahead of" } else { "behind" };
    way.as_ref().map_or_else(
        || {
            let words = format!("no edge sensor that the program reads lies {there} the wheels");
            vec![line("room to stop in", words)]
        },
        |w| way_lines(w, reached),
    )
}

fn between_looks(e: &Examined<'_>) -> Vec<WorkedLine> {
    let Some(edge) = &e.paper.edge else {
        return Vec::new();
    };
    let Some(way) = &edge.forward else {
        return Vec::new();
    };
    let (v, t) = (edge.reached_m_s, way.between_looks_s);
    vec![line(
        "way between two looks",
        format!(
            "v × t = {v:.2} m/s × {:.1} ms = {:.0} mm on a border of {:.0} mm",
            1e3 * t,
            1e3 * v * t,
            1e3 * edge.border_m
        ),
    )]
}

fn answers(e: &Examined<'_>) -> Vec<WorkedLine> {
    let line_of = |a: &paper::Answer| {
        let hardware = format!("sensor + look + motors = {:.1} ms", 1e3 * a.hardware_s);
        let all = match (a.program_s, a.looks) {
            (Some(p), Some(looks)) => format!(
                "{hardware}, with {:.0} ms of the program {:.1} ms: {looks} looks",
                1e3 * p,
                1e3 * (a.hardware_s + p)
            ),
            _ => format!("{hardware}, and the program does not always answer"),
        };
        line(&format!("from the border under {}", a.sensor), all)
    };
    e.paper
        .answers
        .iter()
        .map(line_of)
        .chain(unwatched(e))
        .collect()
}

/// Times in which an edge sensor is not acted on.
fn unwatched(e: &Examined<'_>) -> Vec<WorkedLine> {
    let line_of = |u: &paper::Unwatched| {
        let way = u.way_m.map_or_else(
            || "drives without end".to_owned(),
            |m| format!("drives {:.0} mm", 1e3 * m),
        );
        line(
            &format!("line {}", u.place.line),
            format!(
                "{}: {way}, and has {:.0} mm for that and for stopping",
                u.why_words(),
                1e3 * u.has_m
            ),
        )
    };
    e.paper.unwatched.iter().map(line_of).collect()
}

fn weight(e: &Examined<'_>) -> Vec<WorkedLine> {
    let Some(f) = &e.paper.footing else {
        return Vec::new();
    };
    let weight_n = f.mass_kg * STANDARD_GRAVITY;
    let mut lines = vec![line(
        "weight",
        format!("m g = {:.3} kg × 9.81 m/s² = {weight_n:.2} N", f.mass_kg),
    )];
    if f.pull_n() > 0.0 {
        let pull = format!("{:.2} N more press it down", f.pull_n());
        lines.push(line("magnets", pull));
    }
    lines.push(line(
        "on driven wheels",
        format!(
            "{:.2} N ÷ {:.2} N = {:.0} %",
            f.driven_load_n(),
            weight_n + f.pull_n(),
            100.0 * f.driven_share
        ),
    ));
    lines.push(line(
        "centre of mass",
        format!(
            "{:.0} mm ahead of the middle, {:.0} mm up",
            1e3 * f.centre_m.x,
            1e3 * f.centre_m.z
        ),
    ));
    lines
}

fn tipping(e: &Examined<'_>) -> Vec<WorkedLine> {
    let Some(f) = &e.paper.footing else {
        return Vec::new();
    };
    if !f.rolls_back_m_s2.is_finite() {
        return vec![line("rolls over backward", "it cannot".to_owned())];
    }
    let arm_m = f.rolls_back_m_s2 * f.centre_m.z / STANDARD_GRAVITY;
    let push_n = e.paper.drive.as_ref().map_or(0.0, |d| d.push_n);
    vec![
        line(
            "rolls over backward",
            format!(
                "above g d ÷ h = 9.81 m/s² × {:.0} mm ÷ {:.0} mm = {:.1} m/s²",
                1e3 * arm_m,
                1e3 * f.centre_m.z,
                f.rolls_back_m_s2
            ),
        ),
        line(
            "most it accelerates",
            format!(
                "F ÷ m = {push_n:.2} N ÷ {:.3} kg = {:.1} m/s²",
                f.mass_kg,
                push_n / f.mass_kg
            ),
        ),
    ]
}

fn grip(e: &Examined<'_>) -> Vec<WorkedLine> {
    let (Some(f), Some(d)) = (&e.paper.footing, &e.paper.drive) else {
        return Vec::new();
    };
    let load_n = f.driven_load_n();
    vec![line(
        "what the tyres hold",
        format!(
            "grip × load = {:.2} × {load_n:.2} N = {:.2} N",
            d.grip_n / load_n.max(1e-12),
            d.grip_n
        ),
    )]
}

fn push(e: &Examined<'_>) -> Vec<WorkedLine> {
    let Some(d) = &e.paper.drive else {
        return Vec::new();
    };
    let mut lines = grip(e);
    lines.push(line(
        "what the motors give",
        format!(
            "torque ÷ wheel radius, all motors on a pack sagged to {:.2} V = {:.2} N",
            d.stalled_v, d.motors_push_n
        ),
    ));
    lines.push(line(
        "push",
        format!("the lesser of the two, motor by motor = {:.2} N", d.push_n),
    ));
    lines
}

fn turning(e: &Examined<'_>) -> Vec<WorkedLine> {
    let Some(t) = e.paper.drive.as_ref().and_then(|d| d.turning) else {
        return Vec::new();
    };
    vec![line(
        "turning on the spot",
        format!(
            "scrub ÷ drive = {:.3} N·m ÷ {:.3} N·m = {:.0} %",
            t.scrub_nm,
            t.drive_nm,
            100.0 * t.share()
        ),
    )]
}

fn sag(e: &Examined<'_>) -> Vec<WorkedLine> {
    let Some(d) = &e.paper.drive else {
        return Vec::new();
    };
    let battery = &e.setting.robot.battery;
    let (v, r) = (battery.voltage.si(), battery.resistance.si());
    vec![line(
        "pack with every motor stalled",
        format!(
            "U − R I = {v:.2} V − {r:.2} Ω × {:.2} A = {:.2} V",
            d.stalled_a, d.stalled_v
        ),
    )]
}

fn heat(e: &Examined<'_>) -> Vec<WorkedLine> {
    let Some(h) = &e.paper.heat else {
        return Vec::new();
    };
    vec![line(
        "hottest winding at the end of a day",
        format!(
            "pushing at {:.2} A it keeps {:.0} % of its torque",
            h.pushing_a,
            100.0 * h.left
        ),
    )]
}

fn mass(e: &Examined<'_>) -> Vec<WorkedLine> {
    let b = &e.paper.budget;
    let (limit, ours) = (1e3 * b.limit_kg, 1e3 * b.mass_kg);
    if !limit.is_finite() {
        return vec![line("mass", format!("{ours:.0} g; the class has no limit"))];
    }
    vec![line(
        "mass left over",
        format!(
            "limit − ours = {limit:.0} g − {ours:.0} g = {:.0} g",
            limit - ours
        ),
    )]
}

fn sight(e: &Examined<'_>) -> Vec<WorkedLine> {
    let s = &e.paper.sight;
    let beams = s.beams.iter().filter(|b| b.read);
    let mut lines: Vec<WorkedLine> = beams
        .map(|b| {
            line(
                &format!("beam of \"{}\"", b.sensor),
                format!(
                    "facing {:.0}°, {:.0}° wide, {:.0} mm far",
                    b.facing_rad.to_degrees(),
                    b.opening_rad.to_degrees(),
                    1e3 * b.farthest_m
                ),
            )
        })
        .collect();
    let all = format!("{:.0} % of the bearings around it", 100.0 * s.share);
    lines.push(line("sees an opponent like itself in", all));
    lines
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::setting::Setting;

    #[test]
    fn the_numbers_put_into_a_formula_give_what_stands_behind_it() {
        let setting = Setting::load("demo", None, None).expect("it loads");
        let e = Examined::of(&setting);
        let numbers = |text: &str| -> Vec<f64> {
            text.split(|c: char| !(c.is_ascii_digit() || c == '.'))
                .filter_map(|w| w.parse().ok())
                .collect()
        };
        let of = |name: &str| worked(name, &e);
        let sag = &of("sag")[0].worked;
        let n = numbers(sag);
        assert!((n[0] - n[1] * n[2] - n[3]).abs() < 0.02, "{sag}");
        let grip = of("grip").pop().expect("a line").worked;
        let n = numbers(&grip);
        assert!((n[0] * n[1] - n[2]).abs() < 0.02 * n[2], "{grip}");
        let mass = &of("mass-unused")[0].worked;
        let n = numbers(mass);
        assert!((n[0] - n[1] - n[2]).abs() < 1.0, "{mass}");
    }

    #[test]
    fn a_page_without_a_formula_of_the_robot_says_nothing() {
        let setting = Setting::load("demo", None, None).expect("it loads");
        let on = OnRobot::of("interval", &Examined::of(&setting));
        assert!(on.worked.is_empty() && on.findings.is_empty());
    }
}
