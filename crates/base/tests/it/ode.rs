//! Differential equations: closed forms, order, event times.

use base::math::{cos, exp, hypot, ln, sin};
use base::numerics::ode::{
    AdamsBashforth2, BOGACKI_SHAMPINE_3, Control, DORMAND_PRINCE_5, DORMAND_PRINCE_8, Direction,
    Estimate, RUNGE_KUTTA_4, Solution, Stop, Tableau, Watch, integrate, integrate_by,
    runge_kutta_4, step,
};
use base::numerics::root;
use checks::assert_near;

fn control(tolerance: f64) -> Control {
    Control {
        relative: tolerance,
        absolute: tolerance,
        step_first: 1e-3,
        step_max: 10.0,
        steps_max: 1_000_000,
    }
}

/// Problems A2, A3, A4 of HULL-1972, with their
/// closed forms, at the end and between.
#[test]
fn val_scalar_problems_with_closed_forms() {
    let fine = control(1e-11);
    let check = |name: &str, solution: &Solution<1>, exact: &dyn Fn(f64) -> f64| {
        assert_eq!(solution.stop, Stop::End);
        assert_near(name, solution.state_end[0], exact(20.0), 1e-9);
        for i in 0..200 {
            let t = 0.1 * f64::from(i);
            assert_near(name, solution.state(t)[0], exact(t), 5e-8);
        }
    };
    let a2 = integrate(|_, y: &[f64; 1]| [-0.5 * y[0].powi(3)], (0.0, 20.0), [1.0], &fine, &[]);
    check("A2", &a2, &|t| 1.0 / (1.0 + t).sqrt());
    let a3 = integrate(|t, y: &[f64; 1]| [y[0] * cos(t)], (0.0, 20.0), [1.0], &fine, &[]);
    check("A3", &a3, &|t| exp(sin(t)));
    let logistic = |_: f64, y: &[f64; 1]| [0.25 * y[0] * (1.0 - y[0] / 20.0)];
    let a4 = integrate(logistic, (0.0, 20.0), [1.0], &fine, &[]);
    check("A4", &a4, &|t| 20.0 / (1.0 + 19.0 * exp(-0.25 * t)));
}

/// Problem D5 of the same set: two bodies, eccentricity 0.9, to t = 20, against Kepler's equation.
#[test]
fn val_two_bodies_of_eccentricity_nine_tenths() {
    let e: f64 = 0.9;
    let pull = |_: f64, y: &[f64; 4]| {
        let cube = hypot(y[0], y[1]).powi(3);
        [y[2], y[3], -y[0] / cube, -y[1] / cube]
    };
    let start = [1.0 - e, 0.0, 0.0, ((1.0 + e) / (1.0 - e)).sqrt()];
    let solution = integrate(pull, (0.0, 20.0), start, &control(1e-12), &[]);
    let anomaly = root::find(|u| u - e * sin(u) - 20.0, 0.0, 40.0, 1e-14).unwrap();
    assert_near("x", solution.state_end[0], cos(anomaly) - e, 1e-8);
    assert_near("y", solution.state_end[1], (1.0 - e * e).sqrt() * sin(anomaly), 1e-8);
}

/// The restricted three-body orbit of R. F. Arenstorf closes after 17.0652165601579625588917206249; figures and equations in
/// HNW-1993, section II.0.
#[test]
fn val_arenstorf_orbit_closes() {
    let small = 0.012_277_471;
    let large = 1.0 - small;
    let pull = |_: f64, y: &[f64; 4]| {
        let d1 = hypot(y[0] + small, y[1]).powi(3);
        let d2 = hypot(y[0] - large, y[1]).powi(3);
        [
            y[2],
            y[3],
            y[0] + 2.0 * y[3] - large * (y[0] + small) / d1 - small * (y[0] - large) / d2,
            y[1] - 2.0 * y[2] - large * y[1] / d1 - small * y[1] / d2,
        ]
    };
    let start = [0.994, 0.0, 0.0, -2.001_585_106_379_082_5];
    let period = 17.065_216_560_157_964;
    let miss = |tolerance: f64| {
        let end = integrate(pull, (0.0, period), start, &control(tolerance), &[]).state_end;
        hypot(end[0] - start[0], end[1] - start[1])
    };
    let (coarse, fine) = (miss(1e-9), miss(1e-13));
    println!("Arenstorf orbit: open by {coarse:.1e} at 1e-9, {fine:.1e} at 1e-13");
    assert!(fine < 1e-9 && fine < coarse);
}

/// Rates that are powers of time: a rule of order 5 is exact to the fourth power at the end of a step, its extension of order
/// 4 to the third between (order conditions of bushy trees; HNW-1993, sections II.1 and II.6). Every
/// coefficient of the rule takes part.
#[test]
fn val_powers_of_time_are_exact() {
    let one = Control { step_first: 2.0, step_max: 2.0, ..control(1e9) };
    for power in 0..=4 {
        let exact = |t: f64| (t.powi(power + 1) - 1.0) / f64::from(power + 1);
        let rate = |t: f64, _: &[f64; 1]| [t.powi(power)];
        let solution = integrate(rate, (1.0, 3.0), [0.0], &one, &[]);
        assert_eq!(solution.steps.len(), 1);
        assert_near("end", solution.state_end[0], exact(3.0), 3e-14);
        for i in 0..=20 {
            let t = 1.0 + 0.1 * f64::from(i);
            if power < 4 {
                assert_near("between", solution.state(t)[0], exact(t), 3e-14);
            }
        }
    }
}

/// Halving the step: the end gains a factor of 2^5, the value between steps 2^4 or better. DP-1980: order 5;
/// HNW-1993, section II.6: continuous extension of order 4 (local error of order 5).
#[test]
fn prop_step_halving_order_of_the_adaptive_rule() {
    let run = |h: f64| {
        let fixed = Control { step_first: h, step_max: h, ..control(1.0) };
        let derivative = |t: f64, y: &[f64; 1]| [y[0] * cos(t)];
        let solution = integrate(derivative, (0.0, 4.0), [1.0], &fixed, &[]);
        let exact = |t: f64| exp(sin(t));
        let between = (0..400)
            .map(|i| 0.01 * f64::from(i) + 0.003)
            .map(|t| (solution.state(t)[0] - exact(t)).abs())
            .fold(0.0, f64::max);
        ((solution.state_end[0] - exact(4.0)).abs(), between)
    };
    let (end_1, between_1) = run(0.1);
    let (end_2, between_2) = run(0.05);
    let (order_end, order_between) = ((end_1 / end_2).log2(), (between_1 / between_2).log2());
    println!("orders: {order_end:.2} at the end, {order_between:.2} between steps");
    assert!((4.5..6.5).contains(&order_end), "{order_end}");
    assert!((3.7..6.0).contains(&order_between), "{order_between}");
}

/// A pendulum let go at 90 degrees passes the lowest point after K(sin^2 45 deg) = 1.85407467730137: AS-1964,
/// table 17.1; let go at 60 degrees, K(0.25) = 1.68575035481260.
#[test]
fn val_quarter_period_of_a_pendulum() {
    for (degrees, quarter) in [(90.0_f64, 1.854_074_677_301_37), (60.0, 1.685_750_354_812_60)] {
        let swing = |_: f64, y: &[f64; 2]| [y[1], -sin(y[0])];
        let lowest = |_: f64, y: &[f64; 2]| -y[0];
        let start = [degrees.to_radians(), 0.0];
        let solution = integrate(swing, (0.0, 10.0), start, &control(1e-12), &[&lowest]);
        assert_eq!(solution.stop, Stop::Event(0));
        assert_near("quarter period", solution.t_end, quarter, 2e-9);
    }
}

/// Of two events the earlier one in time stops it, also when both fall into one step and stand in the other order.
#[test]
fn val_the_earlier_event_stops_it() {
    let fall = |_: f64, y: &[f64; 2]| [y[1], -1.0];
    let below = |level: f64| move |_: f64, y: &[f64; 2]| level - y[0];
    let (low, high) = (below(0.18), below(0.5));
    let long = Control { step_first: 5.0, ..control(1e-9) };
    let solution = integrate(fall, (0.0, 5.0), [1.0, 0.0], &long, &[&low, &high]);
    assert_eq!(solution.stop, Stop::Event(1));
    // Half a meter under unit gravity: one second.
    assert_near("time", solution.t_end, 1.0, 1e-9);
    assert_near("height", solution.state_end[0], 0.5, 1e-9);
    assert_near("asked later", solution.state(3.0)[0], 0.5, 1e-9);
}

/// An event that holds at the start waits until it has not held: a ball thrown up from the ground stops on coming back.
#[test]
fn val_an_event_true_at_the_start_waits() {
    let fall = |_: f64, y: &[f64; 2]| [y[1], -1.0];
    let landed = |_: f64, y: &[f64; 2]| -y[0];
    let short = Control { step_max: 0.1, ..control(1e-9) };
    let solution = integrate(fall, (0.0, 5.0), [0.0, 1.0], &short, &[&landed]);
    assert_eq!(solution.stop, Stop::Event(0));
    assert_near("time of flight", solution.t_end, 2.0, 1e-9);
    assert_near("speed", solution.state_end[1], -1.0, 1e-9);
}

/// The end is hit exactly and a solution asked outside its span answers with its ends.
#[test]
fn val_the_ends_of_the_span() {
    let decay = |_: f64, y: &[f64; 1]| [-y[0]];
    let solution = integrate(decay, (1.0, 1.0 + ln(2.0)), [1.0], &control(1e-12), &[]);
    assert_near("half-life", solution.state_end[0], 0.5, 1e-11);
    assert_near("end", solution.t_end, 1.0 + ln(2.0), 1e-13);
    assert_near("before", solution.state(0.0)[0], 1.0, 0.0);
    assert_near("after", solution.state(9.0)[0], solution.state_end[0], 0.0);
}

const RULES: [(&str, &Tableau); 4] = [
    ("classic", &RUNGE_KUTTA_4),
    ("Bogacki-Shampine", &BOGACKI_SHAMPINE_3),
    ("Dormand-Prince 5", &DORMAND_PRINCE_5),
    ("Dormand-Prince 8", &DORMAND_PRINCE_8),
];

/// Each row of a rule adds up to its node, the weights to one, error weights to nil; rows reach back only. HNW-1993, section II.1.
#[test]
fn val_rows_add_up_to_their_nodes() {
    for (name, rule) in RULES {
        assert_eq!(rule.rows.len(), rule.nodes.len(), "{name}");
        for (s, (row, node)) in rule.rows.iter().zip(rule.nodes).enumerate() {
            assert!(row.len() <= s, "{name} row {s}");
            assert_near(name, row.iter().sum::<f64>(), *node, 2e-14);
        }
        let errors: Vec<&[f64]> = match rule.error {
            Estimate::None => vec![],
            Estimate::One { weights, .. } => vec![weights],
            Estimate::Pair { fifth, third } => vec![fifth, third],
        };
        for weights in errors {
            assert_near(name, weights.iter().sum::<f64>(), 0.0, 2e-14);
        }
    }
}

/// Rates that are powers of time: a rule of order p is exact to the power p - 1 at the end, its extension of order q to the power
/// q - 1 between (HNW-1993, sections II.1 and II.6): every weight takes part.
#[test]
fn val_powers_of_time_are_exact_for_every_rule() {
    let one = Control { step_first: 2.0, step_max: 2.0, ..control(1e9) };
    for (name, rule) in RULES {
        for power in 0..rule.order.cast_signed() {
            let exact = |t: f64| (t.powi(power + 1) - 1.0) / f64::from(power + 1);
            let rate = |t: f64, _: &[f64; 1]| [t.powi(power)];
            let solution = integrate_by(rule, rate, (1.0, 3.0), [0.0], &one, &[]);
            assert_eq!(solution.steps.len(), 1, "{name}");
            let size = exact(3.0);
            assert_near(name, solution.state_end[0] / size, 1.0, 1e-13);
            for t in (0..=20).map(|i| 1.0 + 0.1 * f64::from(i)) {
                if power < rule.order_between.cast_signed() {
                    let miss = (solution.state(t)[0] - exact(t)) / size;
                    assert!(miss.abs() < 1e-12, "{name}, power {power}, at {t}: {miss}");
                }
            }
        }
    }
}

/// Halving the step of `y' = y cos t` (problem A3 of HULL-1972) and of the nonlinear `y' = -y^3/2` (A2): the end gains 2^p, the
/// values between at least 2^(q) of each rule's orders.
#[test]
fn prop_step_halving_order_of_every_rule() {
    let orders = |rule: &Tableau, h: f64, a2: bool| {
        let run = |h: f64| {
            let fixed = Control { step_first: h, step_max: h, ..control(1e3) };
            let rate = |t: f64, y: &[f64; 1]| {
                if a2 { [-0.5 * y[0].powi(3)] } else { [y[0] * cos(t)] }
            };
            let exact = |t: f64| if a2 { 1.0 / (1.0 + t).sqrt() } else { exp(sin(t)) };
            let solution = integrate_by(rule, rate, (0.0, 4.0), [1.0], &fixed, &[]);
            let between = (0..400)
                .map(|i| 0.01 * f64::from(i) + 0.003)
                .map(|t| (solution.state(t)[0] - exact(t)).abs())
                .fold(0.0, f64::max);
            ((solution.state_end[0] - exact(4.0)).abs(), between)
        };
        let (coarse, fine) = (run(h), run(0.5 * h));
        ((coarse.0 / fine.0).log2(), (coarse.1 / fine.1).log2())
    };
    for (name, rule) in RULES {
        for a2 in [false, true] {
            // Small enough for the order to show, large enough to stay above rounding.
            let h = match (rule.order, a2) {
                (8, false) => 0.5,
                (8, true) => 0.25,
                _ => 0.1,
            };
            let (end, between) = orders(rule, h, a2);
            println!("{name}: {end:.2} at the end, {between:.2} between");
            let order = f64::from(rule.order);
            assert!((order - 0.5..order + 2.0).contains(&end), "{name}: {end}");
            assert!(between > f64::from(rule.order_between) - 0.5, "{name}: {between}");
        }
    }
}

/// Problem D5 of HULL-1972 by the rule of order 8: sharper than order 5 with fewer evaluations at a tight tolerance.
#[test]
fn val_order_eight_flies_the_eccentric_orbit_with_fewer_evaluations() {
    let e: f64 = 0.9;
    let anomaly = root::find(|u| u - e * sin(u) - 20.0, 0.0, 40.0, 1e-14).unwrap();
    let run = |rule: &Tableau| {
        let mut evaluations = 0;
        let pull = |_: f64, y: &[f64; 4]| {
            evaluations += 1;
            let cube = hypot(y[0], y[1]).powi(3);
            [y[2], y[3], -y[0] / cube, -y[1] / cube]
        };
        let start = [1.0 - e, 0.0, 0.0, ((1.0 + e) / (1.0 - e)).sqrt()];
        let end = integrate_by(rule, pull, (0.0, 20.0), start, &control(1e-12), &[]).state_end;
        let miss = hypot(end[0] - (cos(anomaly) - e), end[1] - (1.0 - e * e).sqrt() * sin(anomaly));
        (miss, evaluations)
    };
    let (five, eight) = (run(&DORMAND_PRINCE_5), run(&DORMAND_PRINCE_8));
    println!("order 5: {five:?}, order 8: {eight:?}");
    assert!(eight.0 < 1e-8 && eight.1 < five.1);
}

/// Written out or from its table, the classic rule is the same to rounding.
#[test]
fn prop_the_classic_rule_written_out_is_its_table() {
    let swing = |t: f64, y: &[f64; 2]| [y[1], -sin(y[0]) + 0.1 * t];
    let (mut one, mut other) = ([1.0, 0.3], [1.0, 0.3]);
    for i in 0..100 {
        let t = 0.05 * f64::from(i);
        one = runge_kutta_4(swing, t, &one, 0.05);
        other = step(&RUNGE_KUTTA_4, swing, t, &other, 0.05);
    }
    assert_near("angle", one[0], other[0], 1e-13);
    assert_near("rate", one[1], other[1], 1e-13);
}

/// Adams-Bashforth 2: order 2 with even and with uneven steps (its formula is exact for rates linear in time whatever the steps), and
/// one evaluation a step after the first.
#[test]
fn val_one_evaluation_a_step_of_order_two() {
    let run = |n: usize, uneven: f64| {
        let (mut rule, mut t, mut y, mut count) = (AdamsBashforth2::new(), 0.0, [1.0], 0);
        let mean = 4.0 / n as f64;
        for i in 0..n {
            let h = if i % 2 == 0 { mean * (1.0 + uneven) } else { mean * (1.0 - uneven) };
            let rate = |t: f64, y: &[f64; 1]| {
                count += 1;
                [y[0] * cos(t)]
            };
            y = rule.step(rate, t, &y, h);
            t += h;
        }
        assert_eq!(count, n + 1);
        (y[0] - exp(sin(4.0))).abs()
    };
    for uneven in [0.0, 0.3] {
        let order = (run(200, uneven) / run(400, uneven)).log2();
        assert!((order - 2.0).abs() < 0.15, "{uneven}: {order}");
    }
    let (mut rule, mut t, mut y) = (AdamsBashforth2::new(), 0.0, [0.0]);
    for h in [0.5, 0.1, 0.7, 0.2] {
        y = rule.step(|t, _: &[f64; 1]| [3.0 * t - 1.0], t, &y, h);
        t += h;
    }
    assert_near("parabola", y[0], 1.5 * t * t - t, 1e-14);
}

fn watch<'a>(
    function: &'a dyn Fn(f64, &[f64; 2]) -> f64,
    direction: Direction,
    terminal: bool,
) -> Watch<'a, 2> {
    Watch { function, direction, terminal }
}

/// The oscillator `cos t`: its zeros fall at pi/2, 5 pi/2 ... and rise at 3 pi/2 ...; both ways all of them; noted without stopping.
#[test]
fn val_zeros_of_the_cosine_by_direction() {
    use std::f64::consts::PI;
    let rate = |_: f64, y: &[f64; 2]| [y[1], -y[0]];
    let place = |_: f64, y: &[f64; 2]| y[0];
    for (name, rule) in RULES {
        let fine = Control { step_first: 0.002, step_max: 0.5, ..control(1e-11) };
        let watches = [Direction::Rising, Direction::Falling, Direction::Either]
            .map(|direction| watch(&place, direction, false));
        let solution = integrate_by(rule, rate, (0.0, 20.0), [1.0, 0.0], &fine, &watches);
        assert_eq!(solution.stop, Stop::End);
        let of = |index: usize| -> Vec<f64> {
            solution.crossings.iter().filter(|c| c.watch == index).map(|c| c.t).collect()
        };
        let zeros: Vec<f64> = (0..6).map(|i| (f64::from(i) + 0.5) * PI).collect();
        let every = |first: usize| zeros.iter().copied().skip(first).step_by(2).collect();
        let cases: [(usize, Vec<f64>); 3] = [(0, every(1)), (1, every(0)), (2, zeros.clone())];
        for (index, want) in cases {
            let got = of(index);
            assert_eq!(got.len(), want.len(), "{name} {index}");
            for (got, want) in got.iter().zip(want) {
                assert_near(name, *got, want, 1e-8);
            }
        }
    }
}

/// A ball let fall from one meter under unit gravity that comes back with 0.8 of its speed: touches at sqrt(2) (1, 1 + 1.6,
/// 1 + 1.6 + 1.28 ...), each flight begun where the last one ended.
#[test]
fn val_a_bouncing_ball() {
    let fall = |_: f64, y: &[f64; 2]| [y[1], -1.0];
    let height = |_: f64, y: &[f64; 2]| y[0];
    let ground = [watch(&height, Direction::Falling, true)];
    let (mut t, mut state) = (0.0, [1.0, 0.0]);
    let (mut want, mut flight) = (2.0_f64.sqrt(), 2.0 * 0.8 * 2.0_f64.sqrt());
    for bounce in 0..8 {
        let span = (t, t + 10.0);
        let solution = integrate_by(&DORMAND_PRINCE_5, fall, span, state, &control(1e-10), &ground);
        assert_eq!(solution.stop, Stop::Event(0), "bounce {bounce}");
        assert_near("touch", solution.t_end, want, 3e-9);
        (t, state) = (solution.t_end, [solution.state_end[0], -0.8 * solution.state_end[1]]);
        (want, flight) = (want + flight, 0.8 * flight);
    }
}

/// Several events in one long step stand in order of time, those behind the terminal one are not told; two passages of one function
/// in a step are both found.
#[test]
fn val_several_events_in_one_step() {
    let climb = |_: f64, y: &[f64; 2]| [y[1], -1.0];
    let above = |level: f64| move |_: f64, y: &[f64; 2]| y[0] - level;
    let (low, high, ground) = (above(1.0), above(1.5), above(-2.0));
    let watches = [
        watch(&high, Direction::Either, false),
        watch(&low, Direction::Either, false),
        watch(&ground, Direction::Falling, true),
    ];
    let long = Control { step_first: 8.0, ..control(1e-9) };
    let solution = integrate_by(&DORMAND_PRINCE_5, climb, (0.0, 8.0), [0.0, 2.0], &long, &watches);
    assert_eq!((solution.steps.len(), solution.stop), (1, Stop::Event(2)));
    // Heights h are passed at 2 -+ sqrt(4 - 2 h).
    let want = [(1, 2.0 - 2.0_f64.sqrt()), (0, 1.0), (0, 3.0), (1, 2.0 + 2.0_f64.sqrt())];
    assert_eq!(solution.crossings.len(), 5);
    for (crossing, (index, t)) in solution.crossings.iter().zip(want) {
        assert_eq!(crossing.watch, index);
        assert_near("time", crossing.t, t, 1e-9);
    }
    assert_near("ground", solution.t_end, 2.0 + 8.0_f64.sqrt(), 1e-9);
}

/// A derivative that is not finite stops a rule without error control too.
#[test]
fn a_fixed_step_says_that_it_is_not_finite() {
    let bad = |t: f64, _: &[f64; 1]| [if t > 0.5 { f64::NAN } else { 1.0 }];
    let fixed = Control { step_first: 0.1, ..control(1e-9) };
    let solution = integrate_by(&RUNGE_KUTTA_4, bad, (0.0, 1.0), [0.0], &fixed, &[]);
    assert_eq!(solution.stop, Stop::NotFinite);
}
