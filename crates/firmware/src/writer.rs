//! Statements and functions in a controller's language.

use tactic::program::{Code, Program};

use crate::dialect::Dialect;
use crate::expression::{Said, constant, said};
use crate::page::Page;
use crate::words::Words;

/// What a function gives back.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Gives {
    /// Nothing.
    Nothing,
    /// False or true.
    Truth,
}

/// Writes what a program does.
pub(crate) struct Writer<'p> {
    pub(crate) program: &'p Program,
    pub(crate) words: &'p Words,
    pub(crate) dialect: &'static Dialect,
    pub(crate) page: Page,
    /// Throws of the die so far in the function at hand.
    thrown: usize,
}

impl<'p> Writer<'p> {
    /// One with an empty page.
    pub(crate) fn new(program: &'p Program, words: &'p Words, dialect: &'static Dialect) -> Self {
        Self {
            program,
            words,
            dialect,
            page: Page::default(),
            thrown: 0,
        }
    }

    /// An expression, with the throws of the die before it already written.
    pub(crate) fn asked(&mut self, code: Code) -> String {
        let said = self.said(code);
        self.page.lines(&said.before);
        said.value
    }

    fn said(&mut self, code: Code) -> Said {
        let inputs = &self.words.inputs;
        said(self.program, code, self.dialect, inputs, &mut self.thrown)
    }

    /// A value without a throw of the die in it: values have none.
    pub(crate) fn value(&mut self, code: Code) -> String {
        self.said(code).value
    }

    /// A value as an effort, per mille.
    pub(crate) fn effort(&mut self, code: Code) -> String {
        match constant(self.program, code) {
            Some(v) => v.clamp(-1000, 1000).to_string(),
            None => format!("effort({})", self.value(code)),
        }
    }

    /// A value as a time in ms.
    pub(crate) fn time(&mut self, code: Code) -> String {
        match constant(self.program, code) {
            Some(v) => v.max(0).to_string(),
            None => format!("ms({})", self.value(code)),
        }
    }

    /// A statement.
    pub(crate) fn does(&mut self, statement: &str) {
        self.page.line(format!("{statement}{}", self.dialect.end));
    }

    /// A call, as a statement, of a function that looks at the memory.
    pub(crate) fn calls(&mut self, call: &str) {
        self.does(&format!("{}{call}", self.dialect.own));
    }

    /// What is remembered under `name` gets a value.
    pub(crate) fn sets(&mut self, name: &str, value: &str) {
        self.does(&format!("{} = {value}", self.dialect.memory(name)));
    }

    /// The function gives back false or true.
    pub(crate) fn gives(&mut self, truth: bool) {
        self.does(&format!(
            "return {}",
            self.dialect.truth[usize::from(truth)]
        ));
    }

    /// A remark.
    pub(crate) fn remarks(&mut self, remark: &str) {
        let [before, behind] = self.dialect.remark;
        self.page.line(format!("{before}{remark}{behind}"));
    }

    /// Where a condition holds, what `then` writes; the throws of the die before it.
    pub(crate) fn when(&mut self, code: Code, then: impl FnOnce(&mut Self)) {
        let condition = self.asked(code);
        self.only_if(&condition, then);
    }

    /// Where `condition` holds, what `then` writes.
    pub(crate) fn only_if(&mut self, condition: &str, then: impl FnOnce(&mut Self)) {
        let [before, behind] = self.dialect.asks;
        self.block(format!("{before}{condition}{behind}"), then);
    }

    /// A line, and what belongs to it.
    pub(crate) fn block(&mut self, line: impl AsRef<str>, inner: impl FnOnce(&mut Self)) {
        let dialect = self.dialect;
        let mut page = core::mem::take(&mut self.page);
        page.block(line, dialect.closes, |page| {
            core::mem::swap(&mut self.page, page);
            let empty = self.page.len();
            inner(self);
            if self.page.len() == empty && !dialect.nothing.is_empty() {
                self.page.line(dialect.nothing);
            }
            core::mem::swap(&mut self.page, page);
        });
        self.page = page;
    }

    /// A function with an empty line behind it. What it is handed has a name.
    pub(crate) fn function(
        &mut self,
        gives: Gives,
        name: &str,
        handed: Option<&str>,
        inner: impl FnOnce(&mut Self),
    ) {
        self.thrown = 0;
        let kind = self.dialect.function[usize::from(gives == Gives::Truth)];
        let [before, behind] = self.dialect.handed[usize::from(handed.is_some())];
        let head = format!("{kind}{name}{before}{}{behind}", handed.unwrap_or_default());
        if self.dialect.opens.is_empty() {
            self.block(head, inner);
        } else {
            self.page.line(head);
            self.block(self.dialect.opens, inner);
        }
        self.page.line("");
    }
}
