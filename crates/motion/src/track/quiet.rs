//! Fewer knots where the flying is quiet.
//!
//! Between two knots the path is that of least jerk, and what jerk adds to it between them grows with its intensity and the step:
//! the acceleration strays from that path by no more than a fifth of the square root of the two (its variance in the middle is
//! about a twenty-fifth of intensity times step). So the step may be as long as holds that to some hundredths of a m/s2, a few
//! tenths of a degree of bank, far below what sideslip leaves in doubt.

use crate::smoother::Measured;

/// How far knots may lie apart.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Apart {
    /// Longest step between the knots to begin with, s: a receiver of one fix a second still gets knots inside a roll-in.
    pub(crate) first_s: f64,
    /// Longest step where the flying is quiet, s.
    longest_s: f64,
    /// Intensity of jerk times step that is left between knots, m2/s4.
    left_m2ps4: f64,
}

/// With a satellite receiver alone.
pub(crate) const APART: Apart = Apart { first_s: 0.5, longest_s: 1.25, left_m2ps4: 0.06 };
/// Where sensors of attitude or rate show more of it.
pub(crate) const APART_FINE: Apart = Apart { first_s: 0.25, longest_s: 0.75, left_m2ps4: 0.03 };
/// Where a bank was recorded and no device or gyroscope: between its readings the roll is followed.
pub(crate) const APART_PANEL: Apart = Apart { first_s: 0.25, longest_s: 1.25, left_m2ps4: 0.1 };

/// Intensity of jerk, level and vertical, and rate of turn of each interval.
pub(super) type Restlessness<'a> = (&'a [f64], &'a [f64], &'a [f64]);

/// Leaves out knots where jerk is weak and places the measurements anew; returns what is known of the intervals that are left.
/// Linear.
pub(super) fn thin(
    time_s: &mut Vec<f64>,
    measured: &mut [Vec<Measured>; 3],
    (level, vertical, rate): Restlessness<'_>,
    apart: Apart,
) -> (Vec<f64>, Vec<f64>, Vec<f64>) {
    let kept = kept(time_s, level, vertical, apart);
    let merged = |of: &[f64]| -> Vec<f64> {
        let mean = |pair: &[usize]| {
            let parts = (pair[0]..pair[1]).map(|k| of[k] * (time_s[k + 1] - time_s[k]));
            parts.sum::<f64>() / (time_s[pair[1]] - time_s[pair[0]])
        };
        kept.windows(2).map(mean).collect()
    };
    let merged = (merged(level), merged(vertical), merged(rate));
    let thinned: Vec<f64> = kept.iter().map(|k| time_s[*k]).collect();
    for measured in measured.iter_mut() {
        place_anew(measured, time_s, &thinned);
    }
    *time_s = thinned;
    merged
}

/// Which knots are kept.
fn kept(time_s: &[f64], level: &[f64], vertical: &[f64], apart: Apart) -> Vec<usize> {
    let mut kept = vec![0];
    let (mut from, mut jerk) = (0, 0.0_f64);
    for k in 1..time_s.len().saturating_sub(1) {
        // Would the step from the last knot kept be too long if this one were left out?
        jerk = jerk.max(level[k - 1].max(vertical[k - 1]));
        let next = jerk.max(level[k].max(vertical[k]));
        let step = time_s[k + 1] - time_s[from];
        if step > apart.longest_s || next * step > apart.left_m2ps4 {
            kept.push(k);
            (from, jerk) = (k, 0.0);
        }
    }
    if time_s.len() > 1 {
        kept.push(time_s.len() - 1);
    }
    kept
}

/// Measurements stand in order of time.
fn place_anew(measured: &mut [Measured], before: &[f64], after: &[f64]) {
    /// Closer than this a measurement stands at the knot, s.
    const AT_KNOT_S: f64 = 1e-9;
    let mut knot = 0;
    for one in measured {
        let time_s = before[one.knot] + one.after_s;
        while knot + 1 < after.len() && after[knot + 1] <= time_s + AT_KNOT_S {
            knot += 1;
        }
        let after_s = time_s - after[knot];
        let at_knot = after_s < AT_KNOT_S || knot + 1 == after.len();
        one.knot = knot;
        one.after_s = if at_knot { 0.0 } else { after_s };
        one.step_s = if at_knot { 0.0 } else { after[knot + 1] - after[knot] };
    }
}
