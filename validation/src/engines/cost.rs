//! What the scramble costs: instructions, which do not depend on who else uses the machine, and
//! processor time.

use std::process::Command;

use super::table::Table;
use super::{Engine, output};

/// Cost of a simulated millisecond.
#[derive(Debug, Clone, Copy, Default)]
pub(super) struct Cost {
    /// Instructions.
    pub(super) instructions: Option<f64>,
    /// Processor time in µs: the median of the repeats.
    pub(super) median_us: Option<f64>,
    /// The least of the repeats.
    pub(super) least_us: Option<f64>,
}

/// Simulated time of a pass, ms.
const PASS_MS: f64 = 10_000.0;
/// Repeats of the timing: all engines in turn, this often.
const REPEATS: usize = 9;
/// Passes of one repeat; the first warms up and is not counted.
const PASSES: u32 = 3;

/// All instructions of a run of a command, as valgrind counts them.
fn instructions(command: Command) -> Result<f64, String> {
    let mut under = Command::new("valgrind");
    under.args(["--tool=callgrind", "--callgrind-out-file=/dev/null"]);
    under.arg(command.get_program()).args(command.get_args());
    let done = under.output().map_err(|_| {
        "valgrind is absent: install it with your system's packages (\"apt install valgrind\")."
            .to_owned()
    })?;
    let said = String::from_utf8_lossy(&done.stderr);
    if !done.status.success() {
        return Err(format!("valgrind failed: {}", said.trim()));
    }
    let counted = said.lines().find_map(|l| {
        let (_, number) = l.split_once("Collected :")?;
        number.trim().parse().ok()
    });
    counted.ok_or_else(|| format!("valgrind said no number: {}", said.trim()))
}

/// Instructions of a simulated millisecond: what a second pass adds to a first. The count does
/// not depend on the load of the machine, so both runs go at once.
fn of_a_millisecond(engine: &dyn Engine) -> Result<f64, String> {
    let [one, two] = [engine.scramble(1)?, engine.scramble(2)?];
    let (one, two) = std::thread::scope(|scope| {
        let one = scope.spawn(|| instructions(one));
        let two = instructions(two);
        (one.join(), two)
    });
    let one = one.map_err(|_| "counting stopped".to_owned())??;
    Ok((two? - one) / PASS_MS)
}

fn processor_us(engine: &dyn Engine) -> Result<f64, String> {
    let said = output(&mut engine.scramble(PASSES)?)?;
    let seconds: Vec<f64> = said.lines().filter_map(|l| l.parse().ok()).collect();
    let counted = seconds.get(1..).unwrap_or_default();
    if counted.is_empty() {
        return Err(format!("no times in \"{said}\""));
    }
    Ok(1e6 * counted.iter().sum::<f64>() / counted.len() as f64 / PASS_MS)
}

/// Measures all engines, the timing in turns so that a disturbance meets all of them alike.
pub(super) fn measure(engines: &[Box<dyn Engine>], table: &mut Table) -> Vec<Cost> {
    let mut times: Vec<Vec<f64>> = vec![Vec::new(); engines.len()];
    for _ in 0..REPEATS {
        for (engine, times) in engines.iter().zip(&mut times) {
            times.extend(table.caught(processor_us(engine.as_ref())));
        }
    }
    let mut costs = Vec::new();
    for (engine, mut times) in engines.iter().zip(times) {
        times.sort_by(f64::total_cmp);
        costs.push(Cost {
            instructions: table.caught(of_a_millisecond(engine.as_ref())),
            median_us: times.get(times.len() / 2).copied(),
            least_us: times.first().copied(),
        });
    }
    costs
}
