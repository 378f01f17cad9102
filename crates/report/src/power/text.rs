//! Power and wiring as text.

use quantity::{Current, Voltage, show_si};

use super::{LithiumLine, PinLine, PowerPart, WireLine, WiringPlan};
use crate::check::Section;
use crate::text::{Ink, Layout, Sheet, Table};

pub(crate) fn amperes(a: f64) -> String {
    show_si::<Current>(a)
}

fn volts(v: f64) -> String {
    show_si::<Voltage>(v)
}

/// A line's name in short, for the picture.
pub(super) fn short(signal: &str) -> String {
    signal
        .replace("forward pulses, ", "PWM+ ")
        .replace("backward pulses, ", "PWM- ")
        .replace("pulses, ", "PWM ")
        .replace("direction, ", "dir ")
        .replace("forward, ", "fwd ")
        .replace("backward, ", "back ")
        .replace("data (SDA)", "SDA")
        .replace("clock (SCL)", "SCL")
}

impl WiringPlan {
    /// As text.
    #[must_use]
    pub fn text(&self, layout: Layout) -> String {
        let mut s = Sheet::new(layout);
        s.title(&format!("Wiring of {}", self.robot));
        s.small(&format!("{} · {}", self.file, self.battery.join(", ")));
        s.heading(PowerPart::TITLE);
        self.power.told(&mut s);
        s.heading("What to do next");
        s.paragraph("Look at it with everything else that can be said without a bout:");
        s.command(&self.command);
        s.finish()
    }
}

impl PowerPart {
    /// Pins, wires, supply, charge, cautions; the first heading is written already.
    pub(super) fn told(&self, s: &mut Sheet) {
        self.pins_part(s);
        s.heading("Wires and fuse");
        self.wires_part(s);
        s.heading("The controller's supply");
        self.supply_part(s);
        s.heading("How long a charge lasts");
        self.charge_part(s);
        if let Some(lithium) = &self.lithium {
            s.heading("The lithium pack");
            lithium_part(lithium, s);
        }
    }

    fn pins_part(&self, s: &mut Sheet) {
        let proposed = self
            .pins
            .iter()
            .filter(|p| !p.stated && p.pin.is_some())
            .count();
        let Some(board) = &self.board else {
            s.paragraph(
                "Which board it is the robot file does not say, so nothing can be said of its pins. Name it \
                 with board = \"…\" under [board]:",
            );
            s.command("ringwright boards");
            if self.pins.iter().any(|p| p.stated) {
                s.gap();
                self.table(s);
            }
            return;
        };
        if !self.board_stated {
            let part = self
                .board_from
                .as_ref()
                .map_or_else(|| "its part".to_owned(), |p| format!("the part {p}"));
            s.verdict(
                Ink::Care,
                &format!(
                    "A proposal for the board {board}, a guess from {part}: name yours with \
                     board = \"…\" under [board], and this table changes."
                ),
            );
        } else if proposed == self.pins.len() {
            s.verdict(Ink::Plain, &format!("A proposal for the board {board}."));
        } else if proposed > 0 {
            s.verdict(
                Ink::Plain,
                &format!("On the board {board}; pins in brackets are proposed."),
            );
        } else {
            s.verdict(
                Ink::Plain,
                &format!("On the board {board}, as the file says."),
            );
        }
        s.gap();
        self.table(s);
        self.notes(s);
        s.gap();
        s.aside(
            "Ground of board, driver, sensors and pack together. Pull the plug before you change a wire; \
             its wheels in the air when it is plugged in again.",
        );
        if let (Some(rule), Some(wait)) = (self.start_delay_s, self.start_wait_s) {
            s.aside(&format!(
                "Its clock may be fast: program {wait:.2} s for the {rule:.0} s before the start."
            ));
        }
    }

    fn table(&self, s: &mut Sheet) {
        let minds = self.marks();
        let note = |p: &PinLine| {
            let found = minds.iter().position(|m| p.mind.as_deref() == Some(*m));
            found.map_or(String::new(), |k| format!("({})", k + 1))
        };
        let some_stated = self.pins.iter().any(|p| p.stated);
        let mut table = Table::new(&["Pin", "Chip", "", "Line", "Of", "Mind"]);
        let on_bus = self.on_bus().join(", ");
        let mut shared: Vec<(&str, &Option<String>)> = Vec::new();
        for p in &self.pins {
            // The lines of a bus once, with all that hang on it.
            let is_bus = p.way == "both";
            let line = (p.signal.as_str(), &p.pin);
            if is_bus && shared.contains(&line) {
                continue;
            }
            if is_bus {
                shared.push(line);
            }
            let pin = match &p.pin {
                None => "none left".to_owned(),
                Some(pin) if p.stated || !some_stated => pin.clone(),
                Some(pin) => format!("({pin})"),
            };
            let way = match p.way.as_str() {
                "out" => "→",
                "in" => "←",
                _ => "↔",
            };
            table.row([
                pin,
                p.port.clone().unwrap_or_default(),
                way.to_owned(),
                p.signal.clone(),
                if is_bus {
                    on_bus.clone()
                } else {
                    p.item.clone()
                },
                note(p),
            ]);
        }
        s.table(&table);
    }

    fn notes(&self, s: &mut Sheet) {
        let minds = self.marks();
        if !minds.is_empty() {
            s.gap();
        }
        for (k, mind) in minds.iter().enumerate() {
            s.point(&format!("({})", k + 1), mind);
        }
    }

    fn wires_part(&self, s: &mut Sheet) {
        let header = [
            "Wire to", "Size", "Length", "Stalled", "Pushing", "Good for", "Loses",
        ];
        let mut table = Table::new(&header).right(&[2, 3, 4, 5, 6]);
        for w in &self.wires {
            table.row([
                w.to.clone(),
                size(w),
                format!("{:.0} mm", 1e3 * w.length_m),
                amperes(w.stalled_a),
                amperes(w.pushing_a),
                w.good_for_a.map_or_else(String::new, amperes),
                volts(w.drop_v),
            ]);
        }
        s.table(&table);
        s.gap();
        match &self.fuse {
            Some(f) => {
                let kind = if f.resettable {
                    "resettable fuse"
                } else {
                    "blade fuse"
                };
                let rating = amperes(f.rating_a);
                s.paragraph(&if f.stated {
                    format!(
                        "The {kind} of {rating} in the file belongs close to the pack; with everything \
                         stalled {} flow, into a short the pack gives {}.",
                        amperes(self.stalled_a),
                        amperes(f.short_a)
                    )
                } else {
                    format!(
                        "A {kind} of {rating} close to the pack is proposed: above the {} with everything \
                         stalled, below what its wire is good for; into a short the pack gives {}.",
                        amperes(self.stalled_a),
                        amperes(f.short_a)
                    )
                });
            }
            None => s.paragraph(
                "No usual blade fuse holds this current: ask somebody who builds robots of this size.",
            ),
        }
        s.paragraph("Signals: 26 to 28 AWG; thinner ones break at the solder joint.");
        s.aside(
            "Size in brackets: proposed. Good for: a single wire in free air inside an apparatus, by the \
             handbook's table; a bundle carries less.",
        );
    }

    fn supply_part(&self, s: &mut Sheet) {
        let fed = match (&self.fed_at, &self.board) {
            (Some(f), _) => format!(" The pack goes to the board's pin {f}."),
            (None, Some(board)) => format!(
                " No supply pin of the board {board} takes the full pack: a small switching regulator has \
                 to go between."
            ),
            (None, None) => String::new(),
        };
        let v = &self.stalled_v;
        let band = if v.high > v.low {
            format!(
                " (19 of 20 robots like it: {} to {})",
                volts(v.low),
                volts(v.high)
            )
        } else {
            String::new()
        };
        s.paragraph(&format!(
            "{} at rest; with every motor stalled at once {} are drawn and {}{band} are left.{fed}",
            volts(self.open_v),
            amperes(self.stalled_a),
            volts(v.nominal)
        ));
        if let Some(resets) = self.resets_below_v {
            s.paragraph(&format!(
                "The controller resets itself when less than about {} are left there.",
                volts(resets)
            ));
        }
        s.paragraph(&format!(
            "Board and sensors take {} all the time{}.",
            amperes(self.idle_a),
            if self.regulator_w > 0.05 {
                format!("; its regulator turns {:.1} W into heat", self.regulator_w)
            } else {
                String::new()
            }
        ));
    }

    fn charge_part(&self, s: &mut Sheet) {
        let (Some(rounds), Some(matches), Some(pushing)) =
            (self.rounds, self.matches, self.pushing_s)
        else {
            s.paragraph("Nothing is drawn: it lasts for ever.");
            return;
        };
        s.paragraph(&format!(
            "About {rounds:.0} hard rounds, or {matches:.0} matches of which every round is fought, until a \
             fifth is left: {:.0} mAh a round. Of full pushing alone, {:.0} min.",
            self.round_c / 3.6,
            pushing / 60.0
        ));
    }
}

fn size(w: &WireLine) -> String {
    if w.stated {
        w.wire.clone()
    } else {
        format!("({})", w.wire)
    }
}

/// The cautions that go with a lithium pack.
fn lithium_part(l: &LithiumLine, s: &mut Sheet) {
    let cells = if l.cells == 1 { "cell" } else { "cells" };
    let counted = if l.cells_stated {
        ""
    } else {
        ", counted from its voltage"
    };
    s.paragraph(&format!(
        "{} {cells}{counted}; {:.1} kJ when full. It can burn when pierced, shorted, overcharged or run empty:",
        l.cells,
        1e-3 * l.energy_j
    ));
    for words in [
        format!(
            "Charge to {} at up to {} (1C) or as its maker says, with a charger for lithium that balances; \
             watched, in a fire-resistant bag or on stone. Not while it is warm.",
            volts(l.full_v),
            amperes(l.charge_a)
        ),
        format!(
            "Stop at about {} under load: let an alarm or the program say so. Store at about {}.",
            volts(l.empty_v),
            volts(l.store_v)
        ),
        "Fuse the lead close to the pack; keep it where no blade reaches it; out of the robot for transport."
            .to_owned(),
        "Swollen, dented, punctured: do not use or charge it; outside on stone, and ask.".to_owned(),
    ] {
        s.point("–", &words);
    }
    s.aside(
        "The maker's papers, the event's rules, your school's and a responsible adult come first.",
    );
}
