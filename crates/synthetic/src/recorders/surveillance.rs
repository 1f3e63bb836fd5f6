//! A decoded surveillance table: what a ground station heard once a second, in the steps of the broadcast (25 ft, 1 kt,
//! about a degree, 64 ft/min), with messages that never came.

use base::factors::{M_PER_FT, MPS_PER_FPM, MPS_PER_KT};
use recording::{HeightDatum, QuantityKind};

use super::coarse::pressure_altitude_m;
use super::log::{Clock, Column, Log, What};
use super::{Recorder, satellite};
use crate::dice::Dice;
use crate::lesson::{Flight, Lesson};

/// The recorder.
pub const RECORDER: Recorder = Recorder {
    key: "surveillance",
    about: "decoded surveillance table, once a second, coarse steps",
    log,
};

fn log(lesson: &Lesson, flight: &Flight) -> Log {
    let sensor = What::Sensor;
    let mut columns = [
        Column::new("latitude", What::Latitude, 1.0, 1e-5),
        Column::new("longitude", What::Longitude, 1.0, 1e-5),
        Column::new("groundspeed_kt", What::GroundSpeed, MPS_PER_KT, 1.0),
        Column::new("track_deg", What::Track, 1.0, 1.0),
        Column::new(
            "pressure_altitude_ft",
            sensor(QuantityKind::PressureAltitudeM),
            M_PER_FT,
            25.0,
        ),
        Column::new("vertical_rate_fpm", sensor(QuantityKind::VerticalSpeedMps), MPS_PER_FPM, 64.0),
    ];
    let mut dice = Dice::new(lesson.seed, 41);
    let bias_m = 6.0 * dice.normal();
    let mut time_s = Vec::new();
    for fix in satellite::fixes(lesson, flight, 10) {
        let lost = dice.share() < 0.03;
        let Some(sample) = flight.at(fix.time_s).filter(|_| !lost) else { continue };
        time_s.push(fix.time_s);
        satellite::fill(&mut columns[..4], Some(&fix));
        columns[4].push(Some(pressure_altitude_m(sample.pressure_pa) + bias_m));
        columns[5].push(fix.climb_mps);
    }
    Log {
        clock: Clock::Stamp("timestamp", lesson.start),
        time_s,
        columns: columns.into(),
        datum: HeightDatum::Pressure,
    }
}
