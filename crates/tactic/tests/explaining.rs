//! Why it does what it does: told as it is decided, and with the right reasons.

mod common;

use common::{NOTHING, parsed, ports, shipped_ports};
use quantity::Stream;
use tactic::{Decided, Explained, Explainer, Fact, PortKind, Ports, Stands};

/// Something of everything the language has.
const ALL: &str = "\
constant close = 60 mm
counter n = 0
timer clock
remember left when left sees or chance 30 %
remember right when right sees
opening o {
  side right
  begin b
}
reflex edge firm when edge-front-left on border {
  drive -100 % -100 % for 30 ms
  lifter to 30 %
  then c
}
reflex tip when tilt above 4 deg and not (bumper touched or near sees) for n * 5 {
  arc 20 % 100 % seen for 40 ms until centre sees
  set n = n + 1
  restart clock
}
state a {
  stay 300 ms then c
  go b when centre sees within close or chance 5 % and n < 9
  go c when clock over 200 ms and not n = 3
  follow {
    centre sees beyond close: drive n * 10 90 %
    gyro below -50 deg: pivot 50 % unseen
    share(tilt, n, 3) > amps-left / 7 - n: wait
  }
}
state b {
  lifter off
  pivot 60 % chosen for 50 ms until left sees for 20 ms
  lifter to up
  drive 10 % 20 % for 30 ms
  set n = n - 1
  then a
}
state c {
  go a when (chance 50 % and chance 50 %) for 20 ms
  drive 30 % 30 % for 20 ms
  wait for 10 ms
}
";

/// A reading of this kind, often near where something changes.
fn reading(kind: PortKind, luck: Stream, at: u64) -> i16 {
    let of = |name: &str, n: u64| {
        i16::try_from(luck.named(name).numbered(at).key() % n).expect("it is small")
    };
    let (rough, fine) = (of("rough", 4), of("fine", 1000));
    match kind {
        PortKind::Range if rough < 2 => NOTHING,
        PortKind::Range => fine / 3,
        PortKind::Proximity | PortKind::Contact => rough / 3,
        PortKind::Reflectance if rough < 3 => fine / 3,
        PortKind::Reflectance => fine,
        PortKind::Tilt | PortKind::TurnRate => fine / 6 - 80,
        PortKind::WheelSpeed | PortKind::Current => fine - 300,
    }
}

/// Where the program stands by what was told alone.
#[derive(Debug, Clone, PartialEq, Eq)]
struct Told {
    state: String,
    reflex: Option<String>,
}

impl Told {
    fn hear(&mut self, decided: &Decided) {
        match decided {
            Decided::Reflex { name, over, .. } => {
                assert_eq!(*over, self.reflex);
                self.reflex = Some(name.clone());
            }
            Decided::ReflexDone { name, then } => {
                assert_eq!(self.reflex.take().as_ref(), Some(name));
                self.state = then.clone().unwrap_or(self.state.clone());
            }
            Decided::Way { written, .. } => {
                self.state = written.split(' ').nth(1).unwrap_or_default().to_owned();
            }
            Decided::Stay { written, .. } => {
                self.state = written.rsplit(' ').next().unwrap_or_default().to_owned();
            }
            Decided::Then { to } => self.state.clone_from(to),
            _ => {}
        }
    }
}

/// Checks that a fact agrees with the readings.
fn agrees(fact: &Fact, ports: &Ports, readings: &[i16]) {
    let range = match fact {
        Fact::Reads { sensor, .. } => {
            (ports.inputs.iter()).any(|p| p.name == *sensor && p.kind == PortKind::Range)
        }
        _ => false,
    };
    let holds = |x: i16, stands: Stands| match stands {
        Stands::Above(limit) => x > limit,
        Stands::AtMost(limit) => x <= limit,
        Stands::Below(limit) => x < limit,
        Stands::AtLeast(limit) => x >= limit,
        Stands::Nothing | Stands::Something => {
            let seen = if range { x != NOTHING } else { x > 0 };
            seen == (stands == Stands::Something)
        }
    };
    match fact {
        Fact::Reads {
            sensor,
            reading,
            stands,
        } => {
            let k = ports.inputs.iter().position(|p| p.name == *sensor);
            assert_eq!(readings[k.expect("it is a sensor")], *reading);
            assert!(holds(*reading, *stands), "{fact:?}");
        }
        Fact::Timer { ms, stands, .. } => assert!(holds(*ms, *stands), "{fact:?}"),
        Fact::Compared {
            written,
            left,
            right,
            holds,
        } => {
            let sign = |c: char| written.contains(c);
            let compares = (sign('<') && left < right)
                || (sign('>') && left > right)
                || (sign('=') && left == right);
            assert_eq!(compares, *holds, "{fact:?}");
        }
        Fact::Dice { of_thousand, holds } => {
            assert!(!holds || *of_thousand > 0);
        }
        Fact::Lasted { because, .. } => because.iter().for_each(|f| agrees(f, ports, readings)),
    }
}

fn because(decided: &Decided) -> Option<&[Fact]> {
    match decided {
        Decided::Side { because, .. }
        | Decided::Reflex { because, .. }
        | Decided::Way { because, .. }
        | Decided::Until { because, .. } => Some(because),
        _ => None,
    }
}

/// Runs a program for `ticks` through the interpreter and through the explainer, and holds what is told
/// against what is done. How many decisions there were.
fn held_against(text: &str, ports: &Ports, seed: u64, ticks: u64) -> usize {
    let tactic = parsed(text);
    let explainer = Explainer::new(&tactic, ports).unwrap_or_else(|e| panic!("{e:#?}"));
    let program = tactic::compile(&tactic, ports).unwrap_or_else(|e| panic!("{e:#?}"));
    let luck = Stream::root(seed);
    let opening = usize::try_from(seed).unwrap_or(0) % program.openings().len();
    let mut plain = program.start(opening, 77);
    let mut memory = plain.clone();
    let begin = usize::from(program.openings()[opening].begin);
    let mut told = Told {
        state: program.states[begin].name.clone(),
        reflex: None,
    };
    let mut readings: Vec<i16> = vec![0; ports.inputs.len()];
    let mut now = 65_300_u16;
    let mut decisions = 0;
    for at in 0..ticks {
        for (k, port) in ports.inputs.iter().enumerate() {
            let luck = luck.named(&port.name);
            // A reading stays for a while, so that something can last.
            if (luck.named("new").numbered(at).key()).is_multiple_of(12) {
                readings[k] = reading(port.kind, luck, at);
            }
        }
        let drive = program.tick(&mut plain, &readings, now);
        let explained = explainer.tick(&mut memory, &readings, now);
        assert_eq!(explained.drive, drive);
        assert_eq!(memory, plain);
        let (state, step, reflex) = plain.stands();
        assert_eq!(explained.state, program.states[usize::from(state)].name);
        let reflex = reflex.map(|r| program.reflexes[usize::from(r)].name.clone());
        assert_eq!(explained.reflex, reflex);
        if let Some((number, _)) = explained.step {
            assert_eq!(number, usize::from(step) + 1);
        }
        let orders: Vec<i16> = explained.gadgets.iter().map(|g| g.1).collect();
        assert_eq!(orders, plain.gadgets()[..orders.len()]);
        explained.decided.iter().for_each(|d| told.hear(d));
        let stands = Told {
            state: explained.state.clone(),
            reflex: explained.reflex.clone(),
        };
        assert_eq!(told, stands, "{:#?}", explained.decided);
        for d in &explained.decided {
            let facts = because(d);
            assert!(facts.is_none_or(|f| !f.is_empty()), "{d:?}");
            let facts = facts.unwrap_or_default();
            facts.iter().for_each(|f| agrees(f, ports, &readings));
        }
        decisions += explained.decided.len();
        now = now.wrapping_add(10);
    }
    decisions
}

#[test]
fn what_is_told_is_what_shipped_tactics_do_on_any_readings() {
    let shipped = shelf::files("robots/tactics");
    assert!(shipped.len() > 10);
    for (file, text) in shipped {
        for seed in 0..6 {
            let decisions = held_against(&text, &shipped_ports(), seed, 1000);
            assert!(decisions > 50, "{file}: {decisions}");
        }
    }
}

#[test]
fn what_is_told_is_what_every_part_of_the_language_does() {
    for seed in 0..40 {
        assert!(held_against(ALL, &ports(), seed, 600) > 50);
    }
}

/// What is told of one tick with these readings.
fn explained(text: &str, readings: &[(&str, i16)], ticks: u16) -> Explained {
    let (tactic, ports) = (parsed(text), ports());
    let explainer = Explainer::new(&tactic, &ports).unwrap_or_else(|e| panic!("{e:#?}"));
    let mut memory = explainer.program().start(0, 1);
    let of = |name: &str| {
        readings
            .iter()
            .find(|r| r.0 == name)
            .map_or(NOTHING, |r| r.1)
    };
    let readings: Vec<i16> = ports.inputs.iter().map(|p| of(&p.name)).collect();
    for k in 1..ticks {
        explainer.tick(&mut memory, &readings, 10 * k);
    }
    explainer.tick(&mut memory, &readings, 10 * ticks)
}

fn reads(sensor: &str, reading: i16, stands: Stands) -> Fact {
    Fact::Reads {
        sensor: sensor.to_owned(),
        reading,
        stands,
    }
}

#[test]
fn only_the_part_that_decided_is_told() {
    let text = "reflex edge when edge-front-left on border or edge-front-right on border {\n \
                drive -50 % -50 % for 100 ms\n}\nstate a {\n wait\n}\n";
    let edges = [("edge-front-left", 812), ("edge-front-right", 90)];
    let Some(Decided::Reflex { when, because, .. }) =
        explained(text, &edges, 1).decided.into_iter().next()
    else {
        panic!("no reflex")
    };
    assert_eq!(
        when,
        "edge-front-left on border or edge-front-right on border"
    );
    assert_eq!(because, [reads("edge-front-left", 812, Stands::Above(500))]);
}

#[test]
fn what_was_not_and_how_long_is_told() {
    let text = "state a {\n go b when not (centre sees within 5 cm or left sees) for 30 ms\n wait\n}\n\
                state b {\n wait\n}\n";
    let seen = [("centre", 80)];
    let because = |ticks| match explained(text, &seen, ticks).decided.into_iter().next() {
        Some(Decided::Way { because, .. }) => Some(because),
        _ => None,
    };
    assert_eq!(because(3), None);
    let lasted = Fact::Lasted {
        written: "not (centre sees within 5 cm or left sees) for 30 ms".to_owned(),
        ms: 30,
        needed_ms: 30,
        because: vec![
            reads("centre", 80, Stands::Above(50)),
            reads("left", NOTHING, Stands::Nothing),
        ],
    };
    assert_eq!(because(4), Some(vec![lasted]));
}

#[test]
fn the_dice_told_are_the_dice_that_fell() {
    let text = "state a {\n go b when chance 10 % or chance 10 %\n wait\n}\nstate b {\n wait\n}\n";
    let (tactic, ports) = (parsed(text), ports());
    let explainer = Explainer::new(&tactic, &ports).unwrap_or_else(|e| panic!("{e:#?}"));
    let mut left = 0;
    for noise in 1..400 {
        let mut memory = explainer.program().start(0, noise);
        for d in explainer.tick(&mut memory, &[], 0).decided {
            let dice = because(&d).unwrap_or_default();
            let fell = |f: &Fact| {
                matches!(
                    f,
                    Fact::Dice {
                        holds: true,
                        of_thousand: 100
                    }
                )
            };
            assert!(!dice.is_empty() && dice.iter().all(fell), "{dice:?}");
            left += 1;
        }
    }
    assert!(
        (30..150).contains(&left),
        "{left} of 400 where 76 are to be expected"
    );
}
