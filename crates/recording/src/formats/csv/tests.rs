//! Tables: fixtures of our own, hostile bytes, and the outside files of the check and recordings folders.

use super::*;
use crate::normal::QuantityKind as Q;

fn options(units: &[(&str, &str)]) -> ReadOptions {
    let pair = |(of, unit): &(&str, &str)| ((*of).to_owned(), (*unit).to_owned());
    ReadOptions { name: "test".into(), units: units.iter().map(pair).collect() }
}

fn look(path: &str, recording: &Recording) {
    println!(
        "{path}: {} fixes, {:.1} s, {} gaps, start {:?}",
        recording.fixes.len(),
        recording.duration_s(),
        recording.gaps.len(),
        recording.start.map(|start| start.to_string())
    );
    for series in &recording.series {
        let least = series.values.iter().copied().fold(f64::INFINITY, f64::min);
        let most = series.values.iter().copied().fold(f64::NEG_INFINITY, f64::max);
        println!(
            "  {:?} <- {}: {} values {least:.3} to {most:.3}",
            series.quantity,
            series.origin,
            series.values.len()
        );
    }
    for note in &recording.notes {
        println!("  {:?}: {}", note.kind, note.text.chars().take(240).collect::<String>());
    }
}

#[test]
fn look_at_all() {
    for flight in ["f01", "f02", "f03", "f04", "f05"] {
        for file in ["gps_1hz", "gps_5hz", "avionics", "phone"] {
            let path = format!("flown/{flight}/{file}.csv");
            let Some(bytes) = checks::bytes(&path) else { return };
            match read(&bytes, &options(&[])) {
                Ok(recording) => look(&path, &recording),
                Err(error) => println!("{path}: ERROR {error} / {}", error.hint()),
            }
        }
    }
    for path in [
        "csv/da20_flight_review_2018-10-15_part.csv",
        "csv/g1000_2024-01-21_part.csv",
        "csv/g3x_2024-03-09_part.csv",
        "csv/citation_2019-03-12_1hz.csv",
        "csv/citation_2019-03-12_3600-4000s_10hz.csv",
        "csv/citation_reference_1hz.csv",
        "csv/lide_Flt9_aircraft_FDR1.csv",
        "avionics-serial/dynon_skyview_data2_decoded.csv",
        "avionics-serial/garmin_g3x_2019-01-26_decoded_5hz.csv",
        "csv/ngafid_c172_file_3.csv",
        "csv/onspeed_vac_decel_run.csv",
    ] {
        let Some(bytes) = checks::recording(path) else { return };
        let units: &[(&str, &str)] = if path.contains("lide") { &[("Alt", "cm")] } else { &[] };
        match read(&bytes, &options(units)) {
            Ok(recording) => look(path, &recording),
            Err(error) => println!("{path}: ERROR {error} / {}", error.hint()),
        }
    }
    let _ = Q::BankDeg;
}
