//! The design as data.

use quantity::{
    Angle, AngularVelocity, Charge, Current, Draws, Figure, Force, Frequency, Inertia, Length,
    Mass, Ratio, Resistance, Temperature, ThermalResistance, Time, Torque, Voltage,
};

use crate::gadget::{Gadget, Mount};
use crate::{Described, Faults, Magnet, Place, Surface, Track, Wiring};

/// A whole robot as its file describes it.
#[derive(Debug, Clone, PartialEq)]
pub struct Robot {
    /// The name its builder gave it.
    pub name: String,
    /// The file it was read from.
    pub file: String,
    /// The class it is meant for, if the file says so, e.g. `mini`.
    pub class: Option<String>,
    /// How it means to win.
    pub style: Style,
    /// Parts that have mass and place but no function of their own.
    pub parts: Vec<Item>,
    /// Convex pieces of the outline: what an opponent touches and sees.
    pub hull: Vec<HullPiece>,
    /// Motors, each with its gearing.
    pub motors: Vec<Motor>,
    /// Wheels, driven or free.
    pub wheels: Vec<Wheel>,
    /// Tracks, driven or free.
    pub tracks: Vec<Track>,
    /// Sliding or ball feet.
    pub skids: Vec<Skid>,
    /// Magnets that face the ring.
    pub magnets: Vec<Magnet>,
    /// The blade, if it has one.
    pub blade: Option<Blade>,
    /// Lifters, jacks, flaps and arms, by the names the tactic uses.
    pub gadgets: Vec<Gadget>,
    /// The battery pack.
    pub battery: Battery,
    /// The motor driver.
    pub driver: Driver,
    /// The controller board.
    pub board: Board,
    /// Sensors, by the names the tactic uses.
    pub sensors: Vec<Sensor>,
    /// The program.
    pub tactic: TacticText,
    /// How exactly it is put down by hand: lateral and lengthwise error.
    pub put_down: Figure<Length>,
    /// How exactly it is put down by hand: heading error.
    pub put_down_heading: Figure<Angle>,
    /// What goes wrong with it now and then.
    pub faults: Faults,
    /// What is wired to what.
    pub wiring: Wiring,
    /// What holds it together, if the file says so.
    pub frame: Option<Described>,
}

/// How a robot means to win.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Style {
    /// Weight and grip, straight at the opponent.
    Pusher,
    /// Quick; goes for the side.
    Dodger,
    /// Waits, feints, lets the other make the mistake.
    Trickster,
    /// A bit of everything.
    AllRounder,
}

/// What every physical thing on the robot has.
#[derive(Debug, Clone, PartialEq)]
pub struct Item {
    /// Name, unique in its section.
    pub name: String,
    /// Parts-box entry it was taken from.
    pub part: Option<String>,
    /// Kits this part belongs to, for classes restricted to kit parts.
    pub kits: Vec<String>,
    /// Mass of one.
    pub mass: Figure<Mass>,
    /// Price of one.
    pub price: Option<f64>,
    /// Centre of mass: x, y, z above the ring.
    pub at: [Figure<Length>; 3],
    /// Shape, for the inertia about its own centre.
    pub shape: Shape,
    /// Where it stands in the file.
    pub place: Place,
}

/// Shape of an item of even density.
#[derive(Debug, Clone, PartialEq)]
pub enum Shape {
    /// All mass in one point.
    Point,
    /// A box with edges along x, y, z.
    Box([Figure<Length>; 3]),
    /// A solid cylinder about the y axis (a wheel, a motor lying across).
    CylinderAcross {
        /// Radius.
        radius: Figure<Length>,
        /// Width along y.
        width: Figure<Length>,
    },
}

/// A convex upright prism of the body.
#[derive(Debug, Clone, PartialEq)]
pub struct HullPiece {
    /// Name.
    pub name: String,
    /// Outline seen from above, counter-clockwise, convex, in m (x forward, y left).
    pub outline: Vec<[f64; 2]>,
    /// Height of the lower face above the ring.
    pub from: Figure<Length>,
    /// Height of the upper face above the ring.
    pub to: Figure<Length>,
    /// Friction against another robot.
    pub friction: Figure<Ratio>,
    /// Share of the speed of a hit against a like piece that comes back.
    pub rebound: Figure<Ratio>,
    /// Share of infra-red light it sends back: dark bodies are seen from less far.
    pub reflectance: Figure<Ratio>,
    /// Share of that light it mirrors instead of scattering it: 0 matt, 1 polished.
    pub shine: Figure<Ratio>,
    /// Where it stands in the file.
    pub place: Place,
}

/// Which side of the drive something belongs to.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Side {
    /// Left channel of the driver.
    Left,
    /// Right channel of the driver.
    Right,
}

/// A brushed DC motor with the gearbox it is sold with; figures at the output shaft.
#[derive(Debug, Clone, PartialEq)]
pub struct Motor {
    /// The thing itself.
    pub item: Item,
    /// Which channel of the driver feeds it.
    pub side: Side,
    /// Index into [`Robot::motors`] of the motor whose shaft it turns as well, if it does; that one
    /// has none of its own.
    pub with: Option<usize>,
    /// Voltage at which the figures below hold.
    pub rated_voltage: Figure<Voltage>,
    /// Speed without load at the output shaft.
    pub no_load_speed: Figure<AngularVelocity>,
    /// Current without load.
    pub no_load_current: Figure<Current>,
    /// Torque at standstill at the output shaft, gear losses included.
    pub stall_torque: Figure<Torque>,
    /// Current at standstill.
    pub stall_current: Figure<Current>,
    /// Rotor inertia seen at the output shaft (rotor inertia times gear ratio squared).
    pub reflected_inertia: Figure<Inertia>,
    /// Further gear stage between output shaft and wheel: ratio above 1 slows down.
    pub gear_ratio: Figure<Ratio>,
    /// Efficiency of that further stage when driving.
    pub gear_efficiency: Figure<Ratio>,
    /// Efficiency of the gearbox it is sold with when driving. Its losses are in the torque above
    /// already; it decides how hard the box is to turn back.
    pub box_efficiency: Figure<Ratio>,
    /// How it gets rid of its heat.
    pub cooling: Cooling,
}

/// The thermal network of a motor: winding, case, air.
#[derive(Debug, Clone, PartialEq)]
pub struct Cooling {
    /// From the winding to the case.
    pub winding_to_case: Figure<ThermalResistance>,
    /// From the case to the air.
    pub case_to_air: Figure<ThermalResistance>,
    /// Time constant of the winding against its case.
    pub winding_time: Figure<Time>,
    /// Time constant of the case against the air.
    pub case_time: Figure<Time>,
}

/// Tyre material on its wheel.
#[derive(Debug, Clone, PartialEq)]
pub struct Tyre {
    /// Name of the compound.
    pub compound: String,
    /// Grip just before it slides, at the reference load, on clean painted board.
    pub grip_peak: Figure<Ratio>,
    /// Grip while it slides.
    pub grip_sliding: Figure<Ratio>,
    /// Load at which the two grips above hold.
    pub reference_load: Figure<Force>,
    /// Exponent n of grip ∝ load^(−n): the sign is established (Fortunato et al. 2017,
    /// Tire Science and Technology 45(1)), the size for small tyres is not.
    pub load_exponent: Figure<Ratio>,
    /// Rolling resistance coefficient.
    pub rolling: Figure<Ratio>,
    /// What holds it sideways beyond grip × load, clean.
    pub adhesion: Figure<Force>,
    /// Share of its grip that a tyre full of dirt has lost.
    pub dirt_loss: Figure<Ratio>,
    /// Travel of the tread over the ring within which it takes up 63 % of that dirt.
    pub dirt_length: Figure<Length>,
    /// Travel of the tread since it was last cleaned, when a bout begins.
    pub since_cleaned: Figure<Length>,
    /// Grip on other surfaces as a multiple of that on painted board, where the builder says so.
    pub on: Vec<(Surface, Figure<Ratio>)>,
}

/// A wheel.
#[derive(Debug, Clone, PartialEq)]
pub struct Wheel {
    /// The thing itself; its centre of mass is the wheel's centre.
    pub item: Item,
    /// Index into [`Robot::motors`] of the motor that turns it; none: it rolls freely.
    pub motor: Option<usize>,
    /// A gear of its own between the motor's shaft and this wheel: turns of the shaft for one of
    /// the wheel.
    pub ratio: Figure<Ratio>,
    /// Radius.
    pub radius: Figure<Length>,
    /// Width of the tread.
    pub width: Figure<Length>,
    /// Eccentricity: the radius varies by ± this over a turn.
    pub run_out: Figure<Length>,
    /// The tyre.
    pub tyre: Tyre,
}

/// A foot that slides or a ball that rolls in any direction.
#[derive(Debug, Clone, PartialEq)]
pub struct Skid {
    /// The thing itself.
    pub item: Item,
    /// Point that touches the ring, in m: x, y, z.
    pub contact: [Figure<Length>; 3],
    /// Friction on the ring while it slides.
    pub friction: Figure<Ratio>,
    /// What rolling takes as a share of the load, for a ball; none: it slides.
    pub rolling: Option<Figure<Ratio>>,
}

impl Skid {
    /// What it drags with, whichever way, as a share of its load: friction of a slide; of a ball what
    /// rolling takes, as long as that is less than sliding would.
    #[must_use]
    pub fn drag(&self, draws: &Draws) -> f64 {
        let of = |f: &Figure<Ratio>| draws.of(f, &self.item.name).max(0.0);
        let slides = of(&self.friction);
        self.rolling.as_ref().map_or(slides, |r| of(r).min(slides))
    }
}

/// A rigid sheet that slopes up from a straight front edge.
#[derive(Debug, Clone, PartialEq)]
pub struct Blade {
    /// The thing itself.
    pub item: Item,
    /// x of the front edge.
    pub tip_x: Figure<Length>,
    /// y of the middle of the front edge.
    pub tip_y: Figure<Length>,
    /// Height of the front edge above the ring with all wheels down; 0: it stands on its edge.
    pub tip_height: Figure<Length>,
    /// Length of the front edge.
    pub width: Figure<Length>,
    /// Length of the sheet along its slope.
    pub length: Figure<Length>,
    /// Slope against the ring.
    pub angle: Figure<Angle>,
    /// How thick the front edge is, nicks included: what the other blade has to get under.
    pub edge: Figure<Length>,
    /// Friction against the ring and against robots.
    pub friction: Figure<Ratio>,
    /// How it is held to the body.
    pub mount: Mount,
    /// Share of the speed of a hit against a like piece that comes back.
    pub rebound: Figure<Ratio>,
}

/// A battery pack.
#[derive(Debug, Clone, PartialEq)]
pub struct Battery {
    /// The thing itself.
    pub item: Item,
    /// Chemistry in words, e.g. `NiMH`, `LiPo`; lithium brings its cautions.
    pub chemistry: String,
    /// Voltage without load when ready to fight.
    pub voltage: Figure<Voltage>,
    /// Internal resistance of the whole pack with its leads.
    pub resistance: Figure<Resistance>,
    /// Charge it holds when full.
    pub capacity: Figure<Charge>,
    /// Share of that left at the start; the voltage above is that of the full pack.
    pub charge: Figure<Ratio>,
}

/// What a driver does with a motor whose effort is zero.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Idle {
    /// Shorts it, so that it brakes.
    Brake,
    /// Leaves it open, so that it runs on.
    Coast,
}

/// A motor driver with two channels.
#[derive(Debug, Clone, PartialEq)]
pub struct Driver {
    /// The thing itself.
    pub item: Item,
    /// Most current per channel; the driver holds it there.
    pub current_limit: Figure<Current>,
    /// Resistance in series with each channel.
    pub resistance: Figure<Resistance>,
    /// What it does at zero effort.
    pub idle: Idle,
}

/// A controller board.
#[derive(Debug, Clone, PartialEq)]
pub struct Board {
    /// The thing itself.
    pub item: Item,
    /// Time from one run of the program to the next.
    pub loop_time: Figure<Time>,
    /// Time from the program's decision to the motors obeying.
    pub output_delay: Figure<Time>,
    /// Current it draws without its sensors.
    pub current: Figure<Current>,
    /// Voltage of the pack below which it starts anew; none: it never does.
    pub brown_out: Option<Figure<Voltage>>,
    /// Time from a reset to the program's first run; the motors are off.
    pub boot_time: Figure<Time>,
}

/// A sensor.
#[derive(Debug, Clone, PartialEq)]
pub struct Sensor {
    /// The thing itself; `item.at` is where it looks from, `item.name` what the tactic calls it.
    pub item: Item,
    /// Direction it looks in: 0 forward, positive to the left. Not used by edge and tilt sensors.
    pub facing: Figure<Angle>,
    /// New readings per second.
    pub rate: Figure<Frequency>,
    /// Age of a reading when it becomes visible to the program.
    pub latency: Figure<Time>,
    /// Current it draws all the time.
    pub current: Figure<Current>,
    /// What kind it is.
    pub kind: SensorKind,
}

/// The kinds of sensor and what is particular to each.
#[derive(Debug, Clone, PartialEq)]
pub enum SensorKind {
    /// Looks down: surface reflectance in per mille.
    Reflectance {
        /// Diameter of the spot it averages over.
        spot: Figure<Length>,
        /// Standard noise of a reading as a share of full scale (19 to 1 half-width).
        noise: Figure<Ratio>,
        /// Height over the surface at which half the signal is lost.
        fading_height: Figure<Length>,
    },
    /// Looks outward: distance to the opponent in mm by infra-red triangulation.
    Range {
        /// Nearest distance it reads truly; nearer reads as farther again.
        nearest: Figure<Length>,
        /// Farthest distance at which a light-coloured body is seen.
        farthest: Figure<Length>,
        /// Full opening angle of its beam.
        field_of_view: Figure<Angle>,
        /// Error of a reading as a share of the distance.
        noise: Figure<Ratio>,
        /// Share of readings that miss a visible opponent.
        misses: Figure<Ratio>,
        /// Share of readings that report something where nothing is.
        false_alarms: Figure<Ratio>,
    },
    /// Looks outward: distance in mm by the time light takes there and back.
    TimeOfFlight {
        /// Nearest distance it reads; nearer reads as this.
        nearest: Figure<Length>,
        /// Farthest distance at which a light-coloured body is seen.
        farthest: Figure<Length>,
        /// Full opening angle of its field of view.
        field_of_view: Figure<Angle>,
        /// Time it gathers light for one reading: no new one comes earlier.
        time_budget: Figure<Time>,
        /// Error of a reading at any distance.
        noise: Figure<Length>,
        /// Further error as a share of the distance.
        noise_share: Figure<Ratio>,
        /// Share of readings that miss a visible opponent.
        misses: Figure<Ratio>,
        /// Share of readings that report something where nothing is.
        false_alarms: Figure<Ratio>,
    },
    /// Looks outward: distance in mm by the time sound takes there and back.
    Ultrasonic {
        /// Nearest distance it reads; nearer reads as this.
        nearest: Figure<Length>,
        /// Farthest distance it listens for.
        farthest: Figure<Length>,
        /// Full opening angle of its beam.
        field_of_view: Figure<Angle>,
        /// Greatest slant of a flat face whose echo still comes back.
        slant: Figure<Angle>,
        /// Error of a reading at any distance.
        noise: Figure<Length>,
        /// Temperature of the air for which the program turns time into distance.
        set_for: Figure<Temperature>,
        /// Pause after the last echo it waits for.
        dead_time: Figure<Time>,
        /// Share of readings that miss an audible opponent.
        misses: Figure<Ratio>,
        /// Share of readings that report something where nothing is.
        false_alarms: Figure<Ratio>,
    },
    /// Looks outward by infra-red: 1 while it sees something, else 0.
    Proximity {
        /// Farthest distance at which a light-coloured body is seen.
        farthest: Figure<Length>,
        /// Full opening angle of its beam.
        field_of_view: Figure<Angle>,
        /// Share of readings that miss a visible opponent.
        misses: Figure<Ratio>,
        /// Share of readings that report something where nothing is.
        false_alarms: Figure<Ratio>,
    },
    /// Current of the motors of one side in mA, whichever way it flows.
    Current {
        /// Which channel of the driver.
        side: Side,
        /// Error of a reading.
        noise: Figure<Current>,
    },
    /// An encoder: rolling speed of one side's wheels in mm/s, forward positive.
    WheelSpeed {
        /// Which channel of the driver.
        side: Side,
        /// Counts in one turn of the wheel.
        counts: Figure<Ratio>,
    },
    /// A gyroscope: turning speed in tenths of a degree a second, to the left positive.
    TurnRate {
        /// Error of a reading.
        noise: Figure<AngularVelocity>,
        /// What it reads at rest.
        offset: Figure<AngularVelocity>,
        /// Greatest speed it reads.
        most: Figure<AngularVelocity>,
    },
    /// A switch behind a piece of the outline: 1 while touched.
    Contact {
        /// How wide a piece of the outline it covers.
        width: Figure<Length>,
        /// Force that closes it.
        trip_force: Figure<Force>,
    },
    /// Pitch, nose up positive, in tenths of a degree.
    Tilt {
        /// Error of a reading.
        noise: Figure<Angle>,
    },
}

impl SensorKind {
    /// Farthest distance at which it sees a light-coloured body, and the full opening angle of its
    /// beam, if it is one that sees opponents.
    #[must_use]
    pub fn sight(&self) -> Option<(&Figure<Length>, &Figure<Angle>)> {
        match self {
            Self::Range {
                farthest,
                field_of_view,
                ..
            }
            | Self::TimeOfFlight {
                farthest,
                field_of_view,
                ..
            }
            | Self::Ultrasonic {
                farthest,
                field_of_view,
                ..
            }
            | Self::Proximity {
                farthest,
                field_of_view,
                ..
            } => Some((farthest, field_of_view)),
            Self::Reflectance { .. }
            | Self::Contact { .. }
            | Self::Tilt { .. }
            | Self::Current { .. }
            | Self::WheelSpeed { .. }
            | Self::TurnRate { .. } => None,
        }
    }
}

/// The program as text.
#[derive(Debug, Clone, PartialEq)]
pub struct TacticText {
    /// File name as given.
    pub file: String,
    /// The source text.
    pub text: String,
}

impl Motor {
    /// Whether its stall torque stands in the robot's own file without a spread: then it is taken to be
    /// a shop page's and known no better than by a fifth.
    #[must_use]
    pub fn torque_is_from_a_shop(&self) -> bool {
        let t = &self.stall_torque;
        let taken = crate::typical::SHOP_TORQUE_SHARE * t.si().abs();
        let just_so = (t.unsure() - taken).abs() <= 1e-9 * taken && t.varies() <= 0.0;
        t.origin() == quantity::Origin::Stated && just_so
    }
}

impl Robot {
    /// The same robot with nothing that goes wrong.
    #[must_use]
    pub fn without_faults(&self) -> Self {
        Self {
            faults: Faults::default(),
            ..self.clone()
        }
    }

    /// Every physical thing on the robot, in a fixed order.
    pub fn items(&self) -> impl Iterator<Item = &Item> {
        self.parts
            .iter()
            .chain(self.motors.iter().map(|m| &m.item))
            .chain(self.wheels.iter().map(|w| &w.item))
            .chain(self.tracks.iter().map(|t| &t.item))
            .chain(self.skids.iter().map(|s| &s.item))
            .chain(self.magnets.iter().map(|m| &m.item))
            .chain(self.blade.iter().map(|b| &b.item))
            .chain(self.gadgets.iter().map(|g| &g.item))
            .chain([&self.battery.item, &self.driver.item, &self.board.item])
            .chain(self.sensors.iter().map(|s| &s.item))
    }
}
