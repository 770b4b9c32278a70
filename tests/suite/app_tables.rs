//! The tables, typed and pasted into by what the cells are called.

use crosspatch::model::{Scenario, Unit};
use egui::{Event, Key, Modifiers};
use egui_kittest::kittest::Queryable as _;

use crate::app::{Window, click, enter, has, scenario, shipped, window};

fn tables(file_name: &str) -> Window {
    let mut window = window(shipped(file_name));
    window.key_press_modifiers(Modifiers::ALT, Key::Num6);
    window.run();
    window
}

fn unit<'a>(s: &'a Scenario, name: &str) -> &'a Unit {
    s.units
        .iter()
        .find(|u| u.name == name)
        .expect("a unit of that name")
}

fn text(window: &mut Window, text: &str) {
    window.event(Event::Text(text.to_owned()));
    window.run();
}

fn key(window: &mut Window, key: Key) {
    window.key_press(key);
    window.run();
}

fn ctrl(window: &mut Window, key: Key) {
    window.key_press_modifiers(Modifiers::COMMAND, key);
    window.run();
}

fn paste(window: &mut Window, text: &str) {
    window.event(Event::Paste(text.to_owned()));
    window.run();
}

fn says(window: &Window, part: &str) -> bool {
    window.query_all_by_label_contains(part).next().is_some()
}

#[test]
fn a_cell_is_typed_in_and_the_cursor_goes_on() {
    let mut window = tables("incident.ron");
    click(&mut window, "Engine 1, Heads: 4");
    text(&mut window, "7");
    key(&mut window, Key::Enter);
    assert_eq!(unit(scenario(&window), "Engine 1").heads, 7);
    assert!(has(&window, "Engine 1, Heads: 7"));
    // Enter went down, Tab goes right, typing replaces, and choices are taken by their beginning.
    key(&mut window, Key::Tab);
    text(&mut window, "supp");
    key(&mut window, Key::Enter);
    assert!(has(&window, "Engine 21, Role: support"));
    ctrl(&mut window, Key::Z);
    ctrl(&mut window, Key::Z);
    assert_eq!(scenario(&window), &shipped("incident.ron"));
}

#[test]
fn a_bad_cell_says_why_and_the_scenario_keeps_the_old_value() {
    let mut window = tables("incident.ron");
    click(&mut window, "Engine 1, Heads: 4");
    text(&mut window, "x4");
    key(&mut window, Key::Enter);
    assert_eq!(unit(scenario(&window), "Engine 1").heads, 4);
    assert!(window.state().document().is_saved());
    let bad = "Engine 1, Heads: x4, not taken: 'x4' is no whole number; expected one such as 4";
    assert!(has(&window, bad));
    assert!(has(&window, "1 cell to mend"));
    click(&mut window, "1 cell to mend");
    assert!(has(
        &window,
        "'x4' is no whole number; expected one such as 4"
    ));
    key(&mut window, Key::Escape);
    assert!(has(&window, "Engine 1, Heads: 4"));
    // A text is mended by typing another.
    text(&mut window, "0");
    key(&mut window, Key::Enter);
    assert!(says(
        &window,
        "Engine 1, Heads: 0, not taken: found 0; expected 1 to 100000"
    ));
    key(&mut window, Key::ArrowUp);
    text(&mut window, "2");
    key(&mut window, Key::Enter);
    assert_eq!(unit(scenario(&window), "Engine 1").heads, 2);
    assert!(!has(&window, "1 cell to mend"));
}

#[test]
fn escape_gives_up_what_is_typed() {
    let mut window = tables("incident.ron");
    click(&mut window, "Engine 1, Heads: 4");
    key(&mut window, Key::F2);
    text(&mut window, "2");
    key(&mut window, Key::Escape);
    assert!(has(&window, "Engine 1, Heads: 4"));
    assert!(window.state().document().is_saved());
    // The keyboard is with the cells again, until Escape lets go of it; a click brings it back.
    key(&mut window, Key::Escape);
    text(&mut window, "3");
    assert!(window.state().document().is_saved());
    click(&mut window, "Engine 1, Heads: 4");
    text(&mut window, "5");
    key(&mut window, Key::Enter);
    assert_eq!(unit(scenario(&window), "Engine 1").heads, 5);
}

#[test]
fn rows_are_pasted_as_one_step_after_a_look() {
    let mut window = tables("incident.ron");
    let units = scenario(&window).units.len();
    click(&mut window, "New unit, Name: empty");
    paste(
        &mut window,
        "Engine 90\tHarrow City Fire\t4\nEngine 91\tHarrow City Fire\t5\nEngine 92\t\t6\n",
    );
    assert_eq!(
        scenario(&window).units.len(),
        units,
        "nothing is done before the answer"
    );
    assert!(has(&window, "To be pasted: 3 new rows"));
    click(&mut window, "Paste them");
    assert_eq!(scenario(&window).units.len(), units + 3);
    assert_eq!(unit(scenario(&window), "Engine 92").heads, 6);
    ctrl(&mut window, Key::Z);
    assert_eq!(
        scenario(&window),
        &shipped("incident.ron"),
        "one step takes it back"
    );
}

#[test]
fn a_paste_with_bad_cells_names_them_and_offers_the_good_rows() {
    let mut window = tables("incident.ron");
    click(&mut window, "New unit, Name: empty");
    let text = "Heads\tName\n4\tEngine 90\nmany\tEngine 91\n2\tEngine 92\n";
    paste(&mut window, text);
    assert!(has(
        &window,
        "Row 2, Heads: 'many' is no whole number; expected one such as 4"
    ));
    assert!(!has(&window, "Paste them"));
    key(&mut window, Key::Enter);
    assert!(
        window.state().document().is_saved(),
        "Enter does not paste what is bad"
    );
    click(&mut window, "Give up");
    assert!(window.state().document().is_saved());
    paste(&mut window, text);
    click(&mut window, "Paste the good rows");
    let s = scenario(&window);
    assert_eq!(unit(s, "Engine 90").heads, 4);
    assert_eq!(unit(s, "Engine 92").heads, 2);
    assert!(s.units.iter().all(|u| u.name != "Engine 91"));
}

#[test]
fn a_new_row_waits_until_nothing_is_missing() {
    let mut window = tables("incident.ron");
    click(&mut window, "Table: Cables");
    let cables = scenario(&window).cables.len();
    click(&mut window, "New cable, Count: empty");
    text(&mut window, "6");
    key(&mut window, Key::Enter);
    assert_eq!(scenario(&window).cables.len(), cables);
    assert!(has(&window, "Still needed: Name"));
    click(&mut window, "New cable, Name: empty");
    text(&mut window, "K9");
    key(&mut window, Key::Tab);
    let s = scenario(&window);
    assert_eq!(s.cables.len(), cables + 1);
    let added = s.cables.iter().find(|c| c.name == "K9").expect("added");
    assert_eq!(added.count, 6);
    assert!(has(&window, "New cable, Count: empty"));
}

#[test]
fn rows_are_sorted_and_filtered_without_touching_the_file() {
    let mut window = tables("incident.ron");
    click(&mut window, "Sort by Heads");
    assert!(has(&window, "Sort by Heads, sorted upward"));
    click(&mut window, "Sort by Heads, sorted upward");
    let top = |window: &Window, label: &str| window.get_by_label(label).rect().min.y;
    assert!(top(&window, "Troopers, Heads: 6") < top(&window, "Boat 7, Heads: 3"));
    assert!(window.state().document().is_saved());
    click(&mut window, "In the order of the file");
    assert!(top(&window, "Boat 7, Heads: 3") < top(&window, "Troopers, Heads: 6"));
    enter(&mut window, "Filter rows", "engine");
    assert!(has(&window, "2 of 22 rows"));
    assert!(!has(&window, "Boat 7, Heads: 3"));
    enter(&mut window, "Filter rows", "zeppelin");
    assert!(has(&window, "No row has 'zeppelin' in it"));
}

#[test]
fn a_range_is_filled_copied_and_cleared() {
    let mut window = tables("incident.ron");
    click(&mut window, "Chief 20, Heads: 1");
    window.key_press_modifiers(Modifiers::SHIFT, Key::ArrowDown);
    window.run();
    window.key_press_modifiers(Modifiers::SHIFT, Key::ArrowDown);
    window.run();
    text(&mut window, "9");
    ctrl(&mut window, Key::Enter);
    let heads = |w: &Window, name: &str| unit(scenario(w), name).heads;
    for name in ["Chief 20", "Engine 1", "Engine 21"] {
        assert_eq!(heads(&window, name), 9, "{name}");
    }
    ctrl(&mut window, Key::Z);
    assert_eq!(
        scenario(&window),
        &shipped("incident.ron"),
        "one step takes it back"
    );
    ctrl(&mut window, Key::D);
    assert_eq!(heads(&window, "Engine 21"), 1);
    // Heads cannot be empty, so clearing leaves every one of them as it is and says so.
    key(&mut window, Key::Delete);
    assert_eq!(heads(&window, "Engine 21"), 1);
    assert!(says(&window, "3 cells cannot be empty"));
    assert!(!says(&window, "to mend"));
}

#[test]
fn rows_are_deleted_by_key_and_come_back_by_undo() {
    let mut window = tables("incident.ron");
    let units = scenario(&window).units.len();
    click(&mut window, "Engine 1, Heads: 4");
    window.key_press_modifiers(Modifiers::SHIFT, Key::ArrowDown);
    window.run();
    ctrl(&mut window, Key::Delete);
    let s = scenario(&window);
    assert_eq!(s.units.len(), units - 2);
    assert!(s.units.iter().all(|u| u.name != "Engine 1"));
    ctrl(&mut window, Key::Z);
    assert_eq!(scenario(&window), &shipped("incident.ron"));
}

#[test]
fn every_table_is_drawn_and_an_empty_one_says_what_to_do() {
    let mut window = tables("incident.ron");
    for sheet in crosspatch::sheets::SHEETS {
        click(&mut window, &format!("Table: {}", sheet.name()));
        let first = sheet.heading(0).expect("a column").title();
        assert!(
            says(&window, &format!("Sort by {first}")),
            "{}",
            sheet.name()
        );
    }
    let mut empty = window_of_nothing();
    assert!(has(
        &empty,
        "Paste rows from a spreadsheet here, or type in the first empty row"
    ));
    // Nothing has the keyboard yet, and still a paste finds the cells.
    paste(&mut empty, "Name\tHeads\nEngine 1\t4\n");
    click(&mut empty, "Paste them");
    assert_eq!(unit(scenario(&empty), "Engine 1").heads, 4);
}

fn window_of_nothing() -> Window {
    let mut window = window(Scenario::new("Nothing yet"));
    window.key_press_modifiers(Modifiers::ALT, Key::Num6);
    window.run();
    window
}

#[test]
fn the_sign_of_a_row_shows_it_in_the_details() {
    let mut window = tables("incident.ron");
    let id = unit(scenario(&window), "Heli 2").id;
    click(&mut window, "Heli 2 has a finding that stops: show it");
    assert_eq!(window.state().selection(), [id.into()]);
    assert!(window.query_all_by_value("Heli 2").next().is_some());
}

#[test]
fn alt_and_a_digit_change_the_view_and_are_never_typed() {
    let mut window = tables("incident.ron");
    click(&mut window, "Engine 1, Heads: 4");
    // The system sends the digit as text too.
    window.event(Event::Text("2".to_owned()));
    window.key_press_modifiers(Modifiers::ALT, Key::Num2);
    window.run();
    window.key_press_modifiers(Modifiers::ALT, Key::Num6);
    window.run();
    assert!(has(&window, "Engine 1, Heads: 4"), "nothing was typed");
    // While a cell is being typed in they change the view as well.
    click(&mut window, "Engine 1, Heads: 4");
    key(&mut window, Key::F2);
    assert!(
        window.query_by_label("Cell Heads").is_some(),
        "F2 edits the cell"
    );
    window.event(Event::Text("3".to_owned()));
    window.key_press_modifiers(Modifiers::ALT, Key::Num3);
    window.run();
    assert!(!has(&window, "Engine 1, Heads: 4"), "the tables are gone");
    assert_eq!(unit(scenario(&window), "Engine 1").heads, 4);
}

#[test]
fn clearing_what_cannot_be_empty_leaves_it_as_it_is() {
    let mut window = tables("incident.ron");
    let before = scenario(&window).units.clone();
    click(&mut window, "Engine 1, Name: Engine 1");
    key(&mut window, Key::Backspace);
    assert_eq!(scenario(&window).units, before);
    assert!(has(&window, "Engine 1, Name: Engine 1"), "it is shown");
    assert!(!says(&window, "to mend"));
    // What was typed and does not fit is taken back at once, in all cells.
    click(&mut window, "Engine 1, Heads: 4");
    text(&mut window, "many");
    key(&mut window, Key::Enter);
    assert!(says(&window, "1 cell to mend"));
    click(&mut window, "Take back what does not fit");
    assert!(!says(&window, "to mend"));
    assert!(has(&window, "Engine 1, Heads: 4"));
}
