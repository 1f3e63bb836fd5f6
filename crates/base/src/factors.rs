//! Every conversion factor of the project, exact by definition where a definition exists.
//!
//! `cargo xtask tidy` refuses these numbers anywhere else. Sources: international foot and avoirdupois pound (1959
//! agreement), international nautical mile (1929), standard gravity (CGPM 1901), mechanical horsepower
//! (550 ft lbf/s), conventional inch of mercury (0 C, standard gravity: 13,595.1 kg/m3). Keys: SI-9, SP-811.

/// Meters in one international foot.
pub const M_PER_FT: f64 = 0.3048;
/// Meters in one nautical mile.
pub const M_PER_NM: f64 = 1852.0;
/// Meters in one statute mile.
pub const M_PER_MI: f64 = 1609.344;
/// Meters in one inch.
pub const M_PER_IN: f64 = 0.0254;
/// Meters per second in one knot.
pub const MPS_PER_KT: f64 = M_PER_NM / 3600.0;
/// Meters per second in one kilometer per hour.
pub const MPS_PER_KMH: f64 = 1.0 / 3.6;
/// Meters per second in one statute mile per hour.
pub const MPS_PER_MPH: f64 = M_PER_MI / 3600.0;
/// Meters per second in one foot per minute.
pub const MPS_PER_FPM: f64 = M_PER_FT / 60.0;
/// Kilograms in one pound.
pub const KG_PER_LB: f64 = 0.453_592_37;
/// Standard gravity, m/s2.
pub const STANDARD_GRAVITY_MPS2: f64 = 9.806_65;
/// Newtons in one pound-force.
pub const N_PER_LBF: f64 = KG_PER_LB * STANDARD_GRAVITY_MPS2;
/// Kilogram square meters in one slug square foot (a slug is one pound-force over one foot per second squared).
pub const KGM2_PER_SLUGFT2: f64 = N_PER_LBF * M_PER_FT;
/// Pascals in one hectopascal.
pub const PA_PER_HPA: f64 = 100.0;
/// Pascals in one inch of mercury (conventional mercury density, standard gravity).
pub const PA_PER_INHG: f64 = 13_595.1 * STANDARD_GRAVITY_MPS2 * M_PER_IN;
/// Watts in one mechanical horsepower.
pub const W_PER_HP: f64 = 550.0 * M_PER_FT * N_PER_LBF;
/// Watts in one kilowatt.
pub const W_PER_KW: f64 = 1000.0;
/// Kelvin at zero Celsius.
pub const K_AT_ZERO_C: f64 = 273.15;
/// Kelvin in one degree Fahrenheit.
pub const K_PER_F: f64 = 5.0 / 9.0;
/// Degrees Fahrenheit at zero Celsius.
pub const F_AT_ZERO_C: f64 = 32.0;
/// Square meters in one square foot.
pub const M2_PER_FT2: f64 = M_PER_FT * M_PER_FT;
/// Cubic meters in one U.S. liquid gallon (231 cubic inches).
pub const M3_PER_US_GAL: f64 = 231.0 * M_PER_IN * M_PER_IN * M_PER_IN;
/// Radians in one degree.
pub const RAD_PER_DEG: f64 = std::f64::consts::PI / 180.0;
/// Radians per second in one revolution per minute.
pub const RADPS_PER_RPM: f64 = std::f64::consts::PI / 30.0;
