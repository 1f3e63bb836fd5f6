//! Lines of an airplane file.

use std::fmt::Write;

/// Collects the text and what people should know about it.
#[derive(Debug, Default)]
pub(super) struct Writer {
    text: String,
    notes: Vec<String>,
}

/// A text in quotes, as TOML has it.
fn quoted(text: &str) -> String {
    let mut out = String::from("\"");
    for character in text.chars() {
        match character {
            '"' => out.push_str("\\\""),
            '\\' => out.push_str("\\\\"),
            '\n' => out.push_str("\\n"),
            other if other.is_control() => out.push(' '),
            other => out.push(other),
        }
    }
    out.push('"');
    out
}

impl Writer {
    fn line(&mut self, line: &str, comment: &str) {
        let comment = if comment.is_empty() { String::new() } else { format!("  # {comment}") };
        writeln!(self.text, "{line}{comment}").expect("text takes any line");
    }
    pub(super) fn blank(&mut self) {
        self.text.push('\n');
    }
    pub(super) fn comment(&mut self, text: &str) {
        self.line(&format!("# {text}"), "");
    }
    /// Something that people should know.
    pub(super) fn note(&mut self, text: &str) {
        self.notes.push(text.into());
    }
    pub(super) fn block(&mut self, name: &str, source: &str) {
        self.blank();
        self.line(&format!("[{name}]"), "");
        if !source.is_empty() {
            self.text("source", source);
        }
    }
    pub(super) fn rows(&mut self, name: &str, source: &str) {
        self.blank();
        self.line(&format!("[[{name}]]"), "");
        self.text("source", source);
    }
    pub(super) fn text(&mut self, key: &str, text: &str) {
        self.line(&format!("{key} = {}", quoted(text)), "");
    }
    pub(super) fn number(&mut self, key: &str, value: f64, decimals: usize, comment: &str) {
        self.line(&format!("{key} = {value:.decimals$}"), comment);
    }
    pub(super) fn quantity(
        &mut self,
        key: &str,
        value: f64,
        decimals: usize,
        unit: &str,
        comment: &str,
    ) {
        self.line(&format!("{key} = \"{value:.decimals$} {unit}\""), comment);
    }
    pub(super) fn numbers(&mut self, key: &str, values: &[f64]) {
        let list: Vec<String> = values.iter().map(|value| format!("{value:.1}")).collect();
        self.line(&format!("{key} = [{}]", list.join(", ")), "");
    }
    /// Numbers with so many decimals.
    pub(super) fn finely(&mut self, key: &str, values: &[f64], decimals: usize) {
        let list: Vec<String> = values.iter().map(|value| format!("{value:.decimals$}")).collect();
        self.line(&format!("{key} = [{}]", list.join(", ")), "");
    }
    /// A row of a table whose source stands elsewhere.
    pub(super) fn rows_alone(&mut self, name: &str) {
        self.blank();
        self.line(&format!("[[{name}]]"), "");
    }
    pub(super) fn flag(&mut self, key: &str) {
        self.line(&format!("{key} = true"), "");
    }
    pub(super) fn list(&mut self, key: &str, texts: &[String]) {
        let list: Vec<String> = texts.iter().map(|text| quoted(text)).collect();
        self.line(&format!("{key} = [{}]", list.join(", ")), "");
    }
    pub(super) fn close(self) -> (String, Vec<String>) {
        (self.text, self.notes)
    }
}

#[cfg(test)]
mod tests {
    use super::quoted;

    #[test]
    fn texts_are_quoted() {
        assert_eq!(quoted("a \"b\" \\ c\nd"), "\"a \\\"b\\\" \\\\ c\\nd\"");
    }
}
