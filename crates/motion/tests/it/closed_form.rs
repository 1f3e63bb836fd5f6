//! A lesson in closed form for benches and for the test of memory: every two minutes a steep turn, a zoom, a glide; with the noise of a
//! receiver, of a pitot tube and of a panel.

use base::factors::{RAD_PER_DEG, STANDARD_GRAVITY_MPS2};
use base::frames::Vec3;
use base::geodesy::{Geodetic, LocalLevel};
use base::math::{atan2, cos, hypot, sin, tan, wrap_two_pi};
use base::numerics::random::SplitMix;
use recording::{Fix, HeightDatum, QuantityKind, Recording, Series};

const STEP_S: f64 = 0.2;
const SPEED_MPS: f64 = 52.0;
const WIND_MPS: [f64; 2] = [1.0, -0.5];

/// What a panel shows besides the airspeed.
const PANEL: [QuantityKind; 5] = [
    QuantityKind::BankDeg,
    QuantityKind::PitchDeg,
    QuantityKind::TrueHeadingDeg,
    QuantityKind::PressureAltitudeM,
    QuantityKind::NormalLoadG,
];

/// The airplane at one time.
struct Now {
    velocity_mps: [f64; 3],
    place_m: [f64; 3],
    speed_mps: f64,
    bank_rad: f64,
    heading_rad: f64,
}

/// Five fixes and airspeeds a second; or one, with the attitude of a panel.
pub(crate) fn lesson(hours: f64, panel: bool) -> Recording {
    let mut chance = SplitMix::new(11);
    let level = LocalLevel::at(Geodetic::from_deg(47.0, 9.0, 0.0));
    let mut fixes = Vec::new();
    let mut series: Vec<Series> = std::iter::once(QuantityKind::CalibratedAirspeedMps)
        .chain(PANEL.into_iter().filter(|_| panel))
        .map(|quantity| Series {
            quantity,
            origin: "panel".into(),
            times_s: Vec::new(),
            values: Vec::new(),
        })
        .collect();
    let mut now = Now {
        velocity_mps: [0.0; 3],
        place_m: [0.0, 0.0, 1500.0],
        speed_mps: SPEED_MPS,
        bank_rad: 0.0,
        heading_rad: 0.3,
    };
    for k in 0..(hours * 3600.0 / STEP_S) as usize {
        let time_s = k as f64 * STEP_S;
        now.fly(time_s);
        if panel && k % 5 != 0 {
            continue;
        }
        fixes.push(now.fix(time_s, &level, &mut chance));
        for (series, value) in series.iter_mut().zip(now.shown(&mut chance)) {
            series.times_s.push(time_s);
            series.values.push(value);
        }
    }
    Recording {
        format: "csv",
        name: "lesson".into(),
        start: None,
        fixes,
        height_datum: HeightDatum::MeanSeaLevel,
        series,
        gaps: Vec::new(),
        notes: Vec::new(),
    }
}

impl Now {
    fn fly(&mut self, time_s: f64) {
        let phase = time_s % 120.0;
        let wanted = if phase > 20.0 && phase < 50.0 { 45.0 * RAD_PER_DEG } else { 0.0 };
        self.bank_rad += ((wanted - self.bank_rad) * STEP_S / 0.8).clamp(-0.1, 0.1);
        let zoom = if phase > 70.0 && phase < 90.0 {
            sin((phase - 70.0) / 20.0 * std::f64::consts::TAU)
        } else {
            0.0
        };
        self.speed_mps = SPEED_MPS - 8.0 * zoom.abs();
        self.heading_rad += STEP_S * STANDARD_GRAVITY_MPS2 * tan(self.bank_rad) / self.speed_mps;
        let (north, east) = (cos(self.heading_rad), sin(self.heading_rad));
        self.velocity_mps =
            [self.speed_mps * north + WIND_MPS[0], self.speed_mps * east + WIND_MPS[1], 6.0 * zoom];
        for (place, velocity) in self.place_m.iter_mut().zip(self.velocity_mps) {
            *place += STEP_S * velocity;
        }
    }
    fn fix(&self, time_s: f64, level: &LocalLevel, chance: &mut SplitMix) -> Fix {
        let mut noisy = |value: f64, sigma: f64| value + sigma * chance.normal();
        let [north, east, height] = self.place_m;
        let place =
            level.to_geodetic(Vec3::new(noisy(north, 0.5), noisy(east, 0.5), -noisy(height, 0.8)));
        let (vn, ve) = (noisy(self.velocity_mps[0], 0.08), noisy(self.velocity_mps[1], 0.08));
        Fix {
            time_s,
            latitude_deg: place.latitude_deg(),
            longitude_deg: place.longitude_deg(),
            height_m: Some(place.height_m),
            ground_speed_mps: Some(hypot(vn, ve)),
            track_deg: Some(wrap_two_pi(atan2(ve, vn)) / RAD_PER_DEG),
            climb_mps: Some(noisy(self.velocity_mps[2], 0.1)),
        }
    }
    /// Airspeed, and what [`PANEL`] lists.
    fn shown(&self, chance: &mut SplitMix) -> [f64; 6] {
        let mut noisy = |value: f64, sigma: f64| value + sigma * chance.normal();
        let load = 1.0 / cos(self.bank_rad);
        let pitch = self.velocity_mps[2] / self.speed_mps / RAD_PER_DEG + 2.0 * load;
        [
            noisy(self.speed_mps, 0.3) * 0.93,
            noisy(self.bank_rad / RAD_PER_DEG + 0.3, 0.3),
            noisy(pitch + 0.3, 0.3),
            wrap_two_pi(self.heading_rad) / RAD_PER_DEG,
            noisy(self.place_m[2] + 20.0, 0.5),
            noisy(load, 0.02),
        ]
    }
}
