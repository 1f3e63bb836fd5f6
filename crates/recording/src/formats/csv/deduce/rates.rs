//! Units of rates: of the body by the attitude they change, of a device by the turns of the track.

use super::super::build::Table;
use super::super::meanings::{Dimension, Meaning};
use super::{PAIRS_LEAST, assume, greatest, known, open, slope};
use crate::normal::QuantityKind as Q;
use crate::normal::assemble::{Draft, median};
use crate::normal::oddities::suspect;
use base::factors::RAD_PER_DEG;
use base::math;

/// Roll and pitch rate against the attitude they change; the rates of one file share their unit.
pub(super) fn settle_rates(table: &mut Table, draft: &mut Draft) {
    let body = [Q::RollRateRadps, Q::PitchRateRadps, Q::YawRateRadps];
    let rates: Vec<usize> =
        body.into_iter().filter_map(|quantity| open(table, Meaning::Sensor(quantity))).collect();
    if rates.is_empty() {
        contradicted(table, draft);
        return;
    }
    let by_attitude = OF_ATTITUDE.into_iter().find_map(|(rate, attitude)| {
        let rate_at = open(table, Meaning::Sensor(rate))?;
        let slope = attitude_by_rate(table, rate_at, attitude)?;
        let miss = |expected: f64| math::ln(slope / expected).abs();
        match slope {
            _ if miss(1.0) < 0.3 => Some(("deg/s", slope)),
            _ if miss(1.0 / RAD_PER_DEG) < 0.3 => Some(("rad/s", slope)),
            _ => None,
        }
    });
    let most = rates.iter().map(|&at| greatest(&table.numbers[at])).fold(0.0, f64::max);
    let (name, why) = match by_attitude {
        Some((name, slope)) => (name, format!("the attitude turns {slope:.2} deg for each of it")),
        None if most > 7.0 => ("deg/s", format!("values of {most:.1} are no rad/s of an airplane")),
        None => return,
    };
    let found = known(Dimension::Rate, if name == "deg/s" { "deg/s" } else { "rad/s" });
    for at in rates {
        assume(table, at, &found, &why, draft);
    }
}

/// Rates and the angles they change.
const OF_ATTITUDE: [(Q, Q); 2] = [(Q::RollRateRadps, Q::BankDeg), (Q::PitchRateRadps, Q::PitchDeg)];

/// Degrees that an attitude turns for each unit of its rate, where the one explains the other.
fn attitude_by_rate(table: &Table, rate_at: usize, attitude: Q) -> Option<f64> {
    let attitude_at = table.find(Meaning::Sensor(attitude))?;
    table.columns[attitude_at].unit.as_ref()?;
    let steps = angle_steps(&table.times_s, &table.numbers[rate_at], &table.numbers[attitude_at]);
    slope(&steps).filter(|slope| *slope > 0.0)
}

/// Rates of a stated unit that the attitude contradicts.
fn contradicted(table: &Table, draft: &mut Draft) {
    for (rate, attitude) in OF_ATTITUDE {
        let Some(at) = table.find(Meaning::Sensor(rate)) else { continue };
        let Some(slope) = attitude_by_rate(table, at, attitude) else { continue };
        let ratio = slope * RAD_PER_DEG;
        if math::ln(ratio).abs() < 0.7 {
            continue;
        }
        let near = |factor: f64| math::ln(ratio / factor).abs() < 0.3;
        let cause = match () {
            () if near(RAD_PER_DEG) => Some("deg/s read as rad/s would do that".to_owned()),
            () if near(1.0 / RAD_PER_DEG) => Some("rad/s read as deg/s would do that".to_owned()),
            () => None,
        };
        let name = &table.columns[at].name;
        let what =
            format!("{} turns {ratio:.3} times as fast as column {name} says", attitude.title());
        suspect(draft, &what, cause);
    }
}

/// Device axes: an airplane in a steady turn rotates about as fast as its track does (pitch and roll come on top, so
/// the length of the vector is a little larger), and radians and degrees are a factor of 57 apart.
pub(super) fn settle_device_rates(
    table: &mut Table,
    rows: &[usize],
    clock_s: &[f64],
    draft: &mut Draft,
) {
    let axes = [Q::DeviceRateXRadps, Q::DeviceRateYRadps, Q::DeviceRateZRadps]
        .map(|quantity| open(table, Meaning::Sensor(quantity)));
    let [Some(x), Some(y), Some(z)] = axes else { return };
    let lengths: Vec<(f64, f64)> = (0..table.times_s.len())
        .map(|row| {
            let (a, b, c) = (table.numbers[x][row], table.numbers[y][row], table.numbers[z][row]);
            (table.times_s[row], math::hypot(math::hypot(a, b), c))
        })
        .filter(|(time_s, length)| time_s.is_finite() && length.is_finite())
        .collect();
    let mut ratios = Vec::new();
    for (from_s, to_s, rate_radps) in turns(table, rows, clock_s) {
        let start = lengths.partition_point(|(time_s, _)| *time_s < from_s);
        let inside = lengths[start..].iter().take_while(|(time_s, _)| *time_s <= to_s);
        if let Some(length) = median(inside.map(|(_, length)| *length).collect()) {
            ratios.push(length / rate_radps);
        }
    }
    let count = ratios.len();
    let Some(ratio) = median(ratios).filter(|_| count >= PAIRS_LEAST) else { return };
    let name = match ratio {
        r if (0.5..3.0).contains(&r) => "rad/s",
        r if (0.5..3.0).contains(&(r * RAD_PER_DEG)) => "deg/s",
        _ => return,
    };
    let why =
        format!("the three axes read {ratio:.2} for each rad/s the track turns ({count} steps)");
    for at in [x, y, z] {
        assume(table, at, &known(Dimension::Rate, name), &why, draft);
    }
}

/// Steps between fixes in which the track turns at 4 deg/s or more: from, to and rate.
fn turns(table: &Table, rows: &[usize], clock_s: &[f64]) -> Vec<(f64, f64, f64)> {
    let Some(track) = table.values(Meaning::Track) else { return Vec::new() };
    rows.windows(2)
        .filter_map(|pair| {
            let step_s = clock_s[pair[1]] - clock_s[pair[0]];
            let turned = math::wrap_pi((track[pair[1]] - track[pair[0]]) * RAD_PER_DEG).abs();
            let rate = turned / step_s;
            let turning = step_s > 0.0 && step_s < 3.0 && rate > 4.0 * RAD_PER_DEG && rate < 0.7;
            turning.then_some((clock_s[pair[0]], clock_s[pair[1]], rate))
        })
        .collect()
}

/// Integral of the rate and change of the angle from row to row.
fn angle_steps(times_s: &[f64], rate: &[f64], angle_deg: &[f64]) -> Vec<(f64, f64)> {
    (1..times_s.len())
        .filter_map(|row| {
            let step_s = times_s[row] - times_s[row - 1];
            let turned = angle_deg[row] - angle_deg[row - 1];
            let integral = 0.5 * (rate[row] + rate[row - 1]) * step_s;
            let usable =
                step_s > 0.0 && step_s < 3.0 && turned.abs() < 90.0 && integral.is_finite();
            usable.then_some((integral, turned))
        })
        .collect()
}
