//! Why the controls are where they are: every deflection split by cause, the parts summing to the whole.
//!
//! The moments of the flight with its controls neutral are taken by cause from the budget ([`crate::budget`]). The rudder must
//! make up what they leave of the yawing moment that the motion needs, the aileron of the rolling moment, the elevator of the
//! pitching moment: a cause's part is its moment over the control's. Aileron yaws and rudder rolls, which couples the two (the
//! inverse of the two-by-two matrix of their moments); what comes through the other control is shown as a cause of its own,
//! adverse yaw and roll due to rudder, because that is how it is taught.

use base::frames::{Body, Vec3};

use crate::budget::Cause;
use crate::controls::Inputs;
use crate::vehicle::{Inertia, Instant, State, StateArray, Vehicle, World};

macro_rules! reasons {
    ($( $(#[$doc:meta])* $name:ident $key:literal $words:literal; )+) => {
        /// Why a control is where it is.
        #[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
        pub enum Reason { $( $(#[$doc])* $name, )+ }

        impl Reason {
            /// Every reason, in the order of a [`Parts`].
            pub const ALL: &'static [Self] = &[ $( Self::$name ),+ ];

            /// Stable key: lower-case words with hyphens.
            #[must_use]
            pub const fn key(self) -> &'static str {
                match self { $( Self::$name => $key, )+ }
            }
            /// In words.
            #[must_use]
            pub const fn words(self) -> &'static str {
                match self { $( Self::$name => $words, )+ }
            }
        }
    };
}

reasons! {
    /// Reaction of the engine's torque.
    Torque "torque" "engine torque";
    /// Faster air of the slipstream over fin, tail and inner wing.
    Slipstream "slipstream" "slipstream";
    /// Swirl of the slipstream at the fin, and what wing and body take out of it.
    Swirl "swirl" "slipstream swirl";
    /// P-factor.
    NormalForce "p-factor" "P-factor";
    /// Turning the axis of the spinning propeller.
    Gyroscopic "gyroscopic" "gyroscopic precession";
    /// Thrust beside the center of gravity.
    Thrust "thrust" "the line of thrust";
    /// The other control of roll and yaw: for the rudder adverse yaw of the ailerons, for the aileron roll due to rudder.
    OtherControl "other-control" "adverse yaw";
    /// Rolling: its damping, and the yaw that comes with it.
    RollRate "roll-rate" "rolling";
    /// Yawing: its damping, and the roll that comes with it (overbanking).
    YawRate "yaw-rate" "the turn";
    /// Pitching and changing incidence: their damping.
    PitchRate "pitch-rate" "pitching";
    /// Sideslip; for the elevator what sideslip changes of the pitching moment.
    Sideslip "sideslip" "sideslip";
    /// The airframe without sideslip: fin and rigging; for the elevator incidence.
    Airframe "airframe" "rigging";
    /// Starting and stopping a rotation: inertia.
    Acceleration "acceleration" "starting and stopping the rotation";
    /// Products of inertia and of rates.
    Coupling "coupling" "inertia coupling";
    /// The rest: what is not proportional in the controls.
    Remainder "remainder" "the rest";
}

/// How many reasons there are.
pub const REASONS: usize = Reason::ALL.len();

/// One deflection by cause, rad, in the order of [`Reason::ALL`]; the parts sum to the deflection to rounding.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Parts(pub [f64; REASONS]);

impl Parts {
    /// Part of one cause, rad.
    #[must_use]
    pub const fn of(&self, reason: Reason) -> f64 {
        self.0[reason as usize]
    }
    /// With the sense turned: what is positive becomes negative.
    #[must_use]
    pub fn turned(&self) -> Self {
        Self(self.0.map(|part| -part))
    }
    /// Sum of all parts, rad.
    #[must_use]
    pub fn total(&self) -> f64 {
        self.0.iter().sum()
    }
}

/// The three deflections by cause.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Causes {
    /// Elevator.
    pub elevator: Parts,
    /// Aileron.
    pub aileron: Parts,
    /// Rudder.
    pub rudder: Parts,
}

impl Causes {
    /// With the sense turned, so that right stick, right rudder and back stick are positive instead of what the surfaces do.
    #[must_use]
    pub fn turned(&self) -> Self {
        Self {
            elevator: self.elevator.turned(),
            aileron: self.aileron.turned(),
            rudder: self.rudder.turned(),
        }
    }
}

/// Deflection that the moments of a control are probed with, rad.
const PROBE_RAD: f64 = 0.02;

/// Splits the deflections at a state by cause. `now` is the instant of that state and its inputs. Five evaluations of the
/// forces. A control that has no moment of its own is not split: all of it is the remainder.
#[must_use]
pub fn split(
    vehicle: &Vehicle,
    world: &World<'_>,
    time_s: f64,
    (state, inputs, now): (&StateArray, &Inputs, &Instant),
) -> Causes {
    let probe = Probe { vehicle, world, time_s, state, inputs };
    let neutral = probe.with([0.0; 3]);
    let straight = probe.unslipped(now.flow.velocity_mps.y);
    let still = neutral.budget.total().moment_nm;
    let column = |surfaces: [f64; 3]| {
        (probe.with(surfaces).budget.total().moment_nm - still) * (1.0 / PROBE_RAD)
    };
    let powers = [
        column([PROBE_RAD, 0.0, 0.0]),
        column([0.0, PROBE_RAD, 0.0]),
        column([0.0, 0.0, PROBE_RAD]),
    ];
    let at = now.surfaces;
    let deflections = [at.elevator_rad, at.aileron_rad, at.rudder_rad];
    let moments = Moments {
        neutral: &neutral,
        straight: &straight,
        acceleration: accelerating(&vehicle.mass.inertia(), now),
        needed: now.budget.total().moment_nm,
    };
    let [elevator, aileron, rudder] = powers;
    Causes {
        elevator: moments.parts(deflections[0], elevator.y, (0.0, 0.0), |v| v.y),
        aileron: moments.parts(deflections[1], aileron.x, (rudder.x, deflections[2]), |v| v.x),
        rudder: moments.parts(deflections[2], rudder.z, (aileron.z, deflections[1]), |v| v.z),
    }
}

/// Moment that changes the rates about each axis by itself, N m.
const fn accelerating(inertia: &Inertia, now: &Instant) -> Vec3<Body> {
    Vec3::new(inertia.xx * now.rate[10], inertia.yy * now.rate[11], inertia.zz * now.rate[12])
}

struct Probe<'a> {
    vehicle: &'a Vehicle,
    world: &'a World<'a>,
    time_s: f64,
    state: &'a StateArray,
    inputs: &'a Inputs,
}

impl Probe<'_> {
    fn at(&self, state: &StateArray, [elevator, aileron, rudder]: [f64; 3]) -> Instant {
        let mut moved = *state;
        [moved[14], moved[15], moved[16]] = [elevator, aileron, rudder];
        let mut inputs = *self.inputs;
        inputs.surfaces.elevator_rad = elevator;
        inputs.surfaces.aileron_rad = aileron;
        inputs.surfaces.rudder_rad = rudder;
        self.vehicle.instant(self.world, self.time_s, &moved, &inputs)
    }
    fn with(&self, surfaces: [f64; 3]) -> Instant {
        self.at(self.state, surfaces)
    }
    /// The same flow without its sideslip, controls neutral.
    fn unslipped(&self, across_mps: f64) -> Instant {
        let state = State::from_array(self.state);
        let fixed_from_body = state.attitude.fixed_from_body();
        let across = fixed_from_body.apply(Vec3::new(0.0, -across_mps, 0.0));
        let velocity_mps = state.velocity_mps + across;
        self.at(&State { velocity_mps, ..state }.to_array(), [0.0; 3])
    }
}

struct Moments<'a> {
    neutral: &'a Instant,
    straight: &'a Instant,
    acceleration: Vec3<Body>,
    needed: Vec3<Body>,
}

impl Moments<'_> {
    /// One deflection by cause: its moment `power` makes up, about its axis, what the other moments leave. `other` is the moment
    /// of the other control for one radian, and its deflection.
    fn parts(
        &self,
        deflection_rad: f64,
        power: f64,
        other: (f64, f64),
        axis: impl Fn(Vec3<Body>) -> f64,
    ) -> Parts {
        let mut parts = Parts::default();
        let mut sum_nm = 0.0;
        let mut set = |reason: Reason, moment_nm: f64| {
            sum_nm += moment_nm;
            parts.0[reason as usize] += moment_nm / power;
        };
        if power.abs() < 1e-9 {
            parts.0[Reason::Remainder as usize] = deflection_rad;
            return parts;
        }
        for &cause in Cause::ALL {
            let share = axis(self.neutral.budget.share(cause).moment_nm);
            match cause {
                Cause::Torque => set(Reason::Torque, -share),
                Cause::Slipstream => set(Reason::Slipstream, -share),
                Cause::Swirl => set(Reason::Swirl, -share),
                Cause::NormalForce => set(Reason::NormalForce, -share),
                Cause::Gyroscopic => set(Reason::Gyroscopic, -share),
                Cause::Thrust => set(Reason::Thrust, -share),
                Cause::RollRate => set(Reason::RollRate, -share),
                Cause::YawRate => set(Reason::YawRate, -share),
                Cause::PitchRate | Cause::IncidenceRate => set(Reason::PitchRate, -share),
                Cause::Airframe => {
                    let straight = axis(self.straight.budget.share(cause).moment_nm);
                    set(Reason::Airframe, -straight);
                    set(Reason::Sideslip, straight - share);
                }
                Cause::Elevator | Cause::Aileron | Cause::Rudder => {
                    set(Reason::Remainder, -share);
                }
            }
        }
        let (needed, accelerating) = (axis(self.needed), axis(self.acceleration));
        set(Reason::Acceleration, accelerating);
        set(Reason::Coupling, needed - accelerating);
        set(Reason::OtherControl, -other.0 * other.1);
        parts.0[Reason::Remainder as usize] += deflection_rad - sum_nm / power;
        parts
    }
}
