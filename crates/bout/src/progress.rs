//! Whether anybody gets anywhere.

use glam::DVec2;

/// How far in m a robot must shift within half of the no-progress time to get anywhere. Rulebooks
/// leave it to the judge's eye; common practice, no source.
const PROGRESS_M: f64 = 0.005;

/// Share of the room they take that entangled robots must shift besides: a judge sees two robots
/// turning about each other get nowhere even if the middle of it wanders a little.
const ENTANGLED_SHARE: f64 = 0.1;

/// Parts into which the no-progress time is cut; an even number.
const PARTS: u16 = 10;

/// Whether anybody gets anywhere.
///
/// Compared are the boxes that hold each robot's places in the earlier and in the later half of
/// the no-progress time. Standing still, shoving in a deadlock, spinning on the spot and circling
/// round each other leave them as they were; driving about and a slow push do not.
#[derive(Debug)]
pub(crate) struct Progress {
    part_ms: u32,
    part_ends_ms: u32,
    /// The part under way.
    part: Part,
    /// The parts before, the oldest overwritten first.
    parts: [Part; PARTS as usize],
    count: usize,
}

/// Where both robots were in one part of the time.
#[derive(Debug, Clone, Copy)]
struct Part {
    boxes: [Room; 2],
    touched: bool,
}

/// A box that holds places.
#[derive(Debug, Clone, Copy)]
struct Room {
    least: DVec2,
    most: DVec2,
}

impl Room {
    const EMPTY: Self = Self {
        least: DVec2::INFINITY,
        most: DVec2::NEG_INFINITY,
    };

    fn with(self, other: Self) -> Self {
        Self {
            least: self.least.min(other.least),
            most: self.most.max(other.most),
        }
    }

    /// Largest shift of any side to `later`.
    fn shift(&self, later: &Self) -> f64 {
        let (a, b) = (
            (self.least - later.least).abs(),
            (self.most - later.most).abs(),
        );
        a.max_element().max(b.max_element())
    }

    fn size(&self) -> f64 {
        (self.most - self.least).max_element()
    }
}

impl Part {
    const EMPTY: Self = Self {
        boxes: [Room::EMPTY; 2],
        touched: false,
    };
}

impl Progress {
    /// Nobody has been seen yet; `no_progress_ms`: time in which nobody may get anywhere.
    pub(crate) fn new(no_progress_ms: u32) -> Self {
        let part_ms = (no_progress_ms / u32::from(PARTS)).max(20);
        Self {
            part_ms,
            part_ends_ms: part_ms,
            part: Part::EMPTY,
            parts: [Part::EMPTY; PARTS as usize],
            count: 0,
        }
    }

    /// Starts the time afresh.
    pub(crate) fn forget(&mut self, now_ms: u32) {
        (self.part, self.count) = (Part::EMPTY, 0);
        self.part_ends_ms = now_ms + self.part_ms;
    }

    /// Takes in places; false when a full no-progress time has led nowhere.
    pub(crate) fn any(&mut self, now_ms: u32, at: [DVec2; 2], touched: bool) -> bool {
        for (room, at) in self.part.boxes.iter_mut().zip(at) {
            *room = room.with(Room {
                least: at,
                most: at,
            });
        }
        self.part.touched |= touched;
        if now_ms < self.part_ends_ms {
            return true;
        }
        let all = self.parts.len();
        self.parts[self.count % all] = std::mem::replace(&mut self.part, Part::EMPTY);
        self.part_ends_ms += self.part_ms;
        self.count += 1;
        self.count < all || self.shifted()
    }

    /// Whether either robot has shifted between the two halves of the time.
    fn shifted(&self) -> bool {
        let all = self.parts.len();
        let entangled = self.parts.iter().all(|p| p.touched);
        let half = |seat: usize, from: usize| {
            (from..from + all / 2)
                .map(|k| self.parts[(self.count + k) % all].boxes[seat])
                .fold(Room::EMPTY, Room::with)
        };
        (0..2).any(|seat| {
            let (earlier, later) = (half(seat, 0), half(seat, all / 2));
            let share = if entangled { ENTANGLED_SHARE } else { 0.0 };
            earlier.shift(&later) > PROGRESS_M + share * earlier.size()
        })
    }
}
