//! What a fitted airplane will do, in bands: the values a brief hangs on.

use base::factors::M_PER_FT;

use crate::evidence::Unit;
use crate::figures::Figures;
use crate::fit::{Band, Fitted};
use crate::model::{Condition, LevelPower};

/// A predicted value.
#[derive(Debug, Clone, PartialEq)]
pub struct Prediction {
    /// In words.
    pub words: &'static str,
    /// For people.
    pub unit: Unit,
    /// Value and band, SI.
    pub band: Band,
}

/// Predictions at maximum mass in standard air, those that the airplane has a value for.
#[must_use]
pub fn of(figures: &Figures, fitted: &Fitted) -> Vec<Prediction> {
    let mass_kg = figures.masses.maximum.to_kg();
    let at = |feet: f64| feet * M_PER_FT;
    let climb = |height_m| Condition::Climb { height_m, mass_kg, calibrated_mps: None };
    let level = |height_m, power| Condition::LevelSpeed { height_m, mass_kg, power };
    let rows = [
        ("stall, flaps up, idle (calibrated)", Unit::KT, Condition::Stall { position: 0, mass_kg }),
        (
            "stall, flaps up, full power, sea level (calibrated)",
            Unit::KT,
            Condition::StallFullPower { height_m: 0.0, mass_kg },
        ),
        ("climb at sea level", Unit::FPM, climb(0.0)),
        ("climb at 3000 ft", Unit::FPM, climb(at(3000.0))),
        ("climb at 6000 ft", Unit::FPM, climb(at(6000.0))),
        ("level at 3000 ft, full throttle (true)", Unit::KT, level(at(3000.0), LevelPower::Full)),
        ("level at 6000 ft, 65 % (true)", Unit::KT, level(at(6000.0), LevelPower::Share(0.65))),
        (
            "steepest bank held level at 3000 ft",
            Unit::DEG,
            Condition::SustainedBank { height_m: at(3000.0), mass_kg },
        ),
        ("best glide ratio, idle", Unit::RATIO, Condition::GlideRatio { mass_kg }),
    ];
    let predict = |(words, unit, condition): (&'static str, Unit, Condition)| {
        fitted.predict(&condition).map(|band| Prediction { words, unit, band })
    };
    rows.into_iter().filter_map(predict).collect()
}
