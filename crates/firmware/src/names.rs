//! Names that a tactic uses, as names a controller's language takes.

/// A word in ASCII letters, digits and underscores; of any other letter its number in Unicode.
fn plain(word: &str) -> String {
    let mut said = String::new();
    for c in word.chars() {
        if c.is_ascii_alphanumeric() {
            said.push(c);
        } else if c == '-' || c == '_' {
            said.push('_');
        } else {
            said.push_str(&format!("u{:x}", u32::from(c)));
        }
    }
    said
}

/// A name for each of `words`, in their order: `prefix`, an underscore, the word in ASCII letters,
/// digits and underscores; one that would be there twice gets a number behind it. No name of a language
/// has the prefix, so that a sensor may be called `int`.
pub(crate) fn named<'w>(prefix: &str, words: impl Iterator<Item = &'w str>) -> Vec<String> {
    let mut names: Vec<String> = Vec::new();
    for word in words {
        let name = format!("{prefix}_{}", plain(word));
        let taken = |n: &str| names.iter().any(|m| m.eq_ignore_ascii_case(n));
        let free = if taken(&name) {
            (2..).map(|k| format!("{name}_{k}")).find(|n| !taken(n))
        } else {
            None
        };
        names.push(free.unwrap_or(name));
    }
    names
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn names_are_plain_and_each_is_there_once() {
        let words = ["edge-left", "edge_left", "int", "höhe", "Edge-Left"];
        let names = named("in", words.into_iter());
        assert_eq!(
            names,
            [
                "in_edge_left",
                "in_edge_left_2",
                "in_int",
                "in_huf6he",
                "in_Edge_Left_3"
            ]
        );
    }
}
