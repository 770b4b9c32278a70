//! Lists that must not drop anybody, dates as the forms write them, and names of files.

use std::collections::BTreeSet;
use std::sync::Arc;

use crosspatch::model::{
    Edit, Mode, Need, NeedId, Party, Priority, Scenario, SystemKind, UnitId, Way,
};
use crosspatch::paperwork::Kind;
use crosspatch::paperwork::set::face::Faces;
use crosspatch::paperwork::set::sheet::Role;
use crosspatch::picture::Picture;
use crosspatch::picture::precheck::PreCheck;
use crosspatch::picture::resilience;

use super::{ask, count, pieces, read, shipped};
use crate::lab::{Lab, tone};

fn said(scenario: &Scenario, kind: Kind, phase: usize) -> String {
    let mut ask = ask(scenario.clone(), &[kind]);
    ask.phases = ask.phases.into_iter().skip(phase).take(1).collect();
    let texts = pieces(&ask)[0].document.texts().concat().join(" ");
    texts.split_whitespace().collect::<Vec<_>>().join(" ")
}

/// Units who share a channel, with a need from the last to all others where one is asked for.
fn crowd(units: usize, has_need: bool) -> (Scenario, Vec<UnitId>) {
    let mut lab = Lab::new();
    let system = lab.system("direct", SystemKind::Simplex, 0, 0);
    let channel = lab.channel("SHARED", system, 151.0, 151.0, tone(103.5), Mode::Fm);
    let ids: Vec<UnitId> = (1..=units)
        .map(|i| lab.on(&format!("Unit {i:03}"), channel))
        .collect();
    if has_need {
        let (last, others) = ids.split_last().expect("there are some");
        let need = Need {
            id: NeedId(lab.scenario.mint(0)),
            key: String::new(),
            name: "Mayday".to_owned(),
            from: BTreeSet::from([Party::Unit(*last)]),
            to: others.iter().map(|u| Party::Unit(*u)).collect(),
            way: Way::TwoWay,
            priority: Priority::LifeSafety,
            encrypted: false,
            max_delay_ms: None,
            notes: String::new(),
        };
        lab.apply(&[Edit::Add(need.into())]);
    }
    (lab.scenario, ids)
}

#[test]
fn the_matrix_of_the_pre_check_drops_nobody_whom_a_need_names() {
    let (scenario, ids) = crowd(130, true);
    let text = said(&scenario, Kind::PreCheck, 0);
    assert!(
        !text.contains("Not printed"),
        "everybody is named by a need"
    );
    // Of the 129 pairs each way, every one has its box that says so.
    assert_eq!(text.matches("need no delay").count(), 2 * 129);
    let sheet = read(&pieces(&ask(scenario, &[Kind::PreCheck]))[0]);
    let rows = sheet.rows.iter().filter(|r| r.text.starts_with("Unit 130"));
    // 130 listeners, nine side by side; the last table has the row of nobody else.
    assert!(
        rows.count() >= 129_usize.div_ceil(9),
        "a row in every table"
    );
    assert_eq!(ids.len(), 130);
    // With few, whoever no need names is left out for just that reason.
    let (mut small, _) = crowd(5, true);
    let mut unit = small.units.first().expect("a unit").clone();
    unit.id = UnitId(small.mint(0));
    unit.key = String::new();
    unit.name = "Stranger".to_owned();
    small = small.apply(&[Edit::Add(unit.into())]).expect("a unit more");
    let text = said(&small, Kind::PreCheck, 0);
    assert!(
        text.contains("Not printed, since no need and no gateway names them: Stranger."),
        "{text}"
    );
}

#[test]
fn a_plan_without_needs_gives_no_false_reason() {
    let (scenario, _) = crowd(120, false);
    let text = said(&scenario, Kind::PreCheck, 0);
    assert!(
        text.contains("The plan has no need that says who matters, so the first 96"),
        "{text}"
    );
    assert!(!text.contains("since no need and no gateway names them"));
}

#[test]
fn rows_of_matrices_are_headed_and_special_instructions_are_a_heading() {
    let ask = ask(shipped("incident.ron"), &[Kind::Ics205, Kind::PreCheck]);
    let pieces = pieces(&ask);
    let (mut heads, mut headings) = (0, Vec::new());
    count(&pieces[1].document.tree, &mut |role| {
        heads += usize::from(*role == Role::RowHead);
    });
    count(&pieces[0].document.tree, &mut |role| {
        if let Role::Heading(_, text) = role {
            headings.push(text.clone());
        }
    });
    assert!(heads > 30, "{heads} rows are headed");
    for heading in ["4. Basic Radio Channel Use", "5. Special Instructions"] {
        assert!(headings.iter().any(|h| h == heading), "{headings:?}");
    }
}

#[test]
fn words_of_a_wrapped_line_do_not_run_together_in_the_text_layer() {
    let ask = ask(shipped("incident.ron"), &[Kind::PreCheck]);
    let sheet = read(&pieces(&ask)[0]);
    assert!(
        sheet.stream.contains("CTCSS 156.7 Hz both ways"),
        "the tone of VFIRE21"
    );
    assert!(!sheet.stream.contains("Hzboth"));
    assert!(!sheet.stream.contains("donor1"));
    // Nor does the label of a box run into what is filled in.
    assert!(!sheet.stream.contains("IncidentDerailment"));
    assert!(sheet.stream.contains("Incident Derailment"));
}

#[test]
fn the_205_has_its_page_of_the_action_plan_and_all_who_use_a_channel() {
    let incident = ask(shipped("incident.ron"), &[Kind::Ics205]);
    for piece in pieces(&incident) {
        let form = read(&piece);
        for page in 1..=form.sizes.len() as u32 {
            assert!(
                form.flat(page).contains("ICS 205 IAP Page ______"),
                "page {page}"
            );
        }
    }
    let (scenario, ids) = crowd(40, false);
    let text = said(&scenario, Kind::Ics205, 0);
    assert!(!text.contains("more units"), "{text}");
    for id in ids {
        let name = scenario.name(id.into());
        assert!(text.contains(&name), "{name}");
    }
}

#[test]
fn whoever_scans_a_channel_is_in_its_row() {
    let mut lab = Lab::new();
    let system = lab.system("direct", SystemKind::Simplex, 0, 0);
    let a = lab.channel("ALPHA", system, 151.0, 151.0, tone(103.5), Mode::Fm);
    let b = lab.channel("BRAVO", system, 152.0, 152.0, tone(103.5), Mode::Fm);
    lab.on("Engine", b);
    let unit = lab.unit("Command");
    let radio = lab.radio("Command radio", Some(unit), &[a, b]);
    lab.change_radio(radio, |r| r.scans.extend([b]));
    let text = said(&lab.scenario, Kind::Ics205, 0);
    assert!(text.contains("Command (scans)"), "{text}");
    let form = read(&pieces(&ask(lab.scenario, &[Kind::Ics205]))[0]);
    form.has_row(&["BRAVO", "Engine, Command (scans)"]);
    form.has_row(&["ALPHA", "Command"]);
}

#[test]
fn the_activity_log_tells_what_was_signed_from_what_is_to_do() {
    let scenario = shipped("incident.ron");
    let ask = ask(scenario, &[Kind::Ics214]);
    let piece = &pieces(&ask)[0];
    let whole = piece.document.texts().concat().join(" ");
    let whole = whole.split_whitespace().collect::<Vec<_>>().join(" ");
    let log = read(piece);
    assert!(!log.with("M. Okafor").is_empty());
    assert!(whole.contains("To do: bring up Gateway River"), "{whole}");
    assert!(whole.contains("change the cells, due by 02:20"), "{whole}");
    assert!(
        whole.contains("tell everybody, take the patch down"),
        "{whole}"
    );
    // Dates as the other blocks write them.
    let year = |text: &str| text.contains("2031-");
    assert!(!year(&whole), "{whole}");
    let signed = log.rows.iter().filter(|r| r.text.contains("M. Okafor"));
    let mut dated = 0;
    for row in signed {
        assert!(row.text.starts_with("10/"), "{}", row.text);
        assert!(!row.text.contains("To do"), "{}", row.text);
        dated += 1;
    }
    assert!(dated > 3, "{dated} rows are signed");
    // Every who signed something has a row.
    let picture = Picture::new(Arc::clone(&ask.scenario), ask.phases[0]);
    let list = PreCheck::of(&picture);
    let facts = list
        .sets()
        .flat_map(|s| &s.facts)
        .filter_map(|f| f.verified.as_ref());
    let steps = list
        .sets()
        .filter_map(|s| s.at_port.as_ref())
        .flat_map(|p| &p.steps);
    let names: BTreeSet<&str> = facts
        .chain(steps.filter_map(|s| s.done.as_ref()))
        .map(|v| v.by.as_str())
        .collect();
    for name in names {
        assert!(!log.with(name).is_empty(), "{name}");
    }
}

#[test]
fn every_single_point_of_failure_is_listed() {
    let scenario = shipped("large.ron");
    let phase = scenario.phases.first().expect("a phase").id;
    let picture = Picture::new(Arc::new(scenario.clone()), phase);
    let needs = resilience::to_be_heard(&scenario);
    let breaks: Vec<_> = needs
        .map(|need| picture.need_ways().breaks(&picture, need))
        .collect();
    let worst = resilience::worst(breaks.iter().map(|b| (b.need, b.singles.as_slice())));
    assert!(worst.len() > 20, "{} are few", worst.len());
    let text: String = said(&scenario, Kind::Briefing, 0)
        .chars()
        .filter(|c| *c != ' ')
        .collect();
    for (item, _) in worst {
        let name: String = item.name(&scenario).chars().filter(|c| *c != ' ').collect();
        assert!(text.contains(&name), "{name}");
    }
    assert!(!text.contains("arenotlistedhere"));
}

#[test]
fn phases_whose_keys_differ_in_capitals_only_get_files_of_their_own() {
    let mut scenario = shipped("talk-groups.ron");
    let mut phase = scenario.phases.first().expect("a phase").clone();
    let key = scenario.key(phase.id.into());
    phase.id = crosspatch::model::PhaseId(scenario.mint(0));
    phase.key = key.to_uppercase();
    assert_ne!(phase.key, key);
    scenario = scenario
        .apply(&[Edit::Add(phase.into())])
        .expect("another key");
    let ask = ask(scenario, &[Kind::Ics214, Kind::Diagram]);
    let faces = Faces::default();
    let mut names = BTreeSet::new();
    for piece in pieces(&ask) {
        for output in piece.outputs(&faces).expect("it can be written") {
            assert!(
                names.insert(output.name.to_lowercase()),
                "{} twice",
                output.name
            );
        }
    }
}
