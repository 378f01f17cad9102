//! What stands between the braces of a state or reflex: steps and ways out.

use super::words::{LINES, RULES, TURNS, reserved};
use super::{Lost, Read, Reader};
use crate::ast::{Action, Cond, Expr, Name, Stay, Step, Turn};
use crate::lex::Kind;

/// The lines of a state or reflex, sorted.
#[derive(Default)]
pub(super) struct Block {
    pub(super) ways: Vec<(Name, Cond)>,
    pub(super) steps: Vec<Step>,
    pub(super) stay: Option<Stay>,
    pub(super) then: Option<Name>,
}

impl Reader<'_> {
    /// Reads as much of a block as can be read; what is wrong is in the log.
    pub(super) fn block(&mut self) -> Block {
        let mut block = Block::default();
        if self.sign('{').is_err() && !self.find_brace() {
            return block;
        }
        self.take_sign('{');
        loop {
            self.skip_lines();
            if self.take_sign('}') {
                return block;
            }
            if self.peek().kind == Kind::End || self.at_section() {
                let _: Read<()> = self.expected("} at the end of the block");
                return block;
            }
            if self.block_line(&mut block).is_err() {
                self.skip_line();
            }
        }
    }

    fn block_line(&mut self, block: &mut Block) -> Read<()> {
        let start = self.at;
        let word = self.word("a step")?;
        match word.word.as_str() {
            "go" => {
                let to = self.name()?;
                self.keyword("when")?;
                block.ways.push((to, self.condition()?));
            }
            "stay" => {
                let time = self.value()?;
                self.keyword("then")?;
                let to = self.name()?;
                self.only_one(block.stay.is_some(), &word);
                let written = self.written(start);
                block.stay = Some(Stay { time, to, written });
            }
            "then" => {
                let to = self.name()?;
                self.only_one(block.then.is_some(), &word);
                block.then = Some(to);
            }
            _ => {
                self.at = start;
                let step = self.step()?;
                block.steps.push(step);
            }
        }
        self.line_end_or_brace()
    }

    fn only_one(&mut self, second: bool, word: &Name) {
        if second {
            let what = format!("a second \"{}\" in one block", word.word);
            self.log.at(
                word.span.clone(),
                what,
                "one at most: only one can hold",
                None,
            );
        }
    }

    fn step(&mut self) -> Read<Step> {
        let start = self.at;
        let action = self.action(true)?;
        let bend = matches!(action, Action::Bend(..));
        let lasting = if bend && self.at_word("for") {
            return self.expected("nothing: a bend lasts as long as its angle takes");
        } else if self.take("for") {
            Some(self.value()?)
        } else {
            None
        };
        let until = if self.take("until") {
            Some(self.condition()?)
        } else {
            None
        };
        Ok(Step {
            action,
            lasting,
            until,
            written: self.written(start),
        })
    }

    fn action(&mut self, outermost: bool) -> Read<Action> {
        let word = self.word("a step")?;
        Ok(match word.word.as_str() {
            "drive" => Action::Drive(self.value()?, self.value()?),
            "pivot" => Action::Pivot(self.value()?, self.turn()?),
            "arc" => Action::Arc(self.value()?, self.value()?, self.turn()?),
            "veer" => {
                // The same as an arc whose sides differ from the advance by the turn.
                let (advance, turn) = (Box::new(self.value()?), Box::new(self.value()?));
                let inner = Expr::Two('-', advance.clone(), turn.clone());
                Action::Arc(inner, Expr::Two('+', advance, turn), self.turn()?)
            }
            "bend" if outermost => {
                let (radius, angle, turn) = (self.value()?, self.value()?, self.turn()?);
                self.keyword("at")?;
                Action::Bend(radius, angle, turn, self.value()?)
            }
            "ignore" if outermost => {
                let name = self.name()?;
                self.keyword("for")?;
                Action::Ignore(name, self.value()?)
            }
            "wait" => Action::Wait,
            "follow" if outermost => self.follow()?,
            "set" if outermost => {
                let name = self.name()?;
                self.sign('=')?;
                Action::Set(name, self.value()?)
            }
            "restart" if outermost => Action::Restart(self.name()?),
            _ if outermost && self.at_gadget(&word) => self.gadget(word)?,
            _ if outermost && self.peek().kind == Kind::Sign('{') => {
                // Only one step has braces, however it is spelt.
                self.misspelt(&word.word, word.span, "a step", LINES);
                self.follow()?
            }
            _ if outermost => return self.unknown(&word, "a step", LINES),
            _ => return self.unknown(&word, "what a rule can do", RULES),
        })
    }

    /// Whether a name that is none of the language is followed by what a gadget can do.
    fn at_gadget(&self, word: &Name) -> bool {
        let next = &self.peek().kind;
        !reserved(&word.word) && matches!(next, Kind::Word(w) if w == "to" || w == "off")
    }

    fn gadget(&mut self, name: Name) -> Read<Action> {
        if self.take("off") {
            return Ok(Action::Release(name));
        }
        self.keyword("to")?;
        Ok(Action::Move(name, self.value()?))
    }

    fn follow(&mut self) -> Read<Action> {
        let mut rules = Vec::new();
        self.sign('{')?;
        loop {
            self.skip_lines();
            if self.take_sign('}') {
                return Ok(Action::Follow(rules));
            }
            if self.peek().kind == Kind::End || self.at_section() {
                return self.expected("} at the end of \"follow\"");
            }
            match self.rule() {
                Ok(rule) => rules.push(rule),
                Err(Lost) => self.skip_line(),
            }
        }
    }

    fn rule(&mut self) -> Read<(Option<Cond>, Action)> {
        let cond = if self.take("otherwise") {
            None
        } else {
            Some(self.condition()?)
        };
        self.sign(':')?;
        let action = self.action(false)?;
        self.line_end_or_brace()?;
        Ok((cond, action))
    }

    fn turn(&mut self) -> Read<Turn> {
        let word = self.word("a side")?;
        Ok(match word.word.as_str() {
            "left" => Turn::Left,
            "right" => Turn::Right,
            "seen" => Turn::Seen,
            "unseen" => Turn::Unseen,
            "chosen" => Turn::Chosen,
            "unchosen" => Turn::Unchosen,
            _ => return self.unknown(&word, "a side", TURNS),
        })
    }
}
