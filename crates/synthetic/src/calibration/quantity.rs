//! What is compared with the truth, one line a quantity.

use base::factors::{M_PER_FT, MPS_PER_KT, RAD_PER_DEG, STANDARD_GRAVITY_MPS2};
use base::math::wrap_pi;
use motion::state::Place;
use motion::{Column, Motion};

use crate::lesson::{Flight, Sample};

/// Motion and truth at one instant.
#[derive(Debug, Clone, Copy)]
pub struct Instant<'a> {
    motion: &'a Motion,
    place: Place,
    truth: &'a Sample,
}

impl<'a> Instant<'a> {
    pub(super) fn at(
        motion: &'a Motion,
        flight: &'a Flight,
        zero_s: f64,
        time_s: f64,
    ) -> Option<Self> {
        let place = motion.place_at(time_s - zero_s)?;
        let truth = flight.at(time_s)?;
        Some(Self { motion, place, truth })
    }
    fn value(&self, column: fn(&Motion) -> &Option<Column>) -> Option<(f64, f64)> {
        column(self.motion).as_ref().map(|column| column.at(self.place))
    }
    fn miss(
        &self,
        column: fn(&Motion) -> &Option<Column>,
        truth: fn(&Sample) -> f64,
    ) -> Option<(f64, f64)> {
        let (value, sigma) = self.value(column)?;
        Some((value - truth(self.truth), sigma))
    }
    fn miss_angle(
        &self,
        column: fn(&Motion) -> &Option<Column>,
        truth: fn(&Sample) -> f64,
    ) -> Option<(f64, f64)> {
        self.miss(column, truth).map(|(miss, sigma)| (wrap_pi(miss), sigma))
    }
    /// Miss of the change since an earlier instant, with the sigma that a debrief gives such a change: errors of both instants.
    fn miss_of_change(
        &self,
        entry: &Self,
        column: fn(&Motion) -> &Option<Column>,
        truth: fn(&Sample) -> f64,
    ) -> Option<(f64, f64)> {
        let (now, here) = self.miss(column, truth)?;
        let (then, first) = entry.miss(column, truth)?;
        Some((now - then, base::math::hypot(first, here)))
    }
}

/// Error and sigma of a quantity now, given the entry of the attempt; `None` where the motion does not have it.
pub type Miss = fn(now: &Instant<'_>, entry: &Instant<'_>) -> Option<(f64, f64)>;

/// One quantity.
#[derive(Debug, Clone, Copy)]
pub struct Quantity {
    /// In words.
    pub name: &'static str,
    /// Unit it is reported in.
    pub unit_name: &'static str,
    /// That unit in SI.
    pub unit: f64,
    /// Its error and sigma, in SI.
    pub miss: Miss,
}

const fn quantity(
    name: &'static str,
    (unit_name, unit): (&'static str, f64),
    miss: Miss,
) -> Quantity {
    Quantity { name, unit_name, unit, miss }
}

const DEG: (&str, f64) = ("deg", RAD_PER_DEG);
const DEGPS: (&str, f64) = ("deg/s", RAD_PER_DEG);
const KT: (&str, f64) = ("kt", MPS_PER_KT);
const MPS: (&str, f64) = ("m/s", 1.0);

/// Every quantity, in the order they are reported.
pub const ALL: &[Quantity] = &[
    quantity("bank", DEG, |now, _| {
        now.miss_angle(|motion| &motion.bank_rad, |truth| truth.attitude.bank_rad)
    }),
    quantity("pitch", DEG, |now, _| {
        now.miss(|motion| &motion.pitch_rad, |truth| truth.attitude.pitch_rad)
    }),
    quantity("pitch change", DEG, |now, entry| {
        now.miss_of_change(
            entry,
            |motion| &motion.pitch_relative_rad,
            |truth| truth.attitude.pitch_rad,
        )
    }),
    quantity("heading", DEG, |now, _| {
        // Without a track and without a compass a heading counts from nowhere.
        now.motion.track_rad.as_ref()?;
        now.miss_angle(|motion| &motion.heading_rad, |truth| truth.attitude.heading_rad)
    }),
    quantity("heading change", DEG, |now, entry| {
        let (miss, sigma) = now.miss_of_change(
            entry,
            |motion| &motion.heading_rad,
            |truth| truth.attitude.heading_rad,
        )?;
        Some((wrap_pi(miss), sigma))
    }),
    quantity("load factor", ("g", 1.0), |now, _| {
        now.miss(|motion| &motion.load_factor, Sample::load_factor)
    }),
    quantity("CAS", KT, |now, _| {
        now.miss(|motion| &motion.calibrated_airspeed_mps, |truth| truth.calibrated_airspeed_mps)
    }),
    quantity("TAS", KT, |now, _| {
        now.miss(|motion| &motion.true_airspeed_mps, |truth| truth.true_airspeed_mps)
    }),
    quantity("wind north", MPS, |now, _| {
        now.miss(|motion| &motion.wind_north_mps, |truth| truth.wind_mps.north())
    }),
    quantity("wind east", MPS, |now, _| {
        now.miss(|motion| &motion.wind_east_mps, |truth| truth.wind_mps.east())
    }),
    quantity("height change", ("ft", M_PER_FT), |now, entry| {
        let height =
            |one: &Instant<'_>| one.miss(|motion| &motion.height_m, |truth| truth.place.height_m);
        let ((now_miss, here), (then_miss, first)) = (height(now)?, height(entry)?);
        let apart_s = now.truth.time_s - entry.truth.time_s;
        let change = now.truth.place.height_m - entry.truth.place.height_m + now_miss - then_miss;
        let sigma = now.motion.height_errors.sigma_of_change((first, here), apart_s, change);
        Some((now_miss - then_miss, sigma))
    }),
    quantity("incidence", DEG, |now, _| {
        now.miss(|motion| &motion.angle_of_attack_rad, |truth| truth.alpha_rad)
    }),
    quantity("sideslip", DEG, |now, _| {
        now.miss(|motion| &motion.sideslip_rad, |truth| truth.beta_rad)
    }),
    quantity("lateral load", ("g", 1.0), |now, _| {
        now.miss(
            |motion| &motion.lateral_load,
            |truth| truth.specific_force_mps2.right() / STANDARD_GRAVITY_MPS2,
        )
    }),
    quantity("roll rate", DEGPS, |now, _| {
        now.miss(|motion| &motion.roll_rate_radps, |truth| truth.rates_radps.x)
    }),
    quantity("pitch rate", DEGPS, |now, _| {
        now.miss(|motion| &motion.pitch_rate_radps, |truth| truth.rates_radps.y)
    }),
    quantity("yaw rate", DEGPS, |now, _| {
        now.miss(|motion| &motion.yaw_rate_radps, |truth| truth.rates_radps.z)
    }),
    quantity("ground speed", KT, |now, _| {
        now.miss(
            |motion| &motion.ground_speed_mps,
            |truth| base::math::hypot(truth.velocity_mps.north(), truth.velocity_mps.east()),
        )
    }),
];
