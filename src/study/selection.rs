//! Which few of many to show.

/// Up to `most` places out of `count`, evenly spread, the first and the last among them; rising.
#[must_use]
pub fn spread(count: usize, most: usize) -> Vec<usize> {
    if count <= most {
        return (0..count).collect();
    }
    match most {
        0 => Vec::new(),
        1 => vec![count / 2],
        _ => (0..most).map(|i| (i * (count - 1) + (most - 1) / 2) / (most - 1)).collect(),
    }
}

/// Place of the value in `values` that is nearest to `wanted`; none if there is no finite value.
#[must_use]
pub fn nearest(values: &[f64], wanted: f64) -> Option<usize> {
    let finite = values.iter().enumerate().filter(|(_, v)| v.is_finite());
    finite.min_by(|a, b| (a.1 - wanted).abs().total_cmp(&(b.1 - wanted).abs())).map(|(i, _)| i)
}
