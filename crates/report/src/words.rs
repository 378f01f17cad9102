//! Plain words for what the floors below say in types.

use bout::{Cause, EventKind};
use robot::{Severity, Style};

/// Stable name of a cause; `explain NAME` teaches the idea behind it.
#[must_use]
pub fn cause_name(cause: Cause) -> &'static str {
    match cause {
        Cause::EdgeSeenTooLate => "edge-seen-too-late",
        Cause::EdgeIgnored => "edge-ignored",
        Cause::EdgeUnseen => "edge-unseen",
        Cause::ReversedOut => "reversed-out",
        Cause::PushedTyresSlid => "pushed-tyres-slid",
        Cause::PushedMotorsStalled => "pushed-motors-stalled",
        Cause::GaveWay => "gave-way",
        Cause::Lifted => "lifted",
        Cause::TakenFromSide => "taken-from-side",
        Cause::NeverSaw => "never-saw",
        Cause::Tipped => "tipped",
        Cause::OutTogether => "out-together",
        Cause::TimedOut => "timed-out",
        Cause::Stuck => "stuck",
        Cause::NotFinite => "not-finite",
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
        Cause::OutTogether => "went out in the same instant as the other",
        Cause::TimedOut => "had not won when the time was up",
        Cause::Stuck => "got nowhere, also after the restarts",
        Cause::NotFinite => "could not be simulated to the end",
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
        EventKind::Out => "touches the floor outside",
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
