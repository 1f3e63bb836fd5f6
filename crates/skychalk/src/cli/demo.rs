//! `skychalk demo`.

use app::{Answer, AppError, Outcome, answer, demo};
use clap::Args;

use super::serve::Serve;
use super::terminal;

/// Brief a maneuver, debrief the bundled flight, then open the page
///
/// The flight, the airplane and the place are invented.
#[derive(Debug, Args)]
pub(super) struct Demo {
    /// Stop after printing: do not serve the page
    #[arg(long)]
    no_page: bool,
    #[command(flatten)]
    serve: Serve,
}

impl Demo {
    pub(super) fn run(&self) -> Result<Outcome, AppError> {
        let (brief, debrief) = (demo::brief()?, demo::debrief()?);
        for answer in [&brief as &dyn Answer, &debrief] {
            terminal::to_standard_output(&answer::render(answer, "text")?.0)?;
            terminal::to_standard_output(b"\n")?;
        }
        if self.no_page {
            return Ok(Outcome::Done);
        }
        self.serve.run_opened("#flight=demo")
    }
}
