//! A bout from put-down to verdict.

use quantity::{Draws, Stream, maths};
use robot::Robot;

use crate::arena::{Arena, Seat};
use crate::control::{Board, Controller, Crew};
use crate::dynamics::{Machine, World};
use crate::hash::StateHash;
use crate::judge::{Judge, Ruling};
use crate::placing::{self, HandError, Spot};
use crate::record::{Cause, End, EventKind, Outcome, Record};
use crate::sense::{Scene, Senses, Silhouette, plan};
use crate::watch::{FACT_MS, Watch};
use crate::{Fighter, Wanted};

/// Time in ms for both robots to come to rest on their tyres after being put down. Measured on the
/// built-in robots of all sizes: after 80 ms none moves faster than 0.06 mm/s or 0.01 rad/s.
const SETTLE_MS: u32 = 80;
/// Standard deviations in the half-width of a central 95 % range of a normal.
const HALF_WIDTH_95: f64 = 1.959_963_984_540_054;
/// Draws are cut at this many standard deviations.
const CUT: f64 = 3.0;
/// How far (19 to 1) each hand is off the start signal in ms where robots wait by themselves: two
/// people press two buttons. Reaction times to a signal scatter by some 50 ms (standard deviation;
/// from memory).
const HAND_START_MS: f64 = 100.0;
/// Grip of the ring never falls below this share of clean board.
const LEAST_GRIP: f64 = 0.05;

/// What a bout needs of a program.
pub(crate) trait Pilot {
    /// Where its opening puts the robot.
    fn spot(&self) -> Spot;
    /// The program, ready for its first run. `chance` feeds its own random numbers.
    fn start(&self, chance: Stream) -> Box<dyn Controller>;
}

/// One side of a bout: a robot and what it runs.
#[derive(Clone, Copy)]
pub(crate) struct Side<'a> {
    pub(crate) robot: &'a Robot,
    pub(crate) pilot: &'a dyn Pilot,
}

/// Fights one bout. `draws` must stand for (seed, opponent, bout); the seats are keyed inside.
/// Seat 0 starts on the side of negative x. The same inputs give the same bits.
#[must_use]
pub fn fight(arena: &Arena, fighters: [Fighter<'_>; 2], draws: Stream, wanted: Wanted) -> Record {
    let sides = [0, 1].map(|i: Seat| Side {
        robot: fighters[i].robot,
        pilot: &fighters[i],
    });
    fight_mirrored(arena, sides, draws, wanted, false)
}

/// As [`fight`], with every substep of the solver cut into `parts`: to see what the step does to
/// the outcome.
#[must_use]
pub fn fight_refined(
    arena: &Arena,
    fighters: [Fighter<'_>; 2],
    draws: Stream,
    wanted: Wanted,
    parts: u32,
) -> Record {
    let sides = [0, 1].map(|i: Seat| Side {
        robot: fighters[i].robot,
        pilot: &fighters[i],
    });
    let mut bout = Bout::new(arena, sides, draws, wanted, false);
    bout.world.refine(parts);
    bout.run_out()
}

/// The same for any pilots. `mirrored` turns openings and errors of the hand to the other side,
/// for robots that are mirror images.
pub(crate) fn fight_mirrored(
    arena: &Arena,
    sides: [Side<'_>; 2],
    draws: Stream,
    wanted: Wanted,
    mirrored: bool,
) -> Record {
    Bout::new(arena, sides, draws, wanted, mirrored).run_out()
}

/// A bout under way.
struct Bout<'a> {
    arena: &'a Arena,
    sides: [Side<'a>; 2],
    /// Keys of the seats.
    keys: [Stream; 2],
    draws: [Draws; 2],
    mirrored: bool,
    silhouettes: [Silhouette; 2],
    world: World,
    crews: [Crew; 2],
    judge: Judge,
    watch: Watch,
    hash: StateHash,
    effort: [[f64; 2]; 2],
    /// Times both robots have been put down before.
    put_down: u32,
    /// Time in ms from the first permitted motion, restarts included.
    now_ms: u32,
    /// The last start in the same time.
    started_ms: u32,
}

impl<'a> Bout<'a> {
    fn new(
        arena: &'a Arena,
        sides: [Side<'a>; 2],
        draws: Stream,
        wanted: Wanted,
        mirrored: bool,
    ) -> Self {
        let ring = &arena.ring;
        let dirt = draws.named("ring/grip").normal().clamp(-CUT, CUT) / HALF_WIDTH_95;
        let grip = (ring.grip + dirt * ring.grip_varies).max(LEAST_GRIP);
        let keys = [0, 1].map(|seat| draws.named("seat").numbered(seat));
        let draws = keys.map(Draws::keyed);
        let machines = [0, 1].map(|i: Seat| Machine::compile(sides[i].robot, &draws[i]));
        let silhouettes = [0, 1].map(|i: Seat| Silhouette::of(sides[i].robot, &draws[i]));
        let mut world = World::new(arena, machines, grip);
        if mirrored {
            world.mirror_sweeps();
        }
        let hand = Hand {
            arena,
            sides,
            keys,
            draws,
            mirrored,
            silhouettes: &silhouettes,
        };
        let crews = hand.put_down(&mut world, 0);
        let mut bout = Self {
            arena,
            sides,
            keys,
            draws,
            mirrored,
            silhouettes,
            world,
            crews,
            judge: Judge::new(arena),
            watch: Watch::new(wanted),
            hash: StateHash::new(),
            effort: [[0.0; 2]; 2],
            put_down: 0,
            now_ms: 0,
            started_ms: 0,
        };
        bout.tell_both(EventKind::Start);
        bout.watch.frame(0, &bout.world, bout.effort, false);
        bout
    }

    fn run_out(mut self) -> Record {
        loop {
            if let Some((end, cause)) = self.step() {
                return self.close(end, cause);
            }
        }
    }

    /// One millisecond, or two while the robots are far apart and from the rim and no motor gets
    /// something new in between; the end, if this was it.
    ///
    /// Readings and runs of the programs due before the end of the step come first, from the
    /// state at its beginning moved on by its velocities. Motors obey at the step nearest to
    /// their time.
    fn step(&mut self) -> Option<(End, Option<Cause>)> {
        let since_start = f64::from(self.now_ms - self.started_ms);
        let mut ms = if self.now_ms.is_multiple_of(2) && self.world.may_stride() {
            2
        } else {
            1
        };
        let until = since_start + f64::from(ms);
        for seat in 0..2 {
            if self.crews[seat].is_due(until) {
                let scene = scene(self.arena, &self.world, &self.silhouettes, seat);
                self.crews[seat].live(since_start, until, &scene);
            }
        }
        for (crew, effort) in self.crews.iter_mut().zip(&mut self.effort) {
            *effort = crew.board.effort(since_start + 0.5);
            if crew.board.changes_by(since_start + 1.5) {
                ms = 1;
            }
        }
        self.world.advance(ms, self.effort);
        self.now_ms += ms;
        if !self.world.finite() {
            return Some((End::NotFinite, Some(Cause::NotFinite)));
        }
        self.watch.step(&self.world, ms);
        if let Some(end) = Judge::out([self.world.on_floor(0), self.world.on_floor(1)]) {
            let cause = (end == End::Tie).then_some(Cause::OutTogether);
            return Some((end, cause));
        }
        self.watch
            .frame(self.now_ms, &self.world, self.effort, false);
        if !self.now_ms.is_multiple_of(FACT_MS) {
            return None;
        }
        // Often enough: what differs once differs ever after.
        self.world.hash(&mut self.hash);
        self.watch
            .note(self.now_ms, &self.world, &self.crews, self.effort);
        let at = [0, 1].map(|seat| plan(self.world.pose(seat).origin));
        match self.judge.look(self.now_ms, at, self.watch.touched()) {
            Ruling::GoOn => None,
            Ruling::PutBack => {
                self.put_back();
                None
            }
            Ruling::Stuck => Some((End::Tie, Some(Cause::Stuck))),
            Ruling::TimeUp => Some((End::Tie, Some(Cause::TimedOut))),
        }
    }

    /// The judge has both put down again; the programs begin anew.
    fn put_back(&mut self) {
        self.put_down += 1;
        self.tell_both(EventKind::Restart);
        let hand = Hand {
            arena: self.arena,
            sides: self.sides,
            keys: self.keys,
            draws: self.draws,
            mirrored: self.mirrored,
            silhouettes: &self.silhouettes,
        };
        self.crews = hand.put_down(&mut self.world, self.put_down);
        self.watch.put_down();
        self.started_ms = self.now_ms;
        self.effort = [[0.0; 2]; 2];
    }

    fn tell_both(&mut self, kind: EventKind) {
        for seat in 0..2 {
            let at = plan(self.world.pose(seat).origin);
            self.watch.event(self.now_ms, seat, kind, at);
        }
    }

    /// The record. `cause` is given where nobody lost.
    fn close(mut self, end: End, cause: Option<Cause>) -> Record {
        self.world.hash(&mut self.hash);
        let mut left_at = None;
        let mut decided_ms = self.now_ms;
        let mut why = cause.unwrap_or(Cause::Stuck);
        if let End::Out { loser } = end {
            self.watch
                .note(self.now_ms, &self.world, &self.crews, self.effort);
            let blame = self
                .watch
                .trail(loser)
                .blame(self.arena.ring.diameter_m / 2.0);
            (why, decided_ms) = (blame.cause, blame.decided_ms);
            self.watch
                .event(decided_ms, loser, EventKind::Decided, blame.at);
            let at = plan(self.world.pose(loser).origin);
            self.watch.event(self.now_ms, loser, EventKind::Out, at);
            left_at = Some(maths::atan2(at.y, at.x));
        }
        self.watch
            .frame(self.now_ms, &self.world, self.effort, true);
        let time_s = f64::from(self.now_ms) / 1000.0;
        let outcome = Outcome {
            end,
            cause: why,
            time_s,
            decided_s: f64::from(decided_ms) / 1000.0,
            left_at,
        };
        let (events, frames) = self.watch.finish();
        Record {
            outcome,
            simulated_s: time_s,
            events,
            frames,
            state_hash: self.hash.finish(),
        }
    }
}

/// Everything that goes into putting both robots down.
struct Hand<'a, 'b> {
    arena: &'a Arena,
    sides: [Side<'a>; 2],
    keys: [Stream; 2],
    draws: [Draws; 2],
    mirrored: bool,
    silhouettes: &'b [Silhouette; 2],
}

impl Hand<'_, '_> {
    /// Puts both robots down for the time numbered `time`, lets them come to rest, and readies
    /// sensors, boards and programs for the start.
    fn put_down(&self, world: &mut World, time: u32) -> [Crew; 2] {
        let keys = self
            .keys
            .map(|k| k.named("put down").numbered(u64::from(time)));
        for (seat, key) in keys.into_iter().enumerate() {
            let side = &self.sides[seat];
            let mut error = HandError::drawn(side.robot, key);
            let mut spot = side.pilot.spot();
            if self.mirrored {
                (error, spot) = (error.mirrored(), spot.mirrored());
            }
            let corners = placing::corners(side.robot, &self.draws[seat]);
            let placed = placing::put_down(self.arena, &corners, spot, error, seat);
            world.put_down(seat, placed.at.x, placed.at.y, placed.heading_rad);
        }
        for _ in 0..SETTLE_MS / 2 {
            // Standing apart: strides will do.
            let (strides, ms) = if world.may_stride() { (1, 2) } else { (2, 1) };
            for _ in 0..strides {
                world.advance(ms, [[0.0; 2]; 2]);
            }
        }
        let waits = self.waits(keys);
        [0, 1].map(|seat: Seat| {
            let (side, draws, key) = (&self.sides[seat], &self.draws[seat], keys[seat]);
            let phase = key.named("loop phase").uniform();
            let board = Board::new(side.robot, draws, waits[seat], phase);
            let own = &self.silhouettes[seat];
            let mut senses =
                Senses::new(side.robot, own, draws, key.named("sensors"), &board.runs());
            senses.settle(&scene(self.arena, world, self.silhouettes, seat));
            Crew {
                senses,
                board,
                controller: side.pilot.start(key.named("program")),
            }
        })
    }

    /// How long after the first permitted motion each program starts, in ms: a remote starts
    /// both at once; where robots count the delay themselves, hands press their buttons a little
    /// apart, and time counts from the earlier one.
    fn waits(&self, keys: [Stream; 2]) -> [f64; 2] {
        if self.arena.start_delay_s <= 0.0 {
            return [0.0; 2];
        }
        let off = keys
            .map(|k| k.named("start").normal().clamp(-CUT, CUT) * HAND_START_MS / HALF_WIDTH_95);
        let first = off[0].min(off[1]);
        off.map(|o| o - first)
    }
}

/// What the sensors of a seat can measure.
fn scene<'a>(
    arena: &'a Arena,
    world: &World,
    silhouettes: &'a [Silhouette; 2],
    seat: Seat,
) -> Scene<'a> {
    Scene {
        ring: &arena.ring,
        own: world.pose(seat),
        opponent: world.pose(1 - seat),
        silhouette: &silhouettes[1 - seat],
        touch: world.touch(seat),
        ahead_s: 0.0,
    }
}
