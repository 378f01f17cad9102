//! Style first: from six answers to the styles that fit, each with what it costs, what is hard about
//! it, how it fares against the field, and a robot file to start from.

mod family;
mod program;
mod skeleton;
#[cfg(test)]
mod tests;
mod text;
mod wishes;

use std::path::Path;

use robot::{PartsBox, Style};
use rules::Class;
use serde::Serialize;

use self::family::{Build, FAMILIES, Family};
use self::skeleton::{Names, Skeleton, offer, skeleton};
pub use self::wishes::{Experience, QUESTIONS, Question, Source, Wishes};
use crate::setting::{Setting, Trouble, field_of};
use crate::spar::{CauseLine, Interval, Spar};
use crate::timing::Timing;
use crate::words::style_name;
use crate::work::Work;

/// Styles in the order in which they are tried.
const ALL: [Style; 4] = [
    Style::Pusher,
    Style::Dodger,
    Style::Trickster,
    Style::AllRounder,
];

/// A part with its number.
#[derive(Debug, Clone, PartialEq, Serialize, schemars::JsonSchema)]
pub struct PartCount {
    /// The part.
    pub part: String,
    /// How many.
    pub count: u32,
    /// Price of all of them; none if not all are priced.
    pub price: Option<f64>,
}

/// Its record against the field.
#[derive(Debug, Clone, PartialEq, Serialize, schemars::JsonSchema)]
pub struct StyleRecord {
    /// Bouts that count.
    pub bouts: u32,
    /// Bouts won.
    pub wins: u32,
    /// Bouts lost.
    pub losses: u32,
    /// Bouts nobody won.
    pub ties: u32,
    /// Wins ÷ bouts, 95 % interval (Wilson).
    pub win_rate: Interval,
}

/// One style.
#[derive(Debug, Clone, PartialEq, Serialize, schemars::JsonSchema)]
pub struct StyleLine {
    /// Its name.
    pub style: String,
    /// Whether it fits the answers.
    pub fits: bool,
    /// Why it does not, sentence by sentence.
    pub against: Vec<String>,
    /// What it is built of, in words.
    pub build: String,
    /// Price of its parts, in the money of the parts box.
    pub price: f64,
    /// Its parts, the dearest first.
    pub parts: Vec<PartCount>,
    /// Mass in kg.
    pub mass_kg: f64,
    /// Evenings to build and program it: a rough guess.
    pub evenings: u32,
    /// What is hard about it.
    pub hard: Vec<String>,
    /// Whether its pack is lithium, which brings its cautions.
    pub lithium: bool,
    /// Effort of a charge from afar, 0 to 1: the most that still stops at the border.
    pub charge_effort: f64,
    /// Its record; none if no bout was fought.
    pub record: Option<StyleRecord>,
    /// What most of its losses are laid to.
    pub most_losses: Option<CauseLine>,
    /// Faults of it on paper that its builder has to mend.
    pub faults: Vec<String>,
}

/// The styles that fit.
#[derive(Debug, Clone, PartialEq, Serialize, schemars::JsonSchema)]
pub struct StyleFirst {
    /// `ringwright/start/1`.
    pub schema: String,
    /// The class.
    pub class: String,
    /// Diameter in m of the ring the bouts were fought on.
    pub ring_m: f64,
    /// The field.
    pub field: String,
    /// Seed of all draws.
    pub seed: u64,
    /// Whether it was stopped before all bouts were fought.
    pub partial: bool,
    /// The styles, the one with the least against it first, then by win rate.
    pub styles: Vec<StyleLine>,
    /// Commands that work as they stand.
    pub next: Vec<String>,
    /// Time used, if asked for.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub timing: Option<Timing>,
    #[serde(skip)]
    #[schemars(skip)]
    words: Words,
}

/// What the text and the files need besides.
#[derive(Debug, Clone, PartialEq, Default)]
struct Words {
    class_title: String,
    field_remark: Option<String>,
    own_ring: bool,
    simulated_s: f64,
    /// Style, robot file, program.
    files: Vec<(String, String, String)>,
}

/// How a robot to start from and its files are called.
#[derive(Debug, Clone, Copy)]
pub struct StartNames<'a> {
    /// Name of the robot.
    pub robot: &'a str,
    /// Stem of its files.
    pub stem: &'a str,
}

/// The largest size of skeleton that fits the class.
fn family_for(class: &Class) -> Option<&'static Family> {
    let rules = &class.robot;
    let fits = |f: &&&Family| {
        let [l, w, h] = f.size.map(|mm| 1e-3 * mm);
        let within = |x: f64, most: f64, least: Option<f64>| {
            x <= most && least.is_none_or(|least| x >= least)
        };
        let least = |r: &Option<rules::Rule<rules::Limit>>| r.as_ref().map(|r| r.value.si);
        within(l, rules.length_m.value.si, least(&rules.least_length_m))
            && within(w, rules.width_m.value.si, least(&rules.least_width_m))
            && rules
                .height_m
                .value
                .as_ref()
                .is_none_or(|most| h <= most.si)
    };
    FAMILIES.iter().find(fits).copied()
}

/// The best build within the money, else the cheapest there is; none if none is allowed.
fn build_for(
    wishes: &Wishes,
    family: &'static Family,
    style: Style,
    parts: &PartsBox,
    names: Names<'_>,
) -> Result<Option<&'static Build>, Trouble> {
    let mut offers = Vec::new();
    for build in family.builds {
        let source = wishes.source == Source::Free || build.source == Source::Starter;
        // A first robot need not also be a first lithium pack, where it can be helped.
        let needless = wishes.experience == Experience::None
            && build.lithium
            && family.builds.iter().any(|b| !b.lithium);
        if !source || needless {
            continue;
        }
        let (price, legal) = offer(names, &wishes.class, family, build, style, parts)?;
        if legal {
            offers.push((build, price));
        }
    }
    let within = |o: &&(&'static Build, f64)| wishes.money.is_none_or(|m| o.1 <= m);
    let best = offers.iter().find(within).copied();
    let cheapest = offers.iter().min_by(|a, b| a.1.total_cmp(&b.1)).copied();
    Ok(best.or(cheapest).map(|o| o.0))
}

impl StyleFirst {
    /// Finds the styles that fit and fights `bouts` with all of them together.
    ///
    /// # Errors
    /// A class for which there is no skeleton, unreadable files, names that cannot be written.
    pub fn of(
        wishes: &Wishes,
        names: StartNames<'_>,
        parts: PartsBox,
        home: Option<&Path>,
        [seed, bouts]: [u64; 2],
        work: &Work<'_>,
    ) -> Result<Self, Trouble> {
        if let Some(trouble) = crate::start::names_trouble(names.robot, names.stem) {
            return Err(trouble);
        }
        let class = &wishes.class;
        let Some(family) = family_for(class) else {
            return Err(Trouble::Call(format!(
                "There is no robot to start from in the size of the class {}.",
                class.name
            )));
        };
        let inner = Names {
            robot: names.robot,
            stem: names.stem,
        };
        let (field, field_remark) = field_of(class, "", &parts, home)?;
        let mut made: Vec<(Style, Skeleton)> = Vec::new();
        for style in ALL {
            if let Some(build) = build_for(wishes, family, style, &parts, inner)? {
                made.push((style, skeleton(inner, class, family, build, style, &parts)?));
            }
        }
        let Some((_, any)) = made.first() else {
            return Err(Trouble::Call(format!(
                "Nothing in the parts box that these answers allow makes a legal robot for the class {}: \
                 answer --parts free.",
                class.name
            )));
        };
        let mut setting = Setting {
            id: format!("{}.toml", names.stem),
            robot: any.robot.clone(),
            tactic: any.tactic.clone(),
            class: class.clone(),
            parts,
            field,
            field_remark: None,
            home: home.map(Path::to_owned),
        };
        let each = u32::try_from(bouts / 4).unwrap_or(u32::MAX).max(1);
        let (mut styles, mut files, mut simulated_s) = (Vec::new(), Vec::new(), 0.0);
        for (style, skeleton) in made {
            setting.robot = skeleton.robot.clone();
            setting.tactic = skeleton.tactic.clone();
            let stage = style_name(style);
            let spar = Spar::fight_as(stage, &setting, seed, each, work)?;
            simulated_s += spar.simulated_s();
            styles.push(line(wishes, family, &skeleton, style, &spar));
            files.push((stage.to_owned(), skeleton.file, skeleton.program));
        }
        let rate = |s: &StyleLine| s.record.as_ref().map_or(0.0, |r| r.win_rate.estimate);
        styles.sort_by(|a: &StyleLine, b| b.fits.cmp(&a.fits).then(rate(b).total_cmp(&rate(a))));
        let first = styles[0].style.clone();
        Ok(Self {
            schema: "ringwright/start/1".into(),
            class: class.name.clone(),
            ring_m: class.ring.diameter_m.value,
            field: class.field.clone(),
            seed,
            partial: work.stopped(),
            next: next(wishes, &first, home),
            styles,
            timing: None,
            words: Words {
                class_title: class.title.clone(),
                field_remark,
                own_ring: wishes.own_ring,
                simulated_s,
                files,
            },
        })
    }

    /// Simulated seconds of all bouts fought for it.
    #[must_use]
    pub fn simulated_s(&self) -> f64 {
        self.words.simulated_s
    }

    /// Robot file and program of `style`; without one, of the style that stands first.
    ///
    /// # Errors
    /// A style that is none, or that the answers do not allow.
    pub fn files(&self, style: Option<&str>) -> Result<[String; 2], Trouble> {
        let wanted = style.unwrap_or(&self.styles[0].style);
        let found = self.words.files.iter().find(|f| f.0 == wanted);
        let Some((_, robot, program)) = found else {
            let there: Vec<&str> = self.styles.iter().map(|s| s.style.as_str()).collect();
            let near = robot::reader::nearest(wanted, there.iter().copied());
            let near = near.map_or(String::new(), |n| format!(" Did you mean \"{n}\"?"));
            return Err(Trouble::Call(format!(
                "There is no style \"{wanted}\" here.{near} The styles are {}.",
                there.join(", ")
            )));
        };
        Ok([robot.clone(), program.clone()])
    }
}

/// Evenings to build and to program each style, for somebody who has done it before: common practice,
/// no source.
fn evenings(style: Style) -> [f64; 2] {
    match style {
        Style::Pusher => [5.0, 2.0],
        Style::Dodger => [6.0, 4.0],
        Style::AllRounder => [6.0, 5.0],
        Style::Trickster => [6.0, 7.0],
    }
}

/// How much longer it takes at this size than in the mini class: heavy plates to cut, or wires that
/// need tweezers. Common practice, no source.
fn size_factor(family: &Family) -> f64 {
    match family.size[0] {
        x if x > 150.0 => 1.3,
        x if x > 75.0 => 1.0,
        x if x > 35.0 => 1.2,
        _ => 1.5,
    }
}

fn evenings_for(wishes: &Wishes, family: &Family, build: &Build, style: Style) -> u32 {
    let [building, programming] = evenings(style);
    let practice = match wishes.experience {
        Experience::None => 1.6,
        Experience::Some => 1.0,
        Experience::Many => 0.7,
    };
    // Kit parts fit each other.
    let fitting = match build.source {
        Source::Starter => 0.8,
        Source::Free => 1.0,
    };
    let all = practice * (building * fitting * size_factor(family) + programming);
    (1..=400).find(|n| f64::from(*n) >= all).unwrap_or(400)
}

/// What is hard about a style and about a size.
fn hard(style: Style, family: &Family, build: &Build) -> Vec<String> {
    let style = match style {
        Style::Pusher => {
            "Nothing but grip, weight and a low blade decides: clean tyres before every bout, and a \
             blade edge that lies on the ring along its whole width."
        }
        Style::Dodger => {
            "It needs both sides to pull alike, room to swing and the border seen in time: expect \
             evenings on a ring, changing turn times by hundredths of a second."
        }
        Style::Trickster => {
            "Its moments decide: when to wait, when to step aside. Each depends on how fast the others \
             charge, so it must be tried against robots unlike each other."
        }
        Style::AllRounder => {
            "It does a little of everything, so there is more to get right: openings, ramming again, \
             getting off a blade. Leave out what you cannot try."
        }
    };
    let mut all = vec![style.to_owned()];
    match family.size[0] {
        x if x > 150.0 => all.push(
            "Three kilograms that start by themselves break fingers and toes: wheels up on a block \
             whenever it is switched on, and two people at the ring."
                .into(),
        ),
        x if x < 75.0 => all.push(
            "Everything is small: wires, solder joints and blade have to be right to a tenth of a \
             millimetre."
                .into(),
        ),
        _ => {}
    }
    if build.lithium {
        all.push(
            "Its pack is lithium: it burns when pierced, shorted or charged wrongly. Fuse it, guard \
             it, charge it watched and with a responsible adult, and keep to your event's rules."
                .into(),
        );
    }
    if !build.flanks {
        all.push("It sees only to the front: what comes from the side comes unseen.".into());
    }
    all
}

fn line(
    wishes: &Wishes,
    family: &'static Family,
    made: &Skeleton,
    style: Style,
    spar: &Spar,
) -> StyleLine {
    let draws = quantity::Draws::nominal();
    let price: f64 = made.robot.items().filter_map(|i| i.price).sum();
    let evenings = evenings_for(wishes, family, made.build, style);
    let mut against = Vec::new();
    if let Some(money) = wishes.money.filter(|m| price > *m) {
        against.push(format!(
            "It costs {price:.0}, {:.0} more than you have.",
            (price - money).ceil()
        ));
    }
    if evenings > wishes.evenings {
        against.push(format!(
            "It takes about {evenings} evenings; you have {}.",
            wishes.evenings
        ));
    }
    if wishes.experience == Experience::None && style == Style::Trickster {
        against.push("It is no first robot: get one to drive straight and stop first.".into());
    }
    let r = &spar.record;
    StyleLine {
        style: style_name(style).to_owned(),
        fits: against.is_empty(),
        against,
        build: made.build.words.to_owned(),
        price,
        parts: parts_of(made),
        mass_kg: made.robot.mass_properties(&draws).mass_kg,
        evenings,
        hard: hard(style, family, made.build),
        lithium: made.build.lithium,
        charge_effort: f64::from(made.cruise) / 100.0,
        record: (r.bouts > 0).then_some(StyleRecord {
            bouts: r.bouts,
            wins: r.wins,
            losses: r.losses,
            ties: r.ties,
            win_rate: r.win_rate,
        }),
        most_losses: spar.losses.first().cloned(),
        faults: made.faults.clone(),
    }
}

/// The parts, the dearest first.
fn parts_of(made: &Skeleton) -> Vec<PartCount> {
    let mut all: std::collections::BTreeMap<&str, PartCount> = std::collections::BTreeMap::new();
    for item in made.robot.items() {
        let part = item.part.as_deref().unwrap_or(&item.name);
        let line = all.entry(part).or_insert_with(|| PartCount {
            part: part.to_owned(),
            count: 0,
            price: Some(0.0),
        });
        line.count += 1;
        line.price = line.price.zip(item.price).map(|(a, b)| a + b);
    }
    let mut all: Vec<PartCount> = all.into_values().collect();
    let dear = |p: &PartCount| p.price.unwrap_or(0.0);
    all.sort_by(|a, b| dear(b).total_cmp(&dear(a)).then(a.part.cmp(&b.part)));
    all
}

/// Commands that work as they stand.
fn next(wishes: &Wishes, style: &str, home: Option<&Path>) -> Vec<String> {
    let home = crate::setting::home_option(home);
    let class = &wishes.class.name;
    vec![
        format!(
            "ringwright start{} --style {style} --out my-robot.toml{home}",
            wishes.options()
        ),
        format!("ringwright report my-robot.toml{home}"),
        format!("ringwright field --class {class}{home}"),
    ]
}
