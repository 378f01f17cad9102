//! What pack and motors are at: volts, currents, charge left, heat.

use laws::heat::{MAGNET_PER_K, Warmth, copper_rise_ratio};

use super::machine::Machine;

/// A motor's line is worked out afresh when its winding has changed by this many kelvin: 0.2 % of
/// its torque.
const SAME_WARMTH_K: f64 = 0.5;
/// The pack's open voltage is worked out afresh when this share of its charge has gone.
const SAME_CHARGE: f64 = 1e-3;

/// Pack and motors of one robot.
#[derive(Debug, Clone)]
pub(crate) struct Power {
    /// Voltage at the pack's terminals over the last substep, V.
    pub(crate) volts: f64,
    /// Current from the pack over the last substep, A.
    pub(crate) pack_a: f64,
    /// Current of each motor over the last substep, A, in file order.
    pub(crate) motors_a: Vec<f64>,
    /// Whether friction of motors and gears brakes any wheel.
    pub(crate) rubs: bool,
    /// Current that others than driver, board and sensors draw, A: whoever draws it sets it before
    /// a step.
    pub(crate) others_a: f64,
    /// Voltage without load at the charge there is, V.
    pub(crate) open_v: f64,
    /// Charge gone, A·s.
    pub(crate) used: f64,
    /// Rises of each motor over the air.
    pub(crate) warmth: Vec<Warmth>,
    /// Rises for which the motors' lines hold.
    lines_at: Vec<Warmth>,
    open_at: f64,
}

impl Power {
    /// As the machine starts: cold, and as full as it says.
    pub(crate) fn new(machine: &Machine) -> Self {
        let n = machine.motors.len();
        let mut power = Self {
            volts: 0.0,
            pack_a: 0.0,
            motors_a: vec![0.0; n],
            rubs: false,
            others_a: 0.0,
            open_v: 0.0,
            used: machine.pack.used,
            warmth: vec![Warmth::default(); n],
            lines_at: vec![Warmth::default(); n],
            open_at: 0.0,
        };
        power.rest(machine);
        power.volts = power.open_v;
        power
    }

    /// Open voltage at the charge there is.
    fn rest(&mut self, machine: &Machine) {
        let pack = &machine.pack;
        self.open_at = self.used;
        let left = if pack.capacity > 0.0 {
            1.0 - self.used / pack.capacity
        } else {
            1.0
        };
        self.open_v = pack.voltage * pack.chemistry.open_share(left);
    }

    /// Sets charge gone and rises of the motors, as carried over from earlier.
    pub(crate) fn carry(&mut self, machine: &mut Machine, used: f64, warmth: &[Warmth]) {
        self.used += used;
        self.rest(machine);
        for (k, w) in warmth.iter().enumerate().take(self.warmth.len()) {
            self.warmth[k] = *w;
            self.line(machine, k);
        }
    }

    /// The line of motor `k` at its present warmth: the winding's resistance rises, the magnets in
    /// the case weaken.
    fn line(&mut self, machine: &mut Machine, k: usize) {
        let now = self.warmth[k];
        self.lines_at[k] = now;
        let motor = &mut machine.motors[k];
        if let Some(hot) = &motor.hot {
            let magnet = (1.0 - MAGNET_PER_K * now.case_k).max(0.1);
            let line = hot.chain.line(copper_rise_ratio(now.winding_k), magnet);
            motor.take_line(&line);
        }
    }

    /// After a step of `span` seconds: the charge that went and the heat that came, I²R of each
    /// winding with the current of the last substep. The ripple of pulse-width modulation is left
    /// out.
    pub(crate) fn settle(&mut self, machine: &mut Machine, span: f64) {
        self.used += self.pack_a * span;
        if (self.used - self.open_at).abs() > SAME_CHARGE * machine.pack.capacity {
            self.rest(machine);
        }
        for k in 0..self.warmth.len() {
            let Some(hot) = &machine.motors[k].hot else {
                continue;
            };
            let ohm = hot.chain.winding_ohm() * copper_rise_ratio(self.warmth[k].winding_k);
            let watt = self.motors_a[k] * self.motors_a[k] * ohm;
            let now = hot.network.step(self.warmth[k], watt, span);
            self.warmth[k] = now;
            if (now.winding_k - self.lines_at[k].winding_k).abs() > SAME_WARMTH_K {
                self.line(machine, k);
            }
        }
    }
}
