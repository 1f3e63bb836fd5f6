//! Loops, pulls and zooms flown by the product's point mass, against closed forms: with thrust equal to drag, and with both nil.

use std::f64::consts::PI;

use base::factors::{M_PER_FT, MPS_PER_KT, STANDARD_GRAVITY_MPS2};
use base::numerics::ode::{Control, Stop, integrate};
use base::numerics::root;
use checks::{Row, Table, assert_near};
use flight::airplane::{Airplane, Thrust, bundled};
use flight::point_mass::{Command, DensityColumn, PointMass, State, level_power, state};

use super::{after, input};

/// How the closed forms come to have no force along the path.
#[derive(Debug, Clone, Copy, PartialEq)]
enum Along {
    /// Neither thrust nor drag: the engine stopped, the polar without drag.
    Nil,
    /// The drag of an ordinary airplane, and power that balances it at every instant.
    Balanced,
}

fn airplane(along: Along) -> Airplane {
    let mut airplane = bundled::load("sandpiper-550").expect("a bundled airplane");
    // The closed forms know no propeller that takes a share of what speeds the airplane up.
    if let Thrust::Propeller(propeller) = &mut airplane.thrust {
        propeller.chart = None;
    }
    if along == Along::Nil {
        airplane.aerodynamics.drag_zero_lift = 0.0;
        airplane.aerodynamics.drag_induced = 0.0;
        airplane.thrust =
            Thrust::Polynomial { static_n: 0.0, slope_n_per_mps: 0.0, curvature_n_per_mps2: 0.0 };
    }
    airplane
}

/// A point mass in the vertical plane. Heights are small beside the scale of the air: one density.
struct Flyer<'a> {
    body: PointMass<'a>,
    along: Along,
}

impl<'a> Flyer<'a> {
    fn new(airplane: &'a Airplane, along: Along) -> Self {
        // Light, so that ten times its engine (the range of the search for the balance) outweighs the drag of the tightest loop.
        let mass_kg = 0.4 * airplane.masses.typical.to_kg();
        Self { body: PointMass { airplane, mass_kg, air: DensityColumn::constant(1.1) }, along }
    }
    /// Rates at a load factor, wings level (also inverted: the climb angle runs on past the vertical).
    fn rates(&self, x: &State, load_factor: f64) -> State {
        let (speed, height) = (x[state::SPEED], x[state::HEIGHT]);
        let power_share = match self.along {
            Along::Nil => 0.0,
            Along::Balanced => level_power(&self.body, load_factor, speed, height)
                .share()
                .expect("thrust to balance drag"),
        };
        let lift_coefficient = self.body.lift_coefficient_for(load_factor, speed, height);
        self.body.derivative(x, &Command { lift_coefficient, lift_bank_rad: 0.0, power_share })
    }
    /// The load factor at which the path bends at `speed / radius`: the rate is a line in the load.
    fn load_for_radius(&self, x: &State, radius_m: f64) -> f64 {
        let rate = |load_factor| self.rates(x, load_factor)[state::CLIMB];
        let (without, with) = (rate(0.0), rate(1.0));
        (x[state::SPEED] / radius_m - without) / (with - without)
    }
    /// Radius of the path at a load factor, m.
    fn radius_m(&self, x: &State, load_factor: f64) -> f64 {
        x[state::SPEED] / self.rates(x, load_factor)[state::CLIMB]
    }
    /// Flies until `until` grows through nil; time and state there.
    fn fly(
        &self,
        start: State,
        load: &dyn Fn(&State) -> f64,
        until: &dyn Fn(&State) -> f64,
    ) -> (f64, State) {
        let control = Control {
            relative: 1e-10,
            absolute: 1e-10,
            step_first: 0.01,
            step_max: 0.1,
            steps_max: 100_000,
        };
        let event = |_: f64, x: &State| until(x);
        let rates = |_: f64, x: &State| self.rates(x, load(x));
        let solution = integrate(rates, (0.0, 100.0), start, &control, &[&event]);
        assert_eq!(solution.stop, Stop::Event(0), "the figure is flown to its end");
        (solution.t_end, solution.state_end)
    }
    /// Flies at one load factor until the path points at this angle, rad.
    fn pull_to(&self, start: State, load_factor: f64, climb_rad: f64) -> State {
        self.fly(start, &|_| load_factor, &|x| x[state::CLIMB] - climb_rad).1
    }
}

fn begin(speed_mps: f64, climb_rad: f64) -> State {
    let mut x = [0.0; state::COUNT];
    (x[state::SPEED], x[state::CLIMB], x[state::HEIGHT]) = (speed_mps, climb_rad, 1000.0);
    x
}

/// What the point mass says for a row, flown with balanced thrust and drag; `None` for rows that are not of this kind.
pub(super) fn computed(row: &Row<'_>) -> Option<f64> {
    flown(row, Along::Balanced)
}

fn flown(row: &Row<'_>, along: Along) -> Option<f64> {
    let (topic, quantity) = (row.text("topic"), row.text("quantity"));
    let airplane = airplane(along);
    let flyer = Flyer::new(&airplane, along);
    let load = input(row, "n");
    match topic {
        "looping" if quantity == "radius at the bottom" => {
            Some(flyer.radius_m(&begin(input(row, "V")? * MPS_PER_KT, 0.0), load?) / M_PER_FT)
        }
        "looping" if quantity.starts_with("constant-radius loop") => {
            Some(bottom_load_for_float(&flyer))
        }
        "looping" | "split_s" => {
            let climb = if topic == "looping" { 0.0 } else { PI };
            let start = begin(input(row, "V0")? * MPS_PER_KT, climb);
            let end = flyer.pull_to(start, load?, climb + PI);
            let rise_m = (end[state::HEIGHT] - start[state::HEIGHT]).abs();
            let is_speed = quantity.contains("speed");
            Some(if is_speed { end[state::SPEED] / MPS_PER_KT } else { rise_m / M_PER_FT })
        }
        "energy" => {
            let (from_kt, to_kt) = (after(row, "")?, after(row, "to ")?);
            Some(zoom_m(&flyer, from_kt, to_kt) / M_PER_FT)
        }
        _ => None,
    }
}

/// Height gained, m, in a pull of 2 g from level flight at one speed to another, knots.
fn zoom_m(flyer: &Flyer<'_>, from_kt: f64, to_kt: f64) -> f64 {
    let start = begin(from_kt * MPS_PER_KT, 0.0);
    let slow = |x: &State| to_kt * MPS_PER_KT - x[state::SPEED];
    flyer.fly(start, &|_| 2.0, &slow).1[state::HEIGHT] - start[state::HEIGHT]
}

/// Load at the bottom of the slowest loop of constant radius that floats at the top: the entry speed is searched for.
fn bottom_load_for_float(flyer: &Flyer<'_>) -> f64 {
    let radius_m = 100.0;
    let load = |x: &State| flyer.load_for_radius(x, radius_m);
    let load_at_top = |speed_mps: f64| {
        load(&flyer.fly(begin(speed_mps, 0.0), &load, &|x| x[state::CLIMB] - PI).1)
    };
    let speed_mps = root::find(load_at_top, 65.0, 90.0, 1e-12).expect("a speed that floats");
    load(&begin(speed_mps, 0.0))
}

/// The handbook's loops and zooms once more with thrust and drag nil: the same figures.
#[test]
fn val_loop_rows_without_thrust_and_drag() {
    let Some(table) = Table::read("numeric-checks-handbook.csv") else { return };
    let mut n_checked = 0;
    for row in table.rows() {
        if let Some(value) = flown(&row, Along::Nil) {
            let name = format!("{} {}", row.text("quantity"), row.text("inputs"));
            assert_near(&name, value, row.number("expected"), super::tolerance(&row));
            n_checked += 1;
        }
    }
    assert_eq!(n_checked, 20);
}

/// One row of the table of loops: radius and entry, loads and speeds round the loop, SI.
struct Loop {
    radius_m: f64,
    speed_mps: [f64; 3],
    load: [f64; 4],
    time_s: f64,
}

/// Flies a loop of constant radius by its eighth, quarter, half and whole, and closes it.
fn check_loop(flyer: &Flyer<'_>, of: &Loop, entry_mps: f64) {
    let load = |x: &State| flyer.load_for_radius(x, of.radius_m);
    let start = begin(entry_mps, 0.0);
    let [at_45, at_90, top] = of.speed_mps;
    let speeds = [Some(at_45), Some(at_90), Some(top), Some(entry_mps)];
    let loads = [of.load[1], of.load[2], of.load[3], of.load[0]];
    assert_near("load at the bottom", load(&start), of.load[0], 2e-5);
    let (mut time_s, mut x) = (0.0, start);
    for (i, angle) in [PI / 4.0, PI / 2.0, PI, 2.0 * PI].into_iter().enumerate() {
        let (took_s, reached) = flyer.fly(x, &load, &|x| x[state::CLIMB] - angle);
        (time_s, x) = (time_s + took_s, reached);
        assert_near("speed", x[state::SPEED], speeds[i].expect("typed above"), 2e-5);
        assert_near("load", load(&x), loads[i], 2e-5);
        let rise_m = of.radius_m * (1.0 - base::math::cos(angle));
        assert_near("rise", x[state::HEIGHT] - start[state::HEIGHT], rise_m, 1e-5);
    }
    assert_near("time", time_s, of.time_s, 2e-5);
    assert_near("closed", x[state::NORTH], 0.0, 1e-5);
    assert_near("work", x[state::WORK], 0.0, 1e-6);
}

/// checks/manoeuvre/loop_energy_closed_form.csv: `V^2 = V0^2 - 2 g R (1 - cos)`, `n = V^2 / (g R) + cos`.
#[test]
fn val_loops_flown() {
    let Some(table) = Table::read("manoeuvre/loop_energy_closed_form.csv") else { return };
    assert_eq!(table.len(), 12);
    for along in [Along::Nil, Along::Balanced] {
        let airplane = airplane(along);
        let flyer = Flyer::new(&airplane, along);
        for row in table.rows() {
            let n = |name: &str| row.number(name);
            let of = Loop {
                radius_m: n("radius_m"),
                speed_mps: [n("V_at_45_m_s"), n("V_at_90_m_s"), n("V_top_m_s")],
                load: [n("n_bottom"), n("n_at_45"), n("n_at_90"), n("n_top")],
                time_s: n("loop_time_s"),
            };
            check_loop(&flyer, &of, n("V0_m_s"));
        }
    }
}

/// Rows of the same two files typed in: a loop of 60 m with 0.5 g at the top; 140 kt and 3.5 g is 77.8 kt and 600 ft higher at
/// the top; 120 kt is worth 421 ft at 70 kt; least load at the bottom for a float at the top 6 g.
#[test]
fn val_loops_typed_in() {
    for along in [Along::Nil, Along::Balanced] {
        let airplane = airplane(along);
        let flyer = Flyer::new(&airplane, along);
        let of = Loop {
            radius_m: 60.0,
            speed_mps: [53.772_84, 45.380_57, 29.708_56],
            load: [6.5, 5.621_32, 3.5, 0.5],
            time_s: 8.934_07,
        };
        check_loop(&flyer, &of, 56.887_56);
        let start = begin(140.0 * MPS_PER_KT, 0.0);
        let top = flyer.pull_to(start, 3.5, PI);
        assert_near("speed at the top", top[state::SPEED] / MPS_PER_KT, 77.8, 0.1);
        let rise_m = top[state::HEIGHT] - start[state::HEIGHT];
        assert_near("height gained", rise_m / M_PER_FT, 600.0, 1.0);
        assert_near("zoom", zoom_m(&flyer, 120.0, 70.0) / M_PER_FT, 421.0, 1.0);
        assert_near("float", bottom_load_for_float(&flyer), 6.0, 1e-9);
        let level = begin(140.0 * MPS_PER_KT, 0.0);
        assert_near("radius", flyer.radius_m(&level, 3.5) / M_PER_FT, 694.0, 1.0);
    }
}

/// Drag without thrust and thrust without drag, straight up at nil load: a closed form each, so that neither hides in the other.
#[test]
fn val_drag_alone_and_thrust_alone() {
    let g = STANDARD_GRAVITY_MPS2;
    // V' = -g - k V^2: height by the logarithm (a stone thrown up in air, any mechanics text).
    let mut glider = airplane(Along::Balanced);
    glider.thrust = airplane(Along::Nil).thrust;
    let flyer = Flyer::new(&glider, Along::Nil);
    let slow = |x: &State| 20.0 - x[state::SPEED];
    let top = flyer.fly(begin(80.0, PI / 2.0), &|_| 0.0, &slow).1;
    let k = 0.5 * 1.1 * glider.wing_area.to_m2() * glider.aerodynamics.drag_zero_lift
        / flyer.body.mass_kg;
    let rise_m = base::math::ln((g + k * 80.0 * 80.0) / (g + k * 20.0 * 20.0)) / (2.0 * k);
    assert_near("rise with drag", top[state::HEIGHT] - 1000.0, rise_m, 1e-6);
    // V' = T / m - g with constant thrust of half the weight.
    let mut rocket = airplane(Along::Nil);
    let weight_n = Flyer::new(&rocket, Along::Nil).body.weight_n();
    rocket.thrust = Thrust::Polynomial {
        static_n: 0.5 * weight_n,
        slope_n_per_mps: 0.0,
        curvature_n_per_mps2: 0.0,
    };
    let mut body = Flyer::new(&rocket, Along::Nil).body;
    body.air = DensityColumn::constant(flight::air::SEA_LEVEL_DENSITY_KGPM3);
    let full = Command { lift_coefficient: 0.0, lift_bank_rad: 0.0, power_share: 1.0 };
    let rates = body.derivative(&begin(80.0, PI / 2.0), &full);
    assert_near("slowing under thrust", rates[state::SPEED], -0.5 * g, 1e-12);
}
