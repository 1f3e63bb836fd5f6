//! Hands and feet, in a brief.

use crate::number::{degrees, rounded, seconds};
use base::factors::RAD_PER_DEG;
use flight::inverse::causes::{Parts, Reason};
use maneuver::explain::Explanation;
use maneuver::rigid::{ControlSample, NotFlown, RigidFlight};
use schemars::JsonSchema;
use serde::Serialize;

/// Hands and feet of one side, computed with six degrees of freedom. Columns of equal length.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct Controls {
    /// Seconds of the schedule; begins before nil by as much as its first corner is rounded.
    pub time_s: Vec<f64>,
    /// Progress of the part being flown.
    pub progress_deg: Vec<f64>,
    /// Stick or wheel aft, share of travel, forward negative.
    pub stick_back: Vec<f64>,
    /// Stick or wheel to the right, share of travel.
    pub stick_right: Vec<f64>,
    /// Right pedal forward, share of travel, left pedal negative.
    pub pedal_right: Vec<f64>,
    /// Throttle, 0 to 1.
    pub throttle: Vec<f64>,
    /// Elevator trim, share of its range; set at entry and left alone.
    pub trim: Vec<f64>,
    /// Elevator, trailing edge up positive.
    pub elevator_deg: Vec<f64>,
    /// Aileron, right one up positive.
    pub aileron_deg: Vec<f64>,
    /// Rudder, trailing edge right positive.
    pub rudder_deg: Vec<f64>,
    /// Pull; null when the gradient is not known.
    pub stick_back_n: Option<Vec<f64>>,
    /// Force to the right; null when the gradient is not known.
    pub stick_right_n: Option<Vec<f64>>,
    /// Force on the right pedal, left negative; null when the gradient is not known.
    pub pedal_right_n: Option<Vec<f64>>,
    /// Sideslip, wind from the right positive: what is left of it with the ball centered.
    pub sideslip_deg: Vec<f64>,
    /// Ball, as an angle, to the left positive.
    pub ball_deg: Vec<f64>,
    /// Rudder by cause; the causes sum to `rudder_deg`.
    pub rudder_causes: Vec<CauseColumn>,
    /// Aileron by cause; the causes sum to `aileron_deg`.
    pub aileron_causes: Vec<CauseColumn>,
    /// Elevator by cause; the causes sum to `elevator_deg`.
    pub elevator_causes: Vec<CauseColumn>,
    /// How far the two levels of flight agree.
    pub agreement: AgreementOut,
    /// Corners of the schedule are spread over this time.
    pub rounding_s: f64,
    /// Controls that would have to go further or faster than they can.
    pub excesses: Vec<String>,
    /// What the form asks and is not quite met, with its size and where.
    pub misses: Vec<String>,
}

/// One cause of a deflection.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct CauseColumn {
    /// Stable key: `torque`, `slipstream`, `swirl`, `p-factor`, `gyroscopic`, `other-control`, ...
    pub key: &'static str,
    /// In words.
    pub title: &'static str,
    /// Part of the deflection.
    pub values_deg: Vec<f64>,
}

/// Greatest differences of six degrees of freedom from the coordinated point mass.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct AgreementOut {
    /// Height, m.
    pub height_m: f64,
    /// Height as a share of what the flight spans.
    pub height_share: f64,
    /// Calibrated airspeed.
    pub speed_kt: f64,
    /// Bank.
    pub bank_deg: f64,
}

/// What changes most between left and right.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct Difference {
    /// Progress at which it is greatest.
    pub at_deg: f64,
    /// There in the left figure, share of travel.
    pub left: f64,
    /// There in the right figure.
    pub right: f64,
    /// Which control: `rudder`, `aileron` or `elevator`.
    pub control: &'static str,
    /// What makes most of it.
    pub reason: &'static str,
    /// All of it in a sentence.
    pub sentence: String,
}

/// Controls, or why there are none.
pub(crate) fn controls(
    flown: Option<&Result<RigidFlight, NotFlown>>,
) -> (Option<Controls>, Option<String>) {
    match flown {
        Some(Ok(flight)) => (Some(flight.into()), None),
        Some(Err(why)) => (None, Some(format!("{why}; {}", why.hint()))),
        None => (None, None),
    }
}

impl From<&RigidFlight> for Controls {
    fn from(flight: &RigidFlight) -> Self {
        let all = &flight.controls;
        let column = |get: fn(&ControlSample) -> f64, decimals: i32| -> Vec<f64> {
            all.iter().map(|sample| rounded(get(sample), decimals)).collect()
        };
        let angle = |get: fn(&ControlSample) -> f64| -> Vec<f64> {
            all.iter().map(|sample| degrees(get(sample))).collect()
        };
        let force = |get: fn(&ControlSample) -> Option<f64>| -> Option<Vec<f64>> {
            all.iter().map(|sample| get(sample).map(|n| rounded(n, 1))).collect()
        };
        Self {
            time_s: all.iter().map(|sample| seconds(sample.time_s)).collect(),
            progress_deg: angle(|c| c.progress_rad),
            stick_back: column(|c| c.stick_back, 4),
            stick_right: column(|c| c.stick_right, 4),
            pedal_right: column(|c| c.pedal_right, 4),
            throttle: column(|c| c.throttle, 4),
            trim: column(|c| c.trim, 4),
            elevator_deg: angle(|c| c.elevator_rad),
            aileron_deg: angle(|c| c.aileron_rad),
            rudder_deg: angle(|c| c.rudder_rad),
            stick_back_n: force(|c| c.stick_back_n),
            stick_right_n: force(|c| c.stick_right_n),
            pedal_right_n: force(|c| c.pedal_right_n),
            sideslip_deg: angle(|c| c.sideslip_rad),
            ball_deg: angle(|c| c.ball_rad),
            rudder_causes: causes(all, |c| &c.causes.rudder),
            aileron_causes: causes(all, |c| &c.causes.aileron),
            elevator_causes: causes(all, |c| &c.causes.elevator),
            agreement: AgreementOut {
                height_m: rounded(flight.agreement.height_m, 2),
                height_share: rounded(flight.agreement.height_share, 4),
                speed_kt: rounded(flight.agreement.speed_kt, 3),
                bank_deg: rounded(flight.agreement.bank_deg, 3),
            },
            rounding_s: rounded(flight.rounding_s, 2),
            excesses: flight.excesses.iter().map(ToString::to_string).collect(),
            misses: flight.misses.iter().map(ToString::to_string).collect(),
        }
    }
}

fn causes(all: &[ControlSample], of: fn(&ControlSample) -> &Parts) -> Vec<CauseColumn> {
    let column = |reason: &Reason| CauseColumn {
        key: reason.key(),
        title: reason.words(),
        values_deg: all
            .iter()
            .map(|sample| rounded(of(sample).of(*reason) / RAD_PER_DEG, 4))
            .collect(),
    };
    Reason::ALL.iter().map(column).collect()
}

impl From<&Explanation> for Difference {
    fn from(found: &Explanation) -> Self {
        Self {
            at_deg: rounded(found.at_deg, 1),
            left: rounded(found.left, 4),
            right: rounded(found.right, 4),
            control: found.control.title(),
            reason: found.reason.words(),
            sentence: found.sentence.clone(),
        }
    }
}
