//! The `fairturn` command.

use std::process::ExitCode;

fn main() -> ExitCode {
    ExitCode::from(fairturn::cli::run(std::env::args_os()))
}
