//! Load and waiting of every net, as a bar against the ceilings of the scenario's practice.

use egui::accesskit::Role;
use egui::{CornerRadius, Rect, RichText, Sense, Stroke, Ui, WidgetInfo, pos2, vec2};

use super::{head, line, quiet, short};
use crate::app::panels::details::link_to;
use crate::app::theme::Tokens;
use crate::app::view::ViewCtx;
use crate::app::words::{ERLANG, ceilings, counted};
use crate::engineering::timing::press_and_wait::tenths;
use crate::engineering::traffic::erlang_c::Waiting;
use crate::model::{Practice, ThingId};
use crate::picture::traffic::Net;

/// Nets beyond which only the busiest are shown.
const MOST: usize = 40;

pub(super) fn nets_ui(ctx: &mut ViewCtx<'_>, ui: &mut Ui) {
    let t = ctx.tokens;
    head(ui, t, "How busy the nets are");
    let derived = ctx.derived;
    let traffic = derived.picture.traffic();
    let groups = traffic.groups.iter().map(|(id, n)| (ThingId::from(*id), n));
    let channels = traffic.channels.iter();
    let channels = channels.map(|(id, n)| (ThingId::from(*id), n));
    let mut nets: Vec<(ThingId, &Net)> = groups.chain(channels).collect();
    nets.retain(|(_, net)| net.all_erl > 0.0);
    if nets.is_empty() {
        quiet(ui, t, "Nobody speaks yet: give units messages per hour.");
        return;
    }
    let practice = &ctx.scenario.practice;
    let words = format!(
        "Pale: its own people before joining; full colour: with all that is joined to it. The marks: {} {ERLANG}.",
        ceilings(practice.load_strained_erl, practice.load_most_erl)
    );
    quiet(ui, t, &words);
    nets.sort_by(|a, b| b.1.all_erl.total_cmp(&a.1.all_erl));
    let waits = derived.press_and_wait();
    for (id, net) in nets.iter().take(MOST) {
        ui.add_space(4.0);
        let name = ctx.scenario.name(*id);
        link_to(ctx, ui, *id, &name);
        bar(ui, t, &ctx.scenario.practice, &name, net);
        let mut words = format!(
            "{}; {} of {}",
            waiting(net.now),
            counted(net.people as usize, "person", "people"),
            counted(net.agencies.len(), "agency", "agencies")
        );
        if let ThingId::Channel(channel) = id
            && let Some(wait) = waits.get(channel)
        {
            let tenths = tenths(wait.wait_ms);
            words.push_str(&format!("; press, wait {tenths} tenths, then speak"));
        }
        line(ui, t, &words);
    }
    let more = nets.len().saturating_sub(MOST);
    if more > 0 {
        quiet(ui, t, &format!("and {more} quieter nets"));
    }
    for (id, system) in &traffic.systems {
        ui.add_space(4.0);
        let name = ctx.scenario.name((*id).into());
        link_to(ctx, ui, (*id).into(), &name);
        let words = format!(
            "{:.2} erlang on {}, {:.2} without the patches; {}",
            system.all_erl,
            counted(system.talk_paths as usize, "talk path", "talk paths"),
            system.own_erl,
            waiting(system.now)
        );
        line(ui, t, &words);
    }
}

fn waiting(waiting: Waiting) -> String {
    match waiting {
        Waiting::Settles {
            probability,
            mean_wait_s,
        } => format!(
            "{:.0} % of messages wait, {} s on average",
            probability * 100.0,
            short(mean_wait_s)
        ),
        Waiting::GrowsWithoutEnd => "the queue grows without end".to_owned(),
    }
}

/// One bar: what its own people offer, what joining adds, and where people are strained.
fn bar(ui: &mut Ui, t: &Tokens, practice: &Practice, name: &str, net: &Net) {
    let width = ui.available_width() - 64.0;
    ui.horizontal(|ui| {
        let (rect, response) = ui.allocate_exact_size(vec2(width, 14.0), Sense::hover());
        let words = format!(
            "Load of {name}: {:.2} erlang, {:.2} of its own",
            net.all_erl, net.own_erl
        );
        response.widget_info(|| WidgetInfo::labeled(Role::ProgressIndicator, true, &words));
        let ink = if net.all_erl >= practice.load_most_erl {
            t.stops.ink
        } else if net.all_erl >= practice.load_strained_erl {
            t.warns.ink
        } else {
            t.good.ink
        };
        let at = |erl: f64| rect.min.x + rect.width() * erl.clamp(0.0, 1.0) as f32;
        let part = |from: f64, to: f64| {
            Rect::from_min_max(pos2(at(from), rect.min.y), pos2(at(to), rect.max.y))
        };
        let painter = ui.painter();
        painter.rect_filled(rect, CornerRadius::same(4), t.sunken);
        painter.rect_filled(part(0.0, net.all_erl), CornerRadius::same(4), ink);
        // The part before joining lies pale over it, as in the view of talk groups.
        painter.rect_filled(part(0.0, net.own_erl), CornerRadius::same(4), t.sunken);
        painter.rect_filled(
            part(0.0, net.own_erl),
            CornerRadius::same(4),
            ink.gamma_multiply(0.45),
        );
        for ceiling in [practice.load_strained_erl, practice.load_most_erl] {
            painter.vline(at(ceiling), rect.y_range(), Stroke::new(1.5, t.soft));
        }
        ui.label(
            RichText::new(format!("{:.0} %", net.all_erl * 100.0))
                .size(12.5)
                .color(t.text),
        )
        .on_hover_text(format!("{:.2} erlang. {ERLANG}", net.all_erl));
    });
}
