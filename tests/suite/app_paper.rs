//! The papers: chosen, looked at page by page, and saved into a folder, by what the parts are called.

use std::collections::BTreeSet;
use std::fs;
use std::path::Path;
use std::sync::Arc;

use crosspatch::app::{Ask as Asked, Effects};
use crosspatch::model::{Edit, Header, Scenario};
use crosspatch::paperwork::given::Given;
use crosspatch::paperwork::set::face::Faces;
use crosspatch::paperwork::set::sheet::Paper;
use crosspatch::paperwork::{Ask, Go, Kind, Piece};
use egui::{Key, Modifiers};
use egui_kittest::kittest::Queryable as _;
use tempfile::TempDir;

use crate::app::{FakeChooser, Window, click, has, scenario, shipped, window_with};

struct Desk {
    folder: TempDir,
    chooser: FakeChooser,
}

impl Desk {
    fn new() -> Self {
        Self {
            folder: tempfile::tempdir().expect("a temporary folder"),
            chooser: FakeChooser::default(),
        }
    }

    fn window(&self, plan: Scenario) -> Window {
        let effects = Effects::with(
            Box::new(self.chooser.clone()),
            Some(self.folder.path().join("state")),
            || "2031-05-04".to_owned(),
        );
        window_with(plan, effects, false)
    }

    /// Opens the papers of the lesson, with none chosen but these.
    fn papers(&self, kinds: &[Kind]) -> Window {
        let mut window = self.window(shipped("talk-groups.ron"));
        print(&mut window);
        click(&mut window, "No paper");
        for kind in kinds {
            click(&mut window, kind.title());
        }
        wait(&mut window);
        window
    }
}

fn print(window: &mut Window) {
    window.key_press_modifiers(Modifiers::COMMAND, Key::P);
    window.run_ok();
}

/// Draws frames until something is so.
fn until(window: &mut Window, what: &str, is_so: impl Fn(&Window) -> bool) {
    for _ in 0..4_000 {
        window.step();
        if is_so(window) {
            return;
        }
        std::thread::sleep(std::time::Duration::from_millis(5));
    }
    panic!("it never came to this: {what}");
}

fn wait(window: &mut Window) {
    until(window, "the pages are set", |w| w.state().is_paper_set());
    window.run_ok();
}

/// Puts a text into a field, and lets the pages follow.
fn fill(window: &mut Window, label: &str, text: &str) {
    window.get_by_label(label).focus();
    window.run_ok();
    window.get_by_label(label).type_text(text);
    wait(window);
}

fn saved(window: &mut Window) {
    until(window, "the files are saved", |w| {
        !w.state().is_saving_papers()
    });
    window.run_ok();
}

/// Sets the same papers without a window.
fn pieces(plan: &Scenario, kinds: &[Kind], given: Given) -> Vec<Piece> {
    let ask = Ask {
        scenario: Arc::new(plan.clone()),
        kinds: kinds.iter().copied().collect(),
        phases: plan.phases.ids().collect(),
        given,
    };
    ask.set(&mut |_| Go::On).expect("nobody stopped it")
}

fn page_label(piece: &Piece, page: usize) -> String {
    let (title, count) = (&piece.document.title, piece.document.pages.len());
    format!("{title}, page {page} of {count}")
}

fn names(folder: &Path) -> BTreeSet<String> {
    let Ok(entries) = fs::read_dir(folder) else {
        return BTreeSet::new();
    };
    entries
        .map(|e| {
            e.expect("readable")
                .file_name()
                .to_string_lossy()
                .into_owned()
        })
        .collect()
}

#[test]
fn papers_open_with_a_key_show_a_page_and_turn_to_the_next() {
    let desk = Desk::new();
    let mut window = desk.papers(&[Kind::Ics205, Kind::Card]);
    let plan = scenario(&window).clone();
    let set = pieces(&plan, &[Kind::Ics205, Kind::Card], Given::default());
    let first = set.first().unwrap();
    assert!(has(&window, &page_label(first, 1)));
    let all: usize = set.iter().map(|p| p.document.pages.len()).sum();
    assert!(has(&window, &format!("Page 1 of {all}")));

    click(&mut window, "Next page");
    assert!(has(&window, &format!("Page 2 of {all}")));
    assert!(!has(&window, &page_label(first, 1)));
    window.key_press(Key::PageUp);
    window.run_ok();
    assert!(has(&window, &page_label(first, 1)));
    window.key_press(Key::PageDown);
    window.run_ok();
    assert!(has(&window, &format!("Page 2 of {all}")));

    let last = set.last().unwrap();
    click(&mut window, &format!("Go to {}", last.document.title));
    assert!(has(&window, &page_label(last, 1)));

    window.key_press(Key::Escape);
    window.run_ok();
    assert!(!has(&window, "Save papers…"));
    assert!(has(&window, "View: Board"));
}

#[test]
fn the_arrow_keys_turn_as_soon_as_the_papers_are_open() {
    let desk = Desk::new();
    let mut window = desk.window(shipped("talk-groups.ron"));
    print(&mut window);
    wait(&mut window);
    window.key_press(Key::ArrowRight);
    window.run_ok();
    assert!(window.query_by_label_contains("Page 2 of").is_some());
    window.key_press(Key::ArrowLeft);
    window.run_ok();
    assert!(window.query_by_label_contains("Page 1 of").is_some());
    window.key_press(Key::End);
    window.run_ok();
    assert!(window.query_by_label_contains("Page 1 of").is_none());
    for zoom in ["Fit width", "Page larger", "Page smaller", "Fit page"] {
        click(&mut window, zoom);
        assert!(
            window.query_by_label_contains(", page ").is_some(),
            "{zoom}"
        );
    }
}

#[test]
fn the_pages_follow_the_plan_and_the_choice() {
    let desk = Desk::new();
    let mut window = desk.papers(&[Kind::Ics214]);
    let set = pieces(scenario(&window), &[Kind::Ics214], Given::default());
    let all: usize = set.iter().map(|p| p.document.pages.len()).sum();
    assert!(has(&window, &format!("Page 1 of {all}")));
    click(&mut window, "Only one phase");
    wait(&mut window);
    assert!(set.len() > 1, "the lesson has phases");
    let one = set.first().unwrap().document.pages.len();
    assert!(has(&window, &format!("Page 1 of {one}")));
    // The papers of another phase.
    let before = window.state().phase();
    window.key_press(Key::P);
    window.run_ok();
    assert_ne!(window.state().phase(), before);
    wait(&mut window);
    let plan = scenario(&window).clone();
    let name = plan.name(window.state().phase().into());
    assert!(
        window
            .query_by_label_contains(&format!("{name}, page 1 of"))
            .is_some()
    );

    click(&mut window, "No paper");
    wait(&mut window);
    assert!(has(&window, "No paper is chosen"));
    click(&mut window, "Save papers…");
    assert!(desk.chooser.asked().is_empty(), "there is nothing to save");
}

#[test]
fn what_is_saved_is_what_the_verb_writes() {
    let desk = Desk::new();
    let kinds = [Kind::Ics205, Kind::Card, Kind::PreCheck];
    let mut window = desk.papers(&kinds);
    fill(&mut window, "Agency", "Corbel County Fire");
    fill(&mut window, "Prepared by", "N. Aldred");
    fill(&mut window, "Position", "COML");
    // It lies further down, out of sight.
    window.get_by_label("Prepared now").click_accesskit();
    window.run_ok();
    wait(&mut window);
    let out = desk.folder.path().join("out");
    desk.chooser.will_choose(&out);
    click(&mut window, "Save papers…");
    assert_eq!(desk.chooser.asked(), [Asked::Folder]);
    saved(&mut window);

    let given = Given {
        agency: "Corbel County Fire".to_owned(),
        by: "N. Aldred".to_owned(),
        position: "COML".to_owned(),
        prepared: "2031-05-04".to_owned(),
        ..Given::default()
    };
    let faces = Faces::default();
    let mut expected = BTreeSet::new();
    for piece in pieces(scenario(&window), &kinds, given) {
        for output in piece.outputs(&faces).unwrap() {
            let written = fs::read(out.join(&output.name)).unwrap();
            assert!(written == output.bytes, "{} differs", output.name);
            expected.insert(output.name);
        }
    }
    assert_eq!(names(&out), expected);

    // The toast opens the folder.
    click(&mut window, &format!("Open {}", out.display()));
    assert_eq!(desk.chooser.shown(), [out]);
}

#[test]
fn nothing_is_written_over_unless_somebody_says_so() {
    let desk = Desk::new();
    let mut window = desk.papers(&[Kind::Ics205]);
    let out = desk.folder.path().join("out");
    fs::create_dir(&out).unwrap();
    let set = pieces(scenario(&window), &[Kind::Ics205], Given::default());
    let there = format!("{}.pdf", set.last().unwrap().stem);
    fs::write(out.join(&there), "mine").unwrap();

    for key in [None, Some(Key::Escape)] {
        desk.chooser.will_choose(&out);
        click(&mut window, "Save papers…");
        until(&mut window, "it asks", |w| has(w, "1 file exists already"));
        window.run_ok();
        match key {
            None => click(&mut window, "Keep it"),
            Some(key) => window.key_press(key),
        }
        saved(&mut window);
        assert!(has(&window, "Nothing was saved"));
        assert_eq!(names(&out), BTreeSet::from([there.clone()]));
        assert_eq!(fs::read_to_string(out.join(&there)).unwrap(), "mine");
    }

    desk.chooser.will_choose(&out);
    click(&mut window, "Save papers…");
    until(&mut window, "it asks", |w| has(w, "1 file exists already"));
    window.run_ok();
    click(&mut window, "Replace it");
    saved(&mut window);
    assert_eq!(names(&out).len(), set.len());
    let written = fs::read(out.join(&there)).unwrap();
    assert!(written.starts_with(b"%PDF"));
}

#[test]
fn a_folder_that_cannot_be_written_is_told_of() {
    let desk = Desk::new();
    let mut window = desk.papers(&[Kind::Ics205]);
    let file = desk.folder.path().join("a-file");
    fs::write(&file, "mine").unwrap();
    desk.chooser.will_choose(&file);
    click(&mut window, "Save papers…");
    saved(&mut window);
    assert!(has(&window, "The papers were not saved"));
    assert!(
        window
            .query_by_label_contains("That is a file and no folder")
            .is_some()
    );
    assert_eq!(fs::read_to_string(&file).unwrap(), "mine");
}

#[test]
fn a_cancelled_set_writes_nothing() {
    let desk = Desk::new();
    let mut window = desk.window(shipped("incident.ron"));
    print(&mut window);
    let out = desk.folder.path().join("out");
    desk.chooser.will_choose(&out);
    click(&mut window, "Save papers…");
    until(&mut window, "files are being made", |w| {
        has(w, "Cancel saving")
    });
    click(&mut window, "Cancel saving");
    assert!(!window.state().is_saving_papers());
    assert!(has(&window, "Nothing was saved"));
    for _ in 0..20 {
        window.step();
        std::thread::sleep(std::time::Duration::from_millis(5));
    }
    assert!(!out.exists());
}

#[test]
fn a_picture_that_is_none_is_refused_in_a_sentence() {
    let desk = Desk::new();
    let mut window = desk.papers(&[Kind::Briefing]);
    let bad = desk.folder.path().join("shield.png");
    fs::write(&bad, "no picture").unwrap();
    desk.chooser.will_choose(&bad);
    click(&mut window, "Choose a logo");
    window.run_ok();
    let refused = "shield.png cannot head the pages: it is no PNG, JPEG or SVG picture";
    assert!(window.query_by_label_contains(&refused[1..]).is_some());
    assert!(!has(&window, "No logo"));

    let good = desk.folder.path().join("shield.svg");
    let svg = "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"10\" height=\"10\">\
               <rect width=\"10\" height=\"10\"/></svg>";
    fs::write(&good, svg).unwrap();
    desk.chooser.will_choose(&good);
    click(&mut window, "Choose a logo");
    wait(&mut window);
    assert!(window.query_by_label_contains(&refused[1..]).is_none());
    assert!(has(&window, "shield.svg"));
    assert_eq!(desk.chooser.asked(), [Asked::Logo, Asked::Logo]);
}

#[test]
fn what_was_given_is_there_at_the_next_start() {
    let desk = Desk::new();
    let mut window = desk.papers(&[Kind::Ics205]);
    fill(&mut window, "Agency", "Corbel County Fire");
    click(&mut window, "Forms, sheets and briefing");
    click(&mut window, "A4, 210 × 297 mm");
    window.get_by_label("Prepared now").click_accesskit();
    window.run_ok();
    let when = window.get_by_label("Date and time prepared").value();
    assert_eq!(when.as_deref(), Some("2031-05-04"));
    for _ in 0..90 {
        window.step();
    }
    drop(window);
    let mut window = desk.window(shipped("talk-groups.ron"));
    print(&mut window);
    let agency = window.get_by_label("Agency").value();
    assert_eq!(agency.as_deref(), Some("Corbel County Fire"));
    let paper = window.get_by_label("Forms, sheets and briefing").value();
    assert_eq!(paper.as_deref(), Some("A4, 210 × 297 mm"));
    let when = window.get_by_label("Date and time prepared").value();
    assert_eq!(when.as_deref(), Some(""), "yesterday's would be wrong");
    assert_ne!(Paper::default(), Paper::A4);
}

#[test]
fn letters_that_cannot_be_printed_are_named() {
    let desk = Desk::new();
    let plan = shipped("talk-groups.ron");
    let header = Header {
        title: "Ridge ₿ Fire".to_owned(),
        ..plan.header.clone()
    };
    let plan = plan.apply(&[Edit::SetHeader(header)]).unwrap();
    let mut window = desk.window(plan);
    print(&mut window);
    wait(&mut window);
    let words = "These letters cannot be printed, a box stands for each: ₿ (U+20BF)";
    assert!(has(&window, words));
}

#[test]
fn help_opens_at_printing_while_the_papers_are_shown() {
    let desk = Desk::new();
    let mut window = desk.papers(&[Kind::Briefing]);
    window.key_press(Key::F1);
    window.run_ok();
    assert!(
        window
            .query_by_label_contains("Turn the pages with PageUp")
            .is_some()
    );
    window.key_press(Key::Escape);
    window.run_ok();
    assert!(has(&window, "Save papers…"), "only the help was closed");
}

#[test]
fn an_empty_plan_says_what_to_do() {
    let desk = Desk::new();
    let mut window = desk.window(Scenario::new("Nothing yet"));
    print(&mut window);
    assert!(has(&window, "Nothing to print yet"));
    assert!(!has(&window, "Save papers…"));
    click(&mut window, "Back to the board");
    assert!(!has(&window, "Nothing to print yet"));
}

#[test]
fn keys_of_the_board_do_nothing_behind_the_papers() {
    let desk = Desk::new();
    let mut window = desk.window(shipped("talk-groups.ron"));
    let unit = scenario(&window).units.first().unwrap().id;
    window.state_mut().select(vec![unit.into()]);
    print(&mut window);
    let before = scenario(&window).clone();
    for key in [Key::Delete, Key::J, Key::A, Key::Num2] {
        window.key_press(key);
        window.run_ok();
    }
    assert_eq!(scenario(&window), &before);
    assert!(has(&window, "Save papers…"));
    window.key_press_modifiers(Modifiers::ALT, Key::Num2);
    window.run_ok();
    assert!(
        !has(&window, "Save papers…"),
        "another view takes its place"
    );
}
