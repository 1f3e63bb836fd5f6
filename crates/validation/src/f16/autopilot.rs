//! The autopilot published with the F-16 of the check cases: feedback of the state on stick, throttle, lateral stick and
//! pedal, without memory. Source: NESC (F16_control.dml; gains as in checks/nesc/README.md).
//!
//! Angles are in degrees, rates in rad/s, as the gains want them.

use base::factors::{M_PER_FT, M_PER_NM, MPS_PER_KT, RAD_PER_DEG};
use base::geodesy::Geodetic;
use base::math::{atan2, cos, hypot, sin, wrap_pi};
use flight::air::SEA_LEVEL_DENSITY_KGPM3;
use flight::controls::{Inputs, Surfaces};
use flight::vehicle::{Instant, State, StateArray, World};

/// Angle of attack and pitch that the gains were designed for, degrees.
const DESIGN_DEG: f64 = 2.653_813_535_191_715;
/// Stick by equivalent airspeed (kt), incidence, pitch rate, pitch.
const STICK: [f64; 4] =
    [-0.063_009_074_230_494, 0.113_230_403_179_271, 10.113_432_224_566_077, 3.154_983_341_632_913];
/// Throttle by the same.
const THROTTLE: [f64; 4] =
    [0.997_260_602_961_658, -0.025_467_711_176_391, 1.213_308_488_207_827, 0.208_744_369_535_208];
/// Lateral stick by bank, sideslip, roll rate, yaw rate.
const LATERAL: [f64; 4] =
    [3.078_043_941_515_77, 0.032_365_863_044_163, 4.557_858_908_828_332, 0.589_443_156_647_647];
/// Pedal by the same.
const PEDAL: [f64; 4] =
    [-0.705_817_452_754_520, -0.256_362_860_634_868, -1.073_666_149_713_151, 0.822_114_635_953_878];
/// Elevator by the full stick, degrees.
const STICK_DEG: f64 = 25.0;
/// Nautical miles in a degree of a great circle, as the trade counts them (and the navigator of the check cases).
const NM_PER_DEG: f64 = 60.0;

/// Which way over the ground.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Route {
    /// A line of constant course from a place, flown this far to the right of it.
    Line {
        /// Where it begins, height ignored.
        from: Geodetic,
        /// Course, degrees true.
        course_deg: f64,
        /// Distance to the right of it, ft; `None` when only the course is held.
        right_ft: Option<f64>,
    },
    /// A circle around a place, counterclockwise seen from above.
    Circle {
        /// Its center, height ignored.
        center: Geodetic,
        /// Its radius, nautical miles.
        radius_nm: f64,
    },
}

impl Route {
    /// Course along the route, degrees, and distance to the right of it, ft.
    fn at(&self, place: Geodetic) -> (f64, f64) {
        match *self {
            Self::Line { course_deg, right_ft: None, .. } => (course_deg, 0.0),
            Self::Line { from, course_deg, right_ft: Some(right_ft) } => {
                // Along meridian and parallel, the parallel at the middle latitude: a line of constant course is straight.
                let middle = 0.5 * (from.latitude_rad + place.latitude_rad);
                let (meridian_m, parallel_m) = radii_m(middle);
                let north = (place.latitude_rad - from.latitude_rad) * meridian_m;
                let east = wrap_pi(place.longitude_rad - from.longitude_rad) * parallel_m;
                let course = course_deg * RAD_PER_DEG;
                let right_m = east * cos(course) - north * sin(course);
                (course_deg, right_m / M_PER_FT - right_ft)
            }
            Self::Circle { center, radius_nm } => {
                let pole = center.latitude_deg().abs() > 89.0;
                if pole {
                    let away = center.latitude_deg() - place.latitude_deg();
                    return (90.0, (away * NM_PER_DEG - radius_nm) * M_PER_NM / M_PER_FT);
                }
                let north = place.latitude_rad - center.latitude_rad;
                let east =
                    wrap_pi(place.longitude_rad - center.longitude_rad) * cos(center.latitude_rad);
                let range_nm = hypot(north, east) / RAD_PER_DEG * NM_PER_DEG;
                let course_deg = -atan2(north, east) / RAD_PER_DEG;
                (course_deg, (range_nm - radius_nm) * M_PER_NM / M_PER_FT)
            }
        }
    }
}

/// Radius of the meridian and of the parallel, m, at the surface of the ellipsoid.
fn radii_m(latitude_rad: f64) -> (f64, f64) {
    use base::geodesy::{FLATTENING, SEMI_MAJOR_AXIS_M};
    let squared = FLATTENING * (2.0 - FLATTENING);
    let sine = sin(latitude_rad);
    let root = (1.0 - squared * sine * sine).sqrt();
    let meridian_m = SEMI_MAJOR_AXIS_M * (1.0 - squared) / (root * root * root);
    (meridian_m, SEMI_MAJOR_AXIS_M / root * cos(latitude_rad))
}

/// What is asked of it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Commands {
    /// Height, ft.
    pub altitude_ft: f64,
    /// Equivalent airspeed, kt.
    pub keas: f64,
    /// Way over the ground.
    pub route: Route,
}

/// What it sees.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct View {
    /// Where.
    pub place: Geodetic,
    /// Equivalent airspeed, kt.
    pub keas: f64,
    /// Angle of attack, degrees.
    pub alpha_deg: f64,
    /// Sideslip, degrees.
    pub beta_deg: f64,
    /// Heading, pitch, bank, degrees.
    pub heading_pitch_bank_deg: [f64; 3],
    /// Body rates relative to inertial space, rad/s.
    pub rates_radps: [f64; 3],
}

impl View {
    /// Of a state and its instant.
    #[must_use]
    pub fn of(world: &World<'_>, state: &StateArray, instant: &Instant) -> Self {
        let state = State::from_array(state);
        let attitude = state.attitude_on(&world.earth);
        let degrees = |radians: f64| radians / RAD_PER_DEG;
        let flow = &instant.flow;
        let eas_mps = (2.0 * flow.dynamic_pressure_pa / SEA_LEVEL_DENSITY_KGPM3).sqrt();
        let rates = state.rates_radps;
        Self {
            place: world.earth.geodetic(state.position_m),
            keas: eas_mps / MPS_PER_KT,
            alpha_deg: degrees(flow.alpha_rad),
            beta_deg: degrees(flow.beta_rad()),
            heading_pitch_bank_deg: [attitude.heading_rad, attitude.pitch_rad, attitude.bank_rad]
                .map(degrees),
            rates_radps: [rates.x, rates.y, rates.z],
        }
    }
}

/// The autopilot on top of what the pilot holds.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Autopilot {
    stick: f64,
    throttle: f64,
}

impl Autopilot {
    /// Added to the inputs of a trimmed flight: what it commands there is a first jerk.
    #[must_use]
    pub fn added(trimmed: &Inputs) -> Self {
        let stick = -trimmed.surfaces.elevator_rad / RAD_PER_DEG / STICK_DEG;
        Self { stick, throttle: trimmed.throttle }
    }
    /// Engaged without a jerk: with these commands in the trimmed flight, the inputs are those of the trim; what the pilot
    /// holds makes up for the feedback there.
    #[must_use]
    pub fn engaged(trimmed: &Inputs, view: &View, commands: &Commands) -> Self {
        let Self { stick, throttle } = Self::added(trimmed);
        let (by_stick, by_throttle) = longitudinal(view, commands);
        Self { stick: stick + by_stick, throttle: throttle + by_throttle }
    }
    /// Inputs in this state.
    #[must_use]
    pub fn inputs(&self, view: &View, commands: &Commands) -> Inputs {
        let (by_stick, by_throttle) = longitudinal(view, commands);
        let stick = (self.stick - by_stick).clamp(-1.0, 1.0);
        let (lateral, pedal) = lateral(view, commands);
        let aileron_deg = -21.5 * lateral;
        let rudder_deg = -30.0 * pedal + 0.008 * aileron_deg;
        Inputs {
            surfaces: Surfaces {
                elevator_rad: -STICK_DEG * stick * RAD_PER_DEG,
                aileron_rad: aileron_deg * RAD_PER_DEG,
                rudder_rad: rudder_deg * RAD_PER_DEG,
                flap_rad: 0.0,
            },
            throttle: (self.throttle - by_throttle).clamp(0.0, 1.0),
            propeller: 0.0,
        }
    }
}

fn sum(gains: &[f64; 4], errors: &[f64; 4]) -> f64 {
    gains.iter().zip(errors).map(|(gain, error)| gain * error).sum()
}

/// Feedback to be taken off stick and throttle.
fn longitudinal(view: &View, commands: &Commands) -> (f64, f64) {
    let altitude_ft = view.place.height_m / M_PER_FT;
    let climb_deg = (-0.05 * (altitude_ft - commands.altitude_ft)).clamp(-5.0, 5.0);
    let [_, pitch_deg, _] = view.heading_pitch_bank_deg;
    let errors = [
        view.keas - commands.keas,
        view.alpha_deg - DESIGN_DEG,
        view.rates_radps[1],
        pitch_deg - (DESIGN_DEG + climb_deg),
    ];
    (sum(&STICK, &errors), sum(&THROTTLE, &errors))
}

/// Lateral stick and pedal.
fn lateral(view: &View, commands: &Commands) -> (f64, f64) {
    let [heading_deg, _, bank_deg] = view.heading_pitch_bank_deg;
    let (course_deg, right_ft) = commands.route.at(view.place);
    let correction_deg = (-0.01 * right_ft).clamp(-30.0, 30.0);
    let error_deg = view.beta_deg + heading_deg - correction_deg - course_deg;
    let error_deg = wrap_pi(error_deg * RAD_PER_DEG) / RAD_PER_DEG;
    let bank_wanted_deg = (-10.0 * error_deg).clamp(-30.0, 30.0);
    let [roll, _, yaw] = view.rates_radps;
    let errors = [bank_deg - bank_wanted_deg, view.beta_deg, roll, yaw];
    let side = |gains| (-sum(gains, &errors)).clamp(-1.0, 1.0);
    (side(&LATERAL), side(&PEDAL))
}
