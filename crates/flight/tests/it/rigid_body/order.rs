//! Order of the step rules on a smooth flight of the full vehicle: the bundled trainer, trimmed and disturbed.

use base::kinds::TrueAirspeed;
use base::numerics::ode::{AdamsBashforth2, runge_kutta_4};
use base::units::Mass;
use flight::air::{AirColumn, Day};
use flight::airplane::bundled;
use flight::controls::Inputs;
use flight::earth::Earth;
use flight::trim::{Airspeed, Conditions, trim};
use flight::vehicle::{COUNT, StateArray, Vehicle, World};
use flight::wind::Wind;

const SECONDS: f64 = 4.0;

#[derive(Clone, Copy)]
enum Rule {
    Classic,
    Single,
}

/// State after a few seconds in so many steps of a rule.
fn end(
    (vehicle, world): (&Vehicle, &World<'_>),
    (start, inputs): (&StateArray, &Inputs),
    rule: Rule,
    steps: usize,
) -> StateArray {
    let h = SECONDS / steps as f64;
    let rate = |t: f64, y: &StateArray| vehicle.rate(world, t, y, inputs);
    let (mut state, mut single) = (*start, AdamsBashforth2::new());
    for step in 0..steps {
        let time_s = step as f64 * h;
        state = match rule {
            Rule::Classic => runge_kutta_4(rate, time_s, &state, h),
            Rule::Single => single.step(rate, time_s, &state, h),
        };
    }
    state
}

/// Miss in velocity, attitude and rates, each of size one in its own units of tens of meters per second, radians.
fn miss(a: &StateArray, b: &StateArray) -> f64 {
    let size = |i: usize| if i < 6 { 30.0 } else { 1.0 };
    let square = |i: usize| ((a[i] - b[i]) / size(i)).powi(2);
    (3..COUNT).filter(|&i| i != 13).map(square).sum::<f64>().sqrt()
}

#[test]
fn prop_halving_the_step_shows_the_order() {
    let airplane = bundled::load("plover-160").expect("a bundled airplane");
    let vehicle = airplane.vehicle(Mass::from_kg(930.0)).expect("it has six-degree data");
    let air = AirColumn::of_day(&Day::standard(), 0.0, 6000.0);
    for earth in [Earth::FLAT, Earth::WGS84] {
        let world = World { earth, air: &air, wind: &Wind::CALM };
        let place = earth.position(base::geodesy::Geodetic::from_deg(47.0, 8.0, 1200.0));
        let speed = Airspeed::True(TrueAirspeed::from_mps(55.0));
        let found = trim(&vehicle, &world, &Conditions::level(place, speed)).expect("good");
        assert!(found.converged(), "{:?}", found.stop);
        let mut start = found.state.to_array();
        // Rolling, pitching and yawing, but far from every limit and from the stall: those have corners.
        for (place, rate) in [(10, 0.2), (11, 0.03), (12, 0.05)] {
            start[place] += rate;
        }
        let fly = |rule, steps| end((&vehicle, &world), (&start, &found.inputs), rule, steps);
        let truth = fly(Rule::Classic, 3200);
        for (rule, order, coarsest) in [(Rule::Classic, 4.0, 100), (Rule::Single, 2.0, 400)] {
            let misses: Vec<f64> = [coarsest, 2 * coarsest, 4 * coarsest]
                .iter()
                .map(|&steps| miss(&fly(rule, steps), &truth))
                .collect();
            for pair in misses.windows(2) {
                let found = (pair[0] / pair[1]).log2();
                assert!((found - order).abs() < 0.2, "order {found} from {misses:?}");
            }
        }
    }
}
