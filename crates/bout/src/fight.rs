//! A bout from put-down to verdict.

use glam::DVec3;
use quantity::{Draws, Stream, maths};
use robot::{Fault, Ring};
use rules::EarlyStart;

use crate::arena::{Arena, Seat};
use crate::carry::Carry;
use crate::cause::{Blame, Mishap};
use crate::control::{Crew, Driver, whole_ms};
use crate::dynamics::{Machine, Relief, World};
use crate::faults::{self, Strike, Strikes};
use crate::grounds::{Ground, Grounds, Measure};
use crate::hand::{Hand, scene};
use crate::hash::StateHash;
use crate::judge::{Judge, Ruling, Seen};
use crate::out::Bounds;
use crate::pilot::{Driven, Side};
use crate::record::{Cause, End, EventKind, Outcome, Record};
use crate::sense::{Around, Silhouette, plan};
use crate::watch::{FACT_MS, Watch};
use crate::{Fighter, Wanted};

/// Standard deviations in the half-width of a central 95 % range of a normal.
const HALF_WIDTH_95: f64 = 1.959_963_984_540_054;
/// Draws are cut at this many standard deviations.
const CUT: f64 = 3.0;
/// Grip of the ring never falls below this share of clean board.
const LEAST_GRIP: f64 = 0.05;
/// How far in m before its middle the judge watches a robot's nose, to see it turn.
const NOSE_M: f64 = 0.05;

/// What a match has to say to one of its rounds; without a match, chance says it.
#[derive(Debug, Clone, Copy, Default)]
pub(crate) struct Setup<'a> {
    /// Which round it is.
    pub(crate) round: Option<u32>,
    /// Who places second, where they place in turn.
    pub(crate) second: Option<Seat>,
    /// Warnings from the rounds before.
    pub(crate) warnings: [u32; 2],
    /// Time that is left, in s.
    pub(crate) longest_s: Option<f64>,
    /// What both bring from earlier rounds; without it what their pilots say.
    pub(crate) carry: Option<&'a [Carry; 2]>,
}

/// Fights one bout. `draws` must stand for (seed, opponent, bout); the seats are keyed inside.
/// Seat 0 starts on the side of negative x. The same inputs give the same bits.
///
/// Where the class has the sides place in turn, a toss of the bout's own says who is second; where
/// they face by rounds, the bout is any of the three.
#[must_use]
pub fn fight(arena: &Arena, fighters: [Fighter<'_>; 2], draws: Stream, wanted: Wanted) -> Record {
    let sides = [0, 1].map(|i: Seat| Side {
        robot: fighters[i].robot,
        pilot: &fighters[i],
    });
    fight_set_up(arena, sides, draws, wanted, Setup::default())
}

/// As [`fight`], with `driver` deciding for the robot in `seat`. Its program is asked for the openings
/// only.
#[must_use]
pub fn fight_driven(
    arena: &Arena,
    fighters: [Fighter<'_>; 2],
    (seat, driver): (Seat, &dyn Driver),
    draws: Stream,
    wanted: Wanted,
) -> Record {
    let driven = fighters
        .each_ref()
        .map(|fighter| Driven { fighter, driver });
    let sides = [0, 1].map(|i: Seat| Side {
        robot: fighters[i].robot,
        pilot: if i == seat { &driven[i] } else { &fighters[i] },
    });
    fight_set_up(arena, sides, draws, wanted, Setup::default())
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
    let mut bout = Bout::new(arena, sides, draws, wanted, Setup::default(), false);
    bout.world.refine(parts);
    bout.fought()
}

/// The same for any pilots and as a round of a match.
pub(crate) fn fight_set_up(
    arena: &Arena,
    sides: [Side<'_>; 2],
    draws: Stream,
    wanted: Wanted,
    setup: Setup<'_>,
) -> Record {
    Bout::new(arena, sides, draws, wanted, setup, false).fought()
}

/// The same where `mirrored` turns openings and errors of the hand to the other side, for robots
/// that are mirror images.
#[cfg(test)]
pub(crate) fn fight_mirrored(
    arena: &Arena,
    sides: [Side<'_>; 2],
    draws: Stream,
    wanted: Wanted,
    mirrored: bool,
) -> Record {
    Bout::new(arena, sides, draws, wanted, Setup::default(), mirrored).fought()
}

/// How a bout is over: `blame` is worked out from the trail where it is not given.
struct Over {
    end: End,
    blame: Option<(Cause, Grounds)>,
}

impl Over {
    fn by(end: End, cause: Cause, grounds: Grounds) -> Option<Self> {
        Some(Self {
            end,
            blame: Some((cause, grounds)),
        })
    }
}

/// A bout under way.
struct Bout<'a> {
    arena: &'a Arena,
    sides: [Side<'a>; 2],
    /// Keys of the seats.
    keys: [Stream; 2],
    draws: [Draws; 2],
    mirrored: bool,
    round: u32,
    second: Option<Seat>,
    silhouettes: [Silhouette; 2],
    around: Around,
    world: World,
    crews: [Crew; 2],
    judge: Judge,
    bounds: Bounds,
    watch: Watch,
    hash: StateHash,
    effort: [[f64; 2]; 2],
    strikes: [Strikes; 2],
    /// When the next fault strikes anybody.
    next_strike_ms: u32,
    /// Pack voltage below which a board starts anew, and how long that takes in ms.
    brown_out: [Option<(f64, f64)>; 2],
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
        bout: Stream,
        wanted: Wanted,
        setup: Setup<'_>,
        mirrored: bool,
    ) -> Self {
        let surface = (arena.ring).surface_at(bout.named("ring/surface").uniform());
        let drawn = Arena {
            ring: Ring {
                surface,
                ..arena.ring.clone()
            },
            ..arena.clone()
        };
        let ring = &drawn.ring;
        let dirt = bout.named("ring/grip").normal().clamp(-CUT, CUT) / HALF_WIDTH_95;
        let grip = (ring.grip + dirt * ring.grip_varies).max(LEAST_GRIP);
        let around = Around::drawn(ring, bout, mirrored);
        let keys = [0, 1].map(|seat| bout.named("seat").numbered(seat));
        let draws = keys.map(Draws::keyed);
        let machines = [0, 1].map(|i: Seat| {
            let mut machine = Machine::compile(sides[i].robot, &draws[i]);
            machine.stand_on(ring, sides[i].robot, &draws[i]);
            machine
        });
        let silhouettes = [0, 1].map(|i: Seat| Silhouette::of(sides[i].robot, &draws[i]));
        let mut world = World::new(&drawn, machines, grip);
        world.lay(Relief::drawn(&drawn.ring, bout, mirrored));
        for (seat, side) in sides.iter().enumerate() {
            let brought = setup.carry.map(|c| &c[seat]);
            if let Some(carry) = brought.or_else(|| side.pilot.carry()) {
                world.carry(seat, carry);
            }
        }
        if mirrored {
            world.mirror_sweeps();
        }
        let round = setup
            .round
            .unwrap_or_else(|| whole_ms(3.0 * bout.named("round").uniform()));
        let second = arena.placing.in_turn.then(|| {
            let toss = || usize::from(bout.named("places second").uniform() >= 0.5);
            setup.second.unwrap_or_else(toss)
        });
        let hand = Hand {
            arena,
            sides,
            keys,
            draws,
            mirrored,
            silhouettes: &silhouettes,
            around: &around,
            round,
            second,
        };
        let crews = hand.put_down(&mut world, 0);
        let robots = sides.map(|s| s.robot);
        let strikes = [0, 1].map(|i: Seat| Strikes::drawn(robots[i], &draws[i], keys[i]));
        let brown_out = [0, 1].map(|i: Seat| {
            let board = &robots[i].board;
            let boot_ms = 1000.0 * draws[i].of(&board.boot_time, "board");
            (board.brown_out.as_ref()).map(|v| (draws[i].of(v, "board"), boot_ms))
        });
        let longest_s = setup.longest_s.unwrap_or(arena.longest_s);
        let judge = Judge::new(arena, longest_s, setup.warnings);
        let mut bout = Self {
            arena,
            sides,
            keys,
            draws,
            mirrored,
            round,
            second,
            silhouettes,
            around,
            world,
            crews,
            bounds: Bounds::new(judge.out_when(), 0.5 * ring.diameter_m, robots, &draws),
            judge,
            watch: Watch::new(wanted),
            hash: StateHash::new(),
            effort: [[0.0; 2]; 2],
            next_strike_ms: strikes[0].next_ms().min(strikes[1].next_ms()),
            strikes,
            brown_out,
            put_down: 0,
            now_ms: 0,
            started_ms: 0,
        };
        bout.tell_both(EventKind::Start);
        bout.watch.frame(0, &bout.world, bout.effort, false);
        bout
    }

    /// The whole bout.
    fn fought(mut self) -> Record {
        let mut over = self.start();
        loop {
            if let Some(over) = over {
                return self.close(over);
            }
            over = self.step();
        }
    }

    /// The signal: who moves before it is warned or has lost. After a warning both are put down
    /// anew, which takes none of the bout's time.
    fn start(&mut self) -> Option<Over> {
        if self.arena.has_remote() {
            // A remote starts the robot: it cannot start by itself.
            return None;
        }
        loop {
            let early = [0, 1].map(|i: Seat| self.strikes[i].starts_early(self.put_down));
            for seat in (0..2).filter(|i| early[*i]) {
                self.tell(seat, EventKind::FalseStart);
            }
            let mut lost = early;
            if self.arena.judging.early_start == EarlyStart::Warning {
                for seat in 0..2 {
                    lost[seat] = early[seat] && self.judge.warn(seat);
                }
            }
            let end = match lost {
                [true, true] => End::Tie,
                [true, false] => End::Ruled { loser: 0 },
                [false, true] => End::Ruled { loser: 1 },
                [false, false] if early == [false; 2] => return None,
                [false, false] => {
                    self.put_back();
                    continue;
                }
            };
            let delay = Ground::alone(Measure::StartDelay, self.arena.start_delay_s);
            return Over::by(end, Cause::FalseStart, Grounds::of(&[delay]));
        }
    }

    /// One millisecond, or two while the robots are far apart and from the rim and no motor gets
    /// something new in between; the end, if this was it.
    ///
    /// Readings and runs of the programs due before the end of the step come first, from the
    /// state at its beginning moved on by its velocities. Motors obey at the step nearest to
    /// their time.
    fn step(&mut self) -> Option<Over> {
        let since_start = f64::from(self.now_ms - self.started_ms);
        let mut ms = if self.now_ms.is_multiple_of(2) && self.world.may_stride() {
            2
        } else {
            1
        };
        let until = since_start + f64::from(ms);
        for seat in 0..2 {
            if self.crews[seat].is_due(until) {
                let scene = scene(
                    self.arena,
                    &self.world,
                    &self.silhouettes,
                    &self.around,
                    seat,
                );
                self.crews[seat].live(since_start, until, &scene);
                if self.crews[seat].board.has_failed() {
                    let end = End::Abandoned { seat };
                    return Over::by(end, Cause::ProgramFailed, Grounds::default());
                }
            }
        }
        for (seat, crew) in self.crews.iter_mut().enumerate() {
            let effort = &mut self.effort[seat];
            *effort = crew.board.effort(since_start + 0.5);
            self.world.send(seat, &crew.board.gadgets());
            if crew.board.changes_by(since_start + 1.5) {
                ms = 1;
            }
        }
        self.world.advance(ms, self.effort);
        self.now_ms += ms;
        if !self.world.finite() {
            return Over::by(End::NotFinite, Cause::NotFinite, Grounds::default());
        }
        self.watch.step(&self.world, ms);
        let are_out = [0, 1].map(|i: Seat| self.bounds.is_out(&self.world, i));
        if let Some(end) = Judge::out(are_out) {
            let together = (Cause::OutTogether, Grounds::default());
            return Some(Over {
                end,
                blame: (end == End::Tie).then_some(together),
            });
        }
        if let Some(over) = self.trouble() {
            return Some(over);
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
        self.ask_the_judge()
    }

    fn ask_the_judge(&mut self) -> Option<Over> {
        let seen = [0, 1].map(|i: Seat| {
            let pose = self.world.pose(i);
            Seen {
                at: plan(pose.origin),
                nose: plan(pose.origin + pose.rotation * (NOSE_M * DVec3::X)),
                upright: pose.rotation.z_axis.z,
            }
        });
        let touched = self.watch.touched();
        match self.judge.look(self.now_ms, seen, touched) {
            Ruling::GoOn => None,
            Ruling::PutBack => {
                self.put_back();
                None
            }
            Ruling::Over(end, cause) => {
                let grounds = self.judge.grounds(self.now_ms, end, cause);
                Over::by(end, cause, grounds)
            }
        }
    }

    /// Faults that strike now, and packs that sag too low for a board.
    fn trouble(&mut self) -> Option<Over> {
        for seat in 0..2 {
            let Some((least_v, boot_ms)) = self.brown_out[seat] else {
                continue;
            };
            let volts = self.world.pack_volts(seat);
            if volts < least_v && self.crews[seat].board.is_on() {
                let lasts = self.reset(seat, boot_ms);
                self.tell(seat, EventKind::BrownOut);
                let low = Ground::of(Measure::PackVoltage, volts, least_v);
                self.watch.mishap(
                    seat,
                    Mishap {
                        cause: Cause::BrownOut,
                        ground: low,
                        at_ms: self.now_ms,
                        lasts,
                    },
                );
            }
        }
        if self.now_ms < self.next_strike_ms {
            return None;
        }
        for seat in 0..2 {
            while let Some(strike) = self.strikes[seat].due(self.now_ms) {
                if let Some(over) = self.strike(seat, strike) {
                    return Some(over);
                }
            }
        }
        self.next_strike_ms = self.strikes[0].next_ms().min(self.strikes[1].next_ms());
        None
    }

    fn strike(&mut self, seat: Seat, strike: Strike) -> Option<Over> {
        let mut lasts = true;
        let kind = match strike.fault {
            Fault::LostTyre => {
                let machine = self.world.machine(seat);
                let unit = faults::pick(strike.which, machine.units());
                let treads: Vec<usize> = machine.treads_of(unit).collect();
                for tread in treads {
                    self.world
                        .lose_tyre(seat, tread, faults::RIM_RADIUS, faults::RIM_GRIP);
                }
                EventKind::LostTyre
            }
            Fault::LoosePlug => {
                self.world.unplug(seat, faults::pick(strike.which, 2));
                EventKind::LoosePlug
            }
            Fault::DeadSensor => {
                self.crews[seat].senses.kill(strike.which);
                EventKind::DeadSensor
            }
            Fault::ControllerReset => {
                let boot = &self.sides[seat].robot.board.boot_time;
                lasts = self.reset(seat, 1000.0 * self.draws[seat].of(boot, "board"));
                EventKind::ControllerReset
            }
            Fault::DroppedScrew => {
                self.tell(seat, EventKind::DroppedScrew);
                let dropped = self.strikes[seat].screw_kg;
                let most = self.arena.judging.dropped?;
                if most.allows(dropped) {
                    return None;
                }
                let ground = Ground::of(Measure::DroppedMass, dropped, most.si);
                let end = End::Ruled { loser: seat };
                return Over::by(end, Cause::DroppedParts, Grounds::of(&[ground]));
            }
            // Comes at the start.
            Fault::FalseStart => return None,
        };
        self.tell(seat, kind);
        let now = f64::from(self.now_ms) / 1000.0;
        self.watch.mishap(
            seat,
            Mishap {
                cause: Cause::Fault,
                ground: Ground::alone(Measure::FaultAt, now),
                at_ms: self.now_ms,
                lasts,
            },
        );
        None
    }

    /// The controller of a seat starts anew: motors off while it boots. Where a remote starts both, its
    /// line still says go, and the program runs from its beginning. Where a button does, it stands until
    /// somebody presses that, which nobody may before the judge has them put down again. Whether it stands.
    fn reset(&mut self, seat: Seat, boot_ms: f64) -> bool {
        let crew = &mut self.crews[seat];
        if !self.arena.has_remote() {
            crew.board.stand();
            return true;
        }
        let chance = self.keys[seat]
            .named("reset")
            .numbered(u64::from(self.now_ms));
        crew.controller = self.sides[seat].pilot.start(crew.opening, chance);
        let since_start = f64::from(self.now_ms - self.started_ms);
        crew.board.reset(since_start, boot_ms);
        false
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
            around: &self.around,
            round: self.round,
            second: self.second,
        };
        self.crews = hand.put_down(&mut self.world, self.put_down);
        self.watch.put_down();
        self.judge.start(self.now_ms);
        self.started_ms = self.now_ms;
        self.effort = [[0.0; 2]; 2];
    }

    fn tell(&mut self, seat: Seat, kind: EventKind) {
        let at = plan(self.world.pose(seat).origin);
        self.watch.event(self.now_ms, seat, kind, at);
    }

    fn tell_both(&mut self, kind: EventKind) {
        for seat in 0..2 {
            self.tell(seat, kind);
        }
    }

    /// The record.
    fn close(mut self, over: Over) -> Record {
        self.world.hash(&mut self.hash);
        let Over { end, blame } = over;
        let (mut left_at, mut decided_ms) = (None, self.now_ms);
        let (mut cause, mut grounds) = blame.unwrap_or((Cause::Stuck, Grounds::default()));
        if let End::Out { loser } = end {
            self.watch
                .note(self.now_ms, &self.world, &self.crews, self.effort);
            let Blame {
                cause: why,
                grounds: because,
                decided_ms: then,
                at,
            } = self.watch.blame(loser, self.arena.ring.diameter_m / 2.0);
            (cause, grounds, decided_ms) = (why, because, then);
            self.watch.event(decided_ms, loser, EventKind::Decided, at);
            self.tell(loser, EventKind::Out);
            let at = plan(self.world.pose(loser).origin);
            left_at = Some(maths::atan2(at.y, at.x));
        }
        if let End::Ruled { loser } = end {
            self.tell(loser, EventKind::Ruled);
        }
        self.watch
            .frame(self.now_ms, &self.world, self.effort, true);
        let time_s = f64::from(self.now_ms) / 1000.0;
        let outcome = Outcome {
            end,
            cause,
            grounds,
            time_s,
            decided_s: f64::from(decided_ms) / 1000.0,
            left_at,
        };
        let carry = [0, 1].map(|seat: Seat| {
            let (power, machine) = (self.world.power(seat), self.world.machine(seat));
            Carry {
                used_c: power.used - machine.pack.used,
                motors: power.warmth.clone(),
                tyres_m: machine.dirt_travel(),
            }
        });
        let (events, frames) = self.watch.finish();
        Record {
            outcome,
            simulated_s: time_s,
            warnings: self.judge.warnings(),
            events,
            frames,
            carry,
            state_hash: self.hash.finish(),
        }
    }
}
