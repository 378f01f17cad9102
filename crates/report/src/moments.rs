//! Which events of a bout are worth telling.

use bout::{Event, EventKind};

/// Sliding and gripping again within this time is one shudder, not worth a line.
const SHUDDER_S: f64 = 0.05;

/// The events without shudders: a slide that grips again at once, and short blinks of an eye.
pub(crate) fn worth_telling(events: &[Event]) -> Vec<&Event> {
    let pairs = [
        (EventKind::Slipped, EventKind::Gripped),
        (EventKind::Lost, EventKind::Saw),
        (EventKind::Saw, EventKind::Lost),
        (EventKind::Gripped, EventKind::Slipped),
        (EventKind::SetDown, EventKind::Lifted),
    ];
    let mut dropped = vec![false; events.len()];
    for (i, e) in events.iter().enumerate() {
        let Some(undo) = pairs.iter().find(|p| p.0 == e.kind).map(|p| p.1) else {
            continue;
        };
        if dropped[i] {
            continue;
        }
        let soon = |j: &usize| events[*j].time_s - e.time_s <= SHUDDER_S;
        let same = |j: &usize| events[*j].seat == e.seat && events[*j].kind == undo;
        if let Some(j) = (i + 1..events.len()).take_while(soon).find(same) {
            (dropped[i], dropped[j]) = (true, true);
        }
    }
    let kept = events.iter().zip(dropped).filter(|(_, d)| !d);
    kept.map(|(e, _)| e).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn event(time_s: f64, seat: usize, kind: EventKind) -> Event {
        Event {
            time_s,
            seat,
            kind,
            at: [0.0; 2],
        }
    }

    #[test]
    fn a_shudder_is_not_told_but_a_real_slide_is() {
        let events = [
            event(0.10, 0, EventKind::Slipped),
            event(0.11, 1, EventKind::Hit),
            event(0.12, 0, EventKind::Gripped),
            event(0.50, 0, EventKind::Slipped),
            event(0.90, 0, EventKind::Gripped),
        ];
        let told: Vec<f64> = worth_telling(&events).iter().map(|e| e.time_s).collect();
        assert_eq!(told, [0.11, 0.50, 0.90]);
    }
}
