//! The menu under the right mouse button.

use egui::{Area, Frame, Id, Order, Response, Ui, UiBuilder};

use super::hit::party_of;
use super::rename::{Rename, name_area};
use super::state::{BoardState, Drag};
use crate::app::action::{Action, Hold};
use crate::app::command::Command;
use crate::app::run::item_of;
use crate::app::shelf::Article;
use crate::app::state::Tab;
use crate::app::view::ViewCtx;
use crate::app::words::sentence;
use crate::model::{Edit, ThingId};

/// Shows the menu of what was clicked with the right button.
pub(super) fn menu(ctx: &mut ViewCtx<'_>, state: &mut BoardState, response: &Response) {
    if response.secondary_clicked() {
        state.menu = state.hovered;
        if let Some(hit) = state.hovered
            && !ctx.is_selected(hit.thing)
        {
            ctx.push(Action::Select(vec![hit.thing]));
        }
    }
    // A finger that rests on a unit lets it talk; it does not ask for a menu.
    if matches!(state.drag, Drag::Talk) && !response.context_menu_opened() {
        return;
    }
    let about = state.menu;
    response.context_menu(|ui| {
        ui.set_min_width(190.0);
        if let Some(hit) = about {
            thing_menu(ctx, ui, state, hit.thing);
            return;
        }
        {
            {
                for article in [Article::Unit, Article::Channel, Article::Gateway] {
                    if ui.button(format!("Add a {}", article.word())).clicked() {
                        ctx.push(Action::Add {
                            article,
                            at: None,
                            on: None,
                        });
                        ui.close();
                    }
                }
                let all = [
                    Command::TypeToAdd,
                    Command::Paste,
                    Command::Fit,
                    Command::SelectAll,
                    Command::Tidy,
                    Command::FoldAll,
                    Command::UnfoldAll,
                ];
                for command in all {
                    if ui.button(command.name()).clicked() {
                        ctx.command(command);
                        ui.close();
                    }
                }
            }
        }
    });
}

/// Shows the menu of the selection below it, when it was asked for by the keyboard.
pub(super) fn menu_by_key(ctx: &mut ViewCtx<'_>, ui: &Ui, state: &mut BoardState) {
    let Some(thing) = state.menu_by_key else {
        return;
    };
    let Some(rect) = ctx.derived.layout.rect(thing) else {
        state.menu_by_key = None;
        return;
    };
    let asked = ctx.actions.len();
    let id = Id::unique("board-menu-by-key");
    let is_new = ui.data(|d| d.get_temp::<Option<ThingId>>(id)) != Some(Some(thing));
    let shown = Area::new(id)
        .order(Order::Foreground)
        .fixed_pos(state.camera.rect(rect).left_bottom())
        .constrain_to(state.camera.view)
        .show(ui.ctx(), |ui| {
            Frame::menu(ui.style())
                .show(ui, |ui| {
                    ui.set_min_width(190.0);
                    ui.set_max_width(260.0);
                    let closable = UiBuilder::new().closable();
                    let inner = ui.scope_builder(closable, |ui| {
                        let first = thing_menu(ctx, ui, state, thing);
                        if is_new {
                            first.request_focus();
                        }
                    });
                    inner.response.should_close()
                })
                .inner
        });
    ui.data_mut(|d| d.insert_temp(id, Some(thing)));
    let elsewhere = ui.input(|i| {
        i.pointer.any_pressed()
            && i.pointer
                .interact_pos()
                .is_some_and(|at| !shown.response.rect.contains(at))
    });
    if shown.inner || elsewhere || ctx.actions.len() != asked {
        state.menu_by_key = None;
    }
    if state.menu_by_key.is_none() {
        ui.data_mut(|d| d.remove_temp::<Option<ThingId>>(id));
    }
}

/// The entries for a thing; returns the first, for the keyboard.
fn thing_menu(
    ctx: &mut ViewCtx<'_>,
    ui: &mut Ui,
    state: &mut BoardState,
    thing: ThingId,
) -> Response {
    ui.weak(sentence(&format!(
        "{} {}",
        thing.kind(),
        ctx.scenario.name(thing)
    )));
    let party = ctx
        .phase()
        .and_then(|phase| party_of(ctx.scenario, phase, thing));
    if let Some(party) = party
        && ui.button("Let it talk").clicked()
    {
        ctx.push(Action::Talk(party, Hold::Latched));
        ui.close();
    }
    if let Some(party) = party
        && ctx.shared.talk.is_some_and(|t| t.hold == Hold::Latched)
        && ctx.shared.may_begin(party)
        && ui.button("Let it talk at the same time").clicked()
    {
        ctx.push(Action::TalkOver(party, Hold::Latched));
        ui.close();
    }
    if let Some(party) = party
        && ui.button("Ask about it and another…").clicked()
    {
        ctx.push(Action::Asking(party));
        ui.close();
    }
    if let Some(item) = item_of(thing) {
        let words = if ctx.shared.out.contains(&item) {
            "Put back in service"
        } else {
            "Put out of service"
        };
        if ui.button(words).clicked() {
            ctx.push(Action::OutOfService(item));
            ui.close();
        }
    }
    let details = ui.button("Show its details");
    if details.clicked() {
        ctx.push(Action::Select(vec![thing]));
        ctx.push(Action::Tab(Tab::Details));
        ui.close();
    }
    if name_area(&ctx.derived.layout, thing).is_some()
        && let Some(rename) = Rename::of(ctx.scenario, thing)
        && ui.button("Rename").clicked()
    {
        state.rename = Some(rename);
        ui.close();
    }
    if ctx.scenario.places.contains_key(&thing) && ui.button("Back to its column").clicked() {
        ctx.apply(
            format!("Put {} back", ctx.scenario.name(thing)),
            vec![Edit::Place { thing, place: None }],
        );
        ui.close();
    }
    if let ThingId::Radio(_) | ThingId::Telephone(_) | ThingId::Headset(_) = thing
        && let Some(port) = ctx.phase().and_then(|p| match thing {
            ThingId::Radio(id) => p.port_of_radio(id),
            ThingId::Telephone(id) => p.port_of_telephone(id),
            ThingId::Headset(id) => p.port_of_headset(id),
            _ => None,
        })
        && ui.button("Unplug it").clicked()
    {
        ctx.apply(
            format!("Unplug {}", ctx.scenario.name(port.into())),
            vec![Edit::Attach {
                phase: ctx.shared.phase,
                port,
                attachment: None,
            }],
        );
        ui.close();
    }
    if let ThingId::Agency(_) | ThingId::System(_) = thing {
        let is_folded = state.folded.contains(&thing);
        let words = if is_folded { "Expand" } else { "Collapse" };
        if ui.button(words).clicked() {
            if !state.folded.remove(&thing) {
                state.folded.insert(thing);
            }
            ui.close();
        }
    }
    if ui.button(Command::Join.name()).clicked() {
        ctx.push(Action::Select(vec![thing]));
        ctx.command(Command::Join);
        ui.close();
    }
    ui.separator();
    let several = ctx.shared.selection.len() > 1 && ctx.is_selected(thing);
    for command in [
        Command::Cut,
        Command::Copy,
        Command::Duplicate,
        Command::Keep,
    ] {
        if ui
            .button(command.name())
            .on_hover_text(command.tip())
            .clicked()
        {
            if !several {
                ctx.push(Action::Select(vec![thing]));
            }
            ctx.command(command);
            ui.close();
        }
    }
    if ui.button("Delete").clicked() {
        ctx.apply(
            format!("Remove {}", ctx.scenario.name(thing)),
            vec![Edit::Remove(thing)],
        );
        ui.close();
    }
    details
}
