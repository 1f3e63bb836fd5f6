//! Fixes whose times contradict their positions. Some recorders write an extra fix with the time of one moment and the
//! position of another, a second or so later; speeds differenced across it are wrong by a factor.

#![allow(clippy::float_cmp, reason = "a repeated time is the same bits again")]

use crate::normal::assemble::{Draft, counted, distance_m, lines_text};
use crate::normal::{Fix, NoteKind};

/// So many fixes at a new place but no later time mean that the times are not to be trusted throughout.
const REPEATS_LEAST: usize = 5;
/// A step fits when distance and recorded speed give its length within this, s: half of a whole-second stamp.
const MISS_MOST_S: f64 = 0.5;
/// Positions and speeds of a slow airplane say less than this about time, m.
const MISS_LEAST_M: f64 = 15.0;
/// A chord may be so much shorter than the way flown: a turn of 100 degrees in one step.
const CHORD_LEAST: f64 = 0.87;
/// Longer steps are not checked, s.
const STEP_MOST_S: f64 = 12.0;
/// How many fixes back a fix may follow on.
const BACK_MOST: usize = 8;
/// What it costs, in fixes, to go on across a step that does not fit.
const BREAK_COST: i64 = 4;

/// Where a file repeats times at new places, keeps the largest set of fixes whose steps agree with the recorded speeds
/// and leaves the others out, with a note. Linear time.
pub(super) fn drop_contradictions(draft: &mut Draft) {
    let fixes = &draft.fixes;
    let elsewhere = |pair: &&[(Fix, u64)]| {
        let (a, b) = (&pair[0].0, &pair[1].0);
        a.time_s == b.time_s && distance_m(a, b) > MISS_LEAST_M
    };
    let ordered = fixes.windows(2).all(|pair| pair[0].0.time_s <= pair[1].0.time_s);
    let timed = fixes.iter().filter(|(fix, _)| fix.ground_speed_mps.is_some()).count();
    if fixes.windows(2).filter(elsewhere).count() < REPEATS_LEAST
        || !ordered
        || timed * 10 < fixes.len() * 9
    {
        return;
    }
    let keep = longest_agreeing(fixes);
    let pairs = fixes.iter().zip(&keep);
    let lines: Vec<u64> = pairs.filter(|(_, keep)| !**keep).map(|((_, line), _)| *line).collect();
    let mut kept = keep.iter();
    draft.fixes.retain(|_| kept.next().copied().unwrap_or(true));
    if !lines.is_empty() {
        let text = format!(
            "{} whose times contradict their positions and speeds left out, {}",
            counted(lines.len(), "fix", "fixes"),
            lines_text(&lines)
        );
        draft.note(NoteKind::LeftOut, text);
    }
}

/// Whether the way between two fixes is what their speeds cover in their time.
fn agree(a: &Fix, b: &Fix) -> bool {
    let step_s = b.time_s - a.time_s;
    if step_s > STEP_MOST_S {
        return true;
    }
    let (Some(first), Some(second)) = (a.ground_speed_mps, b.ground_speed_mps) else {
        return step_s > 0.0;
    };
    let speed_mps = 0.5 * (first + second);
    let way_m = distance_m(a, b);
    let miss_m = (MISS_MOST_S * speed_mps).max(MISS_LEAST_M);
    let most_m = speed_mps * step_s + miss_m;
    let least_m = CHORD_LEAST * speed_mps * step_s - miss_m;
    step_s > 0.0 && way_m < most_m && (way_m > least_m)
}

/// The chain of fixes that keeps the most, less the cost of its breaks.
fn longest_agreeing(fixes: &[(Fix, u64)]) -> Vec<bool> {
    let mut best: Vec<(i64, Option<usize>)> = Vec::with_capacity(fixes.len());
    for at in 0..fixes.len() {
        let mut here = (1, None);
        for before in at.saturating_sub(BACK_MOST)..at {
            let (a, b) = (&fixes[before].0, &fixes[at].0);
            if a.time_s == b.time_s {
                continue;
            }
            let cost = if agree(a, b) { 0 } else { BREAK_COST };
            let score = best[before].0 + 1 - cost;
            if score >= here.0 {
                here = (score, Some(before));
            }
        }
        best.push(here);
    }
    let mut keep = vec![false; fixes.len()];
    let mut at = (0..best.len()).max_by_key(|&at| best[at].0);
    while let Some(index) = at {
        keep[index] = true;
        at = best[index].1;
    }
    keep
}
