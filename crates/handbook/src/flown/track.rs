//! A recorded flight second by second, as the fit needs it.

use base::math::hypot;
use base::numerics::interpolation::linear;
use flight::air::SEA_LEVEL_DENSITY_KGPM3;
use motion::state::{Column, Motion, Place};
use recording::{QuantityKind, Recording};

/// Step of the track, s.
pub const STEP_S: f64 = 1.0;
/// Heights lower than this above the ground, m, may be flown with flaps down.
const LOW_M: f64 = 250.0;
/// A ball further out than this, g, is a slip or skid, whose drag is another (common practice: half a ball's width).
const BALL_MOST: f64 = 0.06;
/// More doubt in true airspeed than this, m/s, and energy says nothing.
const SPEED_SIGMA_MOST_MPS: f64 = 4.0;

/// One second of a flight.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Second {
    /// Since time zero of the recording, s.
    pub time_s: f64,
    /// True airspeed, m/s.
    pub true_mps: f64,
    /// One standard deviation of it.
    pub true_sigma_mps: f64,
    /// Calibrated airspeed, m/s.
    pub calibrated_mps: f64,
    /// Height, m.
    pub height_m: f64,
    /// Density, kg/m3.
    pub density_kgpm3: f64,
    /// Lift over weight.
    pub load: f64,
    /// Bank, rad.
    pub bank_rad: f64,
    /// Revolutions a second, where recorded.
    pub rotation_rps: Option<f64>,
    /// Whether it can be used: airborne, no hole, not near the ground.
    pub usable: bool,
}

/// A flight second by second.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Track {
    /// Even steps of [`STEP_S`].
    pub seconds: Vec<Second>,
    /// Doubt of the wind, m/s, middle of the flight.
    pub wind_sigma_mps: f64,
    /// Whether an airspeed was recorded.
    pub airspeed_recorded: bool,
}

/// What a recording lacks for the fit.
#[derive(Debug, Clone, Copy, PartialEq, Eq, thiserror::Error)]
pub enum TrackMissing {
    /// No true airspeed.
    #[error("no airspeed can be had from it")]
    Airspeed,
    /// No height.
    #[error("it has no height")]
    Height,
    /// Neither a wind from turns nor a recorded airspeed.
    #[error("the wind is not determined and no airspeed was recorded: energy says nothing")]
    Wind,
}

impl TrackMissing {
    /// What to do about it.
    #[must_use]
    pub const fn hint(&self) -> &'static str {
        match self {
            Self::Airspeed | Self::Wind => {
                "take a recording with airspeed, or one with turns all round, or tell the wind (--wind 270/12kt)"
            }
            Self::Height => "take a recording with height",
        }
    }
}

impl Track {
    /// Second by second from a motion that was found without an airplane.
    ///
    /// # Errors
    /// The motion lacks airspeed or height, or the wind is in too much doubt.
    pub fn of(recording: &Recording, motion: &Motion) -> Result<Self, TrackMissing> {
        let airspeed = motion.true_airspeed_mps.as_ref().ok_or(TrackMissing::Airspeed)?;
        let height = motion.height_m.as_ref().ok_or(TrackMissing::Height)?;
        let calibrated = motion.calibrated_airspeed_mps.as_ref().ok_or(TrackMissing::Height)?;
        let (load, bank) = (motion.load_factor.as_ref(), motion.bank_rad.as_ref());
        let (load, bank) =
            (load.ok_or(TrackMissing::Airspeed)?, bank.ok_or(TrackMissing::Airspeed)?);
        let median = base::numerics::statistics::median(&airspeed.sigma).unwrap_or(f64::INFINITY);
        if median.is_nan() || median > SPEED_SIGMA_MOST_MPS {
            return Err(TrackMissing::Wind);
        }
        let rotation = recording.series_of(QuantityKind::EngineSpeedRpm);
        let floor_m = floor_m(motion, height);
        let (first, last) = (motion.time_s[0], motion.time_s[motion.time_s.len() - 1]);
        let straight = |place: Place| {
            motion.lateral_load.as_ref().is_none_or(|ball| ball.at(place).0.abs() < BALL_MOST)
        };
        let second = |i: usize| {
            let time_s = first + STEP_S * i as f64;
            let place = motion.place_at(time_s)?;
            let at = |column: &Column| column.at(place).0;
            let (true_mps, true_sigma_mps) = airspeed.at(place);
            let ratio = (at(calibrated) / true_mps.max(1.0)).clamp(0.3, 1.3);
            let rotation_rps = rotation
                .filter(|series| series.times_s.len() > 1)
                .map(|series| linear(&series.times_s, &series.values, time_s) / 60.0);
            Some(Second {
                time_s,
                true_mps,
                true_sigma_mps,
                calibrated_mps: at(calibrated),
                height_m: at(height),
                density_kgpm3: SEA_LEVEL_DENSITY_KGPM3 * ratio * ratio,
                load: at(load),
                bank_rad: at(bank),
                rotation_rps,
                usable: usable(motion, place, time_s) && at(height) > floor_m && straight(place),
            })
        };
        let n = ((last - first) / STEP_S).floor() as usize + 1;
        let wind_sigma_mps = wind_sigma(motion);
        let airspeed_recorded = AIRSPEEDS.iter().any(|kind| recording.series_of(*kind).is_some());
        Ok(Self { seconds: (0..n).filter_map(second).collect(), wind_sigma_mps, airspeed_recorded })
    }
}

/// Airspeeds that a recorder may show.
pub const AIRSPEEDS: [QuantityKind; 3] = [
    QuantityKind::IndicatedAirspeedMps,
    QuantityKind::CalibratedAirspeedMps,
    QuantityKind::TrueAirspeedMps,
];

/// Doubt of the wind in the middle of the flight, m/s.
pub fn wind_sigma(motion: &Motion) -> f64 {
    let sigma = |column: Option<&Column>| {
        column.and_then(|c| base::numerics::statistics::median(&c.sigma)).unwrap_or(f64::INFINITY)
    };
    hypot(sigma(motion.wind_north_mps.as_ref()), sigma(motion.wind_east_mps.as_ref()))
}

fn usable(motion: &Motion, place: Place, time_s: f64) -> bool {
    let hole = motion.gaps.iter().any(|gap| (gap.from_s..=gap.to_s).contains(&time_s));
    motion.airborne[place.index] && !hole
}

/// Height below which nothing is used, m: none when the recording begins and ends in the air.
fn floor_m(motion: &Motion, height: &Column) -> f64 {
    let ground: Vec<f64> = motion
        .airborne
        .iter()
        .zip(&height.value)
        .filter_map(|(airborne, height_m)| (!airborne).then_some(*height_m))
        .collect();
    base::numerics::statistics::median(&ground)
        .map_or(f64::NEG_INFINITY, |ground_m| ground_m + LOW_M)
}
