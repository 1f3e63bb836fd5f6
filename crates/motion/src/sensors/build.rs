//! From the series of a recording to channels: units of the state, unknowns with what is usual for them.

use base::factors::{RAD_PER_DEG, STANDARD_GRAVITY_MPS2};
use base::geodesy::Geodetic;
use base::kinds::{CalibratedAirspeed, IndicatedAirspeed};
use base::numerics::statistics::median;
use flight::air::{Air, geometric_m, pressure_altitude_m, standard_temperature_k};
use flight::airspeed::true_from_calibrated;
use recording::{Note, NoteKind, QuantityKind, Recording, Series};

use super::{Channel, Global, Kind, Told};
use crate::{Known, recorded};

/// What is known around the sensors.
#[derive(Debug)]
pub(crate) struct Surroundings<'a> {
    pub(crate) recording: &'a Recording,
    pub(crate) known: &'a Known<'a>,
    pub(crate) time_s: &'a [f64],
    pub(crate) air: &'a [Air],
    pub(crate) flying: &'a [bool],
    /// Bank by the satellites alone, degrees: the reference for the first guess of a delay.
    pub(crate) bank_deg: Option<&'a [f64]>,
    pub(crate) place: Option<Geodetic>,
    /// Whether satellites keep the time; else the recorded attitude does.
    pub(crate) satellites: bool,
}

/// Channels, and what to say of them.
#[derive(Debug, Default)]
pub(crate) struct Built {
    pub(crate) channels: Vec<Channel>,
    pub(crate) notes: Vec<Note>,
    /// The three angles of a device's mounting among the unknowns.
    pub(crate) mount: Option<[usize; 3]>,
}

/// Usual noise of a sensor and usual bias (common practice, no source).
struct Usual {
    sigma: f64,
    bias: Option<f64>,
    scale: Option<f64>,
}

/// Samples of a device closer together than this are averaged between knots, s.
const AVERAGED_STEP_S: f64 = 0.1;

/// Usual step of a series of times, s.
fn step(times_s: &[f64]) -> f64 {
    let steps: Vec<f64> = times_s.windows(2).map(|pair| pair[1] - pair[0]).collect();
    median(&steps).unwrap_or(1.0)
}

/// How far a recorded airspeed may stand off, as a share.
pub(crate) const AIRSPEED_SHARE: f64 = 0.015;
/// And how far at every speed alike, m/s.
const AIRSPEED_BIAS_MPS: f64 = 0.5;

/// How far an accelerometer may stand askew.
const TILT_RAD: f64 = 1.0 * RAD_PER_DEG;

/// Every sensor of the recording that the state can speak of.
pub(crate) fn channels(around: &Surroundings<'_>, globals: &mut Vec<Global>) -> Built {
    let mut build = Build { around, globals, built: Built::default() };
    build.air_data();
    build.attitude();
    build.loads();
    build.rates();
    build.device();
    build.built
}

/// How much farther apart pressures lie than in standard air: warm air is thin.
pub(crate) fn stretch_of_height(air: &[Air]) -> f64 {
    let one = |air: &Air| {
        air.temperature.to_k() / standard_temperature_k(pressure_altitude_m(air.pressure.to_pa()))
    };
    median(&air.iter().step_by(10).map(one).collect::<Vec<_>>()).unwrap_or(1.0)
}

struct Build<'a, 'b> {
    around: &'a Surroundings<'a>,
    globals: &'b mut Vec<Global>,
    built: Built,
}

impl<'a> Build<'a, '_> {
    fn series(&self, quantity: QuantityKind) -> Option<&'a Series> {
        self.around.recording.series_of(quantity).filter(|series| series.values.len() >= 10)
    }
    fn note(&mut self, kind: NoteKind, text: String) {
        self.built.notes.push(Note { kind, text });
    }
    fn unknown(&mut self, prior: f64, sigma: f64, told: Option<Told>) -> usize {
        self.globals.push(Global::new(prior, sigma, told));
        self.globals.len() - 1
    }
    fn delay(&mut self, sensor: &str, prior_s: f64, sigma_s: f64) -> usize {
        let told = Told { sensor: sensor.into(), what: "delay", unit: "s", factor: 1.0 };
        self.unknown(prior_s, sigma_s, Some(told))
    }
    fn push(
        &mut self,
        kind: Kind,
        (times_s, values): (Vec<f64>, Vec<f64>),
        usual: &Usual,
        delay: usize,
        told: (&str, &'static str, f64),
    ) {
        let (sensor, unit, factor) = told;
        let told = |what| Some(Told { sensor: sensor.into(), what, unit, factor });
        let bias = usual.bias.map(|sigma| self.unknown(0.0, sigma, told("bias")));
        let scale = usual.scale.map(|sigma| {
            let told = if matches!(kind, Kind::Force(_)) {
                Told { sensor: sensor.into(), what: "tilt", unit: "deg", factor: 1.0 / RAD_PER_DEG }
            } else {
                Told { sensor: sensor.into(), what: "scale", unit: "%", factor: 100.0 }
            };
            self.unknown(0.0, sigma, Some(told))
        });

        let own_s = step(&times_s);
        let averaged = kind.of_device() && own_s <= AVERAGED_STEP_S;
        let step_s = if averaged { step(self.around.time_s) } else { own_s };
        // Bank and pitch come from one instrument; where the roll is followed, its errors stray as slowly.
        let followed = self.around.satellites && crate::fuse::shows_roll(self.around.recording);
        let alike = if kind == Kind::Bank && followed { Kind::Pitch } else { kind };
        let share_most = (step_s / alike.apart_s()).min(1.0);
        let scale_from = match kind {
            Kind::Height => median(&values).unwrap_or(0.0),
            _ => 0.0,
        };
        self.built.channels.push(Channel {
            kind,
            averaged,
            weights: vec![1.0; if averaged { self.around.time_s.len() } else { values.len() }],
            times_s,
            values,
            sigma: usual.sigma,
            usual: usual.sigma,
            share: share_most.min(0.5),
            share_most,
            delay,
            bias,
            scale,
            scale_from,
            mount: self.built.mount.unwrap_or_default(),
        });
    }

    fn air_data(&mut self) {
        let airspeed = self.true_airspeed();
        let height = self.pressure_height();
        let shown = |fix: &recording::Fix| fix.climb_mps.is_some();
        let fixes_climb = self.around.recording.fixes.iter().any(shown);
        let climb = self.series(QuantityKind::VerticalSpeedMps).filter(|_| !fixes_climb);
        if airspeed.is_none() && height.is_none() && climb.is_none() {
            return;
        }
        let delay = self.delay("air data", 0.2, 0.4);
        if let Some(values) = airspeed {
            // Without a way over the ground nothing tells its scale.
            let scale = Some(AIRSPEED_SHARE).filter(|_| self.around.satellites);
            let bias = Some(AIRSPEED_BIAS_MPS).filter(|_| self.around.satellites);
            let usual = Usual { sigma: 0.8, bias, scale };
            self.push(Kind::Airspeed, values, &usual, delay, ("recorded airspeed", "m/s", 1.0));
        }
        if let Some(values) = height {
            let (bias, scale) =
                if self.around.satellites { (Some(300.0), Some(0.03)) } else { (None, None) };
            let usual = Usual { sigma: 1.5, bias, scale };
            let told = ("pressure altitude against satellite height", "m", 1.0);
            self.push(Kind::Height, values, &usual, delay, told);
        }
        if let Some(series) = climb {
            let usual = Usual { sigma: 1.0, bias: Some(0.2), scale: None };
            let delay = self.delay("recorded climb", 0.5, 0.6);
            let values = (series.times_s.clone(), series.values.clone());
            self.push(Kind::Climb, values, &usual, delay, ("recorded climb", "m/s", 1.0));
        }
    }
    /// Recorded airspeed made true, only where the airplane moves.
    fn true_airspeed(&mut self) -> Option<(Vec<f64>, Vec<f64>)> {
        const LEAST_MPS: f64 = 15.0;
        let (series, kind) = recorded::airspeed(self.around.recording)?;
        let known = self.around.known;
        let mut out = (Vec::new(), Vec::new());
        for (&time_s, &value) in series.times_s.iter().zip(&series.values) {
            let k =
                self.around.time_s.partition_point(|t| *t < time_s).min(self.around.air.len() - 1);
            let air = &self.around.air[k];
            let made = match kind {
                QuantityKind::TrueAirspeedMps => Some(value),
                QuantityKind::IndicatedAirspeedMps => {
                    IndicatedAirspeed::try_from_mps(value).map(|indicated| {
                        let calibrated = known.airplane.map_or_else(
                            || CalibratedAirspeed::from_mps(indicated.to_mps()),
                            |airplane| airplane.calibrated(indicated),
                        );
                        true_from_calibrated(calibrated, air).to_mps()
                    })
                }
                _ => CalibratedAirspeed::try_from_mps(value)
                    .map(|calibrated| true_from_calibrated(calibrated, air).to_mps()),
            };
            if let Some(made) = made.filter(|made| *made > LEAST_MPS) {
                out.0.push(time_s);
                out.1.push(made);
            }
        }
        (out.0.len() >= 10).then_some(out)
    }
    /// Pressure altitude, or the altitude on the day's setting, made geometric.
    fn pressure_height(&self) -> Option<(Vec<f64>, Vec<f64>)> {
        let stretch = stretch_of_height(self.around.air);
        let of = |quantity: QuantityKind, made: fn(f64) -> f64| {
            self.series(quantity).map(|series| {
                let values = series.values.iter().map(|value| stretch * made(*value)).collect();
                (series.times_s.clone(), values)
            })
        };
        of(QuantityKind::PressureAltitudeM, geometric_m)
            .or_else(|| {
                of(QuantityKind::StaticPressurePa, |pa| geometric_m(pressure_altitude_m(pa)))
            })
            .or_else(|| of(QuantityKind::IndicatedAltitudeM, geometric_m))
    }

    fn attitude(&mut self) {
        let kinds = [
            QuantityKind::BankDeg,
            QuantityKind::PitchDeg,
            QuantityKind::TrueHeadingDeg,
            QuantityKind::MagneticHeadingDeg,
        ];
        // A device that feels forces lies anyhow: its compass shows where it points, not the airplane.
        let device = self.series(QuantityKind::DeviceForceXMps2).is_some();
        if device || kinds.iter().all(|kind| self.series(*kind).is_none()) {
            return;
        }
        let sigma_s = if self.around.satellites { 0.5 } else { 1e-3 };
        let prior_s = if self.around.satellites { 0.2 } else { 0.0 };
        let delay = self.delay("recorded attitude", prior_s, sigma_s);
        let first = self.around.bank_deg.zip(self.series(QuantityKind::BankDeg));
        if let Some((bank_deg, series)) = first
            && let Some(found) = recorded::delay_s(series, self.around.time_s, bank_deg, 25.0)
        {
            self.globals[delay].value = found;
        }
        let angle = |series: &Series, added_deg: f64| {
            let values = series.values.iter().map(|deg| (deg + added_deg) * RAD_PER_DEG).collect();
            (series.times_s.clone(), values)
        };
        let in_deg = |sensor| (sensor, "deg", 1.0 / RAD_PER_DEG);
        let usual = |sigma_deg: f64, bias_deg: f64| Usual {
            sigma: sigma_deg * RAD_PER_DEG,
            bias: Some(bias_deg * RAD_PER_DEG),
            scale: None,
        };
        if let Some(series) = self.series(QuantityKind::BankDeg) {
            let values = angle(series, 0.0);
            self.push(Kind::Bank, values, &usual(0.5, 0.7), delay, in_deg("recorded bank"));
        }
        if let Some(series) = self.series(QuantityKind::PitchDeg) {
            let values = angle(series, 0.0);
            self.push(Kind::Pitch, values, &usual(0.5, 0.7), delay, in_deg("recorded pitch"));
        }
        if let Some(series) = self.series(QuantityKind::TrueHeadingDeg) {
            let values = angle(series, 0.0);
            let told = in_deg("recorded heading");
            let delay = self.heading_delay();
            self.push(Kind::Heading, values, &usual(1.5, 1.5), delay, told);
        } else if let Some(series) = self.series(QuantityKind::MagneticHeadingDeg) {
            let variation = self.variation_deg();
            let doubt = if variation.is_some() { 2.0 } else { 15.0 };
            let values = angle(series, variation.unwrap_or(0.0));
            let told = in_deg("recorded magnetic heading");
            let delay = self.heading_delay();
            self.push(Kind::Heading, values, &usual(1.5, doubt), delay, told);
        }
    }
    /// A heading has a filter of its own.
    fn heading_delay(&mut self) -> usize {
        self.delay("recorded heading", 0.2, 0.5)
    }
    fn variation_deg(&mut self) -> Option<f64> {
        let (place, at) = self.around.place.zip(self.around.recording.start)?;
        let variation = flight::magnetic::variation(place, at).ok()?;
        Some(variation.to_deg())
    }

    fn loads(&mut self) {
        let kinds = [
            (QuantityKind::LongitudinalLoadG, 0, 1.0, "recorded longitudinal load"),
            (QuantityKind::LateralLoadG, 1, 1.0, "recorded lateral load"),
            (QuantityKind::NormalLoadG, 2, -1.0, "recorded normal load"),
        ];
        let mut delay = None;
        for (quantity, axis, sign, sensor) in kinds {
            let Some(series) = self.series(quantity) else { continue };
            // A recording whose normal load is nil in ordinary flight counts from one.
            let ordinary = median(&self.flown(series)).unwrap_or(1.0);
            let added = if axis == 2 && ordinary.abs() < 0.5 { 1.0 } else { 0.0 };
            if added > 0.0 {
                let text =
                    "the recorded normal load is nil in ordinary flight: one is added".to_owned();
                self.note(NoteKind::Assumed, text);
            }
            let values: Vec<f64> = series
                .values
                .iter()
                .map(|load| sign * (load + added) * STANDARD_GRAVITY_MPS2)
                .collect();
            let delay = *delay.get_or_insert_with(|| self.delay("recorded loads", 0.2, 0.3));
            let sigma = if axis == 1 { 0.1 } else { 0.4 };
            let usual = Usual {
                sigma,
                bias: Some(0.3),
                scale: Some(if axis == 2 { 2.0 } else { 1.0 } * TILT_RAD),
            };
            let values = (series.times_s.clone(), values);
            self.push(Kind::Force(axis), values, &usual, delay, (sensor, "m/s2", 1.0));
        }
    }
    /// Values of a series where the airplane flies.
    fn flown(&self, series: &Series) -> Vec<f64> {
        let flying = |time_s: f64| {
            let k = self.around.time_s.partition_point(|t| *t < time_s);
            self.around.flying.get(k).copied().unwrap_or(false)
        };
        let pairs = series.times_s.iter().zip(&series.values);
        pairs.filter(|(time_s, _)| flying(**time_s)).map(|(_, value)| *value).collect()
    }

    fn rates(&mut self) {
        let kinds = [
            (QuantityKind::RollRateRadps, 0, "recorded roll rate"),
            (QuantityKind::PitchRateRadps, 1, "recorded pitch rate"),
            (QuantityKind::YawRateRadps, 2, "recorded yaw rate"),
        ];
        let mut delay = None;
        for (quantity, axis, sensor) in kinds {
            let Some(series) = self.series(quantity) else { continue };
            let delay = *delay.get_or_insert_with(|| self.delay("recorded rates", 0.1, 0.4));
            let usual = Usual { sigma: 0.01, bias: Some(0.005), scale: None };
            let values = (series.times_s.clone(), series.values.clone());
            let told = (sensor, "deg/s", 1.0 / RAD_PER_DEG);
            self.push(Kind::Rate(axis), values, &usual, delay, told);
        }
    }

    fn device(&mut self) {
        use QuantityKind as Q;
        const FORCES: [Q; 3] = [Q::DeviceForceXMps2, Q::DeviceForceYMps2, Q::DeviceForceZMps2];
        const RATES: [Q; 3] = [Q::DeviceRateXRadps, Q::DeviceRateYRadps, Q::DeviceRateZRadps];
        const NAMES: [[&str; 3]; 2] = [
            ["device accelerometer x", "device accelerometer y", "device accelerometer z"],
            ["device gyroscope x", "device gyroscope y", "device gyroscope z"],
        ];
        let whole = |kinds: [Q; 3]| kinds.iter().all(|kind| self.series(*kind).is_some());
        let (forces, rates) = (whole(FORCES), whole(RATES));
        if !forces || !self.around.satellites {
            return;
        }
        let delay = self.unknown(0.0, 1.0, None);
        self.built.mount = Some(std::array::from_fn(|_| self.unknown(0.0, 1.0, None)));
        for axis in 0..3 {
            if let Some(series) = self.series(FORCES[axis]) {
                let usual = Usual { sigma: 0.2, bias: Some(0.15), scale: None };
                let values = (series.times_s.clone(), series.values.clone());
                let told = (NAMES[0][axis], "m/s2", 1.0);
                self.push(Kind::DeviceForce(axis), values, &usual, delay, told);
            }
            if let Some(series) = self.series(RATES[axis]).filter(|_| rates) {
                let usual = Usual { sigma: 0.01, bias: Some(0.02), scale: None };
                let values = (series.times_s.clone(), series.values.clone());
                let told = (NAMES[1][axis], "deg/s", 1.0 / RAD_PER_DEG);
                self.push(Kind::DeviceRate(axis), values, &usual, delay, told);
            }
        }
    }
}
