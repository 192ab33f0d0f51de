//! The flags of the commands around the service.

use crate::http::settings::{DATABASE, SETTINGS};
use clap::{Arg, ArgMatches, Args, FromArgMatches, Subcommand};
use std::collections::BTreeMap;
use std::path::PathBuf;

/// The settings that were given as flags, by their names.
pub(in crate::cli) struct ServeArgs(pub BTreeMap<String, String>);

impl Args for ServeArgs {
    fn augment_args(command: clap::Command) -> clap::Command {
        SETTINGS.iter().fold(command, |command, setting| {
            let help = format!(
                "{} [default: {}] [environment: {}]",
                setting.says,
                setting.default,
                setting.variable()
            );
            command.arg(Arg::new(setting.flag).long(setting.flag).value_name("VALUE").help(help))
        })
    }

    fn augment_args_for_update(command: clap::Command) -> clap::Command {
        ServeArgs::augment_args(command)
    }
}

impl FromArgMatches for ServeArgs {
    fn from_arg_matches(matches: &ArgMatches) -> Result<ServeArgs, clap::Error> {
        let flag = |flag: &str| Some((flag.to_owned(), matches.get_one::<String>(flag)?.clone()));
        Ok(ServeArgs(SETTINGS.iter().filter_map(|setting| flag(setting.flag)).collect()))
    }

    fn update_from_arg_matches(&mut self, matches: &ArgMatches) -> Result<(), clap::Error> {
        self.0.extend(ServeArgs::from_arg_matches(matches)?.0);
        Ok(())
    }
}

/// Where the store is.
#[derive(Args)]
pub(in crate::cli) struct StoreArgs {
    #[arg(long, value_name = "URL", help = format!(
        "{} [default: {}] [environment: {}]", DATABASE.says, DATABASE.default, DATABASE.variable()
    ))]
    pub database: Option<String>,
}

#[derive(Subcommand)]
pub(in crate::cli) enum TokenCommand {
    /// Adds a token and prints it, this once
    Add(TokenAdd),
    /// Lists the tokens, without their secrets
    List(StoreArgs),
    /// Revokes a token
    Revoke(TokenRevoke),
}

#[derive(Args)]
pub(in crate::cli) struct TokenAdd {
    /// What you call it
    #[arg(long)]
    pub label: String,
    /// What it may be used for: look, plan or run, each with those before it
    #[arg(long)]
    pub role: String,
    /// The one site that it opens; left out: all
    #[arg(long)]
    pub site: Option<String>,
    #[command(flatten)]
    pub store: StoreArgs,
}

#[derive(Args)]
pub(in crate::cli) struct TokenRevoke {
    /// Its id, as `token list` shows it
    pub id: String,
    #[command(flatten)]
    pub store: StoreArgs,
}

#[derive(Args)]
pub(in crate::cli) struct ExportArgs {
    /// Id of the site
    #[arg(long)]
    pub site: String,
    /// Write to this file instead of standard output
    #[arg(long)]
    pub out: Option<PathBuf>,
    #[command(flatten)]
    pub store: StoreArgs,
}

#[derive(Args)]
pub(in crate::cli) struct ImportArgs {
    /// The scenario, a JSON file; `-` reads standard input
    pub scenario: PathBuf,
    /// Put it in the place of the site of the same id
    #[arg(long)]
    pub replace: bool,
    #[command(flatten)]
    pub store: StoreArgs,
}

#[derive(Args)]
pub(in crate::cli) struct EraseArgs {
    /// Id of the site
    #[arg(long)]
    pub site: String,
    /// Id of the child
    #[arg(long)]
    pub child: Option<String>,
    /// Id of the adult
    #[arg(long)]
    pub adult: Option<String>,
    #[command(flatten)]
    pub store: StoreArgs,
}

#[derive(Args)]
pub(in crate::cli) struct BackupArgs {
    /// A new file
    #[arg(long)]
    pub to: PathBuf,
    #[command(flatten)]
    pub store: StoreArgs,
}
