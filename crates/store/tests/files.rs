//! Loading and writing files as users leave them.
#![allow(
    clippy::unwrap_used,
    reason = "a test that cannot set up its files must fail"
)]

use std::fs;
use std::path::{Path, PathBuf};

use robot::PartsBox;
use store::{
    FileError, LoadError, MOST_BYTES, Problem, classes, field, load_class, load_robot, parts,
    read_text, write_folder, write_new,
};

/// A fresh folder for one test.
fn folder(test: &str) -> PathBuf {
    let path = Path::new(env!("CARGO_TARGET_TMPDIR"))
        .join("files")
        .join(test);
    drop(fs::remove_dir_all(&path));
    fs::create_dir_all(&path).unwrap();
    path
}

fn put(folder: &Path, name: &str, content: impl AsRef<[u8]>) -> String {
    let path = folder.join(name);
    fs::create_dir_all(path.parent().unwrap()).unwrap();
    fs::write(&path, content).unwrap();
    path.to_str().unwrap().to_owned()
}

fn robot_text(name: &str, tactic: &str) -> String {
    format!(
        r#"name = "{name}"
style = "pusher"
tactic = "{tactic}"
[size]
length = "98 mm"
width = "97 mm"
height = "60 mm"
[[motor]]
name = "left motor"
part = "gearmotor-small-1000"
side = "left"
at = ["0 mm", "20 mm", "15 mm"]
[[motor]]
name = "right motor"
part = "gearmotor-small-1000"
side = "right"
at = ["0 mm", "-20 mm", "15 mm"]
[[wheel]]
name = "left wheel"
part = "wheel-22-rubber"
motor = "left motor"
at = ["0 mm", "40 mm"]
[[wheel]]
name = "right wheel"
part = "wheel-22-rubber"
motor = "right motor"
at = ["0 mm", "-40 mm"]
[[skid]]
name = "foot"
part = "slide-foot"
at = ["30 mm", "0 mm"]
[battery]
part = "pack-nimh-4-small"
at = ["-20 mm", "0 mm", "20 mm"]
[driver]
part = "driver-small"
at = ["0 mm", "0 mm", "30 mm"]
[board]
part = "board-beginner"
at = ["0 mm", "0 mm", "40 mm"]
"#
    )
}

fn box_of_parts() -> PartsBox {
    parts(None).unwrap()
}

#[track_caller]
fn file_problem(error: &LoadError) -> &Problem {
    assert_eq!(
        (error.files.len(), error.issues.len()),
        (1, 0),
        "{error:#?}"
    );
    &error.files[0].problem
}

#[test]
fn a_robot_is_loaded_with_the_tactic_beside_it() {
    let here = folder("beside");
    put(&here, "mine.tactic", "my program");
    let file = put(&here, "mine.toml", robot_text("Mine", "mine.tactic"));
    let robot = load_robot(&file, &box_of_parts()).unwrap();
    assert_eq!(
        (robot.name.as_str(), robot.file.as_str()),
        ("Mine", file.as_str())
    );
    assert_eq!(robot.tactic.text, "my program");
}

#[test]
fn all_issues_come_with_the_text_they_lie_in() {
    let here = folder("issues");
    let text = robot_text("Mine", "gone.tactic").replace("\"98 mm\"", "\"98 g\"");
    let file = put(&here, "mine.toml", &text);
    let error = load_robot(&file, &box_of_parts()).unwrap_err();
    assert!(error.files.is_empty());
    let lines: Vec<u32> = error.issues.iter().map(|i| i.place.line).collect();
    assert_eq!(
        lines,
        [3, 5],
        "the missing tactic and the length in grams: {error}"
    );
    assert_eq!(error.texts[&file], text);
}

#[test]
fn a_tactic_that_cannot_be_read_is_told_together_with_the_rest() {
    let here = folder("bad-tactic");
    put(&here, "mine.tactic", [b'a', b'\n', 0xff, 0xfe]);
    let good = put(&here, "good.toml", robot_text("Mine", "mine.tactic"));
    let error = load_robot(&good, &box_of_parts()).unwrap_err();
    assert_eq!(*file_problem(&error), Problem::NotText { line: 2 });
    let bad = robot_text("Mine", "mine.tactic").replace("\"98 mm\"", "\"98 g\"");
    let bad = put(&here, "bad.toml", bad);
    let error = load_robot(&bad, &box_of_parts()).unwrap_err();
    assert_eq!((error.files.len(), error.issues.len()), (1, 1), "{error}");
}

#[test]
fn a_missing_file_gets_the_nearest_neighbour() {
    let here = folder("missing");
    put(&here, "beetle.toml", "");
    let wanted = here.join("beatle.toml");
    let error = load_robot(wanted.to_str().unwrap(), &box_of_parts()).unwrap_err();
    let near = here.join("beetle.toml").display().to_string();
    assert_eq!(
        *file_problem(&error),
        Problem::Missing {
            near: Some(near.clone())
        }
    );
    assert!(error.to_string().contains(&near), "{error}");
}

#[test]
fn folders_binaries_and_huge_files_get_plain_errors() {
    let here = folder("odd");
    let problem = |path: &str| read_text(Path::new(path)).unwrap_err().problem;
    assert_eq!(problem(here.to_str().unwrap()), Problem::Folder);
    let error = load_robot(here.to_str().unwrap(), &box_of_parts()).unwrap_err();
    assert_eq!(*file_problem(&error), Problem::Folder);
    let utf16 = put(&here, "utf16.toml", [0xff, 0xfe, b'n', 0]);
    assert_eq!(problem(&utf16), Problem::NotText { line: 1 });
    let most = usize::try_from(MOST_BYTES).unwrap();
    let largest = put(&here, "largest.toml", vec![b'#'; most]);
    assert_eq!(read_text(Path::new(&largest)).unwrap().len(), most);
    let huge = put(&here, "huge.toml", vec![b'#'; most + 1]);
    assert_eq!(problem(&huge), Problem::TooLarge);
    #[cfg(unix)]
    assert_eq!(problem("/dev/null"), Problem::NotAFile);
}

#[test]
fn every_error_says_which_file_and_what_to_do() {
    let path = PathBuf::from("some/robot.toml");
    for problem in [
        Problem::Missing { near: None },
        Problem::Missing {
            near: Some("x".into()),
        },
        Problem::Folder,
        Problem::NotAFile,
        Problem::TooLarge,
        Problem::NotText { line: 3 },
        Problem::Denied,
        Problem::Exists,
        Problem::NoFolder,
        Problem::Several(vec!["a".into(), "b".into()]),
        Problem::Other("odd".into()),
    ] {
        let error = FileError {
            path: path.clone(),
            problem,
        };
        assert!(error.to_string().contains("some/robot.toml"), "{error}");
        assert!(error.advice().len() > 10, "{error:?}");
    }
}

#[test]
fn a_byte_order_mark_is_not_part_of_the_text() {
    let here = folder("mark");
    let file = put(&here, "a.toml", "\u{feff}name = 1");
    assert_eq!(read_text(Path::new(&file)).unwrap(), "name = 1");
}

#[test]
fn a_new_file_is_written_once_and_never_over_another() {
    let here = folder("write");
    let path = here.join("new.toml");
    write_new(&path, "first").unwrap();
    let error = write_new(&path, "second").unwrap_err();
    assert_eq!(error.problem, Problem::Exists);
    assert_eq!(read_text(&path).unwrap(), "first");
    let nowhere = write_new(&here.join("no/such/new.toml"), "x").unwrap_err();
    assert_eq!(nowhere.problem, Problem::NoFolder);
    let taken = write_new(&here, "x").unwrap_err();
    assert_eq!(taken.problem, Problem::Exists);
}

#[test]
fn parts_of_the_users_folder_replace_those_of_the_same_name() {
    let home = folder("parts");
    let lead = "[slide-foot]\nkind = \"skid\"\ntitle = \"lead foot\"\nmass = \"50 g\"\n";
    put(&home, "parts/own.toml", lead);
    let ours = parts(Some(&home)).unwrap();
    assert_eq!(ours.find("slide-foot").unwrap().title, "lead foot");
    assert_eq!(ours.entries().len(), box_of_parts().entries().len());
    let broken = lead.replace("50 g", "50 mm");
    let file = put(&home, "parts/own.toml", &broken);
    let error = parts(Some(&home)).unwrap_err();
    assert_eq!(error.issues.len(), 1);
    assert_eq!(
        error.texts.into_iter().collect::<Vec<_>>(),
        [(file, broken)]
    );
}

#[test]
fn a_home_that_is_missing_or_a_file_is_an_error_but_its_subfolders_are_not() {
    let home = folder("home");
    assert_eq!(classes(Some(&home)).unwrap(), classes(None).unwrap());
    let error = parts(Some(&home.join("gone"))).unwrap_err();
    assert_eq!(*file_problem(&error), Problem::Missing { near: None });
    let file = put(&home, "file", "");
    let error = parts(Some(Path::new(&file))).unwrap_err();
    assert!(matches!(file_problem(&error), Problem::Other(_)));
}

const CLUB: &str = "title = \"Ours\"\ninherits = \"mini\"\n[sources.ours]\ntitle = \"Ours\"\n\
                    found = \"\"\ndate = \"\"\n[bout.points]\nvalue = 4\nsource = \"ours\"\n\
                    wording = \"four points\"\n";

#[test]
fn a_class_is_found_by_name_in_the_home_or_by_path() {
    let home = folder("classes");
    let file = put(&home, "classes/ours.toml", CLUB);
    let known = classes(Some(&home)).unwrap();
    assert_eq!(load_class("ours", &known).unwrap().bout.points.value, 4);
    let built_in = classes(None).unwrap();
    assert_eq!(load_class(&file, &built_in).unwrap().bout.points.value, 4);
    let error = load_class("minni", &built_in).unwrap_err();
    assert_eq!(
        *file_problem(&error),
        Problem::Missing {
            near: Some("mini".into())
        }
    );
    let broken = put(
        &home,
        "broken.toml",
        CLUB.replace("value = 4", "value = \"4 mm\""),
    );
    let error = load_class(&broken, &built_in).unwrap_err();
    assert_eq!(error.issues.len(), 1, "{error}");
    assert!(error.texts.contains_key(&broken));
}

#[test]
fn a_field_of_the_users_own_is_sorted_and_none_of_it_skipped() {
    let home = folder("field");
    put(&home, "robots/own/a.tactic", "a");
    for name in ["zebra", "ant"] {
        put(
            &home,
            &format!("robots/own/{name}.toml"),
            robot_text(name, "a.tactic"),
        );
    }
    let names =
        |robots: Vec<robot::Robot>| -> Vec<String> { robots.into_iter().map(|r| r.name).collect() };
    let robots = field("own", &box_of_parts(), Some(&home)).unwrap();
    assert_eq!(names(robots), ["ant", "zebra"]);
    let broken = robot_text("bee", "a.tactic").replace("\"98 mm\"", "\"98 g\"");
    put(&home, "robots/own/bee.toml", broken);
    let worse = robot_text("cow", "a.tactic").replace("\"97 mm\"", "\"97 g\"");
    put(&home, "robots/own/cow.toml", worse);
    let error = field("own", &box_of_parts(), Some(&home)).unwrap_err();
    assert_eq!(
        (error.issues.len(), error.texts.len()),
        (2, 2),
        "both broken ones: {error}"
    );
}

#[test]
fn an_unknown_field_is_an_error() {
    let error = field("no-such-field", &box_of_parts(), None).unwrap_err();
    assert!(matches!(file_problem(&error), Problem::Missing { .. }));
}

#[test]
fn what_comes_with_the_program_is_found_by_name() {
    let parts = box_of_parts();
    assert!(!store::robot_names().is_empty());
    for name in store::robot_names() {
        let robot = load_robot(&name, &parts).unwrap_or_else(|e| panic!("{name}: {e}"));
        assert_eq!(robot.file, format!("robots/{name}.toml"));
        assert!(!robot.tactic.text.is_empty(), "{name}");
    }
    let error = load_robot("demmo", &parts).unwrap_err();
    assert_eq!(
        *file_problem(&error),
        Problem::Missing {
            near: Some("demo".into())
        }
    );
}

#[test]
fn a_copied_robot_keeps_the_tactic_that_comes_with_the_program() {
    let here = folder("copied");
    let file = put(&here, "copy.toml", shelf::file("robots/demo.toml").unwrap());
    let (copy, demo) = (
        load_robot(&file, &box_of_parts()),
        load_robot("demo", &box_of_parts()),
    );
    assert_eq!(copy.unwrap().tactic, demo.unwrap().tactic);
}

#[test]
fn every_field_is_read_whole_and_is_legal_in_its_class() {
    let (parts, known) = (box_of_parts(), classes(None).unwrap());
    let mut illegal: Vec<String> = Vec::new();
    for name in store::field_names() {
        let robots = field(&name, &parts, None).unwrap();
        let files = shelf::files(&format!("robots/{name}"));
        assert_eq!(
            robots.len(),
            files.iter().filter(|f| f.0.ends_with(".toml")).count()
        );
        let class = load_class(&name, &known).unwrap();
        for robot in robots {
            let found = rules::inspect(&robot, &class);
            let faults = found
                .findings
                .iter()
                .filter(|f| f.severity == robot::Severity::Fault);
            illegal.extend(faults.map(|f| format!("{}: {} {}", robot.file, f.what, f.mend)));
        }
    }
    assert!(illegal.is_empty(), "{illegal:#?}");
    // Nobody has built robots of these: they can be checked, not fought.
    let alone: Vec<&str> = (known.iter())
        .filter(|c| !store::field_names().contains(&c.field))
        .map(|c| c.name.as_str())
        .collect();
    assert_eq!(alone, ["femto", "heavy-weight", "light-weight", "pico"]);
    for class in known.iter() {
        let there = store::has_field(&class.field, None).unwrap();
        assert_eq!(there, !alone.contains(&class.name.as_str()));
    }
}

#[test]
fn a_users_robot_stands_in_for_the_one_of_the_same_file_name() {
    let home = folder("replace");
    put(&home, "robots/nano/a.tactic", "a");
    let ours = field("nano", &box_of_parts(), None).unwrap();
    let first = ours[0].file.rsplit('/').next().unwrap();
    put(
        &home,
        &format!("robots/nano/{first}"),
        robot_text("Stand-in", "a.tactic"),
    );
    let robots = field("nano", &box_of_parts(), Some(&home)).unwrap();
    assert_eq!(robots.len(), ours.len());
    assert_eq!(robots[0].name, "Stand-in");
}

#[test]
fn several_files_are_written_all_or_none() {
    let here = folder("several");
    let folder = here.join("pictures");
    let files = |names: &[&str]| -> Vec<(String, String)> {
        names
            .iter()
            .map(|n| ((*n).into(), format!("text of {n}")))
            .collect()
    };
    let written = write_folder(&folder, &files(&["a.svg", "b.svg"])).unwrap();
    assert_eq!(written.len(), 2);
    assert_eq!(read_text(&folder.join("b.svg")).unwrap(), "text of b.svg");
    let error = write_folder(&folder, &files(&["c.svg", "b.svg", "a.svg"])).unwrap_err();
    assert_eq!(error.files.len(), 2, "{error:?}");
    assert!(error.files.iter().all(|e| e.problem == Problem::Exists));
    assert!(!folder.join("c.svg").exists());
    let nowhere = write_folder(&here.join("no/such"), &files(&["a.svg"])).unwrap_err();
    assert_eq!(nowhere.files[0].problem, Problem::NoFolder);
}
