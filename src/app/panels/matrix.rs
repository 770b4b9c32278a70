//! Who hears whom.

/// The matrix.
#[derive(Debug, Default)]
pub struct MatrixState {}
