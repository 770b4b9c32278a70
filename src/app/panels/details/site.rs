//! Fields of a site and its antennas.

use std::sync::Arc;

use egui::{RichText, Ui};

use super::fields::{Form, Picked, link_ui, number, plain, section};
use super::power::site_power_ui;
use crate::app::theme::{Sign, card, semibold, sign_button};
use crate::model::{Antenna, Edit, Scenario, Site, SiteId};

pub(super) fn site_ui(form: &mut Form<'_, '_>, ui: &mut Ui, id: SiteId) {
    let s = Arc::clone(form.ctx.scenario);
    let Some(site) = s.sites.get(id) else { return };
    form.words(ui, "Name", &site.name, site, |x, text| x.name = text);
    let words = "Contaminated: the lid stays shut";
    if let Some(contaminated) = form.check(ui, words, site.contaminated) {
        form.replace(
            "contamination",
            Site {
                contaminated,
                ..site.clone()
            },
        );
    }
    site_power_ui(form, ui, site);
    let t = form.t();
    if section(ui, t, "Antennas", Some("Add an antenna")) {
        let mut changed = site.clone();
        changed.antennas.push(Antenna {
            name: format!("Antenna {}", site.antennas.len() + 1),
            radio: None,
            height_m: 2.0,
            east_m: 0.0,
            north_m: 0.0,
            gain_dbi: 0.0,
        });
        form.replace("antennas", changed);
    }
    if site.antennas.is_empty() {
        ui.weak("None yet");
    }
    for (i, antenna) in site.antennas.iter().enumerate() {
        card(ui, t, |ui| antenna_ui(form, ui, &s, site, i, antenna));
    }
    section(ui, t, "Gateways here", None);
    for g in s.gateways.iter().filter(|g| g.site == Some(id)) {
        link_ui(form.ctx, ui, g.id.into(), &g.name);
    }
    form.notes(ui, &site.notes, site, |x, text| x.notes = text);
}

fn antenna_ui(
    form: &mut Form<'_, '_>,
    ui: &mut Ui,
    s: &Scenario,
    site: &Site,
    i: usize,
    antenna: &Antenna,
) {
    let t = form.t();
    let with = |change: &dyn Fn(&mut Antenna)| {
        let mut changed = site.clone();
        if let Some(old) = changed.antennas.get_mut(i) {
            change(old);
        }
        vec![Edit::Replace(changed.into())]
    };
    ui.horizontal(|ui| {
        ui.label(RichText::new(&antenna.name).font(semibold(13.5)));
        ui.with_layout(egui::Layout::right_to_left(egui::Align::Center), |ui| {
            let name = format!("Delete antenna {}", antenna.name);
            if sign_button(ui, t, Sign::Trash, &name, true).clicked() {
                let mut changed = site.clone();
                changed.antennas.remove(i);
                form.replace("antennas", changed);
            }
        });
    });
    let mut part = form.part(&format!("antenna{i}"));
    part.text(ui, "Name", "", &antenna.name, |text| {
        Ok(with(&|a| text.clone_into(&mut a.name)))
    });
    let radios = s.radios.iter().map(|r| (r.id, r.name.clone()));
    if let Some(Picked(radio)) =
        part.pick_or_none(ui, "Serves", antenna.radio, "No radio yet", radios)
    {
        part.ctx.apply(
            format!("Change antenna {}", antenna.name),
            with(&|a| a.radio = radio),
        );
    }
    part.text(ui, "Height", "m", &plain(antenna.height_m), |text| {
        let n = number(text)?;
        Ok(with(&|a| a.height_m = n))
    });
    part.text(
        ui,
        "East of the mark",
        "m",
        &plain(antenna.east_m),
        |text| {
            let n = number(text)?;
            Ok(with(&|a| a.east_m = n))
        },
    );
    part.text(
        ui,
        "North of the mark",
        "m",
        &plain(antenna.north_m),
        |text| {
            let n = number(text)?;
            Ok(with(&|a| a.north_m = n))
        },
    );
    part.text(ui, "Gain", "dBi", &plain(antenna.gain_dbi), |text| {
        let n = number(text)?;
        Ok(with(&|a| a.gain_dbi = n))
    });
}
