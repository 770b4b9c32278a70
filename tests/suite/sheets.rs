//! Tables as text: every cell reads back, what cannot be says why, and what is offered passes the gate.

use std::sync::Arc;

use crosspatch::format::{Syntax, read};
use crosspatch::model::{Edit, Scenario, Unit, UnitId};
use crosspatch::samples::SHIPPED;
use crosspatch::sheets::{Book, Grid, Offer, Paste, Row, SHEETS, Sheet, Target, Write, text_of};
use proptest::prelude::*;

use crate::draws::cases;

fn shipped(file_name: &str) -> Scenario {
    let sample = SHIPPED
        .iter()
        .find(|s| s.file_name == file_name)
        .expect("a shipped scenario of that name");
    read(sample.text, Syntax::of_name(sample.file_name)).expect("shipped scenarios open")
}

fn book(scenario: &Scenario) -> Book {
    let phase = scenario.phases.first().expect("a phase").id;
    Book::new(Arc::new(scenario.clone()), phase)
}

fn sheet(name: &str) -> &'static dyn Sheet {
    SHEETS
        .iter()
        .copied()
        .find(|s| s.name() == name)
        .expect("a table of that name")
}

fn column(sheet: &dyn Sheet, title: &str) -> usize {
    (0..sheet.columns())
        .find(|c| sheet.heading(*c).is_some_and(|h| h.title() == title))
        .unwrap_or_else(|| panic!("{} has a column {title}", sheet.name()))
}

fn row_called(sheet: &dyn Sheet, book: &Book, name: &str) -> Row {
    sheet
        .rows(book)
        .into_iter()
        .find(|row| sheet.cells(book, *row).first().is_some_and(|c| c == name))
        .unwrap_or_else(|| panic!("{} has a row {name}", sheet.name()))
}

fn typed(book: &Book, of: &str, row: &str, title: &str, text: &str) -> Offer {
    let sheet = sheet(of);
    let row = row_called(sheet, book, row);
    sheet.offer(
        book,
        &[Write {
            target: Target::Row(row),
            cells: vec![(column(sheet, title), text.to_owned())],
        }],
    )
}

fn pasted(book: &Book, of: &str, text: &str, at: usize) -> Paste {
    let sheet = sheet(of);
    let rows: Vec<Row> = sheet.rows(book).into_iter().skip(at).collect();
    Paste::new(sheet, book, &Grid::read(text), &rows, 0)
}

#[test]
fn every_cell_of_every_row_is_read_back_as_it_was_written() {
    let mut cells = 0;
    for sample in SHIPPED {
        let scenario = Arc::new(shipped(sample.file_name));
        for phase in scenario.phases.ids() {
            let book = Book::new(Arc::clone(&scenario), phase);
            for sheet in SHEETS {
                for row in sheet.rows(&book) {
                    let written = sheet.cells(&book, row);
                    cells += written.len();
                    assert_eq!(written.len(), sheet.columns());
                    match sheet.read_back(&book, row) {
                        Ok(read) => assert_eq!(read, written, "{}", sheet.name()),
                        Err((at, reason)) => {
                            let title = sheet.heading(at).expect("a column").title();
                            panic!("{} {title} of {written:?}: {reason}", sheet.name());
                        }
                    }
                }
            }
        }
    }
    assert!(cells > 40_000, "only {cells} cells were looked at");
}

#[test]
fn a_whole_table_copied_and_pasted_over_itself_changes_nothing() {
    let book = book(&shipped("incident.ron"));
    for sheet in SHEETS {
        let rows = sheet.rows(&book);
        let headings: Vec<String> = (0..sheet.columns())
            .filter_map(|c| sheet.heading(c))
            .map(crosspatch::sheets::Heading::title)
            .collect();
        let cells = rows.iter().map(|row| sheet.cells(&book, *row));
        let all: Vec<Vec<String>> = std::iter::once(headings).chain(cells).collect();
        let text = text_of(all.iter().map(|row| row.iter().map(String::as_str)));
        let paste = Paste::new(sheet, &book, &Grid::read(&text), &rows, 0);
        assert_eq!(paste.offer, Offer::default(), "{}", sheet.name());
        assert_eq!(paste.rows, rows.len(), "{}", sheet.name());
        assert!(paste.is_headed || rows.is_empty(), "{}", sheet.name());
    }
}

#[test]
fn what_a_cell_does_not_take_says_what_was_found_and_what_is_expected() {
    let s = shipped("incident.ron");
    let book = book(&s);
    let simplex = s
        .channels
        .iter()
        .find(|c| c.conventional().is_some())
        .expect("a channel with frequencies");
    let grouped = s
        .channels
        .iter()
        .find(|c| c.conventional().is_none())
        .expect("a channel with a group number");
    let need = s.needs.first().expect("a need");
    let radio = s.radios.first().expect("a radio");
    let cable = s.cables.first().expect("a cable");
    let agency = s.agencies.first().expect("an agency");
    let system = s.systems.first().expect("a system");
    for (of, row, title, text, said) in [
        (
            "Units",
            "Engine 1",
            "Heads",
            "four",
            "'four' is no whole number",
        ),
        (
            "Units",
            "Engine 1",
            "Heads",
            "0",
            "found 0; expected 1 to 100000",
        ),
        (
            "Units",
            "Engine 1",
            "Role",
            "chief",
            "expected command, tactical",
        ),
        (
            "Units",
            "Engine 1",
            "Agency",
            "Nobody's Fire",
            "no agency is called",
        ),
        (
            "Units",
            "Engine 1",
            "Name",
            " ",
            "found empty; expected at least one letter",
        ),
        (
            "Units",
            "Engine 1",
            "Messages /h",
            "often",
            "'often' is no number",
        ),
        (
            "Units",
            "Engine 1",
            "Message length s",
            "5000",
            "expected 0 to 3600",
        ),
        (
            "Channels",
            &simplex.name,
            "Receive MHz",
            "15x.1",
            "'15x.1' is no frequency",
        ),
        (
            "Channels",
            &simplex.name,
            "Receive MHz",
            "",
            "missing; its system carries frequencies",
        ),
        (
            "Channels",
            &simplex.name,
            "Receive code",
            "300",
            "a tone from 60 to 260 Hz",
        ),
        (
            "Channels",
            &simplex.name,
            "Bandwidth kHz",
            "900",
            "kHz from 1 to 200",
        ),
        (
            "Channels",
            &simplex.name,
            "Group number",
            "7",
            "carries frequencies",
        ),
        (
            "Channels",
            &grouped.name,
            "Receive MHz",
            "155.1",
            "carries group numbers",
        ),
        (
            "Channels",
            &grouped.name,
            "Group number",
            "0",
            "expected 1 to 16777215",
        ),
        (
            "Channels",
            &simplex.name,
            "Encryption",
            "AES-256",
            "is no encryption",
        ),
        (
            "Channels",
            &simplex.name,
            "System",
            "",
            "missing; a channel needs one",
        ),
        (
            "Needs",
            &need.name,
            "To",
            "",
            "must name somebody on both sides",
        ),
        (
            "Needs",
            &need.name,
            "From",
            "Engine 1, Ghost",
            "called 'Ghost'",
        ),
        (
            "Needs",
            &need.name,
            "Longest delay ms",
            "soon",
            "'soon' is no time",
        ),
        (
            "Needs",
            &need.name,
            "Longest delay ms",
            "0",
            "expected 1 to 60000",
        ),
        ("Radios", &radio.name, "Bands MHz", "174", "is no band"),
        (
            "Radios",
            &radio.name,
            "Bands MHz",
            "174 to 136",
            "expected low end first",
        ),
        (
            "Radios",
            &radio.name,
            "Power W",
            "-1",
            "expected 0 to 10000",
        ),
        (
            "Radios",
            &radio.name,
            "Channels",
            "NOWHERE",
            "no channel is called",
        ),
        ("Radios", &radio.name, "Keys", "12", "is no key"),
        (
            "Radios",
            &radio.name,
            "Outside power",
            "perhaps",
            "expected yes or no",
        ),
        (
            "Cables",
            &cable.name,
            "Count",
            "many",
            "'many' is no whole number",
        ),
        (
            "Agencies",
            &agency.name,
            "Level",
            "galactic",
            "expected local, county",
        ),
        ("Systems", &system.name, "Coverage %", "120", "0 to 100 %"),
        (
            "Systems",
            &system.name,
            "Access time ms",
            "2 min",
            "is no time",
        ),
    ] {
        let offer = typed(&book, of, row, title, text);
        assert!(offer.is_empty(), "{of} {title} took '{text}'");
        let problem = offer.problems.first().expect("a problem");
        assert!(
            problem.reason.contains(said),
            "{of} {title} '{text}': {}",
            problem.reason
        );
        assert_eq!(
            problem.column,
            Some(column(sheet(of), title)),
            "{of} {title} '{text}'"
        );
    }
}

#[test]
fn cells_take_what_the_trade_writes() {
    let s = shipped("incident.ron");
    let book = book(&s);
    let channel = s
        .channels
        .iter()
        .find(|c| c.conventional().is_some())
        .expect("a channel with frequencies");
    for (of, row, title, text, reads) in [
        ("Units", "Engine 1", "Role", "Comm", "command"),
        ("Units", "Engine 1", "Message length s", "7,5 s", "7.5"),
        (
            "Channels",
            channel.name.as_str(),
            "Receive MHz",
            "155,7525 MHz",
            "155.7525",
        ),
        ("Channels", &channel.name, "Receive code", "d023", "D023N"),
        (
            "Channels",
            &channel.name,
            "Receive code",
            "DCS 023 I",
            "D023I",
        ),
        (
            "Channels",
            &channel.name,
            "Transmit code",
            "nac 293",
            "$293",
        ),
        (
            "Channels",
            &channel.name,
            "Transmit code",
            "100",
            "100.0 Hz",
        ),
        (
            "Channels",
            &channel.name,
            "Encryption",
            "aes key 12, switch",
            "AES-256 key 12, by switch",
        ),
        ("Channels", &channel.name, "Used for", "air", "air"),
    ] {
        let offer = typed(&book, of, row, title, text);
        assert!(
            offer.problems.is_empty(),
            "{of} {title}: {:?}",
            offer.problems
        );
        let after = s
            .apply(&offer.edits)
            .expect("the gate takes what is offered");
        let after = Book::new(Arc::new(after), book.phase);
        let sheet = sheet(of);
        let cells = sheet.cells(&after, row_called(sheet, &after, row));
        assert_eq!(
            cells.get(column(sheet, title)).map(String::as_str),
            Some(reads)
        );
    }
}

#[test]
fn two_of_the_same_name_are_written_by_their_keys_and_asked_for() {
    let s = shipped("incident.ron");
    let twin = Unit {
        id: UnitId(s.mint(0)),
        key: "twin".to_owned(),
        ..s.units
            .iter()
            .find(|u| u.name == "Engine 1")
            .expect("Engine 1")
            .clone()
    };
    let s = s.apply(&[Edit::Add(twin.into())]).expect("a twin");
    let book = book(&s);
    let radio = s.radios.first().expect("a radio").name.clone();
    let offer = typed(&book, "Radios", &radio, "Held by", "engine 1");
    let reason = &offer.problems.first().expect("a problem").reason;
    assert!(
        reason.contains("several have the name") && reason.contains("twin"),
        "{reason}"
    );
    let offer = typed(&book, "Radios", &radio, "Held by", "twin");
    let after = s.apply(&offer.edits).expect("the gate takes it");
    let sheet = sheet("Radios");
    let after = Book::new(Arc::new(after), book.phase);
    let cells = sheet.cells(&after, row_called(sheet, &after, &radio));
    assert_eq!(
        cells.get(column(sheet, "Held by")).map(String::as_str),
        Some("twin")
    );
}

#[test]
fn headings_put_columns_in_their_places_whatever_the_order() {
    let s = shipped("incident.ron");
    let book = book(&s);
    let text = "Heads\tColour\tname\tRole\n6\tred\tEngine 90\tsupport\n5\tblue\tEngine 91\t\n";
    let paste = Paste::new(sheet("Units"), &book, &Grid::read(text), &[], 0);
    assert!(paste.is_headed);
    assert_eq!(paste.left_out, ["Colour"]);
    assert_eq!((paste.offer.added, paste.offer.changed), (2, 0));
    let after = s.apply(&paste.offer.edits).expect("the gate takes it");
    let unit = after
        .units
        .iter()
        .find(|u| u.name == "Engine 90")
        .expect("added");
    assert_eq!(unit.heads, 6);
    assert!(
        after
            .units
            .iter()
            .any(|u| u.name == "Engine 91" && u.heads == 5)
    );
}

#[test]
fn bad_cells_are_named_and_the_good_rows_stand_alone() {
    let s = shipped("incident.ron");
    let book = book(&s);
    let system = s
        .systems
        .iter()
        .find(|x| x.kind.is_conventional())
        .expect("a system with frequencies");
    let name = book.systems.of(system.id);
    let text = format!(
        "NEW 1\t{name}\t155.1\nNEW 2\t{name}\t\nNEW 3\t{name}\t15x.1\nNEW 4\tNowhere\t155.2"
    );
    let paste = Paste::new(sheet("Channels"), &book, &Grid::read(&text), &[], 0);
    let said: Vec<String> = paste
        .offer
        .problems
        .iter()
        .map(|p| Paste::say(sheet("Channels"), p))
        .collect();
    assert_eq!(said.len(), 3, "{said:?}");
    assert_eq!(
        said[0],
        "Row 2, Receive MHz: missing; its system carries frequencies"
    );
    assert!(
        said[1].starts_with("Row 3, Receive MHz: '15x.1' is no frequency"),
        "{said:?}"
    );
    assert!(
        said[2].starts_with("Row 4, System: no system is called 'Nowhere'"),
        "{said:?}"
    );
    assert_eq!((paste.offer.added, paste.offer.bad_rows()), (1, 3));
    let after = s.apply(&paste.offer.edits).expect("the gate takes it");
    let added = after
        .channels
        .iter()
        .find(|c| c.name == "NEW 1")
        .expect("added");
    let c = added.conventional().expect("frequencies");
    assert_eq!(
        c.rx, c.tx,
        "a transmit frequency left out is the receive frequency"
    );
}

#[test]
fn a_system_and_its_group_number_are_taken_together() {
    let s = shipped("incident.ron");
    let book = book(&s);
    let sheet = sheet("Channels");
    let trunked = s
        .systems
        .iter()
        .find(|x| x.kind.is_grouped())
        .expect("a system with group numbers");
    let channel = s
        .channels
        .iter()
        .find(|c| c.conventional().is_some())
        .expect("a channel with frequencies");
    let row = row_called(sheet, &book, &channel.name);
    let system = (column(sheet, "System"), book.systems.of(trunked.id));
    let group = (column(sheet, "Group number"), "4711".to_owned());
    let write = |cells| Write {
        target: Target::Row(row),
        cells,
    };
    let alone = sheet.offer(&book, &[write(vec![system.clone()])]);
    assert!(alone.is_empty() && !alone.problems.is_empty());
    let both = sheet.offer(&book, &[write(vec![group, system])]);
    let after = s.apply(&both.edits).expect("the gate takes it");
    let changed = after.channels.get(channel.id).expect("still there");
    assert_eq!(changed.system, trunked.id);
    assert!(changed.conventional().is_none());
}

#[test]
fn ports_of_one_gateway_are_pasted_together() {
    let s = shipped("incident.ron");
    let book = book(&s);
    let sheet = sheet("Ports");
    let gateway = s.gateways.first().expect("a gateway");
    let buffer = column(sheet, "Buffer ms");
    let rows = sheet.rows(&book);
    let text = "Buffer ms\n111\n222";
    let paste = Paste::new(sheet, &book, &Grid::read(text), &rows, 0);
    assert!(
        paste.offer.problems.is_empty(),
        "{:?}",
        paste.offer.problems
    );
    let after = s.apply(&paste.offer.edits).expect("the gate takes it");
    let ports = &after.gateways.get(gateway.id).expect("still there").ports;
    let buffers: Vec<u32> = ports.iter().take(2).map(|p| p.buffer_ms).collect();
    assert_eq!(buffers, [111, 222]);
    let group = column(sheet, "Talk group");
    let gone = sheet.offer(
        &book,
        &[Write {
            target: Target::Row(rows[0]),
            cells: vec![(group, "9".to_owned()), (buffer, "0.5 s".to_owned())],
        }],
    );
    let reason = &gone.problems.first().expect("a problem").reason;
    assert!(reason.contains("has no talk group 9"), "{reason}");
}

#[test]
fn two_ports_exchange_what_is_plugged_in() {
    let s = shipped("incident.ron");
    let book = book(&s);
    let sheet = sheet("Ports");
    let attached = column(sheet, "Attached");
    let cable = column(sheet, "Cable");
    let donors: Vec<(Row, String, String)> = sheet
        .rows(&book)
        .into_iter()
        .map(|row| {
            let cells = sheet.cells(&book, row);
            (row, cells[attached].clone(), cells[cable].clone())
        })
        .filter(|(_, _, cable)| !cable.is_empty())
        .take(2)
        .collect();
    let [(a, in_a, by_a), (b, in_b, by_b)] = donors.as_slice() else {
        panic!("two donors with cables");
    };
    let write = |row: &Row, what: &str, cable_name: &str| Write {
        target: Target::Row(*row),
        cells: vec![(attached, what.to_owned()), (cable, cable_name.to_owned())],
    };
    let writes = [write(a, in_b, by_b), write(b, in_a, by_a)];
    let offer = sheet.offer(&book, &writes);
    assert!(offer.problems.is_empty(), "{:?}", offer.problems);
    let after = s.apply(&offer.edits).expect("the gate takes it");
    let after = Book::new(Arc::new(after), book.phase);
    assert_eq!(&sheet.cells(&after, *a)[attached], in_b);
    assert_eq!(&sheet.cells(&after, *b)[attached], in_a);
    let twice = sheet.offer(&book, &[write(a, in_b, by_b)]);
    let reason = &twice.problems.first().expect("a problem").reason;
    assert!(reason.contains("already"), "{reason}");
}

#[test]
fn rows_that_run_past_the_last_column_are_refused_whole() {
    let book = book(&shipped("incident.ron"));
    let wide = vec!["x"; sheet("Cables").columns() + 1].join("\t");
    let paste = pasted(&book, "Cables", &wide, 0);
    assert!(paste.offer.is_empty());
    let reason = &paste.offer.problems.first().expect("a problem").reason;
    assert!(reason.contains("there is no column for 'x'"), "{reason}");
}

proptest! {
    #![proptest_config(cases(160))]

    #[test]
    fn whatever_is_pasted_the_gate_takes_what_is_offered(
        of in 0..SHEETS.len(),
        at in 0_usize..30,
        first in 0_usize..6,
        rows in prop::collection::vec(
            prop::collection::vec(
                prop_oneof![
                    Just(String::new()),
                    "[0-9]{1,4}([.,][0-9]{1,4})?",
                    Just("Engine 1".to_owned()),
                    Just("Engine 1, Medic 4".to_owned()),
                    Just("VFIRE21".to_owned()),
                    Just("yes".to_owned()),
                    Just("D023N".to_owned()),
                    Just("Harrow City Fire".to_owned()),
                    Just("AES-256 key 1, always".to_owned()),
                    Just("136 to 174".to_owned()),
                    any::<String>(),
                ],
                1..9,
            ),
            1..7,
        ),
    ) {
        let scenario = shipped("incident.ron");
        let book = book(&scenario);
        let sheet = SHEETS[of];
        let text = text_of(rows.iter().map(|row| row.iter().map(String::as_str)));
        let shown: Vec<Row> = sheet.rows(&book).into_iter().skip(at).collect();
        let paste = Paste::new(sheet, &book, &Grid::read(&text), &shown, first);
        let after = scenario.apply(&paste.offer.edits);
        prop_assert!(after.is_ok(), "{}: {:?}", sheet.name(), after.err());
        for problem in &paste.offer.problems {
            prop_assert!(!Paste::say(sheet, problem).is_empty());
        }
        if let Ok(after) = after {
            let added = paste.offer.added;
            let now = sheet.rows(&Book::new(Arc::new(after), book.phase)).len();
            prop_assert!(now >= added, "{}: {added} rows were to be added", sheet.name());
        }
    }
}
