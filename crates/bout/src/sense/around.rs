//! What surrounds the ring in one bout: light, dirt, people, air.

use glam::DVec2;
use laws::sound::sound_m_s;
use quantity::{Stream, maths};
use robot::Ring;

/// Standard deviations in the half-width of a central 95 % range of a normal.
const HALF_WIDTH_95: f64 = 1.959_963_984_540_054;
/// Draws are cut at this many standard deviations.
const CUT: f64 = 3.0;

/// Stretches of the border that are dirty by themselves: 15 cm each on a ring of 77 cm, about as
/// long as the mark of a tyre (common practice, no source).
const STRETCHES: usize = 16;

/// Light at which an infra-red receiver has as much noise from the surroundings as of its own, as
/// a share of an edge sensor's full scale (common practice, no source). Lower makes every hall
/// shorten the sight of all robots.
const BLINDING_LIGHT: f64 = 0.25;
/// Share of further false alarms of an infra-red distance sensor for each unit of light (common
/// practice, no source).
const ALARMS_OF_LIGHT: f64 = 0.01;

/// How many people stand at the ring: two builders and a judge.
const PEOPLE: usize = 3;
/// Half the width of a person in m.
const PERSON_RADIUS_M: f64 = 0.2;
/// How far behind the free space they stand at most, in m (common practice, no source).
const CROWD_DEPTH_M: f64 = 0.5;
/// Height of a person over the ring in m: a beam over it meets nobody.
pub(super) const PERSON_HEIGHT_M: f64 = 1.5;
/// Share of infra-red light that clothes send back, least and most (from memory: even dark cloth
/// is bright to infra-red).
const CLOTHES: [f64; 2] = [0.3, 0.8];

/// Temperature of the air in °C and its half-width (19 to 1) from event to event (common practice,
/// no source).
const AIR_C: [f64; 2] = [21.0, 6.0];

/// The surroundings as drawn for one bout, the same for both robots. Programs never get it.
#[derive(Debug, Clone)]
pub(crate) struct Around {
    /// Light as a share of an edge sensor's full scale.
    light: f64,
    /// Share of its brightness the border has kept, by direction from the ring's centre.
    kept: [f64; STRETCHES],
    /// Whether `kept` differs from 1 anywhere.
    dirty: bool,
    /// Share of their reach that infra-red sensors have in this light.
    pub(super) infra_red_reach: f64,
    /// Share of further false alarms of infra-red sensors in this light.
    pub(super) infra_red_alarms: f64,
    /// No one stands nearer to any robot on the ring than this, in m.
    pub(super) free_space_m: f64,
    /// People at the ring.
    people: [Person; PEOPLE],
    /// Speed of sound in m/s.
    pub(super) sound_m_s: f64,
}

/// Somebody at the ring, upright and round.
#[derive(Debug, Clone, Copy)]
pub(super) struct Person {
    /// Where, in ring coordinates in m.
    pub(super) at: DVec2,
    /// Half the width in m.
    pub(super) radius: f64,
    /// Share of infra-red light sent back.
    pub(super) reflectance: f64,
}

impl Around {
    /// The surroundings of `ring` in the bout keyed by `draws`; `mirrored` turns them to the other
    /// side, for the mirror image of a bout.
    pub(crate) fn drawn(ring: &Ring, draws: Stream, mirrored: bool) -> Self {
        let hall = &ring.hall;
        let normal = |key: Stream| key.normal().clamp(-CUT, CUT) / HALF_WIDTH_95;
        let light = (hall.light + normal(draws.named("ring/light")) * hall.light_varies).max(0.0);
        let dirt = draws.named("ring/border dirt");
        let whole = normal(dirt).abs();
        let mut kept = [1.0; STRETCHES];
        for (k, kept) in (0_u64..).zip(&mut kept) {
            let here = normal(dirt.numbered(k)).abs();
            *kept = (1.0 - hall.border_dirt * f64::midpoint(whole, here)).clamp(0.0, 1.0);
        }
        let from = ring.diameter_m / 2.0 + hall.free_space_m + PERSON_RADIUS_M;
        let mut people = [0, 1, 2].map(|k: u64| {
            let key = draws.named("ring/person").numbered(k);
            let bearing = maths::TAU * key.named("bearing").uniform();
            let out = from + CROWD_DEPTH_M * key.named("depth").uniform();
            let [dark, bright] = CLOTHES;
            Person {
                at: DVec2::new(out * maths::cos(bearing), out * maths::sin(bearing)),
                radius: PERSON_RADIUS_M,
                reflectance: dark + (bright - dark) * key.named("clothes").uniform(),
            }
        });
        if mirrored {
            kept[1..].reverse();
            for p in &mut people {
                p.at.y = -p.at.y;
            }
        }
        let air = AIR_C[0] + normal(draws.named("ring/air")) * AIR_C[1];
        Self {
            light,
            kept,
            dirty: hall.border_dirt > 0.0,
            infra_red_reach: reach_in(light),
            infra_red_alarms: ALARMS_OF_LIGHT * light,
            free_space_m: hall.free_space_m,
            people,
            sound_m_s: sound_m_s(air),
        }
    }

    /// Light as a share of an edge sensor's full scale.
    pub(super) fn light(&self) -> f64 {
        self.light
    }

    /// Share of its brightness the border has kept at the point `p` of the ring.
    pub(super) fn border_kept(&self, p: DVec2) -> f64 {
        if !self.dirty {
            return 1.0;
        }
        let at = maths::atan2(p.y, p.x) / maths::TAU * STRETCHES as f64 + STRETCHES as f64;
        let below = at.floor();
        #[allow(
            clippy::cast_possible_truncation,
            clippy::cast_sign_loss,
            reason = "between half and one and a half times a small count; NaN becomes 0"
        )]
        let k = below as usize % STRETCHES;
        let (a, b) = (self.kept[k], self.kept[(k + 1) % STRETCHES]);
        a + (b - a) * (at - below)
    }

    /// The people at the ring.
    pub(super) fn people(&self) -> &[Person] {
        &self.people
    }
}

/// Share of its reach that an infra-red receiver has in `light`: (1 + light/`BLINDING_LIGHT`) to
/// the power of −1/4. The noise of a receiver lit from outside grows as the root of that light
/// (shot noise), and the light that comes back falls as 1/d².
fn reach_in(light: f64) -> f64 {
    (1.0 / (1.0 + light / BLINDING_LIGHT)).sqrt().sqrt()
}

#[cfg(test)]
impl Around {
    /// What tests without surroundings stand in: dark, clean, nobody there, 20 °C.
    pub(crate) const CALM: Self = Self {
        light: 0.0,
        kept: [1.0; STRETCHES],
        dirty: false,
        infra_red_reach: 1.0,
        infra_red_alarms: 0.0,
        free_space_m: f64::INFINITY,
        people: [Person {
            at: DVec2::new(1e9, 0.0),
            radius: 0.2,
            reflectance: 0.0,
        }; PEOPLE],
        sound_m_s: 343.21,
    };

    /// The same in a light, without spread.
    pub(crate) fn lit(light: f64) -> Self {
        Self {
            light,
            infra_red_reach: reach_in(light),
            infra_red_alarms: ALARMS_OF_LIGHT * light,
            ..Self::CALM
        }
    }

    /// The same with one person there.
    pub(crate) fn watched(at: DVec2) -> Self {
        let mut around = Self {
            free_space_m: 0.5,
            ..Self::CALM
        };
        around.people[0] = Person {
            at,
            radius: 0.2,
            reflectance: 0.9,
        };
        around
    }

    /// The same at a temperature in °C.
    pub(crate) fn at_celsius(celsius: f64) -> Self {
        Self {
            sound_m_s: sound_m_s(celsius),
            ..Self::CALM
        }
    }
}

#[cfg(test)]
mod tests {
    use super::super::tests::ring;
    use super::*;
    use robot::Hall;

    fn hall() -> Ring {
        Ring {
            hall: Hall {
                free_space_m: 1.0,
                light: 0.05,
                light_varies: 0.04,
                border_dirt: 0.2,
            },
            ..ring()
        }
    }

    #[test]
    fn each_bout_has_its_own_light_dirt_and_people_and_both_robots_share_them() {
        let ring = hall();
        let (mut lights, mut dull) = (Vec::new(), Vec::new());
        for k in 0..400 {
            let a = Around::drawn(&ring, Stream::root(1).numbered(k), false);
            lights.push(a.light);
            for s in 0..STRETCHES {
                let bearing = maths::TAU * s as f64 / STRETCHES as f64;
                let p = DVec2::new(maths::cos(bearing), maths::sin(bearing));
                dull.push(1.0 - a.border_kept(p));
            }
            for p in a.people() {
                // Rim 0.385, free space 1, and half a person.
                let out = p.at.length() - p.radius;
                assert!((1.385..1.885 + 1e-9).contains(&out), "{out}");
            }
        }
        let mean = |v: &[f64]| v.iter().sum::<f64>() / v.len() as f64;
        assert!((mean(&lights) - 0.05).abs() < 0.004, "{}", mean(&lights));
        let outside = lights.iter().filter(|l| (**l - 0.05).abs() > 0.04).count();
        // One in twenty; standard error 4.4.
        assert!((8..=34).contains(&outside), "{outside} of 400");
        // Mean of |normal| is 0.798 standard deviations; the half-width is 1.96.
        let expected = 0.2 * 0.798 / 1.96;
        assert!((mean(&dull) - expected).abs() < 0.006, "{}", mean(&dull));
        assert!(dull.iter().all(|d| (0.0..=0.2 * 3.0 / 1.959).contains(d)));
    }

    #[test]
    fn the_mirrored_surroundings_are_the_mirror_image() {
        let draws = Stream::root(4);
        let (a, b) = (
            Around::drawn(&hall(), draws, false),
            Around::drawn(&hall(), draws, true),
        );
        for k in 0..100 {
            let bearing = 0.31 + maths::TAU * f64::from(k) / 100.0;
            let p = DVec2::new(maths::cos(bearing), maths::sin(bearing));
            let image = DVec2::new(p.x, -p.y);
            assert!((a.border_kept(p) - b.border_kept(image)).abs() < 1e-12);
        }
        for (p, image) in a.people().iter().zip(b.people()) {
            assert!((p.at - DVec2::new(image.at.x, -image.at.y)).length() < 1e-12);
        }
    }

    #[test]
    fn sixteen_times_the_noise_of_its_own_halves_the_sight() {
        // (1 + 15)^(−1/4) = 1/2; a hall of 3 % leaves 97 %.
        assert!((reach_in(15.0 * BLINDING_LIGHT) - 0.5).abs() < 1e-12);
        assert!((reach_in(0.03) - 0.972).abs() < 0.001);
    }
}
