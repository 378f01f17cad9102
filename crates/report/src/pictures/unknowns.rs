//! What is not known well: by how much each figure, measured exactly, would narrow what paper says.

use super::bars::{self, Bar};
use super::canvas::{Canvas, Fill};
use crate::check::Examined;
use crate::number::percent;

/// Figures shown for each number.
const MOST: usize = 3;
/// A share below this is not worth a bar.
const LEAST: f64 = 0.01;

/// Draws it.
pub(super) fn picture(e: &Examined<'_>) -> Option<String> {
    let doubts = &e.paper.doubts;
    if doubts.is_empty() {
        return None;
    }
    let title = format!("{}: what to measure first", e.setting.robot.name);
    let subtitle = "How much narrower what paper says of push, charge and safe speed would be if you knew \
                    a figure exactly. Measure the longest bars first.";
    let mut canvas = Canvas::new(&title, subtitle);
    let mut all = Vec::new();
    type Of = fn(&paper::Doubt) -> Option<paper::Sway>;
    let numbers: [(&str, Of, Fill); 3] = [
        ("push", |d| d.push_n, Fill::Rising),
        ("charge", |d| d.charge_s, Fill::Falling),
        ("safe speed", |d| d.safe_m_s, Fill::Dotted),
    ];
    for (number, of, fill) in numbers {
        let mut found: Vec<(f64, &str)> = (doubts.iter())
            .filter_map(|d| Some((of(d)?.narrows, d.path.as_str())))
            .filter(|f| f.0 >= LEAST)
            .collect();
        found.sort_by(|a, b| b.0.total_cmp(&a.0).then(a.1.cmp(b.1)));
        all.extend(found.iter().take(MOST).map(|(share, path)| Bar {
            label: format!("{number}: {}", short(path)),
            value: 100.0 * share,
            spread: None,
            shown: percent(*share),
            fill,
        }));
    }
    bars::draw(&mut canvas, &all, None);
    Some(canvas.finish())
}

/// A path in few words: the kind of part and what of it.
fn short(path: &str) -> String {
    let words: Vec<&str> = path.split('/').collect();
    let key = words.last().copied().unwrap_or_default().replace('-', " ");
    let thing = match words[..] {
        ["parts", id, _] => id.split('-').next().unwrap_or(id),
        [.., thing, _] => thing,
        _ => "",
    };
    format!("{thing} {key}").trim().to_owned()
}

#[cfg(test)]
mod tests {
    use super::short;

    #[test]
    fn a_path_is_told_in_few_words() {
        assert_eq!(
            short("parts/gearmotor-small-1000/stall-torque"),
            "gearmotor stall torque"
        );
        assert_eq!(short("hull/body/friction"), "body friction");
        assert_eq!(short("blade/tip-height"), "blade tip height");
    }
}
