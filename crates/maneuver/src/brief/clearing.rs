//! The clearing turns laid out: two of 90 degrees, opposite ways, the last part the way of the figure.

use base::factors::{M_PER_NM, RAD_PER_DEG};
use flight::envelope::{level_turn_radius_m, level_turn_rate_radps};

use crate::definition::Direction;
use crate::reference::ReferenceFlight;

/// Clearing turns before a figure.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Clearing {
    /// Way of the figure, and of the last turn.
    pub direction: Direction,
    /// Bank held, degrees.
    pub bank_deg: f64,
    /// Degrees of each of the two turns.
    pub each_deg: f64,
    /// Radius through the air, m.
    pub radius_m: f64,
    /// Seconds that both take, rolling in and out not counted.
    pub seconds: f64,
    /// How far they carry the airplane through the air, along the first heading and to the side of the first turn, m.
    pub carries_m: [f64; 2],
}

/// Bank of clearing turns, degrees, before figures that need approval and before the others.
///
/// # Source
/// CNATRA-P-330: at least 45 degrees of bank and 180 degrees of turn, two 90s will do, before every aerobatic figure; for the others
/// 30, common practice, no source.
const BANK_AEROBATIC_DEG: f64 = 45.0;
const BANK_DEG: f64 = 30.0;

/// The turns before a flight, at its entry speed.
pub(super) fn before(flight: &ReferenceFlight, aerobatic: bool) -> Option<Clearing> {
    let speed_mps = flight.samples.first()?.true_airspeed_mps;
    let bank_deg = if aerobatic { BANK_AEROBATIC_DEG } else { BANK_DEG };
    let radius_m = level_turn_radius_m(speed_mps, bank_deg * RAD_PER_DEG);
    let rate = level_turn_rate_radps(speed_mps, bank_deg * RAD_PER_DEG);
    Some(Clearing {
        direction: flight.direction,
        bank_deg,
        each_deg: 90.0,
        radius_m,
        seconds: std::f64::consts::PI / rate,
        // A quarter circle one way and a quarter circle back: two radii ahead, two aside.
        carries_m: [2.0 * radius_m, 2.0 * radius_m],
    })
}

impl Clearing {
    /// In words: "90 degrees right, then 90 degrees left, 45 degrees of bank: 24 s, ...".
    #[must_use]
    pub fn words(&self) -> String {
        let Self { direction, bank_deg, each_deg, seconds, carries_m, .. } = self;
        let (first, last) = (direction.opposite().word(), direction.word());
        let carried = carries_m[0] / M_PER_NM;
        format!(
            "{each_deg:.0} degrees to the {first}, then {each_deg:.0} to the {last}, the way of the figure, at {bank_deg:.0} degrees of \
             bank: {seconds:.0} s, {carried:.1} NM ahead and {carried:.1} NM to the {first}"
        )
    }
}
