//! Maps of columns: written, read again, edited, refused.

use super::super::read_with_columns;
use super::ColumnMap;
use crate::formats::{ReadOptions, read};
use crate::normal::{NoteKind, QuantityKind as Q, Recording};
use base::factors::{M_PER_FT, MPS_PER_KT};
use checks::assert_near;

const PANEL: &[u8] = include_bytes!("../../../../tests/fixtures/panel_semicolon.csv");

fn with(map: &str) -> ReadOptions {
    let columns = Some(ColumnMap::from_toml(map, "map.toml").unwrap());
    ReadOptions { name: "test".into(), columns, ..ReadOptions::default() }
}

fn without() -> ReadOptions {
    ReadOptions { name: "test".into(), ..ReadOptions::default() }
}

/// What was recorded, without the words about how it was understood.
fn bare(recording: &Recording) -> Recording {
    Recording { notes: Vec::new(), ..recording.clone() }
}

fn noted(recording: &Recording, part: &str) -> bool {
    recording.notes.iter().any(|note| note.text.contains(part))
}

/// The map that a reading saves reads the file to the same recording, from a file of every kind there is.
#[test]
fn prop_a_saved_map_reads_the_same_recording() {
    let trades: String = (0..400)
        .map(|row| {
            let t = f64::from(row);
            let height = 3000.0 + 300.0 * base::math::sin(t / 9.0);
            let speed = (1.2e4 - 64.4 * 0.35 * (height - 3000.0)).sqrt();
            format!("{speed:.1},{height:.0},{:.2}\n", 0.01 * base::math::sin(t))
        })
        .collect();
    let trades = format!("IAS,AltB (ft),NormAc\n{trades}");
    let mut options = without();
    options.row_interval_s = Some(1.0);
    for (bytes, options) in [(PANEL, without()), (trades.as_bytes(), options)] {
        let (first, map) = read_with_columns(bytes, &options).unwrap();
        let text = map.to_toml("made up");
        let (again, same) = read_with_columns(bytes, &with(&text)).unwrap();
        assert_eq!(bare(&first), bare(&again), "{text}");
        assert_eq!(same.to_toml("made up"), text);
    }
    for path in [
        "csv/g1000_2024-01-21_part.csv",
        "csv/citation_reference_1hz.csv",
        "csv/da20_flight_review_2018-10-15_part.csv",
    ] {
        let Some(bytes) = checks::recording(path) else { return };
        let (first, map) = read_with_columns(&bytes, &without()).unwrap();
        let again = read(&bytes, &with(&map.to_toml(path))).unwrap();
        assert_eq!(bare(&first), bare(&again), "{path}");
        assert!(!noted(&again, "is taken as"), "{:?}", again.notes);
    }
}

#[test]
fn golden_a_map_is_written_so() {
    let (_, map) = read_with_columns(PANEL, &without()).unwrap();
    let text = map.to_toml("panel.csv");
    let expected = "# Columns of panel.csv: correct what is wrong and give it with --columns.\n\
        schema = \"skychalk.columns/1\"\n\n[table]\ndelimiter = \";\"\ndecimal_mark = \",\"\n# header_line = 1\n\
        # data_line = 2\n# utc_offset = \"+02:00\"\n# date_order = \"day-month-year\"\n# row_interval_s = 1.0\n\
        # other_columns = \"by-name\"\nnot_read = [\n  \"fuel\",\n]\n\n\
        [[column]]\nname = \"Lcl Date\"\nmeaning = \"date\"\n\n[[column]]\nname = \"Lcl Time\"\nmeaning = \"time-of-day\"\n";
    assert!(text.starts_with(expected), "{text}");
    assert!(
        text.ends_with("[[column]]\nname = \"Roll\"\nmeaning = \"bank\"\nunit = \"deg\"\n"),
        "{text}"
    );
}

#[test]
fn golden_a_map_says_what_names_do_not() {
    let table = "made by nobody\nc1|c2|c3|c4|c5|c6|c6\n\n0|46,5|-8,25|1.280,5|90,5|-2,5|7\n1|46,5005|-8,25|1.281,0|90,5|-2,0|7\n2|46,501|-8,25|1.282,0|91,5|-1,5|7\n";
    let map = r#"
schema = "skychalk.columns/1"
[table]
delimiter = "|"
decimal_mark = ","
header_line = 2
data_line = 4
[[column]]
name = "c1"
meaning = "elapsed-time"
unit = "s"
[[column]]
name = "c2"
meaning = "latitude"
[[column]]
name = "c3"
meaning = "longitude"
[[column]]
name = "c4"
meaning = "height-above-sea-level"
unit = "ft"
[[column]]
name = "c5"
meaning = "ground-speed"
unit = "kt"
[[column]]
name = "c6"
position = 6
meaning = "bank"
unit = "deg"
sign = "turned"
[[column]]
name = "not there"
meaning = "pitch"
optional = true
"#;
    let recording = read(table.as_bytes(), &with(map)).unwrap();
    assert_eq!(recording.fixes.len(), 3);
    assert_near("height", recording.fixes[0].height_m.unwrap(), 1280.5 * M_PER_FT, 1e-9);
    assert_near("speed", recording.fixes[2].ground_speed_mps.unwrap(), 91.5 * MPS_PER_KT, 1e-9);
    assert_eq!(recording.series_of(Q::BankDeg).unwrap().values, vec![2.5, 2.0, 1.5]);
}

#[test]
fn golden_local_times_dates_and_gravity_by_the_map() {
    let table =
        "date,time,IAS (kt),NormAc (g)\n03/04/2026,00:30:00,80,0.9\n03/04/2026,00:30:01,81,1.1\n";
    let map = r#"schema = "skychalk.columns/1"
[table]
utc_offset = "+02:00"
date_order = "month-day-year"
[[column]]
name = "NormAc (g)"
meaning = "normal-load"
at_rest_g = 0
"#;
    let recording = read(table.as_bytes(), &with(map)).unwrap();
    assert_eq!(recording.start.unwrap().to_string(), "2026-03-03T22:30:00Z");
    assert_eq!(recording.series_of(Q::NormalLoadG).unwrap().values, vec![1.9, 2.1]);
    assert!(!noted(&recording, "normal load"), "{:?}", recording.notes);
}

#[test]
fn golden_other_columns_are_left_when_the_map_says_so() {
    let table = "time,IAS (kt),Roll (deg)\n0,80,1\n1,81,2\n";
    let head = "schema = \"skychalk.columns/1\"\n";
    let column = "[[column]]\nname = \"time\"\nmeaning = \"elapsed-time\"\nunit = \"s\"\n[[column]]\nname = \"Roll (deg)\"\nmeaning = \"bank\"\n";
    let named = read(table.as_bytes(), &with(&format!("{head}{column}"))).unwrap();
    assert_eq!(named.series.len(), 2);
    let only = format!("{head}[table]\nother_columns = \"not-read\"\n{column}");
    assert_eq!(read(table.as_bytes(), &with(&only)).unwrap().series.len(), 1);
    let without_roll = format!("{head}[table]\nnot_read = [\"Roll (deg)\"]\n");
    let recording = read(table.as_bytes(), &with(&without_roll)).unwrap();
    assert!(noted(&recording, "Roll (deg) (by the column map)"), "{:?}", recording.notes);
}

#[test]
fn regress_faults_of_a_map_are_told_with_line_and_suggestion() {
    let head = "schema = \"skychalk.columns/1\"\n";
    for (text, line, what, hint) in [
        ("schema = \"skychalk.brief/1\"\n", 1, "not a map of columns", "skychalk.columns/1"),
        ("[table]\ndelimeter = \";\"\n", 3, "delimeter is not known", "delimiter"),
        ("[table]\ndelimiter = \"x\"\n", 3, "\"x\" is not known", "tab"),
        ("[table]\nutc_offset = \"CET\"\n", 3, "\"CET\" is no offset", "+02:00"),
        ("[table]\nrow_interval_s = 0\n", 3, "outside", "figure"),
        ("[table]\nheader_line = 4\ndata_line = 4\n", 4, "before the names end", "after"),
        (
            "[[column]]\nname = \"IAS\"\nmeaning = \"indicated airspeed\"\n",
            4,
            "is not known",
            "did you mean indicated-airspeed?",
        ),
        (
            "[[column]]\nname = \"IAS\"\nmeaning = \"airspeed\"\n",
            4,
            "is not known",
            "did you mean indicated-airspeed?",
        ),
        (
            "[[column]]\nname = \"IAS\"\nmeaning = \"indicated-airspeed\"\nunit = \"hPa\"\n",
            5,
            "\"hPa\" is not known here",
            "kt",
        ),
        (
            "[[column]]\nname = \"a\"\nmeaning = \"bank\"\nsign = \"-\"\n",
            5,
            "is not known",
            "turned",
        ),
        (
            "[[column]]\nname = \"a\"\nmeaning = \"normal-load\"\nat_rest_g = 0.5\n",
            5,
            "0 or 1",
            "gravity",
        ),
        ("[[column]]\nname = \"a\"\n", 2, "meaning is missing", "add a line"),
        (
            "[[column]]\nname = \"a\"\nmeaning = \"bank\"\n[[column]]\nname = \"b\"\nmeaning = \"bank\"\n",
            6,
            "bank is the meaning of column \"a\" on line 3 already",
            "not-read",
        ),
        ("[[columns]]\nname = \"a\"\n", 2, "columns is not known", "column?"),
    ] {
        let text =
            if text.starts_with("schema") { text.to_owned() } else { format!("{head}{text}") };
        let faults = ColumnMap::from_toml(&text, "map.toml").unwrap_err();
        let told = faults.faults.iter().find(|fault| fault.what.contains(what));
        let told = told.unwrap_or_else(|| panic!("{what}: {faults:?}"));
        assert_eq!(told.line, line, "{faults:?}");
        assert!(told.hint.contains(hint), "{hint}: {told:?}");
    }
}

#[test]
fn regress_a_map_of_another_file_is_refused_with_its_line() {
    let map = "schema = \"skychalk.columns/1\"\n[[column]]\nname = \"Rol\"\nmeaning = \"bank\"\n";
    let error = read(PANEL, &with(map)).unwrap_err();
    assert!(
        error.to_string().contains("map.toml, line 3: no column \"Rol\" in this file"),
        "{error}"
    );
    assert!(error.hint().contains("did you mean Roll?"), "{}", error.hint());
    let map = map.replace("Rol", "Roll").replace("meaning", "position = 2\nmeaning");
    let error = read(PANEL, &with(&map)).unwrap_err();
    assert!(error.to_string().contains("at position 2"), "{error}");
}

#[test]
fn golden_commas_are_decided_from_the_whole_column() {
    let table = |cells: &[&str]| {
        let rows: String =
            cells.iter().enumerate().map(|(t, cell)| format!("{};80;{cell}\n", 60 * t)).collect();
        format!("time_s;IAS_kt;AltB_ft\n{rows}")
    };
    let values = |text: &str| -> Vec<f64> {
        let recording = read(text.as_bytes(), &without()).unwrap();
        let series = recording.series_of(Q::IndicatedAltitudeM).unwrap();
        series.values.iter().map(|value| (value / M_PER_FT * 1e3).round() / 1e3).collect()
    };
    assert_eq!(values(&table(&["980", "1,005", "5,280"])), [980.0, 1005.0, 5280.0]);
    assert_eq!(values(&table(&["4,5", "5,28", "5,280"])), [4.5, 5.28, 5.28]);
    assert_eq!(values(&table(&["5,280", "5281", "5,282"])), [5.28, 5281.0, 5.282]);
    assert_eq!(values(&table(&["5,280", "12,005,280", "5,282"])), [5280.0, 5282.0]);
    assert_eq!(values(&table(&["5,280.5", "5,281", "980.5"])), [5280.5, 5281.0, 980.5]);
    let text = table(&["980", "1,005"]);
    let recording = read(text.as_bytes(), &without()).unwrap();
    assert!(
        noted(
            &recording,
            "column AltB_ft: 1,005 is taken as 1005: only numbers of a thousand and more have a comma, 980 has none"
        ),
        "{:?}",
        recording.notes
    );
    let open = table(&["5,280", "5,281"]);
    let error = read(open.as_bytes(), &without()).unwrap_err();
    assert!(error.to_string().contains("5,280 may be thousands or a fraction"), "{error}");
    let map = |mark: &str| {
        format!("schema = \"skychalk.columns/1\"\n[table]\ndecimal_mark = \"{mark}\"\n")
    };
    for (mark, first) in [(".", 5280.0), (",", 5.28)] {
        let recording = read(open.as_bytes(), &with(&map(mark))).unwrap();
        let value = recording.series_of(Q::IndicatedAltitudeM).unwrap().values[0];
        assert_near(mark, value, first * M_PER_FT, 1e-9);
    }
}

#[test]
fn golden_positions_in_words_are_read() {
    let table =
        "time_s,lat,lon\n0,N46.5,8 15.0 W\n1,46 30.6' N,\"8°15'36\"\"W\"\n2,46.52 N,-8.27\n";
    let recording = read(table.as_bytes(), &without()).unwrap();
    let places: Vec<(f64, f64)> =
        recording.fixes.iter().map(|fix| (fix.latitude_deg, fix.longitude_deg)).collect();
    for ((latitude, longitude), (north, east)) in
        places.iter().zip([(46.5, -8.25), (46.51, -8.26), (46.52, -8.27)])
    {
        assert_near("latitude", *latitude, north, 1e-9);
        assert_near("longitude", *longitude, east, 1e-9);
    }
    let wrong = "time_s,lat,lon\n0,8E,46N\n1,8E,46N\n";
    assert!(read(wrong.as_bytes(), &without()).is_err());
}

#[test]
fn golden_a_table_without_clock_asks_for_the_interval() {
    let table = "IAS (kt),Roll (deg)\n80,1\n81,2\n82,3\n";
    let error = read(table.as_bytes(), &without()).unwrap_err();
    assert!(error.hint().contains("--row-interval 1s"), "{}", error.hint());
    let told = ReadOptions { row_interval_s: Some(0.5), ..without() };
    let recording = read(table.as_bytes(), &told).unwrap();
    assert_eq!(recording.series[0].times_s, [0.0, 0.5, 1.0]);
    assert!(noted(&recording, "rows are 0.5 s apart, as told"));
    let map = "schema = \"skychalk.columns/1\"\n[table]\nrow_interval_s = 2\n";
    assert_eq!(read(table.as_bytes(), &with(map)).unwrap().series[0].times_s, [0.0, 2.0, 4.0]);
}

#[test]
fn golden_columns_that_stand_twice_are_told() {
    let table = "time,IAS (kt),IAS (kt),airspeed (kt)\n0,80,90,100\n1,81,91,101\n";
    let recording = read(table.as_bytes(), &without()).unwrap();
    for part in [
        "column 3 (IAS (kt)) is not read, column 2 is read for it: IAS (kt)",
        "column 4 (airspeed (kt)) is not read",
    ] {
        assert!(
            recording
                .notes
                .iter()
                .any(|note| note.kind == NoteKind::LeftOut && note.text.contains(part)),
            "{:?}",
            recording.notes
        );
    }
    let (_, map) = read_with_columns(table.as_bytes(), &without()).unwrap();
    let edited = map
        .to_toml("t")
        .replace("position = 2", "position = 9")
        .replace("position = 3", "position = 2")
        .replace("position = 9", "position = 3");
    let other = read(table.as_bytes(), &with(&edited)).unwrap();
    assert_near("second", other.series[0].values[0], 90.0 * MPS_PER_KT, 1e-9);
}
