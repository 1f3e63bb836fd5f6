//! Airplanes and days drawn by chance: how many are solved, and why the others are not.

use std::collections::BTreeMap;
use std::time::Instant;

use base::factors::RAD_PER_DEG;
use base::numerics::random::SplitMix;
use flight::air::Day;
use flight::airplane::Thrust;
use maneuver::optimum::climb::{Climb, solve_climb};
use maneuver::optimum::programmed::solve_programmed;
use maneuver::optimum::turn::{LevelTurn, solve_turn};
use maneuver::optimum::wing_over::{WingOver, solve_wing_over};
use maneuver::optimum::{Limits, Mesh};
use maneuver::solve::{climbing_turn, course_half};

use super::plane::{Plane, STALL_MARGIN, airplane, standard_air};

/// An airplane of its class with a day: mass, wing, drag, thrust, height and entry speed by chance.
fn draw(seed: u64) -> Plane {
    let mut random = SplitMix::new(seed);
    let mut between = |low: f64, high: f64| low + (high - low) * random.share();
    let mass_kg = between(550.0, 1700.0);
    let wing_m2 = mass_kg / between(45.0, 95.0);
    let drag = [between(0.022, 0.042), between(0.045, 0.095)];
    let lift = [between(0.2, 0.45), between(4.2, 5.2), between(1.3, 1.7)];
    let pull = between(0.22, 0.42) * mass_kg * base::factors::STANDARD_GRAVITY_MPS2;
    let thrust = Thrust::Polynomial {
        static_n: pull,
        slope_n_per_mps: -between(0.003, 0.008) * pull,
        curvature_n_per_mps2: -between(0.0, 5e-5) * pull,
    };
    let height_m = between(0.0, 2500.0);
    let air = standard_air(height_m);
    let mut plane = Plane {
        key: format!("draw {seed}"),
        airplane: airplane((mass_kg, wing_m2), drag, lift, thrust),
        day: Day::standard(),
        mass_kg,
        air,
        speed_mps: 1.0,
        height_m,
        load_limit: 3.8,
        load_min: 0.5,
        load_climb: 2.5,
        lift_rate_per_s: between(0.3, 0.7),
        roll_rate_radps: between(20.0, 60.0) * RAD_PER_DEG,
        bank_modern_rad: 30.0 * RAD_PER_DEG,
        bank_level_rad: 60.0 * RAD_PER_DEG,
    };
    plane.speed_mps = between(1.7, 2.2) * plane.body().stall_speed_mps(height_m);
    plane
}

/// Solves every kind for airplanes drawn from seeds 1 to `count`.
pub(super) fn run(count: u64) {
    let mut solved: BTreeMap<&str, (u64, f64)> = BTreeMap::new();
    for seed in 1..=count {
        let plane = draw(seed);
        for (kind, solve) in KINDS {
            let begin = Instant::now();
            let result = solve(&plane);
            let (solved, time_ms) = solved.entry(kind).or_default();
            *time_ms += 1e3 * begin.elapsed().as_secs_f64();
            match result {
                Ok(()) => *solved += 1,
                Err(why) => println!(
                    "seed {seed} ({:.0} kg, {:.1} m/s, {:.0} m) {kind}: {why}",
                    plane.mass_kg, plane.speed_mps, plane.height_m
                ),
            }
        }
    }
    println!("{:<24} {:>9} {:>14}", "kind", "solved", "mean time, ms");
    for (kind, (solved, time_ms)) in solved {
        println!("{kind:<24} {solved:>4} of {count:<3} {:>10.1}", time_ms / count as f64);
    }
}

type Solve = fn(&Plane) -> Result<(), String>;

const KINDS: &[(&str, Solve)] = &[
    ("1a climb, 30 deg", |plane| climb(plane, 30.0, 1.0)),
    ("1b climb, 60 deg", |plane| climb(plane, 60.0, 0.45)),
    ("1c programmed bank", programmed),
    ("2a chandelle", |plane| chandelle(plane, true).map(|_| ())),
    ("2b chandelle", |plane| chandelle(plane, false).map(|_| ())),
    ("3a lazy eight, time", |plane| lazy_eight(plane, course_half::BankBy::Time)),
    ("3b lazy eight, course", |plane| {
        lazy_eight(plane, course_half::BankBy::Course { margin_rad: 3.0 * RAD_PER_DEG })
    }),
    ("4 wing-over 60", |plane| wing_over(plane, 60.0)),
    ("4 wing-over 80", |plane| wing_over(plane, 80.0)),
    ("5 turn 180, bleed", |plane| turn(plane, 180.0)),
    ("5 turn 360, bleed", |plane| turn(plane, 360.0)),
];

/// The schedule's time, on which the climbs are timed.
fn chandelle(plane: &Plane, lift_bank: bool) -> Result<f64, String> {
    let form = climbing_turn::Form {
        bank_first_rad: plane.bank_modern_rad,
        bank_90_rad: plane.bank_modern_rad,
        roll_in_s: 0.0,
        speed_end_calibrated_mps: f64::NAN,
        power_entry_share: 1.0,
    };
    let reading =
        climbing_turn::Reading { lift_bank, course: true, end_over_stall: Some(STALL_MARGIN) };
    let found = climbing_turn::solve_read(&plane.setting(), form, reading);
    found.map(|(_, flown, _, _)| flown.end_s).map_err(|infeasible| infeasible.to_string())
}

/// The time of the chandelle, or that of an even turn where it has none.
fn time_s(plane: &Plane) -> f64 {
    chandelle(plane, true).unwrap_or_else(|_| {
        let rate = base::factors::STANDARD_GRAVITY_MPS2 * 0.42 / (0.8 * plane.speed_mps);
        std::f64::consts::PI / rate
    })
}

fn climb(plane: &Plane, bank_deg: f64, share: f64) -> Result<(), String> {
    let limits = plane.limits(bank_deg * RAD_PER_DEG);
    let asked = Climb { limits, time_max_s: share * time_s(plane) };
    let found = solve_climb(&plane.body(), plane.entry(), &asked, &Mesh::default());
    found.map(|_| ()).map_err(|error| error.to_string())
}

fn programmed(plane: &Plane) -> Result<(), String> {
    let bank_rad = plane.bank_modern_rad;
    let asked = Climb { limits: plane.limits(bank_rad), time_max_s: time_s(plane) };
    let found =
        solve_programmed(&plane.body(), plane.entry(), (&asked, bank_rad), &Mesh::default());
    found.map(|_| ()).map_err(|error| error.to_string())
}

fn lazy_eight(plane: &Plane, bank_by: course_half::BankBy) -> Result<(), String> {
    let setting = plane.setting();
    let stall = setting.body.stall_speed_mps(plane.height_m);
    let speed_90_mps = Some(stall + 10.0 * base::factors::MPS_PER_KT);
    let form = course_half::Form { bank_max_rad: 30.0 * RAD_PER_DEG, bank_by, speed_90_mps };
    course_half::solve(&setting, &form).map(|_| ()).map_err(|infeasible| infeasible.to_string())
}

fn wing_over(plane: &Plane, bank_deg: f64) -> Result<(), String> {
    let limits = Limits { load_min: 0.0, load_max: 3.0, ..plane.limits(bank_deg * RAD_PER_DEG) };
    let asked = WingOver { limits, climb_45_rad: 25.0 * RAD_PER_DEG };
    let mesh = Mesh { intervals: 10, ..Mesh::default() };
    let found = solve_wing_over(&plane.body(), plane.entry(), &asked, &mesh);
    found.map(|_| ()).map_err(|error| error.to_string())
}

fn turn(plane: &Plane, turn_deg: f64) -> Result<(), String> {
    let asked = LevelTurn {
        turn_rad: turn_deg * RAD_PER_DEG,
        bank_max_rad: base::math::acos(1.0 / plane.load_climb),
        roll_rate_radps: plane.roll_rate_radps,
        stall_margin: STALL_MARGIN,
        hold: false,
    };
    let found = solve_turn(&plane.body(), plane.entry(), &asked, &Mesh::default());
    found.map(|_| ()).map_err(|error| error.to_string())
}
