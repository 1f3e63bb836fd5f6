//! Files in containers.

use flate2::Compression;
use std::io::{Cursor, Write};
use zip::write::SimpleFileOptions;

/// A gzip stream.
///
/// # Panics
/// Never: memory takes what is written.
#[must_use]
pub fn gzip(bytes: &[u8]) -> Vec<u8> {
    let mut writer = flate2::write::GzEncoder::new(Vec::new(), Compression::best());
    writer.write_all(bytes).expect("memory takes it");
    writer.finish().expect("memory takes it")
}

/// A zip archive of named files, deflated.
///
/// # Panics
/// When two names are the same.
#[must_use]
pub fn zip(files: &[(&str, &[u8])]) -> Vec<u8> {
    let mut writer = zip::ZipWriter::new(Cursor::new(Vec::new()));
    for (name, bytes) in files {
        let method = zip::CompressionMethod::Deflated;
        let options =
            SimpleFileOptions::default().compression_method(method).compression_level(Some(9));
        writer.start_file(*name, options).expect("names differ");
        writer.write_all(bytes).expect("memory takes it");
    }
    writer.finish().expect("memory takes it").into_inner()
}
