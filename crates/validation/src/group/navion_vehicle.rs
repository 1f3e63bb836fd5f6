//! The Navion at 176 ft/s at sea level: roots of its small motions through file, vehicle, trim and linear model, against the
//! textbook's.

use base::factors::{M_PER_FT, N_PER_LBF};
use flight::airplane::published;
use flight::airplane::rigid::Form;
use flight::modes::Name;

use crate::check::Check;
use crate::files::Files;
use crate::modal::{self, Root};
use crate::steady::{self, Held, Place};

/// Roots printed by NELSON-1998, examples 4.3 (p. 158) and 5.3 (p. 199).
const PRINTED: [Root; 5] = [
    root(Name::ShortPeriod, "short-period", (-2.5, 2.59), 0.01),
    root(Name::Phugoid, "phugoid", (-0.0171, 0.213), 0.01),
    root(Name::Roll, "roll", (-8.435, 0.0), 0.01),
    root(Name::DutchRoll, "dutch-roll", (-0.487, 2.335), 0.01),
    root(Name::Spiral, "spiral", (-0.008_77, 0.0), 0.1),
];

const fn root(name: Name, key: &'static str, (real, imaginary): (f64, f64), share: f64) -> Root {
    Root { name, key, real, imaginary, share }
}

pub(super) fn checks(_: &Files<'_>) -> Vec<Check> {
    let source = "NELSON-1998 examples 4.3 and 5.3 (p. 158, 199)";
    let mut airplane = published::load("navion-nelson").expect("it is bundled");
    // As the book does: the lift of the pitch rate is dropped.
    if let Form::Derivatives(set) = &mut airplane.rigid.form {
        set.lift.pitch_rate = 0.0;
    }
    let vehicle = airplane.vehicle(airplane.rigid.loading.mass).expect("its own mass");
    // Density and gravity of the book.
    let slug_kg = N_PER_LBF / M_PER_FT;
    let density = 0.002_377 * slug_kg / (M_PER_FT * M_PER_FT * M_PER_FT);
    let place = Place::new(32.174 * M_PER_FT, density, 288.15);
    let speed = airplane.condition.airspeed.to_mps();
    let found = steady::find(&vehicle, &place, speed, (0.5, 1.0), Held::BankAndHeight)
        .and_then(|(_, trim)| modal::separate(&vehicle, &place, &trim))
        .unwrap_or_default();
    let note = "lift of the pitch rate dropped as in the book";
    let printed = modal::compare("navion-vehicle", &found, &PRINTED, source);
    printed.into_iter().map(|check| check.with_note(note)).collect()
}
