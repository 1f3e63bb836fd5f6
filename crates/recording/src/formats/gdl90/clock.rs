//! The clock of the heartbeat is of whole seconds and often a second or more behind or ahead of the report that follows. The
//! reports themselves are of whole seconds too, and the way between two of them at their speed says how many: counted so,
//! the stamps of the neighbors vote on where the count stands.

use super::Report;
use crate::normal::Fix;
use crate::normal::assemble::distance_m;

/// Slower than this, positions say little about time, m/s.
const MOVING_MPS: f64 = 15.0;
/// Longer steps are not counted by the way: it may have turned.
const STEP_MOST_S: f64 = 15.0;
/// How near a whole second a step must be.
const MISS_MOST_S: f64 = 0.3;
/// As many neighbors on each side vote,
const VOTERS: usize = 10;
/// and so large a share must agree.
const AGREE_LEAST: f64 = 0.4;
/// A stamp is moved by no more than this, s.
const MOVED_MOST_S: f64 = 10.0;

/// Times of reports on a count of seconds that fits their ways and speeds; `None` when too few steps can be counted.
/// Linear time.
pub(super) fn counted(reports: &[Report]) -> Option<Vec<f64>> {
    let mut count_s = vec![0.0];
    let mut sure = 0;
    for pair in reports.windows(2) {
        let steps_s = seconds_between(&pair[0], &pair[1]);
        sure += usize::from(steps_s.is_some());
        let step_s = steps_s.unwrap_or((pair[1].time_s - pair[0].time_s).max(0.0));
        count_s.push(count_s[count_s.len() - 1] + step_s);
    }
    if sure * 2 < reports.len() || reports.len() <= VOTERS {
        return None;
    }
    let offsets: Vec<f64> =
        reports.iter().zip(&count_s).map(|(report, count)| report.time_s - count).collect();
    let times_s = (0..reports.len()).map(|at| {
        let (from, to) = (at.saturating_sub(VOTERS), (at + VOTERS + 1).min(offsets.len()));
        let voted = voted(&offsets[from..to]).map(|offset| count_s[at] + offset);
        let own_s = reports[at].time_s;
        voted.filter(|time_s| (time_s - own_s).abs() <= MOVED_MOST_S).unwrap_or(own_s)
    });
    Some(times_s.collect())
}

/// Whole seconds that the way between two reports takes at their speed.
fn seconds_between(a: &Report, b: &Report) -> Option<f64> {
    let speed = 0.5 * (a.speed_mps? + b.speed_mps?);
    let place = |report: &Report| Fix {
        time_s: 0.0,
        latitude_deg: report.latitude_deg,
        longitude_deg: report.longitude_deg,
        height_m: None,
        ground_speed_mps: None,
        track_deg: None,
        climb_mps: None,
    };
    let step_s = distance_m(&place(a), &place(b)) / speed;
    let whole_s = step_s.round();
    let clear = (step_s - whole_s).abs() <= MISS_MOST_S && (1.0..STEP_MOST_S).contains(&whole_s);
    (speed > MOVING_MPS && clear).then_some(whole_s)
}

/// The offset that most have, the smaller of two.
fn voted(offsets: &[f64]) -> Option<f64> {
    let mut sorted = offsets.to_vec();
    sorted.sort_by(f64::total_cmp);
    let mut best: (usize, f64) = (0, 0.0);
    for group in sorted.chunk_by(|a, b| (b - a).abs() < 0.5) {
        if group.len() > best.0 {
            best = (group.len(), group[0]);
        }
    }
    (best.0 as f64 >= AGREE_LEAST * offsets.len() as f64).then_some(best.1)
}
