//! What will go wrong. (stub contract)

use crate::model::{Finding, Severity};
use crate::picture::Picture;

/// One check.
#[derive(Debug, Clone, Copy)]
pub struct Check {
    /// Code that lives forever, such as `R01`.
    pub code: &'static str,
    /// The bad pattern, in a few words with dashes: `unheard-need`.
    pub name: &'static str,
    /// Its worst severity.
    pub severity: Severity,
    /// Source text of the file; its leading `//!` lines are the handbook entry.
    pub text: &'static str,
    /// Adds findings.
    pub run: fn(&mut Vec<Finding>, &Picture),
}

/// Every finding of a picture: open ones, and accepted ones apart.
#[derive(Debug, Clone, Default)]
pub struct Report {
    /// Findings nobody accepted, worst first.
    pub open: Vec<Finding>,
    /// Findings accepted with the facts they have now.
    pub accepted: Vec<Finding>,
}

/// Runs all checks.
pub fn run_all(_picture: &Picture) -> Report {
    Report::default()
}

/// Finds a check by code or name.
pub fn find(_code: &str) -> Option<&'static Check> {
    None
}
