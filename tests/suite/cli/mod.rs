//! The headless verbs: most through the library, a few through the program itself.

mod calc;
mod check;
mod compare;
mod exchange;
mod figures;
mod files;
mod hears;
mod paperwork;

use std::collections::BTreeSet;
use std::ffi::OsString;
use std::fs;
use std::io::{self, Write};
use std::path::PathBuf;
use std::process::{Command, Output};

use clap::CommandFactory as _;
use crosspatch::checks::ALL;
use crosspatch::cli::{self, Args, Error, Kind, Outcome};
use crosspatch::format;
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
    assert_eq!(verbs, 13);
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
        vec!["calc"],
        vec!["calc", "free-space-loss", "--mhz", "155", "--km", "10"],
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
            && said.contains("crosspatch check FILE")
            && !said.contains(".rs:"),
        "{said}"
    );
    assert!(output.stdout.is_empty());
}
