//! The same sequence of readings as in `tests/bench/bench.c`, for the interpreter.

use tactic::{Ports, Program};

struct Bench {
    dice: u32,
    fold: u32,
}

impl Bench {
    fn thrown(&mut self) -> u32 {
        self.dice ^= self.dice << 13;
        self.dice ^= self.dice >> 17;
        self.dice ^= self.dice << 5;
        self.dice
    }

    fn folded(&mut self, x: i16) {
        self.fold = (self.fold ^ u32::from(x.cast_unsigned())).wrapping_mul(16_777_619);
    }

    fn reading(&mut self, before: i16) -> i16 {
        let x = self.thrown();
        let high = i32::try_from(x >> 16).expect("16 bits");
        let chosen = match x >> 3 & 3 {
            _ if x & 7 != 0 => return before,
            0 => 0,
            1 => i32::from(i16::MAX),
            2 => high - 32768,
            _ => high % 1000,
        };
        i16::try_from(chosen).expect("16 bits")
    }
}

/// What the bench says: the folded number after each of `blocks` times 256 looks.
pub(crate) fn says(program: &Program, ports: &Ports, seed: u32, blocks: usize) -> Vec<String> {
    let mut bench = Bench {
        dice: seed,
        fold: 2_166_136_261,
    };
    let mut readings = vec![0_i16; ports.inputs.len()];
    let mut now = 0_u16;
    let mut said = Vec::new();
    for _ in 0..blocks {
        let start = bench.thrown();
        let position = u8::try_from(start & 7).expect("3 bits");
        let opening = (program.openings().iter())
            .position(|o| o.switch == position)
            .unwrap_or(0);
        let noise = u16::try_from(start >> 16).expect("16 bits");
        let mut memory = program.start(opening, noise);
        for _ in 0..256 {
            for reading in &mut readings {
                *reading = bench.reading(*reading);
            }
            let pause = bench.thrown();
            let pause = if pause & 15 == 0 { pause >> 16 } else { 10 };
            now = now.wrapping_add(u16::try_from(pause).expect("16 bits"));
            let drive = program.tick(&mut memory, &readings, now);
            bench.folded(drive.left);
            bench.folded(drive.right);
            for g in &memory.gadgets()[..ports.gadgets.len()] {
                bench.folded(*g);
            }
            let (state, step, reflex) = memory.stands();
            for x in [state, step, reflex.unwrap_or(255)] {
                bench.folded(x.into());
            }
        }
        said.push(format!("{:08x}", bench.fold));
    }
    said
}
