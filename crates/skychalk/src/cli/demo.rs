//! `skychalk demo`.

use app::answer::Wanted;
use app::{Answer, AppError, Outcome, answer, demo};
use clap::Args;

use super::serve::Serve;
use super::terminal;

/// Brief a maneuver, debrief the bundled flight, then open the page
///
/// The flight, the airplane and the place are invented.
#[derive(Debug, Args)]
pub(super) struct Demo {
    /// Print brief and debrief in full and stop: do not serve the page
    #[arg(long)]
    no_page: bool,
    #[command(flatten)]
    serve: Serve,
}

impl Demo {
    pub(super) fn run(&self) -> Result<Outcome, AppError> {
        let (brief, debrief) = (demo::brief()?, demo::debrief()?);
        if self.no_page {
            for answer in [&brief as &dyn Answer, &debrief] {
                terminal::to_standard_output(&answer::render(answer, &Wanted::format("text"))?.0)?;
                terminal::to_standard_output(b"\n")?;
            }
            return Ok(Outcome::Done);
        }
        // The page shows everything; the terminal says what it will show.
        let title = brief.document().map(|document| document.title).unwrap_or_default();
        let verdict = brief.brief.verdict.words();
        terminal::to_standard_output(format!("{title}: {verdict}\n\n").as_bytes())?;
        terminal::to_standard_output(
            &answer::render(&debrief.found(), &Wanted::format("text"))?.0,
        )?;
        self.serve.run_opened("#flight=demo")
    }
}
