//! What each channel should show by the states, with derivatives.

use std::ops::Range;

use base::factors::STANDARD_GRAVITY_MPS2;
use base::math::{acos, sin, wrap_pi};

use super::Scene;
use super::layout::{INCIDENCE, POSITION, SIDE_FREE, SIDESLIP, VELOCITY, WIND};
use super::window::View;
use crate::body::{self, D, INPUTS, Look};
use crate::sensors::{Channel, Kind, LEVEL, SIDE, SLOPE};

/// How the body turns from one knot to the next.
#[derive(Debug, Clone, Copy, Default)]
pub(crate) struct Turn {
    /// Mean rate about the body axes, rad/s.
    pub(crate) rate: [f64; 3],
    /// Its derivatives by the inputs of the two knots.
    pub(crate) here: [[f64; INPUTS]; 3],
    pub(crate) next: [[f64; INPUTS]; 3],
}

/// Longest step over which a rate is a rate, s.
pub(super) const STEP_MAX_S: f64 = 1.5;

/// Rates over every interval.
pub(crate) fn turns(scene: &Scene, looks: &[Look]) -> Vec<Turn> {
    turns_from(scene, 0, looks).collect()
}

/// Rates over the intervals between knots of which the first is given.
pub(super) fn turns_from<'a>(
    scene: &'a Scene,
    first: usize,
    looks: &'a [Look],
) -> impl Iterator<Item = Turn> + 'a {
    let fixed =
        move |at: usize| (looks[at].rotation(&scene.places[first + at]), looks[at].turning());
    let mut before = (!looks.is_empty()).then(|| fixed(0));
    (0..looks.len().saturating_sub(1)).map(move |at| {
        let after = fixed(at + 1);
        let (rotation, turning) = before.replace(after).expect("the one before");
        let dt = scene.time_s[first + at + 1] - scene.time_s[first + at];
        if dt > STEP_MAX_S {
            return Turn::default();
        }
        let angle = rotation_vector(&rotation, &after.0);
        let here = through(&angle, -0.5, &turning, -1.0 / dt);
        let next = through(&angle, 0.5, &after.1, 1.0 / dt);
        Turn { rate: angle.map(|part| part / dt), here, next }
    })
}

/// The rotation vector that takes the first body axes to the second, in the body; axes are the rows.
fn rotation_vector(first: &[[f64; 3]; 3], second: &[[f64; 3]; 3]) -> [f64; 3] {
    let at = |i: usize, j: usize| -> f64 { (0..3).map(|k| first[i][k] * second[j][k]).sum() };
    let cosine = (0.5 * (at(0, 0) + at(1, 1) + at(2, 2) - 1.0)).clamp(-1.0, 1.0);
    let angle = acos(cosine);
    let factor = if angle < 1e-4 { 0.5 } else { 0.5 * angle / sin(angle).max(1e-6) };
    [factor * (at(2, 1) - at(1, 2)), factor * (at(0, 2) - at(2, 0)), factor * (at(1, 0) - at(0, 1))]
}

/// `factor (1 + half [v] + [v]^2 / 12) m`: how a rotation vector changes when one of its ends turns (exact to the third order).
fn through(v: &[f64; 3], half: f64, m: &[[f64; INPUTS]; 3], factor: f64) -> [[f64; INPUTS]; 3] {
    let square = v[0] * v[0] + v[1] * v[1] + v[2] * v[2];
    let skew = [[0.0, -v[2], v[1]], [v[2], 0.0, -v[0]], [-v[1], v[0], 0.0]];
    let mut out = [[0.0; INPUTS]; 3];
    for i in 0..3 {
        for j in 0..3 {
            let unit = f64::from(u8::from(i == j));
            let weight = factor * (unit + half * skew[i][j] + (v[i] * v[j] - unit * square) / 12.0);
            for (out, m) in out[i].iter_mut().zip(&m[j]) {
                *out += weight * m;
            }
        }
    }
    out
}

/// What is differentiated by: the inputs of the body, and how far down the knot is.
pub(super) const LOCAL: usize = INPUTS + 1;
const DOWN: usize = INPUTS;

/// Place of each local derivative in the state; those of the whole flight are left out.
pub(crate) const IN_STATE: [(usize, usize); 12] = [
    (0, VELOCITY),
    (1, VELOCITY + 1),
    (2, VELOCITY + 2),
    (3, VELOCITY + 3),
    (4, VELOCITY + 4),
    (5, VELOCITY + 5),
    (body::WIND, WIND),
    (body::WIND + 1, WIND + 1),
    (body::SIDESLIP, SIDESLIP),
    (body::INCIDENCE, INCIDENCE),
    (body::SIDE_FREE, SIDE_FREE),
    (DOWN, POSITION + 2),
];
/// Place of each of those of the whole flight among the unknowns.
pub(crate) const IN_BORDER: [(usize, usize); 3] =
    [(body::INCIDENCE_LEVEL, LEVEL), (body::INCIDENCE_SLOPE, SLOPE), (body::SIDE_FORCE, SIDE)];

/// A quantity at a knot with its derivatives, and by the three angles of the mounting.
#[derive(Debug, Clone, Copy)]
pub(super) struct Shown {
    value: f64,
    slope: [f64; LOCAL],
    mount: [f64; 3],
}

impl Shown {
    fn of(dual: &D) -> Self {
        let mut slope = [0.0; LOCAL];
        slope[..INPUTS].copy_from_slice(&dual.slope);
        Self { value: dual.value, slope, mount: [0.0; 3] }
    }
}

/// A sample against the states.
#[derive(Debug, Clone, Copy)]
pub(super) struct Sight {
    /// Index of the sample and of the knot before it.
    pub(super) sample: usize,
    pub(super) knot: usize,
    /// Sample less what the states say.
    pub(super) residual: f64,
    /// Derivatives of what the states say by this knot, the next, and the unknowns.
    pub(super) here: [f64; LOCAL],
    pub(super) next: [f64; LOCAL],
    pub(super) mount: [f64; 3],
    pub(super) by_delay: f64,
    pub(super) by_scale: f64,
}

impl<const N: usize> View<'_, N> {
    /// What a channel shows at a knot.
    fn at_knot(&self, kind: Kind, k: usize) -> Shown {
        match kind {
            Kind::Airspeed => return Shown::of(&self.window.flow(k).speed),
            Kind::Climb => return Shown::of(&self.window.flow(k).air[2].times(-1.0)),
            Kind::Height => {
                let value = self.scene.height_of(k, &self.states[k]);
                let mut shown = Shown { value, slope: [0.0; LOCAL], mount: [0.0; 3] };
                shown.slope[DOWN] = -1.0;
                return shown;
            }
            _ => {}
        }
        let look = self.window.look(k);
        match kind {
            Kind::Bank => Shown::of(&look.bank()),
            Kind::Pitch => Shown::of(&look.pitch()),
            Kind::Heading => Shown::of(&look.heading()),
            Kind::Force(axis) => Shown::of(&look.force(axis)),
            Kind::DeviceForce(axis) => self.device_force(look, axis),
            _ => unreachable!("told above, or of an interval"),
        }
    }
    fn device_force(&self, look: &Look, axis: usize) -> Shown {
        let mount = self.scene.mount.as_ref().expect("a device has a mounting");
        let row = &mount.device_from_body[axis];
        let force = [look.force(0), look.force(1), look.force(2)];
        let total = force[0].times(row[0]) + force[1].times(row[1]) + force[2].times(row[2]);
        let values = force.map(|part| part.value);
        Shown { mount: mount.slopes(axis, &values), ..Shown::of(&total) }
    }
    /// Rate over an interval: value, derivatives by both knots, by the mounting.
    fn rate(&self, kind: Kind, k: usize) -> (Shown, Shown) {
        let turn = self.window.turn(k);
        let (row, mount) = match kind {
            Kind::DeviceRate(axis) => {
                let mount = self.scene.mount.as_ref().expect("a device has a mounting");
                (mount.device_from_body[axis], mount.slopes(axis, &turn.rate))
            }
            Kind::Rate(axis) => {
                let mut row = [0.0; 3];
                row[axis] = 1.0;
                (row, [0.0; 3])
            }
            _ => unreachable!("only rates belong to intervals"),
        };
        let mut here = Shown { value: 0.0, slope: [0.0; LOCAL], mount };
        let mut next = here;
        for (axis, factor) in row.into_iter().enumerate() {
            here.value += factor * turn.rate[axis];
            for i in 0..INPUTS {
                here.slope[i] += factor * turn.here[axis][i];
                next.slope[i] += factor * turn.next[axis][i];
            }
        }
        (here, next)
    }
    /// Every sample of a channel between the knots of the stretch and those after them, in order.
    pub(super) fn sights(&self, channel: &Channel, mut each: impl FnMut(Sight)) {
        let delay = self.scene.globals[channel.delay].value;
        let bias = channel.bias.map_or(0.0, |g| self.scene.globals[g].value);
        let scale = channel.scale.map_or(0.0, |g| self.scene.globals[g].value);
        let time_s = &self.scene.time_s;
        let mut samples = Samples::new(channel, time_s, delay, self.window.stretch());
        while let Some((sample, knot, share, value)) = samples.next() {
            let mut sight = if channel.kind.of_interval() {
                self.of_rate(channel.kind, knot)
            } else if channel.averaged {
                self.about(channel.kind, knot)
            } else {
                self.between(channel.kind, knot, share)
            };
            let miss = value - bias - self.scaled(channel, &mut sight, scale);
            sight.residual = if channel.kind.circular() { wrap_pi(miss) } else { miss };
            sight.sample = sample;
            each(sight);
        }
    }
    /// What is shown with the scale of the sensor, or with its tilt, which lets in some of the force along another axis.
    fn scaled(&self, channel: &Channel, sight: &mut Sight, scale: f64) -> f64 {
        if let Kind::Force(axis) = channel.kind {
            let other = if axis == 2 { 0 } else { 2 };
            sight.by_scale = self.window.look(sight.knot).force(other).value;
            return sight.residual + scale * sight.by_scale;
        }
        sight.by_scale = sight.residual - channel.scale_from;
        for slope in sight.here.iter_mut().chain(&mut sight.next) {
            *slope *= 1.0 + scale;
        }
        sight.residual + scale * sight.by_scale
    }
    /// What is shown between a knot and the next; the value stands in `residual`.
    fn between(&self, kind: Kind, knot: usize, share: f64) -> Sight {
        let first = self.at_knot(kind, knot);
        let second = self.at_knot(kind, knot + 1);
        let dt = self.scene.time_s[knot + 1] - self.scene.time_s[knot];
        if let Some((leaving, coming)) = self.growth(kind, knot).zip(self.growth(kind, knot + 1)) {
            return curve((&first, &leaving), (&second, &coming), (knot, share, dt));
        }
        let change = second.value - first.value;
        let change = if kind.circular() { wrap_pi(change) } else { change };
        Sight {
            sample: 0,
            knot,
            residual: first.value + share * change,
            here: first.slope.map(|slope| slope * (1.0 - share)),
            next: second.slope.map(|slope| slope * share),
            mount: std::array::from_fn(|i| {
                (1.0 - share) * first.mount[i] + share * second.mount[i]
            }),
            by_delay: -change / dt,
            by_scale: 0.0,
        }
    }
    /// How fast an airspeed grows at a knot, by the acceleration there: a speed that is least between two knots is less than a straight
    /// line says, by some tenths of a meter a second in a second, and always to the same side.
    fn growth(&self, kind: Kind, k: usize) -> Option<Shown> {
        (kind == Kind::Airspeed).then(|| {
            let flow = self.window.flow(k);
            let falling = flow.air[2] / flow.speed;
            Shown::of(&(flow.along + falling.times(STANDARD_GRAVITY_MPS2)))
        })
    }
    /// A mean about a knot, shown by the knot itself; the value stands in `residual`.
    fn about(&self, kind: Kind, knot: usize) -> Sight {
        let shown = self.at_knot(kind, knot);
        let time_s = &self.scene.time_s;
        let slope = |k: usize| {
            let change = self.at_knot(kind, k + 1).value - self.at_knot(kind, k).value;
            (change / (time_s[k + 1] - time_s[k]), time_s[k + 1] - time_s[k])
        };
        // By the knot after it alone this would be the slope of the middle of the interval: a device that the states do not quite
        // follow would seem late, by up to a tenth of a second.
        let ((before, long), (after, short)) = (slope(knot.saturating_sub(1)), slope(knot));
        let slope = (before * short + after * long) / (long + short);
        Sight {
            sample: 0,
            knot,
            residual: shown.value,
            here: shown.slope,
            next: [0.0; LOCAL],
            mount: shown.mount,
            by_delay: -slope,
            by_scale: 0.0,
        }
    }
    fn of_rate(&self, kind: Kind, knot: usize) -> Sight {
        let (here, next) = self.rate(kind, knot);
        let time_s = &self.scene.time_s;
        let (before, after) = (knot.saturating_sub(1), (knot + 1).min(self.states.len() - 2));
        let change = self.rate(kind, after).0.value - self.rate(kind, before).0.value;
        let middle = |k: usize| 0.5 * (time_s[k] + time_s[k + 1]);
        let apart_s = (middle(after) - middle(before)).max(time_s[knot + 1] - time_s[knot]);
        Sight {
            sample: 0,
            knot,
            residual: here.value,
            here: here.slope,
            next: next.slope,
            mount: here.mount,
            by_delay: -change / apart_s,
            by_scale: 0.0,
        }
    }
}

/// The cubic through the values at two knots that leaves the first and comes to the second as fast as they say (Hermite's; any text on
/// interpolation): between two knots of known velocity and acceleration the likeliest.
fn curve(
    (first, leaving): (&Shown, &Shown),
    (second, coming): (&Shown, &Shown),
    (knot, share, dt): (usize, f64, f64),
) -> Sight {
    let (s, left) = (share, 1.0 - share);
    let [a, b, c, d] = [
        (1.0 + 2.0 * s) * left * left,
        s * left * left * dt,
        s * s * (3.0 - 2.0 * s),
        -s * s * left * dt,
    ];
    let change = second.value - first.value;
    let growth = 6.0 * s * left * change / dt
        + left * (1.0 - 3.0 * s) * leaving.value
        + s * (3.0 * s - 2.0) * coming.value;
    Sight {
        sample: 0,
        knot,
        residual: a * first.value + b * leaving.value + c * second.value + d * coming.value,
        here: std::array::from_fn(|i| a * first.slope[i] + b * leaving.slope[i]),
        next: std::array::from_fn(|i| c * second.slope[i] + d * coming.slope[i]),
        mount: [0.0; 3],
        by_delay: -growth,
        by_scale: 0.0,
    }
}

/// Samples of a channel among the knots, late by the delay: sample, knot before, share of the way to the next, value.
struct Samples<'a> {
    channel: &'a Channel,
    time_s: &'a [f64],
    delay: f64,
    at: usize,
    knot: usize,
    /// The knot before which it ends.
    end: usize,
}

impl<'a> Samples<'a> {
    fn new(channel: &'a Channel, time_s: &'a [f64], delay: f64, stretch: Range<usize>) -> Self {
        let from = time_s[stretch.start];
        let at = if channel.averaged {
            // The mean about a knot reaches back by half a step.
            channel.times_s.partition_point(|late| late - delay < from - STEP_MAX_S)
        } else {
            channel.times_s.partition_point(|late| late - delay < from)
        };
        Self { channel, time_s, delay, at, knot: stretch.start, end: stretch.end }
    }
    fn next(&mut self) -> Option<(usize, usize, f64, f64)> {
        if self.channel.averaged { self.mean() } else { self.single() }
    }
    fn single(&mut self) -> Option<(usize, usize, f64, f64)> {
        while let Some(&late) = self.channel.times_s.get(self.at) {
            let time = late - self.delay;
            let sample = self.at;
            self.at += 1;
            while self.knot + 2 < self.time_s.len() && self.time_s[self.knot + 1] <= time {
                self.knot += 1;
            }
            if self.knot >= self.end {
                return None;
            }
            let (from, to) = (self.time_s[self.knot], *self.time_s.get(self.knot + 1)?);
            if time >= from && time <= to && to - from <= STEP_MAX_S {
                let share = (time - from) / (to - from);
                return Some((sample, self.knot, share, self.channel.values[sample]));
            }
        }
        None
    }
    /// Mean of the samples about a knot, or over the interval after it; the sample's index is the knot's.
    fn mean(&mut self) -> Option<(usize, usize, f64, f64)> {
        let n = self.time_s.len();
        while self.knot + 1 < n && self.knot < self.end {
            let k = self.knot;
            self.knot += 1;
            let (from, to) = (self.time_s[k], self.time_s[k + 1]);
            if to - from > STEP_MAX_S {
                continue;
            }
            let half = if self.channel.kind.of_interval() { 0.0 } else { 0.5 * (to - from) };
            let (low, high) = (from - half + self.delay, to - half + self.delay);
            while self.channel.times_s.get(self.at).is_some_and(|time| *time < low) {
                self.at += 1;
            }
            let end =
                self.at + self.channel.times_s[self.at..].partition_point(|time| *time < high);
            if end >= self.at + 2 {
                let sum: f64 = self.channel.values[self.at..end].iter().sum();
                return Some((k, k, 0.0, sum / (end - self.at) as f64));
            }
        }
        None
    }
}
