//! A site from above, drawn at any size: antennas at their positions, how far to stay from each, and
//! the scale. The Figures tab and the view of a site use this one drawing.
//!
//! It reads distances off the picture and computes none but where a position lies on the screen.

mod draw;
mod scale;

use crate::app::view::ViewCtx;
use crate::model::{Antenna, ChannelId, PortRef, Site};
use crate::picture::exposure::Ring;
use crate::picture::site::{Disturbed, Product, Set, SiteView};

pub(super) use draw::{Look, draw};
pub(super) use scale::Scale;

/// An antenna on the plan, with what is known of it.
#[derive(Debug, Clone)]
pub(super) struct Spot<'a> {
    /// Its place in the site's list.
    pub index: usize,
    /// The antenna, where it is shown.
    pub antenna: Antenna,
    /// The donor it serves, where its frequencies are known.
    pub set: Option<&'a Set>,
    /// How far to stay from it.
    pub ring: Option<&'a Ring>,
}

impl Spot<'_> {
    /// Returns the port of the donor it serves.
    pub(super) fn port(&self) -> Option<PortRef> {
        self.set.map(|s| s.port)
    }
}

/// Lists the antennas of a site.
pub(super) fn spots<'a>(site: &Site, view: Option<&'a SiteView>) -> Vec<Spot<'a>> {
    let found = site.antennas.iter().enumerate().map(|(index, antenna)| {
        // Only the first antenna of a radio counts; the picture takes the same one.
        let is_first = antenna.radio.is_some_and(|radio| {
            let mut all = site.antennas.iter();
            all.position(|a| a.radio == Some(radio)) == Some(index)
        });
        let set = view
            .filter(|_| is_first)
            .and_then(|v| v.sets.iter().find(|s| Some(s.radio) == antenna.radio));
        let ring = view
            .zip(set)
            .and_then(|(v, set)| v.exposure.rings.iter().find(|r| r.port == set.port));
        Spot {
            index,
            antenna: antenna.clone(),
            set,
            ring,
        }
    });
    found.collect()
}

/// Names a port in a sentence.
pub(super) fn port_words(ctx: &ViewCtx<'_>, port: PortRef) -> String {
    format!(
        "port {} of {}",
        port.port,
        ctx.scenario.name(port.gateway.into())
    )
}

/// Names whose receiver is disturbed, in a sentence.
pub(super) fn disturbed_words(ctx: &ViewCtx<'_>, disturbed: Disturbed) -> String {
    match disturbed {
        Disturbed::Donor(port) => port_words(ctx, port),
        Disturbed::Listeners(channel) => {
            format!("radios on {} nearby", ctx.scenario.name(channel.into()))
        }
    }
}

/// Writes the signals of a mixing product with their coefficients.
pub(super) fn terms_words(ctx: &ViewCtx<'_>, site: &SiteView, product: &Product) -> String {
    let channel = |port: PortRef| -> Option<ChannelId> {
        let mut sets = site.sets.iter();
        sets.find(|s| s.port == port).map(|s| s.channel)
    };
    let terms = product.terms.iter().map(|(times, port)| {
        let name = channel(*port).map_or_else(String::new, |c| ctx.scenario.name(c.into()));
        format!("{times} x {name}")
    });
    terms.collect::<Vec<_>>().join(", ")
}

/// Writes a length in metres: whole ones from a hundred on.
pub(super) fn metres(value: f64) -> String {
    if value < 100.0 {
        format!("{} m", short(value))
    } else {
        format!("{value:.0} m")
    }
}

/// Writes a number with one decimal, or none where it has none.
pub(super) fn short(value: f64) -> String {
    let text = format!("{value:.1}");
    text.strip_suffix(".0").unwrap_or(&text).to_owned()
}
