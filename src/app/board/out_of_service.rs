//! What is out of service: crossed out on the board, with what is lost by it in a strip above.

use std::collections::{BTreeMap, BTreeSet};

use egui::{Align2, Area, Id, Order, Rect, RichText, ScrollArea, Ui, pos2, vec2};

use super::draw::Scene;
use super::overlay::floating;
use super::pen::{Pen, Strength};
use super::state::BoardState;
use super::talk_labels::{Label, place};
use crate::app::action::Action;
use crate::app::command::Command;
use crate::app::theme::{Sign, primary_button, semibold, sign_label, text_button};
use crate::app::view::ViewCtx;
use crate::hearing::Item;
use crate::model::{Need, Party};
use crate::picture::what_if::Lost;

/// Space between two strokes of the hatching, in board points.
const HATCH: f32 = 12.0;
/// Most names in a line before the rest is counted.
const NAMES: usize = 8;

/// Hatches and crosses out what is out of service.
pub(super) fn draw(pen: &Pen, scene: &Scene<'_>, out: &BTreeSet<Item>) {
    pen.set(Strength::Full);
    let t = pen.t;
    let mut labels = Vec::new();
    for item in out {
        let thing = item.thing();
        let Some(rect) = scene.layout.rect(thing).filter(|r| pen.sees(*r)) else {
            continue;
        };
        let ink = t.stops.ink;
        pen.fill(rect, 8.0, t.canvas.gamma_multiply(0.55));
        hatch(pen, rect);
        pen.outline(rect, 8.0, 2.0, ink);
        labels.push(Label {
            thing,
            sign: Some(Sign::OutOfService),
            words: "out of service".to_owned(),
            ink,
        });
    }
    place(pen, scene, labels);
}

/// Strokes from lower left to upper right, cut at the edges.
fn hatch(pen: &Pen, rect: Rect) {
    let colour = pen.t.stops.ink.gamma_multiply(0.45);
    let (width, height) = (rect.width(), rect.height());
    let mut at = HATCH;
    while at < width + height {
        // Along a stroke x + y is the same, measured from the lower left corner.
        let start = vec2((at - height).max(0.0), at.min(height));
        let end = vec2(at.min(width), (at - width).max(0.0));
        let corner = rect.left_bottom();
        let spot = |v: egui::Vec2| pos2(corner.x + v.x, corner.y - v.y);
        pen.path(&[spot(start), spot(end)], 1.2, colour);
        at += HATCH;
    }
}

/// Says what is lost by what is out of service, and puts it back.
pub(super) fn banner(ctx: &mut ViewCtx<'_>, ui: &Ui, state: &mut BoardState, view: Rect, top: f32) {
    let Some(lost) = &ctx.derived.missed else {
        return;
    };
    let t = ctx.tokens;
    let s = ctx.scenario;
    let items: Vec<Item> = ctx.shared.out.iter().copied().collect();
    let names: Vec<String> = items.iter().map(|item| item.name(s)).collect();
    let (mut list, mut back) = (false, None);
    Area::new(Id::unique("out-of-service"))
        .order(Order::Middle)
        .pivot(Align2::CENTER_TOP)
        .fixed_pos(pos2(view.center().x, top))
        .show(ui.ctx(), |ui| {
            floating(t).show(ui, |ui| {
                ui.set_max_width((view.width() - 60.0).clamp(240.0, 720.0));
                ui.spacing_mut().item_spacing.y = 4.0;
                ui.horizontal(|ui| {
                    sign_label(ui, Sign::OutOfService, 17.0, t.stops.ink);
                    let words = RichText::new(lost_words(&names, lost)).font(semibold(14.0));
                    ui.add(egui::Label::new(words.color(t.text)).wrap());
                });
                ui.horizontal_wrapped(|ui| {
                    if !lost.pairs.is_empty() || !lost.needs.is_empty() {
                        let words = if state.list_open {
                            "Close the list"
                        } else {
                            "Who loses whom"
                        };
                        list = text_button(ui, t, words).clicked();
                    }
                    back = put_back(ctx, ui, &items);
                });
                if state.list_open {
                    ScrollArea::vertical()
                        .id_salt("who-loses-whom")
                        .max_height(240.0)
                        .show(ui, |ui| losses(ctx, ui, lost));
                }
                let about = "Findings stay those of the plan with everything in service.";
                ui.label(RichText::new(about).size(12.0).color(t.faint));
            });
        });
    if list {
        state.list_open = !state.list_open;
    }
    if let Some(action) = back {
        ctx.push(action);
    }
}

fn put_back(ctx: &ViewCtx<'_>, ui: &mut Ui, items: &[Item]) -> Option<Action> {
    let t = ctx.tokens;
    if let [item] = items {
        let back = primary_button(ui, t, "Put it back").clicked();
        return back.then_some(Action::OutOfService(*item));
    }
    let mut back = None;
    if primary_button(ui, t, "Put everything back in service").clicked() {
        back = Some(Action::Command(Command::PutBack));
    }
    for item in items {
        let words = format!("Put {} back", item.name(ctx.scenario));
        if text_button(ui, t, &words).clicked() {
            back = Some(Action::OutOfService(*item));
        }
    }
    back
}

/// Says what is lost: "Without Repeater 3: 14 pairs and 2 needs lost".
fn lost_words(names: &[String], lost: &Lost) -> String {
    let names = match names {
        [one] => one.clone(),
        [first @ .., last] => format!("{} and {last}", first.join(", ")),
        [] => String::new(),
    };
    let count = |n: usize, one: &str, many: &str| match n {
        1 => format!("1 {one}"),
        n => format!("{n} {many}"),
    };
    if lost.pairs.is_empty() && lost.needs.is_empty() {
        return format!("Without {names}: nobody loses anybody");
    }
    format!(
        "Without {names}: {} and {} lost",
        count(lost.pairs.len(), "pair", "pairs"),
        count(lost.needs.len(), "need", "needs")
    )
}

/// Lists who loses whom, those together whom the same speakers lose.
fn losses(ctx: &ViewCtx<'_>, ui: &mut Ui, lost: &Lost) {
    let t = ctx.tokens;
    let s = ctx.scenario;
    for need in &lost.needs {
        ui.horizontal(|ui| {
            sign_label(ui, Sign::Need, 14.0, t.stops.ink);
            let aim = s.needs.get(*need).map_or("met", Need::aim);
            let words = format!("No longer {aim}: {}", s.name((*need).into()));
            ui.add(egui::Label::new(RichText::new(words).size(12.5)).wrap());
        });
    }
    for (speakers, hearers) in grouped(lost) {
        let list = |parties: &[Party]| {
            let names: Vec<String> = parties
                .iter()
                .take(NAMES)
                .map(|p| s.name((*p).into()))
                .collect();
            let rest = parties.len().saturating_sub(NAMES);
            if rest > 0 {
                format!("{} and {rest} more", names.join(", "))
            } else {
                names.join(", ")
            }
        };
        let verb = if hearers.len() == 1 {
            "no longer hears"
        } else {
            "no longer hear"
        };
        ui.horizontal(|ui| {
            sign_label(ui, Sign::EarCrossed, 14.0, t.soft);
            let words = format!("{} {verb} {}", list(&hearers), list(&speakers));
            ui.add(egui::Label::new(RichText::new(words).size(12.5)).wrap());
        });
    }
}

/// Puts the speakers together that the same hearers lose.
fn grouped(lost: &Lost) -> Vec<(Vec<Party>, Vec<Party>)> {
    let mut by_speaker: BTreeMap<Party, Vec<Party>> = BTreeMap::new();
    for (from, to) in &lost.pairs {
        by_speaker.entry(*from).or_default().push(*to);
    }
    let mut by_hearers: BTreeMap<Vec<Party>, Vec<Party>> = BTreeMap::new();
    for (from, hearers) in by_speaker {
        by_hearers.entry(hearers).or_default().push(from);
    }
    by_hearers
        .into_iter()
        .map(|(hearers, speakers)| (speakers, hearers))
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::model::UnitId;

    fn unit(n: u32) -> Party {
        Party::Unit(UnitId(n))
    }

    #[test]
    fn speakers_whom_the_same_lose_stand_together() {
        let lost = Lost {
            pairs: vec![(unit(1), unit(3)), (unit(2), unit(3)), (unit(4), unit(1))],
            needs: Vec::new(),
        };
        let groups = grouped(&lost);
        assert_eq!(groups.len(), 2);
        assert!(groups.contains(&(vec![unit(1), unit(2)], vec![unit(3)])));
        let words = lost_words(&["Hill".to_owned(), "Box".to_owned()], &lost);
        assert_eq!(words, "Without Hill and Box: 3 pairs and 0 needs lost");
    }
}
