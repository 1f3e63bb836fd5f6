//! The airplane file: what was stated, what was fitted, what was built up from sizes, each block with its source, each fitted figure with
//! how far it may be off.

mod balance;
mod rigid;
mod write;

use base::factors::{RAD_PER_DEG, STANDARD_GRAVITY_MPS2};
use base::kinds::{CalibratedAirspeed, IndicatedAirspeed};
use base::numerics::interpolation::linear;
use base::typed_toml::Faults;
use base::units::Mass;
use flight::airplane::{Airplane, Rotation, WingPlace};

use crate::figures::{Figures, ManualAirspeed, PowerSetting, SpeedFigures};
use crate::fit::Fitted;
use crate::model::{Condition, LevelPower, place};
use crate::unknowns::positions;

use write::Writer;

/// An airplane made of figures.
#[derive(Debug, Clone)]
pub struct Built {
    /// The airplane file.
    pub text: String,
    /// The airplane as the file reads.
    pub airplane: Airplane,
    /// What is not of the manual and what was left out, for people.
    pub notes: Vec<String>,
}

/// Writes the airplane file of a fit and reads it back.
///
/// # Errors
/// Figures that the rules of an airplane file refuse, though each passed alone: the faults name lines of the written file.
pub fn build(figures: &Figures, fitted: &Fitted) -> Result<Built, Faults> {
    let mut out = Writer::default();
    let maker = Maker { figures, fitted, masses: masses(figures) };
    maker.head(&mut out);
    maker.point_mass(&mut out);
    maker.propeller(&mut out);
    maker.limits(&mut out);
    maker.stated(&mut out);
    balance::write(&maker, &mut out);
    rigid::write(&maker, &mut out);
    let (text, notes) = out.close();
    let airplane = Airplane::from_toml(&text, &format!("{} (as built)", figures.id))?;
    Ok(Built { text, airplane, notes })
}

/// Empty, typical, greatest mass, kg: as stated, else usual shares (common practice, no source).
fn masses(figures: &Figures) -> [f64; 3] {
    let maximum = figures.masses.maximum.to_kg();
    let empty = figures.masses.empty.map_or(0.62 * maximum, Mass::to_kg);
    let typical = figures.masses.typical.map_or(empty + 0.65 * (maximum - empty), Mass::to_kg);
    [empty, typical, maximum]
}

/// What the blocks are made from.
struct Maker<'a> {
    figures: &'a Figures,
    fitted: &'a Fitted,
    masses: [f64; 3],
}

/// Indicated speeds of the limits, kt.
struct Limits {
    maneuvering: f64,
    normal_max: f64,
    never_exceed: f64,
}

/// Rules of limits that a manual does not state. Source: 14-CFR-23 (23.335, 23.1505).
const NORMAL_OF_NEVER_EXCEED: f64 = 0.89;
const LIMITS_SOURCE: &str = "14-CFR-23";

impl Maker<'_> {
    fn value(&self, place: usize) -> f64 {
        self.fitted.values[place]
    }
    /// "within 12 %" of a fitted figure, 95 %.
    fn within(&self, place: usize) -> String {
        format!("fitted, within {:.0} % (95 %)", 196.0 * self.fitted.sigma_log(place))
    }
    fn predict(&self, condition: &Condition) -> f64 {
        self.fitted.model().predict(condition)
    }
    /// Indicated from calibrated airspeed, kt.
    fn indicated_kt(&self, calibrated_mps: f64) -> f64 {
        let rows = &self.figures.position_error;
        let calibrated = CalibratedAirspeed::from_mps(calibrated_mps).to_kt();
        if rows.is_empty() {
            return calibrated;
        }
        let (to, from): (Vec<f64>, Vec<f64>) =
            rows.iter().map(|row| (row.indicated.to_kt(), row.calibrated.to_kt())).unzip();
        linear(&from, &to, calibrated)
    }
    fn stall_mps(&self, position: usize) -> f64 {
        self.predict(&Condition::Stall { position, mass_kg: self.masses[2] })
    }

    fn head(&self, out: &mut Writer) {
        let figures = self.figures;
        out.comment("Built from the figures of a flight manual; every block names its source. Training aid, not approved data: the flight");
        out.comment("manual, placards, local rules and a qualified instructor decide.");
        out.blank();
        out.text("id", &figures.id);
        out.text("name", &figures.name);
        let usual = || self.description();
        let description = Some(figures.description.clone()).filter(|text| !text.is_empty());
        out.text("description", &description.unwrap_or_else(usual));
        let [empty, typical, maximum] = self.masses;
        out.block(
            "mass",
            &self.stated_source(
                "empty and typical mass, where not stated, usual shares of the greatest",
            ),
        );
        out.quantity("empty", empty, 1, "kg", "");
        out.quantity("typical", typical, 1, "kg", "");
        out.quantity("maximum", maximum, 1, "kg", "");
        if figures.masses.empty.is_none() {
            out.note("the empty mass is a usual share of the greatest, not of the manual");
        }
        out.block("wing", &self.stated_source(""));
        out.quantity("area", figures.wing.area.to_m2(), 3, "m2", "");
        out.quantity("span", figures.wing.span.to_m(), 3, "m", "");
        let high = figures.layout.wing == WingPlace::High;
        out.text("place", if high { "high" } else { "low" });
    }

    fn description(&self) -> String {
        let layout = &self.figures.layout;
        let wing = if layout.wing == WingPlace::High { "high" } else { "low" };
        let propeller =
            if self.figures.propeller.constant_speed { "constant-speed" } else { "fixed-pitch" };
        format!(
            "{} seats, {wing} wing, {:.0} hp, {propeller} propeller",
            layout.seats,
            self.figures.engine.power.value.to_hp()
        )
    }

    fn stated_source(&self, more: &str) -> String {
        let joint = if more.is_empty() { "" } else { "; " };
        format!("{}{joint}{more}", self.figures.source)
    }

    fn point_mass(&self, out: &mut Writer) {
        let lift = crate::buildup::lift(self.figures);
        out.block("aerodynamics", &self.stated_source("drag and greatest lift fitted to its figures; slope and nil-incidence lift by DATCOM from memory (some 12 %); least lift 0.6 of the greatest and roll rate, helix angle 0.07 at maneuvering speed (NACA-715), not of the manual"));
        out.number(
            "drag_zero_lift",
            self.value(place::DRAG_ZERO),
            5,
            &self.within(place::DRAG_ZERO),
        );
        out.number(
            "drag_induced",
            self.value(place::DRAG_INDUCED),
            5,
            &self.within(place::DRAG_INDUCED),
        );
        out.number("lift_at_zero_incidence", lift.zero, 3, "");
        out.number("lift_slope_per_rad", lift.slope_per_rad, 3, "");
        let most = self.value(place::LIFT_MAX);
        out.number("lift_max", most, 4, &self.within(place::LIFT_MAX));
        out.number("lift_min", -0.6 * most, 3, "");
        let maneuvering_mps = IndicatedAirspeed::from_kt(self.limit_speeds().maneuvering).to_mps();
        let rolls = 2.0 * 0.07 * maneuvering_mps / self.figures.wing.span.to_m();
        out.quantity("roll_rate_max", rolls / RAD_PER_DEG, 0, "deg/s", "");
    }

    fn propeller(&self, out: &mut Writer) {
        let propeller = &self.figures.propeller;
        out.block("propeller", &self.stated_source("power and efficiency fitted to its figures; diameter, where not stated, RAYMER-1992"));
        out.quantity(
            "power_max",
            self.value(place::POWER) / base::factors::W_PER_HP,
            1,
            "hp",
            &self.within(place::POWER),
        );
        out.quantity("diameter", self.figures.diameter().to_m(), 3, "m", "");
        if propeller.diameter.is_none() {
            out.note(
                "the diameter of the propeller is a usual one for the power, not of the manual",
            );
        }
        out.number(
            "efficiency_of_ideal",
            self.value(place::EFFICIENCY),
            4,
            &self.within(place::EFFICIENCY),
        );
        out.quantity(
            "efficiency_best_at",
            self.value(place::BEST_AT) / base::factors::MPS_PER_KT,
            1,
            "kt",
            &self.within(place::BEST_AT),
        );
        out.number("efficiency_bend", self.value(place::BEND), 4, &self.within(place::BEND));
        let clockwise = propeller.rotation == Rotation::Clockwise;
        out.text("rotation", if clockwise { "clockwise" } else { "counterclockwise" });
        if propeller.constant_speed {
            out.text("pitch", "constant-speed");
        } else {
            out.text("pitch", "fixed");
            out.number(
                "static_power_share",
                self.value(place::STATIC_SHARE),
                4,
                &self.within(place::STATIC_SHARE),
            );
            out.quantity(
                "full_power_at",
                self.value(place::FULL_AT) / base::factors::MPS_PER_KT,
                1,
                "kt",
                &self.within(place::FULL_AT),
            );
        }
    }

    /// Limits of the manual; what it does not say follows rules that lie on the careful side.
    fn limit_speeds(&self) -> Limits {
        let SpeedFigures { maneuvering, normal_max, never_exceed, .. } = self.figures.speeds;
        let kt = |stated: Option<crate::figures::Stated<IndicatedAirspeed>>| {
            stated.map(|stated| stated.value.to_kt())
        };
        let top = Condition::LevelSpeed {
            height_m: 0.0,
            mass_kg: self.masses[2],
            power: LevelPower::Full,
        };
        // An airplane that cannot hold height has no greatest level speed.
        let slow = 1.8 * self.stall_mps(0);
        let top_kt = || {
            let top_mps = self.predict(&top);
            self.indicated_kt(if top_mps.is_finite() { top_mps } else { slow })
        };
        let never_exceed = kt(never_exceed)
            .or(kt(normal_max).map(|normal| normal / NORMAL_OF_NEVER_EXCEED))
            .unwrap_or_else(top_kt);
        let normal_max = kt(normal_max).unwrap_or(NORMAL_OF_NEVER_EXCEED * never_exceed);
        let load = self.figures.categories.iter().map(|category| category.load_factor_max.to_g());
        let load = load.fold(f64::INFINITY, f64::min).min(3.8);
        let by_load = self.indicated_kt(self.stall_mps(0) * load.sqrt());
        let maneuvering = kt(maneuvering).unwrap_or(by_load.min(0.97 * normal_max));
        Limits { maneuvering, normal_max, never_exceed }
    }

    fn limits(&self, out: &mut Writer) {
        let limits = self.limit_speeds();
        let SpeedFigures { maneuvering, normal_max, never_exceed, maneuver_entry, .. } =
            self.figures.speeds;
        out.block("speeds", &self.stated_source("speeds not stated there by the rules of 14-CFR-23, the never-exceed speed then no more than the greatest level speed"));
        if let Some(stall) = self.stall_indicated() {
            out.quantity("stall", stall, 1, "kt", "");
        }
        let note = |stated: bool| if stated { "" } else { "not of the manual" };
        out.quantity("maneuvering", limits.maneuvering, 1, "kt", note(maneuvering.is_some()));
        out.quantity("normal_max", limits.normal_max, 1, "kt", note(normal_max.is_some()));
        out.quantity("never_exceed", limits.never_exceed, 1, "kt", note(never_exceed.is_some()));
        for (name, stated) in [
            ("maneuvering speed", maneuvering.is_some()),
            ("greatest cruise speed", normal_max.is_some()),
            ("never-exceed speed", never_exceed.is_some()),
        ] {
            if !stated {
                out.note(&format!("the {name} is not of the manual: look it up before any flight"));
            }
        }
        if let Some(entry) = maneuver_entry.filter(|entry| entry.value.to_kt() <= limits.normal_max)
        {
            out.quantity("maneuver_entry", entry.value.to_kt(), 1, "kt", "");
        }
        self.categories(out);
    }

    /// The stated stall speed, kt indicated, when it is one with what was fitted.
    fn stall_indicated(&self) -> Option<f64> {
        let stall = self.figures.stall_clean()?;
        let ManualAirspeed::Indicated(speed) = stall.speed.value else { return None };
        let stated = self.figures.calibrated(stall.speed.value).to_mps();
        ((stated / self.stall_mps(0) - 1.0).abs() < 0.05).then(|| speed.to_kt())
    }

    fn categories(&self, out: &mut Writer) {
        if self.figures.categories.is_empty() {
            out.rows("category", "14-CFR-23 least load factors of the normal category; the manual's were not given, and no maneuver is approved");
            out.text("name", "normal");
            out.quantity("mass_max", self.masses[2], 1, "kg", "");
            out.quantity("load_factor_max", 3.8, 2, "g", "");
            out.quantity("load_factor_min", -1.52, 2, "g", "");
            out.list("approved", &[]);
            out.note(&format!("no category was given: least load factors of the normal one ({LIMITS_SOURCE}), no maneuver approved"));
        }
        for category in &self.figures.categories {
            out.rows("category", &self.stated_source(""));
            out.text("name", &category.name);
            let mass = category.mass_max.map_or(self.masses[2], Mass::to_kg);
            out.quantity("mass_max", mass, 1, "kg", "");
            out.quantity("load_factor_max", category.load_factor_max.to_g(), 2, "g", "");
            out.quantity("load_factor_min", category.load_factor_min.to_g(), 2, "g", "");
            out.list("approved", &category.approved);
        }
    }

    fn stated(&self, out: &mut Writer) {
        self.flaps(out);
        self.power_on_stall(out);
        self.glide(out);
        let rows = &self.figures.position_error;
        if rows.is_empty() {
            out.note("no position-error table: indicated speeds are taken for calibrated ones");
        } else {
            out.block("position_error", &self.stated_source(""));
            let list = |value: fn(&flight::airplane::PositionErrorRow) -> f64| {
                rows.iter().map(value).collect::<Vec<_>>()
            };
            out.numbers("indicated_kt", &list(|row| row.indicated.to_kt()));
            out.numbers("calibrated_kt", &list(|row| row.calibrated.to_kt()));
        }
        out.block("seat", "common-practice usual seats and sight line, not of the manual");
        out.quantity("eye_left", if self.figures.layout.tandem { 0.0 } else { 0.27 }, 2, "m", "");
        out.quantity("over_nose_below_axis", 5.5, 1, "deg", "");
    }

    fn flaps(&self, out: &mut Writer) {
        for (position, name) in positions(self.figures).iter().enumerate().skip(1) {
            let row = self.figures.stalls.iter().find(|stall| stall.flaps == *name);
            let Some(extended) = row.and_then(|stall| stall.extended_max) else {
                out.note(&format!("flaps {name} are left out: extended_max (V_FE) is not given"));
                continue;
            };
            let lift = self.value(place::LIFT_MAX + position);
            if lift < self.value(place::LIFT_MAX)
                || self.indicated_kt(self.stall_mps(position)) >= extended.to_kt()
            {
                out.note(&format!("flaps {name} are left out: their stall speed is not below that of flaps up, or not below V_FE"));
                continue;
            }
            out.rows("flap", &self.stated_source("greatest lift fitted to its stall speed"));
            out.text("name", name);
            out.number("lift_max", lift, 4, &self.within(place::LIFT_MAX + position));
            out.quantity("v_fe", extended.to_kt(), 1, "kt", "");
        }
    }

    fn power_on_stall(&self, out: &mut Writer) {
        let stated = self.figures.stalls.iter().find(|stall| {
            stall.flaps == "up" && stall.power == PowerSetting::Full && stall.mass.is_none()
        });
        let source = "common-practice thrust along the body axis; share of the wing in the slipstream fitted where the manual states the stall at full power, else usual";
        out.block("power_on_stall", source);
        if stated.is_none() {
            out.note("the stall at full power is reckoned from usual geometry, not of the manual");
        }
        out.quantity(
            "thrust_above_body",
            crate::buildup::THRUST_ABOVE_RAD / RAD_PER_DEG,
            1,
            "deg",
            "",
        );
        out.number(
            "slipstream_share",
            self.value(place::SLIPSTREAM),
            4,
            &self.within(place::SLIPSTREAM),
        );
    }

    fn glide(&self, out: &mut Writer) {
        let speeds = &self.figures.speeds;
        out.block(
            "glide",
            &self.stated_source(
                "drag of the idling propeller fitted to its glide figures, else usual",
            ),
        );
        let stall = self.indicated_kt(self.stall_mps(0));
        if let Some(speed) = speeds.best_glide.filter(|speed| speed.value.to_kt() > stall) {
            out.quantity("speed", speed.value.to_kt(), 1, "kt", "");
        }
        let mass_kg = self.masses[2];
        let best = self.predict(&Condition::GlideRatio { mass_kg });
        if let Some(ratio) = speeds.glide_ratio.filter(|ratio| ratio.value < 1.09 * best) {
            out.number("ratio", ratio.value, 1, "");
        }
        let area = self.value(place::IDLE_DRAG);
        out.quantity("propeller_drag_area", area, 4, "m2", &self.within(place::IDLE_DRAG));
    }
}

/// Weight of a mass, N.
fn weight_n(mass_kg: f64) -> f64 {
    mass_kg * STANDARD_GRAVITY_MPS2
}
