//! The page, served on this computer: routes, and the rules that hold for every answer.
//!
//! * [`page`]: the files of the page, embedded in the program.
//! * [`modules`]: those of the first picture, as one.
//! * [`api`]: what the page asks: lists, briefs, debriefs.
//! * [`airplanes`]: which airplanes a request may name.
//! * [`work`]: how answers are worked out: how many at once, the same one once.
//! * [`guard`]: which requests are taken, and what browsers may do with answers.

mod airplanes;
mod api;
mod guard;
mod modules;
mod page;
#[cfg(test)]
mod tests;
mod work;

use std::net::SocketAddr;
use std::path::PathBuf;
use std::time::Duration;

use app::AppError;
use axum::Router;
use axum::extract::DefaultBodyLimit;
use axum::middleware::{from_fn, map_response};
use hyper::server::conn::http1;
use hyper_util::rt::{TokioIo, TokioTimer};
use hyper_util::service::TowerToHyperService;

/// Largest recording that is taken, bytes.
const UPLOAD_BYTES_MOST: usize = 64 * 1024 * 1024;

/// The head of a request comes in this time.
const HEAD_MOST: Duration = Duration::from_secs(10);

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
        tokio::select! {
            () = connections(listener, router(page_folder)) => {}
            // Without a way to hear of Ctrl-C the system stops the program itself.
            () = async { if tokio::signal::ctrl_c().await.is_err() { std::future::pending().await } } => {}
        }
        Ok(())
    })
}

/// Takes connections for ever; each is let go when it sends no head of a request in time.
async fn connections(listener: tokio::net::TcpListener, router: Router) {
    loop {
        let Ok((stream, _)) = listener.accept().await else {
            // Out of files: others must end first.
            tokio::time::sleep(Duration::from_millis(100)).await;
            continue;
        };
        let service = TowerToHyperService::new(router.clone());
        tokio::spawn(async move {
            let mut http = http1::Builder::new();
            http.timer(TokioTimer::new()).header_read_timeout(HEAD_MOST);
            // A client that goes away in the middle ends its own connection and nothing else.
            let _ = http.serve_connection(TokioIo::new(stream), service).await;
        });
    }
}
