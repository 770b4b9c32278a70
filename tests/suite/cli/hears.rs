//! `hears`: matrix, row, column and pair; names that nobody bears.

use crosspatch::cli::{Kind, Outcome};
use serde_json::Value;

use super::{Folder, all_documented, fails, fields, json, ok, run_into};

const PLAN: &str = r#"(
    format: 1,
    systems: [(key: "direct")],
    channels: [
        (key: "red", name: "RED", system: "direct", carrier: Frequencies(rx_mhz: 155.0)),
        (key: "blue", name: "BLUE", system: "direct", carrier: Frequencies(rx_mhz: 156.0)),
    ],
    units: [(key: "alpha", name: "Alpha Team"), (key: "bravo"), (key: "carol")],
    radios: [
        (key: "a", held_by: "alpha", programmed: ["red"], selected: "red"),
        (key: "b", held_by: "bravo", programmed: ["red"], selected: "red"),
        (key: "c", held_by: "carol", programmed: ["red", "blue"], selected: "blue"),
    ],
    telephones: [(key: "desk", held_by: "carol"), (key: "hall")],
    phases: [(key: "day", name: "Day"), (key: "night", name: "Night", selected: {"c": "red"})],
)"#;

#[test]
fn hears_prints_a_matrix_a_row_and_a_column() {
    let folder = Folder::new();
    let file = folder.put("plan.ron", PLAN);
    let (outcome, text) = ok(&["hears", &file]);
    assert_eq!(outcome, Outcome::Clean);
    assert_eq!(
        text,
        "Who hears whom in Day: speakers down, hearers across\n        \
         \u{20}1 2 3 4\n\
         1 alpha  - x . .  Alpha Team\n\
         2 bravo  x - . .  \n\
         3 carol  . . - .  \n\
         4 hall   . . . -  \n\
         x heard   c heard, its start cut off   s heard only by scanning   . not heard\n"
    );
    let (_, text) = ok(&["hears", &file, "--from", "alpha team"]);
    assert_eq!(
        text,
        "Who hears alpha (Alpha Team) in Day: 1 of 3\n  bravo  after 0 ms\nNot: 2 of 3\n  carol, hall\n"
    );
    let (_, text) = ok(&["hears", &file, "--to", "carol", "--phase", "night"]);
    assert_eq!(
        text,
        "Whom carol hears in Night: 2 of 3\n  alpha (Alpha Team)  after 0 ms\n  bravo               after 0 ms\nNot: 1 of 3\n  hall\n"
    );
    let (_, all) = json(&["hears", &file]);
    all_documented("hears", &all);
    assert_eq!(fields(&all), ["file", "heard", "parties", "phase"]);
    assert_eq!(all["heard"].as_array().unwrap().len(), 2);
    let (_, row) = json(&["hears", &file, "--from", "carol"]);
    assert_eq!(row["heard"].as_array().unwrap().len(), 0);
    let (_, column) = json(&["hears", &file, "--to", "alpha", "--phase", "2"]);
    assert_eq!(
        (column["heard"].as_array().unwrap().len(), &column["phase"]),
        (2, &Value::from("night"))
    );
}

#[test]
fn hears_explains_a_pair() {
    let folder = Folder::new();
    let file = folder.put("plan.ron", PLAN);
    let (_, text) = ok(&["hears", &file, "--from", "alpha", "--to", "bravo"]);
    for part in [
        "bravo hears Alpha Team in Day\n",
        "a transmits on RED, in clear",
        "b receives on RED",
        "0 ms from mouth to ear",
        "clear from the start",
        "back     Alpha Team hears bravo",
    ] {
        assert!(text.contains(part), "{part} in {text}");
    }
    let (_, json) = json(&["hears", &file, "--from", "alpha", "--to", "bravo"]);
    // ITU-T G.107 (06/2015), clause 7.7: 93.2 with every default, and 4.409 by Annex B.
    assert!((json["rating"].as_f64().unwrap() - 93.2).abs() < 1e-9);
    assert!((json["mos"].as_f64().unwrap() - 4.409).abs() < 0.0005);
    all_documented("hears", &json);
    assert_eq!(
        fields(&json),
        [
            "back",
            "by_scan",
            "changes",
            "clipped_ms",
            "codec_passes",
            "cuts",
            "delay_ms",
            "encrypted",
            "file",
            "from",
            "heard",
            "joins",
            "mos",
            "path",
            "phase",
            "press_and_wait_ms",
            "proved",
            "rating",
            "reasons",
            "secrecy",
            "to",
            "wait_ms"
        ]
    );
    assert_eq!(
        (&json["heard"], &json["delay_ms"]),
        (&Value::from(true), &Value::from(0))
    );
    assert_eq!(
        json["path"].as_array().unwrap().first().unwrap()["what"],
        "speaks"
    );
    assert_eq!(
        json["path"].as_array().unwrap().last().unwrap()["key"],
        "bravo"
    );
}

#[test]
fn hears_says_why_not_and_what_would_join() {
    let folder = Folder::new();
    let file = folder.put("plan.ron", PLAN);
    let (outcome, text) = ok(&["hears", &file, "--from", "alpha", "--to", "carol"]);
    assert_eq!(
        outcome,
        Outcome::Clean,
        "silence is an answer, not a failure"
    );
    for part in [
        "carol does not hear Alpha Team in Day\n",
        "because ",
        "change ",
        "proof ",
    ] {
        assert!(text.contains(part), "{part} in {text}");
    }
    let (_, json) = json(&["hears", &file, "--from", "alpha", "--to", "carol"]);
    all_documented("hears", &json);
    assert_eq!(json["heard"], false);
    for null in [
        "delay_ms",
        "clipped_ms",
        "wait_ms",
        "codec_passes",
        "by_scan",
        "secrecy",
    ] {
        assert_eq!(json[null], Value::Null, "{null}");
    }
    let count = |key: &str| json[key].as_array().unwrap().len();
    assert!(count("reasons") >= 1);
    assert_eq!(count("reasons"), count("changes"));
    assert_eq!(
        (count("path"), &json["encrypted"]),
        (0, &Value::from(false))
    );
}

#[test]
fn unknown_names_are_met_with_the_nearest() {
    let folder = Folder::new();
    let file = folder.put("plan.ron", PLAN);
    let said = fails(&["hears", &file, "--from", "alhpa"], Kind::Usage);
    assert!(
        said.contains("no unit, telephone or headset 'alhpa'"),
        "{said}"
    );
    assert!(said.contains("did you mean 'alpha'?"), "{said}");
    let said = fails(&["hears", &file, "--to", "desk"], Kind::Usage);
    assert!(said.contains("in the hands of 'carol'"), "{said}");
    let said = fails(&["check", &file, "--phase", "nihgt"], Kind::Usage);
    assert!(said.contains("did you mean 'night'?"), "{said}");
    let said = fails(&["hears", &file, "--phase", "3"], Kind::Usage);
    assert!(said.contains("the phases are day, night"), "{said}");
    let said = fails(&["explain", "unhaerd-need"], Kind::Usage);
    assert!(said.contains("did you mean 'unheard-need'?"), "{said}");
    let said = fails(&["explain", "unheard"], Kind::Usage);
    assert!(said.contains("did you mean 'unheard-need'?"), "{said}");
}

#[test]
fn names_cannot_move_the_cursor() {
    let folder = Folder::new();
    let strange = PLAN.replace("Alpha Team", "\u{1b}]0;x\u{7} A\u{202e}B");
    let file = folder.put("plan.ron", &strange);
    for args in [
        vec!["hears", &file],
        vec!["hears", &file, "--from", "alpha", "--to", "bravo"],
        vec!["hears", &file, "--from", "alpha", "--to", "carol"],
        vec!["check", &file],
    ] {
        let mut out = Vec::new();
        run_into(&args, &mut out).unwrap();
        let text = String::from_utf8(out).unwrap();
        assert!(
            !text.contains("\u{1b}]") && !text.contains('\u{202e}'),
            "{text:?}"
        );
        assert!(!text.contains('\u{7}'), "{text:?}");
    }
}
