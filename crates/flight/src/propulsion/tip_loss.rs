//! What a propeller of few blades loses against one of many: the sheets of vortices that its blades leave behind are helices
//! with room between them, most of all at the tip and in coarse pitch.
//!
//! Prandtl's well-known factor takes the sheets for a stack of plates. That holds for fine pitch; at an advance ratio of 1.5 it
//! promises two blades a fifth too much. Here the sheets are helices (Goldstein's problem): the circulation with which a rigid
//! helical sheet of the given pitch moves back as one is solved from the velocities that helical vortices induce.
//!
//! Source: GOLDSTEIN-1929, used at each station for its own flow angle as LOCK-1930 does; velocities by the closed forms of
//! WRENCH-1957 (held against Biot and Savart's law in the tests).

use std::f64::consts::PI;

use base::math::{acos, atan2, cos, exp, ln, sin};
use base::numerics::interpolation::linear;

/// Vortices on a sheet; solutions with twice as many differ by a thousandth.
const PANELS: usize = 24;
/// Pitches in the table, evenly over `pitch / (pitch + MIDDLE)`.
const PITCHES: usize = 24;
const MIDDLE: f64 = 0.4;
/// Inner edge of the sheet, over the radius: next to the axis, as Goldstein has it.
const INNER: f64 = 0.02;

/// Prandtl's factor: blades, radius over that of the tip, sine of the flow angle.
#[must_use]
pub fn prandtl(blades: f64, station: f64, sin_flow: f64) -> f64 {
    let reach = 0.5 * blades * (1.0 - station) / (station * sin_flow.max(1e-6));
    2.0 / PI * acos(exp(-reach).min(1.0))
}

/// Goldstein's factor over Prandtl's, for one number of blades.
#[derive(Debug, Clone, PartialEq)]
pub struct TipLoss {
    blades: f64,
    sheets: Vec<Sheet>,
}

/// One pitch: stations with the ratio there.
#[derive(Debug, Clone, PartialEq)]
struct Sheet {
    station: Vec<f64>,
    ratio: Vec<f64>,
}

/// The factors of one station.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct StationLoss {
    blades: f64,
    station: f64,
    ratios: [f64; PITCHES],
}

impl TipLoss {
    /// Solves the sheets: 24 sets of 24 equations.
    #[must_use]
    pub fn new(blades: f64) -> Self {
        let pitch = |k: usize| {
            let share = (k as f64 + 0.5) / PITCHES as f64;
            MIDDLE * share / (1.0 - share)
        };
        Self { blades, sheets: (0..PITCHES).map(|k| Sheet::new(blades, pitch(k))).collect() }
    }
    /// At a radius over that of the tip.
    #[must_use]
    pub fn at(&self, station: f64) -> StationLoss {
        let ratio = |k: usize| linear(&self.sheets[k].station, &self.sheets[k].ratio, station);
        StationLoss { blades: self.blades, station, ratios: std::array::from_fn(ratio) }
    }
}

impl StationLoss {
    /// Share of the circulation that many blades would have, at a flow angle within 0 to a quarter turn.
    #[must_use]
    pub fn factor(&self, sin_flow: f64, cos_flow: f64) -> f64 {
        let across = self.station * sin_flow;
        let place = across / (across + MIDDLE * cos_flow) * PITCHES as f64 - 0.5;
        let index = (place.max(0.0) as usize).min(PITCHES - 2);
        let part = (place - index as f64).clamp(0.0, 1.0);
        let ratio = self.ratios[index] + part * (self.ratios[index + 1] - self.ratios[index]);
        (ratio * prandtl(self.blades, self.station, sin_flow)).max(1e-4)
    }
}

impl Sheet {
    /// `pitch`: what the sheet advances in a radian, over the radius.
    fn new(blades: f64, pitch: f64) -> Self {
        let at = |angle: f64| INNER + (1.0 - INNER) * 0.5 * (1.0 - cos(angle));
        let step = PI / PANELS as f64;
        let station: Vec<f64> = (0..PANELS).map(|i| at((i as f64 + 0.5) * step)).collect();
        let edges: Vec<f64> = (0..=PANELS).map(|i| at(i as f64 * step)).collect();
        let mut equations: Vec<Vec<f64>> = Vec::with_capacity(PANELS);
        for &radius in &station {
            let flow = atan2(pitch, radius);
            // What a vortex at each edge moves the sheet here across itself; a panel ends in two of opposite sense.
            let across = |&edge: &f64| {
                let (axial, around) = induced(blades, pitch / edge, radius, edge);
                axial * cos(flow) - around * sin(flow)
            };
            let at_edges: Vec<f64> = edges.iter().map(across).collect();
            let mut row: Vec<f64> = at_edges.windows(2).map(|pair| pair[1] - pair[0]).collect();
            row.push(cos(flow));
            equations.push(row);
        }
        let circulation = eliminated(equations);
        let ratio = station.iter().zip(&circulation).map(|(&radius, &circulation)| {
            let flow = atan2(pitch, radius);
            let many = 4.0 * PI * radius * sin(flow) * cos(flow);
            blades * circulation / many / prandtl(blades, radius, sin(flow)).max(1e-9)
        });
        Self { ratio: ratio.collect(), station }
    }
}

/// Velocity along the axis and around it, at a blade's radius, from one vortex of unit strength behind each blade, as helices that
/// begin at another radius with the given tangent of their angle (WRENCH-1957).
fn induced(blades: f64, tangent: f64, radius: f64, edge: f64) -> (f64, f64) {
    let (y, y0) = (radius / (edge * tangent), 1.0 / tangent);
    let (s, s0) = ((1.0 + y * y).sqrt(), (1.0 + y0 * y0).sqrt());
    let inner = radius < edge;
    let apart = blades * (ln(y0 * (s - 1.0) / (y * (s0 - 1.0))) + s - s0);
    let wave = exp(if inner { apart } else { -apart }.clamp(-700.0, -1e-9));
    let near = wave / (1.0 - wave);
    let curl = (9.0 * y0 * y0 + 2.0) / (s0 * s0 * s0) + (3.0 * y * y - 2.0) / (s * s * s);
    let bend = curl / (24.0 * blades) * ln(1.0 + near);
    let scale = (s0 / s).sqrt() / (2.0 * blades * y0);
    if inner {
        let f = -scale * (near + bend);
        let axial = blades / (4.0 * PI * radius) * (y - 2.0 * blades * y * y0 * f);
        return (axial, blades * blades / (2.0 * PI * radius) * y0 * f);
    }
    let f = scale * (near - bend);
    let axial = -blades * blades / (2.0 * PI * radius) * y * y0 * f;
    (axial, blades / (4.0 * PI * radius) * (1.0 + 2.0 * blades * y0 * f))
}

/// Solves linear equations, the right side last in each row, by elimination with the greatest pivot.
fn eliminated(mut rows: Vec<Vec<f64>>) -> Vec<f64> {
    let n = rows.len();
    for column in 0..n {
        let size = |row: &usize| rows[*row][column].abs();
        let pivot = (column..n).max_by(|a, b| size(a).total_cmp(&size(b))).unwrap_or(column);
        rows.swap(column, pivot);
        let (above, below) = rows.split_at_mut(column + 1);
        let top = &above[column];
        for row in below {
            let share = row[column] / top[column];
            for (entry, &upper) in row[column..].iter_mut().zip(&top[column..]) {
                *entry -= share * upper;
            }
        }
    }
    let mut solved = vec![0.0; n];
    for i in (0..n).rev() {
        let known: f64 = (i + 1..n).map(|j| rows[i][j] * solved[j]).sum();
        solved[i] = (rows[i][n] - known) / rows[i][i];
    }
    solved
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Biot and Savart's law along the helices themselves, to 60 turns.
    fn by_biot_savart(blades: usize, tangent: f64, radius: f64, edge: f64) -> (f64, f64) {
        let pitch = edge * tangent;
        let (steps, turns) = (400_000, 60.0);
        let h = turns * 2.0 * PI / f64::from(steps);
        let (mut axial, mut around) = (0.0, 0.0);
        for blade in 0..blades {
            let start = 2.0 * PI * blade as f64 / blades as f64;
            for i in 0..steps {
                let t = (f64::from(i) + 0.5) * h;
                // The point is at (0, radius, 0); x runs downstream, the helix turns from y to z.
                let (s, c) = (sin(start + t), cos(start + t));
                let from = [-pitch * t, radius - edge * c, -edge * s];
                let along = [pitch, -edge * s, edge * c];
                let square = from.iter().map(|x| x * x).sum::<f64>();
                let cube = square * square.sqrt();
                axial += h * (along[1] * from[2] - along[2] * from[1]) / cube;
                around += h * (along[0] * from[1] - along[1] * from[0]) / cube;
            }
        }
        (axial / (4.0 * PI), around / (4.0 * PI))
    }

    #[test]
    fn val_helices_follow_biot_and_savart() {
        for (blades, tangent, radius, edge) in
            [(2, 0.5, 0.7, 0.9), (2, 0.5, 0.9, 0.6), (3, 1.2, 0.4, 0.7), (3, 0.3, 0.8, 0.7)]
        {
            let (axial, around) = induced(blades as f64, tangent, radius, edge);
            let (x, z) = by_biot_savart(blades, tangent, radius, edge);
            let scale = axial.abs().max(around.abs());
            assert!((axial - x.abs() * axial.signum()).abs() < 0.012 * scale, "{axial} {x}");
            assert!((around - z.abs() * around.signum()).abs() < 0.012 * scale, "{around} {z}");
        }
    }

    #[test]
    fn prop_fine_pitch_is_prandtls_and_many_blades_lose_nothing() {
        let two = TipLoss::new(2.0);
        for station in [0.5, 0.75, 0.9, 0.97] {
            let fine = two.at(station).factor(0.03 / station, 1.0);
            assert!((fine / prandtl(2.0, station, 0.03 / station) - 1.0).abs() < 0.02, "{fine}");
        }
        let many = TipLoss::new(40.0);
        for station in [0.3, 0.6, 0.8] {
            let flow = atan2(0.4, station);
            let factor = many.at(station).factor(sin(flow), cos(flow));
            assert!((factor - 1.0).abs() < 0.02, "{station} {factor}");
        }
    }

    #[test]
    fn prop_coarse_pitch_and_few_blades_lose_more() {
        let (two, three) = (TipLoss::new(2.0), TipLoss::new(3.0));
        let factor = |loss: &TipLoss, pitch: f64| {
            let flow = atan2(pitch, 0.75);
            loss.at(0.75).factor(sin(flow), cos(flow))
        };
        let mut before = 1.1;
        for pitch in [0.05, 0.2, 0.4, 0.8, 1.6] {
            let (less, more) = (factor(&two, pitch), factor(&three, pitch));
            assert!(less < more && less < before, "{pitch} {less} {more}");
            before = less;
        }
    }
}
