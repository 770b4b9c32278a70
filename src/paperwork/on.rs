//! What every page is made from: the picture of a phase, its report, and what a person gave.

use std::collections::BTreeMap;
use std::sync::Arc;

use emath::{Rect, Vec2, pos2, vec2};

use crate::checks::{self, Report};
use crate::model::{
    Attachment, Carrier, ChannelId, Gateway, Phase, PortRef, Scenario, TalkGroupRef, ThingId,
};
use crate::picture::Picture;
use crate::picture::timing::{self, PressAndWait};

use super::given::Given;
use super::period::Period;
use super::set::blocks::{Field, fields_height, running_fields};
use super::set::composer::{Composer, Margin, Pad, leading};
use super::set::face::{Face, Faces};
use super::set::ink::{Ink, Pen, Tint};
use super::set::sheet::{Document, Role};

/// What is said at the foot of every page.
pub const CAUTION: &str = "Planning aid: proved only on the air. Test before relying on any link; \
    transmit only where licensed and coordinated; local procedures come first.";

/// White around forms.
pub const MARGIN: Margin = Margin {
    side: 36.0,
    top: 32.0,
    bottom: 46.0,
};

/// A phase and all that is printed of it.
#[derive(Debug)]
pub struct On<'a> {
    /// The letters.
    pub faces: &'a Faces,
    /// What is derived of the phase.
    pub picture: &'a Picture,
    /// What will go wrong in it.
    pub report: &'a Report,
    /// What a person gave.
    pub given: &'a Given,
    /// What to tell the people of each channel.
    pub waits: BTreeMap<ChannelId, PressAndWait>,
    /// The phase on the clock.
    pub period: Option<Period>,
}

impl<'a> On<'a> {
    /// Gathers what is printed of a phase.
    pub fn new(
        faces: &'a Faces,
        picture: &'a Picture,
        report: &'a Report,
        given: &'a Given,
    ) -> Self {
        Self {
            faces,
            picture,
            report,
            given,
            waits: timing::press_and_wait(picture),
            period: picture.phase().map(Period::of),
        }
    }

    /// Returns the scenario.
    pub fn scenario(&self) -> &'a Scenario {
        self.picture.scenario()
    }

    /// Returns the name of a thing.
    pub fn name(&self, id: impl Into<ThingId>) -> String {
        self.scenario().name(id.into())
    }

    /// Returns the name of the phase.
    pub fn phase_name(&self) -> &'a str {
        self.picture.phase().map_or("", |p| p.name.as_str())
    }

    /// Returns the incident's name, or the plan's title where it has none.
    pub fn incident(&self) -> &'a str {
        let header = &self.scenario().header;
        if header.incident.trim().is_empty() {
            &header.title
        } else {
            &header.incident
        }
    }

    /// Returns block 3 of the forms.
    pub fn period_words(&self) -> String {
        let clock = self.period.as_ref().map_or_else(String::new, Period::words);
        let name = self.phase_name();
        if name.is_empty() {
            clock
        } else {
            format!("{name}\n{clock}")
        }
    }

    /// Returns a talk group's number and name.
    pub fn group_words(&self, group: TalkGroupRef) -> String {
        match self.scenario().talk_group(group) {
            Some(g) if !g.name.is_empty() => format!("{} {}", group.group, g.name),
            _ => group.group.to_string(),
        }
    }

    /// Names a channel, with its frequency or group where another has the same name.
    pub fn channel_words(&self, id: ChannelId) -> String {
        let channels = &self.scenario().channels;
        let Some(channel) = channels.get(id) else {
            return String::new();
        };
        let alike = channels.iter().filter(|c| c.name == channel.name).count();
        match channel.carrier {
            _ if alike < 2 => channel.name.clone(),
            Carrier::Conventional(c) => format!("{} ({})", channel.name, c.rx),
            Carrier::Grouped { group, .. } => format!("{} (talkgroup {group})", channel.name),
        }
    }

    /// Returns the wait on a channel in tenths of a second rounded up, where there is any.
    pub fn wait_tenths(&self, channel: ChannelId) -> Option<u32> {
        let wait = self.waits.get(&channel)?;
        (wait.wait_ms > 0).then(|| wait.wait_ms.div_ceil(100))
    }

    /// Lists the ports of a talk group with something plugged in.
    pub fn ports_on(
        &self,
        gateway: &'a Gateway,
        group: Option<u8>,
    ) -> impl Iterator<Item = (PortRef, Attachment)> + use<'a> {
        let phase: Option<&'a Phase> = self.picture.phase();
        gateway.port_refs().filter_map(move |port| {
            let phase = phase?;
            let attachment = phase.attachments.get(&port)?;
            (phase.switches.get(&port).copied() == group).then_some((port, *attachment))
        })
    }

    /// Returns what is plugged in, in a few words: a donor by its channel, others by their name.
    pub fn plugged_words(&self, attachment: Attachment) -> String {
        if let Attachment::Radio { radio, .. } = attachment
            && let Some(radio) = self.scenario().radios.get(radio)
            && let Some(tuned) = self.picture.tuned(radio)
        {
            return tuned.entry.label(tuned.channel).to_owned();
        }
        self.name(attachment.thing())
    }

    /// Begins a document: the title with agency and logo, then the boxes that head it. The boxes and a
    /// smaller title come again on every further page.
    pub fn begin(&self, title: &'a str, size: Vec2, top: Vec<Field>) -> Composer<'a> {
        let mut composer = Composer::new(self.faces, size, MARGIN);
        self.letterhead(&mut composer);
        composer.heading(1, title);
        if !top.is_empty() {
            composer.fields(&top);
        }
        let height = if top.is_empty() {
            0.0
        } else {
            fields_height(&composer, &top)
        };
        composer.set_running(Some(Box::new(move |pad: &mut Pad<'_>| {
            let at = pad.area.min;
            pad.text(
                at,
                Face::Bold,
                10.0,
                Tint::BLACK,
                &format!("{title}, continued"),
            );
            pad.area.min.y += 15.0;
            15.0 + running_fields(pad, &top, height) + 6.0
        })));
        composer
    }

    /// The agency and its logo, above the title.
    pub fn letterhead(&self, composer: &mut Composer<'_>) {
        letterhead(self.given, composer, 34.0);
    }

    /// Finishes a document: its name, the caution and the page's number at the foot.
    pub fn finish(&self, composer: Composer<'_>, form: &str, title: &str) -> Document {
        let title = format!("{title}: {}, {}", self.incident(), self.phase_name());
        composer.finish(&title, |pad, page, count| foot(pad, form, page, count))
    }

    /// Finishes a form of the incident action plan, with room for the plan's page number at the foot.
    pub fn finish_iap(&self, composer: Composer<'_>, form: &str) -> Document {
        self.finish(composer, &format!("{form}    IAP Page ______"), form)
    }

    /// Returns the boxes for who prepared a form.
    pub fn prepared_by(&self, number: Option<u8>) -> Vec<Field> {
        let given = self.given;
        let position = if given.position.is_empty() {
            "Communications Unit Leader"
        } else {
            &given.position
        };
        let label = number.map_or_else(
            || "Prepared by".to_owned(),
            |number| format!("{number}. Prepared by"),
        );
        vec![
            Field::new(&label, given.by.as_str(), 3.0),
            Field::new("Position/title", position, 3.0),
            Field::new("Signature", "", 3.0),
            Field::new("Date/time", given.prepared.as_str(), 2.0),
        ]
    }
}

/// The agency and its logo, laid out.
#[derive(Debug)]
pub struct Letterhead {
    /// The logo, and what it says in words.
    pub logo: Option<(Ink, String)>,
    /// The agency's name.
    pub name: Vec<Ink>,
    /// How high they are together, with the gap below, in points.
    pub height: f32,
}

impl Letterhead {
    /// Lays out what heads a page at the top of a pad, no higher than so many points unless the agency's
    /// name takes more lines; `None` where nothing was given.
    pub fn of(given: &Given, pad: &Pad<'_>, high: f32) -> Option<Self> {
        let agency = given.agency.trim();
        if agency.is_empty() && given.logo.is_none() {
            return None;
        }
        let size = high * 0.33;
        let at = pad.area.min;
        let mut right = at.x;
        let mut height = leading(size);
        let logo = given.logo.as_ref().map(|logo| {
            let whole = logo.size();
            let scale = (high / whole.y).min(high * 3.5 / whole.x);
            let rect = Rect::from_min_size(at, whole * scale);
            height = height.max(rect.height());
            right = rect.max.x + high * 0.24;
            let logo_ink = Ink::Picture {
                rect,
                logo: Arc::clone(logo),
            };
            (logo_ink, logo.says(agency))
        });
        let width = (pad.area.max.x - right).max(40.0);
        let lines = pad.faces.wrap(Face::Bold, agency, size, width);
        let text = lines.len() as f32 * leading(size);
        let down = ((height - text) / 2.0).max(0.0);
        let mut name = Pad::new(pad.faces, pad.area);
        for (i, line) in lines.into_iter().enumerate() {
            let at = pos2(right, at.y + down + i as f32 * leading(size));
            name.line(at, Face::Bold, size, Tint::BLACK, line);
        }
        Some(Self {
            logo,
            name: name.inks,
            height: height.max(down + text) + high * 0.12,
        })
    }
}

/// Draws the agency and its logo, as [`Letterhead::of`] lays them out.
pub fn letterhead(given: &Given, composer: &mut Composer<'_>, high: f32) {
    let Some(head) = Letterhead::of(given, &composer.pad(), high) else {
        return;
    };
    composer.begin(Role::Paragraph);
    if let Some((ink, says)) = head.logo {
        composer.begin(Role::Figure(says));
        composer.draw(vec![ink]);
        composer.end();
    }
    if !head.name.is_empty() {
        composer.draw(head.name);
    }
    composer.end();
    composer.y += head.height;
}

/// Draws the foot of a page.
pub fn foot(pad: &mut Pad<'_>, form: &str, page: usize, count: usize) {
    let (left, right, top) = (pad.area.min.x, pad.area.max.x, pad.area.min.y);
    pad.inks.push(Ink::rule(
        pos2(left, top),
        pos2(right, top),
        Pen::new(Tint::RULE, 0.5),
    ));
    let number = format!("Page {page} of {count}");
    let line = pad.faces.line(Face::Bold, &number);
    let width = line.width(8.0);
    pad.line(
        pos2(right - width, top + 3.0),
        Face::Bold,
        8.0,
        Tint::BLACK,
        line,
    );
    let most = (right - left) * 0.35;
    let at = pos2(left, top + 3.0);
    let form_width = pad.fitted(at, most, Face::Bold, 8.0, Tint::BLACK, form);
    let at = pos2(left + form_width + 12.0, top + 3.5);
    let room = right - width - 12.0 - at.x;
    pad.wrapped(at, room, Face::Regular, 6.5, Tint::SOFT, CAUTION);
}

/// Runs the checks of a phase.
pub fn report(picture: &Picture) -> Report {
    checks::run_all(picture)
}

/// Returns a size of paper on its long side.
pub fn lying(size: Vec2) -> Vec2 {
    vec2(size.x.max(size.y), size.x.min(size.y))
}
