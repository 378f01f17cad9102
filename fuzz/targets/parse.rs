//! Any bytes as a tactic's text. Mistakes are told with places that exist; formatting changes neither
//! what a text means nor what is wrong with it; what compiles, runs.
#![no_main]

use fuzz::{Scrap, in_time, ports, runs};
use libfuzzer_sys::fuzz_target;
use tactic::{Leg, Looks, Program, Tactic};

/// The tactic, or what is wrong with the text.
fn read(text: &str) -> Result<Tactic, Vec<String>> {
    let issues = match in_time("reading", || tactic::parse("fuzzed.tactic", text)) {
        Ok(tactic) => return Ok(tactic),
        Err(issues) => issues,
    };
    assert!(!issues.is_empty());
    let told = issues.into_iter().map(|i| {
        assert!(text.get(i.place.span.clone()).is_some(), "{i:?}");
        assert!(i.place.line >= 1 && !i.expected.is_empty(), "{i:?}");
        i.what
    });
    Err(told.collect())
}

/// The program, or what its robot lacks.
fn compiled(tactic: &Tactic) -> Result<Program, Vec<String>> {
    let made = in_time("compiling", || tactic::compile(tactic, &ports()));
    made.map_err(|issues| issues.into_iter().map(|i| i.what).collect())
}

/// What is said of a tactic without running it.
fn described(tactic: &Tactic) {
    in_time("describing", || {
        let names = tactic.sensors_read();
        assert!(names.iter().all(|n| tactic.text().contains(n.as_str())));
        assert!((0..=1000).contains(&tactic.most_effort_backward()));
        let shares = tactic.gadget_orders().into_iter().filter_map(|o| o.share);
        assert!(shares.into_iter().all(|s| (0..=1000).contains(&s)));
        // Each makes a copy of the whole: a few are enough.
        for c in tactic.constants().into_iter().take(8) {
            assert!(tactic.with_constant(&c.name, c.value).is_some());
        }
        assert!(tactic.findings().iter().all(|f| f.place.is_some()));
        let edge = ["edge-front-left".to_owned(), "edge-back-left".to_owned()];
        let looks = |name: &str| match name {
            "left" | "flank-left" => Some(Looks::Left),
            "right" => Some(Looks::Ahead),
            _ => None,
        };
        let _ = tactic.strays(&looks, &edge);
        let _ = (tactic.searches_on_the_spot(), tactic.outline());
        for blind in tactic.blind(&edge, ports().rolling) {
            let whole = |legs: &[Leg]| legs.iter().filter_map(|l| l.ms).map(u64::from).sum::<u64>();
            // A sum of times ends at the greatest that is counted.
            let most = blind
                .ms
                .filter(|ms| *ms < u16::MAX)
                .map_or(u64::MAX, u64::from);
            assert!(
                blind.legs.iter().all(|legs| whole(legs) <= most),
                "{blind:?}"
            );
        }
        assert!(tactic.sides_driven().len() == 2);
        for charge in [
            tactic.forward_charges(100),
            tactic.searching_charges(),
            tactic.backward_charges(),
        ] {
            assert!(charge.iter().all(|c| (0..=1000).contains(&c.effort)));
        }
    });
}

fuzz_target!(|bytes: &[u8]| {
    let text = String::from_utf8_lossy(bytes);
    let first = read(&text);
    let even = in_time("formatting", || tactic::format(&text));
    assert_eq!(tactic::format(&even), even, "formatted twice");
    let (tactic, again) = match (first, read(&even)) {
        (Ok(tactic), Ok(again)) => (tactic, again),
        (first, again) => {
            // Not the words: where a text ended, a line does now.
            let count = |read: Result<Tactic, Vec<String>>| read.map_or_else(|e| e.len(), |_| 0);
            return assert_eq!(count(first), count(again), "{even}");
        }
    };
    described(&tactic);
    let program = compiled(&tactic);
    assert_eq!(program, compiled(&again), "{even}");
    if let Ok(program) = program {
        in_time("running", || runs(&program, &mut Scrap::new(bytes)));
    }
});
