//! From tokens to a tree. Goes on behind an error, so that all are shown.

mod block;
mod condition;
mod take;
mod value;
mod words;

use crate::ast::{Action, Cond, ConstantText, Name, OpeningText, Reflex, State, Stay, Tree};
use crate::lex::{Kind, Token, tokens};
use crate::log::Log;
use words::{OPENING, SECTIONS};

/// Deepest nesting of brackets and nots, and longest chain of terms ([`LONGEST`]): together they
/// keep every tree shallow, so that no text can exhaust the stack.
const DEEPEST: usize = 40;
/// Most terms one `or`, `and`, `+` or `*` chain may have.
const LONGEST: usize = 40;

/// Why a line could not be read; the reason is in the log.
struct Lost;
type Read<T> = Result<T, Lost>;

/// Reads a text.
pub(crate) fn tree(text: &str, log: &mut Log) -> Tree {
    let mut reader = Reader {
        text,
        tokens: tokens(text),
        at: 0,
        log,
        depth: 0,
    };
    reader.whole()
}

struct Reader<'l> {
    text: &'l str,
    tokens: Vec<Token>,
    at: usize,
    log: &'l mut Log,
    depth: usize,
}

impl Reader<'_> {
    fn whole(&mut self) -> Tree {
        let mut tree = Tree::default();
        loop {
            self.skip_lines();
            if self.peek().kind == Kind::End {
                return tree;
            }
            if self.section(&mut tree).is_err() {
                self.skip_section();
            }
        }
    }

    fn section(&mut self, tree: &mut Tree) -> Read<()> {
        let word = self.word("the start of a section")?;
        let mut kind = word.word.as_str();
        if !SECTIONS.contains(&kind) {
            // A misspelt word still says what follows: what is wrong in there is shown as well.
            let meant = self.misspelt(kind, word.span, "a section", SECTIONS);
            kind = meant.ok_or(Lost)?;
        }
        match kind {
            "constant" => tree.constants.push(self.constant()?),
            "counter" => {
                let name = self.name()?;
                self.sign('=')?;
                let value = self.number()?;
                tree.counters.push((name, value));
                self.line_end()?;
            }
            "timer" => {
                tree.timers.push(self.name()?);
                self.line_end()?;
            }
            "remember" => self.remember(tree)?,
            "opening" => tree.openings.push(self.opening()?),
            "reflex" => tree.reflexes.push(self.reflex()?),
            _ => tree.states.push(self.state()?),
        }
        Ok(())
    }

    fn constant(&mut self) -> Read<ConstantText> {
        let name = self.name()?;
        self.sign('=')?;
        let value = self.number()?;
        let (mut least, mut most) = (value, value);
        if self.take("from") {
            least = self.number()?;
            self.keyword("to")?;
            most = self.number()?;
        }
        if !(least..=most).contains(&value) {
            let what = format!("\"{}\" is outside its own range", name.word);
            let expected = "a value between the two ends, the smaller end first";
            self.log.at(name.span.clone(), what, expected, None);
        }
        self.line_end()?;
        Ok(ConstantText {
            name,
            value,
            least,
            most,
        })
    }

    fn remember(&mut self, tree: &mut Tree) -> Read<()> {
        let left = self.side()?;
        let span = self.peek().span.clone();
        self.keyword("when")?;
        let cond = self.condition()?;
        let (slot, side) = if left {
            (&mut tree.remember_left, "left")
        } else {
            (&mut tree.remember_right, "right")
        };
        if slot.replace(cond).is_some() {
            let what = format!("a second \"remember {side}\"");
            self.log
                .at(span, what, "one for each side, joined with \"or\"", None);
        }
        self.line_end()
    }

    /// `left` or `right`; whether it is the left.
    fn side(&mut self) -> Read<bool> {
        let side = self.word("left or right")?;
        match side.word.as_str() {
            "left" => Ok(true),
            "right" => Ok(false),
            _ => self.unknown(&side, "a side", &["left", "right"]),
        }
    }

    fn opening(&mut self) -> Read<OpeningText> {
        let name = self.name()?;
        let mut opening = OpeningText {
            name,
            switch: None,
            behind: 0,
            aside: 0,
            facing: 0,
            left_first: true,
            begin: None,
        };
        self.sign('{')?;
        loop {
            self.skip_lines();
            if self.take_sign('}') {
                return Ok(opening);
            }
            if self.peek().kind == Kind::End || self.at_section() {
                return self.expected("} at the end of the opening");
            }
            if self.opening_line(&mut opening).is_err() {
                self.skip_line();
            }
        }
    }

    fn opening_line(&mut self, opening: &mut OpeningText) -> Read<()> {
        let word = self.word("a line of an opening, or }")?;
        match word.word.as_str() {
            "switch" => opening.switch = Some(self.number()?),
            "place" => {
                let distance = self.number()?;
                let way = self.word("\"behind\", \"left\" or \"right\"")?;
                match way.word.as_str() {
                    "behind" => opening.behind = distance,
                    "left" => opening.aside = distance,
                    "right" => opening.aside = distance.saturating_neg(),
                    _ => return self.unknown(&way, "a way", &["behind", "left", "right"]),
                }
            }
            "facing" => opening.facing = self.number()?,
            "side" => opening.left_first = self.side()?,
            "begin" => opening.begin = Some(self.name()?),
            _ => return self.unknown(&word, "a line of an opening", OPENING),
        }
        self.line_end_or_brace()
    }

    fn reflex(&mut self) -> Read<Reflex> {
        let name = self.name()?;
        let firm = self.take("firm");
        let when = self.reflex_condition();
        if when.is_err() && !self.find_brace() {
            return Err(Lost);
        }
        let until = match &when {
            Ok(_) if self.take("until") => Some(self.condition()),
            _ => None,
        };
        if matches!(until, Some(Err(_))) && !self.find_brace() {
            return Err(Lost);
        }
        let block = self.block();
        if let Some((way, _)) = block.ways.first() {
            let what = format!("a reflex has no way out \"go {}\"", way.word);
            let expected = "then STATE, when its steps are done";
            self.log.at(way.span.clone(), what, expected, None);
        }
        if let Some(Stay { to: way, .. }) = &block.stay {
            let what = "a reflex has no \"stay\": its steps end by themselves";
            let expected = "steps that last \"for\" a time";
            self.log.at(way.span.clone(), what, expected, None);
        }
        for step in &block.steps {
            let ends = step.action.is_instant() || matches!(step.action, Action::Bend(..));
            if step.lasting.is_none() && !ends {
                let what = format!("a step of reflex \"{}\" never ends", name.word);
                let expected = "\"for\" a time behind each step";
                self.log.at(name.span.clone(), what, expected, None);
            }
        }
        Ok(Reflex {
            name,
            firm,
            when: when?,
            until: until.transpose()?,
            steps: block.steps,
            then: block.then,
        })
    }

    fn reflex_condition(&mut self) -> Read<Cond> {
        self.keyword("when")?;
        self.condition()
    }

    fn state(&mut self) -> Read<State> {
        let name: Name = self.name()?;
        let block = self.block();
        Ok(State {
            name,
            ways: block.ways,
            steps: block.steps,
            stay: block.stay,
            then: block.then,
        })
    }

    /// Reads one level deeper of what may be nested.
    fn deeper<T>(&mut self, read: impl FnOnce(&mut Self) -> Read<T>) -> Read<T> {
        if self.depth >= DEEPEST {
            return self.expected("fewer brackets: this is nested too deep");
        }
        self.depth += 1;
        let result = read(self);
        self.depth -= 1;
        result
    }
}
