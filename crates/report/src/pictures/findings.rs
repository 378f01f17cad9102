//! The robot with its findings on it: each numbered where the part is that it is about.

use robot::{Finding, Item, Robot, Severity};

use super::callouts::{self, Callout};
use super::canvas::{Canvas, Fill, INK, LETTER, Pen};
use super::view::{Look, View, scale_of};
use crate::check::Examined;
use crate::words::severity_name;

/// Most findings that get a number: more do not fit around a robot.
const MOST: usize = 12;
/// Room around the views for the numbers, units.
const FREE: f64 = 34.0;

/// What a finding's place in the robot file is about.
#[derive(Debug, Clone, Copy)]
enum About<'a> {
    Part(&'a Item),
    Body([f64; 3]),
}

impl About<'_> {
    fn middle(self) -> [f64; 3] {
        match self {
            Self::Part(item) => item.at.each_ref().map(quantity::Figure::si),
            Self::Body(middle) => middle,
        }
    }
}

fn about<'a>(robot: &'a Robot, finding: &Finding) -> Option<About<'a>> {
    let place = finding.place.as_ref()?;
    if *place.file != *robot.file {
        return None;
    }
    let items = (robot.items())
        .filter(|i| *i.place.file == *robot.file)
        .map(|i| (i.place.line, About::Part(i)));
    let hull = robot.hull.iter().map(|h| {
        let count = h.outline.len().max(1) as f64;
        let sum = |k: usize| h.outline.iter().map(|c| c[k]).sum::<f64>() / count;
        let z = 0.5 * (h.from.si() + h.to.si());
        (h.place.line, About::Body([sum(0), sum(1), z]))
    });
    // A place may be a key below the head of the part: the last head above it is the part's.
    items
        .chain(hull)
        .filter(|(line, _)| *line <= place.line)
        .max_by_key(|(line, _)| *line)
        .map(|(_, about)| about)
}

/// Draws it.
pub(super) fn picture(e: &Examined<'_>) -> Option<String> {
    let robot = &e.setting.robot;
    let findings = e.findings();
    let shown: Vec<&Finding> = findings.iter().copied().take(MOST).collect();
    let title = format!("{}: what was found, and where", robot.name);
    let subtitle = if shown.is_empty() {
        "Nothing was found that would have to be mended. The disc in quarters is the centre of mass."
    } else {
        "The numbers are explained below, the most important first; one without a mark is about the \
         whole robot. The disc in quarters is the centre of mass."
    };
    let mut canvas = Canvas::new(&title, subtitle);
    let scale = scale_of(robot);
    let centre = robot.mass_properties(&quantity::Draws::nominal()).centre_m;
    for look in [Look::Plan, Look::Side] {
        // From above everything is seen; from the side the same numbers would only crowd it.
        let free = if look == Look::Plan { FREE } else { 0.3 * FREE };
        let view = View::below(&mut canvas, robot, look, scale, free);
        view.front(&mut canvas);
        view.draw(&mut canvas, robot);
        let outline = Pen::solid(INK, 1.0).dashed("3 2");
        for f in &shown {
            if let Some(About::Part(item)) = about(robot, f) {
                view.item(&mut canvas, item, outline);
            }
        }
        view.centre_of_mass(&mut canvas, centre.to_array());
        let marks: Vec<Callout> = (shown.iter().enumerate())
            .filter_map(|(k, f)| {
                Some(Callout {
                    number: k + 1,
                    at: view.place(about(robot, f)?.middle()),
                })
            })
            .collect();
        if look == Look::Plan {
            callouts::draw(&mut canvas, &marks, view.bounds, 0.55 * FREE);
        }
    }
    canvas.y += 0.5 * LETTER;
    for (k, f) in shown.iter().enumerate() {
        let word = match f.severity {
            Severity::Note => "Note".to_owned(),
            Severity::Fault | Severity::Warning => severity_name(f.severity).to_uppercase(),
        };
        canvas.numbered(k + 1, &format!("{word}: {}", f.what));
    }
    if findings.len() > shown.len() {
        canvas.paragraph(&format!(
            "And {} more, less important.",
            findings.len() - shown.len()
        ));
    }
    canvas.y += 0.5 * LETTER;
    legend(&mut canvas);
    Some(canvas.finish())
}

fn legend(canvas: &mut Canvas) {
    let pen = Pen::solid(INK, 1.4);
    canvas.legend_area(Fill::Plain("#8a8f98"), pen, "wheel or track");
    canvas.legend_area(
        Fill::Plain("#ffffff"),
        pen,
        "blade or plate; from the side a thick line",
    );
    canvas.legend_area(Fill::Crossed, pen, "sensor that looks down at the ring");
    canvas.legend_line(pen, "with an arrow: sensor that looks for the opponent");
}
