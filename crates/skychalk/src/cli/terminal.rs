//! Standard output and standard error: data on the one, everything else on the other.
#![allow(clippy::print_stderr, reason = "this file is the only one that writes to standard error")]

use std::io::{ErrorKind, IsTerminal, Write};

use super::options::ReaderOptions;
use app::answer::{self, Answer, Wanted};
use app::{AppError, Outcome, files, many};

/// Renders an answer, writes it to a file or to standard output, and says what was taken or noted.
pub(super) fn deliver(
    answer: &dyn Answer,
    format: &str,
    reader: &ReaderOptions,
) -> Result<Outcome, AppError> {
    let wanted = Wanted { units: reader.shown_in.as_deref(), ..Wanted::format(format) };
    deliver_as(answer, &wanted, reader.output())
}

/// As [`deliver`], as it is wanted.
pub(super) fn deliver_as(
    answer: &dyn Answer,
    wanted: &Wanted<'_>,
    output: Option<&str>,
) -> Result<Outcome, AppError> {
    let (bytes, _) = answer::render(answer, wanted)?;
    if wanted.format == "pdf"
        && output.is_none_or(|file| file == "-")
        && std::io::stdout().is_terminal()
    {
        return Err(AppError::request(
            "a PDF is no text for a terminal",
            "give a file with -o FILE",
        ));
    }
    for remark in answer.remarks(wanted.format) {
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

/// A question, the answer on the same line.
pub(super) fn ask(prompt: &str) {
    let mut err = std::io::stderr();
    let _ = write!(err, "{prompt}").and_then(|()| err.flush());
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

/// An answer that is written part by part, to a file or to standard output.
pub(super) struct Stream {
    file: Option<(String, std::fs::File)>,
}

impl Stream {
    /// To a file that is replaced, or to standard output for none and `-`.
    pub(super) fn to(output: Option<&str>) -> Result<Self, AppError> {
        let Some(name) = output.filter(|name| *name != "-") else {
            return Ok(Self { file: None });
        };
        files::write(name, b"")?;
        let file = std::fs::File::create(name).map_err(|error| broken(name, &error))?;
        Ok(Self { file: Some((name.into(), file)) })
    }
}

fn broken(name: &str, error: &std::io::Error) -> AppError {
    AppError::Machine {
        what: format!("{name} cannot be written: {error}"),
        hint: "check the space left on the disk".into(),
    }
}

impl many::Sink for Stream {
    fn write(&mut self, part: &str) -> Result<(), AppError> {
        match &mut self.file {
            Some((name, file)) => {
                file.write_all(part.as_bytes()).map_err(|error| broken(name, &error))
            }
            None => to_standard_output(part.as_bytes()),
        }
    }
    fn done(&mut self, done: usize, all: usize, remark: Option<&str>) {
        if let Some(remark) = remark {
            say(&format!("note: {remark}"));
        }
        progress(&format!("{done} of {all}"));
    }
}
