//! The light trainer with its air forces read off into tables: they give back what they were read off.

#[path = "../../../benches/shared/tables.rs"]
mod tables;

use base::frames::Vec3;
use base::math::{cos, sin};
use base::units::Mass;
use flight::aerodynamics::Aerodynamics;
use flight::air::{Air, AirState};
use flight::airplane::bundled;
use flight::airplane::rigid::Form;
use flight::budget::{Budget, Cause, Switches};
use flight::controls::Surfaces;
use flight::flow::Flow;
use flight::propulsion::Wash;
use flight::vehicle::Vehicle;

/// The trainer as it is.
pub(crate) fn components() -> Vehicle {
    let airplane = bundled::load("plover-160").expect("a bundled airplane");
    airplane.vehicle(Mass::from_kg(930.0)).expect("it has six-degree data")
}

/// The trainer with tables.
pub(crate) fn tabulated() -> Vehicle {
    let rigid = bundled::load("plover-160").expect("a bundled airplane").rigid.expect("data");
    let Form::Components(airframe) = &rigid.form else { panic!("it is made of components") };
    Vehicle { aerodynamics: Box::new(tables::tables(airframe)), ..components() }
}

fn budget(form: &dyn Aerodynamics, flow: &Flow, surfaces: &Surfaces, shares: bool) -> Budget {
    let mut budget =
        if shares { Budget::new(Switches::ALL) } else { Budget::sum_only(Switches::ALL) };
    form.add(flow, surfaces, &Wash::default(), &mut budget);
    budget
}

#[test]
fn prop_tables_give_back_what_they_were_read_off() {
    let (airplane, other) = (components(), tabulated());
    let air: AirState = Air::standard(base::kinds::PressureAltitude::from_m(1500.0)).into();
    for (alpha_deg, beta_deg) in [(0.0, 0.0), (4.0, 0.0), (11.0, -5.0), (16.0, 10.0)] {
        let rad = base::factors::RAD_PER_DEG;
        let (alpha, beta) = (alpha_deg * rad, beta_deg * rad);
        let velocity = Vec3::new(cos(beta) * cos(alpha), sin(beta), cos(beta) * sin(alpha)) * 43.0;
        let flow = Flow::new(velocity, Vec3::ZERO, air);
        let deflected = Surfaces { elevator_rad: -0.05, aileron_rad: 0.1, ..Surfaces::default() };
        // Deflected, the tail's lift adds drag that is the airframe's: tables do not know it.
        let still = (Surfaces::default(), [Cause::Airframe; 2]);
        for (surfaces, causes) in [still, (deflected, [Cause::Elevator, Cause::Aileron])] {
            let [one, two] = [&airplane, &other]
                .map(|vehicle| budget(vehicle.aerodynamics.as_ref(), &flow, &surfaces, true));
            for cause in causes {
                let (a, b) = (one.share(cause), two.share(cause));
                let apart = (a.force_n - b.force_n).norm() + (a.moment_nm - b.moment_nm).norm();
                let size = 1.0 + a.force_n.norm() + a.moment_nm.norm();
                assert!(apart < 1e-9 * size, "{alpha_deg} {beta_deg} {cause:?} {a:?} {b:?}");
            }
            // The sum alone is the same, bit for bit.
            let sum = budget(other.aerodynamics.as_ref(), &flow, &surfaces, false).total();
            assert_eq!(sum, two.total());
        }
    }
}
