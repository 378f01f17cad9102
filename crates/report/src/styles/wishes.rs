//! The six questions before there is a robot, and what their answers mean.

use quantity::Length;
use rules::{Class, Classes};

use crate::setting::Trouble;

/// One question.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Question {
    /// The option that answers it.
    pub option: &'static str,
    /// The question as a person is asked it.
    pub ask: &'static str,
    /// What can be answered.
    pub answers: &'static str,
    /// The answer taken when a person just presses return.
    pub usual: &'static str,
}

/// The questions, in the order in which they are asked.
pub const QUESTIONS: [Question; 6] = [
    Question {
        option: "class",
        ask: "Which class do you build for?",
        answers: "a class that `ringwright classes` lists, or a class file",
        usual: "mini",
    },
    Question {
        option: "parts",
        ask: "What may you build from?",
        answers: "starter (only the starter kit) or free (anything in the parts box)",
        usual: "free",
    },
    Question {
        option: "money",
        ask: "How much may it cost, in the money of the parts box?",
        answers: "a number, or any",
        usual: "any",
    },
    Question {
        option: "evenings",
        ask: "How many evenings are there until the event?",
        answers: "a whole number from 1 to 400",
        usual: "15",
    },
    Question {
        option: "experience",
        ask: "How many robots have you built and programmed?",
        answers: "none, some or many",
        usual: "none",
    },
    Question {
        option: "ring",
        ask: "What is the diameter of the ring you will fight on?",
        answers: "a length with its unit, such as 77 cm, or class (what the class says)",
        usual: "class",
    },
];

/// How many robots somebody has built.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Experience {
    /// The first.
    None,
    /// One or two, or others like it.
    Some,
    /// They do this every year.
    Many,
}

/// Where parts may come from.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Source {
    /// Only parts with the tag of the starter kit.
    Starter,
    /// Anything in the parts box.
    Free,
}

/// The answers, understood.
#[derive(Debug, Clone)]
pub struct Wishes {
    /// The class, with the ring that will be fought on.
    pub class: Class,
    /// Where parts may come from.
    pub source: Source,
    /// Most it may cost; none: any.
    pub money: Option<f64>,
    /// Evenings there are.
    pub evenings: u32,
    /// How many robots the builder has built.
    pub experience: Experience,
    /// Whether the ring is not the class's own.
    pub own_ring: bool,
    /// The answers as given, to be printed in commands.
    pub(crate) given: [String; 6],
}

/// Smallest and largest ring that makes sense, m.
const RINGS_M: [f64; 2] = [0.1, 5.0];
/// Most evenings anybody counts.
const MOST_EVENINGS: u32 = 400;

impl Question {
    /// Whether `answer` answers it, and what is wrong if it does not.
    ///
    /// # Errors
    /// What was expected.
    pub fn check(&self, answer: &str, classes: &Classes) -> Result<(), String> {
        let wrong = |detail: &str| {
            Err(format!(
                "\"{answer}\" does not answer --{}: expected {}.{detail}",
                self.option, self.answers
            ))
        };
        match self.option {
            "class" => match crate::setting::class_named(answer, classes) {
                Ok(_) => Ok(()),
                Err(Trouble::Class(e)) => wrong(
                    &e.nearest
                        .map_or(String::new(), |n| format!(" Did you mean {n}?")),
                ),
                Err(_) => wrong(""),
            },
            "parts" if source(answer).is_none() => wrong(""),
            "money" if money(answer).is_none() => wrong(""),
            "evenings" if evenings(answer).is_none() => wrong(""),
            "experience" if experience(answer).is_none() => wrong(""),
            "ring" => match ring(answer) {
                Ok(_) => Ok(()),
                Err(detail) => wrong(&detail),
            },
            _ => Ok(()),
        }
    }
}

fn source(answer: &str) -> Option<Source> {
    match answer {
        "starter" => Some(Source::Starter),
        "free" => Some(Source::Free),
        _ => None,
    }
}

/// None: no answer; none inside: any.
fn money(answer: &str) -> Option<Option<f64>> {
    if answer == "any" {
        return Some(None);
    }
    let number: f64 = answer.parse().ok()?;
    (number.is_finite() && number > 0.0).then_some(Some(number))
}

fn evenings(answer: &str) -> Option<u32> {
    let number: u32 = answer.parse().ok()?;
    (1..=MOST_EVENINGS).contains(&number).then_some(number)
}

fn experience(answer: &str) -> Option<Experience> {
    match answer {
        "none" => Some(Experience::None),
        "some" => Some(Experience::Some),
        "many" => Some(Experience::Many),
        _ => None,
    }
}

/// Diameter in m; none: the class's.
fn ring(answer: &str) -> Result<Option<f64>, String> {
    if answer == "class" {
        return Ok(None);
    }
    let Ok(figure) = quantity::parse::<Length>(answer) else {
        return Err(String::new());
    };
    let m = figure.si;
    if (RINGS_M[0]..=RINGS_M[1]).contains(&m) {
        return Ok(Some(m));
    }
    // A unit mistaken by a thousand is the likeliest slip.
    let meant = [1e3, 1e-3].map(|by| m * by);
    let meant = meant
        .into_iter()
        .find(|m| (RINGS_M[0]..=RINGS_M[1]).contains(m));
    let meant = meant.map_or(String::new(), |m| {
        format!(" Did you mean {}?", quantity::show_si::<Length>(m))
    });
    Err(format!(" A ring measures 10 cm to 5 m.{meant}"))
}

impl Wishes {
    /// What six answers, in the order of [`QUESTIONS`], mean.
    ///
    /// # Errors
    /// Every answer that is none, at once.
    pub fn of(answers: &[String; 6], classes: &Classes) -> Result<Self, Trouble> {
        let wrong: Vec<String> = (QUESTIONS.iter().zip(answers))
            .filter_map(|(q, a)| q.check(a, classes).err())
            .collect();
        let [class, parts, cash, time, built, wide] = answers;
        let understood = || {
            Some((
                source(parts)?,
                money(cash)?,
                evenings(time)?,
                experience(built)?,
                ring(wide).ok()?,
            ))
        };
        let Some((source, money, evenings, experience, ring_m)) = understood() else {
            return Err(Trouble::Call(wrong.join("\n")));
        };
        if !wrong.is_empty() {
            return Err(Trouble::Call(wrong.join("\n")));
        }
        let mut class = crate::setting::class_named(class, classes)?;
        if let Some(m) = ring_m {
            // Start lines move with the ring, as they do from class to class.
            let by = m / class.ring.diameter_m.value;
            class.ring.diameter_m.value = m;
            class.ring.start_line_m.value *= by;
        }
        Ok(Self {
            class,
            source,
            money,
            evenings,
            experience,
            own_ring: ring_m.is_some(),
            given: answers.clone(),
        })
    }

    /// The options that ask the same again.
    pub(crate) fn options(&self) -> String {
        (QUESTIONS.iter().zip(&self.given))
            .map(|(q, a)| format!(" --{} {}", q.option, crate::setting::quoted(a)))
            .collect()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn answers(texts: [&str; 6]) -> Result<Wishes, Trouble> {
        let classes = Classes::built_in().expect("they read");
        Wishes::of(&texts.map(str::to_owned), &classes)
    }

    #[test]
    fn the_usual_answers_are_answers() {
        let usual = QUESTIONS.map(|q| q.usual);
        let wishes = answers(usual).expect("they are understood");
        assert_eq!(wishes.class.name, "mini");
        assert_eq!((wishes.money, wishes.experience), (None, Experience::None));
        assert!(!wishes.own_ring);
    }

    #[test]
    fn every_answer_that_is_none_is_told_at_once_with_its_option() {
        let Err(Trouble::Call(words)) = answers(["minni", "bricks", "-3", "0", "lots", "77"])
        else {
            panic!("they are no answers");
        };
        for option in QUESTIONS.map(|q| q.option) {
            assert!(words.contains(&format!("--{option}:")), "{option}: {words}");
        }
        assert!(words.contains("Did you mean mini?"), "{words}");
        assert_eq!(words.lines().count(), 6);
    }

    #[test]
    fn a_ring_of_another_size_moves_the_start_lines_with_it() {
        let plain = answers(["mini", "free", "any", "9", "some", "class"]).expect("understood");
        let half = answers(["mini", "free", "any", "9", "some", "38.5 cm"]).expect("understood");
        let line = |w: &Wishes| w.class.ring.start_line_m.value;
        assert!((line(&half) - 0.5 * line(&plain)).abs() < 1e-12);
        assert!((half.class.ring().diameter_m - 0.385).abs() < 1e-12 && half.own_ring);
    }

    #[test]
    fn a_ring_a_thousand_times_too_wide_or_narrow_gets_the_right_one() {
        for slip in ["770 m", "0.77 mm"] {
            let Err(Trouble::Call(words)) = answers(["mini", "free", "any", "9", "some", slip])
            else {
                panic!("{slip} is no ring");
            };
            assert!(words.contains("Did you mean 770 mm?"), "{words}");
        }
    }
}
