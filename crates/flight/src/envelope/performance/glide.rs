//! Gliding, engine idle, flaps up: best glide, least sink, in a wind along the track, in a turn.
//!
//! The propeller gives no thrust; its drag counts where the file states it and is told as not stated where it does not (the glide is
//! then too good). Air is that of the height asked, also while some hundred feet are lost.

use base::factors::STANDARD_GRAVITY_MPS2;
use base::kinds::{GeometricHeight, TrueAirspeed};
use base::math::{cos, sin, tan};
use base::units::{Angle, Duration, Length, Speed};

use super::{Airspeeds, Performance, height_m, place};
use crate::point_mass::performance::greatest;
use crate::point_mass::steady_path;

/// Banks of a gliding turn are looked for up to here.
const BANK_MOST_RAD: f64 = 75.0 * base::factors::RAD_PER_DEG;

/// Whether the drag of the idle propeller is in a glide.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum PropellerDrag {
    /// As the file states it.
    Stated,
    /// The file states none: left out, the glide is too good.
    NotStated,
}

/// A steady glide.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct GlidePath {
    /// Speed along the path.
    pub airspeeds: Airspeeds,
    /// Rate of descent, positive down.
    pub sink: Speed,
    /// Angle below the horizon.
    pub angle: Angle,
    /// Distance over height through the air.
    pub ratio: f64,
    /// Distance over height over the ground, below zero where the wind carries the airplane backward.
    pub ratio_over_ground: f64,
    /// Whether the propeller is in it.
    pub propeller: PropellerDrag,
}

/// A gliding turn.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct GlideTurn {
    /// The glide in the turn.
    pub glide: GlidePath,
    /// Bank.
    pub bank: Angle,
    /// Height lost through the turn.
    pub height_lost: Length,
    /// How long it takes.
    pub time: Duration,
    /// Radius through the air.
    pub radius: Length,
}

/// The stated glide beside the computed one.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct GlideComparison {
    /// Stated speed less computed one, both calibrated, at maximum mass.
    pub speed_difference: Option<Speed>,
    /// Stated ratio over the computed one.
    pub ratio_share: Option<f64>,
}

impl Performance<'_> {
    /// The glide at a true airspeed and a bank, with a headwind (negative for a tailwind) over the ground; `None` when the wing
    /// stalls or the path would be steeper than the vertical.
    #[must_use]
    pub fn glide_at(
        &self,
        height: GeometricHeight,
        speed: TrueAirspeed,
        bank: Angle,
        headwind: Speed,
    ) -> Option<GlidePath> {
        let (height_m, speed_mps) = place(height, speed)?;
        let angle_rad = self.glide_rad(speed_mps, height_m, bank.to_rad())?;
        let (forward_mps, sink_mps) = (speed_mps * cos(angle_rad), speed_mps * sin(angle_rad));
        let stated = self.airplane.stated.glide.and_then(|glide| glide.propeller_drag_area);
        Some(GlidePath {
            airspeeds: self.airspeeds(speed_mps, height),
            sink: Speed::from_mps(sink_mps),
            angle: Angle::from_rad(angle_rad),
            ratio: forward_mps / sink_mps,
            ratio_over_ground: (forward_mps - headwind.to_mps()) / sink_mps,
            propeller: stated.map_or(PropellerDrag::NotStated, |_| PropellerDrag::Stated),
        })
    }
    /// Angle below the horizon.
    fn glide_rad(&self, speed_mps: f64, height_m: f64, bank_rad: f64) -> Option<f64> {
        let stated = self.airplane.stated.glide.and_then(|glide| glide.propeller_drag_area);
        let share = stated.map_or(0.0, |area| area / self.airplane.wing_area);
        let force_n = -share * self.body.pressure_area_n(speed_mps, height_m);
        let path = steady_path(&self.body, force_n, speed_mps, height_m, bank_rad)?;
        (path.lift_coefficient <= self.lift_max() * (1.0 + 1e-12)).then_some(-path.climb_rad)
    }
    /// The glide that goes furthest over the ground against a headwind (negative for a tailwind; nil for still air).
    #[must_use]
    pub fn glide_best(&self, height: GeometricHeight, headwind: Speed) -> Option<GlidePath> {
        let merit = |speed_mps: f64, angle_rad: f64| {
            (speed_mps * cos(angle_rad) - headwind.to_mps()) / (speed_mps * sin(angle_rad))
        };
        let speed_mps = self.glide_speed_mps(height, 0.0, merit)?;
        self.glide_at(height, TrueAirspeed::from_mps(speed_mps), Angle::ZERO, headwind)
    }
    /// The glide that sinks least at a bank, in still air.
    #[must_use]
    pub fn glide_least_sink(&self, height: GeometricHeight, bank: Angle) -> Option<GlidePath> {
        let merit = |speed_mps: f64, angle_rad: f64| -speed_mps * sin(angle_rad);
        let speed_mps = self.glide_speed_mps(height, bank.to_rad(), merit)?;
        self.glide_at(height, TrueAirspeed::from_mps(speed_mps), bank, Speed::ZERO)
    }
    /// Best speed by a merit of speed and angle, from the stall in straight flight to the never-exceed speed.
    fn glide_speed_mps(
        &self,
        height: GeometricHeight,
        bank_rad: f64,
        merit: impl Fn(f64, f64) -> f64,
    ) -> Option<f64> {
        let height_m = height_m(height)?;
        let value = |speed_mps: f64| {
            self.glide_rad(speed_mps, height_m, bank_rad)
                .map_or(f64::NEG_INFINITY, |angle_rad| merit(speed_mps, angle_rad))
        };
        // A steep path takes less than one g: a little room below the stall speed.
        let low_mps = 0.9 * self.body.stall_speed_mps(height_m);
        let (speed_mps, found) = greatest(value, low_mps, self.never_exceed_mps(height));
        found.is_finite().then_some(speed_mps)
    }
    /// A gliding turn through an angle at a true airspeed and bank: the course turns at `g tan(bank) / V`.
    #[must_use]
    pub fn glide_turn(
        &self,
        height: GeometricHeight,
        speed: TrueAirspeed,
        bank: Angle,
        turned: Angle,
    ) -> Option<GlideTurn> {
        let glide = self.glide_at(height, speed, bank, Speed::ZERO)?;
        let rate_radps = STANDARD_GRAVITY_MPS2 * tan(bank.to_rad()).abs() / speed.to_mps();
        let time = Duration::try_from_s(turned.abs().to_rad() / rate_radps)?;
        Some(GlideTurn {
            glide,
            bank,
            height_lost: Length::from_m(glide.sink.to_mps() * time.to_s()),
            time,
            radius: Length::from_m(speed.to_mps() * cos(glide.angle.to_rad()) / rate_radps),
        })
    }
    /// The gliding turn that loses the least height, speed at least `stall_margin` times the stall speed in that bank. What it loses is
    /// the turn alone: roll-in, roll-out and the way to the turn come on top. `None` for a
    /// margin below one.
    #[must_use]
    pub fn glide_turn_least_loss(
        &self,
        height: GeometricHeight,
        turned: Angle,
        stall_margin: f64,
    ) -> Option<GlideTurn> {
        let height_m = height_m(height).filter(|_| stall_margin >= 1.0)?;
        let stall_mps = self.body.stall_speed_mps(height_m);
        let most_mps = self.never_exceed_mps(height);
        // Height lost is sink over rate: `V^2 sin(angle) / tan(bank)` up to factors that do not choose.
        let best_of_bank = |bank_rad: f64| {
            let low_mps = stall_margin * stall_mps / cos(bank_rad).sqrt();
            let value = |speed_mps: f64| {
                self.glide_rad(speed_mps, height_m, bank_rad).map_or(f64::NEG_INFINITY, |angle| {
                    -speed_mps * speed_mps * sin(angle) / tan(bank_rad)
                })
            };
            greatest(value, low_mps, most_mps.max(low_mps))
        };
        let least_rad = 5.0 * base::factors::RAD_PER_DEG;
        let (bank_rad, _) = greatest(|bank| best_of_bank(bank).1, least_rad, BANK_MOST_RAD);
        let speed = TrueAirspeed::from_mps(best_of_bank(bank_rad).0);
        self.glide_turn(height, speed, Angle::from_rad(bank_rad), turned)
    }
    /// The stated glide beside the computed one at maximum mass; `None` when the file states none, or at another mass.
    #[must_use]
    pub fn glide_comparison(&self) -> Option<GlideComparison> {
        let stated = self.airplane.stated.glide?;
        let maximum = self.airplane.masses.maximum;
        if (self.mass - maximum).abs() > maximum * 1e-9 {
            return None;
        }
        let computed = self.glide_best(GeometricHeight::from_m(0.0), Speed::ZERO)?;
        let speed = |indicated| self.airplane.calibrated(indicated) - computed.airspeeds.calibrated;
        Some(GlideComparison {
            speed_difference: stated.speed.map(speed),
            ratio_share: stated.ratio.map(|ratio| ratio / computed.ratio),
        })
    }
}
