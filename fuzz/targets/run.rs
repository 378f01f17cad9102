//! A tactic that the bytes choose from the grammar, on readings that the bytes choose too.
#![no_main]

use fuzz::{Scrap, in_time, invented, ports, runs};
use libfuzzer_sys::{Corpus, fuzz_target};

fuzz_target!(|bytes: &[u8]| -> Corpus {
    let mut scrap = Scrap::new(bytes);
    let text = invented(&mut scrap);
    // A state that goes to itself or a condition nested too deep is refused, and rightly.
    let Ok(tactic) = in_time("reading", || tactic::parse("fuzzed.tactic", &text)) else {
        return Corpus::Reject;
    };
    let Ok(program) = in_time("compiling", || tactic::compile(&tactic, &ports())) else {
        return Corpus::Reject;
    };
    in_time("running", || runs(&program, &mut scrap));
    Corpus::Keep
});
