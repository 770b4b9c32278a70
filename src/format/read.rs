//! Text to scenario, or everything that is wrong with the text.
//!
//! Four stages, each reporting all it can before the next gives up: syntax (one problem), version,
//! values (each thing of each list by itself), then references, ranges and what the gate refuses.

use std::collections::{BTreeMap, BTreeSet};

use serde::de::DeserializeOwned;

use crate::model::{Edit, EditError, Header, Kind, Phase, PhaseId, Scenario, Thing};

use super::Syntax;
use super::decode::decode;
use super::lower::{Lowered, Origin, lower};
use super::migrate::up_to_date;
use super::nearest::did_you_mean;
use super::parse::parse;
use super::problem::{Fault, Problems, problems};
use super::tree::{Node, Value, quoted};
use super::v1;
use super::write::comments;

/// Reads a scenario.
///
/// # Errors
///
/// Everything found wrong, in the order of the file.
pub fn read(text: &str, syntax: Syntax) -> Result<Scenario, Problems> {
    read_faults(text, syntax).map_err(|faults| problems(text, faults))
}

fn read_faults(text: &str, syntax: Syntax) -> Result<Scenario, Vec<Fault>> {
    let parsed = parse(text, syntax).map_err(|fault| vec![fault])?;
    let root = structure(parsed.root, syntax)
        .and_then(up_to_date)
        .map_err(|fault| vec![fault])?;
    let mut file = File::of(&root);
    let mut header = std::mem::take(&mut file.header);
    let written = comments(&header.comments);
    header.comments = parsed.comments;
    header.comments.extend(written);
    let lowered = lower(&mut file);
    if !file.faults.is_empty() {
        return Err(file.faults);
    }
    build(header, file.next_id, &lowered)
}

fn structure(root: Node, syntax: Syntax) -> Result<Node, Fault> {
    let is_right = match &root.value {
        Value::Struct(name, _) => name.is_none(),
        Value::Tuple(None, items) => items.is_empty(),
        Value::Object(_) => true,
        _ => false,
    };
    if is_right {
        return Ok(root);
    }
    let (expected, hint) = match syntax {
        Syntax::Ron => (
            "a scenario, (format: 1, …)",
            matches!(root.value, Value::Map(_))
                .then(|| "a file in JSON needs a name that ends in .json".to_owned()),
        ),
        Syntax::Json => ("a scenario, {\"format\": 1, …}", None),
    };
    Err(Fault::new(
        root.at,
        format!("found {}, expected {expected}", root.found()),
    )
    .with_hint(hint))
}

fn build(header: Header, next_id: u32, lowered: &Lowered) -> Result<Scenario, Vec<Fault>> {
    let (mut scenario, refused) = Scenario::blank(header).apply_each(&lowered.edits);
    // What was refused is missing to whatever refers to it; only the first cause is worth reading.
    let is_effect = |error: &EditError| matches!(error, EditError::Missing { .. });
    let has_cause = refused.iter().any(|(_, error)| !is_effect(error));
    let mut faults = Vec::new();
    for (index, error) in refused {
        if has_cause && is_effect(&error) {
            continue;
        }
        let Some((edit, origin)) = lowered.edits.get(index).zip(lowered.origins.get(index)) else {
            continue;
        };
        let before = faults.len();
        if let Edit::Add(Thing::Phase(phase)) = edit {
            refused_in_phase(&scenario, phase, origin, &mut faults);
        }
        if faults.len() == before {
            faults.push(origin.fault(error.to_string()));
        }
    }
    if !faults.is_empty() {
        return Err(faults);
    }
    if scenario.phases.is_empty() {
        scenario = with_a_phase(&scenario);
    }
    scenario.count_from(next_id);
    Ok(scenario)
}

/// A scenario has at least one phase: a file without any gets the one a new scenario has.
fn with_a_phase(scenario: &Scenario) -> Scenario {
    let id = PhaseId(scenario.mint(0));
    let fresh = Scenario::new("");
    let added = fresh.phases.first().and_then(|phase| {
        let phase = Phase {
            id,
            ..phase.clone()
        };
        scenario.apply(&[Edit::Add(phase.into())]).ok()
    });
    added.unwrap_or_else(|| scenario.clone())
}

/// Finds the entries of a phase that the gate refuses, one by one.
fn refused_in_phase(scenario: &Scenario, phase: &Phase, origin: &Origin, faults: &mut Vec<Fault>) {
    /// Entries tried one by one; beyond this a phase is reported as a whole.
    const MOST: usize = 2_000;
    let Phase {
        switches,
        attachments,
        selected,
        ..
    } = phase;
    if switches.len() + attachments.len() + selected.len() > MOST {
        return;
    }
    let id = PhaseId(scenario.mint(0));
    let empty = Phase {
        id,
        switches: BTreeMap::new(),
        attachments: BTreeMap::new(),
        selected: BTreeMap::new(),
        ..phase.clone()
    };
    let mut edits = vec![Edit::Add(empty.into())];
    let mut places: Vec<(&str, String)> = vec![("", String::new())];
    for (port, attachment) in attachments {
        places.push(("attachments", scenario.key((*port).into())));
        edits.push(Edit::Attach {
            phase: id,
            port: *port,
            attachment: Some(*attachment),
        });
    }
    for (port, group) in switches {
        places.push(("switches", scenario.key((*port).into())));
        edits.push(Edit::Switch {
            phase: id,
            port: *port,
            group: Some(*group),
        });
    }
    for (radio, channel) in selected {
        places.push(("selected", scenario.key((*radio).into())));
        edits.push(Edit::Select {
            phase: id,
            radio: *radio,
            channel: *channel,
        });
    }
    let (_, refused) = scenario.apply_each(&edits);
    for (index, error) in refused {
        let Some((field, key)) = places.get(index).filter(|(field, _)| !field.is_empty()) else {
            continue;
        };
        let (field, key) = (*field, key.as_str());
        let at = origin.entries.get(&(field, key.to_owned())).copied();
        faults.push(
            Fault::new(at.unwrap_or(origin.at), error.to_string())
                .under(format!(".{field}[{}]", quoted(key)))
                .under(origin.path.clone()),
        );
    }
}

/// One thing of a list, decoded, and where it stands.
pub(super) struct Found<'a, T> {
    pub(super) value: T,
    pub(super) node: &'a Node,
}

/// The things of one list.
pub(super) struct List<'a, T> {
    /// Name of the list's field.
    pub(super) name: &'static str,
    /// Kind of its things.
    pub(super) kind: Kind,
    /// What could be decoded.
    pub(super) things: Vec<Found<'a, T>>,
    /// The key of every thing, decoded or not, so that a reference to a broken thing is no second
    /// problem.
    pub(super) keys: Vec<(&'a str, &'a Node)>,
}

impl<'a, T: DeserializeOwned> List<'a, T> {
    fn of(root: &'a Node, name: &'static str, kind: Kind, faults: &mut Vec<Fault>) -> Self {
        let mut list = Self {
            name,
            kind,
            things: Vec::new(),
            keys: Vec::new(),
        };
        for node in items(root, name, faults) {
            if let Some((key, at)) = node.field("key").and_then(|k| Some((k.text()?, k))) {
                list.keys.push((key, at));
            }
            let index = list.things.len();
            match decode(node) {
                Ok(value) => list.things.push(Found { value, node }),
                Err(fault) => faults.push(fault.under(path(name, node, index))),
            }
        }
        list
    }
}

fn items<'a>(root: &'a Node, name: &str, faults: &mut Vec<Fault>) -> &'a [Node] {
    let Some(node) = root.field(name) else {
        return &[];
    };
    let Value::List(items) = &node.value else {
        faults.push(
            Fault::new(
                node.at,
                format!("found {}, expected a list in [ ]", node.found()),
            )
            .under(name),
        );
        return &[];
    };
    items
}

/// Decodes the items of a list that have no keys.
fn each<'a, T: DeserializeOwned>(
    root: &'a Node,
    name: &'static str,
    faults: &mut Vec<Fault>,
) -> Vec<Found<'a, T>> {
    let mut found = Vec::new();
    for (index, node) in items(root, name, faults).iter().enumerate() {
        match decode(node) {
            Ok(value) => found.push(Found { value, node }),
            Err(fault) => faults.push(fault.under(path(name, node, index))),
        }
    }
    found
}

/// Says which thing of a list: by its key, or by its number where it has none.
pub(super) fn path(list: &str, node: &Node, index: usize) -> String {
    match node.field("key").and_then(Node::text) {
        Some(key) => format!("{list}[{}]", quoted(key)),
        None => format!("{list}[{index}]"),
    }
}

/// A file decoded as far as it could be, with the faults met so far.
pub(super) struct File<'a> {
    pub(super) header: Header,
    pub(super) next_id: u32,
    pub(super) practice: v1::Practice,
    pub(super) phases: List<'a, v1::Phase>,
    pub(super) agencies: List<'a, v1::Agency>,
    pub(super) units: List<'a, v1::Unit>,
    pub(super) systems: List<'a, v1::System>,
    pub(super) channels: List<'a, v1::Channel>,
    pub(super) radios: List<'a, v1::Radio>,
    pub(super) gateways: List<'a, v1::Gateway>,
    pub(super) ties: List<'a, v1::Tie>,
    pub(super) telephones: List<'a, v1::Telephone>,
    pub(super) headsets: List<'a, v1::Headset>,
    pub(super) cables: List<'a, v1::Cable>,
    pub(super) sites: List<'a, v1::Site>,
    pub(super) needs: List<'a, v1::Need>,
    pub(super) stock: List<'a, v1::Stock>,
    pub(super) agreements: List<'a, v1::Agreement>,
    pub(super) availability: Vec<Found<'a, v1::Rated>>,
    pub(super) accepted: Vec<Found<'a, v1::Acceptance>>,
    pub(super) faults: Vec<Fault>,
}

impl<'a> File<'a> {
    fn of(root: &'a Node) -> Self {
        let mut faults = strange_fields(root);
        let f = &mut faults;
        let header = Header {
            title: one(root, "title", f).unwrap_or_default(),
            incident: one(root, "incident", f).unwrap_or_default(),
            notes: one(root, "notes", f).unwrap_or_default(),
            comments: one(root, "comments", f).unwrap_or_default(),
        };
        let next_id = one(root, "next_id", f).unwrap_or_else(v1::first_id);
        if !(1..=v1::HIGHEST_NEXT_ID).contains(&next_id) {
            let at = root.field("next_id").map_or(root.at, |node| node.at);
            let expected = format!("found {next_id}, expected 1 to {}", v1::HIGHEST_NEXT_ID);
            f.push(Fault::new(at, expected).under("next_id"));
        }
        let practice = one(root, "practice", f).unwrap_or_default();
        let availability = each(root, "availability", f);
        let accepted = each(root, "accepted", f);
        Self {
            header,
            next_id,
            practice,
            phases: List::of(root, "phases", Kind::Phase, f),
            agencies: List::of(root, "agencies", Kind::Agency, f),
            units: List::of(root, "units", Kind::Unit, f),
            systems: List::of(root, "systems", Kind::System, f),
            channels: List::of(root, "channels", Kind::Channel, f),
            radios: List::of(root, "radios", Kind::Radio, f),
            gateways: List::of(root, "gateways", Kind::Gateway, f),
            ties: List::of(root, "ties", Kind::Tie, f),
            telephones: List::of(root, "telephones", Kind::Telephone, f),
            headsets: List::of(root, "headsets", Kind::Headset, f),
            cables: List::of(root, "cables", Kind::Cable, f),
            sites: List::of(root, "sites", Kind::Site, f),
            needs: List::of(root, "needs", Kind::Need, f),
            stock: List::of(root, "stock", Kind::Stock, f),
            agreements: List::of(root, "agreements", Kind::Agreement, f),
            availability,
            accepted,
            faults,
        }
    }
}

fn one<T: DeserializeOwned>(root: &Node, name: &str, faults: &mut Vec<Fault>) -> Option<T> {
    match decode(root.field(name)?) {
        Ok(value) => Some(value),
        Err(fault) => {
            faults.push(fault.under(name));
            None
        }
    }
}

/// Lists the fields of the root that nobody knows or that stand there twice.
fn strange_fields(root: &Node) -> Vec<Fault> {
    let mut seen = BTreeSet::new();
    let mut faults = Vec::new();
    for field in root.fields() {
        let name = field.name.as_str();
        if !v1::Root::FIELDS.contains(&name) {
            let hint = did_you_mean(name, v1::Root::FIELDS).or_else(|| {
                Some(format!(
                    "the fields here are {}",
                    v1::Root::FIELDS.join(", ")
                ))
            });
            faults.push(
                Fault::new(field.at, format!("there is no field {} here", quoted(name)))
                    .with_hint(hint),
            );
        } else if !seen.insert(name) {
            faults.push(Fault::new(
                field.at,
                format!("the field `{name}` stands here twice"),
            ));
        }
    }
    faults
}
