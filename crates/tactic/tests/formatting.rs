//! Formatting changes no meaning, and what is formatted stays as it is.

mod common;

use common::shipped_ports;
use proptest::prelude::*;

fn shipped() -> Vec<(String, String)> {
    let files = shelf::files("robots").into_iter();
    files.filter(|f| f.0.ends_with(".tactic")).collect()
}

#[test]
fn shipped_tactics_are_formatted() {
    for (name, text) in shipped() {
        let even = tactic::format(&text);
        assert!(even == text, "{name} is not formatted:\n{even}");
    }
}

/// Spaces squeezed or blown up where that changes no word.
fn roughened(text: &str, seeds: &[u8]) -> String {
    let mut out = String::new();
    for (k, line) in text.lines().enumerate() {
        let seed = seeds[k % seeds.len()];
        for _ in 0..seed % 5 {
            out.push(' ');
        }
        let code = line.split('#').next().unwrap_or_default();
        let wide = if seed & 8 == 0 { " " } else { "   " };
        out.push_str(&code.split_whitespace().collect::<Vec<_>>().join(wide));
        if let Some((_, remark)) = line.split_once('#') {
            out.push('#');
            out.push_str(remark);
        }
        out.push('\n');
        if seed & 16 != 0 {
            out.push_str("\n\n");
        }
    }
    out
}

proptest! {
    #[test]
    fn a_rough_text_means_the_same_when_it_is_formatted(
        which in any::<prop::sample::Index>(),
        seeds in prop::collection::vec(any::<u8>(), 1..40),
    ) {
        let all = shipped();
        let (name, text) = &all[which.index(all.len())];
        let rough = roughened(text, &seeds);
        let even = tactic::format(&rough);
        prop_assert_eq!(tactic::format(&even), even.clone());
        let program = |text: &str| {
            let read = tactic::parse(name, text).map_err(|e| format!("{e:#?}"))?;
            tactic::compile(&read, &shipped_ports()).map_err(|e| format!("{e:#?}"))
        };
        prop_assert_eq!(program(&even), program(text));
    }

    #[test]
    fn any_text_is_formatted_once_and_for_all(text in "[ -~\n#{}°%-]{0,200}") {
        let even = tactic::format(&text);
        prop_assert_eq!(tactic::format(&even), even);
    }
}
