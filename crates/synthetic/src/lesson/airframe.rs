//! The airplane of a lesson: one of the demo trainers or of the published sets, with a mass, a wing and a drag that are not
//! quite those of its file.

use base::kinds::{CalibratedAirspeed, GeometricHeight, TrueAirspeed};
use base::units::{LoadFactor, Mass};
use flight::air::Day;
use flight::airplane::rigid::{Form, Rigid};
use flight::airplane::{Airplane, bundled, published};
use flight::airspeed::true_from_calibrated;
use flight::vehicle::Vehicle;

use super::rad;
use crate::dice::Dice;

/// An airplane to fly.
#[derive(Debug)]
pub struct Airframe {
    /// Key of its file.
    pub key: &'static str,
    /// As it is.
    pub vehicle: Vehicle,
    /// Its file, which knows neither its mass nor its scatter; `None` for sets that are no airplane file.
    pub file: Option<Airplane>,
    /// Wing span, m.
    pub span_m: f64,
    /// The pilot stays below this angle of attack, rad.
    pub alpha_most_rad: f64,
    /// The pilot stays below this sideslip, rad.
    pub beta_most_rad: f64,
    /// Lowest and highest height where its data are good, m.
    pub height_m: (f64, f64),
    /// How steep it may be flown, degrees of bank.
    pub bank_most_deg: f64,
    /// Entry speed.
    entry: Entry,
}

#[derive(Debug, Clone, Copy)]
enum Entry {
    Calibrated(CalibratedAirspeed),
    True(TrueAirspeed),
}

/// A published set: key, heights, entry speed over that of the set, bank.
const PUBLISHED: [(&str, (f64, f64), f64, f64); 4] = [
    ("navion-nelson", (150.0, 1500.0), 1.12, 50.0),
    ("navion-faa71", (1800.0, 3300.0), 1.05, 50.0),
    ("beaver", (150.0, 900.0), 1.25, 45.0),
    ("single-230hp", (900.0, 2200.0), 0.98, 50.0),
];

impl Airframe {
    /// Draws one: two in three a demo trainer.
    pub(super) fn draw(dice: &mut Dice) -> Self {
        let which = dice.share();
        if which < 0.4 {
            Self::trainer("plover-160", dice)
        } else if which < 0.68 {
            Self::trainer("sandpiper-550", dice)
        } else {
            let index = ((which - 0.68) / 0.32 * PUBLISHED.len() as f64) as usize;
            Self::published(PUBLISHED[index.min(PUBLISHED.len() - 1)], dice)
        }
    }

    fn trainer(key: &'static str, dice: &mut Dice) -> Self {
        let file = bundled::load(key).expect("a bundled airplane");
        let (typical, most) = (file.masses.typical.to_kg(), file.masses.maximum.to_kg());
        let mass = Mass::from_kg(dice.between(0.92 * typical, most.min(1.08 * typical)));
        let rigid = scattered(file.rigid.as_ref().expect("it has six-degree data"), dice);
        let stall = file.stall_speed(mass, LoadFactor::from_g(1.0));
        let stall_rad = rigid.stall_rad().unwrap_or(rad(15.0));
        Self {
            key,
            vehicle: rigid.vehicle(mass).expect("a mass above nil"),
            span_m: file.wing_span.to_m(),
            alpha_most_rad: stall_rad - rad(4.0),
            beta_most_rad: rad(12.0),
            height_m: (500.0, 2200.0),
            bank_most_deg: 60.0,
            entry: Entry::Calibrated(CalibratedAirspeed::from_mps(
                stall.to_mps() * dice.between(1.65, 1.9),
            )),
            file: Some(file),
        }
    }

    fn published(
        (key, height_m, over, bank_most_deg): (&'static str, (f64, f64), f64, f64),
        dice: &mut Dice,
    ) -> Self {
        let set = published::load(key).expect("a published airplane");
        let mass = Mass::from_kg(set.rigid.loading.mass.to_kg() * dice.between(0.9, 1.04));
        let vehicle = set.vehicle(mass).expect("a mass above nil");
        let domain = vehicle.aerodynamics.domain();
        let speed_mps = set.condition.airspeed.to_mps() * over * dice.between(0.97, 1.05);
        Self {
            key,
            span_m: set.rigid.form.reference().span_m,
            alpha_most_rad: domain.alpha_rad.1 - rad(1.5),
            beta_most_rad: (domain.beta_rad - rad(2.5)).min(rad(12.0)),
            vehicle,
            height_m,
            bank_most_deg,
            entry: Entry::True(TrueAirspeed::from_mps(speed_mps)),
            file: None,
        }
    }

    /// Speed of straight flight and of the entries.
    pub(super) fn entry_speed(&self, day: &Day, height_m: f64, dice: &mut Dice) -> TrueAirspeed {
        let scatter = dice.between(0.97, 1.03);
        let speed = match self.entry {
            Entry::True(speed) => speed,
            Entry::Calibrated(speed) => {
                true_from_calibrated(speed, &day.air_at(GeometricHeight::from_m(height_m)))
            }
        };
        TrueAirspeed::from_mps(speed.to_mps() * scatter)
    }
}

/// The same airplane as it came from another day at the factory: wing, drag and tail off by a few hundredths.
fn scattered(rigid: &Rigid, dice: &mut Dice) -> Rigid {
    let mut out = rigid.clone();
    if let Form::Components(airframe) = &rigid.form {
        let mut figures = *airframe.figures();
        figures.wing.lift.slope_per_rad *= 1.0 + 0.03 * dice.normal();
        figures.wing.lift.zero += 0.02 * dice.normal();
        figures.body.drag_zero_lift *= 1.0 + 0.08 * dice.normal();
        figures.body.side_per_rad *= 1.0 + 0.15 * dice.normal();
        figures.fin.area_m2 *= 1.0 + 0.05 * dice.normal();
        // A wing that cannot stall as drawn stays as its file has it.
        if let Ok(drawn) = flight::aerodynamics::component::Component::new(figures) {
            out.form = Form::Components(drawn);
        }
    }
    out
}
