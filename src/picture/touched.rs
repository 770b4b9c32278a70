//! What an edit has touched, where it only programs, sets or switches: whoever looks at channel after
//! channel, radio after radio or site after site then need look only at these.
//!
//! More may be named than has changed, never less. Figures are never made of a part: only checks ask for
//! what is in question.

use std::collections::BTreeSet;
use std::ptr;
use std::sync::{Arc, OnceLock};

use crate::model::{
    Attachment, Channel, ChannelId, Finding, Phase, Radio, RadioId, Scenario, SiteId, ThingId,
};

use super::facets::Facets;
use super::site::SiteView;
use super::sites::Sites;
use super::{Donor, Picture, Tuned};

/// What an edit has touched.
#[derive(Debug)]
pub struct Touched {
    /// Radios that are programmed or set otherwise, and donors whose port is switched otherwise.
    radios: BTreeSet<RadioId>,
    /// Channels that one of these has or had programmed or selected.
    channels: BTreeSet<ChannelId>,
    sites_before: Option<Arc<Sites>>,
    sites: OnceLock<BTreeSet<SiteId>>,
}

/// What a check looks at one after the other, so that what it finds about one follows from nothing that
/// an edit touches about another.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum OneByOne {
    /// Channels, with the radios that have them.
    Channels,
    /// Radios, as they are programmed and set.
    Radios,
    /// Sites, with the donors there.
    Sites,
}

impl Touched {
    fn radio(&mut self, radio: &Radio) {
        self.radios.insert(radio.id);
        self.channels
            .extend(radio.programmed.iter().map(|entry| entry.channel));
    }

    fn selected(&mut self, scenario: &Scenario, phase: &Phase, radio: RadioId) {
        if let Some(radio) = scenario.radios.get(radio) {
            self.radio(radio);
            self.channels
                .extend(scenario.selected_channel(phase, radio));
        }
    }

    /// Sites of which something is seen otherwise, or with a donor among the radios touched.
    fn sites(&self, picture: &Picture) -> &BTreeSet<SiteId> {
        self.sites.get_or_init(|| {
            let scenario = picture.scenario();
            let before = self.sites_before.as_deref();
            let is_same = |view: &&Arc<SiteView>| {
                let known = before.and_then(|before| before.view(view.site));
                known.is_some_and(|known| Arc::ptr_eq(known, view))
            };
            let moved = picture.sites().iter().filter(|view| !is_same(view));
            let mut sites: BTreeSet<SiteId> = moved.map(|view| view.site).collect();
            // A site may have lost its last donor.
            let gone = before.into_iter().flat_map(|before| &before.views);
            sites.extend(
                gone.map(|view| view.site)
                    .filter(|site| picture.site_view(*site).is_none()),
            );
            sites.extend(
                self.radios
                    .iter()
                    .filter_map(|radio| picture.port_of(*radio))
                    .filter_map(|port| scenario.gateways.get(port.gateway)?.site),
            );
            sites
        })
    }

    /// Tells whether a finding of a check that looks one by one is about something touched.
    pub fn is_about(&self, finding: &Finding, looks_at: OneByOne, picture: &Picture) -> bool {
        let mut things = [finding.subject]
            .into_iter()
            .chain(finding.related.iter().copied());
        match looks_at {
            OneByOne::Channels => things
                .any(|thing| matches!(thing, ThingId::Channel(id) if self.channels.contains(&id))),
            OneByOne::Radios => {
                matches!(finding.subject, ThingId::Radio(id) if self.radios.contains(&id))
            }
            OneByOne::Sites => {
                let sites = self.sites(picture);
                things.any(|thing| matches!(thing, ThingId::Site(id) if sites.contains(&id)))
            }
        }
    }
}

impl Picture {
    /// Lists what differs in a later picture, where radios are programmed or set otherwise or ports are
    /// switched otherwise and nothing else has moved; `None` where more has.
    pub fn touched(&self, after: &Self) -> Option<Touched> {
        let more = Facets::REST.and(Facets::UNIT_NAMES);
        let (before, now) = (self.phase()?, after.phase()?);
        if self.moved_to(after).meet(more) {
            return None;
        }
        let mut touched = Touched {
            radios: BTreeSet::new(),
            channels: BTreeSet::new(),
            sites_before: self.parts.sites.get().cloned(),
            sites: OnceLock::new(),
        };
        let rows = self
            .scenario
            .radios
            .iter()
            .zip(after.scenario.radios.iter());
        for (was, is) in rows.filter(|(was, is)| !ptr::eq(*was, *is)) {
            touched.radio(was);
            touched.selected(&after.scenario, now, is.id);
        }
        let radios = before.selected.keys().chain(now.selected.keys());
        for radio in radios.filter(|r| before.selected.get(r) != now.selected.get(r)) {
            touched.selected(&self.scenario, before, *radio);
            touched.selected(&after.scenario, now, *radio);
        }
        for (port, attachment) in &now.attachments {
            if let Attachment::Radio { radio, .. } = attachment
                && before.group_of(*port) != now.group_of(*port)
            {
                touched.selected(&after.scenario, now, *radio);
            }
        }
        Some(touched)
    }

    /// Lists what the units were called that have another name in a later picture.
    pub fn renamed_units(&self, after: &Self) -> Vec<String> {
        let rows = self.scenario.units.iter().zip(after.scenario.units.iter());
        rows.filter(|(was, is)| !ptr::eq(*was, *is) && was.name != is.name)
            .map(|(was, _)| was.name.clone())
            .collect()
    }

    /// Returns this picture for a check that looks one by one and is only asked about what was touched.
    #[must_use]
    pub fn asked_about(&self, touched: Arc<Touched>) -> Self {
        Self {
            question: Some(touched),
            ..self.clone()
        }
    }

    /// Lists those of [`Picture::users`] that are in question: all, unless only some were asked about.
    pub fn users_in_question(&self) -> impl Iterator<Item = (&Channel, &[RadioId])> {
        let touched = self.question.as_deref();
        self.users()
            .filter(move |(channel, _)| touched.is_none_or(|t| t.channels.contains(&channel.id)))
    }

    /// Lists those of [`Picture::differing`] whose channel is in question.
    pub fn differing_in_question(&self) -> impl Iterator<Item = (&Radio, Tuned<'_>)> {
        let touched = self.question.as_deref();
        self.differing().filter(move |(_, tuned)| {
            touched.is_none_or(|t| t.channels.contains(&tuned.channel.id))
        })
    }

    /// Lists the radios in question.
    pub fn radios_in_question(&self) -> impl Iterator<Item = &Radio> {
        let touched = self.question.as_deref();
        let some = touched.into_iter().flat_map(|t| &t.radios);
        let some = some.filter_map(|radio| self.scenario.radios.get(*radio));
        let all = self.scenario.radios.iter();
        some.chain(all.filter(move |_| touched.is_none()))
    }

    /// Lists those of [`Picture::donors`] that are in question.
    pub fn donors_in_question(&self) -> impl Iterator<Item = Donor<'_>> {
        let touched = self.question.as_deref();
        self.donors()
            .filter(move |donor| touched.is_none_or(|t| t.radios.contains(&donor.radio.id)))
    }

    /// Lists those of [`Picture::sites`] that are in question.
    pub fn sites_in_question(&self) -> impl Iterator<Item = &SiteView> {
        let sites = self.question.as_deref().map(|touched| touched.sites(self));
        let views = self.sites().iter();
        views
            .map(Arc::as_ref)
            .filter(move |view| sites.is_none_or(|sites| sites.contains(&view.site)))
    }
}
