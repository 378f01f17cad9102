//! What a tactic does about what it sees, against where sensors with telling names look.

use tactic::{Astray, Looks};

fn strays(text: &str) -> Vec<Astray> {
    let tactic = tactic::parse("t.tactic", text).unwrap_or_else(|e| panic!("{e:#?}"));
    let looks = |name: &str| match name {
        "l" | "ll" => Some(Looks::Left),
        "c" => Some(Looks::Ahead),
        "r" => Some(Looks::Right),
        _ => None,
    };
    let strays = tactic.strays(&looks, &["e".into(), "f".into()]);
    strays.into_iter().map(|s| s.what).collect()
}

/// A state that does `action` where `cond` holds.
fn rule(cond: &str, action: &str) -> Vec<Astray> {
    strays(&format!(
        "constant k = 40 %\ncounter n = 0\nstate a {{\n  follow {{\n    {cond}: {action}\n    otherwise: drive 50 % \
         50 %\n  }}\n}}\n"
    ))
}

#[test]
fn a_turn_is_held_against_the_side_that_surely_sees() {
    let left = [Astray::TurnsFrom(Looks::Left)];
    let right = [Astray::TurnsFrom(Looks::Right)];
    for (cond, action, what) in [
        ("l sees", "drive k -k", &left),
        ("l sees or ll sees", "pivot 10 % right", &left),
        (
            "l sees and c sees within 9 cm or ll sees",
            "arc 20 % 50 % right",
            &left,
        ),
        (
            "l sees within 20 cm for 50 ms",
            "veer 50 % 20 % right",
            &left,
        ),
        ("r sees", "drive -k k", &right),
        ("r sees and n > 2", "pivot -10 % right", &right),
    ] {
        let expected: &[Astray] = if cond.contains("and c") { &[] } else { what };
        assert_eq!(rule(cond, action), expected, "{cond}: {action}");
    }
    for (cond, action) in [
        ("l sees", "drive -k k"),
        ("l sees", "drive k k"),
        ("l sees", "drive n -k"),
        ("l sees", "pivot 50 % seen"),
        ("l sees or r sees", "drive k -k"),
        ("not l sees", "drive k -k"),
        ("b sees", "drive k -k"),
    ] {
        assert_eq!(rule(cond, action), [], "{cond}: {action}");
    }
}

#[test]
fn straight_ahead_it_must_go_forward_unless_it_is_near() {
    assert_eq!(rule("c sees", "drive k -k"), [Astray::NotAt([400, -400])]);
    assert_eq!(rule("c sees", "drive -k -k"), [Astray::NotAt([-400, -400])]);
    for (cond, action) in [
        ("c sees", "drive k -10 %"),
        ("c sees", "wait"),
        ("c sees within 5 cm", "drive -k -k"),
        ("c sees and l sees", "pivot k right"),
        ("c sees and e on border", "drive -k -k"),
    ] {
        assert_eq!(rule(cond, action), [], "{cond}: {action}");
    }
}

#[test]
fn a_side_is_remembered_as_it_is_seen() {
    let text = |left: &str| format!("remember left when {left}\nstate a {{\n  wait\n}}\n");
    assert_eq!(strays(&text("r sees")), [Astray::Remembers(Looks::Left)]);
    for right in ["l sees", "c sees", "l sees or r sees", "b sees"] {
        assert_eq!(strays(&text(right)), [], "{right}");
    }
}

#[test]
fn a_stand_counts_if_only_the_sight_leads_to_it_and_nothing_ends_it() {
    let text = |way: &str, steps: &str| {
        format!("state a {{\n  go b when {way}\n  drive 1 1\n}}\nstate b {{\n{steps}  then a\n}}\n")
    };
    let stands = "  wait for 200 ms\n  drive 0 0 for 200 ms\n  drive 9 9 for 1 s\n";
    assert_eq!(
        strays(&text("c sees", stands)),
        [Astray::Waits("b".into(), 400)]
    );
    assert_eq!(strays(&text("not c sees", stands)), []);
    let short = stands.replace("drive 0 0 for 200", "drive 0 0 for 90");
    assert_eq!(strays(&text("c sees", &short)), []);
    let until = stands.replace("wait for 200 ms", "wait for 200 ms until l sees");
    assert_eq!(strays(&text("c sees", &until)), []);
    let way = format!("  go a when l sees\n{stands}");
    assert_eq!(strays(&text("c sees", &way)), []);
}

#[test]
fn a_reflex_over_black_and_not_over_white_is_inverted() {
    let text = |cond: &str| {
        format!(
            "counter n = 0\nreflex x when {cond} {{\n  drive -1 -1 for 1 ms\n}}\nstate a {{\n  wait\n}}\n"
        )
    };
    for cond in [
        "e below 30 %",
        "not e on border",
        "e below 30 % or f below 30 %",
        "e below 30 % for 20 ms or c sees",
    ] {
        assert_eq!(strays(&text(cond)), [Astray::OnBlack("x".into())], "{cond}");
    }
    for cond in [
        "e on border",
        "e above 30 %",
        "e below 30 % and c sees",
        "e below 30 % and n > 3",
        "e below 30 % or f on border",
        "not c sees",
    ] {
        assert_eq!(strays(&text(cond)), [], "{cond}");
    }
}
