//! What is to be said of a frame.

use quantity::maths;
use robot::{Finding, Robot, Severity};

use super::{Change, Frame, Held, Role, Watch};

/// A robot whose bumper gives way by more than this share of its length feels soft. Common practice, no
/// source: 1 mm on 100 mm is seen with the bare eye.
const SOFT_SHARE: f64 = 0.01;
/// What an opponent's front edge is thick: half a millimetre of sheet is common, good ones have a third of
/// it. A gap above this lets it under. Common practice, no source.
const OTHER_EDGE_M: f64 = 3e-4;
/// A slap that has not died away by then is felt by sensors in several readings.
const LONG_S: f64 = 0.15;
/// The lowest frequency should lie above this: motors, gears and contacts shake at tens of hertz. Common
/// practice, no source.
pub(super) const LOW_HZ: f64 = 30.0;
/// What a joint is said to bear is known within this factor, if nobody has measured it.
const BEARS_FACTOR: f64 = 2.0;

/// Millimetres with two digits that mean something.
fn mm(x: f64) -> String {
    let x = 1e3 * x;
    if x.abs() < 0.095 {
        format!("{x:.2} mm")
    } else if x.abs() < 9.95 {
        format!("{x:.1} mm")
    } else {
        format!("{x:.0} mm")
    }
}

fn newtons(x: f64) -> String {
    if x < 9.95 {
        format!("{x:.1} N")
    } else {
        format!("{x:.0} N")
    }
}

fn grams(kg: f64) -> String {
    let g = 1e3 * kg;
    let size = g.abs();
    let number = if size < 9.95 {
        format!("{size:.1} g")
    } else {
        format!("{size:.0} g")
    };
    if size < 0.05 {
        "no weight".to_owned()
    } else if g < 0.0 {
        format!("{number} less")
    } else {
        number
    }
}

/// A change in words: what, how much less it gives way, at what weight.
pub(super) fn change_words(c: &Change) -> String {
    format!(
        "{} ({:.0} % less, {})",
        c.what,
        100.0 * c.gain,
        grams(c.mass_kg)
    )
}

impl Held {
    /// Findings on what holds the robot together.
    #[must_use]
    pub fn findings(&self, robot: &Robot) -> Vec<Finding> {
        match self {
            Self::Unknown => vec![unknown(robot)],
            Self::Loose(sketch, loose) => vec![Finding {
                name: "frame-moves-freely",
                severity: Severity::Fault,
                what: format!(
                    "The frame does not hold together: {} can move without anything that resists.",
                    listed(loose)
                ),
                why: "A push there meets no stiffness at all, so there is no deflection to be \
                      worked out: a member is missing, or a joint has become a hinge."
                    .into(),
                mend: "Add a member that leads there from another side, or make one of its joints \
                       stiff; see that no joint has stiffness or section by mistake."
                    .into(),
                place: sketch.place.clone(),
            }],
            Self::Frame(f) => f.findings(robot),
        }
    }
}

fn unknown(robot: &Robot) -> Finding {
    Finding {
        name: "frame-unknown",
        severity: Severity::Note,
        what: "Nothing in the file says what holds the robot together.".into(),
        why: "There is no [frame], and no [[part]] that is a plate or body: one with a \"size\" that \
              spans most of the robot, of a material its name or its weight tells. How far it gives \
              way to a shove cannot be said."
            .into(),
        mend: "Give the base plate or body its size, such as size = [\"98 mm\", \"97 mm\", \"2 mm\"], \
               and its material in its name."
            .into(),
        place: robot.parts.first().map(|p| p.place.clone()),
    }
}

/// Names with commas and "and", at most four of them.
fn listed(names: &[String]) -> String {
    match names {
        [] => "a part".to_owned(),
        [one] => one.clone(),
        [most @ .., last] if names.len() <= 4 => format!("{} and {last}", most.join(", ")),
        many => format!("{} and {} more", many[..3].join(", "), many.len() - 3),
    }
}

impl Frame {
    fn findings(&self, robot: &Robot) -> Vec<Finding> {
        let mut found = Vec::new();
        found.extend(self.soft(robot));
        found.extend(self.joint());
        found.extend(self.yields());
        found.extend(self.blade(robot));
        found.extend(self.rings());
        found.extend(self.open());
        // Who reads that something gives way must know what the figure rests on.
        if self.sketch.derived && !found.is_empty() {
            found.push(self.derived());
        }
        found
    }

    /// Of a derived frame only what holds over its whole band is a warning.
    fn severity(&self, surely: bool) -> Severity {
        if self.sketch.derived && !surely {
            Severity::Note
        } else {
            Severity::Warning
        }
    }

    fn best(&self) -> String {
        let best: Vec<String> = self.changes.iter().take(2).map(change_words).collect();
        if best.is_empty() {
            "Thicker or more material where it bends: stiffness grows with the cube of thickness."
                .to_owned()
        } else {
            format!("For its weight most by {}.", best.join(", then "))
        }
    }

    fn soft(&self, robot: &Robot) -> Option<Finding> {
        let s = &self.shoves[self.softest?];
        let length = robot.footprint().length();
        let band = self.gives_band_m?;
        (s.gives_m > SOFT_SHARE * length).then(|| Finding {
            name: "frame-soft",
            severity: self.severity(band.low > SOFT_SHARE * length),
            what: format!(
                "Pushed with {} {} at {}, the frame gives way by {}.",
                newtons(self.shove_n),
                s.way,
                self.sketch.points[s.point].name,
                mm(s.gives_m)
            ),
            why: format!(
                "That is {:.1} % of its length of {}; between {} and {} with the stiffest and the \
                 softest joints and materials it may have. Held at its wheels; the shove is twice its \
                 own push, or its weight.",
                100.0 * s.gives_m / length,
                mm(length),
                mm(band.low),
                mm(band.high)
            ),
            mend: self.best(),
            place: self.sketch.place.clone(),
        })
    }

    fn joint(&self) -> Option<Finding> {
        let (k, used) = self.weakest?;
        let (s, beam) = (&self.shoves[k], &self.sketch.beams[used.beam]);
        let end = &beam.ends[used.end];
        let known = end.bears.is_some();
        let surely = used.share() > if known { 1.0 } else { BEARS_FACTOR };
        (used.share() > 1.0).then(|| Finding {
            name: "weakest-joint",
            severity: self.severity(surely),
            what: format!(
                "The joint of {} gives first: a push of {} {} at {} takes {:.0} % of what it bears.",
                beam.name,
                newtons(self.shove_n),
                s.way,
                self.sketch.points[s.point].name,
                100.0 * used.share()
            ),
            why: format!(
                "It takes {} of bending and bears {}{}.",
                quantity::show::<quantity::Torque>(used.takes_nm, 2),
                quantity::show::<quantity::Torque>(used.bears_nm, 2),
                if known {
                    ""
                } else {
                    ", a figure of its kind known within a factor of two"
                }
            ),
            mend: match end.kind {
                robot::JointKind::Screwed => format!(
                    "{} screws instead of {} bear {:.0} % of it; or take the push elsewhere with a \
                     brace beside it.",
                    end.screws + 1,
                    end.screws,
                    100.0 * used.share() * f64::from(end.screws) / f64::from(end.screws + 1)
                ),
                kind => format!(
                    "It is {}: back it with a screwed bracket, or take the push elsewhere with a brace.",
                    kind.word()
                ),
            },
            place: beam.place.clone(),
        })
    }

    fn yields(&self) -> Option<Finding> {
        let (k, share) = (self.stress.iter().copied().enumerate())
            .fold((0, 0.0), |m, s| if s.1 > m.1 { s } else { m });
        let beam = self.sketch.beams.get(k)?;
        let material = &self.sketch.materials[beam.material];
        let strength = material.least_strength_pa();
        (share > 1.0).then(|| Finding {
            name: "frame-yields",
            severity: self.severity(share > 1.5),
            what: format!(
                "A shove of {} asks {:.1} times its strength of {}.",
                newtons(self.shove_n),
                share,
                beam.name
            ),
            why: format!(
                "{:.0} MPa where {} {} at {:.0} MPa.",
                1e-6 * share * strength,
                material.title,
                if material.brittle { "breaks" } else { "yields" },
                1e-6 * strength
            ),
            mend: "Thicker there: stress falls with the square of the thickness. Or support it nearer to \
                   where it is pushed."
                .into(),
            place: beam.place.clone(),
        })
    }

    fn blade(&self, robot: &Robot) -> Option<Finding> {
        let blade = robot.blade.as_ref()?;
        let s = &self.shoves[self.lifts?];
        let rise = s.tip_rises_m?;
        let band = self.rise_band_m?;
        let height = blade.tip_height.si().max(0.0);
        (rise > OTHER_EDGE_M).then(|| Finding {
            name: "blade-rises",
            severity: self.severity(band.low > OTHER_EDGE_M),
            what: format!(
                "Hit with {} at {}, the blade's edge rises by {}: an opponent's blade gets under.",
                newtons(self.shove_n),
                self.sketch.points[s.point].name,
                mm(rise)
            ),
            why: format!(
                "The edge is then {} above the ring ({} at rest); an edge of {} fits under it. Between {} \
                 and {} with the stiffest and the softest joints it may have.",
                mm(height + rise),
                mm(height),
                mm(OTHER_EDGE_M),
                mm(band.low),
                mm(band.high)
            ),
            mend: "Hold the sheet nearer to its edge, or make it thicker: it bends with the cube of the free \
                   length and gives way with one over the cube of the thickness. A blade on a hinge lies on \
                   the ring whatever the frame does."
                .into(),
            place: Some(blade.item.place.clone()),
        })
    }

    fn rings(&self) -> Option<Finding> {
        let first = self.modes.first()?.hz;
        let band = self.first_hz_band?;
        let slap = self.slap.as_ref()?;
        let longest = (slap.rings.iter()).max_by(|a, b| a.dies_s.total_cmp(&b.dies_s))?;
        // How a derived frame swings rests on brackets that are made up: only what is sure is told.
        let told = if self.sketch.derived {
            band.high < LOW_HZ
        } else {
            first < LOW_HZ || longest.dies_s > LONG_S && first < 3.0 * LOW_HZ
        };
        told.then(|| Finding {
            name: "frame-rings",
            severity: Severity::Warning,
            what: format!(
                "A slap rings: {} still moves after {:.2} s; the frame swings at {:.0} Hz.",
                longest.name, longest.dies_s, first
            ),
            why: format!(
                "A frame should swing well above the {LOW_HZ:.0} Hz at which motors and contacts shake it; \
                 its lowest frequency lies between {:.0} and {:.0} Hz. Frequency goes with the root of \
                 stiffness over mass, and with {:.1} % of critical damping a slap takes {:.0} swings to \
                 fall to a tenth.",
                band.low,
                band.high,
                100.0 * self.sketch.damping,
                maths::ln(10.0) / (core::f64::consts::TAU * self.sketch.damping)
            ),
            mend: self.best(),
            place: self.sketch.place.clone(),
        })
    }

    /// A described frame whose outline is not closed.
    fn open(&self) -> Option<Finding> {
        let [a, b] = self.gap()?;
        let (a, b) = (&self.sketch.nodes[a].name, &self.sketch.nodes[b].name);
        let tried = self.changes.iter().find(|c| {
            c.brace.is_some_and(|[i, j]| {
                [&self.sketch.nodes[i].name, &self.sketch.nodes[j].name] == [a, b]
                    || [&self.sketch.nodes[j].name, &self.sketch.nodes[i].name] == [a, b]
            })
        });
        let gain = tried.map_or(String::new(), |c| {
            format!(" Here a strip gains {:.0} %.", 100.0 * c.gain)
        });
        Some(Finding {
            name: "open-perimeter",
            severity: Severity::Note,
            what: format!("The frame is open between {a} and {b}."),
            why: format!(
                "A closed ring resists twisting, an open one hardly: closing three sides of a tray of tubes \
                 to four makes its corner 5.7 times as stiff, and it keeps opponents out.{gain}"
            ),
            mend: format!("A member from {a} to {b}."),
            place: self.sketch.place.clone(),
        })
    }

    /// Two neighbours on the outline, seen from above, that no member joins, if there is just one such gap.
    #[must_use]
    pub fn gap(&self) -> Option<[usize; 2]> {
        let members = |role: Role| role == Role::Member;
        if self.sketch.derived {
            return None;
        }
        let hull = outline(
            &self
                .sketch
                .nodes
                .iter()
                .map(|n| [n.at[0], n.at[1]])
                .collect::<Vec<_>>(),
        );
        let joined = |a: usize, b: usize| {
            (self.sketch.beams.iter())
                .any(|x| members(x.role) && (x.nodes == [a, b] || x.nodes == [b, a]))
        };
        if hull.len() < 4 {
            return None;
        }
        let gaps: Vec<[usize; 2]> = (0..hull.len())
            .map(|k| [hull[k], hull[(k + 1) % hull.len()]])
            .filter(|[a, b]| !joined(*a, *b))
            .collect();
        (gaps.len() == 1).then(|| gaps[0])
    }

    fn derived(&self) -> Finding {
        let band = self.gives_band_m;
        let matters = band.map_or(String::new(), |b| {
            format!(
                " So the softest point gives way by {} to {} under {}.",
                mm(b.low),
                mm(b.high),
                newtons(self.shove_n)
            )
        });
        let tip = self.sketch.points.iter().any(|p| p.watch == Watch::Tip);
        Finding {
            name: "frame-derived",
            severity: Severity::Note,
            what: "The file describes no frame: one was derived from plates, body and blade."
                .into(),
            why: format!(
                "Taken for granted: {}. Joints are as stiff as screws usually make them, within a factor of \
                 five.{matters}",
                self.sketch.assumed.join("; ")
            ),
            mend: format!(
                "Describe it in [frame], or measure: hold the robot at its wheels, press {} with a kitchen \
                 scale and look how far it goes.",
                if tip {
                    "the blade's edge up"
                } else {
                    "its front"
                }
            ),
            place: self.sketch.place.clone(),
        }
    }
}

/// Corners of the outline of points, counter-clockwise, those on its sides included.
fn outline(points: &[[f64; 2]]) -> Vec<usize> {
    let Some(first) = (0..points.len()).min_by(|a, b| {
        (points[*a][0].total_cmp(&points[*b][0])).then(points[*a][1].total_cmp(&points[*b][1]))
    }) else {
        return Vec::new();
    };
    let mut hull = vec![first];
    loop {
        let here = points[hull[hull.len() - 1]];
        let to = |k: usize| [points[k][0] - here[0], points[k][1] - here[1]];
        let far = |v: [f64; 2]| v[0] * v[0] + v[1] * v[1];
        let mut next: Option<usize> = None;
        for k in 0..points.len() {
            if far(to(k)) < 1e-10 || (hull.contains(&k) && k != first) {
                continue;
            }
            let Some(n) = next else {
                next = Some(k);
                continue;
            };
            let (a, b) = (to(n), to(k));
            let turn = a[0] * b[1] - a[1] * b[0];
            let flat = turn.abs() <= 1e-9 * (far(a) * far(b)).sqrt();
            // The rightmost way; of those in line the nearest.
            if (!flat && turn < 0.0) || (flat && far(b) < far(a)) {
                next = Some(k);
            }
        }
        match next {
            Some(n) if n != first && hull.len() <= points.len() => hull.push(n),
            _ => return hull,
        }
    }
}
