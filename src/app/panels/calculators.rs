//! Calculators: one formula at a time, answered as one types.
//!
//! The list, the fields and the words come from the table of `engineering`, the same that the verb
//! `calc` reads. What is typed here belongs to no scenario and is kept until the program ends.

use std::collections::BTreeMap;

use egui::{
    ComboBox, Context, CornerRadius, Frame, Margin, RichText, ScrollArea, Stroke, TextEdit, Ui,
    vec2,
};

use crate::app::command::Command;
use crate::app::theme::{Sign, Tokens, card, semibold, sign_button, sign_label};
use crate::app::view::ViewCtx;
use crate::app::words::sentence;
use crate::engineering::calculators::{
    ALL, Answers, Calculator, Input, Need, Product, Refusal, Takes, Value, words,
};

/// Size of the window's contents.
const SIZE: egui::Vec2 = vec2(800.0, 430.0);
/// Width of the list of calculators.
const LIST: f32 = 184.0;
/// Width of the fields.
const FIELDS: f32 = 330.0;
/// Width of the labels in it.
const LABELS: f32 = 132.0;
/// Products shown; more have few causes.
const MOST_PRODUCTS: usize = 60;

/// Answers, or what keeps them from being given.
type Outcome = Result<Answers, Vec<Refusal>>;

/// What the calculators remember.
#[derive(Debug, Default)]
pub(crate) struct CalculatorsState {
    /// The window is shown.
    pub(crate) open: bool,
    chosen: usize,
    /// What was typed, by kind and input; what is not here shows its example.
    typed: BTreeMap<(&'static str, &'static str), String>,
    /// Answers of a kind to what is typed, until it changes.
    answers: Option<(&'static str, Outcome)>,
}

impl CalculatorsState {
    /// Closes the window; returns whether it was open.
    pub(crate) fn close(&mut self) -> bool {
        std::mem::take(&mut self.open)
    }
}

/// Shows the calculators, if they are open.
pub(crate) fn calculators_ui(ctx: &mut ViewCtx<'_>, egui: &Context, state: &mut CalculatorsState) {
    if !state.open {
        return;
    }
    let middle = egui.content_rect().center();
    egui::Window::new("Calculators")
        .title_bar(false)
        .resizable(false)
        .collapsible(false)
        .default_pos(middle - SIZE / 2.0 - vec2(60.0, 40.0))
        .frame(Frame::window(&egui.global_style()))
        .show(egui, |ui| {
            ui.set_min_size(SIZE);
            ui.set_max_size(SIZE);
            head(ctx, ui);
            let Some(calculator) = ALL.get(state.chosen).or_else(|| ALL.first()) else {
                return;
            };
            ui.horizontal_top(|ui| {
                column(ui, LIST, |ui| list(ui, state));
                ui.add_space(10.0);
                column(ui, SIZE.x - LIST - 26.0, |ui| {
                    calculator_ui(ctx.tokens, ui, state, calculator);
                });
            });
        });
}

fn head(ctx: &mut ViewCtx<'_>, ui: &mut Ui) {
    let t = ctx.tokens;
    ui.horizontal(|ui| {
        sign_label(ui, Sign::Calculator, 20.0, t.accent.ink);
        ui.label(
            RichText::new("Calculators")
                .font(semibold(17.0))
                .color(t.text),
        );
        ui.with_layout(egui::Layout::right_to_left(egui::Align::Center), |ui| {
            if sign_button(ui, t, Sign::Cross, "Close the calculators", true).clicked() {
                ctx.command(Command::Calculators);
            }
        });
    });
    ui.add_space(4.0);
}

fn column(ui: &mut Ui, width: f32, contents: impl FnOnce(&mut Ui)) {
    let down = egui::Layout::top_down(egui::Align::Min);
    ui.allocate_ui_with_layout(vec2(width, SIZE.y - 40.0), down, |ui| {
        ui.set_width(width);
        contents(ui);
    });
}

fn list(ui: &mut Ui, state: &mut CalculatorsState) {
    ui.spacing_mut().item_spacing.y = 2.0;
    for (i, calculator) in ALL.iter().enumerate() {
        let button = egui::Button::selectable(i == state.chosen, calculator.title);
        if ui
            .add(button.min_size(vec2(LIST, 30.0)))
            .on_hover_text(calculator.about)
            .clicked()
        {
            state.chosen = i;
        }
    }
}

fn calculator_ui(
    t: &Tokens,
    ui: &mut Ui,
    state: &mut CalculatorsState,
    calculator: &'static Calculator,
) {
    let about = RichText::new(calculator.about).color(t.soft);
    ui.add(egui::Label::new(about).wrap());
    ui.add_space(4.0);
    ui.horizontal_top(|ui| {
        ui.vertical(|ui| {
            ui.set_width(FIELDS);
            for input in calculator.inputs {
                field(t, ui, state, calculator, input);
            }
        });
        ui.add_space(6.0);
        ui.vertical(|ui| {
            ui.set_width(ui.available_width());
            answer_ui(t, ui, state, calculator);
        });
    });
    ui.add_space(8.0);
    lines(t, ui, calculator);
}

/// Returns what stands in a field.
fn text_of(state: &CalculatorsState, calculator: &Calculator, input: &Input) -> String {
    let typed = state.typed.get(&(calculator.kind, input.name));
    typed.cloned().unwrap_or_else(|| match input.need {
        Need::Required | Need::Usual(_) => input.example.to_owned(),
        Need::Default(text) => text.to_owned(),
    })
}

/// Returns the answers to what is typed.
fn answers<'a>(state: &'a mut CalculatorsState, calculator: &Calculator) -> &'a Outcome {
    let known = state.answers.take();
    let known = known.filter(|(kind, _)| *kind == calculator.kind);
    let now = known.unwrap_or_else(|| {
        let typed = |input: &Input| words(&text_of(state, calculator, input));
        (calculator.kind, calculator.calculate(typed))
    });
    &state.answers.insert(now).1
}

fn field(
    t: &Tokens,
    ui: &mut Ui,
    state: &mut CalculatorsState,
    calculator: &'static Calculator,
    input: &'static Input,
) {
    let mut text = text_of(state, calculator, input);
    let refused = match answers(state, calculator) {
        Ok(_) => None,
        Err(refusals) => refusals.iter().find(|r| r.input == input.name).cloned(),
    };
    let before = text.clone();
    ui.horizontal_top(|ui| {
        let label = label_ui(ui, t, input.label);
        ui.vertical(|ui| {
            ui.spacing_mut().item_spacing.y = 2.0;
            if let Takes::Choice(choices) = input.takes {
                choice(ui, t, (calculator, input), choices, &mut text);
            } else {
                let mut edit = match input.takes {
                    Takes::Numbers(_, _, most) if most > 2 => {
                        TextEdit::multiline(&mut text).desired_rows(2)
                    }
                    _ => TextEdit::singleline(&mut text),
                };
                edit = edit
                    .id(egui::Id::unique((
                        "calculator",
                        calculator.kind,
                        input.name,
                    )))
                    .desired_width(ui.available_width())
                    .margin(vec2(8.0, 5.0));
                if let Need::Usual(words) = input.need {
                    edit = edit.hint_text(words);
                }
                if !input.unit().is_empty() {
                    let unit = RichText::new(input.unit()).size(12.0).color(t.faint);
                    edit = edit.suffix(unit);
                }
                if refused.is_some() {
                    edit = edit.text_color(t.stops.ink);
                }
                ui.add(edit).labelled_by(label);
            }
            if let Some(refused) = &refused {
                ui.horizontal_top(|ui| {
                    sign_label(ui, Sign::Warns, 12.0, t.stops.ink);
                    let reason = RichText::new(sentence(&refused.allowed));
                    let reason = reason.size(12.0).color(t.stops.ink);
                    ui.add(egui::Label::new(reason).wrap());
                });
            }
        });
    });
    if text != before {
        state.typed.insert((calculator.kind, input.name), text);
        state.answers = None;
    }
}

fn label_ui(ui: &mut Ui, t: &Tokens, label: &str) -> egui::Id {
    let size = vec2(LABELS, 28.0);
    let row = egui::Layout::left_to_right(egui::Align::Center);
    ui.allocate_ui_with_layout(size, row, |ui| {
        ui.set_min_size(size);
        let text = RichText::new(label).size(12.5).color(t.soft);
        ui.add(egui::Label::new(text).wrap()).id
    })
    .inner
}

fn choice(
    ui: &mut Ui,
    t: &Tokens,
    (calculator, input): (&Calculator, &Input),
    choices: &[&str],
    text: &mut String,
) {
    ui.name_inputs(input.label, |ui| {
        ComboBox::from_id_salt(("calculator", calculator.kind, input.name))
            .selected_text(RichText::new(sentence(text)).color(t.text))
            .width(ui.available_width())
            .truncate()
            .show_ui(ui, |ui| {
                for word in choices {
                    if ui
                        .selectable_label(text.as_str() == *word, sentence(word))
                        .clicked()
                    {
                        (*word).clone_into(text);
                    }
                }
            });
    });
}

fn answer_ui(
    t: &Tokens,
    ui: &mut Ui,
    state: &mut CalculatorsState,
    calculator: &'static Calculator,
) {
    card(ui, t, |ui| {
        let Ok(answers) = answers(state, calculator) else {
            let text = "No answer until the marked fields are right.";
            ui.add(egui::Label::new(RichText::new(text).color(t.faint)).wrap());
            return;
        };
        for (i, (output, value)) in calculator.outputs.iter().zip(&answers.values).enumerate() {
            if i > 0 {
                ui.add_space(4.0);
            }
            ui.vertical(|ui| {
                ui.spacing_mut().item_spacing.y = 0.0;
                ui.label(RichText::new(output.label).size(12.0).color(t.soft));
                let shown = RichText::new(output.shown(value)).font(semibold(21.0));
                ui.add(egui::Label::new(shown.color(t.text)).wrap());
            });
            if let Value::Products(products) = value {
                products_ui(t, ui, products);
            }
        }
        for remark in &answers.remarks {
            ui.horizontal_top(|ui| {
                sign_label(ui, Sign::Notes, 13.0, t.notes.ink);
                let text = RichText::new(remark).size(12.5).color(t.soft);
                ui.add(egui::Label::new(text).wrap());
            });
        }
    });
}

fn products_ui(t: &Tokens, ui: &mut Ui, products: &[Product]) {
    ScrollArea::vertical()
        .id_salt("products")
        .max_height(190.0)
        .show(ui, |ui| {
            for product in products.iter().take(MOST_PRODUCTS) {
                let text = RichText::new(sentence(&product.words())).size(12.5);
                ui.add(egui::Label::new(text.color(t.soft)).wrap());
            }
            if products.len() > MOST_PRODUCTS {
                let more = format!("and {} more", products.len() - MOST_PRODUCTS);
                ui.label(RichText::new(more).size(12.5).color(t.faint));
            }
        });
}

/// Shows where the formula comes from and what its answer must not be taken for.
fn lines(t: &Tokens, ui: &mut Ui, calculator: &Calculator) {
    Frame::new()
        .fill(t.sunken)
        .stroke(Stroke::new(1.0, t.panel_edge))
        .corner_radius(CornerRadius::same(8))
        .inner_margin(Margin::symmetric(10, 8))
        .show(ui, |ui| {
            ui.set_width(ui.available_width());
            ui.spacing_mut().item_spacing.y = 5.0;
            let caution = calculator
                .caution
                .map(|text| (Sign::Warns, t.warns.ink, text));
            let source = (Sign::Paper, t.faint, calculator.source);
            for (sign, ink, text) in caution.into_iter().chain([source]) {
                ui.horizontal_top(|ui| {
                    sign_label(ui, sign, 13.0, ink);
                    let text = RichText::new(text).size(12.0).color(t.soft);
                    ui.add(egui::Label::new(text).wrap());
                });
            }
        });
}
