//! The files of the page, embedded in the program: one line a file.

use std::path::PathBuf;
use std::sync::Arc;

use axum::Router;
use axum::http::header::CONTENT_TYPE;
use axum::response::IntoResponse;
use axum::routing::get;
use report::render;

/// A file: its path below the folder of the page, and its bytes.
type File = (&'static str, &'static [u8]);

macro_rules! files {
    ($($path:literal),* $(,)?) => { &[$(($path, include_bytes!(concat!("page/", $path)))),*] };
}

const FILES: &[File] = files![
    "index.html",
    "mark.svg",
    "core/api.js",
    "core/charts.js",
    "core/choice.js",
    "core/copies.js",
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
    "parts/limits.js",
    "parts/rail.js",
    "parts/save.js",
    "parts/sheet.js",
    "parts/sliders.js",
    "parts/source.js",
    "parts/stage.js",
    "parts/strip.js",
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
    "views/flights.js",
    "views/scene.js",
];

/// Routes of the page. With `folder` its files are read from there at each request, for those who work on the page: the list above
/// still says which there are.
pub(super) fn routes(folder: Option<PathBuf>) -> Router {
    let folder = folder.map(Arc::new);
    let mut routes = Router::new().route("/font.woff2", fixed("font/woff2", render::FONT)).route(
        "/core/factors.js",
        get(async || ([(CONTENT_TYPE, JAVASCRIPT)], app::units::module())),
    );
    for &(path, bytes) in FILES {
        let method = match folder.clone() {
            Some(folder) if path == FIRST => {
                get(async move || match std::fs::read(folder.join(path)) {
                    Ok(bytes) => html(with_loads(&bytes)),
                    Err(error) => missing(&folder.join(path), &error),
                })
            }
            Some(folder) => get(async move || read(&folder.join(path), media_type(path))),
            None if path == FIRST => {
                let whole = with_loads(bytes);
                get(async move || html(whole.clone()))
            }
            None => fixed(media_type(path), bytes),
        };
        let address = if path == FIRST { "/".to_string() } else { format!("/{path}") };
        routes = routes.route(&address, method);
    }
    routes
}

/// The file that a browser asks for first.
const FIRST: &str = "index.html";
/// What is loaded after the first picture stands, if at all.
const LATER: [&str; 2] = ["pictures/depth.js", "vendor/three.js"];
/// What the page asks of the program before it can show anything.
const LISTS: [&str; 4] = ["service", "maneuvers", "airplanes", "standards"];

/// The first file with a word for the browser on what it will need, so that it fetches all of it at once: modules name each other five
/// deep, and each depth would cost a way to the program and back.
fn with_loads(page: &[u8]) -> String {
    let modules = FILES.iter().map(|(path, _)| *path).chain(["core/factors.js"]);
    let modules = modules.filter(|path| path.ends_with(".js") && !LATER.contains(path));
    let mut links: String =
        modules.map(|path| format!("<link rel=\"modulepreload\" href=\"{path}\">\n")).collect();
    for list in LISTS {
        links += &format!(
            "<link rel=\"preload\" href=\"api/{list}\" as=\"fetch\" crossorigin=\"anonymous\">\n"
        );
    }
    String::from_utf8_lossy(page).replacen("</head>", &format!("{links}</head>"), 1)
}

fn html(text: String) -> axum::response::Response {
    ([(CONTENT_TYPE, media_type(FIRST))], text).into_response()
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

fn fixed(media_type: &'static str, bytes: &'static [u8]) -> axum::routing::MethodRouter {
    get(async move || ([(CONTENT_TYPE, media_type)], bytes))
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
