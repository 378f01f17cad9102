//! Whether one condition holds whenever another does.
//!
//! Sound, not complete: it never says yes where some reading, counter or time contradicts it; it may
//! say no where a closer look would find a yes. Both conditions are asked at the same tick with nothing
//! done in between, as two reflexes are.

use crate::ast::{Ask, Cond, Expr, Name};
use crate::ports::PortKind;
use crate::tactic::Tactic;
use crate::walk::walk;

/// Pairs of conditions that are compared before it gives up with a no: long chains of `and` and `or`
/// in each other have more pairs than are worth the wait.
const MOST_PAIRS: u32 = 4000;

/// Pairs that may still be compared for a text, over all its conditions: a long one that is made for it
/// would otherwise take a second.
#[derive(Debug)]
pub(crate) struct Patience(u32);

impl Default for Patience {
    fn default() -> Self {
        Self(50 * MOST_PAIRS)
    }
}

/// What is compared with a fixed number.
#[derive(PartialEq)]
enum Subject<'t> {
    Sensor(&'t Name),
    Timer(&'t Name),
    Value(&'t Expr),
}

/// Whole numbers from the first to the second, both included; in 32 bits, so that one beyond the last
/// of 16 bits has a place.
type Span = (i32, i32);

/// The least and the greatest value there is.
const ALL: Span = (i16::MIN as i32, i16::MAX as i32);

/// A condition, or its opposite.
#[derive(Clone, Copy)]
struct Side<'t> {
    cond: &'t Cond,
    yes: bool,
}

impl<'t> Side<'t> {
    /// Without `not` in front.
    fn bare(self) -> Self {
        let mut side = self;
        while let Ask::Not(c) = &side.cond.ask {
            side = Side {
                cond: c,
                yes: !side.yes,
            };
        }
        side
    }

    fn of(self, cond: &'t Cond) -> Self {
        Side { cond, ..self }
    }

    /// Its two parts if both must hold. By De Morgan, `not (a or b)` is `not a and not b`.
    fn both(self) -> Option<[Self; 2]> {
        match (&self.cond.ask, self.yes) {
            (Ask::And(a, b), true) | (Ask::Or(a, b), false) => Some([self.of(a), self.of(b)]),
            _ => None,
        }
    }

    /// Its two parts if one of them must hold.
    fn either(self) -> Option<[Self; 2]> {
        match (&self.cond.ask, self.yes) {
            (Ask::Or(a, b), true) | (Ask::And(a, b), false) => Some([self.of(a), self.of(b)]),
            _ => None,
        }
    }
}

impl Tactic {
    /// Whether `b` holds at every tick at which `a` does.
    pub(crate) fn implies(&self, a: &Cond, b: &Cond, patience: &mut Patience) -> bool {
        let side = |cond| Side { cond, yes: true };
        let most = MOST_PAIRS.min(patience.0);
        let mut pairs = most;
        let follows = self.follows(side(a), side(b), &mut pairs);
        patience.0 -= most - pairs;
        follows
    }

    fn follows(&self, a: Side<'_>, b: Side<'_>, pairs: &mut u32) -> bool {
        if *pairs == 0 {
            return false;
        }
        *pairs -= 1;
        let (a, b) = (a.bare(), b.bare());
        if a.yes == b.yes && a.cond == b.cond && !draws(a.cond) {
            return true;
        }
        if let Some(parts) = a.either() {
            return parts.into_iter().all(|a| self.follows(a, b, pairs));
        }
        if let Some(parts) = b.both() {
            return parts.into_iter().all(|b| self.follows(a, b, pairs));
        }
        let by_part = (a.both()).is_some_and(|p| p.into_iter().any(|a| self.follows(a, b, pairs)))
            || (b.either()).is_some_and(|p| p.into_iter().any(|b| self.follows(a, b, pairs)));
        by_part || self.by_time(a, b, pairs) || self.by_number(a, b) || self.by_sight(a, b)
    }

    /// What has held for a time holds now, and what does not hold now has not: `for` is brought up to
    /// date at the same tick. Of a die this is not so, which is rolled again.
    fn by_time(&self, a: Side<'_>, b: Side<'_>, pairs: &mut u32) -> bool {
        let inner = |side: Side<'_>, yes: bool| match &side.cond.ask {
            Ask::For(c, _) => side.yes == yes && !draws(c),
            _ => false,
        };
        if let (true, Ask::For(c, _)) = (inner(a, true), &a.cond.ask) {
            return self.follows(a.of(c), b, pairs);
        }
        if let (true, Ask::For(c, _)) = (inner(b, false), &b.cond.ask) {
            return self.follows(a, b.of(c), pairs);
        }
        false
    }

    /// The same thing held against two numbers: all that satisfies the first satisfies the second.
    fn by_number(&self, a: Side<'_>, b: Side<'_>) -> bool {
        let (Some((of_a, a)), Some((of_b, b))) = (self.spans(a), self.spans(b)) else {
            return false;
        };
        // What can never hold is another mistake.
        of_a == of_b
            && !a.is_empty()
            && (a.iter()).all(|a| b.iter().any(|b| b.0 <= a.0 && a.1 <= b.1))
    }

    /// A distance sensor that sees within or beyond a distance sees. Only such a sensor can be asked
    /// for a distance.
    fn by_sight(&self, a: Side<'_>, b: Side<'_>) -> bool {
        let (near, sees) = match (a.yes, b.yes) {
            (true, true) => (a.cond, b.cond),
            (false, false) => (b.cond, a.cond),
            _ => return false,
        };
        match (&near.ask, &sees.ask) {
            (Ask::Beyond(n, _), Ask::Sees(m)) => n == m,
            // Seeing nothing is a reading too, and within that number.
            (Ask::Within(n, e), Ask::Sees(m)) => {
                n == m && self.fixed(e).is_some_and(|d| d < PortKind::NOTHING)
            }
            _ => false,
        }
    }

    /// What is held against fixed numbers, and the values for which the condition holds, as `compile`
    /// makes it.
    fn spans<'t>(&'t self, side: Side<'t>) -> Option<(Subject<'t>, Vec<Span>)> {
        let number = |e: &Expr| self.fixed(e).map(i32::from);
        let above = |v: i32| (v + 1, ALL.1);
        let below = |v: i32| (ALL.0, v - 1);
        let (subject, span) = match &side.cond.ask {
            Ask::Within(n, e) => (Subject::Sensor(n), (ALL.0, number(e)?)),
            Ask::Beyond(n, e) => {
                let nothing = i32::from(PortKind::NOTHING);
                (Subject::Sensor(n), (number(e)? + 1, nothing - 1))
            }
            Ask::OnBorder(n) => (Subject::Sensor(n), above(self.border_level().into())),
            Ask::Touched(n) => (Subject::Sensor(n), above(0)),
            Ask::Above(n, e) => (Subject::Sensor(n), above(number(e)?)),
            Ask::Below(n, e) => (Subject::Sensor(n), below(number(e)?)),
            Ask::Over(n, e) => (Subject::Timer(n), above(number(e)?)),
            Ask::Compare(sign, x, y) => {
                let (of, v, sign) = match (number(x), number(y)) {
                    (None, Some(v)) => (x, v, *sign),
                    (Some(v), None) => (y, v, turned(*sign)),
                    _ => return None,
                };
                let span = match sign {
                    '<' => below(v),
                    '>' => above(v),
                    _ => (v, v),
                };
                (self.subject(of), span)
            }
            _ => return None,
        };
        let spans = if side.yes {
            vec![span]
        } else {
            vec![(ALL.0, span.0 - 1), (span.1 + 1, ALL.1)]
        };
        Some((subject, spans.into_iter().filter(|s| s.0 <= s.1).collect()))
    }

    /// A bare name is the sensor of that name, unless it is a counter's.
    fn subject<'t>(&self, e: &'t Expr) -> Subject<'t> {
        match e {
            Expr::Name(n) if !self.tree().counters.iter().any(|c| c.0 == *n) => Subject::Sensor(n),
            _ => Subject::Value(e),
        }
    }
}

/// A comparison read from right to left.
fn turned(sign: char) -> char {
    match sign {
        '<' => '>',
        '>' => '<',
        same => same,
    }
}

/// Whether a condition is up to chance, so that it may hold where the same one before it did not.
pub(crate) fn draws(cond: &Cond) -> bool {
    let mut found = false;
    walk(cond, &mut |c| found |= matches!(c.ask, Ask::Chance(_)));
    found
}
