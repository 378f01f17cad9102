//! Typical values and bands for what a file does not say.
//!
//! Each entry: value, half-width (19 to 1) of what is not known well, half-width of what varies
//! from bout to bout, all SI. All of it is common practice, no source: bands are wide on purpose,
//! and the report tells which of them matter for the robot at hand.

/// Value, unsure, varies.
pub(crate) type Typical = [f64; 3];

/// Wheel eccentricity, m: moulded and printed rims of centimetre size.
pub(crate) const RUN_OUT: Typical = [1e-4, 5e-5, 5e-5];
/// Exponent of grip ∝ load^(−n). The sign is established (Fortunato et al. 2017, Tire Science and
/// Technology 45(1)); the size for centimetre tyres is not.
pub(crate) const LOAD_EXPONENT: Typical = [0.1, 0.1, 0.0];
/// Load at which a tyre's grip was read, N: about a quarter of a 500 g robot.
pub(crate) const REFERENCE_LOAD: Typical = [1.2, 0.0, 0.0];
/// Rolling resistance coefficient of a soft tyre on a board.
pub(crate) const ROLLING: Typical = [0.02, 0.01, 0.0];
/// Rolling resistance coefficient of a track: its belt is bent at the sprockets and rubs on its
/// rollers.
pub(crate) const TRACK_ROLLING: Typical = [0.06, 0.04, 0.0];
/// Gap at which a quarter of a magnet's pull is left, m: blocks of centimetre size.
pub(crate) const MAGNET_REACH: Typical = [0.003, 0.0015, 0.0];
/// Friction of a magnet's face on a steel ring.
pub(crate) const MAGNET_FRICTION: Typical = [0.3, 0.15, 0.0];
/// Patches of a track.
pub(crate) const TRACK_PATCHES: u32 = 5;
/// Sideways hold of a tyre beyond grip × load, N: none of hard compounds. Soft sticky ones reach some
/// tenths of a newton a wheel.
pub(crate) const ADHESION: Typical = [0.0, 0.0, 0.0];
/// Share of grip a tyre full of dirt has lost: none, for the grip's own spread is taken to hold it.
pub(crate) const DIRT_LOSS: Typical = [0.0, 0.0, 0.0];
/// Travel in m within which a tyre takes up 63 % of the dirt it can hold.
pub(crate) const DIRT_LENGTH: Typical = [30.0, 20.0, 0.0];
/// Travel in m since the tyres were cleaned when a bout begins: they are wiped before each.
pub(crate) const SINCE_CLEANED: Typical = [0.0, 0.0, 0.0];
/// Sliding grip as a share of peak grip.
pub(crate) const SLIDING_SHARE: f64 = 0.85;
/// Half-width of that share.
pub(crate) const SLIDING_SHARE_UNSURE: f64 = 0.1;
/// Current without load as a share of stall current.
pub(crate) const FREE_CURRENT_SHARE: f64 = 0.08;
/// Mechanical time constant of a small gear motor in s, from which the rotor inertia follows:
/// `J = T_stall·τ/ω₀`.
pub(crate) const MOTOR_TIME_S: f64 = 0.012;
/// Share of a stall torque written without a spread by which it is not known: shop pages draw it on
/// from lower loads.
pub(crate) const SHOP_TORQUE_SHARE: f64 = 0.2;
/// Efficiency of a small spur gearbox of three or four stages, driving.
pub(crate) const BOX_EFFICIENCY: Typical = [0.75, 0.1, 0.0];
/// Mass in kg of the gear motor the four figures below are for. A heavier one has more surface:
/// thermal resistances go with mass^(−2/3), times with mass^(1/3).
pub(crate) const COOLING_MASS_KG: f64 = 0.010;
/// From the winding to the case, K/W.
pub(crate) const WINDING_TO_CASE: Typical = [20.0, 10.0, 0.0];
/// From the case to still air, K/W: 12 cm² at some 15 W/(m²K).
pub(crate) const CASE_TO_AIR: Typical = [55.0, 25.0, 0.0];
/// Time constant of the winding against its case, s.
pub(crate) const WINDING_TIME: Typical = [6.0, 3.0, 0.0];
/// Time constant of the case against the air, s.
pub(crate) const CASE_TIME: Typical = [200.0, 80.0, 0.0];
/// Friction of a skid of smooth plastic or a ball.
pub(crate) const SKID_FRICTION: Typical = [0.2, 0.1, 0.05];
/// What a ball foot takes to roll as a share of its load: it rubs in its socket.
pub(crate) const BALL_ROLLING: Typical = [0.08, 0.04, 0.02];
/// Blade edge thickness, nicks included, m.
pub(crate) const BLADE_EDGE: Typical = [3e-4, 1.5e-4, 1e-4];
/// Friction of a steel blade on a board and on robots.
pub(crate) const BLADE_FRICTION: Typical = [0.2, 0.1, 0.03];
/// How far a hinged or sprung blade can sink below its place, m: what keeps it on the ring.
pub(crate) const BLADE_DROOP: Typical = [1e-3, 5e-4, 0.0];
/// How far a hinged or sprung blade can be lifted, m.
pub(crate) const BLADE_LIFT: Typical = [1e-2, 5e-3, 0.0];
/// Force at its edge with which a spring presses a blade down, N: a bent strip of steel.
pub(crate) const BLADE_PRELOAD: Typical = [0.5, 0.3, 0.1];
/// Stiffness of such a spring at the edge, N/m.
pub(crate) const BLADE_SPRING: Typical = [200.0, 150.0, 0.0];
/// Share of its stall torque that a gear of spur wheels holds without current.
pub(crate) const GEAR_HOLDS: Typical = [0.3, 0.2, 0.0];
/// Share of a gadget's mass that moves.
pub(crate) const MOVING_SHARE: f64 = 0.3;
/// Half-width of that share.
pub(crate) const MOVING_SHARE_UNSURE: f64 = 0.15;
/// Damping of a screwed or printed frame as a share of critical: 0.01 to 0.05.
pub(crate) const FRAME_DAMPING: Typical = [0.025, 0.015, 0.0];
/// Friction of a robot's body on another.
pub(crate) const HULL_FRICTION: Typical = [0.3, 0.1, 0.05];
/// Share of the speed of a hit that comes back, body or blade: small robots of screwed plates.
pub(crate) const REBOUND: Typical = [0.3, 0.15, 0.0];
/// Share of infra-red light a body sends back.
pub(crate) const HULL_REFLECTANCE: Typical = [0.6, 0.3, 0.0];
/// Share of that light it mirrors: printed plastic, paint and tape are nearly matt.
pub(crate) const HULL_SHINE: Typical = [0.1, 0.1, 0.0];
/// Internal resistance of a small pack with its leads, Ω.
pub(crate) const PACK_RESISTANCE: Typical = [0.15, 0.1, 0.0];
/// Current limit of a small driver per channel, A.
pub(crate) const CURRENT_LIMIT: Typical = [2.0, 0.8, 0.0];
/// Series resistance of a small driver per channel, Ω.
pub(crate) const DRIVER_RESISTANCE: Typical = [0.3, 0.2, 0.0];
/// Loop time of a beginner's program, s.
pub(crate) const LOOP_TIME: Typical = [0.010, 0.0, 0.0];
/// Delay from decision to motor, s.
pub(crate) const OUTPUT_DELAY: Typical = [0.001, 0.0005, 0.0];
/// Current of a board without its sensors, A: small 8-bit boards 30 mA, 32-bit ones near 100 mA;
/// typical of data sheets, from memory.
pub(crate) const BOARD_CURRENT: Typical = [0.06, 0.03, 0.0];
/// Time from a reset of the controller to the program's first run, s: small boards with a boot
/// loader; from memory.
pub(crate) const BOOT_TIME: Typical = [0.3, 0.2, 0.0];
/// How far off (19 to 1) a robot is put down by hand, m.
pub(crate) const PUT_DOWN: Typical = [0.005, 0.0, 0.0];
/// How far off (19 to 1) its heading is put down by hand, rad (3 degrees).
pub(crate) const PUT_DOWN_HEADING: Typical = [0.052, 0.0, 0.0];
/// Spot of a reflectance sensor, m.
pub(crate) const SPOT: Typical = [0.003, 0.0015, 0.0];
/// Noise of a reflectance reading, share of full scale.
pub(crate) const REFLECTANCE_NOISE: Typical = [0.05, 0.0, 0.0];
/// Height at which a reflectance sensor has lost half its signal, m.
pub(crate) const FADING_HEIGHT: Typical = [0.006, 0.003, 0.0];
/// Readings per second of a sensor sampled on demand.
pub(crate) const FAST_RATE: Typical = [1000.0, 0.0, 0.0];
/// Latency of such a sensor, s.
pub(crate) const FAST_LATENCY: Typical = [0.0005, 0.0003, 0.0];
/// Readings per second of an analogue infra-red distance sensor (26 Hz cycle of the longer ones).
pub(crate) const RANGE_RATE: Typical = [60.0, 20.0, 0.0];
/// Latency of one, s.
pub(crate) const RANGE_LATENCY: Typical = [0.010, 0.008, 0.0];
/// Full opening angle of a range sensor's beam, rad (12 degrees).
pub(crate) const FIELD_OF_VIEW: Typical = [0.21, 0.1, 0.0];
/// Error of a distance as a share of it.
pub(crate) const RANGE_NOISE: Typical = [0.06, 0.02, 0.0];
/// Share of readings that miss a visible opponent.
pub(crate) const MISSES: Typical = [0.02, 0.02, 0.0];
/// Share of readings that see something where nothing is.
pub(crate) const FALSE_ALARMS: Typical = [0.002, 0.002, 0.0];
/// Time a time-of-flight sensor gathers light for one reading, s: the default of the common chips
/// is 30 to 33 ms.
pub(crate) const TIME_BUDGET: Typical = [0.033, 0.0, 0.0];
/// Full field of view of one, rad (25 degrees, as the common chips have it).
pub(crate) const WIDE_VIEW: Typical = [0.436, 0.05, 0.0];
/// Error of a time-of-flight reading at any distance with [`TIME_BUDGET`], m; it falls as one over
/// the root of the time.
pub(crate) const FLIGHT_NOISE: Typical = [0.005, 0.003, 0.0];
/// Further error as a share of the distance.
pub(crate) const FLIGHT_NOISE_SHARE: Typical = [0.03, 0.02, 0.0];
/// Least distance a time-of-flight sensor reads, m.
pub(crate) const FLIGHT_NEAREST: Typical = [0.03, 0.01, 0.0];
/// Readings per second of an ultrasonic module: sheets ask for 50 to 60 ms from ping to ping.
pub(crate) const PING_RATE: Typical = [16.0, 3.0, 0.0];
/// Latency of one besides the way of the sound, s.
pub(crate) const PING_LATENCY: Typical = [0.001, 0.0005, 0.0];
/// Full opening angle of one, rad (15 degrees on most sheets, wider in truth).
pub(crate) const PING_VIEW: Typical = [0.349, 0.087, 0.0];
/// Slant of a flat face from which its echo goes elsewhere, rad (30 degrees).
pub(crate) const PING_SLANT: Typical = [0.524, 0.175, 0.0];
/// Least distance an ultrasonic module reads, m.
pub(crate) const PING_NEAREST: Typical = [0.02, 0.005, 0.0];
/// Error of its reading, m: a period of 40 kHz is 8.6 mm.
pub(crate) const PING_NOISE: Typical = [0.004, 0.002, 0.0];
/// Temperature for which programs turn time into distance, K: 58 us a centimetre is 23 °C, most
/// take 343 m/s, which is 20 °C.
pub(crate) const SET_FOR: Typical = [293.15, 0.0, 0.0];
/// Pause after the last echo waited for, s.
pub(crate) const DEAD_TIME: Typical = [0.002, 0.001, 0.0];
/// Readings per second of a proximity module; binary ones of 50 to 150 mm have 265 at least.
pub(crate) const PROXIMITY_RATE: Typical = [300.0, 100.0, 0.0];
/// Latency of one, s.
pub(crate) const PROXIMITY_LATENCY: Typical = [0.004, 0.002, 0.0];
/// Full opening angle of one, rad (20 degrees).
pub(crate) const PROXIMITY_VIEW: Typical = [0.349, 0.175, 0.0];
/// Error of a motor current, A: shunt, amplifier and the ripple of the modulation.
pub(crate) const CURRENT_NOISE: Typical = [0.06, 0.03, 0.0];
/// Readings per second of a current after its filter.
pub(crate) const CURRENT_RATE: Typical = [500.0, 0.0, 0.0];
/// Latency of a filtered current, s.
pub(crate) const CURRENT_LATENCY: Typical = [0.003, 0.002, 0.0];
/// Readings per second of a wheel speed: counts are gathered in between.
pub(crate) const WHEEL_SPEED_RATE: Typical = [100.0, 0.0, 0.0];
/// Latency of a wheel speed, s.
pub(crate) const WHEEL_SPEED_LATENCY: Typical = [0.001, 0.0005, 0.0];
/// Readings per second of a gyroscope.
pub(crate) const TURN_RATE_RATE: Typical = [200.0, 0.0, 0.0];
/// Latency of one with its filter, s.
pub(crate) const TURN_RATE_LATENCY: Typical = [0.005, 0.003, 0.0];
/// Error of a turning speed, rad/s (1 degree a second).
pub(crate) const TURN_RATE_NOISE: Typical = [0.0175, 0.0087, 0.0];
/// What a gyroscope reads at rest, rad/s: nothing, give or take 2 degrees a second at each start.
pub(crate) const TURN_RATE_OFFSET: Typical = [0.0, 0.0, 0.035];
/// Greatest turning speed it reads, rad/s (2000 degrees a second).
pub(crate) const TURN_RATE_MOST: Typical = [34.9, 0.0, 0.0];
/// Force that closes a contact switch, N.
pub(crate) const TRIP_FORCE: Typical = [0.3, 0.2, 0.0];
/// Error of a tilt reading, rad (half a degree).
pub(crate) const TILT_NOISE: Typical = [0.009, 0.0, 0.0];
/// Currents of sensors, A, by type: typical of the data sheets of such parts, from memory. A
/// reflectance sensor is an infra-red diode at some 20 mA;
pub(crate) const REFLECTANCE_CURRENT: Typical = [0.02, 0.01, 0.0];
/// triangulation takes 30 mA on average (12 to 33 mA by reach);
pub(crate) const RANGE_CURRENT: Typical = [0.03, 0.015, 0.0];
/// time of flight 20 mA while it measures;
pub(crate) const FLIGHT_CURRENT: Typical = [0.02, 0.008, 0.0];
/// ultrasonic modules 15 mA;
pub(crate) const PING_CURRENT: Typical = [0.015, 0.008, 0.0];
/// proximity from 5 mA (integrated, pulsed) to 40 mA (module with a steady diode);
pub(crate) const PROXIMITY_CURRENT: Typical = [0.02, 0.015, 0.0];
/// a switch only its pull-up;
pub(crate) const SWITCH_CURRENT: Typical = [0.0005, 0.0005, 0.0];
/// an accelerometer;
pub(crate) const TILT_CURRENT: Typical = [0.001, 0.001, 0.0];
/// a gyroscope;
pub(crate) const TURN_RATE_CURRENT: Typical = [0.005, 0.003, 0.0];
/// two Hall switches or a light barrier;
pub(crate) const WHEEL_SPEED_CURRENT: Typical = [0.01, 0.006, 0.0];
/// a shunt amplifier or a Hall chip.
pub(crate) const CURRENT_CURRENT: Typical = [0.008, 0.005, 0.0];
