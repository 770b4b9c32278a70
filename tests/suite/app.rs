//! The window, driven by what its parts are called. This file holds the rig the other files use, and
//! a walk through everything in both themes.

use std::path::{Path, PathBuf};
use std::sync::{Arc, Mutex};

use crosspatch::app::{Answer, Application, Ask, Chooser, Effects, install_theme};
use crosspatch::format::{Syntax, read};
use crosspatch::model::{PhaseId, PortRef, Scenario, ThingId};
use crosspatch::samples::SHIPPED;
use egui::{Context, Key, Modifiers, Pos2, pos2};
use egui_kittest::Harness;
use egui_kittest::kittest::Queryable as _;

/// A window under test.
pub(crate) type Window = Harness<'static, Application>;

/// A file chooser that answers with the paths put into it, and says it was closed otherwise.
#[derive(Clone, Default)]
pub(crate) struct FakeChooser {
    paths: Arc<Mutex<Vec<PathBuf>>>,
    asked: Arc<Mutex<Vec<Ask>>>,
    waiting: Arc<Mutex<Vec<Answer>>>,
    shown: Arc<Mutex<Vec<PathBuf>>>,
}

impl FakeChooser {
    /// Gives the answer to the next question.
    pub(crate) fn will_choose(&self, path: &Path) {
        self.paths
            .lock()
            .expect("not poisoned")
            .push(path.to_owned());
    }

    /// Returns what was given to the system's viewer.
    pub(crate) fn shown(&self) -> Vec<PathBuf> {
        self.shown.lock().expect("not poisoned").clone()
    }

    /// Returns what was asked.
    pub(crate) fn asked(&self) -> Vec<Ask> {
        self.asked.lock().expect("not poisoned").clone()
    }
}

impl Chooser for FakeChooser {
    fn ask(&mut self, ctx: &Context, ask: Ask) {
        self.asked.lock().expect("not poisoned").push(ask.clone());
        let path = self.paths.lock().expect("not poisoned").pop();
        let answer = path.map_or(Answer::Nothing, |path| Answer::Path(ask, path));
        self.waiting.lock().expect("not poisoned").push(answer);
        ctx.request_repaint();
    }

    fn answer(&mut self) -> Option<Answer> {
        self.waiting.lock().expect("not poisoned").pop()
    }

    fn show(&mut self, _: &Context, path: &Path) {
        self.shown
            .lock()
            .expect("not poisoned")
            .push(path.to_owned());
    }
}

/// Reads a shipped scenario by the name of its file.
pub(crate) fn shipped(file_name: &str) -> Scenario {
    let sample = SHIPPED
        .iter()
        .find(|s| s.file_name == file_name)
        .expect("a shipped scenario of that name");
    read(sample.text, Syntax::of_name(sample.file_name)).expect("shipped scenarios open")
}

/// Opens a window with effects of its own.
pub(crate) fn window_with(scenario: Scenario, effects: Effects, dark: bool) -> Window {
    let mut window = Harness::builder()
        .with_size(egui::vec2(1600.0, 1000.0))
        .with_step_dt(1.0 / 60.0)
        .with_max_steps(90)
        .with_context_setup(install_theme)
        .build_ui_state(
            |ui, app: &mut Application| app.show(ui),
            Application::new(scenario, effects, dark),
        );
    window.run();
    window
}

/// Opens a window without a disk.
pub(crate) fn window(scenario: Scenario) -> Window {
    let chooser = Box::new(FakeChooser::default());
    let effects = Effects::with(chooser, None, || "2031-05-04".to_owned());
    window_with(scenario, effects, false)
}

/// Opens a window on the lesson about talk groups.
pub(crate) fn lesson() -> Window {
    window(shipped("talk-groups.ron"))
}

/// Returns the scenario in a window.
pub(crate) fn scenario(window: &Window) -> &Scenario {
    window.state().document().scenario()
}

/// Tells whether something with a label is shown.
pub(crate) fn has(window: &Window, label: &str) -> bool {
    window.query_all_by_label(label).next().is_some()
}

/// Returns the middle of what has a label.
pub(crate) fn middle(window: &Window, label: &str) -> Pos2 {
    window.get_by_label(label).rect().center()
}

/// Clicks what has a label.
pub(crate) fn click(window: &mut Window, label: &str) {
    let at = middle(window, label);
    click_at(window, at);
}

/// Clicks a spot.
pub(crate) fn click_at(window: &mut Window, at: Pos2) {
    window.hover_at(at);
    window.drag_at(at);
    window.event(egui::Event::PointerButton {
        pos: at,
        button: egui::PointerButton::Primary,
        pressed: false,
        modifiers: Modifiers::NONE,
    });
    window.run_ok();
    window.run_ok();
}

/// Puts a text in place of what a field holds.
pub(crate) fn enter(window: &mut Window, label: &str, text: &str) {
    window.get_by_label(label).focus();
    window.run();
    window.key_press_modifiers(Modifiers::COMMAND, Key::A);
    window.run();
    window.get_by_label(label).type_text(text);
    window.run();
}

/// Drags from one spot to another in a few steps, without letting go.
pub(crate) fn drag(window: &mut Window, from: Pos2, to: Pos2) {
    window.hover_at(from);
    window.step();
    window.drag_at(from);
    window.step();
    for i in 1..=6 {
        window.hover_at(from.lerp(to, i as f32 / 6.0));
        window.step();
    }
    window.run_ok();
}

/// Lets go at a spot.
pub(crate) fn drop_at(window: &mut Window, at: Pos2) {
    window.drop_at(at);
    window.run_ok();
    window.run_ok();
}

/// Chooses an entry of a menu.
pub(crate) fn menu(window: &mut Window, title: &str, entry: &str) {
    click(window, title);
    let at = window
        .get_all_by_label_contains(entry)
        .next()
        .expect("the menu has the entry")
        .rect()
        .center();
    click_at(window, at);
}

/// Returns a thing by its key.
pub(crate) fn gateway_port(s: &Scenario, port: u8) -> PortRef {
    PortRef {
        gateway: s.gateways.first().expect("a gateway").id,
        port,
    }
}

/// Returns the talk group a port is switched to in the first phase.
pub(crate) fn switched(s: &Scenario, port: u8) -> Option<u8> {
    let phase = s.phases.first().expect("a phase");
    phase.group_of(gateway_port(s, port)).map(|g| g.group)
}

#[test]
fn the_first_start_shows_the_incident() {
    let effects = Effects::with(Box::new(FakeChooser::default()), None, || {
        "2031-05-04".to_owned()
    });
    let app = Application::at_start(&Context::default(), None, effects, false);
    let incident = shipped("incident.ron");
    assert_eq!(app.document().scenario().header, incident.header);
    assert!(app.document().is_saved());
    assert!(
        !app.findings().is_empty(),
        "the incident has something to find"
    );
}

#[test]
fn every_panel_opens_in_light_and_dark_and_all_inputs_have_names() {
    for dark in [false, true] {
        let effects = Effects::with(Box::new(FakeChooser::default()), None, || {
            "2031-05-04".to_owned()
        });
        let mut window = window_with(shipped("incident.ron"), effects, dark);
        for key in [Key::Num1, Key::Num2, Key::Num3, Key::Num4, Key::N] {
            window.key_press(key);
            window.run();
        }
        window.key_press(Key::Num2);
        window.run();
        // One of each kind of thing, opened in the details. `run` fails on an input without a name.
        let s = scenario(&window).clone();
        let gateway = s.gateways.first().unwrap();
        let mut things: Vec<ThingId> = vec![
            s.phases.first().unwrap().id.into(),
            s.agencies.first().unwrap().id.into(),
            s.units.first().unwrap().id.into(),
            s.systems.first().unwrap().id.into(),
            s.channels.first().unwrap().id.into(),
            s.radios.first().unwrap().id.into(),
            gateway.id.into(),
            gateway.port_refs().next().unwrap().into(),
            gateway.talk_group_refs().next().unwrap().into(),
            s.needs.first().unwrap().id.into(),
            s.sites.first().unwrap().id.into(),
        ];
        things.extend(s.ties.ids().next().map(ThingId::from));
        things.extend(s.telephones.ids().next().map(ThingId::from));
        things.extend(s.headsets.ids().next().map(ThingId::from));
        things.extend(s.cables.ids().next().map(ThingId::from));
        things.extend(s.stock.ids().next().map(ThingId::from));
        things.extend(s.agreements.ids().next().map(ThingId::from));
        for thing in things {
            window.state_mut().select(vec![thing]);
            window.run();
            let heading = s.name(thing);
            assert!(
                window.query_all_by_label(&heading).next().is_some()
                    || window.query_all_by_value(&heading).next().is_some(),
                "the details of {heading}"
            );
        }
        for (title, entry, sign) in [
            (
                "Help",
                "How to use the board",
                // The thing opened last is an agreement, and the help opens at what is selected.
                "Which agencies may be joined, and who may use which channel. A patch without an \
                 agreement is found, and so is a channel nobody allowed.",
            ),
            (
                "Help",
                "Cautions",
                "Local procedures and licensed practice come first.",
            ),
            ("Help", "Handbook of checks", "What it flags"),
        ] {
            menu(&mut window, title, entry);
            assert!(
                window.query_all_by_label(sign).next().is_some(),
                "{entry} shows {sign}"
            );
            click(&mut window, "Close");
        }
    }
}

#[test]
fn menus_undo_and_redo_by_name() {
    let mut window = lesson();
    assert!(window.query_by_label("Nothing to undo").is_some());
    menu(&mut window, "Add", "Agency");
    assert!(window.query_by_label_contains("Undo: Add agency").is_some());
    let agencies = scenario(&window).agencies.len();
    window.key_press_modifiers(Modifiers::COMMAND, Key::Z);
    window.run();
    assert_eq!(scenario(&window).agencies.len(), agencies - 1);
    window.key_press_modifiers(Modifiers::COMMAND | Modifiers::SHIFT, Key::Z);
    window.run();
    assert_eq!(scenario(&window).agencies.len(), agencies);
}

#[test]
fn phases_can_be_chosen_and_added() {
    let mut window = lesson();
    let first = window.state().phase();
    let ids: Vec<PhaseId> = scenario(&window).phases.ids().collect();
    window.key_press(Key::P);
    window.run();
    assert_eq!(Some(&window.state().phase()), ids.get(1));
    menu(&mut window, "Add", "Phase");
    let s = scenario(&window);
    assert_eq!(s.phases.len(), ids.len() + 1);
    let added = s.phases.get(window.state().phase()).unwrap();
    let model = s.phases.get(ids[1]).unwrap();
    assert_eq!(
        added.switches, model.switches,
        "a new phase begins like the one shown"
    );
    assert_ne!(window.state().phase(), first);
}

#[test]
fn a_wrong_value_says_why_and_leaves_the_old_one() {
    let mut window = lesson();
    let channel = scenario(&window).channels.first().unwrap().clone();
    window.key_press(Key::Num2);
    window.run();
    window.state_mut().select(vec![channel.id.into()]);
    window.run();
    let old = channel.conventional().unwrap().rx;
    window.get_by_label("Receive").focus();
    window.run();
    window.key_press_modifiers(Modifiers::COMMAND, Key::A);
    window.run();
    window.get_by_label("Receive").type_text("99999");
    window.run();
    assert!(
        window
            .query_by_label_contains("A frequency in MHz")
            .is_some()
    );
    let rx = |w: &Window| {
        scenario(w)
            .channels
            .first()
            .unwrap()
            .conventional()
            .unwrap()
            .rx
    };
    assert_eq!(rx(&window), old);
    window.key_press_modifiers(Modifiers::COMMAND, Key::A);
    window.run();
    window.get_by_label("Receive").type_text("154.28");
    window.run();
    assert_eq!(rx(&window).to_string(), "154.2800 MHz");
    // All that typing is one step.
    click_at(&mut window, pos2(700.0, 950.0));
    window.key_press_modifiers(Modifiers::COMMAND, Key::Z);
    window.run();
    assert_eq!(rx(&window), old);
    assert!(window.state().document().is_saved());
}
