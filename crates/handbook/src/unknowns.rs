//! The unknowns of a fit with what the class of airplane says about each: a light single by size and layout.

use base::factors::{W_PER_HP, W_PER_KW};
use base::math::cbrt;
use base::units::AngularRate;
use flight::air::SEA_LEVEL_DENSITY_KGPM3;
use flight::airplane::WingPlace;

use crate::figures::{Figures, Gear, PowerSetting};
use crate::model::Frame;

/// One unknown: what the class says before any figure is looked at.
#[derive(Debug, Clone, PartialEq)]
pub struct Unknown {
    /// Key: lower-case words with underscores, as in an airplane file where it has one.
    pub key: String,
    /// In words.
    pub words: String,
    /// Median of the class.
    pub usual: f64,
    /// One standard deviation of its logarithm.
    pub sigma_log: f64,
    /// Least and greatest value that is considered.
    pub bounds: (f64, f64),
    /// Where the class figure comes from.
    pub source: &'static str,
}

impl Unknown {
    fn new(
        key: &str,
        words: &str,
        usual: f64,
        sigma_log: f64,
        (low, high): (f64, f64),
        source: &'static str,
    ) -> Self {
        let bounds = (low.min(usual), high.max(usual));
        Self { key: key.into(), words: words.into(), usual, sigma_log, bounds, source }
    }
}

const PRACTICE: &str = "common-practice";
const RAYMER: &str = "RAYMER-1992";

/// Fuel for energy of an aircraft piston engine, m3/J: 0.45 lb/hp/h of a fuel of 6.0 lb/US gal (common practice, no source).
const FUEL_USUAL_M3PJ: f64 = 0.45 / 6.0 * base::factors::M3_PER_US_GAL / (W_PER_HP * 3600.0);

/// Names of the flap positions of which a stall speed is stated, flaps up first.
#[must_use]
pub fn positions(figures: &Figures) -> Vec<String> {
    let mut names = vec![String::from("up")];
    for stall in figures.stalls.iter().filter(|stall| stall.power == PowerSetting::Idle) {
        if !names.contains(&stall.flaps) {
            names.push(stall.flaps.clone());
        }
    }
    names
}

/// The unknowns of an airplane, by [`crate::model::place`].
#[must_use]
pub fn of(figures: &Figures) -> Vec<Unknown> {
    let mut out = polar(figures);
    out.extend(propeller(figures));
    let words = "effective share of the wing in the slipstream at the stall";
    out.push(Unknown::new("slipstream_share", words, 0.03, 0.8, (1e-4, 0.3), PRACTICE));
    let words = "share of the propeller's efficiency lost at nil and at twice its best airspeed";
    out.push(Unknown::new("efficiency_bend", words, 0.15, 0.8, (0.004, 1.4), PRACTICE));
    let (words, best) =
        ("airspeed of the propeller's best efficiency", 0.8 * level_guess_mps(figures));
    out.push(Unknown::new("efficiency_best_at", words, best, 0.15, (16.0, 180.0), PRACTICE));
    for (count, name) in positions(figures).into_iter().enumerate() {
        // More flap, more lift; the position's own stall speed says how much.
        let usual = if count == 0 { 1.42 } else { 1.75 };
        let sigma = if count == 0 { 0.12 } else { 0.17 };
        let words = format!("greatest lift coefficient, flaps {name}");
        let key = if count == 0 { "lift_max".into() } else { format!("lift_max flaps {name}") };
        out.push(Unknown::new(&key, &words, usual, sigma, (0.85, 3.4), PRACTICE));
    }
    out
}

/// Drag without lift from skin friction over the wetted area, gear from practice; induced drag from a span efficiency.
fn polar(figures: &Figures) -> Vec<Unknown> {
    let (area_m2, span_m) = (figures.wing.area.to_m2(), figures.wing.span.to_m());
    let aspect = span_m * span_m / area_m2;
    // Raymer: equivalent friction 0.0055 of a single, wetted area four times the wing's; a fixed gear adds 0.008.
    // Gear up, wells and antennas leave 0.003; published retractable singles lie between 0.018 and 0.04 (LOWRY-1999, NELSON-1998,
    // others from memory), which the spread must hold.
    let (drag, sigma) = match figures.layout.gear {
        Gear::Fixed => (0.0055 * 4.2 + 0.009, 0.2),
        Gear::Retractable => (0.0055 * 4.2 + 0.003, 0.24),
    };
    let efficiency = match figures.layout.wing {
        WingPlace::High => 0.76,
        WingPlace::Low => 0.74,
    };
    let induced = 1.0 / (std::f64::consts::PI * aspect * efficiency);
    vec![
        Unknown::new("drag_zero_lift", "drag without lift", drag, sigma, (0.008, 0.15), RAYMER),
        Unknown::new("drag_induced", "induced drag", induced, 0.15, (0.01, 0.25), RAYMER),
    ]
}

fn propeller(figures: &Figures) -> Vec<Unknown> {
    let power_w = figures.engine.power.value.to_w();
    let diameter_m = figures.diameter().to_m();
    let disk_m2 = std::f64::consts::FRAC_PI_4 * diameter_m * diameter_m;
    let (usual, sigma) = if figures.propeller.constant_speed { (0.85, 0.05) } else { (0.84, 0.06) };
    let full_at = 0.95 * level_guess_mps(figures);
    vec![
        Unknown::new(
            "efficiency_of_ideal",
            "share of the ideal thrust power",
            usual,
            sigma,
            (0.5, 0.985),
            PRACTICE,
        ),
        // The stated power is a figure of the manual; the class hardly says more.
        Unknown::new(
            "power_max",
            "greatest power at sea level",
            power_w,
            0.5,
            (5.0 * W_PER_KW, 2000.0 * W_PER_KW),
            PRACTICE,
        ),
        Unknown::new(
            "propeller_drag_area",
            "drag area of the idling propeller",
            0.055 * disk_m2,
            0.8,
            (1e-3, 2.5),
            PRACTICE,
        ),
        Unknown::new(
            "static_power_share",
            "share of power taken up standing",
            0.8,
            0.18,
            (0.32, 0.99),
            PRACTICE,
        ),
        Unknown::new(
            "full_power_at",
            "speed from which a fixed pitch takes up all power",
            full_at,
            0.12,
            (15.0, 150.0),
            PRACTICE,
        ),
        Unknown::new("fuel", "fuel for energy", FUEL_USUAL_M3PJ, 0.07, (3e-11, 4e-10), PRACTICE),
    ]
}

/// Level speed at sea level from the class alone, m/s: `(2 eta P / (rho S CD))^(1/3)`.
fn level_guess_mps(figures: &Figures) -> f64 {
    let drag = match figures.layout.gear {
        Gear::Fixed => 0.035,
        Gear::Retractable => 0.028,
    };
    let power = 0.78 * figures.engine.power.value.to_w();
    cbrt(2.0 * power / (SEA_LEVEL_DENSITY_KGPM3 * figures.wing.area.to_m2() * drag))
}

/// What is known beforehand.
#[must_use]
pub fn frame(figures: &Figures) -> Frame {
    let lift = crate::buildup::lift(figures);
    Frame {
        area_m2: figures.wing.area.to_m2(),
        diameter_m: figures.diameter().to_m(),
        constant_speed: figures.propeller.constant_speed,
        lift_zero: lift.zero,
        lift_slope: lift.slope_per_rad,
        thrust_above_rad: crate::buildup::THRUST_ABOVE_RAD,
        reference_mps: 0.72 * level_guess_mps(figures),
    }
}

/// Share of rated power at a speed of rotation, throttle open: torque rises a little as the speed falls
/// (`flight::propulsion::engine::PistonEngine::usual`).
#[must_use]
pub fn power_share_at(speed: AngularRate, rated: AngularRate) -> f64 {
    let share = speed / rated;
    share * (1.0 + 0.1 * (1.0 - share))
}
