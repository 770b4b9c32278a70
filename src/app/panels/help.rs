//! Help: how to use the board, what a plan does not prove, and the handbook of checks.

use egui::{RichText, ScrollArea, Ui};

use super::dialogs::title;
use super::topics::Topic;
use crate::app::command::Command;
use crate::app::theme::{
    Sign, Tokens, primary_button, semibold, severity_pair, severity_sign, sign_label,
};
use crate::app::view::ViewCtx;
use crate::app::words::sentence;
use crate::checks;

fn close_button(ctx: &ViewCtx<'_>, ui: &mut Ui, close: &mut bool) {
    if primary_button(ui, ctx.tokens, "Close").clicked() {
        *close = true;
    }
}

/// The help: a list of pages, and one of them.
pub(super) fn how_to(ctx: &ViewCtx<'_>, ui: &mut Ui, topic: &mut Topic, close: &mut bool) {
    let t = ctx.tokens;
    ui.set_width(800.0);
    title(ctx, ui, Sign::Logo, "How to use the board");
    ui.horizontal_top(|ui| {
        let down = egui::Layout::top_down(egui::Align::Min);
        ui.allocate_ui_with_layout(egui::vec2(200.0, 470.0), down, |ui| {
            ScrollArea::vertical()
                .id_salt("help-list")
                .auto_shrink(false)
                .max_height(470.0)
                .show(ui, |ui| {
                    ui.spacing_mut().item_spacing.y = 2.0;
                    for page in Topic::all() {
                        if ui.selectable_label(page == *topic, page.title()).clicked() {
                            *topic = page;
                        }
                    }
                });
        });
        ui.allocate_ui_with_layout(egui::vec2(580.0, 470.0), down, |ui| {
            ScrollArea::vertical()
                .id_salt(("help-page", topic.title()))
                .auto_shrink(false)
                .max_height(470.0)
                .show(ui, |ui| {
                    ui.horizontal(|ui| {
                        sign_label(ui, topic.sign(), 18.0, t.accent.ink);
                        ui.label(RichText::new(topic.title()).font(semibold(15.0)));
                    });
                    match topic {
                        Topic::Board => at_a_glance(ui, t),
                        Topic::Keys => keys(ui, t),
                        Topic::Kind(_) | Topic::View(_) | Topic::Paper => {
                            for text in topic.text() {
                                ui.add(egui::Label::new(RichText::new(*text).color(t.soft)).wrap());
                            }
                        }
                    }
                });
        });
    });
    close_button(ctx, ui, close);
}

/// Every command with its keys.
fn keys(ui: &mut Ui, t: &Tokens) {
    egui::Grid::new("keys")
        .num_columns(3)
        .striped(true)
        .show(ui, |ui| {
            for command in Command::ALL {
                if let Some(shortcut) = command.shortcut() {
                    ui.label(RichText::new(command.name()).color(t.text));
                    ui.label(
                        RichText::new(ui.ctx().format_shortcut(&shortcut)).font(semibold(12.5)),
                    );
                    ui.label(RichText::new(command.tip()).size(12.0).color(t.faint));
                    ui.end_row();
                }
            }
        });
}

/// The board on one page.
fn at_a_glance(ui: &mut Ui, t: &Tokens) {
    for (sign, head, text) in [
        (
            Sign::Unit,
            "Lay it out",
            "Drag agencies, units, systems, channels and gateways from the shelf. Drop a radio \
                 on a unit to hand it over, or on a port to make it a donor. Double-click adds \
                 without dragging.",
        ),
        (
            Sign::Plus,
            "Type to add",
            "Press A and type, such as fire 12 VHF, gateway 5, VTAC11 or need engine 1 -> patrol 1. \
             The line below says what Enter will do. Tab completes, Escape closes.",
        ),
        (
            Sign::Stock,
            "Copy and keep",
            "Ctrl+C and Ctrl+V carry the selection with all it needs, also to another window; \
             Ctrl+D doubles it. Keep in my things, in the menu Edit, puts it on your own shelf \
             for other scenarios.",
        ),
        (
            Sign::Path,
            "Connect",
            "Point at a thing and drag the ring at its edge to another: a radio to a channel, a \
                 donor to a port, a unit to a unit that must reach it. Only what can be joined stays \
                 lit; the rest says why not.",
        ),
        (
            Sign::Gateway,
            "Switch",
            "Click the positions of a port's switch to move it between talk groups, or to none. \
                 All ports on one talk group hear each other.",
        ),
        (
            Sign::Mic,
            "Let a unit talk",
            "Press and hold a unit, its microphone, or the key T. The path lights up hop by hop; \
                 whoever hears gets an ear and the delay, whoever does not a crossed ear. Shift+T \
                 keeps it talking: then click one who does not hear to see why, and what would join \
                 them.",
        ),
        (
            Sign::Warns,
            "Mind the findings",
            "They follow every change. Open one for the reason, the numbers and the cure. A fix \
                 is one click, and Ctrl+Z takes it back. What you can live with you accept, with a \
                 reason and a name.",
        ),
        (
            Sign::Fit,
            "Move around",
            "Scroll to move, Ctrl and scroll to come closer, F for everything, Shift+F for the \
                 selection. Drag on empty ground to select several; Tab and the arrow keys walk from \
                 thing to thing, Space selects; Alt and an arrow moves the selection.",
        ),
        (
            Sign::Search,
            "Find and arrange",
            "Ctrl+F finds names, frequencies, codes, group numbers, connectors and notes; F3 goes on \
                 to the next. Ctrl+Shift+P runs any command or goes to any thing by a few letters. C \
                 collapses an agency to one chip, F2 or a double click on a name changes it, and \
                 Arrange tidies, lines up and spaces out.",
        ),
        (
            Sign::Phase,
            "Phases",
            "Switches, attachments and selected channels may differ from phase to phase. Choose \
                 the phase at the top; P goes to the next.",
        ),
    ] {
        ui.horizontal_top(|ui| {
            sign_label(ui, sign, 18.0, t.accent.ink);
            ui.vertical(|ui| {
                ui.spacing_mut().item_spacing.y = 2.0;
                ui.label(RichText::new(head).font(semibold(13.5)));
                ui.add(egui::Label::new(RichText::new(text).color(t.soft)).wrap());
            });
        });
    }
}

/// What a plan does not prove.
pub(super) fn cautions(ctx: &ViewCtx<'_>, ui: &mut Ui, close: &mut bool) {
    let t = ctx.tokens;
    ui.set_width(560.0);
    title(ctx, ui, Sign::Warns, "Cautions");
    for text in [
        "This is a planning aid. A plan is proved only on the air: test every patch both ways before \
         anybody relies on it.",
        "Local procedures and licensed practice come first.",
        "Transmit only where you are licensed and coordinated to.",
        "Encrypted traffic that goes through a gateway may leave it in clear.",
        "Distances from transmitting antennas are estimates, no survey.",
        "Decontaminate, charge batteries and do electrical work by the maker's instructions and the \
         local safety rules.",
        "What is assumed about a radio stays assumed until somebody has verified it on the set.",
    ] {
        ui.horizontal_top(|ui| {
            sign_label(ui, Sign::Notes, 15.0, t.warns.ink);
            ui.add(egui::Label::new(text).wrap());
        });
    }
    close_button(ctx, ui, close);
}

/// The handbook: a list of checks, and the page of one.
pub(super) fn handbook(
    ctx: &ViewCtx<'_>,
    ui: &mut Ui,
    code: &mut Option<String>,
    close: &mut bool,
) {
    let t = ctx.tokens;
    ui.set_width(760.0);
    title(ctx, ui, Sign::Paper, "Handbook of checks");
    ui.horizontal_top(|ui| {
        let down = egui::Layout::top_down(egui::Align::Min);
        ui.allocate_ui_with_layout(egui::vec2(250.0, 500.0), down, |ui| {
            ScrollArea::vertical()
                .id_salt("handbook-list")
                .auto_shrink(false)
                .max_height(500.0)
                .show(ui, |ui| {
                    ui.spacing_mut().item_spacing.y = 2.0;
                    for check in checks::ALL {
                        let is_on = code.as_deref() == Some(check.code);
                        let name = format!("{}  {}", check.code, check.name.replace('-', " "));
                        if ui.selectable_label(is_on, name).clicked() {
                            *code = Some(check.code.to_owned());
                        }
                    }
                });
        });
        ui.allocate_ui_with_layout(egui::vec2(490.0, 500.0), down, |ui| {
            ScrollArea::vertical()
                .id_salt(("handbook-page", code.clone()))
                .auto_shrink(false)
                .max_height(500.0)
                .show(ui, |ui| {
                    let asked = code.as_deref().and_then(checks::find);
                    let Some(check) = asked.or_else(|| checks::ALL.first()) else {
                        ui.weak("No check yet");
                        return;
                    };
                    let page = check.page();
                    let pair = severity_pair(t, check.severity);
                    ui.horizontal(|ui| {
                        sign_label(ui, severity_sign(check.severity), 17.0, pair.ink);
                        let name = sentence(&check.name.replace('-', " "));
                        ui.label(
                            RichText::new(format!("{} {name}", check.code)).font(semibold(15.0)),
                        );
                    });
                    ui.add(egui::Label::new(page.summary.as_str()).wrap());
                    for (head, text) in &page.sections {
                        ui.add_space(4.0);
                        ui.label(RichText::new(head).font(semibold(13.0)));
                        ui.add(egui::Label::new(RichText::new(text).color(t.soft)).wrap());
                    }
                });
        });
    });
    close_button(ctx, ui, close);
}
