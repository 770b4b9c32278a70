//! Matching with letters left out: "tdy sel" finds "Tidy the selection".
//!
//! All letters typed must come in the text in their order. Letters at the beginning of words and
//! letters in a row count for more, gaps for less. The weights are common practice, no source.

/// How well a text fits what was typed.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct Match {
    /// More is better.
    pub points: i32,
    /// The bytes of the text at which the matched letters begin, in order.
    pub letters: Vec<usize>,
}

const IN_A_ROW: i32 = 6;
const AT_A_WORD: i32 = 9;
const AT_THE_START: i32 = 4;
const LETTER: i32 = 2;
const GAP: i32 = 1;

/// Matches folded letters against a text; `None` when they do not all come in it, in order.
///
/// Blanks in what was typed are skipped. Complexity: the square of the text's length at most.
pub(crate) fn fuzzy(typed: &str, text: &str) -> Option<Match> {
    let typed: Vec<char> = typed.chars().filter(|c| !c.is_whitespace()).collect();
    let first = *typed.first()?;
    let letters: Vec<(usize, char)> = text
        .char_indices()
        .filter_map(|(at, c)| {
            let folded = super::fold(c.encode_utf8(&mut [0; 4]));
            Some((at, folded.chars().next()?))
        })
        .collect();
    let mut best: Option<Match> = None;
    for start in 0..letters.len() {
        if letters.get(start).is_some_and(|(_, c)| *c == first)
            && let Some(found) = from(&typed, &letters, start)
            && best.as_ref().is_none_or(|b| found.points > b.points)
        {
            best = Some(found);
        }
    }
    best
}

/// Matches from a letter on, each letter at the next word's beginning if it stands there, else at
/// its next place.
fn from(typed: &[char], letters: &[(usize, char)], start: usize) -> Option<Match> {
    let begins = |i: usize| {
        i == 0
            || letters
                .get(i - 1)
                .is_some_and(|(_, before)| !before.is_alphanumeric())
    };
    let mut at = start;
    let mut last: Option<usize> = None;
    let mut found = Match {
        points: 0,
        letters: Vec::with_capacity(typed.len()),
    };
    for wanted in typed {
        let is_wanted = |i: &usize| letters.get(*i).is_some_and(|(_, c)| c == wanted);
        let next = (at..letters.len()).find(is_wanted)?;
        let in_a_row = last.is_some_and(|l| l + 1 == next);
        let place = if in_a_row || begins(next) {
            next
        } else {
            (next..letters.len())
                .filter(is_wanted)
                .find(|i| begins(*i))
                .unwrap_or(next)
        };
        found.points += LETTER;
        if last.is_some_and(|l| l + 1 == place) {
            found.points += IN_A_ROW;
        } else if let Some(last) = last {
            found.points -= GAP * few(place - last, 8);
        }
        if begins(place) {
            found.points += AT_A_WORD;
        }
        if place == 0 {
            found.points += AT_THE_START;
        }
        found.letters.push(letters.get(place)?.0);
        last = Some(place);
        at = place + 1;
    }
    // Of two equal fits the shorter text is meant.
    found.points -= few(letters.len(), 60) / 12;
    Some(found)
}

fn few(count: usize, most: u8) -> i32 {
    i32::from(u8::try_from(count).unwrap_or(most).min(most))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn best<'a>(typed: &str, texts: &[&'a str]) -> Option<&'a str> {
        texts
            .iter()
            .filter_map(|text| Some((fuzzy(typed, text)?.points, *text)))
            .max_by_key(|(points, _)| *points)
            .map(|(_, text)| text)
    }

    #[test]
    fn letters_may_be_left_out_but_not_change_places() {
        assert!(fuzzy("tdsel", "Tidy the selection").is_some());
        assert!(fuzzy("ydt", "Tidy").is_none());
        assert!(fuzzy("", "Tidy").is_none());
        assert!(fuzzy("tidyx", "Tidy").is_none());
        assert!(fuzzy("eco", "École").is_some(), "accents do not count");
    }

    #[test]
    fn beginnings_and_rows_of_letters_win() {
        let all = [
            "Show everything",
            "Tidy the board",
            "Tidy the selection",
            "Select all",
            "Shelf",
            "Align left",
        ];
        for (typed, wanted) in [
            ("tidy s", "Tidy the selection"),
            ("al", "Align left"),
            ("sa", "Select all"),
            ("shel", "Shelf"),
            ("tb", "Tidy the board"),
        ] {
            assert_eq!(best(typed, &all), Some(wanted), "{typed}");
        }
    }

    #[test]
    fn what_matched_is_told_by_its_place() {
        let found = fuzzy("tb", "Tidy the board").unwrap();
        assert_eq!(found.letters, [0, 9]);
    }
}
