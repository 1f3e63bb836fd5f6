//! A step takes no memory from the heap: neither do an evaluation with shares and a trim.

use allocation_counter::measure;
use base::kinds::TrueAirspeed;
use base::numerics::ode::{AdamsBashforth2, runge_kutta_4};
use flight::air::{AirColumn, Day};
use flight::earth::Earth;
use flight::trim::{Airspeed, Conditions, trim};
use flight::vehicle::{StateArray, Vehicle, World};
use flight::wind::Wind;

use super::tabulated::{components, tabulated};

#[test]
fn prop_a_step_allocates_nothing() {
    nothing_is_allocated(&components());
}

#[test]
fn prop_a_step_with_tables_allocates_nothing() {
    nothing_is_allocated(&tabulated());
}

fn nothing_is_allocated(vehicle: &Vehicle) {
    let air = AirColumn::of_day(&Day::standard(), -500.0, 8000.0);
    for earth in [Earth::FLAT, Earth::WGS84] {
        let world = World { earth, air: &air, wind: &Wind::CALM };
        let place = earth.position(base::geodesy::Geodetic::from_deg(47.0, 8.0, 1200.0));
        let speed = Airspeed::True(TrueAirspeed::from_mps(50.0));
        let mut found = None;
        let trimming = measure(|| {
            found = Some(trim(vehicle, &world, &Conditions::level(place, speed)));
        });
        let trim = found.expect("measured").expect("good conditions");
        assert!(trim.converged(), "{:?}", trim.stop);
        assert_eq!(trimming.count_total, 0, "trim: {trimming:?}");

        let (inputs, mut state) = (trim.inputs, trim.state.to_array());
        let rate = |t: f64, y: &StateArray| vehicle.rate(&world, t, y, &inputs);
        let (mut single, mut speeds) = (AdamsBashforth2::new(), 0.0);
        let stepping = measure(|| {
            for step in 0..1000 {
                let time_s = f64::from(step) * 0.01;
                state = single.step(rate, time_s, &state, 0.01);
                state = runge_kutta_4(rate, time_s, &state, 0.01);
                speeds += vehicle.instant(&world, time_s, &state, &inputs).flow.speed_mps;
            }
        });
        assert_eq!(stepping.count_total, 0, "steps: {stepping:?}");
        assert!((speeds / 1000.0 - 50.0).abs() < 5.0, "it flew: {speeds}");
        // The counter counts.
        assert!(measure(|| drop(std::hint::black_box(vec![1.0; 3]))).count_total > 0);
    }
}
