//! engineering (stub).
