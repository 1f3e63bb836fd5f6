//! Drifts downwind.

use super::{Estimate, Fault, Past, Seen, above};

pub(super) const FAULT: Fault = Fault {
    id: "drifts-downwind",
    what: "the circle came round downwind of where it began",
    why: "the point is lost after a few turns, and so is the field that a steep spiral aims at",
    measured: "place after each full turn against the begin: more than a quarter of the radius away",
    remedy: "more bank downwind, less upwind; from the second turn on look ahead to the quarter that comes",
    causes: &["too little bank downwind", "too much bank upwind"],
    drill: "one turn, stop, say where the wind took it; then again",
    sided: false,
    mend: None,
    source: "AFH-3C",
    look,
};

const SHARE: f64 = 0.3;
const ALLOWED: f64 = 0.2;

fn look(seen: &Seen<'_>) -> Option<Past> {
    if !(seen.is("turns-around-a-point") || seen.is("steep-spiral")) {
        return None;
    }
    let (north, east) = (seen.part.trace.north_m.as_ref()?, seen.part.trace.east_m.as_ref()?);
    let (radius, turned) = (seen.get("radius_mean_m")?, seen.part.turned().value);
    let around = (turned / 360.0).floor();
    let (begin, _) = seen.part.reached(turned - 360.0 * around)?;
    let (end, _) = seen.part.reached(turned)?;
    let away = base::math::hypot(
        north.value[end] - north.value[begin],
        east.value[end] - east.value[begin],
    ) / around.max(1.0);
    let share = Estimate {
        value: away / radius.value,
        sigma: base::math::hypot(north.sigma[end], east.sigma[end]) / radius.value,
    };
    let severity = above(share, SHARE, ALLOWED)?;
    Some(Past {
        evidence: format!(
            "{away:.0} m from the begin after a full turn, radius {:.0} m",
            radius.value
        ),
        severity,
    })
}
