//! Tracks as they are read, and what a robot on them is made of.

use quantity::Draws;
use robot::{PartsBox, Patch, Robot};

/// The whole robot of the other tests on two tracks.
fn tracked(more: &str) -> Robot {
    let text = include_str!("whole.toml");
    let (head, rest) = text.split_once("[[wheel]]").expect("wheels");
    let (_, tail) = rest.split_once("[blade]").expect("a blade");
    let track = |side: &str, y: &str| {
        format!(
            "[[track]]\nname = \"{side} track\"\npart = \"track-22-silicone\"\n\
             motor = \"{side} motor\"\nat = [\"-20 mm\", \"{y} mm\"]\n{more}\n"
        )
    };
    let text = format!(
        "{head}{}{}[blade]{tail}",
        track("left", "41"),
        track("right", "-41")
    );
    let parts = PartsBox::built_in().unwrap_or_else(|e| panic!("{e:#?}"));
    robot::read("whole.toml", &text, &parts, &|_| Some(String::new()))
        .unwrap_or_else(|e| panic!("{e:#?}"))
}

#[test]
fn a_track_reads_with_its_part_and_stands_on_the_ring() {
    let robot = tracked("");
    assert_eq!((robot.wheels.len(), robot.tracks.len()), (0, 2));
    let track = &robot.tracks[0];
    assert_eq!(track.motor, Some(0));
    assert!((track.radius.si() - 0.011).abs() < 1e-12);
    assert!((track.item.at[2].si() - 0.011).abs() < 1e-12);
    assert!((track.length.si() - 0.044).abs() < 1e-12);
    // Bending and rubbing cost a belt more than a tyre.
    assert!((track.tyre.rolling.si() - 0.06).abs() < 1e-12);
    assert!(robot.is_driven());
    let mass = robot.mass_properties(&Draws::nominal()).mass_kg;
    let others: f64 = robot.items().map(|i| i.mass.si()).sum();
    assert!((mass - others).abs() < 1e-12);
    // 24 g at 11 mm: m r².
    assert!((track.spin_inertia(&Draws::nominal()) - 2.904e-6).abs() < 1e-12);
}

/// μNL/4: a row of patches has the moment of an even pressure along the whole length.
#[test]
fn patches_share_as_an_even_pressure_turns() {
    for n in [3, 5, 7] {
        let robot = tracked(&format!("patches = {n}"));
        let patches: Vec<Patch> = robot.tracks[0].patches().collect();
        assert_eq!(patches.len(), n);
        let all: f64 = patches.iter().map(|p| p.share).sum();
        let moment: f64 = patches.iter().map(|p| p.share * p.ahead.abs()).sum();
        assert!((all - 1.0).abs() < 1e-12 && (moment - 0.25).abs() < 1e-12);
        assert!((patches[0].ahead - 0.5).abs() < 1e-12);
        assert_eq!(robot.treads().count(), 2 * n);
        assert!(robot.tread_is_driven(2 * n - 1) && !robot.tread_is_driven(2 * n));
    }
}

#[test]
fn a_track_counts_in_the_room_a_robot_takes() {
    let robot = tracked("width = \"16 mm\"");
    // From 20 mm behind the middle it reaches 22 + 11 mm back, past the body's 49 mm.
    assert!((robot.footprint().x[0] + 0.053).abs() < 1e-12);
    assert!((robot.footprint().y[1] - 0.049).abs() < 1e-12);
}

#[test]
fn other_belts_keep_the_size_and_bring_their_grip() {
    let parts = PartsBox::built_in().unwrap_or_else(|e| panic!("{e:#?}"));
    let robot = tracked("ground-length = \"40 mm\"");
    let entry = parts.find("track-22-rubber").expect("it is there");
    let other = robot.with_belts(entry, &parts).expect("it fits");
    for t in &other.tracks {
        assert!((t.length.si() - 0.040).abs() < 1e-12);
        assert!((t.tyre.grip_peak.si() - 0.75).abs() < 1e-12);
        assert!((t.tyre.rolling.si() - 0.06).abs() < 1e-12);
        assert_eq!(t.item.part.as_deref(), Some("track-22-rubber"));
    }
    let wheel = parts.find("wheel-34-silicone").expect("it is there");
    assert_eq!(robot.with_belts(wheel, &parts), None);
}
