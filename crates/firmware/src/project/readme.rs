//! The project's README: what to wire, how to be safe, how to load it, how to try it, how big it is.

use core::fmt::Write as _;

use super::chip::Kind;
use super::config::Figures;
use super::lines::Lines;
use super::{Connection, Project, Source};

/// A cell of a table.
fn cell(text: &str) -> String {
    let plain: String = text.chars().filter(|c| !c.is_control()).collect();
    plain.replace('|', "\\|")
}

fn row(text: &mut String, c: &Connection) {
    let said = if c.stated { "robot file" } else { "proposal" };
    let mind = c.mind.as_deref().unwrap_or("");
    let cells = [c.item.as_str(), &c.signal, &c.pin, &c.port, said, mind];
    let cells: Vec<String> = cells.iter().map(|t| cell(t)).collect();
    let _ = writeln!(text, "| {} |", cells.join(" | "));
}

/// A number of things, in the plural where it is one.
fn several(n: usize, what: &str) -> String {
    let tail = match n {
        1 => "",
        _ if what.ends_with('x') => "es",
        _ => "s",
    };
    format!("{n} {what}{tail}")
}

/// The text.
pub(super) fn text(source: &Source<'_>, lines: &Lines, f: &Figures, project: &Project) -> String {
    let sheet = &lines.sheet;
    let name = cell(&source.robot.name);
    let mut t = format!(
        "# {name} on {}\n\nThe whole program of the robot for {}, in {}: the same decisions as in the simulated \
         bouts, bit for bit. Class: {}.\n",
        sheet.name,
        cell(&sheet.title),
        project.kind.language(),
        cell(&source.class.title),
    );
    t.push_str(
        "\n## Before anything else\n\n\
         - **Wheels up.** Put the robot on a block whenever it is connected: it may drive off without warning.\n\
         - **Power last.** Wire everything, look over it twice, then plug in the pack; pull its plug before you \
         change anything. A lithium pack gives hundreds of amperes into a short: fuse its lead close to the pack.\n\
         - **Eye protection on; fingers, hair and cables away** from wheels, blade and gadgets.\n\
         - The papers of the board, the driver and the pack come first, then the rules of the event. When you \
         are young, a responsible adult looks on.\n\
         - Do not feed the board from the USB cable and from the pack at once unless its papers allow it.\n",
    );
    t.push_str(
        "\n## Wiring\n\n| what | line | pin | port | from | mind |\n|---|---|---|---|---|---|\n",
    );
    for c in &project.wiring {
        row(&mut t, c);
    }
    if lines.battery {
        let _ = writeln!(
            t,
            "\nThe battery divider: {} kΩ from the pack to the pin, 10 kΩ from the pin to ground; the pin sees \
             {:.2} V of {:.1} V.",
            10 * (f.parts - 1),
            f.full_v / f64::from(f.parts),
            f.full_v,
        );
    }
    match f.wait_ms {
        None => t.push_str(
            "\nThe start module's line needs 10 kΩ to ground on its pin: without the module plugged in the line \
             must be low, or the robot takes it for a start.\n",
        ),
        Some(_) => t.push_str("\nThe start button goes from its pin to ground.\n"),
    }
    if lines.switches > 0 {
        t.push_str("\n## Openings\n\nSwitches to ground, on counts; switch 1 counts 1, switch 2 counts 2, the next 4.\n\n| opening | switches that are on |\n|---|---|\n");
        for o in source.program.openings() {
            let on: Vec<String> = (0..lines.switches)
                .filter(|k| o.switch >> k & 1 == 1)
                .map(|k| (k + 1).to_string())
                .collect();
            let on = if on.is_empty() {
                "none".into()
            } else {
                on.join(", ")
            };
            let _ = writeln!(t, "| {} | {on} |", cell(&o.name));
        }
    }
    load(&mut t, project.kind, f, sheet);
    bench(&mut t, f);
    bout(&mut t, lines, f);
    size(&mut t, source, project, f, sheet);
    if !project.remarks.is_empty() {
        t.push_str("\n## To know\n\n");
        for r in &project.remarks {
            let _ = writeln!(t, "- {}", cell(r));
        }
    }
    t
}

fn load(t: &mut String, kind: Kind, f: &Figures, sheet: &robot::BoardSheet) {
    t.push_str("\n## Load it\n\n");
    match kind {
        Kind::Avr => t.push_str(
            "    make\n    make load PORT=/dev/ttyUSB0\n\n`make` needs avr-gcc, avr-libc and GNU make, `make load` \
             avrdude; another programmer than the boot loader: change LOAD in the Makefile. An old boot loader \
             may hang after the watchdog has bitten: the motors are off then too, switch it off and on.\n",
        ),
        Kind::Stm32f103 => t.push_str(
            "    make\n    make load\n\n`make` needs arm-none-eabi-gcc and GNU make, `make load` a tool for your \
             debug adapter: change LOAD in the Makefile.\n",
        ),
        Kind::Nrf52833 => t.push_str(
            "    make\n    make load PORT=/media/you/BOARD\n\n`make` needs arm-none-eabi-gcc and GNU make. The board \
             shows up as a drive: copying robot.hex on it loads it.\n",
        ),
        Kind::MicroPython => {
            let _ = writeln!(
                t,
                "Put MicroPython on the board as its makers say, then copy all `.py` files on it, main.py last; it \
                 runs by itself from the next switching on. Ctrl-C on the serial line stops it with the motors \
                 off. Its garbage collector may delay a look by some milliseconds; late looks are counted. Board \
                 logic: {:.1} V.",
                sheet.logic_v
            );
        }
    }
    let rate = match kind {
        Kind::MicroPython => "Talk to it over the cable that loads it.".to_owned(),
        _ => format!(
            "Talk to it over the serial line at {} bits a second, 8 bits, no parity, one stop bit.",
            f.baud
        ),
    };
    let _ = writeln!(t, "\n{rate}");
}

fn bench(t: &mut String, f: &Figures) {
    t.push_str(
        "\n## Try it on the bench\n\nOn the serial line, while it waits for the start (any other key ends what runs):\n\n\
         | key | what it does |\n|---|---|\n\
         | `h` | help, and the battery's voltage |\n\
         | `s` | what every sensor reads, as the program gets it |\n\
         | `b` | border aid: move each border sensor over black and over white; it says both and the margin |\n\
         | `t` | wheels-up test: asks first, then each motor forward and backward, each gadget there and back, each sensor once |\n\
         | `r` | trace of the next bout on or off |\n\n",
    );
    t.push_str(
        "1. `t` with the wheels up. A side that turns the wrong way: swap its motor's two wires. Sides swapped: \
         swap their lines.\n\
         2. `b` on this ring. Write what it says for black and white into the file of what you measured; build \
         and load again. TOO SMALL: lower the sensor, shade it, or choose another `border-level`.\n\
         3. `s` with a box at two known distances; the constants beside each distance sensor say how they come of \
         the readings.\n\
         4. Time ten starts with a stopwatch.\n",
    );
    if f.low_v > 0.0 {
        let _ = writeln!(
            t,
            "\nThe lamp blinks slowly when it is ready, quickly when the pack is below {:.1} V, and is on while it \
             waits to move.",
            f.low_v
        );
    }
}

fn bout(t: &mut String, lines: &Lines, f: &Figures) {
    t.push_str("\n## In a bout\n\n");
    match f.wait_ms {
        Some(ms) => {
            let _ = writeln!(
                t,
                "Press the start button at the signal: it stands for {:.2} s from the press (the class's delay, and \
                 what this board's clock may be fast, and a look), then moves. Pressing again stops it. \
                 After any reset it stands until the button is pressed anew: a brown-out ends the bout for it.",
                f64::from(ms) / 1000.0
            );
        }
        None => t.push_str(
            "It starts when the start module's line goes high and has been high for two looks, and stops when it \
             has been low for two. After a stop it stands until it is switched off. After a brown-out or the \
             watchdog, with the line still high, it goes on.\n",
        ),
    }
    t.push_str(
        "The motors are off at every reset, whatever caused it, until then. If a look hangs, the watchdog resets \
         the chip. Have a switch in the pack's lead in reach all the same.\n",
    );
    if lines.serial {
        t.push_str(
            "\nWith the trace on, the bout comes over the serial line as a table: keep it in a file and let \
             `ringwright tactic trace` tell from it, line by line, why the robot did what it did.\n",
        );
    }
}

fn size(
    t: &mut String,
    source: &Source<'_>,
    project: &Project,
    f: &Figures,
    sheet: &robot::BoardSheet,
) {
    let _ = writeln!(
        t,
        "\n## Size and time\n\nA look every {} ms: {}, {}, {} in all.",
        f.tick_ms,
        several(source.program.states.len(), "state"),
        several(source.program.reflexes.len(), "reflex"),
        several(source.program.ops.len(), "operation"),
    );
    if let Some(size) = &project.size {
        let _ = writeln!(
            t,
            "\n| | about | of |\n|---|---|---|\n| program | {:.1} kB | {:.1} kB |\n| memory | {} bytes | {} bytes |",
            f64::from(size.flash_bytes) / 1000.0,
            f64::from(sheet.flash_bytes) / 1000.0,
            size.ram_bytes,
            sheet.ram_bytes,
        );
        if let Some(stack) = size.stack_bytes {
            let _ = writeln!(
                t,
                "| stack, at most | {stack} bytes | what is left of the memory |"
            );
        }
        if let Some(cycles) = size.look_cycles {
            let per_ms = (sheet.clock_hz / 1000.0).max(1.0);
            let _ = writeln!(
                t,
                "| the tactic in a look, at most | {cycles} cycles, {:.2} ms | {} ms |",
                f64::from(cycles) / per_ms,
                f.tick_ms
            );
        }
        t.push_str(
            "\nThese are estimates: program within a tenth, memory within some bytes; the cycles are counted, each \
             operation at the most it takes, without reading the sensors. `make size` says what it is (text and \
             data are the program, data and bss the memory).\n",
        );
    }
    t.push_str(
        "At the end of a bout it says how many looks came late and how long the longest took.\n",
    );
}
