//! What will go wrong.

/// The list of findings.
#[derive(Debug, Default)]
pub struct FindingsState {}
