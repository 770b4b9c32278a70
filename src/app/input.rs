//! What keys, the clipboard and files dropped on the window ask for.

use egui::{Context, Popup};

use super::action::Action;
use super::command::Command;
use super::state::View;

/// Who else wants keys.
#[derive(Debug, Clone, Copy)]
pub(super) struct Wanted {
    /// A port is selected: plain digits are the positions of its switch.
    pub port: bool,
    /// A field has just been opened and takes the keys in a moment: what is typed meanwhile is no
    /// command.
    pub field: bool,
    /// The papers are shown, over the board and every view.
    pub paper: bool,
}

/// Pushes the commands whose shortcuts were pressed.
pub(super) fn shortcuts(ctx: &Context, wanted: Wanted, actions: &mut Vec<Action>) {
    // An open menu takes Escape and letters for itself.
    let in_menu = Popup::is_any_open(ctx);
    let typing = ctx.text_edit_focused() || wanted.field || in_menu;
    let in_cells = super::views::in_cells(ctx);
    for command in Command::by_modifiers() {
        if typing && command.is_bare() {
            continue;
        }
        if wanted.port && command.is_digit() {
            continue;
        }
        if wanted.paper && !command.is_for_paper() && !command.is_view() {
            continue;
        }
        // In the tables, keys type into cells and select, copy and fill them.
        if in_cells && super::views::is_for_cells(command) {
            continue;
        }
        // Undo while typing is the field's own.
        if typing && command.is_of_text() {
            continue;
        }
        if let Some(shortcut) = command.shortcut()
            && ctx.input_mut(|i| i.consume_shortcut(&shortcut))
        {
            actions.push(Action::Command(command));
            if shortcut.modifiers.alt {
                // The letter or digit came with Alt: nobody wants it typed.
                ctx.input_mut(|i| i.events.retain(|e| !matches!(e, egui::Event::Text(_))));
            }
            if command.opens_field() {
                // Whoever types fast means the field by the next letters.
                return;
            }
        }
    }
}

/// Pushes what the clipboard keys ask for; in a text field, and in tables, they are the field's own.
pub(super) fn clipboard(ctx: &Context, view: View, actions: &mut Vec<Action>) {
    if ctx.text_edit_focused() || view == View::Tables {
        return;
    }
    let events = ctx.input(|i| i.events.clone());
    for event in events {
        match event {
            egui::Event::Copy => actions.push(Action::Command(Command::Copy)),
            egui::Event::Cut => actions.push(Action::Command(Command::Cut)),
            egui::Event::Paste(text) => actions.push(Action::Paste(text)),
            _ => {}
        }
    }
}

/// Opens the file dropped on the window.
pub(super) fn dropped_files(ctx: &Context, actions: &mut Vec<Action>) {
    let path = ctx.input(|i| i.raw.dropped_files.first().map(|f| f.path().to_owned()));
    if let Some(path) = path {
        actions.push(Action::Open(path));
    }
}
