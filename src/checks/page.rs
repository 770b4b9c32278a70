//! The handbook page of a check, cut out of its source file.
//!
//! A page is the leading `//!` lines: a first sentence, then the sections "What it flags", "Why it
//! matters", "How it decides", "Severity", "Example" and "Source", each under a `## ` heading.

use super::Check;

/// The sections every page has, in order.
pub const SECTIONS: [&str; 6] = [
    "What it flags",
    "Why it matters",
    "How it decides",
    "Severity",
    "Example",
    "Source",
];

/// A handbook page.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Page {
    /// The first sentence.
    pub summary: String,
    /// Headings and their text, in the order of the file.
    pub sections: Vec<(String, String)>,
}

impl Page {
    /// Cuts the page out of a source text.
    pub fn of(source: &str) -> Self {
        let mut page = Self::default();
        for line in source.lines().map_while(|l| l.strip_prefix("//!")) {
            let line = line.strip_prefix(' ').unwrap_or(line);
            if let Some(heading) = line.strip_prefix("## ") {
                page.sections
                    .push((heading.trim().to_owned(), String::new()));
                continue;
            }
            let text = match page.sections.last_mut() {
                Some((_, text)) => text,
                None => &mut page.summary,
            };
            if line.trim().is_empty() {
                if !text.is_empty() && !text.ends_with('\n') {
                    text.push('\n');
                }
            } else {
                if !text.is_empty() && !text.ends_with('\n') {
                    text.push(' ');
                }
                text.push_str(line.trim_end());
            }
        }
        page.summary.truncate(page.summary.trim_end().len());
        for (_, text) in &mut page.sections {
            text.truncate(text.trim_end().len());
        }
        page
    }

    /// Returns the text under a heading.
    pub fn section(&self, heading: &str) -> Option<&str> {
        self.sections
            .iter()
            .find(|(h, _)| h == heading)
            .map(|(_, text)| text.as_str())
    }
}

/// Returns the whole handbook as Markdown: every page, in the order of the registry.
pub fn handbook(checks: &[Check]) -> String {
    let mut text = format!(
        "# Handbook of checks\n\n{} checks, each with what it flags, why that matters on the air, how it \
         decides and where that comes from.\nA planning aid: a plan is proved only on the air, and local \
         rules and licensed practice come first.\n",
        checks.len()
    );
    for check in checks {
        let page = check.page();
        let Check {
            code,
            name,
            severity,
            ..
        } = check;
        text.push_str(&format!(
            "\n## {code} {name} ({severity})\n\n{}\n",
            page.summary
        ));
        for (heading, words) in &page.sections {
            text.push_str(&format!(
                "\n**{heading}.** {}\n",
                words.replace('\n', "\n\n")
            ));
        }
    }
    text
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_page_ends_where_the_code_begins() {
        let page = Page::of(
            "//! A sum.\n//!\n//! ## Source\n//! One\n//! two.\n//!\n//! Three.\n\nuse x;\n//! no\n",
        );
        assert_eq!(page.summary, "A sum.");
        assert_eq!(page.section("Source"), Some("One two.\nThree."));
        assert_eq!(page.sections.len(), 1);
    }
}
