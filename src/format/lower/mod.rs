//! The file's types to edits: keys become ids, and what no gate could say better is said here.
//!
//! Things are numbered in the order of the file, list by list, so that everything a thing refers to
//! comes before it. Each edit remembers where it came from. Nothing here applies an edit.

mod phase;
mod things;

use std::collections::{BTreeMap, BTreeSet};

use crate::model::validate::field_problems;
use crate::model::{Edit, GatewayId, Kind, Place, PortRef, TalkGroupRef, Thing, ThingId};

use super::decode::decode;
use super::nearest::did_you_mean;
use super::problem::Fault;
use super::read::{File, Found, List, path};
use super::tree::{Node, quoted};
use super::v1::{self, GroupKey, PortKey};

/// Misspelt keys for which the nearest one is looked up; beyond this there is another cause.
const MOST_GUESSES: usize = 50;

/// Edits that build the scenario, and the origin of each.
#[derive(Default)]
pub(super) struct Lowered {
    pub(super) edits: Vec<Edit>,
    pub(super) origins: Vec<Origin>,
}

/// Where an edit came from.
#[derive(Clone)]
pub(super) struct Origin {
    /// Offset of the thing.
    pub(super) at: usize,
    /// Path to the thing.
    pub(super) path: String,
    /// Offsets of a phase's entries, by field and key.
    pub(super) entries: BTreeMap<(&'static str, String), usize>,
}

impl Origin {
    /// Makes a fault at the origin.
    pub(super) fn fault(&self, message: String) -> Fault {
        Fault::new(self.at, message).under(self.path.clone())
    }
}

/// Turns a file into edits; faults are added to the file's own.
pub(super) fn lower(file: &mut File<'_>) -> Lowered {
    let mut on = Lowering {
        names: Names::default(),
        faults: std::mem::take(&mut file.faults),
        out: Lowered::default(),
        spot: Spot::default(),
        guesses: 0,
    };
    on.names(file);
    on.things(&mut file.agencies, |_, t, number| things::agency(t, number));
    on.things(&mut file.units, Lowering::unit);
    on.things(&mut file.systems, |_, t, number| things::system(t, number));
    on.things(&mut file.channels, Lowering::channel);
    on.things(&mut file.radios, Lowering::radio);
    on.things(&mut file.sites, Lowering::site);
    on.things(&mut file.gateways, Lowering::gateway);
    on.things(&mut file.ties, |_, t, number| things::tie(t, number));
    on.things(&mut file.telephones, Lowering::telephone);
    on.things(&mut file.headsets, Lowering::headset);
    on.things(&mut file.cables, |_, t, number| things::cable(t, number));
    on.things(&mut file.needs, Lowering::need);
    on.things(&mut file.stock, |_, t, number| things::stock(t, number));
    on.things(&mut file.agreements, Lowering::agreement);
    on.things(&mut file.phases, Lowering::phase);
    on.practice(std::mem::take(&mut file.practice).0);
    for (index, found) in std::mem::take(&mut file.availability)
        .into_iter()
        .enumerate()
    {
        on.rate(found, index);
    }
    for (index, found) in std::mem::take(&mut file.accepted).into_iter().enumerate() {
        on.accept(found, index);
    }
    file.faults = on.faults;
    on.out
}

/// Every key of the file and the number it got.
#[derive(Default)]
struct Names<'a> {
    numbers: BTreeMap<Kind, BTreeMap<&'a str, u32>>,
    /// Ports and talk groups of each gateway that could be decoded.
    sockets: BTreeMap<u32, (BTreeSet<u8>, BTreeSet<u8>)>,
}

/// The thing being turned into an edit.
#[derive(Clone, Copy, Default)]
struct Spot<'a> {
    node: Option<&'a Node>,
    list: &'static str,
    index: usize,
}

impl Spot<'_> {
    fn path(self) -> String {
        self.node
            .map(|node| path(self.list, node, self.index))
            .unwrap_or_default()
    }

    fn at(self) -> usize {
        self.node.map_or(0, |node| node.at)
    }
}

struct Lowering<'a> {
    names: Names<'a>,
    faults: Vec<Fault>,
    out: Lowered,
    spot: Spot<'a>,
    guesses: usize,
}

impl<'a> Lowering<'a> {
    /// Numbers every thing, in the order in which they will be added.
    fn names(&mut self, file: &File<'a>) {
        let mut next = 1;
        self.number(&file.agencies, &mut next);
        self.number(&file.units, &mut next);
        self.number(&file.systems, &mut next);
        self.number(&file.channels, &mut next);
        self.number(&file.radios, &mut next);
        self.number(&file.sites, &mut next);
        self.number(&file.gateways, &mut next);
        self.number(&file.ties, &mut next);
        self.number(&file.telephones, &mut next);
        self.number(&file.headsets, &mut next);
        self.number(&file.cables, &mut next);
        self.number(&file.needs, &mut next);
        self.number(&file.stock, &mut next);
        self.number(&file.agreements, &mut next);
        self.number(&file.phases, &mut next);
        for found in &file.gateways.things {
            let g = &found.value;
            let ports = g.ports.iter().map(|p| p.number).collect();
            let groups = g.talk_groups.iter().map(|t| t.number).collect();
            if let Some(number) = self.names.get(Kind::Gateway, &g.key) {
                self.names.sockets.insert(number, (ports, groups));
            }
        }
    }

    fn number<T>(&mut self, list: &List<'a, T>, next: &mut u32) {
        let numbers = self.names.numbers.entry(list.kind).or_default();
        for (key, node) in &list.keys {
            let fault = if key.is_empty() {
                Some("found an empty key, expected a word".to_owned())
            } else if numbers.contains_key(key) {
                Some(format!("the key {} stands here twice", quoted(key)))
            } else {
                numbers.insert(key, *next);
                *next += 1;
                None
            };
            if let Some(message) = fault {
                self.faults
                    .push(Fault::new(node.at, message).under(list.name));
            }
        }
    }

    fn things<T: Keyed, M: Into<Thing>>(
        &mut self,
        list: &mut List<'a, T>,
        lower: impl Fn(&mut Self, T, u32) -> M,
    ) {
        for (index, found) in std::mem::take(&mut list.things).into_iter().enumerate() {
            let Found { value, node } = found;
            self.spot = Spot {
                node: Some(node),
                list: list.name,
                index,
            };
            let number = self.names.get(list.kind, value.key()).unwrap_or_default();
            let place = value.at();
            let thing = lower(self, value, number).into();
            self.ranges(&thing, node);
            let id = thing.id();
            let is_phase = list.kind == Kind::Phase;
            let (at, path) = match node.field("carrier") {
                Some(carrier) => (carrier.at, format!("{}.carrier", self.spot.path())),
                None => (node.at, self.spot.path()),
            };
            let entries = if is_phase {
                entries(node)
            } else {
                BTreeMap::new()
            };
            self.push(Edit::Add(thing), Origin { at, path, entries });
            self.place(id, place);
            if let ThingId::Gateway(gateway) = id {
                self.sockets_places(gateway, node);
            }
        }
    }

    fn push(&mut self, edit: Edit, origin: Origin) {
        self.out.edits.push(edit);
        self.out.origins.push(origin);
    }

    fn place(&mut self, thing: ThingId, at: Option<v1::At>) {
        let Some(v1::At(x, y)) = at else {
            return;
        };
        let origin = Origin {
            at: self.spot.at(),
            path: self.spot.path(),
            entries: BTreeMap::new(),
        };
        let place = Some(Place { x, y });
        self.push(Edit::Place { thing, place }, origin);
    }

    /// Places the ports and talk groups that have a place of their own.
    fn sockets_places(&mut self, gateway: GatewayId, node: &Node) {
        for (list, is_port) in [("ports", true), ("talk_groups", false)] {
            for item in node.field(list).map_or(&[][..], Node::items) {
                let at = item.field("at").and_then(|n| decode(n).ok());
                let number = item.field("number").and_then(|n| decode(n).ok());
                let (Some(at), Some(number)) = (at, number) else {
                    continue;
                };
                let thing = if is_port {
                    PortRef {
                        gateway,
                        port: number,
                    }
                    .into()
                } else {
                    TalkGroupRef {
                        gateway,
                        group: number,
                    }
                    .into()
                };
                self.place(thing, at);
            }
        }
    }

    /// Reports every field outside its range, at the field itself.
    fn ranges(&mut self, thing: &Thing, node: &Node) {
        for problem in field_problems(thing) {
            // The list or structure in which the model's name for a field is spelt otherwise.
            let (below, field) = match (problem.field, thing) {
                ("port", _) => ("ports", "number"),
                ("talk_group", _) => ("talk_groups", "number"),
                ("group", Thing::Channel(_)) => ("carrier", "number"),
                ("bands", _) => ("", "bands_mhz"),
                (field, _) => ("", field),
            };
            let place = node.field(below).unwrap_or(node);
            let at = find_field(place, field, &problem.found).unwrap_or(node.at);
            let message = format!("found {}, expected {}", problem.found, problem.expected);
            let mut fault = Fault::new(at, message).under(format!(".{field}"));
            if !below.is_empty() {
                fault = fault.under(format!(".{below}"));
            }
            self.faults.push(fault.under(self.spot.path()));
        }
    }

    fn fault(&mut self, at: Option<usize>, step: &str, message: String, hint: Option<String>) {
        let at = at.unwrap_or_else(|| self.spot.at());
        let fault = Fault::new(at, message).with_hint(hint);
        self.faults.push(fault.under(step).under(self.spot.path()));
    }

    /// Returns the number of the thing a key names; reports a key that names nothing.
    fn find(&mut self, kind: Kind, key: &str, at: Option<usize>, step: &str) -> u32 {
        if let Some(number) = self.names.get(kind, key) {
            return number;
        }
        self.guesses += 1;
        let hint = (self.guesses <= MOST_GUESSES)
            .then(|| did_you_mean(key, self.names.keys(kind)))
            .flatten();
        self.fault(
            at,
            step,
            format!("there is no {kind} {}", quoted(key)),
            hint,
        );
        0
    }

    /// The same for a field of the thing itself.
    fn field(&mut self, kind: Kind, key: &str, name: &str) -> u32 {
        let at = self.spot.node.and_then(|n| n.field(name)).map(|n| n.at);
        self.find(kind, key, at, &format!(".{name}"))
    }

    /// The same for each item of a list in the thing itself.
    fn list(&mut self, kind: Kind, keys: &[String], name: &str) -> Vec<u32> {
        let node = self.spot.node.and_then(|n| n.field(name));
        let items = node.map_or(&[][..], Node::items);
        keys.iter()
            .enumerate()
            .map(|(i, key)| {
                let at = items.get(i).map(|n| n.at);
                self.find(kind, key, at, &format!(".{name}[{i}]"))
            })
            .collect()
    }

    fn port(&mut self, key: &PortKey, at: Option<usize>, step: &str) -> PortRef {
        let gateway = self.find(Kind::Gateway, &key.gateway, at, step);
        if let Some((ports, _)) = self.names.sockets.get(&gateway)
            && !ports.contains(&key.port)
        {
            let has = numbers(ports, "port");
            let message = format!("{} has no port {}", quoted(&key.gateway), key.port);
            self.fault(at, step, message, Some(has));
        }
        PortRef {
            gateway: GatewayId(gateway),
            port: key.port,
        }
    }

    fn group(&mut self, key: &GroupKey, at: Option<usize>, step: &str) -> TalkGroupRef {
        let gateway = self.find(Kind::Gateway, &key.gateway, at, step);
        if let Some((_, groups)) = self.names.sockets.get(&gateway)
            && !groups.contains(&key.group)
        {
            let has = numbers(groups, "talk group");
            let message = format!("{} has no talk group {}", quoted(&key.gateway), key.group);
            self.fault(at, step, message, Some(has));
        }
        TalkGroupRef {
            gateway: GatewayId(gateway),
            group: key.group,
        }
    }
}

impl Names<'_> {
    fn get(&self, kind: Kind, key: &str) -> Option<u32> {
        self.numbers.get(&kind)?.get(key).copied()
    }

    fn keys(&self, kind: Kind) -> impl Iterator<Item = &str> {
        self.numbers
            .get(&kind)
            .into_iter()
            .flat_map(|numbers| numbers.keys().copied())
    }
}

/// What every listed type of the file has.
trait Keyed {
    fn key(&self) -> &str;
    fn at(&self) -> Option<v1::At>;
}

macro_rules! keyed {
    ($($name:ident),+) => {
        $(
            impl Keyed for v1::$name {
                fn key(&self) -> &str {
                    &self.key
                }
                fn at(&self) -> Option<v1::At> {
                    self.at
                }
            }
        )+
    };
}

keyed!(
    Phase, Agency, Unit, System, Channel, Radio, Gateway, Tie, Telephone, Headset, Cable, Site,
    Need, Stock, Agreement
);

fn numbers(set: &BTreeSet<u8>, what: &str) -> String {
    if set.is_empty() {
        return format!("it has no {what} at all");
    }
    let list: Vec<String> = set.iter().map(ToString::to_string).collect();
    format!("it has {what} {}", list.join(", "))
}

/// Gathers the offsets of a phase's entries.
fn entries(node: &Node) -> BTreeMap<(&'static str, String), usize> {
    let mut out = BTreeMap::new();
    for field in ["attachments", "switches", "selected"] {
        let Some(map) = node.field(field) else {
            continue;
        };
        for (key, at) in map.keys() {
            out.insert((field, key.to_owned()), at);
        }
    }
    out
}

/// Finds the field of that name, below a node, that holds a value; else any of that name.
fn find_field(node: &Node, name: &str, found: &str) -> Option<usize> {
    let number: Option<f64> = found.parse().ok();
    let mut exact = None;
    let mut any = None;
    node.walk(&mut |field| {
        if field.name != name {
            return;
        }
        any.get_or_insert(field.value.at);
        let text = field.value.found();
        let is_same = text == found || (number.is_some() && text.parse().ok() == number);
        if is_same {
            exact = Some(field.value.at);
        }
    });
    exact.or(any)
}
