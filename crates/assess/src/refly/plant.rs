//! The edits the other way round: a fault put into a good flight.

use super::fly::Script;
use super::mend::{QUARTER_RAD, Subject, greatest_bank};
use base::factors::RAD_PER_DEG;
use base::math::sin;

/// Keys of the faults that can be planted in a maneuver, in a fixed order.
pub(crate) fn plantable(maneuver: &str) -> &'static [&'static str] {
    match maneuver {
        "chandelle" => &[
            "rolled-out-early",
            "rolled-out-late",
            "bank-too-shallow",
            "bank-too-steep",
            "pitch-too-high-too-early",
            "nose-low-at-the-end",
            "power-changed",
        ],
        "lazy-eight" | "wing-over" => {
            &["hurried-roll", "bank-too-shallow", "pitch-too-high-too-early", "nose-low-at-the-end"]
        }
        // Another bank of a steep turn is another form of it, or none.
        "steep-turn" => &["rolled-out-early", "rolled-out-late", "height-lost", "height-gained"],
        _ => &[],
    }
}

/// Degrees by which a roll-out is misplaced; shares of bank, pitch and power.
const MISPLACED_RAD: f64 = 18.0 * RAD_PER_DEG;
const SHALLOWER: f64 = 0.7;
const STEEPER: f64 = 1.3;
const HIGHER: f64 = 1.35;
const HURRIED: f64 = 1.8;
const LOWER_RAD: f64 = 9.0 * RAD_PER_DEG;
const POWER_SHARE: f64 = 0.55;
/// Path of a level turn that sinks or climbs.
const SINKING_RAD: f64 = -3.0 * RAD_PER_DEG;
const CLIMBING_RAD: f64 = 2.5 * RAD_PER_DEG;

/// The controls with a fault in them, `share` times as bad as usual; `None` for a fault that cannot be planted there.
pub(crate) fn script(subject: &Subject<'_>, fault: &str, share: f64) -> Option<Script> {
    plantable(subject.part.maneuver).contains(&fault).then_some(())?;
    let mut script = subject.null();
    let flown = subject.flown;
    let turned = flown.turned();
    let entry = script.pitch_rad[0];
    let scaled = |of: f64| 1.0 + (of - 1.0) * share;
    match fault {
        "rolled-out-early" => return subject.misplaced(script, -MISPLACED_RAD * share),
        "rolled-out-late" => return subject.misplaced(script, MISPLACED_RAD * share),
        "bank-too-shallow" => {
            script.bank_rad.iter_mut().for_each(|bank| *bank *= scaled(SHALLOWER));
        }
        "bank-too-steep" => {
            script.bank_rad.iter_mut().for_each(|bank| *bank *= scaled(STEEPER));
        }
        "hurried-roll" => {
            let peak = greatest_bank(flown);
            for (k, &turn) in turned.iter().enumerate() {
                if turn < QUARTER_RAD {
                    script.bank_rad[k] = (script.bank_rad[k] * scaled(HURRIED)).min(peak);
                }
            }
        }
        "pitch-too-high-too-early" if subject.part.maneuver == "chandelle" => {
            let peak = flown.at_turn(&script.pitch_rad, &turned, QUARTER_RAD);
            for (k, &turn) in turned.iter().enumerate() {
                let early = (turn.max(0.0) / (0.5 * QUARTER_RAD)).min(1.0);
                script.pitch_rad[k] = script.pitch_rad[k].max(entry + (peak - entry) * early);
            }
        }
        "pitch-too-high-too-early" => {
            let higher = scaled(HIGHER);
            script
                .pitch_rad
                .iter_mut()
                .for_each(|pitch| *pitch = entry + (*pitch - entry) * higher);
        }
        "nose-low-at-the-end" => {
            let last = turned[flown.len() - 1].max(QUARTER_RAD + 0.1);
            for (k, &turn) in turned.iter().enumerate() {
                let late = ((turn - QUARTER_RAD) / (last - QUARTER_RAD)).clamp(0.0, 1.0);
                script.pitch_rad[k] -= LOWER_RAD * share * late;
            }
        }
        "power-changed" => {
            let from = (0.4 * flown.len() as f64) as usize;
            script.thrust[from..].iter_mut().for_each(|thrust| *thrust *= scaled(POWER_SHARE));
        }
        "height-lost" | "height-gained" => {
            let path = if fault == "height-lost" { SINKING_RAD } else { CLIMBING_RAD };
            let last = turned[flown.len() - 1].max(0.1);
            for (k, &turn) in turned.iter().enumerate() {
                let way = (turn / last).clamp(0.0, 1.0);
                script.pitch_rad[k] += path * share * sin(std::f64::consts::PI * way);
            }
        }
        _ => return None,
    }
    Some(script)
}
