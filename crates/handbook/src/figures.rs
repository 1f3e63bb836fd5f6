//! What a flight manual says, as typed: any figure but a few may be absent. Read by [`Figures::from_toml`].

mod read;
mod slips;
#[cfg(test)]
mod tests;

use base::kinds::{CalibratedAirspeed, IndicatedAirspeed, PressureAltitude, TrueAirspeed};
use base::units::{Angle, AngularRate, Area, Length, LoadFactor, Mass, Power, Speed};
use flight::airplane::balance::Balance;
use flight::airplane::{PositionErrorRow, Rotation, WingPlace};

/// A file of figures with comments, to be filled in.
pub const TEMPLATE: &str = include_str!("figures/template.toml");

/// A figure with how finely it is written and where.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Stated<T> {
    /// The figure.
    pub value: T,
    /// One unit of its last written digit, SI: its rounding is half of that either way.
    pub step_si: f64,
    /// Line of the file, counted from one.
    pub line: usize,
}

/// Everything a file of figures says.
#[derive(Debug, Clone, PartialEq)]
pub struct Figures {
    /// Stable key: lower-case words with hyphens.
    pub id: String,
    /// As people call it.
    pub name: String,
    /// One sentence.
    pub description: String,
    /// Manual and edition the figures are from, beginning with a key of the list of sources where there is one.
    pub source: String,
    /// How it is laid out.
    pub layout: Layout,
    /// Wing.
    pub wing: WingSize,
    /// Body.
    pub body: BodySize,
    /// Horizontal tail.
    pub tail: SurfaceSize,
    /// Fin.
    pub fin: SurfaceSize,
    /// Masses.
    pub masses: Masses,
    /// Weight and balance, with seats, tanks, lockers.
    pub balance: Option<Balance>,
    /// Engine.
    pub engine: EngineFigures,
    /// Propeller.
    pub propeller: PropellerFigures,
    /// Speeds of the manual.
    pub speeds: SpeedFigures,
    /// Stall speeds.
    pub stalls: Vec<StallFigure>,
    /// Climb table.
    pub climbs: Vec<ClimbFigure>,
    /// Glide table, engine idle, flaps up.
    pub glides: Vec<GlideFigure>,
    /// Cruise table.
    pub cruises: Vec<CruiseFigure>,
    /// Limits by category.
    pub categories: Vec<CategoryFigure>,
    /// Position error of the airspeed system; empty when not stated.
    pub position_error: Vec<PositionErrorRow>,
}

/// Undercarriage.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Gear {
    /// It hangs in the wind.
    Fixed,
    /// It folds away; figures are for gear up.
    Retractable,
}

/// How the airplane is laid out.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Layout {
    /// Undercarriage.
    pub gear: Gear,
    /// Wing above or below.
    pub wing: WingPlace,
    /// Seats.
    pub seats: u8,
    /// Seats one behind the other.
    pub tandem: bool,
}

/// Size of the wing.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct WingSize {
    /// Area.
    pub area: Area,
    /// Span.
    pub span: Length,
    /// Tip chord over root chord.
    pub taper: Option<f64>,
    /// Dihedral.
    pub dihedral: Option<Angle>,
}

/// Size of the body.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct BodySize {
    /// Length over all.
    pub length: Option<Length>,
    /// Greatest width.
    pub width: Option<Length>,
    /// Greatest depth.
    pub depth: Option<Length>,
}

/// Size of a tail surface.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct SurfaceSize {
    /// Area, moving part included.
    pub area: Option<Area>,
    /// Span, or height of a fin.
    pub span: Option<Length>,
    /// From the quarter chord of the wing to that of the surface.
    pub arm: Option<Length>,
}

/// Masses.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Masses {
    /// Empty.
    pub empty: Option<Mass>,
    /// Usual in training.
    pub typical: Option<Mass>,
    /// Greatest allowed.
    pub maximum: Mass,
    /// Center of gravity of a usual loading, mean chords behind the leading edge.
    pub center_of_gravity: Option<f64>,
}

/// Engine.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct EngineFigures {
    /// Greatest power at sea level (take-off power).
    pub power: Stated<Power>,
    /// Speed of the propeller at it.
    pub speed_rated: Option<AngularRate>,
}

/// Propeller.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PropellerFigures {
    /// Whether a governor holds its speed.
    pub constant_speed: bool,
    /// Diameter.
    pub diameter: Option<Length>,
    /// Number of blades.
    pub blades: Option<u8>,
    /// Sense of rotation seen from the cockpit.
    pub rotation: Rotation,
    /// Speed of rotation at full throttle, airplane standing.
    pub speed_static: Option<Stated<AngularRate>>,
}

/// Speeds of the manual.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct SpeedFigures {
    /// Maneuvering speed at maximum mass.
    pub maneuvering: Option<Stated<IndicatedAirspeed>>,
    /// Greatest structural cruise speed.
    pub normal_max: Option<Stated<IndicatedAirspeed>>,
    /// Never-exceed speed.
    pub never_exceed: Option<Stated<IndicatedAirspeed>>,
    /// Recommended for training maneuvers.
    pub maneuver_entry: Option<Stated<IndicatedAirspeed>>,
    /// Best angle of climb, sea level.
    pub best_angle: Option<Stated<IndicatedAirspeed>>,
    /// Best rate of climb, sea level.
    pub best_rate: Option<Stated<IndicatedAirspeed>>,
    /// Best glide.
    pub best_glide: Option<Stated<IndicatedAirspeed>>,
    /// Distance over height at it.
    pub glide_ratio: Option<Stated<f64>>,
}

/// An airspeed as the manual gives it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum ManualAirspeed {
    /// As the indicator shows it.
    Indicated(IndicatedAirspeed),
    /// Corrected.
    Calibrated(CalibratedAirspeed),
}

/// Whether the engine pulls.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum PowerSetting {
    /// Closed throttle.
    Idle,
    /// Full throttle.
    Full,
}

/// A stall speed, straight flight.
#[derive(Debug, Clone, PartialEq)]
pub struct StallFigure {
    /// Name of the flap position, "up" for none.
    pub flaps: String,
    /// Engine.
    pub power: PowerSetting,
    /// The speed.
    pub speed: Stated<ManualAirspeed>,
    /// Mass, maximum when not stated.
    pub mass: Option<Mass>,
    /// Greatest speed with the flaps so.
    pub extended_max: Option<IndicatedAirspeed>,
}

/// A row of the climb table, full throttle, flaps up.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ClimbFigure {
    /// Pressure altitude, standard air.
    pub height: PressureAltitude,
    /// Rate.
    pub rate: Stated<Speed>,
    /// Speed it is flown at; that of the best rate when absent.
    pub speed: Option<ManualAirspeed>,
    /// Mass, maximum when not stated.
    pub mass: Option<Mass>,
}

/// A row of a glide table.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct GlideFigure {
    /// Pressure altitude, standard air.
    pub height: PressureAltitude,
    /// Rate of descent, positive.
    pub sink: Stated<Speed>,
    /// Speed.
    pub speed: ManualAirspeed,
    /// Mass, maximum when not stated.
    pub mass: Option<Mass>,
}

/// What the engine gives in a row of the cruise table.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum CruisePower {
    /// Share of greatest power at sea level.
    Share(f64),
    /// Shaft power.
    Shaft(Power),
    /// Throttle open; shaft power when it is stated too.
    FullThrottle(Option<Power>),
    /// Not stated.
    Unknown,
}

/// Speed of a row of the cruise table.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum CruiseSpeed {
    /// True airspeed.
    True(TrueAirspeed),
    /// Calibrated airspeed.
    Calibrated(CalibratedAirspeed),
}

/// A row of the cruise table, level flight.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct CruiseFigure {
    /// Pressure altitude, standard air.
    pub height: PressureAltitude,
    /// Power.
    pub power: CruisePower,
    /// Speed of rotation.
    pub speed_rotation: Option<AngularRate>,
    /// Speed.
    pub speed: Stated<CruiseSpeed>,
    /// Fuel, cubic meters per second.
    pub fuel_m3ps: Option<f64>,
    /// Mass, maximum when not stated.
    pub mass: Option<Mass>,
}

/// Limits of one category.
#[derive(Debug, Clone, PartialEq)]
pub struct CategoryFigure {
    /// "normal", "utility" or "acrobatic".
    pub name: String,
    /// Greatest mass, the maximum when absent.
    pub mass_max: Option<Mass>,
    /// Positive limit load factor.
    pub load_factor_max: LoadFactor,
    /// Negative limit load factor.
    pub load_factor_min: LoadFactor,
    /// Catalogue keys of approved maneuvers.
    pub approved: Vec<String>,
}

impl Figures {
    /// Calibrated from indicated airspeed by the position-error table, the same without one.
    #[must_use]
    pub fn calibrated(&self, speed: ManualAirspeed) -> CalibratedAirspeed {
        match speed {
            ManualAirspeed::Calibrated(speed) => speed,
            ManualAirspeed::Indicated(speed) if self.position_error.is_empty() => {
                CalibratedAirspeed::from_mps(speed.to_mps())
            }
            ManualAirspeed::Indicated(speed) => {
                let rows = &self.position_error;
                let (from, to): (Vec<f64>, Vec<f64>) = rows
                    .iter()
                    .map(|row| (row.indicated.to_mps(), row.calibrated.to_mps()))
                    .unzip();
                let found = base::numerics::interpolation::linear(&from, &to, speed.to_mps());
                CalibratedAirspeed::from_mps(found.max(0.0))
            }
        }
    }
    /// Power-off stall speed with flaps up at maximum mass, if stated.
    #[must_use]
    pub fn stall_clean(&self) -> Option<&StallFigure> {
        self.stalls.iter().find(|stall| {
            stall.flaps == "up" && stall.power == PowerSetting::Idle && stall.mass.is_none()
        })
    }
    /// Diameter of the propeller: as stated, or that usual for the power.
    ///
    /// # Source
    /// `1.7 ft` (three blades `1.6 ft`) times the fourth root of the power in horsepower: RAYMER-1992, from memory.
    #[must_use]
    pub fn diameter(&self) -> Length {
        let root = self.engine.power.value.to_hp().max(1.0).sqrt().sqrt();
        let feet = if self.propeller.blades.unwrap_or(2) > 2 { 1.6 } else { 1.7 };
        self.propeller.diameter.unwrap_or_else(|| Length::from_ft(feet * root))
    }
    /// Speed of rotation at greatest power: as stated, or 2,700 rpm (common practice, no source).
    #[must_use]
    pub fn speed_rated(&self) -> AngularRate {
        self.engine.speed_rated.unwrap_or(AngularRate::from_rpm(2700.0))
    }
}
