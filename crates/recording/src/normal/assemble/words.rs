//! Words about lines and numbers of things.

use super::Draft;
use crate::normal::NoteKind;

/// "1 row", "2 rows".
pub(crate) fn counted(count: usize, one: &str, many: &str) -> String {
    format!("{count} {}", if count == 1 { one } else { many })
}

/// "line 3", "lines 3, 7, 9 and 12 more"; lines that are not known are not listed.
pub(crate) fn lines_text(lines: &[u64]) -> String {
    let known: Vec<u64> = lines.iter().copied().filter(|line| *line > 0).collect();
    match known.as_slice() {
        [] => "lines not known".into(),
        [one] => format!("line {one}"),
        all => format!("lines {}", line_list(all)),
    }
}

/// "3, 7, 9 and 12 more".
pub(crate) fn line_list(lines: &[u64]) -> String {
    let shown: Vec<String> = lines.iter().take(5).map(u64::to_string).collect();
    let rest = lines.len().saturating_sub(5);
    if rest > 0 { format!("{} and {rest} more", shown.join(", ")) } else { shown.join(", ") }
}

/// A text of lines whose last one has no end may have been cut inside a number, and nobody can tell.
pub(crate) fn tell_open_end(text: &[u8], draft: &mut Draft) {
    let last = text.trim_ascii_end();
    if last.len() == text.len() && !text.is_empty() {
        let at = last.iter().rposition(|&byte| byte == b'\n').map_or(0, |at| at + 1);
        let shown = String::from_utf8_lossy(&last[at..]);
        let shown: String = shown.chars().rev().take(12).collect();
        let shown: String = shown.chars().rev().collect();
        let text = format!(
            "the last line has no end ('...{shown}'): if the file was cut there, its last value is short"
        );
        draft.note(NoteKind::Odd, text);
    }
}
