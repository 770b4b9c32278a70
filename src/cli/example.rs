//! `example`: scenarios to begin with, written into a folder.

use std::fs;
use std::io::Write;
use std::path::PathBuf;

use serde_json::json;

use crate::format::{self, Syntax};
use crate::samples::{SHIPPED, Size, generate};

use super::args::Example;
use super::disk::{self, Existing};
use super::error::{Error, Kind};
use super::show::{clean, json_lines};
use super::{Outcome, done};

struct Item {
    path: PathBuf,
    name: String,
    about: String,
    text: String,
}

/// Writes the scenarios.
pub(super) fn run(args: &Example, out: &mut dyn Write) -> Result<Outcome, Error> {
    let items = items(args);
    if !args.force
        && let Some(item) = items.iter().find(|i| i.path.symlink_metadata().is_ok())
    {
        return Err(disk::exists(&item.path));
    }
    fs::create_dir_all(&args.dir).map_err(|source| {
        let message = format!("the folder {} cannot be made", args.dir.display());
        Error::new(Kind::Output, message).because(source)
    })?;
    for item in &items {
        disk::write(&item.path, &item.text, Existing::of(args.force))?;
    }
    let written = if args.json {
        let list: Vec<_> = items
            .iter()
            .map(|i| {
                let file = i.path.display().to_string();
                json!({"file": file, "name": i.name, "about": i.about})
            })
            .collect();
        json_lines(out, &json!({"written": list}))
    } else {
        items.iter().try_for_each(|i| {
            let path = i.path.display().to_string();
            writeln!(out, "{}: {}", clean(&path), i.about)
        })
    };
    done(Outcome::Clean, written)
}

fn items(args: &Example) -> Vec<Item> {
    let Some(units) = args.large else {
        return SHIPPED
            .iter()
            .map(|sample| Item {
                path: args.dir.join(sample.file_name),
                name: sample.name.to_owned(),
                about: sample.about.to_owned(),
                text: sample.text.to_owned(),
            })
            .collect();
    };
    let scenario = generate(Size::for_units(units), args.seed);
    vec![Item {
        path: args.dir.join(format!("large-{units}.ron")),
        name: scenario.header.title.clone(),
        about: format!("A generated incident of {units} units, seed {}.", args.seed),
        text: format::write(&scenario, Syntax::Ron),
    }]
}
