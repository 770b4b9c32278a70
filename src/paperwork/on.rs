//! What every page is made from: the picture of a phase, its report, and what a person gave.

use std::collections::BTreeMap;
use std::sync::Arc;

use emath::{Rect, Vec2, pos2, vec2};

use crate::checks::{self, Report};
use crate::model::{
    Attachment, ChannelId, Gateway, Phase, PortRef, Scenario, TalkGroupRef, ThingId,
};
use crate::picture::Picture;
use crate::picture::timing::{self, PressAndWait};

use super::given::Given;
use super::period::Period;
use super::set::blocks::{Field, fields_height, running_fields};
use super::set::composer::{Composer, Margin, Pad};
use super::set::face::{Face, Faces};
use super::set::ink::{Ink, Pen, Tint};
use super::set::sheet::Document;

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
        const HIGH: f32 = 34.0;
        let given = self.given;
        if given.agency.trim().is_empty() && given.logo.is_none() {
            return;
        }
        composer.begin(super::set::sheet::Role::Paragraph);
        let mut pad = composer.pad();
        let at = pad.area.min;
        let mut right = at.x;
        let mut height: f32 = 16.0;
        if let Some(logo) = &given.logo {
            let size = logo.size();
            let scale = (HIGH / size.y).min(120.0 / size.x);
            let rect = Rect::from_min_size(at, size * scale);
            height = height.max(rect.height());
            right = rect.max.x + 8.0;
            let inks = vec![Ink::Picture {
                rect,
                logo: Arc::clone(logo),
            }];
            let says = if given.agency.trim().is_empty() {
                "Logo".to_owned()
            } else {
                format!("Logo of {}", given.agency.trim())
            };
            composer.begin(super::set::sheet::Role::Figure(says));
            composer.draw(inks);
            composer.end();
        }
        let down = (height - 14.0) / 2.0;
        let width = (pad.area.max.x - right).max(40.0);
        let agency = given.agency.trim();
        let text = pad.wrapped(
            pos2(right, at.y + down),
            width,
            Face::Bold,
            11.0,
            Tint::BLACK,
            agency,
        );
        if !pad.inks.is_empty() {
            composer.draw(pad.inks);
        }
        composer.end();
        composer.y += height.max(down + text) + 4.0;
    }

    /// Finishes a document: its name, the caution and the page's number at the foot.
    pub fn finish(&self, composer: Composer<'_>, form: &str, title: &str) -> Document {
        let title = format!("{title}: {}, {}", self.incident(), self.phase_name());
        composer.finish(&title, |pad, page, count| foot(pad, form, page, count))
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
