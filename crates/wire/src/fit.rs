//! Parts of `skychalk.brief/1` beyond the flight itself: the way out, the series, clearing turns, sun, fit.

use base::factors::{M_PER_NM, RAD_PER_DEG};
use maneuver::brief as engine;
use maneuver::series as flown;
use schemars::JsonSchema;
use serde::Serialize;

use crate::brief::Path;
use crate::number::{degrees, feet, knots, rounded, seconds};

/// The recovery from the point of the figure from which it goes lowest.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct Recovery {
    /// How late it begins, s.
    pub late_s: f64,
    /// Part of the figure, from 1.
    pub part: usize,
    /// Progress of the part at that point.
    pub progress_deg: f64,
    /// Seconds from the start of the flight.
    pub time_s: f64,
    /// Bank there, right positive.
    pub bank_deg: f64,
    /// Pitch there.
    pub pitch_deg: f64,
    /// Indicated airspeed there.
    pub ias_kt: f64,
    /// Height lost from there to the lowest.
    pub lost_ft: f64,
    /// Lowest relative to entry, negative below.
    pub lowest_ft: f64,
    /// Fastest, indicated.
    pub fastest_kt: f64,
    /// From there until the path is level.
    pub seconds: f64,
    /// Whether it comes to level flight at all.
    pub recovers: bool,
}

/// The way out: begun at once, and badly (late).
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct Recoveries {
    /// Begun at once, at half the available load.
    pub prompt: Recovery,
    /// Begun 2 s late, at half the available load.
    pub bad: Recovery,
    /// Begun 2 s late, from where it loses most height, however high that is.
    pub most_lost: Recovery,
}

/// The sides one after the other.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct Series {
    /// The figures in one time and one frame of the ground, the second from where the first ended.
    pub flights: Vec<SeriesFlight>,
    /// What lies between each and the next.
    pub between: Vec<Between>,
    /// Why the second is not flown, when it is not.
    pub stopped: Option<String>,
    /// What the whole takes of the air.
    pub block: Block,
}

/// One figure of a series.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct SeriesFlight {
    /// `left` or `right`.
    pub direction: &'static str,
    /// The flight as columns, in the time and place of the series.
    pub path: Path,
}

/// Level acceleration between two figures.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct Between {
    /// Seconds.
    pub seconds: f64,
    /// Distance through the air.
    pub distance_nm: f64,
    /// True airspeed at its beginning.
    pub tas_from_kt: f64,
    /// True airspeed at its end.
    pub tas_to_kt: f64,
}

/// Height block and box, from the first entry, along and across its heading.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct Block {
    /// Lowest above mean sea level.
    pub low_ft: f64,
    /// Highest above mean sea level.
    pub high_ft: f64,
    /// Least and greatest along the entry heading, over the ground.
    pub along_nm: [f64; 2],
    /// Least and greatest to the right of it.
    pub across_nm: [f64; 2],
    /// Farthest over the ground from the entry point.
    pub farthest_nm: f64,
    /// How far the wind carries the whole, north and east.
    pub drift_nm: [f64; 2],
    /// How long the whole takes.
    pub seconds: f64,
}

/// Clearing turns before a figure.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct Clearing {
    /// Way of the figure, and of the last turn.
    pub direction: &'static str,
    /// In words.
    pub text: String,
    /// Bank held.
    pub bank_deg: f64,
    /// Degrees of each of the two turns, the first the other way.
    pub each_deg: f64,
    /// Seconds of both.
    pub seconds: f64,
    /// Radius through the air.
    pub radius_nm: f64,
}

/// The sun.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct Sun {
    /// From true north.
    pub azimuth_deg: f64,
    /// Above the horizon.
    pub elevation_deg: f64,
    /// References that lie in it, seen from the entry heading of each side; empty without one.
    pub in_the_sun: Vec<String>,
    /// How far its glare reaches along the horizon to either side of its bearing; null when it is too high or below the horizon.
    pub glare_half_deg: Option<f64>,
    /// Whether the wind decides the entry heading; none is then offered.
    pub by_wind: bool,
    /// Stretches of entry headings, from and to, that put no reference in it, each wide enough to hold; empty when none is, when
    /// all headings are clear (`glare_half_deg` is then null), and when the wind decides.
    pub clear_headings_deg: Vec<[f64; 2]>,
    /// The same for each side flown alone; empty where there is one side.
    pub clear_by_side: Vec<ClearSide>,
}

/// Entry headings of one side that put no reference in the sun.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct ClearSide {
    /// `left` or `right`.
    pub direction: &'static str,
    /// Stretches of entry headings, from and to.
    pub clear_headings_deg: Vec<[f64; 2]>,
}

/// Fit beyond the limits.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct Fit {
    /// Entry speeds at which the figure keeps its limits; null when the one chosen does not.
    pub entry_window: Option<EntryWindow>,
    /// As asked, and with one thing a little worse.
    pub sensitivities: Vec<Sensitivity>,
    /// What the brief hangs on, with the doubt of the airplane's figures; empty when its file carries none.
    pub bands: Vec<Banded>,
}

/// A number of the flight, worst over the sides, with the doubt of the airplane's figures.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct Banded {
    /// Stable key.
    pub key: &'static str,
    /// In words.
    pub words: &'static str,
    /// Unit of the values.
    pub unit: &'static str,
    /// As computed.
    pub value: f64,
    /// One standard deviation; null when within one standard deviation of its figures the airplane cannot fly it.
    pub sigma: Option<f64>,
}

/// Entry speeds, indicated.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct EntryWindow {
    /// Slowest.
    pub low_kt: f64,
    /// What goes first below.
    pub low_why: String,
    /// Fastest.
    pub high_kt: f64,
    /// What goes first above.
    pub high_why: String,
    /// The one flown.
    pub used_kt: f64,
}

/// What becomes of the verdict.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct Sensitivity {
    /// What is changed.
    pub change: &'static str,
    /// The verdict then.
    pub verdict: &'static str,
    /// The first reason that the case as asked has not; null when there is none.
    pub reason: Option<String>,
    /// Lowest margin over the stall; null when it is not flown.
    pub stall_margin_kt: Option<f64>,
    /// Highest above entry; null when it is not flown.
    pub height_gain_ft: Option<f64>,
}

impl From<&engine::Recoveries> for Recoveries {
    fn from(both: &engine::Recoveries) -> Self {
        Self {
            prompt: recovery(&both.prompt),
            bad: recovery(&both.bad),
            most_lost: recovery(&both.most_lost),
        }
    }
}

fn recovery(found: &engine::Recovery) -> Recovery {
    let from = &found.from;
    Recovery {
        late_s: rounded(found.late_s, 1),
        part: found.part + 1,
        progress_deg: degrees(from.progress_rad),
        time_s: seconds(from.time_s),
        bank_deg: degrees(from.bank_rad),
        pitch_deg: degrees(from.pitch_rad),
        ias_kt: knots(from.indicated_airspeed_mps),
        lost_ft: feet(found.lost_m),
        lowest_ft: feet(found.lowest_m),
        fastest_kt: rounded(found.fastest_kt, 2),
        seconds: seconds(found.seconds),
        recovers: found.recovers,
    }
}

impl From<&flown::Series> for Series {
    fn from(series: &flown::Series) -> Self {
        let nm = |meters: f64| rounded(meters / M_PER_NM, 3);
        let block = &series.block;
        let between = |b: &flown::Between| Between {
            seconds: seconds(b.seconds),
            distance_nm: nm(b.distance_m),
            tas_from_kt: knots(b.speed_from_mps),
            tas_to_kt: knots(b.speed_to_mps),
        };
        let flight = |flight: &maneuver::ReferenceFlight| SeriesFlight {
            direction: flight.direction.word(),
            path: Path::from(flight.samples.as_slice()),
        };
        Self {
            flights: series.flights.iter().map(flight).collect(),
            between: series.between.iter().map(between).collect(),
            stopped: series.stopped.clone(),
            block: Block {
                low_ft: feet(block.low_m),
                high_ft: feet(block.high_m),
                along_nm: block.along_m.map(nm),
                across_nm: block.across_m.map(nm),
                farthest_nm: nm(block.farthest_m),
                drift_nm: block.drift_m.map(nm),
                seconds: seconds(block.seconds),
            },
        }
    }
}

impl From<&engine::Clearing> for Clearing {
    fn from(turns: &engine::Clearing) -> Self {
        Self {
            direction: turns.direction.word(),
            text: turns.words(),
            bank_deg: rounded(turns.bank_deg, 1),
            each_deg: rounded(turns.each_deg, 1),
            seconds: seconds(turns.seconds),
            radius_nm: rounded(turns.radius_m / M_PER_NM, 3),
        }
    }
}

fn clear_side((direction, headings): &(maneuver::Direction, Vec<[f64; 2]>)) -> ClearSide {
    ClearSide { direction: direction.word(), clear_headings_deg: headings.clone() }
}

impl From<&engine::SunSeen> for Sun {
    fn from(seen: &engine::SunSeen) -> Self {
        Self {
            azimuth_deg: rounded(seen.sun.azimuth_rad / RAD_PER_DEG, 1),
            elevation_deg: rounded(seen.sun.elevation_rad / RAD_PER_DEG, 1),
            in_the_sun: seen.in_the_sun.clone(),
            by_wind: seen.by_wind,
            glare_half_deg: seen.glare_half_deg.map(|half| rounded(half, 1)),
            clear_headings_deg: seen.clear_headings_deg.clone(),
            clear_by_side: seen.clear_by_side_deg.iter().map(clear_side).collect(),
        }
    }
}

impl From<&engine::Fit> for Fit {
    fn from(fit: &engine::Fit) -> Self {
        let window = |w: &engine::EntryWindow| EntryWindow {
            low_kt: rounded(w.low_kt, 1),
            low_why: w.low_why.clone(),
            high_kt: rounded(w.high_kt, 1),
            high_why: w.high_why.clone(),
            used_kt: rounded(w.used_kt, 1),
        };
        let one = |s: &engine::Sensitivity| Sensitivity {
            change: s.change,
            verdict: s.verdict.words(),
            reason: (!s.reason.is_empty()).then(|| s.reason.clone()),
            stall_margin_kt: s.margin_kt.map(|kt| rounded(kt, 2)),
            height_gain_ft: s.gain_ft.map(|ft| rounded(ft, 1)),
        };
        let banded = |b: &engine::Banded| Banded {
            key: b.key,
            words: b.words,
            unit: b.unit,
            value: rounded(b.value, 2),
            sigma: b.sigma.is_finite().then(|| rounded(b.sigma, 2)),
        };
        Self {
            entry_window: fit.window.as_ref().map(window),
            sensitivities: fit.sensitivities.iter().map(one).collect(),
            bands: fit.bands.iter().map(banded).collect(),
        }
    }
}
