//! Phases in the strip: renamed in place, compared, deleted; what changes with one glides.

use crosspatch::format::{Syntax, read, write};
use crosspatch::model::{Edit, ThingId};
use egui::{Key, PointerButton};
use egui_kittest::kittest::Queryable as _;

use crate::app::{
    Window, click, enter, gateway_port, lesson, menu, middle, scenario, shipped, window,
};

fn shows(window: &Window, text: &str) -> bool {
    window.query_all_by_label_contains(text).next().is_some()
}

fn tab(window: &Window, place: usize) -> String {
    let phase = scenario(window).phases.iter().nth(place).expect("a phase");
    format!("Phase: {}", phase.name)
}

fn right_click(window: &mut Window, label: &str) {
    let at = middle(window, label);
    window.hover_at(at);
    window.step();
    for pressed in [true, false] {
        window.event(egui::Event::PointerButton {
            pos: at,
            button: PointerButton::Secondary,
            pressed,
            modifiers: egui::Modifiers::NONE,
        });
        window.step();
    }
    window.run_ok();
}

#[test]
fn a_phase_is_renamed_in_place() {
    let mut window = lesson();
    let label = tab(&window, 0);
    right_click(&mut window, &label);
    click(&mut window, "Rename it");
    enter(&mut window, "Name of the phase", "First hour");
    window.key_press(Key::Enter);
    window.run_ok();
    assert_eq!(scenario(&window).phases.first().unwrap().name, "First hour");
    assert!(window.query_by_label("Phase: First hour").is_some());
}

#[test]
fn a_phase_is_copied_and_deleted_from_its_menu() {
    let mut window = lesson();
    let count = scenario(&window).phases.len();
    let label = tab(&window, 1);
    right_click(&mut window, &label);
    click(&mut window, "Add a phase like it");
    assert_eq!(scenario(&window).phases.len(), count + 1);
    let s = scenario(&window);
    let model = s.phases.iter().nth(1).unwrap();
    let copy = s.phases.iter().last().unwrap();
    assert_eq!(copy.switches, model.switches);
    let label = format!("Phase: {}", copy.name);
    right_click(&mut window, &label);
    click(&mut window, "Delete the phase");
    assert_eq!(scenario(&window).phases.len(), count);
}

#[test]
fn two_phases_are_compared_in_words_and_the_comparison_ends() {
    let s = shipped("talk-groups.ron");
    let second = s.phases.ids().nth(1).expect("a second phase");
    let port = gateway_port(&s, 2);
    let now = s.phases.first().unwrap().switches.get(&port).copied();
    let other = if now == Some(1) { 2 } else { 1 };
    let edit = Edit::Switch {
        phase: second,
        port,
        group: Some(other),
    };
    let mut window = window(s.apply(&[edit]).expect("the switch exists"));
    click(&mut window, "Compare…");
    let name = scenario(&window).name(second.into());
    click(&mut window, &format!("Compare with {name}"));
    let words = format!(
        "goes from talk group {} to talk group {other}",
        now.unwrap()
    );
    assert!(shows(&window, &words), "{words}");
    let line = window
        .query_all_by_label_contains(&words)
        .next()
        .expect("the line")
        .rect()
        .center();
    crate::app::click_at(&mut window, line);
    assert_eq!(window.state().selection(), [ThingId::from(port)]);
    click(&mut window, "End the comparison");
    assert!(!shows(&window, &words));
}

#[test]
fn the_board_comes_to_rest_after_a_change_of_phase_and_at_once_with_less_motion() {
    let mut window = lesson();
    let frames = |window: &mut Window| {
        window.key_press(Key::P);
        let mut frames = 0;
        window.step();
        while window.ctx.has_requested_repaint() && frames < 200 {
            window.step();
            frames += 1;
        }
        frames
    };
    let moving = frames(&mut window);
    assert!((30..120).contains(&moving), "about 0.8 s: {moving} frames");
    menu(&mut window, "Look", "Less motion");
    assert!(shows(&window, "Nothing glides or pulses now"));
    window.run_steps(400);
    let still = frames(&mut window);
    assert!(still < moving / 2, "{still} against {moving} frames");
}

#[test]
fn a_phase_is_moved_by_its_menu_and_by_key_and_a_file_keeps_the_order() {
    let mut window = lesson();
    let names = |window: &Window| -> Vec<String> {
        scenario(window)
            .phases
            .iter()
            .map(|p| p.name.clone())
            .collect()
    };
    let before = names(&window);
    assert!(before.len() > 2);
    let label = tab(&window, 0);
    let (x, other) = (middle(&window, &label).x, tab(&window, 1));
    right_click(&mut window, &label);
    click(&mut window, "Move it later");
    let moved = names(&window);
    assert_eq!(moved[..2], [before[1].clone(), before[0].clone()]);
    assert_eq!(moved[2..], before[2..]);
    assert!(middle(&window, &label).x > middle(&window, &other).x);
    assert!(middle(&window, &label).x > x);
    // The phase shown is the one that was shown, and goes back by key.
    assert_eq!(
        scenario(&window).name(window.state().phase().into()),
        before[0]
    );
    let text = write(scenario(&window), Syntax::Ron);
    let back = read(&text, Syntax::Ron).expect("it opens");
    let kept: Vec<String> = back.phases.iter().map(|p| p.name.clone()).collect();
    assert_eq!(kept, moved, "a file keeps the order");
    window.key_press_modifiers(egui::Modifiers::ALT, Key::PageUp);
    window.run_ok();
    assert_eq!(names(&window), before);
    window.key_press_modifiers(egui::Modifiers::ALT, Key::PageUp);
    window.run_ok();
    assert_eq!(names(&window), before);
    assert!(shows(&window, "is the first phase"));
    for expected in [&moved, &before] {
        window.key_press_modifiers(egui::Modifiers::COMMAND, Key::Z);
        window.run_ok();
        assert_eq!(&names(&window), expected);
    }
    menu(&mut window, "View", "Move the phase later");
    assert_eq!(names(&window), moved);
}

#[test]
fn every_phase_can_be_reached_in_a_narrow_window_and_stays_where_it_is() {
    let mut plan = shipped("incident.ron");
    for number in 0..4 {
        let like = plan.phases.first().expect("a phase").clone();
        let phase = crosspatch::model::Phase {
            id: crosspatch::model::PhaseId(plan.mint(0)),
            key: String::new(),
            name: format!("Operational period {number}, Harrow Junction"),
            ..like
        };
        plan = plan.apply(&[Edit::Add(phase.into())]).expect("one more");
    }
    let labels: Vec<String> = plan
        .phases
        .iter()
        .map(|p| format!("Phase: {}", p.name))
        .collect();
    let mut window = window(plan);
    window.set_size(egui::vec2(1100.0, 800.0));
    for _ in 0..6 {
        window.run_ok();
    }
    let places = |window: &Window| -> Vec<egui::Rect> {
        let rects = labels.iter().map(|label| window.get_by_label(label).rect());
        rects.collect()
    };
    let on_board = places(&window);
    let strip = window.get_by_label("Add a phase like this one").rect();
    for (i, one) in on_board.iter().enumerate() {
        assert!(
            one.max.x <= 1100.0 && one.min.x >= 0.0,
            "{one:?} is in the window"
        );
        assert!(one.max.y <= strip.max.y + 4.0);
        assert!(one.width() > 60.0, "{} can be read", labels[i]);
        for other in on_board.iter().take(i) {
            assert!(
                !one.shrink(0.5).intersects(*other),
                "{one:?} over {other:?}"
            );
        }
    }
    click(&mut window, "View: Matrix");
    for _ in 0..6 {
        window.run_ok();
    }
    // Another row of views may push them down, and nothing else moves them.
    let down = places(&window)[0].min.y - on_board[0].min.y;
    let moved: Vec<egui::Rect> = on_board
        .iter()
        .map(|r| r.translate(egui::vec2(0.0, down)))
        .collect();
    assert_eq!(places(&window), moved);
    click(&mut window, &labels[2]);
    let third = scenario(&window).phases.ids().nth(2);
    assert_eq!(Some(window.state().phase()), third);
}
