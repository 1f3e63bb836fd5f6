//! Nose low at the end.

use crate::refly::Mend;

use super::{Fault, Past, Seen, below, told};

pub(super) const FAULT: Fault = Fault {
    id: "nose-low-at-the-end",
    what: "the nose is below where it should be when the turn is done",
    why: "a chandelle ends fast with height unused; a lazy eight or wing-over ends in a dive",
    measured: "chandelle: pitch change at the end under 0.6 of the greatest; lazy eight and wing-over: pitch more than 3 degrees below that of the entry",
    remedy: "chandelle: keep adding back pressure through the second half; else: begin to raise the nose at the 135-degree point",
    causes: &["the pull was not increased as the speed fell", "the nose was brought up too late"],
    drill: "fly the attitude of the end on its own, wings level, slowing down, until it is known by sight",
    sided: false,
    mend: Some(Mend::NoseHeld),
    source: "training-aid",
    look,
};

const CHANDELLE_SHARE: f64 = 0.6;
const LOWEST_DEG: f64 = -3.0;
const ALLOWED_DEG: f64 = 2.0;

fn look(seen: &Seen<'_>) -> Option<Past> {
    let end = seen.get("pitch_change_at_end_deg")?;
    // What ends before its end ends with the nose where it is there.
    let broken_off =
        super::stopped_short::FAULT.is_seen(seen) || super::rolled_out_early::FAULT.is_seen(seen);
    if broken_off && !seen.is("chandelle") {
        return None;
    }
    let line_deg = match seen.part.maneuver {
        "chandelle" => CHANDELLE_SHARE * seen.get("pitch_change_greatest_deg")?.value,
        "lazy-eight" | "wing-over" => LOWEST_DEG,
        _ => return None,
    };
    let severity = below(end, line_deg, ALLOWED_DEG)?;
    Some(Past {
        evidence: format!(
            "pitch at the end {} against entry, at least {line_deg:.0}° wanted",
            told(end, "°")
        ),
        severity,
    })
}
