//! What every part of a robot file shares: name, mass, place, size.

use quantity::{Figure, Length, Mass};

use super::drive::positive;
use super::place::{lengths, place};
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
                root.missing_section("size", " with length, width and height of the body");
            }
            return None;
        };
        let size = ["length", "width", "height"].map(|k| {
            let figure = section.figure::<Length>(k);
            positive(&section, k, figure.as_ref().map(Figure::si));
            figure
        });
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
    positive(section, "mass", mass.as_ref().map(Figure::si));
    let shape = match section.optional_figures::<Length>("size") {
        None if section.has("size") => None,
        None => Some(Shape::Point),
        Some(size) => {
            let n = size.len();
            if size.iter().any(|s| s.si() <= 0.0) {
                let what = "\"size\" has a length that is not above zero";
                section.complain_of("size", what, "lengths above zero", None);
                None
            } else if let Ok(size) = <[Figure<Length>; 3]>::try_from(size) {
                Some(Shape::Box(size))
            } else {
                let expected = "three: [\"50 mm\", \"40 mm\", \"15 mm\"] (length, width, height)";
                let what = format!("\"size\" has {}", lengths(n));
                section.complain_of("size", what, expected, None);
                None
            }
        }
    };
    if let (Some(mass), Some(Shape::Box(size))) = (&mass, &shape) {
        possible(section, mass, size);
    }
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

/// Densities in kg/m³ between which a thing may lie. Osmium, the densest there is, has 22 600 (any table
/// of elements); boxes drawn too small around lead are let pass. A thin shell around air is light, but
/// nothing is lighter than air itself, 1.2.
const DENSITIES: [f64; 2] = [1.2, 50_000.0];

/// Notes a thing too heavy or too light for its size.
fn possible(section: &Section<'_>, mass: &Figure<Mass>, size: &[Figure<Length>; 3]) {
    let volume: f64 = size.iter().map(Figure::si).product();
    let density = mass.si() / volume;
    if mass.si() <= 0.0 || (DENSITIES[0]..=DENSITIES[1]).contains(&density) {
        return;
    }
    let [a, b, c] = [0, 1, 2].map(|k| quantity::show_si::<Length>(size[k].si()));
    let grams = quantity::show_si::<Mass>(mass.si());
    let than = if density > 1.0e3 {
        "denser than any metal"
    } else {
        "lighter than air"
    };
    let key = if section.own("size").is_some() {
        "size"
    } else {
        "mass"
    };
    section.complain_of(
        key,
        format!("{grams} in {a} by {b} by {c} is {than}"),
        "a mass and a size of the same thing: look at the units",
        None,
    );
}
