//! Robot against robot: finding all contacts of a millisecond and carrying history over.

use glam::DVec3;
use quantity::maths;

use super::body::Body;
use super::contact::Contact;
use super::hull::{self, PairMemory, PlacedPrism, Scratch};
use super::machine::Machine;
use super::promise::{self, Promise};
use super::rebound;
use super::sheet::{Meeting, PlacedSheet, SheetScratch};
use super::sheets::{self, Crossing};

/// Stiffness of robot against robot, as a frequency in Hz of the reduced mass. Lower lets robots
/// sink into each other, higher needs a shorter step to stay quiet.
const BODY_HZ: f64 = 200.0;
/// Damping ratio of robot against robot. Five removes rebound altogether.
const BODY_DAMPING: f64 = 5.0;
/// A search may see a contact this much deeper in m before it counts as a given overlap; without
/// it, rounding of moving contact points adds up to overlaps nobody pushes apart.
const SEEN_ANEW: f64 = 1e-5;
/// A given overlap is worked off at this speed in m/s. Faster creates visible energy.
const WORK_OFF: f64 = 0.01;
/// An overlap is not worked off while the contact is pressed in deeper than this in m beyond it: three
/// times what a robot's own weight does.
const PRESSED: f64 = 3e-5;
/// Distance in m added to every margin.
const MARGIN: f64 = 1e-4;

/// All that is between two robots.
#[derive(Debug, Clone)]
pub(crate) struct Encounter {
    pub(super) contacts: Vec<Contact>,
    before: Vec<Contact>,
    pub(super) prisms: [Vec<PlacedPrism>; 2],
    pub(super) blunts: [Vec<PlacedPrism>; 2],
    pub(super) sheets: [Vec<PlacedSheet>; 2],
    pairs: Vec<PairMemory>,
    /// Of each sheet with each hull piece of the other robot: sheet by sheet.
    pub(super) meetings: [Vec<(Meeting, PairMemory)>; 2],
    /// Of each sheet of robot 0 with each of robot 1: sheet by sheet.
    pub(super) crossings: Vec<(Crossing, PairMemory)>,
    pub(super) scratch: Scratch,
    pub(super) clip: SheetScratch,
    pub(super) stiffness: f64,
    pub(super) damping: f64,
    promise: Promise,
    /// Whether any contact may rebound.
    noted: bool,
}

/// Geometry a new contact needs.
pub(super) struct Found {
    pub(super) key: u32,
    pub(super) a: usize,
    pub(super) normal: DVec3,
    pub(super) point: DVec3,
    pub(super) gap: f64,
    pub(super) friction: f64,
    /// Joints of the parts that touch, by robot.
    pub(super) joints: [Option<usize>; 2],
}

impl Encounter {
    /// Nothing touches.
    pub(crate) fn new(machines: &[Machine; 2]) -> Self {
        let [a, b] = machines;
        let reduced = a.mass * b.mass / (a.mass + b.mass);
        let omega = maths::TAU * BODY_HZ;
        Self {
            contacts: Vec::with_capacity(64),
            before: Vec::with_capacity(64),
            prisms: [0, 1].map(|i: usize| vec![PlacedPrism::default(); machines[i].hull.len()]),
            blunts: [0, 1].map(|i: usize| vec![PlacedPrism::default(); machines[i].sheets.len()]),
            sheets: [0, 1].map(|i: usize| vec![PlacedSheet::default(); machines[i].sheets.len()]),
            pairs: vec![PairMemory::default(); a.hull.len() * b.hull.len()],
            meetings: [0, 1].map(|i: usize| {
                let n = machines[i].sheets.len() * machines[1 - i].hull.len();
                vec![(Meeting::Apart, PairMemory::default()); n]
            }),
            crossings: vec![
                (Crossing::Apart, PairMemory::default());
                a.sheets.len() * b.sheets.len()
            ],
            scratch: Scratch::default(),
            clip: SheetScratch::default(),
            stiffness: reduced * omega * omega,
            damping: 2.0 * BODY_DAMPING * reduced * omega,
            promise: Promise::default(),
            noted: false,
        }
    }

    /// Whether one robot's points move slower than `speed` against the other's at the start of this
    /// step, and none toward it faster than what counts as a hit.
    pub(super) fn is_quiet(&self, speed: f64) -> bool {
        let closes = |c: &Contact| c.approach > rebound::LEAST_APPROACH;
        self.promise.speed() < speed && !(self.noted && self.contacts.iter().any(closes))
    }

    /// Contacts of this millisecond.
    pub(crate) fn contacts(&self) -> &[Contact] {
        &self.contacts
    }

    /// The same, to be solved.
    pub(crate) fn contacts_mut(&mut self) -> &mut Vec<Contact> {
        &mut self.contacts
    }

    /// Brings the contacts up to date for a step of `span` seconds: those that can close within it.
    /// Says whether they were searched for afresh.
    pub(crate) fn find(
        &mut self,
        machines: &[Machine; 2],
        bodies: &[Body; 2],
        span: f64,
        grip: f64,
        h: f64,
    ) -> bool {
        let pace = promise::between(machines, bodies);
        let holds = self.promise.holds(pace, span);
        if holds {
            for c in &mut self.contacts {
                c.go_on(bodies, span);
            }
        } else {
            for c in &mut self.contacts {
                c.measure(bodies);
            }
            let margin = self.promise.renew() + MARGIN;
            self.search(machines, bodies, [margin, span], grip, h);
        }
        let hits = pace.speed > rebound::LEAST_APPROACH;
        if hits || self.noted {
            rebound::note_approach(&mut self.contacts, machines, bodies);
        }
        self.noted = hits;
        !holds
    }

    /// Finds the contacts that are nearer than `margin`.
    fn search(
        &mut self,
        machines: &[Machine; 2],
        bodies: &[Body; 2],
        [margin, span]: [f64; 2],
        grip: f64,
        h: f64,
    ) {
        std::mem::swap(&mut self.contacts, &mut self.before);
        self.contacts.clear();
        let reach = machines[0].reach + machines[1].reach + margin;
        if bodies[0].x.distance_squared(bodies[1].x) > reach * reach
            || side_by_side(machines, bodies, margin)
        {
            self.part();
            return;
        }
        for i in 0..2 {
            for (placed, prism) in self.prisms[i].iter_mut().zip(&machines[i].hull) {
                placed.place(prism, &bodies[i]);
            }
            for (k, sheet) in machines[i].sheets.iter().enumerate() {
                sheets::place_blunt(&mut self.blunts[i][k], sheet, &bodies[i]);
                self.sheets[i][k] = PlacedSheet::place(sheet, &bodies[i]);
            }
        }
        self.hull_on_hull(machines, bodies, margin);
        for owner in 0..2 {
            for k in 0..self.sheets[owner].len() {
                self.on_sheet([owner, k], machines, bodies, margin, grip, h);
            }
        }
        for one in 0..self.sheets[0].len() {
            for two in 0..self.sheets[1].len() {
                self.sheet_on_sheet([one, two], machines, bodies, margin);
            }
        }
        self.on_tops(machines, bodies, margin, grip, h);
        carry_over(&mut self.contacts, &self.before, span);
    }

    /// Forgets who got under whom.
    fn part(&mut self) {
        for c in &mut self.crossings {
            c.0 = Crossing::Apart;
        }
        for m in self.meetings.iter_mut().flatten() {
            m.0 = Meeting::Apart;
        }
    }

    fn hull_on_hull(&mut self, machines: &[Machine; 2], bodies: &[Body; 2], margin: f64) {
        let mut pair = 0;
        for i in 0..machines[0].hull.len() {
            for j in 0..machines[1].hull.len() {
                let (one, two) = (&self.prisms[0][i], &self.prisms[1][j]);
                let friction = (machines[0].hull[i].friction * machines[1].hull[j].friction).sqrt();
                let (contacts, s, d) = (&mut self.contacts, self.stiffness, self.damping);
                let base = 0x4000_0000 | index(i) << 20 | index(j) << 14;
                hull::collide(
                    one,
                    two,
                    true,
                    margin,
                    &mut self.pairs[pair],
                    &mut self.scratch,
                    |owner_is_two, face, k, normal, point, gap| {
                        // The prism without the reference face is pushed away from it.
                        let a = usize::from(!owner_is_two);
                        let key =
                            base | u32::from(owner_is_two) << 26 | index(face) << 4 | index(k);
                        let found = Found {
                            key,
                            a,
                            normal,
                            point,
                            gap,
                            friction,
                            joints: [None; 2],
                        };
                        contacts.push(contact(&found, bodies, s, d));
                    },
                );
                pair += 1;
            }
        }
    }

    pub(super) fn load_before(&self, key: u32, h: f64) -> f64 {
        self.before
            .iter()
            .find(|c| c.key == key)
            .map_or(0.0, |c| c.impulse[0] / h)
    }
}

/// Whether a side of one robot's box keeps the other's box off by more than `margin`: robots that
/// pass or close in spend much of a bout within reach of each other without touching.
fn side_by_side(machines: &[Machine; 2], bodies: &[Body; 2], margin: f64) -> bool {
    let way = bodies[1].place(machines[1].middle) - bodies[0].place(machines[0].middle);
    [(0, 1), (1, 0)].into_iter().any(|(own, other)| {
        let (own_half, half) = (machines[own].half, machines[other].half);
        let (r, o) = (&bodies[own].r, &bodies[other].r);
        [(r.x_axis, own_half.x), (r.y_axis, own_half.y)]
            .into_iter()
            .any(|(side, own_half)| {
                let reach = half.x * side.dot(o.x_axis).abs()
                    + half.y * side.dot(o.y_axis).abs()
                    + half.z * side.dot(o.z_axis).abs();
                // Apart in plan, not one above the other: that would not end a meeting.
                side.z.abs() < 0.5 && side.dot(way).abs() > own_half + reach + margin
            })
    })
}

/// A small index inside a key.
pub(super) fn index(i: usize) -> u32 {
    u32::try_from(i).unwrap_or(0)
}

/// A contact of robot `found.a` with the other robot.
pub(super) fn contact(found: &Found, bodies: &[Body; 2], stiffness: f64, damping: f64) -> Contact {
    let (a, b) = (found.a, 1 - found.a);
    let mut c = Contact::new(found.key, a, b, found.normal);
    let on_b = found.point - found.normal * found.gap;
    c.anchor_a = bodies[a].r.transpose() * (found.point - bodies[a].x);
    c.anchor_b = bodies[b].r.transpose() * (on_b - bodies[b].x);
    c.gap = found.gap;
    c.stiffness = stiffness;
    c.damping = damping;
    c.grip_peak = found.friction;
    c.grip_sliding = found.friction;
    let [one, two] = [found.joints[a], found.joints[b]];
    if one.is_some() || two.is_some() {
        c.on_parts(bodies[a].side(one), bodies[b].side(two));
    }
    c
}

/// Gives contacts the impulses and given overlaps of their namesakes of last time.
///
/// An overlap that was there when the contact appeared, or that jumped, is taken as an offset: the
/// spring starts from it. Offsets shrink as the bodies part, and slowly by themselves.
pub(crate) fn carry_over(now: &mut [Contact], before: &[Contact], span: f64) {
    for c in now {
        match before.iter().find(|b| b.key == c.key) {
            Some(b) => {
                // What sprang apart does not go on pressing.
                c.impulse = if b.sprang > 0.0 { [0.0; 3] } else { b.impulse };
                c.sliding = b.sliding;
                // Both gaps are of the same instant: a difference is the search seeing it anew.
                let pressed = b.gap - b.offset < -PRESSED;
                let passed = if pressed { 0.0 } else { SEEN_ANEW };
                c.offset = b.offset + (c.gap - b.gap + passed).min(0.0);
            }
            None => c.offset = c.gap.min(0.0),
        }
        c.work_off(span);
    }
}

impl Contact {
    /// Brings a contact that was found before into a new step.
    pub(super) fn go_on(&mut self, bodies: &[Body; 2], span: f64) {
        if self.sprang > 0.0 {
            // What sprang apart does not go on pressing.
            self.impulse = [0.0; 3];
            self.sprang = 0.0;
        }
        if self.offset < 0.0 {
            self.measure(bodies);
            self.work_off(span);
        }
    }

    /// Lets a given overlap shrink with its gap, and by itself where not much presses against it:
    /// what is jammed between two others would be driven into them.
    pub(super) fn work_off(&mut self, span: f64) {
        let worked_off = (self.offset + WORK_OFF * span).min(self.gap + PRESSED);
        self.offset = self.offset.max(worked_off).max(self.gap).min(0.0);
    }
}
