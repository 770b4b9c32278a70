//! Everybody with everybody, or a row or a column of that: a compact text with a legend. The exchange layer
//! writes the same as JSON.

use std::io::{self, Write};

use crate::exchange::Heard as Question;
use crate::hearing::Arrival;
use crate::model::Party;

use super::show::{BOLD, DIM, clean};

/// Parties up to whom a matrix fits a page; beyond, each is counted.
const MOST_COLUMNS: usize = 60;

/// Prints for people.
pub(super) fn text(out: &mut dyn Write, on: &Question<'_>) -> io::Result<()> {
    let parties = on.hearing.parties();
    let phase = clean(&on.phase.name);
    match (on.from, on.to) {
        (Some(from), _) => {
            let heading = format!("Who hears {} in {phase}", label(on, from));
            list(out, on, &heading, |(_, to, arrival)| (to, arrival), from)
        }
        (None, Some(to)) => {
            let heading = format!("Whom {} hears in {phase}", label(on, to));
            list(out, on, &heading, |(from, _, arrival)| (from, arrival), to)
        }
        (None, None) if parties.len() > MOST_COLUMNS => counts(out, on, &phase),
        (None, None) => square(out, on, &phase),
    }
}

/// The other side of each pair heard, then everybody else.
fn list(
    out: &mut dyn Write,
    on: &Question<'_>,
    heading: &str,
    side: impl Fn((Party, Party, Arrival)) -> (Party, Arrival),
    own: Party,
) -> io::Result<()> {
    let heard: Vec<(Party, Arrival)> = on.heard().map(side).collect();
    let others = on.hearing.parties().len().saturating_sub(1);
    writeln!(out, "{BOLD}{heading}{BOLD:#}: {} of {others}", heard.len())?;
    let labels: Vec<String> = heard.iter().map(|(p, _)| label(on, *p)).collect();
    let width = labels.iter().map(|l| l.chars().count()).max().unwrap_or(0);
    for (label, (_, arrival)) in labels.iter().zip(&heard) {
        writeln!(out, "  {label:<width$}  {}", costs(*arrival))?;
    }
    let silent: Vec<String> = on
        .hearing
        .parties()
        .iter()
        .filter(|p| **p != own && heard.iter().all(|(h, _)| h != *p))
        .map(|p| clean(&on.key(*p)))
        .collect();
    if !silent.is_empty() {
        writeln!(out, "{BOLD}Not{BOLD:#}: {} of {others}", silent.len())?;
        for line in super::show::wrapped(&silent.join(", "), 96) {
            writeln!(out, "  {line}")?;
        }
    }
    Ok(())
}

fn costs(arrival: Arrival) -> String {
    let Arrival {
        by_scan,
        delay_ms,
        clipped_ms,
        codec_passes: _,
        encrypted,
    } = arrival;
    let clipped = if clipped_ms > 0 {
        format!(", {clipped_ms} ms cut off the front")
    } else {
        String::new()
    };
    let secrecy = if encrypted { ", encrypted" } else { "" };
    let scan = if by_scan { ", only by scanning" } else { "" };
    format!("after {delay_ms} ms{clipped}{secrecy}{scan}")
}

/// How a cell shows what arrives.
fn sign(arrival: Option<Arrival>) -> char {
    match arrival {
        None => '.',
        Some(a) if a.by_scan => 's',
        Some(a) if a.clipped_ms > 0 => 'c',
        Some(_) => 'x',
    }
}

fn square(out: &mut dyn Write, on: &Question<'_>, phase: &str) -> io::Result<()> {
    let parties = on.hearing.parties();
    writeln!(
        out,
        "{BOLD}Who hears whom in {phase}{BOLD:#}: speakers down, hearers across"
    )?;
    let keys: Vec<String> = parties.iter().map(|p| clean(&on.key(*p))).collect();
    let width = keys.iter().map(|k| k.chars().count()).max().unwrap_or(0);
    let digits = parties.len().to_string().len();
    // The columns bear the numbers of the rows, read downward.
    for digit in 0..digits {
        write!(out, "{:digits$} {:width$} ", "", "")?;
        for i in 1..=parties.len() {
            let number = format!("{i:>digits$}");
            let mark = number.chars().nth(digit).unwrap_or(' ');
            write!(out, " {DIM}{mark}{DIM:#}")?;
        }
        writeln!(out)?;
    }
    for (i, (from, key)) in parties.iter().zip(&keys).enumerate() {
        write!(out, "{DIM}{:>digits$}{DIM:#} {key:<width$} ", i + 1)?;
        for to in parties {
            let cell = if from == to {
                '-'
            } else {
                sign(on.hearing.arrival(*from, *to))
            };
            write!(out, " {cell}")?;
        }
        let name = clean(&on.scenario.name((*from).into()));
        let name = if name == *key { String::new() } else { name };
        writeln!(out, "  {DIM}{name}{DIM:#}")?;
    }
    writeln!(
        out,
        "x heard   c heard, its start cut off   s heard only by scanning   . not heard"
    )
}

fn counts(out: &mut dyn Write, on: &Question<'_>, phase: &str) -> io::Result<()> {
    let parties = on.hearing.parties();
    let mut heard = vec![0_usize; parties.len()];
    let mut hears = vec![0_usize; parties.len()];
    for (from, to, _) in on.heard() {
        for (party, counts) in [(from, &mut heard), (to, &mut hears)] {
            if let Ok(place) = parties.binary_search(&party)
                && let Some(count) = counts.get_mut(place)
            {
                *count += 1;
            }
        }
    }
    writeln!(
        out,
        "{BOLD}Who hears whom in {phase}{BOLD:#}: {} parties, too many for a matrix",
        parties.len()
    )?;
    writeln!(
        out,
        "{DIM}Ask for one with --from or --to, or for all with --json.{DIM:#}"
    )?;
    let keys: Vec<String> = parties.iter().map(|p| clean(&on.key(*p))).collect();
    let width = keys.iter().map(|k| k.chars().count()).max().unwrap_or(0);
    for ((key, heard), hears) in keys.iter().zip(heard).zip(hears) {
        writeln!(out, "{key:<width$}  heard by {heard:>5}, hears {hears:>5}")?;
    }
    Ok(())
}

/// Names a party by key and name.
fn label(on: &Question<'_>, party: Party) -> String {
    let (key, name) = (on.key(party), on.scenario.name(party.into()));
    clean(&if key == name {
        key
    } else {
        format!("{key} ({name})")
    })
}
