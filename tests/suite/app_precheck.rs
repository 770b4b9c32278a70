//! The pre-check view: ticks with a name, step by step back, the findings that go with them.

use crosspatch::app::Effects;
use crosspatch::model::{Edit, Fact, Scenario, Step, ThingId};
use crosspatch::picture::Picture;
use crosspatch::picture::precheck::{PreCheck, Set, verify};
use egui::Key;
use egui_kittest::kittest::Queryable as _;

use crate::app::{
    FakeChooser, Window, click, enter, has, menu, scenario, shipped, window, window_with,
};

fn shows(window: &Window, text: &str) -> bool {
    window.query_all_by_label_contains(text).next().is_some()
}

fn open() -> Window {
    let s = shipped("incident.ron");
    // Nothing is verified yet.
    let edits: Vec<Edit> = list(&s)
        .sets()
        .filter_map(|set| match set.thing {
            ThingId::Radio(id) => verify(s.radios.get(id)?, set.channel?, Fact::ALL, None),
            _ => None,
        })
        .collect();
    let mut window = window(s.apply(&edits).expect("ticks come off"));
    click(&mut window, "View: Pre-check");
    window
}

fn list(s: &Scenario) -> PreCheck {
    let phase = s.phases.first().expect("a phase").id;
    PreCheck::of(&Picture::new(std::sync::Arc::new(s.clone()), phase))
}

/// The first donor of the first gateway of which something is still open.
fn first_open(s: &Scenario) -> Set {
    let list = list(s);
    let part = list.parts.first().expect("a gateway");
    let set = part
        .sets
        .iter()
        .find(|set| set.facts_done().done < set.facts_done().all);
    set.expect("something is open").clone()
}

#[test]
fn a_tick_needs_a_name_and_is_one_step_with_name_and_date() {
    let mut window = open();
    let before = list(scenario(&window)).facts();
    assert!(shows(
        &window,
        &format!("{} of {} facts verified", before.done, before.all)
    ));
    assert!(shows(&window, "Write who signs, then tick"));
    let set = first_open(scenario(&window));
    let all = format!("Verify all of {}", set.name);
    click(&mut window, &all);
    assert_eq!(list(scenario(&window)).facts(), before, "nobody signed");
    enter(&mut window, "Name of who signs", "R. Vale");
    click(&mut window, &all);
    let after = list(scenario(&window));
    let gained = set.facts_done().all - set.facts_done().done;
    assert_eq!(after.facts().done, before.done + gained);
    let ticked = after.sets().find(|other| other.thing == set.thing);
    let ticked = ticked.expect("it still stands there");
    let by = ticked
        .facts
        .iter()
        .filter_map(|line| line.verified.as_ref());
    assert!(
        by.clone()
            .any(|v| v.by == "R. Vale" && v.on.len() == "2031-05-04".len())
    );
    assert!(!has(&window, &all), "nothing of it is open");
    menu(&mut window, "Edit", "Undo");
    assert_eq!(list(scenario(&window)).facts(), before);
}

#[test]
fn steps_at_a_port_and_what_was_heard_are_noted_and_taken_back() {
    let mut window = open();
    enter(&mut window, "Name of who signs", "R. Vale");
    let set = first_open(scenario(&window));
    let port = set.at_port.expect("a donor stands at a port").port;
    let name = scenario(&window).name(ThingId::from(port));
    let tested = |window: &Window| {
        let phase = scenario(window).phases.first().expect("a phase");
        phase.tested.get(&port).cloned()
    };
    click(&mut window, &format!("Cable in at {name}"));
    assert_eq!(tested(&window).map(|t| t.steps.len()), Some(1));
    enter(&mut window, &format!("What was heard at {name}"), "DAQ 4");
    window.key_press(Key::Enter);
    window.run_ok();
    let noted = tested(&window).expect("noted");
    assert_eq!((noted.heard.as_str(), noted.steps.len()), ("DAQ 4", 1));
    click(&mut window, &format!("Cable in at {name}"));
    assert_eq!(tested(&window).map(|t| t.steps.len()), Some(0));
}

#[test]
fn parts_are_chosen_and_what_is_done_can_be_hidden() {
    let mut window = open();
    let list = list(scenario(&window));
    let part = list.parts.last().expect("an agency");
    let label = window
        .query_all_by_label_contains(&format!("Pre-check part: {}", part.title))
        .next()
        .expect("the part is listed")
        .rect()
        .center();
    crate::app::click_at(&mut window, label);
    let set = part
        .sets
        .iter()
        .find(|set| !set.facts.is_empty())
        .expect("a radio");
    assert!(shows(&window, &format!("Frequency on {}", set.name)));
    enter(&mut window, "Name of who signs", "R. Vale");
    click(&mut window, "Only what is open");
    let before = set.name.clone();
    click(&mut window, &format!("Verify all of {before}"));
    assert!(!shows(&window, &format!("Frequency on {before}")));
    let pairs = format!(
        "Pre-check part: Who should be heard, 0 of {} pairs heard",
        list.heard().all
    );
    // It stands below what is seen of the list.
    window.get_by_label(&pairs).click_accesskit();
    window.run_ok();
    assert!(shows(&window, "Let each of these speak a test count"));
}

#[test]
fn a_plan_without_radios_says_what_to_do() {
    let mut window = window(Scenario::new("Empty"));
    click(&mut window, "View: Pre-check");
    assert!(shows(&window, "No radio is in use yet"));
}

#[test]
fn what_is_heard_is_ticked_with_time_quality_and_delay() {
    let effects = Effects::with(Box::new(FakeChooser::default()), None, || {
        "2031-05-04".to_owned()
    });
    let effects = effects.at(|| "14:05 UTC".to_owned());
    let mut window = window_with(shipped("incident.ron"), effects, false);
    click(&mut window, "View: Pre-check");
    assert!(shows(&window, "on 2031-05-04 14:05 UTC"));
    enter(&mut window, "Name of who signs", "R. Vale");
    let before = list(scenario(&window));
    let part = format!(
        "Pre-check part: Who should be heard, 0 of {} pairs heard",
        before.heard().all
    );
    window.get_by_label(&part).click_accesskit();
    window.run_ok();
    let pair = before
        .pairs
        .iter()
        .find(|p| p.delay_ms.is_some())
        .expect("one is met");
    let s = scenario(&window);
    let names = format!("{} to {}", s.name(pair.from.into()), s.name(pair.to.into()));
    click(&mut window, &format!("{names} heard"));
    let noted = |window: &Window| {
        let phase = scenario(window).phases.first().expect("a phase");
        phase.pairs.get(&(pair.from, pair.to)).cloned()
    };
    let heard = noted(&window).expect("it is noted");
    assert_eq!(
        (heard.noted.by.as_str(), heard.noted.when().as_str()),
        ("R. Vale", "2031-05-04 14:05 UTC")
    );
    click(&mut window, &format!("Quality of {names}"));
    click(&mut window, "DAQ 4");
    enter(&mut window, &format!("Delay of {names} in seconds"), "0.6");
    window.key_press(Key::Enter);
    window.run_ok();
    let heard = noted(&window).expect("it is noted");
    assert_eq!((heard.daq, heard.delay_ms), (Some(4), Some(600)));
    assert_eq!(list(scenario(&window)).heard().done, 1);
    click(&mut window, &format!("{names} heard"));
    assert_eq!(noted(&window), None);
}

#[test]
fn a_donor_is_tried_with_its_own_agency_before_its_cable() {
    let mut window = open();
    enter(&mut window, "Name of who signs", "R. Vale");
    let set = first_open(scenario(&window));
    let port = set.at_port.expect("a donor stands at a port").port;
    let name = scenario(&window).name(ThingId::from(port));
    let place = |words: &str| {
        window
            .get_by_label(&format!("{words} at {name}"))
            .rect()
            .min
            .y
    };
    assert!(place("Own agency") < place("Cable in"));
    click(&mut window, &format!("Own agency at {name}"));
    let phase = scenario(&window).phases.first().expect("a phase");
    let steps = phase
        .tested
        .get(&port)
        .map(|t| t.steps.keys().copied().collect());
    assert_eq!(steps, Some(vec![Step::OwnAgency]));
}
