//! The motion on an even time grid in the units people read: what finding and measuring walk over.
//!
//! Needs bank, heading, path angle, height and airspeed; without one of them nothing can be found, and a note says so. Linear in the
//! length of the recording.

mod heard;
mod travel;

use base::factors::{M_PER_FT, MPS_PER_KT, RAD_PER_DEG};
use base::math::wrap_pi;
use base::numerics::statistics::median;
use motion::{Column, Motion};
use recording::{QuantityKind, Recording, Series};

/// Step of the grid, s.
pub(crate) const STEP_S: f64 = 0.25;
/// A hole longer than this has no turn in it that could be relied on.
const HOLE_S: f64 = 8.0;

/// A longer recording has wrong times; its grid would fill the memory.
const LONGEST_S: f64 = 10.0 * 86_400.0;
/// Nobody lands and takes off again within this time, s.
const GROUND_STAY_S: f64 = 20.0;

/// A sensor is mounted level to some seven tenths of a degree, and feels that much of the load (common practice, no source).
pub(crate) const MOUNTED_G: f64 = 0.012;

/// Values and their sigmas on the grid.
#[derive(Debug, Clone, Default)]
pub(crate) struct Line {
    pub(crate) value: Vec<f64>,
    pub(crate) sigma: Vec<f64>,
}

/// Sideslip and the error of the wind stay in part from the start of a figure to its end: errors of changes of heading have that
/// much less variance than two headings on their own (found on invented lessons: 0.35 to 0.4).
const HEADING_ERROR_SHARED: f64 = 0.35;

/// A recorded attitude on the grid.
#[derive(Debug, Clone, Default)]
pub(crate) struct Recorded {
    pub(crate) bank_deg: Vec<f64>,
    pub(crate) pitch_deg: Vec<f64>,
}

/// The motion on the grid.
#[derive(Debug, Clone, Default)]
pub(crate) struct Trace {
    pub(crate) time_s: Vec<f64>,
    pub(crate) bank_deg: Line,
    /// Unwrapped.
    pub(crate) heading_deg: Line,
    pub(crate) path_deg: Line,
    pub(crate) height_ft: Line,
    pub(crate) height_errors: motion::HeightErrors,
    /// How much of the error of a heading the headings of one figure share.
    pub(crate) heading_shared: f64,
    pub(crate) cas_kt: Line,
    pub(crate) tas_kt: Option<Line>,
    /// Specific force to the right over gravity (the ball), where a sensor shows it.
    pub(crate) lateral_load_g: Option<Line>,
    /// Wind from the right positive, where a sensor shows it.
    pub(crate) sideslip_deg: Option<Line>,
    /// Over the ground.
    pub(crate) north_m: Option<Line>,
    pub(crate) east_m: Option<Line>,
    pub(crate) pitch_deg: Option<Line>,
    pub(crate) pitch_change_deg: Option<Line>,
    pub(crate) load_factor: Option<Line>,
    /// Rolled since the beginning, counted on through the inverted, right positive; pitched likewise, nose up positive; both in
    /// one count, rolls either way positive.
    pub(crate) rolled_deg: Line,
    pub(crate) pitched_deg: Line,
    pub(crate) pitched_and_rolled_deg: Line,
    pub(crate) roll_rate_dps: Option<Line>,
    pub(crate) pitch_rate_dps: Option<Line>,
    /// Velocity of the air over the ground, north and east, m/s.
    pub(crate) wind_mps: Option<[Vec<f64>; 2]>,
    /// Revolutions a minute, where recorded.
    pub(crate) engine_rpm: Option<Vec<f64>>,
    /// The ball as it was recorded, where it was, g to the right, less what it shows in the mean of the flight.
    pub(crate) ball_heard_g: Option<Vec<f64>>,
    /// Attitude as it was recorded, where it was: what goes faster than a reconstruction of the path can follow shows there.
    pub(crate) recorded: Option<Recorded>,
    /// In the air, and not in a long hole of the recording.
    pub(crate) usable: Vec<bool>,
}

impl Trace {
    /// The motion on the grid.
    ///
    /// # Errors
    /// Why maneuvers cannot be found, in one sentence.
    pub(crate) fn new(motion: &Motion) -> Result<Self, String> {
        let missing = |what: &str| {
            format!("no {what} could be had from this recording: maneuvers cannot be found")
        };
        let bank = motion.bank_rad.as_ref().ok_or_else(|| missing("bank"))?;
        let heading = motion.heading_rad.as_ref().ok_or_else(|| missing("heading"))?;
        let path = motion.path_angle_rad.as_ref().ok_or_else(|| missing("path angle"))?;
        let height = motion.height_m.as_ref().ok_or_else(|| missing("height"))?;
        let cas = motion.calibrated_airspeed_mps.as_ref().ok_or_else(|| missing("airspeed"))?;
        let span_s = motion
            .time_s
            .last()
            .zip(motion.time_s.first())
            .map_or(0.0, |(last, first)| last - first);
        if span_s > LONGEST_S {
            return Err(
                "the recording spans more than ten days: split it, or check its times".into()
            );
        }
        let places = Places::new(motion);
        let angle = |column: &Column| places.line(column, 1.0 / RAD_PER_DEG);
        let (bank_deg, heading_deg) = (places.bank(bank), angle(heading));
        let (path_deg, pitch_deg) = (angle(path), motion.pitch_rad.as_ref().map(angle));
        let travel =
            travel::travel(&heading_deg, pitch_deg.as_ref().unwrap_or(&path_deg), &bank_deg);
        Ok(Self {
            rolled_deg: travel.rolled,
            pitched_deg: travel.pitched,
            pitched_and_rolled_deg: travel.both,
            bank_deg,
            heading_deg,
            path_deg,
            height_ft: places.line(height, 1.0 / M_PER_FT),
            height_errors: motion.height_errors,
            // Without a track the sigma of a heading is that of a change already.
            heading_shared: motion.track_rad.as_ref().map_or(0.0, |_| HEADING_ERROR_SHARED),
            cas_kt: places.line(cas, 1.0 / MPS_PER_KT),
            tas_kt: motion
                .true_airspeed_mps
                .as_ref()
                .map(|column| places.line(column, 1.0 / MPS_PER_KT)),
            lateral_load_g: motion.lateral_load.as_ref().map(|column| places.line(column, 1.0)),
            sideslip_deg: motion.sideslip_rad.as_ref().map(angle),
            north_m: motion.north_m.as_ref().map(|column| places.line(column, 1.0)),
            east_m: motion.east_m.as_ref().map(|column| places.line(column, 1.0)),
            pitch_deg,
            pitch_change_deg: motion
                .pitch_relative_rad
                .as_ref()
                .or(motion.pitch_rad.as_ref())
                .map(angle),
            wind_mps: places.wind(motion),
            engine_rpm: None,
            recorded: None,
            ball_heard_g: None,
            load_factor: motion.load_factor.as_ref().map(|column| places.line(column, 1.0)),
            roll_rate_dps: motion.roll_rate_radps.as_ref().map(angle),
            pitch_rate_dps: motion.pitch_rate_radps.as_ref().map(angle),
            usable: places.usable(motion),
            time_s: places.time_s,
        })
    }
    /// Takes in what the recording shows and a motion does not hold: engine, attitude as recorded. Progress in roll and pitch is
    /// counted by the recorded attitude from here on, where there is one.
    pub(crate) fn hear(&mut self, recording: &Recording) {
        let grid = |series: &Series, angle: bool| heard::on_grid(series, &self.time_s, angle);
        let of = |kind: QuantityKind, angle: bool| grid(recording.series_of(kind)?, angle);
        self.engine_rpm = of(QuantityKind::EngineSpeedRpm, false);
        self.ball_heard_g = of(QuantityKind::LateralLoadG, false).map(|ball| self.leveled(ball));
        let heading = [QuantityKind::TrueHeadingDeg, QuantityKind::MagneticHeadingDeg]
            .into_iter()
            .find_map(|kind| recording.series_of(kind));
        let [pitch, bank] =
            [QuantityKind::PitchDeg, QuantityKind::BankDeg].map(|kind| recording.series_of(kind));
        let alone = || {
            let bank_deg = of(QuantityKind::BankDeg, true)?;
            let pitch_deg = of(QuantityKind::PitchDeg, false)?;
            let heading_deg = heading.and_then(|series| grid(series, true));
            Some([
                heading_deg.unwrap_or_else(|| self.heading_deg.value.clone()),
                pitch_deg,
                bank_deg,
            ])
        };
        let together = match (heading, pitch, bank) {
            (Some(heading), Some(pitch), Some(bank)) => {
                heard::turned_on_grid([heading, pitch, bank], &self.time_s)
            }
            _ => None,
        };
        let attitude = alone().map(|alone| together.unwrap_or(alone));
        let (heading, recorded) = match attitude {
            Some([heading, pitch_deg, bank_deg]) => {
                (heading, Some(Recorded { bank_deg, pitch_deg }))
            }
            None => (Vec::new(), None),
        };
        self.recorded = recorded;
        if let Some(recorded) = &self.recorded {
            let line = |value: &[f64], sigma: &Line| Line {
                value: value.to_vec(),
                sigma: sigma.sigma.clone(),
            };
            let bank = line(&recorded.bank_deg, &self.bank_deg);
            let pitch = line(&recorded.pitch_deg, &self.path_deg);
            let travel = travel::travel(&line(&heading, &self.heading_deg), &pitch, &bank);
            self.rolled_deg = travel.rolled;
            self.pitched_deg = travel.pitched;
            self.pitched_and_rolled_deg = travel.both;
        }
    }
    /// A recorded ball less what it shows in the middle of the time in the air, as far as a mounting explains that.
    fn leveled(&self, mut ball_g: Vec<f64>) -> Vec<f64> {
        let flown: Vec<f64> = ball_g
            .iter()
            .zip(&self.usable)
            .filter(|(_, usable)| **usable)
            .map(|(g, _)| *g)
            .collect();
        let off_g = median(&flown).unwrap_or(0.0).clamp(-MOUNTED_G, MOUNTED_G);
        ball_g.iter_mut().for_each(|g| *g -= off_g);
        ball_g
    }
    /// Number of grid points.
    pub(crate) fn len(&self) -> usize {
        self.time_s.len()
    }
}

/// Places of the grid on the time grid of the motion.
struct Places {
    time_s: Vec<f64>,
    index: Vec<usize>,
    fraction: Vec<f64>,
}

impl Places {
    fn new(motion: &Motion) -> Self {
        let (first, last) = (motion.time_s.first(), motion.time_s.last());
        let span_s = first.zip(last).map_or(0.0, |(first, last)| last - first);
        let n = if motion.time_s.len() < 2 { 0 } else { (span_s / STEP_S) as usize + 1 };
        let start_s = first.copied().unwrap_or(0.0);
        let time_s: Vec<f64> = (0..n).map(|i| start_s + STEP_S * i as f64).collect();
        let (mut index, mut fraction) = (Vec::with_capacity(n), Vec::with_capacity(n));
        let mut k = 0;
        for &t in &time_s {
            while k + 2 < motion.time_s.len() && motion.time_s[k + 1] <= t {
                k += 1;
            }
            index.push(k);
            fraction.push((t - motion.time_s[k]) / (motion.time_s[k + 1] - motion.time_s[k]));
        }
        Self { time_s, index, fraction }
    }
    /// Bank in degrees, taken the short way round between samples on both sides of inverted.
    fn bank(&self, column: &Column) -> Line {
        let mut line = self.line(column, 1.0 / RAD_PER_DEG);
        for (i, value) in line.value.iter_mut().enumerate() {
            let (k, part) = (self.index[i], self.fraction[i]);
            let apart = column.value[k + 1] - column.value[k];
            if apart.abs() > std::f64::consts::PI {
                let between = column.value[k] + part * wrap_pi(apart);
                *value = wrap_pi(between) / RAD_PER_DEG;
            }
        }
        line
    }
    fn line(&self, column: &Column, scale: f64) -> Line {
        let mix = |values: &[f64], i: usize| {
            let (k, part) = (self.index[i], self.fraction[i]);
            (values[k] * (1.0 - part) + values[k + 1] * part) * scale
        };
        let n = self.time_s.len();
        Line {
            value: (0..n).map(|i| mix(&column.value, i)).collect(),
            sigma: (0..n).map(|i| mix(&column.sigma, i)).collect(),
        }
    }
    fn wind(&self, motion: &Motion) -> Option<[Vec<f64>; 2]> {
        let values = |column: &Option<Column>| Some(self.line(column.as_ref()?, 1.0).value);
        Some([values(&motion.wind_north_mps)?, values(&motion.wind_east_mps)?])
    }
    fn usable(&self, motion: &Motion) -> Vec<bool> {
        let mut usable: Vec<bool> =
            self.index.iter().map(|&k| motion.airborne.get(k).copied().unwrap_or(true)).collect();
        bridge(&mut usable, (GROUND_STAY_S / STEP_S) as usize);
        for gap in motion.gaps.iter().filter(|gap| gap.to_s - gap.from_s > HOLE_S) {
            let first = self.time_s.partition_point(|&t| t <= gap.from_s);
            let after = self.time_s.partition_point(|&t| t < gap.to_s);
            if first < after {
                usable[first..after].fill(false);
            }
        }
        usable
    }
}

/// Slow over the ground for less than `longest` points between two stretches of flight is flight: circling in wind.
fn bridge(usable: &mut [bool], longest: usize) {
    let mut last = None;
    for i in 0..usable.len() {
        if usable[i] {
            if let Some(last) = last.filter(|last| i - last <= longest) {
                usable[last..i].fill(true);
            }
            last = Some(i);
        }
    }
}

/// Greatest less least.
pub(crate) fn spread(values: &[f64]) -> f64 {
    let most = |sign: f64| values.iter().map(|v| sign * v).fold(f64::NEG_INFINITY, f64::max);
    most(1.0) + most(-1.0)
}

/// Mean over a window of `half` points to each side, by running sums.
pub(crate) fn smooth(values: &[f64], half: usize) -> Vec<f64> {
    let mut sums = Vec::with_capacity(values.len() + 1);
    sums.push(0.0);
    for value in values {
        sums.push(sums[sums.len() - 1] + value);
    }
    let n = values.len();
    let window = |i: usize| {
        let (from, to) = (i.saturating_sub(half), (i + half + 1).min(n));
        (sums[to] - sums[from]) / (to - from) as f64
    };
    (0..n).map(window).collect()
}
