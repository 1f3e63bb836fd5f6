//! Handbook rows (checks/numeric-checks-handbook.csv; each row names its book there). Every row of the file is either held
//! against a function of the product or stands in [`NOT_HERE`] with the reason; a row that vanishes or appears is seen.

use std::ops::RangeInclusive;

use base::factors::{M_PER_FT, MPS_PER_KT, RAD_PER_DEG};
use base::units::{Angle, LoadFactor, Mass};
use checks::{Row, Table, assert_near};
use flight::envelope::{level_turn_load_factor, level_turn_radius_m, level_turn_rate_radps};

/// Atmosphere, airspeed, density altitude, wind.
mod air;
/// Loads, stalls, turns, limits.
mod loads;
/// Loops and zooms flown by the point mass.
mod loops;

/// Lines of the file after its header.
const N_ROWS: usize = 310;

/// Rows (line numbers of the file, the header is line 1) that no function of this crate answers, and why.
const NOT_HERE: &[(RangeInclusive<usize>, &str)] = &[
    (
        2..=7,
        "units: checked in crates/base/tests/it/units.rs, constants rounded by books are not used",
    ),
    (
        89..=92,
        "rules of thumb for the bank of a standard-rate turn: the reference flight tells the first beside the exact bank",
    ),
    (
        94..=96,
        "rules of thumb for the roll-out: the product solves it; 94 in crates/maneuver/tests/it, 95 and 96 nowhere",
    ),
    (
        97..=130,
        "pivotal altitude, turns about a point, wind triangle: crates/maneuver/tests/it/ground.rs",
    ),
    (201..=202, "parachute rule: crates/maneuver/tests/it"),
    (
        203..=204,
        "repack intervals of parachutes: the safety sheet leaves equipment to the instructor",
    ),
    (205..=209, "aerobatic flight, bank by category: crates/maneuver/tests/it"),
    (
        210..=218,
        "spins, upsets, rules of other countries: not computed, the safety sheet says whose they are",
    ),
    (219..=228, "steep turn, standards: crates/maneuver/tests/it"),
    (
        229..=234,
        "steep spiral: crates/maneuver/tests/it, but for the floor of an older handbook (234)",
    ),
    (235..=246, "chandelle and lazy eight, standards: crates/maneuver/tests/it"),
    (
        247..=274,
        "eights on pylons, ground reference, slow flight, stalls: crates/maneuver/tests/it, but for speeds held from a target and 45 degrees without a tolerance; of European tests 268, 269 and 272: those of take-off and approach and of other checks nowhere",
    ),
    (
        275..=276,
        "clearing turns: 276 in crates/maneuver/tests/it, the bank (275) is not said by the safety sheet",
    ),
    (
        277..=289,
        "wing-over, barrel roll and half Cuban eight of jets (277 to 279: crates/maneuver/src/catalog/tests.rs; 280 to 285: catalog/tests/vertical.rs beside it; 287 to 289, entry speeds of jets, nowhere), marks: no such table of the product",
    ),
    (
        310..=311,
        "pylon held on the wing: crates/maneuver/tests/it/ground.rs, on a flight that is not quasi-steady",
    ),
];

/// The number right after a mark in the inputs of a row.
fn after(row: &Row<'_>, mark: &str) -> Option<f64> {
    let inputs = row.text("inputs");
    let at = inputs.find(mark)? + mark.len();
    let number: String =
        inputs[at..].chars().take_while(|c| c.is_ascii_digit() || matches!(c, '.' | '-')).collect();
    number.parse().ok()
}

/// The number after `key=` in the inputs of a row.
fn input(row: &Row<'_>, key: &str) -> Option<f64> {
    after(row, &format!("{key}="))
}

/// The tolerance a row suggests. "exact" is rounding of the machine; "rounded" is half a unit of a whole number.
fn tolerance(row: &Row<'_>) -> f64 {
    match row.text("tolerance_suggested") {
        "exact" => 1e-9 * row.number("expected").abs().max(1.0),
        "rounded" => 0.5,
        _ => row.number("tolerance_suggested"),
    }
}

#[test]
fn val_handbook_rows() {
    let Some(table) = Table::read("numeric-checks-handbook.csv") else { return };
    assert_eq!(table.len(), N_ROWS);
    let (mut n_checked, mut n_not_here) = (0, 0);
    for (index, row) in table.rows().enumerate() {
        let line = index + 2;
        let (topic, quantity) = (row.text("topic"), row.text("quantity"));
        let name = format!("line {line}: {topic}, {quantity}, {}", row.text("inputs"));
        let value =
            loads::computed(&row).or_else(|| air::computed(&row)).or_else(|| loops::computed(&row));
        let reason = NOT_HERE.iter().find(|(lines, _)| lines.contains(&line));
        match (value, reason) {
            (Some(value), None) => {
                assert_near(&name, value, row.number("expected"), tolerance(&row));
                n_checked += 1;
            }
            (None, Some(_)) => n_not_here += 1,
            (None, None) => panic!("{name}: neither checked nor excused"),
            (Some(_), Some((_, why))) => panic!("{name}: checked, yet excused: {why}"),
        }
    }
    println!("{n_checked} handbook rows checked, {n_not_here} not here");
    let excused: usize = NOT_HERE.iter().map(|(lines, _)| lines.clone().count()).sum();
    assert_eq!((n_checked, n_not_here), (N_ROWS - excused, excused));
}

/// Rows typed in: PHAK (FAA-H-8083-25) chapter 5 (2 g at 60 degrees, stall speed doubled at 4 g), AFH-3A p. 9-2 (3 g at 70),
/// worked examples of the turn (2,208 ft; 220 m with g = 10 m/s2), standard rate (bank 15.4 degrees at 100 kt, two minutes
/// round), CNATRA-P-330 (stall 55 kt at 4,300 lb is 50 kt at 3,500 lb).
#[test]
fn val_loads_and_turns_typed_in() {
    let load = |bank_deg| level_turn_load_factor(Angle::from_deg(bank_deg)).to_g();
    assert_near("n at 60", load(60.0), 2.0, 1e-9);
    assert_near("n at 70", load(70.0), 3.0, 0.1);
    assert_near("doubled at 4 g", loads::stall_factor(LoadFactor::from_g(4.0)), 2.0, 1e-9);
    let radius = |speed_kt: f64, bank_deg: f64| {
        level_turn_radius_m(speed_kt * MPS_PER_KT, bank_deg * RAD_PER_DEG)
    };
    assert_near("radius, ft", radius(120.0, 30.0) / M_PER_FT, 2208.0, 2.0);
    assert_near("radius, g = 10", loads::with_gravity_10(radius(120.0, 60.0)), 220.0, 1.0);
    let (speed, rate) = (100.0 * MPS_PER_KT, 3.0 * RAD_PER_DEG);
    let bank = flight::envelope::bank_for_rate_rad(speed, rate);
    assert_near("bank, standard rate", bank / RAD_PER_DEG, 15.4, 0.1);
    let circle_s = 360.0 * RAD_PER_DEG / level_turn_rate_radps(speed, bank);
    assert_near("two minutes", circle_s, 120.0, 1e-9);
    let (heavy, light) = (Mass::from_lb(4300.0), Mass::from_lb(3500.0));
    assert_near("stall by weight", 55.0 * loads::stall_by_mass(light, heavy), 50.0, 1.0);
}

/// Maneuvering speed falls with the square root of weight (PHAK chapter 5): 105 kt at 2,550 lb is 93.0 kt at 2,000 lb.
#[test]
fn val_maneuvering_speed_by_weight() {
    let found = loads::maneuvering_kt(105.0, Mass::from_lb(2550.0), Mass::from_lb(2000.0));
    assert_near("V_A", found, 93.0, 0.1);
}

/// checks/manoeuvre/level_turn_closed_form.csv.
#[test]
fn val_level_turns() {
    let Some(table) = Table::read("manoeuvre/level_turn_closed_form.csv") else { return };
    for row in table.rows() {
        let (speed, bank) =
            (row.number("TAS_kt") * MPS_PER_KT, row.number("bank_deg") * RAD_PER_DEG);
        let load = level_turn_load_factor(Angle::from_rad(bank));
        assert_near("n", load.to_g(), row.number("n"), 1e-6);
        let rate_deg = level_turn_rate_radps(speed, bank) / RAD_PER_DEG;
        assert_near("rate", rate_deg, row.number("rate_deg_s"), 1e-5);
        assert_near("radius", level_turn_radius_m(speed, bank), row.number("radius_m"), 1e-3);
        assert_near("stall factor", loads::stall_factor(load), row.number("stall_factor"), 1e-6);
    }
}
