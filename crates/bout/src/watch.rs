//! Keeping what a bout is worth keeping: facts for the cause, events, frames.

use glam::DVec2;

use crate::arena::Seat;
use crate::cause::{Blame, LIFTED_SHARE, Mishap};
use crate::control::Crew;
use crate::dynamics::{Pose, World};
use crate::record::{Event, EventKind, Frame, WheelFrame};
use crate::sense::plan;
use crate::trail::{Fact, Trail};

/// Time between facts in ms; even, so that steps of 2 ms meet it.
pub(crate) const FACT_MS: u32 = 10;
/// Time between frames in ms: 50 a second.
const FRAME_MS: u32 = 20;
/// Something must hold for so many facts before it is an event: 30 ms, against chatter.
const STEADY: u32 = 3;
/// Apart for so many facts before the next touch is a hit again: 100 ms.
const APART: u32 = 10;

/// Everything kept of a bout while it goes on.
#[derive(Debug)]
pub(crate) struct Watch {
    trails: [Trail; 2],
    mishaps: [Option<Mishap>; 2],
    lately: [Lately; 2],
    marks: [Marks; 2],
    touched: bool,
    /// Events, if wanted.
    events: Option<Vec<Event>>,
    /// Frames, if wanted.
    frames: Option<[Vec<Frame>; 2]>,
}

/// What has gathered since the last fact.
#[derive(Debug, Default, Clone, Copy)]
struct Lately {
    touched: bool,
    push_m_s: DVec2,
    shove_m_s: DVec2,
    borne_s: f64,
    seconds: f64,
}

/// What has been the case, for telling when it changes.
#[derive(Debug, Default)]
struct Marks {
    sees: Steady,
    slides: Steady,
    lifted: Steady,
    edge: Steady,
    touches: Steady,
}

/// A yes or no that must last before it counts.
#[derive(Debug, Default)]
struct Steady {
    now: bool,
    against: u32,
    since_ms: u32,
}

impl Steady {
    /// Takes in one fact; the new answer and when it began, once it has lasted `on` or `off`
    /// facts.
    fn turns(&mut self, is: bool, time_ms: u32, on: u32, off: u32) -> Option<(bool, u32)> {
        if is == self.now {
            self.against = 0;
            return None;
        }
        if self.against == 0 {
            self.since_ms = time_ms;
        }
        self.against += 1;
        if self.against < if is { on } else { off } {
            return None;
        }
        (self.now, self.against) = (is, 0);
        Some((is, self.since_ms))
    }
}

impl Watch {
    pub(crate) fn new(wanted: crate::Wanted) -> Self {
        Self {
            trails: [Trail::new(), Trail::new()],
            mishaps: [None; 2],
            lately: [Lately::default(); 2],
            marks: [Marks::default(), Marks::default()],
            touched: false,
            events: wanted.events.then(Vec::new),
            frames: wanted.frames.then(|| [Vec::new(), Vec::new()]),
        }
    }

    /// Both robots have just been put down (again).
    pub(crate) fn put_down(&mut self) {
        for seat in 0..2 {
            self.trails[seat].clear();
            self.lately[seat] = Lately::default();
            self.marks[seat] = Marks::default();
        }
    }

    /// Takes in what the last step of `ms` did.
    pub(crate) fn step(&mut self, world: &World, ms: u32) {
        let seconds = f64::from(ms) / 1000.0;
        for seat in 0..2 {
            let lately = &mut self.lately[seat];
            lately.seconds += seconds;
            let Some(touch) = world.touch(seat) else {
                continue;
            };
            let pose = world.pose(seat);
            let by_mass = seconds / world.machine(seat).mass;
            lately.touched = true;
            lately.push_m_s += plan(touch.push_body) * by_mass;
            let push = plan(pose.rotation * touch.push_body);
            lately.shove_m_s += push * by_mass;
            lately.borne_s += world.borne_by_opponent(seat) * seconds;
        }
    }

    /// Notes a fact about each robot; to be called every [`FACT_MS`].
    pub(crate) fn note(
        &mut self,
        time_ms: u32,
        world: &World,
        crews: &[Crew; 2],
        effort: [[f64; 2]; 2],
    ) {
        for seat in 0..2 {
            let lately = std::mem::take(&mut self.lately[seat]);
            let senses = &crews[seat].senses;
            let pose = world.pose(seat);
            let sees = senses.sees();
            let (at, velocity) = (plan(pose.origin), plan(pose.velocity));
            let nose = pose.rotation.x_axis;
            let forward = pose.velocity.dot(nose);
            let travel = DVec2::new(forward, pose.velocity.dot(pose.rotation.y_axis));
            let fact = Fact {
                time_ms,
                at,
                speed_m_s: velocity.length(),
                outward_m_s: velocity.dot(at.normalize_or_zero()),
                forward_m_s: forward,
                upright: pose.rotation.z_axis.z,
                touched: lately.touched,
                push_m_s: lately.push_m_s,
                shove_m_s: lately.shove_m_s,
                shove_n: lately.shove_m_s * world.machine(seat).mass / lately.seconds.max(1e-9),
                hold_n: world.tyres_hold(seat),
                borne: if lately.seconds > 0.0 {
                    lately.borne_s / lately.seconds
                } else {
                    0.0
                },
                sliding: driven_tyres_slide(world, seat),
                stalled: world.motors_stalled(seat),
                effort: f64::midpoint(effort[seat][0], effort[seat][1]),
                edge_ahead: senses.edge_ahead(travel),
                saw: senses.has_seen(),
            };
            self.touched = fact.touched;
            self.trails[seat].push(fact);
            if self.events.is_some() {
                let edge = senses.edge_ahead(DVec2::ZERO);
                self.tell(seat, &fact, sees, edge, at);
            }
        }
    }

    /// Turns changes into events.
    fn tell(&mut self, seat: Seat, fact: &Fact, sees: bool, edge: bool, at: DVec2) {
        let marks = &mut self.marks[seat];
        let now = fact.time_ms;
        let lifted = fact.borne > LIFTED_SHARE;
        let changes = [
            (
                marks.touches.turns(fact.touched, now, 1, APART),
                EventKind::Hit,
                None,
            ),
            (
                marks.sees.turns(sees, now, 1, STEADY),
                EventKind::Saw,
                Some(EventKind::Lost),
            ),
            (
                marks.slides.turns(fact.sliding, now, STEADY, STEADY),
                EventKind::Slipped,
                Some(EventKind::Gripped),
            ),
            (
                marks.lifted.turns(lifted, now, STEADY, STEADY),
                EventKind::Lifted,
                Some(EventKind::SetDown),
            ),
            (
                marks.edge.turns(edge, now, 1, STEADY),
                EventKind::Edge,
                None,
            ),
        ];
        for (change, begins, ends) in changes {
            if let Some((is, since_ms)) = change
                && let Some(kind) = if is { Some(begins) } else { ends }
            {
                self.event(since_ms, seat, kind, at);
            }
        }
    }

    /// Keeps an event, if events are wanted.
    pub(crate) fn event(&mut self, time_ms: u32, seat: Seat, kind: EventKind, at: DVec2) {
        if let Some(events) = &mut self.events {
            let time_s = f64::from(time_ms) / 1000.0;
            events.push(Event {
                time_s,
                seat,
                kind,
                at: at.to_array(),
            });
        }
    }

    /// Keeps a frame of each robot if frames are wanted and one is due, or if this is the end.
    pub(crate) fn frame(
        &mut self,
        time_ms: u32,
        world: &World,
        effort: [[f64; 2]; 2],
        is_end: bool,
    ) {
        let Some(frames) = &mut self.frames else {
            return;
        };
        if !(is_end || time_ms.is_multiple_of(FRAME_MS)) {
            return;
        }
        for (seat, frames) in frames.iter_mut().enumerate() {
            let Pose {
                origin, quaternion, ..
            } = world.pose(seat);
            let time_s = f64::from(time_ms) / 1000.0;
            let wheel = |w: crate::dynamics::WheelState| WheelFrame {
                load_n: w.load_n,
                slip_m_s: [w.slip_along_m_s, w.slip_across_m_s],
            };
            frames.push(Frame {
                time_s,
                position: origin.to_array(),
                orientation: quaternion.to_array(),
                effort: effort[seat],
                wheels: world.wheels(seat).map(wheel).collect(),
            });
        }
    }

    /// Whether the robots touched between the last two facts.
    pub(crate) fn touched(&self) -> bool {
        self.touched
    }

    /// Something broke on a robot. What lasts is kept before what passes.
    pub(crate) fn mishap(&mut self, seat: Seat, mishap: Mishap) {
        let kept = &mut self.mishaps[seat];
        if !kept.is_some_and(|m| m.lasts) {
            *kept = Some(mishap);
        }
    }

    /// Why a robot went out over a rim `rim_m` from the centre: by what broke on it before, or by
    /// its trail.
    pub(crate) fn blame(&self, loser: Seat, rim_m: f64) -> Blame {
        let blame = self.trails[loser].blame(rim_m);
        match self.mishaps[loser] {
            Some(m) if m.explains(&blame) => m.instead_of(&blame),
            _ => blame,
        }
    }

    /// Events in order of time, and frames.
    pub(crate) fn finish(self) -> (Vec<Event>, [Vec<Frame>; 2]) {
        let mut events = self.events.unwrap_or_default();
        events.sort_by(|a, b| a.time_s.total_cmp(&b.time_s));
        (events, self.frames.unwrap_or_default())
    }
}

/// Whether tyres that bear most of the load on driven wheels slide.
fn driven_tyres_slide(world: &World, seat: Seat) -> bool {
    let (mut sliding, mut all) = (0.0, 0.0);
    for w in world.wheels(seat).filter(|w| w.driven) {
        all += w.load_n;
        sliding += if w.sliding { w.load_n } else { 0.0 };
    }
    all > 0.0 && sliding >= 0.5 * all
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn an_answer_counts_once_it_has_lasted_and_from_when_it_began() {
        let mut s = Steady::default();
        let mut told = Vec::new();
        let answers = [
            false, true, false, true, true, true, true, false, false, true, false,
        ];
        for (k, is) in (0_u32..).zip(answers) {
            told.extend(s.turns(is, k * 10, 3, 2));
        }
        assert_eq!(told, [(true, 30), (false, 70)]);
    }
}
