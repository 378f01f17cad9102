//! The sheets of controller boards: ours read, bad ones are told apart, and figures printed in data
//! sheets are what they hold.

use robot::{AtReset, BoardSheet, Boards, Can, FeedKind, Strap};

fn built_in() -> Boards {
    Boards::built_in().unwrap_or_else(|e| panic!("{e:#?}"))
}

fn sheet(name: &str) -> BoardSheet {
    (*built_in()
        .find(name)
        .unwrap_or_else(|| panic!("no board {name}")))
    .clone()
}

#[test]
fn the_boards_that_come_with_the_program_read_without_a_complaint() {
    let names: Vec<String> = built_in().iter().map(|s| s.name.clone()).collect();
    let chips = [
        "atmega328p",
        "atmega32u4",
        "atmega32u4-3v3",
        "esp32",
        "nrf52833",
        "rp2040",
        "stm32f103",
    ];
    assert_eq!(names, chips);
}

#[test]
fn every_board_can_run_a_robot_of_two_motors_and_three_sensors() {
    for s in built_in().iter() {
        let free = |what: Can| {
            s.pins
                .iter()
                .filter(|p| p.reserved.is_none() && p.can(what))
                .count()
        };
        assert!(free(Can::Pwm) >= 2 && free(Can::Out) >= 4, "{}", s.name);
        assert!(free(Can::Adc) >= 3 && free(Can::Sda) >= 1, "{}", s.name);
        assert!(
            free(Can::Scl) >= 1 && free(Can::Interrupt) >= 2,
            "{}",
            s.name
        );
        assert!(!s.sources.is_empty() && !s.title.is_empty(), "{}", s.name);
    }
}

#[test]
fn voltages_of_a_board_stand_in_order() {
    for s in built_in().iter() {
        assert!(
            s.brown_out_v < s.least_v && s.least_v <= s.logic_v,
            "{}",
            s.name
        );
        assert!(
            s.high_v < s.logic_v && s.stands_v >= s.logic_v,
            "{}",
            s.name
        );
        assert!(
            s.adc_full_v <= s.stands_v && s.pin_a <= s.pins_a,
            "{}",
            s.name
        );
        for f in &s.feeds {
            assert!(f.least_v < f.most_v, "{} {}", s.name, f.name);
            if f.kind == FeedKind::Linear {
                // At its least input the regulator gives what the chip is promised to need.
                assert!(
                    f.logic_v(f.least_v, s.logic_v) >= s.least_v - 1e-9,
                    "{} {}",
                    s.name,
                    f.name
                );
            }
        }
    }
}

/// ATmega48A to 328P data sheet 8271H (08/2014), 29.2 (read there): high from 0.6 VCC between 2.4 and
/// 5.5 V; 29.1: 200 mA through the supply pins. Six pins with timers; two with external interrupts (from
/// memory).
#[test]
fn the_328p_is_as_its_data_sheet_says() {
    let s = sheet("atmega328p");
    assert!((s.high_v - 0.6 * s.logic_v).abs() < 1e-9 && (s.pins_a - 0.2).abs() < 1e-9);
    let with = |what: Can| -> Vec<&str> {
        s.pins
            .iter()
            .filter(|p| p.can(what))
            .map(|p| p.name.as_str())
            .collect()
    };
    assert_eq!(with(Can::Pwm), ["3", "5", "6", "9", "10", "11"]);
    assert_eq!(with(Can::Interrupt), ["2", "3"]);
    assert_eq!(with(Can::Sda), ["A4"]);
    assert!(
        !s.pins[s.pin("A6").expect("A6")].can(Can::In),
        "A6 only measures"
    );
}

/// ESP32 data sheet on strapping pins, as a kit's manual reprints it (easymanua.ls, 5.1.2; read there):
/// IO12 high at the start keeps it from starting; IO0 low makes it wait for a program. esp32.info (read
/// there): 34 to 39 only read and have no pull-up.
#[test]
fn the_esp32_says_which_pins_decide_how_it_starts() {
    let s = sheet("esp32");
    let pin = |name: &str| &s.pins[s.pin(name).unwrap_or_else(|| panic!("{name}"))];
    assert_eq!(pin("IO12").strap, Some(Strap::Low));
    assert_eq!(pin("IO0").strap, Some(Strap::High));
    assert_eq!(pin("GPIO15").at_reset, AtReset::Pulses);
    for name in ["IO34", "IO35", "IO36", "IO39"] {
        assert!(
            !pin(name).can(Can::Out) && !pin(name).can(Can::PullUp),
            "{name}"
        );
    }
}

/// STM32F103x8/xB data sheet, tables 5 and 6 (read there): 5.5 V at a five-volt tolerant pin, 25 mA a
/// pin and 150 mA in all. Which pins those are is from memory.
#[test]
fn most_pins_of_the_f103_stand_five_volts_but_none_that_measures() {
    let s = sheet("stm32f103");
    let five = s.pins.iter().filter(|p| s.stands_v(p) > 5.0).count();
    assert!(2 * five > s.pins.len(), "{five}");
    assert!(
        s.pins
            .iter()
            .all(|p| !p.can(Can::Adc) || s.stands_v(p) < 4.0)
    );
    assert!((s.pin_a - 0.025).abs() < 1e-9 && (s.pins_a - 0.15).abs() < 1e-9);
}

#[test]
fn a_pack_is_fed_where_the_board_stands_it_and_is_satisfied() {
    let feed =
        |board: &str, low: f64, high: f64| sheet(board).feed_for(low, high).map(|f| f.name.clone());
    assert_eq!(feed("atmega328p", 4.4, 5.2).as_deref(), Some("5V"));
    assert_eq!(feed("atmega328p", 7.0, 8.4).as_deref(), Some("VIN"));
    assert_eq!(feed("rp2040", 7.0, 8.4), None, "it would be overfed");
    assert_eq!(feed("nrf52833", 3.7, 4.2), None);
    // None is satisfied: the first that survives is told of.
    assert_eq!(feed("atmega328p", 2.0, 3.0).as_deref(), Some("5V"));
}

#[test]
fn a_regulator_gives_what_its_drop_out_leaves() {
    let s = sheet("atmega328p");
    let vin = s.feed("vin").expect("VIN");
    assert!((vin.logic_v(8.0, s.logic_v) - 5.0).abs() < 1e-12);
    assert!((vin.logic_v(5.0, s.logic_v) - 3.9).abs() < 1e-12);
    let s = sheet("rp2040");
    assert!(s.feeds[0].logic_v(1.5, s.logic_v).abs() < 1e-12);
    assert!((s.feeds[0].logic_v(2.5, s.logic_v) - 3.3).abs() < 1e-12);
}

#[test]
fn a_board_of_the_users_replaces_ours_and_may_take_our_pins() {
    let mut files = shelf::files("boards");
    let own = "like = \"rp2040\"\n".to_owned()
        + &shelf::file("boards/atmega32u4-3v3.toml")
            .expect("it is there")
            .replace("like = \"atmega32u4\"\n", "");
    files.push(("home/boards/rp2040.toml".into(), own));
    let boards = Boards::read(&files).unwrap_or_else(|e| panic!("{e:#?}"));
    assert_eq!(boards.iter().count(), 7);
    let mine = boards.find("rp2040").expect("it is there");
    assert_eq!(mine.chip, "ATmega32U4");
    assert_eq!(mine.pins, sheet("rp2040").pins);
}

#[test]
fn everything_wrong_in_a_board_file_is_told_at_once() {
    let text = r#"
title = "mine"
chip = "X"
logic = "3.3 A"
clock = "16 MHz"
clock-off = "80 %"
word-bits = 16.5
flash-bytes = 32768
ram-bytes = 2048
adc-bits = 10
adc-full = "3.3 V"
pin-current = "0 mA"
pins-current = "200 mA"
stands = "3.6 V"
high-from = "2 V"
least = "2.7 V"
brown-out = "2.6 V"
sources = ["a sheet"]
feed = [{ name = "VIN", kind = "liniar", least = "7 V", most = "5 V" }]
pin = [
    { name = "0", port = "PA0", can = ["io", "pmw"] },
    { name = "0", port = "PA1", can = ["adc"] },
    { name = "2", port = "PA2", can = ["io"], strap = "hihg", colour = "red" },
]
"#;
    let files = [("boards/mine.toml".to_owned(), text.to_owned())];
    let issues = Boards::read(&files).expect_err("it is full of slips");
    let all: Vec<String> = issues
        .iter()
        .map(|i| {
            format!(
                "{}: {} [{}]",
                i.place.line,
                i.what,
                i.suggestion.clone().unwrap_or_default()
            )
        })
        .collect();
    for part in [
        "4: ",
        "6: a clock that is so far off",
        "7: \"word-bits\" is 16.5",
        "12: \"pin-current\" is not above zero",
        "19: \"liniar\" is not a known kind [kind = \"linear\"]",
        "19: the least is above the most",
        "21: a pin cannot \"pmw\" [\"pwm\"]",
        "\"adc\" is missing",
        "two pins are called \"0\"",
        "23: \"hihg\" is not a known strap [strap = \"high\"]",
        "unknown key \"colour\"",
    ] {
        assert!(all.iter().any(|i| i.contains(part)), "{part}\n{all:#?}");
    }
}

/// What the reader would take instead of a key nobody knows: it says so itself.
fn known(text: &str) -> Vec<String> {
    let files = [("boards/mine.toml".to_owned(), text.to_owned())];
    let issues = Boards::read(&files).expect_err("an unknown key");
    let unknown = issues
        .iter()
        .find(|i| i.what.starts_with("unknown key \"qqq\""));
    let words = &unknown.unwrap_or_else(|| panic!("{issues:#?}")).expected;
    let words = words.trim_start_matches("one of ").split(", ");
    words
        .map(|w| w.trim_matches(|c| c == '[' || c == ']').to_owned())
        .collect()
}

#[test]
fn the_document_of_the_board_file_describes_every_key_the_reader_knows() {
    let document = include_str!("../../../docs/board-file.md");
    let chapter = |heading: &str| {
        let from = document
            .split(heading)
            .nth(1)
            .unwrap_or_else(|| panic!("no {heading}"));
        from.split("\n## ").next().unwrap_or_default().to_owned()
    };
    let mut seen = 0;
    for (heading, text) in [
        ("\n## The board\n", "qqq = 1\n"),
        ("\n## `feed`\n", "feed = [{ qqq = 1 }]\n"),
        ("\n## `pin`\n", "pin = [{ qqq = 1 }]\n"),
    ] {
        let own = chapter(heading);
        for key in known(text) {
            assert!(own.contains(&format!("`{key}`")), "{key} in {heading}");
            seen += 1;
        }
    }
    // 19 of the board, 6 of a feed, 13 of a pin.
    assert!(seen >= 38, "{seen}");
}
