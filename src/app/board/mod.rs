//! The board: things, lines and what happens between them.
//!
//! `crate::layout` says where things stand, `camera` how the board lies in the window, `hit` what is under
//! a spot, `interact` what the pointer does, `draw` and its siblings how all looks, `talk` what
//! lights up while somebody talks. Nothing here changes a scenario; it asks by actions.

mod camera;
mod cards;
mod comparing;
mod drag;
mod draw;
mod far;
mod folded;
mod gateways;
mod hit;
mod interact;
mod join;
#[cfg(test)]
mod kept;
mod keys;
mod line_draw;
mod lit;
mod menu;
mod needs;
mod nodes;
mod obstacle;
mod out_of_service;
mod overlay;
mod pen;
mod phase_change;
mod pieces;
mod reading;
mod reconnect;
mod rename;
mod sheet;
mod snap;
mod state;
mod strands;
mod talk;
mod talk_draw;
mod talk_labels;
mod talk_strip;
mod texts;

pub(super) use draw::board_ui;
pub(super) use hit::{moves_with, party_of, thing_at};
pub(super) use rename::Rename;
pub(super) use state::{BoardState, Joining};
pub(super) use talk::TalkView;
