//! The program of a skeleton, fitted to the sensors it has and to how fast it may charge.

use robot::Style;

/// What a program is fitted to.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Fit {
    /// Whether eyes look to the flanks.
    pub(crate) flanks: bool,
    /// Whether it has a tilt sensor.
    pub(crate) tilt: bool,
    /// Effort of a charge, %.
    pub(crate) cruise: u32,
    /// Reading of an edge sensor above which it is over the border, %.
    pub(crate) border: u32,
    /// Distance in mm from which it pushes at full effort.
    pub(crate) close_mm: f64,
}

impl Fit {
    /// `NAME sees` of all eyes, joined by `or`.
    fn any(self) -> &'static str {
        if self.flanks {
            "centre sees or left sees or right sees or flank-left sees or flank-right sees"
        } else {
            "centre sees or left sees or right sees"
        }
    }
}

/// Effort with which it drives on where it sees nothing, %.
const ROAM: u32 = 50;
/// Least effort with which it backs away from the border, %: less would not turn it round in time.
const LEAST_BACK: u32 = 60;

/// The text of the program of a robot called `name`.
pub(crate) fn program(name: &str, style: Style, fit: Fit) -> String {
    let mut text = format!("# {}\n\n", about(name, style));
    text.push_str(&format!(
        "# From afar it goes no faster than it can stop at the border; near the opponent it gives all.\n\
         constant cruise = {0} % from 30 % to 100 %\n\
         constant roam = {1} % from 20 % to 80 %\n\
         constant close = {2:.0} mm from {3:.0} mm to {4:.0} mm\n\
         # Half way between what an edge sensor reads over the ring and over the border: measure yours.\n\
         constant border-level = {6} % from 10 % to 90 %\n{5}\n",
        fit.cruise,
        ROAM.min(fit.cruise),
        fit.close_mm,
        0.4 * fit.close_mm,
        1.6 * fit.close_mm,
        constants(style, fit),
        fit.border
    ));
    let side = |s: &str| {
        if fit.flanks {
            format!("{s} sees or flank-{s} sees")
        } else {
            format!("{s} sees")
        }
    };
    text.push_str(&format!(
        "remember left when {}\nremember right when {}\n\n",
        side("left"),
        side("right")
    ));
    text.push_str(openings(style));
    text.push_str(&edges(fit));
    if fit.tilt {
        text.push_str(&lifted(style, fit));
    }
    text.push_str(&states(style, fit));
    text
}

fn about(name: &str, style: Style) -> String {
    let how = match style {
        Style::Pusher => "straight at the opponent; if it does not move, step back and ram again",
        Style::Dodger => "put down turned away, it swings round and goes for the side",
        Style::Trickster => "waits for the charge, steps aside, strikes the flank",
        Style::AllRounder => "off the line at the start, pushes hard, does not stay lifted",
    };
    format!("The program of {name}: {how}. See docs/tactic-language.md.")
}

fn constants(style: Style, fit: Fit) -> String {
    let mm = |x: f64| (x * fit.close_mm).round();
    match style {
        Style::Pusher => "constant patience = 1200 ms from 400 ms to 3000 ms\n".to_owned(),
        Style::Dodger => "constant patience = 800 ms from 300 ms to 2000 ms\n".to_owned(),
        Style::AllRounder => "constant patience = 900 ms from 300 ms to 2500 ms\n".to_owned(),
        Style::Trickster => format!(
            "constant nerve = 600 ms from 200 ms to 1500 ms\n\
             constant strike-distance = {} mm from {} mm to {} mm\n",
            mm(2.0),
            mm(1.1),
            mm(3.3)
        ),
    }
}

fn openings(style: Style) -> &'static str {
    match style {
        Style::Pusher => {
            "opening nose-on {\n  switch 0\n  facing 0 deg\n  side left\n  begin hunt\n}\n\
             opening nose-on-right {\n  switch 1\n  facing 0 deg\n  side right\n  begin hunt\n}\n\n"
        }
        Style::Dodger | Style::Trickster => {
            "opening turned-right {\n  switch 0\n  facing -90 deg\n  side left\n  begin swing\n}\n\
             opening turned-left {\n  switch 1\n  facing 90 deg\n  side right\n  begin swing\n}\n\n"
        }
        Style::AllRounder => {
            "opening angled-right {\n  switch 0\n  facing -45 deg\n  side left\n  begin swing\n}\n\
             opening angled-left {\n  switch 1\n  facing 45 deg\n  side right\n  begin swing\n}\n\
             opening nose-on {\n  switch 2\n  facing 0 deg\n  side left\n  begin hunt\n}\n\n"
        }
    }
}

fn edges(fit: Fit) -> String {
    format!(
        "\
# The border comes before everything else.
reflex edge-front-left when edge-front-left on border {{
  drive -{1} % -{1} % for 100 ms
  pivot 100 % right for 180 ms until centre sees
}}
reflex edge-front-right when edge-front-right on border {{
  drive -{1} % -{1} % for 100 ms
  pivot 100 % left for 180 ms until centre sees
}}
reflex edge-back when (edge-back-left on border or edge-back-right on border) and not centre sees {{
  drive {0} % {0} % for 110 ms
}}
",
        fit.cruise,
        fit.cruise.max(LEAST_BACK)
    )
}

fn lifted(style: Style, fit: Fit) -> String {
    let words = match style {
        Style::AllRounder | Style::Pusher => {
            "# Lifted: off the blade, and again from the side.\n\
             reflex lifted when tilt above 5 deg for 30 ms {\n  drive -100 % -100 % for 80 ms\n  \
             arc 20 % 100 % seen for 120 ms\n}\n"
        }
        Style::Dodger => {
            "# Lifted: stop pushing, get off the blade, come again from another side.\n\
             reflex lifted when tilt above 4 deg for 20 ms {\n  drive -100 % -100 % for 70 ms\n  \
             pivot 100 % unseen for 80 ms\n  arc 50 % 100 % seen for 200 ms\n}\n"
        }
        Style::Trickster => {
            "# Lifted: stop pushing and get off the blade.\n\
             reflex lifted when tilt above 4 deg for 20 ms {\n  drive -100 % -100 % for 70 ms\n  \
             pivot 100 % unseen for 80 ms\n}\n"
        }
    };
    tamed(words, fit)
}

/// Arcs that go forward no faster than it may charge, backing off hardly faster.
fn tamed(words: &str, fit: Fit) -> String {
    let back = fit.cruise.max(LEAST_BACK);
    let mut text = words.replace("drive -100 % -100 %", &format!("drive -{back} % -{back} %"));
    for inner in [20, 50, 55, 60] {
        let of = |effort: u32| (effort * fit.cruise).div_ceil(100);
        text = text.replace(
            &format!("arc {inner} % 100 %"),
            &format!("arc {} % {} %", of(inner), of(100)),
        );
    }
    text
}

/// What it does about what it sees.
fn follow(style: Style, fit: Fit) -> String {
    let (inner, outer) = match style {
        Style::AllRounder => ("0 %", "100 %"),
        _ => ("-30 %", "100 %"),
    };
    let flanks = if fit.flanks {
        "    flank-left sees: pivot 100 % left\n    flank-right sees: pivot 100 % right\n"
    } else {
        ""
    };
    format!(
        "  follow {{\n    centre sees within close: drive 100 % 100 %\n    \
         centre sees: drive cruise cruise\n    left sees: drive {inner} {outer}\n    \
         right sees: drive {outer} {inner}\n{flanks}    otherwise: drive roam roam\n  }}\n"
    )
}

fn states(style: Style, fit: Fit) -> String {
    let (any, follow) = (fit.any(), follow(style, fit));
    let lost = format!("  go search when not ({any}) for 60 ms\n");
    let search = format!(
        "state search {{\n  go hunt when {any}\n  pivot 60 % seen for 700 ms\n  \
         drive roam roam for 250 ms\n}}\n"
    );
    let words = match style {
        Style::Pusher => format!(
            "\nstate hunt {{\n  go back-off when centre sees within close for patience\n{lost}{follow}}}\n\
             {search}# It does not move: step back and ram from another angle.\nstate back-off {{\n  \
             drive -100 % -100 % for 60 ms\n  arc 20 % 100 % chosen for 100 ms\n  then hunt\n}}\n"
        ),
        Style::Dodger => format!(
            "\nstate swing {{\n  arc 60 % 100 % chosen for 150 ms\n  then hunt\n}}\n\
             state hunt {{\n  go slip-away when centre sees within close for patience\n{lost}{follow}}}\n\
             {search}state slip-away {{\n  drive -100 % -100 % for 70 ms\n  pivot 100 % unseen for 80 ms\n  \
             arc 50 % 100 % seen for 200 ms\n  then hunt\n}}\n"
        ),
        Style::Trickster => format!(
            "\nstate swing {{\n  arc 60 % 100 % chosen for 150 ms\n  then hunt\n}}\n\
             state hunt {{\n  go lurk when centre sees beyond strike-distance\n{lost}{follow}}}\n\
             # Stand still and let it come; close enough, step aside.\nstate lurk {{\n  \
             stay nerve then attack\n  go sidestep when centre sees within strike-distance\n  \
             go hunt when not centre sees for 40 ms\n  wait\n}}\n\
             state sidestep {{\n  pivot 100 % unseen for 80 ms\n  arc 55 % 100 % seen for 180 ms\n  \
             then attack\n}}\n\
             state attack {{\n  stay 1500 ms then hunt\n{lost}{follow}}}\n{search}"
        ),
        Style::AllRounder => format!(
            "\nstate swing {{\n  arc 50 % 100 % chosen for 110 ms\n  then hunt\n}}\n\
             state hunt {{\n  go again when centre sees within close for patience\n{lost}{follow}}}\n\
             state again {{\n  drive -100 % -100 % for 60 ms\n  arc 20 % 100 % seen for 100 ms\n  \
             then hunt\n}}\n{search}"
        ),
    };
    tamed(&words, fit)
}
