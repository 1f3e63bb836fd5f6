//! Whether the height of a turn follows the pivotal height: the true airspeed times what the nose makes good over the ground, by
//! gravity (exact in wind; the handbook's square of the speed over the ground is so in a calm alone).

use crate::trace::{STEP_S, Trace};
use base::factors::{M_PER_FT, MPS_PER_KT, RAD_PER_DEG, STANDARD_GRAVITY_MPS2};
use base::math::{cos, sin};

/// Speed over the ground is read over so long to each side, s.
const OVER_S: f64 = 1.5;
/// What hands and air do to the height anyway, ft; it stays for about a third of a turn.
const HEIGHT_FT: f64 = 30.0;
const APART: f64 = 3.0;
/// Without positions nothing is known.
const UNKNOWN: (f64, f64) = (0.0, 3.0);

/// Height gained for each foot of pivotal height (the slope of the line through both, least squares), and its sigma. Linear.
pub(super) fn slope(trace: &Trace, places: impl Iterator<Item = usize>) -> (f64, f64) {
    let (Some(north), Some(east)) = (&trace.north_m, &trace.east_m) else { return UNKNOWN };
    let half = (OVER_S / STEP_S) as usize;
    let pivotal_ft = |i: usize| {
        let (from, to) = (i.saturating_sub(half), (i + half).min(trace.len() - 1));
        let way = |line: &crate::trace::Line| line.value[to] - line.value[from];
        let heading_rad = trace.heading_deg.value[i] * RAD_PER_DEG;
        let ahead_m = way(north) * cos(heading_rad) + way(east) * sin(heading_rad);
        let ahead_mps = ahead_m / (STEP_S * (to - from).max(1) as f64);
        let speed_mps = MPS_PER_KT * trace.tas_kt.as_ref().unwrap_or(&trace.cas_kt).value[i];
        speed_mps * ahead_mps / STANDARD_GRAVITY_MPS2 / M_PER_FT
    };
    let pairs: Vec<[f64; 2]> = places.map(|i| [pivotal_ft(i), trace.height_ft.value[i]]).collect();
    let n = pairs.len() as f64;
    if pairs.len() < 8 {
        return UNKNOWN;
    }
    let mean = |axis: usize| pairs.iter().map(|pair| pair[axis]).sum::<f64>() / n;
    let (x, y) = (mean(0), mean(1));
    let xx = pairs.iter().map(|pair| (pair[0] - x) * (pair[0] - x)).sum::<f64>() / n;
    let xy = pairs.iter().map(|pair| (pair[0] - x) * (pair[1] - y)).sum::<f64>() / n;
    let sigma = HEIGHT_FT / (APART * xx).sqrt().max(1.0);
    if sigma > UNKNOWN.1 { UNKNOWN } else { (xy / xx, sigma) }
}
