//! The palette: commands and places by a few letters, and everything within reach of the keyboard.

use crosspatch::model::ThingId;
use egui::{Key, Modifiers};
use egui_kittest::kittest::{NodeT as _, Queryable as _};

use crate::app::{Window, click, lesson, scenario};

fn open(window: &mut Window) {
    window.key_press_modifiers(Modifiers::COMMAND | Modifiers::SHIFT, Key::P);
    window.run_ok();
    window.run_ok();
}

fn type_in(window: &mut Window, text: &str) {
    window.get_by_label("Command or place").type_text(text);
    window.run_ok();
    window.run_ok();
}

fn is_open(window: &Window) -> bool {
    window.query_by_label("Command or place").is_some()
}

#[test]
fn a_command_is_run_by_a_few_of_its_letters() {
    let mut window = lesson();
    open(&mut window);
    type_in(&mut window, "sel all");
    assert!(window.query_by_label("run Select all").is_some());
    window.key_press(Key::Enter);
    window.run_ok();
    assert!(!is_open(&window), "it closes when something was taken");
    let s = scenario(&window);
    let all = s.units.len() + s.channels.len() + s.gateways.len();
    assert_eq!(window.state().selection().len(), all);
    // What was taken lately comes first.
    open(&mut window);
    assert!(window.query_by_label("Lately").is_some());
    window.key_press(Key::Escape);
    window.run_ok();
    assert!(!is_open(&window));
    assert_eq!(
        window.state().selection().len(),
        all,
        "Escape closed the palette and nothing else"
    );
}

#[test]
fn a_place_and_a_phase_are_gone_to() {
    let mut window = lesson();
    open(&mut window);
    type_in(&mut window, "patrol comm");
    click(&mut window, "go to unit Patrol Command");
    let unit = scenario(&window)
        .units
        .iter()
        .find(|u| u.name == "Patrol Command")
        .unwrap()
        .id;
    assert_eq!(window.state().selection(), [ThingId::from(unit)]);
    let phases: Vec<_> = scenario(&window)
        .phases
        .iter()
        .map(|p| (p.id, p.name.clone()))
        .collect();
    let (last, name) = phases.last().unwrap().clone();
    open(&mut window);
    click(&mut window, &format!("show phase {name}"));
    assert_eq!(window.state().phase(), last);
}

#[test]
fn what_cannot_be_done_is_grey_and_says_why() {
    let mut window = lesson();
    open(&mut window);
    type_in(&mut window, "undo");
    let row = window.get_by_label("run Undo");
    assert!(row.accesskit_node().is_disabled());
    click(&mut window, "run Undo");
    assert!(is_open(&window), "nothing was taken");
    window.key_press_modifiers(Modifiers::COMMAND, Key::A);
    window.run_ok();
    type_in(&mut window, "qqqq");
    assert!(
        window
            .query_by_label("No command, phase or thing fits these letters")
            .is_some()
    );
}

#[test]
fn the_arrows_choose() {
    let mut window = lesson();
    open(&mut window);
    type_in(&mut window, "view");
    let chosen = |w: &Window| -> Vec<String> {
        w.query_all_by(|n| n.label().is_some_and(|l| l.starts_with("run ")))
            .map(|n| n.accesskit_node())
            .filter(|n| n.toggled() == Some(egui::accesskit::Toggled::True))
            .filter_map(|n| n.label())
            .collect()
    };
    let first = chosen(&window);
    assert_eq!(first.len(), 1);
    window.key_press(Key::ArrowDown);
    window.run_ok();
    let second = chosen(&window);
    assert_eq!(second.len(), 1);
    assert_ne!(first, second);
    window.key_press(Key::ArrowUp);
    window.run_ok();
    assert_eq!(chosen(&window), first);
}
