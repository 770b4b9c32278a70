//! The command line: every verb with its help, an example and the keys of its JSON.
//!
//! The keys named here are a promise; a test compares them with what the verbs print.

mod paper;

use std::path::{Path, PathBuf};

use clap::{Args as ClapArgs, Parser, Subcommand, ValueEnum};

use crate::format::nearest;
use crate::model::Severity;

pub(super) use paper::Paperwork;

use super::calc::Calc;
use super::error::{Error, Kind};

/// Plans, checks and rehearses how radios of different agencies are joined at one incident.
#[derive(Debug, Clone, PartialEq, Eq, Parser)]
#[command(
    name = "crosspatch",
    version,
    args_conflicts_with_subcommands = true,
    after_help = "Without a verb the board opens, with FILE on it.\n\n\
                  Exit codes: 0 clean, 1 findings at or above the bar, 2 could not run.\n\n\
                  Example:\n  crosspatch plan.ron\n  crosspatch check plan.ron"
)]
pub struct Args {
    /// Scenario to open on the board.
    pub file: Option<PathBuf>,
    /// What to do without the board.
    #[command(subcommand)]
    pub verb: Option<Verb>,
}

/// Everything that can be done without the board.
#[derive(Debug, Clone, PartialEq, Eq, Subcommand)]
pub enum Verb {
    /// Lists what will go wrong, worst first.
    Check(Check),
    /// Tells who hears whom, by what path and how late, or why not.
    Hears(Hears),
    /// Works out loads, waits, delays, the radio site, power and what each need hangs on.
    Figures(Figures),
    /// Takes things out of service and tells who loses whom.
    WhatIf(WhatIf),
    /// Sets two scenarios, or two phases of one, against each other.
    Compare(Compare),
    /// Writes channels, hearing or findings as a table for spreadsheets.
    Export(Export),
    /// Takes the channels of a table into a scenario.
    Import(Import),
    /// Rewrites a scenario as RON or JSON, by the endings of the names.
    Convert(Convert),
    /// Prints the JSON Schema of scenario files.
    Schema(Schema),
    /// Explains a check, or lists all of them.
    Explain(Explain),
    /// Writes the shipped scenarios, or a generated one, into a folder.
    Example(Example),
    /// Prints the forms, gateway cards, pre-check sheets and drawings into a folder.
    Paperwork(Paperwork),
    /// Answers one formula: blocking, losses, run time, distances and more.
    Calc(Calc),
}

/// Arguments of `check`.
#[derive(Debug, Clone, PartialEq, Eq, ClapArgs)]
#[command(after_help = "Example:\n  crosspatch check plan.ron --fail-on warns")]
#[command(after_long_help = "\
Exit codes: 0 nothing at or above the bar, 1 something, 2 unreadable file or bad usage.

JSON: {\"file\", \"title\", \"phases\": [key], \"fail_on\", \"failed\",
  \"counts\": {\"stops\", \"warns\", \"notes\", \"accepted\", \"aside\"},
  \"findings\": [{\"code\", \"name\", \"severity\", \"headline\", \"phases\": [key],
    \"subject\": THING, \"related\": [THING], \"numbers\": [{\"quantity\", \"value\", \"unit\"}],
    \"why\", \"hints\": [text], \"fixes\": [{\"title\", \"grade\"}]}],
  \"accepted\": [the same, and \"reason\", \"by\", \"on\"],
  \"aside\": [the same, and \"reason\", \"by\", \"on\", \"until\": key of the phase that brings it back]}
THING: {\"kind\", \"key\", \"name\"}. \"grade\" is \"safe\" or \"ask\".
A file that is there and cannot be understood: {\"file\", \"problems\": [{\"line\", \"column\", \"message\", \"hint\"}]}.

Example:
  crosspatch check plan.ron --fail-on warns
  crosspatch check plan.ron --phase night --json")]
pub struct Check {
    /// Scenario.
    pub file: PathBuf,
    /// Only this phase, by key, name or number; otherwise every phase.
    #[arg(long, value_name = "P")]
    pub phase: Option<String>,
    /// Exit with 1 from this severity on.
    #[arg(long, value_name = "SEVERITY", default_value = "stops")]
    pub fail_on: Bar,
    /// Print JSON.
    #[arg(long)]
    pub json: bool,
}

/// The least severity that makes `check` fail.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub enum Bar {
    /// Only what stops the plan.
    Stops,
    /// Also what works badly.
    Warns,
    /// Anything.
    Notes,
}

impl From<Bar> for Severity {
    fn from(bar: Bar) -> Self {
        match bar {
            Bar::Stops => Self::Stops,
            Bar::Warns => Self::Warns,
            Bar::Notes => Self::Notes,
        }
    }
}

/// Arguments of `hears`.
#[derive(Debug, Clone, PartialEq, Eq, ClapArgs)]
#[command(after_help = "Example:\n  crosspatch hears plan.ron --from engine-7 --to hospital")]
#[command(after_long_help = "\
Without --from and --to: everybody with everybody. With one of them: a row or a column. With both:
the path step by step, or why there is none and the fewest changes that would make one.
X and Y are keys or names of units, and of telephones and headsets that no unit holds.

JSON of a pair: {\"file\", \"phase\", \"from\", \"to\", \"heard\", \"delay_ms\", \"clipped_ms\", \"wait_ms\",
  \"codec_passes\", \"rating\", \"mos\", \"press_and_wait_ms\", \"by_scan\", \"encrypted\", \"secrecy\", \"path\": [{\"kind\", \"key\", \"what\", \"text\",
  \"delay_ms\", \"clipped_ms\"}], \"reasons\": [text], \"changes\": [text], \"proved\",
  \"cuts\": [{\"from\", \"to\"}], \"joins\": [key], \"back\"}
  Numbers and \"by_scan\" are null when it is not heard. \"secrecy\" is \"clear\", \"kept\", \"ends\" or null.
  \"changes\" are orders in the order of \"reasons\"; \"proved\" says that they were tried on a copy;
  \"cuts\" are pairs that would no longer be heard after them, \"joins\" needs that would no longer
  keep people apart; \"back\" says whether the speaker hears the hearer.
JSON otherwise: {\"file\", \"phase\", \"parties\": [{\"kind\", \"key\", \"name\"}], \"heard\": [{\"from\", \"to\",
  \"delay_ms\", \"clipped_ms\", \"codec_passes\", \"by_scan\", \"encrypted\"}]}; a pair not listed is not heard.
A file that is there and cannot be understood: {\"file\", \"problems\": [{\"line\", \"column\", \"message\", \"hint\"}]}.

Example:
  crosspatch hears plan.ron
  crosspatch hears plan.ron --from engine-7 --to hospital --json")]
pub struct Hears {
    /// Scenario.
    pub file: PathBuf,
    /// Who speaks, by key or name.
    #[arg(long, value_name = "X")]
    pub from: Option<String>,
    /// Who listens, by key or name.
    #[arg(long, value_name = "Y")]
    pub to: Option<String>,
    /// Phase, by key, name or number; otherwise the first.
    #[arg(long, value_name = "P")]
    pub phase: Option<String>,
    /// Print JSON.
    #[arg(long)]
    pub json: bool,
}

/// Arguments of `figures`.
#[derive(Debug, Clone, PartialEq, Eq, ClapArgs)]
#[command(after_help = "Example:\n  crosspatch figures plan.ron --phase night")]
#[command(after_long_help = "\
The numbers behind the findings, for one phase. Figures of practice are the scenario's own.

JSON: {\"file\", \"phase\",
  \"nets\": [{\"kind\", \"key\", \"name\", \"own_erl\", \"load_erl\", \"wait_probability\", \"mean_wait_s\",
    \"grows_without_end\", \"waits_long\", \"before\": {\"wait_probability\", \"mean_wait_s\"},
    \"few\": {\"utilisation\", \"wait_probability\", \"mean_wait_s\"}, \"people\", \"units\", \"agencies\",
    \"press_and_wait_ms\"}],
  \"systems\": [{\"key\", \"name\", \"talk_paths\", \"own_erl\", \"load_erl\", \"wait_probability\", \"mean_wait_s\",
    \"grows_without_end\"}],
  \"sites\": [{\"key\", \"name\", \"public_m\", \"occupational_m\",
    \"rings\": [{\"port\", \"duty\", \"eirp_w\", \"public_m\", \"occupational_m\"}],
    \"missing_isolation\": [{\"from\", \"to\", \"isolation_db\", \"arrives_dbm\", \"missing_db\", \"assumed\"}],
    \"products\": [{\"order\", \"signals\": [{\"times\", \"port\"}], \"at_mhz\", \"disturbs\", \"offset_khz\",
      \"level_dbm\", \"together\"}],
    \"harmonics\": [{\"times\", \"port\", \"disturbs\", \"offset_khz\"}]}],
  \"gateways\": [{\"key\", \"name\", \"supplied\", \"inside_h\", \"sets\", \"cells\", \"changes_h\"}],
  \"donors\": [{\"port\", \"key\", \"transmit_share\", \"receive_share\", \"average_ma\", \"supplied\", \"own_h\",
    \"label_h\", \"batteries\", \"changes_h\"}],
  \"needs\": [{\"key\", \"name\", \"singles\": [text], \"doubles\": [[text]], \"smallest_cut\", \"whole\", \"probability\",
    \"standard_error\", \"depth\", \"spare_channels\": [key]}],
  \"cautions\": [text]}
Numbers that are unknown are null. \"waits_long\" is the probability of waiting longer than the practice
puts up with; \"before\" is without joining, \"few\" counts the people as the few they are. \"probability\" is exact when \"standard_error\" is null.
A file that is there and cannot be understood: {\"file\", \"problems\": [{\"line\", \"column\", \"message\", \"hint\"}]}.

Example:
  crosspatch figures plan.ron
  crosspatch figures plan.ron --phase night --json")]
pub struct Figures {
    /// Scenario.
    pub file: PathBuf,
    /// Phase, by key, name or number; otherwise the first.
    #[arg(long, value_name = "P")]
    pub phase: Option<String>,
    /// Print JSON.
    #[arg(long)]
    pub json: bool,
}

/// Arguments of `what-if`.
#[derive(Debug, Clone, PartialEq, Eq, ClapArgs)]
#[command(after_help = "Example:\n  crosspatch what-if plan.ron --without east")]
#[command(after_long_help = "\
X is the key or name of anything in the plan, GATEWAY/PORT for a port, GATEWAY#GROUP for a talk group,
cable:GATEWAY/PORT for the cable at a port, power:GATEWAY for what a gateway runs on. Give --without more than
once to take out several things at once.

Exit codes: 0 nobody loses anybody, 1 somebody does, 2 unreadable file or bad usage.

JSON: {\"file\", \"phase\", \"without\": [text], \"lost\": [{\"from\", \"to\"}], \"needs\": [{\"kind\", \"key\", \"name\"}]}
  \"lost\" are pairs of keys, of those still there; \"needs\" were met and no longer are.
A file that is there and cannot be understood: {\"file\", \"problems\": [{\"line\", \"column\", \"message\", \"hint\"}]}.

Example:
  crosspatch what-if plan.ron --without east
  crosspatch what-if plan.ron --without power:east --without cable:west/1 --json")]
pub struct WhatIf {
    /// Scenario.
    pub file: PathBuf,
    /// What is out of service.
    #[arg(long, value_name = "X", required = true)]
    pub without: Vec<String>,
    /// Phase, by key, name or number; otherwise the first.
    #[arg(long, value_name = "P")]
    pub phase: Option<String>,
    /// Print JSON.
    #[arg(long)]
    pub json: bool,
}

/// Arguments of `compare`.
#[derive(Debug, Clone, PartialEq, Eq, ClapArgs)]
#[command(
    after_help = "Example:\n  crosspatch compare monday.ron tuesday.ron\n  crosspatch compare plan.ron --phase day --with-phase night"
)]
#[command(after_long_help = "\
With two scenarios: the phase --phase of A against the phase of B that --with-phase names, or else the one
of the same key or name, or else its first. With one: its phase --phase against its phase --with-phase.
Things are matched by their keys. Notes, places on the board, who verified what, accepted findings and
figures of practice are not compared.

Exit codes: 0 nothing differs, 1 something does, 2 unreadable file or bad usage.

JSON: {\"file\", \"phase\", \"with_file\", \"with_phase\",
  \"differences\": [{\"about\", \"words\", \"things\": [{\"kind\", \"key\", \"name\"}]}]}
  \"about\" is gone, added, renamed, period, people, defined, programmed, keys, set, set-up, stock,
  plugged, switched, selected, gained, lost, met or unmet. \"things\" are of A; of B, where only B has them.
A file that is there and cannot be understood: {\"file\", \"problems\": [{\"line\", \"column\", \"message\", \"hint\"}]}.

Example:
  crosspatch compare monday.ron tuesday.ron
  crosspatch compare plan.ron --phase day --with-phase night --json")]
pub struct Compare {
    /// Scenario before.
    #[arg(value_name = "A")]
    pub file: PathBuf,
    /// Scenario after; without it, two phases of A are compared.
    #[arg(value_name = "B", required_unless_present = "with_phase")]
    pub with_file: Option<PathBuf>,
    /// Phase of A, by key, name or number; otherwise the first.
    #[arg(long, value_name = "P")]
    pub phase: Option<String>,
    /// Phase it is set against: of B, or of A where there is no B.
    #[arg(long, value_name = "Q")]
    pub with_phase: Option<String>,
    /// Print JSON.
    #[arg(long)]
    pub json: bool,
}

/// Arguments of `export`.
#[derive(Debug, Clone, PartialEq, Eq, ClapArgs)]
#[command(
    after_help = "Example:\n  crosspatch export plan.ron --as 205 --phase day --to plan-205.csv"
)]
#[command(after_long_help = "\
217a lists every channel in the columns of ICS 217A, 205 the channels selected in the phase in those of
ICS 205; matrix says who hears whom in the phase, findings what will go wrong in every phase, or in one.
Cells are parted by commas, in UTF-8. A cell that a spreadsheet would take for a formula has an apostrophe
before it. Without --to the table is printed.

JSON: {\"file\", \"as\", \"phase\", \"to\", \"headings\": [text], \"rows\": [[text]]}
  \"phase\" is null where all count, \"to\" where nothing was written.
A file that is there and cannot be understood: {\"file\", \"problems\": [{\"line\", \"column\", \"message\", \"hint\"}]}.

Example:
  crosspatch export plan.ron --as 217a > channels.csv
  crosspatch export plan.ron --as 205 --phase day --to plan-205.csv")]
pub struct Export {
    /// Scenario.
    pub file: PathBuf,
    /// What to write.
    #[arg(long = "as", value_name = "TABLE")]
    pub table: ExportTable,
    /// Phase, by key, name or number; otherwise the first, and every one for findings.
    #[arg(long, value_name = "P")]
    pub phase: Option<String>,
    /// File to write; otherwise the table is printed.
    #[arg(long, value_name = "OUT.csv")]
    pub to: Option<PathBuf>,
    /// Write over a file that exists.
    #[arg(long)]
    pub force: bool,
    /// Print JSON.
    #[arg(long)]
    pub json: bool,
}

/// The tables `export` writes.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub enum ExportTable {
    /// Every channel, in the columns of ICS 217A.
    #[value(name = "217a")]
    Ics217a,
    /// The channels in use, in the columns of ICS 205.
    #[value(name = "205")]
    Ics205,
    /// Who hears whom.
    Matrix,
    /// What will go wrong.
    Findings,
}

/// Arguments of `import`.
#[derive(Debug, Clone, PartialEq, Eq, ClapArgs)]
#[command(after_help = "Example:\n  crosspatch import channels.csv --into plan.ron --dry-run")]
#[command(after_long_help = "\
Takes the rows of a table with the columns of ICS 217A or ICS 205 as channels into a scenario. Headings are
known in any order, case and common spelling; what each was taken for is printed, and --map changes it.
COLUMN is name, receive-frequency, receive-tone, transmit-frequency, transmit-tone, mode, configuration,
function, assignment, bandwidth, group-number, remarks, zone, number, or none.
Cells may be parted by commas, semicolons or tabs. A trunked channel has empty frequencies and its group
number behind the name: LAW 1 (TG 1201). A channel that is there already with the same frequencies is left
alone; one of the same name with others is added beside it. An empty frequency is the same as the other way's;
a channel that only receives is refused, since a channel of a plan is for both ways.

Either every row is imported or none, unless --skip-bad leaves the bad ones out. The scenario is never half
written.

Exit codes: 0 every row is fine, 1 some are not, 2 unreadable file or bad usage.

JSON: {\"file\", \"into\", \"mapping\": [{\"heading\", \"column\"}],
  \"channels\": [{\"line\", \"name\", \"words\", \"there\"}],
  \"problems\": [{\"line\", \"column\", \"found\", \"expected\"}], \"notes\": [text], \"added\", \"written\"}
  \"column\" of a mapping is null where a heading is left out; \"there\" says that the plan has the channel
  already; \"added\" counts the others; \"written\" says whether the scenario was.
A scenario that cannot be understood: {\"file\", \"problems\": [{\"line\", \"column\", \"message\", \"hint\"}]}.

Example:
  crosspatch import channels.csv --into plan.ron --dry-run
  crosspatch import list.csv --into plan.ron --map Talk=name --skip-bad")]
pub struct Import {
    /// Table to read.
    #[arg(value_name = "FILE.csv")]
    pub file: PathBuf,
    /// Scenario that takes the channels; it is rewritten.
    #[arg(long, value_name = "PLAN.ron")]
    pub into: PathBuf,
    /// What a heading means, more than once for more.
    #[arg(long, value_name = "HEADING=COLUMN")]
    pub map: Vec<String>,
    /// Leave out the rows that cannot be imported.
    #[arg(long)]
    pub skip_bad: bool,
    /// Say what would be done and write nothing.
    #[arg(long)]
    pub dry_run: bool,
    /// Print JSON.
    #[arg(long)]
    pub json: bool,
}

/// Arguments of `convert`.
#[derive(Debug, Clone, PartialEq, Eq, ClapArgs)]
#[command(after_help = "Example:\n  crosspatch convert plan.ron plan.json")]
#[command(after_long_help = "\
The same name twice rewrites a file in its canonical layout; that needs --force.

JSON: {\"from\", \"to\", \"bytes\"}
A file that is there and cannot be understood: {\"file\", \"problems\": [{\"line\", \"column\", \"message\", \"hint\"}]}.

Example:
  crosspatch convert plan.ron plan.json
  crosspatch convert plan.ron plan.ron --force")]
pub struct Convert {
    /// Scenario to read, .ron or .json.
    pub from: PathBuf,
    /// File to write, .ron or .json.
    pub to: PathBuf,
    /// Write over a file that exists.
    #[arg(long)]
    pub force: bool,
    /// Print JSON.
    #[arg(long)]
    pub json: bool,
}

/// Arguments of `schema`.
#[derive(Debug, Clone, PartialEq, Eq, ClapArgs)]
#[command(after_help = "Example:\n  crosspatch schema > scenario.schema.json")]
#[command(after_long_help = "\
JSON: the schema itself, with or without --json (JSON Schema, draft 2020-12).

Example:
  crosspatch schema > scenario.schema.json")]
pub struct Schema {
    /// Print JSON, which this verb does anyway.
    #[arg(long)]
    pub json: bool,
}

/// Arguments of `explain`.
#[derive(Debug, Clone, PartialEq, Eq, ClapArgs)]
#[command(after_help = "Example:\n  crosspatch explain unheard-need")]
#[command(after_long_help = "\
JSON of one check: {\"code\", \"name\", \"severity\", \"summary\", \"sections\": [{\"heading\", \"text\"}]}
JSON of the list: {\"checks\": [{\"code\", \"name\", \"severity\", \"summary\"}]}; with --all each has its \"sections\" too

Example:
  crosspatch explain
  crosspatch explain --all > handbook.md
  crosspatch explain unheard-need")]
pub struct Explain {
    /// Code or name of a check; all are listed without it.
    pub check: Option<String>,
    /// Print the whole handbook, every page of it, as Markdown.
    #[arg(long, conflicts_with = "check")]
    pub all: bool,
    /// Print JSON.
    #[arg(long)]
    pub json: bool,
}

/// Arguments of `example`.
#[derive(Debug, Clone, PartialEq, Eq, ClapArgs)]
#[command(after_help = "Example:\n  crosspatch example lessons")]
#[command(after_long_help = "\
The folder is made if it is missing. Nothing is written if any of the files exists, but for --force.

JSON: {\"written\": [{\"file\", \"name\", \"about\"}]}

Example:
  crosspatch example lessons
  crosspatch example lessons --large 600 --seed 7")]
pub struct Example {
    /// Folder to write into.
    pub dir: PathBuf,
    /// Write a generated scenario of that many units instead.
    #[arg(long, value_name = "N", value_parser = clap::value_parser!(u32).range(2..=100_000))]
    pub large: Option<u32>,
    /// Seed of the generated scenario; the same seed gives the same file.
    #[arg(long, value_name = "S", default_value_t = 1, requires = "large")]
    pub seed: u64,
    /// Write over files that exist.
    #[arg(long)]
    pub force: bool,
    /// Print JSON.
    #[arg(long)]
    pub json: bool,
}

/// Tells that a file to open is rather a verb that was mistyped.
pub(super) fn misspelt_verb(file: &Path) -> Option<Error> {
    const VERBS: [&str; 12] = [
        "check", "hears", "figures", "what-if", "compare", "export", "import", "convert", "schema",
        "explain", "example", "calc",
    ];
    let word = file.to_str()?;
    if word.contains(['.', '/', '\\']) || file.exists() {
        return None;
    }
    let verb = nearest(word, VERBS)?;
    let message = format!(
        "there is no file and no verb '{}'",
        super::show::clean(word)
    );
    Some(Error::new(Kind::Usage, message).hint(format!("did you mean `crosspatch {verb}`?")))
}
