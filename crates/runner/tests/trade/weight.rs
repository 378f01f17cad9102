//! Mass: how much, how high, over which wheels; what it is spent on; dirt.

use quantity::Figure;

use crate::workshop::{Plan, blunt, driven_behind, duel, mini, pit_of, recorded};

/// Badger's ballast.
const BALLAST: &str = "count = 10\nat = [\"8 mm\", \"0 mm\", \"6 mm\"]";

fn ballast(plan: &Plan, count: u32, x: &str, z: &str) -> Plan {
    let other = format!("count = {count}\nat = [\"{x}\", \"0 mm\", \"{z}\"]");
    plan.clone().with(BALLAST, &other)
}

/// "Build to the mass limit: weight is traction." Blunt robots, 490 g against 310 g: the model
/// agrees. Between robots with blades of the same make 180 g more won only 463 of 800 bouts: there it
/// is the blade's luck who gets under, and who is under has the other's weight as well.
#[test]
fn mass_up_to_the_limit_helps() {
    let tally = duel(&mini(), &blunt(), &ballast(&blunt(), 1, "8 mm", "6 mm"), 60);
    println!("{tally:?} {:?}", tally.share());
    assert!(tally.share().low > 0.5, "{tally:?}");
}

/// "Put the mass low": 200 g of ballast at 6 mm against 60 mm, the robots' own programs.
#[test]
fn mass_helps_low() {
    let low = Plan::of("mini/badger");
    let tally = duel(&mini(), &low, &ballast(&low, 10, "8 mm", "60 mm"), 120);
    println!("{tally:?} {:?}", tally.share());
    assert!(tally.share().low > 0.5, "{tally:?}");
}

/// "Put the mass over the driven wheels": driven behind only, ballast behind against ahead.
#[test]
fn mass_helps_over_the_driven_wheels() {
    let behind = driven_behind(&blunt());
    let [over, ahead] = ["-28 mm", "28 mm"].map(|x| ballast(&behind, 10, x, "6 mm"));
    let tally = duel(&mini(), &over, &ahead, 60);
    println!("{tally:?} {:?}", tally.share());
    assert!(tally.share().low > 0.5, "{tally:?}");
}

/// "Clean the tyres before every round": 60 m of travel since, on tyres that lose 35 % at most.
#[test]
fn dirty_tyres_cost_bouts() {
    let wheel = "part = \"wheel-34-silicone\"";
    let dirt = "dirt-loss = \"35 %\"\ndirt-length = \"30 m\"\nsince-cleaned =";
    let tyres = |since: &str| blunt().with(wheel, &format!("{wheel}\n{dirt} \"{since}\""));
    let tally = duel(&mini(), &tyres("0 m"), &tyres("60 m"), 60);
    println!("{tally:?} {:?}", tally.share());
    assert!(tally.share().low > 0.5, "{tally:?}");
}

/// "Sensors that the program never uses are dead weight": a robot whose sensors are exchanged for
/// lumps of the same mass moves the same way but for rounding; without the lumps it does not. The
/// saying forgets their current, left out here: on a sagging pack it costs another 0.3 mm of way in a
/// quarter of a second.
#[test]
fn sensors_that_nobody_reads_are_ballast() {
    let mut with = blunt().build();
    for s in &mut with.robot.sensors {
        s.current = Figure::derived(0.0, "current");
    }
    let (mut lumps, mut bare) = (with.clone(), with.clone());
    let lump = lumps.robot.sensors.drain(..).map(|s| s.item);
    lumps.robot.parts.extend(lump);
    bare.robot.sensors.clear();
    let [a, b, c] = [with, lumps, bare].map(|ours| {
        let pit = pit_of(&mini(), vec![ours], vec![blunt().build()]);
        // Until they meet: from there rounding grows.
        let (_, record) = recorded(&pit, 1).remove(0);
        let early = record.frames[0].iter().take_while(|f| f.time_s < 0.25);
        early.map(|f| f.position[0]).collect::<Vec<f64>>()
    });
    let apart = |x: &[f64], y: &[f64]| {
        let pairs = x.iter().zip(y);
        pairs.fold(0.0_f64, |most, (x, y)| most.max((x - y).abs()))
    };
    let (rounding, mass) = (apart(&a, &b), apart(&a, &c));
    println!("{rounding:.1e} m of rounding, {mass:.1e} m of mass");
    assert!(rounding < 1e-9 && mass > 1e-5, "{rounding} {mass}");
}
