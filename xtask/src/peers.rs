//! Speed beside a peer: the six-degree flight-dynamics package `jsbsim` of the Python registry flies its light singles, we fly
//! ours, both with the engine running, at the same step, without output, on one core, one after the other in one run.
//!
//! Then the best chandelle ([`chandelle`]): `casadi` with Ipopt beside our optimizer, the same problem on the same mesh.
//!
//! The peers go into a virtual environment in a temporary folder that is deleted afterwards. Needs Python 3 with `venv`, and the
//! registry.

mod chandelle;

use std::path::Path;
use std::process::Command;

use crate::lap::Lap;
use crate::python::{Folder, install};

/// The peer, with its version pinned.
const PEER: &str = "jsbsim==1.3.3";
/// Its light singles.
const SINGLES: [&str; 2] = ["c172p", "c172x"];
/// Our laps: rule, and form of the air forces.
const OURS: [(&str, &str); 4] = [
    ("single", "components"),
    ("single", "tables"),
    ("runge-kutta-4", "components"),
    ("runge-kutta-4", "tables"),
];
/// Steps of one lap of the peer, and of ours.
const STEPS: [u32; 2] = [500, 5_000];
/// Laps of each in a round, and rounds, interleaved. The fastest lap counts: laps are of a few milliseconds, so that on a busy
/// machine some are left alone.
const LAPS: usize = 20;
const ROUNDS: usize = 9;
/// Flies laps on end and prints the nanoseconds a step of the fastest.
const SCRIPT: &str = r#"
import sys, time
import jsbsim

def airplane(name):
    fdm = jsbsim.FGFDMExec(None)
    fdm.set_debug_level(0)
    fdm.load_model(name)
    fdm.set_dt(1 / 120)
    fdm["ic/h-sl-ft"] = 4000
    fdm["ic/vc-kts"] = 97
    fdm["ic/gamma-deg"] = 0
    fdm["fcs/throttle-cmd-norm"] = 0.7
    fdm["fcs/mixture-cmd-norm"] = 0.87
    fdm.disable_output()
    fdm.run_ic()
    fdm["propulsion/set-running"] = -1
    for _ in range(120):
        fdm.run()
    if fdm["propulsion/engine/thrust-lbs"] <= 0:
        sys.exit(f"{name}: the engine does not run")
    return fdm

name, steps, laps = sys.argv[1], int(sys.argv[2]), int(sys.argv[3])
fdm = airplane(name)
run = fdm.run
best = float("inf")
for _ in range(laps):
    begin = time.perf_counter()
    for _ in range(steps):
        run()
    best = min(best, time.perf_counter() - begin)
print(1e9 * best / steps)
"#;

/// Installs the peer, flies the laps, prints steps per second and ratios.
pub(crate) fn run(root: &Path, _arguments: &[String]) -> Result<(), String> {
    let folder = Folder::new("peers")?;
    let python = install(&folder.0, &[PEER, chandelle::PEER])?;
    let lap = Lap::build(root)?;
    let script = folder.0.join("peer.py");
    std::fs::write(&script, SCRIPT).map_err(|error| format!("{}: {error}", script.display()))?;
    let peer = |name: &str| {
        let mut command = Command::new(&python);
        command.current_dir(&folder.0); // it opens a file for its output, even where that is turned off
        number(command.arg(&script).args([name, &STEPS[0].to_string(), &LAPS.to_string()]))
    };
    let (mut ours, mut theirs) = ([f64::INFINITY; OURS.len()], [f64::INFINITY; SINGLES.len()]);
    for _ in 0..ROUNDS {
        for (best, name) in theirs.iter_mut().zip(SINGLES) {
            *best = best.min(peer(name)?);
        }
        for (best, (rule, form)) in ours.iter_mut().zip(OURS) {
            for _ in 0..LAPS {
                *best = best.min(number(&mut lap.command([rule, "wgs84", form], STEPS[1]))?);
            }
        }
    }
    print_table(&ours, &theirs);
    println!();
    chandelle::run(root, &folder.0, &python)
}

fn print_table(ours: &[f64], theirs: &[f64]) {
    let laps = LAPS * ROUNDS;
    println!("fastest of {laps} laps of steps of 1/120 s, ours over the turning ellipsoid");
    println!("{:<32} {:>10} {:>8} {:>12} {:>12}", "", "steps/s", "ns/step", SINGLES[0], SINGLES[1]);
    for (name, ns) in SINGLES.iter().zip(theirs) {
        println!("{:<32} {:>10.0} {ns:>8.0}", format!("{PEER} {name}"), 1e9 / ns);
    }
    for ((rule, form), ns) in OURS.iter().zip(ours) {
        let name = format!("ours, {form}, {rule}");
        print!("{name:<32} {:>10.0} {ns:>8.0}", 1e9 / ns);
        for their in theirs {
            print!(" {:>7.1} fold", their / ns);
        }
        println!();
    }
    println!("wanted: 30 fold with one evaluation a step (single), or 12 with Runge-Kutta 4");
}

pub(super) fn median(mut values: Vec<f64>) -> f64 {
    values.sort_by(f64::total_cmp);
    values[values.len() / 2]
}

/// Runs a program that prints one number.
fn number(command: &mut Command) -> Result<f64, String> {
    let output = command.output().map_err(|error| format!("{command:?}: {error}"))?;
    let text = String::from_utf8_lossy(&output.stdout);
    if !output.status.success() {
        return Err(format!("{command:?}: {}", String::from_utf8_lossy(&output.stderr)));
    }
    // The peer greets on the same stream; the number is what it says last.
    let last = text.lines().last().unwrap_or_default().trim();
    last.parse().map_err(|_| format!("{command:?}: not a number: {last:?}"))
}
