//! Older layouts of the file, brought up to date on the tree, one version at a time.
//!
//! Values keep their offsets, so that problems in an old file are reported at its own lines. A step
//! only moves what its version spelt differently; everything else is left for the decoder to judge.

use super::problem::Fault;
use super::tree::{Field, Node, Value};
use super::v1;

/// Brings a tree to the current version, or says why it cannot be read.
pub(super) fn up_to_date(mut root: Node) -> Result<Node, Fault> {
    let found = match root.field("format") {
        Some(node) => match node.value {
            Value::Whole(version) => Ok((node.at, version)),
            _ => Err(Fault::new(
                node.at,
                format!("found {}, expected the number of a format", node.found()),
            )
            .under("format")),
        },
        None => Err(Fault::new(
            root.at,
            format!(
                "the field `format` is missing, expected format: {}",
                v1::VERSION
            ),
        )),
    };
    let (at, version) = found?;
    let newest = i64::from(v1::VERSION);
    if version > newest {
        return Err(Fault::new(
            at,
            format!(
                "this file is format {version}; this program reads up to {newest}: update the \
                 program"
            ),
        ));
    }
    if version < 0 {
        return Err(Fault::new(
            at,
            format!("found format {version}, expected 0 to {newest}"),
        ));
    }
    if version < 1 {
        from_0(&mut root);
    }
    set_version(&mut root, newest);
    Ok(root)
}

fn fields_mut(node: &mut Node) -> &mut [Field] {
    match &mut node.value {
        Value::Struct(_, fields) | Value::Object(fields) => fields,
        _ => &mut [],
    }
}

fn set_version(root: &mut Node, version: i64) {
    for field in fields_mut(root) {
        if field.name == "format" {
            field.value.value = Value::Whole(version);
        }
    }
}

/// Format 0 named the heads of a unit `people`, and wrote a phase's switches as pairs of a port and
/// a talk group.
fn from_0(root: &mut Node) {
    for field in fields_mut(root) {
        let Value::List(things) = &mut field.value.value else {
            continue;
        };
        for thing in things {
            match field.name.as_str() {
                "units" => rename(thing, "people", "heads"),
                "phases" => pairs_to_map(thing, "switches"),
                _ => {}
            }
        }
    }
}

fn rename(thing: &mut Node, old: &str, new: &str) {
    for field in fields_mut(thing) {
        if field.name == old {
            new.clone_into(&mut field.name);
        }
    }
}

fn pairs_to_map(thing: &mut Node, name: &str) {
    for field in fields_mut(thing).iter_mut().filter(|f| f.name == name) {
        let Value::List(pairs) = &field.value.value else {
            continue;
        };
        let entries: Option<Vec<_>> = pairs
            .iter()
            .map(|pair| match pair.items() {
                [key, value] => Some((key.clone(), value.clone())),
                _ => None,
            })
            .collect();
        if let Some(entries) = entries {
            field.value.value = Value::Map(entries);
        }
    }
}
