//! The nearest known name for one that is not known.

use base::typed_toml::distance;

use crate::error::AppError;

/// Letters that may differ before a name is no longer taken for a misspelled one.
const LETTERS_MOST: usize = 3;

/// The nearest of the known names; `None` when none is near.
#[must_use]
pub fn nearest<'k>(typed: &str, known: &[&'k str]) -> Option<&'k str> {
    let typed = typed.trim().to_lowercase().replace([' ', '_'], "-");
    // Figures are not misspelled words: 70 is no slip of 50.
    if typed.parse::<f64>().is_ok() {
        return None;
    }
    let begins = |name: &&&str| typed.len() >= LETTERS_MOST && name.starts_with(&typed);
    known.iter().find(begins).copied().or_else(|| {
        let away = |name: &str| distance(name, &typed);
        known
            .iter()
            .copied()
            .min_by_key(|name| away(name))
            .filter(|name| away(name) <= LETTERS_MOST)
    })
}

/// The error for a name that is not known: the nearest one, then all of them.
#[must_use]
pub fn unknown(kind: &str, typed: &str, known: &[&str]) -> AppError {
    let list = match known {
        [] => "known: none".to_string(),
        known => format!("known: {}", known.join(", ")),
    };
    let hint = match nearest(typed, known) {
        Some(near) => format!("did you mean {near}? {list}"),
        None => list,
    };
    AppError::request(format!("no {kind} {typed:?}"), hint)
}

#[cfg(test)]
mod tests {
    use super::nearest;

    #[test]
    fn prop_the_nearest_name_is_found_and_a_far_one_is_not() {
        let known = ["steep-turn", "chandelle", "lazy-eight", "wing-over"];
        let cases = [
            ("chandele", Some("chandelle")),
            ("Wing Over", Some("wing-over")),
            ("lazy", Some("lazy-eight")),
            ("steep_turn", Some("steep-turn")),
            ("parachute", None),
            ("70", None),
            ("", None),
        ];
        for (typed, expected) in cases {
            assert_eq!(nearest(typed, &known), expected, "{typed}");
        }
    }
}
