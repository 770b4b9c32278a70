//! resources (being filled).
