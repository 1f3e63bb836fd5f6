//! Reads the optional blocks of an airplane file: `[[flap]]`, `[power_on_stall]`, `[glide]`, `[design_speeds]`, `[balance]` with
//! `[[station]]`, `[doubt]`.

use base::kinds::{EquivalentAirspeed, IndicatedAirspeed};
use base::typed_toml::Section;
use base::units::{Angle, Area, LoadFactor};

use crate::airplane::stated::{
    DesignSpeeds, FLAPS_DOWN_LIMIT, Flap, FlapPolar, Glide, PowerOnStall, Stated,
};
use crate::airplane::{Airplane, BlockSource, Thrust, balance, doubt};

/// A stated glide ratio may be better than the polar's best by this share (rounding of a handbook, our judgement).
const RATIO_SLACK: f64 = 0.10;
/// V_NE is at most this share of V_D. Source: 14-CFR-23 (23.1505).
const NEVER_EXCEED_OF_DIVE: f64 = 0.9;

/// Reads what is there.
pub(super) fn read(root: &Section<'_>, sources: &mut Vec<BlockSource>) -> Stated {
    let mut source = |section: &Section<'_>, block: &str| {
        if let Some(source) = section.text("source") {
            sources.push(BlockSource { block: block.into(), source });
        }
    };
    let flap_sections = root.sections("flap");
    flap_sections.iter().for_each(|section| source(section, "flap"));
    let flaps = flap_sections.iter().filter_map(flap).collect();
    let mut block = |key: &'static str| {
        let section = root.optional_section(key)?;
        source(&section, key);
        Some(section)
    };
    let power_on_stall = block("power_on_stall").and_then(|section| power_on_stall(&section));
    let glide = block("glide").and_then(|section| glide(&section));
    let design_speeds = block("design_speeds").and_then(|section| design_speeds(&section));
    let doubt = block("doubt").and_then(|section| doubt::read(&section));
    let _ = block("balance");
    let balance = balance::read(root);
    Stated { flaps, power_on_stall, glide, design_speeds, balance, doubt }
}

fn flap(section: &Section<'_>) -> Option<Flap> {
    let name = section.text("name");
    let lift_max = section.number("lift_max", 0.8..=4.5);
    let extended_max: Option<IndicatedAirspeed> = section.positive("v_fe");
    let load_factor_max: Option<LoadFactor> = if section.has("load_factor_max") {
        section.within("load_factor_max", LoadFactor::from_g(1.0), LoadFactor::from_g(15.0))
    } else {
        Some(FLAPS_DOWN_LIMIT)
    };
    let polar = flap_polar(section);
    section.refuse_unknown();
    Some(Flap {
        polar: polar?,
        name: name?,
        lift_max: lift_max?,
        extended_max: extended_max?,
        load_factor_max: load_factor_max?,
    })
}

/// Lift and drag that the position adds, when both are stated; the moment is nil when it is not.
fn flap_polar(section: &Section<'_>) -> Option<Option<FlapPolar>> {
    let keys = ["lift_added", "drag_added", "moment_added"];
    if !keys.iter().any(|key| section.has(key)) {
        return Some(None);
    }
    let lift = section.number("lift_added", 0.0..=2.5);
    let drag = section.number("drag_added", 0.0..=0.4);
    let moment = section.optional_number("moment_added", -0.8..=0.2).unwrap_or(0.0);
    Some(Some(FlapPolar { lift: lift?, drag: drag?, moment }))
}

fn power_on_stall(section: &Section<'_>) -> Option<PowerOnStall> {
    let stated = section.has("stall");
    let geometry = section.has("thrust_above_body") || section.has("slipstream_share");
    let found = if stated == geometry {
        section.fault(
            "stall",
            "the stall under power needs either its speed or the geometry it is reckoned from",
            "give stall = \"... kt\", or thrust_above_body = \"... deg\" and slipstream_share = 0.2",
        );
        None
    } else if stated {
        section.positive("stall").map(PowerOnStall::Speed)
    } else {
        let angle = Angle::from_deg;
        let thrust_above_body = section.within("thrust_above_body", angle(-15.0), angle(15.0));
        let slipstream_share = section.number("slipstream_share", 0.0..=1.0);
        thrust_above_body.zip(slipstream_share).map(|(thrust_above_body, slipstream_share)| {
            PowerOnStall::Geometry { thrust_above_body, slipstream_share }
        })
    };
    if stated != geometry {
        section.refuse_unknown();
    }
    found
}

fn glide(section: &Section<'_>) -> Option<Glide> {
    let speed: Option<IndicatedAirspeed> =
        if section.has("speed") { section.positive("speed") } else { None };
    let ratio = section.optional_number("ratio", 3.0..=60.0);
    let propeller_drag_area: Option<Area> = if section.has("propeller_drag_area") {
        section.within("propeller_drag_area", Area::from_m2(0.0), Area::from_m2(3.0))
    } else {
        None
    };
    section.refuse_unknown();
    Some(Glide { speed, ratio, propeller_drag_area })
}

fn design_speeds(section: &Section<'_>) -> Option<DesignSpeeds> {
    let (least, most) = (EquivalentAirspeed::from_kt(30.0), EquivalentAirspeed::from_kt(600.0));
    let (cruise, dive) =
        (section.within("cruise", least, most), section.within("dive", least, most));
    section.refuse_unknown();
    Some(DesignSpeeds { cruise: cruise?, dive: dive? })
}

/// Figures of these blocks that contradict each other or the rest of the file.
pub(super) fn check(root: &Section<'_>, airplane: &Airplane) {
    check_flaps(root, airplane);
    check_power_on(root, airplane);
    check_glide(root, airplane);
    check_design_speeds(root, airplane);
}

fn check_flaps(root: &Section<'_>, airplane: &Airplane) {
    let flaps = &airplane.stated.flaps;
    let sections = root.sections("flap");
    if sections.len() != flaps.len() {
        return; // One of them has a fault already, and what is left does not line up.
    }
    for (index, (section, flap)) in sections.iter().zip(flaps).enumerate() {
        if flaps[..index].iter().any(|other| other.name == flap.name) {
            let what = format!("a second flap position named {:?}", flap.name);
            section.fault("name", what, "give each position a name of its own");
        }
        if flap.lift_max < airplane.aerodynamics.lift_max {
            let what = format!(
                "lift_max {} with flaps is below {} with flaps up",
                flap.lift_max, airplane.aerodynamics.lift_max
            );
            section.fault("lift_max", what, "check both figures");
        }
        if let Some(FlapPolar { lift, .. }) = flap.polar
            && flap.lift_max > airplane.aerodynamics.lift_max + lift
        {
            let what = format!(
                "lift_max {} is above {} of flaps up with {lift} added: the flow would part at a greater incidence than with flaps up",
                flap.lift_max, airplane.aerodynamics.lift_max
            );
            section.fault("lift_added", what, "check lift_added and both lift_max");
        }
        if flap.extended_max > airplane.speeds.never_exceed {
            let what = "v_fe is above never_exceed";
            section.fault("v_fe", what, "check both figures and their units");
        }
        let stall = airplane.stall_speed_of_lift(
            airplane.masses.maximum,
            LoadFactor::from_g(1.0),
            flap.lift_max,
        );
        if airplane.calibrated(flap.extended_max) <= stall {
            let what = format!(
                "v_fe is not above the stall speed of this position, {:.1} kt calibrated",
                stall.to_kt()
            );
            section.fault("v_fe", what, "check v_fe, lift_max and their units");
        }
    }
}

fn check_power_on(root: &Section<'_>, airplane: &Airplane) {
    let (Some(section), Some(stated)) =
        (root.optional_section("power_on_stall"), airplane.stated.power_on_stall)
    else {
        return;
    };
    match stated {
        PowerOnStall::Speed(speed) => {
            let idle = airplane.stall_speed(airplane.masses.maximum, LoadFactor::from_g(1.0));
            if airplane.calibrated(speed) >= idle {
                let what = format!(
                    "the stall under power is not below the idle one, {:.1} kt calibrated",
                    idle.to_kt()
                );
                section.fault("stall", what, "power lowers the stall speed: check both figures");
            }
        }
        PowerOnStall::Geometry { slipstream_share, .. } => {
            if slipstream_share > 0.0 && matches!(airplane.thrust, Thrust::Polynomial { .. }) {
                section.fault(
                    "slipstream_share",
                    "a thrust line has no propeller disk, so its slipstream is not known",
                    "write slipstream_share = 0, or give [propeller] with its diameter",
                );
            }
        }
    }
}

fn check_glide(root: &Section<'_>, airplane: &Airplane) {
    let (Some(section), Some(glide)) = (root.optional_section("glide"), airplane.stated.glide)
    else {
        return;
    };
    if glide.speed.is_some_and(|speed| speed > airplane.speeds.never_exceed) {
        section.fault("speed", "the glide speed is above never_exceed", "check both figures");
    }
    let stall = airplane.stall_speed(airplane.masses.maximum, LoadFactor::from_g(1.0));
    if glide.speed.is_some_and(|speed| airplane.calibrated(speed) <= stall) {
        let what = format!(
            "the glide speed is not above the stall speed, {:.1} kt calibrated",
            stall.to_kt()
        );
        section.fault("speed", what, "check both figures and their units");
    }
    let polar = &airplane.aerodynamics;
    let area = glide.propeller_drag_area.map_or(0.0, |area| area / airplane.wing_area);
    let best = 0.5 / ((polar.drag_zero_lift + area) * polar.drag_induced).sqrt();
    if let Some(ratio) = glide.ratio.filter(|ratio| *ratio > best * (1.0 + RATIO_SLACK)) {
        let what = format!("ratio is {ratio:.1}, but the drag figures give at most {best:.1}");
        section.fault("ratio", what, "check drag_zero_lift, drag_induced and the ratio");
    }
}

fn check_design_speeds(root: &Section<'_>, airplane: &Airplane) {
    let (Some(section), Some(design)) =
        (root.optional_section("design_speeds"), airplane.stated.design_speeds)
    else {
        return;
    };
    if design.cruise >= design.dive {
        section.fault("cruise", "cruise is not below dive", "check both figures");
    }
    // Equivalent and calibrated airspeed agree within a few knots here; the share leaves more room than that.
    let never_exceed_mps = airplane.calibrated(airplane.speeds.never_exceed).to_mps();
    if never_exceed_mps > NEVER_EXCEED_OF_DIVE * design.dive.to_mps() * 1.01 {
        section.fault(
            "dive",
            "never_exceed is above nine tenths of the dive speed",
            "V_NE is at most 0.9 V_D: check both figures",
        );
    }
}
