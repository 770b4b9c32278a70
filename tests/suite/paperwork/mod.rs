//! Paper: what is printed is what the plan says, in the right row, on pages nobody has to be ashamed of.

mod cards;
mod leaks;
mod lists;
mod logos;
mod reader;
mod verified;

use std::collections::BTreeSet;
use std::sync::Arc;

use crosspatch::format::{self, Syntax};
use crosspatch::model::{AccessCode, Carrier, Edit, Mode, Party, Scenario, Thing};
use crosspatch::paperwork::given::Given;
use crosspatch::paperwork::set::face::Faces;
use crosspatch::paperwork::set::ink::Ink;
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
    let since = day.with("in place of").join("; ");
    assert!(
        !since.contains("start 2031"),
        "its own period, once: {since}"
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

/// What follows a heading begins on the page of the heading.
#[track_caller]
fn has_no_lone_heading(document: &Document, what: &str) {
    fn first_page(element: &Element) -> Option<usize> {
        element.children.iter().find_map(|child| match child {
            Child::Element(element) => first_page(element),
            Child::Item { page, .. } => Some(*page),
        })
    }
    fn walk(element: &Element, what: &str) {
        let elements: Vec<&Element> = element
            .children
            .iter()
            .filter_map(|child| match child {
                Child::Element(element) => Some(element),
                Child::Item { .. } => None,
            })
            .collect();
        for pair in elements.windows(2) {
            if let Role::Heading(_, title) = &pair[0].role {
                let pages = (first_page(pair[0]), first_page(pair[1]));
                assert!(
                    pages.1.is_none() || pages.0 == pages.1,
                    "{what}: '{title}' stands alone at the foot of a page"
                );
            }
        }
        for element in elements {
            walk(element, what);
        }
    }
    document.tree.iter().for_each(|element| walk(element, what));
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
                let what = format!("{title}, {}", piece.stem);
                // That nothing overlaps on drawings is held by tests of their own.
                if piece.kind != Kind::Diagram {
                    is_tidy(&piece.document, &what);
                }
                has_no_lone_heading(&piece.document, &what);
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
    let says = |kind: Kind| {
        let piece = pieces.iter().find(|p| p.kind == kind).expect("it is made");
        piece.document.texts().concat().join(" ")
    };
    assert!(says(Kind::Card).contains("The plan has no gateway"));
    assert!(says(Kind::Briefing).contains("The plan is empty"));
    assert!(!says(Kind::Briefing).contains("nothing warns"));
    assert_eq!(
        says(Kind::PreCheck)
            .matches("nothing to check here")
            .count(),
        2
    );
    for piece in &pieces {
        assert!(!piece.document.pages.is_empty(), "{}", piece.stem);
        let says = piece.document.texts().concat().concat();
        assert!(says.len() > 40, "{} is a blank sheet", piece.stem);
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
