//! Hunting in the roll-out.

use crate::part::Part;

use super::{Fault, Past, Seen, below, told};

pub(super) const FAULT: Fault = Fault {
    id: "roll-out-hunting",
    what: "the wings came level, went past and had to be brought back",
    why: "the heading and the height are chased when they should be finished",
    measured: "bank over 6 degrees the other way within five seconds of wings level",
    remedy: "stop the roll with the same hand and foot that began it, a little before level",
    causes: &["roll-out too quick", "aileron without rudder"],
    drill: "roll out of 30 degrees of bank to dead level, eyes on the horizon, ten times each way",
    sided: false,
    mend: None,
    source: "training-aid",
    look,
};

const BACK_DEG: f64 = -6.0;
const ALLOWED_DEG: f64 = 4.0;
const AFTER: usize = 20;

fn look(seen: &Seen<'_>) -> Option<Past> {
    let ends_level =
        ["steep-turn", "chandelle", "standard-rate-turn"].contains(&seen.part.maneuver);
    let last = seen.part.trace.len() - 1;
    let places = seen.part.level
        ..=(seen.part.level + AFTER).min(last).min(seen.part.end.max(seen.part.level + 8));
    let (_, least) = Part::extreme(places, -1.0, |i| seen.part.bank(i)).filter(|_| ends_level)?;
    let severity = below(least, BACK_DEG, ALLOWED_DEG)?;
    Some(Past { evidence: format!("bank {} after wings level", told(least, "°")), severity })
}
