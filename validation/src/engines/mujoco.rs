//! The scene in MuJoCo: a model in its own format, run through its C library.

use std::fmt::Write as _;
use std::path::{Path, PathBuf};
use std::process::Command;

use bout::scene::{SCENE, Scene};
use quantity::maths;

use super::ours::whole;
use super::setup::{BLADE_THICK, SETTLE_S, Sample, Setup, samples};
use super::{Engine, folder, output, script};

/// What differs between the rows.
#[derive(Debug, Clone, Copy)]
pub(super) struct Settings {
    step_s: f64,
    /// Friction counts this much more than normal force.
    impedance_ratio: f64,
    /// Time constant of a contact, s.
    contact_s: f64,
}

/// The rows: the first is what ours is compared with.
pub(super) const SETTINGS: [Settings; 3] = [
    Settings {
        step_s: 0.001,
        impedance_ratio: 1.0,
        contact_s: 0.02,
    },
    Settings {
        step_s: 0.002,
        impedance_ratio: 1.0,
        contact_s: 0.01,
    },
    Settings {
        step_s: 0.001,
        impedance_ratio: 10.0,
        contact_s: 0.02,
    },
];

/// The C program linked to the library of the Python package.
#[derive(Debug, Clone)]
pub(super) struct Program {
    path: PathBuf,
    version: String,
    scratch: PathBuf,
}

/// Where Python keeps the package, and its version.
fn package() -> Result<(PathBuf, String), String> {
    let ask = "import mujoco,os;print(os.path.dirname(mujoco.__file__));print(mujoco.__version__)";
    for python in ["python3", "python3.11", "python"] {
        let Ok(said) = output(Command::new(python).args(["-c", ask])) else {
            continue;
        };
        if let [folder, version] = said.lines().collect::<Vec<_>>()[..] {
            return Ok((folder.into(), version.into()));
        }
    }
    Err("MuJoCo is absent: install it with \"python3 -m pip install mujoco\".".into())
}

impl Program {
    /// Builds the program in `scratch`.
    ///
    /// # Errors
    /// What is missing and how to get it.
    pub(super) fn build(scratch: &Path) -> Result<Self, String> {
        let (package, version) = package()?;
        let files =
            std::fs::read_dir(&package).map_err(|e| format!("{}: {e}", package.display()))?;
        let library = files
            .flatten()
            .map(|f| f.path())
            .find(|p| p.to_string_lossy().contains("libmujoco.so"))
            .ok_or_else(|| {
                format!(
                    "{} holds no libmujoco.so: install MuJoCo for Linux.",
                    package.display()
                )
            })?;
        let path = scratch.join("scene-mujoco");
        let mut gcc = Command::new("gcc");
        gcc.arg("-O2")
            .arg("-I")
            .arg(package.join("include"))
            .arg(folder().join("mujoco/scene.c"))
            .arg(&library)
            .arg(format!("-Wl,-rpath,{}", package.display()))
            .args(["-lm", "-o"])
            .arg(&path);
        output(&mut gcc)
            .map_err(|e| format!("MuJoCo's program cannot be built (is gcc installed?): {e}"))?;
        Ok(Self {
            path,
            version,
            scratch: scratch.into(),
        })
    }

    /// The same with settings.
    pub(super) fn with(&self, settings: Settings) -> Mujoco {
        Mujoco {
            program: self.clone(),
            settings,
        }
    }
}

/// MuJoCo with its settings.
pub(super) struct Mujoco {
    program: Program,
    settings: Settings,
}

impl Mujoco {
    fn model(&self, setup: &Setup) -> Result<PathBuf, String> {
        let path = self.program.scratch.join("model.xml");
        std::fs::write(&path, model(&SCENE, setup, self.settings))
            .map_err(|e| format!("{}: {e}", path.display()))?;
        Ok(path)
    }

    fn steps(&self, seconds: f64) -> u32 {
        whole(seconds / self.settings.step_s)
    }
}

impl Engine for Mujoco {
    fn name(&self) -> String {
        format!("MuJoCo {}", self.program.version)
    }

    fn settings(&self) -> String {
        let s = self.settings;
        format!(
            "lean (sphere wheels), pyramidal, Newton, implicitfast, {} ms, impratio {}, solref {}",
            s.step_s * 1e3,
            s.impedance_ratio,
            s.contact_s
        )
    }

    fn trace(&self, setup: &Setup, seconds: f64, every_s: f64) -> Result<Vec<Sample>, String> {
        let mut command = Command::new(&self.program.path);
        command.arg("trace").arg(self.model(setup)?);
        for count in [SETTLE_S, seconds, every_s.max(self.settings.step_s)] {
            command.arg(self.steps(count).to_string());
        }
        samples(&output(&mut command)?, setup.robots)
    }

    fn scramble(&self, passes: u32) -> Result<Command, String> {
        let setup = Setup::facing([SCENE.stall_torque; 2], true);
        // Several may be under way at once.
        let name = format!(
            "scramble-{}-{}.xml",
            self.settings.step_s, self.settings.impedance_ratio
        );
        let path = self.program.scratch.join(name);
        std::fs::write(&path, model(&SCENE, &setup, self.settings))
            .map_err(|e| format!("{}: {e}", path.display()))?;
        let mut command = Command::new(&self.program.path);
        command
            .arg("scramble")
            .arg(path)
            .arg(script())
            .arg(passes.to_string());
        Ok(command)
    }
}

/// Bits that say what meets what: the ring's top, the floor, chassis and blades. Wheels and edges
/// meet others and are not met.
const TOP: u32 = 1;
const FLOOR: u32 = 2;
const PLATE: u32 = 4;

/// The model in MuJoCo's format. Of two frictions of one priority the greater counts: the ring has
/// none, so that it is the tyre's.
fn model(s: &Scene, setup: &Setup, settings: Settings) -> String {
    let (height, radius) = (s.ring_height, 0.5 * s.ring_diameter);
    let mut bodies = String::new();
    let mut motors = String::new();
    for n in 0..setup.robots {
        robot(&mut bodies, &setup.scenes[n], setup, n);
        for k in 0..4 {
            let _ = writeln!(
                motors,
                r#"<motor joint="w{}{k}" gear="{}" ctrlrange="-1 1"/>"#,
                n + 1,
                setup.torque[n]
            );
        }
    }
    let ground = if setup.plane {
        format!(
            r#"<geom type="plane" size="0 0 1" pos="0 0 {height}" contype="{TOP}" conaffinity="0" friction="0"/>"#
        )
    } else {
        format!(
            r#"<geom type="plane" size="0 0 1" contype="{FLOOR}" conaffinity="0" friction="1"/>
<geom type="cylinder" size="{radius} {}" pos="0 0 {}" contype="{TOP}" conaffinity="0" friction="0"/>"#,
            0.5 * height,
            0.5 * height
        )
    };
    let wall = if setup.wall {
        format!(
            r#"<geom name="wall" type="box" size="0.05 0.2 0.1" pos="0.05 0 {}" contype="{PLATE}" conaffinity="0" condim="1" priority="3"/>"#,
            height + 0.1
        )
    } else {
        String::new()
    };
    format!(
        r#"<mujoco><compiler angle="radian"/>
<option timestep="{}" gravity="0 0 {}" integrator="implicitfast" cone="pyramidal" solver="Newton" impratio="{}" tolerance="1e-8" iterations="100" ls_iterations="50"/>
<size memory="1M"/>
<default><geom condim="3" solref="{} 1" solimp="0.9 0.95 0.001"/></default>
<custom><numeric name="cg_height" data="{}"/></custom>
<worldbody>{ground}
{wall}
{bodies}</worldbody>
<actuator>
{motors}</actuator></mujoco>
"#,
        settings.step_s, -s.gravity, settings.impedance_ratio, settings.contact_s, s.cg_height
    )
}

fn robot(out: &mut String, s: &Scene, setup: &Setup, n: usize) {
    let [x, y, heading] = setup.starts[n];
    let name = n + 1;
    let (r, w, wheel) = (s.wheel_radius, s.wheel_width, s.wheel_mass);
    let mass = s.mass - 4.0 * wheel;
    let middle = (s.mass * s.cg_height - 4.0 * wheel * r) / mass;
    let [bx, by, bz] = s.box_size;
    let about = |a: f64, b: f64| mass / 12.0 * (a * a + b * b);
    let _ = writeln!(
        out,
        r#"<body name="r{name}" pos="{x} {y} {}" euler="0 0 {heading}"><freejoint/>
<inertial pos="0 0 {middle}" mass="{mass}" diaginertia="{} {} {}"/>
<geom type="box" pos="0 0 {}" size="{} {} {}" contype="{PLATE}" conaffinity="{}" friction="{}" priority="1"/>"#,
        s.ring_height,
        about(by, bz),
        about(bx, bz),
        about(bx, by),
        s.clearance + 0.5 * bz,
        0.5 * bx,
        0.5 * by,
        0.5 * bz,
        FLOOR | PLATE,
        s.body_friction
    );
    if setup.blade {
        blade(out, s);
    }
    let cross = wheel / 12.0 * (3.0 * r * r + w * w);
    for (k, [x, y]) in s.wheel_places().enumerate() {
        let _ = writeln!(
            out,
            r#"<body pos="{x} {y} {r}"><inertial pos="0 0 0" mass="{wheel}" diaginertia="{cross} {} {cross}"/>
<joint name="w{name}{k}" type="hinge" axis="0 1 0" armature="{}" damping="{}"/><geom type="sphere" size="{r}" contype="0" conaffinity="{}" friction="{}" priority="0"/></body>"#,
            s.wheel_inertia(),
            s.armature,
            setup.torque[n] / s.no_load_speed,
            TOP | FLOOR | PLATE,
            s.grip
        );
    }
    out.push_str("</body>\n");
}

/// A thin plate, and two spheres of its thickness on which its edge rests on the ring.
fn blade(out: &mut String, s: &Scene) {
    let (sin, cos) = (maths::sin(s.blade_angle_rad), maths::cos(s.blade_angle_rad));
    let (half, thick) = (0.5 * s.blade_length, 0.5 * BLADE_THICK);
    let x = 0.5 * s.box_size[0] + half * cos;
    let _ = writeln!(
        out,
        r#"<geom type="box" pos="{x} 0 {}" euler="0 {} 0" size="{half} {} {thick}" contype="{PLATE}" conaffinity="{}" friction="{}" priority="2"/>"#,
        s.blade_gap + thick * cos + half * sin,
        s.blade_angle_rad,
        0.5 * s.blade_width,
        FLOOR | PLATE,
        s.blade_friction
    );
    for side in [-1.0, 1.0] {
        let _ = writeln!(
            out,
            r#"<geom type="sphere" pos="{} {} {}" size="{thick}" contype="0" conaffinity="{TOP}" friction="{}" priority="2"/>"#,
            x + half * cos - thick * sin,
            side * (0.5 * s.blade_width - thick),
            s.blade_gap + thick,
            s.blade_friction
        );
    }
}
