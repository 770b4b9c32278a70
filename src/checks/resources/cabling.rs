//! Which cables fit where, and how many are taken; shared by checks, not a check itself.

use std::collections::BTreeMap;

use crate::model::{Attachment, Cable, CableId, Edit, Fix, Grade, Port, PortRef, Radio, Scenario};
use crate::picture::Picture;

/// The cables at hand in one phase.
pub(super) struct Cabling<'a> {
    scenario: &'a Scenario,
    /// Cables by the connectors they fit, at the radio and at the port.
    by_ends: BTreeMap<(&'a str, &'a str), Vec<&'a Cable>>,
    /// The ports that use each kind.
    pub(super) in_use: BTreeMap<CableId, Vec<PortRef>>,
}

impl<'a> Cabling<'a> {
    pub(super) fn of(picture: &'a Picture) -> Self {
        let scenario = picture.scenario();
        let mut by_ends: BTreeMap<(&str, &str), Vec<&Cable>> = BTreeMap::new();
        for cable in scenario.cables.iter() {
            let ends = (
                cable.radio_connector.as_str(),
                cable.port_connector.as_str(),
            );
            by_ends.entry(ends).or_default().push(cable);
        }
        let mut in_use: BTreeMap<CableId, Vec<PortRef>> = BTreeMap::new();
        for donor in picture.donors() {
            if let Some(cable) = donor.cable {
                in_use.entry(cable).or_default().push(donor.port);
            }
        }
        Self {
            scenario,
            by_ends,
            in_use,
        }
    }

    /// Returns how many pieces of a kind are free.
    pub(super) fn spare(&self, cable: &Cable) -> usize {
        let used = self.in_use.get(&cable.id).map_or(0, Vec::len);
        (cable.count as usize).saturating_sub(used)
    }

    /// Lists the cables that fit a radio at a port, those with a free piece first.
    pub(super) fn fitting(&self, radio: &Radio, port: &Port) -> Vec<&'a Cable> {
        let ends = (radio.connector.as_str(), port.connector.as_str());
        let mut all = self.by_ends.get(&ends).cloned().unwrap_or_default();
        all.sort_by_key(|cable| (self.spare(cable) == 0, cable.id));
        all
    }

    /// Makes the fix that puts a cable between a radio and its port.
    pub(super) fn take(
        &self,
        picture: &Picture,
        port: PortRef,
        radio: &Radio,
        cable: &Cable,
        grade: Grade,
    ) -> Fix {
        Fix {
            title: format!(
                "Take cable {} for {}",
                cable.name,
                self.scenario.name(port.into())
            ),
            grade,
            edits: vec![Edit::Attach {
                phase: picture.phase_id(),
                port,
                attachment: Some(Attachment::Radio {
                    radio: radio.id,
                    cable: Some(cable.id),
                }),
            }],
        }
    }
}
