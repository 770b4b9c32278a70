//! What was heard on the air between two, and which path it was heard by: a note says nothing of any other.

use crate::hearing::StepKind;
use crate::model::{
    Attachment, Carrier, ChannelId, Edit, HeardPair, Party, Radio, Scenario, ThingId, Verified,
};
use crate::picture::Picture;
use crate::sheets::Choice as _;

/// Returns what was noted of one being heard by another, while the message takes the path it was noted of.
pub fn heard(picture: &Picture, from: Party, to: Party) -> Option<HeardPair> {
    let noted = picture.phase()?.pairs.get(&(from, to))?;
    (path_mark(picture, from, to)? == noted.path).then(|| noted.clone())
}

/// Returns the edit that notes that one was heard by another as the plan says, or takes the note back where
/// nobody is named; `None` where the plan says that it is not heard.
pub fn note_heard(
    picture: &Picture,
    (from, to): (Party, Party),
    noted: Option<&Verified>,
    (daq, delay_ms): (Option<u8>, Option<u32>),
) -> Option<Edit> {
    let heard = match noted {
        Some(noted) => Some(HeardPair {
            noted: noted.clone(),
            daq,
            delay_ms,
            path: path_mark(picture, from, to)?,
        }),
        None => None,
    };
    Some(Edit::Hear {
        phase: picture.phase_id(),
        from,
        to,
        heard,
    })
}

/// Marks the path of a message: any other radio, frequency, code, key, cable, port, switch or delay gives
/// another mark. Files hold it, so what goes into it must stay.
fn path_mark(picture: &Picture, from: Party, to: Party) -> Option<String> {
    let s = picture.scenario();
    let phase = picture.phase()?;
    let path = picture.hearing().path(s, from, to)?;
    let mut text = String::new();
    for step in &path.steps {
        let (at, delay, lost) = (s.key(step.at), step.delay_ms, step.clipped_ms);
        text.push_str(&format!("{} {at} {delay} {lost}", step.at.kind()));
        let channel = match step.what {
            StepKind::Transmits { channel, key } => {
                text.push_str(&key.map_or_else(String::new, |key| format!(" {key}")));
                Some(channel)
            }
            StepKind::Receives { channel, .. } => Some(channel),
            _ => None,
        };
        let radio = match step.at {
            ThingId::Radio(id) => s.radios.get(id),
            _ => None,
        };
        if let (Some(radio), Some(channel)) = (radio, channel) {
            text.push_str(&air_mark(s, radio, channel));
        }
        if let ThingId::Port(port) = step.at {
            let group = phase.switches.get(&port);
            let plugged = phase.attachments.get(&port);
            let cable = match plugged {
                Some(Attachment::Radio {
                    cable: Some(id), ..
                }) => s.key((*id).into()),
                _ => String::new(),
            };
            let level = s.port(port).map_or("", |p| p.level.words());
            text.push_str(&format!(" {group:?} {cable} {level}"));
        }
        text.push('\n');
    }
    Some(format!("{:016x}", fnv_1a(text.as_bytes())))
}

/// Writes what a radio sends and listens for on a channel.
fn air_mark(s: &Scenario, radio: &Radio, channel: ChannelId) -> String {
    let tuned = radio.entry(channel).zip(s.channels.get(channel));
    let carrier = tuned.map(|(entry, channel)| entry.effective(channel).carrier);
    match carrier {
        Some(Carrier::Conventional(c)) => format!(
            " {} {} {} {} {} {}",
            c.rx, c.tx, c.rx_code, c.tx_code, c.mode, c.bandwidth_hz
        ),
        Some(Carrier::Grouped { group, mode }) => format!(" {group} {mode}"),
        None => String::new(),
    }
}

/// Makes a short number of a text, the same for ever (Fowler, Noll, Vo: FNV-1a, 64 bits).
fn fnv_1a(bytes: &[u8]) -> u64 {
    bytes.iter().fold(0xcbf2_9ce4_8422_2325, |hash, byte| {
        (hash ^ u64::from(*byte)).wrapping_mul(0x0100_0000_01b3)
    })
}
