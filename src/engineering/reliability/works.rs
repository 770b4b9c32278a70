//! The question that all of this layer asks: is the need met without these items, and how.

use super::Failed;

/// Answers whether a need is met when some items have failed.
///
/// A closure `FnMut(&Failed) -> Option<Vec<u32>>` is an oracle.
///
/// What is relied on:
///
/// - The answer is monotone: a need met without some items is met without fewer of them.
/// - The way returned is sufficient: the need is met whenever all its items are up, whatever else
///   has failed. Its order does not matter.
/// - The way avoids the failed items.
/// - The same question gets an equally true answer each time; it need not be the same way.
///
/// Ways are remembered and not asked for again, so a wrong one makes results wrong, never endless.
/// A way with items it could do without costs time and, in [`depth`](super::depth), ways.
pub trait Works {
    /// Returns the items of one way that avoids the failed items, or `None` when the need is not
    /// met without them.
    fn way(&mut self, failed: &Failed) -> Option<Vec<u32>>;
}

impl<F: FnMut(&Failed) -> Option<Vec<u32>>> Works for F {
    fn way(&mut self, failed: &Failed) -> Option<Vec<u32>> {
        self(failed)
    }
}
