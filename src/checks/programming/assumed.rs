//! Which facts of a selected channel nobody has verified; shared by checks, not a check itself.

use crate::model::Fact;
use crate::picture::Tuned;
use crate::picture::precheck::facts_that_matter;

/// Lists the facts that are assumed and matter on this channel.
pub(in crate::checks) fn assumed(tuned: Tuned<'_>) -> impl Iterator<Item = Fact> {
    facts_that_matter(tuned).filter(move |fact| !tuned.entry.verified.contains_key(fact))
}
