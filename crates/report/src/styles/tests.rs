//! Skeletons: legal, complete and without a fault, in every class and from every build.

use robot::{PartsBox, Severity};
use rules::Classes;

use super::*;

const NAMES: Names<'_> = Names {
    robot: "Newt",
    stem: "newt",
};

fn wishes(texts: [&str; 6]) -> Wishes {
    let classes = Classes::built_in().expect("they read");
    Wishes::of(&texts.map(str::to_owned), &classes).expect("they are answers")
}

#[test]
fn every_build_of_every_style_is_legal_sound_and_uses_all_it_carries() {
    let parts = PartsBox::built_in().expect("it reads");
    let classes = Classes::built_in().expect("they read");
    let mut made = 0;
    for name in ["mini", "mega", "micro", "nano"] {
        let class = classes.find(name).expect("it is there");
        let family = family_for(class).expect("there is one");
        for (style, build) in ALL
            .iter()
            .flat_map(|s| family.builds.iter().map(move |b| (s, b)))
        {
            let s = skeleton(NAMES, class, family, build, *style, &parts)
                .unwrap_or_else(|e| panic!("{name} {style:?}: {e:#?}"));
            made += 1;
            let what = format!("{name} {style:?} {} at {} %", build.words, s.cruise);
            assert_eq!(s.faults, [""; 0], "{what}");
            assert!(rules::inspect(&s.robot, class).legal(), "{what}");
            let paper = paper::examine(&s.robot, class, &s.tactic, &parts);
            let warned: Vec<&str> = (paper.findings.iter())
                .filter(|f| f.severity == Severity::Warning)
                .map(|f| f.name)
                .collect();
            println!("{what}: {warned:?}");
            for dead in [
                "sensor-never-read",
                "sensor-changes-nothing",
                "mass-unused",
                "edge-threshold",
                "edge-too-fast",
                "edge-too-fast-backward",
            ] {
                assert!(!warned.contains(&dead), "{what}: {dead}");
            }
        }
    }
    assert_eq!(made, 4 * (4 + 2 + 1 + 1));
}

#[test]
fn every_class_with_a_field_has_a_start_in_each_style() {
    let parts = PartsBox::built_in().expect("it reads");
    let classes = Classes::built_in().expect("they read");
    for class in classes.iter() {
        let w = wishes([&class.name, "free", "any", "20", "many", "class"]);
        if !store::has_field(&class.field, None).expect("the shelf can be read") {
            continue;
        }
        let family = family_for(&w.class).unwrap_or_else(|| panic!("none for {}", class.name));
        for style in ALL {
            let build = build_for(&w, family, style, &parts, NAMES).expect("parts are there");
            assert!(build.is_some(), "{} {style:?}", class.name);
        }
    }
}

#[test]
fn a_class_of_kit_parts_and_a_wish_for_kit_parts_get_kit_parts() {
    let parts = PartsBox::built_in().expect("it reads");
    for (class, source) in [("mini-kit", "free"), ("mini", "starter")] {
        let w = wishes([class, source, "any", "20", "many", "class"]);
        let family = family_for(&w.class).expect("there is one");
        for style in ALL {
            let build = build_for(&w, family, style, &parts, NAMES).expect("parts are there");
            assert_eq!(build.expect("there is one").source, Source::Starter);
        }
    }
}

#[test]
fn little_money_gets_the_cheapest_build_and_a_first_robot_no_lithium_where_it_can_be_helped() {
    let parts = PartsBox::built_in().expect("it reads");
    let pick = |money: &str, experience: &str| {
        let w = wishes(["mini", "free", money, "20", experience, "class"]);
        let family = family_for(&w.class).expect("there is one");
        let build = build_for(&w, family, Style::Pusher, &parts, NAMES).expect("parts are there");
        build.expect("there is one")
    };
    assert!(pick("any", "many").lithium);
    assert!(!pick("any", "none").lithium);
    assert_eq!(pick("1", "many").wheel, "wheel-34-rubber");
}

#[test]
fn more_experience_and_kit_parts_take_fewer_evenings() {
    let family = FAMILIES[1];
    let (kit, free) = (&family.builds[2], &family.builds[0]);
    let take = |experience: &str, build| {
        let w = wishes(["mini", "free", "any", "20", experience, "class"]);
        evenings_for(&w, family, build, Style::Trickster)
    };
    assert!(take("many", free) < take("some", free));
    assert!(take("some", free) < take("none", free));
    assert!(take("some", kit) < take("some", free));
}
