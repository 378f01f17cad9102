//! The cost of one tick of a shipped tactic.

use divan::{Bencher, black_box};
use tactic::{Port, PortKind, Ports};

fn main() {
    divan::main();
}

/// Sensors as the shipped tactics name them, in file order of a full-size robot.
fn ports() -> Ports {
    use PortKind::{Range, Reflectance, Tilt};
    let sensors = [
        ("centre", Range),
        ("left", Range),
        ("right", Range),
        ("flank-left", Range),
        ("flank-right", Range),
        ("edge-front-left", Reflectance),
        ("edge-front-right", Reflectance),
        ("edge-back-left", Reflectance),
        ("edge-back-right", Reflectance),
        ("tilt", Tilt),
    ];
    let inputs = sensors.map(|(name, kind)| Port {
        name: name.into(),
        kind,
    });
    Ports {
        inputs: inputs.into(),
        gadgets: Vec::new(),
        rolling: None,
    }
}

/// One tick with readings that change from tick to tick, so that all of the program is walked.
#[divan::bench(args = ["charger", "allrounder", "trickster"])]
fn tick(bencher: Bencher<'_, '_>, name: &str) {
    let file = format!("robots/tactics/{name}.tactic");
    let text = shelf::file(&file).expect("it is on the shelf");
    let tactic = tactic::parse(&file, &text).expect("it reads");
    let program = tactic::compile(&tactic, &ports()).expect("it fits");
    let mut memory = program.start(0, 7);
    let (mut now, mut round) = (0_u16, 0_usize);
    let nothing = PortKind::NOTHING;
    let scenes: [[i16; 10]; 4] = [
        [
            nothing, nothing, nothing, nothing, nothing, 50, 50, 50, 50, 0,
        ],
        [nothing, 180, nothing, nothing, nothing, 50, 50, 50, 50, 0],
        [40, nothing, nothing, nothing, nothing, 50, 50, 50, 50, 60],
        [nothing, nothing, nothing, nothing, 90, 900, 50, 50, 50, 0],
    ];
    bencher.bench_local(|| {
        now = now.wrapping_add(5);
        round += 1;
        let scene = &scenes[round / 64 % scenes.len()];
        program.tick(&mut memory, black_box(scene), now)
    });
}
