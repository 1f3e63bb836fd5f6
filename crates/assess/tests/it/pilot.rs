//! A pilot with a wandering hand, flying an invented airplane by its equations of coordinated flight in a steady wind, and a
//! satellite receiver aboard. Serves to see whether finding generalizes: other shapes, speeds and hands than the check data.

#![allow(clippy::disallowed_methods, reason = "tests may use platform mathematics")]

use base::factors::{M_PER_FT, MPS_PER_KT, RAD_PER_DEG, STANDARD_GRAVITY_MPS2};
use motion::{Column, Motion};
use recording::{Fix, HeightDatum, Recording};

/// Numbers that look random, the same every time.
pub(crate) struct Dice(u64);

impl Dice {
    pub(crate) fn new(seed: u64) -> Self {
        Self(seed.wrapping_mul(0x9E37_79B9_7F4A_7C15) | 1)
    }
    /// Between zero and one.
    pub(crate) fn share(&mut self) -> f64 {
        self.0 ^= self.0 << 13;
        self.0 ^= self.0 >> 7;
        self.0 ^= self.0 << 17;
        (self.0 >> 11) as f64 / (1u64 << 53) as f64
    }
    pub(crate) fn between(&mut self, low: f64, high: f64) -> f64 {
        low + (high - low) * self.share()
    }
    pub(crate) fn normal(&mut self) -> f64 {
        (0..12).map(|_| self.share()).sum::<f64>() - 6.0
    }
}

/// Value that wanders and comes back: standard deviation `spread`, correlated over `memory_s`.
struct Wander {
    value: f64,
    spread: f64,
    memory_s: f64,
}

impl Wander {
    fn new(spread: f64, memory_s: f64) -> Self {
        Self { value: 0.0, spread, memory_s }
    }
    fn step(&mut self, dice: &mut Dice, step_s: f64) -> f64 {
        let keep = (-step_s / self.memory_s).exp();
        self.value = keep * self.value + self.spread * (1.0 - keep * keep).sqrt() * dice.normal();
        self.value
    }
}

/// What the pilot aims at, at a number of degrees turned and seconds into a piece: bank (into the turn) and path angle, degrees.
type Aim<'a> = &'a dyn Fn(f64, f64) -> (f64, f64);

/// Time, place north, east and up, and velocity likewise.
type Row = (f64, [f64; 3], [f64; 3]);

/// An attempt as flown.
#[derive(Debug, Clone)]
pub(crate) struct Truth {
    pub(crate) maneuver: &'static str,
    pub(crate) what: String,
    pub(crate) start_s: f64,
    pub(crate) end_s: f64,
}

/// The airplane, its pilot and the record.
pub(crate) struct Flight {
    pub(crate) dice: Dice,
    time_s: f64,
    north_m: f64,
    east_m: f64,
    height_m: f64,
    speed_mps: f64,
    pub(crate) heading_rad: f64,
    bank_deg: f64,
    path_deg: f64,
    rate_dps: f64,
    /// Speed of level flight with the power set, and how strongly it is sought: acceleration share of g at nil speed.
    pub(crate) trim_mps: f64,
    pub(crate) pull: f64,
    hand_bank: Wander,
    hand_path: Wander,
    wind_mps: (f64, f64),
    rows: Vec<Row>,
    /// Bank and path, degrees; heading, rad; speed, m/s; load: as flown, one entry a row.
    states: Vec<[f64; 5]>,
    pub(crate) truths: Vec<Truth>,
}

const STEP_S: f64 = 0.05;

impl Flight {
    /// `hand` is the standard deviation of the bank held, degrees.
    pub(crate) fn new(seed: u64, entry_kt: f64, hand: f64) -> Self {
        let mut dice = Dice::new(seed);
        let (toward, wind) = (dice.between(0.0, std::f64::consts::TAU), dice.between(0.0, 10.0));
        let heading_rad = dice.between(0.0, std::f64::consts::TAU);
        Self {
            dice,
            time_s: 0.0,
            north_m: 0.0,
            east_m: 0.0,
            height_m: 1500.0,
            speed_mps: entry_kt * MPS_PER_KT,
            heading_rad,
            bank_deg: 0.0,
            path_deg: 0.0,
            rate_dps: 0.0,
            trim_mps: entry_kt * MPS_PER_KT,
            pull: 0.12,
            hand_bank: Wander::new(hand, 2.5),
            hand_path: Wander::new(0.25 * hand, 4.0),
            wind_mps: (wind * toward.cos(), wind * toward.sin()),
            rows: Vec::new(),
            states: Vec::new(),
            truths: Vec::new(),
        }
    }
    fn step(&mut self, bank_wanted: f64, path_wanted: f64) {
        let wander = self.hand_bank.step(&mut self.dice, STEP_S);
        let drift = self.hand_path.step(&mut self.dice, STEP_S);
        let roll = ((bank_wanted + wander - self.bank_deg) / 0.5).clamp(-25.0, 25.0);
        let pitch = ((path_wanted + drift - self.path_deg) / 0.2).clamp(-30.0, 30.0);
        self.bank_deg += roll * STEP_S;
        self.path_deg += pitch * STEP_S;
        let (bank, path) = (self.bank_deg * RAD_PER_DEG, self.path_deg * RAD_PER_DEG);
        let g = STANDARD_GRAVITY_MPS2;
        let up = path.cos() + self.speed_mps * pitch * RAD_PER_DEG / g;
        let rate = g * up * bank.tan() / (self.speed_mps * path.cos());
        self.rate_dps = rate / RAD_PER_DEG;
        self.heading_rad += rate * STEP_S;
        // Thrust less drag: nil at the trim speed in level flight; load costs speed.
        let load = up / bank.cos();
        let ratio = self.speed_mps / self.trim_mps;
        let along = self.pull * (1.0 - ratio * ratio)
            - 0.02 * (load * load - 1.0) / (ratio * ratio).max(0.2);
        self.speed_mps += g * (along - path.sin()) * STEP_S;
        let flat = self.speed_mps * path.cos();
        let velocity = [
            flat * self.heading_rad.cos() + self.wind_mps.0,
            flat * self.heading_rad.sin() + self.wind_mps.1,
            self.speed_mps * path.sin(),
        ];
        self.north_m += velocity[0] * STEP_S;
        self.east_m += velocity[1] * STEP_S;
        self.height_m += velocity[2] * STEP_S;
        self.time_s += STEP_S;
        self.states.push([self.bank_deg, self.path_deg, self.heading_rad, self.speed_mps, load]);
        self.rows.push((self.time_s, [self.north_m, self.east_m, self.height_m], velocity));
    }
    /// Straight flight toward the trim speed and a path angle.
    pub(crate) fn straight(&mut self, seconds: f64, path_deg: f64) {
        for _ in 0..(seconds / STEP_S) as usize {
            self.step(0.0, path_deg);
        }
    }
    /// Turns this many degrees (sign: right positive) as the aim says; ends when turned or after `limit_s`.
    pub(crate) fn turn(&mut self, turn_deg: f64, limit_s: f64, aim: Aim<'_>) -> (f64, f64) {
        let (start_s, from, sign) = (self.time_s, self.heading_rad, turn_deg.signum());
        loop {
            let turned = sign * (self.heading_rad - from) / RAD_PER_DEG;
            let (bank, path) = aim(turned, self.time_s - start_s);
            // The roll-out is led by the time it takes.
            let lead = 0.5 * self.rate_dps.abs() * (self.bank_deg.abs() / 25.0 + 0.5);
            if turned >= turn_deg.abs() - lead || self.time_s - start_s > limit_s {
                break;
            }
            self.step(sign * bank, path);
        }
        for _ in 0..(20.0 / STEP_S) as usize {
            if self.bank_deg.abs() < 5.0 {
                break;
            }
            self.step(0.0, self.path_deg);
        }
        (start_s, self.time_s)
    }
    pub(crate) fn note(
        &mut self,
        maneuver: &'static str,
        what: impl Into<String>,
        span: (f64, f64),
    ) {
        self.truths.push(Truth { maneuver, what: what.into(), start_s: span.0, end_s: span.1 });
    }
    pub(crate) fn speed_kt(&self) -> f64 {
        self.speed_mps / MPS_PER_KT
    }
    pub(crate) fn set_speed(&mut self, kt: f64) {
        self.trim_mps = kt * MPS_PER_KT;
    }
    pub(crate) fn height_ft(&self) -> f64 {
        self.height_m / M_PER_FT
    }
    /// The motion as it was flown, without error, ten times a second.
    pub(crate) fn motion(&self) -> Motion {
        let rows = || self.rows.iter().step_by(2);
        let states = || self.states.iter().step_by(2);
        let exact = |value: Vec<f64>| Some(Column { sigma: vec![1e-9; value.len()], value });
        let angle = |k: usize| exact(states().map(|state| state[k] * RAD_PER_DEG).collect());
        let calibrated = |(row, state): (&Row, &[f64; 5])| {
            let air = flight::air::Air::standard(base::kinds::PressureAltitude::from_m(row.1[2]));
            let speed = base::kinds::TrueAirspeed::from_mps(state[3]);
            flight::airspeed::calibrated_from_true(speed, &air).to_mps()
        };
        let airborne = vec![true; rows().count()];
        Motion {
            time_s: rows().map(|row| row.0 - STEP_S).collect(),
            north_m: exact(rows().map(|row| row.1[0]).collect()),
            east_m: exact(rows().map(|row| row.1[1]).collect()),
            height_m: exact(rows().map(|row| row.1[2]).collect()),
            heading_rad: exact(states().map(|state| state[2]).collect()),
            track_rad: exact(states().map(|state| state[2]).collect()),
            path_angle_rad: angle(1),
            bank_rad: angle(0),
            pitch_relative_rad: angle(1),
            load_factor: exact(states().map(|state| state[4]).collect()),
            calibrated_airspeed_mps: exact(rows().zip(states()).map(calibrated).collect()),
            airborne,
            ..Motion::default()
        }
    }
    /// What a satellite receiver records, a fix every `every_s`.
    pub(crate) fn recorded(&mut self, every_s: f64) -> Recording {
        let (latitude_deg, longitude_deg) = (47.0_f64, -31.0_f64);
        let m_per_deg = 111_200.0;
        let stride = (every_s / STEP_S).round() as usize;
        let mut errors = [Wander::new(1.5, 50.0), Wander::new(1.5, 50.0), Wander::new(2.5, 80.0)];
        let mut fixes = Vec::new();
        for (time_s, place, velocity) in self.rows.iter().step_by(stride) {
            let mut off = [0.0; 3];
            for (off, error) in off.iter_mut().zip(&mut errors) {
                *off = error.step(&mut self.dice, every_s) + 0.2 * self.dice.normal();
            }
            let [vn, ve, vu] = velocity.map(|v| v + 0.08 * self.dice.normal());
            fixes.push(Fix {
                time_s: *time_s - STEP_S,
                latitude_deg: latitude_deg + (place[0] + off[0]) / m_per_deg,
                longitude_deg: longitude_deg
                    + (place[1] + off[1]) / (m_per_deg * latitude_deg.to_radians().cos()),
                height_m: Some(place[2] + off[2]),
                ground_speed_mps: Some((vn * vn + ve * ve).sqrt()),
                track_deg: Some(ve.atan2(vn).to_degrees().rem_euclid(360.0)),
                climb_mps: Some(vu),
            });
        }
        Recording {
            format: "csv",
            name: "invented".into(),
            start: None,
            fixes,
            height_datum: HeightDatum::MeanSeaLevel,
            series: Vec::new(),
            gaps: Vec::new(),
            notes: Vec::new(),
        }
    }
}
