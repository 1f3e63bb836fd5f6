//! The lazy eight against the handbooks, on both demo airplanes.

use super::{days, entry};
use crate::catalog::find;
use crate::definition::Direction;
use base::factors::MPS_PER_KT;
use flight::airplane::bundled;
use flight::trajectory::FlightSample;

/// AFH-3C p. 10-7 and AFH-3A p. 9-7: nose highest at 45 with about 15 of bank, through the entry attitude at 90 with about 30 of bank,
/// lowest at 135, entry height and speed at 180; slowest near 90, 5 to 10 kt above the stall. Both airplanes, both sides, calm and wind.
///
/// The nose passes the entry attitude at 90 with several degrees more incidence, so the path descends there already and the speed
/// is lowest a little before (checks/maneuver-standards.md 3.3); how much before is our judgement: 15 degrees.
#[test]
fn val_lazy_eight_geometry() {
    let maneuver = find("lazy-eight").unwrap();
    for (id, _) in bundled::ALL {
        let airplane = bundled::load(id).unwrap();
        for (day, direction, height_ft) in days().iter().flat_map(|day| {
            [(Direction::Left, 3000.0), (Direction::Right, 7000.0)].map(|(way, ft)| (day, way, ft))
        }) {
            let entry = entry(&airplane, maneuver.forms()[0], direction, height_ft);
            let flight = maneuver.fly(&airplane, day, &entry).unwrap();
            let stall = airplane.stall_speed(entry.mass, base::units::LoadFactor::from_g(1.0));
            let over = |s: &FlightSample| (s.calibrated_airspeed_mps - stall.to_mps()) / MPS_PER_KT;
            for part in &flight.parts {
                let name = format!("{id} {} {height_ft}", part.direction.word());
                let samples = flight.part_samples(part);
                let turned = |s: &FlightSample| s.turned_rad.to_degrees();
                let least = |of: &dyn Fn(&FlightSample) -> f64| {
                    *samples.iter().min_by(|a, b| of(a).total_cmp(&of(b))).unwrap()
                };
                let slowest = least(&|s| s.calibrated_airspeed_mps);
                let highest = least(&|s| -s.pitch_rad);
                let lowest = least(&|s| s.pitch_rad);
                let at = |index: usize| part.checkpoints[index].sample;
                println!(
                    "{name}: slowest {:.1} kt over the stall at {:.1}, nose {:.1} to {:.1}, {:.1} s",
                    over(&slowest),
                    turned(&slowest),
                    highest.pitch_rad.to_degrees(),
                    lowest.pitch_rad.to_degrees(),
                    at(4).time_s - at(0).time_s
                );
                assert!((75.0..=105.0).contains(&turned(&slowest)), "{name} {slowest:?}");
                assert!(over(&slowest) >= 5.0 && over(&at(2)) <= 10.01, "{name}");
                checks::assert_near("highest nose", turned(&highest), 45.0, 0.5);
                checks::assert_near("lowest nose", turned(&lowest), 135.0, 1.0);
                assert!((at(0).pitch_rad - at(3).pitch_rad).to_degrees() > 5.0, "{name}");
                checks::assert_near("nose at 90", at(2).pitch_rad, at(0).pitch_rad, 1e-3);
                for (index, bank_deg) in [(0, 0.0), (1, 15.0), (2, 30.0), (3, 15.0), (4, 0.0)] {
                    let bank = part.direction.sign() * at(index).bank_rad.to_degrees();
                    checks::assert_near("bank", bank, bank_deg, 0.05);
                }
                checks::assert_near("height at 180", at(4).height_m, at(0).height_m, 0.01);
                let (begun, ended) = (at(0).true_airspeed_mps, at(4).true_airspeed_mps);
                checks::assert_near("speed at 180", ended, begun, 1e-3);
            }
        }
    }
}

/// The bank of the handbook sets the time: 15 degrees of bank at 96 kt turn about three degrees a second, so that no half is flown in
/// less than some 34 s (first 45 degrees at the full 15, the next while it grows to 30), and a slow roll takes more. Common practice
/// speaks of 20 to 35 s for a half; that is flown with 20 to 25 of bank at 45. Today's time is held.
#[test]
fn regress_a_half_takes_as_long_as_its_bank_lets_it() {
    let maneuver = find("lazy-eight").unwrap();
    for (id, today_s) in [("plover-160", 50.35), ("sandpiper-550", 63.75)] {
        let airplane = bundled::load(id).unwrap();
        let entry = entry(&airplane, maneuver.forms()[0], Direction::Right, 2000.0);
        let flight = maneuver.fly(&airplane, &days()[0], &entry).unwrap();
        let samples = flight.part_samples(&flight.parts[0]);
        checks::assert_near(id, samples.last().unwrap().time_s, today_s, 0.1);
    }
}
