//! The view of the needs, by what its parts are called.

use std::sync::Arc;

use crosspatch::model::{Edit, Party, Priority, Scenario};
use crosspatch::picture::Picture;
use crosspatch::picture::sounds::Sound;
use crosspatch::picture::standing::{NeedState, Standing, met_in};
use egui::{Key, Modifiers};
use egui_kittest::kittest::{NodeT as _, Queryable as _};

use crate::app::{Window, click, enter, has, scenario, shipped, window};

fn picture(scenario: &Scenario) -> Picture {
    let phase = scenario.phases.first().expect("a phase").id;
    Picture::new(Arc::new(scenario.clone()), phase)
}

fn needs(plan: Scenario) -> Window {
    let mut window = window(plan);
    window.key_press_modifiers(Modifiers::ALT, Key::Num3);
    for _ in 0..30 {
        window.run_ok();
    }
    window
}

fn go_to(window: &mut Window, label: &str) {
    window.get_by_label(label).scroll_to_me();
    window.run_ok();
    window.run_ok();
    click(window, label);
}

/// Leaves one need in sight, by its name.
fn only(window: &mut Window, name: &str) {
    enter(window, "Needs with this text", name);
    for _ in 0..4 {
        window.run_ok();
    }
}

fn states(plan: &Scenario) -> Vec<(String, NeedState)> {
    let derived = picture(plan);
    let needs = plan.needs.iter();
    needs
        .map(|n| (n.name.clone(), NeedState::of(&derived, n)))
        .collect()
}

fn unmet(plan: &Scenario) -> (String, NeedState) {
    let found = states(plan).into_iter();
    let mut found = found.filter(|(_, s)| s.standing == Standing::Unmet);
    found.next().expect("a need that is not met")
}

#[test]
fn the_head_counts_the_needs_that_are_met() {
    let plan = shipped("incident.ron");
    let states = states(&plan);
    let met = states.iter().filter(|(_, s)| s.standing.is_met()).count();
    let faulty = states
        .iter()
        .filter(|(_, s)| s.standing == Standing::MetWithFaults)
        .count();
    let window = needs(plan);
    let label = format!(
        "{met} of {} needs are met, {faulty} of them with faults",
        states.len()
    );
    assert!(has(&window, &label), "{label}");
}

#[test]
fn a_card_says_how_its_need_stands_and_what_it_hangs_on() {
    let plan = shipped("incident.ron");
    let derived = picture(&plan);
    let mut window = needs(plan.clone());
    let mut cut = 0;
    for need in plan.needs.iter().take(6) {
        only(&mut window, &need.name);
        let state = NeedState::of(&derived, need);
        let heard = state.pairs - state.with(Sound::Silent).len();
        let facts = format!("{heard} of {} pairs heard", state.pairs);
        let there = window.query_all_by_label_contains(&facts).next();
        assert!(there.is_some(), "{}: {facts}", need.name);
        let breaks = derived.need_ways().breaks(&derived, need);
        if let Some(chance) = breaks.chance.filter(|_| !breaks.ways.is_empty()) {
            let words = format!("Met with probability {:.3}", chance.value);
            let there = window.query_all_by_label_contains(&words).next();
            assert!(there.is_some(), "{}: {words}", need.name);
        }
        if !breaks.singles.is_empty() {
            cut += 1;
            let item = breaks.singles[0].name(&plan);
            assert!(has(&window, "Cut by any one of"), "{}", need.name);
            assert!(has(&window, &item), "{}: {item}", need.name);
        }
    }
    assert!(cut > 0, "some need hangs on one thing");
}

#[test]
fn the_route_is_a_chain_of_the_places_of_the_path() {
    let plan = shipped("incident.ron");
    let derived = picture(&plan);
    let (name, from, to) = states(&plan)
        .into_iter()
        .find_map(|(name, s)| s.latest.map(|(from, to, _)| (name, from, to)))
        .expect("a need that is heard");
    let path = derived.hearing().path(&plan, from, to).expect("heard");
    let mut window = needs(plan.clone());
    only(&mut window, &name);
    let first = format!("Step 1 of {name}: {}", plan.name(from.into()));
    assert!(has(&window, &first), "{first}");
    let hears = format!(": {}", plan.name(to.into()));
    let last = window
        .query_all_by_label_contains(&format!("of {name}: "))
        .filter_map(|n| n.accesskit_node().label())
        .rfind(|l| l.starts_with("Step "))
        .expect("a chain");
    assert!(last.ends_with(&hears), "{last}");
    go_to(&mut window, &first);
    assert_eq!(window.state().selection(), [from.into()]);
    let more = format!("More about {name}");
    go_to(&mut window, &more);
    let said = window.query_all_by_label_contains(" sends on ").count();
    let sent = path
        .steps
        .iter()
        .filter(|s| matches!(s.what, crosspatch::hearing::StepKind::Transmits { .. }))
        .count();
    assert_eq!(said, sent, "each hop in words");
}

#[test]
fn why_not_names_the_changes_and_applies_them() {
    let plan = shipped("incident.ron");
    let derived = picture(&plan);
    let mut found = None;
    for (name, state) in states(&plan) {
        if let Some((from, to)) = state.with(Sound::Silent).first().copied() {
            let phase = derived.phase_id();
            let why = crosspatch::hearing::why_not::why_not(&plan, phase, from, to);
            if !why.edits().is_empty() {
                found = Some((name, from, to, why));
                break;
            }
        }
    }
    let (name, from, to, why) = found.expect("a need that edits can mend");
    let mut window = needs(plan);
    only(&mut window, &name);
    go_to(&mut window, &format!("Why not: {name}"));
    for (number, change) in why.changes.iter().enumerate() {
        let label = format!("{}. {}", number + 1, change.title);
        assert!(has(&window, &label), "{label}");
    }
    let apply = match why.changes.len() {
        1 => "Apply this change".to_owned(),
        n => format!("Apply these {n} changes"),
    };
    go_to(&mut window, &apply);
    let then = picture(scenario(&window));
    assert!(then.hearing().arrival(from, to).is_some());
    window.key_press_modifiers(Modifiers::COMMAND, Key::Z);
    window.run_ok();
}

#[test]
fn show_explain_and_change_lead_on() {
    let plan = shipped("incident.ron");
    let (name, state) = unmet(&plan);
    let mut window = needs(plan.clone());
    only(&mut window, &name);
    go_to(&mut window, &format!("Show {name} on the board"));
    assert!(window.state().selection().len() > 1);
    go_to(&mut window, &format!("Explain {name}"));
    let (from, to) = state.with(Sound::Silent)[0];
    let title = format!(
        "Why {} does not hear {}",
        plan.name(to.into()),
        plan.name(from.into())
    );
    assert!(has(&window, &title), "{title}");
    go_to(&mut window, &format!("Change {name}"));
    assert!(window.query_all_by_value(&name).next().is_some());
}

#[test]
fn filters_leave_what_they_say() {
    let plan = shipped("incident.ron");
    let states = states(&plan);
    let (met, _) = states
        .iter()
        .find(|(_, s)| s.standing.is_met())
        .expect("one that is met");
    let (bad, _) = unmet(&plan);
    let mut window = needs(plan.clone());
    click(&mut window, "Only what is not met");
    for _ in 0..4 {
        window.run_ok();
    }
    assert!(has(&window, &bad) && !has(&window, met));
    click(&mut window, "Only what is not met");
    let routine = |p: Priority| plan.needs.iter().filter(|n| n.priority == p).count();
    click(&mut window, "Needs by priority");
    click(&mut window, "Routine");
    for _ in 0..4 {
        window.run_ok();
    }
    let shown = window.query_all_by_label("Priority: routine").count();
    assert!(shown > 0 && shown <= routine(Priority::Routine));
    assert_eq!(window.query_all_by_label("Priority: high").count(), 0);
    only(&mut window, "no need is called so");
    assert!(has(&window, "No need is like that."));
    click(&mut window, "Show all needs");
    window.run_ok();
    assert!(has(&window, &bad));
}

#[test]
fn the_marks_say_in_which_phase_a_need_fails() {
    let plan = shipped("incident.ron");
    let mut window = needs(plan.clone());
    let need = plan.needs.first().unwrap();
    only(&mut window, &need.name);
    let mut last = String::new();
    for phase in plan.phases.iter() {
        let verb = if met_in(&plan, phase.id)[&need.id] {
            "met"
        } else {
            "not met"
        };
        last = format!("{}: {verb} in {}", need.name, phase.name);
        assert!(has(&window, &last), "{last}");
    }
    click(&mut window, &last);
    assert_eq!(Some(window.state().phase()), plan.phases.ids().last());
}

#[test]
fn a_plan_without_needs_says_what_to_do_and_takes_one() {
    let plan = shipped("talk-groups.ron");
    let edits: Vec<Edit> = plan.needs.ids().map(|n| Edit::Remove(n.into())).collect();
    let plan = plan.apply(&edits).expect("needs can go");
    let units: Vec<_> = plan.units.iter().take(2).cloned().collect();
    let mut window = needs(plan);
    assert!(has(&window, "No needs yet"));
    click(&mut window, "Add a need");
    assert!(has(&window, "Choose who speaks and who hears."));
    click(
        &mut window,
        &format!("Choose {}, who speaks", units[0].name),
    );
    click(&mut window, &format!("Choose {}, who hears", units[1].name));
    enter(&mut window, "Name of the need", "Call for help");
    enter(&mut window, "Longest delay of the need", "soon");
    assert!(
        window
            .query_all_by_label_contains("whole number of milliseconds")
            .next()
            .is_some()
    );
    enter(&mut window, "Longest delay of the need", "300");
    click(&mut window, "Add this need");
    window.run_ok();
    let added = scenario(&window).needs.first().expect("added").clone();
    assert_eq!(added.name, "Call for help");
    assert_eq!(added.max_delay_ms, Some(300));
    assert!(added.from.contains(&Party::Unit(units[0].id)));
    assert!(added.to.contains(&Party::Unit(units[1].id)));
    assert!(has(&window, "Call for help"));
}

#[test]
fn two_sides_to_be_kept_apart_are_asked_for_and_shown_with_what_joins_them() {
    let plan = shipped("talk-groups.ron");
    let derived = picture(&plan);
    let units: Vec<_> = plan.units.ids().map(Party::Unit).collect();
    let pairs = units
        .iter()
        .flat_map(|a| units.iter().map(move |b| (*a, *b)));
    let is_heard = |(a, b): &(Party, Party)| derived.hearing().arrival(*a, *b).is_some();
    let (from, to) = pairs.clone().find(is_heard).expect("a pair that is heard");
    let (one, other) = (plan.name(from.into()), plan.name(to.into()));
    let mut window = needs(plan);
    click(&mut window, "Add a need");
    click(&mut window, "Way of the need");
    click(&mut window, "Kept apart");
    window.run_ok();
    assert!(has(
        &window,
        "Choose who is on one side and who on the other."
    ));
    assert!(!has(&window, "Must stay encrypted"));
    click(&mut window, &format!("Choose {one}, who is on one side"));
    click(
        &mut window,
        &format!("Choose {other}, who is on the other side"),
    );
    enter(&mut window, "Name of the need", "Tactical apart");
    click(&mut window, "Add this need");
    window.run_ok();
    let need = scenario(&window).needs.iter().find(|n| n.keeps_apart());
    let need = need.expect("added").clone();
    assert_eq!(
        (need.name.as_str(), need.encrypted),
        ("Tactical apart", false)
    );
    only(&mut window, "Tactical apart");
    let said = format!("{one} and {other} must not hear each other");
    assert!(has(&window, &said), "{said}");
    assert!(has(&window, "Joined"));
    assert!(has(&window, "2 of 2 pairs hear each other:"));
    assert!(!has(&window, "Why not"));
    let way = window.query_all_by_label_contains("of Tactical apart: ");
    assert!(way.count() > 2, "the way by which they hear each other");
    let found = window.state().findings();
    let found = found.iter().find(|f| f.subject == need.id.into());
    assert_eq!(found.map(|f| f.code), Some("R06"));
    go_to(&mut window, "Change Tactical apart");
    assert!(has(&window, "2 of 2 hear each other"));
    assert!(has(&window, "One side") && !has(&window, "Must stay encrypted"));
}

#[test]
fn names_to_choose_from_stay_where_they_stand_while_some_are_chosen() {
    let plan = shipped("talk-groups.ron");
    let names: Vec<String> = plan.units.iter().map(|u| u.name.clone()).collect();
    let mut window = needs(plan);
    click(&mut window, "Add a need");
    let free = |name: &String| format!("Choose {name}, who speaks");
    let place = |window: &Window, label: &str| window.get_by_label(label).rect();
    let before: Vec<_> = names.iter().map(|n| place(&window, &free(n))).collect();
    for chosen in [0, 2] {
        click(&mut window, &free(&names[chosen]));
    }
    for (i, name) in names.iter().enumerate() {
        let label = if [0, 2].contains(&i) {
            format!("{name} speaks")
        } else {
            free(name)
        };
        assert_eq!(place(&window, &label), before[i], "{label}");
    }
    assert!(has(&window, &format!("{}, {}", names[0], names[2])));
    click(&mut window, &format!("{} speaks", names[0]));
    assert!(has(&window, &free(&names[0])));
}
