//! The curve of who gets under: share of a head-on of like blades against the difference of their
//! heights, at the solver's step and at half of it, beside what the declared spreads predict.

use std::fmt::Write;
use std::path::Path;

use statrs::distribution::{ContinuousCDF, Normal};
use study::{Estimate, wilson};

use crate::{load, pit};

#[path = "../../crates/runner/tests/trade/under.rs"]
mod under;

use under::{Under, at_height, count, on_true_wheels, spread_m};

/// Height of the other's blade in m: so high that no edge ever stands on the ring.
const THEIRS: f64 = 1.0e-3;
/// Farthest difference in standard deviations and points to either side of none.
const FARTHEST: f64 = 3.0;
const POINTS: i32 = 7;
/// Bouts of each point.
const BOUTS: u32 = 800;
/// Standard deviations in the half-width of a central 95 % range of a normal.
const HALF_WIDTH_95: f64 = 1.96;

/// One difference of heights.
struct Point {
    /// By how much ours is lower, mm.
    lower_mm: f64,
    predicted: f64,
    /// At the step, at half the step, and at the step on wheels as built.
    found: [Under; 3],
}

impl Under {
    fn share(self) -> Estimate {
        wilson(self.ours, self.ours + self.theirs, HALF_WIDTH_95)
    }
}

/// Standard deviation of the normal whose curve passes through evenly spaced shares that rise from
/// 0 to 1: the second moment of the steps between them, less that of the spacing's own width
/// (Spearman 1908 and Kärber 1931; Sheppard's correction h²/12).
fn width(points: &[Point], series: usize) -> f64 {
    let (mut mass, mut mean, mut square) = (0.0, 0.0, 0.0);
    let spacing = points[1].lower_mm - points[0].lower_mm;
    for pair in points.windows(2) {
        let step = pair[1].found[series].share().estimate - pair[0].found[series].share().estimate;
        let at = 0.5 * (pair[0].lower_mm + pair[1].lower_mm);
        mass += step;
        mean += step * at;
        square += step * at * at;
    }
    mean /= mass;
    (square / mass - mean * mean - spacing * spacing / 12.0)
        .max(0.0)
        .sqrt()
}

/// Counts all points and says whether every interval of both steps is beside the prediction no more
/// often than chance allows; `write` puts table and picture into `docs`.
///
/// # Errors
/// When a file cannot be written.
pub fn run(write: bool) -> Result<bool, String> {
    let robot = load("mini/badger");
    let arena = pit("mini", 0, &robot, std::slice::from_ref(&robot)).arena;
    let spread = 2.0_f64.sqrt() * spread_m(&robot);
    let normal = Normal::standard();
    let points: Vec<Point> = (-POINTS..=POINTS)
        .map(|k| {
            let by = FARTHEST * f64::from(k) / f64::from(POINTS);
            let built = [THEIRS - by * spread, THEIRS].map(|h| at_height(&robot, h));
            let even = built.clone().map(|r| on_true_wheels(&r));
            eprintln!("{by:+.2} standard deviations");
            let found = [(&even, 1), (&even, 2), (&built, 1)];
            Point {
                lower_mm: 1e3 * by * spread,
                predicted: normal.cdf(by),
                found: found.map(|(r, parts)| count(&arena, [&r[0], &r[1]], BOUTS, parts)),
            }
        })
        .collect();
    let tests = 2 * points.len();
    // Family-wise: all together go wrong by chance one time in twenty (Bonferroni).
    let z = normal.inverse_cdf(1.0 - 0.025 / tests as f64);
    let beside = points
        .iter()
        .flat_map(|p| p.found[..2].iter().map(move |u| (p, u)));
    let beside = beside.filter(|(p, u)| {
        let share = wilson(u.ours, u.ours + u.theirs, z);
        p.predicted < share.low || p.predicted > share.high
    });
    let beside = beside.count();
    let text = table(&points, 1e3 * spread, beside);
    println!("{text}");
    if write {
        let docs = Path::new(env!("CARGO_MANIFEST_DIR")).join("../docs");
        for (name, text) in [
            ("blade-height.md", text),
            ("blade-height.svg", svg(&points)),
        ] {
            let path = docs.join(name);
            std::fs::write(&path, text).map_err(|e| format!("{}: {e}", path.display()))?;
        }
    }
    Ok(beside == 0)
}

fn table(points: &[Point], spread_mm: f64, beside: usize) -> String {
    let mut out = String::from(
        "# Who gets under\n\n\
         Two Badgers charge at each other at a steady speed, edge to edge; what is counted is whose nose\n\
         rises. The blade of one is moved up and down. Share of the bouts in which ours got under, with\n\
         95 % intervals, by how much its edge is lower; predicted: the normal distribution with the\n\
         spreads that the robot file and the part declare for the heights and thicknesses of both edges.\n\n\
         ![The curve](blade-height.svg)\n\n\
         | Lower by, mm | Predicted, % | At the step, % | At half the step, % | Wheels as built, % |\n\
         |---|---|---|---|---|\n",
    );
    for p in points {
        let shares = p.found.map(|u| {
            let s = u.share();
            format!(
                "{:.1} ({:.1} to {:.1})",
                100.0 * s.estimate,
                100.0 * s.low,
                100.0 * s.high
            )
        });
        let _ = writeln!(
            out,
            "| {:+.3} | {:.1} | {} | {} | {} |",
            p.lower_mm,
            100.0 * p.predicted,
            shares[0],
            shares[1],
            shares[2]
        );
    }
    let widths = [0, 1, 2].map(|k: usize| width(points, k));
    let neither: u32 = points.iter().flat_map(|p| p.found).map(|u| u.neither).sum();
    let _ = writeln!(
        out,
        "\nStandard deviation of the difference: {spread_mm:.3} mm predicted; {:.3} mm at the step, \
         {:.3} mm at half of it,\n{:.3} mm on wheels as far out of round as built, which comes on top \
         (0.1 mm of run-out).\n\n{beside} of {} intervals, widened for their number, miss the \
         prediction. {BOUTS} bouts a point, seed 77; in {neither} of them\nneither nose rose. Written by \
         `cargo run --release --manifest-path validation/Cargo.toml -- blade-height --write`.",
        widths[0],
        widths[1],
        widths[2],
        2 * points.len()
    );
    out
}

/// The picture: readable in black and white, marks and lines say what colours would.
fn svg(points: &[Point]) -> String {
    let (left, top, width, height) = (70.0, 50.0, 560.0, 320.0);
    let far = points.last().map_or(1.0, |p| p.lower_mm) * 1.05;
    let x = |mm: f64| left + width * (0.5 + 0.5 * mm / far);
    let y = |share: f64| top + height * (1.0 - share);
    let mut out = String::from(
        "<svg xmlns=\"http://www.w3.org/2000/svg\" viewBox=\"0 0 660 470\" font-family=\"sans-serif\" \
         font-size=\"13\" role=\"img\">\n<title>Who gets under, by how much lower the blade is</title>\n\
         <rect width=\"660\" height=\"470\" fill=\"#f7f5f0\"/>\n\
         <text x=\"70\" y=\"28\" font-size=\"16\" fill=\"#222\">Share of head-on meetings in which our blade got under</text>\n",
    );
    for tenth in 0..=4 {
        let share = f64::from(tenth) / 4.0;
        let _ = writeln!(
            out,
            "<path d=\"M{left:.1} {0:.1}H{1:.1}\" stroke=\"#bbb\"/>\
             <text x=\"{2:.1}\" y=\"{3:.1}\" text-anchor=\"end\" fill=\"#222\">{4:.0} %</text>",
            y(share),
            left + width,
            left - 8.0,
            y(share) + 4.5,
            100.0 * share
        );
    }
    for k in -3..=3 {
        let mm = 0.1 * f64::from(k);
        let _ = writeln!(
            out,
            "<path d=\"M{0:.1} {1:.1}v5\" stroke=\"#222\"/>\
             <text x=\"{0:.1}\" y=\"{2:.1}\" text-anchor=\"middle\" fill=\"#222\">{mm:.1}</text>",
            x(mm),
            top + height,
            top + height + 20.0
        );
    }
    let _ = writeln!(
        out,
        "<text x=\"{:.1}\" y=\"{:.1}\" text-anchor=\"middle\" fill=\"#222\">our edge lower by, mm</text>",
        left + 0.5 * width,
        top + height + 40.0
    );
    let (normal, sd) = (Normal::standard(), far / 1.05 / FARTHEST);
    let line: Vec<String> = (0..=120)
        .map(|k| {
            let mm = far * (f64::from(k) / 60.0 - 1.0);
            format!("{:.1} {:.1}", x(mm), y(normal.cdf(mm / sd)))
        })
        .collect();
    let _ = writeln!(
        out,
        "<path d=\"M{}\" fill=\"none\" stroke=\"#222\" stroke-width=\"1.5\"/>",
        line.join("L")
    );
    for p in points {
        for (k, aside) in [(0, -2.5), (1, 2.5)] {
            let s = p.found[k].share();
            let at = x(p.lower_mm) + aside;
            let _ = writeln!(
                out,
                "<path d=\"M{at:.1} {:.1}V{:.1}\" stroke=\"#222\"/>{}",
                y(s.low),
                y(s.high),
                mark(k, at, y(s.estimate))
            );
        }
        out += &mark(2, x(p.lower_mm), y(p.found[2].share().estimate));
    }
    let words = [
        "at the solver's step, 95 %",
        "at half the step, 95 %",
        "wheels out of round as built",
    ];
    for (k, words) in words.iter().enumerate() {
        let at = top + 22.0 + 20.0 * k as f64;
        let _ = writeln!(
            out,
            "{}<text x=\"{:.1}\" y=\"{:.1}\" fill=\"#222\">{words}</text>",
            mark(k, left + 18.0, at),
            left + 30.0,
            at + 4.5
        );
    }
    let at = top + 82.0;
    let _ = writeln!(
        out,
        "<path d=\"M{:.1} {at:.1}h16\" stroke=\"#222\" stroke-width=\"1.5\"/>\
         <text x=\"{:.1}\" y=\"{:.1}\" fill=\"#222\">predicted from the spreads</text>\n</svg>",
        left + 10.0,
        left + 30.0,
        at + 4.5
    );
    out
}

/// A filled circle, an open square, a cross.
fn mark(series: usize, x: f64, y: f64) -> String {
    match series {
        0 => format!("<circle cx=\"{x:.1}\" cy=\"{y:.1}\" r=\"3.5\" fill=\"#2f6fb2\"/>"),
        1 => format!(
            "<rect x=\"{:.1}\" y=\"{:.1}\" width=\"6.4\" height=\"6.4\" fill=\"#fff\" stroke=\"#c4600c\" stroke-width=\"1.4\"/>",
            x - 3.2,
            y - 3.2
        ),
        _ => format!(
            "<path d=\"M{:.1} {:.1}l6 6m0 -6l-6 6\" stroke=\"#666\"/>",
            x - 3.0,
            y - 3.0
        ),
    }
}
