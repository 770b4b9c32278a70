//! The figures of practice of the scenario, by topic; each may differ from the usual one.

use egui::{CollapsingHeader, RichText, Ui};

use super::fields::{Form, number, plain, section};
use crate::app::theme::text_button;
use crate::model::{Edit, Practice, Topic};

/// Shows every figure under its topic.
pub(super) fn practice_ui(form: &mut Form<'_, '_>, ui: &mut Ui) {
    let t = form.t();
    section(ui, t, "Figures of practice", None);
    let words =
        "What the plan counts on and no law says. Change what your own practice knows better.";
    ui.add(egui::Label::new(RichText::new(words).size(12.0).color(t.faint)).wrap());
    let practice = form.ctx.scenario.practice.clone();
    for topic in Topic::ALL {
        let all = Practice::SETTINGS.iter().filter(|s| s.topic == topic);
        let changed = all.clone().filter(|s| !s.is_usual(&practice)).count();
        let title = if changed == 0 {
            topic.word().to_owned()
        } else {
            format!("{} ({changed} changed)", topic.word())
        };
        CollapsingHeader::new(RichText::new(title).color(t.text))
            .id_salt(("practice", topic.word()))
            .show(ui, |ui| {
                for setting in all {
                    ui.add_space(4.0);
                    form.text(
                        ui,
                        setting.label,
                        setting.unit,
                        &plain(setting.of(&practice)),
                        |text| {
                            let mut practice = practice.clone();
                            setting.put(&mut practice, number(text)?);
                            Ok(vec![Edit::SetPractice(Box::new(practice))])
                        },
                    );
                    let note = format!("Usually {}: {}", plain(setting.usual), setting.origin);
                    ui.add(egui::Label::new(RichText::new(note).size(11.5).color(t.faint)).wrap());
                }
            });
    }
    if practice != Practice::default()
        && text_button(ui, t, "Go back to the usual figures").clicked()
    {
        let edit = Edit::SetPractice(Box::default());
        form.ctx.apply("Go back to the usual figures", vec![edit]);
    }
}
