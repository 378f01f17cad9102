//! The picture of the floors in `ARCHITECTURE.md`.

/// Floor and name of every crate in the picture, lowest first. A line of the picture is
/// `floor  names  | what they are`, such as `2  laws  tactic  | …`.
#[must_use]
pub fn floors(document: &str) -> Vec<(u8, String)> {
    let mut found = Vec::new();
    for line in document.lines() {
        let Some((left, _)) = line.split_once(" | ") else {
            continue;
        };
        let mut words = left.split_whitespace();
        let Some(floor) = words.next().and_then(|w| w.parse().ok()) else {
            continue;
        };
        found.extend(words.map(|name| (floor, name.to_owned())));
    }
    found.sort();
    found
}

#[cfg(test)]
mod tests {
    #[test]
    fn floors_are_read_off_the_picture() {
        let text = "Words | more\n| 1 | table |\n```\n1  roof       | top\n0  cellar  well  | below\n```\n";
        let expected = [(0, "cellar"), (0, "well"), (1, "roof")];
        assert_eq!(
            super::floors(text),
            expected.map(|(f, n)| (f, n.to_owned()))
        );
    }
}
