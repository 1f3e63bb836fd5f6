//! One part of an attempt as everything that measures looks at it: the stretch of the trace, turn counted from its start,
//! values relative to its entry, each with its uncertainty.

pub(crate) use crate::attempt::BANK_HELD_SHARES as MIDDLE;
use crate::attempt::Estimate;
use crate::find::{FoundPart, Phases};
use crate::trace::{Line, STEP_S, Trace};
use base::factors::RAD_PER_DEG;
use base::math::{cos, exp, hypot};
use flight::airplane::Airplane;
use maneuver::Direction;
use maneuver::definition::Progress;

/// With a recorded airspeed most of its error is the same at both ends of a maneuver.
const AIRSPEED_ERROR_SHARED: f64 = 0.5;
/// The mass of the day is not known: a twelfth of it, half of that in the stall speed.
pub(crate) const STALL_MASS_SHARE: f64 = 1.0 / 24.0;
/// When a figure begins and ends is found no better than this, s: hands move softly, and a smoother smears what they do.
const PLACED_S: f64 = 0.7;
/// Over so long to each side the course of a quantity is taken for its slope at begin and end, s.
const SLOPE_S: f64 = 0.75;
/// Share of the variance of the bank that all places of a part have in common, and how long the rest is remembered, s. Found on invented
/// lessons in the middle of the part: three quarters in steep turns from satellites, a third to a half elsewhere; the greater is taken.
pub(crate) const BANK_SHARED: f64 = 0.75;
pub(crate) const BANK_MEMORY_S: f64 = 1.5;
/// Once around, degrees.
const AROUND_DEG: f64 = 360.0;
/// Heading is read this long after the wings are level.
const HEADING_READ_S: f64 = 1.0;

/// A part with what is needed to read it.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Part<'a> {
    pub(crate) trace: &'a Trace,
    /// Catalogue key.
    pub(crate) maneuver: &'static str,
    /// Form key.
    pub(crate) form: &'static str,
    /// Degrees of [`Part::progress`] of one part of the figure; full turns are counted as many times as they were flown around.
    pub(crate) turn_wanted_deg: f64,
    /// `None` where the figure goes neither way.
    pub(crate) direction: Option<Direction>,
    /// What it is counted in; figures over the ground are counted in turn.
    pub(crate) progress: Progress,
    phases: Phases,
    /// Indices into the trace.
    pub(crate) start: usize,
    pub(crate) end: usize,
    pub(crate) level: usize,
    /// Whether airspeed was recorded, not estimated from track and wind.
    pub(crate) airspeed_recorded: bool,
    pub(crate) airplane: Option<&'a Airplane>,
}

/// A recording that ends so soon after a figure may have been cut within it: roll-out and what follows take longer (our judgement).
const CUT_S: f64 = 2.0;
/// What is said of it.
pub(crate) const CUT: &str = "the recording ends here: how the figure was ended is not in it";

impl<'a> Part<'a> {
    pub(crate) fn new(
        trace: &'a Trace,
        found: &FoundPart,
        (maneuver, turn_wanted_deg): (&'static str, f64),
        airspeed_recorded: bool,
        airplane: Option<&'a Airplane>,
    ) -> Self {
        let FoundPart { direction, progress, start, end, level, phases } = *found;
        let mut part = Self {
            trace,
            maneuver,
            form: "",
            turn_wanted_deg,
            direction,
            progress,
            phases,
            start,
            end,
            level,
            airspeed_recorded,
            airplane,
        };
        // A figure of full turns may be flown around once or more.
        if progress == Progress::Turn && turn_wanted_deg >= AROUND_DEG {
            let around = (part.turn_at(part.heading_read()) / AROUND_DEG).round().max(1.0);
            part.turn_wanted_deg = around * AROUND_DEG;
        }
        part
    }
    pub(crate) fn time_s(&self, index: usize) -> f64 {
        self.trace.time_s[index]
    }
    /// Whether the recording ends with the figure: how it was ended is not in it.
    pub(crate) fn is_cut(&self) -> bool {
        let last_s = self.trace.time_s.last().copied().unwrap_or(f64::INFINITY);
        last_s - self.time_s(self.end) < CUT_S
    }
    /// +1 to the right or where it goes neither way, -1 to the left.
    pub(crate) fn sign(&self) -> f64 {
        self.direction.map_or(1.0, Direction::sign)
    }
    /// Whether it is counted in degrees of heading turned.
    pub(crate) fn turns(&self) -> bool {
        self.progress == Progress::Turn
    }
    /// Progress since the start, degrees of [`Part::progress`].
    pub(crate) fn progress_at(&self, index: usize) -> f64 {
        let since = |line: &Line| line.value[index] - line.value[self.start];
        let trace = self.trace;
        match self.progress {
            Progress::Turn | Progress::Position => self.turn_at(index),
            Progress::Pitch => since(&trace.pitched_deg),
            Progress::Roll => self.sign() * since(&trace.rolled_deg),
            Progress::PitchAndRoll => since(&trace.pitched_and_rolled_deg),
            Progress::Phase => self.phases.at(index),
        }
    }
    /// Degrees turned since the start, the way of the part positive.
    pub(crate) fn turn_at(&self, index: usize) -> f64 {
        let heading = &self.trace.heading_deg.value;
        self.sign() * (heading[index] - heading[self.start])
    }
    fn heading_read(&self) -> usize {
        (self.level + (HEADING_READ_S / STEP_S) as usize).min(self.trace.len() - 1)
    }
    /// Degrees turned from the start to wings level.
    pub(crate) fn turned(&self) -> Estimate {
        let at = self.heading_read();
        Estimate { value: self.turn_at(at), sigma: self.turn_sigma(at) }
    }
    /// Sigma of the progress made until a place, degrees. Phases are placed as their marks are: to a tenth of one.
    fn progress_sigma(&self, index: usize) -> f64 {
        const PHASE_SIGMA: f64 = 10.0;
        let of = |line: &Line| hypot(line.sigma[self.start], line.sigma[index]);
        let trace = self.trace;
        match self.progress {
            Progress::Turn | Progress::Position => self.turn_sigma(index),
            Progress::Pitch => of(&trace.pitched_deg),
            Progress::Roll => of(&trace.rolled_deg),
            Progress::PitchAndRoll => of(&trace.pitched_and_rolled_deg),
            Progress::Phase => PHASE_SIGMA,
        }
    }
    /// Sigma of the degrees turned until a place.
    fn turn_sigma(&self, index: usize) -> f64 {
        self.sigma_of_heading_change(self.start, index)
    }
    /// Sigma of the heading at one place less that at another, degrees. An error of the wind turns a heading found from the track the
    /// same way again after a full circle, and the other way after half of one.
    pub(crate) fn sigma_of_heading_change(&self, from: usize, to: usize) -> f64 {
        /// Found on invented lessons.
        const OF_WIND: f64 = 0.1;
        let (heading, sigma) = (&self.trace.heading_deg.value, &self.trace.heading_deg.sigma);
        let (first, here) = (sigma[from], sigma[to]);
        let mut shared = self.trace.heading_shared;
        if shared > 0.0 {
            shared += OF_WIND * cos((heading[to] - heading[from]) * RAD_PER_DEG);
        }
        let variance = first * first + here * here;
        (variance - 2.0 * shared * first * here).max(0.0).sqrt()
    }
    /// Indices from start to end.
    pub(crate) fn all(&self) -> std::ops::RangeInclusive<usize> {
        self.start..=self.end.max(self.start)
    }
    /// Indices between two shares of the turn flown, or of the progress made where it is not counted in turn.
    pub(crate) fn between(&self, low: f64, high: f64) -> Vec<usize> {
        let all = if self.turns() { self.turned().value } else { self.progress_at(self.end) };
        let made = all.max(1.0);
        self.all().filter(|&i| (low..=high).contains(&(self.progress_at(i) / made))).collect()
    }
    /// Indices between two numbers of degrees turned.
    pub(crate) fn between_deg(&self, low: f64, high: f64) -> Vec<usize> {
        self.all().filter(|&i| (low..=high).contains(&self.turn_at(i))).collect()
    }
    /// Absolute bank, into the turn positive; without sign where the figure goes neither way.
    pub(crate) fn bank(&self, index: usize) -> Estimate {
        let line = &self.trace.bank_deg;
        let bank = line.value[index];
        let value = self.direction.map_or(bank.abs(), |direction| direction.sign() * bank);
        Estimate { value, sigma: line.sigma[index] }
    }
    /// Height change since the start, ft.
    pub(crate) fn height_change(&self, index: usize) -> Estimate {
        let line = &self.trace.height_ft;
        let apart_s = self.time_s(index) - self.time_s(self.start);
        let value = line.value[index] - line.value[self.start];
        let sigmas = (line.sigma[self.start], line.sigma[index]);
        let sigma = self.trace.height_errors.sigma_of_change(sigmas, apart_s, value);
        Estimate { value, sigma: hypot(sigma, self.by_begin(line)) }
    }
    /// What a begin found a little early or late does to changes since the begin.
    fn by_begin(&self, line: &Line) -> f64 {
        PLACED_S * slope(&line.value, self.start).abs()
    }
    /// What a place found a little early or late does to the height there, ft.
    pub(crate) fn height_slope(&self, index: usize) -> f64 {
        PLACED_S * slope(&self.trace.height_ft.value, index).abs()
    }
    /// A quantity at the end of the part. The end is found a little early or late, so what the quantity does there adds to its
    /// uncertainty.
    pub(crate) fn at_end(&self, of: impl Fn(usize) -> Estimate) -> Estimate {
        let here = of(self.end);
        let half = (SLOPE_S / STEP_S) as usize;
        let (from, to) =
            (self.end.saturating_sub(half), (self.end + half).min(self.trace.len() - 1));
        let apart_s = STEP_S * (to - from).max(1) as f64;
        let slope = (of(to).value - of(from).value) / apart_s;
        let by_end = if slope.is_finite() { PLACED_S * slope } else { 0.0 };
        Estimate { value: here.value, sigma: hypot(here.sigma, by_end) }
    }
    /// Change of pitch since the start, degrees.
    pub(crate) fn pitch_change(&self, index: usize) -> Option<Estimate> {
        let line = self.trace.pitch_change_deg.as_ref()?;
        Some(self.change(line, index, 0.0))
    }
    /// Change of indicated airspeed since the start, kt.
    pub(crate) fn airspeed_change(&self, index: usize) -> Estimate {
        let shared = if self.airspeed_recorded {
            AIRSPEED_ERROR_SHARED
        } else {
            self.airspeed_error_shared(index)
        };
        let change = self.change(&self.trace.cas_kt, index, shared);
        let indicated = |i: usize| self.indicated_kt(self.trace.cas_kt.value[i]);
        let sigma = hypot(change.sigma, self.by_begin(&self.trace.cas_kt));
        Estimate { value: indicated(index) - indicated(self.start), sigma }
    }
    /// How much of the error of an airspeed that was found from the track is still that at the begin. The wind that was found is off by
    /// much the same all along: heading the same way again its error is the same again, heading back it has changed its sign. What
    /// the air and the smoothing do is in part the same for a minute, in part forgotten after seconds (shares of the variance, found
    /// on invented lessons: steep turns, chandelles, lazy eights, wing-overs).
    fn airspeed_error_shared(&self, index: usize) -> f64 {
        const KEPT: f64 = 0.53;
        const OF_WIND: f64 = 0.2;
        const MEMORY_S: f64 = 3.0;
        let forgotten = (self.time_s(index) - self.time_s(self.start)).abs() / MEMORY_S;
        let turned_rad = self.turn_at(index) * RAD_PER_DEG;
        KEPT + OF_WIND * cos(turned_rad) + (1.0 - KEPT - OF_WIND) * exp(-forgotten)
    }
    /// What the indicator shows, through the position-error table where the airplane is known.
    fn indicated_kt(&self, cas_kt: f64) -> f64 {
        let calibrated = base::kinds::CalibratedAirspeed::try_from_kt(cas_kt);
        match (self.airplane, calibrated) {
            (Some(airplane), Some(calibrated)) => airplane.indicated(calibrated).to_kt(),
            _ => cas_kt,
        }
    }
    fn change(&self, line: &Line, index: usize, shared: f64) -> Estimate {
        let (first, here) = (line.sigma[self.start], line.sigma[index]);
        let variance = first * first + here * here - 2.0 * shared * first * here;
        // Close to the start the errors are nearly the same; a tenth of one always remains.
        let least = 0.1 * here;
        Estimate {
            value: line.value[index] - line.value[self.start],
            sigma: variance.max(least * least).sqrt(),
        }
    }
    /// Where so much progress is reached: the grid point before and the share of the step to the next.
    pub(crate) fn reached(&self, progress_deg: f64) -> Option<(usize, f64)> {
        if progress_deg <= 0.0 {
            return Some((self.start, 0.0));
        }
        let last = self.last_turning();
        let after = (self.start + 1..=last).find(|&i| self.progress_at(i) >= progress_deg)?;
        let (low, high) = (self.progress_at(after - 1), self.progress_at(after));
        let share = if high > low { (progress_deg - low) / (high - low) } else { 1.0 };
        Some((after - 1, share.clamp(0.0, 1.0)))
    }
    /// A quantity at a number of degrees of turn; `None` where the part is not counted in turn. See [`Part::at_progress`].
    pub(crate) fn at_turn(
        &self,
        turn_deg: f64,
        of: impl Fn(usize) -> Estimate,
    ) -> Option<Estimate> {
        if self.turns() { self.at_progress(turn_deg, of) } else { None }
    }
    /// A quantity at a progress, and its uncertainty. Where that is reached is known as well as the progress is: the value is the mean over the places where it may be, and what differs between them adds to the uncertainty. Near wings
    /// level, where hardly anything is turned any more, that is a second or two either way.
    pub(crate) fn at_progress(
        &self,
        progress_deg: f64,
        of: impl Fn(usize) -> Estimate,
    ) -> Option<Estimate> {
        let (index, share) = self.reached(progress_deg)?;
        let mix = |index: usize, share: f64| {
            let (here, there) = (of(index), of((index + 1).min(self.trace.len() - 1)));
            Estimate {
                value: here.value * (1.0 - share) + there.value * share,
                sigma: here.sigma * (1.0 - share) + there.sigma * share,
            }
        };
        let there = mix(index, share);
        if progress_deg <= 0.0 {
            return Some(there);
        }
        let (mut weights, mut value, mut square) = (0.0, 0.0, 0.0);
        for (index, share, weight) in self.places_about(progress_deg, self.progress_sigma(index)) {
            let one = mix(index, share).value - there.value;
            weights += weight;
            value += weight * one;
            square += weight * one * one;
        }
        if weights <= 0.0 {
            return Some(there);
        }
        let mean = value / weights;
        let from_place = (square / weights - mean * mean).max(0.0).sqrt();
        Some(Estimate { value: there.value + mean, sigma: hypot(there.sigma, from_place) })
    }
    /// Where so much progress may be reached: grid point before, share of the step to the next, and weight: the
    /// progress made there by the density of its error. What goes back and again counts once.
    fn places_about(&self, progress_deg: f64, sigma_deg: f64) -> Vec<(usize, f64, f64)> {
        const CUTS: usize = 8;
        let last = self.last_turning();
        let mut places = Vec::new();
        let mut most = self.progress_at(self.start);
        for i in self.start..last {
            let (low, high) = (self.progress_at(i), self.progress_at(i + 1));
            for cut in 0..CUTS {
                let share = (cut as f64 + 0.5) / CUTS as f64;
                let until = low + (high - low) * (cut as f64 + 1.0) / CUTS as f64;
                let turned = until - most;
                if turned <= 0.0 {
                    continue;
                }
                let z = (most + 0.5 * turned - progress_deg) / sigma_deg;
                most = until;
                if z.abs() < 4.0 {
                    places.push((i, share, turned * exp(-0.5 * z * z)));
                }
            }
        }
        places
    }
    pub(crate) fn last_turning(&self) -> usize {
        if !self.turns() {
            return self.end;
        }
        self.heading_read().max(self.end).min(self.trace.len() - 1)
    }
    /// Mean over places. Errors of neighbors are much the same: the mean is known no better than one of them.
    pub(crate) fn mean(places: &[usize], of: impl Fn(usize) -> Estimate) -> Option<Estimate> {
        Self::mean_of(places, of, 1.0)
    }
    /// Mean bank over neighboring places: what they share of their error (a slip, a wind) stays, what is forgotten becomes less.
    pub(crate) fn mean_bank(&self, places: &[usize]) -> Option<Estimate> {
        let (first, last) = (*places.first()?, *places.last()?);
        let long_s = (self.time_s(last) - self.time_s(first)).max(BANK_MEMORY_S);
        let left = BANK_SHARED + (1.0 - BANK_SHARED) * (2.0 * BANK_MEMORY_S / long_s).min(1.0);
        Self::mean_of(places, |i| self.bank(i), left)
    }
    /// Mean over places, with so much of the variance of one of them left.
    fn mean_of(places: &[usize], of: impl Fn(usize) -> Estimate, left: f64) -> Option<Estimate> {
        if places.is_empty() {
            return None;
        }
        let n = places.len() as f64;
        let (mut value, mut variance) = (0.0, 0.0);
        for &i in places {
            let one = of(i);
            value += one.value / n;
            variance += one.sigma * one.sigma / n;
        }
        Some(Estimate { value, sigma: (left * variance).sqrt() })
    }
    /// The place where a quantity is greatest (`sign` +1) or least (-1).
    pub(crate) fn extreme(
        places: impl Iterator<Item = usize>,
        sign: f64,
        of: impl Fn(usize) -> Estimate,
    ) -> Option<(usize, Estimate)> {
        places
            .map(|i| (i, of(i)))
            .max_by(|a, b| (sign * a.1.value).total_cmp(&(sign * b.1.value)).then(b.0.cmp(&a.0)))
    }
    /// Indicated airspeed above the stall speed at this load factor, kt; needs the airplane.
    pub(crate) fn over_stall(&self, index: usize, load: f64) -> Option<Estimate> {
        self.over_multiple_of_stall(index, load, 1.0)
    }
    /// Indicated airspeed above a multiple of the indicated stall speed at this load factor, kt; needs the airplane.
    pub(crate) fn over_multiple_of_stall(
        &self,
        index: usize,
        load: f64,
        multiple: f64,
    ) -> Option<Estimate> {
        let airplane = self.airplane?;
        let load = base::units::LoadFactor::from_g(load.max(0.0));
        let stall = airplane.stall_speed(airplane.masses.typical, load);
        let stall_kt = multiple * airplane.indicated(stall).to_kt();
        let here = self.indicated(index);
        Some(Estimate {
            value: here.value - stall_kt,
            sigma: hypot(here.sigma, STALL_MASS_SHARE * stall_kt),
        })
    }
    /// Indicated airspeed, kt: calibrated through the position-error table where the airplane is known.
    pub(crate) fn indicated(&self, index: usize) -> Estimate {
        let cas = &self.trace.cas_kt;
        Estimate { value: self.indicated_kt(cas.value[index]), sigma: cas.sigma[index] }
    }
    /// Height at one place above that at an earlier one, ft.
    pub(crate) fn height_between(&self, from: usize, to: usize) -> Estimate {
        let line = &self.trace.height_ft;
        let value = line.value[to] - line.value[from];
        let apart_s = self.time_s(to) - self.time_s(from);
        let sigmas = (line.sigma[from], line.sigma[to]);
        Estimate { value, sigma: self.trace.height_errors.sigma_of_change(sigmas, apart_s, value) }
    }
}

/// Slope of a quantity at a place, a second.
fn slope(values: &[f64], index: usize) -> f64 {
    let half = (SLOPE_S / STEP_S) as usize;
    let (from, to) = (index.saturating_sub(half), (index + half).min(values.len() - 1));
    let slope = (values[to] - values[from]) / (STEP_S * (to - from).max(1) as f64);
    if slope.is_finite() { slope } else { 0.0 }
}
