//! The ring the robots stand on.

/// What the top of a ring is made of, as tyres feel it.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Surface {
    /// Clean painted board, to which grips of tyres refer.
    #[default]
    PaintedBoard,
    /// Bare wood.
    Wood,
    /// Bare or painted steel sheet.
    Steel,
    /// Vinyl sheet.
    Vinyl,
    /// Rubber mat.
    Rubber,
}

impl Surface {
    /// Every surface with what files call it.
    pub const ALL: [(&'static str, Self); 5] = [
        ("painted board", Self::PaintedBoard),
        ("wood", Self::Wood),
        ("steel", Self::Steel),
        ("vinyl", Self::Vinyl),
        ("rubber", Self::Rubber),
    ];
}

/// A round raised ring. All figures in SI.
#[derive(Debug, Clone, PartialEq)]
pub struct Ring {
    /// Diameter of the ring top in m, border included.
    pub diameter_m: f64,
    /// Height of the top above the floor in m.
    pub height_m: f64,
    /// Width of the border line in m.
    pub border_m: f64,
    /// Share of the light the inner surface sends back (0 to 1).
    pub surface_reflectance: f64,
    /// Share of the light the border sends back (0 to 1).
    pub border_reflectance: f64,
    /// What its top is made of.
    pub surface: Surface,
    /// What the tops of other rings of the class are made of: each bout draws one of all.
    pub also: Vec<Surface>,
    /// How fast tyres gather dirt on it relative to a ring wiped before the match (1); 0: not.
    pub dust: f64,
    /// Grip of this ring relative to a clean one of its surface (1).
    pub grip: f64,
    /// Half-width (19 to 1) of what dirt takes from or adds to grip, the same for both robots.
    pub grip_varies: f64,
    /// Most height in m between the highest and the lowest point of its top, without its seam; 0: flat.
    pub flatness_m: f64,
    /// Step in m of the seam between its two boards; 0: none.
    pub seam_m: f64,
    /// Distance of each start line from the centre in m.
    pub start_line_m: f64,
    /// What surrounds it, as far as sensors notice.
    pub hall: Hall,
}

impl Ring {
    /// One of its surfaces, each as likely, by a number from 0 to 1.
    #[must_use]
    pub fn surface_at(&self, uniform: f64) -> Surface {
        let mut left = uniform * (1.0 + self.also.len() as f64) - 1.0;
        for surface in &self.also {
            if left < 0.0 {
                break;
            }
            if left < 1.0 {
                return *surface;
            }
            left -= 1.0;
        }
        self.surface
    }
}

/// What surrounds a ring, as far as sensors notice.
#[derive(Debug, Clone, PartialEq)]
pub struct Hall {
    /// Free space in m around the ring; people stand beyond it.
    pub free_space_m: f64,
    /// Light of the surroundings: what a lifted edge sensor reads of it, as a share of full scale.
    pub light: f64,
    /// Half-width (19 to 1) of how that differs from bout to bout.
    pub light_varies: f64,
    /// Share of its brightness the border loses to dust and tyre marks (19 to 1), by bout and
    /// along the rim.
    pub border_dirt: f64,
}

impl Hall {
    /// A dark hall without people and with a clean ring.
    pub const DARK: Self = Self {
        free_space_m: f64::INFINITY,
        light: 0.0,
        light_varies: 0.0,
        border_dirt: 0.0,
    };
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn each_surface_of_a_class_is_as_likely() {
        let ring = |also: Vec<Surface>| Ring {
            diameter_m: 0.77,
            height_m: 0.025,
            border_m: 0.025,
            surface_reflectance: 0.05,
            border_reflectance: 0.8,
            surface: Surface::PaintedBoard,
            also,
            dust: 1.0,
            grip: 1.0,
            grip_varies: 0.0,
            flatness_m: 0.0,
            seam_m: 0.0,
            start_line_m: 0.05,
            hall: Hall::DARK,
        };
        let one = ring(vec![]);
        let three = ring(vec![Surface::Vinyl, Surface::Wood]);
        for k in 0..30_u32 {
            let uniform = (f64::from(k) + 0.5) / 30.0;
            assert_eq!(one.surface_at(uniform), Surface::PaintedBoard);
            let third = [Surface::PaintedBoard, Surface::Vinyl, Surface::Wood][k as usize / 10];
            assert_eq!(three.surface_at(uniform), third, "{uniform}");
        }
    }
}
