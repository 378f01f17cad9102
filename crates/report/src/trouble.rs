//! Everything wrong with what was asked, shown where it stands.

use annotate_snippets::{AnnotationKind, Level, Renderer, Snippet};
use robot::Issue;
use store::LoadError;

use crate::setting::Trouble;
use crate::text::{Layout, plain};

/// Trouble in words, with the lines of the files it stands in.
#[must_use]
pub fn trouble(trouble: &Trouble, layout: Layout) -> String {
    match trouble {
        Trouble::Files(error) => files(error, layout),
        Trouble::Class(unknown) => {
            let near = unknown.nearest.as_ref().map_or(String::new(), |n| {
                format!(" Did you mean \"{}\"?", plain(n))
            });
            format!(
                "There is no class \"{}\".{near} The classes are {}; or name a class file.\n",
                plain(&unknown.name),
                unknown.known.join(", ")
            )
        }
        Trouble::Call(words) => format!("{}\n", plain(words)),
    }
}

fn files(error: &LoadError, layout: Layout) -> String {
    let mut out = String::new();
    for f in &error.files {
        out.push_str(&plain(&sentence(&format!("{f}. {}", f.advice()))));
        out.push('\n');
    }
    for issue in &error.issues {
        let text = error.texts.get(&*issue.place.file).map(String::as_str);
        out.push_str(&shown(issue, text, layout));
        out.push('\n');
    }
    let n = error.issues.len();
    if n > 1 {
        out.push_str(&format!(
            "{n} things to mend; all that could be found are above.\n"
        ));
    }
    out
}

/// The words with a capital in front, where they do not begin with a name.
fn sentence(words: &str) -> String {
    let mut letters = words.chars();
    match letters.next() {
        Some(first) if words.starts_with("there ") => first.to_uppercase().chain(letters).collect(),
        _ => words.to_owned(),
    }
}

/// One issue with its line.
fn shown(issue: &Issue, text: Option<&str>, layout: Layout) -> String {
    let place = &issue.place;
    // Tabs and control characters would break the excerpt's columns or drive the terminal: each
    // is replaced by something of the same length.
    let tame = |c: char| match c {
        '\n' => '\n',
        '\r' | '\t' => ' ',
        c if c.is_control() && c.len_utf8() == 1 => '?',
        c if c.is_control() => '¿',
        c => c,
    };
    let source: String = text.unwrap_or_default().chars().map(tame).collect();
    let end = source.len();
    let (mut from, mut to) = (place.span.start.min(end), place.span.end.min(end));
    while !source.is_char_boundary(from) {
        from -= 1;
    }
    while !source.is_char_boundary(to) {
        to += 1;
    }
    let what = plain(&issue.what);
    let expected = plain(&format!("expected {}", issue.expected));
    let suggestion = issue
        .suggestion
        .as_ref()
        .map(|s| plain(&format!("try: {s}")));
    let mut group = Level::ERROR.primary_title(what.as_str()).element(
        Snippet::source(source.as_str())
            .path(place.file.to_string())
            .annotation(
                AnnotationKind::Primary
                    .span(from..to)
                    .label(expected.as_str()),
            ),
    );
    if let Some(s) = &suggestion {
        group = group.element(Level::HELP.message(s.as_str()));
    }
    let renderer = if layout.colour {
        Renderer::styled()
    } else {
        Renderer::plain()
    };
    format!("{}\n", renderer.render(&[group]))
}
