//! From the flight found to samples and controls, as the rigid body flies it.

use base::factors::STANDARD_GRAVITY_MPS2;
use base::frames::{Fixed, Vec3};
use base::kinds::CalibratedAirspeed;
use base::math::{asin, atan2, cos, sin, unwrap_angles};
use base::units::LoadFactor;
use flight::controls::{Channel, Inputs};
use flight::inverse::causes::split;
use flight::inverse::{Asked, Feedback, Task, excesses, refly};
use flight::trajectory::FlightSample;
use flight::vehicle::{Instant, State, StateArray};

use super::agreement::Agreement;
use super::channels::{BOX_S, Channels};
use super::knobs::Knob;
use super::plane::Plane;
use super::search::Found;
use super::{ControlSample, RigidFlight};
use crate::definition::Progress;
use crate::reference::Unknown;

/// The rigid body flown with what was found.
pub(super) fn flight(plane: &Plane<'_>, found: &Found) -> RigidFlight {
    let nodes = 0..found.solved.len();
    let grid = plane.grid;
    let channels = Channels::read(plane.source(), (&found.clock, &found.tunings), nodes);
    let steering = (plane.steering, plane.height_entry_m());
    let asked: Vec<Asked> = channels.asked(steering, |share| plane.throttle(share));
    let task = Task {
        vehicle: &plane.free,
        world: plane.world(),
        time_first_s: grid.time_s(0),
        step_s: grid.step_s,
        asked: &asked,
        propeller: 1.0,
        flap_rad: 0.0,
        alpha_most_rad: plane.alpha_most_rad,
        short_most_mps2: 0.0,
        stations_m: plane.stations_m,
    };
    let flown = refly(&task, &plane.real, &found.solved, &Feedback::LOW);
    let last = flown.states.len().saturating_sub(1);
    let picked: Vec<usize> =
        (0..=last).filter(|&node| node % grid.every() == 0 || node == last).collect();
    let mut samples = Vec::with_capacity(picked.len());
    let mut controls = Vec::with_capacity(picked.len());
    let trim = trimmed(plane);
    for &node in &picked {
        let (state, inputs) = (&flown.states[node], &flown.inputs[node]);
        let now = plane.real.instant(&task.world, grid.time_s(node), state, inputs);
        let sample = sample(plane, node, state, &now, channels.power_share[node]);
        controls.push(control(plane, node, (state, inputs, &now), trim));
        samples.push(sample);
    }
    directions(&mut samples);
    count(plane, found, &mut samples);
    for (control, sample) in controls.iter_mut().zip(&samples) {
        control.progress_rad = sample.progress_rad;
    }
    let agreement = Agreement::of(plane, &found.clock, &samples);
    RigidFlight {
        agreement,
        unknowns: unknowns(plane, found),
        tracking: flown.tracking,
        misses: found.misses.clone(),
        excesses: excesses(&found.solved, &plane.real.actuators),
        rounding_s: 4.0 * BOX_S,
        forces_known: plane.controls.elevator.force.is_some(),
        samples,
        controls,
    }
}

/// Share of the elevator trim that frees the hand at entry.
fn trimmed(plane: &Plane<'_>) -> f64 {
    let at = &plane.start.instant;
    let share = plane.controls.elevator.tab_in_trim(at.surfaces.elevator_rad, at.flow.alpha_rad);
    share.map_or(0.0, |share| share.clamp(-1.0, 1.0))
}

fn sample(
    plane: &Plane<'_>,
    node: usize,
    state: &StateArray,
    now: &Instant,
    power_share: f64,
) -> FlightSample {
    let (airplane, time_s) = (plane.airplane, plane.grid.time_s(node));
    let pose = State::from_array(state);
    let wind = plane.day.wind.velocity();
    let air: Vec3<Fixed> = pose.velocity_mps - Vec3::new(wind.north(), wind.east(), wind.down());
    let rot = pose.attitude.fixed_from_body();
    let rows = rot.rows();
    let speed = now.flow.speed_mps;
    let climb = asin((-air.z / speed).clamp(-1.0, 1.0));
    let course = atan2(air.y, air.x);
    let (sa, ca) = now.flow.alpha_sin_cos;
    let down_of_lift = rot.apply(Vec3::new(-sa, 0.0, ca));
    let right_of_path: Vec3<Fixed> = Vec3::new(-sin(course), cos(course), 0.0);
    let felt = now.specific_force(&plane.real.mass);
    let load = (sa * felt.x - ca * felt.z) / STANDARD_GRAVITY_MPS2;
    let calibrated =
        CalibratedAirspeed::from_mps(plane.setting.calibrated_mps(speed, now.height_m));
    let pressure_area_n = now.flow.dynamic_pressure_pa * airplane.wing_area.to_m2();
    let stall = airplane.stall_speed(plane.mass(), LoadFactor::from_g(load));
    let flown_s = time_s - plane.grid.time_s(0);
    let heading_rad = atan2(rows[1][0], rows[0][0]);
    FlightSample {
        time_s,
        north_m: state[0],
        east_m: state[1],
        air_north_m: state[0] - wind.north() * flown_s,
        air_east_m: state[1] - wind.east() * flown_s,
        height_m: now.height_m,
        true_airspeed_mps: speed,
        calibrated_airspeed_mps: calibrated.to_mps(),
        indicated_airspeed_mps: airplane.indicated(calibrated).to_mps(),
        climb_rad: climb,
        course_rad: course,
        lift_bank_rad: lift_bank(air, right_of_path, down_of_lift),
        incidence_rad: now.flow.alpha_rad,
        heading_rad,
        pitch_rad: asin((-rows[2][0]).clamp(-1.0, 1.0)),
        bank_rad: atan2(rows[2][1], rows[2][2]),
        lift_coefficient: load * plane.setting.body.weight_n() / pressure_area_n,
        load_factor: load,
        power_share,
        stall_speed_mps: stall.to_mps(),
        ..FlightSample::default()
    }
}

/// Bank of the lift about the velocity: the down of the lift against that of the path at nil bank.
fn lift_bank(air: Vec3<Fixed>, right: Vec3<Fixed>, down_of_lift: Vec3<Fixed>) -> f64 {
    let forward = air * (1.0 / air.norm());
    let down = forward.cross(right);
    atan2(-down_of_lift.dot(right), down_of_lift.dot(down))
}

fn control(
    plane: &Plane<'_>,
    node: usize,
    (state, inputs, now): (&StateArray, &Inputs, &Instant),
    trim: f64,
) -> ControlSample {
    let at = now.surfaces;
    let pressure = now.flow.dynamic_pressure_pa;
    let (alpha, beta) = (now.flow.alpha_rad, now.flow.beta_rad());
    let system = &plane.controls;
    let hands = system.hands(&at);
    let force =
        |channel: &Channel, rad: f64, tab: f64, air: f64| channel.force_n(rad, tab, air, pressure);
    let felt = now.specific_force(&plane.real.mass);
    let yawing = plane.stations_m[0] * now.rate[12];
    let time_s = plane.grid.time_s(node);
    let causes = split(&plane.real, &plane.world(), time_s, (state, inputs, now));
    ControlSample {
        time_s,
        progress_rad: 0.0,
        stick_back: hands.stick_back,
        stick_right: hands.stick_right,
        pedal_right: hands.pedal_right,
        elevator_rad: -at.elevator_rad,
        aileron_rad: -at.aileron_rad,
        rudder_rad: -at.rudder_rad,
        stick_back_n: force(&system.elevator, at.elevator_rad, trim, alpha),
        stick_right_n: force(&system.aileron, at.aileron_rad, 0.0, 0.0),
        pedal_right_n: force(&system.rudder, at.rudder_rad, 0.0, beta),
        throttle: inputs.throttle,
        trim,
        sideslip_rad: beta,
        ball_rad: atan2(felt.y + yawing, -felt.z),
        causes: causes.turned(),
    }
}

/// Directions that do not jump.
fn directions(samples: &mut [FlightSample]) {
    let mut smooth = |of: fn(&mut FlightSample) -> &mut f64| {
        let raw: Vec<f64> = samples.iter_mut().map(|sample| *of(sample)).collect();
        for (sample, value) in samples.iter_mut().zip(unwrap_angles(&raw)) {
            *of(sample) = value;
        }
    };
    smooth(|sample| &mut sample.heading_rad);
    smooth(|sample| &mut sample.course_rad);
}

/// Turn and progress of each part.
fn count(plane: &Plane<'_>, found: &Found, samples: &mut [FlightSample]) {
    let parts = &plane.reference.parts;
    let reading = plane.reading();
    let (mut index, mut heading_first) = (0, samples.first().map_or(0.0, |s| s.heading_rad));
    for sample in samples {
        let next = found.parts.get(index + 1);
        if next.is_some_and(|next| found.clock.knot_s(next.knots.0) <= sample.time_s) {
            index += 1;
            heading_first = sample.heading_rad;
        }
        let sign = parts.get(index).map_or(1.0, |part| part.direction.sign());
        sample.turned_rad = sign * (sample.heading_rad - heading_first);
        sample.progress_rad = match plane.reference.progress {
            Progress::Turn => sample.turned_rad,
            Progress::Pitch
            | Progress::Roll
            | Progress::PitchAndRoll
            | Progress::Phase
            | Progress::Position => {
                reading.sample(found.clock.reference_at(sample.time_s)).progress_rad
            }
        };
    }
}

/// Names of the times at the ends of the legs.
const LEGS: &[&str] = &[
    "time at the first checkpoint",
    "time at the second checkpoint",
    "time at the third checkpoint",
    "time at the fourth checkpoint",
];

fn unknowns(plane: &Plane<'_>, found: &Found) -> Vec<Unknown> {
    let mut out = Vec::new();
    let Some((part, tuning)) = found.parts.first().zip(found.tunings.first()) else { return out };
    let first = &plane.reference.samples[0];
    for knob in &part.knobs {
        let (name, value, unit) = match knob {
            Knob::Leg(leg) => {
                let name = LEGS.get(*leg).copied().unwrap_or("time at a later checkpoint");
                (name, found.clock.knot_s(leg + 1), "s")
            }
            Knob::Up => ("steeper climb than the point mass", 100.0 * tuning.up, "%"),
            Knob::Down => ("steeper descent than the point mass", 100.0 * tuning.down, "%"),
            Knob::Load(_) => continue,
            Knob::Power => ("power", 100.0 * (first.power_share + tuning.power), "% of full"),
        };
        out.push(Unknown { name, value, unit });
    }
    out
}
