//! Text out: whole or not at all.

use super::{Answer, WRONG, Wrong};
use crate::planner::{Progress, Watch};
use clap::error::{ContextKind, ContextValue};
use std::fs::{self, File};
use std::io::{self, ErrorKind, IsTerminal, Write};
use std::ops::ControlFlow;
use std::path::Path;

/// Prints an answer, or writes its file, and passes its exit code on.
pub(super) fn deliver(answer: &Answer) -> Result<u8, Wrong> {
    let file = |path: &Path, text: &str| {
        replace(path, text.as_bytes())
            .map_err(|e| format!("{}: cannot be written: {e}", path.display()))
    };
    let before = answer.before.iter().try_for_each(|(path, text)| file(path, text));
    let done = before.and_then(|()| match &answer.to {
        None => print(&answer.text),
        Some(path) => file(path, &answer.text).map(|()| {
            let said = |words| format!("{} written: {words}", path.display());
            complain(&answer.written.iter().map(said).collect::<Vec<_>>());
        }),
    });
    done.map(|()| answer.exit).map_err(Wrong::one)
}

/// Prints to standard output. A reader that has seen enough is no fault.
pub(super) fn print(text: &str) -> Result<(), String> {
    let mut out = io::stdout().lock();
    match out.write_all(text.as_bytes()).and_then(|()| out.flush()) {
        Err(error) if error.kind() == ErrorKind::BrokenPipe => Ok(()),
        done => done.map_err(|error| format!("standard output: cannot be written: {error}")),
    }
}

/// Whether somebody reads what is printed while it is printed: a terminal, not a pipe or a file.
pub(super) fn is_read_at_once() -> bool {
    io::stdout().is_terminal()
}

/// Writes beside the file and puts the new one in its place, so that nobody ever finds half of it.
///
/// What is no plain file (a device, a pipe) is written to as it is and never replaced, and a link
/// goes on pointing at the file that it names.
fn replace(path: &Path, bytes: &[u8]) -> io::Result<()> {
    let real = match fs::canonicalize(path) {
        Ok(real) => real,
        Err(error) if error.kind() == ErrorKind::NotFound => path.to_owned(),
        Err(error) => return Err(error),
    };
    if fs::metadata(&real).is_ok_and(|found| !found.is_file()) {
        return File::options().write(true).open(&real).and_then(|mut to| to.write_all(bytes));
    }
    // A link to nothing would be lost.
    if fs::symlink_metadata(&real).is_ok_and(|found| found.is_symlink()) {
        return Err(io::Error::new(ErrorKind::NotFound, "the link points at nothing"));
    }
    beside(&real, bytes)
}

fn beside(path: &Path, bytes: &[u8]) -> io::Result<()> {
    let Some(name) = path.file_name() else {
        return Err(io::Error::new(ErrorKind::InvalidInput, "this is not a file's name"));
    };
    let mut beside = name.to_owned();
    beside.push(format!(".{}.part", std::process::id()));
    let beside = path.with_file_name(beside);
    let written = File::create_new(&beside)
        .and_then(|mut file| file.write_all(bytes).and_then(|()| file.sync_all()))
        .and_then(|()| fs::rename(&beside, path));
    if written.is_err() {
        // What is left of a failed write is of no use; that it cannot be removed adds nothing.
        let _ = fs::remove_file(&beside);
    }
    written
}

/// Help and version, which are asked for and end well, or what is wrong with the flags.
pub(super) fn clap(asked: &clap::Error) -> u8 {
    if let Some(ContextValue::String(flag)) = asked.get(ContextKind::InvalidArg)
        && let Some(flag) = ["--indoors", "--outdoors"].iter().find(|f| flag.starts_with(*f))
    {
        let mend = "leave the times out, and say --outdoors (or --indoors) when that changes";
        complain(&[format!("{flag}: it holds from --at on for the rest of the day; {mend}")]);
        return WRONG;
    }
    let printed = asked.print().and_then(|()| io::stdout().lock().flush());
    match printed {
        // What is wrong goes to standard error; nobody is left to tell if that is closed.
        Err(error) if !asked.use_stderr() && error.kind() != ErrorKind::BrokenPipe => {
            complain(&[format!("standard output: cannot be written: {error}")]);
            WRONG
        }
        _ => u8::try_from(asked.exit_code()).unwrap_or(WRONG),
    }
}

/// What is wrong, on standard error. Nobody is left to tell if that is closed.
pub(super) fn complain(lines: &[String]) {
    let text: String = lines.iter().map(|line| format!("{line}\n")).collect();
    let _ = io::stderr().lock().write_all(text.as_bytes());
}

/// Does what takes a while and says so to whoever sits at a terminal, with how far it is; a pipe or a
/// file hears nothing. The line is gone afterwards.
pub(super) fn watched<T>(line: &str, work: impl FnOnce(&mut Watch<'_>) -> T) -> T {
    if !io::stderr().is_terminal() {
        return work(&mut Watch::nobody());
    }
    let say = |text: &str| {
        let mut to = io::stderr().lock();
        let _ = write!(to, "\r\x1b[K{text}").and_then(|()| to.flush());
    };
    say(&format!("{line} ..."));
    let mut tell = |progress: Progress| {
        say(&format!("{line}: {progress} ..."));
        ControlFlow::Continue(())
    };
    let done = work(&mut Watch::by(&mut tell));
    say("");
    done
}
