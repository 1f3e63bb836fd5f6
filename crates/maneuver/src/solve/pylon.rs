//! The turn about a pylon that the wing tip points at, in the wind, and the straight legs before and after it.
//!
//! With the sight line along the lateral axis lying on the pylon, velocity through the air and sight line stay square to each other.
//! Differentiating that twice leaves a condition without bank or distance: the height above the pylon is
//! `h = (V^2 + V . w) / g`, with `V . w` the product of air velocity and wind as vectors (the exact law; in calm air the square of
//! the speed over g). The bearing is kept by the rate of turn, `(V + w cos(a)) / r` at a distance `r`; the height follows its
//! condition with a climb angle that is the one the condition asks for as the heading comes round (power constant, so that
//! height and speed are exchanged) plus a share of what is missing. How far off the wing tip the pylon then is is told, not assumed.
//!
//! Three unknowns: the heading of the legs against the wind, the end of the turn, the power. Three conditions: the figure does not
//! wander downwind, the legs are mirror images, the speed comes back.

use base::factors::STANDARD_GRAVITY_MPS2;
use base::math::{atan2, cos, sin, sin_cos};
use base::numerics::least_squares::{self, Variable};
use flight::point_mass::{PointMass, State, SteadyPull, state};

use super::roll::Roll;
use super::{Flown, LastFlown, Schedule, Setting, Steer, Stepping};
use crate::reference::Infeasible;

/// What the form asks. Angles in rad.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Form {
    /// Bank of the lift when the pylon is taken on the wing: the steepest.
    pub bank_rad: f64,
    /// Roll rate, rad/s.
    pub roll_radps: f64,
    /// Time from wings level to wings level between the pylons, s.
    pub straight_s: f64,
    /// Wind, m/s.
    pub wind_mps: f64,
}

/// Half of a straight leg, the turn about the pylon on the right, half of the next leg.
#[derive(Debug, Clone)]
pub struct AboutPylon<'a> {
    body: &'a PointMass<'a>,
    pull: SteadyPull<'a>,
    form: Form,
    /// In the frame, m/s.
    wind_mps: [f64; 2],
    /// First heading, to the right of downwind, rad.
    pub off_downwind_rad: f64,
    power_share: f64,
    height_m: f64,
    /// Ends of the stages: leg, roll-in, turn, roll-out, leg.
    ends_s: [f64; 5],
    /// The pylon, ahead and to the right of the beginning, m.
    pub pylon_m: [f64; 2],
    /// Height of its foot above mean sea level, m.
    pub foot_m: f64,
    bank_out_rad: f64,
}

/// Flown on feedback within half a second and less: the even steps are short.
const FINE: Stepping = (&super::EVEN_RULE, super::even(0.27));
const COARSE: Stepping = (&super::EVEN_RULE, super::even(0.75));
/// In the rolls the climb angle is followed closer, so that the turn begins on that of the law.
const FOLLOW_ROLLING_PER_S: f64 = 4.0;
/// Rates at which climb angle, height and bearing are followed, 1/s.
const FOLLOW_PER_S: f64 = 1.5;
const HEIGHT_PER_S: f64 = 0.8;
const BEARING_PER_S: f64 = 1.5;

impl AboutPylon<'_> {
    /// Share of full power.
    #[must_use]
    pub const fn power(&self) -> f64 {
        self.power_share
    }
    /// How far the flight has come downwind at its end, m.
    #[must_use]
    pub fn wander_m(&self, flown: &Flown) -> f64 {
        let place = self.place_m(flown.end_s, &flown.state(flown.end_s));
        place[0] * cos(self.off_downwind_rad) - place[1] * sin(self.off_downwind_rad)
    }
    /// The same turn begun at another speed and height: the next one of the figure.
    #[must_use]
    pub fn again<'b>(&self, setting: &'b Setting<'b>) -> Option<Found<'b>> {
        let turn_s = self.ends_s[2] - self.ends_s[1];
        attempt(setting, self.form, [self.off_downwind_rad, turn_s, self.power_share], FINE)
    }
    /// Wind in the frame, m/s.
    #[must_use]
    pub const fn wind_mps(&self) -> [f64; 2] {
        self.wind_mps
    }
    /// Stages at whose ends the flight changes: leg, roll-in, turn, roll-out, leg, s.
    #[must_use]
    pub const fn ends_s(&self) -> [f64; 5] {
        self.ends_s
    }
    /// Height above the foot of the pylon, m, that the exact law asks for.
    #[must_use]
    pub fn pivotal_m(&self, x: &State) -> f64 {
        let wind = self.wind_mps();
        let level = x[state::SPEED] * cos(x[state::CLIMB]);
        let along = wind[0] * cos(x[state::COURSE]) + wind[1] * sin(x[state::COURSE]);
        (x[state::SPEED] * x[state::SPEED] + level * along) / STANDARD_GRAVITY_MPS2
    }
    fn place_m(&self, time_s: f64, x: &State) -> [f64; 2] {
        let wind = self.wind_mps();
        [x[state::NORTH] + wind[0] * time_s, x[state::EAST] + wind[1] * time_s]
    }
    /// Load times the cosine of its bank that brings a climb angle.
    fn upright(x: &State, climb_rad: f64, follow_per_s: f64) -> f64 {
        let speed = x[state::SPEED];
        let wanted = follow_per_s * (climb_rad - x[state::CLIMB]);
        cos(x[state::CLIMB]) + speed / STANDARD_GRAVITY_MPS2 * wanted
    }
    /// Climb angle, rad, at which the height keeps to its law while the heading turns at a rate; and the speed, m/s, by which a
    /// climb angle mends an error of height: the law falls as the airplane climbs.
    fn climb_of_law(&self, x: &State, rate_radps: f64) -> (f64, f64) {
        let wind = self.wind_mps();
        let (speed, climb, height) = (x[state::SPEED], x[state::CLIMB], x[state::HEIGHT]);
        let ((s, c), cos_climb) = (sin_cos(x[state::COURSE]), cos(climb));
        let (along, across) = (wind[0] * c + wind[1] * s, wind[1] * c - wind[0] * s);
        let sideways = speed * cos_climb * rate_radps / STANDARD_GRAVITY_MPS2;
        let density = self.body.air.at(height);
        let pressure_area_n = 0.5 * density * speed * speed * self.body.airplane.wing_area.to_m2();
        let load = (sideways * sideways + cos_climb * cos_climb).sqrt();
        let lift = load * self.body.weight_n() / pressure_area_n;
        let drag_n = pressure_area_n * self.body.drag_coefficient(lift);
        let (thrust_n, added_kg) = self.pull.at(speed, density);
        let excess = (thrust_n - drag_n) / self.body.mass_kg;
        // What turns with the propeller takes its share of a change of speed.
        let added = added_kg / self.body.mass_kg;
        let twice = (2.0 * speed + along) / (1.0 + added);
        let drive = (twice * excess + speed * across * rate_radps) / STANDARD_GRAVITY_MPS2;
        (drive / (speed + twice), speed + twice)
    }
    fn straight(&self, x: &State) -> Steer {
        let climb_rad = 0.6 * HEIGHT_PER_S * (self.height_m - x[state::HEIGHT]) / x[state::SPEED];
        Steer::Load { load_factor: Self::upright(x, climb_rad, FOLLOW_PER_S), lift_bank_rad: 0.0 }
    }
    fn rolling(&self, x: &State, bank_rad: f64) -> Steer {
        let rate = STANDARD_GRAVITY_MPS2 * base::math::tan(bank_rad) / x[state::SPEED];
        // With the wings level the law asks for nothing; with the bank it comes.
        let (climb_rad, _) = self.climb_of_law(x, rate);
        let share = (bank_rad / self.form.bank_rad).min(1.0);
        let upright = Self::upright(x, share * climb_rad, FOLLOW_ROLLING_PER_S);
        Steer::Load { load_factor: upright / cos(bank_rad), lift_bank_rad: bank_rad }
    }
    fn turning(&self, time_s: f64, x: &State) -> Steer {
        let wind = self.wind_mps();
        let (speed, climb) = (x[state::SPEED], x[state::CLIMB]);
        let ((s, c), (sin_climb, cos_climb)) = (sin_cos(x[state::COURSE]), sin_cos(climb));
        let place = self.place_m(time_s, x);
        let (north, east) = (self.pylon_m[0] - place[0], self.pylon_m[1] - place[1]);
        let distance_square = north * north + east * east;
        // The rate at which the bearing turns, less a share of how far the pylon stands ahead of the wing.
        let (ground_n, ground_e) =
            (speed * cos_climb * c + wind[0], speed * cos_climb * s + wind[1]);
        let bearing_rate = (north * -ground_e + east * ground_n) / distance_square;
        // The lateral axis is square to the path: in a descent it meets the ground a little behind the wing, in a climb ahead.
        let lead = (x[state::HEIGHT] - self.foot_m) * sin_climb / cos_climb;
        let ahead = atan2(north * c + east * s - lead, east * c - north * s);
        let rate = bearing_rate - BEARING_PER_S * ahead;
        let sideways = speed * cos_climb * rate / STANDARD_GRAVITY_MPS2;
        let (law_rad, over) = self.climb_of_law(x, rate);
        let missing = self.foot_m + self.pivotal_m(x) - x[state::HEIGHT];
        let upright = Self::upright(x, law_rad + HEIGHT_PER_S * missing / over, FOLLOW_PER_S);
        Steer::Load {
            load_factor: (sideways * sideways + upright * upright).sqrt(),
            lift_bank_rad: atan2(sideways, upright),
        }
    }
    /// Angle between the right wing and the line to the pylon, rad, in a state: what the eye sees.
    #[must_use]
    pub fn off_wing_rad(&self, time_s: f64, (x, resolved): (&State, &super::Resolved)) -> f64 {
        let place = self.place_m(time_s, x);
        let line = [
            self.pylon_m[0] - place[0],
            self.pylon_m[1] - place[1],
            x[state::HEIGHT] - self.foot_m,
        ];
        let heading = x[state::COURSE] + resolved.heading_offset_rad;
        let (sb, cb) = (sin(resolved.bank_rad), cos(resolved.bank_rad));
        let (st, ch, sh) = (sin(resolved.pitch_rad), cos(heading), sin(heading));
        // Second column of the attitude matrix: the right wing in north, east, down.
        let wing = [sb * st * ch - cb * sh, sb * st * sh + cb * ch, sb * cos(resolved.pitch_rad)];
        let dot: f64 = line.iter().zip(wing).map(|(a, b)| a * b).sum();
        let length = (line.iter().map(|v| v * v).sum::<f64>()).sqrt();
        base::math::acos((dot / length).clamp(-1.0, 1.0))
    }
}

impl Schedule for AboutPylon<'_> {
    fn steer(&self, _: f64, _: f64) -> Steer {
        Steer::Level { bank_rad: 0.0 }
    }
    fn steer_in(&self, time_s: f64, x: &State) -> Steer {
        let [leg, rolled, turned, level, _] = self.ends_s;
        if time_s <= leg || time_s > level {
            self.straight(x)
        } else if time_s <= rolled {
            self.rolling(x, Roll::new(self.form.bank_rad, self.form.roll_radps).at(time_s - leg))
        } else if time_s <= turned {
            self.turning(time_s, x)
        } else {
            self.rolling(x, Roll::new(self.bank_out_rad, self.form.roll_radps).at(level - time_s))
        }
    }
    fn power_share(&self) -> f64 {
        self.power_share
    }
    fn power_steady(&self) -> Option<f64> {
        Some(self.power_share)
    }
    fn corners(&self) -> Vec<f64> {
        self.ends_s.to_vec()
    }
}

/// The schedule found and how it flies.
pub type Found<'a> = (AboutPylon<'a>, Flown);

/// Finds the turn about a pylon of which the straight legs are mirror images.
///
/// # Errors
/// When none closes: what the nearest misses.
pub fn solve<'a>(setting: &'a Setting<'a>, form: Form) -> Result<Found<'a>, Infeasible> {
    let kept = LastFlown::default();
    let residuals = |stepping: Stepping, u: &[f64], out: &mut [f64]| {
        let Some((about, flown)) = attempt(setting, form, [u[0], u[1], u[2]], stepping) else {
            return out.fill(f64::NAN);
        };
        let x = flown.state(flown.end_s);
        out[0] = about.wander_m(&flown) / 100.0;
        out[1] = x[state::COURSE] - (std::f64::consts::TAU - 2.0 * about.off_downwind_rad);
        out[2] = x[state::SPEED] / setting.speed_mps - 1.0;
        kept.keep(u, (about, flown), (stepping, FINE));
    };
    let (off, turn_s) = guess(setting, &form);
    let power = setting.power_to_hold(1.0 / cos(0.8 * form.bank_rad)).min(1.0);
    let variables = [
        Variable { start: off, low: 0.0, high: 1.4, scale: 0.1 },
        Variable { start: turn_s, low: 0.4 * turn_s, high: 1.6 * turn_s, scale: 0.1 * turn_s },
        Variable { start: power, low: 0.0, high: 1.0, scale: 0.1 },
    ];
    let search = least_squares::Control { residual: 1e-9, secant: true, ..Default::default() };
    let fit = super::shoot_from(residuals, (COARSE, FINE), &variables, &search);
    let again = || attempt(setting, form, [fit.values[0], fit.values[1], fit.values[2]], FINE);
    let found = kept.take(&fit.values).or_else(again);
    match found {
        Some(found) if fit.residual_norm < 1e-7 => Ok(found),
        _ => Err(Infeasible {
            what: "eights on pylons that close: speed at the end of a turn about a pylon".into(),
            needed: setting.speed_mps / base::factors::MPS_PER_KT,
            available: (1.0 + fit.residuals[2]) * setting.speed_mps / base::factors::MPS_PER_KT,
            unit: "kt true",
            advice: "another entry speed, less mass, or a day with less wind".into(),
        }),
    }
}

/// Heading off downwind and time of the turn at constant speed, where `r (V + w cos(a))` is kept and the height is that of the law:
/// the legs and rolls bring back downwind what the turn has gone upwind.
fn guess(setting: &Setting<'_>, form: &Form) -> (f64, f64) {
    let (speed, wind) = (setting.speed_mps, form.wind_mps);
    let tailwind = |heading: f64| speed + wind * cos(heading);
    let kept = |off: f64| {
        let height_m = speed * tailwind(off) / STANDARD_GRAVITY_MPS2;
        height_m / base::math::tan(form.bank_rad) * tailwind(off)
    };
    let roll_s = Roll::new(form.bank_rad, form.roll_radps).duration_s();
    // In a roll half of the turning of the bank; the leg lies so much nearer to downwind.
    let rolled = 0.5 * STANDARD_GRAVITY_MPS2 * base::math::tan(form.bank_rad) / speed * roll_s;
    let upwind = |off: f64| {
        let back_s = form.straight_s + 2.0 * roll_s;
        2.0 * kept(off) / tailwind(off) * sin(off)
            - (speed * cos(off - 0.7 * rolled) + wind) * back_s
    };
    let held = base::numerics::root::find(upwind, 0.0, 1.4, 1e-6).unwrap_or(0.5);
    let (from, to) = (held, std::f64::consts::TAU - held);
    let steps = 40;
    let width = (to - from) / f64::from(steps);
    let pace = |heading: f64| kept(held) / (tailwind(heading) * tailwind(heading));
    let turn_s: f64 = (0..steps).map(|i| width * pace(from + width * (f64::from(i) + 0.5))).sum();
    ((held - rolled).max(0.02), turn_s)
}

/// The flight of these unknowns: heading off downwind, time of the turn, power.
fn attempt<'a>(
    setting: &'a Setting<'a>,
    form: Form,
    [off_downwind_rad, turn_s, power_share]: [f64; 3],
    stepping: Stepping,
) -> Option<Found<'a>> {
    let leg_s = 0.5 * form.straight_s;
    let rolled_s = leg_s + Roll::new(form.bank_rad, form.roll_radps).duration_s();
    let turned_s = rolled_s + turn_s;
    let mut about = AboutPylon {
        body: &setting.body,
        pull: setting.body.steady_pull(power_share),
        wind_mps: [form.wind_mps * cos(off_downwind_rad), -form.wind_mps * sin(off_downwind_rad)],
        form,
        off_downwind_rad,
        power_share,
        height_m: setting.height_m,
        ends_s: [leg_s, rolled_s, rolled_s, rolled_s, rolled_s],
        pylon_m: [0.0; 2],
        foot_m: 0.0,
        bank_out_rad: 0.0,
    };
    about.ends_s = [leg_s, rolled_s, rolled_s + 1e9, rolled_s + 1e9, rolled_s + 1e9];
    let through = |from_s: f64, roll: &Roll, then_s: f64| -> Vec<f64> {
        let corners = roll.corners_s().into_iter().map(|since_s| from_s + since_s);
        let mut all: Vec<f64> = [from_s].into_iter().chain(corners).chain([then_s]).collect();
        all.dedup_by(|later, before| *later < *before + 1e-9);
        all
    };
    let roll = Roll::new(form.bank_rad, form.roll_radps);
    let opening = Ended { about: &about, corners_s: through(leg_s, &roll, rolled_s) };
    let opened = Flown::begun(setting.start()).and_on(&setting.body, &opening, stepping)?;
    let x = opened.state(rolled_s);
    // Abeam on the right, as far as the bank points down to it from the height of the law.
    let height_m = about.pivotal_m(&x);
    let distance_m = height_m / base::math::tan(form.bank_rad);
    let place = about.place_m(rolled_s, &x);
    let (c, s) = (cos(x[state::COURSE]), sin(x[state::COURSE]));
    let lead = height_m * base::math::tan(x[state::CLIMB]);
    about.pylon_m = [place[0] - distance_m * s + lead * c, place[1] + distance_m * c + lead * s];
    about.foot_m = x[state::HEIGHT] - height_m;
    let turning = Ended { about: &about, corners_s: vec![turned_s] };
    let turned = opened.and_on(&setting.body, &turning, stepping)?;
    let x = turned.state(turned_s);
    let Steer::Load { lift_bank_rad, .. } = about.turning(turned_s, &x) else { return None };
    about.bank_out_rad = lift_bank_rad.max(0.05);
    let level_s = turned_s + Roll::new(about.bank_out_rad, form.roll_radps).duration_s();
    about.ends_s = [leg_s, rolled_s, turned_s, level_s, level_s + leg_s];
    let roll = Roll::new(about.bank_out_rad, form.roll_radps);
    let corners_s = through(turned_s, &roll, level_s + leg_s).split_off(1);
    let leaving = Ended { about: &about, corners_s };
    let flown = turned.and_on(&setting.body, &leaving, stepping)?;
    Some((about, flown))
}

/// The schedule with corners of its own: a piece of it.
struct Ended<'s, 'a> {
    about: &'s AboutPylon<'a>,
    corners_s: Vec<f64>,
}

impl Schedule for Ended<'_, '_> {
    fn steer(&self, time_s: f64, course_rad: f64) -> Steer {
        self.about.steer(time_s, course_rad)
    }
    fn steer_in(&self, time_s: f64, x: &State) -> Steer {
        self.about.steer_in(time_s, x)
    }
    fn power_share(&self) -> f64 {
        self.about.power_share
    }
    fn power_steady(&self) -> Option<f64> {
        Some(self.about.power_share)
    }
    fn corners(&self) -> Vec<f64> {
        self.corners_s.clone()
    }
}
