//! What the targets share: a robot with everything, a stopwatch, and what must hold of any program.

#[path = "../../crates/firmware/tests/common/invent.rs"]
mod invent;
mod robot;
mod scrap;
mod stopwatch;

pub use robot::ports;
pub use scrap::Scrap;
pub use stopwatch::in_time;

use tactic::Program;

/// Runs of the program in one try.
const TICKS: usize = 200;

/// A tactic that uses all of the grammar, with every choice taken from `scrap`.
pub fn invented(scrap: &mut Scrap<'_>) -> String {
    invent::text(scrap)
}

/// Runs `program` on what `scrap` says its sensors read and its clock shows: efforts and ways of the
/// gadgets stay where they belong, and it says what it is doing.
///
/// # Panics
/// When they do not.
pub fn runs(program: &Program, scrap: &mut Scrap<'_>) {
    let opening = usize::from(scrap.byte());
    let mut memory = program.start(opening, scrap.word());
    let mut now = scrap.word();
    let mut readings = vec![0; ports().inputs.len()];
    for _ in 0..TICKS {
        let which = usize::from(scrap.byte());
        if let Some(reading) = readings.get_mut(which) {
            *reading = scrap.reading();
        }
        let drive = program.tick(&mut memory, &readings, now);
        let within = [drive.left, drive.right].map(|e| (-1000..=1000).contains(&e));
        assert_eq!(within, [true; 2], "{drive:?}");
        let mut gadgets = memory.gadgets().into_iter();
        assert!(gadgets.all(|g| g == tactic::OFF || (0..=1000).contains(&g)));
        assert!(!program.doing(&memory).is_empty());
        now = now.wrapping_add(scrap.pause());
    }
}
