//! Power changed.

use crate::refly::Mend;

use super::{Estimate, Fault, Past, Seen, above};

pub(super) const FAULT: Fault = Fault {
    id: "power-changed",
    what: "power was taken off in a figure that is flown with the power as set",
    why: "energy is missing at the end: lower, slower, or with the nose down",
    measured: "thrust over weight from the energy rate and the drag of a usual airplane (of the one flown where it is known), means over three seconds: a quarter less within five seconds, past the entry",
    remedy: "set the power once, hand off the throttle until the figure is finished",
    causes: &[
        "the hand stayed on the throttle",
        "power taken off against the speed of the descent",
    ],
    drill: "name the power setting at the entry and again at the end, hand on the knee between",
    sided: false,
    mend: Some(Mend::PowerHeld),
    source: "AFH-3C",
    look,
};

/// Share of the thrust that is gone.
const SHARE: f64 = 0.25;
const ALLOWED: f64 = 0.15;
/// What drag and speed that are not known well enough leave open; more where both change quickly.
const SHARE_SIGMA: f64 = 0.06;
const SHARE_SIGMA_QUICK: f64 = 0.15;

fn look(seen: &Seen<'_>) -> Option<Past> {
    if !["chandelle", "lazy-eight", "wing-over"].contains(&seen.part.maneuver) {
        return None;
    }
    let (before, after) = crate::refly::power(seen.part)?;
    let sigma = if seen.is("wing-over") { SHARE_SIGMA_QUICK } else { SHARE_SIGMA };
    let gone = Estimate { value: 1.0 - after / before, sigma };
    let severity = above(gone, SHARE, ALLOWED)?;
    let evidence =
        format!("thrust fell from {:.0} to {:.0} % of the weight", 100.0 * before, 100.0 * after);
    Some(Past { evidence, severity })
}
