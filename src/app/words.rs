//! Words and figures as they read on screen, where a choice of words is not enough.

use crate::model::Keying;

pub(super) use crate::sheets::Choice;

/// Returns the words for how a port keys its donor.
pub(super) fn keying(keying: Keying) -> &'static str {
    match keying {
        Keying::PttLine => "by the push-to-talk line",
        Keying::VoiceOperated { .. } => "by the sound itself",
    }
}

/// Writes a delay in seconds, as people say it.
pub(super) fn seconds(ms: u32) -> String {
    format!("{:.2} s", f64::from(ms) / 1000.0)
}

/// Writes the delay at which somebody hears; nobody notices the first milliseconds.
pub(crate) fn after(ms: u32) -> String {
    if ms < 5 {
        "at once".to_owned()
    } else {
        seconds(ms)
    }
}

/// Starts a sentence with a capital letter.
pub(super) fn sentence(text: &str) -> String {
    let mut letters = text.chars();
    letters.next().map_or_else(String::new, |first| {
        first.to_uppercase().collect::<String>() + letters.as_str()
    })
}

/// Begins a sentence that goes on behind a colon with a small letter; names and units keep theirs.
pub(super) fn lower(text: &str) -> String {
    let mut letters = text.chars();
    match (letters.next(), letters.clone().next()) {
        (Some(first), Some(second)) if second.is_lowercase() => {
            first.to_lowercase().chain(letters).collect()
        }
        _ => text.to_owned(),
    }
}

/// Writes a count with its word in the singular or the plural.
pub(super) fn counted(count: usize, one: &str, many: &str) -> String {
    format!("{count} {}", if count == 1 { one } else { many })
}

/// What a load in erlang says, for those who meet the word for the first time.
pub(super) const ERLANG: &str = "Load in erlang is the share of the time in which somebody speaks: 0.25 is 15 \
                                 minutes of an hour, and at 1 the net is never free";

/// Says what the two ceilings of load mean.
pub(super) fn ceilings(strained_erl: f64, most_erl: f64) -> String {
    format!(
        "From {strained_erl} erlang on people are strained: they wait often to get a word in. From \
         {most_erl} on they talk over each other."
    )
}
