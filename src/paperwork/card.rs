//! The gateway card: one half page for each gateway and phase, for the lid of a wet, closed box.
//!
//! Everything on it is as large as one page allows, and nothing in its body is smaller than nine points:
//! words are dropped before letters get smaller, and what is then too much goes on overleaf, under the
//! same head. The order of bringing up is common practice, no source.

mod groups;
mod notes;
mod ports;

use emath::{Rect, pos2, vec2};

use crate::model::{Finding, Gateway, Severity, TalkGroupRef, ThingId};

use super::leak::Opened;
use super::on::{On, letterhead};
use super::set::composer::{Composer, Margin, Pad, leading};
use super::set::face::Face;
use super::set::ink::{Ink, Pen, Tint};
use super::set::sheet::{Document, Role};

/// Size of the body at 100 percent, in points.
const BODY: f32 = 10.0;
/// Sizes tried in percent of it, from the largest down in even steps.
const LARGEST: u32 = 140;
const SMALLEST: u32 = 90;
const STEP: usize = 2;
/// The size below which words are dropped first, in percent.
const GOOD: u32 = 100;

const MARGIN: Margin = Margin {
    side: 15.0,
    top: 14.0,
    bottom: 24.0,
};

/// How much a card says.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Words {
    /// All that helps.
    Full,
    /// What cannot be done without.
    Brief,
}

/// How a card is set.
#[derive(Debug, Clone, Copy, PartialEq)]
struct Setting {
    percent: u32,
    words: Words,
}

impl Setting {
    /// Returns the size of the body, in points.
    fn body(self) -> f32 {
        BODY * self.scale()
    }

    fn scale(self) -> f32 {
        self.percent as f32 / 100.0
    }

    fn is_full(self) -> bool {
        self.words == Words::Full
    }
}

/// Sets a card for each gateway; a plan without one gets a page that says so.
pub fn set(on: &On<'_>) -> Document {
    let cards: Vec<Document> = on
        .scenario()
        .gateways
        .iter()
        .map(|gateway| card(on, gateway))
        .collect();
    let title = format!("Gateway cards: {}, {}", on.incident(), on.phase_name());
    if cards.is_empty() {
        return none(on, &title);
    }
    Document::joined(&title, cards)
}

/// The page of a plan that has no gateway.
fn none(on: &On<'_>, title: &str) -> Document {
    let mut page = Composer::new(on.faces, on.given.paper.half(), MARGIN);
    letterhead(on.given, &mut page, 22.0);
    page.heading_sized(1, "No gateway card", 16.0);
    page.paragraph(
        "The plan has no gateway, so there is no card. Add a gateway, then make the cards.",
        Face::Regular,
        BODY,
    );
    page.finish(title, foot)
}

/// Sets the card of one gateway.
pub fn card(on: &On<'_>, gateway: &Gateway) -> Document {
    let opened = Opened::all(on);
    let sizes = || (SMALLEST..=LARGEST).rev().step_by(STEP);
    let setting = |percent, words| Setting { percent, words };
    let whole = |setting: Setting| {
        let mut page = front(on, gateway, &opened, setting);
        back(on, gateway, &mut page, setting);
        page
    };
    let full = sizes().filter(|p| *p >= GOOD);
    let full = full.map(|p| setting(p, Words::Full));
    let brief = sizes().map(|p| setting(p, Words::Brief));
    let one_page = full.chain(brief).find(|s| whole(*s).page_count() == 1);
    let composer = one_page.map_or_else(|| turned(on, gateway, &opened), whole);
    let title = format!("Gateway card: {}, {}", gateway.name, on.phase_name());
    composer.finish(&title, foot)
}

/// Sets a card on more than one page: what is done step by step, power and cautions stand overleaf. Each
/// side has as few pages as at the smallest size, and letters as large as those take.
fn turned<'a>(on: &On<'a>, gateway: &'a Gateway, opened: &[Opened]) -> Composer<'a> {
    let first = best(|setting| front(on, gateway, opened, setting));
    let both = |setting| {
        let mut page = front(on, gateway, opened, first);
        page.next_page();
        back(on, gateway, &mut page, setting);
        page
    };
    both(best(both))
}

/// Returns the largest size with as few pages as at the smallest.
fn best<'a>(of: impl Fn(Setting) -> Composer<'a>) -> Setting {
    let with = |percent| Setting {
        percent,
        words: Words::Full,
    };
    let fewest = of(with(SMALLEST)).page_count();
    let mut sizes = (SMALLEST..=LARGEST).rev().step_by(STEP).map(with);
    let found = sizes.find(|setting| of(*setting).page_count() == fewest);
    found.unwrap_or(with(SMALLEST))
}

/// The foot of a card, on one line.
fn foot(pad: &mut Pad<'_>, page: usize, count: usize) {
    const CAUTION: &str = "Planning aid. Test before relying on it; local procedures come first.";
    const SIZE: f32 = 8.0;
    let (left, right, top) = (pad.area.min.x, pad.area.max.x, pad.area.min.y);
    let pen = Pen::new(Tint::RULE, 0.5);
    pad.inks
        .push(Ink::rule(pos2(left, top), pos2(right, top), pen));
    let mut end = right;
    if count > 1 {
        let over = if page < count { ", turn over" } else { "" };
        let line = pad
            .faces
            .line(Face::Bold, &format!("{page} of {count}{over}"));
        end -= line.width(SIZE);
        pad.line(pos2(end, top + 2.5), Face::Bold, SIZE, Tint::BLACK, line);
    }
    let at = pos2(left, top + 2.5);
    let room = end - at.x - 8.0;
    pad.fitted(at, room, Face::Regular, SIZE, Tint::BLACK, CAUTION);
}

/// What is read before anything is switched: whose card it is, what is wrong, ports and talk groups.
fn front<'a>(
    on: &On<'a>,
    gateway: &'a Gateway,
    opened: &[Opened],
    setting: Setting,
) -> Composer<'a> {
    let mut page = Composer::new(on.faces, on.given.paper.half(), MARGIN);
    letterhead(on.given, &mut page, 22.0 * setting.scale().min(1.0));
    head(on, gateway, &mut page, setting);
    warnings(on, gateway, &mut page, setting);
    ports::ports(on, gateway, &mut page, setting);
    page.gap(setting.body() * 0.4);
    for group in &gateway.talk_groups {
        let reference = TalkGroupRef {
            gateway: gateway.id,
            group: group.number,
        };
        groups::group(on, gateway, reference, opened, &mut page, setting);
    }
    groups::unused(on, gateway, &mut page, setting);
    page
}

/// What is done with it, step by step, and the notes.
fn back<'a>(on: &On<'a>, gateway: &Gateway, page: &mut Composer<'a>, setting: Setting) {
    let up = notes::bring_up(gateway, setting);
    steps(page, "Bring it up", &up, setting);
    steps(page, "Take it down", &notes::take_down(), setting);
    notes::notes(on, gateway, page, setting);
}

/// Whose card it is, and of when: on every page, so that none gets into another lid.
fn head<'a>(on: &On<'a>, gateway: &'a Gateway, page: &mut Composer<'a>, setting: Setting) {
    let mut words = vec![on.phase_name().to_owned()];
    words.extend(gateway.site.map(|site| on.name(site)));
    words.retain(|w| !w.is_empty());
    let words = words.join("; ");
    let period = on.period.as_ref().map(super::period::Period::words);
    let (body, title) = (setting.body(), 17.0 * setting.scale());
    page.heading_sized(1, &gateway.name, title);
    page.paragraph(&words, Face::Bold, body);
    if let Some(period) = &period {
        page.paragraph(period, Face::Regular, body);
    }
    page.gap(body * 0.3);
    let name = gateway.name.clone();
    page.set_running(Some(Box::new(move |pad: &mut Pad<'_>| {
        let (at, width) = (pad.area.min, pad.area.width());
        let mut down = 0.0;
        let mut line = |pad: &mut Pad<'_>, face, size, text: &str| {
            let at = at + vec2(0.0, down);
            down += pad.wrapped(at, width, face, size, Tint::BLACK, text);
        };
        line(pad, Face::Bold, title * 0.8, &name);
        line(pad, Face::Bold, body, &words);
        if let Some(period) = &period {
            line(pad, Face::Regular, body, period);
        }
        down + body * 0.5
    })));
}

/// What must be read before anything is switched: what stops the plan here, and contamination.
fn warnings(on: &On<'_>, gateway: &Gateway, page: &mut Composer<'_>, setting: Setting) {
    let open = on.report.open.iter();
    let stops: Vec<&str> = open
        .filter(|f| f.severity == Severity::Stops && is_about(on, f, gateway))
        .map(|f| f.headline.as_str())
        .collect();
    let mut lines = Vec::new();
    if !stops.is_empty() {
        let most = if setting.is_full() { 3 } else { 1 };
        let said: Vec<&str> = stops.iter().take(most).copied().collect();
        let mut text = format!("NOT READY: {}.", said.join("; "));
        if stops.len() > most {
            let more = stops.len() - most;
            text.push_str(&format!(" And {more} more: see the briefing."));
        }
        lines.push(text);
    }
    if is_contaminated(on, gateway) {
        lines.push(
            "CONTAMINATED SITE: set, charge and test outside, shut the lid, then carry it in. Opening, \
             moving and return are for the hazardous-materials officer."
                .to_owned(),
        );
    }
    let size = setting.body();
    for line in lines {
        let wrapped = page.faces.wrap(Face::Bold, &line, size, page.width() - 8.0);
        let height = wrapped.len() as f32 * leading(size) + 5.0;
        page.need(height);
        page.begin(Role::Paragraph);
        let mut pad = page.pad();
        let rect = Rect::from_min_size(pad.area.min, vec2(pad.area.width(), height));
        let pen = Pen::new(Tint::BLACK, 1.8);
        pad.inks.push(Ink::rect(rect, None, Some(pen)));
        for (i, line) in wrapped.into_iter().enumerate() {
            let at = rect.min + vec2(4.0, 2.0 + i as f32 * leading(size));
            pad.line(at, Face::Bold, size, Tint::BLACK, line);
        }
        page.draw(pad.inks);
        page.end();
        page.y += height + size * 0.3;
    }
}

fn is_about(on: &On<'_>, finding: &Finding, gateway: &Gateway) -> bool {
    let things = std::iter::once(&finding.subject).chain(&finding.related);
    things.copied().any(|thing| match thing {
        ThingId::Gateway(id) => id == gateway.id,
        ThingId::Port(port) => port.gateway == gateway.id,
        ThingId::TalkGroup(group) => group.gateway == gateway.id,
        ThingId::Radio(radio) => on
            .picture
            .port_of(radio)
            .is_some_and(|p| p.gateway == gateway.id),
        _ => false,
    })
}

/// Tells whether a gateway stands where the plan says that things get contaminated.
pub(super) fn is_contaminated(on: &On<'_>, gateway: &Gateway) -> bool {
    let site = gateway.site.and_then(|s| on.scenario().sites.get(s));
    site.is_some_and(|s| s.contaminated)
}

fn steps(page: &mut Composer<'_>, title: &str, steps: &[String], setting: Setting) {
    let size = setting.body();
    page.need(leading(size) * 3.0);
    page.gap(size * 0.15);
    page.heading_sized(2, title, size * 1.1);
    for (i, step) in steps.iter().enumerate() {
        page.marked(&format!("{}.", i + 1), step, size, size * 1.6);
    }
}
