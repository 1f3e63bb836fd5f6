//! What one more figure would help most.

use base::factors::{M_PER_FT, MPS_PER_FPM, MPS_PER_KT, RAD_PER_DEG};
use nalgebra::DVector;

use super::Fitted;
use crate::figures::Figures;
use crate::model::{Condition, LevelPower};

/// A figure that is not there yet, and how much of the variance of what a brief needs it would take away.
#[derive(Debug, Clone, PartialEq)]
pub struct Helpful {
    /// In words.
    pub words: &'static str,
    /// Expected share of the variance taken away, 0 to 1, averaged over what a brief needs.
    pub share: f64,
}

/// What a brief needs, each with the size that matters.
fn needs(mass_kg: f64) -> [(Condition, f64); 4] {
    let height_m = 3000.0 * M_PER_FT;
    [
        (Condition::Climb { height_m, mass_kg, calibrated_mps: None }, 50.0 * MPS_PER_FPM),
        (Condition::LevelSpeed { height_m, mass_kg, power: LevelPower::Full }, 2.0 * MPS_PER_KT),
        (Condition::Stall { position: 0, mass_kg }, 2.0 * MPS_PER_KT),
        (Condition::SustainedBank { height_m, mass_kg }, 2.0 * RAD_PER_DEG),
    ]
}

/// Figures that a manual might give, each with its usual error as a share.
fn candidates(mass_kg: f64) -> Vec<(&'static str, Condition, f64)> {
    let climb = |height_m| Condition::Climb { height_m, mass_kg, calibrated_mps: None };
    let level = |height_ft: f64, power| Condition::LevelSpeed {
        height_m: height_ft * M_PER_FT,
        mass_kg,
        power,
    };
    vec![
        (
            "stall speed, flaps up, idle, with the position-error table",
            Condition::Stall { position: 0, mass_kg },
            0.025,
        ),
        (
            "stall speed at full power, flaps up",
            Condition::StallFullPower { height_m: 0.0, mass_kg },
            0.03,
        ),
        ("rate of climb at sea level", climb(0.0), 0.04),
        ("rate of climb at 6000 ft", climb(6000.0 * M_PER_FT), 0.05),
        ("level speed at 75 % power", level(6000.0, LevelPower::Share(0.75)), 0.02),
        ("level speed at 55 % power", level(6000.0, LevelPower::Share(0.55)), 0.02),
        ("level speed at full throttle, low down", level(2000.0, LevelPower::Full), 0.02),
        ("speed of best rate of climb", Condition::BestRate { height_m: 0.0, mass_kg }, 0.05),
        ("speed of best glide", Condition::BestGlide { mass_kg }, 0.05),
        ("best glide ratio", Condition::GlideRatio { mass_kg }, 0.05),
        ("speed of rotation at full throttle, standing", Condition::StaticShare, 0.03),
    ]
}

impl Fitted {
    /// Figures that are not there yet, the most helpful first. Expected values: what the figure would say does not matter.
    #[must_use]
    pub fn helpful(&self, figures: &Figures) -> Vec<Helpful> {
        let mass_kg = figures.masses.maximum.to_kg();
        let joint = self.linear.joint();
        let (search, logs) = (self.search(), self.logs());
        let slope = |condition: &Condition| {
            let (mut by_logs, by_doubts) = search.slopes(&logs, condition);
            by_logs.extend(by_doubts);
            DVector::from_vec(by_logs)
        };
        let known = |condition: &Condition| {
            self.evidence.iter().any(|one| one.condition == *condition)
                || (figures.propeller.constant_speed && *condition == Condition::StaticShare)
        };
        let needs: Vec<(DVector<f64>, f64)> =
            needs(mass_kg).iter().map(|(condition, size)| (slope(condition), *size)).collect();
        let mut out: Vec<Helpful> = candidates(mass_kg)
            .into_iter()
            .filter(|(_, condition, _)| !known(condition))
            .map(|(words, condition, share)| {
                let row = slope(&condition);
                let value = self.model().predict(&condition);
                let noise = (share * value) * (share * value);
                let seen = &joint * &row;
                let whole = row.dot(&seen) + noise;
                let gain = |(need, size): &(DVector<f64>, f64)| {
                    let before = need.dot(&(&joint * need));
                    let less = need.dot(&seen) * need.dot(&seen) / whole;
                    // What is known well enough already counts little.
                    less / before.max(size * size)
                };
                let gains: f64 = needs.iter().map(gain).sum();
                Helpful { words, share: super::finite(gains / needs.len() as f64) }
            })
            .collect();
        out.sort_by(|a, b| b.share.total_cmp(&a.share));
        out
    }
}
