//! A brief of a bundled airplane, and a debrief whose motion is a reference flight with stated sigmas: invented, for tests
//! of what is shown, not of what is measured.

use assess::attempt::{
    Attempt, AttemptCheckpoint, AttemptPart, Clearing, Estimate, FaultFound, Finding, Flown, Help,
    Measure, Verdict,
};
use assess::debrief::Debrief;
use assess::events::{EventCheck, EventKind, Events, SafetyEvent};
use base::factors::{M_PER_FT, MPS_PER_KT, RAD_PER_DEG};
use flight::air::Day;
use flight::trajectory::FlightSample;
use flight::wind::Wind;
use maneuver::brief::{Brief, BriefRequest, Sides};
use maneuver::eye::SeatSide;
use maneuver::reference::Checkpoint;
use maneuver::standard::{Measured, MeasuredAt};
use maneuver::{Direction, ReferenceFlight};
use motion::{Column, Motion};
use recording::{Fix, HeightDatum, Note, NoteKind, Recording};

pub(crate) fn brief(maneuver: &str, direction: Direction) -> Brief {
    let airplane = flight::airplane::bundled::load("plover-160").unwrap();
    let mut day = Day::standard();
    day.wind = Wind::parse("270/12kt").unwrap();
    let request = BriefRequest {
        form: None,
        sides: Sides::One(direction),
        mass: None,
        height: None,
        hands: true,
        seat: SeatSide::Left,
        speed: None,
        day,
        field_told: true,
        ..BriefRequest::default()
    };
    maneuver::brief::brief(maneuver::catalog::find(maneuver).unwrap(), &airplane, &request)
}

/// A debrief of a recording with this name in which the reference flight itself was flown, a little too steep.
pub(crate) fn debrief(name: &str, flight: &ReferenceFlight) -> Debrief {
    let motion = motion(&flight.samples);
    Debrief {
        recording: recording(name, &flight.samples),
        motion,
        attempts: vec![attempt(flight)],
        events: events(),
        standard_id: "made-up".into(),
        standard_title: "Made-up standard, first edition".into(),
        airplane_name: Some("Plover 160".into()),
        notes: vec![Note {
            kind: NoteKind::Missing,
            text: "no airspeed in this recording: speeds are estimated from the track and the wind found".into(),
        }],
    }
}

/// A load perhaps over its limit, and floors that could not be looked for.
fn events() -> Events {
    let event = SafetyEvent {
        kind: EventKind::LoadHigh,
        begin_s: 12.0,
        end_s: 13.25,
        worst: Estimate { value: 3.9, sigma: 0.2 },
        worst_s: 12.5,
        limit: 3.8,
        unit: "g",
        sure: false,
        source: "limit load of the normal category at its typical mass".into(),
        attempt: Some(0),
        expected: false,
    };
    let check = |kind, why_not: Option<&str>| EventCheck { kind, why_not: why_not.map(Into::into) };
    Events {
        events: vec![event],
        checks: vec![
            check(EventKind::LoadHigh, None),
            check(EventKind::Floor, Some("the height of the ground is not known")),
        ],
    }
}

fn recording(name: &str, samples: &[FlightSample]) -> Recording {
    let fix = |s: &FlightSample| Fix {
        time_s: s.time_s,
        latitude_deg: 47.0,
        longitude_deg: 8.0,
        height_m: Some(s.height_m),
        ground_speed_mps: None,
        track_deg: None,
        climb_mps: None,
    };
    Recording {
        format: "csv",
        name: name.into(),
        start: base::time::UtcInstant::parse_rfc3339("2026-05-04T14:02:11Z"),
        fixes: samples.iter().map(fix).collect(),
        height_datum: HeightDatum::MeanSeaLevel,
        series: Vec::new(),
        gaps: Vec::new(),
        notes: Vec::new(),
    }
}

fn motion(samples: &[FlightSample]) -> Motion {
    let column = |sigma: f64, get: fn(&FlightSample) -> f64| {
        Some(Column { value: samples.iter().map(get).collect(), sigma: vec![sigma; samples.len()] })
    };
    Motion {
        time_s: samples.iter().map(|s| s.time_s).collect(),
        north_m: column(3.0, |s| s.north_m),
        east_m: column(3.0, |s| s.east_m),
        height_m: column(2.5, |s| s.height_m),
        heading_rad: column(0.5 * RAD_PER_DEG, |s| s.heading_rad),
        path_angle_rad: column(0.01, |s| s.climb_rad),
        bank_rad: column(1.5 * RAD_PER_DEG, |s| 1.06 * s.bank_rad),
        pitch_rad: column(1.2 * RAD_PER_DEG, |s| s.pitch_rad),
        load_factor: column(0.03, |s| s.load_factor),
        true_airspeed_mps: column(1.0, |s| s.true_airspeed_mps),
        calibrated_airspeed_mps: column(1.0, |s| s.calibrated_airspeed_mps),
        wind_north_mps: column(0.5, |_| 0.0),
        wind_east_mps: column(0.5, |_| 6.0),
        airborne: vec![true; samples.len()],
        ..Motion::default()
    }
}

fn attempt(flight: &ReferenceFlight) -> Attempt {
    let parts = flight.parts.iter().map(|part| {
        let time = |index: usize| flight.samples[index].time_s;
        AttemptPart {
            direction: Some(part.direction),
            progress: maneuver::definition::Progress::Turn,
            start_s: time(part.first),
            end_s: time(part.last),
            turned_deg: Estimate { value: 178.6, sigma: 0.7 },
            checkpoints: part.checkpoints.iter().map(checkpoint).collect(),
            measures: vec![Measure {
                key: "heading_at_rollout_error_deg",
                quantity: Measured::HeadingErrorDeg,
                place: MeasuredAt::End,
                estimate: Some(Estimate { value: -1.4, sigma: 0.7 }),
            }],
            findings: findings(),
            faults: vec![FaultFound {
                id: "bank-too-steep",
                evidence: "bank 66° at 90° of turn, 60° wanted".into(),
                severity: 1.2,
                cause: None,
                refly: None,
            }],
        }
    });
    Attempt {
        maneuver: flight.maneuver,
        form: flight.form.key,
        direction: Some(flight.direction),
        confidence: 0.973,
        evidence: vec!["turned 178.6 degrees one way".into()],
        start_s: flight.samples.first().unwrap().time_s,
        end_s: flight.samples.last().unwrap().time_s,
        parts: parts.collect(),
        coaching: assess::coach::Coaching::default(),
        findings: Vec::new(),
        measures: Vec::new(),
        clearing: Clearing::NotSeen,
        flown: Flown { help: Help::Prompted, ..Flown::default() },
        notes: vec!["sideslip is not observed".into()],
    }
}

fn findings() -> Vec<Finding> {
    let finding = |id: &str, title: &str, estimate, verdict| Finding {
        id: id.into(),
        title: title.into(),
        estimate,
        at_s: None,
        unit: "°",
        low: Some(-10.0),
        high: Some(10.0),
        margin: None,
        tolerance: "±10°".into(),
        source: "made up".into(),
        training_aid: false,
        mark: None,
        verdict,
        seconds_outside: None,
        corrected: None,
        why: None,
    };
    let mut unknown = finding("ball", "ball", None, Verdict::CannotTell);
    unknown.why = Some("the recording has no lateral force".into());
    vec![
        finding(
            "rollout-heading",
            "heading at roll-out",
            Some(Estimate { value: -1.4, sigma: 0.7 }),
            Verdict::Met,
        ),
        finding(
            "bank",
            "bank at the steepest",
            Some(Estimate { value: 16.0, sigma: 1.5 }),
            Verdict::NotMet,
        ),
        unknown,
    ]
}

fn checkpoint(at: &Checkpoint) -> AttemptCheckpoint {
    let s = &at.sample;
    let estimate = |value: f64, sigma: f64| Some(Estimate { value, sigma });
    AttemptCheckpoint {
        progress_deg: at.progress_deg,
        turn_deg: at.progress_deg,
        time_s: s.time_s,
        bank_deg: estimate(1.06 * s.bank_rad / RAD_PER_DEG, 1.5),
        pitch_deg: estimate(s.pitch_rad / RAD_PER_DEG, 1.2),
        pitch_change_deg: None,
        cas_kt: estimate(s.calibrated_airspeed_mps / MPS_PER_KT, 1.9),
        height_ft: estimate(s.height_m / M_PER_FT, 8.0),
        load_factor: None,
    }
}
