//! All sites of a picture, each looked at only where something moved that its view follows from.
//!
//! The formulas are those of `site`; here stands what they are given, so that a view can be kept. How
//! far to stay from antennas follows from loads too and is worked out each time, which is quick.

use std::collections::BTreeMap;
use std::sync::Arc;

use crate::model::{Practice, Scenario, Site, SiteId, TalkGroupRef};

use super::exposure;
use super::listeners::{Ear, Listeners};
use super::site::{self, Disturbed, Set, SiteView};
use super::traffic::Traffic;
use super::{Donor, Picture};

/// The views of all sites that have donors, with what they follow from.
#[derive(Debug)]
pub(super) struct Sites {
    /// By site.
    pub(super) views: Vec<Arc<SiteView>>,
    /// What each view was given beside its sets.
    given: Vec<Arc<Given>>,
    practice: Practice,
    listeners: Listeners,
}

/// What the formulas are given of one site, beside sets and practice.
#[derive(Debug)]
struct Given {
    ears: Vec<Ear>,
    /// How many ports of each set's talk group carry audio.
    live: Vec<Option<usize>>,
}

impl Sites {
    /// Looks at every site with a gateway, and keeps of the sites before what surely is the same.
    pub(super) fn of(picture: &Picture, traffic: &Traffic, before: Option<&Self>) -> Self {
        let scenario = picture.scenario();
        let mut donors: Vec<(SiteId, Donor<'_>)> = picture
            .donors()
            .filter_map(|donor| {
                let gateway = scenario.gateways.get(donor.port.gateway)?;
                Some((gateway.site?, donor))
            })
            .collect();
        donors.sort_by_key(|(site, donor)| (*site, donor.port));
        let listeners = Listeners::of(picture);
        // Ports of each talk group that carry audio.
        let live = picture
            .talk_groups()
            .map(|group| (group, picture.hearing().live_ports(group).len()));
        let before = before.filter(|before| before.practice == scenario.practice);
        let look = Look {
            scenario,
            traffic,
            live: live.collect(),
            are_listeners_alike: before.is_some_and(|before| before.listeners == listeners),
            listeners: &listeners,
            before,
        };
        let (views, given) = donors
            .chunk_by(|a, b| a.0 == b.0)
            .filter_map(|part| {
                let site = scenario.sites.get(part.first()?.0)?;
                let donors: Vec<Donor<'_>> = part.iter().map(|(_, donor)| *donor).collect();
                Some(look.at(site, &donors))
            })
            .unzip();
        Self {
            views,
            given,
            practice: scenario.practice.clone(),
            listeners,
        }
    }

    /// Returns the view of a site; `None` where it has no donors.
    pub(super) fn view(&self, site: SiteId) -> Option<&Arc<SiteView>> {
        self.find(site).map(|(view, _)| view)
    }

    fn find(&self, site: SiteId) -> Option<(&Arc<SiteView>, &Arc<Given>)> {
        let place = self.views.binary_search_by_key(&site, |view| view.site);
        let place = place.ok()?;
        self.views.get(place).zip(self.given.get(place))
    }
}

/// What is the same for every site of a picture.
struct Look<'a> {
    scenario: &'a Scenario,
    traffic: &'a Traffic,
    live: BTreeMap<TalkGroupRef, usize>,
    listeners: &'a Listeners,
    /// Sites of another picture with the same practice.
    before: Option<&'a Sites>,
    /// Whether the listeners there are the same too.
    are_listeners_alike: bool,
}

impl Look<'_> {
    fn at(&self, site: &Site, donors: &[Donor<'_>]) -> (Arc<SiteView>, Arc<Given>) {
        let practice = &self.scenario.practice;
        let mut sets = Vec::new();
        let mut without_frequency = Vec::new();
        for donor in donors {
            match site::set(site, donor) {
                Some(set) => sets.push(set),
                None if donor.tuned.is_some() => without_frequency.push(donor.port),
                None => {}
            }
        }
        let exposure = exposure::of(practice, self.traffic, &sets);
        let groups = sets.iter().map(|set| set.group);
        let live: Vec<Option<usize>> = groups
            .map(|group| self.live.get(&group?).copied())
            .collect();
        let known = self.before.and_then(|before| before.find(site.id));
        let known = known.filter(|(view, given)| view.sets == sets && given.live == live);
        // The same sets among the same listeners have the same ears, which need not be gathered then.
        let same = known.filter(|_| self.are_listeners_alike);
        let (view, given) = if let Some((view, given)) = same {
            (Arc::clone(view), Arc::clone(given))
        } else {
            let ears = self.ears(&sets);
            if let Some((view, given)) = known.filter(|(_, given)| given.ears == ears) {
                (Arc::clone(view), Arc::clone(given))
            } else {
                let view = SiteView {
                    site: site.id,
                    desense: site::desenses(practice, &sets),
                    products: site::products(practice, &self.live, &sets, &ears),
                    harmonics: site::harmonics(&sets, &ears),
                    too_near: site::too_near(practice, &sets),
                    exposure: exposure.clone(),
                    sets,
                    without_frequency: without_frequency.clone(),
                };
                (Arc::new(view), Arc::new(Given { ears, live }))
            }
        };
        if view.without_frequency == without_frequency && view.exposure == exposure {
            return (view, given);
        }
        let view = SiteView {
            without_frequency,
            exposure,
            ..SiteView::clone(&view)
        };
        (Arc::new(view), given)
    }

    fn ears(&self, sets: &[Set]) -> Vec<Ear> {
        let mut ears: Vec<Ear> = sets
            .iter()
            .filter(|s| s.group.is_some())
            .map(|s| Ear {
                disturbed: Disturbed::Donor(s.port),
                hz: s.rx.hertz(),
                width_hz: s.bandwidth_hz,
            })
            .collect();
        ears.extend(self.listeners.near(sets));
        ears
    }
}
