//! A trainer's recorder without position: attitude, airspeed, indicated altitude and loads, once a second, no clock.

use base::factors::{M_PER_FT, MPS_PER_KT};
use recording::{HeightDatum, QuantityKind as Q};

use super::Recorder;
use super::log::{Clock, Column, Log, What};
use super::panel::Sensors;
use crate::dice::Dice;
use crate::lesson::{Flight, Lesson};

/// The recorder.
pub const RECORDER: Recorder = Recorder {
    key: "trainer",
    about: "trainer's recorder without position: attitude, airspeed, altitude, loads, once a second",
    log,
};

fn log(lesson: &Lesson, flight: &Flight) -> Log {
    let mut dice = Dice::new(lesson.seed, 43);
    let mut sensors = Sensors::draw(lesson, &mut dice);
    let sensor = What::Sensor;
    let mut columns = [
        Column::new("IAS (kt)", sensor(Q::IndicatedAirspeedMps), MPS_PER_KT, 0.01),
        Column::new("AltInd (ft)", sensor(Q::IndicatedAltitudeM), M_PER_FT, 1.0),
        Column::new("Pitch (deg)", sensor(Q::PitchDeg), 1.0, 0.01),
        Column::new("Roll (deg)", sensor(Q::BankDeg), 1.0, 0.01),
        Column::new("NormAcc (g)", sensor(Q::NormalLoadG), 1.0, 0.01),
        Column::new("LatAc (g)", sensor(Q::LateralLoadG), 1.0, 0.01),
        Column::celsius("OAT (C)", 0.1),
    ];
    let setting_m = flight::air::pressure_altitude_m(lesson.day.qnh.to_pa());
    let mut time_s = Vec::new();
    for second in 1..=flight.duration_s() as usize {
        let [ias, altitude_m, pitch, bank, _, up, right, oat] =
            sensors.read(flight, second as f64, &mut dice);
        let indicated_m = altitude_m.map(|altitude_m| altitude_m - setting_m);
        let row = [ias, indicated_m, pitch, bank, up, right, oat];
        for (column, value) in columns.iter_mut().zip(row) {
            column.push(value);
        }
        time_s.push(second as f64);
    }
    Log {
        clock: Clock::Elapsed("time (s)"),
        time_s,
        columns: columns.into(),
        datum: HeightDatum::NotStated,
    }
}
