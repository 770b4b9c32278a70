//! cli (stub).
