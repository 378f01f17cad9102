//! Getting under, lifting and jacking, on robots that are changed so that they do and do not work.

use paper::{Foe, Paper, examine};
use robot::{PartsBox, Severity};
use rules::Classes;

/// The paper of a built-in robot of the class, its text changed.
fn paper(class: &str, file: &str, change: impl Fn(String) -> String) -> Paper {
    let parts = PartsBox::built_in().unwrap_or_else(|e| panic!("{e:#?}"));
    let classes = Classes::built_in().unwrap_or_else(|e| panic!("{e:#?}"));
    let text = change(shelf::file(&format!("robots/{file}.toml")).expect("it is there"));
    let lookup = |name: &str| {
        shelf::file(&format!("robots/tactics/{name}"))
            .or_else(|| shelf::file(&format!("robots/{name}")))
    };
    let robot = robot::read(file, &text, &parts, &lookup).unwrap_or_else(|e| panic!("{e:#?}"));
    let tactic =
        tactic::parse(&robot.tactic.file, &robot.tactic.text).unwrap_or_else(|e| panic!("{e:#?}"));
    let class = classes.find(class).expect("it is there");
    examine(&robot, class, &tactic, &parts)
}

fn swap(from: &'static str, to: &'static str) -> impl Fn(String) -> String {
    move |text| {
        assert!(text.contains(from), "no {from}");
        text.replace(from, to)
    }
}

fn severity(p: &Paper, name: &str) -> Option<Severity> {
    p.findings
        .iter()
        .find(|f| f.name == name)
        .map(|f| f.severity)
}

#[test]
fn probe() {
    for f in shelf::files("robots") {
        let Some(name) =
            f.0.strip_prefix("robots/")
                .and_then(|n| n.strip_suffix(".toml"))
        else {
            continue;
        };
        let class = name.split_once('/').map_or("mini", |c| c.0);
        let p = paper(class, name, |t| t);
        let t = std::time::Instant::now();
        let _ = &p;
        let e = t.elapsed();
        let _ = e;
        println!(
            "  GUARD {}",
            p.guard
                .things
                .iter()
                .filter(|t| t.largest_m.is_some())
                .map(|t| format!(
                    "{} {:?} {:.0}mm {:.0}% b {:.0} h {:?}",
                    t.name,
                    t.kind,
                    1e3 * t.largest_m.unwrap(),
                    100. * t.share,
                    t.bearing_rad.unwrap_or(9.).to_degrees(),
                    t.heights_m.map(|h| h.map(|x| (1e3 * x).round()))
                ))
                .collect::<Vec<_>>()
                .join("; ")
        );
        let u = p.under.as_ref().unwrap();
        let odds: Vec<String> = u
            .meetings
            .iter()
            .map(|m| format!("{:?} {:.2}/{:.2}", m.foe, m.under, m.over))
            .collect();
        println!(
            "{name}: edge {:?} {}",
            u.edge.map(|e| (1e3 * e.mean_m, 1e3 * e.half_width_m())),
            odds.join(" ")
        );
        println!(
            "   push {:.2} W {:.2} {:?} {:?}",
            u.push_n,
            u.weight_n,
            u.carried
                .iter()
                .map(|c| format!(
                    "{:.0}: {:.2} up {:.2} low {:.2}",
                    1e3 * c.rise_m,
                    c.carried_n,
                    c.upper_push_n,
                    c.lower_push_n
                ))
                .collect::<Vec<_>>(),
            u.wedge.map(|w| (
                w.angle_rad.to_degrees(),
                w.load_n,
                w.needed_n,
                w.steepest_rad.to_degrees()
            ))
        );
        if let Some(l) = &p.lifting {
            for x in &l.lifters {
                println!(
                    "   LIFT V {:.2} T {:.3} kg {:.2} t {:.2}/{:.2} tips {:?} band {:?} first {:?} last {:?}",
                    x.volts,
                    x.torque_nm,
                    x.heaviest_kg,
                    x.loaded_s,
                    x.empty_s,
                    x.tips_self_n,
                    x.force_band_n,
                    x.line[0],
                    x.line.last()
                );
            }
            for j in &l.jacks {
                println!("   JACK {j:?}");
            }
        }
        for f in &p.findings {
            if [
                "blade-", "lifter", "jack", "guard", "parts-o", "sensor-i", "sensor-b", "part-o",
            ]
            .iter()
            .any(|n| f.name.starts_with(n))
            {
                println!(
                    "   !! {:?} {}: {} | {} | {}",
                    f.severity, f.name, f.what, f.why, f.mend
                );
            }
        }
    }
}
