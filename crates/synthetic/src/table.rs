//! Fixes as a table of comma-separated values, the form our own reader takes without a question.

use base::time::UtcInstant;
use recording::Fix;
use std::fmt::Write as _;

/// Header of the table.
const HEADER: &str =
    "utc,latitude_deg,longitude_deg,height_msl_m,ground_speed_mps,track_deg,climb_mps";

/// The table: a comment of one or more lines (written with `# `), a header, one row a fix. What a fix does not carry is an
/// empty cell.
#[must_use]
pub fn csv(comment: &str, start: UtcInstant, fixes: &[Fix]) -> String {
    let mut out = String::with_capacity(80 * fixes.len() + 400);
    for line in comment.lines() {
        let _ = writeln!(out, "# {line}");
    }
    let _ = writeln!(out, "{HEADER}");
    for fix in fixes {
        let utc = start.plus_seconds(fix.time_s);
        let _ = write!(out, "{utc},{:.7},{:.7}", fix.latitude_deg, fix.longitude_deg);
        for (value, digits) in
            [(fix.height_m, 2), (fix.ground_speed_mps, 2), (fix.track_deg, 2), (fix.climb_mps, 2)]
        {
            out.push(',');
            if let Some(value) = value {
                let _ = write!(out, "{value:.digits$}");
            }
        }
        out.push('\n');
    }
    out
}
