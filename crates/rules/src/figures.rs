//! Every figure of a class as a person says it, in the order and with the names of its file.

use std::sync::Arc;

use quantity::{Dimension, Length, Mass, Ratio, Time, show};

use crate::size::{DIGITS, limit_text};
use crate::{
    Class, EarlyStart, Facing, Limit, OutWhen, Placing, Rule, Source, Start, StartsBehind,
    Surfaces, Undecided, Unfolding,
};

/// A figure of a class in words.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct FigureWords {
    /// The section of the class file it stands in: `robot`, `kits`, `bans`, `ring`, `bout`, `judging`.
    pub group: &'static str,
    /// Its name there, e.g. `edge-radius`.
    pub name: String,
    /// Its value with its unit.
    pub value: String,
    /// What the rulebook says, in short.
    pub wording: Arc<str>,
    /// Who says so.
    pub source: Arc<Source>,
    /// What other rulebooks say of it.
    pub elsewhere: Vec<OtherWords>,
}

/// What another rulebook says of a figure.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct OtherWords {
    /// Its value with its unit.
    pub value: String,
    /// What it says, in short.
    pub wording: Arc<str>,
    /// Who says so.
    pub source: Arc<Source>,
}

fn said<T>(
    group: &'static str,
    name: &str,
    rule: &Rule<T>,
    words: impl Fn(&T) -> String,
) -> FigureWords {
    FigureWords {
        group,
        name: name.into(),
        value: words(&rule.value),
        wording: Arc::clone(&rule.wording),
        source: Arc::clone(&rule.source),
        elsewhere: (rule.elsewhere.iter())
            .map(|e| OtherWords {
                value: words(&e.value),
                wording: Arc::clone(&e.wording),
                source: Arc::clone(&e.source),
            })
            .collect(),
    }
}

fn quantity<D: Dimension>(si: &f64) -> String {
    show::<D>(*si, DIGITS)
}

fn lasting(si: &f64) -> String {
    if *si >= 120.0 {
        format!("{} min", show_plain(*si / 60.0))
    } else {
        show::<Time>(*si, DIGITS)
    }
}

/// A number without needless zeros.
fn show_plain(x: f64) -> String {
    let text = format!("{x:.2}");
    text.trim_end_matches('0').trim_end_matches('.').to_owned()
}

fn percent(si: &f64) -> String {
    format!("{} %", show_plain(100.0 * si))
}

fn factor(si: &f64) -> String {
    show::<Ratio>(*si, 3)
}

fn limit<D: Dimension>(limit: &Limit) -> String {
    limit_text::<D>(limit)
}

fn yes(value: &bool) -> String {
    if *value { "loses" } else { "does not lose" }.into()
}

fn count(n: &u32) -> String {
    n.to_string()
}

fn undecided(u: &Undecided) -> String {
    match u {
        Undecided::Tie => "nobody gets a point",
        Undecided::Decision => "the judges decide",
    }
    .into()
}

fn unfolding(u: &Unfolding) -> String {
    match u {
        Unfolding::Anything => "anything",
        Unfolding::BodyOnly => "the body, not the wheel base",
        Unfolding::Nothing => "nothing",
    }
    .into()
}

fn start(s: &Start) -> String {
    match s {
        Start::Delay { still_s } => format!("{} after the signal", lasting(still_s)),
        Start::Remote { move_within_s } => {
            format!("by remote, moving within {}", lasting(move_within_s))
        }
    }
}

fn placing(p: &Placing) -> String {
    let line = match p.behind {
        StartsBehind::StartLine => "behind the start line",
        StartsBehind::MiddleLine => "behind the middle line",
    };
    let facing = match p.facing {
        Facing::Any => "facing anywhere",
        Facing::Opponent => "facing the opponent",
        Facing::ByRound => "facing as the round asks",
    };
    let turn = if p.in_turn {
        ", one after the other"
    } else {
        ""
    };
    format!("{line}, {facing}{turn}")
}

fn surfaces(s: &Surfaces) -> String {
    let word = |of: &robot::Surface| {
        let named = robot::Surface::ALL.iter().find(|a| a.1 == *of);
        named.map_or("", |n| n.0)
    };
    let mut words = vec![word(&s.usual)];
    words.extend(s.also.iter().map(word));
    words.join(" or ")
}

impl Class {
    /// Every figure of it in words, in the order of the sections of its file.
    #[must_use]
    pub fn figures(&self) -> Vec<FigureWords> {
        let mut all = self.robot_figures();
        all.extend(self.ban_figures());
        all.extend(self.ring_figures());
        all.extend(self.bout_figures());
        all.extend(self.judging_figures());
        all
    }

    fn robot_figures(&self) -> Vec<FigureWords> {
        let r = &self.robot;
        let mut all = vec![
            said("robot", "length", &r.length_m, limit::<Length>),
            said("robot", "width", &r.width_m, limit::<Length>),
            said("robot", "height", &r.height_m, |h| {
                h.as_ref().map_or("free".into(), limit::<Length>)
            }),
            said("robot", "mass", &r.mass_kg, limit::<Mass>),
        ];
        for (name, rule) in [
            ("least-length", &r.least_length_m),
            ("least-width", &r.least_width_m),
            ("edge-radius", &r.edge_radius_m),
        ] {
            all.extend(rule.iter().map(|r| said("robot", name, r, limit::<Length>)));
        }
        let least = r.least_mass_kg.iter();
        all.extend(least.map(|r| said("robot", "least-mass", r, limit::<Mass>)));
        all.push(said("robot", "dropped", &r.dropped_kg, limit::<Mass>));
        let scale = r.scale_error_kg.iter();
        all.extend(scale.map(|r| said("robot", "scale-error", r, quantity::<Mass>)));
        let template = r.template_error_m.iter();
        all.extend(template.map(|r| said("robot", "template-error", r, quantity::<Length>)));
        all.push(said("robot", "unfolding", &r.unfolding, unfolding));
        let kits = r.kits.iter();
        all.extend(kits.map(|r| {
            said("kits", "parts", r, |tags| {
                format!("only of kit {}", tags.join(" or "))
            })
        }));
        all
    }

    fn ban_figures(&self) -> Vec<FigureWords> {
        let words = |b: &bool| if *b { "forbidden" } else { "allowed" }.to_owned();
        (self.bans.iter())
            .map(|b| said("bans", &b.name, &b.forbidden, words))
            .collect()
    }

    fn ring_figures(&self) -> Vec<FigureWords> {
        let r = &self.ring;
        let mut all = vec![
            said("ring", "diameter", &r.diameter_m, quantity::<Length>),
            said("ring", "height", &r.height_m, quantity::<Length>),
            said("ring", "border", &r.border_m, quantity::<Length>),
            said("ring", "tolerance", &r.tolerance, percent),
            said("ring", "start-line", &r.start_line_m, quantity::<Length>),
            said("ring", "placing", &r.placing, placing),
        ];
        let surface = r.surface.iter();
        all.extend(surface.map(|r| said("ring", "surface", r, surfaces)));
        all.extend([
            said(
                "ring",
                "surface-reflectance",
                &r.surface_reflectance,
                percent,
            ),
            said("ring", "border-reflectance", &r.border_reflectance, percent),
            said("ring", "grip", &r.grip, factor),
            said("ring", "grip-varies", &r.grip_varies, percent),
        ]);
        all.extend(r.dust.iter().map(|r| said("ring", "dust", r, factor)));
        for (name, rule) in [("flatness", &r.flatness_m), ("seam", &r.seam_m)] {
            all.extend(
                rule.iter()
                    .map(|r| said("ring", name, r, quantity::<Length>)),
            );
        }
        all.extend([
            said("ring", "free-space", &r.free_space_m, quantity::<Length>),
            said("ring", "light", &r.light, percent),
            said("ring", "light-varies", &r.light_varies, percent),
            said("ring", "border-dirt", &r.border_dirt, percent),
        ]);
        all
    }

    fn bout_figures(&self) -> Vec<FigureWords> {
        let b = &self.bout;
        vec![
            said("bout", "start", &b.start, start),
            said("bout", "longest", &b.longest_s, lasting),
            said("bout", "no-progress", &b.no_progress_s, lasting),
            said("bout", "restarts", &b.restarts, count),
            said("bout", "pause", &b.pause_s, lasting),
            said("bout", "match-time", &b.match_s, lasting),
            said("bout", "points", &b.points, count),
        ]
    }

    fn judging_figures(&self) -> Vec<FigureWords> {
        let j = &self.judging;
        vec![
            said("judging", "out", &j.out, |o| {
                match o {
                    OutWhen::Floor => "touching the floor",
                    OutWhen::TyreOff => "a tyre off the top",
                    OutWhen::PastRim => "any part past the rim",
                }
                .into()
            }),
            said("judging", "fallen", &j.fallen, yes),
            said("judging", "dropped", &j.dropped, yes),
            said("judging", "early-start", &j.early_start, |e| {
                match e {
                    EarlyStart::Round => "costs the round",
                    EarlyStart::Warning => "costs a warning",
                }
                .into()
            }),
            said("judging", "warnings", &j.warnings, count),
            said("judging", "stood-first", &j.stood_first, yes),
            said("judging", "stuck", &j.stuck, undecided),
            said("judging", "time-up", &j.time_up, undecided),
            said("judging", "rounds", &j.rounds, count),
            said("judging", "extension", &j.extension_s, lasting),
        ]
    }
}

/// A figure in which two classes differ; none where a class does not have it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Difference {
    /// The section of the class file it stands in.
    pub group: &'static str,
    /// Its name there.
    pub name: String,
    /// What the one and the other class say.
    pub says: [Option<FigureWords>; 2],
}

/// The figures in which `one` and `other` differ, in the order of the sections. Two that say the same
/// in other words or by another source do not differ.
#[must_use]
pub fn differences(one: &Class, other: &Class) -> Vec<Difference> {
    let (a, b) = (one.figures(), other.figures());
    let same = |x: &FigureWords, y: &FigureWords| x.group == y.group && x.name == y.name;
    let mut found: Vec<Difference> = Vec::new();
    for x in &a {
        let y = b.iter().find(|y| same(x, y));
        if y.is_none_or(|y| x.value != y.value) {
            found.push(Difference {
                group: x.group,
                name: x.name.clone(),
                says: [Some(x.clone()), y.cloned()],
            });
        }
    }
    for y in b.iter().filter(|y| !a.iter().any(|x| same(x, y))) {
        found.push(Difference {
            group: y.group,
            name: y.name.clone(),
            says: [None, Some(y.clone())],
        });
    }
    found.sort_by_key(|d| GROUPS.iter().position(|g| *g == d.group));
    found
}

/// Sections of a class file, in order.
pub const GROUPS: [&str; 6] = ["robot", "kits", "bans", "ring", "bout", "judging"];

#[cfg(test)]
mod tests {
    use super::*;
    use crate::Classes;

    fn class(name: &str) -> Class {
        let all = Classes::built_in().unwrap_or_else(|e| panic!("{e:#?}"));
        all.find(name).expect("it is there").clone()
    }

    #[test]
    fn a_class_differs_from_itself_in_nothing_and_from_its_heir_in_what_that_says() {
        let mini = class("mini");
        assert_eq!(differences(&mini, &mini), []);
        let names: Vec<String> = (differences(&mini, &class("harbour-club")).into_iter())
            .map(|d| d.name)
            .collect();
        for name in ["border", "start-line", "surface", "start", "points"] {
            assert!(names.iter().any(|n| n == name), "{name} in {names:?}");
        }
        assert!(!names.iter().any(|n| n == "diameter"), "{names:?}");
    }

    #[test]
    fn what_only_one_of_them_has_is_told_both_ways_round() {
        let (mini, kit) = (class("mini"), class("mini-kit"));
        for (one, other, side) in [(&mini, &kit, 1), (&kit, &mini, 0)] {
            let found = differences(one, other);
            let kits = found.iter().find(|d| d.group == "kits");
            let says = &kits.expect("the restriction").says;
            assert!(says[side].is_some() && says[1 - side].is_none());
        }
    }

    #[test]
    fn every_section_of_a_file_has_its_figure_in_the_order_of_groups() {
        for class in Classes::built_in()
            .unwrap_or_else(|e| panic!("{e:#?}"))
            .iter()
        {
            let figures = class.figures();
            let place = |g: &str| GROUPS.iter().position(|h| *h == g).expect("a group");
            assert!(
                figures.is_sorted_by_key(|f| place(f.group)),
                "{}",
                class.name
            );
            let text = shelf::file(&format!("classes/{}.toml", class.name)).expect("built in");
            for line in text
                .lines()
                .filter(|l| l.starts_with('[') && !l.starts_with("[["))
            {
                let Some((group, name)) = line.trim_matches(['[', ']']).split_once('.') else {
                    continue;
                };
                let there = figures.iter().any(|f| f.group == group && f.name == name);
                assert!(there || group == "sources", "{}: {line}", class.name);
            }
        }
    }
}
