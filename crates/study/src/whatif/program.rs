//! Changes to the program as text: small, readable, at the end of the file.

use tactic::Tactic;

/// The same tactic with `lines` added at its end, if it still reads without an error.
pub(super) fn with_lines(tactic: &Tactic, lines: &str) -> Option<Tactic> {
    let text = format!("{}\n{lines}\n", tactic.text().trim_end());
    tactic::parse(tactic.file(), &text).ok()
}

/// A reflex that turns to a distance sensor the program does not read.
pub(super) fn turn_to(
    tactic: &Tactic,
    sensor: &str,
    left: bool,
    seeing: &[String],
) -> Option<Tactic> {
    let side = if left { "left" } else { "right" };
    let mut when = format!("{sensor} sees");
    for other in seeing {
        when = format!("{when} and not {other} sees");
    }
    with_lines(
        tactic,
        &format!("reflex turn-to-{sensor} when {when} {{\n  pivot 70 % {side} for 80 ms\n}}"),
    )
}

/// A reflex that drives off a border seen behind.
pub(super) fn off_the_border_behind(tactic: &Tactic, sensors: &[&str]) -> Option<Tactic> {
    let seen: Vec<String> = sensors.iter().map(|s| format!("{s} on border")).collect();
    let when = seen.join(" or ");
    with_lines(
        tactic,
        &format!("reflex off-the-back when {when} {{\n  drive 100 % 100 % for 110 ms\n}}"),
    )
}

/// The tactic with an opening turned away from the opponent, and that opening's index.
pub(super) fn turned_away(tactic: &Tactic) -> Option<(Tactic, usize)> {
    let openings = tactic.opening_names().len();
    let changed = with_lines(
        tactic,
        "opening turned-away {\n  switch 7\n  facing -90 deg\n  side left\n}",
    )?;
    Some((changed, openings))
}

/// The value of a constant as the tactic writes such values: with the unit its line has.
pub(super) fn shown(tactic: &Tactic, name: &str, value: i16) -> String {
    let written = tactic.text().lines().find_map(|line| {
        let rest = line.trim_start().strip_prefix("constant")?;
        let (left, right) = rest.split_once('=')?;
        (left.trim() == name).then_some(right)
    });
    let number = |c: char| c.is_ascii_digit() || matches!(c, '-' | '+' | '.' | '_' | ' ' | '\t');
    let unit = written.map_or("", |w| w.trim_start_matches(number));
    let unit: &str = unit.split_whitespace().next().unwrap_or("");
    // Inside, shares count in tenths of a per cent and angles in tenths of a degree.
    let tenths = f64::from(value) / 10.0;
    match unit {
        "%" => format!("{tenths} %"),
        "deg" | "°" => format!("{tenths} deg"),
        "s" | "ms" => format!("{value} ms"),
        "cm" | "mm" => format!("{value} mm"),
        _ => value.to_string(),
    }
}

#[cfg(test)]
mod tests {
    use super::shown;

    #[test]
    fn values_of_constants_are_shown_with_the_unit_their_line_has() {
        let text = "constant cruise = 100 % from 30 % to 100 %\n\
                    constant patience = 1200 ms from 400 ms to 3000 ms\n\
                    constant near = 15 cm from 8 cm to 25 cm\n\
                    constant rounds = 3 from 1 to 9\n\
                    opening a {\n  switch 0\n  facing 0 deg\n  begin go-on\n}\n\
                    state go-on {\n  drive cruise cruise for 10 ms\n}\n";
        let tactic = tactic::parse("a.tactic", text).unwrap_or_else(|e| panic!("{e:#?}"));
        let shown = |name: &str, value| shown(&tactic, name, value);
        assert_eq!(shown("cruise", 650), "65 %");
        assert_eq!(shown("cruise", 375), "37.5 %");
        assert_eq!(shown("patience", 800), "800 ms");
        assert_eq!(shown("near", 115), "115 mm");
        assert_eq!(shown("rounds", 6), "6");
    }
}
