//! Values: numbers, names and the four operations.

use super::words::reserved;
use super::{LONGEST, Read, Reader};
use crate::ast::Expr;
use crate::lex::Kind;

impl Reader<'_> {
    /// A value: the usual precedence, all operators from the left.
    pub(super) fn value(&mut self) -> Read<Expr> {
        self.deeper(|r| {
            let mut left = r.product()?;
            let mut terms = 1;
            while let Some(sign) = r.take_one(&['+', '-']) {
                r.another(&mut terms)?;
                left = Expr::Two(sign, Box::new(left), Box::new(r.product()?));
            }
            Ok(left)
        })
    }

    fn product(&mut self) -> Read<Expr> {
        let mut left = self.factor()?;
        let mut factors = 1;
        while let Some(sign) = self.take_one(&['*', '/']) {
            self.another(&mut factors)?;
            left = Expr::Two(sign, Box::new(left), Box::new(self.factor()?));
        }
        Ok(left)
    }

    /// Counts one more term of a chain, so that no text can exhaust the stack.
    pub(super) fn another(&mut self, terms: &mut usize) -> Read<()> {
        *terms += 1;
        if *terms > LONGEST {
            return self.expected(&format!("at most {LONGEST} terms in one piece"));
        }
        Ok(())
    }

    fn factor(&mut self) -> Read<Expr> {
        if self.take_sign('(') {
            let value = self.value()?;
            self.sign(')')?;
            return Ok(value);
        }
        if self.take("share") {
            self.sign('(')?;
            let a = self.value()?;
            self.sign(',')?;
            let b = self.value()?;
            self.sign(',')?;
            let c = self.value()?;
            self.sign(')')?;
            return Ok(Expr::Share(Box::new(a), Box::new(b), Box::new(c)));
        }
        if self.take_sign('-') || self.take_negative() {
            let value = self.deeper(Self::factor)?;
            return Ok(Expr::Two('-', Box::new(Expr::Value(0)), Box::new(value)));
        }
        match &self.peek().kind {
            Kind::Word(w) if !reserved(w) => Ok(Expr::Name(self.name()?)),
            _ => Ok(Expr::Value(self.number()?)),
        }
    }

    fn take_negative(&mut self) -> bool {
        let is = self.peek().kind == Kind::Negative;
        self.at += usize::from(is);
        is
    }
}
