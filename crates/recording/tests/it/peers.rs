//! What packages of the Python registry read out of the same files: as many fixes, the same first and last one, the same
//! sums of latitudes, longitudes and heights. The figures stand in `tests/peers.csv`, with the versions that gave them;
//! `cargo xtask readers` reads anew.

use checks::{Table, assert_near};
use recording::{ReadOptions, read};

const FIGURES: &str = include_str!("../peers.csv");
/// Sums are written to 1e-6.
const SUM: f64 = 2e-6;

#[test]
fn val_peers_read_the_same_fixes() {
    let table = Table::parse(FIGURES);
    assert_eq!(table.len(), 13);
    for row in table.rows() {
        let (folder, file) = (row.text("folder"), row.text("file"));
        let Some(bytes) = checks::recording(&format!("{folder}/{file}")) else { return };
        let options = ReadOptions { name: file.into(), ..ReadOptions::default() };
        let recording = read(&bytes, &options).unwrap();
        let fixes = &recording.fixes;
        let start_s =
            recording.start.map_or(0.0, |start| start.to_unix_microseconds() as f64 * 1e-6);
        // the clock of NMEA figures is of the day
        let day = if folder == "nmea" { 86_400.0 } else { f64::INFINITY };
        let time_s = |at: usize| (start_s + fixes[at].time_s) % day;
        let no_start = recording.start.is_none();
        let last = fixes.len() - 1;
        for (at, which) in [(0, "first"), (last, "last")] {
            if !no_start {
                assert_near(file, time_s(at), row.number(&format!("{which}_time_s")), 1e-3);
            }
            let finer = if finer_digits(file) { 1.0 / 60_000.0 } else { 1e-9 };
            let (latitude, longitude) = (fixes[at].latitude_deg, fixes[at].longitude_deg);
            assert_near(file, latitude, row.number(&format!("{which}_latitude_deg")), finer);
            assert_near(file, longitude, row.number(&format!("{which}_longitude_deg")), finer);
        }
        let left_out = left_out(&recording);
        assert_eq!(fixes.len() + left_out, row.number("fixes") as usize, "{file}");
        if left_out > 0 {
            continue;
        }
        let sum = |of: fn(&recording::Fix) -> f64| fixes.iter().map(of).sum::<f64>();
        let digits = if finer_digits(file) { fixes.len() as f64 / 60_000.0 } else { 0.0 };
        assert_near(
            file,
            sum(|fix| fix.latitude_deg),
            row.number("sum_latitude_deg"),
            SUM + digits,
        );
        assert_near(
            file,
            sum(|fix| fix.longitude_deg),
            row.number("sum_longitude_deg"),
            SUM + digits,
        );
        let heights = sum(|fix| fix.height_m.unwrap_or(f64::NAN));
        assert_near(file, heights, row.number("sum_height_m"), SUM);
    }
}

/// The peer leaves the extra digits of the position (LAD, LOD) unread.
fn finer_digits(file: &str) -> bool {
    file.contains("2020-09-04")
}

/// Fixes that our reader leaves out and tells, which the peers keep: times that contradict positions, repeated times.
fn left_out(recording: &recording::Recording) -> usize {
    let of = |note: &recording::Note| {
        let count = note.text.split(' ').next()?.parse::<usize>().ok()?;
        (note.text.contains("fix") && note.text.contains("left out")).then_some(count)
    };
    recording.notes.iter().filter_map(of).sum()
}
