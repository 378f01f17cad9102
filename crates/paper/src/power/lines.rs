//! Every line between the controller and the rest: what it must be able to do and what the file says of
//! it.

use robot::{
    Can, Control, DriverLines, ExtraKind, Interface, Lead, PinWord, Place, Robot, SensorKind,
};

/// Which way a line tells.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Way {
    /// From the controller.
    Out,
    /// To the controller.
    In,
    /// Both: a bus.
    Both,
}

/// What a line is for, as far as it matters to its pin.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Role {
    /// It makes a motor turn.
    Motor,
    /// Anything else that is driven.
    Driven,
    /// Something that is read.
    Read,
    /// A bus that several share.
    Bus,
}

/// One line.
#[derive(Debug, Clone, PartialEq)]
pub struct Line {
    /// What it belongs to: a name in the file, or `driver`.
    pub item: String,
    /// What it is, such as `pulses, left`.
    pub signal: &'static str,
    /// What its pin must be able to do.
    pub needs: Vec<Can>,
    /// What would help.
    pub likes: Option<Can>,
    /// Which way it tells.
    pub way: Way,
    /// What it is for.
    pub role: Role,
    /// Highest voltage it puts on the pin, V; none: that of the board's logic.
    pub signal_v: Option<f64>,
    /// Whether the robot file itself says that voltage.
    pub signal_stated: bool,
    /// The pin the file names.
    pub said: Option<PinWord>,
    /// Where it stands in the file.
    pub place: Place,
}

/// Lines of one thing, with what they share.
struct Of<'a> {
    item: &'a str,
    place: &'a Place,
}

impl Of<'_> {
    fn line(
        &self,
        signal: &'static str,
        role: Role,
        needs: &[Can],
        said: Option<&PinWord>,
    ) -> Line {
        Line {
            item: self.item.to_owned(),
            signal,
            needs: needs.to_vec(),
            likes: None,
            way: match role {
                Role::Motor | Role::Driven => Way::Out,
                Role::Read => Way::In,
                Role::Bus => Way::Both,
            },
            role,
            signal_v: None,
            signal_stated: false,
            said: said.cloned(),
            place: said.map_or_else(|| self.place.clone(), |s| s.place.clone()),
        }
    }
}

/// All lines of `robot`: driver, gadgets, sensors, extras, each in the order of the file.
#[must_use]
pub(super) fn lines(robot: &Robot) -> Vec<Line> {
    let w = &robot.wiring;
    let mut all = driver(&w.driver, &robot.driver.item.place);
    for g in robot.gadgets.iter().filter(|g| g.drive.is_some()) {
        let of = Of {
            item: &g.item.name,
            place: &g.item.place,
        };
        let said = w.lead(&g.item.name).and_then(|l| l.pins.first());
        let line = of.line("pulses", Role::Driven, &[Can::Out], said);
        all.push(Line {
            likes: Some(Can::Pwm),
            ..line
        });
    }
    let mut eyes_on_bus = 0;
    for s in &robot.sensors {
        let of = Of {
            item: &s.item.name,
            place: &s.item.place,
        };
        let usual = Lead {
            item: s.item.name.clone(),
            interface: Interface::usual(&s.kind),
            pins: Vec::new(),
            enable: None,
            supply_v: None,
            signal_v: None,
            signal_stated: false,
        };
        let lead = w.lead(&s.item.name).unwrap_or(&usual);
        // Time-of-flight chips of one kind all have one address: all but one must be woken apart.
        let eye = matches!(s.kind, SensorKind::TimeOfFlight { .. });
        let one_of_several = eye && lead.interface == Interface::I2c && {
            eyes_on_bus += 1;
            eyes_on_bus > 1
        };
        sensor(&of, lead, one_of_several, &mut all);
    }
    for e in &w.extras {
        let of = Of {
            item: &e.name,
            place: &e.place,
        };
        let said = e.pin.as_ref();
        let line = if e.kind.is_driven() {
            of.line("on and off", Role::Driven, &[Can::Out], said)
        } else {
            let need = match e.kind {
                ExtraKind::Divider => Can::Adc,
                _ => Can::In,
            };
            let line = of.line("signal", Role::Read, &[need], said);
            let to_ground = matches!(e.kind, ExtraKind::Button | ExtraKind::Switch);
            Line {
                likes: to_ground.then_some(Can::PullUp),
                signal_v: e.signal_v,
                signal_stated: e.signal_v.is_some(),
                ..line
            }
        };
        all.push(line);
    }
    all
}

fn driver(d: &DriverLines, place: &Place) -> Vec<Line> {
    let of = Of {
        item: "driver",
        place,
    };
    let pulses = &[Can::Out, Can::Pwm][..];
    let level = &[Can::Out][..];
    let signals: [&[(&'static str, &[Can])]; 2] = match d.control {
        Control::PwmDirection => [
            &[("pulses, left", pulses), ("direction, left", level)],
            &[("pulses, right", pulses), ("direction, right", level)],
        ],
        Control::PwmTwoLines => [
            &[
                ("pulses, left", pulses),
                ("forward, left", level),
                ("backward, left", level),
            ],
            &[
                ("pulses, right", pulses),
                ("forward, right", level),
                ("backward, right", level),
            ],
        ],
        Control::TwoPwm => [
            &[
                ("forward pulses, left", pulses),
                ("backward pulses, left", pulses),
            ],
            &[
                ("forward pulses, right", pulses),
                ("backward pulses, right", pulses),
            ],
        ],
    };
    let mut all = Vec::new();
    for (signals, said) in signals.iter().zip([&d.left, &d.right]) {
        for (k, (signal, needs)) in signals.iter().enumerate() {
            all.push(of.line(signal, Role::Motor, needs, said.get(k)));
        }
    }
    if d.has_enable {
        all.push(of.line("enable", Role::Motor, level, d.enable.as_ref()));
    }
    all
}

fn sensor(of: &Of<'_>, lead: &Lead, one_of_several: bool, all: &mut Vec<Line>) {
    let said = |k: usize| lead.pins.get(k);
    let read = |signal, needs: &[Can], likes, said| Line {
        likes,
        signal_v: lead.signal_v.or(lead.supply_v),
        signal_stated: lead.signal_stated,
        ..of.line(signal, Role::Read, needs, said)
    };
    match lead.interface {
        Interface::Analogue | Interface::Pulse => {
            all.push(read("signal", &[Can::Adc], None, said(0)));
        }
        Interface::Digital => all.push(read("signal", &[Can::In], Some(Can::PullUp), said(0))),
        Interface::TwoLines => {
            all.push(read("line A", &[Can::In], Some(Can::Interrupt), said(0)));
            all.push(read("line B", &[Can::In], Some(Can::Interrupt), said(1)));
        }
        Interface::TriggerEcho => {
            all.push(of.line("trigger", Role::Driven, &[Can::Out], said(0)));
            all.push(read("echo", &[Can::In], Some(Can::Interrupt), said(1)));
        }
        Interface::I2c => {
            all.push(of.line("data (SDA)", Role::Bus, &[Can::Sda], said(0)));
            all.push(of.line("clock (SCL)", Role::Bus, &[Can::Scl], said(1)));
            if one_of_several || lead.enable.is_some() {
                all.push(of.line("wake", Role::Driven, &[Can::Out], lead.enable.as_ref()));
            }
        }
    }
}
