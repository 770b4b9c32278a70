//! The calculators in the window: opened by command, typed in by label, read as one types.

use crosspatch::engineering::calculators::{ALL, words};
use egui::{Key, Modifiers};
use egui_kittest::kittest::Queryable as _;

use crate::app::{Window, click, click_at, enter, lesson, menu, scenario};

fn toggle(window: &mut Window) {
    window.key_press_modifiers(Modifiers::COMMAND, Key::K);
    window.run();
}

fn is_open(window: &Window) -> bool {
    window.query_by_label("Close the calculators").is_some()
}

fn shows(window: &Window, label: &str) -> bool {
    window.query_all_by_label(label).next().is_some()
}

#[test]
fn a_number_is_answered_as_it_is_typed() {
    let mut window = lesson();
    assert!(!is_open(&window));
    toggle(&mut window);
    assert!(is_open(&window));
    // A published calculator's manual: 15 channels at 1 % carry 8.108 erlangs.
    enter(&mut window, "Offered load", "8.108");
    enter(&mut window, "Channels", "15");
    assert!(shows(&window, "Calls lost") && shows(&window, "1.00 %"));
    // One channel more loses less, at once.
    enter(&mut window, "Channels", "16");
    assert!(!shows(&window, "1.00 %"));

    click(&mut window, "Exposure distance");
    // FCC OET Bulletin 65 and 47 CFR 1.1310, worked distances.
    enter(&mut window, "Power at the antenna", "50");
    enter(&mut window, "Antenna gain", "2.15");
    enter(&mut window, "Frequency", "155.7525");
    assert!(shows(&window, "1.293 m") && shows(&window, "2.891 m"));
    let ground = window.get_by_value("Typical").rect().center();
    click_at(&mut window, ground);
    click(&mut window, "Free");
    assert!(shows(&window, "0.808 m") && shows(&window, "1.807 m"));

    click(&mut window, "Intermodulation");
    enter(&mut window, "Transmitters", "453.2125, 453.4625");
    enter(&mut window, "Receivers", "453.7125");
    let product = "2 x 453.4625 - 453.2125 = 453.7125 MHz, on 453.7125 MHz exactly";
    assert!(shows(&window, "1 product"));
    assert!(window.query_by_label_contains(product).is_some());

    // What was typed is still there, and nothing of it went into the scenario.
    click(&mut window, "Erlang B: calls lost");
    assert!(window.query_all_by_value("16").next().is_some());
    assert!(window.state().document().is_saved());
}

#[test]
fn a_number_that_cannot_be_is_refused_under_its_field() {
    let mut window = lesson();
    toggle(&mut window);
    let marked = "No answer until the marked fields are right.";
    assert!(!shows(&window, marked));
    for bad in ["-1", "nan", "ten", ""] {
        enter(&mut window, "Offered load", "8");
        assert!(!shows(&window, marked));
        enter(&mut window, "Offered load", bad);
        if bad.is_empty() {
            window.key_press(Key::Backspace);
            window.run();
        }
        assert!(shows(&window, "It must be 0 to 1000000 erlangs"), "{bad}");
        assert!(shows(&window, marked), "{bad}");
    }
    click(&mut window, "Battery run time");
    enter(&mut window, "Drain", "2000");
    assert!(
        shows(&window, "It must be 1 to 1000 mA"),
        "what the formula refuses stands at its field"
    );
    enter(&mut window, "Drain", "85");
    enter(&mut window, "Temperature", "-10");
    assert!(!shows(&window, marked));
}

#[test]
fn every_calculator_opens_on_an_answer_with_source_and_caution() {
    let mut window = lesson();
    menu(&mut window, "View", "Calculators");
    for calculator in &ALL {
        click(&mut window, calculator.title);
        assert!(shows(&window, calculator.source), "{}", calculator.kind);
        if let Some(text) = calculator.caution {
            assert!(shows(&window, text), "{}", calculator.kind);
        }
        let answers = calculator.calculate(|input| words(input.example));
        let answers = answers.expect("examples run");
        for (output, value) in calculator.outputs.iter().zip(&answers.values) {
            assert!(shows(&window, output.label), "{}", calculator.kind);
            let shown = output.shown(value);
            assert!(shows(&window, &shown), "{}: {shown}", calculator.kind);
        }
        // `run` fails on an input without a name.
        for input in calculator.inputs {
            assert!(shows(&window, input.label), "{}", calculator.kind);
        }
    }
}

#[test]
fn escape_and_the_cross_close_the_calculators_and_nothing_else() {
    let mut window = lesson();
    let unit = scenario(&window).units.first().unwrap().id;
    window.state_mut().select(vec![unit.into()]);
    toggle(&mut window);
    window.key_press(Key::Escape);
    window.run();
    assert!(!is_open(&window));
    assert_eq!(window.state().selection(), [unit.into()]);
    toggle(&mut window);
    click(&mut window, "Close the calculators");
    assert!(!is_open(&window));
}
