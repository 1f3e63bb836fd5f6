//! A computed flight read as the published trajectories are written: their quantities, units and signs.

use base::factors::{M_PER_FT, M2_PER_FT2, RAD_PER_DEG};
use base::frames::Vec3;
use base::math::wrap_pi;
use flight::vehicle::{State, StateArray, World};

use crate::bodies::KG_PER_SLUG;
use crate::table::Table;

/// One instant in the units of the published trajectories (NESC).
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Sample {
    /// Time, s.
    pub time_s: f64,
    /// Height above ellipsoid or sphere, ft.
    pub altitude_ft: f64,
    /// Geodetic latitude, degrees.
    pub latitude_deg: f64,
    /// Longitude, degrees.
    pub longitude_deg: f64,
    /// Velocity over the earth north, east, down, ft/s.
    pub velocity_ftps: [f64; 3],
    /// Yaw, pitch, roll from the local level, degrees.
    pub euler_deg: [f64; 3],
    /// Body rates relative to inertial space, degrees/s.
    pub rates_degps: [f64; 3],
    /// Gravitation along the local vertical, ft/s2.
    pub gravitation_ftps2: f64,
    /// Density of the air, slug/ft3.
    pub density_slugpft3: f64,
    /// Speed of sound, ft/s.
    pub sound_ftps: f64,
}

impl Sample {
    /// Reads a state.
    #[must_use]
    pub fn of(world: &World<'_>, time_s: f64, state: &StateArray) -> Self {
        let state = State::from_array(state);
        let earth = &world.earth;
        let place = earth.geodetic(state.position_m);
        let attitude = state.attitude_on(earth);
        let velocity = state.velocity_on(earth);
        let ned_from_fixed = earth.place(state.position_m).ned_from_fixed;
        let gravitation = ned_from_fixed.apply(earth.gravitation(state.position_m));
        let air = world.air.at(place.height_m);
        let degrees = |radians: f64| radians / RAD_PER_DEG;
        let feet = |meters: f64| meters / M_PER_FT;
        let Vec3 { x: p, y: q, z: r, .. } = state.rates_radps;
        Self {
            time_s,
            altitude_ft: feet(place.height_m),
            latitude_deg: place.latitude_deg(),
            longitude_deg: place.longitude_deg(),
            velocity_ftps: [velocity.x, velocity.y, velocity.z].map(feet),
            euler_deg: [attitude.heading_rad, attitude.pitch_rad, attitude.bank_rad].map(degrees),
            rates_degps: [p, q, r].map(degrees),
            gravitation_ftps2: feet(gravitation.z),
            density_slugpft3: air.density_kgpm3 / KG_PER_SLUG * M2_PER_FT2 * M_PER_FT,
            sound_ftps: feet(air.sound_mps),
        }
    }
}

/// A quantity of a sample.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Quantity {
    /// Height.
    Altitude,
    /// Latitude and longitude.
    Place,
    /// Velocity over the earth.
    Velocity,
    /// Yaw, pitch, roll.
    Euler,
    /// Body rates.
    Rates,
    /// Gravitation.
    Gravitation,
    /// Density.
    Density,
    /// Speed of sound.
    Sound,
}

impl Quantity {
    /// Word for it in keys.
    #[must_use]
    pub const fn key(self) -> &'static str {
        match self {
            Self::Altitude => "altitude",
            Self::Place => "place",
            Self::Velocity => "velocity",
            Self::Euler => "euler",
            Self::Rates => "rates",
            Self::Gravitation => "gravitation",
            Self::Density => "density",
            Self::Sound => "sound",
        }
    }
    /// Its unit.
    #[must_use]
    pub const fn unit(self) -> &'static str {
        match self {
            Self::Altitude => "ft",
            Self::Place | Self::Euler => "deg",
            Self::Velocity | Self::Sound => "ft/s",
            Self::Rates => "deg/s",
            Self::Gravitation => "ft/s2",
            Self::Density => "slug/ft3",
        }
    }
    /// Columns of the published trajectories that hold it.
    #[must_use]
    pub const fn columns(self) -> &'static [&'static str] {
        match self {
            Self::Altitude => &["altitudeMsl_ft"],
            Self::Place => &["latitude_deg", "longitude_deg"],
            Self::Velocity => &["feVelocity_ft_s_X", "feVelocity_ft_s_Y", "feVelocity_ft_s_Z"],
            Self::Euler => &["eulerAngle_deg_Yaw", "eulerAngle_deg_Pitch", "eulerAngle_deg_Roll"],
            Self::Rates => &[
                "bodyAngularRateWrtEi_deg_s_Roll",
                "bodyAngularRateWrtEi_deg_s_Pitch",
                "bodyAngularRateWrtEi_deg_s_Yaw",
            ],
            Self::Gravitation => &["localGravity_ft_s2"],
            Self::Density => &["airDensity_slug_ft3"],
            Self::Sound => &["speedOfSound_ft_s"],
        }
    }
    /// One of its components: as many as there are columns.
    #[must_use]
    pub fn component(self, sample: &Sample, index: usize) -> f64 {
        match self {
            Self::Altitude => sample.altitude_ft,
            Self::Place => [sample.latitude_deg, sample.longitude_deg][index],
            Self::Velocity => sample.velocity_ftps[index],
            Self::Euler => sample.euler_deg[index],
            Self::Rates => sample.rates_degps[index],
            Self::Gravitation => sample.gravitation_ftps2,
            Self::Density => sample.density_slugpft3,
            Self::Sound => sample.sound_ftps,
        }
    }
    const fn is_angle(self) -> bool {
        matches!(self, Self::Place | Self::Euler)
    }
    /// How far two values are apart, whole turns not counted.
    #[must_use]
    pub fn distance(self, a: f64, b: f64) -> f64 {
        if self.is_angle() { (near(a, b) - b).abs() } else { (a - b).abs() }
    }
    /// Values and references of every component at every sample; angles are brought within half a turn of their reference.
    #[must_use]
    pub fn pairs(self, samples: &[Sample], table: &Table) -> Vec<(f64, f64)> {
        let mut pairs = Vec::with_capacity(samples.len() * self.columns().len());
        for (index, column) in self.columns().iter().enumerate() {
            for (sample, reference) in samples.iter().zip(table.column(column)) {
                let value = self.component(sample, index);
                pairs.push((
                    if self.is_angle() { near(value, reference) } else { value },
                    reference,
                ));
            }
        }
        pairs
    }
}

/// The angle that differs from this one by whole turns and lies within half a turn of the reference, degrees.
#[must_use]
pub fn near(angle_deg: f64, reference_deg: f64) -> f64 {
    if !(angle_deg - reference_deg).is_finite() {
        return f64::NAN;
    }
    reference_deg + wrap_pi((angle_deg - reference_deg) * RAD_PER_DEG) / RAD_PER_DEG
}
