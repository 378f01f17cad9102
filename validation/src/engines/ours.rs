//! The scene on this solver.

use std::process::Command;

use bout::scene::{Bench, Build, SCENE, Scene};
use cpu_time::ThreadTime;

use super::setup::{Sample, Setup};
use super::{Engine, script};

/// This solver. It has one setting: the one bouts are fought with.
pub(super) struct Ours;

fn bench(setup: &Setup) -> Bench {
    let mut ring = SCENE;
    if setup.plane {
        ring.ring_diameter = 20.0;
    }
    let robots = [0, 1].map(|n: usize| Build {
        scene: setup.scenes[n],
        torque: setup.torque[n],
        blade: setup.blade,
    });
    let [first, second] = setup.starts;
    let mut bench = if setup.wall {
        Bench::with_wall(&ring, robots[0])
    } else {
        Bench::new(&ring, robots)
    };
    bench.put_down(0, first[0], first[1], first[2]);
    if setup.wall {
        bench.put_down(1, 0.05, 0.0, 0.0);
    } else if setup.robots == 1 {
        // This solver always has two robots: the other one stands far away.
        bench.put_down(1, 0.0, 5.0, 0.0);
    } else {
        bench.put_down(1, second[0], second[1], second[2]);
    }
    bench.settle();
    bench
}

fn sample(bench: &Bench) -> Sample {
    let robots = [0, 1].map(|seat| {
        let at = bench.placement(seat);
        [at.centre[0], at.centre[1], at.velocity[0]]
    });
    Sample {
        robots,
        push: -bench.push(0)[0],
    }
}

impl Engine for Ours {
    fn name(&self) -> String {
        "ours".into()
    }

    fn settings(&self) -> String {
        "as in bouts: 1 ms, 2 ms while far from opponent and rim".into()
    }

    fn trace(&self, setup: &Setup, seconds: f64, every_s: f64) -> Result<Vec<Sample>, String> {
        let mut bench = bench(setup);
        let effort = if setup.robots == 1 {
            [[1.0; 2], [0.0; 2]]
        } else {
            [[1.0; 2]; 2]
        };
        let every = whole(every_s * 1e3);
        let mut out = vec![sample(&bench)];
        for _ in 0..whole(seconds / every_s) {
            let mut left = every;
            while left > 0 {
                left -= bench.step(effort, left);
            }
            out.push(sample(&bench));
        }
        Ok(out)
    }

    fn scramble(&self, passes: u32) -> Result<Command, String> {
        let own = std::env::current_exe().map_err(|e| e.to_string())?;
        let mut command = Command::new(own);
        command.args(["scramble", &passes.to_string()]);
        Ok(command)
    }
}

/// The nearest whole number.
pub(super) fn whole(x: f64) -> u32 {
    x.round() as u32
}

/// Runs the script `passes` times and says how many processor seconds each pass took.
///
/// # Errors
/// When the script cannot be read.
pub fn scramble(passes: u32) -> Result<Vec<f64>, String> {
    let path = script();
    let text = std::fs::read_to_string(&path).map_err(|e| format!("{}: {e}", path.display()))?;
    let rows: Option<Vec<[f64; 4]>> = text
        .lines()
        .map(|l| {
            let row: Vec<f64> = l.split(',').filter_map(|x| x.parse().ok()).collect();
            row.try_into().ok()
        })
        .collect();
    let rows = rows.ok_or_else(|| format!("{}: not four numbers a line", path.display()))?;
    let scene: Scene = SCENE;
    let robot = Build {
        scene,
        torque: scene.stall_torque,
        blade: true,
    };
    let mut bench = Bench::new(&scene, [robot; 2]);
    let pass = |_| {
        let start = ThreadTime::now();
        for round in rows.chunks(rows.len() / 5) {
            bench.face_off(&scene);
            for u in round {
                let effort = [[u[0], u[1]], [u[2], u[3]]];
                let mut left = 10;
                while left > 0 {
                    left -= bench.step(effort, left);
                }
            }
        }
        start.elapsed().as_secs_f64()
    };
    Ok((0..passes).map(pass).collect())
}
