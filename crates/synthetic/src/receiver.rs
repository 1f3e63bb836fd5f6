//! A satellite receiver: fixes of a flight with errors that stay for a while, errors that do not, and holes.

use base::factors::RAD_PER_DEG;
use base::frames::Vec3;
use base::geodesy::{Geodetic, LocalLevel};
use base::math::{atan2, hypot, wrap_two_pi};
use recording::Fix;

use crate::dice::{Dice, Wander};
use crate::flown::{Flown, TRUTH_STEP_S, Whereabouts};

/// A receiver: how often it fixes, how wrong it is, how often it loses the sky.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Receiver {
    /// Steps of the truth (0.1 s) from one fix to the next: 2 gives 5 fixes a second, 10 one.
    pub stride: usize,
    /// Standard deviation along each horizontal axis of the part that stays, m, and for how long, s.
    pub place_m: (f64, f64),
    /// Of the part that is new in every fix, m.
    pub place_white_m: f64,
    /// The same for height, m and s.
    pub height_m: (f64, f64),
    /// The same for height, m.
    pub height_white_m: f64,
    /// Of each horizontal component of velocity, new in every fix, m/s.
    pub velocity_mps: f64,
    /// Of the climb, m/s.
    pub climb_mps: f64,
    /// Share of the variance of velocity and climb that stays for a while, nil to one, and for how long, s.
    pub velocity_stays: (f64, f64),
    /// Number of holes of 2 to 5 s, spread over the flight.
    pub holes: usize,
    /// Seed of the errors.
    pub seed: u64,
}

impl Receiver {
    /// An ordinary consumer receiver (common practice, no source).
    #[must_use]
    pub const fn usual(stride: usize, holes: usize, seed: u64) -> Self {
        Self {
            stride,
            place_m: (1.8, 60.0),
            place_white_m: 0.25,
            height_m: (3.0, 90.0),
            height_white_m: 0.4,
            velocity_mps: 0.07,
            climb_mps: 0.1,
            velocity_stays: (0.0, 3.0),
            holes,
            seed,
        }
    }
    /// The fixes of a flight, in time order. Linear in its length.
    #[must_use]
    pub fn fixes(&self, flown: &Flown) -> Vec<Fix> {
        self.fixes_along(&flown.whereabouts())
    }
    /// The fixes along a track with a point every [`TRUTH_STEP_S`], in time order. Linear in its length.
    #[must_use]
    pub fn fixes_along(&self, track: &[Whereabouts]) -> Vec<Fix> {
        let mut dice = Dice::new(self.seed, 2);
        let step_s = self.stride as f64 * TRUTH_STEP_S;
        let holes = self.holes(track, &mut dice);
        let mut stay = [self.place_m, self.place_m, self.height_m]
            .map(|(spread, memory_s)| Wander::new(spread, memory_s, &mut dice));
        let spread = [self.velocity_mps, self.velocity_mps, self.climb_mps];
        let (stays, memory_s) = self.velocity_stays;
        // A chance of its own, so that what stays changes nothing else of the receiver.
        let mut slow_dice = Dice::new(self.seed, 3);
        let mut slow =
            spread.map(|spread| Wander::new(stays.sqrt() * spread, memory_s, &mut slow_dice));
        let mut fixes = Vec::with_capacity(track.len() / self.stride + 1);
        for at in track.iter().step_by(self.stride) {
            // Errors go on in a hole; they are drawn whether or not the fix is kept.
            let white = [self.place_white_m, self.place_white_m, self.height_white_m];
            let mut off = [0.0; 3];
            for ((off, stay), white) in off.iter_mut().zip(&mut stay).zip(white) {
                *off = stay.step(step_s, &mut dice) + white * dice.normal();
            }
            let mut velocity_off =
                spread.map(|spread| (1.0 - stays).sqrt() * spread * dice.normal());
            for (off, slow) in velocity_off.iter_mut().zip(&mut slow) {
                *off += slow.step(step_s, &mut slow_dice);
            }
            let time_s = at.time_s;
            if holes.iter().any(|(from, to)| time_s > *from && time_s < *to) {
                continue;
            }
            let place = LocalLevel::at(at.place).to_geodetic(Vec3::new(off[0], off[1], -off[2]));
            let north = at.velocity_mps.north() + velocity_off[0];
            let east = at.velocity_mps.east() + velocity_off[1];
            fixes.push(fix(time_s, place, [north, east, velocity_off[2] - at.velocity_mps.down()]));
        }
        fixes
    }
    fn holes(&self, track: &[Whereabouts], dice: &mut Dice) -> Vec<(f64, f64)> {
        let whole_s = track.last().map_or(0.0, |at| at.time_s);
        let each_s = whole_s / self.holes.max(1) as f64;
        (0..self.holes)
            .map(|i| {
                let from_s = each_s * (i as f64 + dice.between(0.2, 0.8));
                (from_s, from_s + dice.between(2.0, 5.0))
            })
            .collect()
    }
}

fn fix(time_s: f64, place: Geodetic, [north, east, up]: [f64; 3]) -> Fix {
    Fix {
        time_s,
        latitude_deg: place.latitude_deg(),
        longitude_deg: place.longitude_deg(),
        height_m: Some(place.height_m),
        ground_speed_mps: Some(hypot(north, east)),
        track_deg: Some(wrap_two_pi(atan2(east, north)) / RAD_PER_DEG),
        climb_mps: Some(up),
    }
}
