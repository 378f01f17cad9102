//! From seeing the border to standing still.
//!
//! The robot is saved if it stops before its centre of mass, or the contact of its driven wheels,
//! crosses the rim. From the moment a sensor is over the border it has the width of the border and
//! the sensor's lead over that point; how it brakes on that way is worked out in `stopping`.

use robot::{Finding, Robot, Sensor, SensorKind, Severity};

/// Searching this many times faster than what stops is a fault: it takes four times the way to brake,
/// which no unknown makes up for. Less is a risk that good robots take, for a search is short: four
/// robots of the mini field lost one to five of two hundred bouts by it.
const FAR_TOO_FAST: f64 = 2.0;

/// One way of meeting the edge.
#[derive(Debug, Clone, PartialEq)]
pub struct Way {
    /// The sensor that comes over the border first.
    pub sensor: String,
    /// How far it is ahead of the driven wheels' contact in m, in the sense of driving.
    pub lead_over_axle_m: f64,
    /// How far it is ahead of the point that must stay on the ring in m.
    pub lead_m: f64,
    /// What there is to stop in: lead and border, m.
    pub distance_m: f64,
    /// From the sensor over the border to the motors reversed, at worst, s.
    pub delay_s: f64,
    /// The even deceleration that uses up the distance from the safe speed, m/s². Where the nose
    /// bounds the speed it really stops sooner.
    pub deceleration_m_s2: f64,
    /// Whether the sinking nose bounds the speed: faster, it would go over its nose although there is
    /// still way left.
    pub over_its_nose: bool,
    /// Highest speed that stops in time, m/s.
    pub safe_m_s: f64,
    /// Time between two runs of the program that can see the border, at worst, s.
    pub between_looks_s: f64,
    /// How it brakes on equal parts of the distance, one behind the other.
    pub braking: Vec<Braking>,
}

/// How it brakes on a part of the way at the edge.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Braking {
    /// Deceleration, m/s²; 0 where it tips.
    pub slows_m_s2: f64,
    /// How fast it may be there without going over its nose, m/s.
    pub most_m_s: f64,
}

impl Way {
    /// Whether it stops in time from `v` m/s if it drives on for `blind_m` before the border under the
    /// sensor counts.
    #[must_use]
    pub fn stops(&self, blind_m: f64, v: f64) -> bool {
        stops(
            &self.braking,
            self.distance_m,
            blind_m + v * self.delay_s,
            v,
        )
    }

    /// How far it may drive on at `v` m/s before the border under the sensor counts, m; 0: not at all.
    #[must_use]
    pub fn room_m(&self, v: f64) -> f64 {
        let (mut low, mut high) = (0.0, self.distance_m);
        for _ in 0..40 {
            let middle = 0.5 * (low + high);
            if self.stops(middle, v) {
                low = middle;
            } else {
                high = middle;
            }
        }
        low
    }
}

/// Whether it stops from `v` m/s within `distance_m`, of which `braking` tells equal parts, if it drives on
/// as it is for `start_m`, and is nowhere faster than the place allows: v²/2 = ∫ a ds.
pub(crate) fn stops(braking: &[Braking], distance_m: f64, start_m: f64, v: f64) -> bool {
    let part = distance_m / braking.len().max(1) as f64;
    let mut left = 0.5 * v * v;
    for (k, b) in braking.iter().enumerate() {
        if left > 0.0 && left > 0.5 * b.most_m_s * b.most_m_s {
            return false;
        }
        let end = part * (k as f64 + 1.0);
        left -= b.slows_m_s2 * (end - start_m.max(end - part)).max(0.0);
    }
    left <= 0.0
}

/// The edge.
#[derive(Debug, Clone, PartialEq)]
pub struct Edge {
    /// Driving forward; none without an edge sensor ahead of the driven wheels.
    pub forward: Option<Way>,
    /// Driving backward; none without an edge sensor behind the driven wheels.
    pub backward: Option<Way>,
    /// Speed in m/s at the end of a charge with the program's own effort.
    pub reached_m_s: f64,
    /// The same of what it does with nobody in sight.
    pub searching_m_s: f64,
    /// The same backward: at most as long as its steps that drive backward last.
    pub reached_backward_m_s: f64,
    /// Width of the border in m.
    pub border_m: f64,
    /// Whether the program drives backward at all.
    pub reverses: bool,
}

impl Edge {
    /// What is to be said about it.
    pub(crate) fn findings(&self, robot: &Robot) -> Vec<Finding> {
        let mut found = Vec::new();
        let is_edge = |s: &&Sensor| matches!(s.kind, SensorKind::Reflectance { .. });
        let first = robot.sensors.iter().find(is_edge);
        let place = || {
            first
                .map(|s| s.item.place.clone())
                .or_else(|| robot.sensors.first().map(|s| s.item.place.clone()))
        };
        match &self.forward {
            None => found.push(Finding {
                name: "no-edge-sensor-ahead",
                severity: Severity::Fault,
                what: "No edge sensor that the program reads looks down ahead of the driven \
                       wheels."
                    .into(),
                why: "Driving forward, the wheels are over the rim before anything has seen the \
                      border."
                    .into(),
                mend: "Put two edge sensors at the front corners and read them in a reflex.".into(),
                place: place(),
            }),
            Some(way) => {
                self.too_fast(way, robot, &mut found);
                self.between_readings(way, robot, &mut found);
            }
        }
        if let Some(way) = &self.backward {
            self.too_fast_backward(way, robot, &mut found);
        } else if self.reverses {
            found.push(Finding {
                name: "no-edge-sensor-behind",
                severity: Severity::Warning,
                what: "It drives backward, and no edge sensor looks down behind its driven wheels."
                    .into(),
                why:
                    "Backing off from one edge or pushed round, it backs over another one that it \
                      cannot see."
                        .into(),
                mend:
                    "Put two edge sensors at the back corners, with a reflex that drives forward \
                       when they see the border."
                        .into(),
                place: place(),
            });
        }
        found
    }

    fn place_of(robot: &Robot, way: &Way) -> Option<robot::Place> {
        let sensor = robot.sensors.iter().find(|s| s.item.name == way.sensor)?;
        Some(sensor.item.place.clone())
    }

    fn too_fast(&self, way: &Way, robot: &Robot, found: &mut Vec<Finding>) {
        if self.reached_m_s <= way.safe_m_s {
            return;
        }
        let needs = laws::braking::stopping_m(self.reached_m_s, way.delay_s, way.deceleration_m_s2);
        // Where next to nothing brakes the length is out of all proportion.
        let length = if needs < 10.0 {
            format!("{:.0} mm", 1e3 * needs)
        } else {
            "more than 10 m".into()
        };
        let braking = if way.deceleration_m_s2 < 0.1 {
            "less than 0.1".into()
        } else {
            format!("{:.1}", way.deceleration_m_s2)
        };
        let ahead_or_behind = |m: f64| {
            if m >= 0.0 {
                format!("{:.0} mm ahead of", 1e3 * m)
            } else {
                format!("{:.0} mm behind", -1e3 * m)
            }
        };
        // At an opponent it is a risk that many take: what it charges at stands in the way. With
        // nobody in sight it is over the edge if it is far too fast.
        let v = self.searching_m_s;
        let severity = if v > FAR_TOO_FAST * way.safe_m_s {
            Severity::Fault
        } else {
            Severity::Warning
        };
        let when = if v > way.safe_m_s {
            format!(" Searching, with nobody in the way, it still reaches {v:.2} m/s.")
        } else {
            " It is that fast only at an opponent it sees, who stands in the way: it is lost when \
             that one steps aside."
                .to_owned()
        };
        found.push(Finding {
            name: "edge-too-fast",
            severity,
            what: format!(
                "It reaches {:.2} m/s, but stops at the edge only from {:.2} m/s or less.",
                self.reached_m_s, way.safe_m_s
            ),
            why: format!(
                "The foremost edge sensor is {} the driven wheels and {} the point that must stay \
                 on the ring; with the {:.0} mm border it has {:.0} mm to stop in. It needs speed \
                 × delay + speed² ÷ (2 × deceleration) = {:.2} × {:.1} ms + {:.2}² ÷ (2 × {braking} \
                 m/s²) = {length}.{}{when}",
                ahead_or_behind(way.lead_over_axle_m),
                ahead_or_behind(way.lead_m),
                1e3 * self.border_m,
                1e3 * way.distance_m,
                self.reached_m_s,
                1e3 * way.delay_s,
                self.reached_m_s,
                if way.over_its_nose {
                    " The deceleration is that low because the nose sinks past the rim: faster, it \
                     goes over it."
                } else {
                    ""
                }
            ),
            mend: "Move the edge sensors to the front corners, and cap the effort while nothing \
                   is in front; a quicker loop helps a little."
                .into(),
            place: Self::place_of(robot, way),
        });
    }

    fn too_fast_backward(&self, way: &Way, robot: &Robot, found: &mut Vec<Finding>) {
        if self.reached_backward_m_s <= way.safe_m_s {
            return;
        }
        let v = self.reached_backward_m_s;
        let needs = laws::braking::stopping_m(v, way.delay_s, way.deceleration_m_s2);
        found.push(Finding {
            name: "edge-too-fast-backward",
            severity: Severity::Warning,
            what: format!(
                "Backing off it reaches {v:.2} m/s, but stops at an edge behind only from {:.2} \
                 m/s or less.",
                way.safe_m_s
            ),
            why: format!(
                "It needs {:.0} mm from seeing the border to a stop and has {:.0} mm: the {:.0} mm \
                 border and the lead of its rearmost edge sensor.",
                1e3 * needs,
                1e3 * way.distance_m,
                1e3 * self.border_m
            ),
            mend: "Back off for a shorter time or with less effort, or move the rear edge sensors \
                   further back."
                .into(),
            place: Self::place_of(robot, way),
        });
    }

    fn between_readings(&self, way: &Way, robot: &Robot, found: &mut Vec<Finding>) {
        let travels = self.reached_m_s * way.between_looks_s;
        if travels <= self.border_m {
            return;
        }
        found.push(Finding {
            name: "border-between-readings",
            severity: Severity::Fault,
            what: format!(
                "At {:.2} m/s the border can pass under the sensor between two looks.",
                self.reached_m_s
            ),
            why: format!(
                "Up to {:.1} ms pass between two looks: {:.0} mm, and the border is {:.0} mm wide.",
                1e3 * way.between_looks_s,
                1e3 * travels,
                1e3 * self.border_m
            ),
            mend: "Run the program's loop more often, or drive slower.".into(),
            place: Self::place_of(robot, way),
        });
    }
}
