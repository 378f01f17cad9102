//! What a source file says once comments, texts and tests are taken away.

/// A source file without comments, without the contents of texts, and without its tests.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Code {
    /// What is left; line breaks stay where they were.
    pub text: String,
    /// Names of the modules in files of their own that exist only in tests.
    pub test_modules: Vec<String>,
}

impl Code {
    /// Strips `source`. A reader of its own instead of a parser: it only has to know where
    /// comments, texts and items end.
    #[must_use]
    pub fn of(source: &str) -> Self {
        without_tests(&blanked(source))
    }
}

fn ends_of_raw_text(rest: &[char]) -> Option<(usize, usize)> {
    let start = usize::from(rest.first() == Some(&'b'));
    if rest.get(start) != Some(&'r') {
        return None;
    }
    let hashes = rest[start + 1..].iter().take_while(|c| **c == '#').count();
    let open = start + 1 + hashes;
    if rest.get(open) != Some(&'"') {
        return None;
    }
    let mut at = open + 1;
    while at < rest.len() {
        let closes = rest[at] == '"'
            && rest[at + 1..]
                .iter()
                .take(hashes)
                .filter(|c| **c == '#')
                .count()
                == hashes;
        if closes {
            return Some((open + 1, at + 1 + hashes));
        }
        at += 1;
    }
    Some((open + 1, rest.len()))
}

fn end_of_text(rest: &[char]) -> usize {
    let mut at = 1;
    while at < rest.len() && rest[at] != '"' {
        at += if rest[at] == '\\' { 2 } else { 1 };
    }
    (at + 1).min(rest.len())
}

fn end_of_comment(rest: &[char]) -> Option<usize> {
    match rest.get(..2) {
        Some(['/', '/']) => Some(rest.iter().position(|c| *c == '\n').unwrap_or(rest.len())),
        Some(['/', '*']) => {
            let (mut depth, mut at) = (1, 2);
            while at < rest.len() && depth > 0 {
                let step = match rest.get(at..at + 2) {
                    Some(['/', '*']) => {
                        depth += 1;
                        2
                    }
                    Some(['*', '/']) => {
                        depth -= 1;
                        2
                    }
                    _ => 1,
                };
                at += step;
            }
            Some(at.min(rest.len()))
        }
        _ => None,
    }
}

/// Length of a character literal; a lifetime is none.
fn end_of_character(rest: &[char]) -> Option<usize> {
    match rest {
        ['\'', '\\', _, after @ ..] => Some(3 + after.iter().position(|c| *c == '\'')? + 1),
        ['\'', _, '\'', ..] => Some(3),
        _ => None,
    }
}

fn blanked(source: &str) -> String {
    let all: Vec<char> = source.chars().collect();
    let mut out = String::with_capacity(source.len());
    let mut at = 0;
    let mut in_word = false;
    while at < all.len() {
        let rest = &all[at..];
        let raw = if in_word {
            None
        } else {
            ends_of_raw_text(rest)
        };
        let skip = if let Some((_, end)) = raw {
            Some(end)
        } else if rest[0] == '"' {
            Some(end_of_text(rest))
        } else {
            end_of_comment(rest).or_else(|| end_of_character(rest))
        };
        if let Some(length) = skip {
            // A blank keeps words apart, line breaks keep line numbers.
            out.push(' ');
            out.extend(rest[..length].iter().filter(|c| **c == '\n'));
            at += length;
            in_word = false;
        } else {
            in_word = rest[0].is_alphanumeric() || rest[0] == '_';
            out.push(rest[0]);
            at += 1;
        }
    }
    out
}

const TEST_ONLY: &str = "#[cfg(test)]";

/// Where the item that begins `text` ends: after its `;`, or after the brace that closes it.
fn end_of_item(text: &str) -> usize {
    let (mut depth, mut brackets) = (0_usize, 0_usize);
    for (at, c) in text.char_indices() {
        match c {
            '{' => depth += 1,
            '}' => {
                depth = depth.saturating_sub(1);
                if depth == 0 {
                    return at + 1;
                }
            }
            '[' | '(' => brackets += 1,
            ']' | ')' => brackets = brackets.saturating_sub(1),
            ';' if depth == 0 && brackets == 0 => return at + 1,
            _ => {}
        }
    }
    text.len()
}

fn without_tests(code: &str) -> Code {
    let mut text = String::with_capacity(code.len());
    let mut test_modules = Vec::new();
    let mut rest = code;
    while let Some(start) = rest.find(TEST_ONLY) {
        text.push_str(&rest[..start]);
        let item = &rest[start + TEST_ONLY.len()..];
        let end = end_of_item(item);
        let words: Vec<&str> = item[..end].split_whitespace().collect();
        let module = words
            .iter()
            .position(|w| *w == "mod")
            .and_then(|i| words.get(i + 1));
        if let Some(name) = module.and_then(|m| m.strip_suffix(';')) {
            test_modules.push(name.into());
        }
        text.extend(item[..end].chars().filter(|c| *c == '\n'));
        rest = &item[end..];
    }
    text.push_str(rest);
    Code { text, test_modules }
}

/// First path segments of every braced group that follows `prefix`: `std::{fs, io::Read}` has the
/// members `fs` and `io` after `std::`.
#[must_use]
pub fn group_members(code: &str, prefix: &str) -> Vec<String> {
    let mut members = Vec::new();
    for (at, _) in code.match_indices(&format!("{prefix}{{")) {
        let inside = &code[at + prefix.len() + 1..];
        let (mut depth, mut word) = (0_usize, String::new());
        let mut fresh = true;
        for c in inside.chars() {
            match c {
                '{' => depth += 1,
                '}' if depth == 0 => break,
                '}' => depth -= 1,
                ',' if depth == 0 => {
                    members.extend((!word.is_empty()).then(|| std::mem::take(&mut word)));
                    fresh = true;
                }
                c if depth == 0 && fresh && (c.is_alphanumeric() || c == '_') => word.push(c),
                c if c.is_whitespace() && word.is_empty() => {}
                _ => fresh = false,
            }
        }
        members.extend((!word.is_empty()).then_some(word));
    }
    members
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn comments_and_texts_are_taken_away_and_lines_stay() {
        let source = "a(); // println!\n/* std::fs /* deeper */ still */ b(\"std::env \\\" x\");\n\
                      c(r#\"std::time \" y\"#, 'z', '\"', '\\'', &'static d);\n";
        let code = Code::of(source).text;
        assert_eq!(code.lines().count(), 3);
        for gone in ["println", "std::", "deeper", "still", "x", "y", "z"] {
            assert!(!code.contains(gone), "{gone} in {code}");
        }
        for kept in ["a();", "b( );", "&'static d"] {
            assert!(code.contains(kept), "{kept} in {code}");
        }
    }

    #[test]
    fn tests_are_taken_away_and_what_follows_is_kept() {
        let source = "fn a() {}\n#[cfg(test)]\nmod tests {\n fn b() { println!(); }\n}\nfn c() {}\n\
                      #[cfg(test)]\nmod wild;\n#[cfg(test)]\n#[allow(x)]\nfn d() -> [u8; 2] { e() }\nfn f() {}";
        let code = Code::of(source);
        assert_eq!(code.test_modules, ["wild"]);
        for gone in ["println", "fn b", "fn d", "wild", "e()"] {
            assert!(!code.text.contains(gone), "{gone} in {}", code.text);
        }
        for kept in ["fn a", "fn c", "fn f"] {
            assert!(code.text.contains(kept), "{kept} in {}", code.text);
        }
    }

    #[test]
    fn code_outside_tests_is_kept_to_be_seen() {
        assert!(
            Code::of("fn a() { std::fs::read(p); }")
                .text
                .contains("std::fs")
        );
    }

    #[test]
    fn members_of_a_group_are_seen() {
        let code = "use std::{fs, io::{Read, Write},\n  sync::Arc};\nuse core::{fmt};";
        assert_eq!(group_members(code, "std::"), ["fs", "io", "sync"]);
        assert_eq!(group_members(code, "core::"), ["fmt"]);
    }
}
