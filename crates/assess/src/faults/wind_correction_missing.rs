//! Wind correction missing.

use super::{Fault, Past, Seen, above, told};

pub(super) const FAULT: Fault = Fault {
    id: "wind-correction-missing",
    what: "the bank stayed the same all round although the wind did not",
    why: "the track over the ground is then an egg or a chain of loops",
    measured: "bank in the middle of the figure spread by less than 6 degrees while the radius is off by more than 15 %",
    remedy: "roll in with the most bank downwind, and shallow it as the ground slows down",
    causes: &["the figure was flown as a turn, not as a track"],
    drill: "the same circle with the bank said aloud at each quarter",
    sided: false,
    mend: None,
    source: "AFH-3C",
    look,
};

const SPREAD_DEG: f64 = 6.0;
const MOST_PERCENT: f64 = 15.0;
const ALLOWED_PERCENT: f64 = 5.0;

fn look(seen: &Seen<'_>) -> Option<Past> {
    let off = seen.get("radius_error_greatest_percent")?;
    let severity = above(off, MOST_PERCENT, ALLOWED_PERCENT)?;
    let middle = seen.part.between(0.2, 0.8);
    let most = middle.iter().map(|&i| seen.part.bank(i).value).fold(f64::MIN, f64::max);
    let least = middle.iter().map(|&i| seen.part.bank(i).value).fold(f64::MAX, f64::min);
    if most - least > SPREAD_DEG {
        return None;
    }
    // The radius says how bad it is; this says why, so it stands before it.
    let evidence =
        format!("bank spread {:.0}° all round, radius off by {}", most - least, told(off, " %"));
    Some(Past { evidence, severity: severity + 0.5 })
}
