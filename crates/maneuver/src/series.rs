//! A figure flown to one side and then to the other: the second begins where the first ended. What lies between is stated; height
//! block and box of the whole.
//!
//! Between two figures of which the first ends slow (a chandelle): level flight at full power on the heading reached until entry
//! speed is back, wings level, in the wind. Where full power does not bring it back within [`BETWEEN_MOST_S`] the series stops and
//! says so.

use base::factors::MPS_PER_KT;
use base::kinds::{GeometricHeight, TrueHeading};
use base::math::{cos, sin};
use flight::point_mass::{DensityColumn, PointMass};
use flight::trajectory::FlightSample;

use crate::brief::judge::Case;
use crate::reference::ReferenceFlight;

/// Longest acceleration between two figures, s.
pub const BETWEEN_MOST_S: f64 = 180.0;
/// Entry speeds closer than this need nothing between, m/s.
const SPEED_CLOSE_MPS: f64 = 2.0 * MPS_PER_KT;

/// Figures one after the other.
#[derive(Debug, Clone, PartialEq)]
pub struct Series {
    /// The figures, in one time and one frame of the ground.
    pub flights: Vec<ReferenceFlight>,
    /// What lies between each and the next.
    pub between: Vec<Between>,
    /// Why the second is not flown, when it is not.
    pub stopped: Option<String>,
    /// What the whole takes of the air.
    pub block: Block,
}

/// What lies between two figures.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Between {
    /// Seconds.
    pub seconds: f64,
    /// Distance through the air, m.
    pub distance_m: f64,
    /// True airspeed at its beginning, m/s.
    pub speed_from_mps: f64,
    /// True airspeed at its end, m/s.
    pub speed_to_mps: f64,
}

/// Room in the air and over the ground, from the first entry; along and across the first heading.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Block {
    /// Lowest above mean sea level, m.
    pub low_m: f64,
    /// Highest above mean sea level, m.
    pub high_m: f64,
    /// Least and greatest along the entry heading over the ground, m.
    pub along_m: [f64; 2],
    /// Least and greatest to the right of it, m.
    pub across_m: [f64; 2],
    /// Farthest over the ground from the entry point, m.
    pub farthest_m: f64,
    /// How far the wind has carried the whole by its end, north and east, m.
    pub drift_m: [f64; 2],
    /// How long the whole takes, s.
    pub seconds: f64,
}

/// The series of flights that were flown from the same entry: the second again, from where the first ended.
pub(crate) fn of(case: &Case<'_>, flights: &[ReferenceFlight]) -> Series {
    let mut out = Series {
        flights: flights.iter().take(1).cloned().collect(),
        between: Vec::new(),
        stopped: None,
        block: Block::default(),
    };
    // A hazard is never repeated, and what has no sides is one figure.
    let single = case.maneuver.hazard().is_some() || !case.maneuver.sided(&case.form);
    for next in flights.iter().skip(1).filter(|_| !single) {
        if let Err(why) = add(case, &mut out, next) {
            out.stopped = Some(why);
            break;
        }
    }
    out.block = block(&out, case);
    out
}

fn add(case: &Case<'_>, series: &mut Series, next: &ReferenceFlight) -> Result<(), String> {
    let last = series.flights.last().and_then(|flight| flight.samples.last()).copied();
    let (Some(last), Some(first)) = (last, next.samples.first()) else { return Ok(()) };
    let heading = TrueHeading::from_rad(last.heading_rad);
    let height = GeometricHeight::from_m(last.height_m);
    let case = Case { height, heading, ..*case };
    let flown = case.fly(next.direction);
    // Up there the figure may be entered at another speed.
    let entered = flown.as_ref().ok().and_then(|flight| flight.samples.first()).unwrap_or(first);
    let between = accelerate(&case, &last, entered.calibrated_airspeed_mps)?;
    let mut flight = flown.map_err(|why| format!("the second cannot follow: {why}"))?;
    let (c, s) = (cos(last.heading_rad), sin(last.heading_rad));
    let wind = case.day.wind.velocity();
    let shift = Shift {
        time_s: last.time_s + between.seconds,
        air_north_m: last.air_north_m + c * between.distance_m,
        air_east_m: last.air_east_m + s * between.distance_m,
        north_m: last.north_m + c * between.distance_m + wind.north() * between.seconds,
        east_m: last.east_m + s * between.distance_m + wind.east() * between.seconds,
    };
    shift.apply(&mut flight);
    series.between.push(between);
    series.flights.push(flight);
    Ok(())
}

/// Where a later flight begins.
struct Shift {
    time_s: f64,
    air_north_m: f64,
    air_east_m: f64,
    north_m: f64,
    east_m: f64,
}

impl Shift {
    fn apply(&self, flight: &mut ReferenceFlight) {
        let move_one = |sample: &mut FlightSample| {
            sample.time_s += self.time_s;
            sample.air_north_m += self.air_north_m;
            sample.air_east_m += self.air_east_m;
            sample.north_m += self.north_m;
            sample.east_m += self.east_m;
        };
        flight.samples.iter_mut().for_each(move_one);
        let checkpoints = flight.parts.iter_mut().flat_map(|part| &mut part.checkpoints);
        checkpoints.for_each(|at| move_one(&mut at.sample));
        for point in flight.marks.iter_mut().flat_map(|mark| &mut mark.line_m) {
            point[0] += self.north_m;
            point[1] += self.east_m;
        }
    }
}

/// Level flight at full power from the end of a figure until this calibrated airspeed is back. A figure that ends faster needs
/// nothing: the speed is left to fall.
fn accelerate(
    case: &Case<'_>,
    from: &FlightSample,
    to_calibrated_mps: f64,
) -> Result<Between, String> {
    let short_mps = to_calibrated_mps - from.calibrated_airspeed_mps;
    let start_mps = from.true_airspeed_mps;
    let mut out = Between {
        seconds: 0.0,
        distance_m: 0.0,
        speed_from_mps: start_mps,
        speed_to_mps: start_mps,
    };
    if short_mps <= SPEED_CLOSE_MPS {
        return Ok(out);
    }
    let height_m = from.height_m;
    let air = DensityColumn::of_day(&case.day, height_m - 100.0, height_m + 100.0);
    let body = PointMass { airplane: case.airplane, mass_kg: case.mass.to_kg(), air };
    let to_mps = flight::airspeed::true_from_calibrated(
        base::kinds::CalibratedAirspeed::from_mps(to_calibrated_mps),
        &case.day.air_at(GeometricHeight::from_m(height_m)),
    )
    .to_mps();
    const STEP_S: f64 = 0.05;
    while out.speed_to_mps < to_mps {
        let speed = out.speed_to_mps;
        let lift = body.lift_coefficient_for(1.0, speed, height_m);
        let excess_n = body.thrust_n(1.0, speed, height_m) - body.drag_n(lift, speed, height_m);
        out.seconds += STEP_S;
        out.distance_m += STEP_S * speed;
        out.speed_to_mps = speed + STEP_S * excess_n / body.mass_kg;
        if out.seconds > BETWEEN_MOST_S || excess_n <= 0.0 {
            return Err(format!(
                "full power does not bring back entry speed in level flight within {BETWEEN_MOST_S:.0} s: {:.0} of {:.0} kt true",
                out.speed_to_mps / MPS_PER_KT,
                to_mps / MPS_PER_KT
            ));
        }
    }
    Ok(out)
}

fn block(series: &Series, case: &Case<'_>) -> Block {
    let samples = || series.flights.iter().flat_map(|flight| &flight.samples);
    let first_rad = samples().next().map_or(0.0, |sample| sample.heading_rad);
    let (c, s) = (cos(first_rad), sin(first_rad));
    let range = |f: &dyn Fn(&FlightSample) -> f64| {
        samples().map(f).fold([f64::INFINITY, f64::NEG_INFINITY], |[low, high], value| {
            [low.min(value), high.max(value)]
        })
    };
    let [low_m, high_m] = range(&|sample| sample.height_m);
    let [_, farthest_m] = range(&|sample| base::math::hypot(sample.north_m, sample.east_m));
    let seconds = samples().last().map_or(0.0, |sample| sample.time_s);
    let wind = case.day.wind.velocity();
    Block {
        low_m,
        high_m,
        along_m: range(&|sample| c * sample.north_m + s * sample.east_m),
        across_m: range(&|sample| c * sample.east_m - s * sample.north_m),
        farthest_m,
        drift_m: [wind.north() * seconds, wind.east() * seconds],
        seconds,
    }
}
