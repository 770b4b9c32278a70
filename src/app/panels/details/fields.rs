//! Fields: a label, a value, and a reason below when what is typed cannot be.
//!
//! A field keeps what is typed only while it is being typed in. What is right goes out as an edit at
//! once; what is wrong leaves the old value, and the reason stands under the field.

use std::collections::BTreeMap;

use egui::{ComboBox, RichText, TextEdit, Ui, vec2};

use crate::app::action::Action;
use crate::app::theme::{Sign, Tokens, semibold, sign_button, sign_label};
use crate::app::view::ViewCtx;
use crate::app::words::{Choice, lower, sentence};
use crate::model::{Edit, Thing, ThingId};

/// Width of the column of labels.
const LABELS: f32 = 118.0;

/// Fields being typed in, by their names.
#[derive(Debug, Default)]
pub(crate) struct DetailsState {
    drafts: BTreeMap<String, Draft>,
    /// The programmed channel whose fields are open.
    pub(super) open_entry: Option<crate::model::ChannelId>,
    /// The port whose fields are open.
    pub(super) open_port: Option<u8>,
    /// Name of the one who verifies, remembered from one fact to the next.
    pub(super) verifier: String,
}

#[derive(Debug, Clone, Default)]
struct Draft {
    text: String,
    error: Option<String>,
}

/// What was picked where none may be picked too.
pub(super) struct Picked<V>(pub(super) Option<V>);

/// A list of fields about one thing.
pub(super) struct Form<'a, 'b> {
    pub(super) ctx: &'a mut ViewCtx<'b>,
    pub(super) state: &'a mut DetailsState,
    /// What the fields are about; part of their names.
    pub(super) about: ThingId,
    /// Further part of the names, where a thing has several alike.
    pub(super) part: String,
}

impl<'b> Form<'_, 'b> {
    /// Returns a form for a part of the same thing.
    pub(super) fn part<'c>(&'c mut self, part: &str) -> Form<'c, 'b> {
        Form {
            part: format!("{}{part}.", self.part),
            ctx: self.ctx,
            state: self.state,
            about: self.about,
        }
    }

    pub(super) fn t(&self) -> &'static Tokens {
        self.ctx.tokens
    }

    /// Asks for the thing in another version.
    pub(super) fn replace(&mut self, field: &str, thing: impl Into<Thing>) {
        let thing = thing.into();
        let label = format!("Change {} of {}", field.to_lowercase(), thing.name());
        self.ctx.apply(label, vec![Edit::Replace(thing)]);
    }

    /// A field of text; `parse` turns what is typed into edits or says what is wrong.
    pub(super) fn text(
        &mut self,
        ui: &mut Ui,
        label: &str,
        unit: &str,
        now: &str,
        parse: impl FnOnce(&str) -> Result<Vec<Edit>, String>,
    ) {
        self.line(ui, label, |form, ui, label_id| {
            form.typed(ui, label, unit, now, label_id, 1, parse);
        });
    }

    /// A field of several lines.
    pub(super) fn long_text(
        &mut self,
        ui: &mut Ui,
        label: &str,
        now: &str,
        parse: impl FnOnce(&str) -> Result<Vec<Edit>, String>,
    ) {
        self.line(ui, label, |form, ui, label_id| {
            form.typed(ui, label, "", now, label_id, 3, parse);
        });
    }

    /// A field of plain text in a thing.
    pub(super) fn words<T: Into<Thing> + Clone>(
        &mut self,
        ui: &mut Ui,
        label: &str,
        now: &str,
        thing: &T,
        set: impl FnOnce(&mut T, String),
    ) {
        let thing = thing.clone();
        self.text(ui, label, "", now, |text| {
            let mut thing = thing;
            set(&mut thing, text.to_owned());
            Ok(vec![Edit::Replace(thing.into())])
        });
    }

    /// The notes of a thing.
    pub(super) fn notes<T: Into<Thing> + Clone>(
        &mut self,
        ui: &mut Ui,
        now: &str,
        thing: &T,
        set: impl FnOnce(&mut T, String),
    ) {
        let thing = thing.clone();
        self.long_text(ui, "Notes", now, |text| {
            let mut thing = thing;
            set(&mut thing, text.to_owned());
            Ok(vec![Edit::Replace(thing.into())])
        });
    }

    /// A field of a whole number in a thing.
    pub(super) fn whole<T: Into<Thing> + Clone>(
        &mut self,
        ui: &mut Ui,
        (label, unit): (&str, &str),
        now: u32,
        thing: &T,
        set: impl FnOnce(&mut T, u32),
    ) {
        let thing = thing.clone();
        self.text(ui, label, unit, &now.to_string(), |text| {
            let value = whole_number(text)?;
            let mut thing = thing;
            set(&mut thing, value);
            Ok(vec![Edit::Replace(thing.into())])
        });
    }

    /// A field of a number in a thing.
    pub(super) fn number<T: Into<Thing> + Clone>(
        &mut self,
        ui: &mut Ui,
        (label, unit): (&str, &str),
        now: f64,
        thing: &T,
        set: impl FnOnce(&mut T, f64),
    ) {
        let thing = thing.clone();
        self.text(ui, label, unit, &plain(now), |text| {
            let value = number(text)?;
            let mut thing = thing;
            set(&mut thing, value);
            Ok(vec![Edit::Replace(thing.into())])
        });
    }

    /// A field of a whole number that may be unknown, which is an empty field.
    pub(super) fn whole_or_none<T: Into<Thing> + Clone>(
        &mut self,
        ui: &mut Ui,
        (label, unit): (&str, &str),
        now: Option<u32>,
        thing: &T,
        set: impl FnOnce(&mut T, Option<u32>),
    ) {
        let thing = thing.clone();
        let now = now.map_or_else(String::new, |n| n.to_string());
        self.text(ui, label, unit, &now, |text| {
            let value = if text.trim().is_empty() {
                None
            } else {
                Some(whole_number(text)?)
            };
            let mut thing = thing;
            set(&mut thing, value);
            Ok(vec![Edit::Replace(thing.into())])
        });
    }

    /// A field of a number that may be unknown, which is an empty field.
    pub(super) fn number_or_none<T: Into<Thing> + Clone>(
        &mut self,
        ui: &mut Ui,
        (label, unit): (&str, &str),
        now: Option<f64>,
        thing: &T,
        set: impl FnOnce(&mut T, Option<f64>),
    ) {
        let thing = thing.clone();
        let now = now.map_or_else(String::new, plain);
        self.text(ui, label, unit, &now, |text| {
            let value = if text.trim().is_empty() {
                None
            } else {
                Some(number(text)?)
            };
            let mut thing = thing;
            set(&mut thing, value);
            Ok(vec![Edit::Replace(thing.into())])
        });
    }

    /// A choice among fixed words; returns the new one.
    pub(super) fn choice<C: Choice>(&mut self, ui: &mut Ui, label: &str, now: C) -> Option<C> {
        let options: Vec<(C, String)> = C::ALL.iter().map(|c| (*c, sentence(c.words()))).collect();
        self.pick(ui, label, now, &options)
    }

    /// A choice among options; returns the new one.
    pub(super) fn pick<V: Copy + PartialEq>(
        &mut self,
        ui: &mut Ui,
        label: &str,
        now: V,
        options: &[(V, String)],
    ) -> Option<V> {
        let mut chosen = None;
        self.line(ui, label, |form, ui, _| {
            let shown = options
                .iter()
                .find(|(v, _)| *v == now)
                .map_or("", |(_, words)| words.as_str());
            ui.name_inputs(label, |ui| {
                ComboBox::from_id_salt(form.key(label))
                    .selected_text(RichText::new(shown).color(form.t().text))
                    .width(ui.available_width())
                    .truncate()
                    .show_ui(ui, |ui| {
                        for (value, words) in options {
                            if ui.selectable_label(*value == now, words).clicked() {
                                chosen = Some(*value);
                            }
                        }
                    });
            });
        });
        chosen.filter(|c| *c != now)
    }

    /// A choice of a thing or of none; returns the new one.
    pub(super) fn pick_or_none<V: Copy + PartialEq>(
        &mut self,
        ui: &mut Ui,
        label: &str,
        now: Option<V>,
        none: &str,
        options: impl Iterator<Item = (V, String)>,
    ) -> Option<Picked<V>> {
        let mut all = vec![(None, none.to_owned())];
        all.extend(options.map(|(v, words)| (Some(v), words)));
        self.pick(ui, label, now, &all).map(Picked)
    }

    #[expect(clippy::unused_self, reason = "every field is asked of its form")]
    /// A yes or no; returns the new answer.
    pub(super) fn check(&self, ui: &mut Ui, label: &str, now: bool) -> Option<bool> {
        let mut value = now;
        ui.horizontal(|ui| {
            ui.add_space(LABELS + 8.0);
            ui.checkbox(&mut value, label);
        });
        (value != now).then_some(value)
    }

    /// A list of things of which any number may be taken; returns the one that changed.
    pub(super) fn several<V: Copy + PartialEq>(
        &self,
        ui: &mut Ui,
        label: &str,
        options: &[(V, String)],
        is_on: impl Fn(V) -> bool,
    ) -> Option<(V, bool)> {
        let mut changed = None;
        ui.horizontal_top(|ui| {
            label_ui(ui, self.t(), label);
            ui.horizontal_wrapped(|ui| {
                ui.spacing_mut().item_spacing = vec2(12.0, 4.0);
                ui.set_min_height(28.0);
                if options.is_empty() {
                    ui.label(RichText::new("none yet").color(self.t().faint));
                }
                for (value, words) in options {
                    let mut on = is_on(*value);
                    if ui.checkbox(&mut on, words).changed() {
                        changed = Some((*value, on));
                    }
                }
            });
        });
        changed
    }

    /// A line that only tells.
    pub(super) fn fact(&self, ui: &mut Ui, label: &str, words: &str) {
        let t = self.t();
        ui.horizontal_top(|ui| {
            label_ui(ui, t, label);
            ui.add(egui::Label::new(RichText::new(words).color(t.soft)).wrap());
        });
    }

    /// A line that leads to another thing.
    pub(super) fn link(&mut self, ui: &mut Ui, label: &str, thing: ThingId, words: &str) {
        let t = self.t();
        ui.horizontal(|ui| {
            label_ui(ui, t, label);
            link_ui(self.ctx, ui, thing, words);
        });
    }

    fn key(&self, label: &str) -> String {
        format!("{:?}.{}{label}", self.about, self.part)
    }

    fn line(
        &mut self,
        ui: &mut Ui,
        label: &str,
        contents: impl FnOnce(&mut Self, &mut Ui, egui::Id),
    ) {
        let t = self.t();
        ui.horizontal_top(|ui| {
            let id = label_ui(ui, t, label);
            ui.vertical(|ui| {
                ui.spacing_mut().item_spacing.y = 2.0;
                contents(self, ui, id);
            });
        });
    }

    #[expect(
        clippy::too_many_arguments,
        reason = "the one place where a field is put together"
    )]
    fn typed(
        &mut self,
        ui: &mut Ui,
        label: &str,
        unit: &str,
        now: &str,
        label_id: egui::Id,
        rows: usize,
        parse: impl FnOnce(&str) -> Result<Vec<Edit>, String>,
    ) {
        let t = self.t();
        let key = self.key(label);
        let mut draft = self.state.drafts.get(&key).cloned().unwrap_or(Draft {
            text: now.to_owned(),
            error: None,
        });
        let width = ui.available_width();
        let edit = if rows > 1 {
            TextEdit::multiline(&mut draft.text).desired_rows(rows)
        } else {
            TextEdit::singleline(&mut draft.text)
        };
        let mut edit = edit
            .desired_width(width)
            .margin(vec2(8.0, 5.0))
            .id(egui::Id::unique(("field", key.as_str())));
        if !unit.is_empty() {
            edit = edit.suffix(RichText::new(unit).size(12.0).color(t.faint));
        }
        if draft.error.is_some() {
            edit = edit.text_color(t.stops.ink);
        }
        let response = ui.add(edit).labelled_by(label_id);
        if response.changed() {
            let edits = parse(&draft.text);
            // What the scenario would refuse is said under the field, not done.
            let checked = edits.and_then(|edits| match self.ctx.scenario.apply(&edits) {
                Ok(_) => Ok(edits),
                Err(error) => Err(sentence(&error.to_string())),
            });
            match checked {
                Ok(edits) => {
                    draft.error = None;
                    let label = format!(
                        "Change {} of {}",
                        label.to_lowercase(),
                        self.ctx.scenario.name(self.about)
                    );
                    self.ctx.push(Action::Type {
                        label,
                        field: key.clone(),
                        edits,
                    });
                }
                Err(reason) => draft.error = Some(reason),
            }
        }
        if let Some(reason) = &draft.error {
            ui.horizontal(|ui| {
                sign_label(ui, Sign::Warns, 12.0, t.stops.ink);
                ui.add(
                    egui::Label::new(RichText::new(reason).size(12.0).color(t.stops.ink)).wrap(),
                );
            });
        }
        if response.has_focus() {
            self.state.drafts.insert(key, draft);
        } else if let Some(left) = self.state.drafts.remove(&key) {
            self.ctx.push(Action::Seal);
            if let Some(reason) = left.error {
                let now = if now.is_empty() { "empty" } else { now };
                let words = format!("{label} stays {now}: {}", lower(&reason));
                self.ctx.push(Action::Say(words));
            }
        }
    }
}

/// Writes the label of a field in its column.
pub(super) fn label_ui(ui: &mut Ui, t: &Tokens, label: &str) -> egui::Id {
    let size = vec2(LABELS, 28.0);
    ui.allocate_ui_with_layout(
        size,
        egui::Layout::left_to_right(egui::Align::Center),
        |ui| {
            ui.set_min_size(size);
            ui.add(egui::Label::new(RichText::new(label).size(12.5).color(t.soft)).wrap())
                .id
        },
    )
    .inner
}

/// Words that lead to a thing.
pub(crate) fn link_ui(ctx: &mut ViewCtx<'_>, ui: &mut Ui, thing: ThingId, words: &str) {
    if ui
        .add(egui::Link::new(words.to_owned()))
        .on_hover_text("Show it")
        .clicked()
    {
        ctx.push(Action::Show(vec![thing]));
    }
}

/// The head of a group of fields; returns whether its plus was clicked, where it has one.
pub(super) fn section(ui: &mut Ui, t: &Tokens, title: &str, add: Option<&str>) -> bool {
    ui.add_space(10.0);
    let mut added = false;
    ui.horizontal(|ui| {
        ui.label(RichText::new(title).font(semibold(13.5)).color(t.text));
        if let Some(add) = add {
            ui.with_layout(egui::Layout::right_to_left(egui::Align::Center), |ui| {
                added = sign_button(ui, t, Sign::Plus, add, true).clicked();
            });
        }
    });
    let line = ui.available_rect_before_wrap();
    ui.painter().hline(
        line.x_range(),
        line.min.y - 4.0,
        egui::Stroke::new(1.0, t.panel_edge),
    );
    added
}

/// Reads a whole number.
pub(super) fn whole_number(text: &str) -> Result<u32, String> {
    text.trim()
        .parse()
        .map_err(|_number| "A whole number, such as 250".to_owned())
}

/// Reads a number; a comma counts as a point.
pub(super) fn number(text: &str) -> Result<f64, String> {
    text.trim()
        .replace(',', ".")
        .parse()
        .ok()
        .filter(|n: &f64| n.is_finite())
        .ok_or_else(|| "A number, such as 12.5".to_owned())
}

/// Writes a number with no more digits than it has.
pub(super) fn plain(n: f64) -> String {
    format!("{n}")
}
