//! Pictures of one robot: what the analyses say, drawn in one style.
//!
//! A picture is a file of its own here: a function from what was examined to the SVG, or nothing
//! where there is nothing to draw. It is registered with one line in [`ALL`]. What they share is the
//! toolkit: [`canvas`] (sheet, pens, hatching, legend), [`chart`] (axes and lines), [`bars`],
//! [`polar`], [`view`] (the robot to scale) and [`callouts`].

pub(crate) mod bars;
mod beams;
pub(crate) mod callouts;
pub(crate) mod canvas;
pub(crate) mod chart;
mod findings;
pub(crate) mod flow;
mod frame;
mod guard;
mod inspection;
pub(crate) mod polar;
pub(crate) mod program;
mod push;
mod readings;
mod search;
mod sight;
mod slap;
mod stopping;
mod ticks;
mod tipping;
mod trade;
mod under;
mod unknowns;
pub(crate) mod view;
pub(crate) mod wiring;
pub(crate) mod words;

use crate::check::Examined;

/// A picture of one robot.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Picture {
    /// Name of its file, without the end.
    pub name: &'static str,
    /// What it shows, in a few words.
    pub title: &'static str,
    /// The picture.
    pub svg: String,
}

/// Draws one picture; none where there is nothing to draw.
type Drawer = fn(&Examined<'_>) -> Option<String>;

/// Every picture: name, what it shows, what draws it.
const ALL: &[(&str, &str, Drawer)] = &[
    (
        "findings",
        "the robot with its findings on it",
        findings::picture,
    ),
    (
        "inspection",
        "the robot in the room of its class, and its mass against the limit",
        inspection::picture,
    ),
    ("tipping", "which way it tips", tipping::picture),
    ("push", "push against speed", push::picture),
    (
        "wheels-and-motors",
        "what every wheel with every motor of the parts box would give",
        trade::picture,
    ),
    (
        "stopping",
        "way needed and way there is at the border",
        stopping::picture,
    ),
    (
        "edge-readings",
        "what the edge sensors read",
        readings::picture,
    ),
    ("sight", "what it sees, from above", sight::picture),
    ("beams", "a low opponent under the beam", beams::picture),
    (
        "search",
        "ways of searching in rings of every size",
        search::picture,
    ),
    ("under", "who gets under whom", under::picture),
    ("guard", "what can be reached from outside", guard::picture),
    (
        "frame",
        "what holds it together, bent by a shove",
        frame::picture,
    ),
    ("frame-mode", "how it swings by itself", slap::mode),
    ("slap", "after a slap at the front", slap::over_time),
    (
        "wiring",
        "what is wired to which pin, with which wire",
        wiring::picture,
    ),
    ("unknowns", "what to measure first", unknowns::picture),
];

/// All pictures of what was examined, in a fixed order.
#[must_use]
pub(crate) fn of(examined: &Examined<'_>) -> Vec<Picture> {
    ALL.iter()
        .filter_map(|(name, title, draw)| {
            Some(Picture {
                name,
                title,
                svg: draw(examined)?,
            })
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::setting::Setting;

    #[test]
    fn every_picture_has_a_name_of_its_own_and_is_whole() {
        let setting = Setting::load("demo", None, None).expect("it loads");
        let pictures = of(&Examined::of(&setting));
        assert!(!pictures.is_empty());
        let mut names: Vec<&str> = pictures.iter().map(|p| p.name).collect();
        names.sort_unstable();
        names.dedup();
        assert_eq!(names.len(), pictures.len());
        for p in &pictures {
            assert!(
                p.svg.starts_with("<svg") && p.svg.ends_with("</svg>\n"),
                "{}",
                p.name
            );
            for wrong in ["NaN", "inf\"", "inf,"] {
                assert!(!p.svg.contains(wrong), "{} holds {wrong}", p.name);
            }
        }
    }
}
