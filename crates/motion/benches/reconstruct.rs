//! Time of a reconstruction: one hour of five fixes a second with airspeed, and ten such hours; the figures wanted are 150 ms and
//! ten times as much on one core; some 430 ms are reached today.

use std::hint::black_box;

use base::factors::{RAD_PER_DEG, STANDARD_GRAVITY_MPS2};
use base::frames::Vec3;
use base::geodesy::{Geodetic, LocalLevel};
use base::math::{atan2, cos, hypot, sin, tan, wrap_two_pi};
use base::numerics::random::SplitMix;
use criterion::{Criterion, criterion_group, criterion_main};
use motion::{Known, reconstruct};
use recording::{Fix, HeightDatum, QuantityKind, Recording, Series};

const STEP_S: f64 = 0.2;
const SPEED_MPS: f64 = 52.0;
const WIND_MPS: [f64; 2] = [1.0, -0.5];

/// A lesson in closed form: every two minutes a steep turn, a zoom, a glide; with the noise of a receiver and of a pitot tube.
fn lesson(hours: f64) -> Recording {
    let mut chance = SplitMix::new(11);
    let level = LocalLevel::at(Geodetic::from_deg(47.0, 9.0, 0.0));
    let (mut fixes, mut times_s, mut values) = (Vec::new(), Vec::new(), Vec::new());
    let (mut north, mut east, mut height, mut heading) = (0.0, 0.0, 1500.0, 0.3);
    let mut bank: f64 = 0.0;
    for k in 0..(hours * 3600.0 / STEP_S) as usize {
        let time_s = k as f64 * STEP_S;
        let phase = time_s % 120.0;
        let wanted = if phase > 20.0 && phase < 50.0 { 45.0 * RAD_PER_DEG } else { 0.0 };
        bank += ((wanted - bank) * STEP_S / 0.8).clamp(-0.1, 0.1);
        let zoom = if phase > 70.0 && phase < 90.0 {
            sin((phase - 70.0) / 20.0 * std::f64::consts::TAU)
        } else {
            0.0
        };
        let speed = SPEED_MPS - 8.0 * zoom.abs();
        heading += STEP_S * STANDARD_GRAVITY_MPS2 * tan(bank) / speed;
        let velocity =
            [speed * cos(heading) + WIND_MPS[0], speed * sin(heading) + WIND_MPS[1], 6.0 * zoom];
        north += STEP_S * velocity[0];
        east += STEP_S * velocity[1];
        height += STEP_S * velocity[2];
        let mut noisy = |value: f64, sigma: f64| value + sigma * chance.normal();
        let place =
            level.to_geodetic(Vec3::new(noisy(north, 0.5), noisy(east, 0.5), -noisy(height, 0.8)));
        let (vn, ve) = (noisy(velocity[0], 0.08), noisy(velocity[1], 0.08));
        fixes.push(Fix {
            time_s,
            latitude_deg: place.latitude_deg(),
            longitude_deg: place.longitude_deg(),
            height_m: Some(place.height_m),
            ground_speed_mps: Some(hypot(vn, ve)),
            track_deg: Some(wrap_two_pi(atan2(ve, vn)) / RAD_PER_DEG),
            climb_mps: Some(noisy(velocity[2], 0.1)),
        });
        times_s.push(time_s);
        values.push(noisy(speed, 0.3) * 0.93);
    }
    Recording {
        format: "csv",
        name: "lesson".into(),
        start: None,
        fixes,
        height_datum: HeightDatum::MeanSeaLevel,
        series: vec![Series {
            quantity: QuantityKind::CalibratedAirspeedMps,
            origin: "cas".into(),
            times_s,
            values,
        }],
        gaps: Vec::new(),
        notes: Vec::new(),
    }
}

fn reconstruction(bench: &mut Criterion) {
    let mut group = bench.benchmark_group("reconstruct");
    group.sample_size(10);
    for (name, hours) in [("one hour at 5 Hz with airspeed", 1.0), ("ten hours", 10.0)] {
        let recording = lesson(hours);
        group.bench_function(name, |b| {
            b.iter(|| reconstruct(black_box(&recording), &Known::default()).expect("a motion"));
        });
    }
    group.finish();
}

criterion_group!(benches, reconstruction);
criterion_main!(benches);
