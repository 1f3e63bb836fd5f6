//! Writes the recording of the demo flight to `data/demo/`.

use std::path::Path;

use synthetic::demo;

/// Flies it and writes the table; prints what was flown.
pub(crate) fn run(root: &Path, _arguments: &[String]) -> Result<(), String> {
    let folder = root.join("data/demo");
    std::fs::create_dir_all(&folder).map_err(|error| format!("{}: {error}", folder.display()))?;
    let flown = demo::fly();
    let path = folder.join(demo::FILE);
    std::fs::write(&path, demo::csv(&flown))
        .map_err(|error| format!("{}: {error}", path.display()))?;
    for attempt in &flown.attempts {
        let figure = &attempt.figure;
        println!(
            "{:7.1} s to {:7.1} s  {} {} {}: {:?}",
            attempt.start_s,
            attempt.end_s,
            figure.maneuver,
            figure.form,
            figure.direction.word(),
            figure.deviation
        );
    }
    println!("data/demo/{}", demo::FILE);
    Ok(())
}
