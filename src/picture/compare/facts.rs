//! The settings of things set against each other, one by one.
//!
//! Most are the cells of the tables, so that a new column is compared as soon as it is there; what has
//! no table is listed here.

use std::collections::{BTreeMap, BTreeSet};
use std::sync::Arc;

use super::{About, Difference, Sides};
use crate::model::{Kind, Phase, PhaseId, PortRef, Scenario, Site, ThingId};
use crate::sheets::{Book, Row, SHEETS, Sheet};

/// Columns of tables that are told elsewhere, or are no difference in how anything works.
const SKIPPED: [&str; 6] = [
    "name",
    "notes",
    // Told by phase, with what is plugged and switched.
    "attached",
    "cable",
    "selected",
    // Each has a row of its own.
    "programmed",
];

/// Tells every difference in names and settings.
pub(super) fn all(
    sides: &Sides<'_>,
    a: &Arc<Scenario>,
    b: &Arc<Scenario>,
    out: &mut Vec<Difference>,
) {
    periods(sides, out);
    if Arc::ptr_eq(a, b) {
        return;
    }
    cells(sides, a, b, out);
    others(sides, out);
}

/// Tells who is called otherwise; a new name is one difference, not one in every cell that names the thing.
pub(super) fn renamed(
    a: &Scenario,
    b: &Scenario,
    twins: &BTreeMap<ThingId, ThingId>,
) -> Vec<Difference> {
    let names = twins
        .iter()
        .map(|(before, after)| (*before, a.name(*before), b.name(*after)));
    names
        .filter(|(_, was, is)| was != is)
        .map(|(thing, was, is)| Difference {
            about: About::Renamed,
            words: format!("{} {was} is called {is}", thing.kind()),
            things: vec![thing],
        })
        .collect()
}

/// Tells the times of phases: of those both have, and of the two set against each other.
fn periods(sides: &Sides<'_>, out: &mut Vec<Difference>) {
    let mut pairs: BTreeMap<PhaseId, PhaseId> = sides
        .twins
        .iter()
        .filter_map(|pair| match pair {
            (ThingId::Phase(a), ThingId::Phase(b)) => Some((*a, *b)),
            _ => None,
        })
        .collect();
    pairs.insert(sides.was.id, sides.is.id);
    for (a, b) in pairs {
        let (Some(was), Some(is)) = (sides.a.phases.get(a), sides.b.phases.get(b)) else {
            continue;
        };
        let name = if sides.twin(a) == Some(b.into()) {
            was.name.clone()
        } else {
            format!("{}, set against {}", is.name, was.name)
        };
        let facts = |p: &Phase| {
            vec![
                ("start", p.start.clone()),
                ("length", format!("{} h", p.hours)),
            ]
        };
        tell(
            About::Period,
            (a.into(), &name),
            &facts(was),
            &facts(is),
            out,
        );
    }
}

/// Finds the row of the tables before that a row after is about; `None` where only the one after has it.
fn row_before(sides: &Sides<'_>, row: Row) -> Option<Row> {
    let before = |thing: ThingId| sides.back.get(&thing).copied();
    match row {
        Row::Thing(ThingId::Port(port)) => match before(port.gateway.into())? {
            ThingId::Gateway(gateway) => Some(Row::Thing(PortRef { gateway, ..port }.into())),
            _ => None,
        },
        Row::Thing(thing) => before(thing).map(Row::Thing),
        Row::Entry(radio, channel) => match (before(radio.into())?, before(channel.into())?) {
            (ThingId::Radio(radio), ThingId::Channel(channel)) => Some(Row::Entry(radio, channel)),
            _ => None,
        },
    }
}

fn cells(sides: &Sides<'_>, a: &Arc<Scenario>, b: &Arc<Scenario>, out: &mut Vec<Difference>) {
    let was = Book::new(Arc::clone(a), sides.was.id);
    let is = Book::new(Arc::clone(b), sides.is.id);
    let (olds, news): (BTreeSet<ThingId>, BTreeSet<ThingId>) =
        sides.twins.iter().map(|(a, b)| (*a, *b)).unzip();
    for sheet in SHEETS {
        let mut after: BTreeMap<Row, Row> = BTreeMap::new();
        let mut alone: Vec<Row> = Vec::new();
        for row in sheet.rows(&is) {
            match row_before(sides, row) {
                Some(before) => drop(after.insert(before, row)),
                None => alone.push(row),
            }
        }
        for row in sheet.rows(&was) {
            match after.remove(&row) {
                Some(twin) => row_cells(sheet, (&was, row), (&is, twin), out),
                None => is_missing(&olds, (a, row), About::Gone, out),
            }
        }
        for row in alone.into_iter().chain(after.into_values()) {
            is_missing(&news, (b, row), About::Added, out);
        }
    }
}

/// Ports and programmed channels come and go with things that stay; things themselves are told elsewhere.
fn is_missing(
    both: &BTreeSet<ThingId>,
    (s, row): (&Arc<Scenario>, Row),
    about: About,
    out: &mut Vec<Difference>,
) {
    let is_before = about == About::Gone;
    let stays = |thing: ThingId| both.contains(&thing);
    match row {
        Row::Thing(ThingId::Port(port)) if stays(port.gateway.into()) => {
            let verb = if is_before { "is gone" } else { "is new" };
            out.push(Difference {
                about,
                words: format!("{} {verb}", s.name(port.into())),
                things: vec![port.into()],
            });
        }
        Row::Entry(radio, channel) if stays(radio.into()) => {
            let verb = if is_before {
                "is no longer programmed in"
            } else {
                "is programmed in"
            };
            let words = format!(
                "{} {verb} {}",
                s.name(channel.into()),
                carried(s, radio.into())
            );
            out.push(Difference {
                about: About::Programmed,
                words,
                things: vec![radio.into(), channel.into()],
            });
        }
        Row::Thing(_) | Row::Entry(..) => {}
    }
}

fn row_cells(
    sheet: &dyn Sheet,
    (was, row): (&Book, Row),
    (is, twin): (&Book, Row),
    out: &mut Vec<Difference>,
) {
    let s = &was.scenario;
    let (before, after) = (sheet.cells(was, row), sheet.cells(is, twin));
    for (column, (before, after)) in before.iter().zip(&after).enumerate() {
        let Some(heading) = sheet.heading(column).filter(|_| before != after) else {
            continue;
        };
        let is_port = matches!(row, Row::Thing(ThingId::Port(_)));
        let is_told = SKIPPED.contains(&heading.field)
            || is_port && heading.field == "group"
            // It says which row this is.
            || heading.fixed;
        if is_told {
            continue;
        }
        let (about, who) = match row {
            Row::Entry(radio, channel) => (
                About::Programmed,
                format!("{} in {}", s.name(channel.into()), carried(s, radio.into())),
            ),
            Row::Thing(thing) => (about_cell(thing, heading.field), carried(s, thing)),
        };
        let blank = if matches!(row, Row::Entry(..)) {
            "as defined"
        } else {
            "nothing"
        };
        let yes = |text: &str| matches!(text, "yes" | "no");
        if yes(before) || yes(after) {
            // A cell that is not there for such a thing is no "no" in place of something.
            let is_on = |text: &str| text == "yes";
            if is_on(before) != is_on(after) {
                let now = if is_on(after) { "now" } else { "no longer" };
                out.push(Difference {
                    about,
                    words: format!("{who}: {} {now}", small(heading.name)),
                    things: vec![row.thing()],
                });
            }
            continue;
        }
        let value = |text: &str| match text {
            "" => blank.to_owned(),
            text if heading.unit.is_empty() => text.to_owned(),
            text => format!("{text} {}", heading.unit),
        };
        out.push(Difference {
            about,
            words: format!(
                "{who}: {} {} in place of {}",
                small(heading.name),
                value(after),
                value(before)
            ),
            things: vec![row.thing()],
        });
    }
}

/// Writes a heading within a sentence, its abbreviations as they are.
fn small(heading: &str) -> String {
    let word = |word: &str| {
        let capitals = word.chars().filter(|c| c.is_uppercase()).count();
        if capitals > 1 {
            word.to_owned()
        } else {
            word.to_lowercase()
        }
    };
    heading.split(' ').map(word).collect::<Vec<_>>().join(" ")
}

fn about_cell(thing: ThingId, field: &str) -> About {
    match thing.kind() {
        Kind::Channel | Kind::System => About::Defined,
        Kind::Radio if field == "keys" => About::Keys,
        Kind::Radio => About::Set,
        Kind::Cable | Kind::Stock => About::Stock,
        Kind::Unit | Kind::Agency | Kind::Need | Kind::Agreement => About::People,
        _ => About::SetUp,
    }
}

/// Names a thing, a radio with who carries it: sets of one kind often read alike.
fn carried(s: &Scenario, thing: ThingId) -> String {
    let name = s.name(thing);
    let ThingId::Radio(radio) = thing else {
        return name;
    };
    match s.radios.get(radio).and_then(|r| r.held_by) {
        Some(unit) => format!("{name} of {}", s.name(unit.into())),
        None => name,
    }
}

type Facts = Vec<(&'static str, String)>;

/// Tells the facts of one thing that differ; both lists have the same facts in the same order.
fn tell(
    about: About,
    (thing, name): (ThingId, &str),
    was: &Facts,
    is: &Facts,
    out: &mut Vec<Difference>,
) {
    for ((what, was), (_, is)) in was.iter().zip(is) {
        if was == is {
            continue;
        }
        let or_nothing = |text: &str| {
            if text.is_empty() {
                "nothing".to_owned()
            } else {
                text.to_owned()
            }
        };
        let words = match is.as_str() {
            "yes" => format!("{name}: {what} now"),
            "no" => format!("{name}: {what} no longer"),
            is => format!(
                "{name}: {what} {} in place of {}",
                or_nothing(is),
                or_nothing(was)
            ),
        };
        out.push(Difference {
            about,
            words,
            things: vec![thing],
        });
    }
}

/// Tells the settings of what has no table.
fn others(sides: &Sides<'_>, out: &mut Vec<Difference>) {
    for (before, after) in &sides.twins {
        let was = facts_of(sides.a, *before);
        let is = facts_of(sides.b, *after);
        tell(
            About::SetUp,
            (*before, &sides.a.name(*before)),
            &was,
            &is,
            out,
        );
    }
}

fn facts_of(s: &Scenario, thing: ThingId) -> Facts {
    // The same thing has the same name on both sides, whatever its number and key.
    let name = |thing: Option<ThingId>| thing.map_or_else(String::new, |t| s.name(t));
    let yes = |yes: bool| if yes { "yes" } else { "no" }.to_owned();
    let ms = |ms: u32| format!("{ms} ms");
    let volts = |v: Option<(f64, f64)>| {
        v.map_or_else(String::new, |(low, high)| format!("{low} to {high} V"))
    };
    match thing {
        ThingId::Gateway(id) => s.gateways.get(id).map_or_else(Vec::new, |g| {
            let groups = g.talk_groups.iter();
            let groups: Vec<String> = groups.map(|t| format!("{} {}", t.number, t.name)).collect();
            vec![
                ("owner", name(g.owner.map(Into::into))),
                ("site", name(g.site.map(Into::into))),
                ("talk groups", groups.join(", ")),
                ("delay", ms(g.latency_ms)),
                ("current", optional(g.draw_ma, "mA")),
                ("battery", optional(g.battery_mah, "mAh")),
                ("supply", volts(g.supply_v)),
                ("ingress rating", g.ingress.clone()),
            ]
        }),
        ThingId::Tie(id) => s.ties.get(id).map_or_else(Vec::new, |t| {
            vec![
                ("kind", t.kind.port_kind().word().to_owned()),
                ("delay", ms(t.latency_ms)),
                ("encrypted", yes(t.encrypted)),
            ]
        }),
        ThingId::Telephone(id) => s.telephones.get(id).map_or_else(Vec::new, |t| {
            vec![
                ("held by", name(t.held_by.map(Into::into))),
                ("far end", t.far_end.clone()),
                ("number", t.number.clone()),
                ("answers by itself", yes(t.answers_itself)),
                ("delay", ms(t.latency_ms)),
            ]
        }),
        ThingId::Headset(id) => s.headsets.get(id).map_or_else(Vec::new, |h| {
            vec![
                ("held by", name(h.held_by.map(Into::into))),
                ("connector", h.connector.clone()),
            ]
        }),
        ThingId::Site(id) => s.sites.get(id).map_or_else(Vec::new, |site| {
            vec![
                ("contaminated", yes(site.contaminated)),
                ("temperature", optional(site.temperature_c, "°C")),
                ("supply", volts(site.supply_v)),
                ("antennas", antennas(s, site)),
            ]
        }),
        _ => Vec::new(),
    }
}

fn antennas(s: &Scenario, site: &Site) -> String {
    let each = site.antennas.iter().map(|a| {
        let of = a
            .radio
            .map_or_else(String::new, |r| format!(" of {}", carried(s, r.into())));
        format!(
            "{}{of} {} m high at {} m east, {} m north, {} dBi",
            a.name, a.height_m, a.east_m, a.north_m, a.gain_dbi
        )
    });
    each.collect::<Vec<_>>().join("; ")
}

fn optional(value: Option<impl std::fmt::Display>, unit: &str) -> String {
    value.map_or_else(String::new, |v| format!("{v} {unit}"))
}
