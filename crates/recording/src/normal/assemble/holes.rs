//! Holes in the fixes, and places that change faster than an airplane flies.

use super::{Draft, JUMP_SPEED_MPS, counted, distance_m, median, within};
use crate::normal::{Fix, Gap, NoteKind, oddities};

/// A hole is longer than so many usual steps.
const GAP_STEPS: f64 = 3.0;
/// And at least so long, s.
const GAP_LEAST_S: f64 = 2.0;

impl Draft {
    pub(super) fn find_gaps(&mut self, fixes: &[Fix], lines: &[u64], zero_s: f64) -> Vec<Gap> {
        let steps = || fixes.windows(2).map(|pair| pair[1].time_s - pair[0].time_s);
        if self.breaks.is_empty() && steps().all(|step_s| step_s <= GAP_LEAST_S) {
            return Vec::new();
        }
        let Some(usual_s) = median(steps().collect()) else { return Vec::new() };
        let limit_s = (GAP_STEPS * usual_s).max(GAP_LEAST_S);
        let mut borders: Vec<f64> = self.breaks.iter().map(|time_s| time_s - zero_s).collect();
        borders.sort_by(f64::total_cmp);
        let border = |time_s: f64| {
            let next = borders.partition_point(|at| *at < time_s - 1e-6);
            borders.get(next).is_some_and(|at| *at < time_s + 1e-6)
        };
        let gaps: Vec<Gap> = fixes
            .windows(2)
            .filter(|pair| pair[1].time_s - pair[0].time_s > limit_s || border(pair[1].time_s))
            .map(|pair| Gap { from_s: pair[0].time_s, to_s: pair[1].time_s })
            .collect();
        let longest =
            gaps.iter().max_by(|a, b| (a.to_s - a.from_s).total_cmp(&(b.to_s - b.from_s)));
        if let Some(longest) = longest {
            let at = fixes.partition_point(|fix| fix.time_s < longest.from_s);
            let text = format!(
                "{} in the fixes (usual step {usual_s:.2} s), the longest of {:.1} s at {}",
                counted(gaps.len(), "gap", "gaps"),
                longest.to_s - longest.from_s,
                oddities::place(longest.from_s, lines.get(at).copied().unwrap_or(0))
            );
            self.note(NoteKind::Missing, text);
        }
        gaps
    }

    pub(super) fn find_jumps(&mut self, fixes: &[Fix], lines: &[u64]) {
        let jumped = |at: &usize| {
            let (a, b) = (&fixes[*at - 1], &fixes[*at]);
            !within(a, b, b.time_s - a.time_s)
        };
        let jumps: Vec<usize> = (1..fixes.len()).filter(jumped).collect();
        if let Some(&first) = jumps.first() {
            let text = format!(
                "the position jumps {} (over {JUMP_SPEED_MPS} m/s), first by {:.1} km at {}",
                counted(jumps.len(), "time", "times"),
                distance_m(&fixes[first - 1], &fixes[first]) / 1000.0,
                oddities::place(fixes[first].time_s, lines[first])
            );
            self.note(NoteKind::Odd, text);
        }
    }
}

/// Holes in fixes: longer than three usual steps and two seconds.
pub(crate) fn gaps_of(fixes: &[Fix]) -> Vec<Gap> {
    let steps = fixes.windows(2).map(|pair| pair[1].time_s - pair[0].time_s).collect();
    let Some(usual_s) = median(steps) else { return Vec::new() };
    let limit_s = (GAP_STEPS * usual_s).max(GAP_LEAST_S);
    let hole = |pair: &&[Fix]| pair[1].time_s - pair[0].time_s > limit_s;
    let gap = |pair: &[Fix]| Gap { from_s: pair[0].time_s, to_s: pair[1].time_s };
    fixes.windows(2).filter(hole).map(gap).collect()
}
