//! What everything is called, for the screen: `names.c`.

use crate::page::Page;

use super::Source;

/// `text` as a text of C, whatever is in it.
pub(super) fn quoted(text: &str) -> String {
    let mut said = String::from("\"");
    for b in text.bytes() {
        match b {
            b'"' | b'\\' | b'?' => {
                said.push('\\');
                said.push(char::from(b));
            }
            b' '..=b'~' => said.push(char::from(b)),
            // Three digits always: what follows cannot be taken for a fourth.
            _ => said.push_str(&format!("\\{b:03o}")),
        }
    }
    said + "\""
}

/// `names.c`.
pub(super) fn file(source: &Source<'_>) -> String {
    let (ports, program) = (source.ports, source.program);
    let groups: [(&str, Vec<&str>); 5] = [
        (
            "sensor",
            ports.inputs.iter().map(|p| p.name.as_str()).collect(),
        ),
        (
            "gadget",
            ports.gadgets.iter().map(|g| g.name.as_str()).collect(),
        ),
        (
            "state",
            program.states.iter().map(|s| s.name.as_str()).collect(),
        ),
        (
            "reflex",
            program.reflexes.iter().map(|r| r.name.as_str()).collect(),
        ),
        (
            "opening",
            program.openings.iter().map(|o| o.name.as_str()).collect(),
        ),
    ];
    let mut page = Page::default();
    page.line("#include \"names.h\"");
    for (what, names) in groups {
        page.line("");
        page.line(format!("const char *{what}_name(uint8_t k)"));
        page.block("{", "}", |page| {
            if names.is_empty() {
                page.line("(void)k;");
                page.line("return TEXT(\"\");");
                return;
            }
            page.block("switch (k) {", "}", |page| {
                for (k, name) in names.iter().enumerate() {
                    page.line(format!("case {k}:"));
                    page.line(format!("    return TEXT({});", quoted(name)));
                }
                page.line("default:");
                page.line("    return TEXT(\"\");");
            });
        });
    }
    page.finish()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn no_text_ends_early_or_means_something_else() {
        assert_eq!(quoted("a\"b\\c"), r#""a\"b\\c""#);
        assert_eq!(quoted("??/"), r#""\?\?/""#);
        assert_eq!(quoted("\n7é"), r#""\0127\303\251""#);
    }
}
