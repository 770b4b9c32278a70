//! The menu bar: one click opens a menu whatever else is open, pointing and arrow keys go from one to the next.

use egui::Key;
use egui_kittest::kittest::Queryable as _;

use crate::app::{Window, click, click_at, has, lesson, middle};

/// Something that stands in one menu only.
const IN_FILE: &str = "Save as…";

fn shows(window: &Window, words: &str) -> bool {
    window.query_all_by_label_contains(words).next().is_some()
}

fn point(window: &mut Window, label: &str) {
    let at = middle(window, label);
    window.hover_at(at);
    for _ in 0..4 {
        window.step();
    }
}

fn file_is_open(window: &Window) -> bool {
    shows(window, IN_FILE)
}

fn edit_is_open(window: &Window) -> bool {
    shows(window, "Select nothing")
}

#[test]
fn one_click_opens_another_menu() {
    let mut window = lesson();
    click(&mut window, "File");
    assert!(file_is_open(&window) && !edit_is_open(&window));
    // As slow as a person: the pointer comes to rest on the name before it is pressed.
    point(&mut window, "Edit");
    let at = middle(&window, "Edit");
    click_at(&mut window, at);
    assert!(edit_is_open(&window) && !file_is_open(&window));
    click_at(&mut window, at);
    assert!(!edit_is_open(&window), "a second click closes it");
    // As quick as can be: the pointer comes and presses at once.
    click(&mut window, "File");
    click(&mut window, "Edit");
    assert!(edit_is_open(&window) && !file_is_open(&window));
}

#[test]
fn pointing_goes_from_menu_to_menu_once_one_is_open() {
    let mut window = lesson();
    point(&mut window, "Edit");
    assert!(!edit_is_open(&window), "pointing alone opens none");
    click(&mut window, "File");
    point(&mut window, "Edit");
    assert!(edit_is_open(&window) && !file_is_open(&window));
    window.key_press(Key::Escape);
    window.run_ok();
    assert!(!edit_is_open(&window) && !file_is_open(&window));
}

#[test]
fn arrow_keys_go_from_menu_to_menu_and_leave_further_menus_their_own() {
    let mut window = lesson();
    click(&mut window, "File");
    let press = |window: &mut Window, key| {
        window.key_press(key);
        for _ in 0..4 {
            window.step();
        }
    };
    press(&mut window, Key::ArrowRight);
    assert!(edit_is_open(&window) && !file_is_open(&window));
    press(&mut window, Key::ArrowDown);
    press(&mut window, Key::ArrowLeft);
    assert!(file_is_open(&window) && !edit_is_open(&window));
    press(&mut window, Key::ArrowLeft);
    assert!(
        has(&window, "Handbook of checks"),
        "before the first comes the last"
    );
    press(&mut window, Key::ArrowRight);
    assert!(file_is_open(&window));
    window.get_by_label_contains("Shipped scenarios").focus();
    window.step();
    window.step();
    press(&mut window, Key::ArrowRight);
    assert!(file_is_open(&window), "the key opens the further menu");
    assert!(!edit_is_open(&window));
}

#[test]
fn f10_opens_the_first_menu() {
    let mut window = lesson();
    window.key_press(Key::F10);
    for _ in 0..4 {
        window.step();
    }
    assert!(file_is_open(&window));
    window.key_press(Key::ArrowRight);
    for _ in 0..4 {
        window.step();
    }
    assert!(edit_is_open(&window));
}
