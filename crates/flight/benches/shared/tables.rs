//! The bundled piston trainer with its air forces written out as tables: as many and as large as a flight test of a light single
//! gives, each read off the forces of the components by cause.

use base::factors::RAD_PER_DEG;
use base::frames::Vec3;
use flight::aerodynamics::component::Component;
use flight::aerodynamics::polynomial::{Axes, Coefficient, Frame};
use flight::aerodynamics::table::{TableAxis, TableFigures, Tables};
use flight::aerodynamics::{Aerodynamics, Domain, RateLengths, Variable};
use flight::air::{Air, AirState};
use flight::budget::{Budget, Cause, Switches};
use flight::controls::Surfaces;
use flight::flow::Flow;
use flight::propulsion::Wash;

use Coefficient::{First, Pitch, Roll, Side, Third, Yaw};
use Variable::{
    Aileron, Alpha, Beta, Elevator, Flap, PitchRate, PressureRise, RollRate, Rudder, YawRate,
};

/// Where it is read off, m/s.
const SPEED_MPS: f64 = 50.0;
/// A little of everything: rad, and rad/s.
const LITTLE: f64 = 0.05;
/// Rise of pressure behind the propeller, over dynamic pressure.
const RISE: f64 = 0.2;

/// What is varied: incidence and sideslip, rad, surfaces, rates, rise of pressure in a little of each.
type Varied = (f64, f64, Option<Variable>);

/// A table: coefficient, cause, axes, and what it is multiplied by.
type Row = (Coefficient, Cause, &'static [Variable], &'static [Variable]);

const ROWS: &[Row] = &[
    (First, Cause::Airframe, &[Alpha, Beta], &[]),
    (Side, Cause::Airframe, &[Alpha, Beta], &[]),
    (Third, Cause::Airframe, &[Alpha], &[]),
    (Roll, Cause::Airframe, &[Alpha, Beta], &[]),
    (Pitch, Cause::Airframe, &[Alpha, Beta], &[]),
    (Yaw, Cause::Airframe, &[Alpha, Beta], &[]),
    (First, Cause::Airframe, &[Alpha], &[Flap]),
    (Third, Cause::Airframe, &[Alpha], &[Flap]),
    (Pitch, Cause::Airframe, &[Alpha], &[Flap]),
    (First, Cause::Elevator, &[Alpha], &[Elevator]),
    (Third, Cause::Elevator, &[Alpha], &[Elevator]),
    (Pitch, Cause::Elevator, &[Alpha], &[Elevator]),
    (Roll, Cause::Aileron, &[Alpha], &[Aileron]),
    (Yaw, Cause::Aileron, &[Alpha], &[Aileron]),
    (Side, Cause::Rudder, &[Alpha], &[Rudder]),
    (Roll, Cause::Rudder, &[Alpha], &[Rudder]),
    (Yaw, Cause::Rudder, &[Alpha], &[Rudder]),
    (Side, Cause::RollRate, &[Alpha], &[RollRate]),
    (Roll, Cause::RollRate, &[Alpha], &[RollRate]),
    (Yaw, Cause::RollRate, &[Alpha], &[RollRate]),
    (Side, Cause::YawRate, &[Alpha], &[YawRate]),
    (Roll, Cause::YawRate, &[Alpha], &[YawRate]),
    (Yaw, Cause::YawRate, &[Alpha], &[YawRate]),
    (Third, Cause::PitchRate, &[Alpha], &[PitchRate]),
    (Pitch, Cause::PitchRate, &[Alpha], &[PitchRate]),
    (Third, Cause::Slipstream, &[Alpha], &[PressureRise]),
    (Pitch, Cause::Slipstream, &[Alpha], &[PressureRise]),
    (Yaw, Cause::Slipstream, &[Alpha], &[PressureRise]),
    (Pitch, Cause::Slipstream, &[Alpha], &[PressureRise, Elevator]),
    (Yaw, Cause::Slipstream, &[Alpha], &[PressureRise, Rudder]),
];

/// The tables.
pub(crate) fn tables(airframe: &Component) -> Tables {
    let reference = airframe.reference();
    let half = |length_m: f64| 0.5 * length_m;
    let frame = Frame {
        reference,
        lengths: RateLengths {
            roll_m: half(reference.span_m),
            pitch_m: half(reference.chord_m),
            yaw_m: half(reference.span_m),
        },
        axes: Axes::Stability,
        domain: Domain { mach: 0.5, ..Domain::SUBSONIC },
        lift_alpha_rate: 1.5,
        pitch_alpha_rate: -5.0,
    };
    let figures: Vec<_> = ROWS.iter().map(|row| table(airframe, &frame, row)).collect();
    Tables::new(frame, &figures).expect("good tables")
}

fn table(airframe: &Component, frame: &Frame, &(of, cause, over, times): &Row) -> TableFigures {
    let degrees = |over: Variable| -> Vec<f64> {
        let (first, step, count) = if over == Alpha { (-20, 1, 51) } else { (-20, 5, 9) };
        (0..count).map(|i| f64::from(first + step * i)).collect()
    };
    let axis =
        |&over: &Variable| TableAxis { over, scale: 1.0 / RAD_PER_DEG, knots: degrees(over) };
    let slips = if over.len() == 2 { degrees(Beta) } else { vec![0.0] };
    let at = |alpha: f64, beta: f64, by| {
        coefficient(airframe, frame, (of, cause), (alpha * RAD_PER_DEG, beta * RAD_PER_DEG, by))
    };
    let value = |alpha: f64, beta: f64| match times {
        [] => at(alpha, beta, None),
        [one] => {
            (at(alpha, beta, Some(*one)) - still(cause, || at(alpha, beta, None)))
                / size(*one, frame)
        }
        [rise, other, ..] => {
            let both = at(alpha, beta, Some(*other)) - at(alpha, beta, None);
            both / (size(*other, frame) * size(*rise, frame))
        }
    };
    let knots = degrees(Alpha);
    let pairs = knots.iter().flat_map(|&alpha| slips.iter().map(move |&beta| (alpha, beta)));
    TableFigures {
        of,
        axes: over.iter().map(axis).collect(),
        values: pairs.map(|(alpha, beta)| value(alpha, beta)).collect(),
        number: 1.0,
        times: times.to_vec(),
    }
}

/// What the airframe does by itself, where the cause is that of the airframe too.
fn still(cause: Cause, at: impl Fn() -> f64) -> f64 {
    if cause == Cause::Airframe { at() } else { 0.0 }
}

/// How much of a variable is tried, as tables count it.
fn size(variable: Variable, frame: &Frame) -> f64 {
    match variable {
        PressureRise => RISE,
        RollRate => LITTLE * frame.lengths.roll_m / SPEED_MPS,
        PitchRate => LITTLE * frame.lengths.pitch_m / SPEED_MPS,
        YawRate => LITTLE * frame.lengths.yaw_m / SPEED_MPS,
        _ => LITTLE,
    }
}

fn coefficient(
    airframe: &Component,
    frame: &Frame,
    (of, cause): (Coefficient, Cause),
    (alpha_rad, beta_rad, by): Varied,
) -> f64 {
    use base::math::{cos, sin};
    let amount = |variable| if by == Some(variable) { LITTLE } else { 0.0 };
    let along = SPEED_MPS * cos(beta_rad);
    let velocity =
        Vec3::new(along * cos(alpha_rad), SPEED_MPS * sin(beta_rad), along * sin(alpha_rad));
    let rates = Vec3::new(amount(RollRate), amount(PitchRate), amount(YawRate));
    let air: AirState = Air::standard(base::kinds::PressureAltitude::from_m(0.0)).into();
    let flow = Flow::new(velocity, rates, air);
    let surfaces = Surfaces {
        elevator_rad: amount(Elevator),
        aileron_rad: amount(Aileron),
        rudder_rad: amount(Rudder),
        flap_rad: amount(Flap),
    };
    let blown = cause == Cause::Slipstream;
    let speed_rise_mps = SPEED_MPS * ((1.0 + RISE).sqrt() - 1.0);
    let wash = Wash {
        pressure_rise_pa: RISE * flow.dynamic_pressure_pa,
        speed_rise_mps,
        radius_m: 0.9,
        swirl_radps: 0.0,
    };
    let wash = if blown { wash } else { Wash::default() };
    let mut budget = Budget::new(Switches::ALL);
    airframe.add(&flow, &surfaces, &wash, &mut budget);
    let share = budget.share(cause);
    let (force, moment) = (share.force_n, share.moment_nm);
    let (sin_a, cos_a) = flow.alpha_sin_cos;
    let reference = frame.reference;
    let area_n = flow.dynamic_pressure_pa * reference.area_m2;
    match of {
        First => -(force.x * cos_a + force.z * sin_a) / area_n,
        Side => force.y / area_n,
        Third => (force.x * sin_a - force.z * cos_a) / area_n,
        Roll => moment.x / (area_n * reference.span_m),
        Pitch => moment.y / (area_n * reference.chord_m),
        Yaw => moment.z / (area_n * reference.span_m),
    }
}
