//! programming (being filled).
