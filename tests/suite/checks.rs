//! Checks: each against its page of `tests/data/checks`, the registry, and accepting findings.
//!
//! A page is Markdown: a title with code and name, a sentence, a scenario that fires, one that stays
//! quiet, and the findings expected. `UPDATE_EXPECT=1` writes what was found into the pages; read the
//! difference before keeping it.

use std::collections::BTreeSet;
use std::fs;
use std::path::{Path, PathBuf};
use std::sync::Arc;

use crosspatch::checks::page::SECTIONS;
use crosspatch::checks::{self, ALL, Check, Report};
use crosspatch::format::{self, Syntax};
use crosspatch::model::{
    Acceptance, Edit, Finding, Grade, Mode, PhaseId, Programmed, Scenario, Severity, SystemKind,
    ThingId,
};
use crosspatch::picture::Picture;
use crosspatch::samples::{Size, generate};

use crate::lab::{Lab, tone};

/// A page of a check's tests.
struct Page {
    path: PathBuf,
    text: String,
    code: String,
    name: String,
    fires: Scenario,
    quiet: Scenario,
    expected: String,
}

fn folder() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/data/checks")
}

fn pages() -> Vec<Page> {
    let mut paths: Vec<PathBuf> = fs::read_dir(folder())
        .expect("the folder of pages")
        .map(|entry| entry.expect("a readable folder").path())
        .collect();
    paths.sort();
    paths.into_iter().map(page).collect()
}

/// Lists the scenarios of all pages in which a check finds something.
pub(crate) fn plans_that_fire() -> Vec<Scenario> {
    pages().into_iter().map(|page| page.fires).collect()
}

fn page(path: PathBuf) -> Page {
    let text = fs::read_to_string(&path).expect("a readable page");
    let shown = path.display();
    let title = text.lines().next().and_then(|l| l.strip_prefix("# "));
    let (code, name) = title
        .and_then(|t| t.split_once(' '))
        .unwrap_or_else(|| panic!("{shown}: the first line is '# CODE name'"));
    let scenarios: Vec<Scenario> = blocks(&text, "ron")
        .into_iter()
        .map(|block| {
            format::read(block, Syntax::Ron).unwrap_or_else(|p| panic!("{shown}: {p}\n{block}"))
        })
        .collect();
    let [fires, quiet] = <[Scenario; 2]>::try_from(scenarios)
        .unwrap_or_else(|s| panic!("{shown}: two scenarios, found {}", s.len()));
    let expected = blocks(&text, "text")
        .first()
        .unwrap_or_else(|| panic!("{shown}: expected findings"))
        .to_string();
    let sentence = text.lines().nth(2).unwrap_or_default();
    assert!(sentence.ends_with('.'), "{shown}: a sentence comes first");
    Page {
        code: code.to_owned(),
        name: name.to_owned(),
        fires,
        quiet,
        expected,
        path,
        text,
    }
}

/// Cuts the fenced blocks of one language out of a page.
fn blocks<'a>(text: &'a str, language: &str) -> Vec<&'a str> {
    let fence = format!("```{language}\n");
    text.split(&fence)
        .skip(1)
        .filter_map(|rest| rest.split_once("```").map(|(block, _)| block))
        .collect()
}

fn picture_of(scenario: &Scenario, phase: PhaseId) -> Picture {
    Picture::new(Arc::new(scenario.clone()), phase)
}

fn first_phase(scenario: &Scenario) -> PhaseId {
    scenario.phases.first().expect("a phase").id
}

/// Runs all checks in the first phase.
fn report(scenario: &Scenario) -> Report {
    checks::run_all(&picture_of(scenario, first_phase(scenario)))
}

fn of_code<'a>(report: &'a Report, code: &str) -> Vec<&'a Finding> {
    report.open.iter().filter(|f| f.code == code).collect()
}

/// Writes findings as the pages have them.
fn spelt(findings: &[&Finding]) -> String {
    let mut out = String::new();
    for finding in findings {
        out.extend([&finding.severity.to_string(), " ", &finding.headline, "\n"]);
        for fix in &finding.fixes {
            let grade = match fix.grade {
                Grade::Safe => "safe",
                Grade::Ask => "ask",
            };
            out.extend(["  ", grade, " ", &fix.title, "\n"]);
        }
    }
    out
}

#[test]
fn the_handbook_kept_is_the_one_the_checks_make() {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/data/handbook.md");
    let made = checks::page::handbook(ALL);
    if std::env::var_os("UPDATE_EXPECT").is_some() {
        fs::write(&path, &made).expect("a writable handbook");
    }
    let kept = fs::read_to_string(&path).expect("the handbook is there");
    assert!(
        kept == made,
        "tests/data/handbook.md is stale: UPDATE_EXPECT=1 writes it anew; read the difference"
    );
    for check in ALL {
        assert!(made.contains(&format!("## {} {}", check.code, check.name)));
    }
}

#[test]
fn every_page_gives_what_it_says() {
    let update = std::env::var_os("UPDATE_EXPECT").is_some();
    let mut wrong = Vec::new();
    for page in pages() {
        let found = spelt(&of_code(&report(&page.fires), &page.code));
        assert!(!found.is_empty(), "{} does not fire", page.code);
        if found == page.expected {
            continue;
        }
        if update {
            let old = format!("```text\n{}```", page.expected);
            let new = format!("```text\n{found}```");
            fs::write(&page.path, page.text.replace(&old, &new)).expect("a writable page");
        } else {
            wrong.push(format!(
                "{} expected:\n{}found:\n{found}",
                page.code, page.expected
            ));
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

#[test]
fn a_quiet_scenario_gives_nothing_above_notes() {
    let mut wrong = Vec::new();
    for page in pages() {
        let report = report(&page.quiet);
        let own = spelt(&of_code(&report, &page.code));
        assert_eq!(own, "", "{} on its quiet scenario", page.code);
        let open = report.open.iter();
        let loud: Vec<&Finding> = open.filter(|f| f.severity < Severity::Notes).collect();
        if !loud.is_empty() {
            let codes: Vec<&str> = loud.iter().map(|f| f.code).collect();
            wrong.push(format!("{}, {codes:?}:\n{}", page.code, spelt(&loud)));
        }
    }
    assert!(wrong.is_empty(), "quiet scenarios of\n{}", wrong.join("\n"));
}

#[test]
fn fixes_pass_the_gate_and_safe_ones_cure() {
    let mut tried = 0;
    for page in pages() {
        let phase = first_phase(&page.fires);
        for finding in of_code(&report(&page.fires), &page.code) {
            for fix in &finding.fixes {
                let after = page.fires.apply(&fix.edits);
                let after = after.unwrap_or_else(|e| panic!("{}: {}: {e}", page.code, fix.title));
                assert!(
                    after != page.fires,
                    "{}: {} does nothing",
                    page.code,
                    fix.title
                );
                tried += 1;
                if fix.grade == Grade::Safe {
                    let then = checks::run_all(&picture_of(&after, phase));
                    let still = then.open.iter().any(|f| f.id() == finding.id());
                    assert!(!still, "{}: {} leaves the finding", page.code, fix.title);
                }
            }
        }
    }
    assert!(tried > 0);
}

#[test]
fn every_check_has_a_page_and_every_page_a_check() {
    let pages: BTreeSet<(String, String, String)> = pages()
        .into_iter()
        .map(|p| {
            let stem = p.path.file_stem().expect("a file name").to_string_lossy();
            (p.code, p.name, stem.into_owned())
        })
        .collect();
    let checks: BTreeSet<(String, String, String)> = ALL
        .iter()
        .map(|c| {
            let stem = format!("{}-{}", c.code, c.name);
            (c.code.to_owned(), c.name.to_owned(), stem)
        })
        .collect();
    assert_eq!(pages, checks);
}

#[test]
fn codes_and_names_are_unique_and_well_formed() {
    let codes: BTreeSet<&str> = ALL.iter().map(|c| c.code).collect();
    let names: BTreeSet<&str> = ALL.iter().map(|c| c.name).collect();
    assert_eq!((codes.len(), names.len()), (ALL.len(), ALL.len()));
    for Check { code, name, .. } in ALL {
        let (letter, number) = code.split_at(1);
        let is_code = letter.chars().all(|c| c.is_ascii_uppercase())
            && number.len() == 2
            && number.chars().all(|c| c.is_ascii_digit());
        assert!(is_code, "{code}");
        let is_kebab = name
            .split('-')
            .all(|w| !w.is_empty() && w.chars().all(|c| c.is_ascii_lowercase()));
        assert!(is_kebab, "{name}");
        assert_eq!(checks::find(code).map(|c| c.name), Some(*name));
        assert_eq!(checks::find(name).map(|c| c.code), Some(*code));
    }
}

#[test]
fn the_registry_is_in_order() {
    let mut families: Vec<char> = ALL.iter().filter_map(|c| c.code.chars().next()).collect();
    families.dedup();
    let distinct: BTreeSet<char> = families.iter().copied().collect();
    assert_eq!(families.len(), distinct.len(), "families stand together");
    for family in distinct {
        let codes = ALL.iter().map(|c| c.code).filter(|c| c.starts_with(family));
        assert!(codes.is_sorted(), "{family}");
    }
}

#[test]
fn every_check_has_a_handbook_page() {
    for check in ALL {
        let page = check.page();
        let headings: Vec<&str> = page.sections.iter().map(|(h, _)| h.as_str()).collect();
        assert_eq!(headings, SECTIONS, "{}", check.code);
        for (heading, text) in &page.sections {
            assert!(!text.is_empty(), "{} {heading}", check.code);
        }
        let is_sentence = page.summary.ends_with('.')
            && page.summary.matches(". ").count() == 0
            && !page.summary.contains('\n');
        assert!(is_sentence, "{}: {}", check.code, page.summary);
    }
}

#[test]
fn findings_keep_the_house_rules() {
    let mut seen = BTreeSet::new();
    for page in pages() {
        for finding in &report(&page.fires).open {
            seen.insert(finding.code);
            let check = checks::find(finding.code).expect("a registered check");
            assert!(finding.severity >= check.severity, "{}", finding.code);
            let text = &finding.headline;
            assert!(!text.ends_with('.') && !text.contains('\n'), "{text}");
            assert!(text.starts_with(|c: char| !c.is_whitespace()), "{text}");
            let exists = |t: &ThingId| page.fires.contains(*t);
            assert!(exists(&finding.subject), "{text}");
            assert!(finding.related.iter().all(exists), "{text}");
        }
    }
    assert_eq!(seen.len(), ALL.len(), "every check was seen to fire");
}

#[test]
fn identities_are_unique_in_a_report() {
    let scenarios = pages().into_iter().map(|p| p.fires);
    let generated = (1..=3).map(|seed| generate(Size::for_units(400), seed));
    for scenario in scenarios.chain(generated) {
        for phase in scenario.phases.iter() {
            let report = checks::run_all(&picture_of(&scenario, phase.id));
            let mut ids = BTreeSet::new();
            for finding in &report.open {
                assert!(ids.insert(finding.id()), "twice: {}", finding.headline);
            }
        }
    }
}

#[test]
fn every_deviation_is_found_and_nothing_else() {
    for seed in 1..=3 {
        let scenario = generate(Size::for_units(600), seed);
        let found: BTreeSet<(ThingId, ThingId)> = report(&scenario)
            .open
            .iter()
            .filter(|f| ["P01", "P02", "P03", "P04", "P05", "E07"].contains(&f.code))
            .map(|f| (f.subject, f.related[0]))
            .collect();
        let mut differing = BTreeSet::new();
        for radio in scenario.radios.iter() {
            for entry in &radio.programmed {
                let channel = scenario.channels.get(entry.channel).unwrap();
                if entry.effective(channel) != Programmed::as_defined(channel.id).effective(channel)
                {
                    differing.insert((radio.id.into(), channel.id.into()));
                }
            }
        }
        assert!(!differing.is_empty());
        assert_eq!(found, differing);
    }
}

#[test]
fn programming_all_as_defined_leaves_no_deviation() {
    let mut scenario = generate(Size::for_units(600), 4);
    for _ in 0..10 {
        let fixes: Vec<Edit> = report(&scenario)
            .open
            .iter()
            .filter(|f| ["P01", "P02", "P05"].contains(&f.code))
            .flat_map(|f| f.fixes.iter().flat_map(|fix| fix.edits.clone()))
            .collect();
        if fixes.is_empty() {
            return;
        }
        scenario = scenario.apply(&fixes).unwrap();
    }
    panic!("deviations remain");
}

/// A unit whose radio asks for a wrong tone on a repeater.
fn deaf_engine() -> (
    Lab,
    crosspatch::model::RadioId,
    crosspatch::model::ChannelId,
) {
    let mut lab = Lab::new();
    let system = lab.system("hill", SystemKind::Repeater, 100, 20);
    let mode = crosspatch::model::Mode::Fm;
    let channel = lab.channel("FIRE 1", system, 154.28, 158.73, tone(156.7), mode);
    lab.on("Chief", channel);
    let engine = lab.on("Engine 9", channel);
    let radio = lab.radio_of(engine);
    lab.deviate(radio, channel, |entry| entry.rx_code = Some(tone(100.0)));
    (lab, radio, channel)
}

fn accept(scenario: &Scenario, finding: &Finding) -> Scenario {
    set_apart(scenario, finding, None)
}

fn set_apart(scenario: &Scenario, finding: &Finding, until: Option<PhaseId>) -> Scenario {
    let acceptance = Acceptance {
        finding: finding.id(),
        facts: finding.facts(|thing| scenario.key(thing)),
        reason: "spare set, out by noon".to_owned(),
        by: "A. Planner".to_owned(),
        on: "2026-01-31".to_owned(),
        until,
    };
    scenario
        .apply(&[Edit::Accept(acceptance)])
        .expect("an acceptance of things that exist")
}

fn is_open(report: &Report, finding: &Finding) -> bool {
    report.open.iter().any(|f| f.id() == finding.id())
}

#[test]
fn an_accepted_finding_is_set_apart_and_outlives_renaming() {
    let (mut lab, radio, channel) = deaf_engine();
    let finding = of_code(&report(&lab.scenario), "P02")
        .first()
        .map(|f| (*f).clone())
        .expect("the wrong tone is found");
    lab.scenario = accept(&lab.scenario, &finding);
    let after = report(&lab.scenario);
    assert!(!is_open(&after, &finding));
    assert!(after.accepted.iter().any(|f| f.id() == finding.id()));

    for thing in [ThingId::from(radio), channel.into()] {
        let mut renamed = lab.scenario.thing(thing).unwrap();
        renamed.name_mut().push_str(" (new name)");
        lab.apply(&[Edit::Replace(renamed)]);
    }
    let after = report(&lab.scenario);
    assert!(!is_open(&after, &finding), "a name is not a fact");

    lab.deviate(radio, channel, |entry| entry.rx_code = Some(tone(110.9)));
    let after = report(&lab.scenario);
    assert!(is_open(&after, &finding), "another tone is another fact");
}

#[test]
fn a_finding_put_aside_comes_back_with_its_phase_and_with_other_facts() {
    let (mut lab, radio, channel) = deaf_engine();
    let first = lab.phase;
    let [night, morning] = [("night", 0), ("morning", 1)].map(|(key, offset)| {
        let mut phase = lab.scenario.phases.first().expect("a phase").clone();
        phase.id = PhaseId(lab.scenario.mint(offset));
        phase.key = key.to_owned();
        phase.name = key.to_owned();
        phase
    });
    let (night_id, morning_id) = (night.id, morning.id);
    lab.apply(&[Edit::Add(night.into()), Edit::Add(morning.into())]);
    let in_phase = |s: &Scenario, phase| checks::run_all(&picture_of(s, phase));
    let finding = of_code(&in_phase(&lab.scenario, first), "P02")
        .first()
        .map(|f| (*f).clone())
        .expect("the wrong tone is found");
    lab.scenario = set_apart(&lab.scenario, &finding, Some(morning_id));
    for (phase, is_aside) in [(first, true), (night_id, true), (morning_id, false)] {
        let report = in_phase(&lab.scenario, phase);
        assert_eq!(is_open(&report, &finding), !is_aside, "{phase:?}");
        let aside = report.aside.iter().any(|f| f.id() == finding.id());
        assert_eq!(aside, is_aside, "{phase:?}");
        assert!(report.accepted.is_empty());
    }
    let without = lab
        .scenario
        .apply(&[Edit::Remove(morning_id.into())])
        .unwrap();
    assert!(
        is_open(&in_phase(&without, first), &finding),
        "the phase it waited for is gone"
    );
    lab.deviate(radio, channel, |entry| entry.rx_code = Some(tone(110.9)));
    assert!(
        is_open(&in_phase(&lab.scenario, first), &finding),
        "another tone is another fact"
    );
}

#[test]
fn every_check_is_of_a_family_with_a_name_and_every_family_has_a_check() {
    let mut named = BTreeSet::new();
    for check in ALL {
        let family = checks::family(check.code);
        assert_ne!(family, check.code, "{} is of no family", check.code);
        named.insert(family);
    }
    assert_eq!(named.len(), checks::FAMILIES.len());
    assert_eq!(checks::family("?9"), "?9");
}

#[test]
fn renaming_everything_changes_no_facts() {
    for page in pages() {
        let before = report(&page.fires);
        let ids: BTreeSet<ThingId> = before
            .open
            .iter()
            .flat_map(|f| f.related.iter().copied().chain([f.subject]))
            .collect();
        let mut renamed = page.fires.clone();
        for id in ids {
            // Names of channels are facts to the checks that compare names.
            let is_fact =
                matches!(id, ThingId::Channel(_)) && ["P06", "P11"].contains(&&*page.code);
            let Some(mut thing) = renamed.thing(id).filter(|_| !is_fact) else {
                continue;
            };
            thing.name_mut().push_str(" bis");
            renamed = renamed.apply(&[Edit::Replace(thing)]).unwrap();
        }
        let facts = |scenario: &Scenario| -> BTreeSet<_> {
            report(scenario)
                .open
                .iter()
                .map(|f| (f.id(), f.facts(|thing| scenario.key(thing))))
                .collect()
        };
        assert_eq!(facts(&page.fires), facts(&renamed), "{}", page.code);
    }
}

#[test]
fn one_wrong_tone_gives_one_one_way_finding() {
    let mut lab = Lab::new();
    let direct = lab.system("Direct", SystemKind::Simplex, 0, 0);
    let one = lab.channel("ONE", direct, 150.0, 150.0, tone(123.0), Mode::Fm);
    let wrong = lab.on("Wrong", one);
    for name in ["A", "B", "C"] {
        lab.on(name, one);
    }
    lab.deviate(lab.radio_of(wrong), one, |p| p.tx_code = Some(tone(100.0)));
    let picture = Picture::new(Arc::new(lab.scenario.clone()), lab.phase);
    let report = checks::run_all(&picture);
    let one_way: Vec<&str> = report
        .open
        .iter()
        .filter(|f| f.code == "R03")
        .map(|f| f.headline.as_str())
        .collect();
    assert_eq!(one_way, ["Wrong hears 3 others and is not heard in return"]);
}

#[test]
fn a_switch_turned_between_phases_opens_the_lid_where_that_is_not_within_reach() {
    let plan = |lid_shut: &str| {
        let text = format!(
            r#"(
    format: 1,
    systems: [(key: "direct")],
    channels: [(key: "fire", name: "FIRE 1", system: "direct", carrier: Frequencies(rx_mhz: 154.13))],
    radios: [(key: "donor", name: "Donor", programmed: ["fire"], selected: "fire")],
    gateways: [(key: "box", name: "Box", site: "zone", ports: [(number: 1)], lid_shut: [{lid_shut}])],
    sites: [(key: "zone", name: "Hot zone", contaminated: true)],
    phases: [
        (key: "night", attachments: {{"box/1": Radio(radio: "donor")}}, switches: {{"box/1": 1}}),
        (key: "day", attachments: {{"box/1": Radio(radio: "donor")}}, switches: {{"box/1": 2}}),
    ],
)"#
        );
        format::read(&text, Syntax::Ron).expect("a plan of two phases")
    };
    let told = |lid_shut: &str| -> Vec<usize> {
        let scenario = plan(lid_shut);
        let phases = scenario.phases.ids();
        phases
            .map(|phase| of_code(&checks::run_all(&picture_of(&scenario, phase)), "F01").len())
            .collect()
    };
    assert_eq!(told(""), [0, 1]);
    assert_eq!(told("TalkGroupSwitches"), [0, 0]);
}

#[test]
fn who_hears_though_kept_apart_is_parted_by_one_switch_that_costs_no_need() {
    let page = include_str!("../data/checks/R06-heard-though-apart.md");
    let scenario = page
        .split("```ron")
        .nth(1)
        .and_then(|rest| rest.split("```").next());
    let scenario = format::read(scenario.expect("a scenario that fires"), Syntax::Ron).unwrap();
    let phase = scenario.phases.first().unwrap().id;
    let picture = Picture::new(Arc::new(scenario.clone()), phase);
    let open = checks::run_all(&picture).open;
    let joined = open
        .iter()
        .find(|f| f.headline.starts_with("Tactical apart"))
        .unwrap();
    let fixes = checks::fixes(joined, &picture);
    let [fix] = fixes.as_slice() else {
        panic!("{fixes:?}");
    };
    // Either port may go: to the empty group or to none, both part them and cut nobody else off.
    assert!(
        fix.title.starts_with("Switch Box port 1 to"),
        "{}",
        fix.title
    );
    let after = scenario.apply(&fix.edits).unwrap();
    let then = Picture::new(Arc::new(after), phase);
    let still = checks::run_all(&then).open;
    assert!(
        !still
            .iter()
            .any(|f| f.headline.starts_with("Tactical apart"))
    );
    // Those on one channel are parted by no switch.
    let alone = open
        .iter()
        .find(|f| f.headline.starts_with("Chief left alone"))
        .unwrap();
    assert!(checks::fixes(alone, &picture).is_empty());
}
