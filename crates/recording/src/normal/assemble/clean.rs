//! What cannot be: positions of no place, values of no airplane, jumps away and back, sensors that were not there. Each is left
//! out and told.

#![allow(clippy::float_cmp, reason = "a frozen value is the same bits again")]

use super::{Draft, JUMP_SPEED_MPS, TIME_MOST_S, counted, lines_text, within, within_turn_deg};
use crate::normal::{
    CLIMB_PLAUSIBLE_MPS, Fix, GROUND_SPEED_PLAUSIBLE_MPS, HEIGHT_PLAUSIBLE_M, Note, NoteKind,
    QuantityKind,
};

/// As many fixes elsewhere in a row are a real change of place (two flights in one file, a recorder carried on), not a slip.
pub(crate) const ELSEWHERE_FIXES: usize = 10;
/// Fewer equal samples than this say nothing about a frozen sensor.
const FROZEN_SAMPLES: usize = 60;
/// Directions; written beyond a full turn by some.
const TRACK_PLAUSIBLE_DEG: std::ops::RangeInclusive<f64> = -720.0..=720.0;

impl Draft {
    /// Positions that cannot be are left out; heights, speeds and climbs that no airplane has become absent.
    pub(super) fn clean_fixes(&mut self) {
        let mut nowhere: Vec<u64> = Vec::new();
        let mut blanked: [Vec<u64>; 4] = Default::default();
        self.fixes.retain_mut(|(fix, line)| {
            let here = placed(fix);
            if !here {
                nowhere.push(*line);
                return false;
            }
            let members = [
                (&mut fix.height_m, &HEIGHT_PLAUSIBLE_M),
                (&mut fix.ground_speed_mps, &GROUND_SPEED_PLAUSIBLE_MPS),
                (&mut fix.climb_mps, &CLIMB_PLAUSIBLE_MPS),
                (&mut fix.track_deg, &TRACK_PLAUSIBLE_DEG),
            ];
            for ((member, plausible), lines) in members.into_iter().zip(&mut blanked) {
                if member.is_some_and(|value| !plausible.contains(&value)) {
                    *member = None;
                    lines.push(*line);
                }
            }
            if let Some(track_deg) = &mut fix.track_deg {
                *track_deg = within_turn_deg(*track_deg);
            }
            true
        });
        self.tell_cleaned(&nowhere, &blanked);
    }

    fn tell_cleaned(&mut self, nowhere: &[u64], blanked: &[Vec<u64>; 4]) {
        if !nowhere.is_empty() {
            let text = format!(
                "{} that cannot be (beyond 90 or 180 degrees, not a number, or exactly 0,0) left out, {}",
                counted(nowhere.len(), "position", "positions"),
                lines_text(nowhere)
            );
            self.note(NoteKind::LeftOut, text);
        }
        let names = [
            ("height", HEIGHT_PLAUSIBLE_M, "m"),
            ("ground speed", GROUND_SPEED_PLAUSIBLE_MPS, "m/s"),
            ("climb", CLIMB_PLAUSIBLE_MPS, "m/s"),
            ("track", TRACK_PLAUSIBLE_DEG, "deg"),
        ];
        for ((name, plausible, unit), lines) in names.iter().zip(blanked) {
            if !lines.is_empty() {
                let text = format!(
                    "{} that cannot be (outside {} to {} {unit}) left out, {}",
                    counted(lines.len(), name, &format!("{name}s")),
                    plausible.start(),
                    plausible.end(),
                    lines_text(lines)
                );
                self.note(NoteKind::LeftOut, text);
            }
        }
    }

    /// Samples that no airplane gives, after times have been made relative.
    pub(super) fn drop_implausible_samples(&mut self) {
        let mut notes = Vec::new();
        for series in &mut self.series {
            let plausible = series.quantity.plausible();
            if series.quantity.is_direction() {
                // some write beyond a full turn; what cannot be stays, to be left out
                let turns = |value: &&mut f64| plausible.contains(*value);
                series.values.iter_mut().filter(turns).for_each(|v| *v = within_turn_deg(*v));
            }
            let Some(first) = series.values.iter().position(|value| !plausible.contains(value))
            else {
                continue;
            };
            let before = series.values.len();
            let first_s = series.times_s[first];
            let pairs = series.times_s.iter().copied().zip(series.values.iter().copied());
            (series.times_s, series.values) =
                pairs.filter(|(_, value)| plausible.contains(value)).unzip();
            let text = format!(
                "{} of {} that cannot be left out, first at {first_s:.1} s",
                counted(before - series.values.len(), "sample", "samples"),
                series.origin
            );
            notes.push(Note { kind: NoteKind::LeftOut, text });
        }
        self.series.retain(|series| !series.values.is_empty());
        self.notes.append(&mut notes);
    }

    /// Fixes that jump away and back are slips of the receiver and are left out; a change of place that lasts stays and is
    /// told by [`Self::find_jumps`]. Linear time.
    pub(super) fn drop_jumps(&mut self) {
        let reachable = |a: &Fix, b: &Fix| within(a, b, (b.time_s - a.time_s).max(1.0));
        if self.fixes.windows(2).all(|pair| reachable(&pair[0].0, &pair[1].0)) {
            return;
        }
        let mut keep = vec![true; self.fixes.len()];
        let mut last: Option<usize> = None;
        let mut away: Vec<usize> = Vec::new();
        for index in 0..self.fixes.len() {
            let fix = &self.fixes[index].0;
            let Some(known) = last else {
                last = Some(index);
                continue;
            };
            if reachable(&self.fixes[known].0, fix) {
                for slip in away.drain(..) {
                    keep[slip] = false;
                }
                last = Some(index);
                continue;
            }
            if away.last().is_some_and(|&before| !reachable(&self.fixes[before].0, fix)) {
                for slip in away.drain(..) {
                    keep[slip] = false;
                }
            }
            away.push(index);
            if away.len() >= ELSEWHERE_FIXES {
                away.clear();
                last = Some(index);
            }
        }
        // Too few at the end to tell a slip from a new place: a slip, for nothing is lost that could be measured.
        for slip in away {
            keep[slip] = false;
        }
        let lines: Vec<u64> = self
            .fixes
            .iter()
            .zip(&keep)
            .filter(|(_, keep)| !**keep)
            .map(|((_, line), _)| *line)
            .collect();
        if lines.is_empty() {
            return;
        }
        let mut kept = keep.iter();
        self.fixes.retain(|_| kept.next().copied().unwrap_or(true));
        let text = format!(
            "{} out: the position jumps away and back (over {JUMP_SPEED_MPS} m/s), {}",
            counted(lines.len(), "fix left", "fixes left"),
            lines_text(&lines)
        );
        self.note(NoteKind::LeftOut, text);
    }

    /// A pressure altitude of zero throughout is a recorder without the sensor; other frozen values are only told.
    pub(super) fn drop_frozen(&mut self) {
        let mut notes = Vec::new();
        self.series.retain(|series| {
            let Some(&first) = series.values.first() else { return false };
            let frozen = series.values.iter().all(|&value| value == first);
            if frozen && first == 0.0 && series.quantity == QuantityKind::PressureAltitudeM {
                let text = format!("{} is zero throughout and is not used", series.origin);
                notes.push(Note { kind: NoteKind::Missing, text });
                return false;
            }
            if frozen && series.values.len() >= FROZEN_SAMPLES {
                let text = format!("{} never changes: a frozen sensor?", series.origin);
                notes.push(Note { kind: NoteKind::Odd, text });
            }
            true
        });
        self.notes.append(&mut notes);
    }
}

/// Whether a fix is somewhere at some time.
fn placed(fix: &Fix) -> bool {
    fix.latitude_deg.abs() <= 90.0
        && fix.longitude_deg.abs() <= 180.0
        && fix.time_s.abs() <= TIME_MOST_S
        && !(fix.latitude_deg == 0.0 && fix.longitude_deg == 0.0)
}
