//! `paperwork`: what lands in the folder, and what never does.

use std::collections::BTreeSet;
use std::fs;

use crosspatch::cli::{Kind, Outcome};

use super::{Folder, all_documented, fails, json, ok};

/// The command line for a plan of a folder, with what else is asked.
fn line<'a>(plan: &'a str, out: &'a str, more: &[&'a str]) -> Vec<&'a str> {
    [&["paperwork", plan, "--out", out][..], more].concat()
}

fn names(folder: &str) -> BTreeSet<String> {
    let Ok(entries) = fs::read_dir(folder) else {
        return BTreeSet::new();
    };
    entries
        .map(|e| {
            let name = e.expect("readable").file_name();
            name.into_string().expect("a plain name")
        })
        .collect()
}

#[test]
fn a_set_lands_in_a_new_folder() {
    let folder = Folder::shipped();
    let (plan, out) = (folder.path("talk-groups.ron"), folder.path("paper"));
    let (outcome, text) = ok(&line(&plan, &out, &["--only", "card,205,217a"]));
    assert_eq!(outcome, Outcome::Clean, "{text}");
    let names = names(&out);
    assert!(names.contains("217a.pdf"), "{names:?}");
    let starts = |word: &str| names.iter().filter(|n| n.starts_with(word)).count();
    assert_eq!(starts("205-"), starts("card-"));
    assert!(
        starts("205-") >= 3,
        "one for each step of the lesson: {names:?}"
    );
    let is_pdf = |n: &String| n.rsplit('.').next() == Some("pdf");
    assert!(names.iter().all(is_pdf), "{names:?}");
    assert!(
        text.contains("Read them before you hand them out"),
        "{text}"
    );
    let (_, told) = json(&line(&plan, &out, &["--only", "217a", "--force"]));
    all_documented("paperwork", &told);
    assert!(
        told["pages"].as_u64().is_some_and(|pages| pages > 0),
        "{told}"
    );
    let bytes = fs::metadata(folder.path("paper/217a.pdf"))
        .expect("there")
        .len();
    assert_eq!(told["written"][0]["bytes"], bytes);
    assert_eq!(told["missing_letters"], "");
}

#[test]
fn one_page_is_one_page_and_a_space_after_a_comma_is_no_mistake() {
    let folder = Folder::shipped();
    let (plan, out) = (folder.path("talk-groups.ron"), folder.path("paper"));
    let more = ["--only", "card, 214", "--phase", "1"];
    let (_, text) = ok(&line(&plan, &out, &more));
    assert!(names(&out).iter().any(|n| n.starts_with("card-")), "{text}");
    assert!(text.contains("in 2 files."), "{text}");
    let (_, text) = ok(&line(
        &plan,
        &folder.path("one"),
        &["--only", "card", "--phase", "1"],
    ));
    assert!(text.contains("in 1 file."), "{text}");
}

#[test]
fn a_picture_that_cannot_be_printed_is_refused_before_any_paper() {
    let folder = Folder::shipped();
    let (plan, out) = (folder.path("talk-groups.ron"), folder.path("paper"));
    let empty = "<svg xmlns='http://www.w3.org/2000/svg' width='9' height='9'></svg>";
    let logo = folder.put("empty.svg", empty);
    let said = fails(&line(&plan, &out, &["--logo", &logo]), Kind::Input);
    assert!(
        said.contains("empty.svg cannot head the pages: nothing is drawn on it"),
        "{said}"
    );
    assert!(names(&out).is_empty());
}

#[test]
fn a_drawing_comes_as_pdf_svg_and_png() {
    let folder = Folder::shipped();
    let (plan, out) = (folder.path("talk-groups.ron"), folder.path("paper"));
    let more = ["--only", "diagram", "--phase", "1", "--wall", "a3"];
    ok(&line(&plan, &out, &more));
    let names = names(&out);
    assert_eq!(
        names.iter().filter(|n| n.starts_with("diagram-")).count(),
        1
    );
    for word in ["board-", "groups-", "matrix-"] {
        for ending in [".svg", ".png"] {
            let is_it = |n: &String| n.starts_with(word) && n.ends_with(ending);
            assert!(names.iter().any(is_it), "{word} {ending}: {names:?}");
        }
    }
}

#[test]
fn papers_that_exist_stay_unless_force_is_given() {
    let folder = Folder::shipped();
    let (plan, out) = (folder.path("talk-groups.ron"), folder.path("paper"));
    fs::create_dir(&out).expect("a folder");
    let mine = folder.put("paper/217a.pdf", "mine");
    let said = fails(&line(&plan, &out, &[]), Kind::Output);
    assert!(said.contains("217a.pdf exists already"), "{said}");
    let only = BTreeSet::from(["217a.pdf".to_owned()]);
    assert_eq!(names(&out), only, "nothing else was written");
    assert_eq!(super::read(&mine), "mine");
    ok(&line(&plan, &out, &["--only", "217a", "--force"]));
    assert!(fs::read(&mine).expect("there").starts_with(b"%PDF"));
}

#[test]
fn a_folder_that_cannot_be_made_is_named() {
    let folder = Folder::shipped();
    let plan = folder.path("talk-groups.ron");
    let out = folder.put("paper", "a file in the way");
    let said = fails(&line(&plan, &out, &["--only", "205"]), Kind::Output);
    assert!(said.contains("cannot be made"), "{said}");
    assert_eq!(super::read(&out), "a file in the way");
}

/// One name cannot be had: the other papers must not have got theirs.
#[test]
fn a_set_is_there_whole_or_not_at_all() {
    let folder = Folder::shipped();
    let (plan, out) = (folder.path("talk-groups.ron"), folder.path("paper"));
    ok(&line(&plan, &out, &["--only", "205"]));
    let last = names(&out).pop_last().expect("several papers");
    fs::remove_dir_all(&out).expect("it goes");
    fs::create_dir_all(folder.path(&format!("paper/{last}"))).expect("a folder of that name");
    let said = fails(
        &line(&plan, &out, &["--only", "205", "--force"]),
        Kind::Output,
    );
    assert!(said.contains("cannot be written"), "{said}");
    let only = BTreeSet::from([last]);
    assert_eq!(names(&out), only, "no paper, and no half of one");
}

#[test]
fn what_cannot_be_printed_is_told() {
    let folder = Folder::shipped();
    let (plan, out) = (folder.path("talk-groups.ron"), folder.path("paper"));
    let said = fails(&line(&plan, &out, &["--phase", "never"]), Kind::Usage);
    assert!(said.contains("there is no phase 'never'"), "{said}");
    let absent = folder.path("absent.ron");
    let said = fails(&line(&absent, &out, &[]), Kind::Input);
    assert!(said.contains("absent.ron cannot be read"), "{said}");
    let said = fails(&line(&plan, &out, &["--logo", &plan]), Kind::Input);
    assert!(said.contains("it is no PNG, JPEG or SVG picture"), "{said}");
    assert!(names(&out).is_empty());
}

#[test]
fn phases_whose_keys_differ_by_case_alone_get_names_of_their_own() {
    let folder = Folder::shipped();
    let text = "(format: 1, title: \"T\", phases: [(key: \"NIGHT\"), (key: \"night\"), (key: \"night-2\")])";
    let (plan, out) = (folder.put("case.ron", text), folder.path("paper"));
    let (_, said) = ok(&line(&plan, &out, &["--only", "205, 205a"]));
    let names: BTreeSet<String> = names(&out).iter().map(|n| n.to_lowercase()).collect();
    assert_eq!(names.len(), 6, "{names:?}");
    assert!(said.contains(" in 6 files."), "{said}");
    let (plan, out) = (folder.path("talk-groups.ron"), folder.path("one"));
    let (_, said) = ok(&line(&plan, &out, &["--only", "217a"]));
    assert!(said.contains(" in 1 file."), "{said}");
}
