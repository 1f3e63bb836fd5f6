//! The offset between two clocks: stated by both, then refined by what both recorded; or found by that alone.

use super::MergeError;
use super::signals::{Signals, step_s};
use crate::normal::assemble::{distance_m, median};
use crate::normal::oddities::at;
use crate::normal::{Fix, Recording};
use base::factors::RAD_PER_DEG;
use base::math;
use base::written::signed;

/// How far a stated clock may be off and still be refined, s.
const NEAR_S: f64 = 150.0;
/// Overlaps shorter than this prove nothing, s.
const OVERLAP_LEAST_S: f64 = 60.0;
/// Correlation at which what was recorded is of one flight.
const ALIKE: f64 = 0.6;
/// What is recorded within so many seconds is hardly independent, s: turns and climbs last so long.
const CORRELATED_S: f64 = 15.0;
/// Correlations are not trusted further than this: noise alone makes them less.
const CORRELATION_MOST: f64 = 0.999_999;
/// How far beyond chance the correlation must lie, in standard deviations of chance (Fisher's transformation): where the
/// clocks say where to look, and where everything was searched.
const CHANCES_NEAR: f64 = 3.5;
const CHANCES_ANYWHERE: f64 = 5.0;
/// The best place must stand out from every other by so many.
const STANDS_OUT: f64 = 1.5;
/// Below this at the place the clocks name, they are not believed.
const UNLIKE: f64 = 0.25;
/// Positions of one airplane are no further apart, m: two receivers, two datums, an offset of a second.
const APART_MOST_M: f64 = 250.0;
/// Slower than this, positions do not tell the time, m/s.
const MOVING_MPS: f64 = 10.0;
/// Places compared at most.
const PLACES_MOST: usize = 3000;

/// An offset and what speaks for it.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Offset {
    /// Added to times of the second they are times of the first, s.
    pub(super) offset_s: f64,
    /// What to tell.
    pub(super) evidence: String,
}

/// Correlation of what both recorded at an offset.
#[derive(Debug, Clone, PartialEq)]
struct Match {
    offset_s: f64,
    correlation: f64,
    /// Which signals, each with its own correlation.
    of: Vec<(&'static str, f64)>,
    overlap_s: f64,
}

impl Match {
    /// How far beyond chance, in standard deviations: Fisher's transformation of each signal over what is independent,
    /// put together by Stouffer's sum.
    fn chances(&self) -> f64 {
        let independent = (self.overlap_s / CORRELATED_S - 3.0).max(0.0);
        let one = |(_, r): &(&str, f64)| {
            let r = r.clamp(-CORRELATION_MOST, CORRELATION_MOST);
            0.5 * math::ln((1.0 + r) / (1.0 - r))
        };
        let sum: f64 = self.of.iter().map(one).sum();
        sum * independent.sqrt() / (self.of.len().max(1) as f64).sqrt()
    }
    fn words(&self) -> String {
        let of: Vec<String> =
            self.of.iter().map(|(name, value)| format!("{name} {value:.2}")).collect();
        format!("correlation over {:.0} s: {}", self.overlap_s, of.join(", "))
    }
}

/// Finds how the clocks of two recordings go together.
pub(super) fn between(first: &Recording, second: &Recording) -> Result<Offset, MergeError> {
    let stated_s = first.start.zip(second.start).map(|(a, b)| b.seconds_since(a));
    let step_s = step_s(first, second);
    let (a, b) = (Signals::new(first, step_s), Signals::new(second, step_s));
    let overlap_s =
        |offset_s: f64| first.duration_s().min(second.duration_s() + offset_s) - offset_s.max(0.0);
    if let Some(stated_s) = stated_s.filter(|stated_s| overlap_s(*stated_s) > 0.0) {
        match by_path(first, second, stated_s) {
            Ok(Some(found)) => return Ok(found),
            Ok(None) => {}
            // one of the clocks may be off by minutes: what both recorded tells, or the places have the last word
            Err(apart) => {
                let stated = Some((stated_s, -overlap_s(stated_s)));
                return found_alone(first, second, (&a, &b), stated).map_err(|_| apart);
            }
        }
        let near = search(&a, &b, stated_s - NEAR_S, stated_s + NEAR_S);
        let here = at_offset(&a, &b, stated_s);
        match (&near, here) {
            (Some((best, _)), _) if best.correlation >= ALIKE && best.chances() >= CHANCES_NEAR => {
                let moved_s = best.offset_s - stated_s;
                let evidence =
                    format!("by their clocks, refined by {moved_s:+.1} s ({})", best.words());
                return Ok(Offset { offset_s: best.offset_s, evidence });
            }
            (_, Some(here)) if here.correlation < UNLIKE && here.overlap_s > OVERLAP_LEAST_S => {}
            (_, here) => {
                let why =
                    here.map_or("nothing both recorded could be compared".into(), |m| m.words());
                let evidence = format!("by their clocks alone ({why})");
                return Ok(Offset { offset_s: stated_s, evidence });
            }
        }
    }
    found_alone(first, second, (&a, &b), stated_s.map(|stated_s| (stated_s, -overlap_s(stated_s))))
}

/// Without clocks, or against them: where what both recorded fits best, if that stands out.
fn found_alone(
    first: &Recording,
    second: &Recording,
    (a, b): (&Signals, &Signals),
    stated: Option<(f64, f64)>,
) -> Result<Offset, MergeError> {
    let names = || (first.name.clone(), second.name.clone());
    let fail = |search: String| {
        let (first, second) = names();
        match stated {
            Some((_, apart_s)) if apart_s > 0.0 => {
                MergeError::NoOverlap { first, second, apart_s, search: format!(", and {search}") }
            }
            _ => MergeError::NoClock { first, second, why: search },
        }
    };
    let all =
        search(a, b, OVERLAP_LEAST_S - second.duration_s(), first.duration_s() - OVERLAP_LEAST_S);
    let Some((best, next)) = all else {
        return Err(fail("nothing they both recorded can be compared".into()));
    };
    if best.correlation < ALIKE || best.chances() < CHANCES_ANYWHERE {
        let found = format!(
            "nowhere do they fit: at best {} at an offset of {:.0} s",
            best.words(),
            best.offset_s
        );
        return Err(fail(found));
    }
    if best.chances() - next.chances() < STANDS_OUT {
        let found = format!(
            "they fit at several places alike: {:.2} at an offset of {:.0} s, {:.2} at {:.0} s",
            best.correlation, best.offset_s, next.correlation, next.offset_s
        );
        return Err(fail(found));
    }
    let against = stated.map_or(String::new(), |(stated_s, _)| {
        format!("; one of their clocks is wrong by {:.0} s", (best.offset_s - stated_s).abs())
    });
    let mut evidence = format!("found by what both recorded ({}){against}", best.words());
    let mut offset_s = best.offset_s;
    match by_path(first, second, offset_s) {
        Ok(None) => {}
        Ok(Some(by_path)) => {
            offset_s = by_path.offset_s;
            evidence = format!("{evidence}; {}", by_path.evidence);
        }
        Err(MergeError::Disagree { distance_m, .. }) => {
            return Err(fail(format!(
                "where what they recorded fits best, at an offset of {offset_s:.0} s, their positions are {distance_m:.0} m apart"
            )));
        }
        Err(other) => return Err(other),
    }
    Ok(Offset { offset_s, evidence })
}

// --- by path ---------------------------------------------------------------------------------------------------------

/// Refines an offset by the positions of both: displacement along the track over speed, twice. `None` when they share no
/// positions in motion.
fn by_path(
    first: &Recording,
    second: &Recording,
    stated_s: f64,
) -> Result<Option<Offset>, MergeError> {
    let mut offset_s = stated_s;
    for _ in 0..3 {
        let Some(late_s) = late(first, second, offset_s) else { return Ok(None) };
        offset_s += late_s.clamp(-NEAR_S, NEAR_S);
    }
    let distances = distances(first, second, offset_s);
    let count = distances.len();
    let Some(distance) = median(distances).filter(|_| count > 10) else { return Ok(None) };
    if distance > APART_MOST_M {
        return Err(MergeError::Disagree {
            first: first.name.clone(),
            second: second.name.clone(),
            distance_m: distance,
            offset_s,
            count,
        });
    }
    let evidence = format!(
        "refined by {} s along the path, {distance:.0} m apart in the median ({count} places)",
        signed(offset_s - stated_s, 2)
    );
    Ok(Some(Offset { offset_s, evidence }))
}

/// The longitude and latitude of a recording at a time, by straight lines between fixes that are close in time.
struct Path {
    times_s: Vec<f64>,
    north_m: Vec<f64>,
    east_m: Vec<f64>,
}

impl Path {
    /// Around an origin, m.
    fn new(recording: &Recording, origin: &Fix) -> Self {
        let along = |latitude_deg: f64, longitude_deg: f64| {
            let fix = Fix { latitude_deg, longitude_deg, ..*origin };
            distance_m(origin, &fix)
        };
        let east_per_deg = along(origin.latitude_deg, origin.longitude_deg + 0.1) / 0.1;
        let north_per_deg = along(origin.latitude_deg + 0.1, origin.longitude_deg) / 0.1;
        let east = |fix: &Fix| {
            let turned = math::wrap_pi((fix.longitude_deg - origin.longitude_deg) * RAD_PER_DEG);
            turned / RAD_PER_DEG * east_per_deg
        };
        Self {
            times_s: recording.fixes.iter().map(|fix| fix.time_s).collect(),
            north_m: recording
                .fixes
                .iter()
                .map(|fix| (fix.latitude_deg - origin.latitude_deg) * north_per_deg)
                .collect(),
            east_m: recording.fixes.iter().map(east).collect(),
        }
    }
    fn at(&self, time_s: f64) -> Option<(f64, f64)> {
        at(&self.times_s, &self.north_m, time_s).zip(at(&self.times_s, &self.east_m, time_s))
    }
}

fn paths(first: &Recording, second: &Recording) -> Option<(Path, Path)> {
    let origin = first.fixes.first()?;
    (second.fixes.len() > 1 && first.fixes.len() > 1)
        .then(|| (Path::new(first, origin), Path::new(second, origin)))
}

/// How much later the second is along the path than the offset says, s: to be added to it. A constant distance between the
/// two (two receivers, two datums) is found with it, where turns tell the one from the other; outliers count for nothing.
fn late(first: &Recording, second: &Recording, offset_s: f64) -> Option<f64> {
    let (a, b) = paths(first, second)?;
    let step = b.times_s.len().div_ceil(PLACES_MOST).max(1);
    let mut places: Vec<Place> = b
        .times_s
        .iter()
        .step_by(step)
        .filter_map(|time_s| {
            let here = b.at(*time_s)?;
            let there = a.at(time_s + offset_s)?;
            let (before, after) = (a.at(time_s + offset_s - 1.0)?, a.at(time_s + offset_s + 1.0)?);
            let velocity = (0.5 * (after.0 - before.0), 0.5 * (after.1 - before.1));
            let moving = math::hypot(velocity.0, velocity.1) > MOVING_MPS;
            moving.then_some(Place { velocity, apart: (here.0 - there.0, here.1 - there.1) })
        })
        .collect();
    let mut found = fitted(&places)?;
    for _ in 0..3 {
        let misses = places.iter().map(|place| place.miss(&found)).collect();
        let limit = 4.0 * median(misses)? + 1.0;
        places.retain(|place| place.miss(&found) < limit);
        found = fitted(&places)?;
    }
    Some(found.0)
}

/// A place of both at one time: velocity, and how far the second is from the first, north and east.
struct Place {
    velocity: (f64, f64),
    apart: (f64, f64),
}

impl Place {
    fn miss(&self, (late_s, north_m, east_m): &(f64, f64, f64)) -> f64 {
        math::hypot(
            self.apart.0 - self.velocity.0 * late_s - north_m,
            self.apart.1 - self.velocity.1 * late_s - east_m,
        )
    }
}

/// Least squares of a delay and a constant distance; of the delay alone on a straight flight.
fn fitted(places: &[Place]) -> Option<(f64, f64, f64)> {
    let count = places.len() as f64;
    let sum = |term: fn(&Place) -> f64| places.iter().map(term).sum::<f64>();
    let vv = sum(|p| p.velocity.0 * p.velocity.0 + p.velocity.1 * p.velocity.1);
    let vd = sum(|p| p.velocity.0 * p.apart.0 + p.velocity.1 * p.apart.1);
    let (vn, ve) = (sum(|p| p.velocity.0), sum(|p| p.velocity.1));
    let (dn, de) = (sum(|p| p.apart.0), sum(|p| p.apart.1));
    if places.len() <= 10 {
        return None;
    }
    let spread = vv - (vn * vn + ve * ve) / count;
    if spread < 0.1 * vv {
        return Some((vd / vv, 0.0, 0.0));
    }
    let late_s = (vd - (vn * dn + ve * de) / count) / spread;
    Some((late_s, (dn - late_s * vn) / count, (de - late_s * ve) / count))
}

fn distances(first: &Recording, second: &Recording, offset_s: f64) -> Vec<f64> {
    let Some((a, b)) = paths(first, second) else { return Vec::new() };
    let step = b.times_s.len().div_ceil(PLACES_MOST).max(1);
    let places = b.times_s.iter().step_by(step);
    places
        .filter_map(|time_s| {
            let (here, there) = (b.at(*time_s)?, a.at(time_s + offset_s)?);
            Some(math::hypot(here.0 - there.0, here.1 - there.1))
        })
        .collect()
}

// --- by correlation --------------------------------------------------------------------------------------------------

/// The best place between two offsets, refined within a step, and the best place away from it (itself uncorrelated, if there
/// is no other).
fn search(a: &Signals, b: &Signals, from_s: f64, to_s: f64) -> Option<(Match, Match)> {
    let step_s = a.step_s;
    let lags = (from_s / step_s).floor() as i64..=(to_s / step_s).ceil() as i64;
    let all: Vec<(i64, Match)> = lags.filter_map(|lag| Some((lag, at_lag(a, b, lag)?))).collect();
    let by_chances = |x: &&(i64, Match), y: &&(i64, Match)| x.1.chances().total_cmp(&y.1.chances());
    let (best_lag, best) = all.iter().max_by(by_chances)?;
    let away = (30.0 / step_s).ceil() as i64;
    let elsewhere = all.iter().filter(|(lag, _)| (lag - best_lag).abs() > away).max_by(by_chances);
    let none = Match { correlation: 0.0, of: Vec::new(), ..best.clone() };
    let next = elsewhere.map_or(none, |(_, found)| found.clone());
    let correlation = |lag: i64| all.iter().find(|(l, _)| *l == lag).map(|(_, m)| m.correlation);
    let shift = match (correlation(best_lag - 1), correlation(best_lag + 1)) {
        (Some(before), Some(after)) => {
            let bend = before - 2.0 * best.correlation + after;
            if bend < 0.0 { (0.5 * (before - after) / bend).clamp(-0.5, 0.5) } else { 0.0 }
        }
        _ => 0.0,
    };
    let offset_s = (*best_lag as f64 + shift) * step_s;
    Some((Match { offset_s, ..best.clone() }, next))
}

fn at_offset(a: &Signals, b: &Signals, offset_s: f64) -> Option<Match> {
    at_lag(a, b, (offset_s / a.step_s).round() as i64)
}

/// Correlation of every signal both have, the second moved by so many steps; their mean, weighted by nothing.
fn at_lag(a: &Signals, b: &Signals, lag: i64) -> Option<Match> {
    let mut of = Vec::new();
    let mut overlap = 0;
    for signal in &b.all {
        let Some(other) = a.find(signal.name) else { continue };
        if let Some((value, count)) = correlation(other, &signal.values, lag)
            && count as f64 * a.step_s >= OVERLAP_LEAST_S
        {
            of.push((signal.name, value));
            overlap = overlap.max(count);
        }
    }
    let correlation = of.iter().map(|(_, value)| value).sum::<f64>() / of.len() as f64;
    let overlap_s = overlap as f64 * a.step_s;
    let offset_s = lag as f64 * a.step_s;
    (!of.is_empty()).then_some(Match { offset_s, correlation, of, overlap_s })
}

/// Pearson's correlation of `a` at index `i + lag` with `b` at `i` where both are known, and over how many.
fn correlation(a: &[f64], b: &[f64], lag: i64) -> Option<(f64, usize)> {
    let from = usize::try_from((-lag).max(0)).ok()?;
    let a_from = usize::try_from(lag.max(0)).ok()?;
    let (a, b) = (a.get(a_from..)?, b.get(from..)?);
    let (mut n, mut sx, mut sy, mut sxx, mut syy, mut sxy) = (0.0, 0.0, 0.0, 0.0, 0.0, 0.0);
    for (x, y) in a.iter().zip(b) {
        let product = x * y;
        if product.is_nan() {
            continue;
        }
        n += 1.0;
        sx += x;
        sy += y;
        sxx += x * x;
        syy += y * y;
        sxy += product;
    }
    let (vx, vy) = (sxx - sx * sx / n, syy - sy * sy / n);
    // what hardly changes correlates with anything
    (n > 20.0 && vx > 0.01 * n && vy > 0.01 * n)
        .then(|| ((sxy - sx * sy / n) / (vx * vy).sqrt(), n as usize))
}
