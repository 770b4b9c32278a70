//! Fields of what things run on: cells, supplies, currents.

use egui::Ui;

use super::fields::{Form, Picked, number, plain, whole_number};
use crate::app::words::sentence;
use crate::model::{Cells, Chemistry, Draw, Edit, Gateway, Radio, Site};

/// What a gateway draws, its cells and its supply.
pub(super) fn gateway_power_ui(form: &mut Form<'_, '_>, ui: &mut Ui, g: &Gateway) {
    form.number_or_none(ui, ("Draws", "mA"), g.draw_ma, g, |g, n| g.draw_ma = n);
    let chemistries = Chemistry::ALL.map(|c| (c, sentence(c.words())));
    let now = g.cells.map(|c| c.chemistry);
    if let Some(Picked(chemistry)) =
        form.pick_or_none(ui, "Cells inside", now, "Unknown", chemistries.into_iter())
    {
        let usual = Cells {
            chemistry: Chemistry::Alkaline,
            count: 8,
            end_v: None,
        };
        let cells = chemistry.map(|chemistry| Cells {
            chemistry,
            ..g.cells.unwrap_or(usual)
        });
        form.replace("cells", Gateway { cells, ..g.clone() });
    }
    if let Some(cells) = g.cells {
        form.text(ui, "In series", "cells", &cells.count.to_string(), |text| {
            let count = whole_number(text)?;
            let cells = Some(Cells { count, ..cells });
            Ok(vec![Edit::Replace(Gateway { cells, ..g.clone() }.into())])
        });
        let now = cells.end_v.map_or_else(String::new, plain);
        form.text(ui, "Gives up at", "V", &now, |text| {
            let end_v = optional(text)?;
            let cells = Some(Cells { end_v, ..cells });
            Ok(vec![Edit::Replace(Gateway { cells, ..g.clone() }.into())])
        });
    }
    form.whole_or_none(ui, ("Battery", "mAh"), g.battery_mah, g, |g, n| {
        g.battery_mah = n;
    });
    supply(form, ui, "Outside supply", g.supply_v, |supply_v| {
        Edit::Replace(
            Gateway {
                supply_v,
                ..g.clone()
            }
            .into(),
        )
    });
}

/// What a radio runs on as a donor.
pub(super) fn radio_power_ui(form: &mut Form<'_, '_>, ui: &mut Ui, radio: &Radio) {
    form.whole_or_none(
        ui,
        ("Own battery", "mAh"),
        radio.battery_mah,
        radio,
        |r, n| r.battery_mah = n,
    );
    if let Some(outside_power) = form.check(ui, "Power from outside", radio.outside_power) {
        form.replace(
            "power",
            Radio {
                outside_power,
                ..radio.clone()
            },
        );
    }
    let now = radio.draw.map_or_else(String::new, |d| {
        format!(
            "{} / {} / {}",
            plain(d.transmit_ma),
            plain(d.receive_ma),
            plain(d.standby_ma)
        )
    });
    form.text(ui, "Sends / hears / waits", "mA", &now, |text| {
        let draw = if text.trim().is_empty() {
            None
        } else {
            let parts: Vec<f64> = text.split('/').map(number).collect::<Result<_, _>>()?;
            let [transmit_ma, receive_ma, standby_ma] = parts.as_slice() else {
                return Err("Three numbers, such as 1500 / 250 / 60".to_owned());
            };
            Some(Draw {
                transmit_ma: *transmit_ma,
                receive_ma: *receive_ma,
                standby_ma: *standby_ma,
            })
        };
        Ok(vec![Edit::Replace(
            Radio {
                draw,
                ..radio.clone()
            }
            .into(),
        )])
    });
}

/// What a site gives and how cold it is.
pub(super) fn site_power_ui(form: &mut Form<'_, '_>, ui: &mut Ui, site: &Site) {
    form.number_or_none(
        ui,
        ("Temperature", "°C"),
        site.temperature_c,
        site,
        |s, n| {
            s.temperature_c = n;
        },
    );
    supply(form, ui, "Vehicle supply", site.supply_v, |supply_v| {
        Edit::Replace(
            Site {
                supply_v,
                ..site.clone()
            }
            .into(),
        )
    });
}

fn supply(
    form: &mut Form<'_, '_>,
    ui: &mut Ui,
    label: &str,
    now: Option<(f64, f64)>,
    edit: impl FnOnce(Option<(f64, f64)>) -> Edit,
) {
    let now = now.map_or_else(String::new, |(low, high)| format!("{low} to {high}"));
    form.text(ui, label, "V", &now, |text| {
        let text = text.trim();
        let supply_v = if text.is_empty() {
            None
        } else {
            let (low, high) = text
                .split_once("to")
                .or_else(|| text.split_once('-'))
                .ok_or("From the lowest to the highest, such as 11 to 16")?;
            Some((number(low)?, number(high)?))
        };
        Ok(vec![edit(supply_v)])
    });
}

/// Reads a number, or nothing from an empty field.
fn optional(text: &str) -> Result<Option<f64>, String> {
    if text.trim().is_empty() {
        Ok(None)
    } else {
        number(text).map(Some)
    }
}
