//! What the program does about what it sees, held against where its sensors look.

use crate::ast::{Action, Ask, Cond, State, Step, Turn};
use crate::blind::asks;
use crate::log::Log;
use crate::tactic::Tactic;

/// Where a sensor looks.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Looks {
    /// To the left.
    Left,
    /// Straight ahead.
    Ahead,
    /// To the right.
    Right,
}

/// What is astray.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Astray {
    /// Seeing the other on that side it turns the other way.
    TurnsFrom(Looks),
    /// Seeing it straight ahead it does not drive forward: efforts of both sides, per mille.
    NotAt([i16; 2]),
    /// It remembers the other on that side when it is seen on the other one.
    Remembers(Looks),
    /// In that state, entered only when the other is seen, it stands for so many ms.
    Waits(String, u16),
    /// That reflex starts over black and not over white.
    OnBlack(String),
}

/// Something astray, and where.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Stray {
    /// What.
    pub what: Astray,
    /// Where in the tactic.
    pub place: robot::Place,
}

/// A stand of less than this is a pause, ms. Common practice, no source.
const PAUSE_MS: u16 = 300;
/// What an edge sensor reads over black and over white, per mille.
const BLACK: i16 = 0;
const WHITE: i16 = 1000;

impl Tactic {
    /// What is surely astray: a turn away from the side on which the other is seen, no way forward where it is
    /// seen straight ahead (as near as it may be), a side remembered wrongly, a stand of 300 ms or more that only
    /// the sight of it leads to, and a reflex of the border that starts over black. `looks` says where the sensor
    /// of a name looks (none: elsewhere, or it does not look for the other), `edge` those that look down.
    ///
    /// What depends on counters, sensors or a side that is not fixed counts as right.
    #[must_use]
    pub fn strays(&self, looks: &dyn Fn(&str) -> Option<Looks>, edge: &[String]) -> Vec<Stray> {
        let log = Log::new(self.file(), self.text());
        let tree = self.tree();
        let mut found = Vec::new();
        let mut note = |what: Astray, span: core::ops::Range<usize>| {
            found.push(Stray {
                what,
                place: log.place(span),
            });
        };
        for (side, cond) in [
            (Looks::Left, &tree.remember_left),
            (Looks::Right, &tree.remember_right),
        ] {
            if let Some(cond) = cond
                && let Some(seen) = seen(cond, looks)
                && seen != Looks::Ahead
                && seen != side
            {
                note(Astray::Remembers(side), cond.written.0.clone());
            }
        }
        let states = tree.states.iter().flat_map(|s| &s.steps);
        for step in states.chain(tree.reflexes.iter().flat_map(|r| &r.steps)) {
            let Action::Follow(rules) = &step.action else {
                continue;
            };
            for (cond, action) in rules {
                if let Some(cond) = cond
                    && let Some(what) = self.astray(cond, action, looks, edge)
                {
                    note(what, cond.written.0.clone());
                }
            }
        }
        for r in &tree.reflexes {
            let first = r.steps.iter().find(|s| !s.action.is_instant());
            if let Some(step) = first
                && let Some(what) = self.astray(&r.when, &step.action, looks, edge)
            {
                note(what, r.when.written.0.clone());
            }
            let over = |level: i16| self.over(&r.when, level, edge);
            if over(BLACK) == Some(true) && over(WHITE) == Some(false) {
                note(Astray::OnBlack(r.name.word.clone()), r.name.span.clone());
            }
        }
        for (state, seen) in tree.states.iter().zip(self.states_of_the_seen()) {
            let ms = self.stands_ms(state);
            if seen && ms >= PAUSE_MS {
                let what = Astray::Waits(state.name.word.clone(), ms);
                note(what, state.name.span.clone());
            }
        }
        found
    }

    /// What is astray in doing `action` where `cond` holds.
    fn astray(
        &self,
        cond: &Cond,
        action: &Action,
        looks: &dyn Fn(&str) -> Option<Looks>,
        edge: &[String],
    ) -> Option<Astray> {
        // With the border in question the way off it comes first.
        if edge.iter().any(|e| asks(cond, e)) {
            return None;
        }
        let seen = seen(cond, looks)?;
        let [left, right] = self.sides(action)?;
        let turns = i32::from(right) - i32::from(left);
        match seen {
            Looks::Left => (turns < 0).then_some(Astray::TurnsFrom(seen)),
            Looks::Right => (turns > 0).then_some(Astray::TurnsFrom(seen)),
            Looks::Ahead => {
                let moves = left != 0 || right != 0;
                let forward = i32::from(left) + i32::from(right) > 0;
                (moves && !forward && !is_near(cond)).then_some(Astray::NotAt([left, right]))
            }
        }
    }

    /// Efforts of both sides where they are fixed.
    fn sides(&self, action: &Action) -> Option<[i16; 2]> {
        let turned = |turn: Turn, inner: i16, outer: i16| match turn {
            Turn::Left => Some([inner, outer]),
            Turn::Right => Some([outer, inner]),
            _ => None,
        };
        match action {
            Action::Drive(l, r) => Some([self.fixed(l)?, self.fixed(r)?]),
            Action::Pivot(e, turn) => {
                let e = self.fixed(e)?;
                turned(*turn, e.saturating_neg(), e)
            }
            Action::Arc(i, o, turn) => turned(*turn, self.fixed(i)?, self.fixed(o)?),
            // The inner side is slower, by how much depends on the robot.
            Action::Bend(_, _, turn, e) => {
                let e = self.fixed(e)?;
                turned(*turn, e / 2, e)
            }
            _ => None,
        }
    }

    /// How long a state surely stands from its beginning, ms: steps that wait for a fixed time, with nothing
    /// that ends them early.
    fn stands_ms(&self, state: &State) -> u16 {
        if !state.ways.is_empty() || state.stay.is_some() {
            return 0;
        }
        let stands = |s: &&Step| {
            s.action.is_instant()
                || s.until.is_none()
                    && (matches!(s.action, Action::Wait) || self.sides(&s.action) == Some([0, 0]))
        };
        let lasting = |s: &Step| {
            let time = s.lasting.as_ref().and_then(|e| self.fixed(e));
            time.and_then(|ms| u16::try_from(ms).ok()).unwrap_or(0)
        };
        (state.steps.iter().take_while(stands))
            .map(lasting)
            .fold(0, u16::saturating_add)
    }

    /// Whether a condition holds with every edge sensor at `level` and nobody in sight; none: it depends on
    /// something else.
    fn over(&self, cond: &Cond, level: i16, edge: &[String]) -> Option<bool> {
        let down = |word: &str| edge.iter().any(|e| e == word);
        match &cond.ask {
            Ask::OnBorder(_) => Some(level > self.border_level()),
            Ask::Above(n, e) if down(&n.word) => self.fixed(e).map(|v| level > v),
            Ask::Below(n, e) if down(&n.word) => self.fixed(e).map(|v| level < v),
            Ask::Sees(_) | Ask::Within(..) | Ask::Beyond(..) | Ask::Touched(_) => Some(false),
            Ask::Not(c) => self.over(c, level, edge).map(|holds| !holds),
            Ask::For(c, _) => self.over(c, level, edge),
            Ask::And(a, b) => match (self.over(a, level, edge), self.over(b, level, edge)) {
                (Some(false), _) | (_, Some(false)) => Some(false),
                (Some(true), Some(true)) => Some(true),
                _ => None,
            },
            Ask::Or(a, b) => match (self.over(a, level, edge), self.over(b, level, edge)) {
                (Some(true), _) | (_, Some(true)) => Some(true),
                (Some(false), Some(false)) => Some(false),
                _ => None,
            },
            Ask::Above(..) | Ask::Below(..) | Ask::Over(..) | Ask::Compare(..) | Ask::Chance(_) => {
                None
            }
        }
    }
}

/// Where the other surely is while the condition holds, as far as one side tells it.
fn seen(cond: &Cond, looks: &dyn Fn(&str) -> Option<Looks>) -> Option<Looks> {
    match &cond.ask {
        Ask::Sees(n) | Ask::Within(n, _) | Ask::Beyond(n, _) => looks(&n.word),
        Ask::For(c, _) => seen(c, looks),
        Ask::And(a, b) => match (seen(a, looks), seen(b, looks)) {
            (Some(a), Some(b)) => (a == b).then_some(a),
            (a, b) => a.or(b),
        },
        Ask::Or(a, b) => seen(a, looks).filter(|side| seen(b, looks) == Some(*side)),
        _ => None,
    }
}

/// Whether the condition asks for a distance: what is done close up is a matter of style.
fn is_near(cond: &Cond) -> bool {
    match &cond.ask {
        Ask::Within(..) | Ask::Beyond(..) => true,
        Ask::For(c, _) => is_near(c),
        Ask::And(a, b) | Ask::Or(a, b) => is_near(a) || is_near(b),
        _ => false,
    }
}
