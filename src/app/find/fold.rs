//! Letters as people type them: without accents and without capitals.
//!
//! The table covers the letters of European Latin script; any other letter stays as it is, in lower
//! case. Marks that stand after their letter are dropped.

/// Returns a text without accents and capitals.
pub(crate) fn fold(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    for letter in text.chars() {
        push(letter, &mut out);
    }
    out
}

/// Returns where the words of a query stand in a text, as ranges of its bytes, in order and apart.
///
/// A word that does not occur has no range.
pub(crate) fn spans(text: &str, words: &[String]) -> Vec<std::ops::Range<usize>> {
    let mut folded = String::with_capacity(text.len());
    // For each byte of the folded text, the byte at which its letter stood, and where it ended.
    let mut from: Vec<(usize, usize)> = Vec::with_capacity(text.len());
    for (at, letter) in text.char_indices() {
        push(letter, &mut folded);
        from.resize(folded.len(), (at, at + letter.len_utf8()));
    }
    let mut found: Vec<std::ops::Range<usize>> = words
        .iter()
        .filter(|word| !word.is_empty())
        .filter_map(|word| {
            let start = folded.find(word.as_str())?;
            let (first, _) = from.get(start)?;
            let (_, last) = from.get(start + word.len() - 1)?;
            Some(*first..*last)
        })
        .collect();
    found.sort_by_key(|r| (r.start, r.end));
    let mut apart: Vec<std::ops::Range<usize>> = Vec::new();
    for range in found {
        match apart.last_mut() {
            Some(last) if range.start <= last.end => last.end = last.end.max(range.end),
            _ => apart.push(range),
        }
    }
    apart
}

fn push(letter: char, out: &mut String) {
    if letter.is_ascii() {
        out.push(letter.to_ascii_lowercase());
        return;
    }
    // Marks that combine with the letter before them.
    if ('\u{300}'..='\u{36f}').contains(&letter) {
        return;
    }
    for letter in letter.to_lowercase() {
        match plain(letter) {
            Some(plain) => out.push_str(plain),
            None => out.push(letter),
        }
    }
}

/// Returns what people type for an accented letter in lower case.
fn plain(letter: char) -> Option<&'static str> {
    Some(match letter {
        'à'..='å' | 'ā' | 'ă' | 'ą' => "a",
        'æ' => "ae",
        'ç' | 'ć' | 'ĉ' | 'ċ' | 'č' => "c",
        'ď' | 'đ' | 'ð' => "d",
        'è'..='ë' | 'ē' | 'ĕ' | 'ė' | 'ę' | 'ě' => "e",
        'ĝ' | 'ğ' | 'ġ' | 'ģ' => "g",
        'ĥ' | 'ħ' => "h",
        'ì'..='ï' | 'ĩ' | 'ī' | 'ĭ' | 'į' | 'ı' => "i",
        'ĵ' => "j",
        'ķ' => "k",
        'ĺ' | 'ļ' | 'ľ' | 'ŀ' | 'ł' => "l",
        'ñ' | 'ń' | 'ņ' | 'ň' => "n",
        'ò'..='ö' | 'ø' | 'ō' | 'ŏ' | 'ő' => "o",
        'œ' => "oe",
        'ŕ' | 'ŗ' | 'ř' => "r",
        'ś' | 'ŝ' | 'ş' | 'š' | 'ș' => "s",
        'ß' => "ss",
        'ţ' | 'ť' | 'ŧ' | 'ț' => "t",
        'þ' => "th",
        'ù'..='ü' | 'ũ' | 'ū' | 'ŭ' | 'ů' | 'ű' | 'ų' => "u",
        'ŵ' => "w",
        'ý' | 'ÿ' | 'ŷ' => "y",
        'ź' | 'ż' | 'ž' => "z",
        _ => return None,
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn accents_and_capitals_do_not_count() {
        for (text, folded) in [
            ("Échelon Nord", "echelon nord"),
            ("STRAßE", "strasse"),
            ("Łódź Ørsted", "lodz orsted"),
            ("Cafe\u{301}", "cafe"),
            ("VFIRE21", "vfire21"),
            ("Ж 5", "ж 5"),
        ] {
            assert_eq!(fold(text), folded);
        }
    }

    #[test]
    fn what_matched_is_found_in_the_text_as_written() {
        let words = |all: &[&str]| -> Vec<String> { all.iter().map(|w| (*w).to_owned()).collect() };
        let text = "Große Élan 1";
        let found = spans(text, &words(&["osse", "elan"]));
        let seen: Vec<&str> = found.iter().map(|r| &text[r.clone()]).collect();
        assert_eq!(seen, ["oße", "Élan"]);
        assert!(spans(text, &words(&["absent", ""])).is_empty());
        // Ranges that touch become one.
        let joined = spans("abcd", &words(&["bc", "abc"]));
        assert_eq!((joined.len(), joined.first()), (1, Some(&(0..3))));
    }
}
