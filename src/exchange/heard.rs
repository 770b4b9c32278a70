//! Who hears whom as JSON: the same bytes for the window and for the verb `hears`.

use std::io::{self, Write};

use serde_json::{Value, json};

use crate::hearing::{Arrival, Hearing};
use crate::model::{Party, Phase, Scenario, ThingId};
use crate::picture::Picture;

/// Who hears whom in one phase: all of it, only who hears one, or only whom one hears.
#[derive(Debug)]
pub struct Heard<'a> {
    /// Name of the file the scenario is in.
    pub file: &'a str,
    /// The scenario.
    pub scenario: &'a Scenario,
    /// The phase.
    pub phase: &'a Phase,
    /// Who hears whom in it.
    pub hearing: &'a Hearing,
    /// Only who hears this one.
    pub from: Option<Party>,
    /// Only whom this one hears.
    pub to: Option<Party>,
}

impl Heard<'_> {
    /// Returns the key of a party.
    pub fn key(&self, party: Party) -> String {
        self.scenario.key(party.into())
    }

    /// Lists the pairs asked about that are heard, by speaker.
    pub fn heard(&self) -> impl Iterator<Item = (Party, Party, Arrival)> + '_ {
        self.hearing
            .parties()
            .iter()
            .copied()
            .filter(|from| self.from.is_none_or(|asked| asked == *from))
            .flat_map(|from| {
                let pairs: Vec<_> = match self.to {
                    Some(to) => {
                        let arrival = self.hearing.arrival(from, to);
                        arrival.map(|a| (from, to, a)).into_iter().collect()
                    }
                    None => self
                        .hearing
                        .hearers(from)
                        .into_iter()
                        .map(|(to, arrival)| (from, to, arrival))
                        .collect(),
                };
                pairs
            })
            .filter(|(from, to, _)| from != to)
    }

    /// Writes it for programs, a pair a line, so that a large scenario need not fit in memory.
    ///
    /// # Errors
    ///
    /// What the output says when it takes no more.
    pub fn json(&self, out: &mut dyn Write) -> io::Result<()> {
        writeln!(out, "{{")?;
        writeln!(out, "  \"file\": {},", json!(self.file))?;
        writeln!(out, "  \"phase\": {},", json!(self.phase.key))?;
        let parties = self.hearing.parties();
        let things = parties
            .iter()
            .map(|p| thing_json(self.scenario, (*p).into()).to_string());
        items(out, "parties", things)?;
        writeln!(out, ",")?;
        let pairs = self.heard().map(|(from, to, arrival)| {
            json!({
                "from": self.key(from),
                "to": self.key(to),
                "delay_ms": arrival.delay_ms,
                "clipped_ms": arrival.clipped_ms,
                "codec_passes": arrival.codec_passes,
                "by_scan": arrival.by_scan,
                "encrypted": arrival.encrypted,
            })
            .to_string()
        });
        items(out, "heard", pairs)?;
        writeln!(out, "\n}}")
    }
}

/// Returns all of who hears whom in the phase of a picture as JSON.
pub fn heard_json(picture: &Picture, file: &str) -> String {
    let mut bytes = Vec::new();
    if let Some(phase) = picture.phase() {
        let heard = Heard {
            file,
            scenario: picture.scenario(),
            phase,
            hearing: picture.hearing(),
            from: None,
            to: None,
        };
        // Memory does not refuse.
        heard.json(&mut bytes).ok();
    }
    String::from_utf8(bytes).unwrap_or_default()
}

/// Writes JSON on lines of its own, as the verbs do.
pub fn json_text(value: &Value) -> String {
    let text = serde_json::to_string_pretty(value).unwrap_or_default();
    format!("{text}\n")
}

fn items(out: &mut dyn Write, name: &str, items: impl Iterator<Item = String>) -> io::Result<()> {
    write!(out, "  \"{name}\": [")?;
    for (i, item) in items.enumerate() {
        let comma = if i == 0 { "" } else { "," };
        write!(out, "{comma}\n    {item}")?;
    }
    write!(out, "\n  ]")
}

/// Names a thing for programs.
pub fn thing_json(scenario: &Scenario, id: ThingId) -> Value {
    json!({
        "kind": id.kind().word(),
        "key": scenario.key(id),
        "name": scenario.name(id),
    })
}
