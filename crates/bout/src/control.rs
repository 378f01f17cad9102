//! The controller board: when the program runs, and when the motors obey.

use std::collections::VecDeque;

use quantity::Draws;
use robot::Robot;

use crate::sense::{Beat, Scene, Senses};

/// What a program orders of its robot.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Orders {
    /// Efforts left and right, −1000 to 1000; what is beyond counts as the nearer end.
    pub effort: [i16; 2],
    /// Where its gadgets go, in the order of [`tactic::Ports::of`]: per mille of their way to the second
    /// end, below 0: without power.
    pub gadgets: [i16; tactic::GADGETS],
}

impl Orders {
    /// Efforts alone, the gadgets at their first ends.
    #[must_use]
    pub fn drive(effort: [i16; 2]) -> Self {
        Self {
            effort,
            gadgets: [0; tactic::GADGETS],
        }
    }
}

/// A program at work. It is told the readings and the time, and nothing else: whatever it decides
/// rests on what its robot could have known.
pub trait Controller: core::fmt::Debug {
    /// One run: the readings in file order and the whole milliseconds since its first run, to what
    /// it orders. None: it failed and decides no more, so that the bout is abandoned.
    fn run(&mut self, readings: &[i16], elapsed_ms: u32) -> Option<Orders>;
}

/// What a controller begins with.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Beginning {
    /// The opening it plays, by its index in the robot's program.
    pub opening: usize,
    /// A number of the bout's own for what it leaves to chance.
    pub dice: u16,
}

/// Who decides for a robot in place of its program. Sensors, openings, loop time and delays stay as they
/// are in the robot's file.
///
/// A bout is the same to the bit whenever the orders are.
pub trait Driver {
    /// A controller ready for its first run: when both robots are put down, and anew whenever the judge
    /// has them put down again or, where a remote starts both, the robot's board starts anew. The one before
    /// decides no more.
    fn start(&self, beginning: Beginning) -> Box<dyn Controller>;
}

/// The clockwork of one controller board.
#[derive(Debug)]
pub(crate) struct Board {
    /// When the program runs, in ms from the start.
    runs: Beat,
    /// Number of its next run.
    next_run: u64,
    /// Time from a decision to the motors obeying, in ms.
    delay_ms: f64,
    /// Decisions on their way: when the motors obey, and what they get.
    pending: VecDeque<(f64, Orders)>,
    /// What the motors get now.
    orders: Orders,
    /// Number of the program's first run since the board was switched on.
    first_run: u64,
    /// Whether the program has run since.
    is_on: bool,
    /// Whether the program failed.
    has_failed: bool,
    /// Whether it waits for its button, and the program does not run.
    stands: bool,
}

impl Board {
    /// The board of `robot` as drawn: the first run comes `wait_ms` plus the share `phase` of a
    /// loop time after the start.
    pub(crate) fn new(robot: &Robot, draws: &Draws, wait_ms: f64, phase: f64) -> Self {
        let loop_ms = draws.of(&robot.board.loop_time, "board") * 1000.0;
        let delay_ms = (draws.of(&robot.board.output_delay, "board") * 1000.0).max(0.0);
        let runs = Beat::new(loop_ms, phase).after(wait_ms);
        let on_the_way = runs.count_within(delay_ms).min(1000);
        Self {
            runs,
            next_run: 0,
            delay_ms,
            pending: VecDeque::with_capacity(on_the_way + 2),
            orders: Orders::drive([0; 2]),
            first_run: 0,
            is_on: false,
            has_failed: false,
            stands: false,
        }
    }

    /// When the program runs.
    pub(crate) fn runs(&self) -> Beat {
        self.runs
    }

    /// When it runs next, in ms from the start.
    fn next_run_ms(&self) -> f64 {
        if self.stands {
            return f64::INFINITY;
        }
        self.runs.at(self.next_run)
    }

    /// Runs the program on `readings`.
    fn run(&mut self, controller: &mut dyn Controller, readings: &[i16]) {
        let now_ms = self.next_run_ms();
        let elapsed_ms = whole_ms(now_ms - self.runs.at(self.first_run));
        let mut orders = controller.run(readings, elapsed_ms).unwrap_or_else(|| {
            self.has_failed = true;
            Orders::drive([0; 2])
        });
        self.is_on = true;
        orders.effort = orders.effort.map(|e| e.clamp(-1000, 1000));
        self.next_run += 1;
        if self.pending.back().map_or(self.orders, |p| p.1) != orders {
            self.pending.push_back((now_ms + self.delay_ms, orders));
        }
    }

    /// Switches off at `now_ms` and takes `boot_ms` to come up again: nothing decided before reaches
    /// the motors, and the program's first run is the first one after that.
    pub(crate) fn reset(&mut self, now_ms: f64, boot_ms: f64) {
        self.switch_off();
        let up_ms = now_ms + boot_ms.max(0.0);
        while self.next_run_ms() < up_ms {
            self.next_run += 1;
        }
        self.first_run = self.next_run;
    }

    /// Switches off and waits for its button from then on.
    pub(crate) fn stand(&mut self) {
        self.switch_off();
        self.stands = true;
    }

    fn switch_off(&mut self) {
        self.pending.clear();
        self.orders = Orders {
            effort: [0; 2],
            gadgets: [tactic::OFF; tactic::GADGETS],
        };
        self.is_on = false;
    }

    /// Whether the program has run since the board was last switched on.
    pub(crate) fn is_on(&self) -> bool {
        self.is_on
    }

    /// Whether the program failed and decides no more.
    pub(crate) fn has_failed(&self) -> bool {
        self.has_failed
    }

    /// Whether the motors will get something else at or before `time_ms`.
    pub(crate) fn changes_by(&self, time_ms: f64) -> bool {
        self.pending.front().is_some_and(|p| p.0 <= time_ms)
    }

    /// What the motors get at `time_ms`, −1 to 1.
    pub(crate) fn effort(&mut self, time_ms: f64) -> [f64; 2] {
        while self.changes_by(time_ms) {
            if let Some((_, orders)) = self.pending.pop_front() {
                self.orders = orders;
            }
        }
        self.orders.effort.map(|e| f64::from(e) / 1000.0)
    }

    /// Where the gadgets were sent last.
    pub(crate) fn gadgets(&self) -> [i16; tactic::GADGETS] {
        self.orders.gadgets
    }
}

/// What decides for one robot: its sensors, its board and its program.
#[derive(Debug)]
pub(crate) struct Crew {
    /// Sensors.
    pub(crate) senses: Senses,
    /// Board.
    pub(crate) board: Board,
    /// Program.
    pub(crate) controller: Box<dyn Controller>,
    /// The opening it plays.
    pub(crate) opening: usize,
}

impl Crew {
    /// Works off readings and runs due before `until_ms`. `scene` is the truth at `scene_ms`.
    pub(crate) fn live(&mut self, scene_ms: f64, until_ms: f64, scene: &Scene<'_>) {
        if self.senses.next_due_ms() < until_ms {
            self.senses
                .take(scene_ms, until_ms, scene, &self.board.runs);
        }
        while self.board.next_run_ms() < until_ms && !self.board.has_failed() {
            let readings = self.senses.readings(self.board.next_run_ms());
            self.board.run(self.controller.as_mut(), readings);
        }
    }

    /// Whether anything is due before `until_ms`.
    pub(crate) fn is_due(&self, until_ms: f64) -> bool {
        self.senses.next_due_ms().min(self.board.next_run_ms()) < until_ms
    }
}

/// Whole milliseconds, saturating; NaN becomes 0.
#[allow(
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "the cast saturates, and saturation is what is meant"
)]
pub(crate) fn whole_ms(ms: f64) -> u32 {
    ms as u32
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::tests::scenery::{self, Steady};
    use quantity::{Figure, Stream};
    use robot::SensorKind;

    /// A program that notes when it is run and answers with its count of runs.
    #[derive(Debug, Default)]
    struct Counting {
        times: Vec<u32>,
    }

    impl Controller for Counting {
        fn run(&mut self, _readings: &[i16], elapsed_ms: u32) -> Option<Orders> {
            self.times.push(elapsed_ms);
            let n = i16::try_from(self.times.len()).expect("short");
            Some(Orders::drive([n, 5000]))
        }
    }

    fn board(loop_s: f64, delay_s: f64, wait_ms: f64, phase: f64) -> Board {
        let mut r = scenery::pusher("clockwork");
        r.board.loop_time = Figure::derived(loop_s, "board/loop_time");
        r.board.output_delay = Figure::derived(delay_s, "board/output_delay");
        Board::new(&r, &Draws::nominal(), wait_ms, phase)
    }

    #[test]
    fn the_program_runs_at_its_loop_time_from_its_phase_on() {
        let mut b = board(0.0065, 0.0, 100.0, 0.5);
        let mut c = Counting::default();
        assert!((b.next_run_ms() - 103.25).abs() < 1e-12);
        for _ in 0..4 {
            b.run(&mut c, &[]);
        }
        assert_eq!(c.times, [0, 6, 13, 19], "whole ms of its own clock");
        assert!((b.next_run_ms() - (103.25 + 26.0)).abs() < 1e-12);
    }

    /// What the motors get, per mille.
    fn per_mille(b: &mut Board, time_ms: f64) -> [i32; 2] {
        b.effort(time_ms)
            .map(|e| whole_ms(1e6 + 1000.0 * e + 0.5))
            .map(|e| i32::try_from(e).expect("small") - 1_000_000)
    }

    #[test]
    fn motors_obey_after_the_output_delay_even_over_several_loops() {
        let mut b = board(0.005, 0.012, 0.0, 0.0);
        let mut c = Counting::default();
        for _ in 0..5 {
            b.run(&mut c, &[]);
        }
        assert_eq!(per_mille(&mut b, 11.9), [0, 0]);
        assert_eq!(per_mille(&mut b, 12.0), [1, 1000], "clamped to full effort");
        assert!(b.changes_by(17.0) && !b.changes_by(16.9));
        assert_eq!(per_mille(&mut b, 16.9), [1, 1000]);
        assert_eq!(per_mille(&mut b, 28.0), [4, 1000]);
    }

    #[test]
    fn a_decision_that_changes_nothing_is_no_change() {
        let mut b = board(0.005, 0.001, 0.0, 0.0);
        let mut c = Steady([300, -300]);
        b.run(&mut c, &[]);
        assert_eq!(per_mille(&mut b, 1.0), [300, -300]);
        for _ in 0..10 {
            b.run(&mut c, &[]);
        }
        assert!(!b.changes_by(1e9));
    }

    #[test]
    fn after_a_reset_the_motors_are_off_until_the_program_runs_anew() {
        let mut b = board(0.005, 0.001, 0.0, 0.0);
        let mut c = Counting::default();
        for _ in 0..3 {
            b.run(&mut c, &[]);
        }
        assert_eq!(per_mille(&mut b, 6.0), [2, 1000]);
        assert!(b.is_on());
        // The decision of the run at 10 ms is on its way.
        b.reset(10.5, 102.0);
        assert!(!b.is_on());
        assert_eq!(per_mille(&mut b, 60.0), [0, 0]);
        assert!((b.next_run_ms() - 115.0).abs() < 1e-12);
        let mut fresh = Counting::default();
        b.run(&mut fresh, &[]);
        b.run(&mut fresh, &[]);
        assert_eq!(fresh.times, [0, 5], "its clock begins anew");
        assert_eq!(per_mille(&mut b, 116.0), [1, 1000]);
    }

    #[test]
    fn one_that_stands_is_never_due_and_its_motors_are_off() {
        let mut b = board(0.005, 0.001, 0.0, 0.0);
        let mut c = Counting::default();
        b.run(&mut c, &[]);
        b.stand();
        assert!(!b.is_on() && b.next_run_ms() == f64::INFINITY);
        assert_eq!(per_mille(&mut b, 60.0), [0, 0]);
        assert_eq!(b.gadgets(), [tactic::OFF; tactic::GADGETS]);
        // Another reset changes nothing, and ends.
        b.reset(70.0, 100.0);
        assert!(b.next_run_ms() == f64::INFINITY);
    }

    /// A program that notes what it reads.
    #[derive(Debug, Default)]
    struct Reading(std::rc::Rc<std::cell::RefCell<Vec<i16>>>);

    impl Controller for Reading {
        fn run(&mut self, readings: &[i16], _elapsed_ms: u32) -> Option<Orders> {
            self.0.borrow_mut().push(readings[0]);
            Some(Orders::drive([0, 0]))
        }
    }

    #[test]
    fn a_run_never_sees_what_is_read_after_it_in_the_same_step() {
        // The opponent comes at 1 m/s; the eye reads every ms without latency; runs every 2 ms.
        let mut robot = scenery::pusher("prompt");
        robot.sensors.truncate(1);
        robot.sensors[0].rate = Figure::derived(1000.0, "rate");
        robot.sensors[0].latency = Figure::derived(0.0, "latency");
        let SensorKind::Range { noise, misses, .. } = &mut robot.sensors[0].kind else {
            unreachable!("the first is an eye")
        };
        (*noise, *misses) = (
            Figure::derived(0.0, "noise"),
            Figure::derived(0.0, "misses"),
        );
        robot.board.loop_time = Figure::derived(0.002, "loop");
        let draws = Draws::nominal();
        let silhouette = crate::sense::Silhouette::of(&robot, &draws);
        let seen = |step_ms: f64| {
            let board = Board::new(&robot, &draws, 0.0, 0.4);
            let runs = board.runs();
            let senses = Senses::new(&robot, &silhouette, &draws, Stream::root(3), &runs);
            let reading = Reading::default();
            let log = std::rc::Rc::clone(&reading.0);
            let mut crew = Crew {
                senses,
                board,
                controller: Box::new(reading),
                opening: 0,
            };
            let scene = scenery::closing(&silhouette);
            crew.senses.settle(&scene);
            for k in 0..50 {
                let now = f64::from(k) * step_ms;
                let mut opponent = scene.opponent;
                opponent.origin += opponent.velocity * now / 1000.0;
                crew.live(now, now + step_ms, &Scene { opponent, ..scene });
            }
            log.take()
        };
        let (fine, coarse) = (seen(1.0), seen(2.0));
        assert!(fine.len() == 25 && coarse.len() == 50);
        assert_eq!(fine[..], coarse[..25]);
        assert!(fine.windows(2).all(|w| w[0] - w[1] == 2), "{fine:?}");
    }
}
