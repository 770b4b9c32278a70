//! Fields of a radio.

use std::sync::Arc;

use egui::Ui;

use super::air::key_ui;
use super::fields::{Form, Picked, section};
use super::people::{agencies, units};
use super::power::radio_power_ui;
use super::programming::programming_ui;
use crate::app::theme::{Sign, sign_button};
use crate::app::words::{Choice as _, sentence};
use crate::model::{
    Algorithm, Attachment, Band, ChannelId, Edit, Frequency, KeyRef, Mode, Radio, RadioId, Scenario,
};
use crate::sheets::codes::{frequency, frequency_text};

pub(super) fn radio_ui(form: &mut Form<'_, '_>, ui: &mut Ui, id: RadioId) {
    let s = Arc::clone(form.ctx.scenario);
    let Some(radio) = s.radios.get(id) else {
        return;
    };
    form.words(ui, "Name", &radio.name, radio, |r, text| r.name = text);
    whereabouts(form, ui, &s, radio);
    selection(form, ui, &s, radio);
    programming_ui(form, ui, &s, radio);
    let t = form.t();
    section(ui, t, "The set", None);
    form.words(ui, "Family", &radio.family, radio, |r, text| {
        r.family = text;
    });
    if let Some(Picked(owner)) = form.pick_or_none(ui, "Owner", radio.owner, "Nobody", agencies(&s))
    {
        form.replace(
            "owner",
            Radio {
                owner,
                ..radio.clone()
            },
        );
    }
    form.words(ui, "Connector", &radio.connector, radio, |r, text| {
        r.connector = text;
    });
    form.number(ui, ("Power", "W"), radio.power_w, radio, |r, n| {
        r.power_w = n;
    });
    radio_power_ui(form, ui, radio);
    let modes: Vec<(Mode, String)> = Mode::ALL
        .iter()
        .map(|m| (*m, sentence(m.words())))
        .collect();
    if let Some((mode, on)) = form.several(ui, "Modes", &modes, |m| radio.modes.contains(&m)) {
        let mut changed = radio.clone();
        if on {
            changed.modes.insert(mode);
        } else {
            changed.modes.remove(&mode);
        }
        form.replace("modes", changed);
    }
    bands(form, ui, radio);
    keys(form, ui, radio);
    form.notes(ui, &radio.notes, radio, |r, text| r.notes = text);
}

/// Who has it: a unit, a port, or nobody.
fn whereabouts(form: &mut Form<'_, '_>, ui: &mut Ui, s: &Scenario, radio: &Radio) {
    let port = form.ctx.phase().and_then(|p| p.port_of_radio(radio.id));
    if let Some(port) = port {
        form.link(ui, "Cabled to", port.into(), &s.name(port.into()));
        let cable = form.ctx.phase().and_then(|p| {
            p.attachments.get(&port).and_then(|a| match a {
                Attachment::Radio { cable, .. } => *cable,
                _ => None,
            })
        });
        let cables = s.cables.iter().map(|c| (c.id, c.name.clone()));
        if let Some(Picked(cable)) = form.pick_or_none(ui, "By cable", cable, "None chosen", cables)
        {
            let phase = form.ctx.shared.phase;
            form.ctx.apply(
                format!("Choose a cable for {}", radio.name),
                vec![Edit::Attach {
                    phase,
                    port,
                    attachment: Some(Attachment::Radio {
                        radio: radio.id,
                        cable,
                    }),
                }],
            );
        }
    }
    if let Some(Picked(unit)) = form.pick_or_none(ui, "Held by", radio.held_by, "Nobody", units(s))
    {
        form.ctx.apply(
            format!("Hand over {}", radio.name),
            vec![Edit::Hold {
                radio: radio.id,
                unit,
            }],
        );
    }
}

fn selection(form: &mut Form<'_, '_>, ui: &mut Ui, s: &Scenario, radio: &Radio) {
    let options: Vec<(ChannelId, String)> = radio
        .programmed
        .iter()
        .filter_map(|p| {
            let channel = s.channels.get(p.channel)?;
            Some((channel.id, p.label(channel).to_owned()))
        })
        .collect();
    let now = form.ctx.phase().and_then(|p| s.selected_channel(p, radio));
    if let Some(Picked(channel)) = form.pick_or_none(
        ui,
        "On, this phase",
        now,
        "No channel",
        options.iter().cloned(),
    ) {
        let phase = form.ctx.shared.phase;
        form.ctx.apply(
            format!("Select a channel on {}", radio.name),
            vec![Edit::Select {
                phase,
                radio: radio.id,
                channel,
            }],
        );
    }
    if let Some(Picked(selected)) = form.pick_or_none(
        ui,
        "On, otherwise",
        radio.selected,
        "No channel",
        options.into_iter(),
    ) {
        form.replace(
            "channel",
            Radio {
                selected,
                ..radio.clone()
            },
        );
    }
}

fn bands(form: &mut Form<'_, '_>, ui: &mut Ui, radio: &Radio) {
    let t = form.t();
    if section(ui, t, "Bands", Some("Add a band")) {
        let mut changed = radio.clone();
        changed.bands.push(Band {
            low: Frequency::from_hertz(136_000_000),
            high: Frequency::from_hertz(174_000_000),
        });
        form.replace("bands", changed);
    }
    if radio.bands.is_empty() {
        ui.weak("None listed: taken to cover every frequency");
    }
    for (i, band) in radio.bands.iter().enumerate() {
        let with = |band: Band| {
            let mut changed = radio.clone();
            if let Some(old) = changed.bands.get_mut(i) {
                *old = band;
            }
            vec![Edit::Replace(changed.into())]
        };
        let mut part = form.part(&format!("band{i}"));
        part.text(ui, "From", "MHz", &frequency_text(band.low), |text| {
            Ok(with(Band {
                low: frequency(text)?,
                ..*band
            }))
        });
        part.text(ui, "To", "MHz", &frequency_text(band.high), |text| {
            Ok(with(Band {
                high: frequency(text)?,
                ..*band
            }))
        });
        let name = format!("Take out the band {band}");
        if sign_button(ui, t, Sign::Trash, &name, true).clicked() {
            let mut changed = radio.clone();
            changed.bands.remove(i);
            form.replace("bands", changed);
        }
    }
}

fn keys(form: &mut Form<'_, '_>, ui: &mut Ui, radio: &Radio) {
    let t = form.t();
    if section(ui, t, "Keys loaded", Some("Load a key")) {
        let number = radio
            .keys
            .iter()
            .map(|k| k.number)
            .max()
            .map_or(1, |n| n.wrapping_add(1));
        form.ctx.apply(
            format!("Load a key into {}", radio.name),
            vec![Edit::LoadKey {
                radio: radio.id,
                key: KeyRef {
                    algorithm: Algorithm::AES_256,
                    number,
                },
            }],
        );
    }
    if radio.keys.is_empty() {
        ui.weak("None");
    }
    for (i, key) in radio.keys.iter().enumerate() {
        let mut part = form.part(&format!("key{i}"));
        if let Some(new) = key_ui(&mut part, ui, *key) {
            let mut changed = radio.clone();
            changed.keys.remove(key);
            changed.keys.insert(new);
            part.replace("keys", changed);
        }
        let name = format!("Take out {key}");
        if sign_button(ui, t, Sign::Trash, &name, true).clicked() {
            let mut changed = radio.clone();
            changed.keys.remove(key);
            form.replace("keys", changed);
        }
    }
}
