//! The list of maneuvers. One more maneuver is one more file here and one more line in [`ALL`].

mod accelerated_stall;
mod aileron_roll;
mod barrel_roll;
mod chandelle;
mod climbing_turn;
mod cuban_eight;
mod descending_turn;
mod eights_on_pylons;
mod half_cuban_eight;
mod held_speed;
mod immelmann;
mod lazy_eight;
mod loop_figure;
mod over_ground;
mod power_off_stall;
mod power_on_stall;
mod rectangular_course;
mod rolling_on_a_heading;
mod s_turns;
mod slow_flight;
mod split_s;
mod stalling;
mod standard_rate_turn;
mod steep_spiral;
mod steep_turn;
mod turns_around_a_point;
mod wing_over;

use base::factors::RAD_PER_DEG;
use base::kinds::CalibratedAirspeed;
use base::units::{Length, Mass};
use flight::airplane::Airplane;

use crate::definition::{Floor, Maneuver, Sourced};
use crate::reference::{Condition, Entry, Infeasible, ReferenceFlight, Told, Unknown};
use crate::solve::sampling::{Begin, samples};
use crate::solve::vertical::{self, loops};
use crate::solve::{Flown, Schedule, Setting, state_at_end};
use flight::air::Day;

/// Every maneuver, in syllabus order. Help, completion, documentation, detection and tests walk this list.
pub const ALL: &[&dyn Maneuver] = &[
    &climbing_turn::ClimbingTurn,
    &descending_turn::DescendingTurn,
    &rolling_on_a_heading::RollingOnAHeading,
    &slow_flight::SlowFlight,
    &power_off_stall::PowerOffStall,
    &power_on_stall::PowerOnStall,
    &rectangular_course::RectangularCourse,
    &s_turns::STurns,
    &turns_around_a_point::TurnsAroundAPoint,
    &standard_rate_turn::StandardRateTurn,
    &steep_turn::SteepTurn,
    &steep_spiral::SteepSpiral,
    &accelerated_stall::AcceleratedStall,
    &chandelle::Chandelle,
    &lazy_eight::LazyEight,
    &eights_on_pylons::EightsOnPylons,
    &wing_over::WingOver,
    &aileron_roll::AileronRoll,
    &barrel_roll::BarrelRoll,
    &loop_figure::Loop,
    &half_cuban_eight::HalfCubanEight,
    &cuban_eight::CubanEight,
    &immelmann::Immelmann,
    &split_s::SplitS,
];

/// Those that recordings are searched for.
pub fn sought() -> impl Iterator<Item = &'static dyn Maneuver> {
    ALL.iter().copied().filter(|maneuver| maneuver.shape().sought)
}

/// The maneuver of a catalogue key.
#[must_use]
pub fn find(id: &str) -> Option<&'static dyn Maneuver> {
    ALL.iter().copied().find(|maneuver| maneuver.id() == id)
}

/// The floor of the commercial standard for figures at height, and of the rule for aerobatic flight.
const FLOOR_1500: Floor =
    Floor { above_ground: Length::from_ft(1500.0), entry_above_ground: None, source: "ACS-C" };
/// What figures without one say.
const NO_FAA_STANDARD: Sourced = Sourced {
    text: "no published FAA standard exists for this figure: it is held against its own geometry, as a training aid",
    source: "common-practice",
};

/// Entry speed when none is asked for: the maker's where stated, never above maneuvering speed at this mass. A figure that gains speed on
/// its way is entered slower ([`below_maneuvering`]).
pub(crate) fn entry_speed(airplane: &Airplane, entry: &Entry) -> CalibratedAirspeed {
    let maneuvering = airplane.calibrated(airplane.maneuvering_speed(entry.mass));
    let stated = airplane.speeds.maneuver_entry.map(|speed| airplane.calibrated(speed));
    let usual = stated.unwrap_or(maneuvering * 0.95);
    entry.speed.unwrap_or(if usual < maneuvering { usual } else { maneuvering })
}

/// A knot less at entry takes eight to eleven tenths of one off the fastest of the figure: the least of it, so that one step is enough.
const FASTEST_BY_ENTRY: f64 = 0.8;
/// Entry speeds tried below the usual one.
const SLOWER_MOST: usize = 4;

/// Flies a figure at its usual entry speed, or so much slower that it stays below maneuvering speed on its way: the power that a figure
/// needs later on makes it faster than its entry first. At a speed that was asked for it is flown as asked, and so it is where it
/// cannot be flown slower.
fn below_maneuvering(
    airplane: &Airplane,
    entry: &Entry,
    usual: CalibratedAirspeed,
    mut fly: impl FnMut(CalibratedAirspeed) -> Result<ReferenceFlight, Infeasible>,
) -> Result<ReferenceFlight, Infeasible> {
    let mut flight = fly(usual)?;
    if entry.speed.is_some() {
        return Ok(flight);
    }
    let most = airplane.calibrated(airplane.maneuvering_speed(entry.mass));
    let mut speed_mps = usual.to_mps();
    for _ in 0..SLOWER_MOST {
        let fastest = flight.samples.iter().map(|sample| sample.calibrated_airspeed_mps);
        let over_mps = fastest.fold(f64::MIN, f64::max) - most.to_mps();
        if over_mps <= 0.0 {
            break;
        }
        speed_mps -= over_mps / FASTEST_BY_ENTRY;
        match fly(CalibratedAirspeed::from_mps(speed_mps)) {
            Ok(slower) => flight = slower,
            Err(_) => break,
        }
    }
    Ok(flight)
}

/// Entry speed of an aerobatic figure when none is asked for: the one the maker approves for it, else none.
fn approved_entry(
    airplane: &Airplane,
    entry: &Entry,
    maneuver: &dyn Maneuver,
) -> Option<CalibratedAirspeed> {
    let approved =
        || airplane.approved_entry(maneuver.id()).map(|speed| airplane.calibrated(speed));
    entry.speed.or_else(approved)
}

/// Speed over the top of a loop as a share of entry: inside 0.39 to 0.60 (common practice, no source).
const TOP_SHARE: f64 = 0.42;
/// But never slower than this multiple of the stall speed at one g: the load over the top is less than one.
const TOP_OVER_STALL: f64 = 1.1;
/// Load over the top where the pull is eased, g (common practice, no source).
const TOP_EASED_G: f64 = 0.8;

/// Entry speed of a figure with a loop in it: asked for or approved, else the one whose share over the top is just fast enough.
fn vertical_entry(
    airplane: &Airplane,
    entry: &Entry,
    maneuver: &dyn Maneuver,
    share: f64,
) -> CalibratedAirspeed {
    let least = stall_calibrated(airplane, entry.mass) * TOP_OVER_STALL;
    approved_entry(airplane, entry, maneuver).unwrap_or(least * (1.0 / share))
}

/// A pull eased over the top, this share of the entry speed there.
fn vertical_form(
    airplane: &Airplane,
    entry: &Entry,
    speed: CalibratedAirspeed,
    share: f64,
) -> loops::Form {
    let least = stall_calibrated(airplane, entry.mass) * TOP_OVER_STALL;
    let wanted = speed * share;
    let top = if wanted > least { wanted } else { least };
    loops::Form {
        shape: loops::Shape::Relaxed { top_g: TOP_EASED_G },
        speed_top_calibrated_mps: top.to_mps(),
    }
}

/// Flies a figure of one part whose legs a solver finds.
fn one_figure(
    maneuver: &dyn Maneuver,
    (airplane, day, entry): (&Airplane, &Day, &Entry),
    speed: CalibratedAirspeed,
    solve: impl for<'s> Fn(&'s Setting<'s>) -> Result<loops::Found<'s>, Infeasible>,
) -> Result<ReferenceFlight, Infeasible> {
    let setting = Setting::new(airplane, day, entry, speed);
    let (flown, unknowns, conditions) = solve(&setting)?;
    let begin = Begin { heading_rad: entry.heading.to_rad(), ..Begin::default() };
    let flight = vertical::sampling::samples(&flown, entry.direction, begin);
    let told = Told { unknowns, conditions, ..Told::default() };
    let parts = vec![(entry.direction, flight)];
    ReferenceFlight::assemble((maneuver.id(), &maneuver.shape()), (airplane, entry), parts, told)
}

/// Flies a roll at the entry speed that the maker approves for it, else below maneuvering speed.
fn rolled(
    maneuver: &dyn Maneuver,
    (airplane, day, entry): (&Airplane, &Day, &Entry),
    solve: impl for<'s> Fn(&'s Setting<'s>) -> Result<loops::Found<'s>, Infeasible>,
) -> Result<ReferenceFlight, Infeasible> {
    let fly = |speed| one_figure(maneuver, (airplane, day, entry), speed, &solve);
    match approved_entry(airplane, entry, maneuver) {
        Some(approved) => fly(approved),
        None => below_maneuvering(airplane, entry, entry_speed(airplane, entry), fly),
    }
}

/// A figure of one part: its schedule as found, sampled from the entry on.
fn one_part<S: Schedule>(
    maneuver: &dyn Maneuver,
    (airplane, entry): (&Airplane, &Entry),
    setting: &Setting<'_>,
    (schedule, flown, unknowns, conditions): (S, Flown, Vec<Unknown>, Vec<Condition>),
) -> Result<ReferenceFlight, Infeasible> {
    let begin = Begin { heading_rad: entry.heading.to_rad(), ..Begin::default() };
    let parts =
        vec![(entry.direction, samples(setting, &schedule, &flown, entry.direction, begin))];
    let told = Told { unknowns, conditions, ..Told::default() };
    ReferenceFlight::assemble((maneuver.id(), &maneuver.shape()), (airplane, entry), parts, told)
}

/// A roll rate that looks unhurried: 15 degrees a second, or 40 % of what the ailerons give.
fn comfortable_roll_rate_radps(airplane: &Airplane) -> f64 {
    (15.0 * RAD_PER_DEG).min(0.4 * airplane.roll_rate_max.to_radps())
}

/// Stall speed at one g, calibrated.
fn stall_calibrated(airplane: &Airplane, mass: Mass) -> CalibratedAirspeed {
    airplane.stall_speed(mass, base::units::LoadFactor::from_g(1.0))
}

/// One half as a solver family gives it.
type Half<S> = (S, Flown, Vec<Unknown>, Vec<Condition>);

/// Flies two halves, the second the other way from where the first ended; the solver is told the half before.
fn two_halves<S: Schedule>(
    maneuver: &dyn Maneuver,
    (airplane, day, entry): (&Airplane, &Day, &Entry),
    speed: CalibratedAirspeed,
    solve: impl Fn(&Setting<'_>, Option<&S>) -> Result<Half<S>, Infeasible>,
) -> Result<ReferenceFlight, Infeasible> {
    let mut setting = Setting::new(airplane, day, entry, speed);
    let mut begin = Begin { heading_rad: entry.heading.to_rad(), ..Begin::default() };
    let (mut parts, mut told) = (Vec::new(), None);
    let first = (setting.speed_mps, setting.height_m);
    // A half that ends as it began is flown the other way as it is.
    const SAME: f64 = 1e-6;
    let mut before: Option<Half<S>> = None;
    for direction in [entry.direction, entry.direction.opposite()] {
        let off = (setting.speed_mps - first.0).abs().max((setting.height_m - first.1).abs());
        let (schedule, flown, unknowns, conditions) = match before.take() {
            Some(half) if off < SAME => half,
            known => solve(&setting, known.as_ref().map(|half| &half.0))?,
        };
        let flight = samples(&setting, &schedule, &flown, direction, begin);
        let last = *flight.last().expect("a part has samples");
        begin = Begin {
            time_s: last.time_s,
            heading_rad: last.heading_rad,
            air_north_m: last.air_north_m,
            air_east_m: last.air_east_m,
        };
        (setting.speed_mps, setting.height_m) = state_at_end(&flown);
        parts.push((direction, flight));
        told.get_or_insert_with(|| Told {
            unknowns: unknowns.clone(),
            conditions: conditions.clone(),
            ..Told::default()
        });
        before = Some((schedule, flown, unknowns, conditions));
    }
    let told = told.unwrap_or_default();
    ReferenceFlight::assemble((maneuver.id(), &maneuver.shape()), (airplane, entry), parts, told)
}

#[cfg(test)]
mod tests;
