//! Small dense systems of linear equations: one unknown a station.

/// Solves a small dense system by elimination with row exchange; `None` if it is singular.
pub(super) fn eliminate(mut matrix: Vec<Vec<f64>>, mut right: Vec<f64>) -> Option<Vec<f64>> {
    let count = right.len();
    for pivot in 0..count {
        let size = |row: &usize| matrix.get(*row).and_then(|row| row.get(pivot)).map_or(0.0, |entry| entry.abs());
        let best = (pivot..count).max_by(|one, other| size(one).total_cmp(&size(other)))?;
        matrix.swap(pivot, best);
        right.swap(pivot, best);
        let row = matrix.get(pivot)?.clone();
        let (lead, value) = (*row.get(pivot)?, *right.get(pivot)?);
        if lead == 0.0 {
            return None;
        }
        for below in pivot + 1..count {
            let factor = *matrix.get(below)?.get(pivot)? / lead;
            for (entry, above) in matrix.get_mut(below)?.iter_mut().zip(&row) {
                *entry -= factor * above;
            }
            *right.get_mut(below)? -= factor * value;
        }
    }
    let mut solution = vec![0.0; count];
    for pivot in (0..count).rev() {
        let row = matrix.get(pivot)?;
        let known: f64 = row.iter().zip(&solution).skip(pivot + 1).map(|(entry, x)| entry * x).sum();
        *solution.get_mut(pivot)? = (right.get(pivot)? - known) / row.get(pivot)?;
    }
    Some(solution)
}

/// Whether a symmetric matrix is positive definite: all pivots of the elimination are positive.
pub(super) fn positive(mut matrix: Vec<Vec<f64>>) -> bool {
    for pivot in 0..matrix.len() {
        let Some(row) = matrix.get(pivot).cloned() else { return false };
        let lead = row.get(pivot).copied().unwrap_or(0.0);
        if lead <= 0.0 {
            return false;
        }
        for below in matrix.iter_mut().skip(pivot + 1) {
            let factor = below.get(pivot).copied().unwrap_or(0.0) / lead;
            for (entry, above) in below.iter_mut().zip(&row) {
                *entry -= factor * above;
            }
        }
    }
    true
}
