//! What a robot takes from one round into the next of the same day.

use laws::heat::{Warmth, network_of};
use quantity::Draws;
use robot::{Motor, Robot};

/// Warm motors, a pack no longer full, tyres no longer clean.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Carry {
    /// Charge gone since the pack was as the robot file says, A·s.
    pub used_c: f64,
    /// Rises of each motor's winding and case over the air, in file order; missing ones are cold.
    pub motors: Vec<Warmth>,
    /// Travel of each tyre over the ring since it was as the robot file says, m, in file order: only
    /// of those that lose grip by dirt. Missing ones have none.
    pub tyres_m: Vec<f64>,
}

impl Carry {
    /// The same after a pause of `time_s` without current, with the nominal figures of `robot`.
    #[must_use]
    pub fn rested(&self, robot: &Robot, time_s: f64) -> Self {
        let cooled = |(m, w): (&Motor, &Warmth)| {
            network_of(m, &Draws::nominal()).after(*w, 0.0, time_s.max(0.0))
        };
        Self {
            used_c: self.used_c,
            motors: robot.motors.iter().zip(&self.motors).map(cooled).collect(),
            tyres_m: self.tyres_m.clone(),
        }
    }

    /// The same with a freshly charged pack.
    #[must_use]
    pub fn recharged(self) -> Self {
        Self {
            used_c: 0.0,
            ..self
        }
    }

    /// The same with tyres as clean as the robot file says.
    #[must_use]
    pub fn wiped(self) -> Self {
        Self {
            tyres_m: Vec::new(),
            ..self
        }
    }
}
