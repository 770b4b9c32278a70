//! Fields of a gateway, its ports and its talk groups.

use std::sync::Arc;

use egui::{RichText, Ui};

use super::fields::{Form, Picked, link_ui, section, whole_number};
use super::people::agencies;
use super::power::gateway_power_ui;
use crate::app::theme::{Sign, card, kind_sign, semibold, sign_button, sign_label};
use crate::app::words::{Choice as _, keying, sentence};
use crate::model::{
    Attachment, Control, Edit, Gateway, GatewayId, Keying, Kind, LevelSetting, Port, PortKind,
    PortRef, Role, Scenario, TalkGroup, TalkGroupRef, ThingId,
};

pub(super) fn gateway_ui(form: &mut Form<'_, '_>, ui: &mut Ui, id: GatewayId) {
    let s = Arc::clone(form.ctx.scenario);
    let Some(g) = s.gateways.get(id) else { return };
    form.words(ui, "Name", &g.name, g, |g, text| g.name = text);
    if let Some(Picked(owner)) =
        form.pick_or_none(ui, "Brought by", g.owner, "Nobody", agencies(&s))
    {
        form.replace("owner", Gateway { owner, ..g.clone() });
    }
    let sites = s.sites.iter().map(|x| (x.id, x.name.clone()));
    if let Some(Picked(site)) = form.pick_or_none(ui, "Stands at", g.site, "No site yet", sites) {
        form.replace("site", Gateway { site, ..g.clone() });
    }
    groups(form, ui, g);
    ports(form, ui, &s, g);
    let t = form.t();
    section(ui, t, "The box", None);
    form.whole(ui, ("Own delay", "ms"), g.latency_ms, g, |g, n| {
        g.latency_ms = n;
    });
    gateway_power_ui(form, ui, g);
    form.words(ui, "Ingress rating", &g.ingress, g, |g, text| {
        g.ingress = text;
    });
    let controls: Vec<(Control, String)> = Control::ALL
        .iter()
        .map(|c| (*c, sentence(c.words())))
        .collect();
    if let Some((control, on)) = form.several(ui, "In reach, lid shut", &controls, |c| {
        g.lid_shut.contains(&c)
    }) {
        let mut changed = g.clone();
        changed.lid_shut.retain(|c| *c != control);
        if on {
            changed.lid_shut.push(control);
            changed.lid_shut.sort_unstable();
        }
        form.replace("controls", changed);
    }
    form.notes(ui, &g.notes, g, |g, text| g.notes = text);
}

fn groups(form: &mut Form<'_, '_>, ui: &mut Ui, g: &Gateway) {
    let t = form.t();
    if section(ui, t, "Talk groups", Some("Add a talk group")) {
        let number = (1..=255)
            .find(|n| g.talk_group(*n).is_none())
            .unwrap_or(255);
        let mut changed = g.clone();
        changed.talk_groups.push(TalkGroup {
            number,
            name: format!("Group {number}"),
            purpose: None,
        });
        form.replace("talk groups", changed);
    }
    for group in &g.talk_groups {
        card(ui, t, |ui| group_ui(form, ui, g, group));
    }
}

fn group_ui(form: &mut Form<'_, '_>, ui: &mut Ui, g: &Gateway, group: &TalkGroup) {
    let t = form.t();
    ui.horizontal(|ui| {
        let (rect, _) = ui.allocate_exact_size(egui::vec2(22.0, 22.0), egui::Sense::hover());
        let colour = t.bus(group.number);
        ui.painter().circle_filled(rect.center(), 10.0, colour);
        ui.painter().text(
            rect.center(),
            egui::Align2::CENTER_CENTER,
            group.number,
            semibold(12.0),
            t.card,
        );
        ui.label(RichText::new(&group.name).font(semibold(13.5)));
        ui.with_layout(egui::Layout::right_to_left(egui::Align::Center), |ui| {
            let name = format!("Delete talk group {}", group.number);
            if sign_button(ui, t, Sign::Trash, &name, true).clicked() {
                form.ctx.apply(
                    name,
                    vec![Edit::Remove(
                        TalkGroupRef {
                            gateway: g.id,
                            group: group.number,
                        }
                        .into(),
                    )],
                );
            }
        });
    });
    let with = |new: TalkGroup| {
        let mut changed = g.clone();
        if let Some(old) = changed
            .talk_groups
            .iter_mut()
            .find(|x| x.number == group.number)
        {
            *old = new;
        }
        vec![Edit::Replace(changed.into())]
    };
    let mut part = form.part(&format!("group{}", group.number));
    part.text(ui, "Name", "", &group.name, |text| {
        Ok(with(TalkGroup {
            name: text.to_owned(),
            ..group.clone()
        }))
    });
    let roles = Role::ALL.iter().map(|r| (*r, sentence(r.words())));
    if let Some(Picked(purpose)) =
        part.pick_or_none(ui, "Used for", group.purpose, "Not said", roles)
    {
        part.ctx.apply(
            format!("Change use of talk group {}", group.number),
            with(TalkGroup {
                purpose,
                ..group.clone()
            }),
        );
    }
}

/// Fields of one talk group alone.
pub(super) fn one_group_ui(form: &mut Form<'_, '_>, ui: &mut Ui, id: TalkGroupRef) {
    let s = Arc::clone(form.ctx.scenario);
    let (Some(g), Some(group)) = (s.gateways.get(id.gateway), s.talk_group(id)) else {
        return;
    };
    form.link(ui, "Gateway", g.id.into(), &g.name);
    let t = form.t();
    card(ui, t, |ui| group_ui(form, ui, g, group));
    section(ui, t, "Ports switched to it", None);
    let ports: Vec<PortRef> = g
        .port_refs()
        .filter(|p| {
            form.ctx
                .phase()
                .is_some_and(|phase| phase.group_of(*p) == Some(id))
        })
        .collect();
    for port in &ports {
        let words = s.name((*port).into());
        link_ui(form.ctx, ui, (*port).into(), &words);
    }
    if ports.is_empty() {
        ui.weak("None");
    }
}

fn ports(form: &mut Form<'_, '_>, ui: &mut Ui, s: &Scenario, g: &Gateway) {
    let t = form.t();
    if section(ui, t, "Ports", Some("Add a port")) {
        let number = (1..=255).find(|n| g.port(*n).is_none()).unwrap_or(255);
        let mut changed = g.clone();
        let like = g.ports.last();
        changed.ports.push(Port {
            number,
            kind: PortKind::Radio,
            connector: like.map_or_else(String::new, |p| p.connector.clone()),
            buffer_ms: 0,
            keying: Keying::PttLine,
            level: LevelSetting::Mid,
        });
        form.replace("ports", changed);
    }
    for port in &g.ports {
        card(ui, t, |ui| {
            let is_open = form.state.open_port == Some(port.number);
            port_head(form, ui, s, g, port, is_open);
            if is_open {
                port_ui(form, ui, s, g, port);
            }
        });
    }
}

fn port_head(
    form: &mut Form<'_, '_>,
    ui: &mut Ui,
    s: &Scenario,
    g: &Gateway,
    port: &Port,
    is_open: bool,
) {
    let t = form.t();
    let at = PortRef {
        gateway: g.id,
        port: port.number,
    };
    ui.horizontal(|ui| {
        let (sign, verb) = if is_open {
            (Sign::ChevronDown, "Close")
        } else {
            (Sign::ChevronRight, "Open")
        };
        let name = format!("{verb} the fields of port {}", port.number);
        if sign_button(ui, t, sign, &name, true).clicked() {
            form.state.open_port = if is_open { None } else { Some(port.number) };
        }
        ui.label(RichText::new(port.number.to_string()).font(semibold(13.5)));
        let attached = form
            .ctx
            .phase()
            .and_then(|p| p.attachments.get(&at))
            .map(|a| attached_thing(*a));
        match attached {
            Some(thing) => {
                sign_label(ui, kind_sign(thing.kind()), 15.0, t.faint);
                ui.add(egui::Label::new(s.name(thing)).truncate());
            }
            None => {
                ui.weak(sentence(&format!("{} port, empty", port.kind.word())));
            }
        }
        ui.with_layout(egui::Layout::right_to_left(egui::Align::Center), |ui| {
            let name = format!("Delete port {}", port.number);
            if sign_button(ui, t, Sign::Trash, &name, true).clicked() {
                form.ctx.apply(name, vec![Edit::Remove(at.into())]);
            }
        });
    });
}

fn attached_thing(attachment: Attachment) -> ThingId {
    match attachment {
        Attachment::Radio { radio, .. } => radio.into(),
        Attachment::Telephone(id) => id.into(),
        Attachment::Headset(id) => id.into(),
        Attachment::Tie(id) => id.into(),
    }
}

/// Fields of one port alone.
pub(super) fn one_port_ui(form: &mut Form<'_, '_>, ui: &mut Ui, id: PortRef) {
    let s = Arc::clone(form.ctx.scenario);
    let (Some(g), Some(port)) = (s.gateways.get(id.gateway), s.port(id)) else {
        return;
    };
    form.link(ui, "Gateway", g.id.into(), &g.name);
    port_ui(form, ui, &s, g, port);
}

fn port_ui(form: &mut Form<'_, '_>, ui: &mut Ui, s: &Scenario, g: &Gateway, port: &Port) {
    let at = PortRef {
        gateway: g.id,
        port: port.number,
    };
    let phase = form.ctx.shared.phase;
    let with = |new: Port| {
        let mut changed = g.clone();
        if let Some(old) = changed.ports.iter_mut().find(|p| p.number == port.number) {
            *old = new;
        }
        vec![Edit::Replace(changed.into())]
    };
    let mut part = form.part(&format!("port{}", port.number));
    attachment_ui(&mut part, ui, s, at, port.kind);
    let now = part
        .ctx
        .phase()
        .and_then(|p| p.group_of(at))
        .map(|g| g.group);
    let options = g
        .talk_groups
        .iter()
        .map(|x| (x.number, format!("{} {}", x.number, x.name)));
    if let Some(Picked(group)) = part.pick_or_none(ui, "Switched to", now, "No talk group", options)
    {
        part.ctx.apply(
            format!("Switch {}", s.name(at.into())),
            vec![Edit::Switch {
                phase,
                port: at,
                group,
            }],
        );
    }
    if let Some(kind) = part.choice(ui, "Built for", port.kind) {
        part.ctx.apply(
            format!("Change port {}", port.number),
            with(Port {
                kind,
                ..port.clone()
            }),
        );
    }
    part.text(ui, "Connector", "", &port.connector, |text| {
        Ok(with(Port {
            connector: text.to_owned(),
            ..port.clone()
        }))
    });
    part.text(ui, "Buffer", "ms", &port.buffer_ms.to_string(), |text| {
        Ok(with(Port {
            buffer_ms: whole_number(text)?,
            ..port.clone()
        }))
    });
    if let Some(level) = part.choice(ui, "Level", port.level) {
        part.ctx.apply(
            format!("Set the level of port {}", port.number),
            with(Port {
                level,
                ..port.clone()
            }),
        );
    }
    keying_ui(&mut part, ui, port, &with);
}

fn keying_ui(form: &mut Form<'_, '_>, ui: &mut Ui, port: &Port, with: &dyn Fn(Port) -> Vec<Edit>) {
    let by_voice = matches!(port.keying, Keying::VoiceOperated { .. });
    let options = [
        (false, sentence(keying(Keying::PttLine))),
        (
            true,
            sentence(keying(Keying::VoiceOperated {
                attack_ms: 0,
                hang_ms: 0,
            })),
        ),
    ];
    if let Some(by_voice) = form.pick(ui, "Keys the donor", by_voice, &options) {
        let keying = if by_voice {
            Keying::VoiceOperated {
                attack_ms: 100,
                hang_ms: 500,
            }
        } else {
            Keying::PttLine
        };
        form.ctx.apply(
            format!("Change keying of port {}", port.number),
            with(Port {
                keying,
                ..port.clone()
            }),
        );
    }
    if let Keying::VoiceOperated { attack_ms, hang_ms } = port.keying {
        form.text(ui, "Keys after", "ms", &attack_ms.to_string(), |text| {
            let keying = Keying::VoiceOperated {
                attack_ms: whole_number(text)?,
                hang_ms,
            };
            Ok(with(Port {
                keying,
                ..port.clone()
            }))
        });
        form.text(ui, "Stays keyed", "ms", &hang_ms.to_string(), |text| {
            let keying = Keying::VoiceOperated {
                attack_ms,
                hang_ms: whole_number(text)?,
            };
            Ok(with(Port {
                keying,
                ..port.clone()
            }))
        });
    }
}

/// What is plugged into a port in the phase shown.
fn attachment_ui(form: &mut Form<'_, '_>, ui: &mut Ui, s: &Scenario, at: PortRef, kind: PortKind) {
    let phase_id = form.ctx.shared.phase;
    let Some(phase) = form.ctx.phase().cloned() else {
        return;
    };
    let now = phase.attachments.get(&at).map(|a| attached_thing(*a));
    let mut options: Vec<(ThingId, String)> = match kind {
        PortKind::Radio => s
            .radios
            .iter()
            .filter(|r| r.held_by.is_none() && phase.port_of_radio(r.id).is_none())
            .map(|r| (r.id.into(), r.name.clone()))
            .collect(),
        PortKind::Telephone => s
            .telephones
            .iter()
            .filter(|x| phase.port_of_telephone(x.id).is_none())
            .map(|x| (x.id.into(), x.name.clone()))
            .collect(),
        PortKind::Headset => s
            .headsets
            .iter()
            .filter(|x| phase.port_of_headset(x.id).is_none())
            .map(|x| (x.id.into(), x.name.clone()))
            .collect(),
        PortKind::Wire | PortKind::Ip => s
            .ties
            .iter()
            .filter(|x| {
                x.kind.port_kind() == kind
                    && phase.ports_of_tie(x.id).count() < 2
                    && phase.ports_of_tie(x.id).all(|p| p.gateway != at.gateway)
            })
            .map(|x| (x.id.into(), x.name.clone()))
            .collect(),
    };
    if let Some(now) = now {
        options.insert(0, (now, s.name(now)));
    }
    if let Some(Picked(thing)) =
        form.pick_or_none(ui, "Plugged in", now, "Nothing", options.into_iter())
    {
        let attachment = thing.and_then(|thing| match thing {
            ThingId::Radio(radio) => Some(Attachment::Radio {
                radio,
                cable: crate::model::connect::fitting_cable(s, &phase, radio, at),
            }),
            ThingId::Telephone(id) => Some(Attachment::Telephone(id)),
            ThingId::Headset(id) => Some(Attachment::Headset(id)),
            ThingId::Tie(id) => Some(Attachment::Tie(id)),
            _ => None,
        });
        form.ctx.apply(
            format!("Change what {} holds", s.name(at.into())),
            vec![Edit::Attach {
                phase: phase_id,
                port: at,
                attachment,
            }],
        );
    }
    if let Some(thing) = now {
        let word = match thing.kind() {
            Kind::Radio => "Donor",
            _ => "Opens",
        };
        form.link(ui, word, thing, &s.name(thing));
    }
}
