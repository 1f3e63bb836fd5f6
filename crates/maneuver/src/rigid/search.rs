//! The unknowns found again: Newton's rule on flights of the rigid airplane, with the slopes of the point mass.
//!
//! Both levels answer to the unknowns nearly alike, so that the slopes need not be found by flying the rigid airplane: those of
//! the point mass take nine tenths of the misses away with every flight. Each flight also brings the rates of turning (see
//! [`flight::inverse::march`]) closer to its own attitudes; between flights they are carried on by what the point mass does
//! otherwise.

use std::ops::Range;

use base::factors::{RAD_PER_DEG, STANDARD_GRAVITY_MPS2};
use base::frames::{Body, Vec3};
use base::math::{asin, atan2, cos, wrap_pi};
use base::numerics::interpolation::cubic_weights;
use flight::inverse::{Smoothing, Solved, Task, Turning, march};
use flight::point_mass::{Command, PointMass, State, state};
use flight::vehicle::StateArray;

use super::agreement::Agreement;
use super::channels::{BOX_S, Channels, Clock, Grid, Source, Steering, Tuning, attitude};
use super::knobs::{Knob, Part, Wanted, parts};
use super::plane::Plane;
use super::{Missed, NotFlown};
use crate::solve::{Resolved, Steer, resolve};

/// A flight that meets the form.
pub(super) struct Found {
    pub(super) clock: Clock,
    pub(super) parts: Vec<Part>,
    pub(super) tunings: Vec<Tuning>,
    /// Every node, from the first.
    pub(super) solved: Vec<Solved>,
    /// What is missed, each within its tolerance.
    pub(super) misses: Vec<Missed>,
}

/// Conditions are met to this, root sum square of misses over their sizes: 0.02 degrees, 0.015 m/s, 0.02 m.
const MET: f64 = 3e-4;
/// Where the search ends without, this is still taken and not told: 0.06 degrees, 0.05 m/s, 0.06 m.
const MET_ENOUGH: f64 = 1e-3;
/// Lift that may lack for a moment, m/s2: a twentieth of its weight.
const LIFT_SHORT_MOST_MPS2: f64 = 0.05 * STANDARD_GRAVITY_MPS2;
/// The same in a stall, where it is the very thing.
const LIFT_SHORT_STALL_MPS2: f64 = 0.4 * STANDARD_GRAVITY_MPS2;
/// Lift that lacks less than this is not told, m/s2.
const LIFT_SHORT_TOLD_MPS2: f64 = 0.005 * STANDARD_GRAVITY_MPS2;
/// Flights of one part.
const FLIGHTS: usize = 16;
/// A step that leaves more than this share of the misses went past.
const PAST: f64 = 0.6;
/// Surfaces that move less than this from one flight to the next have settled, rad.
const SETTLED_RAD: f64 = 0.1 * RAD_PER_DEG;
/// How far the rates of turning go from those used to those found: all the way they would swing past, slow and near the stall.
const RELAXING: f64 = 0.7;

/// Finds the flight, part by part.
pub(super) fn search(plane: &Plane<'_>) -> Result<Found, NotFlown> {
    let (mut clock, parts) = parts(plane);
    let mut tunings: Vec<Tuning> = parts.iter().map(|part| Tuning::none(part.knots)).collect();
    let mut solved: Vec<Solved> = Vec::new();
    let mut misses = Vec::new();
    let mut start = plane.start.state.to_array();
    let mut slopes: Option<Vec<Vec<f64>>> = None;
    for (index, part) in parts.iter().enumerate() {
        let last = index + 1 == parts.len();
        let from = if index == 0 {
            0
        } else {
            plane.grid.node_at(clock.knot_s(part.knots.0)).saturating_sub(plane.grid.lead())
        };
        if let Some(before) = solved.get(from) {
            start = before.state;
        }
        solved.truncate(from);
        let leg = Leg { plane, part, index, from, last, start };
        let known = slopes.take().filter(|_| leg.mirrors(&parts[index - 1], &clock));
        let flown =
            leg.search((&clock, &tunings), known.map(|known| leg.mirrored(known)), &mut slopes)?;
        misses.extend(leg.missed(&flown).into_iter().filter(|one| one.told).map(|one| one.missed));
        (clock, tunings) = (flown.clock, flown.tunings);
        solved.extend(flown.solved);
    }
    misses.extend(lift_lacked(plane, &clock, &solved));
    Ok(Found { clock, parts, tunings, solved, misses })
}

/// One part to be searched.
struct Leg<'a> {
    plane: &'a Plane<'a>,
    part: &'a Part,
    index: usize,
    /// First node.
    from: usize,
    /// Whether the flight ends with it.
    last: bool,
    /// State at the first node.
    start: StateArray,
}

/// A grid and the first node of a part on it.
#[derive(Debug, Clone, Copy)]
struct Placed {
    grid: Grid,
    from: usize,
}

/// A condition with its miss, and whether it is worth telling.
struct Judged {
    missed: Missed,
    told: bool,
}

struct Flown {
    clock: Clock,
    tunings: Vec<Tuning>,
    solved: Vec<Solved>,
    /// Rates of turning for the next flight.
    turning: Turning,
    /// Those of the point mass in the same schedule.
    model: Turning,
    misses: Vec<f64>,
    /// Greatest change of a surface from the flight before, rad.
    restless_rad: f64,
}

impl Flown {
    /// Whether the surfaces move little from sweep to sweep.
    fn settled(&self) -> bool {
        self.restless_rad < 4.0 * SETTLED_RAD
    }
}

impl Leg<'_> {
    /// Finds the flight of the part; the slopes as they were begun with are left for the next part.
    fn search(
        &self,
        before: (&Clock, &[Tuning]),
        known: Option<Vec<Vec<f64>>>,
        begun: &mut Option<Vec<Vec<f64>>>,
    ) -> Result<Flown, NotFlown> {
        let count = self.part.knobs.len();
        let mut x = vec![0.0; count];
        let (mut slopes, mut pace) = (known.unwrap_or_else(|| self.slopes(before)), 1.0);
        *begun = Some(slopes.clone());
        let mut flown = self.fly(&x, before, None)?;
        // The nearest so far, beside the one that is walked on from.
        let mut nearest: Option<Flown> = None;
        for _ in 1..FLIGHTS {
            if norm(&flown.misses) < MET && flown.restless_rad < SETTLED_RAD {
                return self.checked(flown);
            }
            let Some(step) = solve(&slopes, &flown.misses) else { break };
            let wanted: Vec<f64> = step.iter().map(|step| pace * step).collect();
            let Ok((next_x, next)) = self.step(&x, &wanted, before, &flown) else { break };
            // Steps that go past are shortened, and the slopes learn from what came of them.
            if norm(&next.misses) > PAST * norm(&flown.misses) {
                pace = (0.5 * pace).max(0.25);
                learn(&mut slopes, (&x, &next_x), (&flown.misses, &next.misses));
            }
            let left = std::mem::replace(&mut flown, next);
            x = next_x;
            let nearer = |kept: &Flown| norm(&left.misses) < norm(&kept.misses);
            if left.settled() && nearest.as_ref().is_none_or(nearer) {
                nearest = Some(left);
            }
        }
        match nearest {
            Some(kept) if norm(&kept.misses) < norm(&flown.misses) => self.checked(kept),
            _ => self.checked(flown),
        }
    }

    /// Whether the part is the one before it the other way round: as many knobs of the same kinds over legs as long.
    fn mirrors(&self, other: &Part, clock: &Clock) -> bool {
        const ALIKE: f64 = 0.02;
        let kind = std::mem::discriminant::<Knob>;
        let kinds = self.part.knobs.iter().map(kind).eq(other.knobs.iter().map(kind));
        let legs = |part: &Part| {
            (part.knots.0..part.knots.1)
                .map(|knot| clock.reference_knot_s(knot + 1) - clock.reference_knot_s(knot))
                .collect::<Vec<f64>>()
        };
        let (here, there) = (legs(self.part), legs(other));
        let alike = here.iter().zip(&there).all(|(a, b)| (a / b - 1.0).abs() < ALIKE);
        kinds && here.len() == there.len() && alike
    }

    /// Slopes of the part before as those of this one: headings count the other way.
    fn mirrored(&self, mut slopes: Vec<Vec<f64>>) -> Vec<Vec<f64>> {
        let parts = &self.plane.reference.parts;
        let turned = self.index.checked_sub(1).is_some_and(|before| {
            parts.get(before).map(|part| part.direction)
                != parts.get(self.index).map(|part| part.direction)
        });
        for column in slopes.iter_mut().filter(|_| turned) {
            for (slope, wanted) in column.iter_mut().zip(&self.part.wanted) {
                if matches!(wanted, Wanted::Heading(_)) {
                    *slope = -*slope;
                }
            }
        }
        slopes
    }

    /// Flies a step on, or half of it, or a quarter, where it leaves what the airplane gives.
    fn step(
        &self,
        x: &[f64],
        step: &[f64],
        before: (&Clock, &[Tuning]),
        flown: &Flown,
    ) -> Result<(Vec<f64>, Flown), NotFlown> {
        let mut share = 1.0;
        loop {
            let next: Vec<f64> =
                x.iter().zip(step).map(|(x, step)| x - (share * step).clamp(-0.5, 0.5)).collect();
            match self.fly(&next, before, Some(flown)) {
                Ok(found) => return Ok((next, found)),
                Err(error) if share < 0.2 => return Err(error),
                Err(_) => share *= 0.5,
            }
        }
    }

    /// A flight whose power and conditions are as they must be, or within their tolerances.
    fn checked(&self, flown: Flown) -> Result<Flown, NotFlown> {
        let base_share = self.plane.reference.samples[0].power_share;
        let needed_share = base_share + flown.tunings[self.index].power;
        if needed_share > 1.0 && self.part.knobs.contains(&Knob::Power) {
            return Err(NotFlown::Power { needed_share });
        }
        let against = |one: &Judged| one.missed.miss.abs() / one.missed.tolerance;
        let judged = self.missed(&flown);
        let worst = judged.iter().max_by(|a, b| against(a).total_cmp(&against(b)));
        match worst {
            Some(worst) if against(worst) > 1.0 || norm(&flown.misses).is_nan() => {
                Err(NotFlown::Open(worst.missed))
            }
            _ => Ok(flown),
        }
    }

    /// Every condition, by how much it is missed.
    fn missed(&self, flown: &Flown) -> Vec<Judged> {
        let plane = self.plane;
        let span_m = Agreement::span_m(&plane.reference.samples);
        let one = |(miss, wanted): (&f64, &Wanted)| {
            let (what, unit, unit_si, tolerance) = wanted.told(span_m);
            let at_s = flown.clock.reference_knot_s(wanted.knot());
            let progress_rad = plane.reading().sample(at_s).progress_rad;
            let miss_told = miss * wanted.scale() / unit_si;
            let missed = Missed { what, miss: miss_told, tolerance, unit, progress_rad };
            Judged { missed, told: miss.abs() > MET_ENOUGH }
        };
        flown.misses.iter().zip(&self.part.wanted).map(one).collect()
    }

    /// The grid that it is flown on, and its first node.
    const fn placed(&self) -> Placed {
        Placed { grid: self.plane.grid, from: self.from }
    }

    fn nodes(&self, clock: &Clock, Placed { grid, from }: Placed) -> Range<usize> {
        let end_s = clock.knot_s(self.part.knots.1);
        let beyond = if self.last { grid.lead() + 1 } else { 4 };
        from..grid.node_at(end_s) + beyond + 1
    }

    fn channels(&self, tuned: (&Clock, &[Tuning]), placed: Placed) -> Channels {
        let source = Source { grid: placed.grid, ..self.plane.source() };
        Channels::read(source, tuned, self.nodes(tuned.0, placed))
    }

    fn fly(
        &self,
        x: &[f64],
        before: (&Clock, &[Tuning]),
        known: Option<&Flown>,
    ) -> Result<Flown, NotFlown> {
        let plane = self.plane;
        let (clock, tunings) = self.part.set(x, before, self.index);
        let placed = self.placed();
        let nodes = self.nodes(&clock, placed);
        let channels = self.channels((&clock, &tunings), placed);
        let step_s = plane.grid.step_s;
        let steering = (plane.steering, plane.height_entry_m());
        let asked = channels.asked(steering, |share| plane.throttle(share));
        let model = match plane.steering {
            Steering::Attitude => Turning::of(&channels.rotations, step_s),
            Steering::Climb | Steering::Load | Steering::Level => {
                self.point_mass(&clock, &channels, placed).turning(&channels, step_s)
            }
        };
        let used = match known {
            None => model.clone(),
            Some(known) => self.carried(known, (&clock, &model), nodes),
        };
        let task = self.task(&asked);
        let solved = march(&task, &self.start, &used, 0..asked.len()).map_err(|shortfall| {
            let at = plane.reading().sample(clock.reference_at(shortfall.time_s()));
            NotFlown::Short { progress_rad: at.progress_rad, shortfall }
        })?;
        let trace = Trace::of(&solved);
        let turning = match plane.steering {
            Steering::Attitude => used,
            Steering::Climb | Steering::Load | Steering::Level => {
                mixed(&used, &trace.turning(&channels, step_s), RELAXING)
            }
        };
        let misses = self.misses(&clock, &trace, placed);
        let restless_rad = known.map_or(f64::INFINITY, |known| moved(&known.solved, &solved));
        Ok(Flown { clock, tunings, solved, turning, model, misses, restless_rad })
    }

    fn task<'b>(&'b self, asked: &'b [flight::inverse::Asked]) -> Task<'b> {
        let plane = self.plane;
        Task {
            vehicle: &plane.free,
            world: plane.world(),
            time_first_s: plane.grid.time_s(self.from),
            step_s: plane.grid.step_s,
            asked,
            propeller: 1.0,
            flap_rad: 0.0,
            alpha_most_rad: plane.alpha_most_rad,
            short_most_mps2: short_most_mps2(plane),
            stations_m: plane.stations_m,
        }
    }

    /// Rates of turning of another flight, read at the same place of the schedule, with what the point mass does otherwise here.
    fn carried(
        &self,
        known: &Flown,
        (to, model): (&Clock, &Turning),
        nodes: Range<usize>,
    ) -> Turning {
        let grid = self.plane.grid;
        let (first_s, from) = (grid.time_s(self.from), &known.clock);
        let place = |node: usize| {
            let at = grid.time_s(node);
            let there = if at > to.end_s() {
                from.end_s() + at - to.end_s()
            } else if at < 0.0 {
                at
            } else {
                from.flown_at(to.reference_at(at))
            };
            (there - first_s) / grid.step_s
        };
        let places: Vec<f64> = nodes.map(place).collect();
        let read = |list: &[Vec3<Body>], at: f64| {
            let at = at.clamp(0.0, (list.len() - 1) as f64);
            let index = (at as usize).min(list.len().saturating_sub(2));
            let next = (index + 1).min(list.len() - 1);
            list[index] + (list[next] - list[index]) * (at - index as f64)
        };
        let along = |found: &[Vec3<Body>], old: &[Vec3<Body>], new: &[Vec3<Body>]| {
            let one = |(&at, new): (&f64, &Vec3<Body>)| read(found, at) - read(old, at) + *new;
            places.iter().zip(new).map(one).collect()
        };
        let (found, old) = (&known.turning, &known.model);
        Turning {
            rates_radps: along(&found.rates_radps, &old.rates_radps, &model.rates_radps),
            accelerations_radps2: along(
                &found.accelerations_radps2,
                &old.accelerations_radps2,
                &model.accelerations_radps2,
            ),
        }
    }

    /// Misses over their sizes.
    fn misses(&self, clock: &Clock, trace: &Trace, Placed { grid, from }: Placed) -> Vec<f64> {
        let setting = &self.plane.setting;
        let reading = self.plane.reading();
        let miss = |wanted: &Wanted| {
            let knot = wanted.knot();
            let ends = self.last && knot == self.part.knots.1;
            // Where the flight ends its last corner is rounded after the end.
            let after_s = if ends { grid.step_s * grid.lead() as f64 } else { 0.0 };
            let reference = reading.sample_beyond(clock.reference_knot_s(knot) + after_s);
            let at = (clock.knot_s(knot) + after_s - grid.time_s(from)) / grid.step_s;
            let (speed, height) = (trace.at(&trace.speed_mps, at), trace.at(&trace.height_m, at));
            let miss = match wanted {
                Wanted::Heading(_) => {
                    wrap_pi(trace.at(&trace.heading_rad, at) - reference.heading_rad)
                }
                Wanted::Speed(_) => {
                    setting.calibrated_mps(speed, height) - reference.calibrated_airspeed_mps
                }
                Wanted::Height(_) => height - reference.height_m,
                Wanted::Climb(_) => trace.at(&trace.climb_rad, at) - reference.climb_rad,
                Wanted::PitchRate(_) => {
                    let step = 0.1 / grid.step_s;
                    let (a, b) = (at - step, at + step);
                    let rise = trace.at(&trace.pitch_rad, b) - trace.at(&trace.pitch_rad, a);
                    rise / (2.0 * step * grid.step_s)
                }
            };
            miss / wanted.scale()
        };
        self.part.wanted.iter().map(miss).collect()
    }

    /// How the misses of the point mass change with the knobs, one column a knob: on a grid as coarse as that of long flights, for the
    /// conditions themselves are held by flights of the rigid airplane.
    fn slopes(&self, before: (&Clock, &[Tuning])) -> Vec<Vec<f64>> {
        const DIFFERENCE: f64 = 1e-4;
        let count = self.part.knobs.len();
        let grid = Grid::COARSE;
        let from = match self.index {
            0 => 0,
            _ => grid.node_at(before.0.knot_s(self.part.knots.0)).saturating_sub(grid.lead()),
        };
        let placed = Placed { grid, from };
        let fly = |x: &[f64]| {
            let (clock, tunings) = self.part.set(x, before, self.index);
            let channels = self.channels((&clock, &tunings), placed);
            self.misses(&clock, &self.point_mass(&clock, &channels, placed), placed)
        };
        let still = fly(&vec![0.0; count]);
        let column = |j: usize| {
            let mut x = vec![0.0; count];
            x[j] = DIFFERENCE;
            fly(&x).iter().zip(&still).map(|(b, a)| (b - a) / DIFFERENCE).collect()
        };
        (0..count).map(column).collect()
    }

    /// The point mass flown on the same grid.
    fn point_mass(&self, clock: &Clock, channels: &Channels, placed: Placed) -> Trace {
        let plane = self.plane;
        let body = &plane.setting.body;
        let sample = plane.reading().sample(clock.reference_at(placed.grid.time_s(placed.from)));
        let mut x: State = [0.0; state::COUNT];
        x[state::SPEED] = sample.true_airspeed_mps;
        x[state::CLIMB] = sample.climb_rad;
        x[state::COURSE] = sample.course_rad;
        x[state::HEIGHT] = sample.height_m;
        let mut trace = Trace::with_capacity(channels.nodes());
        let mut rates = [[0.0; state::COUNT]; 2];
        for i in 0..channels.nodes() {
            let bank_rad = channels.bank_rad[i];
            let resolved = match plane.steering {
                Steering::Climb => bent(body, &x, channels, i),
                Steering::Attitude | Steering::Load => {
                    let load_factor = channels.load_factor[i];
                    resolve(body, &x, Steer::LoadAndBank { load_factor, bank_rad })
                }
                Steering::Level => resolve(body, &x, Steer::Level { bank_rad }),
            };
            trace.push(
                (x[state::SPEED], x[state::CLIMB], x[state::HEIGHT]),
                (x[state::COURSE] + resolved.heading_offset_rad, resolved.pitch_rad),
            );
            let command = Command {
                lift_coefficient: resolved.lift_coefficient,
                lift_bank_rad: resolved.lift_bank_rad,
                power_share: channels.power_share[i],
            };
            let rate = body.derivative(&x, &command);
            let [before, first] = rates;
            for j in 0..state::COUNT {
                x[j] += placed.grid.step_s
                    * match i {
                        0 => rate[j],
                        1 => 1.5 * rate[j] - 0.5 * before[j],
                        _ => (23.0 * rate[j] - 16.0 * before[j] + 5.0 * first[j]) / 12.0,
                    };
            }
            rates = [rate, before];
        }
        trace.unwrapped()
    }
}

/// Lift and attitude of the point mass that bend its path as the channels ask at a node.
fn bent(body: &PointMass<'_>, x: &State, channels: &Channels, node: usize) -> Resolved {
    let (climb, bank_rad) = (x[state::CLIMB], channels.bank_rad[node]);
    let wanted = channels.climb_rate[node] + (channels.climb_rad[node] - climb);
    let upwards = x[state::SPEED] * wanted / STANDARD_GRAVITY_MPS2 + cos(climb);
    let mut lift_bank = bank_rad;
    let mut resolved = resolve(body, x, Steer::LoadAndBank { load_factor: 1.0, bank_rad });
    for _ in 0..3 {
        let load_factor = upwards / cos(lift_bank);
        resolved = resolve(body, x, Steer::LoadAndBank { load_factor, bank_rad });
        lift_bank = resolved.lift_bank_rad;
    }
    resolved
}

/// What conditions are read from, node by node.
struct Trace {
    speed_mps: Vec<f64>,
    climb_rad: Vec<f64>,
    height_m: Vec<f64>,
    heading_rad: Vec<f64>,
    pitch_rad: Vec<f64>,
}

impl Trace {
    fn with_capacity(count: usize) -> Self {
        let list = || Vec::with_capacity(count);
        Self {
            speed_mps: list(),
            climb_rad: list(),
            height_m: list(),
            heading_rad: list(),
            pitch_rad: list(),
        }
    }
    fn push(&mut self, (speed, climb, height): (f64, f64, f64), (heading, pitch): (f64, f64)) {
        self.speed_mps.push(speed);
        self.climb_rad.push(climb);
        self.height_m.push(height);
        self.heading_rad.push(heading);
        self.pitch_rad.push(pitch);
    }
    fn unwrapped(mut self) -> Self {
        self.heading_rad = base::math::unwrap_angles(&self.heading_rad);
        self
    }
    fn of(solved: &[Solved]) -> Self {
        let mut trace = Self::with_capacity(solved.len());
        for node in solved {
            let (rows, air) = (node.fixed_from_body.rows(), node.through_air_mps);
            let speed = air.norm();
            trace.push(
                (speed, asin((-air.z / speed).clamp(-1.0, 1.0)), -node.state[2]),
                (atan2(rows[1][0], rows[0][0]), asin((-rows[2][0]).clamp(-1.0, 1.0))),
            );
        }
        trace.unwrapped()
    }
    /// How the airplane turns, for the next sweep: bank as asked, heading and pitch as found, their finest ripple taken out (a
    /// ripple of the grid's own frequency would grow from sweep to sweep).
    fn turning(&self, channels: &Channels, step_s: f64) -> Turning {
        let calming = Smoothing::of_width(BOX_S, step_s);
        let (heading, pitch) =
            (calmed(&self.heading_rad, calming), calmed(&self.pitch_rad, calming));
        let attitudes: Vec<_> = (0..heading.len())
            .map(|i| attitude(heading[i], pitch[i], channels.bank_rad[i]))
            .collect();
        Turning::of(&attitudes, step_s)
    }
    /// A quantity between nodes: the cubic through four.
    fn at(&self, list: &[f64], at: f64) -> f64 {
        let index = (at.floor().max(1.0) as usize).min(list.len().saturating_sub(3));
        let weights = cubic_weights(at - index as f64);
        (0..4).map(|k| weights[k] * list[index + k - 1]).sum()
    }
}

/// Rates of turning a share of the way from one to another.
fn mixed(from: &Turning, to: &Turning, share: f64) -> Turning {
    let mix = |a: &[Vec3<Body>], b: &[Vec3<Body>]| {
        a.iter().zip(b).map(|(a, b)| *a + (*b - *a) * share).collect()
    };
    Turning {
        rates_radps: mix(&from.rates_radps, &to.rates_radps),
        accelerations_radps2: mix(&from.accelerations_radps2, &to.accelerations_radps2),
    }
}

/// Greatest change of a surface between two flights at the same share of their nodes, rad.
fn moved(from: &[Solved], to: &[Solved]) -> f64 {
    let pace = (from.len() - 1) as f64 / (to.len() - 1).max(1) as f64;
    let mut most = 0.0_f64;
    for (i, node) in to.iter().enumerate() {
        let at = &from[((i as f64 * pace).round() as usize).min(from.len() - 1)];
        for surface in 14..17 {
            most = most.max((node.state[surface] - at.state[surface]).abs());
        }
    }
    most
}

/// Smoothed, the ends continued by reflection through their points.
fn calmed(list: &[f64], calming: Smoothing) -> Vec<f64> {
    let reach = calming.reach().min(list.len().saturating_sub(1));
    let (Some(&first), Some(&last)) = (list.first(), list.last()) else { return Vec::new() };
    let mut padded: Vec<f64> = (1..=reach).rev().map(|i| 2.0 * first - list[i]).collect();
    padded.extend_from_slice(list);
    padded.extend((1..=reach).map(|i| 2.0 * last - list[list.len() - 1 - i]));
    let out = calming.apply(&padded);
    out[reach..out.len() - reach].to_vec()
}

/// Lift that may lack, m/s2.
const fn short_most_mps2(plane: &Plane<'_>) -> f64 {
    if plane.stalls { LIFT_SHORT_STALL_MPS2 } else { LIFT_SHORT_MOST_MPS2 }
}

/// Where the greatest lift did not give what was asked, the worst moment.
fn lift_lacked(plane: &Plane<'_>, clock: &Clock, solved: &[Solved]) -> Option<Missed> {
    let worst = solved.iter().max_by(|a, b| a.short_mps2.total_cmp(&b.short_mps2))?;
    let at = plane.reading().sample(clock.reference_at(worst.time_s));
    let in_g = |mps2: f64| mps2 / STANDARD_GRAVITY_MPS2;
    (worst.short_mps2 > LIFT_SHORT_TOLD_MPS2).then(|| Missed {
        what: "lift at the stall",
        miss: -in_g(worst.short_mps2),
        tolerance: in_g(short_most_mps2(plane)),
        unit: "g",
        progress_rad: at.progress_rad,
    })
}

/// Slopes changed the least so that they give what a step gave (the rule of Broyden).
fn learn(slopes: &mut [Vec<f64>], (from, to): (&[f64], &[f64]), (old, new): (&[f64], &[f64])) {
    let step: Vec<f64> = to.iter().zip(from).map(|(b, a)| b - a).collect();
    let square: f64 = step.iter().map(|s| s * s).sum();
    if square < 1e-12 {
        return;
    }
    for i in 0..new.len() {
        let told: f64 = slopes.iter().zip(&step).map(|(column, s)| column[i] * s).sum();
        let off = (new[i] - old[i] - told) / square;
        for (column, s) in slopes.iter_mut().zip(&step) {
            column[i] += off * s;
        }
    }
}

fn norm(misses: &[f64]) -> f64 {
    misses.iter().map(|miss| miss * miss).sum::<f64>().sqrt()
}

/// Solves for the step that would take the misses away; columns as given. `None` when the conditions do not answer to the knobs.
fn solve(columns: &[Vec<f64>], misses: &[f64]) -> Option<Vec<f64>> {
    let n = misses.len();
    let mut rows: Vec<Vec<f64>> = (0..n)
        .map(|i| columns.iter().map(|column| column[i]).chain([misses[i]]).collect())
        .collect();
    for k in 0..n {
        let pivot = (k..n).max_by(|&a, &b| rows[a][k].abs().total_cmp(&rows[b][k].abs()))?;
        rows.swap(k, pivot);
        let top = rows[k].clone();
        if top[k].is_nan() || top[k].abs() < 1e-12 {
            return None;
        }
        for row in rows.iter_mut().skip(k + 1) {
            let factor = row[k] / top[k];
            for (value, above) in row.iter_mut().zip(&top).skip(k) {
                *value -= factor * above;
            }
        }
    }
    let mut out = vec![0.0; n];
    for k in (0..n).rev() {
        let known: f64 = (k + 1..n).map(|j| rows[k][j] * out[j]).sum();
        out[k] = (rows[k][n] - known) / rows[k][k];
    }
    out.iter().all(|x| x.is_finite()).then_some(out)
}
