//! A file holds one concept and can be read in one sitting.

use house::{files, read};

/// Most lines of a source file, tests included.
const MOST_LINES: usize = 600;
/// Most lines of the median source file.
const MOST_MEDIAN: usize = 300;

#[test]
fn no_source_file_is_too_long() {
    let sizes = files("crates", "rs")
        .into_iter()
        .map(|f| (read(&f).lines().count(), f));
    let mut sizes: Vec<(usize, String)> = sizes.collect();
    sizes.sort();
    assert!(sizes.len() > 100, "only {} files were seen", sizes.len());
    let long: Vec<&(usize, String)> = sizes.iter().filter(|(n, _)| *n > MOST_LINES).collect();
    assert!(long.is_empty(), "longer than {MOST_LINES} lines: {long:?}");
    let median = sizes[sizes.len() / 2].0;
    assert!(median <= MOST_MEDIAN, "the median file has {median} lines");
}
