//! What aerodynamic coefficients are functions of: angles, dimensionless rates, surfaces, pressure behind the propeller.

use crate::budget::Cause;
use crate::controls::Surfaces;
use crate::flow::Flow;
use crate::propulsion::Wash;

/// Below this speed, m/s, rates and pressure are made dimensionless as if at it: there is no force there, and no division
/// by nil.
const SPEED_LEAST_MPS: f64 = 0.1;

/// Lengths that make rates dimensionless: rate times length over speed.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct RateLengths {
    /// For rolling, m: half the span, or the span, as the source says.
    pub roll_m: f64,
    /// For pitching and changing incidence, m: half the chord, or the chord.
    pub pitch_m: f64,
    /// For yawing, m.
    pub yaw_m: f64,
}

/// One over the speed of [`RateLengths`] and of the pressure rise, s/m: finite.
#[inline]
pub(super) const fn per_speed_floored(flow: &Flow) -> f64 {
    if flow.speed_mps > SPEED_LEAST_MPS { flow.per_speed.0 } else { 1.0 / SPEED_LEAST_MPS }
}

macro_rules! variables {
    ($( $(#[$doc:meta])* $name:ident $word:literal; )+) => {
        /// A variable of a coefficient.
        #[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
        pub enum Variable { $( $(#[$doc])* $name, )+ }

        impl Variable {
            /// Every variable.
            pub const ALL: &'static [Self] = &[ $( Self::$name ),+ ];

            /// As airplane files write it.
            #[must_use]
            pub const fn word(self) -> &'static str {
                match self { $( Self::$name => $word, )+ }
            }
        }
    };
}

variables! {
    /// Angle of attack, rad.
    Alpha "alpha";
    /// Sideslip, rad.
    Beta "beta";
    /// Dimensionless roll rate.
    RollRate "roll_rate";
    /// Dimensionless pitch rate.
    PitchRate "pitch_rate";
    /// Dimensionless yaw rate.
    YawRate "yaw_rate";
    /// Elevator, rad, as [`crate::controls`] counts it.
    Elevator "elevator";
    /// Ailerons, rad.
    Aileron "aileron";
    /// Rudder, rad.
    Rudder "rudder";
    /// Flaps, rad.
    Flap "flap";
    /// Rise of total pressure through the propeller over dynamic pressure.
    PressureRise "pressure_rise";
    /// Mach number.
    Mach "mach";
}

/// Room for the values of one and of every variable: a power of two, so that no index needs a look at the end.
pub(super) const VALUES: usize = 16;
const _: () = assert!(Variable::ALL.len() < VALUES, "every variable has a place");
/// Values of one and of every variable, in this order: one first, so that a missing factor is a factor of one.
pub(super) type Values = [f64; VALUES];

impl Variable {
    /// The variable of a word.
    #[must_use]
    pub fn from_word(word: &str) -> Option<Self> {
        Self::ALL.iter().copied().find(|known| known.word() == word)
    }
    /// Place in the values.
    pub(super) const fn slot(self) -> u8 {
        self as u8 + 1
    }
    /// What a term with this factor is due to, and how strongly it says so: rates before controls, controls before the
    /// pressure rise, that before incidence and sideslip.
    const fn cause(self) -> (u8, Cause) {
        match self {
            Self::RollRate => (3, Cause::RollRate),
            Self::PitchRate => (3, Cause::PitchRate),
            Self::YawRate => (3, Cause::YawRate),
            Self::Elevator => (2, Cause::Elevator),
            Self::Aileron => (2, Cause::Aileron),
            Self::Rudder => (2, Cause::Rudder),
            Self::PressureRise => (1, Cause::Slipstream),
            Self::Alpha | Self::Beta | Self::Flap | Self::Mach => (0, Cause::Airframe),
        }
    }
}

/// What a product of variables is due to.
pub(super) fn cause(factors: impl IntoIterator<Item = Variable>) -> Cause {
    let strongest = factors.into_iter().map(Variable::cause).max();
    strongest.map_or(Cause::Airframe, |(_, cause)| cause)
}

/// Which variables a set of data is over: those that cost a division or an angle are worked out only where they are asked for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Asked {
    beta: bool,
    pressure_rise: bool,
    mach: bool,
}

impl Asked {
    /// By these variables.
    pub(super) fn of<'a>(variables: impl Iterator<Item = &'a Variable> + Clone) -> Self {
        let has = |wanted| variables.clone().any(|&variable| variable == wanted);
        Self {
            beta: has(Variable::Beta),
            pressure_rise: has(Variable::PressureRise),
            mach: has(Variable::Mach),
        }
    }
    /// Values at an instant; nil what is not asked for.
    #[inline]
    pub(super) fn values(
        self,
        lengths: &RateLengths,
        flow: &Flow,
        surfaces: &Surfaces,
        wash: &Wash,
    ) -> Values {
        let (rates, per_speed) = (flow.rates_radps, per_speed_floored(flow));
        let per_pressure = || 2.0 * per_speed * per_speed / flow.air.density_kgpm3;
        [
            1.0,
            flow.alpha_rad,
            if self.beta { flow.beta_rad() } else { 0.0 },
            rates.x * lengths.roll_m * per_speed,
            rates.y * lengths.pitch_m * per_speed,
            rates.z * lengths.yaw_m * per_speed,
            surfaces.elevator_rad,
            surfaces.aileron_rad,
            surfaces.rudder_rad,
            surfaces.flap_rad,
            if self.pressure_rise { wash.pressure_rise_pa * per_pressure() } else { 0.0 },
            if self.mach { flow.mach() } else { 0.0 },
            0.0,
            0.0,
            0.0,
            0.0,
        ]
    }
}

#[cfg(test)]
mod tests {
    use super::{Cause, Variable, cause};

    #[test]
    fn words_and_causes() {
        for variable in Variable::ALL {
            assert_eq!(Variable::from_word(variable.word()), Some(*variable));
        }
        assert_eq!(cause([]), Cause::Airframe);
        assert_eq!(cause([Variable::Beta, Variable::Elevator]), Cause::Elevator);
        assert_eq!(cause([Variable::PressureRise, Variable::Alpha]), Cause::Slipstream);
        assert_eq!(cause([Variable::Elevator, Variable::YawRate]), Cause::YawRate);
    }
}
