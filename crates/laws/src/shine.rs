//! What comes back of the light that a distance sensor throws on a body, and how far that is seen.

/// Share of infra-red light sent back by the light-coloured body for which a sensor's reach is
/// stated: white paper, 90 %, as data sheets of infra-red distance sensors use it.
const LIGHT_BODY: f64 = 0.9;

/// Cosine of the slant beyond which a mirroring face sends nothing back: 15 degrees, of which the
/// beam's own width and curved faces take most (common practice, no source).
const GLINT: f64 = 0.966;

/// The share `reflectance` as a share of what a white body sends back.
#[inline]
#[must_use]
pub fn of_white(reflectance: f64) -> f64 {
    (reflectance / LIGHT_BODY).clamp(0.0, 1.0)
}

/// Light that comes back to a sensor, as a share of what a matt white face sends back head-on;
/// `facing` is the cosine between beam and face, `shine` the share of it that is mirrored.
///
/// The matt share scatters evenly, which is as `facing` (Lambert's law). The mirroring share
/// comes back only from a face that is nearly square to the beam.
#[inline]
#[must_use]
pub fn returned(reflectance: f64, shine: f64, facing: f64) -> f64 {
    let glint = ((facing - GLINT) / (1.0 - GLINT)).max(0.0);
    of_white(reflectance * (facing + shine * (glint - facing)))
}

/// Share of its reach out to which triangulation sees a face that returns this share of what a white one
/// would: √r, since its light falls as 1/d².
#[inline]
#[must_use]
pub fn reach_of_triangulation(returned: f64) -> f64 {
    returned.sqrt()
}

/// The same of a sensor that times light: ⁴√r. Makers' tables give 1.2 m on white (88 %) and 0.7 to 0.8 m
/// on grey (17 %), from memory.
#[inline]
#[must_use]
pub fn reach_of_flight(returned: f64) -> f64 {
    returned.sqrt().sqrt()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::near::near;

    #[test]
    fn a_matt_face_returns_as_it_faces_and_as_it_is_bright() {
        near(returned(0.9, 0.0, 1.0), 1.0, 1e-12);
        near(returned(0.9, 0.0, 0.5), 0.5, 1e-12);
        near(returned(0.09, 0.0, 1.0), 0.1, 1e-12);
    }

    #[test]
    fn a_mirror_returns_all_or_nothing() {
        near(returned(0.9, 1.0, 1.0), 1.0, 1e-12);
        near(returned(0.9, 1.0, 0.9), 0.0, 1e-12);
    }

    /// 1.2 m on white (88 %), 0.7 to 0.8 m on grey (17 %): makers' tables, from memory.
    #[test]
    fn timing_light_sees_grey_from_two_thirds_as_far() {
        let grey = 1.2 * reach_of_flight(0.17 / 0.88);
        assert!((0.7..=0.8).contains(&grey), "{grey}");
        near(reach_of_triangulation(0.25), 0.5, 1e-12);
    }
}
