//! Pinched top.

use super::{Estimate, Fault, Past, Seen, below};

pub(super) const FAULT: Fault = Fault {
    id: "pinched-top",
    what: "the top of the loop was tighter than the rest",
    why: "the pull is wanted least where the speed is least: the stall is near there, upside down",
    measured: "radius of the two top quarters under 0.55 of the two bottom ones",
    remedy: "float the top: ease the pull as the horizon comes back",
    causes: &["the pull was not eased over the top"],
    drill: "dual: look back for the horizon early and let it come",
    sided: false,
    mend: None,
    source: "training-aid",
    look,
};

const SHARE: f64 = 0.45;
const ALLOWED: f64 = 0.1;
const SHARE_SIGMA: f64 = 0.05;

fn look(seen: &Seen<'_>) -> Option<Past> {
    let radii = seen.loop_radii()?;
    let share = (radii[1] + radii[2]) / (radii[0] + radii[3]);
    let severity = below(Estimate { value: share, sigma: SHARE_SIGMA }, SHARE, ALLOWED)?;
    Some(Past {
        evidence: format!("radius at the top {:.0} % of that at the bottom", 100.0 * share),
        severity,
    })
}
