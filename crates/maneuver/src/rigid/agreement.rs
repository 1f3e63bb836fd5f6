//! How far the two levels of flight agree.

use base::factors::{MPS_PER_KT, RAD_PER_DEG};
use base::frames::{Body, Fixed, Rot};
use base::math::{atan2, wrap_pi};
use flight::trajectory::FlightSample;

use super::channels::{Clock, attitude};
use super::plane::Plane;

/// Greatest differences of the rigid airplane from the point mass at the same place of the schedule, signed (rigid less point
/// mass), each with the progress at which it is.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Agreement {
    /// Height, m.
    pub height_m: f64,
    /// Height as a share of what the flight of the point mass spans, or of [`Self::HEIGHT_SPAN_LEAST_M`] where that is less.
    pub height_share: f64,
    /// Where, degrees.
    pub height_at_deg: f64,
    /// Calibrated airspeed, kt.
    pub speed_kt: f64,
    /// Where, degrees.
    pub speed_at_deg: f64,
    /// Bank, degrees.
    pub bank_deg: f64,
    /// Where, degrees.
    pub bank_at_deg: f64,
    /// Pitch, degrees: not part of the agreement asked for; slipstream and thrust carry a part of the weight, and the nose is
    /// where the same path needs it.
    pub pitch_deg: f64,
    /// Where, degrees.
    pub pitch_at_deg: f64,
}

impl Agreement {
    /// Spans of height below this are taken as this, m: two hundredths of it are two feet.
    pub const HEIGHT_SPAN_LEAST_M: f64 = 30.0;
    /// Asked for: height within this share.
    pub const HEIGHT_SHARE: f64 = 0.02;
    /// Speed within this, kt.
    pub const SPEED_KT: f64 = 1.0;
    /// Bank within this, degrees.
    pub const BANK_DEG: f64 = 1.0;

    /// Whether the levels agree as asked.
    #[must_use]
    pub fn holds(&self) -> bool {
        self.height_share.abs() <= Self::HEIGHT_SHARE
            && self.speed_kt.abs() <= Self::SPEED_KT
            && self.bank_deg.abs() <= Self::BANK_DEG
    }

    /// What height is held against, m.
    pub(super) fn span_m(samples: &[FlightSample]) -> f64 {
        let heights = samples.iter().map(|sample| sample.height_m);
        let (low, high) = heights.fold((f64::MAX, f64::MIN), |(a, b), h| (a.min(h), b.max(h)));
        (high - low).max(Self::HEIGHT_SPAN_LEAST_M)
    }

    pub(super) fn of(plane: &Plane<'_>, clock: &Clock, samples: &[FlightSample]) -> Self {
        let reading = plane.reading();
        let span_m = Self::span_m(&plane.reference.samples);
        let mut out = Self::default();
        for sample in samples {
            let other = reading.sample_beyond(clock.reference_beyond(sample.time_s));
            let at = other.progress_rad / RAD_PER_DEG;
            let keep = |most: &mut f64, place: &mut f64, value: f64| {
                if value.abs() > most.abs() {
                    (*most, *place) = (value, at);
                }
            };
            keep(&mut out.height_m, &mut out.height_at_deg, sample.height_m - other.height_m);
            let speed = sample.calibrated_airspeed_mps - other.calibrated_airspeed_mps;
            keep(&mut out.speed_kt, &mut out.speed_at_deg, speed / MPS_PER_KT);
            let angle = |a: f64, b: f64| wrap_pi(a - b) / RAD_PER_DEG;
            let bank = rolled(sample, &other) / RAD_PER_DEG;
            keep(&mut out.bank_deg, &mut out.bank_at_deg, bank);
            let pitch = angle(sample.pitch_rad, other.pitch_rad);
            keep(&mut out.pitch_deg, &mut out.pitch_at_deg, pitch);
        }
        out.height_share = out.height_m / span_m;
        out
    }
}

/// Nose further from the horizon than this: bank says little, and at the vertical nothing, rad.
const STEEP_RAD: f64 = 60.0 * RAD_PER_DEG;

/// Difference of bank, rad; with the nose far up or down the roll about it that takes one attitude to the other.
fn rolled(sample: &FlightSample, other: &FlightSample) -> f64 {
    if sample.pitch_rad.abs().max(other.pitch_rad.abs()) < STEEP_RAD {
        return wrap_pi(sample.bank_rad - other.bank_rad);
    }
    let of = |s: &FlightSample| attitude(s.heading_rad, s.pitch_rad, s.bank_rad);
    let (from, to): (Rot<Body, Fixed>, Rot<Body, Fixed>) = (of(other), of(sample));
    let (a, b) = (from.rows(), to.rows());
    let across = |i: usize, j: usize| (0..3).map(|k| a[k][i] * b[k][j]).sum::<f64>();
    atan2(across(2, 1) - across(1, 2), across(1, 1) + across(2, 2))
}
