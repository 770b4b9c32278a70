//! Sentences about channels, repeaters and needs.

use std::collections::BTreeSet;

use crate::engineering::rf::national as published;
use crate::library::national::{add, add_channel, frequencies};
use crate::model::{
    AccessCode, ChannelId, Conventional, Frequency, Mode, Need, NeedId, Party, Priority, Scenario,
    Tone, Way,
};

use super::make::{Maker, free};
use super::words::Words;

/// "VTAC11", "channel VFIRE21", "155.475 tone 156.7", "repeater 154.400 / 158.700 141.3".
pub(super) fn channel(maker: &mut Maker, words: &mut Words) -> Option<Result<String, String>> {
    let said_channel = words.take(&["channel"]);
    if let Some(national) = national(words) {
        let (edits, id) = add(&maker.s, national);
        if edits.is_empty() {
            maker.show(id);
            return Some(Ok(format!(
                "Shows {}, which is there already",
                national.name
            )));
        }
        let done = maker.apply(edits);
        maker.show(id);
        let at = frequencies(national.rx, national.tx);
        let sentence = format!(
            "Adds channel {} of {}, {at}; verify against the current guide",
            national.name, national.edition
        );
        return Some(done.map(|()| sentence));
    }
    let is_frequency = |n| words.ahead(n).is_some_and(is_decimal);
    let sort = match (words.first(), words.ahead(1)) {
        (Some("repeater"), _) if is_frequency(1) => Sort::Repeater,
        (Some("p25"), Some("repeater")) if is_frequency(2) => Sort::DigitalRepeater,
        _ => Sort::Unsaid,
    };
    match sort {
        Sort::Repeater => words.skip(1),
        Sort::DigitalRepeater => words.skip(2),
        Sort::Unsaid if !said_channel && !is_frequency(0) => return None,
        Sort::Unsaid => {}
    }
    Some(own_channel(maker, words, sort))
}

/// What a channel was called.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Sort {
    Unsaid,
    Repeater,
    DigitalRepeater,
}

fn is_decimal(word: &str) -> bool {
    word.contains('.') && word.parse::<f64>().is_ok()
}

/// Takes the name of a national channel: one word, or two such as "MED 1".
fn national(words: &mut Words) -> Option<&'static published::National> {
    let two = words
        .first()
        .zip(words.ahead(1))
        .map(|(a, b)| format!("{a} {b}"));
    if let Some(found) = two.and_then(|name| published::find(&name)) {
        words.skip(2);
        return Some(found);
    }
    let found = published::find(words.first()?)?;
    words.skip(1);
    Some(found)
}

fn own_channel(maker: &mut Maker, words: &mut Words, sort: Sort) -> Result<String, String> {
    let is_repeater = sort != Sort::Unsaid;
    // A name may stand before the frequency: "channel TAC 1 155.475".
    let mut name = Vec::new();
    while words.first().is_some_and(|word| !is_decimal(word)) {
        name.extend(words.next());
    }
    let Some(rx) = words.frequency() else {
        let name = name.join(" ");
        let known = if name.is_empty() {
            "Say a name or a frequency".to_owned()
        } else {
            format!("\"{name}\" is no national channel; say its frequency behind it")
        };
        return Err(format!(
            "{known}, such as: channel TAC 1 155.475 tone 156.7"
        ));
    };
    let are_two = words.take(&["/"]) || is_repeater;
    let tx = other_frequency(words, are_two);
    if is_repeater && tx.is_none() {
        return Err(
            "A repeater has two frequencies, such as: repeater 154.400 / 158.700 141.3".to_owned(),
        );
    }
    let tx = tx.unwrap_or(rx);
    let mut mode = match rx.mhz() {
        mhz if (118.0..137.0).contains(&mhz) => Mode::Am,
        _ if sort == Sort::DigitalRepeater => Mode::P25,
        _ => Mode::Fm,
    };
    let mut code = AccessCode::None;
    let mut bandwidth_hz = if mode == Mode::Am { 25_000 } else { 12_500 };
    while let Some(word) = words.first() {
        if ["named", "called"].contains(&word) {
            break;
        }
        match word {
            "p25" => mode = Mode::P25,
            "fm" => mode = Mode::Fm,
            "am" => mode = Mode::Am,
            "wide" => bandwidth_hz = 25_000,
            "narrow" => bandwidth_hz = 12_500,
            _ => {
                let Some(found) = access_code(words)? else {
                    break;
                };
                if matches!(found, AccessCode::Nac(_)) {
                    mode = Mode::P25;
                }
                code = found;
                continue;
            }
        }
        words.skip(1);
    }
    let wanted = words
        .named()
        .or_else(|| Some(name.join(" ")).filter(|n| !n.is_empty()));
    let wanted = wanted.unwrap_or_else(|| {
        let digits = rx.to_string();
        digits.trim_end_matches(" MHz").to_owned()
    });
    let name = free(&wanted, &maker.s.channels);
    let carrier = Conventional {
        rx,
        tx,
        rx_code: code,
        tx_code: code,
        mode,
        mixed: false,
        bandwidth_hz,
    };
    let (edits, id) = add_channel(&maker.s, &name, carrier, "");
    maker.apply(edits)?;
    maker.show(id);
    let what = if rx == tx {
        format!("channel {name}, {rx}")
    } else {
        format!("repeater channel {name}, receives {rx}, sends {tx}")
    };
    Ok(format!("Adds {what}, {mode}, {code}"))
}

/// Takes a second frequency; where only one is sure to be meant, a number may be a tone instead.
fn other_frequency(words: &mut Words, are_two: bool) -> Option<Frequency> {
    let mut ahead = words.clone();
    let second = ahead.frequency()?;
    if !are_two && Tone::from_hz(second.mhz()).is_some() {
        return None;
    }
    *words = ahead;
    Some(second)
}

/// Takes an access code: "tone 156.7", "dcs 023", "nac 293", or a bare tone.
fn access_code(words: &mut Words) -> Result<Option<AccessCode>, String> {
    let bad = |what: &str, word: Option<&str>| {
        let word = word.unwrap_or("nothing");
        Err(format!("\"{word}\" is no {what}"))
    };
    if words.take(&["tone", "ctcss", "pl"]) {
        let Some(tone) = words
            .first()
            .and_then(|w| w.parse().ok())
            .and_then(Tone::from_hz)
        else {
            return bad("tone: say 60 to 260 Hz", words.first());
        };
        words.skip(1);
        words.take(&["hz"]);
        return Ok(Some(AccessCode::Ctcss(tone)));
    }
    if words.take(&["dcs"]) {
        let text = words.first().unwrap_or_default();
        let inverted = text.ends_with('i');
        let digits = text.trim_end_matches(['i', 'n']);
        let code = u16::from_str_radix(digits, 8).ok().filter(|c| *c < 0o1000);
        let Some(code) = code else {
            return bad("DCS code: say three digits from 0 to 7", words.first());
        };
        words.skip(1);
        return Ok(Some(AccessCode::Dcs { code, inverted }));
    }
    if words.take(&["nac"]) {
        let digits = words.first().unwrap_or_default().trim_start_matches('$');
        let nac = u16::from_str_radix(digits, 16).ok().filter(|n| *n < 0x1000);
        let Some(nac) = nac else {
            return bad("NAC: say three digits such as 293", words.first());
        };
        words.skip(1);
        return Ok(Some(AccessCode::Nac(nac)));
    }
    let bare = words.first().filter(|w| is_decimal(w));
    let tone = bare.and_then(|w| w.parse().ok()).and_then(Tone::from_hz);
    if tone.is_some() {
        words.skip(1);
    }
    Ok(tone.map(AccessCode::Ctcss))
}

/// Finds or adds the channel that radios are to be on.
pub(super) fn channel_named(maker: &mut Maker, name: &str) -> Result<ChannelId, String> {
    let wanted = published::plain(name);
    let there = maker.s.channels.iter();
    if let Some(found) = there
        .into_iter()
        .find(|c| published::plain(&c.name) == wanted)
    {
        return Ok(found.id);
    }
    let Some(national) = published::find(name) else {
        return Err(format!("There is no channel \"{name}\""));
    };
    let (edits, id) = add(&maker.s, national);
    maker.apply(edits)?;
    Ok(id)
}

/// "need engine 1 -> patrol 1", with "listen", "encrypted" or "life" behind it.
pub(super) fn need(maker: &mut Maker, words: &mut Words) -> Option<Result<String, String>> {
    let said = words.take(&["need"]);
    let text = words.left();
    let split = text.split_once("->").or_else(|| {
        // "to" divides a need only when it was called one.
        text.split_once(" to ").filter(|_| said)
    });
    let Some((from, to)) = split else {
        let help = "Say who must reach whom, such as: need Engine 1 -> Patrol 1";
        return said.then(|| Err(help.to_owned()));
    };
    words.rest();
    Some(need_between(maker, from, to))
}

fn need_between(maker: &mut Maker, from: &str, to: &str) -> Result<String, String> {
    let (mut way, mut encrypted, mut priority) = (Way::TwoWay, false, Priority::High);
    let mut to = to.trim();
    // What stands behind the name, unless somebody is called so.
    while party(&maker.s, to).is_err() {
        let (rest, last) = to.rsplit_once(' ').unwrap_or(("", to));
        match last {
            "listen" => way = Way::ListenOnly,
            "apart" => way = Way::Apart,
            "encrypted" => encrypted = true,
            "life" => priority = Priority::LifeSafety,
            "routine" => priority = Priority::Routine,
            _ => break,
        }
        to = rest.trim();
    }
    let from = party(&maker.s, from.trim())?;
    let to = party(&maker.s, to)?;
    if from == to {
        return Err("A need takes two different parties".to_owned());
    }
    let (from_name, to_name) = (maker.s.name(from.into()), maker.s.name(to.into()));
    let id = NeedId(maker.s.mint(0));
    maker.add(Need {
        id,
        key: String::new(),
        name: free(&format!("{from_name} to {to_name}"), &maker.s.needs),
        from: BTreeSet::from([from]),
        to: BTreeSet::from([to]),
        way,
        priority,
        encrypted,
        max_delay_ms: None,
        notes: String::new(),
    })?;
    maker.show(id);
    let direction = match way {
        Way::TwoWay => "and be answered",
        Way::ListenOnly => "and only be heard",
        Way::Apart => {
            return Ok(format!(
                "Adds a need: {from_name} and {to_name} are kept apart, and must not hear each other"
            ));
        }
    };
    let secret = if encrypted { ", encrypted" } else { "" };
    Ok(format!(
        "Adds a need: {from_name} must reach {to_name} {direction}{secret}"
    ))
}

/// Finds a party by name, or by the beginning of one when only one begins so.
fn party(s: &Scenario, wanted: &str) -> Result<Party, String> {
    let small = wanted.to_lowercase();
    let name = |party: &Party| s.name((*party).into()).to_lowercase();
    let exact = s.parties().find(|p| name(p) == small);
    if let Some(found) = exact {
        return Ok(found);
    }
    let begins: Vec<Party> = s
        .parties()
        .filter(|p| name(p).starts_with(&small))
        .collect();
    match begins.as_slice() {
        [one] if !small.is_empty() => Ok(*one),
        [] => Err(format!(
            "Nobody is called \"{wanted}\"; there is {}",
            some_names(s.parties(), s)
        )),
        several => Err(format!(
            "\"{wanted}\" may be {}",
            some_names(several.iter().copied(), s)
        )),
    }
}

/// Names the first few of some parties.
fn some_names(parties: impl Iterator<Item = Party>, s: &Scenario) -> String {
    let names: Vec<String> = parties.take(4).map(|p| s.name(p.into())).collect();
    if names.is_empty() {
        "nobody yet".to_owned()
    } else {
        names.join(", ")
    }
}
