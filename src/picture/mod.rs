//! All that is derived of one scenario in one phase; immutable, what everyone above reads.
//!
//! Invariant: nothing here can be set; a new scenario or phase makes a new picture.

pub mod compare;
pub mod exposure;
pub mod facets;
pub mod lanes;
mod listeners;
mod pair;
pub mod power;
pub mod precheck;
pub mod resilience;
mod roster;
pub mod site;
mod sites;
pub mod sounds;
pub mod standing;
pub mod timing;
pub mod touched;
pub mod traffic;
pub mod what_if;

use std::sync::{Arc, OnceLock};

use crate::hearing::Hearing;
use crate::model::{
    Attachment, CableId, Channel, ChannelId, Gateway, GatewayId, Phase, PhaseId, PortRef,
    Programmed, Radio, RadioId, Scenario, SiteId, TalkGroupRef,
};

use facets::Facets;
use power::Power;
use resilience::NeedWays;
use roster::Roster;
use site::SiteView;
use sites::Sites;
use sounds::Sounds;
use touched::Touched;
use traffic::Traffic;

/// The derived picture.
#[derive(Debug, Clone)]
pub struct Picture {
    scenario: Arc<Scenario>,
    phase: PhaseId,
    parts: Arc<Parts>,
    /// What a check is asked about; everything where nothing is said.
    question: Option<Arc<Touched>>,
}

/// What is derived; shared by pictures of scenarios that differ in nothing it follows from.
#[derive(Debug, Default)]
struct Parts {
    hearing: Arc<Hearing>,
    roster: Arc<Roster>,
    // Worked out when somebody asks, since not everybody does.
    traffic: OnceLock<Arc<Traffic>>,
    sites: OnceLock<Arc<Sites>>,
    /// Sites of a picture before, to keep what is the same.
    sites_before: Option<Arc<Sites>>,
    power: OnceLock<Arc<Power>>,
    need_ways: OnceLock<Arc<NeedWays>>,
    sounds: OnceLock<Sounds>,
}

/// A radio at a port, with what it is set to.
#[derive(Debug, Clone, Copy)]
pub struct Donor<'a> {
    /// The port.
    pub port: PortRef,
    /// The talk group the port is switched to.
    pub group: Option<TalkGroupRef>,
    /// The radio.
    pub radio: &'a Radio,
    /// The cable chosen.
    pub cable: Option<CableId>,
    /// The channel selected, as the radio has it.
    pub tuned: Option<Tuned<'a>>,
}

/// A radio's entry for a channel.
#[derive(Debug, Clone, Copy)]
pub struct Tuned<'a> {
    /// The channel as defined.
    pub channel: &'a Channel,
    /// The entry as programmed.
    pub entry: &'a Programmed,
}

impl Picture {
    /// Derives the picture of a phase; empty of hearing when there is no such phase.
    pub fn new(scenario: Arc<Scenario>, phase: PhaseId) -> Self {
        let hearing = Hearing::derive(&scenario, phase);
        let roster = Roster::of(&scenario, scenario.phases.get(phase));
        Self {
            scenario,
            phase,
            parts: Arc::new(Parts {
                hearing: Arc::new(hearing),
                roster: Arc::new(roster),
                ..Parts::default()
            }),
            question: None,
        }
    }

    /// Derives the picture of another scenario in the same phase, and shares with this one all that
    /// surely is the same in both.
    #[must_use]
    pub fn after(&self, scenario: &Arc<Scenario>) -> Self {
        if let Some(same) = self.rearranged(scenario) {
            return same;
        }
        let is_heard_alike = self.parts.hearing.still_holds(&self.scenario, scenario);
        let moved = Facets::moved(&self.scenario, scenario, self.phase);
        let moved = if is_heard_alike {
            moved
        } else {
            moved.and(Facets::HEARD)
        };
        let (hearing, roster) = (&self.parts.hearing, &self.parts.roster);
        let parts = Parts {
            hearing: if is_heard_alike {
                Arc::clone(hearing)
            } else {
                Arc::new(hearing.derive_after(&self.scenario, scenario, self.phase))
            },
            roster: if moved.meet(Facets::REST.and(Facets::SET)) {
                Arc::new(Roster::of(scenario, scenario.phases.get(self.phase)))
            } else {
                Arc::clone(roster)
            },
            sites_before: { self.parts.sites.get() }
                .or(self.parts.sites_before.as_ref())
                .cloned(),
            ..Parts::default()
        };
        let figures = Facets::REST.and(Facets::SET).and(Facets::HEARD);
        if !moved.meet(figures) {
            keep(&self.parts.traffic, &parts.traffic);
            keep(&self.parts.sites, &parts.sites);
            keep(&self.parts.power, &parts.power);
            if !moved.meet(Facets::NEEDS) {
                keep(&self.parts.need_ways, &parts.need_ways);
            }
        }
        Self {
            scenario: Arc::clone(scenario),
            phase: self.phase,
            parts: Arc::new(parts),
            question: None,
        }
    }

    /// Returns what may differ in a picture derived by [`Picture::after`], or in any other of the same
    /// phase; all facets where the phases differ.
    pub fn moved_to(&self, after: &Self) -> Facets {
        if self.phase != after.phase {
            return Facets::ALL;
        }
        let moved = Facets::moved(&self.scenario, &after.scenario, self.phase);
        if Arc::ptr_eq(&self.parts.hearing, &after.parts.hearing) {
            moved
        } else {
            moved.and(Facets::HEARD)
        }
    }

    /// Returns the picture of another scenario that differs from this one's in nothing but where
    /// things stand on the board; `None` for any other scenario.
    ///
    /// Nothing is derived of those places, so everything derived so far is shared.
    pub fn rearranged(&self, scenario: &Arc<Scenario>) -> Option<Self> {
        self.scenario.is_rearranged(scenario).then(|| Self {
            scenario: Arc::clone(scenario),
            phase: self.phase,
            parts: Arc::clone(&self.parts),
            question: None,
        })
    }

    /// Returns the scenario it was derived from.
    pub fn scenario(&self) -> &Scenario {
        &self.scenario
    }

    /// Returns the scenario it was derived from, to be kept or compared.
    pub fn scenario_arc(&self) -> &Arc<Scenario> {
        &self.scenario
    }

    /// Returns the id of the phase.
    pub fn phase_id(&self) -> PhaseId {
        self.phase
    }

    /// Returns the phase, or `None` when it does not exist.
    pub fn phase(&self) -> Option<&Phase> {
        self.scenario.phases.get(self.phase)
    }

    /// Returns who hears whom.
    pub fn hearing(&self) -> &Hearing {
        &self.parts.hearing
    }

    /// Returns the loads of every net.
    pub fn traffic(&self) -> &Traffic {
        self.parts
            .traffic
            .get_or_init(|| Arc::new(traffic::of(&self.scenario, &self.parts.hearing)))
    }

    /// Returns what happens on the air at each site that has donors.
    pub fn sites(&self) -> &[Arc<SiteView>] {
        let before = self.parts.sites_before.as_deref();
        let sites =
            { &self.parts.sites }.get_or_init(|| Arc::new(Sites::of(self, self.traffic(), before)));
        &sites.views
    }

    /// Returns what happens on the air at a site; `None` where it has no donors.
    pub fn site_view(&self, site: SiteId) -> Option<&SiteView> {
        let views = self.sites();
        let place = views.binary_search_by_key(&site, |view| view.site).ok()?;
        views.get(place).map(Arc::as_ref)
    }

    /// Returns how long everything runs.
    pub fn power(&self) -> &Power {
        self.parts
            .power
            .get_or_init(|| Arc::new(power::of(self, self.traffic())))
    }

    /// Returns the ways of the needs, for asking what breaks them.
    pub fn need_ways(&self) -> &NeedWays {
        self.parts
            .need_ways
            .get_or_init(|| Arc::new(NeedWays::of(self)))
    }

    /// Returns how everybody sounds to everybody.
    pub fn sounds(&self) -> &Sounds {
        self.parts.sounds.get_or_init(|| Sounds::of(self))
    }

    /// Lists the radios at ports, by port.
    pub fn donors(&self) -> impl Iterator<Item = Donor<'_>> {
        let phases = self.phase().into_iter();
        phases.flat_map(move |phase| {
            let all = phase.attachments.iter();
            all.filter_map(move |(port, attachment)| self.donor(phase, *port, attachment))
        })
    }

    /// Lists the radios at the ports of a gateway.
    pub fn donors_of(&self, gateway: GatewayId) -> impl Iterator<Item = Donor<'_>> {
        let port = move |port| PortRef { gateway, port };
        let phases = self.phase().into_iter();
        phases.flat_map(move |phase| {
            let all = phase.attachments.range(port(u8::MIN)..=port(u8::MAX));
            all.filter_map(move |(port, attachment)| self.donor(phase, *port, attachment))
        })
    }

    fn donor(&self, phase: &Phase, port: PortRef, attachment: &Attachment) -> Option<Donor<'_>> {
        let Attachment::Radio { radio, cable } = attachment else {
            return None;
        };
        let radio = self.scenario.radios.get(*radio)?;
        Some(Donor {
            port,
            group: phase.group_of(port),
            radio,
            cable: *cable,
            tuned: self.tuned(radio),
        })
    }

    /// Returns what a radio is set to in this phase.
    pub fn tuned<'a>(&'a self, radio: &'a Radio) -> Option<Tuned<'a>> {
        let channel = self.scenario.selected_channel(self.phase()?, radio)?;
        Some(Tuned {
            channel: self.scenario.channels.get(channel)?,
            entry: radio.entry(channel)?,
        })
    }

    /// Returns the port a radio is cabled to, which makes it a donor.
    pub fn port_of(&self, radio: RadioId) -> Option<PortRef> {
        self.parts.roster.ports.get(&radio).copied()
    }

    /// Tells whether a unit carries a radio or a port holds it; the others lie in the pool.
    pub fn is_in_use(&self, radio: &Radio) -> bool {
        radio.held_by.is_some() || self.port_of(radio.id).is_some()
    }

    /// Lists the channels that radios in use have selected, each with those radios.
    pub fn users(&self) -> impl Iterator<Item = (&Channel, &[RadioId])> {
        self.parts
            .roster
            .users
            .iter()
            .filter_map(|(channel, radios)| {
                let channel = self.scenario.channels.get(*channel)?;
                Some((channel, radios.as_slice()))
            })
    }

    /// Lists the radios in use that have a channel selected, with their entry for it.
    pub fn users_of(&self, channel: ChannelId) -> impl Iterator<Item = (&Radio, &Programmed)> {
        let radios = self.parts.roster.users.get(&channel);
        radios.into_iter().flatten().filter_map(move |radio| {
            let radio = self.scenario.radios.get(*radio)?;
            Some((radio, radio.entry(channel)?))
        })
    }

    /// Lists the radios in use that have no channel selected.
    pub fn idle_radios(&self) -> impl Iterator<Item = &Radio> {
        let idle = self.parts.roster.idle.iter();
        idle.filter_map(|radio| self.scenario.radios.get(*radio))
    }

    /// Lists the entries of all radios that differ from their channel's definition.
    pub fn differing(&self) -> impl Iterator<Item = (&Radio, Tuned<'_>)> {
        self.parts
            .roster
            .differing
            .iter()
            .filter_map(|(radio, channel)| {
                let radio = self.scenario.radios.get(*radio)?;
                let tuned = Tuned {
                    channel: self.scenario.channels.get(*channel)?,
                    entry: radio.entry(*channel)?,
                };
                Some((radio, tuned))
            })
    }

    /// Lists the talk groups of all gateways, in order.
    pub fn talk_groups(&self) -> impl Iterator<Item = TalkGroupRef> + '_ {
        self.scenario
            .gateways
            .iter()
            .flat_map(Gateway::talk_group_refs)
    }
}

/// Hands on what was worked out, if somebody has asked for it.
fn keep<T>(from: &OnceLock<Arc<T>>, to: &OnceLock<Arc<T>>) {
    if let Some(known) = from.get() {
        // The other is new, so nobody has filled it.
        to.get_or_init(|| Arc::clone(known));
    }
}
