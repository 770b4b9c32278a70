//! Finds access codes outside a published list; shared by checks, not a check itself.

use std::collections::BTreeSet;

use crate::checks::Check;
use crate::model::{
    AccessCode, Carrier, Channel, Conventional, Edit, Finding, Fix, Grade, Programmed, Radio,
    Severity,
};
use crate::picture::Picture;

/// What one check says about codes.
pub(in crate::checks) struct Rule {
    pub(in crate::checks) check: &'static Check,
    pub(in crate::checks) severity: Severity,
    /// Tells whether a code is outside the list.
    pub(in crate::checks) is_odd: fn(AccessCode) -> bool,
    /// Says what is odd about it.
    pub(in crate::checks) what: fn(AccessCode) -> String,
    /// The code that was probably meant.
    pub(in crate::checks) meant: fn(AccessCode) -> Option<AccessCode>,
    /// Fills in evidence and hints.
    pub(in crate::checks) explain: fn(&mut Finding, &BTreeSet<AccessCode>),
}

/// Reports channels with an odd code, then radios that deviate by one.
pub(in crate::checks) fn report(out: &mut Vec<Finding>, picture: &Picture, rule: &Rule) {
    for channel in picture.scenario().channels.iter() {
        let Some(c) = channel.conventional() else {
            continue;
        };
        let odd = rule.odd([Some(c.rx_code), Some(c.tx_code)]);
        if !odd.is_empty() {
            let mut finding = rule.finding(channel.id.into(), &channel.name, &odd);
            finding.fixes = rule.in_channel(channel, *c).into_iter().collect();
            out.push(finding);
        }
    }
    for (radio, tuned) in picture.differing_in_question() {
        if tuned.channel.conventional().is_none() {
            continue;
        }
        let odd = rule.odd([tuned.entry.rx_code, tuned.entry.tx_code]);
        if !odd.is_empty() {
            let name = format!("{} on {}", tuned.channel.name, radio.name);
            let mut finding = rule.finding(radio.id.into(), &name, &odd);
            finding.related = vec![tuned.channel.id.into()];
            finding.fixes = rule.in_radio(radio, tuned.entry).into_iter().collect();
            out.push(finding);
        }
    }
}

impl Rule {
    fn odd(&self, codes: [Option<AccessCode>; 2]) -> BTreeSet<AccessCode> {
        let codes = codes.into_iter().flatten();
        codes.filter(|code| (self.is_odd)(*code)).collect()
    }

    fn finding(
        &self,
        subject: crate::model::ThingId,
        name: &str,
        odd: &BTreeSet<AccessCode>,
    ) -> Finding {
        let what: Vec<String> = odd.iter().map(|code| (self.what)(*code)).collect();
        let headline = format!("{name} has {}", what.join(" and "));
        let mut finding = self.check.finding(self.severity, subject, headline);
        (self.explain)(&mut finding, odd);
        finding
    }

    fn replaced(&self, code: AccessCode) -> AccessCode {
        if (self.is_odd)(code) {
            (self.meant)(code).unwrap_or(code)
        } else {
            code
        }
    }

    fn in_channel(&self, channel: &Channel, c: Conventional) -> Option<Fix> {
        let changed = Conventional {
            rx_code: self.replaced(c.rx_code),
            tx_code: self.replaced(c.tx_code),
            ..c
        };
        let edit = Edit::Replace(
            Channel {
                carrier: Carrier::Conventional(changed),
                ..channel.clone()
            }
            .into(),
        );
        let pairs = [(c.rx_code, changed.rx_code), (c.tx_code, changed.tx_code)];
        fix(&channel.name, pairs, edit)
    }

    fn in_radio(&self, radio: &Radio, entry: &Programmed) -> Option<Fix> {
        let old = [entry.rx_code, entry.tx_code];
        let mut entry = entry.clone();
        entry.rx_code = entry.rx_code.map(|code| self.replaced(code));
        entry.tx_code = entry.tx_code.map(|code| self.replaced(code));
        let pairs = [(old[0], entry.rx_code), (old[1], entry.tx_code)]
            .map(|(old, new)| (old.unwrap_or_default(), new.unwrap_or_default()));
        let edit = Edit::Program {
            radio: radio.id,
            entry,
        };
        fix(&radio.name, pairs, edit)
    }
}

fn fix(name: &str, pairs: [(AccessCode, AccessCode); 2], edit: Edit) -> Option<Fix> {
    let changed: BTreeSet<AccessCode> = pairs
        .into_iter()
        .filter(|(old, new)| old != new)
        .map(|(_, new)| new)
        .collect();
    let words: Vec<String> = changed.iter().map(ToString::to_string).collect();
    (!words.is_empty()).then(|| Fix {
        title: format!("Set {name} to {}", words.join(" and ")),
        grade: Grade::Ask,
        edits: vec![edit],
    })
}
