//! The view of talk groups as lanes, by what its parts are called: moving a port is the switch.

use std::sync::Arc;

use crosspatch::checks::talk_groups::command_mixed_with_tactical::CHECK;
use crosspatch::hearing::Hearing;
use crosspatch::model::{Edit, Party, PortRef, Role, Scenario, ThingId};
use crosspatch::picture::Picture;
use egui::{Key, Modifiers, Pos2};
use egui_kittest::kittest::{NodeT as _, Queryable as _};

use crate::app::{
    Window, click, click_at, drag, drop_at, gateway_port, lesson, scenario, shipped, switched,
    window,
};

fn show(window: &mut Window) {
    click(window, "View: Talk groups");
    window.run_ok();
}

/// The middle of the first thing whose name contains some words.
fn spot(window: &Window, words: &str) -> Pos2 {
    let found = window.query_all_by_label_contains(words).next();
    found.expect(words).rect().center()
}

fn tile(s: &Scenario, port: u8) -> String {
    format!("{} in ", s.name(gateway_port(s, port).into()))
}

fn lane(s: &Scenario, group: u8) -> String {
    let gateway = s.gateways.first().expect("a gateway");
    format!("Lane {group} of {}: ", gateway.name)
}

fn unit(s: &Scenario, name: &str) -> Party {
    let found = s.units.iter().find(|u| u.name == name);
    Party::Unit(found.expect("a unit of that name").id)
}

fn hears(s: &Scenario, from: &str, to: &str) -> bool {
    let phase = s.phases.first().expect("a phase").id;
    let hearing = Hearing::derive(s, phase);
    hearing.arrival(unit(s, from), unit(s, to)).is_some()
}

#[test]
fn dragging_a_tile_to_another_lane_switches_the_port_and_one_key_takes_it_back() {
    let mut window = lesson();
    show(&mut window);
    let before = scenario(&window).clone();
    assert!(hears(&before, "Fire Attack", "Patrol"));
    let from = spot(&window, &tile(&before, 2));
    let to = spot(&window, &lane(&before, 2)) + egui::vec2(0.0, 200.0);
    drag(&mut window, from, to);
    for words in [
        "Box port 2 on talk group 2".replace("Box", &before.gateways.first().unwrap().name),
        "Patrol no longer hears Fire Attack".to_owned(),
    ] {
        let there = window.query_all_by_label_contains(&words).next();
        assert!(there.is_some(), "the preview says: {words}");
    }
    assert_eq!(
        *scenario(&window),
        before,
        "nothing moves before it is let go"
    );
    drop_at(&mut window, to);
    let after = scenario(&window).clone();
    assert_eq!(switched(&after, 2), Some(2));
    assert!(!hears(&after, "Fire Attack", "Patrol"));
    window.key_press_modifiers(Modifiers::COMMAND, Key::Z);
    window.run_ok();
    assert_eq!(*scenario(&window), before);
}

#[test]
fn letting_go_outside_every_lane_changes_nothing() {
    let mut window = lesson();
    show(&mut window);
    let before = scenario(&window).clone();
    let from = spot(&window, &tile(&before, 2));
    let away = spot(&window, "View: Talk groups");
    drag(&mut window, from, away);
    drop_at(&mut window, away);
    assert_eq!(*scenario(&window), before);
}

#[test]
fn arrow_keys_on_a_tile_walk_the_port_from_lane_to_lane() {
    let mut window = lesson();
    show(&mut window);
    let s = scenario(&window).clone();
    let label = tile(&s, 2);
    let focus = |window: &mut Window| {
        let found = window.query_all_by_label_contains(&label).next();
        found.expect("the tile").focus();
        window.run_ok();
        window.run_ok();
    };
    focus(&mut window);
    window.key_press(Key::ArrowRight);
    window.run_ok();
    assert_eq!(switched(scenario(&window), 2), Some(2));
    assert!(!hears(scenario(&window), "Fire Attack", "Patrol"));
    // The focus stays on the port, wherever its tile is now.
    window.key_press(Key::ArrowRight);
    window.run_ok();
    let groups = s.gateways.first().unwrap().talk_groups.len();
    let third = (groups > 2).then_some(3);
    assert_eq!(switched(scenario(&window), 2), third);
    for _ in 0..4 {
        window.key_press(Key::ArrowLeft);
        window.run_ok();
    }
    assert_eq!(switched(scenario(&window), 2), Some(1));
}

#[test]
fn the_menu_of_a_tile_switches_too() {
    let mut window = lesson();
    show(&mut window);
    let s = scenario(&window).clone();
    let at = spot(&window, &tile(&s, 3));
    window.hover_at(at);
    for pressed in [true, false] {
        window.event(egui::Event::PointerButton {
            pos: at,
            button: egui::PointerButton::Secondary,
            pressed,
            modifiers: Modifiers::NONE,
        });
    }
    window.run_ok();
    let entry = spot(&window, "Switch to 2 ");
    click_at(&mut window, entry);
    assert_eq!(switched(scenario(&window), 3), Some(2));
    // A click on a tile selects its port.
    let at = spot(&window, &tile(&s, 1));
    click_at(&mut window, at);
    let port: PortRef = gateway_port(&s, 1);
    assert_eq!(window.state().selection(), [ThingId::from(port)]);
}

#[test]
fn the_plot_says_the_figures_of_the_picture() {
    let mut window = lesson();
    show(&mut window);
    let s = scenario(&window).clone();
    let picture = Picture::new(Arc::new(s.clone()), s.phases.first().unwrap().id);
    let (group, net) = picture.traffic().groups.first_key_value().expect("a load");
    let name = s.name((*group).into());
    let mut wanted = vec![format!(
        "Load of {name}: {:.2} erlang in all against a ceiling of {}",
        net.all_erl, s.practice.load_most_erl
    )];
    for donor in picture.donors().filter(|d| d.group == Some(*group)) {
        let channel = donor.tuned.expect("tuned").channel;
        let load = &picture.traffic().channels[&channel.id];
        wanted.push(format!(
            "port {}, {}: {:.2} before joining, {:.2} joined",
            donor.port.port, channel.name, load.own_erl, load.all_erl
        ));
    }
    assert!(wanted.len() > 2, "the lesson joins several nets");
    for words in wanted {
        let there = window.query_all_by_label_contains(&words).next();
        assert!(there.is_some(), "{words}");
    }
}

#[test]
fn a_lane_where_command_meets_tactical_says_so_as_the_check_does() {
    let mut window = lesson();
    show(&mut window);
    let meets = |window: &Window| {
        let all = window.query_all_by_label_contains("Command and tactical meet here");
        all.count()
    };
    let found = |window: &Window| {
        let findings = window.state().findings();
        findings.iter().filter(|f| f.code == CHECK.code).count()
    };
    assert_eq!(meets(&window), 1);
    assert_eq!(found(&window), 1);
    // The second step of the lesson parts them.
    window.key_press(Key::P);
    window.run_ok();
    assert_eq!(found(&window), 0);
    assert_eq!(meets(&window), 0);
    assert!(window.query_by_label("Command alone").is_some());
    assert!(window.query_by_label("Tactical of 2 agencies").is_some());
}

#[test]
fn a_lane_with_tactical_units_of_two_agencies_is_not_called_tactical_alone() {
    let plan = shipped("talk-groups.ron");
    let phase = plan.phases.first().expect("a phase").id;
    let derived = Picture::new(Arc::new(plan.clone()), phase);
    let joined = derived.traffic().groups.iter().find_map(|(group, net)| {
        let crews = crosspatch::picture::lanes::tactical(&derived, net).len();
        (crews > 1).then_some((*group, crews))
    });
    let (group, crews) = joined.expect("the first step joins all");
    // Everybody is tactical, so that no command is there to be mixed with.
    let edits: Vec<Edit> = plan
        .channels
        .iter()
        .map(|channel| {
            let mut channel = channel.clone();
            channel.purpose = Some(Role::Tactical);
            Edit::Replace(channel.into())
        })
        .collect();
    let mut plan = plan.apply(&edits).expect("a purpose may change");
    let gateway = plan.gateways.get(group.gateway).expect("there").clone();
    let mut gateway = gateway;
    for group in &mut gateway.talk_groups {
        group.purpose = None;
    }
    plan = plan
        .apply(&[Edit::Replace(gateway.into())])
        .expect("so may this");
    let mut window = window(plan);
    show(&mut window);
    assert!(window.query_by_label("Tactical alone").is_none());
    let words = format!("Tactical of {crews} agencies");
    assert!(window.query_by_label(&words).is_some(), "{words}");
}

#[test]
fn lanes_and_tiles_that_carry_a_message_say_so() {
    let mut window = lesson();
    show(&mut window);
    window.key_press(Key::P);
    window.run_ok();
    let s = scenario(&window).clone();
    let speaker = unit(&s, "Fire Attack");
    window.state_mut().select(vec![speaker.into()]);
    window.run_ok();
    window.key_press_modifiers(Modifiers::SHIFT, Key::T);
    window.run_steps(400);
    let carries = |window: &Window, words: &str| {
        let all = window.query_all_by_label_contains(words);
        let labels: Vec<String> = all.filter_map(|n| n.accesskit_node().label()).collect();
        labels.iter().any(|l| l.contains("carries the message"))
    };
    assert!(carries(&window, &lane(&s, 1)));
    assert!(!carries(&window, &lane(&s, 2)));
    assert!(carries(&window, &tile(&s, 2)));
    assert!(!carries(&window, &tile(&s, 4)));
    click(&mut window, "End the talking");
    assert_eq!(window.state().talker(), None);
    assert!(!carries(&window, &lane(&s, 1)));
}

#[test]
fn a_plan_without_a_gateway_offers_to_add_one() {
    let mut window = window(Scenario::new("Empty"));
    show(&mut window);
    assert!(window.query_by_label("No gateway yet").is_some());
    click(&mut window, "Add a gateway");
    assert_eq!(scenario(&window).gateways.len(), 1);
    let s = scenario(&window).clone();
    assert!(
        window
            .query_all_by_label_contains(&lane(&s, 1))
            .next()
            .is_some()
    );
}

#[test]
fn one_gateway_of_several_can_be_shown_alone() {
    let mut window = window(shipped("incident.ron"));
    show(&mut window);
    let s = scenario(&window).clone();
    let second = s.gateways.iter().nth(1).expect("several gateways").clone();
    let port = second.port_refs().next().unwrap();
    window.state_mut().select(vec![port.into()]);
    window.run_ok();
    click(&mut window, &format!("Only {}", second.name));
    let lanes: Vec<String> = window
        .query_all_by_label_contains("Lane ")
        .filter_map(|n| n.accesskit_node().label())
        .collect();
    assert!(!lanes.is_empty());
    assert!(lanes.iter().all(|l| l.contains(&second.name)), "{lanes:?}");
    click(&mut window, "All");
    let first = s.gateways.first().unwrap();
    let label = format!("Lane 1 of {}: ", first.name);
    assert!(window.query_all_by_label_contains(&label).next().is_some());
}

#[test]
fn number_keys_switch_the_port_of_a_tile_in_focus_and_the_port_that_is_selected() {
    let mut window = lesson();
    show(&mut window);
    let s = scenario(&window).clone();
    let label = tile(&s, 2);
    let found = window.query_all_by_label_contains(&label).next();
    found.expect("the tile").focus();
    window.run_ok();
    window.run_ok();
    let press = |window: &mut Window, key| {
        window.key_press(key);
        window.run_ok();
        window.run_ok();
    };
    press(&mut window, Key::Num2);
    assert_eq!(switched(scenario(&window), 2), Some(2));
    press(&mut window, Key::Num0);
    assert_eq!(switched(scenario(&window), 2), None);
    press(&mut window, Key::Num9);
    assert_eq!(switched(scenario(&window), 2), None);
    let said = window.query_all_by_label_contains("has no talk group 9");
    assert_eq!(said.count(), 1);
    // Where no tile has the focus, the keys are for the port that is selected.
    let mut window = lesson();
    show(&mut window);
    let port = gateway_port(&s, 3);
    window.state_mut().select(vec![port.into()]);
    window.run_ok();
    press(&mut window, Key::Num2);
    assert_eq!(switched(scenario(&window), 3), Some(2));
    press(&mut window, Key::Num1);
    assert_eq!(switched(scenario(&window), 3), Some(1));
}

#[test]
fn a_lane_whose_tactical_units_no_need_joins_says_so_as_the_check_does() {
    let mut window = window(shipped("incident.ron"));
    show(&mut window);
    let findings = window.state().findings();
    let joined = findings.iter().filter(|f| f.code == "G10").count();
    assert!(joined > 0, "the plan made in a hurry joins some");
    let said = window.query_all_by_label_contains("agencies meet here");
    assert!((1..=joined).contains(&said.count()));
}
