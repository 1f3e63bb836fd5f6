//! Riccati recursion: the linear system of one iteration, solved backward and forward over the intervals.
//!
//! The cost to go from a node is a quadratic in the state there and in the border: parameters and multipliers of the end conditions.
//! An interval substitutes its linearized step and eliminates its controls; an end condition enters with its multiplier, and once
//! more squared, which changes no solution (it is nil there) but makes the quadratic convex where only the conditions make it so.
//! At the beginning the state is given and the border, a small indefinite system, is solved. The signs of its eigenvalues (as many
//! negative as there are end conditions) and positive definite blocks of the controls say that the step leads to a minimum.
#![allow(clippy::needless_range_loop, reason = "matrix kernels read best with their indices")]
#![allow(clippy::float_cmp, reason = "products with exact nil are passed over")]

use super::small::{Indefinite, cholesky, cholesky_solve};

/// The quadratic cost to go from a node: `x'Px/2 + x'Qt + t'Rt/2 + g'x + h't`.
#[derive(Debug, Clone, Copy)]
pub struct Value<const NX: usize, const NB: usize> {
    /// State by state.
    pub(super) p: [[f64; NX]; NX],
    /// State by border.
    pub(super) q: [[f64; NB]; NX],
    /// Border by border.
    pub(super) r: [[f64; NB]; NB],
    /// Slope by state.
    pub(super) g: [f64; NX],
    /// Slope by border.
    pub(super) h: [f64; NB],
}

impl<const NX: usize, const NB: usize> Value<NX, NB> {
    pub(super) const NIL: Self = Self {
        p: [[0.0; NX]; NX],
        q: [[0.0; NB]; NX],
        r: [[0.0; NB]; NB],
        g: [0.0; NX],
        h: [0.0; NB],
    };

    /// Adds a quadratic in the arguments of a node; those of the controls are not read.
    pub(super) fn add<const NU: usize, const NW: usize>(
        &mut self,
        hessian: &[[f64; NW]; NW],
        gradient: &[f64; NW],
    ) {
        for i in 0..NX {
            self.g[i] += gradient[i];
            for j in 0..NX {
                self.p[i][j] += hessian[i][j];
            }
            for c in NX + NU..NW {
                self.q[i][c - NX - NU] += hessian[i][c];
            }
        }
        for r in NX + NU..NW {
            self.h[r - NX - NU] += gradient[r];
            for c in NX + NU..NW {
                self.r[r - NX - NU][c - NX - NU] += hessian[r][c];
            }
        }
    }

    /// Adds an end condition: its miss, its gradient, the place of its multiplier in the border, the weight of its square.
    pub(super) fn condition<const NU: usize, const NW: usize>(
        &mut self,
        (miss, gradient): (f64, &[f64; NW]),
        place: usize,
        weight: f64,
    ) {
        let mut square = [[0.0; NW]; NW];
        for r in 0..NW {
            for c in 0..NW {
                square[r][c] = weight * gradient[r] * gradient[c];
            }
        }
        self.add::<NU, NW>(&square, &gradient.map(|slope| weight * miss * slope));
        for i in 0..NX {
            self.q[i][place] += gradient[i];
        }
        for c in NX + NU..NW {
            self.r[c - NX - NU][place] += gradient[c];
            self.r[place][c - NX - NU] += gradient[c];
        }
        self.h[place] += miss;
    }
}

/// How the controls of an interval follow from the state at its beginning and the border.
#[derive(Debug, Clone, Copy)]
pub(super) struct Law<const NX: usize, const NU: usize, const NB: usize> {
    state: [[f64; NX]; NU],
    border: [[f64; NB]; NU],
    constant: [f64; NU],
}

impl<const NX: usize, const NU: usize, const NB: usize> Law<NX, NU, NB> {
    pub(super) const NIL: Self =
        Self { state: [[0.0; NX]; NU], border: [[0.0; NB]; NU], constant: [0.0; NU] };

    /// Change of the controls.
    pub(super) fn controls(&self, x: &[f64; NX], border: &[f64; NB]) -> [f64; NU] {
        std::array::from_fn(|a| {
            let mut sum = self.constant[a];
            for j in 0..NX {
                sum += self.state[a][j] * x[j];
            }
            for j in 0..NB {
                sum += self.border[a][j] * border[j];
            }
            sum
        })
    }
}

/// The linearized interval with its quadratic cost.
pub(super) struct Link<'a, const NX: usize, const NW: usize> {
    pub(super) jacobian: &'a [[f64; NW]; NX],
    /// State at the end by the step less the state at the node there.
    pub(super) defect: &'a [f64; NX],
    pub(super) hessian: &'a [[f64; NW]; NW],
    pub(super) gradient: &'a [f64; NW],
}

/// Cost to go from the beginning of an interval, from that of its end; `None` when the block of the controls is not positive
/// definite.
pub(super) fn backward<const NX: usize, const NU: usize, const NW: usize, const NB: usize>(
    link: &Link<'_, NX, NW>,
    end: &Value<NX, NB>,
) -> Option<(Value<NX, NB>, Law<NX, NU, NB>)> {
    let e = link.jacobian;
    let mut s = *link.hessian;
    let mut t = *link.gradient;
    let mut border = [[0.0; NB]; NW];
    for i in 0..NX {
        let mut row = [0.0; NW];
        let mut slope = end.g[i];
        for j in 0..NX {
            slope += end.p[i][j] * link.defect[j];
            for c in 0..NW {
                row[c] += end.p[i][j] * e[j][c];
            }
        }
        for a in 0..NW {
            let factor = e[i][a];
            if factor == 0.0 {
                continue;
            }
            t[a] += factor * slope;
            for c in 0..NW {
                s[a][c] += factor * row[c];
            }
            for c in 0..NB {
                border[a][c] += factor * end.q[i][c];
            }
        }
    }
    let mut value =
        Value { p: [[0.0; NX]; NX], q: [[0.0; NB]; NX], r: end.r, g: [0.0; NX], h: end.h };
    for i in 0..NX {
        for c in 0..NB {
            value.h[c] += end.q[i][c] * link.defect[i];
        }
    }
    // Parameters are arguments of the interval and part of the border.
    let first = NX + NU;
    for c in first..NW {
        value.h[c - first] += t[c];
        for a in 0..first {
            border[a][c - first] += s[a][c];
        }
        for d in 0..NB {
            value.r[c - first][d] += border[c][d];
            value.r[d][c - first] += border[c][d];
        }
        for d in first..NW {
            value.r[c - first][d - first] += s[c][d];
        }
    }
    let law = eliminate(&s, &t, &border)?;
    reduce(&mut value, &law, (&s, &t, &border));
    Some((value, law))
}

/// The controls that are best for a state and a border.
fn eliminate<const NX: usize, const NU: usize, const NW: usize, const NB: usize>(
    s: &[[f64; NW]; NW],
    t: &[f64; NW],
    border: &[[f64; NB]; NW],
) -> Option<Law<NX, NU, NB>> {
    let block: [[f64; NU]; NU] =
        std::array::from_fn(|a| std::array::from_fn(|b| s[NX + a][NX + b]));
    let factor = cholesky(&block, 1e-12)?;
    let mut law = Law::NIL;
    let solve = |column: [f64; NU]| {
        let mut out = column.map(|value| -value);
        cholesky_solve(&factor, &mut out);
        out
    };
    for j in 0..NX {
        let column = solve(std::array::from_fn(|a| s[NX + a][j]));
        for a in 0..NU {
            law.state[a][j] = column[a];
        }
    }
    for j in 0..NB {
        let column = solve(std::array::from_fn(|a| border[NX + a][j]));
        for a in 0..NU {
            law.border[a][j] = column[a];
        }
    }
    law.constant = solve(std::array::from_fn(|a| t[NX + a]));
    Some(law)
}

/// What is left when the controls follow their law.
fn reduce<const NX: usize, const NU: usize, const NW: usize, const NB: usize>(
    value: &mut Value<NX, NB>,
    law: &Law<NX, NU, NB>,
    (s, t, border): (&[[f64; NW]; NW], &[f64; NW], &[[f64; NB]; NW]),
) {
    for i in 0..NX {
        value.g[i] = t[i];
        value.p[i].copy_from_slice(&s[i][..NX]);
        value.q[i] = border[i];
        for a in 0..NU {
            let factor = s[i][NX + a];
            value.g[i] += factor * law.constant[a];
            for j in 0..NX {
                value.p[i][j] += factor * law.state[a][j];
            }
            for j in 0..NB {
                value.q[i][j] += factor * law.border[a][j];
            }
        }
    }
    for i in 0..NB {
        for a in 0..NU {
            let factor = border[NX + a][i];
            value.h[i] += factor * law.constant[a];
            for j in 0..NB {
                value.r[i][j] += factor * law.border[a][j];
            }
        }
    }
    // Rounding must not make it lopsided: the recursion would let that grow.
    for i in 0..NX {
        for j in 0..i {
            let mean = 0.5 * (value.p[i][j] + value.p[j][i]);
            value.p[i][j] = mean;
            value.p[j][i] = mean;
        }
    }
}

/// The border that makes the cost to go from the given state stationary; `None` when it is not a minimum over the parameters and a
/// maximum over the `multipliers`.
pub(super) fn border<const NX: usize, const NB: usize>(
    value: &Value<NX, NB>,
    multipliers: usize,
) -> Option<[f64; NB]> {
    let mut r = value.r;
    for i in 0..NB {
        for j in 0..i {
            let mean = 0.5 * (r[i][j] + r[j][i]);
            r[i][j] = mean;
            r[j][i] = mean;
        }
    }
    let factor = Indefinite::factor(r);
    if factor.negative != multipliers || factor.spread < 1e-14 {
        return None;
    }
    let mut solution = factor.solve(&value.h.map(|slope| -slope));
    // One step of refinement: conditions of very different weight meet here.
    let miss: [f64; NB] = std::array::from_fn(|i| {
        let product: f64 = (0..NB).map(|j| r[i][j] * solution[j]).sum();
        -value.h[i] - product
    });
    for (value, change) in solution.iter_mut().zip(factor.solve(&miss)) {
        *value += change;
    }
    solution.iter().all(|value| value.is_finite()).then_some(solution)
}
