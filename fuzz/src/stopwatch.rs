//! No input may take long.

use core::time::Duration;

use cpu_time::ThreadTime;

/// Longest that any one thing may take. Time of this thread alone, so that a busy machine does not count.
const LONGEST: Duration = Duration::from_millis(100);

/// Does `what`, called `name`.
///
/// # Panics
/// When it takes longer than a tenth of a second.
pub fn in_time<T>(name: &str, what: impl FnOnce() -> T) -> T {
    let start = ThreadTime::now();
    let done = what();
    let took = start.elapsed();
    assert!(took < LONGEST, "{name} took {took:?}");
    done
}
