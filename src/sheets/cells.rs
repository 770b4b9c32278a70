//! Reading and writing single values as cells hold them.
//!
//! Every reader says what was found and what is expected. It knows no table and no scenario.

use std::fmt::Display;

use super::choice::Choice;
use super::codes;
use crate::model::{AccessCode, Algorithm, Band, Frequency, KeyRef, Protection};

/// Says what was found and what is expected.
pub(super) fn wrong(text: &str, noun: &str, expected: &str) -> String {
    format!(
        "'{}' is no {noun}; expected {expected}",
        shortened(text.trim())
    )
}

fn shortened(text: &str) -> String {
    let line: String = text
        .chars()
        .map(|c| if c.is_control() { ' ' } else { c })
        .collect();
    if line.chars().count() > 40 {
        line.chars().take(39).collect::<String>() + "…"
    } else {
        line
    }
}

/// Takes a unit off the end of a value, in any case.
fn without_unit<'a>(text: &'a str, unit: &str) -> &'a str {
    let text = text.trim();
    let cut = text.len().saturating_sub(unit.len());
    match (text.get(..cut), text.get(cut..)) {
        (Some(value), Some(end)) if !unit.is_empty() && end.eq_ignore_ascii_case(unit) => {
            value.trim_end()
        }
        _ => text,
    }
}

/// Reads a whole number, with or without its unit.
pub(super) fn whole(text: &str, unit: &str) -> Result<u32, String> {
    without_unit(text, unit)
        .parse()
        .map_err(|_number| wrong(text, "whole number", "one such as 4"))
}

/// Reads a count.
pub(super) fn count(text: &str) -> Result<u32, String> {
    whole(text, "")
}

/// Reads a number, with or without its unit; a comma counts as a point.
pub(super) fn number(text: &str, unit: &str) -> Result<f64, String> {
    without_unit(text, unit)
        .replace(',', ".")
        .parse()
        .ok()
        .filter(|n: &f64| n.is_finite())
        .ok_or_else(|| wrong(text, "number", "one such as 12.5"))
}

/// Reads a delay: whole milliseconds, or a number with ms or s behind it.
pub(super) fn milliseconds(text: &str) -> Result<u32, String> {
    let expected = || wrong(text, "time", "milliseconds such as 250, or 0.25 s");
    let lower = text.trim().to_lowercase();
    let (digits, factor) = match (lower.strip_suffix("ms"), lower.strip_suffix('s')) {
        (Some(ms), _) => (ms, 1.0),
        (None, Some(s)) => (s, 1000.0),
        (None, None) => (lower.as_str(), 1.0),
    };
    let value = number(digits, "").map_err(|_number| expected())? * factor;
    if (0.0..=f64::from(u32::MAX)).contains(&value) {
        Ok(value.round() as u32)
    } else {
        Err(expected())
    }
}

/// Reads a time in seconds.
pub(super) fn seconds(text: &str) -> Result<f64, String> {
    number(text, "s")
}

/// Reads a number of times in an hour.
pub(super) fn per_hour(text: &str) -> Result<f64, String> {
    number(text, "/h")
}

/// Reads a power in watts.
pub(super) fn watts(text: &str) -> Result<f64, String> {
    number(text, "W")
}

/// Reads a capacity in mAh.
pub(super) fn capacity(text: &str) -> Result<u32, String> {
    whole(text, "mAh")
}

/// Reads a share in per cent and returns it from 0 to 1.
pub(super) fn share(text: &str) -> Result<f64, String> {
    let value = number(text, "%")?;
    if (0.0..=100.0).contains(&value) {
        Ok(value / 100.0)
    } else {
        Err(wrong(text, "share", "0 to 100 %"))
    }
}

/// Writes a share in per cent, with every digit it needs to be read back.
pub(super) fn share_text(share: f64) -> String {
    let rounded = (share * 1e6).round() / 1e4;
    if (rounded / 100.0 - share).abs() < f64::EPSILON {
        format!("{rounded}")
    } else {
        format!("{}", share * 100.0)
    }
}

/// Reads yes or no; an empty cell is no.
pub(super) fn yes(text: &str) -> Result<bool, String> {
    match text.trim().to_lowercase().as_str() {
        "yes" | "y" | "true" | "x" | "1" => Ok(true),
        "" | "no" | "n" | "false" | "0" => Ok(false),
        _ => Err(wrong(text, "answer", "yes or no")),
    }
}

/// Writes yes or no.
pub(super) fn yes_text(yes: bool) -> String {
    if yes { "yes" } else { "no" }.to_owned()
}

/// Reads one of fixed words, or the beginning of only one of them.
pub(super) fn choice<C: Choice>(text: &str) -> Result<C, String> {
    let asked = text.trim().to_lowercase();
    let exact = C::ALL.iter().find(|c| c.words().to_lowercase() == asked);
    let mut begins = C::ALL
        .iter()
        .filter(|c| !asked.is_empty() && c.words().to_lowercase().starts_with(&asked));
    match (exact, begins.next(), begins.next()) {
        (Some(c), ..) | (None, Some(c), None) => Ok(*c),
        _ => Err(wrong(text, "choice here", &words::<C>().join(", "))),
    }
}

/// Lists the words of a choice.
pub(super) fn words<C: Choice>() -> Vec<String> {
    C::ALL.iter().map(|c| c.words().to_owned()).collect()
}

/// Reads a value that may be left out, which is an empty cell.
pub(super) fn optional<T>(
    text: &str,
    read: impl FnOnce(&str) -> Result<T, String>,
) -> Result<Option<T>, String> {
    if text.trim().is_empty() {
        Ok(None)
    } else {
        read(text).map(Some)
    }
}

/// Writes a value that may be left out.
pub(super) fn optional_text<T>(value: Option<T>, write: impl FnOnce(T) -> String) -> String {
    value.map(write).unwrap_or_default()
}

/// Writes anything that says itself.
pub(super) fn shown(value: impl Display) -> String {
    value.to_string()
}

/// Reads a frequency in MHz.
pub(super) fn frequency(text: &str) -> Result<Frequency, String> {
    codes::frequency(text)
        .map_err(|_say| wrong(text, "frequency", "MHz from 0.1 to 6000, such as 155.7525"))
}

/// Reads an access code.
pub(super) fn code(text: &str) -> Result<AccessCode, String> {
    codes::code(text).map_err(|_say| {
        wrong(
            text,
            "code",
            "none, a tone from 60 to 260 Hz such as 156.7, DCS such as D023N or D023I, or a NAC such as $293",
        )
    })
}

/// Reads a bandwidth in kHz and returns it in hertz.
pub(super) fn bandwidth(text: &str) -> Result<u32, String> {
    codes::bandwidth(text)
        .map_err(|_say| wrong(text, "bandwidth", "kHz from 1 to 200, such as 12.5"))
}

/// Reads an encryption key, such as "AES-256 key 12".
pub(super) fn key(text: &str) -> Result<KeyRef, String> {
    let say = || {
        wrong(
            text,
            "key",
            "an algorithm and a number, such as AES-256 key 12",
        )
    };
    let lower = text.trim().to_lowercase();
    let (algorithm, number) = lower.rsplit_once("key").ok_or_else(say)?;
    let name = algorithm.trim().trim_start_matches("algorithm").trim();
    let algorithm = match name {
        "aes-256" | "aes256" | "aes" => Algorithm::AES_256,
        "des-ofb" | "des" => Algorithm::DES_OFB,
        other => {
            let digits = other.strip_prefix('$').ok_or_else(say)?;
            Algorithm(u8::from_str_radix(digits, 16).map_err(|_digits| say())?)
        }
    };
    let number = number.trim().parse().map_err(|_number| say())?;
    Ok(KeyRef { algorithm, number })
}

/// Reads whether and how a channel is encrypted.
pub(super) fn protection(text: &str) -> Result<Protection, String> {
    let lower = text.trim().to_lowercase();
    if matches!(lower.as_str(), "" | "clear" | "none" | "no") {
        return Ok(Protection::Clear);
    }
    let say = || {
        wrong(
            text,
            "encryption",
            "clear, or a key such as 'AES-256 key 12, always' or 'AES-256 key 12, by switch'",
        )
    };
    let (words, how) = lower.rsplit_once(',').ok_or_else(say)?;
    let key = key(words).map_err(|_key| say())?;
    match how.trim() {
        "always" => Ok(Protection::Always(key)),
        "by switch" | "switch" | "optional" => Ok(Protection::Optional(key)),
        _ => Err(say()),
    }
}

/// Reads a band in MHz, such as "136 to 174".
pub(super) fn band(text: &str) -> Result<Band, String> {
    let say = || wrong(text, "band", "two frequencies in MHz, such as 136 to 174");
    let text = without_unit(text, "MHz");
    let (low, high) = ["to", "-", "–"]
        .iter()
        .find_map(|mark| text.split_once(mark))
        .ok_or_else(say)?;
    let read = |text: &str| codes::frequency(text).map_err(|_say| say());
    Ok(Band {
        low: read(low)?,
        high: read(high)?,
    })
}

/// Writes a band without its unit.
pub(super) fn band_text(band: Band) -> String {
    format!("{} to {}", band.low.mhz(), band.high.mhz())
}

/// Reads a list: items with commas between, in double quotes where an item has a comma in it.
pub(super) fn list<T>(
    text: &str,
    mut read: impl FnMut(&str) -> Result<T, String>,
) -> Result<Vec<T>, String> {
    let items = items(text);
    items.iter().map(|item| read(item)).collect()
}

/// Splits a list into its items.
pub(super) fn items(text: &str) -> Vec<String> {
    let mut out = Vec::new();
    let mut item = String::new();
    let mut quoted = false;
    let mut letters = text.chars().peekable();
    while let Some(c) = letters.next() {
        match c {
            '"' if quoted && letters.peek() == Some(&'"') => {
                letters.next();
                item.push('"');
            }
            '"' if quoted => quoted = false,
            '"' if item.trim().is_empty() => {
                item.clear();
                quoted = true;
            }
            ',' | ';' | '\n' if !quoted => out.push(std::mem::take(&mut item)),
            c => item.push(c),
        }
    }
    out.push(item);
    out.retain(|item| !item.trim().is_empty());
    for item in &mut out {
        *item = item.trim().to_owned();
    }
    out
}

/// Writes a list.
pub(super) fn list_text(items: impl IntoIterator<Item = String>) -> String {
    let quoted = items.into_iter().map(|item| {
        if item.contains([',', ';', '\n', '"']) {
            format!("\"{}\"", item.replace('"', "\"\""))
        } else {
            item
        }
    });
    quoted.collect::<Vec<_>>().join(", ")
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::model::{Role, SystemKind};

    #[test]
    fn values_are_read_as_people_write_them() {
        assert_eq!(milliseconds("250"), Ok(250));
        assert_eq!(milliseconds("250 ms"), Ok(250));
        assert_eq!(milliseconds("0,25 s"), Ok(250));
        assert_eq!(whole("4", ""), Ok(4));
        assert_eq!(number("5 W", "W"), Ok(5.0));
        assert_eq!(share("90 %"), Ok(0.9));
        assert_eq!(yes("X"), Ok(true));
        assert_eq!(choice("Tac"), Ok(Role::Tactical));
        assert_eq!(choice("radio to RADIO"), Ok(SystemKind::Simplex));
        assert_eq!(
            band("136-174 MHz").map(band_text),
            Ok("136 to 174".to_owned())
        );
        let key = key("aes key 12").unwrap();
        assert_eq!(
            protection("AES-256 key 12, always"),
            Ok(Protection::Always(key))
        );
        assert_eq!(
            protection("$84 key 12, optional"),
            Ok(Protection::Optional(key))
        );
        assert_eq!(protection(""), Ok(Protection::Clear));
    }

    #[test]
    fn what_cannot_be_says_what_was_found_and_what_is_expected() {
        let said: Vec<String> = [
            whole("four", "").err(),
            whole("-1", "").err(),
            number("1e999", "").err(),
            milliseconds("soon").err(),
            milliseconds("-5").err(),
            share("101").err(),
            yes("perhaps").err(),
            choice::<Role>("chief").err(),
            choice::<SystemKind>("t").err(),
            frequency("15x.1").err(),
            frequency("0").err(),
            code("300").err(),
            bandwidth("wide").err(),
            key("AES-256").err(),
            key("AES-256 key 99999").err(),
            protection("AES-256 key 12").err(),
            protection("AES-256 key 12, sometimes").err(),
            band("174").err(),
        ]
        .into_iter()
        .map(|e| e.expect("refused"))
        .collect();
        for reason in said {
            assert!(
                reason.starts_with('\'') && reason.contains("; expected "),
                "{reason}"
            );
        }
    }

    #[test]
    fn lists_keep_items_with_commas() {
        let names = vec![
            "Fire, East".to_owned(),
            "a \"b\"".to_owned(),
            "c".to_owned(),
        ];
        assert_eq!(items(&list_text(names.clone())), names);
        assert_eq!(items(" a , ,b;c\nd"), ["a", "b", "c", "d"]);
        assert!(items("").is_empty());
    }

    #[test]
    fn a_share_is_read_back_as_it_was() {
        for share_of_one in [0.0, 0.1, 0.95, 0.973, 1.0 / 3.0, 1.0] {
            let back = share(&share_text(share_of_one)).unwrap();
            assert!((back - share_of_one).abs() < 1e-12, "{share_of_one}");
        }
    }
}
