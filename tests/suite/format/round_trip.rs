//! What is written reads back, by us and by readers we did not write.

use std::collections::{BTreeMap, BTreeSet};

use crosspatch::format::{self, Syntax, v1};
use crosspatch::model::{
    Acceptance, AccessCode, Algorithm, Band, Carrier, Chemistry, Edit, FindingId, Frequency,
    Header, KeyRef, Place, PortRef, Practice, Protection, Scenario, TalkGroupRef, Thing, ThingId,
    Tone,
};
use crosspatch::samples::{SHIPPED, Size, generate};

use super::ron;

/// A text that uses every type, every variant with contents, and every field of the file.
pub(super) const EVERYTHING: &str = include_str!("../../data/format/everything.ron");

fn texts() -> Vec<String> {
    let mut texts: Vec<String> = SHIPPED.iter().map(|s| s.text.to_owned()).collect();
    texts.push(EVERYTHING.to_owned());
    texts.push(format::write(
        &generate(Size::for_units(150), 3),
        Syntax::Ron,
    ));
    texts
}

#[test]
fn a_canonical_text_is_written_back_byte_for_byte() {
    assert_eq!(format::write(&ron(EVERYTHING), Syntax::Ron), EVERYTHING);
    for text in texts() {
        let once = format::write(&ron(&text), Syntax::Ron);
        assert_eq!(format::write(&ron(&once), Syntax::Ron), once);
    }
}

#[test]
fn json_and_back_changes_nothing() {
    for text in texts() {
        let canonical = format::write(&ron(&text), Syntax::Ron);
        let json = format::write(&ron(&canonical), Syntax::Json);
        let back = format::read(&json, Syntax::Json).unwrap_or_else(|p| panic!("{p}"));
        assert_eq!(format::write(&back, Syntax::Ron), canonical);
        assert_eq!(format::write(&back, Syntax::Json), json);
        assert_eq!(back, ron(&canonical));
    }
}

#[test]
fn the_ron_crate_reads_the_same_file() {
    for text in texts() {
        let scenario = ron(&text);
        let canonical = format::write(&scenario, Syntax::Ron);
        let mut theirs: v1::Root = ron::from_str(&canonical).unwrap_or_else(|e| panic!("{e}"));
        // Comments are no part of RON's values; the program carries them over itself.
        theirs.comments.clone_from(&scenario.header.comments);
        let mut ours: v1::Root =
            serde_json::from_str(&format::write(&scenario, Syntax::Json)).unwrap();
        assert_eq!(theirs.units, ours.units);
        ours.comments.clone_from(&theirs.comments);
        assert_eq!(theirs, ours, "both crates read the same values");
    }
}

/// The published schema, held by a general JSON Schema validator.
struct Validator {
    schemas: boon::Schemas,
    root: boon::SchemaIndex,
}

impl Validator {
    fn of(schema: serde_json::Value) -> Self {
        let mut schemas = boon::Schemas::new();
        let mut compiler = boon::Compiler::new();
        compiler
            .add_resource("scenario.json", schema)
            .expect("a schema");
        let root = compiler
            .compile("scenario.json", &mut schemas)
            .expect("a valid schema");
        Self { schemas, root }
    }

    /// Returns what the validator holds against a value.
    fn objection(&self, value: &serde_json::Value) -> Option<String> {
        self.schemas
            .validate(value, self.root)
            .err()
            .map(|e| e.to_string())
    }
}

#[test]
fn every_text_fits_the_published_schema() {
    let schema: serde_json::Value = serde_json::from_str(&format::schema()).unwrap();
    let validator = Validator::of(schema);
    for text in texts() {
        let json = format::write(&ron(&text), Syntax::Json);
        let value: serde_json::Value = serde_json::from_str(&json).unwrap();
        assert_eq!(validator.objection(&value), None);
    }
}

#[test]
fn the_schema_refuses_what_the_reader_refuses() {
    let schema: serde_json::Value = serde_json::from_str(&format::schema()).unwrap();
    let validator = Validator::of(schema);
    for text in [
        "{}",
        r#"{"format": 2}"#,
        r#"{"format": 1, "unit": []}"#,
        r#"{"format": 1, "units": [{"key": "a", "heads": 0}]}"#,
        r#"{"format": 1, "units": [{"name": "a"}]}"#,
        r#"{"format": 1, "units": [{"key": "a", "role": "Tacticle"}]}"#,
        r#"{"format": 1, "channels": [{"key": "a", "system": "s", "carrier": {"Frequencies": {"rx_mhz": 0.01}}}]}"#,
        r#"{"format": 1, "phases": [{"key": "p", "switches": {"box 1": 1}}]}"#,
    ] {
        let value: serde_json::Value = serde_json::from_str(text).unwrap();
        assert!(validator.objection(&value).is_some(), "schema takes {text}");
        assert!(
            format::read(text, Syntax::Json).is_err(),
            "reader takes {text}"
        );
    }
    let least: serde_json::Value = serde_json::from_str(r#"{"format": 1}"#).unwrap();
    assert_eq!(validator.objection(&least), None);
    assert!(format::read(r#"{"format": 1}"#, Syntax::Json).is_ok());
}

#[test]
fn the_schema_names_every_field_of_the_root() {
    let schema: serde_json::Value = serde_json::from_str(&format::schema()).unwrap();
    let named: BTreeSet<&str> = schema["properties"]
        .as_object()
        .unwrap()
        .keys()
        .map(String::as_str)
        .collect();
    assert_eq!(named, BTreeSet::from(v1::Root::FIELDS));
}

#[test]
fn comments_at_the_top_survive() {
    let text = "\u{feff}// First\r\n//   indented\n\n//no space\n//\n#![enable(implicit_some)]\n// not at the top\n(format: 1)\n";
    let scenario = ron(text);
    let expected = ["First", "  indented", "no space", ""];
    assert_eq!(scenario.header.comments, expected);
    let out = format::write(&scenario, Syntax::Ron);
    assert!(out.starts_with(
        "// First\n//   indented\n// no space\n//\n#![enable(implicit_some)]\n(\n    format: 1,\n"
    ), "{out}");
    assert_eq!(ron(&out).header.comments, expected);
    let json = format::write(&scenario, Syntax::Json);
    let back = format::read(&json, Syntax::Json).unwrap();
    assert_eq!(back.header.comments, expected);
}

#[test]
fn a_comment_of_several_lines_stays_a_comment() {
    let header = Header {
        comments: vec!["one\ntwo  ".to_owned(), "(format: 9)\r".to_owned()],
        ..Header::default()
    };
    let scenario = Scenario::new("x")
        .apply(&[Edit::SetHeader(header)])
        .unwrap();
    let out = format::write(&scenario, Syntax::Ron);
    assert_eq!(ron(&out).header.comments, ["one", "two", "(format: 9)", ""]);
}

#[test]
fn implicit_and_explicit_some_read_alike() {
    let base = "agencies: [(key: \"a\")], units: [(key: \"u\", agency: AG)])";
    for (head, agency) in [
        ("#![enable(implicit_some)]\n(format: 1, ", "\"a\""),
        ("(format: 1, ", "\"a\""),
        ("(format: 1, ", "Some(\"a\")"),
        ("#![enable(implicit_some)]\n(format: 1, ", "Some(\"a\")"),
    ] {
        let scenario = ron(&format!("{head}{}", base.replace("AG", agency)));
        let unit = scenario.units.by_key("u").unwrap();
        assert_eq!(unit.agency, scenario.agencies.by_key("a").map(|a| a.id));
    }
    let none = ron("(format: 1, units: [(key: \"u\", agency: None)])");
    assert_eq!(none.units.by_key("u").unwrap().agency, None);
    let null = r#"{"format": 1, "units": [{"key": "u", "agency": null}]}"#;
    let null = format::read(null, Syntax::Json).unwrap();
    assert_eq!(null.units.by_key("u").unwrap().agency, None);
}

#[test]
fn what_is_left_out_has_a_sensible_value() {
    let scenario = ron(
        "(format: 1, units: [(key: \"e7\")], systems: [(key: \"s\")], gateways: [(key: \"g\")],
          channels: [(key: \"c\", system: \"s\", carrier: Frequencies(rx_mhz: 155))],
          radios: [(key: \"r\", programmed: [\"c\"])])",
    );
    let unit = scenario.units.by_key("e7").unwrap();
    assert_eq!((unit.name.as_str(), unit.heads), ("e7", 1));
    let channel = scenario
        .channels
        .by_key("c")
        .unwrap()
        .conventional()
        .unwrap();
    assert_eq!(channel.tx, Frequency::from_hertz(155_000_000));
    assert_eq!(
        (channel.tx_code, channel.bandwidth_hz),
        (AccessCode::None, 12_500)
    );
    assert_eq!(scenario.gateways.by_key("g").unwrap().talk_groups.len(), 2);
    assert_eq!(scenario.phases.len(), 1, "a file without phases gets one");
    let radio = scenario.radios.by_key("r").unwrap();
    assert_eq!((radio.programmed.len(), radio.selected), (1, None));
}

#[test]
fn numbers_are_never_used_again() {
    let scenario = ron("(format: 1, next_id: 500, units: [(key: \"a\"), (key: \"b\")])");
    assert_eq!(scenario.mint(0), 500);
    assert_eq!(ron(&format::write(&scenario, Syntax::Ron)).mint(0), 500);
    let scenario = ron("(format: 1, next_id: 1, units: [(key: \"a\"), (key: \"b\")])");
    let highest = scenario.units.ids().map(|id| id.0).max().unwrap();
    assert!(scenario.mint(0) > highest);
    assert!(scenario.units.by_key("a").unwrap().id < scenario.units.by_key("b").unwrap().id);
}

#[test]
fn order_of_lists_does_not_show_but_order_of_phases_does() {
    let one = ron(
        "(format: 1, units: [(key: \"b\"), (key: \"a\")], phases: [(key: \"z\"), (key: \"y\")])",
    );
    let two = ron(
        "(format: 1, units: [(key: \"a\"), (key: \"b\")], phases: [(key: \"z\"), (key: \"y\")])",
    );
    let three = ron(
        "(format: 1, units: [(key: \"a\"), (key: \"b\")], phases: [(key: \"y\"), (key: \"z\")])",
    );
    let text = |s: &Scenario| format::write(s, Syntax::Ron);
    assert_eq!(text(&one), text(&two));
    assert_ne!(text(&two), text(&three));
    let keys: Vec<_> = three.phases.iter().map(|p| p.key.clone()).collect();
    assert_eq!(keys, ["y", "z"]);
}

#[test]
fn any_text_survives_in_any_field() {
    let strange = "quote \" slash \\ / line\r\nfeed\ttab \u{1b}[31m \u{0} \u{202e}turned \u{2028} 消防 🚒 r#\"x\"# ' {} //";
    let mut scenario = ron(EVERYTHING);
    let notes: Vec<Edit> = scenario
        .units
        .iter()
        .map(|u| {
            let mut unit = u.clone();
            unit.name = strange.to_owned();
            unit.notes = strange.to_owned();
            Edit::Replace(unit.into())
        })
        .collect();
    scenario = scenario.apply(&notes).unwrap();
    for syntax in [Syntax::Ron, Syntax::Json] {
        let text = format::write(&scenario, syntax);
        let back = format::read(&text, syntax).unwrap_or_else(|p| panic!("{p}"));
        assert_eq!(back.units.first().unwrap().notes, strange);
        assert!(
            !text.contains('\u{1b}') && !text.contains('\u{202e}'),
            "nothing hides in a file"
        );
        let theirs: v1::Root = match syntax {
            Syntax::Ron => ron::from_str(&text).unwrap(),
            Syntax::Json => serde_json::from_str(&text).unwrap(),
        };
        assert_eq!(theirs.units[0].notes, strange);
    }
}

#[test]
fn the_everything_file_means_what_it_says() {
    let s = ron(EVERYTHING);
    let radio = s.radios.by_key("set").unwrap();
    let entry = radio.entry(s.channels.by_key("tac").unwrap().id).unwrap();
    assert_eq!(
        entry.rx_code,
        Some(AccessCode::Ctcss(Tone::from_tenths(1000)))
    );
    assert_eq!(
        entry.tx_code,
        Some(AccessCode::None),
        "a deviation to no code"
    );
    assert_eq!(entry.verified.len(), 2);
    let dcs = s.channels.by_key("dcs").unwrap().conventional().unwrap();
    let code = |inverted| AccessCode::Dcs {
        code: 0o023,
        inverted,
    };
    assert_eq!((dcs.rx_code, dcs.tx_code), (code(false), code(true)));
    let gateway = s.gateways.by_key("box-a").unwrap();
    let port: ThingId = PortRef {
        gateway: gateway.id,
        port: 3,
    }
    .into();
    let group: ThingId = TalkGroupRef {
        gateway: gateway.id,
        group: 1,
    }
    .into();
    assert_eq!(s.places.get(&port), Some(&Place { x: -5, y: 7 }));
    let accepted = &s.accepted[0];
    assert_eq!(
        accepted.finding.things[..1],
        [s.units.by_key("alpha").unwrap().id.into()]
    );
    assert!(accepted.finding.things.contains(&port) && accepted.finding.things.contains(&group));
    assert_eq!(accepted.facts, 0x8594_4171_f739_67e8);
    assert_eq!(s.practice.temperature_c.to_bits(), (-5.0_f64).to_bits());
    let changed = Practice::SETTINGS
        .iter()
        .filter(|f| !f.is_usual(&s.practice));
    assert_eq!(changed.count(), 2);
    let chances: Vec<f64> = s.availability.values().copied().collect();
    assert_eq!(chances, [0.95, 1.0]);
    let cells = gateway.cells.expect("it has cells");
    assert_eq!((cells.chemistry, cells.count), (Chemistry::LithiumIon, 4));
    assert!(radio.outside_power && radio.draw.is_some());
}

#[test]
fn an_acceptance_keeps_its_identity_however_things_are_numbered() {
    let s = ron(EVERYTHING);
    let unit = |key| ThingId::from(s.units.by_key(key).unwrap().id);
    // Other things stand in the order of their ids in the model, which a file does not keep.
    let finding = FindingId {
        code: "R99".to_owned(),
        things: vec![unit("bravo"), unit("alpha")],
    };
    let acceptance = Acceptance {
        finding,
        facts: u64::MAX,
        reason: "known".to_owned(),
        by: "N. Tarn".to_owned(),
        on: "2026-05-01".to_owned(),
        until: s.phases.ids().next(),
    };
    let s = s.apply(&[Edit::Accept(acceptance)]).unwrap();
    for syntax in [Syntax::Ron, Syntax::Json] {
        let back = format::read(&format::write(&s, syntax), syntax).unwrap();
        let found = back
            .accepted
            .iter()
            .find(|a| a.finding.code == "R99")
            .unwrap();
        let keys: Vec<_> = found.finding.things.iter().map(|t| back.key(*t)).collect();
        assert_eq!(
            (keys, found.facts),
            (vec!["bravo".to_owned(), "alpha".to_owned()], u64::MAX)
        );
        let until = found.until.map(|phase| back.key(phase.into()));
        assert_eq!(until, s.phases.first().map(|phase| phase.key.clone()));
    }
}

#[test]
fn reading_twice_gives_equal_scenarios() {
    for text in texts() {
        let canonical = format::write(&ron(&text), Syntax::Ron);
        let (a, b) = (ron(&canonical), ron(&canonical));
        assert_eq!(a, b);
        let names = |s: &Scenario| -> BTreeMap<String, String> {
            let ids = s
                .units
                .ids()
                .map(ThingId::from)
                .chain(s.radios.ids().map(ThingId::from));
            ids.filter_map(|id| s.thing(id))
                .map(|t: Thing| (t.key().to_owned(), t.name().to_owned()))
                .collect()
        };
        assert_eq!(names(&a), names(&ron(&text)));
    }
}

#[test]
fn whatever_passes_the_gate_can_be_read_back() {
    let s = ron(EVERYTHING);
    let radio = s.radios.by_key("set").unwrap();
    let channel = s.channels.by_key("dcs").unwrap();
    let mut edits: Vec<Edit> = Vec::new();
    for hertz in [
        0,
        99_999,
        100_000,
        155_752_501,
        6_000_000_000,
        6_000_000_001,
        u64::MAX,
    ] {
        let frequency = Frequency::from_hertz(hertz);
        let mut channel = channel.clone();
        if let Carrier::Conventional(c) = &mut channel.carrier {
            c.tx = frequency;
        }
        edits.push(Edit::Replace(channel.into()));
        let mut banded = radio.clone();
        banded.bands = vec![Band {
            low: frequency,
            high: frequency,
        }];
        edits.push(Edit::Replace(banded.into()));
        let mut entry = radio.programmed[0].clone();
        entry.rx = Some(frequency);
        edits.push(Edit::Program {
            radio: radio.id,
            entry,
        });
    }
    for tenths in [0, 599, 600, 1567, 2600, 2601, u16::MAX] {
        let mut entry = radio.programmed[0].clone();
        entry.tx_code = Some(AccessCode::Ctcss(Tone::from_tenths(tenths)));
        edits.push(Edit::Program {
            radio: radio.id,
            entry,
        });
    }
    for algorithm in [0, 0x80, 0x81, 0x84, 0xFF].map(Algorithm) {
        let key = KeyRef {
            algorithm,
            number: 1,
        };
        edits.push(Edit::LoadKey {
            radio: radio.id,
            key,
        });
        let mut entry = radio.programmed[0].clone();
        entry.protection = Some(Protection::Always(key));
        edits.push(Edit::Program {
            radio: radio.id,
            entry,
        });
    }
    let mut counts = (0, 0);
    for edit in edits {
        let Ok(changed) = s.apply(std::slice::from_ref(&edit)) else {
            counts.0 += 1;
            continue;
        };
        counts.1 += 1;
        for syntax in [Syntax::Ron, Syntax::Json] {
            let text = format::write(&changed, syntax);
            let back = format::read(&text, syntax).unwrap_or_else(|p| panic!("{edit:?}: {p}"));
            assert_eq!(format::write(&back, syntax), text, "{edit:?}");
        }
    }
    assert_eq!(
        counts,
        (4 * 3 + 4 + 2, 3 * 3 + 3 + 8),
        "refused and read back"
    );
}

#[test]
fn the_ending_of_a_name_tells_the_spelling() {
    for (name, syntax) in [
        ("a.ron", Syntax::Ron),
        ("a.json", Syntax::Json),
        ("dir.json/a", Syntax::Ron),
        ("A.JSON", Syntax::Json),
        ("json", Syntax::Ron),
        ("", Syntax::Ron),
    ] {
        assert_eq!(Syntax::of_name(name), syntax, "{name}");
    }
}
