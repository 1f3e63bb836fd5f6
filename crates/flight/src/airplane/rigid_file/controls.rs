//! The block `[controls]`: limits, rates, lag, trim tabs, forces of elevator, ailerons and rudder.

use base::typed_toml::Section;
use base::units::{Angle, AngularRate, Duration};

use crate::controls::{Actuator, Channel, ControlSystem, StickForce, TrimTab};

pub(super) fn read(section: &Section<'_>) -> Option<ControlSystem> {
    let elevator = section.section("elevator").and_then(|block| {
        let (up, down) = (limit(&block, "up"), limit(&block, "down"));
        // Air from below takes the trailing edge up.
        channel(&block, up.zip(down), -1.0)
    });
    let both = |block: Section<'_>, wind: f64| {
        let most = limit(&block, "most");
        channel(&block, most.zip(most), wind)
    };
    // Incidence lifts both ailerons alike: that moves no stick.
    let aileron = section.section("aileron").and_then(|block| both(block, 0.0));
    // Air from the right takes the trailing edge left.
    let rudder = section.section("rudder").and_then(|block| both(block, 1.0));
    section.refuse_unknown();
    Some(ControlSystem { elevator: elevator?, aileron: aileron?, rudder: rudder? })
}

fn limit(section: &Section<'_>, key: &'static str) -> Option<f64> {
    section.within(key, Angle::from_deg(1.0), Angle::from_deg(60.0)).map(Angle::to_rad)
}

/// One control; `limits` are the greatest deflections below and above nil, both counted positive. `wind` is the sign of the
/// deflection that positive incidence or sideslip gives to a surface that trails in the wind.
fn channel(section: &Section<'_>, limits: Option<(f64, f64)>, wind: f64) -> Option<Channel> {
    let rate = section.has("rate").then(|| section.positive::<AngularRate>("rate"));
    let lag = section.has("lag").then(|| section.positive::<Duration>("lag"));
    if rate.is_some() && lag.is_none() {
        section.fault(
            "rate",
            "a greatest rate without lag",
            "add lag, the time constant of following: \"0.05 s\"",
        );
    }
    let tab = section.has("tab_floats").then(|| limit(section, "tab_floats"));
    let force = force(section, wind);
    section.refuse_unknown();
    let (below, above) = limits?;
    if let Some(Some(floats)) = tab
        && floats > below.max(above)
    {
        section.fault(
            "tab_floats",
            "full tab floats the surface beyond its limit",
            "check both figures: it is the deflection of the surface, not of the tab",
        );
    }
    let actuator = Actuator {
        limits_rad: (-below, above),
        rate_max_radps: rate.map_or(Some(f64::INFINITY), |rate| rate.map(AngularRate::to_radps))?,
        lag_s: lag.map_or(Some(0.0), |lag| lag.map(Duration::to_s))?,
    };
    let tab = match tab {
        None => None,
        Some(floats) => Some(TrimTab { floats_rad: floats? }),
    };
    Some(Channel { actuator, tab, force })
}

/// Forces, when they are stated: newtons for one degree at a dynamic pressure of one kilopascal.
fn force(section: &Section<'_>, wind: f64) -> Option<StickForce> {
    let known = section.has("force_n_per_deg_kpa");
    if !known && section.has("trails_per_deg") {
        section.fault(
            "trails_per_deg",
            "trailing in the wind is stated without a force",
            "add force_n_per_deg_kpa: newtons at the grip for one degree at one kilopascal",
        );
    }
    let gradient = section.optional_number("force_n_per_deg_kpa", 1e-3..=500.0);
    let trails =
        if wind == 0.0 { None } else { section.optional_number("trails_per_deg", -1.0..=1.5) };
    Some(StickForce {
        per_rad_pa: gradient? / (base::factors::RAD_PER_DEG * 1000.0),
        float_per_rad: wind * trails.unwrap_or(0.0),
    })
}
