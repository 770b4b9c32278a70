//! Typing what to add: preview, completions, Enter for one after the other, Escape.

use egui::Key;
use egui_kittest::kittest::Queryable as _;

use crate::app::{Window, click, lesson, scenario};

const FIELD: &str = "Type to add";

fn opened() -> Window {
    let mut window = lesson();
    window.key_press(Key::A);
    window.run_ok();
    window.run_ok();
    assert!(window.query_by_label(FIELD).is_some(), "A opens the field");
    window
}

fn say(window: &mut Window, text: &str) {
    window.get_by_label(FIELD).type_text(text);
    window.run_ok();
}

#[test]
fn a_sentence_is_shown_before_enter_adds_it_and_the_field_stays_for_the_next() {
    let mut window = opened();
    let before = scenario(&window).units.len();
    say(&mut window, "military 12 VHF");
    let preview = "Adds agency Military with one unit of 12, each with a VHF portable";
    assert!(window.query_by_label(preview).is_some());
    assert_eq!(
        scenario(&window).units.len(),
        before,
        "typing alone adds nothing"
    );
    window.key_press(Key::Enter);
    window.run_ok();
    let s = scenario(&window);
    assert_eq!(s.units.len(), before + 1);
    let unit = s.units.iter().last().unwrap();
    assert_eq!((unit.heads, unit.name.as_str()), (12, "Platoon 1"));
    assert!(window.state().selection().contains(&unit.id.into()));
    window.run_ok();
    say(&mut window, "military 12 VHF");
    assert!(
        window
            .query_by_label("Adds to agency Military one unit of 12, each with a VHF portable")
            .is_some()
    );
    window.key_press(Key::Enter);
    window.run_ok();
    assert_eq!(scenario(&window).units.len(), before + 2);
    window.key_press(Key::Escape);
    window.run_ok();
    assert!(window.query_by_label(FIELD).is_none(), "Escape closes it");
}

#[test]
fn what_is_not_understood_adds_nothing_and_says_why() {
    let mut window = opened();
    let before = scenario(&window).clone();
    say(&mut window, "blorb");
    assert!(
        window
            .query_by_label_contains("Does not know \"blorb\"")
            .is_some()
    );
    window.key_press(Key::Enter);
    window.run_ok();
    assert_eq!(*scenario(&window), before);
    assert!(window.query_by_label(FIELD).is_some());
}

#[test]
fn a_completion_is_taken_by_tab_by_arrows_and_by_click() {
    let mut window = opened();
    say(&mut window, "vtac1");
    window.key_press(Key::Tab);
    window.run_ok();
    window.run_ok();
    assert!(
        window
            .query_by_label_contains("Adds channel VTAC11 of")
            .is_some()
    );
    window.key_press(Key::Enter);
    window.run_ok();
    let has =
        |window: &Window, name: &str| scenario(window).channels.iter().any(|c| c.name == name);
    assert!(has(&window, "VTAC11"));
    window.run_ok();
    say(&mut window, "vfire2");
    window.key_press(Key::ArrowDown);
    window.run_ok();
    window.key_press(Key::ArrowDown);
    window.run_ok();
    window.key_press(Key::Enter);
    window.run_ok();
    window.run_ok();
    window.key_press(Key::Enter);
    window.run_ok();
    assert!(has(&window, "VFIRE22"), "the second completion");
    click(&mut window, "Close the field");
    assert!(window.query_by_label(FIELD).is_none());
}

#[test]
fn one_step_of_undo_takes_a_sentence_back() {
    let mut window = opened();
    let before = scenario(&window).clone();
    say(&mut window, "air rescue 3 on VTAC12");
    window.key_press(Key::Enter);
    window.run_ok();
    assert_ne!(*scenario(&window), before);
    window.key_press(Key::Escape);
    window.run_ok();
    window.key_press_modifiers(egui::Modifiers::COMMAND, Key::Z);
    window.run_ok();
    assert_eq!(scenario(&window).units.len(), before.units.len());
    assert_eq!(scenario(&window).channels.len(), before.channels.len());
}

#[test]
fn what_is_typed_right_after_the_key_is_not_lost() {
    let mut window = lesson();
    window.key_press(Key::A);
    window.step();
    for letter in "police 2".chars() {
        window.event(egui::Event::Text(letter.to_string()));
        window.step();
    }
    window.run_ok();
    let typed = window.get_by_label(FIELD).value();
    assert_eq!(typed.as_deref(), Some("police 2"), "nothing was lost");
}
