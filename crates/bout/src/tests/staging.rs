//! Bouts set up for tests.

use quantity::Stream;
use robot::Robot;

use super::scenery::{Hunting, Scripted, plain};
use crate::control::Controller;
use crate::fight::fight_mirrored;
use crate::pilot::{Pilot, Side};
use crate::placing::Spot;
use crate::record::Record;
use crate::{Arena, Wanted};

pub(super) const NOTHING_EXTRA: Wanted = Wanted {
    frames: false,
    events: false,
};
pub(super) const EVERYTHING: Wanted = Wanted {
    frames: true,
    events: true,
};

/// Half a robot behind the line, a little aside, facing somewhere: decided by `k`.
pub(super) fn somewhere(k: u64) -> Spot {
    let u = |name: &str| Stream::root(77).named(name).numbered(k).uniform() - 0.5;
    Spot {
        behind_m: 0.08 + 0.1 * u("behind"),
        aside_m: 0.2 * u("aside"),
        facing_rad: 3.0 * u("facing"),
    }
}

pub(super) fn hunters(
    arena: &Arena,
    robots: [&Robot; 2],
    spots: [Spot; 2],
    draws: Stream,
    mirrored: bool,
) -> Record {
    let pilots = spots.map(Hunting);
    let sides = [0, 1].map(|i: usize| Side {
        robot: robots[i],
        pilot: &pilots[i],
    });
    fight_mirrored(arena, sides, draws, NOTHING_EXTRA, mirrored)
}

/// A bout between robots without blades that run scripted programs.
pub(super) fn scripted<C: Controller + Clone + 'static>(
    arena: &Arena,
    programs: [C; 2],
    spots: [Spot; 2],
    wanted: Wanted,
) -> Record {
    let robot = plain("scripted");
    let [a, b] = programs;
    let pilots = [
        Scripted {
            spot: spots[0],
            program: a,
        },
        Scripted {
            spot: spots[1],
            program: b,
        },
    ];
    let sides = [0, 1].map(|i: usize| Side {
        robot: &robot,
        pilot: &pilots[i] as &dyn Pilot,
    });
    fight_mirrored(arena, sides, Stream::root(1), wanted, false)
}
