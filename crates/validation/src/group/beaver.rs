//! The Beaver: trims with power against the published one and against a table of our own, rudder against power.

use base::frames::Vec3;
use flight::airplane::published::{self, RigidAirplane};
use flight::airplane::rigid::Pull;
use flight::modes::{Mode, Name};
use flight::propulsion::pressure_rise::PressureRise;
use flight::vehicle::{State, Vehicle};

use crate::check::Check;
use crate::files::Files;
use crate::modal;
use crate::steady::{self, Held, Place, Steady};
use crate::table::Row;

const TABLE: &str = "lightplane/beaver_trim_own.csv";
const RPM: f64 = 1800.0;
/// Gas constant of the air of the source, J/(kg K).
const GAS_CONSTANT: f64 = 287.05;

/// Published trim: 35 m/s at sea level, 1800 rpm, 20 inHg. Source: FDC-1.2, trim example.
const PUBLISHED: Steady = Steady {
    alpha: 0.211_31,
    beta: -0.020_667,
    theta: 0.191_9,
    phi: 0.0,
    elevator: -0.093_083,
    aileron: 0.009_624_2,
    rudder: -0.049_242,
    throttle: 0.0,
    propeller: 0.0,
};

/// Manifold pressure, inHg, and rudder, degrees, that straight flight at 35 m/s without sideslip takes; own computation from
/// the published model (check data, `flight-mechanics-checks.md` section 3).
const RUDDER_DEG: [(f64, f64); 5] =
    [(14.0, -2.2), (18.0, -2.4), (20.0, -2.7), (24.0, -4.1), (28.0, -6.9)];

pub(super) fn checks(files: &Files<'_>) -> Vec<Check> {
    let airplane = published::load("beaver").expect("it is bundled");
    let model = Model::of(&airplane);
    let mut out = model.residuals();
    out.extend(model.published());
    out.extend(model.rudder());
    out.extend(model.modes());
    match files.table(TABLE) {
        None => out.push(Check::without_file("beaver-trim-own", "LR-556, own table", TABLE)),
        Some(table) => {
            let rows: Vec<_> = table.rows().collect();
            out.extend(rows.iter().enumerate().flat_map(|(n, row)| model.row(n, row)));
        }
    }
    out
}

struct Model {
    vehicle: Vehicle,
    pull: PressureRise,
}

/// The air and gravity of the source at a height, m.
fn place(height_m: f64) -> Place {
    let temperature_k = 288.15 - 0.0065 * height_m;
    let exponent = base::factors::STANDARD_GRAVITY_MPS2 / (GAS_CONSTANT * 0.0065);
    let pressure_pa = 101_325.0 * base::math::pow(temperature_k / 288.15, exponent);
    let lapse = 6_371_020.0 / (6_371_020.0 + height_m);
    let gravity_mps2 = base::factors::STANDARD_GRAVITY_MPS2 * lapse * lapse;
    Place::new(gravity_mps2, pressure_pa / (GAS_CONSTANT * temperature_k), temperature_k)
}

impl Model {
    fn of(airplane: &RigidAirplane) -> Self {
        let Pull::PressureRise(pull) = airplane.rigid.pull else {
            unreachable!("its file has a pressure rise")
        };
        let vehicle = airplane.vehicle(airplane.rigid.loading.mass).expect("its own mass");
        Self { vehicle, pull }
    }
    fn levers(&self, manifold_inhg: f64) -> (f64, f64) {
        self.pull.levers(manifold_inhg, RPM).expect("the levers reach the published power")
    }

    /// Rates of change at the published point, of airspeed and, as angles, of the path through the air: sideslip and aileron
    /// are poorly determined there, these are not.
    fn residuals(&self) -> Vec<Check> {
        let (throttle, propeller) = self.levers(20.0);
        let point = Steady { throttle, propeller, ..PUBLISHED };
        let (place, speed) = (place(0.0), 35.0);
        let found = point.accelerations(&self.vehicle, &place, speed);
        let state = State::from_array(&point.state(&place, speed));
        let acceleration = Vec3::new(found[0], found[1], found[2]);
        let along = acceleration.dot(state.velocity_mps) * (1.0 / speed);
        let across = acceleration - state.velocity_mps * (along / speed);
        let turning = found[3..].iter().fold(0.0, |most: f64, x| most.max(x.abs()));
        let rows = [
            ("beaver-residual-airspeed", along.abs(), "m/s2"),
            ("beaver-residual-path", across.norm() / speed, "rad/s"),
            ("beaver-residual-turn", turning, "rad/s2"),
        ];
        let check = |(id, value, unit)| {
            Check::at_most(id, (value, 6e-4), unit, "FDC-1.2 trim example, sea level")
        };
        rows.into_iter().map(check).collect()
    }

    fn published(&self) -> Vec<Check> {
        let levers = self.levers(20.0);
        let found = steady::find(&self.vehicle, &place(0.0), 35.0, levers, Held::Bank);
        let Some((found, _)) = found else {
            return vec![not_found("beaver-published-alpha", "FDC-1.2 trim example")];
        };
        let rows = [
            ("alpha", found.alpha, PUBLISHED.alpha),
            ("theta", found.theta, PUBLISHED.theta),
            ("elevator", found.elevator, PUBLISHED.elevator),
            ("rudder", found.rudder, PUBLISHED.rudder),
        ];
        let check = |(key, value, reference)| {
            let id = format!("beaver-published-{key}");
            Check::absolute(id, (value, reference, 1e-4), "rad", "FDC-1.2 trim example, sea level")
        };
        rows.into_iter().map(check).collect()
    }

    fn rudder(&self) -> Vec<Check> {
        let check = |(manifold, reference): (f64, f64)| {
            let id = format!("beaver-rudder-{manifold:.0}-inhg");
            let source = "LR-556, own computation: rudder without sideslip against power";
            let levers = self.levers(manifold);
            let found = steady::find(&self.vehicle, &place(0.0), 35.0, levers, Held::Sideslip);
            let Some((found, _)) = found else { return not_found(&id, source) };
            let value = found.rudder / base::factors::RAD_PER_DEG;
            Check::absolute(id, (value, reference, 0.05), "deg", source)
        };
        RUDDER_DEG.into_iter().map(check).collect()
    }

    /// Frequencies, dampings and time constants at the published trim.
    fn modes(&self) -> Vec<Check> {
        let source = "LR-556, own computation: modes at 35 m/s, sea level, 20 inHg";
        let place = place(0.0);
        let found = steady::find(&self.vehicle, &place, 35.0, self.levers(20.0), Held::Bank)
            .and_then(|(_, trim)| modal::separate(&self.vehicle, &place, &trim))
            .unwrap_or_default();
        let of = |name: Name, figure: fn(&Mode) -> Option<f64>| {
            found.iter().find(|mode| mode.name == name).and_then(figure).unwrap_or(f64::NAN)
        };
        let frequency: fn(&Mode) -> _ = Mode::natural_frequency_radps;
        let (damping, constant) = (Mode::damping_ratio, Mode::time_constant_s);
        let rows = [
            ("short-period-frequency", of(Name::ShortPeriod, frequency), 3.02, 0.005, "rad/s"),
            ("short-period-damping", of(Name::ShortPeriod, damping), 0.66, 0.005, ""),
            ("phugoid-frequency", of(Name::Phugoid, frequency), 0.331, 0.0005, "rad/s"),
            ("phugoid-damping", of(Name::Phugoid, damping), 0.064, 0.0005, ""),
            ("roll-constant", of(Name::Roll, constant), 0.211, 0.0005, "s"),
            ("dutch-roll-frequency", of(Name::DutchRoll, frequency), 0.961, 0.0005, "rad/s"),
            ("dutch-roll-damping", of(Name::DutchRoll, damping), 0.484, 0.0005, ""),
            ("spiral-constant", of(Name::Spiral, constant), 22.3, 0.05, "s"),
        ];
        let check = |(key, value, reference, tolerance, unit)| {
            Check::absolute(format!("beaver-{key}"), (value, reference, tolerance), unit, source)
        };
        rows.into_iter().map(check).collect()
    }

    /// One row of our own table: every angle to 1e-6 rad.
    fn row(&self, index: usize, row: &Row<'_>) -> Vec<Check> {
        let id = format!("beaver-trim-own-{:02}", index + 1);
        let condition = row.text("condition");
        let source = format!("LR-556, own table row {}: {condition}", index + 1);
        let held = match condition {
            _ if condition.contains("level") => Held::BankAndHeight,
            _ if condition.contains("sideslip 0") => Held::Sideslip,
            _ => Held::Bank,
        };
        let (speed, height) = (row.number("V_m_s"), row.number("H_m"));
        let levers = self.levers(row.number("pz_inHg"));
        let found = steady::find(&self.vehicle, &place(height), speed, levers, held);
        let Some((found, _)) = found else {
            return vec![not_found(&id, &source)];
        };
        let pairs = [
            (found.alpha, "alpha"),
            (found.beta, "beta"),
            (found.theta, "theta"),
            (found.phi, "phi"),
            (found.elevator, "de"),
            (found.aileron, "da"),
            (found.rudder, "dr"),
        ]
        .map(|(value, column)| (value, row.number(column)));
        let angles = Check::worst(id.clone(), &pairs, 1e-6, "rad", source.clone());
        let (manifold, _) = self.pull.setting(&found.inputs());
        let power = (manifold, row.number("pz_inHg"), 1e-5);
        vec![angles, Check::absolute(format!("{id}-manifold"), power, "inHg", source)]
    }
}

fn not_found(id: &str, source: &str) -> Check {
    Check::absolute(id, (f64::NAN, f64::NAN, 0.0), "rad", source).with_note("no trim was found")
}
