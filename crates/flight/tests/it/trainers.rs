//! The two levels of flight are of one airplane: what the trainers do as rigid bodies is what they do as point masses.

use base::factors::{MPS_PER_FPM, RAD_PER_DEG};
use base::frames::Vec3;
use base::kinds::{GeometricHeight, TrueAirspeed};
use base::units::LoadFactor;
use flight::air::{AirColumn, Day};
use flight::airplane::{Airplane, bundled};
use flight::airspeed;
use flight::budget::Switches;
use flight::controls::Inputs;
use flight::earth::Earth;
use flight::point_mass::{DensityColumn, PointMass};
use flight::trim::{Airspeed, Conditions, Hold, Trim, trim};
use flight::vehicle::{Stepping, Vehicle, World};
use flight::wind::Wind;

const HEIGHT_M: f64 = 600.0;

struct Both {
    airplane: Airplane,
    vehicle: Vehicle,
    air: AirColumn,
}

impl Both {
    fn new(id: &str) -> Self {
        Self::of(bundled::load(id).expect("it is bundled"))
    }
    fn of(airplane: Airplane) -> Self {
        let vehicle = airplane.vehicle(airplane.masses.typical).expect("it has six-degree data");
        Self { airplane, vehicle, air: AirColumn::of_day(&Day::standard(), 0.0, 4000.0) }
    }
    fn world(&self) -> World<'_> {
        World { earth: Earth::FLAT, air: &self.air, wind: &Wind::CALM }
    }
    fn point(&self) -> PointMass<'_> {
        PointMass {
            airplane: &self.airplane,
            mass_kg: self.airplane.masses.typical.to_kg(),
            air: DensityColumn::of_day(&Day::standard(), 0.0, 4000.0),
        }
    }
    fn trimmed(&self, speed_mps: f64, hold: Hold) -> Trim {
        let place = Vec3::new(0.0, 0.0, -HEIGHT_M);
        let speed = Airspeed::True(TrueAirspeed::from_mps(speed_mps));
        let conditions = Conditions { hold, ..Conditions::level(place, speed) };
        let found =
            trim(&self.vehicle, &self.world(), &conditions).expect("the conditions make sense");
        assert!(found.converged(), "{speed_mps} {}", found.stop);
        found
    }
}

/// The trainers, and the one that has flaps with its flaps down.
fn configured() -> [(&'static str, Airplane); 4] {
    let plover = bundled::load("plover-160").expect("it is bundled");
    let flapped = |name| plover.with_flaps(name).expect("its file tells of them");
    [
        ("plover-160, flaps half", flapped("half")),
        ("plover-160, flaps full", flapped("full")),
        ("plover-160", plover),
        ("sandpiper-550", bundled::load("sandpiper-550").expect("it is bundled")),
    ]
}

#[test]
fn prop_both_levels_climb_alike_at_full_power() {
    for (id, airplane) in configured() {
        let both = Both::of(airplane);
        let point = both.point();
        let stall = point.stall_speed_mps(HEIGHT_M);
        for multiple in [1.2, 1.4, 1.6, 1.8, 2.0, 2.2] {
            let speed_mps = multiple * stall;
            let lift = point.lift_coefficient_for(1.0, speed_mps, HEIGHT_M);
            let excess_n =
                point.thrust_n(1.0, speed_mps, HEIGHT_M) - point.drag_n(lift, speed_mps, HEIGHT_M);
            let expected_mps = speed_mps * excess_n / point.weight_n();
            let found_mps = both.trimmed(speed_mps, Hold::Throttle(1.0)).climb_rate.to_mps();
            let miss_fpm = (found_mps - expected_mps) / MPS_PER_FPM;
            println!(
                "{id} at {multiple} of the stall speed: climb differs by {miss_fpm:.0} ft/min"
            );
            // A propeller of blade elements against one of a constant share of the ideal.
            assert!(miss_fpm.abs() < 60.0, "{id} {multiple} {miss_fpm}");
        }
    }
}

#[test]
fn prop_both_levels_fly_at_the_same_incidence_and_stall() {
    for (id, airplane) in configured() {
        let both = Both::of(airplane.clone());
        let point = both.point();
        let stall = point.stall_speed_mps(HEIGHT_M);
        for multiple in [1.2, 1.5, 1.9] {
            let speed_mps = multiple * stall;
            let lift = point.lift_coefficient_for(1.0, speed_mps, HEIGHT_M);
            let expected_rad = both.airplane.incidence_rad(lift);
            // Without wash and thrust, as the point mass has it.
            let mut glider = Both::of(airplane.clone());
            glider.vehicle.propulsion = Box::new(flight::propulsion::Glider);
            let found_rad = glider.trimmed(speed_mps, Hold::Throttle(0.0)).instant.flow.alpha_rad;
            let miss_deg = (found_rad - expected_rad) / RAD_PER_DEG;
            println!("{id} {multiple}: incidence differs by {miss_deg:.2} degrees");
            // The elevator that trims carries a little lift of its own, and the glide is not level.
            assert!(miss_deg.abs() < 1.0, "{id} {multiple} {miss_deg}");
        }
    }
}

#[test]
fn full_aileron_at_maneuvering_speed_rolls_as_the_file_says() {
    for id in ["plover-160", "sandpiper-550"] {
        let both = Both::new(id);
        let stated = both.airplane.calibrated(both.airplane.speeds.maneuvering);
        let air = Day::standard().air_at(GeometricHeight::from_m(HEIGHT_M));
        let speed_mps = airspeed::true_from_calibrated(stated, &air).to_mps();
        let level = both.trimmed(speed_mps, Hold::Climb(base::units::Angle::from_rad(0.0)));
        let most = both.vehicle.actuators.aileron.limits_rad.0;
        let stepping = Stepping { step_s: 0.01, keep_every: 1, seconds: 1.5 };
        let flown = both.vehicle.fly(&both.world(), &level.state.to_array(), &stepping, |_| {
            let mut inputs: Inputs = level.inputs;
            inputs.surfaces.aileron_rad = most;
            Some(inputs)
        });
        let fastest =
            flown.moments.iter().map(|moment| moment.state[10]).fold(0.0, f64::max) / RAD_PER_DEG;
        let stated_deg = both.airplane.roll_rate_max.to_radps() / RAD_PER_DEG;
        println!("{id}: rolls at {fastest:.0} deg/s, the file says {stated_deg:.0}");
        assert!((fastest / stated_deg - 1.0).abs() < 0.15, "{id} {fastest} {stated_deg}");
    }
}

#[test]
fn prop_the_throttle_is_where_left_and_right_differ() {
    // Without what the propeller does, the airplane is its own mirror: straight flight takes no rudder.
    use flight::budget::Cause;
    let mut both = Both::new("plover-160");
    let speed_mps = 1.4 * both.point().stall_speed_mps(HEIGHT_M);
    let powered = both.trimmed(speed_mps, Hold::Throttle(1.0)).inputs.surfaces.rudder_rad;
    let off =
        [Cause::Torque, Cause::NormalForce, Cause::Gyroscopic, Cause::Swirl, Cause::Slipstream];
    both.vehicle.switches = off.into_iter().fold(Switches::ALL, Switches::without);
    let plain = both.trimmed(speed_mps, Hold::Throttle(1.0)).inputs.surfaces.rudder_rad;
    let _ = LoadFactor::from_g(1.0);
    println!(
        "rudder with power {:.2}, without {:.2} degrees",
        powered / RAD_PER_DEG,
        plain / RAD_PER_DEG
    );
    assert!(powered < 0.0, "right rudder under power: {powered}");
    // What is left is the rigging of fin and shaft, which is there to help in cruise: the propeller takes the difference.
    assert!(plain - powered > 3.0 * RAD_PER_DEG, "{plain} {powered}");
}
