//! The sections of `check --all` and of the check's JSON.
//!
//! A section is a file beside this one with a struct that is its JSON and implements [`Section`].
//! It is registered with one line in the list at the end: the name of its field, then its type.

use serde::Serialize;

use super::Examined;
use crate::text::Sheet;

/// One section: what its JSON holds, and how it is told.
pub(crate) trait Section: Sized {
    /// Its heading.
    const TITLE: &'static str;

    /// What is to be said about a robot; none where the question does not arise.
    fn of(examined: &Examined<'_>) -> Option<Self>;

    /// Tells it, under a heading that is already written.
    fn text(&self, s: &mut Sheet);
}

macro_rules! sections {
    ($($(#[doc = $doc:literal])* $field:ident: $type:ty;)*) => {
        /// The sections; one that does not concern the robot is null.
        #[derive(Debug, Clone, PartialEq, Serialize, schemars::JsonSchema)]
        pub struct Sections {
            $($(#[doc = $doc])* pub $field: Option<$type>,)*
        }

        impl Sections {
            pub(super) fn of(examined: &Examined<'_>) -> Self {
                Self { $($field: <$type as Section>::of(examined),)* }
            }

            /// All of them, each under its heading.
            pub(super) fn text(&self, s: &mut Sheet) {
                $(if let Some(section) = &self.$field {
                    s.heading(<$type as Section>::TITLE);
                    section.text(s);
                })*
            }
        }
    };
}

sections! {
    /// Mass and money, part by part.
    parts: super::makeup::Makeup;
    /// How it stands and how it tips.
    stance: super::stance::Stance;
    /// Push and run-up, and what other wheels and motors would give.
    pushing: super::pushing::Pushing;
    /// What the edge sensors read, and the edge met otherwise than straight on.
    border: super::border::BorderSection;
    /// What it sees and how it searches.
    eyesight: super::eyesight::Eyesight;
    /// Who gets under whom, lifters and jacks.
    nose_to_nose: super::nose_to_nose::NoseToNose;
    /// What can be reached from outside.
    guarding: super::guarding::Guarding;
    /// Pins, wires, fuse, supply, charge.
    wiring: crate::power::PowerPart;
    /// What holds it together.
    frame: super::frame::FrameSection;
}
