//! Off heading.

use super::{Estimate, Fault, Past, Seen, above, told};

pub(super) const FAULT: Fault = Fault {
    id: "off-heading",
    what: "a figure that ends where it began, or opposite, ended off that heading",
    why: "yaw or bank crept in: the figure was not in one plane",
    measured: "loop, rolls, Cuban eight: heading at the end against entry; half Cuban eight, Immelmann, split-S: against the opposite; more than 10 degrees",
    remedy: "check wings against the horizon at both sides before the pull and at the top",
    causes: &[
        "bank on while pulling",
        "rudder not changed with speed and power",
        "roll not stopped on its line",
    ],
    drill: "dual: the first quarter along a road, looking at both wing tips",
    sided: false,
    mend: None,
    source: "training-aid",
    look,
};

const MOST_DEG: f64 = 10.0;

fn look(seen: &Seen<'_>) -> Option<Past> {
    let wanted = match seen.part.maneuver {
        "loop" | "aileron-roll" | "barrel-roll" | "cuban-eight" => 0.0,
        "half-cuban-eight" | "immelmann" | "split-s" => 180.0,
        _ => return None,
    };
    let heading = &seen.part.trace.heading_deg;
    let (start, end) = (seen.part.start, seen.part.end);
    let turned = heading.value[end] - heading.value[start] - wanted;
    let off = base::math::wrap_pi(turned * base::factors::RAD_PER_DEG) / base::factors::RAD_PER_DEG;
    let off = Estimate {
        value: off.abs(),
        sigma: base::math::hypot(heading.sigma[start], heading.sigma[end]),
    };
    let severity = above(off, MOST_DEG, MOST_DEG)?;
    Some(Past { evidence: format!("heading off by {}", told(off, "°")), severity })
}
