//! Which facts of a selected channel nobody has verified; shared by checks, not a check itself.

use crate::model::{Carrier, Fact, Mode};
use crate::picture::Tuned;

/// Lists the facts that are assumed and matter on this channel.
pub(in crate::checks) fn assumed(tuned: Tuned<'_>) -> impl Iterator<Item = Fact> {
    let effective = tuned.entry.effective(tuned.channel);
    let has_code = matches!(effective.carrier, Carrier::Conventional(c) if c.mode != Mode::Am);
    let has_key = effective.protection.key().is_some();
    Fact::ALL
        .into_iter()
        .filter(move |fact| match fact {
            Fact::Frequency | Fact::Mode => true,
            Fact::AccessCode => has_code,
            Fact::Encryption => has_key,
        })
        .filter(move |fact| !tuned.entry.verified.contains_key(fact))
}
