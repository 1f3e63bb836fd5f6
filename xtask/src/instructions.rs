//! Instructions of one step of the rigid airplane, counted by callgrind: a measure that a busy machine does not disturb.

use std::path::Path;

use crate::lap::Lap;

/// Prints instructions a step for each rule and earth.
pub(crate) fn run(root: &Path, _arguments: &[String]) -> Result<(), String> {
    let lap = Lap::build(root)?;
    for earth in ["flat", "wgs84"] {
        for rule in ["rate", "single", "runge-kutta-4"] {
            // Two laps of different length: what they do not share is the steps.
            let (short, long) = (count(&lap, rule, earth, 1000)?, count(&lap, rule, earth, 6000)?);
            println!("{earth:<6} {rule:<14} {:>6} instructions a step", (long - short) / 5000);
        }
    }
    Ok(())
}

fn count(lap: &Lap, rule: &str, earth: &str, steps: u32) -> Result<u64, String> {
    let output = lap
        .counted(rule, earth, steps)
        .output()
        .map_err(|error| format!("valgrind: {error}; install it to count instructions"))?;
    let words = String::from_utf8_lossy(&output.stderr);
    let line = words.lines().find(|line| line.contains("Collected"));
    line.and_then(|line| line.rsplit(' ').next()?.replace(',', "").parse().ok())
        .ok_or_else(|| format!("callgrind told no count:\n{words}"))
}
