//! The catalogue at six degrees of freedom.

use base::factors::RAD_PER_DEG;
use base::kinds::{GeometricHeight, TrueHeading};
use flight::air::Day;
use flight::airplane::{Airplane, bundled};
use flight::inverse::Beyond;
use flight::inverse::causes::Reason;
use flight::point_mass::{DensityColumn, PointMass};
use flight::trim::Limited;
use flight::wind::Wind;

use super::{NotFlown, RigidFlight, fly};
use crate::catalog;
use crate::definition::{Direction, Form, Maneuver};
use crate::explain::{Banking, right_rudder_peak};
use crate::reference::{Entry, ReferenceFlight};

fn entry(airplane: &Airplane, form: Form, direction: Direction) -> Entry {
    Entry {
        form,
        direction,
        mass: airplane.masses.typical,
        height: GeometricHeight::from_m(1000.0),
        heading: TrueHeading::from_deg(30.0),
        speed: None,
    }
}

fn flown(
    airplane: &Airplane,
    maneuver: &dyn Maneuver,
    form: Form,
    direction: Direction,
) -> Option<(ReferenceFlight, Result<RigidFlight, NotFlown>)> {
    flown_on(&Day::standard(), airplane, maneuver, (form, direction))
}

fn flown_on(
    day: &Day,
    airplane: &Airplane,
    maneuver: &dyn Maneuver,
    (form, direction): (Form, Direction),
) -> Option<(ReferenceFlight, Result<RigidFlight, NotFlown>)> {
    let entry = entry(airplane, form, direction);
    let reference = maneuver.fly(airplane, day, &entry).ok()?;
    let rigid = fly(airplane, day, &entry, &reference);
    Some((reference, rigid))
}

/// A miss of the agreement that is kept: airplane, maneuver, form, at most how far off (height as a share of its span, knots,
/// degrees of bank).
type Miss = (&'static str, &'static str, &'static str, f64, f64, f64);

/// MISSED: 2 %, 1 kt and 1 degree are wanted; these are today's. Over the top of the steepest wing-over a centered ball takes two degrees
/// of sideslip, which lie in the pitch there: with the nose where the form wants it the path is a little another. A half roll at the roll
/// rate of the point mass is at the limit of the ailerons where it is slow, and is rounded over 0.8 s.
const MISSES: &[Miss] = &[
    ("plover-160", "wing-over", "90", 0.02, 1.22, 1.0),
    ("sandpiper-550", "half-cuban-eight", "standard", 0.02, 1.0, 2.95),
    ("sandpiper-550", "cuban-eight", "standard", 0.02, 1.0, 2.2),
    ("sandpiper-550", "immelmann", "standard", 0.02, 1.03, 1.1),
];

/// MISSED: none beside those in calm air.
const MISSES_IN_WIND: &[Miss] = &[];

/// Stalls and rolls, outside of the agreement.
const FREE: &[&str] =
    &["power-off-stall", "power-on-stall", "accelerated-stall", "aileron-roll", "barrel-roll"];

const STALLS: &[&str] = &["power-off-stall", "power-on-stall", "accelerated-stall"];

/// Held closer than the rest, and to a ball that is centered throughout.
const CLOSE: &[&str] = &[
    "steep-turn",
    "chandelle",
    "lazy-eight",
    "wing-over",
    "rectangular-course",
    "s-turns",
    "turns-around-a-point",
];

/// Flown by their attitude.
const ATTITUDES: &[&str] = &[
    "aileron-roll",
    "barrel-roll",
    "loop",
    "half-cuban-eight",
    "cuban-eight",
    "immelmann",
    "split-s",
];

/// MISSED: none. A half roll at the roll rate of the point mass is at the limit of the ailerons, slow over the top; where a turning
/// stall breaks, ailerons at the stall yaw so much that the rudder would have to be twice as quick as it is, and go a degree further.
const AT_LIMITS: &[(&str, &str)] = &[
    ("sandpiper-550", "half-cuban-eight"),
    ("sandpiper-550", "cuban-eight"),
    ("sandpiper-550", "aileron-roll"),
    ("plover-160", "power-off-stall"),
    ("sandpiper-550", "power-off-stall"),
];

/// Whether the levels agree as they should, or as well as is held.
fn agrees(name: (&str, &str, &str), flight: &RigidFlight, misses: &[Miss]) -> bool {
    let a = &flight.agreement;
    let kept = misses.iter().find(|miss| (miss.0, miss.1, miss.2) == name);
    let most = kept.map_or((0.02, 1.0, 1.0), |miss| (miss.3, miss.4, miss.5));
    let within =
        a.height_share.abs() <= most.0 && a.speed_kt.abs() <= most.1 && a.bank_deg.abs() <= most.2;
    let agrees = within || FREE.contains(&name.1);
    println!("{name:?}{}: {a:?}", if agrees { "" } else { ", off" });
    agrees
}

fn check(name: (&str, &str, &str), flight: &RigidFlight) {
    for missed in &flight.misses {
        println!("{name:?}: {missed}");
        assert!(missed.miss.abs() <= missed.tolerance, "{name:?} {missed}");
        assert!(STALLS.contains(&name.1), "{name:?} {missed}");
    }
    controls_fly(name, flight);
    for (control, sample) in flight.controls.iter().zip(&flight.samples) {
        for (parts, whole) in [
            (&control.causes.elevator, control.elevator_rad),
            (&control.causes.aileron, control.aileron_rad),
            (&control.causes.rudder, control.rudder_rad),
        ] {
            let (sum, most) = if CLOSE.contains(&name.1) { (1e-13, 1e-4) } else { (1e-12, 1e-3) };
            assert!((parts.total() - whole).abs() < sum, "{name:?} {parts:?} {whole}");
            // Beyond the stall moments are no longer proportional, and the rest is what it is.
            let rest = parts.of(Reason::Remainder).abs();
            assert!(rest < most || STALLS.contains(&name.1), "{name:?} {parts:?} {rest}");
        }
        // A ball says something where it is pressed down; where all of the attitude is asked for it goes where it must.
        let pressed =
            CLOSE.contains(&name.1) || sample.load_factor > 0.5 && !ATTITUDES.contains(&name.1);
        let off_deg = control.ball_rad.abs() / RAD_PER_DEG;
        let most_deg = if STALLS.contains(&name.1) { 0.5 } else { 0.2 };
        assert!(off_deg < most_deg || !pressed, "{name:?} {off_deg}");
    }
}

/// The controls alone, with next to no feedback, fly the flight; and they are within their limits and rates.
fn controls_fly(name: (&str, &str, &str), flight: &RigidFlight) {
    let tracking = &flight.tracking;
    let worst = tracking.attitude_max_rad.iter().copied().fold(0.0, f64::max);
    let limited = tracking.limited_share > 0.0;
    // Long flights are found on a coarser grid; at the stall the controls jerk. MISSED: 0.8 degrees where ailerons are at their limit;
    // the aileron roll asks for full aileron at the stated roll rate, and to the right the airplane has less: it lags by 12 degrees.
    let stalls = STALLS.contains(&name.1);
    let (most, share) = match name.1 {
        "aileron-roll" => (12.5, 0.105),
        _ if CLOSE.contains(&name.1) => (0.4, 0.02),
        _ if limited || stalls => (2.5, 0.05),
        _ => (0.8, 0.02),
    };
    assert!(worst < most * RAD_PER_DEG, "{name:?} {tracking:?}");
    assert!(tracking.feedback_share.iter().all(|found| *found < share), "{name:?} {tracking:?}");
    let within = flight.excesses.is_empty() || AT_LIMITS.contains(&(name.0, name.1));
    assert!(within, "{name:?} {:?}", flight.excesses);
}

fn catalogue_of(id: &str) {
    let airplane = bundled::load(id).unwrap();
    let (mut count, mut off) = (0, 0);
    for maneuver in catalog::ALL {
        for form in maneuver.forms() {
            for direction in [Direction::Left, Direction::Right] {
                let Some((_, rigid)) = flown(&airplane, *maneuver, *form, direction) else {
                    continue;
                };
                let name = (id, maneuver.id(), form.key);
                count += 1;
                let flight = rigid.unwrap_or_else(|error| panic!("{name:?} {error}"));
                off += usize::from(!agrees(name, &flight, MISSES));
                check(name, &flight);
            }
        }
    }
    assert!(count > 50, "{count}");
    assert_eq!(off, 0, "of {count}");
}

/// In a wind: what is flown over the ground is another flight; the rest is the same in other air.
#[test]
fn prop_both_levels_agree_in_a_wind() {
    let day = Day { wind: Wind::parse("240/14kt").unwrap(), ..Day::standard() };
    let mut off = 0;
    for id in ["plover-160", "sandpiper-550"] {
        let airplane = bundled::load(id).unwrap();
        for maneuver in catalog::ALL {
            let form = maneuver.forms()[0];
            let flight = flown_on(&day, &airplane, *maneuver, (form, Direction::Left));
            let Some((_, rigid)) = flight else { continue };
            let name = (id, maneuver.id(), form.key);
            let rigid = rigid.unwrap_or_else(|error| panic!("{name:?} {error}"));
            let misses: Vec<Miss> = MISSES.iter().chain(MISSES_IN_WIND).copied().collect();
            off += usize::from(!agrees(name, &rigid, &misses));
            check(name, &rigid);
        }
    }
    assert_eq!(off, 0);
}

#[test]
fn prop_both_levels_agree_on_the_light_trainer() {
    catalogue_of("plover-160");
}

#[test]
fn prop_both_levels_agree_on_the_tandem_trainer() {
    catalogue_of("sandpiper-550");
}

fn chandelle(airplane: &Airplane, form: &str, direction: Direction) -> RigidFlight {
    let maneuver = catalog::find("chandelle").unwrap();
    let form = *maneuver.forms().iter().find(|known| known.key == form).unwrap();
    flown(airplane, maneuver, form, direction).unwrap().1.unwrap()
}

/// Right pedal where a flight has turned so far.
fn pedal_at(flight: &RigidFlight, turned_deg: f64) -> f64 {
    let controls = &flight.controls;
    let at = controls.iter().find(|control| control.progress_rad >= turned_deg * RAD_PER_DEG);
    at.unwrap().pedal_right
}

/// The facts of the trade on left and right (common practice, no source), in the flown maneuver.
#[test]
fn left_and_right_differ_as_the_trade_knows_it() {
    let airplane = bundled::load("sandpiper-550").unwrap();
    for form in ["shallow", "steep"] {
        let left = chandelle(&airplane, form, Direction::Left);
        let right = chandelle(&airplane, form, Direction::Right);
        // With the bank held, or growing slowly, and power on: the right turn takes more right rudder.
        for turned in [20.0, 40.0, 60.0] {
            let (l, r) = (pedal_at(&left, turned), pedal_at(&right, turned));
            assert!(r > l, "{form} {turned}: right {r}, left {l}");
            assert!(l < 0.0, "{form} {turned}: the left turn takes none: {l}");
        }
        // What both have in common is what the propeller asks for: it grows as the speed falls.
        let asked = |turned| 0.5 * (pedal_at(&left, turned) + pedal_at(&right, turned));
        // (In the steep form the bank grows until 90 degrees of turn, and with it what turning and pulling ask for.)
        let places: &[f64] = if form == "shallow" {
            &[20.0, 60.0, 110.0, 150.0, 175.0]
        } else {
            &[110.0, 150.0, 175.0]
        };
        let grows: Vec<f64> = places.iter().copied().map(asked).collect();
        assert!(grows.windows(2).all(|pair| pair[1] > pair[0]), "{form} {grows:?}");
        // Rolling out of the left turn to the right near the stall takes more rudder than rolling out of the right one.
        for turned in [150.0, 165.0, 175.0] {
            let (l, r) = (pedal_at(&left, turned), pedal_at(&right, turned));
            assert!(
                l.abs() > r.abs(),
                "{form} {turned}: out of the left {l}, out of the right {r}"
            );
        }
    }
}

/// What each cause asks of hands and feet at full power, slow and nose high, with a propeller that turns clockwise seen from the
/// cockpit (common practice, no source; any text on propeller effects).
#[test]
fn causes_have_their_textbook_signs() {
    let airplane = bundled::load("sandpiper-550").unwrap();
    let flight = chandelle(&airplane, "steep", Direction::Left);
    let slow = flight.controls.iter().find(|c| c.progress_rad > 160.0 * RAD_PER_DEG).unwrap();
    let (rudder, aileron) = (&slow.causes.rudder, &slow.causes.aileron);
    assert!(rudder.of(Reason::NormalForce) > 0.0, "P-factor asks for right rudder: {rudder:?}");
    assert!(rudder.of(Reason::Swirl) > 0.0, "and so does the swirl: {rudder:?}");
    assert!(aileron.of(Reason::Torque) > 0.0, "torque asks for right stick: {aileron:?}");
    // Rolling out of a left turn: right stick, whose adverse yaw asks for right rudder.
    assert!(aileron.of(Reason::RollRate) > 0.0 && rudder.of(Reason::OtherControl) > 0.0);
    // The bank still turns the nose left: damping in yaw and overbanking of a left turn ask for left rudder and right stick.
    assert!(rudder.of(Reason::YawRate) < 0.0 && aileron.of(Reason::YawRate) > 0.0);
    // Pulled up early on, the nose rises: the propeller precesses to the right and asks for left rudder.
    let pulled = flight.controls.iter().find(|c| c.progress_rad > 60.0 * RAD_PER_DEG).unwrap();
    assert!(pulled.causes.rudder.of(Reason::Gyroscopic) < 0.0, "{:?}", pulled.causes.rudder);
}

/// Where most right rudder is held in a chandelle: left in the roll-out, right as the wings come level (common practice, no source).
#[test]
fn right_rudder_peaks_in_the_roll_out_and_as_wings_come_level() {
    for id in ["plover-160", "sandpiper-550"] {
        let airplane = bundled::load(id).unwrap();
        for form in ["shallow", "steep"] {
            let peak =
                |direction| right_rudder_peak(&chandelle(&airplane, form, direction)).unwrap();
            let (left, right) = (peak(Direction::Left), peak(Direction::Right));
            println!("{id} {form}: left {left:?}, right {right:?}");
            assert!(left.progress_deg > 175.0 && left.banking == Banking::RollingOut, "{left:?}");
            assert!(right.progress_deg > 175.0 && right.bank_deg < 1.0, "{right:?}");
            assert!(left.travel > right.travel, "{left:?} {right:?}");
        }
    }
}

/// The tandem trainer with everything that turns or leans one way turned the other.
fn mirrored() -> Airplane {
    let (_, text) = bundled::ALL.iter().find(|(id, _)| *id == "sandpiper-550").unwrap();
    let turned = [
        ("rotation = \"clockwise\"", "rotation = \"counterclockwise\""),
        ("shaft_right = \"1 deg\"", "shaft_right = \"-1 deg\""),
        ("incidence = \"-0.3 deg\"", "incidence = \"0.3 deg\""),
    ];
    let text = turned.iter().fold((*text).to_string(), |text, (from, to)| {
        assert_eq!(text.matches(from).count(), 1, "{from}");
        text.replace(from, to)
    });
    Airplane::from_toml(&text, "mirrored").unwrap()
}

#[test]
fn prop_the_mirrored_airplane_takes_mirrored_controls() {
    let (airplane, other) = (bundled::load("sandpiper-550").unwrap(), mirrored());
    let right = chandelle(&airplane, "steep", Direction::Right);
    let left = chandelle(&other, "steep", Direction::Left);
    assert_eq!(right.controls.len(), left.controls.len());
    for (a, b) in right.controls.iter().zip(&left.controls) {
        assert!(
            (a.pedal_right + b.pedal_right).abs() < 1e-4,
            "{} {}",
            a.pedal_right,
            b.pedal_right
        );
        assert!((a.stick_right + b.stick_right).abs() < 1e-4);
        assert!((a.stick_back - b.stick_back).abs() < 1e-4);
        assert!((a.sideslip_rad + b.sideslip_rad).abs() < 1e-5);
    }
}

#[test]
fn a_rudder_that_is_too_small_is_told_with_numbers() {
    let mut airplane = bundled::load("sandpiper-550").unwrap();
    let rigid = airplane.rigid.as_mut().unwrap();
    rigid.controls.rudder.actuator.limits_rad = (-3.0 * RAD_PER_DEG, 3.0 * RAD_PER_DEG);
    let flight = chandelle(&airplane, "steep", Direction::Left);
    let [excess] = flight.excesses[..] else { panic!("{:?}", flight.excesses) };
    assert_eq!((excess.control, excess.beyond), (Limited::Rudder, Beyond::Deflection));
    assert!(
        (excess.available + 3.0 * RAD_PER_DEG).abs() < 1e-12 && excess.needed < excess.available
    );
    assert!(flight.tracking.limited_share > 0.0);
}

#[test]
fn an_airplane_without_data_is_told_so() {
    let mut airplane = bundled::load("plover-160").unwrap();
    let maneuver = catalog::find("chandelle").unwrap();
    let entry = entry(&airplane, maneuver.forms()[0], Direction::Left);
    let reference = maneuver.fly(&airplane, &Day::standard(), &entry).unwrap();
    airplane.rigid = None;
    let error = fly(&airplane, &Day::standard(), &entry, &reference).unwrap_err();
    assert!(matches!(error, NotFlown::NoData(_)), "{error}");
    assert!(!error.hint().is_empty());
}

/// Wind moves the ground under the flight and nothing else.
#[test]
fn prop_wind_changes_the_track_alone() {
    let airplane = bundled::load("plover-160").unwrap();
    let maneuver = catalog::find("chandelle").unwrap();
    let entry = entry(&airplane, maneuver.forms()[0], Direction::Right);
    let fly_in = |wind: &str| {
        let day = Day { wind: Wind::parse(wind).unwrap(), ..Day::standard() };
        let reference = maneuver.fly(&airplane, &day, &entry).unwrap();
        fly(&airplane, &day, &entry, &reference).unwrap()
    };
    let (calm, windy) = (fly_in("calm"), fly_in("270/20kt"));
    for (a, b) in calm.samples.iter().zip(&windy.samples) {
        assert!(
            (a.air_north_m - b.air_north_m).abs() < 0.05
                && (a.air_east_m - b.air_east_m).abs() < 0.05
        );
        assert!((a.height_m - b.height_m).abs() < 0.05 && (a.bank_rad - b.bank_rad).abs() < 1e-4);
    }
    let (last, drifted) = (calm.samples.last().unwrap(), windy.samples.last().unwrap());
    assert!(drifted.east_m - last.east_m > 300.0, "{} {}", drifted.east_m, last.east_m);
}

/// Samples of a loop as a solver of vertical figures gives them: at the vertical heading and bank jump by half a turn.
fn looping(airplane: &Airplane) -> ReferenceFlight {
    let maneuver = catalog::find("chandelle").unwrap();
    let entry = entry(airplane, maneuver.forms()[0], Direction::Right);
    let mut reference = maneuver.fly(airplane, &Day::standard(), &entry).unwrap();
    let g = base::factors::STANDARD_GRAVITY_MPS2;
    let first = reference.samples[0];
    let mass_kg = airplane.masses.typical.to_kg();
    let air = DensityColumn::of_day(&Day::standard(), 0.0, 3000.0);
    let body = PointMass { airplane, mass_kg, air };
    let (mut speed, mut climb, mut height) = (105.0, 0.0_f64, first.height_m);
    let mut samples = Vec::new();
    while climb < std::f64::consts::TAU {
        let time_s = 0.1 * samples.len() as f64;
        let pull = (time_s / 2.0).min(1.0) * (speed / 105.0) * (speed / 105.0);
        let load = 1.0 + 3.2 * pull;
        let lift = body.lift_coefficient_for(load, speed, height);
        let incidence_rad = airplane.incidence_rad(lift);
        let nose = climb + incidence_rad;
        let over = base::math::cos(nose) < 0.0;
        samples.push(flight::trajectory::FlightSample {
            time_s,
            progress_rad: climb,
            heading_rad: first.heading_rad + if over { std::f64::consts::PI } else { 0.0 },
            pitch_rad: base::math::asin(base::math::sin(nose)),
            bank_rad: if over { std::f64::consts::PI } else { 0.0 },
            true_airspeed_mps: speed,
            calibrated_airspeed_mps: 0.95 * speed,
            height_m: height,
            load_factor: load,
            power_share: 1.0,
            incidence_rad,
            ..first
        });
        climb += 0.1 * g * (load - base::math::cos(climb)) / speed;
        let excess_n = body.thrust_n(1.0, speed, height) - body.drag_n(lift, speed, height);
        speed += 0.1 * (excess_n / mass_kg - g * base::math::sin(climb));
        height += 0.1 * speed * base::math::sin(climb);
    }
    reference.parts[0].last = samples.len() - 1;
    reference.parts[0].checkpoints.clear();
    reference.progress = crate::definition::Progress::Pitch;
    reference.samples = samples;
    reference
}

#[test]
fn a_loop_given_by_its_samples_is_flown_through_the_vertical() {
    let airplane = bundled::load("sandpiper-550").unwrap();
    let reference = looping(&airplane);
    let maneuver = catalog::find("chandelle").unwrap();
    let entry = entry(&airplane, maneuver.forms()[0], Direction::Right);
    let flight = fly(&airplane, &Day::standard(), &entry, &reference).unwrap();
    println!("{:?} {:?}", flight.agreement, flight.tracking);
    let highest = |samples: &[flight::trajectory::FlightSample]| {
        samples.iter().map(|sample| sample.height_m).fold(0.0, f64::max)
    };
    let (rose, expected) =
        (highest(&flight.samples) - 1000.0, highest(&reference.samples) - 1000.0);
    println!("{rose:.0} m, expected {expected:.0}");
    assert!((rose / expected - 1.0).abs() < 0.02 && flight.agreement.height_share.abs() < 0.02);
    assert!(flight.agreement.speed_kt.abs() < 2.0);
    assert!(flight.tracking.attitude_max_rad.iter().all(|angle| *angle < 0.5 * RAD_PER_DEG));
    assert!(flight.controls.iter().all(|control| control.ball_rad.abs() < 5.0 * RAD_PER_DEG));
    // The stick comes back and the propeller asks for the feet.
    let most =
        |of: fn(&super::ControlSample) -> f64| flight.controls.iter().map(of).fold(0.0, f64::max);
    assert!(most(|control| control.stick_back) > most(|_| 0.0));
    assert!(most(|control| control.pedal_right.abs()) > 0.02);
}
