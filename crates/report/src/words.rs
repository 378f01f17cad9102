//! Plain words for what the floors below say in types.

use bout::{Cause, EventKind, Ground, Measure};
use robot::{Severity, Style};

/// Stable name of a cause; `explain NAME` teaches the idea behind it.
#[must_use]
pub fn cause_name(cause: Cause) -> &'static str {
    match cause {
        Cause::EdgeSeenTooLate => "edge-seen-too-late",
        Cause::EdgeIgnored => "edge-ignored",
        Cause::EdgeNotLeft => "edge-not-left",
        Cause::EdgeUnseen => "edge-unseen",
        Cause::ReversedOut => "reversed-out",
        Cause::PushedTyresSlid => "pushed-tyres-slid",
        Cause::PushedMotorsStalled => "pushed-motors-stalled",
        Cause::GaveWay => "gave-way",
        Cause::Lifted => "lifted",
        Cause::TakenFromSide => "taken-from-side",
        Cause::NeverSaw => "never-saw",
        Cause::Tipped => "tipped",
        Cause::Fault => "fault",
        Cause::BrownOut => "brown-out",
        Cause::FalseStart => "false-start",
        Cause::DroppedParts => "dropped-parts",
        Cause::StoodStill => "stood-still",
        Cause::Decision => "decision",
        Cause::OutTogether => "out-together",
        Cause::TimedOut => "timed-out",
        Cause::Stuck => "stuck",
        Cause::NotFinite => "not-finite",
        Cause::ProgramFailed => "program-failed",
    }
}

/// What the loser did or suffered, as the end of a sentence that begins with its name.
#[must_use]
pub fn cause_words(cause: Cause) -> &'static str {
    match cause {
        Cause::EdgeSeenTooLate => {
            "drove over the edge by itself: it saw the border too late to stop"
        }
        Cause::EdgeIgnored => {
            "drove over the edge by itself: it saw the border in time but did not steer against it"
        }
        Cause::EdgeNotLeft => {
            "went over the edge by itself: it saw the border in time and steered, but not clear of it"
        }
        Cause::EdgeUnseen => "drove over the edge by itself, with no edge sensor on that side",
        Cause::ReversedOut => "backed over the edge by itself, with no edge sensor behind",
        Cause::PushedTyresSlid => "was pushed out from the front while its tyres slid",
        Cause::PushedMotorsStalled => {
            "was pushed out from the front while its motors stalled and its tyres held"
        }
        Cause::GaveWay => "was pushed out while its program did not drive against the push",
        Cause::Lifted => "was pushed out with its weight on the opponent's blade",
        Cause::TakenFromSide => "was pushed out from the side or from behind",
        Cause::NeverSaw => "was pushed out without ever having seen the opponent",
        Cause::Tipped => "turned over",
        Cause::Fault => "lost after something on it had broken",
        Cause::BrownOut => "lost after its pack had sagged so low that the controller reset itself",
        Cause::FalseStart => "moved before the signal",
        Cause::DroppedParts => "dropped more than the class lets drop",
        Cause::StoodStill => "stood still for longer than the class lets it",
        Cause::Decision => "lost by the judges' decision when nobody had won",
        Cause::OutTogether => "went out in the same instant as the other",
        Cause::TimedOut => "had not won when the time was up",
        Cause::Stuck => "got nowhere, also after the restarts",
        Cause::NotFinite => "could not be simulated to the end",
        Cause::ProgramFailed => "was left without orders: the program that drove it failed",
    }
}

/// What happened to a robot, as the end of a sentence that begins with its name.
pub(crate) fn event_words(kind: EventKind) -> &'static str {
    match kind {
        EventKind::Start => "may move",
        EventKind::Saw => "sees the opponent",
        EventKind::Lost => "loses sight of the opponent",
        EventKind::Hit => "hits the opponent",
        EventKind::Slipped => "begins to slide on its tyres",
        EventKind::Gripped => "grips again",
        EventKind::Lifted => "stands with more than a quarter of its weight on the opponent",
        EventKind::SetDown => "stands by itself again",
        EventKind::Edge => "has an edge sensor over the border",
        EventKind::Restart => "is put back by the judge",
        EventKind::Decided => "does not get back from here on: the deciding moment",
        EventKind::Out => "is out",
        EventKind::Ruled => "loses by what the judge says",
        EventKind::FalseStart => "moves before the signal",
        EventKind::LostTyre => "loses a tyre",
        EventKind::LoosePlug => "has a motor's plug come loose",
        EventKind::DeadSensor => "has a sensor go dead",
        EventKind::ControllerReset => "has its controller reset itself",
        EventKind::BrownOut => "sags its pack so low that the controller resets itself",
        EventKind::DroppedScrew => "drops a screw",
    }
}

/// Stable name of an event in JSON.
pub(crate) fn event_name(kind: EventKind) -> &'static str {
    match kind {
        EventKind::Start => "start",
        EventKind::Saw => "saw",
        EventKind::Lost => "lost-sight",
        EventKind::Hit => "hit",
        EventKind::Slipped => "slipped",
        EventKind::Gripped => "gripped",
        EventKind::Lifted => "lifted",
        EventKind::SetDown => "set-down",
        EventKind::Edge => "edge",
        EventKind::Restart => "restart",
        EventKind::Decided => "decided",
        EventKind::Out => "out",
        EventKind::Ruled => "ruled",
        EventKind::FalseStart => "false-start",
        EventKind::LostTyre => "lost-tyre",
        EventKind::LoosePlug => "loose-plug",
        EventKind::DeadSensor => "dead-sensor",
        EventKind::ControllerReset => "controller-reset",
        EventKind::BrownOut => "brown-out",
        EventKind::DroppedScrew => "dropped-screw",
    }
}

/// How a measure is called and said.
pub(crate) struct MeasureWords {
    /// Stable name in JSON.
    pub(crate) name: &'static str,
    /// SI unit in JSON; empty for shares.
    pub(crate) unit: &'static str,
    /// What it is, before its value.
    what: &'static str,
    /// What it was held against, before that value.
    against: &'static str,
    how: Shown,
}

/// How a value is shown.
#[derive(Clone, Copy)]
enum Shown {
    Newton,
    Share,
    Plain,
    Speed,
    Seconds,
    Degrees,
    Length,
    Mass,
    Volts,
}

/// Words for a measure.
pub(crate) fn measure_words(measure: Measure) -> MeasureWords {
    let say = |name, unit, what, against, how| MeasureWords {
        name,
        unit,
        what,
        against,
        how,
    };
    match measure {
        Measure::Push => say(
            "push",
            "N",
            "pushed outward with",
            "its tyres could hold",
            Shown::Newton,
        ),
        Measure::Borne => say(
            "weight-borne",
            "",
            "share of its weight on the opponent",
            "counts as lifted from",
            Shown::Share,
        ),
        Measure::FromSide => say(
            "push-from-side",
            "",
            "share of the push from the side or behind",
            "counts from",
            Shown::Share,
        ),
        Measure::Effort => say(
            "effort",
            "",
            "its program asked for an effort of",
            "driving against it asks for at least",
            Shown::Plain,
        ),
        Measure::Sliding => say(
            "sliding",
            "",
            "tyres slid for a share of",
            "motors stalled for",
            Shown::Share,
        ),
        Measure::Stalled => say(
            "stalled",
            "",
            "motors stalled for a share of",
            "tyres slid for",
            Shown::Share,
        ),
        Measure::EdgeSpeed => say(
            "edge-speed",
            "m/s",
            "speed towards the edge",
            "could have stopped from",
            Shown::Speed,
        ),
        Measure::TimeLeft => say(
            "time-left",
            "s",
            "time from seeing the border to the rim",
            "too short to react below",
            Shown::Seconds,
        ),
        Measure::Lean => say(
            "lean",
            "rad",
            "leaned by",
            "counts as turned over from",
            Shown::Degrees,
        ),
        Measure::Unseen => say(
            "unseen",
            "s",
            "did not see the opponent for",
            "of",
            Shown::Seconds,
        ),
        Measure::Stood => say("stood", "s", "stood still for", "allowed", Shown::Seconds),
        Measure::NoProgress => say(
            "no-progress",
            "s",
            "nobody got anywhere for",
            "allowed",
            Shown::Seconds,
        ),
        Measure::Time => say("time", "s", "time", "allowed", Shown::Seconds),
        Measure::FromCentre => say(
            "from-centre",
            "m",
            "mean distance from the centre",
            "the other's",
            Shown::Length,
        ),
        Measure::StartDelay => say(
            "start-delay",
            "s",
            "the class asks to stand still for",
            "of",
            Shown::Seconds,
        ),
        Measure::DroppedMass => say("dropped-mass", "kg", "dropped", "allowed", Shown::Mass),
        Measure::PackVoltage => say(
            "pack-voltage",
            "V",
            "pack sagged to",
            "the board needs",
            Shown::Volts,
        ),
        Measure::FaultAt => say("fault-at", "s", "it broke at", "of", Shown::Seconds),
    }
}

/// A ground in words, with its numbers.
pub(crate) fn ground_words(ground: Ground) -> String {
    let words = measure_words(ground.measure);
    let show = |x: f64| match words.how {
        Shown::Newton => format!("{x:.2} N"),
        Shown::Share => format!("{:.0} %", 100.0 * x),
        Shown::Plain => format!("{x:.2}"),
        Shown::Speed => format!("{x:.2} m/s"),
        Shown::Seconds => format!("{x:.2} s"),
        Shown::Degrees => format!("{:.0}°", x.to_degrees()),
        Shown::Length => format!("{:.0} mm", 1e3 * x),
        Shown::Mass => format!("{:.1} g", 1e3 * x),
        Shown::Volts => format!("{x:.1} V"),
    };
    let value = format!("{} {}", words.what, show(ground.value));
    match ground.against {
        Some(x) => format!("{value} ({} {})", words.against, show(x)),
        None => value,
    }
}

/// A severity as JSON and tables say it.
pub(crate) fn severity_name(severity: Severity) -> &'static str {
    match severity {
        Severity::Fault => "fault",
        Severity::Warning => "warning",
        Severity::Note => "note",
    }
}

/// A style as robot files say it.
pub(crate) fn style_name(style: Style) -> &'static str {
    match style {
        Style::Pusher => "pusher",
        Style::Dodger => "dodger",
        Style::Trickster => "trickster",
        Style::AllRounder => "all-rounder",
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_cause_is_listed_once_with_a_name_of_its_own() {
        let mut names: Vec<_> = Cause::ALL.iter().map(|c| cause_name(*c)).collect();
        names.sort_unstable();
        names.dedup();
        assert_eq!(names.len(), Cause::ALL.len());
    }
}
