//! Laying out the board: names in place, order, alignment, collapsing.

use crosspatch::model::{Scenario, ThingId};
use egui::{Key, Modifiers, Pos2, vec2};
use egui_kittest::kittest::Queryable as _;

use crate::app::{Window, click, click_at, lesson, scenario};

fn unit_named(s: &Scenario, name: &str) -> ThingId {
    s.units
        .iter()
        .find(|u| u.name == name)
        .expect("a unit of that name")
        .id
        .into()
}

fn double_click(window: &mut Window, at: Pos2) {
    // Clicks before it are long past.
    window.run_steps(60);
    for _ in 0..2 {
        window.hover_at(at);
        window.drag_at(at);
        window.event(egui::Event::PointerButton {
            pos: at,
            button: egui::PointerButton::Primary,
            pressed: false,
            modifiers: Modifiers::NONE,
        });
    }
    window.run_ok();
    window.run_ok();
}

fn retype(window: &mut Window, text: &str) {
    window.key_press_modifiers(Modifiers::COMMAND, Key::A);
    window.run_ok();
    window.get_by_label("Name of the unit").type_text(text);
    window.run_ok();
}

#[test]
fn a_name_is_changed_in_place_as_one_step() {
    let mut window = lesson();
    let unit = unit_named(scenario(&window), "Patrol");
    window.state_mut().select(vec![unit]);
    window.run_ok();
    window.key_press(Key::F2);
    window.run_ok();
    window.run_ok();
    // The text is selected: what is typed takes its place.
    window
        .get_by_label("Name of the unit")
        .type_text("Foot Patrol");
    window.run_ok();
    window.key_press(Key::Enter);
    window.run_ok();
    window.run_ok();
    assert_eq!(scenario(&window).name(unit), "Foot Patrol");
    assert!(window.query_by_label("Name of the unit").is_none());
    assert_eq!(
        window.state().document().undo_label(),
        Some("Rename Patrol")
    );
    window.key_press_modifiers(Modifiers::COMMAND, Key::Z);
    window.run_ok();
    assert_eq!(scenario(&window).name(unit), "Patrol");
    assert!(window.state().document().is_saved());
}

#[test]
fn a_double_click_on_the_name_renames_and_on_the_body_opens_details() {
    let mut window = lesson();
    let unit = unit_named(scenario(&window), "Patrol");
    let zoom = window.get_by_label("unit Patrol").rect().width() / 240.0;
    let corner = window.get_by_label("unit Patrol").rect().left_top();
    double_click(&mut window, corner + vec2(30.0, 14.0) * zoom);
    assert!(window.query_by_label("Name of the unit").is_some());
    // Escape gives it up and changes neither name nor selection.
    retype(&mut window, "Something else");
    window.key_press(Key::Escape);
    window.run_ok();
    window.run_ok();
    assert!(window.query_by_label("Name of the unit").is_none());
    assert_eq!(scenario(&window).name(unit), "Patrol");
    assert_eq!(window.state().selection(), [unit]);
    assert!(window.state().document().is_saved());
    // Leaving the field keeps what was typed.
    double_click(&mut window, corner + vec2(30.0, 14.0) * zoom);
    retype(&mut window, "Night Patrol");
    click_at(&mut window, egui::pos2(420.0, 900.0));
    assert_eq!(scenario(&window).name(unit), "Night Patrol");
    double_click(&mut window, corner + vec2(30.0, 33.0) * zoom);
    assert!(window.query_by_label("Name of the unit").is_none());
    assert!(
        window.query_all_by_value("Night Patrol").next().is_some(),
        "the details are open"
    );
}

#[test]
fn a_refused_name_says_why_and_stays_to_be_mended() {
    let mut window = lesson();
    let unit = unit_named(scenario(&window), "Patrol");
    window.state_mut().select(vec![unit]);
    window.run_ok();
    window.key_press(Key::F2);
    window.run_ok();
    window.run_ok();
    window.key_press(Key::Delete);
    window.run_ok();
    assert!(
        window
            .query_all_by_label_contains("must be")
            .next()
            .is_some(),
        "the reason stands under the field"
    );
    window.key_press(Key::Enter);
    window.run_ok();
    assert!(window.query_by_label("Name of the unit").is_some());
    assert_eq!(scenario(&window).name(unit), "Patrol");
    click(&mut window, "channel F-CMD");
    assert_eq!(scenario(&window).name(unit), "Patrol");
    assert!(window.query_by_label("Name of the unit").is_none());
}
