//! encryption (being filled).
