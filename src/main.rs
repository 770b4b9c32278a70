//! The program: no verb opens the board, a verb runs without a window.

fn main() {}
