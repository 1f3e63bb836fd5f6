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
    throttle: Vec<f64>,
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
        let at = [share, speed, thinness];
        Some(table.over_density(at) * density)
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
            let rows: Vec<Vec<f64>> = (0..=SPEEDS)
                .map(|row| {
                    let speed = speed_step * row as f64;
                    let one =
                        |&throttle: &f64| settling.thrust_n(throttle, speed, density) / density;
                    splined(&throttles.iter().map(one).collect::<Vec<_>>())
                })
                .collect();
            let of_share = |share: usize| {
                let line: Vec<f64> = rows.iter().map(|row| row[share]).collect();
                splined(&line)
            };
            let lines: Vec<Vec<f64>> = (0..ROW).map(of_share).collect();
            let flat = (0..SPEEDS + 3).flat_map(|row| lines.iter().map(move |line| line[row]));
            flat.collect::<Vec<f64>>()
        };
        let columns = THINNESS.map(column);
        let whole = columns.iter().flatten().all(|value| value.is_finite());
        let throttle = splined(&throttles);
        whole.then_some(Self { per_mps: 1.0 / speed_step, columns, throttle })
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

    /// Sum of the coefficients about a place, weighted.
    #[inline]
    fn sum(
        &self,
        (speed, share): (Place, Place),
        (by_speed, by_share, by_air): (&[f64; 4], &[f64; 4], &[f64; 3]),
    ) -> f64 {
        let mut sum = 0.0;
        for (column, air) in self.columns.iter().zip(by_air) {
            let mut of_column = 0.0;
            for (k, weight) in by_speed.iter().enumerate() {
                let from = (speed.first + k) * ROW + share.first;
                let row = &column[from..from + 4];
                let of_row = by_share[0] * row[0]
                    + by_share[1] * row[1]
                    + by_share[2] * row[2]
                    + by_share[3] * row[3];
                of_column += weight * of_row;
            }
            sum += air * of_column;
        }
        sum
    }

    /// Thrust over density, in any numbers: the value, and where derivatives are carried the parabola with both of them.
    #[inline]
    fn over_density<R: Real>(&self, at: [R; 3]) -> R {
        let [share, speed, thinness] = at.map(R::value);
        let (speed, share) = (self.along_speed(speed), along_share(share));
        let air = columns(thinness);
        let of = |v: usize, s: usize, x: usize| {
            let weights = (&speed.weights[v], &share.weights[s], &air[x]);
            self.sum((speed.place, share.place), weights)
        };
        let value = of(0, 0, 0);
        if !R::DERIVATIVES {
            return R::constant(value);
        }
        let [ds, dv, dx] = at.map(|at| at + (-at.value()));
        ds * of(0, 1, 0)
            + dv * of(1, 0, 0)
            + dx * of(0, 0, 1)
            + ds * ds * (0.5 * of(0, 2, 0))
            + dv * dv * (0.5 * of(2, 0, 0))
            + dx * dx * (0.5 * of(0, 0, 2))
            + ds * dv * of(1, 1, 0)
            + ds * dx * of(0, 1, 1)
            + dv * dx * of(1, 0, 1)
            + value
    }

    /// Weights at a speed, m/s, held past the ends.
    #[inline]
    fn along_speed(&self, speed_mps: f64) -> Along {
        let at = speed_mps * self.per_mps;
        let along = Along::of(Place::of(at, SPEEDS), self.per_mps);
        if (0.0..=SPEEDS as f64).contains(&at) { along } else { along.held() }
    }
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

/// An engine and propeller left to themselves in level flight.
struct Settling<'a> {
    propeller: &'a PistonPropeller,
    carried: &'a Carried,
}

/// Share of the greatest lift that level flight is taken to need at most.
const LIFT_MOST: f64 = 0.9;

/// What engine and propeller do at an incidence.
struct Settled {
    /// Force along the path, N, and up from it.
    along_n: f64,
    up_n: f64,
    power_w: f64,
}

impl Settling<'_> {
    fn run(&self, throttle: f64, [speed_mps, density_kgpm3, incidence_rad]: [f64; 3]) -> Settled {
        let air: AirState = Air::standard(base::kinds::PressureAltitude::from_m(0.0)).into();
        let air = AirState { density_kgpm3, ..air };
        let (s, c) = (sin(incidence_rad), cos(incidence_rad));
        let flow = Flow::new(Vec3::new(speed_mps * c, 0.0, speed_mps * s), Vec3::ZERO, air);
        let inputs = Inputs { throttle, propeller: 1.0, ..Inputs::default() };
        let engine = self.propeller.settled(&flow, &inputs);
        let mut budget = Budget::sum_only(Switches::ALL);
        let running = self.propeller.run(&flow, &inputs, engine, &mut budget);
        let force = budget.total().force_n;
        let (along_n, up_n) = (force.x * c + force.z * s, force.x * s - force.z * c);
        Settled { along_n, up_n, power_w: running.power_w }
    }
    /// Force along the path, N, and the induced drag that it spares the wing.
    fn thrust_n(&self, throttle: f64, speed_mps: f64, density_kgpm3: f64) -> f64 {
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
        let at = self.run(throttle, [speed_mps, density_kgpm3, incidence(borne_n)]);
        let borne_n = (whole_n - at.up_n).clamp(0.0, 1.2 * whole_n);
        let induced_n = |borne_n: f64| polar.drag_induced * lift(borne_n) * borne_n;
        at.along_n + induced_n(whole_n) - induced_n(borne_n)
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
