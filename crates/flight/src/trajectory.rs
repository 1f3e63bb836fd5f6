//! A flight as a series of samples: the vocabulary shared by the reference flight and its pictures.

use base::frames::Attitude;
use base::math::wrap_pi;

/// A step of heading or bank above this between neighbors is the jump of a nose that passes straight up or down.
const JUMP_RAD: f64 = 1.0;

/// The angle, whole turns added, nearest to the nearer of two known ones.
fn nearer(angle_rad: f64, first_rad: f64, second_rad: f64) -> f64 {
    let (to_first, to_second) = (wrap_pi(angle_rad - first_rad), wrap_pi(angle_rad - second_rad));
    if to_first.abs() <= to_second.abs() { first_rad + to_first } else { second_rad + to_second }
}

/// One instant of a computed flight. SI units and radians; angles of direction are unwrapped (they do not jump).
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct FlightSample {
    /// Since the start of the flight.
    pub time_s: f64,
    /// Progress angle of the part being flown, positive: heading turned, pitch travelled, roll, phase or position, as the maneuver
    /// declares.
    pub progress_rad: f64,
    /// Heading turned since the start of the part, positive in the part's direction.
    pub turned_rad: f64,
    /// Over the ground, from the start, with the wind.
    pub north_m: f64,
    /// Over the ground, from the start, with the wind.
    pub east_m: f64,
    /// Through the air mass, from the start (where it would be in calm air).
    pub air_north_m: f64,
    /// Through the air mass, from the start.
    pub air_east_m: f64,
    /// Above mean sea level.
    pub height_m: f64,
    /// True airspeed.
    pub true_airspeed_mps: f64,
    /// Calibrated airspeed.
    pub calibrated_airspeed_mps: f64,
    /// Indicated airspeed, through the position-error table.
    pub indicated_airspeed_mps: f64,
    /// Of the air-relative path above the horizon.
    pub climb_rad: f64,
    /// Of the air-relative path, from true north, unwrapped.
    pub course_rad: f64,
    /// Bank of the lift about the air-relative velocity, right positive.
    pub lift_bank_rad: f64,
    /// Angle of attack of the body axis.
    pub incidence_rad: f64,
    /// Where the nose points, from true north, unwrapped.
    pub heading_rad: f64,
    /// Nose above the horizon.
    pub pitch_rad: f64,
    /// Bank as the attitude shows it, right positive.
    pub bank_rad: f64,
    /// Lift coefficient.
    pub lift_coefficient: f64,
    /// Lift over weight.
    pub load_factor: f64,
    /// Share of full power, 0 to 1.
    pub power_share: f64,
    /// Stall speed (calibrated) at this load factor and weight, power as flown is not credited. While the wing is stalled that of the
    /// load which the incidence would give without separation: above the airspeed, the more the deeper the stall.
    pub stall_speed_mps: f64,
}

impl FlightSample {
    /// The sample a share of the way from here to `next`, every quantity linear; the angles of a nose or path that passes straight
    /// up or down, where they jump, by the rotation between.
    #[must_use]
    pub fn mixed(&self, next: &Self, share: f64) -> Self {
        let mut mixed = self.linear(next, share);
        let jumps = |a: f64, b: f64| (b - a).abs() > JUMP_RAD;
        if jumps(self.heading_rad, next.heading_rad) || jumps(self.bank_rad, next.bank_rad) {
            let between = self.attitude().between(&next.attitude(), share);
            (mixed.pitch_rad, mixed.bank_rad) = (between.pitch_rad, between.bank_rad);
            mixed.heading_rad = nearer(between.heading_rad, self.heading_rad, next.heading_rad);
            // Positive in the direction of the part, which the two ends tell.
            let way = (next.turned_rad - self.turned_rad) * (next.heading_rad - self.heading_rad);
            mixed.turned_rad =
                self.turned_rad + way.signum() * (mixed.heading_rad - self.heading_rad);
        }
        if jumps(self.course_rad, next.course_rad) || jumps(self.lift_bank_rad, next.lift_bank_rad)
        {
            let between = self.path().between(&next.path(), share);
            (mixed.climb_rad, mixed.lift_bank_rad) = (between.pitch_rad, between.bank_rad);
            mixed.course_rad = nearer(between.heading_rad, self.course_rad, next.course_rad);
        }
        mixed
    }

    /// Attitude of the body.
    #[must_use]
    pub const fn attitude(&self) -> Attitude {
        Attitude {
            heading_rad: self.heading_rad,
            pitch_rad: self.pitch_rad,
            bank_rad: self.bank_rad,
        }
    }

    /// The frame of the path (see `base::frames`), written with the angles of an attitude.
    #[must_use]
    pub const fn path(&self) -> Attitude {
        Attitude {
            heading_rad: self.course_rad,
            pitch_rad: self.climb_rad,
            bank_rad: self.lift_bank_rad,
        }
    }

    fn linear(&self, next: &Self, share: f64) -> Self {
        let mix = |a: f64, b: f64| a + share * (b - a);
        Self {
            time_s: mix(self.time_s, next.time_s),
            progress_rad: mix(self.progress_rad, next.progress_rad),
            turned_rad: mix(self.turned_rad, next.turned_rad),
            north_m: mix(self.north_m, next.north_m),
            east_m: mix(self.east_m, next.east_m),
            air_north_m: mix(self.air_north_m, next.air_north_m),
            air_east_m: mix(self.air_east_m, next.air_east_m),
            height_m: mix(self.height_m, next.height_m),
            true_airspeed_mps: mix(self.true_airspeed_mps, next.true_airspeed_mps),
            calibrated_airspeed_mps: mix(
                self.calibrated_airspeed_mps,
                next.calibrated_airspeed_mps,
            ),
            indicated_airspeed_mps: mix(self.indicated_airspeed_mps, next.indicated_airspeed_mps),
            climb_rad: mix(self.climb_rad, next.climb_rad),
            course_rad: mix(self.course_rad, next.course_rad),
            lift_bank_rad: mix(self.lift_bank_rad, next.lift_bank_rad),
            incidence_rad: mix(self.incidence_rad, next.incidence_rad),
            heading_rad: mix(self.heading_rad, next.heading_rad),
            pitch_rad: mix(self.pitch_rad, next.pitch_rad),
            bank_rad: mix(self.bank_rad, next.bank_rad),
            lift_coefficient: mix(self.lift_coefficient, next.lift_coefficient),
            load_factor: mix(self.load_factor, next.load_factor),
            power_share: mix(self.power_share, next.power_share),
            stall_speed_mps: mix(self.stall_speed_mps, next.stall_speed_mps),
        }
    }
}
