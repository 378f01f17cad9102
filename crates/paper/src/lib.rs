//! One robot on paper: footing, drive, edge, sight, budget, and its program held against it.
//!
//! Everything here is closed form or a small equilibrium, for the nominal robot; a [`Band`] says
//! between which values a number lies in nineteen of twenty imagined robots.

mod approach;
mod band;
mod bearing;
mod budget;
mod doubts;
mod drive;
mod edge;
mod examine;
mod eye;
mod footing;
pub mod frame;
pub mod guard;
mod heat;
mod lifting;
mod opening;
mod overlap;
mod overturn;
pub mod power;
mod program;
mod search;
mod seen;
mod sides;
mod sight;
mod stopping;
mod sweep;
mod threshold;
mod tipping;
mod toward;
mod trade;
mod turning;
mod under;
mod unwatched;
mod worth;

pub use approach::{Approach, Aslant, Border};
pub use band::Band;
pub use budget::{Budget, PartLine};
pub use doubts::{Doubt, Sway};
pub use drive::{Drive, GroupPush, PushPoint};
pub use edge::{Braking, Edge, Way};
pub use examine::{Paper, examine};
pub use footing::{Footing, Support, SupportKind};
pub use guard::Guard;
pub use heat::{Day, Heat};
pub use lifting::{Jack, LiftPoint, Lifter, Lifting};
pub use overlap::{Blocked, Overlap, Overlaps};
pub use power::Power;
pub use search::{Found, Pattern, RingSearch, Search};
pub use seen::{Kind, Look, Seen, SeenOf};
pub use sight::{Beam, Sight};
pub use sweep::SweepRow;
pub use threshold::{Best, Level, Threshold};
pub use tipping::{Tip, Tipping};
pub use trade::Pair;
pub use turning::Turning;
pub use under::{Carried, Foe, Height, Meeting, Under, Wedge};
pub use unwatched::{Answer, Unwatched};
pub use worth::{Use, Worth};
