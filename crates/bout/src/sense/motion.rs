//! Sensors of the robot's own motion: turning speed, wheel speed, motor current.

use glam::DVec3;
use quantity::{AngularVelocity, Current, Draws, Figure, Ratio, maths};
use robot::{Robot, Side};

use super::{Luck, Scene, whole_i16};

/// Tenths of a degree in a rad.
const TENTHS: f64 = 1800.0 / maths::PI;

/// Which channel of the driver a side is.
fn channel(side: Side) -> usize {
    match side {
        Side::Left => 0,
        Side::Right => 1,
    }
}

/// A gyroscope.
#[derive(Debug, Clone)]
pub(crate) struct TurnRate {
    /// 19-to-1 half-width of a reading's error in rad/s.
    noise: f64,
    /// What it reads at rest in rad/s.
    offset: f64,
    /// Greatest speed it reads in rad/s.
    most: f64,
}

impl TurnRate {
    /// The sensor as drawn.
    pub(crate) fn new(
        name: &str,
        draws: &Draws,
        [noise, offset, most]: [&Figure<AngularVelocity>; 3],
    ) -> Self {
        Self {
            noise: draws.of(noise, name).abs(),
            offset: draws.of(offset, name),
            most: draws.of(most, name).abs(),
        }
    }

    /// A reading in tenths of a degree a second: the spin about the body's upright axis.
    pub(crate) fn read(&self, scene: &Scene<'_>, luck: Luck) -> i16 {
        let spin = scene.own.spin.dot(scene.direction(DVec3::Z));
        let shown = (spin + self.offset + luck.error(self.noise)).clamp(-self.most, self.most);
        whole_i16(shown * TENTHS)
    }
}

/// An encoder on one side's drive.
#[derive(Debug, Clone)]
pub(crate) struct WheelSpeed {
    channel: usize,
    /// Way of the wheel in m for one count, by the figures its builder knows.
    count_m: f64,
    /// Time in s in which counts are gathered.
    period_s: f64,
}

impl WheelSpeed {
    /// The sensor of `robot` as drawn; it takes a reading every `period_ms`.
    pub(crate) fn new(
        name: &str,
        draws: &Draws,
        robot: &Robot,
        side: Side,
        counts: &Figure<Ratio>,
        period_ms: f64,
    ) -> Self {
        let turned = |w: &&robot::Wheel| w.motor.is_some_and(|m| robot.motors[m].side == side);
        let belt = |t: &&robot::Track| t.motor.is_some_and(|m| robot.motors[m].side == side);
        let wheel = robot.wheels.iter().find(turned).map(|w| &w.radius);
        let track = robot.tracks.iter().find(belt).map(|t| &t.radius);
        let radius = wheel.or(track).map_or(0.0, Figure::si);
        Self {
            channel: channel(side),
            count_m: maths::TAU * radius / draws.of(counts, name).max(1e-3),
            period_s: (period_ms / 1000.0).max(1e-6),
        }
    }

    /// A reading in mm/s: whole counts of the last period. Where in a count the period began is
    /// chance. Assumed: the wheel kept its speed for that long.
    pub(crate) fn read(&self, scene: &Scene<'_>, luck: Luck) -> i16 {
        let Some(drive) = &scene.drive else { return 0 };
        if self.count_m <= 0.0 {
            return 0;
        }
        let way = drive.wheel_speeds_m_s()[self.channel] * self.period_s;
        let counts = (way / self.count_m + luck.elsewhere()).floor();
        whole_i16(counts * self.count_m / self.period_s * 1000.0)
    }
}

/// A shunt in one channel.
#[derive(Debug, Clone)]
pub(crate) struct MotorCurrent {
    channel: usize,
    /// 19-to-1 half-width of a reading's error in A.
    noise: f64,
}

impl MotorCurrent {
    /// The sensor as drawn.
    pub(crate) fn new(name: &str, draws: &Draws, side: Side, noise: &Figure<Current>) -> Self {
        Self {
            channel: channel(side),
            noise: draws.of(noise, name).abs(),
        }
    }

    /// A reading in mA, whichever way the current flows; never below 0.
    pub(crate) fn read(&self, scene: &Scene<'_>, luck: Luck) -> i16 {
        let Some(drive) = &scene.drive else { return 0 };
        let a = drive.motor_currents_a()[self.channel].abs();
        whole_i16((1000.0 * (a + luck.error(self.noise))).max(0.0))
    }
}

#[cfg(test)]
mod tests {
    use super::super::kind::Kind;
    use super::super::tests::{DEG, body, figure, measure, scene_at, sensor, share_of};
    use super::super::{DriveView, Scene};
    use super::*;
    use crate::dynamics::{Machine, World};
    use crate::tests::scenery::{arena, pusher};
    use quantity::Stream;
    use robot::SensorKind;

    fn gyro(noise: f64, offset: f64, most: f64) -> robot::Sensor {
        let kind = SensorKind::TurnRate {
            noise: figure(noise * DEG, "noise"),
            offset: figure(offset * DEG, "offset"),
            most: figure(most * DEG, "most"),
        };
        sensor("gyro", 0.0, kind)
    }

    #[test]
    fn a_gyroscope_reads_tenths_of_a_degree_a_second_up_to_its_greatest() {
        let mut scene = scene_at([0.0; 3], [0.3, 0.0, 0.0]);
        let mut reads = |deg_s: f64, offset: f64| {
            scene.own.spin = DVec3::new(0.0, 3.0, deg_s * DEG);
            measure(&gyro(0.0, offset, 500.0), &scene)
        };
        assert_eq!((reads(90.0, 0.0), reads(-200.0, 0.0)), (900, -2000));
        assert_eq!(reads(90.0, 1.5), 915, "it creeps at rest by its offset");
        assert_eq!((reads(700.0, 0.0), reads(-700.0, 0.0)), (5000, -5000));
    }

    #[test]
    fn nineteen_of_twenty_turning_speeds_lie_within_the_noise() {
        let scene = scene_at([0.0; 3], [0.3, 0.0, 0.0]);
        let inside = share_of(&gyro(2.0, 0.0, 500.0), &scene, |r| r.abs() <= 20);
        // Standard error 0.5 %.
        assert!((inside - 0.95).abs() < 0.02, "{inside}");
    }

    /// Two robots at rest on the ring, far apart.
    fn world() -> World {
        let robot = pusher("runner");
        let draws = Draws::nominal();
        let machines = [0, 1].map(|_| Machine::compile(&robot, &draws));
        let mut world = World::new(&arena(), machines, 1.0);
        world.put_down(0, -0.3, 0.0, 0.0);
        world.put_down(1, 0.3, 0.2, 0.0);
        for _ in 0..80 {
            world.advance(1, [[0.0; 2]; 2]);
        }
        world
    }

    fn kind_of(kind: SensorKind) -> Kind {
        let draws = Draws::nominal();
        Kind::new(&sensor("s", 0.0, kind), &pusher("runner"), &body(), &draws)
    }

    /// What a sensor on seat 0 reads, by the number of the reading.
    fn reads(kind: &Kind, world: &World, number: u64) -> i16 {
        let owned = scene_at([0.0; 3], [0.3, 0.0, 0.0]);
        let scene = Scene {
            drive: Some(DriveView { world, seat: 0 }),
            ..owned.borrow()
        };
        kind.read(&scene, Luck::new(Stream::root(2), number)).value
    }

    fn current(side: Side) -> Kind {
        kind_of(SensorKind::Current {
            side,
            noise: figure(0.0, "noise"),
        })
    }

    #[test]
    fn the_current_is_the_stall_current_at_the_start_and_little_at_speed() {
        let mut world = world();
        let (left, right) = (current(Side::Left), current(Side::Right));
        assert!(reads(&left, &world, 0) < 5, "motors off at rest");
        world.advance(1, [[1.0, 0.5], [0.0; 2]]);
        // 1560 mA and 780 mA at rest (see `dynamics::drive`); a millisecond of run-up takes up to a
        // tenth off.
        let at_start = [reads(&left, &world, 0), reads(&right, &world, 0)];
        assert!((1400..1560).contains(&at_start[0]), "{at_start:?}");
        assert!((700..780).contains(&at_start[1]), "{at_start:?}");
        for _ in 0..250 {
            world.advance(1, [[1.0; 2], [0.0; 2]]);
        }
        let at_speed = reads(&left, &world, 0);
        assert!(at_speed < at_start[0] / 2, "{at_speed}");
        // Backward it is as much: a shunt does not tell.
        world.advance(1, [[-1.0; 2], [0.0; 2]]);
        assert!(reads(&left, &world, 0) > 1500, "reversed at speed");
    }

    #[test]
    fn an_encoder_reads_whole_counts_that_are_right_on_average() {
        let mut world = world();
        for _ in 0..200 {
            world.advance(1, [[0.5; 2], [0.0; 2]]);
        }
        let encoder = kind_of(SensorKind::WheelSpeed {
            side: Side::Left,
            counts: figure(100.0, "counts"),
        });
        // Wheels of 32 mm, 100 counts a turn, a reading every 10 ms: 1.0053 mm a count is
        // 100.5 mm/s.
        let n = 400;
        let values: Vec<i16> = (0..n).map(|k| reads(&encoder, &world, k)).collect();
        let mut kinds = values.clone();
        kinds.sort_unstable();
        kinds.dedup();
        assert_eq!(kinds.len(), 2, "{kinds:?}");
        assert_eq!(kinds[1] - kinds[0], 101, "{kinds:?}");
        let wheel = world.wheels(0).next().expect("a left wheel");
        let true_mm_s = 1000.0 * wheel.speed_rad_s * 0.016;
        let mean = values.iter().map(|v| f64::from(*v)).sum::<f64>() / n as f64;
        // Standard error at most 2.5 mm/s.
        assert!((mean - true_mm_s).abs() < 9.0, "{mean} {true_mm_s}");
        assert!(true_mm_s > 200.0, "{true_mm_s}");
    }
}
