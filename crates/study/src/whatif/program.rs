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
