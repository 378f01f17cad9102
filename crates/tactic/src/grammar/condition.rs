//! Conditions.

use super::words::{VERBS, reserved};
use super::{Lost, Read, Reader};
use crate::ast::{Ask, Cond, Expr, Name};
use crate::lex::Kind;

impl Reader<'_> {
    pub(super) fn condition(&mut self) -> Read<Cond> {
        self.deeper(|r| {
            let start = r.at;
            let mut left = r.both()?;
            let mut terms = 1;
            while r.take("or") {
                r.another(&mut terms)?;
                let ask = Ask::Or(Box::new(left), Box::new(r.both()?));
                left = r.cond(start, ask);
            }
            Ok(left)
        })
    }

    fn both(&mut self) -> Read<Cond> {
        let start = self.at;
        let mut left = self.held()?;
        let mut terms = 1;
        while self.take("and") {
            self.another(&mut terms)?;
            let ask = Ask::And(Box::new(left), Box::new(self.held()?));
            left = self.cond(start, ask);
        }
        Ok(left)
    }

    fn held(&mut self) -> Read<Cond> {
        let start = self.at;
        let cond = self.single()?;
        if self.take("for") {
            let ask = Ask::For(Box::new(cond), self.value()?);
            return Ok(self.cond(start, ask));
        }
        Ok(cond)
    }

    /// A condition that was read from the token `start` to where reading stands.
    fn cond(&self, start: usize, ask: Ask) -> Cond {
        Cond {
            ask,
            written: self.written(start),
        }
    }

    fn single(&mut self) -> Read<Cond> {
        let start = self.at;
        if self.take("not") {
            let inner = self.deeper(Self::single)?;
            return Ok(self.cond(start, Ask::Not(Box::new(inner))));
        }
        if self.take("chance") {
            let ask = Ask::Chance(self.value()?);
            return Ok(self.cond(start, ask));
        }
        if self.peek().kind == Kind::Sign('(') && !self.bracket_is_value() {
            self.at += 1;
            let cond = self.condition()?;
            self.sign(')')?;
            return Ok(cond);
        }
        if let (Kind::Word(name), Some(Kind::Word(verb))) = (&self.peek().kind, self.peek_after())
            && !reserved(name)
        {
            let verb = verb.clone();
            if VERBS.contains(&verb.as_str()) {
                let name = self.name()?;
                let ask = self.about(name)?;
                return Ok(self.cond(start, ask));
            }
            if !reserved(&verb) {
                self.at += 1;
                let verb = self.word("a condition")?;
                return self.unknown(&verb, "something to know of a sensor", VERBS);
            }
        }
        let left = self.value()?;
        let ask = self.compared(left)?;
        Ok(self.cond(start, ask))
    }

    /// A comparison whose left side has been read.
    fn compared(&mut self, left: Expr) -> Read<Ask> {
        let Some(sign) = self.take_one(&['<', '>', '=']) else {
            if matches!(left, Expr::Name(_)) && self.peek().kind == Kind::Sign('!') {
                return self.no_such_sign("!=", "not … = …");
            }
            return self.expected("a condition such as \"centre sees\" or \"count > 3\"");
        };
        if self.peek().kind == Kind::Sign('=') {
            return match sign {
                '<' => self.no_such_sign("<=", "not … > …"),
                '>' => self.no_such_sign(">=", "not … < …"),
                _ => self.no_such_sign("==", "="),
            };
        }
        Ok(Ask::Compare(sign, left, self.value()?))
    }

    fn no_such_sign<T>(&mut self, sign: &str, instead: &str) -> Read<T> {
        let span = self.peek().span.clone();
        let what = format!("there is no sign \"{sign}\"");
        self.log
            .at(span, what, "<, > or =", Some(instead.to_owned()));
        Err(Lost)
    }

    /// Whether the bracket that opens here is part of a value, `(a + b) > 3`: a sign of arithmetic
    /// or comparison stands behind its end.
    fn bracket_is_value(&self) -> bool {
        let mut depth = 0_usize;
        for (k, token) in self.tokens.iter().enumerate().skip(self.at) {
            match token.kind {
                Kind::Sign('(') => depth += 1,
                Kind::Sign(')') => depth -= 1,
                Kind::Line | Kind::End => return false,
                _ => {}
            }
            if depth == 0 {
                let next = self.tokens.get(k + 1).map(|t| &t.kind);
                return matches!(
                    next,
                    Some(Kind::Sign('+' | '-' | '*' | '/' | '<' | '>' | '='))
                );
            }
        }
        false
    }

    /// What is asked about a sensor or timer.
    fn about(&mut self, name: Name) -> Read<Ask> {
        let verb = self.word("a condition")?;
        Ok(match verb.word.as_str() {
            "sees" if self.take("within") => Ask::Within(name, self.value()?),
            "sees" if self.take("beyond") => Ask::Beyond(name, self.value()?),
            "sees" => Ask::Sees(name),
            "on" => {
                self.keyword("border")?;
                Ask::OnBorder(name)
            }
            "touched" => Ask::Touched(name),
            "above" => Ask::Above(name, self.value()?),
            "below" => Ask::Below(name, self.value()?),
            _ => Ask::Over(name, self.value()?),
        })
    }
}
