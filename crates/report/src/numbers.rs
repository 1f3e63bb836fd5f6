//! How numbers are written: fixed decimals, a real minus sign, bands of 95 %.

use assess::attempt::Estimate;
pub use base::numerics::statistics::SIGMAS_OF_95_PERCENT;
pub use base::written::{fixed, signed};

/// Significant digits at any size, trailing zeros kept, with a real minus sign: decimals from 0.001 to a million, powers of
/// ten beyond; zero is `0`, what is not finite a dash.
#[must_use]
pub fn significant(value: f64, digits: usize) -> String {
    if !value.is_finite() {
        return "–".into();
    }
    if value == 0.0 {
        return "0".into();
    }
    let places = digits.saturating_sub(1);
    let scientific = format!("{:.places$e}", value.abs());
    let (_, power) = scientific.split_once('e').unwrap_or((&scientific, "0"));
    let power: i32 = power.parse().unwrap_or(0);
    if !(-3..6).contains(&power) {
        let sign = if value < 0.0 { "−" } else { "" };
        return format!("{sign}{}", scientific.replace("e-", "e−"));
    }
    fixed(value, usize::try_from(places as i32 - power).unwrap_or(0))
}

/// A value with its 95 % band: `82.3 ± 3.7`.
#[must_use]
pub fn banded(estimate: Estimate, decimals: usize) -> String {
    format!(
        "{} ± {}",
        fixed(estimate.value, decimals),
        fixed(SIGMAS_OF_95_PERCENT * estimate.sigma, decimals)
    )
}

/// As [`banded`]; what could not be measured is a dash.
#[must_use]
pub fn banded_or_dash(estimate: Option<Estimate>, decimals: usize) -> String {
    estimate.map_or_else(|| "–".into(), |estimate| banded(estimate, decimals))
}

/// Minutes and seconds from the first sample: `5:12`, hours only when needed.
#[must_use]
pub fn clock(time_s: f64) -> String {
    let whole = time_s.max(0.0).round() as u64;
    let (hours, minutes, seconds) = (whole / 3600, whole / 60 % 60, whole % 60);
    if hours > 0 {
        format!("{hours}:{minutes:02}:{seconds:02}")
    } else {
        format!("{minutes}:{seconds:02}")
    }
}

/// A wind by the velocity of the air over the ground, north and east in m/s, as the trade writes it: `240/14 kt`, from degrees
/// true; `calm` below half a knot. North is 360.
#[must_use]
pub fn wind(north_mps: f64, east_mps: f64) -> String {
    if !(north_mps.is_finite() && east_mps.is_finite()) {
        return "–".into();
    }
    let wind = flight::wind::Wind::from_velocity(north_mps, east_mps);
    if wind.is_calm() {
        return "calm".into();
    }
    format!("{}/{} kt", from_words(wind.from.to_deg()), fixed(wind.speed.to_kt(), 0))
}

/// A direction in three digits; north is 360.
#[must_use]
pub fn from_words(from_deg: f64) -> String {
    match from_deg.rem_euclid(360.0).round() as u32 {
        0 | 360 => "360".into(),
        degrees => format!("{degrees:03}"),
    }
}

#[cfg(test)]
mod tests {
    use super::{from_words, significant, wind};

    #[test]
    fn prop_significant_digits_are_written_at_every_size() {
        assert_eq!(significant(15_598.904_35, 8), "15598.904");
        assert_eq!(significant(-0.125_4, 3), "−0.125");
        assert_eq!(significant(3.4e-9, 2), "3.4e−9");
        assert_eq!(significant(-2.5e7, 2), "−2.5e7");
        assert_eq!((significant(0.0, 3).as_str(), significant(f64::NAN, 3).as_str()), ("0", "–"));
    }

    #[test]
    fn prop_winds_are_written_as_the_trade_does() {
        assert_eq!(wind(0.1, 0.0), "calm");
        assert_eq!(wind(-5.144, 0.0), "360/10 kt");
        assert_eq!(wind(0.0, -5.144), "090/10 kt");
        assert_eq!(wind(f64::NAN, 0.0), "–");
        assert_eq!((from_words(-0.2).as_str(), from_words(4.6).as_str()), ("360", "005"));
    }
}
