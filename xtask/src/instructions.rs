//! Instructions of one step of the rigid airplane, counted by callgrind: a measure that a busy machine does not disturb.

use std::path::Path;

use crate::lap::{FORMS, Lap};

/// Prints instructions a step for each form of the air forces, rule and earth.
pub(crate) fn run(root: &Path, _arguments: &[String]) -> Result<(), String> {
    let lap = Lap::build(root)?;
    for form in FORMS {
        for earth in ["flat", "wgs84"] {
            for rule in ["rate", "single", "runge-kutta-4"] {
                // Two laps of different length: what they do not share is the steps.
                let words = [rule, earth, form];
                let (short, long) = (count(&lap, words, 1000)?, count(&lap, words, 6000)?);
                let each = (long - short) / 5000;
                println!("{form:<10} {earth:<6} {rule:<14} {each:>6} instructions a step");
            }
        }
    }
    Ok(())
}

fn count(lap: &Lap, words: [&str; 3], steps: u32) -> Result<u64, String> {
    let output = lap
        .counted(words, steps)
        .output()
        .map_err(|error| format!("valgrind: {error}; install it to count instructions"))?;
    let words = String::from_utf8_lossy(&output.stderr);
    let line = words.lines().find(|line| line.contains("Collected"));
    line.and_then(|line| line.rsplit(' ').next()?.replace(',', "").parse().ok())
        .ok_or_else(|| format!("callgrind told no count:\n{words}"))
}
