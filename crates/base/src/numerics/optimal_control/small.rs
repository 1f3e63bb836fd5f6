//! Tiny dense kernels: Cholesky factor of the controls' block, symmetric indefinite system of the border.
#![allow(clippy::needless_range_loop, reason = "matrix kernels read best with their indices")]

/// Lower Cholesky factor; `None` when the matrix is not positive definite (pivots below `floor` times the diagonal).
pub(super) fn cholesky<const N: usize>(a: &[[f64; N]; N], floor: f64) -> Option<[[f64; N]; N]> {
    let mut l = [[0.0; N]; N];
    for i in 0..N {
        for j in 0..=i {
            let mut sum = a[i][j];
            for k in 0..j {
                sum -= l[i][k] * l[j][k];
            }
            if i == j {
                // Refused as well when it is not a number.
                if sum.is_nan() || sum <= floor * a[i][i].abs() {
                    return None;
                }
                l[i][i] = sum.sqrt();
            } else {
                l[i][j] = sum / l[j][j];
            }
        }
    }
    Some(l)
}

/// Solves with a lower Cholesky factor, in place.
pub(super) fn cholesky_solve<const N: usize>(l: &[[f64; N]; N], b: &mut [f64; N]) {
    for i in 0..N {
        for k in 0..i {
            b[i] -= l[i][k] * b[k];
        }
        b[i] /= l[i][i];
    }
    for i in (0..N).rev() {
        for k in i + 1..N {
            b[i] -= l[k][i] * b[k];
        }
        b[i] /= l[i][i];
    }
}

/// A symmetric indefinite matrix factored with complete pivoting (one-by-one and two-by-two pivots).
///
/// # Source
/// BP-1971.
#[derive(Debug, Clone)]
pub(super) struct Indefinite<const N: usize> {
    a: [[f64; N]; N],
    order: [usize; N],
    double: [bool; N],
    /// Number of negative eigenvalues.
    pub(super) negative: usize,
    /// Smallest pivot over the largest.
    pub(super) spread: f64,
}

impl<const N: usize> Indefinite<N> {
    pub(super) fn factor(mut a: [[f64; N]; N]) -> Self {
        // (1 + sqrt 17) / 8 bounds the growth of entries.
        const SHARE: f64 = 0.640_388_203_202_208;
        let mut order: [usize; N] = std::array::from_fn(|i| i);
        let mut double = [false; N];
        let (mut negative, mut k) = (0, 0);
        let (mut least, mut most) = (f64::INFINITY, 0.0_f64);
        while k < N {
            let (diagonal, at, off, row, column) = largest(&a, k);
            if diagonal >= SHARE * off || k + 1 == N {
                swap(&mut a, &mut order, k, at);
                let pivot = a[k][k];
                negative += usize::from(pivot < 0.0);
                least = least.min(pivot.abs());
                most = most.max(pivot.abs());
                for i in k + 1..N {
                    let factor = if pivot == 0.0 { 0.0 } else { a[i][k] / pivot };
                    for j in k + 1..=i {
                        a[i][j] -= factor * a[j][k];
                        a[j][i] = a[i][j];
                    }
                }
                for i in k + 1..N {
                    a[i][k] = if pivot == 0.0 { 0.0 } else { a[i][k] / pivot };
                }
                k += 1;
            } else {
                swap(&mut a, &mut order, k, row.min(column));
                swap(&mut a, &mut order, k + 1, row.max(column));
                double[k] = true;
                negative += 1;
                least = least.min(off);
                most = most.max(off);
                eliminate_pair(&mut a, k);
                k += 2;
            }
        }
        Self { a, order, double, negative, spread: if most > 0.0 { least / most } else { 1.0 } }
    }

    pub(super) fn solve(&self, b: &[f64; N]) -> [f64; N] {
        let mut x: [f64; N] = std::array::from_fn(|i| b[self.order[i]]);
        let mut k = 0;
        while k < N {
            let width = if self.double[k] { 2 } else { 1 };
            for i in k + width..N {
                for j in 0..width {
                    x[i] -= self.a[i][k + j] * x[k + j];
                }
            }
            k += width;
        }
        let mut k = 0;
        while k < N {
            if self.double[k] {
                let (p, q, r) = (self.a[k][k], self.a[k + 1][k], self.a[k + 1][k + 1]);
                let determinant = p * r - q * q;
                let (u, v) = (x[k], x[k + 1]);
                x[k] = (r * u - q * v) / determinant;
                x[k + 1] = (p * v - q * u) / determinant;
                k += 2;
            } else {
                x[k] /= self.a[k][k];
                k += 1;
            }
        }
        for k in (0..N).rev() {
            let from = if self.double[k] { k + 2 } else { k + 1 };
            for i in from..N {
                x[k] -= self.a[i][k] * x[i];
            }
        }
        let mut out = [0.0; N];
        for i in 0..N {
            out[self.order[i]] = x[i];
        }
        out
    }
}

/// Largest diagonal entry and its place, largest other entry and its place, of what is left.
fn largest<const N: usize>(a: &[[f64; N]; N], from: usize) -> (f64, usize, f64, usize, usize) {
    let (mut diagonal, mut at, mut off, mut row, mut column) = (-1.0, from, -1.0, from, from);
    for i in from..N {
        if a[i][i].abs() > diagonal {
            (diagonal, at) = (a[i][i].abs(), i);
        }
        for j in from..i {
            if a[i][j].abs() > off {
                (off, row, column) = (a[i][j].abs(), i, j);
            }
        }
    }
    (diagonal, at, off, row, column)
}

fn swap<const N: usize>(a: &mut [[f64; N]; N], order: &mut [usize; N], i: usize, j: usize) {
    if i != j {
        a.swap(i, j);
        for row in a.iter_mut() {
            row.swap(i, j);
        }
        order.swap(i, j);
    }
}

fn eliminate_pair<const N: usize>(a: &mut [[f64; N]; N], k: usize) {
    let (p, q, r) = (a[k][k], a[k + 1][k], a[k + 1][k + 1]);
    let determinant = p * r - q * q;
    let mut factors = [[0.0; 2]; N];
    for i in k + 2..N {
        let (u, v) = (a[i][k], a[i][k + 1]);
        factors[i] = [(r * u - q * v) / determinant, (p * v - q * u) / determinant];
    }
    for i in k + 2..N {
        for j in k + 2..=i {
            a[i][j] -= factors[i][0] * a[j][k] + factors[i][1] * a[j][k + 1];
            a[j][i] = a[i][j];
        }
    }
    for i in k + 2..N {
        a[i][k] = factors[i][0];
        a[i][k + 1] = factors[i][1];
    }
}

#[cfg(test)]
mod tests {
    use super::{Indefinite, cholesky, cholesky_solve};

    #[test]
    fn indefinite_systems_are_solved_with_their_inertia() {
        // A saddle with a nil diagonal needs pairs of pivots; eigenvalues of either sign by construction.
        let a = [
            [0.0, 2.0, 0.1, 0.0, 1.0],
            [2.0, 0.0, 0.0, 0.3, 0.0],
            [0.1, 0.0, -1.0, 0.2, 0.0],
            [0.0, 0.3, 0.2, 5.0, 0.0],
            [1.0, 0.0, 0.0, 0.0, 0.0],
        ];
        let factor = Indefinite::factor(a);
        let x = [1.0, -2.0, 3.0, 0.5, 4.0];
        let b: [f64; 5] = std::array::from_fn(|i| (0..5).map(|j| a[i][j] * x[j]).sum());
        for (found, wanted) in factor.solve(&b).iter().zip(x) {
            assert!((found - wanted).abs() < 1e-12, "{found} {wanted}");
        }
        let diagonal = [[3.0, 0.0, 0.0], [0.0, -2.0, 0.0], [0.0, 0.0, -1.0]];
        assert_eq!(Indefinite::factor(diagonal).negative, 2);
        assert_eq!(Indefinite::factor([[0.0, 1.0], [1.0, 0.0]]).negative, 1);
    }

    #[test]
    fn cholesky_refuses_what_is_not_positive() {
        let l = cholesky(&[[4.0, 2.0], [2.0, 3.0]], 1e-12).unwrap();
        let mut b = [8.0, 7.0];
        cholesky_solve(&l, &mut b);
        assert!((b[0] - 1.25).abs() < 1e-14 && (b[1] - 1.5).abs() < 1e-14);
        assert!(cholesky(&[[1.0, 2.0], [2.0, 1.0]], 1e-12).is_none());
        assert!(cholesky(&[[f64::NAN]], 1e-12).is_none());
    }
}
