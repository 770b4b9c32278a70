//! A plan too large to be worked out between two frames: the window stays live, and older answers
//! stand until the new ones are there.

use crosspatch::app::Effects;
use crosspatch::checks;
use crosspatch::format::{Syntax, write};
use crosspatch::hearing::why_not::why_not;
use crosspatch::hearing::{Hearing, Item};
use crosspatch::model::{Agency, AgencyId, Discipline, Edit, Level, PhaseId, ThingId};
use crosspatch::picture::{Picture, what_if};
use crosspatch::samples::{Size, generate};
use egui::{Key, Modifiers};
use egui_kittest::kittest::Queryable as _;

use crate::app::{FakeChooser, Window, click, scenario, window, window_with};

/// Draws frames until the thread has answered.
fn wait(window: &mut Window) {
    for _ in 0..2_000 {
        window.step();
        if window.state().is_worked_out() {
            return;
        }
        std::thread::sleep(std::time::Duration::from_millis(5));
    }
    panic!("no answer came");
}

fn fresh(window: &Window, phase: PhaseId) -> checks::Findings {
    let scenario = std::sync::Arc::clone(window.state().document().scenario());
    checks::run_all(&Picture::new(scenario, phase)).open
}

#[test]
fn findings_of_a_large_plan_come_from_a_thread_and_are_the_same() {
    let mut window = window(generate(Size::for_units(2_050), 3));
    wait(&mut window);
    let phase = window.state().phase();
    assert_eq!(*window.state().findings(), fresh(&window, phase));

    // Two edits in a row: the answer is that of the last.
    let agencies = scenario(&window).agencies.len();
    for _ in 0..2 {
        click(&mut window, "Add");
        let at = window
            .get_all_by_label("Agency")
            .next()
            .expect("the menu has the entry")
            .rect()
            .center();
        crate::app::click_at(&mut window, at);
    }
    assert_eq!(scenario(&window).agencies.len(), agencies + 2, "at once");
    wait(&mut window);
    assert_eq!(*window.state().findings(), fresh(&window, phase));
}

#[test]
fn work_can_be_stopped_and_taken_up_again() {
    let mut window = window(generate(Size::for_units(2_050), 3));
    wait(&mut window);
    let agency = named(scenario(&window).mint(0), "Sable Creek Fire");
    let state = window.state_mut();
    state.apply_edits("Add an agency", &[agency]);
    window.step();
    assert!(!window.state().is_worked_out());
    window.state_mut().stop_working();
    for _ in 0..400 {
        window.step();
        if window.query_by_label("Work them out").is_some() {
            break;
        }
        std::thread::sleep(std::time::Duration::from_millis(5));
    }
    assert!(!window.state().is_worked_out());
    click(&mut window, "Work them out");
    wait(&mut window);
    let phase = window.state().phase();
    assert_eq!(*window.state().findings(), fresh(&window, phase));
    // And the step can be undone as any other.
    window.key_press_modifiers(Modifiers::COMMAND, Key::Z);
    wait(&mut window);
    assert_eq!(*window.state().findings(), fresh(&window, phase));
}

/// Draws frames until no thread is out for anything.
fn settle(window: &mut Window) {
    for _ in 0..4_000 {
        window.step();
        if window.state().is_worked_out() && !window.state().is_busy() {
            window.step();
            return;
        }
        std::thread::sleep(std::time::Duration::from_millis(5));
    }
    panic!("no end came");
}

fn named(id: u32, name: &str) -> Edit {
    Edit::Add(
        Agency {
            id: AgencyId(id),
            key: String::new(),
            name: name.to_owned(),
            short: String::new(),
            discipline: Discipline::Fire,
            level: Level::Local,
            notes: String::new(),
        }
        .into(),
    )
}

#[test]
fn a_large_plan_is_saved_as_it_was_when_it_was_asked_for() {
    let folder = tempfile::tempdir().expect("a temporary folder");
    let path = folder.path().join("large.ron");
    let chooser = FakeChooser::default();
    let effects = Effects::with(
        Box::new(chooser.clone()),
        Some(folder.path().join("state")),
        || "2031-05-04".to_owned(),
    );
    let mut window = window_with(generate(Size::for_units(2_050), 3), effects, false);
    settle(&mut window);
    let id = scenario(&window).mint(0);
    window
        .state_mut()
        .apply_edits("Add", &[named(id, "Sable Creek Fire")]);
    settle(&mut window);
    let asked_for = std::sync::Arc::clone(window.state().document().scenario());
    chooser.will_choose(&path);
    window.key_press_modifiers(Modifiers::COMMAND, Key::S);
    // The thread may be through or not: what is changed now is not in the file.
    window.step();
    window
        .state_mut()
        .apply_edits("Add", &[named(id + 1, "Dun Hollow Fire")]);
    settle(&mut window);
    let text = std::fs::read_to_string(&path).expect("it was saved");
    assert_eq!(text, write(&asked_for, Syntax::Ron));
    assert!(!window.state().document().is_saved());
    assert!(window.state().title().starts_with("large.ron (edited)"));
    // Saved twice in a row, the last state is in the file.
    window.key_press_modifiers(Modifiers::COMMAND, Key::S);
    window.step();
    window
        .state_mut()
        .apply_edits("Add", &[named(id + 2, "Tarn Valley Fire")]);
    window.key_press_modifiers(Modifiers::COMMAND, Key::S);
    settle(&mut window);
    assert!(window.state().document().is_saved());
    let text = std::fs::read_to_string(&path).expect("it was saved");
    assert_eq!(text, write(scenario(&window), Syntax::Ron));
    assert!(text.contains("Tarn Valley Fire"));
}

#[test]
fn questions_about_a_large_plan_are_answered_by_a_thread() {
    let mut window = window(generate(Size::for_units(2_050), 3));
    settle(&mut window);
    let plan = scenario(&window).clone();
    let phase = window.state().phase();
    let hearing = Hearing::derive(&plan, phase);
    let parties = hearing.parties();
    let pair = parties.iter().skip(1).find_map(|to| {
        let from = *parties.first()?;
        hearing.arrival(from, *to).is_none().then_some((from, *to))
    });
    let (from, to) = pair.expect("not everybody hears the first");

    // Why one does not hear another.
    window.state_mut().select(vec![from.into(), to.into()]);
    window.key_press(Key::W);
    settle(&mut window);
    let why = why_not(&plan, phase, from, to);
    let change = why.changes.first().expect("something can be changed");
    let words = format!("1. {}", change.title);
    assert!(window.query_by_label(&words).is_some(), "{words}");

    // Without something.
    let mut heard = parties.iter().filter(|from| {
        let mut others = parties.iter().filter(|to| to != from);
        others.any(|to| hearing.arrival(**from, *to).is_some())
    });
    let item = heard
        .next()
        .map(|p| ThingId::from(*p))
        .expect("somebody is heard");
    window.state_mut().select(vec![item]);
    window.key_press(Key::O);
    settle(&mut window);
    assert_eq!(window.state().items_out(), [Item::Thing(item)]);
    let lost = what_if::without(&plan, &hearing, phase, &[Item::Thing(item)]);
    assert_eq!(window.state().lost(), Some(&lost));
    window.key_press_modifiers(Modifiers::SHIFT, Key::O);
    settle(&mut window);
    assert_eq!(window.state().lost(), None);
}
