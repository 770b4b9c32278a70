//! The README's first walk, by what things are called: from the incident as shipped to a saved plan
//! on which the command line and the screen agree.

use std::process::Command;

use crosspatch::app::Effects;
use crosspatch::model::{Party, Severity, ThingId};
use egui::{Key, Modifiers};
use egui_kittest::kittest::Queryable as _;

use crate::app::{FakeChooser, Window, click, click_at, middle, scenario, shipped, window_with};

fn headlines(window: &Window) -> Vec<(String, String)> {
    let findings = window.state().findings();
    findings
        .iter()
        .map(|f| (f.severity.to_string(), f.headline.clone()))
        .collect()
}

fn stops(window: &Window) -> usize {
    window
        .state()
        .findings()
        .iter()
        .filter(|f| f.severity == Severity::Stops)
        .count()
}

#[test]
fn from_the_shipped_incident_to_a_saved_plan_that_checks_the_same() {
    let folder = tempfile::tempdir().expect("a temporary folder");
    let chooser = FakeChooser::default();
    let effects = Effects::with(
        Box::new(chooser.clone()),
        Some(folder.path().join("state")),
        || "2031-10-18".to_owned(),
    );
    let mut window = window_with(shipped("incident.ron"), effects, false);

    // Read the findings.
    let at_first = stops(&window);
    assert!(at_first >= 8, "{at_first} stops");
    let wrong_tone =
        "Engine 21 portable, VFIRE21: asks for CTCSS 127.3 Hz instead of CTCSS 156.7 Hz";
    assert!(
        window
            .query_all_by_label_contains(wrong_tone)
            .next()
            .is_some()
    );

    // Hold a unit: it talks, and the board says who does not hear.
    let microphone = middle(&window, "let Incident Command talk");
    window.hover_at(microphone);
    window.step();
    window.drag_at(microphone);
    window.run_steps(30);
    let command = scenario(&window)
        .units
        .iter()
        .find(|u| u.name == "Incident Command");
    assert_eq!(window.state().talker(), command.map(|u| Party::Unit(u.id)));
    assert!(
        window
            .query_by_label_contains("Incident Command is heard by")
            .is_some()
    );
    window.drop_at(microphone);
    window.run_steps(3);
    assert_eq!(window.state().talker(), None);

    // Ask why a silent one does not hear, and apply the fewest changes.
    click(&mut window, "unit Incident Command");
    window.key_press_modifiers(Modifiers::SHIFT, Key::T);
    window.run_ok();
    click(&mut window, "unit Engine 21");
    assert!(
        window
            .query_by_label("Why Engine 21 does not hear Incident Command")
            .is_some()
    );
    let apply = window
        .query_all_by_label_contains("Apply th")
        .next()
        .expect("a button that applies the changes")
        .rect()
        .center();
    click_at(&mut window, apply);
    assert!(
        window
            .query_all_by_label("Engine 21 hears Incident Command")
            .next()
            .is_some()
    );
    window.key_press_modifiers(Modifiers::SHIFT, Key::T);
    window.run_ok();

    // Back at the findings, the tone and the needs it broke are gone; apply a fix with one click.
    window.key_press(Key::Num1);
    window.run_ok();
    assert!(headlines(&window).iter().all(|(_, h)| h != wrong_tone));
    let before = stops(&window);
    assert!(before < at_first);
    click(&mut window, "Switch Gateway River port 5 to none");
    assert!(
        stops(&window) < before,
        "the same channel is no longer twice in the talk group"
    );

    // Flip a talk-group switch in place: the encrypted net leaves the clear one.
    let leak = |window: &Window| {
        headlines(window)
            .iter()
            .any(|(_, h)| h.contains("leaves in clear"))
    };
    assert!(leak(&window));
    let gateway = scenario(&window)
        .gateways
        .iter()
        .find(|g| g.name == "Gateway River");
    let river = gateway.expect("shipped").id;
    window.state_mut().select(vec![ThingId::Gateway(river)]);
    window.run_ok();
    click(&mut window, "Gateway River port 3 to talk group 2");
    assert!(!leak(&window));

    // Save, and let the command line look at the file.
    let path = folder.path().join("plan.ron");
    chooser.will_choose(&path);
    window.key_press_modifiers(Modifiers::COMMAND, Key::S);
    window.run_ok();
    assert!(window.state().document().is_saved());
    let phase = scenario(&window)
        .phases
        .get(window.state().phase())
        .expect("chosen")
        .key
        .clone();
    let output = Command::new(env!("CARGO_BIN_EXE_crosspatch"))
        .args(["check", "--json", "--phase", &phase])
        .arg(&path)
        .output()
        .expect("the program runs");
    assert_eq!(output.status.code(), Some(1), "stops are left");
    let told: serde_json::Value = serde_json::from_slice(&output.stdout).expect("JSON");
    let told: Vec<(String, String)> = told["findings"]
        .as_array()
        .expect("a list")
        .iter()
        .map(|f| {
            let text = |key: &str| f[key].as_str().expect("a text").to_owned();
            (text("severity"), text("headline"))
        })
        .collect();
    assert_eq!(
        told,
        headlines(&window),
        "screen and command line say the same, in the same order"
    );
}
