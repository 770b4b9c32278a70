//! A name changed where it stands: a field over the thing. Enter and clicking elsewhere keep it,
//! Escape gives it up, and a name the scenario refuses says why.

use egui::{Area, CornerRadius, Frame, Id, Key, Margin, Order, Pos2, Rect, RichText, TextEdit, Ui};
use egui::{pos2, vec2};

use super::state::BoardState;
use crate::app::action::Action;
use crate::app::panels::select_text;
use crate::app::theme::{Sign, sign_label};
use crate::app::view::ViewCtx;
use crate::app::words::sentence;
use crate::layout::{GATEWAY_HEAD, Layout};
use crate::model::{Edit, Scenario, ThingId};

/// Least width of the field, in window points.
const LEAST: f32 = 190.0;

/// A name being changed.
#[derive(Debug)]
pub(crate) struct Rename {
    thing: ThingId,
    text: String,
    /// Not shown yet: the field takes the keyboard and selects its text.
    fresh: bool,
}

impl Rename {
    /// Begins to change a thing's name; `None` for one that has no name of its own.
    pub(crate) fn of(s: &Scenario, thing: ThingId) -> Option<Self> {
        let text = match thing {
            ThingId::Port(_) => return None,
            ThingId::TalkGroup(group) => s.talk_group(group)?.name.clone(),
            _ => s.thing(thing)?.name().to_owned(),
        };
        Some(Self {
            thing,
            text,
            fresh: true,
        })
    }

    /// Returns the edits that give the name, none when it is the old one.
    fn edits(&self, s: &Scenario) -> Vec<Edit> {
        let text = self.text.trim();
        let Some(mut changed) = s.thing(self.thing) else {
            return Vec::new();
        };
        let before = changed.clone();
        match (self.thing, &mut changed) {
            (ThingId::TalkGroup(at), crate::model::Thing::Gateway(gateway)) => {
                for group in &mut gateway.talk_groups {
                    if group.number == at.group {
                        text.clone_into(&mut group.name);
                    }
                }
            }
            (_, thing) => text.clone_into(thing.name_mut()),
        }
        if changed == before {
            Vec::new()
        } else {
            vec![Edit::Replace(changed)]
        }
    }
}

/// Returns where a thing's name stands on the board, where a double click changes it.
pub(super) fn name_area(layout: &Layout, thing: ThingId) -> Option<Rect> {
    let rect = layout.rect(thing)?;
    let within = |from: Pos2, to: Pos2| Some(Rect::from_min_max(from, to).intersect(rect));
    let (min, max) = (rect.min, rect.max);
    match thing {
        ThingId::Unit(_) => within(min + vec2(8.0, 4.0), pos2(max.x - 44.0, min.y + 25.0)),
        ThingId::Agency(_) | ThingId::System(_) => {
            within(min + vec2(30.0, 4.0), pos2(max.x - 90.0, min.y + 30.0))
        }
        ThingId::Channel(_) => within(min + vec2(36.0, 3.0), pos2(max.x - 14.0, min.y + 24.0)),
        ThingId::Gateway(_) => within(
            min + vec2(40.0, 5.0),
            pos2(max.x - 14.0, min.y + GATEWAY_HEAD - 22.0),
        ),
        ThingId::Radio(_)
        | ThingId::Telephone(_)
        | ThingId::Headset(_)
        | ThingId::Site(_)
        | ThingId::Tie(_) => within(
            min + vec2(24.0, 2.0),
            pos2(min.x + rect.width() * 0.55, max.y - 2.0),
        ),
        ThingId::TalkGroup(_) => Some(rect),
        _ => None,
    }
}

/// Shows the field, while a name is being changed.
pub(super) fn rename_ui(ctx: &mut ViewCtx<'_>, ui: &Ui, state: &mut BoardState) {
    let Some(mut rename) = state.rename.take() else {
        return;
    };
    let thing = rename.thing;
    let Some(area) = name_area(&ctx.derived.layout, thing) else {
        return;
    };
    let t = ctx.tokens;
    let area = state.camera.rect(area);
    let edits = rename.edits(ctx.scenario);
    let refused = ctx.scenario.apply(&edits).err().map(|e| e.to_string());
    let id = Id::unique("rename");
    let was_fresh = std::mem::take(&mut rename.fresh);
    let response = Area::new(Id::unique("rename-area"))
        .order(Order::Foreground)
        .fixed_pos(area.min - vec2(12.0, 28.0))
        .constrain_to(state.camera.view)
        .show(ui.ctx(), |ui| {
            Frame::new()
                .fill(t.panel)
                .stroke(egui::Stroke::new(1.5, t.accent.ink))
                .corner_radius(CornerRadius::same(9))
                .inner_margin(Margin::symmetric(8, 6))
                .show(ui, |ui| {
                    let width = area.width().clamp(LEAST, 420.0);
                    ui.set_width(width);
                    ui.spacing_mut().item_spacing.y = 3.0;
                    let words = format!("Name of the {}", thing.kind());
                    let label = ui.label(RichText::new(words).size(11.5).color(t.soft));
                    let ink = if refused.is_some() {
                        t.stops.ink
                    } else {
                        t.text
                    };
                    let field = TextEdit::singleline(&mut rename.text)
                        .id(id)
                        .text_color(ink)
                        .desired_width(width);
                    let field = ui.add(field).labelled_by(label.id);
                    if let Some(reason) = &refused {
                        ui.horizontal(|ui| {
                            sign_label(ui, Sign::Warns, 12.0, t.stops.ink);
                            let words = RichText::new(sentence(reason)).size(12.0);
                            ui.add(egui::Label::new(words.color(t.stops.ink)).wrap());
                        });
                    }
                    field
                })
                .inner
        })
        .inner;
    if was_fresh {
        response.request_focus();
        select_text(ui, id, rename.text.chars().count());
        state.rename = Some(rename);
        return;
    }
    if !response.lost_focus() {
        state.rename = Some(rename);
        return;
    }
    let pressed = |key: Key| {
        ui.input(|i| {
            i.raw
                .events
                .iter()
                .any(|e| matches!(e, egui::Event::Key { key: k, pressed: true, .. } if *k == key))
        })
    };
    if pressed(Key::Escape) {
        // The command that ends what is under way finds it here and ends it.
        state.rename = Some(rename);
        return;
    }
    match refused {
        // Whoever pressed Enter still wants a name there; whoever left is told what became of it.
        Some(_) if pressed(Key::Enter) => {
            response.request_focus();
            state.rename = Some(rename);
        }
        Some(reason) => ctx.push(Action::Say(sentence(&reason))),
        None if edits.is_empty() => {}
        None => {
            let old = ctx.scenario.name(thing);
            ctx.apply(format!("Rename {old}"), edits);
        }
    }
}
