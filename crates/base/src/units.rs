//! Newtypes for physical quantities: SI inside, trade units only through named constructors and getters.
//!
//! A value is always finite: constructors refuse NaN and infinity, so ordering and formatting are total. `from_kt(x)` is
//! for values the program computed and panics on a non-finite one (a bug of ours); `try_from_kt(x)` is for values that
//! came from outside. There is no `From<f64>`: a bare number has no unit.

use crate::factors as f;

/// A quantity that [`crate::quantity`] can read from text and write to text.
pub trait Quantity: Copy + Sized {
    /// What it is called in messages ("length", "calibrated airspeed").
    const NAME: &'static str;
    /// Accepted unit spellings with scale and offset to SI: `si = scale * value + offset`.
    const UNITS: &'static [Unit];
    /// From the SI value. `None` when not finite.
    fn try_from_si(value: f64) -> Option<Self>;
    /// The SI value.
    fn to_si(self) -> f64;
}

/// One accepted spelling of a unit.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Unit {
    /// As typed: "ft", "kt", "hPa".
    pub symbol: &'static str,
    /// SI units in one of these.
    pub scale: f64,
    /// SI value at zero of these (temperatures only).
    pub offset: f64,
}

macro_rules! quantity {
    ($(#[$doc:meta])* $name:ident, $text:literal, { $( $symbol:literal $from:ident $try_from:ident $to:ident $scale:expr, $offset:expr; )+ }) => {
        $(#[$doc])*
        #[derive(Debug, Clone, Copy, PartialEq, PartialOrd)]
        pub struct $name(f64);

        impl $name {
            $(
                #[doc = concat!("From a value in ", $symbol, ". Panics when not finite: a bug of the caller.")]
                #[must_use]
                pub const fn $from(value: f64) -> Self {
                    assert!(value.is_finite(), concat!($text, " must be finite"));
                    Self($scale * value + $offset)
                }
                #[doc = concat!("From a value in ", $symbol, " that came from outside; `None` when not finite.")]
                #[must_use]
                pub const fn $try_from(value: f64) -> Option<Self> {
                    let si = $scale * value + $offset;
                    if si.is_finite() { Some(Self(si)) } else { None }
                }
                #[doc = concat!("The value in ", $symbol, ".")]
                #[must_use]
                pub const fn $to(self) -> f64 {
                    (self.0 - $offset) / $scale
                }
            )+
        }

        impl $crate::units::Quantity for $name {
            const NAME: &'static str = $text;
            const UNITS: &'static [$crate::units::Unit] =
                &[$( $crate::units::Unit { symbol: $symbol, scale: $scale, offset: $offset } ),+];
            fn try_from_si(value: f64) -> Option<Self> {
                value.is_finite().then_some(Self(value))
            }
            fn to_si(self) -> f64 {
                self.0
            }
        }
    };
}
pub(crate) use quantity;

macro_rules! linear {
    ($($name:ident),+) => { $(
        impl $name {
            /// Nothing of it.
            pub const ZERO: Self = Self(0.0);
            /// Absolute value.
            #[must_use]
            pub const fn abs(self) -> Self { Self(self.0.abs()) }
        }
        impl std::ops::Add for $name { type Output = Self; fn add(self, other: Self) -> Self { Self(self.0 + other.0) } }
        impl std::ops::Sub for $name { type Output = Self; fn sub(self, other: Self) -> Self { Self(self.0 - other.0) } }
        impl std::ops::Neg for $name { type Output = Self; fn neg(self) -> Self { Self(-self.0) } }
        impl std::ops::Mul<f64> for $name { type Output = Self; fn mul(self, factor: f64) -> Self { Self(self.0 * factor) } }
        impl std::ops::Div<f64> for $name { type Output = Self; fn div(self, divisor: f64) -> Self { Self(self.0 / divisor) } }
        impl std::ops::Div for $name { type Output = f64; fn div(self, other: Self) -> f64 { self.0 / other.0 } }
    )+ };
}
pub(crate) use linear;

quantity! {
    /// A distance. Heights have kinds of their own in [`crate::kinds`].
    Length, "length", {
        "m" from_m try_from_m to_m 1.0, 0.0;
        "km" from_km try_from_km to_km 1000.0, 0.0;
        "ft" from_ft try_from_ft to_ft f::M_PER_FT, 0.0;
        "in" from_in try_from_in to_in f::M_PER_IN, 0.0;
        "NM" from_nm try_from_nm to_nm f::M_PER_NM, 0.0;
    }
}
quantity! {
    /// A speed without a kind (wind, vertical speed). Airspeeds have kinds in [`crate::kinds`].
    Speed, "speed", {
        "m/s" from_mps try_from_mps to_mps 1.0, 0.0;
        "kt" from_kt try_from_kt to_kt f::MPS_PER_KT, 0.0;
        "km/h" from_kmh try_from_kmh to_kmh f::MPS_PER_KMH, 0.0;
        "mph" from_mph try_from_mph to_mph f::MPS_PER_MPH, 0.0;
        "ft/min" from_fpm try_from_fpm to_fpm f::MPS_PER_FPM, 0.0;
        "ft/s" from_fps try_from_fps to_fps f::M_PER_FT, 0.0;
    }
}
quantity! {
    /// An angle; not a compass direction, those have kinds.
    Angle, "angle", {
        "rad" from_rad try_from_rad to_rad 1.0, 0.0;
        "deg" from_deg try_from_deg to_deg f::RAD_PER_DEG, 0.0;
    }
}
quantity! {
    /// An angular rate.
    AngularRate, "angular rate", {
        "rad/s" from_radps try_from_radps to_radps 1.0, 0.0;
        "deg/s" from_degps try_from_degps to_degps f::RAD_PER_DEG, 0.0;
        "rpm" from_rpm try_from_rpm to_rpm f::RADPS_PER_RPM, 0.0;
    }
}
quantity! {
    /// A mass (what the trade calls weight).
    Mass, "mass", {
        "kg" from_kg try_from_kg to_kg 1.0, 0.0;
        "lb" from_lb try_from_lb to_lb f::KG_PER_LB, 0.0;
    }
}
quantity! {
    /// A force.
    Force, "force", {
        "N" from_n try_from_n to_n 1.0, 0.0;
        "lbf" from_lbf try_from_lbf to_lbf f::N_PER_LBF, 0.0;
    }
}
quantity! {
    /// An area.
    Area, "area", {
        "m2" from_m2 try_from_m2 to_m2 1.0, 0.0;
        "ft2" from_ft2 try_from_ft2 to_ft2 f::M2_PER_FT2, 0.0;
    }
}
quantity! {
    /// A moment or product of inertia.
    MomentOfInertia, "moment of inertia", {
        "kg m2" from_kgm2 try_from_kgm2 to_kgm2 1.0, 0.0;
        "slug ft2" from_slugft2 try_from_slugft2 to_slugft2 f::KGM2_PER_SLUGFT2, 0.0;
    }
}
quantity! {
    /// A power.
    Power, "power", {
        "W" from_w try_from_w to_w 1.0, 0.0;
        "kW" from_kw try_from_kw to_kw f::W_PER_KW, 0.0;
        "hp" from_hp try_from_hp to_hp f::W_PER_HP, 0.0;
    }
}
quantity! {
    /// A pressure.
    Pressure, "pressure", {
        "Pa" from_pa try_from_pa to_pa 1.0, 0.0;
        "hPa" from_hpa try_from_hpa to_hpa f::PA_PER_HPA, 0.0;
        "inHg" from_inhg try_from_inhg to_inhg f::PA_PER_INHG, 0.0;
    }
}
quantity! {
    /// An absolute temperature.
    Temperature, "temperature", {
        "K" from_k try_from_k to_k 1.0, 0.0;
        "C" from_c try_from_c to_c 1.0, f::K_AT_ZERO_C;
        "F" from_f try_from_f to_f f::K_PER_F, f::K_AT_ZERO_C - f::F_AT_ZERO_C * f::K_PER_F;
    }
}
quantity! {
    /// A density of air.
    Density, "density", {
        "kg/m3" from_kgpm3 try_from_kgpm3 to_kgpm3 1.0, 0.0;
    }
}
quantity! {
    /// Load factor: lift over weight, positive up, one in level flight.
    LoadFactor, "load factor", {
        "g" from_g try_from_g to_g 1.0, 0.0;
    }
}
quantity! {
    /// A span of time.
    Duration, "duration", {
        "s" from_s try_from_s to_s 1.0, 0.0;
        "min" from_min try_from_min to_min 60.0, 0.0;
        "h" from_h try_from_h to_h 3600.0, 0.0;
    }
}
linear!(
    Length,
    Speed,
    Angle,
    AngularRate,
    Mass,
    Force,
    Area,
    Power,
    Pressure,
    LoadFactor,
    Duration
);
