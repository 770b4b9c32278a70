//! Phases and accepted findings, from the file's types to the model's.
//!
//! Both refer to anything in the file, so they come last.

use std::collections::{BTreeMap, BTreeSet};

use crate::format::convert;
use crate::format::read::Found;
use crate::format::tree::{Node, quoted};
use crate::format::v1::{self, GroupKey};
use crate::model::{
    self, Acceptance, Edit, FindingId, GatewayId, Kind, PhaseId, Practice, RadioId, ThingId,
};

use super::{Lowering, Origin, Spot};

impl<'a> Lowering<'a> {
    pub(super) fn phase(&mut self, t: v1::Phase, number: u32) -> model::Phase {
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
        let mut tested = BTreeMap::new();
        for (key, record) in t.tested {
            let text = key.to_string();
            let step = format!(".tested[{}]", quoted(&text));
            let found = entry("tested", &text);
            let port = self.port(&key, found.map(|(at, _)| at), &step);
            tested.insert(port, convert::tested(record));
        }
        let mut pairs = BTreeMap::new();
        let nodes = node.and_then(|n| n.field("pairs"));
        let nodes = nodes.map_or(&[][..], Node::items);
        for (i, record) in t.pairs.into_iter().enumerate() {
            let at = nodes.get(i).map(|n| n.at);
            let from = self.party(&record.from, at, &format!(".pairs[{i}].from"));
            let to = self.party(&record.to, at, &format!(".pairs[{i}].to"));
            if let Some(daq) = record.daq.filter(|daq| !(1..=5).contains(daq)) {
                let message = format!("found {daq}, expected 1 to 5");
                self.fault(at, &format!(".pairs[{i}].daq"), message, None);
            }
            pairs.insert((from, to), convert::heard_pair(record));
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
            tested,
            pairs,
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

    pub(super) fn practice(&mut self, practice: Practice) {
        if practice != Practice::default() {
            let origin = Origin {
                at: 0,
                path: "practice".to_owned(),
                entries: BTreeMap::new(),
            };
            self.push(Edit::SetPractice(Box::new(practice)), origin);
        }
    }

    pub(super) fn rate(&mut self, found: Found<'a, v1::Rated>, index: usize) {
        let Found { value, node } = found;
        self.spot = Spot {
            node: Some(node),
            list: "availability",
            index,
        };
        let at = node.field("thing").map(|n| n.at);
        let thing = self.subject(&value.thing, at, ".thing");
        let origin = Origin {
            at: node.field("works").map_or(node.at, |n| n.at),
            path: self.spot.path(),
            entries: BTreeMap::new(),
        };
        let availability = Some(value.works);
        self.push(
            Edit::Rate {
                thing,
                availability,
            },
            origin,
        );
    }

    pub(super) fn accept(&mut self, found: Found<'a, v1::Acceptance>, index: usize) {
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
        let until = value.until.as_deref();
        let until = until.map(|key| PhaseId(self.field(Kind::Phase, key, "until")));
        let acceptance = Acceptance {
            finding: FindingId {
                code: value.code,
                things: in_order,
            },
            facts: value.facts.0,
            reason: value.reason,
            by: value.by,
            on: value.on,
            until,
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
