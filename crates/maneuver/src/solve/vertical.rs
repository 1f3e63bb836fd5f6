//! Vertical figures: legs of load, roll and power flown one after the other, through the vertical and inverted.
//!
//! A leg follows one law of load: a pull scheduled with the pitch travelled, a round pull (the load that keeps the radius), or a
//! line held. Every leg takes the load and the power of the one before over into its own with time, so that neither jumps.
//! Rolls are scheduled in bank about the velocity, smooth at both ends, at a rate the ailerons give at that speed. The lift never
//! passes a share of the wing's greatest ([`LIFT_SHARE`]), up or down. A pull that must end on a line is begun to be eased at
//! the instant from which the easing ends on it; that instant is found by Newton's rule. What the figure leaves open (pull,
//! easing, power, length of a line) is found by the maneuver's solver above these legs, see `half_loops` and `rolls`.
//!
//! Everything is flown to the north and rolled to the right; [`sampling`] mirrors and turns it.

pub mod half_loops;
pub mod loops;
pub mod rolls;
pub mod sampling;

use base::factors::STANDARD_GRAVITY_MPS2;
use base::math::{atan2, cos, sin};
use base::numerics::least_squares::{self, Variable};
use base::numerics::ode::{self, Solution, Stop};
use base::numerics::root;
use flight::point_mass::vertical::{Command, State, level, path_from_ned, state};

use super::Setting;

/// The greatest share of the wing's greatest lift that a figure uses: the rest is margin over the stall (common practice, no
/// source: it leaves a tenth of the speed).
pub const LIFT_SHARE: f64 = 0.8;
/// Width of the rounding of the lift limit, g.
const LIFT_ROUNDING_G: f64 = 0.3;
/// Time over which the power is moved, s.
const POWER_MOVE_S: f64 = 1.0;

/// Law of the load over a leg.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Load {
    /// `most - (most - top) sin^4(theta / 2)`, theta the pitch of the path from level upright.
    Pull {
        /// Load at the bottom, g.
        most_g: f64,
        /// Load over the top, g.
        top_g: f64,
    },
    /// The load that keeps this radius.
    Round {
        /// Radius of the path, m.
        radius_m: f64,
    },
    /// The load that keeps the path straight in the plane of the lift, times a factor that grows from 1 at both ends of a roll.
    Hold {
        /// The factor in the middle of the leg.
        times: f64,
    },
    /// A load of its own, g.
    Steady(f64),
    /// A load that is a sum of harmonics of the angle rolled, g: constant, three cosines, three sines.
    Rolled([f64; 7]),
}

/// A roll about the velocity at a rate that rises and falls smoothly.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Roll {
    /// Angle rolled, rad, positive.
    pub angle_rad: f64,
    /// Rate in the middle, rad/s.
    pub rate_radps: f64,
    /// Time of rise and of fall of the rate, s.
    pub ramp_s: f64,
    /// What the path pitches in the plane of the loop meanwhile, rad: counted together with the roll.
    pub pitched_rad: f64,
}

impl Roll {
    /// Time of the roll, s.
    #[must_use]
    pub fn duration_s(&self) -> f64 {
        self.angle_rad / self.rate_radps + self.ramp_s
    }
    /// Roll rate at a time since the beginning, rad/s.
    fn rate_at(&self, time_s: f64) -> f64 {
        let edge = time_s.min(self.duration_s() - time_s) / self.ramp_s;
        self.rate_radps * smooth(edge)
    }
    /// Angle rolled at a time since the beginning, rad: the integral of the rate.
    fn angle_at(&self, time_s: f64) -> f64 {
        let half = |t: f64| {
            let s = (t / self.ramp_s).clamp(0.0, 1.0);
            // Integral of the smooth step.
            let rise = s * s * s * (1.0 - 0.5 * s);
            self.rate_radps * (self.ramp_s * rise + (t - self.ramp_s).max(0.0))
        };
        let end = self.duration_s();
        if time_s < 0.5 * end { half(time_s) } else { self.angle_rad - half(end - time_s) }
    }
}

/// One leg.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Leg {
    /// Law of the load.
    pub load: Load,
    /// Time over which the load of the leg before is taken over into the law, s.
    pub blend_s: f64,
    /// Roll, if any.
    pub roll: Option<Roll>,
    /// Share of full power that the leg moves to.
    pub power_share: f64,
    /// Whether the pitch travelled counts in the progress.
    pub counted: bool,
}

impl Leg {
    /// A line held with wings as they are.
    #[must_use]
    pub const fn hold(blend_s: f64, power_share: f64) -> Self {
        Self { load: Load::Hold { times: 1.0 }, blend_s, roll: None, power_share, counted: true }
    }
    /// A pull without roll.
    #[must_use]
    pub const fn pull(load: Load, blend_s: f64, power_share: f64) -> Self {
        Self { load, blend_s, roll: None, power_share, counted: true }
    }
    /// A roll under a law of load.
    #[must_use]
    pub const fn roll(load: Load, blend_s: f64, roll: Roll, power_share: f64) -> Self {
        Self { load, blend_s, roll: Some(roll), power_share, counted: true }
    }
    /// The same leg, its pitch not counted in the progress.
    #[must_use]
    pub const fn uncounted(self) -> Self {
        Self { counted: false, ..self }
    }
}

/// A leg flown.
#[derive(Debug, Clone)]
struct FlownLeg {
    leg: Leg,
    begin_s: f64,
    end_s: f64,
    load_first: f64,
    power_first: f64,
    /// Progress at its beginning and pitch travelled there, rad.
    progress_rad: f64,
    pitched_rad: f64,
    solution: Solution<{ state::COUNT }>,
}

/// Legs flown one after the other.
#[derive(Debug, Clone)]
pub struct Flown<'a> {
    setting: &'a Setting<'a>,
    fineness: Fineness,
    legs: Vec<FlownLeg>,
    /// State at the end.
    pub state: State,
    /// Load factor at the end.
    pub load_factor: f64,
    /// Share of full power at the end.
    pub power_share: f64,
    /// Time at the end, s.
    pub time_s: f64,
    /// Progress at the end: pitch travelled in pulls and angle rolled, rad.
    pub progress_rad: f64,
}

/// The flight at one instant.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Instant {
    /// State.
    pub state: State,
    /// Lift over weight.
    pub load_factor: f64,
    /// Share of full power.
    pub power_share: f64,
    /// Pitch travelled in pulls and angle rolled, rad.
    pub progress_rad: f64,
    /// Roll rate of the lift about the velocity, rad/s.
    pub roll_rate_radps: f64,
}

/// The state with the lift in the vertical plane, on the side it is on.
fn wings_level(x: &State) -> State {
    let path = path_from_ned(x);
    let [along, _, lift] = path.rows();
    let level = (1.0 - along[2] * along[2]).max(0.0).sqrt();
    let half = |sin: f64, cos: f64| 0.5 * atan2(sin, cos);
    let (course, climb) = (half(along[1], along[0]), half(-along[2], level));
    let ((sy, cy), (sp, cp)) = ((sin(course), cos(course)), (sin(climb), cos(climb)));
    let (sr, cr) = if lift[2] < 0.0 { (1.0, 0.0) } else { (0.0, 1.0) };
    let mut out = *x;
    out[state::PATH] = cr * cp * cy + sr * sp * sy;
    out[state::PATH + 1] = sr * cp * cy - cr * sp * sy;
    out[state::PATH + 2] = cr * sp * cy + sr * cp * sy;
    out[state::PATH + 3] = cr * cp * sy - sr * sp * cy;
    out
}

/// Cubic step from nil to one.
fn smooth(share: f64) -> f64 {
    let s = share.clamp(0.0, 1.0);
    s * s * (3.0 - 2.0 * s)
}

const CONTROL: ode::Control = ode::Control {
    relative: 1e-7,
    absolute: 1e-7,
    step_first: 0.05,
    step_max: 1.0,
    steps_max: 2000,
};
/// Rolls are read between their steps (wings across, inverted): the steps stay short.
const CONTROL_ROLL: ode::Control =
    ode::Control { relative: 1e-10, absolute: 1e-10, step_max: 0.25, ..CONTROL };
/// As flights are searched for: a search begins here, and ends on flights as they are told.
const CONTROL_COARSE: ode::Control =
    ode::Control { relative: 1e-5, absolute: 1e-5, step_first: 0.2, ..CONTROL };
/// Differences of an unknown, over its usual size, that tell slopes by coarse flights, whose steps follow it by jumps.
const COARSE_APART: f64 = 1e-3;

/// Where a function of flights is nil between two places, to a tolerance: near it by coarse flights, then by Newton's rule on flights as
/// they are told with the slope of the coarse ones; where that does not settle, by the told ones alone.
pub(crate) fn root_of(
    miss: impl Fn(Fineness, f64) -> f64,
    (low, high): (f64, f64),
    tolerance: f64,
) -> Result<f64, root::RootError> {
    let told = |at: f64| miss(Fineness::Told, at);
    let coarse = |at: f64| miss(Fineness::Coarse, at);
    if let Ok(near) = root::find(coarse, low, high, 1e-6) {
        let apart = COARSE_APART * (high - low).min(1.0);
        let slope = (coarse(near + apart) - coarse(near - apart)) / (2.0 * apart);
        let mut at = near;
        for _ in 0..6 {
            let step = told(at) / slope;
            at -= step;
            if !((low..=high).contains(&at) && (at - near).abs() < 10.0 * apart) {
                break;
            }
            if step.abs() < tolerance {
                return Ok(at);
            }
        }
    }
    root::find(told, low, high, tolerance)
}

/// Least squares of misses that cost a flight: searched for with coarse flights, then brought to the end with flights as they are told.
pub(crate) fn shoot(
    misses: impl Fn(Fineness, &[f64], &mut [f64]),
    variables: &[Variable],
    count: usize,
    control: &least_squares::Control,
) -> least_squares::Fit {
    let coarse = |u: &[f64], out: &mut [f64]| misses(Fineness::Coarse, u, out);
    let rough =
        least_squares::Control { residual: 1e-5, step: 1e-7, difference: COARSE_APART, ..*control };
    let near = least_squares::minimize(coarse, variables, count, &rough);
    let told = |u: &[f64], out: &mut [f64]| misses(Fineness::Told, u, out);
    least_squares::refine_by(told, (coarse, COARSE_APART), variables, near, control)
}

/// How finely legs are stepped.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Fineness {
    /// As flights are told.
    Told,
    /// As they are searched for.
    Coarse,
}

/// A leg that has not ended by then never will, s.
const LEG_LONGEST_S: f64 = 60.0;

impl<'a> Flown<'a> {
    /// Nothing flown yet: level at entry.
    #[must_use]
    pub fn begin(setting: &'a Setting<'a>, power_share: f64) -> Self {
        Self::begin_under(setting, power_share, 1.0)
    }
    /// Nothing flown yet: level at entry, the pull already on.
    #[must_use]
    pub fn begin_under(setting: &'a Setting<'a>, power_share: f64, load_factor: f64) -> Self {
        Self {
            setting,
            fineness: Fineness::Told,
            legs: Vec::new(),
            state: level(setting.speed_mps, setting.height_m),
            load_factor,
            power_share,
            time_s: 0.0,
            progress_rad: 0.0,
        }
    }
    /// What follows is stepped so finely.
    #[must_use]
    pub const fn stepped(mut self, fineness: Fineness) -> Self {
        self.fineness = fineness;
        self
    }
    /// The setting it is flown in.
    #[must_use]
    pub const fn setting(&self) -> &Setting<'a> {
        self.setting
    }
    /// Flies a leg for a time; `None` when it leaves the model.
    #[must_use]
    pub fn for_time(mut self, leg: Leg, duration_s: f64) -> Option<Self> {
        let flown = self.integrate(leg, duration_s, None)?;
        (flown.stop == Stop::End).then(|| self.append_until(leg, flown, duration_s))?;
        Some(self)
    }
    /// Flies a roll from beginning to end, wings level there, upright or inverted: the rounding of the integration is taken off.
    #[must_use]
    pub fn roll(self, leg: Leg) -> Option<Self> {
        let duration_s = leg.roll.as_ref()?.duration_s();
        let mut flown = self.for_time(leg, duration_s)?;
        flown.state = wings_level(&flown.state);
        Some(flown)
    }
    /// Flies a leg until the path has pitched this much since the beginning; `None` when it does not get there.
    #[must_use]
    pub fn until_pitched(mut self, leg: Leg, pitched_rad: f64) -> Option<Self> {
        let flown = self.integrate(leg, LEG_LONGEST_S, Some(pitched_rad))?;
        let duration_s = flown.t_end;
        matches!(flown.stop, Stop::Event(_)).then(|| self.append_until(leg, flown, duration_s))?;
        Some(self)
    }
    /// Pulls, then eases into a line held, so that the line is reached when the path has pitched this much.
    #[must_use]
    pub fn pull_onto(mut self, pull: Leg, ease: Leg, pitched_rad: f64) -> Option<Self> {
        let flown = self.integrate(pull, LEG_LONGEST_S, Some(pitched_rad))?;
        if !matches!(flown.stop, Stop::Event(_)) {
            return None;
        }
        let eased = |cut_s: f64| self.cut(&pull, &flown, cut_s).for_time(ease, ease.blend_s);
        let rate = |x: &State, load: f64| {
            STANDARD_GRAVITY_MPS2 * (load - path_from_ned(x).rows()[2][2]) / x[state::SPEED]
        };
        let mut cut_s = (flown.t_end - 0.5 * ease.blend_s).max(0.0);
        for _ in 0..12 {
            let ended = eased(cut_s)?;
            let miss = pitched_rad - ended.state[state::PITCHED];
            if miss.abs() < 1e-10 {
                self.append_until(pull, flown, cut_s);
                return self.for_time(ease, ease.blend_s);
            }
            let at = flown.state(cut_s);
            let slope = rate(&at, self.law(&pull, cut_s, &at));
            cut_s = (cut_s + miss / slope).clamp(0.0, flown.t_end);
        }
        None
    }

    /// Where a leg, once flown, stands when cut off: the end without the legs.
    fn cut(&self, leg: &Leg, solution: &Solution<{ state::COUNT }>, cut_s: f64) -> Self {
        let x = solution.state(cut_s);
        Self {
            setting: self.setting,
            fineness: self.fineness,
            legs: Vec::new(),
            state: x,
            load_factor: self.law(leg, cut_s, &x),
            power_share: power(leg, self.power_share, cut_s),
            time_s: self.time_s + cut_s,
            progress_rad: self.progress_rad,
        }
    }
    /// True airspeed, m/s, and height, m, at the end.
    #[must_use]
    pub const fn speed_and_height(&self) -> (f64, f64) {
        (self.state[state::SPEED], self.state[state::HEIGHT])
    }
    /// Greatest lift coefficient as a share of the wing's greatest.
    #[must_use]
    pub fn lift_share_max(&self) -> f64 {
        let body = &self.setting.body;
        let share = |time_s: f64| {
            let now = self.at(time_s);
            let (speed, height) = (now.state[state::SPEED], now.state[state::HEIGHT]);
            body.lift_coefficient_for(now.load_factor, speed, height)
                / body.airplane.aerodynamics.lift_max
        };
        (0..=200).map(|i| share(self.time_s * f64::from(i) / 200.0)).fold(0.0, f64::max)
    }

    fn integrate(
        &self,
        leg: Leg,
        duration_s: f64,
        pitched_rad: Option<f64>,
    ) -> Option<Solution<{ state::COUNT }>> {
        let body = &self.setting.body;
        let steady = self.power_share.total_cmp(&leg.power_share).is_eq();
        let pull = steady.then(|| body.steady_pull(self.power_share));
        let derivative = |time_s: f64, x: &State| {
            if x[state::SPEED] < 1.0 {
                return [f64::NAN; state::COUNT];
            }
            let command = self.command(&leg, time_s, x);
            pull.as_ref().map_or_else(
                || body.derivative_vertical(x, &command),
                |pull| {
                    let steer = (command.load_factor, command.roll_rate_radps);
                    body.derivative_vertical_at(x, steer, pull)
                },
            )
        };
        let reached =
            move |_: f64, x: &State| x[state::PITCHED] - pitched_rad.unwrap_or(f64::INFINITY);
        let events: &[ode::Event<'_, { state::COUNT }>] =
            if pitched_rad.is_some() { &[&reached] } else { &[] };
        let control = match self.fineness {
            Fineness::Coarse => &CONTROL_COARSE,
            Fineness::Told if leg.roll.is_some() => &CONTROL_ROLL,
            Fineness::Told => &CONTROL,
        };
        let solution = ode::integrate(derivative, (0.0, duration_s), self.state, control, events);
        matches!(solution.stop, Stop::End | Stop::Event(_)).then_some(solution)
    }

    fn command(&self, leg: &Leg, time_s: f64, x: &State) -> Command {
        let load_factor = self.law(leg, time_s, x);
        Command {
            load_factor,
            roll_rate_radps: roll_rate(leg, time_s, x, load_factor),
            power_share: power(leg, self.power_share, time_s),
        }
    }

    /// Load of a leg that begins with the load at the end of this flight.
    fn law(&self, leg: &Leg, time_s: f64, x: &State) -> f64 {
        load(self.setting, leg, self.load_factor, time_s, x)
    }

    fn append_until(&mut self, leg: Leg, solution: Solution<{ state::COUNT }>, duration_s: f64) {
        let x = solution.state(duration_s);
        let flown = FlownLeg {
            leg,
            begin_s: self.time_s,
            end_s: self.time_s + duration_s,
            load_first: self.load_factor,
            power_first: self.power_share,
            progress_rad: self.progress_rad,
            pitched_rad: self.state[state::PITCHED],
            solution,
        };
        self.load_factor = self.law(&leg, duration_s, &x);
        self.power_share = power(&leg, self.power_share, duration_s);
        self.progress_rad = flown.progress(duration_s, &x);
        self.time_s = flown.end_s;
        self.state = x;
        self.legs.push(flown);
    }

    /// The flight at a time, clamped to it.
    #[must_use]
    pub fn at(&self, time_s: f64) -> Instant {
        let leg = self.legs.iter().find(|leg| time_s <= leg.end_s).or(self.legs.last());
        let Some(flown) = leg else {
            return Instant {
                state: self.state,
                load_factor: self.load_factor,
                power_share: self.power_share,
                progress_rad: 0.0,
                roll_rate_radps: 0.0,
            };
        };
        let since = (time_s - flown.begin_s).clamp(0.0, flown.end_s - flown.begin_s);
        let x = flown.solution.state(since);
        let load_factor = load(self.setting, &flown.leg, flown.load_first, since, &x);
        Instant {
            state: x,
            load_factor,
            power_share: power(&flown.leg, flown.power_first, since),
            progress_rad: flown.progress(since, &x),
            roll_rate_radps: roll_rate(&flown.leg, since, &x, load_factor),
        }
    }
    /// Beginning and end of each roll, s.
    pub fn rolls_s(&self) -> impl Iterator<Item = (f64, f64)> {
        let rolls = self.legs.iter().filter(|leg| leg.leg.roll.is_some());
        rolls.map(|leg| (leg.begin_s, leg.end_s))
    }
}

impl FlownLeg {
    fn progress(&self, since_s: f64, x: &State) -> f64 {
        self.progress_rad
            + match &self.leg.roll {
                Some(roll) => roll.angle_at(since_s) * (1.0 + roll.pitched_rad / roll.angle_rad),
                None if self.leg.counted => x[state::PITCHED] - self.pitched_rad,
                None => 0.0,
            }
    }
}

fn power(leg: &Leg, first: f64, time_s: f64) -> f64 {
    first + (leg.power_share - first) * smooth(time_s / POWER_MOVE_S)
}

/// Load of a leg, g: its law, blended from the load before, within the lift there is.
fn load(setting: &Setting<'_>, leg: &Leg, first: f64, time_s: f64, x: &State) -> f64 {
    let path = path_from_ned(x);
    let lift = path.rows()[2];
    let law = match leg.load {
        Load::Pull { most_g, top_g } => {
            let half = sin(0.5 * x[state::PITCHED]);
            most_g - (most_g - top_g) * half * half * half * half
        }
        Load::Round { radius_m } => {
            x[state::SPEED] * x[state::SPEED] / (STANDARD_GRAVITY_MPS2 * radius_m) + lift[2]
        }
        Load::Hold { times } => {
            let share = leg.roll.map_or(0.0, |roll| bump(time_s / roll.duration_s()));
            (1.0 + (times - 1.0) * share) * lift[2]
        }
        Load::Steady(load_g) => load_g,
        Load::Rolled(g) => {
            let turned = leg.roll.map_or(0.0, |roll| roll.angle_at(time_s));
            (1..=3)
                .map(|k| (k, f64::from(k as u32) * turned))
                .fold(g[0], |sum, (k, angle)| sum + g[k] * cos(angle) + g[k + 3] * sin(angle))
        }
    };
    let blended = first + (law - first) * smooth(time_s / leg.blend_s.max(1e-6));
    limited(setting, blended, x)
}

/// Nil at both ends, one over most of the middle.
fn bump(share: f64) -> f64 {
    let off = 2.0 * share.clamp(0.0, 1.0) - 1.0;
    1.0 - off * off * off * off
}

/// Within the lift of the wing, rounded where it meets the limit.
fn limited(setting: &Setting<'_>, load: f64, x: &State) -> f64 {
    let aerodynamics = &setting.body.airplane.aerodynamics;
    let area_n = setting.body.pressure_area_n(x[state::SPEED], x[state::HEIGHT]);
    let per_g = LIFT_SHARE * area_n / setting.body.weight_n();
    let (most, least) = (aerodynamics.lift_max * per_g, aerodynamics.lift_min * per_g);
    // The lesser of two, rounded where they meet and exact elsewhere.
    let under = |a: f64, b: f64| {
        let near = (LIFT_ROUNDING_G - (a - b).abs()).max(0.0);
        a.min(b) - near * near / (4.0 * LIFT_ROUNDING_G)
    };
    -under(-under(load, most), -least)
}

/// Roll rate about the velocity, rad/s, that makes the bank follow the schedule of the roll: the rate of the schedule less the
/// twist of the vertical plane through the velocity as the course turns. Nil without a roll.
fn roll_rate(leg: &Leg, time_s: f64, x: &State, load_factor: f64) -> f64 {
    let Some(roll) = &leg.roll else { return 0.0 };
    let path = path_from_ned(x);
    let [along, across, _] = path.rows();
    let level = (1.0 - along[2] * along[2]).max(1e-6);
    let course_rate = STANDARD_GRAVITY_MPS2 * load_factor * across[2] / (x[state::SPEED] * level);
    roll.rate_at(time_s) + course_rate * along[2]
}

/// Roll rate that the ailerons give at a state, a share of full deflection, rad/s: it grows with speed up to the stated one at
/// maneuvering speed (common practice, no source).
#[must_use]
pub fn roll_rate_at_radps(setting: &Setting<'_>, x: &State, share: f64) -> f64 {
    let airplane = setting.body.airplane;
    let mass = base::units::Mass::from_kg(setting.body.mass_kg);
    let maneuvering_mps = airplane.calibrated(airplane.maneuvering_speed(mass)).to_mps();
    let speed_mps = setting.calibrated_mps(x[state::SPEED], x[state::HEIGHT]);
    share * airplane.roll_rate_max.to_radps() * (speed_mps / maneuvering_mps).min(1.0)
}

/// Climb angle of a state, rad.
#[must_use]
pub fn climb_rad(x: &State) -> f64 {
    base::math::asin((-path_from_ned(x).rows()[0][2]).clamp(-1.0, 1.0))
}

/// Height of a half turn in the vertical plane and such: scale for misses of height, m.
#[must_use]
pub fn height_scale_m(setting: &Setting<'_>) -> f64 {
    setting.speed_mps * setting.speed_mps / (4.0 * STANDARD_GRAVITY_MPS2)
}
