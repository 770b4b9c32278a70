//! Holds computed numbers against published ones, for the tests of formulas.

/// Asserts that every row, named, agrees with the source to the tolerance; returns the largest
/// deviation.
///
/// A row is its name, what we compute and what the source prints.
pub(super) fn agrees(source: &str, tolerance: f64, rows: &[(&str, f64, f64)]) -> f64 {
    assert!(!rows.is_empty(), "{source}: nothing compared");
    let mut largest: f64 = 0.0;
    for (name, ours, theirs) in rows {
        let deviation = (ours - theirs).abs();
        assert!(
            deviation <= tolerance,
            "{source}, {name}: ours {ours}, published {theirs}, more than {tolerance} apart"
        );
        largest = largest.max(deviation);
    }
    largest
}
