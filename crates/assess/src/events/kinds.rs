//! The kinds of safety events: signal, limit, side and source of each. One more kind is one more arm here.

use base::kinds::CalibratedAirspeed;
use base::math::hypot;
use base::units::LoadFactor;
use flight::airplane::Airplane;
use recording::QuantityKind;

use super::scan::{self, Side, Signal};
use super::{Flight, SafetyEvent};
use crate::attempt::{Attempt, Estimate};
use crate::part::STALL_MASS_SHARE;
use crate::trace::{Line, STEP_S, Trace};

/// What kind of limit an event is about.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum EventKind {
    /// Load over the limit load.
    LoadHigh,
    /// Load under the negative limit load.
    LoadLow,
    /// Load over two thirds of the limit while rolling.
    RollingPull,
    /// Faster than the never-exceed speed.
    NeverExceed,
    /// Faster than the flaps allow.
    Flaps,
    /// Engine speed over its limit.
    EngineSpeed,
    /// Nearer to the stall than asked.
    StallMargin,
    /// A load below nil.
    NegativeLoad,
    /// Below the floor of the figure.
    Floor,
    /// Faster than the speed for smooth air alone.
    NormalMax,
    /// Bank beyond the parachute rule.
    Bank,
    /// Pitch beyond the parachute rule.
    Pitch,
}

/// Bank and pitch beyond which occupants need parachutes unless only crew is aboard, degrees. Source: 14-CFR-91.307.
const PARACHUTE_BANK_DEG: f64 = 60.0;
const PARACHUTE_PITCH_DEG: f64 = 30.0;
const PARACHUTES: &str =
    "beyond it parachutes are required unless only crew is aboard (14 CFR 91.307)";
/// Rolling limit as a share of the symmetric one. Source: 14-CFR-23.349 (from memory).
const ROLLING_SHARE: f64 = 2.0 / 3.0;
/// Rolling at least so fast, deg/s (our judgement, no source).
const ROLLING_DPS: f64 = 10.0;
/// Before touch-down and after lift-off an airplane is near its stall as it should be, s.
const TOUCH_DOWN_S: f64 = 25.0;
const LIFT_OFF_S: f64 = 15.0;

impl EventKind {
    /// Every kind, those to report first.
    pub const ALL: &'static [Self] = &[
        Self::LoadHigh,
        Self::LoadLow,
        Self::RollingPull,
        Self::NeverExceed,
        Self::Flaps,
        Self::EngineSpeed,
        Self::StallMargin,
        Self::NegativeLoad,
        Self::Floor,
        Self::NormalMax,
        Self::Bank,
        Self::Pitch,
    ];
    /// Stable key.
    #[must_use]
    pub const fn key(self) -> &'static str {
        match self {
            Self::LoadHigh => "load-over-limit",
            Self::LoadLow => "load-under-limit",
            Self::RollingPull => "rolling-pull",
            Self::NeverExceed => "over-never-exceed-speed",
            Self::Flaps => "over-flap-speed",
            Self::EngineSpeed => "engine-overspeed",
            Self::StallMargin => "near-the-stall",
            Self::NegativeLoad => "negative-load",
            Self::Floor => "below-the-floor",
            Self::NormalMax => "over-smooth-air-speed",
            Self::Bank => "bank-over-rule",
            Self::Pitch => "pitch-over-rule",
        }
    }
    /// As people call it.
    #[must_use]
    pub const fn title(self) -> &'static str {
        match self {
            Self::LoadHigh => "load over the limit",
            Self::LoadLow => "load under the negative limit",
            Self::RollingPull => "rolling pull",
            Self::NeverExceed => "over the never-exceed speed",
            Self::Flaps => "over the flap speed",
            Self::EngineSpeed => "engine overspeed",
            Self::StallMargin => "near the stall",
            Self::NegativeLoad => "negative load",
            Self::Floor => "below the floor",
            Self::NormalMax => "over the speed for smooth air",
            Self::Bank => "bank over the parachute rule",
            Self::Pitch => "pitch over the parachute rule",
        }
    }
    /// What is measured.
    #[must_use]
    pub const fn what(self) -> &'static str {
        match self {
            Self::LoadHigh | Self::LoadLow | Self::NegativeLoad => "load factor",
            Self::RollingPull => "load factor while rolling",
            Self::NeverExceed | Self::Flaps | Self::NormalMax => "indicated airspeed",
            Self::EngineSpeed => "engine speed",
            Self::StallMargin => "speed over the stall",
            Self::Floor => "height above the ground",
            Self::Bank => "bank",
            Self::Pitch => "pitch",
        }
    }
    /// A limit of the airplane: reported before the next flight.
    #[must_use]
    pub const fn is_exceedance(self) -> bool {
        matches!(
            self,
            Self::LoadHigh
                | Self::LoadLow
                | Self::RollingPull
                | Self::NeverExceed
                | Self::Flaps
                | Self::EngineSpeed
        )
    }
    /// Whether a figure is meant to come there.
    pub(super) fn belongs_to(self, maneuver: &str) -> bool {
        let slow =
            ["slow-flight", "power-off-stall", "power-on-stall", "accelerated-stall", "chandelle"];
        let steep =
            ["wing-over", "loop", "half-cuban-eight", "cuban-eight", "immelmann", "split-s"];
        let rolled = ["aileron-roll", "barrel-roll"];
        match self {
            Self::StallMargin => slow.contains(&maneuver),
            Self::Bank | Self::Pitch => steep.contains(&maneuver) || rolled.contains(&maneuver),
            _ => false,
        }
    }
}

/// Events of one kind.
///
/// # Errors
/// Why they cannot be looked for.
pub(super) fn look(
    kind: EventKind,
    flight: &Flight<'_>,
    attempts: &[Attempt],
) -> Result<Vec<SafetyEvent>, String> {
    match kind {
        EventKind::Floor => floors(flight, attempts),
        EventKind::Flaps => Err("no recording tells the position of the flaps".into()),
        EventKind::EngineSpeed => engine(flight),
        _ => Ok(scan::events(flight.trace, &signal(kind, flight)?)),
    }
}

/// The signal of a kind over the trace.
///
/// # Errors
/// Why there is none.
pub(super) fn signal(kind: EventKind, flight: &Flight<'_>) -> Result<Signal, String> {
    let trace = flight.trace;
    let unknown = || "the airplane is not known: say which was flown".to_string();
    let airplane = || flight.airplane.ok_or_else(unknown);
    let of = |values: Vec<Estimate>, limit: f64, unit: &'static str, side: Side, source: String| {
        Signal { kind, values, limit, unit, side, source }
    };
    match kind {
        EventKind::LoadHigh | EventKind::LoadLow => {
            let (most, least, name) = load_limits(airplane()?)?;
            let (limit, side) = if kind == EventKind::LoadHigh {
                (most, Side::Above)
            } else {
                (least, Side::Below)
            };
            let source = format!("limit load of the {name} category at its typical mass");
            Ok(of(load(trace)?, limit, "g", side, source))
        }
        EventKind::RollingPull => {
            let (most, _, name) = load_limits(airplane()?)?;
            let source = format!(
                "two thirds of the limit load of the {name} category, as is usual while rolling"
            );
            Ok(of(rolling_load(trace)?, ROLLING_SHARE * most, "g", Side::Above, source))
        }
        EventKind::NegativeLoad => {
            let source = "a load below nil (oil, fuel and loose articles)".into();
            Ok(of(load(trace)?, 0.0, "g", Side::Below, source))
        }
        EventKind::NeverExceed => {
            let airplane = airplane()?;
            let limit = airplane.speeds.never_exceed.to_kt();
            Ok(of(indicated(trace, airplane), limit, "kt", Side::Above, "never exceed".into()))
        }
        EventKind::NormalMax => {
            let airplane = airplane()?;
            let limit = airplane.speeds.normal_max.to_kt();
            let source = "beyond it in smooth air only".into();
            Ok(of(indicated(trace, airplane), limit, "kt", Side::Above, source))
        }
        EventKind::StallMargin => {
            let values = over_stall(trace, airplane()?)?;
            let source = "near the stall at that load and the typical mass".into();
            Ok(of(values, flight.watch.stall_margin_kt, "kt", Side::Below, source))
        }
        EventKind::Bank => Ok(of(
            magnitude(&trace.bank_deg),
            PARACHUTE_BANK_DEG,
            "deg",
            Side::Above,
            PARACHUTES.into(),
        )),
        EventKind::Pitch => {
            let pitch = trace.pitch_deg.as_ref().ok_or("pitch is not in this recording")?;
            Ok(of(magnitude(pitch), PARACHUTE_PITCH_DEG, "deg", Side::Above, PARACHUTES.into()))
        }
        EventKind::Floor | EventKind::Flaps | EventKind::EngineSpeed => {
            Err("it is not looked for along the trace".into())
        }
    }
}

fn load_limits(airplane: &Airplane) -> Result<(f64, f64, String), String> {
    let category = airplane
        .category(airplane.masses.typical)
        .ok_or("the airplane has no category at its typical mass")?;
    Ok((category.load_factor_max.to_g(), category.load_factor_min.to_g(), category.name.clone()))
}

fn values(line: &Line) -> Vec<Estimate> {
    let both = line.value.iter().zip(&line.sigma);
    both.map(|(&value, &sigma)| Estimate { value, sigma }).collect()
}

fn magnitude(line: &Line) -> Vec<Estimate> {
    let size = |one: Estimate| Estimate { value: one.value.abs(), ..one };
    values(line).into_iter().map(size).collect()
}

fn load(trace: &Trace) -> Result<Vec<Estimate>, String> {
    trace
        .load_factor
        .as_ref()
        .map(values)
        .ok_or_else(|| "load factor is not in this recording".into())
}

/// The load where it is rolled; where it is not, nothing that is past anything.
fn rolling_load(trace: &Trace) -> Result<Vec<Estimate>, String> {
    let load = load(trace)?;
    let rate = |i: usize| match &trace.roll_rate_dps {
        Some(line) => line.value[i],
        None => {
            let (from, to) = (i.saturating_sub(1), (i + 1).min(trace.len() - 1));
            let bank = &trace.bank_deg.value;
            (bank[to] - bank[from]) / (STEP_S * (to - from).max(1) as f64)
        }
    };
    let one = |(i, load): (usize, Estimate)| {
        if rate(i).abs() >= ROLLING_DPS { load } else { Estimate { value: 0.0, sigma: load.sigma } }
    };
    Ok(load.into_iter().enumerate().map(one).collect())
}

fn indicated(trace: &Trace, airplane: &Airplane) -> Vec<Estimate> {
    let one = |cas: Estimate| {
        let calibrated = CalibratedAirspeed::try_from_kt(cas.value);
        let value = calibrated.map_or(cas.value, |speed| airplane.indicated(speed).to_kt());
        Estimate { value, sigma: cas.sigma }
    };
    values(&trace.cas_kt).into_iter().map(one).collect()
}

/// Speed over the stall at the load of the moment; far above it around lift-off and touch-down, which are meant to be slow.
fn over_stall(trace: &Trace, airplane: &Airplane) -> Result<Vec<Estimate>, String> {
    let load = load(trace)?;
    let one_g = airplane.stall_speed(airplane.masses.typical, LoadFactor::from_g(1.0)).to_kt();
    let near_ground = near_ground(trace);
    let one = |i: usize| {
        let stall = one_g * load[i].value.max(0.0).sqrt();
        let (cas, sigma) = (trace.cas_kt.value[i], trace.cas_kt.sigma[i]);
        let value = if near_ground[i] { f64::INFINITY } else { cas - stall };
        // The load has its error too: a part of it is in the speed.
        let of_load = 0.5 * stall * load[i].sigma / load[i].value.max(0.2);
        Estimate { value, sigma: hypot(hypot(sigma, of_load), STALL_MASS_SHARE * stall) }
    };
    Ok((0..trace.len()).map(one).collect())
}

/// Shortly after lift-off and shortly before touch-down, told by where the airplane becomes and stops being airborne.
fn near_ground(trace: &Trace) -> Vec<bool> {
    let mut near = vec![false; trace.len()];
    for i in 1..trace.len() {
        let (before, here) = (trace.usable[i - 1], trace.usable[i]);
        let (from, to) = match (before, here) {
            (false, true) => (i, i + (LIFT_OFF_S / STEP_S) as usize),
            (true, false) => (i.saturating_sub((TOUCH_DOWN_S / STEP_S) as usize), i),
            _ => continue,
        };
        near[from..to.min(trace.len())].fill(true);
    }
    near
}

/// Below the floors of the figures flown, for which the height of the ground must be known.
fn floors(flight: &Flight<'_>, attempts: &[Attempt]) -> Result<Vec<SafetyEvent>, String> {
    let ground =
        flight.ground_ft.ok_or("the height of the ground is not known: say its elevation")?;
    let trace = flight.trace;
    let above = |one: Estimate| Estimate { value: one.value - ground, ..one };
    let heights: Vec<Estimate> = values(&trace.height_ft).into_iter().map(above).collect();
    let mut out = Vec::new();
    for (index, attempt) in attempts.iter().enumerate() {
        let Some(maneuver) = maneuver::catalog::find(attempt.maneuver) else { continue };
        let floor = maneuver.floor();
        let signal = Signal {
            kind: EventKind::Floor,
            values: heights.clone(),
            limit: floor.above_ground.to_ft(),
            unit: "ft",
            side: Side::Below,
            source: format!("floor of this figure ({})", floor.source),
        };
        let at = |time_s: f64| trace.time_s.partition_point(|&t| t < time_s).min(trace.len() - 1);
        let places = at(attempt.start_s)..=at(attempt.end_s);
        let event = scan::worst(trace, &signal, places);
        out.extend(event.map(|event| SafetyEvent { attempt: Some(index), ..event }));
    }
    Ok(out)
}

/// Engine speed over the limit that was told.
fn engine(flight: &Flight<'_>) -> Result<Vec<SafetyEvent>, String> {
    /// What an engine-speed indicator is good to, one standard deviation, rpm (common practice, no source).
    const SIGMA_RPM: f64 = 15.0;
    let series = flight
        .recording
        .series_of(QuantityKind::EngineSpeedRpm)
        .ok_or("the engine speed is not in this recording")?;
    let limit = flight
        .watch
        .engine_speed_max_rpm
        .ok_or("the greatest engine speed is not known: say it")?;
    let whose = "greatest engine speed, as told";
    let signal = Signal {
        kind: EventKind::EngineSpeed,
        values: series.values.iter().map(|&value| Estimate { value, sigma: SIGMA_RPM }).collect(),
        limit,
        unit: "rpm",
        side: Side::Above,
        source: whose.into(),
    };
    Ok(scan::events_at(&series.times_s, None, &signal))
}
