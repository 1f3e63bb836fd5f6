//! Radius varies.

use super::{Fault, Past, Seen, above, told};

pub(super) const FAULT: Fault = Fault {
    id: "radius-varies",
    what: "the distance to the point or the arc over the ground was not kept",
    why: "keeping it against the wind is what the figure is for",
    measured: "greatest departure from the circle that fits the track best: more than 15 % of its radius",
    remedy: "steepest bank where the ground goes by fastest, shallowest where it goes by slowest; change it all the time",
    causes: &["bank kept while the wind changed sides", "bank changed late"],
    drill: "say at each quarter whether the bank must grow or shrink next",
    sided: false,
    mend: None,
    source: "ACS-P",
    look,
};

const MOST_PERCENT: f64 = 15.0;
const ALLOWED_PERCENT: f64 = 5.0;

fn look(seen: &Seen<'_>) -> Option<Past> {
    let off = seen.get("radius_error_greatest_percent")?;
    let severity = above(off, MOST_PERCENT, ALLOWED_PERCENT)?;
    Some(Past { evidence: format!("radius off by {} at most", told(off, " %")), severity })
}
