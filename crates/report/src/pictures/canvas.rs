//! The sheet a picture is drawn on: one width, one paper, one set of pens for all of them.
//!
//! A picture is [`WIDTH`] units wide, so that letters of [`LETTER`] units are still read where it is
//! shown 400 pixels wide. The sheet is as high as what is put on it. Nothing is told by colour
//! alone: lines differ in dash and mark, areas in hatching.

use core::fmt::Write;

use super::words::{self, Anchor};

/// Units from the left to the right end of every picture.
pub(crate) const WIDTH: f64 = 480.0;
/// Height of the letters, units.
pub(crate) const LETTER: f64 = 12.0;
/// Height of the title's letters, units.
const TITLE: f64 = 16.0;
/// What stays free around everything, units.
pub(crate) const MARGIN: f64 = 16.0;
/// From one line of words to the next, in heights of a letter.
pub(crate) const LEADING: f64 = 1.3;

/// Colour of the paper.
pub(crate) const PAPER: &str = "#f7f5f0";
/// Colour of words and of what is drawn most firmly.
pub(crate) const INK: &str = "#222222";
/// Colour of what stands back: axes, rims, dimensions.
pub(crate) const FAINT: &str = "#6b6b6b";
/// Colour of the robot's own body.
pub(crate) const BODY: &str = "#dfe7f0";
/// The pens that tell things apart, in the order they are taken: colour, dash pattern. They differ in
/// dash and in how dark they are, and stay apart for the common kinds of colour blindness.
pub(crate) const PENS: [(&str, &str); 5] = [
    ("#2f6fb2", "none"),
    ("#c4600c", "8 4"),
    ("#222222", "2 3"),
    ("#3f7d4e", "10 3 2 3"),
    ("#7a4f9a", "5 2"),
];

/// How an area is filled so that it is told apart in black and white.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Fill {
    /// Not at all.
    Empty,
    /// In this colour.
    Plain(&'static str),
    /// Lines rising to the right.
    Rising,
    /// Lines falling to the right.
    Falling,
    /// Both: what is wrong.
    Crossed,
    /// Dots.
    Dotted,
}

impl Fill {
    fn attribute(self) -> &'static str {
        match self {
            Self::Empty => "none",
            Self::Plain(colour) => colour,
            Self::Rising => "url(#rising)",
            Self::Falling => "url(#falling)",
            Self::Crossed => "url(#crossed)",
            Self::Dotted => "url(#dotted)",
        }
    }
}

/// How a line is drawn.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Pen {
    /// Colour.
    pub(crate) colour: &'static str,
    /// Width, units.
    pub(crate) width: f64,
    /// Dash pattern; `none` is drawn through.
    pub(crate) dash: &'static str,
}

impl Pen {
    /// A line drawn through.
    pub(crate) const fn solid(colour: &'static str, width: f64) -> Self {
        let dash = "none";
        Self {
            colour,
            width,
            dash,
        }
    }

    /// The pen of the series number `k`.
    pub(crate) fn of_series(k: usize) -> Self {
        let (colour, dash) = PENS[k % PENS.len()];
        Self {
            colour,
            width: 2.0,
            dash,
        }
    }

    /// The same in a dash pattern.
    pub(crate) const fn dashed(self, dash: &'static str) -> Self {
        Self { dash, ..self }
    }

    fn attributes(self) -> String {
        format!(
            r#"stroke="{}" stroke-width="{:.1}" stroke-dasharray="{}" stroke-linejoin="round""#,
            self.colour, self.width, self.dash
        )
    }
}

/// A picture being drawn. x to the right, y down, from the upper left corner.
#[derive(Debug)]
pub(crate) struct Canvas {
    title: String,
    body: String,
    /// Where the next thing below all others begins.
    pub(crate) y: f64,
}

impl Canvas {
    /// A sheet with its title, and under it what the picture shows in one sentence.
    pub(crate) fn new(title: &str, subtitle: &str) -> Self {
        let mut canvas = Self {
            title: title.to_owned(),
            body: String::new(),
            y: MARGIN,
        };
        let room = WIDTH - 2.0 * MARGIN;
        for line in words::fitted(title, room, TITLE) {
            canvas.y += TITLE;
            canvas.text_of(MARGIN, canvas.y, TITLE, INK, Anchor::Start, &line);
            canvas.y += 0.25 * TITLE;
        }
        canvas.paragraph(subtitle);
        canvas.y += 0.5 * LETTER;
        canvas
    }

    /// A paragraph of small print over the whole width, below everything so far.
    pub(crate) fn paragraph(&mut self, text: &str) {
        if text.is_empty() {
            return;
        }
        for line in words::fitted(text, WIDTH - 2.0 * MARGIN, LETTER) {
            self.y += LEADING * LETTER;
            self.text(MARGIN, self.y, Anchor::Start, &line);
        }
        self.y += 0.3 * LETTER;
    }

    /// A numbered entry of a list below everything so far: the number in its ring, then words.
    pub(crate) fn numbered(&mut self, number: usize, text: &str) {
        let indent = 2.2 * LETTER;
        let room = WIDTH - 2.0 * MARGIN - indent;
        for (k, line) in words::fitted(text, room, LETTER).iter().enumerate() {
            self.y += LEADING * LETTER;
            if k == 0 {
                let at = (MARGIN + 0.75 * LETTER, self.y - 0.35 * LETTER);
                self.number(at, number);
            }
            self.text(MARGIN + indent, self.y, Anchor::Start, line);
        }
        self.y += 0.5 * LETTER;
    }

    /// An entry of a legend below everything so far: a sample of the area, then words.
    pub(crate) fn legend_area(&mut self, fill: Fill, pen: Pen, text: &str) {
        let (x, room) = (MARGIN + 34.0, WIDTH - 2.0 * MARGIN - 34.0);
        for (k, line) in words::fitted(text, room, LETTER).iter().enumerate() {
            self.y += LEADING * LETTER;
            if k == 0 {
                self.rect([MARGIN, self.y - 0.85 * LETTER, 26.0, LETTER], fill, pen);
            }
            self.text(x, self.y, Anchor::Start, line);
        }
    }

    /// An entry of a legend below everything so far: a sample of the line, then words.
    pub(crate) fn legend_line(&mut self, pen: Pen, text: &str) {
        let (x, room) = (MARGIN + 34.0, WIDTH - 2.0 * MARGIN - 34.0);
        for (k, line) in words::fitted(text, room, LETTER).iter().enumerate() {
            self.y += LEADING * LETTER;
            if k == 0 {
                let y = self.y - 0.35 * LETTER;
                self.line((MARGIN, y), (MARGIN + 26.0, y), pen);
            }
            self.text(x, self.y, Anchor::Start, line);
        }
    }

    /// An entry of a legend below everything so far: a round mark, then words.
    pub(crate) fn legend_mark(&mut self, fill: Fill, text: &str) {
        let (x, room) = (MARGIN + 34.0, WIDTH - 2.0 * MARGIN - 34.0);
        for (k, line) in words::fitted(text, room, LETTER).iter().enumerate() {
            self.y += LEADING * LETTER;
            if k == 0 {
                let at = (MARGIN + 13.0, self.y - 0.35 * LETTER);
                self.circle(at, 3.8, fill, Pen::solid(INK, 1.4));
            }
            self.text(x, self.y, Anchor::Start, line);
        }
    }

    /// A number in a ring: what a list explains.
    pub(crate) fn number(&mut self, at: (f64, f64), number: usize) {
        self.circle(
            at,
            0.75 * LETTER,
            Fill::Plain("#ffffff"),
            Pen::solid(INK, 1.4),
        );
        let (size, y) = (0.95 * LETTER, at.1 + 0.34 * LETTER);
        self.text_of(at.0, y, size, INK, Anchor::Middle, &number.to_string());
    }

    /// Words in the common size and ink.
    pub(crate) fn text(&mut self, x: f64, y: f64, anchor: Anchor, text: &str) {
        self.text_of(x, y, LETTER, INK, anchor, text);
    }

    /// Words in a size and ink of their own.
    pub(crate) fn text_of(
        &mut self,
        x: f64,
        y: f64,
        size: f64,
        ink: &str,
        anchor: Anchor,
        text: &str,
    ) {
        let (anchor, text) = (anchor.attribute(), words::escaped(text));
        let _ = writeln!(
            self.body,
            r#"<text x="{x:.1}" y="{y:.1}" font-size="{size:.1}" fill="{ink}" text-anchor="{anchor}">{text}</text>"#
        );
    }

    /// Words with a rim of paper around them, for places where something is drawn already.
    pub(crate) fn text_over(&mut self, x: f64, y: f64, anchor: Anchor, text: &str) {
        let (anchor, escaped) = (anchor.attribute(), words::escaped(text));
        let _ = writeln!(
            self.body,
            r#"<text x="{x:.1}" y="{y:.1}" font-size="{LETTER:.1}" fill="{INK}" stroke="{PAPER}" stroke-width="3" paint-order="stroke" stroke-linejoin="round" text-anchor="{anchor}">{escaped}</text>"#
        );
    }

    /// Words turned to run upwards, their middle at the place.
    pub(crate) fn text_up(&mut self, x: f64, y: f64, text: &str) {
        let text = words::escaped(text);
        let _ = writeln!(
            self.body,
            r#"<text transform="translate({x:.1} {y:.1}) rotate(-90)" font-size="{LETTER:.1}" fill="{INK}" text-anchor="middle">{text}</text>"#
        );
    }

    /// A straight line.
    pub(crate) fn line(&mut self, from: (f64, f64), to: (f64, f64), pen: Pen) {
        let _ = writeln!(
            self.body,
            r#"<line x1="{:.1}" y1="{:.1}" x2="{:.1}" y2="{:.1}" {}/>"#,
            from.0,
            from.1,
            to.0,
            to.1,
            pen.attributes()
        );
    }

    /// A straight line with an arrow head at its end.
    pub(crate) fn arrow(&mut self, from: (f64, f64), to: (f64, f64), pen: Pen) {
        let (dx, dy) = (to.0 - from.0, to.1 - from.1);
        let length = quantity::maths::hypot(dx, dy).max(1e-9);
        let (ux, uy) = (dx / length, dy / length);
        let head = (3.5 * pen.width).clamp(5.0, 12.0).min(length);
        let (bx, by) = (to.0 - head * ux, to.1 - head * uy);
        let half = 0.45 * head;
        self.line(from, (bx, by), pen);
        let corners = [
            to,
            (bx - half * uy, by + half * ux),
            (bx + half * uy, by - half * ux),
        ];
        self.polygon(
            &corners,
            Fill::Plain(pen.colour),
            Pen::solid(pen.colour, 0.5),
        );
    }

    /// A line through points.
    pub(crate) fn polyline(&mut self, points: &[(f64, f64)], pen: Pen) {
        let _ = writeln!(
            self.body,
            r#"<polyline points="{}" fill="none" {}/>"#,
            listed(points),
            pen.attributes()
        );
    }

    /// An area between corners.
    pub(crate) fn polygon(&mut self, corners: &[(f64, f64)], fill: Fill, pen: Pen) {
        let _ = writeln!(
            self.body,
            r#"<polygon points="{}" fill="{}" {}/>"#,
            listed(corners),
            fill.attribute(),
            pen.attributes()
        );
    }

    /// An upright rectangle: left, top, width, height.
    pub(crate) fn rect(&mut self, [x, y, w, h]: [f64; 4], fill: Fill, pen: Pen) {
        self.polygon(&[(x, y), (x + w, y), (x + w, y + h), (x, y + h)], fill, pen);
    }

    /// A circle.
    pub(crate) fn circle(&mut self, at: (f64, f64), radius: f64, fill: Fill, pen: Pen) {
        let _ = writeln!(
            self.body,
            r#"<circle cx="{:.1}" cy="{:.1}" r="{radius:.1}" fill="{}" {}/>"#,
            at.0,
            at.1,
            fill.attribute(),
            pen.attributes()
        );
    }

    /// The mark of series number `k` at a point: round, square, triangle, diamond, cross.
    pub(crate) fn mark(&mut self, (x, y): (f64, f64), k: usize) {
        let pen = Pen::solid(PENS[k % PENS.len()].0, 1.5);
        let fill = Fill::Plain(PAPER);
        let r = 4.0;
        match k % PENS.len() {
            0 => self.circle((x, y), r, fill, pen),
            1 => self.rect([x - r, y - r, 2.0 * r, 2.0 * r], fill, pen),
            2 => self.polygon(&[(x, y - r), (x + r, y + r), (x - r, y + r)], fill, pen),
            3 => self.polygon(&[(x, y - r), (x + r, y), (x, y + r), (x - r, y)], fill, pen),
            _ => {
                self.line((x - r, y - r), (x + r, y + r), pen);
                self.line((x - r, y + r), (x + r, y - r), pen);
            }
        }
    }

    /// The finished SVG.
    pub(crate) fn finish(self) -> String {
        let height = self.y + MARGIN;
        let title = words::escaped(&self.title);
        let hatch = |name: &str, paths: &str| {
            format!(
                r##"<pattern id="{name}" width="7" height="7" patternUnits="userSpaceOnUse"><rect width="7" height="7" fill="#ffffff"/>{paths}</pattern>"##
            )
        };
        let stroke = r##"stroke="#444444" stroke-width="1.1" fill="none""##;
        let rising = format!(r#"<path d="M-1 1L1 -1M0 7L7 0M6 8L8 6" {stroke}/>"#);
        let falling = format!(r#"<path d="M-1 6L1 8M0 0L7 7M6 -1L8 1" {stroke}/>"#);
        let dots = r##"<circle cx="3.5" cy="3.5" r="1.2" fill="#444444"/>"##;
        let patterns = [
            hatch("rising", &rising),
            hatch("falling", &falling),
            hatch("crossed", &format!("{rising}{falling}")),
            hatch("dotted", dots),
        ]
        .concat();
        format!(
            "<svg xmlns=\"http://www.w3.org/2000/svg\" viewBox=\"0 0 {WIDTH:.0} {height:.0}\" \
             font-family=\"sans-serif\" role=\"img\">\n<title>{title}</title>\n<defs>{patterns}</defs>\n\
             <rect width=\"{WIDTH:.0}\" height=\"{height:.0}\" fill=\"{PAPER}\"/>\n{}</svg>\n",
            self.body
        )
    }
}

fn listed(points: &[(f64, f64)]) -> String {
    let points: Vec<String> = (points.iter())
        .map(|(x, y)| format!("{x:.1},{y:.1}"))
        .collect();
    points.join(" ")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_sheet_is_as_high_as_what_is_put_on_it() {
        let mut canvas = Canvas::new("Title", "");
        canvas.y = 300.0;
        let svg = canvas.finish();
        assert!(svg.contains(r#"viewBox="0 0 480 316""#), "{svg}");
    }

    #[test]
    fn what_a_file_says_cannot_break_out_of_the_picture() {
        let mut canvas = Canvas::new("<script>", "");
        canvas.text(0.0, 0.0, Anchor::Start, "a & b < c");
        let svg = canvas.finish();
        assert!(!svg.contains("<script>") && svg.contains("a &amp; b &lt; c"));
    }
}
