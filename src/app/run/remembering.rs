//! Colours and sizes given to the toolkit, and what the window keeps for the next start.

use egui::Context;

use crate::app::application::Application;
use crate::app::memory::Memory;
use crate::app::theme::dress;

impl Application {
    /// Gives the toolkit the colours, the size of controls and the scale, when one has changed.
    pub(in crate::app) fn dress(&mut self, ctx: &Context) {
        let look = &self.ui.look;
        let now = (look.colours, look.touch, look.scale);
        if self.dressed != Some(now) {
            dress(ctx, look.colours, look.touch);
            // The desktop's own factor for dense screens stays on top of it.
            ctx.set_zoom_factor(look.scale);
            self.dressed = Some(now);
        }
    }

    /// Keeps for the next start what has changed, once it has been still for a while.
    pub(in crate::app) fn remember(&mut self, ctx: &Context) {
        /// Seconds of stillness; a window being resized is not written down at every step.
        const STILL: f64 = 1.0;
        let look = &self.ui.look;
        let (now, rect, maximized) = ctx.input(|i| {
            let port = i.viewport();
            (i.time, port.inner_rect, port.maximized.unwrap_or(false))
        });
        let size = match rect {
            Some(rect) if !maximized && rect.width() > 1.0 => {
                let size = rect.size() * look.scale;
                (size.x.round(), size.y.round())
            }
            _ => self.memory.size,
        };
        let memory = Memory {
            colours: look.is_chosen.then_some(look.colours),
            scale: look.scale,
            touch: look.touch,
            less_motion: self.ui.shared.less_motion,
            shelf: look.shelf,
            side: look.side,
            side_width: look.side_width.round(),
            beside: look.beside,
            tab: self.ui.shared.tab,
            view: self.ui.shared.view,
            size,
            maximized,
            toured: self.memory.toured,
            paper: self.ui.paper.choice.memory(),
        };
        if memory != self.memory {
            self.memory = memory;
            self.memory_moved = now;
            self.is_remembered = false;
        }
        if !self.is_remembered {
            if now - self.memory_moved >= STILL || self.ui.may_quit {
                self.effects.keep_window(&self.memory.text());
                self.is_remembered = true;
            } else {
                ctx.request_repaint_after_secs(STILL as f32);
            }
        }
    }

    /// Ends the tour; the next start is without it.
    pub(in crate::app) fn end_tour(&mut self) {
        self.ui.tour = None;
        self.memory.toured = true;
        self.is_remembered = false;
    }
}
