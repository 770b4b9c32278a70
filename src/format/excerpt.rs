//! An excerpt: some things of a scenario with all they need, as the text of a scenario file.
//!
//! An excerpt is a normal scenario, so any excerpt opens on a board and any scenario serves as a
//! library. What was chosen, as against what only came along, stands in the comment lines at its top;
//! a file without such lines offers everything it holds. Nothing here touches disk or clipboard.

use std::collections::BTreeSet;

use crate::model::graft::{Bed, Cutting, Sharing, everything, graft};
use crate::model::scenario::{Header, Scenario};
use crate::model::{Edit, Kind, PhaseId, Place, ThingId};

use super::{Problems, Syntax, read, write};

/// What a comment line that names a chosen thing begins with.
const MARK: &str = "chosen ";

/// A scenario that serves as a library.
#[derive(Debug, Clone, PartialEq)]
pub struct Excerpt {
    /// Everything the file holds.
    pub scenario: Scenario,
    /// The phase of which attachments and switches count: the first.
    pub phase: PhaseId,
    /// What somebody chose; the rest came along.
    pub chosen: BTreeSet<ThingId>,
}

impl Excerpt {
    /// Takes some things of a scenario, as they are in a phase, with all they need.
    pub fn of(origin: &Scenario, phase: PhaseId, things: &BTreeSet<ThingId>) -> Self {
        let title = match origin.header.title.as_str() {
            "" => "Excerpt".to_owned(),
            title => format!("Excerpt of {title}"),
        };
        let mut excerpt = Self::empty(&title);
        excerpt.take_in(origin, phase, things, Sharing::Everything);
        excerpt
    }

    /// Makes an excerpt with nothing in it.
    pub fn empty(title: &str) -> Self {
        let scenario = Scenario::new(title);
        let phase = scenario.phases.first().map_or(PhaseId(0), |p| p.id);
        Self {
            scenario,
            phase,
            chosen: BTreeSet::new(),
        }
    }

    /// Looks at a scenario as a library: what its comments mark as chosen, or else all it holds.
    pub fn from_scenario(scenario: Scenario) -> Self {
        let phase = scenario.phases.first().map_or(PhaseId(0), |p| p.id);
        let marks = scenario.header.comments.iter();
        let chosen: BTreeSet<ThingId> = marks
            .filter_map(|line| line.trim().strip_prefix(MARK))
            .filter_map(|mark| marked(&scenario, mark))
            .collect();
        let chosen = if chosen.is_empty() {
            everything(&scenario)
        } else {
            chosen
        };
        Self {
            scenario,
            phase,
            chosen,
        }
    }

    /// Reads an excerpt, or any scenario, from its text in either spelling.
    ///
    /// # Errors
    ///
    /// Everything found wrong with the text.
    pub fn read(text: &str) -> Result<Self, Problems> {
        let syntax = if text.trim_start().starts_with('{') {
            Syntax::Json
        } else {
            Syntax::Ron
        };
        read(text, syntax).map(Self::from_scenario)
    }

    /// Writes the excerpt: the same excerpt always gives the same text.
    pub fn write(&self) -> String {
        let s = &self.scenario;
        let kept = s.header.comments.iter();
        let mut comments: Vec<String> = kept
            .filter(|line| !line.trim().starts_with(MARK))
            .cloned()
            .collect();
        let marks = self.chosen.iter().filter(|thing| s.contains(**thing));
        let mut marks: Vec<String> = marks
            .map(|thing| format!("{MARK}{} {}", thing.kind(), s.key(*thing)))
            .collect();
        marks.sort();
        comments.extend(marks);
        let header = Header {
            comments,
            ..s.header.clone()
        };
        let marked = s.apply(&[Edit::SetHeader(header)]);
        write(marked.as_ref().unwrap_or(s), Syntax::Ron)
    }

    /// Takes in more things of another scenario and notes them as chosen.
    ///
    /// Returns what they became here.
    pub fn take_in(
        &mut self,
        origin: &Scenario,
        phase: PhaseId,
        things: &BTreeSet<ThingId>,
        sharing: Sharing,
    ) -> Vec<ThingId> {
        let cutting = Cutting {
            origin,
            phase,
            things,
            attached: true,
        };
        let bed = Bed {
            phase: self.phase,
            shift: Place::default(),
            sharing,
            same: false,
        };
        let grafted = graft(&cutting, &self.scenario, &bed);
        let Ok(after) = self.scenario.apply(&grafted.edits) else {
            return Vec::new();
        };
        self.scenario = after;
        self.chosen.extend(grafted.asked.iter().copied());
        grafted.asked
    }

    /// Returns the excerpt without some of what was chosen, and without what only they needed.
    #[must_use]
    pub fn without(&self, things: &BTreeSet<ThingId>) -> Self {
        let left: BTreeSet<ThingId> = self.chosen.difference(things).copied().collect();
        let mut rest = Self::empty(&self.scenario.header.title);
        rest.take_in(&self.scenario, self.phase, &left, Sharing::Companions);
        rest
    }
}

/// Finds the thing that a mark names: the word for its kind, a space, its key.
fn marked(s: &Scenario, mark: &str) -> Option<ThingId> {
    let named = |kind: Kind| mark.strip_prefix(kind.word())?.strip_prefix(' ');
    everything(s)
        .into_iter()
        .find(|thing| named(thing.kind()).is_some_and(|key| key == s.key(*thing)))
}
