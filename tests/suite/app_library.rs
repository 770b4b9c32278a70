//! The shelf: finding, dragging and adding ready-made things, and keeping one's own.

use std::path::Path;

use crosspatch::app::{Ask, Effects};
use crosspatch::format::excerpt::Excerpt;
use crosspatch::model::{Attachment, Scenario, ThingId};
use egui::{Key, pos2};
use egui_kittest::kittest::Queryable as _;

use crate::app::{
    FakeChooser, Window, click, drag, drop_at, enter, lesson, menu, middle, scenario, shipped,
    window, window_with,
};

fn find(window: &mut Window, text: &str) {
    enter(window, "Shelf", text);
    window.run_ok();
}

/// Adds what has a label on the shelf by the key.
fn add(window: &mut Window, label: &str) {
    window.get_by_label(label).focus();
    window.run_ok();
    window.key_press(Key::Enter);
    window.run_ok();
    window.run_ok();
}

fn with_folder(folder: &Path, chooser: &FakeChooser, scenario: Scenario) -> Window {
    let effects = Effects::with(
        Box::new(chooser.clone()),
        Some(folder.join("state")),
        || "2031-05-04".to_owned(),
    );
    window_with(scenario, effects, false)
}

#[test]
fn the_shelf_finds_by_name_and_by_use() {
    let mut window = lesson();
    assert!(window.query_by_label("add agency").is_some());
    find(&mut window, "airband");
    assert!(window.query_by_label("add VHF airband portable").is_some());
    assert!(window.query_by_label("add agency").is_none());
    find(&mut window, "VTAC11");
    assert!(window.query_by_label("add VTAC11").is_some());
    find(&mut window, "blorb");
    assert!(
        window
            .query_by_label_contains("Nothing on the shelf is called so")
            .is_some()
    );
}

#[test]
fn ready_made_things_are_added_by_key() {
    let mut window = window(Scenario::new("Empty"));
    find(&mut window, "large gateway");
    add(&mut window, "add Large gateway");
    let s = scenario(&window);
    let gateway = s.gateways.first().expect("a gateway was added");
    assert_eq!((gateway.ports.len(), gateway.talk_groups.len()), (17, 4));
    assert_eq!(window.state().selection(), vec![gateway.id.into()]);
    find(&mut window, "vfire21");
    add(&mut window, "add VFIRE21");
    add(&mut window, "add VFIRE21");
    assert_eq!(
        scenario(&window).channels.len(),
        1,
        "a national channel is there once"
    );
    find(&mut window, "engine");
    add(&mut window, "add Fire");
    assert_eq!(scenario(&window).units.len(), 3);
}

#[test]
fn a_radio_dropped_on_a_unit_is_carried_by_it() {
    let mut window = lesson();
    let s = scenario(&window);
    let unit = s.units.first().unwrap();
    let (id, name, radios) = (unit.id, unit.name.clone(), s.radios_of(unit.id).count());
    find(&mut window, "uhf portable");
    let from = middle(&window, "add UHF portable");
    let to = middle(&window, &format!("unit {name}"));
    drag(&mut window, from, to);
    assert!(window.query_by_label("Drop to add UHF portable").is_some());
    drop_at(&mut window, to);
    assert_eq!(scenario(&window).radios_of(id).count(), radios + 1);
}

#[test]
fn a_radio_dropped_on_a_ready_made_gateway_is_cabled() {
    let mut window = window(Scenario::new("Empty"));
    find(&mut window, "small gateway");
    add(&mut window, "add Small gateway");
    find(&mut window, "vhf portable");
    let name = scenario(&window).gateways.first().unwrap().name.clone();
    let from = middle(&window, "add VHF portable");
    let to = middle(&window, &format!("gateway {name}"));
    drag(&mut window, from, to);
    drop_at(&mut window, to);
    let s = scenario(&window);
    let phase = s.phases.first().unwrap();
    let [
        Attachment::Radio {
            cable: Some(cable), ..
        },
    ] = phase.attachments.values().copied().collect::<Vec<_>>()[..]
    else {
        panic!("cabled to a port: {:?}", phase.attachments);
    };
    assert_eq!(s.cables.get(cable).unwrap().name, "Portable to gateway");
}

#[test]
fn things_dropped_on_empty_ground_land_there() {
    let mut window = lesson();
    find(&mut window, "medium gateway");
    let from = middle(&window, "add Medium gateway");
    let to = pos2(900.0, 850.0);
    drag(&mut window, from, to);
    drop_at(&mut window, to);
    let s = scenario(&window);
    let gateway = ThingId::from(s.gateways.iter().last().unwrap().id);
    assert!(s.places.contains_key(&gateway));
    assert_eq!(window.state().selection(), vec![gateway]);
}

#[test]
fn own_things_are_kept_between_starts_and_can_be_taken_out_again() {
    let folder = tempfile::tempdir().expect("a temporary folder");
    let chooser = FakeChooser::default();
    let mut first = with_folder(folder.path(), &chooser, shipped("talk-groups.ron"));
    let unit = scenario(&first).units.first().unwrap().clone();
    first.state_mut().select(vec![unit.id.into()]);
    first.run_ok();
    menu(&mut first, "Edit", "Keep in my things");
    assert!(
        first
            .query_by_label("Kept in your things, on the shelf")
            .is_some()
    );
    let file = folder.path().join("state/things.ron");
    let kept = Excerpt::read(&std::fs::read_to_string(&file).unwrap()).unwrap();
    assert_eq!(kept.chosen.len(), 1);
    drop(first);

    let mut second = with_folder(folder.path(), &chooser, Scenario::new("Empty"));
    click(&mut second, "Own things");
    let label = format!("add own {}", unit.name);
    add(&mut second, &label);
    assert_eq!(scenario(&second).units.first().unwrap().name, unit.name);

    // To a file, out of the list, and in again from the file.
    let shared = folder.path().join("shared.ron");
    chooser.will_choose(&shared);
    menu(&mut second, "Edit", "Export my things");
    second.run_ok();
    assert!(matches!(chooser.asked().last(), Some(Ask::Export { .. })));
    assert!(shared.exists());
    let out = format!("Take {} out of my things", unit.name);
    click(&mut second, &out);
    assert!(second.query_by_label(&label).is_none());
    let kept = Excerpt::read(&std::fs::read_to_string(&file).unwrap()).unwrap();
    assert!(kept.scenario.units.is_empty() && kept.scenario.channels.is_empty());
    chooser.will_choose(&shared);
    menu(&mut second, "Edit", "Import my things");
    second.run_ok();
    assert!(second.query_by_label(&label).is_some());
}

#[test]
fn own_things_that_cannot_be_read_are_not_written_over() {
    let folder = tempfile::tempdir().expect("a temporary folder");
    let file = folder.path().join("state/things.ron");
    std::fs::create_dir_all(file.parent().unwrap()).unwrap();
    std::fs::write(&file, "not a scenario").unwrap();
    let chooser = FakeChooser::default();
    let mut window = with_folder(folder.path(), &chooser, shipped("talk-groups.ron"));
    let unit = scenario(&window).units.first().unwrap().id;
    window.state_mut().select(vec![unit.into()]);
    window.run_ok();
    menu(&mut window, "Edit", "Keep in my things");
    assert!(
        window
            .query_by_label("Your things could not be read")
            .is_some()
    );
    assert_eq!(std::fs::read_to_string(&file).unwrap(), "not a scenario");
}

#[test]
fn an_empty_list_of_own_things_says_what_to_do() {
    let mut window = lesson();
    click(&mut window, "Own things");
    assert!(
        window
            .query_by_label_contains("Select something on the board and keep it")
            .is_some()
    );
}

#[test]
fn a_second_radio_of_a_type_is_its_number_two() {
    let mut window = window(Scenario::new("Empty"));
    find(&mut window, "uhf portable");
    for _ in 0..3 {
        add(&mut window, "add UHF portable");
    }
    let names: Vec<&str> = { scenario(&window).radios.iter() }
        .map(|r| r.name.as_str())
        .collect();
    assert_eq!(names, ["UHF portable", "UHF portable 2", "UHF portable 3"]);
}
