//! Trim of the two trainers over speeds, banks and ways of asking: time of a search, and how the searches end.
//! Goal: a trim under 200 microseconds.
//!
//! A plain program, no harness: it prints the median, the 95 % value and the worst, which a mean over repeats would hide.

#![allow(clippy::disallowed_methods, reason = "a bench reads the clock")]
#![allow(clippy::print_stdout, reason = "its answer is what it prints")]

use std::collections::BTreeMap;
use std::time::Instant;

use base::frames::Vec3;
use base::kinds::TrueAirspeed;
use base::units::{Angle, LoadFactor};
use flight::air::{AirColumn, Day};
use flight::airplane::bundled;
use flight::earth::Earth;
use flight::trim::{Airspeed, Balance, Conditions, Curve, Hold, Stop, trim};
use flight::vehicle::{Vehicle, World};
use flight::wind::Wind;

/// Every way of asking at one speed.
fn asked(speed_mps: f64) -> Vec<Conditions> {
    let airspeed = Airspeed::True(TrueAirspeed::from_mps(speed_mps));
    let level = Conditions::level(Vec3::new(0.0, 0.0, -600.0), airspeed);
    let deg = Angle::from_deg;
    let mut out = Vec::new();
    for bank in [0.0, 15.0, -30.0, 45.0, -45.0, 60.0] {
        let curve = if bank == 0.0 { Curve::Straight } else { Curve::TurnAtBank(deg(bank)) };
        for hold in [
            Hold::Climb(deg(0.0)),
            Hold::Climb(deg(3.0)),
            Hold::Climb(deg(-4.0)),
            Hold::Throttle(1.0),
            Hold::Throttle(0.0),
        ] {
            out.push(Conditions { curve, hold, ..level });
        }
    }
    out.push(Conditions { balance: Balance::Sideslip(deg(0.0)), ..level });
    out.push(Conditions { balance: Balance::Bank(deg(4.0)), ..level });
    let pull = Curve::PullAtLoad(LoadFactor::from_g(1.8));
    out.push(Conditions { curve: pull, hold: Hold::Both(deg(0.0), 0.7), ..level });
    out
}

fn word(stop: &Stop) -> &'static str {
    match stop {
        Stop::Converged => "trimmed",
        Stop::ControlLimit(which) => which.words(),
        Stop::CannotHold { .. } => "power",
        Stop::LacksLift { .. } => "lift",
        Stop::OutsideData(_) => "outside the data",
        Stop::Iterations => "NOT FOUND",
    }
}

fn times(name: &str, vehicle: &Vehicle, world: &World<'_>, speeds_mps: &[f64]) {
    let mut ends: BTreeMap<&str, Vec<f64>> = BTreeMap::new();
    let mut evaluations = Vec::new();
    for conditions in speeds_mps.iter().flat_map(|&speed| asked(speed)) {
        let mut best_us = f64::INFINITY;
        let mut found = None;
        for _ in 0..5 {
            let start = Instant::now();
            let answer = trim(vehicle, world, std::hint::black_box(&conditions));
            best_us = best_us.min(start.elapsed().as_secs_f64() * 1e6);
            found = answer.ok();
        }
        let Some(found) = found else { continue };
        ends.entry(word(&found.stop)).or_default().push(best_us);
        if found.converged() {
            evaluations.push(found.evaluations as f64);
        }
        if found.stop == Stop::Iterations {
            println!("  {conditions:?}");
        }
    }
    println!("{name}");
    println!("  evaluations of a trim: {}", spread(evaluations));
    for (end, us) in ends {
        println!("  {} {end}, us: {}", us.len(), spread(us));
    }
}

fn spread(mut values: Vec<f64>) -> String {
    values.sort_by(f64::total_cmp);
    let at = |share: f64| {
        let index = (share * (values.len().saturating_sub(1)) as f64).round() as usize;
        values.get(index).copied().unwrap_or(f64::NAN)
    };
    format!("median {:.0}, 95 % {:.0}, worst {:.0}", at(0.5), at(0.95), at(1.0))
}

fn main() {
    let air = AirColumn::of_day(&Day::standard(), 0.0, 4000.0);
    let world = World { earth: Earth::FLAT, air: &air, wind: &Wind::CALM };
    for (id, fast_mps) in [("plover-160", 62.0), ("sandpiper-550", 110.0)] {
        let airplane = bundled::load(id).expect("it is bundled");
        let vehicle = airplane.vehicle(airplane.masses.typical).expect("it has six-degree data");
        let share = |i: u32| f64::from(i) / 11.0;
        let speeds: Vec<f64> = (0..12).map(|i| 25.0 + (fast_mps - 25.0) * share(i)).collect();
        times(id, &vehicle, &world, &speeds);
    }
}
