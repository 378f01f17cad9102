//! Fisher's exact test for a table of two by two.

use quantity::maths;

/// The one-sided chance of a table at least as lopsided as
///
/// ```text
///            rescued   lost again
/// named         a          b
/// others        c          d
/// ```
///
/// to the side of `a`, its margins given and both rows alike: Σ P(X = k) for k ≥ a with X
/// hypergeometric, P(X = k) = C(a+b, k)·C(c+d, a+c−k)/C(n, a+c) (Fisher 1935, The Design of
/// Experiments, chapter 2). 1 when a row or a column is empty: such a table says nothing.
#[must_use]
pub fn greater(a: u32, b: u32, c: u32, d: u32) -> f64 {
    let (named, others, rescued) = (a + b, c + d, a + c);
    let all = ln_choose(named + others, rescued);
    let most = named.min(rescued);
    let chance: f64 = (a..=most)
        .filter(|k| rescued - k <= others)
        .map(|k| maths::exp(ln_choose(named, k) + ln_choose(others, rescued - k) - all))
        .sum();
    chance.min(1.0)
}

/// ln of the number of ways to choose `k` of `n`, by summing logarithms of the factors.
fn ln_choose(n: u32, k: u32) -> f64 {
    let k = k.min(n - k);
    (1..=k)
        .map(|i| maths::ln(f64::from(n - k + i) / f64::from(i)))
        .sum()
}

#[cfg(test)]
mod tests {
    use super::greater;

    /// How far sums of logarithms may be off: measured below 1e-14 on these tables.
    const ROUNDING: f64 = 1e-12;

    /// Fisher 1935, chapter 2: eight cups, three of the four with milk first named right: 17 of the
    /// 70 ways to choose are as good or better (16 with three right, 1 with four).
    #[test]
    fn the_lady_tasting_tea() {
        assert!((greater(3, 1, 1, 3) - 17.0 / 70.0).abs() < ROUNDING);
        assert!((greater(4, 0, 0, 4) - 1.0 / 70.0).abs() < ROUNDING);
        assert!((greater(2, 2, 2, 2) - 53.0 / 70.0).abs() < ROUNDING);
        assert!((greater(0, 4, 4, 0) - 1.0).abs() < ROUNDING);
    }

    /// Every table of the same margins has its chance, and together they have all of it: P(X ≥ a)
    /// and P(X ≥ a + 1) differ by P(X = a), and the whole sums to 1.
    #[test]
    fn the_chances_of_all_tables_add_up() {
        let (named, others, rescued) = (13_u32, 22_u32, 17_u32);
        let least = rescued.saturating_sub(others);
        let most = named.min(rescued);
        let tail = |k: u32| greater(k, named - k, rescued - k, others + k - rescued);
        assert!((tail(least) - 1.0).abs() < ROUNDING);
        assert!((least..most).all(|k| tail(k) > tail(k + 1)));
        // By hand: C(13, 13) C(22, 4)/C(35, 17) = 7315/4537567650.
        assert!((tail(most) - 7315.0 / 4_537_567_650.0).abs() < ROUNDING);
    }

    #[test]
    fn a_table_with_an_empty_row_or_column_says_nothing() {
        assert!((greater(0, 0, 5, 7) - 1.0).abs() < ROUNDING);
        assert!((greater(5, 7, 0, 0) - 1.0).abs() < ROUNDING);
        assert!((greater(5, 0, 7, 0) - 1.0).abs() < ROUNDING);
        assert!((greater(0, 5, 0, 7) - 1.0).abs() < ROUNDING);
    }
}
