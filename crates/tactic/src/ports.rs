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

/// How a robot rolls, as far as bends of a given radius need it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Rolling {
    /// Distance of the wheels of the two sides, mm, at least 1.
    pub apart_mm: u16,
    /// Speed at full effort without load, mm/s, at least 1.
    pub full_mm_s: u16,
}

/// All sensors and gadgets of a robot, the sensors in the order in which `tick` takes their readings.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Ports {
    /// The sensors.
    pub inputs: Vec<Port>,
    /// The gadgets that have a motor.
    pub gadgets: Vec<GadgetPort>,
    /// How it rolls; none: not on driven wheels or tracks on both sides.
    pub rolling: Option<Rolling>,
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
            rolling: Rolling::of(robot),
        }
    }
}

impl Rolling {
    /// How `robot` rolls on its driven wheels and tracks: each side at its mean place and speed, the motor's
    /// speed without load at the pack's voltage.
    fn of(robot: &robot::Robot) -> Option<Self> {
        let wheels = (robot.wheels.iter())
            .filter_map(|w| Some((w.motor?, &w.item, w.ratio.si(), w.radius.si())));
        let tracks = (robot.tracks.iter())
            .filter_map(|t| Some((t.motor?, &t.item, t.ratio.si(), t.radius.si())));
        let mut sides = [(0.0, 0.0, 0.0); 2];
        for (motor, item, ratio, radius_m) in wheels.chain(tracks) {
            let Some(m) = robot.motors.get(motor) else {
                continue;
            };
            let volts = robot.battery.voltage.si() / m.rated_voltage.si();
            let shaft = m.no_load_speed.si() * volts / m.gear_ratio.si();
            let side = &mut sides[usize::from(m.side == robot::Side::Right)];
            side.0 += 1.0;
            side.1 += item.at[1].si();
            side.2 += shaft / ratio * radius_m;
        }
        let [left, right] = sides.map(|(n, y, v)| (n > 0.0).then(|| (y / n, v / n)));
        let ((y_left, v_left), (y_right, v_right)) = left.zip(right)?;
        let whole = |m: f64| {
            let mm = (m * 1000.0).round();
            #[allow(
                clippy::cast_possible_truncation,
                clippy::cast_sign_loss,
                reason = "within 1 and 65535 by the check"
            )]
            (1.0..=65_535.0).contains(&mm).then_some(mm as u16)
        };
        Some(Self {
            apart_mm: whole(y_left - y_right)?,
            full_mm_s: whole(f64::midpoint(v_left, v_right))?,
        })
    }
}
