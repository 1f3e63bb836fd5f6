//! Fits every airplane of the library of public figures and prints what does not go together, and how long it took.

use std::path::Path;
use std::time::Instant;

use handbook::{Figures, file, fit, library};

/// Longest that the whole library may take, s.
const LONGEST_S: f64 = 60.0;

/// Rebuilds the library.
pub(crate) fn run(_root: &Path, _arguments: &[String]) -> Result<(), String> {
    let start = Instant::now();
    for (id, text) in library::ALL {
        let figures = Figures::from_toml(text, id).map_err(|faults| faults.to_string())?;
        let fitted = fit(&figures);
        let built = file::build(&figures, &fitted).map_err(|faults| faults.to_string())?;
        let contradictions = fitted.contradictions();
        println!(
            "{id}: {} figures, {} contradictions, {} notes",
            fitted.evidence.len(),
            contradictions.len(),
            built.notes.len()
        );
        for i in contradictions {
            println!("  {}", fitted.contradiction_words(i));
        }
    }
    let took_s = start.elapsed().as_secs_f64();
    println!("{} airplanes in {took_s:.1} s", library::ALL.len());
    if took_s > LONGEST_S { Err(format!("longer than {LONGEST_S} s")) } else { Ok(()) }
}
