//! A text as words, and the small vocabulary of numbers, bands and roles.

use crate::model::{Frequency, Role};

/// The words of a text, taken one by one from the front.
#[derive(Debug, Clone)]
pub(super) struct Words {
    /// As typed, and in small letters.
    words: Vec<(String, String)>,
    at: usize,
}

impl Words {
    pub(super) fn of(text: &str) -> Self {
        let spaced = text
            .replace("->", " -> ")
            .replace('→', " -> ")
            .replace(',', " ");
        let mut words = Vec::new();
        for word in spaced.split_whitespace() {
            for part in parts(word) {
                let small = part.to_lowercase();
                words.push((part, small));
            }
        }
        Self { words, at: 0 }
    }

    pub(super) fn is_empty(&self) -> bool {
        self.at >= self.words.len()
    }

    pub(super) fn first(&self) -> Option<&str> {
        self.ahead(0)
    }

    /// Returns a word ahead in small letters without taking it.
    pub(super) fn ahead(&self, n: usize) -> Option<&str> {
        self.words.get(self.at + n).map(|(_, small)| small.as_str())
    }

    /// Takes the next word as it was typed.
    pub(super) fn next(&mut self) -> Option<String> {
        let word = self.words.get(self.at)?.0.clone();
        self.at += 1;
        Some(word)
    }

    pub(super) fn skip(&mut self, n: usize) {
        self.at += n;
    }

    /// Takes the next word when it is one of these.
    pub(super) fn take(&mut self, any: &[&str]) -> bool {
        let is_it = self.first().is_some_and(|word| any.contains(&word));
        if is_it {
            self.at += 1;
        }
        is_it
    }

    /// Takes several words when they come next in this order.
    pub(super) fn take_all(&mut self, words: &str) -> bool {
        let wanted: Vec<&str> = words.split(' ').collect();
        let is_it = wanted
            .iter()
            .enumerate()
            .all(|(n, word)| self.ahead(n) == Some(word));
        if is_it {
            self.at += wanted.len();
        }
        is_it
    }

    /// Takes everything that is left, as it was typed.
    pub(super) fn rest(&mut self) -> String {
        let rest = self.words.get(self.at..).unwrap_or_default();
        let text: Vec<&str> = rest.iter().map(|(raw, _)| raw.as_str()).collect();
        self.at = self.words.len();
        text.join(" ")
    }

    /// Returns what is left, in small letters.
    pub(super) fn left(&self) -> String {
        let rest = self.words.get(self.at..).unwrap_or_default();
        let text: Vec<&str> = rest.iter().map(|(_, small)| small.as_str()).collect();
        text.join(" ")
    }

    /// Takes a whole number from 1 to a most.
    pub(super) fn number(&mut self, most: u32) -> Option<u32> {
        let n: u32 = self.first()?.parse().ok()?;
        let fits = (1..=most).contains(&n);
        if fits {
            self.at += 1;
        }
        fits.then_some(n)
    }

    /// Takes a frequency: a number with a point, in MHz, with or without the unit behind it.
    pub(super) fn frequency(&mut self) -> Option<Frequency> {
        let word = self.first()?;
        let is_decimal = word.contains('.') && word.chars().all(|c| c.is_ascii_digit() || c == '.');
        let frequency = Frequency::from_mhz(word.parse().ok().filter(|_| is_decimal)?)?;
        self.at += 1;
        self.take(&["mhz"]);
        Some(frequency)
    }

    /// Takes what follows "named" to the end.
    pub(super) fn named(&mut self) -> Option<String> {
        if !self.take(&["named", "called"]) {
            return None;
        }
        Some(self.rest()).filter(|name| !name.is_empty())
    }
}

/// Splits "2x3" and "154.4/158.7" into their parts; "700/800" is one word.
fn parts(word: &str) -> Vec<String> {
    if word == "700/800" || word == "/" {
        return vec![word.to_owned()];
    }
    let is_number = |text: &str| !text.is_empty() && text.chars().all(|c| c.is_ascii_digit());
    if let Some((a, b)) = word.split_once(['x', 'X', '×'])
        && (a.is_empty() || is_number(a))
        && is_number(b)
    {
        let count = (!a.is_empty()).then(|| a.to_owned());
        return count
            .into_iter()
            .chain(["x".to_owned(), b.to_owned()])
            .collect();
    }
    let is_decimal = |text: &str| text.contains('.') && text.parse::<f64>().is_ok();
    match word.split_once('/') {
        Some((a, b)) if is_decimal(a) && (is_decimal(b) || b.is_empty()) => {
            let second = (!b.is_empty()).then(|| b.to_owned());
            [a.to_owned(), "/".to_owned()]
                .into_iter()
                .chain(second)
                .collect()
        }
        _ => vec![word.to_owned()],
    }
}

/// The words for a role.
pub(super) const ROLES: [(&str, Role); 7] = [
    ("command", Role::Command),
    ("tactical", Role::Tactical),
    ("support", Role::Support),
    ("air", Role::Air),
    ("medical", Role::Medical),
    ("liaison", Role::Liaison),
    ("lead", Role::Command),
];

/// Takes a role.
pub(super) fn role(words: &mut Words) -> Option<Role> {
    let (_, role) = ROLES
        .iter()
        .find(|(word, _)| Some(*word) == words.first())?;
    words.skip(1);
    Some(*role)
}

/// Words for a band and the keys of the ready-made portable and mobile of it.
const BANDS: [(&str, &str, &str); 12] = [
    ("vhf airband", "airband-portable", ""),
    ("vhf marine", "marine-portable", ""),
    ("low band", "", "low-band-mobile"),
    ("low-band", "", "low-band-mobile"),
    ("air band", "airband-portable", ""),
    ("airband", "airband-portable", ""),
    ("marine", "marine-portable", ""),
    ("multiband", "multiband-portable", ""),
    ("vhf", "vhf-portable", "vhf-mobile"),
    ("uhf", "uhf-portable", "uhf-mobile"),
    ("700/800", "700-portable", "700-mobile"),
    ("700", "700-portable", "700-mobile"),
];

/// Takes a kind of radio: a band, with or without "portable" or "mobile".
///
/// Returns the key of the ready-made one.
pub(super) fn radio(words: &mut Words) -> Option<Result<&'static str, String>> {
    let found = BANDS.iter().find(|(band, _, _)| words.take_all(band));
    let (band, portable, mobile) = match found {
        Some(found) => *found,
        None if words.take(&["800"]) => ("800", "700-portable", "700-mobile"),
        None => return None,
    };
    let wants_mobile = words.take(&["mobile", "mobiles"]);
    if !wants_mobile {
        words.take(&["portable", "portables", "radio", "radios"]);
    }
    let key = match (wants_mobile, portable, mobile) {
        (true, _, "") => return Some(Err(format!("There is no ready-made {band} mobile"))),
        (true, _, mobile) | (false, "", mobile) => mobile,
        (false, portable, _) => portable,
    };
    Some(Ok(key))
}
