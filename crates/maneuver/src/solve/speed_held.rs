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
use base::math::{atan2, cos, hypot, sin};
use base::numerics::root;
use flight::point_mass::{PointMass, State, state, steady_path};

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
    form: Form,
    /// Equivalent airspeed times the root of sea-level density, so that no constant is needed.
    pressure_root: f64,
    /// End of the flight, s.
    pub end_s: f64,
    /// Time at which the flown part begins: trials begin near the end.
    begin_s: f64,
    /// Where roll-in and roll-out meet the bank that is held, s.
    joints_s: [f64; 2],
}

/// How fast the climb angle follows, 1/s.
const FOLLOW_PER_S: f64 = 0.7;

impl SpeedHeld<'_> {
    /// Climb angle wanted and the lift that brings it, times the cosine of its bank, in g.
    fn upright_load(&self, x: &State, bank_rad: f64) -> f64 {
        let (speed, climb, height) = (x[state::SPEED], x[state::CLIMB], x[state::HEIGHT]);
        let wanted_mps = self.pressure_root / self.body.air.at(height).sqrt();
        let thrust_n = self.body.thrust_n(self.form.power_share, speed, height);
        let steady = steady_path(self.body, thrust_n, speed, height, bank_rad);
        let share = FOLLOW_PER_S / (4.0 * STANDARD_GRAVITY_MPS2);
        let wanted_rad = steady.map_or(climb, |path| path.climb_rad) + share * (speed - wanted_mps);
        cos(climb) + speed / STANDARD_GRAVITY_MPS2 * FOLLOW_PER_S * (wanted_rad - climb)
    }
    /// Bank of the lift and load factor that keep the circle.
    fn on_circle(&self, x: &State, radius_m: f64, wind_mps: [f64; 2]) -> (f64, f64) {
        let (speed, climb, height) = (x[state::SPEED], x[state::CLIMB], x[state::HEIGHT]);
        let (c, s) = (cos(x[state::COURSE]), sin(x[state::COURSE]));
        let level = speed * cos(climb);
        let (north, east) = (level * c + wind_mps[0], level * s + wind_mps[1]);
        let ground = hypot(north, east);
        // Right of the track, and how much of it lies right of and along the course.
        let (right_n, right_e) = (-east / ground, north / ground);
        let (across, along) = (right_e * c - right_n * s, right_n * c + right_e * s);
        let inward = ground * ground / radius_m;
        // The climb angle is that of the settled turn: a bank made steeper by the nose going down must not call for more of it.
        let settled = base::math::atan(inward / (STANDARD_GRAVITY_MPS2 * cos(climb) * across));
        let upright = self.upright_load(x, settled);
        let thrust_n = self.body.thrust_n(self.form.power_share, speed, height);
        let steeper = STANDARD_GRAVITY_MPS2 / speed * (upright - cos(climb));
        let kept = 1.0 / (1.0 + self.body.added_share(self.form.power_share, speed, height));
        let mut load = 1.0 / cos(settled);
        let mut bank = settled;
        // What drag does across the track depends on the load: a weak link, four passes leave nothing.
        for _ in 0..4 {
            let lift = self.body.lift_coefficient_for(load, speed, height);
            let drag_n = self.body.drag_n(lift, speed, height);
            let force_mps2 =
                (thrust_n - drag_n) / self.body.mass_kg - STANDARD_GRAVITY_MPS2 * sin(climb);
            let faster = kept * force_mps2;
            let level_faster = faster * cos(climb) - speed * sin(climb) * steeper;
            let sideways = (inward - level_faster * along) / (across * STANDARD_GRAVITY_MPS2);
            load = hypot(sideways, upright);
            bank = atan2(sideways, upright);
        }
        (bank, load)
    }
    /// Bank and load that are asked for.
    fn asked(&self, time_s: f64, x: &State) -> (f64, f64) {
        let time_s = time_s + self.begin_s;
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
    fn corners(&self) -> Vec<f64> {
        let [rolled_in_s, roll_out_s] = self.joints_s;
        let all = [rolled_in_s, roll_out_s, self.end_s].map(|time_s| time_s - self.begin_s);
        all.into_iter().filter(|time_s| time_s.is_finite() && *time_s > 1e-9).collect()
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
    let make = |end_s: f64, begin_s: f64, joints_s: [f64; 2]| SpeedHeld {
        body: &setting.body,
        form,
        pressure_root,
        end_s,
        begin_s,
        joints_s,
    };
    let failed = || lost(setting, "the turn is not completed at this speed and power: airspeed");
    // Once without a roll-out, to see when the heading comes near; then the end by trials from shortly before it. Until the
    // roll-out the flights are the same, so that the joints are found on the first.
    let open_s = 1.25 * time_guess_s + 10.0;
    let open = make(f64::INFINITY, 0.0, [open_s, f64::INFINITY]);
    let flown = Flown::begun(start).and_on(&setting.body, &open, SHORT).ok_or_else(failed)?;
    let held = |time_s: f64| open.held_rad(&flown.state(time_s));
    let over = over_rad(form.roll_radps);
    let rolled = |time_s: f64| begun(form.roll_radps, time_s) - held(time_s) - over;
    let rolled_in_s = root::find(rolled, 0.0, open_s, 1e-12).map_err(|_| failed())?;
    let margin_rad = 0.9f64.min(0.3 * form.turn_rad);
    let course = |t: f64| flown.state(t)[state::COURSE] - (form.turn_rad - margin_rad);
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
        Flown::begun(near).and_on(&setting.body, &trial, SHORT).map_or(f64::NAN, |flown| {
            let (x, resolved) = flown.at(&setting.body, &trial, flown.end_s);
            x[state::COURSE] + resolved.heading_offset_rad - first_offset - form.turn_rad
        })
    };
    let end_s = root::find(miss, near_s + 0.2, near_s + 25.0, 1e-11).map_err(|_| failed())?;
    let schedule = make(end_s, 0.0, [rolled_in_s, roll_out_s(end_s)]);
    let flown = Flown::begun(start).and_on(&setting.body, &schedule, SHORT).ok_or_else(failed)?;
    Ok((schedule, flown))
}
