//! What would have come of it: numbers with uncertainty, limits looked at again, and the sentence.

use super::flown::{Doubt, FINE_S, Flown, SEA_LEVEL_DENSITY_KGPM3};
use super::fly::{Path, Script, fly};
use super::mend::{Mend, Subject, end};
use crate::attempt::Estimate;
use base::factors::{M_PER_FT, MPS_PER_KT, RAD_PER_DEG};
use base::math::hypot;
use base::numerics::random::SplitMix;
use base::written::signed;

/// One number of a re-flight beside that of the attempt.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ReflyFigure {
    /// Stable key, unit last.
    pub key: &'static str,
    /// As flown.
    pub flown: f64,
    /// With the cause mended.
    pub mended: Estimate,
}

/// An attempt flown again with one thing mended.
#[derive(Debug, Clone, PartialEq)]
pub struct Refly {
    /// What was mended.
    pub mend: Mend,
    /// The outcome in a sentence.
    pub sentence: String,
    /// Numbers.
    pub figures: Vec<ReflyFigure>,
    /// Limits that the re-flight passes, and what could not be looked at.
    pub passes: Vec<String>,
    /// Whether it may be put forward: nothing passed.
    pub offered: bool,
    /// Where it went.
    pub path: ReflyPath,
}

/// The path of a re-flight: equal-length columns every half second.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct ReflyPath {
    /// Since time zero of the recording, s.
    pub time_s: Vec<f64>,
    /// Heading turned since the start of the part, degrees, the way of the part positive.
    pub turn_deg: Vec<f64>,
    /// Over the ground, from the origin of the motion, m; empty where the motion has no place.
    pub north_m: Vec<f64>,
    /// The same east.
    pub east_m: Vec<f64>,
    /// Height, ft.
    pub height_ft: Vec<f64>,
    /// Bank, right positive, degrees.
    pub bank_deg: Vec<f64>,
    /// Path angle, degrees.
    pub path_deg: Vec<f64>,
    /// Calibrated airspeed, kt.
    pub cas_kt: Vec<f64>,
    /// Load factor, g.
    pub load_factor: Vec<f64>,
}

impl ReflyPath {
    fn of(subject: &Subject<'_>, path: &Path) -> Self {
        /// Steps between two points.
        const EVERY: usize = (0.5 / FINE_S) as usize;
        let last = end(path);
        let places = || (0..=last).filter(|k| k % EVERY == 0 || *k == last);
        let pick = |values: &[f64], scale: f64| places().map(|k| values[k] * scale).collect();
        let start_s = subject.part.time_s(subject.part.start);
        let placed = subject.part.trace.north_m.is_some() && subject.part.trace.east_m.is_some();
        let ground = |values: &[f64]| if placed { pick(values, 1.0) } else { Vec::new() };
        Self {
            time_s: places().map(|k| start_s + k as f64 * FINE_S).collect(),
            turn_deg: pick(&path.turn_rad, 1.0 / RAD_PER_DEG),
            north_m: ground(&path.north_m),
            east_m: ground(&path.east_m),
            height_ft: pick(&path.height_m, 1.0 / M_PER_FT),
            bank_deg: pick(&path.bank_rad, subject.flown.sign / RAD_PER_DEG),
            path_deg: pick(&path.path_rad, 1.0 / RAD_PER_DEG),
            cas_kt: pick(&path.calibrated_mps, 1.0 / MPS_PER_KT),
            load_factor: pick(&path.load, 1.0),
        }
    }
}

impl Refly {
    /// Share of the error of an outcome that is gone with the cause mended, 1 for all of it, below nil when it grows; `None` when there
    /// was hardly an error.
    #[must_use]
    pub fn explains(&self, key: &str) -> Option<f64> {
        let figure = self.figures.iter().find(|figure| figure.key == key)?;
        let (flown, mended) = (figure.flown.abs(), figure.mended.value.abs());
        (flown > figure.mended.sigma).then(|| 1.0 - mended / flown)
    }
}

/// Draws of the posterior.
const SAMPLES: usize = 8;
/// Doubt of the polar, as shares: drag without lift, drag of lift, incidence; and of the fall of thrust with speed.
const POLAR_DOUBT: [f64; 4] = [0.2, 0.25, 0.2, 0.25];
/// Another hand, the same plan: what two honest answers differ by (common practice, no source), degrees, ft, kt.
const HAND_HEADING_DEG: f64 = 2.5;
const HAND_HEIGHT_FT: f64 = 20.0;
const HAND_SPEED_KT: f64 = 2.0;
const HAND_LOAD_G: f64 = 0.05;

/// A re-flight that ends so much farther from its entry height, or takes so much longer, has run away.
const RUNS_AWAY_FT: f64 = 600.0;
const RUNS_AWAY_TIMES: f64 = 2.0;
const RUNS_AWAY_S: f64 = 10.0;
/// The numbers read off a path: heading error, height change, end speed, slowest, greatest load, seconds.
const KEYS: [(&str, f64); COUNT] = [
    ("heading_error_deg", HAND_HEADING_DEG),
    ("height_change_at_end_ft", HAND_HEIGHT_FT),
    ("cas_at_end_kt", HAND_SPEED_KT),
    ("cas_least_kt", HAND_SPEED_KT),
    ("load_factor_greatest_g", HAND_LOAD_G),
    ("duration_s", 0.5),
    ("airspeed_change_at_end_kt", HAND_SPEED_KT),
];
const COUNT: usize = 7;

fn numbers(path: &Path, wanted_deg: f64) -> [f64; COUNT] {
    let last = end(path);
    let least = path.calibrated_mps.iter().copied().fold(f64::INFINITY, f64::min);
    [
        path.turn_rad[last] / RAD_PER_DEG - wanted_deg,
        (path.height_m[last] - path.height_m[0]) / M_PER_FT,
        path.calibrated_mps[last] / MPS_PER_KT,
        least / MPS_PER_KT,
        path.load.iter().copied().fold(f64::NEG_INFINITY, f64::max),
        last as f64 * FINE_S,
        (path.calibrated_mps[last] - path.calibrated_mps[0]) / MPS_PER_KT,
    ]
}

/// Flies it, with its band.
/// `None` when the flight runs away: an answer that far off is no answer.
pub(crate) fn tell(subject: &Subject<'_>, mend: Mend, script: &Script) -> Option<Refly> {
    let wanted_deg = subject.part.turn_wanted_deg;
    let path = fly(subject.flown, script, subject.polar);
    let as_flown = fly(subject.flown, &subject.null(), subject.polar);
    let (mended, flown) = (numbers(&path, wanted_deg), numbers(&as_flown, wanted_deg));
    let runs_away = mended[1].abs() > flown[1].abs() + RUNS_AWAY_FT
        || mended[5] > RUNS_AWAY_TIMES * flown[5] + RUNS_AWAY_S;
    if runs_away {
        return None;
    }
    let spread = spread(subject, mend, mended);
    let figures: Vec<ReflyFigure> = (0..KEYS.len())
        .map(|i| ReflyFigure {
            key: KEYS[i].0,
            flown: flown[i],
            mended: Estimate { value: mended[i], sigma: hypot(spread[i], KEYS[i].1) },
        })
        .collect();
    let passes = passes(subject, &path);
    let offered = !passes.iter().any(|line| line.starts_with("passes"));
    let sentence = sentence(subject, mend, &flown, &mended);
    let path = ReflyPath::of(subject, &path);
    Some(Refly { mend, sentence, figures, passes, offered, path })
}

/// Standard deviations over draws of the posterior and of the polar; about the most likely outcome.
fn spread(subject: &Subject<'_>, mend: Mend, about: [f64; COUNT]) -> [f64; COUNT] {
    let mut dice = SplitMix::new(20_261_126);
    let mut squares = [0.0; COUNT];
    let mut used = 0.0;
    for _ in 0..SAMPLES {
        let polar = subject.polar.shifted(POLAR_DOUBT.map(|share| share * dice.normal()));
        let doubt = Doubt { speed: dice.normal(), bank: dice.normal(), path: dice.normal() };
        let drawn = Flown::of(subject.part, &polar, doubt);
        let Some(flown) = drawn else { continue };
        let subject = Subject { flown: &flown, polar: &polar, ..*subject };
        let Some(script) = mend.script(&subject) else { continue };
        let there = numbers(&fly(&flown, &script, &polar), subject.part.turn_wanted_deg);
        used += 1.0;
        for i in 0..COUNT {
            squares[i] += (there[i] - about[i]) * (there[i] - about[i]);
        }
    }
    squares.map(|square| if used > 0.0 { (square / used).sqrt() } else { f64::INFINITY })
}

/// Limits looked at again on the path flown anew.
fn passes(subject: &Subject<'_>, path: &Path) -> Vec<String> {
    let mut out = Vec::new();
    out.extend(below_floor(subject, path));
    let most = path.load.iter().copied().fold(f64::NEG_INFINITY, f64::max);
    let Some(airplane) = subject.part.airplane else {
        out.extend(against_what_is_shown(subject, path, most));
        return out;
    };
    if let Some(category) = airplane.category(airplane.masses.typical) {
        let limit = category.load_factor_max.to_g();
        if most > limit {
            out.push(format!("passes the limit load: {most:.1} of {limit:.1} g"));
        }
    }
    let never_exceed = airplane.calibrated(airplane.speeds.never_exceed).to_mps();
    let fastest = path.calibrated_mps.iter().copied().fold(f64::NEG_INFINITY, f64::max);
    if fastest > never_exceed {
        out.push(format!(
            "passes the never-exceed speed: {:.0} of {:.0} kt calibrated",
            fastest / MPS_PER_KT,
            never_exceed / MPS_PER_KT
        ));
    }
    if let Some(per_pa) = subject.polar.lift_most_per_pa {
        let margin = |k: usize| {
            let share = (path.load[k].max(0.0) / (per_pa * path.pressure_pa[k])).sqrt();
            path.calibrated_mps[k] * (1.0 - share) / MPS_PER_KT
        };
        let least = (0..path.load.len()).map(margin).fold(f64::INFINITY, f64::min);
        if least < 0.0 {
            out.push(format!("passes the stall: {:.0} kt below it at that load", -least));
        }
    }
    out
}

/// Limit load of the normal category (14 CFR 23.337 before 2017, from memory): the least of those that light airplanes are built to.
const NORMAL_LIMIT_G: f64 = 3.8;

/// Where the airplane is not stated: the load against the least limit of its class, the lift against the most that the wing gave
/// anywhere in this flight, which it can give again.
fn against_what_is_shown(subject: &Subject<'_>, path: &Path, load_most: f64) -> Vec<String> {
    let unstated = "the airplane is not stated";
    let mut out = vec![if load_most > NORMAL_LIMIT_G {
        format!(
            "passes {NORMAL_LIMIT_G:.1} g, the limit load of the normal category: {load_most:.1} g; {unstated}"
        )
    } else {
        format!("load within {NORMAL_LIMIT_G:.1} g, the limit of the normal category; {unstated}")
    }];
    let asked = path.load.iter().zip(&path.pressure_pa).map(|(load, pa)| load / pa);
    let asked = asked.fold(f64::NEG_INFINITY, f64::max);
    out.push(match lift_shown_per_pa(subject.part.trace) {
        Some(shown) if asked > shown => format!(
            "passes the greatest lift that the wing gave in this flight, by {:.0} %: whether it stalls cannot be told, as {unstated}",
            100.0 * (asked / shown - 1.0)
        ),
        Some(_) => {
            format!("asks no more lift than the wing gave elsewhere in this flight; stall speed not known, as {unstated}")
        }
        None => format!("stall not looked at: {unstated}, and the recording shows no load"),
    });
    out
}

/// Greatest load per Pa of impact pressure that was flown, the mean over a second.
fn lift_shown_per_pa(trace: &crate::trace::Trace) -> Option<f64> {
    let load = trace.load_factor.as_ref()?;
    let lift = |i: usize| {
        let calibrated_mps = trace.cas_kt.value[i] * MPS_PER_KT;
        let pressure_pa = 0.5 * SEA_LEVEL_DENSITY_KGPM3 * calibrated_mps * calibrated_mps;
        (trace.usable[i] && pressure_pa > 1.0).then(|| load.value[i] / pressure_pa)
    };
    let lifts: Vec<f64> = (0..trace.len()).map(|i| lift(i).unwrap_or(0.0)).collect();
    let smoothed = crate::trace::smooth(&lifts, 2);
    smoothed.into_iter().max_by(f64::total_cmp).filter(|most| *most > 0.0)
}

/// The floor of the maneuver over the ground.
fn below_floor(subject: &Subject<'_>, path: &Path) -> Option<String> {
    let ground_m = subject.intent.ground_m?;
    let floor = maneuver::catalog::find(subject.part.maneuver)?.floor().above_ground.to_m();
    let lowest = path.height_m.iter().copied().fold(f64::INFINITY, f64::min) - ground_m;
    (lowest < floor).then(|| {
        format!(
            "passes the floor: {:.0} ft above the ground, {:.0} ft asked",
            lowest / M_PER_FT,
            floor / M_PER_FT
        )
    })
}

/// "roll-out begun at 92 instead of 71 degrees of turn, all else as flown: heading error 2 instead of 18 degrees, exit 4 kt slower".
fn sentence(
    subject: &Subject<'_>,
    mend: Mend,
    flown: &[f64; COUNT],
    mended: &[f64; COUNT],
) -> String {
    let mut told = Vec::new();
    if subject.part.turn_wanted_deg > 0.0 && (flown[0] - mended[0]).abs() >= 2.0 {
        told.push(format!(
            "heading error {:.0} instead of {:.0} degrees",
            mended[0].abs(),
            flown[0].abs()
        ));
    }
    if (flown[1] - mended[1]).abs() >= 20.0 {
        let [after, before] = [mended[1], flown[1]].map(|height| signed(height, 0));
        told.push(format!("height change {after} instead of {before} ft"));
    }
    let faster = mended[2] - flown[2];
    if faster.abs() >= 1.0 {
        let word = if faster > 0.0 { "faster" } else { "slower" };
        told.push(format!("exit {:.0} kt {word}", faster.abs()));
    }
    let least = mended[3] - flown[3];
    if (least - faster).abs() >= 2.0 && least.abs() >= 2.0 {
        told.push(format!("slowest {:.0} instead of {:.0} kt", mended[3], flown[3]));
    }
    if (flown[5] - mended[5]).abs() >= 3.0 {
        told.push(format!("{:.0} instead of {:.0} s", mended[5], flown[5]));
    }
    if told.is_empty() {
        told.push("much the same".into());
    }
    format!("{}, all else as flown: {}", mend.deed(subject), told.join(", "))
}
