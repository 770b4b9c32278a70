//! What is programmed into a radio: a line for each channel, opened for its deviations.

use egui::{RichText, Ui};

use super::air::protection_ui;
use super::fields::{DetailsState, Form, Picked, section, whole_number};
use crate::app::theme::{Sign, card, semibold, sign_button, sign_label};
use crate::app::words::{Choice as _, sentence};
use crate::model::{
    Carrier, Channel, ChannelId, Edit, Fact, Mode, Programmed, Protection, Radio, Scenario,
    Verified,
};
use crate::sheets::codes::{bandwidth, bandwidth_text, code, code_text, frequency, frequency_text};

/// The programming of a radio.
pub(super) fn programming_ui(form: &mut Form<'_, '_>, ui: &mut Ui, s: &Scenario, radio: &Radio) {
    let t = form.t();
    section(ui, t, "Programmed channels", None);
    for entry in &radio.programmed {
        if let Some(channel) = s.channels.get(entry.channel) {
            card(ui, t, |ui| entry_ui(form, ui, radio, entry, channel));
        }
    }
    let free: Vec<(ChannelId, String)> = s
        .channels
        .iter()
        .filter(|c| radio.entry(c.id).is_none())
        .map(|c| (c.id, c.name.clone()))
        .collect();
    if free.is_empty() {
        return;
    }
    if let Some(Picked(Some(channel))) =
        form.pick_or_none(ui, "Program", None, "Choose a channel", free.into_iter())
    {
        form.ctx.apply(
            format!("Program a channel into {}", radio.name),
            vec![Edit::Program {
                radio: radio.id,
                entry: Programmed::as_defined(channel),
            }],
        );
    }
}

fn deviations(entry: &Programmed) -> usize {
    [
        entry.label.is_some(),
        entry.rx.is_some(),
        entry.tx.is_some(),
        entry.rx_code.is_some(),
        entry.tx_code.is_some(),
        entry.mode.is_some(),
        entry.bandwidth_hz.is_some(),
        entry.group.is_some(),
        entry.protection.is_some(),
        entry.encrypted_only.is_some(),
    ]
    .into_iter()
    .filter(|d| *d)
    .count()
}

fn entry_ui(
    form: &mut Form<'_, '_>,
    ui: &mut Ui,
    radio: &Radio,
    entry: &Programmed,
    channel: &Channel,
) {
    let t = form.t();
    let is_open = form.state.open_entry == Some(channel.id);
    ui.horizontal(|ui| {
        let (sign, verb) = if is_open {
            (Sign::ChevronDown, "Close")
        } else {
            (Sign::ChevronRight, "Open")
        };
        let name = format!("{verb} the programming of {}", channel.name);
        if sign_button(ui, t, sign, &name, true).clicked() {
            form.state.open_entry = if is_open { None } else { Some(channel.id) };
        }
        ui.vertical(|ui| {
            ui.spacing_mut().item_spacing.y = 0.0;
            ui.label(RichText::new(entry.label(channel)).font(semibold(13.5)));
            let verified = entry.verified.len();
            let words = match deviations(entry) {
                0 => "as defined".to_owned(),
                1 => "1 deviation".to_owned(),
                n => format!("{n} deviations"),
            };
            ui.label(
                RichText::new(format!("{words}, {verified} of 4 facts verified"))
                    .size(12.0)
                    .color(t.faint),
            );
        });
        ui.with_layout(egui::Layout::right_to_left(egui::Align::Center), |ui| {
            let name = format!("Take {} out", channel.name);
            if sign_button(ui, t, Sign::Trash, &name, true).clicked() {
                form.ctx.apply(
                    format!("Take {} out of {}", channel.name, radio.name),
                    vec![Edit::Unprogram {
                        radio: radio.id,
                        channel: channel.id,
                    }],
                );
            }
            let mut scans = radio.scans.contains(&channel.id);
            if ui.checkbox(&mut scans, "scan").changed() {
                let mut changed = radio.clone();
                if scans {
                    changed.scans.insert(channel.id);
                } else {
                    changed.scans.remove(&channel.id);
                }
                form.replace("scanning", changed);
            }
        });
    });
    if is_open {
        let mut part = form.part(&format!("entry{}", channel.id.0));
        opened(&mut part, ui, radio, entry, channel);
    }
}

/// Edits that put another version of an entry into a radio.
fn program(radio: &Radio, entry: Programmed) -> Vec<Edit> {
    vec![Edit::Program {
        radio: radio.id,
        entry,
    }]
}

fn opened(
    form: &mut Form<'_, '_>,
    ui: &mut Ui,
    radio: &Radio,
    entry: &Programmed,
    channel: &Channel,
) {
    let t = form.t();
    ui.label(
        RichText::new("An empty field is as the channel is defined.")
            .size(12.0)
            .color(t.faint),
    );
    let with = |change: &dyn Fn(&mut Programmed)| {
        let mut new = entry.clone();
        change(&mut new);
        program(radio, new)
    };
    let label = entry.label.clone().unwrap_or_default();
    form.text(ui, "Reads", "", &label, |text| {
        let label = (!text.trim().is_empty()).then(|| text.to_owned());
        Ok(with(&|e| e.label.clone_from(&label)))
    });
    match &channel.carrier {
        Carrier::Conventional(_) => frequencies(form, ui, radio, entry),
        Carrier::Grouped { .. } => {
            let now = entry.group.map_or_else(String::new, |g| g.to_string());
            form.text(ui, "Group number", "", &now, |text| {
                let group = optional(text, whole_number)?;
                Ok(with(&|e| e.group = group))
            });
        }
    }
    let modes = Mode::ALL.iter().map(|m| (*m, sentence(m.words())));
    if let Some(Picked(mode)) = form.pick_or_none(ui, "Mode", entry.mode, "As defined", modes) {
        form.ctx.apply(
            format!("Change the mode in {}", radio.name),
            with(&|e| e.mode = mode),
        );
    }
    if let Some(own) = form.check(ui, "Encryption of its own", entry.protection.is_some()) {
        let protection = own.then_some(channel.protection);
        form.ctx.apply(
            format!("Change encryption in {}", radio.name),
            with(&|e| e.protection = protection),
        );
    }
    if let Some(now) = entry.protection
        && let Some(protection) = protection_ui(form, ui, now)
    {
        form.ctx.apply(
            format!("Change encryption in {}", radio.name),
            with(&|e| e.protection = Some(protection)),
        );
    }
    let mute = [
        (None, "As defined".to_owned()),
        (Some(true), "Muted".to_owned()),
        (Some(false), "Heard".to_owned()),
    ];
    if let Some(only) = form.pick(ui, "Clear traffic", entry.encrypted_only, &mute) {
        form.ctx.apply(
            format!("Change what {} hears", radio.name),
            with(&|e| e.encrypted_only = only),
        );
    }
    let protection = entry.protection.unwrap_or(channel.protection);
    if matches!(protection, Protection::Optional(_))
        && let Some(secure) = form.check(ui, "Secure switch on", entry.secure)
    {
        form.ctx.apply(
            format!("Turn the secure switch of {}", radio.name),
            with(&|e| e.secure = secure),
        );
    }
    if let Some(receive_only) = form.check(ui, "Listens only", entry.receive_only) {
        form.ctx.apply(
            format!("Change what {} may send", radio.name),
            with(&|e| e.receive_only = receive_only),
        );
    }
    facts(form, ui, radio, entry);
}

fn optional<V>(
    text: &str,
    read: impl FnOnce(&str) -> Result<V, String>,
) -> Result<Option<V>, String> {
    if text.trim().is_empty() {
        Ok(None)
    } else {
        read(text).map(Some)
    }
}

fn frequencies(form: &mut Form<'_, '_>, ui: &mut Ui, radio: &Radio, entry: &Programmed) {
    let with = |change: &dyn Fn(&mut Programmed)| {
        let mut new = entry.clone();
        change(&mut new);
        program(radio, new)
    };
    let mhz = |f: Option<crate::model::Frequency>| f.map_or_else(String::new, frequency_text);
    form.text(ui, "Receive", "MHz", &mhz(entry.rx), |text| {
        let rx = optional(text, frequency)?;
        Ok(with(&|e| e.rx = rx))
    });
    form.text(ui, "Transmit", "MHz", &mhz(entry.tx), |text| {
        let tx = optional(text, frequency)?;
        Ok(with(&|e| e.tx = tx))
    });
    let shown = |c: Option<crate::model::AccessCode>| c.map_or_else(String::new, code_text);
    form.text(ui, "Receive code", "", &shown(entry.rx_code), |text| {
        let rx_code = optional(text, code)?;
        Ok(with(&|e| e.rx_code = rx_code))
    });
    form.text(ui, "Transmit code", "", &shown(entry.tx_code), |text| {
        let tx_code = optional(text, code)?;
        Ok(with(&|e| e.tx_code = tx_code))
    });
    let khz = entry.bandwidth_hz.map_or_else(String::new, bandwidth_text);
    form.text(ui, "Bandwidth", "kHz", &khz, |text| {
        let hz = optional(text, bandwidth)?;
        Ok(with(&|e| e.bandwidth_hz = hz))
    });
}

/// The facts that somebody has verified on the set, or has not.
fn facts(form: &mut Form<'_, '_>, ui: &mut Ui, radio: &Radio, entry: &Programmed) {
    let t = form.t();
    ui.add_space(4.0);
    ui.label(RichText::new("Verified on the set").font(semibold(12.5)));
    for fact in Fact::ALL {
        let known = entry.verified.get(&fact);
        ui.horizontal(|ui| {
            let (sign, ink) = match known {
                Some(_) => (Sign::Tick, t.good.ink),
                None => (Sign::Notes, t.faint),
            };
            sign_label(ui, sign, 14.0, ink);
            let mut on = known.is_some();
            let words = match known {
                Some(v) => format!("{}, by {} on {}", sentence(fact.word()), v.by, v.when()),
                None => format!("{}: assumed", sentence(fact.word())),
            };
            if ui.checkbox(&mut on, words).changed() {
                let mut new = entry.clone();
                if on {
                    let by = verifier(form.state);
                    let (on, at) = (form.ctx.today.to_owned(), form.ctx.time.to_owned());
                    new.verified.insert(fact, Verified { by, on, at });
                } else {
                    new.verified.remove(&fact);
                }
                form.ctx.apply(
                    format!("Verify the {} in {}", fact.word(), radio.name),
                    program(radio, new),
                );
            }
        });
    }
    ui.horizontal(|ui| {
        let label = ui.label(RichText::new("Verified by").size(12.5).color(t.soft));
        ui.add(
            egui::TextEdit::singleline(&mut form.state.verifier)
                .hint_text("name")
                .desired_width(160.0),
        )
        .labelled_by(label.id);
    });
}

fn verifier(state: &DetailsState) -> String {
    let name = state.verifier.trim();
    if name.is_empty() {
        "planner".to_owned()
    } else {
        name.to_owned()
    }
}
