//! Flights of a foreign flight model with exact truth (checks/flown, see its README): errors inside the attempts.

use base::factors::{M_PER_FT, MPS_PER_KT, RAD_PER_DEG};
use checks::Table;
use motion::{Column, Known, Motion, reconstruct};
use recording::ReadOptions;

/// Sum of squared errors and of errors over sigma.
#[derive(Default, Clone, Copy)]
struct Score {
    n: f64,
    squares: f64,
    normalized: f64,
    inside: f64,
}

impl Score {
    fn add(&mut self, error: f64, sigma: f64) {
        self.n += 1.0;
        self.squares += error * error;
        self.normalized += (error / sigma) * (error / sigma);
        self.inside += f64::from(error.abs() <= 1.96 * sigma);
    }
    fn rms(&self) -> f64 {
        (self.squares / self.n).sqrt()
    }
    /// Standard deviation of error over sigma.
    fn ratio(&self) -> f64 {
        (self.normalized / self.n).sqrt()
    }
    fn cover(&self) -> f64 {
        self.inside / self.n
    }
}

/// Attempts (start and end, s) by the text of attempts.json; those flown uncoordinated are left out.
fn attempts(flight: &str) -> Vec<(f64, f64)> {
    let Some(text) = checks::text(&format!("flown/{flight}/attempts.json")) else {
        return Vec::new();
    };
    let json: serde_json::Value = serde_json::from_str(&text).expect("attempts.json is JSON");
    let list = json["attempts"].as_array().expect("a list of attempts");
    list.iter()
        .filter(|attempt| attempt["injected"] != "uncoordinated")
        .filter(|attempt| !attempt["maneuver"].as_str().unwrap_or_default().contains("stall"))
        .filter(|attempt| attempt["maneuver"] != "slow flight")
        .filter_map(|attempt| Some((attempt["start_s"].as_f64()?, attempt["end_s"].as_f64()?)))
        .collect()
}

fn motion_of(flight: &str, file: &str) -> Option<Motion> {
    let bytes = checks::bytes(&format!("flown/{flight}/{file}.csv"))?;
    let recording =
        recording::read(&bytes, &ReadOptions { name: file.into(), ..ReadOptions::default() })
            .expect("reads");
    Some(reconstruct(&recording, &Known::default()).expect("reconstructs"))
}

#[derive(Default, Clone, Copy)]
struct Scores {
    bank: Score,
    load: Score,
    cas: Score,
    wind: Score,
    pitch_change: Score,
    height_change: Score,
}

impl Scores {
    fn add_flight(&mut self, flight: &str, file: &str) -> Option<()> {
        let motion = motion_of(flight, file)?;
        let truth = Table::read(&format!("flown/{flight}/truth.csv"))?;
        let spans = attempts(flight);
        let time = truth.column("t_s");
        let columns: Vec<Vec<f64>> =
            ["roll_deg", "nz_g", "cas_mps", "wind_n_mps", "wind_e_mps", "pitch_deg", "height_m"]
                .iter()
                .map(|name| truth.column(name))
                .collect();
        for (start, end) in spans {
            let rows: Vec<usize> = (0..time.len())
                .filter(|i| time[*i] >= start && time[*i] <= end)
                .step_by(5)
                .collect();
            let Some(&first) = rows.first() else { continue };
            let value = |column: &Option<Column>, i: usize| {
                column.as_ref().expect("a column").at(motion.place_at(time[i]).expect("a place"))
            };
            let (pitch_0, _) = value(&motion.pitch_relative_rad, first);
            let (height_0, _) = value(&motion.height_m, first);
            for i in rows {
                let (bank, sigma) = value(&motion.bank_rad, i);
                self.bank.add(bank / RAD_PER_DEG - columns[0][i], sigma / RAD_PER_DEG);
                let (load, sigma) = value(&motion.load_factor, i);
                self.load.add(load - columns[1][i], sigma);
                let (cas, sigma) = value(&motion.calibrated_airspeed_mps, i);
                self.cas.add((cas - columns[2][i]) / MPS_PER_KT, sigma / MPS_PER_KT);
                let (north, sigma_n) = value(&motion.wind_north_mps, i);
                let (east, sigma_e) = value(&motion.wind_east_mps, i);
                let miss = base::math::hypot(north - columns[3][i], east - columns[4][i]);
                self.wind.add(miss, base::math::hypot(sigma_n, sigma_e));
                let (pitch, sigma) = value(&motion.pitch_relative_rad, i);
                let change = (pitch - pitch_0) / RAD_PER_DEG - (columns[5][i] - columns[5][first]);
                self.pitch_change.add(change, sigma / RAD_PER_DEG);
                let (height, sigma) = value(&motion.height_m, i);
                self.height_change.add(
                    (height - height_0 - columns[6][i] + columns[6][first]) / M_PER_FT,
                    sigma / M_PER_FT,
                );
            }
        }
        Some(())
    }
    fn print(&self, name: &str) {
        let one = |what: &str, s: &Score| {
            format!("{what} {:.2} (x{:.2}, {:.2})", s.rms(), s.ratio(), s.cover())
        };
        println!(
            "{name:14} {} {} {} {} {} {}",
            one("bank", &self.bank),
            one("load", &self.load),
            one("cas", &self.cas),
            one("wind", &self.wind),
            one("pitch change", &self.pitch_change),
            one("height change", &self.height_change)
        );
    }
}

const FLIGHTS: [&str; 5] = ["f01", "f02", "f03", "f04", "f05"];

fn score(file: &str) -> Option<Scores> {
    let mut all = Scores::default();
    for flight in FLIGHTS {
        let mut one = Scores::default();
        one.add_flight(flight, file)?;
        one.print(&format!("{flight} {file}"));
        all.add_flight(flight, file)?;
    }
    all.print(&format!("all {file}"));
    Some(all)
}

/// What is reached today, with a little room for rounding; the targets of the reconstruction to come stand beside it.
#[test]
fn val_flown_from_satellites_at_5_hz() {
    let Some(all) = score("gps_5hz") else { return };
    assert!(all.bank.rms() < 0.85, "bank {}", all.bank.rms()); // target 1.0
    assert!(all.load.rms() < 0.04, "load {}", all.load.rms()); // target 0.03
    assert!(all.cas.rms() < 2.0, "cas {}", all.cas.rms()); // target 2.0
}

#[test]
fn val_flown_from_satellites_at_1_hz() {
    let Some(all) = score("gps_1hz") else { return };
    assert!(all.bank.rms() < 0.85, "bank {}", all.bank.rms()); // target 1.3
    assert!(all.load.rms() < 0.05, "load {}", all.load.rms()); // target 0.03
    assert!(all.cas.rms() < 2.0, "cas {}", all.cas.rms()); // target 2.0
    // A height says how well it is known: 0.95 is wanted.
    assert!(all.height_change.cover() > 0.93, "height {}", all.height_change.cover());
}

#[test]
fn val_flown_from_the_panel_log() {
    let Some(all) = score("avionics") else { return };
    assert!(all.bank.rms() < 0.7, "bank {}", all.bank.rms()); // target 0.7
    assert!(all.cas.rms() < 1.5, "cas {}", all.cas.rms()); // target 2.0
}
