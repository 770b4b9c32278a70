//! The file's types to edits: keys become ids, and what no gate could say better is said here.
//!
//! Things are numbered in the order of the file, list by list, so that everything a thing refers to
//! comes before it. Each edit remembers where it came from. Nothing here applies an edit.

use std::collections::{BTreeMap, BTreeSet};

use crate::model::validate::field_problems;
use crate::model::{
    self, Acceptance, Edit, FindingId, GatewayId, Kind, Party, Place, PortRef, RadioId,
    TalkGroupRef, Thing, ThingId,
};

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
    on.things(&mut file.agencies, Lowering::agency);
    on.things(&mut file.units, Lowering::unit);
    on.things(&mut file.systems, Lowering::system);
    on.things(&mut file.channels, Lowering::channel);
    on.things(&mut file.radios, Lowering::radio);
    on.things(&mut file.sites, Lowering::site);
    on.things(&mut file.gateways, Lowering::gateway);
    on.things(&mut file.ties, Lowering::tie);
    on.things(&mut file.telephones, Lowering::telephone);
    on.things(&mut file.headsets, Lowering::headset);
    on.things(&mut file.cables, Lowering::cable);
    on.things(&mut file.needs, Lowering::need);
    on.things(&mut file.stock, Lowering::stock);
    on.things(&mut file.agreements, Lowering::agreement);
    on.things(&mut file.phases, Lowering::phase);
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
            let fault = if key.trim().is_empty() {
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
                let at = item.field("at").and_then(|n| super::decode::decode(n).ok());
                let number = item
                    .field("number")
                    .and_then(|n| super::decode::decode(n).ok());
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
            let (below, field) = match (problem.field, thing) {
                ("port", _) => (node.field("ports"), "number"),
                ("talk_group", _) => (node.field("talk_groups"), "number"),
                ("group", Thing::Channel(_)) => (node.field("carrier"), "number"),
                ("bands", _) => (Some(node), "bands_mhz"),
                (field, _) => (Some(node), field),
            };
            let at = below
                .and_then(|below| find_field(below, field, &problem.found))
                .unwrap_or(node.at);
            let message = format!("found {}, expected {}", problem.found, problem.expected);
            self.faults.push(
                Fault::new(at, message)
                    .under(format!(".{field}"))
                    .under(self.spot.path()),
            );
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

    fn agency(&mut self, t: v1::Agency, number: u32) -> model::Agency {
        model::Agency {
            id: model::AgencyId(number),
            name: t.name.unwrap_or_else(|| t.key.clone()),
            key: t.key,
            short: t.short,
            discipline: t.discipline.into(),
            level: t.level.into(),
            notes: t.notes,
        }
    }

    fn unit(&mut self, t: v1::Unit, number: u32) -> model::Unit {
        model::Unit {
            id: model::UnitId(number),
            agency: t
                .agency
                .map(|key| model::AgencyId(self.field(Kind::Agency, &key, "agency"))),
            name: t.name.unwrap_or_else(|| t.key.clone()),
            key: t.key,
            heads: t.heads,
            role: t.role.into(),
            messages_per_hour: t.messages_per_hour,
            seconds_per_message: t.seconds_per_message,
            notes: t.notes,
        }
    }

    fn system(&mut self, t: v1::System, number: u32) -> model::System {
        model::System {
            id: model::SystemId(number),
            name: t.name.unwrap_or_else(|| t.key.clone()),
            key: t.key,
            kind: t.kind.into(),
            access_ms: t.access_ms,
            latency_ms: t.latency_ms,
            hang_ms: t.hang_ms,
            talk_paths: t.talk_paths,
            coverage: t.coverage,
            notes: t.notes,
        }
    }

    fn channel(&mut self, t: v1::Channel, number: u32) -> model::Channel {
        model::Channel {
            id: model::ChannelId(number),
            name: t.name.unwrap_or_else(|| t.key.clone()),
            key: t.key,
            system: model::SystemId(self.field(Kind::System, &t.system, "system")),
            carrier: carrier(t.carrier),
            protection: protection(t.encryption),
            encrypted_only: t.encrypted_only,
            purpose: t.purpose.map(Into::into),
            notes: t.notes,
        }
    }

    fn radio(&mut self, t: v1::Radio, number: u32) -> model::Radio {
        let id = RadioId(number);
        let nodes = self.spot.node.and_then(|n| n.field("programmed"));
        let nodes = nodes.map_or(&[][..], Node::items);
        let mut programmed: Vec<model::Programmed> = Vec::new();
        let mut seen = BTreeSet::new();
        for (i, entry) in t.programmed.into_iter().enumerate() {
            let entry = entry.full();
            let node = nodes.get(i);
            let at = node.map(|n| n.field("channel").unwrap_or(n).at);
            let step = format!(".programmed[{i}]");
            let channel = self.find(Kind::Channel, &entry.channel, at, &step);
            if channel != 0 && !seen.insert(channel) {
                let message = format!("{} is programmed twice", quoted(&entry.channel));
                self.fault(at, &step, message, None);
            }
            programmed.push(self::programmed(entry, model::ChannelId(channel)));
        }
        let selected = t
            .selected
            .map(|key| (self.field(Kind::Channel, &key, "selected"), key));
        let scans = self.list(Kind::Channel, &t.scans, "scans");
        let used = selected
            .iter()
            .map(|(channel, key)| ("selected", *channel, key))
            .chain(
                scans
                    .iter()
                    .copied()
                    .zip(&t.scans)
                    .map(|(c, key)| ("scans", c, key)),
            );
        for (field, channel, key) in used {
            if channel != 0 && !seen.contains(&channel) {
                let at = self.spot.node.and_then(|n| n.field(field)).map(|n| n.at);
                let message = format!("{} is not programmed in this radio", quoted(key));
                self.fault(at, &format!(".{field}"), message, None);
            }
        }
        model::Radio {
            id,
            owner: t
                .owner
                .map(|key| model::AgencyId(self.field(Kind::Agency, &key, "owner"))),
            held_by: t
                .held_by
                .map(|key| model::UnitId(self.field(Kind::Unit, &key, "held_by"))),
            name: t.name.unwrap_or_else(|| t.key.clone()),
            key: t.key,
            family: t.family,
            bands: t
                .bands_mhz
                .into_iter()
                .map(|(low, high)| model::Band {
                    low: low.0,
                    high: high.0,
                })
                .collect(),
            modes: t.modes.into_iter().map(Into::into).collect(),
            connector: t.connector,
            power_w: t.power_w,
            battery_mah: t.battery_mah,
            keys: t
                .keys
                .into_iter()
                .map(|k| key_ref(k.algorithm, k.number))
                .collect(),
            programmed,
            selected: selected.map(|(channel, _)| model::ChannelId(channel)),
            scans: scans.into_iter().map(model::ChannelId).collect(),
            notes: t.notes,
        }
    }

    fn gateway(&mut self, t: v1::Gateway, number: u32) -> model::Gateway {
        model::Gateway {
            id: GatewayId(number),
            owner: t
                .owner
                .map(|key| model::AgencyId(self.field(Kind::Agency, &key, "owner"))),
            site: t
                .site
                .map(|key| model::SiteId(self.field(Kind::Site, &key, "site"))),
            name: t.name.unwrap_or_else(|| t.key.clone()),
            key: t.key,
            ports: t
                .ports
                .into_iter()
                .map(|p| model::Port {
                    number: p.number,
                    kind: p.kind.into(),
                    connector: p.connector,
                    buffer_ms: p.buffer_ms,
                    keying: match p.keying {
                        v1::Keying::PttLine => model::Keying::PttLine,
                        v1::Keying::VoiceOperated { attack_ms, hang_ms } => {
                            model::Keying::VoiceOperated { attack_ms, hang_ms }
                        }
                    },
                    level: p.level.into(),
                })
                .collect(),
            talk_groups: t
                .talk_groups
                .into_iter()
                .map(|g| model::TalkGroup {
                    number: g.number,
                    name: g.name,
                    purpose: g.purpose.map(Into::into),
                })
                .collect(),
            latency_ms: t.latency_ms,
            draw_ma: t.draw_ma,
            battery_mah: t.battery_mah,
            supply_v: t.supply_v,
            ingress: t.ingress,
            lid_shut: t.lid_shut.into_iter().map(Into::into).collect(),
            notes: t.notes,
        }
    }

    fn tie(&mut self, t: v1::Tie, number: u32) -> model::Tie {
        model::Tie {
            id: model::TieId(number),
            name: t.name.unwrap_or_else(|| t.key.clone()),
            key: t.key,
            kind: t.kind.into(),
            latency_ms: t.latency_ms,
            encrypted: t.encrypted,
            notes: t.notes,
        }
    }

    fn telephone(&mut self, t: v1::Telephone, number: u32) -> model::Telephone {
        model::Telephone {
            id: model::TelephoneId(number),
            held_by: t
                .held_by
                .map(|key| model::UnitId(self.field(Kind::Unit, &key, "held_by"))),
            name: t.name.unwrap_or_else(|| t.key.clone()),
            key: t.key,
            kind: t.kind.into(),
            far_end: t.far_end,
            answers_itself: t.answers_itself,
            latency_ms: t.latency_ms,
            notes: t.notes,
        }
    }

    fn headset(&mut self, t: v1::Headset, number: u32) -> model::Headset {
        model::Headset {
            id: model::HeadsetId(number),
            held_by: t
                .held_by
                .map(|key| model::UnitId(self.field(Kind::Unit, &key, "held_by"))),
            name: t.name.unwrap_or_else(|| t.key.clone()),
            key: t.key,
            connector: t.connector,
            notes: t.notes,
        }
    }

    fn cable(&mut self, t: v1::Cable, number: u32) -> model::Cable {
        model::Cable {
            id: model::CableId(number),
            name: t.name.unwrap_or_else(|| t.key.clone()),
            key: t.key,
            radio_connector: t.radio_connector,
            port_connector: t.port_connector,
            count: t.count,
            notes: t.notes,
        }
    }

    fn site(&mut self, t: v1::Site, number: u32) -> model::Site {
        let nodes = self.spot.node.and_then(|n| n.field("antennas"));
        let nodes = nodes.map_or(&[][..], Node::items);
        let antennas = t
            .antennas
            .into_iter()
            .enumerate()
            .map(|(i, a)| model::Antenna {
                name: a.name,
                radio: a.radio.map(|key| {
                    let at = nodes.get(i).and_then(|n| n.field("radio")).map(|n| n.at);
                    let step = format!(".antennas[{i}].radio");
                    RadioId(self.find(Kind::Radio, &key, at, &step))
                }),
                height_m: a.height_m,
                east_m: a.east_m,
                north_m: a.north_m,
                gain_dbi: a.gain_dbi,
            })
            .collect();
        model::Site {
            id: model::SiteId(number),
            name: t.name.unwrap_or_else(|| t.key.clone()),
            key: t.key,
            contaminated: t.contaminated,
            antennas,
            notes: t.notes,
        }
    }

    fn need(&mut self, t: v1::Need, number: u32) -> model::Need {
        model::Need {
            id: model::NeedId(number),
            from: self.parties(&t.from, "from"),
            to: self.parties(&t.to, "to"),
            name: t.name.unwrap_or_else(|| t.key.clone()),
            key: t.key,
            way: t.way.into(),
            priority: t.priority.into(),
            encrypted: t.encrypted,
            max_delay_ms: t.max_delay_ms,
            notes: t.notes,
        }
    }

    fn parties(&mut self, parties: &[v1::Party], name: &str) -> BTreeSet<Party> {
        let node = self.spot.node.and_then(|n| n.field(name));
        let nodes = node.map_or(&[][..], Node::items);
        parties
            .iter()
            .enumerate()
            .map(|(i, party)| {
                let at = nodes.get(i).map(|n| n.at);
                let step = format!(".{name}[{i}]");
                match party {
                    v1::Party::Unit(key) => {
                        Party::Unit(model::UnitId(self.find(Kind::Unit, key, at, &step)))
                    }
                    v1::Party::Telephone(key) => Party::Telephone(model::TelephoneId(self.find(
                        Kind::Telephone,
                        key,
                        at,
                        &step,
                    ))),
                    v1::Party::Headset(key) => {
                        Party::Headset(model::HeadsetId(self.find(Kind::Headset, key, at, &step)))
                    }
                }
            })
            .collect()
    }

    fn stock(&mut self, t: v1::Stock, number: u32) -> model::Stock {
        model::Stock {
            id: model::StockId(number),
            name: t.name.unwrap_or_else(|| t.key.clone()),
            key: t.key,
            kind: t.kind.into(),
            count: t.count,
            notes: t.notes,
        }
    }

    fn agreement(&mut self, t: v1::Agreement, number: u32) -> model::Agreement {
        let agencies = self.list(Kind::Agency, &t.agencies, "agencies");
        let channels = self.list(Kind::Channel, &t.channels, "channels");
        model::Agreement {
            id: model::AgreementId(number),
            name: t.name.unwrap_or_else(|| t.key.clone()),
            key: t.key,
            agencies: agencies.into_iter().map(model::AgencyId).collect(),
            channels: channels.into_iter().map(model::ChannelId).collect(),
            notes: t.notes,
        }
    }

    fn phase(&mut self, t: v1::Phase, number: u32) -> model::Phase {
        let node = self.spot.node;
        let entry = |field: &str, key: &str| node.and_then(|n| n.field(field)?.entry(key));
        let mut attachments = BTreeMap::new();
        for (key, what) in t.attachments {
            let text = key.to_string();
            let step = format!(".attachments[{}]", quoted(&text));
            let found = entry("attachments", &text);
            let port = self.port(&key, found.map(|(at, _)| at), &step);
            let at = found.map(|(_, value)| value.at);
            attachments.insert(port, self.attachment(what, at, &step));
        }
        let mut switches = BTreeMap::new();
        for (key, group) in t.switches {
            let text = key.to_string();
            let step = format!(".switches[{}]", quoted(&text));
            let found = entry("switches", &text);
            let port = self.port(&key, found.map(|(at, _)| at), &step);
            let group_key = GroupKey {
                gateway: key.gateway,
                group,
            };
            if port.gateway.0 != 0 {
                self.group(&group_key, found.map(|(_, value)| value.at), &step);
            }
            switches.insert(port, group);
        }
        let mut selected = BTreeMap::new();
        for (key, channel) in t.selected {
            let step = format!(".selected[{}]", quoted(&key));
            let found = entry("selected", &key);
            let radio = self.find(Kind::Radio, &key, found.map(|(at, _)| at), &step);
            let at = found.map(|(_, value)| value.at);
            let channel = channel
                .map(|channel| model::ChannelId(self.find(Kind::Channel, &channel, at, &step)));
            selected.insert(RadioId(radio), channel);
        }
        model::Phase {
            id: model::PhaseId(number),
            name: t.name.unwrap_or_else(|| t.key.clone()),
            key: t.key,
            start: t.start,
            hours: t.hours,
            switches,
            attachments,
            selected,
        }
    }

    fn attachment(
        &mut self,
        what: v1::Attachment,
        at: Option<usize>,
        step: &str,
    ) -> model::Attachment {
        match what {
            v1::Attachment::Radio { radio, cable } => model::Attachment::Radio {
                radio: RadioId(self.find(Kind::Radio, &radio, at, step)),
                cable: cable.map(|key| model::CableId(self.find(Kind::Cable, &key, at, step))),
            },
            v1::Attachment::Telephone(key) => model::Attachment::Telephone(model::TelephoneId(
                self.find(Kind::Telephone, &key, at, step),
            )),
            v1::Attachment::Headset(key) => model::Attachment::Headset(model::HeadsetId(
                self.find(Kind::Headset, &key, at, step),
            )),
            v1::Attachment::Tie(key) => {
                model::Attachment::Tie(model::TieId(self.find(Kind::Tie, &key, at, step)))
            }
        }
    }

    fn accept(&mut self, found: Found<'a, v1::Acceptance>, index: usize) {
        let Found { value, node } = found;
        self.spot = Spot {
            node: Some(node),
            list: "accepted",
            index,
        };
        let nodes = node.field("things").map_or(&[][..], Node::items);
        let mut things: Vec<ThingId> = Vec::new();
        for (i, subject) in value.things.iter().enumerate() {
            let at = nodes.get(i).map(|n| n.at);
            things.push(self.subject(subject, at, &format!(".things[{i}]")));
        }
        // The order a finding gives its things: subject first, the others by their ids, none twice.
        let subject = things.first().copied();
        let others: BTreeSet<ThingId> =
            things.into_iter().filter(|t| Some(*t) != subject).collect();
        let in_order: Vec<ThingId> = subject.into_iter().chain(others).collect();
        if in_order.is_empty() {
            self.fault(
                node.field("things").map(|n| n.at),
                ".things",
                "found an empty list, expected the things concerned".to_owned(),
                None,
            );
        }
        let acceptance = Acceptance {
            finding: FindingId {
                code: value.code,
                things: in_order,
            },
            facts: value.facts.0,
            reason: value.reason,
            by: value.by,
            on: value.on,
        };
        let origin = Origin {
            at: node.at,
            path: self.spot.path(),
            entries: BTreeMap::new(),
        };
        self.push(Edit::Accept(acceptance), origin);
    }

    fn subject(&mut self, subject: &v1::Subject, at: Option<usize>, step: &str) -> ThingId {
        use v1::Subject as S;
        let mut find = |kind: Kind, key: &str| self.find(kind, key, at, step);
        match subject {
            S::Phase(key) => model::PhaseId(find(Kind::Phase, key)).into(),
            S::Agency(key) => model::AgencyId(find(Kind::Agency, key)).into(),
            S::Unit(key) => model::UnitId(find(Kind::Unit, key)).into(),
            S::System(key) => model::SystemId(find(Kind::System, key)).into(),
            S::Channel(key) => model::ChannelId(find(Kind::Channel, key)).into(),
            S::Radio(key) => RadioId(find(Kind::Radio, key)).into(),
            S::Gateway(key) => GatewayId(find(Kind::Gateway, key)).into(),
            S::Port(key) => self.port(key, at, step).into(),
            S::TalkGroup(key) => self.group(key, at, step).into(),
            S::Tie(key) => model::TieId(find(Kind::Tie, key)).into(),
            S::Telephone(key) => model::TelephoneId(find(Kind::Telephone, key)).into(),
            S::Headset(key) => model::HeadsetId(find(Kind::Headset, key)).into(),
            S::Cable(key) => model::CableId(find(Kind::Cable, key)).into(),
            S::Site(key) => model::SiteId(find(Kind::Site, key)).into(),
            S::Need(key) => model::NeedId(find(Kind::Need, key)).into(),
            S::Stock(key) => model::StockId(find(Kind::Stock, key)).into(),
            S::Agreement(key) => model::AgreementId(find(Kind::Agreement, key)).into(),
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

fn carrier(carrier: v1::Carrier) -> model::Carrier {
    match carrier {
        v1::Carrier::Frequencies {
            rx_mhz,
            tx_mhz,
            rx_code,
            tx_code,
            mode,
            mixed,
            bandwidth_khz,
        } => model::Carrier::Conventional(model::Conventional {
            rx: rx_mhz.0,
            tx: tx_mhz.unwrap_or(rx_mhz).0,
            rx_code: access_code(rx_code),
            tx_code: access_code(tx_code),
            mode: mode.into(),
            mixed,
            bandwidth_hz: bandwidth_khz.hertz,
        }),
        v1::Carrier::Group { number, mode } => model::Carrier::Grouped {
            group: number,
            mode: mode.into(),
        },
    }
}

fn access_code(code: v1::AccessCode) -> model::AccessCode {
    match code {
        v1::AccessCode::NoCode => model::AccessCode::None,
        v1::AccessCode::Ctcss(tone) => model::AccessCode::Ctcss(tone.0),
        v1::AccessCode::Dcs(code) => model::AccessCode::Dcs {
            code: code.0,
            inverted: false,
        },
        v1::AccessCode::DcsInverted(code) => model::AccessCode::Dcs {
            code: code.0,
            inverted: true,
        },
        v1::AccessCode::Nac(nac) => model::AccessCode::Nac(nac.0),
    }
}

fn key_ref(cipher: v1::Cipher, number: u16) -> model::KeyRef {
    model::KeyRef {
        algorithm: cipher.0,
        number,
    }
}

fn protection(encryption: v1::Encryption) -> model::Protection {
    match encryption {
        v1::Encryption::Clear => model::Protection::Clear,
        v1::Encryption::Optional { algorithm, number } => {
            model::Protection::Optional(key_ref(algorithm, number))
        }
        v1::Encryption::Always { algorithm, number } => {
            model::Protection::Always(key_ref(algorithm, number))
        }
    }
}

fn programmed(entry: v1::Programmed, channel: model::ChannelId) -> model::Programmed {
    model::Programmed {
        channel,
        label: entry.label,
        rx: entry.rx_mhz.map(|f| f.0),
        tx: entry.tx_mhz.map(|f| f.0),
        rx_code: entry.rx_code.map(access_code),
        tx_code: entry.tx_code.map(access_code),
        mode: entry.mode.map(Into::into),
        bandwidth_hz: entry.bandwidth_khz.map(|w| w.hertz),
        group: entry.group,
        protection: entry.encryption.map(protection),
        encrypted_only: entry.encrypted_only,
        secure: entry.secure,
        receive_only: entry.receive_only,
        verified: entry
            .verified
            .into_iter()
            .map(|(fact, v)| (fact.into(), model::Verified { by: v.by, on: v.on }))
            .collect(),
    }
}
