//! The truth against closed forms: energy and turn rate by formulas written out here, a steady turn, drift with the wind.

use base::factors::STANDARD_GRAVITY_MPS2;
use base::geodesy::Geodetic;
use base::kinds::{CalibratedAirspeed, GeometricHeight, TrueHeading};
use base::math::{cos, sin, tan};
use base::units::{Angle, Mass};
use flight::airplane::{Airplane, bundled};
use flight::point_mass::{DensityColumn, PointMass, thrust_n};
use maneuver::Direction;
use synthetic::flown::{Flown, TRUTH_STEP_S, Truth};
use synthetic::receiver::Receiver;
use synthetic::script::{Hand, Piece, Setting};
use synthetic::{demo, table};

fn plover() -> Airplane {
    bundled::load(demo::AIRPLANE).expect("bundled")
}

/// Over every second: how far the change of a quantity is from the integral of its rate by the trapezoidal rule, at the most.
fn change_miss(flown: &Flown, of: impl Fn(&Truth) -> f64, rate: impl Fn(&Truth) -> f64) -> f64 {
    let one = |second: &[Truth]| {
        let (first, last) = (&second[0], &second[second.len() - 1]);
        let sum: f64 = second.windows(2).map(|w| 0.5 * (rate(&w[0]) + rate(&w[1]))).sum();
        (of(last) - of(first) - TRUTH_STEP_S * sum).abs()
    };
    flown.truth.windows(11).map(one).fold(0.0, f64::max)
}

#[test]
fn prop_energy_of_the_demo_flight_is_that_of_thrust_and_drag() {
    let (airplane, day, flown) = (plover(), demo::day(), demo::fly());
    let energy = |truth: &Truth| {
        let s = &truth.sample;
        0.5 * s.true_airspeed_mps * s.true_airspeed_mps + STANDARD_GRAVITY_MPS2 * s.height_m
    };
    let body = PointMass {
        airplane: &airplane,
        mass_kg: demo::MASS.to_kg(),
        air: DensityColumn::of_day(&day, 0.0, 4000.0),
    };
    let power = |truth: &Truth| {
        let s = &truth.sample;
        let density = day.air_at(GeometricHeight::from_m(s.height_m)).density.to_kgpm3();
        let speed = s.true_airspeed_mps;
        let drag_coefficient = airplane.aerodynamics.drag_zero_lift
            + airplane.aerodynamics.drag_induced * s.lift_coefficient * s.lift_coefficient;
        let drag_n = 0.5 * density * speed * speed * airplane.wing_area.to_m2() * drag_coefficient;
        let thrust_n = thrust_n(&airplane.thrust, s.power_share, speed, density);
        // What turns with the propeller takes its share of a change of speed.
        let weight_mps2 = STANDARD_GRAVITY_MPS2 * sin(s.climb_rad);
        let added = body.added_share(s.power_share, speed, s.height_m);
        let faster_mps2 = ((thrust_n - drag_n) / demo::MASS.to_kg() - weight_mps2) / (1.0 + added);
        (faster_mps2 + weight_mps2) * speed
    };
    let miss = change_miss(&flown, energy, power);
    let most = flown.truth.iter().map(|t| power(t).abs()).fold(0.0, f64::max);
    println!("energy over a second: greatest miss {miss:.3} of {most:.0} J/kg");
    assert!(most > 30.0 && miss < 0.01 * most, "{miss} of {most}");
    // Over the whole flight, too: what was put in is there.
    let put_in: f64 = flown.truth.windows(2).map(|w| 0.5 * (power(&w[0]) + power(&w[1]))).sum();
    let gained = energy(flown.truth.last().unwrap()) - energy(&flown.truth[0]);
    assert!((put_in * TRUTH_STEP_S - gained).abs() < 20.0, "{put_in} {gained}");
}

#[test]
fn prop_turn_and_climb_follow_from_load_and_bank() {
    let flown = demo::fly();
    let course_rate = |truth: &Truth| {
        let s = &truth.sample;
        STANDARD_GRAVITY_MPS2 * s.load_factor * sin(s.lift_bank_rad)
            / (s.true_airspeed_mps * cos(s.climb_rad))
    };
    let climb_rate = |truth: &Truth| {
        let s = &truth.sample;
        STANDARD_GRAVITY_MPS2 / s.true_airspeed_mps
            * (s.load_factor * cos(s.lift_bank_rad) - cos(s.climb_rad))
    };
    let turn_miss = change_miss(&flown, |t| t.sample.course_rad, course_rate);
    let climb_miss = change_miss(&flown, |t| t.sample.climb_rad, climb_rate);
    println!("course and climb over a second: greatest miss {turn_miss:.1e}, {climb_miss:.1e} rad");
    assert!(turn_miss < 1e-3 && climb_miss < 1e-3, "{turn_miss} {climb_miss}");
}

fn calm_turn(bank_deg: f64) -> Flown {
    let (airplane, day) = (plover(), flight::air::Day::standard());
    let setting = Setting {
        airplane: &airplane,
        mass: Mass::from_kg(930.0),
        day: &day,
        place: Geodetic::from_deg(47.0, -31.0, 0.0),
        height: GeometricHeight::from_m(1000.0),
        heading: TrueHeading::from_deg(10.0),
        speed: CalibratedAirspeed::from_kt(95.0),
        hand: Hand::STEADY,
        seed: 1,
    };
    let turn = Piece::Turn {
        direction: Direction::Left,
        through: Angle::from_deg(720.0),
        bank: Angle::from_deg(bank_deg),
    };
    synthetic::fly(setting, &[Piece::Straight { seconds: 5.0 }, turn]).expect("flies")
}

#[test]
fn val_a_steady_level_turn_has_the_rate_of_its_bank() {
    // Rate g tan(bank) / V: any text on flight mechanics.
    for bank_deg in [20.0, 35.0, 45.0] {
        let flown = calm_turn(bank_deg);
        let middle = flown.truth.len() / 2;
        let (a, b) = (&flown.truth[middle].sample, &flown.truth[middle + 100].sample);
        let rate = (a.course_rad - b.course_rad) / (b.time_s - a.time_s);
        let wanted = STANDARD_GRAVITY_MPS2 * tan(bank_deg.to_radians()) / a.true_airspeed_mps;
        assert!((rate / wanted - 1.0).abs() < 2e-3, "{bank_deg}: {rate} {wanted}");
        assert!((a.height_m - b.height_m).abs() < 0.5 && a.climb_rad.abs() < 1e-3);
        let turned = flown.truth.last().unwrap().sample.turned_rad.to_degrees();
        assert!((turned + 720.0).abs() < 4.0, "{turned}");
    }
}

#[test]
fn prop_the_ground_path_is_the_air_path_and_the_wind() {
    let (day, flown) = (demo::day(), demo::fly());
    let wind = day.wind.velocity();
    for truth in flown.truth.iter().step_by(50) {
        let s = &truth.sample;
        assert!((s.north_m - s.air_north_m - wind.north() * s.time_s).abs() < 0.1);
        assert!((s.east_m - s.air_east_m - wind.east() * s.time_s).abs() < 0.1);
    }
    // The place goes with it: speed between two places a minute apart is that of the velocity.
    for w in flown.truth.windows(3).step_by(600) {
        let level = base::geodesy::LocalLevel::at(w[1].place);
        let way = level.to_local(w[2].place) - level.to_local(w[0].place);
        let velocity = w[1].velocity_mps * (2.0 * TRUTH_STEP_S);
        assert!((way.north() - velocity.north()).abs() < 0.03, "{way:?} {velocity:?}");
        assert!((way.east() - velocity.east()).abs() < 0.03, "{way:?} {velocity:?}");
    }
}

#[test]
fn prop_the_same_seed_gives_the_same_bytes() {
    let first = demo::csv(&demo::fly());
    assert_eq!(first, demo::csv(&demo::fly()));
    let flown = calm_turn(20.0);
    let text = |seed| table::csv("", demo::start(), &Receiver::usual(10, 1, seed).fixes(&flown));
    assert_eq!(text(3), text(3));
    assert_ne!(text(3), text(4));
}

#[test]
fn prop_holes_and_errors_are_those_of_the_receiver() {
    let flown = demo::fly();
    let fixes = Receiver::usual(2, 3, 9).fixes(&flown);
    let holes = fixes.windows(2).filter(|w| w[1].time_s - w[0].time_s > 1.5).count();
    assert_eq!(holes, 3);
    let off = |fix: &recording::Fix| {
        let index = (fix.time_s / TRUTH_STEP_S).round() as usize;
        fix.climb_mps.unwrap() + flown.truth[index].velocity_mps.down()
    };
    let n = fixes.len() as f64;
    let climb_rms = (fixes.iter().map(|fix| off(fix) * off(fix)).sum::<f64>() / n).sqrt();
    assert!((climb_rms - 0.1).abs() < 0.005, "{climb_rms}");
}
