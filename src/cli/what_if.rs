//! `what-if`: takes things out of service and tells who loses whom.
//!
//! What is lost is derived by the picture; this file finds the things asked for and prints.

use std::io::{self, Write};

use serde_json::json;

use crate::format::did_you_mean;
use crate::hearing::{Hearing, Item};
use crate::model::thing::Listed;
use crate::model::{Kind, Need, NeedId, PortRef, Scenario, Table, TalkGroupRef, ThingId};
use crate::picture::what_if;

use super::args::WhatIf;
use super::error::{Error, Kind as Failure};
use super::show::{BOLD, clean, json_lines, labelled, thing_json};
use super::{Outcome, done, open};

/// Pairs that are printed; JSON has all.
const MOST_PAIRS: usize = 40;

/// Derives with and without, and tells the difference.
pub(super) fn run(args: &WhatIf, out: &mut dyn Write) -> Result<Outcome, Error> {
    let scenario = open::scenario(&args.file, out, args.json)?;
    let phase = open::phase(&scenario, args.phase.as_deref())?;
    let mut items = Vec::new();
    for asked in &args.without {
        items.push(item(&scenario, asked)?);
    }
    let now = Hearing::derive(&scenario, phase.id);
    let lost = what_if::without(&scenario, &now, phase.id, &items);
    let names: Vec<String> = items.iter().map(|i| clean(&i.name(&scenario))).collect();
    let key = |id: ThingId| scenario.key(id);
    let written = if args.json {
        let pairs = lost.pairs.iter();
        let pairs: Vec<_> = pairs
            .map(|(from, to)| json!({"from": key((*from).into()), "to": key((*to).into())}))
            .collect();
        let needs = lost.needs.iter();
        let needs: Vec<_> = needs.map(|n| thing_json(&scenario, (*n).into())).collect();
        let value = json!({
            "file": args.file.display().to_string(),
            "phase": phase.key,
            "without": names,
            "lost": pairs,
            "needs": needs,
        });
        json_lines(out, &value)
    } else {
        let title = format!("Without {} in {}", names.join(", "), clean(&phase.name));
        text(out, &scenario, &title, &lost)
    };
    let outcome = if lost == what_if::Lost::default() {
        Outcome::Clean
    } else {
        Outcome::Findings
    };
    done(outcome, written)
}

fn no_longer(scenario: &Scenario, need: NeedId) -> String {
    let aim = scenario.needs.get(need).map_or("met", Need::aim);
    format!("{} is no longer {aim}", scenario.name(need.into()))
}

fn text(
    out: &mut dyn Write,
    scenario: &Scenario,
    title: &str,
    lost: &what_if::Lost,
) -> io::Result<()> {
    writeln!(out, "{BOLD}{title}{BOLD:#}")?;
    if *lost == what_if::Lost::default() {
        return writeln!(out, "  nobody loses anybody");
    }
    for need in &lost.needs {
        labelled(out, 2, "need", &no_longer(scenario, *need))?;
    }
    for (from, to) in lost.pairs.iter().take(MOST_PAIRS) {
        let name = |id: ThingId| scenario.name(id);
        let text = format!(
            "{} no longer hears {}",
            name((*to).into()),
            name((*from).into())
        );
        labelled(out, 2, "lost", &text)?;
    }
    let more = lost.pairs.len().saturating_sub(MOST_PAIRS);
    if more > 0 {
        let pairs = if more == 1 { "pair" } else { "pairs" };
        labelled(out, 2, "lost", &format!("and {more} more {pairs}"))?;
    }
    Ok(())
}

/// Finds what a word on the command line stands for.
fn item(scenario: &Scenario, asked: &str) -> Result<Item, Error> {
    if let Some(rest) = asked.strip_prefix("power:") {
        let gateway = find(&scenario.gateways, rest).ok_or_else(|| unknown(scenario, rest))?;
        return Ok(Item::PowerOf(gateway));
    }
    if let Some(rest) = asked.strip_prefix("cable:") {
        return Ok(Item::CableAt(port(scenario, rest)?));
    }
    if let Some((gateway, group)) = asked.split_once('#') {
        let gateway =
            find(&scenario.gateways, gateway).ok_or_else(|| unknown(scenario, gateway))?;
        let group = group
            .parse()
            .ok()
            .map(|group| TalkGroupRef { gateway, group });
        let group = group.filter(|g| scenario.talk_group(*g).is_some());
        let group = group.ok_or_else(|| {
            Error::new(Failure::Usage, format!("there is no talk group '{asked}'"))
        })?;
        return Ok(Item::Thing(group.into()));
    }
    if asked.contains('/') {
        return Ok(Item::Thing(port(scenario, asked)?.into()));
    }
    let found: Option<ThingId> = find(&scenario.gateways, asked)
        .map(Into::into)
        .or_else(|| find(&scenario.radios, asked).map(Into::into))
        .or_else(|| find(&scenario.channels, asked).map(Into::into))
        .or_else(|| find(&scenario.systems, asked).map(Into::into))
        .or_else(|| find(&scenario.sites, asked).map(Into::into))
        .or_else(|| find(&scenario.ties, asked).map(Into::into))
        .or_else(|| find(&scenario.telephones, asked).map(Into::into))
        .or_else(|| find(&scenario.headsets, asked).map(Into::into))
        .or_else(|| find(&scenario.units, asked).map(Into::into));
    found
        .map(Item::Thing)
        .ok_or_else(|| unknown(scenario, asked))
}

fn port(scenario: &Scenario, asked: &str) -> Result<PortRef, Error> {
    let (gateway, number) = asked.split_once('/').unwrap_or((asked, ""));
    let gateway = find(&scenario.gateways, gateway).ok_or_else(|| unknown(scenario, gateway))?;
    let port = number.parse().ok().map(|port| PortRef { gateway, port });
    port.filter(|p| scenario.port(*p).is_some()).ok_or_else(|| {
        let error = Error::new(Failure::Usage, format!("there is no port '{asked}'"));
        error.hint("ports are written GATEWAY/NUMBER, such as east/1")
    })
}

/// Finds a thing of one kind by key, or by name in any case.
fn find<T: Listed>(table: &Table<T>, asked: &str) -> Option<T::Id> {
    let lower = asked.to_lowercase();
    table
        .by_key(asked)
        .or_else(|| table.iter().find(|t| t.name().to_lowercase() == lower))
        .map(Listed::id)
}

fn unknown(scenario: &Scenario, asked: &str) -> Error {
    fn words<T: Listed>(table: &Table<T>) -> impl Iterator<Item = &str> {
        table.iter().flat_map(|t| [t.key(), t.name()])
    }
    let all = words(&scenario.gateways)
        .chain(words(&scenario.radios))
        .chain(words(&scenario.channels))
        .chain(words(&scenario.systems))
        .chain(words(&scenario.sites))
        .chain(words(&scenario.ties))
        .chain(words(&scenario.telephones))
        .chain(words(&scenario.headsets))
        .chain(words(&scenario.units));
    let kinds = [Kind::Gateway, Kind::Radio, Kind::Channel, Kind::System].map(Kind::word);
    Error::new(Failure::Usage, format!("there is nothing called '{asked}'"))
        .maybe_hint(did_you_mean(asked, all))
        .hint(format!(
            "give the key or name of a {}, site, tie, telephone, headset or unit, GATEWAY/PORT, \
             GATEWAY#GROUP, cable:GATEWAY/PORT or power:GATEWAY",
            kinds.join(", ")
        ))
}
