//! Robots for this crate's tests.

use quantity::{Dimension, Figure, Length, Mass, Origin};
use robot::{
    Battery, Blade, Board, Driver, HullPiece, Idle, Item, Place, Robot, Shape, Style, TacticText,
    Tyre, Wheel,
};

fn si<D: Dimension>(value: f64) -> Figure<D> {
    Figure::new(value, Origin::Stated, "test")
}

/// A length in mm.
pub(crate) fn mm(value: f64) -> Figure<Length> {
    si(value * 1e-3)
}

/// A mass in g with a path of its own.
pub(crate) fn g(value: f64) -> Figure<Mass> {
    Figure::new(value * 1e-3, Origin::Stated, &format!("parts/{value}/mass"))
}

/// A part in the middle of the robot.
pub(crate) fn item(name: &str, mass: Figure<Mass>) -> Item {
    Item {
        name: name.into(),
        part: None,
        kits: Vec::new(),
        mass,
        price: None,
        at: [mm(0.0), mm(0.0), mm(20.0)],
        shape: Shape::Point,
        place: Place::whole("test.toml"),
    }
}

/// A box on its bottom: 100 × 100 × 60 mm and 238 g unless said otherwise.
#[derive(Debug, Clone)]
pub(crate) struct Boxy {
    pub(crate) length_mm: f64,
    pub(crate) width_mm: f64,
    pub(crate) height_mm: f64,
    pub(crate) body_g: f64,
    pub(crate) wheels: Vec<Figure<Mass>>,
}

impl Default for Boxy {
    fn default() -> Self {
        Self {
            length_mm: 100.0,
            width_mm: 100.0,
            height_mm: 60.0,
            body_g: 120.0,
            wheels: Vec::new(),
        }
    }
}

impl Boxy {
    /// With `count` free wheels of this mass each.
    pub(crate) fn wheels(mut self, count: usize, mass: Figure<Mass>) -> Self {
        self.wheels = vec![mass; count];
        self
    }

    /// Whose parts weigh this much together.
    pub(crate) fn weighing(grams: f64) -> Self {
        Self {
            body_g: grams - 118.0,
            ..Self::default()
        }
    }

    /// The robot.
    pub(crate) fn build(self) -> Robot {
        let (x, y) = (self.length_mm / 2e3, self.width_mm / 2e3);
        let wheels = self.wheels.into_iter().enumerate().map(|(i, mass)| Wheel {
            item: Item {
                at: [mm(0.0), mm(0.0), mm(17.0)],
                ..item(&format!("wheel {}", i + 1), mass)
            },
            motor: None,
            ratio: si(1.0),
            radius: mm(17.0),
            width: mm(10.0),
            run_out: mm(0.0),
            tyre: Tyre {
                compound: "rubber".into(),
                grip_peak: si(0.9),
                grip_sliding: si(0.8),
                reference_load: si(1.0),
                load_exponent: si(0.1),
                rolling: si(0.02),
                adhesion: si(0.0),
                dirt_loss: si(0.0),
                dirt_length: si(30.0),
                since_cleaned: si(0.0),
                on: vec![],
            },
        });
        Robot {
            name: "Boxy".into(),
            file: "test.toml".into(),
            class: None,
            style: Style::Pusher,
            parts: vec![item("body", g(self.body_g))],
            hull: vec![HullPiece {
                name: "shell".into(),
                outline: vec![[x, y], [-x, y], [-x, -y], [x, -y]],
                from: mm(2.0),
                to: mm(self.height_mm),
                friction: si(0.3),
                rebound: si(0.3),
                reflectance: si(0.5),
                shine: si(0.0),
                place: Place::whole("test.toml"),
            }],
            motors: Vec::new(),
            wheels: wheels.collect(),
            tracks: Vec::new(),
            skids: Vec::new(),
            magnets: Vec::new(),
            blade: None,
            gadgets: Vec::new(),
            battery: Battery {
                item: item("battery", g(100.0)),
                chemistry: "NiMH".into(),
                voltage: si(4.8),
                resistance: si(0.15),
                capacity: si(3600.0),
                charge: si(1.0),
            },
            driver: Driver {
                item: item("driver", g(10.0)),
                current_limit: si(2.0),
                resistance: si(0.3),
                idle: Idle::Brake,
            },
            board: Board {
                item: item("board", g(8.0)),
                loop_time: si(0.01),
                output_delay: si(0.001),
                current: si(0.05),
                brown_out: None,
                boot_time: si(0.3),
            },
            sensors: Vec::new(),
            tactic: TacticText {
                file: "test.tactic".into(),
                text: String::new(),
            },
            put_down: mm(5.0),
            put_down_heading: si(0.05),
            faults: robot::Faults::default(),
            wiring: robot::Wiring::default(),
            frame: None,
        }
    }
}

/// A blade with an edge this thick.
pub(crate) fn blade(edge_mm: f64) -> Blade {
    Blade {
        item: item("blade", g(48.0)),
        tip_x: mm(50.0),
        tip_y: mm(0.0),
        tip_height: mm(0.0),
        width: mm(96.0),
        length: mm(30.0),
        angle: si(0.5),
        edge: mm(edge_mm),
        friction: si(0.3),
        mount: robot::Mount::Fixed {
            tip_stiffness: None,
        },
        rebound: si(0.3),
    }
}
