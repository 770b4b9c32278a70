//! The command line of `calc`, made of the table of calculators.
//!
//! What is typed stays text until the table reads it, so that a bad number is refused in the table's
//! own words, on one line.

use std::ffi::OsString;

use clap::{Arg, ArgAction, ArgMatches, Args, Command, FromArgMatches};

use crate::engineering::calculators::{self, Calculator, Form, Input, Need, Output};

/// Arguments of `calc`.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Calc {
    /// Kind of calculator; all are listed without it.
    pub kind: Option<String>,
    /// What was typed, by names of inputs.
    pub given: Vec<(&'static str, Vec<String>)>,
    /// Print JSON.
    pub json: bool,
}

impl Calc {
    /// Returns what was typed for an input, word by word.
    pub fn typed(&self, name: &str) -> &[String] {
        let found = self.given.iter().find(|(input, _)| *input == name);
        found.map_or(&[], |(_, words)| words)
    }
}

impl Args for Calc {
    fn augment_args(command: Command) -> Command {
        let json = Arg::new("json")
            .long("json")
            .action(ArgAction::SetTrue)
            .global(true)
            .help("Print JSON");
        command
            .subcommands(calculators::ALL.iter().map(subcommand))
            .subcommand_value_name("KIND")
            .subcommand_help_heading("Kinds")
            .disable_help_subcommand(true)
            // An unknown kind is answered by the verb, with the nearest one.
            .allow_external_subcommands(true)
            .arg(json)
            .after_help("Example:\n  crosspatch calc erlang-b --load 8.108 --servers 15")
            .after_long_help(
                "Without a kind all are listed with an example. `crosspatch calc KIND --help` has \
                 the inputs of one.\n\n\
                 Exit codes: 0 answered, 2 a number that cannot be or bad usage.\n\n\
                 JSON of the list: {\"calculators\": [{\"kind\", \"title\", \"about\", \"example\"}]}\n\
                 JSON of a kind: see its help.\n\n\
                 Example:\n  \
                 crosspatch calc erlang-b --load 8.108 --servers 15\n  \
                 crosspatch calc runtime --chemistry alkaline --cells 8 --drain-ma 85 --celsius -10",
            )
    }

    fn augment_args_for_update(command: Command) -> Command {
        Self::augment_args(command)
    }
}

impl FromArgMatches for Calc {
    fn from_arg_matches(matches: &ArgMatches) -> Result<Self, clap::Error> {
        let (kind, given) = match matches.subcommand() {
            None => (None, Vec::new()),
            Some((kind, inner)) => {
                let inputs = calculators::find(kind).map_or(&[][..], |c| c.inputs);
                let given = inputs.iter().map(|input| {
                    let words = inner.get_many::<String>(input.name);
                    (input.name, words.into_iter().flatten().cloned().collect())
                });
                (Some(kind.to_owned()), given.collect())
            }
        };
        Ok(Self {
            kind,
            given,
            json: matches.get_flag("json"),
        })
    }

    fn update_from_arg_matches(&mut self, matches: &ArgMatches) -> Result<(), clap::Error> {
        *self = Self::from_arg_matches(matches)?;
        Ok(())
    }
}

/// Writes `--load -3` as `--load=-3` and `--tx 1 2` as `--tx=1 --tx=2` for a calculator's inputs.
///
/// So a value may begin with a hyphen, and a list ends at the next name.
pub(in crate::cli) fn joined(args: impl IntoIterator<Item = OsString>) -> Vec<OsString> {
    let args: Vec<OsString> = args.into_iter().collect();
    let words = || args.iter().skip(1).filter_map(|arg| arg.to_str());
    let calculator = words()
        .next()
        .filter(|verb| *verb == "calc")
        .and_then(|_| words().skip(1).find(|word| !word.starts_with('-')))
        .and_then(calculators::find);
    match calculator {
        Some(calculator) => join(calculator, args),
        None => args,
    }
}

fn join(calculator: &Calculator, args: Vec<OsString>) -> Vec<OsString> {
    let mut out = Vec::new();
    // The input that takes the next words, and whether it has one already.
    let mut open: Option<(&Input, bool)> = None;
    for arg in args {
        let name = arg.to_str().and_then(|text| text.strip_prefix("--"));
        if let Some(name) = name {
            out.extend(unanswered(open));
            open = calculator.input(name).map(|input| (input, false));
            if open.is_none() {
                let (name, _) = name.split_once('=').unwrap_or((name, ""));
                let input = calculator.input(name).filter(|input| input.is_list());
                open = input.map(|input| (input, true));
                out.push(arg);
            }
        } else if let Some((input, _)) = open {
            let mut word = OsString::from(format!("--{}=", input.name));
            word.push(arg);
            out.push(word);
            open = input.is_list().then_some((input, true));
        } else {
            out.push(arg);
        }
    }
    out.extend(unanswered(open));
    out
}

fn unanswered(open: Option<(&Input, bool)>) -> Option<OsString> {
    open.and_then(|(input, has_word)| {
        (!has_word).then(|| OsString::from(format!("--{}", input.name)))
    })
}

fn subcommand(calculator: &'static Calculator) -> Command {
    let example = calculator.example();
    let keys: Vec<String> = calculator.outputs.iter().map(keys).collect();
    let caution = calculator
        .caution
        .map_or_else(String::new, |caution| format!("Caution: {caution}\n"));
    Command::new(calculator.kind)
        .about(calculator.about.trim_end_matches('.'))
        .args(calculator.inputs.iter().map(arg))
        .after_help(format!("Example:\n  {example}"))
        .after_long_help(format!(
            "Source: {}\n{caution}\nJSON: {{{}}}\n\nExample:\n  {example}",
            calculator.source,
            keys.join(", ")
        ))
}

fn keys(output: &Output) -> String {
    let inside = match output.form {
        Form::Number { .. } => "",
        Form::Products => {
            ": [{\"order\", \"signals\": [{\"coefficient\", \"mhz\"}], \"product_mhz\", \
             \"rx_mhz\", \"offset_khz\"}]"
        }
    };
    format!("\"{}\"{inside}", output.key)
}

fn arg(input: &'static Input) -> Arg {
    let otherwise = match input.need {
        Need::Required => String::new(),
        Need::Default(text) => format!(" [default: {text}]"),
        Need::Usual(words) => format!(" [default: {words}]"),
    };
    let help = format!("{}: {}{otherwise}", input.label, input.allowed());
    // `joined` gives every value of a list the list's name.
    let action = if input.is_list() {
        ArgAction::Append
    } else {
        ArgAction::Set
    };
    Arg::new(input.name)
        .long(input.name)
        .value_name(input.value_name)
        .action(action)
        .required(input.need == Need::Required)
        .help(help)
}
