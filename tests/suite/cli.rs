//! The headless verbs: most through the library, a few through the program itself.

use std::collections::BTreeSet;
use std::ffi::OsString;
use std::fs;
use std::io::{self, Write};
use std::path::{Path, PathBuf};
use std::process::{Command, Output};
use std::sync::Arc;

use clap::CommandFactory as _;
use crosspatch::checks::{self, ALL};
use crosspatch::cli::{self, Args, Error, Kind, Outcome};
use crosspatch::format::{self, Syntax};
use crosspatch::model::{Acceptance, Edit};
use crosspatch::picture::Picture;
use crosspatch::samples::SHIPPED;
use serde_json::Value;
use tempfile::TempDir;

/// Runs a verb; its output comes without colours.
fn run(args: &[&str]) -> (Result<Outcome, Error>, String) {
    let mut out = Vec::new();
    let result = run_into(args, &mut out);
    let text = String::from_utf8(out).expect("the output is text");
    (result, anstream::adapter::strip_str(&text).to_string())
}

fn run_into(args: &[&str], out: &mut dyn Write) -> Result<Outcome, Error> {
    let line = ["crosspatch"].iter().chain(args).map(OsString::from);
    let args = cli::parse(line).expect("the command line is right");
    cli::run_to(&args.verb.expect("it has a verb"), out)
}

/// Runs a verb that must run.
fn ok(args: &[&str]) -> (Outcome, String) {
    let (result, text) = run(args);
    (
        result.unwrap_or_else(|e| panic!("{args:?}: {}", rendered(&e))),
        text,
    )
}

/// Runs a verb that must fail, and returns what is printed of the failure.
fn fails(args: &[&str], kind: Kind) -> String {
    match run(args).0 {
        Ok(outcome) => panic!("{args:?} ran: {outcome:?}"),
        Err(error) => {
            assert_eq!(error.kind, kind, "{args:?}");
            rendered(&error)
        }
    }
}

fn rendered(error: &Error) -> String {
    let mut out = Vec::new();
    error.render(&mut out).expect("memory takes it");
    let text = String::from_utf8(out).expect("the output is text");
    anstream::adapter::strip_str(&text).to_string()
}

fn json(args: &[&str]) -> (Outcome, Value) {
    let (outcome, text) = ok(&[args, &["--json"]].concat());
    (outcome, serde_json::from_str(&text).expect("it is JSON"))
}

struct Folder(TempDir);

impl Folder {
    fn new() -> Self {
        Self(TempDir::new().expect("there is room for a folder"))
    }

    /// A folder with the shipped scenarios.
    fn shipped() -> Self {
        let folder = Self::new();
        for sample in SHIPPED {
            folder.put(sample.file_name, sample.text);
        }
        folder
    }

    fn put(&self, name: &str, text: &str) -> String {
        let path = self.path(name);
        fs::write(&path, text).expect("the folder takes a file");
        path
    }

    fn path(&self, name: &str) -> String {
        let path: PathBuf = self.0.path().join(name);
        path.to_str().expect("a plain name").to_owned()
    }

    fn names(&self) -> BTreeSet<String> {
        fs::read_dir(self.0.path())
            .expect("the folder is there")
            .map(|e| {
                e.expect("readable")
                    .file_name()
                    .into_string()
                    .expect("plain")
            })
            .collect()
    }
}

fn read(path: &str) -> String {
    fs::read_to_string(path).expect("the file is there")
}

/// Every key of every object in a value.
fn keys(value: &Value, out: &mut BTreeSet<String>) {
    match value {
        Value::Object(fields) => {
            for (key, value) in fields {
                out.insert(key.clone());
                keys(value, out);
            }
        }
        Value::Array(items) => items.iter().for_each(|item| keys(item, out)),
        _ => {}
    }
}

/// The words in double quotes of a verb's long help.
fn documented(verb: &str) -> BTreeSet<String> {
    let mut command = Args::command();
    let command = command.find_subcommand_mut(verb).expect("it is a verb");
    let help = command.render_long_help().to_string();
    help.split('"')
        .skip(1)
        .step_by(2)
        .map(str::to_owned)
        .collect()
}

#[track_caller]
fn all_documented(verb: &str, value: &Value) {
    let mut found = BTreeSet::new();
    keys(value, &mut found);
    let documented = documented(verb);
    let missing: Vec<_> = found.difference(&documented).collect();
    assert!(
        missing.is_empty(),
        "{verb} prints {missing:?}, which its help does not name"
    );
}

fn fields(value: &Value) -> Vec<&str> {
    let object = value.as_object().expect("an object");
    object.keys().map(String::as_str).collect()
}

#[test]
fn every_verb_has_an_example_and_names_its_json() {
    let command = Args::command();
    command.clone().debug_assert();
    let mut verbs = 0;
    for verb in command.get_subcommands() {
        let mut verb = verb.clone();
        let (short, long) = (
            verb.render_help().to_string(),
            verb.render_long_help().to_string(),
        );
        let name = verb.get_name();
        for help in [&short, &long] {
            assert!(
                help.contains(&format!("Example:\n  crosspatch {name}")),
                "{help}"
            );
            assert!(help.contains("--json"), "{help}");
        }
        assert!(long.contains("JSON"), "{long}");
        verbs += 1;
    }
    assert_eq!(verbs, 6);
}

#[test]
fn check_exits_by_its_bar() {
    let folder = Folder::shipped();
    for sample in SHIPPED.iter().filter(|s| s.file_name != "large.ron") {
        let file = folder.path(sample.file_name);
        for bar in ["stops", "warns", "notes"] {
            let (outcome, json) = json(&["check", &file, "--fail-on", bar]);
            let count = |word: &str| json["counts"][word].as_u64().unwrap();
            let above = match bar {
                "stops" => count("stops"),
                "warns" => count("stops") + count("warns"),
                _ => count("stops") + count("warns") + count("notes"),
            };
            assert_eq!(outcome == Outcome::Findings, above > 0, "{file} {bar}");
            assert_eq!(json["failed"], above > 0);
            assert_eq!(json["fail_on"], bar);
        }
    }
}

#[test]
fn check_prints_what_is_known_of_a_finding() {
    let folder = Folder::shipped();
    let file = folder.path("incident.ron");
    let (outcome, text) = ok(&["check", &file]);
    assert_eq!(outcome, Outcome::Findings);
    for part in [
        "\nstops (",
        "R01 unheard-need",
        "things ",
        "numbers ",
        "why ",
        "fix ",
        " accepted\n",
    ] {
        assert!(text.contains(part), "{part} in {text}");
    }
    assert!(!text.contains('\u{1b}'));
    let (_, json) = json(&["check", &file]);
    all_documented("check", &json);
    assert_eq!(
        fields(&json),
        [
            "accepted", "counts", "fail_on", "failed", "file", "findings", "phases", "title"
        ]
    );
    let finding = &json["findings"][0];
    assert_eq!(
        fields(finding),
        [
            "code", "fixes", "headline", "hints", "name", "numbers", "phases", "related",
            "severity", "subject", "why"
        ]
    );
    assert!(!finding["why"].as_str().unwrap().is_empty());
}

#[test]
fn check_lists_a_finding_once_with_its_phases() {
    let folder = Folder::shipped();
    let file = folder.path("incident.ron");
    let (_, all) = json(&["check", &file]);
    let findings = all["findings"].as_array().unwrap();
    let lines: BTreeSet<String> = findings
        .iter()
        .map(|f| format!("{}{}{}", f["headline"], f["subject"], f["related"]))
        .collect();
    assert_eq!(lines.len(), findings.len(), "none twice");
    let count = |key: &str| {
        let has = |f: &&Value| f["phases"].as_array().unwrap().iter().any(|p| p == key);
        findings.iter().filter(has).count()
    };
    for phase in all["phases"].as_array().unwrap() {
        let phase = phase.as_str().unwrap();
        let (_, one) = json(&["check", &file, "--phase", phase]);
        assert_eq!(one["phases"].as_array().unwrap().len(), 1);
        assert_eq!(
            one["findings"].as_array().unwrap().len(),
            count(phase),
            "{phase}"
        );
    }
}

#[test]
fn accepted_findings_stand_apart_with_their_reason() {
    let scenario = format::read(SHIPPED[0].text, Syntax::Ron).unwrap();
    let phase = scenario.phases.first().unwrap().id;
    let report = checks::run_all(&Picture::new(Arc::new(scenario.clone()), phase));
    let finding = report.open.first().unwrap();
    let acceptance = Acceptance {
        finding: finding.id(),
        facts: finding.facts(|thing| scenario.key(thing)),
        reason: "only for an hour".to_owned(),
        by: "N. Tarn".to_owned(),
        on: "2026-05-01".to_owned(),
    };
    let scenario = scenario.apply(&[Edit::Accept(acceptance)]).unwrap();
    let folder = Folder::new();
    let file = folder.put("a.ron", &format::write(&scenario, Syntax::Ron));
    let phase = scenario.phases.first().unwrap().key.clone();
    let (_, json) = json(&["check", &file, "--phase", &phase]);
    all_documented("check", &json);
    assert_eq!(json["accepted"][0]["headline"], finding.headline.as_str());
    assert_eq!(json["accepted"][0]["by"], "N. Tarn");
    assert_eq!(json["counts"]["accepted"], 1);
    let open = json["findings"].as_array().unwrap();
    assert_eq!(open.len(), report.open.len() - 1);
    let (_, text) = ok(&["check", &file, "--phase", &phase]);
    assert!(
        text.contains("accepted only for an hour (N. Tarn, 2026-05-01)"),
        "{text}"
    );
}

const PLAN: &str = r#"(
    format: 1,
    systems: [(key: "direct")],
    channels: [
        (key: "red", name: "RED", system: "direct", carrier: Frequencies(rx_mhz: 155.0)),
        (key: "blue", name: "BLUE", system: "direct", carrier: Frequencies(rx_mhz: 156.0)),
    ],
    units: [(key: "alpha", name: "Alpha Team"), (key: "bravo"), (key: "carol")],
    radios: [
        (key: "a", held_by: "alpha", programmed: ["red"], selected: "red"),
        (key: "b", held_by: "bravo", programmed: ["red"], selected: "red"),
        (key: "c", held_by: "carol", programmed: ["red", "blue"], selected: "blue"),
    ],
    telephones: [(key: "desk", held_by: "carol"), (key: "hall")],
    phases: [(key: "day", name: "Day"), (key: "night", name: "Night", selected: {"c": "red"})],
)"#;

#[test]
fn hears_prints_a_matrix_a_row_and_a_column() {
    let folder = Folder::new();
    let file = folder.put("plan.ron", PLAN);
    let (outcome, text) = ok(&["hears", &file]);
    assert_eq!(outcome, Outcome::Clean);
    assert_eq!(
        text,
        "Who hears whom in Day: speakers down, hearers across\n        \
         \u{20}1 2 3 4\n\
         1 alpha  - x . .  Alpha Team\n\
         2 bravo  x - . .  \n\
         3 carol  . . - .  \n\
         4 hall   . . . -  \n\
         x heard   c heard, its start cut off   s heard only by scanning   . not heard\n"
    );
    let (_, text) = ok(&["hears", &file, "--from", "alpha team"]);
    assert_eq!(
        text,
        "Who hears alpha (Alpha Team) in Day: 1 of 3\n  bravo  after 0 ms\nNot: 2 of 3\n  carol, hall\n"
    );
    let (_, text) = ok(&["hears", &file, "--to", "carol", "--phase", "night"]);
    assert_eq!(
        text,
        "Whom carol hears in Night: 2 of 3\n  alpha (Alpha Team)  after 0 ms\n  bravo               after 0 ms\nNot: 1 of 3\n  hall\n"
    );
    let (_, all) = json(&["hears", &file]);
    all_documented("hears", &all);
    assert_eq!(fields(&all), ["file", "heard", "parties", "phase"]);
    assert_eq!(all["heard"].as_array().unwrap().len(), 2);
    let (_, row) = json(&["hears", &file, "--from", "carol"]);
    assert_eq!(row["heard"].as_array().unwrap().len(), 0);
    let (_, column) = json(&["hears", &file, "--to", "alpha", "--phase", "2"]);
    assert_eq!(
        (column["heard"].as_array().unwrap().len(), &column["phase"]),
        (2, &Value::from("night"))
    );
}

#[test]
fn hears_explains_a_pair() {
    let folder = Folder::new();
    let file = folder.put("plan.ron", PLAN);
    let (_, text) = ok(&["hears", &file, "--from", "alpha", "--to", "bravo"]);
    for part in [
        "bravo hears Alpha Team in Day\n",
        "a transmits on RED, in clear",
        "b receives on RED",
        "0 ms from mouth to ear",
        "clear from the start",
        "back     Alpha Team hears bravo",
    ] {
        assert!(text.contains(part), "{part} in {text}");
    }
    let (_, json) = json(&["hears", &file, "--from", "alpha", "--to", "bravo"]);
    all_documented("hears", &json);
    assert_eq!(
        fields(&json),
        [
            "back",
            "by_scan",
            "changes",
            "clipped_ms",
            "codec_passes",
            "cuts",
            "delay_ms",
            "encrypted",
            "file",
            "from",
            "heard",
            "path",
            "phase",
            "proved",
            "reasons",
            "secrecy",
            "to",
            "wait_ms"
        ]
    );
    assert_eq!(
        (&json["heard"], &json["delay_ms"]),
        (&Value::from(true), &Value::from(0))
    );
    assert_eq!(
        json["path"].as_array().unwrap().first().unwrap()["what"],
        "speaks"
    );
    assert_eq!(
        json["path"].as_array().unwrap().last().unwrap()["key"],
        "bravo"
    );
}

#[test]
fn hears_says_why_not_and_what_would_join() {
    let folder = Folder::new();
    let file = folder.put("plan.ron", PLAN);
    let (outcome, text) = ok(&["hears", &file, "--from", "alpha", "--to", "carol"]);
    assert_eq!(
        outcome,
        Outcome::Clean,
        "silence is an answer, not a failure"
    );
    for part in [
        "carol does not hear Alpha Team in Day\n",
        "because ",
        "change ",
        "proof ",
    ] {
        assert!(text.contains(part), "{part} in {text}");
    }
    let (_, json) = json(&["hears", &file, "--from", "alpha", "--to", "carol"]);
    all_documented("hears", &json);
    assert_eq!(json["heard"], false);
    for null in [
        "delay_ms",
        "clipped_ms",
        "wait_ms",
        "codec_passes",
        "by_scan",
        "secrecy",
    ] {
        assert_eq!(json[null], Value::Null, "{null}");
    }
    let count = |key: &str| json[key].as_array().unwrap().len();
    assert!(count("reasons") >= 1);
    assert_eq!(count("reasons"), count("changes"));
    assert_eq!(
        (count("path"), &json["encrypted"]),
        (0, &Value::from(false))
    );
}

#[test]
fn unknown_names_are_met_with_the_nearest() {
    let folder = Folder::new();
    let file = folder.put("plan.ron", PLAN);
    let said = fails(&["hears", &file, "--from", "alhpa"], Kind::Usage);
    assert!(
        said.contains("no unit, telephone or headset 'alhpa'"),
        "{said}"
    );
    assert!(said.contains("did you mean 'alpha'?"), "{said}");
    let said = fails(&["hears", &file, "--to", "desk"], Kind::Usage);
    assert!(said.contains("in the hands of 'carol'"), "{said}");
    let said = fails(&["check", &file, "--phase", "nihgt"], Kind::Usage);
    assert!(said.contains("did you mean 'night'?"), "{said}");
    let said = fails(&["hears", &file, "--phase", "3"], Kind::Usage);
    assert!(said.contains("the phases are day, night"), "{said}");
    let said = fails(&["explain", "unhaerd-need"], Kind::Usage);
    assert!(said.contains("did you mean 'unheard-need'?"), "{said}");
    let said = fails(&["explain", "unheard"], Kind::Usage);
    assert!(said.contains("did you mean 'unheard-need'?"), "{said}");
}

#[test]
fn problems_are_printed_with_their_lines() {
    let folder = Folder::new();
    let file = folder.put(
        "bad.ron",
        "(\n\tformat: 1,\n    unit: [],\n    titel: \"\u{1b}[2J\",\n)",
    );
    let said = fails(&["check", &file], Kind::Input);
    let expected = format!(
        "{file}:3:5: there is no field \"unit\" here\n\
         3 |     unit: [],\n \
         \u{20}|     ^\n   \
         \u{20}hint: did you mean 'units'?\n\
         {file}:4:5: there is no field \"titel\" here\n\
         4 |     titel: \"\u{fffd}[2J\",\n \
         \u{20}|     ^\n   \
         \u{20}hint: did you mean 'title'?\n\
         error: {file} has 2 problems\n"
    );
    assert_eq!(said, expected);
    let (result, out) = run(&["check", &file, "--json"]);
    assert_eq!(result.map_err(|e| e.kind), Err(Kind::Input));
    let json: Value = serde_json::from_str(&out).unwrap();
    all_documented("check", &json);
    assert_eq!(fields(&json), ["file", "problems"]);
    assert_eq!(json["problems"][1]["line"], 4);
}

#[test]
fn long_lines_are_cut_around_the_caret() {
    let folder = Folder::new();
    let text = format!("(format: 1, notes: \"{}\", titel: \"\")", "x".repeat(5_000));
    let file = folder.put("long.ron", &text);
    let said = fails(&["check", &file], Kind::Input);
    let lines: Vec<&str> = said.lines().collect();
    assert!(lines[1].len() < 140, "{said}");
    let caret = lines[2].find('^').unwrap();
    assert!(lines[1][caret..].starts_with("titel"), "{said}");
}

#[test]
fn files_that_are_no_text_or_not_there_are_refused() {
    let folder = Folder::new();
    let path = folder.path("bytes.ron");
    fs::write(&path, b"(format: 1,\n\xff)").unwrap();
    assert!(fails(&["check", &path], Kind::Input).contains("line 2 holds other bytes"));
    let said = fails(&["check", &folder.path("none.ron")], Kind::Input);
    assert!(
        said.contains("cannot be read") && said.contains("cause: "),
        "{said}"
    );
    assert!(fails(&["check", &folder.path("")], Kind::Input).contains("cannot be read"));
}

#[test]
fn names_cannot_move_the_cursor() {
    let folder = Folder::new();
    let strange = PLAN.replace("Alpha Team", "\u{1b}]0;x\u{7} A\u{202e}B");
    let file = folder.put("plan.ron", &strange);
    for args in [
        vec!["hears", &file],
        vec!["hears", &file, "--from", "alpha", "--to", "bravo"],
        vec!["hears", &file, "--from", "alpha", "--to", "carol"],
        vec!["check", &file],
    ] {
        let mut out = Vec::new();
        run_into(&args, &mut out).unwrap();
        let text = String::from_utf8(out).unwrap();
        assert!(
            !text.contains("\u{1b}]") && !text.contains('\u{202e}'),
            "{text:?}"
        );
        assert!(!text.contains('\u{7}'), "{text:?}");
    }
}

#[test]
fn convert_goes_both_ways_and_never_overwrites_unasked() {
    let folder = Folder::shipped();
    let (ron, json_file, back) = (
        folder.path("talk-groups.ron"),
        folder.path("a.json"),
        folder.path("b.ron"),
    );
    let (_, said) = json(&["convert", &ron, &json_file]);
    all_documented("convert", &said);
    assert_eq!(said["bytes"], read(&json_file).len());
    ok(&["convert", &json_file, &back]);
    let canonical = format::write(
        &format::read(&read(&ron), Syntax::Ron).unwrap(),
        Syntax::Ron,
    );
    assert_eq!(read(&back), canonical);
    let before = read(&json_file);
    let said = fails(&["convert", &ron, &json_file], Kind::Output);
    assert!(
        said.contains("exists already") && said.contains("--force"),
        "{said}"
    );
    assert_eq!(read(&json_file), before);
    fs::write(&json_file, "old").unwrap();
    ok(&["convert", &ron, &json_file, "--force"]);
    assert_eq!(read(&json_file), before);
    ok(&["convert", &back, &back, "--force"]);
    assert_eq!(read(&back), canonical);
    let said = fails(&["convert", &ron, &folder.path("a.txt")], Kind::Usage);
    assert!(said.contains("neither .ron nor .json"), "{said}");
    let said = fails(
        &["convert", &ron, &folder.path("no/such/folder.ron")],
        Kind::Output,
    );
    assert!(said.contains("cannot be written"), "{said}");
    let mut expected: BTreeSet<String> = SHIPPED.iter().map(|s| s.file_name.to_owned()).collect();
    expected.extend(["a.json".to_owned(), "b.ron".to_owned()]);
    assert_eq!(folder.names(), expected, "nothing is left behind");
}

#[cfg(unix)]
#[test]
fn convert_keeps_permissions_and_links() {
    use std::os::unix::fs::{PermissionsExt as _, symlink};
    let mode = |path: &str| fs::metadata(path).unwrap().permissions().mode() & 0o777;
    let folder = Folder::shipped();
    let ron = folder.path("talk-groups.ron");
    let (target, link) = (folder.path("target.json"), folder.path("link.json"));
    fs::write(&target, "old").unwrap();
    fs::set_permissions(&target, fs::Permissions::from_mode(0o640)).unwrap();
    symlink("target.json", &link).unwrap();
    ok(&["convert", &ron, &link, "--force"]);
    assert!(
        fs::symlink_metadata(&link)
            .unwrap()
            .file_type()
            .is_symlink()
    );
    assert!(read(&target).starts_with('{'));
    assert_eq!(mode(&target), 0o640);
    // A new file gets the permissions of any new file, not those of a temporary one.
    let plain = folder.put("plain.txt", "x");
    let new = folder.path("new.json");
    ok(&["convert", &ron, &new]);
    assert_eq!(mode(&new), mode(&plain));
    let (circle, other) = (folder.path("circle.json"), folder.path("other.json"));
    symlink("other.json", &circle).unwrap();
    symlink("circle.json", &other).unwrap();
    let said = fails(&["convert", &ron, &circle, "--force"], Kind::Output);
    assert!(said.contains("circle"), "{said}");
    let said = fails(&["convert", &ron, &circle], Kind::Output);
    assert!(said.contains("exists already"), "{said}");
}

#[test]
fn schema_and_explain_print_what_the_sources_hold() {
    assert_eq!(ok(&["schema"]).1, format::schema());
    assert_eq!(ok(&["schema", "--json"]).1, format::schema());
    let (_, list) = ok(&["explain"]);
    let (_, listed) = json(&["explain"]);
    all_documented("explain", &listed);
    assert_eq!(listed["checks"].as_array().unwrap().len(), ALL.len());
    for check in ALL {
        assert!(list.contains(check.name) && list.contains(check.code));
        let (_, by_code) = ok(&["explain", &check.code.to_lowercase()]);
        let (_, by_name) = ok(&["explain", check.name]);
        assert_eq!(by_code, by_name);
        for (heading, _) in check.page().sections {
            assert!(by_name.contains(&heading), "{heading} in {by_name}");
        }
        let (_, page) = json(&["explain", check.name]);
        all_documented("explain", &page);
        assert_eq!(page["summary"], check.page().summary);
    }
}

#[test]
fn example_writes_the_shipped_scenarios_once() {
    let folder = Folder::new();
    let dir = folder.path("new/lessons");
    let (_, said) = json(&["example", &dir]);
    all_documented("example", &said);
    assert_eq!(said["written"].as_array().unwrap().len(), SHIPPED.len());
    for sample in SHIPPED {
        assert_eq!(read(&format!("{dir}/{}", sample.file_name)), sample.text);
    }
    let (first, last) = (SHIPPED[0].file_name, SHIPPED[SHIPPED.len() - 1].file_name);
    fs::write(format!("{dir}/{last}"), "mine").unwrap();
    fs::remove_file(format!("{dir}/{first}")).unwrap();
    fails(&["example", &dir], Kind::Output);
    assert!(
        !Path::new(&format!("{dir}/{first}")).exists(),
        "all or nothing"
    );
    assert_eq!(read(&format!("{dir}/{last}")), "mine");
    ok(&["example", &dir, "--force"]);
    assert_eq!(
        read(&format!("{dir}/{last}")),
        SHIPPED[SHIPPED.len() - 1].text
    );
    let (_, said) = ok(&["example", &dir, "--large", "40", "--seed", "9"]);
    assert!(said.contains("large-40.ron"), "{said}");
    let large = format::read(&read(&format!("{dir}/large-40.ron")), Syntax::Ron).unwrap();
    assert_eq!(large.units.len(), 40);
}

/// A pipe whose reader is gone, or a disk that is full.
struct Broken(io::ErrorKind);

impl Write for Broken {
    fn write(&mut self, _: &[u8]) -> io::Result<usize> {
        Err(self.0.into())
    }
    fn flush(&mut self) -> io::Result<()> {
        Err(self.0.into())
    }
}

#[test]
fn a_closed_pipe_is_quiet_and_a_full_disk_is_not() {
    let folder = Folder::shipped();
    let file = folder.path("incident.ron");
    for args in [
        vec!["check", &file],
        vec!["check", &file, "--json"],
        vec!["hears", &file],
        vec!["hears", &file, "--json"],
        vec!["schema"],
        vec!["explain"],
    ] {
        let closed = run_into(&args, &mut Broken(io::ErrorKind::BrokenPipe));
        let expected = if args[0] == "check" {
            Outcome::Findings
        } else {
            Outcome::Clean
        };
        assert_eq!(closed.map_err(|e| e.kind), Ok(expected), "{args:?}");
        let full = run_into(&args, &mut Broken(io::ErrorKind::StorageFull));
        assert_eq!(full.map_err(|e| e.kind), Err(Kind::Output), "{args:?}");
    }
}

fn program(args: &[&str]) -> Output {
    Command::new(env!("CARGO_BIN_EXE_crosspatch"))
        .args(args)
        .env_remove("DISPLAY")
        .env_remove("WAYLAND_DISPLAY")
        .env_remove("WAYLAND_SOCKET")
        .output()
        .expect("the program starts")
}

#[test]
fn the_program_exits_with_0_1_or_2() {
    let folder = Folder::shipped();
    let file = folder.path("incident.ron");
    let bad = folder.put("bad.ron", "(format: 9)");
    for (args, code) in [
        (vec!["hears", &file], 0),
        (vec!["check", &file], 1),
        (vec!["check", &bad], 2),
        (vec!["check"], 2),
        (vec!["check", &file, "--fail-on", "maybe"], 2),
        (vec!["chekc"], 2),
        (vec!["--help"], 0),
        (vec!["--version"], 0),
    ] {
        let output = program(&args);
        assert_eq!(output.status.code(), Some(code), "{args:?}");
        assert!(
            !output.stdout.contains(&0x1b),
            "no colours in a pipe: {args:?}"
        );
        assert!(
            !output.stderr.contains(&0x1b),
            "no colours in a pipe: {args:?}"
        );
        assert_eq!(output.stderr.is_empty(), code != 2, "{args:?}");
    }
    let said = String::from_utf8(program(&["check", &bad]).stderr).unwrap();
    assert!(
        said.contains("this file is format 9; this program reads up to 1"),
        "{said}"
    );
}

#[cfg(target_os = "linux")]
#[test]
fn without_a_screen_one_sentence_points_to_the_verbs() {
    let output = program(&[]);
    assert_eq!(output.status.code(), Some(2));
    let said = String::from_utf8(output.stderr).unwrap();
    assert_eq!(said.lines().count(), 1, "{said}");
    assert!(
        said.starts_with("error: the board cannot open (")
            && said.contains("crosspatch check FILE"),
        "{said}"
    );
    assert!(output.stdout.is_empty());
}
