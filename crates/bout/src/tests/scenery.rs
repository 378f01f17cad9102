//! Robots, programs and a ring for tests, made in code.

use std::sync::LazyLock;

use glam::{DMat3, DQuat, DVec3};
use quantity::{Dimension, Figure, Origin, Stream, maths};
use robot::{
    Battery, Blade, Board, Cooling, Driver, HullPiece, Idle, Item, Motor, Place, Ring, Robot,
    Sensor, SensorKind, Shape, Side, Skid, Style, TacticText, Tyre, Wheel,
};
use rules::Facing;
use tactic::PortKind;

use crate::arena::{Arena, Judging, MatchRules, PlacingRule};
use crate::control::{Controller, Orders};
use crate::dynamics::Pose;
use crate::pilot::Pilot;
use crate::placing::Spot;
use crate::sense::{Around, Scene, Silhouette};

/// A ring of 770 mm, remote start, one restart.
pub(crate) fn arena() -> Arena {
    Arena {
        ring: Ring {
            diameter_m: 0.77,
            height_m: 0.025,
            border_m: 0.025,
            surface_reflectance: 0.05,
            border_reflectance: 0.85,
            grip: 1.0,
            grip_varies: 0.2,
            flatness_m: 0.0,
            seam_m: 0.0,
            start_line_m: 0.05,
            hall: robot::Hall::DARK,
            surface: robot::Surface::PaintedBoard,
            also: Vec::new(),
            dust: 1.0,
        },
        gravity: 9.80665,
        start_delay_s: 0.0,
        no_progress_s: 5.0,
        restarts: 1,
        longest_s: 60.0,
        placing: PlacingRule {
            from_middle_m: 0.05,
            to_middle_m: 0.385,
            aside_m: 0.385,
            facing: Facing::Any,
            in_turn: false,
        },
        judging: Judging::default(),
        match_rules: MatchRules::default(),
    }
}

fn f<D: Dimension>(si: f64, path: &str) -> Figure<D> {
    Figure::new(si, Origin::Stated, path)
}

/// A figure that varies from bout to bout by this half-width.
fn v<D: Dimension>(si: f64, varies: f64, path: &str) -> Figure<D> {
    f(si, path).with_spread(0.0, varies)
}

fn item(name: &str, mass: f64, at: [f64; 3], shape: Shape) -> Item {
    Item {
        name: name.into(),
        part: None,
        kits: vec![],
        mass: f(mass, &format!("part/{name}/mass")),
        price: None,
        at: [
            f(at[0], &format!("part/{name}/x")),
            f(at[1], &format!("part/{name}/y")),
            f(at[2], &format!("part/{name}/z")),
        ],
        shape,
        place: Place::whole("scenery"),
    }
}

fn box_of(x: f64, y: f64, z: f64) -> Shape {
    Shape::Box([f(x, "box/x"), f(y, "box/y"), f(z, "box/z")])
}

/// An edge sensor.
fn edge(name: &str, x: f64, y: f64) -> Sensor {
    Sensor {
        item: item(name, 0.001, [x, y, 0.003], Shape::Point),
        facing: f(0.0, "edge/facing"),
        rate: f(1000.0, "edge/rate"),
        latency: f(0.0002, "edge/latency"),
        current: f(0.0, "edge/current"),
        kind: SensorKind::Reflectance {
            spot: f(0.003, "edge/spot"),
            noise: f(0.05, "edge/noise"),
            fading_height: f(0.008, "edge/fading_height"),
        },
    }
}

/// A distance sensor.
fn eye(name: &str, x: f64, y: f64, facing_deg: f64) -> Sensor {
    Sensor {
        item: item(name, 0.003, [x, y, 0.025], Shape::Point),
        facing: f(
            facing_deg * maths::PI / 180.0,
            &format!("eye/{name}/facing"),
        ),
        rate: f(200.0, "eye/rate"),
        latency: f(0.002, "eye/latency"),
        current: f(0.0, "eye/current"),
        kind: SensorKind::Range {
            nearest: f(0.02, "eye/nearest"),
            farthest: f(0.4, "eye/farthest"),
            field_of_view: f(12.0 * maths::PI / 180.0, "eye/field_of_view"),
            noise: f(0.05, "eye/noise"),
            misses: f(0.01, "eye/misses"),
            false_alarms: f(0.002, "eye/false_alarms"),
        },
    }
}

/// A robot of 100 mm by 100 mm and about 480 g: two driven wheels behind the middle, a blade that
/// stands on the ring, five distance sensors and four edge sensors. Sensors in file order: centre,
/// left, right, left flank, right flank; edges front left, front right, back left, back right.
pub(crate) fn pusher(name: &str) -> Robot {
    let motor = |name: &str, side, y: f64| Motor {
        item: item(name, 0.025, [-0.01, y, 0.016], box_of(0.024, 0.03, 0.012)),
        side,
        with: None,
        rated_voltage: f(6.0, "motor/rated_voltage"),
        no_load_speed: f(75.0, "motor/no_load_speed"),
        no_load_current: f(0.08, "motor/no_load_current"),
        stall_torque: v(0.07, 0.007, "motor/stall_torque"),
        stall_current: f(1.4, "motor/stall_current"),
        reflected_inertia: f(4e-6, "motor/reflected_inertia"),
        gear_ratio: f(1.0, "motor/gear_ratio"),
        gear_efficiency: f(1.0, "motor/gear_efficiency"),
        box_efficiency: f(0.75, "motor/box_efficiency"),
        cooling: Cooling {
            winding_to_case: f(12.0, "motor/winding_to_case"),
            case_to_air: f(30.0, "motor/case_to_air"),
            winding_time: f(8.0, "motor/winding_time"),
            case_time: f(300.0, "motor/case_time"),
        },
    };
    let wheel = |name: &str, motor, y: f64| Wheel {
        item: item(
            name,
            0.015,
            [-0.01, y, 0.016],
            Shape::CylinderAcross {
                radius: f(0.016, "wheel/radius"),
                width: f(0.012, "wheel/width"),
            },
        ),
        motor: Some(motor),
        ratio: f(1.0, "wheel/ratio"),
        radius: f(0.016, "wheel/radius"),
        width: f(0.012, "wheel/width"),
        run_out: f(0.0, "wheel/run_out"),
        tyre: Tyre {
            compound: "rubber".into(),
            grip_peak: v(0.9, 0.1, "tyre/grip_peak"),
            grip_sliding: v(0.8, 0.1, "tyre/grip_sliding"),
            reference_load: f(1.0, "tyre/reference_load"),
            load_exponent: f(0.1, "tyre/load_exponent"),
            rolling: f(0.02, "tyre/rolling"),
            adhesion: f(0.0, "tyre/adhesion"),
            dirt_loss: f(0.0, "tyre/dirt_loss"),
            dirt_length: f(30.0, "tyre/dirt_length"),
            since_cleaned: f(0.0, "tyre/since_cleaned"),
            on: vec![],
        },
    };
    let outline = vec![[-0.05, -0.03], [0.03, -0.03], [0.03, 0.03], [-0.05, 0.03]];
    let hull = |name: &str, outline: Vec<[f64; 2]>, from: f64| HullPiece {
        name: name.into(),
        outline,
        from: f(from, "hull/from"),
        to: f(0.05, "hull/to"),
        friction: f(0.3, "hull/friction"),
        rebound: f(0.3, "hull/rebound"),
        reflectance: f(0.6, "hull/reflectance"),
        shine: f(0.1, "hull/shine"),
        place: Place::whole("scenery"),
    };
    let upper = vec![[-0.05, -0.05], [0.03, -0.05], [0.03, 0.05], [-0.05, 0.05]];
    Robot {
        name: name.into(),
        file: "scenery".into(),
        class: None,
        style: Style::Pusher,
        parts: vec![item(
            "body",
            0.26,
            [-0.005, 0.0, 0.018],
            box_of(0.08, 0.09, 0.03),
        )],
        hull: vec![hull("lower", outline, 0.004), hull("upper", upper, 0.034)],
        motors: vec![
            motor("left", Side::Left, 0.02),
            motor("right", Side::Right, -0.02),
        ],
        wheels: vec![wheel("left", 0, 0.04), wheel("right", 1, -0.04)],
        tracks: vec![],
        skids: vec![] as Vec<Skid>,
        magnets: vec![],
        gadgets: Vec::new(),
        blade: Some(Blade {
            mount: robot::Mount::Fixed {
                tip_stiffness: None,
            },
            item: item("blade", 0.03, [0.04, 0.0, 0.008], box_of(0.03, 0.1, 0.002)),
            tip_x: f(0.05, "blade/tip_x"),
            tip_y: f(0.0, "blade/tip_y"),
            tip_height: f(0.0, "blade/tip_height"),
            width: f(0.1, "blade/width"),
            length: f(0.03, "blade/length"),
            angle: f(30.0 * maths::PI / 180.0, "blade/angle"),
            edge: v(0.0002, 0.0002, "blade/edge"),
            friction: f(0.2, "blade/friction"),
            rebound: f(0.3, "blade/rebound"),
        }),
        battery: Battery {
            item: item(
                "battery",
                0.06,
                [0.0, 0.0, 0.012],
                box_of(0.05, 0.03, 0.015),
            ),
            chemistry: "NiMH".into(),
            voltage: v(7.4, 0.2, "battery/voltage"),
            resistance: f(0.2, "battery/resistance"),
            capacity: f(1000.0, "battery/capacity"),
            charge: f(1.0, "battery/charge"),
        },
        driver: Driver {
            item: item("driver", 0.01, [-0.02, 0.0, 0.03], Shape::Point),
            current_limit: f(3.0, "driver/current_limit"),
            resistance: f(0.2, "driver/resistance"),
            idle: Idle::Brake,
        },
        board: Board {
            item: item("board", 0.02, [0.0, 0.0, 0.035], Shape::Point),
            loop_time: f(0.005, "board/loop_time"),
            output_delay: f(0.001, "board/output_delay"),
            current: f(0.05, "board/current"),
            brown_out: None,
            boot_time: f(0.3, "board/boot_time"),
        },
        sensors: vec![
            eye("centre", 0.025, 0.0, 0.0),
            eye("left-eye", 0.025, 0.03, 35.0),
            eye("right-eye", 0.025, -0.03, -35.0),
            eye("left-flank", 0.0, 0.045, 90.0),
            eye("right-flank", 0.0, -0.045, -90.0),
            edge("front-left", 0.032, 0.042),
            edge("front-right", 0.032, -0.042),
            edge("back-left", -0.045, 0.042),
            edge("back-right", -0.045, -0.042),
        ],
        tactic: TacticText {
            file: "scenery".into(),
            text: String::new(),
        },
        put_down: f(0.01, "put_down"),
        put_down_heading: f(5.0 * maths::PI / 180.0, "put_down_heading"),
        faults: robot::Faults::default(),
        wiring: robot::Wiring::default(),
        frame: None,
    }
}

/// The same without its blade, on a sliding foot.
pub(crate) fn plain(name: &str) -> Robot {
    let mut r = pusher(name);
    r.blade = None;
    let foot = [f(0.03, "foot/x"), f(0.0, "foot/y"), f(0.0, "foot/z")];
    r.skids = vec![Skid {
        item: item("foot", 0.03, [0.03, 0.0, 0.002], Shape::Point),
        contact: foot,
        friction: f(0.2, "foot/friction"),
        rolling: None,
    }];
    r
}

/// The mirror image of a robot: every y and every angle negated, nothing swapped. Names stay, so
/// draws stay; the motor called left turns the wheel called left, now on the right.
pub(crate) fn mirror(robot: &Robot) -> Robot {
    fn flip<D: Dimension>(figure: &mut Figure<D>) {
        *figure = figure.clone().with_si(-figure.si());
    }
    let mut r = robot.clone();
    let sections = [&mut r.battery.item, &mut r.driver.item, &mut r.board.item];
    let items = r
        .parts
        .iter_mut()
        .chain(r.motors.iter_mut().map(|m| &mut m.item))
        .chain(r.wheels.iter_mut().map(|w| &mut w.item))
        .chain(r.tracks.iter_mut().map(|t| &mut t.item))
        .chain(r.skids.iter_mut().map(|s| &mut s.item))
        .chain(r.blade.iter_mut().map(|b| &mut b.item))
        .chain(sections)
        .chain(r.sensors.iter_mut().map(|s| &mut s.item));
    for item in items {
        flip(&mut item.at[1]);
    }
    for piece in &mut r.hull {
        for corner in &mut piece.outline {
            corner[1] = -corner[1];
        }
        piece.outline.reverse();
    }
    for skid in &mut r.skids {
        flip(&mut skid.contact[1]);
    }
    if let Some(b) = &mut r.blade {
        flip(&mut b.tip_y);
    }
    for s in &mut r.sensors {
        flip(&mut s.facing);
    }
    r
}

/// A program that always wants the same.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Steady(pub(crate) [i16; 2]);

impl Controller for Steady {
    fn run(&mut self, _readings: &[i16], _elapsed_ms: u32) -> Option<Orders> {
        Some(Orders::drive(self.0))
    }
}

/// A program for [`pusher`]: away from the border, at what it sees, else turning about.
#[derive(Debug, Clone, Default)]
pub(crate) struct Hunter {
    state: Hunt,
    until_ms: u32,
    /// Whether it last saw or fled to the left.
    left: bool,
    chance: u64,
}

/// What a [`Hunter`] is busy with.
#[derive(Debug, Clone, Copy, Default, PartialEq)]
enum Hunt {
    #[default]
    Seek,
    Back,
    Pivot,
    Ahead,
}

impl Controller for Hunter {
    fn run(&mut self, readings: &[i16], elapsed_ms: u32) -> Option<Orders> {
        Some(Orders::drive(self.decide(readings, elapsed_ms)))
    }
}

impl Hunter {
    fn decide(&mut self, readings: &[i16], elapsed_ms: u32) -> [i16; 2] {
        let &[centre, left, right, left_flank, right_flank, fl, fr, bl, br] = readings else {
            return [0, 0];
        };
        let sees = |r: i16| r != PortKind::NOTHING;
        let border = |r: i16| r > 400;
        let pivot = |left: bool| if left { [-1000, 1000] } else { [1000, -1000] };
        if border(fl) || border(fr) {
            self.left = border(fr);
            (self.state, self.until_ms) = (Hunt::Back, elapsed_ms + 100);
        } else if border(bl) || border(br) {
            (self.state, self.until_ms) = (Hunt::Ahead, elapsed_ms + 110);
        } else if elapsed_ms >= self.until_ms {
            self.chance = self
                .chance
                .wrapping_mul(6_364_136_223_846_793_005)
                .wrapping_add(1);
            let some = u32::try_from(self.chance >> 57).unwrap_or(0);
            (self.state, self.until_ms) = match self.state {
                Hunt::Back => (Hunt::Pivot, elapsed_ms + 100 + some),
                _ => (Hunt::Seek, elapsed_ms),
            };
        }
        match self.state {
            Hunt::Back => return [-1000, -1000],
            Hunt::Pivot if !sees(centre) => return pivot(self.left),
            Hunt::Ahead => return [1000, 1000],
            Hunt::Pivot | Hunt::Seek => {}
        }
        if sees(centre) {
            return [1000, 1000];
        }
        for (seen, is_left) in [
            (left, true),
            (right, false),
            (left_flank, true),
            (right_flank, false),
        ] {
            if sees(seen) {
                self.left = is_left;
                return pivot(is_left);
            }
        }
        let turning = if self.left { [300, 1000] } else { [1000, 300] };
        if elapsed_ms % 1000 < 700 {
            turning
        } else {
            [800, 800]
        }
    }
}

/// How test programs are started: a place and a maker.
pub(crate) struct Scripted<C> {
    pub(crate) spot: Spot,
    pub(crate) program: C,
}

impl<C: Controller + Clone + 'static> Pilot for Scripted<C> {
    fn spot(&self, _opening: usize) -> Spot {
        self.spot
    }

    fn start(&self, _opening: usize, _chance: Stream) -> Box<dyn Controller> {
        Box::new(self.program.clone())
    }
}

/// A hunter with its opening; its own chance is keyed.
pub(crate) struct Hunting(pub(crate) Spot);

impl Pilot for Hunting {
    fn spot(&self, _opening: usize) -> Spot {
        self.0
    }

    fn start(&self, _opening: usize, chance: Stream) -> Box<dyn Controller> {
        Box::new(Hunter {
            chance: chance.key(),
            ..Hunter::default()
        })
    }
}

/// A robot at rest whose opponent comes straight at it at 1 m/s from 300 mm away.
pub(crate) fn closing(opponent: &Silhouette) -> Scene<'_> {
    const AROUND: Around = Around::CALM;
    static RING: LazyLock<Ring> = LazyLock::new(|| arena().ring);
    let own = Pose {
        origin: DVec3::ZERO,
        rotation: DMat3::IDENTITY,
        quaternion: DQuat::IDENTITY,
        velocity: DVec3::ZERO,
        spin: DVec3::ZERO,
    };
    let other = Pose {
        origin: DVec3::X * 0.3,
        velocity: -DVec3::X,
        ..own
    };
    Scene {
        ring: &RING,
        own,
        opponent: other,
        silhouette: opponent,
        around: &AROUND,
        drive: None,
        touch: None,
        ahead_s: 0.0,
    }
}
