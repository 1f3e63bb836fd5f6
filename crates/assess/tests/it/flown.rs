//! Flights of a foreign flight model with exact truth (checks/flown, see its README): what is found, when, what is measured,
//! which faults are named. The signatures were written from the geometry of the figures; these flights only check them.

use crate::debriefed;
use assess::attempt::{Attempt, AttemptCheckpoint, Estimate};
use serde_json::Value;

const FLIGHTS: [&str; 5] = ["f01", "f02", "f03", "f04", "f05"];

/// Catalogue key of a name in attempts.json. Standard-rate turns are found when asked for only.
fn key(name: &str) -> Option<&'static str> {
    match name {
        "steep turn" => Some("steep-turn"),
        "chandelle" => Some("chandelle"),
        "lazy eight" => Some("lazy-eight"),
        "wing-over series" => Some("wing-over"),
        "slow flight" => Some("slow-flight"),
        "power-off stall" => Some("power-off-stall"),
        "power-on stall" => Some("power-on-stall"),
        "steep spiral" => Some("steep-spiral"),
        "S-turns across a road" => Some("s-turns"),
        "turns around a point" => Some("turns-around-a-point"),
        _ => None,
    }
}

/// Fault keys that answer to a deviation flown on purpose.
fn answers(injected: &str) -> &'static [&'static str] {
    match injected {
        "rolled out early" | "stopped at 150" => &["rolled-out-early", "stopped-short"],
        "rolled out late" => &["rolled-out-late"],
        "bank too steep" => &["bank-too-steep"],
        "bank too shallow" => &["bank-too-shallow"],
        "pitch too high too early" => &["pitch-too-high-too-early"],
        "nose low at the end" => &["nose-low-at-the-end"],
        "lost height" | "lost height, nose low at the end" => {
            &["height-lost", "nose-low-at-the-end"]
        }
        "gained height" => &["height-gained"],
        "hurried roll" => &["hurried-roll"],
        "uncoordinated" => &["uncoordinated"],
        "power changed" => &["power-changed"],
        "near stall" => &["near-stall", "stalled"],
        _ => &[],
    }
}

fn overlap(a: (f64, f64), b: (f64, f64)) -> f64 {
    let both = a.1.min(b.1) - a.0.max(b.0);
    let either = a.1.max(b.1) - a.0.min(b.0);
    both.max(0.0) / either
}

/// Errors of one quantity at the checkpoints.
#[derive(Default)]
struct Errors {
    n: f64,
    squares: f64,
    inside: f64,
}

impl Errors {
    fn add(&mut self, found: Option<Estimate>, truth: Option<f64>, shape: fn(f64) -> f64) {
        let (Some(found), Some(truth)) = (found, truth) else { return };
        let error = shape(found.value) - shape(truth);
        self.n += 1.0;
        self.squares += error * error;
        self.inside += f64::from(error.abs() <= 1.96 * found.sigma);
    }
    fn rms(&self) -> f64 {
        (self.squares / self.n).sqrt()
    }
    fn cover(&self) -> f64 {
        self.inside / self.n
    }
}

#[derive(Default)]
struct Score {
    hits: usize,
    misses: usize,
    false_alarms: usize,
    directions: usize,
    starts: Errors,
    ends: Errors,
    slow_starts: Errors,
    slow_ends: Errors,
    bank: Errors,
    cas: Errors,
    height: Errors,
    load: Errors,
    faults: usize,
    faults_named: usize,
    good: usize,
    good_clean: usize,
}

impl Score {
    fn add_flight(&mut self, flight: &str, kind: &str) -> Option<()> {
        let bytes = checks::bytes(&format!("flown/{flight}/{kind}.csv"))?;
        let truth: Value =
            serde_json::from_str(&checks::text(&format!("flown/{flight}/attempts.json"))?)
                .expect("JSON");
        let debrief = debriefed(kind, &bytes).expect("debriefs");
        let mut used = vec![false; debrief.attempts.len()];
        for wanted in truth["attempts"].as_array().expect("a list") {
            let Some(key) = key(wanted["maneuver"].as_str().unwrap_or_default()) else { continue };
            let span = (number(wanted, "start_s"), number(wanted, "end_s"));
            let share = |found: &Attempt| overlap(span, (found.start_s, found.end_s));
            let best = (0..used.len()).filter(|i| !used[*i]).max_by(|a, b| {
                share(&debrief.attempts[*a]).total_cmp(&share(&debrief.attempts[*b]))
            });
            let hit = best.filter(|i| {
                share(&debrief.attempts[*i]) >= 0.4 && debrief.attempts[*i].maneuver == key
            });
            let Some(index) = hit else {
                println!("{flight} {kind}: missed {} {}", wanted["id"], wanted["injected"]);
                self.misses += 1;
                continue;
            };
            used[index] = true;
            self.add_hit(&debrief.attempts[index], wanted, kind);
        }
        for (found, _) in debrief.attempts.iter().zip(&used).filter(|(_, used)| !**used) {
            println!(
                "{flight} {kind}: false {} {:.0} {:.0}",
                found.maneuver, found.start_s, found.end_s
            );
            self.false_alarms += 1;
        }
        Some(())
    }
    fn add_hit(&mut self, found: &Attempt, wanted: &Value, kind: &str) {
        self.hits += 1;
        self.directions +=
            usize::from(wanted["direction"] == assess::attempt::way(found.direction));
        let exact = |value| Some(Estimate { value, sigma: 1.0 });
        // Where a throttle is pulled is not seen at once: five seconds are wanted for slow flight and stalls.
        let scripted = found.maneuver.ends_with("stall") || found.maneuver == "slow-flight";
        let (starts, ends) = if scripted {
            (&mut self.slow_starts, &mut self.slow_ends)
        } else {
            (&mut self.starts, &mut self.ends)
        };
        starts.add(exact(found.start_s), wanted["start_s"].as_f64(), |x| x);
        ends.add(exact(found.end_s), wanted["end_s"].as_f64(), |x| x);
        let whole = std::slice::from_ref(wanted);
        let parts = wanted["parts"].as_array().map_or(whole, Vec::as_slice);
        // The bounds of the values are those of the four first figures; the others are held by `measure`'s own checks.
        let first_four = ["steep-turn", "chandelle", "lazy-eight", "wing-over"];
        let held = first_four.contains(&found.maneuver);
        for (wanted, found) in parts.iter().zip(&found.parts).filter(|_| held) {
            for at in &found.checkpoints {
                self.add_checkpoint(at, &wanted["checkpoints"][format!("{:.0}", at.turn_deg)]);
            }
        }
        // Faults of the figures that are not turns are held by the coach's own checks.
        if held {
            self.add_faults(found, wanted, kind);
        }
    }
    fn add_checkpoint(&mut self, at: &AttemptCheckpoint, wanted: &Value) {
        self.bank.add(at.bank_deg, wanted["roll_deg"].as_f64(), f64::abs);
        self.cas.add(at.cas_kt, wanted["cas_kt"].as_f64(), |x| x);
        self.height.add(at.height_ft, wanted["height_ft"].as_f64(), |x| x);
        self.load.add(at.load_factor, wanted["nz_g"].as_f64(), |x| x);
    }
    fn add_faults(&mut self, found: &Attempt, wanted: &Value, kind: &str) {
        let named: Vec<&str> =
            found.parts.iter().flat_map(|part| &part.faults).map(|fault| fault.id).collect();
        let injected = wanted["injected"].as_str().unwrap_or_default();
        let answers = answers(injected);
        if !answers.is_empty() {
            self.faults += 1;
            let seen = named.iter().take(2).any(|id| answers.contains(id));
            self.faults_named += usize::from(seen);
            if !seen {
                println!("{kind} {}: {injected} not named, but {named:?}", wanted["id"]);
            }
        } else if injected == "none" && wanted["label"] == "good" {
            self.good += 1;
            self.good_clean += usize::from(named.is_empty());
            if !named.is_empty() {
                println!("{kind} {}: good, but {named:?}", wanted["id"]);
            }
        }
    }
    /// What is reached today: greatest rms of bank (deg), CAS (kt), start and end (s); faults named.
    ///
    /// Wanted: 0.9 of those that the recording can show. One of 21 is named in no recording, and should be once the intention is
    /// known: a steep turn "bank too steep" against a target that it does not tell (54 for 45 degrees). From satellites alone the two
    /// uncoordinated ones cannot be seen, the chandelle near the stall not surely.
    fn hold(&self, [bank, cas, start, end]: [f64; 4], faults_named: usize) {
        let (bank_now, cas_now) = (self.bank.rms(), self.cas.rms());
        assert!(bank_now < bank && cas_now < cas, "{bank_now} {cas_now}");
        assert!(self.starts.rms() < start && self.ends.rms() < end);
        assert!(self.slow_starts.rms() < 4.0 && self.slow_ends.rms() < 5.0);
        assert_eq!((self.faults_named, self.faults), (faults_named, 21));
        assert_eq!((self.good_clean, self.good), (12, 12));
        for errors in [&self.bank, &self.cas, &self.load] {
            assert!(errors.cover() > 0.9, "{}", errors.cover());
        }
        // Heights in one flight share one error of the receiver; 0.93 to 0.97 is wanted.
        assert!(self.height.cover() > 0.87, "{}", self.height.cover());
    }
    fn print(&self, kind: &str) {
        println!(
            "{kind}: hits {} misses {} false {} directions {}; start rms {:.2} s, end rms {:.2} s (slow flight and stalls {:.2}, {:.2}); faults named {} of {}, \
             good ones clean {} of {}",
            self.hits,
            self.misses,
            self.false_alarms,
            self.directions,
            self.starts.rms(),
            self.ends.rms(),
            self.slow_starts.rms(),
            self.slow_ends.rms(),
            self.faults_named,
            self.faults,
            self.good_clean,
            self.good
        );
        let one =
            |errors: &Errors| format!("{:.2} ({:.2} inside 95 %)", errors.rms(), errors.cover());
        println!(
            "  checkpoints: bank {} deg, CAS {} kt, height {} ft, load {} g",
            one(&self.bank),
            one(&self.cas),
            one(&self.height),
            one(&self.load)
        );
    }
}

fn number(value: &Value, key: &str) -> f64 {
    value[key].as_f64().unwrap_or(f64::NAN)
}

fn score(kind: &str) -> Option<Score> {
    let mut score = Score::default();
    for flight in FLIGHTS {
        score.add_flight(flight, kind)?;
    }
    score.print(kind);
    Some(score)
}

#[test]
fn val_flown_from_satellites_at_1_hz() {
    let Some(score) = score("gps_1hz") else { return };
    assert_eq!((score.hits, score.misses, score.false_alarms, score.directions), (44, 0, 0, 44));
    // Of the end 1.2 s was reached before and is wanted.
    score.hold([1.45, 1.6, 0.4, 1.2], 17);
}

#[test]
fn val_flown_from_satellites_at_5_hz() {
    let Some(score) = score("gps_5hz") else { return };
    assert_eq!((score.hits, score.misses, score.false_alarms, score.directions), (44, 0, 0, 44));
    score.hold([1.45, 1.5, 0.4, 0.9], 17);
}

#[test]
fn val_flown_from_the_panel_log() {
    let Some(score) = score("avionics") else { return };
    assert_eq!((score.hits, score.misses, score.false_alarms, score.directions), (44, 0, 0, 44));
    // Of the end 0.9 s was reached and is wanted.
    score.hold([0.92, 0.6, 0.3, 1.15], 20);
}
