//! Airplanes that a request may name: those that come with the program, each read once, and copies that the page brought, kept in
//! memory until the program stops. A copy is named by its content: what was answered about it stays true.

use std::collections::BTreeMap;
use std::hash::{DefaultHasher, Hash, Hasher};
use std::sync::{Arc, Mutex, PoisonError};

use app::choose::Airplane;
use app::{AppError, choose};

/// The key of a copy begins so.
const COPY: &str = "copy-";
/// So many copies are kept; the one unused for longest goes first.
const COPIES_MOST: usize = 64;
/// Largest airplane file that is kept, bytes.
const TEXT_BYTES_MOST: usize = 256 * 1024;

struct Copy {
    key: String,
    text: Arc<str>,
    airplane: Arc<Airplane>,
}

/// Used last stands last.
static COPIES: Mutex<Vec<Copy>> = Mutex::new(Vec::new());
static KNOWN: Mutex<BTreeMap<String, Arc<Airplane>>> = Mutex::new(BTreeMap::new());

/// Keeps the text of an airplane file. The airplane's key becomes that of the copy.
///
/// # Errors
/// Too large; its faults, each with its line.
pub(super) fn keep(text: &str) -> Result<Arc<Airplane>, AppError> {
    if text.len() > TEXT_BYTES_MOST {
        let what = format!("the airplane file is larger than {} KiB", TEXT_BYTES_MOST / 1024);
        return Err(AppError::request(what, "an airplane file has a few hundred lines"));
    }
    let mut airplane = choose::airplane_of_text(text, "your copy")?;
    let mut hasher = DefaultHasher::new();
    text.hash(&mut hasher);
    let key = format!("{COPY}{:016x}", hasher.finish());
    airplane.id.clone_from(&key);
    let airplane = Arc::new(airplane);
    let mut copies = COPIES.lock().unwrap_or_else(PoisonError::into_inner);
    copies.retain(|copy| copy.key != key);
    if copies.len() >= COPIES_MOST {
        copies.remove(0);
    }
    copies.push(Copy { key, text: text.into(), airplane: Arc::clone(&airplane) });
    Ok(airplane)
}

/// Takes something from a copy, which then stands last.
fn of_copy<T>(key: &str, take: impl Fn(&Copy) -> T) -> Result<T, AppError> {
    let mut copies = COPIES.lock().unwrap_or_else(PoisonError::into_inner);
    let place = copies.iter().position(|copy| copy.key == key).ok_or_else(|| {
        let what = format!("the airplane {key} is not known here");
        AppError::request(what, "it was edited in another browser, or the program was started anew: open its file on Airplanes")
    })?;
    let copy = copies.remove(place);
    let taken = take(&copy);
    copies.push(copy);
    Ok(taken)
}

/// The airplane of a key. Opens no file.
///
/// # Errors
/// No such airplane.
pub(super) fn find(typed: &str) -> Result<Arc<Airplane>, AppError> {
    let key = typed.trim();
    if key.starts_with(COPY) {
        return of_copy(key, |copy| Arc::clone(&copy.airplane));
    }
    let known = || KNOWN.lock().unwrap_or_else(PoisonError::into_inner);
    if let Some(found) = known().get(key) {
        return Ok(Arc::clone(found));
    }
    let read = Arc::new(choose::known_airplane(key)?);
    known().insert(key.into(), Arc::clone(&read));
    Ok(read)
}

/// The file of an airplane.
///
/// # Errors
/// No such airplane.
pub(super) fn text(typed: &str) -> Result<String, AppError> {
    let key = typed.trim();
    if key.starts_with(COPY) {
        return of_copy(key, |copy| copy.text.to_string());
    }
    choose::airplane_file_text(key)
}
