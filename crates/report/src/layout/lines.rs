//! Lines: text broken where the Unicode line breaking rules (UAX 14) allow it; a longer word where it must be.

use unicode_linebreak::{BreakOpportunity, linebreaks};

use super::face::{Cut, Widths};

/// Lines of at most `width_em`. A text of several lines keeps its own ends of line. Never empty.
pub(crate) fn broken(widths: &mut Widths, cut: Cut, text: &str, width_em: f64) -> Vec<String> {
    let mut lines = vec![];
    let (mut line, mut filled) = (String::new(), 0.0);
    let mut from = 0;
    for (to, opportunity) in linebreaks(text) {
        let part = &text[from..to];
        from = to;
        let word = part.trim_end();
        let wide = widths.of(cut, word);
        if filled + wide > width_em && !line.is_empty() {
            lines.push(std::mem::take(&mut line));
            filled = 0.0;
        }
        if wide > width_em {
            let mut parts = cut_up(widths, cut, word, width_em);
            let last = parts.pop().unwrap_or_default();
            lines.append(&mut parts);
            filled = widths.of(cut, &last);
            line = last + &part[word.len()..];
        } else {
            line.push_str(part);
            filled += wide;
        }
        filled += if part.len() > word.len() { widths.of(cut, " ") } else { 0.0 };
        if opportunity == BreakOpportunity::Mandatory && to < text.len() {
            lines.push(std::mem::take(&mut line));
            filled = 0.0;
        }
    }
    lines.push(line);
    lines.iter().map(|line| clean(line.trim_end())).collect()
}

/// The widest part of a text that is not broken, ems.
pub(crate) fn widest_word(widths: &mut Widths, cut: Cut, text: &str) -> f64 {
    let (mut from, mut widest) = (0, 0.0f64);
    for (to, _) in linebreaks(text) {
        widest = widest.max(widths.of(cut, text[from..to].trim_end()));
        from = to;
    }
    widest
}

/// A word wider than a line: after a mark that parts it where there is one late enough, else by letters.
fn cut_up(widths: &mut Widths, cut: Cut, word: &str, width_em: f64) -> Vec<String> {
    let mut parts = vec![String::new()];
    for letter in word.chars() {
        let part = parts.last_mut().expect("there is a part");
        let letters = part.chars().count();
        part.push(letter);
        if letters == 0 || widths.of(cut, part) <= width_em {
            continue;
        }
        part.pop();
        let marks = ['_', '-', '/', '.', ','];
        let at =
            part.rfind(marks).filter(|at| at * 2 >= part.len()).map_or(part.len(), |at| at + 1);
        let rest = part.split_off(at) + &letter.to_string();
        parts.push(rest);
    }
    parts
}

/// Control characters replaced: no face has them.
fn clean(text: &str) -> String {
    text.chars().map(|letter| if letter.is_control() { ' ' } else { letter }).collect()
}
