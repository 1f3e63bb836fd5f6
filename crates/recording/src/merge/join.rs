//! Fixes and series of two recordings on one clock. Of a quantity both have, the better source is kept: the one with more
//! samples over the longer time; the axes of a device stay together, for they share a mounting.

use super::offset::Offset;
use crate::normal::assemble::{counted, gaps_of, median};
use crate::normal::{Fix, Gap, Note, NoteKind, QuantityKind as Q, Recording, Series};
use base::written::signed;

/// The format of a recording that was joined of several.
const KEY: &str = "joined";
/// Heights of two receivers that differ by more are on different datums, m.
const DATUM_M: f64 = 15.0;

/// Quantities of one device: all or none are taken from a source.
const DEVICE: [Q; 9] = [
    Q::DeviceForceXMps2,
    Q::DeviceForceYMps2,
    Q::DeviceForceZMps2,
    Q::DeviceRateXRadps,
    Q::DeviceRateYRadps,
    Q::DeviceRateZRadps,
    Q::DeviceFieldXMicrotesla,
    Q::DeviceFieldYMicrotesla,
    Q::DeviceFieldZMicrotesla,
];

/// Joins the second to the whole, whose origins and notes name their files already.
pub(super) fn join(mut whole: Recording, second: &Recording, found: &Offset) -> Recording {
    let mut other = second.clone();
    let (shift_whole_s, shift_other_s) = ((-found.offset_s).max(0.0), found.offset_s.max(0.0));
    shift(&mut whole, shift_whole_s);
    shift(&mut other, shift_other_s);
    let start = whole.start.map(|start| start.plus_seconds(-shift_whole_s));
    whole.start = start.or_else(|| other.start.map(|start| start.plus_seconds(-shift_other_s)));
    let mut told = vec![Note {
        kind: NoteKind::Found,
        text: format!(
            "{} joined to {}: its clock is {} s to it, {}",
            second.name,
            whole.name,
            signed(found.offset_s, 2),
            found.evidence
        ),
    }];
    fixes(&mut whole, &other, &mut told);
    series(&mut whole, other.series, &second.name, &mut told);
    let notes = other
        .notes
        .into_iter()
        .map(|note| Note { kind: note.kind, text: format!("{}: {}", second.name, note.text) });
    whole.notes = told.into_iter().chain(whole.notes).chain(notes).collect();
    whole.gaps = gaps_of(&whole.fixes);
    whole.name = format!("{} + {}", whole.name, second.name);
    if whole.format != second.format {
        whole.format = KEY;
    }
    whole
}

fn shift(recording: &mut Recording, by_s: f64) {
    let moved = |time_s: f64| ((time_s + by_s) * 1e6).round() / 1e6;
    for fix in &mut recording.fixes {
        fix.time_s = moved(fix.time_s);
    }
    for series in &mut recording.series {
        series.times_s.iter_mut().for_each(|time_s| *time_s = moved(*time_s));
    }
    for gap in &mut recording.gaps {
        *gap = Gap { from_s: moved(gap.from_s), to_s: moved(gap.to_s) };
    }
}

fn fixes(whole: &mut Recording, other: &Recording, told: &mut Vec<Note>) {
    if other.fixes.is_empty() {
        return;
    }
    if whole.fixes.is_empty() {
        whole.fixes.clone_from(&other.fixes);
        whole.height_datum = other.height_datum;
        return;
    }
    let whole_is_better = whole.fixes.len() >= other.fixes.len();
    let (better, lesser, name) = if whole_is_better {
        (
            std::mem::take(&mut whole.fixes),
            other.fixes.clone(),
            (whole.name.clone(), other.name.clone()),
        )
    } else {
        let lesser = std::mem::take(&mut whole.fixes);
        (other.fixes.clone(), lesser, (other.name.clone(), whole.name.clone()))
    };
    let same_datum = whole.height_datum == other.height_datum
        && height_offset_m(&better, &lesser).is_none_or(|offset| offset.abs() < DATUM_M);
    if !whole_is_better {
        whole.height_datum = other.height_datum;
    }
    let (all, filled) = filled(better, &lesser, same_datum);
    let filling = match filled {
        0 => format!("those of {} are left out", name.1),
        _ if same_datum => {
            format!("{} of {} fill where there are none", counted(filled, "fix", "fixes"), name.1)
        }
        _ => format!(
            "{} of {} fill where there are none, without their heights, which are on another datum",
            counted(filled, "fix", "fixes"),
            name.1
        ),
    };
    let text = format!(
        "positions are those of {} ({} against {}); {filling}",
        name.0,
        all.len() - filled,
        lesser.len()
    );
    told.push(Note { kind: NoteKind::LeftOut, text });
    whole.fixes = all;
}

/// Middle difference of heights at nearly the same times.
fn height_offset_m(better: &[Fix], lesser: &[Fix]) -> Option<f64> {
    let mut next = better.iter().peekable();
    let mut offsets = Vec::new();
    for fix in lesser {
        while next.next_if(|other| other.time_s < fix.time_s - 0.5).is_some() {}
        if let (Some(other), Some(height_m)) = (next.peek(), fix.height_m)
            && (other.time_s - fix.time_s).abs() < 0.5
            && let Some(other_m) = other.height_m
        {
            offsets.push(height_m - other_m);
        }
    }
    median(offsets)
}

/// The better fixes, and of the lesser those that lie in holes of the better, before or after.
fn filled(better: Vec<Fix>, lesser: &[Fix], with_heights: bool) -> (Vec<Fix>, usize) {
    let gaps = gaps_of(&better);
    let (first_s, last_s) = match (better.first(), better.last()) {
        (Some(first), Some(last)) => (first.time_s, last.time_s),
        _ => (f64::INFINITY, f64::NEG_INFINITY),
    };
    // keeps clear of the edges, where the offset between the clocks would show as a jump
    const CLEAR_S: f64 = 0.5;
    let in_hole = |time_s: f64| {
        let gap = gaps.partition_point(|gap| gap.to_s <= time_s);
        let inside = gaps
            .get(gap)
            .is_some_and(|gap| gap.from_s + CLEAR_S < time_s && time_s < gap.to_s - CLEAR_S);
        inside || time_s < first_s - CLEAR_S || time_s > last_s + CLEAR_S
    };
    let taken = lesser
        .iter()
        .filter(|fix| in_hole(fix.time_s))
        .map(|fix| Fix { height_m: fix.height_m.filter(|_| with_heights), ..*fix });
    let before = better.len();
    let mut all: Vec<Fix> = better.into_iter().chain(taken).collect();
    all.sort_by(|a, b| a.time_s.total_cmp(&b.time_s));
    let count = all.len() - before;
    (all, count)
}

fn series(whole: &mut Recording, others: Vec<Series>, name: &str, told: &mut Vec<Note>) {
    let of_device = |series: &[Series]| {
        let samples = |s: &&Series| DEVICE.contains(&s.quantity);
        series.iter().filter(samples).map(|s| s.values.len()).sum::<usize>()
    };
    let device_is_theirs = of_device(&others) > of_device(&whole.series);
    if device_is_theirs && of_device(&whole.series) > 0 {
        whole.series.retain(|series| !DEVICE.contains(&series.quantity));
        let text = format!("device axes are those of {name}, which has more samples");
        told.push(Note { kind: NoteKind::LeftOut, text });
    }
    let mut dropped = Vec::new();
    for mut series in others {
        series.origin = format!("{name}: {}", series.origin);
        if DEVICE.contains(&series.quantity) {
            if device_is_theirs {
                whole.series.push(series);
            } else {
                dropped.push(series.origin);
            }
            continue;
        }
        match whole.series.iter_mut().find(|known| known.quantity == series.quantity) {
            None => whole.series.push(series),
            Some(known) if series.values.len() > known.values.len() => {
                dropped.push(std::mem::replace(known, series).origin);
            }
            Some(_) => dropped.push(series.origin),
        }
    }
    if !dropped.is_empty() {
        let text = format!(
            "recorded by both, the one with more samples is kept; left out: {}",
            dropped.join(", ")
        );
        told.push(Note { kind: NoteKind::LeftOut, text });
    }
}
