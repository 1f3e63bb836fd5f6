//! `skychalk maneuver`, `skychalk airplane`, `skychalk standard`: what the program knows.

use app::answer::of_lists;
use app::{Answer, AppError, Outcome, choose, lists};
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
    fn deliver(&self, answer: &dyn Answer) -> Result<Outcome, AppError> {
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

/// List the airplanes, show one with its limits and sources, build one from its flight manual, or check an airplane file
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
    /// Make an airplane from the figures of its flight manual: fit, bands, contradictions (`template` gives a file to fill in)
    ///
    /// With -o the airplane file goes there and what was found is told; without, it is told alone.
    Build {
        /// The file of figures
        figures: String,
        /// Where the airplane file goes; - for standard output, and nothing else then
        #[arg(short, long, value_name = "AIRPLANE")]
        output: Option<String>,
    },
    /// A file of figures to fill in, with comments
    Template {
        /// Write it to this file instead of standard output
        #[arg(short, long, value_name = "FILE")]
        output: Option<String>,
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
            AirplaneWhat::Build { figures, output } => {
                return self.build(figures, output.as_deref());
            }
            AirplaneWhat::Template { output } => return template(output.as_deref()),
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

impl Airplane {
    /// The airplane file goes where `-o` says, the answer to standard output; with `-o -` the file alone goes there.
    fn build(&self, figures: &str, output: Option<&str>) -> Result<Outcome, AppError> {
        let answer = app::airplane_build::build(figures)?;
        match output {
            Some("-") => {
                terminal::to_standard_output(answer.airplane_file().as_bytes())?;
                return Ok(Outcome::Done);
            }
            Some(file) => written(file, answer.airplane_file())?,
            None => {}
        }
        self.options.deliver(&answer)
    }
}

fn template(output: Option<&str>) -> Result<Outcome, AppError> {
    let text = app::airplane_build::TEMPLATE;
    match output.filter(|file| *file != "-") {
        Some(file) => written(file, text)?,
        None => terminal::to_standard_output(text.as_bytes())?,
    }
    Ok(Outcome::Done)
}

fn written(file: &str, text: &str) -> Result<(), AppError> {
    app::files::write(file, text.as_bytes())?;
    terminal::say(&format!("written: {file}"));
    Ok(())
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
