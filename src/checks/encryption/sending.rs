//! With which key a radio sends on a channel; shared by checks, not a check itself.

use crate::model::{Effective, KeyRef, Programmed, Protection};

/// Returns the key an entry sends with, or `None` for clear; whether the radio holds it is not asked.
pub(super) fn sent_key(entry: &Programmed, effective: &Effective) -> Option<KeyRef> {
    match effective.protection {
        Protection::Always(key) => Some(key),
        Protection::Optional(key) if entry.secure => Some(key),
        Protection::Optional(_) | Protection::Clear => None,
    }
}
