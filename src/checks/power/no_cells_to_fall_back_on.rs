//! A gateway runs on a supply from outside, and how long it runs without is not known.
//!
//! ## What it flags
//! A gateway in use whose supply fits and of which nothing is known inside, or not enough to say how long
//! it lasts.
//!
//! ## Why it matters
//! A vehicle drives off, a generator is refuelled, somebody trips over a lead: the join is gone at once.
//!
//! ## How it decides
//! The supply of the site lies within what the gateway takes, and the hours on what is inside cannot be
//! worked out from its draw and its battery or cells.
//!
//! ## Severity
//! Notes: it works while the supply does, and there may be cells inside that nobody noted.
//!
//! ## Example
//! The box at the command post hangs on the truck; nobody put cells in.
//!
//! ## Source
//! Follows from what is noted; that a supply from outside wants something behind it is common practice,
//! no source.

use super::in_use;
use crate::checks::Check;
use crate::model::{Evidence, Finding, Severity};
use crate::picture::Picture;

/// The check.
pub const CHECK: Check = Check {
    code: "W07",
    name: "no-cells-to-fall-back-on",
    severity: Severity::Notes,
    text: include_str!("no_cells_to_fall_back_on.rs"),
    run,
};

fn run(out: &mut Vec<Finding>, picture: &Picture) {
    for used in in_use::gateways(picture) {
        let (gateway, Some(site)) = (used.gateway, used.site) else {
            continue;
        };
        if !used.power.is_supplied() || used.power.inside_h.is_some() {
            continue;
        }
        let has_battery = gateway.battery_mah.is_some() || gateway.cells.is_some();
        let (words, inside) = if has_battery {
            (
                "how long what is inside would last is not known",
                "a battery",
            )
        } else {
            ("nothing is known inside to fall back on", "nothing noted")
        };
        let headline = format!(
            "{} runs on the supply of {}, and {words}",
            gateway.name, site.name
        );
        let mut finding = CHECK.finding(Severity::Notes, gateway.id, headline);
        finding.related = vec![site.id.into()];
        finding.evidence = vec![
            Evidence::text("inside", inside),
            Evidence::text(
                "draw",
                gateway
                    .draw_ma
                    .map_or("not noted".to_owned(), |ma| format!("{ma} mA")),
            ),
        ];
        finding.hints = vec![
            "Put cells or a battery inside and note them with the draw, then pull the lead once and \
             see that the join stays up"
                .to_owned(),
        ];
        out.push(finding);
    }
}
