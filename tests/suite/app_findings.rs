//! The list of findings: filtered, grouped, walked by keys, put aside until a later phase.

use egui::{Key, Modifiers};
use egui_kittest::kittest::Queryable as _;

use crate::app::{Window, click, enter, menu, scenario, shipped, window};

fn shows(window: &Window, text: &str) -> bool {
    window.query_all_by_label_contains(text).next().is_some()
}

fn incident() -> Window {
    window(shipped("incident.ron"))
}

#[test]
fn text_filters_the_list_and_the_filter_is_cleared() {
    let mut window = incident();
    let all = window.state().findings().len();
    let first = window.state().findings().first().cloned().unwrap();
    enter(
        &mut window,
        "Text in findings",
        "no finding has these words",
    );
    assert!(shows(&window, "No finding passes the filter"));
    assert!(shows(&window, &format!("0 of {all} shown")));
    click(&mut window, "Show all findings");
    assert!(shows(&window, &format!("Why: {}", first.headline)));
    let code = first.code.to_lowercase();
    enter(&mut window, "Text in findings", &code);
    let kept = window
        .state()
        .findings()
        .iter()
        .filter(|f| f.code == first.code || f.headline.to_lowercase().contains(&code))
        .count();
    assert!(shows(&window, &format!("{kept} of {all} shown")));
    click(&mut window, "Clear the filter");
    assert!(!shows(&window, "of {all} shown"));
}

#[test]
fn severities_are_left_out_and_groups_are_by_family() {
    let mut window = incident();
    click(&mut window, "Filter and group");
    let all = window.state().findings().len();
    let stops = window
        .state()
        .findings()
        .iter()
        .filter(|f| f.severity == crosspatch::model::Severity::Stops)
        .count();
    assert!(stops > 0);
    click(&mut window, "Show stops");
    assert!(shows(&window, &format!("{} of {all} shown", all - stops)));
    click(&mut window, "Show stops");
    click(&mut window, "Group by");
    click(&mut window, "family");
    assert!(
        window.query_by_label("Reach").is_some(),
        "a heading of a family"
    );
    assert!(window.query_by_label("Stops").is_none());
}

#[test]
fn findings_new_since_the_file_was_opened_are_counted() {
    let mut window = incident();
    assert!(!shows(&window, "new since opened"));
    let before: Vec<_> = window
        .state()
        .findings()
        .iter()
        .map(crosspatch::model::Finding::id)
        .collect();
    menu(&mut window, "Add", "Unit");
    window.key_press(Key::Num1);
    window.run();
    let after = window.state().findings().iter();
    let new = after.filter(|f| !before.contains(&f.id())).count();
    assert!(new > 0, "a unit without a radio is found");
    assert!(shows(&window, &format!("{new} new since opened")));
    click(&mut window, "Filter and group");
    click(&mut window, "Only new since opened");
    let all = window.state().findings().len();
    assert!(shows(&window, &format!("{new} of {all} shown")));
}

#[test]
fn keys_walk_the_list_open_a_finding_and_show_its_things() {
    let mut window = incident();
    let findings = window.state().findings().to_vec();
    window.key_press(Key::Num1);
    window.run_ok();
    window.run_ok();
    assert!(
        window.state().selection().contains(&findings[0].subject),
        "the first one has the keyboard and its things are shown"
    );
    window.key_press(Key::ArrowDown);
    window.run_ok();
    window.run_ok();
    assert!(window.state().selection().contains(&findings[1].subject));
    window.key_press(Key::Enter);
    window.run_ok();
    assert!(shows(&window, &format!("Close: {}", findings[1].headline)));
    window.key_press(Key::ArrowUp);
    window.run_ok();
    window.run_ok();
    assert!(window.state().selection().contains(&findings[0].subject));
}

#[test]
fn a_fix_is_applied_by_key() {
    let mut window = incident();
    let findings = window.state().findings().to_vec();
    let at = findings
        .iter()
        .position(|f| !f.fixes.is_empty())
        .expect("one that a click can mend");
    window.key_press(Key::Num1);
    window.run_ok();
    for _ in 0..at {
        window.run_ok();
        window.key_press(Key::ArrowDown);
        window.run_ok();
    }
    let before = scenario(&window).clone();
    window.key_press_modifiers(Modifiers::COMMAND, Key::Enter);
    window.run_ok();
    assert_ne!(*scenario(&window), before, "the fix changed the plan");
}

#[test]
fn a_finding_is_put_aside_until_a_later_phase_and_kept_in_the_file() {
    let mut window = incident();
    let finding = window.state().findings().first().cloned().unwrap();
    click(&mut window, &format!("Why: {}", finding.headline));
    click(&mut window, "Put aside…");
    enter(&mut window, "Reason", "Waiting for the technician");
    enter(&mut window, "Name", "Rowan");
    click(&mut window, "Put aside");
    let id = finding.id();
    assert!(window.state().findings().iter().all(|f| f.id() != id));
    let s = scenario(&window);
    let kept = s.accepted.iter().find(|a| a.finding == id).unwrap();
    let second = s.phases.ids().nth(1);
    assert_eq!(kept.until, second, "until the next phase");
    assert!(shows(&window, "1 put aside"));
    assert!(shows(&window, "Waiting for the technician"));
    window
        .get_by_label(&format!("Bring back {}", finding.headline))
        .click_accesskit();
    window.run_ok();
    assert!(window.state().findings().iter().any(|f| f.id() == id));
}
