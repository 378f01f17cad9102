//! No text makes the reader fail, and no tactic that reads makes a tick fail.

mod common;

use common::{NOTHING, parsed, shipped_ports};
use proptest::prelude::*;
use tactic::Tactic;

fn shipped() -> Vec<(String, String)> {
    let files = shelf::files("robots");
    let tactics: Vec<_> = files
        .into_iter()
        .filter(|f| f.0.ends_with(".tactic"))
        .collect();
    assert!(tactics.len() >= 7, "{}", tactics.len());
    tactics
}

/// Words and signs of the language in any order: far more of it gets past the reader.
fn pieces() -> impl Strategy<Value = String> {
    let pieces: Vec<&str> = "constant counter timer remember opening reflex state drive pivot arc \
        wait follow set restart go stay then when for until from to sees within beyond on border \
        touched above below over and or not chance share otherwise firm begin side switch place \
        facing left right seen unseen chosen unchosen a b n t centre tilt 0 1 -1 100 90% 5deg \
        32767 40000 1.5s { } ( ) , : = < > + - * / #"
        .split_whitespace()
        .chain(["\n", "\n", "\n"])
        .collect();
    prop::collection::vec(prop::sample::select(pieces), 0..80).prop_map(|p| p.join(" "))
}

/// A shipped tactic with a few places changed.
fn mutated() -> impl Strategy<Value = String> {
    let texts: Vec<String> = shipped().into_iter().map(|f| f.1).collect();
    let snippet = prop_oneof![
        any::<char>().prop_map(String::from),
        Just("\n".to_owned()),
        Just("}".to_owned()),
        Just("{".to_owned()),
        Just(" state ".to_owned()),
        Just("-".to_owned()),
        Just("999999".to_owned()),
        "[a-z]{1,6}",
    ];
    let change = (any::<prop::sample::Index>(), 0_usize..12, snippet);
    (
        prop::sample::select(texts),
        prop::collection::vec(change, 1..5),
    )
        .prop_map(|(text, changes)| {
            let mut chars: Vec<char> = text.chars().collect();
            for (at, gone, new) in changes {
                let from = at.index(chars.len() + 1);
                let to = (from + gone).min(chars.len());
                chars.splice(from..to, new.chars());
            }
            chars.into_iter().collect()
        })
}

/// Issues must point into the text.
fn read(text: &str) -> Option<Tactic> {
    match tactic::parse("t", text) {
        Ok(tactic) => Some(tactic),
        Err(issues) => {
            assert!(!issues.is_empty());
            let lines = u32::try_from(text.matches('\n').count() + 1).expect("a short text");
            for i in issues {
                assert!(text.get(i.place.span.clone()).is_some(), "{i:?}");
                assert!((1..=lines).contains(&i.place.line), "{i:?}");
                assert!(!i.what.is_empty() && !i.expected.is_empty());
            }
            None
        }
    }
}

/// Numbers that jump about, by the quick generator of Press et al., Numerical Recipes; any would do.
fn numbers(seed: u16) -> impl FnMut() -> u16 {
    let mut stream = u32::from(seed) + 1;
    move || {
        stream = stream.wrapping_mul(1_664_525).wrapping_add(1_013_904_223);
        let [_, _, low, high] = stream.to_le_bytes();
        u16::from_le_bytes([low, high])
    }
}

/// Two thousand ticks on readings that jump about; efforts stay within ±1000 throughout.
fn run(tactic: &Tactic, noise: u16) -> usize {
    let ports = shipped_ports();
    let Ok(program) = tactic::compile(tactic, &ports) else {
        return 0;
    };
    let names: Vec<String> = tactic.findings().into_iter().map(|f| f.what).collect();
    let mut next = numbers(noise);
    let mut memory = program.start(usize::from(noise) % program.openings().len(), noise);
    let mut readings = vec![NOTHING; ports.inputs.len()];
    let mut now = next();
    let mut doings = 0;
    let mut last = String::new();
    for _ in 0..2000 {
        let which = usize::from(next()) % readings.len();
        readings[which] = match next() % 4 {
            0 => NOTHING,
            1 => i16::from_ne_bytes(next().to_ne_bytes()),
            2 => i16::try_from(next() % 1001).expect("small"),
            _ => i16::try_from(next() % 200).expect("small") - 100,
        };
        let drive = program.tick(&mut memory, &readings, now);
        assert!(
            drive.left.abs() <= 1000 && drive.right.abs() <= 1000,
            "{drive:?}"
        );
        if program.doing(&memory) != last {
            program.doing(&memory).clone_into(&mut last);
            doings += 1;
            let never = format!("gets into its state \"{last}\".");
            assert!(!names.iter().any(|n| n.ends_with(&never)), "{last}");
        }
        now = now.wrapping_add(next() % 40);
    }
    doings
}

#[test]
fn every_shipped_tactic_runs_and_changes_what_it_does() {
    for (name, text) in shipped() {
        let tactic = parsed(&text);
        assert_eq!(tactic.findings(), [], "{name}");
        assert!(run(&tactic, 5) > 20, "{name}");
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(400))]

    #[test]
    fn any_text_is_read_or_refused(text in any::<String>()) {
        read(&text);
    }

    #[test]
    fn any_words_of_the_language_are_read_or_refused(text in pieces(), noise: u16) {
        if let Some(tactic) = read(&text) {
            run(&tactic, noise);
        }
    }

    #[test]
    fn a_shipped_tactic_with_changes_is_refused_or_runs(text in mutated(), noise: u16) {
        if let Some(tactic) = read(&text) {
            run(&tactic, noise);
        }
    }
}

/// Tactics made to be whole, with all kinds of steps and conditions at odds with each other.
fn whole() -> impl Strategy<Value = String> {
    let value = prop::sample::select(vec![
        "0",
        "1",
        "-1",
        "90 %",
        "32767",
        "n",
        "c",
        "centre",
        "tilt * 300",
        "share(n, 300, c)",
        "n / (n - 1)",
        "-n",
        "-(c + 1) * 9",
    ]);
    let cond = (
        prop::sample::select(vec![
            "centre sees",
            "left sees within @",
            "right sees beyond @",
            "edge-front-left on border",
            "bumper touched",
            "tilt above @",
            "tilt below @",
            "t over @",
            "n > @",
            "n < @",
            "n = @",
            "chance @",
            "not (centre sees or chance @)",
            "centre sees for @",
            "left sees and right sees",
            "1 = 1",
        ]),
        value.clone(),
    )
        .prop_map(|(c, v)| c.replace('@', v));
    let state = prop::sample::select(vec!["a", "b", "d"]);
    let line = (
        prop::sample::select(vec![
            "drive @ @ for @ until ?",
            "pivot @ seen for @",
            "arc @ @ unchosen for @",
            "wait for @",
            "set n = @",
            "set n = n + @",
            "restart t",
            "follow {\n ?: drive @ @\n ?: arc @ @ unseen\n otherwise: wait\n } for @",
        ]),
        prop::collection::vec(value.clone(), 5),
        prop::collection::vec(cond.clone(), 2),
    )
        .prop_map(|(l, v, c)| {
            let mut line = l.to_owned();
            for c in &c {
                line = line.replacen('?', c, 1);
            }
            for v in &v {
                line = line.replacen('@', v, 1);
            }
            line
        });
    let lines = prop::collection::vec(line, 0..4).prop_map(|l| l.join("\n"));
    let block =
        (lines.clone(), cond.clone(), state.clone(), state, value).prop_map(|(l, c, s, t, v)| {
            format!("{{\n go {s} when {c}\n stay {v} then {t}\n{l}\n then {s}\n}}\n")
        });
    let reflex = (cond.clone(), lines, any::<bool>()).prop_map(|(c, l, firm)| {
        format!("{} when {c} {{\n{l}\n}}\n", if firm { "firm" } else { "" })
    });
    (
        prop::collection::vec(reflex, 0..3),
        prop::collection::vec(block, 3),
        cond,
    )
        .prop_map(|(r, b, c)| {
            let mut text =
                format!("constant c = 7\ncounter n = 3\ntimer t\nremember left when {c}\n");
            for (k, r) in r.iter().enumerate() {
                text += &format!("reflex r{k} {r}");
            }
            for (name, b) in ["a", "b", "d"].iter().zip(&b) {
                text += &format!("state {name} {b}");
            }
            text
        })
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(150))]

    #[test]
    fn any_whole_tactic_runs_within_full_effort(text in whole(), noise: u16) {
        let tactic = parsed(&text);
        tactic::compile(&tactic, &shipped_ports()).unwrap_or_else(|e| panic!("{e:#?}\n{text}"));
        run(&tactic, noise);
        let first = tactic::compile(&tactic, &shipped_ports()).unwrap();
        prop_assert_eq!(&first, &tactic::compile(&parsed(&text), &shipped_ports()).unwrap());
    }
}
