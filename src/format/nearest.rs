//! The word most like a misspelt one, for "did you mean".

/// Returns the candidate most like a word, or `None` when nothing is like it.
///
/// Likeness is the number of letters added, left out, changed or swapped with their neighbour
/// (optimal string alignment distance), without regard to case; at most a third of the letters may
/// differ. Of several equally like, the first in the candidates' order.
pub fn nearest<'a>(word: &str, candidates: impl IntoIterator<Item = &'a str>) -> Option<&'a str> {
    let word: Vec<char> = word.to_lowercase().chars().collect();
    if word.len() > 100 {
        return None;
    }
    let most = (word.len() / 3).max(1);
    let mut best: Option<(usize, &str)> = None;
    for candidate in candidates {
        let limit = best.map_or(most, |(distance, _)| distance - 1);
        if candidate.len().abs_diff(word.len()) > 4 * (limit + 1) {
            continue;
        }
        let letters: Vec<char> = candidate.to_lowercase().chars().collect();
        if letters.len().abs_diff(word.len()) > limit {
            continue;
        }
        let distance = distance(&word, &letters);
        if distance <= limit {
            if distance == 0 {
                return Some(candidate);
            }
            best = Some((distance, candidate));
        }
    }
    best.map(|(_, candidate)| candidate)
}

fn distance(a: &[char], b: &[char]) -> usize {
    let mut before: Vec<usize> = Vec::new();
    let mut last: Vec<usize> = (0..=b.len()).collect();
    for (i, from) in a.iter().enumerate() {
        let mut row = vec![i + 1];
        for (j, to) in b.iter().enumerate() {
            let at = |row: &[usize], k: usize| row.get(k).copied().unwrap_or(usize::MAX / 2);
            let mut least = (at(&last, j) + usize::from(from != to))
                .min(at(&last, j + 1) + 1)
                .min(at(&row, j) + 1);
            let swapped = i > 0 && j > 0 && a.get(i - 1) == Some(to) && b.get(j - 1) == Some(from);
            if swapped {
                least = least.min(at(&before, j - 1) + 1);
            }
            row.push(least);
        }
        before = std::mem::replace(&mut last, row);
    }
    last.last().copied().unwrap_or_default()
}

/// Says "did you mean" of the nearest candidate, if one is near.
pub fn did_you_mean<'a>(
    word: &str,
    candidates: impl IntoIterator<Item = &'a str>,
) -> Option<String> {
    nearest(word, candidates).map(|found| format!("did you mean '{found}'?"))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_nearest_word_wins() {
        let keys = ["engine-1", "engine-7", "medic-2"];
        assert_eq!(nearest("engine-77", keys), Some("engine-7"));
        assert_eq!(nearest("Engine-7", keys), Some("engine-7"));
        assert_eq!(nearest("emdic-2", keys), Some("medic-2"));
        assert_eq!(nearest("helicopter", keys), None);
        assert_eq!(nearest("", keys), None);
        assert_eq!(nearest("x", []), None);
    }

    #[test]
    fn a_swap_counts_once() {
        let chars = |text: &str| text.chars().collect::<Vec<_>>();
        assert_eq!(distance(&chars("heads"), &chars("haeds")), 1);
        assert_eq!(distance(&chars(""), &chars("abc")), 3);
        assert_eq!(distance(&chars("kitten"), &chars("sitting")), 3);
    }
}
