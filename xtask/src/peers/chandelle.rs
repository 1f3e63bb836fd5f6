//! The best chandelle of one airplane beside a peer: the same model, bounds, objective and mesh; both cold from a simple guess, one core,
//! laps of each in turn in one run.

use std::path::Path;
use std::process::Command;

use super::median;

/// The peer, with its version pinned; it brings Ipopt.
pub(super) const PEER: &str = "casadi==3.8.2";
/// Intervals of the mesh.
const INTERVALS: &str = "80";
/// Solves of a lap, of which the median counts; laps of each.
const SOLVES: &str = "5";
const LAPS: usize = 5;
const SCRIPT: &str = include_str!("chandelle.py");

/// Solves by both, prints times, gains and the ratio.
pub(super) fn run(root: &Path, folder: &Path, python: &Path) -> Result<(), String> {
    let ours = crate::lap::program(root, "maneuver", "best")?;
    let script = folder.join("chandelle.py");
    std::fs::write(&script, SCRIPT).map_err(|error| format!("{}: {error}", script.display()))?;
    let (mut times, mut found) = ([Vec::new(), Vec::new()], [[0.0; 2]; 2]);
    for _ in 0..LAPS {
        let mut peer = Command::new(python);
        peer.current_dir(folder).arg(&script).env("OMP_NUM_THREADS", "1");
        let mut own = Command::new(&ours);
        for (index, command) in [&mut own, &mut peer].into_iter().enumerate() {
            let [ms, gain_m, objective_m] = numbers(command.args([INTERVALS, SOLVES]))?;
            times[index].push(ms);
            found[index] = [gain_m, objective_m];
        }
    }
    let [own_ms, peer_ms] = times.map(median);
    println!(
        "best chandelle, {INTERVALS} intervals, median of {LAPS} laps of {SOLVES} cold solves"
    );
    println!("{:<28} {:>10} {:>14} {:>14}", "", "ms", "gain, m", "objective, m");
    for (words, ms, [gain, objective]) in [("ours", own_ms, found[0]), (PEER, peer_ms, found[1])] {
        println!("{words:<28} {ms:>10.2} {gain:>14.4} {objective:>14.4}");
    }
    println!("times as fast: {:.1} (wanted: 10, aim 30)", peer_ms / own_ms);
    Ok(())
}

/// Runs a program that prints three numbers.
fn numbers(command: &mut Command) -> Result<[f64; 3], String> {
    let output = command.output().map_err(|error| format!("{command:?}: {error}"))?;
    let text = String::from_utf8_lossy(&output.stdout);
    if !output.status.success() {
        return Err(format!("{command:?}: {}", String::from_utf8_lossy(&output.stderr)));
    }
    let last = text.lines().last().unwrap_or_default();
    let numbers: Vec<f64> = last.split(' ').filter_map(|word| word.parse().ok()).collect();
    numbers.try_into().map_err(|_| format!("{command:?}: not three numbers: {last:?}"))
}
