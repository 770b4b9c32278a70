//! The copies of a graft as edits, each pointing at copies or at the target's own things.

use std::collections::{BTreeMap, BTreeSet};

use crate::model::air::{Channel, System};
use crate::model::edit::Edit;
use crate::model::gear::{Cable, Gateway, Headset, Site, Stock, Telephone, Tie};
use crate::model::id::{
    AgencyId, AgreementId, CableId, ChannelId, GatewayId, HeadsetId, NeedId, Party, PortRef,
    RadioId, SiteId, StockId, SystemId, TalkGroupRef, TelephoneId, ThingId, TieId, UnitId,
};
use crate::model::people::{Agency, Agreement, Need, Unit};
use crate::model::phase::{Attachment, Phase};
use crate::model::radio::{Programmed, Radio};
use crate::model::scenario::{Place, Scenario};
use crate::model::thing::Thing;

use super::gather::Gathered;
use super::names::Taken;
use super::twin::twin;
use super::{Bed, Cutting, Grafted, whole};

pub(super) fn copy(
    cutting: &Cutting<'_>,
    target: &Scenario,
    bed: &Bed,
    gathered: Gathered,
) -> Grafted {
    let mut order: Vec<ThingId> = gathered.copied.iter().copied().collect();
    order.sort_by_key(|thing| (rank(*thing), *thing));
    let mut became = gathered.shared;
    let mut fresh = BTreeSet::new();
    for (thing, offset) in order.iter().zip(0..) {
        let copy = renumbered(*thing, target.mint(offset));
        became.insert(*thing, copy);
        fresh.insert(copy);
    }
    let mut copier = Copier {
        cutting,
        target,
        bed,
        became: &became,
        taken: Taken::of(target),
        renamed: BTreeMap::new(),
    };
    let mut edits: Vec<Edit> = order
        .iter()
        .filter_map(|thing| copier.copied(*thing))
        .map(Edit::Add)
        .collect();
    for thing in &order {
        edits.extend(copier.beside(*thing));
    }
    edits.extend(copier.in_phase());
    let asked = cutting.things.iter().filter_map(|thing| whole(*thing));
    let asked: BTreeSet<ThingId> = asked.filter_map(|t| became.get(&t).copied()).collect();
    Grafted {
        edits,
        asked: asked.into_iter().collect(),
        fresh,
        became,
    }
}

/// The order in which things can be added: what is referred to comes first.
fn rank(thing: ThingId) -> u8 {
    match thing {
        ThingId::Phase(_) | ThingId::Agency(_) => 0,
        ThingId::Unit(_) => 1,
        ThingId::System(_) => 2,
        ThingId::Channel(_) => 3,
        ThingId::Radio(_) => 4,
        ThingId::Site(_) => 5,
        ThingId::Gateway(_) | ThingId::Port(_) | ThingId::TalkGroup(_) => 6,
        ThingId::Tie(_) => 7,
        ThingId::Telephone(_) => 8,
        ThingId::Headset(_) => 9,
        ThingId::Cable(_) => 10,
        ThingId::Need(_) => 11,
        ThingId::Stock(_) => 12,
        ThingId::Agreement(_) => 13,
    }
}

fn renumbered(thing: ThingId, number: u32) -> ThingId {
    match thing {
        ThingId::Agency(_) => AgencyId(number).into(),
        ThingId::Unit(_) => UnitId(number).into(),
        ThingId::System(_) => SystemId(number).into(),
        ThingId::Channel(_) => ChannelId(number).into(),
        ThingId::Radio(_) => RadioId(number).into(),
        ThingId::Gateway(_) => GatewayId(number).into(),
        ThingId::Tie(_) => TieId(number).into(),
        ThingId::Telephone(_) => TelephoneId(number).into(),
        ThingId::Headset(_) => HeadsetId(number).into(),
        ThingId::Cable(_) => CableId(number).into(),
        ThingId::Site(_) => SiteId(number).into(),
        ThingId::Need(_) => NeedId(number).into(),
        ThingId::Stock(_) => StockId(number).into(),
        ThingId::Agreement(_) => AgreementId(number).into(),
        ThingId::Phase(_) | ThingId::Port(_) | ThingId::TalkGroup(_) => thing,
    }
}

struct Copier<'a> {
    cutting: &'a Cutting<'a>,
    target: &'a Scenario,
    bed: &'a Bed,
    became: &'a BTreeMap<ThingId, ThingId>,
    taken: Taken<'a>,
    /// Old and new name of each unit and channel that was renamed.
    renamed: BTreeMap<ThingId, (String, String)>,
}

/// Copies and the target's own things by kind.
macro_rules! lookup {
    ($($name:ident: $id:ident, $kind:ident;)+) => {
        $(
            fn $name(&self, id: $id) -> Option<$id> {
                match self.became.get(&id.into()) {
                    Some(ThingId::$kind(id)) => Some(*id),
                    _ => None,
                }
            }
        )+
    };
}

impl Copier<'_> {
    lookup! {
        agency: AgencyId, Agency;
        unit: UnitId, Unit;
        system: SystemId, System;
        channel: ChannelId, Channel;
        radio: RadioId, Radio;
        gateway: GatewayId, Gateway;
        tie: TieId, Tie;
        telephone: TelephoneId, Telephone;
        headset: HeadsetId, Headset;
        cable: CableId, Cable;
        site: SiteId, Site;
    }

    /// The owner of a copy: a copy, the same agency of the target, or nobody.
    fn owner(&self, agency: AgencyId) -> Option<AgencyId> {
        if let Some(found) = self.agency(agency) {
            return Some(found);
        }
        if self.bed.same {
            return Some(agency);
        }
        match twin(self.cutting.origin, self.target, agency.into()) {
            Some(ThingId::Agency(id)) => Some(id),
            _ => None,
        }
    }

    /// Who holds a copy: the copy of its holder, in the same scenario else its holder, or nobody.
    fn holder(&self, unit: UnitId) -> Option<UnitId> {
        self.unit(unit).or_else(|| self.bed.same.then_some(unit))
    }

    fn copied(&mut self, thing: ThingId) -> Option<Thing> {
        let copy = *self.became.get(&thing)?;
        let old = self.cutting.origin.thing(thing)?;
        let wanted = self.like_holder(&old);
        let name = self.taken.name(thing, &wanted);
        if name != old.name() {
            let names = (old.name().to_owned(), name.clone());
            self.renamed.insert(thing, names);
        }
        let key = self.taken.key(thing, old.key());
        Some(self.pointed(old, copy, key, name))
    }

    /// Returns a thing's name, with its holder's new name in place of the old one in front.
    fn like_holder(&self, thing: &Thing) -> String {
        let held_by = match thing {
            Thing::Radio(t) => t.held_by,
            Thing::Telephone(t) => t.held_by,
            Thing::Headset(t) => t.held_by,
            _ => None,
        };
        let renamed = held_by.and_then(|unit| self.renamed.get(&unit.into()));
        let Some((old, new)) = renamed else {
            return thing.name().to_owned();
        };
        match thing.name().strip_prefix(old.as_str()) {
            Some(rest) if !rest.starts_with(|c: char| c.is_alphanumeric()) => {
                format!("{new}{rest}")
            }
            _ => thing.name().to_owned(),
        }
    }

    /// Points everything a thing refers to at copies or at the target's own.
    fn pointed(&self, thing: Thing, copy: ThingId, key: String, name: String) -> Thing {
        let mut thing = match (thing, copy) {
            (Thing::Agency(t), ThingId::Agency(id)) => Thing::Agency(Agency { id, key, ..t }),
            (Thing::Unit(t), ThingId::Unit(id)) => Thing::Unit(Unit {
                id,
                key,
                agency: t.agency.and_then(|a| self.agency(a)),
                ..t
            }),
            (Thing::System(t), ThingId::System(id)) => Thing::System(System { id, key, ..t }),
            (Thing::Channel(t), ThingId::Channel(id)) => Thing::Channel(Channel {
                id,
                key,
                system: self.system(t.system).unwrap_or(t.system),
                ..t
            }),
            (Thing::Radio(t), ThingId::Radio(id)) => Thing::Radio(self.copied_radio(t, id, key)),
            (Thing::Gateway(t), ThingId::Gateway(id)) => Thing::Gateway(Gateway {
                id,
                key,
                owner: t.owner.and_then(|a| self.owner(a)),
                site: t.site.and_then(|s| self.site(s)),
                ..t
            }),
            (Thing::Tie(t), ThingId::Tie(id)) => Thing::Tie(Tie { id, key, ..t }),
            (Thing::Telephone(t), ThingId::Telephone(id)) => Thing::Telephone(Telephone {
                id,
                key,
                held_by: t.held_by.and_then(|u| self.holder(u)),
                ..t
            }),
            (Thing::Headset(t), ThingId::Headset(id)) => Thing::Headset(Headset {
                id,
                key,
                held_by: t.held_by.and_then(|u| self.holder(u)),
                ..t
            }),
            (Thing::Cable(t), ThingId::Cable(id)) => Thing::Cable(Cable { id, key, ..t }),
            (Thing::Site(t), ThingId::Site(id)) => Thing::Site(self.copied_site(t, id, key)),
            (Thing::Need(t), ThingId::Need(id)) => Thing::Need(Need {
                id,
                key,
                from: self.parties(&t.from),
                to: self.parties(&t.to),
                ..t
            }),
            (Thing::Stock(t), ThingId::Stock(id)) => Thing::Stock(Stock { id, key, ..t }),
            (Thing::Agreement(t), ThingId::Agreement(id)) => Thing::Agreement(Agreement {
                id,
                key,
                agencies: t.agencies.iter().filter_map(|a| self.agency(*a)).collect(),
                channels: t.channels.iter().filter_map(|c| self.channel(*c)).collect(),
                ..t
            }),
            // A phase is not grafted, and a copy has the kind of its original.
            (other, _) => other,
        };
        *thing.name_mut() = name;
        thing
    }

    fn parties(&self, parties: &BTreeSet<Party>) -> BTreeSet<Party> {
        parties
            .iter()
            .filter_map(|party| self.became.get(&(*party).into()))
            .filter_map(|thing| Party::try_from(*thing).ok())
            .collect()
    }

    fn copied_radio(&self, radio: Radio, id: RadioId, key: String) -> Radio {
        let programmed = radio.programmed.iter();
        let programmed = programmed.filter_map(|entry| {
            let channel = self.channel(entry.channel)?;
            // The set still shows what it showed, whatever the channel is called here.
            let renamed = self.renamed.get(&entry.channel.into());
            let label = entry.label.clone().or(renamed.map(|(old, _)| old.clone()));
            Some(Programmed {
                channel,
                label,
                ..entry.clone()
            })
        });
        Radio {
            id,
            key,
            owner: radio.owner.and_then(|a| self.owner(a)),
            held_by: radio.held_by.and_then(|u| self.holder(u)),
            programmed: programmed.collect(),
            selected: radio.selected.and_then(|c| self.channel(c)),
            scans: radio
                .scans
                .iter()
                .filter_map(|c| self.channel(*c))
                .collect(),
            ..radio
        }
    }

    /// A site that was asked for keeps its antennas; one that came along brings those of the radios
    /// that came too.
    fn copied_site(&self, site: Site, id: SiteId, key: String) -> Site {
        let is_asked = self.cutting.things.contains(&site.id.into());
        let mut antennas = site.antennas.clone();
        for antenna in &mut antennas {
            antenna.radio = antenna.radio.and_then(|r| self.radio(r));
        }
        antennas.retain(|antenna| is_asked || antenna.radio.is_some());
        Site {
            id,
            key,
            antennas,
            ..site
        }
    }

    /// Lists what is noted beside a thing: where it stands and how often it works.
    fn beside(&self, thing: ThingId) -> Vec<Edit> {
        let origin = self.cutting.origin;
        let mut parts = vec![thing];
        if let ThingId::Gateway(id) = thing
            && let Some(gateway) = origin.gateways.get(id)
        {
            parts.extend(gateway.port_refs().map(ThingId::from));
            parts.extend(gateway.talk_group_refs().map(ThingId::from));
        }
        let mut edits = Vec::new();
        for part in parts {
            let Some(copy) = self.part(part) else {
                continue;
            };
            if let Some(works) = origin.availability.get(&part) {
                edits.push(Edit::Rate {
                    thing: copy,
                    availability: Some(*works),
                });
            }
            if let Some(place) = origin.places.get(&part) {
                edits.push(Edit::Place {
                    thing: copy,
                    place: Some(Place {
                        x: place.x.saturating_add(self.bed.shift.x),
                        y: place.y.saturating_add(self.bed.shift.y),
                    }),
                });
            }
        }
        edits
    }

    /// Returns the copy of a thing, a port or a talk group.
    fn part(&self, part: ThingId) -> Option<ThingId> {
        Some(match part {
            ThingId::Port(port) => self.port(port)?.into(),
            ThingId::TalkGroup(TalkGroupRef { gateway, group }) => TalkGroupRef {
                gateway: self.gateway(gateway)?,
                group,
            }
            .into(),
            other => *self.became.get(&other)?,
        })
    }

    fn port(&self, port: PortRef) -> Option<PortRef> {
        Some(PortRef {
            gateway: self.gateway(port.gateway)?,
            port: port.port,
        })
    }

    /// Lists what the copies do in the phase: what is plugged in, switched and selected.
    fn in_phase(&self) -> Vec<Edit> {
        let Some(phase) = self.cutting.origin.phases.get(self.cutting.phase) else {
            return Vec::new();
        };
        let mut edits = Vec::new();
        if self.cutting.attached {
            edits.extend(self.plugs(phase));
            edits.extend(phase.switches.iter().filter_map(|(port, group)| {
                Some(Edit::Switch {
                    phase: self.bed.phase,
                    port: self.port(*port)?,
                    group: Some(*group),
                })
            }));
        }
        edits.extend(phase.selected.iter().filter_map(|(radio, channel)| {
            let radio = self.radio(*radio)?;
            Some(Edit::Select {
                phase: self.bed.phase,
                radio,
                channel: channel.and_then(|c| self.channel(c)),
            })
        }));
        edits
    }

    fn plugs<'b>(&'b self, phase: &'b Phase) -> impl Iterator<Item = Edit> + 'b {
        phase.attachments.iter().filter_map(|(port, attachment)| {
            let port = self.port(*port)?;
            let attachment = match attachment {
                Attachment::Radio { radio, cable } => Attachment::Radio {
                    radio: self.radio(*radio)?,
                    cable: cable.and_then(|c| self.cable(c)),
                },
                Attachment::Telephone(id) => Attachment::Telephone(self.telephone(*id)?),
                Attachment::Headset(id) => Attachment::Headset(self.headset(*id)?),
                Attachment::Tie(id) => Attachment::Tie(self.tie(*id)?),
            };
            Some(Edit::Attach {
                phase: self.bed.phase,
                port,
                attachment: Some(attachment),
            })
        })
    }
}
