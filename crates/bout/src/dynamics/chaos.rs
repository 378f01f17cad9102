//! Wild bouts: random throttles, random places, and an audit of every millisecond.

use quantity::Stream;

use super::scene::SCENE;

/// What one wild bout came to.
#[derive(Debug, Clone, Copy, Default)]
struct Audit {
    /// Most energy that came from nowhere within a millisecond, J.
    created: f64,
    /// Deepest overlap, m.
    depth: f64,
    ms: u32,
    finite: bool,
}

/// One wild bout of at most five seconds: side throttles with a quarter second of memory.
fn wild(seed: u64) -> Audit {
    let stream = Stream::root(seed).named("wild");
    let draw = |name: &str, k: u64| stream.named(name).numbered(k).normal();
    let torque = if seed.is_multiple_of(2) {
        SCENE.stall_torque
    } else {
        2.0 * SCENE.low_torque
    };
    let mut world = SCENE.facing([torque; 2], !seed.is_multiple_of(5));
    world.keep_account();
    for i in 0..2_u64 {
        let side = if i == 0 { -1.0 } else { 1.0 };
        let x = side * (0.17 + 0.02 * draw("x", i));
        let y = 0.06 * draw("y", i);
        let turn = if i == 0 { 0.0 } else { core::f64::consts::PI };
        world.put_down(usize::from(i == 1), x, y, turn + 0.7 * draw("turn", i));
    }
    let mut audit = Audit {
        finite: true,
        ..Audit::default()
    };
    let mut u = [[0.0_f64; 2]; 2];
    let mut last = world.energy().0;
    for ms in 0..5000_u32 {
        if ms % 10 == 0 {
            let keep = 0.96;
            for (k, v) in u.iter_mut().flatten().enumerate() {
                let noise = draw("throttle", u64::from(ms) * 4 + k as u64);
                *v = keep * *v + (1.0_f64 - keep * keep).sqrt() * noise;
            }
        }
        let effort = u.map(|r| r.map(|v| (0.55 + 0.5 * v).clamp(-1.0, 1.0)));
        world.advance(1, effort);
        let (energy, work) = world.energy();
        audit.created = audit.created.max(energy - last - work);
        last = energy;
        audit.depth = audit.depth.max(world.depth());
        audit.ms = ms;
        if !world.finite() {
            audit.finite = false;
            break;
        }
        if world.on_floor(0) || world.on_floor(1) {
            break;
        }
    }
    audit
}

/// Limit of created energy per millisecond: 0.2 % of both robots' ½ m v_max².
fn energy_limit() -> f64 {
    0.002 * SCENE.mass * SCENE.top_speed() * SCENE.top_speed()
}

#[test]
fn no_energy_comes_from_nowhere() {
    let mut worst = Audit::default();
    let (mut over, mut deep) = (0, 0);
    for seed in 0..200 {
        let audit = wild(seed);
        assert!(audit.finite, "bout {seed} is not finite");
        if audit.created > energy_limit() {
            over += 1;
            println!("{seed}: {audit:?}");
        }
        deep += u32::from(audit.depth > 1e-3);
        worst.created = worst.created.max(audit.created);
        worst.depth = worst.depth.max(audit.depth);
        worst.ms += audit.ms;
    }
    println!(
        "{over} over, {deep} deep, worst {worst:?}, limit {}",
        energy_limit()
    );
    assert_eq!(over, 0);
}
