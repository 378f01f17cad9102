//! What every part of a robot file shares: name, mass, place, size.

use quantity::{Figure, Length, Mass, Origin, parse};

use super::whole;
use crate::parts_box::PartsBox;
use crate::reader::{Section, Value};
use crate::{Item, Shape};

/// The `[size]` section: what "from front" is measured from.
#[derive(Debug, Clone)]
pub(crate) struct Extent {
    /// Length, width and height of the body.
    pub(crate) size: [Figure<Length>; 3],
}

impl Extent {
    /// Reads `[size]`.
    pub(crate) fn read(root: &Section<'_>) -> Option<Self> {
        let Some(section) = root.table("size") else {
            if root.own("size").is_none() {
                let expected = "[size] with length, width and height of the body";
                root.complain("\"size\" is missing", expected, None);
            }
            return None;
        };
        let size = ["length", "width", "height"].map(|k| section.figure::<Length>(k));
        section.finish();
        let [Some(a), Some(b), Some(c)] = size else {
            return None;
        };
        Some(Self { size: [a, b, c] })
    }
}

/// Reads all `[[part]]` sections.
pub(crate) fn parts(
    root: &Section<'_>,
    parts: &PartsBox,
    extent: Option<&Extent>,
) -> Option<Vec<Item>> {
    let mut items = Vec::new();
    for mut section in root.tables("part") {
        let entry = parts.back_up(&mut section, "part");
        let count = section.optional_count("count", 1, 1000).unwrap_or(1);
        let item = item(&section, entry.map(|e| e.kits.clone()), extent, None).map(|mut item| {
            let n = f64::from(count);
            let mass = &item.mass;
            let (unsure, varies) = (mass.unsure() * n, mass.varies() * n);
            item.mass = mass
                .clone()
                .with_si(mass.si() * n)
                .with_spread(unsure, varies);
            item.price = item.price.map(|p| p * n);
            item
        });
        items.push(item);
        section.finish();
    }
    whole(items)
}

/// Reads name, mass, place, size and price of a section. `height`: where its centre is above the
/// ring when the place leaves it out.
pub(crate) fn item(
    section: &Section<'_>,
    kits: Option<Vec<String>>,
    extent: Option<&Extent>,
    height: Option<&Figure<Length>>,
) -> Option<Item> {
    let name = own_name(section);
    let mass = section.figure::<Mass>("mass");
    let price = section.optional_number("price");
    let at = place(section, extent, height);
    finish_item(section, kits, name, mass, price, at)
}

/// The same for something whose place follows from other figures.
pub(crate) fn placed(
    section: &Section<'_>,
    kits: Option<Vec<String>>,
    at: [Figure<Length>; 3],
) -> Option<Item> {
    let name = own_name(section);
    let mass = section.figure::<Mass>("mass");
    let price = section.optional_number("price");
    finish_item(section, kits, name, mass, price, Some(at))
}

/// The name written, or for single sections ([battery]) what they are.
fn own_name(section: &Section<'_>) -> Option<String> {
    if section.own("name").is_none() && !section.path().contains('/') {
        return Some(section.path().to_owned());
    }
    section.text("name")
}

fn finish_item(
    section: &Section<'_>,
    kits: Option<Vec<String>>,
    name: Option<String>,
    mass: Option<Figure<Mass>>,
    price: Option<f64>,
    at: Option<[Figure<Length>; 3]>,
) -> Option<Item> {
    let shape = match section.optional_figures::<Length>("size") {
        None if section.has("size") => None,
        None => Some(Shape::Point),
        Some(size) => {
            if let Ok(size) = <[Figure<Length>; 3]>::try_from(size) {
                Some(Shape::Box(size))
            } else {
                section.complain_of(
                    "size",
                    "\"size\" has not three lengths",
                    "[length, width, height]",
                    None,
                );
                None
            }
        }
    };
    Some(Item {
        name: name?,
        part: section.own("part").and_then(|n| match &n.value {
            Value::Text(t) => Some(t.clone()),
            _ => None,
        }),
        kits: kits.unwrap_or_default(),
        mass: mass?,
        price,
        at: at?,
        shape: shape?,
        place: section.place(),
    })
}

/// Reads `at`: three lengths, two where the height is given otherwise, or words.
fn place(
    section: &Section<'_>,
    extent: Option<&Extent>,
    height: Option<&Figure<Length>>,
) -> Option<[Figure<Length>; 3]> {
    let expected = "at = [\"10 mm\", \"0 mm\", \"15 mm\"] (forward, left, up) or at = \"12 mm from front, 20 mm left, 15 mm up\"";
    let Some(node) = section.own("at") else {
        section.complain(
            format!("\"at\" is missing in {}", section.path()),
            expected,
            None,
        );
        return None;
    };
    if let Value::Text(words) = &node.value {
        return in_words(section, words, extent, height, expected);
    }
    let mut figures = section.optional_figures::<Length>("at")?;
    if figures.len() == 2
        && let Some(h) = height
    {
        figures.push(h.clone());
    }
    if let Ok(at) = <[Figure<Length>; 3]>::try_from(figures) {
        return Some(at);
    }
    section.complain_of("at", "\"at\" has not three lengths", expected, None);
    None
}

/// A place as a builder says it.
fn in_words(
    section: &Section<'_>,
    words: &str,
    extent: Option<&Extent>,
    height: Option<&Figure<Length>>,
    expected: &str,
) -> Option<[Figure<Length>; 3]> {
    let path = |axis: usize| format!("{}/at/{axis}", section.path());
    let zero = |axis: usize| Figure::new(0.0, Origin::Stated, &path(axis));
    let mut at = [zero(0), zero(1), height.cloned().unwrap_or_else(|| zero(2))];
    let length = extent.map_or(0.0, |e| e.size[0].si());
    for phrase in words.split(',').map(str::trim) {
        let ways: [(&str, usize, f64, f64); 8] = [
            ("from front", 0, 0.5 * length, -1.0),
            ("from back", 0, -0.5 * length, 1.0),
            ("ahead", 0, 0.0, 1.0),
            ("behind", 0, 0.0, -1.0),
            ("left", 1, 0.0, 1.0),
            ("right", 1, 0.0, -1.0),
            ("up", 2, 0.0, 1.0),
            ("in the middle", 1, 0.0, 0.0),
        ];
        let Some((word, axis, start, sign)) = ways.iter().find(|w| phrase.ends_with(w.0)) else {
            let what = format!("\"{phrase}\" is not a place");
            section.complain_of("at", what, expected, None);
            return None;
        };
        if *word == "in the middle" {
            continue;
        }
        match parse::<Length>(phrase[..phrase.len() - word.len()].trim()) {
            Ok(p) => {
                at[*axis] = Figure::new(start + sign * p.si, Origin::Stated, &path(*axis))
                    .with_spread(p.unsure, p.varies);
            }
            Err(e) => {
                section.complain_of(
                    "at",
                    e.what,
                    e.expected,
                    e.instead.map(|i| format!("\"{i} {word}\"")),
                );
                return None;
            }
        }
    }
    Some(at)
}
