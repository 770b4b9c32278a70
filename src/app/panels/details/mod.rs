//! The fields of what is selected; with nothing selected, the title page and all lists.

mod air;
mod fields;
mod gateway;
mod gear;
mod overview;
mod people;
mod phase;
mod power;
mod practice;
mod programming;
mod radio;
mod site;

use egui::{RichText, ScrollArea, Ui};

pub(crate) use fields::{DetailsState, link_ui as link_to};

use self::fields::Form;
use crate::app::action::Action;
use crate::app::command::Command;
use crate::app::theme::{Sign, kind_sign, semibold, sign_button, sign_label, text_button};
use crate::app::view::ViewCtx;
use crate::app::words::sentence;
use crate::hearing::Item;
use crate::model::{Edit, ThingId};
use crate::picture::resilience;

/// Shows the fields of what is selected.
pub(crate) fn details_ui(ctx: &mut ViewCtx<'_>, ui: &mut Ui, state: &mut DetailsState) {
    let things: Vec<ThingId> = ctx.shared.selection.iter().copied().collect();
    ScrollArea::vertical()
        .id_salt(("details", things.first().copied()))
        .auto_shrink(false)
        .show(ui, |ui| {
            ui.set_max_width(ui.available_width() - 4.0);
            match things.as_slice() {
                [] => overview::overview_ui(ctx, ui, state),
                [thing] => one(ctx, ui, state, *thing),
                several => many(ctx, ui, several),
            }
            ui.add_space(24.0);
        });
}

fn one(ctx: &mut ViewCtx<'_>, ui: &mut Ui, state: &mut DetailsState, thing: ThingId) {
    head(ctx, ui, thing);
    ui.spacing_mut().item_spacing.y = 6.0;
    let mut form = Form {
        ctx,
        state,
        about: thing,
        part: String::new(),
    };
    match thing {
        ThingId::Phase(id) => phase::phase_ui(&mut form, ui, id),
        ThingId::Agency(id) => people::agency_ui(&mut form, ui, id),
        ThingId::Unit(id) => people::unit_ui(&mut form, ui, id),
        ThingId::Need(id) => people::need_ui(&mut form, ui, id),
        ThingId::Agreement(id) => people::agreement_ui(&mut form, ui, id),
        ThingId::System(id) => air::system_ui(&mut form, ui, id),
        ThingId::Channel(id) => air::channel_ui(&mut form, ui, id),
        ThingId::Radio(id) => radio::radio_ui(&mut form, ui, id),
        ThingId::Gateway(id) => gateway::gateway_ui(&mut form, ui, id),
        ThingId::Port(port) => gateway::one_port_ui(&mut form, ui, port),
        ThingId::TalkGroup(group) => gateway::one_group_ui(&mut form, ui, group),
        ThingId::Tie(id) => gear::tie_ui(&mut form, ui, id),
        ThingId::Telephone(id) => gear::telephone_ui(&mut form, ui, id),
        ThingId::Headset(id) => gear::headset_ui(&mut form, ui, id),
        ThingId::Cable(id) => gear::cable_ui(&mut form, ui, id),
        ThingId::Stock(id) => gear::stock_ui(&mut form, ui, id),
        ThingId::Site(id) => site::site_ui(&mut form, ui, id),
    }
    availability_ui(&mut form, ui, thing);
}

/// The chance that a thing works, for what can fail.
fn availability_ui(form: &mut Form<'_, '_>, ui: &mut Ui, thing: ThingId) {
    let can_fail = matches!(
        thing,
        ThingId::System(_)
            | ThingId::Channel(_)
            | ThingId::Radio(_)
            | ThingId::Gateway(_)
            | ThingId::Tie(_)
            | ThingId::Telephone(_)
            | ThingId::Headset(_)
            | ThingId::Site(_)
    );
    if !can_fail {
        return;
    }
    let now = form.ctx.scenario.availability.get(&thing).copied();
    let now = now.map_or_else(String::new, fields::plain);
    form.text(ui, "Chance it works", "", &now, |text| {
        let availability = match text.trim() {
            "" => None,
            text => Some(fields::number(text)?),
        };
        Ok(vec![Edit::Rate {
            thing,
            availability,
        }])
    });
    let usual = resilience::availability(form.ctx.scenario, Item::Thing(thing));
    form.fact(
        ui,
        "",
        &format!("Counted with {usual:.4}; empty takes the figure of practice."),
    );
}

fn head(ctx: &mut ViewCtx<'_>, ui: &mut Ui, thing: ThingId) {
    let t = ctx.tokens;
    let name = ctx.scenario.name(thing);
    ui.horizontal(|ui| {
        sign_label(ui, kind_sign(thing.kind()), 20.0, t.accent.ink);
        // The buttons take their room first, the name what is left.
        ui.with_layout(egui::Layout::right_to_left(egui::Align::Center), |ui| {
            let remove = format!("Delete {name}");
            if sign_button(ui, t, Sign::Trash, &remove, true).clicked() {
                ctx.apply(format!("Remove {name}"), vec![Edit::Remove(thing)]);
            }
            if ctx.derived.layout.rect(thing).is_some()
                && sign_button(ui, t, Sign::Search, "Show it on the board", true).clicked()
            {
                ctx.push(Action::Show(vec![thing]));
            }
            ui.with_layout(egui::Layout::top_down(egui::Align::Min), |ui| {
                ui.spacing_mut().item_spacing.y = 0.0;
                ui.add(
                    egui::Label::new(RichText::new(&name).font(semibold(16.0)).color(t.text))
                        .truncate(),
                );
                ui.label(
                    RichText::new(sentence(thing.kind().word()))
                        .size(12.0)
                        .color(t.faint),
                );
            });
        });
    });
    ui.add_space(6.0);
}

fn many(ctx: &mut ViewCtx<'_>, ui: &mut Ui, things: &[ThingId]) {
    let t = ctx.tokens;
    ui.label(
        RichText::new(format!("{} things selected", things.len()))
            .font(semibold(16.0))
            .color(t.text),
    );
    let mut kinds: Vec<(&'static str, usize)> = Vec::new();
    for thing in things {
        let word = thing.kind().word();
        match kinds.iter_mut().find(|(w, _)| *w == word) {
            Some((_, n)) => *n += 1,
            None => kinds.push((word, 1)),
        }
    }
    for (word, n) in kinds {
        let plural = match (word, n) {
            (_, 1) => word.to_owned(),
            ("agency", _) => "agencies".to_owned(),
            _ => format!("{word}s"),
        };
        ui.label(RichText::new(format!("{n} {plural}")).color(t.soft));
    }
    ui.add_space(8.0);
    ui.horizontal(|ui| {
        if text_button(ui, t, "Show them").clicked() {
            ctx.command(Command::FitSelection);
        }
        if text_button(ui, t, "Delete them all").clicked() {
            ctx.command(Command::Delete);
        }
    });
}
