//! What may be joined with what, and what joining means.
//!
//! The board asks here while a line is dragged: a legal target lights up with what will happen, an
//! illegal one says why not. The answer is edits; nothing is changed here.

use std::collections::{BTreeMap, BTreeSet};

use super::air::{Carrier, Channel};
use super::edit::Edit;
use super::gear::{PortKind, Tie, TieKind};
use super::id::{
    ChannelId, GatewayId, Kind, NeedId, Party, PhaseId, PortRef, RadioId, TalkGroupRef, ThingId,
    TieId, UnitId,
};
use super::people::{Need, Priority, Way};
use super::phase::{Attachment, Phase};
use super::radio::{Programmed, Radio};
use super::scenario::Scenario;

/// What joining two things does.
#[derive(Debug, Clone, PartialEq)]
pub struct Connection {
    /// What will happen, as an order: "Cable the radio to port 3".
    pub title: String,
    /// The edits, applied together.
    pub edits: Vec<Edit>,
}

/// Tells what joining two things would do in a phase, whichever of the two was dragged.
///
/// # Errors
///
/// The reason, in a sentence for the person who drags.
pub fn connect(
    scenario: &Scenario,
    phase: PhaseId,
    from: ThingId,
    to: ThingId,
) -> Result<Connection, String> {
    let phase = scenario.phases.get(phase).ok_or("there is no such phase")?;
    let on = Joiner { scenario, phase };
    let answer = on
        .one_way(from, to)
        .or_else(|| on.one_way(to, from))
        .unwrap_or_else(|| {
            let plain = format!(
                "a {} and a {} are not joined directly",
                from.kind(),
                to.kind()
            );
            let is = |a: Kind, b: Kind| {
                (from.kind() == a && to.kind() == b) || (from.kind() == b && to.kind() == a)
            };
            Err(
                if is(Kind::Channel, Kind::Port) || is(Kind::Channel, Kind::Gateway) {
                    format!("{plain}: plug a radio into the port and tune it to the channel")
                } else if is(Kind::Unit, Kind::Port) || is(Kind::Unit, Kind::Channel) {
                    format!("{plain}: join one of the unit's radios")
                } else {
                    plain
                },
            )
        })?;
    if answer.edits.iter().all(|edit| on.is_so(edit)) {
        return Err("they are joined so already".to_owned());
    }
    Ok(answer)
}

/// Programs a channel into a radio unless it is there, and selects it.
pub fn tune(scenario: &Scenario, phase: PhaseId, radio: &Radio, channel: ChannelId) -> Vec<Edit> {
    let mut edits = Vec::new();
    if radio.entry(channel).is_none() {
        edits.push(Edit::Program {
            radio: radio.id,
            entry: Programmed::as_defined(channel),
        });
    }
    let selected = scenario
        .phases
        .get(phase)
        .and_then(|phase| scenario.selected_channel(phase, radio));
    if selected != Some(channel) {
        edits.push(Edit::Select {
            phase,
            radio: radio.id,
            channel: Some(channel),
        });
    }
    edits
}

/// Returns why a radio cannot work a channel at all, or `None` when it can.
pub fn unable(radio: &Radio, channel: &Channel) -> Option<String> {
    let mode = channel.mode();
    if !radio.modes.contains(&mode) {
        return Some(format!("{} has no {mode}", radio.name));
    }
    if let Carrier::Conventional(c) = &channel.carrier {
        for frequency in [c.rx, c.tx] {
            if !radio.covers(frequency) {
                return Some(format!("{} does not cover {frequency}", radio.name));
            }
        }
    }
    None
}

/// Returns a cable that fits a radio at a port.
///
/// A kind with a free piece comes before one of which every piece is in use in the phase.
pub fn fitting_cable(
    scenario: &Scenario,
    phase: &Phase,
    radio: RadioId,
    port: PortRef,
) -> Option<super::id::CableId> {
    let radio = scenario.radios.get(radio)?;
    let socket = scenario.port(port)?;
    let mut in_use: BTreeMap<_, u32> = BTreeMap::new();
    for (at, attachment) in &phase.attachments {
        if let Attachment::Radio {
            cable: Some(cable), ..
        } = attachment
            && *at != port
        {
            *in_use.entry(*cable).or_default() += 1;
        }
    }
    scenario
        .cables
        .iter()
        .filter(|c| c.fits(&radio.connector, &socket.connector))
        .min_by_key(|c| (in_use.get(&c.id).copied().unwrap_or(0) >= c.count, c.id))
        .map(|c| c.id)
}

struct Joiner<'a> {
    scenario: &'a Scenario,
    phase: &'a Phase,
}

impl Joiner<'_> {
    /// Tells whether an edit would change nothing.
    fn is_so(&self, edit: &Edit) -> bool {
        match edit {
            Edit::Replace(thing) => self.scenario.thing(thing.id()).as_ref() == Some(thing),
            Edit::Hold { radio, unit } => self
                .scenario
                .radios
                .get(*radio)
                .is_some_and(|r| r.held_by == *unit),
            _ => false,
        }
    }

    /// Answers for one order of the pair; `None` when the other order has to be asked.
    fn one_way(&self, from: ThingId, to: ThingId) -> Option<Result<Connection, String>> {
        use ThingId as T;
        let s = self.scenario;
        let name = |id: ThingId| s.name(id);
        let done = |title: String, edits: Vec<Edit>| Some(Ok(Connection { title, edits }));
        match (from, to) {
            (T::Unit(unit), T::Agency(agency)) => {
                let mut unit = s.units.get(unit)?.clone();
                unit.agency = Some(agency);
                done(
                    format!("{} belongs to {}", unit.name, name(to)),
                    vec![Edit::Replace(unit.into())],
                )
            }
            (T::Radio(radio), T::Agency(agency)) => {
                let mut radio = s.radios.get(radio)?.clone();
                radio.owner = Some(agency);
                done(
                    format!("{} owns {}", name(to), radio.name),
                    vec![Edit::Replace(radio.into())],
                )
            }
            (T::Gateway(gateway), T::Agency(agency)) => {
                let mut gateway = s.gateways.get(gateway)?.clone();
                gateway.owner = Some(agency);
                done(
                    format!("{} brings {}", name(to), gateway.name),
                    vec![Edit::Replace(gateway.into())],
                )
            }
            (T::Gateway(gateway), T::Site(site)) => {
                let mut gateway = s.gateways.get(gateway)?.clone();
                gateway.site = Some(site);
                done(
                    format!("{} stands at {}", gateway.name, name(to)),
                    vec![Edit::Replace(gateway.into())],
                )
            }
            (T::Unit(unit), T::Radio(radio)) => Some(self.hold(unit, radio)),
            (T::Radio(radio), T::Channel(channel)) => Some(self.tune(radio, channel)),
            (T::Unit(unit), T::Channel(channel)) => Some(self.tune_unit(unit, channel)),
            (T::Channel(channel), T::System(system)) => {
                let mut channel = s.channels.get(channel)?.clone();
                let system = s.systems.get(system)?;
                if system.kind.is_conventional() != channel.conventional().is_some() {
                    return Some(Err(format!(
                        "{} carries {}, and {} is the other kind",
                        system.name,
                        if system.kind.is_conventional() {
                            "frequencies"
                        } else {
                            "group numbers"
                        },
                        channel.name
                    )));
                }
                channel.system = system.id;
                done(
                    format!("{} is carried by {}", channel.name, system.name),
                    vec![Edit::Replace(channel.into())],
                )
            }
            (T::Radio(_) | T::Telephone(_) | T::Headset(_), T::Port(port)) => {
                Some(self.plug(from, port))
            }
            (T::Radio(_) | T::Telephone(_) | T::Headset(_), T::Gateway(gateway)) => {
                Some(match self.free_port(gateway, port_kind_for(from)) {
                    Some(port) => self.plug(from, port),
                    None => Err(format!(
                        "{} has no free {} port",
                        name(to),
                        port_kind_for(from).word()
                    )),
                })
            }
            (T::Port(port), T::TalkGroup(group)) => Some(self.switch(port, group)),
            (T::Unit(unit), T::Telephone(telephone)) => {
                let mut telephone = s.telephones.get(telephone)?.clone();
                telephone.held_by = Some(unit);
                done(
                    format!("{} is at the far end of {}", name(from), telephone.name),
                    vec![Edit::Replace(telephone.into())],
                )
            }
            (T::Unit(unit), T::Headset(headset)) => {
                let mut headset = s.headsets.get(headset)?.clone();
                headset.held_by = Some(unit);
                done(
                    format!("{} wears {}", name(from), headset.name),
                    vec![Edit::Replace(headset.into())],
                )
            }
            (T::Port(a), T::Port(b)) => Some(self.tie(a, b)),
            (T::Gateway(a), T::Gateway(b)) => Some(self.tie_gateways(a, b)),
            (T::Unit(_) | T::Telephone(_) | T::Headset(_), T::Unit(_))
            | (T::Telephone(_), T::Headset(_)) => Some(self.need(from, to)),
            _ => None,
        }
    }

    fn hold(&self, unit: UnitId, radio: RadioId) -> Result<Connection, String> {
        let s = self.scenario;
        if let Some(port) = self.phase.port_of_radio(radio) {
            return Err(format!(
                "{} is cabled to {}; nobody talks at a donor",
                s.name(radio.into()),
                s.name(port.into())
            ));
        }
        Ok(Connection {
            title: format!("{} carries {}", s.name(unit.into()), s.name(radio.into())),
            edits: vec![Edit::Hold {
                radio,
                unit: Some(unit),
            }],
        })
    }

    fn tune(&self, radio: RadioId, channel: ChannelId) -> Result<Connection, String> {
        let s = self.scenario;
        let radio = s.radios.get(radio).ok_or("there is no such radio")?;
        let channel = s.channels.get(channel).ok_or("there is no such channel")?;
        if let Some(reason) = unable(radio, channel) {
            return Err(reason);
        }
        let edits = tune(s, self.phase.id, radio, channel.id);
        if edits.is_empty() {
            return Err(format!("{} is on {} already", radio.name, channel.name));
        }
        Ok(Connection {
            title: format!("Put {} on {}", radio.name, channel.name),
            edits,
        })
    }

    fn tune_unit(&self, unit: UnitId, channel: ChannelId) -> Result<Connection, String> {
        let s = self.scenario;
        let radios: Vec<_> = s
            .radios_of(unit)
            .filter(|r| !Scenario::is_donor(self.phase, r.id))
            .map(|r| r.id)
            .collect();
        match radios.as_slice() {
            [radio] => self.tune(*radio, channel),
            [] => Err(format!("{} carries no radio yet", s.name(unit.into()))),
            _ => Err(format!(
                "{} carries several radios; choose one",
                s.name(unit.into())
            )),
        }
    }

    fn plug(&self, thing: ThingId, port: PortRef) -> Result<Connection, String> {
        let s = self.scenario;
        let socket = s.port(port).ok_or("there is no such port")?;
        let port_name = s.name(port.into());
        let kind = port_kind_for(thing);
        if socket.kind != kind {
            return Err(format!("{port_name} is a {} port", socket.kind.word()));
        }
        let (attachment, old) = match thing {
            ThingId::Radio(radio) => (
                Attachment::Radio {
                    radio,
                    cable: fitting_cable(s, self.phase, radio, port),
                },
                self.phase.port_of_radio(radio),
            ),
            ThingId::Telephone(id) => (Attachment::Telephone(id), self.phase.port_of_telephone(id)),
            ThingId::Headset(id) => (Attachment::Headset(id), self.phase.port_of_headset(id)),
            other => return Err(format!("a {} is not plugged into a port", other.kind())),
        };
        if old == Some(port) {
            return Err(format!("{} is plugged in there already", s.name(thing)));
        }
        if let Some(there) = self.phase.attachments.get(&port) {
            let there = match there {
                Attachment::Radio { radio, .. } => s.name((*radio).into()),
                Attachment::Telephone(id) => s.name((*id).into()),
                Attachment::Headset(id) => s.name((*id).into()),
                Attachment::Tie(id) => s.name((*id).into()),
            };
            return Err(format!("{port_name} holds {there}; unplug that first"));
        }
        let phase = self.phase.id;
        let unplug = old.map(|port| Edit::Attach {
            phase,
            port,
            attachment: None,
        });
        let plug = Edit::Attach {
            phase,
            port,
            attachment: Some(attachment),
        };
        let verb = if kind == PortKind::Radio {
            "Cable"
        } else {
            "Plug"
        };
        Ok(Connection {
            title: format!("{verb} {} into {port_name}", s.name(thing)),
            edits: unplug.into_iter().chain([plug]).collect(),
        })
    }

    fn free_port(&self, gateway: GatewayId, kind: PortKind) -> Option<PortRef> {
        let gateway = self.scenario.gateways.get(gateway)?;
        gateway
            .ports
            .iter()
            .filter(|p| p.kind == kind)
            .map(|p| PortRef {
                gateway: gateway.id,
                port: p.number,
            })
            .find(|port| !self.phase.attachments.contains_key(port))
    }

    fn switch(&self, port: PortRef, group: TalkGroupRef) -> Result<Connection, String> {
        let s = self.scenario;
        if port.gateway != group.gateway {
            return Err("a talk group is a bus inside its own gateway".to_owned());
        }
        if self.phase.group_of(port) == Some(group) {
            return Err(format!(
                "{} is in talk group {} already",
                s.name(port.into()),
                group.group
            ));
        }
        Ok(Connection {
            title: format!(
                "Switch {} to talk group {}",
                s.name(port.into()),
                group.group
            ),
            edits: vec![Edit::Switch {
                phase: self.phase.id,
                port,
                group: Some(group.group),
            }],
        })
    }

    fn tie_gateways(&self, a: GatewayId, b: GatewayId) -> Result<Connection, String> {
        if a == b {
            return Err("a tie joins two different gateways".to_owned());
        }
        for kind in [PortKind::Ip, PortKind::Wire] {
            if let (Some(a), Some(b)) = (self.free_port(a, kind), self.free_port(b, kind)) {
                return self.tie(a, b);
            }
        }
        Err("they have no free wire or IP port of the same kind".to_owned())
    }

    fn tie(&self, a: PortRef, b: PortRef) -> Result<Connection, String> {
        let s = self.scenario;
        if a.gateway == b.gateway {
            return Err("a tie joins two different gateways".to_owned());
        }
        let kind_of = |port: PortRef| s.port(port).map(|p| p.kind);
        let kind = match (kind_of(a), kind_of(b)) {
            (Some(PortKind::Wire), Some(PortKind::Wire)) => TieKind::Wire,
            (Some(PortKind::Ip), Some(PortKind::Ip)) => TieKind::Ip,
            _ => return Err("a tie takes two wire ports or two IP ports".to_owned()),
        };
        for port in [a, b] {
            if self.phase.attachments.contains_key(&port) {
                return Err(format!("{} is taken", s.name(port.into())));
            }
        }
        let id = TieId(s.mint(0));
        let tie = Tie {
            id,
            key: String::new(),
            name: format!("Tie {}", s.ties.len() + 1),
            kind,
            latency_ms: 0,
            encrypted: false,
            notes: String::new(),
        };
        let plug = |port| Edit::Attach {
            phase: self.phase.id,
            port,
            attachment: Some(Attachment::Tie(id)),
        };
        Ok(Connection {
            title: format!("Tie {} to {}", s.name(a.into()), s.name(b.into())),
            edits: vec![Edit::Add(tie.into()), plug(a), plug(b)],
        })
    }

    fn need(&self, from: ThingId, to: ThingId) -> Result<Connection, String> {
        let s = self.scenario;
        let (Ok(from), Ok(to)) = (Party::try_from(from), Party::try_from(to)) else {
            return Err("only people need to reach each other".to_owned());
        };
        if from == to {
            return Err("a unit reaches itself without a radio".to_owned());
        }
        let pair = |n: &Need| {
            (n.from.contains(&from) && n.to.contains(&to))
                || (n.way != Way::ListenOnly && n.from.contains(&to) && n.to.contains(&from))
        };
        if let Some(need) = s.needs.iter().find(|n| pair(n)) {
            let says = if need.keeps_apart() {
                "keeps them apart"
            } else {
                "says so already"
            };
            return Err(format!("{} {says}", need.name));
        }
        let (a, b) = (s.name(from.into()), s.name(to.into()));
        let need = Need {
            id: NeedId(s.mint(0)),
            key: String::new(),
            name: format!("{a} and {b}"),
            from: BTreeSet::from([from]),
            to: BTreeSet::from([to]),
            way: Way::TwoWay,
            priority: Priority::High,
            encrypted: false,
            max_delay_ms: None,
            notes: String::new(),
        };
        Ok(Connection {
            title: format!("{a} and {b} must reach each other"),
            edits: vec![Edit::Add(need.into())],
        })
    }
}

fn port_kind_for(thing: ThingId) -> PortKind {
    match thing {
        ThingId::Telephone(_) => PortKind::Telephone,
        ThingId::Headset(_) => PortKind::Headset,
        _ => PortKind::Radio,
    }
}
