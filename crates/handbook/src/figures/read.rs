//! The file of figures: TOML to [`Figures`], every fault with its line and a hint.

use base::factors::M3_PER_US_GAL;
use base::kinds::{CalibratedAirspeed, IndicatedAirspeed, PressureAltitude, TrueAirspeed};
use base::typed_toml::{self, Faults, Section};
use base::units::{Angle, AngularRate, Area, Length, LoadFactor, Power, Quantity, Speed};
use flight::airplane::{PositionErrorRow, Rotation, WingPlace};

use super::{
    BodySize, CategoryFigure, ClimbFigure, CruiseFigure, CruisePower, CruiseSpeed, EngineFigures,
    Figures, Gear, GlideFigure, Layout, ManualAirspeed, Masses, PowerSetting, PropellerFigures,
    SpeedFigures, StallFigure, Stated, SurfaceSize, WingSize, slips,
};

impl Figures {
    /// Reads a file of figures. `name` is used in messages.
    ///
    /// # Errors
    /// Every fault of the file, each with its line: missing or impossible figures, unknown keys, slips.
    pub fn from_toml(text: &str, name: &str) -> Result<Self, Faults> {
        typed_toml::read(text, name, |root| {
            let figures = build(root)?;
            slips::check(root, &figures);
            Some(figures)
        })
    }
}

fn build(root: &Section<'_>) -> Option<Figures> {
    let (id, name) = (root.text("id"), root.text("name"));
    let description = root.optional_text("description").unwrap_or_default();
    let source = root.text("source");
    let layout = root.section("layout").and_then(|block| layout(&block));
    let wing = root.section("wing").and_then(|block| wing(&block));
    let body = root.optional_section("body").map_or_else(BodySize::default, |block| body(&block));
    let surface =
        |key| root.optional_section(key).map_or_else(SurfaceSize::default, |block| surface(&block));
    let (tail, fin) = (surface("tail"), surface("fin"));
    let masses = root.section("mass").and_then(|block| masses(&block));
    let balance = flight::airplane::balance::read(root);
    let engine = root.section("engine").and_then(|block| engine(&block));
    let propeller = root.section("propeller").and_then(|block| propeller(&block));
    let speeds =
        root.optional_section("speeds").map_or_else(SpeedFigures::default, |block| speeds(&block));
    let (stalls, climbs) = (rows(root, "stall", stall), rows(root, "climb", climb));
    let (glides, cruises) = (rows(root, "glide", glide), rows(root, "cruise", cruise));
    let categories = rows(root, "category", category);
    let position_error =
        root.optional_section("position_error").map_or_else(Vec::new, |block| table(&block));
    Some(Figures {
        id: id?,
        name: name?,
        description,
        source: source?,
        layout: layout?,
        wing: wing?,
        body,
        tail,
        fin,
        masses: masses?,
        balance,
        engine: engine?,
        propeller: propeller?,
        speeds,
        stalls,
        climbs,
        glides,
        cruises,
        categories,
        position_error,
    })
}

/// The rows of a table that have no fault, each with no unknown key.
fn rows<T>(
    root: &Section<'_>,
    key: &'static str,
    one: impl Fn(&Section<'_>) -> Option<T>,
) -> Vec<T> {
    let read = |block: &Section<'_>| {
        let row = one(block);
        block.refuse_unknown();
        row
    };
    root.sections(key).iter().filter_map(read).collect()
}

/// Ranges that every light airplane keeps, SI: outside is a slip of the figure or of its unit (common practice, no source).
mod range {
    use base::factors::{MPS_PER_KT, RADPS_PER_RPM, W_PER_KW};

    pub(super) const AIRSPEED: (f64, f64) = (10.0 * MPS_PER_KT, 450.0 * MPS_PER_KT);
    pub(super) const HEIGHT: (f64, f64) = (-500.0, 9000.0);
    pub(super) const VERTICAL: (f64, f64) = (0.05, 60.0);
    pub(super) const MASS: (f64, f64) = (50.0, 20_000.0);
    pub(super) const POWER: (f64, f64) = (5.0 * W_PER_KW, 2000.0 * W_PER_KW);
    pub(super) const ROTATION: (f64, f64) = (300.0 * RADPS_PER_RPM, 8000.0 * RADPS_PER_RPM);
    pub(super) const AREA: (f64, f64) = (4.0, 2000.0);
    pub(super) const SPAN: (f64, f64) = (3.0, 150.0);
    pub(super) const BODY: (f64, f64) = (0.4, 40.0);
    pub(super) const SURFACE: (f64, f64) = (0.2, 40.0);
    pub(super) const PROPELLER: (f64, f64) = (0.1, 500.0);
}

/// A quantity above zero and in a range.
fn bounded<Q: Quantity>(
    block: &Section<'_>,
    key: &'static str,
    (least, most): (f64, f64),
) -> Option<Q> {
    let _: Q = block.positive(key)?;
    within(block, key, (least, most))
}

fn within<Q: Quantity>(
    block: &Section<'_>,
    key: &'static str,
    (least, most): (f64, f64),
) -> Option<Q> {
    let end = |si| Q::try_from_si(si).expect("the ends of a range are finite");
    block.within(key, end(least), end(most))
}

/// The same where it may be absent.
fn maybe<Q: Quantity>(block: &Section<'_>, key: &'static str, range: (f64, f64)) -> Option<Q> {
    if block.has(key) { bounded(block, key, range) } else { None }
}

/// A bounded quantity with its rounding and line.
fn stated<Q: Quantity>(
    block: &Section<'_>,
    key: &'static str,
    range: (f64, f64),
) -> Option<Stated<Q>> {
    let value: Q = bounded(block, key, range)?;
    let step_si = step(&block.optional_text(key)?, value.to_si());
    Some(Stated { value, step_si, line: block.line(key) })
}

fn maybe_stated<Q: Quantity>(
    block: &Section<'_>,
    key: &'static str,
    range: (f64, f64),
) -> Option<Stated<Q>> {
    if block.has(key) { stated(block, key, range) } else { None }
}

/// One unit of the last written digit, SI: `value_si` is what the text says.
fn step(text: &str, value_si: f64) -> f64 {
    let digits: String = text
        .trim()
        .chars()
        .take_while(|c| c.is_ascii_digit() || matches!(c, '.' | ',' | '+' | '-'))
        .collect();
    let number: f64 = digits.replace(',', "").parse().unwrap_or(0.0);
    let decimals = digits.split('.').nth(1).map_or(0, str::len);
    if number == 0.0 { 0.0 } else { (value_si / number).abs() / 10f64.powi(decimals as i32) }
}

fn layout(block: &Section<'_>) -> Option<Layout> {
    let gear = block.choice("gear", &[("fixed", Gear::Fixed), ("retractable", Gear::Retractable)]);
    let wing = block.choice("wing", &[("high", WingPlace::High), ("low", WingPlace::Low)]);
    let seats = block.number("seats", 1.0..=20.0);
    let tandem = block.flag("tandem");
    block.refuse_unknown();
    Some(Layout { gear: gear?, wing: wing?, seats: seats? as u8, tandem })
}

fn wing(block: &Section<'_>) -> Option<WingSize> {
    let (area, span) = (bounded(block, "area", range::AREA), bounded(block, "span", range::SPAN));
    let taper = block.optional_number("taper", 0.1..=1.0);
    let dihedral: Option<Angle> =
        if block.has("dihedral") { within(block, "dihedral", (-0.2, 0.3)) } else { None };
    block.refuse_unknown();
    Some(WingSize { area: area?, span: span?, taper, dihedral })
}

fn body(block: &Section<'_>) -> BodySize {
    let size = BodySize {
        length: maybe(block, "length", range::BODY),
        width: maybe(block, "width", range::BODY),
        depth: maybe(block, "depth", range::BODY),
    };
    block.refuse_unknown();
    size
}

fn surface(block: &Section<'_>) -> SurfaceSize {
    let size = SurfaceSize {
        area: maybe::<Area>(block, "area", range::SURFACE),
        span: maybe(block, "span", range::SURFACE),
        arm: maybe(block, "arm", range::SURFACE),
    };
    block.refuse_unknown();
    size
}

fn masses(block: &Section<'_>) -> Option<Masses> {
    let maximum = bounded(block, "maximum", range::MASS);
    let (empty, typical) =
        (maybe(block, "empty", range::MASS), maybe(block, "typical", range::MASS));
    let center_of_gravity = block.optional_number("center_of_gravity", 0.05..=0.5);
    block.refuse_unknown();
    Some(Masses { empty, typical, maximum: maximum?, center_of_gravity })
}

fn engine(block: &Section<'_>) -> Option<EngineFigures> {
    let power: Option<Stated<Power>> = stated(block, "power", range::POWER);
    let speed_rated = maybe(block, "speed_rated", range::ROTATION);
    block.refuse_unknown();
    Some(EngineFigures { power: power?, speed_rated })
}

fn propeller(block: &Section<'_>) -> Option<PropellerFigures> {
    let constant_speed = block.choice("type", &[("constant-speed", true), ("fixed", false)]);
    let diameter: Option<Length> = maybe(block, "diameter", range::PROPELLER);
    let blades = block.optional_number("blades", 2.0..=6.0).map(|blades| blades as u8);
    let turning =
        [("clockwise", Rotation::Clockwise), ("counterclockwise", Rotation::Counterclockwise)];
    let rotation = if block.has("rotation") {
        block.choice("rotation", &turning)
    } else {
        Some(Rotation::Clockwise)
    };
    let speed_static = maybe_stated(block, "speed_static", range::ROTATION);
    block.refuse_unknown();
    Some(PropellerFigures {
        constant_speed: constant_speed?,
        diameter,
        blades,
        rotation: rotation?,
        speed_static,
    })
}

fn speeds(block: &Section<'_>) -> SpeedFigures {
    let ratio = block.optional_number("glide_ratio", 3.0..=60.0);
    let line = block.line("glide_ratio");
    let glide_ratio = ratio.map(|value| {
        let step_si = if (value - value.round()).abs() < 1e-9 { 0.5 } else { 0.1 };
        Stated { value, step_si, line }
    });
    let speeds = SpeedFigures {
        maneuvering: maybe_stated(block, "maneuvering", range::AIRSPEED),
        normal_max: maybe_stated(block, "normal_max", range::AIRSPEED),
        never_exceed: maybe_stated(block, "never_exceed", range::AIRSPEED),
        maneuver_entry: maybe_stated(block, "maneuver_entry", range::AIRSPEED),
        best_angle: maybe_stated(block, "best_angle", range::AIRSPEED),
        best_rate: maybe_stated(block, "best_rate", range::AIRSPEED),
        best_glide: maybe_stated(block, "best_glide", range::AIRSPEED),
        glide_ratio,
    };
    block.refuse_unknown();
    speeds
}

/// Whether speeds of a row are indicated, as usual, or calibrated.
fn is_calibrated(block: &Section<'_>) -> Option<bool> {
    if !block.has("airspeed") {
        return Some(false);
    }
    block.choice("airspeed", &[("indicated", false), ("calibrated", true)])
}

fn airspeed(block: &Section<'_>) -> Option<Stated<ManualAirspeed>> {
    let calibrated = is_calibrated(block);
    if calibrated? {
        let Stated { value, step_si, line } =
            stated::<CalibratedAirspeed>(block, "speed", range::AIRSPEED)?;
        return Some(Stated { value: ManualAirspeed::Calibrated(value), step_si, line });
    }
    let Stated { value, step_si, line } =
        stated::<IndicatedAirspeed>(block, "speed", range::AIRSPEED)?;
    Some(Stated { value: ManualAirspeed::Indicated(value), step_si, line })
}

fn stall(block: &Section<'_>) -> Option<StallFigure> {
    let flaps = block.text("flaps");
    let power = if block.has("power") {
        block.choice("power", &[("idle", PowerSetting::Idle), ("full", PowerSetting::Full)])
    } else {
        Some(PowerSetting::Idle)
    };
    let (speed, mass) = (airspeed(block), maybe(block, "mass", range::MASS));
    let extended_max = maybe(block, "extended_max", range::AIRSPEED);
    Some(StallFigure { flaps: flaps?, power: power?, speed: speed?, mass, extended_max })
}

fn climb(block: &Section<'_>) -> Option<ClimbFigure> {
    let height: Option<PressureAltitude> = within(block, "height", range::HEIGHT);
    let rate: Option<Stated<Speed>> = stated(block, "rate", range::VERTICAL);
    let speed = if block.has("speed") { airspeed(block) } else { None };
    let _ = is_calibrated(block);
    let mass = maybe(block, "mass", range::MASS);
    Some(ClimbFigure { height: height?, rate: rate?, speed: speed.map(|s| s.value), mass })
}

fn glide(block: &Section<'_>) -> Option<GlideFigure> {
    let height: Option<PressureAltitude> = within(block, "height", range::HEIGHT);
    let sink: Option<Stated<Speed>> = stated(block, "sink", range::VERTICAL);
    let (speed, mass) = (airspeed(block), maybe(block, "mass", range::MASS));
    Some(GlideFigure { height: height?, sink: sink?, speed: speed?.value, mass })
}

fn cruise(block: &Section<'_>) -> Option<CruiseFigure> {
    let height: Option<PressureAltitude> = within(block, "height", range::HEIGHT);
    let share = block.optional_number("power_share", 0.2..=1.1);
    let shaft: Option<Power> = maybe(block, "power", range::POWER);
    let power = match (block.flag("full_throttle"), share, shaft) {
        (true, None, shaft) => CruisePower::FullThrottle(shaft),
        (false, Some(share), None) => CruisePower::Share(share),
        (false, None, Some(shaft)) => CruisePower::Shaft(shaft),
        (false, None, None) => CruisePower::Unknown,
        _ => {
            let hint = "give power_share (0.65), or power (\"104 hp\"), or full_throttle = true";
            block.fault("power_share", "the power of this row is said twice", hint);
            return None;
        }
    };
    let speed_rotation: Option<AngularRate> = maybe(block, "speed_rotation", range::ROTATION);
    let (gallons, liters) = (
        block.optional_number("fuel_gal_per_h", 0.5..=200.0),
        block.optional_number("fuel_l_per_h", 2.0..=800.0),
    );
    let per_hour = gallons.map(|v| v * M3_PER_US_GAL).or(liters.map(|v| v * 1e-3));
    let speed = cruise_speed(block);
    let mass = maybe(block, "mass", range::MASS);
    Some(CruiseFigure {
        height: height?,
        power,
        speed_rotation,
        speed: speed?,
        fuel_m3ps: per_hour.map(|volume| volume / 3600.0),
        mass,
    })
}

fn cruise_speed(block: &Section<'_>) -> Option<Stated<CruiseSpeed>> {
    if block.has("calibrated_airspeed") {
        let found = stated::<CalibratedAirspeed>(block, "calibrated_airspeed", range::AIRSPEED)?;
        let Stated { value, step_si, line } = found;
        return Some(Stated { value: CruiseSpeed::Calibrated(value), step_si, line });
    }
    let Stated { value, step_si, line } =
        stated::<TrueAirspeed>(block, "true_airspeed", range::AIRSPEED)?;
    Some(Stated { value: CruiseSpeed::True(value), step_si, line })
}

fn category(block: &Section<'_>) -> Option<CategoryFigure> {
    let words = [("normal", "normal"), ("utility", "utility"), ("acrobatic", "acrobatic")];
    let name = block.choice("name", &words).map(String::from);
    let mass_max = maybe(block, "mass_max", range::MASS);
    let (least, most) = (LoadFactor::from_g(2.0), LoadFactor::from_g(15.0));
    let load_factor_max = block.within("load_factor_max", least, most);
    let load_factor_min: Option<LoadFactor> = block.quantity("load_factor_min");
    if load_factor_min.is_some_and(|least| least.to_g() > 0.0) {
        let what = "the negative limit load factor must not be above zero";
        block.fault("load_factor_min", what, "write it with a minus sign: \"-1.76 g\"");
    }
    let approved = block.texts("approved");
    Some(CategoryFigure {
        name: name?,
        mass_max,
        load_factor_max: load_factor_max?,
        load_factor_min: load_factor_min?,
        approved,
    })
}

fn table(block: &Section<'_>) -> Vec<PositionErrorRow> {
    let (indicated, calibrated) = (block.numbers("indicated_kt"), block.numbers("calibrated_kt"));
    block.refuse_unknown();
    let rising = |list: &[f64]| list.windows(2).all(|pair| pair[0] < pair[1]);
    if indicated.len() != calibrated.len() || indicated.len() < 2 {
        let what = format!(
            "indicated_kt has {} entries, calibrated_kt {}",
            indicated.len(),
            calibrated.len()
        );
        block.fault("calibrated_kt", what, "give two lists of one length, two entries or more");
        return Vec::new();
    }
    let sound = |list: &[f64]| rising(list) && list[0] > 0.0 && list[list.len() - 1] <= 500.0;
    if !sound(&indicated) || !sound(&calibrated) {
        let what =
            "the position-error table must rise from entry to entry, above zero and up to 500 kt";
        block.fault("calibrated_kt", what, "sort it by speed and check for a slip");
        return Vec::new();
    }
    let row = |(indicated, calibrated): (&f64, &f64)| {
        Some(PositionErrorRow {
            indicated: IndicatedAirspeed::try_from_kt(*indicated)?,
            calibrated: CalibratedAirspeed::try_from_kt(*calibrated)?,
        })
    };
    indicated.iter().zip(&calibrated).filter_map(row).collect()
}
