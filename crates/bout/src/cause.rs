//! Why a robot went out, from short facts about its last seconds.
//!
//! A cause is a claim that can be tested by undoing it, so it names the one thing that stood at
//! the beginning of the loss. All thresholds are documented constants: common practice, no source,
//! unless said otherwise.

use glam::DVec2;
use quantity::maths;

use crate::grounds::{Ground, Grounds, Measure};
use crate::record::Cause;
use crate::trail::{Fact, Trail};
use crate::watch::FACT_MS;

/// Coming this much nearer to the centre again, in m, counts as having got back.
const GOT_BACK_M: f64 = 0.010;
/// Way in m within which a robot counts as standing still before its last way out.
const STILL_M: f64 = 0.003;
/// Touch within this time in ms before the end makes it possible that it was pushed.
const CONTACT_BEFORE_MS: u32 = 500;
/// Share of the outward speed that the opponent's push must account for; below it the robot drove
/// out by itself.
const PUSHED_SHARE: f64 = 0.5;
/// Speed in m/s below which any push at all accounts for going outward, and which is left of no
/// earlier push.
const SLOW_M_S: f64 = 0.05;
/// Share of the robot's weight on the opponent from which it counts as lifted.
pub(crate) const LIFTED_SHARE: f64 = 0.25;
/// Time in ms apart for which a robot that is carried or shoved along still counts as touched.
const CARRIED_APART_MS: u32 = 100;
/// Facts after which a shove that paused is another one: 200 ms.
const SHOVE_PAUSE: usize = 20;
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
    /// Whether it stays so; otherwise it comes back to itself.
    pub(crate) lasts: bool,
}

/// Time in ms before the deciding moment within which a controller that starts anew explains what
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
    /// Why this robot went out over a rim `rim_m` from the centre.
    ///
    /// 1. Walking back from the end, its *last way out* begins at the latest moment at which it
    ///    was as near to the centre as it ever was again, unless it has come back by 10 mm since.
    /// 2. It was *pushed* if it was touched in the last half second and the opponent's push
    ///    accounts for half of the fastest outward speed on that way; else it drove by itself. What
    ///    counts is the push in the direction in which it left, from when the touch began: who is
    ///    carried past the centre has its speed before it gets farther from it.
    /// 3. Pushed: turned over, had never seen the opponent, lifted, taken from the side, gave
    ///    way, tyres slid or motors stalled: the first that holds for most of the *last shove*, the
    ///    part of the way in which the opponent pushed outward or bore it without a pause. Before
    ///    that it may have gone outward by itself.
    /// 4. By itself: whether an edge sensor on that side saw the border, and what the program did.
    pub(crate) fn blame(&self, rim_m: f64) -> Blame {
        let facts = self.in_order();
        let way = last_way_out(&facts);
        let (Some(first), Some(last)) = (way.first(), way.last()) else {
            return Blame::on(Cause::EdgeUnseen, &[], &Fact::default());
        };
        let since = last.time_ms.saturating_sub(CONTACT_BEFORE_MS);
        let touched = way.iter().any(|f| f.touched && f.time_ms >= since);
        let out = last.at.normalize_or_zero();
        let carried = &facts[facts.len() - way.len() - carried_before(&facts, way.len())..];
        let push: f64 = carried.iter().map(|f| f.shove_m_s.dot(out)).sum();
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
            let shove = last_shove(way, out);
            let (cause, grounds) = pushed_out(shove, out, f64::from(unseen_ms) / 1000.0);
            Blame::on(cause, &grounds, &shove[0])
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

/// How many facts right before a way out of `way` facts show the robot touched and moving all along:
/// the push in them lives on in the speed with which the way began.
fn carried_before(facts: &[Fact], way: usize) -> usize {
    let before = &facts[..facts.len() - way];
    let mut apart_ms = 0;
    let mut count = 0;
    for (k, f) in before.iter().rev().enumerate() {
        apart_ms = if f.touched { 0 } else { apart_ms + FACT_MS };
        if f.speed_m_s < SLOW_M_S || apart_ms > CARRIED_APART_MS {
            break;
        }
        if f.touched {
            count = k + 1;
        }
    }
    count
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

/// What `what` is at least for half of the facts; 0 without any.
fn median(facts: &[Fact], what: impl Fn(&Fact) -> f64) -> f64 {
    let mut values: Vec<f64> = facts.iter().map(what).collect();
    values.sort_by(f64::total_cmp);
    values.get(values.len() / 2).copied().unwrap_or(0.0)
}

/// The part of a way out, up to its end, in which the opponent pushed in the direction `out` or bore
/// the robot without a pause longer than [`SHOVE_PAUSE`] facts. Not empty if `way` is not.
fn last_shove(way: &[Fact], out: DVec2) -> &[Fact] {
    let is = |f: &Fact| f.touched && (f.borne > LIFTED_SHARE || f.shove_m_s.dot(out) > 0.0);
    let end = way.iter().rposition(is).unwrap_or(way.len() - 1);
    let mut begin = end.saturating_sub(SHOVE_PAUSE);
    for k in (0..=begin).rev() {
        let lately = &way[k..=end.min(k + SHOVE_PAUSE)];
        let shoved: f64 = lately.iter().map(|f| f.shove_m_s.dot(out)).sum();
        if shoved <= 0.0 && !lately.iter().any(|f| f.borne > LIFTED_SHARE) {
            break;
        }
        if is(&way[k]) {
            begin = k;
        }
    }
    let first = way[begin..=end].iter().position(is).unwrap_or(0);
    &way[begin + first..]
}

/// The cause when the opponent pushed it out in the direction `out`, and what speaks for it.
/// `unseen_s`: how long it may not have seen the opponent.
fn pushed_out(shove: &[Fact], out: DVec2, unseen_s: f64) -> (Cause, Vec<Ground>) {
    let contact: Vec<Fact> = shove.iter().filter(|f| f.touched).copied().collect();
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
        mean(&contact, |f| f.shove_n.dot(out)),
        mean(&contact, |f| f.hold_n),
    );
    if !shove.last().is_some_and(|f| f.saw) {
        let unseen = Ground::alone(Measure::Unseen, unseen_s);
        (Cause::NeverSaw, vec![unseen, push])
    } else if mostly(&contact, |f| f.borne > LIFTED_SHARE) {
        let borne = Ground::of(Measure::Borne, median(&contact, |f| f.borne), LIFTED_SHARE);
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
        let reaction_s = f64::from(REACTION_MS) / 1000.0;
        let speed = edge_speed(&after[0], rim_m, reaction_s);
        let stoppable = speed.against.is_some_and(|v| speed.value < v);
        let cause = if time_left <= REACTION_MS || (steered && !stoppable) {
            Cause::EdgeSeenTooLate
        } else if steered {
            Cause::EdgeNotLeft
        } else {
            Cause::EdgeIgnored
        };
        let left = Ground::of(
            Measure::TimeLeft,
            f64::from(time_left) / 1000.0,
            f64::from(REACTION_MS) / 1000.0,
        );
        return Blame::on(cause, &[speed, left], &after[0]);
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
    Blame::on(
        cause,
        &[edge_speed(&way[decided], rim_m, 0.0)],
        &way[decided],
    )
}

/// Speed towards the rim, against that from which it could still have stopped before it after going
/// on for `reaction_s`: v t + v²/(2 a) = room.
fn edge_speed(f: &Fact, rim_m: f64, reaction_s: f64) -> Ground {
    let room_m = (rim_m - f.distance_m()).max(0.0);
    let lost = BRAKING_M_S2 * reaction_s;
    let stoppable = (lost * lost + 2.0 * BRAKING_M_S2 * room_m).sqrt() - lost;
    Ground::of(Measure::EdgeSpeed, f.outward_m_s, stoppable)
}
