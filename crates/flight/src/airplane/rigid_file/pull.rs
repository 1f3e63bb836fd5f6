//! The blocks that say what pulls: `[propulsion]`, `[steady_thrust]`, `[pressure_rise]`.

use std::sync::Arc;

use base::factors::{PA_PER_INHG, RADPS_PER_RPM};
use base::typed_toml::Section;
use base::units::{AngularRate, Density, Force, Power, Pressure, Quantity};

use super::{Rest, piston};
use crate::airplane::rigid::Pull;
use crate::propulsion::pressure_rise::{EnginePower, PressureRise};
use crate::propulsion::steady_thrust::{SteadyThrust, ThrustLaw};

/// Blocks of which exactly one must be there.
pub(super) const BLOCKS: &[&str] = &["propulsion", "steady_thrust", "pressure_rise"];

pub(super) fn read(key: &str, section: &Section<'_>, rest: Option<&Rest<'_>>) -> Option<Pull> {
    let pull = match key {
        "propulsion" => piston::read(section, rest.and_then(|rest| rest.propeller))
            .map(|pull| Pull::Piston(Arc::new(pull))),
        "steady_thrust" => steady(section).map(Pull::Steady),
        _ => rise(section).map(Pull::PressureRise),
    };
    section.refuse_unknown();
    pull
}

fn steady(section: &Section<'_>) -> Option<SteadyThrust> {
    let by_power = section.choice("law", &[("constant-thrust", false), ("constant-power", true)]);
    let thrust_max = section.positive::<Force>("thrust_max");
    let power_max =
        if by_power == Some(true) { Some(section.positive::<Power>("power_max")?) } else { None };
    let (_, thrust_max_n) = (by_power?, thrust_max?.to_n());
    let law = match power_max {
        None => ThrustLaw::Constant { thrust_max_n },
        Some(power) => ThrustLaw::Power { power_max_w: power.to_w(), thrust_max_n },
    };
    Some(SteadyThrust { law })
}

fn rise(section: &Section<'_>) -> Option<PressureRise> {
    let number = |key| section.number(key, -1e6..=1e6);
    let scale: Option<Power> = section.positive("power_unit");
    let (constant, product) = (number("constant"), number("product"));
    let manifold_offset: Option<Pressure> = section.quantity("manifold_offset");
    let speed_offset: Option<AngularRate> = section.quantity("speed_offset");
    let (height_constant, height_per_rpm) = (number("height_constant"), number("height_per_rpm"));
    let density_zero: Option<Density> = section.positive("density_zero");
    let (rise_zero, rise_per_m2) = (number("rise_zero"), number("rise_per_m2"));
    let manifold_inhg = span::<Pressure>(section, ["manifold_idle", "manifold_max"], PA_PER_INHG);
    let speed_rpm = span::<AngularRate>(section, ["speed_least", "speed_most"], RADPS_PER_RPM);
    let power = EnginePower {
        scale_w: scale?.to_w(),
        constant: constant?,
        product: product?,
        manifold_offset_inhg: manifold_offset?.to_inhg(),
        speed_offset_rpm: speed_offset?.to_rpm(),
        height_constant: height_constant?,
        height_per_rpm: height_per_rpm?,
        density_zero_kgpm3: density_zero?.to_kgpm3(),
    };
    Some(PressureRise {
        power,
        rise_zero: rise_zero?,
        rise_per_m2: rise_per_m2?,
        manifold_inhg: manifold_inhg?,
        speed_rpm: speed_rpm?,
    })
}

/// A range of two keys, rising, counted in a unit.
fn span<Q: Quantity>(
    section: &Section<'_>,
    [low, high]: [&'static str; 2],
    unit_si: f64,
) -> Option<(f64, f64)> {
    let (least, most): (Option<Q>, Option<Q>) = (section.positive(low), section.positive(high));
    let (least, most) = (least?.to_si() / unit_si, most?.to_si() / unit_si);
    if least >= most {
        section.fault(high, format!("{high} is not above {low}"), "check both figures");
        return None;
    }
    Some((least, most))
}
