//! How many radios would send on a channel as it is defined; shared by checks, not a check itself.

use std::collections::BTreeMap;

use crate::model::{Channel, ChannelId, Programmed};
use crate::picture::Picture;

/// The radios that would send on a channel.
#[derive(Debug, Clone, Copy, Default)]
pub(in crate::checks) struct Senders {
    /// That have it programmed, selected or not.
    pub(in crate::checks) programmed: usize,
    /// In use, that have it selected.
    pub(in crate::checks) selected: usize,
}

/// Counts the senders of the channels that `wanted` picks; channels without any are left out.
///
/// An entry counts when it is not for listening only and `is_plain` finds it as defined.
pub(in crate::checks) fn of(
    picture: &Picture,
    wanted: impl Fn(&Channel) -> bool,
    is_plain: impl Fn(&Programmed) -> bool,
) -> Vec<(&Channel, Senders)> {
    let scenario = picture.scenario();
    let channels = scenario.channels.iter().filter(|c| wanted(c));
    let mut counts: BTreeMap<ChannelId, (&Channel, Senders)> =
        channels.map(|c| (c.id, (c, Senders::default()))).collect();
    if counts.is_empty() {
        return Vec::new();
    }
    let sends = |entry: &Programmed| !entry.receive_only && is_plain(entry);
    for entry in scenario.radios.iter().flat_map(|r| &r.programmed) {
        if let Some((_, senders)) = counts.get_mut(&entry.channel)
            && sends(entry)
        {
            senders.programmed += 1;
        }
    }
    for (channel, senders) in counts.values_mut() {
        let users = picture.users_of(channel.id);
        senders.selected = users.filter(|(_, entry)| sends(entry)).count();
    }
    counts
        .into_values()
        .filter(|(_, senders)| senders.programmed > 0)
        .collect()
}
