//! The axes of a device: whether its accelerations count as a specific force does (a device at rest reads one g away from
//! the ground) or the other way round, as some phones write them. The rotation in turns tells, else the magnetic field.

use super::assemble::{Draft, counted, median};
use super::oddities::at;
use super::{Fix, NoteKind, QuantityKind as Q, Series};
use base::factors::RAD_PER_DEG;
use base::math;

const FORCE: [Q; 3] = [Q::DeviceForceXMps2, Q::DeviceForceYMps2, Q::DeviceForceZMps2];
const RATE: [Q; 3] = [Q::DeviceRateXRadps, Q::DeviceRateYRadps, Q::DeviceRateZRadps];
const FIELD: [Q; 3] =
    [Q::DeviceFieldXMicrotesla, Q::DeviceFieldYMicrotesla, Q::DeviceFieldZMicrotesla];
/// Turns of the track at least this fast say something, rad/s.
const TURN_LEAST_RADPS: f64 = 4.0 * RAD_PER_DEG;
/// Turns faster than this are slips of the receiver, rad/s.
const TURN_MOST_RADPS: f64 = 0.7;
/// Fewer turns than this decide nothing.
const TURNS_LEAST: usize = 10;
/// Nearer to the equator the magnetic field is too level to tell up from down, degrees.
const LATITUDE_LEAST_DEG: f64 = 25.0;

/// Turns the sign of accelerations that are written as gravity pulls, and tells why; tells, too, when the way they count
/// could not be found out. Called when fixes and series are in order. Linear in the samples. Returns whether it turned them.
pub(crate) fn settle_sign(draft: &mut Draft, fixes: &[Fix]) -> bool {
    let Some(found) = found(draft, fixes) else { return false };
    let Some((opposite, why)) = found else {
        draft.note(
            NoteKind::Assumed,
            "accelerations of the device are taken as it feels them (at rest, one g away from the ground): nothing in the recording tells",
        );
        return false;
    };
    if !opposite {
        return false;
    }
    for series in draft.series.iter_mut().filter(|series| FORCE.contains(&series.quantity)) {
        series.values.iter_mut().for_each(|value| *value = -*value);
    }
    draft.note(
        NoteKind::Assumed,
        format!("accelerations of the device are written as gravity pulls, not as it is felt: sign turned ({why})"),
    );
    true
}

/// Which way they count and why; outer `None` without accelerations, inner when nothing tells.
fn found(draft: &Draft, fixes: &[Fix]) -> Option<Option<(bool, String)>> {
    let force = Axes::new(draft, FORCE)?;
    let rate = Axes::new(draft, RATE).and_then(|rate| by_turns(fixes, &force, &rate));
    Some(rate.or_else(|| by_field(fixes, &force, &Axes::new(draft, FIELD)?)))
}

/// Three axes by time.
struct Axes<'d> {
    all: [&'d Series; 3],
}

impl<'d> Axes<'d> {
    fn new(draft: &'d Draft, quantities: [Q; 3]) -> Option<Self> {
        let find = |quantity| draft.series.iter().find(|series| series.quantity == quantity);
        let [x, y, z] = quantities.map(find);
        Some(Self { all: [x?, y?, z?] })
    }
    fn at(&self, time_s: f64) -> Option<[f64; 3]> {
        let value = |axis: &Series| at(&axis.times_s, &axis.values, time_s);
        Some([value(self.all[0])?, value(self.all[1])?, value(self.all[2])?])
    }
}

fn dot(a: [f64; 3], b: [f64; 3]) -> f64 {
    a[0] * b[0] + a[1] * b[1] + a[2] * b[2]
}

/// In a turn to the right the device turns about what points down, whatever its mounting: felt force points up, gravity
/// down. The middle ratio of the rotation about the acceleration to the turn of the track.
fn by_turns(fixes: &[Fix], force: &Axes<'_>, rate: &Axes<'_>) -> Option<(bool, String)> {
    let mut ratios = Vec::new();
    for pair in fixes.windows(2) {
        let step_s = pair[1].time_s - pair[0].time_s;
        let (Some(from), Some(to)) = (pair[0].track_deg, pair[1].track_deg) else { continue };
        let turn = math::wrap_pi((to - from) * RAD_PER_DEG) / step_s;
        if !(step_s > 0.0
            && step_s < 3.0
            && (TURN_LEAST_RADPS..TURN_MOST_RADPS).contains(&turn.abs()))
        {
            continue;
        }
        let middle_s = f64::midpoint(pair[0].time_s, pair[1].time_s);
        if let (Some(force), Some(rate)) = (force.at(middle_s), rate.at(middle_s)) {
            let about = dot(force, rate) / dot(force, force).sqrt();
            if about.is_finite() {
                ratios.push(about / turn);
            }
        }
    }
    let count = ratios.len();
    let ratio = median(ratios).filter(|ratio| count >= TURNS_LEAST && ratio.abs() > 0.3)?;
    let turns = counted(count, "turning step", "turning steps");
    Some((
        ratio > 0.0,
        format!(
            "in {turns} the device turns {ratio:+.2} times as fast about them as the track does"
        ),
    ))
}

/// North of the equator the magnetic field points down, south of it up.
fn by_field(fixes: &[Fix], force: &Axes<'_>, field: &Axes<'_>) -> Option<(bool, String)> {
    let latitude_deg = median(fixes.iter().map(|fix| fix.latitude_deg).collect())?;
    if latitude_deg.abs() < LATITUDE_LEAST_DEG {
        return None;
    }
    let times_s = &field.all[0].times_s;
    let step = times_s.len().div_ceil(2000).max(1);
    let cosines = times_s.iter().step_by(step).filter_map(|time_s| {
        let (force, field) = (force.at(*time_s)?, field.at(*time_s)?);
        Some(dot(force, field) / (dot(force, force) * dot(field, field)).sqrt())
    });
    let cosine = median(cosines.collect()).filter(|cosine| cosine.abs() > 0.3)?;
    let opposite = (cosine > 0.0) == (latitude_deg > 0.0);
    Some((
        opposite,
        format!("the magnetic field lies {cosine:+.2} along them at latitude {latitude_deg:.0}"),
    ))
}
