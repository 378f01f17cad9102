//! The pages on the programs in the box keep step with the programs, with the robots that run them and
//! with the league.

use std::collections::{BTreeMap, BTreeSet};

const LEAGUE: &str = include_str!("../../../docs/field.md");
const LANGUAGE: &str = include_str!("../../../docs/tactic-language.md");

/// Name and text of every program: those of the field, and the demo robot's.
fn programs() -> BTreeMap<String, String> {
    let name = |path: &str| Some(path.rsplit('/').next()?.strip_suffix(".tactic")?.to_owned());
    shelf::files("robots")
        .into_iter()
        .filter_map(|(path, text)| Some((name(&path)?, text)))
        .collect()
}

fn page(program: &str) -> String {
    shelf::file(&format!("docs/explain/tactic-{program}.md"))
        .unwrap_or_else(|| panic!("no page on {program}"))
}

/// The value of `key = "…"` in a robot file.
fn value<'a>(file: &'a str, key: &str) -> &'a str {
    let start = format!("{key} = \"");
    let line = file.lines().find_map(|l| l.strip_prefix(start.as_str()));
    line.and_then(|l| l.split('"').next()).unwrap_or_default()
}

/// Robots of the field: name, and the program it runs.
fn robots() -> Vec<(String, String)> {
    shelf::files("robots")
        .into_iter()
        .filter(|(path, _)| path.ends_with(".toml") && path.matches('/').count() == 2)
        .map(|(_, file)| {
            let program = value(&file, "tactic").trim_end_matches(".tactic");
            (value(&file, "name").to_owned(), program.to_owned())
        })
        .collect()
}

/// Wins of each robot in per cent, as the league's tables print them: against all and against each other.
struct Wins {
    of_all: BTreeMap<String, String>,
    against: BTreeMap<(String, String), String>,
}

fn league() -> Wins {
    let (mut of_all, mut against) = (BTreeMap::new(), BTreeMap::new());
    for table in LEAGUE.split("Row against column:").skip(1) {
        let table = table.split("Clearly beaten").next().unwrap_or_default();
        let rows: Vec<(&str, &str)> = table
            .lines()
            .filter(|l| l.contains(" to ") && l.starts_with(char::is_alphabetic))
            .filter_map(|l| l.split_once(' '))
            .collect();
        for (name, rest) in &rows {
            let (all, rest) = rest.trim().split_once(' ').expect("a share of all");
            of_all.insert((*name).to_owned(), all.to_owned());
            let (_, cells) = rest.split_once(')').expect("an interval");
            // Ties stand in brackets behind some of the cells.
            let cells = cells.split_whitespace().filter(|c| !c.starts_with('('));
            let cells: Vec<&str> = cells.collect();
            assert_eq!(cells.len(), rows.len(), "{name}");
            for ((other, _), cell) in rows.iter().zip(cells) {
                against.insert(((*name).to_owned(), (*other).to_owned()), cell.to_owned());
            }
        }
    }
    Wins { of_all, against }
}

/// The lines below `wins in %` of a page, in words.
fn rows(page: &str) -> Vec<Vec<&str>> {
    let table = page.split_once("   wins in %   all   against\n");
    let table = table.map_or("", |(_, t)| t.split("```").next().unwrap_or_default());
    table
        .lines()
        .map(|l| l.split_whitespace().collect())
        .collect()
}

#[test]
fn every_program_has_a_page_and_every_page_a_program() {
    let of_pages: BTreeSet<String> = shelf::files("docs/explain/")
        .into_iter()
        .filter_map(|(path, _)| {
            let name = path.strip_prefix("docs/explain/tactic-")?;
            Some(name.strip_suffix(".md")?.to_owned())
        })
        .collect();
    let programs: BTreeSet<String> = programs().into_keys().collect();
    assert_eq!(of_pages, programs);
}

#[test]
fn a_page_names_every_constant_and_counter_of_its_program() {
    let mut named = 0;
    for (program, text) in programs() {
        let page = page(&program);
        for line in text.lines() {
            let words: Vec<&str> = line.split_whitespace().collect();
            if let ["constant" | "counter", name, ..] = words.as_slice() {
                assert!(page.contains(&format!("`{name}`")), "{program}: {name}");
                named += 1;
            }
        }
    }
    assert!(named > 20, "{named}");
}

#[test]
fn the_page_of_a_program_has_the_league_figures_of_every_robot_that_runs_it() {
    let league = league();
    let robots = robots();
    assert_eq!(robots.len(), league.of_all.len());
    for (program, _) in programs() {
        let page = page(&program);
        let rows = rows(&page);
        let told: BTreeSet<&str> = rows.iter().filter_map(|r| r.first().copied()).collect();
        let run = robots.iter().filter(|(_, p)| *p == program);
        let run: BTreeSet<&str> = run.map(|(name, _)| name.as_str()).collect();
        assert_eq!(told, run, "{program}");
        for row in rows {
            let (name, figures) = row.split_first().expect("a name");
            let (all, pairs) = figures.split_first().expect("a share of all");
            assert_eq!(league.of_all[*name], *all, "{program}: {name}");
            assert!(pairs.len() >= 4, "{program}: {name} against too few");
            for pair in pairs.chunks(2) {
                let against = ((*name).to_owned(), pair[0].to_owned());
                let wins = league.against.get(&against);
                assert_eq!(
                    wins.map(String::as_str),
                    pair.get(1).copied(),
                    "{program}: {against:?}"
                );
            }
        }
    }
}

#[test]
fn the_first_program_is_ten_lines_and_its_page_shows_all_of_them() {
    let programs = programs();
    let first = &programs["first"];
    assert!(first.lines().count() <= 10, "{first}");
    let shown = format!("   {}", first.trim_end().replace('\n', "\n   "));
    assert!(page("first").contains(&format!("```\n{shown}\n```")));
}

#[test]
fn the_language_lists_every_program_with_its_length() {
    for (program, text) in programs() {
        let row = format!("| `{program}` | {} | ", text.lines().count());
        assert!(LANGUAGE.contains(&row), "{row}");
    }
}
