//! Why a command cannot be done now. Menus and the palette grey it out with these words.

use super::command::Command;
use super::view::ViewCtx;

/// Returns what keeps a command from being done, or `None` when it can be.
pub(super) fn hindrance(ctx: &ViewCtx<'_>, command: Command) -> Option<&'static str> {
    let selected = ctx.shared.selection.len();
    let unless = |can: bool, why| (!can).then_some(why);
    match command {
        Command::Undo => unless(
            ctx.document.undo_label().is_some(),
            "Nothing has been changed yet",
        ),
        Command::Redo => unless(
            ctx.document.redo_label().is_some(),
            "Nothing has been taken back",
        ),
        Command::Delete | Command::FitSelection => unless(selected > 0, "Select something first"),
        Command::BackToColumns => unless(
            !ctx.scenario.places.is_empty(),
            "Everything stands in its column",
        ),
        Command::GatherSites => unless(
            ctx.scenario.gateways.iter().any(|g| g.site.is_some()),
            "No gateway stands at a site yet",
        ),
        Command::TidySelection
        | Command::AlignLeft
        | Command::AlignRight
        | Command::AlignTop
        | Command::AlignBottom
        | Command::AlignCentre
        | Command::AlignMiddle => unless(selected > 1, "Select two things first"),
        Command::SpaceAcross | Command::SpaceDown => {
            unless(selected > 2, "Select three things first")
        }
        Command::Fold => unless(
            selected > 0,
            "Select an agency, a unit, a system or a channel first",
        ),
        Command::UnfoldAll => unless(!ctx.derived.layout.folds.is_empty(), "Nothing is collapsed"),
        Command::Join | Command::Menu | Command::Rename => {
            unless(selected == 1, "Select one thing first")
        }
        Command::PhaseEarlier => unless(place_of_phase(ctx) > 0, "The phase shown is the first"),
        Command::PhaseLater => unless(
            place_of_phase(ctx) + 1 < ctx.scenario.phases.len(),
            "The phase shown is the last",
        ),
        Command::Talk => unless(selected > 0, "Select a unit first"),
        Command::Quiet => unless(ctx.shared.talk.is_some(), "Nobody talks"),
        _ => None,
    }
}

/// Returns the place of the phase shown, counted from 0.
fn place_of_phase(ctx: &ViewCtx<'_>) -> usize {
    let mut ids = ctx.scenario.phases.ids();
    ids.position(|id| id == ctx.shared.phase).unwrap_or(0)
}
