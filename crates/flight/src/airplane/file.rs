//! The airplane file: TOML to [`Airplane`], every fault with its line and a hint.

mod stated;

use std::sync::Arc;

use base::factors::{RAD_PER_DEG, STANDARD_GRAVITY_MPS2};
use base::kinds::{CalibratedAirspeed, IndicatedAirspeed, TrueAirspeed};
use base::typed_toml::{self, Faults, Section};
use base::units::{AngularRate, Area, Length, LoadFactor, Mass, Power};

use super::{
    Aerodynamics, Airplane, ApprovedEntry, BlockSource, Category, EfficiencyFall, Masses,
    PositionErrorRow, Propeller, PropellerPitch, Rotation, Seat, Speeds, Thrust, WingPlace,
    rigid_file,
};
use crate::airplane::rigid::{Pull, Rigid};
use crate::propulsion::thrust_chart::{Carried, ThrustChart};

impl Airplane {
    /// Reads an airplane file. `name` is used in messages.
    ///
    /// # Errors
    /// Every fault of the file, each with its line: missing or impossible figures, unknown keys, limits that contradict.
    pub fn from_toml(text: &str, name: &str) -> Result<Self, Faults> {
        typed_toml::read(text, name, |root| {
            let airplane = build(root)?;
            check(root, &airplane);
            Some(airplane)
        })
    }
}

fn build(root: &Section<'_>) -> Option<Airplane> {
    let (id, name, description) = (root.text("id"), root.text("name"), root.text("description"));
    let mut sources = Vec::new();
    let mut block = |section: Option<Section<'_>>, title: &str| {
        if let Some(source) = section.as_ref().and_then(|section| section.text("source")) {
            sources.push(BlockSource { block: title.into(), source });
        }
    };
    block(root.section("mass"), "mass");
    block(root.section("wing"), "wing");
    block(root.section("aerodynamics"), "aerodynamics");
    block(root.section("speeds"), "speeds");
    block(root.section("seat"), "seat");
    block(root.optional_section("position_error"), "position_error");
    let masses = root.section("mass").and_then(|section| masses(&section));
    let wing = root.section("wing").and_then(|section| wing(&section));
    let aero = root.section("aerodynamics").and_then(|section| aerodynamics(&section));
    let thrust = thrust(root, &mut sources);
    let categories = categories(root, &mut sources);
    let stated = stated::read(root, &mut sources);
    let speeds = root.section("speeds").and_then(|section| speeds(&section));
    let approved_entries = approved_entries(root, &mut sources);
    let position_error = root
        .optional_section("position_error")
        .map_or_else(Vec::new, |section| position_error(&section));
    rigid_file::expect(root);
    let (wing_area, wing_span, wing_place) = wing?;
    let seat = root.section("seat").and_then(|section| seat(&section, wing_place));
    let (aerodynamics, roll_rate_max) = aero?;
    let rest = rigid_file::Rest {
        aerodynamics: &aerodynamics,
        area_m2: wing_area.to_m2(),
        span_m: wing_span.to_m(),
        propeller: match &thrust {
            Some(Thrust::Propeller(propeller)) => Some(propeller),
            _ => None,
        },
    };
    let rigid = rigid_file::read(root, Some(&rest), &mut sources);
    let (thrust, speeds, masses) = (thrust?, speeds?, masses?);
    let carried = |power: Power| Carried {
        power_w: power.to_w(),
        speed_reference_mps: speeds.maneuvering.to_mps(),
        speed_most_mps: CHARTED_OVER_NEVER_EXCEED * speeds.never_exceed.to_mps(),
        weight_n: masses.typical.to_kg() * STANDARD_GRAVITY_MPS2,
        area_m2: wing_area.to_m2(),
        polar: aerodynamics,
    };
    Some(Airplane {
        id: id?,
        name: name?,
        description: description?,
        sources,
        masses,
        wing_area,
        wing_span,
        aerodynamics,
        thrust: charted(thrust, rigid.as_ref(), carried),
        categories,
        speeds,
        approved_entries,
        position_error,
        seat: seat?,
        roll_rate_max,
        stated,
        flaps_set: None,
        rigid,
    })
}

fn masses(section: &Section<'_>) -> Option<Masses> {
    let _ = section.optional_text("source");
    let mass = |key| section.within(key, Mass::from_kg(150.0), Mass::from_kg(20_000.0));
    let (empty, typical, maximum) = (mass("empty"), mass("typical"), mass("maximum"));
    section.refuse_unknown();
    Some(Masses { empty: empty?, typical: typical?, maximum: maximum? })
}

fn wing(section: &Section<'_>) -> Option<(Area, Length, WingPlace)> {
    let _ = section.optional_text("source");
    let area = section.within("area", Area::from_m2(4.0), Area::from_m2(150.0));
    let span = section.within("span", Length::from_m(4.0), Length::from_m(40.0));
    let place = section.choice("place", &[("high", WingPlace::High), ("low", WingPlace::Low)]);
    section.refuse_unknown();
    Some((area?, span?, place?))
}

fn aerodynamics(section: &Section<'_>) -> Option<(Aerodynamics, AngularRate)> {
    let _ = section.optional_text("source");
    let drag_zero_lift = section.number("drag_zero_lift", 0.005..=0.2);
    let drag_induced = section.number("drag_induced", 0.005..=0.3);
    let lift_at_zero_incidence = section.number("lift_at_zero_incidence", -0.5..=1.0);
    let lift_slope_per_rad = section.number("lift_slope_per_rad", 2.0..=7.0);
    let lift_max = section.number("lift_max", 0.8..=3.0);
    let lift_min = section.number("lift_min", -2.0..=-0.2);
    let rate = |deg_per_s: f64| AngularRate::from_radps(deg_per_s * RAD_PER_DEG);
    let roll_rate_max = section.within("roll_rate_max", rate(5.0), rate(720.0));
    section.refuse_unknown();
    let aerodynamics = Aerodynamics {
        drag_zero_lift: drag_zero_lift?,
        drag_induced: drag_induced?,
        lift_at_zero_incidence: lift_at_zero_incidence?,
        lift_slope_per_rad: lift_slope_per_rad?,
        lift_max: lift_max?,
        lift_min: lift_min?,
    };
    Some((aerodynamics, roll_rate_max?))
}

fn thrust(root: &Section<'_>, sources: &mut Vec<BlockSource>) -> Option<Thrust> {
    let (propeller_block, polynomial_block) =
        (root.optional_section("propeller"), root.optional_section("thrust"));
    let (section, title) = match (&propeller_block, &polynomial_block) {
        (Some(section), None) => (section, "propeller"),
        (None, Some(section)) => (section, "thrust"),
        _ => {
            let hint =
                "give [propeller] with power and diameter, or [thrust] with a measured thrust line";
            root.fault(
                "propeller",
                "exactly one of the blocks [propeller] and [thrust] must be there",
                hint,
            );
            return None;
        }
    };
    if let Some(source) = section.text("source") {
        sources.push(BlockSource { block: title.into(), source });
    }
    let thrust = if title == "propeller" {
        propeller(section).map(Thrust::Propeller)
    } else {
        polynomial(section)
    };
    section.refuse_unknown();
    thrust
}

fn propeller(section: &Section<'_>) -> Option<Propeller> {
    let power_max =
        section.within("power_max", Power::from_w(10_000.0), Power::from_w(2_000_000.0));
    let diameter = section.within("diameter", Length::from_m(0.8), Length::from_m(5.0));
    let efficiency_of_ideal = section.number("efficiency_of_ideal", 0.4..=1.0);
    let efficiency_fall = efficiency_fall(section);
    let turning =
        [("clockwise", Rotation::Clockwise), ("counterclockwise", Rotation::Counterclockwise)];
    let rotation = section.choice("rotation", &turning);
    let pitch = match section.choice("pitch", &[("constant-speed", true), ("fixed", false)])? {
        true => Some(PropellerPitch::ConstantSpeed),
        false => {
            let share = section.number("static_power_share", 0.3..=1.0);
            let full = section.positive::<CalibratedAirspeed>("full_power_at");
            share.zip(full).map(|(static_power_share, full_power_at)| PropellerPitch::Fixed {
                static_power_share,
                full_power_at,
            })
        }
    };
    Some(Propeller {
        power_max: power_max?,
        diameter: diameter?,
        efficiency_of_ideal: efficiency_of_ideal?,
        efficiency_fall: efficiency_fall?,
        rotation: rotation?,
        pitch: pitch?,
        chart: None,
    })
}

/// Both keys or none.
fn efficiency_fall(section: &Section<'_>) -> Option<EfficiencyFall> {
    if !section.has("efficiency_bend") && !section.has("efficiency_best_at") {
        return Some(EfficiencyFall::NONE);
    }
    let bend = section.number("efficiency_bend", 0.0..=1.5);
    let (least, most) = (TrueAirspeed::from_kt(30.0), TrueAirspeed::from_kt(400.0));
    let best_at = section.within("efficiency_best_at", least, most);
    Some(EfficiencyFall { best_at: best_at?, bend: bend? })
}

/// Thrust is charted to this times the never-exceed speed: aloft a true airspeed is half as much again.
const CHARTED_OVER_NEVER_EXCEED: f64 = 1.6;

/// With the chart of the engine and propeller that the six-degree data know.
fn charted(thrust: Thrust, rigid: Option<&Rigid>, carried: impl Fn(Power) -> Carried) -> Thrust {
    match (thrust, rigid.map(|rigid| &rigid.pull)) {
        // A share of the ideal that is said to fall off was fitted to measured flight, which blades worked out from it are not.
        (Thrust::Propeller(propeller), Some(Pull::Piston(pull)))
            if propeller.efficiency_fall == EfficiencyFall::NONE =>
        {
            let chart = ThrustChart::new(Arc::clone(pull), carried(propeller.power_max));
            Thrust::Propeller(Propeller { chart: Some(Arc::new(chart)), ..propeller })
        }
        (thrust, _) => thrust,
    }
}

fn polynomial(section: &Section<'_>) -> Option<Thrust> {
    let static_n = section.number("static_n", 1.0..=1e6);
    let slope_n_per_mps = section.number("slope_n_per_mps", -1e4..=1e4);
    let curvature_n_per_mps2 = section.number("curvature_n_per_mps2", -1e3..=1e3);
    Some(Thrust::Polynomial {
        static_n: static_n?,
        slope_n_per_mps: slope_n_per_mps?,
        curvature_n_per_mps2: curvature_n_per_mps2?,
    })
}

fn categories(root: &Section<'_>, sources: &mut Vec<BlockSource>) -> Vec<Category> {
    let sections = root.sections("category");
    if sections.is_empty() {
        root.fault(
            "category",
            "no category with limits",
            "add a block [[category]] with name, mass_max and load factors",
        );
    }
    let mut out = Vec::new();
    for section in sections {
        if let Some(source) = section.text("source") {
            sources.push(BlockSource { block: "category".into(), source });
        }
        let (name, mass_max) = (category_name(&section), section.positive("mass_max"));
        let (load_least, load_most) = (LoadFactor::from_g(2.0), LoadFactor::from_g(15.0));
        let load_factor_max = section.within("load_factor_max", load_least, load_most);
        let load_factor_min: Option<LoadFactor> = section.quantity("load_factor_min");
        let approved = section.texts("approved");
        if load_factor_min.is_some_and(|least| least.to_g() > 0.0) {
            section.fault(
                "load_factor_min",
                "the negative limit load factor must not be above zero",
                "write it with a minus sign: \"-1.76 g\"",
            );
        }
        section.refuse_unknown();
        if let (Some(name), Some(mass_max), Some(load_factor_max), Some(load_factor_min)) =
            (name, mass_max, load_factor_max, load_factor_min)
        {
            out.push(Category { name, mass_max, load_factor_max, load_factor_min, approved });
        }
    }
    out
}

/// Names a category may bear: rules of bank hang on them, so that an unknown one would silently drop a limit.
///
/// # Source
/// 14-CFR-23.3.
const CATEGORY_NAMES: &[&str] = &["normal", "utility", "acrobatic"];

fn category_name(section: &Section<'_>) -> Option<String> {
    let words: Vec<(&str, &str)> = CATEGORY_NAMES.iter().map(|name| (*name, *name)).collect();
    section.choice("name", &words).map(String::from)
}

fn speeds(section: &Section<'_>) -> Option<Speeds> {
    let _ = section.optional_text("source");
    let stall = section.optional_quantity("stall");
    let (least, most) = (IndicatedAirspeed::from_kt(30.0), IndicatedAirspeed::from_kt(450.0));
    let maneuvering = section.within("maneuvering", least, most);
    let normal_max = section.within("normal_max", least, most);
    let never_exceed = section.within("never_exceed", least, most);
    let maneuver_entry = section.optional_quantity("maneuver_entry");
    section.refuse_unknown();
    Some(Speeds {
        stall,
        maneuvering: maneuvering?,
        normal_max: normal_max?,
        never_exceed: never_exceed?,
        maneuver_entry,
    })
}

/// Entry speeds of single figures.
fn approved_entries(root: &Section<'_>, sources: &mut Vec<BlockSource>) -> Vec<ApprovedEntry> {
    let mut out = Vec::new();
    for section in root.sections("approved_entry") {
        if let Some(source) = section.text("source") {
            sources.push(BlockSource { block: "approved_entry".into(), source });
        }
        let maneuver = section.text("maneuver");
        let (least, most) = (IndicatedAirspeed::from_kt(30.0), IndicatedAirspeed::from_kt(450.0));
        let speed = section.within("speed", least, most);
        section.refuse_unknown();
        if let (Some(maneuver), Some(speed)) = (maneuver, speed) {
            out.push(ApprovedEntry { maneuver, speed });
        }
    }
    out
}

fn position_error(section: &Section<'_>) -> Vec<PositionErrorRow> {
    let _ = section.optional_text("source");
    let (indicated, calibrated) =
        (section.numbers("indicated_kt"), section.numbers("calibrated_kt"));
    section.refuse_unknown();
    if indicated.len() != calibrated.len() || indicated.len() < 2 {
        let what = format!(
            "indicated_kt has {} entries, calibrated_kt {}",
            indicated.len(),
            calibrated.len()
        );
        section.fault(
            "calibrated_kt",
            what,
            "give two lists of the same length, two entries or more",
        );
        return Vec::new();
    }
    let rising = |list: &[f64]| list.windows(2).all(|pair| pair[0] < pair[1]) && list[0] > 0.0;
    for (key, list) in [("indicated_kt", &indicated), ("calibrated_kt", &calibrated)] {
        if !rising(list) {
            section.fault(
                key,
                format!("{key} must rise from entry to entry"),
                "sort the table by speed and check for a slip",
            );
            return Vec::new();
        }
    }
    let row = |(&indicated, &calibrated): (&f64, &f64)| {
        let indicated = IndicatedAirspeed::try_from_kt(indicated)?;
        Some(PositionErrorRow {
            indicated,
            calibrated: CalibratedAirspeed::try_from_kt(calibrated)?,
        })
    };
    indicated.iter().zip(&calibrated).filter_map(row).collect()
}

fn seat(section: &Section<'_>, wing: WingPlace) -> Option<Seat> {
    let _ = section.optional_text("source");
    let (eye_left, over_nose_below_axis) =
        (section.quantity("eye_left"), section.quantity("over_nose_below_axis"));
    let eye_above_wing = section.optional_quantity("eye_above_wing");
    let wing_behind_eye = section.optional_quantity("wing_behind_eye");
    let cowl_ahead = section.has("cowl_ahead").then(|| section.positive("cowl_ahead")).flatten();
    section.refuse_unknown();
    Some(Seat {
        eye_left: eye_left?,
        over_nose_below_axis: over_nose_below_axis?,
        wing,
        eye_above_wing,
        wing_behind_eye,
        cowl_ahead,
    })
}

/// Figures that are each possible but contradict each other.
fn check(root: &Section<'_>, airplane: &Airplane) {
    let Airplane { masses, speeds, .. } = airplane;
    if let Some(mass) = root.optional_section("mass") {
        if masses.empty >= masses.maximum {
            mass.fault(
                "empty",
                "the empty mass is not below the maximum mass",
                "check both figures and their units",
            );
        } else if !(masses.empty..=masses.maximum).contains(&masses.typical) {
            mass.fault(
                "typical",
                "the typical mass is not between empty and maximum",
                "give a usual training mass",
            );
        }
    }
    check_speeds(root, airplane);
    stated::check(root, airplane);
    check_entries(root, airplane);
    for (index, section) in root.sections("category").iter().enumerate() {
        if airplane.categories.get(index).is_some_and(|category| category.mass_max > masses.maximum)
        {
            section.fault(
                "mass_max",
                "the mass of this category is above the maximum mass",
                "check both figures",
            );
        }
    }
    if speeds.maneuver_entry.is_some_and(|entry| entry > speeds.normal_max)
        && let Some(section) = root.optional_section("speeds")
    {
        section.fault(
            "maneuver_entry",
            "the entry speed is above normal_max",
            "check both figures",
        );
    }
}

/// Entry speeds of figures: below the never-exceed speed, of figures that a category approves.
fn check_entries(root: &Section<'_>, airplane: &Airplane) {
    let approved = |id: &str| {
        airplane.categories.iter().any(|category| category.approved.iter().any(|known| known == id))
    };
    for (section, entry) in root.sections("approved_entry").iter().zip(&airplane.approved_entries) {
        if entry.speed >= airplane.speeds.never_exceed {
            let what = "the entry speed is not below never_exceed";
            section.fault("speed", what, "check both figures and their units");
        }
        if !approved(&entry.maneuver) {
            let what = format!("no category approves {}", entry.maneuver);
            section.fault("maneuver", what, "add it to the approved list of a [[category]] block");
        }
    }
}

fn check_speeds(root: &Section<'_>, airplane: &Airplane) {
    let Some(section) = root.optional_section("speeds") else { return };
    let speeds = &airplane.speeds;
    let ladder = [
        ("stall", speeds.stall),
        ("maneuvering", Some(speeds.maneuvering)),
        ("normal_max", Some(speeds.normal_max)),
        ("never_exceed", Some(speeds.never_exceed)),
    ];
    let stated: Vec<_> =
        ladder.iter().filter_map(|(key, speed)| speed.map(|speed| (*key, speed))).collect();
    for pair in stated.windows(2) {
        if pair[0].1 >= pair[1].1 {
            let what = format!("{} is not below {}", pair[0].0, pair[1].0);
            section.fault(pair[0].0, what, "check both figures and their units");
        }
    }
    // The stated stall speed must be what area, mass and lift give: they are one figure said twice.
    if let Some(stated) = speeds.stall {
        let stated_kt = airplane.calibrated(stated).to_kt();
        let computed_kt =
            airplane.stall_speed(airplane.masses.maximum, LoadFactor::from_g(1.0)).to_kt();
        if (stated_kt / computed_kt - 1.0).abs() > 0.06 {
            let what = format!(
                "stall is {stated_kt:.1} kt calibrated, but wing area, maximum mass and lift_max give {computed_kt:.1} kt"
            );
            section.fault(
                "stall",
                what,
                "one of the four figures is off: lift_max is the usual one",
            );
        }
    }
}
