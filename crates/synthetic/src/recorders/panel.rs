//! A panel log, once a second: air data, attitude and heading that lag and are biased, loads averaged, satellite fixes.

use base::factors::{M_PER_FT, MPS_PER_FPM, MPS_PER_KT, RAD_PER_DEG, STANDARD_GRAVITY_MPS2};
use base::kinds::CalibratedAirspeed;
use recording::{HeightDatum, QuantityKind as Q};

use super::coarse::pressure_altitude_m;
use super::log::{Clock, Column, Log, What};
use super::{Recorder, about_one, satellite};
use crate::dice::{Dice, Wander};
use crate::lesson::{Flight, Lesson, STEP_S, Sample};

/// The recorder.
pub const RECORDER: Recorder = Recorder {
    key: "panel",
    about: "panel log, once a second: air data, attitude, heading, loads, satellite fixes",
    log,
};

fn log(lesson: &Lesson, flight: &Flight) -> Log {
    let mut dice = Dice::new(lesson.seed, 42);
    let mut sensors = Sensors::draw(lesson, &mut dice);
    let mut columns = columns();
    let mut gps = [
        Column::new("gps_lat_deg", What::Latitude, 1.0, 1e-6),
        Column::new("gps_lon_deg", What::Longitude, 1.0, 1e-6),
        Column::new("gps_alt_ft", What::Height, M_PER_FT, 1.0),
        Column::new("gps_gs_kt", What::GroundSpeed, MPS_PER_KT, 0.1),
        Column::new("gps_trk_true_deg", What::Track, 1.0, 0.1),
        Column::new("gps_vs_fpm", What::Climb, MPS_PER_FPM, 1.0),
    ];
    let fixes = satellite::fixes(lesson, flight, 10);
    let mut fixes = fixes.iter().peekable();
    let mut time_s = Vec::new();
    for second in 1..=flight.duration_s() as usize {
        let now_s = second as f64;
        while fixes.next_if(|fix| fix.time_s < now_s - 0.05).is_some() {}
        satellite::fill(&mut gps, fixes.next_if(|fix| fix.time_s < now_s + 0.05));
        for (column, value) in columns.iter_mut().zip(sensors.read(flight, now_s, &mut dice)) {
            column.push(value);
        }
        time_s.push(now_s);
    }
    Log {
        clock: Clock::DateAndTime(lesson.start),
        time_s,
        columns: columns.into_iter().chain(gps).collect(),
        datum: HeightDatum::NotStated,
    }
}

/// The columns of [`Sensors::read`], in its order.
pub(super) fn columns() -> [Column; 8] {
    let sensor = What::Sensor;
    [
        Column::new("ias_kt", sensor(Q::IndicatedAirspeedMps), MPS_PER_KT, 0.1),
        Column::new("press_alt_ft", sensor(Q::PressureAltitudeM), M_PER_FT, 1.0),
        Column::new("pitch_deg", sensor(Q::PitchDeg), 1.0, 0.1),
        Column::new("roll_deg", sensor(Q::BankDeg), 1.0, 0.1),
        Column::new("hdg_mag_deg", sensor(Q::MagneticHeadingDeg), 1.0, 0.1),
        Column::new("norm_acc_g", sensor(Q::NormalLoadG), 1.0, 0.01),
        Column::new("lat_acc_g", sensor(Q::LateralLoadG), 1.0, 0.001),
        Column::celsius("oat_c", 0.1),
    ]
}

/// Errors of the sensors of a panel on one flight.
pub(super) struct Sensors<'a> {
    lesson: &'a Lesson,
    /// Air data and attitude lie this far behind, s.
    lag_s: f64,
    /// Pitch, bank, magnetic heading: constant part and wander, degrees.
    attitude_bias_deg: [f64; 3],
    attitude: [Wander; 3],
    declination_deg: f64,
    /// Airspeed system without a table of its own: scale and offset, m/s.
    airspeed: (f64, f64),
    altitude_bias_m: f64,
    altitude: Wander,
    load_bias_g: [f64; 2],
    temperature_bias_k: f64,
}

impl<'a> Sensors<'a> {
    pub(super) fn draw(lesson: &'a Lesson, dice: &mut Dice) -> Self {
        let wanders = [(0.3, 12.0), (0.3, 12.0), (1.0, 8.0)];
        let variation = flight::magnetic::variation(lesson.place, lesson.start)
            .expect("lessons are flown between 2021 and 2028");
        Self {
            lesson,
            lag_s: dice.between(0.1, 0.6),
            attitude_bias_deg: [0.4, 0.35, 1.5].map(|spread| spread * dice.normal()),
            attitude: wanders.map(|(spread, memory_s)| {
                Wander::new(spread * about_one(1.4, dice), memory_s, dice)
            }),
            declination_deg: variation.to_deg(),
            airspeed: (1.0 + 0.012 * dice.normal(), 0.7 * MPS_PER_KT * dice.normal()),
            altitude_bias_m: 8.0 * dice.normal(),
            altitude: Wander::new(1.0, 15.0, dice),
            load_bias_g: [0.01, 0.006].map(|spread| spread * dice.normal()),
            temperature_bias_k: 1.2 * dice.normal(),
        }
    }
    /// What they show at a moment: airspeed, pressure altitude, pitch, bank, heading, loads up and right, temperature, each in
    /// the unit of its kind; `None` before the first sample has come through.
    pub(super) fn read(
        &mut self,
        flight: &Flight,
        now_s: f64,
        dice: &mut Dice,
    ) -> [Option<f64>; 8] {
        let [pitch_off, bank_off, heading_off] = {
            let mut each = [0.0; 3];
            for (off, (wander, bias)) in
                each.iter_mut().zip(self.attitude.iter_mut().zip(self.attitude_bias_deg))
            {
                *off = bias + wander.step(1.0, dice);
            }
            each
        };
        let airspeed_noise = 0.5 * MPS_PER_KT * dice.normal();
        let altitude_off = self.altitude_bias_m + self.altitude.step(1.0, dice);
        let Some(then) = flight.at(now_s - self.lag_s) else { return [None; 8] };
        let attitude = &then.attitude;
        let heading_deg = attitude.heading_rad / RAD_PER_DEG - self.declination_deg + heading_off;
        let [up, right] = mean_loads(flight, now_s);
        [
            Some(self.indicated_mps(then) + airspeed_noise),
            Some(pressure_altitude_m(then.pressure_pa) + altitude_off),
            Some(attitude.pitch_rad / RAD_PER_DEG + pitch_off),
            Some(attitude.bank_rad / RAD_PER_DEG + bank_off),
            Some(heading_deg.rem_euclid(360.0)),
            Some(up + self.load_bias_g[0]),
            Some(right + self.load_bias_g[1]),
            Some(then.temperature_k + self.temperature_bias_k),
        ]
    }
    /// By the table of the airplane's file, where it has one.
    fn indicated_mps(&self, sample: &Sample) -> f64 {
        let calibrated = CalibratedAirspeed::from_mps(sample.calibrated_airspeed_mps);
        match &self.lesson.airframe.file {
            Some(file) => file.indicated(calibrated).to_mps(),
            None => calibrated.to_mps() * self.airspeed.0 + self.airspeed.1,
        }
    }
}

/// Mean of the loads up and right over the last half second, g.
fn mean_loads(flight: &Flight, now_s: f64) -> [f64; 2] {
    const OVER_S: f64 = 0.5;
    let count = (OVER_S / STEP_S) as usize;
    let mut sum = [0.0; 2];
    let mut seen: f64 = 0.0;
    for back in 0..count {
        let Some(sample) = flight.at(now_s - back as f64 * STEP_S) else { continue };
        sum[0] += sample.load_factor();
        sum[1] += sample.specific_force_mps2.right() / STANDARD_GRAVITY_MPS2;
        seen += 1.0;
    }
    sum.map(|sum| sum / seen.max(1.0))
}
