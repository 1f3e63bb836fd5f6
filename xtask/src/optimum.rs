//! Best flights and inverse simulations held against a folder of reference figures: `cargo xtask optimum DIR`.
//!
//! The folder holds `cases.json` (airplanes with their parameters and cases with their figures) and one table a case. Every case is
//! solved from its parameters alone; each figure is printed with its reference, the difference, the tolerance and whether it is met.
//! Inverse simulations, tables and closed forms: within 1e-4 of the reference; what was optimized within 5e-4; checkpoints of an
//! optimum within 1 m, 0.2 m/s and 0.6 degrees. `--draw N` instead solves every kind for N airplanes and days drawn by chance and
//! says how many are solved and why the others are not.

mod best;
mod cases;
mod draw;
mod energy;
mod figure;
mod folder;
mod inverse;
mod level;
mod plane;

use std::path::{Path, PathBuf};

use figure::Sheet;
use folder::Folder;

/// Solves, prints, and fails when a figure is not met or a file cannot be read.
pub(crate) fn run(root: &Path, arguments: &[String]) -> Result<(), String> {
    let asked = asked(arguments)?;
    // The release build runs from the repository: a folder named from elsewhere must still be found.
    let absolute: Vec<String> = match &asked {
        Asked::Draw(_) => arguments.to_vec(),
        Asked::Compare(folder) => {
            vec![
                std::path::absolute(folder)
                    .unwrap_or_else(|_| folder.clone())
                    .display()
                    .to_string(),
            ]
        }
    };
    if let Some(result) = crate::release::again(root, "optimum", &absolute) {
        return result;
    }
    match asked {
        Asked::Draw(count) => draw::run(count),
        Asked::Compare(folder) => return compare(&folder),
    }
    Ok(())
}

/// What was asked for.
enum Asked {
    Compare(PathBuf),
    Draw(u64),
}

fn asked(arguments: &[String]) -> Result<Asked, String> {
    match arguments {
        [flag, count] if flag == "--draw" => {
            let count = count.parse().map_err(|_| format!("--draw: not a number: {count}"))?;
            Ok(Asked::Draw(count))
        }
        [folder] if !folder.starts_with('-') => Ok(Asked::Compare(PathBuf::from(folder))),
        _ => Err("which folder? cargo xtask optimum DIR, or --draw N".into()),
    }
}

fn compare(path: &Path) -> Result<(), String> {
    let sheet = solve(path)?;
    sheet.print();
    let (missed, problems) = (sheet.missed(), sheet.problems.len());
    if missed + problems == 0 {
        return Ok(());
    }
    Err(format!("{missed} of {} figures not met, {problems} problems", sheet.figures.len()))
}

/// Every case of a folder.
fn solve(path: &Path) -> Result<Sheet, String> {
    let folder = Folder::open(path)?;
    let mut sheet = Sheet::default();
    let root = folder.cases();
    for entry in root.list("airplanes")? {
        cases::airplane(&folder, &entry, &mut sheet);
    }
    if root.has("case_7_energy") {
        let result = energy::compare(&folder, &root, &mut sheet);
        sheet.note("7_energy", result);
    }
    Ok(sheet)
}

#[cfg(test)]
mod tests;
