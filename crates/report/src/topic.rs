//! What findings and pages are about.

/// What a finding or a page is about, in the order in which pages are listed.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) enum Topic {
    /// Rules and inspection.
    Inspection,
    /// Standing, weight on the wheels, tipping.
    Standing,
    /// Pins, wires, fuse, board.
    Wiring,
    /// The ring's edge.
    Edge,
    /// What the program does with what is on board.
    Program,
    /// The ideas of the programs in the box.
    Tactics,
    /// Seeing and searching.
    Sight,
    /// Push, grip, speed, turning.
    Drive,
    /// Blades, getting under, what can be reached, lifting.
    Under,
    /// The frame and what it bears.
    Frame,
    /// Pack, heat, current.
    Power,
    /// Mass and money.
    Budget,
    /// What is not known and how it is measured.
    Measuring,
    /// Why bouts end as they do.
    Bouts,
    /// How sure a number is.
    Numbers,
    /// None of these.
    Other,
}

impl Topic {
    /// All of them in order.
    pub(crate) const ALL: [Self; 16] = [
        Self::Inspection,
        Self::Standing,
        Self::Wiring,
        Self::Edge,
        Self::Program,
        Self::Tactics,
        Self::Sight,
        Self::Drive,
        Self::Under,
        Self::Frame,
        Self::Power,
        Self::Budget,
        Self::Measuring,
        Self::Bouts,
        Self::Numbers,
        Self::Other,
    ];

    /// As a heading.
    pub(crate) fn title(self) -> &'static str {
        match self {
            Self::Inspection => "Rules and inspection",
            Self::Standing => "Standing and tipping",
            Self::Wiring => "Pins and wires",
            Self::Edge => "The edge of the ring",
            Self::Program => "The program and what is on board",
            Self::Tactics => "Programs in the box, from short to full",
            Self::Sight => "Seeing and searching",
            Self::Drive => "Push, grip, speed, turning",
            Self::Under => "Blades, gaps and getting under",
            Self::Frame => "The frame and what it bears",
            Self::Power => "Pack, current and heat",
            Self::Budget => "Mass, money and style",
            Self::Measuring => "What is not known, and how to measure it",
            Self::Bouts => "Why bouts end as they do",
            Self::Numbers => "How sure a number is",
            Self::Other => "More",
        }
    }
}

/// The topic of the finding, cause or page `name`.
pub(crate) fn topic_of(name: &str) -> Topic {
    TOPICS
        .iter()
        .find(|(_, names)| names.split_whitespace().any(|n| matches(name, n)))
        .map_or(Topic::Other, |(topic, _)| *topic)
}

/// Where the page `name` stands in its topic, where the topic has an order of its own; else 0.
pub(crate) fn place_of(name: &str) -> usize {
    let mut programs = SHORT_TO_FULL.split_whitespace();
    programs.position(|n| n == name).unwrap_or_default()
}

/// Whether `name` is `pattern`, which may end in a star.
fn matches(name: &str, pattern: &str) -> bool {
    match pattern.strip_suffix('*') {
        Some(start) => name.starts_with(start),
        None => name == pattern,
    }
}

/// Pages of the programs in the box, the shortest program first: who reads on understands the next.
const SHORT_TO_FULL: &str = "tactic-first tactic-charger tactic-spinner tactic-demo tactic-pusher \
    tactic-limpet tactic-tracks tactic-wriggle tactic-lift tactic-skirt tactic-dodger \
    tactic-allrounder tactic-jack tactic-bait tactic-trickster";

/// Names by topic; one that ends in a star stands for all that begin so. The first that fits counts.
const TOPICS: &[(Topic, &str)] = &[
    (
        Topic::Inspection,
        "too-long too-wide too-high too-short too-narrow over-mass under-mass not-a-kit-part \
         forbidden-part length-close width-close height-close mass-close least-length-close \
         least-width-close least-mass-close sharp-edge part-past-outline weighed-only",
    ),
    (
        Topic::Bouts,
        "edge-seen-too-late edge-ignored edge-not-left edge-unseen reversed-out pushed-tyres-slid \
         pushed-motors-stalled gave-way lifted taken-from-side never-saw tipped fault brown-out \
         false-start dropped-parts stood-still decision out-together timed-out stuck not-finite \
         program-failed",
    ),
    (
        Topic::Standing,
        "does-not-stand rests-on-body light-on-wheels tips-* magnets-idle downforce uneven-ring centre-*",
    ),
    (
        Topic::Wiring,
        "pin-* pins-* wire-* fuse-* board-* regulator-* servo-*",
    ),
    (Topic::Edge, "edge-* no-edge-* border-* ignored-too-long"),
    (
        Topic::Program,
        "sensor-never-read sensor-changes-nothing motor-never-driven sides-crossed gadget-* state-* reflex-* \
         hardly-drives turns-from-seen waits-when-seen opening-not-allowed",
    ),
    (Topic::Tactics, SHORT_TO_FULL),
    (
        Topic::Sight,
        "blind-* search-* sight-* sees-* sensor-* beam-* dark-opponent",
    ),
    (
        Topic::Drive,
        "motors-stall-first driver-limits-push hard-to-turn grip gear-* track-* wheel-* push-* \
         torque-from-the-shop rollover",
    ),
    (
        Topic::Under,
        "getting-under pinch-points folds-back blade-* lifter-* jack-* guard* parts-overlap plate-* flap-* under-*",
    ),
    (
        Topic::Frame,
        "frame* weakest-joint blade-rises open-perimeter natural-mode joint-* shove-* brace-* slap* mode* beam mechanism* screw-* stiffness* member-*",
    ),
    (
        Topic::Power,
        "sag browns-out hot-* lithium-* pack-* current-*",
    ),
    (Topic::Budget, "mass-unused styles price-*"),
    (Topic::Measuring, "unknowns measure-*"),
    (Topic::Numbers, "interval seed same-draws field odds*"),
];

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_pattern_stands_for_all_that_begin_so_and_the_first_that_fits_counts() {
        assert_eq!(topic_of("edge-too-fast"), Topic::Edge);
        assert_eq!(topic_of("edge-unseen"), Topic::Bouts);
        assert_eq!(topic_of("sensor-never-read"), Topic::Program);
        assert_eq!(topic_of("sensor-inside"), Topic::Sight);
        assert_eq!(topic_of("what-nobody-wrote"), Topic::Other);
    }
    #[test]
    fn programs_are_listed_from_short_to_full() {
        let length = |page: &str| {
            let name = page.trim_start_matches("tactic-");
            let text = shelf::file(&format!("robots/tactics/{name}.tactic"))
                .or_else(|| shelf::file(&format!("robots/{name}.tactic")));
            text.unwrap_or_else(|| panic!("{page}")).lines().count()
        };
        let pages: Vec<&str> = SHORT_TO_FULL.split_whitespace().collect();
        assert!(pages.is_sorted_by_key(|p| length(p)), "{pages:?}");
        assert!(pages.is_sorted_by_key(|p| place_of(p)));
        assert_eq!(topic_of("tactic-jack"), Topic::Tactics);
    }
}
