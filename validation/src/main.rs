//! `validation engines`: this solver, MuJoCo and Rapier side by side; and other long checks.

use std::path::Path;
use std::process::ExitCode;

use validation::engines::{self, Wanted};
use validation::{blade_height, frames, half_step, league, mass};

const USAGE: &str = "\
validation engines [--write] [--quick] [--pairings]
    The reference scene in this solver, MuJoCo and Rapier. Ends with 1 where a target is missed or
    an engine is absent. --write puts the table into engines/table.md; --quick does without Rapier
    and compares with a single setting of MuJoCo, without whole and wild bouts; --pairings only
    lets blunt robots push each other in eight open-loop pairings.

validation half-step [--bouts N]
    What half the solver's step changes in ten pairings of several classes, N bouts each (2000). Ends
    with 1 where a change is beyond sampling error. Takes a quarter of an hour.

validation blade-height [--write]
    Share of head-on meetings in which the lower blade gets under, against the difference of heights,
    at the step and at half of it, beside what the declared spreads predict. Ends with 1 where they do
    not agree. --write puts table and picture into docs. Takes two minutes.

validation frames
    Deflections and modes of 200 random frames each, and sections, beside the Python packages PyNite,
    scipy and sectionproperties. Ends with 1 where they differ by more than the targets or a package is
    absent. RINGWRIGHT_PYTHON may name the Python that has them.

validation mass
    Mass, centre and inertia of a hundred random robots beside the meshes of the Python package trimesh.
    Ends with 1 where they differ by more than the target or the package is absent.

validation league CLASS ... [--bouts N] [--seed N] [--home FOLDER]
    Everyone of a class's field against everyone, N bouts a pair from both seats (200), each pair with
    draws of its own: win shares, who clearly beats whom, who is beaten by nobody, circles; with
    several classes a table of them at the end. FOLDER has robots/FIELD/ of your own.";

/// The words behind `league` in the call.
fn league(words: &[&str]) -> Result<bool, String> {
    let first = words.iter().position(|w| w.starts_with("--"));
    let (classes, flags) = words.split_at(first.unwrap_or(words.len()));
    if classes.is_empty() {
        return Err(format!("Which class?\n{USAGE}"));
    }
    let mut wanted = league::Wanted {
        class: classes[0],
        bouts: 200,
        seed: 1,
        home: None,
    };
    for pair in flags.chunks(2) {
        let number = |text: &str| text.parse().map_err(|e| format!("{text}: {e}"));
        match *pair {
            ["--bouts", text] => {
                let bouts: u64 = number(text)?;
                wanted.bouts = u32::try_from(bouts).map_err(|e| format!("{text}: {e}"))?;
            }
            ["--seed", text] => wanted.seed = number(text)?,
            ["--home", folder] => wanted.home = Some(Path::new(folder)),
            _ => return Err(format!("{} is not known.\n{USAGE}", pair.join(" "))),
        }
    }
    league::run(classes, wanted).map(|()| true)
}

fn run(words: &[&str]) -> Result<bool, String> {
    match words {
        ["engines", flags @ ..] => {
            let mut wanted = Wanted::default();
            for flag in flags {
                match *flag {
                    "--write" => wanted.write = true,
                    "--quick" => wanted.quick = true,
                    "--pairings" => wanted.pairings = true,
                    other => return Err(format!("{other} is not known.\n{USAGE}")),
                }
            }
            engines::run(wanted)
        }
        ["league", words @ ..] => league(words),
        ["frames"] => frames::run(),
        ["mass"] => mass::run(),
        ["blade-height"] => blade_height::run(false),
        ["blade-height", "--write"] => blade_height::run(true),
        ["half-step"] => half_step::run(half_step::BOUTS),
        ["half-step", "--bouts", text] => {
            half_step::run(text.parse().map_err(|e| format!("{text}: {e}"))?)
        }
        // What `engines` times: it runs itself as it runs the others.
        ["scramble", passes] => {
            let passes = passes.parse().map_err(|e| format!("{passes}: {e}"))?;
            for seconds in engines::scramble(passes)? {
                println!("{seconds:.9}");
            }
            Ok(true)
        }
        _ => Err(USAGE.into()),
    }
}

fn main() -> ExitCode {
    let words: Vec<String> = std::env::args().skip(1).collect();
    let words: Vec<&str> = words.iter().map(String::as_str).collect();
    match run(&words) {
        Ok(true) => ExitCode::SUCCESS,
        Ok(false) => ExitCode::FAILURE,
        Err(e) => {
            eprintln!("{e}");
            ExitCode::FAILURE
        }
    }
}
