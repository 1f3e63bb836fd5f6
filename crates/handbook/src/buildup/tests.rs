//! The build-up held against the published derivatives of the Navion, one by one.

use base::factors::M_PER_FT;
use base::frames::Vec3;
use base::kinds::PressureAltitude;
use flight::air::Air;
use flight::airplane::Airplane;
use flight::budget::{Budget, Switches, Wrench};
use flight::controls::Surfaces;
use flight::flow::Flow;
use flight::propulsion::Wash;

use crate::figures::Figures;
use crate::{file, fit};

/// The Navion by what its data plate says (CR-96008: area, span, mass, place of the center of gravity); length over all 27.5 ft, dihedral
/// 7.5 degrees and power 185 hp from memory. Tail and fin are left to what is usual.
const NAVION: &str = r#"
id = "navion"
name = "Navion"
source = "CR-96008"
[layout]
gear = "retractable"
wing = "low"
seats = 4
[mass]
maximum = "2750 lb"
typical = "2749 lb"
center_of_gravity = 0.295
[wing]
area = "184 ft2"
span = "33.4 ft"
taper = 0.54
dihedral = "7.5 deg"
[body]
length = "27.5 ft"
[engine]
power = "185 hp"
speed_rated = "2300 rpm"
[propeller]
type = "constant-speed"
diameter = "84 in"
"#;

struct Derivatives {
    airplane: Airplane,
    speed_mps: f64,
    alpha_rad: f64,
}

impl Derivatives {
    fn new() -> Self {
        let figures = Figures::from_toml(NAVION, "navion").unwrap();
        let airplane = file::build(&figures, &fit::fit(&figures)).unwrap().airplane;
        let polar = &airplane.aerodynamics;
        // CL 0.41 of the published condition, 176 ft/s.
        let alpha_rad = (0.41 - polar.lift_at_zero_incidence) / polar.lift_slope_per_rad;
        Self { speed_mps: 176.0 * M_PER_FT, alpha_rad, airplane }
    }
    /// Coefficients [drag, side, lift, roll, pitch, yaw] in stability axes about the center of gravity, nothing pulling. Rates as `p b / 2 V`,
    /// `q c / 2 V`, `r b / 2 V`.
    fn coefficients(
        &self,
        alpha_rad: f64,
        beta_rad: f64,
        rates: [f64; 3],
        surfaces: Surfaces,
    ) -> [f64; 6] {
        let vehicle = self.airplane.vehicle(self.airplane.masses.typical).unwrap();
        let reference = vehicle.aerodynamics.reference();
        let (b, c, v) = (reference.span_m, reference.chord_m, self.speed_mps);
        let (sa, ca) = (base::math::sin(alpha_rad), base::math::cos(alpha_rad));
        let (sb, cb) = (base::math::sin(beta_rad), base::math::cos(beta_rad));
        let (p, q, r) = (rates[0] * 2.0 * v / b, rates[1] * 2.0 * v / c, rates[2] * 2.0 * v / b);
        // Rates are about the stability axes.
        let turning = Vec3::new(p * ca - r * sa, q, p * sa + r * ca);
        let velocity = Vec3::new(v * cb * ca, v * sb, v * cb * sa);
        let air = Air::standard(PressureAltitude::from_m(0.0));
        let flow = Flow::new(velocity, turning, air.into());
        let mut budget = Budget::new(Switches::ALL);
        vehicle.aerodynamics.add(&flow, &surfaces, &Wash::default(), &mut budget);
        budget.about(vehicle.reference_from_center);
        let Wrench { force_n: f, moment_nm: m } = budget.total();
        let qs = flow.dynamic_pressure_pa * reference.area_m2;
        [
            -(f.x * ca + f.z * sa) / qs,
            f.y / qs,
            (f.x * sa - f.z * ca) / qs,
            (m.x * ca + m.z * sa) / (qs * b),
            m.y / (qs * c),
            (m.z * ca - m.x * sa) / (qs * b),
        ]
    }
    /// Slope of one coefficient by one variable: incidence, sideslip, three rates, elevator, aileron, rudder.
    fn slope(&self, coefficient: usize, variable: usize) -> f64 {
        let h = 0.02;
        let at = |sign: f64| {
            let mut x = [0.0; 8];
            x[variable] = sign * h;
            let surfaces =
                Surfaces { elevator_rad: x[5], aileron_rad: x[6], rudder_rad: x[7], flap_rad: 0.0 };
            self.coefficients(self.alpha_rad + x[0], x[1], [x[2], x[3], x[4]], surfaces)
                [coefficient]
        };
        (at(1.0) - at(-1.0)) / (2.0 * h)
    }
}

/// Published value, and how far the build-up may be off as a share of it (what such methods claim; where two sets are published the nearer
/// counts, for they differ by more than that between them).
struct Row {
    name: &'static str,
    coefficient: usize,
    variable: usize,
    nelson: f64,
    faa71: f64,
    claimed: f64,
}

const fn row(
    name: &'static str,
    coefficient: usize,
    variable: usize,
    nelson: f64,
    faa71: f64,
    claimed: f64,
) -> Row {
    Row { name, coefficient, variable, nelson, faa71, claimed }
}

/// CR-96008 as used by NELSON-1998, and FAA-RD-71-6. Signs are those of [`flight::controls`]: a positive deflection gives a negative moment.
const ROWS: [Row; 19] = [
    row("CLalpha", 2, 0, 4.44, 6.04, 0.15),
    row("Cmalpha", 4, 0, -0.683, -0.715, 0.3),
    row("CLq", 2, 3, 3.8, 3.8, 0.25),
    row("Cmq", 4, 3, -9.96, -13.39, 0.25),
    row("CLde", 2, 5, 0.355, 0.355, 0.25),
    row("Cmde", 4, 5, -0.923, -1.42, 0.25),
    row("CYbeta", 1, 1, -0.564, -0.61, 0.3),
    row("Clbeta", 3, 1, -0.074, -0.067, 0.5),
    row("Cnbeta", 5, 1, 0.071, 0.086, 0.3),
    row("Clp", 3, 2, -0.410, -0.46, 0.2),
    row("Cnp", 5, 2, -0.0575, -0.038, 0.5),
    row("Clr", 3, 4, 0.107, 0.069, 0.5),
    row("Cnr", 5, 4, -0.125, -0.088, 0.3),
    row("Clda", 3, 6, -0.134, -0.152, 0.35),
    row("CYdr", 1, 7, 0.157, 0.157, 0.3),
    row("Cndr", 5, 7, -0.072, -0.075, 0.3),
    row("Cldr", 3, 7, 0.0107, 0.107, 0.5),
    row("CDalpha", 0, 0, 0.33, 0.33, 0.5),
    row("Cnda", 5, 6, 0.0035, 0.0047, 1.0),
];

#[test]
fn val_navion_derivatives_one_by_one() {
    let navion = Derivatives::new();
    let mut outside = Vec::new();
    for Row { name, coefficient, variable, nelson, faa71, claimed } in ROWS {
        let found = navion.slope(coefficient, variable);
        let off = |published: f64| found / published - 1.0;
        let nearer = if off(nelson).abs() < off(faa71).abs() { off(nelson) } else { off(faa71) };
        println!(
            "{name:8} {found:8.4} published {nelson:8.4} {faa71:8.4} off {:+.0} % of {:.0} claimed",
            100.0 * nearer,
            100.0 * claimed
        );
        if nearer.abs() > claimed {
            outside.push(name);
        }
    }
    // These five miss what the methods claim. The usual tail is a tenth larger than the airplane's own and its elevator of full span
    // (CLde, CLq, Cmalpha); the body's moment is by a chart for slender bodies and the Navion's is wide (Cmalpha); the rolling moment by
    // sideslip misses the wing's place on so low a wing (Clbeta); Cnp is a small difference of wing and fin.
    assert_eq!(outside, ["Cmalpha", "CLq", "CLde", "Clbeta", "Cnp"]);
}

/// Radii of gyration claim the spread of their class, some 25 to 30 %; the two published sets differ by as much.
#[test]
fn val_navion_inertia() {
    let navion = Derivatives::new();
    let inertia = navion.airplane.rigid.as_ref().unwrap().loading.inertia;
    let unit = base::factors::KGM2_PER_SLUGFT2;
    for (name, found, nelson, faa71) in [
        ("Ix", inertia.xx, 1048.0, 1284.0),
        ("Iy", inertia.yy, 3000.0, 2773.0),
        ("Iz", inertia.zz, 3530.0, 3235.0),
    ] {
        let found = found / unit;
        println!("{name} {found:.0} published {nelson} {faa71}");
        let near = (found / nelson - 1.0_f64).abs().min((found / faa71 - 1.0_f64).abs());
        assert!(near < 0.3, "{name} {found}");
    }
}

#[test]
fn val_flap_effect_of_thin_airfoils() {
    // Closed form at half the chord: t = pi / 2, so that 1 - (pi / 2 - 1) / pi = 0.8183; a fifth less.
    assert!((super::flap_effect(0.5) - 0.8 * 0.818_310).abs() < 1e-5);
    assert!((super::surface_slope(1e6) - 0.95 * std::f64::consts::TAU).abs() < 1e-3);
}
