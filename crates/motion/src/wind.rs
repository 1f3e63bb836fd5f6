//! Wind from the track, by energy: in the moving air the energy of the airplane changes only through thrust and drag.
//!
//! With `v` the velocity over the ground and `w` the wind, `|v - w|^2 / 2 + g h` changes by the specific excess power alone. So
//! `v^2 / 2 + g h = v . w + E(t)`: a turn swings `v` and shows `w`; straight flight shows nothing. `E` gains the work of thrust, an
//! integrated random walk whose restlessness is chosen by marginal likelihood, and loses the work of drag: that of a typical
//! light airplane at this speed and load (or of the known one) times a factor that is found too. Without the drag a chandelle,
//! always slow at its end, would pull the wind to one side. Wind is a slow random walk. Recorded airspeed enters as `|v - w|`.

use base::factors::STANDARD_GRAVITY_MPS2;
use base::math::{hypot, ln};
use base::numerics::block_tridiagonal::BlockTridiagonal;
use flight::air::Air;
use flight::airplane::Airplane;

use crate::track::Track;

/// Wind at the knots of the track, velocity of the air over the ground with sigma, m/s.
#[derive(Debug, Clone, Default)]
pub(crate) struct WindFound {
    pub(crate) north: Vec<f64>,
    pub(crate) east: Vec<f64>,
    pub(crate) sigma_north: Vec<f64>,
    pub(crate) sigma_east: Vec<f64>,
    /// Restlessness of specific thrust that goes with it, (m/s2)^2/s.
    pub(crate) thrust_drift: f64,
}

/// A true airspeed recorded at a knot, with sigma, m/s.
#[derive(Debug, Clone, Copy)]
pub(crate) struct TrueAirspeedSeen {
    pub(crate) knot: usize,
    pub(crate) value_mps: f64,
    pub(crate) sigma_mps: f64,
}

/// Prior of the wind, m/s a component: typical of the lower air (common practice, no source).
const WIND_PRIOR_MPS: f64 = 8.0;
/// How much the wind changes, m/s in the square root of a second: half a meter a second in ten minutes, and with height.
const WIND_DRIFT: f64 = 0.02;
/// Restlessness of specific excess power tried, (W/kg)^2/s.
const RESTLESSNESS: [f64; 6] = [1.0, 4.0, 12.0, 36.0, 110.0, 330.0];
/// Factor on the restlessness that fits best.
const POWER_STEPS_ALLOWANCE: f64 = 4.0;
/// Grid of the wind's own knots, s.
const GRID_S: f64 = 1.0;

/// Sample of the flight for the wind: one a grid step.
struct Sample {
    time_s: f64,
    energy: f64,
    energy_sigma: f64,
    velocity: [f64; 2],
    /// Work of drag until the next sample, J/kg.
    drag_work: f64,
}

/// What drag is made of, for each kilogram: area over mass, drag without lift, factor of lift squared.
#[derive(Debug, Clone, Copy)]
struct Drag {
    area_by_mass_m2pkg: f64,
    zero_lift: f64,
    induced: f64,
}

impl Drag {
    /// Of the known airplane at its typical mass, else typical of light singles (common practice, no source).
    fn of(airplane: Option<&Airplane>) -> Self {
        airplane.map_or(
            Self { area_by_mass_m2pkg: 1.0 / 62.0, zero_lift: 0.035, induced: 0.06 },
            |airplane| Self {
                area_by_mass_m2pkg: airplane.wing_area.to_m2() / airplane.masses.typical.to_kg(),
                zero_lift: airplane.aerodynamics.drag_zero_lift,
                induced: airplane.aerodynamics.drag_induced,
            },
        )
    }
    /// Power lost to drag, W/kg.
    fn power(&self, speed_mps: f64, load: f64, density_kgpm3: f64) -> f64 {
        let pressure = 0.5 * density_kgpm3 * speed_mps * speed_mps * self.area_by_mass_m2pkg;
        let lift = (load * STANDARD_GRAVITY_MPS2 / pressure.max(1.0)).min(1.6);
        pressure * (self.zero_lift + self.induced * lift * lift) * speed_mps
    }
}

/// State of the wind's filter: wind north, wind east, energy, power of thrust, factor of drag.
const STATES: usize = 5;
/// How far the factor of drag may lie from one.
const DRAG_FACTOR_SIGMA: f64 = 0.3;

/// Finds the wind. The work of drag depends on the airspeed and so on the wind: found again with it.
pub(crate) fn find(
    track: &Track,
    airspeeds: &[TrueAirspeedSeen],
    air: &[Air],
    airplane: Option<&Airplane>,
) -> WindFound {
    const ROUNDS: usize = 3;
    let drag = Drag::of(airplane);
    let mut found = constant(track, [0.0, 0.0], WIND_PRIOR_MPS);
    for _ in 0..ROUNDS {
        let samples = samples(track, &found, air, &drag);
        if samples.len() < 3 {
            return found;
        }
        let tried = RESTLESSNESS.iter().map(|q| (*q, filter(&samples, *q)));
        let best = tried.max_by(|a, b| a.1.total_cmp(&b.1)).map(|best| best.0);
        // Power comes in steps of the throttle, not as a steady restlessness: allow for more than fits best.
        let q = POWER_STEPS_ALLOWANCE * best.unwrap_or(36.0);
        match smooth(track, &samples, q, airspeeds) {
            Some(better) => found = WindFound { thrust_drift: thrust_drift(&samples, q), ..better },
            None => return found,
        }
    }
    found
}

/// The wind told by the user, everywhere the same.
pub(crate) fn told(track: &Track, velocity: [f64; 2]) -> WindFound {
    constant(track, velocity, 1.0)
}

impl WindFound {
    /// None, for a flight of which only its way through the air is known.
    pub(crate) fn still(n: usize) -> Self {
        Self {
            north: vec![0.0; n],
            east: vec![0.0; n],
            sigma_north: vec![0.0; n],
            sigma_east: vec![0.0; n],
            thrust_drift: THRUST_DRIFT_USUAL,
        }
    }
}

fn constant(track: &Track, velocity: [f64; 2], sigma: f64) -> WindFound {
    let n = track.time_s.len();
    WindFound {
        north: vec![velocity[0]; n],
        east: vec![velocity[1]; n],
        sigma_north: vec![sigma; n],
        sigma_east: vec![sigma; n],
        thrust_drift: THRUST_DRIFT_USUAL,
    }
}

/// Restlessness of specific thrust where too little is flown to tell it, (m/s2)^2/s.
const THRUST_DRIFT_USUAL: f64 = 0.06;

/// Restlessness of thrust from that of power, at the usual speed of the flight.
fn thrust_drift(samples: &[Sample], q: f64) -> f64 {
    let squares: Vec<f64> = samples
        .iter()
        .map(|sample| {
            sample.velocity[0] * sample.velocity[0] + sample.velocity[1] * sample.velocity[1]
        })
        .collect();
    let usual = base::numerics::statistics::median(&squares).unwrap_or(2500.0);
    q / usual.max(400.0)
}

fn samples(track: &Track, wind: &WindFound, air: &[Air], drag: &Drag) -> Vec<Sample> {
    let mut out: Vec<Sample> = Vec::new();
    for (k, air) in air.iter().enumerate() {
        let time_s = track.time_s[k];
        let [north, east, down] = track.velocity[k];
        let (an, ae) = (north - wind.north[k], east - wind.east[k]);
        let speed = (an * an + ae * ae + down * down).sqrt();
        // Load from the whole specific force: thrust less drag adds a per cent.
        let [fn_, fe, fd] = track.acceleration[k];
        let load =
            (fn_ * fn_ + fe * fe + (fd - STANDARD_GRAVITY_MPS2) * (fd - STANDARD_GRAVITY_MPS2))
                .sqrt()
                / STANDARD_GRAVITY_MPS2;
        let power = drag.power(speed, load.min(4.0), air.density.to_kgpm3());
        let step = track.time_s.get(k + 1).map_or(0.0, |next| (next - time_s).min(5.0));
        if out.last().is_none_or(|last| time_s >= last.time_s + GRID_S - 1e-6) {
            let square = north * north + east * east + down * down;
            let speed_sigma = track.velocity_sigma[k][0].max(track.velocity_sigma[k][1]);
            // Heights drift slowly with the receiver; over a turn only their change counts.
            let height_sigma_m = 0.5;
            let energy_sigma =
                hypot(square.sqrt() * speed_sigma, STANDARD_GRAVITY_MPS2 * height_sigma_m);
            let energy = 0.5 * square + STANDARD_GRAVITY_MPS2 * track.height_m[k];
            out.push(Sample {
                time_s,
                energy,
                energy_sigma,
                velocity: [north, east],
                drag_work: 0.0,
            });
        }
        if let Some(last) = out.last_mut() {
            last.drag_work += power * step;
        }
    }
    out
}

/// Log of the marginal likelihood of the energies for one restlessness, by a Kalman filter.
fn filter(samples: &[Sample], q: f64) -> f64 {
    let mut x = [0.0, 0.0, samples[0].energy, 50.0, 1.0];
    let mut p = [[0.0; STATES]; STATES];
    let prior = WIND_PRIOR_MPS * WIND_PRIOR_MPS;
    let variances = [prior, prior, 1e6, 1e3, DRAG_FACTOR_SIGMA * DRAG_FACTOR_SIGMA];
    for (i, variance) in variances.into_iter().enumerate() {
        p[i][i] = variance;
    }
    let mut log = 0.0;
    for (index, sample) in samples.iter().enumerate() {
        if index > 0 {
            let before = &samples[index - 1];
            predict(&mut x, &mut p, step_of(before, sample), before.drag_work, q);
        }
        let row = [sample.velocity[0], sample.velocity[1], 1.0, 0.0, 0.0];
        let raw: [f64; STATES] =
            std::array::from_fn(|i| (0..STATES).map(|j| p[i][j] * row[j]).sum());
        let variance: f64 = (0..STATES).map(|i| row[i] * raw[i]).sum::<f64>()
            + sample.energy_sigma * sample.energy_sigma;
        let miss = sample.energy - (0..STATES).map(|i| row[i] * x[i]).sum::<f64>();
        // The first few samples only settle the free level of energy.
        if index > 3 {
            log -= 0.5 * (ln(variance) + (miss * miss / variance).min(25.0));
        }
        for i in 0..STATES {
            x[i] += raw[i] / variance * miss;
        }
        for i in 0..STATES {
            for j in 0..STATES {
                p[i][j] -= raw[i] * raw[j] / variance;
            }
        }
    }
    log
}

fn step_of(before: &Sample, after: &Sample) -> f64 {
    (after.time_s - before.time_s).min(120.0)
}

fn predict(
    x: &mut [f64; STATES],
    p: &mut [[f64; STATES]; STATES],
    dt: f64,
    drag_work: f64,
    q: f64,
) {
    let f = transition(dt, drag_work);
    let moved: [f64; STATES] = std::array::from_fn(|i| (0..STATES).map(|j| f[i][j] * x[j]).sum());
    *x = moved;
    let half: [[f64; STATES]; STATES] = std::array::from_fn(|i| {
        std::array::from_fn(|j| (0..STATES).map(|k| f[i][k] * p[k][j]).sum())
    });
    *p = std::array::from_fn(|i| {
        std::array::from_fn(|j| (0..STATES).map(|k| half[i][k] * f[j][k]).sum())
    });
    p[0][0] += WIND_DRIFT * WIND_DRIFT * dt;
    p[1][1] += WIND_DRIFT * WIND_DRIFT * dt;
    p[2][2] += q * dt * dt * dt / 3.0;
    p[2][3] += q * dt * dt / 2.0;
    p[3][2] += q * dt * dt / 2.0;
    p[3][3] += q * dt;
}

fn transition(dt: f64, drag_work: f64) -> [[f64; STATES]; STATES] {
    [
        [1.0, 0.0, 0.0, 0.0, 0.0],
        [0.0, 1.0, 0.0, 0.0, 0.0],
        [0.0, 0.0, 1.0, dt, -drag_work],
        [0.0, 0.0, 0.0, 1.0, 0.0],
        [0.0, 0.0, 0.0, 0.0, 1.0],
    ]
}

/// The smoothed wind at every knot, by banded normal equations; recorded airspeed linearized about the wind before.
fn smooth(
    track: &Track,
    samples: &[Sample],
    q: f64,
    airspeeds: &[TrueAirspeedSeen],
) -> Option<WindFound> {
    const ROUNDS: usize = 4;
    let rounds = if airspeeds.is_empty() { 1 } else { ROUNDS };
    let mut wind: Vec<[f64; 2]> = vec![[0.0, 0.0]; samples.len()];
    let mut found = WindFound::default();
    for round in 0..rounds {
        let mut system = BlockTridiagonal::<STATES>::new(samples.len());
        // Energies are counted from the first sample's so that the numbers stay small.
        let level = samples[0].energy;
        for (k, sample) in samples.iter().enumerate() {
            let row = [sample.velocity[0], sample.velocity[1], 1.0, 0.0, 0.0];
            system.observe(k, &row, sample.energy - level, sample.energy_sigma);
        }
        for (k, pair) in samples.windows(2).enumerate() {
            let dt = step_of(&pair[0], &pair[1]);
            system.link(k, &transition(dt, pair[0].drag_work), &information(dt, q));
        }
        system.observe(0, &[1.0, 0.0, 0.0, 0.0, 0.0], 0.0, WIND_PRIOR_MPS);
        system.observe(0, &[0.0, 1.0, 0.0, 0.0, 0.0], 0.0, WIND_PRIOR_MPS);
        system.observe(0, &[0.0, 0.0, 1.0, 0.0, 0.0], 0.0, 1e3);
        system.observe(0, &[0.0, 0.0, 0.0, 1.0, 0.0], 50.0, 32.0);
        system.observe(0, &[0.0, 0.0, 0.0, 0.0, 1.0], 1.0, DRAG_FACTOR_SIGMA);
        for seen in airspeeds {
            let time_s = track.time_s[seen.knot];
            let k = samples.partition_point(|sample| sample.time_s <= time_s).saturating_sub(1);
            let [vn, ve, vd] = track.velocity[seen.knot];
            let (an, ae) = (vn - wind[k][0], ve - wind[k][1]);
            let speed = (an * an + ae * ae + vd * vd).sqrt().max(1.0);
            // speed(w) = speed(w0) - (a . (w - w0)) / speed
            let row = [-an / speed, -ae / speed, 0.0, 0.0, 0.0];
            let value = seen.value_mps - speed + row[0] * wind[k][0] + row[1] * wind[k][1];
            system.observe(k, &row, value, seen.sigma_mps);
        }
        if round + 1 < rounds {
            let values = system.solve_values().ok()?.values;
            wind = values.iter().map(|x| [x[0], x[1]]).collect();
            continue;
        }
        let solution = system.solve().ok()?;
        for time_s in &track.time_s {
            let k = samples.partition_point(|sample| sample.time_s <= *time_s).saturating_sub(1);
            found.north.push(solution.values[k][0]);
            found.east.push(solution.values[k][1]);
            found.sigma_north.push(solution.covariances[k][0][0].sqrt());
            found.sigma_east.push(solution.covariances[k][1][1].sqrt());
        }
    }
    Some(found)
}

fn information(dt: f64, q: f64) -> [[f64; STATES]; STATES] {
    let drift = 1.0 / (WIND_DRIFT * WIND_DRIFT * dt);
    // The factor of drag is one number for the flight: it hardly moves from knot to knot.
    let kept = 1e8 / dt;
    [
        [drift, 0.0, 0.0, 0.0, 0.0],
        [0.0, drift, 0.0, 0.0, 0.0],
        [0.0, 0.0, 12.0 / (q * dt * dt * dt), -6.0 / (q * dt * dt), 0.0],
        [0.0, 0.0, -6.0 / (q * dt * dt), 4.0 / (q * dt), 0.0],
        [0.0, 0.0, 0.0, 0.0, kept],
    ]
}

/// True airspeed and wind from three ground speeds flown on headings a third of a turn apart at equal true airspeed.
///
/// Speeds in any one unit, in the order of the headings; returns true airspeed and wind speed in that unit. The squares of the
/// ground speeds have mean `V^2 + w^2` and a spread that gives `V w`; the greater root is the airspeed. `None` when no wind triangle
/// fits. Source: WILLIAMS-AF (headings 120 degrees apart);
/// GRAY-1998 has the case of any three tracks. Checked against exact rows.
#[must_use]
pub fn wind_from_three_headings(ground_speeds: [f64; 3]) -> Option<(f64, f64)> {
    let [a, b, c] = ground_speeds.map(|speed| speed * speed);
    let mean = (a + b + c) / 3.0;
    // g_i^2 = V^2 + w^2 + 2 V w cos(phi - phi_i), phi_i spaced by 120 degrees: the sum of squared deviations is 6 (V w)^2.
    let spread = (a - mean) * (a - mean) + (b - mean) * (b - mean) + (c - mean) * (c - mean);
    let product_square = spread / 6.0;
    let root = (mean * mean - 4.0 * product_square).max(0.0).sqrt();
    let (airspeed_square, wind_square) = (0.5 * (mean + root), 0.5 * (mean - root));
    (airspeed_square.is_finite() && airspeed_square > 0.0)
        .then(|| (airspeed_square.sqrt(), wind_square.max(0.0).sqrt()))
}
