//! Limit loads by category of operation: as the rule asks, rolling, with flaps down. What the airplane's own file states holds; the
//! rule's figures are there to hold the file against.

use base::units::{LoadFactor, Mass};

use crate::airplane::{Airplane, Category};

/// Category of operation of the former part 23.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum CategoryKind {
    /// No aerobatics.
    Normal,
    /// Limited aerobatics.
    Utility,
    /// Without restrictions but those of the flight tests.
    Acrobatic,
}

/// A pair of limit load factors.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct LimitLoads {
    /// Positive.
    pub positive: LoadFactor,
    /// Negative, below zero.
    pub negative: LoadFactor,
}

impl CategoryKind {
    /// Every one.
    pub const ALL: [Self; 3] = [Self::Normal, Self::Utility, Self::Acrobatic];

    /// The word in an airplane file.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::Normal => "normal",
            Self::Utility => "utility",
            Self::Acrobatic => "acrobatic",
        }
    }
    /// Least limit maneuvering load factors an airplane of this maximum mass must be built for.
    ///
    /// # Source
    /// 14-CFR-23 (23.337): normal by the expression of weight, utility 4.4, acrobatic 6.0; negative 0.4 of it, acrobatic 0.5
    /// (the shares from memory).
    #[must_use]
    pub fn limit_loads(self, mass: Mass) -> LimitLoads {
        let (positive, share) = match self {
            Self::Normal => (normal_category_limit_load(mass), 0.4),
            Self::Utility => (LoadFactor::from_g(4.4), 0.4),
            Self::Acrobatic => (LoadFactor::from_g(6.0), 0.5),
        };
        LimitLoads { positive, negative: positive * -share }
    }
    /// Limit load factors of the simplified criteria.
    ///
    /// # Source
    /// 14-CFR-23-A: 3.8, 4.4, 6.0 and minus half of each.
    #[must_use]
    pub const fn simplified_limit_loads(self) -> LimitLoads {
        let positive_g = match self {
            Self::Normal => 3.8,
            Self::Utility => 4.4,
            Self::Acrobatic => 6.0,
        };
        LimitLoads {
            positive: LoadFactor::from_g(positive_g),
            negative: LoadFactor::from_g(-0.5 * positive_g),
        }
    }
    /// Negative limit at the design dive speed, to which the one at the design cruising speed falls off linearly.
    ///
    /// # Source
    /// 14-CFR-23.333 (b): nil for normal, -1.0 for utility and acrobatic.
    #[must_use]
    pub const fn negative_at_dive(self) -> LoadFactor {
        match self {
            Self::Normal => LoadFactor::ZERO,
            Self::Utility | Self::Acrobatic => LoadFactor::from_g(-1.0),
        }
    }
}

/// Positive limit load factor of the normal category by weight: `2.1 + 24,000 / (W + 10,000)` pounds, at most 3.8.
///
/// # Source
/// Expression as in 14-CFR-25.337; the cap for the normal category from memory of the former 23.337 (14-CFR-23).
#[must_use]
pub fn normal_category_limit_load(mass: Mass) -> LoadFactor {
    LoadFactor::from_g((2.1 + 24_000.0 / (mass.to_lb() + 10_000.0)).min(3.8))
}

/// Greatest load factor while rolling: two thirds of the positive limit.
///
/// # Source
/// 14-CFR-23.349 (b), from memory: loads of the ailerons go with at least two thirds of the positive maneuvering load factor.
#[must_use]
pub fn rolling_limit_load(positive: LoadFactor) -> LoadFactor {
    positive * (2.0 / 3.0)
}

/// Share of the wing's load on the less loaded side in an unsymmetrical condition at the positive limit, the other side bearing all
/// of it: 0.75, acrobatic 0.60.
///
/// # Source
/// 14-CFR-23.349 (a), from memory.
#[must_use]
pub const fn unsymmetrical_share(kind: CategoryKind) -> f64 {
    match kind {
        CategoryKind::Normal | CategoryKind::Utility => 0.75,
        CategoryKind::Acrobatic => 0.60,
    }
}

impl Category {
    /// Which one it is; `None` for a name that no file may bear (files are checked).
    #[must_use]
    pub fn kind(&self) -> Option<CategoryKind> {
        CategoryKind::ALL.into_iter().find(|kind| kind.word() == self.name)
    }
    /// The limits as stated.
    #[must_use]
    pub const fn limit_loads(&self) -> LimitLoads {
        LimitLoads { positive: self.load_factor_max, negative: self.load_factor_min }
    }
    /// Limits of the rule that the stated ones fall short of; nil and nil for none. An airplane may be built to another rule, so
    /// this is a hint and no fault.
    #[must_use]
    pub fn short_of_rule(&self) -> (Option<LoadFactor>, Option<LoadFactor>) {
        const ROUNDING_G: f64 = 0.005;
        let Some(kind) = self.kind() else { return (None, None) };
        let rule = kind.limit_loads(self.mass_max);
        let positive = (self.load_factor_max.to_g() < rule.positive.to_g() - ROUNDING_G)
            .then_some(rule.positive);
        let negative = (self.load_factor_min.to_g() > rule.negative.to_g() + ROUNDING_G)
            .then_some(rule.negative);
        (positive, negative)
    }
}

impl Airplane {
    /// The category whose limits hold at this mass: the one with the greatest positive limit that allows the mass.
    #[must_use]
    pub fn category(&self, mass: Mass) -> Option<&Category> {
        let allowed = self.categories.iter().filter(|category| category.mass_max >= mass);
        allowed.max_by(|a, b| a.load_factor_max.to_g().total_cmp(&b.load_factor_max.to_g()))
    }
}
