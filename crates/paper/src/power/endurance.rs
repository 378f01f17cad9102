//! How long a charge lasts: rounds, matches, a day.

use quantity::{Charge, Current, show_si};
use robot::{Finding, Robot, Severity};

use super::currents::Stalled;
use crate::Day;

/// Share of the charge that stays in the pack: emptier, cells sag and suffer. Common practice, no
/// source.
const STAYS: f64 = 0.2;

/// What a round takes and how many a charge gives.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Endurance {
    /// Charge of a hard round with the pause before it, A·s.
    pub round_c: f64,
    /// Rounds until a fifth of the charge is left; none: a round takes nothing.
    pub rounds: Option<f64>,
    /// Rounds of a match where all are fought.
    pub rounds_of_match: u32,
    /// Matches on one charge.
    pub matches: Option<f64>,
    /// Time of full pushing until a fifth of the charge is left, s.
    pub pushing_s: Option<f64>,
    /// Pack current while it pushes over the charge it holds in an hour's current ("C rate").
    pub c_rate: f64,
}

impl Endurance {
    /// For a hard day as [`Day::of`] has it: in every round it pushes for as long as the judge lets two
    /// push that get nowhere; board and sensors stay on in the pauses.
    pub(super) fn of(robot: &Robot, stalled: &Stalled, share: f64, day: &Day) -> Self {
        let pushing_a = stalled.pushing_a(share);
        let round_c = pushing_a * day.push_s + stalled.idle_a * day.pause_s;
        let usable_c = (1.0 - STAYS) * robot.battery.capacity.si() * robot.battery.charge.si();
        let over = |each: f64| (each > 0.0).then(|| usable_c / each);
        let rounds = over(round_c);
        Self {
            round_c,
            rounds,
            rounds_of_match: day.rounds,
            matches: rounds.map(|n| n / f64::from(day.rounds.max(1))),
            pushing_s: over(pushing_a),
            c_rate: stalled.pack_a / (robot.battery.capacity.si() / 3600.0).max(1e-9),
        }
    }

    /// What is to be said about it: a charge that does not last a match.
    pub(super) fn findings(&self, robot: &Robot, pushing_a: f64, day: &Day) -> Option<Finding> {
        let rounds = self.rounds?;
        if rounds >= f64::from(self.rounds_of_match) {
            return None;
        }
        let capacity = robot.battery.capacity.si();
        let needed = self.round_c * f64::from(self.rounds_of_match) / (1.0 - STAYS);
        Some(Finding {
            name: "pack-runs-out",
            severity: Severity::Warning,
            what: format!(
                "The charge lasts {rounds:.1} hard rounds; a match may have {}.",
                self.rounds_of_match
            ),
            why: format!(
                "A round takes {}: {:.0} s of pushing at {} and the pause before it. Of {} a fifth stays in \
                 the pack.",
                show_si::<Charge>(self.round_c),
                day.push_s,
                show_si::<Current>(pushing_a),
                show_si::<Charge>(capacity * robot.battery.charge.si())
            ),
            mend: format!(
                "Take a pack of {} and more, or change it between the rounds if the rules allow that.",
                show_si::<Charge>(needed)
            ),
            place: Some(robot.battery.item.place.clone()),
        })
    }
}
