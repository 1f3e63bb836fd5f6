//! Extensions of the B record (declared by the I record) and of the K record (by the J record): three-letter codes to
//! series, each in the unit its field turns out to have. Every declared code becomes a series, part of a fix, or a note.
//!
//! Codes and units: FAI-IGC, appendix A, three-letter codes. Where files disagree about decimals, the positions decide.

use super::{Extension, Samples, State};
use crate::normal::assemble::{Draft, distance_m, median};
use crate::normal::{NoteKind, QuantityKind, Series};
use base::factors::{K_AT_ZERO_C, MPS_PER_KMH};
use base::math;

/// Slower than this, positions say little about speed, m/s.
const MOVING_MPS: f64 = 8.0;
/// Slower than this, pressure altitude in whole meters says little about climb, m/s.
const CLIMBING_MPS: f64 = 1.0;
/// Speeds are compared with the positions at so many places of a recording or a few more.
const LOOKS: usize = 4000;

/// Extensions that are read: code, quantity, unit factor and offset to SI of a value whose decimals are settled.
/// Speeds are in km/h, angles in degrees, temperature in Celsius, accuracy in meters.
const READ: &[(&str, QuantityKind, f64, f64)] = &[
    ("TAS", QuantityKind::TrueAirspeedMps, MPS_PER_KMH, 0.0),
    ("IAS", QuantityKind::IndicatedAirspeedMps, MPS_PER_KMH, 0.0),
    ("OAT", QuantityKind::OutsideAirTemperatureK, 1.0, K_AT_ZERO_C),
    ("HDT", QuantityKind::TrueHeadingDeg, 1.0, 0.0),
    ("HDM", QuantityKind::MagneticHeadingDeg, 1.0, 0.0),
    ("AOR", QuantityKind::BankDeg, 1.0, 0.0),
    ("AOP", QuantityKind::PitchDeg, 1.0, 0.0),
    ("VAR", QuantityKind::VerticalSpeedMps, 1.0, 0.0),
    ("ACZ", QuantityKind::NormalLoadG, 1.0, 0.0),
    ("RPM", QuantityKind::EngineSpeedRpm, 1.0, 0.0),
    ("FXA", QuantityKind::HorizontalAccuracyM, 1.0, 0.0),
    ("WDI", QuantityKind::WindFromDeg, 1.0, 0.0),
    ("WSP", QuantityKind::WindSpeedMps, MPS_PER_KMH, 0.0),
    ("WVE", QuantityKind::WindSpeedMps, MPS_PER_KMH, 0.0),
];
/// Extensions of the position and time, read with the fix.
const OF_FIX: &[&str] = &["LAD", "LOD", "TDS"];
/// Extensions that are known and not read, and what they hold.
const KNOWN: &[(&str, &str)] = &[
    ("ENL", "engine noise"),
    ("MOP", "means of propulsion"),
    ("SIU", "satellites in use"),
    ("VXA", "vertical accuracy"),
    ("EPE", "estimated position error"),
    ("VAT", "climb compensated for total energy"),
    ("NET", "climb of the air"),
    ("TEN", "total-energy altitude"),
    ("TRM", "magnetic track"),
    ("ACX", "acceleration, axis and unit not stated"),
    ("ACY", "acceleration, axis and unit not stated"),
    ("FLP", "flap position"),
    ("UND", "undercarriage"),
    ("GFO", "of the maker"),
];

/// Of the B record, into the fixes.
const OF_MOTION: &[&str] = &["GSP", "TRT"];

/// Whether the values of a code are of use, in the B record or in the K record.
pub(super) fn is_read(code: &str, with_fix: bool) -> bool {
    READ.iter().any(|(known, ..)| *known == code) || (with_fix && OF_MOTION.contains(&code))
}

/// Settles the decimals of every declared extension and makes series of them.
pub(super) fn read(state: State, draft: &mut Draft) {
    let ground_scale = ground_speed_scale(&state, draft);
    let State { extensions, raw, slow_extensions, slow_raw, .. } = state;
    let mut not_read = Vec::new();
    for (extension, values) in extensions.iter().zip(raw) {
        let code = extension.code.as_str();
        if OF_MOTION.contains(&code) {
            fill_motion(code, &values, ground_scale, draft);
        } else if extension.read && is_new(code, draft, &mut not_read) {
            let samples = present(values, draft);
            put("B", extension, samples, ground_scale, draft);
        } else if !extension.read && !OF_FIX.contains(&code) {
            not_read.push(named(code));
        }
    }
    for (extension, samples) in slow_extensions.iter().zip(slow_raw) {
        if !extension.read {
            not_read.push(named(&extension.code));
        } else if is_new(&extension.code, draft, &mut not_read) {
            put("K", extension, samples, ground_scale, draft);
        }
    }
    if !not_read.is_empty() {
        draft.note(NoteKind::LeftOut, format!("extensions not read: {}", not_read.join(", ")));
    }
}

fn named(code: &str) -> String {
    let what = KNOWN.iter().find(|(known, _)| *known == code).map(|(_, what)| *what);
    what.map_or_else(|| code.to_owned(), |what| format!("{code} ({what})"))
}

fn quantity(code: &str) -> Option<QuantityKind> {
    READ.iter().find(|(known, ..)| *known == code).map(|(_, quantity, ..)| *quantity)
}

/// Whether nothing else gave the quantity of a code.
fn is_new(code: &str, draft: &Draft, not_read: &mut Vec<String>) -> bool {
    let wanted = quantity(code);
    let known = draft.series.iter().any(|series| Some(series.quantity) == wanted);
    if known {
        not_read.push(format!("{code} (a second time)"));
    }
    !known
}

/// The values that are there, with the times of their fixes.
fn present(mut values: Vec<f64>, draft: &Draft) -> Samples {
    let times = draft.fixes.iter().map(|(fix, _)| fix.time_s);
    let times_s: Vec<f64> =
        times.zip(&values).filter(|(_, value)| !value.is_nan()).map(|(time_s, _)| time_s).collect();
    values.retain(|value| !value.is_nan());
    Samples { times_s, values }
}

/// Makes a series of an extension, if its decimals can be told.
fn put(
    record: &str,
    extension: &Extension,
    samples: Samples,
    ground_scale: Option<f64>,
    draft: &mut Draft,
) {
    let code = extension.code.as_str();
    let Some((_, quantity, factor, offset)) = READ.iter().find(|(known, ..)| *known == code) else {
        return;
    };
    let Some(scale) = settled(extension, &samples.values, ground_scale, draft) else { return };
    let Samples { times_s, mut values } = samples;
    values.iter_mut().for_each(|value| *value = *value * scale * factor + offset);
    let origin = format!("{record} record, {code}");
    draft.series.push(Series { quantity: *quantity, origin, times_s, values });
}

/// The step of an extension, or nothing and a note.
fn settled(
    extension: &Extension,
    raw: &[f64],
    ground_scale: Option<f64>,
    draft: &mut Draft,
) -> Option<f64> {
    let code = extension.code.as_str();
    let width = extension.to + 1 - extension.from;
    // a heading, bank or wind of zero throughout is a field that is not filled
    if raw.iter().all(|value| *value == 0.0) {
        let why = if raw.is_empty() { "in no record" } else { "zero throughout" };
        draft.note(NoteKind::Missing, format!("extension {code} is {why} and is not used"));
        return None;
    }
    if code == "VAR" {
        climb_scale(raw, draft)
    } else {
        scale_of(code, width, raw, ground_scale, draft)
    }
}

/// Decimals of an extension. Three digits are the whole number; wider fields add decimals (what recorders do; the
/// ground speed, checked against the positions, decides for the other speeds).
fn scale_of(
    code: &str,
    width: usize,
    raw: &[f64],
    ground_scale: Option<f64>,
    draft: &mut Draft,
) -> Option<f64> {
    let by_width = math::pow(10.0, -(width.saturating_sub(3) as f64));
    match code {
        "FXA" | "WDI" | "RPM" => Some(1.0),
        "TAS" | "IAS" | "WSP" | "WVE" => {
            let scale = ground_scale.filter(|_| width == 5 || width == 3).unwrap_or(by_width);
            draft.note(
                NoteKind::Assumed,
                format!("extension {code} is taken as km/h with a step of {scale}"),
            );
            Some(scale)
        }
        // the sign takes one of four places
        "AOR" | "AOP" => Some(math::pow(10.0, -(width.saturating_sub(4) as f64))),
        "ACZ" => {
            let typical = median(raw.to_vec())?;
            let scale = [1.0, 0.1, 0.01, 0.001]
                .into_iter()
                .find(|scale| (0.7..1.5).contains(&(typical.abs() * scale)));
            let text = match scale {
                Some(scale) => format!(
                    "extension ACZ is taken as g with a step of {scale}: its middle value is {typical}"
                ),
                None => format!(
                    "extension ACZ is not read: its middle value {typical} is not one g in any step"
                ),
            };
            draft.note(NoteKind::Assumed, text);
            scale.map(|scale| scale * typical.signum())
        }
        _ => Some(by_width),
    }
}

/// Step of the ground speed field, found from the positions; `None` when not recorded or not decided.
fn ground_speed_scale(state: &State, draft: &mut Draft) -> Option<f64> {
    let at = state.extensions.iter().position(|extension| extension.code == "GSP")?;
    let raw = &state.raw[at];
    let ratios: Vec<f64> = draft
        .fixes
        .windows(2)
        .zip(raw.windows(2))
        .step_by(raw.len().div_ceil(LOOKS).max(1))
        .filter_map(|(fixes, speeds)| {
            let step_s = fixes[1].0.time_s - fixes[0].0.time_s;
            let speed = distance_m(&fixes[0].0, &fixes[1].0) / step_s;
            // nothing where one of them is absent
            let mean = 0.5 * (speeds[0] + speeds[1]);
            (step_s > 0.0 && step_s < 20.0 && speed > MOVING_MPS && mean > 0.0)
                .then(|| mean * MPS_PER_KMH / speed)
        })
        .collect();
    let ratio = median(ratios)?;
    let scale = [1.0, 0.1, 0.01].into_iter().find(|scale| (0.7..1.4).contains(&(ratio * scale)));
    match scale {
        Some(scale) => draft.note(
            NoteKind::Assumed,
            format!("extension GSP is taken as km/h with a step of {scale}: it fits the positions"),
        ),
        None => draft.note(
            NoteKind::LeftOut,
            format!(
                "extension GSP is not read: {ratio:.2} of the speed of the positions fits no step"
            ),
        ),
    }
    scale
}

/// Step of the climb field: tenths by the standard, other steps in files; found from the pressure altitude.
fn climb_scale(raw: &[f64], draft: &mut Draft) -> Option<f64> {
    let pressure = draft.series.iter().find(|s| s.quantity == QuantityKind::PressureAltitudeM);
    let ratios: Vec<f64> = match pressure.filter(|series| series.values.len() == raw.len()) {
        Some(series) => (1..raw.len())
            .map(|at| {
                let step_s = series.times_s[at] - series.times_s[at - 1];
                ((series.values[at] - series.values[at - 1]) / step_s, raw[at])
            })
            .filter(|(climb, _)| climb.is_finite() && climb.abs() > CLIMBING_MPS)
            .map(|(climb, value)| value / climb)
            .collect(),
        None => Vec::new(),
    };
    let ratio = (ratios.len() >= 10).then(|| median(ratios)).flatten();
    let scale = ratio.and_then(|ratio| {
        [1.0, 0.1, 0.01].into_iter().find(|scale| (0.4..2.5).contains(&(ratio * scale)))
    });
    let (kind, text) = match scale {
        Some(scale) => (
            NoteKind::Assumed,
            format!(
                "extension VAR is taken as m/s with a step of {scale}: it fits the pressure altitude"
            ),
        ),
        None => (
            NoteKind::LeftOut,
            "extension VAR is not read: the pressure altitude does not confirm its step".to_owned(),
        ),
    };
    draft.note(kind, text);
    scale
}

fn fill_motion(code: &str, values: &[f64], ground_scale: Option<f64>, draft: &mut Draft) {
    for ((fix, _), value) in draft.fixes.iter_mut().zip(values) {
        if code == "GSP" {
            let speed = ground_scale.map(|scale| value * scale * MPS_PER_KMH);
            fix.ground_speed_mps = speed.filter(|_| !value.is_nan());
        } else if (0.0..=360.0).contains(value) {
            fix.track_deg = Some(*value);
        }
    }
}
