//! Who decides over the pipe as the robot's own program does fights the same bout, to the bit.

use std::io::{BufRead, BufReader, Write, pipe};
use std::thread;

use runner::drive::Own;
use serde_json::{Map, Value, json};
use study::Pit;
use tactic::{Memory, OFF, PortKind, Ports, Program};

use crate::bench::{EVERYTHING, about, pit, task};

/// A program at the other end of two pipes.
struct Player {
    program: Program,
    ports: Ports,
}

impl Player {
    /// Answers until the other end is closed; how often it was started.
    fn play(&self, input: impl BufRead, mut output: impl Write) -> u32 {
        let mut memory = self.program.start(0, 0);
        let mut starts = 0;
        for line in input.lines() {
            let line = line.expect("it is text");
            let message: Value = serde_json::from_str(&line).expect("it is JSON");
            let answer = if message["readings"].is_object() {
                self.look(&mut memory, &message)
            } else if message["end"].is_string() {
                continue;
            } else {
                starts += 1;
                memory = self.begin(&message);
                if message["again"] == json!(true) {
                    continue;
                }
                assert_eq!(message["protocol"], runner::drive::PROTOCOL);
                json!({"ready": true})
            };
            writeln!(output, "{answer}").expect("somebody listens");
        }
        starts
    }

    fn begin(&self, message: &Value) -> Memory {
        let mut openings = self.program.openings().iter();
        let opening = openings.position(|o| message["opening"] == o.name.as_str());
        let dice = message["dice"].as_u64().and_then(|d| u16::try_from(d).ok());
        self.program
            .start(opening.expect("it is there"), dice.expect("16 bits"))
    }

    fn look(&self, memory: &mut Memory, message: &Value) -> Value {
        let reading = |port: &tactic::Port| match &message["readings"][&port.name] {
            Value::Null => PortKind::NOTHING,
            number => i16::try_from(number.as_i64().expect("a number")).expect("16 bits"),
        };
        let readings: Vec<i16> = self.ports.inputs.iter().map(reading).collect();
        let ms = message["ms"].as_u64().expect("a number") % 65_536;
        let now = u16::try_from(ms).expect("16 bits");
        let drive = self.program.tick(memory, &readings, now);
        let gadgets = self.ports.gadgets.iter().zip(memory.gadgets());
        let gadgets: Map<String, Value> = gadgets
            .map(|(port, way)| (port.name.clone(), (way != OFF).then_some(way).into()))
            .collect();
        json!({"left": drive.left, "right": drive.right, "gadgets": gadgets})
    }
}

/// Bouts with and without the pipe; how often the player was started.
fn the_same(pit: &Pit, bouts: u32) -> u32 {
    let ours = &pit.ours[0].robot.name;
    let mut starts = 0;
    for bout in 0..bouts {
        let (to_player, from_us) = pipe().expect("the system has pipes");
        let (to_us, from_player) = pipe().expect("the system has pipes");
        let player = Player {
            program: pit.ours[0].program.clone(),
            ports: Ports::of(&pit.ours[0].robot),
        };
        let playing = thread::spawn(move || player.play(BufReader::new(to_player), from_player));
        let own = Own::over(from_us, to_us, 20_000, about(pit, bout));
        let driven = pit.driven(task(bout), &own, EVERYTHING);
        let ended = own.ended(&driven, task(bout).seat());
        assert_eq!(ended.failure, None, "{ours}, bout {bout}");
        let alone = pit.record(task(bout), EVERYTHING);
        assert_eq!(driven.state_hash, alone.state_hash, "{ours}, bout {bout}");
        assert_eq!(driven, alone, "{ours}, bout {bout}");
        starts += playing.join().expect("it plays");
    }
    starts
}

#[test]
fn a_program_over_the_pipe_fights_the_bout_it_fights_without() {
    assert_eq!(the_same(&pit("demo", "mini/anvil"), 4), 4);
    // With a gadget.
    assert_eq!(the_same(&pit("mini/crowbar", "mini/badger"), 4), 4);
}

#[test]
fn a_new_start_within_a_bout_is_told() {
    let mut pit = pit("demo", "mini/anvil");
    let stand = "state stand {\n  wait\n}\n";
    let stand = tactic::parse("stand.tactic", stand).expect("it reads");
    for entrant in pit.ours.iter_mut().chain(&mut pit.field) {
        let robot = &entrant.robot;
        entrant.program = tactic::compile(&stand, &Ports::of(robot)).expect("it compiles");
    }
    let starts = the_same(&pit, 1);
    assert!(starts > 1, "the judge leaves both standing");
}
