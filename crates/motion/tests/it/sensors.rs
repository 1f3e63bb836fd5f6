//! What is found of the sensors themselves, and recordings without positions (checks/flown: meta.json and truth.csv are the
//! truth; recordings/csv for a trainer's log).

use base::factors::RAD_PER_DEG;
use base::frames::{Attitude, Rot};
use base::math::wrap_pi;
use checks::Table;
use motion::{Known, Motion, reconstruct};
use recording::{QuantityKind as Q, ReadOptions, Recording};

const FLIGHTS: [&str; 5] = ["f01", "f02", "f03", "f04", "f05"];

fn read(flight: &str, file: &str) -> Option<Recording> {
    let bytes = checks::bytes(&format!("flown/{flight}/{file}.csv"))?;
    let options = ReadOptions { name: file.into(), ..ReadOptions::default() };
    Some(recording::read(&bytes, &options).expect("reads"))
}

fn meta(flight: &str) -> Option<serde_json::Value> {
    let text = checks::text(&format!("flown/{flight}/meta.json"))?;
    Some(serde_json::from_str(&text).expect("meta.json is JSON"))
}

fn offset(motion: &Motion, sensor: &str, what: &str) -> (f64, f64) {
    let found = motion.offsets.iter().find(|one| one.sensor == sensor && one.what == what);
    let found = found.unwrap_or_else(|| panic!("{sensor} {what} is told"));
    (found.value, found.sigma)
}

/// Air data and attitude lie 0.35 s behind, bank and pitch are off by some tenths of a degree.
#[test]
fn val_delay_and_bias_of_the_panel_are_found() {
    for flight in FLIGHTS {
        let (Some(recording), Some(meta)) = (read(flight, "avionics"), meta(flight)) else {
            return;
        };
        let motion = reconstruct(&recording, &Known::default()).expect("reconstructs");
        let lag_s = meta["avionics_lag_s"].as_f64().expect("a lag");
        for sensor in ["recorded attitude", "air data"] {
            let (found_s, sigma_s) = offset(&motion, sensor, "delay");
            println!("{flight} {sensor} delay {found_s:.3} +- {sigma_s:.3} s, truth {lag_s}");
            assert!((found_s - lag_s).abs() < 0.05, "{flight} {sensor}: {found_s}");
        }
        for (sensor, key) in [("recorded bank", "roll"), ("recorded pitch", "pitch")] {
            let (found, sigma) = offset(&motion, sensor, "bias");
            let truth = meta["avionics_attitude_bias_deg"][key].as_f64().expect("a bias");
            println!("{flight} {sensor} bias {found:.2} +- {sigma:.2} deg, truth {truth}");
            assert!((found - truth).abs() < 0.8, "{flight} {sensor}: {found}, truth {truth}");
        }
    }
}

/// The attitude of the phone in the airplane, the delay of its fixes, and the biases.
#[test]
fn val_the_mounting_of_the_phone_is_found() {
    for flight in FLIGHTS {
        let (Some(recording), Some(meta)) = (read(flight, "phone"), meta(flight)) else { return };
        let motion = reconstruct(&recording, &Known::default()).expect("reconstructs");
        let rows: [[f64; 3]; 3] = std::array::from_fn(|i| {
            std::array::from_fn(|j| {
                meta["phone_body_to_phone_matrix"][j][i].as_f64().expect("a number")
            })
        });
        let truth = Attitude::from_rotation(&Rot::from_rows_unchecked(rows));
        let wanted = [
            ("mounting heading", truth.heading_rad),
            ("mounting pitch", truth.pitch_rad),
            ("mounting bank", truth.bank_rad),
        ];
        for (what, rad) in wanted {
            let (found_deg, sigma_deg) = offset(&motion, "device", what);
            let off_deg = wrap_pi(found_deg * RAD_PER_DEG - rad) / RAD_PER_DEG;
            println!("{flight} {what} off by {off_deg:.2} +- {sigma_deg:.2} deg");
            assert!(off_deg.abs() < 1.0, "{flight} {what}: {off_deg}");
        }
        let (found_s, _) = offset(&motion, "satellite fixes of the device", "delay");
        let truth_s = meta["phone_gps_delay_s"].as_f64().expect("a delay");
        println!("{flight} fixes late by {found_s:.3} s, truth {truth_s}");
        assert!((found_s - truth_s).abs() < 0.03, "{flight}: {found_s}, truth {truth_s}");
    }
}

/// The panel log without its fixes: attitude, airspeed, height and loads. Its clock is that of the attitude, 0.35 s behind.
#[test]
fn val_a_panel_log_without_positions() {
    for flight in FLIGHTS {
        let Some(mut recording) = read(flight, "avionics") else { return };
        recording.fixes.clear();
        let motion = reconstruct(&recording, &Known::default()).expect("reconstructs");
        for absent in
            [&motion.north_m, &motion.ground_speed_mps, &motion.track_rad, &motion.wind_north_mps]
        {
            assert!(absent.is_none());
        }
        assert!(motion.notes.iter().any(|note| note.text.contains("no positions")));
        let truth = Table::read(&format!("flown/{flight}/truth.csv")).expect("truth");
        let bank = motion.bank_rad.as_ref().expect("bank");
        let (mut n, mut squares) = (0.0, 0.0);
        for row in truth.rows() {
            let (rad, _) = bank.at(motion.place_at(row.number("t_s") + 0.35).expect("a place"));
            let off = wrap_pi(rad - row.number("roll_deg") * RAD_PER_DEG) / RAD_PER_DEG;
            n += 1.0;
            squares += off * off;
        }
        let rms = f64::sqrt(squares / n);
        println!("{flight} without positions: bank {rms:.2} deg");
        assert!(rms < 0.85, "{flight}: {rms}");
    }
}

/// recordings/README.md: a chandelle to the left at 1823 to 1851 s, 150 degrees by the plain formula, +504 ft, in a trainer's log
/// without clock, position and heading.
#[test]
fn val_a_trainers_log_has_its_chandelle() {
    let Some(bytes) = checks::recording("csv/ngafid_c172_file_3.csv") else { return };
    let options = ReadOptions { row_interval_s: Some(1.0), ..ReadOptions::default() };
    let recording = recording::read(&bytes, &options).expect("reads");
    assert!(recording.series_of(Q::BankDeg).is_some() && recording.fixes.is_empty());
    let motion = reconstruct(&recording, &Known::default()).expect("reconstructs");
    let at = |column: &Option<motion::Column>, time_s: f64| {
        column.as_ref().expect("a column").at(motion.place_at(time_s).expect("a place")).0
    };
    let turned_deg =
        (at(&motion.heading_rad, 1851.0) - at(&motion.heading_rad, 1823.0)) / RAD_PER_DEG;
    let climbed_m = at(&motion.height_m, 1853.0) - at(&motion.height_m, 1823.0);
    println!("turned {turned_deg:.0} deg, climbed {climbed_m:.0} m");
    assert!((-175.0..-140.0).contains(&turned_deg), "{turned_deg}");
    assert!((130.0..170.0).contains(&climbed_m), "{climbed_m}");
}
