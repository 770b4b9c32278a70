//! The menu under the right mouse button.

use egui::{Response, Ui};

use super::hit::party_of;
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
            thing_menu(ctx, ui, hit.thing);
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
                for command in [
                    Command::TypeToAdd,
                    Command::Paste,
                    Command::Fit,
                    Command::SelectAll,
                    Command::Tidy,
                ] {
                    if ui.button(command.name()).clicked() {
                        ctx.command(command);
                        ui.close();
                    }
                }
            }
        }
    });
}

fn thing_menu(ctx: &mut ViewCtx<'_>, ui: &mut Ui, thing: ThingId) {
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
    if ui.button("Show its details").clicked() {
        ctx.push(Action::Select(vec![thing]));
        ctx.push(Action::Tab(Tab::Details));
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
}
