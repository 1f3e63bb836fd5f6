//! Roots of a small matrix, with the vectors that belong to them.

use base::math::hypot;
use nalgebra::{Complex, DMatrix, DVector};

type C = Complex<f64>;

/// One real root, or one of a complex pair (the one with a positive imaginary part).
pub(super) struct Root {
    pub(super) real: f64,
    pub(super) imaginary: f64,
    pub(super) participation: Vec<f64>,
    pub(super) shape: Vec<[f64; 2]>,
}

impl Root {
    pub(super) fn size(&self) -> f64 {
        hypot(self.real, self.imaginary)
    }
}

/// Rounds of the iteration for the roots at most.
const ROUNDS: usize = 1000;

/// Roots by the shifted QR iteration on the balanced matrix, vectors by inverse iteration. `None` when it does not end.
pub(super) fn roots<const N: usize>(a: &[[f64; N]; N]) -> Option<Vec<Root>> {
    let mut balanced = DMatrix::from_fn(N, N, |i, j| a[i][j]);
    let scale = nalgebra::linalg::balancing::balance_parlett_reinsch(&mut balanced);
    let schur = nalgebra::Schur::try_new(balanced.clone(), f64::EPSILON, ROUNDS)?;
    let values = schur.complex_eigenvalues();
    let size = values.iter().map(|v| hypot(v.re, v.im)).fold(f64::MIN_POSITIVE, f64::max);
    let matrix = balanced.map(|element| C::new(element, 0.0));
    let transposed = matrix.transpose();
    let mut roots = Vec::with_capacity(N);
    for value in values.iter() {
        let real = value.im.abs() <= 1e-12 * size;
        if value.im < 0.0 && !real {
            continue;
        }
        let value = if real { C::new(value.re, 0.0) } else { *value };
        let right = vector(&matrix, value, size)?;
        let left = vector(&transposed, value, size)?;
        let products: Vec<f64> = (0..N).map(|i| length(left[i] * right[i])).collect();
        let sum: f64 = products.iter().sum();
        let participation = products.iter().map(|product| product / sum).collect();
        let unscaled = DVector::from_fn(N, |i, _| right[i] * scale[i]);
        let (real, imaginary) = (value.re, value.im);
        roots.push(Root { real, imaginary, participation, shape: turned(&unscaled) });
    }
    Some(roots)
}

fn length(z: C) -> f64 {
    hypot(z.re, z.im)
}

/// The vector that the matrix only stretches by this value: three rounds of inverse iteration beside the value.
fn vector(matrix: &DMatrix<C>, value: C, size: f64) -> Option<DVector<C>> {
    let n = matrix.nrows();
    let beside = value + C::new(1e-10 * size, 0.0);
    let shifted = matrix - DMatrix::identity(n, n) * beside;
    let lu = shifted.lu();
    // No component is nil and no two are alike, so that no symmetry hides the vector from the start.
    let mut v = DVector::from_fn(n, |i, _| C::new(1.0 + 0.37 * i as f64, 0.11 * i as f64));
    for _ in 0..3 {
        v = lu.solve(&v)?;
        let norm = v.iter().map(|z| z.re * z.re + z.im * z.im).sum::<f64>().sqrt();
        v /= C::new(norm, 0.0);
    }
    v.iter().all(|z| z.re.is_finite() && z.im.is_finite()).then_some(v)
}

/// Turned and scaled so that the greatest component is one.
fn turned(v: &DVector<C>) -> Vec<[f64; 2]> {
    let greatest = v
        .iter()
        .copied()
        .max_by(|a, b| length(*a).total_cmp(&length(*b)))
        .unwrap_or_else(|| C::new(1.0, 0.0));
    v.iter().map(|z| z / greatest).map(|z| [z.re, z.im]).collect()
}
