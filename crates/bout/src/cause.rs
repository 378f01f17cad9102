//! Why a robot went out, from short facts about its last seconds.
//!
//! A cause is a claim that can be tested by undoing it, so it names the one thing that stood at
//! the beginning of the loss. All thresholds are documented constants: common practice, no source,
//! unless said otherwise.

use glam::DVec2;
use quantity::maths;

use crate::grounds::{Ground, Grounds, Measure};
use crate::record::Cause;

/// Coming this much nearer to the centre again, in m, counts as having got back.
const GOT_BACK_M: f64 = 0.010;
/// Way in m within which a robot counts as standing still before its last way out.
const STILL_M: f64 = 0.003;
/// Touch within this time in ms before the end makes it possible that it was pushed.
const CONTACT_BEFORE_MS: u32 = 500;
/// Share of the outward speed that the opponent's push must account for; below it the robot drove
/// out by itself.
const PUSHED_SHARE: f64 = 0.5;
/// Outward speed in m/s below which any push at all accounts for it.
const SLOW_M_S: f64 = 0.05;
/// Share of the robot's weight on the opponent from which it counts as lifted.
pub(crate) const LIFTED_SHARE: f64 = 0.25;
/// Angle off the nose in rad from which a push comes from the side: 60°.
const FROM_SIDE_RAD: f64 = maths::PI / 3.0;
/// Mean forward effort (−1 to 1) from which a program drives against a push from the front.
const DRIVES_AGAINST: f64 = 0.25;
/// Mean effort (−1 to 1) in the direction of travel from which a program drives on over a border it
/// has seen; one that brakes, turns back or pivots asks for less, however slowly it drove before.
const DRIVES_ON: f64 = 0.1;
/// Height of the body's up axis below which it counts as turned over: leaning more than 60°.
const TURNED_OVER: f64 = 0.5;
/// The same as an angle in rad.
const LEANS_RAD: f64 = maths::PI / 3.0;
/// Share of a stretch of time that makes something the rule in it.
const MOSTLY: f64 = 0.5;
/// Time in ms after an edge sensor saw the border within which no program can be blamed.
const REACTION_MS: u32 = 100;
/// Deceleration in m/s² a braking robot can count on: grip 0.6.
const BRAKING_M_S2: f64 = 6.0;

/// What is noted of a robot every 10 ms.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub(crate) struct Fact {
    /// Time in ms from the first permitted motion.
    pub(crate) time_ms: u32,
    /// Where the middle of its footprint is, in m from the ring's centre.
    pub(crate) at: DVec2,
    /// Speed away from the centre in m/s.
    pub(crate) outward_m_s: f64,
    /// Speed along its own nose in m/s.
    pub(crate) forward_m_s: f64,
    /// Height of the body's up axis: 1 level, 0 on its side, −1 on its back.
    pub(crate) upright: f64,
    /// Whether the opponent touched it since the fact before.
    pub(crate) touched: bool,
    /// The opponent's push on it since the fact before, over its mass, in its own axes: m/s.
    pub(crate) push_m_s: DVec2,
    /// The part of that push that goes away from the centre, m/s.
    pub(crate) push_out_m_s: f64,
    /// The same as a force, N.
    pub(crate) push_out_n: f64,
    /// What its tyres can hold at their loads, N.
    pub(crate) hold_n: f64,
    /// Share of its weight on the opponent.
    pub(crate) borne: f64,
    /// Whether its driven tyres slide.
    pub(crate) sliding: bool,
    /// Whether its motors stall.
    pub(crate) stalled: bool,
    /// Mean effort of both sides, −1 to 1.
    pub(crate) effort: f64,
    /// Whether an edge sensor on the side it moves to last read the border.
    pub(crate) edge_ahead: bool,
    /// Whether its program has seen the opponent since it was put down, false alarms aside.
    pub(crate) saw: bool,
}

impl Fact {
    fn distance_m(&self) -> f64 {
        self.at.length()
    }
}

/// Facts kept: ten seconds.
const KEPT: usize = 1000;

/// The last facts about a robot, oldest overwritten first.
#[derive(Debug)]
pub(crate) struct Trail {
    facts: Vec<Fact>,
    next: usize,
}

/// The cause of a loss, and when and where it was decided.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Blame {
    pub(crate) cause: Cause,
    pub(crate) grounds: Grounds,
    pub(crate) decided_ms: u32,
    pub(crate) at: DVec2,
}

impl Blame {
    fn on(cause: Cause, grounds: &[Ground], decided: &Fact) -> Self {
        Self {
            cause,
            grounds: Grounds::of(grounds),
            decided_ms: decided.time_ms,
            at: decided.at,
        }
    }
}

/// Something that broke on a robot.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Mishap {
    pub(crate) cause: Cause,
    pub(crate) ground: Ground,
    pub(crate) at_ms: u32,
    /// Whether it stays broken; otherwise it comes back to itself.
    pub(crate) lasts: bool,
}

/// Time in ms before the deciding moment within which a controller that started anew explains what
/// came of it: it boots for some tenths of a second and has then to find the other again.
const RECOVERY_MS: u32 = 1500;

impl Mishap {
    /// Whether it stands at the beginning of this loss.
    pub(crate) fn explains(&self, blame: &Blame) -> bool {
        let after = blame.decided_ms.saturating_sub(RECOVERY_MS);
        if self.lasts {
            self.at_ms <= blame.decided_ms
        } else {
            self.at_ms >= after
        }
    }

    /// The blame with this for its cause.
    pub(crate) fn instead_of(&self, blame: &Blame) -> Blame {
        Blame {
            cause: self.cause,
            grounds: Grounds::of(&[self.ground]),
            ..*blame
        }
    }
}

impl Trail {
    pub(crate) fn new() -> Self {
        Self {
            facts: Vec::with_capacity(KEPT),
            next: 0,
        }
    }

    pub(crate) fn push(&mut self, fact: Fact) {
        if self.facts.len() < KEPT {
            self.facts.push(fact);
        } else {
            self.facts[self.next] = fact;
        }
        self.next = (self.next + 1) % KEPT;
    }

    pub(crate) fn clear(&mut self) {
        self.facts.clear();
        self.next = 0;
    }

    /// The facts, oldest first.
    fn in_order(&self) -> Vec<Fact> {
        let full = self.facts.len() == KEPT;
        let (newer, older) = self.facts.split_at(if full { self.next } else { 0 });
        older.iter().chain(newer).copied().collect()
    }

    /// Why this robot went out over a rim `rim_m` from the centre.
    ///
    /// 1. Walking back from the end, its *last way out* begins at the latest moment at which it
    ///    was as near to the centre as it ever was again, unless it has come back by 10 mm since.
    /// 2. It was *pushed* if it was touched in the last half second and the opponent's push
    ///    accounts for half of the fastest outward speed on that way; else it drove by itself.
    /// 3. Pushed: turned over, had never seen the opponent, lifted, taken from the side, gave
    ///    way, tyres slid or motors stalled: the first that holds for most of the push.
    /// 4. By itself: whether an edge sensor on that side saw the border, and what the program did.
    pub(crate) fn blame(&self, rim_m: f64) -> Blame {
        let facts = self.in_order();
        let way = last_way_out(&facts);
        let (Some(first), Some(last)) = (way.first(), way.last()) else {
            return Blame::on(Cause::EdgeUnseen, &[], &Fact::default());
        };
        let since = last.time_ms.saturating_sub(CONTACT_BEFORE_MS);
        let touched = way.iter().any(|f| f.touched && f.time_ms >= since);
        let push: f64 = way.iter().map(|f| f.push_out_m_s).sum();
        let fastest = way.iter().map(|f| f.outward_m_s).fold(0.0, f64::max);
        let pushed =
            touched && push > 0.0 && (fastest < SLOW_M_S || push >= PUSHED_SHARE * fastest);
        if mostly(way, |f| f.upright < TURNED_OVER) {
            let leans =
                |f: &Fact| maths::atan2((1.0 - f.upright * f.upright).max(0.0).sqrt(), f.upright);
            let lean = Ground::of(Measure::Lean, mean(way, leans), LEANS_RAD);
            Blame::on(Cause::Tipped, &[lean], first)
        } else if pushed {
            let unseen_ms = last.time_ms - facts[0].time_ms;
            let (cause, grounds) = pushed_out(way, f64::from(unseen_ms) / 1000.0);
            Blame::on(cause, &grounds, first)
        } else {
            drove_out(way, rim_m)
        }
    }
}

/// The facts from the moment on from which the robot never got back nearer to the centre.
fn last_way_out(facts: &[Fact]) -> &[Fact] {
    let mut nearest = f64::INFINITY;
    let mut begin = facts.len();
    for (i, f) in facts.iter().enumerate().rev() {
        if f.distance_m() > nearest + GOT_BACK_M {
            break;
        }
        nearest = nearest.min(f.distance_m());
        begin = i;
    }
    let turn = |f: &Fact| f.distance_m() <= nearest + STILL_M;
    let last_still = facts[begin..].iter().rposition(turn).unwrap_or(0);
    &facts[begin + last_still..]
}

/// Whether `is` holds for at least half of the facts.
fn mostly(facts: &[Fact], is: impl Fn(&Fact) -> bool) -> bool {
    let count = facts.iter().filter(|f| is(f)).count();
    !facts.is_empty() && count as f64 >= MOSTLY * facts.len() as f64
}

/// Mean of `what` over the facts; 0 without any.
fn mean(facts: &[Fact], what: impl Fn(&Fact) -> f64) -> f64 {
    facts.iter().map(what).sum::<f64>() / facts.len().max(1) as f64
}

/// The cause when the opponent pushed it out, and what speaks for it. `unseen_s`: how long it may
/// not have seen the opponent.
fn pushed_out(way: &[Fact], unseen_s: f64) -> (Cause, Vec<Ground>) {
    let contact: Vec<Fact> = way.iter().filter(|f| f.touched).copied().collect();
    let (mut from_side, mut all) = (0.0, 0.0);
    for f in &contact {
        // A push back along −x comes from the nose.
        let off_nose = maths::atan2(f.push_m_s.y, -f.push_m_s.x).abs();
        let strength = f.push_m_s.length();
        all += strength;
        if off_nose > FROM_SIDE_RAD {
            from_side += strength;
        }
    }
    let effort = mean(&contact, |f| f.effort);
    let share = |is: &dyn Fn(&Fact) -> bool| mean(&contact, |f| f64::from(u8::from(is(f))));
    let sliding = share(&|f| f.sliding);
    let stalled = share(&|f| f.stalled && !f.sliding);
    let push = Ground::of(
        Measure::Push,
        mean(&contact, |f| f.push_out_n),
        mean(&contact, |f| f.hold_n),
    );
    if !way.last().is_some_and(|f| f.saw) {
        let unseen = Ground::alone(Measure::Unseen, unseen_s);
        (Cause::NeverSaw, vec![unseen, push])
    } else if mostly(&contact, |f| f.borne > LIFTED_SHARE) {
        let borne = Ground::of(Measure::Borne, mean(&contact, |f| f.borne), LIFTED_SHARE);
        (Cause::Lifted, vec![borne, push])
    } else if from_side >= MOSTLY * all {
        let side = Ground::of(Measure::FromSide, from_side / all.max(1e-12), MOSTLY);
        (Cause::TakenFromSide, vec![side, push])
    } else if effort < DRIVES_AGAINST {
        let weak = Ground::of(Measure::Effort, effort, DRIVES_AGAINST);
        (Cause::GaveWay, vec![weak, push])
    } else if stalled > sliding {
        let stalled = Ground::of(Measure::Stalled, stalled, sliding);
        (Cause::PushedMotorsStalled, vec![push, stalled])
    } else {
        let sliding = Ground::of(Measure::Sliding, sliding, stalled);
        (Cause::PushedTyresSlid, vec![push, sliding])
    }
}

/// The cause when it drove out by itself, and the moment: when an edge sensor on that side first
/// saw the border, or else the last moment at which braking could still have helped.
fn drove_out(way: &[Fact], rim_m: f64) -> Blame {
    let left = way
        .iter()
        .position(|f| f.distance_m() >= rim_m)
        .unwrap_or(way.len());
    let before = &way[..left];
    if let Some(seen) = before.iter().position(|f| f.edge_ahead) {
        let after = &before[seen..];
        let time_left = after[after.len() - 1].time_ms - after[0].time_ms;
        let steered = after
            .iter()
            .any(|f| f.effort * f.forward_m_s.signum() < DRIVES_ON);
        let cause = if steered || time_left <= REACTION_MS {
            Cause::EdgeSeenTooLate
        } else {
            Cause::EdgeIgnored
        };
        let left = Ground::of(
            Measure::TimeLeft,
            f64::from(time_left) / 1000.0,
            f64::from(REACTION_MS) / 1000.0,
        );
        return Blame::on(cause, &[edge_speed(&after[0], rim_m), left], &after[0]);
    }
    let can_stop = |f: &Fact| {
        let v = f.outward_m_s.max(0.0);
        f.distance_m() + v * v / (2.0 * BRAKING_M_S2) < rim_m
    };
    let decided = before.iter().rposition(can_stop).unwrap_or(0);
    let backwards = mostly(&way[decided..left.max(decided)], |f| f.forward_m_s < 0.0);
    let cause = if backwards {
        Cause::ReversedOut
    } else {
        Cause::EdgeUnseen
    };
    Blame::on(cause, &[edge_speed(&way[decided], rim_m)], &way[decided])
}

/// Speed towards the rim, against that from which it could still have stopped before it.
fn edge_speed(f: &Fact, rim_m: f64) -> Ground {
    let room_m = (rim_m - f.distance_m()).max(0.0);
    let stoppable = (2.0 * BRAKING_M_S2 * room_m).sqrt();
    Ground::of(Measure::EdgeSpeed, f.outward_m_s, stoppable)
}

#[cfg(test)]
mod tests {
    use super::*;

    const RIM: f64 = 0.385;

    /// A robot that stands 100 mm from the centre for a second and is then carried out within
    /// half a second at even speed; `tell` fills in the rest of each fact (given its place in the
    /// way out, 0 to 1, negative before).
    fn blame(tell: impl Fn(f64, &mut Fact)) -> Blame {
        let mut trail = Trail::new();
        for k in 0..=150_u32 {
            let way = (f64::from(k) - 100.0) / 50.0;
            let out = way.max(0.0);
            let mut f = Fact {
                time_ms: k * 10,
                at: DVec2::new(0.1 + 0.32 * out, 0.0),
                outward_m_s: if way > 0.0 { 0.64 } else { 0.0 },
                upright: 1.0,
                saw: true,
                ..Fact::default()
            };
            tell(way, &mut f);
            trail.push(f);
        }
        trail.blame(RIM)
    }

    /// The same pushed by the opponent from `off_nose` rad against full forward effort.
    fn pushed(off_nose: f64, tell: impl Fn(f64, &mut Fact)) -> Blame {
        blame(|way, f| {
            if way > 0.0 {
                f.touched = true;
                f.push_m_s = -DVec2::new(maths::cos(off_nose), maths::sin(off_nose)) * 0.05;
                f.push_out_m_s = 0.05;
                f.forward_m_s = -0.64;
            }
            f.effort = 1.0;
            f.sliding = true;
            tell(way, f);
        })
    }

    /// The same driving by itself, nose first.
    fn driving(tell: impl Fn(f64, &mut Fact)) -> Blame {
        blame(|way, f| {
            f.forward_m_s = f.outward_m_s;
            f.effort = 1.0;
            tell(way, f);
        })
    }

    #[test]
    fn pushed_from_the_front_the_tyres_or_the_motors_gave_in() {
        let slid = pushed(0.2, |_, _| {});
        assert_eq!(slid.cause, Cause::PushedTyresSlid);
        assert_eq!(slid.decided_ms, 1000, "standing still until then");
        let stalled = pushed(-0.2, |_, f| (f.sliding, f.stalled) = (false, true));
        assert_eq!(stalled.cause, Cause::PushedMotorsStalled);
    }

    #[test]
    fn a_program_that_does_not_push_back_gave_way() {
        assert_eq!(pushed(0.0, |_, f| f.effort = 0.0).cause, Cause::GaveWay);
        assert_eq!(pushed(0.0, |_, f| f.effort = -1.0).cause, Cause::GaveWay);
    }

    #[test]
    fn lifted_for_most_of_the_push() {
        assert_eq!(pushed(0.0, |_, f| f.borne = 0.3).cause, Cause::Lifted);
        let briefly = pushed(0.0, |way, f| f.borne = if way < 0.3 { 0.3 } else { 0.1 });
        assert_eq!(briefly.cause, Cause::PushedTyresSlid);
        assert_eq!(
            pushed(2.0, |_, f| f.borne = 0.3).cause,
            Cause::Lifted,
            "from behind as well"
        );
    }

    #[test]
    fn taken_from_the_side_beyond_60_degrees_off_the_nose() {
        let deg = maths::PI / 180.0;
        assert_eq!(pushed(59.0 * deg, |_, _| {}).cause, Cause::PushedTyresSlid);
        for off in [61.0, -61.0, 90.0, 180.0] {
            assert_eq!(
                pushed(off * deg, |_, _| {}).cause,
                Cause::TakenFromSide,
                "{off}"
            );
        }
    }

    #[test]
    fn never_having_seen_the_opponent_comes_before_how_it_was_pushed() {
        assert_eq!(pushed(2.0, |_, f| f.saw = false).cause, Cause::NeverSaw);
    }

    #[test]
    fn turned_over_before_it_went_out() {
        assert_eq!(pushed(0.0, |_, f| f.upright = 0.1).cause, Cause::Tipped);
        assert_eq!(driving(|_, f| f.upright = -0.9).cause, Cause::Tipped);
    }

    #[test]
    fn by_itself_the_edge_was_seen_ignored_or_not_seen() {
        // The border begins 360 mm from the centre: 81 % of the way, 410 ms after the start of it.
        let seen = |f: &mut Fact| f.edge_ahead = f.distance_m() > 0.36;
        let late = driving(|_, f| {
            seen(f);
            f.effort = if f.distance_m() > 0.37 { -1.0 } else { 1.0 };
        });
        assert_eq!(
            (late.cause, late.decided_ms),
            (Cause::EdgeSeenTooLate, 1410)
        );
        let too_fast = driving(|_, f| seen(f));
        assert_eq!(
            too_fast.cause,
            Cause::EdgeSeenTooLate,
            "40 ms are no time to react"
        );
        let ignored = driving(|_, f| f.edge_ahead = f.distance_m() > 0.2);
        assert_eq!(ignored.cause, Cause::EdgeIgnored);
        let crawl = driving(|_, f| (f.edge_ahead, f.effort) = (f.distance_m() > 0.2, 0.15));
        assert_eq!(crawl.cause, Cause::EdgeIgnored, "slow, but on it goes");
        let brakes = driving(|_, f| {
            f.edge_ahead = f.distance_m() > 0.2;
            f.effort = if f.distance_m() > 0.25 { 0.0 } else { 0.15 };
        });
        assert_eq!(brakes.cause, Cause::EdgeSeenTooLate);
        // 0.64 m/s stop within 34 mm: the last chance is at 351 mm, 78 % of the way.
        let unseen = driving(|_, _| {});
        assert_eq!((unseen.cause, unseen.decided_ms), (Cause::EdgeUnseen, 1390));
        assert!((unseen.at.x - 0.3496).abs() < 1e-9, "{unseen:?}");
    }

    #[test]
    fn backing_out_is_told_from_driving_out() {
        let back = driving(|_, f| (f.forward_m_s, f.effort) = (-f.outward_m_s, -1.0));
        assert_eq!(back.cause, Cause::ReversedOut);
        let seen = driving(|_, f| {
            (f.forward_m_s, f.effort) = (-f.outward_m_s, -1.0);
            f.edge_ahead = f.distance_m() > 0.36;
        });
        assert_eq!(seen.cause, Cause::EdgeSeenTooLate);
    }

    #[test]
    fn driving_out_with_the_opponent_on_the_nose_is_its_own_doing() {
        // It pushes outward and the opponent pushes back: inward.
        let own = driving(|way, f| {
            f.touched = way > 0.0;
            (f.push_m_s, f.push_out_m_s) = (DVec2::new(-0.05, 0.0), -0.05);
        });
        assert_eq!(own.cause, Cause::EdgeUnseen);
        // A slight bump on the way does not change that.
        let bumped = driving(|way, f| {
            if (0.5..0.52).contains(&way) {
                (f.touched, f.push_out_m_s) = (true, 0.1);
            }
        });
        assert_eq!(bumped.cause, Cause::EdgeUnseen);
    }

    #[test]
    fn the_deciding_moment_is_after_it_last_got_back() {
        let mut trail = Trail::new();
        // Out to 300 mm, back to 150, stands there, then out for good from 2.5 s on.
        for k in 0..=350_u32 {
            let t = f64::from(k) / 100.0;
            let r = if t < 1.0 {
                0.3 * t
            } else if t < 1.5 {
                0.3 - 0.3 * (t - 1.0)
            } else if t < 2.5 {
                0.15
            } else {
                0.15 + 0.25 * (t - 2.5)
            };
            trail.push(Fact {
                time_ms: k * 10,
                at: DVec2::new(r, 0.0),
                outward_m_s: 0.25,
                upright: 1.0,
                touched: true,
                push_m_s: DVec2::new(-0.05, 0.0),
                push_out_m_s: 0.05,
                effort: 1.0,
                sliding: true,
                saw: true,
                ..Fact::default()
            });
        }
        let b = trail.blame(RIM);
        // 3 mm further count as still: 12 ms at 0.25 m/s.
        assert_eq!((b.cause, b.decided_ms), (Cause::PushedTyresSlid, 2510));
    }

    #[test]
    fn only_the_last_ten_seconds_are_kept_in_order() {
        let mut trail = Trail::new();
        for k in 0..2345 {
            trail.push(Fact {
                time_ms: k * 10,
                ..Fact::default()
            });
        }
        let times: Vec<u32> = trail.in_order().iter().map(|f| f.time_ms).collect();
        assert_eq!((times.len(), times[0], times[999]), (1000, 13_450, 23_440));
        assert!(times.windows(2).all(|w| w[1] == w[0] + 10));
    }
}
