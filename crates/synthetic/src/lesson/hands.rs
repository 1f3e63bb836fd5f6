//! Hands and feet: what is wanted becomes controls.
//!
//! The inner loops (roll, pitch and yaw rate) are those of a practised body and follow the airplane's own answer to its
//! controls, found by differences at the start. What a pupil does badly happens outside of them: looking seldom, correcting
//! too much, forgetting to look at all, feet that sleep or push, a throttle hand that fidgets.

use base::factors::STANDARD_GRAVITY_MPS2;
use base::frames::Vec3;
use base::math::{asin, cos, sin, tan, wrap_pi};
use flight::controls::Inputs;
use flight::trim::Trim;
use flight::vehicle::{Moment, StateArray, Vehicle, World};

use super::airframe::Airframe;
use super::figures::{Aim, Flying, Leg, Nose, Power};
use super::truth::{Attempt, Sample};
use super::{STEP_S, Sort, rad};
use crate::dice::{Dice, Wander};

/// What the pilot sees and feels.
#[derive(Debug, Clone, Copy)]
pub(super) struct Seen {
    pub(super) time_s: f64,
    pub(super) bank_rad: f64,
    pub(super) pitch_rad: f64,
    /// Unwrapped.
    pub(super) heading_rad: f64,
    /// Of level flight at the entry speed.
    pub(super) pitch_level_rad: f64,
    pub(super) height_m: f64,
    pub(super) climb_mps: f64,
    pub(super) speed_mps: f64,
    pub(super) turn_radps: f64,
    pub(super) near_stall: bool,
    alpha_rad: f64,
    rates_radps: [f64; 3],
    dynamic_pressure_pa: f64,
}

impl Seen {
    /// Whether the figure has gone out of hand.
    pub(super) fn lost(&self, begun: &Self, drop_most_m: f64) -> bool {
        self.height_m < begun.height_m - drop_most_m
            || self.bank_rad.abs() > rad(80.0)
            || self.pitch_rad.abs() > rad(40.0)
    }
}

/// Habits of a pilot.
#[derive(Debug, Clone, Copy)]
pub(super) struct Habits {
    /// Wander of the hand about bank and nose: spread, rad, and memory, s.
    bank_rad: f64,
    nose_rad: f64,
    memory_s: f64,
    /// Time between two looks, s, least and most.
    look_s: (f64, f64),
    /// Share by which a correction overshoots.
    over: f64,
    /// Chance that a look is followed by seconds without one.
    pause: f64,
    /// How much of the sideslip the feet take out, nil to one; spread from figure to figure.
    feet: (f64, f64),
    /// Sideslip held on purpose in a figure, rad.
    pedal_rad: (f64, f64),
    /// Spread of the throttle hand, share of full power.
    throttle: f64,
}

impl Habits {
    pub(super) fn draw(sort: Sort, dice: &mut Dice) -> Self {
        let sloppy = dice.share();
        let mix = |tidy: f64, sloppy_value: f64| tidy + sloppy * (sloppy_value - tidy);
        let (feet, pedal_rad) = match sort {
            Sort::Uncoordinated => ((0.0, 0.35), (rad(3.0), rad(9.0))),
            Sort::Coordinated | Sort::Turbulent => ((0.45, 1.0), (0.0, 0.0)),
        };
        Self {
            bank_rad: rad(mix(0.4, 2.2)),
            nose_rad: rad(mix(0.2, 0.9)),
            memory_s: dice.between(2.0, 6.0),
            look_s: (0.1, mix(0.2, 1.3)),
            over: mix(0.0, 0.45),
            pause: mix(0.0, 0.06),
            feet,
            pedal_rad,
            throttle: mix(0.0, 0.06),
        }
    }
}

/// How the airplane answers to its controls at the start: angular acceleration per radian, and roll damping.
#[derive(Debug, Clone, Copy)]
pub(super) struct Grip {
    inputs: Inputs,
    dynamic_pressure_pa: f64,
    elevator: f64,
    aileron: f64,
    rudder: f64,
    roll_damping_ps: f64,
    alpha_rad: f64,
    pitch_rad: f64,
}

impl Grip {
    pub(super) fn new(vehicle: &Vehicle, world: &World<'_>, trimmed: &Trim) -> Self {
        const SMALL: f64 = 0.02;
        const RATES: usize = 10;
        let state = trimmed.state.to_array();
        let rates = |state: &StateArray, inputs: &Inputs| {
            let rate = vehicle.rate(world, 0.0, state, inputs);
            [rate[RATES], rate[RATES + 1], rate[RATES + 2]]
        };
        let still = rates(&state, &trimmed.inputs);
        // A surface stands where it is asked to be, or where its state is: both are moved.
        let answer = |surface: usize, axis: usize| {
            let (mut state, mut inputs) = (state, trimmed.inputs);
            state[14 + surface] += SMALL;
            let surfaces = &mut inputs.surfaces;
            *[&mut surfaces.elevator_rad, &mut surfaces.aileron_rad, &mut surfaces.rudder_rad]
                [surface] += SMALL;
            (rates(&state, &inputs)[axis] - still[axis]) / SMALL
        };
        let mut rolling = state;
        rolling[RATES] += SMALL;
        Self {
            inputs: trimmed.inputs,
            dynamic_pressure_pa: trimmed.instant.flow.dynamic_pressure_pa,
            elevator: answer(0, 1),
            aileron: answer(1, 0),
            rudder: answer(2, 2),
            roll_damping_ps: (rates(&rolling, &trimmed.inputs)[0] - still[0]) / SMALL,
            alpha_rad: trimmed.instant.flow.alpha_rad,
            pitch_rad: trimmed.pitch.to_rad(),
        }
    }
}

/// What the hand has set itself after the last look.
#[derive(Debug, Clone, Copy, Default)]
struct Set {
    bank_rad: f64,
    pitch_rad: f64,
    speed_off_mps: f64,
}

/// The pilot at work.
#[derive(Debug)]
pub(super) struct Pilot<'a> {
    habits: &'a Habits,
    legs: std::slice::Iter<'a, Leg>,
    flying: Option<Flying>,
    grip: Grip,
    alpha_most_rad: f64,
    pedal_most_rad: f64,
    dice: Dice,
    hand_bank: Wander,
    hand_nose: Wander,
    hand_throttle: Wander,
    set: Set,
    look_at_s: f64,
    heading_rad: f64,
    alpha_slow_rad: f64,
    beta_slow_rad: f64,
    sums: Sums,
    throttle: f64,
    feet: f64,
    pedal_rad: f64,
    attempts: Vec<Attempt>,
}

/// Whether this is no training maneuver any more.
fn out_of_hand(sample: &Sample) -> bool {
    let attitude = &sample.attitude;
    sample.beta_rad.abs() > rad(20.0)
        || attitude.bank_rad.abs() > rad(85.0)
        || attitude.pitch_rad.abs() > rad(42.0)
        || !(-0.3..=3.9).contains(&sample.load_factor())
}

/// Integrals of what was off: of pitch rate, sideslip, bank, speed.
#[derive(Debug, Clone, Copy, Default)]
struct Sums {
    pitch: f64,
    slip: f64,
    bank: f64,
    speed: f64,
}

impl<'a> Pilot<'a> {
    pub(super) fn new(
        habits: &'a Habits,
        legs: &'a [Leg],
        (grip, airframe): (Grip, &Airframe),
        mut dice: Dice,
    ) -> Self {
        let hand_bank = Wander::new(habits.bank_rad, habits.memory_s, &mut dice);
        let hand_nose = Wander::new(habits.nose_rad, habits.memory_s, &mut dice);
        let hand_throttle = Wander::new(habits.throttle, 5.0, &mut dice);
        Self {
            habits,
            legs: legs.iter(),
            flying: None,
            alpha_most_rad: airframe.alpha_most_rad,
            pedal_most_rad: airframe.beta_most_rad - rad(3.5),
            dice,
            hand_bank,
            hand_nose,
            hand_throttle,
            set: Set::default(),
            look_at_s: 0.0,
            heading_rad: f64::NAN,
            alpha_slow_rad: grip.alpha_rad,
            beta_slow_rad: 0.0,
            sums: Sums::default(),
            throttle: grip.inputs.throttle,
            grip,
            feet: 1.0,
            pedal_rad: 0.0,
            attempts: Vec::new(),
        }
    }
    pub(super) fn into_attempts(self) -> Vec<Attempt> {
        self.attempts
    }
    /// Controls for the next step; `None` when everything is flown.
    pub(super) fn answer(&mut self, moment: &Moment, sample: Option<&Sample>) -> Option<Inputs> {
        let Some(sample) = sample else { return Some(self.grip.inputs) };
        let seen = self.see(moment, sample);
        if out_of_hand(sample) {
            return None; // a spin is another trade: the flight is kept up to here
        }
        let aim = self.aim(&seen)?;
        self.look(&aim, &seen);
        let mut inputs = self.grip.inputs;
        self.stick(&aim, &seen, &mut inputs);
        self.pedals(&aim, &seen, &mut inputs);
        inputs.throttle = self.power(&aim);
        Some(inputs)
    }
    fn see(&mut self, moment: &Moment, sample: &Sample) -> Seen {
        let heading = sample.attitude.heading_rad;
        if self.heading_rad.is_nan() {
            self.heading_rad = heading;
        }
        self.heading_rad += wrap_pi(heading - self.heading_rad);
        let flow = &moment.instant.flow;
        let follow =
            |slow: &mut f64, now: f64, time_s: f64| *slow += (now - *slow) * STEP_S / time_s;
        follow(&mut self.alpha_slow_rad, flow.alpha_rad, 0.5);
        follow(&mut self.beta_slow_rad, flow.beta_rad(), 0.6);
        let Vec3 { x: p, y: q, z: r, .. } = sample.rates_radps;
        let (bank, pitch) = (sample.attitude.bank_rad, sample.attitude.pitch_rad);
        Seen {
            time_s: sample.time_s,
            bank_rad: bank,
            pitch_rad: pitch,
            pitch_level_rad: self.grip.pitch_rad,
            heading_rad: self.heading_rad,
            height_m: sample.place.height_m,
            climb_mps: -sample.velocity_mps.down(),
            speed_mps: sample.true_airspeed_mps,
            turn_radps: (q * sin(bank) + r * cos(bank)) / cos(pitch).max(0.2),
            near_stall: self.alpha_slow_rad > self.alpha_most_rad - rad(1.0),
            alpha_rad: flow.alpha_rad,
            rates_radps: [p, q, r],
            dynamic_pressure_pa: flow.dynamic_pressure_pa,
        }
    }
    /// What is wanted, going from piece to piece.
    fn aim(&mut self, seen: &Seen) -> Option<Aim> {
        loop {
            if let Some(flying) = &mut self.flying {
                if let Some(aim) = flying.aim(seen) {
                    return Some(aim);
                }
                self.attempts.extend(flying.attempt(seen.time_s));
            }
            self.flying = Some(Flying::begin(*self.legs.next()?, seen));
            let (least, most) = self.habits.feet;
            self.feet = self.dice.between(least, most);
            let side = if self.dice.share() < 0.5 { -1.0 } else { 1.0 };
            let (least, most) = self.habits.pedal_rad;
            // Every other figure the feet push, in the others they only sleep.
            let push = if self.dice.share() < 0.5 { self.dice.between(least, most) } else { 0.0 };
            self.pedal_rad = side * push.min(self.pedal_most_rad);
            self.look_at_s = seen.time_s;
        }
    }
    /// Looks now and then, and sets the hand: a correction may be too large, and a look may be forgotten.
    fn look(&mut self, aim: &Aim, seen: &Seen) {
        if seen.time_s < self.look_at_s {
            return;
        }
        let (least, most) = self.habits.look_s;
        self.look_at_s = seen.time_s + self.dice.between(least, most);
        if self.dice.share() < self.habits.pause {
            self.look_at_s += self.dice.between(1.0, 3.0);
        }
        let over = |wanted: f64, now: f64| wanted + self.habits.over * (wanted - now);
        let path = |climb_mps: f64| {
            let wanted = asin((climb_mps / seen.speed_mps).clamp(-0.35, 0.35));
            let now = asin((seen.climb_mps / seen.speed_mps).clamp(-0.9, 0.9));
            wanted + self.alpha_slow_rad * cos(seen.bank_rad) + 0.8 * (wanted - now)
        };
        let pitch = match aim.nose {
            Nose::Pitch(pitch) => pitch,
            Nose::Climb(climb_mps) => path(climb_mps),
            Nose::Height(height_m) => path(((height_m - seen.height_m) / 6.0).clamp(-4.0, 4.0)),
        };
        self.set = Set {
            bank_rad: over(aim.bank_rad, seen.bank_rad).clamp(rad(-68.0), rad(68.0)),
            pitch_rad: over(pitch, seen.pitch_rad).clamp(rad(-32.0), rad(32.0)),
            speed_off_mps: match aim.power {
                Power::Speed(speed_mps) => speed_mps - seen.speed_mps,
                Power::Share(_) | Power::Level => 0.0,
            },
        };
    }
    /// Roll and pitch.
    fn stick(&mut self, aim: &Aim, seen: &Seen, inputs: &mut Inputs) {
        let [p, q, r] = seen.rates_radps;
        let thin = self.grip.dynamic_pressure_pa / seen.dynamic_pressure_pa.max(100.0);
        let bank_off =
            self.set.bank_rad + self.hand_bank.step(STEP_S, &mut self.dice) - seen.bank_rad;
        self.sums.bank = (self.sums.bank + 0.12 * bank_off * STEP_S).clamp(-0.15, 0.15);
        let p_wanted = (1.6 * bank_off).clamp(-aim.roll_radps, aim.roll_radps) + self.sums.bank;
        let roll = 4.0 * (p_wanted - p) - self.grip.roll_damping_ps * p_wanted;
        inputs.surfaces.aileron_rad += roll * thin / self.grip.aileron;

        let pitch_off =
            self.set.pitch_rad + self.hand_nose.step(STEP_S, &mut self.dice) - seen.pitch_rad;
        let nose_wanted = (1.3 * pitch_off).clamp(rad(-7.0), rad(7.0));
        // The rate of the nose about the body's axis that keeps it there in a turn.
        let (bank, turn) = (seen.bank_rad, tan(seen.bank_rad.clamp(-1.2, 1.2)));
        let mut q_wanted = nose_wanted / cos(bank).max(0.4) + r * turn;
        let room = self.alpha_most_rad - rad(2.0) - seen.alpha_rad;
        if room < 0.0 {
            q_wanted = q_wanted.min(q) + 2.5 * room;
        }
        let off = q_wanted - q;
        self.sums.pitch = (self.sums.pitch + 9.0 * off * STEP_S).clamp(-25.0, 25.0);
        inputs.surfaces.elevator_rad += (4.5 * off + self.sums.pitch) * thin / self.grip.elevator;
    }
    /// The ball, as far as the feet care.
    fn pedals(&mut self, aim: &Aim, seen: &Seen, inputs: &mut Inputs) {
        let thin = self.grip.dynamic_pressure_pa / seen.dynamic_pressure_pa.max(100.0);
        let (feet, wanted) = if aim.figure { (self.feet, self.pedal_rad) } else { (0.8, 0.0) };
        let push = wanted.abs() > 0.0;
        let off = self.beta_slow_rad - wanted;
        let share = if push { 1.0 } else { feet };
        self.sums.slip = (self.sums.slip + 1.6 * off * share * STEP_S).clamp(-3.0, 3.0);
        if !push && feet < 0.3 {
            self.sums.slip *= 1.0 - STEP_S / 8.0;
        }
        // Whatever they do on purpose, feet resist a swing of the nose.
        let [_, _, r] = seen.rates_radps;
        let turning =
            STANDARD_GRAVITY_MPS2 * sin(seen.bank_rad) * cos(seen.pitch_rad) / seen.speed_mps;
        let swing = (0.5 + share) * (turning - r);
        inputs.surfaces.rudder_rad +=
            (share * 2.5 * off + self.sums.slip + swing) * thin / self.grip.rudder;
    }
    fn power(&mut self, aim: &Aim) -> f64 {
        const FASTEST_PS: f64 = 0.35;
        let fidget = self.hand_throttle.step(STEP_S, &mut self.dice);
        let wanted = match aim.power {
            Power::Share(share) => share,
            Power::Level => self.grip.inputs.throttle + fidget,
            Power::Speed(_) => {
                let off = self.set.speed_off_mps;
                self.sums.speed = (self.sums.speed + 0.006 * off * STEP_S).clamp(-0.6, 0.6);
                self.grip.inputs.throttle + 0.05 * off + self.sums.speed + fidget
            }
        };
        let most = FASTEST_PS * STEP_S;
        self.throttle += (wanted.clamp(0.0, 1.0) - self.throttle).clamp(-most, most);
        self.throttle
    }
}
