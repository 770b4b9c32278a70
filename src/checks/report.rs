//! The report: what all checks found, in order, with what is accepted or put aside set apart.
//!
//! Findings are shared and never copied: what one check found is sorted once, and a report only puts
//! such runs one behind the other. Nothing here runs a check.

use std::collections::BTreeMap;
use std::iter::Map;
use std::sync::Arc;
use std::{slice, vec};

use crate::model::{Acceptance, Edit, Finding, PhaseId, Scenario, Severity, Thing, ThingId, Value};
use crate::picture::Picture;
use crate::picture::facets::Facets;

/// Every finding of a picture: open ones, and apart from them those accepted and those put aside.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Report {
    /// Findings nobody accepted, worst first.
    pub open: Findings,
    /// Findings accepted with the facts they have now.
    pub accepted: Findings,
    /// Findings put aside, with the facts they have now, until a phase that has not begun.
    pub aside: Findings,
}

impl Report {
    /// Returns how many open findings have a severity.
    pub fn count(&self, severity: Severity) -> usize {
        self.open.iter().filter(|f| f.severity == severity).count()
    }

    /// Tells whether an open finding is as bad as `bar` or worse.
    pub fn reaches(&self, bar: Severity) -> bool {
        self.open.iter().any(|f| f.severity <= bar)
    }
}

/// Findings in order, each shared with whoever else lists it.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Findings(Vec<Arc<Finding>>);

impl Findings {
    /// Lists them.
    pub fn iter(&self) -> <&Self as IntoIterator>::IntoIter {
        self.into_iter()
    }

    /// Returns the first, which is the worst.
    pub fn first(&self) -> Option<&Finding> {
        self.iter().next()
    }

    /// Copies them.
    pub fn to_vec(&self) -> Vec<Finding> {
        self.iter().cloned().collect()
    }

    /// Returns how many there are.
    pub fn len(&self) -> usize {
        self.0.len()
    }

    /// Tells whether there are none.
    pub fn is_empty(&self) -> bool {
        self.0.is_empty()
    }
}

impl<'a> IntoIterator for &'a Findings {
    type Item = &'a Finding;
    type IntoIter = Map<slice::Iter<'a, Arc<Finding>>, fn(&'a Arc<Finding>) -> &'a Finding>;

    fn into_iter(self) -> Self::IntoIter {
        self.0.iter().map(Arc::as_ref)
    }
}

impl IntoIterator for Findings {
    type Item = Finding;
    type IntoIter = Map<vec::IntoIter<Arc<Finding>>, fn(Arc<Finding>) -> Finding>;

    fn into_iter(self) -> Self::IntoIter {
        self.0.into_iter().map(Arc::unwrap_or_clone)
    }
}

/// What one check found, in the order of the report: worst first, then by the keys of the things
/// concerned.
#[derive(Debug, Default)]
pub(super) struct Sorted {
    findings: Vec<Arc<Finding>>,
    /// Facets that the order follows from, beside those the check reads.
    keys: Facets,
}

impl Sorted {
    pub(super) fn of(scenario: &Scenario, findings: Vec<Finding>) -> Self {
        Self::sort(scenario, findings.into_iter().map(Arc::new).collect())
    }

    /// Returns the same findings in the order they have when these facets have moved.
    pub(super) fn after(self: &Arc<Self>, scenario: &Scenario, moved: Facets) -> Arc<Self> {
        if moved.meet(self.keys) {
            Arc::new(Self::sort(scenario, self.findings.clone()))
        } else {
            Arc::clone(self)
        }
    }

    /// Tells whether some finding says one of these names, or might hand it on.
    pub(super) fn say_any(&self, names: &[String]) -> bool {
        self.findings.iter().any(|finding| says_any(finding, names))
    }

    /// Returns the findings with those that `is_renewed` picks exchanged for new ones that it picks.
    pub(super) fn renewed(
        &self,
        scenario: &Scenario,
        found: Vec<Finding>,
        is_renewed: impl Fn(&Finding) -> bool,
    ) -> Self {
        let kept = self.findings.iter().filter(|f| !is_renewed(f)).cloned();
        let found = found.into_iter().filter(|f| is_renewed(f)).collect();
        let new = Self::of(scenario, found);
        let mut findings: Vec<Arc<Finding>> = kept.collect();
        // What is equal in this order is about the same things, so it is all new or all kept.
        let key = |finding: &Finding| {
            let key = scenario.key(finding.subject);
            (
                finding.severity,
                finding.code,
                key,
                others(scenario, finding),
            )
        };
        for finding in new.findings {
            let mine = key(&finding);
            let place = findings.partition_point(|other| key(other) < mine);
            findings.insert(place, finding);
        }
        Self {
            keys: { findings.iter() }
                .map(|f| keys_of(f))
                .fold(Facets::NONE, Facets::and),
            findings,
        }
    }

    fn sort(scenario: &Scenario, findings: Vec<Arc<Finding>>) -> Self {
        let keys = { findings.iter() }
            .map(|f| keys_of(f))
            .fold(Facets::NONE, Facets::and);
        let mut keyed: Vec<(_, Arc<Finding>)> = findings
            .into_iter()
            .map(|finding| {
                let key = scenario.key(finding.subject);
                ((finding.severity, finding.code, key), finding)
            })
            .collect();
        // Few findings are of one check about one thing, so the keys of the others are seldom asked for.
        keyed.sort_by(|a, b| {
            let others = |finding: &Finding| others(scenario, finding);
            a.0.cmp(&b.0).then_with(|| others(&a.1).cmp(&others(&b.1)))
        });
        Self {
            findings: keyed.into_iter().map(|(_, finding)| finding).collect(),
            keys,
        }
    }
}

/// Returns the keys of the things a finding is about beside its subject.
fn others(scenario: &Scenario, finding: &Finding) -> Vec<String> {
    let things = finding.id().things.into_iter();
    things.skip(1).map(|t| scenario.key(t)).collect()
}

/// Tells whether a finding says one of these names; one that carries a whole unit may say it later.
fn says_any(finding: &Finding, names: &[String]) -> bool {
    let values = finding.evidence.iter().filter_map(|e| match &e.value {
        Value::Text(text) => Some(text),
        Value::Number(_) | Value::Thing(_) => None,
    });
    let mut texts = [&finding.headline]
        .into_iter()
        .chain(&finding.hints)
        .chain(finding.fixes.iter().map(|fix| &fix.title))
        .chain(values);
    let edits = finding.fixes.iter().flat_map(|fix| &fix.edits);
    let carries_unit = |edit: &Edit| {
        matches!(
            edit,
            Edit::Add(Thing::Unit(_)) | Edit::Replace(Thing::Unit(_))
        )
    };
    texts.any(|text| names.iter().any(|name| text.contains(name.as_str()))) || { edits }
        .any(carries_unit)
}

/// Returns the facets that the keys of a finding's things are of; keys of other things only move with
/// what every check reads.
fn keys_of(finding: &Finding) -> Facets {
    let things = finding.related.iter().chain([&finding.subject]);
    things
        .map(|thing| match thing {
            ThingId::Unit(_) => Facets::UNIT_NAMES,
            ThingId::Need(_) => Facets::NEEDS,
            _ => Facets::NONE,
        })
        .fold(Facets::NONE, Facets::and)
}

/// Puts what the checks found one behind the other, and sets apart what is accepted or put aside.
///
/// Each check gives its findings its own code, so what two of them found never has to be mingled.
pub(super) fn of(picture: &Picture, lists: &[Arc<Sorted>]) -> Report {
    let scenario = picture.scenario();
    let mut runs: Vec<&[Arc<Finding>]> = lists
        .iter()
        .flat_map(|list| {
            let is_one_run = |a: &Arc<Finding>, b: &Arc<Finding>| order(a) == order(b);
            list.findings.chunk_by(is_one_run)
        })
        .collect();
    runs.sort_by_key(|run| run.first().map(|f| order(f)));
    let accepted = Accepted::of(scenario);
    let mut report = Report::default();
    for finding in runs.into_iter().flatten() {
        let list = match accepted.find(finding).map(|a| a.until) {
            Some(None) => &mut report.accepted,
            Some(Some(until)) if is_before(scenario, picture.phase_id(), until) => {
                &mut report.aside
            }
            Some(Some(_)) | None => &mut report.open,
        };
        list.0.push(Arc::clone(finding));
    }
    report
}

fn order(finding: &Finding) -> (Severity, &'static str) {
    (finding.severity, finding.code)
}

/// What somebody accepted, by check and subject.
struct Accepted<'a> {
    scenario: &'a Scenario,
    by: BTreeMap<(&'a str, Option<ThingId>), Vec<&'a Acceptance>>,
}

impl<'a> Accepted<'a> {
    fn of(scenario: &'a Scenario) -> Self {
        let mut by: BTreeMap<_, Vec<_>> = BTreeMap::new();
        for acceptance in &scenario.accepted {
            let finding = &acceptance.finding;
            let subject = finding.things.first().copied();
            by.entry((finding.code.as_str(), subject))
                .or_default()
                .push(acceptance);
        }
        Self { scenario, by }
    }

    /// Returns the acceptance of a finding with the facts it has now.
    fn find(&self, finding: &Finding) -> Option<&'a Acceptance> {
        let alike = self.by.get(&(finding.code, Some(finding.subject)))?;
        let (id, facts) = (
            finding.id(),
            finding.facts(|thing| self.scenario.key(thing)),
        );
        alike
            .iter()
            .copied()
            .find(|a| a.finding == id && a.facts == facts)
    }
}

/// Tells whether a phase comes before another, in the order of the plan.
fn is_before(scenario: &Scenario, phase: PhaseId, other: PhaseId) -> bool {
    let place = |wanted: PhaseId| scenario.phases.ids().position(|p| p == wanted);
    matches!((place(phase), place(other)), (Some(a), Some(b)) if a < b)
}
