//! The documents against their schemas, the committed copies, and hostile names.

use crate::number::{rounded, significant};
use crate::schema;

#[test]
#[allow(clippy::disallowed_methods, reason = "compares with the committed copies")]
fn golden_schemas_are_the_committed_ones() {
    for (file, make) in schema::ALL {
        let path = format!("{}/../../docs/reference/{file}", env!("CARGO_MANIFEST_DIR"));
        let committed = std::fs::read_to_string(&path).unwrap_or_default();
        let made = crate::to_json(&make());
        assert!(committed == made, "docs/reference/{file} is stale: run `cargo xtask schemas`");
    }
}

#[test]
fn prop_rounding_has_no_minus_zero_and_keeps_decimals() {
    assert_eq!(rounded(-0.0004, 3).to_string(), "0");
    assert_eq!(rounded(1.23456, 3).to_string(), "1.235");
    assert_eq!(rounded(-12.5, 0).to_string(), "-13");
}

#[test]
fn prop_significant_digits_are_kept_at_every_size() {
    assert_eq!(significant(1_234_567.0, 3).to_string(), "1230000");
    assert_eq!(significant(-1.23456e-7, 3).to_string(), "-0.000000123");
    assert_eq!(significant(-0.0, 3).to_string(), "0");
    assert!(significant(f64::NAN, 3).is_nan());
}
