//! Recovered before the stall.

use super::{Estimate, Fault, Past, Seen, above, below, told};

pub(super) const FAULT: Fault = Fault {
    id: "recovered-early",
    what: "the recovery was begun before the stall was reached",
    why: "the stall itself was not seen: its signs and the recovery from it are what the exercise is for",
    measured: "greatest incidence surely under the 16 degrees about which usual wings stall, where pitch is recorded; else slowest airspeed above the power-off stall at the typical mass, which needs the airplane (the break itself is quicker than a reconstruction follows)",
    remedy: "hold the nose where it is until it falls by itself, then recover",
    causes: &["the first sign was taken for the stall", "dislike of the nose falling"],
    drill: "dual: the approach with horn, buffet and break said aloud as each comes",
    sided: false,
    mend: None,
    source: "ACS-P",
    look,
};

const ALLOWED_KT: f64 = 2.0;
/// Usual wings stall about there, one from another by so much, flaps and rigging of the wing included (common practice, no source).
const STALL_DEG: f64 = 16.0;
const WINGS_SIGMA_DEG: f64 = 1.0;
const ALLOWED_DEG: f64 = 2.0;

fn look(seen: &Seen<'_>) -> Option<Past> {
    if !seen.stalls() {
        return None;
    }
    by_incidence(seen).or_else(|| by_airspeed(seen))
}

/// Where pitch was recorded: a wing that never came near the incidence of the stall.
fn by_incidence(seen: &Seen<'_>) -> Option<Past> {
    // With bank and load on, pitch less path is no longer the incidence to a degree.
    seen.part.trace.recorded.as_ref().filter(|_| !seen.is("accelerated-stall"))?;
    let most = seen.incidence_greatest()?;
    let sigma = base::math::hypot(most.sigma, WINGS_SIGMA_DEG);
    let severity = below(Estimate { sigma, ..most }, STALL_DEG, ALLOWED_DEG)?;
    Some(Past { evidence: format!("incidence {} at the most", told(most, "°")), severity })
}

fn by_airspeed(seen: &Seen<'_>) -> Option<Past> {
    let over = seen.over_stall_least()?;
    let severity = above(over, 0.0, ALLOWED_KT)?;
    Some(Past { evidence: format!("slowest {} over the stall", told(over, " kt")), severity })
}
