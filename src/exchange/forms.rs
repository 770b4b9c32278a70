//! The channels of a scenario in the columns of ICS 217A (all of them) and of ICS 205 (those in use).
//!
//! Order and names of the columns: FEMA ICS 205 (v3.1) and the ICS 217A of FEMA 502-2 (September 2010).

use super::assigned::{Assigned, assigned, eligible};
use super::text::Sheet;
use super::values::{
    NARROW_HZ, Remarked, WIDE_HZ, code_text, frequency_text, letter_text, usual_mode,
};
use crate::model::{Carrier, Channel, Scenario, SystemKind};
use crate::picture::Picture;
use crate::sheets::Choice as _;

/// Lists every channel in the columns of ICS 217A.
pub fn ics_217a(s: &Scenario) -> Sheet {
    let mut sheet = Sheet::new([
        "Channel Configuration",
        "Channel Name/Trunked Radio System Talkgroup",
        "Eligible Users / Assignments",
        "Rx Freq N or W",
        "Rx Tone/NAC",
        "Tx Freq N or W",
        "Tx Tone/NAC",
        "Mode A, D or M",
        "Remarks",
    ]);
    for channel in s.channels.iter() {
        let [name, rx, rx_code, tx, tx_code, mode, remarks] = cells(s, channel);
        let users = eligible(s, channel);
        let configuration = configuration(s, channel).to_owned();
        let row = [
            configuration,
            name,
            users,
            rx,
            rx_code,
            tx,
            tx_code,
            mode,
            remarks,
        ];
        sheet.rows.push(row.to_vec());
    }
    sheet
}

/// Lists the channels selected in a phase in the columns of ICS 205.
pub fn ics_205(picture: &Picture) -> Sheet {
    let s = picture.scenario();
    let mut sheet = Sheet::new([
        "Zone Grp.",
        "Ch #",
        "Function",
        "Channel Name/Trunked Radio System Talkgroup",
        "Assignment",
        "RX Freq N or W",
        "RX Tone/NAC",
        "TX Freq N or W",
        "TX Tone/NAC",
        "Mode (A, D or M)",
        "Remarks",
    ]);
    let all = assigned(picture);
    let in_use = picture.users().map(|(channel, _)| channel);
    let mut rows: Vec<(&Channel, &Assigned)> = in_use
        .filter_map(|channel| Some((channel, all.get(&channel.id)?)))
        .collect();
    // Command first, otherwise as in the plan, as on the printed form.
    rows.sort_by_key(|(channel, who)| {
        let role = who.role(channel);
        (role.is_none(), role)
    });
    for (channel, who) in rows {
        let [name, rx, rx_code, tx, tx_code, mode, remarks] = cells(s, channel);
        let mut remarks: Vec<String> = Some(remarks)
            .filter(|r| !r.is_empty())
            .into_iter()
            .collect();
        let joined = who.joined(picture).into_iter();
        remarks.extend(joined.map(|group| format!("joined at {group}")));
        let row = [
            String::new(),
            // The number of a channel is a matter of each radio's own zones.
            String::new(),
            who.role(channel)
                .map_or_else(String::new, |role| capital(role.words())),
            name,
            who.words(picture),
            rx,
            rx_code,
            tx,
            tx_code,
            mode,
            remarks.join("; "),
        ];
        sheet.rows.push(row.to_vec());
    }
    sheet
}

fn capital(text: &str) -> String {
    let mut letters = text.chars();
    letters.next().map_or_else(String::new, |first| {
        first.to_uppercase().chain(letters).collect()
    })
}

/// Returns name, frequencies, codes, mode and remarks.
fn cells(s: &Scenario, channel: &Channel) -> [String; 7] {
    let mut remarks = Remarked {
        protection: Some(channel.protection),
        notes: channel.notes.clone(),
        ..Remarked::default()
    };
    let rx = channel.conventional().map(|c| c.rx);
    let mode = channel.mode();
    remarks.mode = Some(mode).filter(|m| *m != usual_mode(m.is_digital(), rx));
    match channel.carrier {
        Carrier::Conventional(c) => {
            let is_usual = matches!(c.bandwidth_hz, NARROW_HZ | WIDE_HZ);
            remarks.bandwidth_hz = (!is_usual).then_some(c.bandwidth_hz);
            [
                channel.name.clone(),
                frequency_text(c.rx, c.bandwidth_hz),
                code_text(c.rx_code),
                frequency_text(c.tx, c.bandwidth_hz),
                code_text(c.tx_code),
                letter_text(c.mode, c.mixed).to_owned(),
                remarks.text(),
            ]
        }
        Carrier::Grouped { group, mode } => {
            remarks.system = Some(s.name(channel.system.into()));
            [
                format!("{} (TG {group})", channel.name),
                String::new(),
                String::new(),
                String::new(),
                String::new(),
                letter_text(mode, false).to_owned(),
                remarks.text(),
            ]
        }
    }
}

/// Returns the word for how a channel is carried.
pub fn configuration(s: &Scenario, channel: &Channel) -> &'static str {
    match s.systems.get(channel.system).map(|system| system.kind) {
        Some(SystemKind::Repeater) => "Repeater",
        Some(SystemKind::Voter) => "Voted repeater",
        Some(SystemKind::Trunked) => "Trunked",
        Some(SystemKind::Satellite) => "Satellite",
        Some(SystemKind::Telephone) => "Telephone",
        Some(SystemKind::Simplex) | None => "Simplex",
    }
}
