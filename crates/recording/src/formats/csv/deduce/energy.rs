//! Units of airspeeds without positions, by the trade of speed for height.

use super::super::build::Table;
use super::super::meanings::{Dimension, Meaning};
use super::{CLIMB_SPAN_S, PAIRS_LEAST, assume, known, open};
use crate::normal::QuantityKind as Q;
use crate::normal::assemble::Draft;
use base::factors::STANDARD_GRAVITY_MPS2;
use base::math;

/// Share of the changes of speed squared that height must explain; the rest is power, drag and gusts.
const TRADE_EXPLAINED_LEAST: f64 = 0.25;
/// How far the trade may be from a unit's, natural logarithm: the squares of knots and m/s are 1.33 apart, and eight
/// recordings with known units (panel logs of trainers and a jet) stay within 0.25.
const TRADE_MISS: f64 = 0.4;

/// Without positions, by energy: an airplane trades speed for height, so that the square of its speed falls by twice gravity
/// for each meter it climbs; what power and drag sustain over longer is taken out by differencing twice. The square of a
/// unit tells knots, m/s and km/h well apart; miles per hour are too near to knots to be told.
pub(super) fn settle_airspeeds_by_energy(table: &mut Table, draft: &mut Draft) {
    let airspeeds = [Q::IndicatedAirspeedMps, Q::CalibratedAirspeedMps, Q::TrueAirspeedMps];
    let altimeters = [Q::IndicatedAltitudeM, Q::PressureAltitudeM].map(Meaning::Sensor);
    let height = altimeters
        .iter()
        .filter_map(|meaning| table.find(*meaning))
        .find(|&at| table.columns[at].unit.is_some());
    let Some(height) = height else { return };
    let column = |q: &Q| open(table, Meaning::Sensor(*q));
    let open_columns: Vec<usize> = airspeeds.iter().filter_map(column).collect();
    let found = open_columns.iter().find_map(|&at| {
        let trade = trade(&table.times_s, &table.numbers[at], &table.numbers[height])?;
        let square = |name: &str| {
            let factor = known(Dimension::Speed, name).factor;
            factor * factor
        };
        let miss = |name: &&str| math::ln(trade.ratio * square(name)).abs();
        let best = ["m/s", "kt", "km/h"].into_iter().min_by(|a, b| miss(a).total_cmp(&miss(b)))?;
        (miss(&best) < TRADE_MISS).then(|| {
            let why = format!(
                "the square of {} and the height trade {:.2} to one, of which {:.2} is expected in {best} ({} changes, share explained {:.2}; miles per hour not considered)",
                table.columns[at].name,
                trade.ratio,
                1.0 / square(best),
                trade.count,
                trade.explained
            );
            (best, why)
        })
    });
    let Some((name, why)) = found else { return };
    for at in open_columns {
        assume(table, at, &known(Dimension::Speed, name), &why, draft);
    }
}

/// How the square of a speed follows the height.
struct Trade {
    /// Change of the square for each m2/s2 of potential energy times two.
    ratio: f64,
    explained: f64,
    count: usize,
}

/// Second differences over [`CLIMB_SPAN_S`] of the speed squared against those of height; the slope of the reduced major
/// axis, since both carry the noise of what is not traded.
fn trade(times_s: &[f64], speed: &[f64], height_m: &[f64]) -> Option<Trade> {
    let mut points: Vec<(f64, f64, f64)> = Vec::new();
    for row in 0..times_s.len() {
        let (time_s, v, h) = (times_s[row], speed[row], height_m[row]);
        let finite = time_s.is_finite() && v.is_finite() && h.is_finite();
        if finite && points.last().is_none_or(|last| time_s - last.0 >= CLIMB_SPAN_S) {
            points.push((time_s, v * v, -2.0 * STANDARD_GRAVITY_MPS2 * h));
        }
    }
    let whole = |three: &&[(f64, f64, f64)]| three[2].0 - three[0].0 < 3.0 * CLIMB_SPAN_S;
    let pairs: Vec<(f64, f64)> = points
        .windows(3)
        .filter(whole)
        .map(|three| {
            let bend = |get: fn(&(f64, f64, f64)) -> f64| {
                get(&three[2]) - 2.0 * get(&three[1]) + get(&three[0])
            };
            (bend(|point| point.2), bend(|point| point.1))
        })
        .collect();
    let sum = |product: fn(&(f64, f64)) -> f64| pairs.iter().map(product).sum::<f64>();
    let (xx, xy, yy) = (sum(|p| p.0 * p.0), sum(|p| p.0 * p.1), sum(|p| p.1 * p.1));
    let explained = xy * xy / (xx * yy);
    let enough = pairs.len() >= 3 * PAIRS_LEAST && xy > 0.0 && explained > TRADE_EXPLAINED_LEAST;
    enough.then(|| Trade { ratio: (yy / xx).sqrt(), explained, count: pairs.len() })
}
