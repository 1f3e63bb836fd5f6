//! The files of the page, embedded in the program: one line a file.

use axum::Router;
use axum::http::header::CONTENT_TYPE;
use axum::routing::get;
use report::render;

const FONT_PATH: &str = "/font.woff2";

pub(super) fn routes() -> Router {
    Router::new()
        .route("/", file("text/html; charset=utf-8", include_bytes!("page/index.html")))
        .route("/page.js", file("text/javascript; charset=utf-8", include_bytes!("page/page.js")))
        .route("/mark.svg", file("image/svg+xml", include_bytes!("page/mark.svg")))
        .route(FONT_PATH, file("font/woff2", render::FONT))
        .route("/page.css", get(async || ([(CONTENT_TYPE, "text/css; charset=utf-8")], style())))
}

fn file(media_type: &'static str, bytes: &'static [u8]) -> axum::routing::MethodRouter {
    get(async move || ([(CONTENT_TYPE, media_type)], bytes))
}

/// The rules of documents, so that the page and a saved document look the same, then those of the page.
fn style() -> String {
    format!("{}\n{}", render::style_sheet(FONT_PATH), include_str!("page/page.css"))
}
