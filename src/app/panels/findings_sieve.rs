//! Which findings the list shows and how they are grouped. Nothing here is drawn, and nothing found.

use std::collections::{BTreeMap, BTreeSet};
use std::sync::Arc;

use crate::checks::{self, FAMILIES, Report};
use crate::model::{Finding, FindingId, Phase, PhaseId, Scenario, Severity, ThingId};
use crate::picture::Picture;

/// How findings are grouped.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub(super) enum By {
    /// By how bad they are.
    #[default]
    Severity,
    /// By the family of their check.
    Family,
    /// By the thing they are about first of all.
    Thing,
    /// By the gateway or site concerned.
    Place,
}

impl By {
    pub(super) const ALL: [Self; 4] = [Self::Severity, Self::Family, Self::Thing, Self::Place];

    pub(super) fn words(self) -> &'static str {
        match self {
            Self::Severity => "severity",
            Self::Family => "family",
            Self::Thing => "thing",
            Self::Place => "gateway or site",
        }
    }
}

/// What is let through.
#[derive(Debug, Default)]
pub(super) struct Sieve {
    /// Every word of it stands in the headline, the code or the family.
    pub(super) text: String,
    /// Severities that are left out.
    pub(super) hidden: BTreeSet<Severity>,
    /// The only family, by its name.
    pub(super) family: Option<&'static str>,
    /// Only what concerns the selection.
    pub(super) selection: bool,
    /// Only what is new since the file was opened.
    pub(super) new: bool,
    /// The other phases too.
    pub(super) everywhere: bool,
    /// How they are grouped.
    pub(super) by: By,
}

impl Sieve {
    /// Tells whether anything is left out.
    pub(super) fn is_on(&self) -> bool {
        let Self {
            text,
            hidden,
            family,
            selection,
            new,
            everywhere: _,
            by: _,
        } = self;
        !text.trim().is_empty() || !hidden.is_empty() || family.is_some() || *selection || *new
    }

    /// Lets everything through again; the grouping stays.
    pub(super) fn clear(&mut self) {
        *self = Self {
            by: self.by,
            everywhere: self.everywhere,
            ..Self::default()
        };
    }

    /// Tells whether a finding is let through.
    pub(super) fn keeps(
        &self,
        finding: &Finding,
        selection: &BTreeSet<ThingId>,
        is_new: bool,
    ) -> bool {
        let family = checks::family(finding.code);
        let text = format!("{} {} {family}", finding.headline, finding.code).to_lowercase();
        let wanted = self.text.to_lowercase();
        let mut words = wanted.split_whitespace();
        let about = |thing: &ThingId| {
            selection.contains(thing)
                || matches!(thing, ThingId::Port(port) if selection.contains(&port.gateway.into()))
        };
        words.all(|word| text.contains(word))
            && !self.hidden.contains(&finding.severity)
            && self.family.is_none_or(|f| f == family)
            && (!self.selection || finding.id().things.iter().any(about))
            && (!self.new || is_new)
    }

    /// Puts findings into groups, each with its name; the order within a group stays.
    pub(super) fn groups<'a>(
        &self,
        scenario: &Scenario,
        phase: Option<&Phase>,
        findings: Vec<&'a Finding>,
    ) -> Vec<(Group, Vec<&'a Finding>)> {
        let mut groups: BTreeMap<Group, Vec<&Finding>> = BTreeMap::new();
        for finding in findings {
            let group = match self.by {
                By::Severity => Group::Severity(finding.severity),
                By::Family => {
                    let family = checks::family(finding.code);
                    let place = FAMILIES.iter().position(|(_, name)| *name == family);
                    Group::Named(place.unwrap_or(FAMILIES.len()), family.to_owned())
                }
                By::Thing => Group::Named(0, scenario.name(finding.subject)),
                By::Place => match place_of(scenario, phase, finding) {
                    Some(place) => Group::Named(0, scenario.name(place)),
                    None => Group::Named(1, "At no gateway or site".to_owned()),
                },
            };
            groups.entry(group).or_default().push(finding);
        }
        groups.into_iter().collect()
    }
}

/// A group of findings; groups are shown in this order.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub(super) enum Group {
    /// By severity.
    Severity(Severity),
    /// By a name, after all with a lower number.
    Named(usize, String),
}

/// Returns the gateway a finding is about, or the site.
fn place_of(scenario: &Scenario, phase: Option<&Phase>, finding: &Finding) -> Option<ThingId> {
    let place = |thing: ThingId| -> Option<ThingId> {
        match thing {
            ThingId::Gateway(_) | ThingId::Site(_) => Some(thing),
            ThingId::Port(port) => Some(port.gateway.into()),
            ThingId::TalkGroup(group) => Some(group.gateway.into()),
            ThingId::Radio(id) => Some(phase?.port_of_radio(id)?.gateway.into()),
            ThingId::Telephone(id) => Some(phase?.port_of_telephone(id)?.gateway.into()),
            ThingId::Headset(id) => Some(phase?.port_of_headset(id)?.gateway.into()),
            _ => None,
        }
    };
    let found = finding.id().things.into_iter().find_map(place)?;
    scenario.contains(found).then_some(found)
}

/// What was found as the file was opened, phase by phase as they are shown.
#[derive(Debug, Default)]
pub(super) struct Known {
    opened: Option<Arc<Scenario>>,
    phases: BTreeMap<PhaseId, BTreeSet<FindingId>>,
}

impl Known {
    /// Remembers what was found in a phase as the file was opened.
    pub(super) fn remember(&mut self, scenario: &Arc<Scenario>, phase: PhaseId, report: &Report) {
        let opened = self.opened.get_or_insert_with(|| Arc::clone(scenario));
        if self.phases.contains_key(&phase) {
            return;
        }
        let ids = |report: &Report| -> BTreeSet<FindingId> {
            let lists = [&report.open, &report.accepted, &report.aside];
            lists.into_iter().flatten().map(Finding::id).collect()
        };
        let found = if Arc::ptr_eq(opened, scenario) {
            ids(report)
        } else {
            ids(&checks::run_all(&Picture::new(Arc::clone(opened), phase)))
        };
        self.phases.insert(phase, found);
    }

    /// Tells whether a finding of a phase was not there as the file was opened.
    pub(super) fn is_new(&self, phase: PhaseId, finding: &Finding) -> bool {
        self.phases
            .get(&phase)
            .is_some_and(|known| !known.contains(&finding.id()))
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::model::UnitId;

    fn finding(code: &'static str, severity: Severity, headline: &str) -> Finding {
        Finding {
            code,
            severity,
            headline: headline.to_owned(),
            subject: UnitId(1).into(),
            related: Vec::new(),
            evidence: Vec::new(),
            hints: Vec::new(),
            fixes: Vec::new(),
            unheard: None,
        }
    }

    #[test]
    fn all_words_count_and_every_condition() {
        let tone = finding("P02", Severity::Stops, "Engine 9 has another tone");
        let nobody = BTreeSet::new();
        let mut sieve = Sieve {
            text: "TONE engine".to_owned(),
            ..Sieve::default()
        };
        assert!(sieve.keeps(&tone, &nobody, false));
        assert!(sieve.is_on());
        sieve.text = "tone medic".to_owned();
        assert!(!sieve.keeps(&tone, &nobody, false));
        sieve.clear();
        assert!(!sieve.is_on() && sieve.keeps(&tone, &nobody, false));
        sieve.family = Some("reach");
        assert!(!sieve.keeps(&tone, &nobody, false));
        sieve.family = Some("programming");
        assert!(sieve.keeps(&tone, &nobody, false));
        sieve.new = true;
        assert!(!sieve.keeps(&tone, &nobody, false) && sieve.keeps(&tone, &nobody, true));
        sieve.selection = true;
        assert!(!sieve.keeps(&tone, &nobody, true));
        assert!(sieve.keeps(&tone, &[UnitId(1).into()].into(), true));
        sieve.hidden.insert(Severity::Stops);
        assert!(!sieve.keeps(&tone, &[UnitId(1).into()].into(), true));
    }

    #[test]
    fn groups_come_in_their_order() {
        let scenario = Scenario::new("test");
        let all = [
            finding("T01", Severity::Notes, "late"),
            finding("R01", Severity::Stops, "unheard"),
        ];
        let mut sieve = Sieve::default();
        let names = |sieve: &Sieve| -> Vec<Group> {
            let groups = sieve.groups(&scenario, None, all.iter().collect());
            groups.into_iter().map(|(group, _)| group).collect()
        };
        assert_eq!(
            names(&sieve),
            [
                Group::Severity(Severity::Stops),
                Group::Severity(Severity::Notes)
            ]
        );
        sieve.by = By::Family;
        let families = names(&sieve);
        assert!(
            matches!(&families[..], [Group::Named(0, r), Group::Named(6, t)] if r == "reach" && t == "timing")
        );
    }
}
