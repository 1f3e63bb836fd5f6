//! Opening files and standard input, with errors that say what to do.

use std::io::{ErrorKind, Read, Write};
use std::path::Path;

use crate::error::AppError;

/// Largest recording that is read, bytes.
pub const RECORDING_BYTES_MOST: u64 = 512 * 1024 * 1024;
/// Largest airplane or standard file that is read, bytes.
const TEXT_BYTES_MOST: u64 = 4 * 1024 * 1024;

/// The bytes of a file, or of standard input for `-`. The name may be any that the system takes.
///
/// # Errors
/// The file is missing, is a folder, may not be read, or is larger than [`RECORDING_BYTES_MOST`].
pub fn bytes(name: &Path) -> Result<Vec<u8>, AppError> {
    limited(name, RECORDING_BYTES_MOST)
}

/// The text of a file that people write.
///
/// # Errors
/// As [`bytes`], and when it is not UTF-8.
pub fn text(name: &str) -> Result<String, AppError> {
    String::from_utf8(limited(Path::new(name), TEXT_BYTES_MOST)?).map_err(|error| AppError::File {
        name: name.into(),
        what: format!("not text in UTF-8 from byte {}", error.utf8_error().valid_up_to()),
        hint: "save it as plain text in UTF-8".into(),
    })
}

/// Writes a file, replacing what was there.
///
/// # Errors
/// The folder is missing, the place may not be written, or the machine failed.
pub fn write(name: &str, bytes: &[u8]) -> Result<(), AppError> {
    let place = Path::new(name);
    std::fs::File::create(place).and_then(|mut file| file.write_all(bytes)).map_err(|error| {
        let what = format!("cannot be written: {}", plain(&error));
        match error.kind() {
            ErrorKind::NotFound => {
                file_error(name, &what, "make the folder first, or choose another place")
            }
            ErrorKind::PermissionDenied | ErrorKind::IsADirectory => {
                file_error(name, &what, "choose a file in a folder of your own")
            }
            _ => AppError::Machine {
                what: format!("{name}: {what}"),
                hint: "check the space left on the disk".into(),
            },
        }
    })
}

fn limited(path: &Path, most: u64) -> Result<Vec<u8>, AppError> {
    let name = path.to_string_lossy();
    let mut bytes = Vec::new();
    let done = if name == "-" {
        std::io::stdin().lock().take(most + 1).read_to_end(&mut bytes)
    } else {
        std::fs::File::open(path).and_then(|file| file.take(most + 1).read_to_end(&mut bytes))
    };
    done.map_err(|error| cannot_read(&name, &error))?;
    if bytes.len() as u64 > most {
        let what = format!("larger than {} MiB", most / (1024 * 1024));
        return Err(file_error(&name, &what, "cut it into single flights"));
    }
    Ok(bytes)
}

fn cannot_read(name: &str, error: &std::io::Error) -> AppError {
    match error.kind() {
        ErrorKind::NotFound => {
            file_error(name, "no such file", "check the name and the folder you are in")
        }
        ErrorKind::IsADirectory => file_error(name, "is a folder", "give one file in it"),
        ErrorKind::PermissionDenied => {
            file_error(name, "may not be read", "check who may read the file")
        }
        _ => AppError::Machine {
            what: format!("{name}: cannot be read: {}", plain(error)),
            hint: "check the disk or the connection it comes from".into(),
        },
    }
}

fn file_error(name: &str, what: &str, hint: &str) -> AppError {
    AppError::File { name: name.into(), what: what.into(), hint: hint.into() }
}

/// The message of the system without its number, which says nothing to people.
fn plain(error: &std::io::Error) -> String {
    let text = error.to_string();
    text.split(" (os error").next().unwrap_or(&text).to_lowercase()
}
