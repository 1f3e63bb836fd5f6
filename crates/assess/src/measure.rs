//! The numbers of a part: checkpoints at degrees of turn, extremes, means, what is left at the end.
//!
//! `rates`: rates and smoothness; `coordination`: the ball, what is kept; `ground`: the track over the ground; `stall`: break and
//! recovery; `halves`: symmetry.

pub(crate) mod coordination;
pub(crate) mod ground;
pub(crate) mod halves;
mod rates;
pub(crate) mod stall;

use crate::attempt::{AttemptCheckpoint, Estimate, Measure};
use crate::part::{MIDDLE, Part};
use crate::trace::Line;
use base::numerics::statistics::SIGMAS_OF_95_PERCENT;
use base::written::fixed;
use maneuver::standard::{Measured, MeasuredAt};

/// Degrees of turn over which the held bank of a half turn is read.
const HELD_BANK: (f64, f64) = (20.0, 85.0);
/// An extreme is not placed better than this, degrees of turn.
const PLACE_SIGMA_DEG: f64 = 3.0;

/// A turn that ends so far past a checkpoint, degrees, has a last one where it ends.
const END_APART_DEG: f64 = 5.0;
/// Degrees of turn that round to the same whole one, at most.
const WHOLE_DEG: f64 = 0.5;

/// State at the checkpoints of a figure. One that was never reached is absent; in its stead stands the end of a turn that stopped short.
pub(crate) fn checkpoints(part: &Part<'_>, places_deg: &[f64]) -> Vec<AttemptCheckpoint> {
    let mut out: Vec<AttemptCheckpoint> =
        places_deg.iter().filter_map(|&place| checkpoint(part, place)).collect();
    let missed = places_deg.get(out.len()).filter(|_| part.turns());
    out.extend(missed.and_then(|&missed_deg| {
        let end_deg = part.progress_at(part.last_turning());
        let apart = out.last().is_none_or(|last| end_deg - last.progress_deg > END_APART_DEG);
        // Short by less than a count of whole degrees can tell, it would be taken for the checkpoint.
        checkpoint(part, end_deg).filter(|_| apart && missed_deg - end_deg > WHOLE_DEG)
    }));
    out
}

/// Whether an angle of attitude is known at all: a 95 % band of a quarter turn to either side says nothing of it.
fn is_told(angle_deg: &Estimate) -> bool {
    SIGMAS_OF_95_PERCENT * angle_deg.sigma < 90.0
}

/// Checkpoints of a part at which bank or pitch is not known at all, in words for the notes of the attempt; `None` where there is none.
pub(crate) fn untold(checkpoints: &[AttemptCheckpoint], pitch_there: bool) -> Option<String> {
    let untold =
        |at: &&AttemptCheckpoint| at.bank_deg.is_none() || (pitch_there && at.pitch_deg.is_none());
    let places: Vec<String> = checkpoints
        .iter()
        .filter(untold)
        .map(|at| format!("{}°", fixed(at.progress_deg, 0)))
        .collect();
    (!places.is_empty()).then(|| {
        format!(
            "bank or pitch at {} is known no better than to a quarter turn either way, so it is left out",
            places.join(", ")
        )
    })
}

fn checkpoint(part: &Part<'_>, progress_deg: f64) -> Option<AttemptCheckpoint> {
    let (index, share) = part.reached(progress_deg)?;
    let next = (index + 1).min(part.trace.len() - 1);
    let time_s = part.time_s(index) * (1.0 - share) + part.time_s(next) * share;
    let turn_deg = match part.turns() {
        true => progress_deg,
        false => part.turn_at(index) * (1.0 - share) + part.turn_at(next) * share,
    };
    let of = |line: &Line| {
        part.at_progress(progress_deg, |i| Estimate { value: line.value[i], sigma: line.sigma[i] })
    };
    let attitude = |line: &Line| of(line).filter(is_told);
    let trace = part.trace;
    let pitch_change = trace.pitch_change_deg.as_ref();
    Some(AttemptCheckpoint {
        progress_deg,
        turn_deg,
        time_s,
        bank_deg: attitude(&trace.bank_deg),
        pitch_deg: trace.pitch_deg.as_ref().and_then(attitude),
        pitch_change_deg: pitch_change.and_then(|_| {
            part.at_progress(progress_deg, |i| {
                part.pitch_change(i).expect("pitch change was there just now")
            })
        }),
        cas_kt: of(&trace.cas_kt),
        height_ft: of(&trace.height_ft),
        load_factor: trace.load_factor.as_ref().and_then(of),
    })
}

/// Every measure of a part, in a fixed order; `ground_ft` is the elevation of the ground, where known.
pub(crate) fn measures(part: &Part<'_>, ground_ft: Option<f64>) -> Vec<Measure> {
    let mut out = Vec::new();
    let mut add = |key, quantity, place, estimate| {
        out.push(Measure { key, quantity, place, estimate });
    };
    let turned = part.turned();
    let error = Estimate { value: turned.value - part.turn_wanted_deg, sigma: turned.sigma };
    // What is not flown to a heading has no error of it.
    if part.turn_wanted_deg > 0.0 {
        add(
            "heading_at_rollout_error_deg",
            Measured::HeadingErrorDeg,
            MeasuredAt::End,
            Some(error),
        );
    }
    let height = |i| part.height_change(i);
    let airspeed = |i| part.airspeed_change(i);
    let (ft, kt) = (Measured::HeightChangeFt, Measured::AirspeedChangeKt);
    add("height_change_at_end_ft", ft, MeasuredAt::End, Some(part.at_end(height)));
    add("height_change_greatest_ft", ft, MeasuredAt::Greatest, most(part, 1.0, height));
    add("height_change_least_ft", ft, MeasuredAt::Least, most(part, -1.0, height));
    add("airspeed_change_at_end_kt", kt, MeasuredAt::End, Some(part.at_end(airspeed)));
    add("airspeed_change_greatest_kt", kt, MeasuredAt::Greatest, most(part, 1.0, airspeed));
    add("airspeed_change_least_kt", kt, MeasuredAt::Least, most(part, -1.0, airspeed));
    out.extend(banks(part));
    out.extend(pitches(part));
    out.extend(loads(part));
    out.extend(rates::measures(part));
    out.extend(coordination::measures(part));
    out.extend(ground::measures(part, ground_ft));
    out.extend(stall::measures(part));
    let turned = Measured::TurnedDeg;
    let place = MeasuredAt::End;
    out.push(Measure { key: "turned_deg", quantity: turned, place, estimate: Some(part.turned()) });
    out
}

fn most(part: &Part<'_>, sign: f64, of: impl Fn(usize) -> Estimate) -> Option<Estimate> {
    Part::extreme(part.all(), sign, of).map(|(_, estimate)| estimate)
}

fn banks(part: &Part<'_>) -> Vec<Measure> {
    let bank = |i| part.bank(i);
    let middle = part.between(MIDDLE.0, MIDDLE.1);
    let mut out = vec![
        banked("bank_mean_middle_deg", MeasuredAt::Throughout, part.mean_bank(&middle)),
        banked("bank_greatest_deg", MeasuredAt::Greatest, most(part, 1.0, bank)),
    ];
    if part.turn_wanted_deg <= 180.0 {
        let held = part.between_deg(HELD_BANK.0, HELD_BANK.1);
        out.push(banked("bank_mean_20_to_85_deg", MeasuredAt::Throughout, part.mean_bank(&held)));
        for (key, turn) in
            [("bank_at_45_deg", 45.0), ("bank_at_90_deg", 90.0), ("bank_at_135_deg", 135.0)]
        {
            out.push(banked(key, MeasuredAt::Turn(turn), part.at_turn(turn, bank)));
        }
    }
    out
}

fn banked(key: &'static str, place: MeasuredAt, estimate: Option<Estimate>) -> Measure {
    Measure { key, quantity: Measured::BankDeg, place, estimate }
}

fn pitches(part: &Part<'_>) -> Vec<Measure> {
    let known = part.trace.pitch_change_deg.is_some();
    let pitch = |i| part.pitch_change(i).unwrap_or(Estimate { value: 0.0, sigma: f64::INFINITY });
    let highest = Part::extreme(part.all(), 1.0, pitch).filter(|_| known);
    let lowest = Part::extreme(part.all(), -1.0, pitch).filter(|_| known);
    let place = |found: Option<(usize, Estimate)>, sign: f64| {
        found.map(|(index, extreme)| Estimate {
            value: part.turn_at(index),
            sigma: place_sigma_deg(part, (index, extreme), sign, &pitch),
        })
    };
    let pitched =
        |key, place, estimate| Measure { key, quantity: Measured::PitchDeg, place, estimate };
    let turned = |key, quantity, place, estimate| Measure { key, quantity, place, estimate };
    let value = |found: Option<(usize, Estimate)>| found.map(|(_, estimate)| estimate);
    let at = |turn: f64| part.at_turn(turn, pitch).filter(|_| known);
    let end = Some(pitch(part.end)).filter(|_| known);
    let mut out = vec![
        pitched("pitch_change_greatest_deg", MeasuredAt::Greatest, value(highest)),
        turned(
            "turn_at_pitch_greatest_deg",
            Measured::TurnOfHighestPitchDeg,
            MeasuredAt::Greatest,
            place(highest, 1.0),
        ),
        pitched("pitch_change_least_deg", MeasuredAt::Least, value(lowest)),
        turned(
            "turn_at_pitch_least_deg",
            Measured::TurnOfLowestPitchDeg,
            MeasuredAt::Least,
            place(lowest, -1.0),
        ),
        pitched("pitch_change_at_end_deg", MeasuredAt::End, end),
    ];
    if part.turn_wanted_deg <= 180.0 {
        out.push(pitched("pitch_change_at_45_deg", MeasuredAt::Turn(45.0), at(45.0)));
        out.push(pitched("pitch_change_at_90_deg", MeasuredAt::Turn(90.0), at(90.0)));
    }
    out
}

/// How well an extreme is placed, degrees of turn: a flat top may be anywhere on it, as wide as the error of the pitch, most of
/// which neighbors share, leaves it; of two tops of about one height it may be either.
fn place_sigma_deg(
    part: &Part<'_>,
    (index, extreme): (usize, Estimate),
    sign: f64,
    of: &impl Fn(usize) -> Estimate,
) -> f64 {
    const OWN_SHARE: f64 = 0.2;
    let room = OWN_SHARE * extreme.sigma;
    let near = |i: &usize| sign * (extreme.value - of(*i).value) <= room;
    let first = (part.start..=index).find(near).unwrap_or(index);
    let last = (index..=part.end.max(index)).rev().find(near).unwrap_or(index);
    (0.5 * (part.turn_at(last) - part.turn_at(first)).abs()).max(PLACE_SIGMA_DEG)
}

fn loads(part: &Part<'_>) -> Vec<Measure> {
    let load = part.trace.load_factor.as_ref();
    let of = |line: &Line, i: usize| Estimate { value: line.value[i], sigma: line.sigma[i] };
    let greatest = load.and_then(|line| most(part, 1.0, |i| of(line, i)));
    let over_stall = |i: usize| load.and_then(|line| part.over_stall(i, line.value[i]));
    let margin = part.all().filter_map(over_stall).min_by(|a, b| a.value.total_cmp(&b.value));
    let stalled = Measured::AirspeedOverStallKt;
    vec![
        Measure {
            key: "load_factor_greatest_g",
            quantity: Measured::LoadFactorG,
            place: MeasuredAt::Greatest,
            estimate: greatest,
        },
        Measure {
            key: "stall_margin_least_kt",
            quantity: stalled,
            place: MeasuredAt::Least,
            estimate: margin,
        },
        Measure {
            key: "airspeed_over_stall_at_end_kt",
            quantity: stalled,
            place: MeasuredAt::End,
            estimate: part.over_stall(part.end, 1.0),
        },
    ]
}
