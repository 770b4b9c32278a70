//! Fields of agencies, units, needs and agreements.

use egui::Ui;

use super::fields::{Form, Picked, link_ui, number, plain, section};
use crate::app::action::{Action, Hold};
use crate::app::shelf::Article;
use crate::app::theme::text_button;
use crate::model::{
    Agency, AgencyId, Agreement, AgreementId, ChannelId, Edit, Need, NeedId, Party, Scenario,
    ThingId, Unit, UnitId, Way,
};

/// Lists agencies to choose from.
pub(super) fn agencies(s: &Scenario) -> impl Iterator<Item = (AgencyId, String)> + '_ {
    s.agencies.iter().map(|a| (a.id, a.name.clone()))
}

/// Lists units to choose from.
pub(super) fn units(s: &Scenario) -> impl Iterator<Item = (UnitId, String)> + '_ {
    s.units.iter().map(|u| (u.id, u.name.clone()))
}

pub(super) fn agency_ui(form: &mut Form<'_, '_>, ui: &mut Ui, id: AgencyId) {
    let s = std::sync::Arc::clone(form.ctx.scenario);
    let Some(agency) = s.agencies.get(id) else {
        return;
    };
    form.words(ui, "Name", &agency.name, agency, |a, text| a.name = text);
    form.words(ui, "Short name", &agency.short, agency, |a, text| {
        a.short = text;
    });
    if let Some(discipline) = form.choice(ui, "Trade", agency.discipline) {
        form.replace(
            "trade",
            Agency {
                discipline,
                ..agency.clone()
            },
        );
    }
    if let Some(level) = form.choice(ui, "Level", agency.level) {
        form.replace(
            "level",
            Agency {
                level,
                ..agency.clone()
            },
        );
    }
    form.notes(ui, &agency.notes, agency, |a, text| a.notes = text);
    let t = form.t();
    if section(ui, t, "Units", Some("Add a unit to this agency")) {
        form.ctx.push(Action::Add {
            article: Article::Unit,
            at: None,
            on: Some(id.into()),
        });
    }
    for unit in s.units.iter().filter(|u| u.agency == Some(id)) {
        link_ui(form.ctx, ui, unit.id.into(), &unit.name);
    }
}

pub(super) fn unit_ui(form: &mut Form<'_, '_>, ui: &mut Ui, id: UnitId) {
    let s = std::sync::Arc::clone(form.ctx.scenario);
    let Some(unit) = s.units.get(id) else { return };
    let t = form.t();
    ui.horizontal(|ui| {
        let talks = form
            .ctx
            .shared
            .talk
            .is_some_and(|talk| talk.party == Party::Unit(id));
        let words = if talks {
            "End the talking"
        } else {
            "Let it talk"
        };
        if text_button(ui, t, words).clicked() {
            form.ctx.push(if talks {
                Action::Quiet
            } else {
                Action::Talk(Party::Unit(id), Hold::Latched)
            });
        }
    });
    form.words(ui, "Name", &unit.name, unit, |u, text| u.name = text);
    if let Some(Picked(agency)) =
        form.pick_or_none(ui, "Agency", unit.agency, "No agency", agencies(&s))
    {
        form.replace(
            "agency",
            Unit {
                agency,
                ..unit.clone()
            },
        );
    }
    if let Some(role) = form.choice(ui, "Role", unit.role) {
        form.replace(
            "role",
            Unit {
                role,
                ..unit.clone()
            },
        );
    }
    form.whole(ui, ("People", ""), unit.heads, unit, |u, n| u.heads = n);
    form.number(
        ui,
        ("Messages", "a person and hour"),
        unit.messages_per_hour,
        unit,
        |u, n| u.messages_per_hour = n,
    );
    form.number(
        ui,
        ("Message length", "s"),
        unit.seconds_per_message,
        unit,
        |u, n| u.seconds_per_message = n,
    );
    form.notes(ui, &unit.notes, unit, |u, text| u.notes = text);
    if section(ui, t, "Carries", Some("Add a radio to this unit")) {
        form.ctx.push(Action::Add {
            article: Article::Radio,
            at: None,
            on: Some(id.into()),
        });
    }
    carried(form, ui, &s, id);
    heard_by(form, ui, &s, id);
}

fn carried(form: &mut Form<'_, '_>, ui: &mut Ui, s: &Scenario, id: UnitId) {
    let channels =
        |r: &crate::model::Radio| form_channels(s, r).collect::<Vec<(ChannelId, String)>>();
    let radios: Vec<_> = s.radios_of(id).cloned().collect();
    for radio in &radios {
        let donor = form.ctx.phase().and_then(|p| p.port_of_radio(radio.id));
        ui.horizontal(|ui| {
            link_ui(form.ctx, ui, radio.id.into(), &radio.name);
            if let Some(port) = donor {
                ui.weak(format!("cabled to {}", s.name(port.into())));
            }
        });
        if donor.is_none() {
            let now = form.ctx.phase().and_then(|p| s.selected_channel(p, radio));
            let mut part = form.part(&format!("radio{}", radio.id.0));
            if let Some(Picked(channel)) =
                part.pick_or_none(ui, "is on", now, "No channel", channels(radio).into_iter())
            {
                let phase = part.ctx.shared.phase;
                part.ctx.apply(
                    format!("Select a channel on {}", radio.name),
                    vec![Edit::Select {
                        phase,
                        radio: radio.id,
                        channel,
                    }],
                );
            }
        }
    }
    let gear = s
        .telephones
        .iter()
        .filter(|x| x.held_by == Some(id))
        .map(|x| (ThingId::from(x.id), x.name.clone()))
        .chain(
            s.headsets
                .iter()
                .filter(|x| x.held_by == Some(id))
                .map(|x| (x.id.into(), x.name.clone())),
        );
    for (thing, name) in gear {
        link_ui(form.ctx, ui, thing, &name);
    }
}

fn form_channels<'a>(
    s: &'a Scenario,
    radio: &'a crate::model::Radio,
) -> impl Iterator<Item = (ChannelId, String)> + 'a {
    radio.programmed.iter().filter_map(|p| {
        let channel = s.channels.get(p.channel)?;
        Some((channel.id, p.label(channel).to_owned()))
    })
}

/// Says in one line who hears a unit.
fn heard_by(form: &Form<'_, '_>, ui: &mut Ui, s: &Scenario, id: UnitId) {
    let hearing = form.ctx.derived.picture.hearing();
    let all = hearing.parties().len().saturating_sub(1);
    let hearers = hearing.hearers(Party::Unit(id));
    let names: Vec<String> = hearers
        .iter()
        .take(12)
        .map(|(p, _)| s.name((*p).into()))
        .collect();
    let t = form.t();
    section(ui, t, "Is heard by", None);
    let words = if names.is_empty() {
        "nobody".to_owned()
    } else {
        format!("{} of {all}: {}", hearers.len(), names.join(", "))
    };
    ui.add(egui::Label::new(egui::RichText::new(words).color(t.soft)).wrap());
}

pub(super) fn need_ui(form: &mut Form<'_, '_>, ui: &mut Ui, id: NeedId) {
    let s = std::sync::Arc::clone(form.ctx.scenario);
    let Some(need) = s.needs.get(id) else { return };
    form.words(ui, "Name", &need.name, need, |n, text| n.name = text);
    if let Some(way) = form.choice(ui, "Way", need.way) {
        // What is not to be heard at all is neither in clear nor late.
        let is_apart = way == Way::Apart;
        form.replace(
            "way",
            Need {
                way,
                encrypted: need.encrypted && !is_apart,
                max_delay_ms: need.max_delay_ms.filter(|_| !is_apart),
                ..need.clone()
            },
        );
    }
    if let Some(priority) = form.choice(ui, "Priority", need.priority) {
        form.replace(
            "priority",
            Need {
                priority,
                ..need.clone()
            },
        );
    }
    if !need.keeps_apart() {
        heard_as(form, ui, need);
    }
    let options: Vec<(Party, String)> = s.parties().map(|p| (p, s.name(p.into()))).collect();
    let (first, second) = if need.keeps_apart() {
        ("One side", "The other side")
    } else {
        ("Those who speak", "Those who hear")
    };
    let from = form
        .part("from")
        .several(ui, first, &options, |p| need.from.contains(&p));
    let to = form
        .part("to")
        .several(ui, second, &options, |p| need.to.contains(&p));
    if from.is_some() || to.is_some() {
        let mut changed = need.clone();
        for (set, change) in [(&mut changed.from, from), (&mut changed.to, to)] {
            match change {
                Some((party, true)) => {
                    set.insert(party);
                }
                Some((party, false)) => {
                    set.remove(&party);
                }
                None => {}
            }
        }
        form.replace("people", changed);
    }
    form.notes(ui, &need.notes, need, |n, text| n.notes = text);
    is_met(form, ui, &s, need);
}

/// How it is to be heard.
fn heard_as(form: &mut Form<'_, '_>, ui: &mut Ui, need: &Need) {
    if let Some(encrypted) = form.check(ui, "Must stay encrypted", need.encrypted) {
        form.replace(
            "encryption",
            Need {
                encrypted,
                ..need.clone()
            },
        );
    }
    form.whole_or_none(
        ui,
        ("Longest delay", "ms"),
        need.max_delay_ms,
        need,
        |n, ms| n.max_delay_ms = ms,
    );
}

/// Says pair by pair whether a need is met in the phase shown.
fn is_met(form: &mut Form<'_, '_>, ui: &mut Ui, s: &Scenario, need: &Need) {
    let t = form.t();
    section(ui, t, "In this phase", None);
    let derived = form.ctx.derived;
    let hearing = derived.picture.hearing();
    let is_heard = |pair: &(Party, Party)| hearing.arrival(pair.0, pair.1).is_some();
    let (words, wrong, tip) = if need.keeps_apart() {
        let pairs = need.pairs_apart();
        let joined: Vec<_> = pairs.iter().copied().filter(is_heard).collect();
        let words = format!("{} of {} hear each other", joined.len(), pairs.len());
        (words, joined, "Show by which way")
    } else {
        let pairs = need.pairs_to_hear();
        let silent: Vec<_> = pairs.iter().copied().filter(|p| !is_heard(p)).collect();
        let heard = pairs.len() - silent.len();
        let words = format!("{heard} of {} are heard", pairs.len());
        (words, silent, "Show why")
    };
    ui.label(words);
    let verb = if need.keeps_apart() {
        "hears"
    } else {
        "does not hear"
    };
    for (from, to) in wrong.into_iter().take(12) {
        let words = format!("{} {verb} {}", s.name(to.into()), s.name(from.into()));
        if ui.add(egui::Link::new(words)).on_hover_text(tip).clicked() {
            form.ctx.push(Action::Ask(from, to));
        }
    }
}

pub(super) fn agreement_ui(form: &mut Form<'_, '_>, ui: &mut Ui, id: AgreementId) {
    let s = std::sync::Arc::clone(form.ctx.scenario);
    let Some(agreement) = s.agreements.get(id) else {
        return;
    };
    form.words(ui, "Name", &agreement.name, agreement, |a, text| {
        a.name = text;
    });
    let options: Vec<(AgencyId, String)> = agencies(&s).collect();
    if let Some((agency, on)) = form.several(ui, "Agencies", &options, |a| {
        agreement.agencies.contains(&a)
    }) {
        let mut changed: Agreement = agreement.clone();
        if on {
            changed.agencies.insert(agency);
        } else {
            changed.agencies.remove(&agency);
        }
        form.replace("agencies", changed);
    }
    let options: Vec<(ChannelId, String)> =
        s.channels.iter().map(|c| (c.id, c.name.clone())).collect();
    if let Some((channel, on)) = form.several(ui, "Channels", &options, |c| {
        agreement.channels.contains(&c)
    }) {
        let mut changed: Agreement = agreement.clone();
        if on {
            changed.channels.insert(channel);
        } else {
            changed.channels.remove(&channel);
        }
        form.replace("channels", changed);
    }
    form.notes(ui, &agreement.notes, agreement, |a, text| a.notes = text);
}

/// A field of a number from 0 to 100 that is kept as a share from 0 to 1.
pub(super) fn percent<T: Into<crate::model::Thing> + Clone>(
    form: &mut Form<'_, '_>,
    ui: &mut Ui,
    label: &str,
    now: f64,
    thing: &T,
    set: impl FnOnce(&mut T, f64),
) {
    let thing = thing.clone();
    let shown = plain((now * 1000.0).round() / 10.0);
    form.text(ui, label, "%", &shown, |text| {
        let value = number(text.trim_end_matches('%'))?;
        if !(0.0..=100.0).contains(&value) {
            return Err("A share from 0 to 100 %".to_owned());
        }
        let mut thing = thing;
        set(&mut thing, value / 100.0);
        Ok(vec![Edit::Replace(thing.into())])
    });
}
