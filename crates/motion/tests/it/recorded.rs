//! Recorded flights that carry their attitude (shared/recordings, see its README): the reconstruction is not shown it, and its
//! bank is held against the recorded one, beside the plain formula `atan(ground speed * course rate / g)`.
//!
//! The recorded attitude is that of an instrument, not the truth: its own errors are in the figures. The files stay outside the
//! repository.

use base::factors::{RAD_PER_DEG, STANDARD_GRAVITY_MPS2};
use base::geodesy::{Geodetic, LocalLevel};
use base::math::{atan, atan2, hypot, wrap_pi};
use motion::{Known, Motion, reconstruct};
use recording::{QuantityKind as Q, ReadOptions, Recording, Series};

/// A recording with attitude; what the plain formula misses by the README, what it misses here, and what is reached today, all
/// degrees.
struct Carrier {
    path: &'static str,
    readme_deg: f64,
    plain_deg: f64,
    today_deg: f64,
}

const CARRIERS: [Carrier; 6] = [
    Carrier {
        path: "avionics-serial/garmin_g3x_2019-01-26_decoded_5hz.csv",
        readme_deg: 4.1,
        plain_deg: 3.87,
        today_deg: 2.9,
    },
    Carrier {
        path: "csv/citation_2019-03-12_1hz.csv",
        readme_deg: 1.3,
        plain_deg: 1.2,
        today_deg: 0.9,
    },
    Carrier {
        path: "csv/citation_reference_1hz.csv",
        readme_deg: 1.0,
        plain_deg: 0.96,
        today_deg: 0.68,
    },
    Carrier {
        path: "csv/g1000_2024-01-21_part.csv",
        readme_deg: 1.1,
        plain_deg: 1.02,
        today_deg: 0.93,
    },
    Carrier {
        path: "csv/g3x_2024-03-09_part.csv",
        readme_deg: 1.6,
        plain_deg: 1.52,
        today_deg: 1.58,
    },
    Carrier {
        path: "igc/opensoar_aat_attitude.igc",
        readme_deg: 3.6,
        plain_deg: 3.55,
        today_deg: 2.72,
    },
];

/// The share of the plain formula's error that is wanted at most: a third better.
const SHARE_WANTED: f64 = 2.0 / 3.0;

/// What is withheld: everything an attitude sensor says.
const WITHHELD: [Q; 4] = [Q::BankDeg, Q::PitchDeg, Q::MagneticHeadingDeg, Q::TrueHeadingDeg];

/// Bank over time, rad, on a grid of seconds.
struct Bank {
    time_s: Vec<f64>,
    bank_rad: Vec<f64>,
}

/// The plain formula by the recipe of the README: positions on a grid of one second (not over gaps of more than 15 s), a mean
/// over three seconds, ground speed and course rate by central differences; only faster than walking, 12 m/s.
fn plain(recording: &Recording) -> Bank {
    const GAP_S: f64 = 15.0;
    const FLYING_MPS: f64 = 12.0;
    let fixes = &recording.fixes;
    let first = fixes.first().expect("fixes");
    let local = LocalLevel::at(Geodetic::from_deg(first.latitude_deg, first.longitude_deg, 0.0));
    let place = |time_s: f64| {
        let after = fixes.partition_point(|fix| fix.time_s < time_s);
        let (a, b) = (fixes.get(after.saturating_sub(1))?, fixes.get(after)?);
        let step_s = b.time_s - a.time_s;
        if step_s > GAP_S {
            return None;
        }
        let share = if step_s > 0.0 { (time_s - a.time_s) / step_s } else { 0.0 };
        let [a, b] = [a, b].map(|fix| {
            local.to_local(Geodetic::from_deg(fix.latitude_deg, fix.longitude_deg, 0.0))
        });
        Some([
            a.north() + share * (b.north() - a.north()),
            a.east() + share * (b.east() - a.east()),
        ])
    };
    let seconds = recording.duration_s() as usize;
    let grid: Vec<Option<[f64; 2]>> = (0..=seconds).map(|second| place(second as f64)).collect();
    let smooth = |k: usize| {
        let three = [grid.get(k.checked_sub(1)?)?, grid.get(k)?, grid.get(k + 1)?];
        let mut sum = [0.0; 2];
        for one in three {
            let one = (*one)?;
            sum = [sum[0] + one[0] / 3.0, sum[1] + one[1] / 3.0];
        }
        Some(sum)
    };
    let smoothed: Vec<Option<[f64; 2]>> = (0..=seconds).map(smooth).collect();
    let velocity = |k: usize| {
        let (a, b) = ((*smoothed.get(k.checked_sub(1)?)?)?, (*smoothed.get(k + 1)?)?);
        Some([0.5 * (b[0] - a[0]), 0.5 * (b[1] - a[1])])
    };
    let mut out = Bank { time_s: Vec::new(), bank_rad: Vec::new() };
    for k in 2..seconds.saturating_sub(2) {
        let (Some(a), Some(v), Some(b)) = (velocity(k - 1), velocity(k), velocity(k + 1)) else {
            continue;
        };
        let speed = hypot(v[0], v[1]);
        if speed < FLYING_MPS {
            continue;
        }
        let rate = 0.5 * wrap_pi(atan2(b[1], b[0]) - atan2(a[1], a[0]));
        out.time_s.push(k as f64);
        out.bank_rad.push(atan(speed * rate / STANDARD_GRAVITY_MPS2));
    }
    out
}

/// The recorded bank at a time, rad, linear between samples no more than two seconds apart.
fn recorded_at(series: &Series, time_s: f64) -> Option<f64> {
    let after = series.times_s.partition_point(|&t| t < time_s);
    let before = after.checked_sub(1)?;
    let (t0, t1) = (series.times_s[before], *series.times_s.get(after)?);
    if t1 - t0 > 2.0 {
        return None;
    }
    let (a, b) = (series.values[before], series.values[after]);
    Some((a + (b - a) * (time_s - t0) / (t1 - t0)) * RAD_PER_DEG)
}

/// Root mean square of the difference from the recorded bank where that is under 75 degrees, degrees, at the best shift of the
/// clock between them (s), which is that of a sensor's delay.
fn best(bank: &Bank, recorded: &Series) -> (f64, f64) {
    const SHIFT_MOST: i32 = 20;
    let at = |shift_s: f64| {
        let (mut n, mut squares) = (0.0, 0.0);
        for (time_s, value) in bank.time_s.iter().zip(&bank.bank_rad) {
            let Some(shown) = recorded_at(recorded, time_s + shift_s) else { continue };
            if shown.abs() < 75.0 * RAD_PER_DEG {
                n += 1.0;
                squares += (value - shown) * (value - shown);
            }
        }
        (squares / n).sqrt() / RAD_PER_DEG
    };
    (-SHIFT_MOST..=SHIFT_MOST)
        .map(|tenths| (at(f64::from(tenths) / 10.0), f64::from(tenths) / 10.0))
        .min_by(|a, b| a.0.total_cmp(&b.0))
        .expect("shifts")
}

fn of_motion(motion: &Motion, like: &Bank) -> Bank {
    let bank = motion.bank_rad.as_ref().expect("bank");
    let at = |time_s: &f64| bank.at(motion.place_at(*time_s).expect("a place")).0;
    Bank { time_s: like.time_s.clone(), bank_rad: like.time_s.iter().map(at).collect() }
}

/// At least a third better than the plain formula is wanted, at the same moments. Missed: rolls of four seconds are too quick for a fix
/// a second (the first file); a recorded bank that stands 1.4 degrees off all the time, in straight flight too, as much as the lateral
/// load recorded beside it says (-0.024 g: an instrument askew, or a ball out; the fifth: without that mean 0.7 degrees are left, and
/// the formula has the same mean), and 1.6 degrees (the sixth: 2.2 are left); a test flight with a parabola near nil lift (the second);
/// a clock that slips (the fourth); what is left in the others is about what the recorded attitude itself is off.
#[test]
fn val_recorded_bank_not_shown() {
    for carrier in &CARRIERS {
        let Some(bytes) = checks::recording(carrier.path) else { continue };
        let options = ReadOptions { name: carrier.path.into(), ..ReadOptions::default() };
        let mut recording = recording::read(&bytes, &options).expect("reads");
        let shown = recording.series_of(Q::BankDeg).expect("it carries bank").clone();
        recording.series.retain(|series| !WITHHELD.contains(&series.quantity));
        let plain = plain(&recording);
        let (plain_deg, plain_shift_s) = best(&plain, &shown);
        let motion = reconstruct(&recording, &Known::default()).expect("reconstructs");
        let (found_deg, found_shift_s) = best(&of_motion(&motion, &plain), &shown);
        let kinds: Vec<String> =
            recording.series.iter().map(|series| format!("{:?}", series.quantity)).collect();
        println!(
            "{}: plain {plain_deg:.2} deg at {plain_shift_s:.1} s (README {}), reconstructed {found_deg:.2} deg at \
             {found_shift_s:.1} s, {:.2} of it ({}); {} moments; with {}",
            carrier.path,
            carrier.readme_deg,
            found_deg / plain_deg,
            if found_deg <= SHARE_WANTED * plain_deg { "met" } else { "missed" },
            plain.time_s.len(),
            kinds.join(" ")
        );
        assert!(plain_deg <= carrier.plain_deg, "{}: plain {plain_deg}", carrier.path);
        assert!(found_deg <= carrier.today_deg, "{}: {found_deg}", carrier.path);
    }
}
