//! Files read and written: problems with their lines, nothing lost, nothing overwritten unasked.

use std::collections::BTreeSet;
use std::fs;
use std::path::Path;

use crosspatch::cli::Kind;
use crosspatch::format::{self, Syntax};
use crosspatch::samples::SHIPPED;
use serde_json::Value;

use super::{Folder, all_documented, fails, fields, json, ok, read, run};

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
