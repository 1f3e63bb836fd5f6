//! Figures over the ground: arcs of one radius, straight legs, and rolls at a limited rate, flown level in a steady wind.
//!
//! Height and true airspeed are held, by pitch and by power as the bank asks; so the course through the air turns at
//! `g tan(bank) / V`, and everything but the place has a closed form. On an arc the bank is the one that keeps the radius over the
//! ground (see [`law`]) and a function of the course alone. In a roll the bank is linear in time, the course
//! `-g / (V p) ln cos(p t)`. Where a roll meets an arc the bank must be the arc's: one unknown, one condition, found by bracketing.
//!
//! Frame as in [`super`]: a right turn from course nil; the wind is given in that frame.

pub mod law;

use base::factors::STANDARD_GRAVITY_MPS2;
use base::math::{atan, atan2, cos, hypot, ln, sin, tan};
use base::numerics::root;
use flight::point_mass::{PointMass, State, state};

use super::{Schedule, Setting, Steer};

/// One piece of a path. Banks are of the lift, rad; to the right positive.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Piece {
    /// Wings level.
    Straight {
        /// How long, s.
        time_s: f64,
    },
    /// Bank linear in time.
    Roll {
        /// Bank at its beginning.
        from_rad: f64,
        /// Bank at its end.
        to_rad: f64,
        /// How long, s.
        time_s: f64,
    },
    /// One radius over the ground.
    Arc {
        /// Radius, m: positive to the right, negative to the left.
        radius_m: f64,
        /// Course through the air at its end, rad, not folded.
        course_end_rad: f64,
    },
}

/// The air of a figure: airspeed through it and its motion in the frame of the figure.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Drift {
    /// True airspeed, m/s.
    pub speed_mps: f64,
    /// Motion of the air over the ground: ahead and to the right of the first course, m/s.
    pub wind_mps: [f64; 2],
}

impl Drift {
    /// Wind speed, m/s.
    #[must_use]
    pub fn wind_speed_mps(&self) -> f64 {
        hypot(self.wind_mps[0], self.wind_mps[1])
    }
    /// Velocity over the ground on a course through the air, m/s.
    #[must_use]
    pub fn over_ground_mps(&self, course_rad: f64) -> [f64; 2] {
        let v = self.speed_mps;
        [v * cos(course_rad) + self.wind_mps[0], v * sin(course_rad) + self.wind_mps[1]]
    }
    /// Course through the air, rad, within half a turn of the track over the ground that it keeps.
    #[must_use]
    pub fn course_for_track_rad(&self, track_rad: f64) -> f64 {
        let across = self.wind_mps[0] * sin(track_rad) - self.wind_mps[1] * cos(track_rad);
        track_rad + base::math::asin((across / self.speed_mps).clamp(-1.0, 1.0))
    }
    /// Track over the ground, rad, within half a turn of the course.
    #[must_use]
    pub fn track_rad(&self, course_rad: f64) -> f64 {
        let [ahead, right] = self.over_ground_mps(course_rad);
        course_rad + base::math::wrap_pi(atan2(right, ahead) - course_rad)
    }
    /// Bank of the lift, rad, that keeps a radius over the ground (negative to the left) on a course through the air.
    #[must_use]
    pub fn arc_bank_rad(&self, radius_m: f64, course_rad: f64) -> f64 {
        let [ahead, right] = self.over_ground_mps(course_rad);
        let ground = hypot(ahead, right);
        // The lift points square to the course; what it does across the track shrinks with the cosine of the correction angle.
        let along = (ahead * cos(course_rad) + right * sin(course_rad)) / ground;
        atan(ground * ground / (STANDARD_GRAVITY_MPS2 * radius_m * along))
    }
    /// Course turned, rad, by a roll from wings level to a bank, or back: positive to the right.
    #[must_use]
    pub fn roll_turns_rad(&self, bank_rad: f64, time_s: f64) -> f64 {
        if bank_rad == 0.0 {
            return 0.0;
        }
        -STANDARD_GRAVITY_MPS2 * time_s / (self.speed_mps * bank_rad) * ln(cos(bank_rad))
    }
    /// Bank, rad, at which a roll from wings level on a course, at a rate (rad/s, positive), meets the arc of this radius.
    ///
    /// `None` when it does not: the arc would need more than 85 degrees.
    #[must_use]
    pub fn roll_in_rad(&self, course_rad: f64, radius_m: f64, rate_radps: f64) -> Option<f64> {
        let sign = radius_m.signum();
        self.meet(radius_m, |bank_rad| {
            course_rad + sign * self.roll_turns_rad(bank_rad, bank_rad / rate_radps)
        })
    }
    /// Bank, rad, from which a roll to wings level, at a rate (rad/s, positive), ends on a course.
    ///
    /// `None` when there is none: the arc would need more than 85 degrees.
    #[must_use]
    pub fn roll_out_rad(&self, course_rad: f64, radius_m: f64, rate_radps: f64) -> Option<f64> {
        let sign = radius_m.signum();
        self.meet(radius_m, |bank_rad| {
            course_rad - sign * self.roll_turns_rad(bank_rad, bank_rad / rate_radps)
        })
    }
    /// Bank that is the arc's on the course that belongs to it; as a positive angle.
    fn meet(&self, radius_m: f64, course_of: impl Fn(f64) -> f64) -> Option<f64> {
        const MOST_RAD: f64 = 85.0 * base::factors::RAD_PER_DEG;
        let excess =
            |bank_rad: f64| bank_rad - self.arc_bank_rad(radius_m, course_of(bank_rad)).abs();
        root::find(excess, 0.0, MOST_RAD, 1e-14).ok()
    }
    /// Time, s, and way through the air, m, of an arc between two courses.
    fn arc(&self, radius_m: f64, from_rad: f64, to_rad: f64) -> (f64, [f64; 2]) {
        let v = self.speed_mps;
        let rate =
            |course: f64| STANDARD_GRAVITY_MPS2 * tan(self.arc_bank_rad(radius_m, course)) / v;
        let panels = ((to_rad - from_rad).abs() / 0.25).ceil().max(1.0) as usize;
        gauss(from_rad, to_rad, panels, |course| {
            let slow = 1.0 / rate(course);
            [slow, v * cos(course) * slow, v * sin(course) * slow]
        })
    }
    /// Way through the air, m, of a roll.
    fn roll(
        &self,
        course_rad: f64,
        (from_rad, to_rad): (f64, f64),
        time_s: f64,
    ) -> (f64, [f64; 2]) {
        let v = self.speed_mps;
        let panels = (time_s / 0.5).ceil().max(1.0) as usize;
        let (_, way) = gauss(0.0, time_s, panels, |t| {
            let course = course_rad + self.roll_course_rad((from_rad, to_rad), time_s, t);
            [1.0, v * cos(course), v * sin(course)]
        });
        (time_s, way)
    }
    /// Course turned in a roll until `t`.
    fn roll_course_rad(&self, (from_rad, to_rad): (f64, f64), time_s: f64, t: f64) -> f64 {
        let rate = (to_rad - from_rad) / time_s;
        if rate == 0.0 {
            return STANDARD_GRAVITY_MPS2 * tan(from_rad) / self.speed_mps * t;
        }
        let now = from_rad + rate * t;
        -STANDARD_GRAVITY_MPS2 / (self.speed_mps * rate) * (ln(cos(now)) - ln(cos(from_rad)))
    }
}

/// Integral of a time rate and of a way over an interval, by panels of eight points (exact to degree 15 in each).
fn gauss(from: f64, to: f64, panels: usize, f: impl Fn(f64) -> [f64; 3]) -> (f64, [f64; 2]) {
    // Abscissas and weights of the eight-point rule (AS-1964, table 25.4).
    const RULE: [(f64, f64); 4] = [
        (0.183_434_642_495_649_8, 0.362_683_783_378_362),
        (0.525_532_409_916_329, 0.313_706_645_877_887_3),
        (0.796_666_477_413_626_7, 0.222_381_034_453_374_48),
        (0.960_289_856_497_536_3, 0.101_228_536_290_376_26),
    ];
    let half = 0.5 * (to - from) / panels as f64;
    let mut sum = [0.0; 3];
    for panel in 0..panels {
        let middle = from + half * (2 * panel + 1) as f64;
        for (place, weight) in RULE {
            for value in [f(middle - half * place), f(middle + half * place)] {
                for (total, part) in sum.iter_mut().zip(value) {
                    *total += half * weight * part;
                }
            }
        }
    }
    (sum[0], [sum[1], sum[2]])
}

/// Where a piece begins.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Knot {
    /// Time, s.
    pub time_s: f64,
    /// Course through the air, rad, not folded.
    pub course_rad: f64,
    /// Place over the ground, m, in the frame of the figure.
    pub place_m: [f64; 2],
}

/// Where each piece begins, and the end of the last, of pieces begun on a course at the origin. Linear in the pieces.
#[must_use]
pub fn traced(drift: Drift, course_rad: f64, pieces: &[Piece]) -> Vec<Knot> {
    let mut at = Knot { time_s: 0.0, course_rad, place_m: [0.0; 2] };
    let mut knots = vec![at];
    for piece in pieces {
        let (time_s, way_m, course_rad) = match *piece {
            Piece::Straight { time_s } => {
                let way = drift.speed_mps * time_s;
                let course = at.course_rad;
                (time_s, [way * cos(course), way * sin(course)], course)
            }
            Piece::Roll { from_rad, to_rad, time_s } => {
                let (_, way_m) = drift.roll(at.course_rad, (from_rad, to_rad), time_s);
                let turned = drift.roll_course_rad((from_rad, to_rad), time_s, time_s);
                (time_s, way_m, at.course_rad + turned)
            }
            Piece::Arc { radius_m, course_end_rad } => {
                let (time_s, way_m) = drift.arc(radius_m, at.course_rad, course_end_rad);
                (time_s, way_m, course_end_rad)
            }
        };
        let moved = |i: usize| at.place_m[i] + way_m[i] + drift.wind_mps[i] * time_s;
        let place_m = [moved(0), moved(1)];
        at = Knot { time_s: at.time_s + time_s, course_rad, place_m };
        knots.push(at);
    }
    knots
}

/// A turn from one track over the ground to another: roll-in, arc, roll-out, at this roll rate (rad/s, positive).
///
/// `None` when the arc would need more than 85 degrees of bank, or the rolls alone turn further.
#[must_use]
pub fn corner(
    drift: Drift,
    (from_rad, to_rad): (f64, f64),
    radius_m: f64,
    rate_radps: f64,
) -> Option<Vec<Piece>> {
    let (begin_rad, end_rad) =
        (drift.course_for_track_rad(from_rad), drift.course_for_track_rad(to_rad));
    turn(drift, (begin_rad, end_rad), radius_m, [rate_radps; 2])
}

/// A turn from one course through the air to another: roll-in, arc, roll-out, each roll at its rate (rad/s, positive).
///
/// `None` when the arc would need more than 85 degrees of bank, or the rolls alone turn further.
#[must_use]
pub fn turn(
    drift: Drift,
    (begin_rad, end_rad): (f64, f64),
    radius_m: f64,
    [rate_in, rate_out]: [f64; 2],
) -> Option<Vec<Piece>> {
    let sign = radius_m.signum();
    let in_rad = drift.roll_in_rad(begin_rad, radius_m, rate_in)?;
    let out_rad = drift.roll_out_rad(end_rad, radius_m, rate_out)?;
    let rolled_in_rad = begin_rad + sign * drift.roll_turns_rad(in_rad, in_rad / rate_in);
    let course_end_rad = end_rad - sign * drift.roll_turns_rad(out_rad, out_rad / rate_out);
    (sign * (course_end_rad - rolled_in_rad) > 0.0).then(|| {
        vec![
            Piece::Roll { from_rad: 0.0, to_rad: sign * in_rad, time_s: in_rad / rate_in },
            Piece::Arc { radius_m, course_end_rad },
            Piece::Roll { from_rad: sign * out_rad, to_rad: 0.0, time_s: out_rad / rate_out },
        ]
    })
}

/// Steepest bank of the lift in these pieces, rad: on an arc it lies at an end, or where the track passes downwind.
#[must_use]
pub fn steepest_rad(drift: Drift, pieces: &[Piece]) -> f64 {
    let knots = traced(drift, 0.0, pieces);
    let downwind_rad = atan2(drift.wind_mps[1], drift.wind_mps[0]);
    let mut steepest: f64 = 0.0;
    for (piece, pair) in pieces.iter().zip(knots.windows(2)) {
        match *piece {
            Piece::Straight { .. } => {}
            Piece::Roll { from_rad, to_rad, .. } => {
                steepest = steepest.max(from_rad.abs()).max(to_rad.abs());
            }
            Piece::Arc { radius_m, .. } => {
                let (a, b) = (pair[0].course_rad, pair[1].course_rad);
                let (low, high) = (a.min(b), a.max(b));
                let turns = ((low - downwind_rad) / std::f64::consts::TAU).ceil();
                let downwind = downwind_rad + turns * std::f64::consts::TAU;
                for course in [low, high].into_iter().chain((downwind < high).then_some(downwind)) {
                    steepest = steepest.max(drift.arc_bank_rad(radius_m, course).abs());
                }
            }
        }
    }
    steepest
}

/// A path of pieces, flown level at constant airspeed.
#[derive(Debug, Clone)]
pub struct GroundPath<'a> {
    body: &'a PointMass<'a>,
    height_m: f64,
    /// The air.
    pub drift: Drift,
    pieces: Vec<Piece>,
    /// Where each piece begins, and the end of the last.
    pub knots: Vec<Knot>,
    /// Share of full power that holds the airspeed with the wings level.
    power_level_share: f64,
}

impl<'a> GroundPath<'a> {
    /// The path of these pieces, begun on course nil. Linear in the pieces.
    #[must_use]
    pub fn new(setting: &'a Setting<'a>, drift: Drift, pieces: Vec<Piece>) -> Self {
        let knots = traced(drift, 0.0, &pieces);
        let (body, height_m) = (&setting.body, setting.height_m);
        let mut path = Self { body, height_m, drift, pieces, knots, power_level_share: 0.0 };
        path.power_level_share = path.power_share_at_bank(0.0);
        path
    }
    /// Center of the arc that is this piece, m, in the frame of the figure; `None` for other pieces.
    #[must_use]
    pub fn center_m(&self, piece: usize) -> Option<[f64; 2]> {
        let Piece::Arc { radius_m, .. } = *self.pieces.get(piece)? else { return None };
        let knot = &self.knots[piece];
        let [ahead, right] = self.drift.over_ground_mps(knot.course_rad);
        let share = radius_m / hypot(ahead, right);
        Some([knot.place_m[0] - share * right, knot.place_m[1] + share * ahead])
    }
    /// End of the path, s.
    #[must_use]
    pub fn end_s(&self) -> f64 {
        self.knots.last().map_or(0.0, |knot| knot.time_s)
    }
    /// Bank of the lift, rad, at a time on a course.
    #[must_use]
    pub fn lift_bank_rad(&self, time_s: f64, course_rad: f64) -> f64 {
        let after = self.knots[1..].iter().position(|knot| time_s <= knot.time_s);
        let index = after.unwrap_or(self.pieces.len() - 1);
        match self.pieces[index] {
            Piece::Straight { .. } => 0.0,
            Piece::Roll { from_rad, to_rad, time_s: whole_s } => {
                let share = (time_s - self.knots[index].time_s) / whole_s;
                from_rad + share.clamp(0.0, 1.0) * (to_rad - from_rad)
            }
            Piece::Arc { radius_m, .. } => self.drift.arc_bank_rad(radius_m, course_rad),
        }
    }
    /// Share of full power that holds the airspeed at a bank of the lift.
    #[must_use]
    pub fn power_share_at_bank(&self, lift_bank_rad: f64) -> f64 {
        let (speed_mps, height_m) = (self.drift.speed_mps, self.height_m);
        let load = 1.0 / cos(lift_bank_rad);
        let lift = self.body.lift_coefficient_for(load, speed_mps, height_m);
        let drag_n = self.body.drag_n(lift, speed_mps, height_m);
        self.body.power_share_for(drag_n, speed_mps, height_m)
    }
}

impl Schedule for GroundPath<'_> {
    fn steer(&self, time_s: f64, course_rad: f64) -> Steer {
        Steer::LevelAtLiftBank { lift_bank_rad: self.lift_bank_rad(time_s, course_rad) }
    }
    fn power_share(&self) -> f64 {
        self.power_level_share
    }
    fn power_share_in(&self, time_s: f64, x: &State) -> f64 {
        let bank_rad = self.lift_bank_rad(time_s, x[state::COURSE]);
        if bank_rad == 0.0 { self.power_level_share } else { self.power_share_at_bank(bank_rad) }
    }
    fn corners(&self) -> Vec<f64> {
        self.knots[1..].iter().map(|knot| knot.time_s).collect()
    }
}
