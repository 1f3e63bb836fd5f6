//! Order of the step rules on a smooth flight of the full vehicle.

use base::numerics::ode::runge_kutta_4;
use flight::air::{AirColumn, Day};
use flight::controls::{Inputs, Surfaces};
use flight::earth::Earth;
use flight::vehicle::{COUNT, StateArray, World};
use flight::wind::Wind;

use super::airframes::{Scale, trainer};
use super::lively;

const SECONDS: f64 = 4.0;

/// State after a few seconds in so many steps of a rule.
fn end(earth: Earth, steps: usize) -> StateArray {
    let air = AirColumn::of_day(&Day::standard(), 0.0, 6000.0);
    let (vehicle, world) =
        (trainer(1.0, Scale::ONE), World { earth, air: &air, wind: &Wind::CALM });
    // Gentle: a fin or tail that reaches its greatest lift has a corner there.
    let surfaces = Surfaces { elevator_rad: -0.02, ..Surfaces::default() };
    let inputs = Inputs { surfaces, throttle: 0.9, propeller: 1.0 };
    let h = SECONDS / steps as f64;
    let rate = |t: f64, y: &StateArray| vehicle.rate(&world, t, y, &inputs);
    let mut state = lively(&earth);
    for step in 0..steps {
        state = runge_kutta_4(rate, step as f64 * h, &state, h);
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
fn prop_halving_the_step_of_fourth_order() {
    for earth in [Earth::FLAT, Earth::WGS84] {
        let truth = end(earth, 6400);
        let misses: Vec<f64> =
            [50, 100, 200].iter().map(|&steps| miss(&end(earth, steps), &truth)).collect();
        for pair in misses.windows(2) {
            let order = (pair[0] / pair[1]).log2();
            assert!((order - 4.0).abs() < 0.2, "order {order} from {misses:?}");
        }
    }
}
