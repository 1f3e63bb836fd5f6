//! The airplane under the pilot's hands: a coordinated point mass whose bank, lift and power follow what is asked of them
//! with lags and limits. Left and right are mirror images, the ball is always centred, the air is smooth (limits of the
//! point-mass level; gusts and slip are not flown).

use base::factors::RAD_PER_DEG;
use base::frames::{Attitude, Ned, Vec3};
use base::geodesy::{FLATTENING, Geodetic, SEMI_MAJOR_AXIS_M};
use base::kinds::{CalibratedAirspeed, GeometricHeight, TrueAirspeed};
use base::math::{cos, sin, wrap_pi};
use base::numerics::ode::runge_kutta_4;
use base::units::LoadFactor;
use flight::airspeed::{calibrated_from_true, true_from_calibrated};
use flight::point_mass::{Command, DensityColumn, PointMass, State, state};
use flight::trajectory::FlightSample;

use crate::dice::{Dice, Wander};
use crate::flown::Truth;
use crate::script::Setting;

/// Step of the simulation, s; five make one step of the truth.
pub(crate) const STEP_S: f64 = 0.02;
const STEPS_EACH_TRUTH: usize = 5;
/// The pilot takes out an error of bank in about this time.
const BANK_TIME_S: f64 = 0.5;
/// Time constant of the airplane's roll rate.
const ROLL_TIME_S: f64 = 0.15;
/// Time constant of lift after the stick.
const LIFT_TIME_S: f64 = 0.3;
/// Fastest change of lift coefficient, 1/s.
const LIFT_RATE_MOST: f64 = 2.0;
/// The pilot pulls no further than this share of the greatest lift.
const LIFT_SHARE_MOST: f64 = 0.96;
/// Fastest movement of the throttle, share of full power each second.
const POWER_RATE_MOST: f64 = 0.3;

/// What the pilot asks for at an instant.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Ask {
    /// Bank of the lift, rad, right positive.
    pub(crate) bank_rad: f64,
    /// Fastest roll for it, rad/s.
    pub(crate) roll_most_radps: f64,
    /// Climb angle wanted, rad.
    pub(crate) climb_rad: f64,
    /// Load factor that would keep the climb angle as it should run; what is missing to `climb_rad` is added.
    pub(crate) load_factor: f64,
    /// Time over which an error of the climb angle is taken out, s.
    pub(crate) climb_time_s: f64,
    /// Share of full power.
    pub(crate) power_share: f64,
}

/// Airplane, air and hand at an instant of the flight.
#[derive(Debug)]
pub(crate) struct Cockpit<'a> {
    pub(crate) setting: Setting<'a>,
    pub(crate) body: PointMass<'a>,
    pub(crate) time_s: f64,
    pub(crate) x: State,
    pub(crate) command: Command,
    roll_radps: f64,
    steps: usize,
    wind: Vec3<Ned>,
    place: Geodetic,
    heading_rad: f64,
    heading_first_rad: f64,
    ground_m: [f64; 2],
    dice: Dice,
    hand_bank: Wander,
    hand_climb: Wander,
    pub(crate) truth: Vec<Truth>,
}

impl<'a> Cockpit<'a> {
    /// Level flight at the speed of the setting.
    pub(crate) fn new(setting: Setting<'a>) -> Self {
        let height_m = setting.height.to_m();
        let body = PointMass {
            airplane: setting.airplane,
            mass_kg: setting.mass.to_kg(),
            air: DensityColumn::of_day(setting.day, -200.0, height_m + 4000.0),
        };
        let speed = true_from_calibrated(setting.speed, &setting.day.air_at(setting.height));
        let mut x = [0.0; state::COUNT];
        x[state::SPEED] = speed.to_mps();
        x[state::HEIGHT] = height_m;
        x[state::COURSE] = setting.heading.to_rad();
        let lift_coefficient = body.lift_coefficient_for(1.0, x[state::SPEED], height_m);
        // Where full power does not hold the speed it is flown at full power, and bleeds.
        let power_share = flight::point_mass::level_power(&body, 1.0, x[state::SPEED], height_m)
            .held()
            .unwrap_or(1.0);
        let mut dice = Dice::new(setting.seed, 1);
        let rad = RAD_PER_DEG;
        let hand = setting.hand;
        let hand_bank = Wander::new(hand.bank_deg * rad, hand.memory_s, &mut dice);
        let hand_climb = Wander::new(hand.pitch_deg * rad, hand.memory_s, &mut dice);
        let mut cockpit = Self {
            setting,
            body,
            time_s: 0.0,
            x,
            command: Command { lift_coefficient, lift_bank_rad: 0.0, power_share },
            roll_radps: 0.0,
            steps: 0,
            wind: setting.day.wind.velocity(),
            place: Geodetic { height_m, ..setting.place },
            heading_rad: x[state::COURSE],
            heading_first_rad: x[state::COURSE],
            ground_m: [0.0; 2],
            dice,
            hand_bank,
            hand_climb,
            truth: Vec::new(),
        };
        cockpit.keep();
        cockpit
    }
    pub(crate) fn height_m(&self) -> f64 {
        self.x[state::HEIGHT]
    }
    pub(crate) fn speed_mps(&self) -> f64 {
        self.x[state::SPEED]
    }
    pub(crate) fn climb_rad(&self) -> f64 {
        self.x[state::CLIMB]
    }
    pub(crate) fn bank_rad(&self) -> f64 {
        self.command.lift_bank_rad
    }
    /// Heading, rad, unwrapped.
    pub(crate) fn heading_rad(&self) -> f64 {
        self.heading_rad
    }
    /// Turn rate through the air, rad/s.
    pub(crate) fn turn_rate_radps(&self) -> f64 {
        self.body.derivative(&self.x, &self.command)[state::COURSE]
    }
    /// True airspeed of a calibrated one here, m/s.
    pub(crate) fn true_mps(&self, calibrated: CalibratedAirspeed) -> f64 {
        true_from_calibrated(calibrated, &self.air()).to_mps()
    }
    /// Calibrated airspeed now.
    pub(crate) fn calibrated(&self) -> CalibratedAirspeed {
        calibrated_from_true(TrueAirspeed::from_mps(self.speed_mps()), &self.air())
    }
    fn air(&self) -> flight::air::Air {
        self.setting.day.air_at(GeometricHeight::from_m(self.height_m()))
    }
    /// Flies one step.
    pub(crate) fn step(&mut self, ask: &Ask) {
        let (before, after) = (self.command, self.moved(ask));
        let body = &self.body;
        let mix = |from: f64, to: f64, t: f64| from + (to - from) * t / STEP_S;
        let derivative = |t: f64, x: &State| {
            let command = Command {
                lift_coefficient: mix(before.lift_coefficient, after.lift_coefficient, t),
                lift_bank_rad: mix(before.lift_bank_rad, after.lift_bank_rad, t),
                power_share: mix(before.power_share, after.power_share, t),
            };
            body.derivative(x, &command)
        };
        let velocity_before = self.velocity_mps();
        self.x = runge_kutta_4(derivative, 0.0, &self.x, STEP_S);
        self.command = after;
        self.steps += 1;
        self.time_s = self.steps as f64 * STEP_S;
        self.move_over_ground(velocity_before);
        let attitude = self.attitude();
        self.heading_rad += wrap_pi(attitude.heading_rad - self.heading_rad);
        if self.steps.is_multiple_of(STEPS_EACH_TRUTH) {
            self.keep();
        }
    }
    /// Where the controls are after a step toward what is asked.
    fn moved(&mut self, ask: &Ask) -> Command {
        let Command { lift_coefficient, lift_bank_rad, power_share } = self.command;
        let bank_wanted = ask.bank_rad + self.hand_bank.step(STEP_S, &mut self.dice);
        let climb_wanted = ask.climb_rad + self.hand_climb.step(STEP_S, &mut self.dice);
        let roll_wanted = ((bank_wanted - lift_bank_rad) / BANK_TIME_S)
            .clamp(-ask.roll_most_radps, ask.roll_most_radps);
        self.roll_radps += (roll_wanted - self.roll_radps) * STEP_S / ROLL_TIME_S;
        let (speed, height) = (self.speed_mps(), self.height_m());
        let gravity = base::factors::STANDARD_GRAVITY_MPS2;
        let missing = (climb_wanted - self.climb_rad()) * speed / (gravity * ask.climb_time_s);
        // The pull acts across the bank: more of it is needed the steeper the bank.
        let load = ask.load_factor + missing / cos(lift_bank_rad).max(0.4);
        let most = LIFT_SHARE_MOST * self.body.airplane.aerodynamics.lift_max;
        let lift_wanted = self.body.lift_coefficient_for(load, speed, height).clamp(-0.2, most);
        let lift_rate =
            ((lift_wanted - lift_coefficient) / LIFT_TIME_S).clamp(-LIFT_RATE_MOST, LIFT_RATE_MOST);
        let power_most = POWER_RATE_MOST * STEP_S;
        let power_wanted = ask.power_share.clamp(0.0, 1.0);
        Command {
            lift_coefficient: lift_coefficient + STEP_S * lift_rate,
            lift_bank_rad: lift_bank_rad + STEP_S * self.roll_radps,
            power_share: power_share + (power_wanted - power_share).clamp(-power_most, power_most),
        }
    }
    /// Velocity over the ground.
    fn velocity_mps(&self) -> Vec3<Ned> {
        let (speed, climb, course) = (self.speed_mps(), self.climb_rad(), self.x[state::COURSE]);
        let flat = speed * cos(climb);
        Vec3::new(flat * cos(course), flat * sin(course), -speed * sin(climb)) + self.wind
    }
    /// Position over the curved earth by the trapezoidal rule.
    fn move_over_ground(&mut self, velocity_before: Vec3<Ned>) {
        let mean = (velocity_before + self.velocity_mps()) * 0.5;
        let (north_m, east_m) = (mean.north() * STEP_S, mean.east() * STEP_S);
        self.ground_m[0] += north_m;
        self.ground_m[1] += east_m;
        let squared = FLATTENING * (2.0 - FLATTENING);
        let s = sin(self.place.latitude_rad);
        let root = (1.0 - squared * s * s).sqrt();
        let across_m = SEMI_MAJOR_AXIS_M / root;
        let along_m = SEMI_MAJOR_AXIS_M * (1.0 - squared) / (root * root * root);
        let height_m = self.height_m();
        self.place.longitude_rad += east_m / ((across_m + height_m) * cos(self.place.latitude_rad));
        self.place.latitude_rad += north_m / (along_m + height_m);
        self.place.height_m = height_m;
    }
    fn attitude(&self) -> Attitude {
        let incidence = self.body.airplane.incidence_rad(self.command.lift_coefficient);
        let course = self.x[state::COURSE];
        Attitude::from_path(course, self.climb_rad(), self.bank_rad(), incidence)
    }
    fn keep(&mut self) {
        let (speed_mps, height_m) = (self.speed_mps(), self.height_m());
        let airplane = self.body.airplane;
        let lift = self.command.lift_coefficient;
        let load = lift * self.body.pressure_area_n(speed_mps, height_m) / self.body.weight_n();
        let attitude = self.attitude();
        let calibrated = self.calibrated();
        let stall = airplane.stall_speed(self.setting.mass, LoadFactor::from_g(load.max(0.0)));
        let sample = FlightSample {
            time_s: self.time_s,
            progress_rad: self.heading_rad - self.heading_first_rad,
            turned_rad: self.heading_rad - self.heading_first_rad,
            north_m: self.ground_m[0],
            east_m: self.ground_m[1],
            air_north_m: self.x[state::NORTH],
            air_east_m: self.x[state::EAST],
            height_m,
            true_airspeed_mps: speed_mps,
            calibrated_airspeed_mps: calibrated.to_mps(),
            indicated_airspeed_mps: airplane.indicated(calibrated).to_mps(),
            climb_rad: self.climb_rad(),
            course_rad: self.x[state::COURSE],
            lift_bank_rad: self.bank_rad(),
            incidence_rad: airplane.incidence_rad(lift),
            heading_rad: self.heading_rad,
            pitch_rad: attitude.pitch_rad,
            bank_rad: attitude.bank_rad,
            lift_coefficient: lift,
            load_factor: load,
            power_share: self.command.power_share,
            stall_speed_mps: stall.to_mps(),
        };
        let velocity_mps = self.velocity_mps();
        self.truth.push(Truth { sample, place: self.place, velocity_mps });
    }
}
