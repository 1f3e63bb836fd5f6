//! What a fault looks at: the part, its measures, the other half, and numbers that several faults read.

use crate::attempt::{Estimate, Measure};
use crate::measure::ground::circle;
use crate::part::Part;
use base::factors::{MPS_PER_KT, RAD_PER_DEG, STANDARD_GRAVITY_MPS2};
use base::math::{atan, hypot};

/// What a fault looks at.
pub(crate) struct Seen<'a> {
    pub(crate) part: &'a Part<'a>,
    /// The other half of a figure of two.
    pub(crate) other: Option<&'a Part<'a>>,
    pub(crate) measures: &'a [Measure],
    /// Elevation of the ground, when known, ft.
    pub(crate) ground_ft: Option<f64>,
}

/// What a form asks of the bank.
#[derive(Debug, Clone, Copy)]
pub(super) struct Wanted {
    pub(super) low: f64,
    pub(super) high: f64,
    /// A unit of how bad it is.
    pub(super) allowed: f64,
}

/// Figures in which height is held.
const LEVEL: [&str; 6] = [
    "steep-turn",
    "standard-rate-turn",
    "s-turns",
    "turns-around-a-point",
    "rectangular-course",
    "slow-flight",
];
/// Rates of a standard-rate turn, degrees a second, that are surely none any more (training aid).
const RATES_DPS: (f64, f64) = (2.5, 3.5);

/// S-turns and turns around a point are planned for 45 degrees of bank where it is steepest, directly downwind [AFH-3A]; five more are
/// allowed as in a steep turn (training aid). Upwind they may be as shallow as the wind asks.
const STEEPEST_OVER_GROUND: Wanted = Wanted { low: 0.0, high: 50.0, allowed: 5.0 };

impl Seen<'_> {
    /// A measure by its key, when it could be had.
    pub(super) fn get(&self, key: &str) -> Option<Estimate> {
        self.measures.iter().find(|measure| measure.key == key)?.estimate
    }
    pub(super) fn is(&self, maneuver: &str) -> bool {
        self.part.maneuver == maneuver
    }
    /// Whether the figure is meant to end at entry height and speed.
    pub(super) fn comes_back(&self) -> bool {
        ["steep-turn", "lazy-eight", "wing-over", "standard-rate-turn"]
            .contains(&self.part.maneuver)
            || self.level()
    }
    /// Whether it ends at the speed of its entry.
    pub(super) fn keeps_speed(&self) -> bool {
        self.comes_back() && !self.is("slow-flight")
    }
    /// Whether height is held throughout.
    pub(super) fn level(&self) -> bool {
        LEVEL.contains(&self.part.maneuver)
    }
    /// Whether the stall is what the figure is for.
    pub(super) fn stalls(&self) -> bool {
        ["power-off-stall", "power-on-stall", "accelerated-stall"].contains(&self.part.maneuver)
    }
    /// The bank that is judged against the form, and what the form asks: value, wanted, allowed above, allowed below.
    pub(super) fn bank_of_form(&self) -> Option<(Estimate, &'static str, Wanted)> {
        let around =
            |wanted, allowed| Wanted { low: wanted - allowed, high: wanted + allowed, allowed };
        match (self.part.maneuver, self.part.form) {
            ("steep-turn", form) => {
                let wanted = match form {
                    "45" => 45.0,
                    "60" => 60.0,
                    _ => 50.0,
                };
                Some((
                    self.get("bank_mean_middle_deg")?,
                    "mean bank in the middle of the turn",
                    around(wanted, 5.0),
                ))
            }
            ("chandelle", "shallow") => Some((
                self.get("bank_mean_20_to_85_deg")?,
                "mean bank from 20° to 85° of turn",
                around(30.0, 5.0),
            )),
            ("lazy-eight", _) => {
                Some((self.get("bank_at_90_deg")?, "bank at 90° of turn", around(30.0, 6.0)))
            }
            ("wing-over", _) => {
                let wanted = Wanted { low: 60.0, high: 90.0, allowed: 10.0 };
                Some((self.get("bank_at_90_deg")?, "bank at 90° of turn", wanted))
            }
            ("standard-rate-turn", _) => self.standard_rate_bank(),
            ("s-turns", _) => {
                let steepest = self.get("bank_greatest_deg")?;
                if super::above(steepest, STEEPEST_OVER_GROUND.high, 1.0).is_some() {
                    return Some((steepest, "bank at the steepest", STEEPEST_OVER_GROUND));
                }
                self.bank_by_other_half()
            }
            ("turns-around-a-point", _) => {
                let steepest = self.get("bank_greatest_deg")?;
                Some((steepest, "bank at the steepest", STEEPEST_OVER_GROUND))
            }
            ("steep-spiral", _) => {
                let wanted = Wanted { low: 25.0, high: 60.0, allowed: 5.0 };
                Some((self.get("bank_greatest_deg")?, "bank at the steepest", wanted))
            }
            _ => None,
        }
    }
    /// Bank of a standard-rate turn at the speed flown.
    fn standard_rate_bank(&self) -> Option<(Estimate, &'static str, Wanted)> {
        let tas = self.part.trace.tas_kt.as_ref()?;
        let middle = usize::midpoint(self.part.start, self.part.end);
        let bank = |rate_dps: f64| {
            let across = rate_dps * RAD_PER_DEG * tas.value[middle] * MPS_PER_KT;
            atan(across / STANDARD_GRAVITY_MPS2) / RAD_PER_DEG
        };
        let (low, high) = (bank(RATES_DPS.0), bank(RATES_DPS.1));
        let wanted = Wanted { low, high, allowed: 0.5 * (high - low) };
        Some((self.get("bank_mean_middle_deg")?, "mean bank in the middle of the turn", wanted))
    }
    /// Bank of one half of S-turns, as the tightest place of its track tells it, against that which keeps the radius of the other half in
    /// the wind, within a share of the radius: the wider half is what the tighter one is held against.
    fn bank_by_other_half(&self) -> Option<(Estimate, &'static str, Wanted)> {
        const SHARE: f64 = 0.18;
        let (own, other) = (circle(self.part)?, circle(self.other?)?);
        let at = |radius_m: f64| own.bank_for_deg(self.part, radius_m / own.radius_m);
        let (wanted, high) = (at(other.radius_m)?, at((1.0 - SHARE) * other.radius_m)?);
        let share_sigma = hypot(own.sigma_m, other.sigma_m) / other.radius_m;
        let bank =
            Estimate { value: at(own.least_m)?, sigma: share_sigma * (high - wanted) / SHARE };
        let wanted = Wanted { low: 0.0, high, allowed: (high - wanted).max(1.0) };
        Some((bank, "bank where the track is tightest, for the radius of the other half,", wanted))
    }
    /// Incidence, degrees, where pitch was recorded: pitch less path, across the bank.
    pub(super) fn incidence(&self, index: usize) -> Option<Estimate> {
        let trace = self.part.trace;
        let pitch = trace.pitch_deg.as_ref()?;
        let upright = base::math::cos(trace.bank_deg.value[index] * RAD_PER_DEG).max(0.5);
        let value = (pitch.value[index] - trace.path_deg.value[index]) / upright;
        Some(Estimate { value, sigma: hypot(pitch.sigma[index], trace.path_deg.sigma[index]) })
    }
    /// The greatest incidence of the part: the mean of three neighbors.
    pub(crate) fn incidence_greatest(&self) -> Option<Estimate> {
        let all: Vec<Estimate> =
            self.part.all().map(|i| self.incidence(i)).collect::<Option<_>>()?;
        all.windows(3)
            .map(|three| Estimate {
                value: three.iter().map(|one| one.value).sum::<f64>() / 3.0,
                sigma: three[1].sigma,
            })
            .max_by(|a, b| a.value.total_cmp(&b.value))
    }
    /// Where the part is slowest.
    pub(super) fn slowest(&self) -> usize {
        let cas = &self.part.trace.cas_kt.value;
        self.part.all().min_by(|a, b| cas[*a].total_cmp(&cas[*b])).unwrap_or(self.part.start)
    }
    /// Slowest airspeed over the stall at 1 g, power off; needs the airplane.
    pub(crate) fn over_stall_least(&self) -> Option<Estimate> {
        self.part.over_stall(self.slowest(), 1.0)
    }
    /// Airspeed over the stall at 1 g that is held in the middle of the time; needs the airplane.
    pub(crate) fn held_over_stall(&self) -> Option<Estimate> {
        let (start, n) = (self.part.start, self.part.end.saturating_sub(self.part.start));
        let middle: Vec<usize> = (start + 4 * n / 10..=start + 7 * n / 10).collect();
        self.part.over_stall(*middle.first()?, 1.0)?;
        let over = |i: usize| self.part.over_stall(i, 1.0).expect("the airplane is known");
        Part::mean(&middle, over)
    }
    /// Whether a stall was entered from a turn.
    pub(super) fn turning_entry(&self) -> bool {
        self.part.direction.is_some()
    }
    /// Mean departure of the height from the pivotal one, as a share; needs the ground.
    pub(super) fn pivotal_height_off(&self) -> Option<Estimate> {
        crate::measure::ground::pivotal_height_off(self.part, self.ground_ft?)
    }
    /// Radius of a loop by quarters of the pitch travelled, m.
    pub(super) fn loop_radii(&self) -> Option<[f64; 4]> {
        if !(self.is("loop") || self.is("cuban-eight")) {
            return None;
        }
        let trace = self.part.trace;
        let tas = trace.tas_kt.as_ref()?;
        let mut radii = [0.0; 4];
        for (quarter, radius) in radii.iter_mut().enumerate() {
            let from = self.part.reached(90.0 * quarter as f64 + 5.0)?.0;
            let to = self.part.reached(90.0 * (quarter + 1) as f64 - 5.0)?.0;
            let way: f64 =
                (from..to).map(|i| tas.value[i] * MPS_PER_KT * crate::trace::STEP_S).sum();
            let angle = (self.part.progress_at(to) - self.part.progress_at(from)) * RAD_PER_DEG;
            (to > from && angle > 0.5).then_some(())?;
            *radius = way / angle;
        }
        Some(radii)
    }
}
