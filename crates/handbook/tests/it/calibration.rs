//! Bands held against airplanes of known truth, drawn at random from the class. Their truth is of another kind of model than the
//! fit's: propellers of blade elements on an engine with a torque line, another rule of power with height, a polar whose least drag
//! lies at some lift and that bends up toward the stall.

use base::factors::{
    M_PER_FT, MPS_PER_FPM, MPS_PER_KT, RADPS_PER_RPM, STANDARD_GRAVITY_MPS2, W_PER_HP,
};
use base::frames::Vec3;
use base::kinds::{CalibratedAirspeed, PressureAltitude, TrueAirspeed};
use base::numerics::random::SplitMix;
use base::numerics::root;
use flight::air::{Air, SEA_LEVEL_DENSITY_KGPM3};
use flight::airspeed::{calibrated_from_true, true_from_calibrated};
use flight::budget::{Budget, Switches};
use flight::controls::Inputs;
use flight::flow::Flow;
use flight::propulsion::Propulsion;
use flight::propulsion::blade::BladeElements;
use flight::propulsion::engine::{AltitudeRule, PistonEngine};
use flight::propulsion::piston::{PistonPropeller, PistonPropellerData, Pitch};
use handbook::Figures;
use handbook::buildup::propeller::{Duty, blades};
use handbook::evidence;
use handbook::fit::fit_to;
use handbook::model::{Condition, LevelPower};
use handbook::unknowns;

/// An airplane of which everything is known.
struct Truth {
    area_m2: f64,
    drag_least: f64,
    drag_induced: f64,
    lift_of_least_drag: f64,
    lift_max: Vec<f64>,
    propeller: PistonPropeller,
    power_rated_w: f64,
    fuel_m3pj: f64,
}

struct At {
    density: f64,
    air: Air,
    weight_n: f64,
}

impl Truth {
    fn at(&self, height_m: f64, mass_kg: f64) -> At {
        let air = Air::standard(PressureAltitude::from_m(height_m));
        At { density: air.density.to_kgpm3(), air, weight_n: mass_kg * STANDARD_GRAVITY_MPS2 }
    }
    /// Net thrust and shaft power.
    fn pull(&self, at: &At, speed: f64, throttle: f64) -> (f64, f64) {
        let flow = Flow::new(Vec3::new(speed, 0.0, 0.0), Vec3::ZERO, at.air.into());
        let inputs = Inputs { throttle, propeller: 1.0, ..Inputs::default() };
        let state = self.propeller.settled(&flow, &inputs);
        let mut budget = Budget::new(Switches::ALL);
        let running = self.propeller.run(&flow, &inputs, state, &mut budget);
        (running.thrust_n * (1.0 - self.propeller.data().blockage), running.power_w)
    }
    fn thrust_at_power(&self, at: &At, speed: f64, power_w: f64) -> f64 {
        let left = |throttle: f64| self.pull(at, speed, throttle).1 - power_w;
        // More than full throttle: a manual's table may ask for it.
        match root::find(left, 0.0, 1.0, 1e-5) {
            Ok(throttle) => self.pull(at, speed, throttle).0,
            Err(_) => f64::NAN,
        }
    }
    fn drag(&self, at: &At, speed: f64, load: f64) -> f64 {
        let pressure = 0.5 * at.density * speed * speed * self.area_m2;
        let lift = load * at.weight_n / pressure;
        let off = lift - self.lift_of_least_drag;
        let near = (lift / self.lift_max[0]).powi(8);
        pressure * (self.drag_least + self.drag_induced * off * off + 0.02 * near)
    }
    fn rate(&self, at: &At, speed: f64, thrust: f64) -> f64 {
        let mut sine = 0.0_f64;
        for _ in 0..8 {
            let load = (1.0 - sine * sine).max(0.0).sqrt();
            sine = ((thrust - self.drag(at, speed, load)) / at.weight_n).clamp(-0.9, 0.9);
        }
        speed * sine
    }
    fn stall(&self, at: &At, lift: f64) -> f64 {
        (2.0 * at.weight_n / (at.density * self.area_m2 * lift)).sqrt()
    }
    fn best(&self, at: &At, f: impl Fn(f64) -> f64) -> (f64, f64) {
        let stall = self.stall(at, self.lift_max[0]);
        let speeds = (0..160).map(|i| stall * (1.03 + 0.015 * f64::from(i)));
        speeds.map(|v| (v, f(v))).max_by(|a, b| a.1.total_cmp(&b.1)).unwrap()
    }
    fn climb(&self, at: &At, speed: f64) -> f64 {
        self.rate(at, speed, self.pull(at, speed, 1.0).0)
    }
    fn glide(&self, mass_kg: f64) -> (f64, f64) {
        let at = self.at(0.0, mass_kg);
        let sine = |speed: f64| self.rate(&at, speed, self.pull(&at, speed, 0.0).0) / speed;
        let (speed, sine) = self.best(&at, sine);
        (speed, (1.0 / (sine * sine) - 1.0).sqrt())
    }
    fn level(&self, at: &At, power: LevelPower) -> f64 {
        let excess = |speed: f64| {
            let thrust = match power {
                LevelPower::Full => self.pull(at, speed, 1.0).0,
                LevelPower::Share(share) => {
                    self.thrust_at_power(at, speed, share * self.power_rated_w)
                }
                LevelPower::Shaft(power) => self.thrust_at_power(at, speed, power),
            };
            thrust - self.drag(at, speed, 1.0)
        };
        let stall = self.stall(at, self.lift_max[0]);
        // Down from far too fast: the first place where thrust is enough.
        let mut high = 5.0 * stall;
        while high > 1.2 * stall {
            if excess(0.97 * high) > 0.0 {
                return root::find(excess, 0.97 * high, high, 1e-4).unwrap_or(f64::NAN);
            }
            high *= 0.97;
        }
        f64::NAN
    }
    fn predict(&self, condition: &Condition) -> f64 {
        let true_of = |calibrated: f64, at: &At| {
            true_from_calibrated(CalibratedAirspeed::from_mps(calibrated), &at.air).to_mps()
        };
        let calibrated =
            |v: f64, at: &At| calibrated_from_true(TrueAirspeed::from_mps(v), &at.air).to_mps();
        match *condition {
            Condition::RatedPower => self.power_rated_w,
            Condition::Stall { position, mass_kg } => {
                self.stall(&self.at(0.0, mass_kg), self.lift_max[position])
            }
            Condition::Climb { height_m, mass_kg, calibrated_mps } => {
                let at = self.at(height_m, mass_kg);
                match calibrated_mps {
                    Some(speed) => self.climb(&at, true_of(speed, &at)),
                    None => self.best(&at, |v| self.climb(&at, v)).1,
                }
            }
            Condition::BestRate { height_m, mass_kg } => {
                let at = self.at(height_m, mass_kg);
                calibrated(self.best(&at, |v| self.climb(&at, v)).0, &at)
            }
            Condition::BestAngle { height_m, mass_kg } => {
                let at = self.at(height_m, mass_kg);
                calibrated(self.best(&at, |v| self.climb(&at, v) / v).0, &at)
            }
            Condition::Sink { height_m, mass_kg, calibrated_mps } => {
                let at = self.at(height_m, mass_kg);
                let speed = true_of(calibrated_mps, &at);
                -self.rate(&at, speed, self.pull(&at, speed, 0.0).0)
            }
            Condition::BestGlide { mass_kg } => self.glide(mass_kg).0,
            Condition::GlideRatio { mass_kg } => self.glide(mass_kg).1,
            Condition::LevelSpeed { height_m, mass_kg, power } => {
                self.level(&self.at(height_m, mass_kg), power)
            }
            Condition::Fuel { power: LevelPower::Share(share) } => {
                self.fuel_m3pj * share * self.power_rated_w
            }
            Condition::SustainedBank { height_m, mass_kg } => {
                let at = self.at(height_m, mass_kg);
                let load = |speed: f64| {
                    let thrust = self.pull(&at, speed, 1.0).0;
                    let most = (speed / self.stall(&at, self.lift_max[0])).powi(2);
                    let excess = |load: f64| thrust - self.drag(&at, speed, load);
                    if excess(most) > 0.0 {
                        most
                    } else {
                        root::find(excess, 0.3, most, 1e-4).unwrap_or(0.0)
                    }
                };
                base::math::acos((1.0 / self.best(&at, load).1).clamp(0.0, 1.0))
            }
            _ => f64::NAN,
        }
    }
}

struct Draw {
    dice: SplitMix,
}

impl Draw {
    fn between(&mut self, low: f64, high: f64) -> f64 {
        low + (high - low) * self.dice.share()
    }
    fn about(&mut self, middle: f64, sigma_log: f64) -> f64 {
        middle * base::math::exp(sigma_log * self.dice.normal())
    }
}

/// An airplane and the head of its file of figures.
fn drawn(draw: &mut Draw) -> (Truth, String) {
    let power_hp = (draw.between(100.0, 300.0) / 5.0).round() * 5.0;
    let mass_kg = (power_hp * draw.between(5.2, 7.6)).round();
    let area_m2 = mass_kg / draw.between(58.0, 92.0);
    let span_m = (area_m2 * draw.between(5.8, 8.6)).sqrt();
    let fixed_gear = draw.dice.share() < 0.65;
    let constant_speed = !fixed_gear || power_hp > 190.0 || draw.dice.share() < 0.2;
    let low = draw.dice.share() < 0.5;
    let power_rated_w = draw.about(power_hp * W_PER_HP, 0.025);
    let drag_least = draw.about(if fixed_gear { 0.031 } else { 0.026 }, 0.2);
    let efficiency = draw.between(0.62, 0.82);
    let drag_induced = area_m2 / (span_m * span_m * std::f64::consts::PI * efficiency);
    let clean = draw.about(1.42, 0.12);
    let landing = clean + draw.between(0.2, 0.7);
    let diameter_m = draw.about(1.7 * M_PER_FT * power_hp.sqrt().sqrt(), 0.03);
    let rated = draw.between(2400.0, 2750.0);
    let level = base::math::cbrt(
        2.0 * 0.78 * power_rated_w / (SEA_LEVEL_DENSITY_KGPM3 * area_m2 * drag_least * 1.12),
    );
    let duty = Duty {
        power_w: power_rated_w,
        speed_radps: rated * RADPS_PER_RPM,
        airspeed_mps: level * draw.between(0.85, 1.02),
        density_kgpm3: SEA_LEVEL_DENSITY_KGPM3,
        thrust_n: 1.0,
    };
    let found = blades(2, diameter_m, &[duty]);
    let chord = draw.between(0.058, 0.075);
    let engine = PistonEngine {
        altitude: AltitudeRule::Lowry { friction: draw.between(0.09, 0.15) },
        drag_share: draw.between(0.08, 0.16),
        torque_rise: draw.between(0.0, 0.2),
        ..PistonEngine::usual(power_rated_w, duty.speed_radps)
    };
    let propeller = PistonPropeller::new(PistonPropellerData {
        engine,
        blades: BladeElements::usual(2.0, chord, found.twist_pitch),
        chord_over_diameter: chord,
        diameter_m,
        pitch: pitch(constant_speed, found.angle_rad, duty.speed_radps),
        clockwise: true,
        inertia_kgm2: 1.7,
        hub_m: Vec3::new(2.0, 0.0, 0.0),
        shaft_down_rad: 0.0,
        shaft_right_rad: 0.0,
        swirl_straightened: 0.5,
        blockage: draw.between(0.03, 0.12),
    });
    let truth = Truth {
        area_m2,
        drag_least,
        drag_induced,
        lift_of_least_drag: draw.between(-0.05, 0.25),
        lift_max: vec![clean, landing],
        propeller,
        power_rated_w,
        fuel_m3pj: draw.about(1.06e-10, 0.07),
    };
    let head = format!(
        "id = \"drawn\"\nname = \"Drawn\"\nsource = \"invented\"\n[layout]\ngear = \"{}\"\nwing = \"{}\"\nseats = 4\n[mass]\nmaximum = \"{mass_kg} kg\"\n[wing]\narea = \"{area_m2} m2\"\nspan = \"{span_m} m\"\n[engine]\npower = \"{power_hp} hp\"\nspeed_rated = \"{rated} rpm\"\n[propeller]\ntype = \"{}\"\ndiameter = \"{diameter_m} m\"\n",
        if fixed_gear { "fixed" } else { "retractable" },
        if low { "low" } else { "high" },
        if constant_speed { "constant-speed" } else { "fixed" },
    );
    (truth, head)
}

/// How a governor's propeller or a fixed one takes up the duty.
fn pitch(constant_speed: bool, angle_rad: f64, speed_radps: f64) -> Pitch {
    let degree = base::factors::RAD_PER_DEG;
    if !constant_speed {
        return Pitch::Fixed { angle_rad };
    }
    Pitch::ConstantSpeed {
        fine_rad: (angle_rad - 9.0 * degree).max(8.0 * degree),
        coarse_rad: angle_rad + 16.0 * degree,
        speed_least_radps: 0.6 * speed_radps,
        speed_most_radps: speed_radps,
    }
}

/// The manual of a drawn airplane: true values, each off by what manuals are off by, rounded as manuals are. `None` when it is not
/// an airplane that would be built.
fn manual(draw: &mut Draw, truth: &Truth, head: &str) -> Option<String> {
    let figures = Figures::from_toml(head, "head").ok()?;
    let mass_kg = figures.masses.maximum.to_kg();
    let mut text = head.to_string();
    let mut off = |condition: Condition, share: f64, step: f64| {
        let value = truth.predict(&condition) * (1.0 + share * draw.dice.normal());
        (value / step).round() * step
    };
    let knot = |value: f64| format!("{:.0} kt", value / MPS_PER_KT);
    let rate = off(Condition::BestRate { height_m: 0.0, mass_kg }, 0.05, 1e-9);
    let angle = off(Condition::BestAngle { height_m: 0.0, mass_kg }, 0.05, 1e-9);
    let glide = off(Condition::BestGlide { mass_kg }, 0.05, 1e-9);
    let ratio = off(Condition::GlideRatio { mass_kg }, 0.05, 0.1);
    text += &format!(
        "[speeds]\nbest_rate = \"{}\"\nbest_angle = \"{}\"\nbest_glide = \"{}\"\nglide_ratio = {ratio:.1}\n",
        knot(rate),
        knot(angle),
        knot(glide)
    );
    for (flaps, position) in [("up", 0), ("30", 1)] {
        let speed = off(Condition::Stall { position, mass_kg }, 0.025, 1e-9);
        text += &format!(
            "[[stall]]\nflaps = \"{flaps}\"\nairspeed = \"calibrated\"\nspeed = \"{}\"\n",
            knot(speed)
        );
    }
    for height_ft in [0.0, 4000.0, 8000.0] {
        let height_m = height_ft * M_PER_FT;
        let rate = off(
            Condition::Climb { height_m, mass_kg, calibrated_mps: None },
            0.025,
            MPS_PER_FPM * 5.0,
        );
        if rate < 100.0 * MPS_PER_FPM {
            return None;
        }
        text += &format!(
            "[[climb]]\nheight = \"{height_ft} ft\"\nrate = \"{:.0} ft/min\"\n",
            rate / MPS_PER_FPM
        );
    }
    for (height_ft, share) in [(3000.0, 0.75), (6000.0, 0.65), (8000.0, 0.55)] {
        let height_m = height_ft * M_PER_FT;
        let power = LevelPower::Share(share);
        let speed = off(Condition::LevelSpeed { height_m, mass_kg, power }, 0.02, 1e-9);
        let fuel = off(Condition::Fuel { power }, 0.05, 1e-12);
        let gallons = fuel * 3600.0 / base::factors::M3_PER_US_GAL;
        if !speed.is_finite() {
            return None;
        }
        text += &format!(
            "[[cruise]]\nheight = \"{height_ft} ft\"\npower_share = {share}\ntrue_airspeed = \"{}\"\nfuel_gal_per_h = {gallons:.1}\n",
            knot(speed)
        );
    }
    let top = off(
        Condition::LevelSpeed { height_m: 600.0, mass_kg, power: LevelPower::Full },
        0.015,
        1e-9,
    );
    text += &format!(
        "[[cruise]]\nheight = \"{} ft\"\nfull_throttle = true\ntrue_airspeed = \"{}\"\n",
        600.0 / M_PER_FT,
        knot(top)
    );
    top.is_finite().then_some(text)
}

/// What was predicted of one kind of figure: errors in standard deviations, and as shares.
#[derive(Default)]
struct Tally {
    kinds: Vec<(String, Vec<f64>, Vec<f64>)>,
}

impl Tally {
    fn add(&mut self, condition: &Condition, off: f64, share: f64) {
        let words = format!("{condition:?}");
        let name = words.split(' ').next().unwrap();
        let found = self.kinds.iter().position(|kind| kind.0 == name);
        let place = found.unwrap_or_else(|| {
            self.kinds.push((name.to_string(), Vec::new(), Vec::new()));
            self.kinds.len() - 1
        });
        self.kinds[place].1.push(off);
        self.kinds[place].2.push(share);
    }
    /// Prints the kinds; gives how many there are and how many lay within their 95 % bands.
    fn close(&self) -> (usize, usize) {
        let rms =
            |list: &[f64]| (list.iter().map(|v| v * v).sum::<f64>() / list.len() as f64).sqrt();
        let within = |list: &[f64]| list.iter().filter(|off| off.abs() < 1.96).count();
        for (name, off, share) in &self.kinds {
            let inside = within(off) as f64 / off.len() as f64;
            println!(
                "{name:16} {:4} within {inside:.3} off {:.2} sigmas rms, {:.3} of the value",
                off.len(),
                rms(off),
                rms(share)
            );
        }
        let all = self.kinds.iter().map(|kind| kind.1.len()).sum();
        (all, self.kinds.iter().map(|kind| within(&kind.1)).sum())
    }
}

/// Fits on a half of the figures drawn by lot (take-off power always), predicts the other half and the sustained turn.
fn one(draw: &mut Draw, truth: &Truth, figures: &Figures, tally: &mut Tally) {
    let (all, _) = evidence::of(figures);
    let kept: Vec<bool> = all
        .iter()
        .map(|one| one.condition == Condition::RatedPower || draw.dice.share() < 0.5)
        .collect();
    let half = |wanted: bool| {
        let pick = all.iter().zip(&kept).filter(move |(_, kept)| **kept == wanted);
        pick.map(|(one, _)| one.clone()).collect::<Vec<_>>()
    };
    let fitted = fit_to(unknowns::frame(figures), unknowns::of(figures), half(true), Vec::new());
    let mass_kg = figures.masses.maximum.to_kg();
    let turn = Condition::SustainedBank { height_m: 1000.0, mass_kg };
    for condition in half(false).into_iter().map(|one| one.condition).chain([turn]) {
        let value = truth.predict(&condition);
        let Some(band) = fitted.predict(&condition).filter(|_| value.is_finite()) else { continue };
        tally.add(&condition, (value - band.value) / band.sigma, (band.value - value) / value);
    }
}

/// 200 airplanes from a fixed seed; bands of 95 % must hold 93 to 97 % of the hidden figures. Measured: 95.3 % of 1,799.
#[test]
fn val_bands_cover_hidden_figures_of_airplanes_of_another_kind() {
    let mut draw = Draw { dice: SplitMix::new(20_261_126) };
    let mut tally = Tally::default();
    let (mut airplanes, mut refused) = (0, 0);
    while airplanes < 200 {
        let (truth, head) = drawn(&mut draw);
        let text = manual(&mut draw, &truth, &head);
        let Some(figures) = text.and_then(|text| Figures::from_toml(&text, "drawn").ok()) else {
            refused += 1;
            continue;
        };
        airplanes += 1;
        one(&mut draw, &truth, &figures, &mut tally);
    }
    let (all, inside) = tally.close();
    let share = inside as f64 / all as f64;
    println!("all {all} within {share:.4}; {refused} drawn that nobody would build");
    assert!((0.93..=0.97).contains(&share), "{share}");
    assert!(all > 1500 && refused < 20, "{all} {refused}");
}
