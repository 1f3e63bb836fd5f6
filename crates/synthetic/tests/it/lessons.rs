//! Drawn lessons: the truth against itself, and what recorders write against what is read back.

use base::factors::RAD_PER_DEG;
use base::frames::{Body, Ned, Rot, Vec3};
use base::geodesy::LocalLevel;
use base::math::wrap_pi;
use recording::{ReadOptions, Series};
use synthetic::lesson::{Flight, Lesson, STEP_S, Sample};
use synthetic::recorders;

fn flown(seed: u64) -> (Lesson, Flight) {
    let lesson = Lesson::draw(seed);
    let flight = lesson.fly().expect("this one flies");
    (lesson, flight)
}

/// The lesson that several tests look at, flown once.
fn third() -> &'static (Lesson, Flight) {
    static FLOWN: std::sync::OnceLock<(Lesson, Flight)> = std::sync::OnceLock::new();
    FLOWN.get_or_init(|| flown(3))
}

/// Central difference over two steps.
fn rate(before: f64, after: f64) -> f64 {
    (after - before) / (2.0 * STEP_S)
}

fn body_from_ned(sample: &Sample) -> Rot<Ned, Body> {
    sample.attitude.body_from_ned()
}

/// Positions give the velocities, attitudes the rates, velocities the specific force, airspeed is velocity less air.
#[test]
fn prop_the_truth_of_a_lesson_hangs_together() {
    let mut worst = [0.0f64; 4];
    // A demo trainer in smooth air, a published set in turbulence.
    for (_, flight) in [&flown(4), third()] {
        for three in flight.samples.windows(3).step_by(37) {
            let [before, now, after] = three else { unreachable!("windows of three") };
            let local = LocalLevel::at(now.place);
            let moved = local.to_local(after.place) - local.to_local(before.place);
            let velocity = moved * (0.5 / STEP_S);
            worst[0] = worst[0].max((velocity - now.velocity_mps).norm());

            // Rates from the angles: p, q, r of the Euler angles (any text on flight dynamics).
            let (a, b) = (&before.attitude, &after.attitude);
            let bank_rate = wrap_pi(b.bank_rad - a.bank_rad) / (2.0 * STEP_S);
            let pitch_rate = rate(a.pitch_rad, b.pitch_rad);
            let heading_rate = wrap_pi(b.heading_rad - a.heading_rad) / (2.0 * STEP_S);
            let (sin_b, cos_b) =
                (base::math::sin(now.attitude.bank_rad), base::math::cos(now.attitude.bank_rad));
            let (sin_p, cos_p) =
                (base::math::sin(now.attitude.pitch_rad), base::math::cos(now.attitude.pitch_rad));
            let rates = Vec3::<Body>::new(
                bank_rate - heading_rate * sin_p,
                pitch_rate * cos_b + heading_rate * sin_b * cos_p,
                -pitch_rate * sin_b + heading_rate * cos_b * cos_p,
            );
            let mean =
                (before.rates_radps + now.rates_radps * 4.0 + after.rates_radps) * (1.0 / 6.0);
            worst[1] = worst[1].max((rates - mean).norm());

            let acceleration = (after.velocity_mps - before.velocity_mps) * (0.5 / STEP_S);
            let felt = body_from_ned(now).apply(acceleration - Vec3::new(0.0, 0.0, 9.8));
            worst[2] = worst[2].max((felt - now.specific_force_mps2).norm());

            let through_air = now.velocity_mps - now.air_mps;
            worst[3] = worst[3].max((through_air.norm() - now.true_airspeed_mps).abs());
        }
    }
    println!(
        "worst: velocity {} rates {} force {} airspeed {}",
        worst[0], worst[1], worst[2], worst[3]
    );
    // Differences over 0.04 s, the turn of the earth, and gravity that changes with place (9.78 to 9.83).
    assert!(worst[0] < 0.02, "{} m/s", worst[0]);
    assert!(worst[1] < 0.01, "{} rad/s", worst[1]);
    assert!(worst[2] < 0.3, "{} m/s2", worst[2]);
    assert!(worst[3] < 1e-6, "{} m/s", worst[3]);
}

#[test]
fn prop_a_lesson_repeats_and_seeds_differ() {
    let (lesson, flight) = third();
    let (_, again) = flown(3);
    assert_eq!(*flight, again);
    let recorder = recorders::find("panel").expect("there is one");
    assert_eq!((recorder.log)(lesson, flight).bytes(), (recorder.log)(lesson, &again).bytes());
    assert_ne!(Lesson::draw(5).place, Lesson::draw(6).place);
}

/// Not all of one kind: airplanes, hands, air.
#[test]
fn lessons_differ_in_what_they_are_to_differ_in() {
    let mut keys: Vec<&str> = (1..30).map(|seed| Lesson::draw(seed).airframe.key).collect();
    keys.sort_unstable();
    keys.dedup();
    assert_eq!(keys.len(), 6, "{keys:?}");
    let (_, slipping) = flown(10);
    let slip = slipping.samples.iter().filter(|one| one.beta_rad.abs() > 5.0 * RAD_PER_DEG);
    let count = slip.count();
    assert!(count > 950, "feet that sleep are seen: {count} samples");
}

/// The bytes of every recorder are read to the recording that it says it wrote, to the rounding of its own text.
#[test]
fn prop_every_file_is_read_as_it_was_written() {
    let (lesson, flight) = third();
    for recorder in recorders::ALL {
        let log = (recorder.log)(lesson, flight);
        let written = log.recording(recorder.key);
        let options = ReadOptions { name: recorder.key.into(), ..ReadOptions::default() };
        let read = recording::read(&log.bytes(), &options)
            .unwrap_or_else(|error| panic!("{}: {error}", recorder.key));
        assert_eq!(read.format, written.format);
        assert_eq!(read.start, written.start, "{}", recorder.key);
        assert_eq!(read.fixes.len(), written.fixes.len(), "{}", recorder.key);
        for (a, b) in read.fixes.iter().zip(&written.fixes) {
            assert!((a.time_s - b.time_s).abs() < 1e-5, "{}: {a:?} {b:?}", recorder.key);
            assert!(
                (a.latitude_deg - b.latitude_deg).abs() < 1e-9,
                "{}: {a:?} {b:?}",
                recorder.key
            );
            assert!((a.longitude_deg - b.longitude_deg).abs() < 1e-9, "{}", recorder.key);
            for (a, b) in [
                (a.height_m, b.height_m),
                (a.ground_speed_mps, b.ground_speed_mps),
                (a.climb_mps, b.climb_mps),
            ] {
                assert_eq!(a.is_some(), b.is_some(), "{}", recorder.key);
                assert!((a.unwrap_or(0.0) - b.unwrap_or(0.0)).abs() < 1e-6, "{}", recorder.key);
            }
        }
        assert_eq!(read.series.len(), written.series.len(), "{}: {:?}", recorder.key, read.notes);
        for series in &written.series {
            let found = read.series_of(series.quantity);
            same(
                recorder.key,
                series,
                found.unwrap_or_else(|| panic!("{}: {:?}", recorder.key, series.quantity)),
            );
        }
    }
}

fn same(key: &str, written: &Series, read: &Series) {
    assert_eq!(written.values.len(), read.values.len(), "{key}: {:?}", written.quantity);
    for (i, (a, b)) in written.values.iter().zip(&read.values).enumerate() {
        let near = (a - b).abs() < 1e-6 * a.abs().max(1.0);
        assert!(near, "{key}: {:?} {a} {b}", written.quantity);
        assert!(
            (written.times_s[i] - read.times_s[i]).abs() < 1e-5,
            "{key}: {:?}",
            written.quantity
        );
    }
}
