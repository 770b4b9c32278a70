//! Tables for spreadsheets written and read, and another file to compare with.

use std::path::Path;
use std::sync::Arc;

use egui::Context;

use crate::app::application::{Application, first_phase};
use crate::app::effects::Ask;
use crate::app::files;
use crate::app::state::{Against, Dialog, Importing, TableKind, View};
use crate::checks;
use crate::exchange::{self, Mapping, Sheet, Source};
use crate::model::{PhaseId, Scenario};
use crate::picture::Picture;

use super::file::file_name;

impl Application {
    /// Asks where to write a table.
    pub(in crate::app) fn export_table(&mut self, ctx: &Context, table: TableKind) {
        self.ui.dialog = None;
        self.ui.exporting = table;
        let what = match table {
            TableKind::Ics217a => "channels",
            TableKind::Ics205 => "plan-205",
            TableKind::Matrix => "who-hears-whom",
            TableKind::Findings => "findings",
        };
        let name = format!("{what}.csv");
        self.effects.ask(ctx, Ask::ExportTable { name });
    }

    /// Writes the table that was chosen, of the plan as it is now.
    pub(in crate::app) fn export_table_to(&mut self, path: &Path) {
        let failed = |reason: String| Dialog::Failed {
            title: "The table was not exported".to_owned(),
            reason,
        };
        let Some(sheet) = self.table(self.ui.exporting) else {
            let most = exchange::MOST_PARTIES;
            self.ask(failed(format!(
                "there are more than {most} parties, too many for the columns of a table"
            )));
            return;
        };
        match self.effects.write(path, &sheet.csv()) {
            Ok(()) => self.say(format!("The table is in {}", path.display())),
            Err(reason) => self.ask(failed(reason)),
        }
    }

    fn table(&self, table: TableKind) -> Option<Sheet> {
        let scenario = self.document.scenario();
        // Of the plan as it is, whatever a thread still works on and whatever is out of service.
        let picture = |phase: PhaseId| Picture::new(Arc::clone(scenario), phase);
        let shown = self.ui.shared.phase;
        match table {
            TableKind::Ics217a => Some(exchange::ics_217a(scenario)),
            TableKind::Ics205 => Some(exchange::ics_205(&picture(shown))),
            TableKind::Matrix => exchange::matrix(&picture(shown)),
            TableKind::Findings => {
                let picture = picture(shown);
                let report = checks::run_all(&picture);
                Some(exchange::findings(&[(picture, report)]))
            }
        }
    }

    /// Shows what the channels of a table would become.
    pub(in crate::app) fn import_channels(&mut self, path: &Path) {
        let read = self.effects.read(path);
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
    pub(in crate::app) fn compare_with(&mut self, path: &Path) {
        let file = file_name(path);
        let text = match self.effects.read(path) {
            Ok(text) => text,
            Err(reason) => {
                self.ask(Dialog::Failed {
                    title: format!("{file} could not be read"),
                    reason,
                });
                return;
            }
        };
        match files::read(&text, &file) {
            Ok(other) => {
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
            Err(problems) => self.ask(Dialog::Problems { file, problems }),
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
