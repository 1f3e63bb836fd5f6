//! Fixes that the pressure height contradicts: a receiver upside down loses its satellites and makes up a way for some seconds, of
//! which its own velocities are part. They are left out before anything is made of them.

use std::borrow::Cow;

use base::numerics::statistics::{median, robust_sigma};
use flight::air::{geometric_m, pressure_altitude_m};
use recording::{Fix, Note, NoteKind, QuantityKind, Recording};

use crate::recorded;

/// Heights are compared with what stands between them and the pressure for so long to either side, s.
const AROUND_S: f64 = 30.0;
/// Farther off than so much, m, and than so many times what is usual, a height is not a height (our judgement, no source).
const OFF_M: f64 = 20.0;
const OFF_SIGMAS: f64 = 6.0;
/// What lies so near to a stray fix is part of it, s.
const BESIDE_S: f64 = 2.0;
/// More of them than this share, and it is the pressure that is wrong.
const SHARE_MOST: f64 = 0.05;

/// The fixes without those that stray, which are told.
pub(crate) fn without<'a>(recording: &'a Recording, notes: &mut Vec<Note>) -> Cow<'a, [Fix]> {
    let fixes = &recording.fixes;
    let strays = strays(recording);
    let count = strays.iter().filter(|stray| **stray).count();
    if count == 0 || count as f64 > SHARE_MOST * fixes.len() as f64 {
        return Cow::Borrowed(fixes);
    }
    let first = strays.iter().position(|stray| *stray).map_or(0.0, |k| fixes[k].time_s);
    let text = format!(
        "{count} fixes, first at {first:.1} s, left out: their heights stray from the pressure height by more than {OFF_M:.0} m"
    );
    notes.push(Note { kind: NoteKind::LeftOut, text });
    Cow::Owned(
        fixes.iter().zip(&strays).filter(|(_, stray)| !**stray).map(|(fix, _)| *fix).collect(),
    )
}

/// Which fixes stray. `n log n` in the fixes.
fn strays(recording: &Recording) -> Vec<bool> {
    let fixes = &recording.fixes;
    let mut out = vec![false; fixes.len()];
    let off = off_pressure(recording);
    let middles = middles(&off);
    let apart: Vec<f64> =
        off.iter().zip(&middles).map(|(one, middle)| one.off_m - middle).collect();
    let Some(usual) = robust_sigma(&apart) else { return out };
    let most = OFF_M.max(OFF_SIGMAS * usual);
    for (one, _) in off.iter().zip(&apart).filter(|(_, apart)| apart.abs() > most) {
        let near = |fix: &&Fix| (fix.time_s - one.time_s).abs() <= BESIDE_S;
        let before = fixes[..one.fix].iter().rev().take_while(near).count();
        let after = fixes[one.fix..].iter().take_while(near).count();
        out[one.fix - before..one.fix + after].fill(true);
    }
    out
}

/// How far the height of a fix stands above that of the pressure.
struct Off {
    fix: usize,
    time_s: f64,
    off_m: f64,
}

fn off_pressure(recording: &Recording) -> Vec<Off> {
    let of = |quantity| recording.series_of(quantity);
    let (series, made): (_, fn(f64) -> f64) =
        if let Some(series) = of(QuantityKind::PressureAltitudeM) {
            (series, geometric_m)
        } else if let Some(series) = of(QuantityKind::StaticPressurePa) {
            (series, |pa| geometric_m(pressure_altitude_m(pa)))
        } else {
            return Vec::new();
        };
    let one = |(fix, one): (usize, &Fix)| {
        let by_pressure = made(recorded::at(series, one.time_s)?);
        Some(Off { fix, time_s: one.time_s, off_m: one.height_m? - by_pressure })
    };
    recording.fixes.iter().enumerate().filter_map(one).collect()
}

/// The middle of what stands between them about each, taken anew once in a third of that time.
fn middles(off: &[Off]) -> Vec<f64> {
    let mut out = Vec::with_capacity(off.len());
    let mut taken = (f64::NEG_INFINITY, 0.0);
    for one in off {
        if one.time_s - taken.0 > AROUND_S / 3.0 {
            let from = off.partition_point(|other| other.time_s < one.time_s - AROUND_S);
            let to = off.partition_point(|other| other.time_s <= one.time_s + AROUND_S);
            let near: Vec<f64> = off[from..to].iter().map(|other| other.off_m).collect();
            taken = (one.time_s, median(&near).unwrap_or(one.off_m));
        }
        out.push(taken.1);
    }
    out
}

#[cfg(test)]
mod tests {
    use super::without;
    use recording::{Fix, HeightDatum, QuantityKind, Recording, Series};

    /// Level flight for 200 s with pressure heights; the receiver climbs away by so much from 100 to 104 s.
    fn flown(off_m: f64) -> Recording {
        let times_s: Vec<f64> = (0..200).map(f64::from).collect();
        let fix = |time_s: &f64| Fix {
            time_s: *time_s,
            latitude_deg: 47.0 + 4e-4 * time_s,
            longitude_deg: 9.0,
            height_m: Some(1_000.0 + if (100.0..=104.0).contains(time_s) { off_m } else { 0.0 }),
            ground_speed_mps: None,
            track_deg: None,
            climb_mps: None,
        };
        Recording {
            fixes: times_s.iter().map(fix).collect(),
            series: vec![Series {
                quantity: QuantityKind::PressureAltitudeM,
                origin: "pressure".into(),
                values: vec![960.0; times_s.len()],
                times_s,
            }],
            format: "made",
            name: "made".into(),
            start: None,
            height_datum: HeightDatum::MeanSeaLevel,
            gaps: Vec::new(),
            notes: Vec::new(),
        }
    }

    #[test]
    fn prop_fixes_far_off_the_pressure_height_are_left_out_and_told() {
        let mut notes = Vec::new();
        // Five of them, and two seconds to either side.
        assert_eq!(without(&flown(35.0), &mut notes).len(), 200 - 9);
        assert!(notes[0].text.contains("first at 98.0 s"), "{}", notes[0].text);
        notes.clear();
        assert_eq!(without(&flown(15.0), &mut notes).len(), 200);
        assert!(notes.is_empty());
    }
}
