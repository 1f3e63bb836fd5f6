//! Inverse flight: against trim, against the rigid body flown with what was found, and where it must say no.

use base::factors::{MPS_PER_KT, RAD_PER_DEG};
use base::frames::{Attitude, Fixed, Rot, Vec3};
use base::kinds::TrueAirspeed;
use base::units::Angle;

use super::causes::{Reason, split};
use super::{
    Aim, Asked, Feedback, Shortfall, Solved, Task, Turning, excesses, freed, march, refly,
    stations_m,
};
use crate::air::{AirColumn, Day};
use crate::airplane::{Airplane, bundled};
use crate::earth::Earth;
use crate::trim::{Airspeed, Conditions, Curve, Hold, Trim, trim};
use crate::vehicle::{Vehicle, World};
use crate::wind::Wind;

const STEP_S: f64 = 0.05;

struct Scene {
    airplane: Airplane,
    real: Vehicle,
    free: Vehicle,
    air: AirColumn,
}

impl Scene {
    fn new(id: &str) -> Self {
        let airplane = bundled::load(id).unwrap();
        let mass = airplane.masses.typical;
        let vehicle = || airplane.vehicle(mass).unwrap();
        let air = AirColumn::of_day(&Day::standard(), -500.0, 5000.0);
        Self { real: vehicle(), free: freed(vehicle()), airplane, air }
    }
    fn world(&self) -> World<'_> {
        World { earth: Earth::FLAT, air: &self.air, wind: &Wind::CALM }
    }
    fn trimmed(&self, kt: f64, curve: Curve, hold: Hold) -> Trim {
        let speed = Airspeed::True(TrueAirspeed::from_kt(kt));
        let level = Conditions::level(Vec3::new(0.0, 0.0, -1000.0), speed);
        let found = trim(&self.real, &self.world(), &Conditions { curve, hold, ..level }).unwrap();
        assert!(found.converged(), "{}", found.stop);
        found
    }
    fn task<'a>(&'a self, asked: &'a [Asked], start: &Trim) -> Task<'a> {
        Task {
            vehicle: &self.free,
            world: self.world(),
            time_first_s: 0.0,
            step_s: STEP_S,
            asked,
            propeller: 1.0,
            flap_rad: 0.0,
            short_most_mps2: 0.0,
            alpha_most_rad: self.airplane.rigid.as_ref().unwrap().stall_rad(),
            stations_m: stations_m(&self.free, &self.world(), &start.state.to_array()),
        }
    }
}

fn level() -> Hold {
    Hold::Climb(Angle::from_rad(0.0))
}

/// Marches three times, the turning from the sweep before.
fn sweeps(task: &Task<'_>, start: &Trim, first: Turning) -> Result<Vec<Solved>, Shortfall> {
    let mut turning = first;
    let mut found = Vec::new();
    for _ in 0..3 {
        found = march(task, &start.state.to_array(), &turning, 0..task.asked.len())?;
        let attitudes: Vec<Rot<_, Fixed>> = found.iter().map(|node| node.fixed_from_body).collect();
        turning = Turning::of(&attitudes, STEP_S);
    }
    Ok(found)
}

#[test]
fn a_steady_turn_is_the_trimmed_one() {
    for id in ["plover-160", "sandpiper-550"] {
        let scene = Scene::new(id);
        let bank = Angle::from_deg(45.0);
        let steady = scene.trimmed(110.0, Curve::TurnAtBank(bank), level());
        let asked = vec![
            Asked {
                aim: Aim::LevelAndBank { bank_rad: bank.to_rad(), height_m: 1000.0 },
                throttle: steady.inputs.throttle,
                side_mps2: 0.0,
            };
            200
        ];
        let task = scene.task(&asked, &steady);
        let rates = Turning {
            rates_radps: vec![steady.state.rates_radps; 200],
            accelerations_radps2: vec![Vec3::ZERO; 200],
        };
        let found = sweeps(&task, &steady, rates).unwrap();
        let trimmed = steady.state.to_array();
        for node in [&found[0], &found[100], &found[199]] {
            for (found, wanted) in node.state[14..].iter().zip(&trimmed[14..]) {
                let miss = (found - wanted).abs() / RAD_PER_DEG;
                assert!(miss < 2e-3, "{id} {} s: {miss}", node.time_s);
            }
            let speed = (node.through_air_mps.norm() - 110.0 * MPS_PER_KT).abs();
            assert!(speed < 1e-3 && node.side_mps2.abs() < 1e-6, "{id} {speed}");
        }
        let flown = refly(&task, &scene.real, &found, &Feedback::NONE);
        let tracking = flown.tracking;
        println!("{id} steady turn flown without feedback: {tracking:?}");
        assert!(tracking.attitude_max_rad.iter().all(|a| *a < 0.05 * RAD_PER_DEG), "{tracking:?}");
        assert!(excesses(&found, &scene.real.actuators).is_empty());
    }
}

/// A climbing turn rolled into and out of, as a chandelle is.
fn chandelle(sign: f64, pitch_level_rad: f64) -> Vec<Asked> {
    let deg = RAD_PER_DEG;
    let line = |t: f64, points: &[(f64, f64)]| {
        let (x, y): (Vec<f64>, Vec<f64>) = points.iter().copied().unzip();
        base::numerics::interpolation::linear(&x, &y, t.clamp(x[0], x[x.len() - 1]))
    };
    let nodes: Vec<f64> = (0..460).map(|i| STEP_S * f64::from(i) - 1.0).collect();
    let bank: Vec<f64> = nodes
        .iter()
        .map(|&t| sign * deg * line(t, &[(0.0, 0.0), (2.0, 30.0), (9.0, 30.0), (20.0, 0.0)]))
        .collect();
    let pitch: Vec<f64> = nodes
        .iter()
        .map(|&t| {
            pitch_level_rad + deg * line(t, &[(0.0, 0.0), (2.0, 1.0), (9.0, 14.0), (20.0, 14.0)])
        })
        .collect();
    let smoothing = super::Smoothing::of_width(0.2, STEP_S);
    let (bank, pitch) = (smoothing.apply(&bank), smoothing.apply(&pitch));
    let aim = |(&bank_rad, &pitch_rad)| Aim::PitchAndBank { pitch_rad, bank_rad };
    bank.iter()
        .zip(&pitch)
        .map(|pair| Asked { aim: aim(pair), throttle: 1.0, side_mps2: 0.0 })
        .collect()
}

/// Attitudes of a schedule as if it did not turn: where the sweeps begin.
fn straight(asked: &[Asked]) -> Turning {
    let attitude = |asked: &Asked| {
        let Aim::PitchAndBank { pitch_rad, bank_rad } = asked.aim else { panic!("pitch and bank") };
        let ned = Attitude { heading_rad: 0.0, pitch_rad, bank_rad }.body_from_ned().inverse();
        Rot::from_rows_unchecked(*ned.rows())
    };
    Turning::of(&asked.iter().map(attitude).collect::<Vec<_>>(), STEP_S)
}

#[test]
fn a_chandelle_is_flown_by_its_controls() {
    for (id, kt) in [("plover-160", 95.0), ("sandpiper-550", 145.0)] {
        let scene = Scene::new(id);
        for sign in [-1.0, 1.0] {
            let start = scene.trimmed(kt, Curve::Straight, Hold::Both(Angle::from_rad(0.0), 1.0));
            let asked = chandelle(sign, start.pitch.to_rad());
            let task = scene.task(&asked, &start);
            let found = sweeps(&task, &start, straight(&asked)).unwrap();
            let flown = refly(&task, &scene.real, &found, &Feedback::LOW);
            let t = flown.tracking;
            let deg = |x: [f64; 3]| x.map(|x| (x / RAD_PER_DEG * 1000.0).round() / 1000.0);
            println!(
                "{id} {sign}: attitude {:?} deg, height {:.2} m, speed {:.3} m/s, feedback {:?} deg, share {:?}",
                deg(t.attitude_max_rad),
                t.height_max_m,
                t.speed_max_mps,
                deg(t.feedback_max_rad),
                t.feedback_share
            );
            assert!(t.attitude_max_rad.iter().all(|a| *a < 0.1 * RAD_PER_DEG));
            assert!(t.feedback_share.iter().all(|share| *share < 0.01), "{t:?}");
            assert!(t.height_max_m < 0.1 && t.speed_max_mps < 0.01);
            for (state, inputs) in flown.states.iter().zip(&flown.inputs).step_by(10) {
                let now = scene.real.instant(&task.world, 0.0, state, inputs);
                let causes = split(&scene.real, &task.world, 0.0, (state, inputs, &now));
                let at = now.surfaces;
                for (parts, whole) in [
                    (causes.elevator, at.elevator_rad),
                    (causes.aileron, at.aileron_rad),
                    (causes.rudder, at.rudder_rad),
                ] {
                    assert!((parts.total() - whole).abs() < 1e-14, "{parts:?} {whole}");
                    assert!(parts.of(Reason::Remainder).abs() < 1e-6, "{parts:?}");
                }
            }
        }
    }
}

/// A loop by its attitude alone: the nose goes round at the rate that so much load gives.
fn looping(speed_mps: f64, pitch_rad: f64, load: f64) -> Vec<Asked> {
    let g = base::factors::STANDARD_GRAVITY_MPS2;
    let (mut speed, mut travelled, mut since_s) = (speed_mps, 0.0, 0.0);
    let mut pitches = vec![pitch_rad; 30];
    while travelled < std::f64::consts::TAU {
        let begun = (since_s / 1.5_f64).min(1.0);
        let wanted = 1.0 + (load - 1.0) * begun * begun * (3.0 - 2.0 * begun);
        let slow = (speed / speed_mps).clamp(0.4, 1.0) * (speed / speed_mps).clamp(0.4, 1.0);
        let normal = (wanted * slow).max(0.8)
            - base::math::cos(travelled) * f64::from(u8::from(since_s > 0.0));
        travelled += STEP_S * g * normal.max(0.0) / speed;
        speed -= STEP_S * (g * base::math::sin(travelled) - 0.5);
        since_s += STEP_S;
        pitches.push(pitch_rad + travelled.min(std::f64::consts::TAU));
    }
    pitches.extend(std::iter::repeat_n(pitch_rad + std::f64::consts::TAU, 20));
    let smooth = super::Smoothing::of_width(0.2, STEP_S).apply(&pitches);
    let attitude = |pitch: &f64| {
        // Past the vertical the angles say it with heading and bank turned; the rotation itself has no seam.
        let (s, c) = (base::math::sin(*pitch), base::math::cos(*pitch));
        Rot::from_rows_unchecked([[c, 0.0, s], [0.0, 1.0, 0.0], [-s, 0.0, c]])
    };
    smooth
        .iter()
        .map(|pitch| Asked { aim: Aim::Attitude(attitude(pitch)), throttle: 1.0, side_mps2: 0.0 })
        .collect()
}

#[test]
fn a_loop_is_flown_through_the_vertical() {
    let scene = Scene::new("sandpiper-550");
    let start = scene.trimmed(185.0, Curve::Straight, Hold::Both(Angle::from_rad(0.0), 1.0));
    let asked = looping(185.0 * MPS_PER_KT, start.pitch.to_rad(), 4.0);
    let task = scene.task(&asked, &start);
    let attitudes: Vec<_> = asked
        .iter()
        .map(|asked| match asked.aim {
            Aim::Attitude(attitude) => attitude,
            _ => panic!("a loop is asked for by its attitude"),
        })
        .collect();
    let turning = Turning::of(&attitudes, STEP_S);
    let found = march(&task, &start.state.to_array(), &turning, 0..asked.len()).unwrap();
    let highest = found.iter().map(|node| -node.state[2]).fold(0.0, f64::max);
    let slowest = found.iter().map(|node| node.through_air_mps.norm()).fold(1e9, f64::min);
    let slip = found.iter().map(|node| node.beta_rad.abs()).fold(0.0, f64::max) / RAD_PER_DEG;
    let load = found.iter().map(|node| node.load_factor).fold(0.0, f64::max);
    println!(
        "loop: {:.0} m up, slowest {slowest:.0} m/s, sideslip {slip:.1}, load {load:.1}",
        highest - 1000.0
    );
    assert!((150.0..450.0).contains(&(highest - 1000.0)) && slowest > 30.0 && slip < 3.0);
    let flown = refly(&task, &scene.real, &found, &Feedback::LOW);
    println!("{:?}", flown.tracking);
    assert!(flown.tracking.attitude_max_rad.iter().all(|a| *a < 0.5 * RAD_PER_DEG));
    assert!(flown.tracking.height_max_m < 1.0);
}

#[test]
fn load_beyond_the_greatest_lift_is_refused_with_numbers() {
    let scene = Scene::new("plover-160");
    let start = scene.trimmed(80.0, Curve::Straight, level());
    let aim = |i: i32| Aim::LoadAndBank { load_factor: 1.0 + 0.03 * f64::from(i), bank_rad: 0.0 };
    let asked: Vec<Asked> =
        (0..100).map(|i| Asked { aim: aim(i), throttle: 0.6, side_mps2: 0.0 }).collect();
    let task = scene.task(&asked, &start);
    let error = march(&task, &start.state.to_array(), &Turning::none(100), 0..100).unwrap_err();
    println!("{error}");
    let Shortfall::Lift { needed, available, .. } = error else { panic!("{error:?}") };
    assert!(needed > available && (2.0..3.2).contains(&available), "{needed} {available}");
    // A nose held high runs out of incidence instead.
    let asked: Vec<Asked> = (0..600)
        .map(|_| Asked {
            aim: Aim::PitchAndBank { pitch_rad: 0.3, bank_rad: 0.0 },
            throttle: 0.0,
            side_mps2: 0.0,
        })
        .collect();
    let slow = scene.task(&asked, &start);
    let error = march(&slow, &start.state.to_array(), &Turning::none(600), 0..600).unwrap_err();
    println!("{error}");
    assert!(
        matches!(error, Shortfall::Incidence { needed_rad, available_rad, .. }
        if needed_rad > available_rad),
        "{error:?}"
    );
}
