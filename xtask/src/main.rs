//! House-keeping of the workspace: `cargo xtask NAME`. One task is one file and one line in [`TASKS`].

#![allow(
    clippy::print_stdout,
    clippy::print_stderr,
    reason = "a task runner talks to the terminal"
)]

mod calibration;
mod demo_flight;
mod fuzz;
mod instructions;
mod lap;
mod library;
mod load;
mod optimum;
mod peers;
mod python;
mod readers;
mod reference;
mod release;
mod schemas;
mod tidy;
mod verdicts;

use std::path::{Path, PathBuf};
use std::process::ExitCode;

/// One task.
struct Task {
    name: &'static str,
    about: &'static str,
    run: fn(root: &Path, arguments: &[String]) -> Result<(), String>,
}

/// Every task, in the order they are listed by `cargo xtask`.
const TASKS: &[Task] = &[
    Task {
        name: "tidy",
        about: "check module docs, imports between crates, stray conversion factors, paths named in documents",
        run: tidy::run,
    },
    Task { name: "schemas", about: "write the JSON Schemas to docs/reference", run: schemas::run },
    Task {
        name: "reference",
        about: "write the pages of maneuvers, standards and airplanes to docs/reference",
        run: reference::run,
    },
    Task {
        name: "library",
        about: "fit the airplanes from public figures and print what does not go together",
        run: library::run,
    },
    Task {
        name: "demo-flight",
        about: "compute the demo flight and write data/demo",
        run: demo_flight::run,
    },
    Task {
        name: "calibration",
        about: "reconstruct drawn lessons and print errors against sigmas (--flights N, --recorder KEY)",
        run: calibration::run,
    },
    Task {
        name: "verdicts",
        about: "judge drawn lessons and print verdicts against those of the truth (--flights N, --first SEED, --recorder KEY, --each)",
        run: verdicts::run,
    },
    Task {
        name: "peers",
        about: "fly and optimize beside peers from the Python registry and print how many times as fast we are",
        run: peers::run,
    },
    Task {
        name: "readers",
        about: "read the outside recordings beside peers from the Python registry: the same fixes, and how many times as fast",
        run: readers::run,
    },
    Task {
        name: "load",
        about: "fifty clients at the page's sliders: how long each waits (--program PATH, --clients N, --seconds S, --maneuver KEY)",
        run: load::run,
    },
    Task {
        name: "fuzz",
        about: "read mutated recordings with every reader for 20 s each and keep what breaks a promise",
        run: fuzz::run,
    },
    Task {
        name: "optimum",
        about: "solve the best flights and inverse simulations of a folder DIR and hold them against its figures (--draw N flies random airplanes)",
        run: optimum::run,
    },
    Task {
        name: "instructions",
        about: "count the instructions of a step of the rigid airplane (needs valgrind)",
        run: instructions::run,
    },
];

fn main() -> ExitCode {
    let arguments: Vec<String> = std::env::args().skip(1).collect();
    let Some(task) = arguments.first().and_then(|name| TASKS.iter().find(|task| task.name == name))
    else {
        for task in TASKS {
            println!("cargo xtask {:<14} {}", task.name, task.about);
        }
        return if arguments.is_empty() { ExitCode::SUCCESS } else { ExitCode::from(2) };
    };
    match (task.run)(&root(), &arguments[1..]) {
        Ok(()) => ExitCode::SUCCESS,
        Err(message) => {
            eprintln!("{message}");
            ExitCode::FAILURE
        }
    }
}

/// The repository root: the parent of this crate.
fn root() -> PathBuf {
    let own = PathBuf::from(env!("CARGO_MANIFEST_DIR"));
    own.parent().map_or_else(|| own.clone(), Path::to_path_buf)
}
