//! The pre-check sheet: every radio with its own agency, then every port, then who should hear whom,
//! with boxes to tick and lines to sign.
//!
//! What is ticked already comes from the scenario: the same list is ticked on screen. The grades of
//! delivered audio quality are those of TIA TSB-88 in words of our own.

use std::collections::{BTreeMap, BTreeSet};

use crate::model::{Attachment, HeardPair, Party, Step, ThingId};
use crate::picture::precheck::{self, AtPort, Part, PreCheck, Set, StepLine};
use crate::picture::sounds::{self, Sound};

use super::on::{On, lying};
use super::set::blocks::Field;
use super::set::composer::Composer;
use super::set::face::Face;
use super::set::sheet::Document;
use super::set::table::{Cell, Column, Table};

/// Listeners side by side on one page.
const ACROSS: usize = 9;
/// Parties left out that are named.
const MOST_NAMED: usize = 12;
/// Parties beyond which only those of needs and gateways are printed, and so many of them.
const MOST_PARTIES: usize = 96;

/// Sets the sheet.
pub fn set(on: &On<'_>) -> Document {
    let top = vec![
        Field::new("Incident", on.incident(), 4.0),
        Field::new("Operational period", on.period_words(), 5.0),
        Field::new("Checked by (name)", on.given.by.as_str(), 2.5),
        Field::new("Date/time", "", 2.0),
    ];
    let list = PreCheck::of(on.picture);
    let (facts, steps) = (list.facts(), list.steps());
    let mut page = on.begin("Pre-check", lying(on.given.paper.upright()), top);
    page.gap(4.0);
    page.paragraph(
        &format!(
            "{} of {} facts and {} of {} steps at ports are verified in the plan. First every radio \
             with its own agency, then cable in and port by port, then who hears whom.",
            facts.done, facts.all, steps.done, steps.all
        ),
        Face::Regular,
        8.5,
    );
    page.gap(6.0);
    page.heading(2, "1. Every radio with its own agency, cable out");
    for part in &list.parts {
        with_own_agency(on, &mut page, part);
    }
    page.gap(6.0);
    page.heading(2, "2. Cable in, then port by port");
    for part in &list.parts {
        let ports: Vec<(&Set, &AtPort)> = part
            .sets
            .iter()
            .filter_map(|set| Some((set, set.at_port.as_ref()?)))
            .collect();
        if !ports.is_empty() {
            page.gap(4.0);
            page.table(&at_ports(on, &ports));
        }
    }
    matrix(on, &list, &mut page);
    page.gap(8.0);
    sign_off(&mut page);
    on.finish(page, "Pre-check", "Pre-check")
}

fn with_own_agency(on: &On<'_>, page: &mut Composer<'_>, part: &Part) {
    let radios: Vec<&Set> = part.sets.iter().filter(|s| !s.facts.is_empty()).collect();
    if !radios.is_empty() {
        page.gap(4.0);
        // A heading stays with the head of its table and a row.
        page.need(96.0);
        page.heading(3, &part.title);
        page.table(&own_agency(on, part, &radios));
    }
    let silent = part
        .sets
        .iter()
        .filter(|set| set.facts.is_empty() && set.at_port.is_none());
    for set in silent {
        let words = format!(
            "{}, {}: no channel selected, nothing to check.",
            set.with, set.name
        );
        page.paragraph(&words, Face::Regular, 8.5);
    }
}

/// With its own agency: what the set should show, a box for each fact, and one for being answered.
fn own_agency(on: &On<'_>, part: &Part, sets: &[&Set]) -> Table {
    let mut table = Table::new(
        vec![
            Column::new("Radio", 3.2),
            Column::new("Channel as it reads", 1.6),
            Column::new("Frequency or group", 2.4),
            Column::new("Tone, code or NAC", 2.0),
            Column::new("Mode", 1.6),
            Column::new("Encryption key", 1.8),
            Column::new("Read off the set by", 1.7),
            Column::new("Own agency heard and answered; name, time", 2.0),
        ],
        8.0,
    );
    table.least = 20.0;
    for set in sets {
        use crate::model::Fact;
        let fact = |fact: Fact| {
            let line = set.facts.iter().find(|line| line.fact == fact);
            line.map_or_else(
                || Cell::text("\u{2013}"),
                |line| {
                    let mut words = line.words.clone();
                    if line.differs {
                        words.push_str(" (differs from the channel)");
                    }
                    Cell::tick(line.verified.is_some(), words)
                },
            )
        };
        let signed: BTreeSet<String> = set
            .facts
            .iter()
            .filter_map(|line| line.verified.as_ref())
            .map(|v| format!("{} {}", v.by, v.when()))
            .collect();
        table.row(vec![
            Cell::bold(radio_words(on, part, set)),
            Cell::bold(set.reads.clone()),
            fact(Fact::Frequency),
            fact(Fact::AccessCode),
            fact(Fact::Mode),
            fact(Fact::Encryption),
            Cell::text(signed.into_iter().collect::<Vec<_>>().join(", ")),
            set.own_agency()
                .map_or_else(|| Cell::tick(false, ""), own_agency_tick),
        ]);
    }
    table
}

/// Where a radio is, what it is called and, at a gateway, whose it is.
fn radio_words(on: &On<'_>, part: &Part, set: &Set) -> String {
    let owner = match set.thing {
        ThingId::Radio(id) => on.scenario().radios.get(id).and_then(|r| r.owner),
        _ => None,
    };
    match (&set.at_port, owner) {
        (Some(_), Some(owner)) => {
            format!(
                "{} {}: {}, of {}",
                part.title,
                set.with,
                set.name,
                on.name(owner)
            )
        }
        (Some(_), None) => {
            format!("{} {}: {}, owner not noted", part.title, set.with, set.name)
        }
        (None, _) => format!("{}: {}", set.with, set.name),
    }
}

fn at_ports(on: &On<'_>, ports: &[(&Set, &AtPort)]) -> Table {
    let mut columns = vec![Column::new("Port", 2.6)];
    if let Some((_, at)) = ports.first() {
        let steps = at.steps.iter().filter(|line| line.step != Step::OwnAgency);
        columns.extend(
            steps.map(|line| Column::new(&super::forms::ics205::capital(line.step.word()), 2.3)),
        );
    }
    columns.push(Column::new("DAQ, delay, remarks; name and time", 3.0));
    let mut table = Table::new(columns, 8.0);
    table.least = 22.0;
    for (set, at) in ports {
        let name = if set.reads.is_empty() {
            set.name.clone()
        } else {
            set.reads.clone()
        };
        let mut row = vec![Cell::bold(format!("{}: {name}", on.name(at.port)))];
        row.extend(
            at.steps
                .iter()
                .filter(|line| line.step != Step::OwnAgency)
                .map(|line| Cell::tick(line.done.is_some(), line.words.clone())),
        );
        let mut said: BTreeSet<String> = at
            .steps
            .iter()
            .filter_map(|line| line.done.as_ref())
            .map(|v| format!("{} {}", v.by, v.when()))
            .collect();
        if !at.heard.trim().is_empty() {
            said.insert(at.heard.trim().to_owned());
        }
        row.push(Cell::text(said.into_iter().collect::<Vec<_>>().join("; ")));
        table.row(row);
    }
    table
}

/// From each to each: what should be heard, with a box, and room for quality and delay.
fn matrix(on: &On<'_>, list: &PreCheck, page: &mut Composer<'_>) {
    let (parties, left_out) = parties(on, list);
    let names: Vec<String> = left_out.iter().map(|p| on.name(*p)).collect();
    if parties.is_empty() {
        return;
    }
    page.next_page();
    page.heading(2, "From each to each: what should be heard");
    page.paragraph(
        "One speaks (rows), everybody else listens (columns). Tick what is heard; write the quality \
         (DAQ 1 to 5) and the delay in tenths of a second. A box stands where the plan says that it \
         is heard, with its delay; \"need\" where a need asks for it, \"silent\" where two must be kept \
         apart. A dash: the plan says silence; if anything is heard there, stop and find out why.",
        Face::Regular,
        8.5,
    );
    page.paragraph(
        "DAQ 1: cannot be made out. 2: with much effort, repeats often. 3: slight effort, repeats now \
         and then. 4: easily understood. 5: no noise or distortion noticed.",
        Face::Regular,
        8.5,
    );
    if !names.is_empty() {
        let mut shown = names
            .iter()
            .take(MOST_NAMED)
            .cloned()
            .collect::<Vec<_>>()
            .join(", ");
        if names.len() > MOST_NAMED {
            shown.push_str(&format!(" and {} more", names.len() - MOST_NAMED));
        }
        page.paragraph(
            &format!("Not printed, since no need and no gateway names them: {shown}."),
            Face::Bold,
            8.5,
        );
    }
    let asked = Asked {
        wanted: list.pairs.iter().map(|p| (p.from, p.to)).collect(),
        apart: apart(on),
    };
    for columns in parties.chunks(ACROSS) {
        page.gap(6.0);
        page.table(&tile(on, &parties, columns, &asked));
    }
}

/// What needs ask of ordered pairs.
struct Asked {
    /// The second must hear the first.
    wanted: BTreeSet<(Party, Party)>,
    /// The second must not hear the first.
    apart: BTreeSet<(Party, Party)>,
}

fn apart(on: &On<'_>) -> BTreeSet<(Party, Party)> {
    let needs = on.scenario().needs.iter();
    needs.flat_map(|need| need.pairs_apart()).collect()
}

fn tile(on: &On<'_>, rows: &[Party], columns: &[Party], asked: &Asked) -> Table {
    let mut heads = vec![Column::new("From (speaks) \\ to (listens)", 2.6)];
    heads.extend(columns.iter().map(|to| Column::new(&on.name(*to), 2.0)));
    let mut table = Table::new(heads, 7.5);
    table.least = 22.0;
    for from in rows {
        let mut row = vec![Cell::bold(on.name(*from))];
        for to in columns {
            let is_wanted = asked.wanted.contains(&(*from, *to));
            let is_apart = asked.apart.contains(&(*from, *to));
            let need = if is_wanted { "need " } else { "" };
            row.push(match on.picture.hearing().arrival(*from, *to) {
                _ if from == to => Cell::text("\u{b7}"),
                Some(_) if is_apart => Cell::bold("must be silent, but HEARD by plan"),
                None if is_apart => Cell::tick(false, "silent, as it must be"),
                Some(arrival) => {
                    let heard = precheck::heard(on.picture, *from, *to);
                    Cell::tick(
                        heard.is_some(),
                        format!(
                            "{need}{}{}\n{}",
                            late(arrival.delay_ms),
                            fault(on, *from, *to),
                            as_heard(heard.as_ref())
                        ),
                    )
                }
                None if is_wanted => Cell::bold("need, but NOT HEARD by plan"),
                None => Cell::text("\u{2013}"),
            });
        }
        table.row(row);
    }
    table
}

/// What was noted of a pair, with room for what was not.
fn as_heard(heard: Option<&HeardPair>) -> String {
    let blank = || "__".to_owned();
    let daq = heard.and_then(|h| h.daq);
    let delay = heard.and_then(|h| h.delay_ms);
    format!(
        "DAQ {} late {}",
        daq.map_or_else(blank, |daq| daq.to_string()),
        delay.map_or_else(blank, late)
    )
}

/// The box for being answered by the own agency, with who was and when.
fn own_agency_tick(line: &StepLine) -> Cell {
    let done = line.done.as_ref();
    let words = done.map_or_else(String::new, |v| format!("{} {}", v.by, v.when()));
    Cell::tick(done.is_some(), words)
}

/// What is wrong with a pair that is heard, but for being late, which the delay says.
fn fault(on: &On<'_>, from: Party, to: Party) -> String {
    let (hearing, sounds) = (on.picture.hearing(), on.picture.sounds());
    let place = |party| sounds::place(hearing, party);
    let sound = place(from)
        .zip(place(to))
        .and_then(|(a, b)| sounds.at(hearing, a, b));
    match sound {
        None | Some(Sound::Heard | Sound::Late | Sound::Silent) => String::new(),
        Some(other) => format!(", {}", other.word()),
    }
}

/// A delay as one can hear it, in tenths of a second.
fn late(ms: u32) -> String {
    match (ms + 50) / 100 {
        0 => "no delay".to_owned(),
        tenths => format!("{}.{} s", tenths / 10, tenths % 10),
    }
}

/// Those whom needs name, and whoever speaks by a telephone or headset at a gateway; everybody where no
/// need says anything and they are few.
fn parties(on: &On<'_>, list: &PreCheck) -> (Vec<Party>, Vec<Party>) {
    let all: Vec<Party> = on.picture.hearing().parties().to_vec();
    let mut named: BTreeSet<Party> = list.pairs.iter().flat_map(|p| [p.from, p.to]).collect();
    let order: BTreeMap<Party, usize> = all.iter().enumerate().map(|(i, p)| (*p, i)).collect();
    named.extend(apart(on).into_iter().flat_map(|(from, to)| [from, to]));
    if named.is_empty() {
        named.extend(&all);
    }
    let phase = on.picture.phase();
    for attachment in phase.into_iter().flat_map(|p| p.attachments.values()) {
        let party = match *attachment {
            Attachment::Telephone(id) => Party::Telephone(id),
            Attachment::Headset(id) => Party::Headset(id),
            Attachment::Radio { .. } | Attachment::Tie(_) => continue,
        };
        if order.contains_key(&party) {
            named.insert(party);
        }
    }
    let mut chosen: Vec<Party> = named
        .into_iter()
        .filter(|p| order.contains_key(p))
        .collect();
    chosen.sort_by_key(|p| order.get(p));
    chosen.truncate(MOST_PARTIES);
    let left_out = all.into_iter().filter(|p| !chosen.contains(p)).collect();
    (chosen, left_out)
}

fn sign_off(page: &mut Composer<'_>) {
    page.need(90.0);
    page.heading(2, "Release");
    page.fields(&[
        Field::new("Released by (name)", "\n", 3.0),
        Field::new("Position", "", 3.0),
        Field::new("Signature", "", 3.0),
        Field::new("Date/time", "", 2.0),
    ]);
    page.gap(3.0);
    page.paragraph(
        "Repeat at each operational period, after any change of channel, cable or switch, and at \
         every roll call.",
        Face::Regular,
        8.5,
    );
}
