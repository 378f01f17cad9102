//! What frames are made of: stiffness, density, strength, damping, each with its spread and source.

use quantity::{Density, Figure, Origin, Ratio, Stress};

use crate::Issue;
use crate::reader::{Document, Section};

/// A material, straight and even along the member it is used for.
#[derive(Debug, Clone, PartialEq)]
pub struct Material {
    /// What a robot file calls it.
    pub name: String,
    /// What it is, in words.
    pub title: String,
    /// Modulus of elasticity in bending E.
    pub modulus: Figure<Stress>,
    /// Shear modulus G.
    pub shear_modulus: Figure<Stress>,
    /// Poisson's ratio of an even material; none where G is not tied to E.
    pub poisson: Option<f64>,
    /// Density.
    pub density: Figure<Density>,
    /// Stress at which it yields, or breaks if it is brittle.
    pub strength: Figure<Stress>,
    /// The same across layers or grain, if that is weaker.
    pub across: Option<Figure<Stress>>,
    /// Whether it breaks without yielding first.
    pub brittle: bool,
    /// Damping of a frame made of it as a share of critical, joints included.
    pub damping: Figure<Ratio>,
    /// How firmly the figures are held: `firm`, `medium`, `weak`, or `yours`.
    pub held: String,
    /// Where they are from.
    pub source: String,
    words: Vec<String>,
}

impl Material {
    /// The least stress at which it yields or breaks, across layers where that is less, Pa.
    #[must_use]
    pub fn least_strength_pa(&self) -> f64 {
        let along = self.strength.si();
        self.across.as_ref().map_or(along, |a| a.si().min(along))
    }
}

/// All materials known by name.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Materials {
    all: Vec<Material>,
}

impl Materials {
    /// Reads material files: (file name, text) each. Later entries replace those of the same name.
    ///
    /// # Errors
    /// Everything wrong in any of the files.
    pub fn read(files: &[(String, String)]) -> Result<Self, Vec<Issue>> {
        let mut this = Self::default();
        let mut issues = Vec::new();
        for (file, text) in files {
            let document = Document::parse(file, text);
            let root = document.root();
            for (name, section) in root.named_tables() {
                if let Some(m) = material(&section, name) {
                    this.all.retain(|o| o.name != m.name);
                    this.all.push(m);
                }
                section.finish();
            }
            root.finish();
            issues.extend(document.take_issues());
        }
        if issues.is_empty() {
            Ok(this)
        } else {
            Err(issues)
        }
    }

    /// The materials that come with the program.
    ///
    /// # Errors
    /// Only if the program itself is broken; its tests see to that.
    pub fn built_in() -> Result<Self, Vec<Issue>> {
        Self::read(&shelf::files("materials"))
    }

    /// All of them, in file order.
    pub fn iter(&self) -> impl Iterator<Item = &Material> {
        self.all.iter()
    }

    /// The material called `name`.
    #[must_use]
    pub fn find(&self, name: &str) -> Option<&Material> {
        self.all.iter().find(|m| m.name == name)
    }

    /// The name nearest to `name`, if any is near.
    #[must_use]
    pub fn nearest(&self, name: &str) -> Option<&str> {
        crate::reader::nearest(name, self.all.iter().map(|m| m.name.as_str()))
    }

    /// The material a part is made of by the words in its name: the last one with a word in it, so that
    /// "hard steel strip" is spring steel and "printed body, PETG" is PETG.
    #[must_use]
    pub fn recognise(&self, called: &str) -> Option<&Material> {
        let padded = format!(" {called} ").to_lowercase();
        let padded = padded.replace(|c: char| !c.is_alphanumeric(), " ");
        let said = |word: &String| padded.contains(&format!(" {word} "));
        self.all.iter().rev().find(|m| m.words.iter().any(said))
    }
}

/// Moduli from the softest print to tungsten carbide, Pa; densities from foam to tungsten, kg/m³;
/// strengths from foam to wire, Pa: beyond these a unit was mistaken.
const MODULUS: (f64, f64) = (5e6, 8e11);
const DENSITY: (f64, f64) = (15.0, 20_000.0);
const STRENGTH: (f64, f64) = (1e5, 4e9);

/// Share of G by which it may differ from E/2(1 + ν): sheets round, but 13 % is a misprint.
const SAME_SHEAR: f64 = 0.05;

/// Reads one material; what is wrong goes into the document's log.
pub(crate) fn material(section: &Section<'_>, name: &str) -> Option<Material> {
    let title = (section.optional_text("title")).unwrap_or_else(|| name.to_owned());
    let modulus = section.figure::<Stress>("modulus");
    sensible(section, "modulus", modulus.as_ref(), MODULUS);
    let density = section.figure::<Density>("density");
    sensible(section, "density", density.as_ref(), DENSITY);
    let strength = section.figure::<Stress>("strength");
    sensible(section, "strength", strength.as_ref(), STRENGTH);
    let across = section.optional_figure::<Stress>("across");
    sensible(section, "across", across.as_ref(), STRENGTH);
    let poisson = section.optional_figure::<Ratio>("poisson").map(|f| f.si());
    if poisson.is_some_and(|nu| !(nu > 0.0 && nu < 0.5)) {
        section.complain_of(
            "poisson",
            "Poisson's ratio of an even material lies between 0 and 0.5",
            "0.33 for aluminium, 0.29 for steel, about 0.35 for plastics",
            None,
        );
    }
    let stated = section.optional_figure::<Stress>("shear-modulus");
    sensible(section, "shear-modulus", stated.as_ref(), MODULUS);
    let shear_modulus = match (stated, poisson, &modulus) {
        (Some(g), Some(nu), Some(e)) => {
            let follows = 0.5 * e.si() / (1.0 + nu);
            if ((g.si() - follows) / g.si()).abs() > SAME_SHEAR {
                section.complain_of(
                    "shear-modulus",
                    format!(
                        "{:.1} GPa does not go with modulus and poisson: E / (2 (1 + nu)) = {:.1} GPa",
                        1e-9 * g.si(),
                        1e-9 * follows
                    ),
                    "either the one or the other: an even material has only two of the three",
                    Some(format!("shear-modulus = \"{:.1} GPa\"", 1e-9 * follows)),
                );
            }
            Some(g)
        }
        (Some(g), None, _) => Some(g),
        (None, Some(nu), Some(e)) => {
            let path = format!("{}/shear-modulus", section.path());
            let scale = 0.5 / (1.0 + nu);
            Some(
                Figure::new(e.si() * scale, Origin::Derived, &path)
                    .with_spread(e.unsure() * scale, e.varies() * scale),
            )
        }
        (None, None, Some(_)) => {
            section.missing(
                "poisson",
                "poisson = \"0.33\" for an even material, or else shear-modulus",
            );
            None
        }
        _ => None,
    };
    let damping = section.typical_figure::<Ratio>("damping", crate::typical::FRAME_DAMPING);
    if !(damping.si() > 0.0 && damping.si() < 0.5) {
        section.complain_of(
            "damping",
            "this is no damping of a frame",
            "a share of critical above 0 and below 50 %, typically 1 to 5 %",
            None,
        );
    }
    let words = section.optional_texts("words").unwrap_or_default();
    Some(Material {
        name: name.to_owned(),
        title,
        modulus: modulus?,
        shear_modulus: shear_modulus?,
        poisson,
        density: density?,
        strength: strength?,
        across,
        brittle: section.optional_flag("brittle").unwrap_or(false),
        damping,
        held: (section.optional_text("held")).unwrap_or_else(|| "yours".to_owned()),
        source: (section.optional_text("source")).unwrap_or_else(|| "your file".to_owned()),
        words,
    })
}

/// Notes a figure beyond what materials have, and the right one where a factor of a thousand mends it.
fn sensible<D: quantity::Dimension>(
    section: &Section<'_>,
    key: &str,
    figure: Option<&Figure<D>>,
    (least, most): (f64, f64),
) {
    let Some(x) = figure.map(Figure::si) else {
        return;
    };
    if (least..=most).contains(&x) {
        return;
    }
    let instead = [1e3, 1e-3, 1e6, 1e-6]
        .into_iter()
        .map(|f| f * x)
        .find(|y| (least..=most).contains(y))
        .map(|y| format!("{key} = \"{}\"", quantity::show_si::<D>(y)));
    section.complain_of(
        key,
        format!("no material has a {key} of {}", quantity::show_si::<D>(x)),
        format!(
            "from {} to {}",
            quantity::show_si::<D>(least),
            quantity::show_si::<D>(most)
        ),
        instead,
    );
}
