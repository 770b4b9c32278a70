//! Tables and other files in the window: channels imported as one step, tables exported, files compared.

use crosspatch::app::{Ask, Effects};
use crosspatch::format::{self, Syntax};
use crosspatch::model::{Edit, Scenario};
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
