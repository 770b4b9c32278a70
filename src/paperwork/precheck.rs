//! The pre-check sheet: every radio with its own agency, then every port, then who should hear whom,
//! with boxes to tick and lines to sign.
//!
//! What is ticked already comes from the scenario: the same list is ticked on screen. The grades of
//! delivered audio quality are those of TIA TSB-88 in words of our own.

use std::collections::{BTreeMap, BTreeSet};

use crate::model::{Attachment, HeardPair, Need, Party, Step, ThingId};
use crate::picture::precheck::{self, AtPort, Part, PreCheck, Set, StepLine};
use crate::picture::sounds::{self, Sound};

use super::on::{On, lying};
use super::period::signed_when;
use super::set::blocks::Field;
use super::set::composer::Composer;
use super::set::face::Face;
use super::set::sheet::Document;
use super::set::table::{Cell, Column, Table};

/// Listeners side by side on one page.
const ACROSS: usize = 9;
/// Parties left out that are named.
const MOST_NAMED: usize = 12;
/// Parties up to which every pair is printed. Beyond, a page has only the rows in which a need asks
/// something of its listeners; and where no need names anybody, so many are printed.
const MOST_WHOLE: usize = 96;

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
    if list
        .sets()
        .all(|set| set.facts.is_empty() && set.at_port.is_some())
    {
        let words =
            "No radio of the plan is in use with a channel selected: nothing to check here.";
        page.paragraph(words, Face::Regular, 8.5);
    }
    for part in &list.parts {
        with_own_agency(on, &mut page, part);
    }
    page.gap(6.0);
    page.need(96.0);
    page.heading(2, "2. Cable in, then port by port");
    if list.sets().all(|set| set.at_port.is_none()) {
        let words = "Nothing is plugged into a gateway in this phase: nothing to check here.";
        page.paragraph(words, Face::Regular, 8.5);
    }
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
        page.heading_over(3, &part.title, &own_agency(on, part, &radios));
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
            Column::new("Read off the set by, when", 1.7),
            Column::centred("Own agency answered", 1.1),
            Column::new("Name and time", 1.9),
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
            .map(|v| format!("{} {}", v.by, signed_when(v)))
            .collect();
        table.row(vec![
            Cell::head(radio_words(on, part, set)),
            Cell::bold(set.reads.clone()),
            fact(Fact::Frequency),
            fact(Fact::AccessCode),
            fact(Fact::Mode),
            fact(Fact::Encryption),
            Cell::text(signed.into_iter().collect::<Vec<_>>().join(", ")),
            set.own_agency()
                .map_or_else(|| Cell::tick(false, ""), own_agency_tick),
            // Filled by hand; the box beside it takes none of its room.
            Cell::blank(),
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
    columns.push(Column::new("DAQ, delay, remarks", 1.7));
    columns.push(Column::new("Name and time", 2.0));
    let mut table = Table::new(columns, 8.0);
    table.least = 22.0;
    for (set, at) in ports {
        let name = if set.reads.is_empty() {
            set.name.clone()
        } else {
            set.reads.clone()
        };
        let mut row = vec![Cell::head(format!("{}: {name}", on.name(at.port)))];
        row.extend(
            at.steps
                .iter()
                .filter(|line| line.step != Step::OwnAgency)
                .map(|line| Cell::tick(line.done.is_some(), line.words.clone())),
        );
        let done = at.steps.iter().filter_map(|line| line.done.as_ref());
        let signed: BTreeSet<String> = done
            .map(|v| format!("{} {}", v.by, signed_when(v)))
            .collect();
        row.push(Cell::text(at.heard.trim()));
        row.push(Cell::text(
            signed.into_iter().collect::<Vec<_>>().join("; "),
        ));
        table.row(row);
    }
    table
}

/// From each to each: what should be heard, with a box, and room for quality and delay.
fn matrix(on: &On<'_>, list: &PreCheck, page: &mut Composer<'_>) {
    let Named {
        parties,
        left_out,
        has_needs,
    } = parties(on, list);
    if parties.is_empty() {
        return;
    }
    let asked = Asked {
        wanted: list.pairs.iter().map(|p| (p.from, p.to)).collect(),
        apart: apart(on),
    };
    let is_whole = parties.len() <= MOST_WHOLE || !has_needs;
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
    if !is_whole {
        let words = format!(
            "{} are named by needs or at gateways. So that the sheet stays usable, each table has only \
             the rows in which a need asks something of its listeners; no pair of a need is left out.",
            parties.len()
        );
        page.paragraph(&words, Face::Bold, 8.5);
    }
    if !left_out.is_empty() {
        let names: Vec<String> = left_out.iter().map(|p| on.name(*p)).collect();
        let mut shown = names
            .iter()
            .take(MOST_NAMED)
            .cloned()
            .collect::<Vec<_>>()
            .join(", ");
        if names.len() > MOST_NAMED {
            shown.push_str(&format!(" and {} more", names.len() - MOST_NAMED));
        }
        let why = if has_needs {
            "Not printed, since no need and no gateway names them".to_owned()
        } else {
            format!(
                "The plan has no need that says who matters, so the first {} are printed. Not printed",
                parties.len()
            )
        };
        page.paragraph(&format!("{why}: {shown}."), Face::Bold, 8.5);
    }
    for columns in parties.chunks(ACROSS) {
        let rows: Vec<Party> = parties
            .iter()
            .copied()
            .filter(|from| is_whole || asked.of_any(*from, columns))
            .collect();
        if !rows.is_empty() {
            page.gap(6.0);
            page.table(&tile(on, &rows, columns, &asked));
        }
    }
}

/// What needs ask of ordered pairs.
struct Asked {
    /// The second must hear the first.
    wanted: BTreeSet<(Party, Party)>,
    /// The second must not hear the first.
    apart: BTreeSet<(Party, Party)>,
}

impl Asked {
    /// Tells whether something is asked of what one says to any of some.
    fn of_any(&self, from: Party, listeners: &[Party]) -> bool {
        let mut pairs = listeners.iter().map(|to| (from, *to));
        pairs.any(|pair| self.wanted.contains(&pair) || self.apart.contains(&pair))
    }
}

fn apart(on: &On<'_>) -> BTreeSet<(Party, Party)> {
    let needs = on.scenario().needs.iter();
    needs.flat_map(Need::pairs_apart).collect()
}

fn tile(on: &On<'_>, rows: &[Party], columns: &[Party], asked: &Asked) -> Table {
    let mut heads = vec![Column::new("From (speaks) \\ to (listens)", 2.6)];
    heads.extend(columns.iter().map(|to| Column::new(&on.name(*to), 2.0)));
    let mut table = Table::new(heads, 7.5);
    table.least = 22.0;
    for from in rows {
        let mut row = vec![Cell::head(on.name(*from))];
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
    let words = done.map_or_else(String::new, |v| format!("{} {}", v.by, signed_when(v)));
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

/// Who is in the matrix.
struct Named {
    /// Printed, in the order of the parties.
    parties: Vec<Party>,
    /// Not printed.
    left_out: Vec<Party>,
    /// Some need names somebody.
    has_needs: bool,
}

/// All whom needs name, and whoever speaks by a telephone or headset at a gateway; everybody where no
/// need says anything, as long as they are few.
fn parties(on: &On<'_>, list: &PreCheck) -> Named {
    let all: Vec<Party> = on.picture.hearing().parties().to_vec();
    let mut named: BTreeSet<Party> = list.pairs.iter().flat_map(|p| [p.from, p.to]).collect();
    let order: BTreeMap<Party, usize> = all.iter().enumerate().map(|(i, p)| (*p, i)).collect();
    named.extend(apart(on).into_iter().flat_map(|(from, to)| [from, to]));
    let has_needs = !named.is_empty();
    if !has_needs {
        named.extend(all.iter().take(MOST_WHOLE));
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
        .iter()
        .copied()
        .filter(|p| order.contains_key(p))
        .collect();
    chosen.sort_by_key(|p| order.get(p));
    Named {
        left_out: all.into_iter().filter(|p| !named.contains(p)).collect(),
        parties: chosen,
        has_needs,
    }
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
