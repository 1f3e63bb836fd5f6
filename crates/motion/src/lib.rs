//! The most likely motion of a recorded flight, with uncertainty. Knows airplanes and recordings, never maneuvers: a
//! reconstruction that knew what should have been flown would be pulled toward it.
//!
//! * [`state`]: the motion as columns of values and sigmas.
//! * [`reconstruct`](fn@reconstruct): from a recording to a motion.
//! * [`smoother`]: position, velocity and acceleration.
//! * `track`, `learn`, `wind`, `recorded`, `attitude`: the steps of the reconstruction.
//!
//! Accuracy reached on flights of a foreign flight model stands in the tests of this crate.

mod alone;
mod attitude;
mod body;
mod dual;
mod factors;
mod fuse;
mod gusts;
mod heights;
mod joint;
mod learn;
mod output;
mod recorded;
mod sensors;
pub mod smoother;
pub mod state;
mod strays;
mod track;
mod wind;

pub use state::{Column, HeightErrors, Motion, Offset};
pub use wind::wind_from_three_headings;

use base::units::{Pressure, Temperature};
use flight::airplane::Airplane;
use flight::wind::Wind;
use recording::Recording;

/// What is known besides the recording; everything may be absent.
#[derive(Debug, Clone, Copy, Default)]
pub struct Known<'a> {
    /// The airplane flown: gives absolute pitch through its incidence, and checks.
    pub airplane: Option<&'a Airplane>,
    /// Altimeter setting of the day.
    pub qnh: Option<Pressure>,
    /// Outside air temperature at the first airborne height.
    pub temperature: Option<Temperature>,
    /// Wind told by the user; else it is found from the track.
    pub wind: Option<Wind>,
}

/// Why there is no motion.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum MotionError {
    /// Fewer than ten position fixes, and no airspeed, height and bank to do without.
    #[error(
        "only {n} position fixes, and not enough of airspeed, altitude and bank: too few for a motion"
    )]
    TooFewFixes {
        /// How many there are.
        n: usize,
    },
    /// The fixes do not determine the motion somewhere.
    #[error("the fixes do not determine the motion at {time_s:.1} s")]
    NotDetermined {
        /// Where.
        time_s: f64,
    },
}

impl MotionError {
    /// What to do about it.
    #[must_use]
    pub const fn hint(&self) -> &'static str {
        match self {
            Self::TooFewFixes { .. } => {
                "give a recording with positions, or one with airspeed, altitude and bank"
            }
            Self::NotDetermined { .. } => "check the recording for a hole or repeated times there",
        }
    }
}

/// Reconstructs the motion of a recording. Linear in its length, time and memory.
///
/// # Errors
/// Too few fixes, or fixes that do not determine a motion.
pub fn reconstruct(recording: &Recording, known: &Known<'_>) -> Result<Motion, MotionError> {
    const FIXES_MIN: usize = 10;
    if recording.fixes.len() < FIXES_MIN {
        return alone::motion(recording, known);
    }
    let apart = if fuse::shows_roll(recording) {
        track::APART_PANEL
    } else if fuse::shows_attitude(recording) {
        track::APART_FINE
    } else {
        track::APART
    };
    let mut notes = Vec::new();
    // A recorded attitude shows the way by itself where the receiver loses it.
    let fixes = if fuse::shows_attitude(recording) {
        std::borrow::Cow::Borrowed(recording.fixes.as_slice())
    } else {
        strays::without(recording, &mut notes)
    };
    let track = track::smooth(&fixes, apart)?;
    let finite = |k: &usize| {
        let numbers = [track.velocity[*k], track.acceleration[*k], track.velocity_sigma[*k]];
        numbers.iter().flatten().all(|number| number.is_finite())
    };
    if let Some(k) = (0..track.time_s.len()).find(|k| !finite(k)) {
        return Err(MotionError::NotDetermined { time_s: track.time_s[k] });
    }
    attitude::assemble(recording, known, &track, notes)
}
