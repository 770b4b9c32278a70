//! The fields of what is selected.

/// Fields being typed in.
#[derive(Debug, Default)]
pub struct DetailsState {}
