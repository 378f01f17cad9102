//! What is wrong with a line that is no TOML, in plain words.

use core::ops::Range;

use toml::de::Error;

/// A line that could not be read.
pub(super) struct Slip {
    pub(super) span: Range<usize>,
    pub(super) what: String,
    pub(super) expected: String,
    pub(super) suggestion: Option<String>,
    /// The line itself is in order, but what it says is said already.
    pub(super) duplicate: bool,
}

const LINE: &str = "a line such as key = \"value\", a [section], or a # remark";
const CURLY: [char; 4] = ['\u{201c}', '\u{201d}', '\u{2018}', '\u{2019}'];

/// One slip for each line the parser stumbled over.
pub(super) fn slips(text: &str, errors: &[Error]) -> Vec<Slip> {
    let mut slips: Vec<Slip> = Vec::new();
    let mut lines: Vec<usize> = Vec::new();
    // Where sections begin that were written twice: all in them is written twice.
    let mut repeated: Vec<usize> = Vec::new();
    for e in errors {
        let span = e.span().unwrap_or(0..0);
        let at = boundary(text, span.start);
        let (start, line) = line_around(text, at);
        if lines.contains(&start) {
            continue;
        }
        lines.push(start);
        let duplicate = e.message().contains("duplicate");
        if duplicate && line.trim_start().starts_with('[') {
            repeated.push(start);
        } else if duplicate && repeated.contains(&header_before(text, start)) {
            continue;
        }
        let (what, expected, suggestion) = explain(line, e.message());
        slips.push(Slip {
            span: at..boundary(text, span.end).max(at),
            what,
            expected,
            suggestion,
            duplicate,
        });
    }
    slips
}

/// What is wrong, what was expected, and the line as it was probably meant.
fn explain(line: &str, message: &str) -> (String, String, Option<String>) {
    let line = line.trim();
    let bare = code_of(line).trim_end();
    let key = bare.split('=').next().unwrap_or_default().trim();
    if message.contains("duplicate") {
        if bare.starts_with('[') {
            let what = format!("a second {bare}");
            return (what, format!("{bare} once, all of it together"), None);
        }
        let what = format!("\"{key}\" is written twice");
        return (what, "each key once in a section".into(), None);
    }
    if bare.starts_with('[') && !bare.contains('=') {
        let name = bare.trim_matches(|c: char| c == '[' || c == ']' || c.is_whitespace());
        let (open, close) = if bare.starts_with("[[") {
            ("[[", "]]")
        } else {
            ("[", "]")
        };
        let right = format!("{open}{name}{close}");
        let what = "this section begins with brackets that do not fit";
        return (what.into(), right.clone(), (right != bare).then_some(right));
    }
    if bare.contains(CURLY) {
        let expected = "plain quotes: \"…\"";
        return (
            "curly quotes".into(),
            expected.into(),
            Some(line.replace(CURLY, "\"")),
        );
    }
    let Some((_, value)) = bare.split_once('=') else {
        let what = "this line is no key with a value";
        let colon = bare.split_once(':').map(|(k, v)| {
            let (k, v) = (k.trim(), v.trim());
            format!("{k} = {v}")
        });
        let remark = || (!bare.is_empty()).then(|| format!("# {line}"));
        return (what.into(), LINE.into(), colon.or_else(remark));
    };
    let value = value.trim();
    let quoted = format!("a text in quotes: {key} = \"…\"");
    if value.matches('"').count() == 1 {
        let (what, right) = if let Some(rest) = value.strip_prefix('"') {
            ("the quote at the end is missing", format!("\"{rest}\""))
        } else {
            let rest = value.trim_end_matches('"');
            (
                "the quote at the beginning is missing",
                format!("\"{rest}\""),
            )
        };
        return (what.into(), quoted, Some(format!("{key} = {right}")));
    }
    if value.is_empty() {
        return (format!("\"{key}\" has no value"), quoted, None);
    }
    let list = value.starts_with('[') || value.starts_with('{');
    if !value.contains('"') && !value.contains('\'') && !list {
        let right = format!("{key} = \"{value}\"");
        return ("the quotes are missing".into(), quoted, Some(right));
    }
    (
        format!("this line cannot be read: {message}"),
        LINE.into(),
        None,
    )
}

/// The line without the remark at its end.
fn code_of(line: &str) -> &str {
    let mut quoted = false;
    for (i, c) in line.char_indices() {
        match c {
            '"' => quoted = !quoted,
            '#' if !quoted => return &line[..i],
            _ => {}
        }
    }
    line
}

fn boundary(text: &str, at: usize) -> usize {
    let mut at = at.min(text.len());
    while !text.is_char_boundary(at) {
        at -= 1;
    }
    at
}

/// The line around a place, and where it starts.
fn line_around(text: &str, at: usize) -> (usize, &str) {
    let start = text[..at].rfind('\n').map_or(0, |i| i + 1);
    let end = text[at..].find('\n').map_or(text.len(), |i| at + i);
    (start, &text[start..end])
}

/// Where the header of the section around `start` begins.
fn header_before(text: &str, start: usize) -> usize {
    let mut at = start;
    while at > 0 {
        let (begins, line) = line_around(text, at - 1);
        if line.trim_start().starts_with('[') {
            return begins;
        }
        at = begins;
    }
    0
}
