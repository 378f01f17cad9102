//! A robot as flat numbers for the hot loop.
//!
//! Everything is SI and drawn: a [`Machine`] is one imagined robot of one bout. Positions are
//! relative to the centre of mass in the design's axes unless said otherwise.

use glam::{DMat3, DVec2, DVec3};
use laws::battery::Chemistry;
use laws::heat::Network;
use laws::motor::{Chain, Line};

use super::joint::Joint;
use super::magnets::MagnetNumbers;

/// One imagined robot.
#[derive(Debug, Clone)]
pub(crate) struct Machine {
    /// Mass in kg.
    pub(crate) mass: f64,
    /// Inertia about the centre of mass in kg·m², less Σ I_w²/J about the axle direction: what is
    /// left when each spin group has its own momentum (see `body`).
    pub(crate) inertia: DMat3,
    /// Inverse of `inertia`.
    pub(crate) inverse_inertia: DMat3,
    /// Centre of mass in the design frame.
    pub(crate) centre: DVec3,
    /// Wheels in file order, then the patches of each track from front to back.
    pub(crate) wheels: Vec<WheelNumbers>,
    /// Spin freedoms: wheels that turn together.
    pub(crate) groups: Vec<SpinGroup>,
    /// Motors in file order.
    pub(crate) motors: Vec<MotorNumbers>,
    /// Battery and driver.
    pub(crate) pack: Pack,
    /// Points that can rest on the ring or the floor: skids, blade corners, lower hull corners.
    pub(crate) feet: Vec<Foot>,
    /// Hull pieces.
    pub(crate) hull: Vec<Prism>,
    /// Blade, flaps and plates.
    pub(crate) sheets: Vec<Sheet>,
    /// Magnets that face the ring.
    pub(crate) magnets: Vec<MagnetNumbers>,
    /// Freedoms of parts that move against the body.
    pub(crate) joints: Vec<Joint>,
    /// Share of the speed of a hit that comes back from a like part: hull, blade.
    pub(crate) rebound: [f64; 2],
    /// Whether dirt takes grip from any of its tyres.
    pub(crate) gathers_dirt: bool,
    /// Radius in m of a sphere about the centre of mass that holds everything.
    pub(crate) reach: f64,
    /// Middle of an upright box that holds everything.
    pub(crate) middle: DVec3,
    /// Half its length, width and height, m.
    pub(crate) half: DVec3,
}

/// A wheel, or one patch of a track.
#[derive(Debug, Clone)]
pub(crate) struct WheelNumbers {
    /// Centre.
    pub(crate) centre: DVec3,
    /// Radius in m.
    pub(crate) radius: f64,
    /// The radius varies by ± this over a turn, in m.
    pub(crate) run_out: f64,
    /// Where in the turn it is largest, in rad.
    pub(crate) run_out_phase: f64,
    /// Spin group.
    pub(crate) group: usize,
    /// The track it is a patch of.
    pub(crate) track: Option<usize>,
    /// Half the width of its tread in m: what turning on the spot scrubs.
    pub(crate) half_width: f64,
    /// Turns of the wheel for one of its group.
    pub(crate) turns: f64,
    /// Whether a motor turns it.
    pub(crate) driven: bool,
    /// Grip before sliding at the reference load on clean board.
    pub(crate) grip_peak: f64,
    /// Grip while sliding at the reference load.
    pub(crate) grip_sliding: f64,
    /// Reference load in N.
    pub(crate) reference_load: f64,
    /// Exponent n of grip ∝ load^(−n).
    pub(crate) load_exponent: f64,
    /// Sideways hold beyond grip × load in N.
    pub(crate) adhesion: f64,
    /// How it gathers dirt, if dirt takes any of its grip.
    pub(crate) dirt: Option<Dirt>,
    /// Rolling resistance coefficient.
    pub(crate) rolling: f64,
    /// Radial stiffness in N/m.
    pub(crate) stiffness: f64,
    /// Radial damping in N·s/m.
    pub(crate) damping: f64,
}

/// How a tyre gathers dirt.
#[derive(Debug, Clone)]
pub(crate) struct Dirt {
    /// Share of the grip that goes in the end.
    pub(crate) loss: f64,
    /// Travel in m within which 63 % of that is gone, on this ring.
    pub(crate) length: f64,
    /// Travel in m since it was cleaned.
    pub(crate) travel: f64,
    /// The same as the robot file has it before a bout.
    pub(crate) fresh: f64,
    /// The same when its grip was last worked out.
    pub(crate) noted: f64,
    /// Grip before sliding, grip while sliding and adhesion when clean.
    pub(crate) clean: [f64; 3],
}

/// Wheels and motors that turn together. Its speed is that of the motors' shaft; a wheel geared to
/// it turns ρ times as fast.
#[derive(Debug, Clone)]
pub(crate) struct SpinGroup {
    /// J: Σ ρ² of the wheels' own spin inertias, plus reflected rotors, kg·m².
    pub(crate) inertia: f64,
    /// I_w: Σ ρ of the wheels' own spin inertias alone, kg·m².
    pub(crate) own_inertia: f64,
    /// κ = I_w/J.
    pub(crate) kappa: f64,
}

/// A motor at the wheel, as warm as it is now: torque = `torque_per_volt`·u·V − `damping`·θ̇, less
/// friction.
#[derive(Debug, Clone)]
pub(crate) struct MotorNumbers {
    /// Spin group it turns.
    pub(crate) group: usize,
    /// Driver channel: 0 left, 1 right.
    pub(crate) channel: usize,
    /// N·m per volt at the driver's input, at full effort.
    pub(crate) torque_per_volt: f64,
    /// N·m·s/rad.
    pub(crate) damping: f64,
    /// A per volt.
    pub(crate) current_per_volt: f64,
    /// A·s/rad: what turning takes off the current.
    pub(crate) current_per_speed: f64,
    /// N·m at the wheel per A, where the driver limits the current.
    pub(crate) torque_per_ampere: f64,
    /// Friction against any turning, N·m.
    pub(crate) drag: f64,
    /// Further friction as a multiple of the motor's torque, when turned against it.
    pub(crate) back_share: f64,
    /// Whether its gears hold while it gets nothing.
    pub(crate) locks: bool,
    /// What its heat changes; none: it stays cold.
    pub(crate) hot: Option<Hot>,
}

/// How a motor warms up.
#[derive(Debug, Clone)]
pub(crate) struct Hot {
    /// Everything between pack and wheel, cold.
    pub(crate) chain: Chain,
    /// Its thermal network.
    pub(crate) network: Network,
}

impl Machine {
    /// The wheels and tracks: how many there are.
    pub(crate) fn units(&self) -> usize {
        let patches = self.wheels.iter().filter(|w| w.track.is_some()).count();
        let tracks = self.wheels.iter().filter_map(|w| w.track).max();
        self.wheels.len() - patches + tracks.map_or(0, |t| t + 1)
    }

    /// Indices into `wheels` of the wheel or track number `unit`: tracks come after the wheels.
    pub(crate) fn treads_of(&self, unit: usize) -> impl Iterator<Item = usize> {
        let wheels = self.wheels.iter().filter(|w| w.track.is_none()).count();
        let is = move |(k, w): &(usize, &WheelNumbers)| match w.track {
            None => *k == unit,
            Some(t) => wheels + t == unit,
        };
        self.wheels.iter().enumerate().filter(is).map(|(k, _)| k)
    }

    /// Middles of the wheels and tracks.
    pub(crate) fn middles(&self) -> impl Iterator<Item = DVec3> {
        (0..self.units()).map(|unit| {
            let (mut sum, mut count) = (DVec3::ZERO, 0.0);
            for k in self.treads_of(unit) {
                sum += self.wheels[k].centre;
                count += 1.0;
            }
            sum / f64::max(count, 1.0)
        })
    }
}

impl MotorNumbers {
    /// Puts the figures of `line` in.
    pub(crate) fn take_line(&mut self, line: &Line) {
        self.torque_per_volt = line.nm_per_v;
        self.damping = line.nm_s;
        self.current_per_volt = line.a_per_v;
        self.current_per_speed = line.a_s;
        self.torque_per_ampere = line.nm_per_a;
        self.drag = line.drag_nm;
        self.back_share = line.back_share;
        self.locks = line.locks;
    }
}

/// Battery and driver.
#[derive(Debug, Clone)]
pub(crate) struct Pack {
    /// Voltage of the full pack without load in V.
    pub(crate) voltage: f64,
    /// Internal resistance in Ω.
    pub(crate) resistance: f64,
    /// Current of board and sensors in A.
    pub(crate) idle_current: f64,
    /// Most current per driver channel in A.
    pub(crate) current_limit: f64,
    /// Whether a motor at zero effort runs on instead of braking.
    pub(crate) coasts: bool,
    /// How its voltage falls as it is emptied.
    pub(crate) chemistry: Chemistry,
    /// Charge of the full pack in A·s.
    pub(crate) capacity: f64,
    /// Charge gone at the start in A·s.
    pub(crate) used: f64,
}

/// A point that can rest on the ground.
#[derive(Debug, Clone)]
pub(crate) struct Foot {
    /// Where.
    pub(crate) at: DVec3,
    /// Friction on the ground.
    pub(crate) friction: f64,
    /// The joint of the part it belongs to.
    pub(crate) joint: Option<usize>,
}

/// A convex upright prism.
#[derive(Debug, Clone)]
pub(crate) struct Prism {
    /// Corners seen from above, counter-clockwise.
    pub(crate) outline: Vec<DVec2>,
    /// Outward unit normal of the side from corner i to corner i + 1.
    pub(crate) normals: Vec<DVec2>,
    /// Middle of a circle that holds the outline.
    pub(crate) middle: DVec2,
    /// Radius of that circle in m.
    pub(crate) radius: f64,
    /// Height of the lower face.
    pub(crate) low: f64,
    /// Height of the upper face.
    pub(crate) high: f64,
    /// Friction against another robot.
    pub(crate) friction: f64,
}

/// A sloping sheet without thickness, behind a straight edge.
#[derive(Debug, Clone)]
pub(crate) struct Sheet {
    /// Corners: tip left, tip right, back right, back left.
    pub(crate) corners: [DVec3; 4],
    /// Middle of the edge.
    pub(crate) tip: DVec3,
    /// Unit vector up the slope.
    pub(crate) up_slope: DVec3,
    /// Unit vector along the edge, to the left.
    pub(crate) left: DVec3,
    /// Unit normal of the upper side.
    pub(crate) normal: DVec3,
    /// Length up the slope in m.
    pub(crate) length: f64,
    /// Half the length of the edge in m.
    pub(crate) half_width: f64,
    /// Radius in m of a circle about its middle that holds it.
    pub(crate) radius: f64,
    /// Effective thickness of the edge in m: what another blade has to get under.
    pub(crate) edge: f64,
    /// Friction against anything.
    pub(crate) friction: f64,
    /// The same blade as a blunt body, for when it does not get under.
    pub(crate) blunt: Prism,
    /// The joint it moves by.
    pub(crate) joint: Option<usize>,
}

impl Prism {
    /// A prism with its side normals worked out. `outline` must be convex and counter-clockwise.
    pub(crate) fn new(outline: Vec<DVec2>, low: f64, high: f64, friction: f64) -> Self {
        let n = outline.len();
        let side = |i: usize| {
            let e = outline[(i + 1) % n] - outline[i];
            DVec2::new(e.y, -e.x).normalize_or_zero()
        };
        let normals = (0..n).map(side).collect();
        let least = outline.iter().copied().reduce(DVec2::min);
        let most = outline.iter().copied().reduce(DVec2::max);
        let middle = 0.5 * (least.unwrap_or_default() + most.unwrap_or_default());
        let radius = outline
            .iter()
            .map(|c| c.distance(middle))
            .fold(0.0, f64::max);
        Self {
            outline,
            normals,
            middle,
            radius,
            low,
            high,
            friction,
        }
    }
}
