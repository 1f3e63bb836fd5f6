//! Conversion factors live in `base::factors` and nowhere else.

use super::Tree;

/// Digits of factors as they would be typed, underscores taken out, and the constant to use instead.
const STRAYS: &[(&str, &str)] = &[
    ("0.3048", "M_PER_FT"),
    ("3.2808", "M_PER_FT"),
    ("1852.0", "M_PER_NM"),
    ("0.51444", "MPS_PER_KT"),
    ("1.9438", "MPS_PER_KT"),
    ("1.68781", "MPS_PER_KT"),
    ("0.453592", "KG_PER_LB"),
    ("2.20462", "KG_PER_LB"),
    ("9.80665", "STANDARD_GRAVITY_MPS2"),
    ("9.81", "STANDARD_GRAVITY_MPS2"),
    ("33.8638", "PA_PER_INHG"),
    ("3386.", "PA_PER_INHG"),
    ("745.69", "W_PER_HP"),
    ("273.15", "K_AT_ZERO_C"),
    ("57.2957", "RAD_PER_DEG"),
    ("0.0174532", "RAD_PER_DEG"),
    ("0.00508", "MPS_PER_FPM"),
    ("196.85", "MPS_PER_FPM"),
    ("4.44822", "N_PER_LBF"),
];

pub(super) fn check(tree: &Tree) -> Vec<String> {
    let code = |path: &str| {
        (path.starts_with("crates/") && path.contains("/src/") || path.starts_with("xtask/"))
            && (path.ends_with(".rs") || path.ends_with(".js"))
            && path != "crates/base/src/factors.rs"
            && path != "xtask/src/tidy/factors.rs"
            && !path.ends_with("tests.rs")
            && !path.contains("/tests/")
    };
    let mut wrong = Vec::new();
    for (path, text) in tree.files(code) {
        for (number, line) in text.lines().enumerate() {
            let line_code = line.split("//").next().unwrap_or_default().replace('_', "");
            for (digits, constant) in STRAYS {
                if stands_alone(&line_code, digits) {
                    wrong.push(format!(
                        "{path}:{}: {digits} is base::factors::{constant}",
                        number + 1
                    ));
                }
            }
        }
    }
    wrong
}

/// Whether the digits occur as the beginning of a number, not inside another one.
fn stands_alone(line: &str, digits: &str) -> bool {
    line.match_indices(digits).any(|(at, _)| {
        let before = line[..at].chars().next_back();
        !before.is_some_and(|character| character.is_ascii_digit() || character == '.')
    })
}

#[cfg(test)]
mod tests {
    use super::stands_alone;

    #[test]
    fn a_stray_factor_is_seen_and_a_longer_number_is_not() {
        assert!(stands_alone("let height_m = height_ft * 0.3048;", "0.3048"));
        assert!(stands_alone("x / 1852.0", "1852.0"));
        assert!(!stands_alone("let residual = 10.3048;", "0.3048"));
        assert!(!stands_alone("let n = 31852.0;", "1852.0"));
    }
}
