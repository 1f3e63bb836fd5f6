//! The readers from outside: probing by content, and bytes of every sort that must never panic.

#![allow(clippy::unwrap_used, reason = "a test that cannot go on has failed")]

mod outside;
mod peers;

mod hostile;

use proptest::prelude::*;
use recording::{ReadError, ReadOptions, formats, read};

const GPX: &[u8] = include_bytes!("../fixtures/two_segments.gpx");
const PANEL: &[u8] = include_bytes!("../fixtures/panel_semicolon.csv");
const IGC: &[u8] = b"AXXX001\r\nHFDTE040526\r\nI013636LAD\r\nB1202114630000N00806000EA01200012505\r\nB1202124630010N00806010EA01200012505\r\n";

fn options(name: &str) -> ReadOptions {
    ReadOptions { name: name.into(), ..ReadOptions::default() }
}

#[test]
fn golden_content_decides_whatever_the_name() {
    for (bytes, format) in [(GPX, "gpx"), (PANEL, "csv"), (IGC, "igc")] {
        assert_eq!(read(bytes, &options("wrong.txt")).unwrap().format, format);
    }
    let error = read(b"\x7fELF\0\0\0\0", &options("tune.mp3")).unwrap_err();
    assert!(matches!(error, ReadError::Unsupported { .. }), "{error:?}");
    assert!(error.hint().contains("GPX"), "{error}");
}

/// Invented files of the forms that are no text: what each must hold.
#[test]
fn golden_archives_and_messages() {
    for (bytes, format, fixes, series) in [
        (include_bytes!("../fixtures/phone_sensors.zip").as_slice(), "csv", 30, 8),
        (include_bytes!("../fixtures/track.kmz"), "kml", 0, 0),
        (include_bytes!("../fixtures/two_segments.gpx.gz"), "gpx", 6, 0),
        (include_bytes!("../fixtures/own_and_traffic.gdl90"), "gdl90", 40, 2),
    ] {
        let recording = read(bytes, &options("any")).unwrap();
        let plain = (format == "kml")
            .then(|| read(include_bytes!("../fixtures/track.kml"), &options("any")));
        let (fixes, series) = match plain {
            Some(plain) => plain.map(|plain| (plain.fixes.len(), plain.series.len())).unwrap(),
            None => (fixes, series),
        };
        assert_eq!(recording.format, format);
        assert_eq!(recording.fixes.len(), fixes, "{format}: {:?}", recording.notes);
        assert_eq!(recording.series.len(), series, "{format}: {:?}", recording.notes);
    }
}

#[test]
fn golden_text_in_utf_16_reads_as_the_same_recording() {
    let plain = read(PANEL, &options("any")).unwrap();
    let text = String::from_utf8(PANEL.to_vec()).unwrap();
    let wide: Vec<u8> = text.encode_utf16().flat_map(u16::to_le_bytes).collect();
    let marked = [b"\xff\xfe".as_slice(), &wide].concat();
    for bytes in [wide.as_slice(), &marked] {
        let recording = read(bytes, &options("any")).unwrap();
        assert_eq!(recording.fixes, plain.fixes);
        assert!(recording.notes.iter().any(|note| note.text.contains("UTF-16")));
    }
}

fn every_reader(bytes: &[u8]) {
    let _ = read(bytes, &options("any"));
    for format in formats::ALL {
        let _ = (format.read)(bytes, &options("any"));
    }
}

proptest! {
    #[test]
    fn prop_arbitrary_bytes_never_panic(bytes in proptest::collection::vec(any::<u8>(), 0..600)) {
        every_reader(&bytes);
    }

    #[test]
    fn prop_flipped_and_cut_files_never_panic(
        which in 0..3usize,
        flips in proptest::collection::vec((any::<prop::sample::Index>(), any::<u8>()), 0..8),
        cut in any::<prop::sample::Index>(),
    ) {
        let mut bytes = [GPX, PANEL, IGC][which].to_vec();
        for (at, value) in flips {
            let at = at.index(bytes.len());
            bytes[at] = value;
        }
        bytes.truncate(cut.index(bytes.len()) + 1);
        every_reader(&bytes);
    }

    #[test]
    fn prop_tables_of_odd_cells_never_panic(
        cells in proptest::collection::vec("[-+0-9.:eT/ ,;naNif]{0,12}", 4..60),
        names in proptest::collection::vec(
            prop::sample::select(vec!["time", "lat", "lon", "alt", "gs", "vs", "date", "roll", "acc_x", "utc", "x"]), 2..8),
    ) {
        let rows: Vec<String> = cells.chunks(names.len()).map(|row| row.join(",")).collect();
        let text = format!("{}\n{}\n", names.join(","), rows.join("\n"));
        if let Ok(recording) = read(text.as_bytes(), &options("odd")) {
            prop_assert!(recording.fixes.windows(2).all(|pair| pair[0].time_s < pair[1].time_s));
            for series in &recording.series {
                prop_assert!(series.times_s.windows(2).all(|pair| pair[0] < pair[1]));
                prop_assert_eq!(series.times_s.len(), series.values.len());
            }
        }
    }
}
