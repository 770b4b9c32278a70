//! Tables for spreadsheets: what goes out comes back, published channels are read as published, and every
//! bad row is named.

use std::sync::Arc;

use crosspatch::checks;
use crosspatch::engineering::rf::national;
use crosspatch::exchange::{
    Column, Import, Mapping, Sheet, Source, Unreadable, findings, ics_205, ics_217a, import, matrix,
};
use crosspatch::format::{self, Syntax};
use crosspatch::model::{
    AccessCode, Algorithm, Carrier, Channel, ChannelId, Conventional, Edit, Frequency, KeyRef,
    Mode, Protection, Scenario, System, SystemId, SystemKind, Tone,
};
use crosspatch::picture::Picture;
use crosspatch::samples::SHIPPED;
use proptest::prelude::{
    Just, Strategy, any, prop, prop_assert, prop_assert_eq, prop_oneof, proptest,
};

use crate::draws::cases;

fn shipped(name: &str) -> Scenario {
    let sample = SHIPPED.iter().find(|s| s.file_name == name);
    format::read(sample.expect("it is shipped").text, Syntax::Ron).expect("it opens")
}

fn read(text: &str) -> Source {
    Source::read(text).expect("it is a table")
}

fn into(s: &Scenario, text: &str) -> Import {
    let source = read(text);
    import(s, &source, &Mapping::guess(&source.headings))
}

fn taken_in(s: &Scenario, text: &str) -> Scenario {
    let import = into(s, text);
    assert_eq!(import.problems, [], "{text}");
    s.apply(&import.edits).expect("the gate takes them")
}

/// What a channel is, whatever carries it and whatever its number.
fn facts(s: &Scenario) -> Vec<(String, Carrier, Protection)> {
    let mut all: Vec<_> = { s.channels.iter() }
        .map(|c| (c.name.clone(), c.carrier, c.protection))
        .collect();
    all.sort_by(|a, b| a.0.cmp(&b.0));
    all
}

/// A scenario of channels, each on a system of its own that can carry it.
fn of_channels(channels: &[(Carrier, Protection)]) -> Scenario {
    let mut s = Scenario::new("Channels");
    for (i, (carrier, protection)) in channels.iter().enumerate() {
        let kind = match carrier {
            Carrier::Grouped { .. } => SystemKind::Trunked,
            Carrier::Conventional(c) if c.rx == c.tx => SystemKind::Simplex,
            Carrier::Conventional(_) => SystemKind::Repeater,
        };
        let system = System {
            id: SystemId(s.mint(0)),
            key: String::new(),
            name: format!("System {i}"),
            kind,
            access_ms: 0,
            latency_ms: 0,
            hang_ms: 0,
            talk_paths: 1,
            coverage: 1.0,
            notes: String::new(),
        };
        let channel = Channel {
            id: ChannelId(s.mint(1)),
            key: String::new(),
            name: format!("CH {i}"),
            system: system.id,
            carrier: *carrier,
            protection: *protection,
            encrypted_only: false,
            purpose: None,
            notes: String::new(),
        };
        let edits = [Edit::Add(system.into()), Edit::Add(channel.into())];
        s = s.apply(&edits).expect("they go together");
    }
    s
}

fn codes(digital: bool) -> impl Strategy<Value = AccessCode> {
    let tone = (670_u16..2541).prop_map(|t| AccessCode::Ctcss(Tone::from_tenths(t)));
    let dcs = (0_u16..0o1000, any::<bool>())
        .prop_map(|(code, inverted)| AccessCode::Dcs { code, inverted });
    let nac = (0_u16..0x1000).prop_map(AccessCode::Nac);
    prop_oneof![Just(AccessCode::None), tone, dcs, nac].prop_map(move |code| match code {
        // A NAC is a code of P25, tones and DCS are of FM.
        AccessCode::Nac(nac) if digital => AccessCode::Nac(nac),
        AccessCode::Nac(_) => AccessCode::None,
        _ if digital => AccessCode::None,
        other => other,
    })
}

fn carriers() -> impl Strategy<Value = Carrier> {
    let modes = prop_oneof![
        Just(Mode::Fm),
        Just(Mode::Am),
        Just(Mode::P25),
        Just(Mode::Dmr),
        Just(Mode::Tetra)
    ];
    let hertz = 30_000_000_u64..900_000_000;
    let conventional = modes.prop_flat_map(move |mode| {
        let code = codes(mode == Mode::P25);
        let codes = (code, codes(mode == Mode::P25));
        let width = prop_oneof![Just(12_500_u32), Just(25_000), Just(20_000), Just(6_250)];
        (
            hertz.clone(),
            hertz.clone(),
            codes,
            any::<(bool, bool)>(),
            width,
        )
            .prop_map(
                move |(rx, tx, (rx_code, tx_code), (is_one, mixed), bandwidth_hz)| {
                    let rx = Frequency::from_hertz(rx);
                    Carrier::Conventional(Conventional {
                        rx,
                        tx: if is_one {
                            rx
                        } else {
                            Frequency::from_hertz(tx)
                        },
                        rx_code,
                        tx_code,
                        mode,
                        // Only a digital receiver has anything to hear beside.
                        mixed: mixed && mode.is_digital(),
                        bandwidth_hz,
                    })
                },
            )
    });
    let digital = prop_oneof![Just(Mode::Fm), Just(Mode::P25), Just(Mode::Tetra)];
    let grouped =
        (1_u32..65_536, digital).prop_map(|(group, mode)| Carrier::Grouped { group, mode });
    prop_oneof![3 => conventional, 1 => grouped]
}

fn protections() -> impl Strategy<Value = Protection> {
    let algorithms = prop_oneof![
        Just(Algorithm::AES_256),
        Just(Algorithm::DES_OFB),
        Just(Algorithm(0x9F))
    ];
    let key =
        (algorithms, any::<u16>()).prop_map(|(algorithm, number)| KeyRef { algorithm, number });
    prop_oneof![
        Just(Protection::Clear),
        key.clone().prop_map(Protection::Always),
        key.prop_map(Protection::Optional),
    ]
}

proptest! {
    #![proptest_config(cases(128))]

    #[test]
    fn channels_come_back_from_217a_as_they_went(
        channels in prop::collection::vec((carriers(), protections()), 0..8),
        delimiter in prop_oneof![Just(','), Just(';'), Just('\t')],
    ) {
        let s = of_channels(&channels);
        let sheet = ics_217a(&s);
        // As another spreadsheet would have written it: no cell here holds a delimiter but for ", ".
        let text = if delimiter == ',' {
            sheet.csv()
        } else {
            let lines = std::iter::once(&sheet.headings).chain(&sheet.rows);
            let lines: Vec<String> = lines
                .map(|row| {
                    let cells: Vec<String> = row.iter().map(|c| format!("\"{c}\"")).collect();
                    cells.join(&delimiter.to_string())
                })
                .collect();
            lines.join("\n")
        };
        let empty = Scenario::new("Empty");
        let import = into(&empty, &text);
        prop_assert!(import.problems.is_empty(), "{:?}", import.problems);
        let back = empty.apply(&import.edits).expect("the gate takes them");
        prop_assert_eq!(facts(&back), facts(&s));
        // Once more changes nothing.
        let again = into(&back, &text);
        prop_assert!(again.edits.is_empty() && again.problems.is_empty());
    }

    #[test]
    fn no_text_makes_reading_or_importing_panic(text in "[ -~\n\t;,\"]{0,300}") {
        let headed = format!("Channel Name,Rx Freq,Tx Freq,Rx Tone,Mode\n{text}");
        if let Ok(source) = Source::read(&headed) {
            let s = Scenario::new("Empty");
            let import = import(&s, &source, &Mapping::guess(&source.headings));
            prop_assert!(s.apply(&import.edits).is_ok());
            prop_assert!(import.rows.len() + import.problems.len() <= source.rows.len().max(1));
        }
    }
}

#[test]
fn the_shipped_channels_come_back_into_an_empty_plan_and_into_their_own() {
    for sample in SHIPPED {
        let s = shipped(sample.file_name);
        let all = facts(&s);
        let mut phases = s.phases.ids();
        let phase = phases.next().expect("a phase");
        let picture = Picture::new(Arc::new(s.clone()), phase);
        let sheet = ics_205(&picture);
        assert_eq!(sheet.headings.len(), 11);
        assert_eq!(sheet.rows.len(), picture.users().count());
        let empty = Scenario::new("Empty");
        for (sheet, is_whole) in [(ics_217a(&s), true), (sheet, false)] {
            let text = sheet.csv();
            let import = into(&empty, &text);
            assert_eq!(import.problems, [], "{}", sample.file_name);
            let back = facts(&empty.apply(&import.edits).expect("the gate takes them"));
            assert!(!back.is_empty() && back.iter().all(|f| all.contains(f)));
            assert!(!is_whole || back.len() == all.len(), "{}", sample.file_name);
            let again = into(&s, &text);
            assert_eq!(again.problems, [], "{}", sample.file_name);
            assert_eq!(again.edits, [], "{}", sample.file_name);
        }
    }
}

#[test]
fn two_channels_of_one_name_are_both_taken_in_and_said() {
    let text = "Channel Name,Rx Freq,Tx Freq,Mode,Remarks\n\
                SUPPORT,151.46 N,151.46 N,A,\n\
                SUPPORT,453.15 N,458.15 N,A,\n\
                SUPPORT,453.15 N,458.15 N,A,\"AES-256 key 7, always\"\n\
                SUPPORT,151.46 N,151.46 N,A,once more\n";
    let empty = Scenario::new("Empty");
    let import = into(&empty, text);
    assert_eq!(import.problems, []);
    let s = empty.apply(&import.edits).expect("the gate takes them");
    assert_eq!(s.channels.len(), 3, "{:?}", facts(&s));
    let said = |words: &str| import.notes.iter().any(|n| n.contains(words));
    assert!(
        said("line 3: another SUPPORT is there, which receives 151.46"),
        "{:?}",
        import.notes
    );
    assert!(
        said("line 5: SUPPORT is the same channel as in line 2"),
        "{:?}",
        import.notes
    );
    let again = into(&s, text);
    assert!(
        again.edits.is_empty() && again.problems.is_empty(),
        "{again:?}"
    );
}

#[test]
fn a_quotation_mark_left_open_loses_no_row_in_silence() {
    let open = "Channel Name,Rx Freq,Tx Freq,Mode,Remarks\n\
                TAC 1,154.1 N,154.1 N,A,\"see note\n\
                TAC 2,154.2 N,154.2 N,A,ok\n";
    assert_eq!(Source::read(open), Err(Unreadable::Unclosed { line: 2 }));
    // Another mark further down closes it, and what stands between would be remarks.
    let closed = format!("{open}TAC 3,154.3 N,154.3 N,A,\"ok\"\n");
    let import = into(&Scenario::new("Empty"), &closed);
    assert_eq!(import.added(), 0);
    let said: Vec<String> = import.problems.iter().map(ToString::to_string).collect();
    assert_eq!(said.len(), 1, "{said:?}");
    assert!(
        said[0].starts_with("line 2, Remarks: found 'see note TAC 2,154.2")
            && said[0].contains("left open"),
        "{said:?}"
    );
    // A heading may go over two lines, and so may a remark.
    let fine = "\"Channel\nName\",Rx Freq,Remarks\nTAC 1,154.1 N,\"first\nsecond\"\n";
    assert_eq!(into(&Scenario::new("Empty"), fine).added(), 1);
}

#[test]
fn a_group_number_is_cut_off_a_name_only_where_there_is_no_frequency() {
    let text = "Channel Name,Rx Freq,Tx Freq,Mode,TGID\n\
                FIRE TG 1,154.1 N,154.1 N,A,\n\
                FIRE TG 2,154.2 N,154.2 N,A,\n\
                LAW 1 (TG 1201),,,D,\n\
                LAW TG 2,,,D,1202\n";
    let s = taken_in(&Scenario::new("Empty"), text);
    let names: Vec<&str> = s.channels.iter().map(|c| c.name.as_str()).collect();
    assert_eq!(names.len(), 4);
    for name in ["FIRE TG 1", "FIRE TG 2", "LAW 1", "LAW TG 2"] {
        assert!(names.contains(&name), "{names:?}");
    }
    let back = taken_in(&Scenario::new("Empty"), &ics_217a(&s).csv());
    assert_eq!(facts(&back), facts(&s));
}

#[test]
fn what_only_receives_never_comes_to_transmit() {
    for cell in [
        "-",
        "N/A",
        "n/a",
        "RX ONLY",
        "rx",
        "none",
        "Receive only",
        "trunked",
    ] {
        let text = format!("Channel Name,Rx Freq,Tx Freq,Mode\nWX,162.55 N,{cell},A\n");
        let import = into(&Scenario::new("Empty"), &text);
        assert_eq!((import.added(), import.problems.len()), (0, 1), "{cell}");
        let said = import.problems[0].to_string();
        assert!(
            said.contains(&format!("Tx Freq: found '{cell}', expected a frequency")),
            "{said}"
        );
        assert_eq!(import.notes, [""; 0], "{cell}");
    }
    let text = "Channel Name,Rx Freq,Tx Freq,Mode\nTAC,154.1 N,,A\n";
    let import = into(&Scenario::new("Empty"), text);
    assert!(
        import.notes[0].contains("taken for both ways"),
        "{:?}",
        import.notes
    );
}

#[test]
fn nothing_in_a_row_is_dropped_or_guessed_in_silence() {
    let text = "Channel Name,Rx Freq,Rx Tone,Tx Freq,Tx Tone,Mode\n\
                TAC 2,154.2 N,,154.2 N,,A,oops,more\n\
                TAC 3,154.3 N,,154.3 N,,A,,\n\
                WIDER,154.360n,,154.360w,,A\n\
                DMRX,460.5 N,CC1,465.5 N,CC1,DMR\n\
                TONED,460.6 N,156.7,465.6 N,156.7,D\n\
                LAW 3 (TG 16777216),,,,,D\n\
                DIGITAL,460.7 N,CC1,465.7 N,CC1,D\n";
    let import = into(&Scenario::new("Empty"), text);
    let said: Vec<String> = import.problems.iter().map(ToString::to_string).collect();
    for expected in [
        "line 2, behind the last heading: found 'oops, more', expected 6 cells",
        "line 4, Tx Freq: found '154.360w', expected the width of the receive frequency, '154.360n'",
        "line 7, name: found 'LAW 3'",
        "line 8, Rx Tone: found 'CC1', expected a NAC such as $293; a colour code goes with DMR",
    ] {
        assert!(
            said.iter().any(|s| s.starts_with(expected)),
            "{expected}: {said:#?}"
        );
    }
    assert_eq!((said.len(), import.added()), (4, 3), "{said:#?}");
    let s = Scenario::new("Empty")
        .apply(&import.edits)
        .expect("they go in");
    let dmr = s
        .channels
        .iter()
        .find(|c| c.name == "DMRX")
        .expect("it is there");
    let c = dmr.conventional().expect("it has frequencies");
    assert_eq!((c.rx_code, c.tx_code), (AccessCode::None, AccessCode::None));
    assert_eq!(dmr.notes, "colour code 1");
    let notes = &import.notes;
    assert!(
        notes
            .iter()
            .any(|n| n.starts_with("line 5: DMRX has colour code 1")),
        "{notes:?}"
    );
    assert!(
        notes
            .iter()
            .any(|n| n.contains("TONED has CTCSS 156.7 Hz and is P25")),
        "{notes:?}"
    );
    assert!(
        !notes.iter().any(|n| n.contains("LAW 3")),
        "it was refused: {notes:?}"
    );
}

/// Rows of the national guide as a county would keep them in its own inventory; the table of the program is
/// read from another file, and both must mean the same.
///
/// Source: National Interoperability Field Operations Guide, edition 2.02.
const PUBLISHED: &str = "\
Channel Configuration;Channel Name;Rx Freq N or W;Rx Tone/NAC;Tx Freq N or W;Tx Tone/NAC;Mode A, D or M;Remarks
Simplex;VCALL10;155.7525 N;CSQ;155.7525 N;156.7;A;calling
Repeater;VTAC36;151.1375 N;CSQ;159.4725 N;136.5;A;
Repeater;UCALL40;453.2125 N;CSQ;458.2125 N;156.7;A;
Repeater;7CALL50;769.24375 N;F7E;799.24375 N;293;D;
Repeater;8CALL90;851.0125 W;CSQ;806.0125 W;156.7;A;
";

#[test]
fn published_channels_are_read_as_published() {
    let s = taken_in(&Scenario::new("Empty"), PUBLISHED);
    for (name, rx, tx) in [
        ("VCALL10", 155_752_500, 155_752_500),
        ("VTAC36", 151_137_500, 159_472_500),
        ("UCALL40", 453_212_500, 458_212_500),
        ("7CALL50", 769_243_750, 799_243_750),
        ("8CALL90", 851_012_500, 806_012_500),
    ] {
        let channel = s.channels.iter().find(|c| c.name == name).expect(name);
        let c = channel.conventional().expect("it has frequencies");
        assert_eq!((c.rx.hertz(), c.tx.hertz()), (rx, tx), "{name}");
        let table = national::find(name).expect("it is national");
        assert_eq!((c.rx, c.tx), (table.rx, table.tx), "{name}");
        assert_eq!(c.bandwidth_hz, table.bandwidth_hz, "{name}");
        assert!(table.tx_codes.contains(&c.tx_code), "{name}: {}", c.tx_code);
        assert!(table.rx_codes.contains(&c.rx_code), "{name}: {}", c.rx_code);
        assert!(
            table.modes.is_empty() || table.modes.contains(&c.mode),
            "{name}"
        );
    }
}

#[test]
fn every_bad_row_is_named_with_line_column_and_what_was_found() {
    let text = "\
Channel Name,Rx Freq N or W,Rx Tone,Tx Freq,Tx Tone,Mode
GOOD 1,154.2650 N,CSQ,154.2650,156.7,A
,154.2650,,,,A
BAD RX,ultra,,154.2650,,A
BAD TONE,154.2650,300,154.2650,,A
BAD MODE,154.2650,,154.2650,,X
GOOD 1,154.2800,,154.2800,,A
TRUNKED,,,,,D
LAW 1 (TG 1201),,,,,D
";
    let import = into(&Scenario::new("Empty"), text);
    let said: Vec<String> = import.problems.iter().map(ToString::to_string).collect();
    let expected = [
        "line 3, Channel Name: found nothing",
        "line 4, Rx Freq N or W: found 'ultra'",
        "line 5, Rx Tone: found '300'",
        "line 6, Mode: found 'X'",
        "line 8, Rx Freq N or W: found nothing, expected a frequency in MHz, or a group number",
    ];
    assert_eq!(said.len(), expected.len(), "{said:#?}");
    for (said, expected) in said.iter().zip(expected) {
        assert!(said.starts_with(expected), "{said}");
    }
    let names: Vec<&str> = import.rows.iter().map(|r| r.name.as_str()).collect();
    assert_eq!(names, ["GOOD 1", "GOOD 1", "LAW 1"]);
    assert!(
        import.notes.iter().any(|n| n.contains("LAW 1")),
        "{:?}",
        import.notes
    );
}

#[test]
fn another_channel_of_the_same_name_is_not_overwritten() {
    let s = taken_in(&Scenario::new("Empty"), PUBLISHED);
    let other = PUBLISHED.replace("453.2125", "453.7125");
    let import = into(&s, &other);
    assert_eq!((import.added(), import.problems.len()), (1, 0));
    assert_eq!(import.notes.len(), 1, "{:?}", import.notes);
    assert!(
        import.notes[0].contains("another UCALL40 is there, which receives 453.2125 MHz"),
        "{:?}",
        import.notes
    );
    let after = s.apply(&import.edits).expect("they go in");
    assert!(facts(&s).iter().all(|old| facts(&after).contains(old)));
}

#[test]
fn a_column_left_out_or_given_by_hand_changes_what_is_read() {
    let source = read("Label,Receive,Transmit,Mode\nTAC 1,154.265,154.265,A\n");
    let mut mapping = Mapping::guess(&source.headings);
    let s = Scenario::new("Empty");
    let without = import(&s, &source, &mapping);
    assert!(
        without.problems[0]
            .to_string()
            .contains("a column for the channel's name")
    );
    mapping.set(0, Some(Column::Name));
    let with = import(&s, &source, &mapping);
    assert_eq!((with.problems.len(), with.added()), (0, 1));
}

#[test]
fn the_matrix_says_of_each_pair_what_hearing_says() {
    let s = shipped("incident.ron");
    let picture = Picture::new(Arc::new(s.clone()), s.phases.first().expect("one").id);
    let parties = picture.hearing().parties();
    let sheet: Sheet = matrix(&picture).expect("it is small");
    assert_eq!(sheet.rows.len(), parties.len());
    for (from, row) in parties.iter().zip(&sheet.rows) {
        for (to, cell) in parties.iter().zip(&row[1..]) {
            let arrival = picture.hearing().arrival(*from, *to);
            assert_eq!(cell == "no" || cell.is_empty(), arrival.is_none(), "{cell}");
            if let Some(arrival) = arrival {
                assert!(
                    cell.starts_with(&format!("{} ms", arrival.delay_ms)),
                    "{cell}"
                );
            }
        }
    }
}

#[test]
fn every_finding_has_a_row_with_its_state() {
    let s = Arc::new(shipped("incident.ron"));
    let picture = Picture::new(Arc::clone(&s), s.phases.first().expect("one").id);
    let report = checks::run_all(&picture);
    let (open, all) = (
        report.open.len(),
        report.open.len() + report.accepted.len() + report.aside.len(),
    );
    let codes: Vec<&str> = report.open.iter().map(|f| f.code).collect();
    let sheet = findings(&[(picture, report)]);
    assert_eq!(sheet.rows.len(), all);
    let listed: Vec<&str> = sheet.rows[..open].iter().map(|r| r[2].as_str()).collect();
    assert_eq!(listed, codes);
    assert!(sheet.rows.iter().all(|r| r.len() == sheet.headings.len()));
    assert_eq!(sheet.rows.iter().filter(|r| r[9] == "open").count(), open);
}

#[test]
fn the_205_names_everybody_on_a_channel_and_each_join_once() {
    let s = shipped("incident.ron");
    let night = s.phases.first().expect("a phase").id;
    let picture = Picture::new(Arc::new(s.clone()), night);
    let sheet = ics_205(&picture);
    let cells = |name: &str| {
        let is_it =
            |row: &&Vec<String>| row[3] == name || row[3].starts_with(&format!("{name} (TG"));
        let row = sheet.rows.iter().find(is_it).expect(name);
        (row[2].as_str(), row[4].as_str(), row[10].as_str())
    };
    // Two ports on one talk group are one join, a port alone on its talk group is none.
    let (_, _, river) = cells("RIVER 6");
    assert_eq!(river.matches("joined at").count(), 1, "{river}");
    let (_, _, secure) = cells("SO SEC");
    assert!(!secure.contains("joined at"), "{secure}");
    let (function, who, _) = cells("UTAC41D");
    assert!(function.starts_with(char::is_uppercase), "{function}");
    assert!(
        who.contains("Law Command (scans)") && who.contains("port"),
        "{who}"
    );
    let roles: Vec<&str> = sheet.rows.iter().map(|r| r[2].as_str()).collect();
    let first_other = roles.iter().position(|r| *r != "Command").expect("others");
    assert!(
        first_other > 0 && !roles[first_other..].contains(&"Command"),
        "{roles:?}"
    );
    // What was derived comes back as nothing.
    let back = taken_in(&Scenario::new("Empty"), &sheet.csv());
    assert!(back.channels.iter().all(|c| !c.notes.contains("joined at")));
    // Without an agreement, those whose radios have a channel may use it.
    let inventory = ics_217a(&s);
    let local = inventory
        .rows
        .iter()
        .find(|row| row[1] == "SUPPORT" && row[3].starts_with("151.46"));
    assert!(
        local.is_some_and(|row| row[2].contains("Tallow Relief")),
        "{local:?}"
    );
}
