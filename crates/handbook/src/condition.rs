//! What a manual or a flight says something of: the conditions that a fit is held against.

/// Power of a level flight.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum LevelPower {
    /// Share of greatest power at sea level.
    Share(f64),
    /// Shaft power, W.
    Shaft(f64),
    /// Throttle open.
    Full,
}

/// Something a manual states, or a brief asks for. Masses in kg, heights in m of pressure altitude in standard air, calibrated
/// airspeeds in m/s; the value is in SI.
#[derive(Debug, Clone, PartialEq)]
pub enum Condition {
    /// Greatest power at sea level, W.
    RatedPower,
    /// Shaft power at full throttle, W.
    FullPower {
        /// Height.
        height_m: f64,
        /// Speed.
        calibrated_mps: f64,
    },
    /// Share of full power that is taken up standing.
    StaticShare,
    /// Stall speed, calibrated, idle; `position` counts flap positions, nil for up.
    Stall {
        /// Flap position.
        position: usize,
        /// Mass.
        mass_kg: f64,
    },
    /// Stall speed at full power, flaps up, calibrated.
    StallFullPower {
        /// Height.
        height_m: f64,
        /// Mass.
        mass_kg: f64,
    },
    /// Rate of climb at full throttle, m/s; at the best speed when none is given.
    Climb {
        /// Height.
        height_m: f64,
        /// Mass.
        mass_kg: f64,
        /// Speed.
        calibrated_mps: Option<f64>,
    },
    /// Rate of climb at a shaft power, m/s.
    ClimbAtPower {
        /// Height.
        height_m: f64,
        /// Mass.
        mass_kg: f64,
        /// Speed.
        calibrated_mps: f64,
        /// Shaft power.
        shaft_w: f64,
    },
    /// Speed of the best rate of climb, calibrated.
    BestRate {
        /// Height.
        height_m: f64,
        /// Mass.
        mass_kg: f64,
    },
    /// Speed of the best angle of climb, calibrated.
    BestAngle {
        /// Height.
        height_m: f64,
        /// Mass.
        mass_kg: f64,
    },
    /// Rate of descent with the engine idle, m/s.
    Sink {
        /// Height.
        height_m: f64,
        /// Mass.
        mass_kg: f64,
        /// Speed.
        calibrated_mps: f64,
    },
    /// Speed of the best glide, calibrated.
    BestGlide {
        /// Mass.
        mass_kg: f64,
    },
    /// Ratio of the best glide.
    GlideRatio {
        /// Mass.
        mass_kg: f64,
    },
    /// Level true airspeed.
    LevelSpeed {
        /// Height.
        height_m: f64,
        /// Mass.
        mass_kg: f64,
        /// Power.
        power: LevelPower,
    },
    /// Fuel, m3/s, of a level flight at this power.
    Fuel {
        /// Power.
        power: LevelPower,
    },
    /// Fuel, m3/s, of a level flight at this true airspeed.
    FuelAtSpeed {
        /// Height.
        height_m: f64,
        /// Mass.
        mass_kg: f64,
        /// Speed.
        true_mps: f64,
    },
    /// Steepest bank held level at full throttle, rad.
    SustainedBank {
        /// Height.
        height_m: f64,
        /// Mass.
        mass_kg: f64,
    },
    /// What was flown over a stretch: mean specific excess power, m/s.
    Flown(Box<Stretch>),
    /// Lift coefficient at which the wing was seen to let go, idle, flaps up.
    LiftReached,
}

/// What pulls during a stretch that was flown.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Pull {
    /// Throttle open.
    Full,
    /// Throttle closed.
    Idle,
    /// Blades of one angle whose speed of rotation is recorded: thrust over density, speed of rotation and diameter squared is
    /// `a (1 - (J / J0)^p)`, `J` the advance ratio. Place of `a` among the unknowns; `J0` and `p` follow it.
    Rotation(usize),
}

/// One moment of a stretch.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Moment {
    /// True airspeed, m/s.
    pub true_mps: f64,
    /// Density, kg/m3.
    pub density_kgpm3: f64,
    /// Lift over weight.
    pub load: f64,
    /// Revolutions a second, where recorded.
    pub rotation_rps: Option<f64>,
}

/// A stretch of a flight, for its energy: even steps of time.
#[derive(Debug, Clone, PartialEq)]
pub struct Stretch {
    /// Moments at even times, three or more.
    pub moments: Vec<Moment>,
    /// What pulls.
    pub pull: Pull,
    /// Mass told for the flight, kg.
    pub mass_kg: f64,
    /// Part of the excess power that went into speed, m/s.
    pub kinetic_mps: f64,
    /// Places among the unknowns of the flight's mass over the one told, and of true airspeed over the one found.
    pub places: (usize, usize),
}

impl Condition {
    /// One standard deviation of what this kind of value departs by from any airplane of the model, besides the doubts, as a share of
    /// it: where a curve is flat, its best place hangs on details that the model has not. Our judgement, held against airplanes of
    /// another kind of model in the tests.
    #[must_use]
    pub const fn own_doubt(&self) -> f64 {
        match self {
            Self::BestAngle { .. } => 0.11,
            Self::BestRate { .. } => 0.05,
            Self::GlideRatio { .. } => 0.05,
            Self::BestGlide { .. } | Self::Sink { .. } => 0.02,
            Self::LevelSpeed { .. } | Self::SustainedBank { .. } => 0.01,
            Self::StallFullPower { .. } => 0.02,
            Self::RatedPower
            | Self::FullPower { .. }
            | Self::StaticShare
            | Self::Stall { .. }
            | Self::Climb { .. }
            | Self::ClimbAtPower { .. }
            | Self::Fuel { .. }
            | Self::FuelAtSpeed { .. }
            | Self::Flown(_)
            | Self::LiftReached => 0.0,
        }
    }
}
