//! What every coefficient block says first: areas and lengths, how rates were made dimensionless, signs, range.

use base::kinds::EquivalentAirspeed;
use base::typed_toml::Section;
use base::units::{Angle, Area, Length};

use crate::aerodynamics::{Domain, RateLengths, Reference, Variable};

/// Greatest Mach number of data that state none: these are sets of light airplanes, without compressibility.
const MACH_MOST: f64 = 0.4;

/// The head of a coefficient block.
#[derive(Debug, Clone, Copy)]
pub(super) struct Head {
    pub(super) reference: Reference,
    pub(super) lengths: RateLengths,
    pub(super) domain: Domain,
    pub(super) signs: Signs,
    /// Point that moments refer to, mean chords behind the leading edge.
    pub(super) moment_reference: f64,
}

/// Factor of each control from the source's sign to ours.
#[derive(Debug, Clone, Copy)]
pub(super) struct Signs {
    pub(super) elevator: f64,
    pub(super) aileron: f64,
    pub(super) rudder: f64,
}

impl Signs {
    /// Factor of one factor of a term.
    pub(super) const fn of(&self, variable: Variable) -> f64 {
        match variable {
            Variable::Elevator => self.elevator,
            Variable::Aileron => self.aileron,
            Variable::Rudder => self.rudder,
            _ => 1.0,
        }
    }
}

pub(super) fn read(section: &Section<'_>) -> Option<Head> {
    let area = section.within("area", Area::from_m2(1.0), Area::from_m2(1000.0));
    let span = section.within("span", Length::from_m(1.0), Length::from_m(100.0));
    let chord = section.within("chord", Length::from_m(0.1), Length::from_m(20.0));
    let pitch = section.choice("pitch_rate_by", &[("c/2V", 0.5), ("c/V", 1.0)]);
    let roll_yaw = section.choice("roll_yaw_rate_by", &[("b/2V", 0.5), ("b/V", 1.0)]);
    let elevator = section.choice("elevator_positive", &[("down", 1.0), ("up", -1.0)]);
    let aileron = section.choice("aileron_positive", &[("rolls left", 1.0), ("rolls right", -1.0)]);
    let rudder = section.choice("rudder_positive", &[("yaws left", 1.0), ("yaws right", -1.0)]);
    let moment_reference = section.number("moment_reference", -0.2..=1.0);
    let domain = domain(section);
    let reference =
        Reference { area_m2: area?.to_m2(), span_m: span?.to_m(), chord_m: chord?.to_m() };
    let (pitch, roll_yaw) = (pitch?, roll_yaw?);
    let lengths = RateLengths {
        roll_m: roll_yaw * reference.span_m,
        pitch_m: pitch * reference.chord_m,
        yaw_m: roll_yaw * reference.span_m,
    };
    let signs = Signs { elevator: elevator?, aileron: aileron?, rudder: rudder? };
    Some(Head { reference, lengths, domain: domain?, signs, moment_reference: moment_reference? })
}

fn domain(section: &Section<'_>) -> Option<Domain> {
    let (half, quarter) = (Angle::from_deg(180.0), Angle::from_deg(90.0));
    let least = section.within("alpha_least", -half, half);
    let most = section.within("alpha_most", -half, half);
    let beta = section.within("beta_most", Angle::ZERO, quarter);
    let mach = section.optional_number("mach_most", 0.1..=5.0);
    let slow: Option<EquivalentAirspeed> = section.optional_quantity("airspeed_least");
    let fast: Option<EquivalentAirspeed> = section.optional_quantity("airspeed_most");
    let (least, most) = (least?, most?);
    if least >= most {
        section.fault(
            "alpha_most",
            "alpha_most is not above alpha_least",
            "check both figures: they span the angles of attack that the data cover",
        );
        return None;
    }
    let equivalent_mps = (
        slow.map_or(0.0, EquivalentAirspeed::to_mps),
        fast.map_or(f64::INFINITY, EquivalentAirspeed::to_mps),
    );
    if equivalent_mps.0 >= equivalent_mps.1 {
        section.fault(
            "airspeed_most",
            "airspeed_most is not above airspeed_least",
            "check both figures: they span the equivalent airspeeds that the data cover",
        );
        return None;
    }
    Some(Domain {
        alpha_rad: (least.to_rad(), most.to_rad()),
        beta_rad: beta?.to_rad(),
        mach: mach.unwrap_or(MACH_MOST),
        equivalent_mps,
    })
}
