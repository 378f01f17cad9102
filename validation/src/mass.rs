//! Mass properties of random robots beside those of meshes, by the Python package trimesh.

use std::fmt::Write as _;
use std::io::Write as _;
use std::path::Path;
use std::process::{Command, Stdio};

use quantity::{Dimension, Draws, Figure, Stream};
use robot::{Item, Robot, Shape};

/// Robots.
const ROBOTS: u64 = 100;
/// Largest difference that is let pass, as a share: the reference's cylinders are prisms of 4096 sides,
/// off by 4e-7. Measured: see what is printed.
const TARGET: f64 = 1e-6;

/// What the reference says of one robot.
#[derive(Debug, Clone, Copy)]
struct Told {
    mass_kg: f64,
    centre_m: [f64; 3],
    /// xx, yy, zz, xy, xz, yz.
    inertia: [f64; 6],
}

fn figure<D: Dimension>(si: f64) -> Figure<D> {
    Figure::derived(si, "random")
}

/// A thing with a random mass, place and shape.
fn random(item: &Item, luck: Stream, wheel: bool) -> Item {
    let between = |what: &str, low: f64, high: f64| low + (high - low) * luck.named(what).uniform();
    let shape = match luck.named("kind").key() % 8 {
        _ if wheel => Shape::CylinderAcross {
            radius: figure(between("radius", 4e-3, 4e-2)),
            width: figure(between("width", 3e-3, 3e-2)),
        },
        0 => Shape::Point,
        _ => Shape::Box([
            figure(between("length", 5e-4, 0.2)),
            figure(between("across", 5e-4, 0.2)),
            figure(between("height", 5e-4, 0.1)),
        ]),
    };
    Item {
        mass: figure(between("mass", 1e-4, 0.4)),
        at: [
            figure(between("x", -0.1, 0.1)),
            figure(between("y", -0.1, 0.1)),
            figure(between("z", 0.0, 0.1)),
        ],
        shape,
        ..item.clone()
    }
}

/// The demo with everything on it somewhere else, and some of it several times.
fn robot(number: u64) -> Robot {
    let mut robot = crate::load("demo");
    let root = Stream::root(41).named("mass").numbered(number);
    let parts = robot.parts.clone();
    let more = root.named("parts").key() % 12;
    robot.parts = (0..more)
        .filter_map(|k| {
            let part = parts.get(usize::try_from(k).ok()? % parts.len().max(1))?;
            Some(random(part, root.named("part").numbered(k), false))
        })
        .collect();
    let each = |k: usize, what: &str| root.named(what).numbered(u64::try_from(k).unwrap_or(0));
    for (k, m) in robot.motors.iter_mut().enumerate() {
        m.item = random(&m.item, each(k, "motor"), false);
    }
    for (k, w) in robot.wheels.iter_mut().enumerate() {
        w.item = random(&w.item, each(k, "wheel"), true);
    }
    for (k, s) in robot.sensors.iter_mut().enumerate() {
        s.item = random(&s.item, each(k, "sensor"), false);
    }
    robot.blade = None;
    robot.battery.item = random(&robot.battery.item, root.named("battery"), false);
    robot.driver.item = random(&robot.driver.item, root.named("driver"), false);
    robot.board.item = random(&robot.board.item, root.named("board"), false);
    robot
}

/// A robot as the reference reads it.
fn lines(robot: &Robot) -> String {
    let mut text = String::from("robot\n");
    for item in robot.items() {
        let (kind, sizes) = match &item.shape {
            Shape::Point => ("point", Vec::new()),
            Shape::Box(s) => ("box", s.iter().map(Figure::si).collect()),
            Shape::CylinderAcross { radius, width } => ("cylinder", vec![radius.si(), width.si()]),
        };
        let [x, y, z] = item.at.each_ref().map(Figure::si);
        let _ = write!(text, "{kind} {:?} {x:?} {y:?} {z:?}", item.mass.si());
        for size in sizes {
            let _ = write!(text, " {size:?}");
        }
        text.push('\n');
    }
    text
}

/// The Python that has the package, and its version.
fn python() -> Result<(&'static str, String), String> {
    for python in ["python3", "python3.11", "python"] {
        let ask = ["-c", "import trimesh;print(trimesh.__version__)"];
        if let Ok(said) = Command::new(python).args(ask).output()
            && said.status.success()
        {
            let version = String::from_utf8_lossy(&said.stdout).trim().to_owned();
            return Ok((python, version));
        }
    }
    Err(
        "trimesh is absent: install Python and then \"python3 -m pip install trimesh\". Nothing was \
         compared."
            .into(),
    )
}

fn numbers(line: &str) -> Result<Told, String> {
    let all: Result<Vec<f64>, _> = line.split_whitespace().map(str::parse).collect();
    let all = all.map_err(|e| format!("\"{line}\": {e}"))?;
    let [m, x, y, z, xx, yy, zz, xy, xz, yz] = all[..] else {
        return Err(format!("\"{line}\" has {} numbers", all.len()));
    };
    Ok(Told {
        mass_kg: m,
        centre_m: [x, y, z],
        inertia: [xx, yy, zz, xy, xz, yz],
    })
}

/// Asks the reference.
fn asked(python: &str, text: &str) -> Result<Vec<Told>, String> {
    let script = Path::new(env!("CARGO_MANIFEST_DIR")).join("mass/reference.py");
    let wrong = |e: std::io::Error| format!("{python}: {e}");
    let mut child = Command::new(python)
        .arg(script)
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .spawn()
        .map_err(wrong)?;
    if let Some(mut to) = child.stdin.take() {
        to.write_all(text.as_bytes()).map_err(wrong)?;
    }
    let said = child.wait_with_output().map_err(wrong)?;
    if !said.status.success() {
        return Err("the reference ended with an error".into());
    }
    String::from_utf8_lossy(&said.stdout)
        .lines()
        .map(numbers)
        .collect()
}

/// Differences of mass, centre and inertia: of the mass, of the radius of gyration, of the trace.
fn differences(robot: &Robot, told: &Told) -> [f64; 3] {
    let ours = robot.mass_properties(&Draws::nominal());
    let i = ours.inertia_kg_m2;
    let inertia = [
        i.x_axis.x, i.y_axis.y, i.z_axis.z, i.y_axis.x, i.z_axis.x, i.z_axis.y,
    ];
    let trace: f64 = told.inertia[..3].iter().sum();
    let gyration = (trace / told.mass_kg).sqrt();
    let most = |a: &[f64], b: &[f64]| {
        a.iter()
            .zip(b)
            .map(|(a, b)| (a - b).abs())
            .fold(0.0, f64::max)
    };
    [
        (ours.mass_kg - told.mass_kg).abs() / told.mass_kg,
        most(&ours.centre_m.to_array(), &told.centre_m) / gyration,
        most(&inertia, &told.inertia) / trace,
    ]
}

/// Compares and prints; true where all are within the target.
///
/// # Errors
/// Where Python or the package is missing, or the reference fails.
pub fn run() -> Result<bool, String> {
    let (python, version) = python()?;
    let robots: Vec<Robot> = (0..ROBOTS).map(robot).collect();
    let text: String = robots.iter().map(lines).collect();
    let told = asked(python, &text)?;
    if told.len() != robots.len() {
        return Err(format!("{} robots, {} answers", robots.len(), told.len()));
    }
    let mut worst = [0.0_f64; 3];
    let mut things = 0;
    for (robot, told) in robots.iter().zip(&told) {
        things += robot.items().count();
        for (worst, d) in worst.iter_mut().zip(differences(robot, told)) {
            *worst = worst.max(d);
        }
    }
    println!("{ROBOTS} random robots of {things} things, beside the meshes of trimesh {version}:");
    for (what, worst) in [
        "mass",
        "centre, of the radius of gyration",
        "inertia, of its trace",
    ]
    .into_iter()
    .zip(worst)
    {
        println!("  {what}: worst difference {worst:.1e}");
    }
    let met = worst.iter().all(|w| *w <= TARGET);
    println!(
        "  target {TARGET:.0e}: {}",
        if met { "met" } else { "missed" }
    );
    Ok(met)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A wrong reference is found: the same robot with one thing moved by a millimetre.
    #[test]
    fn a_thing_moved_by_a_millimetre_is_far_beyond_the_target() {
        let robot = robot(0);
        let ours = robot.mass_properties(&Draws::nominal());
        let i = ours.inertia_kg_m2;
        let same = Told {
            mass_kg: ours.mass_kg,
            centre_m: ours.centre_m.to_array(),
            inertia: [
                i.x_axis.x, i.y_axis.y, i.z_axis.z, i.y_axis.x, i.z_axis.x, i.z_axis.y,
            ],
        };
        assert!(differences(&robot, &same).iter().all(|d| *d < 1e-15));
        let mut moved = robot.clone();
        moved.battery.item.at[0] = figure(moved.battery.item.at[0].si() + 1e-3);
        let [_, centre, inertia] = differences(&moved, &same);
        assert!(centre > 100.0 * TARGET && inertia > 100.0 * TARGET);
    }

    #[test]
    fn a_line_of_the_wrong_length_is_refused() {
        assert!(numbers("1 2 3 4 5 6 7 8 9 10").is_ok());
        assert!(numbers("1 2 3").is_err() && numbers("1 2 3 4 5 6 7 8 9 x").is_err());
    }
}
