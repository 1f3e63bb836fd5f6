//! scratch
use assess::debrief::{DebriefContext, debrief};
fn main() {
    let args: Vec<String> = std::env::args().skip(1).collect();
    let get = |k: &str| args.iter().position(|a| a == k).map(|i| args[i + 1].clone());
    let json = args.first().is_some_and(|a| a == "debrief");
    let airplane = get("--airplane").map(|p| {
        flight::airplane::Airplane::from_toml(&std::fs::read_to_string(&p).unwrap(), &p).unwrap()
    });
    let row = get("--row").map(|r| r.parse().unwrap());
    let mut files: Vec<String> = Vec::new();
    let mut skip = false;
    for a in &args {
        if skip {
            skip = false;
            continue;
        }
        if a.starts_with("--") {
            skip = true;
            continue;
        }
        if a != "debrief" {
            files.push(a.clone());
        }
    }
    let standard = maneuver::standard::bundled::load("faa-commercial").unwrap();
    for file in files {
        let bytes = std::fs::read(&file).unwrap();
        let options = recording::ReadOptions {
            name: file.clone(),
            row_interval_s: row,
            ..Default::default()
        };
        let recording = match recording::read(&bytes, &options) {
            Ok(r) => r,
            Err(e) => {
                eprintln!("{file}: {e}");
                continue;
            }
        };
        let known = motion::Known { airplane: airplane.as_ref(), ..Default::default() };
        let motion = match motion::reconstruct(&recording, &known) {
            Ok(m) => m,
            Err(e) => {
                eprintln!("{file}: {e}");
                continue;
            }
        };
        let context = DebriefContext {
            airplane: airplane.as_ref(),
            standard: &standard,
            ground_elevation_m: None,
        };
        let t = std::time::Instant::now();
        let d = debrief(recording, motion, &context);
        eprintln!("{file}: debrief {:?}", t.elapsed());
        if json {
            let one = |a: &assess::Attempt| {
                format!(
                    "{{\"maneuver\":\"{}\",\"direction\":\"{}\",\"confidence\":{},\"start_s\":{},\"end_s\":{}}}",
                    a.maneuver,
                    assess::attempt::way(a.direction),
                    a.confidence,
                    a.start_s,
                    a.end_s
                )
            };
            println!(
                "{{\"attempts\":[{}]}}",
                d.attempts.iter().map(one).collect::<Vec<_>>().join(",")
            );
        } else {
            println!("== {file}");
            for a in &d.attempts {
                println!(
                    "{:8.1} {:8.1} {:20} {:6} {:.2} parts {}",
                    a.start_s,
                    a.end_s,
                    a.maneuver,
                    assess::attempt::way(a.direction),
                    a.confidence,
                    a.parts.len()
                );
                if args.iter().any(|a| a == "--v") {
                    for e in &a.evidence {
                        println!("            {e}");
                    }
                }
            }
        }
    }
}
