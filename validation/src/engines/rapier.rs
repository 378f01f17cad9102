//! The scene in Rapier: a program of its own, so that the rest is built without it.

use std::fmt::Write as _;
use std::path::{Path, PathBuf};
use std::process::Command;

use bout::scene::SCENE;

use super::ours::whole;
use super::setup::{BLADE_THICK, SETTLE_S, Sample, Setup, samples};
use super::{Engine, output, script};

/// What differs between the rows.
#[derive(Debug, Clone, Copy)]
pub(super) struct Settings {
    step_s: f64,
    multibody: bool,
    iterations: u32,
    /// Natural frequency of contacts between robots, Hz; twice that on the ground.
    contact_hz: f64,
}

const USUAL: Settings = Settings {
    step_s: 0.001,
    multibody: false,
    iterations: 4,
    contact_hz: 30.0,
};

/// The rows.
pub(super) const SETTINGS: [Settings; 4] = [
    USUAL,
    Settings {
        contact_hz: 240.0,
        ..USUAL
    },
    Settings {
        multibody: true,
        iterations: 1,
        ..USUAL
    },
    Settings {
        step_s: 0.002,
        ..USUAL
    },
];

/// The built program.
#[derive(Debug, Clone)]
pub(super) struct Program {
    path: PathBuf,
    scratch: PathBuf,
}

impl Program {
    /// Builds the program with the same cargo and profile.
    ///
    /// # Errors
    /// What went wrong, in words.
    pub(super) fn build(scratch: &Path) -> Result<Self, String> {
        let manifest = Path::new(env!("CARGO_MANIFEST_DIR")).join("Cargo.toml");
        let mut cargo = Command::new("cargo");
        cargo
            .args(["build", "--release", "--package", "scene-rapier"])
            .arg("--manifest-path")
            .arg(manifest);
        let hint = "Rapier is absent: its program needs cargo and, the first time, a network";
        output(&mut cargo).map_err(|e| format!("{hint}: {e}"))?;
        // Of the same workspace, so in the same folder as this program.
        let own = std::env::current_exe().map_err(|e| e.to_string())?;
        let path = own.with_file_name("scene-rapier");
        if !path.exists() {
            return Err(format!(
                "{hint}: {} was not built; run this with --release",
                path.display()
            ));
        }
        Ok(Self {
            path,
            scratch: scratch.into(),
        })
    }

    /// The same with settings.
    pub(super) fn with(&self, settings: Settings) -> Rapier {
        Rapier {
            program: self.clone(),
            settings,
        }
    }
}

/// Rapier with its settings.
pub(super) struct Rapier {
    program: Program,
    settings: Settings,
}

impl Rapier {
    fn words(&self, setup: &Setup, file: &str) -> Result<PathBuf, String> {
        let (c, s) = (self.settings, SCENE);
        let yes = |b: bool| f64::from(u8::from(b));
        let mut text = String::new();
        let mut say = |word: &str, number: f64| {
            let _ = writeln!(text, "{word} {number}");
        };
        say("dt", c.step_s);
        say("multibody", yes(c.multibody));
        say("iterations", f64::from(c.iterations));
        say("contact_hz", c.contact_hz);
        say("static_hz", 2.0 * c.contact_hz);
        // The robots' size: what the engine's tolerances are measured in.
        say("length_unit", 0.1);
        for (word, number) in [
            ("gravity", s.gravity),
            ("ring_diameter", s.ring_diameter),
            ("ring_height", s.ring_height),
        ] {
            say(word, number);
        }
        for (n, s) in setup.scenes.iter().enumerate() {
            for (word, number) in [
                ("mass", s.mass),
                ("cg_height", s.cg_height),
                ("wheel_mass", s.wheel_mass),
                ("wheel_radius", s.wheel_radius),
                ("wheel_width", s.wheel_width),
                ("wheel_x", s.wheel_x),
                ("wheel_y", s.wheel_y),
                ("armature", s.armature),
                ("box_x", s.box_size[0]),
                ("box_y", s.box_size[1]),
                ("box_z", s.box_size[2]),
                ("clearance", s.clearance),
                ("blade_length", s.blade_length),
                ("blade_width", s.blade_width),
                ("blade_thick", BLADE_THICK),
                ("blade_angle_rad", s.blade_angle_rad),
                ("blade_gap", s.blade_gap),
                ("grip", s.grip),
                ("blade_friction", s.blade_friction),
                ("body_friction", s.body_friction),
                ("no_load_speed", s.no_load_speed),
            ] {
                say(&format!("{word}{}", n + 1), number);
            }
        }
        say("plane", yes(setup.plane));
        say("wall", yes(setup.wall));
        say("blade", yes(setup.blade));
        say("robots", setup.robots as f64);
        for (k, ([x, y, yaw], torque)) in setup.starts.iter().zip(setup.torque).enumerate() {
            for (word, number) in [("x", *x), ("y", *y), ("yaw", *yaw), ("torque", torque)] {
                say(&format!("{word}{}", k + 1), number);
            }
        }
        let path = self.program.scratch.join(file);
        std::fs::write(&path, text).map_err(|e| format!("{}: {e}", path.display()))?;
        Ok(path)
    }

    fn steps(&self, seconds: f64) -> u32 {
        whole(seconds / self.settings.step_s)
    }
}

impl Engine for Rapier {
    fn name(&self) -> String {
        "Rapier 0.36.1 f32".into()
    }

    fn settings(&self) -> String {
        let c = self.settings;
        format!(
            "lean (ball wheels), {}, {} iterations, Coulomb, contacts {} Hz, {} ms",
            if c.multibody {
                "multibody"
            } else {
                "impulse joints"
            },
            c.iterations,
            c.contact_hz,
            c.step_s * 1e3
        )
    }

    fn trace(&self, setup: &Setup, seconds: f64, every_s: f64) -> Result<Vec<Sample>, String> {
        let mut command = Command::new(&self.program.path);
        command.arg("trace").arg(self.words(setup, "words.txt")?);
        for count in [SETTLE_S, seconds, every_s.max(self.settings.step_s)] {
            command.arg(self.steps(count).to_string());
        }
        samples(&output(&mut command)?, setup.robots)
    }

    fn scramble(&self, passes: u32) -> Result<Command, String> {
        let c = self.settings;
        let setup = Setup::facing([SCENE.stall_torque; 2], true);
        let file = format!("scramble-{}-{}-{}.txt", c.step_s, c.multibody, c.contact_hz);
        let path = self.words(&setup, &file)?;
        let mut command = Command::new(&self.program.path);
        command
            .arg("scramble")
            .arg(path)
            .arg(script())
            .arg(passes.to_string());
        Ok(command)
    }
}
