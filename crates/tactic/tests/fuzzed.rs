//! Texts that a fuzzer found trouble with.

/// Formatted twice is formatted once.
#[track_caller]
fn settles(text: &str) {
    let even = tactic::format(text);
    assert_eq!(tactic::format(&even), even, "{text:?}");
}

#[test]
fn a_minus_at_the_head_of_a_line_is_the_same_with_and_without_indentation() {
    settles("facing 0 deg\n  -begin chase\n");
    settles("timer a\n -(x)\n");
    settles("reflex a when(- -(()))(");
    settles("- - -(a)\n");
}

/// What is wrong with a text, and how much is said of it in letters.
fn told(text: &str) -> (usize, usize) {
    let issues = tactic::parse("fuzzed.tactic", text).expect_err("nothing in it is there");
    let letters = issues.iter().map(|i| i.what.len() + i.expected.len());
    (issues.len(), letters.sum())
}

#[test]
fn thousands_of_missing_names_are_told_without_a_list_of_all_names_for_each() {
    let names = |n: usize| {
        let mut text = String::from("state a {\n");
        for k in 0..n {
            text.push_str(&format!("set lost{k} = 1\n"));
        }
        text.push_str("}\n");
        for k in 0..n {
            text.push_str(&format!("counter kept{k} = 1\n"));
        }
        text
    };
    let (few, many) = (told(&names(500)), told(&names(5000)));
    // And two more: so many counters, and steps of one state, are too many.
    assert_eq!((few.0, many.0), (502, 5002));
    // Ten times as many mistakes, ten times as many letters and a few for longer numbers.
    assert!(many.1 < 12 * few.1, "{few:?} {many:?}");
}

#[test]
fn braces_without_end_make_a_text_only_so_much_longer() {
    let text = "state a {\n".repeat(6_000);
    let even = tactic::format(&text);
    assert!(even.len() < 3 * text.len(), "{} bytes", even.len());
    assert_eq!(tactic::format(&even), even);
}
