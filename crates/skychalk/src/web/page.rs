//! The files of the page, embedded in the program: one line a file.

use std::collections::HashMap;
use std::path::PathBuf;
use std::sync::Arc;

use axum::Router;
use axum::body::Bytes;
use axum::http::header::CONTENT_TYPE;
use axum::response::IntoResponse;
use axum::routing::get;
use report::render;

use super::modules::{self, NotTogether};

/// A file: its path below the folder of the page, and its bytes.
type File = (&'static str, &'static [u8]);

macro_rules! files {
    ($($path:literal),* $(,)?) => { &[$(($path, include_bytes!(concat!("page/", $path)))),*] };
}

const FILES: &[File] = files![
    "index.html",
    "mark.svg",
    "core/api.js",
    "core/changes.js",
    "core/charts.js",
    "core/choice.js",
    "core/copies.js",
    "core/figures.js",
    "core/flight.js",
    "core/history.js",
    "core/markup.js",
    "core/numbers.js",
    "core/send.js",
    "core/words.js",
    "main.js",
    "parts/checks.js",
    "parts/clip.js",
    "parts/clock.js",
    "parts/correct.js",
    "parts/dial.js",
    "parts/findings.js",
    "parts/legend.js",
    "parts/limits.js",
    "parts/rail.js",
    "parts/save.js",
    "parts/sheet.js",
    "parts/sliders.js",
    "parts/source.js",
    "parts/stage.js",
    "parts/strip.js",
    "parts/told.js",
    "parts/turning.js",
    "pictures/camera.js",
    "pictures/curves.js",
    "pictures/depth.js",
    "pictures/flat.js",
    "pictures/hands.js",
    "pictures/list.js",
    "pictures/nose.js",
    "pictures/outside.js",
    "pictures/plan.js",
    "pictures/seat.js",
    "pictures/shared.js",
    "style/frame.css",
    "style/pictures.css",
    "style/tokens.css",
    "style/views.css",
    "vendor/README.md",
    "vendor/charts.LICENSE.txt",
    "vendor/charts.js",
    "vendor/three.LICENSE.txt",
    "vendor/three.js",
    "views/airplanes.js",
    "views/board.js",
    "views/build.js",
    "views/edit.js",
    "views/flights.js",
    "views/scene.js",
];

/// The file that a browser asks for first.
const FIRST: &str = "index.html";
/// The module that a browser runs first.
const MAIN: &str = "main.js";
/// Units: a module that the program writes.
const FACTORS: &str = "core/factors.js";

/// Routes of the page. With `folder` its files are read from there at each request, for those who work on the page: the list above
/// still says which there are.
pub(super) fn routes(folder: Option<PathBuf>) -> Router {
    let routes = Router::new().route("/font.woff2", fixed("font/woff2", render::FONT));
    let Some(folder) = folder.map(Arc::new) else {
        return embedded().into_iter().fold(routes, |routes, (path, bytes)| {
            routes.route(&address(&path), fixed(media_type(&path), bytes))
        });
    };
    let routes = routes.route(&address(FACTORS), fixed(JAVASCRIPT, app::units::module()));
    FILES.iter().fold(routes, |routes, &(path, _)| {
        let folder = folder.clone();
        routes.route(&address(path), get(async move || read(&folder.join(path), media_type(path))))
    })
}

/// The files in the program. The modules of the first picture are one: see [`modules`].
fn embedded() -> HashMap<String, Bytes> {
    let mut files: HashMap<_, _> =
        FILES.iter().map(|&(path, bytes)| (path.to_string(), Bytes::from_static(bytes))).collect();
    files.insert(FACTORS.to_string(), app::units::module().into());
    // A test holds that they can be put together; as they are they would do too.
    if let Ok(together) = first_modules(&files) {
        files.extend(together.into_iter().map(|(path, text)| (path, text.into())));
    }
    files
}

/// The modules of the first picture, put together.
fn first_modules(files: &HashMap<String, Bytes>) -> Result<Vec<modules::File>, NotTogether> {
    modules::together(MAIN, &|path| String::from_utf8(files.get(path)?.to_vec()).ok())
}

fn address(path: &str) -> String {
    if path == FIRST { "/".to_string() } else { format!("/{path}") }
}

const JAVASCRIPT: &str = "text/javascript; charset=utf-8";

fn media_type(path: &str) -> &'static str {
    match path.rsplit('.').next() {
        Some("html") => "text/html; charset=utf-8",
        Some("css") => "text/css; charset=utf-8",
        Some("svg") => "image/svg+xml",
        Some("txt" | "md") => "text/plain; charset=utf-8",
        _ => JAVASCRIPT,
    }
}

fn fixed(media_type: &'static str, bytes: impl Into<Bytes>) -> axum::routing::MethodRouter {
    let bytes = bytes.into();
    get(async move || ([(CONTENT_TYPE, media_type)], bytes.clone()))
}

fn read(path: &std::path::Path, media_type: &'static str) -> axum::response::Response {
    match std::fs::read(path) {
        Ok(bytes) => ([(CONTENT_TYPE, media_type)], bytes).into_response(),
        Err(error) => missing(path, &error),
    }
}

fn missing(path: &std::path::Path, error: &std::io::Error) -> axum::response::Response {
    let what = format!("{}: {error}", path.display());
    super::api::refusal(
        axum::http::StatusCode::NOT_FOUND,
        &what,
        "the folder of the page is not whole",
    )
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_modules_of_the_first_picture_go_together_and_what_comes_later_stays_apart() {
        let files = FILES.iter().map(|&(path, bytes)| (path.to_string(), bytes.into()));
        let mut files: HashMap<String, Bytes> = files.collect();
        files.insert(FACTORS.to_string(), app::units::module().into());
        let together = first_modules(&files).unwrap();
        let taken = |path: &str| together.iter().filter(|(taken, _)| taken == path).count();
        // Four deep, from a library of others, and written by the program.
        for needed in [MAIN, "pictures/seat.js", "vendor/charts.js", FACTORS] {
            assert_eq!(taken(needed), 1, "{needed}");
        }
        for later in ["vendor/three.js", "pictures/depth.js", "views/flights.js", "parts/clip.js"] {
            assert_eq!(taken(later), 0, "{later} holds up the first picture");
        }
        // What comes later finds there all that it imports. The module that imports three.js does so in several lines.
        let text = |path: &str| String::from_utf8(files.get(path)?.to_vec()).ok();
        let later = FILES.iter().map(|(path, _)| *path).filter(|path| {
            path.ends_with(".js") && !["vendor/three.js", "pictures/depth.js"].contains(path)
        });
        for path in later {
            modules::together(path, &text).unwrap();
        }
    }
}
