//! Rolling on a heading: bank to one side and to the other, again and again, without turning.
//!
//! What it is told from is rough air, which rocks the wings less and unevenly, and one turn after another, whose heading swings.
//! Quick rolls show in an attitude alone: a path of one fix a second knows nothing of a bank that stands for a second. Linear in the
//! length of the recording.

mod ordinary;
mod rolling_on_a_heading;

use super::signature::{Signature, Weighed};
use super::{Claim, FoundPart, Phases, Scene};
use crate::trace::{STEP_S, spread};
use base::math::{exp, ln};
use maneuver::Direction;
use maneuver::definition::Progress;

/// Number of features.
const N: usize = 6;

/// Names of the features, in the order of the arrays.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Feature {
    /// Logarithm of the number of swings.
    Swings,
    /// Mean of the banks reached, degrees.
    Bank,
    /// How far they are from their mean, root mean square, as a share of it.
    Uneven,
    /// Logarithm of the seconds of a swing in the mean.
    Lasting,
    /// Greatest less least heading, degrees.
    Headings,
    /// Greatest less least height, ft.
    Heights,
}

/// How rocking wings tend to look.
type Rolling = Signature<N>;

/// Everything that competes to explain them.
const ALL: &[&[Rolling]] = &[rolling_on_a_heading::ALL, ordinary::ALL];

/// A swing goes from wings level through a bank of so much at the least, degrees, and back within this time, s.
const BANK_LEAST_DEG: f64 = 8.0;
const SWING_MOST_S: f64 = 12.0;
/// A bank this small is level: an unsteady hand does not end a swing, degrees.
const LEVEL_DEG: f64 = 2.0;
/// Fewer swings are no rolling.
const SWINGS_LEAST: usize = 3;

/// One swing: to a bank and back; indices into the trace.
#[derive(Debug, Clone, Copy)]
struct Swing {
    first: usize,
    last: usize,
    /// Right positive.
    bank_deg: f64,
}

/// Everything that may be rolling on a heading.
pub(super) fn claims(scene: &Scene<'_>) -> Vec<Claim> {
    let bank = scene.bank_deg();
    let swings = swings(scene, bank);
    let follows = |before: &Swing, after: &Swing| {
        after.bank_deg * before.bank_deg < 0.0
            && after.first <= before.last + (1.0 / STEP_S) as usize
    };
    swings
        .chunk_by(follows)
        .filter(|run| run.len() >= SWINGS_LEAST)
        .filter_map(|run| claim(scene, run))
        .collect()
}

/// Stretches beyond level, one way each, that reach a bank and are over soon.
fn swings(scene: &Scene<'_>, bank: &[f64]) -> Vec<Swing> {
    let mut swings: Vec<Swing> = Vec::new();
    let mut open: Option<Swing> = None;
    for (i, &bank) in bank.iter().enumerate() {
        let beyond = bank.abs() > LEVEL_DEG && scene.trace.usable[i];
        open = match (open, beyond) {
            (Some(swing), true) if swing.bank_deg * bank > 0.0 => {
                let steeper = bank.abs() > swing.bank_deg.abs();
                let bank_deg = if steeper { bank } else { swing.bank_deg };
                Some(Swing { last: i, bank_deg, ..swing })
            }
            (ended, beyond) => {
                swings.extend(ended);
                beyond.then_some(Swing { first: i, last: i, bank_deg: bank })
            }
        };
    }
    swings.extend(open);
    let most = (SWING_MOST_S / STEP_S) as usize;
    swings
        .retain(|swing| swing.bank_deg.abs() >= BANK_LEAST_DEG && swing.last - swing.first <= most);
    swings
}

fn read(scene: &Scene<'_>, run: &[Swing]) -> ([f64; N], [f64; N]) {
    let trace = scene.trace;
    let n = run.len() as f64;
    let all = run[0].first..=run[run.len() - 1].last;
    let mean = run.iter().map(|swing| swing.bank_deg.abs()).sum::<f64>() / n;
    let off = |swing: &Swing| (swing.bank_deg.abs() - mean) * (swing.bank_deg.abs() - mean);
    let uneven = (run.iter().map(off).sum::<f64>() / n).sqrt() / mean;
    let seconds = STEP_S * (all.end() - all.start()).max(1) as f64 / n;
    let value = [
        ln(n),
        mean,
        uneven,
        ln(seconds),
        spread(&trace.heading_deg.value[all.clone()]),
        spread(&trace.height_ft.value[all.clone()]),
    ];
    let at = usize::midpoint(*all.start(), *all.end());
    let bank = trace.bank_deg.sigma[at];
    (value, [0.1, bank, bank / mean, 0.1, 2.0 * trace.heading_deg.sigma[at].min(10.0), 10.0])
}

fn claim(scene: &Scene<'_>, run: &[Swing]) -> Option<Claim> {
    let (value, sigma) = read(scene, run);
    let likeliest = Weighed::new(ALL, &value, &sigma).best()?;
    let get = |feature: Feature| value[feature as usize];
    let looks = format!(
        "{:.0} swings of {:.0}° of bank (within {:.0} %), {:.1} s each, heading within {:.0}°, height within {:.0} ft",
        exp(get(Feature::Swings)),
        get(Feature::Bank),
        100.0 * get(Feature::Uneven),
        exp(get(Feature::Lasting)),
        get(Feature::Headings),
        get(Feature::Heights),
    );
    let (start, end) = (run[0].first.saturating_sub(1), run[run.len() - 1].last + 1);
    let end = end.min(scene.trace.len() - 1);
    let mut marks = vec![(start, 0.0)];
    marks.extend(run.iter().enumerate().map(|(k, swing)| (swing.last, 100.0 * (k + 1) as f64)));
    let way = if run[0].bank_deg < 0.0 { Direction::Left } else { Direction::Right };
    let part = FoundPart {
        direction: Some(way),
        progress: Progress::Phase,
        start,
        end,
        level: end,
        phases: Phases::new(&marks),
    };
    Some(likeliest.claim(looks, vec![part]))
}
