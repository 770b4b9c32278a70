//! Fields of ties, telephones, headsets, cables and lines of stock.

use std::sync::Arc;

use egui::Ui;

use super::fields::{Form, Picked, link_ui, section};
use super::people::units;
use crate::app::action::{Action, Hold};
use crate::app::theme::text_button;
use crate::model::{
    Attachment, Cable, CableId, Headset, HeadsetId, Party, PortRef, Stock, StockId, Telephone,
    TelephoneId, Tie, TieId,
};

pub(super) fn tie_ui(form: &mut Form<'_, '_>, ui: &mut Ui, id: TieId) {
    let s = Arc::clone(form.ctx.scenario);
    let Some(tie) = s.ties.get(id) else { return };
    form.words(ui, "Name", &tie.name, tie, |x, text| x.name = text);
    if let Some(kind) = form.choice(ui, "Kind", tie.kind) {
        form.replace(
            "kind",
            Tie {
                kind,
                ..tie.clone()
            },
        );
    }
    form.whole(ui, ("Delay", "ms"), tie.latency_ms, tie, |x, n| {
        x.latency_ms = n;
    });
    if let Some(encrypted) = form.check(ui, "Encrypted itself", tie.encrypted) {
        form.replace(
            "encryption",
            Tie {
                encrypted,
                ..tie.clone()
            },
        );
    }
    form.notes(ui, &tie.notes, tie, |x, text| x.notes = text);
    let t = form.t();
    section(ui, t, "Between", None);
    let ports: Vec<PortRef> = form
        .ctx
        .phase()
        .map(|p| p.ports_of_tie(id).collect())
        .unwrap_or_default();
    for port in &ports {
        let words = s.name((*port).into());
        link_ui(form.ctx, ui, (*port).into(), &words);
    }
    if ports.is_empty() {
        ui.weak("Not plugged in during this phase");
    }
}

fn port_line(form: &mut Form<'_, '_>, ui: &mut Ui, port: Option<PortRef>) {
    match port {
        Some(port) => {
            let words = form.ctx.scenario.name(port.into());
            form.link(ui, "Plugged into", port.into(), &words);
        }
        None => form.fact(
            ui,
            "Plugged into",
            "nothing; drag the ring at its edge to a port",
        ),
    }
}

fn talk_button(form: &mut Form<'_, '_>, ui: &mut Ui, party: Party) {
    let t = form.t();
    if text_button(ui, t, "Let it talk").clicked() {
        form.ctx.push(Action::Talk(party, Hold::Latched));
    }
}

pub(super) fn telephone_ui(form: &mut Form<'_, '_>, ui: &mut Ui, id: TelephoneId) {
    let s = Arc::clone(form.ctx.scenario);
    let Some(phone) = s.telephones.get(id) else {
        return;
    };
    if phone.held_by.is_none() {
        talk_button(form, ui, Party::Telephone(id));
    }
    form.words(ui, "Name", &phone.name, phone, |x, text| x.name = text);
    if let Some(kind) = form.choice(ui, "Kind", phone.kind) {
        form.replace(
            "kind",
            Telephone {
                kind,
                ..phone.clone()
            },
        );
    }
    let none = "Nobody of this scenario";
    if let Some(Picked(held_by)) =
        form.pick_or_none(ui, "At the far end", phone.held_by, none, units(&s))
    {
        form.replace(
            "far end",
            Telephone {
                held_by,
                ..phone.clone()
            },
        );
    }
    form.words(ui, "Far end, in words", &phone.far_end, phone, |x, text| {
        x.far_end = text;
    });
    form.words(ui, "Number to call", &phone.number, phone, |x, text| {
        x.number = text;
    });
    if let Some(answers_itself) = form.check(ui, "Answers by itself", phone.answers_itself) {
        form.replace(
            "answering",
            Telephone {
                answers_itself,
                ..phone.clone()
            },
        );
    }
    form.whole(ui, ("Delay", "ms"), phone.latency_ms, phone, |x, n| {
        x.latency_ms = n;
    });
    let port = form.ctx.phase().and_then(|p| p.port_of_telephone(id));
    port_line(form, ui, port);
    form.notes(ui, &phone.notes, phone, |x, text| x.notes = text);
}

pub(super) fn headset_ui(form: &mut Form<'_, '_>, ui: &mut Ui, id: HeadsetId) {
    let s = Arc::clone(form.ctx.scenario);
    let Some(headset) = s.headsets.get(id) else {
        return;
    };
    if headset.held_by.is_none() {
        talk_button(form, ui, Party::Headset(id));
    }
    form.words(ui, "Name", &headset.name, headset, |x, text| x.name = text);
    if let Some(Picked(held_by)) =
        form.pick_or_none(ui, "Worn by", headset.held_by, "The operator", units(&s))
    {
        form.replace(
            "wearer",
            Headset {
                held_by,
                ..headset.clone()
            },
        );
    }
    form.words(ui, "Connector", &headset.connector, headset, |x, text| {
        x.connector = text;
    });
    let port = form.ctx.phase().and_then(|p| p.port_of_headset(id));
    port_line(form, ui, port);
    form.notes(ui, &headset.notes, headset, |x, text| x.notes = text);
}

pub(super) fn cable_ui(form: &mut Form<'_, '_>, ui: &mut Ui, id: CableId) {
    let s = Arc::clone(form.ctx.scenario);
    let Some(cable) = s.cables.get(id) else {
        return;
    };
    form.words(
        ui,
        "Name or mark",
        &cable.name,
        cable,
        |x: &mut Cable, text| {
            x.name = text;
        },
    );
    form.words(
        ui,
        "Fits the radio",
        &cable.radio_connector,
        cable,
        |x, text| {
            x.radio_connector = text;
        },
    );
    form.words(
        ui,
        "Fits the port",
        &cable.port_connector,
        cable,
        |x, text| {
            x.port_connector = text;
        },
    );
    form.whole(ui, ("At hand", "pieces"), cable.count, cable, |x, n| {
        x.count = n;
    });
    let used = form.ctx.phase().map_or(0, |p| {
        p.attachments
            .values()
            .filter(|a| matches!(a, Attachment::Radio { cable: Some(c), .. } if *c == id))
            .count()
    });
    form.fact(ui, "In use", &format!("{used} in this phase"));
    form.notes(ui, &cable.notes, cable, |x, text| x.notes = text);
}

pub(super) fn stock_ui(form: &mut Form<'_, '_>, ui: &mut Ui, id: StockId) {
    let s = Arc::clone(form.ctx.scenario);
    let Some(stock) = s.stock.get(id) else { return };
    form.words(ui, "Name", &stock.name, stock, |x, text| x.name = text);
    if let Some(kind) = form.choice(ui, "Counts", stock.kind) {
        form.replace(
            "kind",
            Stock {
                kind,
                ..stock.clone()
            },
        );
    }
    form.whole(ui, ("How many", ""), stock.count, stock, |x, n| x.count = n);
    form.notes(ui, &stock.notes, stock, |x, text| x.notes = text);
}
