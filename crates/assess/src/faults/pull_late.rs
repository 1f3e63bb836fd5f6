//! Pull late in the roll-in.

use crate::refly::Mend;

use super::{Fault, Past, Seen, below, told};

pub(super) const FAULT: Fault = Fault {
    id: "pull-late",
    what: "the airplane sank while the bank went on",
    why: "the height is lost in the first 45 degrees and then chased all round",
    measured: "steep turn: height more than 70 ft below entry within the first 60 degrees of turn",
    remedy: "begin the pull as the bank passes 30 degrees",
    causes: &["the pull came after the bank"],
    drill: "roll in slowly and stop at 30 degrees: pull, then on to the full bank",
    sided: false,
    mend: Some(Mend::HeightHeld),
    source: "training-aid",
    look,
};

const MOST_FT: f64 = -70.0;
const ALLOWED_FT: f64 = 50.0;

fn look(seen: &Seen<'_>) -> Option<Past> {
    if !seen.is("steep-turn") || super::height_lost::FAULT.is_seen(seen) {
        return None;
    }
    let early = seen.part.between_deg(0.0, 60.0);
    let (_, least) =
        crate::part::Part::extreme(early.into_iter(), -1.0, |i| seen.part.height_change(i))?;
    let severity = below(least, MOST_FT, ALLOWED_FT)?;
    Some(Past { evidence: format!("height {} in the roll-in", told(least, " ft")), severity })
}
