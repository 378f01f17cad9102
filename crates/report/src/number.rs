//! Numbers as people read them, and as JSON carries them.

use std::io;

use serde::Serialize;
use serde_json::ser::{Formatter, PrettyFormatter};
use study::Estimate;

/// Significant digits of every number in JSON.
const DIGITS: usize = 6;

/// `x` rounded to six significant digits; minus nothing is nothing.
#[must_use]
pub fn six_digits(x: f64) -> f64 {
    if x == 0.0 || !x.is_finite() {
        return if x.is_finite() { 0.0 } else { x };
    }
    let text = format!("{x:.*e}", DIGITS - 1);
    text.parse().unwrap_or(x)
}

/// `value` as indented JSON: fields in their own order, floats rounded to six significant digits,
/// a final line break. The same value gives the same bytes on every machine.
///
/// # Panics
/// Never: only plain structs of ours are written, into memory.
#[must_use]
pub fn json<T: Serialize>(value: &T) -> String {
    let mut bytes = Vec::new();
    let mut writer = serde_json::Serializer::with_formatter(&mut bytes, Rounded::default());
    let written = value.serialize(&mut writer);
    debug_assert!(written.is_ok(), "{written:?}");
    let mut text = String::from_utf8(bytes).unwrap_or_default();
    text.push('\n');
    text
}

/// The indented format with rounded floats.
#[derive(Default)]
struct Rounded<'a>(PrettyFormatter<'a>);

macro_rules! as_pretty {
    ($($name:ident($($arg:ident: $kind:ty),*);)*) => {
        $(fn $name<W: ?Sized + io::Write>(&mut self, w: &mut W, $($arg: $kind),*) -> io::Result<()> {
            self.0.$name(w, $($arg),*)
        })*
    };
}

impl Formatter for Rounded<'_> {
    fn write_f64<W: ?Sized + io::Write>(&mut self, w: &mut W, x: f64) -> io::Result<()> {
        self.0.write_f64(w, six_digits(x))
    }

    /// JSON asks to escape control characters below U+0020 only; the others drive terminals too.
    fn write_string_fragment<W: ?Sized + io::Write>(
        &mut self,
        w: &mut W,
        fragment: &str,
    ) -> io::Result<()> {
        for c in fragment.chars() {
            if c.is_control() {
                write!(w, "\\u{:04x}", u32::from(c))?;
            } else {
                write!(w, "{c}")?;
            }
        }
        Ok(())
    }

    as_pretty! {
        begin_array();
        end_array();
        begin_array_value(first: bool);
        end_array_value();
        begin_object();
        end_object();
        begin_object_key(first: bool);
        begin_object_value();
        end_object_value();
    }
}

/// A share in whole percent, such as `43 %`; small ones keep a digit.
pub(crate) fn percent(share: f64) -> String {
    let p = 100.0 * share;
    if p > 0.0 && p < 1.0 {
        format!("{p:.1} %")
    } else {
        format!("{p:.0} %")
    }
}

/// A share with its interval, such as `43 % (38 to 48 %)`.
pub(crate) fn share_with_interval(e: Estimate) -> String {
    let whole = |x: f64| format!("{:.0}", 100.0 * x);
    format!(
        "{} ({} to {} %)",
        percent(e.estimate),
        whole(e.low),
        whole(e.high)
    )
}

/// A change of a share in points of a hundred, always with its sign, such as `+12`.
pub(crate) fn signed_points(x: f64) -> String {
    let p = (100.0 * x).round();
    if p == 0.0 {
        "0".to_owned()
    } else if p > 0.0 {
        format!("+{p:.0}")
    } else {
        format!("−{:.0}", -p)
    }
}

/// A change of a share with its interval, such as `+12 (+5 to +19)`.
pub(crate) fn points_with_interval(e: Estimate) -> String {
    format!(
        "{} ({} to {})",
        signed_points(e.estimate),
        signed_points(e.low),
        signed_points(e.high)
    )
}

/// `3 bouts`, `1 bout`.
pub(crate) fn count(n: impl Into<u64>, one: &str, many: &str) -> String {
    let n = n.into();
    format!("{n} {}", if n == 1 { one } else { many })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn floats_are_rounded_to_six_significant_digits() {
        for (x, rounded) in [
            (1.0 / 3.0, 0.333_333),
            (-1_234_567.8, -1_234_570.0),
            (2.0e-9 / 3.0, 6.666_67e-10),
            (0.1 + 0.2, 0.3),
            (-0.0, 0.0),
        ] {
            assert_eq!(six_digits(x).to_bits(), f64::to_bits(rounded), "{x}");
        }
        assert_eq!(json(&[0.1 + 0.2, 1e300]), "[\n  0.3,\n  1e+300\n]\n");
    }

    #[test]
    fn what_is_no_number_is_null() {
        assert_eq!(json(&f64::NAN), "null\n");
    }

    #[test]
    fn no_control_character_is_written_raw() {
        let name = "Ne\u{7f}w\u{9b}t \u{e9}\n";
        let text = json(&name);
        assert_eq!(text, "\"Ne\\u007fw\\u009bt \u{e9}\\n\"\n");
        let back: String = serde_json::from_str(&text).expect("it is JSON");
        assert_eq!(back, name);
    }

    #[test]
    fn shares_and_changes_read_naturally() {
        let e = |estimate, low, high| Estimate {
            estimate,
            low,
            high,
        };
        assert_eq!(
            share_with_interval(e(0.431, 0.38, 0.482)),
            "43 % (38 to 48 %)"
        );
        assert_eq!(
            points_with_interval(e(0.12, -0.02, 0.19)),
            "+12 (−2 to +19)"
        );
        assert_eq!(points_with_interval(e(0.001, -0.002, 0.0)), "0 (0 to 0)");
        assert_eq!(percent(0.004), "0.4 %");
        assert_eq!(count(1_u32, "bout", "bouts"), "1 bout");
    }
}
