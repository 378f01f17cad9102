//! The kinds of quantity a robot file can hold, and the units builders write them in.

/// One way of writing a quantity: symbol, accepted other spellings, and the way to SI.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Unit {
    /// The symbol as the SI brochure (or the trade) writes it; this is what is printed.
    pub symbol: &'static str,
    /// Other accepted spellings.
    pub also: &'static [&'static str],
    /// SI value of one of this unit.
    pub scale: f64,
    /// Added after scaling, for temperatures (0 otherwise).
    pub offset: f64,
}

/// A kind of quantity, as a type. Torque and energy are different kinds although both are N·m.
pub trait Dimension: Copy + core::fmt::Debug + Send + Sync + 'static {
    /// What it is called in messages, e.g. `length`.
    const NAME: &'static str;
    /// SI symbol of the number kept inside, e.g. `m`.
    const SI: &'static str;
    /// Every unit accepted, the most natural for a small robot first.
    const UNITS: &'static [Unit];
    /// Smallest SI value that makes physical sense; draws are cut here.
    const LEAST: f64 = f64::NEG_INFINITY;
}

const fn u(symbol: &'static str, also: &'static [&'static str], scale: f64) -> Unit {
    Unit {
        symbol,
        also,
        scale,
        offset: 0.0,
    }
}

macro_rules! dimensions {
    ($($(#[$doc:meta])* $name:ident, $said:literal, $si:literal, $least:expr, [$($unit:expr),* $(,)?];)*) => {
        $($(#[$doc])*
        #[derive(Debug, Clone, Copy, PartialEq, Eq)]
        pub enum $name {}
        impl Dimension for $name {
            const NAME: &'static str = $said;
            const SI: &'static str = $si;
            const UNITS: &'static [Unit] = &[$($unit),*];
            const LEAST: f64 = $least;
        })*
        /// Name, SI symbol and units of every dimension, for messages that look across them.
        pub const ALL_DIMENSIONS: &[(&str, &str, &[Unit])] = &[$(($said, $si, $name::UNITS)),*];
    };
}

/// Any sign is allowed.
const ANY: f64 = f64::NEG_INFINITY;

dimensions! {
    /// Length in m.
    Length, "length", "m", ANY, [u("mm", &[], 1e-3), u("cm", &[], 1e-2), u("m", &[], 1.0), u("in", &["inch", "\""], 0.0254), u("um", &["µm", "μm"], 1e-6)];
    /// Mass in kg.
    Mass, "mass", "kg", 0.0, [u("g", &[], 1e-3), u("kg", &[], 1.0), u("mg", &[], 1e-6), u("oz", &[], 0.028_349_523_125), u("lb", &["lbs"], 0.453_592_37)];
    /// Force in N.
    Force, "force", "N", ANY, [u("N", &[], 1.0), u("mN", &[], 1e-3), u("gf", &[], 9.806_65e-3), u("kgf", &[], 9.806_65), u("lbf", &[], 4.448_221_615_260_5)];
    /// Torque in N·m.
    Torque, "torque", "N·m", ANY, [
        u("mN·m", &["mN m", "mN.m", "mN*m", "mNm"], 1e-3), u("N·m", &["N m", "N.m", "N*m", "Nm"], 1.0),
        u("N·cm", &["N cm", "N.cm", "N*cm", "Ncm"], 1e-2),
        u("kgf·cm", &["kgf cm", "kgf.cm", "kgf*cm"], 0.098_066_5), u("gf·cm", &["gf cm", "gf.cm", "gf*cm"], 9.806_65e-5),
        u("ozf·in", &["oz in", "oz.in", "oz*in", "oz-in", "ozf in"], 0.007_061_551_833_333_333)];
    /// Energy in J.
    Energy, "energy", "J", ANY, [u("J", &[], 1.0), u("mJ", &[], 1e-3), u("Wh", &["W h", "W·h"], 3600.0)];
    /// Power in W.
    Power, "power", "W", ANY, [u("W", &[], 1.0), u("mW", &[], 1e-3)];
    /// Voltage in V.
    Voltage, "voltage", "V", ANY, [u("V", &[], 1.0), u("mV", &[], 1e-3)];
    /// Current in A.
    Current, "current", "A", ANY, [u("A", &[], 1.0), u("mA", &[], 1e-3)];
    /// Charge in A·s (C).
    Charge, "charge", "C", 0.0, [u("mAh", &["mA h", "mA·h"], 3.6), u("Ah", &["A h", "A·h"], 3600.0), u("C", &[], 1.0)];
    /// Resistance in Ω.
    Resistance, "resistance", "Ω", 0.0, [u("Ω", &["ohm", "Ohm", "ohms"], 1.0), u("mΩ", &["mohm", "milliohm"], 1e-3)];
    /// Angular velocity in rad/s.
    AngularVelocity, "turning speed", "rad/s", ANY, [u("rpm", &["r/min", "1/min", "min^-1"], core::f64::consts::PI / 30.0), u("rad/s", &[], 1.0), u("°/s", &["deg/s"], core::f64::consts::PI / 180.0)];
    /// Angle in rad.
    Angle, "angle", "rad", ANY, [u("°", &["deg", "degrees"], core::f64::consts::PI / 180.0), u("rad", &[], 1.0)];
    /// Speed in m/s.
    Speed, "speed", "m/s", ANY, [u("m/s", &[], 1.0), u("mm/s", &[], 1e-3), u("cm/s", &[], 1e-2), u("km/h", &[], 1.0 / 3.6)];
    /// Acceleration in m/s².
    Acceleration, "acceleration", "m/s²", ANY, [u("m/s²", &["m/s2", "m/s^2"], 1.0)];
    /// Time in s.
    Time, "time", "s", 0.0, [u("ms", &[], 1e-3), u("s", &["sec"], 1.0), u("us", &["µs", "μs"], 1e-6), u("min", &[], 60.0)];
    /// Frequency in Hz.
    Frequency, "frequency", "Hz", 0.0, [u("Hz", &[], 1.0), u("kHz", &[], 1e3), u("MHz", &[], 1e6)];
    /// Temperature in K.
    Temperature, "temperature", "K", 0.0, [Unit { symbol: "°C", also: &["degC", "C"], scale: 1.0, offset: 273.15 }, u("K", &[], 1.0)];
    /// A share or coefficient, 1 = 100 %. Written as a bare number or in %.
    Ratio, "share", "", ANY, [u("", &[], 1.0), u("%", &[], 1e-2)];
    /// Thermal resistance in K/W.
    ThermalResistance, "thermal resistance", "K/W", 0.0, [u("K/W", &["°C/W", "degC/W", "C/W"], 1.0)];
    /// Stiffness in N/m.
    Stiffness, "stiffness", "N/m", 0.0, [u("N/mm", &[], 1e3), u("N/m", &[], 1.0)];
    /// Stiffness against turning in N·m/rad.
    TurningStiffness, "stiffness against turning", "N·m/rad", 0.0, [u("N·m/rad", &["N m/rad", "N.m/rad", "Nm/rad", "N*m/rad"], 1.0), u("N·m/°", &["N m/deg", "N.m/deg", "Nm/deg", "N·m/deg"], 180.0 / core::f64::consts::PI)];
    /// Stress or modulus of elasticity in Pa.
    Stress, "stress", "Pa", 0.0, [u("GPa", &[], 1e9), u("MPa", &["N/mm2", "N/mm²"], 1e6), u("kPa", &[], 1e3), u("Pa", &[], 1.0)];
    /// Density in kg/m³.
    Density, "density", "kg/m³", 0.0, [u("kg/m³", &["kg/m3", "kg/m^3"], 1.0), u("g/cm³", &["g/cm3", "g/cm^3"], 1e3)];
    /// Moment of inertia in kg·m².
    Inertia, "moment of inertia", "kg·m²", 0.0, [u("kg·m²", &["kg m2", "kg.m2", "kg m^2", "kg·m2"], 1.0), u("g·cm²", &["g cm2", "g.cm2", "g cm^2", "g·cm2"], 1e-7)];
    /// Money, a plain number in whatever the user pays with.
    Money, "price", "", 0.0, [u("", &[], 1.0)];
}
