//! `figures`: the numbers behind the findings of one phase.
//!
//! Everything is worked out by the picture; this file chooses the order and prints.

use std::collections::BTreeMap;
use std::io::{self, Write};
use std::sync::Arc;

use serde_json::{Value as Json, json};

use crate::engineering::traffic::erlang_c::Waiting;
use crate::hearing::Item;
use crate::model::{ChannelId, PortRef, ThingId};
use crate::picture::resilience::{self, Breaks};
use crate::picture::site::{Disturbed, SiteView};
use crate::picture::timing::{self, PressAndWait};
use crate::picture::traffic::Net;
use crate::picture::{Picture, exposure, power};

use super::args::Figures;
use super::show::{BOLD, DIM, clean, json_lines, labelled, number};
use super::{Error, Outcome, done, open};

/// Products, needs and pairs that are printed of each site; JSON has all.
const MOST: usize = 8;

/// Prints every figure of a phase.
pub(super) fn run(args: &Figures, out: &mut dyn Write) -> Result<Outcome, Error> {
    let scenario = open::scenario(&args.file, out, args.json)?;
    let phase = open::phase(&scenario, args.phase.as_deref())?.id;
    let picture = Picture::new(Arc::new(scenario), phase);
    let on = On {
        waits: timing::press_and_wait(&picture),
        breaks: breaks(&picture),
        picture: &picture,
    };
    let written = if args.json {
        json_lines(out, &on.json(&args.file.display().to_string()))
    } else {
        on.text(out)
    };
    done(Outcome::Clean, written)
}

fn breaks(picture: &Picture) -> Vec<Breaks> {
    let needs = resilience::to_be_heard(picture.scenario());
    let ways = picture.need_ways();
    needs.map(|need| ways.breaks(picture, need)).collect()
}

struct On<'a> {
    picture: &'a Picture,
    waits: BTreeMap<ChannelId, PressAndWait>,
    breaks: Vec<Breaks>,
}

impl On<'_> {
    fn name(&self, id: impl Into<ThingId>) -> String {
        clean(&self.picture.scenario().name(id.into()))
    }

    fn key(&self, id: impl Into<ThingId>) -> String {
        self.picture.scenario().key(id.into())
    }

    /// The nets worth a line: talk groups first, then channels.
    fn nets(&self) -> impl Iterator<Item = (ThingId, &Net)> {
        let traffic = self.picture.traffic();
        let groups = traffic
            .groups
            .iter()
            .map(|(id, net)| (ThingId::from(*id), net));
        let channels = traffic.channels.iter();
        groups.chain(channels.map(|(id, net)| (ThingId::from(*id), net)))
    }

    fn wait_of(&self, net: ThingId) -> Option<u32> {
        match net {
            ThingId::Channel(id) => self.waits.get(&id).map(|w| w.wait_ms),
            _ => None,
        }
    }

    fn disturbed(&self, disturbed: Disturbed) -> String {
        match disturbed {
            Disturbed::Donor(port) => self.name(port),
            Disturbed::Listeners(channel) => {
                format!("radios on {} near the site", self.name(channel))
            }
        }
    }

    fn items(&self, items: &[Item]) -> Vec<String> {
        let names = items
            .iter()
            .map(|i| clean(&i.name(self.picture.scenario())));
        names.collect()
    }

    fn text(&self, out: &mut dyn Write) -> io::Result<()> {
        let phase = self.picture.phase().map_or("", |p| p.name.as_str());
        writeln!(out, "{BOLD}Figures{BOLD:#}: {}", clean(phase))?;
        self.nets_text(out)?;
        for site in self.picture.sites() {
            self.site_text(out, site)?;
        }
        self.power_text(out)?;
        self.needs_text(out)?;
        writeln!(
            out,
            "\n{DIM}Figures of practice are the scenario's own. A plan is proved only on the air.{DIM:#}"
        )
    }

    fn nets_text(&self, out: &mut dyn Write) -> io::Result<()> {
        writeln!(
            out,
            "\n{BOLD}Nets{BOLD:#}: own load, load with all that is joined, waiting"
        )?;
        for (id, net) in self.nets() {
            let own = match id {
                ThingId::Channel(_) => format!("{} of its own, ", number(net.own_erl)),
                _ => String::new(),
            };
            let mut text = format!(
                "{own}{} erlang in all, {}; {} of {}",
                number(net.all_erl),
                waiting(net.now),
                counted(net.people as usize, "person", "people"),
                counted(net.agencies.len(), "agency", "agencies")
            );
            if net.waits_long >= 0.005 {
                text.push_str(&format!(
                    "; {:.0} % wait longer than {} s",
                    net.waits_long * 100.0,
                    number(self.picture.scenario().practice.wait_most_s)
                ));
            }
            if let Some(ms) = self.wait_of(id) {
                let tenths = f64::from(ms.div_ceil(100)) / 10.0;
                text.push_str(&format!("; press, wait {tenths:.1} s, then speak"));
            }
            entry(out, &self.name(id), &text)?;
        }
        for (id, system) in &self.picture.traffic().systems {
            let text = format!(
                "{} of its own, {} erlang in all on {} talk paths, {}",
                number(system.own_erl),
                number(system.all_erl),
                system.talk_paths,
                waiting(system.now)
            );
            entry(out, &self.name(*id), &text)?;
        }
        Ok(())
    }

    fn site_text(&self, out: &mut dyn Write, site: &SiteView) -> io::Result<()> {
        writeln!(out, "\n{BOLD}Site{BOLD:#}: {}", self.name(site.site))?;
        for d in site.desense.iter().take(MOST) {
            let assumed = if d.assumed { ", spacing assumed" } else { "" };
            let text = format!(
                "{} dBm from {}, {} dB isolation{assumed}; {} dB more wanted",
                number1(d.arrives.0),
                self.name(d.from),
                number1(d.isolation.loss.0),
                number1(d.missing.0)
            );
            entry(out, &self.name(d.to), &text)?;
        }
        for p in site.products.iter().take(MOST) {
            let signals: Vec<String> = p
                .terms
                .iter()
                .map(|(times, port)| format!("{times} x {}", self.name(*port)))
                .collect();
            let when = match p.together {
                Some(group) => format!("keyed together by {}", self.name(group)),
                None => "when both talk groups speak".to_owned(),
            };
            let text = format!(
                "order {} product of {} at {}, {} kHz off, {when}",
                p.order,
                signals.join(", "),
                p.at,
                number(p.offset_hz as f64 / 1e3)
            );
            entry(out, &self.disturbed(p.disturbed), &text)?;
        }
        for h in site.harmonics.iter().take(MOST) {
            let text = format!("harmonic {} of {}", h.multiple, self.name(h.from));
            entry(out, &self.disturbed(h.disturbed), &text)?;
        }
        if !site.exposure.rings.is_empty() {
            let text = format!(
                "public limit met beyond {:.2} m, occupational beyond {:.2} m, all antennas together",
                exposure::keep_m(site.exposure.public_m),
                exposure::keep_m(site.exposure.occupational_m)
            );
            entry(out, "exposure", &text)?;
            labelled(out, 4, "caution", exposure::CAUTION)?;
        }
        Ok(())
    }

    fn power_text(&self, out: &mut dyn Write) -> io::Result<()> {
        let power = self.picture.power();
        if power.gateways.is_empty() && power.donors.is_empty() {
            return Ok(());
        }
        let phase_h = number(power.phase_h);
        writeln!(out, "\n{BOLD}Power{BOLD:#}: the phase lasts {phase_h} h")?;
        for g in &power.gateways {
            let outside = if g.is_supplied() {
                "supplied from outside; inside "
            } else {
                ""
            };
            let text = format!(
                "{outside}{}",
                lasts(g.inside_h, g.sets, &g.changes_h, "set")
            );
            entry(out, &self.name(g.gateway), &text)?;
        }
        for d in power.donors.iter().filter(|d| !d.is_supplied) {
            let text = format!(
                "transmits {:.0} % of the time, {} mA on average; {}",
                d.shares.transmit * 100.0,
                number1(d.average_ma),
                lasts(d.own_h, d.batteries, &d.changes_h, "battery")
            );
            entry(out, &self.name(d.radio), &text)?;
        }
        labelled(out, 4, "caution", power::CAUTION)
    }

    fn needs_text(&self, out: &mut dyn Write) -> io::Result<()> {
        if self.breaks.is_empty() {
            return Ok(());
        }
        writeln!(out, "\n{BOLD}Needs{BOLD:#}: what each hangs on")?;
        for breaks in &self.breaks {
            if breaks.ways.is_empty() {
                entry(out, &self.name(breaks.need), "not met as it stands")?;
                continue;
            }
            let singles = match self.items(&breaks.singles) {
                none if none.is_empty() => "nothing alone cuts it".to_owned(),
                some => format!("cut by any of {}", some.join(", ")),
            };
            let chance = breaks.chance.map_or_else(String::new, |c| {
                let error = c
                    .error
                    .map_or_else(String::new, |e| format!(" (standard error {e:.4})"));
                format!("; met with probability {:.4}{error}", c.value)
            });
            let doubles = match breaks.doubles.len() {
                0 => String::new(),
                n => format!(
                    "; by {}",
                    counted(n, "pair of failures", "pairs of failures")
                ),
            };
            let text = format!("{singles}{doubles}; depth {}{chance}", breaks.depth());
            entry(out, &self.name(breaks.need), &text)?;
        }
        Ok(())
    }

    fn json(&self, file: &str) -> Json {
        let scenario = self.picture.scenario();
        let nets: Vec<Json> = self
            .nets()
            .map(|(id, net)| self.net_json(id, net))
            .collect();
        let systems = self.picture.traffic().systems.iter();
        let systems: Vec<Json> = systems
            .map(|(id, s)| {
                let (probability, mean_s, grows) = parts(s.now);
                json!({
                    "key": self.key(*id), "name": scenario.name((*id).into()),
                    "talk_paths": s.talk_paths, "own_erl": s.own_erl, "load_erl": s.all_erl,
                    "wait_probability": probability, "mean_wait_s": mean_s,
                    "grows_without_end": grows,
                })
            })
            .collect();
        let sites: Vec<Json> = self
            .picture
            .sites()
            .iter()
            .map(|s| self.site_json(s))
            .collect();
        let power = self.picture.power();
        let gateways: Vec<Json> = power
            .gateways
            .iter()
            .map(|g| {
                json!({
                    "key": self.key(g.gateway), "name": scenario.name(g.gateway.into()),
                    "supplied": g.is_supplied(), "inside_h": g.inside_h, "sets": g.sets,
                    "cells": g.cells, "changes_h": g.changes_h,
                })
            })
            .collect();
        let donors: Vec<Json> = power
            .donors
            .iter()
            .map(|d| {
                json!({
                    "port": self.key(d.port), "key": self.key(d.radio),
                    "transmit_share": d.shares.transmit, "receive_share": d.shares.receive,
                    "average_ma": d.average_ma, "supplied": d.is_supplied, "own_h": d.own_h,
                    "label_h": d.label_h, "batteries": d.batteries, "changes_h": d.changes_h,
                })
            })
            .collect();
        json!({
            "file": file,
            "phase": self.picture.phase().map(|p| p.key.as_str()),
            "nets": nets,
            "systems": systems,
            "sites": sites,
            "gateways": gateways,
            "donors": donors,
            "needs": self.breaks.iter().map(|b| self.need_json(b)).collect::<Vec<_>>(),
            "cautions": [exposure::CAUTION, power::CAUTION],
        })
    }

    fn net_json(&self, id: ThingId, net: &Net) -> Json {
        let (probability, mean_s, grows) = parts(net.now);
        let before = parts(net.before);
        json!({
            "kind": id.kind().word(), "key": self.key(id),
            "name": self.picture.scenario().name(id),
            "own_erl": net.own_erl, "load_erl": net.all_erl,
            "wait_probability": probability, "mean_wait_s": mean_s, "grows_without_end": grows,
            "waits_long": net.waits_long,
            "before": {"wait_probability": before.0, "mean_wait_s": before.1},
            "few": net.few.map(|f| json!({
                "utilisation": f.utilisation, "wait_probability": f.wait_probability,
                "mean_wait_s": f.mean_wait_s,
            })),
            "people": net.people, "units": net.units.len(), "agencies": net.agencies.len(),
            "press_and_wait_ms": self.wait_of(id),
        })
    }

    fn site_json(&self, site: &SiteView) -> Json {
        let key = |port: PortRef| self.key(port);
        let disturbs = |d: Disturbed| match d {
            Disturbed::Donor(port) => key(port),
            Disturbed::Listeners(channel) => self.key(channel),
        };
        let rings = site.exposure.rings.iter().map(|r| {
            json!({
                "port": key(r.port), "duty": r.duty, "eirp_w": r.eirp_w,
                "public_m": r.public_m, "occupational_m": r.occupational_m,
            })
        });
        let desense = site.desense.iter().map(|d| {
            json!({
                "from": key(d.from), "to": key(d.to), "isolation_db": d.isolation.loss.0,
                "arrives_dbm": d.arrives.0, "missing_db": d.missing.0, "assumed": d.assumed,
            })
        });
        let products = site.products.iter().map(|p| {
            let signals: Vec<Json> = p
                .terms
                .iter()
                .map(|(times, port)| json!({"times": times, "port": key(*port)}))
                .collect();
            json!({
                "order": p.order, "signals": signals, "at_mhz": p.at.mhz(),
                "disturbs": disturbs(p.disturbed), "offset_khz": p.offset_hz as f64 / 1e3,
                "level_dbm": p.level.map(|l| l.0), "together": p.together.map(|g| self.key(g)),
            })
        });
        let harmonics = site.harmonics.iter().map(|h| {
            json!({
                "times": h.multiple, "port": key(h.from), "disturbs": disturbs(h.disturbed),
                "offset_khz": h.offset_hz as f64 / 1e3,
            })
        });
        json!({
            "key": self.key(site.site), "name": self.picture.scenario().name(site.site.into()),
            "public_m": site.exposure.public_m, "occupational_m": site.exposure.occupational_m,
            "rings": rings.collect::<Vec<_>>(),
            "missing_isolation": desense.collect::<Vec<_>>(),
            "products": products.collect::<Vec<_>>(),
            "harmonics": harmonics.collect::<Vec<_>>(),
        })
    }

    fn need_json(&self, breaks: &Breaks) -> Json {
        let doubles: Vec<Vec<String>> = breaks
            .doubles
            .iter()
            .map(|(a, b)| self.items(&[*a, *b]))
            .collect();
        let spare = breaks.spare_channels.iter().map(|c| self.key(*c));
        json!({
            "key": self.key(breaks.need), "name": self.picture.scenario().name(breaks.need.into()),
            "singles": self.items(&breaks.singles), "doubles": doubles,
            "smallest_cut": breaks.smallest_cut, "whole": breaks.whole,
            "probability": breaks.chance.map(|c| c.value),
            "standard_error": breaks.chance.and_then(|c| c.error),
            "depth": breaks.depth(),
            "spare_channels": spare.collect::<Vec<_>>(),
        })
    }
}

fn counted(count: usize, one: &str, many: &str) -> String {
    format!("{count} {}", if count == 1 { one } else { many })
}

fn entry(out: &mut dyn Write, name: &str, text: &str) -> io::Result<()> {
    writeln!(out, "  {BOLD}{name}{BOLD:#}")?;
    labelled(out, 4, "", text)
}

/// Probability of waiting, mean wait in seconds, and whether the queue grows without end.
fn parts(waiting: Waiting) -> (f64, Option<f64>, bool) {
    match waiting {
        Waiting::Settles {
            probability,
            mean_wait_s,
        } => (probability, Some(mean_wait_s), false),
        Waiting::GrowsWithoutEnd => (1.0, None, true),
    }
}

fn waiting(waiting: Waiting) -> String {
    match parts(waiting) {
        (probability, Some(mean_s), _) => format!(
            "{:.0} % wait, {} s on average",
            probability * 100.0,
            number1(mean_s)
        ),
        _ => "the queue grows without end".to_owned(),
    }
}

fn lasts(hours: Option<f64>, sets: Option<u32>, changes_h: &[f64], word: &str) -> String {
    let (Some(hours), Some(sets)) = (hours, sets) else {
        return "hours unknown".to_owned();
    };
    let words = match (word, sets) {
        (word, 1) => word.to_owned(),
        ("battery", _) => "batteries".to_owned(),
        (word, _) => format!("{word}s"),
    };
    let mut text = format!("{} h, {sets} {words} for the phase", number1(hours));
    if !changes_h.is_empty() {
        let at: Vec<String> = changes_h.iter().take(MOST).map(|h| number1(*h)).collect();
        let more = if changes_h.len() > MOST {
            " and so on"
        } else {
            ""
        };
        text.push_str(&format!(", change after {} h{more}", at.join(", ")));
    }
    text
}

fn number1(value: f64) -> String {
    number((value * 10.0).round() / 10.0)
}
