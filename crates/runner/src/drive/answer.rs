//! What a process answers to a look.

use bout::Orders;
use robot::reader::nearest;
use serde_json::{Map, Value};
use tactic::{GADGETS, OFF, Ports};

/// Keys of an answer.
const KEYS: [&str; 3] = ["left", "right", "gadgets"];
/// What stands for an effort.
const EFFORT: &str = "a whole number from -1000 to 1000";
/// What stands for the place of a gadget.
const WAY: &str = "a whole number from 0 to 1000, or null for power off";

/// The orders in `line`; gadgets that it does not name stay where they were sent `before`.
///
/// # Errors
/// Everything wrong with the line.
pub(super) fn orders(
    line: &[u8],
    ports: &Ports,
    before: [i16; GADGETS],
) -> Result<Orders, Vec<String>> {
    let object = object(line)?;
    let mut wrong = Vec::new();
    let mut orders = Orders {
        effort: [0; 2],
        gadgets: before,
    };
    for (key, effort) in ["left", "right"].iter().zip(&mut orders.effort) {
        match object.get(*key) {
            Some(value) => match whole(value, -1000, 1000) {
                Some(number) => *effort = number,
                None => wrong.push(format!("\"{key}\" is {value}, not {EFFORT}")),
            },
            None => wrong.push(format!("\"{key}\" is missing: {EFFORT}")),
        }
    }
    match object.get("gadgets") {
        Some(Value::Object(named)) => gadgets(named, ports, &mut orders.gadgets, &mut wrong),
        Some(other) => wrong.push(format!(
            "\"gadgets\" is {other}, not an object such as {{\"lifter\":1000}}"
        )),
        None => {}
    }
    unknown(&object, &KEYS, "key", &mut wrong);
    if wrong.is_empty() {
        Ok(orders)
    } else {
        Err(wrong)
    }
}

/// That `line` says the process is ready.
///
/// # Errors
/// What it says instead.
pub(super) fn ready(line: &[u8]) -> Result<(), Vec<String>> {
    let object = object(line)?;
    if object.len() == 1 && object.get("ready") == Some(&Value::Bool(true)) {
        Ok(())
    } else {
        Err(vec![
            "the answer to the first line is {\"ready\":true}".into(),
        ])
    }
}

fn object(line: &[u8]) -> Result<Map<String, Value>, Vec<String>> {
    match serde_json::from_slice(line) {
        Ok(Value::Object(object)) => Ok(object),
        Ok(_) => Err(vec!["it is no JSON object, which begins with {".into()]),
        Err(e) => Err(vec![format!("it is no JSON: {e}")]),
    }
}

/// Orders to gadgets, by name.
fn gadgets(
    named: &Map<String, Value>,
    ports: &Ports,
    ways: &mut [i16; GADGETS],
    wrong: &mut Vec<String>,
) {
    let names: Vec<&str> = ports.gadgets.iter().map(|g| g.name.as_str()).collect();
    for (name, way) in names.iter().zip(ways) {
        match named.get(*name) {
            Some(Value::Null) => *way = OFF,
            Some(value) => match whole(value, 0, 1000) {
                Some(number) => *way = number,
                None => wrong.push(format!("gadget \"{name}\" is {value}, not {WAY}")),
            },
            None => {}
        }
    }
    unknown(named, &names, "gadget", wrong);
}

fn whole(value: &Value, least: i16, most: i16) -> Option<i16> {
    let number = i16::try_from(value.as_i64()?).ok()?;
    (least..=most).contains(&number).then_some(number)
}

fn unknown(object: &Map<String, Value>, known: &[&str], what: &str, wrong: &mut Vec<String>) {
    for key in object.keys().filter(|k| !known.contains(&k.as_str())) {
        let meant = nearest(key, known.iter().copied());
        let meant = meant.map_or_else(String::new, |m| format!("; was \"{m}\" meant?"));
        let there = if known.is_empty() {
            "there is none".to_owned()
        } else {
            format!("there is {}", known.join(", "))
        };
        wrong.push(format!("there is no {what} \"{key}\": {there}{meant}"));
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use tactic::GadgetPort;

    fn ports() -> Ports {
        let gadget = |name: &str| GadgetPort {
            name: name.into(),
            ends: ["in", "out"].map(String::from),
        };
        Ports {
            inputs: Vec::new(),
            gadgets: vec![gadget("lifter"), gadget("flap")],
            rolling: None,
        }
    }

    fn read(line: &str) -> Result<Orders, Vec<String>> {
        orders(line.as_bytes(), &ports(), [7, 8, 9, 10])
    }

    #[test]
    fn efforts_and_gadgets_are_taken_and_what_is_not_named_stays() {
        let found = read(r#"{"left":-1000,"right":12}"#).unwrap();
        assert_eq!((found.effort, found.gadgets), ([-1000, 12], [7, 8, 9, 10]));
        let found =
            read(r#" {"gadgets":{"flap":1000,"lifter":null},"right":0,"left":0} "#).unwrap();
        assert_eq!(found.gadgets, [OFF, 1000, 9, 10]);
    }

    #[test]
    fn everything_wrong_is_told_at_once() {
        let wrong = read(r#"{"left":1001,"rihgt":0,"gadgets":{"lift":0,"flap":-1}}"#).unwrap_err();
        assert_eq!(
            wrong,
            [
                "\"left\" is 1001, not a whole number from -1000 to 1000",
                "\"right\" is missing: a whole number from -1000 to 1000",
                "gadget \"flap\" is -1, not a whole number from 0 to 1000, or null for power off",
                "there is no gadget \"lift\": there is lifter, flap; was \"lifter\" meant?",
                "there is no key \"rihgt\": there is left, right, gadgets; was \"right\" meant?",
            ]
        );
    }

    #[test]
    fn only_whole_numbers_in_range_are_efforts() {
        for bad in [
            "1.5",
            "5.0",
            "\"5\"",
            "null",
            "true",
            "[5]",
            "99999999999",
            "1e2",
        ] {
            let line = format!(r#"{{"left":{bad},"right":0}}"#);
            assert_eq!(read(&line).unwrap_err().len(), 1, "{line}");
        }
        for bad in [
            "",
            "hello",
            "[1,2]",
            "{\"left\":1",
            "{\"left\":1,\"right\":1} x",
            "7",
        ] {
            assert_eq!(read(bad).unwrap_err().len(), 1, "{bad}");
        }
        let deep = "[".repeat(60_000);
        assert_eq!(read(&deep).unwrap_err().len(), 1);
        assert!(orders(b"{\"left\":\xff}", &ports(), [0; GADGETS]).is_err());
    }

    #[test]
    fn ready_is_said_in_one_way() {
        assert_eq!(ready(br#"{ "ready" : true }"#), Ok(()));
        for bad in [
            r#"{"ready":false}"#,
            r#"{"ready":true,"left":0}"#,
            "ready",
            "{}",
        ] {
            assert!(ready(bad.as_bytes()).is_err(), "{bad}");
        }
    }
}
