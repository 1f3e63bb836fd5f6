//! Kinds: quantities of one dimension that must never be mixed.
//!
//! Indicated, calibrated, true and ground speed are all meters per second, and taking one for another is this trade's
//! real accident. Turning one kind into another is a function that asks for what it needs: the atmosphere, the wind, the
//! position error, the variation (see `flight::airspeed`, `flight::air`). Directions are kept in [0, 360) degrees and
//! are subtracted only by `turn_from`, which gives the signed shorter way.

use crate::factors as f;
use crate::math::{wrap_pi, wrap_two_pi};
use crate::units::{Angle, Length, Speed, linear, quantity};

macro_rules! speed_kind {
    ($(#[$doc:meta])* $name:ident, $text:literal) => {
        quantity! {
            $(#[$doc])*
            $name, $text, {
                "m/s" from_mps try_from_mps to_mps 1.0, 0.0;
                "kt" from_kt try_from_kt to_kt f::MPS_PER_KT, 0.0;
                "km/h" from_kmh try_from_kmh to_kmh f::MPS_PER_KMH, 0.0;
                "mph" from_mph try_from_mph to_mph f::MPS_PER_MPH, 0.0;
            }
        }
        impl std::ops::Sub for $name {
            type Output = Speed;
            fn sub(self, other: Self) -> Speed { Speed::from_mps(self.0 - other.0) }
        }
        impl std::ops::Add<Speed> for $name {
            type Output = Self;
            fn add(self, other: Speed) -> Self { Self(self.0 + other.to_mps()) }
        }
        impl std::ops::Mul<f64> for $name { type Output = Self; fn mul(self, factor: f64) -> Self { Self(self.0 * factor) } }
        impl std::ops::Div for $name { type Output = f64; fn div(self, other: Self) -> f64 { self.0 / other.0 } }
    };
}

speed_kind! {
    /// What the airspeed indicator shows.
    IndicatedAirspeed, "indicated airspeed"
}
speed_kind! {
    /// Indicated airspeed corrected for instrument and position error.
    CalibratedAirspeed, "calibrated airspeed"
}
speed_kind! {
    /// Speed that gives the same dynamic pressure at sea-level density.
    EquivalentAirspeed, "equivalent airspeed"
}
speed_kind! {
    /// Speed through the air mass.
    TrueAirspeed, "true airspeed"
}
speed_kind! {
    /// Speed over the ground.
    GroundSpeed, "ground speed"
}

macro_rules! height_kind {
    ($(#[$doc:meta])* $name:ident, $text:literal) => {
        quantity! {
            $(#[$doc])*
            $name, $text, {
                "m" from_m try_from_m to_m 1.0, 0.0;
                "ft" from_ft try_from_ft to_ft f::M_PER_FT, 0.0;
            }
        }
        impl std::ops::Sub for $name {
            type Output = Length;
            fn sub(self, other: Self) -> Length { Length::from_m(self.0 - other.0) }
        }
        impl std::ops::Add<Length> for $name {
            type Output = Self;
            fn add(self, other: Length) -> Self { Self(self.0 + other.to_m()) }
        }
    };
}

height_kind! {
    /// Height above mean sea level, as a tape measure would find it.
    GeometricHeight, "height above mean sea level"
}
height_kind! {
    /// Height in the standard atmosphere at which the same static pressure is found (geopotential).
    PressureAltitude, "pressure altitude"
}
height_kind! {
    /// Height in the standard atmosphere at which the same density is found (geopotential).
    DensityAltitude, "density altitude"
}

macro_rules! direction_kind {
    ($(#[$doc:meta])* $name:ident, $text:literal) => {
        $(#[$doc])*
        #[derive(Debug, Clone, Copy, PartialEq, PartialOrd)]
        pub struct $name(f64);
        impl $name {
            /// North.
            pub const NORTH: Self = Self(0.0);
            #[doc = concat!("From degrees clockwise from north, any turn; `None` when not finite (", $text, ").")]
            #[must_use]
            pub fn try_from_deg(value: f64) -> Option<Self> {
                value.is_finite().then(|| Self(wrap_two_pi(value * f::RAD_PER_DEG)))
            }
            /// From degrees clockwise from north. Panics when not finite: a bug of the caller.
            #[must_use]
            pub fn from_deg(value: f64) -> Self {
                Self::from_rad(value * f::RAD_PER_DEG)
            }
            /// From radians clockwise from north. Panics when not finite: a bug of the caller.
            #[must_use]
            pub fn from_rad(value: f64) -> Self {
                assert!(value.is_finite(), concat!($text, " must be finite"));
                Self(wrap_two_pi(value))
            }
            /// Radians clockwise from north, in [0, 2 pi).
            #[must_use]
            pub const fn to_rad(self) -> f64 { self.0 }
            /// Degrees clockwise from north, in [0, 360).
            #[must_use]
            pub const fn to_deg(self) -> f64 { self.0 / f::RAD_PER_DEG }
            /// The signed shorter turn from `start` to `self`, positive right, in (-180, 180] degrees.
            #[must_use]
            pub fn turn_from(self, start: Self) -> Angle { Angle::from_rad(wrap_pi(self.0 - start.0)) }
            /// The direction after turning right by `turn`.
            #[must_use]
            pub fn turned_by(self, turn: Angle) -> Self { Self::from_rad(self.0 + turn.to_rad()) }
        }
    };
}

direction_kind! {
    /// Where the nose points, from true north.
    TrueHeading, "true heading"
}
direction_kind! {
    /// Where the nose points, from magnetic north.
    MagneticHeading, "magnetic heading"
}
direction_kind! {
    /// Where the airplane moves over the ground, from true north.
    Track, "track"
}

quantity! {
    /// Magnetic variation (declination), positive east.
    Variation, "magnetic variation", {
        "rad" from_rad try_from_rad to_rad 1.0, 0.0;
        "deg" from_deg try_from_deg to_deg f::RAD_PER_DEG, 0.0;
    }
}
linear!(Variation);

impl MagneticHeading {
    /// The true heading at a place with this variation.
    #[must_use]
    pub fn to_true(self, variation: Variation) -> TrueHeading {
        TrueHeading::from_rad(self.0 + variation.to_rad())
    }
}

impl TrueHeading {
    /// The magnetic heading at a place with this variation.
    #[must_use]
    pub fn to_magnetic(self, variation: Variation) -> MagneticHeading {
        MagneticHeading::from_rad(self.0 - variation.to_rad())
    }
}
