//! Outside check data for tests: finds the folder, reads its tables by column name.
//!
//! Some published data may not be redistributed, so it stands beside the repository in `shared/checks` (recordings in
//! `shared/recordings`); the variable `SKYCHALK_CHECKS` names another place for `checks`. Missing data is a printed line
//! and a skipped test, but a failure when `CI=true`.

#![allow(clippy::print_stdout, reason = "a skipped check must be seen in the test's output")]

use std::path::PathBuf;

/// The folder of check data, if it is there.
#[must_use]
pub fn folder() -> Option<PathBuf> {
    let named = std::env::var_os("SKYCHALK_CHECKS").map(PathBuf::from);
    let beside = PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("../../../shared/checks");
    let folder = named.unwrap_or(beside);
    folder.is_dir().then_some(folder)
}

/// Bytes of a file below the check folder; `None` (and a printed line) when it is not there.
///
/// # Panics
/// When it is not there and `CI=true`: a skipped check must not look like a passed one.
#[must_use]
pub fn bytes(path: &str) -> Option<Vec<u8>> {
    read(folder().map(|folder| folder.join(path)), path)
}

/// Bytes of a file below the folder of recordings; see [`bytes`].
#[must_use]
pub fn recording(path: &str) -> Option<Vec<u8>> {
    read(folder().map(|folder| folder.join("../recordings").join(path)), path)
}

/// Text of a file below the check folder; see [`bytes`].
#[must_use]
pub fn text(path: &str) -> Option<String> {
    bytes(path).map(|bytes| String::from_utf8_lossy(&bytes).into_owned())
}

/// Whether every check must be made (`CI=true`): a skipped one is a failure.
#[must_use]
pub fn complete() -> bool {
    std::env::var("CI").as_deref() == Ok("true")
}

fn read(place: Option<PathBuf>, path: &str) -> Option<Vec<u8>> {
    let found = place.and_then(|place| std::fs::read(place).ok());
    if found.is_none() {
        assert!(!complete(), "check data {path} is missing");
        println!("skipped: check data {path} is not here (see SKYCHALK_CHECKS)");
    }
    found
}

/// A table with named columns.
#[derive(Debug, Clone, Default)]
pub struct Table {
    header: Vec<String>,
    rows: Vec<Vec<String>>,
}

impl Table {
    /// Reads comma-separated text with quoted fields; lines that begin with `#` are comments.
    #[must_use]
    pub fn parse(text: &str) -> Self {
        let mut lines = text
            .lines()
            .filter(|line| !line.starts_with('#') && !line.trim().is_empty())
            .map(fields);
        let header = lines.next().unwrap_or_default();
        Self { header, rows: lines.collect() }
    }
    /// Reads a table below the check folder; see [`bytes`].
    #[must_use]
    pub fn read(path: &str) -> Option<Self> {
        text(path).map(|text| Self::parse(&text))
    }
    /// Number of rows.
    #[must_use]
    pub fn len(&self) -> usize {
        self.rows.len()
    }
    /// Whether it has no rows.
    #[must_use]
    pub fn is_empty(&self) -> bool {
        self.rows.is_empty()
    }
    /// The rows.
    pub fn rows(&self) -> impl Iterator<Item = Row<'_>> {
        self.rows.iter().map(|cells| Row { header: &self.header, cells })
    }
    /// A whole column of numbers; empty cells are NaN.
    #[must_use]
    pub fn column(&self, name: &str) -> Vec<f64> {
        self.rows().map(|row| row.number(name)).collect()
    }
}

/// One row.
#[derive(Debug, Clone, Copy)]
pub struct Row<'a> {
    header: &'a [String],
    cells: &'a [String],
}

impl<'a> Row<'a> {
    /// A cell as text.
    ///
    /// # Panics
    /// When there is no such column: the check file changed.
    #[must_use]
    pub fn text(&self, name: &str) -> &'a str {
        let index = self.header.iter().position(|known| known == name);
        let index = index.unwrap_or_else(|| panic!("no column {name} in {:?}", self.header));
        self.cells.get(index).map_or("", |cell| cell.trim())
    }
    /// A cell as a number; NaN when it is empty or not one.
    #[must_use]
    pub fn number(&self, name: &str) -> f64 {
        self.text(name).parse().unwrap_or(f64::NAN)
    }
}

fn fields(line: &str) -> Vec<String> {
    let mut out = vec![String::new()];
    let mut quoted = false;
    let mut characters = line.chars().peekable();
    while let Some(character) = characters.next() {
        let field = out.last_mut().expect("one field is always there");
        match character {
            '"' if quoted && characters.peek() == Some(&'"') => {
                characters.next();
                field.push('"');
            }
            '"' => quoted = !quoted,
            ',' if !quoted => out.push(String::new()),
            other => field.push(other),
        }
    }
    out
}

/// Asserts that two numbers agree within a tolerance, with a message that names the quantity.
///
/// # Panics
/// When they do not agree or one is not finite.
pub fn assert_near(what: &str, found: f64, expected: f64, tolerance: f64) {
    let miss = (found - expected).abs();
    assert!(
        miss <= tolerance,
        "{what}: found {found}, expected {expected}, miss {miss:.3e}, tolerance {tolerance:.1e}"
    );
}

#[cfg(test)]
mod tests {
    use super::Table;

    #[test]
    fn a_table_with_comments_and_quotes_is_read() {
        let table = Table::parse("# note\na,\"b, c\"\n1,\"x \"\"y\"\"\"\n,2\n");
        let rows: Vec<_> = table.rows().collect();
        assert_eq!(rows[0].text("b, c"), "x \"y\"");
        assert!(rows[1].number("a").is_nan() && (rows[1].number("b, c") - 2.0).abs() < 1e-12);
        assert_eq!(table.len(), 2);
    }
}
