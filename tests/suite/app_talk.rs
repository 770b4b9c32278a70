//! Press and hold: a unit talks, the board shows who hears and who does not, and why.

use crosspatch::model::{Edit, Party};
use egui::{Key, Modifiers};
use egui_kittest::kittest::Queryable as _;

use crate::app::{Window, click, gateway_port, lesson, middle, scenario, window};

fn unit(window: &Window, name: &str) -> Party {
    let unit = scenario(window).units.iter().find(|u| u.name == name);
    Party::Unit(unit.expect("a unit of that name").id)
}

fn split() -> Window {
    // Patrol's port on talk group 2: tactical and command are apart.
    let s = crate::app::shipped("talk-groups.ron");
    let edit = Edit::Switch {
        phase: s.phases.first().expect("a phase").id,
        port: gateway_port(&s, 2),
        group: Some(2),
    };
    window(s.apply(&[edit]).expect("the switch exists"))
}

#[test]
fn holding_the_microphone_lets_a_unit_talk_until_it_is_let_go() {
    let mut window = lesson();
    let at = middle(&window, "let Fire Attack talk");
    window.hover_at(at);
    window.step();
    window.drag_at(at);
    window.run_steps(3);
    assert_eq!(window.state().talker(), Some(unit(&window, "Fire Attack")));
    window.run_steps(300);
    assert!(
        window
            .query_by_label_contains("Fire Attack is heard by 5 of 5")
            .is_some(),
        "the line at the top counts who hears"
    );
    window.drop_at(at);
    window.run_steps(3);
    assert_eq!(window.state().talker(), None);
}

#[test]
fn escape_ends_the_talking_though_the_button_is_still_down() {
    let mut window = lesson();
    let at = middle(&window, "let Fire Attack talk");
    window.hover_at(at);
    window.step();
    window.drag_at(at);
    window.run_steps(3);
    assert!(window.state().talker().is_some());
    window.key_press(Key::Escape);
    window.run_steps(3);
    assert_eq!(window.state().talker(), None);
    window.drop_at(at);
    window.run_steps(3);
    assert_eq!(window.state().talker(), None);
    assert!(window.state().document().is_saved());
}

#[test]
fn holding_a_card_still_lets_it_talk_too() {
    let mut window = lesson();
    let at = window.get_by_label("unit Patrol").rect().left_top() + egui::vec2(20.0, 12.0);
    window.hover_at(at);
    window.step();
    window.drag_at(at);
    window.step();
    assert_eq!(window.state().talker(), None, "not at once");
    window.run_steps(60);
    assert_eq!(window.state().talker(), Some(unit(&window, "Patrol")));
    window.drop_at(at);
    window.run_steps(3);
    assert_eq!(window.state().talker(), None);
}

#[test]
fn the_key_t_talks_while_held_and_shift_t_latches() {
    let mut window = lesson();
    click(&mut window, "unit Patrol");
    let patrol = Some(unit(&window, "Patrol"));
    window.key_down(Key::T);
    window.run_steps(2);
    assert_eq!(window.state().talker(), patrol);
    window.key_up(Key::T);
    window.run_steps(3);
    assert_eq!(window.state().talker(), None);
    window.key_press_modifiers(Modifiers::SHIFT, Key::T);
    window.run_ok();
    assert_eq!(window.state().talker(), patrol);
    click(&mut window, "End");
    assert_eq!(window.state().talker(), None);
}

#[test]
fn one_who_does_not_hear_says_why_and_the_change_is_applied_as_one_step() {
    let mut window = split();
    click(&mut window, "unit Fire Attack");
    window.key_press_modifiers(Modifiers::SHIFT, Key::T);
    window.run_ok();
    assert!(
        window
            .query_by_label_contains("Patrol does not hear")
            .is_some(),
        "the line at the top names who does not hear"
    );
    let silent = middle(&window, "unit Patrol");
    window.hover_at(silent);
    window.run_ok();
    assert!(
        window.query_by_label("Why Patrol does not hear").is_some(),
        "the reason stands beside the pointer"
    );
    click(&mut window, "unit Patrol");
    assert!(
        window
            .query_by_label("Why Patrol does not hear Fire Attack")
            .is_some()
    );
    let before = scenario(&window).clone();
    let apply = window
        .query_all_by_label_contains("Apply th")
        .next()
        .expect("a button that applies the changes")
        .rect()
        .center();
    crate::app::click_at(&mut window, apply);
    assert_ne!(*scenario(&window), before);
    assert!(
        window.query_by_label("Patrol hears Fire Attack").is_some(),
        "the card now shows the path"
    );
    window.key_press_modifiers(Modifiers::COMMAND, Key::Z);
    window.run_ok();
    assert_eq!(*scenario(&window), before, "all changes were one step");
}

#[test]
fn a_click_in_the_matrix_explains_the_pair() {
    let mut window = lesson();
    window.key_press(Key::Num3);
    window.run();
    let cell = window
        .query_all_by_label_contains("Fire Attack to Patrol: heard")
        .next()
        .expect("a cell of the matrix")
        .rect()
        .center();
    crate::app::click_at(&mut window, cell);
    assert!(window.query_by_label("Patrol hears Fire Attack").is_some());
    assert!(
        window
            .query_all_by_label_contains("Fire Attack speaks")
            .next()
            .is_some(),
        "the path begins with the speaker"
    );
    assert!(
        window
            .query_all_by_label_contains("Patrol hears it")
            .next()
            .is_some(),
        "and ends with the hearer"
    );
}
