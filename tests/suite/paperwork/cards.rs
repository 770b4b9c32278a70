//! Gateway cards: every port whole, letters that can be read, and on every page whose card it is.

use std::sync::Arc;

use crosspatch::model::{Attachment, Scenario};
use crosspatch::paperwork::set::ink::{Ink, Text};
use crosspatch::paperwork::set::logo::Logo;
use crosspatch::paperwork::set::sheet::{Document, Page, Paper};
use crosspatch::paperwork::{Ask, Kind};
use crosspatch::picture::Picture;
use crosspatch::samples::{Size, generate};

use super::reader::Read;
use super::{ask, long_named, pieces, read, shipped};

/// Smallest letters of the body of a card, in points; the foot may be smaller.
const BODY: f32 = 9.0;

fn texts(page: &Page) -> impl Iterator<Item = &Text> {
    let items = page.items.iter().flat_map(|item| &item.inks);
    items.filter_map(|ink| match ink {
        Ink::Text(text) => Some(text),
        Ink::Shape { .. } | Ink::Picture { .. } => None,
    })
}

/// Every card by itself, with the gateway's name.
fn cards(ask: &Ask, phase: usize) -> Vec<(String, Document)> {
    let piece = pieces(ask).into_iter().nth(phase).expect("a phase");
    let whole = piece.document;
    let mut cards: Vec<(String, Document)> = Vec::new();
    for (i, gateway) in ask.scenario.gateways.iter().enumerate() {
        let mut document = Document {
            pages: Vec::new(),
            tree: whole.tree.get(i).cloned().into_iter().collect(),
            ..whole.clone()
        };
        let packed = packed(&gateway.name);
        for page in &whole.pages {
            let said: String = texts(page).map(|t| t.line.text.as_str()).collect();
            if super::cards::packed(&said).contains(&packed) && said_first(page, &packed) {
                document.pages.push(page.clone());
            }
        }
        cards.push((gateway.name.clone(), document));
    }
    cards
}

fn packed(text: &str) -> String {
    text.chars().filter(|c| !c.is_whitespace()).collect()
}

/// Tells whether a page begins with a name, below what heads it.
fn said_first(page: &Page, name: &str) -> bool {
    let mut lines: Vec<&Text> = texts(page).collect();
    lines.sort_by(|a, b| a.at.y.total_cmp(&b.at.y));
    let large = lines.iter().filter(|t| t.size > 11.5 || t.at.y < 60.0);
    let said: String = large.map(|t| t.line.text.as_str()).collect();
    packed(&said).contains(name)
}

fn said(document: &Document) -> String {
    let texts = document.texts().concat().join(" ");
    texts.split_whitespace().collect::<Vec<_>>().join(" ")
}

#[test]
fn every_port_is_in_its_row_with_channel_frequency_cable_buffer_and_level() {
    let ask = ask(shipped("incident.ron"), &[Kind::Card]);
    for (number, phase) in ask.scenario.phases.iter().enumerate() {
        let picture = Picture::new(Arc::clone(&ask.scenario), phase.id);
        let all = read(&pieces(&ask)[number]);
        for (gateway, (_, card)) in ask.scenario.gateways.iter().zip(cards(&ask, number)) {
            let text = said(&card);
            let squeezed = packed(&text);
            for port in gateway.port_refs() {
                let number = port.port.to_string();
                let Some(attachment) = phase.attachments.get(&port) else {
                    let empty = text
                        .split("switched to NONE: port")
                        .nth(1)
                        .expect("empty ones");
                    let empty = empty.split('.').next().expect("a sentence");
                    let mut named = empty.trim_start_matches('s').split(", ");
                    assert!(named.any(|n| n.trim() == number), "port {number}: {empty}");
                    continue;
                };
                let group = phase.switches.get(&port);
                let group = group.map_or_else(|| "NONE".to_owned(), u8::to_string);
                let buffer = gateway.port(port.port).expect("it is there").buffer_ms;
                all.has_row(&[&number, &group, &buffer.to_string(), "mid"]);
                let name = ask.scenario.name(attachment.thing());
                assert!(squeezed.contains(&packed(&name)), "{name}");
                if let Attachment::Radio {
                    cable: Some(cable), ..
                } = attachment
                {
                    let cable = packed(&ask.scenario.name((*cable).into()));
                    assert!(squeezed.contains(&cable), "{cable}");
                }
            }
            for donor in picture.donors_of(gateway.id) {
                let Some(tuned) = donor.tuned else { continue };
                let effective = tuned.entry.effective(tuned.channel);
                match effective.carrier {
                    crosspatch::model::Carrier::Conventional(c) => {
                        let places = super::places(c.rx.mhz());
                        assert!(squeezed.contains(&places), "{places} in {text}");
                        let code = match c.tx_code {
                            crosspatch::model::AccessCode::None => "no tone".to_owned(),
                            code => code.to_string().replace(" Hz", ""),
                        };
                        assert!(squeezed.contains(&packed(&code)), "{code} in {text}");
                    }
                    crosspatch::model::Carrier::Grouped { group, .. } => {
                        let group = format!("talkgroup{group}");
                        assert!(squeezed.contains(&group), "{group} in {text}");
                    }
                }
            }
            for group in &gateway.talk_groups {
                assert!(text.contains(&group.name), "{} in {text}", group.name);
            }
            for words in [
                "Bring it up",
                "Take it down",
                "alkaline cells",
                "Shut, within reach",
                "hazardous-materials officer",
            ] {
                assert!(text.contains(words), "{words} on {}", gateway.name);
            }
            let site = gateway.site.and_then(|s| ask.scenario.sites.get(s));
            let is_contaminated = site.is_some_and(|s| s.contaminated);
            assert_eq!(text.contains("CONTAMINATED SITE"), is_contaminated);
        }
    }
}

/// Two channels of one name are told apart by what must be set on the donors.
#[test]
fn a_donor_of_a_repeater_shows_both_frequencies_and_its_code() {
    let ask = ask(shipped("incident.ron"), &[Kind::Card]);
    let text = said(&pieces(&ask)[0].document);
    // National Interoperability Field Operations Guide: VFIRE21 is 154.2800 simplex, CTCSS 156.7.
    assert!(text.contains("154.2800 N; CTCSS 156.7"), "{text}");
    assert!(text.contains("RX ") && text.contains(", TX "), "{text}");
}

#[test]
fn a_card_warns_of_what_stops_the_plan_at_its_gateway() {
    let bad = ask(shipped("incident.ron"), &[Kind::Card]);
    let river = cards(&bad, 0)
        .into_iter()
        .find(|(name, _)| name == "Gateway River")
        .expect("it has a card");
    let river = said(&river.1);
    assert!(
        river.contains("NOT READY: Gateway River talk group 1"),
        "{river}"
    );
    let good = ask(shipped("incident-repaired.ron"), &[Kind::Card]);
    for piece in pieces(&good) {
        let text = piece.document.texts().concat().join(" ");
        assert!(!text.contains("NOT READY"), "{text}");
    }
}

/// Worked by hand: the east gateway's first talk group in the night has the donors on VFIRE21, N TAC 2
/// and RAIL 64. Who speaks on VFIRE21 opens a trunked system through the gateway.
#[test]
fn a_card_says_who_is_joined_on_each_talk_group() {
    let ask = ask(shipped("incident.ron"), &[Kind::Card]);
    let text = said(&pieces(&ask)[0].document);
    assert!(text.contains("1 VFIRE21 + 2 N TAC 2 + 3 RAIL 64"), "{text}");
    assert!(text.contains("4 VMED28 + 6 Hospital line"), "{text}");
    // The longest wait of the three channels, as the figures have it.
    let night = ask.scenario.phases.first().expect("a phase").id;
    let picture = Picture::new(Arc::clone(&ask.scenario), night);
    let waits = crosspatch::picture::timing::press_and_wait(&picture);
    let longest = ["VFIRE21", "N TAC 2", "RAIL 64"]
        .into_iter()
        .filter_map(|name| {
            let channel = ask.scenario.channels.iter().find(|c| c.name == name)?;
            waits.get(&channel.id).map(|w| w.wait_ms.div_ceil(100))
        });
    let tenths = longest.max().expect("they are heard");
    let told = format!("Tell users: press, wait {tenths} tenths of a second, then speak");
    assert!(text.contains(&told), "{told}");
}

/// Gateways of a plan with many units.
fn crowded() -> Scenario {
    generate(Size::for_units(120), 7)
}

#[test]
fn letters_of_a_card_are_never_small_and_every_page_says_whose_it_is() {
    let picture = super::logos::shield();
    let mut count = 0;
    for scenario in [
        shipped("incident.ron"),
        shipped("incident-repaired.ron"),
        shipped("large.ron"),
        long_named(),
        crowded(),
    ] {
        for (paper, logo) in [(Paper::Letter, false), (Paper::A4, true)] {
            let mut ask = ask(scenario.clone(), &[Kind::Card]);
            ask.phases.truncate(1);
            ask.given.paper = paper;
            if logo {
                ask.given.agency = "Corbel County Fire".to_owned();
                ask.given.logo = Some(Arc::new(Logo::read(picture.clone()).expect("a picture")));
            }
            let document = &pieces(&ask)[0].document;
            let phase = ask.scenario.phases.first().expect("a phase");
            let names: Vec<String> = ask
                .scenario
                .gateways
                .iter()
                .map(|g| packed(&g.name))
                .collect();
            for page in &document.pages {
                assert_eq!(page.size, paper.half());
                let foot = page.size.y - 24.0;
                for text in texts(page).filter(|t| t.at.y < foot) {
                    // The agency's name above a card is no part of its body.
                    let is_head = logo && text.line.text.contains("Corbel");
                    let said = &text.line.text;
                    assert!(text.size >= BODY - 0.01 || is_head, "{}: {said}", text.size);
                }
                let said: String = texts(page).map(|t| t.line.text.as_str()).collect();
                let said = packed(&said);
                assert!(
                    names.iter().any(|name| said.contains(name.as_str())),
                    "{said}"
                );
                assert!(said.contains(&packed(&phase.name)), "{said}");
                let period = crosspatch::paperwork::period::Period::of(phase).words();
                assert!(said.contains(&packed(&period)), "{period} in {said}");
                count += 1;
            }
        }
    }
    assert!(count > 20, "{count} pages");
}

#[test]
fn a_card_says_more_in_larger_letters_only_where_it_needs_another_page() {
    // Nothing is plugged in: all there is fits one page, in letters of the largest size.
    let lab = {
        let mut lab = crate::lab::Lab::new();
        lab.gateway("Gateway Box");
        lab.scenario
    };
    let ask = ask(lab, &[Kind::Card]);
    let document = &pieces(&ask)[0].document;
    assert_eq!(document.pages.len(), 1);
    let smallest = texts(&document.pages[0])
        .filter(|t| t.at.y < 580.0)
        .map(|t| t.size);
    assert!(smallest.fold(f32::MAX, f32::min) >= 12.0);
}

#[test]
fn batteries_stand_a_port_a_line_with_count_and_rhythm() {
    let scenario = shipped("incident.ron");
    let ask = ask(scenario, &[Kind::Card]);
    let phase = ask.scenario.phases.first().expect("a phase");
    let picture = Picture::new(Arc::clone(&ask.scenario), phase.id);
    let all: Read = read(&pieces(&ask)[0]);
    let period = crosspatch::paperwork::period::Period::of(phase);
    let mut told = 0;
    for donor in &picture.power().donors {
        let gateway = ask
            .scenario
            .gateways
            .get(donor.port.gateway)
            .expect("there");
        let site = gateway.site.and_then(|s| ask.scenario.sites.get(s));
        if donor.is_supplied || donor.changes_h.is_empty() || site.is_some_and(|s| s.contaminated) {
            continue;
        }
        let first = donor.changes_h[0];
        let start = period.after(first);
        let minutes = (first * 60.0).floor() as i64;
        let when = match donor.changes_h.len() {
            1 => format!("by {start}"),
            _ => format!("every {}:{:02} h from {start}", minutes / 60, minutes % 60),
        };
        let count = donor.batteries.expect("it is known");
        let line = format!("Port {}: {count} batteries, {when}", donor.port.port);
        assert!(
            !all.with(&line).is_empty(),
            "{line}: {:?}",
            all.with("batteries,")
        );
        told += 1;
    }
    assert!(told > 3, "{told} donors are few");
}

/// By day the east gateway stands at a contaminated site: nobody opens it there.
#[test]
fn nobody_is_told_to_change_batteries_at_a_contaminated_site() {
    let scenario = shipped("incident.ron");
    let ask = ask(scenario, &[Kind::Card, Kind::Ics214]);
    let mut seen = 0;
    for phase in 0..ask.scenario.phases.len() {
        for (gateway, (_, card)) in ask.scenario.gateways.iter().zip(cards(&ask, phase * 2 + 1)) {
            let site = gateway.site.and_then(|s| ask.scenario.sites.get(s));
            if !site.is_some_and(|s| s.contaminated) {
                continue;
            }
            let text = said(&card);
            for words in [
                "Fresh radio batteries",
                "; change",
                "batteries, every",
                "battery, by",
            ] {
                assert!(!text.contains(words), "{words} in {text}");
            }
            assert!(text.contains("Change nothing at the site."), "{text}");
            assert!(
                text.contains("power from outside before the lid is shut"),
                "{text}"
            );
            seen += 1;
        }
    }
    assert!(seen > 0, "no gateway stands at a contaminated site");
    let logs = pieces(&ask).into_iter().filter(|p| p.kind == Kind::Ics214);
    let log: String = logs.map(|p| said(&p.document)).collect();
    assert!(log.contains("bring out for a fresh radio battery"), "{log}");
}

/// Without a time at which the phase begins, hours are told as hours.
#[test]
fn times_without_a_start_cannot_be_taken_for_times_of_day() {
    let mut scenario = shipped("incident.ron");
    let mut phase = scenario.phases.first().expect("a phase").clone();
    phase.start = String::new();
    scenario = scenario
        .apply(&[crosspatch::model::Edit::Replace(phase.into())])
        .expect("a phase may have no start");
    let ask = ask(scenario, &[Kind::Card]);
    let text = said(&pieces(&ask)[0].document);
    assert!(text.contains(" h from the start"), "{text}");
}
