//! In which order to eliminate, so that little fills in: least degree first (Tinney and Walker,
//! Proceedings of the IEEE 55 (1967) 1801), on groups of unknowns.

/// An order of `n` groups, given who is coupled with whom. Of equals the lower index goes first.
pub(crate) fn least_degree(n: usize, couples: &[Vec<usize>]) -> Vec<usize> {
    let mut near: Vec<Vec<usize>> = vec![Vec::new(); n];
    for couple in couples {
        for &a in couple {
            near[a].extend(couple.iter().filter(|&&b| b != a));
        }
    }
    for list in &mut near {
        list.sort_unstable();
        list.dedup();
    }
    let mut gone = vec![false; n];
    let mut order = Vec::with_capacity(n);
    for _ in 0..n {
        let next = (0..n).filter(|&i| !gone[i]).min_by_key(|&i| near[i].len());
        let Some(next) = next else { break };
        gone[next] = true;
        order.push(next);
        let around = core::mem::take(&mut near[next]);
        // Whoever was coupled with it is now coupled with each other.
        for &a in &around {
            let mut merged: Vec<usize> = near[a]
                .iter()
                .chain(&around)
                .copied()
                .filter(|&b| b != a && !gone[b])
                .collect();
            merged.sort_unstable();
            merged.dedup();
            near[a] = merged;
        }
    }
    order
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_middle_of_a_star_goes_last() {
        let couples: Vec<Vec<usize>> = (1..6).map(|i| vec![0, i]).collect();
        let order = least_degree(6, &couples);
        // Once four points are gone, the middle is no more coupled than the last point.
        assert_eq!(order, [1, 2, 3, 4, 0, 5]);
    }

    #[test]
    fn everybody_is_in_the_order_once() {
        let couples: Vec<Vec<usize>> = (0..40).map(|i| vec![i, (i * 7 + 3) % 40]).collect();
        let mut order = least_degree(40, &couples);
        order.sort_unstable();
        assert_eq!(order, (0..40).collect::<Vec<_>>());
    }
}
