//! The banded solution against the dense one.

use super::{BlockTridiagonal, Near, Row};
use crate::numerics::random::SplitMix;
use nalgebra::{DMatrix, DVector};

const N: usize = 6;
const KNOTS: usize = 7;
const BORDER: usize = 5;

/// A system and the same one written out.
struct Both {
    banded: BlockTridiagonal<N>,
    dense: DMatrix<f64>,
    rhs: DVector<f64>,
}

impl Both {
    fn new(border: usize) -> Self {
        let size = N * KNOTS + border;
        Self {
            banded: BlockTridiagonal::with_border(KNOTS, border),
            dense: DMatrix::zeros(size, size),
            rhs: DVector::zeros(size),
        }
    }
    fn add_dense(&mut self, row: &DVector<f64>, value: f64, information: f64) {
        self.dense += row * row.transpose() * information;
        self.rhs += row * (value * information);
    }
    fn row(&mut self, row: Row<'_>, value: f64, information: f64) {
        self.banded.observe_row(row, value, information);
        let mut full = DVector::zeros(self.rhs.len());
        for &(i, a) in row.here {
            full[N * row.knot + i] += a;
        }
        for &(i, a) in row.next {
            full[N * row.knot + N + i] += a;
        }
        for &(g, c) in row.border {
            full[N * KNOTS + g] += c;
        }
        self.add_dense(&full, value, information);
    }
    fn link(&mut self, knot: usize, f: &[[f64; 2]; 2], q: &[[f64; 2]; 2], value: [f64; 2]) {
        const PLACES: [usize; 2] = [2, 0];
        self.banded.link_some(knot, &PLACES, f, q, &value);
        let mut c = DMatrix::<f64>::zeros(2, self.rhs.len());
        for i in 0..2 {
            c[(i, N * knot + N + PLACES[i])] = 1.0;
            for j in 0..2 {
                c[(i, N * knot + PLACES[j])] -= f[i][j];
            }
        }
        let q = DMatrix::from_fn(2, 2, |i, j| q[i][j]);
        self.dense += c.transpose() * &q * &c;
        self.rhs += c.transpose() * q * DVector::from_column_slice(&value);
    }
}

fn example(border: usize) -> Both {
    let mut both = Both::new(border);
    let mut chance = SplitMix::new(5);
    for knot in 0..KNOTS {
        for i in 0..N {
            let here = [(i, 1.0 + chance.share()), ((i + 1) % N, chance.normal())];
            let next = [(i, chance.normal())];
            let ties = [
                (0, chance.normal()),
                (1, chance.normal()),
                (4, chance.normal()),
                (3, 0.3),
                (2, chance.normal()),
            ];
            let row = Row {
                knot,
                here: &here,
                next: if knot + 1 < KNOTS { &next } else { &[] },
                border: if border > 0 { &ties } else { &[] },
            };
            both.row(row, chance.normal(), 0.5 + chance.share());
        }
    }
    for knot in 0..KNOTS - 1 {
        let f = [[1.0, 0.5], [chance.normal(), 1.0]];
        both.link(knot, &f, &[[4.0, -1.0], [-1.0, 2.0]], [chance.normal(), 0.3]);
    }
    both
}

fn compare(border: usize) {
    let both = example(border);
    let inverse = both.dense.clone().try_inverse().unwrap();
    let x = &inverse * &both.rhs;
    let solved = both.banded.clone().solve().unwrap();
    let only = both.banded.solve_values().unwrap();
    assert_eq!(only.values, solved.values);
    assert_eq!(only.border, solved.border);
    let near = |what: &str, found: f64, wanted: f64| {
        assert!((found - wanted).abs() < 1e-9, "{what}: {found} {wanted}");
    };
    for k in 0..KNOTS {
        for i in 0..N {
            near("value", solved.values[k][i], x[N * k + i]);
            for j in 0..N {
                near("variance", solved.covariances[k][i][j], inverse[(N * k + i, N * k + j)]);
                if k + 1 < KNOTS {
                    near("cross", solved.cross[k][i][j], inverse[(N * k + i, N * k + N + j)]);
                }
            }
            for g in 0..border {
                let wanted = inverse[(N * k + i, N * KNOTS + g)];
                near("with border", solved.with_border[k * border + g][i], wanted);
            }
        }
    }
    for g in 0..border {
        near("border", solved.border[g], x[N * KNOTS + g]);
        for h in 0..border {
            let wanted = inverse[(N * KNOTS + g, N * KNOTS + h)];
            near("border variance", solved.border_covariance[g * border + h], wanted);
        }
    }
}

#[test]
fn prop_equals_the_dense_solution_and_inverse() {
    compare(0);
}

#[test]
fn prop_equals_the_dense_solution_and_inverse_with_a_border() {
    compare(BORDER);
}

#[test]
fn an_unconstrained_knot_is_named() {
    let system = BlockTridiagonal::<2>::new(3);
    assert_eq!(system.solve().unwrap_err().knot, 0);
}

#[test]
fn an_unconstrained_border_is_named() {
    let mut system = BlockTridiagonal::<1>::with_border(3, 1);
    for knot in 0..3 {
        system.observe(knot, &[1.0], 0.0, 1.0);
    }
    assert_eq!(system.solve().unwrap_err().knot, 3);
}

#[test]
fn prop_closing_knots_while_others_are_added_changes_nothing() {
    let grow = |close: bool| {
        let mut chance = SplitMix::new(9);
        let mut system = BlockTridiagonal::<N>::new(KNOTS);
        for knot in 0..KNOTS {
            let row: [f64; N] = std::array::from_fn(|_| chance.normal());
            system.observe(knot, &row, chance.normal(), 0.5);
            for i in 0..N {
                let unit: [f64; N] = std::array::from_fn(|j| if i == j { 1.0 } else { 0.0 });
                system.observe(knot, &unit, chance.normal(), 2.0);
                if knot + 1 < KNOTS {
                    system.link_some(knot, &[i], &[[0.8]], &[[3.0]], &[0.1]);
                }
            }
            if close {
                system.close_before(knot).unwrap();
            }
        }
        system.solve().unwrap()
    };
    let (at_once, in_pieces) = (grow(false), grow(true));
    for (a, b) in at_once.values.iter().zip(&in_pieces.values) {
        for (a, b) in a.iter().zip(b) {
            assert!((a - b).abs() < 1e-12, "{a} {b}");
        }
    }
}

#[test]
fn prop_gathered_measurements_are_those_added_one_by_one() {
    const PLACES: [usize; 4] = [0, 2, 3, 5];
    let mut chance = SplitMix::new(3);
    let mut systems = [BlockTridiagonal::<N>::new(2), BlockTridiagonal::<N>::new(2)];
    let mut near = Near::default();
    for _ in 0..5 {
        let mut lane = || -> [f64; 4] { std::array::from_fn(|_| chance.normal()) };
        let (here, next) = (lane(), lane());
        near.add(&here, Some(&next), 0.7, 2.0);
        let with =
            |of: [f64; 4]| -> [(usize, f64); 4] { std::array::from_fn(|i| (PLACES[i], of[i])) };
        let row = Row { knot: 0, here: &with(here), next: &with(next), border: &[] };
        systems[0].observe_row(row, 0.7, 2.0);
    }
    systems[1].add_near(0, &PLACES, &near);
    let [one_by_one, gathered] = systems.map(|mut system| {
        for knot in 0..2 {
            for i in 0..N {
                let row = Row { knot, here: &[(i, 1.0)], next: &[], border: &[] };
                system.observe_row(row, 0.1, 1.0);
            }
        }
        system.solve().unwrap()
    });
    for k in 0..2 {
        for i in 0..N {
            assert!((one_by_one.values[k][i] - gathered.values[k][i]).abs() < 1e-12);
            for j in 0..N {
                let (a, b) = (one_by_one.covariances[k][i][j], gathered.covariances[k][i][j]);
                assert!((a - b).abs() < 1e-12, "{a} {b}");
            }
        }
    }
}
