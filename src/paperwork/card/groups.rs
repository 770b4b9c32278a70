//! The talk groups of a gateway card: what each is for, who is on it, what leaves in clear, what to tell.

use emath::{Rect, pos2, vec2};

use crate::model::{Attachment, Gateway, PortRef, TalkGroupRef};
use crate::paperwork::leak::Opened;
use crate::paperwork::on::On;
use crate::paperwork::set::composer::{Composer, leading};
use crate::paperwork::set::face::Face;
use crate::paperwork::set::ink::{Ink, Pen, Tint};
use crate::paperwork::set::sheet::Role;
use crate::sheets::Choice as _;

use super::Setting;

/// Sets a talk group that somebody is switched to, its number large in a box.
pub(super) fn group(
    on: &On<'_>,
    gateway: &Gateway,
    group: TalkGroupRef,
    opened: &[Opened],
    page: &mut Composer<'_>,
    setting: Setting,
) {
    let Some(named) = gateway.talk_group(group.group) else {
        return;
    };
    let on_it: Vec<(PortRef, Attachment)> = on.ports_on(gateway, Some(group.group)).collect();
    if on_it.is_empty() {
        return;
    }
    let names: Vec<String> = on_it
        .iter()
        .map(|(port, attachment)| format!("{} {}", port.port, on.plugged_words(*attachment)))
        .collect();
    let mut lines = vec![
        (Face::Bold, title(named.name.as_str(), named.purpose)),
        (Face::Regular, names.join("  +  ")),
    ];
    let leaks = leaks(on, group, opened, setting);
    lines.extend(leaks.into_iter().map(|line| (Face::Bold, line)));
    lines.push((Face::Bold, tell(on, &on_it, setting)));
    draw(page, group.group, &lines, setting);
}

/// Names the talk groups nobody is switched to, on one line.
pub(super) fn unused(on: &On<'_>, gateway: &Gateway, page: &mut Composer<'_>, setting: Setting) {
    let unused = gateway.talk_groups.iter();
    let unused = unused.filter(|g| on.ports_on(gateway, Some(g.number)).next().is_none());
    let names: Vec<String> = unused
        .map(|g| format!("{} {}", g.number, title(&g.name, g.purpose)))
        .collect();
    if !names.is_empty() {
        let words = format!("Nobody is switched to {}.", names.join(", "));
        page.paragraph(&words, Face::Regular, setting.body());
        page.gap(setting.body() * 0.2);
    }
}

/// What is encrypted elsewhere and in clear here, or goes out in clear from here; accepted or not.
fn leaks(on: &On<'_>, group: TalkGroupRef, opened: &[Opened], setting: Setting) -> Vec<String> {
    let lines = opened.iter().filter_map(|opened| {
        let what = &opened.what;
        if opened.comes_in_at(on, group) {
            if opened.leaks() {
                let by = opened.clear_by(on).join(", ");
                return Some(format!("IN CLEAR: {what} is heard on {by}."));
            }
            let guard = format!("{what} is decrypted in the box: guard it.");
            return setting.is_full().then_some(guard);
        }
        let here = opened.clear_at(on, group);
        let by = here.join(", ");
        (!here.is_empty()).then(|| format!("IN CLEAR: {what} goes out here on {by}."))
    });
    lines.collect()
}

fn tell(on: &On<'_>, on_it: &[(PortRef, Attachment)], setting: Setting) -> String {
    let waits = on_it.iter().filter_map(|(_, attachment)| {
        let Attachment::Radio { radio, .. } = attachment else {
            return None;
        };
        let radio = on.scenario().radios.get(*radio)?;
        on.wait_tenths(on.picture.tuned(radio)?.channel.id)
    });
    let mut things = on_it.iter().map(|(_, attachment)| attachment);
    let has_radio = things.any(|a| matches!(a, Attachment::Radio { .. }));
    match waits.max() {
        Some(tenths) => {
            let longest = if setting.is_full() {
                " (longest here)"
            } else {
                ""
            };
            format!("Tell users: press, wait {tenths} tenths of a second, then speak{longest}.")
        }
        None if has_radio => "Tell users: press, then speak.".to_owned(),
        None => "No radio is on this group.".to_owned(),
    }
}

fn draw(page: &mut Composer<'_>, number: u8, lines: &[(Face, String)], setting: Setting) {
    let (size, scale) = (setting.body(), setting.scale());
    let mark = 26.0 * scale;
    let inner = page.width() - mark - 10.0;
    let wrapped: Vec<_> = lines
        .iter()
        .flat_map(|(face, text)| {
            let mut lines = page.faces.wrap(*face, text, size, inner);
            if let Some(last) = lines.last_mut() {
                *last = page.faces.before_another(*face, last);
            }
            lines.into_iter().map(|line| (*face, line))
        })
        .collect();
    let height = (wrapped.len() as f32 * leading(size) + 5.0).max(mark);
    page.need(height);
    page.begin(Role::Paragraph);
    let mut pad = page.pad();
    let rect = Rect::from_min_size(pad.area.min, vec2(pad.area.width(), height));
    let pen = Pen::new(Tint::BLACK, 1.0);
    pad.inks.push(Ink::rect(rect, None, Some(pen)));
    let square = Rect::from_min_size(rect.min, vec2(mark, height));
    pad.inks.push(Ink::rect(square, None, Some(pen)));
    let large = 17.0 * scale;
    let middle = square.center() - vec2(0.0, large * 0.6);
    pad.centred(middle, Face::Bold, large, Tint::BLACK, &number.to_string());
    for (i, (face, line)) in wrapped.into_iter().enumerate() {
        let down = 2.0 + i as f32 * leading(size);
        let at = pos2(rect.min.x + mark + 5.0, rect.min.y + down);
        pad.line(at, face, size, Tint::BLACK, line);
    }
    page.draw(pad.inks);
    page.end();
    page.y += height + size * 0.3;
}

fn title(name: &str, purpose: Option<crate::model::Role>) -> String {
    let purpose = purpose.map(|p| p.words().to_owned());
    match (name.trim(), purpose) {
        ("", None) => "Talk group".to_owned(),
        ("", Some(purpose)) => format!("For {purpose}"),
        (name, Some(purpose)) if !name.to_lowercase().contains(&purpose) => {
            format!("{name}: for {purpose}")
        }
        (name, _) => name.to_owned(),
    }
}
