//! Each reader beside the bare library on the same bytes: the ratio is what the normal form costs.
//! Goal: at most 1.5 times the bare library.

#![allow(missing_docs, reason = "the macros of the harness make items without")]
#![allow(clippy::unwrap_used, reason = "a bench that cannot go on has failed")]

use criterion::{Criterion, Throughput, criterion_group, criterion_main};
use std::fmt::Write as _;
use std::hint::black_box;

const ROWS: usize = 18_000;

/// One hour at 5 Hz: invented, a slow turn.
fn table() -> String {
    let mut out = String::from(
        "elapsed_s,lat,lon,alt_m,ground_speed_kt,track_deg,vs_fpm,ias_kt,roll_deg,pitch_deg\n",
    );
    for row in 0..ROWS {
        let t = row as f64 * 0.2;
        let lat = 46.5 + t * 4.6e-4;
        writeln!(
            out,
            "{t:.1},{lat:.7},8.1000000,{:.1},99.5,0.1,{:.0},95.1,{:.1},2.1",
            1200.0 + t * 0.1,
            t % 50.0,
            t % 7.0
        )
        .unwrap();
    }
    out
}

fn track() -> String {
    let mut out = String::from("<gpx version=\"1.1\"><trk><trkseg>\n");
    for row in 0..ROWS {
        let (hour, minute, second) = (10 + row / 3600 % 10, row / 60 % 60, row % 60);
        let lat = 46.0 + row as f64 * 4e-4 / 10.0;
        writeln!(out, "<trkpt lat=\"{lat:.6}\" lon=\"8.100000\"><ele>1200.5</ele><time>2026-05-04T{hour:02}:{minute:02}:{second:02}Z</time></trkpt>")
            .unwrap();
    }
    out + "</trkseg></trk></gpx>\n"
}

fn recorder() -> String {
    let mut out = String::from("AXXX001\r\nHFDTE040526\r\n");
    for row in 0..ROWS {
        let (hour, minute, second) = (10 + row / 3600 % 10, row / 60 % 60, row % 60);
        writeln!(
            out,
            "B{hour:02}{minute:02}{second:02}46{:05}N00806000EA0120001250\r",
            row % 60_000
        )
        .unwrap();
    }
    out
}

fn bare_csv(text: &str) -> usize {
    let mut reader = csv::Reader::from_reader(text.as_bytes());
    let mut record = csv::ByteRecord::new();
    let mut cells = 0;
    while reader.read_byte_record(&mut record).unwrap() {
        cells += record.iter().map(|cell| usize::from(!cell.is_empty())).sum::<usize>();
    }
    cells
}

/// With every cell made a number by the standard parser: the least any reader has to do.
fn bare_csv_numbers(text: &str) -> f64 {
    let mut reader = csv::Reader::from_reader(text.as_bytes());
    let mut record = csv::ByteRecord::new();
    let mut sum = 0.0;
    while reader.read_byte_record(&mut record).unwrap() {
        for cell in &record {
            sum += std::str::from_utf8(cell).unwrap().parse::<f64>().unwrap();
        }
    }
    sum
}

fn bare_xml(text: &str) -> usize {
    let mut reader = quick_xml::Reader::from_str(text);
    let mut events = 0;
    loop {
        match reader.read_event().unwrap() {
            quick_xml::events::Event::Eof => return events,
            quick_xml::events::Event::Start(element) => events += element.attributes().count(),
            _ => events += 1,
        }
    }
}

fn bare_igc(text: &str) -> usize {
    igc::parse_records(text).filter(Result::is_ok).count()
}

fn readers(criterion: &mut Criterion) {
    let options = recording::ReadOptions { name: "bench".into(), ..Default::default() };
    let (table, track, recorder) = (table(), track(), recorder());
    let mut group = criterion.benchmark_group("readers");
    group.sample_size(20);
    for (name, text) in [("csv", &table), ("gpx", &track), ("igc", &recorder)] {
        group.throughput(Throughput::Bytes(text.len() as u64));
        group.bench_function(format!("{name}/ours"), |bench| {
            bench.iter(|| recording::read(black_box(text.as_bytes()), &options).unwrap());
        });
    }
    group.bench_function("csv/bare", |bench| bench.iter(|| bare_csv(black_box(&table))));
    group.bench_function("csv/bare with numbers", |bench| {
        bench.iter(|| bare_csv_numbers(black_box(&table)));
    });
    group.bench_function("gpx/bare", |bench| bench.iter(|| bare_xml(black_box(&track))));
    group.bench_function("igc/bare", |bench| bench.iter(|| bare_igc(black_box(&recorder))));
    group.finish();
}

criterion_group!(benches, readers);
criterion_main!(benches);
