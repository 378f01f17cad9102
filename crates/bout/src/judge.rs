//! The judge: out, no progress, time; and bouts folded into a match.

use glam::DVec2;

use crate::arena::Arena;
use crate::control::whole_ms;
use crate::record::End;

/// How far in m a robot must shift within half of the no-progress time to get anywhere. Rulebooks
/// leave it to the judge's eye; common practice, no source.
const PROGRESS_M: f64 = 0.005;

/// Share of the room they take that entangled robots must shift besides: a judge sees two robots
/// turning about each other get nowhere even if the middle of it wanders a little.
const ENTANGLED_SHARE: f64 = 0.1;

/// Parts into which the no-progress time is cut; an even number.
const PARTS: u16 = 10;

/// What the judge says to the way the bout goes.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Ruling {
    /// Go on.
    GoOn,
    /// Nobody gets anywhere: both are put back.
    PutBack,
    /// Nobody gets anywhere, and the restarts are used up.
    Stuck,
    /// The time is up.
    TimeUp,
}

/// The judge of one bout.
#[derive(Debug)]
pub(crate) struct Judge {
    longest_ms: u32,
    restarts_left: u32,
    progress: Progress,
}

impl Judge {
    /// A judge by the rules of this arena.
    pub(crate) fn new(arena: &Arena) -> Self {
        Self {
            longest_ms: whole_ms(arena.longest_s * 1000.0),
            restarts_left: arena.restarts,
            progress: Progress::new(whole_ms(arena.no_progress_s * 1000.0)),
        }
    }

    /// Who is out, from who touches the floor outside in this millisecond. Both in the same one
    /// is a tie: no judge can tell. Turning over alone does not lose.
    pub(crate) fn out(on_floor: [bool; 2]) -> Option<End> {
        match on_floor {
            [false, false] => None,
            [true, false] => Some(End::Out { loser: 0 }),
            [false, true] => Some(End::Out { loser: 1 }),
            [true, true] => Some(End::Tie),
        }
    }

    /// Looks at the clock (from the first permitted motion, restarts included), at where both
    /// robots are, and at whether they have touched since the last look. To be called at even
    /// intervals much shorter than the no-progress time.
    pub(crate) fn look(&mut self, now_ms: u32, at: [DVec2; 2], touched: bool) -> Ruling {
        if now_ms >= self.longest_ms {
            return Ruling::TimeUp;
        }
        if self.progress.any(now_ms, at, touched) {
            return Ruling::GoOn;
        }
        self.progress.forget(now_ms);
        if self.restarts_left == 0 {
            return Ruling::Stuck;
        }
        self.restarts_left -= 1;
        Ruling::PutBack
    }
}

/// Whether anybody gets anywhere.
///
/// Compared are the boxes that hold each robot's places in the earlier and in the later half of
/// the no-progress time. Standing still, shoving in a deadlock, spinning on the spot and circling
/// round each other leave them as they were; driving about and a slow push do not.
#[derive(Debug)]
struct Progress {
    part_ms: u32,
    part_ends_ms: u32,
    /// The part under way.
    part: Part,
    /// The parts before, the oldest overwritten first.
    parts: [Part; PARTS as usize],
    count: usize,
}

/// Where both robots were in one part of the time.
#[derive(Debug, Clone, Copy)]
struct Part {
    boxes: [Room; 2],
    touched: bool,
}

/// A box that holds places.
#[derive(Debug, Clone, Copy)]
struct Room {
    least: DVec2,
    most: DVec2,
}

impl Room {
    const EMPTY: Self = Self {
        least: DVec2::INFINITY,
        most: DVec2::NEG_INFINITY,
    };

    fn with(self, other: Self) -> Self {
        Self {
            least: self.least.min(other.least),
            most: self.most.max(other.most),
        }
    }

    /// Largest shift of any side to `later`.
    fn shift(&self, later: &Self) -> f64 {
        let (a, b) = (
            (self.least - later.least).abs(),
            (self.most - later.most).abs(),
        );
        a.max_element().max(b.max_element())
    }

    fn size(&self) -> f64 {
        (self.most - self.least).max_element()
    }
}

impl Part {
    const EMPTY: Self = Self {
        boxes: [Room::EMPTY; 2],
        touched: false,
    };
}

impl Progress {
    fn new(no_progress_ms: u32) -> Self {
        let part_ms = (no_progress_ms / u32::from(PARTS)).max(20);
        Self {
            part_ms,
            part_ends_ms: part_ms,
            part: Part::EMPTY,
            parts: [Part::EMPTY; PARTS as usize],
            count: 0,
        }
    }

    /// Starts the time afresh.
    fn forget(&mut self, now_ms: u32) {
        (self.part, self.count) = (Part::EMPTY, 0);
        self.part_ends_ms = now_ms + self.part_ms;
    }

    /// Takes in places; false when a full no-progress time has led nowhere.
    fn any(&mut self, now_ms: u32, at: [DVec2; 2], touched: bool) -> bool {
        for (room, at) in self.part.boxes.iter_mut().zip(at) {
            *room = room.with(Room {
                least: at,
                most: at,
            });
        }
        self.part.touched |= touched;
        if now_ms < self.part_ends_ms {
            return true;
        }
        let all = self.parts.len();
        self.parts[self.count % all] = std::mem::replace(&mut self.part, Part::EMPTY);
        self.part_ends_ms += self.part_ms;
        self.count += 1;
        self.count < all || self.shifted()
    }

    /// Whether either robot has shifted between the two halves of the time.
    fn shifted(&self) -> bool {
        let all = self.parts.len();
        let entangled = self.parts.iter().all(|p| p.touched);
        let half = |seat: usize, from: usize| {
            (from..from + all / 2)
                .map(|k| self.parts[(self.count + k) % all].boxes[seat])
                .fold(Room::EMPTY, Room::with)
        };
        (0..2).any(|seat| {
            let (earlier, later) = (half(seat, 0), half(seat, all / 2));
            let share = if entangled { ENTANGLED_SHARE } else { 0.0 };
            earlier.shift(&later) > PROGRESS_M + share * earlier.size()
        })
    }
}

/// A match between two sides: bouts until one has the points the class asks for.
///
/// A won bout is a point; a tie is none. Sides, not seats: the sides may change seats between
/// bouts.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Match {
    to_win: u32,
    points: [u32; 2],
    bouts: u32,
}

impl Match {
    /// A match to `to_win` points in which no bout has been fought. 0 counts as 1.
    #[must_use]
    pub fn to(to_win: u32) -> Self {
        Self {
            to_win: to_win.max(1),
            points: [0; 2],
            bouts: 0,
        }
    }

    /// The match after one more bout; once it is decided, bouts change nothing.
    #[must_use]
    pub fn after(self, winner: Option<usize>) -> Self {
        if self.winner().is_some() {
            return self;
        }
        let mut points = self.points;
        if let Some(p) = winner.and_then(|w| points.get_mut(w)) {
            *p += 1;
        }
        Self {
            points,
            bouts: self.bouts + 1,
            ..self
        }
    }

    /// The side that has the points, if one has.
    #[must_use]
    pub fn winner(&self) -> Option<usize> {
        self.points.iter().position(|&p| p >= self.to_win)
    }

    /// Points of both sides.
    #[must_use]
    pub fn points(&self) -> [u32; 2] {
        self.points
    }

    /// Bouts fought, ties included.
    #[must_use]
    pub fn bouts(&self) -> u32 {
        self.bouts
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::tests::scenery;
    use quantity::maths;

    /// When, and how often, the judge steps in while both robots are where `places` says
    /// (seconds to m).
    fn rulings(touched: bool, places: impl Fn(f64) -> [[f64; 2]; 2]) -> Vec<(u32, Ruling)> {
        let mut arena = scenery::arena();
        (arena.no_progress_s, arena.restarts, arena.longest_s) = (5.0, 1, 30.0);
        let mut judge = Judge::new(&arena);
        let mut said = Vec::new();
        for now_ms in (10..=30_000).step_by(10) {
            let at = places(f64::from(now_ms) / 1000.0).map(DVec2::from_array);
            let ruling = judge.look(now_ms, at, touched);
            if ruling != Ruling::GoOn {
                said.push((now_ms, ruling));
            }
            if matches!(ruling, Ruling::Stuck | Ruling::TimeUp) {
                break;
            }
        }
        said
    }

    /// Put back once after 5 s, called off 5 s later.
    const NOWHERE: [(u32, Ruling); 2] = [(5000, Ruling::PutBack), (10_000, Ruling::Stuck)];

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
        assert_eq!(rulings(true, wander(0.015)), [(30_000, Ruling::TimeUp)]);
        assert_eq!(
            rulings(false, wander(0.004)),
            [(30_000, Ruling::TimeUp)],
            "without touching"
        );
    }

    #[test]
    fn a_slow_push_is_progress_until_the_time_is_up() {
        let creeping = rulings(true, |t| [[-0.1 + 0.003 * t, 0.0], [0.003 * t, 0.0]]);
        assert_eq!(
            creeping,
            [(30_000, Ruling::TimeUp)],
            "7.5 mm in half the time"
        );
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
        assert_eq!(rulings(false, about), [(30_000, Ruling::TimeUp)]);
    }

    #[test]
    fn standing_still_counts_from_the_last_progress() {
        let said = rulings(false, |t| [[0.1 * t.min(3.0), 0.0], [0.1, 0.0]]);
        assert_eq!(said[0].1, Ruling::PutBack);
        assert!((7500..=8500).contains(&said[0].0), "{said:?}");
    }

    #[test]
    fn touching_the_floor_loses_and_both_at_once_is_a_tie() {
        assert_eq!(Judge::out([false, false]), None);
        assert_eq!(Judge::out([true, false]), Some(End::Out { loser: 0 }));
        assert_eq!(Judge::out([false, true]), Some(End::Out { loser: 1 }));
        assert_eq!(Judge::out([true, true]), Some(End::Tie));
    }

    #[test]
    fn best_of_three_ends_with_the_second_win() {
        let fold = |bouts: &[Option<usize>]| bouts.iter().fold(Match::to(2), |m, &w| m.after(w));
        assert_eq!(fold(&[]).winner(), None);
        assert_eq!(fold(&[Some(0), Some(1)]).winner(), None);
        assert_eq!(fold(&[Some(0), Some(1), Some(1)]).winner(), Some(1));
        assert_eq!(fold(&[Some(0), None, None, Some(0)]).winner(), Some(0));
        let over = fold(&[Some(0), Some(0), Some(1), Some(1), Some(1)]);
        assert_eq!(
            (over.winner(), over.points(), over.bouts()),
            (Some(0), [2, 0], 2)
        );
    }

    #[test]
    fn a_best_of_three_is_won_with_the_binomial_chance() {
        // p²(3 − 2p) over all sequences of three bouts, p = 1/2: each counts 1/8.
        let mut won = 0;
        for mask in 0..8_usize {
            let m = (0..3).fold(Match::to(2), |m, k| m.after(Some((mask >> k) & 1)));
            won += m.winner().expect("three bouts decide");
        }
        assert_eq!(won, 4);
    }
}
