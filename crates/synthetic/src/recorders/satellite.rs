//! Satellite loggers: position, velocity and height once or five times a second, with holes.

use recording::{Fix, HeightDatum};

use super::log::{Clock, Column, Log, What};
use super::{Recorder, about_one};
use crate::dice::Dice;
use crate::lesson::{Flight, Lesson};
use crate::receiver::Receiver;

/// One fix a second.
pub const ONE_A_SECOND: Recorder = Recorder {
    key: "satellite-1hz",
    about: "satellite logger, one fix a second",
    log: |lesson, flight| log(lesson, flight, 10),
};
/// Five fixes a second.
pub const FIVE_A_SECOND: Recorder = Recorder {
    key: "satellite-5hz",
    about: "satellite logger, five fixes a second",
    log: |lesson, flight| log(lesson, flight, 2),
};

fn log(lesson: &Lesson, flight: &Flight, stride: usize) -> Log {
    let fixes = fixes(lesson, flight, stride);
    let mut columns = [
        Column::new("lat", What::Latitude, 1.0, 1e-7),
        Column::new("lon", What::Longitude, 1.0, 1e-7),
        Column::new("alt_m", What::Height, 1.0, 0.1),
        Column::new("ground_speed_mps", What::GroundSpeed, 1.0, 0.01),
        Column::new("track_deg", What::Track, 1.0, 0.01),
        Column::new("gps_vertical_speed_mps", What::Climb, 1.0, 0.01),
    ];
    for fix in &fixes {
        fill(&mut columns, Some(fix));
    }
    Log {
        clock: Clock::Elapsed("time_s"),
        time_s: fixes.iter().map(|fix| fix.time_s).collect(),
        columns: columns.into(),
        datum: HeightDatum::NotStated,
    }
}

/// Writes a fix, or its absence, into columns of a fix.
pub(super) fn fill(columns: &mut [Column], fix: Option<&Fix>) {
    for column in columns {
        let value = match column.what {
            What::Latitude => fix.map(|fix| fix.latitude_deg),
            What::Longitude => fix.map(|fix| fix.longitude_deg),
            What::Height => fix.and_then(|fix| fix.height_m),
            What::GroundSpeed => fix.and_then(|fix| fix.ground_speed_mps),
            What::Track => fix.and_then(|fix| fix.track_deg),
            What::Climb => fix.and_then(|fix| fix.climb_mps),
            What::Sensor(_) => continue,
        };
        column.push(value);
    }
}

/// Fixes of a receiver whose quality is drawn about the usual one.
pub(super) fn fixes(lesson: &Lesson, flight: &Flight, stride: usize) -> Vec<Fix> {
    let mut dice = Dice::new(lesson.seed, 20 + stride as u64);
    let usual = Receiver::usual(stride, 0, dice.bits());
    let (place, velocity) = (about_one(1.6, &mut dice), about_one(1.6, &mut dice));
    let (spread_m, memory_s) = usual.place_m;
    let receiver = Receiver {
        place_m: (place * spread_m, memory_s * about_one(1.5, &mut dice)),
        place_white_m: place * usual.place_white_m,
        height_m: (place * usual.height_m.0, usual.height_m.1 * about_one(1.5, &mut dice)),
        height_white_m: place * usual.height_white_m,
        velocity_mps: velocity * usual.velocity_mps,
        climb_mps: velocity * usual.climb_mps,
        velocity_stays: (0.5, 3.0),
        holes: (flight.duration_s() / 280.0) as usize,
        ..usual
    };
    receiver.fixes_along(&flight.whereabouts())
}
