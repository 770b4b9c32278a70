//! history (stub).
