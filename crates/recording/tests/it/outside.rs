//! Every outside recording beside the repository: what each reads to, or why not. A new file there without a row here fails.

use recording::{ReadError, ReadOptions, read};
use std::path::Path;

/// What is expected of a file.
enum Expected {
    /// Format, fixes, series.
    Reads(&'static str, usize, usize),
    /// A part of the error.
    Fails(&'static str),
}
use Expected::{Fails, Reads};

/// Files by folder and a part of the name that no other has. Counts are what the readers find today: a change is looked
/// at, not copied. Where a peer counts fixes too, see the readers' own tests.
const FILES: &[(&str, &str, Expected)] = &[
    ("adsb", "sbs1_msgs", Fails("surveillance: the date and time of all 4184 messages are")),
    ("adsb", "ambulances_rega_zh", Reads("surveillance", 337, 2)),
    ("adsb", "ambulances_samu31", Reads("surveillance", 278, 2)),
    ("adsb", "calibration_london_gatwick", Reads("surveillance", 2256, 2)),
    ("adsb", "calibration_sydney", Reads("surveillance", 2875, 2)),
    ("adsb", "featured_texas_longhorn", Reads("surveillance", 951, 2)),
    ("adsb", "gliders_franconia", Reads("surveillance", 2696, 1)),
    ("adsb", "gliders_sisteron", Reads("surveillance", 1604, 1)),
    ("adsb", "noisy_noisy_time_issue", Reads("surveillance", 5700, 2)),
    ("adsb", "trace_full_ac671b", Reads("surveillance", 2498, 4)),
    ("adsb", "full_flight_short_part", Reads("surveillance", 1543, 6)),
    ("adsb", "surveys_pixair_toulouse", Reads("surveillance", 1819, 1)),
    ("avionics-serial", "data2_330-1330s", Fails("not a recording that can be read")),
    ("avionics-serial", "data2_decoded", Reads("csv", 0, 10)),
    ("avionics-serial", "2019-01-26_decoded_5hz", Reads("csv", 1979, 8)),
    ("avionics-serial", "text_2019-01-26", Fails("not a recording that can be read")),
    ("avionics-serial", "ux_2", Reads("gdl90", 173, 2)),
    ("avionics-serial", "rv6_1", Reads("gdl90", 75, 2)),
    ("avionics-serial", "rv6_2", Reads("gdl90", 165, 2)),
    ("csv", "citation_2019-03-12_1hz", Reads("csv", 4645, 12)),
    ("csv", "citation_2019-03-12_3600-4000s_10hz", Reads("csv", 4001, 12)),
    ("csv", "citation_reference_1hz", Reads("csv", 4757, 10)),
    ("csv", "da20_flight_review_2018-10-15_part", Reads("csv", 2278, 13)),
    ("csv", "2024-01-21_part", Reads("csv", 2467, 11)),
    ("csv", "2024-03-09_part", Reads("csv", 2902, 12)),
    (
        "csv",
        "Flt9_aircraft_FDR1",
        Fails("column Alt: no unit in the header, and nothing in the file"),
    ),
    ("csv", "c172_file_3", Fails("no column of times, line 1")),
    ("csv", "c172_file_5", Fails("no column of times, line 1")),
    ("csv", "pa28_file_10", Fails("no column of times, line 1")),
    ("csv", "vac_decel_run", Fails("column timeStamp: steps of 20 may be seconds or")),
    ("gpx", "igc1_baro", Fails("gpx: every position of every track is 0,0, the whole file")),
    ("gpx", "2024-04-13", Reads("gpx", 936, 0)),
    ("igc", "2019-04-15", Reads("igc", 533, 1)),
    ("igc", "2023-04-15", Reads("igc", 2008, 1)),
    ("igc", "2020-09-04", Reads("igc", 583, 1)),
    ("igc", "27GLQKF3", Reads("igc", 1070, 2)),
    ("igc", "92GV66G1", Reads("igc", 724, 7)),
    ("igc", "92HV66G1", Reads("igc", 2470, 7)),
    ("igc", "skydrop_kml", Reads("igc", 1329, 0)),
    ("igc", "discontinuity", Reads("igc", 4708, 1)),
    ("igc", "aat_attitude", Reads("igc", 15915, 9)),
    ("igc", "race_task_completed", Reads("igc", 3334, 2)),
    ("kml", "citation_2019-03-12_gps", Reads("kml", 4699, 0)),
    ("kml", "92GV66G1", Reads("kml", 724, 3)),
    ("nmea", "adddate", Reads("nmea", 500, 0)),
    ("nmea", "nmea1", Reads("nmea", 993, 0)),
];

fn files(root: &Path) -> Vec<(String, String)> {
    let mut out = Vec::new();
    for folder in std::fs::read_dir(root).unwrap().flatten().filter(|entry| entry.path().is_dir()) {
        for file in std::fs::read_dir(folder.path()).unwrap().flatten() {
            let name = |entry: &std::fs::DirEntry| entry.file_name().into_string().unwrap();
            out.push((name(&folder), name(&file)));
        }
    }
    out.sort();
    out
}

#[test]
fn val_every_outside_recording_reads_or_says_why() {
    let Some(root) =
        checks::folder().map(|folder| folder.join("../recordings")).filter(|root| root.is_dir())
    else {
        assert!(!checks::complete(), "the outside recordings are missing");
        println!("skipped: the outside recordings are not here (see SKYCHALK_CHECKS)");
        return;
    };
    let mut wrong = Vec::new();
    for (folder, file) in files(&root) {
        let bytes = checks::recording(&format!("{folder}/{file}")).unwrap();
        let options = ReadOptions { name: file.clone(), ..ReadOptions::default() };
        let found = read(&bytes, &options);
        let text = match &found {
            Ok(recording) => format!(
                "Reads({:?}, {}, {})",
                recording.format,
                recording.fixes.len(),
                recording.series.len()
            ),
            Err(error) => format!("Fails({:?})", error.to_string()),
        };
        println!("{folder}/{file}: {text}");
        let row = FILES.iter().find(|(of, part, _)| *of == folder && file.contains(part));
        if !row.is_some_and(|(.., expected)| fits(expected, &found)) {
            wrong.push(format!("{folder}/{file}: {text}"));
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

fn fits(expected: &Expected, found: &Result<recording::Recording, ReadError>) -> bool {
    match (expected, found) {
        (Reads(format, fixes, series), Ok(recording)) => {
            *format == recording.format
                && *fixes == recording.fixes.len()
                && *series == recording.series.len()
        }
        (Fails(part), Err(error)) => error.to_string().contains(part) && error.hint().len() > 10,
        _ => false,
    }
}
