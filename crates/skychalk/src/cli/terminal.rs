//! Standard output and standard error: data on the one, everything else on the other.
#![allow(clippy::print_stderr, reason = "this file is the only one that writes to standard error")]

use std::io::{ErrorKind, IsTerminal, Write};

use app::answer::{self, Answer};
use app::{AppError, Outcome, files};

/// Renders an answer, writes it to a file or to standard output, and says what was taken or noted.
pub(super) fn deliver(
    answer: &dyn Answer,
    format: &str,
    output: Option<&str>,
) -> Result<Outcome, AppError> {
    let (bytes, _) = answer::render(answer, format)?;
    for remark in answer.remarks(format) {
        say(&format!("note: {remark}"));
    }
    match output {
        Some(file) if file != "-" => {
            files::write(file, &bytes)?;
            say(&format!("written: {file}"));
        }
        _ => to_standard_output(&bytes)?,
    }
    Ok(answer.outcome())
}

/// Writes data to standard output. A reader that stops reading is not an error.
pub(super) fn to_standard_output(bytes: &[u8]) -> Result<(), AppError> {
    let mut out = std::io::stdout().lock();
    match out.write_all(bytes).and_then(|()| out.flush()) {
        Err(error) if error.kind() != ErrorKind::BrokenPipe => Err(AppError::Machine {
            what: format!("standard output cannot be written: {error}"),
            hint: "check the space left where it goes".into(),
        }),
        _ => Ok(()),
    }
}

/// A line for people, beside the data. A closed standard error is no reason to fail.
pub(super) fn say(line: &str) {
    // Names and notes come out of files: control characters must not reach the terminal.
    let clean: String = line.chars().map(|c| if c.is_control() { '\u{fffd}' } else { c }).collect();
    let _ = writeln!(std::io::stderr(), "{clean}");
}

/// What is wrong, and what to do about it.
pub(super) fn complain(error: &AppError) {
    for line in error.to_string().lines() {
        say(&format!("error: {line}"));
    }
    for line in error.hint().lines() {
        say(&format!("hint: {line}"));
    }
}

/// Progress of long work, only when a person is looking.
pub(super) fn progress(line: &str) {
    if std::io::stderr().is_terminal() {
        say(line);
    }
}
