//! The matrix in the middle of the window, by what its parts are called.

use std::sync::Arc;

use crosspatch::model::{Party, Scenario};
use crosspatch::picture::Picture;
use crosspatch::picture::sounds::Sound;
use crosspatch::samples::{Size, generate};
use egui::accesskit::Role;
use egui::{Event, Key, Modifiers, pos2, vec2};
use egui_kittest::kittest::{NodeT as _, Queryable as _};

use crate::app::{Window, click, enter, has, scenario, shipped, window};

fn picture(scenario: &Scenario) -> Picture {
    let phase = scenario.phases.first().expect("a phase").id;
    Picture::new(Arc::new(scenario.clone()), phase)
}

fn matrix(plan: Scenario) -> Window {
    let mut window = window(plan);
    window.key_press_modifiers(Modifiers::ALT, Key::Num2);
    window.run();
    window
}

fn press(window: &mut Window, key: Key) {
    window.key_press(key);
    window.run_ok();
    window.run_ok();
}

/// Returns what the matrix says the keys are at.
fn at(window: &Window) -> String {
    let grid = window.get_by_label_contains("Matrix, at ");
    grid.accesskit_node().label().unwrap_or_default()
}

fn choose(window: &mut Window, list: &str, entry: &str) {
    click(window, list);
    click(window, entry);
}

#[test]
fn the_legend_counts_what_the_picture_says_and_shows_only_what_is_clicked() {
    let plan = shipped("incident.ron");
    let picture = picture(&plan);
    let tally = picture
        .sounds()
        .tally(picture.hearing())
        .expect("few enough");
    let mut window = matrix(plan);
    for (sound, count) in &tally {
        let label = format!("Only pairs that are {} {count}", sound.word());
        assert!(has(&window, &label), "{label}");
    }
    assert!(has(&window, "Engine 1 speaks") && has(&window, "Heli 2 hears"));
    let late = tally[&Sound::Late];
    assert!(late > 0, "the incident has late pairs");
    click(&mut window, &format!("Only pairs that are late {late}"));
    let cells = window
        .query_all_by_label_contains(" to ")
        .filter(|n| {
            let label = n.accesskit_node().label().unwrap_or_default();
            n.accesskit_node().role() == Role::Cell && !label.contains("itself")
        })
        .map(|n| n.accesskit_node().label().unwrap_or_default())
        .collect::<Vec<String>>();
    assert_eq!(cells.len(), late);
    assert!(
        cells.iter().all(|c| c.contains(", late, since")),
        "{cells:?}"
    );
    assert!(
        !has(&window, "Heli 2 hears"),
        "who is in no late pair is left out"
    );
    click(&mut window, "Show all pairs");
    assert!(has(&window, "Heli 2 hears"));
}

#[test]
fn keys_move_the_cursor_and_enter_explains_the_pair() {
    let plan = shipped("incident.ron");
    let names: Vec<String> = picture(&plan)
        .hearing()
        .parties()
        .iter()
        .map(|p| plan.name((*p).into()))
        .collect();
    let last = names.len() - 1;
    let mut window = matrix(plan);
    let pair =
        |row: usize, column: usize| format!("Matrix, at {} to {}", names[row], names[column]);
    assert!(at(&window).starts_with(&pair(0, 1)), "{}", at(&window));
    press(&mut window, Key::ArrowDown);
    press(&mut window, Key::ArrowDown);
    press(&mut window, Key::ArrowRight);
    press(&mut window, Key::ArrowRight);
    assert!(at(&window).starts_with(&pair(2, 3)), "{}", at(&window));
    press(&mut window, Key::End);
    assert!(at(&window).starts_with(&pair(2, last)), "{}", at(&window));
    press(&mut window, Key::PageDown);
    press(&mut window, Key::ArrowLeft);
    press(&mut window, Key::Home);
    assert!(at(&window).starts_with(&pair(last, 0)), "{}", at(&window));
    press(&mut window, Key::PageUp);
    press(&mut window, Key::ArrowRight);
    press(&mut window, Key::ArrowUp);
    assert!(at(&window).starts_with(&pair(0, 1)), "{}", at(&window));
    press(&mut window, Key::Enter);
    let (from, to) = (&names[0], &names[1]);
    assert!(
        has(&window, &format!("Why {to} does not hear {from}"))
            || has(&window, &format!("{to} hears {from}")),
        "the card in the side panel explains the pair"
    );
}

#[test]
fn a_click_on_a_cell_explains_it_and_the_bar_at_the_bottom_says_it() {
    let plan = shipped("talk-groups.ron");
    let mut window = matrix(plan);
    let cell = window
        .query_all_by_label_contains("Fire Attack to Patrol: heard")
        .next()
        .expect("a cell")
        .rect()
        .center();
    window.hover_at(cell);
    window.run_ok();
    window.run_ok();
    let said = window.query_all_by_label_contains("Fire Attack to Patrol: heard");
    assert!(said.count() >= 2, "the cell and the status bar say it");
    crate::app::click_at(&mut window, cell);
    assert!(has(&window, "Patrol hears Fire Attack"));
}

#[test]
fn groups_close_into_one_line_that_counts() {
    let plan = shipped("incident.ron");
    let derived = picture(&plan);
    let parties = derived.hearing().parties();
    let members = |agency: &str| -> Vec<usize> {
        let is_of = |party: &Party| match party {
            Party::Unit(unit) => plan
                .units
                .get(*unit)
                .and_then(|u| plan.agencies.get(u.agency?))
                .is_some_and(|a| a.name == agency),
            _ => false,
        };
        (0..parties.len()).filter(|p| is_of(&parties[*p])).collect()
    };
    let names: Vec<String> = plan
        .agencies
        .iter()
        .map(|a| a.name.clone())
        .filter(|name| members(name).len() > 1)
        .take(2)
        .collect();
    let mut window = matrix(plan.clone());
    choose(&mut window, "Groups", "Groups by agency");
    click(&mut window, "Close all");
    let (a, b) = (&names[0], &names[1]);
    let (heard, all) = derived
        .sounds()
        .heard_between(derived.hearing(), &members(a), &members(b));
    let label = format!("{a} to {b}: {heard} of {all} pairs heard");
    assert!(has(&window, &label), "{label}");
    assert!(!has(&window, "Engine 1 speaks"));
    let engine = plan.units.iter().find(|u| u.name == "Engine 1").unwrap();
    let agency = plan.agencies.get(engine.agency.unwrap()).unwrap();
    click(&mut window, &format!("Open {}, who speak", agency.name));
    assert!(has(&window, "Engine 1 speaks"));
    assert!(has(&window, &format!("Close {}, who hear", agency.name)));
    assert_eq!(scenario(&window), &plan, "looking changes nothing");
}

#[test]
fn the_order_can_be_chosen() {
    let plan = shipped("incident.ron");
    let derived = picture(&plan);
    let counts: Vec<(usize, String)> = derived
        .hearing()
        .parties()
        .iter()
        .map(|p| (derived.hearing().hearers(*p).len(), plan.name((*p).into())))
        .collect();
    let most = counts.iter().map(|(n, _)| *n).max().unwrap();
    let mut window = matrix(plan);
    choose(&mut window, "Order", "By how many hear them");
    window.get_by_label_contains("Matrix, at ").focus();
    window.run_ok();
    let first = at(&window);
    let leads = counts
        .iter()
        .filter(|(n, _)| *n == most)
        .any(|(_, name)| first.starts_with(&format!("Matrix, at {name} to ")));
    assert!(leads, "{first}: heard by {most}");
}

#[test]
fn only_pairs_of_needs_are_left_and_those_that_fail_say_so() {
    let plan = shipped("incident.ron");
    let derived = picture(&plan);
    let sounds = derived.sounds();
    let wanted = sounds.all_wanted().count();
    let unmet = sounds.all_wanted().filter(|(_, w)| !w.met).count();
    let mut window = matrix(plan);
    click(&mut window, "Only pairs of needs");
    let cells: Vec<String> = window
        .query_all_by_label_contains(" to ")
        .filter(|n| n.accesskit_node().role() == Role::Cell)
        .map(|n| n.accesskit_node().label().unwrap_or_default())
        .collect();
    let with = |part: &str| cells.iter().filter(|c| c.contains(part)).count();
    assert_eq!(with("; needed for ") + with("; which fails "), wanted);
    assert_eq!(with("; which fails "), unmet);
}

#[test]
fn speakers_and_hearers_are_found_by_name_or_agency() {
    let mut window = matrix(shipped("incident.ron"));
    enter(&mut window, "Who speaks: name or agency", "engine");
    window.run_ok();
    assert!(has(&window, "Engine 1 speaks") && !has(&window, "Boat 7 speaks"));
    assert!(has(&window, "Boat 7 hears"), "hearers are not filtered");
    enter(
        &mut window,
        "Who hears: name or agency",
        "nobody of that name",
    );
    window.run_ok();
    assert!(has(&window, "No pair is like that."));
    click(&mut window, "Show all pairs");
    assert!(has(&window, "Boat 7 speaks"));
}

#[test]
fn a_name_held_down_talks_until_it_is_let_go() {
    let mut window = matrix(shipped("talk-groups.ron"));
    let name = window.get_by_label("Patrol speaks").rect();
    let spot = pos2(name.min.x + 30.0, name.center().y);
    window.hover_at(spot);
    window.step();
    window.drag_at(spot);
    for _ in 0..30 {
        window.step();
    }
    let patrol = scenario(&window)
        .units
        .iter()
        .find(|u| u.name == "Patrol")
        .unwrap()
        .id;
    assert_eq!(window.state().talker(), Some(Party::Unit(patrol)));
    window.drop_at(spot);
    window.run_ok();
    window.run_ok();
    assert_eq!(window.state().talker(), None);
}

#[test]
fn six_hundred_units_are_drawn_in_part_and_named_in_part() {
    let size = Size {
        units: 600,
        channels: 60,
        gateways: 10,
    };
    let mut window = matrix(generate(size, 1));
    let mut counts = Vec::new();
    for factor in [1.0, 0.3] {
        let spot = window.get_by_label_contains("Matrix, at ").rect().min + vec2(200.0, 200.0);
        window.hover_at(spot);
        window.step();
        window.event(Event::Zoom(factor));
        window.step();
        window.run_ok();
        let of_role = |role| window.query_all_by_role(role).count();
        let (rows, columns) = (of_role(Role::RowHeader), of_role(Role::ColumnHeader));
        assert!((20..400).contains(&rows), "{rows} rows in sight");
        assert!((20..400).contains(&columns), "{columns} columns in sight");
        // Too many to name each: those in line with the cursor have names.
        assert!(rows * columns > 900, "{rows} by {columns}");
        assert_eq!(of_role(Role::Cell), rows + columns - 1);
        counts.push(rows * columns);
    }
    assert!(counts[1] > 4 * counts[0], "smaller cells, more in sight");
}

#[test]
fn with_the_board_beside_the_key_lets_the_row_talk_and_not_what_is_selected() {
    let plan = shipped("incident.ron");
    let names = |party: Party| plan.name(party.into());
    let derived = picture(&plan);
    let parties = derived.hearing().parties();
    let mut window = matrix(plan.clone());
    click(&mut window, "Board beside this view");
    let other = *parties.last().expect("parties");
    window.state_mut().select(vec![other.into()]);
    window.run_ok();
    window.get_by_label_contains("Matrix, at ").focus();
    window.run_ok();
    press(&mut window, Key::ArrowDown);
    let start = format!("Matrix, at {}", names(parties[1]));
    assert!(at(&window).starts_with(&start), "{}", at(&window));
    window.key_down(Key::T);
    window.run_ok();
    assert_eq!(window.state().talker(), Some(parties[1]));
    window.key_up(Key::T);
    window.run_ok();
    assert_eq!(window.state().talker(), None);
}

#[test]
fn the_side_panel_explains_the_cross_of_what_is_needed_and_not_heard() {
    let mut window = window(shipped("incident.ron"));
    window.key_press(egui::Key::Num3);
    window.run_ok();
    assert!(has(&window, "needed and not heard"));
    assert!(!has(&window, "heard and to be kept apart"));
}

#[test]
fn what_the_scenario_lists_says_what_its_numbers_count() {
    let plan = shipped("incident.ron");
    let cable = plan.cables.first().expect("a cable").clone();
    let mut window = window(plan);
    window.key_press(egui::Key::Num2);
    window.run_ok();
    let words = format!("{} at hand", cable.count);
    assert!(has(&window, &words), "{words}");
}
