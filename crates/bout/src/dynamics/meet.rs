//! Robot against robot: finding all contacts of a millisecond and carrying history over.

use glam::DVec3;
use laws::tyre::grip_at_load;
use quantity::maths;

use super::body::Body;
use super::contact::{Contact, Tread};
use super::hull::{self, PairMemory, PlacedPrism, Scratch};
use super::machine::Machine;
use super::sheet::{self, Meeting, PlacedSheet, Rider, SheetScratch};

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
/// Distance in m added to every margin.
const MARGIN: f64 = 1e-4;

/// All that is between two robots.
#[derive(Debug, Clone)]
pub(crate) struct Encounter {
    contacts: Vec<Contact>,
    before: Vec<Contact>,
    prisms: [Vec<PlacedPrism>; 2],
    blunts: [PlacedPrism; 2],
    sheets: [Option<PlacedSheet>; 2],
    pairs: Vec<PairMemory>,
    blunt_pairs: [Vec<PairMemory>; 2],
    meetings: [Vec<Meeting>; 2],
    crossing: Crossing,
    sheet_pair: PairMemory,
    scratch: Scratch,
    clip: SheetScratch,
    stiffness: f64,
    damping: f64,
}

/// How the two sheets lie to each other.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Crossing {
    /// Their plans do not overlap.
    Apart,
    /// This robot's sheet is the lower one.
    Lower(usize),
    /// They run into each other.
    Blunt,
}

/// Geometry a new contact needs.
struct Found {
    key: u32,
    a: usize,
    normal: DVec3,
    point: DVec3,
    gap: f64,
    friction: f64,
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
            blunts: [PlacedPrism::default(), PlacedPrism::default()],
            sheets: [None; 2],
            pairs: vec![PairMemory::default(); a.hull.len() * b.hull.len()],
            blunt_pairs: [0, 1]
                .map(|i: usize| vec![PairMemory::default(); machines[1 - i].hull.len()]),
            meetings: [0, 1].map(|i: usize| vec![Meeting::Apart; machines[1 - i].hull.len()]),
            crossing: Crossing::Apart,
            sheet_pair: PairMemory::default(),
            scratch: Scratch::default(),
            clip: SheetScratch::default(),
            stiffness: reduced * omega * omega,
            damping: 2.0 * BODY_DAMPING * reduced * omega,
        }
    }

    /// Contacts of this millisecond.
    pub(crate) fn contacts(&self) -> &[Contact] {
        &self.contacts
    }

    /// The same, to be solved.
    pub(crate) fn contacts_mut(&mut self) -> &mut Vec<Contact> {
        &mut self.contacts
    }

    /// Finds the contacts that can close within `span`.
    pub(crate) fn find(
        &mut self,
        machines: &[Machine; 2],
        bodies: &[Body; 2],
        span: f64,
        grip: f64,
        h: f64,
    ) {
        std::mem::swap(&mut self.contacts, &mut self.before);
        self.contacts.clear();
        let speed = (bodies[0].v - bodies[1].v).length()
            + machines[0].reach * bodies[0].w.length()
            + machines[1].reach * bodies[1].w.length();
        let margin = span * speed + MARGIN;
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
            self.sheets[i] = machines[i].sheet.as_ref().map(|s| {
                self.blunts[i].place(&s.blunt, &bodies[i]);
                PlacedSheet::place(s, &bodies[i])
            });
        }
        self.hull_on_hull(machines, bodies, margin);
        for owner in 0..2 {
            if let Some(placed) = self.sheets[owner] {
                self.on_sheet(owner, &placed, machines, bodies, margin, grip, h);
            }
        }
        self.sheet_on_sheet(machines, bodies, margin);
        carry_over(&mut self.contacts, &self.before, span);
    }

    /// Forgets who got under whom.
    fn part(&mut self) {
        self.crossing = Crossing::Apart;
        for m in self.meetings.iter_mut().flatten() {
            *m = Meeting::Apart;
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
                        };
                        contacts.push(contact(&found, bodies, s, d));
                    },
                );
                pair += 1;
            }
        }
    }

    /// Everything of the other robot that rides on, or runs into, the sheet of `owner`.
    #[allow(clippy::too_many_arguments, reason = "one millisecond's geometry")]
    fn on_sheet(
        &mut self,
        owner: usize,
        placed: &PlacedSheet,
        machines: &[Machine; 2],
        bodies: &[Body; 2],
        margin: f64,
        grip: f64,
        h: f64,
    ) {
        let other = 1 - owner;
        let Some(own) = &machines[owner].sheet else {
            return;
        };
        let flag = index(owner) << 26;
        for (j, prism) in machines[other].hull.iter().enumerate() {
            let met = &self.prisms[other][j];
            let overlaps = placed.may_meet(met.middle, prism.radius)
                && sheet::overlap(placed, &met.low, &mut self.clip);
            let meeting = &mut self.meetings[owner][j];
            if !overlaps {
                *meeting = Meeting::Apart;
            } else if *meeting == Meeting::Apart {
                let over = sheet::height_at_edge(&self.clip) > placed.edge
                    && sheet::least_height(&self.clip) > -sheet::DEEPEST_ENTRY;
                *meeting = if over { Meeting::Under } else { Meeting::Blunt };
            }
            let (contacts, s, d) = (&mut self.contacts, self.stiffness, self.damping);
            match *meeting {
                Meeting::Under => sheet::riders(placed, &self.clip, margin, |k, r| {
                    let key = 0x5000_0000 | flag | index(j) << 14 | k;
                    let found = Found {
                        key,
                        a: other,
                        normal: r.normal,
                        point: r.point,
                        gap: r.gap,
                        friction: own.friction,
                    };
                    contacts.push(contact(&found, bodies, s, d));
                }),
                Meeting::Apart | Meeting::Blunt => {
                    let friction = own.friction.max(prism.friction.min(own.friction));
                    let base = 0x6000_0000 | flag | index(j) << 14;
                    let body_over = &self.prisms[other][j];
                    hull::collide(
                        &self.blunts[owner],
                        &self.prisms[other][j],
                        false,
                        margin,
                        &mut self.blunt_pairs[owner][j],
                        &mut self.scratch,
                        |owner_is_two, face, k, normal, point, gap| {
                            // Not yet met: only what it is about to run into, not get under.
                            let under = body_over.low_height(point) > placed.height_near(point);
                            if *meeting == Meeting::Apart && under {
                                return;
                            }
                            let a = if owner_is_two { owner } else { other };
                            let key =
                                base | u32::from(owner_is_two) << 13 | index(face) << 4 | index(k);
                            let found = Found {
                                key,
                                a,
                                normal,
                                point,
                                gap,
                                friction,
                            };
                            contacts.push(contact(&found, bodies, s, d));
                        },
                    );
                }
            }
        }
        for (k, wheel) in machines[other].wheels.iter().enumerate() {
            let body = &bodies[other];
            let centre = body.place(wheel.centre);
            let rider = sheet::tread_on_sheet(placed, centre, body.axle, wheel.radius, margin);
            let Some(r) = rider else { continue };
            let key = 0x7000_0000 | flag | index(k);
            let found = Found {
                key,
                a: other,
                normal: r.normal,
                point: r.point,
                gap: r.gap,
                friction: own.friction,
            };
            let mut c = contact(&found, bodies, wheel.stiffness, wheel.damping);
            let along = body.axle.cross(r.normal).normalize_or_zero();
            c.along = along;
            c.across = r.normal.cross(along);
            c.tread = Some(Tread {
                wheel: k,
                group: wheel.group,
                radius: wheel.radius,
            });
            // The tyre's own grip, as on a smooth ring: nothing better is known of tyre on steel.
            let load = self.load_before(key, h).max(0.02 * wheel.reference_load);
            let sensitive =
                grip * grip_at_load(1.0, load, wheel.reference_load, wheel.load_exponent);
            c.grip_peak = wheel.grip_peak * sensitive;
            c.grip_sliding = wheel.grip_sliding * sensitive;
            self.contacts.push(c);
        }
    }

    fn load_before(&self, key: u32, h: f64) -> f64 {
        self.before
            .iter()
            .find(|c| c.key == key)
            .map_or(0.0, |c| c.impulse[0] / h)
    }

    fn sheet_on_sheet(&mut self, machines: &[Machine; 2], bodies: &[Body; 2], margin: f64) {
        let (Some(one), Some(two)) = (self.sheets[0], self.sheets[1]) else {
            return;
        };
        let placed = [one, two];
        let friction =
            [0, 1].map(|i: usize| machines[i].sheet.as_ref().map_or(0.0, |s| s.friction));
        let friction = (friction[0] * friction[1]).sqrt();
        // The lower sheet first: once it is known, one clipping both finds out whether they still
        // cross and gives the riders.
        let lower = match self.crossing {
            Crossing::Lower(lower) => lower,
            Crossing::Apart | Crossing::Blunt => 0,
        };
        let near = one.may_meet(two.middle(), two.radius);
        let mut clipped = near && self.clip_sheets(&placed, lower);
        let meet = clipped || near && self.clip_sheets(&placed, 1 - lower);
        if !meet {
            self.crossing = Crossing::Apart;
        } else if self.crossing == Crossing::Apart {
            self.crossing = self.who_is_lower(&placed);
            clipped = false;
        }
        match self.crossing {
            Crossing::Apart => {}
            Crossing::Lower(lower) => {
                let upper = 1 - lower;
                if !clipped && !self.clip_sheets(&placed, lower) {
                    return;
                }
                let (contacts, s, d) = (&mut self.contacts, self.stiffness, self.damping);
                sheet::riders(&placed[lower], &self.clip, margin, |k, r| {
                    let key = 0x8000_0000 | index(lower) << 26 | k;
                    let Rider { point, normal, gap } = r;
                    let found = Found {
                        key,
                        a: upper,
                        normal,
                        point,
                        gap,
                        friction,
                    };
                    contacts.push(contact(&found, bodies, s, d));
                });
            }
            Crossing::Blunt => {
                let (contacts, s, d) = (&mut self.contacts, self.stiffness, self.damping);
                hull::collide(
                    &self.blunts[0],
                    &self.blunts[1],
                    false,
                    margin,
                    &mut self.sheet_pair,
                    &mut self.scratch,
                    |owner_is_two, face, k, normal, point, gap| {
                        let a = usize::from(!owner_is_two);
                        let key = 0x9000_0000
                            | u32::from(owner_is_two) << 26
                            | index(face) << 4
                            | index(k);
                        let found = Found {
                            key,
                            a,
                            normal,
                            point,
                            gap,
                            friction,
                        };
                        contacts.push(contact(&found, bodies, s, d));
                    },
                );
            }
        }
    }

    /// Clips the other sheet to the plan of sheet `lower`; whether anything is left.
    fn clip_sheets(&mut self, placed: &[PlacedSheet; 2], lower: usize) -> bool {
        sheet::overlap(&placed[lower], &placed[1 - lower].corners, &mut self.clip)
    }

    /// Which of two sheets that begin to overlap is the lower one: the one with the lower edge
    /// where edges meet, the one the other lies above where they cross from the side; neither, if
    /// that would start with one deep inside the other.
    fn who_is_lower(&mut self, placed: &[PlacedSheet; 2]) -> Crossing {
        let mut over = [f64::NEG_INFINITY; 2];
        for (lower, over) in over.iter_mut().enumerate() {
            if self.clip_sheets(placed, lower) {
                *over = sheet::least_height(&self.clip);
            }
        }
        let first = match sheet::edge_heights(&placed[0], &placed[1]) {
            Some(height) => usize::from(height[1] < height[0]),
            None => usize::from(over[1] > over[0]),
        };
        [first, 1 - first]
            .into_iter()
            .find(|lower| over[*lower] > -sheet::DEEPEST_ENTRY)
            .map_or(Crossing::Blunt, Crossing::Lower)
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
fn index(i: usize) -> u32 {
    u32::try_from(i).unwrap_or(0)
}

/// A contact of robot `found.a` with the other robot.
fn contact(found: &Found, bodies: &[Body; 2], stiffness: f64, damping: f64) -> Contact {
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
                c.impulse = b.impulse;
                c.sliding = b.sliding;
                // Both gaps are of the same instant: a difference is the search seeing it anew.
                c.offset = b.offset + (c.gap - b.gap + SEEN_ANEW).min(0.0);
            }
            None => c.offset = c.gap.min(0.0),
        }
        c.offset = (c.offset + WORK_OFF * span).max(c.gap).min(0.0);
    }
}
