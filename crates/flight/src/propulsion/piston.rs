//! Piston engine with a propeller: thrust, torque, P-factor, gyroscopic moment, and the wash behind it.

use base::frames::{Body, Vec3};
use base::math::{cos, sin};
use base::numerics::root;

use super::blade::{BladeElements, Coefficients};
use super::chart::{Chart, ChartError, ChartRow, Place};
use super::engine::{PistonEngine, TorqueLines};
use super::slipstream::Disk;
use super::{Propulsion, Running, Wash};
use crate::air::SEA_LEVEL_DENSITY_KGPM3;
use crate::budget::{Budget, Cause, Ledger, Shares, Wrench};
use crate::controls::Inputs;
use crate::flow::Flow;

/// Turns in a radian.
const TURNS: f64 = 1.0 / std::f64::consts::TAU;

/// How the blade angle is kept.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Pitch {
    /// Fixed, rad at 0.75 of the radius.
    Fixed {
        /// Blade angle, rad.
        angle_rad: f64,
    },
    /// A governor holds the speed of rotation between two stops.
    ConstantSpeed {
        /// Fine stop, rad.
        fine_rad: f64,
        /// Coarse stop, rad.
        coarse_rad: f64,
        /// Least governed speed (lever back), rad/s.
        speed_least_radps: f64,
        /// Greatest governed speed (lever forward), rad/s.
        speed_most_radps: f64,
    },
}

impl Pitch {
    /// Least and greatest blade angle, rad; equal for a fixed pitch.
    #[must_use]
    pub const fn stops_rad(&self) -> (f64, f64) {
        match *self {
            Self::Fixed { angle_rad } => (angle_rad, angle_rad),
            Self::ConstantSpeed { fine_rad, coarse_rad, .. } => (fine_rad, coarse_rad),
        }
    }
}

/// Figures of an engine with its propeller.
#[derive(Debug, Clone, PartialEq)]
pub struct PistonPropellerData {
    /// The engine.
    pub engine: PistonEngine,
    /// The blades.
    pub blades: BladeElements,
    /// Chord over diameter at 0.75 of the radius (for the normal force).
    pub chord_over_diameter: f64,
    /// Diameter, m.
    pub diameter_m: f64,
    /// Blade angle.
    pub pitch: Pitch,
    /// Whether it turns clockwise seen from the cockpit.
    pub clockwise: bool,
    /// Moment of inertia of all that turns, kg m2.
    pub inertia_kgm2: f64,
    /// Propeller disk from the aerodynamic reference point, m.
    pub hub_m: Vec3<Body>,
    /// How far the shaft points down from the body axis, rad.
    pub shaft_down_rad: f64,
    /// How far it points to the right, rad.
    pub shaft_right_rad: f64,
    /// Share of the swirl that wing and body take out before the fin: no published figure was found; the full swirl is an
    /// upper bound.
    pub swirl_straightened: f64,
    /// Share of the thrust that body and cooling behind the disk take back.
    pub blockage: f64,
}

/// An engine with its propeller, ready to run: the chart is computed once from the blades.
#[derive(Debug, Clone, PartialEq)]
pub struct PistonPropeller {
    data: PistonPropellerData,
    chart: Chart,
    shaft: Vec3<Body>,
    sense: f64,
    engine: TorqueLines,
    /// Of a thrust of one newton, what the body takes back gone.
    pull: Wrench,
    /// Moment of one newton meter about the shaft in the sense of rotation.
    turn: Vec3<Body>,
    per_inertia: f64,
    /// Radians a turn over the diameter, 1/m.
    per_turns_diameter: f64,
    /// Diameter to the fourth power, m4.
    fourth_m4: f64,
    /// Thrust over density and area, m2/s2, over its coefficient and the square of the turns a second.
    load_m2: f64,
    /// Torque over density that is left in the swirl, with its sense, over the power coefficient and the same square, m5.
    twist_m5: f64,
    /// [`normal_force_factor`] over the disk, half of it for the dynamic pressure, m2.
    normal: f64,
    /// The same with the sine of the blade angle, where that is fixed: spares a sine in every step.
    normal_fixed: Option<f64>,
}

/// How long a governor takes to bring the speed back, s: common practice, no source.
const GOVERNOR_S: f64 = 0.5;
/// Below this speed of rotation the propeller is taken to turn so fast, rad/s: it keeps the advance ratio finite.
const SPEED_LEAST_RADPS: f64 = 5.0;

impl PistonPropeller {
    /// Computes the chart.
    #[must_use]
    pub fn new(data: PistonPropellerData) -> Self {
        let (least_rad, most_rad) = data.pitch.stops_rad();
        let chart = Chart::of_blades(&data.blades, least_rad, most_rad);
        Self::of_chart(data, chart)
    }
    /// From a published chart; the blades in `data` then say no more than their number.
    ///
    /// # Errors
    /// A chart with axes that do not rise, columns of unequal length, or more power out than in.
    pub fn with_chart(data: PistonPropellerData, rows: &[ChartRow]) -> Result<Self, ChartError> {
        let (least_rad, most_rad) = data.pitch.stops_rad();
        let chart = Chart::of_rows(rows, least_rad, most_rad)?;
        Ok(Self::of_chart(data, chart))
    }
    fn of_chart(data: PistonPropellerData, chart: Chart) -> Self {
        let (down, right) = (data.shaft_down_rad, data.shaft_right_rad);
        let shaft = Vec3::new(cos(down) * cos(right), cos(down) * sin(right), sin(down));
        let sense = if data.clockwise { 1.0 } else { -1.0 };
        let area_m2 = 0.25 * std::f64::consts::PI * data.diameter_m * data.diameter_m;
        let normal =
            0.5 * area_m2 * normal_force_factor(data.blades.blades, data.chord_over_diameter);
        let normal_fixed = match data.pitch {
            Pitch::Fixed { angle_rad } => Some(normal * sin(angle_rad + NORMAL_ANGLE_RAD)),
            Pitch::ConstantSpeed { .. } => None,
        };
        let square_m2 = data.diameter_m * data.diameter_m;
        let fourth_m4 = square_m2 * square_m2;
        let swirling = sense * (1.0 - data.swirl_straightened);
        Self {
            engine: TorqueLines::new(&data.engine),
            pull: Wrench::at(shaft * (1.0 - data.blockage), data.hub_m),
            turn: shaft * sense,
            per_inertia: 1.0 / data.inertia_kgm2,
            per_turns_diameter: 1.0 / (TURNS * data.diameter_m),
            fourth_m4,
            load_m2: fourth_m4 / area_m2,
            twist_m5: fourth_m4 * data.diameter_m * TURNS * swirling,
            data,
            chart,
            shaft,
            sense,
            normal,
            normal_fixed,
        }
    }
    /// What it is made of.
    #[must_use]
    pub const fn data(&self) -> &PistonPropellerData {
        &self.data
    }
    /// Its chart.
    #[must_use]
    pub const fn chart(&self) -> &Chart {
        &self.chart
    }
    /// Speed of rotation that the lever asks the governor for, rad/s; `None` for a fixed pitch.
    #[must_use]
    pub fn governed_radps(&self, lever: f64) -> Option<f64> {
        match self.data.pitch {
            Pitch::Fixed { .. } => None,
            Pitch::ConstantSpeed { speed_least_radps, speed_most_radps, .. } => {
                let share = lever.clamp(0.0, 1.0);
                Some(speed_least_radps + share * (speed_most_radps - speed_least_radps))
            }
        }
    }

    /// Velocity of the disk through the air: that of the center, and what turning adds.
    fn velocity_at_disk(&self, flow: &Flow) -> Vec3<Body> {
        flow.velocity_mps + flow.rates_radps.cross(self.data.hub_m)
    }

    /// Blade angle, coefficients and rate of the speed of rotation, at a speed of rotation not below the least.
    #[inline(always)]
    fn turning(&self, meeting: &Meeting, inputs: &Inputs) -> (f64, Coefficients, f64) {
        let per_power = meeting.force_n * self.data.diameter_m * TURNS;
        let engine_nm = meeting.engine_nm;
        let (angle_rad, coefficients) = match self.governed_radps(inputs.propeller) {
            None => {
                let angle_rad = self.chart.angle_least_rad;
                (angle_rad, self.chart.at_angle(&meeting.place, angle_rad))
            }
            Some(asked_radps) => {
                // The governor sets the blades so that the speed comes back with its time constant; the stops bound it.
                let wanted = (asked_radps - meeting.speed_radps) / GOVERNOR_S;
                let torque = engine_nm - self.data.inertia_kgm2 * wanted;
                self.chart.at_power(&meeting.place, torque / per_power)
            }
        };
        let rate = (engine_nm - coefficients.power * per_power) * self.per_inertia;
        (angle_rad, coefficients, rate)
    }

    #[inline(always)]
    fn meet(&self, flow: &Flow, along_mps: f64, throttle: f64, state: f64) -> Meeting {
        let speed_radps = state.max(SPEED_LEAST_RADPS);
        let turns = speed_radps * TURNS;
        let density_kgpm3 = flow.air.density_kgpm3;
        // The quotient first: the speed of rotation is known before the airspeed is.
        let advance = along_mps.max(0.0) * (self.per_turns_diameter / speed_radps);
        let ratio = density_kgpm3 * (1.0 / SEA_LEVEL_DENSITY_KGPM3);
        Meeting {
            place: self.chart.place(advance),
            speed_radps,
            turns,
            force_n: density_kgpm3 * self.fourth_m4 * turns * turns,
            density_kgpm3,
            engine_nm: self.engine.torque_nm(throttle, speed_radps, ratio),
        }
    }

    /// Force across the shaft over the speed across it, N s/m, of a propeller that is not met straight: for its form see
    /// [`normal_force_slope`], at the blade angle of the instant.
    #[inline(always)]
    fn normal_force(&self, angle_rad: f64, disk: &Disk, inflow_mps: f64) -> f64 {
        let (v, w) = (disk.speed_mps, inflow_mps.max(0.0));
        let (at_disk, behind) = (v + w, v + 2.0 * w);
        let square = v * v + behind * behind;
        if square <= 0.0 {
            return 0.0;
        }
        // q f(a) with a = w / V, written so that it stays finite at standstill.
        let speed = at_disk * (v * at_disk + behind * behind) / square;
        let at_angle = || self.normal * sin(angle_rad + NORMAL_ANGLE_RAD);
        let slope = self.normal_fixed.unwrap_or_else(at_angle);
        slope * disk.density_kgpm3 * speed
    }

    /// Adds what acts on the propeller: pull, torque, and the normal force with its moment, which for a single propeller is about
    /// the force times its radius (RIBNER-1945, from its abstract), its sense that of the rotation.
    ///
    /// The normal force is `-normal` times the flow across, that is the velocity without its part along the shaft: the sum needs
    /// one force at the hub and one moment about the shaft, and only the shares are told apart.
    #[inline(always)]
    fn add_loads(&self, loads: &Loads, ledger: &mut impl Ledger) {
        let Loads { velocity, along_mps, thrust_n, engine_nm, regained_nm, normal } = *loads;
        let turned = normal * self.sense * 0.5 * self.data.diameter_m;
        let pull_n = (1.0 - self.data.blockage) * thrust_n + normal * along_mps;
        let turn_nm = self.sense * (regained_nm - engine_nm) + turned * along_mps;
        let at_hub = Wrench::at(self.shaft * pull_n - velocity * normal, self.data.hub_m);
        let whole = at_hub + Wrench::moment(self.shaft * turn_nm - velocity * turned);
        let shares = || {
            let across = velocity - self.shaft * along_mps;
            let met =
                Wrench::at(across, self.data.hub_m) * normal + Wrench::moment(across * turned);
            [
                (Cause::Thrust, self.pull * thrust_n),
                (Cause::Torque, Wrench::moment(self.turn * -engine_nm)),
                (Cause::Swirl, Wrench::moment(self.turn * regained_nm)),
                (Cause::NormalForce, met * -1.0),
            ]
        };
        ledger.add_many(whole, std::iter::once_with(shares).flatten());
    }
}

/// What acts on a propeller.
struct Loads {
    /// Of the disk through the air.
    velocity: Vec3<Body>,
    along_mps: f64,
    thrust_n: f64,
    engine_nm: f64,
    /// Torque that wing and body take out of the swirl: it turns them the way the air was turning.
    regained_nm: f64,
    /// Force across over the speed across, N s/m.
    normal: f64,
}

/// What the propeller meets at one instant.
struct Meeting {
    place: Place,
    speed_radps: f64,
    /// Turns a second.
    turns: f64,
    /// Density, turns squared and diameter to the fourth: thrust over its coefficient, N.
    force_n: f64,
    density_kgpm3: f64,
    engine_nm: f64,
}

/// Normal-force coefficient per radian of a propeller at incidence, on disk area:
/// `4.25 s / (1 + 2 s) sin(angle + 3 degrees)`, with `s = 4 B c / (3 pi D)` from the chord at 0.75 of the radius.
///
/// # Source
/// RIBNER-1945, in its design form, from memory.
#[must_use]
pub fn normal_force_slope(blades: f64, chord_over_diameter: f64, angle_rad: f64) -> f64 {
    normal_force_factor(blades, chord_over_diameter) * sin(angle_rad + NORMAL_ANGLE_RAD)
}

/// Added to the blade angle in [`normal_force_slope`], rad.
const NORMAL_ANGLE_RAD: f64 = 3.0 * base::factors::RAD_PER_DEG;

/// What [`normal_force_slope`] has before the sine.
fn normal_force_factor(blades: f64, chord_over_diameter: f64) -> f64 {
    let solidity = 4.0 * blades * chord_over_diameter / (3.0 * std::f64::consts::PI);
    4.25 * solidity / (1.0 + 2.0 * solidity)
}

/// The propeller at an instant, about to write its shares.
struct Pulling<'a> {
    propeller: &'a PistonPropeller,
    flow: &'a Flow,
    inputs: &'a Inputs,
    state: f64,
}

impl Shares for Pulling<'_> {
    type Answer = Running;

    #[inline]
    fn write(&self, ledger: &mut impl Ledger) -> Running {
        self.propeller.pull(self.flow, self.inputs, self.state, ledger)
    }
}

impl PistonPropeller {
    #[inline(always)]
    fn pull(&self, flow: &Flow, inputs: &Inputs, state: f64, ledger: &mut impl Ledger) -> Running {
        let data = &self.data;
        let velocity = self.velocity_at_disk(flow);
        let along_mps = velocity.dot(self.shaft);
        let meeting = self.meet(flow, along_mps, inputs.throttle, state);
        let (angle_rad, coefficients, state_rate) = self.turning(&meeting, inputs);
        let thrust_n = coefficients.thrust * meeting.force_n;
        let torque_nm = coefficients.power * meeting.force_n * data.diameter_m * TURNS;

        let tilting = self.turn.cross(flow.rates_inertial_radps);
        let momentum = data.inertia_kgm2 * state;
        ledger.add_moment(Cause::Gyroscopic, tilting * momentum);
        let disk = Disk {
            speed_mps: along_mps.max(0.0),
            density_kgpm3: meeting.density_kgpm3,
            radius_m: 0.5 * data.diameter_m,
        };
        let square = meeting.turns * meeting.turns;
        let load = coefficients.thrust * square * self.load_m2;
        let wash = disk.wash_under(load, coefficients.power * square * self.twist_m5);
        let inflow_mps = 0.5 * wash.speed_rise_mps;
        let loads = Loads {
            velocity,
            along_mps,
            thrust_n,
            engine_nm: meeting.engine_nm,
            regained_nm: torque_nm * data.swirl_straightened,
            normal: self.normal_force(angle_rad, &disk, inflow_mps),
        };
        self.add_loads(&loads, ledger);
        Running {
            state_rate,
            wash: held(wash, ledger),
            thrust_n,
            power_w: torque_nm * meeting.speed_radps,
            speed_radps: meeting.speed_radps,
        }
    }
}

impl Propulsion for PistonPropeller {
    fn run(&self, flow: &Flow, inputs: &Inputs, state: f64, budget: &mut Budget) -> Running {
        budget.write(&Pulling { propeller: self, flow, inputs, state })
    }

    fn settled(&self, flow: &Flow, inputs: &Inputs) -> f64 {
        let along_mps = self.velocity_at_disk(flow).dot(self.shaft);
        let rate = |speed_radps: f64| {
            let meeting = self.meet(flow, along_mps, inputs.throttle, speed_radps);
            self.turning(&meeting, inputs).2
        };
        let most = 3.0 * self.data.engine.speed_rated_radps;
        // Without a change of sign it runs away to one end or the other.
        let end = if rate(most) > 0.0 { most } else { SPEED_LEAST_RADPS };
        root::find(rate, SPEED_LEAST_RADPS, most, 1e-9).unwrap_or(end)
    }
}

/// The wash as the airframe meets it: without what is switched off.
fn held(wash: Wash, ledger: &impl Ledger) -> Wash {
    let swirl_radps = if ledger.acts(Cause::Swirl) { wash.swirl_radps } else { 0.0 };
    if ledger.acts(Cause::Slipstream) {
        return Wash { swirl_radps, ..wash };
    }
    Wash { pressure_rise_pa: 0.0, speed_rise_mps: 0.0, swirl_radps, ..wash }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::air::{Air, AirState};
    use crate::budget::Switches;
    use base::factors::RAD_PER_DEG;
    use base::kinds::PressureAltitude;

    fn propeller(clockwise: bool, pitch: Pitch) -> PistonPropeller {
        PistonPropeller::new(PistonPropellerData {
            engine: PistonEngine::usual(119_000.0, 282.7),
            blades: BladeElements::usual(2.0, 0.062, 0.6),
            chord_over_diameter: 0.062,
            diameter_m: 1.88,
            pitch,
            clockwise,
            inertia_kgm2: 1.7,
            hub_m: Vec3::new(2.0, 0.0, -0.1),
            shaft_down_rad: 0.0,
            shaft_right_rad: 0.0,
            swirl_straightened: 0.5,
            blockage: 0.05,
        })
    }

    fn flow(u: f64, v: f64, w: f64, rates: Vec3<Body>) -> Flow {
        let air: AirState = Air::standard(PressureAltitude::from_m(0.0)).into();
        Flow::new(Vec3::new(u, v, w), rates, air)
    }

    const FIXED: Pitch = Pitch::Fixed { angle_rad: 20.0 * RAD_PER_DEG };
    const GOVERNED: Pitch = Pitch::ConstantSpeed {
        fine_rad: 13.0 * RAD_PER_DEG,
        coarse_rad: 40.0 * RAD_PER_DEG,
        speed_least_radps: 180.0,
        speed_most_radps: 282.7,
    };

    fn run(propeller: &PistonPropeller, flow: &Flow, throttle: f64) -> (Running, Budget) {
        let inputs = Inputs { throttle, propeller: 1.0, ..Inputs::default() };
        let state = propeller.settled(flow, &inputs);
        let mut budget = Budget::new(Switches::ALL);
        (propeller.run(flow, &inputs, state, &mut budget), budget)
    }

    #[test]
    fn it_settles_and_the_governor_holds() {
        let straight = flow(55.0, 0.0, 0.0, Vec3::ZERO);
        let (governed, _) = run(&propeller(true, GOVERNED), &straight, 0.8);
        assert!((governed.speed_radps - 282.7).abs() < 1e-6, "{governed:?}");
        assert!(governed.state_rate.abs() < 1e-6);
        let (fixed, _) = run(&propeller(true, FIXED), &straight, 1.0);
        assert!((200.0..300.0).contains(&fixed.speed_radps), "{fixed:?}");
        let efficiency = fixed.thrust_n * 55.0 / fixed.power_w;
        assert!((0.7..0.9).contains(&efficiency), "{efficiency}");
        let (idle, _) = run(&propeller(true, FIXED), &straight, 0.0);
        assert!(idle.thrust_n < 0.0, "a closed throttle brakes: {idle:?}");
    }

    #[test]
    fn every_effect_has_its_textbook_sign() {
        let clockwise = propeller(true, FIXED);
        let (_, climbing) = run(&clockwise, &flow(40.0, 0.0, 6.0, Vec3::ZERO), 1.0);
        assert!(climbing.share(Cause::Torque).moment_nm.x < 0.0, "rolls left");
        assert!(climbing.share(Cause::NormalForce).moment_nm.z < 0.0, "P-factor yaws left");
        assert!(climbing.share(Cause::NormalForce).force_n.z < 0.0, "and lifts");
        let (running, pulled) =
            run(&clockwise, &flow(45.0, 0.0, 0.0, Vec3::new(0.0, 0.2, 0.0)), 1.0);
        let gyroscopic = pulled.share(Cause::Gyroscopic).moment_nm;
        assert!((gyroscopic.z - 1.7 * running.speed_radps * 0.2).abs() < 1e-9, "nose right");
        assert!(running.wash.swirl_radps > 0.0);
    }

    #[test]
    fn prop_the_other_rotation_is_the_mirror() {
        let (right, left) = (propeller(true, GOVERNED), propeller(false, GOVERNED));
        let rates = Vec3::new(0.3, 0.2, -0.1);
        let (a, one) = run(&right, &flow(40.0, 3.0, 5.0, rates), 0.9);
        let mirrored = Vec3::new(-0.3, 0.2, 0.1);
        let (b, other) = run(&left, &flow(40.0, -3.0, 5.0, mirrored), 0.9);
        assert!((a.thrust_n - b.thrust_n).abs() < 1e-9);
        let (one, other) = (one.total(), other.total());
        assert!((one.force_n.y + other.force_n.y).abs() < 1e-9);
        assert!((one.moment_nm.x + other.moment_nm.x).abs() < 1e-9);
        assert!((one.moment_nm.y - other.moment_nm.y).abs() < 1e-9);
        assert!((one.moment_nm.z + other.moment_nm.z).abs() < 1e-9);
        assert!((a.wash.swirl_radps + b.wash.swirl_radps).abs() < 1e-9);
    }
}
