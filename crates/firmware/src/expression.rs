//! Pieces of code for the stack, as expressions that people read.

use tactic::program::{Code, Op, Program};

use crate::dialect::Dialect;

/// An expression, with what must be done before it is worked out.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct Said {
    /// Lines before it, in this order: throws of the die, which may not wait for `and` and `or`.
    pub(crate) before: Vec<String>,
    /// The expression.
    pub(crate) value: String,
}

/// How tightly an expression holds together.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
enum Bond {
    Or,
    And,
    Compared,
    Tight,
}

struct Piece {
    text: String,
    bond: Bond,
    /// What it is the opposite of, if that is shorter to say.
    opposite: Option<String>,
}

impl Piece {
    fn tight(text: String) -> Self {
        Self {
            text,
            bond: Bond::Tight,
            opposite: None,
        }
    }

    /// Its text where only what binds tighter than `than` may stand bare.
    fn inside(&self, than: Bond) -> String {
        if self.bond > than {
            self.text.clone()
        } else {
            format!("({})", self.text)
        }
    }
}

/// Whether `code` is one number, and which.
pub(crate) fn constant(program: &Program, code: Code) -> Option<i16> {
    match program.ops[usize::from(code.0)..usize::from(code.1)] {
        [Op::Push(v)] => Some(v),
        _ => None,
    }
}

/// `code` as an expression. `inputs` are the names of the readings; `thrown` counts the throws of the
/// die in a function, for names that are there once.
pub(crate) fn said(
    program: &Program,
    code: Code,
    dialect: &Dialect,
    inputs: &[String],
    thrown: &mut usize,
) -> Said {
    let mut before = Vec::new();
    let mut stack: Vec<Piece> = Vec::new();
    for op in &program.ops[usize::from(code.0)..usize::from(code.1)] {
        let piece = match *op {
            Op::Push(v) => Piece::tight(number(v, dialect)),
            Op::Counter(k) => Piece::tight(dialect.memory(&format!("counter[{k}]"))),
            Op::Sensor(k) => {
                let [from, to] = dialect.reading;
                Piece::tight(format!("{from}{}{to}", inputs[usize::from(k)]))
            }
            Op::Masked(k) => {
                let [from, to] = dialect.reading;
                let mask = program.masks[usize::from(k)];
                let input = &inputs[usize::from(mask.sensor)];
                let blank = number(mask.blank, dialect);
                Piece::tight(format!(
                    "{}masked({k}, {from}{input}{to}, {blank})",
                    dialect.own
                ))
            }
            Op::Timer(k) => Piece::tight(format!("{}shown({k})", dialect.own)),
            Op::Held(k) => Piece::tight(format!("{}held({k})", dialect.own)),
            Op::Not => opposite(&taken(&mut stack), dialect),
            Op::Chance => {
                let odds = taken(&mut stack).text;
                let name = format!("thrown_{}", *thrown);
                *thrown += 1;
                let (keep, own, end) = (dialect.keep, dialect.own, dialect.end);
                before.push(format!("{keep}{name} = {own}chance({odds}){end}"));
                Piece::tight(name)
            }
            Op::Add => call("add", &mut stack, 2),
            Op::Sub => call("subtract", &mut stack, 2),
            Op::Mul => call("times", &mut stack, 2),
            Op::Div => call("quotient", &mut stack, 2),
            Op::Share => call("share", &mut stack, 3),
            Op::Less => compared("<", ">=", &mut stack),
            Op::More => compared(">", "<=", &mut stack),
            Op::Same => compared("==", "!=", &mut stack),
            Op::And => joined(dialect.and, Bond::And, &mut stack),
            Op::Or => joined(dialect.or, Bond::Or, &mut stack),
        };
        stack.push(piece);
    }
    Said {
        before,
        value: taken(&mut stack).text,
    }
}

/// A number as it is written.
pub(crate) fn number(v: i16, dialect: &Dialect) -> String {
    if v == i16::MIN {
        dialect.least.into()
    } else {
        v.to_string()
    }
}

/// The compiler leaves no stack empty; an empty piece would be no program, and its test would say so.
fn taken(stack: &mut Vec<Piece>) -> Piece {
    stack.pop().unwrap_or_else(|| Piece::tight(String::new()))
}

fn call(function: &str, stack: &mut Vec<Piece>, n: usize) -> Piece {
    let at = stack.len().saturating_sub(n);
    let handed: Vec<String> = stack.drain(at..).map(|p| p.text).collect();
    Piece::tight(format!("{function}({})", handed.join(", ")))
}

fn compared(sign: &str, not: &str, stack: &mut Vec<Piece>) -> Piece {
    let (b, a) = (taken(stack), taken(stack));
    Piece {
        text: format!("{} {sign} {}", a.text, b.text),
        bond: Bond::Compared,
        opposite: Some(format!("{} {not} {}", a.text, b.text)),
    }
}

/// Brackets also where `and` stands in `or`: what C's compilers and readers ask for.
fn joined(word: &str, bond: Bond, stack: &mut Vec<Piece>) -> Piece {
    let (b, a) = (taken(stack), taken(stack));
    let side = |p: &Piece| {
        if p.bond == bond {
            p.text.clone()
        } else {
            p.inside(Bond::And)
        }
    };
    Piece {
        text: format!("{}{word}{}", side(&a), side(&b)),
        bond,
        opposite: None,
    }
}

fn opposite(piece: &Piece, dialect: &Dialect) -> Piece {
    match &piece.opposite {
        Some(text) => Piece {
            text: text.clone(),
            bond: Bond::Compared,
            opposite: Some(piece.text.clone()),
        },
        None => Piece::tight(format!("{}{}", dialect.not, piece.inside(Bond::Compared))),
    }
}
