//! How much room a robot takes.

use quantity::maths;

use crate::{Moved, Robot};

/// Extent of a robot as designed, in m.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Footprint {
    /// From back to front.
    pub x: [f64; 2],
    /// From right to left.
    pub y: [f64; 2],
    /// Highest point above the ring.
    pub top: f64,
}

impl Footprint {
    /// Length from back to front in m.
    #[must_use]
    pub fn length(&self) -> f64 {
        self.x[1] - self.x[0]
    }

    /// Width in m.
    #[must_use]
    pub fn width(&self) -> f64 {
        self.y[1] - self.y[0]
    }
}

impl Robot {
    /// Extent of hull, wheels, tracks, blade and the gadgets' plates together, nominal figures.
    #[must_use]
    pub fn footprint(&self) -> Footprint {
        let mut f = Footprint {
            x: [f64::INFINITY, f64::NEG_INFINITY],
            y: [f64::INFINITY, f64::NEG_INFINITY],
            top: 0.0,
        };
        let mut take = |x: f64, y: f64, top: f64| {
            f.x = [f.x[0].min(x), f.x[1].max(x)];
            f.y = [f.y[0].min(y), f.y[1].max(y)];
            f.top = f.top.max(top);
        };
        for piece in &self.hull {
            for [x, y] in &piece.outline {
                take(*x, *y, piece.to.si());
            }
        }
        for w in &self.wheels {
            let [x, y, z] = [0, 1, 2].map(|i: usize| w.item.at[i].si());
            let (r, half) = (w.radius.si(), 0.5 * w.width.si());
            take(x - r, y - half, z + r);
            take(x + r, y + half, z + r);
        }
        for t in &self.tracks {
            let [x, y, z] = [0, 1, 2].map(|i: usize| t.item.at[i].si());
            let (r, half) = (t.radius.si(), 0.5 * t.width.si());
            let reach = 0.5 * t.length.si() + r;
            take(x - reach, y - half, z + r);
            take(x + reach, y + half, z + r);
        }
        if let Some(b) = &self.blade {
            let half = 0.5 * b.width.si();
            let run = b.length.si() * maths::cos(b.angle.si());
            let top = b.tip_height.si() + b.length.si() * maths::sin(b.angle.si());
            for y in [b.tip_y.si() - half, b.tip_y.si() + half] {
                take(b.tip_x.si(), y, top);
                take(b.tip_x.si() - run, y, top);
            }
        }
        for g in &self.gadgets {
            let Moved::Plate(p) = &g.moved else { continue };
            let half = 0.5 * p.width.si();
            let run = p.length.si() * maths::cos(p.angle.si());
            let top = p.tip[2].si() + p.length.si() * maths::sin(p.angle.si());
            let (sin, cos) = (maths::sin(p.facing.si()), maths::cos(p.facing.si()));
            for (back, side) in [(0.0, half), (0.0, -half), (run, half), (run, -half)] {
                let x = p.tip[0].si() - back * cos - side * sin;
                let y = p.tip[1].si() - back * sin + side * cos;
                take(x, y, top);
            }
        }
        f
    }
}
