//! A commented robot file to start from, with its program.
//!
//! It is the sound robot of that style in the class's own field, under a new name, with a word of
//! explanation before each kind of section. It reads, is legal and fights; what makes it better is
//! for its builder to find out.

use rules::Class;

use crate::setting::Trouble;

/// Styles a start can be made in, with the program of the field's robots of that style.
const PROGRAMS: [(&str, &str); 4] = [
    ("pusher", "pusher.tactic"),
    ("dodger", "dodger.tactic"),
    ("trickster", "trickster.tactic"),
    ("all-rounder", "allrounder.tactic"),
];

/// Names of the styles.
pub const STYLES: [&str; 4] = ["pusher", "dodger", "trickster", "all-rounder"];

/// What is said before the first section of a kind.
const SECTIONS: [(&str, &str); 15] = [
    (
        "[size]",
        "The room it takes as it stands at the start: what the template at the event measures.",
    ),
    (
        "[[hull]]",
        "What an opponent touches and sees: convex pieces, each from a lower to an upper height. \
         Places are x forward, y left, z up, from the middle of the footprint on the ring.",
    ),
    (
        "[[part]]",
        "Parts that only have mass and place. `ringwright parts` lists the parts box; weigh your \
         own and write mass = \"43 +- 1 g\".",
    ),
    (
        "[[motor]]",
        "Motors with the gearbox they are sold with, figures at the output shaft. Measure the pull \
         at standstill: shop pages promise too much. Caution: a stalled motor crushes fingers.",
    ),
    (
        "[[wheel]]",
        "Wheels. The grip of the tyre decides who pushes whom: measure it with a luggage scale. \
         \"0.9 +- 0.1 ~ 0.12\" means: not known better than 0.1, varies by 0.12 from bout to bout.",
    ),
    (
        "[[track]]",
        "Tracks, one for each side. A longer one holds better against being turned and turns worse \
         itself. Caution: belts draw fingers in at the sprockets.",
    ),
    ("[[skid]]", "Feet that slide on the ring."),
    (
        "[[magnet]]",
        "Magnets that press it down on a steel ring. Caution: strong magnets crush fingers and harm \
         pacemakers.",
    ),
    (
        "[blade]",
        "The blade: whose edge is lower gets under the other. tip-height is measured with all \
         wheels down; 0 stands on its edge. Caution: keep its edge blunt enough for your event's \
         rules, and cover it when you carry the robot.",
    ),
    (
        "[[gadget]]",
        "Lifters, jacks, flaps and arms: the program calls them by name and sends them to their \
         ends. Caution: they pinch and start without warning; power off before you reach in.",
    ),
    (
        "[battery]",
        "The pack. Caution: lithium packs burn when pierced or charged wrongly; follow your \
         event's and your school's rules.",
    ),
    (
        "[driver]",
        "The motor driver: what it limits, no motor gets.",
    ),
    (
        "[board]",
        "The controller board: how often the program runs.",
    ),
    (
        "[[sensor]]",
        "Sensors, by the names the program uses. Distance sensors look along their facing, to the \
         left positive; edge sensors look down.",
    ),
    ("[put-down]", "How exactly you put it down by hand."),
];

/// Robot file and program (name and text each) of a start called `name` in `style` for `class`;
/// `stem` names both files.
///
/// # Errors
/// An unknown style, a style the class's field does not have, an empty name.
pub fn starting_files(
    name: &str,
    style: &str,
    class: &Class,
    stem: &str,
) -> Result<[(String, String); 2], Trouble> {
    if let Some(trouble) = names_trouble(name, stem) {
        return Err(trouble);
    }
    let Some((_, program)) = PROGRAMS.iter().find(|p| p.0 == style) else {
        let near = robot::reader::nearest(style, STYLES);
        let near = near.map_or(String::new(), |n| format!(" Did you mean \"{n}\"?"));
        return Err(Trouble::Call(format!(
            "There is no style \"{style}\".{near} The styles are {}.",
            STYLES.join(", ")
        )));
    };
    let folder = format!("robots/{}", class.field);
    let all = shelf::files(&folder);
    let uses = |text: &str, program: &str| text.contains(&format!("tactic = \"{program}\""));
    let Some((_, text)) = all.iter().find(|(_, text)| uses(text, program)) else {
        let there: Vec<&str> = PROGRAMS
            .iter()
            .filter(|p| all.iter().any(|(_, text)| uses(text, p.1)))
            .map(|p| p.0)
            .collect();
        return Err(Trouble::Call(format!(
            "The class {} has no start of the style \"{style}\"; it has {}.",
            class.name,
            there.join(", ")
        )));
    };
    let tactic = shelf::file(&format!("robots/tactics/{program}")).unwrap_or_default();
    let robot = rewritten(text, name, class, program, stem);
    let tactic = format!(
        "# The program of {name}. The language is explained in docs/tactic-language.md.\n{}",
        without_first_comment(&tactic)
    );
    Ok([
        (format!("{stem}.toml"), robot),
        (format!("{stem}.tactic"), tactic),
    ])
}

fn without_first_comment(text: &str) -> String {
    let rest: Vec<&str> = text.lines().skip_while(|l| l.starts_with('#')).collect();
    format!("{}\n", rest.join("\n"))
}

/// The file under its new name, with its words before each kind of section.
fn rewritten(text: &str, name: &str, class: &Class, program: &str, stem: &str) -> String {
    let mut out = String::new();
    let mut within = false;
    for line in text.lines().skip_while(|l| l.starts_with('#')) {
        within |= line.starts_with('[');
        let line = if line.starts_with("name = ") && !within {
            format!("name = \"{name}\"")
        } else if line.starts_with("class = ") {
            format!("class = \"{}\"", class.name)
        } else if line.starts_with("tactic = ") {
            line.replace(program, &format!("{stem}.tactic"))
        } else {
            line.to_owned()
        };
        out.push_str(&line);
        out.push('\n');
    }
    let head = heading(name, &class.title, stem);
    format!("{head}{}", commented(&out))
}

/// What stands above a robot file to start from.
pub(crate) fn heading(name: &str, class_title: &str, stem: &str) -> String {
    format!(
        "# {name}: a robot for the class {class_title}. Change one thing at a time and ask again:\n#   \
         ringwright report {stem}.toml\n# Every quantity has its unit. Two kinds of spread: \
         \"43 +- 1 mm\" is not known better,\n# \"0.9 ~ 0.1\" varies from bout to bout.\n"
    )
}

/// A robot file with a word of explanation before the first section of each kind.
pub(crate) fn commented(text: &str) -> String {
    let mut out = String::new();
    let mut told: Vec<&str> = Vec::new();
    for line in text.lines() {
        if let Some((header, words)) = SECTIONS.iter().find(|s| line.trim() == s.0)
            && !told.contains(header)
        {
            told.push(header);
            for l in crate::text::wrap(words, 96) {
                out.push_str(&format!("# {l}\n"));
            }
        }
        out.push_str(line);
        out.push('\n');
    }
    out
}

/// What is wrong with the names of a robot and of its files, if anything is.
pub(crate) fn names_trouble(name: &str, stem: &str) -> Option<Trouble> {
    let unwritable = |word: &str| {
        word.trim().is_empty() || word.chars().any(|c| c.is_control() || "\"\\".contains(c))
    };
    (unwritable(name) || unwritable(stem)).then(|| {
        Trouble::Call("A robot and its file need names, without quotes and backslashes.".into())
    })
}

#[cfg(test)]
mod tests {
    use robot::PartsBox;
    use rules::Classes;

    use super::*;

    #[test]
    fn every_start_reads_is_legal_and_its_program_fits() {
        let parts = PartsBox::built_in().expect("it reads");
        let classes = Classes::built_in().expect("they read");
        let mut made = 0;
        for class in ["mini", "mega", "micro", "nano"] {
            let class = classes.find(class).expect("it is there");
            for style in STYLES {
                let Ok([(_, robot), (_, tactic)]) = starting_files("Newt", style, class, "newt")
                else {
                    panic!("no {style} to start from in {}", class.name);
                };
                made += 1;
                let lookup = |name: &str| (name == "newt.tactic").then(|| tactic.clone());
                let robot = robot::read("newt.toml", &robot, &parts, &lookup)
                    .unwrap_or_else(|e| panic!("{e:#?}"));
                assert_eq!(robot.name, "Newt");
                assert!(rules::inspect(&robot, class).legal());
                assert!(crate::setting::tactic_of(&robot).is_ok());
            }
        }
        assert_eq!(made, 4 * STYLES.len());
    }

    #[test]
    fn a_slip_in_the_style_gets_the_nearest() {
        let classes = Classes::built_in().expect("they read");
        let mini = classes.find("mini").expect("it is there");
        match starting_files("Newt", "dogder", mini, "newt") {
            Err(Trouble::Call(words)) => assert!(words.contains("\"dodger\""), "{words}"),
            other => panic!("{other:?}"),
        }
        assert!(starting_files("a\"b", "dodger", mini, "newt").is_err());
        assert!(starting_files("Newt", "dodger", mini, "a\"b").is_err());
    }
}
