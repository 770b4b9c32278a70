//! Small turns of phrase that headlines share.

use crate::hearing::rules::Spot;

/// Says how many there are of a thing: "1 radio", "3 radios".
pub(super) fn count(number: usize, word: &str) -> String {
    if number == 1 {
        format!("1 {word}")
    } else {
        format!("{number} {word}s")
    }
}

/// Joins names: "A", "A and B", "A, B and C"; past four, "A, B, C and 9 more".
pub(super) fn list(names: &[String]) -> String {
    match names {
        [] => String::new(),
        [one] => one.clone(),
        [a, b, c, d, rest @ ..] if !rest.is_empty() => {
            format!("{a}, {b}, {c}, {d} and {} more", rest.len())
        }
        [first @ .., last] => format!("{} and {last}", first.join(", ")),
    }
}

/// Says where on the air, without a system's name: facts must outlive renaming.
pub(super) fn spot(spot: Spot) -> String {
    match spot {
        Spot::Frequency(frequency) => frequency.to_string(),
        Spot::Group { group, .. } => format!("group {group}"),
    }
}

/// Rounds to a tenth, so that facts outlive differences nobody would notice.
pub(super) fn tenths(value: f64) -> f64 {
    (value * 10.0).round() / 10.0
}

/// Rounds to a hundredth.
pub(super) fn hundredths(value: f64) -> f64 {
    (value * 100.0).round() / 100.0
}

/// Turns a share into whole percent.
pub(super) fn percent(share: f64) -> f64 {
    (share * 100.0).round()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn lists_read_like_speech() {
        let names = |n: usize| -> Vec<String> { (1..=n).map(|i| format!("N{i}")).collect() };
        assert_eq!(list(&names(1)), "N1");
        assert_eq!(list(&names(3)), "N1, N2 and N3");
        assert_eq!(list(&names(4)), "N1, N2, N3 and N4");
        assert_eq!(list(&names(6)), "N1, N2, N3, N4 and 2 more");
        assert_eq!(count(1, "radio"), "1 radio");
        assert_eq!(count(0, "radio"), "0 radios");
    }

    #[test]
    fn numbers_are_rounded_as_read() {
        let of = |value: f64| [tenths(value), hundredths(value), percent(value)].map(f64::to_bits);
        assert_eq!(of(0.456), [0.5, 0.46, 46.0].map(f64::to_bits));
        assert_eq!(of(2.0), [2.0, 2.0, 200.0].map(f64::to_bits));
    }
}
