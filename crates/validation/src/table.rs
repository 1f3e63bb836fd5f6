//! Comma-separated check tables, read by column name. What is missing or no number is NaN, and no comparison with NaN is met.

/// A table with named columns.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Table {
    header: Vec<String>,
    rows: Vec<Vec<String>>,
}

impl Table {
    /// Reads comma-separated text (RFC-4180 quotes); lines that begin with `#` are comments. Linear in the text.
    #[must_use]
    pub fn parse(text: &str) -> Self {
        let read = |line: &&str| !line.starts_with('#') && !line.trim().is_empty();
        let mut lines = text.lines().filter(read).map(fields);
        let header = lines.next().unwrap_or_default();
        Self { header, rows: lines.collect() }
    }
    /// The rows.
    pub fn rows(&self) -> impl Iterator<Item = Row<'_>> {
        self.rows.iter().map(|cells| Row { header: &self.header, cells })
    }
    /// Whether there is a column of this name.
    #[must_use]
    pub fn has(&self, name: &str) -> bool {
        self.header.iter().any(|known| known == name)
    }
    /// A whole column of numbers.
    #[must_use]
    pub fn column(&self, name: &str) -> Vec<f64> {
        let Some(index) = self.header.iter().position(|known| known == name) else {
            return vec![f64::NAN; self.rows.len()];
        };
        self.rows.iter().map(|cells| number(cells.get(index))).collect()
    }
}

/// One row.
#[derive(Debug, Clone, Copy)]
pub struct Row<'a> {
    header: &'a [String],
    cells: &'a [String],
}

impl<'a> Row<'a> {
    /// A cell as text; empty when there is no such column or cell.
    #[must_use]
    pub fn text(&self, name: &str) -> &'a str {
        self.cell(name).map_or("", |cell| cell.trim())
    }
    /// A cell as a number.
    #[must_use]
    pub fn number(&self, name: &str) -> f64 {
        number(self.cell(name))
    }
    fn cell(&self, name: &str) -> Option<&'a String> {
        let index = self.header.iter().position(|known| known == name)?;
        self.cells.get(index)
    }
}

fn number(cell: Option<&String>) -> f64 {
    cell.and_then(|cell| cell.trim().parse().ok()).unwrap_or(f64::NAN)
}

fn fields(line: &str) -> Vec<String> {
    let mut out = Vec::new();
    let mut field = String::new();
    let mut quoted = false;
    let mut characters = line.chars().peekable();
    while let Some(character) = characters.next() {
        match character {
            '"' if quoted && characters.peek() == Some(&'"') => {
                characters.next();
                field.push('"');
            }
            '"' => quoted = !quoted,
            ',' if !quoted => out.push(std::mem::take(&mut field)),
            other => field.push(other),
        }
    }
    out.push(field);
    out
}

#[cfg(test)]
mod tests {
    use super::Table;

    #[test]
    fn a_table_is_read_and_what_is_missing_is_no_number() {
        let table = Table::parse("# note\na,\"b, c\"\n1,\"x \"\"y\"\"\"\n,2\n");
        let rows: Vec<_> = table.rows().collect();
        assert_eq!(rows[0].text("b, c"), "x \"y\"");
        assert!(rows[1].number("a").is_nan() && (rows[1].number("b, c") - 2.0).abs() < 1e-12);
        assert!(rows[0].number("d").is_nan() && table.column("d").len() == 2 && !table.has("d"));
        assert!((table.column("a")[0] - 1.0).abs() < 1e-12);
    }
}
