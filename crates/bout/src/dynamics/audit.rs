//! What a world owes nature: the account of its energy, and how deep bodies overlap.

use super::contact::Contact;
use super::ground::Rolling;
use super::tread::place_tread;
use super::world::World;

impl World {
    /// From now on the motors' work is added up. Bouts do without.
    pub(crate) fn keep_account(&mut self) {
        self.keeps_account = true;
    }

    /// Energy of both robots and of all contact springs, and the motors' work since the last call
    /// of `advance` began, in J: nought unless [`World::keep_account`] was called.
    pub(crate) fn energy(&self) -> (f64, f64) {
        let bodies: f64 = (0..2)
            .map(|i| self.bodies[i].energy(&self.machines[i], self.gravity))
            .sum();
        let contacts = self
            .encounter
            .contacts()
            .iter()
            .chain(self.feet.iter().flatten());
        let springs: f64 = contacts.map(|c| self.now(c).spring_energy()).sum();
        let treads: f64 = (0..2)
            .flat_map(|i| {
                self.treads[i]
                    .iter()
                    .zip(&self.machines[i].wheels)
                    .map(move |p| (i, p))
            })
            .map(|(i, (c, w))| {
                let mut c = c.clone();
                let rolling = Rolling::about(self.bodies[i].axle);
                let at = place_tread(&c, w, &self.bodies[i], &rolling, self.ring);
                c.touch_down(&at, &self.bodies[i]);
                c.spring_energy()
            })
            .sum();
        (bodies + springs + treads, self.motor_work)
    }

    /// A contact as the bodies stand now.
    fn now(&self, contact: &Contact) -> Contact {
        let mut contact = contact.clone();
        contact.measure(&self.bodies);
        contact
    }

    /// Deepest overlap of any contact between the robots, given overlaps included, in m.
    #[cfg(test)]
    pub(crate) fn depth(&self) -> f64 {
        self.encounter
            .contacts()
            .iter()
            .map(|c| -self.now(c).gap)
            .fold(0.0, f64::max)
    }
}
