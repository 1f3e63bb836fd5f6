//! `skychalk.airplane-sheet/1`: one airplane with what follows from its figures: the load diagram of each category, what it
//! does at heights of a standard day.

use flight::air::Day;
use flight::airplane::{Airplane, Category};
use flight::envelope::diagram::{Diagram, GustLine, MarkName, Point};
use flight::envelope::gust::GustAt;
use flight::envelope::performance::Performance;
use flight::envelope::performance::turn::TurnMerit;
use schemars::JsonSchema;
use serde::Serialize;

use crate::airplane_list::{AirplaneEntry, AirplaneList};
use crate::number::rounded;
use base::kinds::GeometricHeight;
use base::units::Speed;

/// Name of the document and its version.
pub const SCHEMA: &str = "skychalk.airplane-sheet/1";
/// Heights of the table, ft above mean sea level.
const HEIGHTS_FT: [f64; 6] = [0.0, 2000.0, 4000.0, 6000.0, 8000.0, 10_000.0];
/// A sustained turn keeps this share over the stall at its load.
const TURN_STALL_MARGIN: f64 = 1.1;

/// One airplane and what follows from its figures.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct AirplaneSheet {
    /// Always `skychalk.airplane-sheet/1`.
    pub schema: &'static str,
    /// Its figures.
    pub airplane: AirplaneEntry,
    /// The load diagram of each category at its greatest mass, in the air of sea level on a standard day.
    pub diagrams: Vec<DiagramOut>,
    /// At its typical mass, full power, on a standard day: one entry a height.
    pub performance: Vec<PerformanceOut>,
}

/// A load diagram. Speeds are calibrated.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct DiagramOut {
    /// Category.
    pub category: String,
    /// Mass it is drawn for.
    pub mass_kg: f64,
    /// The outline, clockwise from rest and back to it: speeds.
    pub speed_kt: Vec<f64>,
    /// Its load factors, as many.
    pub load_factor: Vec<f64>,
    /// Points with names.
    pub marks: Vec<MarkOut>,
    /// Lines of gusts, from one g at rest.
    pub gusts: Vec<GustOut>,
    /// Greatest load factor while rolling.
    pub rolling_limit: f64,
}

/// A point with a name.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct MarkOut {
    /// As people call it.
    pub title: &'static str,
    /// Calibrated airspeed.
    pub speed_kt: f64,
    /// Load factor.
    pub load_factor: f64,
}

/// The end of the line of a gust.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct GustOut {
    /// Which speed it is drawn to.
    pub at: &'static str,
    /// Derived gust velocity, up positive.
    pub gust_mps: f64,
    /// Calibrated airspeed.
    pub speed_kt: f64,
    /// Load factor there.
    pub load_factor: f64,
    /// Whether that lies beyond the limit loads.
    pub beyond_limit: bool,
    /// Whether the wing stalls before.
    pub stalls_first: bool,
}

/// What it does at a height. Speeds are indicated; null where it does not.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct PerformanceOut {
    /// Above mean sea level.
    pub height_ft: f64,
    /// Best rate of climb.
    pub climb_fpm: Option<f64>,
    /// Speed of the best rate of climb.
    pub climb_kt: Option<f64>,
    /// Speed of the best angle of climb.
    pub climb_angle_kt: Option<f64>,
    /// Slowest level flight.
    pub level_slowest_kt: Option<f64>,
    /// Fastest level flight.
    pub level_fastest_kt: Option<f64>,
    /// Best glide in still air.
    pub glide_kt: Option<f64>,
    /// Distance over height in it.
    pub glide_ratio: Option<f64>,
    /// Steepest bank that is sustained level, a tenth over the stall at its load.
    pub turn_bank_deg: Option<f64>,
    /// Speed of it.
    pub turn_kt: Option<f64>,
    /// Radius of it.
    pub turn_radius_m: Option<f64>,
}

impl AirplaneSheet {
    /// The sheet of an airplane.
    #[must_use]
    pub fn new(airplane: &Airplane) -> Self {
        let mut list = AirplaneList::new(std::slice::from_ref(airplane), &[]);
        Self {
            schema: SCHEMA,
            airplane: list.airplanes.remove(0),
            diagrams: airplane.categories.iter().filter_map(|c| diagram(airplane, c)).collect(),
            performance: performance(airplane),
        }
    }
}

fn diagram(airplane: &Airplane, category: &Category) -> Option<DiagramOut> {
    let air = Day::standard().air_at(GeometricHeight::from_m(0.0));
    let drawn: Diagram = airplane.diagram(category, category.mass_max, &air).ok()?;
    Some(DiagramOut {
        category: drawn.category.clone(),
        mass_kg: rounded(drawn.mass.to_kg(), 1),
        speed_kt: drawn.outline.iter().map(|point| place(point).0).collect(),
        load_factor: drawn.outline.iter().map(|point| place(point).1).collect(),
        marks: drawn
            .marks
            .iter()
            .map(|mark| {
                let (speed_kt, load_factor) = place(&mark.point);
                MarkOut { title: mark_title(mark.name), speed_kt, load_factor }
            })
            .collect(),
        gusts: drawn.gusts.iter().map(gust).collect(),
        rolling_limit: rounded(drawn.rolling_limit.to_g(), 3),
    })
}

fn place(point: &Point) -> (f64, f64) {
    (rounded(point.speed.to_kt(), 2), rounded(point.load.to_g(), 3))
}

fn mark_title(name: MarkName) -> &'static str {
    match name {
        MarkName::Stall => "stall",
        MarkName::StallNegative => "stall, upside down",
        MarkName::ManeuveringDesign => "stall meets limit",
        MarkName::ManeuveringStated => "VA",
        MarkName::ManeuveringNegative => "stall meets limit, negative",
        MarkName::NormalMax => "VNO",
        MarkName::NeverExceed => "VNE",
    }
}

fn gust(line: &GustLine) -> GustOut {
    let (speed_kt, load_factor) = place(&line.end);
    GustOut {
        at: match line.at {
            GustAt::Cruise => "cruise",
            GustAt::Dive => "dive",
            GustAt::FlapsExtended => "flaps",
        },
        gust_mps: rounded(line.gust.to_mps(), 2),
        speed_kt,
        load_factor,
        beyond_limit: line.beyond_limit,
        stalls_first: line.stalls_first,
    }
}

fn performance(airplane: &Airplane) -> Vec<PerformanceOut> {
    let day = Day::standard();
    let Ok(able) = Performance::new(airplane, airplane.masses.typical, &day) else {
        return Vec::new();
    };
    HEIGHTS_FT.iter().map(|height_ft| at_height(&able, *height_ft)).collect()
}

fn at_height(able: &Performance<'_>, height_ft: f64) -> PerformanceOut {
    let height = GeometricHeight::from_ft(height_ft);
    let climb = able.climb_best_rate(height).filter(|climb| climb.rate.to_mps() > 0.0);
    let level = able.level_range(height);
    let glide = able.glide_best(height, Speed::ZERO);
    let turn = able.sustained_turn_best(height, TurnMerit::Load, TURN_STALL_MARGIN);
    let kt = |speed: base::kinds::IndicatedAirspeed| rounded(speed.to_kt(), 1);
    PerformanceOut {
        height_ft,
        climb_fpm: climb.map(|climb| rounded(climb.rate.to_fpm(), 0)),
        climb_kt: climb.map(|climb| kt(climb.airspeeds.indicated)),
        climb_angle_kt: climb
            .and_then(|_| able.climb_best_angle(height))
            .map(|climb| kt(climb.airspeeds.indicated)),
        level_slowest_kt: level.map(|level| kt(level.slowest.indicated)),
        level_fastest_kt: level.map(|level| kt(level.fastest.indicated)),
        glide_kt: glide.map(|glide| kt(glide.airspeeds.indicated)),
        glide_ratio: glide.map(|glide| rounded(glide.ratio, 2)),
        turn_bank_deg: turn.map(|turn| rounded(turn.bank.to_deg(), 1)),
        turn_kt: turn.map(|turn| kt(turn.airspeeds.indicated)),
        turn_radius_m: turn.map(|turn| rounded(turn.radius.to_m(), 0)),
    }
}
