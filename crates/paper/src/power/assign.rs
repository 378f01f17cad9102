//! A proposal: which line goes to which pin.
//!
//! Lines the file gives a pin keep it. The rest are matched with the pins left so that the sum of what
//! speaks against each pair is least (the assignment problem, solved by the Hungarian method with
//! potentials: Kuhn 1955, Munkres 1957; form from memory). What speaks against a pair is written below;
//! where sums are equal the earlier pin goes to the earlier line, so that the proposal is always the same.

use robot::{AtReset, BoardSheet, Can, Pin};

use super::lines::{Line, Role};

/// No pin is worse than any of these together, but better than a pin that cannot.
const NO_PIN: i64 = 1_000_000;
/// A pin that cannot do what the line needs.
const CANNOT: i64 = 100_000_000;
/// The line's voltage is more than the pin stands: last resort, with a divider.
const TOO_HIGH: i64 = 20_000;
/// A motor's line on a pin that moves it before the program runs.
const MOVES: i64 = 6_000;
/// A line that may keep the board from starting.
const KEEPS_FROM_STARTING: i64 = 4_000;
/// Something else on the board hangs on the pin.
const SHARED: i64 = 2_000;
/// Something there is to mind.
const NOTE: i64 = 300;
/// An ability wasted that others may need: measuring is the scarcest.
const WASTES_ADC: i64 = 400;
const WASTES_BUS: i64 = 200;
const WASTES_PWM: i64 = 150;
const WASTES_INTERRUPT: i64 = 100;
/// The line would be better off with an ability the pin lacks.
const MISSES: i64 = 350;

/// What speaks against `line` on the pin number `k`.
pub(super) fn against(sheet: &BoardSheet, line: &Line, k: usize) -> i64 {
    let pin = &sheet.pins[k];
    if pin.reserved.is_some() || !line.needs.iter().all(|c| pin.can(*c)) {
        return CANNOT;
    }
    let wants = |what: Can| line.needs.contains(&what) || line.likes == Some(what);
    let wastes = |what: Can, cost: i64| {
        if pin.can(what) && !wants(what) {
            cost
        } else {
            0
        }
    };
    let when = |is: bool, cost: i64| if is { cost } else { 0 };
    // A bus that any pin can be is not wasted by taking one pin.
    let one_bus = pin.bus.as_deref().is_some_and(|b| b != "any");
    let moves = matches!(pin.at_reset, AtReset::Pulses | AtReset::PulledUp);
    let order = i64::try_from(k).unwrap_or(i64::MAX / 2);
    order
        + wastes(Can::Adc, WASTES_ADC)
        + wastes(Can::Pwm, WASTES_PWM)
        + wastes(Can::Interrupt, WASTES_INTERRUPT)
        + when(one_bus && line.role != Role::Bus, WASTES_BUS)
        + when(line.likes.is_some_and(|l| !pin.can(l)), MISSES)
        + when(pin.shared.is_some(), SHARED)
        + when(pin.strap.is_some(), KEEPS_FROM_STARTING)
        + when(moves && line.role == Role::Motor, MOVES)
        + when(moves && line.role == Role::Driven, MOVES / 4)
        + when(pin.note.is_some(), NOTE)
        + when(
            line.signal_v.is_some_and(|v| v > sheet.stands_v(pin)),
            TOO_HIGH,
        )
}

/// A pin for each line, by index; none: the board has none left that could.
#[must_use]
pub(super) fn assign(sheet: &BoardSheet, lines: &[Line]) -> Vec<Option<usize>> {
    let mut pins: Vec<Option<usize>> = (lines.iter())
        .map(|l| l.said.as_ref().and_then(|s| sheet.pin(&s.pin)))
        .collect();
    let mut taken: Vec<bool> = vec![false; sheet.pins.len()];
    for k in pins.iter().flatten() {
        taken[*k] = true;
    }
    bus(sheet, lines, &mut pins, &mut taken);
    let open: Vec<usize> = (0..lines.len())
        .filter(|i| pins[*i].is_none() && lines[*i].role != Role::Bus)
        .collect();
    let free: Vec<usize> = (0..taken.len()).filter(|k| !taken[*k]).collect();
    // As many places without a pin as there are lines: every line finds one.
    let costs: Vec<Vec<i64>> = (open.iter())
        .map(|i| {
            let real = free.iter().map(|k| against(sheet, &lines[*i], *k));
            real.chain(open.iter().map(|_| NO_PIN)).collect()
        })
        .collect();
    for (row, column) in cheapest(&costs).into_iter().enumerate() {
        pins[open[row]] = free.get(column).copied();
    }
    pins
}

/// Puts every bus line without a pin on one pair of pins: that of the sensors the file wires, else the
/// pair against which least speaks.
fn bus(sheet: &BoardSheet, lines: &[Line], pins: &mut [Option<usize>], taken: &mut [bool]) {
    let on = |what: Can| (0..lines.len()).filter(move |i| lines[*i].needs.contains(&what));
    if on(Can::Sda).chain(on(Can::Scl)).all(|i| pins[i].is_some()) {
        return;
    }
    let wired = |what: Can| on(what).find_map(|i| pins[i]);
    let same_bus = |a: &Pin, b: &Pin| a.bus.is_some() && a.bus == b.bus;
    let mut best: Option<(i64, usize, usize)> = None;
    let fits = |k: usize, what: Can| {
        let said = wired(what);
        said.map_or(!taken[k], |s| s == k) && sheet.pins[k].can(what)
    };
    let cost = |k: usize, what: Can| on(what).next().map_or(0, |i| against(sheet, &lines[i], k));
    for sda in (0..sheet.pins.len()).filter(|k| fits(*k, Can::Sda)) {
        for scl in (0..sheet.pins.len()).filter(|k| fits(*k, Can::Scl) && *k != sda) {
            if !same_bus(&sheet.pins[sda], &sheet.pins[scl]) {
                continue;
            }
            let sum = cost(sda, Can::Sda) + cost(scl, Can::Scl);
            if sum < CANNOT && best.is_none_or(|(least, ..)| sum < least) {
                best = Some((sum, sda, scl));
            }
        }
    }
    if let Some((_, sda, scl)) = best {
        for (what, k) in [(Can::Sda, sda), (Can::Scl, scl)] {
            for i in on(what) {
                pins[i].get_or_insert(k);
            }
            taken[k] = true;
        }
    }
}

/// The column of each row so that the sum of costs is least; at least as many columns as rows.
fn cheapest(costs: &[Vec<i64>]) -> Vec<usize> {
    let (n, m) = (costs.len(), costs.first().map_or(0, Vec::len));
    // Rows and columns from 1 on; 0 stands for none. `u` and `v` are the potentials, `row_of` the row
    // each column has, `way` the column before on the shortest path.
    let (mut u, mut v) = (vec![0_i64; n + 1], vec![0_i64; m + 1]);
    let (mut row_of, mut way) = (vec![0_usize; m + 1], vec![0_usize; m + 1]);
    for row in 1..=n {
        row_of[0] = row;
        let mut column = 0;
        let mut least = vec![i64::MAX; m + 1];
        let mut used = vec![false; m + 1];
        while row_of[column] != 0 {
            used[column] = true;
            let from = row_of[column];
            let (mut delta, mut next) = (i64::MAX, 0);
            for k in 1..=m {
                if used[k] {
                    continue;
                }
                let reduced = costs[from - 1][k - 1] - u[from] - v[k];
                if reduced < least[k] {
                    least[k] = reduced;
                    way[k] = column;
                }
                if least[k] < delta {
                    delta = least[k];
                    next = k;
                }
            }
            for k in 0..=m {
                if used[k] {
                    u[row_of[k]] += delta;
                    v[k] -= delta;
                } else if least[k] < i64::MAX {
                    least[k] -= delta;
                }
            }
            column = next;
        }
        while column != 0 {
            let before = way[column];
            row_of[column] = row_of[before];
            column = before;
        }
    }
    let mut found = vec![0; n];
    for k in 1..=m {
        if row_of[k] != 0 {
            found[row_of[k] - 1] = k - 1;
        }
    }
    found
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Every way to place the rows, for a handful of them.
    fn least_by_trying(costs: &[Vec<i64>], used: &mut Vec<usize>) -> i64 {
        let row = used.len();
        if row == costs.len() {
            return 0;
        }
        let mut least = i64::MAX;
        for k in 0..costs[row].len() {
            if !used.contains(&k) {
                used.push(k);
                least = least.min(costs[row][k] + least_by_trying(costs, used));
                used.pop();
            }
        }
        least
    }

    #[test]
    fn the_cheapest_matching_is_that_of_trying_them_all() {
        // A small linear congruential generator (Knuth's MMIX constants): any spread of costs will do.
        let mut seed = 7_u64;
        let mut next = || {
            seed = seed
                .wrapping_mul(6_364_136_223_846_793_005)
                .wrapping_add(1_442_695_040_888_963_407);
            i64::try_from((seed >> 33) % 50).unwrap_or(0)
        };
        for (rows, columns) in [(1, 1), (2, 5), (4, 4), (5, 7), (6, 6)] {
            for _ in 0..20 {
                let costs: Vec<Vec<i64>> = (0..rows)
                    .map(|_| (0..columns).map(|_| next()).collect())
                    .collect();
                let found = cheapest(&costs);
                let sum: i64 = found.iter().enumerate().map(|(r, c)| costs[r][*c]).sum();
                assert_eq!(sum, least_by_trying(&costs, &mut Vec::new()), "{costs:?}");
                let mut once = found.clone();
                once.sort_unstable();
                once.dedup();
                assert_eq!(once.len(), rows, "a column twice: {found:?}");
            }
        }
    }

    #[test]
    fn nothing_to_match_is_matched_with_nothing() {
        assert!(cheapest(&[]).is_empty());
    }
}
