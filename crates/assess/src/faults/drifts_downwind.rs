//! Drifts downwind.

use super::{Estimate, Fault, Past, Seen, above};

pub(super) const FAULT: Fault = Fault {
    id: "drifts-downwind",
    what: "the circle came round downwind of where it began",
    why: "the point is lost after a few turns, and so is the field that a steep spiral aims at",
    measured: "place after each full turn against that of the same heading before: more than three tenths of the radius away; one turn alone does not show it",
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
/// The circle begins so far into the turn and ends so far before its end.
const ROLLED_IN_DEG: f64 = 40.0;
const ROLLING_OUT_DEG: f64 = 30.0;

fn look(seen: &Seen<'_>) -> Option<Past> {
    if !(seen.is("turns-around-a-point") || seen.is("steep-spiral")) {
        return None;
    }
    let (north, east) = (seen.part.trace.north_m.as_ref()?, seen.part.trace.east_m.as_ref()?);
    let radius = seen.get("radius_mean_m")?;
    // On one circle in a steady wind one heading belongs to one place: places of the same heading, a full turn or more apart, both
    // clear of the rolls in and out.
    let around = ((seen.part.turned().value - ROLLED_IN_DEG - ROLLING_OUT_DEG) / 360.0).floor();
    if around < 1.0 {
        return None;
    }
    let (begin, _) = seen.part.reached(ROLLED_IN_DEG)?;
    let (end, _) = seen.part.reached(ROLLED_IN_DEG + 360.0 * around)?;
    let away = base::math::hypot(
        north.value[end] - north.value[begin],
        east.value[end] - east.value[begin],
    ) / around;
    let share = Estimate {
        value: away / radius.value,
        sigma: base::math::hypot(north.sigma[end], east.sigma[end]) / radius.value,
    };
    let severity = above(share, SHARE, ALLOWED)?;
    Some(Past {
        evidence: format!("{away:.0} m away after each full turn, radius {:.0} m", radius.value),
        severity,
    })
}
