//! The layers, held by reading the source.
//!
//! What this cannot see: paths made by macros, so no macro crosses a layer.

use std::collections::BTreeMap;
use std::fmt::Write as _;
use std::fs;
use std::path::{Path, PathBuf};
use std::process::Command;

/// Each layer and the layers it may name.
const RULES: &[(&str, &[&str])] = &[
    ("model", &[]),
    ("format", &["model"]),
    ("history", &["model"]),
    ("disk", &[]),
    ("sheets", &["model"]),
    // Its tests lay out the shipped scenarios.
    ("layout", &["model", "format", "samples"]),
    ("engineering", &["model"]),
    ("samples", &["model", "format", "engineering"]),
    ("library", &["model", "format", "engineering"]),
    ("hearing", &["model", "engineering"]),
    ("picture", &["model", "engineering", "hearing", "sheets"]),
    ("checks", &["model", "engineering", "hearing", "picture"]),
    // Its checks are those of reports handed in.
    (
        "exchange",
        &["model", "sheets", "library", "hearing", "picture", "checks"],
    ),
    (
        "paperwork",
        &[
            "model",
            "engineering",
            "hearing",
            "picture",
            "checks",
            "exchange",
            "sheets",
            "layout",
            // Its tests set the shipped scenarios.
            "format",
            "samples",
        ],
    ),
    (
        "app",
        &[
            "model",
            "exchange",
            "format",
            "history",
            "engineering",
            "samples",
            "library",
            "hearing",
            "picture",
            "checks",
            "sheets",
            "layout",
            "paperwork",
            "disk",
        ],
    ),
    (
        "cli",
        &[
            "model",
            "exchange",
            "format",
            "history",
            "engineering",
            "samples",
            "library",
            "hearing",
            "picture",
            "checks",
            "paperwork",
            "disk",
        ],
    ),
];

/// Outside crates that only some layers may name.
const OUTSIDE: &[(&str, &[&str])] = &[
    ("egui", &["app"]),
    ("eframe", &["app"]),
    ("egui_plot", &["app"]),
    ("rfd", &["app"]),
    ("clap", &["cli"]),
    // Formulas of reliability are held against it in their tests.
    ("petgraph", &["engineering", "hearing", "picture"]),
    ("csv", &["exchange"]),
    ("schemars", &["format"]),
    ("ron", &["format"]),
    ("krilla", &["paperwork"]),
    ("krilla_svg", &["paperwork"]),
    ("resvg", &["paperwork"]),
    ("rustybuzz", &["paperwork"]),
    ("base64", &["paperwork"]),
];

/// Words that only some files may use; a file is named by how its path ends.
const WORDS: &[(&str, &[&str])] = &[
    (
        "std::fs",
        &["/disk/", "app/effects.rs", "app/effects/", "/cli/"],
    ),
    ("SystemTime", &["app/effects.rs", "/cli/"]),
    ("Color32::from_rgb", &["/app/theme/"]),
    ("Color32::from_rgba", &["/app/theme/"]),
    ("super::super", &[]),
    ("println!", &[]),
];

/// Files allowed to be longer than the cap, each for a reason.
const LONG: &[(&str, &str)] = &[(
    "model/gate.rs",
    "one gate, one file: every invariant is beside the edit that could break it",
)];
const CAP: usize = 500;

fn root() -> PathBuf {
    PathBuf::from(env!("CARGO_MANIFEST_DIR"))
}

fn sources() -> Vec<(PathBuf, String)> {
    fn walk(folder: &Path, out: &mut Vec<(PathBuf, String)>) {
        let mut entries: Vec<PathBuf> = fs::read_dir(folder)
            .expect("a folder of the crate")
            .map(|entry| entry.expect("readable").path())
            .collect();
        entries.sort();
        for path in entries {
            if path.is_dir() {
                walk(&path, out);
            } else if path.extension().is_some_and(|e| e == "rs") {
                let text = fs::read_to_string(&path).expect("a source file is text");
                out.push((path, text));
            }
        }
    }
    let mut out = Vec::new();
    walk(&root().join("src"), &mut out);
    out
}

fn shown(path: &Path) -> String {
    path.strip_prefix(root())
        .expect("inside the crate")
        .display()
        .to_string()
        .replace('\\', "/")
}

/// Returns the layer of a file, or `None` for `lib.rs` and `main.rs`.
fn layer(path: &Path) -> Option<String> {
    let inside = path.strip_prefix(root().join("src")).expect("inside src");
    let mut parts = inside.components();
    let first = parts.next()?.as_os_str().to_string_lossy().into_owned();
    parts.next().map(|_| first)
}

/// Blanks out comments, strings and characters, keeping every line break.
fn stripped(source: &str) -> String {
    let bytes: Vec<char> = source.chars().collect();
    let mut out = String::with_capacity(source.len());
    let mut i = 0;
    let keep_breaks = |out: &mut String, part: &[char]| {
        out.extend(part.iter().map(|c| if *c == '\n' { '\n' } else { ' ' }));
    };
    while i < bytes.len() {
        let rest = &bytes[i..];
        let starts = |pattern: &str| {
            rest.iter()
                .take(pattern.chars().count())
                .copied()
                .eq(pattern.chars())
        };
        let word_before = out
            .chars()
            .last()
            .is_some_and(|c| c.is_alphanumeric() || c == '_');
        let end = if starts("//") {
            rest.iter().position(|c| *c == '\n').unwrap_or(rest.len())
        } else if starts("/*") {
            let mut depth = 0;
            let mut at = 0;
            loop {
                match (rest.get(at), rest.get(at + 1)) {
                    (Some('/'), Some('*')) => {
                        depth += 1;
                        at += 2;
                    }
                    (Some('*'), Some('/')) => {
                        depth -= 1;
                        at += 2;
                    }
                    (Some(_), _) => at += 1,
                    (None, _) => break at,
                }
                if depth == 0 {
                    break at;
                }
            }
        } else if !word_before && (starts("r\"") || starts("r#")) && {
            let hashes = rest[1..].iter().take_while(|c| **c == '#').count();
            rest.get(1 + hashes) == Some(&'"')
        } {
            let hashes = rest[1..].iter().take_while(|c| **c == '#').count();
            let closing: Vec<char> = std::iter::once('"')
                .chain(std::iter::repeat_n('#', hashes))
                .collect();
            let body = 2 + hashes;
            rest[body..]
                .windows(closing.len())
                .position(|w| w == closing)
                .map_or(rest.len(), |at| body + at + closing.len())
        } else if starts("\"") {
            let mut at = 1;
            while at < rest.len() && rest[at] != '"' {
                at += if rest[at] == '\\' { 2 } else { 1 };
            }
            (at + 1).min(rest.len())
        } else if rest[0] == '\'' && (rest.get(2) == Some(&'\'') || rest.get(1) == Some(&'\\')) {
            let from = if rest.get(1) == Some(&'\\') { 3 } else { 2 };
            rest[from.min(rest.len())..]
                .iter()
                .position(|c| *c == '\'')
                .map_or(rest.len(), |at| from + at + 1)
        } else {
            out.push(rest[0]);
            i += 1;
            continue;
        };
        keep_breaks(&mut out, &rest[..end]);
        i += end;
    }
    out
}

/// Lists the first name after each `crate::`, also inside `crate::{a, b::c}`.
fn crate_names(code: &str) -> Vec<String> {
    let word = |text: &str| -> String {
        text.trim_start()
            .chars()
            .take_while(|c| c.is_alphanumeric() || *c == '_')
            .collect()
    };
    let mut names = Vec::new();
    for (at, _) in code.match_indices("crate::") {
        let is_other = code[..at]
            .chars()
            .last()
            .is_some_and(|c| c.is_alphanumeric() || c == '_');
        if is_other {
            continue;
        }
        let rest = code[at + "crate::".len()..].trim_start();
        if let Some(list) = rest.strip_prefix('{') {
            let mut depth = 0;
            let mut item = String::new();
            for c in list.chars() {
                match c {
                    '{' => depth += 1,
                    '}' if depth == 0 => break,
                    '}' => depth -= 1,
                    ',' if depth == 0 => names.push(word(&std::mem::take(&mut item))),
                    _ => {}
                }
                if depth == 0 && c != ',' {
                    item.push(c);
                }
            }
            if !item.trim().is_empty() {
                names.push(word(&item));
            }
        } else {
            names.push(word(rest));
        }
    }
    names
}

#[test]
fn a_layer_names_only_layers_to_its_left() {
    let rules: BTreeMap<&str, &[&str]> = RULES.iter().copied().collect();
    let mut broken = String::new();
    for (path, text) in sources() {
        let Some(layer) = layer(&path) else { continue };
        let Some(allowed) = rules.get(layer.as_str()) else {
            writeln!(broken, "{}: the folder {layer} has no rule", shown(&path))
                .expect("to a string");
            continue;
        };
        for name in crate_names(&stripped(&text)) {
            if name != layer && !allowed.contains(&name.as_str()) {
                writeln!(broken, "{}: {layer} must not name {name}", shown(&path))
                    .expect("to a string");
            }
        }
    }
    assert!(broken.is_empty(), "\n{broken}");
}

#[test]
fn outside_crates_stay_in_their_layers() {
    let mut broken = String::new();
    for (path, text) in sources() {
        let Some(layer) = layer(&path) else { continue };
        let code = stripped(&text);
        for (name, layers) in OUTSIDE {
            let used = code.match_indices(&format!("{name}::")).any(|(at, _)| {
                !code[..at]
                    .chars()
                    .last()
                    .is_some_and(|c| c.is_alphanumeric() || c == '_' || c == ':')
            });
            if used && !layers.contains(&layer.as_str()) {
                writeln!(broken, "{}: {layer} must not name {name}", shown(&path))
                    .expect("to a string");
            }
        }
    }
    assert!(broken.is_empty(), "\n{broken}");
}

#[test]
fn words_stay_where_they_belong() {
    let mut broken = String::new();
    for (path, text) in sources() {
        let name = shown(&path);
        // Unit tests at the end of a file may do what its code may not.
        let code = stripped(&text);
        let code = code.split("#[cfg(test)]").next().unwrap_or_default();
        for (word, homes) in WORDS {
            let at_home = homes
                .iter()
                .any(|home| name.ends_with(home) || name.contains(home));
            if code.contains(word) && !at_home {
                writeln!(broken, "{name}: {word}").expect("to a string");
            }
        }
        if code.contains("::*;") {
            writeln!(broken, "{name}: an import of everything").expect("to a string");
        }
    }
    assert!(broken.is_empty(), "\n{broken}");
}

#[test]
fn every_file_opens_with_its_purpose_and_is_short_enough() {
    let mut broken = String::new();
    for (path, text) in sources() {
        let name = shown(&path);
        if !text.starts_with("//! ") {
            writeln!(broken, "{name}: does not open with //! and a sentence").expect("to a string");
        }
        let lines = text.lines().count();
        let is_long = LONG.iter().any(|(long, _)| name.ends_with(long));
        if lines > CAP && !is_long {
            writeln!(broken, "{name}: {lines} lines, more than {CAP}").expect("to a string");
        }
        if lines <= CAP && is_long {
            writeln!(broken, "{name}: is short now, take it off the list").expect("to a string");
        }
    }
    assert!(broken.is_empty(), "\n{broken}");
}

#[test]
fn the_headless_build_has_no_window_in_it() {
    let tree = Command::new(env!("CARGO"))
        .args([
            "tree",
            "--offline",
            "--locked",
            "--no-default-features",
            "-e",
            "normal",
            "--prefix",
            "none",
        ])
        .current_dir(root())
        .output()
        .expect("cargo runs");
    let text = String::from_utf8_lossy(&tree.stdout);
    assert!(
        tree.status.success(),
        "{}",
        String::from_utf8_lossy(&tree.stderr)
    );
    assert!(
        text.contains("petgraph"),
        "the tree lists dependencies: {text}"
    );
    assert!(!text.contains("egui") && !text.contains("winit"), "{text}");
}

#[test]
fn the_stripper_sees_code_and_nothing_else() {
    let code = stripped(
        "use crate::model; // crate::app\nlet a = \"crate::cli\"; /* crate::x /* y */ */ let c = '\"'; f(r#\"crate::z\"#); crate::{format, hearing::{a, b}, checks}",
    );
    assert_eq!(crate_names(&code), ["model", "format", "hearing", "checks"]);
    assert!(code.contains("let c"));
}
