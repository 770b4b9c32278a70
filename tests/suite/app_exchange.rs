//! Tables and other files in the window: channels imported as one step, tables exported, files compared.

use crosspatch::app::{Ask, Effects};
use crosspatch::exchange::{Checked, heard_json, json_text};
use crosspatch::format::{self, Syntax};
use crosspatch::model::{Edit, Scenario};
use crosspatch::picture::Picture;
use egui_kittest::kittest::Queryable as _;

use crate::app::{FakeChooser, Window, click, has, menu, scenario, shipped, window_with};

struct Rig {
    window: Window,
    chooser: FakeChooser,
    folder: tempfile::TempDir,
}

fn rig() -> Rig {
    let chooser = FakeChooser::default();
    let effects = Effects::with(Box::new(chooser.clone()), None, || "2031-05-04".to_owned());
    Rig {
        window: window_with(shipped("talk-groups.ron"), effects, false),
        chooser,
        folder: tempfile::tempdir().expect("there is room"),
    }
}

impl Rig {
    /// Writes a file that the chooser then answers with.
    fn will_choose(&self, name: &str, text: &str) {
        let path = self.folder.path().join(name);
        std::fs::write(&path, text).expect("the folder takes a file");
        self.chooser.will_choose(&path);
    }
}

fn shows(window: &Window, text: &str) -> bool {
    window.query_all_by_label_contains(text).next().is_some()
}

const TABLE: &str = "Label,Rx Freq,Rx Tone,Tx Freq,Tx Tone,Mode\n\
                     TAC 7,154.2650 N,CSQ,154.2650 N,156.7,A\nTAC 8,high,,,,A\n";

#[test]
fn channels_are_imported_as_one_step_after_their_columns_are_set_right() {
    let mut rig = rig();
    let before = scenario(&rig.window).channels.len();
    rig.will_choose("list.csv", TABLE);
    menu(&mut rig.window, "File", "Import channels…");
    assert_eq!(rig.chooser.asked(), [Ask::ImportChannels]);
    assert!(shows(&rig.window, "Import channels from list.csv"));
    assert!(shows(&rig.window, "a column for the channel's name"));
    click(&mut rig.window, "Label");
    click(&mut rig.window, "Name");
    assert!(shows(&rig.window, "Line 3, Rx Freq: found 'high'"));
    click(&mut rig.window, "Import 1 channel");
    assert_eq!(
        scenario(&rig.window).channels.len(),
        before,
        "a row is wrong"
    );
    click(
        &mut rig.window,
        "Leave out the rows that cannot be imported",
    );
    click(&mut rig.window, "Import 1 channel");
    let s = scenario(&rig.window);
    assert_eq!(s.channels.len(), before + 1);
    let added = s
        .channels
        .iter()
        .find(|c| c.name == "TAC 7")
        .expect("it is there");
    let c = added.conventional().expect("it has frequencies");
    assert_eq!(
        (c.rx.hertz(), c.tx_code.to_string().as_str()),
        (154_265_000, "CTCSS 156.7 Hz")
    );
    menu(&mut rig.window, "Edit", "Undo");
    assert_eq!(scenario(&rig.window).channels.len(), before);
}

#[test]
fn a_file_that_is_no_table_is_refused_in_words() {
    let mut rig = rig();
    rig.will_choose("list.csv", "a,b\n1,2\n");
    menu(&mut rig.window, "File", "Import channels…");
    assert!(shows(&rig.window, "The channels could not be imported"));
    assert!(shows(&rig.window, "holds headings such as Channel Name"));
}

#[test]
fn each_table_is_written_where_the_chooser_says() {
    let mut rig = rig();
    for (choice, heading) in [
        ("All channels, as on an ICS 217A", "Channel Configuration"),
        ("Channels in use, as on an ICS 205", "Zone Grp."),
        ("Who hears whom, as a table", "Speaks"),
        ("Findings, as a table", "Phase,Severity"),
    ] {
        let path = rig.folder.path().join("out.csv");
        rig.chooser.will_choose(&path);
        menu(&mut rig.window, "File", "Export a table…");
        click(&mut rig.window, choice);
        click(&mut rig.window, "Export");
        let text = std::fs::read_to_string(&path).expect("it was written");
        assert!(text.starts_with(heading), "{text}");
        assert!(text.lines().count() > 1, "{choice}");
    }
}

#[test]
fn hearing_and_findings_are_written_as_json_as_the_verbs_write_them() {
    let mut rig = rig();
    let s = std::sync::Arc::new(scenario(&rig.window).clone());
    let phase = s.phases.first().expect("a phase").clone();
    let picture = Picture::new(std::sync::Arc::clone(&s), phase.id);
    let checked = Checked::of(s, vec![phase]);
    for (choice, name, expected) in [
        (
            "Who hears whom, as JSON",
            "who-hears-whom.json",
            heard_json(&picture, ""),
        ),
        (
            "Findings, as JSON",
            "findings.json",
            json_text(&checked.json("")),
        ),
    ] {
        let path = rig.folder.path().join(name);
        rig.chooser.will_choose(&path);
        menu(&mut rig.window, "File", "Export a table…");
        click(&mut rig.window, choice);
        click(&mut rig.window, "Export");
        let asked = Ask::ExportTable {
            name: name.to_owned(),
        };
        assert_eq!(rig.chooser.asked().last(), Some(&asked));
        let text = std::fs::read_to_string(&path).expect("it was written");
        assert_eq!(text, expected, "{choice}");
        let value: serde_json::Value = serde_json::from_str(&text).expect("it is JSON");
        let list = value.get("heard").or(value.get("findings"));
        assert!(
            list.and_then(|l| l.as_array())
                .is_some_and(|l| !l.is_empty()),
            "{choice}"
        );
    }
}

#[test]
fn a_table_in_other_letters_says_how_to_write_it() {
    let mut rig = rig();
    let path = rig.folder.path().join("latin.csv");
    std::fs::write(&path, b"Channel Name,R\xe9seau\n").expect("the folder takes a file");
    rig.chooser.will_choose(&path);
    menu(&mut rig.window, "File", "Import channels…");
    assert!(shows(&rig.window, "CSV UTF-8"));
}

#[test]
fn another_file_is_compared_with_the_phase_shown() {
    let mut rig = rig();
    let s = scenario(&rig.window);
    let gone = s.units.iter().last().expect("a unit").clone();
    let other: Scenario = s.apply(&[Edit::Remove(gone.id.into())]).expect("it goes");
    rig.will_choose("tuesday.ron", &format::write(&other, Syntax::Ron));
    menu(&mut rig.window, "File", "Compare with file…");
    assert!(shows(&rig.window, "of tuesday.ron"));
    assert!(shows(&rig.window, &format!("Unit {} is gone", gone.name)));
    click(&mut rig.window, "End the comparison");
    assert!(!shows(&rig.window, "of tuesday.ron"));
    rig.will_choose("bad.ron", "(format: 9)");
    menu(&mut rig.window, "File", "Compare with file…");
    assert!(has(
        &rig.window,
        "bad.ron was not opened: one thing is wrong"
    ));
}
