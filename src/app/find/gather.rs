//! Reading a plan into the index: which texts a thing has, and how else people spell them.

use super::index::{Field, Index};
use crate::model::thing::Listed;
use crate::model::{
    AccessCode, Carrier, Conventional, KeyRef, PortRef, Protection, Scenario, Table, TalkGroupRef,
    ThingId,
};

impl Index {
    /// Reads a scenario.
    pub(crate) fn of(s: &Scenario) -> Self {
        let mut this = Self::default();
        this.labels(&s.phases, |_| "");
        for a in s.agencies.iter() {
            this.label(a, &a.notes);
            this.put(a.id.into(), Field::Short, &a.short, "");
        }
        this.labels(&s.units, |u| &u.notes);
        this.labels(&s.systems, |x| &x.notes);
        this.channels(s);
        this.radios(s);
        this.gateways(s);
        this.labels(&s.ties, |t| &t.notes);
        for t in s.telephones.iter() {
            this.label(t, &t.notes);
            this.put(t.id.into(), Field::Other, &t.far_end, "");
            this.put(t.id.into(), Field::Other, &t.number, "");
        }
        for h in s.headsets.iter() {
            this.label(h, &h.notes);
            this.put(h.id.into(), Field::Connector, &h.connector, "");
        }
        for c in s.cables.iter() {
            this.label(c, &c.notes);
            this.put(c.id.into(), Field::Connector, &c.radio_connector, "");
            this.put(c.id.into(), Field::Connector, &c.port_connector, "");
        }
        for site in s.sites.iter() {
            this.label(site, &site.notes);
            for antenna in &site.antennas {
                this.put(site.id.into(), Field::Other, &antenna.name, "");
            }
        }
        this.labels(&s.needs, |n| &n.notes);
        this.labels(&s.stock, |x| &x.notes);
        this.labels(&s.agreements, |a| &a.notes);
        this
    }

    fn labels<T: Listed>(&mut self, table: &Table<T>, notes: impl Fn(&T) -> &str)
    where
        ThingId: From<T::Id>,
    {
        for thing in table.iter() {
            self.label(thing, notes(thing));
        }
    }

    fn label<T: Listed>(&mut self, thing: &T, notes: &str)
    where
        ThingId: From<T::Id>,
    {
        let id = ThingId::from(thing.id());
        self.put(id, Field::Name, thing.name(), "");
        if thing.key() != thing.name() {
            self.put(id, Field::Word, thing.key(), "");
        }
        self.put(id, Field::Notes, notes, "");
    }

    fn channels(&mut self, s: &Scenario) {
        for channel in s.channels.iter() {
            let id = channel.id.into();
            self.label(channel, &channel.notes);
            match channel.carrier {
                Carrier::Conventional(c) => self.conventional(id, &c),
                Carrier::Grouped { group, .. } => self.group(id, "", group),
            }
            self.protection(id, channel.protection);
        }
    }

    fn conventional(&mut self, id: ThingId, c: &Conventional) {
        self.put(id, Field::Frequency, &c.rx.to_string(), "");
        if c.tx != c.rx {
            self.put(id, Field::Frequency, &c.tx.to_string(), "");
        }
        self.code(id, "", c.rx_code);
        if c.tx_code != c.rx_code {
            self.code(id, "", c.tx_code);
        }
    }

    /// What is programmed as defined is found at the channel; here only what differs.
    fn radios(&mut self, s: &Scenario) {
        for radio in s.radios.iter() {
            let id = radio.id.into();
            self.label(radio, &radio.notes);
            self.put(id, Field::Other, &radio.family, "");
            self.put(id, Field::Connector, &radio.connector, "");
            for key in &radio.keys {
                self.encryption(id, *key);
            }
            for entry in &radio.programmed {
                let of = s
                    .channels
                    .get(entry.channel)
                    .map_or("", |c| c.name.as_str());
                let put = |this: &mut Self, field, text: String| {
                    this.put(id, field, &format!("{of}: {text}"), "");
                };
                if let Some(label) = &entry.label {
                    put(self, Field::Short, label.clone());
                }
                for frequency in [entry.rx, entry.tx].into_iter().flatten() {
                    put(self, Field::Frequency, frequency.to_string());
                }
                for code in [entry.rx_code, entry.tx_code].into_iter().flatten() {
                    self.code(id, of, code);
                }
                if let Some(group) = entry.group {
                    self.group(id, of, group);
                }
                if let Some(protection) = entry.protection {
                    self.protection(id, protection);
                }
            }
        }
    }

    fn gateways(&mut self, s: &Scenario) {
        for g in s.gateways.iter() {
            self.label(g, &g.notes);
            for port in &g.ports {
                let id = PortRef {
                    gateway: g.id,
                    port: port.number,
                }
                .into();
                self.put(id, Field::Name, &s.name(id), "");
                self.put(id, Field::Connector, &port.connector, "");
            }
            for group in &g.talk_groups {
                let id = TalkGroupRef {
                    gateway: g.id,
                    group: group.number,
                }
                .into();
                self.put(id, Field::Name, &s.name(id), "");
                self.put(id, Field::Short, &group.name, "");
            }
        }
    }

    fn group(&mut self, id: ThingId, of: &str, group: u32) {
        let text = led(of, &format!("group {group}"));
        self.put(id, Field::Group, &text, &format!("tgid {group}"));
    }

    fn code(&mut self, id: ThingId, of: &str, code: AccessCode) {
        let other = match code {
            AccessCode::None => return,
            AccessCode::Ctcss(tone) => format!("pl {tone}"),
            AccessCode::Dcs { code, inverted } => {
                let end = if inverted { 'i' } else { 'n' };
                format!("d{code:03o}{end}")
            }
            AccessCode::Nac(nac) => format!("nac {nac:03x}"),
        };
        self.put(id, Field::Code, &led(of, &code.to_string()), &other);
    }

    fn protection(&mut self, id: ThingId, protection: Protection) {
        if let Some(key) = protection.key() {
            self.encryption(id, key);
        }
    }

    fn encryption(&mut self, id: ThingId, key: KeyRef) {
        let other = format!("kid {}", key.number);
        self.put(id, Field::Encryption, &key.to_string(), &other);
    }
}

fn led(by: &str, text: &str) -> String {
    if by.is_empty() {
        text.to_owned()
    } else {
        format!("{by}: {text}")
    }
}
