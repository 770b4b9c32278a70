//! Scenario to file: the types of version 1 filled from the model, in canonical order.
//!
//! The same scenario gives the same file. Phases keep their order and a radio's channels theirs; ports
//! and talk groups stand by number, every other list by key. Nothing here touches the disk.

use crate::model::{self, Scenario, ThingId};

use super::convert::{
    access_code_of, carrier_of, encryption_of, heard_pair_of, keying_of, tested_of, verified_of,
};
use super::v1::{self, GroupKey, Khz, Mhz, PortKey};

/// Fills the file's types from a scenario.
pub(super) fn file_of(scenario: &Scenario) -> v1::Root {
    let on = Filler { scenario };
    let s = scenario;
    v1::Root {
        format: v1::VERSION,
        comments: comments(&s.header.comments),
        title: s.header.title.clone(),
        incident: s.header.incident.clone(),
        notes: s.header.notes.clone(),
        next_id: s.mint(0),
        practice: v1::Practice(s.practice.clone()),
        phases: s.phases.iter().map(|t| on.phase(t)).collect(),
        agencies: by_key(s.agencies.iter().map(|t| on.agency(t)), |t| &t.key),
        units: by_key(s.units.iter().map(|t| on.unit(t)), |t| &t.key),
        systems: by_key(s.systems.iter().map(|t| on.system(t)), |t| &t.key),
        channels: by_key(s.channels.iter().map(|t| on.channel(t)), |t| &t.key),
        radios: by_key(s.radios.iter().map(|t| on.radio(t)), |t| &t.key),
        gateways: by_key(s.gateways.iter().map(|t| on.gateway(t)), |t| &t.key),
        ties: by_key(s.ties.iter().map(|t| on.tie(t)), |t| &t.key),
        telephones: by_key(s.telephones.iter().map(|t| on.telephone(t)), |t| &t.key),
        headsets: by_key(s.headsets.iter().map(|t| on.headset(t)), |t| &t.key),
        cables: by_key(s.cables.iter().map(|t| on.cable(t)), |t| &t.key),
        sites: by_key(s.sites.iter().map(|t| on.site(t)), |t| &t.key),
        needs: by_key(s.needs.iter().map(|t| on.need(t)), |t| &t.key),
        stock: by_key(s.stock.iter().map(|t| on.stock(t)), |t| &t.key),
        agreements: by_key(s.agreements.iter().map(|t| on.agreement(t)), |t| &t.key),
        availability: on.availability(),
        accepted: on.accepted(),
    }
}

fn by_key<T>(things: impl Iterator<Item = T>, key: impl Fn(&T) -> &str) -> Vec<T> {
    let mut things: Vec<T> = things.collect();
    things.sort_by(|a, b| key(a).cmp(key(b)));
    things
}

/// Cuts comments into single lines without spaces at their ends.
pub(super) fn comments(lines: &[String]) -> Vec<String> {
    lines
        .iter()
        .flat_map(|text| text.split(['\n', '\r']))
        .map(|line| line.trim_end().to_owned())
        .collect()
}

/// Returns a name where it says more than the key.
fn name(name: &str, key: &str) -> Option<String> {
    (name != key).then(|| name.to_owned())
}

struct Filler<'a> {
    scenario: &'a Scenario,
}

impl Filler<'_> {
    fn key(&self, id: impl Into<ThingId>) -> String {
        self.scenario.key(id.into())
    }

    fn keys<T: Into<ThingId> + Copy>(&self, ids: impl IntoIterator<Item = T>) -> Vec<String> {
        let mut keys: Vec<_> = ids.into_iter().map(|id| self.key(id)).collect();
        keys.sort();
        keys
    }

    fn at(&self, id: impl Into<ThingId>) -> Option<v1::At> {
        let place = self.scenario.places.get(&id.into())?;
        Some(v1::At(place.x, place.y))
    }

    fn port_key(&self, port: model::PortRef) -> PortKey {
        PortKey {
            gateway: self.key(port.gateway),
            port: port.port,
        }
    }

    fn phase(&self, t: &model::Phase) -> v1::Phase {
        v1::Phase {
            key: t.key.clone(),
            name: name(&t.name, &t.key),
            start: t.start.clone(),
            hours: t.hours,
            attachments: t
                .attachments
                .iter()
                .map(|(port, what)| (self.port_key(*port), self.attachment(*what)))
                .collect(),
            switches: t
                .switches
                .iter()
                .map(|(port, group)| (self.port_key(*port), *group))
                .collect(),
            selected: t
                .selected
                .iter()
                .map(|(radio, channel)| (self.key(*radio), channel.map(|c| self.key(c))))
                .collect(),
            tested: t
                .tested
                .iter()
                .map(|(port, tested)| (self.port_key(*port), tested_of(tested)))
                .collect(),
            pairs: { t.pairs.iter() }
                .map(|((from, to), h)| heard_pair_of(h, self.party(*from), self.party(*to)))
                .collect(),
            at: self.at(t.id),
        }
    }

    fn attachment(&self, what: model::Attachment) -> v1::Attachment {
        match what {
            model::Attachment::Radio { radio, cable } => v1::Attachment::Radio {
                radio: self.key(radio),
                cable: cable.map(|c| self.key(c)),
            },
            model::Attachment::Telephone(id) => v1::Attachment::Telephone(self.key(id)),
            model::Attachment::Headset(id) => v1::Attachment::Headset(self.key(id)),
            model::Attachment::Tie(id) => v1::Attachment::Tie(self.key(id)),
        }
    }

    fn agency(&self, t: &model::Agency) -> v1::Agency {
        v1::Agency {
            key: t.key.clone(),
            name: name(&t.name, &t.key),
            short: t.short.clone(),
            discipline: t.discipline.into(),
            level: t.level.into(),
            notes: t.notes.clone(),
            at: self.at(t.id),
        }
    }

    fn unit(&self, t: &model::Unit) -> v1::Unit {
        v1::Unit {
            key: t.key.clone(),
            name: name(&t.name, &t.key),
            agency: t.agency.map(|a| self.key(a)),
            heads: t.heads,
            role: t.role.into(),
            messages_per_hour: t.messages_per_hour,
            seconds_per_message: t.seconds_per_message,
            notes: t.notes.clone(),
            at: self.at(t.id),
        }
    }

    fn system(&self, t: &model::System) -> v1::System {
        v1::System {
            key: t.key.clone(),
            name: name(&t.name, &t.key),
            kind: t.kind.into(),
            access_ms: t.access_ms,
            latency_ms: t.latency_ms,
            hang_ms: t.hang_ms,
            talk_paths: t.talk_paths,
            coverage: t.coverage,
            notes: t.notes.clone(),
            at: self.at(t.id),
        }
    }

    fn channel(&self, t: &model::Channel) -> v1::Channel {
        v1::Channel {
            key: t.key.clone(),
            name: name(&t.name, &t.key),
            system: self.key(t.system),
            carrier: carrier_of(t.carrier),
            encryption: encryption_of(t.protection),
            encrypted_only: t.encrypted_only,
            purpose: t.purpose.map(Into::into),
            notes: t.notes.clone(),
            at: self.at(t.id),
        }
    }

    fn radio(&self, t: &model::Radio) -> v1::Radio {
        v1::Radio {
            key: t.key.clone(),
            name: name(&t.name, &t.key),
            owner: t.owner.map(|a| self.key(a)),
            held_by: t.held_by.map(|u| self.key(u)),
            family: t.family.clone(),
            bands_mhz: t.bands.iter().map(|b| (Mhz(b.low), Mhz(b.high))).collect(),
            modes: t.modes.iter().map(|m| (*m).into()).collect(),
            connector: t.connector.clone(),
            power_w: t.power_w,
            battery_mah: t.battery_mah,
            outside_power: t.outside_power,
            draw: t.draw.map(|d| v1::Draw {
                transmit_ma: d.transmit_ma,
                receive_ma: d.receive_ma,
                standby_ma: d.standby_ma,
            }),
            keys: t
                .keys
                .iter()
                .map(|k| v1::KeyRef {
                    algorithm: v1::Cipher(k.algorithm),
                    number: k.number,
                })
                .collect(),
            programmed: t
                .programmed
                .iter()
                .map(|p| v1::Entry::shortest(self.programmed(p)))
                .collect(),
            selected: t.selected.map(|c| self.key(c)),
            scans: self.keys(t.scans.iter().copied()),
            notes: t.notes.clone(),
            at: self.at(t.id),
        }
    }

    fn programmed(&self, p: &model::Programmed) -> v1::Programmed {
        v1::Programmed {
            channel: self.key(p.channel),
            label: p.label.clone(),
            rx_mhz: p.rx.map(Mhz),
            tx_mhz: p.tx.map(Mhz),
            rx_code: p.rx_code.map(access_code_of),
            tx_code: p.tx_code.map(access_code_of),
            mode: p.mode.map(Into::into),
            bandwidth_khz: p.bandwidth_hz.map(|hertz| Khz { hertz }),
            group: p.group,
            encryption: p.protection.map(encryption_of),
            encrypted_only: p.encrypted_only,
            secure: p.secure,
            receive_only: p.receive_only,
            verified: p
                .verified
                .iter()
                .map(|(fact, v)| ((*fact).into(), verified_of(v)))
                .collect(),
        }
    }

    fn gateway(&self, t: &model::Gateway) -> v1::Gateway {
        let mut ports: Vec<_> = t
            .ports
            .iter()
            .map(|p| v1::Port {
                number: p.number,
                kind: p.kind.into(),
                connector: p.connector.clone(),
                buffer_ms: p.buffer_ms,
                keying: keying_of(p.keying),
                level: p.level.into(),
                at: self.at(model::PortRef {
                    gateway: t.id,
                    port: p.number,
                }),
            })
            .collect();
        ports.sort_by_key(|p| p.number);
        let mut talk_groups: Vec<_> = t
            .talk_groups
            .iter()
            .map(|g| v1::TalkGroup {
                number: g.number,
                name: g.name.clone(),
                purpose: g.purpose.map(Into::into),
                at: self.at(model::TalkGroupRef {
                    gateway: t.id,
                    group: g.number,
                }),
            })
            .collect();
        talk_groups.sort_by_key(|g| g.number);
        v1::Gateway {
            key: t.key.clone(),
            name: name(&t.name, &t.key),
            owner: t.owner.map(|a| self.key(a)),
            site: t.site.map(|i| self.key(i)),
            ports,
            talk_groups,
            latency_ms: t.latency_ms,
            draw_ma: t.draw_ma,
            battery_mah: t.battery_mah,
            cells: t.cells.map(|c| v1::Cells {
                chemistry: c.chemistry.into(),
                count: c.count,
                end_v: c.end_v,
            }),
            supply_v: t.supply_v,
            ingress: t.ingress.clone(),
            lid_shut: t.lid_shut.iter().map(|c| (*c).into()).collect(),
            notes: t.notes.clone(),
            at: self.at(t.id),
        }
    }

    fn tie(&self, t: &model::Tie) -> v1::Tie {
        v1::Tie {
            key: t.key.clone(),
            name: name(&t.name, &t.key),
            kind: t.kind.into(),
            latency_ms: t.latency_ms,
            encrypted: t.encrypted,
            notes: t.notes.clone(),
            at: self.at(t.id),
        }
    }

    fn telephone(&self, t: &model::Telephone) -> v1::Telephone {
        v1::Telephone {
            key: t.key.clone(),
            name: name(&t.name, &t.key),
            kind: t.kind.into(),
            held_by: t.held_by.map(|u| self.key(u)),
            far_end: t.far_end.clone(),
            number: t.number.clone(),
            answers_itself: t.answers_itself,
            latency_ms: t.latency_ms,
            notes: t.notes.clone(),
            at: self.at(t.id),
        }
    }

    fn headset(&self, t: &model::Headset) -> v1::Headset {
        v1::Headset {
            key: t.key.clone(),
            name: name(&t.name, &t.key),
            held_by: t.held_by.map(|u| self.key(u)),
            connector: t.connector.clone(),
            notes: t.notes.clone(),
            at: self.at(t.id),
        }
    }

    fn cable(&self, t: &model::Cable) -> v1::Cable {
        v1::Cable {
            key: t.key.clone(),
            name: name(&t.name, &t.key),
            radio_connector: t.radio_connector.clone(),
            port_connector: t.port_connector.clone(),
            count: t.count,
            notes: t.notes.clone(),
            at: self.at(t.id),
        }
    }

    fn site(&self, t: &model::Site) -> v1::Site {
        v1::Site {
            key: t.key.clone(),
            name: name(&t.name, &t.key),
            contaminated: t.contaminated,
            temperature_c: t.temperature_c,
            supply_v: t.supply_v,
            antennas: t
                .antennas
                .iter()
                .map(|a| v1::Antenna {
                    name: a.name.clone(),
                    radio: a.radio.map(|r| self.key(r)),
                    height_m: a.height_m,
                    east_m: a.east_m,
                    north_m: a.north_m,
                    gain_dbi: a.gain_dbi,
                })
                .collect(),
            notes: t.notes.clone(),
            at: self.at(t.id),
        }
    }

    fn need(&self, t: &model::Need) -> v1::Need {
        let side = |parties: &std::collections::BTreeSet<model::Party>| {
            let mut parties: Vec<_> = parties.iter().map(|p| self.party(*p)).collect();
            parties.sort();
            parties
        };
        v1::Need {
            key: t.key.clone(),
            name: name(&t.name, &t.key),
            from: side(&t.from),
            to: side(&t.to),
            way: t.way.into(),
            priority: t.priority.into(),
            encrypted: t.encrypted,
            max_delay_ms: t.max_delay_ms,
            notes: t.notes.clone(),
            at: self.at(t.id),
        }
    }

    fn party(&self, party: model::Party) -> v1::Party {
        match party {
            model::Party::Unit(id) => v1::Party::Unit(self.key(id)),
            model::Party::Telephone(id) => v1::Party::Telephone(self.key(id)),
            model::Party::Headset(id) => v1::Party::Headset(self.key(id)),
        }
    }

    fn stock(&self, t: &model::Stock) -> v1::Stock {
        v1::Stock {
            key: t.key.clone(),
            name: name(&t.name, &t.key),
            kind: t.kind.into(),
            count: t.count,
            notes: t.notes.clone(),
            at: self.at(t.id),
        }
    }

    fn agreement(&self, t: &model::Agreement) -> v1::Agreement {
        v1::Agreement {
            key: t.key.clone(),
            name: name(&t.name, &t.key),
            agencies: self.keys(t.agencies.iter().copied()),
            channels: self.keys(t.channels.iter().copied()),
            notes: t.notes.clone(),
            at: self.at(t.id),
        }
    }

    fn availability(&self) -> Vec<v1::Rated> {
        let rated = self.scenario.availability.iter();
        let mut rated: Vec<_> = rated
            .map(|(thing, works)| v1::Rated {
                thing: self.subject(*thing),
                works: *works,
            })
            .collect();
        rated.sort_by(|a, b| a.thing.cmp(&b.thing));
        rated
    }

    fn accepted(&self) -> Vec<v1::Acceptance> {
        let mut accepted: Vec<_> = self
            .scenario
            .accepted
            .iter()
            .map(|a| {
                let mut things: Vec<_> =
                    a.finding.things.iter().map(|t| self.subject(*t)).collect();
                if let Some(others) = things.get_mut(1..) {
                    others.sort();
                }
                v1::Acceptance {
                    code: a.finding.code.clone(),
                    things,
                    facts: v1::Facts(a.facts),
                    reason: a.reason.clone(),
                    by: a.by.clone(),
                    on: a.on.clone(),
                    until: a.until.map(|phase| self.key(phase)),
                }
            })
            .collect();
        accepted.sort_by(|a, b| (&a.code, &a.things).cmp(&(&b.code, &b.things)));
        accepted
    }

    fn subject(&self, thing: ThingId) -> v1::Subject {
        let key = || self.key(thing);
        match thing {
            ThingId::Phase(_) => v1::Subject::Phase(key()),
            ThingId::Agency(_) => v1::Subject::Agency(key()),
            ThingId::Unit(_) => v1::Subject::Unit(key()),
            ThingId::System(_) => v1::Subject::System(key()),
            ThingId::Channel(_) => v1::Subject::Channel(key()),
            ThingId::Radio(_) => v1::Subject::Radio(key()),
            ThingId::Gateway(_) => v1::Subject::Gateway(key()),
            ThingId::Port(port) => v1::Subject::Port(self.port_key(port)),
            ThingId::TalkGroup(group) => v1::Subject::TalkGroup(GroupKey {
                gateway: self.key(group.gateway),
                group: group.group,
            }),
            ThingId::Tie(_) => v1::Subject::Tie(key()),
            ThingId::Telephone(_) => v1::Subject::Telephone(key()),
            ThingId::Headset(_) => v1::Subject::Headset(key()),
            ThingId::Cable(_) => v1::Subject::Cable(key()),
            ThingId::Site(_) => v1::Subject::Site(key()),
            ThingId::Need(_) => v1::Subject::Need(key()),
            ThingId::Stock(_) => v1::Subject::Stock(key()),
            ThingId::Agreement(_) => v1::Subject::Agreement(key()),
        }
    }
}
