//! Conditions.

use super::words::{VERBS, reserved};
use super::{Lost, Read, Reader};
use crate::ast::{Cond, Expr, Name};
use crate::lex::Kind;

impl Reader<'_> {
    pub(super) fn condition(&mut self) -> Read<Cond> {
        self.deeper(|r| {
            let mut left = r.both()?;
            let mut terms = 1;
            while r.take("or") {
                r.another(&mut terms)?;
                left = Cond::Or(Box::new(left), Box::new(r.both()?));
            }
            Ok(left)
        })
    }

    fn both(&mut self) -> Read<Cond> {
        let mut left = self.held()?;
        let mut terms = 1;
        while self.take("and") {
            self.another(&mut terms)?;
            left = Cond::And(Box::new(left), Box::new(self.held()?));
        }
        Ok(left)
    }

    fn held(&mut self) -> Read<Cond> {
        let cond = self.single()?;
        if self.take("for") {
            return Ok(Cond::For(Box::new(cond), self.value()?));
        }
        Ok(cond)
    }

    fn single(&mut self) -> Read<Cond> {
        if self.take("not") {
            return self.deeper(|r| Ok(Cond::Not(Box::new(r.single()?))));
        }
        if self.take("chance") {
            return Ok(Cond::Chance(self.value()?));
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
                return self.about(name);
            }
            if !reserved(&verb) {
                self.at += 1;
                let verb = self.word("a condition")?;
                return self.unknown(&verb, "something to know of a sensor", VERBS);
            }
        }
        let left = self.value()?;
        self.compared(left)
    }

    /// A comparison whose left side has been read.
    fn compared(&mut self, left: Expr) -> Read<Cond> {
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
        Ok(Cond::Compare(sign, left, self.value()?))
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
    fn about(&mut self, name: Name) -> Read<Cond> {
        let verb = self.word("a condition")?;
        Ok(match verb.word.as_str() {
            "sees" if self.take("within") => Cond::Within(name, self.value()?),
            "sees" if self.take("beyond") => Cond::Beyond(name, self.value()?),
            "sees" => Cond::Sees(name),
            "on" => {
                self.keyword("border")?;
                Cond::OnBorder(name)
            }
            "touched" => Cond::Touched(name),
            "above" => Cond::Above(name, self.value()?),
            "below" => Cond::Below(name, self.value()?),
            _ => Cond::Over(name, self.value()?),
        })
    }
}
