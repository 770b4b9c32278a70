//! `export` and `import`: files whole or not at all, every bad row named, plans as they were.

use crosspatch::cli::{Kind, Outcome};
use crosspatch::format::{self, Syntax};

use super::{Folder, all_documented, fails, json, ok, read};

const GOOD: &str =
    "Channel Name,Rx Freq,Rx Tone,Tx Freq,Tx Tone,Mode\nTAC 7,154.2650 N,CSQ,154.2650 N,156.7,A\n";

#[test]
fn a_table_is_printed_or_written_whole_and_never_over_another() {
    let folder = Folder::shipped();
    let file = folder.path("incident.ron");
    for table in ["217a", "205", "matrix", "findings"] {
        let (outcome, text) = ok(&["export", &file, "--as", table]);
        assert_eq!(outcome, Outcome::Clean);
        let to = folder.path(&format!("{table}.csv"));
        ok(&["export", &file, "--as", table, "--to", &to]);
        assert_eq!(read(&to), text, "{table}");
        let (_, value) = json(&["export", &file, "--as", table]);
        all_documented("export", &value);
        let rows = value["rows"].as_array().expect("rows").len();
        assert!(rows > 0, "{table}");
        let said = fails(&["export", &file, "--as", table, "--to", &to], Kind::Output);
        assert!(said.contains("--force"), "{said}");
        ok(&["export", &file, "--as", table, "--to", &to, "--force"]);
    }
}

#[test]
fn channels_go_from_one_plan_into_another() {
    let folder = Folder::shipped();
    let (from, into) = (folder.path("incident.ron"), folder.path("talk-groups.ron"));
    let table = folder.path("channels.csv");
    ok(&["export", &from, "--as", "217a", "--to", &table]);
    let before = read(&into);
    let (outcome, text) = ok(&["import", &table, "--into", &into, "--dry-run", "--skip-bad"]);
    assert!(text.contains("nothing is written"), "{text}");
    assert_eq!(read(&into), before);
    let (again, value) = json(&["import", &table, "--into", &into, "--skip-bad"]);
    assert_eq!(outcome, again);
    all_documented("import", &value);
    let count = |text: &str| format::read(text, Syntax::Ron).unwrap().channels.len();
    let added = value["added"].as_u64().unwrap();
    assert!(added > 0 && value["written"] == true);
    assert_eq!(
        count(&read(&into)) - count(&before),
        usize::try_from(added).unwrap()
    );
}

#[test]
fn one_bad_row_stops_everything_unless_it_may_be_left_out() {
    let folder = Folder::shipped();
    let into = folder.path("talk-groups.ron");
    let before = read(&into);
    let table = folder.put("bad.csv", &format!("{GOOD}TAC 8,high,,,,A\n"));
    let (outcome, text) = ok(&["import", &table, "--into", &into]);
    assert_eq!(outcome, Outcome::Findings);
    assert!(text.contains("line 3, Rx Freq: found 'high'"), "{text}");
    assert!(text.contains("nothing is imported"), "{text}");
    assert_eq!(read(&into), before);
    let (outcome, text) = ok(&["import", &table, "--into", &into, "--skip-bad"]);
    assert_eq!(outcome, Outcome::Findings);
    assert!(text.contains("1 channel added"), "{text}");
    assert_ne!(read(&into), before);
}

#[test]
fn the_mapping_is_shown_and_changed_by_hand() {
    let folder = Folder::shipped();
    let into = folder.path("talk-groups.ron");
    let table = folder.put("own.csv", &GOOD.replace("Channel Name", "Label"));
    let (outcome, text) = ok(&["import", &table, "--into", &into]);
    assert_eq!(outcome, Outcome::Findings);
    assert!(text.contains("Label  → left out"), "{text}");
    let (outcome, text) = ok(&["import", &table, "--into", &into, "--map", "label=name"]);
    assert_eq!(outcome, Outcome::Clean, "{text}");
    assert!(text.contains("Label  → name"), "{text}");
    for (map, hint) in [
        ("Labl=name", "Label"),
        ("Label=colour", "receive-tone"),
        ("Label", "HEADING"),
    ] {
        let said = fails(
            &["import", &table, "--into", &into, "--map", map],
            Kind::Usage,
        );
        assert!(said.contains(hint), "{said}");
    }
    let none = folder.put("none.csv", "a,b\n1,2\n");
    let said = fails(&["import", &none, "--into", &into], Kind::Input);
    assert!(said.contains("headings such as"), "{said}");
}

#[test]
fn a_file_that_is_no_text_says_how_a_spreadsheet_writes_one() {
    let folder = Folder::shipped();
    let into = folder.path("talk-groups.ron");
    let hint = "CSV UTF-8";
    let utf16: Vec<u8> = "\u{feff}Channel Name"
        .encode_utf16()
        .flat_map(u16::to_le_bytes)
        .collect();
    for (name, bytes) in [
        ("utf16.csv", utf16),
        ("latin.csv", b"Channel Name,R\xe9seau\n".to_vec()),
    ] {
        let path = folder.path(name);
        std::fs::write(&path, bytes).expect("the folder takes a file");
        let said = fails(&["import", &path, "--into", &into], Kind::Input);
        assert!(said.contains(hint), "{said}");
    }
    let missing = folder.path("missing.csv");
    let said = fails(&["import", &missing, "--into", &into], Kind::Input);
    assert!(!said.contains(hint) && !said.contains("example"), "{said}");
}

#[test]
fn an_open_quotation_mark_writes_nothing() {
    let folder = Folder::shipped();
    let into = folder.path("talk-groups.ron");
    let before = read(&into);
    let table = folder.put(
        "q.csv",
        &format!("{GOOD}TAC 8,154.28 N,CSQ,\"154.28 N,CSQ,A\n"),
    );
    let said = fails(&["import", &table, "--into", &into], Kind::Input);
    assert!(said.contains("in line 3 is never closed"), "{said}");
    assert_eq!(read(&into), before);
}

#[test]
fn the_table_of_a_plan_goes_back_into_that_plan_and_changes_nothing() {
    let folder = Folder::shipped();
    let file = folder.path("incident.ron");
    let before = read(&file);
    for table in ["217a", "205"] {
        let to = folder.path(&format!("{table}.csv"));
        ok(&["export", &file, "--as", table, "--to", &to]);
        let (outcome, text) = ok(&["import", &to, "--into", &file]);
        assert_eq!(outcome, Outcome::Clean, "{text}");
        assert_eq!(read(&file), before, "{table}");
    }
}
