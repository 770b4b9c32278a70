//! What the checks have found, and what of it an edit leaves as it is.
//!
//! A check that reads nothing which has moved keeps its findings; one that of all it reads only sees units
//! renamed keeps them where none says such a name; one that looks at channels, radios or sites one by one
//! is asked only about those touched. Everything else is run again.

use std::sync::Arc;
use std::sync::atomic::{AtomicUsize, Ordering};

use super::report::Sorted;
use super::{ALL, Check, reads};
use crate::picture::Picture;
use crate::picture::facets::Facets;
use crate::picture::touched::Touched;

/// What each check has found, kept for the edits to come.
#[derive(Debug, Clone, Default)]
pub struct Found {
    /// One list for each check of the registry, in its order.
    pub(super) lists: Vec<Arc<Sorted>>,
}

impl Found {
    /// Runs all checks.
    pub fn of(picture: &Picture) -> Self {
        Self::run(picture, |number, check| {
            (number, Arc::new(run(picture, check)))
        })
    }

    /// Runs the checks that read something which differs between two pictures, and keeps what the
    /// others found in the one before.
    #[must_use]
    pub fn after(&self, before: &Picture, picture: &Picture) -> Self {
        let edit = Edited::of(before, picture);
        Self::run(picture, |number, check| {
            let found = self
                .lists
                .get(number)
                .and_then(|known| edit.renew(check, known));
            (
                number,
                found.unwrap_or_else(|| Arc::new(run(picture, check))),
            )
        })
    }

    /// Asks for the findings of every check, shared out among processors where the plan is large.
    fn run(picture: &Picture, find: impl Fn(usize, &Check) -> (usize, Arc<Sorted>) + Sync) -> Self {
        let mut lists = find_each(picture, &find);
        lists.sort_unstable_by_key(|(number, _)| *number);
        Self {
            lists: lists.into_iter().map(|(_, list)| list).collect(),
        }
    }
}

fn run(picture: &Picture, check: &Check) -> Sorted {
    let mut out = Vec::new();
    (check.run)(&mut out, picture);
    Sorted::of(picture.scenario(), out)
}

/// An edit, from one picture to another.
struct Edited<'a> {
    picture: &'a Picture,
    moved: Facets,
    /// What units that have another name now were called.
    names: Vec<String>,
    /// What was touched, where that can be told, with the picture that is asked about it.
    touched: Option<(Arc<Touched>, Picture)>,
}

impl<'a> Edited<'a> {
    fn of(before: &Picture, picture: &'a Picture) -> Self {
        let touched = before.touched(picture).map(Arc::new);
        Self {
            picture,
            moved: before.moved_to(picture),
            names: before.renamed_units(picture),
            touched: touched.map(|touched| {
                let asked = picture.asked_about(Arc::clone(&touched));
                (touched, asked)
            }),
        }
    }

    /// Returns what a check finds now, given what it found before; `None` where it has to be run.
    fn renew(&self, check: &Check, known: &Arc<Sorted>) -> Option<Arc<Sorted>> {
        let scenario = self.picture.scenario();
        let read = reads::of(check).shared(self.moved);
        let is_unsaid = || read == Facets::UNIT_NAMES && !known.say_any(&self.names);
        if read == Facets::NONE || is_unsaid() {
            return Some(known.after(scenario, self.moved));
        }
        let looks_at = reads::one_by_one(check)?;
        let (touched, asked) = self.touched.as_ref()?;
        let mut found = Vec::new();
        (check.run)(&mut found, asked);
        Some(Arc::new(known.renewed(scenario, found, |finding| {
            touched.is_about(finding, looks_at, self.picture)
        })))
    }
}

/// From how many units on the checks are shared out among processors.
const SHARE_FROM: usize = 2_000;

/// Checks that take long, in the order they are begun: first one that asks for the sites and with them
/// for the loads, then those that do not wait for these.
#[rustfmt::skip]
const FIRST: [&str; 10] = ["I01", "R03", "B01", "P13", "E02", "T09", "E01", "T06", "R02", "P06"];

fn find_each<T: Send>(picture: &Picture, find: &(impl Fn(usize, &Check) -> T + Sync)) -> Vec<T> {
    let processors = std::thread::available_parallelism().map_or(1, usize::from);
    if picture.scenario().units.len() < SHARE_FROM || processors < 2 {
        let all = ALL.iter().enumerate();
        return all.map(|(number, check)| find(number, check)).collect();
    }
    // Every processor takes the next check that nobody has taken; what reads nothing heard comes before
    // what may have to wait for figures that somebody is at.
    let place = |check: &Check| {
        let first = FIRST.iter().position(|code| *code == check.code);
        (
            first.unwrap_or(FIRST.len()),
            reads::of(check).meet(Facets::HEARD),
        )
    };
    let mut checks: Vec<(usize, &Check)> = ALL.iter().enumerate().collect();
    checks.sort_by_key(|(_, check)| place(check));
    let next = AtomicUsize::new(0);
    std::thread::scope(|scope| {
        let work = || {
            let mut done = Vec::new();
            while let Some((number, check)) = checks.get(next.fetch_add(1, Ordering::Relaxed)) {
                done.push(find(*number, check));
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
