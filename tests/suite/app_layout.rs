//! The board put in order: tidying, lining up, snapping, collapsing, taking lines off.

use std::collections::BTreeMap;

use crosspatch::model::{Kind, Place, Scenario, ThingId};
use egui::{Event, Key, Modifiers, pos2, vec2};
use egui_kittest::kittest::{NodeT as _, Queryable as _};

use crate::app::{Window, click, drag, drop_at, lesson, menu, middle, scenario, shipped, window};

fn undo(window: &mut Window) {
    window.key_press_modifiers(Modifiers::COMMAND, Key::Z);
    window.run_ok();
}

fn places(window: &Window) -> BTreeMap<ThingId, Place> {
    scenario(window).places.clone()
}

fn units(s: &Scenario) -> Vec<ThingId> {
    s.units.ids().map(ThingId::from).collect()
}

#[test]
fn tidying_is_one_step_and_an_edit_later_moves_nothing() {
    let mut window = window(shipped("incident.ron"));
    let before = places(&window);
    menu(&mut window, "Arrange", "Tidy the board");
    let tidy = places(&window);
    assert_ne!(tidy, before);
    assert!(scenario(&window).units.ids().all(|u| {
        let unit = scenario(&window).units.get(u).unwrap();
        unit.agency.is_none() || tidy.contains_key(&u.into())
    }));
    assert_eq!(
        window.state().document().undo_label(),
        Some("Tidy the board")
    );
    // An edit of the plan leaves everything where it is.
    let radio = scenario(&window)
        .radios
        .iter()
        .find(|r| r.selected.is_some())
        .unwrap();
    let radio: ThingId = radio.id.into();
    window.state_mut().select(vec![radio]);
    window.key_press(Key::Delete);
    window.run_ok();
    let after = places(&window);
    assert!(
        after
            .iter()
            .all(|(thing, place)| tidy.get(thing) == Some(place))
    );
    undo(&mut window);
    undo(&mut window);
    assert_eq!(places(&window), before, "one step each");
}

#[test]
fn things_are_lined_up_and_spaced_out_by_key_and_grey_below_their_number() {
    let mut window = lesson();
    let s = scenario(&window);
    let mut three = units(s)[..2].to_vec();
    three.push(s.channels.first().unwrap().id.into());
    let names: Vec<String> = three
        .iter()
        .map(|t| format!("{} {}", t.kind(), s.name(*t)))
        .collect();
    window.state_mut().select(three[..1].to_vec());
    window.run_ok();
    click(&mut window, "Arrange");
    let entry = window
        .get_all_by_label_contains("Align left")
        .next()
        .unwrap();
    assert!(
        entry.accesskit_node().is_disabled(),
        "one thing cannot be lined up"
    );
    window.key_press(Key::Escape);
    window.run_ok();
    window.state_mut().select(three.clone());
    window.run_ok();
    let alt_shift = Modifiers {
        shift: true,
        ..Modifiers::ALT
    };
    window.key_press_modifiers(alt_shift, Key::ArrowLeft);
    window.run_ok();
    let placed = places(&window);
    let lefts: Vec<i32> = three.iter().map(|t| placed[t].x).collect();
    assert!(lefts.windows(2).all(|w| w[0] == w[1]), "{lefts:?}");
    assert_eq!(window.state().document().undo_label(), Some("Align left"));
    window.key_press_modifiers(alt_shift, Key::V);
    window.run_ok();
    let mut rects: Vec<egui::Rect> = names
        .iter()
        .map(|name| window.get_by_label(name).rect())
        .collect();
    rects.sort_by(|a, b| a.min.y.total_cmp(&b.min.y));
    let gaps: Vec<f32> = rects.windows(2).map(|w| w[1].min.y - w[0].max.y).collect();
    assert!((gaps[0] - gaps[1]).abs() < 2.0, "{gaps:?}");
    undo(&mut window);
    undo(&mut window);
    assert!(window.state().document().is_saved());
}

#[test]
fn a_dragged_thing_rests_level_with_a_neighbour_unless_alt_is_held() {
    let mut window = lesson();
    let s = scenario(&window);
    let first = s.units.iter().find(|u| u.name == "Fire Attack").unwrap().id;
    let card = window.get_by_label("unit Fire Attack").rect();
    let other = window.get_by_label("unit Patrol").rect();
    let zoom = card.width() / 240.0;
    let from = card.left_top() + vec2(20.0, 33.0) * zoom;
    // Three board points beside the neighbour's left edge, clear of it downward.
    let to = from + (other.left_top() - card.left_top()) + vec2(3.0, -180.0) * zoom;
    drag(&mut window, from, to);
    drop_at(&mut window, to);
    let rested = window.get_by_label("unit Fire Attack").rect();
    let other_now = window.get_by_label("unit Patrol").rect();
    assert!(
        (rested.min.x - other_now.min.x).abs() < 0.6 * zoom,
        "level with it"
    );
    undo(&mut window);
    window.event(Event::ModifiersChanged(Modifiers::ALT));
    drag(&mut window, from, to);
    drop_at(&mut window, to);
    window.event(Event::ModifiersChanged(Modifiers::NONE));
    window.run_ok();
    let place = places(&window)[&first.into()];
    let free = window.get_by_label("unit Fire Attack").rect();
    let off = (free.min.x - window.get_by_label("unit Patrol").rect().min.x) / zoom;
    assert!((off - 3.0).abs() < 1.1, "{off} at {place:?}");
}

#[test]
fn a_band_adds_with_shift_and_takes_away_with_ctrl() {
    let mut window = lesson();
    let band = |window: &mut Window, label: &str, modifiers: Modifiers| {
        let rect = window.get_by_label(label).rect();
        // On the ground of the frame, below its head.
        let from = pos2(rect.min.x - 5.0, rect.min.y + 4.0);
        window.event(Event::ModifiersChanged(modifiers));
        drag(window, from, rect.center());
        drop_at(window, rect.center());
        window.event(Event::ModifiersChanged(Modifiers::NONE));
        window.run_ok();
    };
    let of = |window: &Window, name: &str| -> ThingId {
        let s = scenario(window);
        s.units.iter().find(|u| u.name == name).unwrap().id.into()
    };
    let (attack, patrol) = (of(&window, "Fire Attack"), of(&window, "Patrol"));
    band(&mut window, "unit Fire Attack", Modifiers::NONE);
    assert_eq!(window.state().selection(), [attack]);
    band(&mut window, "unit Patrol", Modifiers::SHIFT);
    let mut both = vec![attack, patrol];
    both.sort();
    assert_eq!(window.state().selection(), both);
    band(&mut window, "unit Fire Attack", Modifiers::COMMAND);
    assert_eq!(window.state().selection(), [patrol]);
}

#[test]
fn an_agency_collapses_to_a_chip_and_expands_again() {
    let mut window = lesson();
    let s = scenario(&window).clone();
    let unit = s.units.iter().find(|u| u.name == "Patrol").unwrap();
    let agency = s.agencies.get(unit.agency.unwrap()).unwrap().clone();
    let inside = s.units.iter().filter(|u| u.agency == unit.agency).count();
    window.state_mut().select(vec![unit.id.into()]);
    window.run_ok();
    window.key_press(Key::C);
    window.run_ok();
    window.run_ok();
    assert!(window.query_by_label("unit Patrol").is_none());
    let label = format!("agency {}, {inside} units", agency.name);
    assert!(
        window.query_all_by_label_contains(&label).next().is_some(),
        "the chip says what is inside"
    );
    assert_eq!(window.state().selection(), [ThingId::from(agency.id)]);
    assert!(
        window.state().document().is_saved(),
        "the window's own, no step"
    );
    window.key_press(Key::C);
    window.run_ok();
    window.run_ok();
    assert!(window.query_by_label("unit Patrol").is_some());
    // All at once, and back by a double click.
    window.key_press_modifiers(Modifiers::SHIFT, Key::C);
    window.run_ok();
    window.run_ok();
    let units = |w: &Window| {
        w.query_all_by(|n| n.label().is_some_and(|l| l.starts_with("unit ")))
            .count()
    };
    assert_eq!(units(&window), 0);
    let at = window
        .get_all_by_label_contains(&label)
        .next()
        .unwrap()
        .rect()
        .center();
    for _ in 0..2 {
        window.hover_at(at);
        window.drag_at(at);
        window.drop_at(at);
    }
    window.run_ok();
    window.run_ok();
    assert!(units(&window) >= inside);
    window.key_press_modifiers(Modifiers::SHIFT, Key::E);
    window.run_ok();
    window.run_ok();
    assert_eq!(units(&window), s.units.len());
}

#[test]
fn six_hundred_units_are_read_by_name_when_collapsed() {
    let s = crosspatch::samples::generate(crosspatch::samples::Size::for_units(600), 5);
    let agencies = s.agencies.len();
    let mut window = window(s);
    window.key_press_modifiers(Modifiers::SHIFT, Key::C);
    window.run_ok();
    window.run_ok();
    let named = window
        .query_all_by(|n| n.label().is_some_and(|l| l.starts_with("agency ")))
        .count();
    assert_eq!(named, agencies);
    // Who is found inside a chip comes out of it.
    let unit = scenario(&window).units.first().unwrap().clone();
    window.key_press_modifiers(Modifiers::COMMAND, Key::F);
    window.run_ok();
    window.run_ok();
    window.get_by_label("Find").type_text(&unit.name);
    window.run_ok();
    window.run_ok();
    click(&mut window, &format!("found unit {}", unit.name));
    window.run_ok();
    assert_eq!(window.state().selection(), [ThingId::from(unit.id)]);
    assert!(
        window
            .query_by_label(&format!("unit {}", unit.name))
            .is_some()
    );
}

#[test]
fn a_line_is_taken_off_its_channel_and_put_on_another() {
    let mut window = lesson();
    let s = scenario(&window).clone();
    let phase = s.phases.first().unwrap().clone();
    let radio = s
        .radios
        .iter()
        .find(|r| r.name == "Attack portable")
        .unwrap()
        .id;
    let others = s
        .radios
        .iter()
        .filter(|r| {
            r.id != radio
                && !Scenario::is_donor(&phase, r.id)
                && s.selected_channel(&phase, r)
                    .is_some_and(|c| s.name(c.into()) == "F-TAC 1")
        })
        .count();
    // The line of the only other end lies a little off the middle of the pill's edge.
    let pill = window.get_by_label("channel F-TAC 1").rect();
    let zoom = pill.width() / 224.0;
    let step = (24.0 / (others as f32 + 1.0)).min(7.0) * zoom;
    let end = pos2(
        pill.min.x - 1.0,
        pill.center().y - step * others as f32 / 2.0,
    );
    let to = middle(&window, "channel F-CMD");
    drag(&mut window, end, to);
    assert!(
        window.query_all_by_label_contains("Put ").next().is_some(),
        "what will happen stands beside the pointer"
    );
    drop_at(&mut window, to);
    let now = scenario(&window);
    let moved: Vec<_> = now
        .radios
        .iter()
        .filter(|r| {
            now.selected_channel(now.phases.first().unwrap(), r) != s.selected_channel(&phase, r)
        })
        .collect();
    assert_eq!(moved.len(), 1, "one line moved");
    let phase_now = now.phases.first().unwrap();
    let channel = now.selected_channel(phase_now, moved[0]);
    assert_eq!(
        channel.map(|c| now.name(c.into())).as_deref(),
        Some("F-CMD")
    );
    undo(&mut window);
    assert!(window.state().document().is_saved(), "as one step");
    // Let go over nothing, it can be taken away.
    drag(&mut window, end, pos2(420.0, 930.0));
    drop_at(&mut window, pos2(420.0, 930.0));
    let offer = window
        .query_all_by_label_contains("Disconnect ")
        .next()
        .and_then(|n| n.accesskit_node().label())
        .expect("the offer to disconnect");
    click(&mut window, &offer);
    assert_eq!(window.state().document().undo_label(), Some(offer.as_str()));
    undo(&mut window);
    assert!(window.state().document().is_saved());
}

#[test]
fn tab_walks_in_reading_order_and_space_selects() {
    let mut window = lesson();
    window.run_ok();
    let mut seen = Vec::new();
    for _ in 0..6 {
        window.key_press(Key::Tab);
        window.run_ok();
        let selected = window.state().selection();
        assert_eq!(selected.len(), 1);
        seen.extend(selected);
    }
    assert_eq!(seen[0].kind(), Kind::Agency);
    assert_eq!(seen[1].kind(), Kind::Unit);
    assert_eq!(seen[2].kind(), Kind::Radio);
    window.key_press_modifiers(Modifiers::SHIFT, Key::Tab);
    window.run_ok();
    assert_eq!(window.state().selection(), [seen[4]]);
    // Space takes it out of the selection and in again.
    window.key_press(Key::Space);
    window.run_ok();
    assert!(window.state().selection().is_empty());
    window.key_press(Key::Space);
    window.run_ok();
    assert_eq!(window.state().selection(), [seen[4]]);
    // Ctrl with an arrow looks elsewhere without selecting; Space then adds.
    window.key_press_modifiers(Modifiers::COMMAND, Key::ArrowRight);
    window.run_ok();
    assert_eq!(window.state().selection(), [seen[4]]);
    window.key_press(Key::Space);
    window.run_ok();
    assert_eq!(window.state().selection().len(), 2);
}

#[test]
fn a_port_is_switched_by_digits_and_a_radio_joined_from_a_list() {
    let mut window = lesson();
    let port = crate::app::gateway_port(scenario(&window), 2);
    window.state_mut().select(vec![port.into()]);
    window.run_ok();
    window.key_press(Key::Num2);
    window.run_ok();
    assert_eq!(crate::app::switched(scenario(&window), 2), Some(2));
    window.key_press(Key::Num0);
    window.run_ok();
    assert_eq!(crate::app::switched(scenario(&window), 2), None);
    let s = scenario(&window);
    let radio = s
        .radios
        .iter()
        .find(|r| r.name == "Attack portable")
        .unwrap()
        .id;
    window.state_mut().select(vec![radio.into()]);
    window.run_ok();
    window.key_press(Key::J);
    window.run_ok();
    window.run_ok();
    window
        .get_by_label("Join Attack portable with")
        .type_text("f-cmd");
    window.run_ok();
    window.key_press(Key::Enter);
    window.run_ok();
    let s = scenario(&window);
    let channel = s.selected_channel(s.phases.first().unwrap(), s.radios.get(radio).unwrap());
    assert_eq!(channel.map(|c| s.name(c.into())).as_deref(), Some("F-CMD"));
}

#[test]
fn the_menu_of_the_selection_opens_by_key() {
    let mut window = lesson();
    let unit = units(scenario(&window))[0];
    window.state_mut().select(vec![unit]);
    window.run_ok();
    window.key_press_modifiers(Modifiers::SHIFT, Key::F10);
    window.run_ok();
    window.run_ok();
    assert!(window.get_by_label("Show its details").is_focused());
    window.key_press(Key::Enter);
    window.run_ok();
    window.run_ok();
    assert!(
        window.query_by_label("Show its details").is_none(),
        "it closes"
    );
}
