//! The chart against the engine and propeller that it is of.

use std::sync::Arc;

use base::numerics::dual::Dual;

use super::{SHARES, Settling, ThrustChart, share_of, splined};
use crate::airplane::rigid::Pull;
use crate::airplane::{Thrust, bundled};

fn chart(id: &str) -> Arc<ThrustChart> {
    let Thrust::Propeller(propeller) = bundled::load(id).unwrap().thrust else { panic!("{id}") };
    propeller.chart.unwrap()
}

#[test]
fn prop_the_chart_is_the_settled_engine_and_propeller() {
    for id in ["plover-160", "sandpiper-550"] {
        let (airplane, chart) = (bundled::load(id).unwrap(), chart(id));
        let Pull::Piston(pull) = &airplane.rigid.as_ref().unwrap().pull else { panic!("{id}") };
        let settling = Settling { propeller: pull.propeller(), carried: &chart.carried };
        let mut worst = 0.0_f64;
        for density in [1.2, 1.0, 0.75, 0.6] {
            for speed in [0.0, 17.3, 28.0, 36.7, 51.0, 64.4, 83.0, 101.5] {
                let full = settling.thrust_n(1.0, speed, density);
                for share in [0.0, 0.03, 0.22, 0.4, 0.55, 0.61, 0.83, 1.0] {
                    let throttle = chart.throttle(share).unwrap();
                    let wanted = settling.thrust_n(throttle, speed, density);
                    let found = chart.thrust(share, speed, density).unwrap();
                    let miss = (found - wanted) / full.max(1.0);
                    if miss.abs() > worst.abs() {
                        println!("{id} {density} {speed} {share}: {found:.1} {wanted:.1} N");
                        worst = miss;
                    }
                    let back = chart.share_for(found, speed, density).unwrap();
                    checks::assert_near("and back", back, share, 1e-9);
                }
            }
        }
        assert!(worst.abs() < 5e-3, "{id} {worst}");
        // A closed throttle brakes, and the faster the more while the blades stand on their stop.
        let idle = |speed: f64| chart.thrust(0.0, speed, 1.2).unwrap();
        assert!(idle(40.0) < 0.0 && idle(70.0) < idle(40.0), "{id} {} {}", idle(40.0), idle(70.0));
    }
}

#[test]
fn prop_slopes_are_those_of_the_chart() {
    let chart = chart("sandpiper-550");
    for at in [[0.63, 57.0, 1.05], [0.31, 33.3, 0.8], [1.3, 71.0, 1.2]] {
        let [share, speed, density] = std::array::from_fn(|i| Dual::<3>::variable(at[i], i));
        let exact = chart.thrust(share, speed, density).unwrap();
        let value = |at: [f64; 3]| chart.thrust(at[0], at[1], at[2]).unwrap();
        checks::assert_near("value", exact.value, value(at), 1e-9);
        let moved = |i: usize, by: f64, j: usize, other: f64| {
            let mut at = at;
            at[i] += by;
            at[j] += other;
            value(at)
        };
        let steps = [1e-4, 1e-2, 1e-4];
        for i in 0..3 {
            let slope =
                (moved(i, steps[i], i, 0.0) - moved(i, -steps[i], i, 0.0)) / (2.0 * steps[i]);
            checks::assert_near("slope", exact.gradient[i], slope, 1e-4 * (1.0 + slope.abs()));
            for j in 0..3 {
                let (a, b) = (steps[i], steps[j]);
                let sum = moved(i, a, j, b) - moved(i, a, j, -b) - moved(i, -a, j, b)
                    + moved(i, -a, j, -b);
                let curvature = sum / (4.0 * a * b);
                let most = 2e-2 * (10.0 + curvature.abs());
                checks::assert_near("curvature", exact.hessian[i][j], curvature, most);
            }
        }
    }
}

#[test]
fn a_spline_goes_through_its_values() {
    let values: Vec<f64> = (0..=SHARES).map(|i| (0.1 * i as f64).powi(3) - 0.2).collect();
    let line = splined(&values);
    let row: [f64; SHARES + 3] = std::array::from_fn(|i| line[i]);
    for (i, value) in values.iter().enumerate() {
        let node = (row[i] + 4.0 * row[i + 1] + row[i + 2]) / 6.0;
        checks::assert_near("node", node, *value, 1e-14);
        checks::assert_near("share", share_of(&row, *value), i as f64 / SHARES as f64, 1e-9);
    }
}

/// The shaft itself, turned by engine and propeller while the airspeed changes evenly, as against the mass and the lag charted for it.
#[test]
fn prop_the_added_mass_is_what_the_shaft_takes() {
    for (id, share, from_mps) in
        [("plover-160", 0.8, 48.0), ("plover-160", 0.0, 60.0), ("sandpiper-550", 0.4, 55.0)]
    {
        let (airplane, chart) = (bundled::load(id).unwrap(), chart(id));
        let Pull::Piston(pull) = &airplane.rigid.as_ref().unwrap().pull else { panic!("{id}") };
        let settling = Settling { propeller: pull.propeller(), carried: &chart.carried };
        let (density, slower_mps2, step_s) = (1.1, -3.0, 0.01);
        let throttle = chart.throttle(share).unwrap();
        let mut engine = settling.run(throttle, [from_mps, density, 0.05]).engine;
        for i in 0..300 {
            let at = [from_mps + slower_mps2 * step_s * f64::from(i), density, 0.05];
            engine += step_s * settling.turning(throttle, at, engine).rate_radps2;
        }
        let at = [from_mps + 3.0 * slower_mps2, density, 0.05];
        let more_n =
            settling.turning(throttle, at, engine).along_n - settling.run(throttle, at).along_n;
        let pull = chart.pull(share, at[0], density).unwrap();
        println!("{id} {share}: {more_n:.1} N, charted {:.1} kg", pull.added);
        checks::assert_near("as charted", -pull.added * slower_mps2 / more_n, 1.0, 0.15);
        // The throttle moved by a little: two thirds of the way in about the time charted.
        let later = settling.run(chart.throttle(share + 0.03).unwrap(), at).engine;
        let first = settling.run(throttle, at).engine;
        let (mut engine, mut took_s) = (first, 0.0);
        while engine < first + (1.0 - base::math::exp(-1.0)) * (later - first) {
            let rate = settling.turning(chart.throttle(share + 0.03).unwrap(), at, engine);
            engine += step_s * rate.rate_radps2;
            took_s += step_s;
        }
        let lag_s = chart.lag_s(share, at[0], density).unwrap();
        checks::assert_near("lag", took_s / lag_s, 1.0, 0.15);
    }
    // A governor holds the speed of rotation: nothing is stored.
    let governed = chart("sandpiper-550").pull(0.9, 75.0, 1.1).unwrap();
    assert!(governed.added.abs() < 1e-9, "{governed:?}");
}
