//! The board: dropping, connecting, switching, moving, selecting, deleting.

use crosspatch::model::{Edit, Kind, Place, Scenario, ThingId};
use egui::{Key, Modifiers, pos2};
use egui_kittest::kittest::Queryable as _;

use crate::app::{click, click_at, drag, drop_at, lesson, middle, scenario, switched, window};

#[test]
fn things_are_dragged_from_the_shelf_as_one_step() {
    let mut window = window(Scenario::new("Empty"));
    assert!(window.query_by_label("An empty board").is_some());
    let ground = pos2(400.0, 500.0);
    for (article, kind) in [
        ("add agency", Kind::Agency),
        ("add unit", Kind::Unit),
        ("add gateway", Kind::Gateway),
        ("add channel", Kind::Channel),
        ("add radio", Kind::Radio),
        ("add telephone", Kind::Telephone),
        ("add headset", Kind::Headset),
        ("add radio system", Kind::System),
        ("add site", Kind::Site),
        ("add cable", Kind::Cable),
    ] {
        let before = scenario(&window).clone();
        let from = middle(&window, article);
        drag(&mut window, from, ground);
        drop_at(&mut window, ground);
        let selected = window.state().selection();
        assert_eq!(selected.len(), 1, "{article}");
        assert_eq!(selected.first().map(|t| t.kind()), Some(kind), "{article}");
        assert_ne!(*scenario(&window), before, "{article}");
        window.key_press_modifiers(Modifiers::COMMAND, Key::Z);
        window.run_ok();
        assert_eq!(*scenario(&window), before, "{article} is one step");
    }
}

#[test]
fn a_dropped_gateway_has_its_ports_and_groups_and_a_dropped_channel_a_system() {
    let mut window = window(Scenario::new("Empty"));
    for article in ["add gateway", "add channel"] {
        let from = middle(&window, article);
        let ground = pos2(640.0, 300.0);
        drag(&mut window, from, ground);
        drop_at(&mut window, ground);
    }
    let s = scenario(&window);
    let gateway = s.gateways.first().unwrap();
    let kinds: Vec<&str> = gateway.ports.iter().map(|p| p.kind.word()).collect();
    assert_eq!(kinds.iter().filter(|k| **k == "radio").count(), 5);
    assert_eq!(kinds.len(), 8);
    assert_eq!(gateway.talk_groups.len(), 2);
    let channel = s.channels.first().unwrap();
    assert!(s.systems.contains(channel.system));
}

#[test]
fn a_radio_dropped_on_a_unit_is_handed_over() {
    let mut window = lesson();
    let radios = scenario(&window).radios.len();
    let from = middle(&window, "add radio");
    let to = middle(&window, "unit Patrol");
    drag(&mut window, from, to);
    drop_at(&mut window, to);
    let s = scenario(&window);
    assert_eq!(s.radios.len(), radios + 1);
    let patrol = s.units.iter().find(|u| u.name == "Patrol").unwrap();
    assert_eq!(s.radios_of(patrol.id).count(), 2);
}

#[test]
fn a_double_click_on_the_shelf_adds_too() {
    let mut window = lesson();
    let units = scenario(&window).units.len();
    let at = middle(&window, "add unit");
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
    assert_eq!(scenario(&window).units.len(), units + 1);
}

#[test]
fn a_switch_flips_in_place() {
    let mut window = lesson();
    assert_eq!(switched(scenario(&window), 2), Some(1));
    assert!(
        window
            .query_by_label("Box A port 2, talk group 1")
            .is_some()
    );
    click(&mut window, "Box A port 2 to talk group 2");
    assert_eq!(switched(scenario(&window), 2), Some(2));
    assert!(
        window
            .query_by_label("Box A port 2, talk group 2")
            .is_some()
    );
    click(&mut window, "Box A port 2 to none");
    assert_eq!(switched(scenario(&window), 2), None);
    for expected in [Some(2), Some(1)] {
        window.key_press_modifiers(Modifiers::COMMAND, Key::Z);
        window.run_ok();
        assert_eq!(switched(scenario(&window), 2), expected);
    }
}

#[test]
fn a_connection_is_dragged_from_the_ring_and_a_wrong_one_says_why() {
    let mut window = lesson();
    let s = scenario(&window);
    let radio = s
        .radios
        .iter()
        .find(|r| r.name == "Attack portable")
        .unwrap()
        .clone();
    let label = "radio Attack portable, on F-TAC 1";
    click(&mut window, label);
    let ring = middle(&window, "connect from Attack portable");
    // A site and a radio are not joined directly.
    let site = s_name(&window, Kind::Site);
    let wrong = middle(&window, &format!("site {site}"));
    drag(&mut window, ring, wrong);
    assert!(
        window
            .query_all_by_label_contains("are not joined directly")
            .next()
            .is_some(),
        "the reason stands beside the pointer"
    );
    drop_at(&mut window, wrong);
    assert!(window.state().document().is_saved(), "nothing was changed");
    // Another channel is.
    click(&mut window, label);
    let ring = middle(&window, "connect from Attack portable");
    let right = middle(&window, "channel F-CMD");
    drag(&mut window, ring, right);
    assert!(
        window
            .query_all_by_label_contains("Put Attack portable on F-CMD")
            .next()
            .is_some(),
        "what will happen stands beside the pointer"
    );
    drop_at(&mut window, right);
    let s = scenario(&window);
    let phase = s.phases.first().unwrap();
    let now = s.radios.get(radio.id).unwrap();
    let selected = s
        .selected_channel(phase, now)
        .and_then(|c| s.channels.get(c));
    assert_eq!(selected.map(|c| c.name.as_str()), Some("F-CMD"));
    window.key_press_modifiers(Modifiers::COMMAND, Key::Z);
    window.run_ok();
    assert!(window.state().document().is_saved(), "it was one step");
}

#[test]
fn a_radio_dropped_on_a_used_port_says_what_holds_it() {
    let mut window = lesson();
    click(&mut window, "radio Attack portable, on F-TAC 1");
    let ring = middle(&window, "connect from Attack portable");
    let port = middle(&window, "Box A port 3, talk group 1") - egui::vec2(60.0, 0.0);
    drag(&mut window, ring, port);
    let reason = "holds Donor 3; unplug that first";
    assert!(window.query_all_by_label_contains(reason).next().is_some());
    drop_at(&mut window, port);
    assert!(window.state().document().is_saved());
}

fn s_name(window: &crate::app::Window, kind: Kind) -> String {
    let s = scenario(window);
    match kind {
        Kind::Site => s.sites.first().map(|x| x.name.clone()),
        _ => None,
    }
    .expect("the lesson has one")
}

#[test]
fn a_move_is_one_step_on_the_grid_and_tidy_takes_it_back() {
    let mut window = lesson();
    let unit = scenario(&window)
        .units
        .iter()
        .find(|u| u.name == "Fire Attack")
        .unwrap()
        .id;
    let from = window.get_by_label("unit Fire Attack").rect().left_top() + egui::vec2(20.0, 12.0);
    let to = from + egui::vec2(37.0, -61.0);
    let before = scenario(&window).places.get(&unit.into()).copied();
    drag(&mut window, from, to);
    drop_at(&mut window, to);
    let place = scenario(&window).places.get(&unit.into()).copied();
    assert_ne!(place, before);
    let Place { x, y } = place.unwrap();
    assert_eq!((x.rem_euclid(8), y.rem_euclid(8)), (0, 0));
    assert_eq!(window.state().document().undo_label(), Some("Move"));
    window.key_press_modifiers(Modifiers::COMMAND, Key::Z);
    window.run_ok();
    assert_eq!(scenario(&window).places.get(&unit.into()).copied(), before);
}

#[test]
fn moving_or_dropping_a_gateway_moves_nothing_else() {
    let s = crate::app::shipped("incident.ron");
    let names: Vec<String> = s
        .units
        .iter()
        .map(|u| format!("unit {}", u.name))
        .chain(
            s.channels
                .iter()
                .take(3)
                .map(|c| format!("channel {}", c.name)),
        )
        .chain(
            s.gateways
                .iter()
                .skip(1)
                .map(|g| format!("gateway {}", g.name)),
        )
        .collect();
    let gateway = s.gateways.first().unwrap().clone();
    let mut window = window(s);
    // Held by hand first, so that the board does not refit itself.
    window.state_mut().zoom_by(0.8);
    window.run_ok();
    let places = |w: &crate::app::Window| -> Vec<egui::Pos2> {
        names
            .iter()
            .filter_map(|n| Some(w.query_all_by_label(n).next()?.rect().min))
            .collect()
    };
    let before = places(&window);
    assert_eq!(before.len(), names.len());
    let head = window
        .get_by_label(&format!("gateway {}", gateway.name))
        .rect();
    let from = pos2(head.center().x, head.min.y + 6.0);
    drag(&mut window, from, from - egui::vec2(30.0, 50.0));
    assert_eq!(places(&window), before, "while it is dragged");
    drop_at(&mut window, from - egui::vec2(30.0, 50.0));
    assert_eq!(places(&window), before, "after the move");
    let shelf = middle(&window, "add gateway");
    let ground = pos2(420.0, 880.0);
    drag(&mut window, shelf, ground);
    drop_at(&mut window, ground);
    assert_eq!(places(&window), before, "after the drop");
}

#[test]
fn escape_gives_a_move_up() {
    let mut window = lesson();
    let from = window.get_by_label("unit Fire Attack").rect().left_top() + egui::vec2(20.0, 12.0);
    let to = from + egui::vec2(60.0, 60.0);
    drag(&mut window, from, to);
    window.key_press(Key::Escape);
    window.run_ok();
    drop_at(&mut window, to);
    assert!(window.state().document().is_saved());
}

#[test]
fn several_are_selected_by_a_band_and_deleted_as_one_step() {
    let mut window = lesson();
    let first = window.get_by_label("unit Fire Attack").rect();
    let last = window.get_by_label("unit Patrol Command").rect();
    let from = pos2(first.min.x - 30.0, first.min.y - 60.0);
    let to = last.max + egui::vec2(6.0, 30.0);
    drag(&mut window, from, to);
    drop_at(&mut window, to);
    let units = window
        .state()
        .selection()
        .iter()
        .filter(|t| t.kind() == Kind::Unit)
        .count();
    assert_eq!(units, scenario(&window).units.len());
    window.key_press(Key::Delete);
    window.run_ok();
    assert!(scenario(&window).units.is_empty());
    window.key_press_modifiers(Modifiers::COMMAND, Key::Z);
    window.run_ok();
    assert!(window.state().document().is_saved());
}

#[test]
fn select_all_and_the_arrow_keys() {
    let mut window = lesson();
    window.key_press_modifiers(Modifiers::COMMAND, Key::A);
    window.run_ok();
    let s = scenario(&window);
    let expected = s.units.len() + s.channels.len() + s.gateways.len();
    assert_eq!(window.state().selection().len(), expected);
    window.key_press(Key::Escape);
    window.run_ok();
    assert!(window.state().selection().is_empty());
    click(&mut window, "channel F-TAC 1");
    let before = window.state().selection();
    window.key_press(Key::ArrowDown);
    window.run_ok();
    let after = window.state().selection();
    assert_eq!(after.len(), 1);
    assert_ne!(before, after);
}

#[test]
fn a_large_scenario_is_drawn_plain_and_still_answers() {
    let s = crosspatch::samples::generate(crosspatch::samples::Size::for_units(600), 5);
    let mut window = window(s);
    window.run_ok();
    // Far away nothing is exposed one by one.
    let by_name = window
        .query_all_by(|node| node.label().is_some_and(|label| label.starts_with("unit ")))
        .count();
    assert_eq!(by_name, 0);
    let unit: ThingId = scenario(&window).units.first().unwrap().id.into();
    let name = scenario(&window).name(unit);
    window.state_mut().select(vec![unit]);
    window.run_ok();
    window.key_press_modifiers(Modifiers::SHIFT, Key::F);
    window.run_ok();
    assert!(window.query_by_label(&format!("unit {name}")).is_some());
}

#[test]
fn fixes_apply_with_one_click() {
    let mut s = crate::app::shipped("incident.ron");
    s = s.apply(&[] as &[Edit]).unwrap();
    let mut window = window(s);
    let finding = window
        .state()
        .findings()
        .iter()
        .find(|f| {
            f.fixes
                .first()
                .is_some_and(|x| x.grade == crosspatch::model::Grade::Safe)
        })
        .cloned()
        .expect("the incident has a finding with a safe fix");
    let fix = finding.fixes.first().unwrap();
    let at = window
        .get_all_by_label(fix.title.as_str())
        .next()
        .unwrap()
        .rect()
        .center();
    click_at(&mut window, at);
    assert_eq!(
        window.state().document().undo_label(),
        Some(fix.title.as_str())
    );
    assert!(
        window
            .state()
            .findings()
            .iter()
            .all(|f| f.id() != finding.id()),
        "the finding is gone"
    );
    window.key_press_modifiers(Modifiers::COMMAND, Key::Z);
    window.run_ok();
    assert!(
        window
            .state()
            .findings()
            .iter()
            .any(|f| f.id() == finding.id())
    );
}

#[test]
fn a_finding_is_accepted_with_a_reason_and_withdrawn() {
    let mut window = window(crate::app::shipped("incident.ron"));
    let finding = window.state().findings().first().cloned().unwrap();
    click(&mut window, &format!("Why: {}", finding.headline));
    click(&mut window, "Accept…");
    window.get_by_label("Reason").focus();
    window.run_ok();
    window.get_by_label("Reason").type_text("Tested on the air");
    window.run_ok();
    window.get_by_label("Name").focus();
    window.run_ok();
    window.get_by_label("Name").type_text("Rowan");
    window.run_ok();
    click(&mut window, "Accept");
    let s = scenario(&window);
    let accepted = s
        .accepted
        .iter()
        .find(|a| a.finding == finding.id())
        .unwrap();
    assert_eq!(accepted.reason, "Tested on the air");
    assert_eq!(
        (accepted.by.as_str(), accepted.on.as_str()),
        ("Rowan", "2031-05-04")
    );
    assert!(
        window
            .state()
            .findings()
            .iter()
            .all(|f| f.id() != finding.id())
    );
    window
        .get_by_label(&format!("Withdraw the acceptance of {}", finding.headline))
        .click_accesskit();
    window.run_ok();
    assert!(
        scenario(&window)
            .accepted
            .iter()
            .all(|a| a.finding != finding.id())
    );
}
