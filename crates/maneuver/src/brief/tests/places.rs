//! Names of places: phases of scripted figures, corners, pylons; the best gain beside the schedule.

use super::{request, told};
use crate::brief::{BriefRequest, brief};
use crate::catalog::{self, find};
use crate::definition::Progress;
use base::factors::RAD_PER_DEG;
use flight::airplane::bundled;

/// As many names as the shape has hundreds, none empty, none twice; a figure that runs on degrees has none.
#[test]
fn prop_every_phase_has_a_name() {
    for maneuver in catalog::ALL {
        let shape = maneuver.shape();
        let brief = told(maneuver.id(), |_| {});
        for flight in &brief.sides {
            if shape.progress != Progress::Phase {
                assert!(flight.phases.is_empty() && flight.phase_at(90.0).is_none());
                assert_eq!(flight.place_words(44.6), "at 45 degrees");
                continue;
            }
            let key = maneuver.id();
            assert_eq!(flight.phases.len(), (shape.span_deg / 100.0) as usize, "{key}");
            let names: std::collections::BTreeSet<_> = flight.phases.iter().collect();
            assert_eq!(names.len(), flight.phases.len(), "{key}: {:?}", flight.phases);
            assert_eq!(flight.phase_at(0.0).as_deref(), Some(flight.phases[0]));
            assert_eq!(flight.phase_at(shape.span_deg).as_deref(), Some("end"));
            assert!(!flight.place_words(310.0).contains("degrees"), "{key}");
        }
    }
}

/// The break is where the wing passes its greatest lift: named there, and nowhere far from it.
#[test]
fn prop_the_break_is_where_the_lift_is_greatest() {
    for id in ["power-off-stall", "power-on-stall", "accelerated-stall"] {
        let airplane = bundled::load("plover-160").unwrap();
        let flight = &told(id, |_| {}).sides[0];
        let lift = |s: &flight::trajectory::FlightSample| {
            airplane.lift_coefficient(s.incidence_rad) / airplane.aerodynamics.lift_max
        };
        let at = flight.samples.iter().find(|s| lift(s) > 0.99).expect("it stalls");
        let words = flight.place_words(at.progress_rad / RAD_PER_DEG);
        assert_eq!(words, "at the break", "{id}");
        assert_ne!(flight.place_words(50.0), "at the break");
        assert_ne!(flight.place_words(460.0), "at the break");
    }
}

/// Something is read in every corner of the course, banked, whatever the wind and the distance, and on every side of it, level.
#[test]
fn prop_the_rectangular_course_is_read_in_its_corners() {
    let maneuver = find("rectangular-course").unwrap();
    for form in maneuver.forms() {
        for wind in ["calm", "270/15kt", "030/20kt"] {
            let brief = told("rectangular-course", |r| {
                r.form = Some(*form);
                r.day.wind = flight::wind::Wind::parse(wind).unwrap();
            });
            for flight in &brief.sides {
                let points = &flight.parts[0].checkpoints;
                let corner = |deg: f64| (deg / 90.0).fract() > 0.01;
                assert_eq!(points.iter().filter(|at| corner(at.progress_deg)).count(), 4);
                for at in points {
                    let bank_deg = at.sample.bank_rad.abs() / RAD_PER_DEG;
                    let key = format!("{} {wind} {}: {bank_deg}", form.key, at.progress_deg);
                    assert_eq!(bank_deg > 8.0, corner(at.progress_deg), "{key}");
                }
            }
        }
    }
}

#[test]
fn prop_pylons_are_told_apart() {
    let brief = told("eights-on-pylons", |_| {});
    let names: Vec<&str> = brief.sides[0].marks.iter().map(|mark| mark.name).collect();
    assert_eq!(names, ["first pylon", "second pylon"]);
    for eye in &brief.eyes {
        let seen = eye.views.iter().flat_map(|view| &view.sights).map(|sight| &sight.name);
        let pylons: std::collections::BTreeSet<String> =
            seen.filter(|name| name.contains("pylon")).map(ToString::to_string).collect();
        assert_eq!(pylons.len(), 2, "{pylons:?}");
    }
}

/// The physical best is told for a chandelle alone, in the time of the schedule, and gains more than it.
#[test]
fn prop_the_best_gain_stands_beside_a_chandelle() {
    let airplane = bundled::load("plover-160").unwrap();
    let asked = BriefRequest { hands: true, ..request(None) };
    let chandelle = brief(find("chandelle").unwrap(), &airplane, &asked);
    assert_eq!(chandelle.best_gains.len(), 2);
    for (flight, best) in chandelle.sides.iter().zip(&chandelle.best_gains) {
        let best = best.as_ref().unwrap();
        let (first, last) = (flight.samples[0], *flight.samples.last().unwrap());
        assert!((best.time_s - (last.time_s - first.time_s)).abs() < 1e-9);
        assert!(best.gain_m > last.height_m - first.height_m);
        let sign = flight.direction.sign();
        assert!(best.samples.iter().all(|s| s.bank_rad * sign > -1e-6));
    }
    assert!(brief(find("lazy-eight").unwrap(), &airplane, &asked).best_gains.is_empty());
}
