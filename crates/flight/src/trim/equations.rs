//! The equations of steady flight: from the unknowns to what is left over.

use base::factors::STANDARD_GRAVITY_MPS2;
use base::frames::{Attitude, Body, Fixed, Ned, Path, Rot, Vec3};
use base::math::{cos, sin};
use base::numerics::least_squares::Variable;
use base::units::{Angle, AngularRate, LoadFactor, Quantity, Speed};

use super::search::Found;
use super::{
    Airspeed, Balance, Conditions, ConditionsError, Curve, Hold, Residual, Stick, Trim, travel,
};
use crate::air::Air;
use crate::airspeed::true_from_calibrated;
use crate::controls::{Inputs, Surfaces};
use crate::flow::Flow;
use crate::vehicle::{ENGINE, Quaternion, State, StateArray, Vehicle, World};

/// Unknowns, in this order.
pub(super) const ALPHA: usize = 0;
pub(super) const BETA: usize = 1;
/// Bank about the velocity.
pub(super) const BANK: usize = 2;
/// Throttle, climb angle or acceleration along the path.
pub(super) const EFFORT: usize = 3;
pub(super) const ELEVATOR: usize = 4;
pub(super) const AILERON: usize = 5;
pub(super) const RUDDER: usize = 6;
pub(super) const POWERPLANT: usize = 7;
/// Turn rate or rate of the pull.
pub(super) const CURVATURE: usize = 8;
/// How many.
pub(super) const UNKNOWNS: usize = 9;
/// Residuals: acceleration along, right, down (path axes); roll, pitch, yaw; engine; balance; curvature.
pub(super) type Unknowns = [f64; UNKNOWNS];

/// Usual sizes of what is measured in radians, so that constraints weigh like accelerations: one g.
const CONSTRAINT_WEIGHT: f64 = STANDARD_GRAVITY_MPS2;

/// Everything that does not change during a search.
#[derive(Debug, Clone, Copy)]
pub(super) struct Equations<'a> {
    pub(super) vehicle: &'a Vehicle,
    pub(super) world: &'a World<'a>,
    pub(super) position_m: Vec3<Fixed>,
    pub(super) time_s: f64,
    pub(super) speed_mps: f64,
    pub(super) curve: Curve,
    pub(super) hold: Hold,
    pub(super) balance: Balance,
    pub(super) flap_rad: f64,
    pub(super) propeller: f64,
    /// Usual size of the engine's state.
    pub(super) engine_size: f64,
    pub(super) heading_cos_sin: (f64, f64),
    pub(super) place: crate::earth::Place,
    pub(super) wind: Vec3<Ned>,
    /// Gravitation with the centrifugal part.
    pub(super) pull: Vec3<Fixed>,
}

/// A flight that the unknowns stand for, before forces.
pub(super) struct Posed {
    pub(super) state: StateArray,
    pub(super) inputs: Inputs,
    pub(super) climb_rad: f64,
    pub(super) turn_radps: f64,
    pub(super) pull_radps: f64,
    pub(super) gain_mps2: f64,
    /// Bank of the wings against the horizon.
    bank_rad: f64,
    ned_from_path: Rot<Path, Ned>,
    required: Vec3<Ned>,
    /// Specific force that this path needs, over standard gravity, normal to it in the plane of symmetry.
    pub(super) load_factor: f64,
    /// And to the right of the airplane, m/s2.
    side_mps2: f64,
}

fn range(
    what: &'static str,
    value: f64,
    (low, high): (f64, f64),
    words: &'static str,
) -> Result<(), ConditionsError> {
    let fine = value > low && value < high;
    if fine { Ok(()) } else { Err(ConditionsError::Range { what, value, range: words }) }
}

fn check(conditions: &Conditions) -> Result<(), ConditionsError> {
    const WIDE: (f64, f64) = (-1.57, 1.57);
    let within = "between -90 and 90 degrees (in radians)";
    let (any, finite) = ((-1e9, 1e9), "finite");
    match conditions.curve {
        Curve::Straight => {}
        Curve::Turn(rate) | Curve::Pull(rate) => range("the rate", rate.to_si(), any, finite)?,
        Curve::TurnAtBank(bank) => range("the bank", bank.to_rad(), WIDE, within)?,
        Curve::TurnAtLoad(load, _) | Curve::PullAtLoad(load) => {
            range("the load factor", load.to_g(), (-100.0, 100.0), "within 100")?;
        }
    }
    let throttle = |share: f64| range("the throttle", share, (-1e-12, 1.0 + 1e-12), "nil to one");
    match conditions.hold {
        Hold::Climb(climb) => range("the climb angle", climb.to_rad(), WIDE, within)?,
        Hold::Throttle(share) => throttle(share)?,
        Hold::Both(climb, share) => {
            range("the climb angle", climb.to_rad(), WIDE, within)?;
            throttle(share)?;
        }
    }
    match conditions.balance {
        Balance::Ball => {}
        Balance::Sideslip(angle) => range("the sideslip", angle.to_rad(), WIDE, within)?,
        Balance::Bank(angle) => range("the bank", angle.to_rad(), (-3.2, 3.2), "within a turn")?,
    }
    if let (Curve::TurnAtLoad(load, _), Hold::Climb(climb) | Hold::Both(climb, _)) =
        (conditions.curve, conditions.hold)
    {
        let least = cos(climb.to_rad());
        range(
            "the load factor",
            load.to_g(),
            (least, 100.0),
            "above the cosine of the climb angle",
        )?;
    }
    match (conditions.curve, conditions.balance) {
        (Curve::TurnAtBank(_), Balance::Bank(_)) => Err(ConditionsError::BankTwice),
        _ => Ok(()),
    }
}

impl<'a> Equations<'a> {
    pub(super) fn new(
        vehicle: &'a Vehicle,
        world: &'a World<'a>,
        conditions: &Conditions,
    ) -> Result<Self, ConditionsError> {
        check(conditions)?;
        let place = world.earth.place(conditions.position_m);
        let air = world.air.at(place.height_m);
        let speed_mps = match conditions.airspeed {
            Airspeed::True(speed) => speed.to_mps(),
            Airspeed::Calibrated(speed) => {
                use base::units::{Pressure, Temperature};
                let temperature = Temperature::from_k(air.temperature_k());
                let air = Air::new(Pressure::from_pa(air.pressure_pa), temperature);
                true_from_calibrated(speed, &air).to_mps()
            }
        };
        if !(speed_mps > 0.0 && speed_mps.is_finite()) {
            return Err(ConditionsError::Speed { mps: speed_mps });
        }
        let turn = world.earth.turn();
        let centrifugal = turn.cross(turn.cross(conditions.position_m));
        let heading_rad = conditions.heading.to_rad();
        let mut equations = Self {
            vehicle,
            world,
            position_m: conditions.position_m,
            time_s: conditions.time_s,
            speed_mps,
            curve: conditions.curve,
            hold: conditions.hold,
            balance: conditions.balance,
            flap_rad: conditions.flap.to_rad(),
            propeller: conditions.propeller,
            engine_size: 1.0,
            heading_cos_sin: (cos(heading_rad), sin(heading_rad)),
            place,
            wind: world.wind.at(conditions.time_s, place.height_m).velocity_mps,
            pull: world.earth.gravitation(conditions.position_m) - centrifugal,
        };
        equations.engine_size = equations.settled(0.0, 0.5).abs().max(1.0);
        Ok(equations)
    }

    /// Where the engine settles at an angle of attack and throttle.
    pub(super) fn settled(&self, alpha_rad: f64, throttle: f64) -> f64 {
        let velocity = Vec3::new(cos(alpha_rad), 0.0, sin(alpha_rad)) * self.speed_mps;
        let flow = Flow::new(velocity, Vec3::ZERO, self.world.air.at(self.place.height_m));
        self.vehicle.propulsion.settled(&flow, &self.inputs(&[0.0; UNKNOWNS], throttle))
    }

    pub(super) fn gravity_mps2(&self) -> f64 {
        self.pull.norm()
    }

    pub(super) fn throttle(&self, x: &Unknowns) -> f64 {
        match self.hold {
            Hold::Climb(_) => x[EFFORT],
            Hold::Throttle(throttle) | Hold::Both(_, throttle) => throttle,
        }
    }

    fn inputs(&self, x: &Unknowns, throttle: f64) -> Inputs {
        let surfaces = Surfaces {
            elevator_rad: x[ELEVATOR],
            aileron_rad: x[AILERON],
            rudder_rad: x[RUDDER],
            flap_rad: self.flap_rad,
        };
        Inputs { surfaces, throttle, propeller: self.propeller }
    }

    /// Bounds and sizes of the unknowns from a first guess.
    pub(super) fn variables(&self, start: &Unknowns) -> [Variable; UNKNOWNS] {
        let domain = self.vehicle.aerodynamics.domain();
        let actuators = &self.vehicle.actuators;
        let free = (f64::NEG_INFINITY, f64::INFINITY);
        let effort = match self.hold {
            Hold::Climb(_) => (0.0, 1.0),
            Hold::Throttle(_) => (-1.5, 1.5),
            Hold::Both(..) => free,
        };
        let curvature = match self.curve {
            Curve::TurnAtBank(_) | Curve::TurnAtLoad(..) | Curve::PullAtLoad(_) => free,
            Curve::Straight | Curve::Turn(_) | Curve::Pull(_) => (0.0, 0.0),
        };
        let beta = domain.beta_rad.min(1.5);
        let beta = match self.balance {
            Balance::Sideslip(angle) => (angle.to_rad(), angle.to_rad()),
            Balance::Ball | Balance::Bank(_) => (-beta, beta),
        };
        let bounds = [
            domain.alpha_rad,
            beta,
            (-4.0, 4.0),
            effort,
            actuators.elevator.limits_rad,
            actuators.aileron.limits_rad,
            actuators.rudder.limits_rad,
            free,
            curvature,
        ];
        let scales = [0.1, 0.1, 0.5, 0.5, 0.1, 0.1, 0.1, self.engine_size, 0.1];
        std::array::from_fn(|i| Variable {
            start: start[i],
            low: bounds[i].0,
            high: bounds[i].1,
            scale: scales[i],
        })
    }

    /// The flight that the unknowns stand for.
    pub(super) fn pose(&self, x: &Unknowns) -> Posed {
        let (climb_rad, gain_mps2) = match self.hold {
            Hold::Climb(climb) => (climb.to_rad(), 0.0),
            Hold::Throttle(_) => (x[EFFORT], 0.0),
            Hold::Both(climb, _) => (climb.to_rad(), x[EFFORT]),
        };
        let (turn_radps, pull_radps) = match self.curve {
            Curve::Straight => (0.0, 0.0),
            Curve::Turn(rate) => (rate.to_si(), 0.0),
            Curve::Pull(rate) => (0.0, rate.to_si()),
            Curve::TurnAtBank(_) | Curve::TurnAtLoad(..) => (x[CURVATURE], 0.0),
            Curve::PullAtLoad(_) => (0.0, x[CURVATURE]),
        };
        // The path as if it ran north, then turned until the nose points where it is asked to.
        let north = Attitude { heading_rad: 0.0, pitch_rad: climb_rad, bank_rad: x[BANK] };
        let path_from_ned: Rot<Ned, Path> = Rot::from_rows_unchecked(*north.body_from_ned().rows());
        let body_from_path = body_from_path(x[ALPHA], x[BETA]);
        let body_from_ned = path_from_ned.then(&body_from_path);
        let rows = body_from_ned.rows();
        let course = self.course(rows[0][0], rows[0][1]);
        let turned = Rot::<Ned, Ned>::from_rows_unchecked([
            [course.0, -course.1, 0.0],
            [course.1, course.0, 0.0],
            [0.0, 0.0, 1.0],
        ]);
        let ned_from_path = path_from_ned.inverse().then(&turned);
        let ned_from_body = body_from_ned.inverse().then(&turned);
        let air_velocity = ned_from_path.apply(Vec3::new(self.speed_mps, 0.0, 0.0));
        let velocity = air_velocity + self.wind;

        let level = self.world.earth.turn_of_level(&self.place, velocity);
        let bend = Vec3::new(-pull_radps * course.1, pull_radps * course.0, turn_radps);
        let required = bend.cross(air_velocity)
            + level.cross(velocity)
            + air_velocity * (gain_mps2 / self.speed_mps);
        let fixed_from_ned = self.place.ned_from_fixed.inverse();
        let fixed_from_body = ned_from_body.then(&fixed_from_ned);
        let velocity_fixed = fixed_from_ned.apply(velocity);
        let rates = ned_from_body.inverse().apply(bend + level)
            + fixed_from_body.inverse().apply(self.world.earth.turn());
        let state = State {
            position_m: self.position_m,
            velocity_mps: velocity_fixed,
            attitude: Quaternion::from_rotation(&fixed_from_body),
            rates_radps: rates,
            engine: x[POWERPLANT],
            surfaces_rad: [x[ELEVATOR], x[AILERON], x[RUDDER]],
        };
        let felt = required - self.place.ned_from_fixed.apply(self.not_felt(velocity_fixed));
        let down_of_lift = ned_from_path.inverse().apply(felt).z;
        Posed {
            state: state.to_array(),
            inputs: self.inputs(x, self.throttle(x)),
            climb_rad,
            turn_radps,
            pull_radps,
            gain_mps2,
            bank_rad: base::math::atan2(rows[1][2], rows[2][2]),
            ned_from_path,
            required,
            load_factor: -down_of_lift / STANDARD_GRAVITY_MPS2,
            side_mps2: ned_from_body.inverse().apply(felt).y,
        }
    }

    /// Acceleration that is not felt at a velocity: gravitation and what turning axes add.
    fn not_felt(&self, velocity: Vec3<Fixed>) -> Vec3<Fixed> {
        self.pull - self.world.earth.turn().cross(velocity) * 2.0
    }

    /// Cosine and sine of the course at which the nose, which lies north and east by this at a course of nil, points where it
    /// is asked to.
    fn course(&self, north: f64, east: f64) -> (f64, f64) {
        let (cos_h, sin_h) = self.heading_cos_sin;
        let length = (north * north + east * east).sqrt();
        if length <= 0.0 {
            return (cos_h, sin_h);
        }
        let (n, e) = (north / length, east / length);
        (cos_h * n + sin_h * e, sin_h * n - cos_h * e)
    }

    /// What is left over.
    pub(super) fn residuals(&self, x: &Unknowns) -> [f64; UNKNOWNS] {
        let posed = self.pose(x);
        let rate = self.vehicle.rate(self.world, self.time_s, &posed.state, &posed.inputs);
        self.compare(&posed, &rate)
    }

    fn compare(&self, posed: &Posed, rate: &StateArray) -> [f64; UNKNOWNS] {
        let flown = self.place.ned_from_fixed.apply(Vec3::new(rate[3], rate[4], rate[5]));
        let Vec3 { x: along, y: across, z: down, .. } =
            posed.ned_from_path.inverse().apply(flown - posed.required);
        let balance = match self.balance {
            Balance::Ball => posed.side_mps2,
            Balance::Sideslip(_) => 0.0,
            Balance::Bank(angle) => {
                CONSTRAINT_WEIGHT * base::math::wrap_pi(posed.bank_rad - angle.to_rad())
            }
        };
        let curvature = match self.curve {
            Curve::Straight | Curve::Turn(_) | Curve::Pull(_) => 0.0,
            Curve::TurnAtBank(bank) => CONSTRAINT_WEIGHT * (posed.bank_rad - bank.to_rad()),
            Curve::TurnAtLoad(load, _) | Curve::PullAtLoad(load) => {
                CONSTRAINT_WEIGHT * (posed.load_factor - load.to_g())
            }
        };
        let engine = rate[ENGINE] / self.engine_size;
        [along, across, down, rate[10], rate[11], rate[12], engine, balance, curvature]
    }

    /// The answer from what was found.
    pub(super) fn report(&self, found: &Found) -> Trim {
        let posed = self.pose(&found.x);
        let instant = self.vehicle.instant(self.world, self.time_s, &posed.state, &posed.inputs);
        let r = self.compare(&posed, &instant.rate);
        let state = State::from_array(&posed.state);
        let attitude = state.attitude_on(&self.world.earth);
        let felt = instant.specific_force(&self.vehicle.mass);
        let actuators = &self.vehicle.actuators;
        Trim {
            stop: found.stop,
            residual: Residual {
                acceleration_mps2: [r[0], r[1], r[2]],
                rotation_radps2: [r[3], r[4], r[5]],
                engine_ps: r[6],
                norm: r.iter().map(|value| value * value).sum::<f64>().sqrt(),
            },
            state,
            inputs: posed.inputs,
            bank: Angle::from_rad(attitude.bank_rad),
            pitch: Angle::from_rad(attitude.pitch_rad),
            climb: Angle::from_rad(posed.climb_rad),
            climb_rate: Speed::from_mps(self.speed_mps * sin(posed.climb_rad)),
            turn_rate: AngularRate::from_radps(posed.turn_radps),
            pull_rate: AngularRate::from_radps(posed.pull_radps),
            acceleration_mps2: posed.gain_mps2,
            load_factor: LoadFactor::from_g(posed.load_factor),
            load_factor_felt_g: -felt.z / STANDARD_GRAVITY_MPS2,
            stick: Stick {
                back: travel(&actuators.elevator, found.x[ELEVATOR]).map(|share| -share),
                right: travel(&actuators.aileron, found.x[AILERON]).map(|share| -share),
                pedal_right: travel(&actuators.rudder, found.x[RUDDER]).map(|share| -share),
            },
            instant,
            evaluations: found.evaluations,
        }
    }
}

/// From path axes at this incidence and sideslip to body axes.
fn body_from_path(alpha_rad: f64, beta_rad: f64) -> Rot<Path, Body> {
    let (sa, ca) = (sin(alpha_rad), cos(alpha_rad));
    let (sb, cb) = (sin(beta_rad), cos(beta_rad));
    Rot::from_rows_unchecked([[ca * cb, -ca * sb, -sa], [sb, cb, 0.0], [sa * cb, -sa * sb, ca]])
}
