//! Finding: by name, frequency and code, going there, and on to the next.

use crosspatch::model::{AccessCode, ThingId};
use egui::{Key, Modifiers};
use egui_kittest::kittest::Queryable as _;

use crate::app::{Window, click, lesson, scenario, shipped, window};

fn find(window: &mut Window, text: &str) {
    window.key_press_modifiers(Modifiers::COMMAND, Key::F);
    window.run_ok();
    window.run_ok();
    window.get_by_label("Find").type_text(text);
    window.run_ok();
    window.run_ok();
}

#[test]
fn a_frequency_finds_its_channel_and_enter_goes_there() {
    let mut window = lesson();
    let channel = scenario(&window)
        .channels
        .iter()
        .find(|c| c.conventional().is_some())
        .unwrap()
        .clone();
    let rx = channel.conventional().unwrap().rx;
    find(&mut window, &format!("{:.5}", rx.mhz()));
    let label = format!("found channel {}", channel.name);
    assert!(window.query_by_label(&label).is_some());
    click(&mut window, &label);
    assert_eq!(window.state().selection(), [ThingId::from(channel.id)]);
    assert!(window.query_by_label("Find").is_none(), "it closes");
}

#[test]
fn f3_goes_round_all_that_was_found() {
    let mut window = window(shipped("incident.ron"));
    let tone = |c: &AccessCode| matches!(c, AccessCode::Ctcss(t) if (t.hz() - 156.7).abs() < 0.01);
    let s = scenario(&window);
    let wanted = s
        .channels
        .iter()
        .filter(|c| {
            c.conventional()
                .is_some_and(|c| tone(&c.rx_code) || tone(&c.tx_code))
        })
        .count()
        + s.radios
            .iter()
            .filter(|r| {
                r.programmed
                    .iter()
                    .flat_map(|p| [p.rx_code, p.tx_code])
                    .flatten()
                    .any(|c| tone(&c))
            })
            .count();
    assert!(wanted > 1);
    find(&mut window, "ctcss 156.7");
    window.key_press(Key::Escape);
    window.run_ok();
    let mut seen = Vec::new();
    for _ in 0..wanted {
        window.key_press(Key::F3);
        window.run_ok();
        seen.push(window.state().selection());
    }
    let mut once = seen.clone();
    once.sort();
    once.dedup();
    assert_eq!(once.len(), wanted, "each once");
    window.key_press(Key::F3);
    window.run_ok();
    assert_eq!(Some(&window.state().selection()), seen.first());
    window.key_press_modifiers(Modifiers::SHIFT, Key::F3);
    window.run_ok();
    assert_eq!(Some(&window.state().selection()), seen.last());
}

#[test]
fn nothing_found_says_so_and_what_is_no_thing_of_the_board_opens_its_details() {
    let mut window = window(shipped("incident.ron"));
    find(&mut window, "nothing says this");
    assert!(
        window
            .query_by_label("Nothing in the plan says that")
            .is_some()
    );
    window.key_press(Key::Escape);
    window.run_ok();
    let need = scenario(&window).needs.first().unwrap().clone();
    find(&mut window, &need.name);
    click(&mut window, &format!("found need {}", need.name));
    assert_eq!(window.state().selection(), [ThingId::from(need.id)]);
    assert!(
        window.query_all_by_value(&need.name).next().is_some(),
        "its details are open"
    );
}
