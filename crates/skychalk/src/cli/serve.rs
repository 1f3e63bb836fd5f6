//! `skychalk serve`.

use std::net::SocketAddr;
use std::path::PathBuf;

use app::{AppError, Outcome};
use clap::Args;

use super::terminal;
use crate::web;

/// Show briefs and debriefs on a page, on this computer
///
/// Works without a network; nothing is taken from or sent to other hosts. Stop with Ctrl-C.
#[derive(Debug, Args)]
pub(super) struct Serve {
    /// Address and port to serve at; port 0 takes a free one
    #[arg(long, value_name = "ADDRESS", default_value = "127.0.0.1:8640")]
    listen: SocketAddr,
    /// Do not open the page in the browser
    #[arg(long)]
    no_browser: bool,
    /// Folder of the page's files, read anew at each request: for those who work on the page
    #[arg(long, value_name = "FOLDER", hide = true)]
    page_folder: Option<PathBuf>,
}

impl Serve {
    pub(super) fn run(&self) -> Result<Outcome, AppError> {
        self.run_opened("")
    }

    /// Serves, and opens the page at a place of it.
    pub(super) fn run_opened(&self, place: &str) -> Result<Outcome, AppError> {
        if !self.listen.ip().is_loopback() {
            terminal::say(&format!(
                "note: {} can be reached by other computers; the page has no sign-in",
                self.listen
            ));
        }
        web::serve(self.listen, self.page_folder.clone(), |address| {
            let page = format!("http://{address}/{place}");
            terminal::say(&format!("the page is at {page} (stop with Ctrl-C)"));
            if !self.no_browser && open::that_detached(&page).is_err() {
                terminal::say("note: no browser could be opened here: open that address yourself");
            }
        })?;
        Ok(Outcome::Done)
    }
}
