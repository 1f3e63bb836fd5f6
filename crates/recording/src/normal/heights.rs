//! Heights that jump: away and back are slips and are left out, a step that lasts is told. An airplane climbs or sinks no faster
//! than [`CLIMB_PLAUSIBLE_MPS`] says. Linear time.

use crate::normal::assemble::{Draft, ELSEWHERE_FIXES, counted, lines_text};
use crate::normal::{CLIMB_PLAUSIBLE_MPS, NoteKind, QuantityKind, oddities};

/// What jumps in rising times: places of slips, and of the first sample after each step that lasts.
fn jumps(samples: &[(f64, f64)]) -> (Vec<usize>, Vec<usize>) {
    let reachable = |a: usize, b: usize| within(samples[a], samples[b]);
    let (mut slips, mut steps) = (Vec::new(), Vec::new());
    let mut last = 0;
    let mut away: Vec<usize> = Vec::new();
    for at in 1..samples.len() {
        if reachable(last, at) {
            slips.append(&mut away);
            last = at;
            continue;
        }
        if away.last().is_some_and(|&before| !reachable(before, at)) {
            slips.append(&mut away);
        }
        away.push(at);
        if away.len() >= ELSEWHERE_FIXES {
            steps.push(away[0]);
            away.clear();
            last = at;
        }
    }
    slips.append(&mut away);
    (slips, steps)
}

/// Whether nothing jumps: the usual case, told without a copy.
fn steady(mut samples: impl Iterator<Item = (f64, f64)>) -> bool {
    let Some(mut last) = samples.next() else { return true };
    samples.all(|next| {
        let near = within(last, next);
        last = next;
        near
    })
}

/// Whether an airplane gets from one time and height to the other.
fn within(from: (f64, f64), to: (f64, f64)) -> bool {
    (to.1 - from.1).abs() <= CLIMB_PLAUSIBLE_MPS.end() * (to.0 - from.0).max(1.0)
}

/// Takes slips of height out of fixes and series, and tells them and the steps that last.
pub(crate) fn drop_jumps(draft: &mut Draft) {
    of_fixes(draft);
    of_series(draft);
}

fn of_fixes(draft: &mut Draft) {
    let heights = draft.fixes.iter().filter_map(|(fix, _)| Some((fix.time_s, fix.height_m?)));
    if steady(heights) {
        return;
    }
    let at: Vec<usize> =
        (0..draft.fixes.len()).filter(|i| draft.fixes[*i].0.height_m.is_some()).collect();
    let samples: Vec<(f64, f64)> = at
        .iter()
        .filter_map(|i| Some((draft.fixes[*i].0.time_s, draft.fixes[*i].0.height_m?)))
        .collect();
    let (slips, steps) = jumps(&samples);
    let lines: Vec<u64> = slips.iter().map(|slip| draft.fixes[at[*slip]].1).collect();
    for slip in &slips {
        draft.fixes[at[*slip]].0.height_m = None;
    }
    if !lines.is_empty() {
        let text = format!(
            "{} out: the height jumps away and back (over {} m/s), {}",
            counted(lines.len(), "height left", "heights left"),
            CLIMB_PLAUSIBLE_MPS.end(),
            lines_text(&lines)
        );
        draft.note(NoteKind::LeftOut, text);
    }
    if let Some(&first) = steps.first() {
        let lines: Vec<u64> = steps.iter().map(|step| draft.fixes[at[*step]].1).collect();
        let text = format!(
            "the height jumps {}, first by {:.0} m, {}: nothing holds there",
            counted(steps.len(), "time", "times"),
            samples[first].1 - samples[first - 1].1,
            lines_text(&lines)
        );
        draft.note(NoteKind::Odd, text);
    }
}

fn of_series(draft: &mut Draft) {
    let mut told = Vec::new();
    for series in &mut draft.series {
        let height = matches!(
            series.quantity,
            QuantityKind::PressureAltitudeM | QuantityKind::IndicatedAltitudeM
        );
        let pairs = || series.times_s.iter().copied().zip(series.values.iter().copied());
        if !height || steady(pairs()) {
            continue;
        }
        let samples: Vec<(f64, f64)> = pairs().collect();
        let (slips, steps) = jumps(&samples);
        let Some(&first) = slips.iter().chain(&steps).min() else { continue };
        let mut keep = vec![true; samples.len()];
        for slip in &slips {
            keep[*slip] = false;
        }
        let kept = samples.iter().zip(&keep).filter(|(_, keep)| **keep).map(|(pair, _)| *pair);
        (series.times_s, series.values) = kept.unzip();
        let kind = if slips.is_empty() { NoteKind::Odd } else { NoteKind::LeftOut };
        let text = format!(
            "{}: {} out for jumping away and back, {} to another height for good, first at {}",
            series.origin,
            counted(slips.len(), "sample left", "samples left"),
            counted(steps.len(), "jump", "jumps"),
            oddities::place(samples[first].0, 0)
        );
        told.push((kind, text));
    }
    for (kind, text) in told {
        draft.note(kind, text);
    }
}

#[cfg(test)]
mod tests {
    use super::jumps;

    #[test]
    fn slips_are_told_from_steps_that_last() {
        let mut samples: Vec<(f64, f64)> =
            (0..60).map(|i| (f64::from(i), 1000.0 + f64::from(i))).collect();
        samples[20].1 += 3000.0;
        samples[21].1 += 3000.0;
        for sample in &mut samples[40..] {
            sample.1 += 6000.0;
        }
        assert_eq!(jumps(&samples), (vec![20, 21], vec![40]));
        // A dive at 150 m/s is flying.
        let dive: Vec<(f64, f64)> =
            (0..20).map(|i| (f64::from(i), 5000.0 - 150.0 * f64::from(i))).collect();
        assert_eq!(jumps(&dive), (vec![], vec![]));
    }
}
