//! Reading on the board: two who talk at once, how fast it is shown, two asked about, things out of
//! service.

use crosspatch::model::{Party, ThingId};
use egui::{Event, Key, Modifiers, PointerButton, Pos2, TouchDeviceId, TouchId, TouchPhase};
use egui_kittest::kittest::Queryable as _;

use crate::app::{Window, click, lesson, menu, middle, scenario};

fn unit(window: &Window, name: &str) -> Party {
    let unit = scenario(window).units.iter().find(|u| u.name == name);
    Party::Unit(unit.expect("a unit of that name").id)
}

fn shows(window: &Window, text: &str) -> bool {
    window.query_all_by_label_contains(text).next().is_some()
}

/// Keeps a unit talking by its key.
fn latch(window: &mut Window, name: &str) {
    click(window, &format!("unit {name}"));
    window.key_press_modifiers(Modifiers::SHIFT, Key::T);
    window.run_ok();
}

/// Puts a finger down, as a touch screen reports it.
fn finger(window: &Window, at: Pos2, phase: TouchPhase) {
    let pressed = phase == TouchPhase::Start;
    window.event(Event::Touch {
        device_id: TouchDeviceId(1),
        id: TouchId(1),
        phase,
        pos: at,
        force: None,
    });
    if pressed {
        window.event(Event::PointerMoved(at));
    }
    window.event(Event::PointerButton {
        pos: at,
        button: PointerButton::Primary,
        pressed,
        modifiers: Modifiers::NONE,
    });
    if !pressed {
        window.event(Event::PointerGone);
    }
}

#[test]
fn a_finger_held_on_a_unit_lets_it_talk_and_a_tap_selects_it() {
    let mut window = lesson();
    let at = window.get_by_label("unit Patrol").rect().left_top() + egui::vec2(20.0, 12.0);
    finger(&window, at, TouchPhase::Start);
    window.run_steps(60);
    assert_eq!(window.state().talker(), Some(unit(&window, "Patrol")));
    assert!(!shows(&window, "Show its details"), "no menu opens over it");
    finger(&window, at, TouchPhase::End);
    window.run_steps(3);
    assert_eq!(window.state().talker(), None);
    let other = window.get_by_label("unit Fire Attack").rect().left_top() + egui::vec2(20.0, 12.0);
    finger(&window, other, TouchPhase::Start);
    window.run_steps(2);
    finger(&window, other, TouchPhase::End);
    window.run_steps(3);
    let Party::Unit(attack) = unit(&window, "Fire Attack") else {
        panic!("a unit");
    };
    assert_eq!(window.state().selection(), [ThingId::from(attack)]);
}

#[test]
fn a_lesson_keeps_a_unit_talking_after_it_is_let_go() {
    let mut window = lesson();
    menu(&mut window, "Talk", "Lesson: stays talking");
    let at = middle(&window, "let Fire Attack talk");
    window.hover_at(at);
    window.step();
    window.drag_at(at);
    window.run_steps(3);
    window.drop_at(at);
    window.run_steps(3);
    let attack = Some(unit(&window, "Fire Attack"));
    assert_eq!(window.state().talker(), attack, "it goes on");
    click(&mut window, "End");
    assert_eq!(window.state().talker(), None);
}

#[test]
fn pressing_another_while_one_is_kept_talking_lets_both_talk() {
    let mut window = lesson();
    latch(&mut window, "Fire Attack");
    let at = middle(&window, "let Patrol talk");
    window.hover_at(at);
    window.step();
    window.drag_at(at);
    window.run_steps(4);
    assert_eq!(window.state().talker(), Some(unit(&window, "Fire Attack")));
    assert_eq!(
        window.state().second_talker(),
        Some(unit(&window, "Patrol"))
    );
    assert!(shows(
        &window,
        "Fire Attack and Patrol talk at the same time"
    ));
    assert!(
        shows(&window, "garbled for"),
        "what they do to each other is said"
    );
    window.drop_at(at);
    window.run_steps(3);
    assert_eq!(window.state().second_talker(), None);
    assert_eq!(window.state().talker(), Some(unit(&window, "Fire Attack")));
}

#[test]
fn in_a_lesson_the_second_one_stays_talking_too_and_a_third_takes_over() {
    let mut window = lesson();
    menu(&mut window, "Talk", "Lesson: stays talking");
    let press = |window: &mut Window, label: &str| {
        let at = middle(window, label);
        window.hover_at(at);
        window.step();
        window.drag_at(at);
        window.run_steps(4);
        window.drop_at(at);
        window.run_steps(3);
    };
    press(&mut window, "let Fire Attack talk");
    press(&mut window, "let Patrol talk");
    let (attack, patrol) = (unit(&window, "Fire Attack"), unit(&window, "Patrol"));
    assert_eq!(window.state().talker(), Some(attack));
    assert_eq!(
        window.state().second_talker(),
        Some(patrol),
        "let go, and on"
    );
    press(&mut window, "let Fire Command talk");
    let command = unit(&window, "Fire Command");
    assert_eq!(window.state().talker(), Some(attack));
    assert_eq!(window.state().second_talker(), Some(command));
}

#[test]
fn the_side_panel_keeps_its_width_with_who_hears_whom() {
    let mut window = crate::app::window(crate::app::shipped("incident.ron"));
    window.run_ok();
    let edge = |window: &Window| window.get_by_label("Findings").rect().min.x;
    let before = edge(&window);
    window.key_press(Key::Num3);
    window.run_ok();
    assert!((edge(&window) - before).abs() < 0.5, "the tabs stay put");
    for words in [
        "needed and not heard",
        "a column hears; click a cell for the reason",
    ] {
        let rect = window.get_by_label(words).rect();
        assert!(rect.max.x <= 1600.0, "{words} ends at {}", rect.max.x);
    }
}

#[test]
fn the_key_lets_a_second_one_talk_too() {
    let mut window = lesson();
    latch(&mut window, "Fire Attack");
    let patrol = unit(&window, "Patrol");
    window.state_mut().select(vec![patrol.into()]);
    window.key_down(Key::T);
    window.run_steps(3);
    assert_eq!(window.state().second_talker(), Some(patrol));
    window.key_up(Key::T);
    window.run_steps(3);
    assert_eq!(window.state().second_talker(), None);
    window.key_press(Key::Escape);
    window.run_ok();
    assert_eq!(window.state().talker(), None);
}

#[test]
fn a_slower_talk_takes_longer_to_arrive() {
    let mut window = lesson();
    latch(&mut window, "Fire Attack");
    window.run_steps(120);
    for _ in 0..4 {
        window.key_press(Key::Comma);
        window.run_steps(2);
    }
    assert!(window.query_by_label("1/20").is_some());
    window.key_press(Key::Period);
    window.run_steps(2);
    assert!(window.query_by_label("1/10").is_some());
    assert!(window.query_all_by_label("Speed").next().is_some());
}

fn split() -> Window {
    // Patrol's port on talk group 2: tactical and command are apart.
    let s = crate::app::shipped("talk-groups.ron");
    let edit = crosspatch::model::Edit::Switch {
        phase: s.phases.first().expect("a phase").id,
        port: crate::app::gateway_port(&s, 2),
        group: Some(2),
    };
    crate::app::window(s.apply(&[edit]).expect("the switch exists"))
}

#[test]
fn two_are_asked_about_by_key_and_click_and_the_change_is_applied_from_the_card() {
    let mut window = split();
    click(&mut window, "unit Fire Attack");
    window.key_press(Key::W);
    window.run_ok();
    assert!(shows(&window, "Click who should hear Fire Attack"));
    click(&mut window, "unit Patrol");
    assert!(shows(&window, "Why Patrol does not hear Fire Attack"));
    assert!(!shows(&window, "Click who should hear"));
    let apply = window
        .query_all_by_label_contains("Apply th")
        .next()
        .expect("a button that applies the changes")
        .rect()
        .center();
    crate::app::click_at(&mut window, apply);
    assert!(window.query_by_label("Patrol hears Fire Attack").is_some());
}

#[test]
fn two_that_are_selected_are_asked_about_at_once() {
    let mut window = split();
    let both = [unit(&window, "Fire Attack"), unit(&window, "Patrol")];
    window
        .state_mut()
        .select(both.iter().map(|p| ThingId::from(*p)).collect());
    window.run_ok();
    window.key_press(Key::W);
    window.run_ok();
    assert!(
        window
            .query_all_by_label_contains("Why ")
            .any(|node| format!("{node:?}").contains("does not hear")),
        "the card says why"
    );
}

#[test]
fn a_gateway_out_of_service_shows_who_loses_whom_and_is_put_back() {
    let mut window = lesson();
    let gateway = scenario(&window).gateways.first().unwrap().clone();
    window.state_mut().select(vec![gateway.id.into()]);
    window.run_ok();
    let before = scenario(&window).clone();
    let hearing = crosspatch::hearing::Hearing::derive(&before, window.state().phase());
    let lost = crosspatch::picture::what_if::without(
        &before,
        &hearing,
        window.state().phase(),
        &[crosspatch::hearing::Item::Thing(gateway.id.into())],
    );
    assert!(lost.pairs.len() > 1);
    window.key_press(Key::O);
    window.run_ok();
    let words = format!("Without {}: {} pairs", gateway.name, lost.pairs.len());
    assert!(shows(&window, &words), "{words}");
    assert_eq!(*scenario(&window), before, "the plan stays as it is");
    assert!(window.state().document().is_saved());
    click(&mut window, "Who loses whom");
    assert!(shows(&window, "no longer hear"));
    click(&mut window, "Put it back");
    assert!(window.state().items_out().is_empty());
    assert!(!shows(&window, &words));
}

#[test]
fn several_are_out_of_service_at_once_and_survive_edits_while_they_exist() {
    let mut window = lesson();
    let channels: Vec<ThingId> = scenario(&window)
        .channels
        .ids()
        .map(ThingId::from)
        .collect();
    window.state_mut().select(channels[..2].to_vec());
    window.run_ok();
    window.key_press(Key::O);
    window.run_ok();
    assert_eq!(window.state().items_out().len(), 2);
    menu(&mut window, "Add", "Unit");
    assert_eq!(
        window.state().items_out().len(),
        2,
        "an edit leaves them out"
    );
    window.state_mut().select(vec![channels[0]]);
    window.run_ok();
    window.key_press(Key::Delete);
    window.run_ok();
    assert_eq!(window.state().items_out().len(), 1, "one is gone for good");
    menu(&mut window, "View", "Put everything back");
    assert!(window.state().items_out().is_empty());
}
