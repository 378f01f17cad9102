//! A member's own axes in the frame's.

/// The direction that sections stand up towards when a member names none: z, or y for members
/// within about eight degrees of the vertical.
pub const UP: [f64; 3] = [0.0, 0.0, 1.0];

/// Cosine of the angle to the vertical above which [`UP`] gives way to y.
const NEARLY_VERTICAL: f64 = 0.99;

/// Three unit vectors: along the member, and the section's y and z.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Axes(pub [[f64; 3]; 3]);

pub(crate) fn cross(a: [f64; 3], b: [f64; 3]) -> [f64; 3] {
    [
        a[1] * b[2] - a[2] * b[1],
        a[2] * b[0] - a[0] * b[2],
        a[0] * b[1] - a[1] * b[0],
    ]
}

pub(crate) fn dot(a: [f64; 3], b: [f64; 3]) -> f64 {
    a[0] * b[0] + a[1] * b[1] + a[2] * b[2]
}

pub(crate) fn length(a: [f64; 3]) -> f64 {
    dot(a, a).sqrt()
}

pub(crate) fn minus(a: [f64; 3], b: [f64; 3]) -> [f64; 3] {
    core::array::from_fn(|i| a[i] - b[i])
}

fn unit(a: [f64; 3]) -> [f64; 3] {
    let l = length(a);
    a.map(|c| c / l)
}

impl Axes {
    /// x from `from` to `to`; y level to `up` and x; z as near to `up` as it can be; y and z then
    /// turned about x by `turn_rad`. `None` where `from` is `to` or `up` runs along the member.
    #[must_use]
    pub fn of(from: [f64; 3], to: [f64; 3], up: Option<[f64; 3]>, turn_rad: f64) -> Option<Self> {
        let x = unit(minus(to, from));
        let up = up.unwrap_or(if x[2].abs() < NEARLY_VERTICAL {
            UP
        } else {
            [0.0, 1.0, 0.0]
        });
        let across = cross(unit(up), x);
        // A thousandth of a right angle: nearer than that, the direction of y would be noise.
        // Without a length x is not a number, and neither is this.
        let sine = length(across);
        if sine.is_nan() || sine < 1e-3 {
            return None;
        }
        let y = unit(across);
        let z = cross(x, y);
        let (c, s) = (
            quantity::maths::cos(turn_rad),
            quantity::maths::sin(turn_rad),
        );
        Some(Self([
            x,
            core::array::from_fn(|i| c * y[i] + s * z[i]),
            core::array::from_fn(|i| c * z[i] - s * y[i]),
        ]))
    }

    /// Components of `v` (frame's axes) along the member's axes.
    #[must_use]
    pub fn own(&self, v: [f64; 3]) -> [f64; 3] {
        self.0.map(|a| dot(a, v))
    }

    /// The vector with components `v` along the member's axes, in the frame's.
    #[must_use]
    pub fn back(&self, v: [f64; 3]) -> [f64; 3] {
        core::array::from_fn(|i| (0..3).map(|a| self.0[a][i] * v[a]).sum())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_member_along_x_has_the_frames_axes() {
        let a = Axes::of([0.0; 3], [2.0, 0.0, 0.0], None, 0.0).expect("it has a length");
        assert_eq!(a.0, [[1.0, 0.0, 0.0], [0.0, 1.0, 0.0], [0.0, 0.0, 1.0]]);
    }

    #[test]
    fn own_and_back_undo_each_other() {
        let a = Axes::of(
            [0.1, 0.2, 0.3],
            [1.0, -2.0, 0.5],
            Some([1.0, 1.0, 3.0]),
            0.4,
        )
        .expect("it has a length");
        let v = [0.3, -1.2, 2.0];
        let w = a.back(a.own(v));
        for i in 0..3 {
            assert!((v[i] - w[i]).abs() < 1e-14, "{w:?}");
        }
    }

    #[test]
    fn up_along_the_member_is_no_direction() {
        assert!(Axes::of([0.0; 3], [0.0, 0.0, 1.0], Some(UP), 0.0).is_none());
        assert!(Axes::of([0.0; 3], [0.0; 3], None, 0.0).is_none());
    }
}
