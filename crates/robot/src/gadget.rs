//! What moves against the body: how a blade is held, and lifters, jacks, flaps and arms.

use quantity::{
    Angle, AngularVelocity, Current, Figure, Force, Inertia, Length, Mass, Ratio, Stiffness,
    Torque, Voltage,
};

use crate::Item;

/// How a blade is held to the body.
#[derive(Debug, Clone, PartialEq)]
pub enum Mount {
    /// Screwed on.
    Fixed {
        /// Stiffness of blade and frame at the edge; none: as good as rigid.
        tip_stiffness: Option<Figure<Stiffness>>,
    },
    /// On a hinge, lying on the ring by its own weight.
    Hinged(Play),
    /// On a hinge, pressed on the ring by a spring.
    Sprung {
        /// How far it can move.
        play: Play,
        /// Force at the edge, downward, with the edge at its place.
        preload: Figure<Force>,
        /// Stiffness at the edge: how much the force grows as the edge is lifted.
        tip_stiffness: Figure<Stiffness>,
    },
    /// A lifter moves it.
    Driven,
}

/// How far a hinged blade or flap can move, and about what.
#[derive(Debug, Clone, PartialEq)]
pub struct Play {
    /// How far the edge can sink below its place.
    pub droop: Figure<Length>,
    /// How far the edge can be lifted above its place.
    pub lift: Figure<Length>,
    /// A point of the level hinge; none: the back edge of the sheet.
    pub hinge: Option<[Figure<Length>; 3]>,
}

/// The kinds of gadget.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum GadgetKind {
    /// Turns a sheet about a level hinge: lifts what lies on it.
    Lifter,
    /// Pushes a foot down: lifts its own robot.
    Jack,
    /// A skirt on a level hinge, at any side.
    Flap,
    /// Swings a sheet about an upright hinge.
    Arm,
}

/// A sheet that slopes up from a straight edge, looking any way.
#[derive(Debug, Clone, PartialEq)]
pub struct Plate {
    /// Middle of the edge: x, y, height above the ring.
    pub tip: [Figure<Length>; 3],
    /// Where the edge looks: 0 forward, positive to the left.
    pub facing: Figure<Angle>,
    /// Length of the edge.
    pub width: Figure<Length>,
    /// Length of the sheet along its slope.
    pub length: Figure<Length>,
    /// Slope against the ring.
    pub angle: Figure<Angle>,
    /// How thick the edge is, nicks included.
    pub edge: Figure<Length>,
    /// Friction against the ring and against robots.
    pub friction: Figure<Ratio>,
}

/// What a gadget moves.
#[derive(Debug, Clone, PartialEq)]
pub enum Moved {
    /// The robot's blade.
    Blade,
    /// A sheet of its own.
    Plate(Plate),
    /// One foot, or two side by side.
    Foot {
        /// Lowest point of the foot (or the middle of two): x, y, height above the ring.
        at: [Figure<Length>; 3],
        /// Distance of two feet from each other, sideways; none: one foot.
        apart: Option<Figure<Length>>,
        /// Friction on the ring.
        friction: Figure<Ratio>,
    },
}

/// A lifter, jack, flap or arm. As built, which is how it stands at the start, it is at its first
/// end.
#[derive(Debug, Clone, PartialEq)]
pub struct Gadget {
    /// The thing itself, motor included; `item.name` is what the tactic calls it.
    pub item: Item,
    /// What kind it is.
    pub kind: GadgetKind,
    /// What it moves.
    pub moved: Moved,
    /// How much of its mass moves with the plate or foot. A blade's mass comes on top.
    pub moving_mass: Figure<Mass>,
    /// A point of the hinge; not used by a jack.
    pub hinge: [Figure<Length>; 3],
    /// Way to the second end in rad (edge up, an upright hinge to the left) or, for a jack, in m
    /// (down).
    pub travel: Travel,
    /// How far the edge of a flap can sink below its place.
    pub droop: Option<Figure<Length>>,
    /// Names of the two ends, as the tactic calls them.
    pub ends: [String; 2],
    /// The motor; none: a flap that hangs by its own weight.
    pub drive: Option<GadgetDrive>,
}

/// How far a gadget moves.
#[derive(Debug, Clone, PartialEq)]
pub enum Travel {
    /// Lifters, flaps and arms.
    Turn(Figure<Angle>),
    /// Jacks.
    Stroke(Figure<Length>),
}

/// The motor of a gadget with its gear; figures at the output shaft. It goes to a place and stays
/// there, as a model servo does.
#[derive(Debug, Clone, PartialEq)]
pub struct GadgetDrive {
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
    /// Rotor inertia seen at the output shaft.
    pub reflected_inertia: Figure<Inertia>,
    /// Further gear stage or linkage between output shaft and hinge: above 1 slows down.
    pub gear_ratio: Figure<Ratio>,
    /// Efficiency of that further stage.
    pub gear_efficiency: Figure<Ratio>,
    /// Radius of the pinion or horn that pushes the foot of a jack.
    pub pinion_radius: Option<Figure<Length>>,
    /// Share of the stall torque that the gear holds without current; self-locking: 5 and more.
    pub holds: Figure<Ratio>,
}

impl GadgetKind {
    /// The word a robot file says.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::Lifter => "lifter",
            Self::Jack => "jack",
            Self::Flap => "flap",
            Self::Arm => "arm",
        }
    }

    /// What its ends are called when the file does not say.
    #[must_use]
    pub const fn usual_ends(self) -> [&'static str; 2] {
        match self {
            Self::Lifter | Self::Flap => ["down", "up"],
            Self::Jack => ["up", "down"],
            Self::Arm => ["in", "out"],
        }
    }
}
