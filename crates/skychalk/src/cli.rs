//! The command line: one file a command, this list of them, and how answers and errors leave the program.

mod brief;
mod debrief;
mod demo;
mod find;
mod lists;
mod options;
mod patter;
mod practice;
mod reconstruct;
mod recording;
mod serve;
mod terminal;
mod validate;

use std::process::ExitCode;

use app::{AppError, Outcome};
use clap::{Parser, Subcommand};

const CAUTION: &str = "Training aid, not approved data. The flight manual, placards, local rules and a qualified \
                       instructor decide. Never used in flight.";

const STATUS: &str = "Quantities are typed with their unit: 4500ft, 1009hPa, 29.80inHg, 28C, 105kt, 270/12kt.
Exit status: 0 done; 1 the answer is \"cannot be done\", \"nothing found\" or \"not met\"; 2 the request or a file is wrong; 3 the \
                      machine failed.";

/// Briefs and debriefs precision maneuvers.
///
/// Computes how an airplane flies a maneuver on a day and inside which limits; finds, measures and judges the attempts in a
/// recording of a flight.
#[derive(Debug, Parser)]
#[command(name = "skychalk", version, after_help = CAUTION, after_long_help = format!("{STATUS}\n\n{CAUTION}"))]
struct Cli {
    #[command(subcommand)]
    command: Command,
}

/// Every command. One more is one file and one line here.
#[derive(Debug, Subcommand)]
enum Command {
    Demo(demo::Demo),
    Serve(serve::Serve),
    Brief(brief::Brief),
    Patter(patter::Patter),
    Practice(practice::Practice),
    Debrief(debrief::Debrief),
    Find(find::Find),
    Reconstruct(reconstruct::Reconstruct),
    Recording(recording::RecordingCommand),
    Maneuver(lists::Maneuver),
    Airplane(lists::Airplane),
    Standard(lists::Standard),
    Validate(validate::Validate),
}

impl Command {
    fn run(&self) -> Result<Outcome, AppError> {
        match self {
            Self::Demo(command) => command.run(),
            Self::Serve(command) => command.run(),
            Self::Brief(command) => command.run(),
            Self::Patter(command) => command.run(),
            Self::Practice(command) => command.run(),
            Self::Debrief(command) => command.run(),
            Self::Find(command) => command.run(),
            Self::Reconstruct(command) => command.run(),
            Self::Recording(command) => command.run(),
            Self::Maneuver(command) => command.run(),
            Self::Airplane(command) => command.run(),
            Self::Standard(command) => command.run(),
            Self::Validate(command) => command.run(),
        }
    }
}

pub(crate) fn main() -> ExitCode {
    match Cli::parse().command.run() {
        Ok(outcome) => ExitCode::from(outcome.status()),
        Err(error) => {
            terminal::complain(&error);
            ExitCode::from(error.status())
        }
    }
}

#[cfg(test)]
mod tests {
    use super::Cli;

    #[test]
    fn prop_the_command_line_is_well_formed() {
        <Cli as clap::CommandFactory>::command().debug_assert();
    }
}
