//! Where there is hardly any lift its direction tells nothing of the airplane's: over the top of a push-over, in a roll. There the
//! airplane is taken to keep between the attitude before and the one after, and lift toward its bottom is told from a half roll.

use base::factors::{RAD_PER_DEG, STANDARD_GRAVITY_MPS2};
use base::math::wrap_pi;
use recording::Series;

use super::Glance;
use crate::body::Place;
use crate::recorded;

/// Less than this is hardly any, m/s2.
const LOW_MPS2: f64 = 0.35 * STANDARD_GRAVITY_MPS2;
/// Longest stretch of it that is bridged, s.
const LONGEST_S: f64 = 40.0;
/// Force that the attitude between leans on, m/s2.
const HOLD_MPS2: f64 = 0.12 * STANDARD_GRAVITY_MPS2;

/// Settles sign and hold of every stretch with hardly any lift.
pub(super) fn settle(time_s: &[f64], glances: &[Glance], places: &mut [Place]) {
    let low: Vec<bool> = glances.iter().map(|glance| glance.lift_mps2.abs() < LOW_MPS2).collect();
    let mut k = 0;
    while k < low.len() {
        if !low[k] {
            k += 1;
            continue;
        }
        let end = (k..low.len()).find(|i| !low[*i]).unwrap_or(low.len());
        if k > 0 && end < low.len() && time_s[end] - time_s[k - 1] <= LONGEST_S {
            let (before, after) =
                (unit(glances[k - 1].square_mps2), unit(glances[end].square_mps2));
            for i in k..end {
                let share = (time_s[i] - time_s[k - 1]) / (time_s[end] - time_s[k - 1]);
                let between: [f64; 3] =
                    std::array::from_fn(|j| before[j] + share * (after[j] - before[j]));
                lean(&glances[i], unit(between), &mut places[i]);
            }
        }
        k = end;
    }
}

fn lean(glance: &Glance, between: [f64; 3], place: &mut Place) {
    let lift: f64 = (0..3).map(|j| glance.square_mps2[j] * between[j]).sum();
    place.sign = if lift < 0.0 { -1.0 } else { 1.0 };
    place.hold = between.map(|part| HOLD_MPS2 * part);
}

fn unit(v: [f64; 3]) -> [f64; 3] {
    let size = (v[0] * v[0] + v[1] * v[1] + v[2] * v[2]).sqrt().max(1e-9);
    v.map(|part| part / size)
}

/// A recorded bank tells flight on the back with lift toward the bottom from upright flight.
pub(super) fn by_recorded_bank(
    time_s: &[f64],
    glances: &[Glance],
    series: &Series,
    places: &mut [Place],
) {
    /// So far off, the lift pulls the other way, rad.
    const OTHER_WAY_RAD: f64 = 120.0 * RAD_PER_DEG;
    for ((time_s, glance), place) in time_s.iter().zip(glances).zip(places) {
        let Some(recorded_deg) = recorded::at(series, *time_s) else { continue };
        let off = wrap_pi(glance.bank_rad - recorded_deg * RAD_PER_DEG).abs();
        let wanted = if off > OTHER_WAY_RAD { -1.0 } else { 1.0 };
        if place.sign * wanted < 0.0 && glance.lift_mps2 < 0.8 * STANDARD_GRAVITY_MPS2 {
            place.sign = wanted;
            place.hold = place.hold.map(|part| -part);
        }
    }
}
