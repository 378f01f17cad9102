//! Every page of `docs/explain` keeps the format that the command `explain NAME` counts on.

use std::collections::BTreeSet;

/// Pages there must be: the findings, the causes of a bout's end, and the ideas behind them.
const FINDINGS: &str = "too-long too-wide too-high too-short too-narrow over-mass under-mass \
    not-a-kit-part forbidden-part length-close width-close height-close mass-close \
    least-length-close least-width-close least-mass-close unfolds sharp-edge part-past-outline \
    weighed-only state-unreachable state-without-exit hardly-drives reflex-shadowed reflex-hidden motors-stall-first torque-from-the-shop sides-crossed hot-motors driver-limits-push \
    edge-too-fast edge-too-fast-backward no-edge-sensor-ahead no-edge-sensor-behind \
    border-between-readings sensor-never-read sensor-changes-nothing motor-never-driven does-not-stand \
    edge-threshold opening-not-allowed turns-from-seen waits-when-seen border-inverted ignored-too-long border-waits search-must-drive edge-aslant tips-before-it-slides beam-over-low sees-people \
    gadget-never-moved gadget-changes-nothing gadget-one-way magnets-idle \
    light-on-wheels rests-on-body hard-to-turn tips-backward blind-ahead folds-back mass-unused lithium-pack \
    pin-used-twice pin-cannot pin-voltage pin-floats-at-reset pin-decides-start pins-run-out \
    wire-thin fuse-too-small fuse-too-big browns-out board-overfed regulator-hot lithium-too-low pack-runs-out \
    frame-soft weakest-joint frame-yields blade-rises frame-rings open-perimeter frame-derived \
    frame-unknown frame-moves-freely \
    blade-too-high blade-too-steep guard-gap parts-overlap sensor-inside sensor-blocked \
    lifter-too-weak lifter-tips-self jack-too-short jack-too-weak";
const CAUSES: &str = "edge-seen-too-late edge-ignored edge-not-left edge-unseen \
    reversed-out pushed-tyres-slid pushed-motors-stalled gave-way lifted taken-from-side never-saw tipped \
    fault brown-out false-start dropped-parts stood-still decision \
    out-together timed-out stuck not-finite program-failed";
const IDEAS: &str = "interval seed same-draws unknowns field grip sag getting-under downforce uneven-ring styles \
    dark-opponent wheel-size odds-of-passing \
    measure-mass measure-centre measure-lengths measure-grip measure-rolling measure-torque \
    measure-speed measure-electric natural-mode measure-sight measure-delay measure-stiffness pinch-points";

/// Pages on the ideas of the programs in the box.
const PROGRAMS: &str = "tactic-first tactic-charger tactic-spinner tactic-demo tactic-pusher tactic-tracks \
    tactic-limpet tactic-wriggle tactic-dodger tactic-lift tactic-skirt tactic-allrounder tactic-jack \
    tactic-bait tactic-trickster";

/// Columns of a picture, and of anything else on a terminal of 100 columns.
const PICTURE_COLUMNS: usize = 90;
const COLUMNS: usize = 98;
/// Lines of a page.
const LEAST_LINES: usize = 25;
const MOST_LINES: usize = 60;

/// Words near work that can hurt: a page with one of them needs a caution.
const DANGERS: &str = "lithium poisonous solvent spirit magnets grinding knife soldering";

struct Page {
    name: String,
    text: String,
}

impl Page {
    fn lines(&self) -> Vec<&str> {
        self.text.lines().collect()
    }

    /// Lines inside fences, and all others.
    fn parted(&self) -> (Vec<&str>, Vec<&str>) {
        let (mut picture, mut prose) = (Vec::new(), Vec::new());
        let mut inside = false;
        for line in self.text.lines() {
            if line.starts_with("```") {
                inside = !inside;
            } else if inside {
                picture.push(line);
            } else {
                prose.push(line);
            }
        }
        assert!(!inside, "{}: a picture is not closed", self.name);
        (picture, prose)
    }

    /// The lines below a heading, up to the next one.
    fn section(&self, heading: &str) -> Option<Vec<&str>> {
        let (_, prose) = self.parted();
        let start = prose.iter().position(|l| *l == heading)? + 1;
        let rest = prose[start..].iter().copied();
        Some(
            rest.take_while(|l| !l.starts_with('#') && !l.starts_with("See also:"))
                .collect(),
        )
    }

    fn see_also(&self) -> Vec<&str> {
        let lines = self.lines();
        let also = lines.last().and_then(|l| l.strip_prefix("See also: "));
        also.map_or(Vec::new(), |names| names.split(", ").collect())
    }
}

fn pages() -> Vec<Page> {
    let page = |(path, text): (String, String)| {
        let name = path.strip_prefix("docs/explain/")?.strip_suffix(".md")?;
        Some(Page {
            name: name.to_owned(),
            text,
        })
    };
    shelf::files("docs/explain")
        .into_iter()
        .map(|f| page(f.clone()).unwrap_or_else(|| panic!("{} is no page", f.0)))
        .collect()
}

fn names() -> BTreeSet<String> {
    pages().into_iter().map(|p| p.name).collect()
}

#[test]
fn there_is_a_page_for_every_finding_cause_and_idea_and_no_other() {
    let wanted: BTreeSet<String> = [FINDINGS, CAUSES, IDEAS, PROGRAMS]
        .iter()
        .flat_map(|l| l.split_whitespace().map(str::to_owned))
        .collect();
    assert_eq!(names(), wanted);
    for name in wanted {
        assert!(shelf::file(&format!("docs/explain/{name}.md")).is_some());
    }
    assert_eq!(shelf::file("docs/explain/no-such.md"), None);
}

#[test]
fn a_page_begins_with_its_title_and_short_paragraphs() {
    for page in pages() {
        let lines = page.lines();
        let title = lines[0].strip_prefix("# ").unwrap_or_default();
        assert!(
            title.len() > 3 && title.len() < 70,
            "{}: {title}",
            page.name
        );
        assert_eq!(lines[1], "", "{}", page.name);
        let titles = lines.iter().filter(|l| l.starts_with("# ")).count();
        assert_eq!(titles, 1, "{}", page.name);
        let fence = lines.iter().position(|l| l.starts_with("```"));
        let fence = fence.unwrap_or_else(|| panic!("{}: no picture", page.name));
        let words = lines[2..fence].join(" ");
        assert!(
            words.split_whitespace().count() >= 20,
            "{}: no words",
            page.name
        );
        for paragraph in page.parted().1.split(|l| l.is_empty()) {
            let list = paragraph.first().is_some_and(|l| l.starts_with("- "));
            assert!(list || paragraph.len() <= 5, "{}: {paragraph:?}", page.name);
        }
    }
}

#[test]
fn pictures_fit_and_are_plain_characters() {
    for page in pages() {
        let (picture, _) = page.parted();
        let drawn = picture.iter().filter(|l| !l.trim().is_empty()).count();
        assert!(drawn >= 4, "{}: {drawn} lines of picture", page.name);
        for line in picture {
            assert!(
                line.chars().count() <= PICTURE_COLUMNS,
                "{}: {line}",
                page.name
            );
        }
        // One character, one column: ASCII and box-drawing only.
        let plain = |c: char| matches!(c, ' '..='~' | '\n' | '\u{2500}'..='\u{257f}');
        let odd: String = page.text.chars().filter(|c| !plain(*c)).collect();
        assert!(odd.is_empty(), "{}: {odd:?}", page.name);
    }
}

#[test]
fn sections_stand_in_order_and_say_something() {
    let order = ["## Formula", "## What to do", "## Source", "## Care"];
    for page in pages() {
        let (_, prose) = page.parted();
        let found: Vec<&str> = prose
            .iter()
            .copied()
            .filter(|l| l.starts_with("##"))
            .collect();
        assert!(
            found == order || found == order[..3],
            "{}: {found:?}",
            page.name
        );
        for heading in found {
            let section = page.section(heading).unwrap_or_default();
            let words = section.join(" ");
            assert!(words.trim().len() > 20, "{}: {heading}", page.name);
        }
    }
}

#[test]
fn the_formula_has_an_example_with_numbers() {
    for page in pages() {
        let section = page.section("## Formula").unwrap_or_default();
        let formula = section.iter().any(|l| l.starts_with("    "));
        assert!(formula, "{}: no formula", page.name);
        let start = section.iter().position(|l| l.starts_with("Example: "));
        let start = start.unwrap_or_else(|| panic!("{}: no example", page.name));
        let example = section[start..].join(" ");
        let numbers = example
            .split(|c: char| !c.is_ascii_digit() && c != '.')
            .filter(|n| n.chars().any(|c| c.is_ascii_digit()))
            .count();
        assert!(numbers >= 2, "{}: {example}", page.name);
    }
}

#[test]
fn what_to_do_is_a_list() {
    for page in pages() {
        let section = page.section("## What to do").unwrap_or_default();
        let bullets = section.iter().filter(|l| l.starts_with("- ")).count();
        assert!((2..=6).contains(&bullets), "{}: {bullets}", page.name);
        for line in section {
            let fits = line.is_empty() || line.starts_with("- ") || line.starts_with("  ");
            assert!(fits, "{}: {line}", page.name);
        }
    }
}

#[test]
fn pages_are_short_and_fit_the_terminal() {
    for page in pages() {
        let lines = page.lines();
        assert!(
            (LEAST_LINES..=MOST_LINES).contains(&lines.len()),
            "{}: {} lines",
            page.name,
            lines.len()
        );
        for line in lines {
            assert!(line.chars().count() <= COLUMNS, "{}: {line}", page.name);
            assert_eq!(line, line.trim_end(), "{}", page.name);
        }
        assert!(page.text.ends_with('\n') && !page.text.ends_with("\n\n"));
    }
}

#[test]
fn every_page_pointed_to_exists_and_none_points_to_itself() {
    let names = names();
    let mut pointed_to = BTreeSet::new();
    for page in pages() {
        let also = page.see_also();
        let lines = page.lines();
        let mentions = lines.iter().filter(|l| l.starts_with("See also")).count();
        assert_eq!(
            mentions,
            usize::from(!also.is_empty()),
            "{}: only as the last line",
            page.name
        );
        let once: BTreeSet<&str> = also.iter().copied().collect();
        assert_eq!(once.len(), also.len(), "{}: {also:?}", page.name);
        for other in also {
            assert!(names.contains(other), "{} points to {other}", page.name);
            assert_ne!(other, page.name);
            pointed_to.insert(other.to_owned());
        }
    }
    let lost: Vec<&String> = names.difference(&pointed_to).collect();
    assert!(lost.is_empty(), "no page leads to {lost:?}");
}

#[test]
fn pages_about_work_that_can_hurt_carry_a_caution() {
    let must = "lithium-pack sharp-edge sag motors-stall-first getting-under lifted over-mass \
                mass-unused under-mass weighed-only forbidden-part motor-never-driven grip";
    for name in must.split_whitespace() {
        let page = pages().into_iter().find(|p| p.name == name);
        let page = page.unwrap_or_else(|| panic!("no page {name}"));
        assert!(page.section("## Care").is_some(), "{name}");
    }
    for page in pages() {
        let text = page.text.to_lowercase();
        let words: BTreeSet<&str> = text.split(|c: char| !c.is_alphabetic()).collect();
        if let Some(word) = DANGERS.split_whitespace().find(|d| words.contains(d)) {
            assert!(
                page.section("## Care").is_some(),
                "{}: speaks of {word} without a caution",
                page.name
            );
        }
    }
}
