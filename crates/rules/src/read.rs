//! From a class file to a [`Class`]: everything wrong is reported at once.

mod figure;
mod judging;
mod ring_rules;
mod robot_rules;

use std::collections::BTreeMap;
use std::sync::Arc;

use ::robot::Issue;
use ::robot::reader::{Document, Section, nearest};
use quantity::{Dimension, Time};

use crate::{Ban, BoutRules, Class, Classes, Rule, Source, Start};
use figure::Group;

/// The sources a class can name, by their short names.
type Sources = BTreeMap<String, Arc<Source>>;

impl Class {
    /// Reads a class file. Its name is the file's, without folder and ending; `others` are the
    /// classes it may inherit.
    ///
    /// # Errors
    /// Everything wrong in the file, in order of place.
    pub fn read(file: &str, text: &str, others: &Classes) -> Result<Self, Vec<Issue>> {
        let document = Document::parse(file, text);
        let class = read(&document, file, others);
        let issues = document.take_issues();
        match class {
            Some(class) if issues.is_empty() => Ok(class),
            _ => Err(issues),
        }
    }
}

/// The word by which a class file is called: `classes/mini.toml` is `mini`.
pub(crate) fn name_of(file: &str) -> &str {
    let last = file.rsplit(['/', '\\']).next().unwrap_or(file);
    last.strip_suffix(".toml").unwrap_or(last)
}

fn read(document: &Document, file: &str, others: &Classes) -> Option<Class> {
    let root = document.root();
    let parent = parent(&root, others);
    let title = root.text("title");
    let about = root
        .optional_text("about")
        .or_else(|| parent.map(|p| p.about.clone()));
    let field = match parent {
        Some(p) => root
            .optional_text("field")
            .or_else(|| Some(p.field.clone())),
        None => root.text("field"),
    };
    let sources = sources(&root, parent);
    let robot = Group::new(&root, "robot", &sources);
    let robot_rules = robot_rules::read(&robot, &root, parent.map(|p| &p.robot), &sources);
    robot.finish();
    let bans = bans(&root, parent, &sources);
    let ring = Group::new(&root, "ring", &sources);
    let ring_rules = ring_rules::read(&ring, parent.map(|p| &p.ring));
    ring.finish();
    let bout = Group::new(&root, "bout", &sources);
    let bout_rules = bout_rules(&bout, parent.map(|p| &p.bout));
    bout.finish();
    let group = Group::new(&root, "judging", &sources);
    let judging = judging::read(&group, parent.map(|p| &p.judging));
    group.finish();
    let inherits = parent.map(|p| p.name.clone());
    root.finish();
    let class = Class {
        name: name_of(file).to_owned(),
        file: file.to_owned(),
        title: title?,
        about: about.unwrap_or_default(),
        inherits,
        field: field?,
        robot: robot_rules?,
        bans: bans?,
        ring: ring_rules?,
        bout: bout_rules?,
        judging: judging?,
        sources,
    };
    ring_rules::cross_check(document, &class.ring);
    Some(class)
}

fn parent<'c>(root: &Section<'_>, others: &'c Classes) -> Option<&'c Class> {
    let named = root.optional_text("inherits")?;
    match others.find(&named) {
        Ok(class) => Some(class),
        Err(unknown) => {
            let suggestion = unknown
                .nearest
                .as_ref()
                .map(|w| format!("inherits = \"{w}\""));
            let expected = format!("one of {}", unknown.known.join(", "));
            root.complain_of(
                "inherits",
                format!("no class \"{named}\""),
                expected,
                suggestion,
            );
            None
        }
    }
}

fn sources(root: &Section<'_>, parent: Option<&Class>) -> Sources {
    let mut all = parent.map(|p| p.sources.clone()).unwrap_or_default();
    if let Some(section) = root.table("sources") {
        for (name, entry) in section.named_tables() {
            let (title, found, date) =
                (entry.text("title"), entry.text("found"), entry.text("date"));
            entry.finish();
            if let (Some(title), Some(found), Some(date)) = (title, found, date) {
                all.insert(name.to_owned(), Arc::new(Source { title, found, date }));
            }
        }
        section.finish();
    }
    all
}

fn bans(root: &Section<'_>, parent: Option<&Class>, sources: &Sources) -> Option<Vec<Ban>> {
    let mut all = parent.map(|p| p.bans.clone()).unwrap_or_default();
    let mut whole = true;
    if let Some(section) = root.table("bans") {
        for (name, entry) in section.named_tables() {
            let watch = entry.optional_texts("watch").unwrap_or_default();
            let by_hand = entry.optional_text("by-hand");
            let forbidden = figure::rule(&entry, sources, |s| {
                if !s.has("forbidden") {
                    let what = format!("\"forbidden\" is missing in {}", s.path());
                    s.complain(what, "forbidden = true or forbidden = false", None);
                }
                s.optional_flag("forbidden")
            });
            entry.finish();
            let Some(forbidden) = forbidden else {
                whole = false;
                continue;
            };
            let watch = watch.iter().map(|w| w.to_lowercase()).collect();
            let ban = Ban {
                name: name.to_owned(),
                forbidden,
                watch,
                by_hand,
            };
            match all.iter_mut().find(|b| b.name == ban.name) {
                Some(old) => *old = ban,
                None => all.push(ban),
            }
        }
        section.finish();
    }
    whole.then_some(all)
}

fn bout_rules(bout: &Group<'_>, parent: Option<&BoutRules>) -> Option<BoutRules> {
    // Half a day: longer than any event lets a robot stand in the ring.
    let seconds =
        |key: &str, parent: Option<&Rule<f64>>| bout.quantity::<Time>(key, parent, [0.0, 43_200.0]);
    let count = |key: &str, parent: Option<&Rule<u32>>, least: u32| {
        bout.rule(key, parent, "value = 2", |s| required_count(s, least))
    };
    let start = bout.rule("start", parent.map(|p| &p.start), "delay = \"5 s\"", start);
    let longest_s = seconds("longest", parent.map(|p| &p.longest_s));
    let no_progress_s = seconds("no-progress", parent.map(|p| &p.no_progress_s));
    let restarts = count("restarts", parent.map(|p| &p.restarts), 0);
    let pause_s = seconds("pause", parent.map(|p| &p.pause_s));
    let match_s = seconds("match-time", parent.map(|p| &p.match_s));
    let points = count("points", parent.map(|p| &p.points), 1);
    Some(BoutRules {
        start: start?,
        longest_s: longest_s?,
        no_progress_s: no_progress_s?,
        restarts: restarts?,
        pause_s: pause_s?,
        match_s: match_s?,
        points: points?,
    })
}

/// A whole number that must be written.
fn required_count(section: &Section<'_>, least: u32) -> Option<u32> {
    if !section.has("value") {
        let what = format!("\"value\" is missing in {}", section.path());
        section.complain(what, "a whole number such as value = 2", None);
    }
    section.optional_count("value", least, 100)
}

fn start(section: &Section<'_>) -> Option<Start> {
    let expected = "delay = \"5 s\", or remote = true with move-within = \"5 s\"";
    let delay = figure::plain::<Time>(section, "delay", [0.0, 60.0]);
    let remote = section.optional_flag("remote");
    let move_within = figure::plain::<Time>(section, "move-within", [0.0, 60.0]);
    match (section.has("delay"), remote) {
        (true, None | Some(false)) if !section.has("move-within") => {
            delay.map(|still_s| Start::Delay { still_s })
        }
        (false, Some(true)) => {
            if !section.has("move-within") {
                let what = format!("\"move-within\" is missing in {}", section.path());
                section.complain(what, expected, None);
            }
            move_within.map(|move_within_s| Start::Remote { move_within_s })
        }
        _ => {
            section.complain(
                "the start is neither by delay nor by remote",
                expected,
                None,
            );
            None
        }
    }
}

/// The nearest known source to a misspelt one.
fn nearest_source<'s>(word: &str, sources: &'s Sources) -> Option<&'s str> {
    nearest(word, sources.keys().map(String::as_str))
}

/// A range of SI values as a person says it.
fn range_text<D: Dimension>(range: [f64; 2]) -> String {
    let [low, high] = range.map(|v| quantity::show::<D>(v, 3));
    format!("a {} from {low} to {high}", D::NAME)
}

#[cfg(test)]
mod tests {
    use super::*;
    use robot::Surface;

    const HEAD: &str = "title = \"Ours\"\ninherits = \"mini\"\n[sources.ours]\n\
                        title = \"Our rulebook\"\nfound = \"the wall\"\ndate = \"2026\"\n";
    const CITED: &str = "source = \"ours\"\nwording = \"as written\"\n";

    fn read(text: &str) -> Result<Class, Vec<Issue>> {
        Class::read("own/ours.toml", text, &Classes::built_in().unwrap())
    }

    fn with(section: &str, values: &str) -> Result<Class, Vec<Issue>> {
        read(&format!("{HEAD}[{section}]\n{values}\n{CITED}"))
    }

    #[track_caller]
    fn one_issue(result: Result<Class, Vec<Issue>>) -> Issue {
        let issues = result.unwrap_err();
        assert_eq!(issues.len(), 1, "{issues:#?}");
        issues[0].clone()
    }

    #[test]
    fn what_is_changed_carries_its_own_source_and_the_rest_the_parents() {
        let class = with("ring.border", "value = \"10 mm\"").unwrap();
        assert_eq!(class.name, "ours");
        assert!((class.ring.border_m.value - 0.01).abs() < 1e-12);
        assert_eq!(class.ring.border_m.source.title, "Our rulebook");
        assert_eq!(&*class.ring.border_m.wording, "as written");
        let mini = Classes::built_in().unwrap().find("mini").unwrap().clone();
        assert_eq!(class.ring.diameter_m, mini.ring.diameter_m);
        assert_eq!(class.robot, mini.robot);
        assert_eq!(class.inherits.as_deref(), Some("mini"));
    }

    #[test]
    fn a_class_without_parent_must_say_everything() {
        let issues = read("title = \"Bare\"\n").unwrap_err();
        let missing = |what: &str| issues.iter().any(|i| i.what.contains(what));
        for what in [
            "\"field\"",
            "[robot.mass]",
            "[robot.height]",
            "[ring.placing]",
            "[bout.start]",
        ] {
            assert!(missing(what), "{what}: {issues:#?}");
        }
        assert_eq!(issues.len(), 1 + 6 + 11 + 7, "field, robot, ring, bout");
    }

    #[test]
    fn all_mistakes_of_a_file_are_reported_with_their_lines() {
        let text = format!(
            "{HEAD}[robot.mass]\nat-most = \"500 mm\"\n{CITED}\
             [ring.diametre]\nvalue = \"77 cm\"\n{CITED}\
             [bout.points]\nvalue = 2\nsource = \"oars\"\nwording = \"w\"\n"
        );
        let issues = read(&text).unwrap_err();
        let lines: Vec<u32> = issues.iter().map(|i| i.place.line).collect();
        assert_eq!(lines, [8, 11, 17], "{issues:#?}");
        assert!(issues[0].expected.contains("mass"), "{issues:#?}");
        assert_eq!(issues[1].suggestion.as_deref(), Some("[ring.diameter]"));
        assert_eq!(issues[2].suggestion.as_deref(), Some("source = \"ours\""));
    }

    #[test]
    fn an_unknown_parent_gets_the_nearest_word() {
        let issues = read("title = \"X\"\ninherits = \"mni\"\n").unwrap_err();
        let issue = issues.iter().find(|i| i.place.line == 2).unwrap();
        assert_eq!(issue.suggestion.as_deref(), Some("inherits = \"mini\""));
    }

    #[test]
    fn a_limit_is_written_one_way() {
        let under = with("robot.mass", "under = \"500 g\"").unwrap();
        assert!(under.robot.mass_kg.value.strict());
        let both = with("robot.mass", "under = \"500 g\"\nat-most = \"500 g\"");
        assert!(one_issue(both).what.contains("two limits"));
        let none = with("robot.mass", "tolerance = \"5 g\"");
        assert!(one_issue(none).what.contains("no limit"));
    }

    #[test]
    fn what_the_parent_limits_can_be_freed() {
        let free = with("robot.edge-radius", "free = true").unwrap();
        assert_eq!(free.robot.edge_radius_m, None);
        let any = read(
            &format!("{HEAD}[kits]\nfree = true\n{CITED}").replace("\"mini\"", "\"mini-kit\""),
        );
        assert_eq!(any.unwrap().robot.kits, None);
        let high = with("robot.height", "at-most = \"200 mm\"").unwrap();
        assert!((high.robot.height_m.value.unwrap().si - 0.2).abs() < 1e-12);
    }

    #[test]
    fn the_start_is_by_delay_or_by_remote_but_not_both() {
        let remote = with("bout.start", "remote = true\nmove-within = \"4 s\"").unwrap();
        assert_eq!(
            remote.bout.start.value,
            Start::Remote { move_within_s: 4.0 }
        );
        assert!(remote.start_delay_s().abs() < 1e-12);
        for wrong in [
            "remote = true",
            "remote = true\ndelay = \"5 s\"",
            "",
            "move-within = \"5 s\"",
        ] {
            one_issue(with("bout.start", wrong));
        }
    }

    #[test]
    fn figures_out_of_any_sense_are_refused() {
        for (section, value) in [
            ("ring.diameter", "\"77 m\""),
            ("ring.border", "\"-1 mm\""),
            ("ring.border", "\"40 cm\""),
            ("ring.start-line", "\"37 cm\""),
            ("ring.border-reflectance", "\"2 %\""),
            ("ring.tolerance", "\"5 mm\""),
            ("ring.diameter", "\"77 +- 2 cm\""),
            ("bout.points", "0"),
            ("bout.restarts", "-1"),
        ] {
            one_issue(with(section, &format!("value = {value}")));
        }
    }

    #[test]
    fn a_text_where_a_section_belongs_is_one_mistake() {
        one_issue(read(
            &HEAD.replace("[sources", "ring.border = \"10 mm\"\n[sources"),
        ));
    }

    #[test]
    fn rings_of_several_surfaces_are_read_and_checked() {
        let class = with("ring.surface", "value = \"wood\"\nalso = [\"vinyl\"]").unwrap();
        let ring = class.ring();
        assert_eq!(
            (ring.surface, ring.also),
            (Surface::Wood, vec![Surface::Vinyl])
        );
        let heir = with("ring.border", "value = \"20 mm\"").unwrap();
        assert_eq!(heir.ring().also, vec![], "mini names none");
        for (also, what) in [
            ("[\"wood\"]", "twice"),
            ("[\"vinyl\", \"vinyl\"]", "twice"),
            ("[\"vinil\"]", "no surface"),
        ] {
            let text = format!("value = \"wood\"\nalso = {also}");
            let issue = one_issue(with("ring.surface", &text));
            assert!(issue.what.contains(what), "{issue:?}");
            let near = (what == "no surface").then_some("\"vinyl\"");
            assert_eq!(issue.suggestion.as_deref(), near);
        }
    }

    #[test]
    fn a_ban_is_replaced_by_name_and_a_new_one_appended() {
        let freed = with("bans.vacuum", "forbidden = false\nwatch = [\"Vacuum\"]").unwrap();
        let mini = Classes::built_in().unwrap().find("mini").unwrap().clone();
        assert_eq!(freed.bans.len(), mini.bans.len());
        let vacuum = freed.bans.iter().find(|b| b.name == "vacuum").unwrap();
        assert!(!vacuum.forbidden.value);
        assert_eq!(vacuum.watch, ["vacuum"]);
        let more = with("bans.glitter", "forbidden = true").unwrap();
        assert_eq!(more.bans.last().unwrap().name, "glitter");
        one_issue(with("bans.glitter", "watch = [\"glitter\"]"));
    }

    #[test]
    fn a_file_with_any_line_missing_is_refused_with_a_place() {
        let text = shelf::file("classes/mini.toml").unwrap();
        let lines: Vec<&str> = text.lines().collect();
        for (i, line) in lines.iter().enumerate() {
            let without: Vec<&str> = [&lines[..i], &lines[i + 1..]].concat();
            let read = Class::read("mini.toml", &without.join("\n"), &Classes::default());
            let may_go = line.is_empty()
                || ["#", "about", "watch", "by-hand"]
                    .iter()
                    .any(|start| line.starts_with(start));
            match read {
                Ok(_) => assert!(may_go, "line {} can go: {line}", i + 1),
                Err(issues) => {
                    assert!(!may_go && !issues.is_empty(), "line {}: {issues:#?}", i + 1);
                    assert!(issues.iter().all(|x| x.place.span.end <= text.len()));
                }
            }
        }
    }

    #[test]
    fn a_file_cut_anywhere_is_read_or_refused_but_never_a_panic() {
        let text = shelf::file("classes/harbour-club.toml").unwrap();
        let others = Classes::built_in().unwrap();
        for at in (0..text.len()).filter(|at| text.is_char_boundary(*at)) {
            let read = Class::read("cut.toml", &text[..at], &others);
            assert!(read.is_ok() || !read.unwrap_err().is_empty(), "cut at {at}");
        }
    }
}
