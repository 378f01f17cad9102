//! `validation league`: everyone of a class's field against everyone, from both seats.

use std::fmt::Write as _;
use std::path::Path;

use quantity::Stream;
use robot::{PartsBox, Robot, Style};
use rules::Classes;
use study::{spar, wilson, z_of};

use crate::{fight, pit};

/// Confidence of the intervals.
const LEVEL: f64 = 0.95;
/// Share of all its bouts from which a robot is said to stand out.
const STANDS_OUT: f64 = 0.7;
/// Circles shown at most of each kind; all are counted.
const SHOWN: usize = 8;

/// A league to fight.
#[derive(Debug, Clone, Copy)]
pub struct Wanted<'a> {
    /// The rule class.
    pub class: &'a str,
    /// Bouts of each pair, half of them from each seat.
    pub bouts: u32,
    /// Seed of all draws.
    pub seed: u64,
    /// A folder of your own with `robots/FIELD/`.
    pub home: Option<&'a Path>,
}

/// What came of everyone against everyone.
#[derive(Debug, Clone)]
pub struct League {
    /// The robots, best first.
    pub robots: Vec<(String, Style)>,
    /// Row against column, from the row's side; empty on the diagonal.
    pub table: Vec<Vec<spar::Tally>>,
    /// Seconds simulated.
    pub simulated_s: f64,
}

/// `one` against `two` from the other side.
fn turned(t: &spar::Tally) -> spar::Tally {
    spar::Tally {
        wins: t.losses,
        losses: t.wins,
        ..*t
    }
}

/// The pair by name: who is called ours must not hang on how the field is sorted.
fn in_order(robots: &[Robot], [i, j]: [usize; 2]) -> [usize; 2] {
    if robots[j].name < robots[i].name {
        [j, i]
    } else {
        [i, j]
    }
}

/// The seed of a pair's bouts, the same whichever is named first: a pair shares no draws with others.
fn pair_seed(seed: u64, one: &str, two: &str) -> u64 {
    let (first, second) = if two < one { (two, one) } else { (one, two) };
    let league = Stream::root(seed).named("league");
    league.named(first).named(second).key()
}

/// Fights the league. Every pair meets once, as `plan` seats them: sides and who is put down second
/// alternate. Each pair has draws of its own, so a row's results are independent of each other and of
/// who else is in the field.
///
/// # Errors
/// When the class, its field or a robot of it cannot be read, in words.
pub fn fight_all(wanted: Wanted<'_>) -> Result<League, String> {
    let parts = PartsBox::built_in().map_err(|e| format!("{e:#?}"))?;
    let classes = Classes::built_in().map_err(|e| format!("{e:#?}"))?;
    let class = classes.find(wanted.class).map_err(|e| format!("{e:?}"))?;
    let robots: Vec<Robot> =
        store::field(&class.field, &parts, wanted.home).map_err(|e| format!("{e:#?}"))?;
    let n = robots.len();
    let mut table = vec![vec![spar::Tally::default(); n]; n];
    let mut simulated_s = 0.0;
    for i in 0..n {
        for j in i + 1..n {
            let [a, b] = in_order(&robots, [i, j]);
            let [ours, theirs] = [&robots[a], &robots[b]];
            let seed = pair_seed(wanted.seed, &ours.name, &theirs.name);
            let pit = pit(wanted.class, seed, ours, std::slice::from_ref(theirs));
            for (_, fought) in fight(&pit, wanted.bouts) {
                table[a][b].add(fought.verdict);
                simulated_s += f64::from(fought.time_s);
            }
            table[b][a] = turned(&table[a][b]);
        }
    }
    let mut order: Vec<usize> = (0..n).collect();
    order.sort_by_key(|&i| {
        (
            std::cmp::Reverse(sum(&table[i]).wins),
            robots[i].name.clone(),
        )
    });
    let sorted = |i: usize| order.iter().map(|&j| table[i][j]).collect();
    Ok(League {
        robots: order
            .iter()
            .map(|&i| (robots[i].name.clone(), robots[i].style))
            .collect(),
        table: order.iter().map(|&i| sorted(i)).collect(),
        simulated_s,
    })
}

/// The style as a robot file says it.
fn word(style: Style) -> &'static str {
    match style {
        Style::Pusher => "pusher",
        Style::Dodger => "dodger",
        Style::Trickster => "trickster",
        Style::AllRounder => "all-rounder",
    }
}

/// All bouts of a row.
fn sum(row: &[spar::Tally]) -> spar::Tally {
    row.iter().fold(spar::Tally::default(), |a, t| spar::Tally {
        wins: a.wins + t.wins,
        losses: a.losses + t.losses,
        ties: a.ties + t.ties,
        failed: a.failed + t.failed,
    })
}

impl League {
    /// Whether row `i` beats column `j` beyond luck: the interval of its share of the decided bouts
    /// lies above one half.
    #[must_use]
    pub fn beats(&self, i: usize, j: usize) -> bool {
        let t = &self.table[i][j];
        wilson(t.wins, t.wins + t.losses, z_of(LEVEL)).low > 0.5
    }

    /// Robots that nobody beats beyond luck.
    #[must_use]
    pub fn unbeaten(&self) -> Vec<usize> {
        let n = self.robots.len();
        let beaten = |i: usize| (0..n).any(|j| j != i && self.beats(j, i));
        (0..n).filter(|&i| !beaten(i)).collect()
    }

    /// Robots that win more than 70 % of all their bouts.
    #[must_use]
    pub fn outstanding(&self) -> Vec<usize> {
        let share = |i: usize| {
            let t = sum(&self.table[i]);
            f64::from(t.wins) / f64::from(t.bouts().max(1))
        };
        (0..self.robots.len())
            .filter(|&i| share(i) > STANDS_OUT)
            .collect()
    }

    /// Their names, or "nobody".
    fn named(&self, robots: &[usize]) -> String {
        if robots.is_empty() {
            return "nobody".to_owned();
        }
        let names: Vec<&str> = robots.iter().map(|&i| self.robots[i].0.as_str()).collect();
        names.join(", ")
    }

    /// All circles of three: a beats b, b beats c, c beats a, clearly; each begins with the robot
    /// that comes first in the table.
    #[must_use]
    pub fn circles(&self) -> Vec<[usize; 3]> {
        let n = self.robots.len();
        let mut found = Vec::new();
        for a in 0..n {
            for b in a + 1..n {
                for c in a + 1..n {
                    if self.beats(a, b) && self.beats(b, c) && self.beats(c, a) {
                        found.push([a, b, c]);
                    }
                }
            }
        }
        found
    }

    /// The circle's styles are three different ones.
    fn of_styles(&self, circle: [usize; 3]) -> bool {
        let [a, b, c] = circle.map(|i| self.robots[i].1);
        a != b && b != c && c != a
    }

    /// The table in plain text.
    #[must_use]
    pub fn text(&self, wanted: Wanted<'_>) -> String {
        let z = z_of(LEVEL);
        let n = self.robots.len();
        let mut s = String::new();
        let pairs = n * n.saturating_sub(1) / 2;
        let all = self.table.iter().flatten();
        let (ties, failed) = all.fold((0, 0), |a, t| (a.0 + t.ties, a.1 + t.failed));
        let bouts = f64::from(wanted.bouts) * pairs as f64;
        let _ = writeln!(
            s,
            "League of {}: {n} robots, {} bouts a pair from both seats, seed {}; {:.1} % ties, mean \
             bout {:.1} s, {} failed.\n",
            wanted.class,
            wanted.bouts,
            wanted.seed,
            50.0 * f64::from(ties) / bouts.max(1.0),
            self.simulated_s / bouts.max(1.0),
            failed / 2
        );
        let _ = writeln!(s, "Row against column: wins in % (ties in %).\n");
        let _ = write!(s, "{:<13}{:>18} ", "", "all, 19 to 1");
        for (name, _) in &self.robots {
            let _ = write!(s, " {:>8}", name.chars().take(7).collect::<String>());
        }
        s.push('\n');
        for (i, (name, _)) in self.robots.iter().enumerate() {
            let t = sum(&self.table[i]);
            let e = wilson(t.wins, t.bouts(), z);
            let _ = write!(
                s,
                "{name:<13}{:>5.1} ({:>4.1} to {:>4.1})",
                100.0 * e.estimate,
                100.0 * e.low,
                100.0 * e.high
            );
            for (j, t) in self.table[i].iter().enumerate() {
                let share = |x: u32| 100.0 * f64::from(x) / f64::from(t.bouts().max(1));
                let cell = if i == j {
                    "-".to_owned()
                } else if t.ties == 0 {
                    format!("{:.0}", share(t.wins))
                } else {
                    format!("{:.0} ({:.0})", share(t.wins), share(t.ties))
                };
                let _ = write!(s, " {cell:>8}");
            }
            s.push('\n');
        }
        self.clear_ones(&mut s);
        s
    }

    fn clear_ones(&self, s: &mut String) {
        let n = self.robots.len();
        let _ = writeln!(
            s,
            "\nClearly beaten (interval of the share of decided bouts above 50 %; of {} pairs about \
             {:.0} may look so by luck):\n",
            n * n.saturating_sub(1) / 2,
            (1.0 - LEVEL) * (n * n.saturating_sub(1) / 2) as f64
        );
        for (i, (name, style)) in self.robots.iter().enumerate() {
            let beaten: Vec<usize> = (0..n).filter(|&j| j != i && self.beats(i, j)).collect();
            let list = self.named(&beaten);
            let _ = writeln!(s, "{name} ({}) beats {list}", word(*style));
        }
        let _ = writeln!(
            s,
            "\nIs clearly beaten by nobody: {}. Wins more than {:.0} % of all its bouts: {}.",
            self.named(&self.unbeaten()),
            100.0 * STANDS_OUT,
            self.named(&self.outstanding())
        );
        let circles = self.circles();
        let (styles, same): (Vec<[usize; 3]>, Vec<[usize; 3]>) =
            circles.iter().partition(|c| self.of_styles(**c));
        let _ = writeln!(
            s,
            "\nCircles of three clear wins: {} with three styles, {} others.",
            styles.len(),
            same.len()
        );
        let shown = styles.iter().take(SHOWN).chain(same.iter().take(SHOWN));
        for circle in shown {
            let [a, b, c] = circle.map(|i| {
                let (name, style) = &self.robots[i];
                format!("{name} ({})", word(*style))
            });
            let _ = writeln!(s, "{a} > {b} > {c} > the first");
        }
    }
}

/// One line for each league: how even it is.
fn overview(leagues: &[(&str, League)]) -> String {
    let mut s = format!(
        "{:<13}{:>7} {:>14} {:>14} {:>9}  {:<24} {}\n",
        "class", "robots", "best", "last", "circles", "beaten by nobody", "above 70 %"
    );
    for (class, league) in leagues {
        let share = |row: Option<&Vec<spar::Tally>>| {
            row.map_or_else(String::new, |row| {
                let t = sum(row);
                let e = wilson(t.wins, t.bouts(), z_of(LEVEL));
                format!(
                    "{:.0} ({:.0} to {:.0})",
                    100.0 * e.estimate,
                    100.0 * e.low,
                    100.0 * e.high
                )
            })
        };
        let _ = writeln!(
            s,
            "{class:<13}{:>7} {:>14} {:>14} {:>9}  {:<24} {}",
            league.robots.len(),
            share(league.table.first()),
            share(league.table.last()),
            league.circles().len(),
            league.named(&league.unbeaten()),
            league.named(&league.outstanding())
        );
    }
    s
}

/// Fights and prints the leagues of these classes one after the other, and how even they are.
///
/// # Errors
/// As for [`fight_all`].
pub fn run(classes: &[&str], wanted: Wanted<'_>) -> Result<(), String> {
    let mut leagues = Vec::new();
    for &class in classes {
        let wanted = Wanted { class, ..wanted };
        let league = fight_all(wanted)?;
        println!("{}", league.text(wanted));
        leagues.push((class, league));
    }
    if leagues.len() > 1 {
        println!("{}", overview(&leagues));
    }
    Ok(())
}

#[cfg(test)]
mod tests {
    use super::*;

    fn tally(wins: u32, losses: u32) -> spar::Tally {
        spar::Tally {
            wins,
            losses,
            ..spar::Tally::default()
        }
    }

    fn made_up(one: (u32, u32), two: (u32, u32), three: (u32, u32)) -> League {
        let mut table = vec![vec![tally(0, 0); 3]; 3];
        for ([i, j], (w, l)) in [([0, 1], one), ([1, 2], two), ([2, 0], three)] {
            table[i][j] = tally(w, l);
            table[j][i] = tally(l, w);
        }
        let robot = |name: &str, style| (name.to_owned(), style);
        League {
            robots: vec![
                robot("One", Style::Pusher),
                robot("Two", Style::Dodger),
                robot("Three", Style::Trickster),
            ],
            table,
            simulated_s: 1.0,
        }
    }

    #[test]
    fn a_circle_needs_three_clear_wins() {
        let clear = (70, 30);
        assert_eq!(made_up(clear, clear, clear).circles(), [[0, 1, 2]]);
        // 55 of 100: the interval, 45 to 64 %, holds one half.
        assert!(made_up(clear, clear, (55, 45)).circles().is_empty());
        assert!(made_up(clear, clear, (30, 70)).circles().is_empty());
    }

    #[test]
    fn a_circle_the_other_way_round_is_found_too() {
        let beaten = (30, 70);
        assert_eq!(made_up(beaten, beaten, beaten).circles(), [[0, 2, 1]]);
    }

    #[test]
    fn who_is_beaten_by_nobody_and_who_stands_out_is_named() {
        let league = made_up((80, 20), (55, 45), (30, 70));
        assert_eq!(league.unbeaten(), [0]);
        assert_eq!(league.outstanding(), [0]);
        assert!(made_up((70, 30), (70, 30), (70, 30)).unbeaten().is_empty());
        let text = overview(&[("made-up", league)]);
        assert!(
            text.lines().nth(1).is_some_and(|l| l.contains("One")),
            "{text}"
        );
    }

    #[test]
    fn a_pair_has_draws_of_its_own_whoever_is_named_first() {
        let seed = pair_seed(1, "Anvil", "Badger");
        assert_eq!(seed, pair_seed(1, "Badger", "Anvil"));
        for other in [
            pair_seed(1, "Anvil", "Crowbar"),
            pair_seed(1, "Badger", "Crowbar"),
            pair_seed(2, "Anvil", "Badger"),
            1,
        ] {
            assert_ne!(seed, other);
        }
    }
}
