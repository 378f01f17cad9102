//! Rule classes and inspection.
//!
//! A [`Class`] holds every figure of a rulebook as a [`Rule`]: value, source, date and short
//! wording. [`inspect`] holds a robot against it, one [`Row`] per rule. Classes are plain files;
//! a club writes its own by inheriting one and changing figures.

mod bans;
mod class;
mod classes;
mod conduct;
mod extent;
mod figures;
mod inspection;
mod judging;
mod read;
mod room;
mod rule;
#[cfg(test)]
mod rulebooks;
mod size;
#[cfg(test)]
mod test_robot;
mod unfold;
#[cfg(test)]
mod unfold_checks;
mod weigh;

pub use class::{
    Ban, BoutRules, Class, Facing, Placing, RingRules, RobotRules, Start, StartsBehind, Surfaces,
    Unfolding,
};
pub use classes::{Classes, UnknownClass};
pub use extent::{Extent, Side, extent, fitted};
pub use figures::{Difference, FigureWords, GROUPS, OtherWords, differences};
pub use inspection::{Inspection, Row, Verdict, inspect};
pub use judging::{EarlyStart, JudgingRules, OutWhen, Undecided};
pub use rule::{Bound, Elsewhere, Limit, Rule, Source};
pub use unfold::unfolded;
pub use weigh::{Weighed, weigh};
