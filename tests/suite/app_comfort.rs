//! What makes the window pleasant to use all day: colours, sizes, a memory, a way back, recovery after
//! a crash, a file that changed outside, help and a tour.

use std::fs;
use std::path::Path;

use crosspatch::app::{Application, Effects, install_theme};
use crosspatch::format::{Syntax, read, write};
use crosspatch::model::Scenario;
use crosspatch::samples::{Size, generate};
use egui::{Context, Key, Modifiers};
use egui_kittest::Harness;
use egui_kittest::kittest::Queryable as _;
use tempfile::TempDir;

use crate::app::{FakeChooser, Window, click, has, lesson, menu, scenario, shipped, window_with};

fn effects(folder: &Path) -> Effects {
    let chooser = Box::new(FakeChooser::default());
    Effects::with(chooser, Some(folder.join("state")), || {
        "2031-05-04".to_owned()
    })
}

/// Starts the window as the program does, with what a folder remembers.
fn start(folder: &Path, file: Option<&Path>) -> Window {
    let app = Application::at_start(&Context::default(), file, effects(folder), false);
    let mut window = Harness::builder()
        .with_size(egui::vec2(1600.0, 1000.0))
        .with_step_dt(1.0 / 20.0)
        .with_max_steps(90)
        .with_context_setup(install_theme)
        .build_ui_state(|ui, app: &mut Application| app.show(ui), app);
    window.run_ok();
    window
}

/// Lets seconds of the window's clock go by.
fn wait(window: &mut Window, seconds: f32) {
    for _ in 0..(seconds * 60.0) as usize {
        window.step();
    }
}

fn folder() -> TempDir {
    tempfile::tempdir().expect("a temporary folder")
}

/// Writes a scenario; its things have other numbers after reading, but the same words.
fn text(scenario: &Scenario) -> String {
    write(scenario, Syntax::Ron)
}

#[test]
fn every_set_of_colours_can_be_chosen_and_is_remembered() {
    let folder = folder();
    for (name, next) in [
        ("Dark", "Colours: dark, next sunlight"),
        ("Sunlight", "Colours: sunlight, next night"),
        ("Night", "Colours: night, next light"),
        ("Light", "Colours: light, next dark"),
    ] {
        let mut window = window_with(shipped("talk-groups.ron"), effects(folder.path()), false);
        click(&mut window, "Look");
        click(&mut window, name);
        assert!(has(&window, next), "{next}");
        wait(&mut window, 2.0);
        let window = window_with(shipped("talk-groups.ron"), effects(folder.path()), false);
        assert!(has(&window, next), "remembered: {next}");
    }
}

#[test]
fn letters_grow_and_come_back_to_their_usual_size() {
    let mut window = lesson();
    let usual = window.ctx.zoom_factor();
    window.key_press_modifiers(Modifiers::COMMAND, Key::Plus);
    window.run_ok();
    window.run_ok();
    assert!((window.ctx.zoom_factor() - usual * 1.1).abs() < 1e-3);
    window.key_press_modifiers(Modifiers::COMMAND, Key::Num0);
    window.run_ok();
    window.run_ok();
    assert!((window.ctx.zoom_factor() - usual).abs() < 1e-6);
}

#[test]
fn larger_controls_are_large_enough_for_a_finger() {
    let mut window = lesson();
    menu(&mut window, "Look", "Larger controls");
    window.run_ok();
    // WCAG 2.2, success criterion 2.5.5 (enhanced): targets of at least 44 by 44 points.
    let size = window.ctx.global_style().spacing.interact_size;
    assert!(size.x >= 44.0 && size.y >= 44.0, "{size}");
}

#[test]
fn panels_and_views_are_remembered() {
    let folder = folder();
    let mut window = window_with(shipped("talk-groups.ron"), effects(folder.path()), false);
    window.key_press_modifiers(Modifiers::COMMAND, Key::Num1);
    window.key_press_modifiers(Modifiers::ALT, Key::Num3);
    window.key_press(Key::Num4);
    window.run_ok();
    wait(&mut window, 2.0);
    let window = window_with(shipped("talk-groups.ron"), effects(folder.path()), false);
    assert!(!has(&window, "add unit"), "the shelf stays hidden");
    assert!(
        has(&window, "Board beside this view"),
        "the view is no board"
    );
}

#[test]
fn a_step_is_told_and_can_be_taken_back_there() {
    let mut window = lesson();
    let before = scenario(&window).clone();
    menu(&mut window, "Add", "Agency");
    assert!(has(&window, "Done: Add agency"));
    click(&mut window, "Take back: Done: Add agency");
    assert_eq!(scenario(&window).agencies, before.agencies);
    assert!(!has(&window, "Take back: Done: Add agency"));
}

#[test]
fn what_was_not_saved_is_offered_after_a_crash() {
    let folder = folder();
    let file = folder.path().join("plan.ron");
    let original = shipped("talk-groups.ron");
    fs::write(&file, write(&original, Syntax::Ron)).unwrap();

    let mut window = start(folder.path(), Some(&file));
    menu(&mut window, "Add", "Agency");
    let edited = scenario(&window).clone();
    wait(&mut window, 4.0);
    // While the window lives its recovery file is its own.
    let other = start(folder.path(), Some(&file));
    assert!(!has(&other, "Not saved the last time"));
    drop(other);
    // The window is gone without a word; the file is as it was.
    drop(window);
    let on_disk = read(&fs::read_to_string(&file).unwrap(), Syntax::Ron).unwrap();
    assert_eq!(on_disk, original);

    let mut window = start(folder.path(), None);
    assert!(has(&window, "Not saved the last time"));
    let label = format!("Open what was kept of {}", original.header.title);
    click(&mut window, &label);
    assert_eq!(text(scenario(&window)), text(&edited));
    assert!(!window.state().document().is_saved());
    assert!(window.state().title().starts_with("plan.ron (edited)"));
    // Saved, nothing is left to be offered.
    window.key_press_modifiers(Modifiers::COMMAND, Key::S);
    window.run_ok();
    wait(&mut window, 1.0);
    drop(window);
    let on_disk = read(&fs::read_to_string(&file).unwrap(), Syntax::Ron).unwrap();
    assert_eq!(text(&on_disk), text(&edited));
    assert!(!has(&start(folder.path(), None), "Not saved the last time"));
}

#[test]
fn a_recovery_file_that_cannot_be_read_is_kept() {
    let folder = folder();
    let recovery = folder.path().join("state/recovery");
    fs::create_dir_all(&recovery).unwrap();
    let broken = recovery.join("plan-1-0.ron");
    fs::write(&broken, "(format: 1, title: \"Half a pl").unwrap();
    let mut window = start(folder.path(), None);
    click(&mut window, "Open what was kept of A plan without a title");
    assert!(window.query_by_label_contains("was not opened").is_some());
    assert!(broken.exists());
    click(&mut window, "Close");
    drop(window);
    let mut window = start(folder.path(), None);
    click(
        &mut window,
        "Throw away what was kept of A plan without a title",
    );
    assert!(!broken.exists() && !has(&window, "Not saved the last time"));
}

#[test]
fn a_file_that_changed_outside_is_asked_about() {
    let folder = folder();
    let file = folder.path().join("plan.ron");
    let mine = shipped("talk-groups.ron");
    let theirs = shipped("incident.ron");
    fs::write(&file, write(&mine, Syntax::Ron)).unwrap();
    let mut window = start(folder.path(), Some(&file));
    wait(&mut window, 3.0);
    assert!(!has(&window, "The file was changed outside"));

    fs::write(&file, write(&theirs, Syntax::Ron)).unwrap();
    wait(&mut window, 3.0);
    assert!(has(&window, "The file was changed outside"));
    click(&mut window, "Keep what is here");
    assert_eq!(*scenario(&window), mine);
    assert!(!window.state().document().is_saved());

    // Changed once more; now saving asks before it writes over it.
    let mut third = write(&theirs, Syntax::Ron);
    third.push('\n');
    fs::write(&file, &third).unwrap();
    window.key_press_modifiers(Modifiers::COMMAND, Key::S);
    window.run_ok();
    assert!(has(&window, "The file was changed outside"));
    assert_eq!(fs::read_to_string(&file).unwrap(), third);
    click(&mut window, "Read it again");
    assert_eq!(*scenario(&window), theirs);
}

#[test]
fn a_file_that_is_gone_leaves_the_plan_unsaved() {
    let folder = folder();
    let file = folder.path().join("plan.ron");
    fs::write(&file, text(&shipped("talk-groups.ron"))).unwrap();
    let mut window = start(folder.path(), Some(&file));
    assert!(window.state().document().is_saved());
    fs::remove_file(&file).unwrap();
    wait(&mut window, 3.0);
    assert!(!window.state().document().is_saved());
    window.key_press_modifiers(Modifiers::COMMAND, Key::S);
    window.run_ok();
    assert!(file.exists() && window.state().document().is_saved());
}

#[test]
fn a_file_changed_since_a_crash_is_asked_about_before_it_is_written_over() {
    let folder = folder();
    let file = folder.path().join("plan.ron");
    fs::write(&file, text(&shipped("talk-groups.ron"))).unwrap();
    let mut window = start(folder.path(), Some(&file));
    menu(&mut window, "Add", "Agency");
    wait(&mut window, 4.0);
    drop(window);
    let theirs = text(&shipped("incident.ron"));
    fs::write(&file, &theirs).unwrap();
    let mut window = start(folder.path(), None);
    click(&mut window, "Open what was kept of Talk groups");
    window.key_press_modifiers(Modifiers::COMMAND, Key::S);
    window.run_ok();
    assert!(has(&window, "The file was changed outside"));
    assert_eq!(fs::read_to_string(&file).unwrap(), theirs);
}

#[test]
fn things_out_of_service_are_told_in_every_view_and_block_what_follows_from_the_gap() {
    let mut window = lesson();
    let radio = scenario(&window).radios.first().expect("a radio").id;
    window.state_mut().select(vec![radio.into()]);
    window.key_press(Key::O);
    window.key_press_modifiers(Modifiers::ALT, Key::Num2);
    window.run_ok();
    assert!(has(&window, "1 thing out of service"));
    click(&mut window, "Put back what is out of service");
    assert!(!has(&window, "1 thing out of service"));
    assert!(window.state().items_out().is_empty());
}

#[test]
fn the_tour_is_shown_once_and_can_be_ended() {
    let folder = folder();
    let mut window = start(folder.path(), None);
    assert!(has(&window, "1 of 8"));
    for stop in 2..=8 {
        click(&mut window, "Next stop");
        assert!(has(&window, &format!("{stop} of 8")));
    }
    click(&mut window, "Begin");
    assert!(!has(&window, "8 of 8"));
    wait(&mut window, 2.0);
    drop(window);
    let mut window = start(folder.path(), None);
    assert!(!has(&window, "1 of 8"));
    menu(&mut window, "Help", "Tour");
    assert!(has(&window, "1 of 8"));
    window.key_press(Key::Escape);
    window.run_ok();
    assert!(!has(&window, "1 of 8"));
}

#[test]
fn the_tour_ends_with_the_plan_it_speaks_of() {
    let folder = folder();
    let mut window = start(folder.path(), None);
    assert!(has(&window, "1 of 8"));
    window.key_press_modifiers(Modifiers::COMMAND, Key::N);
    window.run_ok();
    assert!(scenario(&window).units.is_empty());
    assert!(!has(&window, "1 of 8"));
}

#[test]
fn a_folder_that_cannot_be_kept_in_is_told() {
    let folder = folder();
    std::fs::write(folder.path().join("state"), "in the way").unwrap();
    let window = start(folder.path(), None);
    let words = "Nothing is kept for recovery";
    assert!(window.query_by_label_contains(words).is_some());
}

#[test]
fn help_opens_at_what_is_selected() {
    let mut window = lesson();
    let unit = scenario(&window).units.first().expect("a unit").id;
    window.state_mut().select(vec![unit.into()]);
    window.key_press(Key::F1);
    window.run_ok();
    assert!(
        window
            .query_by_label_contains("People who share one radio habit")
            .is_some()
    );
    click(&mut window, "Keys");
    assert!(has(&window, "Takes the last change back"));
    click(&mut window, "Close");
    window.state_mut().select(Vec::new());
    window.key_press_modifiers(Modifiers::ALT, Key::Num4);
    window.key_press(Key::F1);
    window.run_ok();
    assert!(
        window
            .query_by_label_contains("Each gateway with its talk groups as lanes")
            .is_some()
    );
}

#[test]
fn a_long_file_is_read_on_a_thread_and_reading_can_be_stopped() {
    let folder = folder();
    let file = folder.path().join("large.ron");
    let large = text(&generate(Size::for_units(700), 7));
    assert!(large.len() > 400_000, "long enough for a thread");
    fs::write(&file, &large).unwrap();
    let units = |window: &Window| scenario(window).units.len();
    let mut window = start(folder.path(), Some(&file));
    for _ in 0..2_000 {
        if units(&window) == 700 {
            break;
        }
        window.step();
        std::thread::sleep(std::time::Duration::from_millis(5));
    }
    assert_eq!(units(&window), 700, "it was opened at last");
    assert_eq!(text(scenario(&window)), large);
    drop(window);

    // The dialog stands for the work: closed, nobody wants it any more.
    let mut app = Application::new(shipped("talk-groups.ron"), effects(folder.path()), false);
    app.open(&Context::default(), &file);
    let mut window = Harness::builder()
        .with_max_steps(90)
        .with_size(egui::vec2(1600.0, 1000.0))
        .with_context_setup(install_theme)
        .build_ui_state(|ui, app: &mut Application| app.show(ui), app);
    if has(&window, "Opening large.ron") {
        click(&mut window, "Stop");
        for _ in 0..200 {
            window.step();
            std::thread::sleep(std::time::Duration::from_millis(5));
        }
        assert!(units(&window) != 700, "it was stopped");
    } else {
        assert_eq!(units(&window), 700, "read before one could stop it");
    }
}
