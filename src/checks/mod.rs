//! What will go wrong: the checks, one file each, and the report they make.
//!
//! A check is one function from the derived picture to findings. Its file's leading `//!` lines are
//! its handbook page, read by `explain`, by the help panel and by the report's "why". Invariant: a
//! check never names another check, and never computes what the picture already holds.

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

use std::sync::Arc;
use std::sync::atomic::{AtomicUsize, Ordering};

use crate::hearing::{Hearing, why_not};
use crate::model::{Finding, Fix, Grade, Party, Severity, ThingId};
use crate::picture::Picture;
use crate::picture::facets::Facets;

pub use registry::ALL;
pub use report::{Findings, Report};

use parting::parting;
use report::Sorted;

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

/// From how many units on the checks are shared out among processors.
const SHARE_FROM: usize = 2_000;

/// What each check has found, kept for the edits to come.
#[derive(Debug, Clone, Default)]
pub struct Found {
    /// One list for each check of the registry, in its order.
    lists: Vec<Arc<Sorted>>,
}

impl Found {
    /// Runs all checks.
    pub fn of(picture: &Picture) -> Self {
        Self::run(picture, |_, _| None)
    }

    /// Runs the checks that read something which differs between two pictures, and keeps what the
    /// others found in the one before.
    #[must_use]
    pub fn after(&self, before: &Picture, picture: &Picture) -> Self {
        let moved = before.moved_to(picture);
        Self::run(picture, |number, check| {
            let known = self.lists.get(number)?;
            (!reads::of(check).meet(moved)).then(|| known.after(picture.scenario(), moved))
        })
    }

    /// Runs the checks of which nothing is known, shared out among processors where the plan is large.
    fn run(picture: &Picture, known: impl Fn(usize, &Check) -> Option<Arc<Sorted>>) -> Self {
        let mut lists: Vec<Option<Arc<Sorted>>> = ALL
            .iter()
            .enumerate()
            .map(|(number, check)| known(number, check))
            .collect();
        let unknown = lists.iter().enumerate().filter(|(_, list)| list.is_none());
        let unknown: Vec<usize> = unknown.map(|(number, _)| number).collect();
        for (number, findings) in run_each(picture, &unknown) {
            if let Some(list) = lists.get_mut(number) {
                *list = Some(Arc::new(findings));
            }
        }
        Self {
            lists: lists.into_iter().map(Option::unwrap_or_default).collect(),
        }
    }
}

/// Returns the facets of a plan that a check reads: what it finds is the same while they are.
pub fn reads(check: &Check) -> Facets {
    reads::of(check)
}

/// A check that asks for the figures that take longest.
const FIRST: &str = "I01";

/// Runs the checks with these numbers in the registry.
fn run_each(picture: &Picture, numbers: &[usize]) -> Vec<(usize, Sorted)> {
    let run = |number: usize| {
        let mut out = Vec::new();
        if let Some(check) = ALL.get(number) {
            (check.run)(&mut out, picture);
        }
        (number, Sorted::of(picture.scenario(), out))
    };
    let processors = std::thread::available_parallelism().map_or(1, usize::from);
    if picture.scenario().units.len() < SHARE_FROM || processors < 2 {
        return numbers.iter().map(|number| run(*number)).collect();
    }
    // Every processor takes the next check that nobody has taken. One begins with a check that needs
    // the sites and with them the loads; meanwhile the others have those that read nothing heard, and
    // nobody waits for figures that somebody is at.
    let place = |number: &usize| {
        let check = ALL.get(*number);
        check.map(|check| (check.code != FIRST, reads::of(check).meet(Facets::HEARD)))
    };
    let mut numbers = numbers.to_vec();
    numbers.sort_by_key(place);
    let next = AtomicUsize::new(0);
    std::thread::scope(|scope| {
        let work = || {
            let mut done = Vec::new();
            while let Some(number) = numbers.get(next.fetch_add(1, Ordering::Relaxed)) {
                done.push(run(*number));
            }
            done
        };
        let workers: Vec<_> = (1..processors).map(|_| scope.spawn(work)).collect();
        let mut parts = work();
        for worker in workers {
            match worker.join() {
                Ok(done) => parts.extend(done),
                Err(panic) => std::panic::resume_unwind(panic),
            }
        }
        parts
    })
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
