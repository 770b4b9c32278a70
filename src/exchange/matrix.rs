//! Who hears whom as a table: speakers down, hearers across.

use super::text::Sheet;
use crate::picture::Picture;

/// Parties up to which a table is made; beyond, no spreadsheet holds its columns with ease.
pub const MOST_PARTIES: usize = 2_000;

/// Lists who hears whom: how late in milliseconds, and what is wrong with it; "no" where nothing is heard, and
/// nothing where a party would hear itself. `None` for more than [`MOST_PARTIES`].
///
/// Complexity: a cell for each pair of parties.
pub fn matrix(picture: &Picture) -> Option<Sheet> {
    let s = picture.scenario();
    let hearing = picture.hearing();
    let parties = hearing.parties();
    if parties.len() > MOST_PARTIES {
        return None;
    }
    let names: Vec<String> = parties.iter().map(|p| s.name((*p).into())).collect();
    let mut sheet = Sheet {
        headings: vec!["Speaks".to_owned()],
        rows: Vec::with_capacity(parties.len()),
    };
    sheet.headings.extend(names.iter().cloned());
    for (from, name) in parties.iter().zip(names) {
        let mut row = vec![name];
        row.extend(parties.iter().map(|to| {
            if from == to {
                return String::new();
            }
            let Some(arrival) = hearing.arrival(*from, *to) else {
                return "no".to_owned();
            };
            let mut text = format!("{} ms", arrival.delay_ms);
            if arrival.clipped_ms > 0 {
                text.push_str(&format!(", {} ms cut off the front", arrival.clipped_ms));
            }
            if arrival.by_scan {
                text.push_str(", only by scanning");
            }
            if arrival.encrypted {
                text.push_str(", encrypted");
            }
            text
        }));
        sheet.rows.push(row);
    }
    Some(sheet)
}
