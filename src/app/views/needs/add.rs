//! The fields of a need that is to be added, in place.

use std::collections::BTreeSet;

use egui::accesskit::Role;
use egui::{Button, ComboBox, Label, Response, RichText, Stroke, TextEdit, Ui, WidgetInfo, vec2};

use crate::app::theme::{Tokens, card, primary_button, semibold, text_button};
use crate::app::view::ViewCtx;
use crate::app::views::named_field;
use crate::app::words::{Choice, sentence};
use crate::model::{Edit, Need, NeedId, Party, Priority, Way};

/// Names offered at once; of more, part of the name is to be typed.
const OFFERED: usize = 24;

/// What is typed and chosen so far.
#[derive(Debug)]
pub(super) struct Draft {
    /// It was just begun.
    is_fresh: bool,
    name: String,
    from: Chosen,
    to: Chosen,
    way: Way,
    priority: Priority,
    encrypted: bool,
    max_delay: String,
}

#[derive(Debug, Default)]
struct Chosen {
    parties: BTreeSet<Party>,
    typed: String,
}

impl Default for Draft {
    fn default() -> Self {
        Self {
            is_fresh: true,
            name: String::new(),
            from: Chosen::default(),
            to: Chosen::default(),
            way: Way::TwoWay,
            priority: Priority::High,
            encrypted: false,
            max_delay: String::new(),
        }
    }
}

/// Shows the fields; returns whether they may be put away.
pub(super) fn add_ui(ctx: &mut ViewCtx<'_>, ui: &mut Ui, draft: &mut Draft) -> bool {
    let t = ctx.tokens;
    let mut done = false;
    card(ui, t, |ui| {
        ui.label(
            RichText::new("A new need")
                .font(semibold(14.5))
                .color(t.text),
        );
        let parties: Vec<(Party, String)> = ctx
            .scenario
            .parties()
            .map(|p| (p, ctx.scenario.name(p.into())))
            .collect();
        if parties.len() < 2 {
            ui.label(RichText::new("Add two units first.").color(t.soft));
            return;
        }
        let mut is_apart = false;
        ui.horizontal_wrapped(|ui| {
            let name = field(
                ui,
                "Name of the need",
                "What it is for",
                &mut draft.name,
                220.0,
            );
            // Whoever asked for a need begins to type its name.
            if std::mem::take(&mut draft.is_fresh) {
                name.request_focus();
            }
            choice(ui, "Way of the need", &mut draft.way);
            choice(ui, "Priority of the need", &mut draft.priority);
            is_apart = draft.way == Way::Apart;
            // What is not to be heard at all is neither in clear nor late.
            if is_apart {
                draft.encrypted = false;
                draft.max_delay.clear();
                return;
            }
            ui.checkbox(&mut draft.encrypted, "Must stay encrypted");
            let hint = "Longest delay, ms";
            field(
                ui,
                "Longest delay of the need",
                hint,
                &mut draft.max_delay,
                165.0,
            );
        });
        let (first, second) = if is_apart {
            ("is on one side", "is on the other side")
        } else {
            ("speaks", "hears")
        };
        chooser(ctx, ui, first, &mut draft.from, &parties);
        chooser(ctx, ui, second, &mut draft.to, &parties);
        let delay = draft.max_delay.trim();
        let max_delay_ms = delay.parse::<u32>().ok();
        let problem = if draft.from.parties.is_empty() || draft.to.parties.is_empty() {
            Some(if is_apart {
                "Choose who is on one side and who on the other."
            } else {
                "Choose who speaks and who hears."
            })
        } else if draft.from.parties == draft.to.parties && draft.from.parties.len() == 1 {
            Some("Choose two different parties.")
        } else if !delay.is_empty() && max_delay_ms.is_none() {
            Some("The longest delay is a whole number of milliseconds, or left empty.")
        } else {
            None
        };
        ui.horizontal(|ui| {
            ui.add_enabled_ui(problem.is_none(), |ui| {
                if primary_button(ui, t, "Add this need").clicked() {
                    add(ctx, draft, max_delay_ms);
                    done = true;
                }
            });
            if text_button(ui, t, "Leave it").clicked() {
                done = true;
            }
            if let Some(problem) = problem {
                ui.label(RichText::new(problem).size(12.0).color(t.faint));
            }
        });
    });
    if done {
        *draft = Draft::default();
    }
    done
}

fn add(ctx: &mut ViewCtx<'_>, draft: &Draft, max_delay_ms: Option<u32>) {
    let first = |chosen: &Chosen| {
        let party = chosen.parties.first();
        party.map_or_else(String::new, |p| ctx.scenario.name((*p).into()))
    };
    let name = match draft.name.trim() {
        "" => {
            let word = if draft.way == Way::Apart {
                "apart from"
            } else {
                "to"
            };
            format!("{} {word} {}", first(&draft.from), first(&draft.to))
        }
        name => name.to_owned(),
    };
    let need = Need {
        id: NeedId(ctx.scenario.mint(0)),
        key: String::new(),
        name,
        from: draft.from.parties.clone(),
        to: draft.to.parties.clone(),
        way: draft.way,
        priority: draft.priority,
        encrypted: draft.encrypted,
        max_delay_ms,
        notes: String::new(),
    };
    ctx.apply("Add need", vec![Edit::Add(need.into())]);
}

fn field(ui: &mut Ui, label: &str, hint: &str, text: &mut String, width: f32) -> Response {
    let field = TextEdit::singleline(text)
        .hint_text(hint)
        .desired_width(width)
        .margin(vec2(8.0, 5.0));
    named_field(ui, label, field)
}

fn choice<C: Choice>(ui: &mut Ui, label: &str, now: &mut C) {
    ui.name_inputs(label, |ui| {
        ComboBox::from_id_salt(label)
            .selected_text(sentence(now.words()))
            .show_ui(ui, |ui| {
                for option in C::ALL {
                    let words = sentence(option.words());
                    if ui.selectable_label(*option == *now, words).clicked() {
                        *now = *option;
                    }
                }
            });
    });
}

/// A list to choose from, in the order of the plan, that what is typed shortens; a name stays where it
/// stands whether it is chosen or not.
fn chooser(
    ctx: &ViewCtx<'_>,
    ui: &mut Ui,
    verb: &str,
    chosen: &mut Chosen,
    parties: &[(Party, String)],
) {
    let t = ctx.tokens;
    ui.horizontal_wrapped(|ui| {
        let title = format!("Who {verb}");
        ui.label(RichText::new(&title).font(semibold(12.5)).color(t.text));
        let hint = "Part of a name";
        field(
            ui,
            &format!("{title}: part of a name"),
            hint,
            &mut chosen.typed,
            130.0,
        );
        let names: Vec<&str> = parties
            .iter()
            .filter(|(party, _)| chosen.parties.contains(party))
            .map(|(_, name)| name.as_str())
            .collect();
        let words = if names.is_empty() {
            "nobody yet".to_owned()
        } else {
            names.join(", ")
        };
        let words = RichText::new(words).size(12.5).color(t.soft);
        ui.add(Label::new(words).truncate())
            .on_hover_text(format!("Chosen so far: {}", names.join(", ")));
    });
    ui.horizontal_wrapped(|ui| {
        let text = chosen.typed.trim().to_lowercase();
        let mut found = parties
            .iter()
            .filter(|(_, name)| name.to_lowercase().contains(&text));
        for (party, name) in found.by_ref().take(OFFERED) {
            let is_on = chosen.parties.contains(party);
            if one_ui(ui, t, name, verb, is_on).clicked() && !chosen.parties.remove(party) {
                chosen.parties.insert(*party);
            }
        }
        let more = found.count();
        if more > 0 {
            let words = format!("and {more} more: type part of a name");
            ui.label(RichText::new(words).size(12.0).color(t.faint));
        }
    });
}

/// One who may be chosen; as wide whether chosen or not, so that its neighbours stay where they are.
fn one_ui(ui: &mut Ui, t: &Tokens, name: &str, verb: &str, is_on: bool) -> Response {
    let ink = if is_on { t.accent.ink } else { t.soft };
    let button = Button::selectable(is_on, RichText::new(name).color(ink));
    let response = ui.add(button.stroke(Stroke::new(1.0, t.card_edge)));
    let label = if is_on {
        format!("{name} {verb}")
    } else {
        format!("Choose {name}, who {verb}")
    };
    response.widget_info(|| WidgetInfo::selected(Role::Button, true, is_on, &label));
    let tip = if is_on {
        "Takes it out again".to_owned()
    } else {
        label
    };
    response.on_hover_text(tip)
}
