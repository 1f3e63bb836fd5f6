//! Documents to bytes: one file per format and the list of them.

mod html;
mod markdown;
mod style;
mod svg;
mod text;

pub use html::{FONT, html, html_fragment, style_sheet};
pub use markdown::markdown;
pub use svg::{scene_svg, svg};
pub use text::text;

use crate::model::Document;

/// A renderer.
#[derive(Debug, Clone, Copy)]
pub struct Renderer {
    /// Stable key: "text", "html", "svg".
    pub key: &'static str,
    /// As people call it.
    pub title: &'static str,
    /// Media type of its bytes.
    pub media_type: &'static str,
    /// Renders a document. Same document, same bytes.
    pub render: fn(&Document) -> Vec<u8>,
}

/// Every renderer.
pub const ALL: &[Renderer] = &[
    Renderer {
        key: "text",
        title: "text for a terminal, 80 columns",
        media_type: "text/plain; charset=utf-8",
        render: text,
    },
    Renderer {
        key: "html",
        title: "page that needs nothing else",
        media_type: "text/html; charset=utf-8",
        render: html,
    },
    Renderer {
        key: "svg",
        title: "pictures on one sheet",
        media_type: "image/svg+xml",
        render: svg,
    },
];

/// The renderer with this key.
#[must_use]
pub fn find(key: &str) -> Option<&'static Renderer> {
    ALL.iter().find(|renderer| renderer.key == key)
}
