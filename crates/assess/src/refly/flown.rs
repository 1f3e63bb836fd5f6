//! What the student did, inferred from the motion of a part.

use super::polar::Polar;
use crate::part::Part;
use crate::trace::STEP_S;
use base::factors::{M_PER_FT, MPS_PER_KT, RAD_PER_DEG, STANDARD_GRAVITY_MPS2};
use base::math::{cos, exp, sin};

/// Steps of the re-flight in a step of the trace.
const CUTS: usize = 2;
/// Step of the re-flight, s.
pub(crate) const FINE_S: f64 = STEP_S / CUTS as f64;
/// Density of the air at sea level, kg/m3 (ISO 2533).
pub(super) const SEA_LEVEL_DENSITY_KGPM3: f64 = 1.225;
/// Height over which the air thins by a factor e, m (near the ground, standard atmosphere).
const THINNING_M: f64 = 10_400.0;
/// Banks steeper than this are taken as this where lift is asked for its vertical part.
pub(crate) const COS_BANK_LEAST: f64 = 0.3;
/// Slowest speed that is flown again, m/s.
const SPEED_LEAST_MPS: f64 = 10.0;

/// Errors of the reconstruction that hold over a part, for one sample.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Doubt {
    /// In standard deviations of the airspeed.
    pub(crate) speed: f64,
    /// In standard deviations of the bank.
    pub(crate) bank: f64,
    /// In standard deviations of the path angle.
    pub(crate) path: f64,
}

impl Doubt {
    /// The most likely motion.
    pub(crate) const NONE: Self = Self { speed: 0.0, bank: 0.0, path: 0.0 };
}

/// What was flown, on an even grid of [`FINE_S`]; turn and bank positive into the turn, forces over weight.
#[derive(Debug, Clone, Default, PartialEq)]
pub(crate) struct Flown {
    pub(crate) speed_mps: Vec<f64>,
    pub(crate) path_rad: Vec<f64>,
    pub(crate) turn_rad: Vec<f64>,
    pub(crate) height_m: Vec<f64>,
    pub(crate) bank_rad: Vec<f64>,
    /// Rate of turn over the step that follows, rad/s.
    pub(crate) rate_radps: Vec<f64>,
    pub(crate) load: Vec<f64>,
    /// Residual force across the lift, into the turn.
    pub(crate) side: Vec<f64>,
    /// Path angle and the part of the incidence that raises the nose: the attitude held.
    pub(crate) attitude_rad: Vec<f64>,
    /// Thrust over weight: acceleration, climb and the drag of the polar.
    pub(crate) thrust: Vec<f64>,
    /// Calibrated over true airspeed.
    pub(crate) calibrated_share: Vec<f64>,
    /// Of the seen lateral force and sideslip, into the turn; nil where no sensor shows them.
    pub(crate) lateral: Vec<f64>,
    pub(crate) sideslip_rad: Vec<f64>,
    /// Over the ground; nil where it is not known.
    pub(crate) north_m: Vec<f64>,
    pub(crate) east_m: Vec<f64>,
    /// Heading at the start, rad, and +1 to the right, -1 to the left.
    pub(crate) heading_rad: f64,
    pub(crate) sign: f64,
    /// Motion over the ground less that through the air, over the step that follows: the wind found, and what is left over.
    pub(crate) drift_mps: Vec<[f64; 2]>,
    /// Whether a sensor shows them.
    pub(crate) lateral_seen: bool,
}

impl Flown {
    /// `None` when airspeed or path are not known, or the part is too short.
    pub(crate) fn of(part: &Part<'_>, polar: &Polar, doubt: Doubt) -> Option<Self> {
        let trace = part.trace;
        let tas = trace.tas_kt.as_ref()?;
        let sign = part.sign();
        let n = (part.end.saturating_sub(part.start)) * CUTS + 1;
        if n < 16 {
            return None;
        }
        let at = |values: &[f64], k: usize| {
            let (i, share) = (part.start + k / CUTS, (k % CUTS) as f64 / CUTS as f64);
            let next = (i + 1).min(values.len() - 1);
            values[i] * (1.0 - share) + values[next] * share
        };
        let fill = |f: &dyn Fn(usize) -> f64| -> Vec<f64> { (0..n).map(f).collect() };
        let middle = usize::midpoint(part.start, part.end);
        let (bank_off, path_off, speed_off) = (
            doubt.bank * trace.bank_deg.sigma[middle],
            doubt.path * trace.path_deg.sigma[middle],
            doubt.speed * tas.sigma[middle],
        );
        let heading = &trace.heading_deg.value;
        let optional = |line: &Option<crate::trace::Line>, scale: f64| match line {
            Some(line) => fill(&|k| sign * scale * at(&line.value, k)),
            None => vec![0.0; n],
        };
        let placed = |line: &Option<crate::trace::Line>| match line {
            Some(line) => fill(&|k| at(&line.value, k)),
            None => vec![0.0; n],
        };
        let mut flown = Self {
            north_m: placed(&trace.north_m),
            east_m: placed(&trace.east_m),
            heading_rad: heading[part.start] * RAD_PER_DEG,
            sign,
            speed_mps: fill(&|k| {
                ((at(&tas.value, k) + speed_off) * MPS_PER_KT).max(SPEED_LEAST_MPS)
            }),
            path_rad: fill(&|k| (at(&trace.path_deg.value, k) + path_off) * RAD_PER_DEG),
            turn_rad: fill(&|k| sign * (at(heading, k) - heading[part.start]) * RAD_PER_DEG),
            height_m: fill(&|k| at(&trace.height_ft.value, k) * M_PER_FT),
            bank_rad: fill(&|k| (sign * at(&trace.bank_deg.value, k) + bank_off) * RAD_PER_DEG),
            calibrated_share: fill(&|k| at(&trace.cas_kt.value, k) / at(&tas.value, k)),
            lateral: optional(&trace.lateral_load_g, 1.0),
            sideslip_rad: optional(&trace.sideslip_deg, RAD_PER_DEG),
            lateral_seen: trace.lateral_load_g.is_some(),
            ..Self::default()
        };
        flown.finite().then(|| flown.infer(polar))?;
        Some(flown)
    }
    fn finite(&self) -> bool {
        let columns = [
            &self.speed_mps,
            &self.path_rad,
            &self.turn_rad,
            &self.height_m,
            &self.bank_rad,
            &self.calibrated_share,
        ];
        columns.into_iter().flatten().all(|value| value.is_finite())
    }
    /// Heading after a turn, rad.
    pub(crate) fn heading(&self, turn_rad: f64) -> f64 {
        self.heading_rad + self.sign * turn_rad
    }
    /// Number of grid points.
    pub(crate) fn len(&self) -> usize {
        self.speed_mps.len()
    }
    /// Dynamic pressure of a true airspeed at a place of the clock and a height, Pa.
    pub(crate) fn pressure_pa(&self, speed_mps: f64, clock: f64, height_m: f64) -> f64 {
        let calibrated = speed_mps * self.calibrated_share(clock, height_m);
        0.5 * SEA_LEVEL_DENSITY_KGPM3 * calibrated * calibrated
    }
    /// Calibrated over true airspeed at a place of the clock, at a height that may not be the one flown.
    pub(crate) fn calibrated_share(&self, clock: f64, height_m: f64) -> f64 {
        let higher_m = height_m - mix(&self.height_m, clock);
        mix(&self.calibrated_share, clock) * exp(-0.5 * higher_m / THINNING_M)
    }
    /// Load, side force, attitude and thrust from the changes over each step; they reproduce the motion when run forward.
    fn infer(&mut self, polar: &Polar) {
        let n = self.len();
        let g = STANDARD_GRAVITY_MPS2;
        for k in 0..n {
            // The last step is that before it.
            let (a, b) = if k + 1 < n { (k, k + 1) } else { (k - 1, k) };
            let rate = |values: &[f64]| (values[b] - values[a]) / FINE_S;
            let (speed, path, bank) = (self.speed_mps[k], self.path_rad[k], self.bank_rad[k]);
            let turning = rate(&self.turn_rad);
            let up = speed * rate(&self.path_rad) / g + cos(path);
            let across = speed * cos(path) * turning / g;
            let load = up * cos(bank) + across * sin(bank);
            let pressure = self.pressure_pa(speed, k as f64, self.height_m[k]);
            let raised = polar.incidence(load, pressure) * cos(bank).max(COS_BANK_LEAST);
            self.rate_radps.push(turning);
            self.load.push(load);
            self.side.push(across * cos(bank) - up * sin(bank));
            self.attitude_rad.push(path + raised);
            let (level, heading) = (speed * cos(path), self.heading(self.turn_rad[k]));
            self.drift_mps.push([
                rate(&self.north_m) - level * cos(heading),
                rate(&self.east_m) - level * sin(heading),
            ]);
            let along = rate(&self.speed_mps) / g + sin(path);
            self.thrust.push(along + polar.drag(load, pressure));
        }
    }
    /// Greatest turn until each place: what looking up by turn walks along.
    pub(crate) fn turned(&self) -> Vec<f64> {
        let mut most = f64::NEG_INFINITY;
        let mut next = |turn: &f64| {
            most = most.max(*turn);
            most
        };
        self.turn_rad.iter().map(&mut next).collect()
    }
    /// A column at the place where a turn is first reached; its last value beyond.
    pub(crate) fn at_turn(&self, column: &[f64], turned: &[f64], turn_rad: f64) -> f64 {
        let after = turned.partition_point(|turn| *turn < turn_rad).min(self.len() - 1);
        if after == 0 {
            return column[0];
        }
        let (low, high) = (turned[after - 1], turned[after]);
        let share =
            if high > low { ((turn_rad - low) / (high - low)).clamp(0.0, 1.0) } else { 1.0 };
        column[after - 1] * (1.0 - share) + column[after] * share
    }
}

/// A column between its places; its last value beyond.
pub(crate) fn mix(column: &[f64], place: f64) -> f64 {
    let last = column.len() - 1;
    let k = (place.max(0.0) as usize).min(last);
    let next = (k + 1).min(last);
    let share = (place - k as f64).clamp(0.0, 1.0);
    column[k] * (1.0 - share) + column[next] * share
}
