//! The number keys that switch a port, alike on the board and in the lanes of the talk groups.

use egui::{Context, Id, Key, Modifiers, Ui};

use super::action::Action;
use super::view::ViewCtx;
use crate::model::{Edit, PortRef};

const DIGITS: [Key; 10] = [
    Key::Num0,
    Key::Num1,
    Key::Num2,
    Key::Num3,
    Key::Num4,
    Key::Num5,
    Key::Num6,
    Key::Num7,
    Key::Num8,
    Key::Num9,
];

/// Switches a port by a number key: to the talk group of that number, or by 0 to none.
pub(super) fn switch_by_number(ctx: &mut ViewCtx<'_>, ui: &Ui, port: PortRef) {
    for (number, key) in (0_u8..).zip(DIGITS) {
        if !ui.input_mut(|i| i.consume_key(Modifiers::NONE, key)) {
            continue;
        }
        let name = ctx.scenario.name(port.into());
        let group = (number > 0).then_some(number);
        let exists = ctx
            .scenario
            .gateways
            .get(port.gateway)
            .is_some_and(|g| group.is_none_or(|n| g.talk_group(n).is_some()));
        if !exists {
            ctx.push(Action::Say(format!("{name} has no talk group {number}")));
            continue;
        }
        let label = match group {
            Some(n) => format!("Switch {name} to talk group {n}"),
            None => format!("Switch {name} to none"),
        };
        let phase = ctx.shared.phase;
        ctx.apply(label, vec![Edit::Switch { phase, port, group }]);
    }
}

/// Notes that a widget stands for a port while it has the focus.
pub(super) fn stands_for_port(ctx: &Context, widget: Id) {
    ctx.data_mut(|d| d.insert_temp(noted(), widget));
}

/// Tells whether what has the focus stands for a port, so that number keys are for it.
pub(super) fn has_port_in_focus(ctx: &Context) -> bool {
    let focused = ctx.memory(egui::Memory::focused);
    let widget = ctx.data(|d| d.get_temp::<Id>(noted()));
    widget.is_some() && widget == focused
}

fn noted() -> Id {
    Id::unique("stands-for-port")
}
