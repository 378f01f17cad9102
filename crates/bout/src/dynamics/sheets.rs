//! Sheets of one robot (blade, flaps, plates) against the other robot: its hulls and wheels that
//! ride on them or run into them, and its own sheets.

use glam::{DVec2, DVec3};
use laws::tyre::grip_at_load;

use super::body::Body;
use super::contact::Tread;
use super::ground::Part;
use super::hull::{self, PlacedPrism};
use super::machine::{Machine, Sheet};
use super::meet::{Encounter, Found, contact, index};
use super::sheet::{self, Meeting, PlacedSheet, Rider};

/// A sheet that stands nearly upright is at least this deep in m as a blunt body.
const LEAST_DEPTH: f64 = 1e-3;

/// How two sheets lie to each other.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Crossing {
    /// Their plans do not overlap.
    Apart,
    /// This robot's sheet is the lower one.
    Lower(usize),
    /// They run into each other.
    Blunt,
}

/// Places the blunt stand-in of a sheet, where its joint has it now.
pub(super) fn place_blunt(blunt: &mut PlacedPrism, sheet: &Sheet, body: &Body) {
    if sheet.joint.is_none() {
        blunt.place(&sheet.blunt, body);
        return;
    }
    let corners = sheet.corners.map(|c| body.moved(sheet.joint, c));
    let [left, right] = [corners[0], corners[1]].map(DVec3::truncate);
    let edge = (left - right).normalize_or_zero();
    let back = DVec2::new(-edge.y, edge.x);
    let run = (corners[3].truncate() - left).dot(back);
    let run = if run.abs() < LEAST_DEPTH {
        LEAST_DEPTH.copysign(run)
    } else {
        run
    };
    let (low, high) = (
        corners[0].z.min(corners[3].z),
        corners[0].z.max(corners[3].z),
    );
    let deep = back * run;
    // Counter-clockwise from above, whichever way it lies over.
    let mut outline = [left + deep, right + deep, right, left];
    if run < 0.0 {
        outline.reverse();
    }
    let r = &body.r;
    let base = body.x + r.z_axis * low;
    blunt.rise = r.z_axis * (high - low).max(LEAST_DEPTH);
    blunt.up = r.z_axis;
    let corners = outline.map(|c| base + r.x_axis * c.x + r.y_axis * c.y);
    blunt.middle = 0.5 * (corners[0] + corners[2]);
    blunt.low.clear();
    blunt.low.extend(corners);
    blunt.normals.clear();
    for k in 0..4 {
        let along = outline[(k + 1) % 4] - outline[k];
        let normal = DVec2::new(along.y, -along.x).normalize_or_zero();
        blunt
            .normals
            .push(r.x_axis * normal.x + r.y_axis * normal.y);
    }
}

impl Encounter {
    /// Everything of the other robot that rides on, or runs into, the sheet of `owner`.
    #[allow(clippy::too_many_arguments, reason = "one millisecond's geometry")]
    pub(super) fn on_sheet(
        &mut self,
        [owner, k_sheet]: [usize; 2],
        machines: &[Machine; 2],
        bodies: &[Body; 2],
        margin: f64,
        grip: f64,
        h: f64,
    ) {
        let other = 1 - owner;
        let own = &machines[owner].sheets[k_sheet];
        let placed = &self.sheets[owner][k_sheet].clone();
        let mut joints = [None; 2];
        joints[owner] = own.joint;
        let flag = index(owner) << 26;
        let pieces = machines[other].hull.len();
        for (j, prism) in machines[other].hull.iter().enumerate() {
            let met = &self.prisms[other][j];
            let overlaps = placed.may_meet(met.middle, prism.radius)
                && sheet::overlap(placed, &met.low, &mut self.clip);
            let (meeting, memory) = &mut self.meetings[owner][k_sheet * pieces + j];
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
                    let key = 0x5000_0000 | flag | index(j) << 14 | index(k_sheet) << 10 | k;
                    let found = Found {
                        key,
                        a: other,
                        normal: r.normal,
                        point: r.point,
                        gap: r.gap,
                        friction: own.friction,
                        joints,
                    };
                    contacts.push(contact(&found, bodies, s, d));
                }),
                Meeting::Apart | Meeting::Blunt => {
                    let friction = own.friction.max(prism.friction.min(own.friction));
                    let base = 0x6000_0000 | flag | index(j) << 14 | index(k_sheet) << 9;
                    let body_over = &self.prisms[other][j];
                    hull::collide(
                        &self.blunts[owner][k_sheet],
                        &self.prisms[other][j],
                        false,
                        margin,
                        memory,
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
                                joints,
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
            let key = 0x7000_0000 | flag | index(k_sheet) << 10 | index(k);
            self.tread_contact(key, [other, k], &r, joints, machines, bodies, grip, h);
        }
    }

    /// A tyre (robot, wheel) on something of the other robot.
    #[allow(clippy::too_many_arguments, reason = "one millisecond's geometry")]
    pub(super) fn tread_contact(
        &mut self,
        key: u32,
        [robot, k]: [usize; 2],
        r: &Rider,
        joints: [Option<usize>; 2],
        machines: &[Machine; 2],
        bodies: &[Body; 2],
        grip: f64,
        h: f64,
    ) {
        let wheel = &machines[robot].wheels[k];
        let found = Found {
            key,
            a: robot,
            normal: r.normal,
            point: r.point,
            gap: r.gap,
            friction: 0.0,
            joints,
        };
        let mut c = contact(&found, bodies, wheel.stiffness, wheel.damping);
        let along = bodies[robot].axle.cross(r.normal).normalize_or_zero();
        c.along = along;
        c.across = r.normal.cross(along);
        c.tread = Some(Tread {
            wheel: k,
            group: wheel.group,
            radius: wheel.radius,
            lever: wheel.radius * wheel.turns,
            part: Part::Top,
        });
        // The tyre's own grip, as on a smooth ring: nothing better is known of tyre on steel.
        let load = self.load_before(key, h).max(0.02 * wheel.reference_load);
        let sensitive = grip * grip_at_load(1.0, load, wheel.reference_load, wheel.load_exponent);
        c.grip_peak = wheel.grip_peak * sensitive;
        c.grip_sliding = wheel.grip_sliding * sensitive;
        self.contacts.push(c);
    }

    /// A sheet of robot 0 and one of robot 1.
    pub(super) fn sheet_on_sheet(
        &mut self,
        which: [usize; 2],
        machines: &[Machine; 2],
        bodies: &[Body; 2],
        margin: f64,
    ) {
        let placed = [0, 1].map(|i: usize| self.sheets[i][which[i]]);
        let [one, two] = placed;
        let sheets = [0, 1].map(|i: usize| &machines[i].sheets[which[i]]);
        let friction = (sheets[0].friction * sheets[1].friction).sqrt();
        let joints = sheets.map(|s| s.joint);
        let pair = which[0] * machines[1].sheets.len() + which[1];
        let tag = index(pair) << 10;
        // The lower sheet first: once it is known, one clipping both finds out whether they still
        // cross and gives the riders.
        let lower = match self.crossings[pair].0 {
            Crossing::Lower(lower) => lower,
            Crossing::Apart | Crossing::Blunt => 0,
        };
        let near = one.may_meet(two.middle(), two.radius);
        let mut clipped = near && self.clip_sheets(&placed, lower);
        let meet = clipped || near && self.clip_sheets(&placed, 1 - lower);
        if !meet {
            self.crossings[pair].0 = Crossing::Apart;
        } else if self.crossings[pair].0 == Crossing::Apart {
            self.crossings[pair].0 = self.who_is_lower(&placed);
            clipped = false;
        }
        match self.crossings[pair].0 {
            Crossing::Apart => {}
            Crossing::Lower(lower) => {
                let upper = 1 - lower;
                if !clipped && !self.clip_sheets(&placed, lower) {
                    return;
                }
                let (contacts, s, d) = (&mut self.contacts, self.stiffness, self.damping);
                sheet::riders(&placed[lower], &self.clip, margin, |k, r| {
                    let key = 0x8000_0000 | index(lower) << 26 | tag | k;
                    let Rider { point, normal, gap } = r;
                    let found = Found {
                        key,
                        a: upper,
                        normal,
                        point,
                        gap,
                        friction,
                        joints,
                    };
                    contacts.push(contact(&found, bodies, s, d));
                });
            }
            Crossing::Blunt => {
                let (contacts, s, d) = (&mut self.contacts, self.stiffness, self.damping);
                hull::collide(
                    &self.blunts[0][which[0]],
                    &self.blunts[1][which[1]],
                    false,
                    margin,
                    &mut self.crossings[pair].1,
                    &mut self.scratch,
                    |owner_is_two, face, k, normal, point, gap| {
                        let a = usize::from(!owner_is_two);
                        let key = 0x9000_0000
                            | u32::from(owner_is_two) << 26
                            | tag
                            | index(face) << 4
                            | index(k);
                        let found = Found {
                            key,
                            a,
                            normal,
                            point,
                            gap,
                            friction,
                            joints,
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
