//! Modes of motion of a linear model: how a small disturbance dies out or grows, and what it is called.
//!
//! A mode is known by what takes part in it, not by its place in a list: the share of each coordinate is its participation,
//! right times left eigenvector, which is the same in any units. What the classic modes become when they split into two roots
//! or merge with each other has a name as well. Source: PVS-1982 for participation; SL-2003, chapter 4, and NELSON-1998,
//! chapters 4 and 5, for the names.

mod eigen;
mod name;

use std::f64::consts::{LN_2, TAU};

use crate::linear::Coordinate;

pub use name::Name;

/// Below this, as a share of the fastest root, a root is nil.
const NEUTRAL: f64 = 1e-9;

/// One mode: a real root, or a pair of complex ones.
#[derive(Debug, Clone, PartialEq)]
pub struct Mode {
    /// What it is called.
    pub name: Name,
    /// Real part of the root, 1/s; negative dies out.
    pub real_ps: f64,
    /// Imaginary part, rad/s; not negative, nil for one that does not oscillate.
    pub imaginary_radps: f64,
    /// Share that each coordinate takes in it, in the order of the model; they sum to one.
    pub participation: Vec<(Coordinate, f64)>,
    /// The eigenvector in the units of the model, real and imaginary part, its greatest component turned to one.
    pub shape: Vec<(Coordinate, [f64; 2])>,
    neutral: bool,
}

/// How a mode goes on.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Stability {
    /// It dies out.
    Stable,
    /// It stays.
    Neutral,
    /// It grows.
    Unstable,
}

/// A matrix that has no modes.
#[derive(Debug, Clone, Copy, PartialEq, Eq, thiserror::Error)]
pub enum ModesError {
    /// An element is not a finite number.
    #[error("the matrix of the linear model has elements that are no numbers")]
    NotFinite,
    /// The iteration for the roots did not end.
    #[error("the roots of the linear model were not found")]
    NotFound,
}

impl ModesError {
    /// What to do about it.
    #[must_use]
    pub const fn hint(&self) -> &'static str {
        "linearize about a state inside the airplane's data"
    }
}

impl Mode {
    /// Whether it oscillates.
    #[must_use]
    pub fn oscillates(&self) -> bool {
        self.imaginary_radps > 0.0
    }
    /// Stable, neutral or unstable.
    #[must_use]
    pub fn stability(&self) -> Stability {
        if self.neutral {
            Stability::Neutral
        } else if self.real_ps < 0.0 {
            Stability::Stable
        } else {
            Stability::Unstable
        }
    }
    /// Undamped natural frequency of an oscillation, rad/s.
    #[must_use]
    pub fn natural_frequency_radps(&self) -> Option<f64> {
        self.oscillates().then(|| base::math::hypot(self.real_ps, self.imaginary_radps))
    }
    /// Damping ratio of an oscillation; negative when it grows.
    #[must_use]
    pub fn damping_ratio(&self) -> Option<f64> {
        self.natural_frequency_radps().map(|frequency| -self.real_ps / frequency)
    }
    /// Period of an oscillation, s.
    #[must_use]
    pub fn period_s(&self) -> Option<f64> {
        self.oscillates().then(|| TAU / self.imaginary_radps)
    }
    /// Time constant of one that does not oscillate, s; negative when it grows.
    #[must_use]
    pub fn time_constant_s(&self) -> Option<f64> {
        (!self.oscillates() && !self.neutral).then(|| -1.0 / self.real_ps)
    }
    /// Time to half the amplitude, s, when it dies out.
    #[must_use]
    pub fn half_s(&self) -> Option<f64> {
        (self.stability() == Stability::Stable).then(|| -LN_2 / self.real_ps)
    }
    /// Time to twice the amplitude, s, when it grows.
    #[must_use]
    pub fn double_s(&self) -> Option<f64> {
        (self.stability() == Stability::Unstable).then(|| LN_2 / self.real_ps)
    }
    /// Share of a coordinate, nil to one.
    #[must_use]
    pub fn share(&self, coordinate: Coordinate) -> f64 {
        self.participation.iter().filter(|(c, _)| *c == coordinate).map(|(_, share)| share).sum()
    }
    /// In words: name, stability, period, time to half or double.
    #[must_use]
    pub fn words(&self) -> String {
        let name = self.name.words();
        let change = match (self.half_s(), self.double_s()) {
            (Some(half), _) => format!("stable, halves in {half:.1} s"),
            (_, Some(double)) => format!("unstable, doubles in {double:.1} s"),
            (None, None) => "neutral".to_owned(),
        };
        match self.period_s() {
            Some(period) => format!("{name}: oscillates with a period of {period:.1} s, {change}"),
            None => format!("{name}: {change}"),
        }
    }
}

/// The modes of a square model, fastest first.
///
/// `states` says what the rows and columns of `a` are. Any units.
///
/// # Errors
/// Elements that are not finite; roots that are not found.
pub fn modes<const N: usize>(
    a: &[[f64; N]; N],
    states: &[Coordinate; N],
) -> Result<Vec<Mode>, ModesError> {
    if !a.iter().flatten().all(|element| element.is_finite()) {
        return Err(ModesError::NotFinite);
    }
    let mut roots = eigen::roots(a).ok_or(ModesError::NotFound)?;
    roots.sort_by(|x, y| y.size().total_cmp(&x.size()).then(x.real.total_cmp(&y.real)));
    let fastest = roots.first().map_or(0.0, eigen::Root::size);
    let mut modes: Vec<Mode> = roots
        .iter()
        .map(|root| Mode {
            name: Name::Root,
            real_ps: root.real,
            imaginary_radps: root.imaginary,
            participation: pairs(states, &root.participation),
            shape: pairs(states, &root.shape),
            neutral: root.real.abs() <= NEUTRAL * fastest,
        })
        .collect();
    name::name(&mut modes);
    Ok(modes)
}

fn pairs<T: Copy>(states: &[Coordinate], values: &[T]) -> Vec<(Coordinate, T)> {
    states.iter().copied().zip(values.iter().copied()).collect()
}
