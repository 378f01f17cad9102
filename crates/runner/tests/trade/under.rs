//! Who gets under whom when two blades meet edge to edge; the curve in `validation` is measured by it
//! as well.

use std::sync::atomic::AtomicBool;

use bout::{Arena, EventKind, Record, Wanted, fight_refined};
use quantity::Figure;
use robot::Robot;
use runner::Runner;
use study::{Entrant, Fought, Pit, Task, Verdict, plan};

/// Straight at the other at a steady speed, so that nobody squats.
const CHARGE: &str =
    "opening o {\n place 130 mm behind\n begin ram\n}\nstate ram {\n drive 45 % 45 %\n}\n";

/// Standard deviations in the half-width of a central 95 % range of a normal.
const HALF_WIDTH_95: f64 = 1.959_963_984_540_054;

/// A nose that is higher than the other's by this sine lies on the other's blade.
const HIGHER: f64 = 0.008;

/// `robot` with its blade's edge at `height_m`, as uncertain as its file has it, charging at what is
/// before it.
pub(crate) fn at_height(robot: &Robot, height_m: f64) -> Robot {
    let mut robot = robot.clone();
    let blade = robot.blade.as_mut().expect("it has a blade");
    blade.tip_height = blade.tip_height.clone().with_si(height_m);
    CHARGE.clone_into(&mut robot.tactic.text);
    robot
}

/// The same robot on wheels without any run-out, which would come on top of the blade's own spreads.
pub(crate) fn on_true_wheels(robot: &Robot) -> Robot {
    let mut robot = robot.clone();
    for wheel in &mut robot.wheels {
        wheel.run_out = Figure::derived(0.0, "run-out");
    }
    robot
}

/// Standard deviation in m of the height of a robot's edge, thickness included, from the spreads its
/// file declares: half-widths of 95 % ranges of independent normals.
pub(crate) fn spread_m(robot: &Robot) -> f64 {
    let blade = robot.blade.as_ref().expect("it has a blade");
    let (height, edge) = (&blade.tip_height, &blade.edge);
    let half_widths = [
        height.unsure(),
        height.varies(),
        edge.unsure(),
        edge.varies(),
    ];
    half_widths.map(|w| w * w).iter().sum::<f64>().sqrt() / HALF_WIDTH_95
}

/// How often who was under.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) struct Under {
    pub(crate) ours: u32,
    pub(crate) theirs: u32,
    /// Neither nose rose.
    pub(crate) neither: u32,
}

/// Which seat got under, if either did.
fn lower(record: &Record) -> Option<usize> {
    let hit = record.events.iter().find(|e| e.kind == EventKind::Hit)?;
    let nose = |[x, y, z, w]: [f64; 4]| 2.0 * (x * z - w * y);
    let pairs = record.frames[0].iter().zip(&record.frames[1]);
    let after = pairs.filter(|(f, _)| f.time_s > hit.time_s);
    let mut risen = after.map(|(a, b)| nose(a.orientation) - nose(b.orientation));
    risen
        .find(|d| d.abs() > HIGHER)
        .map(|d| usize::from(d > 0.0))
}

/// Lets two robots charge at each other `bouts` times, every substep of the solver cut into `parts`.
pub(crate) fn count(arena: &Arena, robots: [&Robot; 2], bouts: u32, parts: u32) -> Under {
    let ready = |r: &Robot| Entrant::of_robot(r).unwrap_or_else(|e| panic!("{e:#?}"));
    let mut arena = arena.clone();
    arena.longest_s = 1.0;
    let pit = Pit {
        arena,
        seed: 77,
        ours: vec![ready(robots[0])],
        field: vec![ready(robots[1])],
    };
    let wanted = Wanted {
        frames: true,
        events: true,
    };
    let fight = |task: Task| {
        let mut fighters = [pit.ours[0].fighter(), pit.field[0].fighter()];
        if task.seat() == 1 {
            fighters.swap(0, 1);
        }
        let draws = task.key(pit.seed, &pit.field[0].robot.name);
        let record = fight_refined(&pit.arena, fighters, draws, wanted, parts);
        let verdict = match lower(&record) {
            Some(seat) if seat == task.seat() => Verdict::Win,
            Some(_) => Verdict::Loss,
            None => Verdict::Tie,
        };
        Fought {
            verdict,
            cause: record.outcome.cause,
            time_s: 0.0,
            left_at: None,
            state_hash: record.state_hash,
        }
    };
    let runner = Runner::new(None).expect("threads start");
    let never = AtomicBool::new(false);
    let fought = runner.run(&plan(0, 1, bouts), &fight, &|_, _| {}, &never);
    let count = |v| fought.iter().flatten().filter(|f| f.verdict == v).count();
    let [ours, theirs, neither] = [Verdict::Win, Verdict::Loss, Verdict::Tie]
        .map(|v| u32::try_from(count(v)).expect("few bouts"));
    Under {
        ours,
        theirs,
        neither,
    }
}
