//! The folder: `cases.json` and tables, read with the place of whatever is wrong.

use std::fs;
use std::path::{Path, PathBuf};

use serde_json::Value;

/// An opened folder.
pub(super) struct Folder {
    path: PathBuf,
    cases: Value,
}

/// A value of `cases.json` with the way to it.
#[derive(Clone)]
pub(super) struct Entry<'a> {
    way: String,
    value: &'a Value,
}

impl Folder {
    /// Opens a folder and reads its `cases.json`.
    pub(super) fn open(path: &Path) -> Result<Self, String> {
        let file = path.join("cases.json");
        let hint = "the folder must hold cases.json with a list of airplanes and their cases";
        let text = fs::read_to_string(&file)
            .map_err(|error| format!("{}: {error}; {hint}", file.display()))?;
        let cases = serde_json::from_str(&text).map_err(|error| {
            format!(
                "{} line {} column {}: not JSON: {error}; mend or replace the file",
                file.display(),
                error.line(),
                error.column()
            )
        })?;
        Ok(Self { path: path.to_path_buf(), cases })
    }
    /// The root of `cases.json`.
    pub(super) fn cases(&self) -> Entry<'_> {
        Entry { way: "cases.json".into(), value: &self.cases }
    }
    /// A table of the folder.
    pub(super) fn table(&self, name: &str) -> Result<Table, String> {
        let file = self.path.join(name);
        let text = fs::read_to_string(&file).map_err(|error| {
            format!("{}: {error}; a table of this name belongs to the case", file.display())
        })?;
        Table::parse(name, &text)
    }
}

impl<'a> Entry<'a> {
    fn of(&self, key: &str) -> Result<Self, String> {
        let value = self.value.get(key);
        let value = value.ok_or_else(|| format!("{}: {key} is missing", self.way))?;
        Ok(Entry { way: format!("{}: {key}", self.way), value })
    }
    /// Whether there is such a key with a value.
    pub(super) fn has(&self, key: &str) -> bool {
        self.value.get(key).is_some_and(|value| !value.is_null())
    }
    pub(super) fn entry(&self, key: &str) -> Result<Self, String> {
        self.of(key)
    }
    pub(super) fn number(&self, key: &str) -> Result<f64, String> {
        let entry = self.of(key)?;
        let number = entry.value.as_f64();
        number.ok_or_else(|| format!("{}: a number is wanted, not {}", entry.way, entry.value))
    }
    pub(super) fn text(&self, key: &str) -> Result<&'a str, String> {
        let entry = self.of(key)?;
        let text = entry.value.as_str();
        text.ok_or_else(|| format!("{}: a text is wanted, not {}", entry.way, entry.value))
    }
    /// The entries of a list.
    pub(super) fn list(&self, key: &str) -> Result<Vec<Self>, String> {
        let entry = self.of(key)?;
        let list = entry.value.as_array();
        let list = list.ok_or_else(|| format!("{}: a list is wanted", entry.way))?;
        let one = |(i, value)| Entry { way: format!("{}[{i}]", entry.way), value };
        Ok(list.iter().enumerate().map(one).collect())
    }
    /// The numbers of an object, by key; what is not a number is passed over.
    pub(super) fn numbers(&self) -> Vec<(&'a str, f64)> {
        let object = self.value.as_object();
        let pairs = object.into_iter().flatten();
        pairs.filter_map(|(key, value)| Some((key.as_str(), value.as_f64()?))).collect()
    }
    /// This entry as a number.
    pub(super) fn as_number(&self) -> Result<f64, String> {
        self.value.as_f64().ok_or_else(|| format!("{}: a number is wanted", self.way))
    }
}

/// A table with named columns of numbers.
pub(super) struct Table {
    name: String,
    header: Vec<String>,
    rows: Vec<Vec<f64>>,
}

impl Table {
    fn parse(name: &str, text: &str) -> Result<Self, String> {
        let mut lines = text
            .lines()
            .enumerate()
            .filter(|(_, line)| !line.starts_with('#') && !line.trim().is_empty());
        let (_, header) = lines.next().ok_or_else(|| {
            format!("{name}: no header line; the first line that is no comment names the columns")
        })?;
        let header: Vec<String> = header.split(',').map(|cell| cell.trim().to_string()).collect();
        let mut rows = Vec::new();
        for (index, line) in lines {
            let place = index + 1;
            let cells: Vec<&str> = line.split(',').map(str::trim).collect();
            if cells.len() != header.len() {
                return Err(format!(
                    "{name} line {place}: {} cells, the header has {}; is the file cut off?",
                    cells.len(),
                    header.len()
                ));
            }
            let mut row = Vec::new();
            for (cell, column) in cells.iter().zip(&header) {
                // An empty cell is a quantity that does not exist there.
                let value = if cell.is_empty() { Ok(f64::NAN) } else { cell.parse() };
                row.push(value.map_err(|_| {
                    format!("{name} line {place} column {column}: not a number: {cell:?}")
                })?);
            }
            rows.push(row);
        }
        if rows.is_empty() {
            return Err(format!("{name}: a header without rows; is the file cut off?"));
        }
        Ok(Self { name: name.into(), header, rows })
    }
    /// A column.
    pub(super) fn column(&self, name: &str) -> Result<Vec<f64>, String> {
        let index = self.header.iter().position(|known| known == name).ok_or_else(|| {
            format!("{}: no column {name}; it has {}", self.name, self.header.join(", "))
        })?;
        Ok(self.rows.iter().map(|row| row[index]).collect())
    }
    pub(super) fn has(&self, name: &str) -> bool {
        self.header.iter().any(|known| known == name)
    }
}
