//! What climbing and gliding turns share: the speed of best climb or flattest glide, and the turn at one bank.

use crate::definition::Maneuver;
use crate::reference::{Condition, Entry, Infeasible, ReferenceFlight, Told};
use crate::solve::Setting;
use crate::solve::sampling::{Begin, samples};
use crate::solve::speed_held::{self, Form, Hold};
use base::factors::{MPS_PER_FPM, MPS_PER_KT, RAD_PER_DEG};
use base::kinds::CalibratedAirspeed;
use base::math::sin;
use flight::air::Day;
use flight::airplane::Airplane;
use flight::point_mass::{PointMass, best_climb, state, steady_path};

use super::over_ground::unknowns;

/// A turn at one bank and power.
pub(super) struct Kind {
    /// Bank of the lift, rad.
    pub bank_rad: f64,
    /// Roll rate, rad/s.
    pub roll_radps: f64,
    /// Share of full power; nil glides.
    pub power_share: f64,
}

/// True airspeed of the flattest glide at a height, m/s: where parasite and induced drag are equal.
fn flattest_glide_mps(body: &PointMass<'_>, height_m: f64) -> f64 {
    let polar = &body.airplane.aerodynamics;
    let lift = (polar.drag_zero_lift / polar.drag_induced).sqrt().min(0.9 * polar.lift_max);
    let one_mps = body.pressure_area_n(1.0, height_m);
    (body.weight_n() / (one_mps * lift)).sqrt()
}

/// The airplane of the day at the speed of best climb (with power) or of flattest glide (without), unless one is asked for.
pub(super) fn glide_setting<'a>(
    (airplane, day, entry): (&'a Airplane, &'a Day, &Entry),
    power_share: f64,
) -> Setting<'a> {
    let any = CalibratedAirspeed::from_kt(80.0);
    let mut setting = Setting::new(airplane, day, entry, entry.speed.unwrap_or(any));
    if entry.speed.is_none() {
        setting.speed_mps = if power_share > 0.0 {
            best_climb(&setting.body, setting.height_m).0
        } else {
            flattest_glide_mps(&setting.body, setting.height_m)
        };
    }
    setting
}

/// Half a turn at one bank, speed held by the nose.
pub(super) fn fly_held(
    maneuver: &dyn Maneuver,
    (airplane, day, entry): (&Airplane, &Day, &Entry),
    kind: &Kind,
) -> Result<ReferenceFlight, Infeasible> {
    let setting = glide_setting((airplane, day, entry), kind.power_share);
    let shape = maneuver.shape();
    let form = Form {
        hold: Hold::Bank(kind.bank_rad),
        roll_radps: kind.roll_radps,
        power_share: kind.power_share,
        turn_rad: shape.span_deg * RAD_PER_DEG,
    };
    let rate = flight::envelope::level_turn_rate_radps(setting.speed_mps, kind.bank_rad);
    let (schedule, flown) = speed_held::solve(&setting, form, form.turn_rad / rate)?;
    let begin = Begin { heading_rad: entry.heading.to_rad(), ..Begin::default() };
    let flight = samples(&setting, &schedule, &flown, entry.direction, begin);
    let (first, last) = (flight[0], *flight.last().expect("a part has samples"));
    let thrust_n = setting.body.thrust_n(kind.power_share, setting.speed_mps, setting.height_m);
    let climb = |bank_rad: f64| {
        let path =
            steady_path(&setting.body, thrust_n, setting.speed_mps, setting.height_m, bank_rad);
        path.map_or(f64::NAN, |path| setting.speed_mps * sin(path.climb_rad) / MPS_PER_FPM)
    };
    let off = flight
        .iter()
        .map(|s| (s.calibrated_airspeed_mps - first.calibrated_airspeed_mps).abs())
        .fold(0.0, f64::max);
    let x = flown.state(flown.end_s);
    let condition = |name, wanted, reached, unit| Condition { name, wanted, reached, unit };
    let told = Told {
        unknowns: unknowns(&[
            ("climb straight ahead", climb(0.0), "ft/min"),
            ("climb in the turn", climb(kind.bank_rad), "ft/min"),
            ("bank of the lift", kind.bank_rad / RAD_PER_DEG, "deg"),
            (
                "height gained",
                (x[state::HEIGHT] - setting.height_m) / base::factors::M_PER_FT,
                "ft",
            ),
            ("greatest change of calibrated airspeed", off / MPS_PER_KT, "kt"),
            ("time", last.time_s, "s"),
        ]),
        conditions: vec![
            condition("heading at the end", shape.span_deg, last.turned_rad / RAD_PER_DEG, "deg"),
            condition("bank at the end", 0.0, last.bank_rad / RAD_PER_DEG, "deg"),
        ],
        ..Told::default()
    };
    let parts = vec![(entry.direction, flight)];
    ReferenceFlight::assemble((maneuver.id(), &shape), (airplane, entry), parts, told)
}
