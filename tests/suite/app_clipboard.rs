//! Cut, copy, paste and duplicate on the board, and that a text field keeps its own clipboard.

use crosspatch::format::excerpt::Excerpt;
use crosspatch::model::ThingId;
use egui::{Event, Key, Modifiers, OutputCommand};
use egui_kittest::kittest::Queryable as _;

use crate::app::{Window, enter, lesson, scenario};

/// Presses the copy or cut key and returns the text put on the clipboard.
fn copied(window: &mut Window, event: Event) -> Option<String> {
    window.event(event);
    for _ in 0..3 {
        window.step();
        let commands = &window.output().platform_output.commands;
        let text = commands.iter().find_map(|command| match command {
            OutputCommand::CopyText(text) => Some(text.clone()),
            _ => None,
        });
        if text.is_some() {
            window.run_ok();
            return text;
        }
    }
    None
}

fn paste(window: &mut Window, text: &str) {
    window.event(Event::Paste(text.to_owned()));
    window.run_ok();
    window.run_ok();
}

fn first_unit(window: &Window) -> ThingId {
    scenario(window).units.first().expect("a unit").id.into()
}

#[test]
fn a_unit_goes_by_text_into_another_window() {
    let mut one = lesson();
    let unit = first_unit(&one);
    one.state_mut().select(vec![unit]);
    one.run_ok();
    let text = copied(&mut one, Event::Copy).expect("something is copied");
    let excerpt = Excerpt::read(&text).expect("what is copied is a scenario");
    assert_eq!(excerpt.chosen.len(), 1);

    let mut other = lesson();
    let before = scenario(&other).clone();
    paste(&mut other, &text);
    let s = scenario(&other);
    assert_eq!(s.units.len(), before.units.len() + 1);
    assert_eq!(
        s.channels.len(),
        before.channels.len(),
        "the channels are there already"
    );
    assert_eq!(s.agencies.len(), before.agencies.len());
    let copy = s.units.iter().last().unwrap();
    assert_eq!(other.state().selection(), vec![copy.id.into()]);
    assert!(
        s.radios_of(copy.id).next().is_some(),
        "it brings its radios"
    );
    assert!(
        other
            .query_by_label_contains("Undo: Paste one thing")
            .is_some()
    );
}

#[test]
fn cutting_takes_the_things_out_and_pasting_brings_them_back() {
    let mut window = lesson();
    let unit = first_unit(&window);
    let before = scenario(&window).units.len();
    window.state_mut().select(vec![unit]);
    window.run_ok();
    let text = copied(&mut window, Event::Cut).expect("something is cut");
    assert_eq!(scenario(&window).units.len(), before - 1);
    paste(&mut window, &text);
    assert_eq!(scenario(&window).units.len(), before);
}

#[test]
fn a_gateway_is_duplicated_with_what_is_plugged_in() {
    let mut window = lesson();
    let s = scenario(&window);
    let gateway = s.gateways.first().unwrap().id;
    let phase = s.phases.get(window.state().phase()).unwrap();
    let plugged = phase
        .attachments
        .keys()
        .filter(|p| p.gateway == gateway)
        .count();
    let channels = s.channels.len();
    window.state_mut().select(vec![gateway.into()]);
    window.run_ok();
    window.key_press_modifiers(Modifiers::COMMAND, Key::D);
    window.run_ok();
    let s = scenario(&window);
    let Some(ThingId::Gateway(copy)) = window.state().selection().first().copied() else {
        panic!("the copy is selected");
    };
    assert_ne!(copy, gateway);
    let phase = s.phases.get(window.state().phase()).unwrap();
    let of_copy = phase
        .attachments
        .keys()
        .filter(|p| p.gateway == copy)
        .count();
    assert!(plugged > 0);
    assert_eq!(of_copy, plugged);
    assert_eq!(s.channels.len(), channels);
}

#[test]
fn a_text_that_is_no_excerpt_says_so_and_changes_nothing() {
    let mut window = lesson();
    let before = scenario(&window).clone();
    for text in [
        "just some words",
        "(format: 1",
        "{\"format\": 1, \"units\": 3}",
        "",
    ] {
        paste(&mut window, text);
        assert_eq!(*scenario(&window), before, "{text}");
        let said = if text.is_empty() {
            "The clipboard is empty"
        } else {
            "The clipboard holds no things copied from a board"
        };
        assert!(window.query_by_label(said).is_some(), "{text}");
    }
}

#[test]
fn a_field_keeps_its_own_clipboard() {
    let mut window = lesson();
    let unit = first_unit(&window);
    window.state_mut().select(vec![unit]);
    window.run_ok();
    let text = copied(&mut window, Event::Copy).expect("something is copied");
    let before = scenario(&window).units.len();
    enter(&mut window, "Shelf", "gateway");
    paste(&mut window, &text);
    window.key_press_modifiers(Modifiers::COMMAND, Key::D);
    window.run_ok();
    assert_eq!(scenario(&window).units.len(), before);
}
