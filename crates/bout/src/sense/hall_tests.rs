//! What light, dirt, people and the opponent's own sensors do to readings.

use glam::{DVec2, DVec3};
use quantity::maths;
use robot::SensorKind;
use tactic::PortKind;

use super::silhouette::{Emitter, Medium};
use super::tests::{DEG, Owned, block, figure, measure, range_sensor, scene_at, sensor, share_of};
use super::*;

/// An edge sensor of the usual kind, 45 mm ahead and 3 mm up.
fn edge() -> robot::Sensor {
    let mut s = sensor(
        "edge",
        0.0,
        SensorKind::Reflectance {
            spot: figure(0.003, "spot"),
            noise: figure(0.05, "noise"),
            fading_height: figure(0.006, "fading"),
        },
    );
    s.item.at[0] = figure(0.045, "x");
    s.item.at[2] = figure(0.003, "z");
    s
}

fn border(reading: i16) -> bool {
    reading > 500
}

/// The robot with its edge sensor `out` m from the centre and `up` m lifted, in a light.
fn at(out: f64, up: f64, light: f64) -> Owned {
    let mut scene = scene_at([out - 0.045, 0.0, up], [-0.2, 0.0, 0.0]);
    scene.around = Around::lit(light);
    scene
}

#[test]
fn over_the_rim_or_lifted_it_reads_dark_in_a_usual_hall() {
    let s = edge();
    for light in [0.0, 0.03, 0.1] {
        assert!(
            share_of(&s, &at(0.372, 0.0, light), border) > 0.99,
            "on the border: {light}"
        );
        for (what, scene) in [
            ("over the rim", at(0.40, 0.0, light)),
            ("lifted over the border", at(0.372, 0.03, light)),
            ("on the black", at(0.2, 0.0, light)),
        ] {
            let share = share_of(&s, &scene, border);
            assert!(share < 0.001, "{what} in light {light}: {share}");
        }
    }
}

#[test]
fn sunlight_raises_false_edges_first_where_the_sensor_is_lifted() {
    let s = edge();
    let false_edges = |up, light| share_of(&s, &at(0.2, up, light), border);
    // Signal 0.05·0.8 and a fifth of the light: 0.04 + 0.2·2 = 0.44, noise ± 0.05 (19 to 1).
    let (hall, window, sun) = (
        false_edges(0.0, 0.03),
        false_edges(0.0, 2.0),
        false_edges(0.0, 3.0),
    );
    assert!(
        hall == 0.0 && window > 0.001 && window < 0.2,
        "{hall} {window}"
    );
    assert!(sun > 0.99, "{sun}");
    assert!(false_edges(0.03, 1.0) > 0.99, "lifted, a window is enough");
    assert!(false_edges(0.0, 1.0) < 0.001);
}

#[test]
fn dirt_on_the_border_takes_from_the_reading_by_place() {
    let mut scene = at(0.372, 0.0, 0.0);
    let s = edge();
    let clean = measure(&s, &scene);
    scene.ring.hall.border_dirt = 0.5;
    let readings: Vec<i16> = (0..20)
        .map(|k| {
            scene.around = Around::drawn(&scene.ring, Stream::root(3).numbered(k), false);
            measure(&s, &scene)
        })
        .collect();
    let (least, most) = readings
        .iter()
        .fold((i16::MAX, 0), |(a, b), &r| (a.min(r), b.max(r)));
    assert!(
        most <= clean && least < clean - 100,
        "{clean}: {readings:?}"
    );
    // Inside, dirt on the border does not matter.
    scene = at(0.2, 0.0, 0.0);
    let inside = measure(&s, &scene);
    scene.ring.hall.border_dirt = 0.5;
    scene.around = Around::drawn(&scene.ring, Stream::root(3), false);
    assert_eq!(measure(&s, &scene), inside);
}

/// Farthest reading in mm of a wide face slanted by `slant` degrees.
fn farthest_mm(s: &robot::Sensor, shine: f64, slant: f64, around: &Around) -> i16 {
    (0..=600)
        .rev()
        .find_map(|mm| {
            let x = f64::from(mm) / 1000.0 + 0.05;
            let mut scene = scene_at([0.0; 3], [x, 0.0, slant * DEG]);
            scene.silhouette = block(0.05, 0.3, [0.0, 0.05], 0.9);
            scene.silhouette.pieces[0].shine = shine;
            scene.around = around.clone();
            let reading = measure(s, &scene);
            (reading != PortKind::NOTHING).then_some(reading)
        })
        .unwrap_or(0)
}

#[test]
fn a_polished_face_is_lost_at_a_slant_a_matt_one_is_not() {
    let s = range_sensor("front", 0.0, 4.0 * DEG);
    let far = |shine, slant| farthest_mm(&s, shine, slant, &Around::CALM);
    assert_eq!((far(0.0, 0.0), far(1.0, 0.0)), (400, 400));
    assert!(far(1.0, 30.0) < 70, "mirrored away until the eye is inside");
    // The near edge of the beam meets it at 28°: 400·√(0.5·cos 28°) = 266, 400·√cos 28° = 376.
    let half = far(0.5, 30.0);
    let matt = far(0.0, 30.0);
    assert!(
        (half - 266).abs() <= 1 && (matt - 376).abs() <= 1,
        "{half} {matt}"
    );
}

#[test]
fn bright_surroundings_shorten_infra_red_sight_and_add_false_alarms() {
    let s = range_sensor("front", 0.0, 10.0 * DEG);
    let far = |light: f64| farthest_mm(&s, 0.0, 0.0, &Around::lit(light));
    assert_eq!(far(0.0), 400);
    // (1 + 1/0.25)^(−1/4) = 0.669.
    assert!((far(1.0) - 267).abs() <= 1, "{}", far(1.0));
    let mut nobody = scene_at([0.0; 3], [-0.3, 0.0, 0.0]);
    let alarms = |scene: &Owned| share_of(&s, scene, |r| r != PortKind::NOTHING);
    assert_eq!(alarms(&nobody).to_bits(), 0);
    nobody.around = Around::lit(2.0);
    // 2 %; standard error 0.3 %.
    assert!((alarms(&nobody) - 0.02).abs() < 0.01, "{}", alarms(&nobody));
}

#[test]
fn people_behind_the_free_space_are_seen_by_who_looks_that_far() {
    let looking = |farthest: f64, person: DVec2, opponent: f64| {
        let mut s = range_sensor("front", 0.0, 10.0 * DEG);
        if let SensorKind::Range { farthest: f, .. } = &mut s.kind {
            *f = figure(farthest, "farthest");
        }
        let mut scene = scene_at([0.0; 3], [opponent, 0.0, 0.0]);
        scene.around = Around::watched(person);
        measure(&s, &scene)
    };
    let ahead = DVec2::new(1.2, 0.0);
    assert_eq!(
        looking(1.5, ahead, -0.3),
        1000,
        "1200 mm less half a person"
    );
    assert_eq!(
        looking(0.8, ahead, -0.3),
        PortKind::NOTHING,
        "beyond its reach"
    );
    assert_eq!(
        looking(1.5, DVec2::new(0.0, 1.2), -0.3),
        PortKind::NOTHING,
        "aside"
    );
    assert_eq!(
        looking(1.5, DVec2::new(-1.2, 0.0), -0.3),
        PortKind::NOTHING,
        "behind"
    );
    assert_eq!(looking(1.5, ahead, 0.25), 200, "the opponent is nearer");
}

#[test]
fn the_opponents_infra_red_raises_false_alarms_while_it_shines_at_the_sensor() {
    let mut s = range_sensor("front", 0.0, 10.0 * DEG);
    // Nothing is seen by its own light: the opponent is black.
    let share = |s: &robot::Sensor, heading: f64, medium: Medium| {
        let mut scene = scene_at([0.0; 3], [0.3, 0.0, heading]);
        scene.silhouette = block(0.05, 0.05, [0.0, 0.05], 0.0);
        scene.silhouette.emitters.push(Emitter {
            medium,
            at: DVec3::new(0.05, 0.0, 0.02),
            axis: DVec3::X,
            cos: maths::cos(6.0 * DEG),
            reach: 0.4,
            period_s: 0.01,
        });
        share_of(s, &scene, |r| r != PortKind::NOTHING)
    };
    let faced = share(&s, maths::PI, Medium::InfraRed);
    // Standard error 0.2 %.
    assert!((faced - range::CROSSTALK).abs() < 0.007, "{faced}");
    assert_eq!(
        share(&s, 0.0, Medium::InfraRed).to_bits(),
        0,
        "it looks away"
    );
    assert_eq!(
        share(&s, maths::PI, Medium::Sound).to_bits(),
        0,
        "sound is no light"
    );
    s.facing = figure(maths::PI, "facing");
    assert_eq!(
        share(&s, maths::PI, Medium::InfraRed).to_bits(),
        0,
        "we look away"
    );
}
