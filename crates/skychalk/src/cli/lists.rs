//! `skychalk maneuver`, `skychalk airplane`, `skychalk standard`: what the program knows.

use std::io::BufRead;
use std::path::PathBuf;

use app::airplane_build::BuildAnswer;
use app::answer::{of_lists, with_pictures};
use app::debrief::{Brought, Told};
use app::questions::{Questions, Reply};
use app::{Answer, AppError, Outcome, choose, lists};
use clap::{Args, Subcommand};

use super::options::{ReaderOptions, typed, words};
use super::terminal;

/// Form and place of a list.
#[derive(Debug, Args)]
struct ListOptions {
    /// Form of the answer
    #[arg(long, value_parser = words(&of_lists()), default_value = "text", global = true)]
    format: String,
    #[command(flatten)]
    reader: ReaderOptions,
}

impl ListOptions {
    fn deliver(&self, answer: &dyn Answer) -> Result<Outcome, AppError> {
        terminal::deliver(answer, &self.format, &self.reader)
    }
}

/// Form and place of an answer about airplanes; pictures are for weight and balance.
#[derive(Debug, Args)]
struct AirplaneOptions {
    /// Form of the answer; html, svg, pdf for weight and balance alone
    #[arg(long, value_parser = words(&with_pictures()), default_value = "text", global = true)]
    format: String,
    #[command(flatten)]
    reader: ReaderOptions,
}

impl AirplaneOptions {
    fn deliver(&self, answer: &dyn Answer) -> Result<Outcome, AppError> {
        terminal::deliver(answer, &self.format, &self.reader)
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
    options: AirplaneOptions,
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
    /// With -o the airplane file goes there and what was found is told; without, it is told alone. Without a file the questions are asked
    /// one by one on standard input: units typed, blank for what is not known, ? for help, < for one back.
    Build {
        /// The file of figures, or a key of the airplanes from public figures, such as cessna-172p
        figures: Option<String>,
        /// Where the file of figures goes that answers to questions make; else KEY-figures.toml
        #[arg(long, value_name = "FILE", conflicts_with = "figures")]
        save_figures: Option<String>,
        /// Where the airplane file goes; - for standard output, and nothing else then
        #[arg(short, long, value_name = "AIRPLANE")]
        output: Option<String>,
    },
    /// Let the airplane's own flights mend what its flight manual says: stretches of climb, glide, level flight, turns
    ///
    /// Each recording is a flight of its own. With -o the airplane file goes there, when figures and flights go together; when they do
    /// not (a wrong weight, a wrong wind, another airplane) that is told with its numbers and nothing is written.
    ///
    /// Example: skychalk airplane fit figures.toml --flights tuesday.csv friday.csv --weight 1010kg -o my.toml
    Fit {
        /// The file of figures
        figures: String,
        /// Recordings of its flights
        #[arg(long, required = true, num_args = 1.., value_name = "RECORDING")]
        flights: Vec<PathBuf>,
        /// Mass of the flights, such as 1010kg: one for all, or repeated, one for each; else the usual one, with more doubt
        #[arg(long)]
        weight: Vec<String>,
        /// Wind of the flights, such as 270/12kt; else it is found from the turns
        #[arg(long)]
        wind: Option<String>,
        /// Altimeter setting, such as 1009hPa
        #[arg(long)]
        qnh: Option<String>,
        /// Outside air temperature at the height flown, such as 12C
        #[arg(long, allow_hyphen_values = true)]
        oat: Option<String>,
        /// Where the airplane file goes
        #[arg(short, long, value_name = "AIRPLANE")]
        output: Option<String>,
    },
    /// A file of figures to fill in, with comments
    Template {
        /// Write it to this file instead of standard output
        #[arg(short, long, value_name = "FILE")]
        output: Option<String>,
    },
    /// Weight and balance of the day: loads on the stations of the airplane, against its limits
    ///
    /// Outside limits ends with exit status 1 and the numbers. Text, HTML and SVG show the limits with the point.
    ///
    /// Example: skychalk airplane balance plover-160 --load "seats=165kg" --load fuel=80l
    Balance {
        /// Key of the airplane, or an airplane file
        airplane: String,
        /// A station and what is put there: "seats=165kg", fuel=80l; may be repeated
        #[arg(long, value_name = "STATION=MASS")]
        load: Vec<String>,
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
            AirplaneWhat::Build { figures, save_figures, output } => {
                let answer = match figures {
                    Some(name) => app::airplane_build::build(name)?,
                    None => asked(save_figures.as_deref())?,
                };
                return self.build(&answer, output.as_deref());
            }
            AirplaneWhat::Fit { figures, flights, weight, wind, qnh, oat, output } => {
                let day = [("wind", wind), ("qnh", qnh), ("oat", oat)];
                return self.fit(figures, (flights, weight), &day, output.as_deref());
            }
            AirplaneWhat::Balance { airplane, load } => {
                let answer = app::airplane_balance::balance(choose::airplane(airplane)?, load)?;
                return self.options.deliver(&answer);
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
    fn build(&self, answer: &BuildAnswer, output: Option<&str>) -> Result<Outcome, AppError> {
        match output {
            Some("-") => {
                terminal::to_standard_output(answer.airplane_file().as_bytes())?;
                return Ok(Outcome::Done);
            }
            Some(file) => written(file, answer.airplane_file())?,
            None => {}
        }
        self.options.deliver(answer)
    }
}

/// Asks the questions, saves the file of figures that comes of them, and builds the airplane.
fn asked(save: Option<&str>) -> Result<BuildAnswer, AppError> {
    let mut questions = Questions::default();
    let mut lines = std::io::stdin().lock().lines();
    while let Some(prompt) = questions.prompt() {
        terminal::ask(&prompt);
        let Some(Ok(line)) = lines.next() else { break };
        match questions.answer(&line) {
            Reply::Again(said) => terminal::say(&said),
            Reply::Next | Reply::Done => {}
        }
    }
    if let Some(words) = questions.lacking() {
        return Err(AppError::request(
            format!("the answers end before \"{words}\""),
            "answer it, or fill in the file of: skychalk airplane template",
        ));
    }
    let text = questions.figures();
    let own = format!("{}-figures.toml", questions.id());
    let file = save.unwrap_or(&own);
    written(file, &text)?;
    app::airplane_build::build_text(&text, file)
}

impl Airplane {
    /// The airplane file goes where `-o` says when there is one, the answer to standard output.
    fn fit(
        &self,
        figures: &str,
        (flights, weights): (&[PathBuf], &[String]),
        day: &[(&'static str, &Option<String>)],
        output: Option<&str>,
    ) -> Result<Outcome, AppError> {
        let told = Told::read(&typed(day), None)?;
        let masses = weights.iter().map(|weight| {
            let weight = Some(weight.clone());
            let given = [("weight", &weight)];
            typed(&given).quantity("weight", app::typed::mass).map(|mass| mass.map(|m| m.to_kg()))
        });
        let masses: Vec<Option<f64>> = masses.collect::<Result<_, AppError>>()?;
        let masses: Vec<f64> = masses.into_iter().flatten().collect();
        let brought = flights
            .iter()
            .map(|path| Ok(Brought::new(path.to_string_lossy(), app::files::bytes(path)?)));
        let brought = brought.collect::<Result<Vec<_>, AppError>>()?;
        let answer = app::airplane_fit::fit(figures, brought, &told, &masses)?;
        match (output, answer.airplane_file()) {
            (Some(file), Some(text)) => written(file, text)?,
            (Some(file), None) => terminal::say(&format!("not written: {file}")),
            (None, _) => {}
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
