//! What will go wrong: the checks, one file each, and the report they make.
//!
//! A check is one function from the derived picture to findings. Its file's leading `//!` lines are
//! its handbook page, read by `explain`, by the help panel and by the report's "why". Invariant: a
//! check never names another check, and never computes what the picture already holds.

mod found;
mod parting;
mod reads;
mod registry;
mod report;
mod say;

pub mod authority;
pub mod encryption;
pub mod exposure;
pub mod field;
pub mod loops;
pub mod page;
pub mod power;
pub mod programming;
pub mod reach;
pub mod resilience;
pub mod resources;
pub mod site;
pub mod talk_groups;
pub mod timing;

use crate::hearing::{Hearing, why_not};
use crate::model::{Finding, Fix, Grade, Party, Severity, ThingId};
use crate::picture::Picture;
use crate::picture::facets::Facets;

pub use found::Found;
pub use registry::ALL;
pub use report::{Findings, Report};

use parting::parting;

/// One check.
#[derive(Debug, Clone, Copy)]
pub struct Check {
    /// Code that lives forever: the letter of the family and a number.
    pub code: &'static str,
    /// The bad pattern, in words joined by dashes; "accept unheard-need" reads well.
    pub name: &'static str,
    /// The worst severity it gives.
    pub severity: Severity,
    /// Source text of its file; the leading `//!` lines are the handbook page.
    pub text: &'static str,
    /// Adds findings.
    pub run: fn(&mut Vec<Finding>, &Picture),
}

impl Check {
    /// Returns the handbook page.
    pub fn page(&self) -> page::Page {
        page::Page::of(self.text)
    }

    /// Starts a finding of this check; the caller fills in what it knows.
    pub fn finding(
        &self,
        severity: Severity,
        subject: impl Into<ThingId>,
        headline: String,
    ) -> Finding {
        Finding {
            code: self.code,
            severity,
            headline,
            subject: subject.into(),
            related: Vec::new(),
            evidence: Vec::new(),
            hints: Vec::new(),
            fixes: Vec::new(),
            unheard: None,
        }
    }
}

/// Runs all checks and sets apart what is accepted, and what is put aside until a later phase.
///
/// Findings come worst first, then by code, then by the keys of the things concerned, so that the
/// same plan reads the same on screen, on paper and on the command line.
pub fn run_all(picture: &Picture) -> Report {
    report(picture, &Found::of(picture))
}

/// Makes the report of what was found.
///
/// Complexity: linear in the findings, none of which is copied.
pub fn report(picture: &Picture, found: &Found) -> Report {
    report::of(picture, &found.lists)
}

/// Returns the facets of a plan that a check reads: what it finds is the same while they are.
pub fn reads(check: &Check) -> Facets {
    reads::of(check)
}

/// Returns every fix of a finding: its own, the fewest changes that join an unheard pair, and the switch
/// that parts those who are to be kept apart.
///
/// The last two are searched for, which takes longer than the checks: ask when somebody looks.
pub fn fixes(finding: &Finding, picture: &Picture) -> Vec<Fix> {
    let mut fixes = finding.fixes.clone();
    if let Some((from, to)) = finding.unheard {
        let is_secret = match finding.subject {
            ThingId::Need(id) => picture
                .scenario()
                .needs
                .get(id)
                .is_some_and(|n| n.encrypted),
            _ => false,
        };
        let fix = joining(picture, from, to);
        fixes.extend(fix.filter(|fix| !is_secret || keeps_secret(picture, fix, from, to)));
    }
    if let ThingId::Need(id) = finding.subject
        && let Some(need) = picture.scenario().needs.get(id)
        && need.keeps_apart()
    {
        fixes.extend(parting(picture, need));
    }
    fixes
}

/// Tells whether the pair is encrypted all the way once the fix is applied.
fn keeps_secret(picture: &Picture, fix: &Fix, from: Party, to: Party) -> bool {
    picture.scenario().apply(&fix.edits).is_ok_and(|after| {
        let then = Hearing::derive(&after, picture.phase_id());
        then.arrival(from, to)
            .is_some_and(|arrival| arrival.encrypted)
    })
}

fn joining(picture: &Picture, from: Party, to: Party) -> Option<Fix> {
    let answer = why_not::why_not_given(
        picture.scenario(),
        picture.hearing(),
        picture.phase_id(),
        from,
        to,
    );
    // Nobody is joined who is to be kept apart.
    if !answer.proved || !answer.joins.is_empty() {
        return None;
    }
    let titles: Vec<&str> = answer.changes.iter().map(|c| c.title.as_str()).collect();
    let is_safe = answer.cuts.is_empty() && answer.changes.iter().all(|c| c.grade == Grade::Safe);
    let grade = if is_safe { Grade::Safe } else { Grade::Ask };
    Some(Fix {
        title: titles.join("; then "),
        grade,
        edits: answer.edits(),
    })
}

/// Returns the name of the family a check belongs to, by its code; the code itself where none fits.
pub fn family(code: &str) -> &str {
    let letter = code.get(..1).unwrap_or(code);
    let named = FAMILIES.iter().find(|(l, _)| *l == letter);
    named.map_or(code, |(_, name)| *name)
}

/// The families, by the letter their codes begin with, in the order of the registry.
pub const FAMILIES: [(&str, &str); 13] = [
    ("R", "reach"),
    ("P", "programming"),
    ("E", "encryption"),
    ("G", "talk groups"),
    ("L", "loops"),
    ("S", "resources"),
    ("T", "timing"),
    ("W", "power"),
    ("I", "radio site"),
    ("X", "exposure"),
    ("B", "resilience"),
    ("A", "authority"),
    ("F", "field"),
];

/// Finds a check by code or name, upper or lower case.
pub fn find(asked: &str) -> Option<&'static Check> {
    ALL.iter()
        .find(|c| c.code.eq_ignore_ascii_case(asked) || c.name.eq_ignore_ascii_case(asked))
}
