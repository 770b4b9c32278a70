//! Telephones on talk groups; shared by checks, not a check itself.

use crate::model::{Attachment, PortRef, TalkGroupRef, Telephone};
use crate::picture::Picture;

/// Lists the telephones whose port is on a talk group.
pub(super) fn switched(
    picture: &Picture,
) -> impl Iterator<Item = (PortRef, TalkGroupRef, &Telephone)> {
    let scenario = picture.scenario();
    picture.phase().into_iter().flat_map(move |phase| {
        let attachments = phase.attachments.iter();
        attachments.filter_map(move |(port, attachment)| {
            let Attachment::Telephone(id) = attachment else {
                return None;
            };
            let telephone = scenario.telephones.get(*id)?;
            Some((*port, phase.group_of(*port)?, telephone))
        })
    })
}
