//! A tactic written evenly: same words, same remarks, one way of spacing.

use crate::lex::{Kind, Token, tokens};

/// Spaces for each brace that is open.
const INDENT: usize = 2;
/// Open braces that are indented for: the language nests three. A text with a mistake may open thousands, and
/// would grow with the square of them.
const DEEPEST: usize = 8;

/// `text` with even spacing: two spaces for each open brace, one between words, `90 %` and not `90%`, a
/// remark `# so`, at most one empty line in a row. Nothing else changes: the words and signs are the same
/// in the same lines, so that the tactic means what it meant. Formatting what it gives changes nothing.
///
/// Also texts with mistakes are formatted, as far as lines go.
#[must_use]
pub fn format(text: &str) -> String {
    let all = tokens(text);
    let mut out = String::new();
    let mut depth = 0_usize;
    // An empty line waits until something follows that it may stand before.
    let mut gap = false;
    let mut opened = true;
    let mut start = 0;
    let mut rest = all.as_slice();
    for line in text.split('\n') {
        let end = start + line.len();
        let (here, behind) = rest.split_at(rest.partition_point(|t| t.span.start < end));
        rest = behind;
        let on_line: Vec<&Token> = (here.iter())
            .filter(|t| !matches!(t.kind, Kind::Line | Kind::End))
            .collect();
        let after = on_line.last().map_or(start, |t| t.span.end);
        let remark = text[after..end].find('#').map(|at| &text[after + at..end]);
        start = end + 1;
        if on_line.is_empty() && remark.is_none() {
            gap = true;
            continue;
        }
        let closes = on_line.first().is_some_and(|t| t.kind == Kind::Sign('}'));
        if gap && !opened && !closes {
            out.push('\n');
        }
        gap = false;
        let level = depth - usize::from(closes && depth > 0);
        for _ in 0..level.min(DEEPEST) * INDENT {
            out.push(' ');
        }
        let words = spaced(text, &on_line);
        out.push_str(&words);
        if let Some(remark) = remark {
            if !words.is_empty() {
                out.push_str("  ");
            }
            out.push_str(&even(remark));
        }
        out.push('\n');
        for t in &on_line {
            match t.kind {
                Kind::Sign('{') => depth += 1,
                Kind::Sign('}') => depth = depth.saturating_sub(1),
                _ => {}
            }
        }
        opened = on_line.last().is_some_and(|t| t.kind == Kind::Sign('{'));
    }
    out
}

/// A remark with a space behind its `#`.
fn even(remark: &str) -> String {
    let remark = remark.trim_end();
    let signs = remark.len() - remark.trim_start_matches('#').len();
    let (signs, words) = remark.split_at(signs);
    if words.is_empty() || words.starts_with(char::is_whitespace) {
        remark.to_owned()
    } else {
        format!("{signs} {words}")
    }
}

/// The tokens of a line with even spaces; as they were written where that would make other tokens.
fn spaced(text: &str, line: &[&Token]) -> String {
    let mut out = String::new();
    for (k, t) in line.iter().enumerate() {
        let before = k.checked_sub(1).map(|k| line[k]);
        let tight = k > 1 && takes_nothing(line[k - 2], line[k - 1]);
        if before.is_some_and(|b| apart(b, t, text)) && !tight {
            out.push(' ');
        }
        out.push_str(&written(text, t));
    }
    // A minus that takes nothing away is the same with and without a space before it.
    let plain = |k: &Kind| match k {
        Kind::Negative => Kind::Sign('-'),
        other => other.clone(),
    };
    let ours = tokens(&out);
    let same = ours.len() == line.len() + 1
        && (ours.iter().zip(line)).all(|(a, b)| plain(&a.kind) == plain(&b.kind));
    match (line.first(), line.last()) {
        (Some(first), Some(last)) if !same => text[first.span.start..last.span.end].to_owned(),
        _ => out,
    }
}

/// Whether `minus` is one, behind a sign behind which nothing can be taken away from.
fn takes_nothing(before: &Token, minus: &Token) -> bool {
    minus.kind == Kind::Sign('-')
        && matches!(
            before.kind,
            Kind::Sign('(' | ',' | '+' | '-' | '*' | '/' | '<' | '>' | '=' | ':')
        )
}

/// A token as it is written: a number with a space before its unit.
fn written(text: &str, token: &Token) -> String {
    let raw = &text[token.span.clone()];
    if !matches!(token.kind, Kind::Number(_)) {
        return raw.to_owned();
    }
    let digits = raw.trim_end_matches(|c: char| c.is_alphabetic() || c == '%' || c == '°');
    let unit = &raw[digits.len()..];
    if unit.is_empty() {
        raw.to_owned()
    } else {
        format!("{} {unit}", digits.trim_end())
    }
}

/// Whether a space stands between `a` and `b`.
fn apart(a: &Token, b: &Token, text: &str) -> bool {
    match (&a.kind, &b.kind) {
        (Kind::Negative | Kind::Sign('('), _) => false,
        (_, Kind::Sign(')' | ',' | ':')) => false,
        (Kind::Word(w), Kind::Sign('(')) => w != "share" || text[a.span.end..].starts_with(" ("),
        _ => true,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn spaces_and_empty_lines_are_evened_out_and_nothing_else() {
        let rough = "\n\n#so\nstate a{\n\n\n   go b  when   centre sees within 15cm and not( x>3 )\n\
                     drive -100% -cruise for 120ms#back\n\n\n\nfollow {\ncentre sees :wait\n}\n\n}\n\n\nstate b { wait }";
        let even = "# so\nstate a {\n  go b when centre sees within 15 cm and not (x > 3)\n  \
                    drive -100 % -cruise for 120 ms  # back\n\n  follow {\n    centre sees: wait\n  }\n}\n\n\
                    state b { wait }\n";
        assert_eq!(format(rough), even);
    }

    #[test]
    fn what_a_minus_means_stays() {
        for (rough, even) in [
            ("set n = a-b", "set n = a-b\n"),
            ("set n = a -b", "set n = a -b\n"),
            ("set n = a - b", "set n = a - b\n"),
            ("set n = 3-5", "set n = 3 - 5\n"),
            ("set n = (a)-(b)", "set n = (a) - (b)\n"),
            ("set n = (-5)", "set n = (-5)\n"),
            ("set n = share(a,-b,c)", "set n = share(a, -b, c)\n"),
            ("set n = (-b)*-c", "set n = (-b) * -c\n"),
            ("set n = (a)--(b)", "set n = (a) - -(b)\n"),
            ("set n = a - - b", "set n = a - -b\n"),
        ] {
            let found = format(rough);
            assert_eq!(found, even, "{rough}");
            assert_eq!(format(&found), found);
        }
    }
}
