//! `skychalk maneuver`, `skychalk airplane`, `skychalk standard`: what the program knows.

use app::answer::of_lists;
use app::lists::{self, ListAnswer};
use app::{AppError, Outcome, choose};
use clap::{Args, Subcommand};

use super::options::{OutputOptions, words};
use super::terminal;

/// Form and place of a list.
#[derive(Debug, Args)]
struct ListOptions {
    /// Form of the answer
    #[arg(long, value_parser = words(&of_lists()), default_value = "text", global = true)]
    format: String,
    #[command(flatten)]
    output: OutputOptions,
}

impl ListOptions {
    fn deliver(&self, answer: &ListAnswer) -> Result<Outcome, AppError> {
        terminal::deliver(answer, &self.format, self.output.output.as_deref())
    }
}

/// List the maneuvers, or show one: what it teaches, its forms, entry, errors, cautions
#[derive(Debug, Args)]
pub(super) struct Maneuver {
    #[command(subcommand)]
    what: ManeuverWhat,
    #[command(flatten)]
    options: ListOptions,
}

#[derive(Debug, Subcommand)]
enum ManeuverWhat {
    /// The catalogue
    List,
    /// One maneuver
    Show {
        /// Key of the maneuver, such as lazy-eight
        maneuver: String,
    },
}

impl Maneuver {
    pub(super) fn run(&self) -> Result<Outcome, AppError> {
        let answer = match &self.what {
            ManeuverWhat::List => lists::maneuvers(),
            ManeuverWhat::Show { maneuver } => lists::maneuver(choose::maneuver(maneuver)?),
        };
        self.options.deliver(&answer)
    }
}

/// List the airplanes, show one with its limits and sources, or check an airplane file
#[derive(Debug, Args)]
pub(super) struct Airplane {
    #[command(subcommand)]
    what: AirplaneWhat,
    #[command(flatten)]
    options: ListOptions,
}

#[derive(Debug, Subcommand)]
enum AirplaneWhat {
    /// The airplanes that come with the program
    List,
    /// One airplane
    Show {
        /// Key of the airplane, or an airplane file
        airplane: String,
    },
    /// Every fault of an airplane file, with its line and what would be right
    Check {
        /// The airplane file
        file: String,
    },
}

impl Airplane {
    pub(super) fn run(&self) -> Result<Outcome, AppError> {
        let answer = match &self.what {
            AirplaneWhat::List => lists::airplanes(),
            AirplaneWhat::Show { airplane } => lists::airplane(&choose::shown_airplane(airplane)?),
            AirplaneWhat::Check { file } => {
                let answer = lists::check_airplane(file)?;
                terminal::say(&format!("{file}: no fault found; the figures are yours to check"));
                answer
            }
        };
        self.options.deliver(&answer)
    }
}

/// List the standards, or show one with its tolerances and sources
#[derive(Debug, Args)]
pub(super) struct Standard {
    #[command(subcommand)]
    what: StandardWhat,
    #[command(flatten)]
    options: ListOptions,
}

#[derive(Debug, Subcommand)]
enum StandardWhat {
    /// The standards that come with the program
    List,
    /// One standard
    Show {
        /// Key of the standard, or a standard file
        standard: String,
    },
}

impl Standard {
    pub(super) fn run(&self) -> Result<Outcome, AppError> {
        let answer = match &self.what {
            StandardWhat::List => lists::standards(),
            StandardWhat::Show { standard } => lists::standard(&choose::standard(standard)?),
        };
        self.options.deliver(&answer)
    }
}
