//! Straight lines between tabulated points.

/// Returns the value at `x` on the line through points in the order of their first number.
///
/// Beyond either end the value of that end holds.
pub(super) fn at(points: &[(f64, f64)], x: f64) -> f64 {
    let after = points.partition_point(|(known, _)| *known <= x);
    let before = after.checked_sub(1).and_then(|n| points.get(n));
    match (before, points.get(after)) {
        (Some((x0, y0)), Some((x1, y1))) => y0 + (y1 - y0) * (x - x0) / (x1 - x0),
        (Some((_, y)), None) | (None, Some((_, y))) => *y,
        (None, None) => f64::NAN,
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::engineering::published::agrees;

    #[test]
    fn points_are_met_and_ends_hold() {
        let points = [(-20.0, 0.2), (0.0, 0.75), (20.0, 1.0)];
        let rows = [
            ("below", at(&points, -40.0), 0.2),
            ("first", at(&points, -20.0), 0.2),
            ("between", at(&points, -10.0), 0.475),
            ("middle", at(&points, 0.0), 0.75),
            ("last", at(&points, 20.0), 1.0),
            ("above", at(&points, 40.0), 1.0),
        ];
        agrees("by hand", 1e-12, &rows);
        assert!(at(&[], 1.0).is_nan());
    }
}
