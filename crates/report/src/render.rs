//! Documents to bytes: one file per format and the list of them.

mod html;
mod look;
mod markdown;
mod pdf;
mod sheets;
mod style;
mod svg;
mod text;

pub use html::{FONT, html, html_fragment, style_sheet};
pub use markdown::markdown;
pub use pdf::pdf;
pub use sheets::{html_pages, svg_pages};
pub use svg::{scene_svg, svg};
pub use text::text;

use crate::layout::{self, Pages};
use crate::model::Document;
use crate::papers;

/// Size of the face of a text of a picture, units of the picture, and whether it is strong.
pub(crate) fn letters(style: crate::scene::Style) -> (f64, bool) {
    let look = look::of(look::Element::Text, style);
    (look.size, look.strong)
}

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
    Renderer { key: "pdf", title: "pages for print", media_type: PDF, render: pdf_whole },
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

const PDF: &str = "application/pdf";

/// A document on as many A4 pages as it takes.
fn pdf_whole(document: &Document) -> Vec<u8> {
    let sheet = papers::WHOLE.sheet(layout::SIZES[0], String::new());
    pdf(&layout::lay(document, &sheet))
}

/// A renderer of pages.
#[derive(Debug, Clone, Copy)]
pub struct PagedRenderer {
    /// Stable key: "pdf".
    pub key: &'static str,
    /// Media type of its bytes.
    pub media_type: &'static str,
    /// Renders pages. Same pages, same bytes.
    pub render: fn(&Pages) -> Vec<u8>,
}

/// Every renderer of pages.
pub const PAGED: &[PagedRenderer] = &[
    PagedRenderer { key: "pdf", media_type: PDF, render: pdf },
    PagedRenderer { key: "html", media_type: "text/html; charset=utf-8", render: html_pages },
    PagedRenderer { key: "svg", media_type: "image/svg+xml", render: svg_pages },
];

/// The renderer of pages with this key.
#[must_use]
pub fn find_paged(key: &str) -> Option<&'static PagedRenderer> {
    PAGED.iter().find(|renderer| renderer.key == key)
}
