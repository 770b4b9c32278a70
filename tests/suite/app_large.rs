//! A plan too large to be worked out between two frames: the window stays live, and older answers
//! stand until the new ones are there.

use crosspatch::checks;
use crosspatch::model::{Agency, AgencyId, Discipline, Edit, Level, PhaseId};
use crosspatch::picture::Picture;
use crosspatch::samples::{Size, generate};
use egui::{Key, Modifiers};
use egui_kittest::kittest::Queryable as _;

use crate::app::{Window, click, scenario, window};

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
    let agency = Agency {
        id: AgencyId(scenario(&window).mint(0)),
        key: String::new(),
        name: "Sable Creek Fire".to_owned(),
        short: "SCF".to_owned(),
        discipline: Discipline::Fire,
        level: Level::Local,
        notes: String::new(),
    };
    let state = window.state_mut();
    state.apply_edits("Add an agency", &[Edit::Add(agency.into())]);
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
