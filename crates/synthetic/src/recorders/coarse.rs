//! A flight recorder of the IGC form: once a second, positions to a thousandth of a minute, heights to a meter, no velocity;
//! pressure altitude beside the satellite's height. Steps of the form: FAI-IGC, appendix A.

use base::units::Pressure;
use recording::{HeightDatum, QuantityKind};
use std::fmt::Write as _;

use super::log::{Clock, Column, Log, What};
use super::satellite;
use super::{Recorder, about_one};
use crate::dice::{Dice, Wander};
use crate::lesson::{Flight, Lesson};

/// The recorder.
pub const RECORDER: Recorder = Recorder {
    key: "igc",
    about: "flight recorder of the IGC form, one rounded position a second, no velocity",
    log,
};

/// A thousandth of a minute, degrees.
const MILLIMINUTE_DEG: f64 = 1.0 / 60_000.0;

fn log(lesson: &Lesson, flight: &Flight) -> Log {
    let pressure = What::Sensor(QuantityKind::PressureAltitudeM);
    let mut columns = [
        Column::new("lat", What::Latitude, MILLIMINUTE_DEG, 1.0),
        Column::new("lon", What::Longitude, MILLIMINUTE_DEG, 1.0),
        Column::new("alt", What::Height, 1.0, 1.0),
        Column::new("pressure altitude", pressure, 1.0, 1.0),
    ];
    let mut dice = Dice::new(lesson.seed, 40);
    let bias_m = 8.0 * dice.normal();
    let mut wander = Wander::new(1.0 * about_one(1.5, &mut dice), 20.0, &mut dice);
    let fixes = satellite::fixes(lesson, flight, 10);
    for fix in &fixes {
        satellite::fill(&mut columns[..3], Some(fix));
        let pressure_m =
            flight.at(fix.time_s).map(|sample| pressure_altitude_m(sample.pressure_pa));
        let off_m = bias_m + wander.step(1.0, &mut dice);
        columns[3].push(pressure_m.map(|altitude_m| altitude_m + off_m));
    }
    Log {
        clock: Clock::Igc(lesson.start),
        time_s: fixes.iter().map(|fix| fix.time_s).collect(),
        columns: columns.into(),
        datum: HeightDatum::Ellipsoid,
    }
}

/// Pressure altitude of a static pressure, m.
pub(super) fn pressure_altitude_m(pressure_pa: f64) -> f64 {
    flight::air::pressure_altitude_m(Pressure::from_pa(pressure_pa).to_pa())
}

/// The file of a log.
pub(super) fn igc(log: &Log, start: base::time::UtcInstant) -> String {
    let mut out = String::from("AXXX001 A FLIGHT RECORDER THAT WAS NEVER BUILT\r\n");
    let (year, month, day) = start.date();
    let _ = write!(out, "HFDTEDATE:{day:02}{month:02}{:02},01\r\n", year % 100);
    out.push_str("HFALGALTGPS:ELL\r\nHFALPALTPRESSURE:ISA\r\n");
    for (row, &time_s) in log.time_s.iter().enumerate() {
        let Some([latitude, longitude, height_m, pressure_m]) = log.place(row) else { continue };
        let text = start.plus_seconds(time_s).to_string();
        let of_day: String = text[11..19].chars().filter(char::is_ascii_digit).collect();
        let (south, west) = (latitude < 0.0, longitude < 0.0);
        let _ = write!(
            out,
            "B{of_day}{}{}{}{}A{}{}\r\n",
            angle(latitude, 2),
            if south { 'S' } else { 'N' },
            angle(longitude, 3),
            if west { 'W' } else { 'E' },
            height(pressure_m),
            height(height_m),
        );
    }
    out
}

/// Degrees, minutes and thousandths without point or sign.
fn angle(degrees: f64, width: usize) -> String {
    let thousandths = (degrees.abs() / MILLIMINUTE_DEG).round() as u64;
    format!("{:0width$}{:05}", thousandths / 60_000, thousandths % 60_000)
}

/// Five places, a minus in the first.
fn height(meters: f64) -> String {
    let whole = meters.round() as i64;
    if whole < 0 { format!("-{:04}", -whole) } else { format!("{whole:05}") }
}
