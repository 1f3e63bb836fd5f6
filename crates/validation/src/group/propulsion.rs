//! Engine and propeller: blade elements against the charts of propeller 5868-9, power with height, momentum theory, a
//! constant-speed propeller. Sources: NACA-640, GF-1934, LOWRY-1999, MOMENTUM.

use std::f64::consts::{PI, TAU};

use base::factors::{M_PER_FT, MPS_PER_MPH, RAD_PER_DEG, RADPS_PER_RPM, W_PER_HP, W_PER_KW};
use base::frames::Vec3;
use base::kinds::PressureAltitude;
use base::math::atan2;
use base::numerics::interpolation::linear;
use base::units::Temperature;
use flight::air::{Air, SEA_LEVEL_DENSITY_KGPM3};
use flight::budget::{Budget, Cause, Switches};
use flight::controls::Inputs;
use flight::flow::Flow;
use flight::propulsion::Propulsion;
use flight::propulsion::blade::{BladeElements, BladeShape, SectionLaw};
use flight::propulsion::engine::{AltitudeRule, PistonEngine};
use flight::propulsion::piston::{PistonPropeller, PistonPropellerData, Pitch};
use flight::propulsion::slipstream::Disk;

mod constant_speed;

use crate::check::Check;
use crate::files::Files;

const CHART: &str = "propeller/naca_tr640_5868-9.csv";
const CHORD: &str = "propeller/naca_5868-9_blade_chord.csv";
const PITCH: &str = "propeller/naca_5868-9_blade_pitch.csv";
const HEIGHT: &str = "propeller/piston_power_altitude.csv";
const WORKED: &str = "propeller/propeller_effects_worked.csv";
/// Thrust coefficient from which the chart is good enough to be held against.
const THRUST_LEAST: f64 = 0.0999;

/// Number of blades and blade angle, degrees.
type Setting = (f64, f64);
/// Pairs: radius over that of the tip with a figure there, or a found figure with what it should be.
type Column = Vec<(f64, f64)>;

/// Thickness over chord of 5868-9, from memory of the blade-form curves of NACA-640.
const THICKNESS: [(f64, f64); 7] = [
    (0.2, 0.30),
    (0.3, 0.20),
    (0.45, 0.125),
    (0.6, 0.098),
    (0.75, 0.087),
    (0.9, 0.077),
    (1.0, 0.07),
];
/// Chord over diameter, some points of the published curve.
const CHORD_TYPED: [(f64, f64); 8] = [
    (0.2, 0.0377),
    (0.3, 0.0532),
    (0.4, 0.0687),
    (0.527, 0.0763),
    (0.637, 0.071),
    (0.75, 0.062),
    (0.85, 0.0514),
    (0.95, 0.038),
];
/// Pitch over diameter with the blade at 15 degrees, some points of the published curve.
const PITCH_TYPED: [(f64, f64); 6] = [
    (0.197_93, 0.462_03),
    (0.298_52, 0.586_08),
    (0.396_15, 0.639_24),
    (0.547_04, 0.633_33),
    (0.748_22, 0.630_38),
    (0.949_41, 0.639_24),
];

/// Makes the checks.
pub(super) fn checks(files: &Files<'_>) -> Vec<Check> {
    let mut out = vec![typed_point()];
    out.extend(charts(files));
    out.extend(power_with_height(files));
    out.extend(makers_figure());
    out.extend(momentum(files));
    out.extend(constant_speed::checks());
    out
}

fn blades(count: f64, chord: &[(f64, f64)], pitch: &[(f64, f64)]) -> BladeElements {
    let at = |column: &[(f64, f64)], radius: f64| {
        let (radii, values): (Vec<f64>, Vec<f64>) = column.iter().copied().unzip();
        linear(&radii, &values, radius)
    };
    let station: Vec<f64> = chord.iter().map(|&(radius, _)| radius).collect();
    let twist = |&radius: &f64| atan2(at(pitch, radius), PI * radius) - 15.0 * RAD_PER_DEG;
    let shape = BladeShape {
        chord: chord.iter().map(|&(_, chord)| chord).collect(),
        twist_rad: station.iter().map(twist).collect(),
        thickness: station.iter().map(|&radius| at(&THICKNESS, radius)).collect(),
        station,
    };
    BladeElements { shape, section: SectionLaw::CLARK_Y, blades: count, hub: 0.2, tip_mach: 0.0 }
}

/// Mach number of the tip's turning in the test: 1,000 rpm of a propeller of 10 ft, slower where the wind tunnel's greatest speed,
/// 115 mph, asks for it (from memory of the report's text).
fn tip_mach(advance: f64) -> f64 {
    let diameter_m = 10.0 * M_PER_FT;
    let fastest_radps = 115.0 * MPS_PER_MPH * TAU / (advance.max(1e-3) * diameter_m);
    let speed_radps = fastest_radps.min(1000.0 * RADPS_PER_RPM);
    0.5 * speed_radps * diameter_m
        / Air::standard(PressureAltitude::from_m(0.0)).speed_of_sound().to_mps()
}

/// One point of the chart, with the blade's form typed here: 3 blades at 20 degrees.
fn typed_point() -> Check {
    let blades = blades(3.0, &CHORD_TYPED, &PITCH_TYPED);
    let found = BladeElements { tip_mach: tip_mach(0.4661), ..blades }
        .coefficients(0.4661, 20.0 * RAD_PER_DEG);
    let figures = (found.power, 0.085_71, 0.05);
    Check::relative(
        "propulsion-5868-9-point",
        figures,
        "CP",
        "NACA-640, 3 blades, 20 degrees, J 0.4661",
    )
    .with_note(format!("CT {:.4} (chart 0.12)", found.thrust))
}

/// Worst power coefficient over that of the chart, where the thrust coefficient is 0.10 or more, for each blade angle.
fn charts(files: &Files<'_>) -> Vec<Check> {
    let source = "NACA-640, propeller 5868-9";
    let tables = (files.table(CHART), files.table(CHORD), files.table(PITCH));
    let (Some(chart), Some(chord), Some(pitch)) = tables else {
        return vec![Check::without_file("propulsion-5868-9", source, CHART)];
    };
    let column =
        |radius: Vec<f64>, value: Vec<f64>| -> Column { radius.into_iter().zip(value).collect() };
    let chord = column(chord.column("r_over_R"), chord.column("chord_over_D"));
    let pitch = column(pitch.column("r_over_R"), pitch.column("pitch_over_D_at_15deg"));
    let mut groups: Vec<(Setting, Column)> = Vec::new();
    for row in chart.rows().filter(|row| row.number("CT") >= THRUST_LEAST) {
        let key = (row.number("blades"), row.number("blade_angle_deg"));
        let advance = row.number("J");
        let blades = blades(key.0, &chord, &pitch);
        let found = BladeElements { tip_mach: tip_mach(advance), ..blades }
            .coefficients(advance, key.1 * RAD_PER_DEG);
        let pair = (found.power / row.number("CP"), 1.0);
        match groups.last_mut().filter(|(known, _)| *known == key) {
            Some((_, pairs)) => pairs.push(pair),
            None => groups.push((key, vec![pair])),
        }
    }
    let line = |((count, degrees), pairs): &(Setting, Column)| {
        let id = format!("propulsion-5868-9-{count:.0}-blades-{degrees:.0}-degrees");
        let within = pairs.iter().filter(|(ratio, _)| (ratio - 1.0).abs() <= 0.05).count();
        let mean = pairs.iter().map(|(ratio, _)| ratio).sum::<f64>() / pairs.len() as f64;
        Check::worst(id, pairs, 0.05, "CP / CP", source)
            .with_note(format!("{within} of {} within 5 %, mean {mean:.3}", pairs.len()))
    };
    groups.iter().map(line).collect()
}

fn ratio_at_ft(height_ft: f64) -> f64 {
    let air = Air::standard(PressureAltitude::from_ft(height_ft));
    air.density.to_kgpm3() / SEA_LEVEL_DENSITY_KGPM3
}

const LOWRY: AltitudeRule = AltitudeRule::Lowry { friction: 0.12 };

/// Full-throttle power of an engine at rated speed, in the standard air, to the printed digits.
fn power_with_height(files: &Files<'_>) -> Vec<Check> {
    let full = |altitude: AltitudeRule, height_ft: f64| {
        let engine = PistonEngine { altitude, ..PistonEngine::usual(200.0 * W_PER_HP, 280.0) };
        engine.torque_nm(1.0, 280.0, ratio_at_ft(height_ft)) * 280.0 / W_PER_HP
    };
    let typed = |id: &str, rule, wanted| {
        Check::absolute(
            id,
            (full(rule, 8500.0) / 200.0, wanted, 1e-6),
            "",
            "8,500 ft: GF-1934, LOWRY-1999",
        )
    };
    let mut out = vec![
        typed("propulsion-gagg-ferrar", AltitudeRule::GaggFerrar, 0.743_974),
        typed("propulsion-lowry", LOWRY, 0.743_090),
    ];
    let Some(table) = files.table(HEIGHT) else {
        out.push(Check::without_file(
            "propulsion-power-with-height",
            "GF-1934, LOWRY-1999",
            HEIGHT,
        ));
        return out;
    };
    let mut line = |id: &str, column: &str, rule| {
        let pair =
            |row: crate::table::Row<'_>| (full(rule, row.number("H_ft")), row.number(column));
        let pairs: Vec<(f64, f64)> = table.rows().map(pair).collect();
        out.push(Check::worst(id, &pairs, 6e-4, "hp", "GF-1934, LOWRY-1999: worked table"));
    };
    line("propulsion-gagg-ferrar-table", "P_200hp_gagg_ferrar", AltitudeRule::GaggFerrar);
    line("propulsion-lowry-table", "P_200hp_lowry", LOWRY);
    out
}

/// A maker's figure: 122 hp of 235 at 17,500 ft and -4 degrees Fahrenheit, by both rules. The source of the figure allows a
/// horsepower, with the friction of its own rule; the rules themselves give 123.1 and 122.7 in the standard air, to the digit.
fn makers_figure() -> [Check; 4] {
    let standard = Air::standard(PressureAltitude::from_ft(17_500.0));
    let air = Air::new(standard.pressure, Temperature::from_f(-4.0));
    let full = |altitude: AltitudeRule, air: &Air| {
        let engine = PistonEngine { altitude, ..PistonEngine::usual(235.0, 250.0) };
        engine.torque_nm(1.0, 250.0, air.density.to_kgpm3() / SEA_LEVEL_DENSITY_KGPM3) * 250.0
    };
    let ratio = air.density.to_kgpm3() / SEA_LEVEL_DENSITY_KGPM3;
    let source = "an engine maker's manual as quoted with LOWRY-1999";
    // Solved for the friction: (ratio - C) / (1 - C) = 122 / 235.
    let share = 122.0 / 235.0;
    let friction = (ratio - share) / (1.0 - share);
    let by = |id: &str, rule, tolerance| {
        Check::absolute(id, (full(rule, &air), 122.0, tolerance), "hp", source)
            .with_note(format!("a friction of {friction:.4} would give it"))
    };
    // What the two rules themselves give for that engine at that height of the standard air.
    let printed = |id: &str, rule, wanted| {
        let figures = (full(rule, &standard), wanted, 0.05);
        Check::absolute(id, figures, "hp", "GF-1934, LOWRY-1999: 235 hp at 17,500 ft")
    };
    [
        by("propulsion-makers-122-hp", AltitudeRule::GaggFerrar, 0.5),
        by("propulsion-makers-122-hp-lowry", LOWRY, 1.0),
        printed("propulsion-makers-gagg-ferrar", AltitudeRule::GaggFerrar, 123.1),
        printed("propulsion-makers-lowry", LOWRY, 122.7),
    ]
}

/// Thrust, speeds, contraction, swirl and gyroscopic moment of one worked row: power kW, speed m/s, then w, T, V + 2 w, radius,
/// swirl, moment.
fn worked(power_kw: f64, speed_mps: f64) -> [f64; 6] {
    let disk = Disk { speed_mps, density_kgpm3: 1.225, radius_m: 0.965 };
    let power_w = power_kw * W_PER_KW;
    let ideal = disk.inflow_for_power_mps(power_w);
    let thrust_n = power_w / (speed_mps + ideal);
    let torque_nm = power_w / (2500.0 * RADPS_PER_RPM);
    let wash = disk.wash(thrust_n, torque_nm, 1.0, 0.0);
    let behind = speed_mps + wash.speed_rise_mps;
    [ideal, thrust_n, behind, wash.radius_m, wash.swirl_radps, gyroscopic_nm()]
}

/// Yawing moment of pitching up at 0.2 rad/s with 1.7 kg m2 at 2500 rpm, clockwise.
fn gyroscopic_nm() -> f64 {
    let engine = PistonPropeller::new(PistonPropellerData {
        engine: PistonEngine::usual(120_000.0, 282.7),
        blades: BladeElements::usual(2.0, 0.066, 0.7),
        chord_over_diameter: 0.066,
        diameter_m: 1.93,
        pitch: Pitch::Fixed { angle_rad: 0.33 },
        clockwise: true,
        inertia_kgm2: 1.7,
        hub_m: Vec3::ZERO,
        shaft_down_rad: 0.0,
        shaft_right_rad: 0.0,
        swirl_straightened: 0.0,
        blockage: 0.0,
    });
    let air = Air::standard(PressureAltitude::from_m(0.0)).into();
    let flow = Flow::new(Vec3::new(45.0, 0.0, 0.0), Vec3::new(0.0, 0.2, 0.0), air);
    let mut budget = Budget::new(Switches::ALL);
    let inputs = Inputs { throttle: 1.0, ..Inputs::default() };
    engine.run(&flow, &inputs, 2500.0 * RADPS_PER_RPM, &mut budget);
    budget.share(Cause::Gyroscopic).moment_nm.z
}

/// Name, column, unit and half of the last printed digit.
const WORKED_COLUMNS: [(&str, &str, &str, f64); 6] = [
    ("inflow", "w_m_s", "m/s", 0.6e-4),
    ("thrust", "T_ideal_N", "N", 0.6e-2),
    ("speed-behind", "V_slip_m_s", "m/s", 0.6e-3),
    ("radius-behind", "Rs_m", "m", 0.6e-4),
    ("swirl", "k_1_s", "rad/s", 0.6e-4),
    ("gyroscopic", "gyro_yaw_moment_Nm_at_q0.2", "N m", 0.6e-3),
];

fn momentum(files: &Files<'_>) -> Vec<Check> {
    let source = "MOMENTUM: worked table, 100 kW at 45 m/s";
    let typed = [5.4760, 1981.14, 55.952, 0.9166, 5.0270, 89.012];
    let found = worked(100.0, 45.0);
    let table = files.table(WORKED);
    let mut out = Vec::new();
    for (index, (name, column, unit, tolerance)) in WORKED_COLUMNS.into_iter().enumerate() {
        let figures = (found[index], typed[index], tolerance);
        out.push(Check::absolute(format!("propulsion-momentum-{name}"), figures, unit, source));
        let id = format!("propulsion-momentum-{name}-table");
        let Some(table) = &table else {
            out.push(Check::without_file(id, "MOMENTUM: worked table", WORKED));
            continue;
        };
        let pair = |row: crate::table::Row<'_>| {
            (worked(row.number("P_kW"), row.number("V_m_s"))[index], row.number(column))
        };
        let pairs: Vec<(f64, f64)> = table.rows().map(pair).collect();
        out.push(Check::worst(id, &pairs, tolerance, unit, "MOMENTUM: worked table"));
    }
    out
}
