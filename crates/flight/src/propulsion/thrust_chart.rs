//! Thrust of an engine and propeller that have settled in steady level flight, as a chart: what the point mass is pulled by
//! where the rigid airplane's engine and propeller are known, so that both levels of flight share one idea of power.
//!
//! The propeller is met at the incidence of level flight at the typical mass (at most nine tenths of the greatest lift), as on the
//! rigid airplane. Charted is its force along the path, and with it the induced drag that the wing is spared by what the propeller
//! lifts: pull at incidence and the normal force of the disk. At other loads the wing is spared more or less: left out.
//!
//! Thrust over density is charted against the share of power, the true airspeed and the specific volume of the air: cubic
//! B-splines in the first two (both derivatives continuous), a parabola in the last, on which it depends little. Between nodes it
//! is that of the model within a few thousandths of the full thrust; the closed throttle and the full one are met at every speed
//! of the grid. Power off the propeller is turned by the air and brakes.
//!
//! The share of power is that of the shaft, counted from the closed throttle, at one speed of flight at sea level; a share stands
//! for a position of the throttle, the same at every speed and height. Above a share of one the chart is continued straight.
//!
//! A propeller whose blades do not follow turns slower as the airplane slows, and gives back what its rotation holds. The speed of
//! rotation lags behind that of steady flight by `tau` times its rate (first order), so that the thrust is that of steady flight
//! less a mass times the rate of the airspeed: the airplane speeds up and slows as if it were heavier by
//! `dT/dW df/dV / (df/dW)^2`, with `W' = f(W, V)` the equation of the shaft at that throttle. Charted beside the thrust, with
//! `tau = -1 / (df/dW)`; both nil where a governor holds the speed of rotation. In the thrust a share of power is there at once; who
//! moves the throttle quickly lets the share follow it with that time.
//!
//! Worked out when first asked for, once: some 3000 settlings, a few milliseconds.

use std::sync::{Arc, OnceLock};

use base::frames::Vec3;
use base::math::{cos, sin};
use base::numerics::dual::Real;
use base::numerics::root;

use crate::air::{Air, AirState, SEA_LEVEL_DENSITY_KGPM3};
use crate::airplane::Aerodynamics as AirplaneAerodynamics;
use crate::airplane::rigid::PistonPull;
use crate::budget::{Budget, Switches};
use crate::controls::Inputs;
use crate::flow::Flow;
use crate::propulsion::Propulsion;
use crate::propulsion::piston::PistonPropeller;

/// Steps of speed and of share.
const SPEEDS: usize = 56;
const SHARES: usize = 16;
/// Sea-level density over density at the three columns of the chart: from cold air at sea level to thin air.
const THINNESS: [f64; 3] = [0.85, 1.4, 2.2];

/// What engine and propeller carry.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Carried {
    /// Greatest power of the engine, as the file states it, W.
    pub power_w: f64,
    /// True airspeed at which shares of power are counted, m/s.
    pub speed_reference_mps: f64,
    /// Greatest true airspeed charted, m/s; thrust is held above.
    pub speed_most_mps: f64,
    /// Typical weight, N.
    pub weight_n: f64,
    /// Wing area, m2.
    pub area_m2: f64,
    /// Lift and drag.
    pub polar: AirplaneAerodynamics,
}

/// What the chart is of, and the chart once it is asked for.
#[derive(Debug, Clone)]
pub struct ThrustChart {
    pull: Arc<PistonPull>,
    carried: Carried,
    built: OnceLock<Option<Box<Table>>>,
}

impl PartialEq for ThrustChart {
    /// Of the same engine and propeller over the same range; whether it has been worked out yet says nothing.
    fn eq(&self, other: &Self) -> bool {
        self.pull.data() == other.pull.data() && self.carried == other.carried
    }
}

/// Coefficients of the splines, and the throttle of every share.
#[derive(Debug, Clone)]
struct Table {
    /// Steps of speed for each m/s.
    per_mps: f64,
    /// One for each column of air: rows of speed, in each the shares.
    columns: [Vec<f64>; 3],
    /// Side by side, because they are read together: these of the three columns, and the mass that the shaft adds, kg, in the three
    /// columns. Of that the values are the coefficients, which rounds the corner where a governor lets go.
    pairs: Vec<[f64; 6]>,
    /// Time in which the shaft follows the throttle, s, in the same way.
    lag: [Vec<f64>; 3],
    throttle: Vec<f64>,
}

/// What pulls at an instant: thrust, N, and the mass, kg, that what turns with the propeller adds along the path.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Pull<R> {
    pub(crate) thrust: R,
    pub(crate) added: R,
}

/// The chart at one share of power: coefficients along the speed, as in [`Table::pairs`].
#[derive(Debug, Clone)]
pub(crate) struct AtShare {
    per_mps: f64,
    rows: Vec<[f64; 6]>,
}

impl AtShare {
    /// As [`ThrustChart::pull`].
    #[inline]
    pub(crate) fn pull(&self, speed_mps: f64, density_kgpm3: f64) -> Pull<f64> {
        let place = Place::of(speed_mps * self.per_mps, SPEEDS);
        let mut sums = [0.0; 6];
        for (row, weight) in self.rows[place.first..place.first + 4].iter().zip(place.weights()) {
            for (sum, value) in sums.iter_mut().zip(row) {
                *sum += weight * value;
            }
        }
        let [air, ..] = columns(SEA_LEVEL_DENSITY_KGPM3 / density_kgpm3);
        let through = |from: usize| -> f64 { (0..3).map(|i| air[i] * sums[from + i]).sum() };
        Pull { thrust: through(0) * density_kgpm3, added: through(3) }
    }
}

const ROW: usize = SHARES + 3;

impl ThrustChart {
    /// Of an engine and propeller on an airplane.
    #[must_use]
    pub const fn new(pull: Arc<PistonPull>, carried: Carried) -> Self {
        Self { pull, carried, built: OnceLock::new() }
    }
    /// Greatest power of the engine charted, W.
    #[must_use]
    pub const fn power_w(&self) -> f64 {
        self.carried.power_w
    }

    fn table(&self) -> Option<&Table> {
        self.built.get_or_init(|| Table::of(self).map(Box::new)).as_deref()
    }
    /// Throttle, nil to one, of a share of power; `None` where engine and propeller give no chart.
    #[must_use]
    pub fn throttle(&self, share: f64) -> Option<f64> {
        let place = Place::of(share.clamp(0.0, 1.0) * SHARES as f64, SHARES);
        let list = self.table()?.throttle.get(place.first..place.first + 4)?;
        let at: f64 = place.weights().iter().zip(list).map(|(weight, value)| weight * value).sum();
        Some(at.clamp(0.0, 1.0))
    }
    /// Thrust, N, at a share of power, true airspeed, m/s, and density, kg/m3, in any numbers; `None` where engine and propeller
    /// give no chart.
    pub(crate) fn thrust<R: Real>(&self, share: R, speed: R, density: R) -> Option<R> {
        let table = self.table()?;
        let thinness = R::constant(SEA_LEVEL_DENSITY_KGPM3) / density;
        let [over_density, _] = table.read([share, speed, thinness]);
        Some(over_density * density)
    }
    /// The same with the mass that the shaft adds.
    pub(crate) fn pull<R: Real>(&self, share: R, speed: R, density: R) -> Option<Pull<R>> {
        let table = self.table()?;
        let thinness = R::constant(SEA_LEVEL_DENSITY_KGPM3) / density;
        let [over_density, added] = table.read([share, speed, thinness]);
        Some(Pull { thrust: over_density * density, added })
    }
    /// The chart at a share that stays; `None` where engine and propeller give none.
    pub(crate) fn at_share(&self, share: f64) -> Option<AtShare> {
        let table = self.table()?;
        let Along { place, weights: [by_share, ..] } = along_share(share);
        let row = |speed: usize| {
            let from = speed * ROW + place.first;
            let mut sums = [0.0; 6];
            for (pair, weight) in table.pairs[from..from + 4].iter().zip(&by_share) {
                for (sum, value) in sums.iter_mut().zip(pair) {
                    *sum += weight * value;
                }
            }
            sums
        };
        Some(AtShare { per_mps: table.per_mps, rows: (0..SPEEDS + 3).map(row).collect() })
    }
    /// Time, s, in which the shaft follows the throttle; nil where a governor holds its speed of rotation.
    pub(crate) fn lag_s(&self, share: f64, speed_mps: f64, density_kgpm3: f64) -> Option<f64> {
        let table = self.table()?;
        let (speed, share) = (table.along_speed(speed_mps), along_share(share));
        let air = columns(SEA_LEVEL_DENSITY_KGPM3 / density_kgpm3);
        let weights = (&speed.weights[0], &share.weights[0], &air[0]);
        Some(sum(&table.lag, (speed.place, share.place), weights))
    }
    /// Share of power that gives a thrust, N: below nil where a closed throttle gives more.
    pub(crate) fn share_for(
        &self,
        thrust_n: f64,
        speed_mps: f64,
        density_kgpm3: f64,
    ) -> Option<f64> {
        let row = self.table()?.row([speed_mps, SEA_LEVEL_DENSITY_KGPM3 / density_kgpm3]);
        Some(share_of(&row, thrust_n / density_kgpm3))
    }
}

/// Share at which a row of coefficients has a value: the step in which it passes, then Newton's rule held inside. Thrust rises with
/// the share.
fn share_of(row: &[f64; ROW], wanted: f64) -> f64 {
    let node = |i: usize| (row[i] + 4.0 * row[i + 1] + row[i + 2]) / 6.0;
    if wanted <= node(0) {
        let slope = (row[2] - row[0]) / 2.0 * SHARES as f64;
        return if slope > 0.0 { (wanted - node(0)) / slope } else { 0.0 };
    }
    if wanted >= node(SHARES) {
        let slope = (row[SHARES + 2] - row[SHARES]) / 2.0 * SHARES as f64;
        return if slope > 0.0 { 1.0 + (wanted - node(SHARES)) / slope } else { f64::INFINITY };
    }
    let (mut low, mut high) = (0, SHARES);
    while high - low > 1 {
        let middle = usize::midpoint(low, high);
        if node(middle) <= wanted { low = middle } else { high = middle }
    }
    let (below, above) = (node(low), node(high));
    let mut at = ((wanted - below) / (above - below)).clamp(0.0, 1.0);
    for _ in 0..6 {
        let place = Place { first: low, s: at };
        let sum = |weights: [f64; 4]| -> f64 { (0..4).map(|k| weights[k] * row[low + k]).sum() };
        let slope = sum(place.slopes());
        let step = (sum(place.weights()) - wanted) / slope;
        if !step.is_finite() {
            break;
        }
        at = (at - step).clamp(0.0, 1.0);
        if step.abs() < 1e-12 {
            break;
        }
    }
    (low as f64 + at) / SHARES as f64
}

/// A place on an even grid: the first of four coefficients and how far along the step.
#[derive(Debug, Clone, Copy)]
struct Place {
    first: usize,
    s: f64,
}

impl Place {
    #[inline]
    fn of(at: f64, steps: usize) -> Self {
        let at = at.clamp(0.0, steps as f64);
        let first = (at as usize).min(steps - 1);
        Self { first, s: at - first as f64 }
    }
    #[inline]
    fn weights(self) -> [f64; 4] {
        let (s, r) = (self.s, 1.0 - self.s);
        let (s2, r2) = (s * s, r * r);
        [r2 * r / 6.0, 2.0 / 3.0 - s2 + 0.5 * s2 * s, 2.0 / 3.0 - r2 + 0.5 * r2 * r, s2 * s / 6.0]
    }
    /// Their derivatives by the step.
    #[inline]
    fn slopes(self) -> [f64; 4] {
        let (s, r) = (self.s, 1.0 - self.s);
        [-0.5 * r * r, s * (1.5 * s - 2.0), r * (2.0 - 1.5 * r), 0.5 * s * s]
    }
    fn curvatures(self) -> [f64; 4] {
        let s = self.s;
        [1.0 - s, 3.0 * s - 2.0, 1.0 - 3.0 * s, s]
    }
}

/// Weights of the three columns of air, with both derivatives: the parabola through them.
fn columns(thinness: f64) -> [[f64; 3]; 3] {
    let [a, b, c] = THINNESS;
    let x = thinness;
    let over = [1.0 / ((a - b) * (a - c)), 1.0 / ((b - a) * (b - c)), 1.0 / ((c - a) * (c - b))];
    [
        [(x - b) * (x - c) * over[0], (x - a) * (x - c) * over[1], (x - a) * (x - b) * over[2]],
        [(2.0 * x - b - c) * over[0], (2.0 * x - a - c) * over[1], (2.0 * x - a - b) * over[2]],
        over.map(|over| 2.0 * over),
    ]
}

impl Table {
    fn of(chart: &ThrustChart) -> Option<Self> {
        let settling = Settling { propeller: chart.pull.propeller(), carried: &chart.carried };
        let throttles = settling.throttles()?;
        let speed_step = chart.carried.speed_most_mps / SPEEDS as f64;
        let column = |thinness: f64| {
            let density = SEA_LEVEL_DENSITY_KGPM3 / thinness;
            let rows: Vec<Vec<Charted>> = (0..=SPEEDS)
                .map(|row| {
                    let speed = speed_step * row as f64;
                    throttles.iter().map(|&at| settling.charted(at, speed, density)).collect()
                })
                .collect();
            let over_density = |charted: &Charted| charted.thrust_n / density;
            [
                flat(&rows, over_density, splined),
                flat(&rows, |charted| charted.shaft.added_kg, continued),
                flat(&rows, |charted| charted.shaft.lag_s, continued),
            ]
        };
        let mut charts = THINNESS.map(column);
        let mut take = |which: usize| charts.each_mut().map(|of| std::mem::take(&mut of[which]));
        let [columns, added, lag] = [take(0), take(1), take(2)];
        let mut all = columns.iter().chain(&added).chain(&lag).flatten();
        let whole = all.all(|value| value.is_finite());
        let pairs = (0..columns[0].len())
            .map(|i| {
                let [a, b, c] = [0, 1, 2].map(|air: usize| columns[air][i]);
                let [d, e, f] = [0, 1, 2].map(|air: usize| added[air][i]);
                [a, b, c, d, e, f]
            })
            .collect();
        let throttle = splined(&throttles);
        whole.then_some(Self { per_mps: 1.0 / speed_step, columns, pairs, lag, throttle })
    }

    /// Coefficients along the share at a speed and an air.
    fn row(&self, [speed, thinness]: [f64; 2]) -> [f64; ROW] {
        let (place, [share, ..]) = (Place::of(speed * self.per_mps, SPEEDS), columns(thinness));
        let weights = place.weights();
        let mut out = [0.0; ROW];
        for (column, share) in self.columns.iter().zip(share) {
            for (k, weight) in weights.iter().enumerate() {
                let from = (place.first + k) * ROW;
                let row = &column[from..from + ROW];
                for (out, value) in out.iter_mut().zip(row) {
                    *out += share * weight * value;
                }
            }
        }
        out
    }

    /// Sums of the pairs about a place, weighted along speed and share.
    #[inline]
    fn sums(
        &self,
        (speed, share): (Place, Place),
        (by_speed, by_share): (&[f64; 4], &[f64; 4]),
    ) -> [f64; 6] {
        let mut sums = [0.0; 6];
        for (k, along) in by_speed.iter().enumerate() {
            let from = (speed.first + k) * ROW + share.first;
            for (pair, across) in self.pairs[from..from + 4].iter().zip(by_share) {
                let weight = along * across;
                for (sum, value) in sums.iter_mut().zip(pair) {
                    *sum += weight * value;
                }
            }
        }
        sums
    }

    /// Thrust over density and added mass, in any numbers: the values, and where derivatives are carried the parabolas with both of
    /// them.
    #[inline]
    fn read<R: Real>(&self, at: [R; 3]) -> [R; 2] {
        let [share, speed, thinness] = at.map(R::value);
        let (speed, share) = (self.along_speed(speed), along_share(share));
        let air = columns(thinness);
        let sums = |v: usize, s: usize| {
            self.sums((speed.place, share.place), (&speed.weights[v], &share.weights[s]))
        };
        let through = |sums: &[f64; 6], x: usize, which: usize| -> f64 {
            (0..3).map(|column| air[x][column] * sums[3 * which + column]).sum()
        };
        let value = sums(0, 0);
        if !R::DERIVATIVES {
            return [0, 1].map(|which| R::constant(through(&value, 0, which)));
        }
        let [ds, dv, dx] = at.map(|at| at + (-at.value()));
        let (by_share, by_speed, both) = (sums(0, 1), sums(1, 0), sums(1, 1));
        let (share_twice, speed_twice) = (sums(0, 2), sums(2, 0));
        [0, 1].map(|which| {
            let of = |sums: &[f64; 6], x: usize| through(sums, x, which);
            ds * of(&by_share, 0)
                + dv * of(&by_speed, 0)
                + dx * of(&value, 1)
                + ds * ds * (0.5 * of(&share_twice, 0))
                + dv * dv * (0.5 * of(&speed_twice, 0))
                + dx * dx * (0.5 * of(&value, 2))
                + ds * dv * of(&both, 0)
                + ds * dx * of(&by_share, 1)
                + dv * dx * of(&by_speed, 1)
                + of(&value, 0)
        })
    }

    /// Weights at a speed, m/s, held past the ends.
    #[inline]
    fn along_speed(&self, speed_mps: f64) -> Along {
        let at = speed_mps * self.per_mps;
        let along = Along::of(Place::of(at, SPEEDS), self.per_mps);
        if (0.0..=SPEEDS as f64).contains(&at) { along } else { along.held() }
    }
}

/// Sum of the coefficients about a place, weighted.
fn sum(
    columns: &[Vec<f64>; 3],
    (speed, share): (Place, Place),
    (by_speed, by_share, by_air): (&[f64; 4], &[f64; 4], &[f64; 3]),
) -> f64 {
    let mut sum = 0.0;
    for (column, air) in columns.iter().zip(by_air) {
        for (k, along) in by_speed.iter().enumerate() {
            let from = (speed.first + k) * ROW + share.first;
            let row = column[from..from + 4].iter().zip(by_share);
            sum += air * along * row.map(|(value, weight)| value * weight).sum::<f64>();
        }
    }
    sum
}

/// Weights of four coefficients, with both derivatives by the quantity they lie along.
#[derive(Debug, Clone, Copy)]
struct Along {
    place: Place,
    weights: [[f64; 4]; 3],
}

impl Along {
    #[inline]
    fn of(place: Place, per_unit: f64) -> Self {
        let slopes = place.slopes().map(|weight| weight * per_unit);
        let curvatures = place.curvatures().map(|weight| weight * per_unit * per_unit);
        Self { place, weights: [place.weights(), slopes, curvatures] }
    }
    fn held(self) -> Self {
        Self { weights: [self.weights[0], [0.0; 4], [0.0; 4]], ..self }
    }
}

/// Weights at a share: held below a closed throttle, past full power straight on.
#[inline]
fn along_share(share: f64) -> Along {
    let mut along = Along::of(Place::of(share * SHARES as f64, SHARES), SHARES as f64);
    if share < 0.0 {
        return along.held();
    }
    if share > 1.0 {
        let [weights, slopes, curvatures] = &mut along.weights;
        for (weight, slope) in weights.iter_mut().zip(slopes) {
            *weight += (share - 1.0) * *slope;
        }
        *curvatures = [0.0; 4];
    }
    along
}

/// Coefficients of the cubic spline through values on an even grid, one more at either end; straight at the ends.
fn splined(values: &[f64]) -> Vec<f64> {
    let last = values.len() - 1;
    let mut out = vec![0.0; values.len() + 2];
    (out[1], out[last + 1]) = (values[0], values[last]);
    // (c[i-1] + 4 c[i] + c[i+1]) / 6 is the value: elimination forward, then back.
    let mut upper = vec![0.0; values.len()];
    for i in 1..last {
        let pivot = 1.0 / (4.0 - upper[i - 1]);
        upper[i] = pivot;
        out[i + 1] = (6.0 * values[i] - out[i]) * pivot;
    }
    for i in (1..last).rev() {
        out[i + 1] -= upper[i] * out[i + 2];
    }
    out[0] = 2.0 * out[1] - out[2];
    out[last + 2] = 2.0 * out[last + 1] - out[last];
    out
}

/// The values themselves, the first and the last once more: as coefficients of a spline they round every corner and never go past.
fn continued(values: &[f64]) -> Vec<f64> {
    let ends = |at: Option<&f64>| at.copied().unwrap_or(0.0);
    let mut out = vec![ends(values.first())];
    out.extend_from_slice(values);
    out.push(ends(values.last()));
    out
}

/// Coefficients of one quantity along speed and share: rows of speed, in each the shares.
fn flat(
    rows: &[Vec<Charted>],
    of: impl Fn(&Charted) -> f64,
    along: fn(&[f64]) -> Vec<f64>,
) -> Vec<f64> {
    let rows: Vec<Vec<f64>> =
        rows.iter().map(|row| along(&row.iter().map(&of).collect::<Vec<_>>())).collect();
    let of_share = |share: usize| along(&rows.iter().map(|row| row[share]).collect::<Vec<f64>>());
    let lines: Vec<Vec<f64>> = (0..ROW).map(of_share).collect();
    (0..SPEEDS + 3).flat_map(|row| lines.iter().map(move |line| line[row])).collect()
}

/// What is charted at one throttle, speed and air.
#[derive(Debug, Clone, Copy)]
struct Charted {
    thrust_n: f64,
    shaft: Shaft,
}

/// How the shaft follows: see the head of this file.
#[derive(Debug, Clone, Copy)]
struct Shaft {
    /// The mass that it adds along the path, kg.
    added_kg: f64,
    /// Time in which it follows the throttle, s.
    lag_s: f64,
}

impl Shaft {
    /// Follows nothing, or is held by a governor.
    const HELD: Self = Self { added_kg: 0.0, lag_s: 0.0 };
}

/// An engine and propeller left to themselves in level flight.
struct Settling<'a> {
    propeller: &'a PistonPropeller,
    carried: &'a Carried,
}

/// A shaft that comes back more slowly than this adds no mass, 1/s.
const SETTLING_LEAST_PER_S: f64 = 0.2;
/// Rate of the speed of rotation, rad/s2, over the airspeed, m/s, below which it does not answer to it.
const BY_SPEED_LEAST_PER_S: f64 = 1e-6;

/// Share of the greatest lift that level flight is taken to need at most.
const LIFT_MOST: f64 = 0.9;

/// What engine and propeller do at an incidence.
struct Settled {
    /// Speed of rotation, rad/s.
    engine: f64,
    /// Force along the path, N, and up from it.
    along_n: f64,
    up_n: f64,
    power_w: f64,
    /// Rate of the speed of rotation, rad/s2.
    rate_radps2: f64,
}

/// Where engine and propeller are met: true airspeed, m/s, density, kg/m3, incidence, rad.
type At = [f64; 3];

/// Differences of the shaft's equation are taken over these: m/s, and a share of the speed of rotation.
const SPEED_APART_MPS: f64 = 0.01;
const ROTATION_APART: f64 = 1e-4;

impl Settling<'_> {
    fn flow([speed_mps, density_kgpm3, incidence_rad]: At) -> Flow {
        let air: AirState = Air::standard(base::kinds::PressureAltitude::from_m(0.0)).into();
        let air = AirState { density_kgpm3, ..air };
        let (s, c) = (sin(incidence_rad), cos(incidence_rad));
        Flow::new(Vec3::new(speed_mps * c, 0.0, speed_mps * s), Vec3::ZERO, air)
    }
    fn run(&self, throttle: f64, at: At) -> Settled {
        let inputs = Inputs { throttle, propeller: 1.0, ..Inputs::default() };
        self.turning(throttle, at, self.propeller.settled(&Self::flow(at), &inputs))
    }
    /// The same at a speed of rotation of its own.
    fn turning(&self, throttle: f64, at: At, engine: f64) -> Settled {
        let inputs = Inputs { throttle, propeller: 1.0, ..Inputs::default() };
        let mut budget = Budget::sum_only(Switches::ALL);
        let running = self.propeller.run(&Self::flow(at), &inputs, engine, &mut budget);
        let force = budget.total().force_n;
        let (s, c) = (sin(at[2]), cos(at[2]));
        Settled {
            engine,
            along_n: force.x * c + force.z * s,
            up_n: force.x * s - force.z * c,
            power_w: running.power_w,
            rate_radps2: running.state_rate,
        }
    }
    fn shaft(&self, throttle: f64, at: At, engine: f64) -> Shaft {
        let apart = ROTATION_APART * engine;
        let [slower, faster] =
            [-apart, apart].map(|apart| self.turning(throttle, at, engine + apart));
        let [speed_mps, density_kgpm3, incidence_rad] = at;
        let [before, after] = [-SPEED_APART_MPS, SPEED_APART_MPS].map(|apart| {
            self.turning(throttle, [speed_mps + apart, density_kgpm3, incidence_rad], engine)
        });
        let by_rotation = (faster.rate_radps2 - slower.rate_radps2) / (2.0 * apart);
        let by_speed = (after.rate_radps2 - before.rate_radps2) / (2.0 * SPEED_APART_MPS);
        let thrust_by_rotation = (faster.along_n - slower.along_n) / (2.0 * apart);
        // A shaft that does not come back by itself within seconds follows nothing; where the airspeed says nothing a governor holds it.
        if by_rotation > -SETTLING_LEAST_PER_S || by_speed.abs() < BY_SPEED_LEAST_PER_S {
            return Shaft::HELD;
        }
        let added_kg = (thrust_by_rotation * by_speed / (by_rotation * by_rotation)).max(0.0);
        Shaft { added_kg, lag_s: -1.0 / by_rotation }
    }
    /// Force along the path with the induced drag that it spares the wing, N.
    fn thrust_n(&self, throttle: f64, speed_mps: f64, density_kgpm3: f64) -> f64 {
        self.borne(throttle, speed_mps, density_kgpm3).1
    }
    /// Thrust and added mass.
    fn charted(&self, throttle: f64, speed_mps: f64, density_kgpm3: f64) -> Charted {
        let ((at, engine), thrust_n) = self.borne(throttle, speed_mps, density_kgpm3);
        Charted { thrust_n, shaft: self.shaft(throttle, at, engine) }
    }
    /// Where the propeller is met in level flight and how fast it turns; force along the path, N, with the induced drag that it spares
    /// the wing.
    fn borne(&self, throttle: f64, speed_mps: f64, density_kgpm3: f64) -> ((At, f64), f64) {
        let Carried { weight_n, area_m2, polar, .. } = self.carried;
        let pressure_area_n = 0.5 * density_kgpm3 * speed_mps * speed_mps * area_m2;
        // At a standstill the wing bears nothing: as much as its greatest lift would.
        let whole_n = weight_n.min(LIFT_MOST * polar.lift_max * pressure_area_n);
        let lift =
            |borne_n: f64| if pressure_area_n > 0.0 { borne_n / pressure_area_n } else { 0.0 };
        let incidence = |borne_n: f64| {
            (lift(borne_n) - polar.lift_at_zero_incidence) / polar.lift_slope_per_rad
        };
        let first = self.run(throttle, [speed_mps, density_kgpm3, incidence(whole_n)]);
        let borne_n = (whole_n - first.up_n).clamp(0.0, 1.2 * whole_n);
        let met = [speed_mps, density_kgpm3, incidence(borne_n)];
        let at = self.run(throttle, met);
        let borne_n = (whole_n - at.up_n).clamp(0.0, 1.2 * whole_n);
        let induced_n = |borne_n: f64| polar.drag_induced * lift(borne_n) * borne_n;
        ((met, at.engine), at.along_n + induced_n(whole_n) - induced_n(borne_n))
    }
    /// Throttle at evenly spaced shares of the power between closed and full; `None` where full throttle gives no more than closed.
    fn throttles(&self) -> Option<Vec<f64>> {
        let speed_mps = self.carried.speed_reference_mps;
        let straight = [speed_mps, SEA_LEVEL_DENSITY_KGPM3, 0.0];
        let power_w = |throttle: f64| self.run(throttle, straight).power_w;
        let (closed, full) = (power_w(0.0), power_w(1.0));
        let risen = full > closed && self.thrust_n(1.0, speed_mps, SEA_LEVEL_DENSITY_KGPM3) > 0.0;
        let one = |i: usize| match i {
            0 => Some(0.0),
            SHARES => Some(1.0),
            _ => {
                let wanted = closed + (full - closed) * i as f64 / SHARES as f64;
                root::find(|throttle| power_w(throttle) - wanted, 0.0, 1.0, 1e-9).ok()
            }
        };
        risen.then(|| (0..=SHARES).map(one).collect::<Option<Vec<f64>>>()).flatten()
    }
}

#[cfg(test)]
mod tests;
