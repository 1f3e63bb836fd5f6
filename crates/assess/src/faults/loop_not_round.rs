//! Loop not round.

use super::{Estimate, Fault, Past, Seen, above};

pub(super) const FAULT: Fault = Fault {
    id: "loop-not-round",
    what: "the radius of the loop changed on the way",
    why: "a round loop needs a pull that changes with the speed; a wrong one stresses the airplane at the bottom or leaves it slow at the top",
    measured: "radius from airspeed over pitch rate, by quarters of the pitch travelled: greatest over least more than 2.2",
    remedy: "firm pull at the bottom, ease it over the top, firm again as the speed comes back",
    causes: &["the pull was the same all round", "the pull at the bottom was too hard or too soft"],
    drill: "dual, with the aerobatic instructor: the load called at the bottom, the side and the top",
    sided: false,
    mend: None,
    source: "training-aid",
    look,
};

const RATIO: f64 = 2.2;
const ALLOWED: f64 = 0.6;
const RATIO_SIGMA: f64 = 0.15;

fn look(seen: &Seen<'_>) -> Option<Past> {
    let radii = seen.loop_radii()?;
    let most = radii.iter().copied().fold(f64::MIN, f64::max);
    let least = radii.iter().copied().fold(f64::MAX, f64::min);
    let ratio = Estimate { value: most / least, sigma: RATIO_SIGMA * most / least };
    let severity = above(ratio, RATIO, ALLOWED)?;
    Some(Past {
        evidence: format!(
            "radius by quarters {:.0}, {:.0}, {:.0}, {:.0} m",
            radii[0], radii[1], radii[2], radii[3]
        ),
        severity,
    })
}
