//! No state inside the declared range gives anything that is not a number; outside there is a typed refusal.

use std::sync::LazyLock;

use base::frames::{Attitude, Body, Vec3};
use flight::air::{AirColumn, Day};
use flight::airplane::{bundled, published};
use flight::controls::{Inputs, Surfaces};
use flight::earth::Earth;
use flight::vehicle::{OutsideData, State, StateArray, Vehicle, World};
use flight::wind::Wind;
use proptest::prelude::*;

use super::airframes::{Scale, trainer};

/// The bundled trainers, one with its air forces as tables, and the airplanes of published data; whether their data hold at any
/// angle.
static FLEET: LazyLock<Vec<(Vehicle, bool)>> = LazyLock::new(|| {
    let trainer = |id| {
        let airplane = bundled::load(id).expect("a bundled airplane");
        airplane.vehicle(airplane.masses.typical).expect("it has six-degree data")
    };
    let mut fleet = vec![
        (trainer("plover-160"), true),
        (trainer("sandpiper-550"), true),
        (super::tabulated::tabulated(), true),
    ];
    for (id, _) in published::ALL {
        let airplane = published::load(id).expect("a published airplane");
        let vehicle = airplane.vehicle(airplane.rigid.loading.mass).expect("a mass");
        fleet.push((vehicle, false));
    }
    fleet
});

/// A state met by the air at these angles.
fn met(earth: &Earth, speed_mps: f64, (alpha, beta): (f64, f64), rates: Vec3<Body>) -> StateArray {
    use base::math::{cos, sin};
    let attitude = Attitude { heading_rad: 2.0, pitch_rad: 0.3, bank_rad: -0.5 };
    let body: Vec3<Body> =
        Vec3::new(cos(alpha) * cos(beta), sin(beta), sin(alpha) * cos(beta)) * speed_mps;
    let velocity = attitude.body_from_ned().inverse().apply(body);
    let place = earth.position(base::geodesy::Geodetic::from_deg(-30.0, 150.0, 2000.0));
    State::at(earth, place, velocity, attitude, rates).to_array()
}

fn judge(
    vehicle: &Vehicle,
    earth: Earth,
    state: &StateArray,
    inputs: &Inputs,
) -> Result<(), OutsideData> {
    let air = AirColumn::of_day(&Day::standard(), 0.0, 6000.0);
    let world = World { earth, air: &air, wind: &Wind::CALM };
    let instant = vehicle.instant(&world, 0.0, state, inputs);
    let judged = vehicle.check(&instant);
    if judged.is_ok() {
        let rate = vehicle.rate(&world, 0.0, state, inputs);
        assert!(rate.iter().all(|x| x.is_finite()), "{rate:?}");
        assert!(instant.alpha_rate_radps.is_finite(), "{instant:?}");
    }
    judged
}

fn any_angles() -> impl Strategy<Value = (f64, f64)> {
    let (half, quarter) = (std::f64::consts::PI, std::f64::consts::FRAC_PI_2);
    (-half..half, -quarter..quarter)
}

fn any_rates() -> impl Strategy<Value = Vec3<Body>> {
    let one = || -8.0..8.0_f64;
    (one(), one(), one()).prop_map(|(p, q, r)| Vec3::new(p, q, r))
}

fn any_inputs() -> impl Strategy<Value = Inputs> {
    let one = || -1.0..1.0_f64;
    (one(), one(), one(), 0.0..0.7_f64, 0.0..=1.0_f64, 0.0..=1.0_f64).prop_map(
        |(elevator_rad, aileron_rad, rudder_rad, flap_rad, throttle, propeller)| Inputs {
            surfaces: Surfaces { elevator_rad, aileron_rad, rudder_rad, flap_rad },
            throttle,
            propeller,
        },
    )
}

/// From standing still in the air to far beyond any light airplane.
fn any_speed_mps() -> impl Strategy<Value = f64> {
    prop_oneof![Just(0.0), Just(1e-300), 1e-12..1e-3_f64, 0.0..2.0_f64, 0.0..160.0_f64]
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 512, failure_persistence: None, ..ProptestConfig::default() })]
    #[test]
    fn prop_numbers_everywhere_inside(
        speed_mps in any_speed_mps(), angles in any_angles(), rates in any_rates(),
        inputs in any_inputs(), engine in 0.0..320.0_f64, round: bool,
    ) {
        let earth = if round { Earth::WGS84 } else { Earth::FLAT };
        let mut state = met(&earth, speed_mps, angles, rates);
        state[flight::vehicle::ENGINE] = engine;
        let judged = judge(&trainer(1.0, Scale::ONE), earth, &state, &inputs);
        prop_assert_eq!(judged, Ok(()));
    }

    /// The same with real engines and propellers, and every form of aerodynamic data.
    #[test]
    fn prop_numbers_everywhere_inside_for_every_airplane(
        speed_mps in any_speed_mps(), angles in any_angles(), rates in any_rates(),
        inputs in any_inputs(), engine in 0.0..320.0_f64, round: bool,
    ) {
        let earth = if round { Earth::WGS84 } else { Earth::FLAT };
        let mut state = met(&earth, speed_mps, angles, rates);
        state[flight::vehicle::ENGINE] = engine;
        for (vehicle, everywhere) in FLEET.iter() {
            let judged = judge(vehicle, earth, &state, &inputs);
            prop_assert!(judged.is_ok() || !everywhere, "{vehicle:?} {judged:?}");
        }
    }

    #[test]
    fn prop_a_state_that_is_no_number_is_refused(index in 0..17_usize, infinite: bool) {
        let mut state = met(&Earth::FLAT, 50.0, (0.1, 0.0), Vec3::ZERO);
        state[index] = if infinite { f64::INFINITY } else { f64::NAN };
        let vehicle = trainer(1.0, Scale::ONE);
        // On a flat earth north and east mean nothing to the forces, and a surface beyond its limits is at its limit; anything
        // else does.
        let judged = judge(&vehicle, Earth::FLAT, &state, &Inputs::default());
        prop_assert!(index < 2 || (index > 13 && infinite) || judged.is_err(), "{index} {judged:?}");
        let judged = judge(&vehicle, Earth::WGS84, &state, &Inputs::default());
        prop_assert!((index > 13 && infinite) || judged.is_err(), "{index} {judged:?}");
    }
}

#[test]
fn too_fast_is_refused_in_words() {
    let state = met(&Earth::FLAT, 250.0, (0.02, 0.0), Vec3::ZERO);
    let refused = judge(&trainer(1.0, Scale::ONE), Earth::FLAT, &state, &Inputs::default());
    let error = refused.expect_err("Mach 0.75");
    assert!(error.mach > 0.7 && error.mach < 0.8, "{error:?}");
    assert!(error.to_string().contains("Mach 0.75") && !error.hint().is_empty(), "{error}");
}

#[test]
fn a_control_that_is_no_number_is_refused() {
    let state = met(&Earth::FLAT, 50.0, (0.02, 0.0), Vec3::ZERO);
    let vehicle = trainer(1.0, Scale::ONE);
    let surfaces = Surfaces { elevator_rad: f64::NAN, ..Surfaces::default() };
    for inputs in [
        Inputs { surfaces, ..Inputs::default() },
        Inputs { throttle: f64::NAN, ..Inputs::default() },
    ] {
        assert!(judge(&vehicle, Earth::FLAT, &state, &inputs).is_err(), "{inputs:?}");
    }
}
