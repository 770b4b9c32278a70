//! The bar at the top: menus, the phase, undo and redo, the theme.

use egui::{Align, Button, Layout, MenuBar, RichText, Ui};

use super::menu_bar::{Menus, has_further};
use crate::app::action::Action;
use crate::app::command::{Command, Menu};
use crate::app::files;
use crate::app::hindrance::hindrance;
use crate::app::shelf::Article;
use crate::app::state::View;
use crate::app::theme::{Colours, Sign, semibold, sign_button, sign_label};
use crate::app::view::ViewCtx;
use crate::app::words::sentence;

/// Shows the top bar.
pub(crate) fn top_bar_ui(ctx: &mut ViewCtx<'_>, ui: &mut Ui) {
    let t = ctx.tokens;
    MenuBar::new().ui(ui, |ui| {
        sign_label(ui, Sign::Logo, 20.0, t.accent.ink);
        ui.label(
            RichText::new("Crosspatch")
                .font(semibold(15.0))
                .color(t.text),
        );
        ui.add_space(10.0);
        menus(ctx, ui);
        ui.with_layout(Layout::right_to_left(Align::Center), |ui| {
            let colours = ctx.look.colours;
            let sign = match colours.next() {
                Colours::Light | Colours::Sunlight => Sign::Sun,
                Colours::Dark | Colours::Night => Sign::Moon,
            };
            let name = format!(
                "Colours: {}, next {}",
                colours.word(),
                colours.next().word()
            );
            if sign_button(ui, t, sign, &name, true).clicked() {
                ctx.command(Command::Theme);
            }
            ui.add_space(8.0);
            history(ctx, ui);
            ui.with_layout(Layout::left_to_right(Align::Center), |ui| {
                ui.add_space(16.0);
                title(ctx, ui);
            });
        });
    });
}

fn title(ctx: &ViewCtx<'_>, ui: &mut Ui) {
    let t = ctx.tokens;
    let name = match ctx.shared.file.as_deref().and_then(|f| f.file_name()) {
        Some(name) => name.to_string_lossy().into_owned(),
        None => ctx.scenario.header.title.clone(),
    };
    let name = if name.is_empty() {
        "New scenario".to_owned()
    } else {
        name
    };
    let state = if ctx.derived.is_saved { "" } else { "  edited" };
    ui.add(egui::Label::new(RichText::new(format!("{name}{state}")).color(t.faint)).truncate());
}

fn history(ctx: &mut ViewCtx<'_>, ui: &mut Ui) {
    let t = ctx.tokens;
    let redo = ctx.document.redo_label().map(str::to_owned);
    let name = redo.as_ref().map_or_else(
        || "Nothing to redo".to_owned(),
        |label| format!("Redo: {label}"),
    );
    if sign_button(ui, t, Sign::Redo, &name, redo.is_some()).clicked() {
        ctx.command(Command::Redo);
    }
    let undo = ctx.document.undo_label().map(str::to_owned);
    let name = undo.as_ref().map_or_else(
        || "Nothing to undo".to_owned(),
        |label| format!("Undo: {label}"),
    );
    if sign_button(ui, t, Sign::Undo, &name, undo.is_some()).clicked() {
        ctx.command(Command::Undo);
    }
}

fn item(ctx: &mut ViewCtx<'_>, ui: &mut Ui, command: Command) {
    let mut button = Button::new(command.name()).selected(is_on(ctx, command));
    if let Some(shortcut) = command.shortcut() {
        button = button.shortcut_text(ui.ctx().format_shortcut(&shortcut));
    }
    let why_not = hindrance(ctx, command);
    if ui
        .add_enabled(why_not.is_none(), button)
        .on_hover_text(command.tip())
        .on_disabled_hover_text(why_not.unwrap_or_default())
        .clicked()
    {
        ctx.command(command);
        ui.close();
    }
}

fn menus(ctx: &mut ViewCtx<'_>, ui: &mut Ui) {
    let mut bar = Menus::begin(ui.ctx());
    for menu in Menu::ALL {
        if menu == Menu::Arrange {
            bar.menu(ui, "Add", |ui| add_menu(ctx, ui));
        }
        bar.menu(ui, menu.name(), |ui| {
            ui.set_min_width(230.0);
            menu_ui(ctx, ui, menu);
        });
    }
    bar.end(ui.ctx());
}

/// Tells whether what a command switches on is on.
fn is_on(ctx: &ViewCtx<'_>, command: Command) -> bool {
    let (shared, look) = (ctx.shared, ctx.look);
    match command {
        Command::ViewBoard => shared.view == View::Board,
        Command::ViewMatrix => shared.view == View::Matrix,
        Command::ViewNeeds => shared.view == View::Needs,
        Command::ViewGroups => shared.view == View::Groups,
        Command::ViewSite => shared.view == View::Site,
        Command::ViewTables => shared.view == View::Tables,
        Command::ViewPrecheck => shared.view == View::Precheck,
        Command::Beside => look.beside,
        Command::Needs => shared.show_needs,
        Command::Shelf => look.shelf,
        Command::Side => look.side,
        Command::ThemeLight => look.colours == Colours::Light,
        Command::ThemeDark => look.colours == Colours::Dark,
        Command::ThemeSunlight => look.colours == Colours::Sunlight,
        Command::ThemeNight => look.colours == Colours::Night,
        Command::Touch => look.touch,
        _ => false,
    }
}

/// The commands of a menu, a line between two groups.
fn menu_ui(ctx: &mut ViewCtx<'_>, ui: &mut Ui, menu: Menu) {
    let mut last = None;
    for command in Command::of_menu(menu) {
        let (_, group) = command.menu();
        if last.is_some_and(|last| last != group) {
            if last == Some(1) && menu == Menu::File {
                other_files(ctx, ui);
            }
            ui.separator();
        }
        last = Some(group);
        item(ctx, ui, command);
        let label = match command {
            Command::Undo => ctx.document.undo_label(),
            Command::Redo => ctx.document.redo_label(),
            _ => None,
        };
        if let Some(label) = label {
            ui.label(RichText::new(format!("   {label}")).size(11.5).weak());
        }
    }
}

fn add_menu(ctx: &mut ViewCtx<'_>, ui: &mut Ui) {
    ui.set_min_width(180.0);
    let all = Article::SHELF.into_iter().chain(Article::LISTED);
    for (i, article) in all.enumerate() {
        if i == Article::SHELF.len() {
            ui.separator();
        }
        if ui
            .button(sentence(article.word()))
            .on_hover_text(article.tip())
            .clicked()
        {
            ctx.push(Action::Add {
                article,
                at: None,
                on: None,
            });
            ui.close();
        }
    }
}

/// Files opened lately and the shipped scenarios.
fn other_files(ctx: &mut ViewCtx<'_>, ui: &mut Ui) {
    let recent = ctx.shared.recent.clone();
    ui.add_enabled_ui(!recent.is_empty(), |ui| {
        let further = ui.menu_button("Open recent", |ui| {
            for path in recent {
                let name = path
                    .file_name()
                    .map_or_else(String::new, |n| n.to_string_lossy().into_owned());
                if ui
                    .button(name)
                    .on_hover_text(path.display().to_string())
                    .clicked()
                {
                    ctx.push(Action::Open(path));
                    ui.close();
                }
            }
        });
        if further.response.has_focus() {
            has_further(ui.ctx());
        }
    });
    let further = ui.menu_button("Shipped scenarios", |ui| {
        for (i, sample) in files::shipped().into_iter().enumerate() {
            if ui
                .button(sentence(sample.name))
                .on_hover_text(sample.about)
                .clicked()
            {
                ctx.push(Action::OpenSample(i));
                ui.close();
            }
        }
    });
    if further.response.has_focus() {
        has_further(ui.ctx());
    }
}
