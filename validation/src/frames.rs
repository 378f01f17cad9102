//! Frames of beams beside other programs: PyNite for deflections, scipy for modes,
//! sectionproperties for sections.

use std::fmt::Write as _;
use std::io::Write as _;
use std::path::Path;
use std::process::{Command, Stdio};

use frame::{Frame, Hold, Link, Load, Lump, Material, Member, Node, Section, Slack, fixed};

/// Frames of each kind.
const FRAMES: u64 = 200;
/// Modes compared of each.
const MODES: usize = 12;
/// Largest difference of a deflection, as a share of the frame's largest.
const STATICS: f64 = 1e-6;
/// Largest difference of a frequency, as a share of it.
const FREQUENCY: f64 = 1e-5;

/// Numbers from 0 to 1 without a pattern, the same each time.
struct Numbers(u64);

impl Numbers {
    fn between(&mut self, low: f64, high: f64) -> f64 {
        self.0 ^= self.0 << 13;
        self.0 ^= self.0 >> 7;
        self.0 ^= self.0 << 17;
        low + (high - low) * (self.0 >> 11) as f64 / (1_u64 << 53) as f64
    }

    fn three(&mut self, size: f64) -> [f64; 3] {
        [0.0; 3].map(|_: f64| self.between(-size, size))
    }
}

/// A frame of 6 to 17 nodes: a tree with some rings closed. For statics some hinges and a spring
/// under a node, all sections standing up towards y; for modes springs in joints, lumps, and
/// sections that stand any way.
fn random(seed: u64, modes: bool) -> Frame {
    let mut r = Numbers((seed + 1) * 0x9e37_79b9_7f4a + u64::from(modes));
    for _ in 0..5 {
        r.between(0.0, 1.0);
    }
    let mut f = Frame::default();
    let n = 6 + (seed % 12) as usize;
    for i in 0..n {
        let mut node = Node::new(format!("n{i}"), r.three(0.2));
        if i == 0 || (i == 3 && seed.is_multiple_of(2)) {
            node = node.held(fixed());
        } else if i == n - 1 && seed.is_multiple_of(3) {
            node.held[1] = Hold::Spring(r.between(1e2, 1e5));
        }
        f.node(node);
    }
    let mut pairs: Vec<(usize, usize)> = (1..n).map(|i| (i / 2, i)).collect();
    pairs.extend((2..n).step_by(3).map(|i| (i - 2, i)));
    pairs.sort_unstable();
    pairs.dedup();
    for (i, (a, b)) in pairs.into_iter().enumerate() {
        let (w, h) = (r.between(0.004, 0.02), r.between(0.002, 0.02));
        let section = match i % 4 {
            0 => Section::rectangle(w, h),
            1 => Section::rectangular_tube(0.01 + w, 0.01 + h, 0.001),
            2 => Section::round(w, 0.3 * w),
            _ => Section::double_tee(0.01 + w, 0.01 + h, 0.0015),
        };
        let material = Material::isotropic(r.between(2e9, 2e11), 0.3, r.between(1e3, 8e3));
        let up = if modes { r.three(1.0) } else { [0.0, 1.0, 0.0] };
        let mut m = Member::new(format!("m{i}"), a, b, section, material).upright(up);
        if modes && i % 4 == 1 {
            for axis in 3..6 {
                m.ends[0].links[axis] = Link::Spring(r.between(1.0, 300.0));
            }
            m.ends[1].links[0] = Link::Spring(r.between(1e4, 1e7));
        }
        // A hinge in a ring leaves the frame standing.
        if b % 3 == 2 && a + 2 == b {
            m.ends[1].links[4 + i % 2] = Link::Released;
        }
        f.member(m);
    }
    if modes {
        for node in (1..n).step_by(2) {
            f.lumps.push(Lump {
                node,
                mass_kg: r.between(0.01, 0.3),
                offset_m: r.three(0.02),
                inertia_kg_m2: [0.0; 3].map(|_: f64| r.between(1e-6, 1e-4)),
            });
        }
    }
    f
}

fn loads(f: &Frame, seed: u64) -> Vec<Load> {
    let mut r = Numbers(seed + 0x1234_5678_9abc);
    let last = f.members.len() - 1;
    vec![
        Load::At {
            node: f.nodes.len() - 1,
            force_n: r.three(50.0),
            moment_n_m: r.three(2.0),
        },
        Load::On {
            member: last / 2,
            along: r.between(0.1, 0.9),
            force_n: r.three(30.0),
        },
        Load::Spread {
            member: last,
            force_n_m: r.three(100.0),
        },
    ]
}

fn numbers(text: &mut String, values: impl IntoIterator<Item = f64>) {
    for v in values {
        let _ = write!(text, " {v:?}");
    }
}

/// The frame in the reference's lines.
fn lines(f: &Frame, loads: &[Load]) -> String {
    let mut t = String::new();
    for n in &f.nodes {
        t.push_str("node");
        numbers(&mut t, n.at_m);
        numbers(
            &mut t,
            n.held.map(|h| match h {
                Hold::Free => 0.0,
                Hold::Fixed => 1.0,
                Hold::Spring(k) => k,
            }),
        );
        t.push('\n');
    }
    for m in &f.members {
        let (s, x) = (&m.section, &m.material);
        let _ = write!(t, "member {} {}", m.nodes[0], m.nodes[1]);
        let of_material = [x.youngs_pa, x.shear_pa, x.density_kg_m3];
        numbers(&mut t, of_material);
        numbers(
            &mut t,
            [s.area_m2, s.about_y_m4, s.about_z_m4, s.torsion_m4],
        );
        numbers(&mut t, m.up.unwrap_or(frame::UP));
        for end in m.ends {
            numbers(
                &mut t,
                end.links.map(|l| match l {
                    Link::Rigid => 0.0,
                    Link::Released => -1.0,
                    Link::Spring(k) | Link::Play { stiffness: k, .. } => k,
                }),
            );
        }
        t.push('\n');
    }
    for l in &f.lumps {
        let _ = write!(t, "lump {}", l.node);
        numbers(&mut t, [l.mass_kg]);
        numbers(&mut t, l.offset_m.into_iter().chain(l.inertia_kg_m2));
        t.push('\n');
    }
    for load in loads {
        match load {
            Load::At {
                node,
                force_n,
                moment_n_m,
            } => {
                let _ = write!(t, "load {node}");
                numbers(&mut t, force_n.iter().chain(moment_n_m).copied());
            }
            Load::On {
                member,
                along,
                force_n,
            } => {
                let _ = write!(t, "on {member} {along:?}");
                numbers(&mut t, *force_n);
            }
            Load::Spread { member, force_n_m } => {
                let _ = write!(t, "spread {member}");
                numbers(&mut t, *force_n_m);
            }
        }
        t.push('\n');
    }
    t
}

/// Sections compared: the reference's kind, sizes in mm, ours, and the share by which the torsion
/// constant may differ: the formulas of thin walls are off by that, as their descriptions say.
fn sections() -> Vec<(&'static str, Vec<f64>, Section, f64)> {
    vec![
        (
            "rectangle",
            vec![20.0, 3.0],
            Section::rectangle(20.0, 3.0),
            0.005,
        ),
        (
            "rectangle",
            vec![5.0, 8.0],
            Section::rectangle(5.0, 8.0),
            0.005,
        ),
        (
            "tube",
            vec![10.0, 10.0, 1.0],
            Section::rectangular_tube(10.0, 10.0, 1.0),
            0.06,
        ),
        (
            "tube",
            vec![20.0, 12.0, 1.5],
            Section::rectangular_tube(20.0, 12.0, 1.5),
            0.06,
        ),
        ("round", vec![6.0], Section::round(6.0, 0.0), 0.005),
        ("pipe", vec![12.0, 1.0], Section::round(12.0, 10.0), 0.005),
        (
            "angle",
            vec![20.0, 20.0, 2.0],
            Section::angle(20.0, 20.0, 2.0),
            0.06,
        ),
        (
            "angle",
            vec![15.0, 30.0, 2.0],
            Section::angle(15.0, 30.0, 2.0),
            0.06,
        ),
        (
            "channel",
            vec![20.0, 12.0, 2.0],
            Section::channel(20.0, 12.0, 2.0),
            0.06,
        ),
        (
            "tee",
            vec![20.0, 25.0, 2.0],
            Section::tee(20.0, 25.0, 2.0),
            0.06,
        ),
        (
            "i",
            vec![20.0, 25.0, 2.0],
            Section::double_tee(20.0, 25.0, 2.0),
            0.06,
        ),
    ]
}

/// The Python that has the packages: the one named by `RINGWRIGHT_PYTHON`, or the first of the usual
/// names that has them.
fn python() -> Result<(String, String), String> {
    let ask = "import scipy,sectionproperties,Pynite;from importlib.metadata import version as v;\
               print('PyNite',v('PyNiteFEA')+', scipy',v('scipy')+', sectionproperties',\
               v('sectionproperties'))";
    let named = std::env::var("RINGWRIGHT_PYTHON").ok();
    let names = ["python3", "python3.11", "python"].map(String::from);
    for python in named.into_iter().chain(names) {
        if let Ok(said) = Command::new(&python).args(["-c", ask]).output()
            && said.status.success()
        {
            let versions = String::from_utf8_lossy(&said.stdout).trim().to_owned();
            return Ok((python, versions));
        }
    }
    Err(
        "PyNite, scipy or sectionproperties is absent: install Python and then \"python3 -m pip \
         install PyNiteFEA scipy sectionproperties\", or name a Python that has them in \
         RINGWRIGHT_PYTHON. Nothing was compared."
            .into(),
    )
}

/// Asks the reference: a row of numbers for each question.
fn asked(python: &str, text: String) -> Result<Vec<Vec<f64>>, String> {
    let script = Path::new(env!("CARGO_MANIFEST_DIR")).join("frames/reference.py");
    let wrong = |e: std::io::Error| format!("{python}: {e}");
    let mut child = Command::new(python)
        .arg(script)
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .spawn()
        .map_err(wrong)?;
    // From a thread of its own: both pipes could fill up.
    let to = child.stdin.take();
    let writer = std::thread::spawn(move || match to {
        Some(mut to) => to.write_all(text.as_bytes()),
        None => Ok(()),
    });
    let said = child.wait_with_output().map_err(wrong)?;
    let written = writer
        .join()
        .map_err(|_| "writing to the reference failed")?;
    if !said.status.success() {
        return Err("the reference ended with an error".into());
    }
    written.map_err(wrong)?;
    String::from_utf8_lossy(&said.stdout)
        .lines()
        .map(|line| {
            let all: Result<Vec<f64>, _> = line.split_whitespace().map(str::parse).collect();
            all.map_err(|e| format!("\"{line}\": {e}"))
        })
        .collect()
}

/// Largest difference of the shifts and of the turns, each as a share of the largest of its kind.
fn apart(ours: &[[f64; 6]], theirs: &[f64]) -> f64 {
    let mut worst = 0.0_f64;
    for kind in [0..3, 3..6] {
        let (mut most, mut off) = (0.0_f64, 0.0_f64);
        for (our, their) in ours.iter().zip(theirs.chunks(6)) {
            for axis in kind.clone() {
                most = most.max(their[axis].abs());
                off = off.max((our[axis] - their[axis]).abs());
            }
        }
        worst = worst.max(off / most);
    }
    worst
}

/// Compares and prints; true where all are within the targets.
///
/// # Errors
/// Where Python or a package is missing, the reference fails, or a frame has no answer here.
pub fn run() -> Result<bool, String> {
    let (python, versions) = python()?;
    let still: Vec<(Frame, Vec<Load>)> = (0..FRAMES)
        .map(|seed| {
            let f = random(seed, false);
            let l = loads(&f, seed);
            (f, l)
        })
        .collect();
    let swinging: Vec<Frame> = (0..FRAMES).map(|seed| random(seed, true)).collect();
    let shapes = sections();
    let mut text = String::new();
    for (f, l) in &still {
        text += &lines(f, l);
        text.push_str("pynite\n");
    }
    for f in &swinging {
        text += &lines(f, &[]);
        let _ = writeln!(text, "modes {MODES}");
    }
    for (kind, sizes, ..) in &shapes {
        let _ = write!(text, "section {kind}");
        numbers(&mut text, sizes.iter().copied());
        text.push('\n');
    }
    let told = asked(&python, text)?;
    if told.len() != still.len() + swinging.len() + shapes.len() {
        return Err(format!("the reference gave {} answers", told.len()));
    }
    println!("Beside {versions}:");
    let (mut deflection, mut members) = (0.0_f64, 0);
    for ((f, l), told) in still.iter().zip(&told) {
        let solved = f.solve(l).map_err(|t| t.to_string())?;
        deflection = deflection.max(apart(&solved.moved, told));
        members += f.members.len();
    }
    println!(
        "  deflections of {FRAMES} random frames ({members} members): worst difference {deflection:.1e}, \
         target {STATICS:.0e}"
    );
    let (mut frequency, mut count) = (0.0_f64, 0);
    for (f, told) in swinging.iter().zip(&told[still.len()..]) {
        let modes = f.modes(MODES, Slack::TakenUp).map_err(|t| t.to_string())?;
        if modes.modes.len() != told.len() {
            return Err(format!(
                "{} modes here, {} there",
                modes.modes.len(),
                told.len()
            ));
        }
        for (mode, want) in modes.modes.iter().zip(told) {
            frequency = frequency.max((mode.frequency_hz / want - 1.0).abs());
            count += 1;
        }
    }
    println!(
        "  {count} modes of {FRAMES} random frames: worst difference {frequency:.1e}, target {FREQUENCY:.0e}"
    );
    let mut met = deflection <= STATICS && frequency <= FREQUENCY;
    for ((kind, sizes, ours, allowed), told) in
        shapes.iter().zip(&told[still.len() + swinging.len()..])
    {
        let (a, b) = (ours.about_y_m4, ours.about_z_m4);
        let all = [ours.area_m2, a.min(b), a.max(b), ours.torsion_m4];
        let off: Vec<f64> = all.iter().zip(told).map(|(o, t)| o / t - 1.0).collect();
        // A circle there has 256 corners: 0.01 % of the area, 0.02 % of the moments.
        let exact = if matches!(*kind, "round" | "pipe") {
            5e-4
        } else {
            1e-9
        };
        let good = off[..3].iter().all(|o| o.abs() <= exact) && off[3].abs() <= *allowed;
        met &= good;
        println!(
            "  {kind} {sizes:?} mm: area {:.0e}, second moments {:.0e} and {:.0e}, torsion {:+.2} %{}",
            off[0].abs(),
            off[1].abs(),
            off[2].abs(),
            100.0 * off[3],
            if good { "" } else { ": beyond the target" }
        );
    }
    println!("  {}", if met { "all met" } else { "missed" });
    Ok(met)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A wrong reference is found: a member one part in ten thousand softer.
    #[test]
    fn a_slightly_softer_member_is_far_beyond_the_target() {
        let f = random(4, false);
        let l = loads(&f, 4);
        let ours = f.solve(&l).expect("it stands").moved;
        let same: Vec<f64> = ours.iter().flatten().copied().collect();
        assert!(apart(&ours, &same) == 0.0);
        let mut soft = f;
        soft.members[0].material.youngs_pa *= 0.9999;
        let moved = soft.solve(&l).expect("it stands").moved;
        assert!(apart(&moved, &same) > 10.0 * STATICS);
    }
}
