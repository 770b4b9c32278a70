//! What a person gives beside the plan: paper, agency, logo, names, and when it was prepared.

use std::sync::Arc;

use super::set::logo::Logo;
use super::set::sheet::Paper;

/// What is printed beside the plan. Nothing of it comes from a clock unless somebody asked for that.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Given {
    /// Paper for forms, sheets and briefing; cards are half of it.
    pub paper: Paper,
    /// Paper for the drawings, up to wall size.
    pub wall: Paper,
    /// Agency that heads the pages.
    pub agency: String,
    /// Its logo.
    pub logo: Option<Arc<Logo>>,
    /// Who prepared it.
    pub by: String,
    /// In what position.
    pub position: String,
    /// When it was prepared, as it is to read; empty to be written in by hand.
    pub prepared: String,
}
