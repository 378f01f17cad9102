//! An edge sensor: how bright the surface below is.

use glam::DVec3;
use laws::reflect::{self, FLOOR_REFLECTANCE};
use quantity::{Draws, Figure, Length, Ratio};
use robot::Ring;

use super::{Luck, Scene, silhouette::plan};

/// A sensor that looks down at a spot.
#[derive(Debug, Clone)]
pub(crate) struct Reflectance {
    /// Where it sits, in the design frame.
    at: DVec3,
    /// Radius of its spot in m.
    spot: f64,
    /// 19-to-1 half-width of a reading's error, share of full scale.
    noise: f64,
    /// Height over the surface at which half the signal is lost, in m.
    fading_height: f64,
}

impl Reflectance {
    /// The sensor as drawn.
    pub(crate) fn new(
        at: DVec3,
        name: &str,
        draws: &Draws,
        (spot, noise, fading): (&Figure<Length>, &Figure<Ratio>, &Figure<Length>),
    ) -> Self {
        Self {
            at,
            spot: (draws.of(spot, name) / 2.0).max(1e-6),
            noise: draws.of(noise, name).abs(),
            fading_height: draws.of(fading, name).max(1e-6),
        }
    }

    /// Where it sits, in the design frame.
    pub(crate) fn at(&self) -> DVec3 {
        self.at
    }

    /// Share of full scale it would read of its own light without noise: the mean of surface, border and floor
    /// over its spot, each weakened by the height it looks down from.
    ///
    /// The signal falls as 1/(1 + (h/h½)²) with the height h over what it sees: half at the
    /// fading height, and near nothing over the floor, so off the ring it reads dark. Assumed:
    /// the spot is small against the ring (its edge is taken as straight: 1 µm at 1 mm radius)
    /// and the sensor looks straight down however the robot leans.
    pub(crate) fn signal(&self, scene: &Scene<'_>) -> f64 {
        let p = scene.place(self.at);
        let from_centre = plan(p).length();
        let ring = scene.ring;
        let rim = ring.diameter_m / 2.0;
        let off = self.share_beyond(from_centre, rim);
        let not_inside = self.share_beyond(from_centre, rim - ring.border_m);
        let mut on_ring = (1.0 - not_inside) * ring.surface_reflectance;
        if not_inside > off {
            let border = ring.border_reflectance * scene.around.border_kept(plan(p));
            on_ring += (not_inside - off) * border;
        }
        let mut signal = self.fade(p.z) * on_ring;
        if off > 0.0 {
            signal += self.fade(p.z + ring.height_m) * off * FLOOR_REFLECTANCE;
        }
        signal
    }

    /// Whether `signal` is nearer to the border's than to the surface's at the sensor's own
    /// height with all wheels down: what a well-chosen threshold would call border.
    pub(crate) fn is_border(&self, signal: f64, ring: &Ring) -> bool {
        let middle = (ring.surface_reflectance + ring.border_reflectance) / 2.0;
        signal > self.fade(self.at.z) * middle
    }

    /// Light of the surroundings that falls on the sensor itself, as a share of full scale. Little
    /// gets under the body; more when it is lifted, or over the rim.
    pub(crate) fn stray(&self, scene: &Scene<'_>) -> f64 {
        let light = scene.around.light();
        if light == 0.0 {
            return 0.0;
        }
        let p = scene.place(self.at);
        let ring = scene.ring;
        let off = self.share_beyond(plan(p).length(), ring.diameter_m / 2.0);
        light
            * ((1.0 - off) * reflect::open_share(p.z)
                + off * reflect::open_share(p.z + ring.height_m))
    }

    /// A reading in per mille of full scale of what comes back from below and of stray light.
    pub(crate) fn read(&self, signal: f64, luck: Luck) -> i16 {
        super::whole_i16(((signal + luck.error(self.noise)) * 1000.0).clamp(0.0, 1000.0))
    }

    /// What height leaves of the signal.
    fn fade(&self, height: f64) -> f64 {
        reflect::faded(height, self.fading_height)
    }

    /// Share of the spot beyond a straight edge at `edge` when its middle is at `middle`.
    fn share_beyond(&self, middle: f64, edge: f64) -> f64 {
        reflect::share_beyond((edge - middle) / self.spot)
    }
}

#[cfg(test)]
mod tests {
    use super::super::tests::{ring, scene_at};
    use super::*;
    use quantity::Stream;

    fn sensor(x: f64, z: f64) -> Reflectance {
        Reflectance {
            at: DVec3::new(x, 0.0, z),
            spot: 0.002,
            noise: 0.0,
            fading_height: 0.006,
        }
    }

    /// Reading with the sensor's middle at `x` on a mini ring (rim at 385 mm, border 25 mm).
    fn reading(x: f64, z: f64) -> i16 {
        let s = sensor(0.0, z);
        let scene = scene_at([x, 0.0, 0.0], [-0.3, 0.0, 0.0]);
        s.read(s.signal(&scene.borrow()), Luck::new(Stream::root(1), 0))
    }

    #[test]
    fn surface_border_and_floor_read_as_they_are() {
        // Sensor right on the surface: no fading. Surface 0.05, border 0.85.
        assert_eq!(reading(0.2, 0.0), 50);
        assert_eq!(reading(0.37, 0.0), 850);
        // Off the ring: 0.2/(1 + (25/6)²) = 0.0109.
        assert_eq!(reading(0.39, 0.0), 11);
    }

    #[test]
    fn half_over_the_border_reads_half_way() {
        assert_eq!(reading(0.36, 0.0), 450);
        assert!(reading(0.3595, 0.0) < 450 && reading(0.3605, 0.0) > 450);
        // A quarter of the spot's radius beyond: segment (acos ¼ − ¼√(15/16))/π = 0.34252.
        assert_eq!(reading(0.36 - 0.0005, 0.0), 324);
    }

    #[test]
    fn the_fading_height_halves_the_signal() {
        assert_eq!(reading(0.37, 0.006), 425);
        assert_eq!(reading(0.37, 0.012), 170);
    }

    #[test]
    fn a_lifted_edge_sensor_reads_dark_over_the_border() {
        let s = sensor(0.04, 0.002);
        let flat = scene_at([0.33, 0.0, 0.0], [0.0, 0.0, 0.0]);
        let lifted = scene_at([0.33, 0.0, 0.02], [0.0, 0.0, 0.0]);
        let (flat, lifted) = (s.signal(&flat.borrow()), s.signal(&lifted.borrow()));
        assert!(s.is_border(flat, &ring()), "{flat}");
        assert!(!s.is_border(lifted, &ring()), "{lifted}");
        assert!(lifted < 0.08, "{lifted}");
    }

    #[test]
    fn noise_stays_within_the_scale() {
        let s = Reflectance {
            noise: 0.5,
            ..sensor(0.0, 0.0)
        };
        let readings = (0..1000).map(|k| s.read(0.9, Luck::new(Stream::root(2), k)));
        let (least, most) = readings.fold((1000, 0), |(a, b), r| (a.min(r), b.max(r)));
        assert_eq!(most, 1000);
        assert!((0..600).contains(&least), "{least}");
    }
}
