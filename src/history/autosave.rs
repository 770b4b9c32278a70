//! When a recovery file is due: a pure decision. Writing it is somebody else's work.

/// Seconds without a change after which what was changed is kept.
pub const QUIET: f64 = 2.0;
/// Seconds after which it is kept even while changes go on.
pub const LONGEST: f64 = 20.0;

/// What the decision is made of; times are seconds of one clock.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Autosave {
    /// Revision that is in the recovery file; `None` while there is no such file.
    pub kept: Option<u64>,
    /// Revision seen last.
    pub seen: u64,
    /// When the revision moved last.
    pub moved: f64,
    /// When the first change came that is in no recovery file.
    pub first: f64,
}

impl Autosave {
    /// Begins with a document as it was just opened.
    pub fn new(revision: u64) -> Self {
        Self {
            kept: None,
            seen: revision,
            moved: 0.0,
            first: 0.0,
        }
    }

    /// Takes note of the revision of now.
    pub fn see(&mut self, revision: u64, now: f64) {
        if revision == self.seen {
            return;
        }
        if self.kept == Some(self.seen) || (self.kept.is_none() && self.first <= 0.0) {
            self.first = now;
        }
        self.seen = revision;
        self.moved = now;
    }

    /// Returns in how many seconds a recovery file is due, 0 when it is now; `None` when there is
    /// nothing to keep because the file on the disk has it all, or the recovery file has.
    pub fn due_in(&self, is_saved: bool, now: f64) -> Option<f64> {
        if is_saved || self.kept == Some(self.seen) {
            return None;
        }
        let quiet = self.moved + QUIET - now;
        let longest = self.first + LONGEST - now;
        Some(quiet.min(longest).max(0.0))
    }

    /// Takes note that a revision is in the recovery file now.
    ///
    /// What changed while it was written waits from its last change on.
    pub fn keep(&mut self, revision: u64) {
        self.kept = Some(revision);
        self.first = self.moved;
    }

    /// Tries again later, after a failure.
    pub fn put_off(&mut self) {
        self.moved += LONGEST;
        self.first = self.moved;
    }

    /// Takes note that there is no recovery file any more.
    pub fn drop_kept(&mut self) {
        self.kept = None;
        self.first = 0.0;
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn nothing_is_due_for_a_saved_document() {
        let mut autosave = Autosave::new(1);
        autosave.see(2, 10.0);
        assert_eq!(autosave.due_in(true, 100.0), None);
    }

    #[test]
    fn a_change_is_kept_after_a_pause() {
        let mut autosave = Autosave::new(1);
        autosave.see(2, 10.0);
        assert_eq!(autosave.due_in(false, 10.5), Some(1.5));
        assert_eq!(autosave.due_in(false, 12.0), Some(0.0));
        autosave.keep(2);
        assert_eq!(autosave.due_in(false, 50.0), None);
        autosave.see(3, 60.0);
        assert_eq!(autosave.due_in(false, 60.0), Some(QUIET));
    }

    #[test]
    fn what_changed_while_it_was_written_waits_anew() {
        let mut autosave = Autosave::new(1);
        autosave.see(2, 10.0);
        autosave.see(3, 31.0);
        autosave.keep(2);
        assert_eq!(autosave.due_in(false, 31.0), Some(QUIET));
        autosave.see(4, 32.5);
        assert_eq!(autosave.due_in(false, 32.5), Some(QUIET));
    }

    #[test]
    fn changes_without_a_pause_are_kept_all_the_same() {
        let mut autosave = Autosave::new(1);
        let mut due_at = None;
        for step in 0..300 {
            let now = 5.0 + f64::from(step) * 0.1;
            autosave.see(2 + step as u64, now);
            if autosave.due_in(false, now) == Some(0.0) {
                due_at = Some(now);
                break;
            }
        }
        let due_at = due_at.expect("it is due at last");
        assert!((due_at - (5.0 + LONGEST)).abs() < 0.2, "{due_at}");
    }

    #[test]
    fn a_document_never_saved_and_never_changed_waits_from_its_beginning() {
        let autosave = Autosave::new(1);
        assert_eq!(autosave.due_in(false, 0.5), Some(1.5));
    }
}
