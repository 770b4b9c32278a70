//! The load of a lane as a small plot against the ceilings of practice, and the same in words.

use egui::accesskit::Role;
use egui::{Sense, Ui, WidgetInfo};
use egui_plot::{AxisHints, Bar, BarChart, GridMark, HLine, LineStyle, Plot};

use crate::app::theme::Tokens;
use crate::app::view::ViewCtx;
use crate::engineering::traffic::erlang_c::Waiting;
use crate::model::Practice;
use crate::picture::lanes::Lane;
use crate::picture::traffic::Net;

/// Width of one bar, where ports are one apart.
const BAR: f64 = 0.36;

/// Says the figures of the plot.
pub(super) fn words(
    lane: &Lane,
    net: &Net,
    practice: &Practice,
    name: impl Fn(&Lane, usize) -> String,
) -> String {
    let mut text = format!(
        "{:.2} erlang in all against a ceiling of {}",
        net.all_erl, practice.load_most_erl
    );
    for (i, share) in lane.shares.iter().enumerate() {
        text.push_str(&format!(
            "; port {}, {}: {:.2} before joining, {:.2} joined",
            share.port.port,
            name(lane, i),
            share.own_erl,
            share.all_erl
        ));
    }
    text
}

/// Says how long messages wait on a lane, and how long they waited before joining.
pub(super) fn waiting(now: Waiting, before_s: Option<f64>) -> String {
    let now = match now {
        Waiting::Settles {
            probability,
            mean_wait_s,
        } => format!(
            "{:.0} % wait, {:.1} s on average",
            probability * 100.0,
            mean_wait_s
        ),
        Waiting::GrowsWithoutEnd => "The queue grows without end".to_owned(),
    };
    match before_s {
        Some(s) => format!("{now}; before joining {s:.1} s"),
        None => now,
    }
}

/// Returns how far apart the lines of a plot lie that ends at a load, in erlangs.
fn step(top: f64) -> f64 {
    let steps = [0.1, 0.2, 0.5, 1.0, 2.0, 5.0, 10.0];
    let fits = |step: &f64| top / step <= 4.5;
    steps.into_iter().find(fits).unwrap_or(top / 4.0)
}

fn marks(count: usize, step_size: f64) -> Vec<GridMark> {
    let marks = (0..count).map(|i| GridMark {
        value: i as f64 * step_size,
        step_size,
    });
    marks.collect()
}

/// Draws the plot; its accessible name says every figure in it.
pub(super) fn plot(ctx: &ViewCtx<'_>, ui: &mut Ui, lane: &Lane, net: &Net, title: &str) {
    let t = ctx.tokens;
    let practice = &ctx.scenario.practice;
    let ceiling = practice.load_most_erl;
    let highest = lane
        .shares
        .iter()
        .map(|s| s.all_erl)
        .fold(net.all_erl, f64::max);
    let top = highest.max(ceiling) * 1.18;
    let own = lane.group.map_or(t.soft, |g| t.bus(g.group));
    let mut pale = Vec::new();
    let mut full = Vec::new();
    for (i, share) in lane.shares.iter().enumerate() {
        pale.push(Bar::new(i as f64 - BAR / 2.0, share.own_erl).width(BAR));
        full.push(Bar::new(i as f64 + BAR / 2.0, share.all_erl).width(BAR));
    }
    let end = lane.shares.len() as f64;
    pale.push(Bar::new(end - BAR / 2.0, net.own_erl).width(BAR));
    full.push(Bar::new(end + BAR / 2.0, net.all_erl).width(BAR));
    let ports: Vec<String> = lane
        .shares
        .iter()
        .map(|s| s.port.port.to_string())
        .collect();
    let tick = move |value: f64| {
        let nearest = value.round();
        let is_whole = (value - nearest).abs() < 0.01 && nearest >= 0.0;
        let place = is_whole.then_some(nearest as usize);
        match place {
            Some(i) if i < ports.len() => ports.get(i).cloned().unwrap_or_default(),
            Some(i) if i == ports.len() => "all".to_owned(),
            _ => String::new(),
        }
    };
    let axes = axes(t);
    let (x, y) = (axes.0.formatter(move |mark, _| tick(mark.value)), axes.1);
    let response = Plot::new("load")
        .height(ui.available_height())
        .width(ui.available_width())
        .allow_drag(false)
        .allow_zoom(false)
        .allow_scroll(false)
        .allow_boxed_zoom(false)
        .allow_axis_zoom_drag(false)
        .allow_double_click_reset(false)
        .show_crosshair(false)
        .show_x(false)
        .show_y(false)
        .show_grid([false, true])
        .grid_color(t.panel_edge)
        .show_background(false)
        .label_formatter(|_| None)
        .set_margin_fraction(egui::Vec2::ZERO)
        .default_x_bounds(-0.6, end + 0.6)
        .default_y_bounds(0.0, top)
        .auto_bounds(false)
        .x_grid_spacer(move |_| marks(end as usize + 1, 1.0))
        .y_grid_spacer(move |_| marks((top / step(top)) as usize + 1, step(top)))
        .sense(Sense::hover())
        .custom_x_axes(vec![x])
        .custom_y_axes(vec![y])
        .show(ui, |plot| {
            // Where ports came or went, the bounds remembered no longer fit.
            plot.set_plot_bounds_x(-0.6..=end + 0.6);
            plot.set_plot_bounds_y(0.0..=top);
            plot.bar_chart(chart("before joining", pale, own.gamma_multiply(0.45)));
            plot.bar_chart(chart("joined", full, own));
            let dashed = LineStyle::dashed_loose();
            let strained = HLine::new("strained", practice.load_strained_erl);
            plot.hline(strained.color(t.warns.ink).style(dashed).width(1.4));
            plot.hline(HLine::new("most", ceiling).color(t.stops.ink).width(1.6));
        })
        .response;
    let channel = |lane: &Lane, i: usize| {
        let share = lane.shares.get(i);
        share.map_or_else(String::new, |s| ctx.scenario.name(s.channel.into()))
    };
    let label = format!("Load of {title}: {}", words(lane, net, practice, channel));
    response.widget_info(|| WidgetInfo::labeled(Role::Image, true, &label));
    response.on_hover_text(label);
}

fn axes(t: &Tokens) -> (AxisHints<'static>, AxisHints<'static>) {
    let font = egui::FontId::proportional(10.5);
    let name = |words: &str| egui::RichText::new(words).size(10.5).color(t.faint);
    let x = AxisHints::new_x()
        .label(name("port"))
        .tick_label_color(t.soft)
        .label_spacing(egui::Rangef::new(8.0, 12.0))
        .tick_label_font(font.clone());
    let y = AxisHints::new_y()
        .label(name("erlang"))
        .tick_label_color(t.soft)
        .tick_label_font(font)
        .label_spacing(egui::Rangef::new(6.0, 9.0))
        .min_thickness(26.0)
        .formatter(|mark, _| format!("{:.1}", mark.value));
    (x, y)
}

fn chart(name: &str, bars: Vec<Bar>, colour: egui::Color32) -> BarChart {
    let filled = bars.into_iter().map(|bar| bar.fill(colour));
    BarChart::new(name, filled.collect())
        .color(colour)
        .allow_hover(false)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_plot_has_a_handful_of_lines() {
        for top in [0.2, 0.7, 1.8, 4.0, 30.0, 700.0] {
            let lines = (top / step(top)) as usize;
            assert!((1..=4).contains(&lines), "{top}: {lines}");
        }
    }

    #[test]
    fn waiting_is_said_with_what_it_was_before() {
        let now = Waiting::Settles {
            probability: 0.234,
            mean_wait_s: 1.26,
        };
        assert_eq!(
            waiting(now, Some(0.31)),
            "23 % wait, 1.3 s on average; before joining 0.3 s"
        );
        assert_eq!(
            waiting(Waiting::GrowsWithoutEnd, None),
            "The queue grows without end"
        );
    }
}
