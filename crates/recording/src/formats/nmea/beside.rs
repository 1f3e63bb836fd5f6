//! Sentences that carry no time: course and speed (VTG), headings (HDT, HDG, HDM). They belong to the epoch before them or
//! to the one after, which differs between receivers; the speeds decide.

use super::epoch::Epoch;
use super::sentence::{Broken, Sentence};
use crate::normal::assemble::{Draft, distance_m};
use crate::normal::{Fix, NoteKind, QuantityKind, Series};
use base::factors::MPS_PER_KT;

/// How much better one side must fit to be believed without a word of doubt.
const CLEARLY: f64 = 0.8;
/// Longest time over which headings between two epochs are spread, s.
const SPREAD_MOST_S: f64 = 5.0;

/// Sentences without a time, each with the number of epochs begun before it.
#[derive(Debug, Default)]
pub(super) struct Beside {
    motions: Vec<(usize, f64, Option<f64>)>,
    true_headings: Vec<(usize, f64)>,
    magnetic_headings: Vec<(usize, f64)>,
}

impl Beside {
    /// VTG: track, T, magnetic track, M, speed in knots, N, speed in km/h, K, mode.
    pub(super) fn course_and_speed(
        &mut self,
        sentence: &Sentence<'_>,
        begun: usize,
    ) -> Result<(), Broken> {
        let mut fields = sentence.fields();
        let track = fields.number("track")?;
        fields.skip(3);
        let speed_kt = fields.number("speed")?;
        fields.skip(3);
        if let (Some(speed_kt), false) = (speed_kt, fields.text() == b"N") {
            self.motions.push((begun, speed_kt * MPS_PER_KT, track));
        }
        Ok(())
    }
    /// HDT and HDM: heading. HDG: heading, deviation, E or W, variation, E or W.
    pub(super) fn heading(&mut self, sentence: &Sentence<'_>, begun: usize) -> Result<(), Broken> {
        let mut fields = sentence.fields();
        let Some(mut heading) = fields.number("heading")? else { return Ok(()) };
        match sentence.kind {
            b"HDT" => self.true_headings.push((begun, heading)),
            b"HDG" => {
                if let Some(deviation) = fields.number("deviation")? {
                    heading += if fields.text() == b"W" { -deviation } else { deviation };
                }
                self.magnetic_headings.push((begun, heading.rem_euclid(360.0)));
            }
            _ => self.magnetic_headings.push((begun, heading)),
        }
        Ok(())
    }
    /// Gives speeds to epochs without one, and makes series of the headings.
    pub(super) fn join(self, epochs: &mut [Epoch], draft: &mut Draft) {
        let after = self.belongs_after(epochs, draft);
        for (begun, speed_mps, track) in &self.motions {
            let Some(epoch) = place(*begun, after).and_then(|at| epochs.get_mut(at)) else {
                continue;
            };
            if epoch.speed_mps.is_none() {
                (epoch.speed_mps, epoch.track_deg) = (Some(*speed_mps), *track);
            }
        }
        let headings = [
            (QuantityKind::TrueHeadingDeg, "HDT", &self.true_headings),
            (QuantityKind::MagneticHeadingDeg, "HDG or HDM", &self.magnetic_headings),
        ];
        for (quantity, origin, samples) in headings {
            let (times_s, values): (Vec<f64>, Vec<f64>) = spread(samples, after, epochs).unzip();
            if values.is_empty() {
                continue;
            }
            let text = format!(
                "{origin} sentences carry no time: taken at that of the epoch they stand beside"
            );
            draft.note(NoteKind::Assumed, text);
            draft.series.push(Series { quantity, origin: origin.into(), times_s, values });
        }
    }
    /// Whether the sentences belong to the epoch that begins after them.
    fn belongs_after(&self, epochs: &[Epoch], draft: &mut Draft) -> bool {
        let reference = reference_speeds(epochs);
        let (mut before_miss, mut after_miss) = (0.0, 0.0);
        let mut first = true;
        for (begun, speed_mps, _) in &self.motions {
            let of = |at: Option<usize>| at.and_then(|at| reference.get(at).copied().flatten());
            let (Some(before), Some(after)) = (of(place(*begun, false)), of(place(*begun, true)))
            else {
                continue;
            };
            before_miss += (speed_mps - before).abs();
            after_miss += (speed_mps - after).abs();
            first = false;
        }
        if first {
            return false;
        }
        let clear = before_miss.min(after_miss) < CLEARLY * before_miss.max(after_miss);
        let used = epochs.iter().any(|epoch| epoch.usable() && epoch.speed_mps.is_none());
        if used || !clear {
            let side = if after_miss < before_miss && clear { "after" } else { "before" };
            let why = if clear { "their speeds fit there" } else { "the speeds do not decide" };
            let text = format!(
                "VTG sentences carry no time: taken for that of the epoch {side} them, {why}"
            );
            draft.note(NoteKind::Assumed, text);
        }
        clear && after_miss < before_miss
    }
}

/// Index of the epoch a sentence belongs to.
fn place(begun: usize, after: bool) -> Option<usize> {
    if after { Some(begun) } else { begun.checked_sub(1) }
}

/// Speed of each epoch by its own sentence, else by the positions around it.
fn reference_speeds(epochs: &[Epoch]) -> Vec<Option<f64>> {
    let place = |epoch: &Epoch| {
        let (latitude_deg, longitude_deg) = epoch.position_deg.filter(|_| epoch.usable())?;
        Some(Fix {
            time_s: epoch.time_s,
            latitude_deg,
            longitude_deg,
            height_m: None,
            ground_speed_mps: None,
            track_deg: None,
            climb_mps: None,
        })
    };
    (0..epochs.len())
        .map(|at| {
            epochs[at].speed_mps.or_else(|| {
                let before = place(epochs.get(at.checked_sub(1)?)?)?;
                let after = place(epochs.get(at + 1)?)?;
                let step_s = after.time_s - before.time_s;
                (step_s > 0.0 && step_s < SPREAD_MOST_S)
                    .then(|| distance_m(&before, &after) / step_s)
            })
        })
        .collect()
}

/// Times of headings: several of one epoch are spread evenly up to the next.
fn spread<'a>(
    samples: &'a [(usize, f64)],
    after: bool,
    epochs: &'a [Epoch],
) -> impl Iterator<Item = (f64, f64)> + 'a {
    samples.chunk_by(|a, b| a.0 == b.0).flat_map(move |group| {
        let at = place(group[0].0, after).filter(|at| *at < epochs.len());
        let step_s = at.and_then(|at| {
            let step_s = epochs.get(at + 1)?.time_s - epochs[at].time_s;
            (0.0..SPREAD_MOST_S).contains(&step_s).then_some(step_s)
        });
        let count = group.len();
        // a burst without a next epoch: one is kept, for nothing says when the others were
        let kept = if step_s.is_some() { count } else { 1 };
        group.iter().take(kept).enumerate().filter_map(move |(index, (_, value))| {
            let start_s = epochs[at?].time_s;
            Some((start_s + step_s.unwrap_or(0.0) * index as f64 / count as f64, *value))
        })
    })
}
