//! With nothing selected: the title page, and every list of the scenario.

use std::sync::Arc;

use egui::{RichText, Ui};

use super::fields::{DetailsState, Form, section};
use super::practice::practice_ui;
use crate::app::action::Action;
use crate::app::shelf::Article;
use crate::app::theme::{Sign, kind_sign, semibold, sign_label};
use crate::app::view::ViewCtx;
use crate::app::words::Choice as _;
use crate::model::{Edit, Header, Scenario, ThingId};

/// Shows the title page and the lists.
pub(crate) fn overview_ui(ctx: &mut ViewCtx<'_>, ui: &mut Ui, state: &mut DetailsState) {
    let t = ctx.tokens;
    let s = Arc::clone(ctx.scenario);
    ui.label(
        RichText::new("The scenario")
            .font(semibold(16.0))
            .color(t.text),
    );
    ui.label(
        RichText::new("Select something on the board to see its fields.")
            .size(12.0)
            .color(t.faint),
    );
    ui.spacing_mut().item_spacing.y = 6.0;
    header(ctx, ui, state, &s);
    phases(ctx, ui, &s);
    let count = |n: u32| format!("{n} at hand");
    let needs = s.needs.iter().map(|n| {
        (
            ThingId::from(n.id),
            n.name.clone(),
            n.priority.words().to_owned(),
        )
    });
    list(ctx, ui, "Needs", Some(Article::Need), needs);
    let agencies = s
        .agencies
        .iter()
        .map(|a| (a.id.into(), a.name.clone(), a.discipline.words().to_owned()));
    list(ctx, ui, "Agencies", Some(Article::Agency), agencies);
    let systems = s
        .systems
        .iter()
        .map(|x| (x.id.into(), x.name.clone(), x.kind.words().to_owned()));
    list(ctx, ui, "Radio systems", Some(Article::System), systems);
    let gateways = s.gateways.iter().map(|g| {
        (
            g.id.into(),
            g.name.clone(),
            format!("{} ports", g.ports.len()),
        )
    });
    list(ctx, ui, "Gateways", Some(Article::Gateway), gateways);
    let ties = s
        .ties
        .iter()
        .map(|x| (x.id.into(), x.name.clone(), x.kind.words().to_owned()));
    list(ctx, ui, "Ties", None, ties);
    let cables = s
        .cables
        .iter()
        .map(|c| (c.id.into(), c.name.clone(), count(c.count)));
    list(ctx, ui, "Cables", Some(Article::Cable), cables);
    let sites = s.sites.iter().map(|x| {
        let words = format!("{} antennas", x.antennas.len());
        (x.id.into(), x.name.clone(), words)
    });
    list(ctx, ui, "Sites", Some(Article::Site), sites);
    let stock = s
        .stock
        .iter()
        .map(|x| (x.id.into(), x.name.clone(), count(x.count)));
    list(ctx, ui, "Stock", Some(Article::Stock), stock);
    let agreements = s.agreements.iter().map(|a| {
        let words = format!("{} agencies", a.agencies.len());
        (a.id.into(), a.name.clone(), words)
    });
    list(ctx, ui, "Agreements", Some(Article::Agreement), agreements);
    let spare = s.radios.iter().filter(|r| r.held_by.is_none()).map(|r| {
        let port = ctx
            .scenario
            .phases
            .get(ctx.shared.phase)
            .and_then(|p| p.port_of_radio(r.id));
        let words = port.map_or_else(|| "not in use".to_owned(), |p| s.name(p.into()));
        (ThingId::from(r.id), r.name.clone(), words)
    });
    let spare: Vec<_> = spare.collect();
    list(
        ctx,
        ui,
        "Radios nobody holds",
        Some(Article::Radio),
        spare.into_iter(),
    );
    let about = ThingId::Phase(ctx.shared.phase);
    let mut form = Form {
        ctx,
        state,
        about,
        part: "practice.".to_owned(),
    };
    practice_ui(&mut form, ui);
}

fn header(ctx: &mut ViewCtx<'_>, ui: &mut Ui, state: &mut DetailsState, s: &Scenario) {
    let about = ThingId::Phase(ctx.shared.phase);
    let mut form = Form {
        ctx,
        state,
        about,
        part: "title page.".to_owned(),
    };
    let header = &s.header;
    let with = |header: Header| Ok(vec![Edit::SetHeader(header)]);
    form.text(ui, "Title", "", &header.title, |text| {
        with(Header {
            title: text.to_owned(),
            ..header.clone()
        })
    });
    form.text(ui, "Incident", "", &header.incident, |text| {
        with(Header {
            incident: text.to_owned(),
            ..header.clone()
        })
    });
    form.long_text(ui, "Notes", &header.notes, |text| {
        with(Header {
            notes: text.to_owned(),
            ..header.clone()
        })
    });
}

fn phases(ctx: &mut ViewCtx<'_>, ui: &mut Ui, s: &Scenario) {
    let shown = ctx.shared.phase;
    let phases = s.phases.iter().map(|p| {
        let words = if p.id == shown {
            "shown".to_owned()
        } else {
            format!("{} h", p.hours)
        };
        (ThingId::from(p.id), p.name.clone(), words)
    });
    list(ctx, ui, "Phases", Some(Article::Phase), phases);
}

/// A list of things; a click opens one.
fn list(
    ctx: &mut ViewCtx<'_>,
    ui: &mut Ui,
    title: &str,
    article: Option<Article>,
    rows: impl Iterator<Item = (ThingId, String, String)>,
) {
    let t = ctx.tokens;
    let rows: Vec<_> = rows.collect();
    if rows.is_empty() && article.is_none() {
        return;
    }
    let add = article.map(|a| format!("Add a {}", a.word()));
    if section(ui, t, title, add.as_deref())
        && let Some(article) = article
    {
        ctx.push(Action::Add {
            article,
            at: None,
            on: None,
        });
    }
    if rows.is_empty() {
        ui.label(RichText::new("None yet").size(12.5).color(t.faint));
    }
    ui.spacing_mut().item_spacing.y = 2.0;
    for (thing, name, words) in rows {
        ui.horizontal(|ui| {
            sign_label(ui, kind_sign(thing.kind()), 15.0, t.faint);
            ui.with_layout(egui::Layout::right_to_left(egui::Align::Center), |ui| {
                sign_label(ui, Sign::ChevronRight, 12.0, t.faint);
                ui.label(RichText::new(words).size(12.0).color(t.faint));
                ui.with_layout(egui::Layout::left_to_right(egui::Align::Center), |ui| {
                    let button = egui::Button::new(&name)
                        .frame_when_inactive(false)
                        .truncate();
                    if ui.add(button).clicked() {
                        ctx.push(Action::Select(vec![thing]));
                    }
                });
            });
        });
    }
    ui.spacing_mut().item_spacing.y = 6.0;
}
