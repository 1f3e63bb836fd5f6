//! The motion over an attempt.

use crate::number::{EstimateColumn, rounded, seconds};
use assess::attempt as engine;
use base::factors::{M_PER_FT, MPS_PER_KT, RAD_PER_DEG};
use maneuver::Direction;
use motion::{Column, Motion};
use schemars::JsonSchema;
use serde::Serialize;

/// The motion over an attempt, as columns of the length of `time_s`; a column the recording cannot support is null.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct Track {
    /// Seconds from the first sample.
    pub time_s: Vec<f64>,
    /// Degrees of heading turned since the start of the part being flown, positive in its direction.
    pub turn_deg: Option<EstimateColumn>,
    /// Over the ground, from the origin of the reconstruction, north.
    pub north_m: Option<EstimateColumn>,
    /// Over the ground, from the origin of the reconstruction, east.
    pub east_m: Option<EstimateColumn>,
    /// Height.
    pub height_ft: Option<EstimateColumn>,
    /// Bank, right positive.
    pub bank_deg: Option<EstimateColumn>,
    /// Pitch, up positive.
    pub pitch_deg: Option<EstimateColumn>,
    /// Heading from true north; does not jump at north.
    pub heading_deg: Option<EstimateColumn>,
    /// Calibrated airspeed.
    pub cas_kt: Option<EstimateColumn>,
    /// Lift over weight.
    pub load_factor: Option<EstimateColumn>,
}

pub(super) fn track(attempt: &engine::Attempt, motion: &Motion) -> Track {
    let first = motion.time_s.partition_point(|&t| t < attempt.start_s);
    let after = motion.time_s.partition_point(|&t| t <= attempt.end_s).max(first);
    let cut = |column: &Option<Column>, scale: f64| {
        column.as_ref().map(|column| EstimateColumn {
            value: column.value[first..after].iter().map(|v| rounded(v / scale, 3)).collect(),
            sigma: column.sigma[first..after].iter().map(|v| rounded(v / scale, 4)).collect(),
        })
    };
    Track {
        time_s: motion.time_s[first..after].iter().map(|&t| seconds(t)).collect(),
        turn_deg: turned(attempt, motion, first..after),
        north_m: cut(&motion.north_m, 1.0),
        east_m: cut(&motion.east_m, 1.0),
        height_ft: cut(&motion.height_m, M_PER_FT),
        bank_deg: cut(&motion.bank_rad, RAD_PER_DEG),
        pitch_deg: cut(&motion.pitch_rad, RAD_PER_DEG),
        heading_deg: cut(&motion.heading_rad, RAD_PER_DEG),
        cas_kt: cut(&motion.calibrated_airspeed_mps, MPS_PER_KT),
        load_factor: cut(&motion.load_factor, 1.0),
    }
}

/// Heading turned since the start of the part being flown. The heading at the start is taken as known: the band of the
/// column is that of the heading alone.
fn turned(
    attempt: &engine::Attempt,
    motion: &Motion,
    window: std::ops::Range<usize>,
) -> Option<EstimateColumn> {
    let heading = motion.heading_rad.as_ref()?;
    let mut value = Vec::with_capacity(window.len());
    for index in window.clone() {
        let time_s = motion.time_s[index];
        let part = attempt.parts.iter().rev().find(|part| part.start_s <= time_s);
        let part = part.or(attempt.parts.first())?;
        let (start, _) = heading.at(motion.place_at(part.start_s)?);
        let turn_rad = part.direction.map_or(1.0, Direction::sign) * (heading.value[index] - start);
        value.push(rounded(turn_rad / RAD_PER_DEG, 3));
    }
    let sigma = heading.sigma[window].iter().map(|s| rounded(s / RAD_PER_DEG, 4)).collect();
    Some(EstimateColumn { value, sigma })
}
