//! What a reference flight asks, on the even grid of the inverse, with its legs stretched, its nose moved and its corners rounded.

use std::ops::Range;

use base::frames::{Attitude, Body, Fixed, Rot, Vec3};
use base::math::{cos, sin, wrap_pi};
use flight::inverse::{Aim, Asked, Smoothing};
use flight::trajectory::FlightSample;

/// Width of the boxes that round corners, s: a corner is spread over four of them. A hand takes the better part of a second to
/// set up a rate of roll (common practice, no source).
pub(super) const BOX_S: f64 = 0.2;

/// What steers.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Steering {
    /// Climb angle and bank.
    Climb,
    /// Load factor and bank.
    Load,
    /// Bank, height held.
    Level,
    /// All of the attitude.
    Attitude,
}

/// Steeper than this the bank leaves lift little to say of climb, rad.
const STEEP_RAD: f64 = 1.15;
/// Nose further from the horizon than this: angles are no help, rad.
const VERTICAL_RAD: f64 = 1.2;
/// A flight that keeps its height better than this is level, m.
const LEVEL_M: f64 = 0.5;

impl Steering {
    pub(super) fn of(samples: &[FlightSample]) -> Self {
        let most = |f: &dyn Fn(&FlightSample) -> f64| samples.iter().map(f).fold(0.0, f64::max);
        let height_m = samples.first().map_or(0.0, |sample| sample.height_m);
        if most(&|s| s.pitch_rad.abs()) > VERTICAL_RAD || most(&|s| s.bank_rad.abs()) > 2.0 {
            Self::Attitude
        } else if most(&|s| s.bank_rad.abs()) > STEEP_RAD {
            Self::Load
        } else if most(&|s| (s.height_m - height_m).abs()) < LEVEL_M {
            Self::Level
        } else {
            Self::Climb
        }
    }
}

/// Times of the reference at its knots, and how long each leg between them is flown.
#[derive(Debug, Clone)]
pub(super) struct Clock {
    /// Times of the reference, the first one nil.
    reference_s: Vec<f64>,
    /// Times flown.
    flown_s: Vec<f64>,
}

impl Clock {
    /// Knots, rising, from the start; legs not stretched.
    pub(super) fn new(reference_s: Vec<f64>) -> Self {
        Self { flown_s: reference_s.clone(), reference_s }
    }
    /// Stretches the legs from leg `first` on by factors of the exponentials of these numbers; later legs move along.
    pub(super) fn stretched(&self, first: usize, logs: &[f64]) -> Self {
        let mut out = self.clone();
        for leg in first..out.reference_s.len() - 1 {
            let log = logs.get(leg - first).copied();
            let old = self.flown_s[leg + 1] - self.flown_s[leg];
            let length = log.map_or(old, |log| old * base::math::exp(log.clamp(-1.0, 1.0)));
            out.flown_s[leg + 1] = out.flown_s[leg] + length;
        }
        out
    }
    /// Time flown at a knot, s.
    pub(super) fn knot_s(&self, knot: usize) -> f64 {
        self.flown_s[knot]
    }
    /// Time of the reference at a knot, s.
    pub(super) fn reference_knot_s(&self, knot: usize) -> f64 {
        self.reference_s[knot]
    }
    /// Time flown at the end, s.
    pub(super) fn end_s(&self) -> f64 {
        *self.flown_s.last().expect("a clock has knots")
    }
    /// Time of the reference at a time flown, held at both ends.
    pub(super) fn reference_at(&self, flown_s: f64) -> f64 {
        let at = flown_s.clamp(self.flown_s[0], self.end_s());
        base::numerics::interpolation::linear(&self.flown_s, &self.reference_s, at)
    }
    /// Time of the reference at a time flown, running on at its own pace before and after.
    pub(super) fn reference_beyond(&self, flown_s: f64) -> f64 {
        let at = flown_s.clamp(self.flown_s[0], self.end_s());
        self.reference_at(flown_s) + (flown_s - at)
    }
    /// Time flown at a time of the reference.
    pub(super) fn flown_at(&self, reference_s: f64) -> f64 {
        base::numerics::interpolation::linear(&self.reference_s, &self.flown_s, reference_s)
    }
}

/// The samples of a reference, read at any time.
#[derive(Debug, Clone, Copy)]
pub(super) struct Reading<'a> {
    samples: &'a [FlightSample],
}

impl<'a> Reading<'a> {
    pub(super) const fn new(samples: &'a [FlightSample]) -> Self {
        Self { samples }
    }
    pub(super) const fn samples(&self) -> &'a [FlightSample] {
        self.samples
    }
    fn climb_entry(&self) -> f64 {
        self.samples.first().map_or(0.0, |sample| sample.climb_rad)
    }
    fn place(&self, time_s: f64) -> (&'a FlightSample, &'a FlightSample, f64) {
        let index = self.samples.partition_point(|sample| sample.time_s <= time_s);
        Walk { index }.place(self.samples, time_s)
    }
    /// The sample at a time, every quantity linear; held at both ends.
    pub(super) fn sample(&self, time_s: f64) -> FlightSample {
        let (before, after, share) = self.place(time_s);
        before.mixed(after, share)
    }
    /// The sample at a time; before and after the flight height and speed go on as they began and ended.
    pub(super) fn sample_beyond(&self, time_s: f64) -> FlightSample {
        let mut sample = self.sample(time_s);
        let beyond_s = time_s - sample.time_s;
        if beyond_s != 0.0 {
            sample.height_m += beyond_s * sample.true_airspeed_mps * sin(sample.climb_rad);
            let [true_mps2, calibrated_mps2] = self.faster_mps2(beyond_s > 0.0);
            sample.true_airspeed_mps += beyond_s * true_mps2;
            sample.calibrated_airspeed_mps += beyond_s * calibrated_mps2;
        }
        sample
    }
    /// Rates of the true and the calibrated airspeed where the flight begins, or ends.
    pub(super) fn faster_mps2(&self, at_end: bool) -> [f64; 2] {
        let pair = if at_end { self.samples.last_chunk() } else { self.samples.first_chunk() };
        let Some([before, after]) = pair else { return [0.0; 2] };
        let over_s = after.time_s - before.time_s;
        let rate = |of: fn(&FlightSample) -> f64| {
            if over_s > 0.0 { (of(after) - of(before)) / over_s } else { 0.0 }
        };
        [rate(|sample| sample.true_airspeed_mps), rate(|sample| sample.calibrated_airspeed_mps)]
    }
}

/// Walks along samples with a time that rises.
#[derive(Debug, Clone, Copy, Default)]
struct Walk {
    /// The first sample after the time.
    index: usize,
}

impl Walk {
    /// The samples on either side of a time and the share between them; held at both ends.
    fn place<'a>(
        &mut self,
        samples: &'a [FlightSample],
        time_s: f64,
    ) -> (&'a FlightSample, &'a FlightSample, f64) {
        while samples.get(self.index).is_some_and(|sample| sample.time_s <= time_s) {
            self.index += 1;
        }
        let after = &samples[self.index.min(samples.len() - 1)];
        let before = &samples[self.index.saturating_sub(1)];
        let over_s = after.time_s - before.time_s;
        let share = if over_s > 0.0 { (time_s - before.time_s) / over_s } else { 0.0 };
        (before, after, share.clamp(0.0, 1.0))
    }
}

/// What is changed of one part: how steeply it climbs and descends against its entry, the load factor, the power.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Tuning {
    /// Knots of the clock at which the part begins and ends.
    pub(super) knots: (usize, usize),
    /// Climb angle above that at entry, as a share added.
    pub(super) up: f64,
    /// And below.
    pub(super) down: f64,
    /// Amplitudes of what is added to the load factor.
    pub(super) harmonics: [f64; HARMONICS],
    /// Share of full power added.
    pub(super) power: f64,
}

/// Harmonics of the load factor over a part.
pub(super) const HARMONICS: usize = 6;

impl Tuning {
    pub(super) const fn none(knots: (usize, usize)) -> Self {
        Self { knots, up: 0.0, down: 0.0, harmonics: [0.0; HARMONICS], power: 0.0 }
    }
    /// Share of power: a throttle that is closed or full stays so, and none goes past its stops.
    fn powered(&self, share: f64) -> f64 {
        if share > 0.0 && share < 1.0 { (share + self.power).clamp(0.0, 1.0) } else { share }
    }
    fn climb(&self, above_entry_rad: f64) -> f64 {
        above_entry_rad * if above_entry_rad > 0.0 { self.up } else { self.down }
    }
    fn load(&self, share: f64) -> f64 {
        if self.harmonics.iter().all(|amplitude| *amplitude == 0.0) {
            return 0.0;
        }
        (1..)
            .zip(self.harmonics)
            .map(|(k, amplitude)| amplitude * sin(f64::from(k) * std::f64::consts::PI * share))
            .sum()
    }
}

/// The tuning in force at a time flown, and the share of its part that is done.
fn tuning_at<'a>(tunings: &'a [Tuning], clock: &Clock, flown_s: f64) -> (&'a Tuning, f64) {
    let later = tunings.iter().skip(1).take_while(|next| clock.knot_s(next.knots.0) <= flown_s);
    let tuning = &tunings[later.count()];
    let (from_s, to_s) = (clock.knot_s(tuning.knots.0), clock.knot_s(tuning.knots.1));
    (tuning, ((flown_s - from_s) / (to_s - from_s)).clamp(0.0, 1.0))
}

/// What is asked on the grid, before it is written as aims.
#[derive(Debug, Clone)]
pub(super) struct Channels {
    pub(super) pitch_rad: Vec<f64>,
    pub(super) climb_rad: Vec<f64>,
    /// rad/s.
    pub(super) climb_rate: Vec<f64>,
    pub(super) bank_rad: Vec<f64>,
    pub(super) heading_rad: Vec<f64>,
    pub(super) load_factor: Vec<f64>,
    pub(super) power_share: Vec<f64>,
    /// Attitudes, where all of the attitude steers; else empty.
    pub(super) rotations: Vec<Rot<Body, Fixed>>,
}

/// The even grid that a flight is solved on.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Grid {
    /// Between nodes, s.
    pub(super) step_s: f64,
}

/// Flights longer than this are slow, and solved on a coarser grid, s.
const LONG_S: f64 = 80.0;

impl Grid {
    /// That of long flights.
    pub(super) const COARSE: Self = Self { step_s: 0.1 };
    /// For a flight of this length.
    pub(super) const fn of(length_s: f64) -> Self {
        Self { step_s: if length_s > LONG_S { 0.1 } else { 0.05 } }
    }
    pub(super) fn smoothing(self) -> Smoothing {
        Smoothing::of_width(BOX_S, self.step_s)
    }
    /// Nodes before time nil.
    pub(super) fn lead(self) -> usize {
        self.smoothing().reach()
    }
    /// Time flown at a node, s.
    pub(super) fn time_s(self, node: usize) -> f64 {
        self.step_s * (node as f64 - self.lead() as f64)
    }
    /// The node at or before a time flown.
    pub(super) fn node_at(self, time_s: f64) -> usize {
        (time_s / self.step_s + self.lead() as f64).floor().max(0.0) as usize
    }
    /// Nodes from one sample to the next, a tenth of a second.
    pub(super) const fn every(self) -> usize {
        if self.step_s < 0.09 { 2 } else { 1 }
    }
}

/// What is read, on which grid, for which steering, with the nose of its attitudes moved up by so much.
#[derive(Debug, Clone, Copy)]
pub(super) struct Source<'a> {
    pub(super) reading: Reading<'a>,
    pub(super) grid: Grid,
    pub(super) steering: Steering,
    pub(super) offset_rad: f64,
}

impl Channels {
    /// The reference at these nodes, tuned, its corners rounded.
    pub(super) fn read(
        source: Source<'_>,
        (clock, tunings): (&Clock, &[Tuning]),
        nodes: Range<usize>,
    ) -> Self {
        let Source { reading, grid, steering, offset_rad } = source;
        // Twice as far as a corner is rounded: see `sharpened`.
        let reach = 2 * grid.lead();
        let count = nodes.len() + 2 * reach;
        let mut out = Self::with_capacity(count);
        let mut walk = Walk::default();
        for i in 0..count {
            let flown_s = grid.time_s(nodes.start) + grid.step_s * (i as f64 - reach as f64);
            let reference_s = clock.reference_at(flown_s);
            let (before, after, share) = walk.place(reading.samples, reference_s);
            let mix = |of: fn(&FlightSample) -> f64| {
                let (a, b) = (of(before), of(after));
                a + share * (b - a)
            };
            let turn = |of: fn(&FlightSample) -> f64| {
                let a = of(before);
                a + share * wrap_pi(of(after) - a)
            };
            let (tuning, part_share) = tuning_at(tunings, clock, flown_s);
            let climb = mix(|s| s.climb_rad);
            out.climb_rad.push(climb + tuning.climb(climb - reading.climb_entry()));
            out.pitch_rad.push(mix(|s| s.pitch_rad) + offset_rad);
            out.load_factor.push(mix(|s| s.load_factor) + tuning.load(part_share));
            out.power_share.push(tuning.powered(mix(|s| s.power_share)));
            out.bank_rad.push(turn(|s| s.bank_rad));
            out.heading_rad.push(turn(|s| s.heading_rad));
            if steering == Steering::Attitude {
                let (a, b) = (rotation_of(before), rotation_of(after));
                out.rotations.push(raised(&between(&a, &b, share), offset_rad));
            }
        }
        out.bank_rad = base::math::unwrap_angles(&out.bank_rad);
        out.heading_rad = base::math::unwrap_angles(&out.heading_rad);
        out.rounded(source, reach)
    }
    fn with_capacity(count: usize) -> Self {
        let list = || Vec::with_capacity(count);
        Self {
            pitch_rad: list(),
            climb_rad: list(),
            climb_rate: Vec::new(),
            bank_rad: list(),
            heading_rad: list(),
            load_factor: list(),
            power_share: list(),
            rotations: Vec::new(),
        }
    }
    pub(super) const fn nodes(&self) -> usize {
        self.pitch_rad.len()
    }
    /// Corners rounded, and so many nodes dropped at both ends.
    fn rounded(self, Source { grid, steering, .. }: Source<'_>, dropped: usize) -> Self {
        let (smoothing, step_s) = (grid.smoothing(), grid.step_s);
        let cut = |list: &[f64]| list[dropped..list.len() - dropped].to_vec();
        let round = |list: &[f64]| cut(&smoothing.apply(list));
        let climb_rad = round(&self.climb_rad);
        Self {
            pitch_rad: round(&self.pitch_rad),
            climb_rate: sloped(&climb_rad, step_s),
            climb_rad,
            bank_rad: match steering {
                Steering::Level => cut(&sharpened(&self.bank_rad, smoothing)),
                Steering::Climb | Steering::Load | Steering::Attitude => round(&self.bank_rad),
            },
            heading_rad: round(&self.heading_rad),
            load_factor: round(&self.load_factor),
            power_share: round(&self.power_share),
            rotations: averaged(&self.rotations, smoothing, dropped),
        }
    }
    /// As aims.
    pub(super) fn asked(
        &self,
        (steering, height_m): (Steering, f64),
        throttle: impl Fn(f64) -> f64,
    ) -> Vec<Asked> {
        let aim = |i: usize| {
            let bank_rad = self.bank_rad[i];
            match steering {
                Steering::Climb => Aim::ClimbAndBank {
                    climb_rad: self.climb_rad[i],
                    climb_rate_radps: self.climb_rate[i],
                    bank_rad,
                },
                Steering::Load => Aim::LoadAndBank { load_factor: self.load_factor[i], bank_rad },
                Steering::Level => Aim::LevelAndBank { bank_rad, height_m },
                Steering::Attitude => Aim::Attitude(self.rotations[i]),
            }
        };
        (0..self.nodes())
            .map(|i| Asked { aim: aim(i), throttle: throttle(self.power_share[i]), side_mps2: 0.0 })
            .collect()
    }
}

/// Share of what a rounding takes off that is given back.
const GIVEN_BACK: f64 = 0.3;

/// Corners rounded, and a part of what that takes off a quantity which changes its rate evenly given back: it is a constant, and a second
/// rounding tells it: where height is held and only the bank is flown, as in rolling on a heading. (All of it would make the corners too
/// sharp for the feet; elsewhere the end of a roll would go past.)
fn sharpened(list: &[f64], smoothing: Smoothing) -> Vec<f64> {
    let once = smoothing.apply(list);
    let twice = smoothing.apply(&once);
    once.iter().zip(twice).map(|(once, twice)| once + GIVEN_BACK * (once - twice)).collect()
}

/// Slopes by central differences, one-sided at the ends.
fn sloped(values: &[f64], step_s: f64) -> Vec<f64> {
    let last = values.len().saturating_sub(1);
    let slope = |i: usize| {
        let (before, after) = (i.saturating_sub(1), (i + 1).min(last));
        (values[after] - values[before]) / (step_s * (after - before).max(1) as f64)
    };
    (0..values.len()).map(slope).collect()
}

/// Rotation from body to earth axes (north, east, down on the flat earth).
pub(super) fn attitude(heading_rad: f64, pitch_rad: f64, bank_rad: f64) -> Rot<Body, Fixed> {
    let body_from_ned = Attitude { heading_rad, pitch_rad, bank_rad }.body_from_ned();
    Rot::from_rows_unchecked(*body_from_ned.inverse().rows())
}

fn rotation_of(sample: &FlightSample) -> Rot<Body, Fixed> {
    attitude(sample.heading_rad, sample.pitch_rad, sample.bank_rad)
}

/// With the nose raised about the airplane's own lateral axis.
fn raised(attitude: &Rot<Body, Fixed>, by_rad: f64) -> Rot<Body, Fixed> {
    let (s, c) = (sin(by_rad), cos(by_rad));
    let up = Rot::<Body, Body>::from_rows_unchecked([[c, 0.0, s], [0.0, 1.0, 0.0], [-s, 0.0, c]]);
    up.then(attitude)
}

/// A rotation as its nine entries.
type Entries = [f64; 9];

/// Entries a share of the way from one rotation to another.
fn between(a: &Rot<Body, Fixed>, b: &Rot<Body, Fixed>, share: f64) -> Rot<Body, Fixed> {
    let (a, b) = (a.rows(), b.rows());
    orthogonal(&std::array::from_fn(|k| {
        let (i, j) = (k / 3, k % 3);
        a[i][j] + share * (b[i][j] - a[i][j])
    }))
}

/// The rotation nearest to a mean of rotations: nose first.
fn orthogonal(entries: &Entries) -> Rot<Body, Fixed> {
    let column = |j: usize| Vec3::<Fixed>::new(entries[j], entries[3 + j], entries[6 + j]);
    let nose = column(0).unit().unwrap_or(Vec3::new(1.0, 0.0, 0.0));
    let wing = column(1) - nose * column(1).dot(nose);
    let wing = wing.unit().unwrap_or(Vec3::new(0.0, 1.0, 0.0));
    let floor = nose.cross(wing);
    Rot::from_rows_unchecked([
        [nose.x, wing.x, floor.x],
        [nose.y, wing.y, floor.y],
        [nose.z, wing.z, floor.z],
    ])
}

/// The same kernel as for angles, on the rotations themselves, which have no seam at the vertical: the mean of the entries, made
/// a rotation again.
fn averaged(
    rotations: &[Rot<Body, Fixed>],
    smoothing: Smoothing,
    dropped: usize,
) -> Vec<Rot<Body, Fixed>> {
    if rotations.is_empty() {
        return Vec::new();
    }
    let smooth: [Vec<f64>; 9] = std::array::from_fn(|k| {
        let raw: Vec<f64> = rotations.iter().map(|rot| rot.rows()[k / 3][k % 3]).collect();
        smoothing.apply(&raw)
    });
    (dropped..rotations.len() - dropped)
        .map(|i| orthogonal(&std::array::from_fn(|k| smooth[k][i])))
        .collect()
}
