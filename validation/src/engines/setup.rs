//! What a case asks an engine to build, and what it notes of it.

use bout::scene::{SCENE, Scene};

/// The scene of a case.
#[derive(Debug, Clone, Copy)]
pub(super) struct Setup {
    /// Robots: 1 or 2.
    pub(super) robots: usize,
    /// What each robot is built by.
    pub(super) scenes: [Scene; 2],
    /// Stall torque of each robot's wheels, N·m.
    pub(super) torque: [f64; 2],
    /// Whether they have blades.
    pub(super) blade: bool,
    /// Whether the face of a wall stands at x = 0.
    pub(super) wall: bool,
    /// Whether the ring has no rim.
    pub(super) plane: bool,
    /// x and y in m and heading in rad of each robot.
    pub(super) starts: [[f64; 3]; 2],
}

/// The state of both robots at a moment.
#[derive(Debug, Clone, Copy, Default)]
pub(super) struct Sample {
    /// x and y of the centre of mass in m, and its velocity along x in m/s.
    pub(super) robots: [[f64; 3]; 2],
    /// Push on the wall, N.
    pub(super) push: f64,
}

/// Time for the robots to come to rest, s.
pub(super) const SETTLE_S: f64 = 0.3;
/// Thickness of the blade in engines that need one, m.
pub(super) const BLADE_THICK: f64 = 0.001;

impl Setup {
    /// Both robots facing each other.
    pub(super) fn facing(torque: [f64; 2], blade: bool) -> Self {
        let x = SCENE.start_x;
        Self {
            robots: 2,
            scenes: [SCENE; 2],
            torque,
            blade,
            wall: false,
            plane: false,
            starts: [[-x, 0.0, 0.0], [x, 0.0, std::f64::consts::PI]],
        }
    }

    /// Two robots without blades, face to face a millimetre apart, on ground without end.
    pub(super) fn touching(scenes: [Scene; 2], torque: [f64; 2]) -> Self {
        let x = scenes.map(|s| 0.5 * s.box_size[0] + 0.0005);
        Self {
            scenes,
            plane: true,
            starts: [[-x[0], 0.0, 0.0], [x[1], 0.0, std::f64::consts::PI]],
            ..Self::facing(torque, false)
        }
    }

    /// One robot alone at `x`.
    pub(super) fn alone(torque: f64, x: f64) -> Self {
        Self {
            robots: 1,
            starts: [[x, 0.0, 0.0]; 2],
            ..Self::facing([torque; 2], true)
        }
    }

    /// One robot on ground without end.
    pub(super) fn running(torque: f64) -> Self {
        Self {
            plane: true,
            ..Self::alone(torque, 0.0)
        }
    }

    /// One robot without its blade, 24 mm before a wall.
    pub(super) fn pushing(torque: f64) -> Self {
        Self {
            wall: true,
            blade: false,
            ..Self::alone(torque, -0.5 * SCENE.box_size[0] - 0.024)
        }
    }
}

/// Reads what the programs print.
pub(super) fn samples(text: &str, robots: usize) -> Result<Vec<Sample>, String> {
    text.lines()
        .map(|line| {
            let numbers: Result<Vec<f64>, _> = line.split_whitespace().map(str::parse).collect();
            let numbers = numbers.map_err(|e| format!("\"{line}\": {e}"))?;
            if numbers.len() != 3 * robots + 1 {
                return Err(format!("\"{line}\" has {} numbers", numbers.len()));
            }
            let mut sample = Sample {
                push: numbers[3 * robots],
                ..Sample::default()
            };
            for (to, from) in sample.robots.iter_mut().zip(numbers.chunks_exact(3)) {
                to.copy_from_slice(from);
            }
            Ok(sample)
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::samples;

    #[test]
    fn a_line_of_the_wrong_length_is_refused() {
        assert_eq!(samples("1 2 3 4\n", 1).unwrap()[0].push, 4.0);
        assert_eq!(samples("1 2 3 4 5 6 7", 2).unwrap()[0].robots[1][0], 4.0);
        assert!(samples("1 2 3 4", 2).is_err());
        assert!(samples("1 2 3 x", 1).is_err());
    }
}
