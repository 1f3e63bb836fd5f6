//! Rectangular course: four quarter turns one way with straight legs between, height and speed kept, opposite legs alike.
//!
//! What it is told from is the circuit of a landing ground, which has the same corners and goes down and up again in them, and a
//! flight whose legs happen to turn one way. Linear in the number of turns.

mod ordinary;
mod rectangular_course;

use super::lobe::Lobe;
use super::signature::{Signature, Weighed};
use super::{Claim, FoundPart, Phases, Scene};
use crate::trace::{STEP_S, spread};
use base::factors::{MPS_PER_KT, RAD_PER_DEG};
use base::math::{atan2, exp, hypot, ln, wrap_pi};
use maneuver::definition::Progress;

/// Number of features.
const N: usize = 8;

/// Names of the features, in the order of the arrays.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Feature {
    /// Degrees turned in the four corners together.
    Turn,
    /// How far a corner is from their mean, root mean square, degrees.
    Uneven,
    /// Greatest less least height, ft.
    Heights,
    /// Greatest less least airspeed as a share of the mean.
    Speeds,
    /// Logarithm of the ratio of the first leg over the ground to the one opposite.
    Opposite,
    /// Logarithm of the minutes of a leg in the mean.
    Leg,
    /// Mean bank in the corners, degrees.
    Bank,
    /// How much squarer the legs are over the ground than through the air: logarithm of the ratio of how far the angles between them
    /// are from a right one. Below nil where the track is kept against the wind.
    Square,
}

/// How four turns one way tend to look.
type Course = Signature<N>;

/// Everything that competes to explain them.
const ALL: &[&[Course]] = &[rectangular_course::ALL, ordinary::ALL];

/// A corner turns so much, degrees; a leg lasts so long, s.
const CORNER_DEG: (f64, f64) = (45.0, 140.0);
const LEG_S: (f64, f64) = (4.0, 180.0);
/// Height and length of a leg are known no better than this by what happens in the corners, ft and as a share.
const HEIGHT_SIGMA_FT: f64 = 20.0;
const LEG_SIGMA: f64 = 0.08;

/// Everything that may be a rectangular course.
pub(super) fn claims(scene: &Scene<'_>, lobes: &[Lobe]) -> Vec<Claim> {
    lobes
        .windows(4)
        .filter(|four| is_round(scene, four))
        .filter_map(|four| claim(scene, four))
        .collect()
}

/// Degrees turned in a corner, to a second after wings level.
fn turned(scene: &Scene<'_>, corner: &Lobe) -> f64 {
    let heading = &scene.trace.heading_deg.value;
    let end = (corner.last + (1.0 / STEP_S) as usize).min(heading.len() - 1);
    corner.direction.sign() * (heading[end] - heading[corner.start])
}

/// Whether four turns are corners with legs between, all one way and in the air.
fn is_round(scene: &Scene<'_>, four: &[Lobe]) -> bool {
    let corner = |lobe: &Lobe| {
        let turned = turned(scene, lobe);
        lobe.direction == four[0].direction && CORNER_DEG.0 < turned && turned < CORNER_DEG.1
    };
    let leg = |two: &[Lobe]| {
        let seconds = STEP_S * two[1].first.saturating_sub(two[0].last) as f64;
        LEG_S.0 < seconds && seconds < LEG_S.1
    };
    let flown = || scene.trace.usable[four[0].start..=four[3].last].iter().all(|usable| *usable);
    four.iter().all(corner) && four.windows(2).all(leg) && flown()
}

/// Way over the ground from the end of one turn to the begin of the next, m; along the air where no positions are known.
fn leg_m(scene: &Scene<'_>, from: &Lobe, to: &Lobe) -> f64 {
    let trace = scene.trace;
    match (&trace.north_m, &trace.east_m) {
        (Some(north), Some(east)) => {
            let way = |line: &crate::trace::Line| line.value[to.first] - line.value[from.last];
            hypot(way(north), way(east)).max(1.0)
        }
        _ => (to.first - from.last).max(1) as f64,
    }
}

/// See [`Feature::Square`], and how well it is known: in a calm both are the same.
fn square(scene: &Scene<'_>, four: &[Lobe]) -> (f64, f64) {
    /// Angles that are right enough: nobody flies them better, degrees.
    const RIGHT_DEG: f64 = 3.0;
    const WINDY_SIGMA: f64 = 0.25;
    const CALM_SIGMA: f64 = 2.5;
    const CALM_SHARE: f64 = 0.04;
    let trace = scene.trace;
    let (Some(north), Some(east), Some(wind)) = (&trace.north_m, &trace.east_m, &trace.wind_mps)
    else {
        return (0.0, CALM_SIGMA);
    };
    let legs: Vec<(usize, usize)> =
        four.windows(2).map(|two| (two[0].last, two[1].first)).collect();
    let track_deg = |leg: &(usize, usize)| {
        let way = |line: &crate::trace::Line| line.value[leg.1] - line.value[leg.0];
        atan2(way(east), way(north)) / RAD_PER_DEG
    };
    let heading_deg = |leg: &(usize, usize)| trace.heading_deg.value[usize::midpoint(leg.0, leg.1)];
    let off = |of: &dyn Fn(&(usize, usize)) -> f64| {
        let turns = legs.windows(2).map(|two| {
            let turn = wrap_pi((of(&two[1]) - of(&two[0])) * RAD_PER_DEG) / RAD_PER_DEG;
            (turn.abs() - 90.0) * (turn.abs() - 90.0)
        });
        (0.5 * turns.sum::<f64>()).sqrt() + RIGHT_DEG
    };
    let at = four[1].last;
    let wind_mps = hypot(wind[0][at], wind[1][at]);
    let calm = exp(-wind_mps / (CALM_SHARE * MPS_PER_KT * trace.cas_kt.value[at].max(1.0)));
    (ln(off(&track_deg) / off(&heading_deg)), WINDY_SIGMA + CALM_SIGMA * calm)
}

fn read(scene: &Scene<'_>, four: &[Lobe]) -> ([f64; N], [f64; N]) {
    let trace = scene.trace;
    let all = four[0].start..=four[3].last;
    let mean = |values: &[f64]| values.iter().sum::<f64>() / values.len().max(1) as f64;
    let turns: Vec<f64> = four.iter().map(|corner| turned(scene, corner)).collect();
    let total: f64 = turns.iter().sum();
    let uneven = turns.iter().map(|turn| (turn - 0.25 * total) * (turn - 0.25 * total));
    let speeds = &scene.signals.speed[all.clone()];
    let legs_s: Vec<f64> =
        four.windows(2).map(|two| STEP_S * (two[1].first - two[0].last) as f64).collect();
    let bank = |corner: &Lobe| {
        let banks = &trace.bank_deg.value[corner.first..=corner.last];
        banks.iter().map(|bank| bank.abs()).sum::<f64>() / banks.len() as f64
    };
    let banks: Vec<f64> = four.iter().map(bank).collect();
    let opposite = ln(leg_m(scene, &four[0], &four[1]) / leg_m(scene, &four[2], &four[3]));
    let (square, square_sigma) = square(scene, four);
    let value = [
        total,
        (0.25 * uneven.sum::<f64>()).sqrt(),
        spread(&trace.height_ft.value[all]),
        spread(speeds) / mean(speeds).max(1.0),
        opposite,
        ln(mean(&legs_s) / 60.0),
        mean(&banks),
        square,
    ];
    let at = four[1].last;
    let heading = trace.heading_deg.sigma[at].min(10.0);
    let speed = trace.cas_kt.sigma[at] / mean(speeds).max(1.0);
    let bank = trace.bank_deg.sigma[at];
    let sigma =
        [2.0 * heading, heading, HEIGHT_SIGMA_FT, speed, LEG_SIGMA, 0.05, bank, square_sigma];
    (value, sigma)
}

fn claim(scene: &Scene<'_>, four: &[Lobe]) -> Option<Claim> {
    let (value, sigma) = read(scene, four);
    let likeliest = Weighed::new(ALL, &value, &sigma).best()?;
    let get = |feature: Feature| value[feature as usize];
    let looks = format!(
        "four corners to the {} of {:.0}° together (each within {:.0}°, {:.0}° of bank), legs of {:.0} s, opposite ones within {:.0} %, \
         angles between them {:.0} % as far from square over the ground as through the air, height within {:.0} ft, airspeed within {:.0} %",
        four[0].direction.word(),
        get(Feature::Turn),
        get(Feature::Uneven),
        get(Feature::Bank),
        60.0 * exp(get(Feature::Leg)),
        100.0 * (exp(get(Feature::Opposite).abs()) - 1.0),
        100.0 * exp(get(Feature::Square)),
        get(Feature::Heights),
        100.0 * get(Feature::Speeds),
    );
    let end = (four[3].last + 1).min(scene.trace.len() - 1);
    let part = FoundPart {
        direction: Some(four[0].direction),
        progress: Progress::Turn,
        start: four[0].start,
        end,
        level: four[3].last,
        phases: Phases::default(),
    };
    Some(likeliest.claim(looks, vec![part]))
}
