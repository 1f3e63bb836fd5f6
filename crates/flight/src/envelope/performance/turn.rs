//! Turns: sustained (speed and height, or a stated climb, held), instantaneous (bound by stall or limit), corner speed; how fast speed
//! bleeds in a turn that power does not hold.

use base::factors::STANDARD_GRAVITY_MPS2;
use base::kinds::{GeometricHeight, TrueAirspeed};
use base::math::{acos, asin, cos, tan};
use base::units::{Angle, AngularRate, Length, LoadFactor, Speed};

use super::{Airspeeds, Bound, Performance, height_m, place};
use crate::point_mass::performance::greatest;

/// A steady turn, or the first instant of one.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Turn {
    /// Speed.
    pub airspeeds: Airspeeds,
    /// Load factor.
    pub load: LoadFactor,
    /// Bank.
    pub bank: Angle,
    /// Rate of turn.
    pub rate: AngularRate,
    /// Radius through the air, over the ground in still air.
    pub radius: Length,
    /// What bounds the load.
    pub bound: Bound,
}

/// What makes a turn the best.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum TurnMerit {
    /// Greatest load, steepest bank.
    Load,
    /// Greatest rate.
    Rate,
    /// Least radius.
    Radius,
}

impl Performance<'_> {
    /// The tightest turn at a true airspeed that holds the speed and this rate of climb (nil for level), speed at least
    /// `stall_margin` times the stall speed under its load. `None` when not even straight flight does, and for a
    /// margin below one.
    #[must_use]
    pub fn sustained_turn_at(
        &self,
        height: GeometricHeight,
        speed: TrueAirspeed,
        climb: Speed,
        stall_margin: f64,
    ) -> Option<Turn> {
        let (height_m, speed_mps) = place(height, speed)?;
        let sine = climb.to_mps() / speed_mps;
        if sine.abs() >= 1.0 || stall_margin.is_nan() || stall_margin < 1.0 {
            return None;
        }
        let thrust_n = self.thrust_n(speed_mps, height_m) - self.body.weight_n() * sine;
        let pressure_area_n = self.body.pressure_area_n(speed_mps, height_m);
        let polar = &self.airplane.aerodynamics;
        let square = (thrust_n / pressure_area_n - polar.drag_zero_lift) / polar.drag_induced;
        let load_g = |lift: f64| lift * pressure_area_n / self.body.weight_n();
        let bounds = [
            (load_g(square.max(0.0).sqrt()), Bound::Thrust),
            (load_g(self.lift_max() / (stall_margin * stall_margin)), Bound::Stall),
            (self.limit.to_g(), Bound::Limit),
        ];
        self.turn(height, speed_mps, asin(sine), &bounds)
    }
    /// The tightest level turn of the first instant at a true airspeed: bound by the stall or the limit load. Height is held, speed is
    /// not ([`Self::speed_change_mps2`]).
    #[must_use]
    pub fn instantaneous_turn_at(
        &self,
        height: GeometricHeight,
        speed: TrueAirspeed,
    ) -> Option<Turn> {
        let (height_m, speed_mps) = place(height, speed)?;
        let pressure_area_n = self.body.pressure_area_n(speed_mps, height_m);
        let stall_g = self.lift_max() * pressure_area_n / self.body.weight_n();
        let bounds = [(stall_g, Bound::Stall), (self.limit.to_g(), Bound::Limit)];
        self.turn(height, speed_mps, 0.0, &bounds)
    }
    /// The turn at the corner speed, where stall and limit load meet: the greatest instantaneous rate and the least radius.
    #[must_use]
    pub fn corner_turn(&self, height: GeometricHeight) -> Option<Turn> {
        let speed_mps = self.body.stall_speed_mps(height_m(height)?) * self.limit.to_g().sqrt();
        self.instantaneous_turn_at(height, TrueAirspeed::from_mps(speed_mps))
    }
    /// The best sustained level turn by a merit; `None` when height is not held at any speed.
    #[must_use]
    pub fn sustained_turn_best(
        &self,
        height: GeometricHeight,
        merit: TurnMerit,
        stall_margin: f64,
    ) -> Option<Turn> {
        let at = |speed_mps: f64| {
            let speed = TrueAirspeed::from_mps(speed_mps);
            self.sustained_turn_at(height, speed, Speed::ZERO, stall_margin)
        };
        let value = |speed_mps: f64| {
            at(speed_mps).map_or(f64::NEG_INFINITY, |turn| match merit {
                TurnMerit::Load => turn.load.to_g(),
                TurnMerit::Rate => turn.rate.to_radps(),
                TurnMerit::Radius => -turn.radius.to_m(),
            })
        };
        let stall_mps = self.body.stall_speed_mps(height_m(height)?);
        at(greatest(value, stall_mps, self.never_exceed_mps(height)).0)
    }
    /// Change of true airspeed, m/s each second, in a level turn at a bank, below zero when speed bleeds; `None` when the wing
    /// stalls.
    #[must_use]
    pub fn speed_change_mps2(
        &self,
        height: GeometricHeight,
        speed: TrueAirspeed,
        bank: Angle,
    ) -> Option<f64> {
        let (height_m, speed_mps) = place(height, speed)?;
        let lift = self.body.lift_coefficient_for(1.0 / cos(bank.to_rad()), speed_mps, height_m);
        let force_n =
            self.thrust_n(speed_mps, height_m) - self.body.drag_n(lift, speed_mps, height_m);
        (lift > 0.0 && lift <= self.lift_max()).then(|| force_n / self.mass.to_kg())
    }
    /// The turn at the least of some load factors: `n cos(bank) = cos(climb)`, turning at `g tan(bank) / V`.
    fn turn(
        &self,
        height: GeometricHeight,
        speed_mps: f64,
        climb_rad: f64,
        bounds: &[(f64, Bound)],
    ) -> Option<Turn> {
        let (load_g, bound) = *bounds.iter().min_by(|a, b| a.0.total_cmp(&b.0))?;
        let upright = cos(climb_rad) / load_g;
        if load_g.is_nan() || !(0.0..=1.0).contains(&upright) {
            return None;
        }
        let bank_rad = acos(upright);
        let rate_radps = STANDARD_GRAVITY_MPS2 * tan(bank_rad) / speed_mps;
        // Wings level on the bound itself: a radius beyond all measure, which no length can hold.
        let radius = Length::try_from_m(speed_mps * cos(climb_rad) / rate_radps)?;
        Some(Turn {
            airspeeds: self.airspeeds(speed_mps, height),
            load: LoadFactor::from_g(load_g),
            bank: Angle::from_rad(bank_rad),
            rate: AngularRate::from_radps(rate_radps),
            radius,
            bound,
        })
    }
}
