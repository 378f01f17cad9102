//! The table, and whether its first row is where it should be.

use std::fmt::Write as _;

use quantity::maths;

use super::cases::Accuracy;
use super::cost::Cost;

/// What an engine came to.
#[derive(Debug)]
pub(super) struct Row {
    pub(super) name: String,
    pub(super) settings: String,
    pub(super) accuracy: Option<Accuracy>,
    pub(super) cost: Cost,
}

/// Everything measured. The first row is this solver, the second what it is compared with.
#[derive(Debug, Default)]
pub(super) struct Table {
    pub(super) rows: Vec<Row>,
    /// What else is to be said, a paragraph each.
    pub(super) notes: Vec<String>,
    /// The section about the pairings.
    pub(super) pairings: String,
    troubles: Vec<String>,
    marks: Vec<Mark>,
}

/// A figure of ours and where it should be.
#[derive(Debug, Clone)]
pub(super) struct Mark {
    pub(super) what: &'static str,
    pub(super) unit: &'static str,
    pub(super) found: Option<f64>,
    pub(super) target: f64,
    pub(super) stretch: Option<f64>,
    /// Whether more is better.
    pub(super) more: bool,
}

impl Mark {
    /// At most `target`.
    pub(super) fn most(
        what: &'static str,
        unit: &'static str,
        found: Option<f64>,
        target: f64,
        stretch: Option<f64>,
    ) -> Self {
        Self {
            what,
            unit,
            found,
            target,
            stretch,
            more: false,
        }
    }

    /// At least `target`.
    pub(super) fn least(
        what: &'static str,
        unit: &'static str,
        found: Option<f64>,
        target: f64,
        stretch: Option<f64>,
    ) -> Self {
        Self {
            more: true,
            ..Self::most(what, unit, found, target, stretch)
        }
    }

    fn met(&self, target: f64) -> bool {
        self.found
            .is_some_and(|f| if self.more { f >= target } else { f <= target })
    }

    fn verdict(&self) -> &'static str {
        if self.stretch.is_some_and(|s| self.met(s)) {
            "met, and the stretch"
        } else if self.met(self.target) {
            "met"
        } else {
            "MISSED"
        }
    }
}

/// Three significant digits.
fn digits(x: f64) -> String {
    if x == 0.0 || !x.is_finite() {
        return format!("{x}");
    }
    let size = maths::log10(x.abs()).floor() as i32;
    match size {
        ..-4 => format!("{x:.1e}"),
        _ => format!("{x:.*}", usize::try_from(2 - size).unwrap_or(0)),
    }
}

fn cell(x: Option<f64>) -> String {
    x.map_or_else(|| "-".into(), digits)
}

fn over(a: Option<f64>, b: Option<f64>) -> Option<f64> {
    Some(a? / b?)
}

impl Table {
    /// Notes an engine or tool that cannot be had.
    pub(super) fn absent(&mut self, why: String) {
        eprintln!("{why}");
        if !self.troubles.contains(&why) {
            self.troubles.push(why);
        }
    }

    /// The value, or a note of the trouble.
    pub(super) fn caught<T>(&mut self, result: Result<T, String>) -> Option<T> {
        result.map_err(|e| self.absent(e)).ok()
    }

    /// Adds figures with targets.
    pub(super) fn mark(&mut self, marks: impl IntoIterator<Item = Mark>) {
        self.marks.extend(marks);
    }

    /// How many times cheaper ours is than the second row: by instructions, by the median and by
    /// the least processor time.
    fn ratios(&self) -> [Option<f64>; 3] {
        let [ours, other, ..] = &self.rows[..] else {
            return [None; 3];
        };
        [
            over(other.cost.instructions, ours.cost.instructions),
            over(other.cost.median_us, ours.cost.median_us),
            over(other.cost.least_us, ours.cost.least_us),
        ]
    }

    /// Adds the targets of the scene.
    pub(super) fn mark_scene(&mut self) {
        let a = self.rows.first().and_then(|r| r.accuracy);
        let of = |f: fn(&Accuracy) -> f64| a.as_ref().map(f);
        let [instructions, median, _] = self.ratios();
        self.mark([
            Mark::most("A, run-up with grip", "%", of(|a| a.grip), 0.15, Some(0.1)),
            Mark::most("A, run-up with slip", "%", of(|a| a.slip), 0.6, Some(0.3)),
            Mark::most(
                "B, push, grip limits",
                "%",
                of(|a| a.wall_grip),
                0.01,
                Some(1e-6),
            ),
            Mark::most(
                "B, push, torque limits",
                "%",
                of(|a| a.wall_torque),
                0.01,
                Some(1e-6),
            ),
            Mark::most(
                "C, 60 % pushed to 0.25 m",
                "%",
                of(|a| a.weaker),
                0.05,
                None,
            ),
            Mark::most("C, equals meet", "%", of(|a| a.equal), 0.05, None),
            Mark::least(
                "D, instructions, MuJoCo / ours",
                "",
                instructions,
                12.0,
                Some(20.0),
            ),
            Mark::least(
                "D, processor time, MuJoCo / ours",
                "",
                median,
                8.0,
                Some(20.0),
            ),
        ]);
    }

    /// Whether every engine was there and every target is met.
    pub(super) fn all_met(&self) -> bool {
        self.troubles.is_empty() && self.marks.iter().all(|m| m.met(m.target))
    }

    /// The table as Markdown.
    pub(super) fn text(&self) -> String {
        let mut out = String::from("# The same scene in three engines\n\n");
        let _ = writeln!(
            out,
            "Written by `cargo run --release --manifest-path validation/Cargo.toml -- engines --write`; \
             `validation/README.md` says what is measured.\n\n## Targets\n\n\
             | What | Found | Target | Stretch | |\n|---|---|---|---|---|"
        );
        for m in &self.marks {
            let sign = if m.more { "at least" } else { "at most" };
            let stretch = m
                .stretch
                .map_or_else(String::new, |s| format!("{} {}", digits(s), m.unit));
            let _ = writeln!(
                out,
                "| {} | {} {} | {sign} {} {} | {stretch} | {} |",
                m.what,
                cell(m.found),
                m.unit,
                digits(m.target),
                m.unit,
                m.verdict()
            );
        }
        self.accuracy(&mut out);
        self.costs(&mut out);
        if !self.notes.is_empty() {
            out.push_str("\n## Bouts\n");
        }
        for note in &self.notes {
            let _ = writeln!(out, "\n{note}");
        }
        for trouble in &self.troubles {
            let _ = writeln!(out, "\n{trouble}");
        }
        out + &self.pairings
    }

    fn accuracy(&self, out: &mut String) {
        let _ = writeln!(
            out,
            "\n## Errors against closed forms and planar integrations\n\n\
             | Engine | Settings | A grip, % | A slip, % | B grip, % | B torque, % | C 60 %, % | C equal, % | Drift of equals, mm | Sharp: first/second/nobody |\n\
             |---|---|---|---|---|---|---|---|---|---|"
        );
        for r in &self.rows {
            let of = |f: fn(&Accuracy) -> f64| cell(r.accuracy.as_ref().map(f));
            let sharp = r
                .accuracy
                .map_or_else(|| "-".into(), |a| a.sharp.map(|n| n.to_string()).join("/"));
            let _ = writeln!(
                out,
                "| {} | {} | {} | {} | {} | {} | {} | {} | {} | {sharp} |",
                r.name,
                r.settings,
                of(|a| a.grip),
                of(|a| a.slip),
                of(|a| a.wall_grip),
                of(|a| a.wall_torque),
                of(|a| a.weaker),
                of(|a| a.equal),
                of(|a| a.drift_mm)
            );
        }
    }

    fn costs(&self, out: &mut String) {
        let _ = writeln!(
            out,
            "\n## Cost of a simulated millisecond of the scramble\n\n\
             | Engine | Settings | Instructions | Times ours | Processor time, median, µs | least, µs | Median times ours | Least times ours |\n\
             |---|---|---|---|---|---|---|---|"
        );
        let ours = self.rows.first().map(|r| r.cost).unwrap_or_default();
        for r in &self.rows {
            let c = r.cost;
            let _ = writeln!(
                out,
                "| {} | {} | {} | {} | {} | {} | {} | {} |",
                r.name,
                r.settings,
                cell(c.instructions),
                cell(over(c.instructions, ours.instructions)),
                cell(c.median_us),
                cell(c.least_us),
                cell(over(c.median_us, ours.median_us)),
                cell(over(c.least_us, ours.least_us))
            );
        }
        let _ = writeln!(out, "\n{}", super::load());
    }
}
