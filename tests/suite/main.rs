//! The one test binary: linking it once is the slow part.

mod format;
mod samples;
