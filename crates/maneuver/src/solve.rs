//! Solver families: a schedule flown by the equations of motion, its unknowns found by shooting.
//!
//! Everything is solved as a right turn from heading nil in the air mass; [`sampling`] mirrors it for the left, turns it to the
//! entry heading and lets it drift with the wind. Families: [`climbing_turn`] (bank and pitch schedules in time), [`half_figure`]
//! (load factor and bank schedules of a steep climb and descent), [`pitch_half`] (pitch and bank schedules of a shallow one),
//! [`course_half`] (the same against the course), [`level_turn`] (height held), [`ground`] (arcs of one radius over the ground,
//! straight legs and rolls, in the wind), [`speed_held`] (climbing and gliding turns, speed by the nose), [`scripted`] (slow flight
//! and stalls, phase by phase), [`rolling`] (from bank to bank about a heading), [`pylon`] (a pylon held on the wing tip),
//! [`vertical`] (legs of load and roll through the vertical and inverted).

pub mod climbing_turn;
pub mod course_half;
pub mod ground;
pub mod half_figure;
mod lead;
pub mod level_turn;
pub mod pitch_half;
pub mod pylon;
mod roll;
pub mod rolling;
pub mod sampling;
pub mod scripted;
pub mod speed_held;
pub mod vertical;

use base::math::{acos, asin, atan2, cos, sin, sin_cos};
use base::numerics::least_squares::{self, Variable};
use base::numerics::ode::{self, Solution, Stop};
use flight::air::{Day, DayColumn};
use flight::point_mass::{Command, DensityColumn, PointMass, State, SteadyPull, state};

use crate::reference::Entry;
use flight::airplane::Airplane;

/// The airplane of the day at its entry, ready to be flown.
#[derive(Debug, Clone)]
pub struct Setting<'a> {
    /// The point mass.
    pub body: PointMass<'a>,
    /// The day.
    pub day: &'a Day,
    /// Its air.
    pub column: DayColumn,
    /// True airspeed at entry, m/s.
    pub speed_mps: f64,
    /// Height at entry, m above mean sea level.
    pub height_m: f64,
}

impl<'a> Setting<'a> {
    /// The airplane on this day, entered at this calibrated airspeed.
    #[must_use]
    pub fn new(
        airplane: &'a Airplane,
        day: &'a Day,
        entry: &Entry,
        speed: base::kinds::CalibratedAirspeed,
    ) -> Self {
        let height_m = entry.height.to_m();
        let air = DensityColumn::of_day(day, height_m - 1500.0, height_m + 3000.0);
        let column = day.column();
        let speed_mps =
            flight::airspeed::true_from_calibrated(speed, &column.air_at(entry.height)).to_mps();
        let body = PointMass { airplane, mass_kg: entry.mass.to_kg(), air };
        Self { body, day, column, speed_mps, height_m }
    }
    /// Level flight at entry.
    #[must_use]
    pub fn start(&self) -> State {
        let mut x = [0.0; state::COUNT];
        x[state::SPEED] = self.speed_mps;
        x[state::HEIGHT] = self.height_m;
        x
    }
    /// Pitch attitude of level flight at a load factor and lift bank, rad.
    #[must_use]
    pub fn level_pitch_rad(&self, load_factor: f64, lift_bank_rad: f64) -> f64 {
        let lift = self.body.lift_coefficient_for(load_factor, self.speed_mps, self.height_m);
        asin(cos(lift_bank_rad) * sin(self.body.airplane.incidence_rad(lift)))
    }
    /// Even steps of a flight whose attitude is scheduled: coarse ones and those it is told in. The path follows the nose within a time that
    /// is short for a light wing loading, in dense air and at speed; of steps of more than three such times nothing but their own waves
    /// would be left, and of two the waves of a corner are lost.
    pub(crate) fn even_by_attitude(&self) -> [Stepping; 2] {
        let pressure_area_n = self.body.pressure_area_n(self.speed_mps, self.height_m);
        let slope = self.body.airplane.aerodynamics.lift_slope_per_rad;
        let following_s = self.body.mass_kg * self.speed_mps / (pressure_area_n * slope);
        [(EVEN_COARSE_S, 2.0), (EVEN_S, 1.0)]
            .map(|(usual_s, times)| (&EVEN_RULE, even((times * following_s).min(usual_s))))
    }
    /// Share of full power that holds speed and height of the entry at a load factor; above one where full power does not.
    #[must_use]
    pub fn power_to_hold(&self, load_factor: f64) -> f64 {
        let (speed_mps, height_m) = (self.speed_mps, self.height_m);
        let lift = self.body.lift_coefficient_for(load_factor, speed_mps, height_m);
        let drag_n = self.body.drag_n(lift, speed_mps, height_m);
        self.body.power_share_for(drag_n, speed_mps, height_m)
    }
    /// Stall speed at one g, calibrated, at entry mass, m/s.
    #[must_use]
    pub fn stall_calibrated_mps(&self) -> f64 {
        let mass = base::units::Mass::from_kg(self.body.mass_kg);
        self.body.airplane.stall_speed(mass, base::units::LoadFactor::from_g(1.0)).to_mps()
    }
    /// True airspeed, m/s, of a calibrated one at a height.
    #[must_use]
    pub fn true_mps(&self, calibrated_mps: f64, height_m: f64) -> f64 {
        let air = self.column.air_at(base::kinds::GeometricHeight::from_m(height_m));
        flight::airspeed::true_from_calibrated(
            base::kinds::CalibratedAirspeed::from_mps(calibrated_mps),
            &air,
        )
        .to_mps()
    }
    /// Calibrated airspeed, m/s, of a true one at a height.
    #[must_use]
    pub fn calibrated_mps(&self, true_mps: f64, height_m: f64) -> f64 {
        let air = self.column.air_at(base::kinds::GeometricHeight::from_m(height_m));
        flight::airspeed::calibrated_from_true(base::kinds::TrueAirspeed::from_mps(true_mps), &air)
            .to_mps()
    }
}

/// What a schedule asks for at an instant. Angles in rad, right turn.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Steer {
    /// Pitch and bank as the attitude shows them; lift follows. Not for banks near 90 degrees, where pitch says nothing of lift.
    Attitude {
        /// Nose above the horizon.
        pitch_rad: f64,
        /// Bank of the body.
        bank_rad: f64,
    },
    /// Pitch of the nose and bank of the lift about the velocity.
    PitchAndLiftBank {
        /// Nose above the horizon.
        pitch_rad: f64,
        /// Bank of the lift.
        lift_bank_rad: f64,
    },
    /// Load factor and bank of the lift.
    Load {
        /// Lift over weight.
        load_factor: f64,
        /// Bank of the lift.
        lift_bank_rad: f64,
    },
    /// Load factor, and bank as the attitude shows it.
    LoadAndBank {
        /// Lift over weight.
        load_factor: f64,
        /// Bank of the body.
        bank_rad: f64,
    },
    /// Height held at this bank of the body.
    Level {
        /// Bank of the body.
        bank_rad: f64,
    },
    /// Lift coefficient and bank of the lift.
    Lift {
        /// Lift coefficient.
        lift_coefficient: f64,
        /// Bank of the lift.
        lift_bank_rad: f64,
    },
    /// Climb angle held at this bank of the lift.
    LevelAtLiftBank {
        /// Bank of the lift.
        lift_bank_rad: f64,
    },
    /// Pitch and bank as the attitude shows them, on both sides of the stall: the lift is that of [`stalled_lift`].
    AttitudeInStall {
        /// Nose above the horizon.
        pitch_rad: f64,
        /// Bank of the body.
        bank_rad: f64,
    },
}

/// Lift and attitude that follow from a state and what is asked.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Resolved {
    /// Lift coefficient.
    pub lift_coefficient: f64,
    /// Bank of the lift, rad.
    pub lift_bank_rad: f64,
    /// Angle of attack, rad.
    pub incidence_rad: f64,
    /// Heading less course, rad.
    pub heading_offset_rad: f64,
    /// Nose above the horizon, rad.
    pub pitch_rad: f64,
    /// Bank of the body, rad.
    pub bank_rad: f64,
    /// Drag coefficient beyond the polar: of a stalled wing.
    pub drag_added: f64,
}

/// Finds lift and attitude of what is asked in a state. Source of the angles: exact geometry without sideslip, see
/// `base::frames::Attitude::from_path`.
#[must_use]
pub fn resolve(body: &PointMass<'_>, x: &State, steer: Steer) -> Resolved {
    let (incidence, lift_bank) = incidence_and_lift_bank(body, x, steer);
    let mut resolved = attitude(body, x[state::CLIMB], incidence, lift_bank);
    if let Steer::AttitudeInStall { .. } = steer {
        let separated = stalled_lift(body, incidence);
        resolved.lift_coefficient = separated.lift_coefficient;
        resolved.drag_added = separated.drag_added;
    }
    resolved
}

/// Angle of attack and bank of the lift, rad, of what is asked in a state.
fn incidence_and_lift_bank(body: &PointMass<'_>, x: &State, steer: Steer) -> (f64, f64) {
    let (climb, speed, height) = (x[state::CLIMB], x[state::SPEED], x[state::HEIGHT]);
    match steer {
        Steer::Attitude { pitch_rad, bank_rad }
        | Steer::AttitudeInStall { pitch_rad, bank_rad } => {
            // The velocity has no sideslip: sin(climb) = sin(pitch) cos(a) - cos(pitch) cos(bank) sin(a).
            let ((sin_pitch, cos_pitch), (sin_bank, cos_bank), (sin_climb, cos_climb)) =
                (sin_cos(pitch_rad), sin_cos(bank_rad), sin_cos(climb));
            let (s, k) = (sin_pitch, cos_pitch * cos_bank);
            let reach = (s * s + k * k).sqrt();
            let incidence = acos((sin_climb / reach).clamp(-1.0, 1.0)) - atan2(k, s);
            let lift_bank = asin((cos_pitch * sin_bank / cos_climb).clamp(-1.0, 1.0));
            (incidence, lift_bank)
        }
        Steer::PitchAndLiftBank { pitch_rad, lift_bank_rad } => {
            let (s, cos_climb) = sin_cos(climb);
            let k = cos_climb * cos(lift_bank_rad);
            let reach = (s * s + k * k).sqrt();
            (asin((sin(pitch_rad) / reach).clamp(-1.0, 1.0)) - atan2(s, k), lift_bank_rad)
        }
        Steer::Load { load_factor, lift_bank_rad } => {
            let lift = body.lift_coefficient_for(load_factor, speed, height);
            (body.airplane.incidence_rad(lift), lift_bank_rad)
        }
        Steer::LoadAndBank { load_factor, bank_rad } => {
            let lift = body.lift_coefficient_for(load_factor, speed, height);
            let incidence = body.airplane.incidence_rad(lift);
            (incidence, lift_bank_of(bank_rad, incidence, climb))
        }
        Steer::Level { bank_rad } => {
            let lift_level = body.lift_coefficient_for(cos(climb), speed, height);
            let slant = base::math::tan(bank_rad);
            let mut incidence = 0.0;
            // The tangent of the bank of the lift, so that its cosine costs a root. Each pass leaves about a fiftieth of the error.
            let mut lift_slant = slant;
            for _ in 0..6 {
                let lift = lift_level * (1.0 + lift_slant * lift_slant).sqrt();
                incidence = body.airplane.incidence_rad(lift);
                lift_slant = slant * cos(incidence);
            }
            (incidence, base::math::atan(lift_slant))
        }
        Steer::Lift { lift_coefficient, lift_bank_rad } => {
            (body.airplane.incidence_rad(lift_coefficient), lift_bank_rad)
        }
        Steer::LevelAtLiftBank { lift_bank_rad } => {
            let load = cos(climb) / cos(lift_bank_rad);
            let lift = body.lift_coefficient_for(load, speed, height);
            (body.airplane.incidence_rad(lift), lift_bank_rad)
        }
    }
}

/// Lift and drag beyond the greatest lift.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct StalledLift {
    /// Lift coefficient.
    pub lift_coefficient: f64,
    /// Drag coefficient beyond the polar.
    pub drag_added: f64,
}

/// Lift at an angle of attack on both sides of the stall.
///
/// Up to the greatest lift that of the airplane's line. Beyond it the flow separates over some degrees, as a share `s` that tends to
/// one: the lift falls to 70 % of its greatest, and the force tends to stand square to the wing, so that the drag grows by
/// `s (C_L tan(a) - k C_L^2)`. An estimate for a wing that stalls gently (common practice, no source); real ones differ, most of all
/// in which wing goes first, which a point mass does not know.
#[must_use]
pub fn stalled_lift(body: &PointMass<'_>, incidence_rad: f64) -> StalledLift {
    const LOST: f64 = 0.3;
    const OVER_RAD: f64 = 6.0 * base::factors::RAD_PER_DEG;
    let polar = &body.airplane.aerodynamics;
    let line = body.airplane.lift_coefficient(incidence_rad);
    if line <= polar.lift_max {
        return StalledLift { lift_coefficient: line, drag_added: 0.0 };
    }
    let beyond_rad = (line - polar.lift_max) / polar.lift_slope_per_rad;
    let separated = 1.0 - base::math::exp(-beyond_rad / OVER_RAD);
    let lift = polar.lift_max * (1.0 - LOST * separated);
    let square = lift * base::math::tan(line / polar.lift_slope_per_rad);
    let drag_added = separated * (square - polar.drag_induced * lift * lift).max(0.0);
    StalledLift { lift_coefficient: lift, drag_added }
}

/// Bank of the lift, rad, that shows as `bank_rad` of the body: the inverse of the bank in [`attitude`], in closed form from
/// cos(climb) (sin(lift) cos(bank) - cos(lift) sin(bank) cos(incidence)) = -sin(bank) sin(incidence) sin(climb).
fn lift_bank_of(bank_rad: f64, incidence: f64, climb: f64) -> f64 {
    let ((sb, cb), (sa, ca)) = (sin_cos(bank_rad), sin_cos(incidence));
    let reach = (cb * cb + sb * sb * ca * ca).sqrt();
    let share = sb * sa * base::math::tan(climb) / reach;
    atan2(sb * ca, cb) - asin(share.clamp(-1.0, 1.0))
}

fn attitude(body: &PointMass<'_>, climb: f64, incidence: f64, lift_bank: f64) -> Resolved {
    let ((sc, cc), (sa, ca), (sb, cb)) = (sin_cos(climb), sin_cos(incidence), sin_cos(lift_bank));
    Resolved {
        lift_coefficient: body.airplane.lift_coefficient(incidence),
        lift_bank_rad: lift_bank,
        incidence_rad: incidence,
        heading_offset_rad: atan2(sa * sb, ca * cc - sa * sc * cb),
        pitch_rad: asin((sc * ca + cc * cb * sa).clamp(-1.0, 1.0)),
        bank_rad: atan2(cc * sb, ca * cc * cb - sa * sc),
        drag_added: 0.0,
    }
}

/// A schedule to fly: what is asked at a time and a course turned.
pub trait Schedule {
    /// What is asked at `time_s` with `course_rad` turned through the air.
    fn steer(&self, time_s: f64, course_rad: f64) -> Steer;
    /// What is asked in a state: for schedules that look at speed, height or place too.
    fn steer_in(&self, time_s: f64, x: &State) -> Steer {
        self.steer(time_s, x[state::COURSE])
    }
    /// Share of full power; where it changes, that of the beginning.
    fn power_share(&self) -> f64;
    /// Share of full power in a state: for schedules that move the throttle.
    fn power_share_in(&self, _time_s: f64, _x: &State) -> f64 {
        self.power_share()
    }
    /// Share that engine and propeller give in a state: for schedules whose throttle moves faster than they follow.
    fn power_given_in(&self, time_s: f64, x: &State) -> f64 {
        self.power_share_in(time_s, x)
    }
    /// The share of full power, where it stays as it is over the whole flight: flown faster.
    fn power_steady(&self) -> Option<f64> {
        None
    }
    /// Times at which the schedule has a corner, rising, the last being the end.
    fn corners(&self) -> Vec<f64>;
}

/// A schedule flown.
#[derive(Debug, Clone)]
pub struct Flown {
    /// One solution between corners.
    legs: Vec<Solution<{ state::COUNT }>>,
    start: State,
    /// End of the flight, s.
    pub end_s: f64,
}

const CONTROL: ode::Control = ode::Control {
    relative: 1e-9,
    absolute: 1e-8,
    step_first: 0.4,
    step_max: 5.0,
    steps_max: 4000,
};

/// How a flight is stepped: the rule and how finely.
pub(crate) type Stepping = (&'static ode::Tableau, ode::Control);

/// As flights are told.
const FINE: Stepping = (&ode::DORMAND_PRINCE_8, CONTROL);
/// Where the schedule has corners in its flight, or is read between the steps: a rule of lower order loses less at a corner.
const SHORT: Stepping = (&ode::DORMAND_PRINCE_5, ode::Control { step_first: 0.05, ..CONTROL });
/// As they are searched for: a fifth of the work, and about as far from the truth as the search stops short of its end.
const COARSE: Stepping =
    (&ode::DORMAND_PRINCE_5, ode::Control { relative: 1e-6, absolute: 1e-6, ..CONTROL });

/// The rule of [`SHORT`] where no error is looked at.
const EVEN_RULE: ode::Tableau =
    ode::Tableau { error: ode::Estimate::None, ..ode::DORMAND_PRINCE_5 };
/// In even steps from corner to corner, as flights of smooth schedules are searched for and told: what a condition misses is then a smooth
/// function of the unknowns, so that a search comes to its end in few flights. Less than a millimeter off (a test holds it).
const EVEN: Stepping = (&EVEN_RULE, even(EVEN_S));
/// The same, more coarsely: to come near.
const EVEN_COARSE: Stepping = (&EVEN_RULE, even(EVEN_COARSE_S));
const EVEN_S: f64 = 0.4;
const EVEN_COARSE_S: f64 = 1.2;

/// Steps of one length, at most so long: no error is looked at.
const fn even(step_max: f64) -> ode::Control {
    ode::Control { relative: 1e6, absolute: 1e6, step_first: step_max, step_max, steps_max: 4000 }
}

/// Least squares of as many misses as unknowns that cost a flight: searched for with coarse flights, then brought to the end with fine ones.
pub(crate) fn shoot(
    misses: impl Fn(Stepping, &[f64], &mut [f64]),
    fine: Stepping,
    variables: &[Variable],
    control: &least_squares::Control,
) -> least_squares::Fit {
    shoot_from(misses, (COARSE, fine), variables, control)
}

/// The same in steppings of one's own.
pub(crate) fn shoot_from(
    misses: impl Fn(Stepping, &[f64], &mut [f64]),
    (coarse, fine): (Stepping, Stepping),
    variables: &[Variable],
    control: &least_squares::Control,
) -> least_squares::Fit {
    let count = variables.len();
    // Differences are wide enough that the steps of a coarse flight, which follow its unknowns by jumps, do not spoil them.
    let rough = least_squares::Control { residual: 1e-6, step: 1e-8, difference: 1e-4, ..*control };
    let near = least_squares::minimize(|u, out| misses(coarse, u, out), variables, count, &rough);
    // What comes nowhere near does not with fine flights either.
    if near.residual_norm > NEAR {
        return near;
    }
    let slopes = (|u: &[f64], out: &mut [f64]| misses(coarse, u, out), rough.difference);
    let told = |u: &[f64], out: &mut [f64]| misses(fine, u, out);
    let fit = least_squares::refine_by(told, slopes, variables, near, control);
    if fit.residual_norm < control.residual {
        return fit;
    }
    // Where two flights that close are about to become one, the slopes of coarse flights lead past.
    least_squares::refine(told, variables, fit, control)
}

/// The last flight of a search with its unknowns: told without being flown again.
#[derive(Debug)]
pub(crate) struct LastFlown<F = Flown>(std::cell::RefCell<Option<(Vec<f64>, F)>>);

impl<F> Default for LastFlown<F> {
    fn default() -> Self {
        Self(std::cell::RefCell::new(None))
    }
}

impl<F> LastFlown<F> {
    /// Keeps a flight that is stepped as flights are told.
    pub(crate) fn keep(&self, unknowns: &[f64], flown: F, (stepping, told): (Stepping, Stepping)) {
        let as_told = std::ptr::eq(stepping.0, told.0) && stepping.1 == told.1;
        self.0.replace(as_told.then(|| (unknowns.to_vec(), flown)));
    }
    /// The flight of these unknowns, if it was the last.
    pub(crate) fn take(&self, unknowns: &[f64]) -> Option<F> {
        self.0.take().filter(|(of, _)| of == unknowns).map(|(_, flown)| flown)
    }
}

/// A coarse search that ends with more than this (rad, shares) has not found a flight that closes.
const NEAR: f64 = 1e-3;

/// Flies a schedule from a state; `None` when it leaves the model (speed lost, straight up, not finite).
#[must_use]
pub fn fly(body: &PointMass<'_>, start: State, schedule: &impl Schedule) -> Option<Flown> {
    Flown::begun(start).and_on(body, schedule, FINE)
}

/// [`fly`] in even steps.
pub(crate) fn fly_even(
    body: &PointMass<'_>,
    start: State,
    schedule: &impl Schedule,
) -> Option<Flown> {
    Flown::begun(start).and_on(body, schedule, EVEN)
}

/// [`fly`] with a step control of one's own.
#[must_use]
pub fn fly_with(
    body: &PointMass<'_>,
    start: State,
    schedule: &impl Schedule,
    control: &ode::Control,
) -> Option<Flown> {
    Flown::begun(start).and_on(body, schedule, (&ode::DORMAND_PRINCE_8, *control))
}

impl Flown {
    /// Nothing flown yet.
    #[must_use]
    pub const fn begun(start: State) -> Self {
        Self { legs: Vec::new(), start, end_s: 0.0 }
    }
    /// Nothing flown yet, from a state at a time.
    pub(crate) const fn begun_at(time_s: f64, start: State) -> Self {
        Self { legs: Vec::new(), start, end_s: time_s }
    }
    /// The flight as far as a time.
    pub(crate) fn cut(mut self, time_s: f64) -> Self {
        let whole = self.legs.partition_point(|leg| leg.t_end < time_s);
        self.legs.truncate(whole + 1);
        if let Some(leg) = self.legs.last_mut().filter(|leg| leg.t_end > time_s) {
            leg.state_end = leg.state(time_s);
            leg.t_end = time_s;
            leg.steps.retain(|step| step.t0 < time_s);
        }
        self.end_s = self.end_s.min(time_s);
        self
    }
    /// Flies on from the end, through the corners of a schedule that come later; `None` as in [`fly`]. What was flown is kept.
    #[must_use]
    pub fn and_on(
        mut self,
        body: &PointMass<'_>,
        schedule: &impl Schedule,
        (rule, control): (&ode::Tableau, ode::Control),
    ) -> Option<Self> {
        let pull = schedule.power_steady().map(|share| body.steady_pull(share));
        let pull = pull.as_ref();
        let derivative = |time: f64, x: &State| derivative(body, (schedule, pull), time, x);
        for corner in schedule.corners() {
            // A corner that does not come after the one before is a schedule turned inside out by a trial of the solver.
            if !corner.is_finite() || corner <= self.end_s {
                return None;
            }
            let span = (self.end_s, corner);
            let control = &spread(&control, corner - self.end_s);
            let leg = ode::integrate_by(rule, derivative, span, self.last(), control, &[]);
            if leg.stop != Stop::End {
                return None;
            }
            self.end_s = corner;
            self.legs.push(leg);
        }
        Some(self)
    }
    fn last(&self) -> State {
        self.legs.last().map_or(self.start, |leg| leg.state_end)
    }
}

/// The longest step as long as a whole number of them fills a leg; where errors are looked at, as it is.
fn spread(control: &ode::Control, length_s: f64) -> ode::Control {
    if control.relative < 1.0 {
        return *control;
    }
    let step_s = length_s / (length_s / control.step_max).ceil();
    ode::Control { step_first: step_s, step_max: step_s, ..*control }
}

/// Rate of the state under what the schedule asks; not finite outside of the model.
fn derivative(
    body: &PointMass<'_>,
    (schedule, pull): (&impl Schedule, Option<&SteadyPull<'_>>),
    time: f64,
    x: &State,
) -> State {
    if x[state::SPEED] < 1.0 || x[state::CLIMB].abs() > 1.48 {
        return [f64::NAN; state::COUNT];
    }
    let steer = schedule.steer_in(time, x);
    // The forces need no more than these; the attitude is for those who look.
    let (incidence, lift_bank_rad) = incidence_and_lift_bank(body, x, steer);
    let lift = match steer {
        Steer::AttitudeInStall { .. } => stalled_lift(body, incidence),
        _ => StalledLift {
            lift_coefficient: body.airplane.lift_coefficient(incidence),
            drag_added: 0.0,
        },
    };
    let lift_coefficient = lift.lift_coefficient;
    if let Some(pull) = pull.filter(|_| lift.drag_added == 0.0) {
        return body.derivative_at(x, [lift_coefficient, lift_bank_rad], pull);
    }
    let power_share = schedule.power_given_in(time, x);
    let command = Command { lift_coefficient, lift_bank_rad, power_share };
    let mut rate = body.derivative(x, &command);
    if lift.drag_added > 0.0 {
        let pressure_area_n = body.pressure_area_n(x[state::SPEED], x[state::HEIGHT]);
        let added = body.added_share(command.power_share, x[state::SPEED], x[state::HEIGHT]);
        let slower = pressure_area_n * lift.drag_added / (body.mass_kg * (1.0 + added));
        rate[state::SPEED] -= slower;
        rate[state::WORK] -= slower * x[state::SPEED];
    }
    rate
}

impl Flown {
    /// State at a time, clamped to the flight.
    #[must_use]
    pub fn state(&self, time_s: f64) -> State {
        let leg = self.legs.iter().find(|leg| time_s <= leg.t_end).or(self.legs.last());
        leg.map_or(self.start, |leg| leg.state(time_s))
    }
    /// State and attitude at a time.
    #[must_use]
    pub fn at(
        &self,
        body: &PointMass<'_>,
        schedule: &impl Schedule,
        time_s: f64,
    ) -> (State, Resolved) {
        let x = self.state(time_s);
        (x, resolve(body, &x, schedule.steer_in(time_s, &x)))
    }
    /// Heading turned since the start, rad, at a time: the course turned plus the change of the nose against it.
    #[must_use]
    pub fn heading_rad(&self, body: &PointMass<'_>, schedule: &impl Schedule, time_s: f64) -> f64 {
        let (x, resolved) = self.at(body, schedule, time_s);
        let (_, first) = self.at(body, schedule, 0.0);
        x[state::COURSE] + resolved.heading_offset_rad - first.heading_offset_rad
    }
}

/// True airspeed and height at the end of a flight.
#[must_use]
pub fn state_at_end(flown: &Flown) -> (f64, f64) {
    let x = flown.state(flown.end_s);
    (x[state::SPEED], x[state::HEIGHT])
}

#[cfg(test)]
pub(crate) mod tests;
