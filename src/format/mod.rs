//! format (stub).
