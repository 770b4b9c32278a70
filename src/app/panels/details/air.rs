//! Fields of systems and channels, and of encryption wherever it stands.

use std::sync::Arc;

use egui::Ui;

use super::fields::{Form, Picked, link_ui, section, whole_number};
use super::people::percent;
use crate::app::action::Action;
use crate::app::shelf::Article;
use crate::app::words::{Choice as _, sentence};
use crate::model::{
    Algorithm, Carrier, Channel, ChannelId, Conventional, Edit, KeyRef, Mode, Protection, Role,
    System, SystemId,
};
use crate::sheets::codes::{
    ALGORITHMS, bandwidth, bandwidth_text, code, code_text, frequency, frequency_text,
};

pub(super) fn system_ui(form: &mut Form<'_, '_>, ui: &mut Ui, id: SystemId) {
    let s = Arc::clone(form.ctx.scenario);
    let Some(system) = s.systems.get(id) else {
        return;
    };
    form.words(ui, "Name", &system.name, system, |x, text| x.name = text);
    if let Some(kind) = form.choice(ui, "Kind", system.kind) {
        form.replace(
            "kind",
            System {
                kind,
                ..system.clone()
            },
        );
    }
    form.whole(
        ui,
        ("Access time", "ms"),
        system.access_ms,
        system,
        |x, n| x.access_ms = n,
    );
    form.whole(ui, ("Delay", "ms"), system.latency_ms, system, |x, n| {
        x.latency_ms = n;
    });
    form.whole(ui, ("Hang time", "ms"), system.hang_ms, system, |x, n| {
        x.hang_ms = n;
    });
    form.whole(
        ui,
        ("Talk paths", "at once"),
        system.talk_paths,
        system,
        |x, n| x.talk_paths = n,
    );
    percent(form, ui, "Coverage", system.coverage, system, |x, n| {
        x.coverage = n;
    });
    form.notes(ui, &system.notes, system, |x, text| x.notes = text);
    let t = form.t();
    if section(ui, t, "Channels", Some("Add a channel to this system")) {
        form.ctx.push(Action::Add {
            article: Article::Channel,
            at: None,
            on: Some(id.into()),
        });
    }
    for channel in s.channels.iter().filter(|c| c.system == id) {
        link_ui(form.ctx, ui, channel.id.into(), &channel.name);
    }
}

pub(super) fn channel_ui(form: &mut Form<'_, '_>, ui: &mut Ui, id: ChannelId) {
    let s = Arc::clone(form.ctx.scenario);
    let Some(channel) = s.channels.get(id) else {
        return;
    };
    form.words(ui, "Name", &channel.name, channel, |c, text| c.name = text);
    let systems: Vec<(SystemId, String)> = s
        .systems
        .iter()
        .filter(|x| x.kind.is_conventional() == channel.conventional().is_some())
        .map(|x| (x.id, x.name.clone()))
        .collect();
    if let Some(system) = form.pick(ui, "System", channel.system, &systems) {
        form.replace(
            "system",
            Channel {
                system,
                ..channel.clone()
            },
        );
    }
    match channel.carrier {
        Carrier::Conventional(c) => conventional(form, ui, channel, c),
        Carrier::Grouped { group, mode } => {
            let now = channel.clone();
            form.text(ui, "Group number", "", &group.to_string(), |text| {
                let group = whole_number(text)?;
                let carrier = Carrier::Grouped { group, mode };
                Ok(vec![Edit::Replace(Channel { carrier, ..now }.into())])
            });
            if let Some(mode) = form.choice::<Mode>(ui, "Mode", mode) {
                let carrier = Carrier::Grouped { group, mode };
                form.replace(
                    "mode",
                    Channel {
                        carrier,
                        ..channel.clone()
                    },
                );
            }
        }
    }
    if let Some(protection) = protection_ui(form, ui, channel.protection) {
        form.replace(
            "encryption",
            Channel {
                protection,
                ..channel.clone()
            },
        );
    }
    if let Some(encrypted_only) = form.check(ui, "Mute on clear traffic", channel.encrypted_only) {
        form.replace(
            "mute on clear traffic",
            Channel {
                encrypted_only,
                ..channel.clone()
            },
        );
    }
    let roles = Role::ALL.iter().map(|r| (*r, sentence(r.words())));
    if let Some(Picked(purpose)) =
        form.pick_or_none(ui, "Used for", channel.purpose, "Not said", roles)
    {
        form.replace(
            "use",
            Channel {
                purpose,
                ..channel.clone()
            },
        );
    }
    form.notes(ui, &channel.notes, channel, |c, text| c.notes = text);
    let t = form.t();
    section(ui, t, "Radios on it in this phase", None);
    let Some(phase) = form.ctx.phase().cloned() else {
        return;
    };
    let mut any = false;
    for radio in s.radios.iter() {
        if s.selected_channel(&phase, radio) == Some(id) {
            any = true;
            let holder = radio.held_by.and_then(|u| s.units.get(u));
            let words = match (phase.port_of_radio(radio.id), holder) {
                (Some(port), _) => format!("{}, at {}", radio.name, s.name(port.into())),
                (None, Some(unit)) => format!("{}, with {}", radio.name, unit.name),
                (None, None) => radio.name.clone(),
            };
            link_ui(form.ctx, ui, radio.id.into(), &words);
        }
    }
    if !any {
        ui.weak("None");
    }
}

fn conventional(form: &mut Form<'_, '_>, ui: &mut Ui, channel: &Channel, c: Conventional) {
    let with = |c: Conventional| {
        vec![Edit::Replace(
            Channel {
                carrier: Carrier::Conventional(c),
                ..channel.clone()
            }
            .into(),
        )]
    };
    form.text(ui, "Receive", "MHz", &frequency_text(c.rx), |text| {
        let rx = frequency(text)?;
        // On one frequency both ways it stays one frequency until somebody says otherwise.
        let tx = if c.tx == c.rx { rx } else { c.tx };
        Ok(with(Conventional { rx, tx, ..c }))
    });
    form.text(ui, "Transmit", "MHz", &frequency_text(c.tx), |text| {
        Ok(with(Conventional {
            tx: frequency(text)?,
            ..c
        }))
    });
    form.text(ui, "Receive code", "", &code_text(c.rx_code), |text| {
        Ok(with(Conventional {
            rx_code: code(text)?,
            ..c
        }))
    });
    form.text(ui, "Transmit code", "", &code_text(c.tx_code), |text| {
        Ok(with(Conventional {
            tx_code: code(text)?,
            ..c
        }))
    });
    if let Some(mode) = form.choice(ui, "Mode", c.mode) {
        form.ctx.apply(
            format!("Change mode of {}", channel.name),
            with(Conventional { mode, ..c }),
        );
    }
    if let Some(mixed) = form.check(ui, "Receives analogue FM too", c.mixed) {
        form.ctx.apply(
            format!("Change mode of {}", channel.name),
            with(Conventional { mixed, ..c }),
        );
    }
    form.text(
        ui,
        "Bandwidth",
        "kHz",
        &bandwidth_text(c.bandwidth_hz),
        |text| {
            Ok(with(Conventional {
                bandwidth_hz: bandwidth(text)?,
                ..c
            }))
        },
    );
}

/// The kind of protection, without its key.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Guard {
    Clear,
    Optional,
    Always,
}

/// The fields of encryption; returns the new one.
pub(super) fn protection_ui(
    form: &mut Form<'_, '_>,
    ui: &mut Ui,
    now: Protection,
) -> Option<Protection> {
    let guard = match now {
        Protection::Clear => Guard::Clear,
        Protection::Optional(_) => Guard::Optional,
        Protection::Always(_) => Guard::Always,
    };
    let options = [
        (Guard::Clear, "Never".to_owned()),
        (Guard::Optional, "By the radio's switch".to_owned()),
        (Guard::Always, "Always".to_owned()),
    ];
    let key = now.key().unwrap_or(KeyRef {
        algorithm: Algorithm::AES_256,
        number: 1,
    });
    let with = |guard: Guard, key: KeyRef| match guard {
        Guard::Clear => Protection::Clear,
        Guard::Optional => Protection::Optional(key),
        Guard::Always => Protection::Always(key),
    };
    if let Some(chosen) = form.pick(ui, "Encrypted", guard, &options) {
        return Some(with(chosen, key));
    }
    if guard == Guard::Clear {
        return None;
    }
    key_ui(form, ui, key).map(|key| with(guard, key))
}

/// The fields of a key; returns the new one.
pub(super) fn key_ui(form: &mut Form<'_, '_>, ui: &mut Ui, now: KeyRef) -> Option<KeyRef> {
    let mut algorithms: Vec<(Algorithm, String)> =
        ALGORITHMS.iter().map(|a| (*a, a.to_string())).collect();
    if !ALGORITHMS.contains(&now.algorithm) {
        algorithms.push((now.algorithm, now.algorithm.to_string()));
    }
    let mut out = form
        .pick(ui, "Cipher", now.algorithm, &algorithms)
        .map(|algorithm| KeyRef { algorithm, ..now });
    let mut typed = None;
    form.text(ui, "Key number", "", &now.number.to_string(), |text| {
        let number: u16 = text
            .trim()
            .parse()
            .map_err(|_number| "A key number from 0 to 65535".to_owned())?;
        typed = Some(KeyRef { number, ..now });
        Ok(Vec::new())
    });
    if let Some(key) = typed.filter(|k| *k != now) {
        out = Some(key);
    }
    out
}
