//! Ballooned in the roll-out.

use crate::refly::Mend;

use super::{Estimate, Fault, Past, Seen, above, told};

pub(super) const FAULT: Fault = Fault {
    id: "ballooned",
    what: "height was gained while the bank came off",
    why: "the pull that holds a steep turn lifts a level airplane",
    measured: "steep turn: height at the end more than 70 ft above that where the roll-out was begun",
    remedy: "release the pull with the bank: as it passes 30 degrees most of it is gone",
    causes: &["the pull was kept in the roll-out"],
    drill: "roll-outs only, from a settled steep turn, eyes on the horizon",
    sided: false,
    mend: Some(Mend::HeightHeld),
    source: "training-aid",
    look,
};

const MOST_FT: f64 = 70.0;
const ALLOWED_FT: f64 = 50.0;

fn look(seen: &Seen<'_>) -> Option<Past> {
    if !seen.is("steep-turn") || super::height_gained::FAULT.is_seen(seen) {
        return None;
    }
    let (end, begun) = (seen.part.height_change(seen.part.end), seen.part.between(0.85, 0.9));
    let before = seen.part.height_change(*begun.first()?);
    let gained = Estimate {
        value: end.value - before.value,
        sigma: 0.5 * base::math::hypot(end.sigma, before.sigma),
    };
    let severity = above(gained, MOST_FT, ALLOWED_FT)?;
    Some(Past { evidence: format!("{} gained in the roll-out", told(gained, " ft")), severity })
}
