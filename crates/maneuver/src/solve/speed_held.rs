//! Turns on which the airspeed is held by pitch at one setting of power: climbing turns, gliding turns, and the spiral that keeps a
//! radius over the ground.
//!
//! Power decides whether the airplane climbs or sinks, the nose holds the airspeed: the lift follows a climb angle that is the
//! steady one of the speed, power and bank ([`flight::point_mass::steady_path`]) plus a share of the error of speed, approached at
//! a rate chosen so that an error of speed dies out without overshoot (both roots of `s^2 + k s + k^2 / 4`). Equivalent airspeed is
//! held, within a few hundredths of a knot calibrated over such heights. The bank goes in at one rate, is held (or is the one that
//! keeps the radius), and comes off at that rate so that the heading closes: one unknown, the time of the end.
//!
//! The radius over the ground is exact whatever speed and climb angle do: the force across the ground track, of lift and of any
//! change of speed, is made that of the circle.

use base::factors::STANDARD_GRAVITY_MPS2;
use base::math::{atan2, cos, hypot, sin_cos};
use base::numerics::root;
use flight::point_mass::{PointMass, State, SteadyPull, state, steady_path};

use super::roll::{begun, joined, over_rad};
use super::{Flown, SHORT, Schedule, Setting, Steer, resolve};
use crate::reference::Infeasible;

/// What the bank does between the rolls.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Hold {
    /// This bank of the lift, rad.
    Bank(f64),
    /// This radius over the ground, m, in this motion of the air (ahead and to the right of the first course, m/s).
    Circle {
        /// Radius.
        radius_m: f64,
        /// Wind.
        wind_mps: [f64; 2],
    },
}

/// How it is flown.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Form {
    /// Between the rolls.
    pub hold: Hold,
    /// Roll rate, rad/s.
    pub roll_radps: f64,
    /// Share of full power.
    pub power_share: f64,
    /// Heading to turn through, rad.
    pub turn_rad: f64,
}

/// The schedule with its end filled in.
#[derive(Debug, Clone)]
pub struct SpeedHeld<'a> {
    body: &'a PointMass<'a>,
    pull: SteadyPull<'a>,
    form: Form,
    /// Equivalent airspeed times the root of sea-level density, so that no constant is needed.
    pressure_root: f64,
    /// End of the flight, s.
    pub end_s: f64,
    /// Until then it is flown already.
    flown_s: f64,
    /// Where roll-in and roll-out meet the bank that is held, s.
    joints_s: [f64; 2],
}

/// How fast the climb angle follows, 1/s.
const FOLLOW_PER_S: f64 = 0.7;

impl SpeedHeld<'_> {
    /// Climb angle wanted and the lift that brings it, times the cosine of its bank, in g.
    fn upright_load(&self, x: &State, bank_rad: f64) -> f64 {
        let density = self.body.air.at(x[state::HEIGHT]);
        let (thrust_n, _) = self.pull.at(x[state::SPEED], density);
        self.upright_load_under(x, bank_rad, (thrust_n, density))
    }
    fn upright_load_under(&self, x: &State, bank_rad: f64, (thrust_n, density): (f64, f64)) -> f64 {
        let (speed, climb, height) = (x[state::SPEED], x[state::CLIMB], x[state::HEIGHT]);
        let wanted_mps = self.pressure_root / density.sqrt();
        let steady = steady_path(self.body, thrust_n, speed, height, bank_rad);
        let share = FOLLOW_PER_S / (4.0 * STANDARD_GRAVITY_MPS2);
        let wanted_rad = steady.map_or(climb, |path| path.climb_rad) + share * (speed - wanted_mps);
        cos(climb) + speed / STANDARD_GRAVITY_MPS2 * FOLLOW_PER_S * (wanted_rad - climb)
    }
    /// Bank of the lift and load factor that keep the circle.
    fn on_circle(&self, x: &State, radius_m: f64, wind_mps: [f64; 2]) -> (f64, f64) {
        let (speed, climb, height) = (x[state::SPEED], x[state::CLIMB], x[state::HEIGHT]);
        let ((s, c), (sin_climb, cos_climb)) = (sin_cos(x[state::COURSE]), sin_cos(climb));
        let level = speed * cos_climb;
        let (north, east) = (level * c + wind_mps[0], level * s + wind_mps[1]);
        let ground = hypot(north, east);
        // Right of the track, and how much of it lies right of and along the course.
        let (right_n, right_e) = (-east / ground, north / ground);
        let (across, along) = (right_e * c - right_n * s, right_n * c + right_e * s);
        let inward = ground * ground / radius_m;
        // The climb angle is that of the settled turn: a bank made steeper by the nose going down must not call for more of it.
        let settled_slant = inward / (STANDARD_GRAVITY_MPS2 * cos_climb * across);
        let settled = base::math::atan(settled_slant);
        let density = self.body.air.at(height);
        let (thrust_n, added_kg) = self.pull.at(speed, density);
        let upright = self.upright_load_under(x, settled, (thrust_n, density));
        let steeper = STANDARD_GRAVITY_MPS2 / speed * (upright - cos_climb);
        let kept = 1.0 / (1.0 + added_kg / self.body.mass_kg);
        let (pressure_area_n, weight_n) =
            (self.body.pressure_area_n(speed, height), self.body.weight_n());
        let mut load = (1.0 + settled_slant * settled_slant).sqrt();
        let mut sideways = settled_slant;
        // What drag does across the track depends on the load: a weak link, four passes leave nothing.
        for _ in 0..4 {
            let lift = load * weight_n / pressure_area_n;
            let drag_n = pressure_area_n * self.body.drag_coefficient(lift);
            let force_mps2 =
                (thrust_n - drag_n) / self.body.mass_kg - STANDARD_GRAVITY_MPS2 * sin_climb;
            let faster = kept * force_mps2;
            let level_faster = faster * cos_climb - speed * sin_climb * steeper;
            sideways = (inward - level_faster * along) / (across * STANDARD_GRAVITY_MPS2);
            load = (sideways * sideways + upright * upright).sqrt();
        }
        let bank = atan2(sideways, upright);
        (bank, load)
    }
    /// Bank and load that are asked for.
    fn asked(&self, time_s: f64, x: &State) -> (f64, f64) {
        let rate_radps = self.form.roll_radps;
        let rolled = begun(rate_radps, time_s.min(self.end_s - time_s));
        let (held, load) = match self.form.hold {
            Hold::Bank(bank_rad) => (bank_rad, None),
            Hold::Circle { radius_m, wind_mps } => {
                let (bank, load) = self.on_circle(x, radius_m, wind_mps);
                (bank, Some(load))
            }
        };
        match load {
            Some(load) if held + over_rad(rate_radps) <= rolled => (held, load),
            _ => {
                let bank = joined(rolled, held, rate_radps);
                (bank, self.upright_load(x, bank) / cos(bank))
            }
        }
    }
    /// Bank of the lift that is held in a state.
    fn held_rad(&self, x: &State) -> f64 {
        match self.form.hold {
            Hold::Bank(bank_rad) => bank_rad,
            Hold::Circle { radius_m, wind_mps } => self.on_circle(x, radius_m, wind_mps).0,
        }
    }
    /// Whether the bank at this time is the held one.
    #[must_use]
    pub fn holds(&self, time_s: f64) -> bool {
        (self.joints_s[0]..=self.joints_s[1]).contains(&time_s)
    }
}

impl Schedule for SpeedHeld<'_> {
    fn steer(&self, time_s: f64, _: f64) -> Steer {
        // Without a state: the bank alone, level. Flights ask with the state.
        let rolled = begun(self.form.roll_radps, time_s.min(self.end_s - time_s));
        let held = if let Hold::Bank(bank_rad) = self.form.hold { bank_rad } else { 0.0 };
        Steer::Level { bank_rad: joined(rolled, held, self.form.roll_radps) }
    }
    fn steer_in(&self, time_s: f64, x: &State) -> Steer {
        let (lift_bank_rad, load_factor) = self.asked(time_s, x);
        Steer::Load { load_factor, lift_bank_rad }
    }
    fn power_share(&self) -> f64 {
        self.form.power_share
    }
    fn power_steady(&self) -> Option<f64> {
        Some(self.form.power_share)
    }
    fn corners(&self) -> Vec<f64> {
        let [rolled_in_s, roll_out_s] = self.joints_s;
        let ahead = |time_s: &f64| time_s.is_finite() && *time_s > self.flown_s + 1e-9;
        [rolled_in_s, roll_out_s, self.end_s].into_iter().filter(ahead).collect()
    }
}

/// The schedule found and how it flies.
pub type Found<'a> = (SpeedHeld<'a>, Flown);

/// Steady straight flight at the speed of the setting and this power, at its height.
///
/// # Errors
/// When there is no steady path at that speed: the power that level flight needs.
pub fn straight(setting: &Setting<'_>, power_share: f64) -> Result<State, Infeasible> {
    let (speed, height) = (setting.speed_mps, setting.height_m);
    let thrust_n = setting.body.thrust_n(power_share, speed, height);
    let mut x = setting.start();
    let path = steady_path(&setting.body, thrust_n, speed, height, 0.0).ok_or_else(|| {
        lost(setting, "a steady path at this speed and power does not exist: airspeed")
    })?;
    x[state::CLIMB] = path.climb_rad;
    Ok(x)
}

fn lost(setting: &Setting<'_>, what: &str) -> Infeasible {
    Infeasible {
        what: what.into(),
        needed: setting.speed_mps / base::factors::MPS_PER_KT,
        available: 0.0,
        unit: "kt true",
        advice: "another entry speed, more power, or less bank".into(),
    }
}

/// Finds the turn of a form, begun in steady straight flight.
///
/// # Errors
/// When the speed cannot be held, or the turn is not completed.
pub fn solve<'a>(
    setting: &'a Setting<'a>,
    form: Form,
    time_guess_s: f64,
) -> Result<Found<'a>, Infeasible> {
    let start = straight(setting, form.power_share)?;
    let pressure_root = setting.speed_mps * setting.body.air.at(setting.height_m).sqrt();
    let pull = setting.body.steady_pull(form.power_share);
    let make = |end_s: f64, flown_s: f64, joints_s: [f64; 2]| SpeedHeld {
        body: &setting.body,
        pull: pull.clone(),
        form,
        pressure_root,
        end_s,
        flown_s,
        joints_s,
    };
    let failed = || lost(setting, "the turn is not completed at this speed and power: airspeed");
    // Once without a roll-out, past the heading; then the end by trials from shortly before it. Until the roll-out the flights are the
    // same, so that the joints are found on the first, and it is the beginning of the last.
    let longest_s = 1.25 * time_guess_s + 10.0;
    let open = make(f64::INFINITY, 0.0, [longest_s, f64::INFINITY]);
    let over = over_rad(form.roll_radps);
    let entered_s = (1.3 * open.held_rad(&start) + over) / form.roll_radps + 1.0;
    let margin_rad = 0.9f64.min(0.3 * form.turn_rad);
    let near_rad = form.turn_rad - margin_rad;
    let mut flown = Flown::begun(start);
    let (mut from_s, mut until_s) = (0.0, entered_s.min(0.9 * time_guess_s));
    while flown.state(from_s)[state::COURSE] < form.turn_rad {
        // The roll-in has a corner; what follows is smooth.
        let stepping = if from_s > 0.0 { super::FINE } else { SHORT };
        let piece = make(f64::INFINITY, from_s, [until_s, f64::INFINITY]);
        flown = flown.and_on(&setting.body, &piece, stepping).ok_or_else(failed)?;
        if until_s >= longest_s {
            break;
        }
        from_s = until_s;
        until_s = if from_s < 0.9 * time_guess_s {
            0.9 * time_guess_s
        } else {
            (from_s + 0.06 * time_guess_s).min(longest_s)
        };
    }
    let open_s = flown.end_s;
    let held = |time_s: f64| open.held_rad(&flown.state(time_s));
    let rolled = |time_s: f64| begun(form.roll_radps, time_s) - held(time_s) - over;
    let rolled_in_s = root::find(rolled, 0.0, open_s, 1e-12).map_err(|_| failed())?;
    let course = |t: f64| flown.state(t)[state::COURSE] - near_rad;
    let near_s = root::find(course, 0.0, open_s, 1e-6).map_err(|_| failed())?.max(rolled_in_s);
    let near = flown.state(near_s);
    let first_offset =
        resolve(&setting.body, &start, open.steer_in(0.0, &start)).heading_offset_rad;
    let roll_out_s = |end_s: f64| {
        let left = |time_s: f64| held(time_s) + over - begun(form.roll_radps, end_s - time_s);
        root::find(left, near_s, end_s.min(open_s), 1e-12).unwrap_or(near_s)
    };
    let miss = |end_s: f64| {
        let trial = make(end_s, near_s, [0.0, roll_out_s(end_s)]);
        Flown::begun_at(near_s, near).and_on(&setting.body, &trial, SHORT).map_or(
            f64::NAN,
            |flown| {
                let (x, resolved) = flown.at(&setting.body, &trial, flown.end_s);
                x[state::COURSE] + resolved.heading_offset_rad - first_offset - form.turn_rad
            },
        )
    };
    let end_s = root::find(miss, near_s + 0.2, near_s + 25.0, 1e-11).map_err(|_| failed())?;
    let schedule = make(end_s, near_s, [rolled_in_s, roll_out_s(end_s)]);
    let flown = flown.cut(near_s).and_on(&setting.body, &schedule, SHORT).ok_or_else(failed)?;
    Ok((schedule, flown))
}
