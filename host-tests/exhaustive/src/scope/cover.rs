//! Mixes of options: few rows in which every combination of any `strength` options occurs.

/// Rows of options; option `n` has a value below `radices[n]`. Each row is made for the first combination that is still
/// missing, and its other options are chosen one by one for the most missing combinations.
pub(crate) fn cover(radices: &[usize], strength: usize) -> Vec<Vec<usize>> {
    let mut missing: Vec<Vec<(usize, usize)>> = combinations(radices, strength);
    let mut rows = Vec::new();
    while let Some(first) = missing.first() {
        let mut row: Vec<Option<usize>> = vec![None; radices.len()];
        for &(option, value) in first {
            row[option] = Some(value);
        }
        for option in 0..radices.len() {
            if row[option].is_some() {
                continue;
            }
            let gain = |value: usize| {
                let fits = |&&(other, wanted): &&(usize, usize)| {
                    if other == option { value == wanted } else { row[other] == Some(wanted) }
                };
                let of = |combination: &&Vec<(usize, usize)>| {
                    combination.iter().any(|(other, _)| *other == option)
                        && combination.iter().filter(fits).count() == strength
                };
                missing.iter().filter(of).count()
            };
            // Of equal values the one that fewer rows had, so that no value is left to the last.
            let had = |value: usize| rows.iter().filter(|row: &&Vec<usize>| row[option] == value).count();
            row[option] = (0..radices[option]).max_by_key(|&value| (gain(value), std::cmp::Reverse(had(value))));
        }
        let row: Vec<usize> = row.into_iter().flatten().collect();
        missing.retain(|combination| combination.iter().any(|&(option, value)| row[option] != value));
        rows.push(row);
    }
    rows
}

/// Every combination of values of any `strength` options.
fn combinations(radices: &[usize], strength: usize) -> Vec<Vec<(usize, usize)>> {
    let mut all = vec![vec![]];
    for _ in 0..strength {
        let longer = all.iter().flat_map(|combination: &Vec<(usize, usize)>| {
            let from = combination.last().map_or(0, |&(option, _)| option + 1);
            (from..radices.len()).flat_map(move |option| {
                (0..radices[option]).map(move |value| {
                    let mut longer = combination.clone();
                    longer.push((option, value));
                    longer
                })
            })
        });
        all = longer.collect();
    }
    all
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Given options with 2 to 5 values, then every combination of any 3 of them is in some row, in far fewer rows than
    /// there are mixes.
    #[test]
    fn every_combination_of_three_options_occurs() {
        let radices = [5, 2, 2, 3, 2, 2, 2, 2];
        let rows = cover(&radices, 3);
        let in_some_row =
            |combination: &Vec<(usize, usize)>| rows.iter().any(|row| combination.iter().all(|&(o, v)| row[o] == v));
        assert!(combinations(&radices, 3).iter().all(in_some_row));
        assert!(rows.len() < 60, "{}", rows.len());
        assert!(rows.iter().all(|row| row.len() == radices.len()));
    }
}
