//! The page, served on this computer: routes, and the rules that hold for every answer.
//!
//! * [`page`]: the files of the page, embedded in the program.
//! * [`api`]: what the page asks: lists, briefs, debriefs.
//! * [`guard`]: which requests are taken, and what browsers may do with answers.

mod api;
mod guard;
mod page;
#[cfg(test)]
mod tests;

use std::net::SocketAddr;
use std::path::PathBuf;

use app::AppError;
use axum::Router;
use axum::extract::DefaultBodyLimit;
use axum::middleware::{from_fn, map_response};

/// Largest recording that is taken, bytes.
const UPLOAD_BYTES_MOST: usize = 64 * 1024 * 1024;

/// Every route under the rules of [`guard`].
fn router(page_folder: Option<PathBuf>) -> Router {
    page::routes(page_folder)
        .merge(api::routes())
        .fallback(api::not_found)
        .layer(DefaultBodyLimit::max(UPLOAD_BYTES_MOST))
        .layer(from_fn(guard::only_this_host))
        // The last layer is the outermost: refusals have the headers too.
        .layer(map_response(guard::with_headers))
}

/// Serves the page until the program is told to stop; `ready` is called with the address once it listens. `page_folder` holds the
/// files of the page for those who work on them; else they are those in the program.
///
/// # Errors
/// The address cannot be listened at, or the machine failed.
pub(crate) fn serve(
    listen: SocketAddr,
    page_folder: Option<PathBuf>,
    ready: impl FnOnce(SocketAddr),
) -> Result<(), AppError> {
    let runtime = tokio::runtime::Runtime::new().map_err(|error| AppError::Machine {
        what: format!("the server cannot be started: {error}"),
        hint: "close other programs and try again".into(),
    })?;
    runtime.block_on(async {
        let cannot = |error: std::io::Error| AppError::Machine {
            what: format!("cannot listen at {listen}: {error}"),
            hint: "choose another port, or --listen 127.0.0.1:0 for a free one".into(),
        };
        let listener = tokio::net::TcpListener::bind(listen).await.map_err(cannot)?;
        ready(listener.local_addr().map_err(cannot)?);
        axum::serve(listener, router(page_folder))
            .with_graceful_shutdown(async {
                // Without a way to hear of Ctrl-C the system stops the program itself.
                if tokio::signal::ctrl_c().await.is_err() {
                    std::future::pending::<()>().await;
                }
            })
            .await
            .map_err(cannot)
    })
}
