//! What a short blow does: a force that rises and falls as half a sine wave, and the frame's modes
//! ringing after it.
//!
//! Each mode is a damped oscillator, q̈ + 2ζω q̇ + ω² q = φ·F(t) (Thomson, Theory of Vibration with
//! Applications, chapters 2 and 4), and is solved in closed form, during the blow and after it: no
//! time steps. Free movements (frequency zero) are left out: what is told is how points move
//! against the frame as a whole.

use quantity::maths::{PI, TAU, cos, exp, sin};

use crate::{Flaw, Modes, Of, Trouble, axes::cross};

/// A direction at a point that rides stiffly on a node.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Point {
    /// Index of the node.
    pub node: usize,
    /// Place seen from the node, m.
    pub offset_m: [f64; 3],
    /// Direction of the blow, or of the movement that is looked at; need not have length one.
    pub towards: [f64; 3],
}

impl Point {
    /// A direction at the node itself.
    #[must_use]
    pub fn at(node: usize, towards: [f64; 3]) -> Self {
        Self {
            node,
            offset_m: [0.0; 3],
            towards,
        }
    }
}

/// A blow.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Tap {
    /// Where and in which direction.
    pub on: Point,
    /// Impulse in N·s: mass times change of speed of what hits.
    pub impulse_n_s: f64,
    /// How long it lasts, s.
    pub lasts_s: f64,
    /// Damping of every mode as a share of the critical one, 0 up to below 1.
    pub damping: f64,
}

/// A part of a movement: Re((re + i·im) e^((−decay + i·rate) t)).
#[derive(Debug, Clone, Copy, PartialEq)]
struct Term {
    re: f64,
    im: f64,
    decay: f64,
    rate: f64,
}

impl Term {
    fn size(&self) -> f64 {
        (self.re * self.re + self.im * self.im).sqrt()
    }

    fn at(&self, t: f64) -> f64 {
        exp(-self.decay * t) * (self.re * cos(self.rate * t) - self.im * sin(self.rate * t))
    }
}

/// How a point moves after a blow.
#[derive(Debug, Clone, PartialEq)]
pub struct Heard {
    during: Vec<Term>,
    after: Vec<Term>,
    lasts_s: f64,
    /// The largest movement either way, m.
    pub peak_m: f64,
    /// When, s from the start of the blow.
    pub peak_s: f64,
    /// When it last reached the asked share of the peak; `None` where nothing damps it.
    pub quiet_s: Option<f64>,
}

impl Heard {
    /// Movement in m at `t` s from the start of the blow.
    #[must_use]
    pub fn at(&self, t_s: f64) -> f64 {
        if t_s <= 0.0 {
            0.0
        } else if t_s < self.lasts_s {
            self.during.iter().map(|x| x.at(t_s)).sum()
        } else {
            self.after.iter().map(|x| x.at(t_s - self.lasts_s)).sum()
        }
    }

    /// Movement in m at `count` even steps from 0 to `until_s`, both included.
    #[must_use]
    pub fn over(&self, until_s: f64, count: usize) -> Vec<f64> {
        let step = until_s / count.saturating_sub(1).max(1) as f64;
        (0..count).map(|i| self.at(i as f64 * step)).collect()
    }
}

/// Samples for each period of the fastest mode that matters: a peak between two of them is missed
/// by 0.12 % at most, and is then refined.
const FINE: f64 = 64.0;

/// Modes with less than this share of the peak do not decide how finely is looked.
const FAINT: f64 = 2e-3;

/// Periods of the slowest mode in which the peak is looked for where nothing damps.
const MOST_PERIODS: f64 = 100.0;

/// Most samples looked at.
const MOST: usize = 1_000_000;

impl Modes {
    /// How each of the points `at` moves after `tap`, and when it last reached `share` of its peak.
    ///
    /// What higher modes than these would add is left out: keep modes up to about twice
    /// 1/`lasts_s`, as the blow hardly moves faster ones but by their static give.
    ///
    /// # Errors
    /// [`Trouble::Flawed`] where the blow cannot be: no duration, negative damping, a node that is not
    /// there, a share not between 0 and 1.
    pub fn tap(&self, tap: &Tap, at: &[Point], share: f64) -> Result<Vec<Heard>, Trouble> {
        self.check_tap(tap, at, share)?;
        Ok(at.iter().map(|p| self.heard(tap, p, share)).collect())
    }

    fn check_tap(&self, tap: &Tap, at: &[Point], share: f64) -> Result<(), Trouble> {
        let mut flaws = Vec::new();
        let mut unless = |right: bool, what: &str| {
            if !right {
                flaws.push(Flaw {
                    of: Of::Frame,
                    what: what.into(),
                });
            }
        };
        let nodes = self.modes.first().map_or(0, |m| m.shape.len());
        unless(
            tap.lasts_s > 0.0 && tap.lasts_s.is_finite(),
            "the blow must last longer than no time",
        );
        unless(
            tap.impulse_n_s.is_finite(),
            "the blow's impulse is not a finite number",
        );
        unless(
            (0.0..1.0).contains(&tap.damping),
            "the damping must be 0 or more and less than 1, the critical one",
        );
        unless(
            share > 0.0 && share < 1.0,
            "the share of the peak must lie between 0 and 1",
        );
        for p in at.iter().chain([&tap.on]) {
            unless(
                p.node < nodes,
                "a point of the blow is on a node that is not there",
            );
            let finite = p.offset_m.iter().chain(&p.towards).all(|x| x.is_finite());
            unless(finite, "a point of the blow is not at a finite place");
            unless(
                p.towards.iter().any(|x| *x != 0.0),
                "a direction of the blow has no length",
            );
        }
        if flaws.is_empty() {
            Ok(())
        } else {
            Err(Trouble::Flawed(flaws))
        }
    }

    fn heard(&self, tap: &Tap, point: &Point, share: f64) -> Heard {
        let omega = PI / tap.lasts_s;
        // Half a sine of height F has the impulse 2 F T / π.
        let height = tap.impulse_n_s * PI / (2.0 * tap.lasts_s);
        let (mut during, mut after) = (Vec::new(), Vec::new());
        let mut forced = Term {
            re: 0.0,
            im: 0.0,
            decay: 0.0,
            rate: omega,
        };
        for mode in self.modes.iter().filter(|m| m.frequency_hz > 0.0) {
            let w = TAU * mode.frequency_hz;
            let gain = moved(&mode.shape, point) * moved(&mode.shape, &tap.on) * height;
            let (a, b, c, d) = blow(w, tap.damping, omega);
            forced.re += gain * b;
            forced.im -= gain * a;
            let ring = |re: f64, im: f64| Term {
                re: gain * re,
                im: gain * im,
                decay: tap.damping * w,
                rate: w * (1.0 - tap.damping * tap.damping).sqrt(),
            };
            let own = ring(c, -d);
            during.push(own);
            // At the end of the blow the forced part has −b and the slope −aΩ.
            let unit = ring(1.0, 0.0);
            let (cos_t, sin_t) = (cos(unit.rate * tap.lasts_s), sin(unit.rate * tap.lasts_s));
            let fade = exp(-unit.decay * tap.lasts_s);
            let q = fade * (c * cos_t + d * sin_t) - b;
            let slope = fade
                * ((d * unit.rate - c * unit.decay) * cos_t
                    - (c * unit.rate + d * unit.decay) * sin_t)
                - a * omega;
            after.push(ring(q, -(slope + unit.decay * q) / unit.rate));
        }
        during.push(forced);
        let mut heard = Heard {
            during,
            after,
            lasts_s: tap.lasts_s,
            peak_m: 0.0,
            peak_s: 0.0,
            quiet_s: None,
        };
        heard.measure(share);
        heard
    }
}

/// Movement of a point in its direction, of unit length.
fn moved(shape: &[[f64; 6]], p: &Point) -> f64 {
    let m = shape[p.node];
    let turned = cross([m[3], m[4], m[5]], p.offset_m);
    let long = crate::axes::length(p.towards);
    (0..3)
        .map(|i| (m[i] + turned[i]) * p.towards[i])
        .sum::<f64>()
        / long
}

/// Response of an oscillator at rest to sin Ωt:
/// a sin Ωt + b cos Ωt + e^(−ζωt)(c cos ω_d t + d sin ω_d t).
fn blow(w: f64, damping: f64, omega: f64) -> (f64, f64, f64, f64) {
    // Without damping and just in tune the sum grows with t and has no such form; a hair beside it
    // the difference is a millionth.
    let near = (w / omega - 1.0).abs() < 1e-6 && damping < 1e-6;
    let w = if near { omega * (1.0 + 1e-6) } else { w };
    let apart = w * w - omega * omega;
    let drag = 2.0 * damping * w * omega;
    let under = apart * apart + drag * drag;
    let (a, b) = (apart / under, -drag / under);
    let ringing = w * (1.0 - damping * damping).sqrt();
    let c = -b;
    (a, b, c, (damping * w * c - a * omega) / ringing)
}

impl Heard {
    /// Bound on the movement at t and ever after, for t after the blow.
    fn bound(&self, t: f64) -> f64 {
        self.after
            .iter()
            .map(|x| x.size() * exp(-x.decay * (t - self.lasts_s)))
            .sum()
    }

    /// Finds the peak and the last time at `share` of it.
    fn measure(&mut self, share: f64) {
        let sounding = self.after.iter().filter(|x| x.size() > 0.0);
        let slowest = sounding.map(|x| x.rate).fold(f64::INFINITY, f64::min);
        if !slowest.is_finite() {
            self.quiet_s = Some(0.0);
            return;
        }
        let period = TAU / slowest;
        let mut until = self.lasts_s + 2.0 * period;
        let loud = self.bound(self.lasts_s);
        self.peak(until, self.step(loud));
        let step = self.step(self.peak_m);
        self.peak(until, step);
        // Modes of nearly one frequency add up only later, if they have not died away by then.
        while self.bound(until) > self.peak_m && until < MOST_PERIODS * period {
            until *= 2.0;
            self.peak(until, step);
        }
        let floor = share * self.peak_m;
        if self.after.iter().any(|x| x.decay <= 0.0 && x.size() > 0.0) {
            return;
        }
        self.quiet_s = Some(self.last_above(floor, step, until));
    }

    /// Time between samples.
    fn step(&self, peak: f64) -> f64 {
        let fastest = self
            .after
            .iter()
            .filter(|x| x.size() > FAINT * peak)
            .map(|x| x.rate)
            .fold(PI / self.lasts_s, f64::max);
        TAU / fastest / FINE
    }

    fn peak(&mut self, until: f64, step: f64) {
        let (mut best, mut at) = (0.0, 0.0);
        self.walk(0.0, until, step, |t, x| {
            if x.abs() > best {
                (best, at) = (x.abs(), t);
            }
        });
        // Between the neighbours it has one summit: narrow it by thirds.
        let (mut low, mut high) = ((at - step).max(0.0), at + step);
        for _ in 0..40 {
            let (a, b) = (low + (high - low) / 3.0, high - (high - low) / 3.0);
            if self.at(a).abs() < self.at(b).abs() {
                low = a;
            } else {
                high = b;
            }
        }
        let t = 0.5 * (low + high);
        let fine = self.at(t).abs();
        (self.peak_m, self.peak_s) = if fine > best { (fine, t) } else { (best, at) };
    }

    /// The last time at which the movement reaches `floor`.
    fn last_above(&self, floor: f64, step: f64, rough: f64) -> f64 {
        // After `end` the bound keeps it below.
        let (mut start, mut end) = (self.lasts_s, rough);
        while self.bound(end) >= floor {
            (start, end) = (end, self.lasts_s + 2.0 * (end - self.lasts_s));
        }
        for _ in 0..60 {
            let mid = 0.5 * (start + end);
            if self.bound(mid) >= floor {
                start = mid;
            } else {
                end = mid;
            }
        }
        let mut last = 0.0;
        self.walk(0.0, end, step.max(end / MOST as f64), |t, x| {
            if x.abs() >= floor {
                last = t;
            }
        });
        let (mut low, mut high) = (last, last + step);
        for _ in 0..50 {
            let mid = 0.5 * (low + high);
            if self.at(mid).abs() >= floor {
                low = mid;
            } else {
                high = mid;
            }
        }
        low
    }

    /// Tells every sample from `from` to `until`. Each part turns and fades by the same factor from
    /// sample to sample, which spares sines and powers.
    fn walk(&self, from: f64, until: f64, step: f64, mut tell: impl FnMut(f64, f64)) {
        let blow_until = self.lasts_s.min(until);
        for (terms, origin, start, stop) in [
            (&self.during, 0.0, from, blow_until),
            (&self.after, self.lasts_s, self.lasts_s.max(from), until),
        ] {
            let mut parts: Vec<(f64, f64, f64, f64)> = terms
                .iter()
                .map(|x| {
                    let t = start - origin;
                    let (f, c, s) = (exp(-x.decay * t), cos(x.rate * t), sin(x.rate * t));
                    let (re, im) = (f * (x.re * c - x.im * s), f * (x.re * s + x.im * c));
                    let f = exp(-x.decay * step);
                    (re, im, f * cos(x.rate * step), f * sin(x.rate * step))
                })
                .collect();
            let mut t = start;
            let mut i = 0_u32;
            while t < stop {
                tell(t, parts.iter().map(|p| p.0).sum());
                for p in &mut parts {
                    (p.0, p.1) = (p.0 * p.2 - p.1 * p.3, p.0 * p.3 + p.1 * p.2);
                }
                i += 1;
                t = start + f64::from(i) * step;
            }
        }
    }
}
