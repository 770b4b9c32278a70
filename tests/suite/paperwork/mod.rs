//! Paper: what is printed is what the plan says, in the right row, on pages nobody has to be ashamed of.

mod reader;
mod verified;

use std::collections::BTreeSet;
use std::sync::Arc;

use crosspatch::format::{self, Syntax};
use crosspatch::model::{AccessCode, Attachment, Carrier, Edit, Mode, Party, Scenario, Thing};
use crosspatch::paperwork::given::Given;
use crosspatch::paperwork::set::face::Faces;
use crosspatch::paperwork::set::ink::Ink;
use crosspatch::paperwork::set::logo::Logo;
use crosspatch::paperwork::set::pdf;
use crosspatch::paperwork::set::png;
use crosspatch::paperwork::set::sheet::{Child, Document, Element, Paper, Role};
use crosspatch::paperwork::{Ask, Go, Kind, Piece};
use crosspatch::picture::Picture;
use crosspatch::picture::precheck::PreCheck;
use crosspatch::samples::SHIPPED;

use crate::lab::{Lab, tone};
use reader::Read;

pub(crate) fn shipped(file_name: &str) -> Scenario {
    let sample = SHIPPED
        .iter()
        .find(|s| s.file_name == file_name)
        .expect("it is shipped");
    format::read(sample.text, Syntax::Ron).expect("it can be read")
}

pub(crate) fn ask(scenario: Scenario, kinds: &[Kind]) -> Ask {
    Ask {
        phases: scenario.phases.ids().collect(),
        scenario: Arc::new(scenario),
        kinds: kinds.iter().copied().collect(),
        given: Given::default(),
    }
}

fn pieces(ask: &Ask) -> Vec<Piece> {
    ask.set(&mut |_| Go::On).expect("nobody stops it")
}

fn read(piece: &Piece) -> Read {
    Read::of(&pdf::write(&piece.document).expect("it passes PDF/UA-1"))
}

/// A frequency as the forms write it, worked out apart from the program.
fn places(mhz: f64) -> String {
    let places = if (763.0..=806.0).contains(&mhz) { 5 } else { 4 };
    format!("{mhz:.places$}")
}

fn code(code: AccessCode) -> String {
    match code {
        AccessCode::None => "CSQ".to_owned(),
        AccessCode::Ctcss(tone) => format!("{:.1}", tone.hz()),
        AccessCode::Dcs { code, inverted } => {
            format!("D{code:03o}{}", if inverted { 'I' } else { 'N' })
        }
        AccessCode::Nac(nac) => format!("${nac:03X}"),
    }
}

#[test]
fn every_channel_in_use_is_in_its_row_of_the_205() {
    let scenario = shipped("incident.ron");
    let phases: Vec<_> = scenario.phases.ids().collect();
    let ask = ask(scenario, &[Kind::Ics205]);
    let pieces = pieces(&ask);
    assert_eq!(pieces.len(), phases.len());
    for (piece, phase) in pieces.iter().zip(phases) {
        let form = read(piece);
        let picture = Picture::new(Arc::clone(&ask.scenario), phase);
        let mut seen = 0;
        for (channel, _) in picture.users() {
            match channel.carrier {
                Carrier::Conventional(c) => {
                    let width = if c.bandwidth_hz <= 12_500 { 'N' } else { 'W' };
                    let (rx, tx) = (places(c.rx.mhz()), places(c.tx.mhz()));
                    let (rx, tx) = (format!("{rx} {width}"), format!("{tx} {width}"));
                    let (a, b) = (code(c.rx_code), code(c.tx_code));
                    let mut parts = vec![channel.name.as_str(), &rx];
                    parts.push(&a);
                    parts.push(&tx);
                    parts.push(&b);
                    parts.push(if c.mode.is_digital() { "D" } else { "A" });
                    form.has_row(&parts);
                }
                Carrier::Grouped { group, .. } => {
                    form.has_row(&[&channel.name, "D"]);
                    form.has_row(&[&format!("Talkgroup {group}")]);
                }
            }
            seen += 1;
        }
        assert!(seen > 10, "{seen} channels are few for the incident");
    }
}

/// Source: National Interoperability Field Operations Guide, tables of the VHF and UHF channels:
/// VTAC12 is 154.4525 simplex and VFIRE21 154.2800, receive CSQ or 156.7, transmit 156.7.
#[test]
fn national_channels_read_as_they_are_published() {
    let ask = ask(shipped("incident.ron"), &[Kind::Ics217a]);
    let sheet = read(&pieces(&ask)[0]);
    sheet.has_row(&["VTAC12", "154.4525 N", "CSQ", "154.4525 N", "156.7", "A"]);
    sheet.has_row(&["VFIRE21", "154.2800 N", "156.7", "154.2800 N", "156.7", "A"]);
}

#[test]
fn every_channel_of_the_plan_is_on_the_217a_once() {
    let ask = ask(shipped("incident.ron"), &[Kind::Ics217a]);
    let sheet = read(&pieces(&ask)[0]);
    for channel in ask.scenario.channels.iter() {
        let rows = sheet
            .rows
            .iter()
            .filter(|r| r.text.split(" | ").any(|c| c == channel.name));
        let alike = ask
            .scenario
            .channels
            .iter()
            .filter(|c| c.name == channel.name);
        assert_eq!(rows.count(), alike.count(), "{}", channel.name);
    }
    assert!(
        sheet.with("Frequency Band").len() >= 4,
        "a sheet for each band"
    );
}

#[test]
fn every_port_is_in_its_row_of_its_gateways_card_and_every_group_is_named() {
    let ask = ask(shipped("incident.ron"), &[Kind::Card]);
    for (piece, phase) in pieces(&ask).iter().zip(ask.scenario.phases.iter()) {
        let cards = read(piece);
        assert_eq!(
            cards.sizes.len(),
            ask.scenario.gateways.len(),
            "a page for each gateway"
        );
        for size in &cards.sizes {
            assert!(
                (size.0 - 396.0).abs() < 0.5 && (size.1 - 612.0).abs() < 0.5,
                "{size:?}"
            );
        }
        for gateway in ask.scenario.gateways.iter() {
            for port in gateway.port_refs() {
                let number = port.port.to_string();
                let group = phase.switches.get(&port);
                let group = group.map_or_else(|| "NONE".to_owned(), u8::to_string);
                let mut parts = vec![number.as_str()];
                let name = phase
                    .attachments
                    .get(&port)
                    .map(|a| ask.scenario.name(a.thing()));
                parts.extend(name.as_deref());
                let cable = match phase.attachments.get(&port) {
                    Some(Attachment::Radio {
                        cable: Some(cable), ..
                    }) => Some(ask.scenario.name((*cable).into())),
                    _ => None,
                };
                let buffer = gateway
                    .port(port.port)
                    .map(|p| format!("{} ms", p.buffer_ms));
                parts.push(&group);
                if name.is_some() {
                    parts.extend(buffer.as_deref());
                    parts.push("mid");
                }
                cards.has_row(&parts);
                // A long cable's name goes on in the next line of its cell.
                if let Some(word) = cable.as_deref().and_then(|c| c.split(' ').next()) {
                    assert!(!cards.with(word).is_empty(), "{word}");
                }
            }
            for group in &gateway.talk_groups {
                assert!(!cards.with(&group.name).is_empty(), "{}", group.name);
            }
        }
        for (page, gateway) in (1..).zip(ask.scenario.gateways.iter()) {
            let text = cards.page(page);
            assert!(text.starts_with(&gateway.name), "{text}");
            for words in [
                "Bring it up",
                "Take it down",
                "alkaline cells",
                "Shut, within reach",
                "hazardous-materials officer",
                "hazardous",
            ] {
                assert!(
                    text.contains(words),
                    "{words} on the card of {}",
                    gateway.name
                );
            }
            let site = gateway.site.and_then(|s| ask.scenario.sites.get(s));
            let is_contaminated = site.is_some_and(|s| s.contaminated);
            assert_eq!(text.contains("CONTAMINATED SITE"), is_contaminated);
        }
    }
}

#[test]
fn a_card_warns_of_what_stops_the_plan_at_its_gateway() {
    let bad = ask(shipped("incident.ron"), &[Kind::Card]);
    let cards = pieces(&bad);
    let text = cards[0].document.texts();
    let river = text.get(1).expect("a card for each gateway").join(" ");
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

/// Worked by hand: on the river's first talk group N PATROL is always encrypted and VFIRE21 is not; in the
/// repaired plan the group joins encrypted channels only.
#[test]
fn the_205_says_first_what_is_not_ready_and_what_leaves_in_clear() {
    let bad = ask(shipped("incident.ron"), &[Kind::Ics205]);
    let form = read(&pieces(&bad)[0]);
    let first = form.page(1);
    let at = |words: &str| {
        first
            .find(words)
            .unwrap_or_else(|| panic!("{words} in {first}"))
    };
    assert!(at("NOT READY: 13 findings stop") < at("PATCH at"));
    assert!(at("CAUTION, IN CLEAR: encrypted traffic of Gateway River port 3") < at("PATCH at"));
    assert!(
        first.contains("leaves in clear by RIVER 6, River operator, VFIRE21"),
        "{first}"
    );
    let good = ask(shipped("incident-repaired.ron"), &[Kind::Ics205]);
    let text = pieces(&good)[0].document.texts().concat().join(" ");
    assert!(
        text.contains("GUARD THE BOX") && !text.contains("IN CLEAR"),
        "{text}"
    );
    assert!(!text.contains("NOT READY"));
}

/// Worked by hand: the east gateway's first talk group in the night has the donors on VFIRE21, N TAC 2
/// and RAIL 64. Who speaks on VFIRE21 opens a trunked system through the gateway.
#[test]
fn a_card_says_who_is_joined_on_each_talk_group() {
    let ask = ask(shipped("incident.ron"), &[Kind::Card]);
    let cards = read(&pieces(&ask)[0]);
    assert!(!cards.with("1 VFIRE21 + 2 N TAC 2 + 3 RAIL 64").is_empty());
    assert!(!cards.with("4 VMED28 + 6 Hospital line").is_empty());
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
    assert!(cards.page(1).contains(&told), "{told}");
}

#[test]
fn the_pre_check_lists_every_radio_in_use_and_shows_what_is_ticked() {
    let ask = ask(shipped("incident.ron"), &[Kind::PreCheck]);
    let pieces = pieces(&ask);
    let first = pieces.first().expect("a sheet");
    let night = ask.scenario.phases.first().expect("a phase").id;
    let picture = Picture::new(Arc::clone(&ask.scenario), night);
    let list = PreCheck::of(&picture);
    let texts: Vec<&str> = first.document.texts().into_iter().flatten().collect();
    let whole = texts.join(" ");
    for radio in ask.scenario.radios.iter().filter(|r| picture.is_in_use(r)) {
        assert!(
            whole.contains(&radio.name),
            "{} is not on the sheet",
            radio.name
        );
    }
    let says = |word: &str| {
        let items = first.document.pages.iter().flat_map(|p| &p.items);
        items
            .filter(|i| i.says.as_deref().is_some_and(|s| s.starts_with(word)))
            .count()
    };
    let (facts, steps) = (list.facts(), list.steps());
    assert!(facts.done > 0 && facts.done < facts.all, "{facts:?}");
    assert_eq!(says("ticked"), facts.done + steps.done);
    let open = facts.all - facts.done + steps.all - steps.done;
    assert!(
        says("box to tick") > open,
        "and the matrix has boxes of its own"
    );
    let sheet = read(first);
    assert!(
        !sheet.with("need, but NOT").is_empty(),
        "Engine 21 does not hear Incident Command"
    );
    assert!(!sheet.with("M. Okafor").is_empty(), "who verified it");
}

#[test]
fn two_to_be_kept_apart_are_to_be_silent_on_the_sheet() {
    let mut lab = Lab::new();
    let system = lab.system("direct", crosspatch::model::SystemKind::Simplex, 0, 0);
    let shared = lab.channel("SHARED", system, 151.0, 151.0, tone(103.5), Mode::Fm);
    let alone = lab.channel("ALONE", system, 152.0, 152.0, tone(103.5), Mode::Fm);
    let (a, b) = (lab.on("Crew A", shared), lab.on("Crew B", shared));
    let c = lab.on("Crew C", alone);
    let need = crosspatch::model::Need {
        id: crosspatch::model::NeedId(lab.scenario.mint(0)),
        key: String::new(),
        name: "Apart".to_owned(),
        from: BTreeSet::from([Party::Unit(a)]),
        to: BTreeSet::from([Party::Unit(b), Party::Unit(c)]),
        way: crosspatch::model::Way::Apart,
        priority: crosspatch::model::Priority::High,
        encrypted: false,
        max_delay_ms: None,
        notes: String::new(),
    };
    lab.apply(&[Edit::Add(need.into())]);
    let sheet = &pieces(&ask(lab.scenario, &[Kind::PreCheck, Kind::Briefing]));
    let text = |i: usize| sheet[i].document.texts().concat().join(" ");
    // Both ways between A and B, who share a channel; both ways between A and C, who do not.
    assert_eq!(text(0).matches("must be silent, but").count(), 2);
    assert_eq!(text(0).matches("silent, as it").count(), 2);
    assert!(text(1).contains("partly joined"), "{}", text(1));
}

#[test]
fn the_activity_log_begins_with_what_was_signed() {
    let ask = ask(shipped("incident.ron"), &[Kind::Ics214]);
    let pieces = pieces(&ask);
    let log = read(&pieces[0]);
    let whole = pieces[0].document.texts().concat().join(" ");
    assert!(whole.contains("on VFIRE21 read off the set"));
    assert!(whole.contains("radio battery changed, due by"));
    assert!(!log.with("M. Okafor").is_empty());
    assert!(!log.with("Gateway River: brought up").is_empty());
    assert!(!log.with("cells changed, due by 02:20").is_empty());
}

#[test]
fn the_communications_list_has_everybody_in_the_order_of_the_alphabet() {
    let ask = ask(shipped("incident.ron"), &[Kind::Ics205a]);
    let list = read(&pieces(&ask)[0]);
    let mut names: Vec<String> = ask
        .scenario
        .parties()
        .map(|p| ask.scenario.name(p.into()))
        .collect();
    names.sort_by_key(|n| n.to_lowercase());
    let rows: Vec<usize> = names
        .iter()
        .map(|name| {
            let is_it = |text: &str| text.split(" | ").nth(1) == Some(name.as_str());
            list.rows
                .iter()
                .position(|r| is_it(&r.text))
                .unwrap_or_else(|| panic!("{name}"))
        })
        .collect();
    assert!(rows.is_sorted(), "{rows:?}");
}

#[test]
fn the_briefing_tells_findings_needs_points_loads_and_changes() {
    let ask = ask(shipped("incident.ron"), &[Kind::Briefing]);
    let pieces = pieces(&ask);
    let night = read(&pieces[0]);
    for need in ask.scenario.needs.iter() {
        assert!(!night.with(&need.name).is_empty(), "{}", need.name);
    }
    let picture = Picture::new(
        Arc::clone(&ask.scenario),
        ask.scenario.phases.first().expect("a phase").id,
    );
    let report = crosspatch::checks::run_all(&picture);
    let codes: BTreeSet<&str> = report.open.iter().map(|f| f.code).collect();
    for code in codes {
        assert!(
            night
                .rows
                .iter()
                .any(|r| r.text.split(" | ").any(|c| c == code)),
            "{code}"
        );
    }
    let points = night.with("Gateway East");
    assert!(points.iter().any(|r| r.contains("| 2 |")), "{points:?}");
    assert!(
        night.with("Changed since").is_empty(),
        "no phase is before it"
    );
    let day = read(&pieces[1]);
    assert!(
        !day.with("Changed since Night: entry and evacuation")
            .is_empty()
    );
    assert!(!day.with("goes from talk group").is_empty());
}

/// A plan of many channels, each programmed into a radio that somebody holds.
fn of_channels(count: usize) -> Scenario {
    let mut lab = Lab::new();
    let system = lab.system("direct", crosspatch::model::SystemKind::Simplex, 0, 0);
    for i in 0..count {
        let at = 150.0 + i as f64 * 0.0125;
        let name = format!("CH{i:03}");
        let channel = lab.channel(&name, system, at, at, tone(103.5), Mode::Fm);
        lab.on(&format!("Unit {i:03}"), channel);
    }
    lab.scenario
}

#[test]
fn two_hundred_channels_make_continuation_pages_with_their_heads() {
    let ask = ask(of_channels(200), &[Kind::Ics205]);
    let form = read(&pieces(&ask)[0]);
    let pages = form.sizes.len() as u32;
    assert!(pages > 4, "{pages}");
    for page in 1..=pages {
        let text = form.page(page);
        assert!(text.contains(&format!("Page {page} of {pages}")), "{text}");
        assert!(
            text.contains("1. Incident Name"),
            "page {page} says whose it is"
        );
        if text.contains("CH0") || text.contains("CH1") {
            assert!(
                text.contains("RX Freq N or W"),
                "page {page} heads its columns"
            );
        }
    }
    for i in 0..200 {
        let at = places(150.0 + i as f64 * 0.0125);
        let name = format!("CH{i:03}");
        let rows = form.with(&name);
        assert_eq!(rows.len(), 1, "{rows:?}");
        let at = format!("{at} N");
        form.has_row(&[&name, &at, "103.5", &at, "103.5", "A"]);
    }
}

#[test]
fn a_page_that_goes_on_repeats_its_head_outside_the_tree() {
    let ask = ask(of_channels(60), &[Kind::Ics205]);
    let pieces = pieces(&ask);
    let document = &pieces[0].document;
    assert!(document.pages.len() > 1);
    let mut rows = 0;
    count(&document.tree, &mut |role| {
        rows += usize::from(*role == Role::Row);
    });
    assert_eq!(rows, 61, "a head and sixty rows, however many pages");
    let mut heads = 0;
    count(&document.tree, &mut |role| {
        heads += usize::from(*role == Role::HeadCell);
    });
    assert_eq!(heads, 11);
}

fn count(elements: &[Element], found: &mut dyn FnMut(&Role)) {
    for element in elements {
        found(&element.role);
        for child in &element.children {
            if let Child::Element(element) = child {
                count(std::slice::from_ref(element), found);
            }
        }
    }
}

/// Renames everything that can be printed to something far too long.
fn long_named() -> Scenario {
    let scenario = shipped("incident.ron");
    let long =
        "Upper Llanfair-pwllgwyngyllgogerychwyrndrobwllllantysiliogogogoch Interagency ".repeat(2);
    let mut edits = Vec::new();
    let mut rename = |mut thing: Thing| {
        let old = thing.name().to_owned();
        *thing.name_mut() = format!("{old} {}", long.trim());
        edits.push(Edit::Replace(thing));
    };
    scenario.units.iter().for_each(|t| rename(t.clone().into()));
    scenario
        .channels
        .iter()
        .for_each(|t| rename(t.clone().into()));
    scenario
        .gateways
        .iter()
        .for_each(|t| rename(t.clone().into()));
    scenario
        .radios
        .iter()
        .for_each(|t| rename(t.clone().into()));
    scenario.apply(&edits).expect("long names are legal")
}

/// No text leaves its page, and no text stands on another.
#[track_caller]
fn is_tidy(document: &Document, what: &str) {
    for (number, page) in document.pages.iter().enumerate() {
        let mut boxes: Vec<(f32, f32, f32, f32, &str)> = Vec::new();
        for ink in page.items.iter().flat_map(|item| &item.inks) {
            let Ink::Text(text) = ink else { continue };
            let (left, right) = (text.at.x, text.at.x + text.width());
            let (top, bottom) = (text.at.y - text.size * 0.74, text.at.y + text.size * 0.05);
            let said = text.line.text.as_str();
            assert!(
                left >= 0.0 && right <= page.size.x && top >= 0.0 && bottom <= page.size.y,
                "{what}, page {}: '{said}' leaves the page",
                number + 1
            );
            boxes.push((left, right, top, bottom, said));
        }
        for (i, a) in boxes.iter().enumerate() {
            for b in &boxes[i + 1..] {
                let apart = a.1 <= b.0 + 0.2 || b.1 <= a.0 + 0.2 || a.3 <= b.2 || b.3 <= a.2;
                assert!(
                    apart,
                    "{what}, page {}: '{}' stands on '{}'",
                    number + 1,
                    a.4,
                    b.4
                );
            }
        }
    }
}

#[test]
fn no_text_leaves_its_page_or_stands_on_another() {
    for scenario in [
        shipped("incident.ron"),
        long_named(),
        Scenario::new("empty"),
        of_channels(30),
    ] {
        let title = scenario.header.title.clone();
        let mut ask = ask(scenario, &Kind::ALL);
        ask.phases.truncate(1);
        for paper in [Paper::Letter, Paper::A4] {
            ask.given.paper = paper;
            for piece in pieces(&ask) {
                // Drawings are held to it by tests of their own.
                if piece.kind != Kind::Diagram {
                    is_tidy(&piece.document, &format!("{title}, {}", piece.stem));
                }
            }
        }
    }
}

#[test]
fn a_very_long_name_is_printed_whole() {
    let mut ask = ask(long_named(), &[Kind::Ics205]);
    ask.phases.truncate(1);
    let texts: String = pieces(&ask)[0].document.texts().concat().concat();
    let packed: String = texts.split_whitespace().collect();
    assert!(packed.contains("llantysiliogogogochInteragencyUpperLlanfair-pwll"));
}

#[test]
fn an_empty_plan_makes_papers_to_be_filled_in() {
    let ask = ask(Scenario::new("Empty"), &Kind::ALL);
    let pieces = pieces(&ask);
    assert_eq!(pieces.len(), Kind::ALL.len());
    for piece in &pieces {
        // Without a gateway there is no card.
        let is_card = piece.kind == Kind::Card;
        assert_eq!(piece.document.pages.is_empty(), is_card, "{}", piece.stem);
        pdf::write(&piece.document).unwrap_or_else(|e| panic!("{}: {e}", piece.stem));
    }
}

#[test]
fn the_same_plan_gives_the_same_bytes_and_no_clock_is_inside() {
    let outputs = || {
        let mut ask = ask(shipped("incident.ron"), &Kind::ALL);
        ask.phases.truncate(1);
        let faces = Faces::default();
        let pieces = pieces(&ask);
        let all = pieces
            .iter()
            .flat_map(|p| p.outputs(&faces).expect("it can be written"));
        all.collect::<Vec<_>>()
    };
    let (a, b) = (outputs(), outputs());
    assert!(a.len() >= Kind::ALL.len());
    assert!(a == b, "two runs differ");
    for output in &a {
        let has = |word: &str| {
            output
                .bytes
                .windows(word.len())
                .any(|w| w == word.as_bytes())
        };
        assert!(
            !has("CreationDate") && !has("ModDate"),
            "{} holds a date",
            output.name
        );
    }
}

/// PDF/UA-1 (ISO 14289-1) asks for marked content, a structure tree, a language and a title shown.
#[test]
fn the_pdf_is_tagged_has_an_outline_and_says_its_language() {
    let ask = ask(shipped("talk-groups.ron"), &[Kind::Briefing]);
    let bytes = pdf::write(&pieces(&ask)[0].document).expect("it passes");
    let document = pdf_extract::Document::load_mem(&bytes).expect("it is a PDF");
    let catalog = document.catalog().expect("it has a catalog");
    for key in [
        &b"MarkInfo"[..],
        b"StructTreeRoot",
        b"Lang",
        b"Outlines",
        b"ViewerPreferences",
    ] {
        assert!(catalog.has(key), "{}", String::from_utf8_lossy(key));
    }
}

#[test]
fn a_letter_no_face_has_is_told_and_shown_as_a_box() {
    let scenario = shipped("talk-groups.ron");
    let mut unit = scenario.units.first().expect("a unit").clone();
    unit.name = "Team \u{96ea}".to_owned();
    let scenario = scenario
        .apply(&[Edit::Replace(unit.into())])
        .expect("a legal name");
    let ask = ask(scenario, &[Kind::Ics205a]);
    let pieces = pieces(&ask);
    assert_eq!(pieces[0].document.missing, BTreeSet::from(['\u{96ea}']));
    assert!(!read(&pieces[0]).with("Team \u{25a1}").is_empty());
}

#[test]
fn agency_and_logo_head_the_first_page() {
    let faces = Faces::default();
    let drawn = pieces(&ask(shipped("talk-groups.ron"), &[Kind::Ics214]));
    let raster = png::write(&faces, &drawn[0].document.pages[0], 0.2).expect("it is small");
    let vector = "<svg xmlns='http://www.w3.org/2000/svg' width='40' height='20'>\
        <rect width='40' height='20' fill='navy'/><text x='2' y='15' fill='white'>CC</text></svg>";
    for bytes in [raster, vector.as_bytes().to_vec()] {
        let logo = Logo::read(bytes).expect("it is a picture");
        let mut ask = ask(shipped("talk-groups.ron"), &[Kind::Ics205, Kind::Card]);
        ask.given.agency = "Corbel County Fire".to_owned();
        ask.given.logo = Some(Arc::new(logo));
        for piece in pieces(&ask) {
            let page = read(&piece).page(1);
            assert!(page.starts_with("Corbel County Fire"), "{page}");
            let first = &piece.document.pages[0];
            let inks = first.items.iter().flat_map(|i| &i.inks);
            assert_eq!(inks.filter(|i| matches!(i, Ink::Picture { .. })).count(), 1);
        }
    }
    let refused = Logo::read(b"not a picture".to_vec()).map(|_| ());
    assert_eq!(refused, Err("it is no PNG, JPEG or SVG picture".to_owned()));
    assert!(Logo::read(b"\x89PNG\r\n\x1a\nbroken".to_vec()).is_err());
}

#[test]
fn a_set_can_be_stopped_and_tells_how_far_it_is() {
    let ask = ask(shipped("talk-groups.ron"), &[Kind::Ics205, Kind::Ics214]);
    let mut told = Vec::new();
    let stopped = ask.set(&mut |progress| {
        told.push((progress.done, progress.all, progress.next.clone()));
        if told.len() == 3 { Go::Stop } else { Go::On }
    });
    assert_eq!(stopped, None);
    let all = 2 * ask.scenario.phases.len();
    assert_eq!(told.len(), 3);
    assert_eq!(
        told.iter().map(|t| (t.0, t.1)).collect::<Vec<_>>(),
        [(0, all), (1, all), (2, all)]
    );
    assert!(told[0].2.starts_with("205-"), "{told:?}");
}

#[test]
fn a_picture_of_a_page_shows_its_ink() {
    let ask = ask(shipped("talk-groups.ron"), &[Kind::Card]);
    let faces = Faces::default();
    let piece = &pieces(&ask)[0];
    let dots = png::dots(&faces, &piece.document.pages[0], 1.0).expect("it is small");
    assert_eq!((dots.width, dots.height), (396, 612));
    let dark = dots.rgba.chunks(4).filter(|p| p[0] < 100).count();
    let share = dark as f64 / f64::from(dots.width * dots.height);
    // Text and rules take a few hundredths of a printed page.
    assert!((0.01..0.3).contains(&share), "{share}");
    assert!(png::dots(&faces, &piece.document.pages[0], 100.0).is_err());
}
