//! The materials that come with the program hold what is published of them; slips are refused.

use robot::{Issue, Material, Materials};

fn built_in() -> Materials {
    Materials::built_in().unwrap_or_else(|e| panic!("{e:#?}"))
}

fn of(name: &str) -> Material {
    (built_in().find(name).cloned()).unwrap_or_else(|| panic!("no material {name}"))
}

fn reading(text: &str) -> Result<Materials, Vec<Issue>> {
    Materials::read(&[("mine.toml".to_owned(), text.to_owned())])
}

#[test]
fn every_material_has_a_source_a_spread_and_a_word_by_which_it_is_known() {
    let all = built_in();
    assert_eq!(all.iter().count(), 12);
    for m in all.iter() {
        assert!(
            m.modulus.unsure() > 0.0 && m.strength.unsure() > 0.0,
            "{}",
            m.name
        );
        assert!(
            ["firm", "medium", "weak"].contains(&m.held.as_str()),
            "{}",
            m.name
        );
        assert!(m.source.len() > 10, "{}", m.name);
        assert!(all.recognise(&m.title).is_some(), "{}", m.name);
    }
}

/// mfgproto.com, "Aluminum 6061-T6 Data Sheet": E 68.9 GPa, G 26.0 GPa, yield 276 MPa, 2700 kg/m³
/// (firm). G follows from E and ν within 0.4 %.
#[test]
fn aluminium_is_that_of_its_data_sheet() {
    let m = of("aluminium-6061-t6");
    assert_eq!(
        (m.modulus.si(), m.density.si(), m.strength.si()),
        (68.9e9, 2700.0, 276e6)
    );
    assert!((m.shear_modulus.si() / 26.0e9 - 1.0).abs() < 0.005);
}

/// alloysintl.com: E 193 GPa, 8000 kg/m³, yield 215 MPa (firm). Two sheets print G = 86 GPa, a third 77;
/// an even solid of that E and ν = 0.29 has 74.8 GPa.
#[test]
fn stainless_steel_has_the_shear_modulus_that_an_even_solid_must_have() {
    let m = of("stainless-304");
    assert_eq!(
        (m.modulus.si(), m.density.si(), m.strength.si()),
        (193e9, 8000.0, 215e6)
    );
    assert!((m.shear_modulus.si() / 74.8e9 - 1.0).abs() < 0.001);
}

/// additive.tools (PLA, PETG: medium), PMC10406103 (ABS: weak), usplastic.com and cctprecision.com
/// (acrylic: firm), Handbook of Finnish Plywood (from memory: weak): each nominal figure lies in the
/// published range, and the spread reaches to its ends.
#[test]
fn plastics_and_wood_lie_in_their_published_ranges() {
    for (name, modulus, strength, density) in [
        ("pla-printed", [3.0, 4.0], [50.0, 65.0], [1220.0, 1260.0]),
        ("petg-printed", [2.0, 3.0], [44.0, 56.0], [1250.0, 1290.0]),
        ("abs", [1.4, 2.4], [30.0, 45.0], [1040.0, 1060.0]),
        ("acrylic", [2.8, 3.3], [61.0, 75.0], [1180.0, 1200.0]),
        ("plywood-birch", [10.7, 12.7], [33.0, 51.0], [640.0, 720.0]),
    ] {
        let m = of(name);
        let holds = |x: f64, [low, high]: [f64; 2]| (low..=high).contains(&x);
        assert!(holds(1e-9 * m.modulus.si(), modulus), "{name}");
        assert!(holds(1e-6 * m.strength.si(), strength), "{name}");
        assert!(holds(m.density.si(), density), "{name}");
        let [low, high] = modulus.map(|e| 1e9 * e);
        let reach = 1.05 * m.modulus.unsure();
        assert!(m.modulus.si() - reach <= low, "{name}");
        assert!(
            m.modulus.si() + reach >= high || name == "plywood-birch",
            "{name}"
        );
    }
}

#[test]
fn prints_are_weaker_across_their_layers() {
    for name in ["pla-printed", "petg-printed", "plywood-birch"] {
        let m = of(name);
        assert!(m.least_strength_pa() < m.strength.si(), "{name}");
    }
    let steel = of("steel");
    assert!((steel.least_strength_pa() - steel.strength.si()).abs() < 1.0);
}

/// For even materials G = E/2(1 + ν) with 0 < ν < 0.5.
#[test]
fn even_materials_have_only_two_of_three_figures() {
    for m in built_in().iter() {
        let Some(nu) = m.poisson else { continue };
        assert!(nu > 0.0 && nu < 0.5, "{}", m.name);
        let follows = 0.5 * m.modulus.si() / (1.0 + nu);
        assert!(
            (m.shear_modulus.si() / follows - 1.0).abs() < 0.05,
            "{}",
            m.name
        );
    }
}

/// The 86 GPa that data sheets of 304 stainless steel print for G.
#[test]
fn a_shear_modulus_that_cannot_be_is_refused_with_the_one_that_follows() {
    let issues = reading(
        "[mine]\nmodulus = \"193 GPa\"\npoisson = 0.29\nshear-modulus = \"86 GPa\"\ndensity = \"8000 kg/m3\"\nstrength = \"215 MPa\"\n",
    )
    .expect_err("13 % off");
    assert_eq!(issues.len(), 1, "{issues:#?}");
    assert_eq!(
        issues[0].suggestion.as_deref(),
        Some("shear-modulus = \"74.8 GPa\"")
    );
}

#[test]
fn a_unit_off_by_a_thousand_is_told_with_the_right_one() {
    let issues = reading(
        "[mine]\nmodulus = \"70 kPa\"\npoisson = 0.33\ndensity = \"2.7 kg/m3\"\nstrength = \"276 kPa\"\n",
    )
    .expect_err("no such material");
    let told: Vec<_> = issues
        .iter()
        .filter_map(|i| i.suggestion.as_deref())
        .collect();
    assert_eq!(told, ["modulus = \"70 MPa\"", "density = \"2700 kg/m³\""]);
}

#[test]
fn a_part_is_recognised_by_the_words_in_its_name() {
    let all = built_in();
    for (called, name) in [
        (
            "plate-steel-98 steel plate 98 x 97 x 1 mm, drilled",
            "steel",
        ),
        ("blade-thin-100 hard steel strip 97 mm", "spring-steel"),
        ("stainless steel lid", "stainless-304"),
        ("plate-aluminium-98", "aluminium-6061-t6"),
        ("birch plywood plate", "plywood-birch"),
        ("printed body 96 x 95 x 60 mm", "pla-printed"),
        ("body printed in PETG", "petg-printed"),
    ] {
        let found = all.recognise(called).map(|m| m.name.as_str());
        assert_eq!(found, Some(name), "{called}");
    }
    assert_eq!(all.recognise("ballast").map(|m| m.name.as_str()), None);
}
