//! What holds a robot together, as its file describes it: nodes, members between them, and how the
//! ends of members are joined.

use quantity::{Angle, Figure, Length, Torque, TurningStiffness};

use crate::{Material, Place};

/// A frame as a file describes it, or as it is derived from plates and brackets.
#[derive(Debug, Clone, PartialEq)]
pub struct Described {
    /// Points where members meet or things hang.
    pub nodes: Vec<Node>,
    /// Straight members between two nodes.
    pub members: Vec<Member>,
    /// Which things hang on which node; the others hang on the node nearest to them.
    pub hangs: Vec<Hang>,
    /// Where it stands in the file.
    pub place: Place,
}

/// A point of the frame.
#[derive(Debug, Clone, PartialEq)]
pub struct Node {
    /// Its name.
    pub name: String,
    /// Where it is, m: x forward, y left, z above the ring.
    pub at: [f64; 3],
    /// Where it stands in the file.
    pub place: Place,
}

/// A straight member.
#[derive(Debug, Clone, PartialEq)]
pub struct Member {
    /// Its name.
    pub name: String,
    /// Index of the nodes it goes between.
    pub nodes: [usize; 2],
    /// What it is made of.
    pub material: Material,
    /// Its cross-section.
    pub bar: Bar,
    /// Name of the part of the parts list it is cut from: that part's mass is its mass, and does not
    /// hang on a node besides. None: it weighs what its volume does.
    pub of: Option<String>,
    /// How its ends are joined to their nodes.
    pub ends: [End; 2],
    /// Where it stands in the file.
    pub place: Place,
}

/// Cross-section of a member. The height is measured upwards; on a member that stands upright, forward.
#[derive(Debug, Clone, PartialEq)]
pub enum Bar {
    /// A solid rectangle.
    Strip {
        /// Across.
        width: Figure<Length>,
        /// Upwards.
        height: Figure<Length>,
    },
    /// A hollow rectangle.
    Tube {
        /// Across, outside.
        width: Figure<Length>,
        /// Upwards, outside.
        height: Figure<Length>,
        /// Thickness of its wall.
        wall: Figure<Length>,
    },
    /// Solid and round.
    Rod {
        /// Outside.
        diameter: Figure<Length>,
    },
    /// Hollow and round.
    Pipe {
        /// Outside.
        diameter: Figure<Length>,
        /// Thickness of its wall.
        wall: Figure<Length>,
    },
    /// An L: one leg across, one upwards.
    Angle {
        /// Across, outside.
        width: Figure<Length>,
        /// Upwards, outside.
        height: Figure<Length>,
        /// Thickness of its legs.
        wall: Figure<Length>,
    },
    /// A U that stands open upwards: base across, two legs upwards.
    Channel {
        /// Across, outside.
        width: Figure<Length>,
        /// Upwards, outside.
        height: Figure<Length>,
        /// Thickness of base and legs.
        wall: Figure<Length>,
    },
}

impl Bar {
    /// Its greatest size upwards, m.
    #[must_use]
    pub fn height_m(&self) -> f64 {
        match self {
            Self::Strip { height, .. }
            | Self::Tube { height, .. }
            | Self::Angle { height, .. }
            | Self::Channel { height, .. } => height.si(),
            Self::Rod { diameter } | Self::Pipe { diameter, .. } => diameter.si(),
        }
    }

    /// Its greatest size across, m.
    #[must_use]
    pub fn width_m(&self) -> f64 {
        match self {
            Self::Strip { width, .. }
            | Self::Tube { width, .. }
            | Self::Angle { width, .. }
            | Self::Channel { width, .. } => width.si(),
            Self::Rod { diameter } | Self::Pipe { diameter, .. } => diameter.si(),
        }
    }
}

/// How the end of a member is joined to its node.
#[derive(Debug, Clone, PartialEq)]
pub struct End {
    /// Of what kind the joint is.
    pub kind: JointKind,
    /// Screws in it, where it is screwed.
    pub screws: u32,
    /// Stiffness against turning about either axis across the member, if the file says it.
    pub stiffness: Option<Figure<TurningStiffness>>,
    /// Moment it bears, if the file says it.
    pub bears: Option<Figure<Torque>>,
    /// Angle either way through which it turns freely.
    pub play: Figure<Angle>,
    /// Where it stands in the file.
    pub place: Place,
}

/// Kinds of joint.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum JointKind {
    /// The material goes through: no joint at all.
    OnePiece,
    /// Welded, brazed or soldered.
    Welded,
    /// Glued.
    Glued,
    /// Screwed or riveted.
    Screwed,
    /// Printed in one with a thinner root, or melted together.
    Printed,
    /// Pins of a construction kit pushed into holes.
    Snapped,
}

/// Screws a screwed joint is taken to have.
pub(crate) const SCREWS: u32 = 2;

impl JointKind {
    /// Every kind with its word in robot files.
    pub const ALL: [(&'static str, Self); 6] = [
        ("one-piece", Self::OnePiece),
        ("welded", Self::Welded),
        ("glued", Self::Glued),
        ("screwed", Self::Screwed),
        ("printed", Self::Printed),
        ("snapped", Self::Snapped),
    ];

    /// Its word in robot files.
    #[must_use]
    pub fn word(self) -> &'static str {
        Self::ALL.iter().find(|k| k.1 == self).map_or("", |k| k.0)
    }

    /// How soft it is: a joint turns by as much as a further piece of its member would bend that is
    /// this many times as long as the member is thick in that direction. Common practice, no source:
    /// known within a factor of five ([`JointKind::FACTOR`]).
    #[must_use]
    pub fn softness(self) -> f64 {
        match self {
            Self::OnePiece => 0.0,
            Self::Welded => 0.5,
            Self::Glued => 2.0,
            Self::Printed => 3.0,
            Self::Screwed => 8.0,
            Self::Snapped => 25.0,
        }
    }

    /// Share of the moment its member bears that the joint bears. Common practice, no source: within
    /// a factor of two.
    #[must_use]
    pub fn bears_share(self) -> f64 {
        match self {
            Self::OnePiece => 1.0,
            Self::Welded => 0.6,
            Self::Glued => 0.4,
            Self::Printed => 0.5,
            Self::Screwed => 0.35,
            Self::Snapped => 0.1,
        }
    }

    /// Factor within which the stiffness of a joint nobody has measured is known.
    pub const FACTOR: f64 = 5.0;
}

impl End {
    /// A joint of this kind of which nothing else is known.
    #[must_use]
    pub fn of(kind: JointKind, path: &str, place: Place) -> Self {
        Self {
            kind,
            screws: SCREWS,
            stiffness: None,
            bears: None,
            play: Figure::derived(0.0, &format!("{path}/play")),
            place,
        }
    }

    /// What more or fewer screws than usual do to its stiffness and to what it bears: in proportion.
    #[must_use]
    pub fn screw_factor(&self) -> f64 {
        if self.kind == JointKind::Screwed {
            f64::from(self.screws) / f64::from(SCREWS)
        } else {
            1.0
        }
    }
}

/// Something that hangs on a node.
#[derive(Debug, Clone, PartialEq)]
pub struct Hang {
    /// Name of the part.
    pub part: String,
    /// Index of the node.
    pub node: usize,
    /// Where it stands in the file.
    pub place: Place,
}
