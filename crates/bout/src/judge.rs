//! The judge: out, fallen over, standing still, no progress, time; and what each costs.

use glam::DVec2;
use rules::{OutWhen, Undecided};

use crate::arena::{Arena, Judging, Seat};
use crate::control::whole_ms;
use crate::grounds::{Ground, Grounds, Measure};
use crate::progress::Progress;
use crate::record::{Cause, End};

/// How far in m its nose must move for a robot to be seen to move. Common practice, no source:
/// smaller lets a robot that trembles on the spot pass for one that fights.
const MOVED_M: f64 = 0.005;

/// How much earlier in ms one of two robots must have come to a stand for the judge to say which
/// stood first. Common practice, no source.
const FIRST_BY_MS: u32 = 1000;

/// Height of the body's up axis below which a robot has fallen over: leaning more than 60°.
const FALLEN_UP: f64 = 0.5;

/// Time in ms it must have lain so. Common practice, no source: a robot that rights itself at once
/// has not fallen over.
const FALLEN_MS: u32 = 1000;

/// Share of the ring's radius by which one robot must have kept nearer to the middle for the
/// judges to prefer it. Books name "technical merit" (`OSHWDem` 2015, art. 14.3) and leave it to
/// their eye; holding the middle is our reading of it.
const NEARER_SHARE: f64 = 0.1;

/// What the judge says to the way the bout goes.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Ruling {
    /// Go on.
    GoOn,
    /// Nobody gets anywhere: both are put back.
    PutBack,
    /// The bout is over.
    Over(End, Cause),
}

/// What the judge sees of a robot.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Seen {
    /// Middle of its footprint.
    pub(crate) at: DVec2,
    /// A point in front of it, which moves when it turns.
    pub(crate) nose: DVec2,
    /// Height of the body's up axis: 1 level, −1 on its back.
    pub(crate) upright: f64,
}

/// The judge of one bout.
#[derive(Debug)]
pub(crate) struct Judge {
    rules: Judging,
    radius_m: f64,
    no_progress_ms: u32,
    longest_ms: u32,
    restarts_left: u32,
    progress: Progress,
    started_ms: u32,
    eyes: [Eye; 2],
    /// Warnings of both, those from rounds before included.
    warnings: [u32; 2],
}

/// What the judge keeps in mind of a robot.
#[derive(Debug, Clone, Copy, Default)]
struct Eye {
    /// Where its nose was when it last moved, and when that was.
    nose: Option<DVec2>,
    moved_ms: u32,
    /// Whether it has moved since the start.
    has_moved: bool,
    /// Since when it has lain on its side or back.
    fell_ms: Option<u32>,
    /// Sum of its distances from the centre, and of how many looks.
    distance_m: f64,
    looks: u32,
}

impl Eye {
    fn see(&mut self, now_ms: u32, seen: &Seen) {
        match self.nose {
            None => (self.nose, self.moved_ms) = (Some(seen.nose), now_ms),
            Some(nose) if nose.distance(seen.nose) > MOVED_M => {
                (self.nose, self.moved_ms) = (Some(seen.nose), now_ms);
                self.has_moved = true;
            }
            Some(_) => {}
        }
        if seen.upright >= FALLEN_UP {
            self.fell_ms = None;
        } else if self.fell_ms.is_none() {
            self.fell_ms = Some(now_ms);
        }
        self.distance_m += seen.at.length();
        self.looks += 1;
    }
}

impl Judge {
    /// A judge by the rules of this arena. `longest_s`: the time this bout may last, where a match
    /// leaves less than the class.
    pub(crate) fn new(arena: &Arena, longest_s: f64, warnings: [u32; 2]) -> Self {
        let no_progress_ms = whole_ms(arena.no_progress_s * 1000.0);
        Self {
            rules: arena.judging,
            radius_m: 0.5 * arena.ring.diameter_m,
            no_progress_ms,
            longest_ms: whole_ms(longest_s * 1000.0),
            restarts_left: arena.restarts,
            progress: Progress::new(no_progress_ms),
            started_ms: 0,
            eyes: [Eye::default(); 2],
            warnings,
        }
    }

    /// When a robot is out.
    pub(crate) fn out_when(&self) -> OutWhen {
        self.rules.out
    }

    /// Who is out, from who is out by the class's rule in this millisecond. Both in the same one is
    /// a tie: no judge can tell.
    pub(crate) fn out(are_out: [bool; 2]) -> Option<End> {
        match are_out {
            [false, false] => None,
            [true, false] => Some(End::Out { loser: 0 }),
            [false, true] => Some(End::Out { loser: 1 }),
            [true, true] => Some(End::Tie),
        }
    }

    /// Warns a side; whether this warning costs the round (and with it all of its warnings).
    pub(crate) fn warn(&mut self, seat: Seat) -> bool {
        self.warnings[seat] += 1;
        if self.warnings[seat] < self.rules.warnings {
            return false;
        }
        self.warnings[seat] = 0;
        true
    }

    /// Warnings that have not yet cost a round.
    pub(crate) fn warnings(&self) -> [u32; 2] {
        self.warnings
    }

    /// Both robots have been put down and may move from `now_ms` on.
    pub(crate) fn start(&mut self, now_ms: u32) {
        self.started_ms = now_ms;
        self.eyes = [Eye::default(); 2];
        self.progress.forget(now_ms);
    }

    /// Looks at the clock (from the first permitted motion, restarts included), at both robots, and
    /// at whether they have touched since the last look. To be called at even intervals much
    /// shorter than the no-progress time.
    pub(crate) fn look(&mut self, now_ms: u32, seen: [Seen; 2], touched: bool) -> Ruling {
        for (eye, seen) in self.eyes.iter_mut().zip(&seen) {
            eye.see(now_ms, seen);
        }
        if now_ms >= self.longest_ms {
            return Ruling::Over(self.undecided(self.rules.time_up), Cause::TimedOut).by_decision();
        }
        if self.rules.fallen_loses
            && let Some(loser) = self.only(|e| {
                e.fell_ms
                    .is_some_and(|fell| now_ms.saturating_sub(fell) >= FALLEN_MS)
            })
        {
            return Ruling::Over(End::Ruled { loser }, Cause::Tipped);
        }
        if let Some(within_s) = self.rules.move_within_s
            && now_ms.saturating_sub(self.started_ms) >= whole_ms(within_s * 1000.0)
            && let Some(loser) = self.only(|e| !e.has_moved)
        {
            return Ruling::Over(End::Ruled { loser }, Cause::StoodStill);
        }
        if self.progress.any(now_ms, seen.map(|s| s.at), touched) {
            return Ruling::GoOn;
        }
        self.progress.forget(now_ms);
        if self.rules.stood_first_loses && !touched {
            let stood = |e: &Eye| now_ms.saturating_sub(e.moved_ms);
            let [a, b] = [0, 1].map(|i: Seat| stood(&self.eyes[i]));
            let both = a.min(b) + FIRST_BY_MS >= self.no_progress_ms;
            if both && a.abs_diff(b) >= FIRST_BY_MS {
                let loser = usize::from(b > a);
                return Ruling::Over(End::Ruled { loser }, Cause::StoodStill);
            }
        }
        if self.restarts_left == 0 {
            return Ruling::Over(self.undecided(self.rules.stuck), Cause::Stuck).by_decision();
        }
        self.restarts_left -= 1;
        Ruling::PutBack
    }

    /// The one robot of which `is` holds, if it holds of just one.
    fn only(&self, is: impl Fn(&Eye) -> bool) -> Option<Seat> {
        let [a, b] = [0, 1].map(|i: Seat| is(&self.eyes[i]));
        (a != b).then_some(usize::from(b))
    }

    /// The end of a bout nobody has won. Where the judges decide, fewer warnings come first, then
    /// who kept nearer to the middle since the last start.
    fn undecided(&self, rule: Undecided) -> End {
        if rule == Undecided::Tie {
            return End::Tie;
        }
        let [a, b] = self.warnings;
        if a != b {
            let loser = usize::from(b > a);
            return End::Ruled { loser };
        }
        let [a, b] = self.mean_distances_m();
        if (a - b).abs() < NEARER_SHARE * self.radius_m {
            return End::Tie;
        }
        let loser = usize::from(b > a);
        End::Ruled { loser }
    }

    /// Mean distance of both from the centre since the last start, in m.
    fn mean_distances_m(&self) -> [f64; 2] {
        self.eyes.map(|e| e.distance_m / f64::from(e.looks.max(1)))
    }

    /// What decided that this end has this cause.
    pub(crate) fn grounds(&self, now_ms: u32, end: End, cause: Cause) -> Grounds {
        let now_s = f64::from(now_ms) / 1000.0;
        let no_progress_s = f64::from(self.no_progress_ms) / 1000.0;
        let grounds = match (end, cause) {
            (End::Ruled { loser }, Cause::StoodStill) => {
                let within_s = self.rules.move_within_s.unwrap_or(no_progress_s);
                vec![Ground::of(
                    Measure::Stood,
                    self.stood_s(now_ms)[loser],
                    within_s,
                )]
            }
            (End::Ruled { loser }, Cause::Decision) => {
                let means = self.mean_distances_m();
                vec![Ground::of(
                    Measure::FromCentre,
                    means[loser],
                    means[1 - loser],
                )]
            }
            (_, Cause::TimedOut) => {
                let most_s = f64::from(self.longest_ms) / 1000.0;
                vec![Ground::of(Measure::Time, now_s, most_s)]
            }
            (_, Cause::Stuck) => vec![Ground::alone(Measure::NoProgress, no_progress_s)],
            _ => Vec::new(),
        };
        Grounds::of(&grounds)
    }

    /// Time in s for which each has not moved at `now_ms`.
    fn stood_s(&self, now_ms: u32) -> [f64; 2] {
        self.eyes
            .map(|e| f64::from(now_ms.saturating_sub(e.moved_ms)) / 1000.0)
    }
}

impl Ruling {
    /// The same, with the judges' decision for the cause if somebody lost by it.
    fn by_decision(self) -> Self {
        match self {
            Self::Over(End::Ruled { loser }, _) => {
                Self::Over(End::Ruled { loser }, Cause::Decision)
            }
            other => other,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::tests::scenery;
    use quantity::maths;

    /// When, and how often, the judge of `arena` steps in while both robots are where `places` says
    /// (seconds to m); each points along x and stands on its wheels.
    fn rulings_in(
        arena: &Arena,
        touched: bool,
        places: impl Fn(f64) -> [[f64; 2]; 2],
    ) -> Vec<(u32, Ruling)> {
        rulings_seen(arena, touched, |t| {
            places(t).map(DVec2::from_array).map(|at| Seen {
                at,
                nose: at + DVec2::X * 0.05,
                upright: 1.0,
            })
        })
    }

    fn rulings_seen(
        arena: &Arena,
        touched: bool,
        seen: impl Fn(f64) -> [Seen; 2],
    ) -> Vec<(u32, Ruling)> {
        let mut judge = Judge::new(arena, arena.longest_s, [0; 2]);
        let mut said = Vec::new();
        for now_ms in (10..=30_000).step_by(10) {
            let ruling = judge.look(now_ms, seen(f64::from(now_ms) / 1000.0), touched);
            if ruling != Ruling::GoOn {
                said.push((now_ms, ruling));
            }
            if matches!(ruling, Ruling::Over(..)) {
                break;
            }
        }
        said
    }

    fn patient() -> Arena {
        let mut arena = scenery::arena();
        (arena.no_progress_s, arena.restarts, arena.longest_s) = (5.0, 1, 30.0);
        arena
    }

    fn rulings(touched: bool, places: impl Fn(f64) -> [[f64; 2]; 2]) -> Vec<(u32, Ruling)> {
        rulings_in(&patient(), touched, places)
    }

    const STUCK: Ruling = Ruling::Over(End::Tie, Cause::Stuck);
    const TIME_UP: Ruling = Ruling::Over(End::Tie, Cause::TimedOut);

    fn lost(loser: Seat, cause: Cause) -> Ruling {
        Ruling::Over(End::Ruled { loser }, cause)
    }

    /// Put back once after 5 s, called off 5 s later.
    const NOWHERE: [(u32, Ruling); 2] = [(5000, Ruling::PutBack), (10_000, STUCK)];

    fn circle(r: f64, period_s: f64, t: f64) -> [f64; 2] {
        let a = maths::TAU * t / period_s;
        [r * maths::cos(a), r * maths::sin(a)]
    }

    #[test]
    fn standing_still_is_put_back_once_and_then_ends_the_bout() {
        assert_eq!(rulings(false, |_| [[-0.1, 0.0], [0.1, 0.0]]), NOWHERE);
    }

    #[test]
    fn spinning_on_the_spot_and_circling_round_each_other_get_nowhere() {
        assert_eq!(
            rulings(false, |t| [circle(0.02, 0.5, t), [0.2, 0.0]]),
            NOWHERE
        );
        for period_s in [0.7, 1.65, 2.4] {
            let round = |t| [circle(0.08, period_s, t), circle(-0.08, period_s, t)];
            assert_eq!(rulings(true, round), NOWHERE, "{period_s}");
        }
    }

    #[test]
    fn entangled_robots_may_wander_a_little_while_they_circle() {
        let wander = |speed: f64| {
            move |t: f64| {
                [0.08, -0.08].map(|r| {
                    let [x, y] = circle(r, 1.65, t);
                    [x + speed * t, y]
                })
            }
        };
        assert_eq!(rulings(true, wander(0.004)), NOWHERE);
        assert_eq!(rulings(true, wander(0.015)), [(30_000, TIME_UP)]);
        assert_eq!(
            rulings(false, wander(0.004)),
            [(30_000, TIME_UP)],
            "without touching"
        );
    }

    #[test]
    fn a_slow_push_is_progress_until_the_time_is_up() {
        let creeping = rulings(true, |t| [[-0.1 + 0.003 * t, 0.0], [0.003 * t, 0.0]]);
        assert_eq!(creeping, [(30_000, TIME_UP)], "7.5 mm in half the time");
        let stuck = rulings(true, |t| [[-0.1 + 0.001 * t, 0.0], [0.001 * t, 0.0]]);
        assert_eq!(stuck, NOWHERE, "2.5 mm in half the time");
    }

    #[test]
    fn one_robot_driving_about_is_progress() {
        let about = |t: f64| {
            [
                [0.2 * maths::sin(0.9 * t), 0.1 * maths::cos(0.4 * t)],
                [0.1, 0.0],
            ]
        };
        assert_eq!(rulings(false, about), [(30_000, TIME_UP)]);
    }

    #[test]
    fn standing_still_counts_from_the_last_progress() {
        let said = rulings(false, |t| [[0.1 * t.min(3.0), 0.0], [0.1, 0.0]]);
        assert_eq!(said[0].1, Ruling::PutBack);
        assert!((7500..=8500).contains(&said[0].0), "{said:?}");
    }

    #[test]
    fn who_stood_first_loses_where_the_class_says_so() {
        let mut arena = patient();
        // Seat 1 stands from the start, seat 0 drives about for three seconds first.
        let places = |t: f64| [[0.1 * t.min(3.0) - 0.3, 0.0], [0.1, 0.0]];
        let put_back = rulings_in(&arena, false, places)[0].1;
        assert_eq!(put_back, Ruling::PutBack, "not in every class");
        arena.judging.stood_first_loses = true;
        assert_eq!(
            rulings_in(&arena, false, places)[0].1,
            lost(1, Cause::StoodStill)
        );
        // Both from the start: nobody stood first; in touch: a deadlock.
        assert_eq!(
            rulings_in(&arena, false, |_| [[-0.1, 0.0], [0.1, 0.0]]),
            NOWHERE
        );
        assert_eq!(rulings_in(&arena, true, places)[0].1, Ruling::PutBack);
        // One spins on the spot: it gets nowhere, but it does not stand.
        let spin = |t: f64| {
            let still = Seen {
                at: DVec2::new(0.1, 0.0),
                nose: DVec2::new(0.15, 0.0),
                upright: 1.0,
            };
            let nose = DVec2::from_array(circle(0.05, 0.5, t));
            let at = DVec2::ZERO;
            [Seen { at, nose, ..still }, still]
        };
        assert_eq!(rulings_seen(&arena, false, spin)[0].1, Ruling::PutBack);
    }

    #[test]
    fn under_a_remote_a_robot_that_has_not_moved_in_time_loses() {
        let mut arena = patient();
        arena.judging.move_within_s = Some(2.0);
        let drives = |t: f64| [[0.05 * t, 0.0], [0.3, 0.0]];
        let told = rulings_in(&arena, false, drives);
        assert_eq!(told, [(2000, lost(1, Cause::StoodStill))]);
        let nobody = rulings_in(&arena, false, |_| [[-0.1, 0.0], [0.1, 0.0]]);
        assert_eq!(nobody, NOWHERE, "neither has");
        // Moved just in time, and never again.
        let twitch = |t: f64| [[0.05 * t, 0.0], [if t > 1.9 { 0.31 } else { 0.3 }, 0.0]];
        assert_eq!(rulings_in(&arena, false, twitch), [(30_000, TIME_UP)]);
    }

    #[test]
    fn who_lies_for_a_second_loses_where_the_class_says_so() {
        let mut arena = patient();
        let lies = |from: f64, to: f64| {
            move |t: f64| {
                [0.0, 0.1].map(|y| Seen {
                    at: DVec2::new(0.05 * t, y),
                    nose: DVec2::new(0.05 * t + 0.05, y),
                    upright: if y > 0.0 && (from..to).contains(&t) {
                        0.1
                    } else {
                        1.0
                    },
                })
            }
        };
        assert_eq!(
            rulings_seen(&arena, false, lies(3.0, 99.0)),
            [(30_000, TIME_UP)]
        );
        arena.judging.fallen_loses = true;
        assert_eq!(
            rulings_seen(&arena, false, lies(3.0, 99.0)),
            [(4000, lost(1, Cause::Tipped))]
        );
        assert_eq!(
            rulings_seen(&arena, false, lies(3.0, 3.9)),
            [(30_000, TIME_UP)],
            "back on its wheels"
        );
    }

    #[test]
    fn where_judges_decide_warnings_come_first_and_then_the_middle() {
        let mut arena = patient();
        (arena.restarts, arena.judging.stuck) = (0, Undecided::Decision);
        let decided = |arena: &Arena, warnings, x: f64| {
            let mut judge = Judge::new(arena, arena.longest_s, warnings);
            let seen = [[-x, 0.0], [0.1, 0.0]]
                .map(DVec2::from_array)
                .map(|at| Seen {
                    at,
                    nose: at,
                    upright: 1.0,
                });
            (1..=3000)
                .map(|k| judge.look(k * 10, seen, false))
                .find(|r| matches!(r, Ruling::Over(..)))
        };
        assert_eq!(
            decided(&arena, [0; 2], 0.2),
            Some(lost(0, Cause::Decision)),
            "farther out"
        );
        assert_eq!(
            decided(&arena, [0, 1], 0.2),
            Some(lost(1, Cause::Decision)),
            "warned"
        );
        // A tenth of the radius is 38.5 mm.
        assert_eq!(decided(&arena, [0; 2], 0.138), Some(STUCK));
        arena.judging.stuck = Undecided::Tie;
        assert_eq!(decided(&arena, [0; 2], 0.2), Some(STUCK));
    }

    #[test]
    fn warnings_add_up_to_a_lost_round_and_begin_anew() {
        let mut judge = Judge::new(&patient(), 30.0, [0, 1]);
        assert!(!judge.warn(0));
        assert!(judge.warn(1), "one from the round before");
        assert_eq!(judge.warnings(), [1, 0]);
    }

    #[test]
    fn touching_the_floor_loses_and_both_at_once_is_a_tie() {
        assert_eq!(Judge::out([false, false]), None);
        assert_eq!(Judge::out([true, false]), Some(End::Out { loser: 0 }));
        assert_eq!(Judge::out([false, true]), Some(End::Out { loser: 1 }));
        assert_eq!(Judge::out([true, true]), Some(End::Tie));
    }
}
