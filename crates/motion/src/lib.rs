//! The most likely motion of a recorded flight, with uncertainty. Knows airplanes and recordings, never maneuvers: a
//! reconstruction that knew what should have been flown would be pulled toward it.
//!
//! * [`state`]: the motion as columns of values and sigmas.
//! * [`reconstruct`](fn@reconstruct): from a recording to a motion.

pub mod state;

pub use state::{Column, Motion};

use base::units::{Pressure, Temperature};
use flight::airplane::Airplane;
use flight::wind::Wind;

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
