//! Ranges of every field, in one place: the gate refuses by it, and the file reader reports by it.

use std::fmt::Display;

use super::air::{AccessCode, Carrier, Conventional, KeyRef, Protection};
use super::gear::{Gateway, Keying};
use super::thing::Thing;
use super::units::{Frequency, Tone};

/// A field with a value outside its range.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct FieldProblem {
    /// Field, as files spell it.
    pub field: &'static str,
    /// What was found.
    pub found: String,
    /// What is allowed.
    pub expected: String,
}

/// Longest delay, buffer or hang time accepted, in milliseconds: a minute.
pub const LONGEST_MS: u32 = 60_000;

/// Lists every field of a thing that is outside its range.
pub fn field_problems(thing: &Thing) -> Vec<FieldProblem> {
    let mut out = Fields(Vec::new());
    out.text("name", thing.name());
    match thing {
        Thing::Phase(p) => out.number("hours", p.hours, 0.0, 10_000.0),
        Thing::Unit(u) => {
            out.whole("heads", u.heads, 1, 100_000);
            out.number("messages_per_hour", u.messages_per_hour, 0.0, 3600.0);
            out.number("seconds_per_message", u.seconds_per_message, 0.0, 3600.0);
        }
        Thing::System(s) => {
            out.whole("access_ms", s.access_ms, 0, LONGEST_MS);
            out.whole("latency_ms", s.latency_ms, 0, LONGEST_MS);
            out.whole("hang_ms", s.hang_ms, 0, LONGEST_MS);
            out.whole("talk_paths", s.talk_paths, 0, 10_000);
            out.number("coverage", s.coverage, 0.0, 1.0);
        }
        Thing::Channel(c) => {
            match &c.carrier {
                Carrier::Conventional(c) => conventional(&mut out, c),
                Carrier::Grouped { group, .. } => out.whole("group", *group, 1, 16_777_215),
            }
            protection(&mut out, c.protection);
        }
        Thing::Radio(r) => {
            out.number("power_w", r.power_w, 0.0, 10_000.0);
            if let Some(draw) = r.draw {
                out.number("transmit_ma", draw.transmit_ma, 0.0, 1_000_000.0);
                out.number("receive_ma", draw.receive_ma, 0.0, 1_000_000.0);
                out.number("standby_ma", draw.standby_ma, 0.0, 1_000_000.0);
            }
            for key in &r.keys {
                protection(&mut out, Protection::Always(*key));
            }
            for band in &r.bands {
                frequency(&mut out, "bands", band.low);
                frequency(&mut out, "bands", band.high);
                if band.low > band.high {
                    out.add("bands", band, "low end first");
                }
            }
            for entry in &r.programmed {
                for (field, f) in [("rx_mhz", entry.rx), ("tx_mhz", entry.tx)] {
                    if let Some(f) = f {
                        frequency(&mut out, field, f);
                    }
                }
                for code in [entry.rx_code, entry.tx_code].into_iter().flatten() {
                    access_code(&mut out, code);
                }
                if let Some(found) = entry.protection {
                    protection(&mut out, found);
                }
                if let Some(group) = entry.group {
                    out.whole("group", group, 1, 16_777_215);
                }
                if let Some(bandwidth) = entry.bandwidth_hz {
                    out.whole("bandwidth_khz", bandwidth, 1_000, 200_000);
                }
            }
        }
        Thing::Gateway(g) => gateway(&mut out, g),
        Thing::Tie(t) => out.whole("latency_ms", t.latency_ms, 0, LONGEST_MS),
        Thing::Telephone(t) => out.whole("latency_ms", t.latency_ms, 0, LONGEST_MS),
        Thing::Site(s) => {
            out.supply(s.supply_v);
            if let Some(celsius) = s.temperature_c {
                out.number("temperature_c", celsius, -60.0, 70.0);
            }
            for a in &s.antennas {
                out.number("height_m", a.height_m, 0.0, 1_000.0);
                out.number("east_m", a.east_m, -100_000.0, 100_000.0);
                out.number("north_m", a.north_m, -100_000.0, 100_000.0);
                out.number("gain_dbi", a.gain_dbi, -30.0, 40.0);
            }
        }
        Thing::Need(n) => {
            // What is not to be heard at all is neither late nor in clear.
            if n.keeps_apart() {
                if n.encrypted {
                    out.add("encrypted", "true", "false where two sides are kept apart");
                }
                if let Some(ms) = n.max_delay_ms {
                    out.add("max_delay_ms", ms, "none where two sides are kept apart");
                }
            }
            if let Some(ms) = n.max_delay_ms {
                out.whole("max_delay_ms", ms, 1, LONGEST_MS);
            }
        }
        Thing::Agency(_)
        | Thing::Headset(_)
        | Thing::Cable(_)
        | Thing::Stock(_)
        | Thing::Agreement(_) => {}
    }
    out.0
}

struct Fields(Vec<FieldProblem>);

impl Fields {
    fn add(&mut self, field: &'static str, found: impl Display, expected: &str) {
        self.0.push(FieldProblem {
            field,
            found: found.to_string(),
            expected: expected.to_owned(),
        });
    }

    fn text(&mut self, field: &'static str, text: &str) {
        if text.trim().is_empty() {
            self.add(field, "empty", "at least one letter");
        }
    }

    fn whole(&mut self, field: &'static str, value: u32, low: u32, high: u32) {
        if !(low..=high).contains(&value) {
            self.add(field, value, &format!("{low} to {high}"));
        }
    }

    fn supply(&mut self, supply_v: Option<(f64, f64)>) {
        if let Some((low, high)) = supply_v {
            self.number("supply_v", low, 0.0, high.clamp(0.0, 1_000.0));
            self.number("supply_v", high, 0.0, 1_000.0);
        }
    }

    fn number(&mut self, field: &'static str, value: f64, low: f64, high: f64) {
        if !(low..=high).contains(&value) {
            self.add(field, value, &format!("{low} to {high}"));
        }
    }
}

fn conventional(out: &mut Fields, c: &Conventional) {
    frequency(out, "rx_mhz", c.rx);
    frequency(out, "tx_mhz", c.tx);
    access_code(out, c.rx_code);
    access_code(out, c.tx_code);
    out.whole("bandwidth_khz", c.bandwidth_hz, 1_000, 200_000);
}

fn frequency(out: &mut Fields, field: &'static str, frequency: Frequency) {
    out.number(
        field,
        frequency.mhz(),
        Frequency::LOWEST_MHZ,
        Frequency::HIGHEST_MHZ,
    );
}

fn access_code(out: &mut Fields, code: AccessCode) {
    match code {
        AccessCode::Ctcss(tone) => {
            out.number("ctcss", tone.hz(), Tone::LOWEST_HZ, Tone::HIGHEST_HZ);
        }
        AccessCode::Dcs { code, .. } if code >= 0o1000 => {
            out.add("dcs", format!("{code:o}"), "three octal digits, 000 to 777");
        }
        AccessCode::Nac(nac) if nac >= 0x1000 => {
            out.add(
                "nac",
                format!("{nac:X}"),
                "three hexadecimal digits, 000 to FFF",
            );
        }
        _ => {}
    }
}

fn protection(out: &mut Fields, protection: Protection) {
    if let Some(KeyRef { algorithm, .. }) = protection.key()
        && algorithm.0 == 0x80
    {
        out.add(
            "algorithm",
            "$80",
            "a cipher; $80 is the P25 number for clear",
        );
    }
}

fn gateway(out: &mut Fields, g: &Gateway) {
    out.whole("latency_ms", g.latency_ms, 0, LONGEST_MS);
    if let Some(ma) = g.draw_ma {
        out.number("draw_ma", ma, 0.0, 1_000_000.0);
    }
    out.supply(g.supply_v);
    if let Some(cells) = g.cells {
        out.whole("count", cells.count, 1, 1_000);
        if let Some(end_v) = cells.end_v {
            out.number("end_v", end_v, 0.0, 1_000.0);
        }
    }
    for port in &g.ports {
        out.whole("port", port.number.into(), 1, 255);
        out.whole("buffer_ms", port.buffer_ms, 0, LONGEST_MS);
        if let Keying::VoiceOperated { attack_ms, hang_ms } = port.keying {
            out.whole("attack_ms", attack_ms, 0, LONGEST_MS);
            out.whole("hang_ms", hang_ms, 0, LONGEST_MS);
        }
        if g.ports.iter().filter(|p| p.number == port.number).count() > 1 {
            out.add(
                "port",
                port.number,
                "a number no other port of the gateway has",
            );
        }
    }
    for group in &g.talk_groups {
        out.whole("talk_group", group.number.into(), 1, 255);
        if g.talk_groups
            .iter()
            .filter(|t| t.number == group.number)
            .count()
            > 1
        {
            out.add(
                "talk_group",
                group.number,
                "a number no other talk group of the gateway has",
            );
        }
    }
}
