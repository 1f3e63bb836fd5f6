//! Geometry of wing-over, loops and rolls, read off the samples of the solved flights.

use std::sync::LazyLock;

use base::factors::RAD_PER_DEG;
use base::math::wrap_pi;
use checks::assert_near;
use flight::airplane::bundled;
use flight::trajectory::FlightSample;

use super::{allowed, days, entry, find};
use crate::definition::Direction;
use crate::reference::ReferenceFlight;

fn flown(airplane: &str, id: &str, form: &str) -> ReferenceFlight {
    let airplane = bundled::load(airplane).unwrap();
    let maneuver = find(id).unwrap();
    let form = *maneuver.forms().iter().find(|known| known.key == form).unwrap();
    assert!(allowed(&airplane, maneuver, &form), "{id}");
    let asked = entry(&airplane, form, Direction::Right, 6000.0);
    maneuver.fly(&airplane, &days()[0], &asked).unwrap()
}

/// The usual form of each vertical figure by the aerobatic trainer, to the right; solved once for all tests.
static VERTICAL: LazyLock<Vec<ReferenceFlight>> = LazyLock::new(|| {
    let figures = [
        "loop",
        "half-cuban-eight",
        "cuban-eight",
        "immelmann",
        "split-s",
        "aileron-roll",
        "barrel-roll",
    ];
    figures.map(|id| flown("sandpiper-550", id, find(id).unwrap().forms()[0].key)).into()
});

fn vertical(id: &str) -> &'static ReferenceFlight {
    VERTICAL.iter().find(|flight| flight.maneuver == id).unwrap()
}

fn part(flight: &ReferenceFlight, index: usize) -> &[FlightSample] {
    flight.part_samples(&flight.parts[index])
}

/// Indicated airspeed at the highest point as a share of that at the entry of the part.
fn share_at_the_top(samples: &[FlightSample]) -> f64 {
    let top = samples.iter().max_by(|a, b| a.height_m.total_cmp(&b.height_m)).unwrap();
    top.indicated_airspeed_mps / samples[0].indicated_airspeed_mps
}

/// Speed at the top over entry speed 0.39 to 0.60 for a wing-over (common practice, no source): every form, both halves, both
/// airplanes. Loops are solved for 0.42 calibrated; what that is as indicated is held here.
#[test]
fn val_speed_at_the_top_over_entry_speed() {
    for (airplane, _) in bundled::ALL {
        for form in find("wing-over").unwrap().forms() {
            let flight = flown(airplane, "wing-over", form.key);
            for index in 0..flight.parts.len() {
                let share = share_at_the_top(part(&flight, index));
                assert!((0.39..=0.60).contains(&share), "{airplane} {}: {share}", form.key);
            }
        }
    }
    let share = |id: &str, index: usize| share_at_the_top(part(vertical(id), index));
    assert_near("loop", share("loop", 0), 0.410, 1e-3);
    assert_near("half Cuban eight", share("half-cuban-eight", 0), 0.413, 1e-3);
    assert_near("first of the Cuban eight", share("cuban-eight", 0), 0.414, 1e-3);
    assert_near("Immelmann", share("immelmann", 0), 0.431, 1e-3);
    // MISSED: 0.39 at least. The second half starts slower; with 0.42 it has no room for a line, so a larger loop is flown.
    assert_near("second of the Cuban eight", share("cuban-eight", 1), 0.382, 1e-3);
}

/// Where each figure ends, from its sheet: height in m (`None`: found) and heading in degrees, both from entry; and by how much
/// the heading misses it today, degrees.
const ENDS: &[(&str, Option<f64>, f64, f64)] = &[
    ("loop", Some(0.0), 0.0, 0.0),
    ("half-cuban-eight", Some(0.0), 180.0, 0.49),
    ("cuban-eight", Some(0.0), 0.0, 1.12),
    ("immelmann", None, 180.0, -0.25),
    ("split-s", None, 180.0, 0.89),
    ("aileron-roll", Some(0.0), 0.0, 0.0),
    ("barrel-roll", Some(0.0), 0.0, 0.0),
];

/// TM-1-210, CAA-1939 p. 188 and 200 (loop, Immelmann), CNATRA P-1204 (half Cuban eight), SACAA p. 297 (split-S), CNATRA P-1212
/// (barrel roll): the figure ends level, at entry height or above or below it, on the entry heading or its reverse.
#[test]
fn val_vertical_figures_end_where_their_sheets_say() {
    assert_eq!(ENDS.len(), VERTICAL.len());
    for (id, height_m, heading_deg, off_deg) in ENDS {
        let samples = &vertical(id).samples;
        let (first, last) = (samples[0], samples[samples.len() - 1]);
        let gain_m = last.height_m - first.height_m;
        if let Some(wanted_m) = height_m {
            assert_near(id, gain_m, *wanted_m, 0.01);
        }
        assert_near(id, last.climb_rad / RAD_PER_DEG, 0.0, 0.01);
        assert_near(id, last.bank_rad / RAD_PER_DEG, 0.0, 0.01);
        // MISSED: nil where a half roll is flown: without sideslip what it steers sideways is not steered back.
        let turned_deg = (last.heading_rad - first.heading_rad) / RAD_PER_DEG;
        let off = wrap_pi((turned_deg - heading_deg) * RAD_PER_DEG) / RAD_PER_DEG;
        assert_near(id, off, *off_deg, 0.02);
    }
    let gain_m = |id: &str| {
        let samples = &vertical(id).samples;
        samples[samples.len() - 1].height_m - samples[0].height_m
    };
    assert!(gain_m("immelmann") > 300.0 && gain_m("split-s") < -300.0);
}

/// CNATRA P-1204 p. 42 (checks/numeric-checks-handbook.csv, rows 283 to 285): a line 45 degrees down, inverted before the half roll
/// and upright after it; 4 g; speed over the top 0.395 of entry.
#[test]
fn val_half_cuban_eight_holds_its_line() {
    let samples = part(vertical("half-cuban-eight"), 0);
    let inverted = |s: &&FlightSample| s.bank_rad.abs() > 179.99 * RAD_PER_DEG;
    let before = samples.iter().rfind(|s| inverted(s)).unwrap();
    assert_near("line before the roll", before.climb_rad / RAD_PER_DEG, -45.0, 0.02);
    let rolls = samples.iter().filter(|s| {
        s.time_s > before.time_s && s.bank_rad.abs() > 0.01 * RAD_PER_DEG && s.climb_rad < -0.7
    });
    let rolled: Vec<f64> = rolls.map(|s| s.climb_rad / RAD_PER_DEG).collect();
    // The last sample of the roll is up to a twentieth of a second before its end.
    assert_near("line after the roll", *rolled.last().unwrap(), -45.0, 0.05);
    // MISSED: 45 throughout. Without sideslip nothing holds the path while the wings stand across.
    let lowest = rolled.iter().copied().fold(f64::INFINITY, f64::min);
    assert_near("steepest in the roll", lowest, -47.3, 0.2);
    // MISSED: 4 g. The pull is found for this airplane's speed over the top, and a light trainer needs less than a jet.
    let most = samples.iter().map(|s| s.load_factor).fold(0.0, f64::max);
    assert_near("pull", most, 3.48, 0.02);
    // MISSED: 0.395. Solved for 0.42 calibrated, inside 0.39 to 0.60.
    assert_near("speed over the top", share_at_the_top(samples), 0.413, 1e-3);
}

/// CNATRA P-1212 p. 35 (checks/numeric-checks-handbook.csv, rows 280 to 282): roll begun at 20 degrees nose up; bank 90 and the nose
/// highest at 45 degrees of turn; inverted with the nose on the horizon at 90 of turn; speed there 0.486 to 0.543 of entry.
#[test]
fn val_barrel_roll_against_the_sheet() {
    let flight = vertical("barrel-roll");
    let samples = part(flight, 0);
    let top = flight.parts[0].checkpoints[4].sample;
    assert_near("inverted", top.bank_rad.abs() / RAD_PER_DEG, 180.0, 0.01);
    assert_near("turn when inverted", top.turned_rad / RAD_PER_DEG, 90.0, 0.05);
    assert_near("nose when inverted", top.pitch_rad / RAD_PER_DEG, 0.0, 0.05);
    let nose = samples.iter().max_by(|a, b| a.pitch_rad.total_cmp(&b.pitch_rad)).unwrap();
    // MISSED: nose highest at 90 of bank and 45 of turn. Without sideslip nothing holds the path up once the wings stand across, so
    // the nose begins to fall before they do.
    assert_near("bank at the highest nose", nose.bank_rad / RAD_PER_DEG, 74.2, 0.5);
    assert_near("turn at the highest nose", nose.turned_rad / RAD_PER_DEG, 39.7, 0.5);
    let at_45 = samples.iter().find(|s| s.turned_rad >= 45.0 * RAD_PER_DEG).unwrap();
    // MISSED: 90, for the same reason.
    assert_near("bank at 45 of turn", at_45.bank_rad / RAD_PER_DEG, 79.5, 0.5);
    // MISSED: 20. The sheet is that of a jet at 350 knots; at half the speed the roll comes round only from a steeper climb.
    let begins = samples.iter().find(|s| s.bank_rad > 1e-6).unwrap();
    assert_near("nose where the roll begins", begins.pitch_rad / RAD_PER_DEG, 32.4, 0.5);
    // MISSED: 0.543 at most, by a hundredth: the speed of a light trainer falls less on its way to the top.
    let share = top.indicated_airspeed_mps / samples[0].indicated_airspeed_mps;
    assert_near("speed inverted over entry", share, 0.553, 2e-3);
}
