//! What the program can read.

/// What a port delivers, as i16.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum PortKind {
    /// Distance to the opponent in mm, however it is measured; [`PortKind::NOTHING`] when nothing is
    /// seen.
    Range,
    /// 1 while something is seen, else 0.
    Proximity,
    /// Reflectance of the surface below, 0 (black) to 1000 (white) per mille.
    Reflectance,
    /// 1 while touched, else 0.
    Contact,
    /// Pitch in tenths of a degree, nose up positive.
    Tilt,
    /// Turning speed in tenths of a degree a second, to the left positive.
    TurnRate,
    /// Rolling speed of a side's wheels in mm/s, forward positive.
    WheelSpeed,
    /// Current of a side's motors in mA.
    Current,
}

impl PortKind {
    /// What a range port delivers when nothing is seen.
    pub const NOTHING: i16 = i16::MAX;

    /// What to ask of it, behind its name.
    pub(crate) fn question(self) -> &'static str {
        match self {
            Self::Range | Self::Proximity => "sees",
            Self::Reflectance => "on border",
            Self::Contact => "touched",
            Self::Tilt => "above 4 deg",
            Self::TurnRate => "above 90 deg",
            Self::WheelSpeed => "below 50 mm",
            Self::Current => "above 800 mA",
        }
    }
}

/// One sensor as the program knows it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Port {
    /// Name.
    pub name: String,
    /// What it delivers.
    pub kind: PortKind,
}

/// One gadget as the program knows it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct GadgetPort {
    /// Name.
    pub name: String,
    /// Names of its ends, the one it starts at first.
    pub ends: [String; 2],
}

/// All sensors and gadgets of a robot, the sensors in the order in which `tick` takes their readings.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Ports {
    /// The sensors.
    pub inputs: Vec<Port>,
    /// The gadgets that have a motor.
    pub gadgets: Vec<GadgetPort>,
}

impl Ports {
    /// The ports of a robot: its sensors, and its gadgets that have a motor, in file order.
    #[must_use]
    pub fn of(robot: &robot::Robot) -> Self {
        use robot::SensorKind as K;
        let kind = |k: &K| match k {
            K::Range { .. } | K::TimeOfFlight { .. } | K::Ultrasonic { .. } => PortKind::Range,
            K::Proximity { .. } => PortKind::Proximity,
            K::Reflectance { .. } => PortKind::Reflectance,
            K::Contact { .. } => PortKind::Contact,
            K::Tilt { .. } => PortKind::Tilt,
            K::TurnRate { .. } => PortKind::TurnRate,
            K::WheelSpeed { .. } => PortKind::WheelSpeed,
            K::Current { .. } => PortKind::Current,
        };
        let port = |s: &robot::Sensor| Port {
            name: s.item.name.clone(),
            kind: kind(&s.kind),
        };
        Self {
            inputs: robot.sensors.iter().map(port).collect(),
            gadgets: (robot.gadgets.iter())
                .filter(|g| g.drive.is_some())
                .map(|g| GadgetPort {
                    name: g.item.name.clone(),
                    ends: g.ends.clone(),
                })
                .collect(),
        }
    }
}
