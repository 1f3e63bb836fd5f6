//! Forms of moving air against published figures and closed forms.

use base::factors::{M_PER_FT, MPS_PER_KT};
use base::frames::{Ned, Vec3};
use base::kinds::Track;
use base::math::{exp, pow};
use base::units::Speed;
use checks::assert_near;
use flight::wind::turbulence::{Gust, Scales, Settings, Severity, Spectrum, TurbulenceError};
use flight::wind::{
    DiscreteGust, GustShape, LinearShear, ProfileError, Turbulence, Wind, WindField, WindProfile,
    WindSum,
};

fn wind(from_deg: f64, speed_kt: f64) -> Wind {
    Wind { from: Track::from_deg(from_deg), speed: Speed::from_kt(speed_kt) }
}

fn knots(velocity: Vec3<Ned>) -> (f64, f64) {
    (velocity.north() / MPS_PER_KT, velocity.east() / MPS_PER_KT)
}

/// Halfway from 350 to 010 degrees at equal speed the wind is from 360, shortened by the cosine of ten degrees.
#[test]
fn val_a_profile_turns_through_north_and_holds_its_ends() {
    let profile =
        WindProfile::try_new(&[(0.0, wind(350.0, 20.0)), (1000.0, wind(10.0, 20.0))]).unwrap();
    let (north, east) = knots(profile.at(0.0, 500.0).velocity_mps);
    assert_near("north", north, -20.0 * base::math::cos(10.0_f64.to_radians()), 1e-12);
    assert_near("east", east, 0.0, 1e-12);
    let ends = [(-50.0, 350.0_f64), (0.0, 350.0), (1000.0, 10.0), (9000.0, 10.0)];
    for (height_m, from_deg) in ends {
        let want = wind(from_deg, 20.0).velocity();
        assert_near("end", (profile.at(3.0, height_m).velocity_mps - want).norm(), 0.0, 1e-12);
    }
}

#[test]
fn a_profile_names_the_line_that_is_wrong() {
    let good = WindProfile::parse("# sounding\n\n1000 ft 270/10kt\n3000ft calm\n").unwrap();
    assert_near("east", knots(good.at(0.0, 2000.0 * M_PER_FT).velocity_mps).1, 5.0, 1e-12);
    let fault = |text: &str| WindProfile::parse(text).unwrap_err();
    assert!(matches!(
        fault("2000ft calm\n1000ft calm"),
        ProfileError::LineNotRising { line: 2, .. }
    ));
    assert!(matches!(
        fault("2000ft calm\n2000ft calm"),
        ProfileError::LineNotRising { line: 2, .. }
    ));
    assert!(matches!(fault("\n2000 calm"), ProfileError::Height { line: 2, .. }));
    assert!(matches!(fault("2000ft 400/5kt"), ProfileError::Wind { line: 1, .. }));
    assert!(matches!(fault("2000ft"), ProfileError::Line { line: 1, .. }));
    assert!(matches!(fault("# nothing"), ProfileError::Empty));
    let falling = WindProfile::try_new(&[(5.0, Wind::CALM), (4.0, Wind::CALM)]);
    assert!(matches!(falling, Err(ProfileError::NotRising { row: 2, .. })));
    let endless = WindProfile::try_new(&[(f64::NAN, Wind::CALM)]);
    assert!(matches!(endless, Err(ProfileError::NotAWind { row: 1, .. })));
    assert!(!fault("2000ft calm\n1000ft calm").hint().is_empty());
}

/// A wind mirrored in the north-south plane (from -x instead of x) gives the mirrored velocity at every height.
#[test]
fn prop_a_mirrored_profile_gives_the_mirrored_wind() {
    let rows = [(0.0, 200.0, 5.0), (500.0, 250.0, 18.0), (900.0, 340.0, 30.0), (3000.0, 20.0, 9.0)];
    let table =
        |sign: f64| rows.map(|(h, from, speed)| (h, wind((sign * from + 360.0) % 360.0, speed)));
    let (one, other) =
        (WindProfile::try_new(&table(1.0)).unwrap(), WindProfile::try_new(&table(-1.0)).unwrap());
    for height_m in (0..40).map(|i| f64::from(i) * 97.0) {
        let (a, b) = (one.at(0.0, height_m).velocity_mps, other.at(0.0, height_m).velocity_mps);
        assert_near("north", a.north(), b.north(), 1e-13);
        assert_near("east", a.east(), -b.east(), 1e-13);
    }
}

#[test]
fn prop_shear_passes_its_winds_and_parts_add_up() {
    let (low, high) = (wind(180.0, 10.0), wind(270.0, 30.0));
    let shear = LinearShear::through((100.0, low), (600.0, high)).unwrap();
    for (height_m, want) in [(100.0, low), (600.0, high)] {
        assert_near(
            "wind",
            (shear.at(0.0, height_m).velocity_mps - want.velocity()).norm(),
            0.0,
            1e-12,
        );
    }
    assert!(LinearShear::through((100.0, low), (100.0, high)).is_none());
    let sum = WindSum { parts: vec![Box::new(shear), Box::new(low)] };
    let want = shear.at(0.0, 50.0).velocity_mps + low.velocity();
    assert_near("sum", (sum.at(0.0, 50.0).velocity_mps - want).norm(), 0.0, 0.0);
    assert_near("none", WindSum::default().at(0.0, 0.0).velocity_mps.norm(), 0.0, 0.0);
}

/// 14 CFR 23.333(c): half the peak at a quarter of 25 chords, all of it in the middle, nil at the ends.
#[test]
fn val_the_design_gust_of_the_code() {
    let (chord_m, airspeed_mps) = (1.5, 60.0);
    let peak = Vec3::new(0.0, 0.0, -50.0 * M_PER_FT);
    let gust = DiscreteGust::design(2.0, chord_m, airspeed_mps, peak).unwrap();
    let down =
        |share: f64| gust.at(2.0 + share * 25.0 * chord_m / airspeed_mps, 0.0).velocity_mps.down();
    for (share, part) in
        [(-0.1, 0.0), (0.0, 0.0), (0.25, 0.5), (0.5, 1.0), (0.75, 0.5), (1.0, 0.0), (3.0, 0.0)]
    {
        assert_near("gust", down(share), -50.0 * M_PER_FT * part, 1e-12);
    }
    // Steepest at a quarter: pi times the peak over the length.
    let steep = (down(0.25 + 1e-5) - down(0.25 - 1e-5)) / 2e-5;
    assert_near("gradient", steep, -50.0 * M_PER_FT * std::f64::consts::PI, 1e-6);
}

/// MIL-F-8785C, 3.7.3: nil before, `V/2 (1 - cos(pi x/d))` within, `V` after.
#[test]
fn val_the_ramp_gust_rises_and_holds() {
    let peak = Vec3::new(3.0, -2.0, 1.0);
    let gust = DiscreteGust::try_new(GustShape::RampAndHold, 0.0, 100.0, 50.0, peak).unwrap();
    for (time_s, part) in [(-1.0, 0.0), (0.0, 0.0), (1.0, 0.5), (2.0, 1.0), (9.0, 1.0)] {
        assert_near("gust", (gust.at(time_s, 0.0).velocity_mps - peak * part).norm(), 0.0, 1e-12);
    }
    let refused = |length_m, speed| {
        DiscreteGust::try_new(GustShape::RampAndHold, 0.0, length_m, speed, peak).is_err()
    };
    assert!(refused(0.0, 50.0) && refused(100.0, -1.0) && refused(f64::NAN, 50.0));
}

/// MIL-F-8785C, 3.7.2 and 3.7.4 (formulas and figure 7 from memory, the latter as commonly tabulated): at 1000 ft all lengths
/// are 1000 ft and all intensities equal (0.177 + 0.823 = 1); aloft 1750 ft (von Karman 2500 ft).
#[test]
fn val_lengths_and_intensities_of_the_standard() {
    let at = |spectrum, severity, height_ft: f64| {
        let scales = Scales::try_new(spectrum, severity, height_ft * M_PER_FT).unwrap();
        (scales.lengths_m.map(|x| x / M_PER_FT), scales.intensities_mps.map(|x| x / M_PER_FT))
    };
    let (lengths, sigmas) = at(Spectrum::Dryden, Severity::Moderate, 1000.0);
    for i in 0..3 {
        assert_near("length", lengths[i], 1000.0, 1e-9);
        assert_near("intensity", sigmas[i], 3.0 * MPS_PER_KT / M_PER_FT, 1e-9);
    }
    // 100 ft: 100 / 0.2593^1.2 and 0.1 W20 / 0.2593^0.4.
    let (lengths, sigmas) = at(Spectrum::VonKarman, Severity::Light, 100.0);
    assert_near("length", lengths[0], 100.0 / pow(0.2593, 1.2), 1e-9);
    assert_near("length", lengths[0], 505.2, 0.1);
    assert_near("length", lengths[2], 100.0, 1e-9);
    assert_near("ratio", sigmas[0] / sigmas[2], 1.7160, 1e-3);
    for (spectrum, length_ft) in [(Spectrum::Dryden, 1750.0), (Spectrum::VonKarman, 2500.0)] {
        let rows = [
            (Severity::Light, 7500.0, 6.7),
            (Severity::Moderate, 3750.0, 10.6),
            (Severity::Moderate, 15_000.0, 8.0),
            (Severity::Severe, 7500.0, 23.6),
            (Severity::Severe, 80_000.0, 5.1),
            (Severity::Light, 60_000.0, 0.0),
        ];
        for (severity, height_ft, ftps) in rows {
            let (lengths, sigmas) = at(spectrum, severity, height_ft);
            assert!(lengths.iter().all(|x| (x - length_ft).abs() < 1e-9));
            assert!(sigmas.iter().all(|x| (x - ftps).abs() < 1e-9), "{sigmas:?}");
        }
    }
    let (lengths, _) = at(Spectrum::Dryden, Severity::Light, 1500.0);
    assert_near("between", lengths[1], 1375.0, 1e-9);
    for height_ft in [0.0, 9.0, 90_000.0, f64::NAN] {
        let refused = Scales::try_new(Spectrum::Dryden, Severity::Light, height_ft * M_PER_FT);
        assert!(matches!(refused, Err(TurbulenceError::Height { .. })));
    }
}

const AIRSPEED_MPS: f64 = 50.0;
const SPAN_M: f64 = 10.0;
const LENGTHS_M: [f64; 3] = [200.0, 150.0, 100.0];
const SIGMAS_MPS: [f64; 3] = [2.0, 1.5, 1.0];

fn settings(spectrum: Spectrum, step_s: f64, duration_s: f64) -> Settings {
    Settings {
        spectrum,
        scales: Scales { lengths_m: LENGTHS_M, intensities_mps: SIGMAS_MPS },
        airspeed_mps: AIRSPEED_MPS,
        span_m: SPAN_M,
        along: Track::NORTH,
        step_s,
        duration_s,
        seed: 11,
    }
}

/// Mean product of two series a lag apart, with its standard error from 60 independent blocks.
fn covariance(one: &[f64], other: &[f64], lag: usize) -> (f64, f64) {
    let products: Vec<f64> = one.iter().zip(&other[lag..]).map(|(a, b)| a * b).collect();
    let blocks: Vec<f64> = products
        .chunks_exact(products.len() / 60)
        .map(|block| block.iter().sum::<f64>() / block.len() as f64)
        .collect();
    let n = blocks.len() as f64;
    let mean = blocks.iter().sum::<f64>() / n;
    let scatter = blocks.iter().map(|x| (x - mean) * (x - mean)).sum::<f64>() / (n - 1.0);
    (mean, (scatter / n).sqrt())
}

fn series(gusts: &[Gust], pick: impl Fn(&Gust) -> f64) -> Vec<f64> {
    gusts.iter().map(pick).collect()
}

/// Autocorrelation of Dryden turbulence (closed form of MIL-F-8785C spectra): `exp(-s/L)` along, `(1 - s/(2 L)) exp(-s/L)` across,
/// over 20 000 s, each lag within 4 standard errors (60 blocks; a false alarm has a chance of about one in 5000 per lag for
/// the fixed seed, so in all below one in a hundred).
#[test]
fn val_autocorrelation_of_dryden_turbulence() {
    let step_s = 0.1;
    let made = Turbulence::try_new(&settings(Spectrum::Dryden, step_s, 20_000.0)).unwrap();
    for axis in 0..3 {
        let (sigma, length_m) = (SIGMAS_MPS[axis], LENGTHS_M[axis]);
        let values = series(made.gusts(), |gust| gust.uvw_mps[axis]);
        for lag in [0, 1, 3, 10, 20, 40, 80] {
            let s = AIRSPEED_MPS * step_s * lag as f64 / length_m;
            let shape = if axis == 0 { exp(-s) } else { (1.0 - 0.5 * s) * exp(-s) };
            let (got, error) = covariance(&values, &values, lag);
            let miss = (got - sigma * sigma * shape) / error;
            println!(
                "axis {axis} lag {lag}: {got:.4} against {:.4}, {miss:+.1} errors",
                sigma * sigma * shape
            );
            assert!(miss.abs() < 4.0, "axis {axis} lag {lag}: {miss}");
            assert!(error < 0.05 * sigma * sigma, "the check is sharp: {error}");
        }
    }
}

/// One-sided spectrum of the generated gust rates against the closed forms of MIL-F-8785C, as variances: of p the whole spectrum,
/// of q and r by quadrature of the published spectra; and r and q belong to v and w: the gradient is nil on average with
/// the velocity at the same instant but has the sign of the coming change. 4 standard errors.
#[test]
fn val_variance_and_sign_of_the_gust_rates() {
    use std::f64::consts::PI;
    let made = Turbulence::try_new(&settings(Spectrum::Dryden, 0.1, 20_000.0)).unwrap();
    let across = |axis: usize, wave: f64| {
        let x = LENGTHS_M[axis] * wave;
        SIGMAS_MPS[axis].powi(2) * LENGTHS_M[axis] / PI * (1.0 + 3.0 * x * x)
            / (1.0 + x * x).powi(2)
    };
    let roll = |wave: f64| {
        SIGMAS_MPS[2].powi(2) / LENGTHS_M[2]
            * 0.8
            * pow(PI * LENGTHS_M[2] / (4.0 * SPAN_M), 1.0 / 3.0)
            / (1.0 + (4.0 * SPAN_M * wave / PI).powi(2))
    };
    let slope = |axis: usize, lag: f64, wave: f64| {
        wave * wave / (1.0 + (lag * SPAN_M * wave / PI).powi(2)) * across(axis, wave)
    };
    // Midpoint rule in the angle whose tangent is ten times the wave number: the whole half-line.
    let whole = |spectrum: &dyn Fn(f64) -> f64| -> f64 {
        (0..200_000)
            .map(|i| (f64::from(i) + 0.5) * PI / 2.0 / 200_000.0)
            .map(|angle| {
                0.1 * spectrum(0.1 * base::math::tan(angle)) / base::math::cos(angle).powi(2)
            })
            .sum::<f64>()
            * (PI / 2.0 / 200_000.0)
    };
    let want = [whole(&roll), whole(&|k| slope(2, 4.0, k)), whole(&|k| slope(1, 3.0, k))];
    for (axis, want) in want.into_iter().enumerate() {
        let values = series(made.gusts(), |gust| gust.pqr_radps[axis]);
        let (got, error) = covariance(&values, &values, 0);
        println!("rate {axis}: {got:.6} against {want:.6}, error {error:.6}");
        assert!((got - want).abs() < 4.0 * error && error < 0.02 * want, "axis {axis}");
    }
    let q = series(made.gusts(), |gust| gust.pqr_radps[1]);
    let r = series(made.gusts(), |gust| gust.pqr_radps[2]);
    let change = |axis: usize| -> Vec<f64> {
        made.gusts().windows(2).map(|pair| pair[1].uvw_mps[axis] - pair[0].uvw_mps[axis]).collect()
    };
    let (with_v, error_v) = covariance(&r[1..], &change(1), 0);
    let (with_w, error_w) = covariance(&q[1..], &change(2), 0);
    assert!(with_v > 10.0 * error_v && with_w < -10.0 * error_w);
}

/// The same process whatever the step: variance and the correlation over half a second agree with the closed form at steps from 0.01
/// to 0.5 s (an exact discretization has no step limit), 4 standard errors.
#[test]
fn val_the_step_does_not_matter() {
    for (step_s, lag) in [(0.01, 50), (0.05, 10), (0.5, 1)] {
        let made = Turbulence::try_new(&settings(Spectrum::Dryden, step_s, 8000.0)).unwrap();
        let values = series(made.gusts(), |gust| gust.uvw_mps[2]);
        let s = AIRSPEED_MPS * 0.5 / LENGTHS_M[2];
        for (lag, want) in [(0, 1.0), (lag, (1.0 - 0.5 * s) * exp(-s))] {
            let (got, error) = covariance(&values, &values, lag);
            assert!(
                (got - want).abs() < 4.0 * error,
                "step {step_s}: {got} against {want} ({error})"
            );
        }
    }
}

/// Variance of von Karman turbulence: the stated intensities. The filters are approximations whose variance is held to 3 %
/// beside 4 standard errors (their spectra are checked beside them).
#[test]
fn val_variance_of_von_karman_turbulence() {
    let made = Turbulence::try_new(&settings(Spectrum::VonKarman, 0.02, 8000.0)).unwrap();
    for (axis, sigma) in SIGMAS_MPS.iter().enumerate() {
        let values = series(made.gusts(), |gust| gust.uvw_mps[axis]);
        let (got, error) = covariance(&values, &values, 0);
        let want = sigma.powi(2);
        println!("axis {axis}: variance {got:.4} against {want:.4}, error {error:.4}");
        assert!((got - want).abs() < 4.0 * error + 0.03 * want);
    }
}

#[test]
fn prop_the_same_seed_gives_the_same_bytes_and_another_does_not() {
    let one = settings(Spectrum::VonKarman, 0.02, 20.0);
    let bits = |settings: &Settings| -> Vec<u64> {
        let made = Turbulence::try_new(settings).unwrap();
        made.gusts()
            .iter()
            .flat_map(|gust| gust.uvw_mps.into_iter().chain(gust.pqr_radps))
            .map(f64::to_bits)
            .collect()
    };
    assert_eq!(bits(&one), bits(&one));
    assert_ne!(bits(&one), bits(&Settings { seed: 12, ..one }));
}

/// Read at a sample it is that sample, turned into north and east; between samples linear; outside the ends hold.
#[test]
fn prop_the_series_is_read_in_the_stated_axes() {
    let east = Settings { along: Track::from_deg(90.0), ..settings(Spectrum::Dryden, 0.02, 10.0) };
    let made = Turbulence::try_new(&east).unwrap();
    let check = |time_s: f64, [u, v, w]: [f64; 3]| {
        let velocity = made.at(time_s, 0.0).velocity_mps;
        assert_near("miss", (velocity - Vec3::new(-v, u, w)).norm(), 0.0, 1e-10);
    };
    let gusts = made.gusts();
    check(100.0 * 0.02, gusts[100].uvw_mps);
    check(
        100.5 * 0.02,
        std::array::from_fn(|i| 0.5 * (gusts[100].uvw_mps[i] + gusts[101].uvw_mps[i])),
    );
    check(-3.0, gusts[0].uvw_mps);
    check(99.0, gusts[gusts.len() - 1].uvw_mps);
}

#[test]
fn turbulence_that_cannot_be_is_refused() {
    let good = settings(Spectrum::Dryden, 0.02, 10.0);
    let refused = |settings: Settings| Turbulence::try_new(&settings).unwrap_err();
    for bad in [
        Settings { airspeed_mps: 0.0, ..good },
        Settings { span_m: -1.0, ..good },
        Settings { step_s: f64::NAN, ..good },
        Settings { duration_s: f64::INFINITY, ..good },
    ] {
        assert!(matches!(refused(bad), TurbulenceError::NotPositive { .. }));
    }
    let long = refused(Settings { duration_s: 1e9, ..good });
    assert!(matches!(long, TurbulenceError::TooLong { .. }) && !long.hint().is_empty());
}
