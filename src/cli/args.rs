//! The commands and their flags.

use super::input;
use super::service_args::{BackupArgs, EraseArgs, ExportArgs, ImportArgs, ServeArgs, TokenCommand};
use crate::site::Minute;
use chrono::NaiveDate;
use clap::{Args, Parser, Subcommand, ValueEnum};
use std::path::PathBuf;

/// Plans the day of an early-childhood room: who is where, with whom, and when.
#[derive(Parser)]
#[command(name = "fairturn", version, after_help = AFTER)]
pub(super) struct Arguments {
    #[command(subcommand)]
    pub command: Command,
}

const AFTER: &str = "Exit codes: 0 safe to run, 1 a rule is broken, 2 the input is wrong.\n\
    Local licensing rules and the licensed person decide; a plan is not a head count.";

/// What can be asked for.
#[derive(Subcommand)]
pub(super) enum Command {
    /// Makes the chart of a day
    Make(MakeArgs),
    /// Judges any chart, also one edited by hand
    Audit(AuditArgs),
    /// Says why a small group is where it is in a turn, and not at another station
    Why(WhyArgs),
    /// Repairs the rest of a day after something has happened
    Repair(Box<RepairArgs>),
    /// Checks a block before you start it: enough adults, at the right places, every minute?
    Check(CheckArgs),
    /// Lists the published standards that are built in, finds those of a place, prints one with its
    /// sources, or local limits to fill in
    Standards(StandardsArgs),
    /// Lists the rules, worst first, and the aims, most wanted first
    Rules(RulesArgs),
    /// Writes the model behind a chart, one rule or aim of it with the earlier ones held, as free MPS
    Model(ModelArgs),
    /// Invents a site of any size, as a scenario to try things on: under one of the built-in
    /// standards, with babies in one room of four and somebody missing on every third site
    Invent(InventArgs),
    /// Serves the API until it is asked to end
    Serve(ServeArgs),
    /// Adds, lists and revokes tokens, which open the service
    #[command(subcommand)]
    Token(TokenCommand),
    /// Writes a site that the service keeps, as a scenario
    Export(ExportArgs),
    /// Puts a scenario into the service's store
    Import(ImportArgs),
    /// Takes a child or an adult out of everything that the service keeps
    Erase(EraseArgs),
    /// Copies the service's store while it is in use
    Backup(BackupArgs),
}

/// One room's day of a scenario.
#[derive(Args)]
pub(super) struct DayArgs {
    /// The scenario, a JSON file; `-` reads standard input
    pub scenario: PathBuf,
    /// The date, YYYY-MM-DD; left out: the first of the scenario's days
    #[arg(long, value_parser = date)]
    pub date: Option<NaiveDate>,
    /// The same seed gives the same chart
    #[arg(long, default_value_t = 1)]
    pub seed: u64,
    /// Id of the room; left out: the only one
    #[arg(long)]
    pub room: Option<String>,
}

/// A chart and the scenario that it is of.
#[derive(Args)]
pub(super) struct PostedArgs {
    /// The scenario, a JSON file; `-` reads standard input
    pub scenario: PathBuf,
    /// The chart, a JSON file as `make --format json` writes it; `-` reads standard input
    pub chart: PathBuf,
}

/// The form of an answer and where it goes.
#[derive(Args)]
pub(super) struct OutArgs {
    /// How to print it
    #[arg(long, value_enum, default_value_t = Format::Text)]
    pub format: Format,
    /// Write to this file instead of standard output
    #[arg(long)]
    pub out: Option<PathBuf>,
}

#[derive(Args)]
pub(super) struct MakeArgs {
    #[command(flatten)]
    pub of: DayArgs,
    #[command(flatten)]
    pub look: LookArgs,
}

#[derive(Args)]
pub(super) struct AuditArgs {
    #[command(flatten)]
    pub of: PostedArgs,
    #[command(flatten)]
    pub look: LookArgs,
}

/// ID is a child's or an adult's (`child:ID`, `adult:ID` where both have it), FROM-TO is like
/// 10:15-12:00; without times a happening holds from --at for the rest of the day. Every flag may
/// be given several times.
#[derive(Args)]
pub(super) struct RepairArgs {
    /// The scenario, a JSON file; `-` reads standard input
    pub scenario: PathBuf,
    /// The chart on the wall, a JSON file as `make --format json` or `repair --format json` writes it
    pub chart: PathBuf,
    /// The moment from which the day is repaired; what lies before stands
    #[arg(long, value_name = "HH:MM")]
    pub at: Option<String>,
    /// The chart that this one is a repair of: it hangs again where what had happened is taken back
    /// in time
    #[arg(long, value_name = "CHART")]
    pub before: Option<PathBuf>,
    /// What has happened, in a JSON file
    #[arg(long, value_name = "FILE")]
    pub happenings: Option<PathBuf>,
    /// Somebody is not here
    #[arg(long, value_name = "ID[:FROM-TO]", help_heading = "What has happened")]
    pub away: Vec<String>,
    /// Somebody comes only then
    #[arg(long, value_name = "ID:HH:MM", help_heading = "What has happened")]
    pub late: Vec<String>,
    /// Somebody leaves then, or now
    #[arg(long, value_name = "ID[:HH:MM]", help_heading = "What has happened")]
    pub leaving: Vec<String>,
    /// Somebody stays longer, until then
    #[arg(long, value_name = "ID:HH:MM", help_heading = "What has happened")]
    pub staying: Vec<String>,
    /// Somebody is here again, or after all, or no longer held up; from then (or now) as long as
    /// usual, or until the end of the span
    #[arg(long, value_name = "ID[:HH:MM]", help_heading = "What has happened")]
    pub back: Vec<String>,
    /// An adult is in the house and cannot look after the others
    #[arg(long, value_name = "ADULT:FROM-TO", help_heading = "What has happened")]
    pub held_up: Vec<String>,
    /// An adult comes in who is not on the team; then, by commas: not-counted, may-be-alone, lead,
    /// first-aid, or a qualification
    #[arg(long, value_name = "LABEL[:FROM-TO][,...]", help_heading = "What has happened")]
    pub extra_adult: Vec<String>,
    /// A station is closed
    #[arg(long, value_name = "STATION[:FROM-TO]", help_heading = "What has happened")]
    pub close: Vec<String>,
    /// A closed station is open again
    #[arg(long, value_name = "STATION[:FROM-TO]", help_heading = "What has happened")]
    pub open: Vec<String>,
    /// An adult did not have the staff break that was on the chart, and is due it again; NUMBER is
    /// which of the adult's, counted from 1, else the last that has begun
    #[arg(long, value_name = "ADULT[:NUMBER]", help_heading = "What has happened")]
    pub missed_break: Vec<String>,
    /// An adult takes a staff break then, agreed with them, also outside its window; NUMBER as above,
    /// else the first still to come
    #[arg(long, value_name = "ADULT:HH:MM[:NUMBER]", help_heading = "What has happened")]
    pub break_at: Vec<String>,
    /// The children stay in
    #[arg(long, help_heading = "What has happened")]
    pub indoors: bool,
    /// The children go out after all
    #[arg(long, help_heading = "What has happened")]
    pub outdoors: bool,
    /// Take this one of the fixes that the same command offers without it, counted from 1
    #[arg(long, value_name = "NUMBER")]
    pub fix: Option<usize>,
    /// The same seed gives the same chart
    #[arg(long, default_value_t = 1)]
    pub seed: u64,
    #[command(flatten)]
    pub look: LookArgs,
}

pub(super) fn clock(text: &str) -> Result<Minute, String> {
    let time = input::minute(text).filter(|t| *t < Minute::END_OF_DAY);
    time.ok_or_else(|| "write a time as HH:MM, like 09:30".to_owned())
}

#[derive(Args)]
pub(super) struct ModelArgs {
    #[command(flatten)]
    pub of: DayArgs,
    /// A rule or an aim by its slug, or by its number where rules and then aims are counted from 1;
    /// `all` for each one that takes solving; left out: the last one that does
    #[arg(long)]
    pub aim: Option<String>,
    /// Write to this file instead of standard output; with `--aim all`, each to this name with its
    /// slug (day.mps: day-ratio.mps), and what is claimed of all of them to this name in JSON
    #[arg(long)]
    pub out: Option<PathBuf>,
}

#[derive(Args)]
pub(super) struct WhyArgs {
    #[command(flatten)]
    pub of: PostedArgs,
    /// Id of the small group, as the chart has it
    #[arg(long)]
    pub group: String,
    /// A minute of the turn, HH:MM
    #[arg(long, value_parser = clock)]
    pub at: Minute,
    /// Only why it is not at this station, by id
    #[arg(long)]
    pub not: Option<String>,
    /// The same seed gives the same answer
    #[arg(long, default_value_t = 1)]
    pub seed: u64,
    #[command(flatten)]
    pub answer: OutArgs,
}

#[derive(Args)]
#[command(after_help = "Exit codes: 0 go, 1 no-go, 3 go with changes, 2 the input is wrong.")]
pub(super) struct CheckArgs {
    /// The scenario, a JSON file; `-` reads standard input
    pub scenario: PathBuf,
    /// The date, YYYY-MM-DD; left out: the chart's, or the first of the scenario's days
    #[arg(long, value_parser = date)]
    pub date: Option<NaiveDate>,
    /// Id of the room; left out: the chart's, or the only one
    #[arg(long)]
    pub room: Option<String>,
    /// The posted chart, a JSON file as `make --format json` writes it; left out: who is there by
    /// the facts of the day
    #[arg(long)]
    pub chart: Option<PathBuf>,
    /// When the block starts, HH:MM
    #[arg(long)]
    pub from: String,
    /// When it ends, HH:MM
    #[arg(long)]
    pub to: String,
    /// Id of a station that is to run; one or more
    #[arg(long, num_args = 1.., required_unless_present = "activity")]
    pub station: Vec<String>,
    /// Name of an activity that stands at a station that day, instead of the station's id
    #[arg(long, num_args = 1..)]
    pub activity: Vec<String>,
    #[command(flatten)]
    pub answer: OutArgs,
}

#[derive(Args)]
pub(super) struct StandardsArgs {
    /// Id of the standard to print, or a place or other words to find standards by
    pub words: Vec<String>,
    /// Prints local limits to fill in, with a worked example and the nearest of the built-in standards; with
    /// a file of limits that are filled in, the same of those
    #[arg(long, value_name = "FILE", num_args = 0..=1, conflicts_with = "words")]
    pub template: Option<Option<PathBuf>>,
    /// How to print it
    #[arg(long, value_enum, default_value_t = Format::Text)]
    pub format: Format,
}

#[derive(Args)]
pub(super) struct RulesArgs {
    /// How to print them
    #[arg(long, value_enum, default_value_t = Format::Text)]
    pub format: Format,
}

#[derive(Args)]
pub(super) struct InventArgs {
    /// Rooms
    #[arg(long, default_value_t = 1, value_parser = clap::value_parser!(u16).range(1..=MOST_ROOMS))]
    pub rooms: u16,
    /// Children in all, at most 24 a room
    #[arg(long, value_parser = clap::value_parser!(u16).range(1..=24 * MOST_ROOMS))]
    pub children: u16,
    /// Adults in all
    #[arg(long, value_parser = clap::value_parser!(u16).range(1..=24 * MOST_ROOMS))]
    pub adults: u16,
    /// The same seed invents the same site
    #[arg(long, default_value_t = 1)]
    pub seed: u64,
    /// As awkward as the worst of sites: few sinks, tight breaks, half-day shifts, appointments
    #[arg(long)]
    pub awkward: bool,
    /// Write to this file instead of standard output
    #[arg(long)]
    pub out: Option<PathBuf>,
}

/// More rooms than any one site has.
const MOST_ROOMS: i64 = 100;

/// How an answer looks and where it goes.
#[derive(Args)]
pub(super) struct LookArgs {
    /// How to print it
    #[arg(long, value_enum, default_value_t = Format::Text)]
    pub format: Format,
    /// Only this adult's posts, by id (text only)
    #[arg(long)]
    pub adult: Option<String>,
    /// Also what was assumed, the room for more by the clock, and how the chart was made
    #[arg(long)]
    pub verbose: bool,
    /// Write to this file instead of standard output
    #[arg(long)]
    pub out: Option<PathBuf>,
}

#[derive(Clone, Copy, PartialEq, Eq, ValueEnum)]
pub(super) enum Format {
    /// For people
    Text,
    /// For programs
    Json,
}

fn date(text: &str) -> Result<NaiveDate, String> {
    NaiveDate::parse_from_str(text, "%Y-%m-%d")
        .ok()
        .filter(|date| date.to_string() == text)
        .ok_or_else(|| "write a date of the calendar as YYYY-MM-DD, like 2026-04-07".to_owned())
}
