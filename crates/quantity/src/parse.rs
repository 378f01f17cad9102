//! Reading a quantity as a builder writes it: a number, a unit, and up to two spreads.
//!
//! `43 mm`, `43mm`, `7.4 V`, `1.8 kgf.cm`, `43 +- 1 mm`, `43 mm ± 2 %`, `0.9 ~ 0.1`,
//! `0.9 +- 0.05 ~ 0.1`. `+-` (or `±`): not known well. `~`: varies from bout to bout. Both are
//! half-widths of the range one would bet 19 to 1 on. A spread in % is relative to its value, except
//! that a share in % has absolute ones: `2 % +- 1 %` is 0.02 ± 0.01. A share written half with %, half
//! without could be meant either way and is refused. Slips a beginner makes are refused with the
//! corrected text, never mended in silence.

use crate::{ALL_DIMENSIONS, Dimension, Unit};

/// A quantity read from text, in SI.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Parsed {
    /// Nominal value in SI.
    pub si: f64,
    /// Half-width in SI of what is not known well (`+-` or `±`), 0 if not written.
    pub unsure: f64,
    /// Half-width in SI of what varies (`~`), 0 if not written.
    pub varies: f64,
}

/// Why a text is not a quantity, with the corrected text where it can be guessed.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct NotAQuantity {
    /// What is wrong, as a sentence without a full stop.
    pub what: String,
    /// What was expected.
    pub expected: String,
    /// The text as it should stand, if it can be guessed.
    pub instead: Option<String>,
}

/// Numbers beyond this in SI are out of any sense for a robot or a ring, unless it takes a thousand of
/// the largest unit to get there: no modulus is above 1000 GPa.
const OUT_OF_SENSE: f64 = 1e9;

fn most<D: Dimension>() -> f64 {
    (D::UNITS.iter()).fold(OUT_OF_SENSE, |most, u| most.max(1e3 * u.scale))
}

/// Reads `text` as a quantity of dimension `D`.
///
/// # Errors
/// When it is no number, has no or an unknown unit, or the unit of another dimension.
pub fn parse<D: Dimension>(text: &str) -> Result<Parsed, NotAQuantity> {
    let tidy = tidied(text);
    if tidy.text != text.trim() {
        let instead = parse_tidy::<D>(&tidy.text)
            .is_ok()
            .then(|| tidy.text.clone());
        let what = format!("\"{text}\" has {}", tidy.slip);
        return Err(NotAQuantity {
            what,
            expected: expectation::<D>(),
            instead,
        });
    }
    parse_tidy::<D>(&tidy.text)
}

/// What is expected of `D`, with an example.
fn expectation<D: Dimension>() -> String {
    let article = if D::NAME.starts_with(['a', 'e', 'i', 'o', 'u']) {
        "an"
    } else {
        "a"
    };
    let unit = D::UNITS[0].symbol;
    if unit.is_empty() {
        return format!("{article} {} such as \"0.9\"", D::NAME);
    }
    let units: Vec<&str> = D::UNITS.iter().map(|u| u.symbol).collect();
    format!(
        "{article} {} such as \"43 {unit}\" (units: {})",
        D::NAME,
        units.join(", ")
    )
}

struct Tidy {
    text: String,
    slip: &'static str,
}

/// The text with the slips mended that have only one sensible meaning.
fn tidied(text: &str) -> Tidy {
    let mut out = text.trim().to_owned();
    let mut slip = "";
    if out.contains('\u{2212}') {
        out = out.replace('\u{2212}', "-");
        slip = "a long minus sign; a plain - is expected";
    }
    if let Some(i) = lone_plus(&out) {
        out.insert(i + 1, '-');
        slip = "a + where +- is meant";
    }
    if out.contains(['\u{201c}', '\u{201d}', '\u{2018}', '\u{2019}']) {
        out = out.replace(['\u{201c}', '\u{201d}', '\u{2018}', '\u{2019}'], "");
        slip = "curly quotes; plain ones are expected";
    }
    // A comma between digits is a decimal point; one in front of three digits could be thousands,
    // which nothing on a robot needs.
    let bytes = out.as_bytes();
    let decimal_comma = (1..bytes.len().saturating_sub(1)).find(|i| {
        bytes[*i] == b',' && bytes[i - 1].is_ascii_digit() && bytes[i + 1].is_ascii_digit()
    });
    if decimal_comma.is_some() {
        out = out.replace(',', ".");
        slip = "a decimal comma; a point is expected";
    }
    let torque_slip = [
        ("kg·cm", "kgf·cm"),
        ("kg.cm", "kgf.cm"),
        ("kg cm", "kgf cm"),
        ("kg*cm", "kgf*cm"),
        ("kgcm", "kgf.cm"),
        ("kg-cm", "kgf.cm"),
    ];
    for (wrong, right) in torque_slip {
        if out.ends_with(wrong) {
            out = out[..out.len() - wrong.len()].to_owned() + right;
            slip = "a mass times a length where a torque is meant";
            break;
        }
    }
    Tidy { text: out, slip }
}

/// Where a `+` stands between two numbers without the `-` that makes it a spread.
fn lone_plus(text: &str) -> Option<usize> {
    let bytes = text.as_bytes();
    (1..bytes.len()).find(|i| {
        let (before, after) = (text.get(..*i), text.get(i + 1..));
        let (Some(before), Some(after)) = (before, after) else {
            return false;
        };
        let exponent =
            before.ends_with(['e', 'E']) && before[..i - 1].ends_with(|c: char| c.is_ascii_digit());
        let ends_a_number = before
            .trim_end()
            .ends_with(|c: char| c.is_alphanumeric() || "%°\"²".contains(c));
        let begins_one = after
            .trim_start()
            .starts_with(|c: char| c.is_ascii_digit() || c == '.');
        bytes[*i] == b'+' && !exponent && ends_a_number && begins_one
    })
}

fn parse_tidy<D: Dimension>(text: &str) -> Result<Parsed, NotAQuantity> {
    let fail = |what: String, instead: Option<String>| NotAQuantity {
        what,
        expected: expectation::<D>(),
        instead,
    };
    if text.is_empty() {
        return Err(fail("nothing is written".into(), None));
    }
    let pieces = split_spreads(text);
    let mut numbers = Vec::with_capacity(3);
    for (_, piece) in &pieces {
        let (number, unit) = number_and_unit(piece)
            .ok_or_else(|| fail(format!("\"{piece}\" is not a number"), None))?;
        numbers.push((number, unit));
    }
    if has_percent::<D>()
        && numbers.iter().any(|n| n.1 != numbers[0].1)
        && let Some(e) = half_in_percent(text, &pieces, &numbers)
    {
        return Err(e);
    }
    // The unit may stand once at the end ("43 +- 1 mm") or with every number.
    let shared = numbers
        .iter()
        .rev()
        .map(|n| n.1)
        .find(|u| !u.is_empty() && *u != "%");
    let shared = shared.unwrap_or_else(|| numbers.last().map_or("", |n| n.1));
    let own = if numbers[0].1.is_empty() {
        shared
    } else {
        numbers[0].1
    };
    let own = if own == "%" && !has_percent::<D>() {
        numbers[0].1
    } else {
        own
    };
    let unit = find_unit::<D>(own).ok_or_else(|| wrong_unit::<D>(text, numbers[0].0, own))?;
    let si = numbers[0].0 * unit.scale + unit.offset;
    let mut parsed = Parsed {
        si,
        unsure: 0.0,
        varies: 0.0,
    };
    let mut seen = [false; 2];
    for ((kind, piece), (number, written)) in pieces.iter().zip(&numbers).skip(1) {
        let width = if *written == "%" && !has_percent::<D>() {
            (number / 100.0 * si).abs()
        } else {
            let own = if written.is_empty() { own } else { written };
            let u = find_unit::<D>(own).ok_or_else(|| wrong_unit::<D>(piece, *number, own))?;
            number * u.scale
        };
        if width < 0.0 {
            return Err(fail(format!("the spread \"{piece}\" is negative"), None));
        }
        let slot = usize::from(*kind == Spread::Varies);
        if seen[slot] {
            return Err(fail(
                format!("\"{text}\" has two spreads of one kind"),
                None,
            ));
        }
        seen[slot] = true;
        if slot == 0 {
            parsed.unsure = width;
        } else {
            parsed.varies = width;
        }
    }
    if [parsed.si, parsed.unsure, parsed.varies]
        .iter()
        .any(|n| !n.is_finite() || n.abs() > most::<D>())
    {
        return Err(fail(format!("\"{text}\" is out of any sense"), None));
    }
    if parsed.si < D::LEAST {
        return Err(fail(
            format!("\"{text}\": a {} cannot be negative", D::NAME),
            None,
        ));
    }
    Ok(parsed)
}

/// Whether a quantity itself, not only its spread, can be in %.
fn has_percent<D: Dimension>() -> bool {
    find_unit::<D>("%").is_some()
}

/// Explains a share with % after some of its numbers and nothing after others, with both ways it
/// can be meant; none if it has another unit, which is another mistake.
fn half_in_percent(
    text: &str,
    pieces: &[(Spread, &str)],
    numbers: &[(f64, &str)],
) -> Option<NotAQuantity> {
    if numbers.iter().any(|n| !n.1.is_empty() && n.1 != "%") {
        return None;
    }
    let mark = |k: usize| match pieces[k].0 {
        Spread::None => "",
        Spread::Unsure => " +- ",
        Spread::Varies => " ~ ",
    };
    let share = if numbers[0].1 == "%" {
        numbers[0].0 / 100.0
    } else {
        numbers[0].0
    };
    let (mut percent, mut bare) = (String::new(), String::new());
    for (k, (number, unit)) in numbers.iter().enumerate() {
        let plain = match (k, *unit) {
            (0, _) => share,
            // After a bare number a spread in % is most likely meant as a part of it.
            (_, "%") if numbers[0].1.is_empty() => (number / 100.0 * share).abs(),
            (_, "%") => number / 100.0,
            _ => *number,
        };
        percent.push_str(&format!("{}{number} %", mark(k)));
        bare.push_str(&format!("{}{}", mark(k), without_noise(plain)));
    }
    Some(NotAQuantity {
        what: format!("\"{text}\" can be read in two ways"),
        expected: format!("% after every number or after none: \"{percent}\" or \"{bare}\""),
        instead: None,
    })
}

/// `x` without the digits that binary arithmetic adds: 0.9 × 5 ÷ 100 is 0.045.
fn without_noise(x: f64) -> f64 {
    format!("{x:.12e}").parse().unwrap_or(x)
}

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Spread {
    None,
    Unsure,
    Varies,
}

/// Splits at `+-`, `±` and `~`.
fn split_spreads(text: &str) -> Vec<(Spread, &str)> {
    let mut pieces = Vec::with_capacity(3);
    let (mut start, mut kind, mut i) = (0, Spread::None, 0);
    while i < text.len() {
        let rest = &text[i..];
        let mark = [
            ("+-", Spread::Unsure),
            ("+/-", Spread::Unsure),
            ("±", Spread::Unsure),
            ("~", Spread::Varies),
        ]
        .into_iter()
        .find(|(m, _)| rest.starts_with(m));
        if let Some((m, next)) = mark {
            pieces.push((kind, text[start..i].trim()));
            kind = next;
            i += m.len();
            start = i;
        } else {
            i += rest.chars().next().map_or(1, char::len_utf8);
        }
    }
    pieces.push((kind, text[start..].trim()));
    pieces
}

/// The leading number and what follows it.
fn number_and_unit(piece: &str) -> Option<(f64, &str)> {
    let mut end = 0;
    let bytes = piece.as_bytes();
    while end < bytes.len() {
        let c = bytes[end];
        let sign = (c == b'-' || c == b'+') && (end == 0 || matches!(bytes[end - 1], b'e' | b'E'));
        let exponent = (c == b'e' || c == b'E')
            && end > 0
            && bytes
                .get(end + 1)
                .is_some_and(|n| n.is_ascii_digit() || *n == b'-' || *n == b'+');
        if c.is_ascii_digit() || c == b'.' || c == b'_' || sign || exponent {
            end += 1;
        } else {
            break;
        }
    }
    let number: f64 = piece[..end].replace('_', "").parse().ok()?;
    Some((number, piece[end..].trim()))
}

fn find_unit<D: Dimension>(written: &str) -> Option<Unit> {
    D::UNITS
        .iter()
        .find(|u| u.symbol == written || u.also.contains(&written))
        .copied()
}

/// Explains a unit that `D` does not have.
fn wrong_unit<D: Dimension>(text: &str, number: f64, written: &str) -> NotAQuantity {
    let expected = expectation::<D>();
    if written.is_empty() {
        let unit = D::UNITS[0].symbol;
        let what = format!("\"{text}\" has no unit");
        return NotAQuantity {
            what,
            expected,
            instead: Some(format!("{number} {unit}")),
        };
    }
    let matches = |u: &Unit, w: &str| u.symbol == w || u.also.contains(&w);
    let other = ALL_DIMENSIONS
        .iter()
        .find(|(name, _, units)| *name != D::NAME && units.iter().any(|u| matches(u, written)));
    if let Some((name, _, _)) = other {
        let article = if name.starts_with(['a', 'e', 'i', 'o', 'u']) {
            "an"
        } else {
            "a"
        };
        let what = format!("\"{text}\" is {article} {name}");
        return NotAQuantity {
            what,
            expected,
            instead: None,
        };
    }
    let lower = written.to_lowercase();
    let same_letters = D::UNITS.iter().find(|u| {
        u.symbol.to_lowercase() == lower || u.also.iter().any(|a| a.to_lowercase() == lower)
    });
    let instead = same_letters.map(|u| format!("{number} {}", u.symbol));
    NotAQuantity {
        what: format!("unknown unit \"{written}\""),
        expected,
        instead,
    }
}
