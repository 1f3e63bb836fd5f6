//! What every answer can do: be a document, JSON, sometimes a table; and the forms it can be had in.

use report::layout::{self, PageSize, Pages};
use report::model::Document;
use report::papers::{self, Paper};
use report::render;
use report::units::{self, Units};

use crate::error::{AppError, Outcome};
use crate::suggest;

/// An answer that can be rendered.
pub trait Answer {
    /// How it ends.
    fn outcome(&self) -> Outcome {
        Outcome::Done
    }
    /// Keys of the formats it can be had in, the usual one first.
    fn formats(&self) -> Vec<&'static str>;
    /// As a document, for people; `None` when it is only numbers.
    fn document(&self) -> Option<Document>;
    /// The papers it can be had on, the usual one first.
    fn papers(&self) -> Vec<Paper> {
        vec![papers::WHOLE]
    }
    /// The document for one of them, the fullest version first; `None` when there is none.
    fn on_paper(&self, key: &str) -> Option<Vec<Document>> {
        let _ = key;
        self.document().map(|document| vec![document])
    }
    /// As JSON, for programs.
    fn json(&self) -> String;
    /// As CSV; `None` when it is not a table.
    fn csv(&self) -> Option<String> {
        None
    }
    /// As Parquet; `None` when it is not a table of columns.
    #[cfg(feature = "parquet")]
    fn parquet(&self) -> Option<Result<Vec<u8>, AppError>> {
        None
    }
    /// What was taken for what was not told, and what the reader had to say where the answer in this format does not; for
    /// the side channel.
    fn remarks(&self, format: &str) -> Vec<String> {
        let _ = format;
        Vec::new()
    }
}

/// Formats of answers with pictures.
#[must_use]
pub fn with_pictures() -> Vec<&'static str> {
    render::ALL.iter().map(|renderer| renderer.key).chain(["json"]).collect()
}

/// Formats of words.
#[must_use]
pub fn of_words() -> Vec<&'static str> {
    vec!["text", "html", "pdf", "json"]
}

/// Formats of a brief and of a debrief: pictures and numbers.
#[must_use]
pub fn with_pictures_and_tables() -> Vec<&'static str> {
    with_pictures().into_iter().chain(["csv"]).collect()
}

/// Formats of lists.
#[must_use]
pub fn of_lists() -> Vec<&'static str> {
    vec!["text", "json"]
}

/// Formats of the attempts alone.
#[must_use]
pub fn of_finds() -> Vec<&'static str> {
    vec!["text", "json", "csv"]
}

/// Formats of the checks of the engine.
#[must_use]
pub fn of_checks() -> Vec<&'static str> {
    vec!["text", "json", "csv"]
}

/// Formats of a reconstruction.
#[must_use]
pub fn of_numbers() -> Vec<&'static str> {
    #[cfg(feature = "parquet")]
    return vec!["csv", "json", "parquet"];
    #[cfg(not(feature = "parquet"))]
    return vec!["csv", "json"];
}

/// How an answer is wanted.
#[derive(Debug, Clone, Copy, Default)]
pub struct Wanted<'a> {
    /// Key of the format.
    pub format: &'a str,
    /// Key of the paper; `None` for the usual one, where the format is one of paper.
    pub paper: Option<&'a str>,
    /// Key of the size of the paper; `None` for the one the paper is made for.
    pub page_size: Option<&'a str>,
    /// Key of the units of what is read by people; `None` for those that documents are written in. Numbers for programs keep theirs.
    pub units: Option<&'a str>,
}

impl<'a> Wanted<'a> {
    /// In a format, without a word about paper.
    #[must_use]
    pub const fn format(format: &'a str) -> Self {
        Self { format, paper: None, page_size: None, units: None }
    }
    /// The units wanted.
    ///
    /// # Errors
    /// Units that there are not.
    pub fn units(&self) -> Result<&'static Units, AppError> {
        let known: Vec<&str> = units::ALL.iter().map(|units| units.key).collect();
        let key = self.units.map_or(known[0], str::trim);
        units::find(key).ok_or_else(|| suggest::unknown("units", key, &known))
    }
    /// Whether pages are wanted.
    fn is_paged(&self) -> bool {
        self.paper.is_some() || self.page_size.is_some() || self.format == "pdf"
    }
}

/// Bytes and media type of an answer as it is wanted.
///
/// # Errors
/// A format that this answer cannot be had in, a paper, a size or units that there are not, or what does not fit on it.
pub fn render(
    answer: &dyn Answer,
    wanted: &Wanted<'_>,
) -> Result<(Vec<u8>, &'static str), AppError> {
    let (formats, key) = (answer.formats(), wanted.format);
    let unknown = || suggest::unknown("format", key, &formats);
    if !formats.contains(&key) {
        return Err(unknown());
    }
    let units = wanted.units()?;
    if wanted.is_paged() {
        return on_pages(answer, wanted);
    }
    match key {
        "json" => Ok((answer.json().into_bytes(), "application/json")),
        "csv" => {
            let table = answer.csv().ok_or_else(unknown)?;
            Ok((table.into_bytes(), "text/csv; charset=utf-8"))
        }
        #[cfg(feature = "parquet")]
        "parquet" => {
            let table = answer.parquet().ok_or_else(unknown)??;
            Ok((table, "application/vnd.apache.parquet"))
        }
        _ => {
            let renderer = render::find(key).ok_or_else(unknown)?;
            let document = answer.document().ok_or_else(unknown)?;
            Ok(((renderer.render)(&units.document(document)), renderer.media_type))
        }
    }
}

/// An answer on paper.
fn on_pages(answer: &dyn Answer, wanted: &Wanted<'_>) -> Result<(Vec<u8>, &'static str), AppError> {
    let Some(renderer) = render::find_paged(wanted.format) else {
        let what = format!("nothing on paper can be had as {}", wanted.format);
        let paged: Vec<&str> = render::PAGED.iter().map(|renderer| renderer.key).collect();
        let hint = format!("as {}; or leave the paper and its size out", paged.join(", "));
        return Err(AppError::request(what, hint));
    };
    Ok(((renderer.render)(&pages(answer, wanted)?), renderer.media_type))
}

/// An answer laid out on the pages of a paper.
///
/// # Errors
/// As [`render()`].
pub fn pages(answer: &dyn Answer, wanted: &Wanted<'_>) -> Result<Pages, AppError> {
    let papers = answer.papers();
    let keys: Vec<&str> = papers.iter().map(|paper| paper.key).collect();
    let paper = match wanted.paper {
        None => papers.first(),
        Some(key) => papers.iter().find(|paper| paper.key == key.trim()),
    };
    let unknown = || suggest::unknown("paper", wanted.paper.unwrap_or("usual"), &keys);
    let paper = paper.ok_or_else(unknown)?;
    let size = page_size(paper, wanted.page_size)?;
    let versions = answer.on_paper(paper.key).filter(|versions| !versions.is_empty());
    let units = wanted.units()?;
    let versions = versions.ok_or_else(unknown)?.into_iter();
    let versions: Vec<Document> = versions.map(|document| units.document(document)).collect();
    let pages = layout::lay_first(&versions, &paper.sheet(*size, mark(answer)));
    if let Some(first) = pages.overflow.first() {
        let what = format!("{} does not fit on {}: {first}", paper.title, size.title);
        return Err(AppError::request(what, "choose a larger page, or the whole as --paper whole"));
    }
    Ok(pages)
}

/// The size told, when the paper is made for it; else the usual one.
fn page_size(paper: &Paper, told: Option<&str>) -> Result<&'static PageSize, AppError> {
    let known: Vec<&str> = layout::SIZES.iter().map(|size| size.key).collect();
    let key = told.map_or(paper.sizes[0], str::trim);
    let size = layout::size(key).ok_or_else(|| suggest::unknown("page size", key, &known))?;
    if !paper.sizes.contains(&key) {
        let what = format!("{} is not made for {key}", paper.title);
        return Err(AppError::request(what, format!("known: {}", paper.sizes.join(", "))));
    }
    Ok(size)
}

/// What stands at the foot of a page beside the caution: the program, and a mark of the figures. Pages with the same mark hold the
/// same figures, whenever they were printed.
fn mark(answer: &dyn Answer) -> String {
    // FNV-1a, 64 bit, folded: a mark, no seal
    let figures = answer.json();
    let hash = figures.bytes().fold(0xcbf2_9ce4_8422_2325_u64, |hash, byte| {
        (hash ^ u64::from(byte)).wrapping_mul(0x0100_0000_01b3)
    });
    let folded = hash ^ (hash >> 32);
    let [high, low] = [(folded >> 16) & 0xffff, folded & 0xffff];
    format!("Skychalk {}, figures {high:04x}-{low:04x}", env!("CARGO_PKG_VERSION"))
}
