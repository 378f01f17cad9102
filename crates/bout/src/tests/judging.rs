//! What the class says about bouts, in whole bouts.

use quantity::{Figure, Stream, maths};
use robot::{Fault, Robot};
use rules::{EarlyStart, Facing, OutWhen, Undecided};

use super::scenery::{Scripted, Steady, arena, plain};
use super::staging::{EVERYTHING, NOTHING_EXTRA, scripted};
use crate::arena::Seat;
use crate::control::Controller;
use crate::fight::{Setup, fight_set_up};
use crate::pilot::{Pilot, Side};
use crate::placing::Spot;
use crate::record::{Cause, End, EventKind, Record};
use crate::rounds::match_of;
use crate::{Arena, Measure};

const AHEAD: Steady = Steady([1000, 1000]);
const STILL: Steady = Steady([0, 0]);

/// Facing straight out of the ring.
fn outward() -> Spot {
    Spot {
        behind_m: 0.05,
        aside_m: 0.0,
        facing_rad: maths::PI,
    }
}

/// A robot crawls out while the other stands: when it is out by this rule, and by which.
fn crawls_out(when: OutWhen) -> Record {
    let mut arena = arena();
    arena.judging.out = when;
    scripted(
        &arena,
        [Steady([150, 150]), STILL],
        [outward(), Spot::default()],
        EVERYTHING,
    )
}

#[test]
fn what_counts_as_out_is_the_rim_a_tyre_or_the_floor_in_this_order() {
    let times = [OutWhen::PastRim, OutWhen::TyreOff, OutWhen::Floor].map(|when| {
        let r = crawls_out(when);
        assert_eq!(r.outcome.end, End::Out { loser: 0 }, "{when:?}");
        r.outcome.time_s
    });
    assert!(
        times[0] + 0.05 < times[1] && times[1] <= times[2],
        "{times:?}"
    );
    // Where its nose stands over the rim: 50 mm before its middle.
    let last = crawls_out(OutWhen::PastRim).frames[0]
        .last()
        .expect("there are frames")
        .position;
    let reach = maths::hypot(last[0], last[1]) + 0.03;
    assert!((0.37..0.40).contains(&reach), "{reach}");
}

#[test]
fn a_robot_that_does_not_move_under_a_remote_loses_in_time() {
    let mut arena = arena();
    arena.no_progress_s = 60.0;
    let spots = [Spot::default(), outward()];
    // The second turns on the spot and harms nobody.
    let both = [STILL, Steady([300, -300])];
    arena.longest_s = 8.0;
    let patient = scripted(&arena, both, spots, NOTHING_EXTRA);
    assert_eq!(patient.outcome.cause, Cause::TimedOut);
    arena.judging.move_within_s = Some(5.0);
    let strict = scripted(&arena, both, spots, NOTHING_EXTRA);
    assert_eq!(
        (strict.outcome.end, strict.outcome.cause),
        (End::Ruled { loser: 0 }, Cause::StoodStill)
    );
    assert!((strict.outcome.time_s - 5.0).abs() < 0.02);
    assert_eq!(strict.winner(), Some(1));
    let stood = strict.outcome.grounds.get(Measure::Stood);
    assert!(
        stood.is_some_and(|g| g.value > 4.9 && g.against == Some(5.0)),
        "{stood:?}"
    );
}

#[test]
fn the_time_up_is_a_tie_or_the_judges_decision() {
    let mut arena = arena();
    (arena.longest_s, arena.no_progress_s) = (2.0, 60.0);
    let back = Spot {
        behind_m: 0.2,
        ..Spot::default()
    };
    let fought =
        |arena: &Arena| scripted(arena, [STILL; 2], [Spot::default(), back], NOTHING_EXTRA).outcome;
    assert_eq!(fought(&arena).end, End::Tie);
    arena.judging.time_up = Undecided::Decision;
    let decided = fought(&arena);
    assert_eq!(
        (decided.end, decided.cause),
        (End::Ruled { loser: 1 }, Cause::Decision),
        "it stood farther out"
    );
    let means = decided.grounds.get(Measure::FromCentre).expect("said");
    assert!(means.value > means.against.expect("the other's") + 0.05);
}

/// A sleeper with several openings, and which it plays as its effort on the left.
#[derive(Debug)]
struct Opener {
    own: usize,
    spots: Vec<Spot>,
}

impl Pilot for Opener {
    fn opening(&self) -> usize {
        self.own
    }

    fn openings(&self) -> usize {
        self.spots.len()
    }

    fn spot(&self, opening: usize) -> Spot {
        self.spots[opening]
    }

    fn start(&self, _opening: usize, _chance: Stream) -> Box<dyn Controller> {
        Box::new(STILL)
    }
}

/// Where a robot of `openings` in seat 1 stands at the start, and its heading.
fn stands(arena: &Arena, first: Spot, openings: &[Spot], setup: Setup<'_>) -> ([f64; 2], f64) {
    let robot = {
        let mut r = plain("placed");
        r.put_down = Figure::derived(0.0, "put_down");
        r.put_down_heading = Figure::derived(0.0, "put_down_heading");
        r
    };
    let pilots = [
        Opener {
            own: 0,
            spots: vec![first],
        },
        Opener {
            own: 0,
            spots: openings.to_vec(),
        },
    ];
    let sides = [0, 1].map(|i: Seat| Side {
        robot: &robot,
        pilot: &pilots[i] as &dyn Pilot,
    });
    let mut arena = arena.clone();
    arena.longest_s = 0.02;
    let r = fight_set_up(&arena, sides, Stream::root(3), EVERYTHING, setup);
    let frame = &r.frames[1][0];
    let [x, y, z, w] = frame.orientation;
    let heading = maths::atan2(2.0 * (w * z + x * y), 1.0 - 2.0 * (y * y + z * z));
    ([frame.position[0], frame.position[1]], heading)
}

#[test]
fn who_places_second_may_answer_and_nobody_may_where_both_place_at_once() {
    let mut arena = arena();
    let turned = Spot {
        facing_rad: 0.7,
        ..Spot::default()
    };
    let aside = |m: f64| Spot {
        behind_m: 0.02,
        aside_m: m,
        ..Spot::default()
    };
    let openings = [Spot::default(), aside(0.15), aside(-0.15)];
    let y = |arena: &Arena, second| {
        let setup = Setup {
            second: Some(second),
            ..Setup::default()
        };
        stands(arena, turned, &openings, setup).0[1]
    };
    assert!(y(&arena, 1).abs() < 0.01, "at once: its own opening");
    arena.placing.in_turn = true;
    // It looks along −x, so its left is negative y: off the nose that points to positive y.
    assert!((y(&arena, 1) + 0.15).abs() < 0.01, "{}", y(&arena, 1));
    assert!(y(&arena, 0).abs() < 0.01, "the first cannot answer");
}

#[test]
fn rounds_say_which_way_to_face_where_the_class_has_it_so() {
    let mut arena = arena();
    arena.placing.facing = Facing::ByRound;
    let heading = |round| {
        let setup = Setup {
            round: Some(round),
            ..Setup::default()
        };
        stands(&arena, Spot::default(), &[Spot::default()], setup).1
    };
    // Seat 1 looks at the centre along −x.
    for (round, turned) in [(0, 0.0), (1, 0.5 * maths::PI), (2, maths::PI)] {
        let off = maths::wrap_angle(heading(round) - maths::PI - turned);
        assert!(off.abs() < 0.02, "round {round}: {off}");
    }
    arena.placing.facing = Facing::Opponent;
    let asks_back = Spot {
        facing_rad: maths::PI,
        ..Spot::default()
    };
    let (_, heading) = stands(&arena, asks_back, &[asks_back], Setup::default());
    assert!((maths::wrap_angle(heading - maths::PI)).abs() < 0.02);
}

fn early(rate: f64) -> Robot {
    let mut r = plain("early");
    r.faults.rates = vec![(Fault::FalseStart, Figure::derived(rate, "false-start"))];
    r
}

fn sides<'a>(robots: [&'a Robot; 2], pilots: &'a [Scripted<Steady>; 2]) -> [Side<'a>; 2] {
    [0, 1].map(|i: Seat| Side {
        robot: robots[i],
        pilot: &pilots[i],
    })
}

#[test]
fn moving_early_costs_the_round_or_a_warning_and_nothing_under_a_remote() {
    let mut arena = arena();
    (arena.start_delay_s, arena.longest_s) = (5.0, 0.5);
    let (robot, other) = (early(1.0), plain("patient"));
    let pilots = [STILL; 2].map(|program| Scripted {
        spot: Spot::default(),
        program,
    });
    let fought = |arena: &Arena| {
        let sides = sides([&robot, &other], &pilots);
        fight_set_up(arena, sides, Stream::root(1), EVERYTHING, Setup::default())
    };
    let strict = fought(&arena);
    assert_eq!(
        (strict.outcome.end, strict.outcome.cause),
        (End::Ruled { loser: 0 }, Cause::FalseStart)
    );
    assert!(strict.outcome.time_s.abs() < 1e-12);
    arena.judging.early_start = EarlyStart::Warning;
    let warned = fought(&arena);
    let count = |r: &Record, kind| r.events.iter().filter(|e| e.kind == kind).count();
    assert_eq!(warned.outcome.cause, Cause::FalseStart);
    assert_eq!(
        (
            count(&warned, EventKind::FalseStart),
            count(&warned, EventKind::Restart)
        ),
        (2, 2),
        "one warning, both put down anew, the second costs the round"
    );
    assert_eq!(warned.warnings, [0, 0], "used up");
    arena.start_delay_s = 0.0;
    assert_eq!(fought(&arena).outcome.cause, Cause::TimedOut);
}

#[test]
fn a_match_goes_to_the_points_and_carries_warnings_and_time() {
    let mut arena = arena();
    arena.no_progress_s = 60.0;
    let (robot, other) = (plain("driver"), plain("sleeper"));
    let out_at_once = [
        Scripted {
            spot: outward(),
            program: AHEAD,
        },
        Scripted {
            spot: outward(),
            program: STILL,
        },
    ];
    let record = match_of(
        &arena,
        sides([&robot, &other], &out_at_once),
        Stream::root(9),
    );
    assert_eq!((record.points, record.winner), ([0, 2], Some(1)));
    assert_eq!(record.rounds.len(), 2, "over with the second point");

    // Two sleepers: ties until the rounds are used up, then an extra one.
    let sleepers = [STILL; 2].map(|program| Scripted {
        spot: outward(),
        program,
    });
    arena.longest_s = 1.0;
    arena.match_rules.extension_s = 2.0;
    let level = match_of(&arena, sides([&robot, &other], &sleepers), Stream::root(9));
    let told: Vec<(f64, bool)> = level
        .rounds
        .iter()
        .map(|r| ((10.0 * r.time_s).round() / 10.0, r.extra))
        .collect();
    assert_eq!(
        told,
        [(1.0, false), (1.0, false), (1.0, false), (2.0, true)]
    );
    assert_eq!(level.winner, None);

    // The time of the match cuts the second round short, and there is no third.
    (arena.match_rules.time_s, arena.match_rules.extension_s) = (1.5, 0.0);
    let short = match_of(&arena, sides([&robot, &other], &sleepers), Stream::root(9));
    let times: Vec<f64> = short.rounds.iter().map(|r| r.time_s).collect();
    assert!(
        times.len() == 2 && (times[1] - 0.5).abs() < 0.03,
        "{times:?}"
    );

    // A warning in one round and one in another cost a round.
    (arena.match_rules.time_s, arena.match_rules.rounds) = (180.0, 20);
    (arena.start_delay_s, arena.judging.early_start) = (5.0, EarlyStart::Warning);
    let hasty = early(0.3);
    let warned = match_of(&arena, sides([&hasty, &other], &sleepers), Stream::root(9));
    let lost = (warned.rounds.iter())
        .filter(|r| r.outcome.cause == Cause::FalseStart)
        .count();
    assert_eq!((lost, warned.winner), (2, Some(1)), "{warned:?}");
    assert!(warned.rounds.len() > 2);
}
