//! The single of 230 hp at cruise: roots of its small motions against our own computation from the same derivatives. Part of
//! them is from memory and no published roots were found: plausibility of the whole chain, not truth about the airplane.

use base::factors::{M_PER_FT, STANDARD_GRAVITY_MPS2};
use base::kinds::PressureAltitude;
use flight::air::Air;
use flight::airplane::published;
use flight::modes::Name;

use crate::check::Check;
use crate::files::Files;
use crate::modal::{self, Root};
use crate::steady::{self, Held, Place};

/// Own eigenvalues of the linear model (check data, `lightplane/cessna182_cruise_own_modes.csv`).
const OWN: [Root; 5] = [
    root(Name::ShortPeriod, "short-period", (-4.455_735, 2.824_587)),
    root(Name::Phugoid, "phugoid", (-0.022_110, 0.169_941)),
    root(Name::Roll, "roll", (-13.025_774, 0.0)),
    root(Name::DutchRoll, "dutch-roll", (-0.671_118, 3.176_574)),
    root(Name::Spiral, "spiral", (-0.017_907, 0.0)),
];

const fn root(name: Name, key: &'static str, (real, imaginary): (f64, f64)) -> Root {
    Root { name, key, real, imaginary, share: 0.03 }
}

pub(super) fn checks(_: &Files<'_>) -> Vec<Check> {
    let airplane = published::load("single-230hp").expect("it is bundled");
    let vehicle = airplane.vehicle(airplane.rigid.loading.mass).expect("its own mass");
    let air = Air::standard(PressureAltitude::from_m(5000.0 * M_PER_FT));
    let place = Place::new(STANDARD_GRAVITY_MPS2, air.density.to_kgpm3(), air.temperature.to_k());
    let speed = airplane.condition.airspeed.to_mps();
    let found = steady::find(&vehicle, &place, speed, (0.5, 1.0), Held::BankAndHeight)
        .and_then(|(_, trim)| modal::separate(&vehicle, &place, &trim))
        .unwrap_or_default();
    let source = "ROSKAM-AFD, partly from-memory; own eigenvalues, plausibility only";
    modal::compare("single-230hp", &found, &OWN, source)
}
