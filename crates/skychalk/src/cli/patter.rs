//! `skychalk patter`.

use app::answer::of_words;
use app::patter::{VOICES, patter, voice};
use app::{AppError, Outcome, files};
use clap::Args;

use super::brief::Flown;
use super::options::{ReaderOptions, words};
use super::terminal;

/// Say what is said while a maneuver is flown, in step with the airplane
///
/// Sentences in three voices (demonstrating, directing, monitoring), placed at the progress of the maneuver, with the values of
/// this airplane and day and the seconds they take. The words can be written to a file, changed, and read back.
///
/// Example: skychalk patter chandelle --airplane plover-160 --direction left --voice directing
#[derive(Debug, Args)]
pub(super) struct Patter {
    #[command(flatten)]
    flown: Flown,
    /// Whose words
    #[arg(long, value_parser = words(VOICES), default_value = "all")]
    voice: String,
    /// Words of your own: a file as --write makes it
    #[arg(long, value_name = "FILE")]
    script: Option<String>,
    /// Write the words to a file to be changed, and do nothing else
    #[arg(long, value_name = "FILE")]
    write: Option<String>,
    /// Form of the answer
    #[arg(long, value_parser = words(&of_words()), default_value = "text")]
    format: String,
    #[command(flatten)]
    reader: ReaderOptions,
}

impl Patter {
    pub(super) fn run(&self) -> Result<Outcome, AppError> {
        let mut asked = self.flown.asked()?;
        if let Some(name) = &self.script {
            asked.read_script(&files::text(name)?, name)?;
        }
        if let Some(name) = &self.write {
            return write(name, &asked);
        }
        let answer = patter(&asked, voice(Some(&self.voice))?);
        terminal::deliver(&answer, &self.format, &self.reader)
    }
}

fn write(name: &str, asked: &app::brief::Asked) -> Result<Outcome, AppError> {
    let script = asked.script();
    if script.lines.is_empty() {
        let what = format!("{}: no patter for this form", asked.maneuver.id());
        return Err(AppError::request(what, "choose another form (see `skychalk maneuver show`)"));
    }
    files::write(name, script.to_toml().as_bytes())?;
    terminal::say(&format!("written: {name}"));
    Ok(Outcome::Done)
}
