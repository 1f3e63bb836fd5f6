//! Clocks that were set during a recording.

use super::{FLYING_MPS, STEP_LEAST_S, place};
use crate::normal::assemble::{Draft, distance_m, median};
use crate::normal::{Fix, NoteKind, Series};

/// More steps back than this are rows out of order, not a clock that was set.
const STEPS_MOST: usize = 5;

/// Clocks that were set back during the recording: the part before the step is moved so that time runs on, since the rows
/// themselves run on. Called before anything is sorted.
pub(crate) fn set_back(draft: &mut Draft) {
    let of_fixes = || draft.fixes.iter().map(|(fix, _)| fix.time_s);
    let of_series = || draft.series.first().map_or(&[][..], |series| &series.times_s);
    let sorted =
        if draft.fixes.is_empty() { of_series().is_sorted() } else { of_fixes().is_sorted() };
    if sorted {
        return;
    }
    let times: Vec<f64> =
        if draft.fixes.is_empty() { of_series().to_vec() } else { of_fixes().collect() };
    let usual_s =
        median(times.windows(2).map(|pair| pair[1] - pair[0]).filter(|s| *s > 0.0).collect());
    let Some(usual_s) = usual_s else { return };
    let least_s = STEP_LEAST_S.max(3.0 * usual_s);
    let steps: Vec<usize> =
        (1..times.len()).filter(|&at| times[at] < times[at - 1] - least_s).collect();
    let backward = times.windows(2).filter(|pair| pair[1] < pair[0]).count();
    if steps.is_empty() || steps.len() > STEPS_MOST || backward > steps.len() + STEPS_MOST {
        return;
    }
    if !draft.fixes.is_empty() && !steps.iter().all(|&at| runs_on(&draft.fixes, at, usual_s)) {
        return;
    }
    for &at in steps.iter().rev() {
        let (before, after) = (times[at - 1], times[at]);
        let back_s = before - after;
        let line = draft.fixes.get(at).map_or(0, |(_, line)| *line);
        for (fix, _) in draft.fixes.iter_mut().take(at) {
            fix.time_s -= back_s + usual_s;
        }
        for series in &mut draft.series {
            move_before(series, before, after, usual_s);
        }
        let line = if line == 0 { String::new() } else { format!(" at line {line}") };
        draft.note(
            NoteKind::Odd,
            format!("the clock steps back by {back_s:.1} s{line} while the rows run on: what was recorded before is moved by that"),
        );
    }
}

/// Whether the position runs on over a step of the clock: it moves no further than in a few usual steps, and much less than
/// it would if the time were true.
fn runs_on(fixes: &[(Fix, u64)], at: usize, usual_s: f64) -> bool {
    let (before, after) = (&fixes[at - 1].0, &fixes[at].0);
    let moved_m = distance_m(before, after);
    let speed_mps = before.ground_speed_mps.or_else(|| {
        let earlier = &fixes.get(at.checked_sub(2)?)?.0;
        Some(distance_m(earlier, before) / (before.time_s - earlier.time_s).abs().max(1e-3))
    });
    let speed_mps = speed_mps.filter(|speed| speed.is_finite()).unwrap_or(0.0);
    let true_m = speed_mps * (before.time_s - after.time_s).abs();
    moved_m < 3.0 * speed_mps * usual_s + 50.0 && (speed_mps < FLYING_MPS || moved_m < 0.5 * true_m)
}

/// The same step in a series of the same clock.
fn move_before(series: &mut Series, before_s: f64, after_s: f64, usual_s: f64) {
    let near_s = STEP_LEAST_S.max(3.0 * usual_s);
    let step = (1..series.times_s.len()).find(|&at| {
        let (a, b) = (series.times_s[at - 1], series.times_s[at]);
        b < a && (a - before_s).abs() < near_s && (b - after_s).abs() < near_s
    });
    if let Some(at) = step {
        let back_s = before_s - after_s + usual_s;
        series.times_s[..at].iter_mut().for_each(|time_s| *time_s -= back_s);
    }
}

/// Clocks that were set forward: a hole in time that the position does not show. Only told, since a hole may be a hole.
pub(super) fn set_forward(draft: &mut Draft, fixes: &[Fix], lines: &[u64]) {
    let steps = || fixes.windows(2).map(|pair| pair[1].time_s - pair[0].time_s);
    if steps().all(|step_s| step_s < 5.0 * STEP_LEAST_S) {
        return;
    }
    let Some(usual_s) = median(steps().collect()) else { return };
    for at in 2..fixes.len().saturating_sub(1) {
        let (before, after) = (&fixes[at - 1], &fixes[at]);
        let hole_s = after.time_s - before.time_s;
        if hole_s < 5.0 * STEP_LEAST_S.max(usual_s) {
            continue;
        }
        let speed = |a: &Fix, b: &Fix| distance_m(a, b) / (b.time_s - a.time_s);
        let speeds = [speed(&fixes[at - 2], before), speed(after, &fixes[at + 1])];
        let slower = speeds[0].min(speeds[1]);
        let moved_m = distance_m(before, after);
        if slower > FLYING_MPS
            && moved_m < 3.0 * slower * usual_s
            && moved_m < 0.1 * slower * hole_s
        {
            let text = format!(
                "the clock steps forward by {hole_s:.1} s at {} while the position moves {moved_m:.0} m only: it was set, or the airplane came back to the same place",
                place(before.time_s, lines[at - 1])
            );
            draft.note(NoteKind::Odd, text);
        }
    }
}
