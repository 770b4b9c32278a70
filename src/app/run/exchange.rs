//! Tables for spreadsheets written and read, and another file to compare with.

use std::path::{Path, PathBuf};
use std::sync::Arc;

use egui::Context;

use crate::app::application::{Application, first_phase};
use crate::app::derived::is_large;
use crate::app::effects::{Ask, Stamp, read_text, write_text};
use crate::app::files;
use crate::app::state::{Against, Dialog, Importing, TableKind, View};
use crate::checks;
use crate::exchange::{self, Mapping, Source};
use crate::model::{PhaseId, Scenario};
use crate::picture::Picture;

use super::errand::Purpose;
use super::file::{LONG, file_name};
use super::keeping::Read;

impl Application {
    /// Asks where to write a table.
    pub(in crate::app) fn export_table(&mut self, ctx: &Context, table: TableKind) {
        self.ui.dialog = None;
        self.ui.exporting = table;
        let what = match table {
            TableKind::Ics217a => "channels",
            TableKind::Ics205 => "plan-205",
            TableKind::Matrix | TableKind::MatrixJson => "who-hears-whom",
            TableKind::Findings | TableKind::FindingsJson => "findings",
        };
        let ending = match table {
            TableKind::MatrixJson | TableKind::FindingsJson => "json",
            _ => "csv",
        };
        let name = format!("{what}.{ending}");
        self.effects.ask(ctx, Ask::ExportTable { name });
    }

    /// Writes the table that was chosen, of the plan as it is now.
    pub(in crate::app) fn export_table_to(&mut self, ctx: &Context, path: PathBuf) {
        let scenario = Arc::clone(self.document.scenario());
        let (table, shown) = (self.ui.exporting, self.ui.shared.phase);
        let file = { self.ui.shared.file.as_ref() }
            .map_or_else(String::new, |file| file.display().to_string());
        let is_long = is_large(&scenario);
        let purpose = (Purpose::Other, format!("Exporting {}", file_name(&path)));
        let part = move |is_wanted: &dyn Fn() -> bool| {
            let text = table_text(table, scenario, shown, &file);
            if !is_wanted() {
                return None;
            }
            let written = text.and_then(|text| write_text(&path, &text));
            Some(written.map(|()| path))
        };
        self.run_errand(
            ctx,
            purpose,
            is_long,
            part,
            |this, _, answer| match answer {
                Some(Ok(path)) => this.say(format!("The table is in {}", path.display())),
                Some(Err(reason)) => this.ask(Dialog::Failed {
                    title: "The table was not exported".to_owned(),
                    reason,
                }),
                None => this.say("Stopped: the table was not exported".to_owned()),
            },
        );
    }

    /// Shows what the channels of a table would become.
    pub(in crate::app) fn import_channels(&mut self, path: &Path) {
        let read = self.effects.read(path);
        let read = read.map_err(|reason| {
            // Spreadsheets write other letters too, and none of them says so.
            let hint = "A spreadsheet writes a table that can be read as \"CSV UTF-8\"";
            if self.effects.exists(path) {
                format!("{reason}\n{hint}")
            } else {
                reason
            }
        });
        let source = read.and_then(|text| Source::read(&text).map_err(|e| e.to_string()));
        match source {
            Ok(source) => self.ask(Dialog::ImportChannels(Box::new(Importing {
                file: file_name(path),
                mapping: Mapping::guess(&source.headings),
                source,
                skip_bad: false,
                known: None,
            }))),
            Err(reason) => self.ask(Dialog::Failed {
                title: "The channels could not be imported".to_owned(),
                reason,
            }),
        }
    }

    /// Sets another file against the phase shown.
    pub(in crate::app) fn compare_with(&mut self, ctx: &Context, path: &Path) {
        let is_long = self.effects.stamp(path).map_or(0, Stamp::length) >= LONG;
        let (file, path) = (file_name(path), path.to_owned());
        let purpose = (Purpose::Other, format!("Reading {file}"));
        let name = file.clone();
        let part = move |is_wanted: &dyn Fn() -> bool| {
            let read = read_text(&path).map(|text| files::read(&text, &name));
            is_wanted().then_some(read)
        };
        self.run_errand(ctx, purpose, is_long, part, |this, _, read| {
            this.set_against(file, read);
        });
    }

    fn set_against(&mut self, file: String, read: Option<Read>) {
        match read {
            None => self.say(format!("Stopped: nothing is compared with {file}")),
            Some(Err(reason)) => self.ask(Dialog::Failed {
                title: format!("{file} could not be read"),
                reason,
            }),
            Some(Ok(Err(problems))) => self.ask(Dialog::Problems { file, problems }),
            Some(Ok(Ok(other))) => {
                let phase = twin(self.document.scenario(), self.ui.shared.phase, &other);
                self.ui.shared.compare = None;
                self.ui.shared.against = Some(Against {
                    file,
                    scenario: Arc::new(other),
                    phase,
                });
                // The list stands on the board.
                if !self.ui.look.beside {
                    self.ui.shared.view = View::Board;
                }
            }
        }
    }
}

/// Makes a table of a plan as it is, whatever a thread still works on and whatever is out of service.
fn table_text(
    table: TableKind,
    scenario: Arc<Scenario>,
    shown: PhaseId,
    file: &str,
) -> Result<String, String> {
    let most = exchange::MOST_PARTIES;
    match table {
        TableKind::Ics217a => Ok(exchange::ics_217a(&scenario).csv()),
        TableKind::Ics205 => Ok(exchange::ics_205(&Picture::new(scenario, shown)).csv()),
        TableKind::Matrix => {
            let sheet = exchange::matrix(&Picture::new(scenario, shown));
            sheet.map(|sheet| sheet.csv()).ok_or_else(|| {
                format!("there are more than {most} parties, too many for the columns of a table")
            })
        }
        TableKind::Findings => {
            let picture = Picture::new(scenario, shown);
            let report = checks::run_all(&picture);
            Ok(exchange::findings(&[(picture, report)]).csv())
        }
        TableKind::MatrixJson => Ok(exchange::heard_json(&Picture::new(scenario, shown), file)),
        TableKind::FindingsJson => {
            let phases = scenario.phases.get(shown).cloned().into_iter().collect();
            let checked = exchange::Checked::of(scenario, phases);
            Ok(exchange::json_text(&checked.json(file)))
        }
    }
}

/// Finds the phase of the same key or name in another scenario, else its first.
fn twin(s: &Scenario, shown: PhaseId, other: &Scenario) -> PhaseId {
    let Some(shown) = s.phases.get(shown) else {
        return first_phase(other);
    };
    let alike = other.phases.by_key(&shown.key);
    let named = || other.phases.iter().find(|p| p.name == shown.name);
    alike
        .or_else(named)
        .map_or_else(|| first_phase(other), |phase| phase.id)
}
