//! Numbers as people read them: fixed decimals and a real minus sign, so that one quantity looks alike in every sentence.

/// Fixed decimals with a real minus sign; minus zero is written as zero, what is not finite as a dash.
#[must_use]
pub fn fixed(value: f64, decimals: usize) -> String {
    if !value.is_finite() {
        return "–".into();
    }
    let text = format!("{:.decimals$}", value.abs());
    if value < 0.0 && !nil(&text) { format!("−{text}") } else { text }
}

/// As [`fixed`], with a plus where the sign is the news.
#[must_use]
pub fn signed(value: f64, decimals: usize) -> String {
    let text = fixed(value, decimals);
    if value > 0.0 && value.is_finite() && !nil(&text) { format!("+{text}") } else { text }
}

fn nil(text: &str) -> bool {
    text.bytes().all(|byte| matches!(byte, b'0' | b'.'))
}

#[cfg(test)]
mod tests {
    use super::{fixed, signed};

    #[test]
    fn prop_minus_is_a_minus_and_nil_has_no_sign() {
        assert_eq!(fixed(-17.4, 0), "−17");
        assert_eq!(fixed(-0.04, 1), "0.0");
        assert_eq!(fixed(f64::NAN, 1), "–");
        assert_eq!(signed(16.0, 0), "+16");
        assert_eq!(signed(0.3, 0), "0");
        assert_eq!(signed(-2.5, 1), "−2.5");
        assert_eq!(signed(f64::INFINITY, 1), "–");
    }
}
