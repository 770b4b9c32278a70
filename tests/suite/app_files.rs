//! Opening and saving: through the chooser, through the list of recent files, with broken files.

use std::fs;
use std::sync::Arc;

use crosspatch::app::{Ask, Effects};
use crosspatch::checks;
use crosspatch::format::{Syntax, read, write};
use crosspatch::picture::Picture;
use egui::{Key, Modifiers};
use egui_kittest::kittest::Queryable as _;
use tempfile::TempDir;

use crate::app::{FakeChooser, Window, click, menu, scenario, shipped, window_with};

struct Desk {
    folder: TempDir,
    chooser: FakeChooser,
}

impl Desk {
    fn new() -> Self {
        Self {
            folder: tempfile::tempdir().expect("a temporary folder"),
            chooser: FakeChooser::default(),
        }
    }

    fn window(&self) -> Window {
        let effects = Effects::with(
            Box::new(self.chooser.clone()),
            Some(self.folder.path().join("state")),
            || "2031-05-04".to_owned(),
        );
        window_with(shipped("talk-groups.ron"), effects, false)
    }
}

/// A file let go over the window.
#[derive(Debug)]
struct Dropped(std::path::PathBuf);

impl egui::DroppedFile for Dropped {
    fn path(&self) -> &std::path::Path {
        &self.0
    }

    fn bytes(&self) -> Result<Vec<u8>, String> {
        fs::read(&self.0).map_err(|e| e.to_string())
    }
}

#[test]
fn save_as_then_open_gives_the_same_scenario() {
    let desk = Desk::new();
    let path = desk.folder.path().join("plan.ron");
    let mut window = desk.window();
    menu(&mut window, "Add", "Agency");
    assert!(
        window.state().title().contains("(edited)"),
        "{}",
        window.state().title()
    );
    desk.chooser.will_choose(&path);
    window.key_press_modifiers(Modifiers::COMMAND, Key::S);
    window.run_ok();
    assert!(matches!(
        desk.chooser.asked().as_slice(),
        [Ask::Save { .. }]
    ));
    assert!(window.state().document().is_saved());
    let title = window.state().title();
    assert!(
        title.starts_with("plan.ron") && !title.contains("edited"),
        "{title}"
    );
    let saved = scenario(&window).clone();
    let text = fs::read_to_string(&path).unwrap();
    assert_eq!(text, write(&saved, Syntax::Ron));
    assert!(read(&text, Syntax::Ron).is_ok());
    // A second save asks nothing.
    menu(&mut window, "Add", "Agency");
    window.key_press_modifiers(Modifiers::COMMAND, Key::S);
    window.run_ok();
    assert_eq!(desk.chooser.asked().len(), 1);
    // Another window opens it from the list of recent files.
    let mut other = desk.window();
    click(&mut other, "File");
    click(&mut other, "Open recent");
    click(&mut other, "plan.ron");
    assert_eq!(scenario(&other).agencies.len(), saved.agencies.len() + 1);
}

#[test]
fn unsaved_changes_are_asked_about_before_opening() {
    let desk = Desk::new();
    let path = desk.folder.path().join("other.ron");
    fs::write(&path, write(&shipped("incident.ron"), Syntax::Ron)).unwrap();
    let mut window = desk.window();
    menu(&mut window, "Add", "Agency");
    desk.chooser.will_choose(&path);
    window.key_press_modifiers(Modifiers::COMMAND, Key::O);
    window.run_ok();
    assert!(window.query_by_label("Save the changes first?").is_some());
    assert!(
        desk.chooser.asked().is_empty(),
        "nothing is opened before the answer"
    );
    click(&mut window, "Cancel");
    assert!(window.query_by_label("Save the changes first?").is_none());
    window.key_press_modifiers(Modifiers::COMMAND, Key::O);
    window.run_ok();
    click(&mut window, "Do not save");
    assert_eq!(scenario(&window).header, shipped("incident.ron").header);
}

#[test]
fn saving_first_goes_on_after_the_save() {
    let desk = Desk::new();
    let path = desk.folder.path().join("kept.ron");
    let mut window = desk.window();
    menu(&mut window, "Add", "Agency");
    let edited = scenario(&window).clone();
    window.key_press_modifiers(Modifiers::COMMAND, Key::N);
    window.run_ok();
    desk.chooser.will_choose(&path);
    click(&mut window, "Save");
    assert!(
        scenario(&window).units.is_empty(),
        "the new scenario is empty"
    );
    let text = fs::read_to_string(&path).unwrap();
    assert_eq!(text, write(&edited, Syntax::Ron));
}

#[test]
fn a_broken_file_shows_everything_wrong_with_its_place() {
    let desk = Desk::new();
    let path = desk.folder.path().join("broken.ron");
    fs::write(&path, "(\n  crosspatch: 1,\n  titel: \"x\",\n").unwrap();
    let mut window = desk.window();
    let before = scenario(&window).clone();
    desk.chooser.will_choose(&path);
    window.key_press_modifiers(Modifiers::COMMAND, Key::O);
    window.run_ok();
    assert!(
        window
            .query_by_label_contains("broken.ron was not opened")
            .is_some()
    );
    assert!(window.query_all_by_label_contains("line ").next().is_some());
    click(&mut window, "Close");
    assert_eq!(*scenario(&window), before, "the open scenario stays");
}

#[test]
fn a_save_that_fails_says_so() {
    let desk = Desk::new();
    let mut window = desk.window();
    menu(&mut window, "Add", "Agency");
    desk.chooser
        .will_choose(&desk.folder.path().join("missing/plan.ron"));
    window.key_press_modifiers(Modifiers::COMMAND, Key::S);
    window.run_ok();
    assert!(window.query_by_label("plan.ron was not saved").is_some());
    assert!(!window.state().document().is_saved());
}

#[test]
fn a_file_dropped_on_the_window_opens() {
    let desk = Desk::new();
    let path = desk.folder.path().join("dropped.ron");
    fs::write(&path, write(&shipped("incident.ron"), Syntax::Ron)).unwrap();
    let mut window = desk.window();
    window
        .input_mut()
        .dropped_files
        .push(std::sync::Arc::new(Dropped(path)));
    window.run_ok();
    window.run_ok();
    assert_eq!(scenario(&window).header, shipped("incident.ron").header);
    assert!(window.state().title().starts_with("dropped.ron"));
}

#[test]
fn another_file_brings_its_own_findings_even_when_its_phases_are_numbered_alike() {
    let desk = Desk::new();
    let mut window = desk.window();
    for name in ["incident.ron", "incident-repaired.ron"] {
        let plan = shipped(name);
        let path = desk.folder.path().join(name);
        fs::write(&path, write(&plan, Syntax::Ron)).expect("the folder takes a file");
        desk.chooser.will_choose(&path);
        window.key_press_modifiers(Modifiers::COMMAND, Key::O);
        window.run();
        window.run();
        let phase = plan.phases.first().expect("a phase").id;
        let picture = Picture::new(Arc::new(plan), phase);
        let expected = checks::run_all(&picture).open;
        assert_eq!(*window.state().findings(), expected, "{name}");
    }
}

/// Runs this very test again under another mask of the process; returns whether this is that run.
#[cfg(unix)]
fn is_under_mask(mask: &str, test: &str) -> bool {
    const MARK: &str = "CROSSPATCH_UNDER_MASK";
    if std::env::var_os(MARK).is_some() {
        return true;
    }
    let itself = std::env::current_exe().expect("a program");
    let run = std::process::Command::new("sh")
        .arg("-c")
        .arg(format!("umask {mask}; exec \"$0\" --exact {test}"))
        .arg(itself)
        .env(MARK, "1")
        .output()
        .expect("a shell");
    assert!(
        run.status.success(),
        "{}",
        String::from_utf8_lossy(&run.stdout)
    );
    let said = String::from_utf8_lossy(&run.stdout).into_owned();
    assert!(said.contains("1 passed"), "{said}");
    false
}

#[cfg(unix)]
#[test]
fn a_new_file_is_as_private_as_the_mask_asks_and_an_old_one_keeps_its_mode() {
    use std::os::unix::fs::PermissionsExt as _;
    let test = "app_files::a_new_file_is_as_private_as_the_mask_asks_and_an_old_one_keeps_its_mode";
    if !is_under_mask("027", test) {
        return;
    }
    let desk = Desk::new();
    let effects = Effects::with(Box::new(desk.chooser.clone()), None, || {
        "2031-05-04".to_owned()
    });
    let mode = |path: &std::path::Path| {
        let about = fs::metadata(path).expect("it is there");
        about.permissions().mode() & 0o777
    };
    let new = desk.folder.path().join("new.ron");
    effects.write(&new, "()").expect("it can be written");
    assert_eq!(mode(&new), 0o640);
    fs::set_permissions(&new, fs::Permissions::from_mode(0o604)).expect("it is ours");
    effects.write(&new, "(format: 1)").expect("again");
    assert_eq!(mode(&new), 0o604);
    let run = std::process::Command::new(env!("CARGO_BIN_EXE_crosspatch"))
        .args(["example", "examples"])
        .current_dir(desk.folder.path())
        .status();
    assert!(run.expect("it runs").success());
    let shipped = desk.folder.path().join("examples/incident.ron");
    assert_eq!(mode(&shipped), 0o640);
}
