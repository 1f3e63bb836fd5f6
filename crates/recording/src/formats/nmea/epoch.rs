//! Sentences that carry a time of day: those of one time are one epoch; dates are carried on and back over epochs without.

#![allow(clippy::float_cmp, reason = "sentences of one epoch write the same digits")]

use super::sentence::{Broken, Sentence, days_since_1970};
use crate::normal::assemble::Draft;
use crate::normal::{Fix, NoteKind};
use base::factors::MPS_PER_KT;

const DAY_S: f64 = 86_400.0;

/// What the sentences of one time say together.
#[derive(Debug, Clone, Copy, Default)]
pub(super) struct Epoch {
    /// As written, then in seconds since 1970 or since the first midnight.
    pub(super) time_s: f64,
    pub(super) line: u64,
    pub(super) position_deg: Option<(f64, f64)>,
    pub(super) height_m: Option<f64>,
    /// Height of the geoid over the ellipsoid.
    pub(super) separation_m: Option<f64>,
    pub(super) speed_mps: Option<f64>,
    pub(super) track_deg: Option<f64>,
    pub(super) dilution: Option<f64>,
    /// Days since 1970.
    day: Option<f64>,
    /// A sentence says that there is no fix.
    pub(super) void: bool,
    /// A sentence says that the position is estimated, set by hand or simulated.
    pub(super) estimated: bool,
}

impl Epoch {
    /// Whether a fix can be made of it.
    pub(super) fn usable(&self) -> bool {
        !self.void && !self.estimated && self.position_deg.is_some()
    }
}

/// The epochs so far; the last one is still open.
#[derive(Debug, Default)]
pub(super) struct Epochs {
    all: Vec<Epoch>,
}

impl Epochs {
    /// How many have begun.
    pub(super) fn count(&self) -> usize {
        self.all.len()
    }
    /// Makes room for as many.
    pub(super) fn reserve(&mut self, count: usize) {
        self.all.reserve_exact(count.saturating_sub(self.all.len()));
    }
    fn at(&mut self, time_s: f64, line: u64) -> &mut Epoch {
        if self.all.last().is_none_or(|epoch| epoch.time_s != time_s) {
            self.all.push(Epoch { time_s, line, ..Epoch::default() });
        }
        self.all.last_mut().expect("one was pushed")
    }
    /// Times of day to times.
    pub(super) fn finish(mut self, draft: &mut Draft) -> Vec<Epoch> {
        let mut day = 0.0;
        let mut last_s = f64::NAN;
        let days: Vec<f64> = self
            .all
            .iter()
            .map(|epoch| {
                if last_s - epoch.time_s > 0.5 * DAY_S {
                    day += 1.0;
                }
                last_s = epoch.time_s;
                day
            })
            .collect();
        if day > 0.0 {
            draft.note(NoteKind::Odd, "the recording passes midnight");
        }
        let Some(first) = self.all.iter().position(|epoch| epoch.day.is_some()) else {
            draft.note(NoteKind::Missing, "no sentence gives a date: the start is not known");
            for (epoch, day) in self.all.iter_mut().zip(&days) {
                epoch.time_s += day * DAY_S;
            }
            return self.all;
        };
        draft.epoch = true;
        let mut anchor = self.all[first].day.unwrap_or(0.0) - days[first];
        for (epoch, day) in self.all.iter_mut().zip(&days) {
            if let Some(dated) = epoch.day {
                anchor = dated - day;
            }
            epoch.time_s += (anchor + day) * DAY_S;
        }
        self.all
    }
}

/// RMC: time, status, position, speed in knots, track, date, variation (2), mode.
pub(super) fn position_minimum(
    sentence: &Sentence<'_>,
    line: u64,
    epochs: &mut Epochs,
) -> Result<(), Broken> {
    let mut fields = sentence.fields();
    let Some(time_s) = fields.time_of_day()? else { return Ok(()) };
    let status = fields.text();
    let position = fields.angle(90.0)?.zip(fields.angle(180.0)?);
    let speed_kt = fields.number("speed")?;
    let track = fields.number("track")?;
    let day = fields.date()?;
    fields.skip(2);
    let mode = fields.text();
    let epoch = epochs.at(time_s, line);
    // a receiver without a fix may not know the date yet
    if status == b"A" {
        epoch.day = day.or(epoch.day);
        epoch.position_deg = epoch.position_deg.or(position);
        epoch.speed_mps = speed_kt.map(|kt| kt * MPS_PER_KT).or(epoch.speed_mps);
        epoch.track_deg = track.or(epoch.track_deg);
    } else {
        epoch.void = true;
    }
    take_mode(mode, epoch);
    Ok(())
}

/// Mode letters: N no fix; E estimated, M by hand, S simulated.
fn take_mode(mode: &[u8], epoch: &mut Epoch) {
    match mode {
        b"N" => epoch.void = true,
        b"E" | b"M" | b"S" => epoch.estimated = true,
        _ => {}
    }
}

/// GGA: time, position, quality, satellites, dilution, height, M, height of the geoid, M.
pub(super) fn fix_data(
    sentence: &Sentence<'_>,
    line: u64,
    epochs: &mut Epochs,
) -> Result<(), Broken> {
    position_and_height(sentence, line, epochs, 1, |quality, epoch| match quality {
        b"0" | b"" => epoch.void = true,
        b"6" | b"7" | b"8" => epoch.estimated = true,
        _ => {}
    })
}

/// GNS: time, position, a mode letter for each satellite system, satellites, dilution, height, height of the geoid.
pub(super) fn fix_data_of_systems(
    sentence: &Sentence<'_>,
    line: u64,
    epochs: &mut Epochs,
) -> Result<(), Broken> {
    position_and_height(sentence, line, epochs, 0, |modes, epoch| {
        let any = |letters: &[u8]| modes.iter().any(|mode| letters.contains(mode));
        if any(b"EMS") && !any(b"ADPRF") {
            epoch.estimated = true;
        } else if !any(b"ADPRF") {
            epoch.void = true;
        }
    })
}

/// What GGA and GNS share: `units` fields of units stand between the heights, `judge` reads the field of quality.
fn position_and_height(
    sentence: &Sentence<'_>,
    line: u64,
    epochs: &mut Epochs,
    units: usize,
    judge: impl FnOnce(&[u8], &mut Epoch),
) -> Result<(), Broken> {
    let mut fields = sentence.fields();
    let Some(time_s) = fields.time_of_day()? else { return Ok(()) };
    let position = fields.angle(90.0)?.zip(fields.angle(180.0)?);
    let quality = fields.text();
    fields.skip(1);
    let dilution = fields.number("dilution of precision")?;
    let height_m = fields.number("height")?;
    fields.skip(units);
    let separation_m = fields.number("height of the geoid")?;
    let epoch = epochs.at(time_s, line);
    judge(quality, epoch);
    epoch.position_deg = epoch.position_deg.or(position);
    epoch.height_m = height_m.or(epoch.height_m);
    epoch.separation_m = separation_m.or(epoch.separation_m);
    epoch.dilution = dilution.or(epoch.dilution);
    Ok(())
}

/// GLL: position, time, status, mode.
pub(super) fn position_only(
    sentence: &Sentence<'_>,
    line: u64,
    epochs: &mut Epochs,
) -> Result<(), Broken> {
    let mut fields = sentence.fields();
    let position = fields.angle(90.0)?.zip(fields.angle(180.0)?);
    let Some(time_s) = fields.time_of_day()? else { return Ok(()) };
    let status = fields.text();
    let mode = fields.text();
    let epoch = epochs.at(time_s, line);
    if status == b"V" {
        epoch.void = true;
    }
    take_mode(mode, epoch);
    epoch.position_deg = epoch.position_deg.or(position);
    Ok(())
}

/// ZDA: time, day, month, year.
pub(super) fn date_only(
    sentence: &Sentence<'_>,
    line: u64,
    epochs: &mut Epochs,
) -> Result<(), Broken> {
    let mut fields = sentence.fields();
    let Some(time_s) = fields.time_of_day()? else { return Ok(()) };
    let (day, month) = (fields.number("day")?, fields.number("month")?);
    let Some(((day, month), year)) = day.zip(month).zip(fields.number("year")?) else {
        return Ok(());
    };
    let days = days_since_1970(year, month, day);
    epochs.at(time_s, line).day =
        Some(days.ok_or_else(|| format!("no date: {day}.{month}.{year}"))?);
    Ok(())
}

/// Fixes of the epochs that have one.
pub(super) fn make_fixes(epochs: &[Epoch], draft: &mut Draft) {
    draft.fixes.reserve_exact(epochs.len());
    for epoch in epochs.iter().filter(|epoch| epoch.usable()) {
        let Some((latitude_deg, longitude_deg)) = epoch.position_deg else { continue };
        let fix = Fix {
            time_s: epoch.time_s,
            latitude_deg,
            longitude_deg,
            height_m: epoch.height_m,
            ground_speed_mps: epoch.speed_mps,
            track_deg: epoch.track_deg.map(|track| track.rem_euclid(360.0)),
            climb_mps: None,
        };
        draft.fixes.push((fix, epoch.line));
    }
}
