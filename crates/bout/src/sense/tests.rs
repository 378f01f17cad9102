//! Sensors in closed form, and what reaches the program when.

use robot::Ring;

use super::*;
use crate::dynamics::{Pose, Touch};
use glam::{DMat3, DQuat, DVec3};
use quantity::{Figure, Origin, maths};
use silhouette::Piece;

/// The ring of the scenery, as grippy in each bout.
pub(super) fn ring() -> Ring {
    Ring {
        grip_varies: 0.0,
        ..crate::tests::scenery::arena().ring
    }
}

/// A box of 100 mm by 100 mm by 50 mm that sends back 90 % of the light.
pub(super) fn body() -> Silhouette {
    block(0.05, 0.05, [0.0, 0.05], 0.9)
}

/// A box about the origin with these half lengths along x and y.
pub(super) fn block(
    half_x: f64,
    half_y: f64,
    [low, high]: [f64; 2],
    reflectance: f64,
) -> Silhouette {
    let corners = [[-1.0, -1.0], [1.0, -1.0], [1.0, 1.0], [-1.0, 1.0]]
        .map(|[x, y]| DVec2::new(x * half_x, y * half_y))
        .to_vec();
    Silhouette::new(vec![Piece {
        corners,
        low,
        high,
        reflectance,
        shine: 0.0,
    }])
}

/// A scene that owns its parts.
pub(super) struct Owned {
    pub(super) ring: Ring,
    pub(super) silhouette: Silhouette,
    pub(super) around: Around,
    pub(super) own: Pose,
    pub(super) opponent: Pose,
    pub(super) touch: Option<Touch>,
}

impl Owned {
    pub(super) fn borrow(&self) -> Scene<'_> {
        Scene {
            ring: &self.ring,
            own: self.own,
            opponent: self.opponent,
            silhouette: &self.silhouette,
            around: &self.around,
            drive: None,
            touch: self.touch,
            ahead_s: 0.0,
        }
    }
}

/// A robot at x, y, z heading along x, and an opponent at x, y with a heading.
pub(super) fn scene_at(own: [f64; 3], [x, y, heading]: [f64; 3]) -> Owned {
    let still = |origin, heading| Pose {
        origin,
        rotation: DMat3::from_cols(
            DVec3::new(maths::cos(heading), maths::sin(heading), 0.0),
            DVec3::new(-maths::sin(heading), maths::cos(heading), 0.0),
            DVec3::Z,
        ),
        quaternion: DQuat::from_rotation_z(heading),
        velocity: DVec3::ZERO,
        spin: DVec3::ZERO,
    };
    Owned {
        ring: ring(),
        silhouette: body(),
        around: Around::CALM,
        own: still(DVec3::from_array(own), 0.0),
        opponent: still(DVec3::new(x, y, 0.0), heading),
        touch: None,
    }
}

pub(super) fn figure<D: quantity::Dimension>(si: f64, key: &str) -> Figure<D> {
    Figure::new(si, Origin::Stated, key)
}

/// A distance sensor 20 mm up at the middle of the robot, to 400 mm, without chance.
pub(super) fn range_sensor(name: &str, facing: f64, opening: f64) -> robot::Sensor {
    sensor(
        name,
        facing,
        SensorKind::Range {
            nearest: figure(0.02, "nearest"),
            farthest: figure(0.4, "farthest"),
            field_of_view: figure(opening, "field_of_view"),
            noise: figure(0.0, "noise"),
            misses: figure(0.0, "misses"),
            false_alarms: figure(0.0, "false_alarms"),
        },
    )
}

pub(super) fn sensor(name: &str, facing: f64, kind: SensorKind) -> robot::Sensor {
    let zero = || figure(0.0, "at");
    robot::Sensor {
        item: robot::Item {
            name: name.into(),
            part: None,
            kits: vec![],
            mass: figure(0.0, "mass"),
            price: None,
            at: [zero(), zero(), figure(0.02, "z")],
            shape: robot::Shape::Point,
            place: robot::Place::whole("test"),
        },
        facing: figure(facing, "facing"),
        rate: figure(100.0, "rate"),
        latency: figure(0.0, "latency"),
        current: figure(0.0, "current"),
        kind,
    }
}

/// What one sensor measures in a scene, without chance.
pub(super) fn measure(s: &robot::Sensor, scene: &Owned) -> i16 {
    let draws = Draws::nominal();
    let mut one = Sensor {
        kind: Kind::new(s, &crate::tests::scenery::pusher("bare"), &body(), &draws),
        stream: Stream::root(1),
        schedule: Schedule::new(Beat::new(10.0, 0.0), 0.0, &Beat::new(5.0, 0.0)),
        flight: VecDeque::new(),
        over_border: false,
        has_seen: false,
    };
    one.measure(&scene.borrow(), Luck::new(Stream::root(1), 0))
        .value
}

/// Share of 2000 readings of one sensor in a scene for which `says` holds.
pub(super) fn share_of(s: &robot::Sensor, scene: &Owned, says: impl Fn(i16) -> bool) -> f64 {
    let kind = Kind::new(
        s,
        &crate::tests::scenery::pusher("bare"),
        &body(),
        &Draws::nominal(),
    );
    let mut one = Sensor {
        kind,
        stream: Stream::root(1),
        schedule: Schedule::new(Beat::new(10.0, 0.0), 0.0, &Beat::new(5.0, 0.0)),
        flight: VecDeque::new(),
        over_border: false,
        has_seen: false,
    };
    let scene = scene.borrow();
    let n = 2000;
    let count = (0..n)
        .filter(|k| says(one.measure(&scene, Luck::new(Stream::root(1), *k)).value))
        .count();
    count as f64 / n as f64
}

pub(super) const DEG: f64 = maths::PI / 180.0;

#[test]
fn the_distance_to_a_box_is_to_its_nearest_face() {
    let s = range_sensor("front", 0.0, 25.0 * DEG);
    assert_eq!(measure(&s, &scene_at([0.0; 3], [0.25, 0.0, 0.0])), 200);
    assert_eq!(
        measure(&s, &scene_at([0.0; 3], [0.25, 0.02, maths::PI])),
        200
    );
    // Corner on: half the diagonal, 70.7 mm, nearer than the middle.
    assert_eq!(
        measure(&s, &scene_at([0.0; 3], [0.25, 0.0, maths::PI / 4.0])),
        179
    );
    // From a robot elsewhere with another heading the distance is the same.
    let mut turned = scene_at([0.1, 0.1, 0.0], [0.1, -0.15, 0.0]);
    turned.own.rotation = DMat3::from_cols(-DVec3::Y, DVec3::X, DVec3::Z);
    assert_eq!(measure(&s, &turned), 200);
}

#[test]
fn a_face_that_slants_out_of_the_beam_is_met_at_the_beams_edge() {
    // A box beside the axis: its near face spans y from 25 to 125 mm at x = 200 mm; the beam's
    // edge at 12.5° reaches y = 25 mm at x = 112.8 mm and so the face from y = 25 mm on.
    let mut s = range_sensor("front", 0.0, 25.0 * DEG);
    let beside = scene_at([0.0; 3], [0.25, 0.075, 0.0]);
    assert_eq!(measure(&s, &beside), 202, "√(200² + 25²) = 201.6");
    // One whose nearest corner is outside: the edge meets the face x = 200 mm at y = 44.3 mm,
    // but the face begins at y = 46 mm: nothing in front, yet the right side is met behind it.
    let farther = scene_at([0.0; 3], [0.25, 0.096, 0.0]);
    // Side y = 46 mm met by the beam's edge at x = 46/tan 12.5° = 207.5 mm: 212.5 mm away. At so
    // flat an angle it is seen out to 400·√sin 12.5° = 186 mm only.
    assert_eq!(measure(&s, &farther), PortKind::NOTHING);
    let SensorKind::Range { farthest, .. } = &mut s.kind else {
        unreachable!()
    };
    *farthest = figure(0.46, "farthest");
    assert_eq!(measure(&s, &farther), 213);
}

#[test]
fn the_beam_ends_at_its_edges() {
    // A pole 0.2 mm wide 700 mm away is seen across 310.4 mm by a 25° beam (2·0.7·tan 12.5°)
    // and across 184.3 mm by a 15° beam.
    for (opening, width) in [(25.0, 0.3104), (15.0, 0.1843)] {
        let mut s = range_sensor("front", 0.0, opening * DEG);
        let SensorKind::Range { farthest, .. } = &mut s.kind else {
            unreachable!()
        };
        *farthest = figure(2.0, "farthest");
        let seen = |y: f64| {
            let mut scene = scene_at([0.0; 3], [0.7, y, 0.0]);
            scene.silhouette = block(1e-4, 1e-4, [0.0, 0.1], 0.9);
            measure(&s, &scene) != PortKind::NOTHING
        };
        let half = width / 2.0;
        for sign in [-1.0, 1.0] {
            assert!(
                seen(sign * (half - 0.0005)) && !seen(sign * (half + 0.0005)),
                "{opening}"
            );
        }
    }
}

#[test]
fn three_beams_of_25_degrees_cover_75_degrees_with_two_gaps_of_20() {
    let sensors = [-45.0, 0.0, 45.0].map(|f| range_sensor("s", f * DEG, 25.0 * DEG));
    let steps = 3600;
    let seen: Vec<bool> = (0..steps)
        .map(|k| {
            let bearing = (f64::from(k) + 0.5) / f64::from(steps) * maths::TAU - maths::PI;
            let (x, y) = (0.3 * maths::cos(bearing), 0.3 * maths::sin(bearing));
            let mut scene = scene_at([0.0; 3], [x, y, bearing]);
            scene.silhouette = block(1e-5, 1e-5, [0.0, 0.1], 0.9);
            sensors
                .iter()
                .any(|s| measure(s, &scene) != PortKind::NOTHING)
        })
        .collect();
    assert_eq!(
        seen.iter().filter(|s| **s).count(),
        750,
        "in tenths of a degree"
    );
    let mut gaps = Vec::new();
    let first = seen.iter().position(|s| *s).expect("something is seen");
    let mut gap = 0;
    for k in 0..steps {
        if seen[(first + usize::try_from(k).expect("small")) % seen.len()] {
            if gap > 0 {
                gaps.push(gap);
            }
            gap = 0;
        } else {
            gap += 1;
        }
    }
    gaps.push(gap);
    gaps.sort_unstable();
    assert_eq!(gaps, [200, 200, 2450], "in tenths of a degree");
}

#[test]
fn dark_and_slanted_bodies_are_seen_from_less_far() {
    let s = range_sensor("front", 0.0, 10.0 * DEG);
    let farthest = |reflectance: f64, heading: f64| {
        (0..=500)
            .rev()
            .map(|mm| f64::from(mm) / 1000.0)
            .find_map(|d| {
                let mut scene = scene_at([0.0; 3], [d + 0.05, 0.0, heading]);
                scene.silhouette = block(0.05, 0.3, [0.0, 0.05], reflectance);
                let reading = measure(&s, &scene);
                (reading != PortKind::NOTHING).then_some(reading)
            })
            .expect("near enough it is seen")
    };
    assert_eq!(farthest(0.9, 0.0), 400);
    assert_eq!(
        farthest(0.225, 0.0),
        200,
        "a quarter of the light: half as far"
    );
    // A face slanted by 60°: the nearest ray lies 5° off the axis on the near side, at 55° to the
    // face: √cos 55° = 0.757.
    let slanted = farthest(0.9, 60.0 * DEG);
    assert!((301..=303).contains(&slanted), "{slanted}");
}

#[test]
fn a_beam_passes_over_a_low_body_until_it_is_wide_enough() {
    // Eye 20 mm up, body 10 mm high, beam ±5°: its lower edge is at 10 mm height 114.3 mm away.
    let s = range_sensor("front", 0.0, 10.0 * DEG);
    let low_body = |x: f64| {
        let mut scene = scene_at([0.0; 3], [x, 0.0, 0.0]);
        scene.silhouette = block(0.02, 0.02, [0.0, 0.01], 0.9);
        measure(&s, &scene)
    };
    assert_eq!(low_body(0.08), PortKind::NOTHING, "ends at 100 mm");
    assert_eq!(low_body(0.15), 130, "√(130² + 10²) = 130.4");
    // Nose up by 10° the whole beam points above it.
    let mut up = scene_at([0.0; 3], [0.15, 0.0, 0.0]);
    up.silhouette = block(0.02, 0.02, [0.0, 0.01], 0.9);
    let (c, s10) = (maths::cos(10.0 * DEG), maths::sin(10.0 * DEG));
    up.own.rotation = DMat3::from_cols(DVec3::new(c, 0.0, s10), DVec3::Y, DVec3::new(-s10, 0.0, c));
    assert_eq!(measure(&s, &up), PortKind::NOTHING);
}

#[test]
fn nearer_than_the_nearest_distance_reads_as_farther_again() {
    let s = range_sensor("front", 0.0, 10.0 * DEG);
    assert_eq!(measure(&s, &scene_at([0.0; 3], [0.07, 0.0, 0.0])), 20);
    // 20/(0.3 + 0.7·10/20) = 30.8 mm at 10 mm; 20/0.3 = 66.7 mm at the lens.
    assert_eq!(measure(&s, &scene_at([0.0; 3], [0.06, 0.0, 0.0])), 31);
    assert_eq!(
        measure(&s, &scene_at([0.0; 3], [0.0, 0.0, 0.0])),
        67,
        "inside the other's hull"
    );
}

#[test]
fn what_lies_behind_is_not_seen() {
    let s = range_sensor("front", 0.0, 160.0 * DEG);
    assert_eq!(
        measure(&s, &scene_at([0.0; 3], [-0.06, 0.0, 0.0])),
        PortKind::NOTHING
    );
    assert_eq!(
        measure(&s, &scene_at([0.0; 3], [-0.2, 0.0, 0.0])),
        PortKind::NOTHING
    );
    let back = range_sensor("back", maths::PI, 20.0 * DEG);
    assert_eq!(measure(&back, &scene_at([0.0; 3], [-0.2, 0.0, 0.0])), 150);
}

/// A robot with just these sensors.
fn carrying(sensors: Vec<robot::Sensor>) -> Robot {
    let mut r = crate::tests::scenery::pusher("bare");
    r.sensors = sensors;
    r
}

/// Readings at each run of the program while the opponent closes from 300 mm at 1 m/s.
fn closing(robot: &Robot, runs: Beat, count: u64) -> Vec<(f64, Vec<i16>)> {
    let draws = Draws::nominal();
    let mut senses = Senses::new(robot, &body(), &draws, Stream::root(9), &runs);
    let mut scene = scene_at([0.0; 3], [0.35, 0.0, 0.0]);
    scene.opponent.velocity = DVec3::new(-1.0, 0.0, 0.0);
    let start = scene.borrow();
    senses.settle(&start);
    (0..count)
        .map(|n| {
            let run_ms = runs.at(n);
            senses.take(0.0, run_ms + 1e-9, &start, &runs);
            (run_ms, senses.readings(run_ms).to_vec())
        })
        .collect()
}

#[test]
fn a_reading_is_as_old_as_latency_and_rate_make_it() {
    let mut s = range_sensor("front", 0.0, 20.0 * DEG);
    s.rate = figure(40.0, "rate");
    s.latency = figure(0.010, "latency");
    let readings = closing(&carrying(vec![s]), Beat::new(1.0, 0.0), 250);
    let mut changes = Vec::new();
    for pair in readings.windows(2) {
        if pair[1].1 != pair[0].1 {
            changes.push(pair[1].0);
        }
    }
    // At 1 m/s the distance in mm is 300 less the time in ms: the reading shows its own age.
    let ages: Vec<f64> = readings
        .iter()
        .skip_while(|r| r.1[0] == 300)
        .map(|(now, r)| now - (300.0 - f64::from(r[0])))
        .collect();
    let (least, most) = ages
        .iter()
        .fold((1e9_f64, 0.0_f64), |(a, b), &x| (a.min(x), b.max(x)));
    // Latency 10 ms at the youngest, and up to a period of 25 ms more; runs and millimetres round.
    assert!((9.5..=11.5).contains(&least), "{least}");
    assert!((33.5..=35.5).contains(&most), "{most}");
    for gap in changes.windows(2) {
        assert!((24.0..=26.0).contains(&(gap[1] - gap[0])), "{changes:?}");
    }
    assert!(changes.len() >= 9, "{changes:?}");
}

#[test]
fn before_the_first_new_reading_the_still_scene_before_the_start_is_seen() {
    let mut s = range_sensor("front", 0.0, 20.0 * DEG);
    s.latency = figure(0.030, "latency");
    let readings = closing(&carrying(vec![s]), Beat::new(5.0, 0.0), 3);
    assert!(readings.iter().all(|r| r.1 == [300]), "{readings:?}");
}

/// A sensor with every kind of chance.
fn noisy(name: &str) -> robot::Sensor {
    let mut s = range_sensor(name, 0.0, 20.0 * DEG);
    let SensorKind::Range {
        noise,
        misses,
        false_alarms,
        ..
    } = &mut s.kind
    else {
        unreachable!()
    };
    *noise = figure(0.1, "noise");
    *misses = figure(0.1, "misses");
    *false_alarms = figure(0.1, "false_alarms");
    s
}

#[test]
fn adding_a_sensor_leaves_the_noise_of_the_others_as_it_was() {
    let runs = Beat::new(5.0, 0.3);
    let alone = closing(&carrying(vec![noisy("front")]), runs, 60);
    let beside = closing(&carrying(vec![noisy("left"), noisy("front")]), runs, 60);
    let front = |r: &[(f64, Vec<i16>)], at: usize| r.iter().map(|x| x.1[at]).collect::<Vec<_>>();
    assert_eq!(front(&alone, 0), front(&beside, 1));
    assert_ne!(
        front(&beside, 0),
        front(&beside, 1),
        "each has its own chance"
    );
    assert!(
        front(&alone, 0).contains(&PortKind::NOTHING),
        "some readings miss"
    );
}

#[test]
fn an_edge_sensor_counts_as_ahead_only_on_the_side_of_travel() {
    let mut front = sensor(
        "edge",
        0.0,
        SensorKind::Reflectance {
            spot: figure(0.002, "spot"),
            noise: figure(0.0, "noise"),
            fading_height: figure(0.006, "fading"),
        },
    );
    front.item.at[0] = figure(0.045, "x");
    front.item.at[2] = figure(0.002, "z");
    let robot = carrying(vec![front]);
    let runs = Beat::new(5.0, 0.0);
    let mut senses = Senses::new(&robot, &body(), &Draws::nominal(), Stream::root(1), &runs);
    senses.settle(&scene_at([0.33, 0.0, 0.0], [0.0; 3]).borrow());
    assert!(senses.edge_ahead(DVec2::X) && senses.edge_ahead(DVec2::ZERO));
    assert!(!senses.edge_ahead(-DVec2::X));
    senses.settle(&scene_at([0.2, 0.0, 0.0], [0.0; 3]).borrow());
    assert!(!senses.edge_ahead(DVec2::X));
}

#[test]
fn a_false_alarm_is_no_sight_of_the_opponent() {
    let mut jumpy = range_sensor("front", 0.0, 20.0 * DEG);
    if let SensorKind::Range { false_alarms, .. } = &mut jumpy.kind {
        *false_alarms = figure(1.0, "false_alarms");
    }
    let robot = carrying(vec![jumpy]);
    let runs = Beat::new(5.0, 0.0);
    let mut senses = Senses::new(&robot, &body(), &Draws::nominal(), Stream::root(1), &runs);
    // The opponent stands behind; then in front, which the program knows when the reading is out.
    let behind = scene_at([0.0; 3], [-0.2, 0.0, 0.0]);
    senses.settle(&behind.borrow());
    assert!(senses.sees() && !senses.has_seen());
    let ahead = scene_at([0.0; 3], [0.2, 0.0, 0.0]);
    senses.take(0.0, 100.0, &ahead.borrow(), &runs);
    assert!(!senses.has_seen(), "still on its way");
    senses.readings(1000.0);
    assert!(senses.has_seen());
}
