//! A menu of the bar: one click opens it whatever else is open, pointing or the arrow keys go from one open
//! menu to the next. Must not know what stands in a menu.

use egui::containers::menu::{MenuConfig, MenuState};
use egui::{
    Button, Context, FocusDirection, Id, Key, Modifiers, Popup, PopupCloseBehavior, SetOpenCommand,
    Ui, UiKind, UiStackInfo,
};

/// What is known of the bar from one frame to the next.
#[derive(Debug, Clone, Copy, Default)]
struct Known {
    /// The menu that is open, and its place in the bar.
    open: Option<(Id, usize)>,
    /// It was opened by pointing at it, so that a click on its name is no wish to close it.
    by_pointing: bool,
    /// How many menus the bar has.
    count: usize,
    /// The frame in which a name in a menu that opens a further menu had the focus.
    submenu: u64,
}

/// The menus of a bar while they are shown.
pub(super) struct Menus {
    known: Known,
    /// The menu that an arrow key goes to.
    goes_to: Option<usize>,
    next: usize,
}

impl Menus {
    /// Begins a bar, and takes an arrow key that goes from one open menu to another.
    pub(super) fn begin(ctx: &Context) -> Self {
        let mut known: Known = ctx.data(|d| d.get_temp(bar_id())).unwrap_or_default();
        known.open = known.open.filter(|(id, _)| Popup::is_id_open(ctx, *id));
        let goes_to = known.open.and_then(|(id, at)| {
            let inner = MenuState::from_id(ctx, id, |state| state.open_item);
            let is_further = known.submenu + 1 >= ctx.cumulative_frame_nr();
            let key = |key| ctx.input_mut(|i| i.consume_key(Modifiers::NONE, key));
            if inner.is_some() || known.count < 2 {
                return None;
            }
            if key(Key::ArrowLeft) {
                return Some((at + known.count - 1) % known.count);
            }
            (!is_further && key(Key::ArrowRight)).then_some((at + 1) % known.count)
        });
        let goes_to = goes_to.or_else(|| is_asked_for(ctx).then_some(0));
        if goes_to.is_some() {
            ctx.memory_mut(|m| m.move_focus(FocusDirection::None));
        }
        Self {
            known,
            goes_to,
            next: 0,
        }
    }

    /// Shows one menu of the bar.
    pub(super) fn menu(&mut self, ui: &mut Ui, name: &str, content: impl FnOnce(&mut Ui)) {
        let place = self.next;
        self.next += 1;
        let response = ui.add(Button::new(name));
        let mut popup = Popup::menu(&response);
        let id = popup.get_id();
        let is_open = Popup::is_id_open(ui.ctx(), id);
        let other = self.known.open.is_some_and(|(open, _)| open != id);
        let mut by_pointing = self.known.by_pointing;
        let mut behaviour = PopupCloseBehavior::default();
        if self.goes_to == Some(place) {
            popup = popup.open_memory(SetOpenCommand::Bool(true));
            response.request_focus();
            by_pointing = false;
        } else if response.clicked() {
            if is_open && self.known.by_pointing {
                popup = popup.open_memory(SetOpenCommand::Bool(true));
                behaviour = PopupCloseBehavior::IgnoreClicks;
            }
            by_pointing = false;
        } else if response.hovered() && other && self.goes_to.is_none() && has_moved(ui) {
            popup = popup.open_memory(SetOpenCommand::Bool(true));
            by_pointing = true;
        }
        let config = MenuConfig::find(ui);
        let info = UiStackInfo::new(UiKind::Menu)
            .with_tag_value(MenuConfig::MENU_CONFIG_TAG, MenuConfig::new());
        let shown = popup
            .close_behavior(behaviour)
            .style(config.style)
            .info(info)
            .show(content);
        if shown.is_some() && Popup::is_id_open(ui.ctx(), id) {
            self.known.open = Some((id, place));
            self.known.by_pointing = by_pointing;
        }
    }

    /// Ends the bar.
    pub(super) fn end(mut self, ctx: &Context) {
        self.known.count = self.next;
        ctx.data_mut(|d| {
            // What a menu noted while it was shown is newer.
            let noted = d.get_temp::<Known>(bar_id()).map_or(0, |k| k.submenu);
            self.known.submenu = noted;
            d.insert_temp(bar_id(), self.known);
        });
    }
}

/// Tells whether the key was pressed that opens the first menu.
fn is_asked_for(ctx: &Context) -> bool {
    let is_plain = ctx.input(|i| i.modifiers.is_none()) && !Popup::is_any_open(ctx);
    is_plain && ctx.input_mut(|i| i.consume_key(Modifiers::NONE, Key::F10))
}

/// Notes that a name which opens a further menu has the focus: the right arrow key is for it.
pub(super) fn has_further(ctx: &Context) {
    let frame = ctx.cumulative_frame_nr();
    ctx.data_mut(|d| {
        let known: &mut Known = d.get_temp_mut_or_default(bar_id());
        known.submenu = frame;
    });
}

fn bar_id() -> Id {
    Id::unique("menu-bar")
}

/// Tells whether the pointer moves; one that only rests on a name must not undo what a key did.
fn has_moved(ui: &Ui) -> bool {
    ui.input(|i| i.pointer.delta() != egui::Vec2::ZERO || i.pointer.any_pressed())
}
