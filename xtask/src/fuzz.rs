//! Fuzzes every reader with the program of `crates/hostile`, two readers at a time: no nightly compiler, nothing to install.
//!
//! `cargo xtask fuzz [--seconds 20] [--executions N] [--reader KEY] [--seed N] [--jobs 2]`. Inputs that break a promise are
//! made short and kept in `crates/recording/tests/fixtures/fuzz`, where a test reads them ever after.

use std::path::{Path, PathBuf};
use std::process::{Child, Command};
use std::time::{SystemTime, UNIX_EPOCH};

/// Where failures are kept.
const KEPT: &str = "crates/recording/tests/fixtures/fuzz";

struct Wish {
    seconds: String,
    executions: Option<String>,
    reader: Option<String>,
    seed: u64,
    jobs: usize,
}

/// Builds the program and fuzzes.
pub(crate) fn run(root: &Path, arguments: &[String]) -> Result<(), String> {
    let wish = wish(arguments)?;
    let program = build(root)?;
    let readers = match &wish.reader {
        Some(reader) => vec![reader.clone()],
        None => list(&program)?,
    };
    let scratch = root.join("target/hostile");
    let kept = root.join(KEPT);
    for folder in [&scratch, &kept] {
        std::fs::create_dir_all(folder)
            .map_err(|error| format!("{}: {error}", folder.display()))?;
    }
    println!("{} s for each of {} readers, seed {}", wish.seconds, readers.len(), wish.seed);
    let mut failed = Vec::new();
    for group in readers.chunks(wish.jobs) {
        let mut children = Vec::new();
        for reader in group {
            let mut command = Command::new(&program);
            command.args([reader, "--seconds", &wish.seconds, "--seed", &wish.seed.to_string()]);
            // Packing archives takes blocks of some hundred kilobytes beside small ones that stay: from one heap they leave holes, gigabytes in
            // an hour. Mapped by themselves they go back whole (glibc; others do not read it).
            command.env("MALLOC_MMAP_THRESHOLD_", "65536");
            command.arg("--folder").arg(&kept).arg("--scratch").arg(&scratch);
            if let Some(executions) = &wish.executions {
                command.args(["--executions", executions]);
            }
            let child =
                command.spawn().map_err(|error| format!("{}: {error}", program.display()))?;
            children.push((reader, child));
        }
        for (reader, child) in children {
            if !held(reader, child, &scratch, &kept)? {
                failed.push(reader.as_str());
            }
        }
    }
    let _ = std::fs::remove_dir(&kept); // only when empty
    match failed.as_slice() {
        [] => Ok(()),
        failed => Err(format!("not held: {}; the inputs are in {KEPT}", failed.join(", "))),
    }
}

fn wish(arguments: &[String]) -> Result<Wish, String> {
    let now = SystemTime::now().duration_since(UNIX_EPOCH).map_or(1, |since| since.as_secs());
    let mut wish =
        Wish { seconds: "20".into(), executions: None, reader: None, seed: now, jobs: 2 };
    for pair in arguments.chunks(2) {
        let [name, value] = pair else { return Err(format!("{}: a value is missing", pair[0])) };
        let wrong = |_| format!("{name} {value}: not a whole number");
        match name.as_str() {
            "--seconds" => wish.seconds.clone_from(value),
            "--executions" => wish.executions = Some(value.clone()),
            "--reader" => wish.reader = Some(value.clone()),
            "--seed" => wish.seed = value.parse().map_err(wrong)?,
            "--jobs" => wish.jobs = value.parse::<usize>().map_err(wrong)?.max(1),
            _ => return Err(format!("{name}: not known; see the head of xtask/src/fuzz.rs")),
        }
    }
    Ok(wish)
}

fn build(root: &Path) -> Result<PathBuf, String> {
    let mut cargo = Command::new(env!("CARGO"));
    cargo.current_dir(root).args(["build", "--release", "--package", "hostile"]);
    let output = cargo
        .args(["--message-format", "json-render-diagnostics"])
        .output()
        .map_err(|error| format!("cargo: {error}"))?;
    // the last artifact with an executable: {..."executable":"/.../release/hostile"...}
    let words = String::from_utf8_lossy(&output.stdout);
    let path = words.lines().rev().find_map(|line| {
        let (_, rest) = line.split_once("\"executable\":\"")?;
        rest.split('"').next().map(PathBuf::from)
    });
    match path {
        Some(path) if output.status.success() => Ok(path),
        _ => Err(format!("hostile was not built:\n{}", String::from_utf8_lossy(&output.stderr))),
    }
}

fn list(program: &Path) -> Result<Vec<String>, String> {
    let output = Command::new(program).arg("--list").output();
    let output = output.map_err(|error| format!("{}: {error}", program.display()))?;
    Ok(String::from_utf8_lossy(&output.stdout).lines().map(str::to_string).collect())
}

/// Whether a run ended well; the input of one that hung or was ended by the system is kept.
fn held(reader: &str, mut child: Child, scratch: &Path, kept: &Path) -> Result<bool, String> {
    let status = child.wait().map_err(|error| format!("{reader}: {error}"))?;
    if status.success() {
        return Ok(true);
    }
    let present = scratch.join(format!("{reader}.input"));
    if status.code() != Some(1)
        && let Ok(framed) = std::fs::read(&present)
        && let Some((length, bytes)) = framed.split_first_chunk::<8>()
    {
        let length = usize::try_from(u64::from_le_bytes(*length)).unwrap_or(usize::MAX);
        let path = kept.join(format!("{reader}-ended.bin"));
        std::fs::write(&path, &bytes[..length.min(bytes.len())])
            .map_err(|error| format!("{}: {error}", path.display()))?;
        println!("{reader}: ended by {status}; the input is {}", path.display());
    }
    Ok(false)
}
