//! Pages that teach the idea behind a finding, a cause or a number.

use robot::reader::nearest;
use serde::Serialize;

use crate::check::{Examined, finding};
use crate::setting::Trouble;
use crate::text::{Layout, Sheet};
use crate::topic::{Topic, place_of, topic_of};
use crate::worked::OnRobot;

const FOLDER: &str = "docs/explain";

/// Names of all pages, sorted.
#[must_use]
pub fn names() -> Vec<String> {
    shelf::files(FOLDER)
        .into_iter()
        .filter_map(|(file, _)| Some(file.rsplit('/').next()?.strip_suffix(".md")?.to_owned()))
        .collect()
}

/// A page that teaches one idea.
#[derive(Debug, Clone, PartialEq, Serialize, schemars::JsonSchema)]
pub struct Page {
    /// `ringwright/page/1`.
    pub schema: String,
    /// Its name; findings and causes are called like the page that teaches them.
    pub name: String,
    /// What it is about.
    pub topic: String,
    /// Its first line.
    pub title: String,
    /// The whole page, in Markdown.
    pub markdown: String,
    /// The same on a robot, where one was named.
    pub on_robot: Option<OnRobot>,
}

impl Page {
    fn read(name: &str) -> Option<Self> {
        let markdown = shelf::file(&format!("{FOLDER}/{name}.md"))?;
        Some(Self {
            schema: "ringwright/page/1".into(),
            name: name.to_owned(),
            topic: topic_of(name).title().to_owned(),
            title: title_of(&markdown),
            markdown,
            on_robot: None,
        })
    }

    /// The page `name`.
    ///
    /// # Errors
    /// When there is none, with the nearest name.
    pub fn named(name: &str) -> Result<Self, Trouble> {
        let wanted = name.trim().to_lowercase().replace([' ', '_'], "-");
        Self::read(&wanted).ok_or_else(|| {
            let names = names();
            let near = nearest(&wanted, names.iter().map(String::as_str));
            let near = near.map_or(String::new(), |n| format!(" Did you mean \"{n}\"?"));
            Trouble::Call(format!(
                "There is no page \"{name}\".{near} `ringwright explain` lists all pages."
            ))
        })
    }

    /// Every page, sorted by name.
    #[must_use]
    pub fn all() -> Vec<Self> {
        names().iter().filter_map(|n| Self::read(n)).collect()
    }

    /// The same with the numbers of a robot.
    #[must_use]
    pub fn on(self, examined: &Examined<'_>) -> Self {
        Self {
            on_robot: Some(OnRobot::of(&self.name, examined)),
            ..self
        }
    }

    /// As text.
    #[must_use]
    pub fn text(&self, layout: Layout) -> String {
        let mut s = Sheet::new(layout);
        lay_out(&mut s, &self.markdown);
        if let Some(on) = &self.on_robot {
            on_robot(&mut s, on);
        }
        s.finish()
    }
}

/// What the idea comes to on a robot.
fn on_robot(s: &mut Sheet, on: &OnRobot) {
    s.heading(&format!("On {} ({})", on.robot, on.file));
    for l in &on.worked {
        s.point("–", &format!("{}: {}", l.what, l.worked));
    }
    for f in &on.findings {
        finding(s, f);
    }
    if on.worked.is_empty() && on.findings.is_empty() {
        s.paragraph("Nothing of this can be said before its bouts, or nothing was found.");
    }
}

/// The page `name` as text.
///
/// # Errors
/// When there is none, with the nearest name.
pub fn explain(name: &str, layout: Layout) -> Result<String, Trouble> {
    Ok(Page::named(name)?.text(layout))
}

/// Title of a page: its first line.
fn title_of(page: &str) -> String {
    let first = page.lines().next().unwrap_or_default();
    first.trim_start_matches('#').trim().to_owned()
}

/// The list of pages by topic.
#[must_use]
pub fn contents(layout: Layout) -> String {
    let mut s = Sheet::new(layout);
    s.title("What can be explained");
    s.small(
        "ringwright explain NAME teaches one of them; with --robot FILE in numbers of your robot",
    );
    let names = names();
    for topic in Topic::ALL {
        let mut heading = Some(topic.title());
        let mut names: Vec<&String> = names.iter().filter(|n| topic_of(n) == topic).collect();
        names.sort_by_key(|n| place_of(n));
        for name in names {
            if let Some(title) = heading.take() {
                s.heading(title);
            }
            let page = shelf::file(&format!("{FOLDER}/{name}.md")).unwrap_or_default();
            s.point(&format!("{name:<24}"), &title_of(&page));
        }
    }
    s.finish()
}

/// A page in the little of Markdown that pages use: headings, paragraphs, bullets, blocks fenced or set in.
fn lay_out(s: &mut Sheet, page: &str) {
    let mut paragraph = String::new();
    let mut bullet = false;
    let mut fence: Option<String> = None;
    let flush = |s: &mut Sheet, paragraph: &mut String, bullet: bool| {
        let words = bare(paragraph);
        if !words.is_empty() {
            if bullet {
                s.point("–", &words);
            } else {
                s.paragraph(&words);
            }
        }
        paragraph.clear();
    };
    for line in page.lines() {
        if let Some(block) = &mut fence {
            if line.trim_start().starts_with("```") {
                s.gap();
                s.verbatim(block);
                s.gap();
                fence = None;
            } else {
                block.push_str(line);
                block.push('\n');
            }
            continue;
        }
        let starts = |mark: &str| line.starts_with(mark);
        // What is set in by four is kept as it is: formulas, under each other.
        if let Some(block) = line.strip_prefix("    ") {
            flush(s, &mut paragraph, bullet);
            s.verbatim(&format!("  {block}"));
            continue;
        }
        if starts("```") || starts("#") || starts("- ") || line.trim().is_empty() {
            flush(s, &mut paragraph, bullet);
            bullet = false;
        }
        if starts("```") {
            fence = Some(String::new());
        } else if let Some(title) = line.strip_prefix("## ") {
            s.heading(title);
        } else if let Some(title) = line.strip_prefix("# ") {
            s.title(title);
        } else if let Some(point) = line.strip_prefix("- ") {
            bullet = true;
            paragraph.push_str(point);
        } else if line.trim().is_empty() {
            s.gap();
        } else {
            if !paragraph.is_empty() {
                paragraph.push(' ');
            }
            paragraph.push_str(line.trim());
        }
    }
    flush(s, &mut paragraph, bullet);
}

/// Words without the marks of emphasis and code.
fn bare(words: &str) -> String {
    words.replace("**", "").replace('`', "")
}

#[cfg(test)]
mod tests {
    use super::*;
    use bout::Cause;

    use crate::words::cause_name;

    #[test]
    fn every_cause_has_a_page() {
        let names = names();
        for cause in Cause::ALL {
            assert!(names.iter().any(|n| n == cause_name(cause)), "{cause:?}");
        }
    }

    #[test]
    fn a_page_is_laid_out_with_its_picture_untouched() {
        let page = "# Title\nOne\ntwo `code`.\n\n```\n  a   b\n```\n\n## What to do\n- first\n  goes \
                    on\n- second\n";
        let mut s = Sheet::new(Layout::default());
        lay_out(&mut s, page);
        let text = s.finish();
        assert!(text.contains("   One two code.\n"), "{text}");
        assert!(text.contains("     a   b\n"), "{text}");
        assert!(text.contains("– first goes on\n"), "{text}");
        assert!(text.contains("– second\n"), "{text}");
    }

    #[test]
    fn a_slip_in_a_name_gets_the_nearest() {
        match explain("edge-to-fast", Layout::default()) {
            Err(Trouble::Call(words)) => assert!(words.contains("edge-too-fast"), "{words}"),
            other => panic!("{other:?}"),
        }
    }
}
