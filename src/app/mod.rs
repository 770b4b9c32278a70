//! app (stub).
