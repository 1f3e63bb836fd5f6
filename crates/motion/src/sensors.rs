//! The sensors besides the satellite receiver, as the joint smoother sees them: channels of samples, each of something that the
//! state says, late by a delay and off by a bias that are found with the motion.

mod build;
mod device;

pub(crate) use build::{AIRSPEED_SHARE, Surroundings, channels, stretch_of_height};
pub(crate) use device::{Expected, Mount, start as start_device};

/// What a channel shows of the airplane.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Kind {
    /// True airspeed, m/s.
    Airspeed,
    /// Height, m.
    Height,
    /// Climb, m/s.
    Climb,
    /// Bank, rad.
    Bank,
    /// Pitch, rad.
    Pitch,
    /// Heading from true north, rad.
    Heading,
    /// Specific force along a body axis (forward, right, down), m/s2.
    Force(usize),
    /// Rotation about a body axis, rad/s.
    Rate(usize),
    /// Specific force along a device axis, m/s2, mean over the step between knots.
    DeviceForce(usize),
    /// Rotation about a device axis, rad/s, mean over the step between knots.
    DeviceRate(usize),
}

impl Kind {
    /// In a sentence.
    pub(crate) const fn words(self) -> &'static str {
        match self {
            Self::Airspeed => "airspeed",
            Self::Height => "height",
            Self::Climb => "vertical speed",
            Self::Bank => "bank",
            Self::Pitch => "pitch",
            Self::Heading => "heading",
            Self::Force(_) => "load",
            Self::Rate(_) => "rate of rotation",
            Self::DeviceForce(_) => "acceleration of the device",
            Self::DeviceRate(_) => "rotation of the device",
        }
    }
    /// Whether it tells of an interval between knots, not of an instant.
    pub(crate) const fn of_interval(self) -> bool {
        matches!(self, Self::Rate(_) | Self::DeviceRate(_))
    }
    /// Whether it is felt by a device that lies anyhow.
    pub(crate) const fn of_device(self) -> bool {
        matches!(self, Self::DeviceForce(_) | Self::DeviceRate(_))
    }
    /// Whether it is an angle all around.
    pub(crate) const fn circular(self) -> bool {
        matches!(self, Self::Bank | Self::Heading)
    }
    /// How far apart samples have to be for their errors to be strangers, s: filters and gyroscopes stray slowly (common practice,
    /// no source).
    pub(crate) const fn apart_s(self) -> f64 {
        match self {
            Self::Pitch => 4.0,
            Self::Heading => 30.0,
            Self::Bank | Self::Airspeed | Self::Climb => 1.0,
            Self::Height => 2.0,
            Self::Force(_) | Self::DeviceForce(_) => 0.5,
            Self::Rate(_) | Self::DeviceRate(_) => 0.2,
        }
    }
}

/// Samples of one sensor.
#[derive(Debug, Clone)]
pub(crate) struct Channel {
    pub(crate) kind: Kind,
    /// Whether its samples are so dense that their means over the step between knots are taken.
    pub(crate) averaged: bool,
    pub(crate) times_s: Vec<f64>,
    pub(crate) values: Vec<f64>,
    /// One weight a sample: outliers less than one.
    pub(crate) weights: Vec<f64>,
    /// Noise of a sample, found; and what is usual.
    pub(crate) sigma: f64,
    pub(crate) usual: f64,
    /// How much of a sample is news: errors of neighbors are alike.
    pub(crate) share: f64,
    /// No more than this: its samples lie closer together than its errors change.
    pub(crate) share_most: f64,
    /// Unknowns of the whole flight.
    pub(crate) delay: usize,
    pub(crate) bias: Option<usize>,
    pub(crate) scale: Option<usize>,
    /// What the scale is counted from; a force has a tilt in its place, which lets in some of the force along another axis.
    pub(crate) scale_from: f64,
    /// The three angles of the mounting, for a device.
    pub(crate) mount: [usize; 3],
}

/// An unknown of the whole flight.
#[derive(Debug, Clone)]
pub(crate) struct Global {
    pub(crate) value: f64,
    pub(crate) sigma: f64,
    pub(crate) prior: f64,
    pub(crate) prior_sigma: f64,
    /// How it is told: sensor, what, unit, and the factor from the value to the unit; nothing for those that are not told.
    pub(crate) told: Option<Told>,
}

/// How an unknown is told.
#[derive(Debug, Clone)]
pub(crate) struct Told {
    pub(crate) sensor: String,
    pub(crate) what: &'static str,
    pub(crate) unit: &'static str,
    pub(crate) factor: f64,
}

impl Global {
    pub(crate) const fn new(prior: f64, prior_sigma: f64, told: Option<Told>) -> Self {
        Self { value: prior, sigma: prior_sigma, prior, prior_sigma, told }
    }
}

/// The first unknowns of the whole flight: factor of drag, level of incidence, logarithm of its slope and of the side force.
pub(crate) const DRAG: usize = 0;
pub(crate) const LEVEL: usize = 1;
pub(crate) const SLOPE: usize = 2;
pub(crate) const SIDE: usize = 3;
