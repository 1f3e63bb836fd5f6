//! The six-degree blocks, built up from sizes.

use base::factors::{MPS_PER_KT, RAD_PER_DEG, RADPS_PER_RPM};
use flight::air::SEA_LEVEL_DENSITY_KGPM3;

use super::write::Writer;
use super::{Maker, weight_n};
use crate::buildup::propeller::{Blades, Duty, angle_by_advance, blades, immersed};
use crate::buildup::sizes::Sizes;
use crate::buildup::{inertia, lateral, lift, longitudinal};
use crate::model::{Condition, LevelPower, place};

const BUILT: &str =
    "RAYMER-1992 and DATCOM from memory, built up from sizes; sizes not stated are usual ones";

pub(super) fn write(maker: &Maker<'_>, out: &mut Writer) {
    let sizes = Sizes::of(maker.figures);
    inertia_block(maker, &sizes, out);
    controls(&sizes, out);
    components(maker, &sizes, out);
    propulsion(maker, &sizes, out);
}

fn inertia_block(maker: &Maker<'_>, sizes: &Sizes, out: &mut Writer) {
    let mass_kg = maker.masses[1];
    let moments = inertia::moments(sizes, mass_kg);
    out.block("inertia", "RAYMER-1992 table 16.1, radii of gyration of singles, from memory (some 25 %); product nil");
    out.quantity("mass", mass_kg, 1, "kg", "");
    out.quantity("xx", moments.xx, 0, "kg m2", "");
    out.quantity("yy", moments.yy, 0, "kg m2", "");
    out.quantity("zz", moments.zz, 0, "kg m2", "");
    out.quantity("xz", 0.0, 0, "kg m2", "");
    out.number("center_of_gravity", sizes.center_of_gravity, 3, "");
}

/// Limits and forces of light airplanes (common practice, no source); forces grow with area and chord of the surface.
fn controls(sizes: &Sizes, out: &mut Writer) {
    let grown = |area_m2: f64, usual_m2: f64| {
        let share = area_m2 / usual_m2;
        share * share.sqrt()
    };
    out.block(
        "controls",
        "common-practice usual travels, lags and forces of light airplanes, not of the manual",
    );
    let mut one = |name: &str, travels: &[(&str, f64)], force: f64, trails: Option<f64>| {
        out.block(name, "");
        for (key, degrees) in travels {
            out.quantity(key, *degrees, 1, "deg", "");
        }
        out.quantity("rate", 120.0, 0, "deg/s", "");
        out.quantity("lag", 0.05, 2, "s", "");
        if name.ends_with("elevator") {
            out.quantity("tab_floats", 12.0, 0, "deg", "");
        }
        out.number("force_n_per_deg_kpa", force, 2, "");
        if let Some(trails) = trails {
            out.number("trails_per_deg", trails, 2, "");
        }
    };
    let tail = 9.0 * grown(sizes.tail.area_m2, 3.0);
    one("controls.elevator", &[("up", 25.0), ("down", 18.0)], tail, Some(0.3));
    one("controls.aileron", &[("most", 18.0)], 3.2 * grown(sizes.area_m2, 15.8), None);
    let fin = 14.0 * grown(sizes.fin.area_m2, 1.5);
    one("controls.rudder", &[("most", 25.0)], fin, Some(0.2));
}

/// Lift coefficient of cruise at 65 % power and 6,000 ft: where the elevator is trimmed to nil.
fn cruise_lift(maker: &Maker<'_>) -> f64 {
    let (height_m, mass_kg) = (1800.0, maker.masses[1]);
    let power = LevelPower::Share(0.65);
    let speed = maker.predict(&Condition::LevelSpeed { height_m, mass_kg, power });
    let pressure = 0.5 * crate::standard::density_kgpm3(height_m) * speed * speed;
    let lift = weight_n(mass_kg) / (pressure * maker.figures.wing.area.to_m2());
    if lift.is_finite() { lift.clamp(0.15, 0.7) } else { 0.35 }
}

fn components(maker: &Maker<'_>, sizes: &Sizes, out: &mut Writer) {
    let lift = lift(maker.figures);
    let pitch = longitudinal::pitch(sizes, &lift, cruise_lift(maker));
    let sideways = lateral::lateral(sizes, lift.wing_slope_per_rad);
    let [wing_wash, tail_wash, fin_wash] = immersed(sizes, maker.figures.diameter().to_m());
    out.block("components", BUILT);
    out.block("components.wing", "");
    out.quantity("chord", sizes.chord_m, 3, "m", "");
    out.number("taper", sizes.taper, 2, "");
    out.number("moment_zero", pitch.moment_zero, 3, "");
    out.number("center_ahead", pitch.center_ahead, 3, "");
    out.number("center_back_separated", 0.12, 2, "");
    out.number("roll_per_rad_sideslip", sideways.roll_per_rad_sideslip, 4, "");
    out.number("aileron_roll_per_rad", sideways.aileron_roll_per_rad, 4, "");
    out.number("aileron_adverse", 0.06, 2, "");
    out.number("wash_share", wing_wash, 3, "");
    out.number("stall_sharpness_per_rad", 50.0, 0, "");
    out.block("components.body", "");
    out.number("drag_sideslip_per_rad2", 0.3, 2, "");
    out.number("side_per_rad", sideways.body_side_per_rad, 3, "");
    out.number("yaw_per_rad", sideways.body_yaw_per_rad, 4, "");
    out.block("components.tail", "");
    out.quantity("area", sizes.tail.area_m2, 2, "m2", "");
    out.quantity("arm", sizes.tail.arm_m, 2, "m", "");
    out.quantity("height", sizes.tail.height_m, 2, "m", "");
    out.quantity("incidence", pitch.tail_incidence_rad / RAD_PER_DEG, 2, "deg", "");
    out.number("slope_per_rad", lift.tail_slope_per_rad, 3, "");
    out.number("control_share", pitch.elevator_share, 3, "");
    out.number("downwash_slope", lift.downwash_slope, 3, "");
    out.number("wash_share", tail_wash, 3, "");
    out.number("lift_max", 1.1, 2, "");
    out.block("components.fin", "");
    out.quantity("area", sizes.fin.area_m2, 2, "m2", "");
    out.quantity("arm", sizes.fin.arm_m, 2, "m", "");
    out.quantity("height", sizes.fin.height_m, 2, "m", "");
    out.quantity("incidence", 0.0, 1, "deg", "");
    out.number("slope_per_rad", sideways.fin_slope_per_rad, 3, "");
    out.number("control_share", sideways.rudder_share, 3, "");
    out.number("sidewash_slope", sideways.sidewash_slope, 3, "");
    out.number("wash_share", fin_wash, 3, "");
    out.number("lift_max", 1.2, 2, "");
    if pitch.neutral_point - sizes.center_of_gravity < 0.04 {
        out.note("the sizes leave little static stability: check tail area and arm and the center of gravity");
    }
}

/// What the propeller does when all power is taken up: top level speed at sea level; and climbing, when a governor holds its speed.
fn duties(maker: &Maker<'_>) -> Vec<Duty> {
    let power_w = maker.fitted.values[place::POWER];
    let mass_kg = maker.masses[2];
    let top = Condition::LevelSpeed { height_m: 0.0, mass_kg, power: LevelPower::Full };
    let top_mps = maker.predict(&top);
    let usual = 110.0 * MPS_PER_KT;
    let top_mps = if top_mps.is_finite() { top_mps } else { usual };
    let speeds = if maker.figures.propeller.constant_speed {
        vec![top_mps, maker.predict(&Condition::BestRate { height_m: 0.0, mass_kg })]
    } else {
        vec![top_mps.min(maker.fitted.values[place::FULL_AT])]
    };
    let duty = |airspeed_mps: f64| Duty {
        power_w,
        speed_radps: maker.figures.speed_rated().to_radps(),
        airspeed_mps,
        density_kgpm3: SEA_LEVEL_DENSITY_KGPM3,
        thrust_n: maker.fitted.model().thrust_at_n(0.0, airspeed_mps, power_w),
    };
    speeds.into_iter().map(duty).collect()
}

fn propulsion(maker: &Maker<'_>, sizes: &Sizes, out: &mut Writer) {
    let (figures, duties) = (maker.figures, duties(maker));
    let duty = duties[0];
    let diameter_m = figures.diameter().to_m();
    let found = blades(figures.propeller.blades.unwrap_or(2), diameter_m, &duties);
    if (found.agreement - 1.0).abs() > 0.05 {
        out.note(&format!(
            "thrust of the blades is {:.2} of the fitted one at top speed: flights at six degrees are that much off in thrust",
            found.agreement
        ));
    }
    out.block("propulsion", "common-practice usual blades, angle found for rated power and speed at the greatest level speed; inertia, hub and swirl usual; blockage so that thrust agrees with the fit there");
    let rpm = |radps: f64| radps / RADPS_PER_RPM;
    out.quantity("speed_rated", rpm(duty.speed_radps), 0, "rpm", "");
    out.quantity("speed_idle", 0.26 * rpm(duty.speed_radps), 0, "rpm", "");
    out.text("power_with_height", "gagg-ferrar");
    out.number("drag_share", 0.12, 2, "");
    out.number("torque_rise", 0.1, 2, "");
    out.number("blades", f64::from(found.count), 0, "");
    out.number("chord_over_diameter", found.chord_over_diameter, 3, "");
    out.number("twist_pitch_over_diameter", found.twist_pitch, 3, "");
    angles(maker, &found, &duty, out);
    out.quantity("inertia", found.inertia_kgm2, 2, "kg m2", "");
    out.quantity("hub_ahead", 0.24 * sizes.length_m, 2, "m", "");
    out.quantity("hub_above", 0.0, 2, "m", "");
    out.quantity("shaft_down", 0.0, 1, "deg", "");
    out.quantity("shaft_right", 1.0, 1, "deg", "");
    out.number("swirl_straightened", 0.3, 2, "");
    out.number("blockage", found.blockage, 3, "");
}

fn angles(maker: &Maker<'_>, found: &Blades, duty: &Duty, out: &mut Writer) {
    let degrees = |angle_rad: f64| angle_rad / RAD_PER_DEG;
    if !maker.figures.propeller.constant_speed {
        out.quantity("blade_angle", degrees(found.angle_rad), 2, "deg", "");
        return;
    }
    let turns = duty.speed_radps / std::f64::consts::TAU;
    let advance = duty.airspeed_mps / (turns * maker.figures.diameter().to_m());
    // Fine enough for a quarter of the top speed, coarse enough for half as much again (common practice, no source).
    let fine = degrees(angle_by_advance(found.angle_rad, advance, 0.25 * advance)).max(8.0);
    let coarse = degrees(angle_by_advance(found.angle_rad, advance, 1.5 * advance)).min(55.0);
    out.quantity("fine_stop", fine, 1, "deg", "");
    out.quantity("coarse_stop", coarse.max(fine + 8.0), 1, "deg", "");
    let rpm = duty.speed_radps / RADPS_PER_RPM;
    out.quantity("governed_least", 0.65 * rpm, 0, "rpm", "");
    out.quantity("governed_most", rpm, 0, "rpm", "");
}
