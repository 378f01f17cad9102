//! A whole robot of a style: file and program, filled up to the mass limit, no faster than the edge
//! allows.

use std::fmt::Write;

use quantity::Draws;
use robot::{PartsBox, Robot, Severity, Style};
use rules::Class;
use tactic::Tactic;

use super::family::{Build, Family};
use super::program::{Fit, program};
use crate::setting::Trouble;

/// Share of the mass limit left for what the scale says differently.
const MASS_LEFT: f64 = 0.01;
/// Efforts of a charge that are tried, %: the first without a fault is taken.
const CRUISES: [u32; 8] = [100, 90, 80, 70, 60, 50, 40, 30];

/// A robot to start from.
#[derive(Debug, Clone)]
pub(crate) struct Skeleton {
    /// What it is made of.
    pub(crate) build: &'static Build,
    /// The robot file.
    pub(crate) file: String,
    /// Its program.
    pub(crate) program: String,
    /// The robot.
    pub(crate) robot: Robot,
    /// Its program, read.
    pub(crate) tactic: Tactic,
    /// Effort of a charge, %.
    pub(crate) cruise: u32,
    /// Names of the faults that are left.
    pub(crate) faults: Vec<String>,
    /// Whether it drives faster than it could stop at the border, fault or not.
    too_fast: bool,
    /// Reading half way between ring and border on paper, %.
    border: u32,
}

/// What a skeleton is called: the robot, and the stem of its files.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Names<'a> {
    pub(crate) robot: &'a str,
    pub(crate) stem: &'a str,
}

/// Reading above which a program takes an edge sensor to be over the border if it says nothing, %.
const USUAL_BORDER: u32 = 50;

/// Half way between what the edge sensors read over ring and border, %; of sensors unlike each other the
/// least.
fn border_level(paper: &paper::Paper) -> u32 {
    let levels = paper.thresholds.iter().map(|t| 100.0 * t.best.level);
    let least = levels.fold(f64::from(USUAL_BORDER), f64::min);
    (10..=USUAL_BORDER)
        .find(|n| f64::from(*n) >= least)
        .unwrap_or(USUAL_BORDER)
}

/// Size in mm of a gram of ballast in the smallest robots, of steel.
const SMALL: [f64; 3] = [8.0, 8.0, 2.0];

struct Maker<'a> {
    names: Names<'a>,
    class: &'a Class,
    family: &'static Family,
    build: &'static Build,
    style: Style,
    parts: &'a PartsBox,
}

/// Makes the robot of `style` from `build`.
///
/// # Errors
/// When the parts box lacks a part it is made of.
pub(crate) fn skeleton(
    names: Names<'_>,
    class: &Class,
    family: &'static Family,
    build: &'static Build,
    style: Style,
    parts: &PartsBox,
) -> Result<Skeleton, Trouble> {
    let maker = Maker {
        names,
        class,
        family,
        build,
        style,
        parts,
    };
    let ballast_g = maker.ballast_g()?;
    // What its edge sensors read decides what to ask of them.
    let border = maker
        .make(ballast_g, CRUISES[CRUISES.len() - 1], USUAL_BORDER)?
        .border;
    // Less effort never adds a fault, so halving finds the most that goes without: three or four
    // looks instead of eight.
    let mut best = None;
    let (mut low, mut high) = (0, CRUISES.len());
    while low < high {
        let at = usize::midpoint(low, high);
        let made = maker.make(ballast_g, CRUISES[at], border)?;
        if made.faults.is_empty() && !made.too_fast {
            best = Some(made);
            high = at;
        } else {
            low = at + 1;
        }
    }
    match best {
        Some(made) => Ok(made),
        None => maker.make(ballast_g, CRUISES[CRUISES.len() - 1], border),
    }
}

/// What a robot of `style` from `build` costs, and whether it is legal; without looking at it on
/// paper.
///
/// # Errors
/// When the parts box lacks a part it is made of.
pub(crate) fn offer(
    names: Names<'_>,
    class: &Class,
    family: &'static Family,
    build: &'static Build,
    style: Style,
    parts: &PartsBox,
) -> Result<(f64, bool), Trouble> {
    let maker = Maker {
        names,
        class,
        family,
        build,
        style,
        parts,
    };
    let text = program(names.robot, style, maker.fit(CRUISES[0], USUAL_BORDER));
    let robot = maker.read(&maker.file(maker.ballast_g()?), &text)?;
    let price = robot.items().filter_map(|i| i.price).sum();
    Ok((price, rules::inspect(&robot, class).legal()))
}

impl Maker<'_> {
    fn fit(&self, cruise: u32, border: u32) -> Fit {
        Fit {
            flanks: self.build.flanks,
            tilt: self.build.tilt_of(self.style).is_some(),
            cruise,
            border,
            close_mm: self.family.close,
        }
    }

    fn read(&self, file: &str, program: &str) -> Result<Robot, Trouble> {
        let name = format!("{}.toml", self.names.stem);
        let lookup = |_: &str| Some(program.to_owned());
        robot::read(&name, file, self.parts, &lookup).map_err(|issues| {
            let texts = [(name.clone(), file.to_owned())];
            Trouble::Files(store::LoadError::in_files(issues, &texts))
        })
    }

    /// Mass of ballast that fills it up to the limit, g.
    fn ballast_g(&self) -> Result<f64, Trouble> {
        let program = program(
            self.names.robot,
            self.style,
            self.fit(CRUISES[0], USUAL_BORDER),
        );
        let bare = self.read(&self.file(0.0), &program)?;
        let mass_kg = bare.mass_properties(&Draws::nominal()).mass_kg;
        let limit_g = 1e3 * self.class.robot.mass_kg.value.si;
        let wanted_g = ((1.0 - MASS_LEFT) * limit_g).min(self.family.most_g);
        Ok((wanted_g - 1e3 * mass_kg).max(0.0))
    }

    fn make(&self, ballast_g: f64, cruise: u32, border: u32) -> Result<Skeleton, Trouble> {
        let text = program(self.names.robot, self.style, self.fit(cruise, border));
        let file = self.file(ballast_g);
        let robot = self.read(&file, &text)?;
        let tactic = crate::setting::tactic_of(&robot)?;
        let inspection = rules::inspect(&robot, self.class);
        let paper = paper::examine(&robot, self.class, &tactic, self.parts);
        let faults = (inspection.findings.iter().chain(&paper.findings))
            .filter(|f| f.severity == Severity::Fault)
            .map(|f| f.name.to_owned())
            .collect();
        Ok(Skeleton {
            build: self.build,
            file: format!(
                "{}{}",
                crate::start::heading(self.names.robot, &self.class.title, self.names.stem),
                crate::start::commented(&file)
            ),
            program: text,
            robot,
            tactic,
            cruise,
            faults,
            too_fast: (paper.findings.iter()).any(|f| f.name.starts_with("edge-too-fast")),
            border: border_level(&paper),
        })
    }

    /// The robot file, without its words.
    fn file(&self, ballast_g: f64) -> String {
        let (f, b) = (self.family, self.build);
        let [length, width, height] = f.size;
        let mut out = Sheet(format!(
            "name = \"{}\"\nclass = \"{}\"\nstyle = \"{}\"\ntactic = \"{}.tactic\"\n",
            self.names.robot,
            self.class.name,
            crate::words::style_name(self.style),
            self.names.stem
        ));
        out.section("[size]");
        out.lengths(&[("length", length), ("width", width), ("height", height)]);
        let back = -0.5 * length;
        let (body, middle) = (f.front - back, 0.5 * (f.front + back));
        out.section("[[hull]]");
        out.line("name", "body");
        out.lengths(&[("length", body), ("width", width)]);
        out.at(&[middle, 0.0]);
        out.lengths(&[("from", f.floor), ("to", height)]);
        if let Some(plate) = b.plate(self.style) {
            out.part("[[part]]", "base plate", plate);
            out.at(&[0.0, 0.0, f.floor + 2.0]);
        }
        out.part("[[part]]", "body shell", b.shell);
        let tall = height - f.floor - 2.0;
        out.size(&[body, 0.96 * width, tall]);
        out.at(&[middle, 0.0, height - 0.5 * tall]);
        let (wires, mass, up) = f.wiring;
        out.part("[[part]]", "wires and screws", wires);
        out.line("mass", &format!("{mass} g"));
        out.size(&[0.8 * body, 0.7 * width, 0.36 * height]);
        out.at(&[middle, 0.0, up]);
        self.ballast(&mut out, ballast_g);
        self.drive(&mut out);
        out.part_only("[blade]", b.blade);
        out.lengths(&[("tip-x", 0.5 * length - 0.5)]);
        out.line("tip-height", f.tip_height);
        out.part_only("[battery]", b.pack.0);
        out.at(&[middle, 0.0, b.pack.1]);
        out.part_only("[driver]", b.driver);
        out.at(&[middle, 0.2 * width, 0.45 * height]);
        out.part_only("[board]", b.board);
        out.at(&[middle, -0.15 * width, 0.48 * height]);
        self.sensors(&mut out);
        out.0
    }

    /// Whole pieces, and one cut to fill up.
    fn ballast(&self, out: &mut Sheet, grams: f64) {
        let (part, each, x, up) = self.family.ballast;
        let whole = (grams / each).floor();
        if whole > 0.0 {
            out.part("[[part]]", "ballast", part);
            if each < 10.0 {
                out.line("mass", &format!("{each} g"));
                out.size(&SMALL);
            }
            out.plain("count", &format!("{whole}"));
            out.at(&[x, 0.0, up]);
        }
        let rest = (10.0 * (grams - whole * each)).floor() / 10.0;
        if rest >= 0.1 {
            out.part("[[part]]", "ballast cut to fill up", part);
            out.line("mass", &format!("{rest} g"));
            if each < 10.0 {
                out.size(&SMALL);
            }
            out.at(&[x, 0.0, up]);
        }
    }

    fn drive(&self, out: &mut Sheet) {
        let f = self.family;
        let ([wheel_x, wheel_y], [motor_y, motor_z]) = (f.wheels, f.motors);
        let sides = [("left", 1.0), ("right", -1.0)];
        let ends = [("front", wheel_x), ("back", -wheel_x)];
        let motor = |side: &str, end: &str| match f.motors_a_side {
            1 => format!("{side} motor"),
            _ => format!("{side} motor {end}"),
        };
        for (end, x) in &ends[..f.motors_a_side] {
            let x = if f.motors_a_side == 1 { 0.0 } else { *x };
            for (side, sign) in sides {
                out.part("[[motor]]", &motor(side, end), self.build.motor(self.style));
                out.line("side", side);
                out.at(&[x, sign * motor_y, motor_z]);
            }
        }
        for (end, x) in ends {
            for (side, sign) in sides {
                out.part(
                    "[[wheel]]",
                    &format!("{side} wheel {end}"),
                    self.build.wheel,
                );
                out.line("motor", &motor(side, end));
                out.at(&[x, sign * wheel_y]);
            }
        }
    }

    fn sensors(&self, out: &mut Sheet) {
        let (f, b) = (self.family, self.build);
        let [centre_x, slant_x, slant_y, flank_y, up] = f.eyes;
        let mut eye = |name: &str, at: [f64; 2], facing: i32| {
            out.part("[[sensor]]", name, b.eye);
            out.at(&[at[0], at[1], up]);
            out.line("facing", &format!("{facing} deg"));
            out.0.push_str(f.eye_lines);
        };
        eye("centre", [centre_x, 0.0], 0);
        eye("left", [slant_x, slant_y], 35);
        eye("right", [slant_x, -slant_y], -35);
        if b.flanks {
            eye("flank-left", [0.0, flank_y], 90);
            eye("flank-right", [0.0, -flank_y], -90);
        }
        let [edge_x, edge_y, low] = f.edges;
        for (end, x) in [("front", edge_x), ("back", -edge_x)] {
            for (side, y) in [("left", edge_y), ("right", -edge_y)] {
                out.part("[[sensor]]", &format!("edge-{end}-{side}"), b.edge);
                out.at(&[x, y, low]);
                out.0.push_str(f.edge_lines);
            }
        }
        if let Some(tilt) = b.tilt_of(self.style) {
            out.part("[[sensor]]", "tilt", tilt);
            out.at(&[0.0, 0.0, 0.3 * f.size[2]]);
            out.0.push_str(f.tilt_lines);
        }
    }
}

/// A robot file being written.
struct Sheet(String);

impl Sheet {
    fn section(&mut self, header: &str) {
        let _ = write!(self.0, "\n{header}\n");
    }

    fn plain(&mut self, key: &str, value: &str) {
        let _ = writeln!(self.0, "{key} = {value}");
    }

    fn line(&mut self, key: &str, value: &str) {
        self.plain(key, &format!("\"{value}\""));
    }

    fn lengths(&mut self, all: &[(&str, f64)]) {
        for (key, mm) in all {
            self.line(key, &millimetres(*mm));
        }
    }

    fn part_only(&mut self, header: &str, part: &str) {
        self.section(header);
        self.line("part", part);
    }

    fn part(&mut self, header: &str, name: &str, part: &str) {
        self.section(header);
        self.line("name", name);
        self.line("part", part);
    }

    fn list(&mut self, key: &str, all: &[f64]) {
        let shown: Vec<String> = all
            .iter()
            .map(|mm| format!("\"{}\"", millimetres(*mm)))
            .collect();
        self.plain(key, &format!("[{}]", shown.join(", ")));
    }

    fn at(&mut self, all: &[f64]) {
        self.list("at", all);
    }

    fn size(&mut self, all: &[f64]) {
        self.list("size", all);
    }
}

/// Millimetres to a hundredth, no zeros behind the point.
fn millimetres(mm: f64) -> String {
    let hundredths = (100.0 * mm).round() / 100.0;
    // No minus before nothing.
    format!("{} mm", hundredths + 0.0)
}
