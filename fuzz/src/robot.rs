//! A robot that has what any of the shipped and invented tactics asks for.

use tactic::{GadgetPort, Port, PortKind, Ports};

use crate::invent;

/// Sensors of the robots that come with the program, besides the invented ones.
const SHIPPED: [(&str, PortKind); 9] = [
    ("left", PortKind::Range),
    ("right", PortKind::Range),
    ("flank-left", PortKind::Range),
    ("flank-right", PortKind::Range),
    ("edge-front-left", PortKind::Reflectance),
    ("edge-front-right", PortKind::Reflectance),
    ("edge-back-left", PortKind::Reflectance),
    ("edge-back-right", PortKind::Reflectance),
    ("front", PortKind::Contact),
];

/// Every kind of sensor and three gadgets.
#[must_use]
pub fn ports() -> Ports {
    let mut ports = invent::ports();
    ports.inputs.extend(SHIPPED.map(|(name, kind)| Port {
        name: name.into(),
        kind,
    }));
    ports.gadgets.push(GadgetPort {
        name: "jack".into(),
        ends: ["up", "down"].map(String::from),
    });
    ports
}
