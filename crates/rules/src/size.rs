//! The measured rows of an inspection: room, mass, edge radius.

use quantity::{Dimension, HALF_WIDTH_95, Length, Mass, maths, normal_below, show};
use robot::{Finding, Place, Robot, Severity};

use crate::extent::whole_spread;
use crate::weigh::{Weighed, heaviest, weigh};
use crate::{Class, Inspection, Limit, Row, Rule, Verdict, room};

/// Significant digits shown: a tenth of a millimetre on a 100 mm robot, a tenth of a gram on
/// 500 g; kitchen scales and calipers do not give more.
pub(crate) const DIGITS: usize = 4;

/// A measured value with its spread, in SI.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Measured {
    pub(crate) si: f64,
    pub(crate) spread_si: f64,
}

/// The standard normal is below this with the odds of [`SURE_ENOUGH`] (Abramowitz and Stegun, table 26.1,
/// from memory).
const SURE_POINT: f64 = 1.645;
/// Odds of passing below which a row is called close: it is found out more than once in twenty.
pub(crate) const SURE_ENOUGH: f64 = 0.95;

/// Adds the measured rows and what they find.
pub(crate) fn look(robot: &Robot, class: &Class, found: &mut Inspection) {
    room::look(robot, class, found);
    mass(robot, class, found);
    edge(robot, class, found);
}

/// Odds (0 to 1) that a measured value keeps a limit: what is not known of it and what the event's
/// instrument is off by (19 to 1) are independent and normal, so that the odds are Φ(margin ÷ σ) with
/// σ² the sum of their squares over 1.96². Without either it is certain.
fn odds(limit: &Limit, ours: Measured, instrument: f64) -> f64 {
    let sigma = maths::hypot(ours.spread_si, instrument) / HALF_WIDTH_95;
    if sigma > 0.0 {
        normal_below(limit.margin_si(ours.si) / sigma)
    } else if limit.allows(ours.si) {
        1.0
    } else {
        0.0
    }
}

/// A row about a measured value, which the event's instrument measures to ± `instrument`.
pub(crate) fn row<D: Dimension>(
    name: &str,
    rule: &Rule<Limit>,
    ours: Measured,
    instrument: f64,
) -> Row {
    let limit = rule.value;
    let margin = limit.margin_si(ours.si);
    let odds = odds(&limit, ours, instrument);
    let verdict = if !limit.allows(ours.si) {
        Verdict::Fail
    } else if odds < SURE_ENOUGH {
        Verdict::Close
    } else {
        Verdict::Pass
    };
    Row {
        unit: D::SI,
        limit: Some(limit.si),
        ours: Some(ours.si),
        margin: Some(margin),
        spread: Some(ours.spread_si),
        instrument: Some(instrument),
        odds: Some(odds),
        ..Row::said(
            name,
            rule,
            limit_text::<D>(&limit),
            measured_text::<D>(ours),
            verdict,
        )
    }
}

/// A limit as a person says it.
pub(crate) fn limit_text<D: Dimension>(limit: &Limit) -> String {
    let value = format!("{} {}", limit.words(), show::<D>(limit.si, DIGITS));
    if limit.tolerance_si > 0.0 {
        format!(
            "{value}, {} let through",
            show::<D>(limit.tolerance_si, DIGITS)
        )
    } else {
        value
    }
}

/// A measured value as a person says it.
pub(crate) fn measured_text<D: Dimension>(ours: Measured) -> String {
    let value = show::<D>(ours.si, DIGITS);
    if ours.spread_si > 0.0 {
        format!("{value} ± {}", show::<D>(ours.spread_si, 2))
    } else {
        value
    }
}

/// What a broken or close limit is called, and what mends it.
pub(crate) struct Words {
    pub(crate) broken: &'static str,
    pub(crate) close: &'static str,
    pub(crate) mend: String,
    /// What more room would be, e.g. `lighter`.
    pub(crate) less: &'static str,
    pub(crate) place: Place,
}

fn why_close<D: Dimension>(row: &Row) -> String {
    let [margin, spread, instrument] =
        [row.margin, row.spread, row.instrument].map(|x| x.unwrap_or(0.0));
    format!(
        "{} of room is left; ± {} is not known and the event's instrument is off by ± {} (19 of 20 each). \
         The odds of passing are Φ(1.96 × room ÷ √(the sum of their squares)) = {:.0} %.",
        show::<D>(margin, DIGITS),
        show::<D>(spread, 2),
        show::<D>(instrument, 2),
        100.0 * row.odds.unwrap_or(1.0)
    )
}

/// How much more room makes it sure enough, or how well to measure it.
fn mend_close<D: Dimension>(row: &Row, less: &str) -> String {
    let [margin, spread, instrument] =
        [row.margin, row.spread, row.instrument].map(|x| x.unwrap_or(0.0));
    let sigma = maths::hypot(spread, instrument) / HALF_WIDTH_95;
    let more = (SURE_POINT * sigma - margin).max(0.0);
    let safe = format!(
        "{} {less} it would pass {:.0} times of 100.",
        show::<D>(more, 2),
        100.0 * SURE_ENOUGH
    );
    if spread > instrument {
        format!(
            "Measure the {} of the real robot; measured to ± {}, it is the event's instrument that is left, \
             so ask to use that one before the event. {safe}",
            row.rule,
            show::<D>(instrument, 2)
        )
    } else {
        format!("Ask to use the event's own instrument before it counts. {safe}")
    }
}

/// Adds a measured row and, if it is broken or close, what was found.
pub(crate) fn judge<D: Dimension>(found: &mut Inspection, row: Row, words: Words) {
    let (limit, ours) = (row.limit_text.clone(), row.ours_text.clone());
    let margin = row.margin.unwrap_or(0.0);
    let finding = match row.verdict {
        Verdict::Fail => Some(Finding {
            name: words.broken,
            severity: Severity::Fault,
            what: format!("The {} is {ours}; the class allows {limit}.", row.rule),
            why: if margin < 0.0 {
                format!("It is {} outside the limit.", show::<D>(-margin, DIGITS))
            } else {
                "It is exactly on the limit, and the limit itself is not allowed.".into()
            },
            mend: words.mend,
            place: Some(words.place),
        }),
        Verdict::Close => Some(Finding {
            name: words.close,
            severity: Severity::Warning,
            what: format!("The {} is {ours}; the class allows {limit}.", row.rule),
            why: why_close::<D>(&row),
            mend: mend_close::<D>(&row, words.less),
            place: Some(words.place),
        }),
        Verdict::Pass | Verdict::AskTheJudge => None,
    };
    found.findings.extend(finding);
    found.rows.push(row);
}

fn mass(robot: &Robot, class: &Class, found: &mut Inspection) {
    let Weighed { mass_kg, spread_kg } = weigh(robot);
    let ours = Measured {
        si: mass_kg,
        spread_si: spread_kg,
    };
    let limit = &class.robot.mass_kg;
    let scale = |limit: &Rule<Limit>| class.robot.scale_error_kg(limit.value.si);
    let heavy: Vec<String> = heaviest(robot, 3)
        .into_iter()
        .map(|(name, kg)| format!("{name} {}", show::<Mass>(kg, 3)))
        .collect();
    let words = Words {
        broken: "over-mass",
        close: "mass-close",
        mend: format!(
            "Take weight off; the heaviest parts are {}.",
            heavy.join(", ")
        ),
        less: "lighter",
        place: Place::whole(&robot.file),
    };
    judge::<Mass>(found, row::<Mass>("mass", limit, ours, scale(limit)), words);
    if let Some(rule) = &class.robot.least_mass_kg {
        let words = Words {
            broken: "under-mass",
            close: "least-mass-close",
            mend: "Enter a lighter class, or add ballast low down.".into(),
            less: "heavier",
            place: Place::whole(&robot.file),
        };
        let row = row::<Mass>("least mass", rule, ours, scale(rule));
        judge::<Mass>(found, row, words);
    }
}

/// The blade's front edge. A sheet cut square and broken by hand is rounded at most to half its
/// thickness, so half the edge's thickness stands for its radius; the touch of the judge decides.
fn edge(robot: &Robot, class: &Class, found: &mut Inspection) {
    let Some(rule) = &class.robot.edge_radius_m else {
        return;
    };
    let limit_text = format!("radius {}", limit_text::<Length>(&rule.value));
    let by_hand = "Draw an old plastic card, never a finger, along every edge: it must not be cut or \
                   shaved. Keep the blade covered until inspection.";
    let Some(blade) = &robot.blade else {
        let row = Row::said(
            "edge radius",
            rule,
            limit_text,
            "no blade in the file",
            Verdict::AskTheJudge,
        );
        found.rows.push(row.by_hand(by_hand));
        return;
    };
    let ours = Measured {
        si: blade.edge.si() / 2.0,
        spread_si: whole_spread(&blade.edge) / 2.0,
    };
    let measured = row::<Length>("edge radius", rule, ours, 0.0);
    if measured.verdict == Verdict::Fail {
        found.findings.push(Finding {
            name: "sharp-edge",
            severity: Severity::Warning,
            what: format!(
                "The front edge of {} is {} thick: it may count as sharp.",
                blade.item.name,
                show::<Length>(blade.edge.si(), 3)
            ),
            why: format!(
                "An edge this thick can be rounded to half of that, {}; {limit_text} is taken as safe.",
                measured.ours_text
            ),
            mend: "Ask the judge beforehand, or use thicker stock. Cover the edge whenever the robot \
                   is handled."
                .into(),
            place: Some(blade.item.place.clone()),
        });
    }
    let ours_text = format!(
        "{} at most, half the thickness of the front edge",
        measured.ours_text
    );
    let row = Row {
        verdict: Verdict::AskTheJudge,
        // The judge's touch decides, no instrument.
        odds: None,
        instrument: None,
        limit_text,
        ours_text,
        ..measured
    };
    found.rows.push(row.by_hand(by_hand));
}
