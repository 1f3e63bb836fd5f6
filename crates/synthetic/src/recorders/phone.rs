//! A phone somewhere in the cabin: accelerometer, gyroscope, magnetometer and barometer in its own axes, fixes that come late.

use base::factors::{PA_PER_HPA, RADPS_PER_RPM};
use base::frames::{Body, Ned, Rot, Vec3};
use base::math::{cos, sin};
use recording::{HeightDatum, QuantityKind as Q};

use super::log::{Clock, Column, Log, What};
use super::{Recorder, about_one, satellite};
use crate::dice::Dice;
use crate::lesson::{Flight, Lesson, STEP_S, Sample};

/// The recorder.
pub const RECORDER: Recorder = Recorder {
    key: "phone",
    about: "phone with unknown mounting: forces, rates and field at 50 Hz, pressure at 10 Hz, late fixes at 1 Hz",
    log,
};

/// Seconds recorded, from half a minute before the first attempt.
const WINDOW_S: f64 = 330.0;
const BEFORE_S: f64 = 30.0;

fn log(lesson: &Lesson, flight: &Flight) -> Log {
    let mut dice = Dice::new(lesson.seed, 44);
    let mut device = Device::draw(lesson, &mut dice);
    let first_s = flight.attempts.first().map_or(0.0, |attempt| attempt.start_s - BEFORE_S);
    let from = (first_s.max(0.0) / STEP_S) as usize;
    let to = (from + (WINDOW_S / STEP_S) as usize).min(flight.samples.len());
    let mut columns = columns();
    let mut gps = [
        Column::new("lat", What::Latitude, 1.0, 1e-7),
        Column::new("lon", What::Longitude, 1.0, 1e-7),
        Column::new("alt_m", What::Height, 1.0, 0.1),
        Column::new("speed_mps", What::GroundSpeed, 1.0, 0.01),
        Column::new("bearing_deg", What::Track, 1.0, 0.1),
    ];
    let fixes = satellite::fixes(lesson, flight, 10);
    let mut fixes = fixes.iter().peekable();
    let mut time_s = Vec::with_capacity(to - from);
    for (row, sample) in flight.samples[from..to].iter().enumerate() {
        let shown_s = sample.time_s - device.fix_delay_s;
        while fixes.next_if(|fix| fix.time_s < shown_s - 0.5 * STEP_S).is_some() {}
        satellite::fill(&mut gps, fixes.next_if(|fix| fix.time_s < shown_s + 0.5 * STEP_S));
        for (column, value) in columns.iter_mut().zip(device.read(sample, row, &mut dice)) {
            column.push(value);
        }
        time_s.push(sample.time_s);
    }
    Log {
        clock: Clock::Elapsed("elapsed_s"),
        time_s,
        columns: columns.into_iter().chain(gps).collect(),
        datum: HeightDatum::NotStated,
    }
}

fn columns() -> [Column; 10] {
    let sensor = What::Sensor;
    [
        Column::new("acc_x_mps2", sensor(Q::DeviceForceXMps2), 1.0, 0.01),
        Column::new("acc_y_mps2", sensor(Q::DeviceForceYMps2), 1.0, 0.01),
        Column::new("acc_z_mps2", sensor(Q::DeviceForceZMps2), 1.0, 0.01),
        Column::new("gyro_x_radps", sensor(Q::DeviceRateXRadps), 1.0, 0.001),
        Column::new("gyro_y_radps", sensor(Q::DeviceRateYRadps), 1.0, 0.001),
        Column::new("gyro_z_radps", sensor(Q::DeviceRateZRadps), 1.0, 0.001),
        Column::new("mag_x_ut", sensor(Q::DeviceFieldXMicrotesla), 1.0, 0.1),
        Column::new("mag_y_ut", sensor(Q::DeviceFieldYMicrotesla), 1.0, 0.1),
        Column::new("mag_z_ut", sensor(Q::DeviceFieldZMicrotesla), 1.0, 0.1),
        Column::new("pressure_hpa", sensor(Q::StaticPressurePa), PA_PER_HPA, 0.01),
    ]
}

/// Axes of the phone.
enum Phone {}

struct Device {
    phone_from_body: Rot<Body, Phone>,
    force_bias_mps2: [f64; 3],
    rate_bias_radps: [f64; 3],
    /// Iron of the airplane and the phone, microtesla.
    field_bias_ut: [f64; 3],
    field_ut: Vec3<Ned>,
    pressure_bias_pa: f64,
    /// Amplitude along each axis, m/s2, and phase.
    vibration: [(f64, f64); 3],
    shake_rad: f64,
    noise: f64,
    fix_delay_s: f64,
}

impl Device {
    fn draw(lesson: &Lesson, dice: &mut Dice) -> Self {
        let three = |spread: f64, dice: &mut Dice| [0; 3].map(|_| spread * dice.normal());
        let loud = about_one(2.0, dice);
        Self {
            phone_from_body: rotation(dice),
            force_bias_mps2: three(0.07, dice),
            rate_bias_radps: three(0.005, dice),
            field_bias_ut: three(12.0, dice),
            field_ut: field(lesson),
            pressure_bias_pa: 60.0 * dice.normal(),
            vibration: [0; 3].map(|_| {
                (0.35 * loud * about_one(1.5, dice), dice.between(0.0, std::f64::consts::TAU))
            }),
            shake_rad: 0.0,
            noise: about_one(1.5, dice),
            // In whole steps, so that every fix meets a row.
            fix_delay_s: (dice.between(0.1, 0.6) / STEP_S).round() * STEP_S,
        }
    }
    fn read(&mut self, sample: &Sample, row: usize, dice: &mut Dice) -> [Option<f64>; 10] {
        // A firing frequency near 20 Hz: half the speed of a four-stroke of some 2400 rev/min.
        let engine = if sample.engine_radps > 500.0 * RADPS_PER_RPM {
            0.5 * sample.engine_radps
        } else {
            std::f64::consts::TAU * 20.0
        };
        self.shake_rad += engine * STEP_S;
        let force = self.phone_from_body.apply(sample.specific_force_mps2);
        let rates = self.phone_from_body.apply(sample.rates_radps);
        let body_from_ned = sample.attitude.body_from_ned();
        let field = self.phone_from_body.apply(body_from_ned.apply(self.field_ut));
        let mut out = [None; 10];
        for (axis, value) in [force.x, force.y, force.z].into_iter().enumerate() {
            let (size, phase) = self.vibration[axis];
            let shake = size * sin(self.shake_rad + phase);
            let white = 0.06 * self.noise * dice.normal();
            out[axis] = Some(value + self.force_bias_mps2[axis] + shake + white);
        }
        for (axis, value) in [rates.x, rates.y, rates.z].into_iter().enumerate() {
            let white = 0.004 * self.noise * dice.normal();
            out[3 + axis] = Some(value + self.rate_bias_radps[axis] + white);
        }
        for (axis, value) in [field.x, field.y, field.z].into_iter().enumerate() {
            let white = 0.4 * self.noise * dice.normal();
            out[6 + axis] = Some(value + self.field_bias_ut[axis] + white);
        }
        let white = 3.0 * self.noise * dice.normal();
        let pressure = sample.pressure_pa + self.pressure_bias_pa + white;
        out[9] = row.is_multiple_of(5).then_some(pressure);
        out
    }
}

/// The earth's field as that of a centred dipole, turned to the declination of the place: good enough to tell directions.
fn field(lesson: &Lesson) -> Vec3<Ned> {
    /// At the equator of a dipole, microtesla (any text on geomagnetism).
    const EQUATOR_UT: f64 = 30.0;
    let variation = flight::magnetic::variation(lesson.place, lesson.start)
        .expect("lessons are flown between 2021 and 2028")
        .to_rad();
    let (sin_lat, cos_lat) = (sin(lesson.place.latitude_rad), cos(lesson.place.latitude_rad));
    let level = EQUATOR_UT * cos_lat;
    Vec3::new(level * cos(variation), level * sin(variation), 2.0 * EQUATOR_UT * sin_lat)
}

/// Any mounting, all equally likely: a unit quaternion of four normal numbers.
fn rotation(dice: &mut Dice) -> Rot<Body, Phone> {
    let [w, x, y, z] = [0; 4].map(|_| dice.normal());
    let s = 2.0 / (w * w + x * x + y * y + z * z);
    Rot::from_rows_unchecked([
        [1.0 - s * (y * y + z * z), s * (x * y - w * z), s * (x * z + w * y)],
        [s * (x * y + w * z), 1.0 - s * (x * x + z * z), s * (y * z - w * x)],
        [s * (x * z - w * y), s * (y * z + w * x), 1.0 - s * (x * x + y * y)],
    ])
}
