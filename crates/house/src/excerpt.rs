//! The excerpts of the program's output in `README.md`: cut from a real run, never typed.

/// An excerpt: what is called and what is shown of the answer.
#[derive(Debug, Clone, Copy)]
pub struct Excerpt {
    /// Name in the README's marker.
    pub name: &'static str,
    /// Arguments of the call.
    pub call: &'static [&'static str],
    /// What is shown: beginnings of numbered sections (nothing: what stands before the first),
    /// each with the number of its paragraphs.
    pub shown: &'static [(&'static str, usize)],
}

/// Every excerpt of the README.
pub const EXCERPTS: [Excerpt; 2] = [
    Excerpt {
        name: "report",
        call: &["report", "--seed", "1", "--quiet"],
        shown: &[("1.", 1), ("2.", 2), ("3.", 2), ("4.", 2), ("5.", 2)],
    },
    Excerpt {
        name: "bout",
        call: &["bout", "demo", "mini/anvil", "--seed", "1"],
        shown: &[("", 3)],
    },
];

/// Stands where something of the output was left out.
const LEFT_OUT: &str = "   ...";

fn begins_section(line: &str) -> bool {
    let digits = line.chars().take_while(char::is_ascii_digit).count();
    digits > 0 && line[digits..].starts_with(". ")
}

/// Sections of `output`: what stands before the first numbered heading, then one for each.
fn sections(output: &str) -> Vec<Vec<&str>> {
    let mut found = vec![Vec::new()];
    for line in output.lines() {
        if begins_section(line) {
            found.push(Vec::new());
        }
        if let Some(last) = found.last_mut() {
            last.push(line.trim_end());
        }
    }
    found
}

/// Cuts `shown` out of `output`.
///
/// # Errors
/// Names a section that `output` does not have.
pub fn cut(output: &str, shown: &[(&str, usize)]) -> Result<String, String> {
    let sections = sections(output);
    let mut pieces = Vec::new();
    for (start, most) in shown {
        let section = if start.is_empty() {
            sections.first()
        } else {
            sections
                .iter()
                .skip(1)
                .find(|s| s.first().is_some_and(|l| l.starts_with(start)))
        };
        let section = section.ok_or_else(|| format!("the output has no section \"{start}\""))?;
        let paragraphs: Vec<&[&str]> = section
            .split(|l| l.is_empty())
            .filter(|p| !p.is_empty())
            .collect();
        if paragraphs.is_empty() {
            return Err(format!("the section \"{start}\" is empty"));
        }
        pieces.extend(paragraphs.iter().take(*most).map(|p| p.join("\n")));
        if paragraphs.len() > *most {
            pieces.push(LEFT_OUT.into());
        }
    }
    Ok(pieces.join("\n\n"))
}

/// What stands in `document` between the markers of the excerpt `name`, as a byte range.
///
/// # Errors
/// When a marker is missing.
pub fn place(document: &str, name: &str) -> Result<core::ops::Range<usize>, String> {
    let marker = format!("<!-- excerpt: {name} -->");
    let start = document
        .find(&marker)
        .ok_or_else(|| format!("no marker \"{marker}\""))?;
    let start = start + marker.len();
    let length = document[start..].find("<!-- end -->");
    let length = length.ok_or_else(|| format!("no end marker after \"{marker}\""))?;
    Ok(start..start + length)
}

/// `document` with `text` as its excerpt `name`.
///
/// # Errors
/// When a marker is missing.
pub fn with(document: &str, name: &str, text: &str) -> Result<String, String> {
    let place = place(document, name)?;
    let (before, after) = (&document[..place.start], &document[place.end..]);
    Ok(format!("{before}\n```text\n{text}\n```\n{after}"))
}

#[cfg(test)]
mod tests {
    use super::*;

    const OUTPUT: &str = "Name\nline two\n\n1. First?\n   Yes.  \n\n   More.\n\n   Most.\n\n2. Second?\n\n   9.5 m\n";

    #[test]
    fn sections_are_cut_and_what_is_left_out_is_marked() {
        let text = cut(OUTPUT, &[("", 1), ("1.", 2), ("2.", 2)]).unwrap();
        let expected =
            "Name\nline two\n\n1. First?\n   Yes.\n\n   More.\n\n   ...\n\n2. Second?\n\n   9.5 m";
        assert_eq!(text, expected);
    }

    #[test]
    fn a_missing_section_is_an_error() {
        assert!(cut(OUTPUT, &[("3.", 1)]).unwrap_err().contains("3."));
        assert!(cut("", &[("", 1)]).is_err());
    }

    #[test]
    fn an_excerpt_replaces_only_what_is_between_its_markers() {
        let document = "A\n<!-- excerpt: x -->\nold\n<!-- end -->\nB\n";
        let new = with(document, "x", "new").unwrap();
        assert_eq!(
            new,
            "A\n<!-- excerpt: x -->\n```text\nnew\n```\n<!-- end -->\nB\n"
        );
        assert_eq!(with(&new, "x", "new").unwrap(), new);
        assert!(with(document, "y", "new").is_err());
        assert!(with("<!-- excerpt: x -->\nold\n", "x", "new").is_err());
    }
}
