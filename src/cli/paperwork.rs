//! `paperwork`: the forms, cards, sheets and drawings of a plan, written into a folder.
//!
//! Everything is made before anything is written, and every file is on the disk under another name
//! before the first gets its own: a set is there whole or not at all.

use std::collections::BTreeSet;
use std::fs;
use std::io::Write;
use std::path::PathBuf;
use std::sync::Arc;

use serde_json::json;

use crate::model::PhaseId;
use crate::paperwork::given::Given;
use crate::paperwork::set::face::Faces;
use crate::paperwork::set::logo::Logo;
use crate::paperwork::{Ask, Go, Output};

use super::args::Paperwork;
use super::disk::{self, Existing};
use super::error::{Error, Kind};
use super::show::{clean, json_lines};
use super::{Outcome, done, open};

/// Writes the papers.
pub(super) fn run(args: &Paperwork, out: &mut dyn Write) -> Result<Outcome, Error> {
    let scenario = open::scenario(&args.file, out, args.json)?;
    let phases: Vec<PhaseId> = match &args.phase {
        Some(asked) => vec![open::phase(&scenario, Some(asked))?.id],
        None => scenario.phases.ids().collect(),
    };
    let ask = Ask {
        scenario: Arc::new(scenario),
        kinds: args.kinds(),
        phases,
        given: given(args)?,
    };
    let pieces = ask.set(&mut |_| Go::On).unwrap_or_default();
    let faces = Faces::default();
    let mut outputs: Vec<Output> = Vec::new();
    let mut missing: BTreeSet<char> = BTreeSet::new();
    let mut pages = 0;
    for piece in &pieces {
        let made = piece.outputs(&faces).map_err(|reason| {
            let message = format!("{} cannot be made: {reason}", piece.stem);
            Error::new(Kind::Output, message)
        })?;
        outputs.extend(made);
        missing.extend(piece.document.missing.iter().copied());
        pages += piece.document.pages.len();
    }
    let files: Vec<(PathBuf, &[u8])> = outputs
        .iter()
        .map(|o| (args.out.join(&o.name), o.bytes.as_slice()))
        .collect();
    if !args.force
        && let Some((path, _)) = files.iter().find(|(p, _)| p.symlink_metadata().is_ok())
    {
        return Err(disk::exists(path));
    }
    fs::create_dir_all(&args.out).map_err(|source| {
        let message = format!("the folder {} cannot be made", args.out.display());
        Error::new(Kind::Output, message).because(source)
    })?;
    disk::write_all(&files, Existing::of(args.force))?;
    let missing: String = missing.into_iter().collect();
    let written = if args.json {
        let list: Vec<_> = files
            .iter()
            .map(|(path, bytes)| json!({"file": path.display().to_string(), "bytes": bytes.len()}))
            .collect();
        json_lines(
            out,
            &json!({"written": list, "pages": pages, "missing_letters": missing}),
        )
    } else {
        say(out, &files, pages, &missing)
    };
    done(Outcome::Clean, written)
}

fn say(
    out: &mut dyn Write,
    files: &[(PathBuf, &[u8])],
    pages: usize,
    missing: &str,
) -> std::io::Result<()> {
    for (path, _) in files {
        writeln!(out, "{}", clean(&path.display().to_string()))?;
    }
    writeln!(
        out,
        "{} in {}. Read them before you hand them out.",
        counted(pages, "page"),
        counted(files.len(), "file")
    )?;
    if !missing.is_empty() {
        writeln!(
            out,
            "These letters are in no face of the paper and stand there as boxes: {}",
            clean(missing)
        )?;
    }
    Ok(())
}

fn counted(count: usize, word: &str) -> String {
    format!("{count} {word}{}", if count == 1 { "" } else { "s" })
}

fn given(args: &Paperwork) -> Result<Given, Error> {
    let logo = match &args.logo {
        None => None,
        Some(path) => {
            let name = path.display();
            let bytes = fs::read(path).map_err(|source| {
                Error::new(Kind::Input, format!("{name} cannot be read")).because(source)
            })?;
            let logo = Logo::read(bytes).map_err(|reason| {
                Error::new(
                    Kind::Input,
                    format!("{name} cannot head the pages: {reason}"),
                )
                .hint("give a PNG, JPEG or SVG file")
            })?;
            Some(Arc::new(logo))
        }
    };
    let text = |text: &Option<String>| text.clone().unwrap_or_default();
    Ok(Given {
        paper: args.paper.into(),
        wall: args.wall.map_or(args.paper.into(), Into::into),
        agency: text(&args.agency),
        logo,
        by: text(&args.by),
        position: text(&args.position),
        prepared: text(&args.prepared),
    })
}
