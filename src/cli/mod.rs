//! The command line: reads files, calls the planner's verbs, prints what they answer.
//!
//! Exit codes: 0 safe to run, 1 a rule is broken, 2 the input (or the command) is wrong; of a block
//! check 0 go, 1 no-go, 3 go with changes. What is asked for goes to standard output, everything
//! else to standard error.
//!
//! Map: `args` the commands and their flags, `input` files in and their faults, `output` text out,
//! `plan` make and audit, `check` the block check, `repair` the rest of a day and `told` its flags,
//! `model` the model behind a chart, `why` one group at a time, `lists` standards, rules, and sites
//! that are invented, `service` the service and the commands that open its store.

mod args;
mod check;
mod input;
mod lists;
mod model;
mod output;
mod plan;
mod repair;
mod service;
mod service_args;
mod told;
mod why;

use args::{Arguments, Command};
use clap::Parser;
use std::ffi::OsString;
use std::path::PathBuf;

/// Exit code of an input that is wrong.
const WRONG: u8 = 2;

/// What a command answers.
struct Answer {
    /// Files that are written before anything else is said.
    before: Vec<(PathBuf, String)>,
    /// Goes out as it is.
    text: String,
    /// To this file instead of standard output.
    to: Option<PathBuf>,
    /// What is said on standard error once a file is written.
    written: Option<String>,
    /// The exit code.
    exit: u8,
}

impl Answer {
    /// Text for standard output, all well.
    fn plain(text: String) -> Answer {
        Answer { before: Vec::new(), text, to: None, written: None, exit: 0 }
    }
}

/// Why there is no answer: whole lines for standard error.
struct Wrong(Vec<String>);

impl Wrong {
    fn one(line: impl Into<String>) -> Wrong {
        Wrong(vec![line.into()])
    }
}

/// Runs the command that `args` name, the program's own name first, and returns its exit code.
#[must_use]
pub fn run(args: impl IntoIterator<Item = OsString>) -> u8 {
    let arguments = match Arguments::try_parse_from(args) {
        Ok(arguments) => arguments,
        Err(asked) => return output::clap(&asked),
    };
    let answer = match arguments.command {
        Command::Make(make) => plan::make(&make),
        Command::Audit(audit) => plan::audit(&audit),
        Command::Model(model) => model::model(&model),
        Command::Why(asked) => why::why(&asked),
        Command::Check(asked) => check::check(&asked),
        Command::Standards(standards) => lists::standards(&standards),
        Command::Rules(rules) => Ok(lists::rules(&rules)),
        Command::Repair(args) => repair::repair(&args),
        Command::Invent(invent) => lists::invent(&invent),
        Command::Serve(serve) => service::serve(&serve),
        Command::Token(token) => service::token(&token),
        Command::Export(export) => service::export(&export),
        Command::Import(import) => service::import(&import),
        Command::Erase(erase) => service::erase(&erase),
        Command::Backup(backup) => service::backup(&backup),
    };
    match answer.and_then(|answer| output::deliver(&answer)) {
        Ok(exit) => exit,
        Err(Wrong(lines)) => {
            output::complain(&lines);
            WRONG
        }
    }
}
