//! The one gate through which a scenario changes.
//!
//! Invariants, true of every scenario that left the gate:
//!
//! - an id is in use once, was minted by the scenario, and is never given out again;
//! - a key is unique among the things of its kind and never empty;
//! - everything a thing refers to exists;
//! - a port belongs to one talk group of its own gateway or to none, and holds one attachment or none;
//! - a radio, telephone or headset is plugged into one port at most in a phase, a tie into two of
//!   two gateways, each into a port of its kind;
//! - a radio has at most one entry for a channel, and selects and scans only what is programmed;
//! - what was tried out at a port is noted only while nothing about the port has changed since;
//! - there is at least one phase once there was one;
//! - every value is inside the range of `validate`, every figure of practice inside its own.

use std::collections::{BTreeMap, BTreeSet};

use super::edit::{Edit, EditError};
use super::gear::{Gateway, PortKind};
use super::id::{Kind, PhaseId, PortRef, ThingId, ThingKey as _};
use super::phase::{Attachment, Phase};
use super::radio::Radio;
use super::scenario::Scenario;
use super::tested::{drop_outdated, drop_unpaired};
use super::thing::{Listed, Table, Thing};
use super::validate::field_problems;

impl Scenario {
    /// Returns the scenario after the edits, all of them or none.
    ///
    /// # Errors
    ///
    /// The first edit that breaks an invariant, with the reason; `self` is never changed.
    pub fn apply(&self, edits: &[Edit]) -> Result<Self, EditError> {
        let mut gate = Gate {
            scenario: self.clone(),
            keys: BTreeMap::new(),
        };
        for edit in edits {
            gate.apply(edit)?;
        }
        drop_outdated(self, &mut gate.scenario);
        drop_unpaired(&mut gate.scenario);
        Ok(gate.scenario)
    }

    /// Returns the scenario after every edit that could be applied, and the others with the reason.
    ///
    /// For readers of files, who report everything refused at once.
    pub fn apply_each(&self, edits: &[Edit]) -> (Self, Vec<(usize, EditError)>) {
        let mut gate = Gate {
            scenario: self.clone(),
            keys: BTreeMap::new(),
        };
        let mut refused = Vec::new();
        for (index, edit) in edits.iter().enumerate() {
            if let Err(error) = gate.apply(edit) {
                refused.push((index, error));
            }
        }
        drop_outdated(self, &mut gate.scenario);
        drop_unpaired(&mut gate.scenario);
        (gate.scenario, refused)
    }
}

type Switches = BTreeMap<PortRef, u8>;
type Attachments = BTreeMap<PortRef, Attachment>;

struct Gate {
    scenario: Scenario,
    /// Keys in use, gathered for a kind when the first thing of it is added.
    keys: BTreeMap<Kind, BTreeSet<String>>,
}

fn refused(reason: impl Into<String>) -> EditError {
    EditError::Refused {
        reason: reason.into(),
    }
}

impl Gate {
    fn apply(&mut self, edit: &Edit) -> Result<(), EditError> {
        match edit {
            Edit::SetHeader(header) => self.scenario.header = header.clone(),
            Edit::SetPractice(practice) => {
                if let Some((setting, found)) = practice.problems().next() {
                    return Err(EditError::Value {
                        thing: "the figures of practice".to_owned(),
                        field: setting.key,
                        found: found.to_string(),
                        expected: format!("{} to {}", setting.low, setting.high),
                    });
                }
                self.scenario.practice = (**practice).clone();
            }
            Edit::Rate {
                thing,
                availability,
            } => {
                self.exists(*thing)?;
                if let Some(value) = availability {
                    if !(0.0..=1.0).contains(value) {
                        return Err(EditError::Value {
                            thing: self.scenario.name(*thing),
                            field: "availability",
                            found: value.to_string(),
                            expected: "0 to 1".to_owned(),
                        });
                    }
                    self.scenario.availability.insert(*thing, *value);
                } else {
                    self.scenario.availability.remove(thing);
                }
            }
            Edit::Add(thing) => self.add(thing.clone())?,
            Edit::Replace(thing) => self.replace(thing.clone())?,
            Edit::Remove(thing) => self.remove(*thing)?,
            Edit::Place { thing, place } => {
                self.exists(*thing)?;
                match place {
                    Some(place) => drop(self.scenario.places.insert(*thing, *place)),
                    None => drop(self.scenario.places.remove(thing)),
                }
            }
            Edit::Switch { phase, port, group } => {
                self.change_phase(*phase, |p| {
                    match group {
                        Some(group) => p.switches.insert(*port, *group),
                        None => p.switches.remove(port),
                    };
                })?;
                self.exists((*port).into())?;
            }
            Edit::Attach {
                phase,
                port,
                attachment,
            } => {
                self.exists((*port).into())?;
                self.change_phase(*phase, |p| {
                    match attachment {
                        Some(what) => p.attachments.insert(*port, *what),
                        None => p.attachments.remove(port),
                    };
                })?;
            }
            Edit::Select {
                phase,
                radio,
                channel,
            } => {
                let default = self
                    .scenario
                    .radios
                    .get(*radio)
                    .ok_or(missing(Kind::Radio))?
                    .selected;
                self.change_phase(*phase, |p| {
                    if *channel == default {
                        p.selected.remove(radio);
                    } else {
                        p.selected.insert(*radio, *channel);
                    }
                })?;
            }
            Edit::Program { radio, entry } => self.change_radio(*radio, |r| {
                match r.programmed.iter_mut().find(|p| p.channel == entry.channel) {
                    Some(old) => *old = entry.clone(),
                    None => r.programmed.push(entry.clone()),
                }
            })?,
            Edit::Unprogram { radio, channel } => {
                self.change_radio(*radio, |r| {
                    r.programmed.retain(|p| p.channel != *channel);
                    r.scans.remove(channel);
                    if r.selected == Some(*channel) {
                        r.selected = None;
                    }
                })?;
            }
            Edit::LoadKey { radio, key } => self.change_radio(*radio, |r| {
                r.keys.insert(*key);
            })?,
            Edit::Hold { radio, unit } => self.change_radio(*radio, |r| r.held_by = *unit)?,
            Edit::Test {
                phase,
                port,
                tested,
            } => {
                let now = self.scenario.phases.get(*phase);
                let now = now.ok_or(missing(Kind::Phase))?;
                self.exists((*port).into())?;
                if !tested.is_empty() && !now.attachments.contains_key(port) {
                    return Err(refused(format!(
                        "nothing is plugged into {}",
                        self.scenario.name((*port).into())
                    )));
                }
                self.change_phase(*phase, |p| {
                    if tested.is_empty() {
                        p.tested.remove(port);
                    } else {
                        p.tested.insert(*port, tested.clone());
                    }
                })?;
            }
            Edit::Hear {
                phase,
                from,
                to,
                heard,
            } => {
                self.exists((*phase).into())?;
                self.exists((*from).into())?;
                self.exists((*to).into())?;
                let daq = heard.as_ref().and_then(|h| h.daq);
                if daq.is_some_and(|daq| !(1..=5).contains(&daq)) {
                    return Err(refused("delivered audio quality goes from 1 to 5"));
                }
                self.change_phase(*phase, |p| match heard {
                    Some(heard) => drop(p.pairs.insert((*from, *to), heard.clone())),
                    None => drop(p.pairs.remove(&(*from, *to))),
                })?;
            }
            Edit::Accept(acceptance) => {
                for thing in &acceptance.finding.things {
                    self.exists(*thing)?;
                }
                if let Some(phase) = acceptance.until {
                    self.exists(phase.into())?;
                }
                if acceptance.reason.trim().is_empty() || acceptance.by.trim().is_empty() {
                    return Err(refused("accepting a finding takes a reason and a name"));
                }
                self.scenario
                    .accepted
                    .retain(|a| a.finding != acceptance.finding);
                self.scenario.accepted.push(acceptance.clone());
                self.scenario
                    .accepted
                    .sort_by(|a, b| a.finding.cmp(&b.finding));
            }
            Edit::MovePhase { phase, place } => {
                self.exists((*phase).into())?;
                let all = self.scenario.phases.len();
                if *place >= all {
                    return Err(refused(format!(
                        "there are {all} phases, and none has place {}",
                        place + 1
                    )));
                }
                self.scenario.phases.move_to(*phase, *place);
            }
            Edit::Withdraw(finding) => self.scenario.accepted.retain(|a| a.finding != *finding),
        }
        Ok(())
    }

    fn exists(&self, thing: ThingId) -> Result<(), EditError> {
        if self.scenario.contains(thing) {
            Ok(())
        } else {
            Err(missing(thing.kind()))
        }
    }

    fn change_phase(
        &mut self,
        id: PhaseId,
        change: impl FnOnce(&mut Phase),
    ) -> Result<(), EditError> {
        let mut phase = self
            .scenario
            .phases
            .get(id)
            .ok_or(missing(Kind::Phase))?
            .clone();
        change(&mut phase);
        self.check_phase(&phase)?;
        self.scenario.phases.put(phase);
        Ok(())
    }

    fn change_radio(
        &mut self,
        id: super::id::RadioId,
        change: impl FnOnce(&mut Radio),
    ) -> Result<(), EditError> {
        let mut radio = self
            .scenario
            .radios
            .get(id)
            .ok_or(missing(Kind::Radio))?
            .clone();
        change(&mut radio);
        self.replace(Thing::Radio(radio))
    }

    fn add(&mut self, mut thing: Thing) -> Result<(), EditError> {
        let id = thing.id();
        let kind = id.kind();
        let number = number_of(id);
        let taken = |key: &str| EditError::Taken {
            kind,
            key: key.to_owned(),
        };
        if number < self.scenario.next_id {
            return Err(taken(thing.key()));
        }
        let keys = self.keys_of(kind);
        if thing.key().is_empty() {
            let mut key = format!("{}-{number}", kind.word().replace(' ', "-"));
            while keys.contains(&key) {
                key.push('x');
            }
            set_key(&mut thing, key);
        }
        if !keys.insert(thing.key().to_owned()) {
            return Err(taken(thing.key()));
        }
        self.check(&thing)?;
        self.scenario.next_id = number + 1;
        self.put(thing);
        Ok(())
    }

    fn replace(&mut self, thing: Thing) -> Result<(), EditError> {
        let old = self
            .scenario
            .thing(thing.id())
            .ok_or(missing(thing.id().kind()))?;
        if old.key() != thing.key() {
            return Err(refused(format!("the key '{}' cannot change", old.key())));
        }
        self.check(&thing)?;
        let id = thing.id();
        self.put(thing);
        match id {
            ThingId::Gateway(_) | ThingId::Tie(_) => self.drop_lost_ports(),
            ThingId::Radio(radio) => {
                // A phase may only select what is still programmed.
                let programmed: BTreeSet<_> = self
                    .scenario
                    .radios
                    .get(radio)
                    .map(|r| r.programmed.iter().map(|p| p.channel).collect())
                    .unwrap_or_default();
                let is_lost = |p: &Phase| matches!(p.selected.get(&radio), Some(Some(c)) if !programmed.contains(c));
                self.scenario.phases.change_where(is_lost, |p| {
                    p.selected.remove(&radio);
                });
            }
            _ => {}
        }
        Ok(())
    }

    fn keys_of(&mut self, kind: Kind) -> &mut BTreeSet<String> {
        let scenario = &self.scenario;
        self.keys.entry(kind).or_insert_with(|| {
            fn all<T: Listed>(table: &Table<T>) -> BTreeSet<String> {
                table.iter().map(|t| t.key().to_owned()).collect()
            }
            match kind {
                Kind::Phase => all(&scenario.phases),
                Kind::Agency => all(&scenario.agencies),
                Kind::Unit => all(&scenario.units),
                Kind::System => all(&scenario.systems),
                Kind::Channel => all(&scenario.channels),
                Kind::Radio => all(&scenario.radios),
                Kind::Gateway => all(&scenario.gateways),
                Kind::Tie => all(&scenario.ties),
                Kind::Telephone => all(&scenario.telephones),
                Kind::Headset => all(&scenario.headsets),
                Kind::Cable => all(&scenario.cables),
                Kind::Site => all(&scenario.sites),
                Kind::Need => all(&scenario.needs),
                Kind::Stock => all(&scenario.stock),
                Kind::Agreement => all(&scenario.agreements),
                Kind::Port | Kind::TalkGroup => BTreeSet::new(),
            }
        })
    }

    fn put(&mut self, thing: Thing) {
        let s = &mut self.scenario;
        match thing {
            Thing::Phase(t) => s.phases.put(t),
            Thing::Agency(t) => s.agencies.put(t),
            Thing::Unit(t) => s.units.put(t),
            Thing::System(t) => s.systems.put(t),
            Thing::Channel(t) => s.channels.put(t),
            Thing::Radio(t) => s.radios.put(t),
            Thing::Gateway(t) => s.gateways.put(t),
            Thing::Tie(t) => s.ties.put(t),
            Thing::Telephone(t) => s.telephones.put(t),
            Thing::Headset(t) => s.headsets.put(t),
            Thing::Cable(t) => s.cables.put(t),
            Thing::Site(t) => s.sites.put(t),
            Thing::Need(t) => s.needs.put(t),
            Thing::Stock(t) => s.stock.put(t),
            Thing::Agreement(t) => s.agreements.put(t),
        }
    }

    fn check(&self, thing: &Thing) -> Result<(), EditError> {
        if let Some(problem) = field_problems(thing).into_iter().next() {
            return Err(EditError::Value {
                // Where the name is what is missing, its kind has to do.
                thing: if thing.name().trim().is_empty() {
                    thing.id().kind().word().to_owned()
                } else {
                    thing.name().to_owned()
                },
                field: problem.field,
                found: problem.found,
                expected: problem.expected,
            });
        }
        let s = &self.scenario;
        let need = |there: bool, kind: Kind| if there { Ok(()) } else { Err(missing(kind)) };
        match thing {
            Thing::Phase(p) => self.check_phase(p)?,
            Thing::Unit(u) => need(
                u.agency.is_none_or(|a| s.agencies.contains(a)),
                Kind::Agency,
            )?,
            Thing::Channel(c) => {
                let system = s.systems.get(c.system).ok_or(missing(Kind::System))?;
                if system.kind.is_conventional() != c.conventional().is_some() {
                    return Err(refused(format!(
                        "{} and its system {} do not go together: simplex, repeater and voter \
                         systems carry frequencies, trunked and satellite systems carry group numbers",
                        c.name, system.name
                    )));
                }
            }
            Thing::System(system) => {
                let clash = s.channels.iter().find(|c| {
                    c.system == system.id
                        && system.kind.is_conventional() != c.conventional().is_some()
                });
                if let Some(channel) = clash {
                    return Err(refused(format!(
                        "{} cannot become that kind of system while it carries {}",
                        system.name, channel.name
                    )));
                }
            }
            Thing::Radio(r) => {
                need(r.owner.is_none_or(|a| s.agencies.contains(a)), Kind::Agency)?;
                need(r.held_by.is_none_or(|u| s.units.contains(u)), Kind::Unit)?;
                check_programming(s, r)?;
            }
            Thing::Gateway(g) => {
                need(g.owner.is_none_or(|a| s.agencies.contains(a)), Kind::Agency)?;
                need(g.site.is_none_or(|i| s.sites.contains(i)), Kind::Site)?;
            }
            Thing::Telephone(t) => need(t.held_by.is_none_or(|u| s.units.contains(u)), Kind::Unit)?,
            Thing::Headset(h) => need(h.held_by.is_none_or(|u| s.units.contains(u)), Kind::Unit)?,
            Thing::Site(site) => {
                for antenna in &site.antennas {
                    need(
                        antenna.radio.is_none_or(|r| s.radios.contains(r)),
                        Kind::Radio,
                    )?;
                }
            }
            Thing::Need(n) => {
                for party in n.from.iter().chain(&n.to) {
                    self.exists((*party).into())?;
                }
                if n.from.is_empty() || n.to.is_empty() {
                    return Err(refused(format!(
                        "{} must name somebody on both sides",
                        n.name
                    )));
                }
            }
            Thing::Agreement(a) => {
                need(
                    a.agencies.iter().all(|a| s.agencies.contains(*a)),
                    Kind::Agency,
                )?;
                need(
                    a.channels.iter().all(|c| s.channels.contains(*c)),
                    Kind::Channel,
                )?;
            }
            Thing::Agency(_) | Thing::Tie(_) | Thing::Cable(_) | Thing::Stock(_) => {}
        }
        Ok(())
    }

    fn check_phase(&self, phase: &Phase) -> Result<(), EditError> {
        let s = &self.scenario;
        for (port, group) in &phase.switches {
            let gateway = s.gateways.get(port.gateway).ok_or(missing(Kind::Gateway))?;
            if gateway.port(port.port).is_none() {
                return Err(missing(Kind::Port));
            }
            if gateway.talk_group(*group).is_none() {
                return Err(refused(format!(
                    "{} has no talk group {group}",
                    gateway.name
                )));
            }
        }
        let mut seen: BTreeMap<ThingId, Vec<PortRef>> = BTreeMap::new();
        for (port, attachment) in &phase.attachments {
            let socket = s.port(*port).ok_or(missing(Kind::Port))?;
            let (thing, kind) = match attachment {
                Attachment::Radio { radio, cable } => {
                    if let Some(cable) = cable {
                        self.exists((*cable).into())?;
                    }
                    (ThingId::from(*radio), PortKind::Radio)
                }
                Attachment::Telephone(id) => ((*id).into(), PortKind::Telephone),
                Attachment::Headset(id) => ((*id).into(), PortKind::Headset),
                Attachment::Tie(id) => {
                    let tie = s.ties.get(*id).ok_or(missing(Kind::Tie))?;
                    ((*id).into(), tie.kind.port_kind())
                }
            };
            self.exists(thing)?;
            if socket.kind != kind {
                return Err(refused(format!(
                    "{} is a {} port and does not take a {}",
                    s.name((*port).into()),
                    socket.kind.word(),
                    thing.kind()
                )));
            }
            seen.entry(thing).or_default().push(*port);
        }
        for (thing, ports) in seen {
            let [first, rest @ ..] = ports.as_slice() else {
                continue;
            };
            let is_tie = thing.kind() == Kind::Tie;
            let most = usize::from(is_tie);
            let same_box = is_tie && rest.iter().any(|p| p.gateway == first.gateway);
            if rest.len() > most || same_box {
                return Err(refused(format!(
                    "{} is plugged into {} already",
                    s.name(thing),
                    s.name((*first).into())
                )));
            }
        }
        for (radio, channel) in &phase.selected {
            let radio = s.radios.get(*radio).ok_or(missing(Kind::Radio))?;
            if let Some(channel) = channel
                && radio.entry(*channel).is_none()
            {
                return Err(refused(format!(
                    "{} has no {} programmed",
                    radio.name,
                    s.name((*channel).into())
                )));
            }
        }
        Ok(())
    }

    fn remove(&mut self, thing: ThingId) -> Result<(), EditError> {
        self.exists(thing)?;
        let s = &mut self.scenario;
        match thing {
            ThingId::Phase(id) => {
                if s.phases.len() == 1 {
                    return Err(refused("a scenario keeps at least one phase"));
                }
                s.phases.take(id);
            }
            ThingId::Agency(id) => {
                s.agencies.take(id);
                s.units
                    .change_where(|u| u.agency == Some(id), |u| u.agency = None);
                s.radios
                    .change_where(|r| r.owner == Some(id), |r| r.owner = None);
                s.gateways
                    .change_where(|g| g.owner == Some(id), |g| g.owner = None);
                s.agreements.change_where(
                    |a| a.agencies.contains(&id),
                    |a| {
                        a.agencies.remove(&id);
                    },
                );
            }
            ThingId::Unit(id) => {
                s.units.take(id);
                s.radios
                    .change_where(|r| r.held_by == Some(id), |r| r.held_by = None);
                s.telephones
                    .change_where(|t| t.held_by == Some(id), |t| t.held_by = None);
                s.headsets
                    .change_where(|h| h.held_by == Some(id), |h| h.held_by = None);
            }
            ThingId::System(id) => {
                let channels: Vec<_> = s
                    .channels
                    .iter()
                    .filter(|c| c.system == id)
                    .map(|c| c.id)
                    .collect();
                for channel in channels {
                    self.remove(channel.into())?;
                }
                self.scenario.systems.take(id);
            }
            ThingId::Channel(id) => {
                s.channels.take(id);
                s.radios.change_where(
                    |r| r.entry(id).is_some(),
                    |r| {
                        r.programmed.retain(|p| p.channel != id);
                        r.scans.remove(&id);
                        if r.selected == Some(id) {
                            r.selected = None;
                        }
                    },
                );
                s.phases.change_where(
                    |p| p.selected.values().any(|c| *c == Some(id)),
                    |p| p.selected.retain(|_, c| *c != Some(id)),
                );
                s.agreements.change_where(
                    |a| a.channels.contains(&id),
                    |a| {
                        a.channels.remove(&id);
                    },
                );
            }
            ThingId::Radio(id) => {
                s.radios.take(id);
                s.phases.change_where(
                    |p| p.selected.contains_key(&id),
                    |p| {
                        p.selected.remove(&id);
                    },
                );
                s.sites.change_where(
                    |site| site.antennas.iter().any(|a| a.radio == Some(id)),
                    |site| {
                        for antenna in &mut site.antennas {
                            antenna.radio = antenna.radio.filter(|r| *r != id);
                        }
                    },
                );
                self.unplug(|a| matches!(a, Attachment::Radio { radio, .. } if *radio == id));
            }
            ThingId::Gateway(id) => {
                s.gateways.take(id);
                self.drop_lost_ports();
            }
            ThingId::Port(PortRef { gateway, port }) => {
                s.gateways
                    .change(gateway, |g| g.ports.retain(|p| p.number != port));
                self.drop_lost_ports();
            }
            ThingId::TalkGroup(group) => {
                s.gateways.change(group.gateway, |g| {
                    g.talk_groups.retain(|t| t.number != group.group);
                });
                self.drop_lost_ports();
            }
            ThingId::Tie(id) => {
                s.ties.take(id);
                self.unplug(|a| *a == Attachment::Tie(id));
            }
            ThingId::Telephone(id) => {
                s.telephones.take(id);
                self.unplug(|a| *a == Attachment::Telephone(id));
            }
            ThingId::Headset(id) => {
                s.headsets.take(id);
                self.unplug(|a| *a == Attachment::Headset(id));
            }
            ThingId::Cable(id) => {
                s.cables.take(id);
                let is_used = |a: &Attachment| matches!(a, Attachment::Radio { cable: Some(c), .. } if *c == id);
                s.phases.change_where(
                    |p| p.attachments.values().any(is_used),
                    |p| {
                        for attachment in p.attachments.values_mut() {
                            if let Attachment::Radio { cable, .. } = attachment
                                && *cable == Some(id)
                            {
                                *cable = None;
                            }
                        }
                    },
                );
            }
            ThingId::Site(id) => {
                s.sites.take(id);
                s.gateways
                    .change_where(|g| g.site == Some(id), |g| g.site = None);
            }
            ThingId::Need(id) => s.needs.take(id),
            ThingId::Stock(id) => s.stock.take(id),
            ThingId::Agreement(id) => s.agreements.take(id),
        }
        self.forget_lost();
        Ok(())
    }

    fn unplug(&mut self, is_it: impl Fn(&Attachment) -> bool) {
        self.scenario.phases.change_where(
            |p| p.attachments.values().any(&is_it),
            |p| p.attachments.retain(|_, a| !is_it(a)),
        );
    }

    /// Empties ports and switches that no longer exist.
    fn drop_lost_ports(&mut self) {
        let gateways = &self.scenario.gateways;
        let socket = |port: &PortRef| gateways.get(port.gateway).and_then(|g| g.port(port.port));
        let group = |port: &PortRef, group: u8| {
            socket(port).is_some()
                && gateways
                    .get(port.gateway)
                    .is_some_and(|g: &Gateway| g.talk_group(group).is_some())
        };
        let takes = |port: &PortRef, attachment: &Attachment| {
            let Some(socket) = socket(port) else {
                return false;
            };
            match attachment {
                Attachment::Radio { .. } => socket.kind == PortKind::Radio,
                Attachment::Telephone(_) => socket.kind == PortKind::Telephone,
                Attachment::Headset(_) => socket.kind == PortKind::Headset,
                Attachment::Tie(id) => self
                    .scenario
                    .ties
                    .get(*id)
                    .is_some_and(|tie| tie.kind.port_kind() == socket.kind),
            }
        };
        let keep: Vec<(PhaseId, Switches, Attachments)> = self
            .scenario
            .phases
            .iter()
            .filter(|p| {
                p.switches.iter().any(|(port, g)| !group(port, *g))
                    || p.attachments.iter().any(|(port, a)| !takes(port, a))
            })
            .map(|p| {
                let switches = p
                    .switches
                    .iter()
                    .filter(|(port, g)| group(port, **g))
                    .map(|(p, g)| (*p, *g));
                let attachments = p
                    .attachments
                    .iter()
                    .filter(|(port, a)| takes(port, a))
                    .map(|(p, a)| (*p, *a));
                (p.id, switches.collect(), attachments.collect())
            })
            .collect();
        for (phase, switches, attachments) in keep {
            self.scenario.phases.change(phase, |p| {
                p.switches = switches;
                p.attachments = attachments;
            });
        }
        self.forget_lost();
    }

    /// Drops needs without a side, and places and acceptances of things that are gone.
    fn forget_lost(&mut self) {
        let lost: Vec<_> = {
            let s = &self.scenario;
            s.needs
                .iter()
                .filter(|n| n.from.iter().chain(&n.to).any(|p| !s.contains((*p).into())))
                .map(|n| {
                    let mut need = n.clone();
                    need.from.retain(|p| s.contains((*p).into()));
                    need.to.retain(|p| s.contains((*p).into()));
                    need
                })
                .collect()
        };
        for need in lost {
            if need.from.is_empty() || need.to.is_empty() {
                self.scenario.needs.take(need.id);
            } else {
                self.scenario.needs.put(need);
            }
        }
        let mut places = std::mem::take(&mut self.scenario.places);
        places.retain(|thing, _| self.scenario.contains(*thing));
        self.scenario.places = places;
        let mut rated = std::mem::take(&mut self.scenario.availability);
        rated.retain(|thing, _| self.scenario.contains(*thing));
        self.scenario.availability = rated;
        let mut accepted = std::mem::take(&mut self.scenario.accepted);
        accepted.retain(|a| {
            let mut things = a.finding.things.iter().copied();
            // What was put aside until a phase that is gone is nobody's decision any more.
            let until = a.until.map(ThingId::from);
            things.all(|t| self.scenario.contains(t))
                && until.is_none_or(|phase| self.scenario.contains(phase))
        });
        self.scenario.accepted = accepted;
    }
}

fn missing(kind: Kind) -> EditError {
    EditError::Missing { kind }
}

fn check_programming(s: &Scenario, radio: &Radio) -> Result<(), EditError> {
    let mut seen = BTreeSet::new();
    for entry in &radio.programmed {
        if !s.channels.contains(entry.channel) {
            return Err(missing(Kind::Channel));
        }
        if !seen.insert(entry.channel) {
            return Err(refused(format!(
                "{} has {} programmed twice",
                radio.name,
                s.name(entry.channel.into())
            )));
        }
    }
    for channel in radio.selected.iter().chain(&radio.scans) {
        if !seen.contains(channel) {
            return Err(refused(format!(
                "{} has no {} programmed",
                radio.name,
                s.name((*channel).into())
            )));
        }
    }
    Ok(())
}

fn number_of(id: ThingId) -> u32 {
    match id {
        ThingId::Phase(id) => id.number(),
        ThingId::Agency(id) => id.number(),
        ThingId::Unit(id) => id.number(),
        ThingId::System(id) => id.number(),
        ThingId::Channel(id) => id.number(),
        ThingId::Radio(id) => id.number(),
        ThingId::Gateway(id)
        | ThingId::Port(PortRef { gateway: id, .. })
        | ThingId::TalkGroup(super::id::TalkGroupRef { gateway: id, .. }) => id.number(),
        ThingId::Tie(id) => id.number(),
        ThingId::Telephone(id) => id.number(),
        ThingId::Headset(id) => id.number(),
        ThingId::Cable(id) => id.number(),
        ThingId::Site(id) => id.number(),
        ThingId::Need(id) => id.number(),
        ThingId::Stock(id) => id.number(),
        ThingId::Agreement(id) => id.number(),
    }
}

fn set_key(thing: &mut Thing, key: String) {
    match thing {
        Thing::Phase(t) => t.set_key(key),
        Thing::Agency(t) => t.set_key(key),
        Thing::Unit(t) => t.set_key(key),
        Thing::System(t) => t.set_key(key),
        Thing::Channel(t) => t.set_key(key),
        Thing::Radio(t) => t.set_key(key),
        Thing::Gateway(t) => t.set_key(key),
        Thing::Tie(t) => t.set_key(key),
        Thing::Telephone(t) => t.set_key(key),
        Thing::Headset(t) => t.set_key(key),
        Thing::Cable(t) => t.set_key(key),
        Thing::Site(t) => t.set_key(key),
        Thing::Need(t) => t.set_key(key),
        Thing::Stock(t) => t.set_key(key),
        Thing::Agreement(t) => t.set_key(key),
    }
}
