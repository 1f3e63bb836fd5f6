//! The instructor's gates: the bank, pitch, speed, load and height at which control is taken. Proposed from the computed
//! flight with a margin, never beyond a limit; to be agreed or changed by the instructor.

use flight::airplane::{Airplane, Category};

use super::limits::{BANK_MARGIN_DEG, PITCH_MARGIN_DEG, category_bank_deg, greatest};
use crate::reference::ReferenceFlight;

/// One gate.
#[derive(Debug, Clone, PartialEq)]
pub struct Gate {
    /// What is watched, and which way: "bank beyond".
    pub what: &'static str,
    /// The value at which control is taken, in `unit`.
    pub value: f64,
    /// Unit.
    pub unit: &'static str,
}

/// A fast and a slow gate lie this far from the flight, kt, the slow one no more than half way to the stall (training aid, our
/// judgement).
const FAST_KT: f64 = 10.0;
const SLOW_KT: f64 = 5.0;
/// The load gate lies this far from the flight, g (training aid, our judgement).
const LOAD_G: f64 = 0.5;

/// The gates of the flights of a brief, worst over the sides. `floor_ft` is the floor above mean sea level when it is known;
/// `maneuvering_kt` maneuvering speed at this weight, where the figure is held to it.
pub(super) fn of(
    flights: &[ReferenceFlight],
    airplane: &Airplane,
    category: &Category,
    (floor_ft, maneuvering_kt): (Option<f64>, Option<f64>),
) -> Vec<Gate> {
    let bank = greatest(flights, |e| e.bank_max_deg) + BANK_MARGIN_DEG;
    let bank = category_bank_deg(category).map_or(bank, |limit| bank.min(limit));
    let up = greatest(flights, |e| e.pitch_max_deg) + PITCH_MARGIN_DEG;
    let down = greatest(flights, |e| -e.pitch_min_deg) + PITCH_MARGIN_DEG;
    let slowest = -greatest(flights, |e| -e.speed_min_kt);
    let margin = -greatest(flights, |e| -e.stall_margin_min_kt);
    let fastest = greatest(flights, |e| e.speed_max_kt);
    // A speed that the flight itself passes is no gate.
    let limits = [Some(airplane.speeds.normal_max.to_kt()), maneuvering_kt];
    let fast = limits
        .into_iter()
        .flatten()
        .fold(fastest + FAST_KT, |gate, limit| gate.min(limit.max(fastest)));
    let load = greatest(flights, |e| e.load_factor_max) + LOAD_G;
    let gate = |what, value, unit| Gate { what, value, unit };
    // A gate beyond what the attitude can show would never close.
    let mut out: Vec<Gate> = [
        gate("bank beyond", bank, "deg"),
        gate("nose above", up, "deg"),
        gate("nose below the horizon by", down, "deg"),
    ]
    .into_iter()
    .filter(|gate| {
        gate.value > 0.0 && gate.value < if gate.what == "bank beyond" { 180.0 } else { 90.0 }
    })
    .collect();
    out.extend([
        gate("indicated airspeed below", slowest - SLOW_KT.min(0.5 * margin.max(0.0)), "kt"),
        gate("indicated airspeed above", fast, "kt"),
        gate("load above", load.min(category.load_factor_max.to_g()), "g"),
    ]);
    out.extend(floor_ft.map(|floor| gate("height above mean sea level below", floor, "ft")));
    out
}
