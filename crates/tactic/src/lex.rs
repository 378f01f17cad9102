//! Words, numbers and signs.

use core::ops::Range;

/// A token with its place.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct Token {
    /// What.
    pub(crate) kind: Kind,
    /// Where, in bytes.
    pub(crate) span: Range<usize>,
}

/// Kinds of token.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) enum Kind {
    /// A keyword or name: letters, digits and hyphens, starting with a letter.
    Word(String),
    /// A number with its unit already applied, as the value the program works with.
    Number(i16),
    /// A number that is out of range or has an unknown unit: what is wrong with it, and the right
    /// spelling if it can be guessed.
    BadNumber(String, Option<String>),
    /// A sign.
    Sign(char),
    /// A minus that belongs to the value behind it and takes nothing from one before it.
    Negative,
    /// The end of a line that has something on it.
    Line,
    /// The end of the text.
    End,
}

/// Units and what they do to the number before them: % to per mille, deg to tenths, s and cm to
/// what is counted in, ms and mm, A to mA. A longer unit stands before one it begins with.
pub(crate) const UNITS: [(&str, f64); 9] = [
    ("%", 10.0),
    ("mm", 1.0),
    ("cm", 10.0),
    ("ms", 1.0),
    ("deg", 10.0),
    ("°", 10.0),
    ("s", 1000.0),
    ("mA", 1.0),
    ("A", 1000.0),
];

/// Splits a text into tokens. Never fails: what it does not know becomes a sign or a bad number.
pub(crate) fn tokens(text: &str) -> Vec<Token> {
    let mut out: Vec<Token> = Vec::new();
    let mut chars = text.char_indices().peekable();
    while let Some((start, c)) = chars.next() {
        if c == '#' {
            while chars.peek().is_some_and(|(_, c)| *c != '\n') {
                chars.next();
            }
        } else if c == '\n' {
            if out.last().is_some_and(|t| t.kind != Kind::Line) {
                out.push(Token {
                    kind: Kind::Line,
                    span: start..start + 1,
                });
            }
        } else if c.is_whitespace() {
        } else if c.is_alphabetic() {
            let end = run(&mut chars, text.len(), in_word);
            out.push(Token {
                kind: Kind::Word(text[start..end].to_owned()),
                span: start..end,
            });
        } else if c.is_ascii_digit() || (c == '-' && starts_number(text, start, out.last())) {
            let end = run(&mut chars, text.len(), |c| {
                c.is_ascii_digit() || c == '.' || c == '_'
            });
            let (kind, end) = number(text, start, end, &mut chars);
            out.push(Token {
                kind,
                span: start..end,
            });
        } else {
            let negative = c == '-' && starts_value(text, start, out.last());
            out.push(Token {
                kind: if negative {
                    Kind::Negative
                } else {
                    Kind::Sign(c)
                },
                span: start..start + c.len_utf8(),
            });
        }
    }
    out.push(Token {
        kind: Kind::End,
        span: text.len()..text.len(),
    });
    out
}

type Chars<'t> = core::iter::Peekable<core::str::CharIndices<'t>>;

/// Takes characters while `keep` holds; returns where it stopped.
fn run(chars: &mut Chars<'_>, length: usize, keep: impl Fn(char) -> bool) -> usize {
    while chars.peek().is_some_and(|(_, c)| keep(*c)) {
        chars.next();
    }
    chars.peek().map_or(length, |(i, _)| *i)
}

/// A minus is part of a number when a digit follows and no value stands before it.
fn starts_number(text: &str, at: usize, last: Option<&Token>) -> bool {
    let digit = text[at + 1..].starts_with(|c: char| c.is_ascii_digit());
    let value_before = matches!(
        last.map(|t| (&t.kind, t.span.end)),
        Some((Kind::Number(_) | Kind::Sign(')'), end)) if end == at
    );
    digit && !value_before
}

/// A minus belongs to the name or bracket that follows it directly when a space or nothing stands
/// before it on its line, as in `drive -cruise -cruise`, the way it does with numbers.
fn starts_value(text: &str, at: usize, last: Option<&Token>) -> bool {
    let next = text[at + 1..].chars().next();
    let apart = last.is_none_or(|t| t.span.end < at || t.kind == Kind::Line);
    apart && next.is_some_and(|c| c.is_alphabetic() || c == '(')
}

fn in_word(c: char) -> bool {
    c.is_alphanumeric() || c == '-' || c == '_'
}

/// A number and the unit behind it.
fn number(text: &str, start: usize, end: usize, chars: &mut Chars<'_>) -> (Kind, usize) {
    let digits = text[start..end].replace('_', "");
    let rest = &text[end..];
    let skipped = rest.len() - rest.trim_start_matches([' ', '\t']).len();
    let unit_text = &rest[skipped..];
    let mut scale = 1.0;
    let mut stop = end;
    let unit = UNITS.iter().find(|(unit, _)| {
        let after = unit_text.strip_prefix(unit);
        after.is_some_and(|a| *unit == "%" || !a.starts_with(in_word))
    });
    if let Some((unit, factor)) = unit {
        scale = *factor;
        stop = end + skipped + unit.len();
    } else if skipped == 0 && unit_text.starts_with(char::is_alphabetic) {
        // Written without a space it can be no name: a unit we do not have.
        stop = end + unit_text.find(|c| !in_word(c)).unwrap_or(unit_text.len());
    }
    while chars.peek().is_some_and(|(i, _)| *i < stop) {
        chars.next();
    }
    if unit.is_none() && stop > end {
        let wrong = &text[end..stop];
        let near = robot::reader::nearest(&wrong.to_lowercase(), UNITS.iter().map(|u| u.0))
            .map(|u| format!("{} {u}", &text[start..end]));
        return (
            Kind::BadNumber(format!("unknown unit \"{wrong}\""), near),
            stop,
        );
    }
    let written = &text[start..stop];
    let Ok(value) = digits.parse::<f64>() else {
        return (
            Kind::BadNumber(format!("\"{written}\" is not a number"), None),
            stop,
        );
    };
    let value = (value * scale).round();
    if value.abs() > f64::from(i16::MAX) {
        let what = format!(
            "\"{written}\" does not fit: the program counts to 32767 (% count in tenths, s in ms)"
        );
        return (Kind::BadNumber(what, None), stop);
    }
    #[allow(
        clippy::cast_possible_truncation,
        reason = "checked against the range above"
    )]
    let value = value as i16;
    (Kind::Number(value), stop)
}
