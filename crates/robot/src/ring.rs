//! The ring the robots stand on.

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
    /// Grip of this surface relative to clean painted board (1).
    pub grip: f64,
    /// Half-width (19 to 1) of what dirt takes from or adds to grip, the same for both robots.
    pub grip_varies: f64,
    /// Distance of each start line from the centre in m.
    pub start_line_m: f64,
}
