//! The block `[propulsion]`: what a rigid-body flight must know of engine and propeller beyond `[propeller]`, which says power,
//! diameter, sense of rotation and whether the pitch is fixed.

use base::factors::RAD_PER_DEG;
use base::frames::Vec3;
use base::typed_toml::Section;
use base::units::{Angle, AngularRate, Length, MomentOfInertia};

use crate::airplane::rigid::PistonPull;
use crate::airplane::{Propeller, PropellerPitch, Rotation};
use crate::propulsion::blade::BladeElements;
use crate::propulsion::chart::{ChartError, ChartRow};
use crate::propulsion::engine::{AltitudeRule, PistonEngine};
use crate::propulsion::piston::{PistonPropellerData, Pitch};

pub(super) fn read(section: &Section<'_>, propeller: Option<&Propeller>) -> Option<PistonPull> {
    let Some(propeller) = propeller else {
        section.fault(
            "",
            "[propulsion] needs a block [propeller] beside it",
            "add [propeller] with power_max, diameter, rotation and pitch",
        );
        return None;
    };
    let engine = engine(section, propeller);
    let pitch = pitch(section, propeller, engine.as_ref());
    let blades = section.number("blades", 2.0..=6.0);
    if blades.is_some_and(|blades| blades.fract() != 0.0) {
        section.fault("blades", "blades must be a whole number", "count them");
    }
    let chord_over_diameter = section.number("chord_over_diameter", 0.02..=0.15);
    let charts = section.sections("chart");
    let rows: Vec<Option<ChartRow>> = charts.iter().map(row).collect();
    // A published chart says what the twist would.
    let twist = 0.2..=2.5;
    let pitch_over_diameter = if charts.is_empty() {
        section.number("twist_pitch_over_diameter", twist)
    } else {
        section.optional_number("twist_pitch_over_diameter", twist).or(Some(0.7))
    };
    let inertia = section.positive::<MomentOfInertia>("inertia");
    let length = |key, least: f64, most: f64| {
        section.within(key, Length::from_m(least), Length::from_m(most)).map(Length::to_m)
    };
    let (ahead, above) = (length("hub_ahead", 0.2, 8.0), length("hub_above", -2.0, 3.0));
    let tilt = Angle::from_rad(8.0 * RAD_PER_DEG);
    let (down, right) =
        (section.within("shaft_down", -tilt, tilt), section.within("shaft_right", -tilt, tilt));
    let swirl_straightened = section.number("swirl_straightened", 0.0..=1.0);
    let blockage = section.number("blockage", 0.0..=0.3);
    let data = PistonPropellerData {
        engine: engine?,
        blades: BladeElements::usual(blades?, chord_over_diameter?, pitch_over_diameter?),
        chord_over_diameter: chord_over_diameter?,
        diameter_m: propeller.diameter.to_m(),
        pitch: pitch?,
        clockwise: propeller.rotation == Rotation::Clockwise,
        inertia_kgm2: inertia?.to_kgm2(),
        hub_m: Vec3::new(ahead?, 0.0, -above?),
        shaft_down_rad: down?.to_rad(),
        shaft_right_rad: right?.to_rad(),
        swirl_straightened: swirl_straightened?,
        blockage: blockage?,
    };
    if charts.is_empty() {
        return Some(PistonPull::of_blades(data));
    }
    charted(section, data, &charts, &rows.into_iter().collect::<Option<Vec<_>>>()?)
}

/// One `[[propulsion.chart]]`: a blade angle with its coefficients.
fn row(section: &Section<'_>) -> Option<ChartRow> {
    let angle = section.within::<Angle>("blade_angle", Angle::from_deg(0.0), Angle::from_deg(80.0));
    let (advance, thrust) = (section.numbers("advance"), section.numbers("thrust"));
    let power = section.numbers("power");
    section.refuse_unknown();
    Some(ChartRow { angle_rad: angle?.to_rad(), advance, thrust, power })
}

fn charted(
    section: &Section<'_>,
    data: PistonPropellerData,
    charts: &[Section<'_>],
    rows: &[ChartRow],
) -> Option<PistonPull> {
    let ((least, most), hair) = (data.pitch.stops_rad(), 1e-9);
    let (first, last) = (rows.first()?.angle_rad, rows.last()?.angle_rad);
    match PistonPull::of_chart(data, rows) {
        Ok(_) if least < first - hair || most > last + hair => {
            section.fault(
                "chart",
                "the blade angles of the propeller lie outside those of the chart",
                "give the chart rows that reach from stop to stop, or the one of a fixed pitch",
            );
            None
        }
        Ok(pull) => Some(pull),
        Err(error) => {
            let (row, key) = match error {
                ChartError::Empty => (1, "blade_angle"),
                ChartError::BladeAngles { row } => (row, "blade_angle"),
                ChartError::Lengths { row, .. } | ChartError::NotRising { row, .. } => {
                    (row, "advance")
                }
                ChartError::NotFinite { row } => (row, "thrust"),
                ChartError::Gain { row, .. } => (row, "power"),
            };
            charts[row - 1].fault(key, error.to_string(), error.hint());
            None
        }
    }
}

fn engine(section: &Section<'_>, propeller: &Propeller) -> Option<PistonEngine> {
    let rated: Option<AngularRate> = section.positive("speed_rated");
    let idle: Option<AngularRate> = section.positive("speed_idle");
    let altitude = section.choice(
        "power_with_height",
        &[("gagg-ferrar", AltitudeRule::GaggFerrar), ("lowry", LOWRY)],
    );
    let drag_share = section.number("drag_share", 0.0..=0.4);
    let torque_rise = section.number("torque_rise", -0.3..=0.5);
    let (rated, idle) = (rated?, idle?);
    if idle.to_radps() > 0.5 * rated.to_radps() {
        section.fault(
            "speed_idle",
            "the idle speed is above half the rated speed",
            "check both figures and their units",
        );
        return None;
    }
    Some(PistonEngine {
        speed_idle_radps: idle.to_radps(),
        altitude: altitude?,
        drag_share: drag_share?,
        torque_rise: torque_rise?,
        ..PistonEngine::usual(propeller.power_max.to_w(), rated.to_radps())
    })
}

const LOWRY: AltitudeRule = AltitudeRule::Lowry { friction: 0.12 };

fn pitch(
    section: &Section<'_>,
    propeller: &Propeller,
    engine: Option<&PistonEngine>,
) -> Option<Pitch> {
    let angle = |key| {
        let (least, most) = (Angle::from_deg(5.0), Angle::from_deg(60.0));
        section.within(key, least, most).map(Angle::to_rad)
    };
    if !matches!(propeller.pitch, PropellerPitch::ConstantSpeed) {
        return Some(Pitch::Fixed { angle_rad: angle("blade_angle")? });
    }
    let (fine_rad, coarse_rad) = (angle("fine_stop"), angle("coarse_stop"));
    let least: Option<AngularRate> = section.positive("governed_least");
    let most: Option<AngularRate> = section.positive("governed_most");
    let (fine_rad, coarse_rad) = (fine_rad?, coarse_rad?);
    let (speed_least_radps, speed_most_radps) = (least?.to_radps(), most?.to_radps());
    if fine_rad >= coarse_rad {
        let hint = "the fine stop is the smaller blade angle";
        section.fault("fine_stop", "fine_stop is not below coarse_stop", hint);
        return None;
    }
    if speed_least_radps >= speed_most_radps {
        section.fault(
            "governed_least",
            "governed_least is not below governed_most",
            "check both figures",
        );
        return None;
    }
    if engine.is_some_and(|engine| speed_most_radps > 1.02 * engine.speed_rated_radps) {
        section.fault(
            "governed_most",
            "the governor allows more than the rated speed",
            "check governed_most and speed_rated",
        );
        return None;
    }
    Some(Pitch::ConstantSpeed { fine_rad, coarse_rad, speed_least_radps, speed_most_radps })
}
