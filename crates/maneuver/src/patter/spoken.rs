//! How many words a sentence is when it is said: numbers as they are read out.

/// Words that are spoken for a sentence.
///
/// Words are what blanks and dashes part; a number counts as the words it is read out with ("97" ninety seven, "3,500" three
/// thousand five hundred, "1.8" one point eight).
#[must_use]
pub fn spoken_words(text: &str) -> usize {
    text.split(|c: char| c.is_whitespace() || c == '-' || c == '/').map(token_words).sum()
}

fn token_words(token: &str) -> usize {
    let kept: String = token.chars().filter(|c| c.is_alphanumeric() || *c == '.').collect();
    let kept = kept.trim_matches('.');
    if kept.is_empty() {
        return 0;
    }
    let is_number = kept.chars().all(|c| c.is_ascii_digit() || c == '.');
    if !is_number {
        return 1;
    }
    let (whole, decimals) = kept.split_once('.').unwrap_or((kept, ""));
    let point = if decimals.is_empty() { 0 } else { 1 + decimals.len() };
    whole.parse().map_or(whole.len(), number_words) + point
}

/// Words of a whole number read out.
fn number_words(number: u64) -> usize {
    match number {
        0..=20 => 1,
        21..=99 => 1 + usize::from(!number.is_multiple_of(10)),
        100..=999 => 2 + rest_words(number % 100),
        1000..=999_999 => number_words(number / 1000) + 1 + rest_words(number % 1000),
        _ => number.to_string().len(),
    }
}

fn rest_words(rest: u64) -> usize {
    if rest == 0 { 0 } else { number_words(rest) }
}
