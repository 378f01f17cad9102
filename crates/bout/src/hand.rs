//! The hands that put both robots down and press their buttons.

use glam::DVec2;
use quantity::{Draws, Stream};
use rules::Facing;

use crate::arena::{Arena, Seat};
use crate::control::{Board, Crew};
use crate::dynamics::World;
use crate::pilot::Side;
use crate::placing::{self, HandError, Placed, Spot};
use crate::sense::{Around, DriveView, Scene, Senses, Silhouette};

/// Time in ms for both robots to come to rest on their tyres after being put down. Measured on the
/// built-in robots of all sizes: after 80 ms none moves faster than 0.06 mm/s or 0.01 rad/s.
const SETTLE_MS: u32 = 80;
/// Standard deviations in the half-width of a central 95 % range of a normal.
const HALF_WIDTH_95: f64 = 1.959_963_984_540_054;
/// Draws are cut at this many standard deviations.
const CUT: f64 = 3.0;
/// How far (19 to 1) each hand is off the start signal in ms where robots wait by themselves: two
/// people press two buttons. Reaction times to a signal scatter by some 50 ms (standard deviation;
/// from memory).
const HAND_START_MS: f64 = 100.0;

/// Everything that goes into putting both robots down.
pub(crate) struct Hand<'a, 'b> {
    pub(crate) arena: &'a Arena,
    pub(crate) sides: [Side<'a>; 2],
    pub(crate) keys: [Stream; 2],
    pub(crate) draws: [Draws; 2],
    pub(crate) mirrored: bool,
    pub(crate) silhouettes: &'b [Silhouette; 2],
    /// What surrounds the ring.
    pub(crate) around: &'b Around,
    /// Which round of a match it is, where the class lets both face by rounds.
    pub(crate) round: u32,
    /// Who places second, where the class has them place in turn.
    pub(crate) second: Option<Seat>,
}

impl Hand<'_, '_> {
    /// Puts both robots down for the time numbered `time`, lets them come to rest, and readies
    /// sensors, boards and programs for the start.
    pub(crate) fn put_down(&self, world: &mut World, time: u32) -> [Crew; 2] {
        let keys = self
            .keys
            .map(|k| k.named("put down").numbered(u64::from(time)));
        let mut openings = [0, 1].map(|seat: Seat| self.sides[seat].pilot.opening());
        let mut placed: [Option<Placed>; 2] = [None; 2];
        let order = if self.second == Some(0) {
            [1, 0]
        } else {
            [0, 1]
        };
        for seat in order {
            let side = &self.sides[seat];
            let corners = placing::corners(side.robot, &self.draws[seat]);
            if let (true, Some(first)) = (self.second == Some(seat), placed[1 - seat]) {
                let spots: Vec<Spot> = (0..side.pilot.openings())
                    .map(|k| self.spot(seat, k))
                    .collect();
                openings[seat] = placing::answer(self.arena, &corners, &spots, first, seat)
                    .unwrap_or(openings[seat]);
            }
            let spot = self.spot(seat, openings[seat]);
            placed[seat] = Some(self.place(seat, &corners, spot, keys[seat]));
        }
        for (seat, p) in placed.into_iter().flatten().enumerate() {
            world.put_down(seat, p.at.x, p.at.y, p.heading_rad);
        }
        for _ in 0..SETTLE_MS / 2 {
            // Standing apart: strides will do.
            let (strides, ms) = if world.may_stride() { (1, 2) } else { (2, 1) };
            for _ in 0..strides {
                world.advance(ms, [[0.0; 2]; 2]);
            }
        }
        let waits = self.waits(keys);
        [0, 1].map(|seat: Seat| {
            let (side, draws, key) = (&self.sides[seat], &self.draws[seat], keys[seat]);
            let phase = key.named("loop phase").uniform();
            let board = Board::new(side.robot, draws, waits[seat], phase);
            let own = &self.silhouettes[seat];
            let mut senses =
                Senses::new(side.robot, own, draws, key.named("sensors"), &board.runs());
            senses.settle(&scene(
                self.arena,
                world,
                self.silhouettes,
                self.around,
                seat,
            ));
            Crew {
                senses,
                board,
                controller: side.pilot.start(openings[seat], key.named("program")),
                opening: openings[seat],
            }
        })
    }

    /// Where an opening puts the robot under the class's rule about facing.
    fn spot(&self, seat: Seat, opening: usize) -> Spot {
        let mut spot = self.sides[seat].pilot.spot(opening);
        if self.arena.placing.facing == Facing::ByRound {
            spot.facing_rad = placing::facing_of_round(self.round);
        }
        if self.mirrored { spot.mirrored() } else { spot }
    }

    fn place(&self, seat: Seat, corners: &[DVec2], spot: Spot, key: Stream) -> Placed {
        let error = HandError::drawn(self.sides[seat].robot, key);
        let error = if self.mirrored {
            error.mirrored()
        } else {
            error
        };
        placing::put_down(self.arena, corners, spot, error, seat)
    }

    /// How long after the first permitted motion each program starts, in ms: a remote starts
    /// both at once; where robots count the delay themselves, hands press their buttons a little
    /// apart, and time counts from the earlier one.
    fn waits(&self, keys: [Stream; 2]) -> [f64; 2] {
        if self.arena.has_remote() {
            return [0.0; 2];
        }
        let off = keys
            .map(|k| k.named("start").normal().clamp(-CUT, CUT) * HAND_START_MS / HALF_WIDTH_95);
        let first = off[0].min(off[1]);
        off.map(|o| o - first)
    }
}

/// What the sensors of a seat can measure.
pub(crate) fn scene<'a>(
    arena: &'a Arena,
    world: &'a World,
    silhouettes: &'a [Silhouette; 2],
    around: &'a Around,
    seat: Seat,
) -> Scene<'a> {
    Scene {
        ring: &arena.ring,
        own: world.pose(seat),
        opponent: world.pose(1 - seat),
        silhouette: &silhouettes[1 - seat],
        around,
        drive: Some(DriveView { world, seat }),
        touch: world.touch(seat),
        ahead_s: 0.0,
    }
}
