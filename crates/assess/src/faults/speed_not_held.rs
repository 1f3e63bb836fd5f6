//! Speed not held.

use super::{Estimate, Fault, Past, Seen, above, told};

pub(super) const FAULT: Fault = Fault {
    id: "speed-not-held",
    what: "the airspeed wandered in a figure that is flown at one speed",
    why: "a steep spiral or a figure over the ground is flown by one speed: with it radius and height go",
    measured: "greatest change of indicated airspeed from its own mean: steep spiral more than 12 kt, figures over the ground more than 12 kt",
    remedy: "pitch for speed with the power as set; look at the nose, not at the needle",
    causes: &["nose allowed to drop as the bank grew", "power changed on the way"],
    drill: "descending turns at one speed, bank changed from 20 to 45 degrees and back",
    sided: false,
    mend: None,
    source: "ACS-C",
    look,
};

const MOST_KT: f64 = 12.0;
const ALLOWED_KT: f64 = 6.0;

fn look(seen: &Seen<'_>) -> Option<Past> {
    let kept = ["steep-spiral", "turns-around-a-point", "s-turns", "rectangular-course"];
    if !kept.contains(&seen.part.maneuver) {
        return None;
    }
    let line = &seen.part.trace.cas_kt;
    let middle = seen.part.between(0.1, 0.95);
    let mean = middle.iter().map(|&i| line.value[i]).sum::<f64>() / middle.len().max(1) as f64;
    let off = |i: usize| Estimate { value: (line.value[i] - mean).abs(), sigma: line.sigma[i] };
    let (_, most) = crate::part::Part::extreme(middle.into_iter(), 1.0, off)?;
    let severity = above(most, MOST_KT, ALLOWED_KT)?;
    Some(Past { evidence: format!("airspeed {} off its mean", told(most, " kt")), severity })
}
