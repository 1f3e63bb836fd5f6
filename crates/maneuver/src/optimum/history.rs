//! Controls found, as a schedule that is flown again.

use base::numerics::ode;
use base::numerics::root;
use flight::point_mass::{PointMass, State, state};

use crate::solve::{Flown, Resolved, Schedule, Steer, fly_with};

/// One piece: lift coefficient and lift bank linear in time.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Piece {
    /// End of the piece, s.
    pub end_s: f64,
    /// Lift coefficient at its beginning and its end; `None` holds the height.
    pub lift: Option<[f64; 2]>,
    /// Lift bank at its beginning and its end, rad.
    pub bank_rad: [f64; 2],
}

/// Lift coefficient and lift bank against time, in pieces, at one share of power.
#[derive(Debug, Clone, PartialEq)]
pub struct ControlHistory {
    /// The pieces in time order from nil.
    pub pieces: Vec<Piece>,
    /// Share of full power.
    pub power_share: f64,
}

impl Schedule for ControlHistory {
    fn steer(&self, time_s: f64, _: f64) -> Steer {
        let index = self.pieces.partition_point(|piece| piece.end_s < time_s);
        let index = index.min(self.pieces.len().saturating_sub(1));
        let begin_s = index.checked_sub(1).map_or(0.0, |before| self.pieces[before].end_s);
        let piece = &self.pieces[index];
        let share = (time_s - begin_s) / (piece.end_s - begin_s);
        let between = |ends: [f64; 2]| ends[0] + share * (ends[1] - ends[0]);
        let lift_bank_rad = between(piece.bank_rad);
        piece.lift.map_or(Steer::LevelAtLiftBank { lift_bank_rad }, |lift| Steer::Lift {
            lift_coefficient: between(lift),
            lift_bank_rad,
        })
    }
    fn power_share(&self) -> f64 {
        self.power_share
    }
    fn corners(&self) -> Vec<f64> {
        self.pieces.iter().map(|piece| piece.end_s).collect()
    }
}

/// State and attitude where a course is reached.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Checkpoint {
    /// Time, s.
    pub time_s: f64,
    /// State of the point mass.
    pub state: State,
    /// Lift and attitude.
    pub resolved: Resolved,
}

impl ControlHistory {
    /// Flies it again from a level state, tightly integrated; `None` when it leaves the model.
    #[must_use]
    pub fn fly(&self, body: &PointMass<'_>, speed_mps: f64, height_m: f64) -> Option<Flown> {
        let mut start = [0.0; state::COUNT];
        start[state::SPEED] = speed_mps;
        start[state::HEIGHT] = height_m;
        let control = ode::Control {
            relative: 1e-10,
            absolute: 1e-10,
            step_first: 0.1,
            step_max: 5.0,
            steps_max: 4000,
        };
        fly_with(body, start, self, &control)
    }
}

/// Where a flight has turned through a course, rad, for the first time; its end when it ends there; `None` when it never does.
#[must_use]
pub fn where_turned(
    flown: &Flown,
    body: &PointMass<'_>,
    schedule: &impl Schedule,
    course_rad: f64,
) -> Option<Checkpoint> {
    const SCAN: usize = 400;
    // A solution meets its conditions to better than this.
    const CLOSE_RAD: f64 = 1e-4;
    let miss = |time_s: f64| flown.state(time_s)[state::COURSE] - course_rad;
    let at = |time_s: f64| {
        let (state, resolved) = flown.at(body, schedule, time_s);
        Checkpoint { time_s, state, resolved }
    };
    if miss(flown.end_s).abs() < CLOSE_RAD {
        return Some(at(flown.end_s));
    }
    if miss(0.0) >= 0.0 {
        return Some(at(0.0));
    }
    let place = |i: usize| flown.end_s * i as f64 / SCAN as f64;
    let after = (1..=SCAN).find(|&i| miss(place(i)) >= 0.0)?;
    root::find(miss, place(after - 1), place(after), 1e-12).ok().map(at)
}
