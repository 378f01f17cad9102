//! What a world owes nature: the account of its energy, and how deep bodies overlap.
//!
//! Where the account is kept (always in builds with debug assertions) every step is audited: from
//! after the search for contacts to its end, robots and contact springs together gain no more energy
//! than motors, gadgets and magnets gave. What a search sees anew and what is worked off of given
//! overlaps is left out: that is given, not made by the step. Friction that turns over within a step
//! is allowed for: see [`World::turned_over`].

use quantity::maths;

use super::contact::Contact;
use super::ground::Rolling;
use super::rebound;
use super::tread::place_tread;
use super::world::World;

/// A step may make as much energy as lifts both robots by this in m: contacts begin and end within
/// it.
const LIFT: f64 = 2e-4;
/// And this share of the energy of motion.
const SHARE: f64 = 0.01;

/// The account of a step when it begins, J.
#[derive(Debug, Clone)]
pub(super) struct Opened {
    all: f64,
    motion: f64,
    /// Spins of both robots, rad/s.
    spins: [Vec<f64>; 2],
}

impl World {
    /// Opens the account of a step.
    pub(super) fn open_account(&self) -> Opened {
        Opened {
            all: self.energy().0,
            motion: rebound::motion(&self.machines, &self.bodies),
            spins: [0, 1].map(|i| self.bodies[i].s.clone()),
        }
    }

    /// Energy in J that friction is out by where it stops or turns a spin round within one step of
    /// `span` s: half of friction × span × change of the tread's speed. Forces of a step are those
    /// that hold at its end, so work that changes its sign within it is right to first order only:
    /// a rotor brought from full speed to nought in a millisecond is the worst there is.
    fn turned_over(&self, opened: &Opened, span: f64) -> f64 {
        let treads = self.treads.iter().flatten();
        treads
            .chain(self.encounter.contacts())
            .filter_map(|c| c.tread.map(|t| (c, t)))
            .map(|(c, t)| {
                let change = self.bodies[c.a].s[t.group] - opened.spins[c.a][t.group];
                0.5 * c.impulse[1].abs() / self.substep * span * (t.lever * change).abs()
            })
            .sum()
    }

    /// Energy that the step of `span` s made from nothing, as a share of what it may make.
    pub(super) fn close_account(&self, opened: &Opened, span: f64) -> f64 {
        let (all, work) = self.energy();
        let mass: f64 = self.machines.iter().map(|m| m.mass).sum();
        let may = LIFT * mass * maths::STANDARD_GRAVITY
            + SHARE * opened.motion
            + self.turned_over(opened, span);
        (all - opened.all - work) / may
    }

    /// From now on the motors' work is added up. Bouts do without.
    pub(crate) fn keep_account(&mut self) {
        self.keeps_account = true;
    }

    /// Energy of both robots and of all contact springs, and the work of motors and magnets since the last call
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
        (bodies + springs + treads, self.given_work)
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

#[cfg(test)]
mod tests {
    use super::super::scene::SCENE;

    /// A scramble of the reference scene, the other way round every tenth of a second.
    #[test]
    fn no_step_of_a_scramble_makes_energy() {
        let (mut most, mut touched) = (0.0_f64, 0);
        for round in 0..8_u32 {
            let mut world = SCENE.facing([SCENE.stall_torque; 2], true);
            world.keep_account();
            let aside = 0.01 * f64::from(round) - 0.04;
            world.put_down(0, -0.15, aside, 0.3 * aside);
            for ms in 0..2000_u32 {
                let turn = f64::from((ms / 100 + 3 * round) % 7) / 6.0;
                world.advance(1, [[1.0, 1.0 - turn], [0.4 + 0.6 * turn, 1.0]]);
                most = most.max(world.made);
                touched += u32::from(world.touch(0).is_some());
                if world.on_floor(0) || world.on_floor(1) {
                    break;
                }
            }
        }
        println!("{most:.3} of what a step may make, {touched} ms of touch");
        assert!(touched > 2000, "{touched}");
        // Measured: none at all.
        assert!(most < 0.1, "{most}");
    }

    #[test]
    fn energy_from_nowhere_is_seen() {
        let mut world = SCENE.facing([SCENE.stall_torque; 2], true);
        let opened = world.open_account();
        world.given_work = 0.0;
        world.bodies[0].v.x += 0.5;
        assert!(world.close_account(&opened, 1e-3) > 1.0);
    }
}
