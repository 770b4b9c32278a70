//! Sentences about people: agencies and units with their radios.

use crate::library::shipped;
use crate::model::{Agency, AgencyId, Discipline, Role, Scenario, Unit, UnitId};

use super::air::channel_named;
use super::make::{Maker, counted, free, with_article};
use super::words::{Words, radio, role};

/// Words for a trade and the key of the ready-made agency of it.
const TRADES: [(&str, &str); 28] = [
    ("fire", "fire"),
    ("fd", "fire"),
    ("police", "police"),
    ("law", "police"),
    ("sheriff", "police"),
    ("pd", "police"),
    ("ambulance", "ambulance"),
    ("ems", "ambulance"),
    ("medical", "ambulance"),
    ("medic", "ambulance"),
    ("hospital", "ambulance"),
    ("public works", "works"),
    ("works", "works"),
    ("utility", "works"),
    ("military", "military"),
    ("army", "military"),
    ("guard", "military"),
    ("relief", "relief"),
    ("volunteers", "relief"),
    ("shelter", "relief"),
    ("transport", "transport"),
    ("transit", "transport"),
    ("rail", "transport"),
    ("bus", "transport"),
    ("air rescue", "air"),
    ("air", "air"),
    ("aviation", "air"),
    ("helicopters", "air"),
];

/// What a sentence says of the people.
#[derive(Default)]
struct Said {
    /// Key of the ready-made agency.
    trade: Option<&'static str>,
    /// An agency of the scenario called by name.
    agency: Option<AgencyId>,
    /// Key of the ready-made unit.
    unit: Option<String>,
    role: Option<Role>,
    units: Option<u32>,
    heads: Option<u32>,
    radio: Option<&'static str>,
    channel: Option<String>,
    name: Option<String>,
}

/// "fire 12 VHF", "police command 700", "ambulance 2 x 3 UHF", "engine 4 VHF on VFIRE21".
pub(super) fn people(maker: &mut Maker, words: &mut Words) -> Option<Result<String, String>> {
    let mut said = Said::default();
    if !subject(&maker.s, words, &mut said) {
        return None;
    }
    Some(details(words, &mut said).and_then(|()| make(maker, &said)))
}

/// Takes who it is about: an agency of the scenario, a ready-made unit, or a trade.
fn subject(s: &Scenario, words: &mut Words, said: &mut Said) -> bool {
    let text = words.left();
    let mut named: Vec<(&str, AgencyId)> = s
        .agencies
        .iter()
        .flat_map(|a| [(a.name.as_str(), a.id), (a.short.as_str(), a.id)])
        .filter(|(name, _)| !name.is_empty() && begins_with(&text, &name.to_lowercase()))
        .collect();
    named.sort_by_key(|(name, id)| (std::cmp::Reverse(name.len()), *id));
    if let Some((name, id)) = named.first() {
        words.skip(name.split_whitespace().count());
        said.agency = Some(*id);
        // "Ash Fire engine 4": the kind of unit may follow.
        unit_word(words, said);
        return true;
    }
    if unit_word(words, said) {
        return true;
    }
    let Some((_, key)) = TRADES.iter().find(|(word, _)| words.take_all(word)) else {
        return false;
    };
    said.trade = Some(key);
    words.take(&["agency", "department", "service"]);
    unit_word(words, said);
    true
}

fn begins_with(text: &str, name: &str) -> bool {
    text.strip_prefix(name)
        .is_some_and(|rest| rest.is_empty() || rest.starts_with(' '))
}

/// Takes the word for a ready-made unit: its name without a number, and not the trade's own word.
fn unit_word(words: &mut Words, said: &mut Said) -> bool {
    let library = &shipped().scenario;
    let mut kinds: Vec<(String, &Unit)> = library
        .units
        .iter()
        .map(|u| (u.name.trim_end_matches([' ', '1']).to_lowercase(), u))
        .collect();
    kinds.sort_by_key(|(word, _)| std::cmp::Reverse(word.len()));
    let found = kinds.iter().find(|(word, _)| {
        let is_trade = TRADES.iter().any(|(trade, _)| trade == word);
        !is_trade && (words.take_all(word) || words.take(&[&format!("{word}s")]))
    });
    let Some((_, unit)) = found else {
        return false;
    };
    said.unit = Some(unit.key.clone());
    if said.trade.is_none() && said.agency.is_none() {
        let agency = unit.agency.and_then(|a| library.agencies.get(a));
        said.trade =
            agency.and_then(|a| TRADES.iter().map(|(_, key)| *key).find(|key| *key == a.key));
    }
    true
}

/// Takes how many, in what role, with which radios, on which channel.
fn details(words: &mut Words, said: &mut Said) -> Result<(), String> {
    while let Some(word) = words.first() {
        let word = word.to_owned();
        if let Some(found) = radio(words) {
            said.radio = Some(found?);
        } else if let Some(found) = role(words) {
            said.role = Some(found);
        } else if let Some(n) = words.number(100_000) {
            if words.take(&["x"]) {
                said.units = Some(n);
                said.heads = words.number(100_000).or(said.heads);
            } else if words.take(&["units", "unit"]) {
                said.units = Some(n);
                words.take(&["of"]);
            } else {
                said.heads = Some(n);
                words.take(&["people", "heads", "persons"]);
            }
        } else if words.take(&["on"]) {
            let name = words.rest();
            if name.is_empty() {
                return Err(
                    "Say a channel behind \"on\", such as: fire 4 VHF on VFIRE21".to_owned(),
                );
            }
            said.channel = Some(name);
        } else if let Some(name) = words.named() {
            said.name = Some(name);
        } else {
            return Err(format!(
                "Does not understand \"{word}\". Behind an agency may come a number of people, a \
                 role, a band such as VHF, and \"on\" with a channel"
            ));
        }
    }
    if said.units.is_some_and(|n| n > 50) {
        return Err("At most 50 units at once".to_owned());
    }
    Ok(())
}

fn make(maker: &mut Maker, said: &Said) -> Result<String, String> {
    let (agency, is_new) = the_agency(maker, said)?;
    let agency_name = maker.s.name(agency.into());
    let template = the_template(&maker.s, agency, said)?;
    let heads = said.heads.unwrap_or(template.heads);
    let count = said.units.unwrap_or(1);
    let channel = match &said.channel {
        Some(name) => Some(channel_named(maker, name)?),
        None => None,
    };
    let library = &shipped().scenario;
    let usual: Vec<String> = library
        .radios_of(template.id)
        .map(|r| r.family.clone())
        .collect();
    let families: Vec<String> = library
        .radios
        .iter()
        .filter(|r| r.held_by.is_none())
        .filter(|r| match said.radio {
            Some(key) => r.key == key,
            None => usual.contains(&r.family),
        })
        .map(|r| r.key.clone())
        .collect();
    let base = unit_name(&template, &agency_name, said);
    for _ in 0..count {
        let id = UnitId(maker.s.mint(0));
        let name = free(&base, &maker.s.units);
        maker.add(Unit {
            id,
            key: String::new(),
            name: name.clone(),
            agency: Some(agency),
            heads,
            role: said.role.unwrap_or(template.role),
            notes: String::new(),
            ..template.clone()
        })?;
        maker.show(id);
        for family in &families {
            let holder = Some((id, Some(agency), name.as_str()));
            maker.radio(family, holder, channel)?;
        }
    }
    if is_new {
        maker.show(agency);
    }
    let radios: Vec<String> = families
        .iter()
        .filter_map(|key| library.radios.by_key(key))
        .map(|r| with_article(&r.family))
        .collect();
    let people = match (count, heads) {
        (1, 1) => "one unit of one person".to_owned(),
        (1, n) => format!("one unit of {n}"),
        (units, 1) => format!("{} units of one person", counted(units)),
        (units, n) => format!("{} units of {n}", counted(units)),
    };
    let who = if is_new {
        format!("Adds agency {agency_name} with {people}")
    } else {
        format!("Adds to agency {agency_name} {people}")
    };
    let on = channel.map_or_else(String::new, |c| format!(" on {}", maker.s.name(c.into())));
    Ok(format!("{who}, each with {}{on}", radios.join(" and ")))
}

/// Finds the agency: the one named, the first of the trade, or a new one.
fn the_agency(maker: &mut Maker, said: &Said) -> Result<(AgencyId, bool), String> {
    if let Some(id) = said.agency {
        return Ok((id, false));
    }
    let library = &shipped().scenario;
    let template = said.trade.and_then(|key| library.agencies.by_key(key));
    let template = template.ok_or("There is no ready-made agency of that kind")?;
    // An air rescue and an ambulance are both medical; the name tells them apart.
    let is_alone = library
        .agencies
        .iter()
        .filter(|a| a.discipline == template.discipline)
        .count()
        == 1;
    let there = maker.s.agencies.iter();
    let same = there
        .into_iter()
        .find(|a| a.name == template.name)
        .or_else(|| {
            let trade = maker.s.agencies.iter();
            trade
                .into_iter()
                .find(|a| is_alone && a.discipline == template.discipline)
        });
    if let Some(found) = same {
        return Ok((found.id, false));
    }
    let id = AgencyId(maker.s.mint(0));
    maker.add(Agency {
        id,
        key: String::new(),
        ..template.clone()
    })?;
    Ok((id, true))
}

/// Finds the ready-made unit to go by: the one named, one of the role, or the agency's first.
fn the_template(s: &Scenario, agency: AgencyId, said: &Said) -> Result<Unit, String> {
    let library = &shipped().scenario;
    if let Some(unit) = said.unit.as_ref().and_then(|key| library.units.by_key(key)) {
        return Ok(unit.clone());
    }
    let discipline = s
        .agencies
        .get(agency)
        .map_or(Discipline::Other, |a| a.discipline);
    let by_trade = said.trade.and_then(|key| library.agencies.by_key(key));
    let like = by_trade.or_else(|| library.agencies.iter().find(|a| a.discipline == discipline));
    let of_agency = |u: &&Unit| like.is_none_or(|a| u.agency == Some(a.id));
    let of_role = |u: &&Unit| said.role.is_none_or(|role| u.role == role);
    let mut units: Vec<&Unit> = library.units.iter().filter(of_agency).collect();
    // Those who work come before those who lead, unless asked for.
    let leads = |u: &Unit| matches!(u.role, Role::Command | Role::Liaison);
    units.sort_by_key(|u| (leads(u), u.key.clone()));
    let found = units.iter().find(|u| of_role(u)).or(units.first());
    found
        .map(|u| (*u).clone())
        .ok_or_else(|| "There is no ready-made unit to go by".to_owned())
}

/// Returns the name of the first new unit.
fn unit_name(template: &Unit, agency: &str, said: &Said) -> String {
    if let Some(name) = &said.name {
        return name.clone();
    }
    match said.role {
        Some(role) if role != template.role => {
            let role = super::words::ROLES.iter().find(|(_, r)| *r == role);
            let role = role.map_or("unit", |(word, _)| word);
            let mut chars = role.chars();
            let first = chars.next().map(char::to_uppercase).into_iter().flatten();
            format!("{agency} {}", first.chain(chars).collect::<String>())
        }
        _ => template.name.clone(),
    }
}
