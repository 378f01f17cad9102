//! Robots that differ in one thing, and many bouts between them.

use std::sync::atomic::AtomicBool;

use bout::{Arena, Record, Wanted};
use robot::PartsBox;
use rules::Classes;
use runner::Runner;
use study::{Entrant, Estimate, Fought, Pit, Verdict, paired_difference, plan, wilson, z_of};

/// Seed of all bouts here.
const SEED: u64 = 1_906;

/// How sure a difference must be before a test believes it: 99 of 100.
pub(crate) const SURE: f64 = 0.99;

/// The mini ring.
pub(crate) fn mini() -> Arena {
    let classes = Classes::built_in().unwrap_or_else(|e| panic!("{e:#?}"));
    let class = classes.find("mini").unwrap_or_else(|e| panic!("{e:?}"));
    Arena::of(class)
}

/// The mini class on a ring of another size.
pub(crate) fn ring_of(diameter_m: f64) -> Arena {
    let mut arena = mini();
    arena.ring.diameter_m = diameter_m;
    (arena.placing.to_middle_m, arena.placing.aside_m) = (0.5 * diameter_m, 0.5 * diameter_m);
    arena
}

/// Mean of some values; not a number of none.
pub(crate) fn mean(values: impl Iterator<Item = f64>) -> f64 {
    let (sum, n) = values.fold((0.0, 0.0), |(sum, n), v| (sum + v, n + 1.0));
    sum / n
}

/// A robot file of the shelf or of this folder, with changes of its text.
#[derive(Debug, Clone)]
pub(crate) struct Plan {
    text: String,
    tactic: String,
}

impl Plan {
    /// The built-in robot `name` with its own tactic.
    pub(crate) fn of(name: &str) -> Self {
        let on_shelf = |path: String| shelf::file(&path).unwrap_or_else(|| panic!("no {path}"));
        let text = on_shelf(format!("robots/{name}.toml"));
        let named = text.lines().find_map(|l| l.strip_prefix("tactic = "));
        let tactic = named.expect("it has a tactic").trim_matches('"').to_owned();
        let tactic = on_shelf(format!("robots/tactics/{tactic}"));
        Self { text, tactic }
    }

    /// From texts.
    pub(crate) fn from_text(text: &str, tactic: &str) -> Self {
        Self {
            text: text.into(),
            tactic: tactic.into(),
        }
    }

    /// With another program.
    pub(crate) fn runs(mut self, tactic: &str) -> Self {
        tactic.clone_into(&mut self.tactic);
        self
    }

    /// With `old` in the robot's file replaced wherever it stands; it must stand there.
    pub(crate) fn with(mut self, old: &str, new: &str) -> Self {
        assert!(self.text.contains(old), "{old:?} is not in the robot file");
        self.text = self.text.replace(old, new);
        self
    }

    /// Charging blindly.
    pub(crate) fn charging(self) -> Self {
        self.runs(CHARGE)
    }

    /// With `old` in its program replaced; it must stand there.
    pub(crate) fn plays(mut self, old: &str, new: &str) -> Self {
        assert!(self.tactic.contains(old), "{old:?} is not in the tactic");
        self.tactic = self.tactic.replace(old, new);
        self
    }

    /// Without the section that begins with `head` (its header and first line).
    pub(crate) fn without(mut self, head: &str) -> Self {
        let (before, rest) = self
            .text
            .split_once(head)
            .expect("the section stands there");
        let after = rest.find("\n[").map_or("", |k| &rest[k..]);
        self.text = format!("{before}{after}");
        self
    }

    /// Built and programmed.
    pub(crate) fn build(&self) -> Entrant {
        let parts = PartsBox::built_in().unwrap_or_else(|e| panic!("{e:#?}"));
        let lookup = |_: &str| Some(self.tactic.clone());
        let robot = robot::read("robot.toml", &self.text, &parts, &lookup)
            .unwrap_or_else(|e| panic!("{e:#?}"));
        Entrant::of_robot(&robot).unwrap_or_else(|e| panic!("{e:#?}"))
    }
}

/// Straight ahead, whatever comes, from 130 mm behind the line.
const CHARGE: &str =
    "opening o {\n place 130 mm behind\n begin ram\n}\nstate ram {\n drive 100 % 100 %\n}\n";

/// Badger without its blade, charging blindly: a box on four driven wheels.
pub(crate) fn blunt() -> Plan {
    let body = "length = \"66 mm\"\nwidth = \"99 mm\"\nat = [\"-16 mm\"";
    let whole = "length = \"99 mm\"\nwidth = \"99 mm\"\nat = [\"0 mm\"";
    let badger = Plan::of("mini/badger").charging();
    badger.without("[blade]\n").with(body, whole)
}

/// With front wheels that nothing drives.
pub(crate) fn driven_behind(plan: &Plan) -> Plan {
    ["left", "right"].iter().fold(plan.clone(), |plan, side| {
        let at = "at = [\"28 mm\"";
        plan.with(&format!("motor = \"{side} motor\"\n{at}"), at)
    })
}

/// Versions of ours in a ring, and whom they meet.
pub(crate) fn pit_of(arena: &Arena, ours: Vec<Entrant>, field: Vec<Entrant>) -> Pit {
    Pit {
        arena: arena.clone(),
        seed: SEED,
        ours,
        field,
    }
}

fn pit<const N: usize>(arena: &Arena, ours: [&Plan; N], field: &[&Plan]) -> Pit {
    let build = |plans: &[&Plan]| plans.iter().map(|p| p.build()).collect();
    pit_of(arena, build(&ours), build(field))
}

/// `bouts` bouts of a version of ours against the field by turns, on all cores.
fn fought(pit: &Pit, version: usize, bouts: u32) -> Vec<Fought> {
    let tasks = &plan(version, pit.field.len(), bouts);
    let runner = Runner::new(None).expect("threads start");
    let never = AtomicBool::new(false);
    let fought = runner.run(tasks, &|t| pit.fight(t), &|_, _| {}, &never);
    let fought: Vec<Fought> = fought.into_iter().flatten().collect();
    assert!(fought.iter().all(|f| f.verdict != Verdict::Failed));
    fought
}

/// Wins, losses and ties.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) struct Tally {
    pub(crate) won: u32,
    pub(crate) lost: u32,
    pub(crate) tied: u32,
}

impl Tally {
    fn of(fought: &[Fought]) -> Self {
        let count = |v| fought.iter().filter(|f| f.verdict == v).count();
        let count = |v| u32::try_from(count(v)).expect("few bouts");
        Self {
            won: count(Verdict::Win),
            lost: count(Verdict::Loss),
            tied: count(Verdict::Tie),
        }
    }

    /// Share of the decided bouts that were won.
    pub(crate) fn share(&self) -> Estimate {
        wilson(self.won, self.won + self.lost, z_of(SURE))
    }
}

/// What came of `bouts` bouts of the first of ours against the first of the field.
pub(crate) fn duel(arena: &Arena, one: &Plan, two: &Plan, bouts: u32) -> Tally {
    let pit = pit(arena, [one], &[two]);
    Tally::of(&fought(&pit, 0, bouts))
}

/// Two versions of a robot against the same opponents on the same draws.
#[derive(Debug, Clone)]
pub(crate) struct Comparison {
    pub(crate) before: Vec<Fought>,
    pub(crate) after: Vec<Fought>,
}

impl Comparison {
    /// By how much the share of bouts of which `holds` is true grew.
    pub(crate) fn change(&self, holds: impl Fn(&Fought) -> bool) -> Estimate {
        let (mut gained, mut lost) = (0, 0);
        for (a, b) in self.before.iter().zip(&self.after) {
            gained += u32::from(!holds(a) && holds(b));
            lost += u32::from(holds(a) && !holds(b));
        }
        let n = u32::try_from(self.before.len()).expect("few bouts");
        paired_difference(gained, lost, n, z_of(SURE))
    }

    /// By how much the share of bouts lost grew.
    pub(crate) fn losses(&self) -> Estimate {
        self.change(|f| f.verdict == Verdict::Loss)
    }

    /// Wins, losses and ties of both versions.
    pub(crate) fn tallies(&self) -> [Tally; 2] {
        [Tally::of(&self.before), Tally::of(&self.after)]
    }
}

/// `bouts` bouts of each of two versions against `field`, on the same draws.
pub(crate) fn compare(arena: &Arena, ours: [&Plan; 2], field: &[&Plan], bouts: u32) -> Comparison {
    let pit = pit(arena, ours, field);
    let [before, after] = [0, 1].map(|v| fought(&pit, v, bouts));
    Comparison { before, after }
}

/// Seat of ours and record with everything of `bouts` bouts against the field by turns.
pub(crate) fn recorded(pit: &Pit, bouts: u32) -> Vec<(usize, Record)> {
    let wanted = Wanted {
        frames: true,
        events: true,
    };
    let tasks = plan(0, pit.field.len(), bouts).into_iter();
    tasks.map(|t| (t.seat(), pit.record(t, wanted))).collect()
}

/// The same for two robots.
pub(crate) fn records(arena: &Arena, one: &Plan, two: &Plan, bouts: u32) -> Vec<(usize, Record)> {
    recorded(&pit(arena, [one], &[two]), bouts)
}

/// How far the nose of a frame's robot points up, as the sine of the angle.
pub(crate) fn nose_up(orientation: [f64; 4]) -> f64 {
    let [x, y, z, w] = orientation;
    2.0 * (x * z - w * y)
}
