//! The rigid airplane of the day at its entry, and the reference that it is to fly.

use base::frames::Vec3;
use base::kinds::{TrueAirspeed, TrueHeading};
use base::units::{Angle, Mass};
use flight::air::{AirColumn, Day};
use flight::airplane::{Airplane, Propeller, Thrust};
use flight::budget::Budget;
use flight::controls::{ControlSystem, Inputs};
use flight::earth::Earth;
use flight::flow::Flow;
use flight::inverse::{freed, stations_m};
use flight::point_mass::PointMass;
use flight::trajectory::FlightSample;
use flight::trim::{Airspeed, Balance, Conditions, Curve, Hold, Trim, trim};
use flight::vehicle::{Vehicle, World};

use super::NotFlown;
use super::channels::{Grid, Reading, Source, Steering};
use crate::definition::Progress;
use crate::reference::{Entry, ReferenceFlight};
use crate::solve::Setting;

/// Everything that does not change during the search.
pub(super) struct Plane<'a> {
    pub(super) airplane: &'a Airplane,
    pub(super) day: &'a Day,
    pub(super) reference: &'a ReferenceFlight,
    pub(super) steering: Steering,
    /// The reference stalls: the airplane flies the schedule at its greatest lift, and what comes of it comes.
    pub(super) stalls: bool,
    pub(super) grid: Grid,
    /// The point mass, for the slopes of the search.
    pub(super) setting: Setting<'a>,
    /// As it is.
    pub(super) real: Vehicle,
    /// Without limits of its surfaces.
    pub(super) free: Vehicle,
    pub(super) controls: ControlSystem,
    pub(super) alpha_most_rad: Option<f64>,
    pub(super) air: AirColumn,
    /// Steady flight at entry, the throttle as the form has it.
    pub(super) start: Trim,
    pub(super) stations_m: [f64; 2],
    /// Throttle at shares of full power from nil to one, evenly spaced; empty where the airplane's own chart says it.
    throttles: Vec<f64>,
    /// How much further up the nose of the rigid airplane is at entry, rad.
    pub(super) pitch_offset_rad: f64,
}

/// Air known below and above the flight, m.
const AIR_BELOW_M: f64 = 800.0;
const AIR_ABOVE_M: f64 = 800.0;

impl<'a> Plane<'a> {
    pub(super) fn new(
        airplane: &'a Airplane,
        day: &'a Day,
        entry: &'a Entry,
        reference: &'a ReferenceFlight,
    ) -> Result<Self, NotFlown> {
        let first = reference.samples.first().ok_or(NotFlown::Empty)?;
        let length_s = reference.samples.last().map_or(0.0, |last| last.time_s - first.time_s);
        let real = airplane.vehicle(entry.mass)?;
        let free = freed(airplane.vehicle(entry.mass)?);
        let rigid = airplane.rigid.as_ref().expect("a vehicle was built from it");
        let heights = reference.samples.iter().map(|sample| sample.height_m);
        let (low, high) = heights.fold((f64::MAX, f64::MIN), |(a, b), h| (a.min(h), b.max(h)));
        let air = AirColumn::of_day(day, low - AIR_BELOW_M, high + AIR_ABOVE_M);
        let world = World { earth: Earth::FLAT, air: &air, wind: &day.wind };
        let speed = base::kinds::CalibratedAirspeed::from_mps(first.calibrated_airspeed_mps);
        let setting = Setting::new(airplane, day, entry, speed);
        let throttles = match charted(airplane, 0.0) {
            Some(_) => Vec::new(),
            None => throttles((&free, &world), &setting.body, first),
        };
        let throttle = throttle(airplane, &throttles, first.power_share);
        let before = Reading::new(&reference.samples)
            .sample_beyond(first.time_s + Grid::of(length_s).time_s(0));
        let start = begin(&free, &world, &before, throttle)?;
        let stations_m = stations_m(&free, &world, &start.state.to_array());
        let pitch_offset_rad = start.pitch.to_rad() - first.pitch_rad;
        Ok(Self {
            airplane,
            day,
            reference,
            steering: Steering::of(&reference.samples),
            stalls: stalls(airplane, reference),
            grid: Grid::of(length_s),
            setting,
            real,
            free,
            controls: rigid.controls,
            alpha_most_rad: rigid.stall_rad(),
            start,
            stations_m,
            throttles,
            pitch_offset_rad,
            air,
        })
    }
    pub(super) fn world(&self) -> World<'_> {
        World { earth: Earth::FLAT, air: &self.air, wind: &self.day.wind }
    }
    pub(super) fn reading(&self) -> Reading<'_> {
        Reading::new(&self.reference.samples)
    }
    pub(super) fn source(&self) -> Source<'_> {
        Source {
            reading: self.reading(),
            grid: self.grid,
            steering: self.steering,
            offset_rad: self.pitch_offset_rad,
        }
    }
    pub(super) const fn mass(&self) -> Mass {
        Mass::from_kg(self.setting.body.mass_kg)
    }
    /// Throttle for a share of full power: see [`throttles`].
    pub(super) fn throttle(&self, power_share: f64) -> f64 {
        throttle(self.airplane, &self.throttles, power_share)
    }
    pub(super) fn height_entry_m(&self) -> f64 {
        self.reference.samples[0].height_m
    }
}

/// Whether a figure told by its phases comes to the greatest lift.
fn stalls(airplane: &Airplane, reference: &ReferenceFlight) -> bool {
    const NEAR: f64 = 0.97;
    let line = |sample: &FlightSample| airplane.lift_coefficient(sample.incidence_rad);
    let most = reference.samples.iter().map(line).fold(0.0, f64::max);
    reference.progress == Progress::Phase && most > NEAR * airplane.aerodynamics.lift_max
}

/// Throttle for a share of full power.
fn throttle(airplane: &Airplane, throttles: &[f64], power_share: f64) -> f64 {
    charted(airplane, power_share).unwrap_or_else(|| share(throttles, power_share))
}

/// Throttle of the chart that pulls the point mass too, where there is one.
fn charted(airplane: &Airplane, power_share: f64) -> Option<f64> {
    match &airplane.thrust {
        Thrust::Propeller(Propeller { chart: Some(chart), .. }) => chart.throttle(power_share),
        Thrust::Propeller(_) | Thrust::Polynomial { .. } => None,
    }
}

const ROWS: usize = 11;

/// Throttles at which the propeller pulls, in the flow of a sample, as the point mass does at evenly spaced shares of full power, each
/// against its own full pull: for an airplane whose point mass is pulled by a law of its own.
fn throttles(
    (vehicle, world): (&Vehicle, &World<'_>),
    body: &PointMass<'_>,
    sample: &FlightSample,
) -> Vec<f64> {
    let (speed, height) = (sample.true_airspeed_mps, sample.height_m);
    let flow = Flow::new(Vec3::new(speed, 0.0, 0.0), Vec3::ZERO, world.air.at(height));
    let pull = |throttle: f64| {
        let inputs = Inputs { throttle, propeller: 1.0, ..Inputs::default() };
        let engine = vehicle.propulsion.settled(&flow, &inputs);
        let mut budget = Budget::sum_only(vehicle.switches);
        vehicle.propulsion.run(&flow, &inputs, engine, &mut budget).thrust_n
    };
    let at: Vec<f64> = (0..ROWS).map(|i| i as f64 / (ROWS - 1) as f64).collect();
    let given: Vec<f64> = at.iter().map(|&throttle| pull(throttle)).collect();
    let full = given[ROWS - 1];
    if full.is_nan() || full <= 0.0 {
        return at;
    }
    let pulled: Vec<f64> = given.iter().map(|given| given / full).collect();
    let full_modelled = body.thrust_n(1.0, speed, height);
    at.iter()
        .map(|&share| {
            let wanted = body.thrust_n(share, speed, height) / full_modelled;
            base::numerics::interpolation::linear(&pulled, &at, wanted).clamp(0.0, 1.0)
        })
        .collect()
}

fn share(throttles: &[f64], power_share: f64) -> f64 {
    let rows: Vec<f64> = (0..throttles.len()).map(|i| i as f64 / (ROWS - 1) as f64).collect();
    base::numerics::interpolation::linear(&rows, throttles, power_share)
}

fn begin(
    vehicle: &Vehicle,
    world: &World<'_>,
    first: &FlightSample,
    throttle: f64,
) -> Result<Trim, NotFlown> {
    // The flight begins by as much before its first sample as a corner is rounded.
    let place = Vec3::new(0.0, 0.0, -first.height_m);
    let speed = Airspeed::True(TrueAirspeed::from_mps(first.true_airspeed_mps));
    let banked = first.bank_rad.abs() > 0.02;
    let curve =
        if banked { Curve::TurnAtBank(Angle::from_rad(first.bank_rad)) } else { Curve::Straight };
    let conditions = Conditions {
        heading: TrueHeading::from_rad(first.heading_rad),
        curve,
        hold: Hold::Both(Angle::from_rad(first.climb_rad), throttle.clamp(0.0, 1.0)),
        balance: Balance::Ball,
        ..Conditions::level(place, speed)
    };
    let found = trim(vehicle, world, &conditions)?;
    if found.converged() { Ok(found) } else { Err(NotFlown::Entry(found.stop)) }
}
