//! What would stiffen the frame: each change worked out anew, ranked by what it gains for its weight.

use robot::{Bar, JointKind, Materials};

use super::shove::{Case, Shove, gives, push_of};
use super::sketch::{Beam, Role, Sketch, area, distance, joint, strip};
use super::solved::{Answer, Corner, Solved};

/// One change.
#[derive(Debug, Clone, PartialEq)]
pub struct Change {
    /// What to do, in words.
    pub what: String,
    /// Share by which the frame gives way less at its softest point.
    pub gain: f64,
    /// What it weighs more, kg; negative: less.
    pub mass_kg: f64,
    /// For a brace: the places it goes between.
    pub brace: Option<[usize; 2]>,
}

impl Change {
    /// Gain for a gram; a change that weighs next to nothing counts as half a gram.
    #[must_use]
    pub fn for_a_gram(&self) -> f64 {
        self.gain / (1e3 * self.mass_kg).max(0.5)
    }
}

/// A screw with its washer, kg: M3 × 10 of steel, from memory.
const SCREW_KG: f64 = 1e-3;
/// Least gain worth a line.
const LEAST: f64 = 0.02;
/// Braces that are worked out, of those that promise most.
const BRACES: usize = 2;
/// A brace is a strip of aluminium that wide and that thick as a share of the longest distance between
/// nodes.
const BRACE_WIDE: f64 = 0.08;
const BRACE_THICK: f64 = 0.02;

/// What each change would give at the shove `now`, whose push is that of `case`.
pub(super) fn changes(
    sketch: &Sketch,
    materials: &Materials,
    case: &Case,
    force_n: f64,
    now: &Shove,
    answer: &Answer,
) -> Vec<Change> {
    let mut found = Vec::new();
    let mut attempt = |changed: &Sketch, what: String, brace| {
        let push = push_of(changed, case, force_n);
        let then = Solved::of(changed, Corner::Nominal).push(&[push]);
        let Some(then) = then.ok().and_then(|all| all.into_iter().next()) else {
            return;
        };
        let gain = 1.0 - gives(changed, case, &then) / now.gives_m;
        if gain >= LEAST {
            found.push(Change {
                what,
                gain,
                mass_kg: own_mass(changed) - own_mass(sketch),
                brace,
            });
        }
    };
    for (changed, what) in screws(sketch, now) {
        attempt(&changed, what, None);
    }
    for (changed, what) in other_materials(sketch, materials) {
        attempt(&changed, what, None);
    }
    for (changed, what) in thicker(sketch) {
        attempt(&changed, what, None);
    }
    for (changed, what, between) in braces(sketch, materials, answer) {
        attempt(&changed, what, Some(between));
    }
    found.sort_by(|a, b| b.for_a_gram().total_cmp(&a.for_a_gram()));
    found
}

/// Mass of the beams and of screws beyond the usual, kg.
fn own_mass(sketch: &Sketch) -> f64 {
    let beams = sketch.beams.iter();
    let of_beams: f64 = (beams.clone())
        .map(|b| b.density * area(&b.bar) * sketch.length(b))
        .sum();
    let screws: f64 = beams
        .flat_map(|b| &b.ends)
        .filter(|e| e.kind == JointKind::Screwed)
        .map(|e| SCREW_KG * f64::from(e.screws))
        .sum();
    of_beams + screws
}

/// One screw more in the joint used most, and in every joint of the blade.
fn screws(sketch: &Sketch, now: &Shove) -> Vec<(Sketch, String)> {
    let mut all = Vec::new();
    if let Some(used) = now.joint
        && sketch.beams[used.beam].ends[used.end].kind == JointKind::Screwed
    {
        let mut changed = sketch.clone();
        changed.beams[used.beam].ends[used.end].screws += 1;
        let name = &sketch.beams[used.beam].name;
        all.push((changed, format!("one screw more at {name}")));
    }
    let mut changed = sketch.clone();
    let mut count = 0;
    for b in changed.beams.iter_mut().filter(|b| b.role == Role::Holder) {
        for e in b.ends.iter_mut().filter(|e| e.kind == JointKind::Screwed) {
            e.screws += 1;
            count += 1;
        }
    }
    if count > 0 {
        let what = format!("{count} screws more along the blade");
        all.push((changed, what));
    }
    all
}

/// Plate, walls and members of another material of the same thickness.
fn other_materials(sketch: &Sketch, materials: &Materials) -> Vec<(Sketch, String)> {
    let mut all = Vec::new();
    for (role, words) in [
        (Role::Plate, "the plate"),
        (Role::Wall, "the body"),
        (Role::Member, "all members"),
    ] {
        let Some(ours) = sketch.beams.iter().find(|b| b.role == role) else {
            continue;
        };
        let ours = &sketch.materials[ours.material];
        for name in ["aluminium-6061-t6", "steel", "carbon-sheet"] {
            let Some(other) = materials.find(name) else {
                continue;
            };
            if other.modulus.si() <= ours.modulus.si() {
                continue;
            }
            let mut changed = sketch.clone();
            let index = changed.material(other);
            for b in &mut changed.beams {
                let of_it = b.role == role || (role == Role::Wall && b.role == Role::Post);
                if of_it {
                    b.density *= other.density.si() / sketch.materials[b.material].density.si();
                    b.material = index;
                }
            }
            all.push((changed, format!("{words} of {}, as thick", other.title)));
        }
    }
    all
}

/// Plate and blade a quarter thicker.
fn thicker(sketch: &Sketch) -> Vec<(Sketch, String)> {
    let mut all = Vec::new();
    for (role, words) in [(Role::Plate, "the plate"), (Role::Blade, "the blade")] {
        let mut changed = sketch.clone();
        let mut was = 0.0;
        for b in changed.beams.iter_mut().filter(|b| b.role == role) {
            if let Bar::Strip { width, height } = &b.bar {
                was = height.si();
                b.bar = strip(width.si(), 1.25 * height.si());
            }
        }
        if was > 0.0 {
            all.push((
                changed,
                format!(
                    "{words} {:.1} mm thick instead of {:.1} mm",
                    1.25e3 * was,
                    1e3 * was
                ),
            ));
        }
    }
    all
}

/// Braces between the nodes that move most towards or from one another: a strip of stiffness k across
/// two nodes that move apart by δ takes up to k δ²/2; those with the most are worked out.
fn braces(
    sketch: &Sketch,
    materials: &Materials,
    answer: &Answer,
) -> Vec<(Sketch, String, [usize; 2])> {
    let Some(aluminium) = materials.find("aluminium-6061-t6") else {
        return Vec::new();
    };
    let n = sketch.nodes.len();
    let at = |k: usize| sketch.nodes[k].at;
    let mut longest = 0.0_f64;
    for i in 0..n {
        for j in 0..i {
            longest = longest.max(distance(at(i), at(j)));
        }
    }
    let bar = strip(BRACE_WIDE * longest, BRACE_THICK * longest);
    let mut promising: Vec<(f64, [usize; 2])> = Vec::new();
    for i in 0..n {
        for j in 0..i {
            let l = distance(at(i), at(j));
            let joined = (sketch.beams.iter()).any(|b| b.nodes == [i, j] || b.nodes == [j, i]);
            // Nothing may be fixed to hubs, which turn, nor to what is made up.
            let hub = |k: usize| {
                let mut at = sketch.beams.iter().filter(|b| b.nodes.contains(&k));
                sketch.nodes[k].held || at.all(|b| b.role.made_up())
            };
            if joined || hub(i) || hub(j) || l < 0.15 * longest || l > 0.8 * longest {
                continue;
            }
            let stretch: f64 = (0..3)
                .map(|k| (answer.moves[i][k] - answer.moves[j][k]) * (at(i)[k] - at(j)[k]) / l)
                .sum();
            promising.push((stretch * stretch / l, [i, j]));
        }
    }
    promising.sort_by(|a, b| b.0.total_cmp(&a.0).then(a.1.cmp(&b.1)));
    (promising.into_iter().take(BRACES))
        .map(|(_, [i, j])| {
            let mut changed = sketch.clone();
            let material = changed.material(aluminium);
            let place = sketch.place.clone();
            let whole = place.clone().unwrap_or_else(|| robot::Place::whole(""));
            changed.beams.push(Beam {
                name: "brace".to_owned(),
                role: Role::Brace,
                nodes: [i, j],
                material,
                bar: bar.clone(),
                up: upwards(at(i), at(j)),
                fill: 1.0,
                twist: 1.0,
                density: aluminium.density.si(),
                ends: [0, 1].map(|_| joint(JointKind::Screwed, &whole)),
                place,
            });
            let what = format!(
                "a brace of aluminium, {:.0} × {:.1} mm, from {} to {}",
                1e3 * BRACE_WIDE * longest,
                1e3 * BRACE_THICK * longest,
                sketch.nodes[j].name,
                sketch.nodes[i].name
            );
            (changed, what, [j, i])
        })
        .collect()
}

/// Which way a strip between two places has its thickness: upwards, unless it stands upright.
fn upwards(a: [f64; 3], b: [f64; 3]) -> [f64; 3] {
    if distance([a[0], a[1], 0.0], [b[0], b[1], 0.0]) > 0.2 * distance(a, b) {
        [0.0, 0.0, 1.0]
    } else {
        [1.0, 0.0, 0.0]
    }
}
