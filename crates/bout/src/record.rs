//! What is kept of a bout.

use crate::grounds::Grounds;
use crate::{Carry, Seat};

/// How a bout ended.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum End {
    /// This seat's robot was out: touched the floor outside, or what the class says.
    Out {
        /// Who is out.
        loser: Seat,
    },
    /// This seat's robot lost by what the judge says, without going out.
    Ruled {
        /// Who lost.
        loser: Seat,
    },
    /// Nobody won within the time or the restarts the class allows.
    Tie,
    /// The state stopped being finite: a failure of the simulation, counted as such.
    NotFinite,
    /// Whoever drove this seat's robot in place of its program failed: the bout counts for nobody.
    Abandoned {
        /// Whose.
        seat: Seat,
    },
}

impl End {
    /// Who lost, if anybody did.
    #[must_use]
    pub fn loser(self) -> Option<Seat> {
        match self {
            Self::Out { loser } | Self::Ruled { loser } => Some(loser),
            Self::Tie | Self::NotFinite | Self::Abandoned { .. } => None,
        }
    }
}

/// Why the loser lost (or nobody won), as a claim that can be tested by undoing it.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Cause {
    /// Drove over the border by itself; an edge sensor on that side saw it, but too late to stop.
    EdgeSeenTooLate,
    /// Drove over the border by itself; an edge sensor on that side saw it in good time, but the
    /// program never steered against it.
    EdgeIgnored,
    /// Drove over the border by itself; an edge sensor saw it in good time and the program steered,
    /// but turned or swerved over it all the same.
    EdgeNotLeft,
    /// Drove over the border by itself, nose first, with no edge sensor over it on that side.
    EdgeUnseen,
    /// Backed over the border by itself with no edge sensor over it on that side.
    ReversedOut,
    /// Pushed out nose to nose or nearly so while its tyres slid.
    PushedTyresSlid,
    /// Pushed out nose to nose or nearly so while its motors stalled and its tyres held.
    PushedMotorsStalled,
    /// Pushed out while its program did not drive against the push.
    GaveWay,
    /// Pushed out while its weight was on the opponent's blade.
    Lifted,
    /// Pushed out from the side or from behind.
    TakenFromSide,
    /// Pushed out without ever having seen the opponent.
    NeverSaw,
    /// Turned over before it went out.
    Tipped,
    /// Something broke before it lost: a tyre, a plug, a sensor, or the controller reset itself.
    Fault,
    /// Its pack sagged so low before it lost that the controller reset itself.
    BrownOut,
    /// Moved before the signal.
    FalseStart,
    /// Dropped more than the class lets drop.
    DroppedParts,
    /// Did not move in time after the start, or was the first of two to stand still.
    StoodStill,
    /// Lost by the judges' decision when nobody had won.
    Decision,
    /// Both were out in the same millisecond.
    OutTogether,
    /// Nobody won before the time was up.
    TimedOut,
    /// Nobody got anywhere, also after the restarts.
    Stuck,
    /// The simulation failed.
    NotFinite,
    /// Whoever drove a robot in place of its program failed.
    ProgramFailed,
}

impl Cause {
    /// Every cause there is.
    pub const ALL: [Self; 23] = [
        Self::EdgeSeenTooLate,
        Self::EdgeIgnored,
        Self::EdgeNotLeft,
        Self::EdgeUnseen,
        Self::ReversedOut,
        Self::PushedTyresSlid,
        Self::PushedMotorsStalled,
        Self::GaveWay,
        Self::Lifted,
        Self::TakenFromSide,
        Self::NeverSaw,
        Self::Tipped,
        Self::Fault,
        Self::BrownOut,
        Self::FalseStart,
        Self::DroppedParts,
        Self::StoodStill,
        Self::Decision,
        Self::OutTogether,
        Self::TimedOut,
        Self::Stuck,
        Self::NotFinite,
        Self::ProgramFailed,
    ];
}

/// What can happen to a robot in a bout.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum EventKind {
    /// The first permitted motion.
    Start,
    /// A distance sensor sees the opponent after none did.
    Saw,
    /// No distance sensor sees the opponent any more.
    Lost,
    /// First touch after having been apart.
    Hit,
    /// Its driven tyres began to slide.
    Slipped,
    /// Its driven tyres hold again.
    Gripped,
    /// More than a quarter of its weight stands on the opponent.
    Lifted,
    /// It stands by itself again.
    SetDown,
    /// An edge sensor came over the border.
    Edge,
    /// The judge put both robots back.
    Restart,
    /// From here on the loser did not get back: the deciding moment.
    Decided,
    /// It left the ring.
    Out,
    /// The judge gave the round to the other.
    Ruled,
    /// It moved before the signal.
    FalseStart,
    /// A tyre came off.
    LostTyre,
    /// A motor's plug came loose.
    LoosePlug,
    /// A sensor died.
    DeadSensor,
    /// Its controller reset itself.
    ControllerReset,
    /// Its pack sagged too low for the controller, which reset itself.
    BrownOut,
    /// A screw fell off.
    DroppedScrew,
}

/// One event.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Event {
    /// Time from the first permitted motion in s.
    pub time_s: f64,
    /// Whose event it is.
    pub seat: Seat,
    /// What happened.
    pub kind: EventKind,
    /// Where the middle of its footprint was, in m: x, y.
    pub at: [f64; 2],
}

/// A wheel in a frame.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct WheelFrame {
    /// Normal load in N.
    pub load_n: f64,
    /// Speed of the tread over the ground in m/s: along, across.
    pub slip_m_s: [f64; 2],
}

/// One robot in a frame.
#[derive(Debug, Clone, PartialEq)]
pub struct Frame {
    /// Time from the first permitted motion in s.
    pub time_s: f64,
    /// Position in m of the design origin (under the middle of the footprint): x, y, z.
    pub position: [f64; 3],
    /// Orientation as a unit quaternion x, y, z, w (body to ring).
    pub orientation: [f64; 4],
    /// Effort the program asks for, left and right, −1 to 1.
    pub effort: [f64; 2],
    /// Its wheels, in file order.
    pub wheels: Vec<WheelFrame>,
}

/// How it ended and why.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Outcome {
    /// How.
    pub end: End,
    /// Why.
    pub cause: Cause,
    /// What decided that this is the cause.
    pub grounds: Grounds,
    /// Time from the first permitted motion to the end in s.
    pub time_s: f64,
    /// Time of the deciding moment in s.
    pub decided_s: f64,
    /// Direction in rad, seen from the ring's centre, in which the loser left (0: along x).
    pub left_at: Option<f64>,
}

/// All that is kept of a bout.
#[derive(Debug, Clone, PartialEq)]
pub struct Record {
    /// How it ended and why.
    pub outcome: Outcome,
    /// Simulated time in s from the first permitted motion, restarts included.
    pub simulated_s: f64,
    /// Warnings of both seats that have not yet cost a round, those brought along included.
    pub warnings: [u32; 2],
    /// Events in order of time (empty unless wanted).
    pub events: Vec<Event>,
    /// Frames of both robots (empty unless wanted).
    pub frames: [Vec<Frame>; 2],
    /// What each robot takes into its next round.
    pub carry: [Carry; 2],
    /// Hash of the state at every millisecond: equal hashes, equal bouts.
    pub state_hash: u64,
}

impl Record {
    /// The winner, if there is one.
    #[must_use]
    pub fn winner(&self) -> Option<Seat> {
        self.outcome.end.loser().map(|loser| 1 - loser)
    }
}
