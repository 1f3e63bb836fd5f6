//! The figures of a manual as evidence: each a condition, a value and how far it may be off.

use base::factors::{M_PER_FT, M3_PER_US_GAL, MPS_PER_FPM, MPS_PER_KT, RAD_PER_DEG, W_PER_HP};
use base::kinds::{CalibratedAirspeed, IndicatedAirspeed};
use base::math::hypot;
use base::units::Mass;

use crate::figures::{
    CruiseFigure, CruisePower, CruiseSpeed, Figures, ManualAirspeed, PowerSetting, StallFigure,
    Stated,
};
use crate::model::{Condition, LevelPower};
use crate::standard::true_mps;
use crate::unknowns::{positions, power_share_at};

/// How a value is written for people.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Unit {
    /// As printed.
    pub symbol: &'static str,
    /// SI units in one of these.
    pub scale: f64,
    /// Decimals that mean something.
    pub decimals: usize,
}

impl Unit {
    /// Knots.
    pub const KT: Self = Self { symbol: "kt", scale: MPS_PER_KT, decimals: 1 };
    /// Feet a minute.
    pub const FPM: Self = Self { symbol: "ft/min", scale: MPS_PER_FPM, decimals: 0 };
    /// Horsepower.
    pub const HP: Self = Self { symbol: "hp", scale: W_PER_HP, decimals: 0 };
    /// A ratio.
    pub const RATIO: Self = Self { symbol: "", scale: 1.0, decimals: 2 };
    /// Gallons an hour.
    pub const GPH: Self = Self { symbol: "gal/h", scale: M3_PER_US_GAL / 3600.0, decimals: 1 };
    /// Degrees.
    pub const DEG: Self = Self { symbol: "deg", scale: RAD_PER_DEG, decimals: 1 };

    /// The value with its unit.
    #[must_use]
    pub fn words(&self, value_si: f64) -> String {
        let value = value_si / self.scale;
        let text = format!("{value:.*}", self.decimals);
        if self.symbol.is_empty() { text } else { format!("{text} {}", self.symbol) }
    }
}

/// One figure.
#[derive(Debug, Clone, PartialEq)]
pub struct Evidence {
    /// In words: "climb at 6000 ft".
    pub words: String,
    /// Line of the file.
    pub line: usize,
    /// What it says something about.
    pub condition: Condition,
    /// What it says, SI.
    pub value: f64,
    /// One standard deviation: rounding and what manuals are off by, SI.
    pub sigma: f64,
    /// For people.
    pub unit: Unit,
}

/// What manuals are off by beyond rounding, as shares: common practice, no source (methods of flight test allow 2 to 3 %).
mod handbook {
    pub(super) const POWER: f64 = 0.025;
    pub(super) const STALL: f64 = 0.025;
    /// Without a position-error table an indicated stall speed says little.
    pub(super) const STALL_INDICATED: f64 = 0.06;
    pub(super) const CLIMB: f64 = 0.03;
    /// Of a climb rate, m/s, besides its share: 15 ft/min.
    pub(super) const CLIMB_LEAST_MPS: f64 = 15.0 * super::MPS_PER_FPM;
    pub(super) const LEVEL: f64 = 0.02;
    pub(super) const SINK: f64 = 0.04;
    pub(super) const BEST_SPEED: f64 = 0.05;
    pub(super) const GLIDE_RATIO: f64 = 0.05;
    pub(super) const FUEL: f64 = 0.05;
    pub(super) const STATIC: f64 = 0.03;
}

/// Everything a manual says, as evidence, and what of it cannot be used, with the reason.
#[must_use]
pub fn of(figures: &Figures) -> (Vec<Evidence>, Vec<String>) {
    let mut notes = Vec::new();
    let mut out = engine(figures);
    out.extend(figures.stalls.iter().filter_map(|figure| stall(figures, figure, &mut notes)));
    out.extend(best_speeds(figures));
    out.extend(climbs(figures));
    out.extend(glides(figures));
    for cruise in &figures.cruises {
        out.extend(self::cruise(figures, cruise, &mut notes));
    }
    (out, notes)
}

fn kg(figures: &Figures, mass: Option<Mass>) -> f64 {
    mass.unwrap_or(figures.masses.maximum).to_kg()
}

impl Evidence {
    /// One standard deviation, with what this kind of value departs by from any airplane of the model, SI.
    #[must_use]
    pub fn sigma_whole(&self) -> f64 {
        hypot(self.sigma, self.condition.own_doubt() * self.value)
    }
}

/// Rounding (even over one unit of the last digit) and the manual's error together.
fn sigma(step_si: f64, handbook: f64) -> f64 {
    (step_si * step_si / 12.0 + handbook * handbook).sqrt()
}

fn feet(height_m: f64) -> String {
    format!("{:.0} ft", height_m / M_PER_FT)
}

fn engine(figures: &Figures) -> Vec<Evidence> {
    let power = figures.engine.power;
    let watts = power.value.to_w();
    let mut out = vec![Evidence {
        words: "take-off power".into(),
        line: power.line,
        condition: Condition::RatedPower,
        value: watts,
        sigma: sigma(power.step_si, handbook::POWER * watts),
        unit: Unit::HP,
    }];
    if let Some(standing) =
        figures.propeller.speed_static.filter(|_| !figures.propeller.constant_speed)
    {
        let value = power_share_at(standing.value, figures.speed_rated());
        out.push(Evidence {
            words: "share of power standing, from the speed of rotation".into(),
            line: standing.line,
            condition: Condition::StaticShare,
            value,
            sigma: handbook::STATIC * value,
            unit: Unit::RATIO,
        });
    }
    out
}

fn stall(figures: &Figures, figure: &StallFigure, notes: &mut Vec<String>) -> Option<Evidence> {
    let mass_kg = kg(figures, figure.mass);
    let condition = match figure.power {
        PowerSetting::Idle => {
            let known = positions(figures);
            let position = known.iter().position(|name| *name == figure.flaps)?;
            Condition::Stall { position, mass_kg }
        }
        PowerSetting::Full if figure.flaps == "up" => {
            Condition::StallFullPower { height_m: 0.0, mass_kg }
        }
        PowerSetting::Full => {
            let line = figure.speed.line;
            notes.push(format!("line {line}: a stall under power with flaps down is not used"));
            return None;
        }
    };
    let value = figures.calibrated(figure.speed.value).to_mps();
    let blind = matches!(figure.speed.value, ManualAirspeed::Indicated(_))
        && figures.position_error.is_empty();
    let share = if blind { handbook::STALL_INDICATED } else { handbook::STALL };
    let power = if figure.power == PowerSetting::Full { "full power" } else { "idle" };
    Some(Evidence {
        words: format!("stall, flaps {}, {power} (calibrated)", figure.flaps),
        line: figure.speed.line,
        condition,
        value,
        sigma: sigma(figure.speed.step_si, share * value),
        unit: Unit::KT,
    })
}

fn best_speeds(figures: &Figures) -> Vec<Evidence> {
    let mass_kg = figures.masses.maximum.to_kg();
    let speeds = &figures.speeds;
    let one = |stated: Option<Stated<IndicatedAirspeed>>, words: &str, condition: Condition| {
        let Stated { value, step_si, line } = stated?;
        let value = figures.calibrated(ManualAirspeed::Indicated(value)).to_mps();
        let sigma = sigma(step_si, handbook::BEST_SPEED * value);
        Some(Evidence { words: words.into(), line, condition, value, sigma, unit: Unit::KT })
    };
    let height_m = 0.0;
    let mut out: Vec<Evidence> = [
        one(
            speeds.best_rate,
            "speed of best rate of climb (calibrated)",
            Condition::BestRate { height_m, mass_kg },
        ),
        one(
            speeds.best_angle,
            "speed of best angle of climb (calibrated)",
            Condition::BestAngle { height_m, mass_kg },
        ),
        one(
            speeds.best_glide,
            "speed of best glide (calibrated)",
            Condition::BestGlide { mass_kg },
        ),
    ]
    .into_iter()
    .flatten()
    .collect();
    if let Some(Stated { value, step_si, line }) = speeds.glide_ratio {
        out.push(Evidence {
            words: "best glide ratio".into(),
            line,
            condition: Condition::GlideRatio { mass_kg },
            value,
            sigma: sigma(step_si, handbook::GLIDE_RATIO * value),
            unit: Unit::RATIO,
        });
    }
    out
}

fn climbs(figures: &Figures) -> Vec<Evidence> {
    let one = |climb: &crate::figures::ClimbFigure| {
        let (height_m, value) = (climb.height.to_m(), climb.rate.value.to_mps());
        let speed = climb.speed.map(|speed| figures.calibrated(speed));
        let handbook = hypot(handbook::CLIMB * value, handbook::CLIMB_LEAST_MPS);
        let at = speed.map_or(String::new(), |speed| format!(" and {:.0} kt", speed.to_kt()));
        Evidence {
            words: format!("climb at {}{at}", feet(height_m)),
            line: climb.rate.line,
            condition: Condition::Climb {
                height_m,
                mass_kg: kg(figures, climb.mass),
                calibrated_mps: speed.map(CalibratedAirspeed::to_mps),
            },
            value,
            sigma: sigma(climb.rate.step_si, handbook),
            unit: Unit::FPM,
        }
    };
    figures.climbs.iter().map(one).collect()
}

fn glides(figures: &Figures) -> Vec<Evidence> {
    let one = |glide: &crate::figures::GlideFigure| {
        let value = glide.sink.value.to_mps();
        let speed = figures.calibrated(glide.speed);
        Evidence {
            words: format!(
                "sink idle at {} and {:.0} kt",
                feet(glide.height.to_m()),
                speed.to_kt()
            ),
            line: glide.sink.line,
            condition: Condition::Sink {
                height_m: glide.height.to_m(),
                mass_kg: kg(figures, glide.mass),
                calibrated_mps: speed.to_mps(),
            },
            value,
            sigma: sigma(glide.sink.step_si, handbook::SINK * value),
            unit: Unit::FPM,
        }
    };
    figures.glides.iter().map(one).collect()
}

fn cruise(figures: &Figures, row: &CruiseFigure, notes: &mut Vec<String>) -> Vec<Evidence> {
    let (height_m, mass_kg, line) = (row.height.to_m(), kg(figures, row.mass), row.speed.line);
    let (speed_mps, calibrated) = match row.speed.value {
        CruiseSpeed::True(speed) => {
            let calibrated = crate::standard::calibrated_mps(speed.to_mps(), height_m);
            (speed.to_mps(), calibrated)
        }
        CruiseSpeed::Calibrated(speed) => (true_mps(speed, height_m), speed.to_mps()),
    };
    let (power, told) = match row.power {
        CruisePower::Share(share) => {
            (Some(LevelPower::Share(share)), format!("{:.0} % power", 100.0 * share))
        }
        CruisePower::Shaft(power) | CruisePower::FullThrottle(Some(power)) => {
            (Some(LevelPower::Shaft(power.to_w())), format!("{:.0} hp", power.to_hp()))
        }
        CruisePower::FullThrottle(None) => (Some(LevelPower::Full), "full throttle".into()),
        CruisePower::Unknown => (None, String::new()),
    };
    let place = feet(height_m);
    let mut out = Vec::new();
    let mut add = |words: String, condition: Condition, value: f64, sigma: f64, unit: Unit| {
        out.push(Evidence { words, line, condition, value, sigma, unit });
    };
    if let Some(power) = power {
        let condition = Condition::LevelSpeed { height_m, mass_kg, power };
        let sigma = sigma(row.speed.step_si, handbook::LEVEL * speed_mps);
        add(format!("level at {place}, {told} (true)"), condition, speed_mps, sigma, Unit::KT);
    }
    if let CruisePower::FullThrottle(Some(shaft)) = row.power {
        let (value, condition) =
            (shaft.to_w(), Condition::FullPower { height_m, calibrated_mps: calibrated });
        let words = format!("power at full throttle at {place}, {:.0} kt", calibrated / MPS_PER_KT);
        add(words, condition, value, handbook::POWER * value, Unit::HP);
    }
    if let Some(fuel) = row.fuel_m3ps {
        let condition = match power {
            Some(power @ (LevelPower::Share(_) | LevelPower::Shaft(_))) => {
                Condition::Fuel { power }
            }
            _ => Condition::FuelAtSpeed { height_m, mass_kg, true_mps: speed_mps },
        };
        let words = format!("fuel at {place}, {:.0} kt true", speed_mps / MPS_PER_KT);
        add(words, condition, fuel, handbook::FUEL * fuel, Unit::GPH);
    } else if power.is_none() {
        notes.push(format!(
            "line {line}: a cruise row without power or fuel says nothing and is not used"
        ));
    }
    out
}
