//! From tokens to a tree. Goes on behind an error at the next line, so that all are shown.

use crate::ast::{
    Action, Cond, ConstantText, Expr, Name, OpeningText, Reflex, State, Step, Tree, Turn,
};
use crate::lex::{Kind, Token, tokens};
use crate::log::Log;

/// Words that start a section.
const SECTIONS: &[&str] = &[
    "constant", "counter", "timer", "remember", "opening", "reflex", "state",
];
/// Words that start a line inside a state or reflex.
const LINES: &[&str] = &[
    "drive", "pivot", "arc", "wait", "follow", "set", "restart", "go", "stay", "then",
];
/// Words no name may be.
const RESERVED: &[&str] = &[
    "constant",
    "counter",
    "timer",
    "remember",
    "opening",
    "reflex",
    "state",
    "drive",
    "pivot",
    "arc",
    "wait",
    "follow",
    "set",
    "restart",
    "go",
    "stay",
    "then",
    "when",
    "for",
    "until",
    "from",
    "to",
    "sees",
    "within",
    "beyond",
    "on",
    "border",
    "touched",
    "above",
    "below",
    "over",
    "and",
    "or",
    "not",
    "chance",
    "share",
    "otherwise",
    "firm",
    "begin",
    "side",
    "switch",
    "place",
    "facing",
    "seen",
    "unseen",
    "chosen",
    "unchosen",
    "away",
];
/// Deepest nesting of brackets and nots, so that no text can exhaust the stack.
const DEEPEST: usize = 40;

/// Why a line could not be read; the reason is in the log.
struct Lost;
type Read<T> = Result<T, Lost>;

/// Reads a text.
pub(crate) fn tree(text: &str, log: &mut Log) -> Tree {
    let mut reader = Reader {
        tokens: tokens(text),
        at: 0,
        log,
        depth: 0,
    };
    reader.whole()
}

struct Reader<'l> {
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
                self.to_next_section();
            }
        }
    }

    fn section(&mut self, tree: &mut Tree) -> Read<()> {
        let word = self.word("the start of a section")?;
        match word.word.as_str() {
            "constant" => tree.constants.push(self.constant()?),
            "counter" => {
                let name = self.new_name()?;
                self.sign('=')?;
                let value = self.number()?;
                tree.counters.push((name, value));
                self.line_end()?;
            }
            "timer" => {
                tree.timers.push(self.new_name()?);
                self.line_end()?;
            }
            "remember" => self.remember(tree)?,
            "opening" => tree.openings.push(self.opening()?),
            "reflex" => tree.reflexes.push(self.reflex()?),
            "state" => tree.states.push(self.state()?),
            other => return self.unknown(other.to_owned(), word.span, "a section", SECTIONS),
        }
        Ok(())
    }

    fn constant(&mut self) -> Read<ConstantText> {
        let name = self.new_name()?;
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
            self.log.at(
                name.span.clone(),
                what,
                "a value between the two ends",
                None,
            );
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
        let side = self.word("left or right")?;
        let left = match side.word.as_str() {
            "left" => true,
            "right" => false,
            other => {
                return self.unknown(other.to_owned(), side.span, "a side", &["left", "right"]);
            }
        };
        self.keyword("when")?;
        let cond = Some(self.condition()?);
        if left {
            tree.remember_left = cond;
        } else {
            tree.remember_right = cond;
        }
        self.line_end()
    }

    fn opening(&mut self) -> Read<OpeningText> {
        let name = self.new_name()?;
        let mut o = OpeningText {
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
                return Ok(o);
            }
            let word = self.word("a line of an opening, or }")?;
            match word.word.as_str() {
                "switch" => o.switch = Some(self.number()?),
                "place" => {
                    let distance = self.number()?;
                    let way = self.word("\"behind\", \"left\" or \"right\"")?;
                    match way.word.as_str() {
                        "behind" => o.behind = distance,
                        "left" => o.aside = distance,
                        "right" => o.aside = distance.saturating_neg(),
                        other => {
                            let words = &["behind", "left", "right"];
                            return self.unknown(other.to_owned(), way.span, "a way", words);
                        }
                    }
                }
                "facing" => o.facing = self.number()?,
                "side" => {
                    let side = self.word("left or right")?;
                    o.left_first = side.word == "left";
                    if side.word != "left" && side.word != "right" {
                        return self.unknown(
                            side.word.clone(),
                            side.span,
                            "a side",
                            &["left", "right"],
                        );
                    }
                }
                "begin" => o.begin = Some(self.name()?),
                other => {
                    let words = &["switch", "place", "facing", "side", "begin"];
                    return self.unknown(
                        other.to_owned(),
                        word.span,
                        "a line of an opening",
                        words,
                    );
                }
            }
            self.line_end_or_brace()?;
        }
    }

    fn reflex(&mut self) -> Read<Reflex> {
        let name = self.new_name()?;
        let firm = self.take("firm");
        self.keyword("when")?;
        let when = self.condition()?;
        let body = self.body()?;
        if let Some((way, _)) = body.ways.first() {
            let what = format!("a reflex has no way out \"go {}\"", way.word);
            self.log.at(
                way.span.clone(),
                what,
                "then STATE, when its steps are done",
                None,
            );
        }
        if let Some((_, way)) = &body.stay {
            let what = "a reflex has no \"stay\": its steps end by themselves";
            self.log.at(
                way.span.clone(),
                what,
                "steps that last \"for\" a time",
                None,
            );
        }
        for step in &body.steps {
            let instant = matches!(step.action, Action::Set(..) | Action::Restart(_));
            if step.lasting.is_none() && !instant {
                let what = format!("a step of reflex \"{}\" never ends", name.word);
                self.log.at(
                    name.span.clone(),
                    what,
                    "\"for\" a time behind each step",
                    None,
                );
            }
        }
        Ok(Reflex {
            name,
            firm,
            when,
            steps: body.steps,
            then: body.then,
        })
    }

    fn state(&mut self) -> Read<State> {
        let name = self.new_name()?;
        let body = self.body()?;
        Ok(State {
            name,
            ways: body.ways,
            steps: body.steps,
            stay: body.stay,
            then: body.then,
        })
    }

    fn body(&mut self) -> Read<Body> {
        let mut body = Body::default();
        self.sign('{')?;
        loop {
            self.skip_lines();
            if self.take_sign('}') {
                return Ok(body);
            }
            if self.peek().kind == Kind::End || self.at_section() {
                self.expected("} at the end of the block")?;
            }
            if self.body_line(&mut body).is_err() {
                self.to_line_end();
            }
        }
    }

    fn body_line(&mut self, body: &mut Body) -> Read<()> {
        let start = self.at;
        let word = self.word("a step")?;
        match word.word.as_str() {
            "go" => {
                let to = self.name()?;
                self.keyword("when")?;
                body.ways.push((to, self.condition()?));
            }
            "stay" => {
                let time = self.value()?;
                self.keyword("then")?;
                body.stay = Some((time, self.name()?));
            }
            "then" => body.then = Some(self.name()?),
            _ => {
                self.at = start;
                let action = self.action(true)?;
                let lasting = if self.take("for") {
                    Some(self.value()?)
                } else {
                    None
                };
                let until = if self.take("until") {
                    Some(self.condition()?)
                } else {
                    None
                };
                body.steps.push(Step {
                    action,
                    lasting,
                    until,
                });
            }
        }
        self.line_end_or_brace()
    }

    fn action(&mut self, outermost: bool) -> Read<Action> {
        let word = self.word("a step")?;
        Ok(match word.word.as_str() {
            "drive" => Action::Drive(self.value()?, self.value()?),
            "pivot" => Action::Pivot(self.value()?, self.turn()?),
            "arc" => Action::Arc(self.value()?, self.value()?, self.turn()?),
            "wait" => Action::Wait,
            "follow" if outermost => self.follow()?,
            "set" if outermost => {
                let name = self.name()?;
                self.sign('=')?;
                Action::Set(name, self.value()?)
            }
            "restart" if outermost => Action::Restart(self.name()?),
            other => return self.unknown(other.to_owned(), word.span, "a step", LINES),
        })
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
                self.expected("} at the end of \"follow\"")?;
            }
            let rule = (|| {
                let cond = if self.take("otherwise") {
                    None
                } else {
                    Some(self.condition()?)
                };
                self.sign(':')?;
                let action = self.action(false)?;
                self.line_end_or_brace()?;
                Ok((cond, action))
            })();
            match rule {
                Ok(rule) => rules.push(rule),
                Err(Lost) => self.to_line_end(),
            }
        }
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
            other => {
                let words = &["left", "right", "seen", "unseen", "chosen", "unchosen"];
                return self.unknown(other.to_owned(), word.span, "a side", words);
            }
        })
    }

    fn condition(&mut self) -> Read<Cond> {
        self.deeper(|r| {
            let mut left = r.both()?;
            while r.take("or") {
                left = Cond::Or(Box::new(left), Box::new(r.both()?));
            }
            Ok(left)
        })
    }

    fn both(&mut self) -> Read<Cond> {
        let mut left = self.held()?;
        while self.take("and") {
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
        if self.take_sign('(') {
            let cond = self.condition()?;
            self.sign(')')?;
            return Ok(cond);
        }
        let next = self.tokens.get(self.at + 1).map(|t| t.kind.clone());
        if let (Kind::Word(_), Some(Kind::Word(verb))) = (&self.peek().kind, &next) {
            let verbs = ["sees", "on", "touched", "above", "below", "over"];
            if verbs.contains(&verb.as_str()) {
                let name = self.name()?;
                return self.about(name);
            }
            if !RESERVED.contains(&verb.as_str()) {
                self.at += 1;
                let span = self.peek().span.clone();
                return self.unknown(verb.clone(), span, "something to know of a sensor", &verbs);
            }
        }
        let left = self.value()?;
        for sign in ['<', '>', '='] {
            if self.take_sign(sign) {
                return Ok(Cond::Compare(sign, left, self.value()?));
            }
        }
        self.expected("a condition such as \"centre sees\" or \"count > 3\"")
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

    /// A value: the usual precedence, all operators from the left.
    fn value(&mut self) -> Read<Expr> {
        self.deeper(|r| {
            let mut left = r.product()?;
            while let Some(sign) = r.take_one(&['+', '-']) {
                left = Expr::Two(sign, Box::new(left), Box::new(r.product()?));
            }
            Ok(left)
        })
    }

    fn product(&mut self) -> Read<Expr> {
        let mut left = self.factor()?;
        while let Some(sign) = self.take_one(&['*', '/']) {
            left = Expr::Two(sign, Box::new(left), Box::new(self.factor()?));
        }
        Ok(left)
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
        if self.take_sign('-') {
            let value = self.deeper(Self::factor)?;
            return Ok(Expr::Two('-', Box::new(Expr::Value(0)), Box::new(value)));
        }
        match &self.peek().kind {
            Kind::Word(w) if !RESERVED.contains(&w.as_str()) => Ok(Expr::Name(self.name()?)),
            _ => Ok(Expr::Value(self.number()?)),
        }
    }

    fn deeper<T>(&mut self, read: impl FnOnce(&mut Self) -> Read<T>) -> Read<T> {
        self.depth += 1;
        if self.depth > DEEPEST {
            self.depth -= 1;
            return self.expected("fewer brackets: this is nested too deep");
        }
        let result = read(self);
        self.depth -= 1;
        result
    }
}

/// What stands between the braces of a state or reflex.
#[derive(Default)]
struct Body {
    ways: Vec<(Name, Cond)>,
    steps: Vec<Step>,
    stay: Option<(Expr, Name)>,
    then: Option<Name>,
}

/// Taking tokens.
impl Reader<'_> {
    fn peek(&self) -> &Token {
        &self.tokens[self.at.min(self.tokens.len() - 1)]
    }

    fn skip_lines(&mut self) {
        while self.peek().kind == Kind::Line {
            self.at += 1;
        }
    }

    fn at_section(&self) -> bool {
        let starts = self.at == 0 || self.tokens[self.at - 1].kind == Kind::Line;
        starts && matches!(&self.peek().kind, Kind::Word(w) if SECTIONS.contains(&w.as_str()))
    }

    fn to_line_end(&mut self) {
        while !matches!(self.peek().kind, Kind::Line | Kind::End) {
            self.at += 1;
        }
    }

    /// Skips to the next line that starts a section.
    fn to_next_section(&mut self) {
        self.at += 1;
        while self.peek().kind != Kind::End && !self.at_section() {
            self.at += 1;
        }
    }

    fn word(&mut self, expected: &str) -> Read<Name> {
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

    fn name(&mut self) -> Read<Name> {
        let name = self.word("a name")?;
        if RESERVED.contains(&name.word.as_str()) {
            let what = format!("\"{}\" is a word of the language", name.word);
            self.log.at(name.span, what, "a name", None);
            return Err(Lost);
        }
        Ok(name)
    }

    fn new_name(&mut self) -> Read<Name> {
        self.name()
    }

    fn number(&mut self) -> Read<i16> {
        match self.peek().kind.clone() {
            Kind::Number(n) => {
                self.at += 1;
                Ok(n)
            }
            Kind::BadNumber(what) => {
                let span = self.peek().span.clone();
                self.log.at(
                    span,
                    what,
                    "a number such as 90 %, 150 mm, 200 ms or 4 deg",
                    None,
                );
                Err(Lost)
            }
            _ => self.expected("a number such as 90 %, 150 mm, 200 ms or 4 deg"),
        }
    }

    fn take(&mut self, word: &str) -> bool {
        let is = matches!(&self.peek().kind, Kind::Word(w) if w == word);
        self.at += usize::from(is);
        is
    }

    fn take_sign(&mut self, sign: char) -> bool {
        let is = self.peek().kind == Kind::Sign(sign);
        self.at += usize::from(is);
        is
    }

    fn take_one(&mut self, signs: &[char]) -> Option<char> {
        signs.iter().copied().find(|s| self.take_sign(*s))
    }

    fn keyword(&mut self, word: &str) -> Read<()> {
        if self.take(word) {
            Ok(())
        } else {
            self.expected(&format!("\"{word}\""))
        }
    }

    fn sign(&mut self, sign: char) -> Read<()> {
        if self.take_sign(sign) {
            Ok(())
        } else {
            self.expected(&format!("\"{sign}\""))
        }
    }

    fn line_end(&mut self) -> Read<()> {
        if matches!(self.peek().kind, Kind::Line | Kind::End) {
            return Ok(());
        }
        self.expected("the end of the line")
    }

    fn line_end_or_brace(&mut self) -> Read<()> {
        if self.peek().kind == Kind::Sign('}') {
            Ok(())
        } else {
            self.line_end()
        }
    }

    /// Notes that something else stands here.
    fn expected<T>(&mut self, expected: &str) -> Read<T> {
        let token = self.peek().clone();
        let what = match &token.kind {
            Kind::Word(w) => format!("\"{w}\" does not belong here"),
            Kind::Number(_) => "a number does not belong here".to_owned(),
            Kind::BadNumber(what) => what.clone(),
            Kind::Sign(c) => format!("\"{c}\" does not belong here"),
            Kind::Line => "the line ends too early".to_owned(),
            Kind::End => "the text ends too early".to_owned(),
        };
        self.log.at(token.span, what, expected, None);
        Err(Lost)
    }

    /// Notes a word that is none of `words`.
    fn unknown<T>(
        &mut self,
        word: String,
        span: core::ops::Range<usize>,
        role: &str,
        words: &[&str],
    ) -> Read<T> {
        let suggestion = robot::reader::nearest(&word, words.iter().copied()).map(str::to_owned);
        let expected = format!("one of {}", words.join(", "));
        self.log.at(
            span,
            format!("\"{word}\" is not {role}"),
            &expected,
            suggestion,
        );
        Err(Lost)
    }
}
