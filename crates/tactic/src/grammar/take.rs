//! Taking tokens, and saying what else was expected.

use core::ops::Range;

use super::words::{SECTIONS, reserved};
use super::{Lost, Read, Reader};
use crate::ast::{Name, Written};
use crate::lex::{Kind, Token};

const A_NUMBER: &str = "a number such as 90 %, 150 mm, 200 ms or 4 deg";

impl Reader<'_> {
    pub(super) fn peek(&self) -> &Token {
        &self.tokens[self.at.min(self.tokens.len() - 1)]
    }

    pub(super) fn peek_after(&self) -> Option<&Kind> {
        self.tokens.get(self.at + 1).map(|t| &t.kind)
    }

    /// What was read from the token `start` to where reading stands.
    pub(super) fn written(&self, start: usize) -> Written {
        let read = self.tokens.get(start..self.at).unwrap_or_default();
        let ends = read.first().zip(read.last());
        Written(ends.map_or(0..0, |(a, b)| a.span.start..b.span.end))
    }

    pub(super) fn skip_lines(&mut self) {
        while self.peek().kind == Kind::Line {
            self.at += 1;
        }
    }

    /// Whether a section starts here: one of its words, first on a line, and behind it a name.
    pub(super) fn at_section(&self) -> bool {
        let starts = self.at == 0 || self.tokens[self.at - 1].kind == Kind::Line;
        let word = matches!(&self.peek().kind, Kind::Word(w) if SECTIONS.contains(&w.as_str()));
        starts && word
    }

    /// Skips the rest of a line that could not be read with all that stands in braces which it opens, but never
    /// the brace that ends the block it stands in, nor the start of a section.
    pub(super) fn skip_line(&mut self) {
        let mut open = 0;
        while self.peek().kind != Kind::End && !self.at_section() {
            match self.peek().kind {
                Kind::Line | Kind::Sign('}') if open == 0 => return,
                Kind::Sign('{') => open += 1,
                Kind::Sign('}') => open -= 1,
                _ => {}
            }
            self.at += 1;
        }
    }

    /// Skips to the next line that starts a section.
    pub(super) fn skip_section(&mut self) {
        while self.peek().kind != Kind::End && !self.at_section() {
            self.at += 1;
        }
    }

    /// Skips to a brace on this line, if there is one.
    pub(super) fn find_brace(&mut self) -> bool {
        while !matches!(self.peek().kind, Kind::Line | Kind::End) {
            if self.peek().kind == Kind::Sign('{') {
                return true;
            }
            self.at += 1;
        }
        false
    }

    pub(super) fn word(&mut self, expected: &str) -> Read<Name> {
        if let Kind::Word(word) = &self.peek().kind {
            let name = Name {
                word: word.clone(),
                span: self.peek().span.clone(),
            };
            self.at += 1;
            return Ok(name);
        }
        self.expected(expected)
    }

    pub(super) fn name(&mut self) -> Read<Name> {
        let name = self.word("a name")?;
        if reserved(&name.word) {
            let what = format!("\"{}\" is a word of the language", name.word);
            let suggestion = format!("my-{}", name.word);
            self.log.at(name.span, what, "a name", Some(suggestion));
            return Err(Lost);
        }
        Ok(name)
    }

    pub(super) fn number(&mut self) -> Read<i16> {
        if let Kind::Number(n) = self.peek().kind {
            self.at += 1;
            return Ok(n);
        }
        self.expected(A_NUMBER)
    }

    pub(super) fn at_word(&self, word: &str) -> bool {
        matches!(&self.peek().kind, Kind::Word(w) if w == word)
    }

    pub(super) fn take(&mut self, word: &str) -> bool {
        let is = self.at_word(word);
        self.at += usize::from(is);
        is
    }

    pub(super) fn take_sign(&mut self, sign: char) -> bool {
        let is = self.peek().kind == Kind::Sign(sign);
        self.at += usize::from(is);
        is
    }

    pub(super) fn take_one(&mut self, signs: &[char]) -> Option<char> {
        signs.iter().copied().find(|s| self.take_sign(*s))
    }

    pub(super) fn keyword(&mut self, word: &str) -> Read<()> {
        if self.take(word) {
            return Ok(());
        }
        let suggestion = match &self.peek().kind {
            Kind::Word(w) => robot::reader::nearest(w, [word]).map(str::to_owned),
            _ => None,
        };
        self.expected_with(&format!("\"{word}\""), suggestion)
    }

    pub(super) fn sign(&mut self, sign: char) -> Read<()> {
        if self.take_sign(sign) {
            Ok(())
        } else {
            self.expected(&format!("\"{sign}\""))
        }
    }

    pub(super) fn line_end(&mut self) -> Read<()> {
        if matches!(self.peek().kind, Kind::Line | Kind::End) {
            return Ok(());
        }
        self.expected("the end of the line")
    }

    pub(super) fn line_end_or_brace(&mut self) -> Read<()> {
        if self.peek().kind == Kind::Sign('}') {
            Ok(())
        } else {
            self.line_end()
        }
    }

    /// Notes that something else stands here.
    pub(super) fn expected<T>(&mut self, expected: &str) -> Read<T> {
        let suggestion = self.guess();
        self.expected_with(expected, suggestion)
    }

    fn expected_with<T>(&mut self, expected: &str, suggestion: Option<String>) -> Read<T> {
        let token = self.peek().clone();
        let what = match &token.kind {
            Kind::Word(w) => format!("\"{w}\" does not belong here"),
            Kind::Number(_) => "a number does not belong here".to_owned(),
            Kind::BadNumber(what, better) => {
                self.log
                    .at(token.span, what.clone(), A_NUMBER, better.clone());
                return Err(Lost);
            }
            Kind::Sign(c) => format!("\"{c}\" does not belong here"),
            Kind::Negative => "\"-\" does not belong here".to_owned(),
            Kind::Line => "the line ends too early".to_owned(),
            Kind::End => "the text ends too early".to_owned(),
        };
        self.log.at(token.span, what, expected, suggestion);
        Err(Lost)
    }

    /// What may have been meant by the token that does not belong here.
    fn guess(&self) -> Option<String> {
        let written = |t: &Token| self.text.get(t.span.clone()).unwrap_or_default();
        let before = self.at.checked_sub(1).map(|k| &self.tokens[k]);
        let after = self.tokens.get(self.at + 1);
        let here = self.peek();
        match &here.kind {
            Kind::Number(n) if *n < 0 => {
                Some(format!("- {}", written(here).trim_start_matches('-')))
            }
            Kind::Negative => Some("a space behind the \"-\" too".to_owned()),
            Kind::Sign(',') => match (before, after) {
                (Some(a), Some(b))
                    if matches!((&a.kind, &b.kind), (Kind::Number(_), Kind::Number(_)))
                        && a.span.end == here.span.start
                        && here.span.end == b.span.start =>
                {
                    Some(format!("{}.{}", written(a), written(b)))
                }
                _ => None,
            },
            Kind::Word(w) if w == "within" || w == "beyond" => Some(format!("sees {w}")),
            _ => None,
        }
    }

    /// Notes a word that is none of `words`; returns the one that was meant, if one is near.
    pub(super) fn misspelt<'w>(
        &mut self,
        word: &str,
        span: Range<usize>,
        role: &str,
        words: &[&'w str],
    ) -> Option<&'w str> {
        let near = robot::reader::nearest(word, words.iter().copied());
        let expected = format!("one of {}", words.join(", "));
        let what = format!("\"{word}\" is not {role}");
        self.log.at(span, what, &expected, near.map(str::to_owned));
        near
    }

    /// The same where reading cannot go on.
    pub(super) fn unknown<T>(&mut self, name: &Name, role: &str, words: &[&str]) -> Read<T> {
        self.misspelt(&name.word, name.span.clone(), role, words);
        Err(Lost)
    }
}
